"""What a person types is read as meant, or refused with the field."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hulllog.records.errors import Refused
from hulllog.records.operations import around, typed


@pytest.mark.parametrize(
    ("text", "unit", "si", "kept"),
    [
        ("12,5", "kg", 12.5, "12.5"),
        ("1.2 kg", "kg", 1.2, "1.2"),
        ("850 g", "g", 0.85, "850"),
        ("3 m²", "m2", 3.0, "3"),
        ("5 3/16 in", "in", 5.1875 * 0.0254, "5.1875"),
        ("20 °C", "degC", 293.15, "20"),
        ("2,5l", "L", 0.0025, "2.5"),
    ],
)
def test_a_number_is_kept_with_its_unit(text, unit, si, kept):
    found = typed.measured(text, "kg", "mass")
    assert (found.text, found.unit) == (kept, unit)
    assert found.si == pytest.approx(si)


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("twelve", "number_unread"),
        ("", "number_unread"),
        ("12 stone", "unit_unknown"),
        ("1,400", "number_two_ways"),
        ("nan", "number_unread"),
    ],
)
def test_what_is_no_number_is_refused_with_its_field(text, code):
    with pytest.raises(Refused) as found:
        typed.measured(text, "kg", "mass")
    assert (found.value.code, found.value.field) == (code, "mass")


@given(st.decimals(min_value=0, max_value=9999, places=2))
def test_any_decimal_comes_back_as_typed(number):
    found = typed.measured(f"{number} kg", "g", "mass")
    assert float(found.text) == float(number)
    assert found.si == pytest.approx(float(number))


def reader(boat, read, value, field="field"):
    with boat.logbook.read() as book:
        return typed.read(book, {field: read}, {field: value})[field]


def test_a_number_out_of_its_range_is_refused_in_the_unit_of_the_bound(boat):
    mass = typed.amount("kg", "g", low=0.1, high=2)
    assert reader(boat, mass, "1900 g").si == pytest.approx(1.9)
    with pytest.raises(Refused) as found:
        reader(boat, mass, "2100 g")
    assert found.value.code == "number_high"
    assert found.value.values["high"] == 2
    with pytest.raises(Refused, match="number_low"):
        reader(boat, mass, "0.05")
    with pytest.raises(Refused, match="unit_other"):
        reader(boat, mass, "3 mm")


@pytest.mark.parametrize(
    ("text", "value"), [("25 %", 0.25), ("0.25", 0.25), ("25", 0.25), (0.25, 0.25), ("1", 1.0)]
)
def test_a_share_is_read_in_percent_or_as_a_part_of_one(boat, text, value):
    assert reader(boat, typed.share(), text) == pytest.approx(value)


def test_a_share_over_the_whole_is_refused(boat):
    with pytest.raises(Refused, match="number_high"):
        reader(boat, typed.share(), "130 %")


def test_a_name_may_have_120_letters_and_no_more(boat):
    assert reader(boat, typed.name(), "x" * 120) == "x" * 120
    with pytest.raises(Refused, match="text_long"):
        reader(boat, typed.name(), "x" * 121)
    with pytest.raises(Refused, match="text_wanted"):
        reader(boat, typed.name(), "   ")


def test_long_and_strange_text_is_kept_whole(boat):
    text = '<b>&" \u05d0\u05d1 \U0001f6df ' + "x" * 10_000
    assert reader(boat, typed.text(), text) == text.strip()


def test_a_date_in_two_readings_is_refused_unless_the_owner_set_an_order(boat):
    with pytest.raises(Refused) as found:
        reader(boat, typed.date(), "03/04/2020")
    assert found.value.values["readings"] == ["2020-04-03", "2020-03-04"]
    around.set_setting(boat.logbook, "date_order", {"order": "day first"})
    assert reader(boat, typed.date(), "03/04/2020").earliest.month == 4


def test_a_decimal_sign_that_was_set_settles_groups(boat):
    with pytest.raises(Refused, match="number_two_ways"):
        reader(boat, typed.amount("kg"), "1,250")
    around.set_setting(boat.logbook, "decimal_sign", {"sign": ","})
    assert reader(boat, typed.amount("kg"), "1,250").si == pytest.approx(1.25)


def test_a_date_that_lies_ahead_is_refused_where_it_must_have_happened(boat):
    assert reader(boat, typed.date(), "2031")
    with pytest.raises(Refused, match="date_ahead"):
        reader(boat, typed.date(future=False), "2031")


def test_a_time_zone_must_be_known(boat):
    assert reader(boat, typed.time_zone(), "Europe/Oslo") == "Europe/Oslo"
    for wrong in ("Mars/Base", "../etc", ""):
        with pytest.raises(Refused, match="time_zone_unknown"):
            reader(boat, typed.time_zone(), wrong)


def test_a_place_outside_of_the_skin_is_refused(boat):
    place = {"part": "hull", "face": "port", "u": 0.4, "v": 1.5}
    assert reader(boat, typed.place(), place).how == {"by": "click"}
    with pytest.raises(Refused, match="place_outside"):
        reader(boat, typed.place(), place | {"u": 1.2})


def test_an_unknown_field_is_our_own_fault(boat):
    with boat.logbook.read() as book, pytest.raises(TypeError):
        typed.read(book, {}, {"colour": "red"})
