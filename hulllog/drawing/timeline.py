"""Time on a drawing: years as numbers, blurred moments, the ticks of an axis, labels that crowd."""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import date, datetime
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence


def fraction(day: date) -> float:
    """Return a day, or a moment of it, as a year with its fraction: 2025-07-02 is about 2025.5."""
    start = date(day.year, 1, 1).toordinal()
    length = date(day.year + 1, 1, 1).toordinal() - start if day.year < 9999 else 365
    hours = day.hour + day.minute / 60 if isinstance(day, datetime) else 0.0
    return day.year + (day.toordinal() - start + hours / 24) / length


@dataclass(frozen=True, slots=True)
class Moment:
    """A point in time known to lie between two years with fractions."""

    earliest: float
    latest: float

    @classmethod
    def between(cls, first: date, last: date | None = None) -> Moment:
        """Make the moment between two days, or that of one."""
        return cls(fraction(first), fraction(last or first))

    @property
    def middle(self) -> float:
        """The middle of the interval."""
        return (self.earliest + self.latest) / 2


@dataclass(frozen=True, slots=True)
class Scale:
    """A straight scale: values ``low`` to ``high`` lie at ``start`` to ``end`` mm."""

    low: float
    high: float
    start: float
    end: float

    @property
    def unit(self) -> float:
        """Millimetres to one unit of the value; negative where the scale runs backwards."""
        return (self.end - self.start) / (self.high - self.low)

    def at(self, value: float) -> float:
        """Return where a value lies."""
        return self.start + (value - self.low) * self.unit


def nice(low: float, high: float, count: int = 4) -> tuple[float, ...]:
    """Return about ``count`` round steps (1, 2, 5 × 10ⁿ) that reach from low to high or beyond."""
    if not high > low:
        low, high = low - 0.5, high + 0.5
    raw = (high - low) / max(count, 1)
    power = 10.0 ** math.floor(math.log10(raw))
    step = next(power * factor for factor in (1, 2, 5, 10) if power * factor >= raw * 0.999)
    first, last = math.floor(low / step + 1e-9), math.ceil(high / step - 1e-9)
    return tuple(round(number * step, 12) for number in range(first, last + 1))


def years(low: float, high: float, room: float, needed: float) -> tuple[int, ...]:
    """Return the years to label between two times, so that each has ``needed`` mm of ``room``."""
    span = max(high - low, 1e-9)
    for step in (1, 2, 5, 10, 20, 50, 100):
        if room / span * step >= needed:
            break
    first = math.ceil(low / step - 1e-9) * step
    return tuple(range(first, math.floor(high + 1e-9) + 1, step))


@dataclass(frozen=True, slots=True)
class Claim:
    """The room that a label asks for on its line; the lowest ``rank`` is served first."""

    left: float
    right: float
    rank: float = 0.0


def thinned(claims: Sequence[Claim], gap: float = 1.0) -> tuple[bool, ...]:
    """Say which labels stand: by rank, each that keeps ``gap`` mm from those that stand already."""
    kept: list[int] = []
    for index in sorted(range(len(claims)), key=lambda i: (claims[i].rank, i)):
        if all(_apart(claims[index], claims[other], gap) for other in kept):
            kept.append(index)
    return tuple(index in kept for index in range(len(claims)))


def _apart(one: Claim, other: Claim, gap: float) -> bool:
    return one.right + gap <= other.left or other.right + gap <= one.left


def spread(count: int) -> tuple[float, ...]:
    """Return ranks that keep labels evenly when they must thin out: the ends, then halves."""
    ranks = [math.inf] * count
    queue: Iterable[tuple[int, int]] = [(0, count - 1)]
    order = 0
    for end in (count - 1, 0):
        if count and ranks[end] == math.inf:
            ranks[end] = float(order)
            order += 1
    while queue:
        following = []
        for low, high in queue:
            middle = (low + high) // 2
            if high - low > 1:
                ranks[middle] = float(order)
                order += 1
                following += [(low, middle), (middle, high)]
        queue = following
    return tuple(ranks)
