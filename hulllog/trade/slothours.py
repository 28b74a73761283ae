"""The hours of a slot ashore: the air of each by what was typed for its day, and the tides.

Hours are counted from midnight of the first day.  Temperatures are in °C, humidity in %.
"""

from __future__ import annotations

import math
from functools import lru_cache
from typing import TYPE_CHECKING, NamedTuple

from hulllog.trade import weather
from hulllog.trade.ranges import within
from hulllog.trade.refusal import Refusal
from hulllog.trade.working import Input, Source, Working

if TYPE_CHECKING:
    from collections.abc import Collection, Sequence

WARMEST = 14
"""The hour of the day at which it is warmest.  Our own rule."""
MOST_DAYS = 31
"""So many days are planned at most, hour by hour.  Our own rule."""
_STRAIGHT = Source("our own rule", "straight lines from the night's minimum to the day's maximum")


class Day(NamedTuple):
    """A day as typed: its maximum, the minimum of the night after it, the humidity at the maximum.

    ``opens`` and ``closes`` are the hours from and to which work is allowed; None on a closed day.
    """

    highest: float
    lowest: float
    humidity: float
    opens: int | None = None
    closes: int | None = None


class Hour(NamedTuple):
    """One hour: its coldest and hottest, humidity at the coldest, and what it may be used for."""

    coldest: float
    hottest: float
    humidity: float
    yard: bool = True
    light: bool = True
    wet: bool = False

    @property
    def hands(self) -> bool:
        """Whether work by hand is allowed: in yard hours, by daylight, and not in the tide."""
        return self.yard and self.light and not self.wet


def temperature_at(days: Sequence[Day], first_light: int, hour: int) -> Working:
    """Return the temperature in °C at a full hour after midnight of the first day.

    Before the first day's first light its own minimum stands.  ``first_light`` from 0 to 13.
    Raises Refusal ``out_of_range``, ``no_days`` or ``night_over_day``.  Source: our own rule.
    """
    _checked(days)
    dawn = int(within("first_light", first_light, 0, WARMEST - 1, "h"))
    at = int(within("hour", hour, 0, 24 * len(days), "h"))
    (start, low), (end, high) = _ends(days, dawn, at)
    share = (at - start) / (end - start)
    return Working(
        name="temperature_at",
        value=low + (high - low) * share,
        unit="degC",
        formula="t = t₁ + (t₂ − t₁)·(h − h₁)/(h₂ − h₁)",
        inputs=(
            Input("t_1", low, "degC"),
            Input("h_1", float(start), "h"),
            Input("t_2", high, "degC"),
            Input("h_2", float(end), "h"),
            Input("h", float(at), "h"),
        ),
        source=_STRAIGHT,
        cautions=("typed_forecast",),
    )


def _ends(days: Sequence[Day], dawn: int, at: int) -> tuple[tuple[int, float], tuple[int, float]]:
    """Return the turning points before and after an hour, with their temperatures."""
    turns = [(dawn - 24, days[0].lowest), (dawn, days[0].lowest)]
    for number, day in enumerate(days):
        turns.append((24 * number + WARMEST, day.highest))
        turns.append((24 * (number + 1) + dawn, day.lowest))
    after = next(i for i, (hour, _) in enumerate(turns) if hour > at)
    return turns[after - 1], turns[after]


def _checked(days: Sequence[Day]) -> None:
    if not days:
        raise Refusal("no_days")
    within("days", len(days), 1, MOST_DAYS, "d")
    for day in days:
        within("air", day.highest, -40.0, 60.0, "degC")
        within("air", day.lowest, -40.0, 60.0, "degC")
        within("humidity", day.humidity, 1.0, 100.0, "percent")
        if day.lowest > day.highest:
            raise Refusal("night_over_day", low=day.lowest, high=day.highest, unit="degC")


