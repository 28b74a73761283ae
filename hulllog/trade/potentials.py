"""Hull potentials beside the ranges that rules and suppliers quote.

A reading is put beside each range with its year; it is never called good or bad here, since the
sources differ and have changed.  In fresh water no range was found, so nothing is said there.
Volts against silver/silver chloride in seawater, unless another electrode is named.
"""

from __future__ import annotations

from dataclasses import dataclass
from types import MappingProxyType
from typing import TYPE_CHECKING, Literal

from hulllog.trade.ranges import within
from hulllog.trade.refusal import Refusal
from hulllog.trade.working import Input, Source, Working

if TYPE_CHECKING:
    from collections.abc import Mapping

Standing = Literal["within", "more_negative", "less_negative"]


@dataclass(frozen=True, slots=True)
class PotentialRange:
    """A range that a rule gives: least and most negative potential in V, None where it has none."""

    material: str
    rule: str
    year: int | None
    least: float | None
    most: float | None
    source: Source
    current: bool = True
    """Whether the rule still stands, as far as is known."""


_ABYC = Source("published", "ABYC E-2, as quoted in a boating magazine")
_SUPPLIER = Source("common practice", "UK anode supplier's table")
_OLDER = Source("common practice", "older magazine advice")
_EN = Source("from memory", "EN 12473:2014")
_ABS = Source(
    "published", "ABS Guidance Notes on Cathodic Protection of Ships (2017) Section 2 Table 1"
)

RANGES: tuple[PotentialRange, ...] = (
    PotentialRange("grp", "abyc", 2009, -0.55, -1.10, _ABYC),
    PotentialRange("grp", "supplier_inboard", None, -0.75, -1.00, _SUPPLIER),
    PotentialRange("grp", "supplier_outdrive", None, -0.90, -1.05, _SUPPLIER),
    PotentialRange("grp", "older", None, -0.50, -0.70, _OLDER, current=False),
    PotentialRange("steel", "abyc", 2009, -0.85, -1.10, _ABYC),
    PotentialRange("steel", "supplier", None, -0.80, -1.05, _SUPPLIER),
    PotentialRange("steel", "abs", 2017, -0.80, -1.10, _ABS),
    PotentialRange("aluminium", "abyc", 2009, -0.95, -1.10, _ABYC),
    PotentialRange("aluminium", "supplier", None, -0.90, -1.10, _SUPPLIER),
    PotentialRange("aluminium", "en_12473", 2014, -0.90, -1.15, _EN),
    PotentialRange("wood", "abyc", 2009, -0.55, -0.60, _ABYC),
    PotentialRange("wood", "supplier", None, -0.55, -0.60, _SUPPLIER),
    PotentialRange("stainless", "abs_low_alloyed", 2017, -0.60, -1.10, _ABS),
    PotentialRange("stainless", "abs_high_alloyed", 2017, -0.30, -1.10, _ABS),
    PotentialRange("bronze", "abs_with_aluminium", 2017, -0.45, -1.10, _ABS),
    PotentialRange("bronze", "abs_without_aluminium", 2017, -0.45, None, _ABS),
)
"""Ranges as quoted, with the rule and its year."""


@dataclass(frozen=True, slots=True)
class Comparison:
    """Where a potential stands beside one range: no verdict."""

    standing: Standing
    by: float
    """V outside the nearer end, 0 within."""
    range: PotentialRange


def beside_ranges(potential: float, material: str, water: str) -> tuple[Comparison, ...]:
    """Put a hull potential beside every range for its material, oldest rules last.

    ``potential`` in V against Ag/AgCl/seawater, -2 to 0.5; ``water`` "salt" or "brackish".
    Raises Refusal ``no_range_in_fresh_water``, ``water_not_known``, ``material_without_range`` or
    ``out_of_range``.
    """
    volts = within("potential", potential, -2.0, 0.5, "V")
    if water == "fresh":
        raise Refusal("no_range_in_fresh_water")
    if water not in ("salt", "brackish"):
        raise Refusal("water_not_known")
    found = [one for one in RANGES if one.material == material]
    if not found:
        raise Refusal("material_without_range", material=material)
    ordered = sorted(found, key=lambda one: not one.current)
    return tuple(_compare(volts, one) for one in ordered)


def _compare(volts: float, one: PotentialRange) -> Comparison:
    if one.least is not None and round(volts - one.least, 9) > 0:
        return Comparison("less_negative", volts - one.least, one)
    if one.most is not None and round(one.most - volts, 9) > 0:
        return Comparison("more_negative", one.most - volts, one)
    return Comparison("within", 0.0, one)


FREE_POTENTIALS: Mapping[str, tuple[float, float]] = MappingProxyType(
    {
        "magnesium": (-1.60, -1.60),
        "zinc": (-1.03, -0.98),
        "aluminium": (-1.00, -0.76),
        "steel": (-0.71, -0.60),
        "stainless_active": (-0.54, -0.43),
        "naval_brass": (-0.40, -0.30),
        "manganese_bronze": (-0.34, -0.27),
        "silicon_bronze": (-0.29, -0.26),
        "nickel_aluminium_bronze": (-0.22, -0.15),
        "stainless_passive": (-0.10, 0.00),
    }
)
"""Free potentials in flowing seawater, V, most negative first.  Galvanic series, from memory."""

ELECTRODES: Mapping[str, float] = MappingProxyType(
    {"ag_agcl": 0.0, "cu_cuso4": 0.05, "zinc": -1.05}
)
"""What is added to a reading against an electrode to refer it to Ag/AgCl/seawater, V.

The codes are those of the condition "electrode".  Calomel and saturated Ag/AgCl are not in
this table, so a reading against them is refused, not guessed."""

_ELECTRODE_SOURCE = Source("from memory", "usual differences between reference electrodes")


def referred(reading: float, electrode: str) -> Working:
    """Return a reading against another electrode as V against Ag/AgCl/seawater, about.

    ``electrode`` is a key of ``ELECTRODES``.  Raises Refusal ``electrode_unknown`` or
    ``out_of_range``.  Source: from memory.
    """
    if electrode not in ELECTRODES:
        raise Refusal("electrode_unknown", electrode=electrode)
    volts = within("potential", reading, -2.5, 2.0, "V")
    shift = ELECTRODES[electrode]
    return Working(
        name="referred_potential",
        value=volts + shift,
        unit="V",
        formula="E = E′ + ΔE",
        inputs=(Input("E′", volts, "V"), Input("ΔE", shift, "V")),
        source=_ELECTRODE_SOURCE,
        cautions=("electrodes_drift",) if shift else (),
    )


def drop_share(resistance: float, current: float, driving: float) -> Working:
    """Return the share of an anode's driving voltage that its connection uses up.

    ``resistance`` in Ω and ``current`` in A from 0, ``driving`` in V above 0.
    Raises Refusal ``out_of_range``.  Source: Ohm's law.
    """
    ohms = within("resistance", resistance, 0.0, 1000.0, "ohm")
    amperes = within("current", current, 0.0, 100.0, "A")
    volts = within("driving_voltage", driving, 0.01, 2.0, "V")
    return Working(
        name="drop_share",
        value=ohms * amperes / volts,
        unit="1",
        formula="d = R·I/ΔE",
        inputs=(Input("R", ohms, "ohm"), Input("I", amperes, "A"), Input("ΔE", volts, "V")),
        source=Source("published", "Ohm's law"),
    )
