"""Pits: ASTM G46's figures, growth by a power law, and the deepest pit that was not looked at.

Depths in mm.  The Gumbel forms are for the largest value; they assume one mechanism, equal areas
and independence, and pits in sea water often follow two courses in time.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from statistics import NormalDist, fmean

from hulllog.trade.ranges import above, within
from hulllog.trade.refusal import Refusal
from hulllog.trade.working import Input, Interval, Source, Working

FEWEST = 5
"""The fewest areas from which a deepest pit is estimated (our own rule)."""
_DEEPEST = 500.0
_G46 = Source("from memory", "ASTM G46-94")
_GUMBEL = Source("from memory", "Gumbel, Statistics of Extremes (1958)")
_SHIBATA = Source("published", "Shibata, J. Res. NIST 99 (1994)")
_POWER = Source("published", "Laycock, Cottis and Scarf, J. Electrochem. Soc. 137 (1990)")
_THIN = 1e-6
_EARLIEST = 1e-4


def average_penetration(mass_loss: float, area: float, density: float) -> Working:
    """Return the average loss in mm from a mass in g, an area in cm² and a density in g/cm³.

    Raises Refusal ``out_of_range``.  Source: ASTM G46, from memory; the definition.
    """
    grams = within("mass_loss", mass_loss, 0, 1e6, "g")
    square = within("area", area, 0.01, 1e8, "cm2")
    dense = within("density", density, 0.5, 25, "g/cm3")
    return Working(
        name="average_penetration",
        value=10 * grams / (square * dense),
        unit="mm",
        formula="p̄ = 10·W/(A·ρ)",
        inputs=(
            Input("W", grams, "g"),
            Input("A", square, "cm2"),
            Input("ρ", dense, "g/cm3"),
        ),
        source=_G46,
    )


def pitting_factor(deepest: float, average: float) -> Working:
    """Return how many times deeper the deepest pit is than the average loss; 1 is even.

    Raises Refusal ``not_defined`` where the average is about nothing or the deepest is less,
    ``out_of_range``.  Source: ASTM G46, from memory.
    """
    deep = within("deepest", deepest, 0, _DEEPEST, "mm")
    mean = within("average", average, 0, _DEEPEST, "mm")
    if mean < _THIN or deep < mean:
        raise Refusal("not_defined", quantity="pitting_factor", deepest=deep, average=mean)
    return Working(
        name="pitting_factor",
        value=deep / mean,
        unit="1",
        formula="PF = d_max/p̄",
        inputs=(Input("d_max", deep, "mm"), Input("p̄", mean, "mm")),
        source=_G46,
    )


def pitting_probability(pitted: int, inspected: int) -> Working:
    """Return the percent of plates or areas with pits.

    Raises Refusal ``out_of_range``, ``more_than_all``.  Source: ASTM G46, from memory.
    """
    whole, part = within("inspected", inspected, 1, 1e6), within("pitted", pitted, 0, 1e6)
    if part > whole:
        raise Refusal("more_than_all", percent=100 * part / whole)
    return Working(
        name="pitting_probability",
        value=100 * part / whole,
        unit="percent",
        formula="P = 100·N_p/N",
        inputs=(Input("N_p", int(part)), Input("N", int(whole))),
        source=_G46,
    )


def ten_deepest(depths: Sequence[float]) -> Working:
    """Return the mean of the ten deepest pits in mm; of all, with a caution, where there are fewer.

    Raises Refusal ``nothing_given``, ``out_of_range``.  Source: ASTM G46, from memory.
    """
    deepest = sorted(_depths(depths, 1), reverse=True)[:10]
    return Working(
        name="ten_deepest",
        value=fmean(deepest),
        unit="mm",
        formula="Σ d/n",
        inputs=(Input("n", len(deepest)), Input("d_max", deepest[0], "mm")),
        source=_G46,
        cautions=() if len(deepest) == 10 else ("fewer_than_ten",),
    )


def _depths(depths: Sequence[float], fewest: int) -> list[float]:
    checked = [within("depth", depth, 0, _DEEPEST, "mm") for depth in depths]
    if not checked:
        raise Refusal("nothing_given")
    if len(checked) < fewest:
        raise Refusal("too_few", n=len(checked), fewest=fewest)
    return checked


@dataclass(frozen=True, slots=True)
class Growth:
    """Growth of a pit by d = k·tⁿ: depth in mm, time in years since the exposure began.

    ``r2`` tells how well depths of several times fit, None for two.
    """

    k: float
    n: float
    r2: float | None = None


def growth(times: Sequence[float], depths: Sequence[float]) -> Growth:
    """Fit d = k·tⁿ to depths of one pit at two times or more, by logarithms.

    ``times`` in years since the exposure began (or the coating failed), all above 0 and different.
    Raises Refusal ``lengths_differ``, ``too_few``, ``one_moment``, ``out_of_range``.
    Source: least squares; power law by Laycock, Cottis and Scarf 1990.
    """
    if len(times) != len(depths):
        raise Refusal("lengths_differ", one=len(times), other=len(depths))
    if len(times) < 2:
        raise Refusal("too_few", n=len(times), fewest=2)
    x = [math.log(within("time", t, _EARLIEST, 1e5, "year")) for t in times]
    y = [math.log(within("depth", d, _THIN, _DEEPEST, "mm")) for d in depths]
    mean_x, mean_y = fmean(x), fmean(y)
    xx = sum((one - mean_x) ** 2 for one in x)
    if xx < 1e-12:
        raise Refusal("one_moment", n=len(times))
    xy = sum((a - mean_x) * (b - mean_y) for a, b in zip(x, y, strict=True))
    yy = sum((one - mean_y) ** 2 for one in y)
    n = within("exponent", xy / xx, -20, 20)
    r2 = None if len(x) == 2 else 1.0 if yy == 0 else xy * xy / (xx * yy)
    return Growth(math.exp(mean_y - n * mean_x), n, r2)


def depth_later(depth: float, now: float, later: float, exponent: float) -> Working:
    """Return the depth in mm that a pit reaches by d·(t/t₀)^n.

    ``now`` and ``later`` in years since the exposure began; ``exponent`` 0.1 to 1, where 1 is
    even growth and the most cautious.  Raises Refusal ``out_of_range``.
    Source: Laycock, Cottis and Scarf 1990; exponents about 0.3 to 0.5 from memory.
    """
    deep = within("depth", depth, 0, _DEEPEST, "mm")
    start = within("now", now, _EARLIEST, 1000, "year")
    end = within("later", later, start, 1000, "year")
    n = within("exponent", exponent, 0.1, 1)
    return Working(
        name="depth_later",
        value=deep * (end / start) ** n,
        unit="mm",
        formula="d·(t/t₀)^n",
        inputs=(
            Input("d", deep, "mm"),
            Input("t₀", start, "year"),
            Input("t", end, "year"),
            Input("n", n),
        ),
        source=_POWER,
        cautions=("one_power_law",),
        interval=Interval(deep, deep * end / start, "band"),
    )


def age_at_depth(growth_: Growth, depth: float) -> Working:
    """Return the years since the exposure began at which a growth reaches a depth in mm.

    Raises Refusal ``not_growing``, ``out_of_range``.
    Source: as ``growth``, turned round.
    """
    deep = above("depth", depth, 0, _DEEPEST, "mm")
    if not growth_.n > 0:
        raise Refusal("not_growing", n=growth_.n)
    n = within("exponent", growth_.n, 1e-3, 20)
    k = within("deepest", growth_.k, 1e-9, 1e9, "mm")
    years = within("age", _power(deep / k, 1 / n), 0, 10_000, "year")
    return Working(
        name="age_at_depth",
        value=years,
        unit="year",
        formula="t = (d/k)^(1/n)",
        inputs=(Input("d", deep, "mm"), Input("k", k), Input("n", n)),
        source=_POWER,
        cautions=("one_power_law",),
    )


def _power(base: float, exponent: float) -> float:
    try:
        return float(base**exponent)
    except OverflowError:
        return math.inf


@dataclass(frozen=True, slots=True)
class Gumbel:
    """A Gumbel distribution of the deepest pit of one area: mode and scale in mm.

    ``n`` is the number of areas it was fitted to, None where it is given.
    """

    mode: float
    scale: float
    n: int | None = None

    def share_below(self, depth: float) -> float:
        """Return the probability that the deepest pit of one area is no deeper than ``depth``."""
        return math.exp(-math.exp(-(depth - self.mode) / self.scale))


def gumbel_by_plot(depths: Sequence[float]) -> Gumbel:
    """Fit a Gumbel distribution to the deepest pit of each area, by a line through M/(n + 1).

    Raises Refusal ``too_few`` under five areas, ``depths_alike``, ``nothing_given``,
    ``out_of_range``.  Source: ASTM G46, from memory.
    """
    ordered = sorted(_depths(depths, FEWEST))
    n = len(ordered)
    y = [-math.log(-math.log(rank / (n + 1))) for rank in range(1, n + 1)]
    mean_y, mean_x = fmean(y), fmean(ordered)
    yy = sum((one - mean_y) ** 2 for one in y)
    xy = sum((a - mean_y) * (b - mean_x) for a, b in zip(y, ordered, strict=True))
    scale = _spread(xy / yy)
    return Gumbel(mean_x - scale * mean_y, scale, n)


def gumbel_by_likelihood(depths: Sequence[float]) -> Gumbel:
    """Fit a Gumbel distribution to the deepest pit of each area, by maximum likelihood.

    Raises Refusal as ``gumbel_by_plot``.  Source: Gumbel, Statistics of Extremes.
    """
    checked = _depths(depths, FEWEST)
    least, mean = min(checked), fmean(checked)
    high = _spread(mean - least)

    def excess(scale: float) -> float:
        weights = [math.exp(-(one - least) / scale) for one in checked]
        weighted = sum(w * one for w, one in zip(weights, checked, strict=True))
        return mean - weighted / sum(weights) - scale

    low = high * 1e-3
    while excess(low) < 0 and low > 1e-12:
        low /= 2
    for _ in range(200):
        middle = (low + high) / 2
        low, high = (middle, high) if excess(middle) > 0 else (low, middle)
    scale = (low + high) / 2
    weight = fmean(math.exp(-(one - least) / scale) for one in checked)
    return Gumbel(least - scale * math.log(weight), scale, len(checked))


def _spread(scale: float) -> float:
    if not scale > 1e-9:
        raise Refusal("depths_alike")
    return scale


def deepest_over(
    fitted: Gumbel, ratio: float, quantile: float = 0.5, level: float = 0.9
) -> Working:
    """Return the depth in mm that the deepest pit of a larger area stays under.

    ``ratio`` is the area to judge over the area of one sample, 1 to 500; ``quantile`` the
    probability of staying under.  With an interval from the number of samples where it is known.
    Raises Refusal ``out_of_range``.
    Source: Gumbel 1958; Shibata, J. Res. NIST 99 (1994).
    """
    T = within("ratio", ratio, 1, 500)
    p = within("quantile", quantile, 0.01, 0.999)
    y = math.log(T) - math.log(-math.log(p))
    depth = fitted.mode + fitted.scale * y
    return Working(
        name="deepest_over",
        value=depth,
        unit="mm",
        formula="x = λ + α·(ln T − ln(−ln p))",
        inputs=(
            Input("λ", fitted.mode, "mm"),
            Input("α", fitted.scale, "mm"),
            Input("T", T),
            Input("p", p),
        ),
        source=_SHIBATA,
        cautions=("one_mechanism",),
        interval=_error_of(fitted, y, depth, level),
    )


def _error_of(fitted: Gumbel, y: float, depth: float, level: float) -> Interval | None:
    """Return the interval of a quantile by the large-sample errors of the likelihood fit."""
    share = within("level", level, 0.5, 0.999)
    if fitted.n is None:
        return None
    error = standard_error(fitted, y)
    reach = NormalDist().inv_cdf(0.5 + share / 2) * error
    return Interval(depth - reach, depth + reach, "confidence", share)


def standard_error(fitted: Gumbel, y: float) -> float:
    """Return the standard error in mm of λ + α·y for a fit by maximum likelihood.

    For large samples; not a figure of the trade by itself.  Raises Refusal ``not_defined`` where
    the number of samples is not known or ``y`` is further than 50 from 0.
    Source: information matrix of the Gumbel distribution.
    """
    if not fitted.n or not abs(y) <= _FARTHEST:
        raise Refusal("not_defined", quantity="standard_error")
    gap = 1 - _EULER
    variance = 1 + (gap + y) ** 2 * 6 / math.pi**2
    return fitted.scale * math.sqrt(variance / fitted.n)


_FARTHEST = 50.0
"""No ratio of areas and no probability that is taken gives a reduced variate further from 0."""
_EULER = 0.57721566490153286


def no_deeper(fitted: Gumbel, wall: float, ratio: float = 1.0) -> Working:
    """Return the probability that no pit of a larger area is deeper than ``wall`` mm.

    Raises Refusal ``out_of_range``.  Source: Gumbel, Statistics of Extremes.
    """
    deep = above("wall", wall, 0, _DEEPEST, "mm")
    T = within("ratio", ratio, 1, 500)
    return Working(
        name="no_deeper",
        value=fitted.share_below(deep) ** T,
        unit="1",
        formula="P = exp(−T·exp(−(w − λ)/α))",
        inputs=(
            Input("w", deep, "mm"),
            Input("λ", fitted.mode, "mm"),
            Input("α", fitted.scale, "mm"),
            Input("T", T),
        ),
        source=_GUMBEL,
        cautions=("one_mechanism",),
    )


def aged(fitted: Gumbel, now: float, later: float, exponent: float) -> Gumbel:
    """Return the distribution after more years when every pit grows by the same power law.

    Times in years since the exposure began.  Raises Refusal ``out_of_range``.
    Source: scaling of a random figure by a constant; exponent as in ``depth_later``.
    """
    start = within("now", now, _EARLIEST, 1000, "year")
    end = within("later", later, start, 1000, "year")
    factor = (end / start) ** within("exponent", exponent, 0.1, 1)
    return Gumbel(fitted.mode * factor, fitted.scale * factor, fitted.n)
