"""The air over a wet hull: dew point, margin, wet bulb, and the two rules that painters quote.

Temperatures are in °C, humidity in % over water (as every hygrometer shows it), pressure in hPa.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from types import MappingProxyType
from typing import TYPE_CHECKING, Literal

from hulllog.trade.ranges import within
from hulllog.trade.refusal import Refusal
from hulllog.trade.working import Input, Source, Working

if TYPE_CHECKING:
    from collections.abc import Mapping

Phase = Literal["water", "ice"]


@dataclass(frozen=True, slots=True)
class Coefficients:
    """A Magnus formula: e = 6.112·exp(a·t/(b + t)) in hPa, a plain, b in °C."""

    code: str
    a: float
    b: float
    source: Source


_WMO = Source("published", "WMO-No. 8 Annex 4.B")
COEFFICIENTS: Mapping[str, Coefficients] = MappingProxyType(
    {
        "wmo": Coefficients("wmo", 17.62, 243.12, _WMO),
        "wmo_ice": Coefficients("wmo_ice", 22.46, 272.62, _WMO),
        "tetens": Coefficients(
            "tetens", 17.27, 237.3, Source("published", "AZMET dewpoint formulas, Tetens type")
        ),
        "bolton": Coefficients(
            "bolton", 17.67, 243.5, Source("from memory", "Bolton 1980, Mon. Weather Rev. 108")
        ),
    }
)
"""Magnus coefficients in use; "wmo" is the set of this program."""

TRIPLE = 6.112
"""hPa over water and over ice at 0 °C, of the WMO sets."""
STANDARD_PRESSURE = 1013.25
"""hPa at sea level."""
MARGIN = 3.0
"""°C that the surface is to be above the dew point, by the rule that painters quote."""
HIGHEST_HUMIDITY = 85.0
"""% relative humidity that painters quote as the most."""

_RULES = Source("published", "ISO 12944-7, with ISO 8502-4")
_PSYCHROMETER = Source("published", "AMS Glossary of Meteorology, psychrometric formula")
_A_WATER, _A_SLOPE, _A_ICE = 6.60e-4, 0.00115, 5.82e-4
"""1/°C of a ventilated psychrometer: A = 6.60e-4·(1 + 0.00115·t_w), over ice about 5.82e-4."""


def _air(celsius: float) -> float:
    return within("air", celsius, -40.0, 60.0, "degC")


def _humidity(percent: float) -> float:
    return within("humidity", percent, 1.0, 100.0, "percent")


def _set(code: str) -> Coefficients:
    if code not in COEFFICIENTS or code == "wmo_ice":
        raise Refusal("coefficients_unknown", coefficients=code)
    return COEFFICIENTS[code]


def _pressure(celsius: float, one: Coefficients) -> float:
    return TRIPLE * math.exp(one.a * celsius / (one.b + celsius))


def _temperature(vapour: float, one: Coefficients) -> float:
    """Turn a vapour pressure in hPa back into the temperature at which it is saturated."""
    gamma = math.log(vapour / TRIPLE)
    return one.b * gamma / (one.a - gamma)


def _named(one: Coefficients) -> tuple[Input, ...]:
    return (Input("a", one.a, "1", f"coefficients_{one.code}"), Input("b", one.b, "degC"))


def saturation_pressure(celsius: float, phase: Phase = "water") -> Working:
    """Return the saturation vapour pressure over water or ice in hPa.

    Over water from -40 to 60 °C (below zero undercooled), over ice from -40 to 0 °C.
    Raises Refusal ``out_of_range``.  Source: WMO-No. 8 Annex 4.B.
    """
    one = COEFFICIENTS["wmo_ice" if phase == "ice" else "wmo"]
    t = within("air", celsius, -40.0, 0.0 if phase == "ice" else 60.0, "degC")
    return Working(
        name="saturation_pressure",
        value=_pressure(t, one),
        unit="hPa",
        formula="e = 6.112·exp(a·t/(b + t))",
        inputs=(Input("t", t, "degC"), *_named(one)),
        source=_WMO,
        cautions=("over_ice",) if phase == "ice" else (),
    )


def vapour_pressure(air: float, humidity: float) -> Working:
    """Return the vapour pressure of the air in hPa.

    ``air`` from -40 to 60 °C, ``humidity`` from 1 to 100 % over water.
    Raises Refusal ``out_of_range``.  Source: WMO-No. 8 Annex 4.B.
    """
    t, rh = _air(air), _humidity(humidity)
    one = COEFFICIENTS["wmo"]
    return Working(
        name="vapour_pressure",
        value=rh / 100.0 * _pressure(t, one),
        unit="hPa",
        formula="e = (U/100)·6.112·exp(a·t/(b + t))",
        inputs=(Input("U", rh, "percent"), Input("t", t, "degC"), *_named(one)),
        source=_WMO,
    )


def dew_point(air: float, humidity: float, coefficients: str = "wmo") -> Working:
    """Return the dew point in °C, over water at any temperature.

    ``air`` from -40 to 60 °C, ``humidity`` from 1 to 100 % over water, ``coefficients`` "wmo",
    "tetens" or "bolton".  Below 0 °C what forms on a surface may be frost: see ``frost_point``.
    Raises Refusal ``out_of_range`` or ``coefficients_unknown``.  Source: as the coefficients name.
    """
    t, rh, one = _air(air), _humidity(humidity), _set(coefficients)
    dryness = math.log(rh / 100.0)
    gamma = dryness + one.a * t / (one.b + t)
    value = one.b * gamma / (one.a - gamma) if dryness else t
    return Working(
        name="dew_point",
        value=value,
        unit="degC",
        formula="γ = ln(U/100) + a·t/(b + t), t_d = b·γ/(a − γ)",
        inputs=(Input("t", t, "degC"), Input("U", rh, "percent"), *_named(one)),
        source=one.source,
        cautions=("below_zero_over_water",) if value < 0 else (),
    )


def frost_point(air: float, humidity: float) -> Working:
    """Return the frost point in °C: where the air is saturated over ice.

    ``air`` from -40 to 60 °C, ``humidity`` from 1 to 100 % over water, the figures such that it
    lies at or below zero.  Raises Refusal ``out_of_range`` or ``no_frost``.
    Source: WMO-No. 8 Annex 4.B.
    """
    t, rh = _air(air), _humidity(humidity)
    vapour = rh / 100.0 * _pressure(t, COEFFICIENTS["wmo"])
    ice = COEFFICIENTS["wmo_ice"]
    if vapour > TRIPLE:
        raise Refusal("no_frost")
    return Working(
        name="frost_point",
        value=_temperature(vapour, ice),
        unit="degC",
        formula="γ = ln(e/6.112), t_f = b·γ/(a − γ)",
        inputs=(Input("e", vapour, "hPa"), *_named(ice)),
        source=_WMO,
        cautions=("over_ice",),
    )


def margin(surface: float, air: float, humidity: float) -> Working:
    """Return how far a surface is above the dew point, as a difference in °C.

    ``surface`` from -40 to 80 °C, ``air`` and ``humidity`` as in ``dew_point``.  Negative means
    that water condenses on it.  Raises Refusal ``out_of_range``.  Source: WMO-No. 8 Annex 4.B.
    """
    skin = within("surface", surface, -40.0, 80.0, "degC")
    point = dew_point(air, humidity)
    return Working(
        name="margin",
        value=skin - point.value,
        unit="degC_difference",
        formula="Δ = t_s − t_d",
        inputs=(
            Input("t_s", skin, "degC"),
            Input("t_d", point.value, "degC"),
            Input("t", air, "degC"),
            Input("U", humidity, "percent"),
            *point.inputs[2:],
        ),
        source=_WMO,
        cautions=("measure_the_coldest_place",),
    )


def lowest_surface(air: float, humidity: float, over: float = MARGIN) -> Working:
    """Return the surface temperature in °C that lies ``over`` degrees above the dew point.

    ``over`` from 0 to 10.  Raises Refusal ``out_of_range``.  Source: the 3 °C rule of ISO 12944-7.
    """
    rise = within("margin", over, 0.0, 10.0, "degC_difference")
    point = dew_point(air, humidity)
    return Working(
        name="lowest_surface",
        value=point.value + rise,
        unit="degC",
        formula="t_s = t_d + Δ",
        inputs=(Input("t_d", point.value, "degC"), Input("Δ", rise, "degC_difference")),
        source=_RULES,
    )


def highest_humidity(air: float, surface: float | None = None, over: float = MARGIN) -> Working:
    """Return the relative humidity in % at which a surface is just ``over`` above the dew point.

    ``surface`` is at air temperature where it is left out.  Raises Refusal ``out_of_range``.
    Source: WMO-No. 8 Annex 4.B with the 3 °C rule of ISO 12944-7.
    """
    t = _air(air)
    skin = within("surface", air if surface is None else surface, -40.0, 80.0, "degC")
    rise = within("margin", over, 0.0, 10.0, "degC_difference")
    one = COEFFICIENTS["wmo"]
    share = 100.0 * _pressure(skin - rise, one) / _pressure(t, one)
    return Working(
        name="highest_humidity",
        value=min(share, 100.0),
        unit="percent",
        formula="U = 100·e(t_s − Δ)/e(t)",
        inputs=(
            Input("t_s", skin, "degC"),
            Input("Δ", rise, "degC_difference"),
            Input("t", t, "degC"),
        ),
        source=_RULES,
    )


@dataclass(frozen=True, slots=True)
class Rule:
    """A rule that painters quote, held against figures: a statement with its source, no advice."""

    code: str
    found: float
    limit: float
    unit: str
    met: bool
    source: Source


def rules(surface: float, air: float, humidity: float) -> tuple[Rule, ...]:
    """Hold the figures against the 3 °C and the 85 % rule; the paint's data sheet leads.

    Temperatures in °C, humidity in %.  Raises Refusal ``out_of_range``.
    Source: ISO 12944-7 with ISO 8502-4; with the hull at the air's temperature the 3 °C rule is the
    stricter one up to about 39 °C.
    """
    gap, rh = margin(surface, air, humidity).value, _humidity(humidity)
    return (
        Rule(
            "surface_over_dew_point",
            gap,
            MARGIN,
            "degC_difference",
            round(gap, 9) >= MARGIN,
            _RULES,
        ),
        Rule("humidity_at_most", rh, HIGHEST_HUMIDITY, "percent", rh <= HIGHEST_HUMIDITY, _RULES),
    )


def _psychrometric(dry: float, wet: float, pressure: float) -> float:
    """Return the vapour pressure in hPa by a ventilated psychrometer."""
    ice = wet < 0
    one = COEFFICIENTS["wmo_ice" if ice else "wmo"]
    factor = _A_ICE if ice else _A_WATER * (1.0 + _A_SLOPE * wet)
    return _pressure(wet, one) - factor * pressure * (dry - wet)


def _bulbs(dry: float, wet: float, pressure: float) -> tuple[float, float, float]:
    t = _air(dry)
    w = within("wet_bulb", wet, -30.0, 60.0, "degC")
    p = within("pressure", pressure, 500.0, 1100.0, "hPa")
    if w > t:
        raise Refusal("wet_over_dry", value=w, limit=t, unit="degC")
    return t, w, p


def humidity_by_wet_bulb(dry: float, wet: float, pressure: float = STANDARD_PRESSURE) -> Working:
    """Return the relative humidity in % from a ventilated psychrometer.

    ``dry`` from -40 and ``wet`` from -30 to 60 °C, iced below zero; ``pressure`` 500 to 1100 hPa.
    A thermometer that air is drawn over, not the thermodynamic wet bulb of air-conditioning tables:
    by those the same reading is up to 1 % more humid, its dew point up to 0.3 °C higher, for
    air from 5 to 30 °C, from 45 % up, with its dew point above zero.
    Raises Refusal ``out_of_range``, ``wet_over_dry`` or ``drier_than_air_can_be``.
    Source: AMS Glossary of Meteorology.
    """
    t, w, p = _bulbs(dry, wet, pressure)
    share = 100.0 * _psychrometric(t, w, p) / _pressure(t, COEFFICIENTS["wmo"])
    if share < 1.0:
        raise Refusal("drier_than_air_can_be", value=w, limit=t, unit="degC")
    return Working(
        name="humidity_by_wet_bulb",
        value=min(share, 100.0),
        unit="percent",
        formula="U = 100·(e(t_w) − A·p·(t − t_w))/e(t)",
        inputs=_bulb_inputs(t, w, p),
        source=_PSYCHROMETER,
        cautions=("ventilated_psychrometer", *(("wet_bulb_iced",) if w < 0 else ())),
    )


def _bulb_inputs(dry: float, wet: float, pressure: float) -> tuple[Input, ...]:
    return (Input("t", dry, "degC"), Input("t_w", wet, "degC"), Input("p", pressure, "hPa"))


def dew_point_by_wet_bulb(dry: float, wet: float, pressure: float = STANDARD_PRESSURE) -> Working:
    """Return the dew point in °C from a ventilated psychrometer.

    Ranges and refusals as ``humidity_by_wet_bulb``.  Source: AMS Glossary of Meteorology.
    """
    t, w, p = _bulbs(dry, wet, pressure)
    humidity_by_wet_bulb(t, w, p)
    value = min(_temperature(_psychrometric(t, w, p), COEFFICIENTS["wmo"]), t)
    return Working(
        name="dew_point_by_wet_bulb",
        value=value,
        unit="degC",
        formula="e = e(t_w) − A·p·(t − t_w), t_d = b·γ/(a − γ)",
        inputs=_bulb_inputs(t, w, p),
        source=_PSYCHROMETER,
        cautions=("ventilated_psychrometer", *(("below_zero_over_water",) if value < 0 else ())),
    )


def wet_bulb(air: float, humidity: float, pressure: float = STANDARD_PRESSURE) -> Working:
    """Return the wet-bulb temperature in °C of a ventilated psychrometer.

    ``air`` from 0 to 60 °C, ``humidity`` from 1 to 100 %, such that it is not below zero.
    Raises Refusal ``out_of_range`` or ``wet_bulb_below_zero``.
    Source: AMS Glossary of Meteorology.
    """
    t, rh = within("air", air, 0.0, 60.0, "degC"), _humidity(humidity)
    p = within("pressure", pressure, 500.0, 1100.0, "hPa")
    vapour = rh / 100.0 * _pressure(t, COEFFICIENTS["wmo"])
    low, high = 0.0, t
    if _psychrometric(t, low, p) > vapour:
        raise Refusal("wet_bulb_below_zero")
    for _ in range(60):
        middle = (low + high) / 2.0
        low, high = (low, middle) if _psychrometric(t, middle, p) > vapour else (middle, high)
    return Working(
        name="wet_bulb",
        value=(low + high) / 2.0,
        unit="degC",
        formula="e(t_w) − A·p·(t − t_w) = (U/100)·e(t)",
        inputs=(Input("t", t, "degC"), Input("U", rh, "percent"), Input("p", p, "hPa")),
        source=_PSYCHROMETER,
    )


def humidity_ratio(air: float, humidity: float, pressure: float = STANDARD_PRESSURE) -> Working:
    """Return the mass of water in the air by the mass of dry air, in kg/kg.

    ``air`` from -40 to 60 °C, ``humidity`` from 1 to 100 %, ``pressure`` 500 to 1100 hPa.
    Raises Refusal ``out_of_range``.  Source: ratio of molar masses 0.621945, ASHRAE Fundamentals.
    """
    p = within("pressure", pressure, 500.0, 1100.0, "hPa")
    vapour = vapour_pressure(air, humidity).value
    return Working(
        name="humidity_ratio",
        value=0.621945 * vapour / (p - vapour),
        unit="kg/kg",
        formula="x = 0.621945·e/(p − e)",
        inputs=(Input("e", vapour, "hPa"), Input("p", p, "hPa")),
        source=Source("published", "ASHRAE Handbook Fundamentals, Psychrometrics"),
    )


def humidity_at(air: float, dew: float) -> Working:
    """Return the relative humidity in % of air with a known dew point (over water).

    Both from -40 to 60 °C, the dew point not above the air.
    Raises Refusal ``out_of_range`` or ``dew_over_air``.  Source: WMO-No. 8 Annex 4.B.
    """
    t, td = _air(air), within("dew_point", dew, -40.0, 60.0, "degC")
    if td > t:
        raise Refusal("dew_over_air", value=td, limit=t, unit="degC")
    one = COEFFICIENTS["wmo"]
    return Working(
        name="humidity_at",
        value=100.0 * _pressure(td, one) / _pressure(t, one),
        unit="percent",
        formula="U = 100·e(t_d)/e(t)",
        inputs=(Input("t_d", td, "degC"), Input("t", t, "degC"), *_named(one)),
        source=_WMO,
    )
