"""Craft numbers: ISO 10087 (CIN, now WIN) and the three forms of the US hull identification number.

No form has a check digit, so a number can be well formed and still be nobody's.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Literal

from hulllog.trade.countries import COUNTRIES
from hulllog.trade.refusal import Refusal

Form = Literal["iso_10087", "us_1984", "us_straight", "us_model_year"]
"""iso_10087: 14 characters with country.  us_1984: since August 1984 (33 CFR 181.25).  us_straight:
1972 to 1984, month and year.  us_model_year: 1972 to 1984, M, model year and month letter."""

SOURCES: dict[Form, str] = {
    "iso_10087": "ISO 10087:2019",
    "us_1984": "33 CFR 181.25",
    "us_straight": "Hull identification numbers before August 1984",
    "us_model_year": "Hull identification numbers before August 1984",
}
_MONTHS = "ABCDEFGHIJKL"
_MODEL_YEAR_STARTS = 8
_FIRST_MODEL_YEAR = 72
_OLD_YEARS = range(1972, 1985)
_ALLOWED = re.compile(r"[A-Z0-9 \-]*")


@dataclass(frozen=True, slots=True)
class CraftNumber:
    """A craft number read by one form.

    ``month`` and ``year`` are those of building; ``year`` is None where the form leaves it open.
    ``cautions``: ``build_year_far`` (over a year before the model year), ``separators_dropped``,
    ``date_outside_form``, ``calendar_year_open``.
    """

    form: Form
    text: str
    maker: str
    serial: str
    month: int
    year: int | None
    model_year: int | None
    country: str | None = None
    cautions: tuple[str, ...] = ()


def read_craft_number(text: str) -> tuple[CraftNumber, ...]:
    """Read a craft number by every form that it fits; two where ``US-`` leaves it open.

    Spaces and hyphens anywhere are dropped, with a caution where the form has none there.
    Raises Refusal ``craft_separator`` (with ``repaired``), ``craft_length``,
    ``craft_country_hint`` (UK for GB), ``craft_country_unknown``, ``craft_maker``,
    ``craft_serial``, ``craft_month``, ``craft_year``; each with what was typed.
    Source: ISO 10087:2019; 33 CFR 181.25; older US forms.
    """
    typed = text.strip().upper()
    if not _ALLOWED.fullmatch(typed):
        repaired = re.sub(r"[^A-Z0-9]", "-", typed)
        plain = re.sub(r"[^A-Z0-9]", "", typed)
        if len(plain) in (12, 14):
            raise Refusal("craft_separator", typed=text, repaired=repaired)
        raise Refusal("craft_length", typed=text[:40], length=len(plain), wanted=(12, 14))
    plain = re.sub(r"[ \-]", "", typed)
    if len(plain) == 12:
        return (_read_us(plain, typed, text, prefixed=False),)
    if len(plain) != 14:
        raise Refusal("craft_length", typed=text[:40], length=len(plain), wanted=(12, 14))
    if not plain.startswith("US"):
        return (_read_iso(plain, typed, text),)
    return _read_both(plain, typed, text)


def write_craft_number(number: CraftNumber) -> str:
    """Write a craft number as its form prints it: the hyphen after the country, no other."""
    return f"{number.country}-{number.text[2:]}" if number.country else number.text


def _read_both(plain: str, typed: str, text: str) -> tuple[CraftNumber, ...]:
    """Read a number after ``US`` as US with its prefix and as ISO; refused only if neither fits."""
    found: list[CraftNumber] = []
    refusals: list[Refusal] = []
    for as_us in (True, False):
        try:
            if as_us:
                found.append(_read_us(plain[2:], typed, text, prefixed=True))
            else:
                found.append(_read_iso(plain, typed, text))
        except Refusal as refusal:
            refusals.append(refusal)
    if not found:
        raise refusals[0]
    return tuple(found)


def _read_iso(plain: str, typed: str, text: str) -> CraftNumber:
    country, maker, serial = plain[:2], plain[2:5], plain[5:10]
    if country not in COUNTRIES:
        if country == "UK":
            raise Refusal("craft_country_hint", typed=text, country="UK", meant="GB")
        raise Refusal("craft_country_unknown", typed=text, country=country)
    if not re.fullmatch(r"[A-Z2-9]{3}", maker):
        raise Refusal("craft_maker", typed=text, maker=maker)
    _check_serial(serial, text)
    month = _month(plain[10], text)
    year, model_year, cautions = _years(plain[11], plain[12:], text)
    if typed not in (plain, f"{country}-{plain[2:]}"):
        cautions = (*cautions, "separators_dropped")
    return CraftNumber(
        "iso_10087", plain, maker, serial, month, year, model_year, country, cautions
    )


def _read_us(plain: str, typed: str, text: str, *, prefixed: bool) -> CraftNumber:
    maker, serial, tail = plain[:3], plain[3:8], plain[8:]
    if not re.fullmatch(r"[A-Z]{3}", maker):
        raise Refusal("craft_maker", typed=text, maker=maker)
    _check_serial(serial, text)
    cautions = () if typed in (plain, f"US-{plain}") else ("separators_dropped",)
    if prefixed and typed == f"US{plain}":
        cautions = ("separators_dropped",)
    form, month, year, model_year, more = _read_tail(tail, text)
    return CraftNumber(
        form, plain, maker, serial, month, year, model_year, None, (*more, *cautions)
    )


def _read_tail(tail: str, text: str) -> tuple[Form, int, int | None, int | None, tuple[str, ...]]:
    if old := re.fullmatch(r"M(\d\d)([A-L])", tail):
        month = (_MONTHS.index(old[2]) + _MODEL_YEAR_STARTS - 1) % 12 + 1
        model_year = _century(old[1])
        known = model_year - 1 in _OLD_YEARS or model_year in _OLD_YEARS
        more = () if known else ("date_outside_form",)
        return "us_model_year", month, None, model_year, ("calendar_year_open", *more)
    if tail.isdigit():
        month, year = int(tail[:2]), _century(tail[2:])
        if not 1 <= month <= 12:
            raise Refusal("craft_month", typed=text, month=tail[:2])
        return (
            "us_straight",
            month,
            year,
            None,
            () if year in _OLD_YEARS else ("date_outside_form",),
        )
    month = _month(tail[0], text)
    new_year, model_year, cautions = _years(tail[1], tail[2:], text)
    return "us_1984", month, new_year, model_year, cautions


def _check_serial(serial: str, text: str) -> None:
    wrong = re.search(r"[IOQ]", serial)
    if wrong:
        raise Refusal("craft_serial", typed=text, serial=serial, letter=wrong[0])


def _month(letter: str, text: str) -> int:
    if letter not in _MONTHS:
        raise Refusal("craft_month", typed=text, month=letter)
    return _MONTHS.index(letter) + 1


def _century(digits: str) -> int:
    """Return the year of two digits: 72–99 in the 1900s, 00–71 in the 2000s (our own rule)."""
    two = int(digits)
    return two + (1900 if two >= _FIRST_MODEL_YEAR else 2000)


def _years(digit: str, model: str, text: str) -> tuple[int, int, tuple[str, ...]]:
    """Return build year, model year, cautions: the latest year up to the model year that fits."""
    if not (digit + model).isdigit():
        raise Refusal("craft_year", typed=text, year=digit + model)
    model_year = _century(model)
    year = model_year - (model_year - int(digit)) % 10
    return year, model_year, () if model_year - year <= 1 else ("build_year_far",)
