"""Readings held against the criteria of standards."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hulllog.trade import films
from hulllog.trade.refusal import Refusal

if TYPE_CHECKING:
    from hulllog.trade.filmchecks import FilmResult


def _met(result: FilmResult) -> dict[str, bool]:
    return {one.code: one.met for one in result.criteria}


@pytest.mark.parametrize(
    ("surface", "unit", "count"),
    [
        (250, "ft2", 3),
        (800, "ft2", 3),
        (1000, "ft2", 3),
        (1001, "ft2", 4),
        (2000, "ft2", 4),
        (2001, "ft2", 5),
        (5, "m2", 1),
        (20.5, "m2", 3),
        (30, "m2", 3),
        (100, "m2", 3),
        (101, "m2", 4),
    ],
)
def test_areas_to_measure(surface: float, unit: str, count: int) -> None:
    assert films.pa2_areas(surface, unit).value == count  # type: ignore[arg-type]


def test_spot_limits_of_level_three() -> None:
    limits = films.pa2_limits(8, 12, unit="mil").interval
    assert limits is not None
    assert (limits.low, limits.high) == pytest.approx((6.4, 14.4))
    with pytest.raises(Refusal, match="level_unlimited"):
        films.pa2_limits(8, 12, 5)


def test_level_three_lets_a_spot_lie_low_but_not_an_area() -> None:
    fine = films.sspc_pa2([[165, 210, 230, 205, 200]], 200, 300)
    assert fine.all_met
    low = films.sspc_pa2([[165, 165, 210, 205, 200]], 200, 300)
    assert _met(low) == {
        "pa2_spot_low": True,
        "pa2_spot_high": True,
        "pa2_area_low": False,
        "pa2_area_high": True,
    }


def test_strict_and_lax_levels() -> None:
    areas = [[165, 210, 330, 205, 200]]
    assert not films.sspc_pa2(areas, 200, 300, 1).all_met
    assert films.sspc_pa2(areas, 200, 300, 3).all_met
    assert films.sspc_pa2([[900] * 5], 200, 300, 5).all_met
    assert films.sspc_pa2(areas, 200, 300, 1).source.tag == "from memory"
    with pytest.raises(Refusal, match="level_unknown"):
        films.sspc_pa2(areas, 200, 300, 6)


def test_few_spots_are_said() -> None:
    assert "fewer_spots_than_asked" in films.sspc_pa2([[250, 250]], 200, 300).cautions


def test_a_fifth_of_thin_readings_is_one_too_many() -> None:
    four_of_twenty = [170.0] * 4 + [230.0] * 16
    three_of_twenty = [170.0] * 3 + [230.0] * 17
    assert not _met(films.iso_19840(four_of_twenty, 200))["iso19840_thin_share"]
    assert films.iso_19840(three_of_twenty, 200).all_met


def test_three_times_nominal_is_the_most() -> None:
    readings = [210.0] * 9 + [650.0]
    result = _met(films.iso_19840(readings, 200))
    assert result["iso19840_mean"]
    assert not result["iso19840_most"]
    assert _met(films.iso_19840(readings, 200, 700))["iso19840_most"]


def test_profile_is_taken_off() -> None:
    assert films.iso_19840([220.0] * 5, 200).all_met
    assert not films.iso_19840([220.0] * 5, 200, profile="medium").all_met
    with pytest.raises(Refusal, match="profile_unknown"):
        films.iso_19840([220.0], 200, profile="rough")


def test_the_tank_rule() -> None:
    assert films.imo_pspc([325.0] * 9 + [290.0], 320).all_met
    assert not films.imo_pspc([325.0] * 9 + [287.0], 320).all_met
    assert not films.imo_pspc([325.0] * 8 + [290.0] * 2, 320).all_met


def test_nothing_read_is_not_passed() -> None:
    with pytest.raises(Refusal, match="no_readings"):
        films.iso_19840([], 200)
    with pytest.raises(Refusal, match="no_readings"):
        films.sspc_pa2([], 200, 300)
    with pytest.raises(Refusal, match="no_readings"):
        films.sspc_pa2([[]], 200, 300)
    with pytest.raises(Refusal, match="range_upside_down"):
        films.sspc_pa2([[200]], 300, 200)


@given(st.lists(st.floats(200, 600), min_size=1, max_size=40))
def test_readings_at_or_above_nominal_meet_everything(readings: list[float]) -> None:
    assert films.iso_19840(readings, 200).all_met
    assert films.imo_pspc(readings, 200).all_met


@given(st.floats(0.1, 5000), st.floats(0.1, 5000))
def test_larger_areas_want_no_fewer_readings(one: float, other: float) -> None:
    small, large = sorted((one, other))
    assert films.iso_19840_readings(small).value <= films.iso_19840_readings(large).value
    assert films.pa2_areas(small).value <= films.pa2_areas(large).value
