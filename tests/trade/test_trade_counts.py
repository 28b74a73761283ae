"""Densities, covers and ratios by geometry, and fouling by what grows."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hulllog.trade import counts, fouling
from hulllog.trade.refusal import Refusal

QUICK = settings(max_examples=60, deadline=None)


def refused(sum_: object, *given_: object, **named: object) -> str:
    with pytest.raises(Refusal) as caught:
        sum_(*given_, **named)  # type: ignore[operator]
    return caught.value.code


def test_blisters_per_square_metre() -> None:
    assert counts.density(18, 1.5).value == 12
    assert counts.density(0, 1.5).value == 0
    assert refused(counts.density, 18, 0) == "out_of_range"
    assert refused(counts.density, 1.5, 1) == "not_whole"
    assert refused(counts.density, -1, 1) == "out_of_range"


def test_cover_of_round_blisters() -> None:
    found = counts.cover(100, 10, 1)
    assert found.value == pytest.approx(100 * 100 * math.pi / 4 * 1e-4)
    assert found.unit == "percent"
    assert refused(counts.cover, 10_000, 200, 1) == "more_than_all"


@QUICK
@given(st.integers(0, 200), st.floats(0.5, 60), st.floats(1, 50))
def test_cover_grows_with_count_and_size(count: int, across: float, area: float) -> None:
    found = counts.cover(count, across, area).value
    assert 0 <= found <= 100
    assert counts.cover(count + 1, across, area).value > found
    assert counts.cover(count, across * 1.01, area).value >= found


def test_beside_a_scratch() -> None:
    assert counts.beside_scribe(7.0, 1.0).value == 3.0
    assert refused(counts.beside_scribe, 0.5, 1.0) == "narrower_than_scribe"


def test_a_moisture_reading_against_a_dry_place() -> None:
    found = counts.to_reference(18, 12)
    assert found.value == 1.5
    assert found.cautions == ("no_percent_of_water",)
    assert refused(counts.to_reference, 18, 0) == "out_of_range"


@pytest.mark.parametrize(
    ("forms", "largest", "more", "rating"),
    [
        (set(), 0, {}, "0"),
        ({"light_slime"}, 0, {}, "10"),
        ({"light_slime", "slime"}, 0, {}, "20"),
        ({"grass"}, 0, {"grass_length": 40}, "30"),
        ({"soft_animals"}, 5, {}, "30"),
        ({"tubeworms"}, 4, {}, "40"),
        ({"barnacles"}, 4, {}, "50"),
        ({"barnacles", "tubeworms"}, 4, {}, "60"),
        ({"barnacles", "tubeworms"}, 10, {}, "70"),
        ({"barnacles"}, 6.4, {}, "70"),
        ({"barnacles"}, 5, {"crowded": True}, "80"),
        ({"barnacles", "tubeworms"}, 9, {"crowded": True}, "90"),
        ({"barnacles", "grass", "tunicates"}, 9, {}, "100"),
    ],
)
def test_navy_rating_of_what_grows(
    forms: set[str], largest: float, more: dict[str, float], rating: str
) -> None:
    assert fouling.navy_rating(forms, largest, **more).grade == rating


def test_what_the_table_leaves_out_is_refused() -> None:
    assert refused(fouling.navy_rating, {"grass"}, grass_length=100) == "not_on_scale"
    assert refused(fouling.navy_rating, {"soft_animals"}, 20) == "not_on_scale"
    assert refused(fouling.navy_rating, {"seaweed"}) == "form_unknown"
    assert refused(fouling.navy_rating, {"barnacles"}, math.nan) == "out_of_range"


def test_the_ship_that_was_measured() -> None:
    assert fouling.reference_ship_power("30").value == 21
    assert fouling.reference_ship_power("100").value == 86
    assert fouling.reference_ship_power("100", 30).value == 59
    assert fouling.reference_ship_power("50").cautions == ("reference_ship",)
    assert refused(fouling.reference_ship_power, "0") == "no_table"
    assert refused(fouling.reference_ship_power, "50", 12) == "no_table"
