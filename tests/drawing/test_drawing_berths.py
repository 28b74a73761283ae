"""Berth periods on an axis of years: in order, as full as she was afloat, nothing outside."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from itertools import pairwise

import pytest

from hulllog.drawing.berths import HEIGHT, Happened, Period, berth_axis
from hulllog.drawing.scene import Text
from hulllog.drawing.shapes import bounds
from hulllog.drawing.timeline import Moment, fraction

TODAY = fraction(date(2025, 6, 1))


def day(*parts):
    return Moment.between(date(*parts))


CREEK = Period("a", day(2013, 4, 1), day(2020, 7, 1), "2", "North Creek", 0.5, "none", "creek")
QUAY = Period(
    "b", day(2020, 7, 1), None, "1", "South Quay", 1.0, "plugged_with_isolator", "quay"
)  # fmt: skip
HIT = Happened("hit", day(2023, 8, 1), "grounding", "grounding, 2023")


def boxes(scene, key):
    return [bounds(item) for item in scene.items if item.key == key and not isinstance(item, Text)]


def test_periods_and_events_are_reached_in_the_order_of_time():
    scene = berth_axis([QUAY, CREEK], [HIT], TODAY, 110)
    assert [key for key, _ in scene.regions] == ["berth:a", "berth:b", "event:hit"]


def test_a_basin_is_as_full_as_she_was_afloat():
    scene = berth_axis([CREEK], [], TODAY, 110)
    fills = {item.style.fill: bounds(item) for item in scene.items if item.key == "berth:a" and
             not isinstance(item, Text) and item.style.fill}  # fmt: skip
    whole, water = fills["sheet"], fills["water"]
    assert water[3] == pytest.approx(whole[3])
    assert (water[3] - water[1]) == pytest.approx((whole[3] - whole[1]) / 2)


def test_shore_power_runs_below_its_period_broken_where_an_isolator_guards_it():
    scene = berth_axis([CREEK, QUAY], [], TODAY, 110)
    lines = [item for item in scene.items if not isinstance(item, Text)
             and item.style.stroke == "shore"]  # fmt: skip
    assert [item.key for item in lines] == ["berth:b"]
    assert lines[0].style.dash


@pytest.mark.parametrize("width", [60, 110, 200])
def test_nothing_stands_outside_however_long_a_name(width):
    long = replace(CREEK, location="Long " * 24)
    short = replace(QUAY, id="c", start=day(2025, 5, 20), location="x" * 118)
    events = [replace(HIT, id=str(n), at=day(2025, 4, 1 + n)) for n in range(5)]
    scene = berth_axis([long, short], events, TODAY, width)
    for item in scene.items:
        left, top, right, bottom = bounds(item)
        assert left >= -0.01
        assert right <= width + 0.01
        assert top >= 0
        assert bottom <= HEIGHT + 0.7
    texts = [bounds(item) for item in scene.items if isinstance(item, Text) and item.text.isalpha()]
    rows = [(left, right) for left, top, right, _ in texts if 12 < top < 17]
    rows.sort()
    assert all(one[1] <= other[0] for one, other in pairwise(rows))
