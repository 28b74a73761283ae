"""The hours of a slot: temperatures between those typed, dew, tides, and how long a coat waits."""

from __future__ import annotations

import pytest

from hulllog.trade import coathours, coatlife, slothours
from hulllog.trade.coathours import ENDLESS
from hulllog.trade.refusal import Refusal
from hulllog.trade.slothours import Day, HighWater, Hour
from hulllog.trade.windows import WindowRow
from hulllog.words.working import said

DAYS = [Day(16, 8, 60, 8, 17), Day(20, 10, 60, 9, 12), Day(12, 4, 60)]


def code(call, *given):
    with pytest.raises(Refusal) as refused:
        call(*given)
    return refused.value.code


@pytest.mark.parametrize(
    ("hour", "celsius"),
    [(0, 8), (6, 8), (10, 12), (14, 16), (22, 12), (30, 8), (38, 20), (46, 15), (54, 10), (62, 12)],
)
def test_the_temperature_runs_straight_between_what_was_typed(hour, celsius):
    # First light 6, warmest 14: from 8 to 16 in eight hours, a degree each; and back in sixteen.
    assert slothours.temperature_at(DAYS, 6, hour).value == pytest.approx(celsius)


def test_an_hour_keeps_its_coldest_and_its_hottest():
    hour = slothours.hours_of(DAYS, 6, 20)[10]
    assert (hour.coldest, hour.hottest) == (12, 13)


def test_work_is_in_yard_hours_and_daylight():
    hours = slothours.hours_of(DAYS, 6, 16)
    assert [at for at, hour in enumerate(hours) if hour.hands] == [*range(8, 16), 33, 34, 35]
    assert [at for at, hour in enumerate(hours) if hour.yard] == [*range(8, 17), 33, 34, 35]


def test_the_air_keeps_its_moisture_through_the_night():
    # 60 % of 18.17 hPa at 16 °C are 61.9 % of 17.60 hPa at 15.5 °C.  The dew point is about 8.2:
    # by dawn, at 8 °C, it is wet.
    hours = slothours.hours_of(DAYS, 6, 20)
    assert hours[14].humidity == pytest.approx(61.9, abs=0.1)
    assert hours[29].humidity == 100
    assert slothours.air_allows(hours[13])
    assert not slothours.air_allows(hours[29])


def test_the_margin_of_three_degrees_is_kept_to_the_edge():
    assert slothours.air_allows(Hour(20, 20, 82.8))
    assert not slothours.air_allows(Hour(20, 20, 83.0))


@pytest.mark.parametrize(
    ("given", "why"),
    [
        (([], 6, 20), "no_days"),
        (([Day(8, 9, 60)], 6, 20), "night_over_day"),
        (([Day(16, 8, 60, 12, 12)], 6, 20), "range_upside_down"),
        (([Day(16, 8, 0)], 6, 20), "out_of_range"),
        (([Day(16, 8, 60)], 15, 20), "out_of_range"),
    ],
)
def test_what_cannot_be_is_refused(given, why):
    assert code(slothours.hours_of, *given) == why


TIDES = [HighWater(6, 5.0), HighWater(18.4, 4.4), HighWater(30.9, 4.9)]


def test_she_comes_off_with_the_next_tide_that_floats_her():
    # She floats off at 4.2 and keeps 0.3: 4.4 leaves her 0.1 short, 4.9 floats her with 0.4.
    on, off = slothours.tide_that_floats(TIDES, 4.2, 0.3)
    assert (on.at, off.at) == (6, 30.9)
    assert slothours.to_spare(TIDES[1], 4.2, 0.3).value == pytest.approx(-0.1)
    assert slothours.to_spare(off, 4.2, 0.3).value == pytest.approx(0.4)


def test_a_grid_without_a_later_tide_is_refused():
    assert code(slothours.tide_that_floats, TIDES[:2], 4.2, 0.3) == "no_tide_floats_her"
    assert code(slothours.tide_that_floats, TIDES, 4.65, 0.3) == "no_tide_floats_her"
    assert code(slothours.tide_that_floats, TIDES, 4.8, 0.3) == "no_tide_to_come_on"
    assert slothours.tide_that_floats(TIDES, 4.6, 0.3)


def test_the_grid_is_wet_around_each_high_water():
    # Dry 2.5 h after 6: from 9 on.  Wet 3 h before 18.4: from 15 on, until 21 (20.9).
    wet = slothours.wet_hours(TIDES[:2], 2.5, 3, 24)
    assert wet == {*range(3, 9), *range(15, 21)}


ROWS = (WindowRow(5, 16, 64), WindowRow(15, 4, 16))


def at(*celsius):
    return [Hour(t, t, 50) for t in celsius]


def test_a_coat_opens_when_its_coldest_hour_so_far_allows():
    # 4 h at 15 °C.  One hour of 10 °C among them makes it 8 h.
    assert coathours.opens(at(*[15] * 9), ROWS, 0).at == 4
    assert coathours.opens(at(15, 10, *[15] * 9), ROWS, 0).at == 8
    assert coathours.opens(at(15, 15, 15, 15, 0), ROWS, 0).at == 4
    assert coathours.opens(at(15, 15, 15, 0, 15, 15), ROWS, 0) is None
    assert coathours.opens(at(15, 15, 15), ROWS, 0) is None


def test_a_coat_closes_by_its_hottest_hour_so_far():
    assert coathours.closes(at(*[15] * 20), ROWS, 0).at == 16
    assert coathours.closes(at(*[10] * 40), ROWS, 0).at == 32
    # 20 hours at 10 °C, where 32 are allowed; then at 15 °C the 16 are long over.
    assert coathours.closes(at(*[10] * 20, *[15] * 20), ROWS, 0).at == 20
    assert coathours.closes(at(0, *[15] * 20), ROWS, 0) == (0, None)
    assert coathours.closes(at(15), [WindowRow(5, 4)], 0) == (ENDLESS, None)


def test_a_sheet_without_rows_opens_nothing():
    assert code(coathours.opens, at(15), [], 0) == "no_rows"
    assert coathours.coldest_of(at(15, 9, 12), 0, 3) == 9
    assert code(coathours.coldest_of, at(15), 1, 1) == "no_days"


def test_one_coat_lasts_two_months_less():
    assert coatlife.usual_life(2).value == coatlife.usual_life(3).value == 12
    assert coatlife.usual_life(1).value == 10
    assert coatlife.usual_life(1).source.tag == "common practice"


def test_each_sum_can_be_said():
    for working in (
        slothours.temperature_at(DAYS, 6, 9),
        slothours.to_spare(TIDES[0], 4.2, 0.3),
        coatlife.usual_life(1),
    ):
        assert said(working).title
