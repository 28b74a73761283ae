"""Rating cards cover the share that they name, and show blisters to scale."""

from __future__ import annotations

import math
from itertools import combinations, pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hulllog.drawing import scatter
from hulllog.drawing import scene as drawn
from hulllog.drawing.cards import (
    BLISTER_SIZES,
    SHARES,
    Blisters,
    blister_card,
    share_card,
)
from hulllog.drawing.recorder import record
from hulllog.drawing.shapes import bounds, outline

LOOKS = ("dots", "rust", "slime", "weed", "shell")
BODY = {"card_edge", "condition.2", "growth"}
FINE = 40
"""Points to a millimetre where the covered area is integrated."""


def inside(run, xs, ys):
    """Say for a grid of points which lie inside a run, by the even-odd rule."""
    hit = np.zeros((len(ys), len(xs)), dtype=bool)
    for (x1, y1), (x2, y2) in pairwise([*run, run[0]]):
        if y1 == y2:
            continue
        crossed = (ys > y1) != (ys > y2)
        edge = x1 + (ys - y1) * (x2 - x1) / (y2 - y1)
        hit ^= crossed[:, None] & (xs[None, :] < edge[:, None])
    return hit


def covered(scene):
    """Integrate the covered share: overlaps count once, what leaves the card not at all."""
    xs = (np.arange(round(scene.width * FINE)) + 0.5) / FINE
    ys = (np.arange(round(scene.height * FINE)) + 0.5) / FINE
    field = np.zeros((len(ys), len(xs)), dtype=bool)
    for item in scene.items:
        if isinstance(item, drawn.Path) and item.style.fill in BODY:
            left, top, right, bottom = bounds(item)
            across = slice(*np.searchsorted(xs, (left, right)))
            down = slice(*np.searchsorted(ys, (top, bottom)))
            for run in outline(item):
                field[down, across] |= inside(run, xs[across], ys[down])
    return field.mean()


@pytest.mark.parametrize("look", LOOKS)
@pytest.mark.parametrize("share", [0.01, 0.1, 0.33, 0.5])
def test_what_is_covered_is_the_share_named(share, look):
    assert covered(share_card(share, look)) == pytest.approx(share, rel=0.02)


@pytest.mark.parametrize("share", SHARES)
def test_the_marks_add_up_exactly(share):
    spots = scatter.share_of((42.0, 28.0), share, 2.0 * share**0.4, 0.4 * share**0.4)
    assert sum(spot.area for spot in spots) == pytest.approx(share * 42 * 28, rel=1e-6)


@given(st.floats(0.0003, 0.5), st.integers(1, 50))
@settings(max_examples=20, deadline=None)
def test_marks_neither_touch_nor_leave_the_field(share, seed):
    spots = scatter.share_of((30.0, 20.0), share, 1.6, 0.3, seed)
    for spot in spots:
        assert min(spot.x, spot.y, 30 - spot.x, 20 - spot.y) >= spot.r - 1e-9
    for one, other in combinations(spots, 2):
        assert math.hypot(one.x - other.x, one.y - other.y) > one.r + other.r


def test_a_share_that_cannot_be_is_refused():
    with pytest.raises(ValueError, match=r"0\.6"):
        share_card(0.6)
    with pytest.raises(ValueError, match=r"-0\.1"):
        share_card(-0.1)
    with pytest.raises(ValueError, match=r"0\.95"):
        scatter.share_of((4.0, 4.0), 0.95, 0.5, 0.3)


def test_nothing_covered_is_a_bare_card():
    assert len(share_card(0.0).items) == 1


@pytest.mark.parametrize("look", LOOKS)
def test_a_card_is_the_same_each_time_and_another_with_another_seed(look):
    assert record(share_card(0.03, look)) == record(share_card(0.03, look))
    assert record(share_card(0.03, look)) != record(share_card(0.03, look, seed=9))


def test_growth_is_told_apart_without_colour():
    def strokes(look):
        return sum(bool(item.style.stroke) for item in share_card(0.1, look).items)

    assert strokes("slime") == 0
    assert record(share_card(0.1, "weed")).count("growth_edge") > 0
    assert strokes("weed") != strokes("shell")


def circles(scene):
    return [
        bounds(item)[2] - bounds(item)[0]
        for item in scene.items
        if isinstance(item, drawn.Path) and item.style.fill == "card_mark"
    ]


@pytest.mark.parametrize("size", BLISTER_SIZES)
def test_a_blister_is_as_wide_as_the_bar_says(size):
    scene = blister_card(Blisters(1, size, size), across=150, scale_text="50 mm")
    bar = next(i for i in scene.items if isinstance(i, drawn.Path) and i.style.width == 0.6)
    assert circles(scene)[0] / (bounds(bar)[2] - bounds(bar)[0]) == pytest.approx(size / 50)


@given(st.integers(0, 40), st.floats(1, 20), st.floats(1, 3))
@settings(max_examples=40, deadline=None)
def test_as_many_blisters_as_counted_and_none_above_the_largest(count, typical, factor):
    largest = typical * factor
    scene = blister_card(Blisters(count, typical, largest), width=42, across=150)
    found = circles(scene)
    assert len(found) == count
    if count:
        assert max(found) == pytest.approx(largest * 42 / 150)


def test_a_card_can_be_pressed():
    scene = blister_card(Blisters(3, 4, 8), key="card:3")
    assert scene.items[-1].key == "card:3"
    assert share_card(0.1, key="share:0.1").items[-1].key == "share:0.1"
