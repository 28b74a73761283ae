"""Numbers and units as a person reads them."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hulllog.trade.units import UNITS
from hulllog.words import codes, formats
from hulllog.words.figures import _IN_SYSTEM, _UNITS, MINUS, THIN, decimals_for
from hulllog.words.formats import Preference, prefer

US = Preference("us", "en_US", "en_US")
GERMAN = Preference(locale="de")


@dataclass
class Typed:
    text: str
    unit: str
    si: float


@pytest.mark.parametrize(
    ("value", "unit", "written"),
    [
        (12.412, "mm", "12.4 mm"),
        (0.0, "mV", "0 mV"),
        (-953.4, "mV", "−953 mV"),
        (1.2345, "kg", "1.23 kg"),
        (12345.6, "kg", "12,346 kg"),
        (1, "d", "1 day"),
        (3, "d", "3 days"),
        (4.25, "1", "4.25"),
        (0.3, "mV", "0.3 mV"),
        (0.5, "d", "0.5 days"),
        (0.0004, "kg", "0.0004 kg"),
    ],
)
def test_three_digits_and_the_unit(value: float, unit: str, written: str) -> None:
    assert formats.number(value, unit) == written.replace(" ", THIN)


@pytest.mark.parametrize(
    ("value", "unit", "show", "written"),
    [
        (-0.953, "V", None, "−953 mV"),
        (0.0003, "m", "um", "300 µm"),
        (0.0124, "m", "mm", "12.4 mm"),
        (0.0071, "kg/kg", None, "7.1 g/kg"),
        (283.15, "K", "degC", "10.0 °C"),
        (0.02, "A/m2", None, "20.0 mA/m²"),
    ],
)
def test_units_as_they_are_read(value: float, unit: str, show: str | None, written: str) -> None:
    assert formats.quantity(value, unit, show=show) == written.replace(" ", THIN)


@pytest.mark.parametrize(
    ("value", "unit", "written"),
    [
        (10, "degC", "50.0 °F"),
        (8.7, "m", "28.5 ft"),
        (300, "um", "11.8 mil"),
        (4, "L", "1.06 US gal"),
        (1, "kg", "2.20 lb"),
        (-0.953, "V", "−953 mV"),
    ],
)
def test_us_units(value: float, unit: str, written: str) -> None:
    prefer(US)
    assert formats.quantity(value, unit).replace(THIN, " ") == written


def test_a_decimal_comma_where_the_locale_has_it() -> None:
    prefer(GERMAN)
    assert formats.quantity(1234.5, "kg") == f"1.234{THIN}kg"
    assert formats.with_interval(12.42, 11, 13.9, "mm") == f"12,4{THIN}mm (11,0–13,9)"


def test_an_interval_stands_in_brackets_with_the_digits_of_its_value() -> None:
    assert formats.with_interval(12.42, 9.87, 13.9, "mm") == f"12.4{THIN}mm (9.9–13.9)"


def test_a_range_below_nought_is_written_with_to() -> None:
    assert formats.between(-0.98, -0.91, "V") == f"−980 to −910{THIN}mV"


@pytest.mark.parametrize(
    ("value", "written"),
    [
        (0, "0 %"),
        (0.0004, "under 0.1 %"),
        (0.005, "0.5 %"),
        (0.25, "25 %"),
        (0.996, "99.6 %"),
        (0.9996, "over 99.9 %"),
        (1, "100 %"),
    ],
)
def test_shares(value: float, written: str) -> None:
    head, _, tail = written.rpartition(" ")
    assert formats.share(value) == f"{head}{THIN}{tail}"


@given(st.floats(0, 1))
def test_a_share_looks_like_none_or_all_only_when_it_is(value: float) -> None:
    written = formats.share(value)
    assert (written == f"0{THIN}%") == (round(value * 100, 9) == 0)
    assert (written == f"100{THIN}%") == (round(value * 100, 9) == 100)


def test_a_measured_value_stays_as_typed() -> None:
    prefer(US)
    assert formats.measured(Typed("-0.950", "V", -0.95)) == f"{MINUS}0.950{THIN}V"
    assert formats.anything(Typed("8,70", "m", 8.7)) == f"8,70{THIN}m"


def test_any_value_can_be_written() -> None:
    assert formats.anything(None) == "not recorded"
    assert formats.anything(value=True) == "yes"
    assert formats.anything(2014) == "2014"
    assert formats.anything(Decimal("1.50")) == "1.50"
    assert formats.anything(float("nan")) == "not known"
    assert formats.anything([]) == "none"
    assert formats.anything(["rudder", 2.5, "keel"]) == "rudder, 2.50 and keel"


@given(st.floats(1e-4, 1e6), st.sampled_from(["mm", "kg", "mV", "m2", "1"]))
def test_what_is_written_is_within_half_a_last_digit(value: float, unit: str) -> None:
    decimals = decimals_for(value, unit)
    written = formats.number(value, unit).split(THIN)[0].replace(",", "")
    assert abs(float(written) - value) <= 0.5 * 10**-decimals * (1 + 1e-9)


@given(st.floats(-1e5, 1e5), st.sampled_from(sorted(_IN_SYSTEM["us"].items())))
def test_units_turn_back(value: float, pair: tuple[str, str]) -> None:
    metric, other = pair
    there = formats.convert(value, metric, other)
    assert formats.convert(there, other, metric) == pytest.approx(value, abs=1e-6)


def test_units_of_different_kinds_do_not_turn() -> None:
    with pytest.raises(ValueError, match="kg does not turn into mm"):
        formats.convert(1, "kg", "mm")


def test_units_are_those_of_the_sums() -> None:
    assert set(_UNITS) == set(UNITS)
    for code, unit in UNITS.items():
        shown = _UNITS[code]
        assert shown.dimension == unit.quantity, code
        assert shown.factor == pytest.approx(float(unit.factor), rel=1e-12), code
        assert shown.offset == pytest.approx(float(unit.offset), rel=1e-12), code


def test_every_unit_has_a_label() -> None:
    labels = {code.removeprefix("unit.") for code in codes() if code.startswith("unit.")}
    assert set(_UNITS) - {"1"} <= labels


# Exact by definition: the international foot, inch and pound; the US and the imperial gallon.
@pytest.mark.parametrize(
    ("value", "unit", "into", "expected"),
    [
        (1, "ft", "m", 0.3048),
        (1, "in", "mm", 25.4),
        (1, "mil", "um", 25.4),
        (1, "lb", "kg", 0.45359237),
        (1, "gal_us", "L", 3.785411784),
        (1, "gal_imp", "L", 4.54609),
        (-40, "degC", "degF", -40),
        (0, "degC", "K", 273.15),
        (100, "degC", "degF", 212),
        (1, "nmi", "m", 1852),
    ],
)
def test_units_by_definition(value: float, unit: str, into: str, expected: float) -> None:
    assert formats.convert(value, unit, into) == pytest.approx(expected, rel=1e-12)


def test_money_keeps_the_digits_of_its_paper_and_is_never_converted():
    prefer(US)
    assert formats.money("1240.5", "EUR").replace(THIN, " ") == "1,240.5 EUR"
    assert formats.quantity(1240.5, "EUR").replace(THIN, " ") == "1,240.50 EUR"
    with pytest.raises(ValueError, match="does not turn into"):
        formats.convert(1.0, "EUR", "GBP")
