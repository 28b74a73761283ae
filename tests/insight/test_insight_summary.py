"""The state in a few lines, and the sentences of a change: true for what was judged by eye."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest

from hulllog.drawing import telling
from hulllog.insight.aftermath import aftermaths
from hulllog.insight.contradictions import contradictions
from hulllog.insight.gear import gear_stories
from hulllog.insight.judging import judged_zones
from hulllog.insight.matters import asked, matters
from hulllog.insight.summary import summary
from hulllog.records.media import add_document
from hulllog.records.operations import around, berths, gear, looks, queries, vessel, visits
from hulllog.records.operations import matters as do
from hulllog.records.operations.measuring import Rated

NOW = datetime(2024, 9, 1, tzinfo=UTC)


@pytest.fixture
def ketch(logbook):
    """A boat of which nothing is on record."""
    vessel.create_vessel(
        logbook, name="Test", kind="yacht", material="steel", keel="fin",
        length="8.7 m", beam="2.85 m", draught="1.05 m",
    )  # fmt: skip
    return logbook


def zone(logbook, code):
    with logbook.read() as book:
        return next(z.id for z, _ in queries.zones_at(book) if z.code == code)


def rated(logbook, begins, code, kind, figures, conditions=None):
    """Enter a haul-out with one rated zone."""
    visit = visits.start_haul_out(logbook, begins=begins)
    look = Rated(kind, figures, conditions or {})
    looks.log_inspection(logbook, visit, zone(logbook, code), ratings=[look])
    visits.relaunch(logbook, visit, begins)
    return visit


def short(logbook, now):
    """Return the summary as it is said."""
    with logbook.read() as book:
        said = summary(None, matters(book), asked(book), judged_zones(book), [], [], now)
    return [telling.summary_text(line) for line in said]


def changes(logbook):
    with logbook.read() as book:
        return [telling.changed_text(item) for item in judged_zones(book)]


@pytest.mark.parametrize(
    ("now", "says", "worse"),
    [("2", "one step worse, which two people may differ by", False),
     ("3", "2 steps worse, more than two people would differ", True)],
)  # fmt: skip
def test_a_grade_by_eye_is_not_told_as_a_measurement(ketch, now, says, worse):
    for year, grade in ((2022, "1"), (2023, now)):
        rated(
            ketch,
            f"{year}-04-01",
            "rudder",
            "iso-4628-4-2016",
            {"quantity": "2", "size": f"S{grade}"},
        )
    said = " ".join(changes(ketch))
    told = [line for line in short(ketch, NOW) if "Worse since" in line]
    assert bool(told) is worse
    assert says in said
    assert "method can err" not in said


def happened(logbook):
    with logbook.read() as book:
        said = summary(None, [], [], [], [], [], NOW, after=aftermaths(book))
    return [telling.summary_text(line) for line in said if "event" in line.code]


def test_an_event_says_what_was_looked_at_after_it(ketch):
    before = visits.start_visit(ketch, kind="diver", begins="2023-08-01")
    looks.nothing_found(ketch, before, zone(ketch, "rudder"))
    berths.add_event(ketch, sort="grounding", at="2023-08-19", text="Touched a stone")
    berths.add_event(ketch, sort="new_owner", at="2023-08-20", text="Sold")
    (told,) = happened(ketch)
    assert told == "After the grounding, 19 Aug 2023 (“Touched a stone”): nothing was looked at."
    dived = visits.start_visit(ketch, kind="diver", begins="2023-08-26")
    looks.nothing_found(ketch, dived, zone(ketch, "rudder"))
    looks.could_not_see(ketch, dived, zone(ketch, "bottom-aft-port"), hidden_by="ground")
    told, missed = happened(ketch)
    assert "first looked at 26 Aug 2023 (diver), 1 of" in told
    assert told.endswith("zones: Rudder.")
    assert missed.startswith("Not seen at any look since the grounding: ")
    assert "Rudder" not in missed


def test_what_followed_an_event_is_one_block_without_a_cause(ketch):
    around.add_gear(ketch, sort="keel_bolt", name="Keel bolts")
    around.add_gear(ketch, sort="seacock", name="Galley seacock", fitted="2023-10-01")
    berths.add_event(ketch, sort="grounding", at="2023-08-19", text="Touched a stone.")
    dived = visits.start_visit(ketch, kind="diver", begins="2023-08-26")
    looks.nothing_found(ketch, dived, zone(ketch, "rudder"))
    lift = visits.start_haul_out(ketch, begins="2024-04-02")
    looks.nothing_found(ketch, lift, zone(ketch, "rudder"))
    do.raise_finding(
        ketch, title="Hairline", sort="crack", must="watch", severity="slight", visit_id=lift
    )
    told, missed, found = happened(ketch)
    assert told.endswith("Rudder; later looks: 2 Apr 2024 (1 of 17 zones).")
    assert "Keel bolts" in missed
    assert "Galley seacock" not in missed
    assert missed.endswith("Of the inside this record holds only what is told of the fittings.")
    assert found == (
        "First found after the grounding: Hairline (2 Apr 2024). The record draws no cause from "
        "that."
    )


def test_a_later_look_names_the_zones_that_it_left_out(ketch):
    berths.add_event(ketch, sort="grounding", at="2023-08-19", text="Touched a stone.")
    dived = visits.start_visit(ketch, kind="diver", begins="2023-08-26")
    for code in ("rudder", "transom"):
        looks.nothing_found(ketch, dived, zone(ketch, code))
    grid = visits.start_haul_out(ketch, begins="2024-05-09")
    looks.nothing_found(ketch, grid, zone(ketch, "transom"))
    lift = visits.start_haul_out(ketch, begins="2025-04-05")
    for code in ("rudder", "transom", "bottom-aft-port"):
        looks.nothing_found(ketch, lift, zone(ketch, code))
    told = happened(ketch)[0]
    _, later = told.split("; later looks: ")
    first, second = later.split("; ")
    assert first.startswith("9 May 2024 (1 of")
    assert first.endswith("zones, without Rudder)")
    assert second.startswith("5 Apr 2025 (3 of")
    assert "without" not in second


def test_what_was_found_before_an_event_is_not_first_found_after_it(ketch):
    bearing = around.add_gear(ketch, sort="bearing", name="Shaft bearing")
    fresh = around.add_gear(ketch, sort="bellows", name="Bellows", fitted="2022")

    def looked(day, *parts):
        visit = visits.start_haul_out(ketch, begins=day)
        for part in parts:
            gear.look_at_gear(ketch, part, visit, result="something_found", looked=day)
        visits.relaunch(ketch, visit, day)
        return visit

    looked("2015-04-19", bearing, fresh)
    looked("2021-04-11", bearing)
    berths.add_event(ketch, sort="grounding", at="2023-08-19", text="Touched a stone.")
    lift = looked("2025-04-06", bearing, fresh)
    for title, part in (("Play", bearing), ("Bellows hard", fresh)):
        do.raise_finding(
            ketch, title=title, sort="wear", must="next_lift", severity="moderate",
            visit_id=lift, gear=[part],
        )  # fmt: skip
    told = happened(ketch)
    assert (
        "First found after the grounding: Bellows hard (6 Apr 2025). The record draws no cause "
        "from that."
    ) in told
    assert (
        "Raised as a finding after the grounding, though something was found there before it: "
        "Play (6 Apr 2025; first on record 19 Apr 2015)."
    ) in told
    with ketch.read() as book:
        before = {one.title: [str(day) for day in one.found_before] for one in matters(book)}
    assert len(before["Play"]) == 2
    assert before["Bellows hard"] == []


def test_fittings_that_nobody_looked_at_are_named(ketch):
    around.add_gear(ketch, sort="propeller", name="Propeller")
    around.add_gear(ketch, sort="keel_bolt", name="Keel bolts, port")
    around.add_gear(ketch, sort="keel_bolt", name="Keel bolts, starboard")
    around.add_gear(ketch, sort="bellows", name="Bellows", fitted="2019")

    def said():
        with ketch.read() as book:
            gear = gear_stories(book, None, NOW)
            lines = summary(None, [], [], [], [], [], NOW, after=aftermaths(book), gear=gear)
        return [telling.summary_text(line) for line in lines if "gear" in line.code]

    unknown, aged = said()
    assert unknown == (
        "Keel bolts, port; Keel bolts, starboard; Propeller: age of none known, no look on record "
        "at any."
    )
    assert aged == "No look on record: Bellows."
    berths.add_event(ketch, sort="grounding", at="2023-08-19", text="Touched a stone")
    assert said()[0].endswith("not since the grounding (19 Aug 2023) either.")


def test_an_event_of_an_unknown_day_is_not_answered_by_a_look_of_that_month(ketch):
    berths.add_event(ketch, sort="collision", at="2023-08", text="Hit by a launch")
    seen = visits.start_visit(ketch, kind="diver", begins="2023-08-03")
    looks.nothing_found(ketch, seen, zone(ketch, "rudder"))
    (told,) = happened(ketch)
    assert told.endswith("nothing was looked at.")


def test_proofs_are_counted_by_what_stands_behind_them(ketch, tmp_path):
    survey = do.add_survey(ketch, at="2023-05-02", asked_by="insurer")
    items = [
        do.add_recommendation(ketch, survey, number=str(n), wording="Renew it") for n in range(1, 5)
    ]
    works = [do.add_work(ketch, text="Renewed", done="2023-06-01") for _ in items]
    (tmp_path / "bill.txt").write_text("one seacock")
    bill = add_document(ketch, tmp_path / "bill.txt", title="Bill", sort="invoice")
    named = around.add_document(ketch, title="Bill, lost", sort="invoice")
    do.link_work(ketch, works[0], document_id=bill)
    do.add_proof(ketch, items[0], work_id=works[0])
    do.add_proof(ketch, items[1], work_id=works[1])
    do.add_proof(ketch, items[2], document_id=named)
    (told,) = [line for line in short(ketch, NOW) if "recommendations" in line]
    assert "4 recommendations of surveys: one with a document by others" in told
    assert "2 by the owner’s entry only" in told
    assert "one without proof on record" in told


def test_what_comes_back_after_repairs_tells_how_often(ketch):
    finding = None
    for year, area in ((2019, 40), (2020, 0), (2021, 25), (2022, 30), (2023, 6)):
        count = {"count": "1" if area else "0", "area_cm2": f"{area} cm2"}
        visit = rated(ketch, f"{year}-04-01", "keel-port", "rust-spots", count)
        finding = finding or do.raise_finding(
            ketch, title="Rust", sort="rust", must="watch", severity="slight", visit_id=visit,
            zones=[zone(ketch, "keel-port")],
        )  # fmt: skip
        other = do.raise_finding(
            ketch, title="Scuff", sort="coating", must="watch", severity="slight", visit_id=visit,
            zones=[zone(ketch, "keel-port")],
        )  # fmt: skip
        do.add_work(ketch, text="Touched up", visit_id=visit, findings=[other])
        if year in (2019, 2021, 2023):
            do.add_work(ketch, text="Ground and primed", visit_id=visit, findings=[finding])
    (told,) = [line for line in short(ketch, NOW) if "Rust" in line and "repaired" in line]
    assert "repaired 3 times, found again after 2 of these repairs, last on 1 Apr 2023" in told
    assert told.endswith("not looked at since the last repair.")
    with ketch.read() as book:
        assert "Repaired 3 times" in telling.trend_text(judged_zones(book)[0])


def rusty_twice(logbook):
    """Rust, ground off at two haul-outs, with a look as left that found none at the second."""
    finding = None
    for year in (2021, 2023):
        figures = {"count": "1", "area_cm2": "40 cm2"}
        visit = rated(logbook, f"{year}-04-01", "keel-port", "rust-spots", figures)
        finding = finding or do.raise_finding(
            logbook, title="Rust", sort="rust", must="watch", severity="slight", visit_id=visit,
            zones=[zone(logbook, "keel-port")],
        )  # fmt: skip
        do.add_work(logbook, text="Ground and primed", visit_id=visit, findings=[finding])
    looks.log_inspection(
        logbook, visit, zone(logbook, "keel-port"), state="left", looked_for=["rust-spots"],
        coverage="whole", result="nothing_found",
    )  # fmt: skip
    return visit


def test_a_look_as_left_after_the_repair_counts(ketch):
    rusty_twice(ketch)
    (told,) = [line for line in short(ketch, NOW) if "Rust" in line and "repaired" in line]
    assert told.endswith("; seen sound as left, 1 Apr 2023; not out of the water since.")
    assert "not looked at since the last repair" not in told
    rated(ketch, "2024-04-01", "rudder", "rust-spots", {"count": "0"})
    (told,) = [line for line in short(ketch, NOW) if "Rust" in line and "repaired" in line]
    assert told.endswith("; seen sound as left, 1 Apr 2023; not looked at since.")


def test_a_paper_on_file_that_nobody_linked_is_told_and_asked_about(ketch, tmp_path):
    visit = visits.start_haul_out(ketch, begins="2023-06-01")
    survey = do.add_survey(ketch, at="2023-05-02", asked_by="insurer")
    item = do.add_recommendation(ketch, survey, number="3", wording="Blast the keels")
    work = do.add_work(ketch, text="Blasted", done="2023-06-03", visit_id=visit)
    do.add_proof(ketch, item, work_id=work)
    (tmp_path / "bill.txt").write_text("two keels")
    bill = add_document(
        ketch, tmp_path / "bill.txt", title="Invoice, keels", sort="invoice", visit_id=visit
    )

    def told():
        with ketch.read() as book:
            asks = [one.code for one in contradictions(book)]
            (proof,) = asked(book)[0].proofs
        (line,) = [one for one in short(ketch, NOW) if "recommendation" in one]
        return "contradiction.paper_not_linked" in asks, proof.unlinked, line

    asks, papers, line = told()
    assert asks
    assert papers == ("Invoice, keels",)
    assert "one with a paper on file that is not linked" in line
    do.link_work(ketch, work, document_id=bill)
    asks, papers, line = told()
    assert not asks
    assert papers == ()
    assert "one with a document by others" in line


@pytest.mark.parametrize(
    ("kind", "figures", "claimed"),
    [
        ("timber-moisture", {"moisture_percent": "22 %"}, False),
        ("crack", {"length_mm": "22 mm"}, True),
    ],
)
def test_readings_without_a_worse_are_no_ground_for_nothing_worse(ketch, kind, figures, claimed):
    damp = {"table": "larch", "days_ashore": "0"}
    conditions = damp if kind == "timber-moisture" else {"washed": "washed"}
    for begins in ("2022-04-10", "2023-04-10"):
        rated(ketch, begins, "bottom-aft-port", kind, figures, conditions)
    assert len([text for text in changes(ketch) if "No change" in text]) == 1
    said = short(ketch, NOW)
    assert any("nothing had become worse" in line for line in said) is claimed
