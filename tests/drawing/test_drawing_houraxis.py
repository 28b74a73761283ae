"""A plan on its hours: in place, in order, nothing over its edge, and said in words."""

from __future__ import annotations

import pytest

from hulllog.drawing import font
from hulllog.drawing.houraxis import Bar, HourAxis, Tide, Window, height_of, hour_axis
from hulllog.drawing.scene import Text
from hulllog.drawing.shapes import bounds

AXIS = HourAxis(
    begins=6, ends=48, rows=("The boat", "Bottom", "Keel"),
    bars=(
        Bar("task:0", 0, 8, 9, "yard", "wash", "wash at 8"),
        Bar("task:1", 1, 9, 11, "prepare", "", "abrade at 9"),
        Bar("task:2", 1, 12, 15, "coat", "1", "coat at 12"),
        Bar("task:3", 1, 32, 35, "coat", "2", "coat at 32"),
    ),
    windows=(
        Window("window:0", 1, 20, 60, 32, "over it from 20"),
        Window("window:1", 1, 40, 44, 41, "launch from 40 to 44"),
    ),
    nights=((0, 6), (20, 30), (44, 54)), days=((0, "Mon 4"), (24, "Tue 5")),
    curve=tuple((float(at), 10.0 + at % 24) for at in range(6, 48)),
    warm="33 °C", cold="10 °C", curve_name="Temperature", works=((8, 18), (32, 42)),
    key=(("coat", "coat by number"), ("window", "window")), empty="no coat",
    tides=(Tide("tide:0", 14, "5.1 m", "high water at 14"),), described="all of it",
)  # fmt: skip


def boxes(scene, key):
    return [bounds(one) for one in scene.items if one.key == key and not isinstance(one, Text)]


def texts(scene):
    return [one.text for one in scene.items if isinstance(one, Text)]


@pytest.mark.parametrize("width", [110, 180, 255])
def test_nothing_stands_over_the_edge(width):
    scene = hour_axis(AXIS, width)
    assert scene.height == height_of(AXIS)
    for item in scene.items:
        left, top, right, bottom = bounds(item)
        assert left >= -0.01, item
        assert right <= width + 0.01, item
        assert top >= -0.01, item
        assert bottom <= scene.height + 0.01, item


def test_all_is_reached_in_the_order_of_time_and_said():
    scene = hour_axis(AXIS, 200)
    assert [key for key, _ in scene.regions] == [
        "task:0", "task:1", "task:2", "tide:0", "window:0", "task:3", "window:1",
    ]  # fmt: skip
    assert dict(scene.regions)["window:1"] == "launch from 40 to 44"
    assert scene.described == "all of it"


def test_a_bar_is_as_wide_as_its_hours():
    scene = hour_axis(AXIS, 200)
    (one, *_), (three, *_) = boxes(scene, "task:0"), boxes(scene, "task:2")
    assert (three[2] - three[0]) / (one[2] - one[0]) == pytest.approx(3)


def test_a_window_ends_at_its_end_or_where_the_next_begins():
    scene = hour_axis(AXIS, 200)
    right = max(box[2] for box in boxes(scene, "window:0"))
    assert right <= min(box[0] for box in boxes(scene, "window:1"))
    # It is used where the second coat begins.
    assert right == pytest.approx(min(box[0] for box in boxes(scene, "task:3")), abs=0.01)


def test_a_row_without_a_bar_says_so():
    assert texts(hour_axis(AXIS, 200)).count("no coat") == 1


def test_a_label_that_does_not_fit_stands_after_its_bar():
    narrow, wide = hour_axis(AXIS, 110), hour_axis(AXIS, 400)
    for scene in (narrow, wide):
        (label,) = [one for one in scene.items if isinstance(one, Text) and one.text == "wash"]
        (box,) = boxes(scene, "task:0")
        inside = bounds(label)[2] <= box[2] + 0.01
        assert inside == (box[2] - box[0] >= font.width("wash", font.SMALL, bold=True) + 0.8)
        assert inside or bounds(label)[0] > box[2]


def test_days_are_named_where_they_begin():
    assert {"Mon 4", "Tue 5"} <= set(texts(hour_axis(AXIS, 200)))
