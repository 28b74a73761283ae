"""The pace of an anode's wear from all pieces in one place, and when a share will be gone.

A model of the wear with what is not known of it: how far one piece wears unlike another (the data
may say "not at all"), whether a season resembles the one before, and whether wear goes by the time
of the year.  Each answer is tried, and counts by how well it foretold the looks on record.
Source: our own rule, tried on invented boats; linear filtering and weights by likelihood from
memory.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

YEAR = 365.25
SCATTERS = ((0.0, 0.45), (0.15, 0.35), (0.3, 0.2))
"""Relative scatter between pieces, and how likely each is before any look.  Our own rule:
nearly half of all boats wear alike from piece to piece, the others unlike by 15 or 30 in 100."""
ALIKE = 0.6
"""Correlation of a piece's own wear with that of the next.  Our own rule: years that follow one
another resemble each other."""
SEASONS = (0.0, 0.2)
"""Relative swing of the wear over the year (standard deviation of its two parts), as likely each.
Our own rule: warm water wears faster, by a fifth or so."""
EYE_SLIP = 0.05
"""Standard error of an eye about the bounds of what it said.  Our own rule."""
BETWEEN_WORDS = 0.025
"""Half of the gap between the bounds of two words for a share by eye: the nearer is said."""
_OPEN = 5.0
"""A share far beyond all, for a bound that a look leaves open."""
_LATEST = 36525.0

Vector = tuple[float, ...]


class Seen(NamedTuple):
    """A piece at its last look: immersed days, share used, and the standard error of the share.

    ``by_eye`` looks say only that the share lies between bounds, √3 errors either way.  ``begun``
    is the day of fitting by the calendar; None where days immersed do not follow the calendar.
    """

    days: float
    share: float
    error: float
    by_eye: bool = False
    begun: float | None = None


class Found(NamedTuple):
    """The days until the share is gone, with bounds, and the mean wear a day and its scatter."""

    days: float
    low: float
    high: float
    rate: float
    scatter: float


class _State(NamedTuple):
    """One answer tried: mean wear, the piece's own part, the year's two; and how well it did."""

    mean: list[float]
    covariance: list[list[float]]
    fit: float
    own: float
    """Standard deviation of a piece's own part."""
    chance: float


def foretold(pieces: Sequence[Seen], goal: float, level: float) -> Found:
    """Return the days from fitting until the last of ``pieces`` has lost the share ``goal``.

    Pieces are in the order of time; the bounds hold ``level`` of what may come.
    """
    usual = math.fsum(max(one.share, 0.0) for one in pieces) / math.fsum(p.days for p in pieces)
    tried = [
        _filtered(pieces, usual, scatter, season, chance)
        for scatter, chance in SCATTERS
        for season in SEASONS
    ]
    best = max(one.fit for one in tried)
    weights = [one.chance * math.exp(one.fit - best) for one in tried]
    total = math.fsum(weights)
    shares = [weight / total for weight in weights]

    def by_then(days: float) -> float:
        """Return how likely the goal is reached by then."""
        ways = zip(shares, tried, strict=True)
        return math.fsum(share * _reached(one, pieces[-1], goal, days) for share, one in ways)

    most = by_then(_LATEST)
    days, low, high = (
        _day_when(by_then, most * part) for part in (0.5, (1 - level) / 2, (1 + level) / 2)
    )
    rate = math.fsum(share * one.mean[0] for share, one in zip(shares, tried, strict=True))
    scatter = math.fsum(share * one.own for share, one in zip(shares, tried, strict=True)) / usual
    return Found(days, low, high, rate, scatter)


def _filtered(
    pieces: Sequence[Seen], usual: float, scatter: float, season: float, chance: float
) -> _State:
    """Take in one look after another."""
    own, swing = (scatter * usual) ** 2, (season * usual) ** 2
    mean = [usual, 0.0, 0.0, 0.0]
    parts = (usual**2, own, swing, swing)
    covariance = [[part if i == j else 0.0 for j in range(4)] for i, part in enumerate(parts)]
    fit = 0.0
    for number, piece in enumerate(pieces):
        if number:
            mean[1] *= ALIKE
            for i in range(4):
                covariance[1][i] *= ALIKE
            for i in range(4):
                covariance[i][1] *= ALIKE
            covariance[1][1] += (1 - ALIKE**2) * own
        unplaced = piece.begun is None and number < len(pieces) - 1
        year = (0.0, 0.0) if unplaced else _over_year(piece.begun or 0.0, piece.days)
        spare = swing * (math.sin(math.pi * piece.days / YEAR) * YEAR / math.pi) ** 2
        mean, covariance, gain = _taken_in(
            mean, covariance, (piece.days, piece.days, *year), piece, spare if unplaced else 0.0
        )
        fit += gain
    return _State(mean, covariance, fit, math.sqrt(own), chance)


