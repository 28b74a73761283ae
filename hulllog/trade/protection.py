"""How much anode a hull takes: the design sums of DNV-RP-B401 and the ship values of ABS.

No standard sizes anodes for yachts.  The two differ several times over, so the figures are a
spread, not a size.  Areas in m², currents in A, resistances in Ω, masses in kg, times in years.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from types import MappingProxyType
from typing import TYPE_CHECKING, Literal

from hulllog.trade.anodemetals import HOURS_A_YEAR
from hulllog.trade.ranges import above, within
from hulllog.trade.refusal import Refusal
from hulllog.trade.working import Input, Interval, Source, Working

if TYPE_CHECKING:
    from collections.abc import Mapping

When = Literal["initial", "mean", "final"]
Climate = Literal["tropical", "subtropical", "temperate", "arctic"]

DNV = Source("published", "DNV-RP-B401:2010")
_DNV_CURRENT = Source("published", "DNV-RP-B401:2010 Tables 10-1 and 10-2")
_DNV_COATING = Source("published", "DNV-RP-B401:2010 Table 10-4")
_DNV_RESISTANCE = Source("published", "DNV-RP-B401:2010 Table 10-7")
_ABS = "ABS Guidance Notes on Cathodic Protection of Ships (2017) Section 2"
_ABS_CURRENT = Source("published", f"{_ABS} Table 3")
_ABS_DOCKING = Source("published", f"{_ABS} Table 5")
_SECOND_HAND = ("read_second_hand", "steel_density_assumed")

_WHENS: tuple[When, ...] = ("initial", "mean", "final")
DENSITIES: Mapping[str, tuple[tuple[float, float, float], ...]] = MappingProxyType(
    {
        "tropical": (
            (0.150, 0.070, 0.100), (0.120, 0.060, 0.080), (0.140, 0.070, 0.090),
            (0.180, 0.090, 0.130),
        ),
        "subtropical": (
            (0.170, 0.080, 0.110), (0.140, 0.070, 0.090), (0.160, 0.080, 0.110),
            (0.200, 0.100, 0.150),
        ),
        "temperate": (
            (0.200, 0.100, 0.130), (0.170, 0.080, 0.110), (0.190, 0.090, 0.140),
            (0.220, 0.110, 0.170),
        ),
        "arctic": (
            (0.250, 0.120, 0.170), (0.200, 0.100, 0.130), (0.220, 0.110, 0.170),
            (0.220, 0.110, 0.170),
        ),
    }
)  # fmt: skip
"""A/m² of bare steel, initial, mean and final, to 30, 100, 300 m and deeper, by climate."""
_DEPTHS = (30.0, 100.0, 300.0)


@dataclass(frozen=True, slots=True)
class CoatingCategory:
    """Constants of coating breakdown: f = a + b·t, ``b`` to 30 m and ``b_deep`` below."""

    code: str
    a: float
    b: float
    b_deep: float


CATEGORIES: Mapping[str, CoatingCategory] = MappingProxyType(
    {
        "I": CoatingCategory("I", 0.10, 0.10, 0.05),
        "II": CoatingCategory("II", 0.05, 0.025, 0.015),
        "III": CoatingCategory("III", 0.02, 0.012, 0.008),
        "IV": CoatingCategory("IV", 0.02, 0.008, 0.005),
    }
)
"""Coating categories of DNV-RP-B401; IV from the edition of 2021."""

UTILISATION: Mapping[str, float] = MappingProxyType(
    {
        "long_stand_off": 0.90,
        "short_stand_off": 0.85,
        "long_flush": 0.85,
        "short_flush": 0.80,
        "bracelet": 0.80,
    }
)
"""Share of an anode that can be used, by its form.  DNV-RP-B401 Table 10-8."""

ABS_DENSITIES: Mapping[str, tuple[tuple[float, float], tuple[float, float]]] = MappingProxyType(
    {
        "still": ((0.100, 0.200), (0.005, 0.015)),
        "still_with_tide": ((0.150, 0.250), (0.007, 0.020)),
        "slow": ((0.220, 0.350), (0.011, 0.028)),
        "fast": ((0.350, 0.500), (0.018, 0.040)),
        "ice": ((0.500, 0.750), (0.035, 0.090)),
    }
)
"""A/m² bare and coated, low and high, by the ship's use: to 1 m/s, to 10 m/s, above, in ice."""
ABS_DOCKING: tuple[tuple[float, float], ...] = ((0.015, 0.025), (0.026, 0.045), (0.046, 0.075))
"""A/m² of a coated hull, low and high, docked every 18, 36 and 60 months."""
_DOCKINGS = (18.0, 36.0)


