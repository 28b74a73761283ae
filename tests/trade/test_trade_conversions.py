"""One scale into another: approximate, one-way where the way back is not defined."""

from __future__ import annotations

import pytest

from hulllog.trade import conversions
from hulllog.trade.refusal import Refusal


def converted(kind: str, into: str, **grades: str) -> dict[str, str]:
    return dict(conversions.convert(kind, grades, into).grades)


@pytest.mark.parametrize(
    ("grades", "wanted"),
    [
        ({"size": "8", "frequency": "F"}, {"size": "S2", "quantity": "2"}),
        ({"size": "2", "frequency": "D"}, {"size": "S5", "quantity": "5"}),
        ({"size": "10"}, {"size": "S0", "quantity": "0"}),
    ],
)
def test_blisters_in_paint_there_and_back(grades: dict[str, str], wanted: dict[str, str]) -> None:
    there = converted("astm-d714-2002", "iso-4628-2-2016", **grades)
    assert there == wanted
    assert converted("iso-4628-2-2016", "astm-d714-2002", **there) == grades


@pytest.mark.parametrize(
    ("kind", "into", "grades"),
    [
        ("iso-4628-2-2016", "astm-d714-2002", {"quantity": "1", "size": "S3"}),
        ("iso-4628-2-2016", "astm-d714-2002", {"quantity": "2", "size": "S1"}),
        ("astm-d714-2002", "iso-4628-2-2016", {"size": "7", "frequency": "F"}),
        ("european-rust", "iso-4628-3-2016", {"rust": "4"}),
        ("iso-4628-3-2016", "astm-d610-2008", {"rust": "2.5"}),
    ],
)
def test_a_grade_without_a_partner_is_refused(kind: str, into: str, grades: dict[str, str]) -> None:
    with pytest.raises(Refusal) as caught:
        conversions.convert(kind, grades, into)
    assert caught.value.code == "no_partner"


def test_rust_pictures_to_the_european_scale() -> None:
    there = [converted("iso-4628-3-2016", "european-rust", rust=str(n))["rust"] for n in range(6)]
    assert there == ["0", "1", "2", "3", "5", "7"]
    assert converted("european-rust", "iso-4628-3-2016", rust="5") == {"rust": "4"}


def test_rust_pictures_to_d610_give_both_answers_in_circulation() -> None:
    found = conversions.convert("iso-4628-3-2016", {"rust": "2"}, "astm-d610-2008")
    assert found.grades == {"grade": "6"}
    assert [dict(grades) for grades, _ in found.also] == [{"grade": "7"}]
    assert found.also[0][1].tag == "from memory"
    assert found.approximate
    assert found.one_way


@pytest.mark.parametrize(
    ("kind", "into", "grades"),
    [
        ("astm-d610-2008", "iso-4628-3-2016", {"grade": "6"}),
        ("imo-fouling-2023", "level-of-fouling", {"rating": "2"}),
    ],
)
def test_no_way_back(kind: str, into: str, grades: dict[str, str]) -> None:
    with pytest.raises(Refusal) as caught:
        conversions.convert(kind, grades, into)
    assert caught.value.code == "one_way"


def test_scales_of_different_things_have_no_conversion() -> None:
    with pytest.raises(Refusal) as caught:
        conversions.convert("navy-fr", {"rating": "20"}, "astm-d610-2008")
    assert caught.value.code == "no_conversion"


def test_cross_cut_classes_mirror_each_other() -> None:
    assert converted("astm-d3359", "iso-2409", cross_cut="3B") == {"class": "2"}
    assert converted("iso-2409", "astm-d3359", **{"class": "5"}) == {"cross_cut": "0B"}


def test_an_x_cut_has_no_partner_in_the_other_standard() -> None:
    with pytest.raises(Refusal) as caught:
        conversions.convert("astm-d3359", {"x_cut": "4A"}, "iso-2409")
    assert caught.value.code == "nothing_given"


def test_where_a_kind_converts_to() -> None:
    assert conversions.converts_to("iso-4628-3-2016") == ("european-rust", "astm-d610-2008")
    assert conversions.converts_to("laminate-blisters") == ()
