"""How much skin is to be painted: owners' rules and the naval architect's formulas.

The boat's own form, where there is one, is better than any of these.  Lengths in m, areas in m²,
volumes in m³.  Pieces such as keels and legs stand in ``pieces``.
"""

from __future__ import annotations

import math
import statistics
from dataclasses import dataclass
from types import MappingProxyType
from typing import TYPE_CHECKING

from hulllog.trade.pieces import (
    band_below_waterline,
    bulb,
    cone,
    cylinder,
    disc,
    ellipse_girth,
    foil,
    half_ellipsoid,
    trapezium,
    v_bottom,
)
from hulllog.trade.ranges import above, within
from hulllog.trade.refusal import Refusal
from hulllog.trade.working import Input, Interval, Source, Working

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

__all__ = [
    "OWNERS_RULES",
    "band_below_waterline",
    "bulb",
    "by_length_and_beam",
    "by_waterline_length",
    "cone",
    "cylinder",
    "deck",
    "delft",
    "denny_mumford",
    "disc",
    "ellipse_girth",
    "foil",
    "froude",
    "grubisic",
    "half_ellipsoid",
    "holtrop_mennen",
    "owners_rule",
    "spread",
    "taylor",
    "topsides",
    "total",
    "trapezium",
    "v_bottom",
    "volume_of",
]


@dataclass(frozen=True, slots=True)
class OwnersRule:
    """A rule of thumb A = k·LWL·(B + T): its factor, and another guide's where it is far higher."""

    craft: str
    factor: float
    other: float | None = None


OWNERS_RULES: Mapping[str, OwnersRule] = MappingProxyType(
    {
        one.craft: one
        for one in (
            OwnersRule("fin_keel", 0.50, 0.60),
            OwnersRule("medium_displacement", 0.75),
            OwnersRule("bilge_keels", 0.75),
            OwnersRule("long_keel", 0.75, 1.00),
            OwnersRule("motor_boat", 0.85),
        )
    }
)
"""Owners' rules by craft.  Of motor boats 1.00 is given too, within the spread of any rule."""

_LOW, _HIGH = 0.8, 1.2
"""Spread of an owners' rule: ±20 %, from two boats tried.  Our own rule."""

SEAWATER = 1025.0
"""kg/m³, by convention."""

_GUIDES = Source("common practice", "antifouling quantity guides")
_DENNY = Source("published", "Denny-Mumford, Principles of Naval Architecture")
_TAYLOR = Source("published", "Taylor's wetted surface, constant 2.6")
_FROUDE = Source("from memory", "Froude's wetted surface")
_HOLTROP = Source("published", "Holtrop and Mennen 1982")
_DELFT = Source("published", "Delft systematic yacht hull series, Gerritsma and Keuning")
_GRUBISIC = Source("published", "Grubisic 2012, small craft")
_SUM = Source("our own rule", "sum of the parts")


def _length(value: float, quantity: str = "waterline_length") -> float:
    return above(quantity, value, 0.5, 400.0, "m")


def _beam(value: float) -> float:
    return above("beam", value, 0.2, 70.0, "m")


def _draught(value: float) -> float:
    return above("draught", value, 0.05, 30.0, "m")


def _volume(value: float) -> float:
    return above("volume", value, 0.0, 600_000.0, "m3")


def _block(volume: float, length: float, beam: float, draught: float) -> float:
    """Return the block coefficient; Refusal where the figures cannot belong to one hull."""
    return within("block_coefficient", volume / (length * beam * draught), 0.1, 1.0)


def volume_of(mass: float, density: float = SEAWATER) -> Working:
    """Return the volume of displacement in m³ of a boat's mass in kg.

    ``density`` of the water from 950 to 1100 kg/m³.  Raises Refusal ``out_of_range``.
    Source: definition.
    """
    kilos = above("mass", mass, 0.0, 6e8, "kg")
    rho = within("density", density, 950.0, 1100.0, "kg/m3")
    return Working(
        name="volume_of_displacement",
        value=kilos / rho,
        unit="m3",
        formula="V = m/ρ",
        inputs=(Input("m", kilos, "kg"), Input("ρ", rho, "kg/m3")),
        source=Source("published", "Archimedes' principle"),
    )