def current_density(climate: str, when: When = "mean", depth: float = 0.0) -> Working:
    """Return the current that bare steel takes in seawater, in A/m².

    ``climate`` tropical (over 20 °C), subtropical, temperate or arctic (under 7 °C); ``depth`` m.
    Raises Refusal ``climate_unknown`` or ``out_of_range``.
    Source: DNV-RP-B401:2010 Tables 10-1 and 10-2.
    """
    if climate not in DENSITIES:
        raise Refusal("climate_unknown", climate=climate)
    metres = within("depth", depth, 0.0, 3000.0, "m")
    row = DENSITIES[climate][sum(metres > limit for limit in _DEPTHS)]
    return Working(
        name="current_density",
        value=row[_WHENS.index(when)],
        unit="A/m2",
        formula="i",
        inputs=(Input("z", metres, "m"),),
        source=_DNV_CURRENT,
        cautions=_SECOND_HAND,
    )


def breakdown(category: str, years: float, when: When = "mean", depth: float = 0.0) -> Working:
    """Return the share of a coated surface that counts as bare, at most 1.

    ``category`` "I" to "IV", ``years`` of design life above 0 to 50, ``depth`` in m.
    Raises Refusal ``category_unknown`` or ``out_of_range``.  Source: DNV-RP-B401 Table 10-4.
    """
    if category not in CATEGORIES:
        raise Refusal("category_unknown", category=category)
    life = above("years", years, 0.0, 50.0, "year")
    metres = within("depth", depth, 0.0, 3000.0, "m")
    one = CATEGORIES[category]
    b = one.b if metres <= _DEPTHS[0] else one.b_deep
    time = {"initial": 0.0, "mean": life / 2.0, "final": life}[when]
    return Working(
        name="coating_breakdown",
        value=min(one.a + b * time, 1.0),
        unit="1",
        formula="f = min(1, a + b·t)",
        inputs=(Input("a", one.a), Input("b", b, "1/year"), Input("t", time, "year")),
        source=_DNV_COATING,
        cautions=("read_second_hand",),
    )


def demand(area: float, density: float, share_bare: float = 1.0) -> Working:
    """Return the current that a surface takes, in A.

    ``area`` in m², ``density`` in A/m² of bare metal, ``share_bare`` from 0 to 1.
    Raises Refusal ``out_of_range``.  Source: DNV-RP-B401.
    """
    surface = above("area", area, 0.0, 100_000.0, "m2")
    i = above("current_density", density, 0.0, 2.0, "A/m2")
    f = within("share_bare", share_bare, 0.0, 1.0)
    return Working(
        name="current_demand",
        value=surface * i * f,
        unit="A",
        formula="I = A·i·f",
        inputs=(Input("A", surface, "m2"), Input("i", i, "A/m2"), Input("f", f)),
        source=DNV,
        cautions=("read_second_hand",),
    )


def anode_mass(current: float, years: float, capacity: float, utilisation: float) -> Working:
    """Return the net anode mass that a mean current takes over a life, in kg.

    ``current`` in A, ``years`` above 0 to 50 of 8760 h, ``capacity`` in Ah/kg, ``utilisation`` the
    share that can be used.  Raises Refusal ``out_of_range``.  Source: DNV-RP-B401.
    """
    amperes = above("current", current, 0.0, 10_000.0, "A")
    life = above("years", years, 0.0, 50.0, "year")
    eps = within("capacity", capacity, 100.0, 4000.0, "Ah/kg")
    u = within("utilisation", utilisation, 0.1, 1.0)
    return Working(
        name="anode_mass",
        value=amperes * life * HOURS_A_YEAR / (u * eps),
        unit="kg",
        formula="M = I·t·8760/(u·ε)",
        inputs=(
            Input("I", amperes, "A"),
            Input("t", life, "year"),
            Input("u", u),
            Input("ε", eps, "Ah/kg"),
        ),
        source=DNV,
        cautions=("read_second_hand",),
    )


def _resistivity(rho: float) -> float:
    return within("resistivity", rho, 0.05, 1000.0, "ohm.m")