def hours_of(
    days: Sequence[Day], first_light: int, last_light: int, wet: Collection[int] = ()
) -> tuple[Hour, ...]:
    """Return every hour of the days.  ``wet`` are hours in which the tide is over the grid.

    The moisture in the air is that of the day's maximum all through the day and its night.
    Raises Refusal as ``temperature_at``; ``range_upside_down`` for hours that end before they
    begin.  Source: our own rule, with WMO-No. 8 Annex 4.B.
    """
    within("last_light", last_light, WARMEST, 24, "h")
    ends = [temperature_at(days, first_light, hour).value for hour in range(24 * len(days) + 1)]
    found = []
    for hour in range(24 * len(days)):
        # The night before first light still has the air of the evening.
        moist = days[max((hour - first_light) // 24, 0)]
        coldest = min(ends[hour : hour + 2])
        clock, day = hour % 24, days[hour // 24]
        found.append(
            Hour(
                coldest,
                max(ends[hour : hour + 2]),
                _humidity(moist.highest, moist.humidity, coldest),
                _open(day, clock),
                first_light <= clock < last_light,
                hour in wet,
            )
        )
    return tuple(found)


def _open(day: Day, clock: int) -> bool:
    if day.opens is None or day.closes is None:
        return False
    if day.opens >= day.closes:
        raise Refusal("range_upside_down", low=float(day.opens), high=float(day.closes), unit="h")
    return day.opens <= clock < day.closes


def _humidity(highest: float, humidity: float, celsius: float) -> float:
    dew = weather.dew_point(highest, humidity).value
    return weather.humidity_at(celsius, dew).value if dew <= celsius else 100.0


@lru_cache(maxsize=4096)
def air_allows(hour: Hour) -> bool:
    """Tell whether paint may lie wet in an hour: 3 °C over the dew point and at most 85 %.

    The skin is taken to be as cold as the air.  Raises Refusal ``out_of_range``.
    Source: ISO 12944-7 with ISO 8502-4.
    """
    told = weather.rules(hour.coldest, hour.coldest, max(hour.humidity, 1.0))
    return all(rule.met for rule in told)


class HighWater(NamedTuple):
    """A high water as typed from the tables: hours after midnight of the first day, metres."""

    at: float
    metres: float


class Grid(NamedTuple):
    """A drying grid as its user knows it: high waters, the height at which she floats off, metres.

    ``dries_after`` and ``floods_before`` are hours after and before a high water.
    """

    waters: tuple[HighWater, ...]
    needs: float
    margin: float
    dries_after: float
    floods_before: float


def to_spare(water: HighWater, needs: float, margin: float) -> Working:
    """Return the metres by which a high water floats her; negative where it does not.

    ``needs`` is the height on the tables at which she floats off the grid, from 0 to 20 m;
    ``margin`` is her owner's, from 0 to 5 m.  Raises Refusal ``out_of_range``.
    Source: our own rule.
    """
    height = within("tide", water.metres, -5.0, 20.0, "m")
    floats = within("needs", needs, 0.0, 20.0, "m")
    kept = within("margin", margin, 0.0, 5.0, "m")
    return Working(
        name="to_spare",
        value=round(height - kept - floats, 6),
        unit="m",
        formula="Δ = H − m − H_f",
        inputs=(Input("H", height, "m"), Input("m", kept, "m"), Input("H_f", floats, "m")),
        cautions=("tide_as_typed",),
    )


def tide_that_floats(
    waters: Sequence[HighWater], needs: float, margin: float
) -> tuple[HighWater, HighWater]:
    """Return the tide that she comes on with, and the next later one that floats her again.

    Raises Refusal ``no_tide_to_come_on``, ``no_tide_floats_her`` or ``out_of_range``.
    Source: our own rule.
    """
    listed = sorted(waters)
    for water in listed:
        within("hour", water.at, 0.0, 24.0 * MOST_DAYS, "h")
    enough = [water for water in listed if to_spare(water, needs, margin).value >= 0]
    if not enough:
        raise Refusal("no_tide_to_come_on")
    if len(enough) < 2:
        raise Refusal("no_tide_floats_her")
    return enough[0], enough[1]


def wet_hours(
    waters: Sequence[HighWater], dries_after: float, floods_before: float, count: int
) -> frozenset[int]:
    """Return the hours of ``count`` that are not wholly dry, around each high water.

    ``dries_after`` and ``floods_before`` are hours from 0 to 6.2 as the owner knows the grid.
    Raises Refusal ``out_of_range``.  Source: our own rule.
    """
    after = within("dries_after", dries_after, 0.0, 6.2, "h")
    before = within("floods_before", floods_before, 0.0, 6.2, "h")
    found: set[int] = set()
    for water in waters:
        begins, ends = water.at - before, water.at + after
        found |= set(range(max(math.floor(begins), 0), min(math.ceil(ends), count)))
    return frozenset(found)
