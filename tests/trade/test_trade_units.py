"""Units convert exactly and typed numbers are read or refused, never guessed."""

from __future__ import annotations

import math
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hulllog.trade import units
from hulllog.trade.refusal import Refusal

QUICK = settings(max_examples=60, deadline=None)
CODES = st.sampled_from(sorted(units.UNITS))
NUMBERS = st.decimals(
    min_value=-(10**6), max_value=10**6, allow_nan=False, allow_infinity=False, places=6
)


def refused(text: str, sign: str | None = None) -> Refusal:
    with pytest.raises(Refusal) as caught:
        units.read_number(text, sign)
    return caught.value


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("12.5", "12.5"),
        ("12,5", "12.5"),
        (" 7 ", "7"),
        (",5", "0.5"),
        ("+3", "3"),
        ("-0,90", "-0.90"),
        ("−0.90", "-0.90"),
        ("0,125", "0.125"),
        ("1.250", "1.250"),
        ("1234,5", "1234.5"),
        ("1,2345", "1.2345"),
        ("1 234,5", "1234.5"),
        ("1\u202f234\u202f567", "1234567"),
        ("1'234.5", "1234.5"),
        ("1,234.5", "1234.5"),
        ("1.234,5", "1234.5"),
        ("1,234,567", "1234567"),
        ("1.234.567,25", "1234567.25"),
        ("3/16", "0.1875"),
        ("5 3/16", "5.1875"),
        ("-1/2", "-0.5"),
    ],
)
def test_a_typed_number_is_read(text: str, value: str) -> None:
    assert units.read_number(text) == Decimal(value)


@pytest.mark.parametrize(
    "text",
    [
        *[
            "nan",
            "NaN",
            "inf",
            "-inf",
            "Infinity",
            "1e5",
            "12,",
            "1,2,3",
            "1.2.3",
            "1,23,456",
            "--1",
            "4mm",
            "½",
            "1/3",
            "٣",
            "12.5.",
        ],
        *["1,234.56.7", "0x10", "1_000"],
        "",
        " ",
        "1 23",
        "1 234'567",
    ],
)
def test_what_is_no_number_is_refused(text: str) -> None:
    assert refused(text).code == "number_unread"


def test_a_comma_before_three_digits_is_refused_with_both_readings() -> None:
    refusal = refused("1,250")
    assert refusal.code == "number_two_ways"
    assert refusal.values["readings"] == ("1.250", "1250")


def test_the_owners_decimal_sign_settles_a_comma_or_a_point() -> None:
    assert units.read_number("1,250", ",") == Decimal("1.250")
    assert units.read_number("1,250", ".") == Decimal(1250)
    assert units.read_number("1.250", ".") == Decimal("1.250")
    assert refused("1.250", ",").code == "number_two_ways"


def test_ten_thousand_digits_are_refused_shortly() -> None:
    refusal = refused("9" * 10_000)
    assert refusal.code == "number_too_long"
    assert len(str(refusal.values["typed"])) == 40


def test_an_unknown_unit_is_refused_by_name() -> None:
    with pytest.raises(Refusal) as caught:
        units.to_si("1", "furlong")
    assert caught.value.code == "unit_unknown"
    assert caught.value.values == {"unit": "furlong"}


def test_units_that_measure_different_things_do_not_convert() -> None:
    with pytest.raises(Refusal) as caught:
        units.convert(1, "mm", "kg")
    assert caught.value.code == "units_differ"


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf, Decimal("NaN"), Decimal("1e400")])
def test_what_is_not_finite_never_passes(value: float | Decimal) -> None:
    with pytest.raises(Refusal) as caught:
        units.to_si(value, "mm")
    assert caught.value.code == "number_not_finite"


def test_text_with_a_comma_is_not_kept_text() -> None:
    with pytest.raises(Refusal) as caught:
        units.to_si("1,5", "mm")
    assert caught.value.code == "number_unread"


def test_an_imperial_gallon_is_a_fifth_more_than_a_us_gallon() -> None:
    assert units.convert(1, "gal_imp", "gal_us") == pytest.approx(1.200949925, rel=1e-9)


def test_a_temperature_moves_its_zero_and_a_difference_does_not() -> None:
    assert units.convert(5, "degF", "degC") == pytest.approx(-15)
    assert units.convert(5, "degF_difference", "degC_difference") == pytest.approx(5 / 1.8)


@QUICK
@given(NUMBERS, CODES)
def test_there_and_back_gives_the_same_number(number: Decimal, code: str) -> None:
    si = units.to_si(number, code)
    back = units.from_si(si, code)
    scale = max(abs(float(number)), float(abs(units.UNITS[code].offset)) * 2)
    assert back == pytest.approx(float(number), rel=1e-13, abs=scale * 1e-15 + 1e-300)


@QUICK
@given(NUMBERS, CODES, st.data())
def test_conversion_goes_through_si(number: Decimal, code: str, data: st.DataObject) -> None:
    like = [u.code for u in units.UNITS.values() if u.quantity == units.quantity(code)]
    into = data.draw(st.sampled_from(like))
    through = units.from_si(units.to_si(number, code), into)
    direct = units.convert(number, code, into)
    assert direct == pytest.approx(through, rel=1e-12, abs=1e-9 * max(1, abs(through)))


@QUICK
@given(NUMBERS)
def test_comma_and_point_read_alike(number: Decimal) -> None:
    with_comma = f"{number:f}".replace(".", ",")
    assert units.read_number(with_comma, ",") == number
    assert units.read_number(f"{number:f}", ".") == number


@QUICK
@given(NUMBERS, NUMBERS, CODES)
def test_order_is_kept(one: Decimal, other: Decimal, code: str) -> None:
    low, high = sorted((one, other))
    assert units.to_si(low, code) <= units.to_si(high, code)


def test_every_unit_that_is_written_is_converted_the_same() -> None:
    """The writing room keeps a table of its own, since the lowest rooms do not know each other."""
    from hulllog.words import figures

    for code, written in figures._UNITS.items():
        ours = units.UNITS[code]
        if ours.quantity == "temperature":
            assert float(ours.offset) == pytest.approx(written.offset)
        si_of_litre_rates = written.factor
        assert float(ours.factor) == pytest.approx(si_of_litre_rates), code