def _size(quantity: str, metres: float) -> float:
    return above(quantity, metres, 0.0, 20.0, "m")


def _resistance(value: float, formula: str, *inputs: Input) -> Working:
    return Working(
        name="anode_resistance",
        value=value,
        unit="ohm",
        formula=formula,
        inputs=inputs,
        source=_DNV_RESISTANCE,
        cautions=("form_decides", "read_second_hand"),
    )


def resistance_stand_off(
    resistivity: float, length: float, radius: float, gap: float = 0.30
) -> Working:
    """Return the resistance of a slender anode that stands off the hull, in Ω.

    ``resistivity`` in Ω·m, lengths in m; a section that is not round has its girth/(2π) as
    ``radius``.  Long from L = 4r on, where the two forms do not meet.  From 0.15 to 0.30 m off the
    hull 1.3 times as much; nearer it is refused.
    Raises Refusal ``out_of_range``.  Source: DNV-RP-B401 Table 10-7.
    """
    rho = _resistivity(resistivity)
    span, r = _size("length", length), _size("radius", radius)
    away = within("gap", gap, 0.15, 10.0, "m")
    near = 1.3 if away < 0.30 else 1.0
    inputs = (Input("ρ", rho, "ohm.m"), Input("L", span, "m"), Input("r", r, "m"), Input("k", near))
    if span >= 4.0 * r:
        value = rho / (2.0 * math.pi * span) * (math.log(4.0 * span / r) - 1.0)
        return _resistance(near * value, "R = k·ρ/(2πL)·(ln(4L/r) − 1)", *inputs)
    q = r / (2.0 * span)
    root = math.sqrt(1.0 + q * q)
    value = rho / (2.0 * math.pi * span) * (math.log(2.0 * span / r * (1.0 + root)) + q - root)
    formula = "R = k·ρ/(2πL)·[ln{(2L/r)(1 + √(1 + (r/2L)²))} + r/(2L) − √(1 + (r/2L)²)]"
    return _resistance(near * value, formula, *inputs)


def resistance_long_flush(resistivity: float, length: float, width: float) -> Working:
    """Return the resistance of a long anode on the hull, in Ω.

    Long from four times the width on; shorter ones take ``resistance_short_flush``.
    Raises Refusal ``not_long`` or ``out_of_range``.  Source: DNV-RP-B401 Table 10-7.
    """
    rho, span, wide = _resistivity(resistivity), _size("length", length), _size("width", width)
    if round(span - 4.0 * wide, 9) < 0:
        raise Refusal("not_long", value=span, limit=4.0 * wide, unit="m")
    mean = (span + wide) / 2.0
    return _resistance(
        rho / (2.0 * mean),
        "R = ρ/(2S), S = (L + w)/2",
        Input("ρ", rho, "ohm.m"),
        Input("L", span, "m"),
        Input("w", wide, "m"),
    )


def resistance_short_flush(resistivity: float, exposed: float) -> Working:
    """Return the resistance of a short anode on the hull, a bracelet or another form, in Ω.

    ``exposed`` is the exposed surface in m².  Raises Refusal ``out_of_range``.
    Source: DNV-RP-B401 Table 10-7.
    """
    rho, surface = _resistivity(resistivity), above("area", exposed, 0.0, 100.0, "m2")
    return _resistance(
        0.315 * rho / math.sqrt(surface),
        "R = 0.315·ρ/√A",
        Input("ρ", rho, "ohm.m"),
        Input("A", surface, "m2"),
    )


def anode_output(driving: float, resistance: float) -> Working:
    """Return the current that an anode can give, in A.

    ``driving`` is the voltage between anode and protected steel in V, ``resistance`` in Ω.
    Raises Refusal ``out_of_range``.  Source: DNV-RP-B401.
    """
    volts = above("driving_voltage", driving, 0.0, 2.0, "V")
    ohms = above("resistance", resistance, 0.0, 10_000.0, "ohm")
    return Working(
        name="anode_output",
        value=volts / ohms,
        unit="A",
        formula="I_a = ΔE/R",
        inputs=(Input("ΔE", volts, "V"), Input("R", ohms, "ohm")),
        source=DNV,
        cautions=("read_second_hand",),
    )