def owners_rule(craft: str, waterline_length: float, beam: float, draught: float) -> Working:
    """Return the underwater area in m² by the owners' rule of a kind of craft.

    ``beam`` is the most beam (the waterline beam gives better figures), ``draught`` to the bottom
    of the keel.  The interval is ±20 %, wider where another guide's factor lies beyond.
    Raises Refusal ``craft_unknown`` or ``out_of_range``.  Source: common practice.
    """
    if craft not in OWNERS_RULES:
        raise Refusal("craft_unknown", craft=craft)
    one = OWNERS_RULES[craft]
    length, width, depth = _length(waterline_length), _beam(beam), _draught(draught)
    base = length * (width + depth)
    widest = max(_HIGH * one.factor, one.other or 0.0)
    return Working(
        name="owners_rule",
        value=one.factor * base,
        unit="m2",
        formula="A = k·LWL·(B + T)",
        inputs=(
            Input("k", one.factor),
            Input("LWL", length, "m"),
            Input("B", width, "m"),
            Input("T", depth, "m"),
        ),
        source=_GUIDES,
        cautions=("owners_rules_differ",),
        interval=Interval(_LOW * one.factor * base, widest * base),
    )


def _rule_of_thumb(name: str, value: float, formula: str, inputs: tuple[Input, ...]) -> Working:
    return Working(
        name=name,
        value=value,
        unit="m2",
        formula=formula,
        inputs=inputs,
        source=_GUIDES,
        cautions=("owners_rules_differ",),
        interval=Interval(_LOW * value, _HIGH * value),
    )


def by_length_and_beam(length: float, beam: float) -> Working:
    """Return the underwater area in m² where only length over all and beam are known.

    Raises Refusal ``out_of_range``.  Source: common practice.
    """
    loa, width = _length(length, "length"), _beam(beam)
    return _rule_of_thumb(
        "by_length_and_beam",
        0.85 * loa * width,
        "A = 0.85·LOA·B",
        (Input("LOA", loa, "m"), Input("B", width, "m")),
    )


def by_waterline_length(waterline_length: float) -> Working:
    """Return the underwater area in m² where only the waterline length is known.

    Raises Refusal ``out_of_range``.  Source: common practice.
    """
    length = _length(waterline_length)
    return _rule_of_thumb(
        "by_waterline_length", 0.5 * length**2, "A = 0.5·LWL²", (Input("LWL", length, "m"),)
    )


def topsides(length: float, beam: float, freeboard: float) -> Working:
    """Return the area of the topsides in m², both sides and transom, by the owners' rule.

    ``freeboard`` is the mean one.  Raises Refusal ``out_of_range``.  Source: common practice.
    """
    loa, width = _length(length, "length"), _beam(beam)
    height = above("freeboard", freeboard, 0.0, 6.0, "m")
    return _rule_of_thumb(
        "topsides",
        2.0 * height * (loa + width),
        "A = 2·F·(LOA + B)",
        (Input("F", height, "m"), Input("LOA", loa, "m"), Input("B", width, "m")),
    )


def deck(length: float, beam: float) -> Working:
    """Return the area of the deck in m² by the owners' rule, nothing taken off for a cockpit.

    Raises Refusal ``out_of_range``.  Source: common practice.
    """
    loa, width = _length(length, "length"), _beam(beam)
    return _rule_of_thumb(
        "deck",
        0.75 * loa * width,
        "A = 0.75·LOA·B",
        (Input("LOA", loa, "m"), Input("B", width, "m")),
    )


