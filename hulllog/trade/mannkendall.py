"""The Mann–Kendall test with its exact null distribution, ties and all.

S counts the pairs that rise less the pairs that fall.  Without a trend every order of the readings
is equally likely, which gives the distribution of S exactly; for a handful of haul-outs the usual
normal approximation is wrong by half.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import product
from statistics import NormalDist
from typing import Literal

from hulllog.trade.ranges import within
from hulllog.trade.refusal import Refusal

Method = Literal["exact", "normal"]
MOST_EXACT = 60
"""Above this number of readings the normal approximation is used, and said to be."""
_MOST_DOUBLY_TIED = 12
_LARGEST = 1e9


@dataclass(frozen=True, slots=True)
class MannKendall:
    """What the test says: S, its variance, the two-sided p, and by which way p was found."""

    n: int
    s: int
    variance: float
    p: float
    method: Method

    @property
    def direction(self) -> Literal["up", "down", "none"]:
        """Return which way S points."""
        return "up" if self.s > 0 else "down" if self.s < 0 else "none"


def mann_kendall(values: Sequence[float], times: Sequence[float] | None = None) -> MannKendall:
    """Test a series, oldest first, for a steady rise or fall.

    ``times`` are needed only where some readings share one; pairs of the same time do not count.
    Raises Refusal ``not_finite`` or ``lengths_differ``.
    Source: Mann, Econometrica 13 (1945); Kendall, Rank Correlation Methods.
    """
    moments = list(range(len(values))) if times is None else list(times)
    readings = checked_series(moments, values)
    s = sum(
        _sign(later[0] - earlier[0]) * _sign(later[1] - earlier[1])
        for n, later in enumerate(readings)
        for earlier in readings[:n]
    )
    by_time = ties([moment for moment, _ in readings])
    by_value = ties([value for _, value in readings])
    variance = variance_of_s(by_time, by_value)
    p, method = _two_sided(s, by_time, by_value, variance)
    return MannKendall(len(readings), s, variance, p, method)


def checked_series(times: Sequence[float], values: Sequence[float]) -> list[tuple[float, float]]:
    """Return (time, value) pairs by time.

    Raises Refusal ``lengths_differ``, ``not_finite``, ``out_of_range`` (beyond ±1e9).
    """
    if len(times) != len(values):
        raise Refusal("lengths_differ", one=len(times), other=len(values))
    if not all(math.isfinite(figure) for figure in (*times, *values)):
        raise Refusal("not_finite")
    for figure in (*times, *values):
        within("reading", figure, -_LARGEST, _LARGEST)
    return sorted((float(t), float(v)) for t, v in zip(times, values, strict=True))


def _sign(difference: float) -> int:
    """Return 1, 0 or -1."""
    return (difference > 0) - (difference < 0)


def ties(figures: Sequence[float]) -> tuple[int, ...]:
    """Return how often each distinct figure occurs, from the lowest figure up."""
    return tuple(n for _, n in sorted(Counter(figures).items()))


def variance_of_s(by_time: tuple[int, ...], by_value: tuple[int, ...]) -> float:
    """Return the variance of S without a trend, with ties in time, in value or in both.

    Source: Kendall, Rank Correlation Methods, 4.14.
    """
    n = sum(by_time)
    if n < 2:
        return 0.0

    def falling(group: tuple[int, ...], *offsets: int) -> int:
        return sum(math.prod(t - k for k in offsets) for t in group)

    def spread(t: int) -> int:
        return t * (t - 1) * (2 * t + 5)

    first = spread(n) - sum(map(spread, by_time)) - sum(map(spread, by_value))
    total = first / 18
    if n > 2:
        both = falling(by_time, 0, 1, 2) * falling(by_value, 0, 1, 2)
        total += both / (9 * n * (n - 1) * (n - 2))
    total += falling(by_time, 0, 1) * falling(by_value, 0, 1) / (2 * n * (n - 1))
    return total


def _two_sided(
    s: int, by_time: tuple[int, ...], by_value: tuple[int, ...], variance: float
) -> tuple[float, Method]:
    """Return p of |S| at least as large without a trend, and how it was found."""
    if s == 0:
        return 1.0, "exact"
    table = null_distribution(by_time, by_value)
    if table is not None:
        return _beyond(table, abs(s)), "exact"
    z = (abs(s) - 1) / math.sqrt(variance)
    return min(1.0, 2 * (1 - NormalDist().cdf(z))), "normal"


def _beyond(table: Sequence[tuple[int, int]], least: int) -> float:
    """Return P(|S| ≥ least) from (S, ways) pairs: with ties in both, the tails differ."""
    return sum(ways for s, ways in table if abs(s) >= least) / sum(ways for _, ways in table)


def critical_s(table: Sequence[tuple[int, int]], limit: float) -> int | None:
    """Return the smallest S that is reached or passed with at most probability ``limit``."""
    total, above, found = sum(ways for _, ways in table), 0, None
    for s, ways in sorted(table, reverse=True):
        above += ways
        if above > limit * total:
            break
        found = s
    return found


@lru_cache(maxsize=128)
def null_distribution(
    by_time: tuple[int, ...], by_value: tuple[int, ...]
) -> tuple[tuple[int, int], ...] | None:
    """Return (S, ways) of the exact null distribution, or None where it would take too long."""
    n = sum(by_time)
    if max(by_time, default=1) == 1 or max(by_value, default=1) == 1:
        tied = by_value if max(by_time, default=1) == 1 else by_time
        return _one_sided_ties(n, tied) if n <= MOST_EXACT else None
    return _both_tied(by_time, by_value) if n <= _MOST_DOUBLY_TIED else None


def _one_sided_ties(n: int, tied: tuple[int, ...]) -> tuple[tuple[int, int], ...]:
    """Count orders of a multiset by inversions: the coefficients of a Gaussian multinomial."""
    pairs = n * (n - 1) // 2 - sum(t * (t - 1) // 2 for t in tied)
    ways = [1] + [0] * pairs
    for k in range(2, n + 1):
        for at in range(pairs, k - 1, -1):
            ways[at] -= ways[at - k]
    for k in [k for t in tied for k in range(2, t + 1)] + [1] * (n - 1 - _steps(tied)):
        for at in range(k, pairs + 1):
            ways[at] += ways[at - k]
    return tuple((pairs - 2 * inversions, count) for inversions, count in enumerate(ways))


def _steps(tied: tuple[int, ...]) -> int:
    """Return how many factors of the denominator the ties give."""
    return sum(t - 1 for t in tied)


def _both_tied(by_time: tuple[int, ...], by_value: tuple[int, ...]) -> tuple[tuple[int, int], ...]:
    """Deal the values to the moments in every way, moment by moment, keeping only S."""
    states: dict[tuple[int, ...], Counter[int]] = {by_value: Counter({0: 1})}
    for size in by_time:
        after: dict[tuple[int, ...], Counter[int]] = {}
        for left, scores in states.items():
            for dealt in _deals(left, size):
                rest = tuple(have - took for have, took in zip(left, dealt, strict=True))
                ways = math.prod(map(math.comb, left, dealt))
                gained = _gain(dealt, rest)
                found = after.setdefault(rest, Counter())
                for s, count in scores.items():
                    found[s + gained] += count * ways
        states = after
    (scores,) = states.values()
    return tuple(sorted(scores.items()))


def _deals(left: tuple[int, ...], size: int) -> list[tuple[int, ...]]:
    choices = [range(min(have, size) + 1) for have in left]
    return [dealt for dealt in product(*choices) if sum(dealt) == size]


def _gain(dealt: tuple[int, ...], rest: tuple[int, ...]) -> int:
    """Return what the pairs of one moment's values with all later ones add to S."""
    return sum(
        took * have * _sign(j - i) for i, took in enumerate(dealt) for j, have in enumerate(rest)
    )
