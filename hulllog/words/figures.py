"""Numbers with their units, as a person reads them.

A unit is a code such as ``mm`` or ``m2``; its label is the sentence ``unit.<code>``.  ``quantity``
turns a value into the unit that the owner prefers; ``number`` leaves the unit as it is.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from decimal import ROUND_HALF_EVEN, Decimal
from typing import TYPE_CHECKING, Protocol

from hulllog.words.catalogue import knows, say, say_code, say_n
from hulllog.words.preference import preferred

if TYPE_CHECKING:
    from collections.abc import Mapping

    from hulllog.words.preference import System

THIN = "\u202f"
"""The narrow space between number and unit, at which no line breaks."""
MINUS = "\u2212"
_DIGITS = 3
_OF_MONEY = 2
"""Decimals of a sum of money that was worked out."""
_SMALLEST = 9


class MeasuredLike(Protocol):
    """A value as typed, with its unit and in SI."""

    @property
    def text(self) -> str: ...
    @property
    def unit(self) -> str: ...
    @property
    def si(self) -> float: ...


@dataclass(frozen=True, slots=True)
class _Unit:
    """One unit: what it measures, and SI = value × factor + offset.

    ``decimals`` is the most that is shown of a computed figure.
    """

    dimension: str
    factor: float
    decimals: int
    offset: float = 0.0


_POUND = 0.45359237
_YEAR = 365.25 * 86400

_UNITS: Mapping[str, _Unit] = {
    "1": _Unit("number", 1, 2),
    "percent": _Unit("number", 0.01, 1),
    "m": _Unit("length", 1, 2),
    "cm": _Unit("length", 0.01, 1),
    "mm": _Unit("length", 1e-3, 1),
    "um": _Unit("length", 1e-6, 0),
    "ft": _Unit("length", 0.3048, 1),
    "in": _Unit("length", 0.0254, 2),
    "mil": _Unit("length", 25.4e-6, 1),
    "m2": _Unit("area", 1, 2),
    "dm2": _Unit("area", 1e-2, 1),
    "cm2": _Unit("area", 1e-4, 0),
    "mm2": _Unit("area", 1e-6, 0),
    "in2": _Unit("area", 0.0254**2, 1),
    "ft2": _Unit("area", 0.3048**2, 1),
    "m3": _Unit("volume", 1, 2),
    "L": _Unit("volume", 1e-3, 2),
    "mL": _Unit("volume", 1e-6, 0),
    "ft3": _Unit("volume", 0.3048**3, 1),
    "qt_us": _Unit("volume", 3.785411784e-3 / 4, 1),
    "gal_us": _Unit("volume", 3.785411784e-3, 2),
    "gal_imp": _Unit("volume", 4.54609e-3, 2),
    "kg": _Unit("mass", 1, 2),
    "g": _Unit("mass", 1e-3, 0),
    "mg": _Unit("mass", 1e-6, 0),
    "t": _Unit("mass", 1000, 2),
    "lb": _Unit("mass", _POUND, 2),
    "oz": _Unit("mass", _POUND / 16, 1),
    "ton_long": _Unit("mass", 2240 * _POUND, 2),
    "ton_short": _Unit("mass", 2000 * _POUND, 2),
    "V": _Unit("potential", 1, 2),
    "mV": _Unit("potential", 1e-3, 0),
    "A": _Unit("current", 1, 2),
    "mA": _Unit("current", 1e-3, 1),
    "ohm": _Unit("resistance", 1, 2),
    "degC_difference": _Unit("temperature difference", 1, 1),
    "degF_difference": _Unit("temperature difference", 5 / 9, 1),
    "K": _Unit("temperature", 1, 1),
    "degC": _Unit("temperature", 1, 1, 273.15),
    "degF": _Unit("temperature", 5 / 9, 1, 459.67 * 5 / 9),
    "s": _Unit("time", 1, 0),
    "min": _Unit("time", 60, 0),
    "h": _Unit("time", 3600, 1),
    "d": _Unit("time", 86400, 0),
    "month": _Unit("time", _YEAR / 12, 0),
    "year": _Unit("time", _YEAR, 1),
    "mm/year": _Unit("corrosion rate", 1e-3 / _YEAR, 2),
    "um/year": _Unit("corrosion rate", 1e-6 / _YEAR, 0),
    "mil/year": _Unit("corrosion rate", 25.4e-6 / _YEAR, 1),
    "um/month": _Unit("corrosion rate", 12e-6 / _YEAR, 1),
    "1/year": _Unit("number a year", 1 / _YEAR, 2),
    "percent/year": _Unit("number a year", 0.01 / _YEAR, 1),
    "cm2/year": _Unit("area a year", 1e-4 / _YEAR, 1),
    "mV/year": _Unit("potential a year", 1e-3 / _YEAR, 1),
    "MPa/year": _Unit("pressure a year", 1e6 / _YEAR, 2),
    "1/m2/year": _Unit("number per area a year", 1 / _YEAR, 1),
    "kg/kg": _Unit("humidity ratio", 1, 4),
    "g/kg": _Unit("humidity ratio", 1e-3, 1),
    "m2/L": _Unit("spreading rate", 1e3, 1),
    "ft2/gal_us": _Unit("spreading rate", 0.3048**2 / 3.785411784e-3, 0),
    "ft2/gal_imp": _Unit("spreading rate", 0.3048**2 / 4.54609e-3, 0),
    "A/m2": _Unit("current density", 1, 3),
    "mA/m2": _Unit("current density", 1e-3, 1),
    "uA/cm2": _Unit("current density", 0.01, 2),
    "kg/m2": _Unit("mass per area", 1, 2),
    "g/m2": _Unit("mass per area", 1e-3, 0),
    "ug/cm2": _Unit("mass per area", 1e-5, 0),
    "kg/C": _Unit("mass per charge", 1, 2),
    "kg/(A.year)": _Unit("mass per charge", 1 / _YEAR, 2),
    "kg/mol": _Unit("molar mass", 1, 3),
    "g/mol": _Unit("molar mass", 1e-3, 2),
    "C/mol": _Unit("molar charge", 1, 0),
    "J/mol": _Unit("molar energy", 1, 0),
    "kJ/mol": _Unit("molar energy", 1000, 1),
    "deg": _Unit("angle", 1, 0),
    "kg/s": _Unit("mass rate", 1, 2),
    "g/d": _Unit("mass rate", 1e-3 / 86400, 2),
    "kg/year": _Unit("mass rate", 1 / _YEAR, 2),
    "C/kg": _Unit("charge per mass", 1, 0),
    "Ah/kg": _Unit("charge per mass", 3600, 0),
    "ohm.m": _Unit("resistivity", 1, 2),
    "kg/m3": _Unit("density", 1, 0),
    "g/cm3": _Unit("density", 1000, 2),
    "kg/L": _Unit("density", 1000, 2),
    "lb/gal_us": _Unit("density", _POUND / 3.785411784e-3, 1),
    "1/m2": _Unit("number per area", 1, 1),
    "1/cm2": _Unit("number per area", 1e4, 2),
    "kg/(m2.s)": _Unit("mass loss rate", 1, 2),
    "g/(m2.d)": _Unit("mass loss rate", 1e-3 / 86400, 2),
    "mg/(dm2.d)": _Unit("mass loss rate", 1e-4 / 86400, 1),
    "ug/(cm2.d)": _Unit("mass loss rate", 1e-5 / 86400, 1),
    "Pa": _Unit("pressure", 1, 0),
    "hPa": _Unit("pressure", 100, 0),
    "kPa": _Unit("pressure", 1000, 1),
    "MPa": _Unit("pressure", 1e6, 1),
    "psi": _Unit("pressure", _POUND * 9.80665 / 0.0254**2, 0),
    "N.m": _Unit("moment of force", 1.0, 0),
    "lbf.ft": _Unit("moment of force", _POUND * 9.80665 * 0.3048, 0),
    "nmi": _Unit("length", 1852, 0),
    "kn": _Unit("speed", 1852 / 3600, 1),
    "m/s": _Unit("speed", 1, 2),
}

_COUNTED = frozenset({"d", "month", "year"})
"""Units whose label has a plural."""

_ALWAYS: Mapping[str, str] = {"V": "mV", "kg/kg": "g/kg", "A/m2": "mA/m2", "K": "degC"}
"""Units that are shown as another one in every system."""

_IN_SYSTEM: Mapping[System, Mapping[str, str]] = {
    "metric": {},
    "imperial": {
        "m": "ft",
        "cm": "in",
        "mm": "in",
        "um": "mil",
        "m2": "ft2",
        "L": "gal_imp",
        "kg": "lb",
        "m2/L": "ft2/gal_imp",
        "mm/year": "mil/year",
    },
    "us": {
        "m": "ft",
        "cm": "in",
        "mm": "in",
        "um": "mil",
        "m2": "ft2",
        "L": "gal_us",
        "kg": "lb",
        "degC": "degF",
        "degC_difference": "degF_difference",
        "m2/L": "ft2/gal_us",
        "mm/year": "mil/year",
        "kg/L": "lb/gal_us",
        "MPa": "psi",
        "N.m": "lbf.ft",
    },
}


def shown_unit(unit: str) -> str:
    """Return the unit in which the owner reads values of ``unit``."""
    always = _ALWAYS.get(unit, unit)
    return _IN_SYSTEM[preferred().units].get(always, always)


def convert(value: float, unit: str, into: str) -> float:
    """Turn a value from one unit into another of the same kind; ValueError where kinds differ."""
    if unit == into:
        return value
    old, new = _UNITS.get(unit), _UNITS.get(into)
    if old is None or new is None or old.dimension != new.dimension:
        raise ValueError(f"{unit} does not turn into {into}")
    return (value * old.factor + old.offset - new.offset) / new.factor


def unit_label(unit: str) -> str:
    """Return the label of a unit code, empty for a plain number."""
    if is_currency(unit):
        return unit
    return "" if unit == "1" else say_code("unit", unit)


def is_currency(unit: str) -> bool:
    """Tell whether a unit is a currency: three capitals, as ISO 4217 writes them."""
    return len(unit) == 3 and unit.isascii() and unit.isalpha() and unit.isupper()


def money(amount: str, currency: str) -> str:
    """Write a sum as on its paper, with the digits it has there, for example "1,240.50 EUR"."""
    return with_unit(figure(Decimal(amount)), currency)


def decimals_for(value: float, unit: str) -> int:
    """Return how many decimals of a computed figure are worth showing: three digits in all.

    Never more than the unit bears: a millimetre has one, a millivolt none.  But what is not nought
    is not shown as nought: then its first digit is.  Our own rule.
    """
    if is_currency(unit):
        return _OF_MONEY
    most = _UNITS[unit].decimals if unit in _UNITS else 2
    if value == 0 or not math.isfinite(value):
        return most
    before = math.floor(math.log10(abs(value))) + 1
    decimals = max(0, min(most, _DIGITS - before))
    gone = abs(value) <= 0.5 * 10**-decimals
    return min(1 - before, _SMALLEST) if gone else decimals


def figure(value: float | Decimal, decimals: int | None = None) -> str:
    """Write a plain number by the locale, with a real minus sign.

    Without ``decimals`` a float gets three digits and a Decimal keeps the digits it has.
    """
    if isinstance(value, float) and not math.isfinite(value):
        return say("word.unknown")
    exact = value if isinstance(value, Decimal) else Decimal(repr(float(value)))
    if decimals is None and not isinstance(value, Decimal):
        decimals = decimals_for(float(value), "1")
    if decimals is not None:
        exact = exact.quantize(Decimal(1).scaleb(-decimals), rounding=ROUND_HALF_EVEN)
    return _by_locale(exact)


def _by_locale(exact: Decimal) -> str:
    from babel.numbers import format_decimal

    places = max(0, -int(exact.as_tuple().exponent))
    pattern = "#,##0" + ("." + "0" * places if places else "")
    written = format_decimal(abs(exact), format=pattern, locale=preferred().locale)
    return MINUS + written if exact < 0 else written


def with_unit(text: str, unit: str) -> str:
    """Put the unit behind a written number, a thin space between."""
    label = say_n(f"unit.{unit}", 1 if text == "1" else 2) if unit in _COUNTED else unit_label(unit)
    return f"{text}{THIN}{label}" if label else text


def number(value: float, unit: str = "1", decimals: int | None = None) -> str:
    """Write a value with its unit as it is, for example "12.4 mm"; nothing is converted."""
    if decimals is None:
        decimals = decimals_for(value, unit)
    return with_unit(figure(value, decimals), unit)


def quantity(value: float, unit: str, *, show: str | None = None) -> str:
    """Write a value in the unit that the owner prefers.

    ``unit`` is the unit of ``value``; ``show`` is the metric unit in which such values are read,
    where that is another one: ``quantity(0.0003, "m", show="um")`` is "300 µm".
    """
    wanted = shown_unit(show or unit)
    return number(convert(value, unit, wanted), wanted)


def measured(value: MeasuredLike) -> str:
    """Write a measured value as it was typed, with the unit it was typed in."""
    return with_unit(value.text.replace("-", MINUS, 1), value.unit)


def between(low: float, high: float, unit: str, *, show: str | None = None) -> str:
    """Write a range in the unit that the owner prefers, for example "11.0–13.9 mm"."""
    wanted = shown_unit(show or unit)
    ends = [convert(end, unit, wanted) for end in (low, high)]
    decimals = min(decimals_for(end, wanted) for end in ends if end or not any(ends))
    return with_unit(_joined(*(figure(end, decimals) for end in ends)), wanted)


def with_interval(
    value: float, low: float, high: float, unit: str, *, show: str | None = None
) -> str:
    """Write a value and its interval in brackets, for example "12.4 mm (11.0–13.9)"."""
    wanted = shown_unit(show or unit)
    best, *ends = (convert(one, unit, wanted) for one in (value, low, high))
    decimals = decimals_for(best, wanted)
    interval = _joined(*(figure(end, decimals) for end in ends))
    return say("format.value_and_interval", value=number(best, wanted), interval=interval)


def _joined(first: str, last: str) -> str:
    if first == last:
        return first
    form = "format.from_to" if MINUS in first + last else "format.range"
    return say(form, low=first, high=last)


def share(value: float) -> str:
    """Write a share of one as a percentage; what is not quite none or all never looks so."""
    percent = round(value * 100, 9)
    if 0 < percent < 0.1:
        return say("format.under", value=number(0.1, "percent", 1))
    if 99.9 < percent < 100:
        return say("format.over", value=number(99.9, "percent", 1))
    near_an_end = 0 < percent < 1 or 99.4 < percent < 100
    return number(percent, "percent", 1 if near_an_end else 0)


def shares(low: float, high: float) -> str:
    """Write an interval of shares, for example "30–50 %"."""
    if low == high:
        return share(low)
    return with_unit(_joined(figure(low * 100, 0), figure(high * 100, 0)), "percent")


def knows_unit(unit: str) -> bool:
    """Tell whether the unit has a label here."""
    return unit == "1" or knows(f"unit.{unit}")