def _over_year(begun: float, days: float) -> tuple[float, float]:
    """Return what cosine and sine of the year add up to over a spell, in days."""
    turn = 2 * math.pi / YEAR
    start, end = turn * begun, turn * (begun + days)
    return (math.sin(end) - math.sin(start)) / turn, (math.cos(start) - math.cos(end)) / turn


def _taken_in(
    mean: list[float], covariance: list[list[float]], along: Vector, piece: Seen, spare: float
) -> tuple[list[float], list[list[float]], float]:
    """Return mean and covariance after a look, and the logarithm of how likely the look was."""
    toward = [math.fsum(a * b for a, b in zip(row, along, strict=True)) for row in covariance]
    variance = math.fsum(a * b for a, b in zip(toward, along, strict=True)) + spare
    expected = math.fsum(a * b for a, b in zip(mean, along, strict=True))
    if piece.by_eye:
        pull, shrink, gain = _between(piece, expected, variance + EYE_SLIP**2)
    else:
        variance += max(piece.error, 1e-6) ** 2
        miss = piece.share - expected
        pull, shrink = miss / variance, 1 / variance
        gain = -(miss * pull + math.log(2 * math.pi * variance)) / 2
    moved = [one + pull * way for one, way in zip(mean, toward, strict=True)]
    less = [
        [one - shrink * a * b for one, b in zip(row, toward, strict=True)]
        for row, a in zip(covariance, toward, strict=True)
    ]
    return moved, less, gain


def _between(piece: Seen, expected: float, variance: float) -> tuple[float, float, float]:
    """Take in that a share lies between bounds: the moments of a normal cut at both."""
    reach = piece.error * math.sqrt(3) + BETWEEN_WORDS
    low, high = piece.share - reach, piece.share + reach
    low, high = (low if low > BETWEEN_WORDS else -_OPEN), (high if high < 1 else _OPEN)
    spread = math.sqrt(variance)
    a, b = (low - expected) / spread, (high - expected) / spread
    inside = max(_tail(a) - _tail(b) if a > 0 else _tail(-b) - _tail(-a), 1e-12)
    at_a, at_b = _bell(a), _bell(b)
    slope = (at_a - at_b) / inside
    curve = slope**2 - (a * at_a - b * at_b) / inside
    return slope / spread, min(max(curve, 0.0), 1.0) / variance, math.log(inside)


def _reached(state: _State, last: Seen, goal: float, days: float) -> float:
    """Return how likely a share is gone after so many days."""
    rest = max(days - last.days, 0.0)
    own = min(days, last.days) + ALIKE * rest
    along = (days, own, *_over_year(last.begun or 0.0, days))
    mean = math.fsum(a * b for a, b in zip(state.mean, along, strict=True))
    rows = zip(state.covariance, along, strict=True)
    variance = math.fsum(
        a * math.fsum(x * b for x, b in zip(row, along, strict=True)) for row, a in rows
    )
    variance += (1 - ALIKE**2) * (state.own * rest) ** 2
    return _tail((goal - mean) / math.sqrt(max(variance, 1e-18)))


def _day_when(by_then: Callable[[float], float], part: float) -> float:
    """Return the day by which a chance is reached, by halving."""
    low, high = 1.0, _LATEST
    while high / low > 1.0001:
        middle = math.sqrt(low * high)
        low, high = (middle, high) if by_then(middle) < part else (low, middle)
    return math.sqrt(low * high)


def _tail(z: float) -> float:
    """Return the part of a normal above ``z``."""
    return math.erfc(z / math.sqrt(2)) / 2


def _bell(z: float) -> float:
    """Return the density of a normal; nought far out, where squares overflow."""
    return math.exp(-z * z / 2) / math.sqrt(2 * math.pi) if abs(z) < 38 else 0.0
