"""Exact conversions between the units of the trade and SI, and reading typed numbers.

Each unit is a code; a value in it times its factor, plus its offset, is the value in SI.  Factors
are fractions, so nothing is lost but the last rounding to a float.

Sources: the international yard and pound (NIST SP 811, Appendix B), the imperial gallon of
4.54609 L (UK Units of Measurement Regulations 1995), the nautical mile of 1852 m and the Julian
year of 365.25 d.  A month is a twelfth of that year, and angles stay in degrees (our own rules).
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from types import MappingProxyType

from hulllog.trade.refusal import Refusal

_FOOT = Fraction(3048, 10_000)
_INCH = _FOOT / 12
_POUND = Fraction(45_359_237, 100_000_000)
_GRAVITY = Fraction(980_665, 100_000)
_LITRE = Fraction(1, 1000)
_GALLON_US = 231 * _INCH**3
_GALLON_IMPERIAL = Fraction(454_609, 100_000) * _LITRE
_DAY = Fraction(86_400)
_YEAR = Fraction(36_525, 100) * _DAY
_FAHRENHEIT = Fraction(5, 9)
_ICE = Fraction(27_315, 100)
_HOUR = Fraction(3600)
_MILLI = Fraction(1, 1000)
_MICRO = Fraction(1, 1_000_000)
_MIL = _INCH / 1000


@dataclass(frozen=True, slots=True)
class Unit:
    """One unit: what it measures, and SI = value × factor + offset."""

    code: str
    quantity: str
    factor: Fraction
    offset: Fraction = Fraction(0)


def _table() -> dict[str, Unit]:
    scaled: Mapping[str, Mapping[str, Fraction | int]] = {
        "number": {"1": 1, "percent": Fraction(1, 100)},
        "length": {
            "m": 1,
            "cm": Fraction(1, 100),
            "mm": _MILLI,
            "um": _MICRO,
            "in": _INCH,
            "ft": _FOOT,
            "mil": _MIL,
            "nmi": 1852,
        },
        "area": {
            "m2": 1,
            "dm2": Fraction(1, 100),
            "cm2": Fraction(1, 10_000),
            "mm2": _MICRO,
            "in2": _INCH**2,
            "ft2": _FOOT**2,
        },
        "volume": {
            "m3": 1,
            "L": _LITRE,
            "mL": _LITRE * _MILLI,
            "ft3": _FOOT**3,
            "gal_us": _GALLON_US,
            "qt_us": _GALLON_US / 4,
            "gal_imp": _GALLON_IMPERIAL,
        },
        "mass": {
            "kg": 1,
            "g": _MILLI,
            "mg": _MICRO,
            "t": 1000,
            "lb": _POUND,
            "oz": _POUND / 16,
            "ton_long": 2240 * _POUND,
            "ton_short": 2000 * _POUND,
        },
        "time": {
            "s": 1,
            "min": 60,
            "h": _HOUR,
            "d": _DAY,
            "month": _YEAR / 12,
            "year": _YEAR,
        },
        "speed": {"m/s": 1, "kn": 1852 / _HOUR},
        "corrosion rate": {
            "mm/year": _MILLI / _YEAR,
            "um/year": _MICRO / _YEAR,
            "mil/year": _MIL / _YEAR,
            "um/month": 12 * _MICRO / _YEAR,
        },
        "potential": {"V": 1, "mV": _MILLI},
        "current": {"A": 1, "mA": _MILLI},
        "current density": {"A/m2": 1, "mA/m2": _MILLI, "uA/cm2": Fraction(1, 100)},
        "charge per mass": {"C/kg": 1, "Ah/kg": _HOUR},
        "resistance": {"ohm": 1},
        "resistivity": {"ohm.m": 1},
        "temperature": {"K": 1},
        "temperature difference": {"degC_difference": 1, "degF_difference": _FAHRENHEIT},
        "pressure": {
            "Pa": 1,
            "hPa": 100,
            "kPa": 1000,
            "MPa": 1_000_000,
            "psi": _POUND * _GRAVITY / _INCH**2,
        },
        "moment of force": {
            "N.m": 1,
            "lbf.ft": _POUND * _GRAVITY * _FOOT,
        },
        "humidity ratio": {"kg/kg": 1, "g/kg": _MILLI},
        "density": {
            "kg/m3": 1,
            "g/cm3": 1000,
            "kg/L": 1000,
            "lb/gal_us": _POUND / _GALLON_US,
        },
        "mass per area": {"kg/m2": 1, "g/m2": _MILLI, "ug/cm2": Fraction(1, 100_000)},
        "mass per charge": {"kg/C": 1, "kg/(A.year)": 1 / _YEAR},
        "molar mass": {"kg/mol": 1, "g/mol": _MILLI},
        "molar charge": {"C/mol": 1},
        "angle": {"deg": 1},
        "mass rate": {"kg/s": 1, "g/d": _MILLI / _DAY, "kg/year": 1 / _YEAR},
        "molar energy": {"J/mol": 1, "kJ/mol": 1000},
        "number per area": {"1/m2": 1, "1/cm2": 10_000},
        "spreading rate": {
            "m2/L": 1 / _LITRE,
            "ft2/gal_us": _FOOT**2 / _GALLON_US,
            "ft2/gal_imp": _FOOT**2 / _GALLON_IMPERIAL,
        },
        "mass loss rate": {
            "kg/(m2.s)": 1,
            "g/(m2.d)": _MILLI / _DAY,
            "mg/(dm2.d)": _MICRO * 100 / _DAY,
            "ug/(cm2.d)": Fraction(1, 100_000) / _DAY,
        },
    }
    units = {
        code: Unit(code, quantity, Fraction(factor))
        for quantity, members in scaled.items()
        for code, factor in members.items()
    }
    yearly = ("1", "percent", "cm2", "mV", "MPa", "1/m2")
    units |= {
        f"{code}/year": Unit(
            f"{code}/year", f"{units[code].quantity} a year", units[code].factor / _YEAR
        )
        for code in yearly
    }
    units["degC"] = Unit("degC", "temperature", Fraction(1), _ICE)
    units["degF"] = Unit("degF", "temperature", _FAHRENHEIT, Fraction(45_967, 100) * _FAHRENHEIT)
    return units


UNITS: Mapping[str, Unit] = MappingProxyType(_table())
"""Unit code -> unit."""

_SPACES = "\u0020\u00a0\u2009\u202f'’"
_PLAIN = re.compile(r"[+-]?(?:[0-9]+(?:[.,][0-9]+)?|[.,][0-9]+)")
_THREES = rf"[0-9]{{3}}(?:[{_SPACES}][0-9]{{3}})*(?:[{_SPACES}][0-9]{{1,3}})?"
_SPACED = re.compile(
    rf"[+-]?(?:[0-9]{{1,3}}(?:([{_SPACES}])[0-9]{{3}})(?:\1[0-9]{{3}})*(?:[.,](?:[0-9]+|{_THREES}))?"
    rf"|[0-9]+[.,][0-9]{{3}}(?:[{_SPACES}][0-9]{{3}})*[{_SPACES}][0-9]{{1,3}})"
)
_GROUPED = re.compile(
    r"[+-]?[0-9]{1,3}(?:(?:,[0-9]{3})+\.[0-9]+|(?:\.[0-9]{3})+,[0-9]+"
    r"|(?:,[0-9]{3}){2,}|(?:\.[0-9]{3}){2,})"
)
_FRACTION = re.compile(r"([+-]?)(?:([0-9]{1,3})[ -])?([0-9]{1,2})/(2|4|8|16|32|64)")
_TWO_WAYS = re.compile(r"[+-]?[1-9][0-9]{0,2}([.,])[0-9]{3}")
_LONGEST = 40


def unit(code: str) -> Unit:
    """Return a unit by its code; Refusal ``unit_unknown`` for any other text."""
    try:
        return UNITS[code]
    except KeyError:
        raise Refusal("unit_unknown", unit=code) from None


def quantity(code: str) -> str:
    """Return what a unit measures, such as ``length``; Refusal ``unit_unknown``."""
    return unit(code).quantity


def to_si(number: Decimal | str | float, code: str) -> float:
    """Return a number of a unit in SI: metres, cubic metres, kelvins, seconds, shares of one.

    ``number`` as text is decimal text with a point, as the records keep it.  Refusals
    ``unit_unknown``, ``number_unread``, ``number_not_finite``.
    """
    chosen = unit(code)
    return _finite(_exact(number) * chosen.factor + chosen.offset, number)


def from_si(value: float, code: str) -> float:
    """Return an SI value in a unit; Refusals ``unit_unknown``, ``number_not_finite``."""
    chosen = unit(code)
    return _finite((_exact(value) - chosen.offset) / chosen.factor, value)


def convert(number: Decimal | str | float, code: str, into: str) -> float:
    """Return a number of one unit in another that measures the same.

    Refusal ``units_differ`` where they measure different things.
    """
    old, new = unit(code), unit(into)
    if old.quantity != new.quantity:
        raise Refusal("units_differ", unit=code, into=into)
    exact = (_exact(number) * old.factor + old.offset - new.offset) / new.factor
    return _finite(exact, number)


def read_number(text: str, decimal_sign: str | None = None) -> Decimal:
    """Read a number as a person types it, with a decimal comma or point.

    Digits may stand in groups of three (``1 234,567 8``, ``1,234.5``), an inch may be ``5 3/16``.
    A comma before exactly three digits can be a group or a decimal: ``1,250`` is refused unless
    ``decimal_sign`` ("," or ".") tells how the owner writes; a lone point is a decimal point, but
    ``1.250`` is refused when the owner writes a comma.  Our own rule.

    Refusals: ``number_unread`` (also NaN and infinity), ``number_two_ways`` with ``readings``,
    ``number_too_long`` (over 40 characters).
    """
    typed = text.strip().replace("\u2212", "-")
    if len(typed) > _LONGEST:
        raise Refusal("number_too_long", typed=text[:_LONGEST], longest=_LONGEST)
    if fraction := _FRACTION.fullmatch(typed):
        return _read_fraction(fraction)
    if _PLAIN.fullmatch(typed):
        if two_ways := _TWO_WAYS.fullmatch(typed):
            return _read_two_ways(typed, two_ways[1], decimal_sign)
        return Decimal(typed.replace(",", "."))
    if _SPACED.fullmatch(typed):
        return Decimal(re.sub(f"[{_SPACES}]", "", typed).replace(",", "."))
    if _GROUPED.fullmatch(typed):
        return _read_grouped(typed)
    raise Refusal("number_unread", typed=text)


def _read_two_ways(typed: str, sign: str, decimal_sign: str | None) -> Decimal:
    as_decimal, as_group = Decimal(typed.replace(",", ".")), Decimal(typed.replace(sign, ""))
    if sign == decimal_sign or (sign == "." and decimal_sign is None):
        return as_decimal
    if sign == "," and decimal_sign == ".":
        return as_group
    raise Refusal("number_two_ways", typed=typed, readings=(str(as_decimal), str(as_group)))


def _read_grouped(typed: str) -> Decimal:
    """Read digits grouped by comma or point; a sign that comes once and last is the decimal."""
    last = max(typed.rfind(","), typed.rfind("."))
    sign = typed[last]
    if typed.count(sign) > 1:
        return Decimal(typed.replace(sign, ""))
    group = "." if sign == "," else ","
    return Decimal(typed.replace(group, "").replace(sign, "."))


def _read_fraction(found: re.Match[str]) -> Decimal:
    sign, whole, top, bottom = found.groups()
    value = Decimal(whole or 0) + Decimal(top) / Decimal(bottom)
    return -value if sign == "-" else value


def _exact(number: Decimal | str | float) -> Fraction:
    try:
        return Fraction(number)
    except (ValueError, OverflowError) as problem:
        code = "number_unread" if isinstance(number, str) else "number_not_finite"
        raise Refusal(code, typed=str(number)) from problem


def _finite(exact: Fraction, given: object) -> float:
    try:
        value = float(exact)
    except OverflowError as problem:
        raise Refusal("number_not_finite", typed=str(given)) from problem
    if not math.isfinite(value):
        raise Refusal("number_not_finite", typed=str(given))
    return value
