"""Overcoating and launch windows by temperature."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hulllog.trade import windows
from hulllog.trade.refusal import Refusal
from hulllog.trade.windows import WindowRow

SHEET = [(5.0, 24.0), (15.0, 12.0), (23.0, 6.0), (35.0, 3.0)]
ROWS = [
    WindowRow(5, 24, 336),
    WindowRow(15, 12, 168),
    WindowRow(23, 6, 120),
    WindowRow(35, 3, 48),
]


@pytest.mark.parametrize(("celsius", "hours"), SHEET)
def test_a_row_is_met_exactly(celsius: float, hours: float) -> None:
    assert windows.shortest_time(SHEET, celsius).value == pytest.approx(hours)


def test_halfway_is_the_geometric_mean() -> None:
    assert windows.shortest_time(SHEET, 10).value == pytest.approx(math.sqrt(24 * 12))
    assert windows.shortest_time(SHEET, 19).value == pytest.approx(math.sqrt(12 * 6))


@given(one=st.floats(5, 35), other=st.floats(5, 35))
def test_colder_is_never_faster(one: float, other: float) -> None:
    cold, warm = sorted((one, other))
    assert windows.shortest_time(SHEET, cold).value >= windows.shortest_time(SHEET, warm).value


@given(st.floats(-20, 4.99))
def test_nothing_is_said_below_the_coldest_row(celsius: float) -> None:
    with pytest.raises(Refusal, match="colder_than_sheet"):
        windows.shortest_time(SHEET, celsius)
    with pytest.raises(Refusal, match="colder_than_sheet"):
        windows.window(ROWS, celsius, 20)


def test_above_the_hottest_row_its_value_stays_with_a_caution() -> None:
    told = windows.shortest_time(SHEET, 41)
    assert told.value == 3.0
    assert told.cautions == ("above_hottest_row",)
    assert windows.shortest_time(SHEET, 35).cautions == ()


def test_one_row_serves_its_own_temperature_and_warmer() -> None:
    assert windows.shortest_time([(20, 8)], 20).value == 8
    assert windows.shortest_time([(20, 8)], 25).value == 8
    with pytest.raises(Refusal, match="colder_than_sheet"):
        windows.shortest_time([(20, 8)], 19.9)


def test_the_coldest_sets_the_least_and_the_hottest_the_most() -> None:
    times = windows.window(ROWS, 5, 35)
    assert times.shortest is not None
    assert times.longest is not None
    assert (times.shortest.value, times.longest.value) == (24, 48)


@pytest.mark.parametrize(
    ("waited", "where"), [(0, "too_early"), (23.9, "too_early"), (24, "inside"), (49, "too_late")]
)
def test_a_wait_has_a_place_in_the_window(waited: float, where: str) -> None:
    assert windows.position(waited, windows.window(ROWS, 5, 35)) == where


def test_a_sheet_without_a_longest_time_states_none() -> None:
    times = windows.window([WindowRow(5, 24), WindowRow(23, 6)], 10, 20)
    assert times.longest is None
    assert windows.position(5000, times) == "inside"


def test_a_window_that_closes_before_it_opens() -> None:
    times = windows.window([WindowRow(5, 24, 36), WindowRow(35, 3, 12)], 5, 35)
    assert times.closed
    with pytest.raises(Refusal, match="window_closed"):
        windows.position(20, times)


def test_class_values_never_give_a_verdict() -> None:
    times = windows.class_window("launch", "hard_antifouling", 15)
    assert times.shortest is not None
    assert times.shortest.value == pytest.approx(16)
    assert times.shortest.source.tag == "from memory"
    assert all(one.note == "typical_not_this_product" for one in times.shortest.inputs[1:])
    with pytest.raises(Refusal, match="class_gives_no_verdict"):
        windows.position(500, times)


@pytest.mark.parametrize(("step", "coating"), windows.CLASS_TIMES)
def test_class_times_shrink_with_warmth(step: str, coating: str) -> None:
    times = [windows.class_time(step, coating, t) for t in (5, 10, 15, 20, 23, 30, 35)]
    assert all(a.value >= b.value for a, b in pairwise(times))
    for one in times:
        assert one.interval is not None
        assert one.interval.low <= one.value * 1.000001
        assert one.interval.high >= one.value * 0.999999


@pytest.mark.parametrize(
    ("rows", "code"),
    [
        ([], "no_rows"),
        ([(20.0, 4.0), (20.0, 5.0)], "row_twice"),
        ([(20.0, 0.0)], "out_of_range"),
        ([(math.nan, 4.0)], "out_of_range"),
    ],
)
def test_rows_that_cannot_be(rows: list[tuple[float, float]], code: str) -> None:
    with pytest.raises(Refusal, match=code):
        windows.shortest_time(rows, 20)


def test_a_sheet_that_dries_slower_when_warm_is_said() -> None:
    assert windows.shortest_time([(10, 4), (20, 6)], 15).cautions == ("longer_when_warmer",)


def test_a_period_upside_down_is_refused() -> None:
    with pytest.raises(Refusal, match="range_upside_down"):
        windows.window(ROWS, 20, 10)
    with pytest.raises(Refusal, match="no_rows"):
        windows.window([WindowRow(20)], 20, 20)


@pytest.mark.parametrize(("celsius", "hours"), [(10, 24.0), (30, 6.0), (5, 33.9)])
def test_the_rule_of_halves(celsius: float, hours: float) -> None:
    assert windows.halved(12, 20, celsius).value == pytest.approx(hours, abs=0.05)


@pytest.mark.parametrize(
    ("celsius", "factor"), [(5, 3.02), (10, 2.06), (15, 1.43), (25, 0.709), (30, 0.508)]
)
def test_arrhenius_by_hand(celsius: float, factor: float) -> None:
    assert windows.arrhenius(1, 20, celsius).value == pytest.approx(factor, rel=3e-3)


@given(hours=st.floats(0.1, 200), one=st.floats(5, 40), other=st.floats(5, 40))
def test_rules_there_and_back(hours: float, one: float, other: float) -> None:
    for rule in (windows.halved, windows.arrhenius):
        assert rule(rule(hours, one, other).value, other, one).value == pytest.approx(hours)