def denny_mumford(waterline_length: float, draught: float, volume: float) -> Working:
    """Return the wetted surface in m² of a hull without appendages by Denny and Mumford.

    ``draught`` is that of the hull body, ``volume`` its displacement.  Made for ships: 5 to 17 %
    low on shallow yacht bodies.  Raises Refusal ``out_of_range``.
    Source: Principles of Naval Architecture.
    """
    length, depth, vol = _length(waterline_length), _draught(draught), _volume(volume)
    return Working(
        name="denny_mumford",
        value=1.7 * length * depth + vol / depth,
        unit="m2",
        formula="S = 1.7·L·T + V/T",
        inputs=(Input("L", length, "m"), Input("T", depth, "m"), Input("V", vol, "m3")),
        source=_DENNY,
        cautions=("hull_without_appendages", "made_for_ships"),
    )


def taylor(waterline_length: float, volume: float) -> Working:
    """Return the wetted surface in m² of a hull without appendages by Taylor.

    Raises Refusal ``out_of_range``.  Source: Taylor, constant 2.6 in metric units.
    """
    length, vol = _length(waterline_length), _volume(volume)
    return Working(
        name="taylor",
        value=2.6 * math.sqrt(length * vol),
        unit="m2",
        formula="S = 2.6·√(L·V)",
        inputs=(Input("L", length, "m"), Input("V", vol, "m3")),
        source=_TAYLOR,
        cautions=("hull_without_appendages", "made_for_ships"),
    )


def froude(waterline_length: float, volume: float) -> Working:
    """Return the wetted surface in m² of a hull without appendages by Froude.

    Raises Refusal ``out_of_range``.  Source: from memory, not checked against the text.
    """
    length, vol = _length(waterline_length), _volume(volume)
    side = vol ** (1.0 / 3.0)
    return Working(
        name="froude",
        value=side**2 * (3.4 + length / (2.0 * side)),
        unit="m2",
        formula="S = V^(2/3)·(3.4 + L/(2·V^(1/3)))",
        inputs=(Input("L", length, "m"), Input("V", vol, "m3")),
        source=_FROUDE,
        cautions=("hull_without_appendages", "made_for_ships"),
    )


def delft(
    waterline_length: float, beam: float, draught: float, volume: float, midship: float = 0.70
) -> Working:
    """Return the wetted surface in m² of a round-bilge canoe body by the Delft series.

    ``beam`` on the waterline, ``draught`` and ``volume`` of the canoe body, ``midship`` its midship
    coefficient (0.70 where it is not known).  Outside the series (L/B 2.7 to 5.0, B/T 2.4 to 19.4)
    a caution says so; refused where the figures cannot belong to one hull.
    Raises Refusal ``out_of_range``.
    Source: Gerritsma and Keuning; limits of the series from memory.
    """
    length, width, depth = _length(waterline_length), _beam(beam), _draught(draught)
    vol = _volume(volume)
    cm = within("midship_coefficient", midship, 0.4, 1.0)
    _block(vol, length, width, depth)
    value = (1.97 + 0.171 * width / depth) * (0.65 / cm) ** (1.0 / 3.0) * math.sqrt(vol * length)
    inside = 2.7 <= length / width <= 5.0 and 2.4 <= width / depth <= 19.4
    return Working(
        name="delft",
        value=value,
        unit="m2",
        formula="S = (1.97 + 0.171·B/T)·(0.65/C_M)^(1/3)·√(V·L)",
        inputs=(
            Input("L", length, "m"),
            Input("B", width, "m"),
            Input("T", depth, "m"),
            Input("V", vol, "m3"),
            Input("C_M", cm),
        ),
        source=_DELFT,
        cautions=("hull_without_appendages",) + (() if inside else ("outside_the_series",)),
    )


