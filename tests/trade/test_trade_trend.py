"""Trends: exact for a handful of readings, slopes on real dates, corrected for many zones."""

from __future__ import annotations

import math
from collections import Counter
from itertools import pairwise, permutations
from math import factorial

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hulllog.trade import mannkendall, trend
from hulllog.trade.mannkendall import mann_kendall
from hulllog.trade.refusal import Refusal

QUICK = settings(max_examples=40, deadline=None)
SMALL = st.lists(st.tuples(st.integers(0, 3), st.integers(0, 3)), min_size=2, max_size=6)
YEARS = st.lists(st.integers(1990, 2030), min_size=5, max_size=12, unique=True)


def sign(difference: int) -> int:
    return (difference > 0) - (difference < 0)


def by_brute_force(times: list[int], values: list[int]) -> dict[int, int]:
    found: Counter[int] = Counter()
    for order in permutations(values):
        found[
            sum(
                sign(times[j] - times[i]) * sign(order[j] - order[i])
                for j in range(len(order))
                for i in range(j)
            )
        ] += 1
    return dict(found)


@QUICK
@given(SMALL)
def test_the_null_distribution_is_that_of_every_order(pairs: list[tuple[int, int]]) -> None:
    times, values = [t for t, _ in pairs], [v for _, v in pairs]
    by_time, by_value = mannkendall.ties(times), mannkendall.ties(values)
    table = mannkendall.null_distribution(by_time, by_value)
    assert table is not None
    total = sum(ways for _, ways in table)
    ours = {s: ways * factorial(len(pairs)) // total for s, ways in table if ways}
    assert ours == by_brute_force(times, values)
    variance = sum(s * s * ways for s, ways in table) / total
    assert mannkendall.variance_of_s(by_time, by_value) == pytest.approx(variance)


@QUICK
@given(SMALL)
def test_p_is_the_share_of_orders_as_far_out_either_way(pairs: list[tuple[int, int]]) -> None:
    times, values = [t for t, _ in pairs], [v for _, v in pairs]
    told, every = mann_kendall(values, times), by_brute_force(times, values)
    far = sum(ways for s, ways in every.items() if abs(s) >= abs(told.s))
    assert told.p == pytest.approx(far / sum(every.values()))


@pytest.mark.parametrize(
    ("times", "values", "s", "p"),
    [
        ([1, 0, 3, 3, 2, 2], [4, 4, 3, 2, 3, 3], -10, 1 / 20),
        ([0, 1, 2, 3, 3], [1, 2, 2, 3, 3], 8, 1 / 30),
    ],
)
def test_tails_that_differ_are_each_counted(
    times: list[int], values: list[int], s: int, p: float
) -> None:
    told = mann_kendall(values, times)
    assert told.s == s
    assert told.p == pytest.approx(p)


@pytest.mark.parametrize(("n", "p"), [(3, 1 / 3), (4, 1 / 12), (5, 1 / 60), (6, 1 / 360)])
def test_p_of_a_perfect_rise(n: int, p: float) -> None:
    assert mann_kendall(range(n)).p == pytest.approx(p)


def test_four_readings_can_never_show_a_trend_so_five_are_asked_for() -> None:
    with pytest.raises(Refusal) as caught:
        trend.of([1, 2, 3, 4], [1, 2, 3, 4])
    assert caught.value.code == "too_few"
    assert caught.value.values == {"n": 4, "fewest": 5}
    assert trend.of(range(5), range(5)).p < 0.05


def test_ties_in_time_and_value_beyond_a_dozen_fall_back_and_say_so() -> None:
    times = [n // 2 for n in range(14)]
    found = mann_kendall([n // 3 for n in range(14)], times)
    assert found.method == "normal"
    assert found.p < 0.001
    assert mann_kendall(range(61)).method == "normal"
    assert mann_kendall(range(60)).method == "exact"


def test_one_value_throughout_has_no_trend() -> None:
    found = trend.of(range(6), [5.0] * 6)
    assert (found.p, found.direction, found.slope) == (1.0, "none", 0.0)


def test_the_slope_goes_by_real_dates() -> None:
    found = trend.of([2010, 2011, 2015, 2021, 2025], [6.0, 5.96, 5.8, 5.56, 5.4], "mm")
    assert found.slope == pytest.approx(-0.04)
    assert found.working.unit == "mm/year"
    assert found.direction == "down"


def test_the_interval_of_five_readings_spans_all_slopes() -> None:
    times, values = [0, 1, 2, 3, 4], [0.0, 2.0, 3.0, 7.0, 8.0]
    slopes = [(values[j] - values[i]) / (j - i) for j in times for i in range(j)]
    _, interval = trend.theil_sen(times, values)
    assert interval is not None
    assert (interval.low, interval.high) == (min(slopes), max(slopes))


def test_no_interval_where_too_few_pairs_could_reject() -> None:
    slope, interval = trend.theil_sen([0, 1, 2, 3], [0, 1, 2, 3])
    assert slope == 1
    assert interval is None


def test_readings_of_one_moment_have_no_slope() -> None:
    with pytest.raises(Refusal) as caught:
        trend.theil_sen([2020.5] * 5, [1, 2, 3, 4, 5])
    assert caught.value.code == "one_moment"


@pytest.mark.parametrize("bad", [math.nan, math.inf])
def test_what_is_not_finite_is_refused(bad: float) -> None:
    for times, values in (([1, 2, 3, 4, bad], range(5)), (range(5), [1, 2, 3, 4, bad])):
        with pytest.raises(Refusal) as caught:
            trend.of(list(times), list(values))
        assert caught.value.code == "not_finite"


def test_lengths_must_match() -> None:
    with pytest.raises(Refusal) as caught:
        trend.of([1, 2, 3, 4, 5], [1, 2, 3])
    assert caught.value.code == "lengths_differ"


def test_grades_have_a_direction_and_no_slope() -> None:
    found = trend.of_grades([0, 1, 1, 2, 3, 3])
    assert found.slope is None
    assert found.interval is None
    assert found.direction == "up"
    assert found.p < 0.05
    assert found.working.cautions == ("grades_have_no_slope",)


@QUICK
@given(YEARS, st.data())
def test_a_series_turned_upside_down_or_back_to_front_falls_where_it_rose(
    years: list[int], data: st.DataObject
) -> None:
    numbers = st.integers(-50, 50)
    values = data.draw(st.lists(numbers, min_size=len(years), max_size=len(years)))
    found = trend.of(years, values)
    turned = trend.of(years, [-value for value in values])
    earlier = trend.of([-year for year in years], values)
    for other in (turned, earlier):
        assert other.p == pytest.approx(found.p)
        assert other.test.s == -found.test.s
        assert other.slope == pytest.approx(-(found.slope or 0.0))
    assert 0 < found.p <= 1
    if found.interval:
        assert found.interval.low <= (found.slope or 0.0) <= found.interval.high


@QUICK
@given(YEARS, st.floats(-5, 5), st.floats(-100, 100))
def test_a_straight_line_gives_back_its_slope(years: list[int], b: float, a: float) -> None:
    found = trend.of(years, [a + b * (year - 1990) for year in years])
    assert found.slope == pytest.approx(b, abs=1e-9)


@QUICK
@given(st.lists(st.floats(0, 1), max_size=20))
def test_corrected_p_keeps_the_order_and_is_never_smaller(ps: list[float]) -> None:
    corrected = trend.benjamini_hochberg(ps)
    assert all(p <= q <= 1 for p, q in zip(ps, corrected, strict=True))
    by_p = sorted(zip(ps, corrected, strict=True))
    assert all(one[1] <= other[1] for one, other in pairwise(by_p))


def test_a_p_outside_its_range_is_refused() -> None:
    with pytest.raises(Refusal) as caught:
        trend.benjamini_hochberg([0.5, 1.2])
    assert caught.value.code == "out_of_range"


PLATE = [2005.0, 2012.0, 2017.0, 2020.0, 2022.0, 2025.0], [6.0, 5.8, 5.6, 5.45, 5.4, 5.2]


def test_a_forecast_starts_at_the_fitted_level_and_fans_out() -> None:
    now, later = (trend.forecast("plate-thickness", "thickness", *PLATE, at) for at in (2025, 2035))
    assert now.value == pytest.approx(5.265)
    assert later.value < now.value
    widths = [w.interval.high - w.interval.low for w in (now, later) if w.interval]
    assert widths[0] < widths[1]
    assert now.interval is not None
    assert now.interval.level == pytest.approx(1 - 0.03125 - 0.05)


@pytest.mark.parametrize(
    ("kind", "code"),
    [
        ("laminate-blisters", "count"),
        ("crack", "length_mm"),
        ("astm-d610-2008", "grade"),
        ("moisture", "reading"),
        ("plate-thickness", "no-such"),
    ],
)
def test_no_forecast_for_what_does_not_wear_steadily(kind: str, code: str) -> None:
    with pytest.raises(Refusal) as caught:
        trend.forecast(kind, code, *PLATE, 2030)
    assert caught.value.code == "no_forecast"


@pytest.mark.parametrize("at", [2024.9, 2200.0, math.nan])
def test_no_forecast_backwards_or_for_centuries(at: float) -> None:
    with pytest.raises(Refusal) as caught:
        trend.forecast("plate-thickness", "thickness", *PLATE, at)
    assert caught.value.code == "out_of_range"


def test_a_forecast_of_a_kind_from_a_newer_version_is_refused() -> None:
    with pytest.raises(Refusal) as caught:
        trend.forecast("from-a-newer-version", "x", *PLATE, 2030)
    assert caught.value.code == "kind_unknown"
