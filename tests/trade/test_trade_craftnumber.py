"""Craft numbers: every form read, every fault named, nothing checked that has no check digit."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hulllog.trade.countries import COUNTRIES
from hulllog.trade.craftnumber import read_craft_number, write_craft_number
from hulllog.trade.refusal import Refusal


@pytest.mark.parametrize(
    ("text", "form", "maker", "serial", "month", "year", "model_year", "cautions"),
    [
        ("ZZXA1B2CA415", "us_1984", "ZZX", "A1B2C", 1, 2014, 2015, ()),
        ("GB-ZXZ12345I120", "iso_10087", "ZXZ", "12345", 9, 2011, 2020, ("build_year_far",)),
        ("FR-Z9ZAB3C4C324", "iso_10087", "Z9Z", "AB3C4", 3, 2023, 2024, ()),
        ("NL-ZXZB7A33G293", "iso_10087", "ZXZ", "B7A33", 7, 1992, 1993, ()),
        ("NLZXZB7A33G293", "iso_10087", "ZXZ", "B7A33", 7, 1992, 1993, ()),
        ("gb-zxz12345-a3-14", "iso_10087", "ZXZ", "12345", 1, 2013, 2014, ("separators_dropped",)),
        ("ZZX123451278", "us_straight", "ZZX", "12345", 12, 1978, None, ()),
        ("ZZX123451295", "us_straight", "ZZX", "12345", 12, 1995, None, ("date_outside_form",)),
        ("ZZX12345M82H", "us_model_year", "ZZX", "12345", 3, None, 1982, ("calendar_year_open",)),
        ("ZZX12345M78D", "us_model_year", "ZZX", "12345", 11, None, 1978, ("calendar_year_open",)),
        ("ZZX 12345 A415", "us_1984", "ZZX", "12345", 1, 2014, 2015, ("separators_dropped",)),
    ],
)
def test_a_craft_number_is_read(
    text: str,
    form: str,
    maker: str,
    serial: str,
    month: int,
    year: int | None,
    model_year: int | None,
    cautions: tuple[str, ...],
) -> None:
    (found,) = read_craft_number(text)
    assert (found.form, found.maker, found.serial) == (form, maker, serial)
    assert (found.month, found.year, found.model_year) == (month, year, model_year)
    assert found.cautions == cautions


def test_a_us_prefix_fits_two_forms_that_say_the_same() -> None:
    us, iso = read_craft_number("US-ZZX00042L819")
    assert (us.form, iso.form) == ("us_1984", "iso_10087")
    assert (us.month, us.year, us.model_year) == (iso.month, iso.year, iso.model_year)
    assert (us.month, us.year, us.model_year) == (12, 2018, 2019)
    assert us.cautions == iso.cautions == ()


def test_an_old_us_number_with_its_prefix_fits_one_form_only() -> None:
    (found,) = read_craft_number("US-ZZX12345M82H")
    assert found.form == "us_model_year"


@pytest.mark.parametrize(
    ("digit", "model", "year"), [("8", "19", 2018), ("9", "20", 2019), ("9", "00", 1999)]
)
def test_the_build_year_is_the_latest_that_fits(digit: str, model: str, year: int) -> None:
    (found,) = read_craft_number(f"GB-ZXZ12345A{digit}{model}")
    assert found.year == year


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("ZZX1234OA415", "craft_serial"),
        ("ZZX12345M415", "craft_month"),
        ("ZZX123451378", "craft_month"),
        ("ZZ112345A415", "craft_maker"),
        ("ZZX12345AX15", "craft_year"),
        ("GB-Z0Z12345A120", "craft_maker"),
        ("GB-ZXZ12I45A120", "craft_serial"),
        ("ZZ-ZXZ12345A120", "craft_country_unknown"),
        ("GB-ZXZ12345A12", "craft_length"),
        ("UK-ZXZ12345A120", "craft_country_hint"),
        ("GB_ZXZ12345A120", "craft_separator"),
        ("GB-ZXZ12345M120", "craft_month"),
        ("US-Z0Z1234OM120", "craft_maker"),
        ("", "craft_length"),
        ('<b>&"', "craft_length"),
        ("9" * 10_000, "craft_length"),
    ],
)
def test_a_fault_is_named(text: str, code: str) -> None:
    with pytest.raises(Refusal) as caught:
        read_craft_number(text)
    assert caught.value.code == code


def test_hints_say_what_was_meant() -> None:
    with pytest.raises(Refusal) as caught:
        read_craft_number("GB_ZXZ12345A120")
    assert caught.value.values["repaired"] == "GB-ZXZ12345A120"
    with pytest.raises(Refusal) as caught:
        read_craft_number("UK-ZXZ12345A120")
    assert caught.value.values["meant"] == "GB"


SERIALS = st.text("ABCDEFGHJKLMNPRSTUVWXYZ0123456789", min_size=5, max_size=5)


@settings(max_examples=80, deadline=None)
@given(
    st.sampled_from(sorted(COUNTRIES - {"US"})),
    st.text("ABCDEFGHIJKLMNOPQRSTUVWXYZ23456789", min_size=3, max_size=3),
    SERIALS,
    st.sampled_from("ABCDEFGHIJKL"),
    st.from_regex(r"[0-9]{3}", fullmatch=True),
)
def test_every_well_formed_number_goes_there_and_back(
    country: str, maker: str, serial: str, month: str, years: str
) -> None:
    text = f"{country}-{maker}{serial}{month}{years}"
    (found,) = read_craft_number(text.lower())
    assert write_craft_number(found) == text
    assert found.year is not None
    assert found.model_year is not None
    assert 0 <= found.model_year - found.year <= 9


def test_the_countries_are_those_of_the_locale_data() -> None:
    from babel import Locale

    known = {code for code in Locale("en").territories if code.isalpha() and len(code) == 2}
    not_assigned = {"AC", "CP", "CQ", "DG", "EA", "EU", "EZ", "IC", "TA", "UN", "XA", "XB", "XK"}
    assert known - not_assigned - {"QO", "ZZ"} == COUNTRIES
    assert len(COUNTRIES) == 249