def holtrop_mennen(
    waterline_length: float,
    beam: float,
    draught: float,
    volume: float,
    midship: float,
    waterplane: float,
    bulb_area: float = 0.0,
) -> Working:
    """Return the wetted surface in m² of a ship's hull by Holtrop and Mennen.

    ``midship`` and ``waterplane`` are coefficients, ``bulb_area`` the cross-section of a bow bulb.
    Raises Refusal ``out_of_range``.  Source: Holtrop and Mennen 1982.
    """
    length, width, depth = _length(waterline_length), _beam(beam), _draught(draught)
    cb = _block(_volume(volume), length, width, depth)
    cm = within("midship_coefficient", midship, 0.4, 1.0)
    cwp = within("waterplane_coefficient", waterplane, 0.4, 1.0)
    abt = within("bulb_area", bulb_area, 0.0, 100.0, "m2")
    form = 0.453 + 0.4425 * cb - 0.2862 * cm - 0.003467 * width / depth + 0.3696 * cwp
    return Working(
        name="holtrop_mennen",
        value=length * (2.0 * depth + width) * math.sqrt(cm) * form + 2.38 * abt / cb,
        unit="m2",
        formula=(
            "S = L·(2T + B)·√C_M·(0.453 + 0.4425·C_B − 0.2862·C_M − 0.003467·B/T + 0.3696·C_WP)"
            " + 2.38·A_BT/C_B"
        ),
        inputs=(
            Input("L", length, "m"),
            Input("B", width, "m"),
            Input("T", depth, "m"),
            Input("C_B", cb),
            Input("C_M", cm),
            Input("C_WP", cwp),
            Input("A_BT", abt, "m2"),
        ),
        source=_HOLTROP,
        cautions=("hull_without_appendages", "made_for_ships"),
    )


def grubisic(waterline_length: float, beam: float, draught: float, volume: float) -> Working:
    """Return the wetted surface in m² of a small craft's hull by Grubisic.

    Raises Refusal ``out_of_range``.  Source: Grubisic 2012.
    """
    length, width, depth = _length(waterline_length), _beam(beam), _draught(draught)
    vol = _volume(volume)
    _block(vol, length, width, depth)
    ratio = width / depth
    return Working(
        name="grubisic",
        value=(2.61 + ratio * (ratio - 0.244) / 81.0) * math.sqrt(length * vol),
        unit="m2",
        formula="S = (2.61 + (B/T)·(B/T − 0.244)/81)·√(L·V)",
        inputs=(
            Input("L", length, "m"),
            Input("B", width, "m"),
            Input("T", depth, "m"),
            Input("V", vol, "m3"),
        ),
        source=_GRUBISIC,
        cautions=("hull_without_appendages",),
    )


def total(parts: Sequence[Working]) -> Working:
    """Return the sum of areas in m², with the sums of their bounds where any has an interval.

    Two hulls of a catamaran are two parts.  Raises Refusal ``no_parts`` or ``not_an_area``.
    """
    _areas(parts)
    value = math.fsum(one.value for one in parts)
    bounds = [one.interval or Interval(one.value, one.value) for one in parts]
    banded = any(one.interval for one in parts)
    return Working(
        name="total_area",
        value=value,
        unit="m2",
        formula="A = Σ A_i",
        inputs=tuple(Input(f"A_{n}", one.value, "m2") for n, one in enumerate(parts, 1)),
        source=_SUM,
        cautions=_shared(parts),
        interval=Interval(
            math.fsum(one.low for one in bounds), math.fsum(one.high for one in bounds)
        )
        if banded
        else None,
    )


def _areas(parts: Sequence[Working]) -> None:
    if not parts:
        raise Refusal("no_parts")
    if any(one.unit != "m2" for one in parts):
        raise Refusal("not_an_area")


def _shared(parts: Sequence[Working]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(code for one in parts for code in one.cautions))


def spread(estimates: Sequence[Working]) -> Working:
    """Return the middle of several estimates of one area in m², with the band that they span.

    The middle is the median of the figures, the band goes from the lowest bound to the highest.
    Raises Refusal ``no_parts`` or ``not_an_area``.  Source: our own rule.
    """
    _areas(estimates)
    bounds = [one.interval or Interval(one.value, one.value) for one in estimates]
    return Working(
        name="area_by_several_rules",
        value=statistics.median(one.value for one in estimates),
        unit="m2",
        formula="A = median(A_i)",
        inputs=tuple(Input(f"A_{n}", one.value, "m2") for n, one in enumerate(estimates, 1)),
        source=Source("our own rule", "median of the rules, band of their bounds"),
        cautions=_shared(estimates),
        interval=Interval(min(one.low for one in bounds), max(one.high for one in bounds)),
    )
