"""Shapes are where and as large as they are said to be."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hulllog.drawing import shapes
from hulllog.drawing.scene import Path, Text


def test_a_circle_has_its_area():
    assert shapes.area(shapes.circle(5, 5, 3)) == pytest.approx(math.pi * 9, rel=0.003)


def test_a_ring_has_a_hole():
    ring = shapes.ring(0, 0, 4, 1)
    assert shapes.area(ring) == pytest.approx(math.pi * (16 - 9), rel=0.003)
    assert not shapes.contains(shapes.outline(ring), 0, 0)
    assert shapes.contains(shapes.outline(ring), 3.5, 0)


def test_a_rectangle_with_round_corners_loses_the_corners():
    square = shapes.rect(0, 0, 10, 10, radius=2)
    assert shapes.area(square) == pytest.approx(100 - (4 - math.pi) * 4, rel=0.001)
    assert shapes.bounds(square) == pytest.approx((0, 0, 10, 10))


def test_a_radius_never_exceeds_half_the_side():
    pill = shapes.rect(0, 0, 10, 2, radius=50)
    assert shapes.bounds(pill) == pytest.approx((0, 0, 10, 2))


@pytest.mark.parametrize("angle", [0, 45, 90, 135, 20])
def test_a_hatch_stays_inside_and_covers_evenly(angle):
    shape = shapes.circle(20, 20, 10)
    hatch = shapes.hatch(shape, 0.5, angle=angle)
    runs = shapes.outline(shape)
    length = 0.0
    for start, end in shapes.outline(hatch):
        length += math.dist(start, end)
        middle = ((start[0] + end[0]) / 2, (start[1] + end[1]) / 2)
        assert shapes.contains(runs, *middle)
        assert math.dist((20, 20), start) == pytest.approx(10, rel=0.01)
    assert length * 0.5 == pytest.approx(math.pi * 100, rel=0.02)


def test_a_hatch_leaves_the_hole_free():
    hatch = shapes.hatch(shapes.ring(0, 0, 10, 4), 0.5)
    runs = shapes.outline(shapes.circle(0, 0, 5.9))
    for start, end in shapes.outline(hatch):
        assert not shapes.contains(runs, (start[0] + end[0]) / 2, (start[1] + end[1]) / 2)


@given(st.floats(-50, 50), st.floats(-50, 50), st.floats(10, 170))
@settings(max_examples=40)
def test_a_hatch_line_has_the_angle_asked_for(x, y, angle):
    hatch = shapes.hatch(shapes.rect(x, y, 10, 6), 1, angle=angle)
    for start, end in shapes.outline(hatch):
        if math.dist(start, end) > 0.01:
            rise = math.degrees(math.atan2(start[1] - end[1], end[0] - start[0])) % 180
            assert rise == pytest.approx(angle, abs=0.1)


def test_neighbours_share_the_phase_of_a_hatch():
    left = shapes.outline(shapes.hatch(shapes.rect(0, 0, 10, 10), 2))
    right = shapes.outline(shapes.hatch(shapes.rect(10, 0, 10, 10), 2))

    def on_seam(runs):
        return sorted(round(y, 6) for run in runs for x, y in run if abs(x - 10) < 1e-9)

    assert on_seam(left) == on_seam(right)
    assert len(on_seam(left)) >= 3


def test_an_empty_shape_has_an_empty_hatch():
    assert shapes.hatch(Path(()), 1).ops == ()


def test_a_text_is_bounded_by_its_anchor():
    start = shapes.bounds(Text(10, 5, "boat", anchor="start"))
    end = shapes.bounds(Text(10, 5, "boat", anchor="end"))
    middle = shapes.bounds(Text(10, 5, "boat", anchor="middle"))
    assert start[0] == 10
    assert end[2] == pytest.approx(10)
    assert middle[0] + middle[2] == pytest.approx(20)
    assert start[1] < 5 < start[3]


def test_a_tick_and_a_cross_stand_where_they_are_put():
    left, top, right, bottom = shapes.bounds(shapes.tick(10, 10, 4))
    assert (top, bottom) == (6, 10)
    assert left < 10 < right
    assert shapes.bounds(shapes.cross(0, 0, 2)) == (-1, -1, 1, 1)


def test_a_curve_is_flattened_without_jumps():
    (run,) = shapes.outline(shapes.circle(0, 0, 1), steps=20)
    assert max(math.dist(a, b) for a, b in pairwise(run)) < 0.1
