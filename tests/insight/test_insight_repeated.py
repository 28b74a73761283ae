"""All readings of a visit are kept and shown; the worst of those that come first stands for it."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest

from hulllog.drawing.telling import points_text, summary_text, trend_text
from hulllog.insight.judging import judged_zones
from hulllog.insight.series import SAME_VISIT, spot_series, zone_series
from hulllog.insight.summary import summary
from hulllog.records.operations import coatings, looks, queries, spots, visits
from hulllog.records.operations.measuring import Rated
from hulllog.words.telling import component_name

NOW = datetime(2026, 1, 15, tzinfo=UTC)
PLACE = {"part": "hull", "face": "port", "u": 0.5, "v": 0.5}


@pytest.fixture
def zone(ketch):
    with ketch.read() as book:
        return next(z.id for z, _ in queries.zones_at(book) if z.code == "bottom-aft-port")


@pytest.fixture
def lift(ketch):
    return visits.start_haul_out(ketch, begins="2024-03-05", ends="2024-06-20", time_zone="UTC")


def moisture(figure, day):
    conditions = {"meter": "box", "mode": "deep", "surface": "laminate", "days_ashore": "30"}
    return Rated("moisture", {"reading": figure}, conditions, None, day)


def look(logbook, visit, zone, figure, day, state="during"):
    looks.log_inspection(
        logbook, visit, zone, state=state, looked_for=["moisture"],
        ratings=[moisture(figure, day)],
    )  # fmt: skip


def series(logbook, zone, kind="moisture", component="reading"):
    with logbook.read() as book:
        return zone_series(book, zone, kind, component, None)


def test_every_reading_of_a_visit_is_a_point_of_its_own_day(ketch, zone, lift):
    for figure, day in (("11", "2024-04-22"), ("24", "2024-03-18"), ("6", "2024-05-26")):
        look(ketch, lift, zone, figure, day)
    found = series(ketch, zone)
    assert [(point.value, point.when.text) for point in found.points] == [
        (24, "2024-03-18"),
        (11, "2024-04-22"),
        (6, "2024-05-26"),
    ]


def test_the_worst_stands_for_the_visit_in_whatever_order_they_were_entered(ketch, zone, lift):
    for figure, day in (("11", "2024-04-22"), ("24", "2024-03-18"), ("6", "2024-05-26")):
        look(ketch, lift, zone, figure, day)
    found = series(ketch, zone)
    assert [point.value for point in found.standing] == [24]
    assert [point.value for point in found.comparable] == [24]
    assert {point.why_not for point in found.points if point.value < 24} == {(SAME_VISIT,)}


def test_as_found_stands_before_a_worse_one_taken_during_the_work(ketch, zone, lift):
    look(ketch, lift, zone, "15", "2024-03-06", state="found")
    look(ketch, lift, zone, "19", "2024-03-18")
    assert [point.value for point in series(ketch, zone).standing] == [15]


def test_two_sets_of_one_look_are_both_kept(ketch, zone, lift):
    looks.log_inspection(
        ketch, lift, zone, looked_for=["moisture"],
        ratings=[moisture("9", "2024-03-06"), moisture("14", "2024-03-07")],
    )  # fmt: skip
    found = series(ketch, zone)
    assert [point.value for point in found.points] == [9, 14]
    assert [point.value for point in found.standing] == [14]


def test_less_is_worse_where_the_kind_says_so(ketch, zone, lift):
    for figure in ("4.9 mm", "4.4 mm", "4.7 mm"):
        rated = Rated("plate-thickness", {"thickness": figure}, {"through_paint": "bare"})
        looks.log_inspection(ketch, lift, zone, looked_for=["plate-thickness"], ratings=[rated])
    found = series(ketch, zone, "plate-thickness", "thickness")
    assert [point.value for point in found.standing] == [4.4]


def test_repeats_in_a_visit_are_no_change_since_last_time_and_no_trend(ketch, zone, lift):
    for figure, day in (("24", "18"), ("12", "20"), ("6", "22"), ("5", "24"), ("4", "26")):
        look(ketch, lift, zone, figure, f"2024-03-{day}")
    with ketch.read() as book:
        (item,) = [one for one in judged_zones(book) if one.component == "reading"]
    assert item.judged.changed is None
    assert item.judged.trend is None


def test_all_are_shown_with_their_meter(ketch, zone, lift):
    for figure, day in (("24", "2024-03-18"), ("11", "2024-04-22"), ("6", "2024-05-26")):
        look(ketch, lift, zone, figure, day)
    with ketch.read() as book:
        (item,) = [one for one in judged_zones(book) if one.component == "reading"]
    told = points_text(item)
    assert told.replace("\xa0", " ").startswith("2024 24, (22 Apr 2024 11), (26 May 2024 6)")
    assert "box" in told
    assert "deep" in told


def test_a_moisture_is_never_a_bare_reading():
    assert component_name("moisture", "reading") != component_name("unknown", "reading")
    assert "meter" in component_name("moisture", "reading")


def test_a_spot_looked_at_twice_keeps_both(ketch, zone, lift):
    spot = spots.add_spot(ketch, label="Here", place=PLACE, zone_id=zone, visit_id=lift)
    for figure, day in (("12", "2024-04-22"), ("22", "2024-03-18")):
        spots.observe_spot(ketch, spot, lift, ratings=[moisture(figure, day)])
    with ketch.read() as book:
        found = spot_series(book, spot, "moisture", "reading", None)
    assert [point.value for point in found.points] == [22, 12]
    assert [point.value for point in found.standing] == [22]


def test_readings_that_fall_before_a_barrier_are_drying_and_no_return(ketch, zone, lift):
    coatings.add_treatment(ketch, lift, sort="barrier", zones=[zone], ends="2024-06-04")
    for figure, day in (("24", "2024-03-18"), ("11", "2024-04-22"), ("6", "2024-05-26")):
        look(ketch, lift, zone, figure, day)
    with ketch.read() as book:
        (item,) = [one for one in judged_zones(book) if one.component == "reading"]
        lines = [summary_text(one) for one in summary(None, [], [], [item], [], [], NOW)]
    assert item.mended is None
    (said,) = [line for line in lines if "dried" in line]
    assert "dried from 24 (18 Mar 2024) to 6 (26 May 2024) before treatment" in said
    assert said.endswith("not metered since.")
    assert not [line for line in lines if "found again" in line or "repaired" in line]
    assert "Dried from 24" in trend_text(item)


def test_a_reading_that_rose_did_not_dry(ketch, zone, lift):
    coatings.add_treatment(ketch, lift, sort="dried", zones=[zone])
    for figure, day in (("6", "2024-03-18"), ("11", "2024-04-22")):
        look(ketch, lift, zone, figure, day)
    with ketch.read() as book:
        (item,) = [one for one in judged_zones(book) if one.component == "reading"]
    assert item.dried is None
