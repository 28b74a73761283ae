"""What was repaired or painted over since is another thing: it is not held against the newest."""

from __future__ import annotations

import pytest

from hulllog.drawing.telling import changed_text, trend_text
from hulllog.insight.judging import judged_spots, judged_zones
from hulllog.records.operations import coatings, looks, matters, queries, spots, visits
from hulllog.records.operations.measuring import Rated

PLACE = {"part": "hull", "face": "port", "u": 0.5, "v": 1.5}


def zone(logbook, code):
    with logbook.read() as book:
        return next(z.id for z, _ in queries.zones_at(book) if z.code == code)


def lift(logbook, day):
    return visits.start_haul_out(logbook, begins=day, ends=day, time_zone="UTC")


def cracked(logbook, day, spot, length):
    visit = lift(logbook, day)
    rated = Rated("crack", {"length_mm": f"{length} mm"}, {"washed": "washed"})
    spots.observe_spot(logbook, spot, visit, ratings=[rated])
    looks.log_inspection(logbook, visit, zone(logbook, "topsides-port"), ratings=[rated])
    return visit


@pytest.fixture
def crack(ketch):
    """A crack that grew at four lifts and was filled at the fourth."""
    where = zone(ketch, "topsides-port")
    visit = lift(ketch, "2014-04-01")
    spot = spots.add_spot(ketch, label="Crack", place=PLACE, zone_id=where, visit_id=visit)
    for day, length in (("2015-04-01", 24), ("2017-04-01", 38), ("2021-04-01", 66)):
        cracked(ketch, day, spot, length)
    last = cracked(ketch, "2022-04-01", spot, 70)
    found = matters.raise_finding(
        ketch, title="Crack", sort="crack", must="watch", severity="slight", visit_id=last,
        spots=[spot],
    )  # fmt: skip
    matters.add_work(
        ketch, text="Filled.", visit_id=last, done="2022-04-01", findings=[found], closes=[found]
    )
    return spot


def both(logbook):
    with logbook.read() as book:
        return [
            item
            for item in (*judged_zones(book), *judged_spots(book))
            if item.component == "length_mm"
        ]


def test_a_repaired_crack_is_not_a_crack_that_went_down(ketch, crack):
    cracked(ketch, "2025-04-01", crack, 0)
    told = both(ketch)
    assert [item.subject for item in told] == ["zone", "spot"]
    for item in told:
        assert [point.comparable for point in item.judged.series.points] == [False] * 4 + [True]
        assert item.judged.changed is None
        assert "repaired in between" in changed_text(item)
        assert "No steady trend" not in trend_text(item)


def test_the_looks_since_a_repair_are_held_against_each_other(ketch, crack):
    cracked(ketch, "2024-04-01", crack, 10)
    cracked(ketch, "2025-04-01", crack, 30)
    for item in both(ketch):
        assert plain(changed_text(item)).startswith("From 10 mm (1 Apr 2024) to 30 mm (1 Apr 2025)")
        assert len(item.judged.series.comparable) == 2


def test_a_reading_as_found_at_the_visit_of_the_repair_is_one_before_it(ketch, crack):
    for item in both(ketch):
        assert len(item.judged.series.comparable) == 4


def covered(logbook, day, percent):
    visit = lift(logbook, day)
    rated = Rated("antifouling-cover", {"cover": f"{percent} %"}, {"washed": "washed"})
    looks.log_inspection(
        logbook, visit, zone(logbook, "waterline-port"), looked_for=["antifouling-cover"],
        ratings=[rated],
    )  # fmt: skip
    return visit


def plain(text):
    return text.replace("\N{NARROW NO-BREAK SPACE}", " ")


def cover(logbook):
    with logbook.read() as book:
        (item,) = [one for one in judged_zones(book) if one.kind == "antifouling-cover"]
    return item


def test_two_paints_are_not_one_that_grew(ketch):
    first = covered(ketch, "2020-07-18", 45)
    product = coatings.add_product(ketch, name="Red", role="antifouling",
        coating_class="ablative_antifouling", colour="red",
    )  # fmt: skip
    coatings.add_coat(ketch, first, product, zones=[zone(ketch, "waterline-port")])
    covered(ketch, "2025-04-05", 76)
    assert cover(ketch).judged.changed is None
    assert "new antifouling in between" in changed_text(cover(ketch))


def test_more_of_a_paint_left_is_up(ketch):
    covered(ketch, "2020-07-18", 45)
    covered(ketch, "2025-04-05", 76)
    assert plain(changed_text(cover(ketch))).startswith("Up from 45 % (18 Jul 2020) to 76 %")
