"""Found for the first time is no matter of size; what belongs to an open finding comes first."""

from __future__ import annotations

import pytest

from hulllog.drawing import compose, telling
from hulllog.drawing.scene import Text
from hulllog.insight.following import finding_of, worth
from hulllog.insight.judging import judged_spots, judged_zones
from hulllog.insight.matters import asked, matters
from hulllog.insight.summary import summary
from hulllog.insight.workings import of_judged
from hulllog.records.operations import looks, queries, spots, vessel, visits
from hulllog.records.operations import matters as do
from hulllog.records.operations.measuring import Rated


@pytest.fixture
def ketch(logbook):
    vessel.create_vessel(
        logbook, name="Test", kind="yacht", material="grp", keel="fin",
        length="8.7 m", beam="2.85 m", draught="1.05 m",
    )  # fmt: skip
    return logbook


def zone(logbook, code):
    with logbook.read() as book:
        return next(z.id for z, _ in queries.zones_at(book) if z.code == code)


def rated(logbook, year, code, kind, figures):
    visit = visits.start_haul_out(logbook, begins=f"{year}-04-01")
    looks.log_inspection(logbook, visit, zone(logbook, code), ratings=[Rated(kind, figures, {})])
    visits.relaunch(logbook, visit, f"{year}-04-02")
    return visit


def cracked(logbook, last="40 mm"):
    for year in range(2017, 2023):
        rated(logbook, year, "rudder", "crack", {"length_mm": "0 mm", "width_mm": "0 mm"})
    return rated(logbook, 2023, "rudder", "crack", {"length_mm": last, "width_mm": "0.2 mm"})


def test_what_was_not_there_before_is_told_as_found_first_and_never_as_a_trend(ketch):
    cracked(ketch)
    with ketch.read() as book:
        judged = judged_zones(book)
        said = [telling.summary_text(one) for one in summary(None, [], [], judged, [], [], None)]
        assert not list(of_judged(judged))
    assert {telling.trend_text(item) for item in judged} == {
        "First found 1 Apr 2023; not there at 6 looks before."
    }
    assert said[1:3] == [
        "No finding is on record.",
        "Cracks in Rudder: first found 1 Apr 2023; not there at 6 looks before.",
    ]
    assert not [line for line in said if "Worse since" in line]


def test_seen_twice_it_is_a_matter_of_size_again(ketch):
    cracked(ketch)
    rated(ketch, 2024, "rudder", "crack", {"length_mm": "80 mm", "width_mm": "0.2 mm"})
    with ketch.read() as book:
        assert [item.first_found for item in judged_zones(book)] == [None, None]


def test_a_count_that_never_passes_one_has_no_chart(ketch):
    for year, count in ((2019, "0"), (2020, "1"), (2021, "0"), (2022, "1"), (2023, "1")):
        rated(ketch, year, "rudder", "rust-spots", {"count": count, "area_cm2": f"{count}5 cm2"})
    with ketch.read() as book:
        told = {item.component: telling.says_something(item) for item in judged_zones(book)}
    assert (told["count"], told["area_cm2"]) == (False, True)


def test_a_chart_says_of_which_kind_a_length_is(ketch):
    cracked(ketch)
    with ketch.read() as book:
        titles = [telling.chart_title(item) for item in judged_zones(book)]
    assert titles == ["Rudder: cracks, length", "Rudder: cracks, width"]


def test_an_open_finding_leads_and_a_closed_one_comes_last(ketch):
    visit = cracked(ketch)
    spot = spots.add_spot(ketch, label="Hairline", zone_id=zone(ketch, "rudder"), visit_id=visit)
    finding = do.raise_finding(
        ketch, title="Hairline", sort="crack", must="watch", severity="slight", visit_id=visit,
        spots=[spot],
    )  # fmt: skip

    def rank():
        with ketch.read() as book:
            item = judged_zones(book)[0]
            assert judged_spots(book) == []
            found = finding_of(item, matters(book), {spot: zone(ketch, "rudder")})
            alone = finding_of(item, matters(book), {})
        assert alone is None
        return worth(found), worth(alone)

    assert rank() == (2, 1)
    work = do.add_work(ketch, text="Ground out", done="2023-04-02", visit_id=visit)
    do.link_work(ketch, work, finding_id=finding)
    do.close_by_work(ketch, finding, work, visit_id=visit)
    assert rank() == (0, 1)


def test_a_chart_is_cut_at_each_repair(ketch):
    finding = None
    for year, area in ((2019, 40), (2020, 5), (2021, 25)):
        figures = {"count": "1", "area_cm2": f"{area} cm2"}
        visit = rated(ketch, year, "rudder", "rust-spots", figures)
        finding = finding or do.raise_finding(
            ketch, title="Rust", sort="rust", must="watch", severity="slight", visit_id=visit,
            zones=[zone(ketch, "rudder")],
        )  # fmt: skip
        if year != 2020:
            do.add_work(ketch, text="Ground", visit_id=visit, findings=[finding])
    with ketch.read() as book:
        (item,) = [one for one in judged_zones(book) if one.component == "area_cm2"]
    scene = compose.trend_scene(item, 82, 42)
    assert [one.text for one in scene.items if isinstance(one, Text)].count("repaired") == 1


def test_an_acceptance_is_the_keepers_word_until_a_letter_is_on_file(ketch, tmp_path):
    from hulllog.records.media import add_document

    survey = do.add_survey(ketch, at="2023-05-02", asked_by="insurer")
    item = do.add_recommendation(ketch, survey, number="1", wording="Renew it")
    work = do.add_work(ketch, text="Renewed", done="2023-06-01")
    do.add_proof(ketch, item, work_id=work, accepted_by="Moth", accepted="2023-07-01")

    def letter():
        with ketch.read() as book:
            return asked(book)[0].letter

    assert not letter()
    (tmp_path / "note.txt").write_text("we accept")
    paper = add_document(ketch, tmp_path / "note.txt", title="Note", sort="letter")
    do.add_proof(ketch, item, document_id=paper)
    assert letter()
