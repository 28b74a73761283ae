"""Time, ticks, and labels that crowd."""

from __future__ import annotations

from datetime import date, datetime
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hulllog.drawing.timeline import Claim, Moment, Scale, fraction, nice, spread, thinned, years


def test_a_day_is_a_fraction_of_its_own_year():
    assert fraction(date(2025, 1, 1)) == 2025
    assert fraction(date(2025, 12, 31)) == pytest.approx(2025 + 364 / 365)
    assert fraction(date(2024, 12, 31)) == pytest.approx(2024 + 365 / 366)
    assert fraction(datetime(2025, 1, 1, 12)) == pytest.approx(2025 + 0.5 / 365)  # noqa: DTZ001
    assert fraction(date(9999, 12, 31)) < 10000


@given(st.dates(), st.dates())
@settings(max_examples=60)
def test_days_keep_their_order(one, other):
    assert (fraction(one) < fraction(other)) == (one < other)


def test_a_moment_of_one_day_is_sharp():
    assert Moment.between(date(2025, 4, 14)).earliest == Moment.between(date(2025, 4, 14)).latest
    month = Moment.between(date(2014, 4, 1), date(2014, 5, 1))
    assert month.earliest < month.middle < month.latest


def test_a_scale_may_run_backwards():
    assert Scale(0, 10, 50, 0).at(2) == pytest.approx(40)
    assert Scale(0, 10, 50, 0).unit == -5


@given(st.floats(-1e4, 1e4), st.floats(1e-3, 1e4), st.integers(2, 8))
@settings(max_examples=100)
def test_ticks_are_round_even_and_reach_both_ends(low, span, count):
    ticks = nice(low, low + span, count)
    steps = [b - a for a, b in pairwise(ticks)]
    assert ticks[0] <= low + 1e-6 * span
    assert ticks[-1] >= low + span - 1e-6 * span
    assert all(step == pytest.approx(steps[0], rel=1e-6) for step in steps)
    assert f"{steps[0]:.0e}"[0] in "125"
    assert len(ticks) <= count + 3


def test_ticks_of_nothing_are_still_ticks():
    assert len(nice(5, 5)) >= 2
    assert nice(0, 8) == (0, 2, 4, 6, 8)


def test_years_thin_out_to_round_ones():
    assert years(2016.2, 2025.9, 100, 8) == tuple(range(2017, 2026))
    assert years(2016.2, 2025.9, 100, 15) == (2018, 2020, 2022, 2024)
    assert years(1950, 2025, 60, 8) == (1950, 1960, 1970, 1980, 1990, 2000, 2010, 2020)


@given(st.lists(st.tuples(st.floats(0, 200), st.floats(1, 30), st.integers(0, 9)), max_size=30))
@settings(max_examples=60)
def test_labels_that_stand_never_touch_and_the_first_rank_stands(raw):
    claims = [Claim(left, left + width, rank) for left, width, rank in raw]
    stand = thinned(claims, 1)
    kept = sorted((c for c, k in zip(claims, stand, strict=True) if k), key=lambda c: c.left)
    assert all(one.right + 1 <= other.left for one, other in pairwise(kept))
    if claims:
        best = min(range(len(claims)), key=lambda i: (claims[i].rank, i))
        assert stand[best]
    for claim, k in zip(claims, stand, strict=True):
        if not k:
            assert any(claim.left < o.right + 1 and o.left < claim.right + 1 for o in kept)


@pytest.mark.parametrize("count", [0, 1, 2, 3, 7, 40])
def test_ranks_are_each_used_once_and_the_ends_come_first(count):
    ranks = spread(count)
    assert sorted(ranks) == list(range(count))
    if count > 1:
        assert ranks[-1] == 0
        assert ranks[0] == 1
