"""The tide strip shows the years as they were, and every edge can be reached."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hulllog.drawing import scene as drawn
from hulllog.drawing.recorder import record
from hulllog.drawing.shapes import bounds
from hulllog.drawing.tidemarks import NARROWEST, WATERLINE
from hulllog.drawing.tidestrip import Due, Edge, Event, Shore, Strip, Thread, Visit, tide_strip
from hulllog.drawing.timeline import Moment, fraction

GOLDEN = Path(__file__).parent / "golden" / "tidestrip.txt"
WIDTH, HEIGHT = 298.0, 26.0
LINE = HEIGHT * WATERLINE


def day(*parts):
    return Moment.between(date(*parts))


def visit(name, start, end, **more):
    return Visit(name, start, end, name, f"{name} as found", f"{name} as left", **more)


STRIP = Strip(
    fraction(date(2025, 4, 20)),
    visits=(
        visit("2014", Moment(2014, 2015), Moment(2014, 2015)),
        visit("2018", day(2018, 2, 25), day(2018, 7, 15)),
        visit("2021", day(2021, 4, 8), day(2021, 4, 22)),
        visit("diver", day(2022, 9, 1), day(2022, 9, 1), kind="afloat"),
        visit("2025", day(2025, 4, 14), None, closed=False),
    ),
    threads=(
        Thread("a", day(2018, 7, 15), day(2021, 4, 8), "#7a2a2a", "red"),
        Thread("b", day(2021, 4, 22), day(2025, 4, 14), "thread"),
    ),
    shore=(Shore(day(2021, 5, 1), day(2023, 4, 1)), Shore(day(2023, 5, 1), None, guarded=True)),
    events=(Event("hit", day(2016, 8, 1), "grounded", "grounded"),),
    dues=(
        Due("lift", Moment(2026.2, 2026.5), "next lift, spring 2026", "next"),
        Due("valve", Moment(2040, 2041), "seacock, 2040", "seacock"),
    ),
    picked=Edge("2025", "found"),
    compared=Edge("2021", "left"),
    today_text="today",
    shore_text="shore power",
    described="five visits",
)


def parts(scene, key=None, *, kind=drawn.Path):
    return [i for i in scene.items if isinstance(i, kind) and (key is None or i.key == key)]


def texts(scene):
    return [item.text for item in parts(scene, kind=drawn.Text)]


def filled(scene, role):
    return [path for path in parts(scene) if path.style.fill == role]


def solid(scene):
    return [path for path in filled(scene, "ashore") if path.style.opacity == 1]


def test_the_strip_is_drawn_as_before():
    """Change the golden file only after looking at the picture."""
    assert record(tide_strip(STRIP, WIDTH)) == GOLDEN.read_text(encoding="utf-8")


def test_every_edge_can_be_reached_in_the_order_of_time():
    keys = [key for key, _ in tide_strip(STRIP, WIDTH).regions]
    assert keys == [
        "visit:2014:found",
        "visit:2014:left",
        "event:hit",
        "visit:2018:found",
        "visit:2018:left",
        "coat:a",
        "visit:2021:found",
        "visit:2021:left",
        "visit:diver:found",
        "visit:2025:found",
        "visit:2025:left",
        "due:lift",
        "due:valve",
    ]
    assert dict(tide_strip(STRIP, WIDTH).regions)["visit:2018:left"] == "2018 as left"
    scene = tide_strip(STRIP, WIDTH)
    assert {item.key for item in scene.items if item.key} >= set(keys)
    assert scene.described == "five visits"


def test_a_haul_out_is_as_wide_as_her_days_ashore_and_never_too_narrow():
    scene = tide_strip(STRIP, WIDTH)
    widths = [round(bounds(path)[2] - bounds(path)[0], 2) for path in solid(scene)]
    assert min(widths) >= NARROWEST - 0.005
    long, short = widths[1], widths[2]
    double = replace(
        STRIP, visits=(STRIP.visits[0], replace(STRIP.visits[1], end=day(2018, 12, 2)))
    )
    wider = solid(tide_strip(double, WIDTH))[1]
    assert bounds(wider)[2] - bounds(wider)[0] == pytest.approx(2 * long, rel=0.01)
    assert short == pytest.approx(NARROWEST, abs=0.01)


def test_what_is_not_closed_has_no_top():
    closed = replace(STRIP, visits=(replace(STRIP.visits[4], closed=True),))
    opened = replace(STRIP, visits=(STRIP.visits[4],))

    def frame(strip):
        scene = tide_strip(strip, WIDTH)
        (path,) = [p for p in parts(scene) if p.style.stroke == "ashore_edge"]
        return [op[0] for op in path.ops]

    assert frame(closed) == ["M", "L", "L", "L"]
    assert frame(opened) == ["M", "L", "M", "L"]


def test_a_partial_date_is_blurred_and_an_exact_one_is_not():
    def faded(strip):
        scene = tide_strip(strip, WIDTH)
        return [path for path in filled(scene, "ashore") if path.style.opacity < 1]

    assert faded(replace(STRIP, visits=STRIP.visits[:1]))
    assert not faded(replace(STRIP, visits=STRIP.visits[1:]))


def test_a_visit_afloat_is_a_tick_under_the_line():
    scene = tide_strip(replace(STRIP, visits=(STRIP.visits[3],), picked=None, compared=None), WIDTH)
    assert not solid(scene)
    assert not parts(scene, "visit:diver:left")
    ticks = [p for p in parts(scene) if p.style.stroke == "ink" and p.style.width == 0.5]
    assert [round(bounds(tick)[1], 2) for tick in ticks] == [round(LINE, 2)]


def test_the_picked_edge_is_filled_and_the_compared_one_outlined():
    scene = tide_strip(STRIP, WIDTH)
    picked = [p for p in parts(scene) if p.style.stroke == "action" and p.style.fill == "action"]
    compared = [p for p in parts(scene) if p.style.stroke == "action" and p.style.fill == "sheet"]
    assert len(picked) == 2
    assert len(compared) == 2
    blocks = solid(scene)
    found = bounds(picked[1])
    assert (found[0] + found[2]) / 2 == pytest.approx(bounds(blocks[3])[0], abs=0.01)
    left = bounds(compared[1])
    assert (left[0] + left[2]) / 2 == pytest.approx(bounds(blocks[2])[2], abs=0.01)


def test_what_is_due_is_broken_outlines_right_of_today():
    scene = tide_strip(STRIP, WIDTH)
    dues = [p for p in parts(scene) if p.key.startswith("due:")]
    today = next(p for p in parts(scene) if p.style.dash == (0.4, 0.9))
    assert len(dues) == 2
    for due in dues:
        assert due.style.dash
        assert due.style.fill is None
        assert bounds(due)[0] > bounds(today)[0]
        assert bounds(due)[2] <= WIDTH


def test_what_was_due_before_today_stands_at_today():
    late = replace(STRIP, dues=(Due("late", Moment(2020.1, 2020.4), "since 2020"),))
    scene = tide_strip(late, WIDTH)
    (box,) = parts(scene, "due:late")
    today = next(p for p in parts(scene) if p.style.dash == (0.4, 0.9))
    assert bounds(box)[0] >= bounds(today)[0]


def test_a_box_starts_where_what_is_due_began_though_that_is_past():
    begun = replace(STRIP, dues=(Due("half", Moment(2024.1, 2026.4), "half gone"),))
    scene = tide_strip(begun, WIDTH)
    (box,) = parts(scene, "due:half")
    today = next(p for p in parts(scene) if p.style.dash == (0.4, 0.9))
    assert bounds(box)[0] < bounds(today)[0] - 5 < bounds(box)[2]


def test_a_colour_that_nobody_recorded_is_hatched():
    bare = replace(STRIP, threads=(replace(STRIP.threads[0], colour=""), STRIP.threads[1]))
    plain, hatched = (
        [p for p in parts(tide_strip(strip, WIDTH)) if p.style.width == 0.18]
        for strip in (STRIP, bare)
    )
    assert plain == []
    assert len(hatched) == 1


def test_a_far_due_does_not_squeeze_the_history():
    far = tide_strip(STRIP, WIDTH)
    today = next(p for p in parts(far) if p.style.dash == (0.4, 0.9))
    assert bounds(today)[0] > WIDTH * 0.7
    (box,) = parts(far, "due:valve")
    assert [op[0] for op in box.ops] == ["M", "L", "L", "L"]


def test_shore_power_with_an_isolator_is_broken():
    lines = [p for p in parts(tide_strip(STRIP, WIDTH)) if p.style.stroke == "shore"]
    assert [bool(p.style.dash) for p in lines] == [False, True]


def test_an_empty_strip_says_so():
    scene = tide_strip(Strip(2025.5, today_text="today", empty_text="No haul-out yet."), WIDTH)
    assert texts(scene) == ["today", "No haul-out yet."]
    assert scene.regions == ()


def crowd(count):
    starts = [date(1960, 3, 1) + timedelta(400 * number) for number in range(count)]
    return tuple(
        visit(str(s.year), Moment.between(s), Moment.between(s + timedelta(9))) for s in starts
    )


def test_when_years_crowd_labels_thin_out_and_blocks_stay():
    strip = Strip(2026.0, crowd(60), picked=Edge("1999", "left"), today_text="today")
    scene = tide_strip(strip, WIDTH)
    assert len(solid(scene)) == 60
    labels = [t for t in parts(scene, kind=drawn.Text) if t.text != "today"]
    assert 5 < len(labels) < 60
    assert [t.text for t in labels if t.bold] == ["1999"]
    boxes = sorted(bounds(label) for label in labels)
    assert all(a[2] < b[0] for a, b in pairwise(boxes))


@given(st.floats(60, 400), st.integers(0, 40), st.floats(18, 40))
@settings(max_examples=40, deadline=None)
def test_nothing_is_drawn_outside(width, count, height):
    strip = Strip(2026.0, crowd(count), STRIP.threads, STRIP.shore, STRIP.events, STRIP.dues)
    scene = tide_strip(replace(strip, today_text="today", empty_text="none"), width, height)
    for item in scene.items:
        left, top, right, bottom = bounds(item)
        assert left >= -0.01
        assert right <= width + 0.01
        assert top >= -0.6
        assert bottom <= height + 0.6


def test_a_long_name_is_cut():
    long = replace(STRIP.visits[2], label="W" * 300)
    scene = tide_strip(replace(STRIP, visits=(long,)), WIDTH)
    assert any(text.endswith("…") for text in texts(scene))


def test_a_closed_haul_out_without_an_end_does_not_reach_to_today():
    closed = replace(STRIP, visits=(visit("2014", day(2014, 4, 14), None),), dues=())
    drawn_blocks = [
        bounds(item)
        for item in tide_strip(closed, WIDTH, HEIGHT).items
        if getattr(item, "key", "") == "visit:2014:left"
    ]
    assert max(right for _, _, right, _ in drawn_blocks) < WIDTH / 2
