"""Plates that get thinner: wastage, rates of loss, remaining life, what a pitted plate is worth.

Thicknesses in mm.  Nothing here passes or fails a plate: a required thickness is the owner's limit,
and guidance written for ships is called so.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from hulllog.trade.ranges import above, within
from hulllog.trade.refusal import Refusal
from hulllog.trade.working import Input, Interval, Source, Working

GAUGE_S = 0.1
"""Repeatability of an ultrasonic gauge in mm (from memory, about ±0.1 mm)."""
TOLD_APART = 2 * math.sqrt(2)
_THINNEST = 0.05
_THICKEST = 500.0
_SHORTEST = 0.01
_LONGEST = 200.0
_API = Source("published", "API 570, corrosion rates and remaining life")
_DEFINITION = Source("published", "IMO and IACS form TM1, diminution")
_ESTRIN = Source("from memory", "ES-TRIN, Article 3.02")
_S31 = Source("from memory", "IACS UR S31, average pit depth")
_SECTIONS = {"bottom": 1.0, "side": 1.0, "bilge": 1.25}


def _plate(symbol: str, thickness: float) -> float:
    return within(symbol, thickness, _THINNEST, _THICKEST, "mm")


def wastage(
    original: float, measured: float, *, nominal: bool = False, repeatability: float = GAUGE_S
) -> Working:
    """Return how much of the original thickness is gone, in percent.

    ``nominal``: the original was never gauged; new plate may be thicker than nominal by 8 to 14 %,
    so the figure can be negative.  A negative figure stays as it is, with a caution.  The interval
    is ± 2·√2·s of the difference, once s where the original is nominal.
    Raises Refusal ``out_of_range``.
    Source: IMO and IACS form TM1; US Army TB 55-1900-201-45/1, Appendix E-11.
    """
    before, now = _plate("original", original), _plate("measured", measured)
    s = within("repeatability", repeatability, 0, 10, "mm")
    margin = 100 * 2 * s * (1 if nominal else math.sqrt(2)) / before
    percent = 100 * (before - now) / before
    cautions = ("original_nominal",) if nominal else ()
    return Working(
        name="wastage",
        value=percent,
        unit="percent",
        formula="100·(t₀ − t)/t₀",
        inputs=(
            Input("t₀", before, "mm", "nominal" if nominal else ""),
            Input("t", now, "mm"),
            Input("s", s, "mm"),
        ),
        source=_DEFINITION,
        cautions=(*cautions, "above_original") if percent < 0 else cautions,
        interval=Interval(percent - margin, percent + margin, "readings"),
    )


def long_term_rate(
    initial: float, actual: float, years: float, repeatability: float = GAUGE_S
) -> Working:
    """Return the loss since new in mm a year.

    With a caution where the loss is not told apart from none (under 2·√2·s, our own rule); a
    negative rate stays.  Raises Refusal ``out_of_range``.  Source: API 570.
    """
    return _rate("long_term_rate", "LT = (t₀ − t)/Δt", "t₀", initial, actual, years, repeatability)


def short_term_rate(
    previous: float, actual: float, years: float, repeatability: float = GAUGE_S
) -> Working:
    """Return the loss since the last gauging in mm a year; as ``long_term_rate``.

    Raises Refusal ``out_of_range``.  Source: API 570.
    """
    return _rate(
        "short_term_rate", "ST = (t₁ − t)/Δt", "t₁", previous, actual, years, repeatability
    )


def _rate(
    name: str, formula: str, symbol: str, before: float, now: float, years: float, s: float
) -> Working:
    old, new = _plate(symbol, before), _plate("actual", now)
    span = within("years", years, _SHORTEST, _LONGEST, "year")
    spread = within("repeatability", s, 0, 10, "mm")
    margin = TOLD_APART * spread
    rate = (old - new) / span
    return Working(
        name=name,
        value=rate,
        unit="mm/year",
        formula=formula,
        inputs=(
            Input(symbol, old, "mm"),
            Input("t", new, "mm"),
            Input("Δt", span, "year"),
            Input("s", spread, "mm"),
        ),
        source=_API,
        cautions=() if abs(old - new) > margin else ("not_told_from_none",),
        interval=Interval(rate - margin / span, rate + margin / span, "readings"),
    )


def remaining_life(actual: float, required: float, rates: Sequence[float]) -> Working:
    """Return the years until a required thickness, at the greater of the rates in mm a year.

    ``required`` is the owner's limit.  Raises Refusal ``no_measurable_loss`` where no rate is
    above 0, ``below_limit`` where the plate is thinner already, ``nothing_given``,
    ``out_of_range``.  Source: API 570.
    """
    now, limit = _plate("actual", actual), within("required", required, 0, _THICKEST, "mm")
    if not rates:
        raise Refusal("nothing_given")
    rate = max(within("rate", one, -100, 100, "mm/year") for one in rates)
    if rate <= 0:
        raise Refusal("no_measurable_loss", rate=rate)
    if now < limit:
        raise Refusal("below_limit", value=now, limit=limit, unit="mm")
    return Working(
        name="remaining_life",
        value=_finite((now - limit) / rate),
        unit="year",
        formula="RL = (t − t_r)/max(LT, ST)",
        inputs=(
            Input("t", now, "mm"),
            Input("t_r", limit, "mm", "owners_limit"),
            Input("max(LT, ST)", rate, "mm/year"),
        ),
        source=_API,
        cautions=("if_it_goes_on_so",),
    )


def half_life(life: float) -> Working:
    """Return the longest time to the next gauging: half of a remaining life in years.

    Raises Refusal ``out_of_range``.  Source: API 570, half-life rule.
    """
    years = within("life", life, 0, 1e6, "year")
    return Working(
        name="half_life",
        value=years / 2,
        unit="year",
        formula="RL/2",
        inputs=(Input("RL", years, "year"),),
        source=_API,
    )


def _finite(years: float) -> float:
    if not math.isfinite(years):
        raise Refusal("no_measurable_loss", rate=0.0)
    return years


def pit_share(depth: float, plate: float) -> Working:
    """Return the depth of a pit in percent of the plate beside it.

    Raises Refusal ``out_of_range``, ``deeper_than_plate``.  Source: the definition.
    """
    deep, thick = _in_plate(depth, plate)
    return Working(
        name="pit_share",
        value=100 * deep / thick,
        unit="percent",
        formula="100·d/t",
        inputs=(Input("d", deep, "mm"), Input("t", thick, "mm")),
        source=Source("published", "definition"),
    )


def left_under_pit(plate: float, depth: float) -> Working:
    """Return the metal left under a pit in mm.

    Raises Refusal ``out_of_range``, ``deeper_than_plate``.  Source: the definition.
    """
    deep, thick = _in_plate(depth, plate)
    return Working(
        name="left_under_pit",
        value=thick - deep,
        unit="mm",
        formula="t − d",
        inputs=(Input("t", thick, "mm"), Input("d", deep, "mm")),
        source=Source("published", "definition"),
    )


def _in_plate(depth: float, plate: float) -> tuple[float, float]:
    thick = _plate("plate", plate)
    deep = within("depth", depth, 0, _THICKEST, "mm")
    if deep > thick:
        raise Refusal("deeper_than_plate", depth=deep, plate=thick)
    return deep, thick


def pitting_intensity(pitted: float, inspected: float) -> Working:
    """Return the share of an area that is pitted, in percent; both areas in the same unit.

    Raises Refusal ``out_of_range``, ``more_than_all``.  Source: the definition.
    """
    whole = within("inspected", inspected, 1e-6, 1e9)
    part = within("pitted", pitted, 0, 1e9)
    if part > whole:
        raise Refusal("more_than_all", percent=100 * part / whole)
    return Working(
        name="pitting_intensity",
        value=100 * part / whole,
        unit="percent",
        formula="I = 100·A_p/A",
        inputs=(Input("A_p", part), Input("A", whole)),
        source=Source("published", "definition"),
    )


def equivalent_thickness(plate: float, under_pits: float, intensity: float) -> Working:
    """Return the thickness of an even plate with the same metal, in mm.

    ``under_pits`` is the mean thickness under the pits, ``intensity`` in percent of the area.
    Raises Refusal ``out_of_range``, ``deeper_than_plate``.  Source: geometry.
    """
    thick = _plate("plate", plate)
    left = within("under_pits", under_pits, 0, _THICKEST, "mm")
    share = within("intensity", intensity, 0, 100, "percent")
    if left > thick:
        raise Refusal("deeper_than_plate", depth=thick - left, plate=thick)
    return Working(
        name="equivalent_thickness",
        value=thick * (1 - share / 100) + left * share / 100,
        unit="mm",
        formula="t·(1 − I/100) + t_p·I/100",
        inputs=(
            Input("t", thick, "mm"),
            Input("t_p", left, "mm"),
            Input("I", share, "percent"),
        ),
        source=Source("published", "geometry"),
    )


def ship_pit_depth(intensity: float) -> Working:
    """Return the average pit depth that class accepts on bulk carriers, in percent of as-built.

    Ship practice, quoted as such.  Raises Refusal ``out_of_range``.
    Source: IACS UR S31, from memory.
    """
    share = within("intensity", intensity, 0, 100, "percent")
    return Working(
        name="ship_pit_depth",
        value=35 - 0.3 * min(share, 50),
        unit="percent",
        formula="35 − 0.3·I; I > 50: 20",
        inputs=(Input("I", share, "percent"),),
        source=_S31,
        cautions=("ship_guidance",),
    )


def inland_minimum(
    length: float,
    spacing: float,
    draught: float,
    section: str = "bottom",
    *,
    double: bool = False,
) -> Working:
    """Return the minimum plate thickness of an inland vessel by ES-TRIN, in mm.

    ``length`` and ``draught`` in m, frame ``spacing`` in mm, ``double`` for a double hull,
    ``section`` bottom, side or bilge.  For vessels under that rule only.
    Raises Refusal ``out_of_range``, ``section_unknown``.
    Source: ES-TRIN, Article 3.02, from memory.
    """
    L = above("length", length, 0, 200, "m")
    a = above("spacing", spacing, 0, 3000, "mm")
    T = above("draught", draught, 0, 20, "m")
    f = 1 + 0.0013 * max(a - 500, 0)
    if section not in _SECTIONS:
        raise Refusal("section_unknown", section=section)
    b, c = _SECTIONS[section], 0.95 if double else 1.0
    by_length = f * b * c * (1.5 + 0.06 * L if L <= 40 else 2.3 + 0.04 * L)
    by_spacing = 0.005 * a * math.sqrt(T)
    return Working(
        name="inland_minimum",
        value=max(by_length, by_spacing, 3.0),
        unit="mm",
        formula="max(f·b·c·(1.5 + 0.06·L), 0.005·a·√T, 3); L > 40: f·b·c·(2.3 + 0.04·L)",
        inputs=(
            Input("L", L, "m"),
            Input("a", a, "mm"),
            Input("T", T, "m"),
            Input("f", f),
            Input("b", b),
            Input("c", c),
        ),
        source=_ESTRIN,
        cautions=("inland_vessels_only",),
    )
