"""Is there a trend?  Exact Mann–Kendall, Theil–Sen on real dates, corrected for many zones.

A trend needs five comparable readings: with four, even a perfect rise has p = 0.083.  Grades are
ordinal and get no slope.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from statistics import NormalDist, median
from typing import Literal

from hulllog.trade.kinds import require
from hulllog.trade.mannkendall import (
    MannKendall,
    checked_series,
    critical_s,
    mann_kendall,
    null_distribution,
    ties,
    variance_of_s,
)
from hulllog.trade.ranges import within
from hulllog.trade.refusal import Refusal
from hulllog.trade.working import Input, Interval, Source, Working

FEWEST = 5
"""The fewest comparable readings for which a trend is tested (our own rule)."""
LEVEL = 0.95
_STEEPEST = 1e15
_SLOPE = "b = median((y_j − y_i)/(t_j − t_i)), i < j"
_TEST = "p = P(|S′| ≥ |S|), S = Σ sgn(y_j − y_i)·sgn(t_j − t_i), i < j"
_ALL = "p′ = p_{(j)}·m/j, j ≥ i"
_SEN = Source("published", "Sen, J. Am. Stat. Assoc. 63 (1968)")
_MANN = Source("published", "Mann, Econometrica 13 (1945)")
_BH = Source("published", "Benjamini and Hochberg, J. R. Stat. Soc. B 57 (1995)")
_OWN = Source(
    "our own rule", "Theil–Sen slope from the fitted level, whose interval is the sign test's"
)


@dataclass(frozen=True, slots=True)
class Trend:
    """Whether a series rises or falls steadily, and for numbers how fast.

    ``slope`` and ``interval`` are in the unit of the readings per unit of time, None for grades.
    ``tested`` is the working of p; ``working`` that of the slope, or of p for grades.
    """

    test: MannKendall
    slope: float | None
    interval: Interval | None
    tested: Working
    working: Working

    @property
    def workings(self) -> tuple[Working, ...]:
        """Return the figures that it holds, the slope first."""
        return (self.tested,) if self.slope is None else (self.working, self.tested)

    @property
    def n(self) -> int:
        """Return how many readings were tested."""
        return self.test.n

    @property
    def p(self) -> float:
        """Return the two-sided p of the test, before any correction for many zones."""
        return self.test.p

    @property
    def direction(self) -> Literal["up", "down", "none"]:
        """Return which way the series goes: ``up`` is worse for the place of a grade."""
        return self.test.direction


def of(times: Sequence[float], values: Sequence[float], unit: str = "1") -> Trend:
    """Test a series of numbers and fit its slope.

    ``times`` in years, any order; ``values`` in ``unit``.  The working's unit is ``unit``/year.
    Raises Refusal ``too_few`` under five readings, ``one_moment`` where all share one time,
    ``not_finite``, ``lengths_differ``.
    Source: Sen 1968 with exact ranks (Hollander and Wolfe, Nonparametric Statistical Methods, 9.3).
    """
    series = _enough(times, values)
    test = mann_kendall([v for _, v in series], [t for t, _ in series])
    slope, interval = theil_sen(times, values)
    working = Working(
        name="trend_slope",
        value=slope,
        unit=f"{unit}/year",
        formula=_SLOPE,
        inputs=_readings(series, unit),
        source=_SEN,
        interval=interval,
        cautions=() if interval else ("no_interval_ties",),
    )
    return Trend(test, slope, interval, _tested(test, _readings(series, unit)), working)


def of_grades(positions: Sequence[float], times: Sequence[float] | None = None) -> Trend:
    """Test a series of places on an ordered scale, best = 0, oldest first; never a slope.

    Raises Refusal ``too_few``, ``not_finite``, ``lengths_differ``.
    """
    moments = range(len(positions)) if times is None else times
    series = _enough(moments, positions)
    test = mann_kendall([v for _, v in series], [t for t, _ in series])
    tested = _tested(test, _readings(series, "1"), "grades_have_no_slope")
    return Trend(test, None, None, tested, tested)


def _tested(test: MannKendall, readings: tuple[Input, ...], *cautions: str) -> Working:
    by = "" if test.method == "exact" else "normal_approximation"
    return Working(
        name="trend_test",
        value=test.p,
        unit="1",
        formula=_TEST,
        inputs=(*readings, Input("n", test.n), Input("S", test.s, "1", by)),
        source=_MANN,
        cautions=cautions,
    )


def _readings(series: Sequence[tuple[float, float]], unit: str) -> tuple[Input, ...]:
    """Return the readings in their order, and the years from the first of them to each."""
    first = series[0][0]
    return (
        Input("y", tuple(value for _, value in series), unit),
        Input("t", tuple(moment - first for moment, _ in series), "year"),
    )


def _enough(times: Sequence[float], values: Sequence[float]) -> list[tuple[float, float]]:
    series = checked_series(times, values)
    if len(series) < FEWEST:
        raise Refusal("too_few", n=len(series), fewest=FEWEST)
    return series


def theil_sen(
    times: Sequence[float], values: Sequence[float], level: float = LEVEL
) -> tuple[float, Interval | None]:
    """Return the median of all pairwise slopes and its interval; pairs of one time are left out.

    The interval holds the slopes that the exact test would not reject, so its level is at least
    ``level``; it is None where there are too few pairs for that.  Raises Refusal ``one_moment``,
    ``not_finite``, ``lengths_differ``, ``out_of_range``.
    Source: Sen, J. Am. Stat. Assoc. 63 (1968); Hollander and Wolfe, 9.3.
    """
    within("level", level, 0.5, 0.999)
    series = checked_series(times, values)
    slopes = sorted(
        (later - earlier) / (t - t0)
        for n, (t, later) in enumerate(series)
        for t0, earlier in series[:n]
        if t != t0
    )
    if not slopes or max(-slopes[0], slopes[-1]) > _STEEPEST:
        raise Refusal("one_moment", n=len(series))
    ranks = _ranks(series, len(slopes), level)
    if ranks is None:
        return median(slopes), None
    low, high = ranks
    return median(slopes), Interval(slopes[low], slopes[high], "confidence", level)


def _ranks(series: list[tuple[float, float]], pairs: int, level: float) -> tuple[int, int] | None:
    """Return the places of the bounds among the sorted slopes."""
    by_time = ties([t for t, _ in series])
    table = null_distribution(by_time, (1,) * len(series))
    if table is None:
        by_value = ties([v for _, v in series])
        reach = NormalDist().inv_cdf(0.5 + level / 2) * math.sqrt(variance_of_s(by_time, by_value))
        low, high = round((pairs - reach) / 2) - 1, round((pairs + reach) / 2)
        return max(low, 0), min(high, pairs - 1)
    critical = critical_s(table, (1 - level) / 2)
    if critical is None:
        return None
    low = (pairs - critical) // 2
    return low, pairs - 1 - low


def benjamini_hochberg(ps: Sequence[float]) -> list[float]:
    """Return each p corrected for the number of tests, in the order given.

    The corrected p is the smallest share of false alarms at which that test would still count.
    Raises Refusal ``out_of_range`` for a p outside 0…1.
    Source: Benjamini and Hochberg, J. R. Stat. Soc. B 57 (1995).
    """
    for p in ps:
        within("p", p, 0, 1)
    m, best = len(ps), 1.0
    corrected = [1.0] * m
    for rank, place in sorted(enumerate(sorted(range(m), key=ps.__getitem__), 1), reverse=True):
        best = min(best, ps[place] * (m / rank))
        corrected[place] = best
    return corrected


def corrected(ps: Sequence[float]) -> list[Working]:
    """Return each p corrected for the number of tests, with its working, in the order given.

    Raises Refusal and has its source as ``benjamini_hochberg``.
    """
    ordered, m = sorted(ps), len(ps)
    places = []
    for p, value in zip(ps, benjamini_hochberg(ps), strict=True):
        rank = ordered.index(p) + 1
        places.append(
            (value, rank, min(range(rank, m + 1), key=lambda j: ordered[j - 1] * (m / j)))
        )
    return [
        Working(
            name="trend_p_corrected",
            value=value,
            unit="1",
            formula=_ALL,
            inputs=(
                Input("i", rank),
                Input("m", len(ps)),
                Input("j", least),
                Input("p_{(j)}", ordered[least - 1]),
            ),
            source=_BH,
            cautions=("least_of_all",),
        )
        for value, rank, least in places
    ]


def forecast(
    kind_id: str, component: str, times: Sequence[float], values: Sequence[float], at: float
) -> Working:
    """Return the level that a steady course would reach at a later time, with its interval.

    Starts from the fitted level at the last reading, whose interval is the sign test's for the
    median residual, and goes on with the bounds of the slope.  ``times`` and ``at`` in years,
    ``values`` in the component's unit.  Refused: ``no_forecast`` for blisters, cracks, grades and
    all else that does not wear steadily, ``out_of_range`` for a time before the last reading or
    over 100 years after it, ``too_few``, ``no_interval_ties``.  Our own rule.
    """
    part = require(kind_id).component(component)
    if part is None or not part.steady:
        raise Refusal("no_forecast", kind=kind_id, component=component)
    series = _enough(times, values)
    last = series[-1][0]
    ahead = within("years_ahead", at - last, 0, 100, "year")
    slope, bounds = theil_sen(times, values)
    if bounds is None:
        raise Refusal("no_interval_ties")
    level = level_at(series, slope, last)
    sure = (level.level or 0.0) - (1 - LEVEL)
    low, high = level.low + bounds.low * ahead, level.high + bounds.high * ahead
    fitted = median(v - slope * (t - last) for t, v in series)
    return Working(
        name="forecast",
        value=fitted + slope * ahead,
        unit=part.unit or "1",
        formula="y = y₀ + b·(t − t₀)",
        inputs=(
            Input("y₀", fitted, part.unit or "1"),
            Input("b", slope, f"{part.unit}/year"),
            Input("t − t₀", ahead, "year"),
            Input("n", len(series)),
        ),
        source=_OWN,
        cautions=("if_it_goes_on_so",),
        interval=Interval(low, high, "confidence", sure),
    )


def level_at(series: Sequence[tuple[float, float]], slope: float, moment: float) -> Interval:
    """Return the sign test's interval of the level that the fitted line has at a moment.

    ``series`` is (time, value); the widest bounds that n readings give stand where none reach
    95 %.  Raises Refusal ``nothing_given`` or ``not_finite``.
    Source: the sign test (Hollander and Wolfe, 3.6).
    """
    residuals = sorted(v - slope * (t - moment) for t, v in series)
    n = len(residuals)
    if not residuals:
        raise Refusal("nothing_given")
    if not all(map(math.isfinite, residuals)):
        raise Refusal("not_finite")
    depth, outside = 0, 0.5 ** (n - 1)
    while depth + 1 < n // 2:
        wider = outside + 2 * math.comb(n, depth + 1) * 0.5**n
        if wider > 1 - LEVEL:
            break
        depth, outside = depth + 1, wider
    return Interval(residuals[depth], residuals[n - 1 - depth], "confidence", 1 - outside)