def anode_count(mass: float, each: float, final_demand: float, each_output: float) -> Working:
    """Return how many anodes are needed, by mass and by current: the larger count.

    ``mass`` and ``each`` in kg, ``final_demand`` and ``each_output`` in A.
    Raises Refusal ``out_of_range``.  Source: DNV-RP-B401.
    """
    kilos = above("mass", mass, 0.0, 1e6, "kg")
    one = above("mass", each, 0.0, 2000.0, "kg")
    amperes = above("current", final_demand, 0.0, 10_000.0, "A")
    output = above("current", each_output, 0.0, 100.0, "A")
    by_mass, by_current = (math.ceil(round(x, 9)) for x in (kilos / one, amperes / output))
    return Working(
        name="anode_count",
        value=float(max(by_mass, by_current)),
        unit="1",
        formula="n = max(ceil(M/m_a), ceil(I_f/I_a))",
        inputs=(
            Input("M", kilos, "kg"),
            Input("m_a", one, "kg"),
            Input("I_f", amperes, "A"),
            Input("I_a", output, "A"),
        ),
        source=DNV,
        cautions=("read_second_hand",),
    )


def ship_density(use: str, coated: bool = True) -> Working:
    """Return the current that a ship's hull takes by its use, in A/m², with its spread.

    ``use`` is still, still_with_tide, slow (to 10 m/s), fast or ice.
    Raises Refusal ``use_unknown``.  Source: ABS 2017 Section 2 Table 3.
    """
    if use not in ABS_DENSITIES:
        raise Refusal("use_unknown", use=use)
    low, high = ABS_DENSITIES[use][1 if coated else 0]
    return _ship(low, high, _ABS_CURRENT)


def docking_density(months: float) -> Working:
    """Return the mean current of a ship's coated hull by her docking interval, in A/m².

    ``months`` above 0 to 60, with the spread of the table.  Raises Refusal ``out_of_range``.
    Source: ABS 2017 Section 2 Table 5.
    """
    span = above("months", months, 0.0, 60.0, "month")
    low, high = ABS_DOCKING[sum(span > limit for limit in _DOCKINGS)]
    return _ship(low, high, _ABS_DOCKING)


def _ship(low: float, high: float, source: Source) -> Working:
    return Working(
        name="ship_current_density",
        value=(low + high) / 2.0,
        unit="A/m2",
        formula="i = (i₁ + i₂)/2",
        inputs=(Input("i₁", low, "A/m2"), Input("i₂", high, "A/m2")),
        source=source,
        cautions=_SECOND_HAND,
        interval=Interval(low, high),
    )


def mass_by_both(
    area: float,
    years: float,
    capacity: float,
    utilisation: float,
    climate: str = "temperate",
    category: str = "III",
    *,
    coated: bool = True,
) -> Working:
    """Return the net anode mass for a coated hull, in kg, as the spread between DNV and ABS.

    ``area`` in m², ``years`` above 0 to 5.  Where not ``coated`` the metal is bare and she lies
    still in a tide.  The figure is the geometric mean, the band runs from
    the lower standard to the upper end of the other.
    Raises Refusal ``climate_unknown``, ``category_unknown`` or ``out_of_range``.
    Source: DNV-RP-B401 and ABS 2017.
    """
    life = above("years", years, 0.0, 5.0, "year")
    share = breakdown(category, life).value if coated else 1.0
    dnv = demand(area, current_density(climate).value, share)
    ship = docking_density(12.0 * life) if coated else ship_density("still_with_tide", coated=False)
    ends = ship.interval or Interval(ship.value, ship.value)
    masses = sorted(
        anode_mass(current, life, capacity, utilisation).value
        for current in (dnv.value, area * ends.low, area * ends.high)
    )
    return Working(
        name="anode_mass_by_both",
        value=math.sqrt(masses[0] * masses[-1]),
        unit="kg",
        formula="M = √(M_low·M_high), M = I·t·8760/(u·ε)",
        inputs=(
            Input("A", area, "m2"),
            Input("t", life, "year"),
            Input("u", utilisation),
            Input("ε", capacity, "Ah/kg"),
            Input("I_DNV", dnv.value, "A"),
            Input("i_ABS", ship.value, "A/m2"),
        ),
        source=Source("published", "DNV-RP-B401:2010 and ABS 2017, spread"),
        cautions=("no_standard_for_yachts", "read_second_hand"),
        interval=Interval(masses[0], masses[-1]),
    )
