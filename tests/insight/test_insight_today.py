"""What *Today* says: at most seven lines, each of which follows from what is on record."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest

from hulllog.drawing.telling import line_text, summary_text
from hulllog.insight.overview import growth_alone, unseen, visit_lines
from hulllog.insight.summary import summary
from hulllog.insight.today import MOST, today
from hulllog.records.operations import (
    anodes,
    around,
    berths,
    coatings,
    looks,
    matters,
    queries,
    visits,
)
from hulllog.records.operations.measuring import Rated

NOW = datetime(2023, 6, 1, tzinfo=UTC)


def lines(logbook, now=NOW, backup=None):
    with logbook.read() as book:
        return today(book, now, backup)


def said(logbook, code, now=NOW, backup=None):
    """Return the sentences of one code, said as the page says them."""
    return [line_text(one) for one in lines(logbook, now, backup) if one.code == code]


def zone(logbook, code):
    with logbook.read() as book:
        return next(found.id for found, _ in queries.zones_at(book) if found.code == code)


def see_all(logbook, visit, but=()):
    """Look at every zone."""
    with logbook.read() as book:
        found = {z.code: z.id for z, _ in queries.zones_at(book)}
    for code, key in found.items():
        if code not in but:
            looks.nothing_found(logbook, visit, key)


# The backup


def test_the_last_line_is_always_the_backup(ketch):
    assert [one.code for one in lines(ketch)] == ["today.no_backup"]
    (one,) = said(ketch, "today.backup", backup=NOW - timedelta(days=1, hours=2))
    (twelve,) = said(ketch, "today.backup", backup=NOW - timedelta(days=12))
    assert one != twelve
    assert "12" in twelve


def test_there_are_never_more_than_seven_lines_and_each_matter_has_its_turn(ketch):
    visit = visits.start_haul_out(ketch, begins="2023-05-01")
    for number in range(9):
        matters.raise_finding(
            ketch, title=f"Matter {number}", sort="crack", must="before_relaunch",
            severity="severe", visit_id=visit,
        )  # fmt: skip
    around.note_for_next_time(ketch, "Bring the long ladder", visit_id=visit)
    berths.add_event(ketch, sort="grounding", at="2023-04", text="bump", asks_for_check=True)
    found = lines(ketch)
    assert len(found) <= MOST
    codes = [one.code for one in found]
    assert codes[0] == "today.haul_out_open"
    assert codes[-1] == "today.no_backup"
    assert {"today.matter", "today.notes", "today.check_asked"} <= set(codes)


def test_a_haul_out_that_is_over_is_to_be_closed_and_she_is_not_out_any_more(ketch):
    visits.start_haul_out(ketch, begins="2023-05-01", ends="2023-05-09")
    (line,) = [one for one in lines(ketch) if one.page == "haul_out"]
    assert line_text(line) == (
        "The haul-out of 1 May 2023 is not closed yet. Look it through and close it."
    )
    (still,) = [one for one in lines(ketch, datetime(2023, 5, 5, tzinfo=UTC)) if one.key]
    assert line_text(still).startswith("She has been out of the water since 1 May 2023")


def test_what_is_due_at_the_next_lift_has_a_line_however_much_else_there_is(ketch):
    for year in (2020, 2021, 2022):
        visit = visits.start_haul_out(ketch, begins=f"{year}-05-01")
        see_all(ketch, visit, ("keel-port-under",))
        visits.close(ketch, visit)
    around.note_for_next_time(ketch, "Bring the long ladder")
    berths.add_event(ketch, sort="grounding", at="2023-04", text="bump", asks_for_check=True)
    coatings.add_treatment(
        ketch, visit, sort="peeled", zones=[zone(ketch, "bottom-aft-port")],
        warranty_until="2023-12",
    )  # fmt: skip
    for title, must in (
        ("Crack", "before_relaunch"), ("Skeg", "this_season"), ("Rust", "next_lift"),
        ("Bearing", "next_lift"),
    ):  # fmt: skip
        matters.raise_finding(
            ketch, title=title, sort="crack", must=must, severity="slight", visit_id=visit
        )
    visits.start_haul_out(ketch, begins="2023-05-01")
    found = lines(ketch)
    assert len(found) == MOST
    assert [one.code for one in found[:4]] == [
        "today.haul_out_open", "today.matter_overdue", "today.matter_overdue",
        "today.next_lift_more",
    ]  # fmt: skip
    assert dict(found[3].values)["n"] == 2
    assert found[3].page == "findings"
    assert "next lift" in line_text(found[3])


# Each sentence, and what changes it


def test_the_open_haul_out_goes_when_it_is_closed(ketch):
    visit = visits.start_haul_out(ketch, begins="2023-05-01")
    (before,) = said(ketch, "today.haul_out_open")
    visits.set_dates(ketch, visit, begins="2023-05-03", ends=None)
    (after,) = said(ketch, "today.haul_out_open")
    assert before != after
    visits.relaunch(ketch, visit, "2023-05-10")
    visits.close(ketch, visit)
    assert said(ketch, "today.haul_out_open") == []


def test_a_matter_is_named_with_what_must_happen_until_it_is_closed(ketch):
    visit = visits.start_haul_out(ketch, begins="2023-05-01")
    finding = matters.raise_finding(
        ketch, title="Crack at the skeg", sort="crack", must="before_relaunch",
        severity="severe", visit_id=visit,
    )  # fmt: skip
    (before,) = said(ketch, "today.matter")
    assert "Crack at the skeg" in before
    matters.set_finding(ketch, finding, "must", "this_season")
    (after,) = said(ketch, "today.matter")
    assert before != after
    matters.set_finding(ketch, finding, "must", "watch")
    assert said(ketch, "today.matter") == []
    (one,) = said(ketch, "today.matters")
    matters.raise_finding(
        ketch, title="Rust", sort="rust", must="next_lift", severity="slight", visit_id=visit
    )
    assert said(ketch, "today.matters") != [one]


def blistered(logbook, *sizes):
    """Rate blisters in one zone year by year."""
    key = zone(logbook, "bottom-aft-port")
    for year, (count, largest) in enumerate(sizes, 2023 - len(sizes)):
        visit = visits.start_haul_out(logbook, begins=f"{year}-05-01")
        visits.set_looked_for(logbook, visit, looked_for=["laminate-blisters"], methods=["close"])
        figures = {"count": str(count), "largest_mm": f"{largest} mm"}
        rated = Rated("laminate-blisters", figures, {"wetness": "wet"})
        looks.log_inspection(logbook, visit, key, ratings=[rated])
        visits.relaunch(logbook, visit, f"{year}-05-20")


@pytest.mark.parametrize(
    ("sizes", "code"),
    [
        (((10, 5), (90, 5)), "today.changed.worse"),
        (((90, 5), (10, 5)), "today.changed.better"),
        (tuple((10 + 6 * n, 4 + 0.5 * n) for n in range(8)), "today.trend_up"),
    ],
)
def test_a_plain_change_and_a_steady_one_are_told_with_figures(ketch, sizes, code):
    blistered(ketch, *sizes)
    (told, *_) = said(ketch, code)
    assert "Bottom aft, port" in told
    line = next(one for one in lines(ketch) if one.code == code)
    assert (line.page, line.key) == ("hull", zone(ketch, "bottom-aft-port"))


def test_a_change_within_the_error_of_the_method_is_not_told(ketch):
    blistered(ketch, (10, 5), (11, 5))
    assert not [one for one in lines(ketch) if one.code.startswith("today.changed")]


def test_the_figures_of_a_change_are_those_of_the_last_two_looks(ketch):
    blistered(ketch, (10, 5), (90, 5))
    (first,) = said(ketch, "today.changed.worse")
    assert "10" in first
    assert "90" in first
    assert "2021" in first
    assert "2022" in first


def test_unusual_wear_is_told_with_its_cause(made):
    later = visits.start_haul_out(made.logbook, begins="2024-04-14")
    check = anodes.check_anode(
        made.logbook, made.pieces[2023], visit_id=later, way="weighed", mass="600 g",
        contact="loose",
    )  # fmt: skip
    now = datetime(2024, 5, 1, tzinfo=UTC)
    (before,) = said(made.logbook, "today.anode_slow", now)
    anodes.set_check(made.logbook, check, {"contact": "tight"})
    (after,) = said(made.logbook, "today.anode_slow", now)
    assert "loose" in before
    assert before != after
    anodes.set_check(made.logbook, check, {"mass": "460 g"})
    assert said(made.logbook, "today.anode_slow", now) == []


def test_half_gone_is_told_as_it_comes_near_passes_and_is_seen(made):
    far, near = datetime(2023, 6, 1, tzinfo=UTC), datetime(2024, 10, 1, tzinfo=UTC)
    over, past = datetime(2025, 2, 1, tzinfo=UTC), datetime(2035, 2, 1, tzinfo=UTC)
    book = made.logbook
    assert said(book, "today.anode_half", far) == []
    (before,) = said(book, "today.anode_half", near)
    (likely,) = said(book, "today.anode_half_likely", over)
    assert "o be looked at" in likely
    (passed,) = said(book, "today.anode_half_past", past)
    anodes.set_piece(book, made.pieces[2023], "fitted", "2022-12-24", reason="misread")
    assert said(book, "today.anode_half_past", past) != [passed]
    assert before not in said(book, "today.anode_half", near)
    later = visits.start_haul_out(book, begins="2024-04-14")
    anodes.check_anode(book, made.pieces[2023], visit_id=later, way="by_eye", left="quarter")
    assert len(said(book, "today.anode_half_seen", near)) == 1
    anodes.fit_piece(book, made.shaft, visit_id=later, mass_new="620 g")
    assert said(book, "today.anode_half_seen", near) == []


def test_a_recommendation_is_told_until_it_is_proved(ketch):
    survey = matters.add_survey(ketch, at="2023-03-01", asked_by="insurer")
    first = matters.add_recommendation(
        ketch, survey, number="1", wording="Renew the seacock", due="2023-09"
    )
    (one,) = said(ketch, "today.unproved")
    assert "Renew the seacock" in one
    matters.add_recommendation(ketch, survey, number="2", wording="Renew the hose")
    (two,) = said(ketch, "today.unproved")
    assert one != two
    visit = visits.start_haul_out(ketch, begins="2023-05-01")
    work = matters.add_work(ketch, text="Seacock renewed", visit_id=visit)
    matters.add_proof(ketch, first, work_id=work)
    (left,) = said(ketch, "today.unproved")
    assert "Renew the hose" in left


def test_an_event_asks_for_its_check_until_it_is_answered(ketch):
    event = berths.add_event(ketch, sort="grounding", at="2023-04", text="b", asks_for_check=True)
    (told,) = said(ketch, "today.check_asked")
    berths.set_event(ketch, event, "at", "2023-03")
    assert said(ketch, "today.check_asked") != [told]
    berths.answer_event(ketch, event, visits.start_haul_out(ketch, begins="2023-05-01"))
    assert said(ketch, "today.check_asked") == []


def test_a_zone_not_seen_twice_running_is_told(ketch):
    visit = visits.start_haul_out(ketch, begins="2020-05-01")
    see_all(ketch, visit)
    for year in (2021, 2022):
        visit = visits.start_haul_out(ketch, begins=f"{year}-05-01", ends=f"{year}-05-09")
        see_all(ketch, visit, but=("keel-port-under",))
    (told,) = said(ketch, "today.not_seen")
    assert "2020" in told
    looks.nothing_found(ketch, visit, zone(ketch, "keel-port-under"))
    assert said(ketch, "today.not_seen") == []


def test_a_zone_never_seen_says_never(ketch):
    for year in (2021, 2022):
        see_all(
            ketch,
            visits.start_haul_out(ketch, begins=f"{year}-05-01", ends=f"{year}-05-09"),
            ("keel-port-under",),
        )
    (told,) = said(ketch, "today.never_seen")
    see_all(
        ketch,
        visits.start_haul_out(ketch, begins="2023-05-01", ends="2023-05-09"),
        ("keel-port-under",),
    )
    assert said(ketch, "today.never_seen") != [told]


def test_a_warranty_is_told_as_its_end_comes_near(ketch):
    visit = visits.start_haul_out(ketch, begins="2022-05-01")
    see_all(ketch, visit)
    key = coatings.add_treatment(
        ketch, visit, sort="peeled", zones=[zone(ketch, "bottom-aft-port")],
        warranty_until="2023-12",
    )  # fmt: skip
    (told,) = said(ketch, "today.warranty_ends")
    coatings.set_treatment(ketch, key, "warranty_until", "2023-11")
    assert said(ketch, "today.warranty_ends") != [told]
    coatings.set_treatment(ketch, key, "warranty_until", "2033-11")
    assert said(ketch, "today.warranty_ends") == []


def test_notes_wait_until_they_are_answered(ketch):
    note = around.note_for_next_time(ketch, "Bring the long ladder")
    (one,) = said(ketch, "today.notes")
    assert "Bring the long ladder" in one
    around.note_for_next_time(ketch, "Photograph the cutlass bearing")
    assert said(ketch, "today.notes") != [one]
    visit = visits.start_haul_out(ketch, begins="2023-05-01")
    around.answer_note(ketch, note, visit, "Brought")
    (left,) = said(ketch, "today.notes")
    assert "Photograph" in left


# Her state in short


def in_short(logbook):
    with logbook.read() as book:
        found = summary([*visit_lines(book)][-1], [], [], [], unseen(book), [], NOW,
                        growth=growth_alone(book))  # fmt: skip
    return {one.code: summary_text(one) for one in found}


def test_who_looked_for_growth_alone_has_not_seen_the_hull(ketch):
    for year in (2021, 2022):
        see_all(
            ketch, visits.start_haul_out(ketch, begins=str(year), looked_for=["level-of-fouling"])
        )
    told = in_short(ketch)
    assert "all_seen" not in told
    assert "fouling alone" in told["growth_alone_every"]
    visit = visits.start_haul_out(
        ketch, begins="2023-05-01", looked_for=["level-of-fouling", "damage"]
    )
    see_all(ketch, visit, ("rudder", "keel-port-under"))
    told = in_short(ketch)
    assert "all_seen" not in told
    assert told["growth_alone"].startswith("At the last two chances 2 zones")
    assert "Rudder" in told["growth_alone"]
    see_all(ketch, visits.start_haul_out(ketch, begins="2023-06-01", looked_for=["damage"]))
    assert "all_seen" in in_short(ketch)


def test_a_figure_past_the_owners_limit_is_told_until_the_limit_is_changed(ketch):
    visit = visits.start_haul_out(ketch, begins="2022-05-01", ends="2022-05-09")
    bottom = zone(ketch, "bottom-aft-port")
    looks.log_inspection(
        ketch, visit, bottom,
        ratings=[Rated("laminate-blisters", {"count": "12"}, {"wetness": "wet"})],
    )  # fmt: skip
    assert said(ketch, "today.beyond_limit") == []
    limit = around.set_limit(
        ketch, kind="laminate-blisters", component="count", value="10", set_by="the owner"
    )
    (told,) = said(ketch, "today.beyond_limit")
    assert "the owner" in told
    around.change_limit(ketch, limit, value="11")
    assert said(ketch, "today.beyond_limit") != [told]
    around.change_limit(ketch, limit, value="20")
    assert said(ketch, "today.beyond_limit") == []
