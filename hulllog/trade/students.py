"""Student's t distribution, for the intervals of short series.

Written out here because the program runs without SciPy.
"""

from __future__ import annotations

import math
from functools import lru_cache

from hulllog.trade.ranges import above, within

_TINY = 1e-300
_ENOUGH = 3e-16
_MOST_TERMS = 400


def _continued_fraction(x: float, a: float, b: float) -> float:
    """Return the continued fraction of the incomplete beta function, by Lentz's way."""
    c, d = 1.0, 1.0 / _off_zero(1.0 - (a + b) * x / (a + 1.0))
    result = d
    for m in range(1, _MOST_TERMS):
        even = m * (b - m) * x / ((a + 2 * m - 1) * (a + 2 * m))
        odd = -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1))
        for term in (even, odd):
            d = 1.0 / _off_zero(1.0 + term * d)
            c = _off_zero(1.0 + term / c)
            result *= c * d
        if abs(c * d - 1.0) < _ENOUGH:
            break
    return result


def _off_zero(value: float) -> float:
    return value if abs(value) > _TINY else _TINY


def _incomplete_beta(x: float, a: float, b: float) -> float:
    """Return the regularised incomplete beta function I_x(a, b)."""
    if x <= 0.0 or x >= 1.0:
        return 0.0 if x <= 0.0 else 1.0
    log_front = math.lgamma(a + b) - math.lgamma(a) - math.lgamma(b)
    front = math.exp(log_front + a * math.log(x) + b * math.log1p(-x))
    if x < (a + 1.0) / (a + b + 2.0):
        return front * _continued_fraction(x, a, b) / a
    return 1.0 - front * _continued_fraction(1.0 - x, b, a) / b


def _outside(t: float, freedom: float) -> float:
    """Return the probability of a value further from zero than ``t``."""
    return _incomplete_beta(freedom / (freedom + t * t), freedom / 2.0, 0.5)


@lru_cache(maxsize=256)
def t_factor(level: float, freedom: int) -> float:
    """Return the factor t that holds ``level`` of the distribution between -t and +t.

    ``level`` from 0.01 to 0.999, ``freedom`` (degrees of freedom) from 1.  The factor is a plain
    number of statistics, not a figure of the trade, so it comes without a working.
    Raises Refusal ``out_of_range``.
    Source: definition of the distribution.
    """
    share = within("level", level, 0.01, 0.999)
    degrees = above("freedom", freedom, 0, 1e6)
    low, high = 0.0, 1.0
    while _outside(high, degrees) > 1.0 - share:
        high *= 2.0
    for _ in range(200):
        middle = (low + high) / 2.0
        if middle in (low, high):
            break
        low, high = (middle, high) if _outside(middle, degrees) > 1.0 - share else (low, middle)
    return (low + high) / 2.0
