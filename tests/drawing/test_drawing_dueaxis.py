"""What falls due on an axis of time: a box over its days, nothing outside."""

from __future__ import annotations

from datetime import date

import pytest

from hulllog.drawing.dueaxis import Row, due_axis, height_of
from hulllog.drawing.scene import Text
from hulllog.drawing.shapes import bounds
from hulllog.drawing.timeline import Moment, fraction

TODAY = fraction(date(2025, 6, 1))


def row(key, begins, last=None, **more):
    return Row(key, f"name of {key}", Moment.between(begins, last), last is None, key, **more)


SOON = row("due:a", date(2025, 9, 1), date(2026, 3, 1), first=True)
DAY = row("due:b", date(2026, 6, 17))
LONG = row("due:c", date(2026, 1, 1), date(2060, 1, 1))
PAST = row("due:d", date(2015, 1, 1), date(2024, 1, 1))


def drawn(*rows, width=180.0):
    return due_axis(rows, TODAY, width, height_of(rows), today_text="today")


def marks(scene, key):
    shown = [one for one in scene.items if one.key == key and not isinstance(one, Text)]
    return [bounds(one) for one in shown if one.style.stroke]


def test_rows_are_reached_in_their_order():
    assert [key for key, _ in drawn(SOON, DAY).regions] == ["due:a", "due:b"]


def test_a_known_day_is_a_post_and_an_interval_is_as_wide_as_its_days():
    scene = drawn(SOON, DAY)
    ((left, _, right, _),) = marks(scene, "due:a")
    ((post, _, end, _),) = marks(scene, "due:b")
    assert end - post < 1.5
    # From the middle of the interval to the day, in the same millimetres a year.
    unit = (right - left) / (fraction(date(2026, 3, 1)) - fraction(date(2025, 9, 1)))
    assert (post + end) / 2 - left == unit_of(unit, date(2025, 9, 1), date(2026, 6, 17))


def unit_of(unit, first, last):
    return pytest.approx(unit * (fraction(last) - fraction(first)), abs=0.01)


def test_nothing_lies_outside_however_far_or_long():
    many = [
        Row("due:x", "A name without end " * 9, LONG.when, False, "x"),
        SOON, DAY, LONG, PAST,
    ]  # fmt: skip
    for width in (90.0, 180.0, 320.0):
        scene = due_axis(many, TODAY, width, height_of(many), today_text="today")
        for item in scene.items:
            left, top, right, bottom = bounds(item)
            assert left >= -0.01
            assert right <= width + 0.01
            assert top >= -0.6
            assert bottom <= scene.height + 0.01


def test_the_first_is_told_apart_by_weight_too():
    names = {one.key: one.bold for one in drawn(SOON, DAY).items if isinstance(one, Text)}
    assert names["due:a"]
    assert not names["due:b"]
