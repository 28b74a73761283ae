"""Dew point, margin and wet bulb."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hulllog.trade import weather
from hulllog.trade.refusal import Refusal

AIR = st.floats(-30, 50)
HUMIDITY = st.floats(5, 100)


def test_saturated_air_is_at_its_dew_point() -> None:
    for air in (-20.0, 0.0, 13.7, 40.0):
        assert weather.dew_point(air, 100).value == air


@pytest.mark.parametrize("humidity", [0.0, -5.0, 100.5, math.nan])
def test_humidity_that_cannot_be(humidity: float) -> None:
    with pytest.raises(Refusal, match="out_of_range"):
        weather.dew_point(20, humidity)


def test_the_coefficients_are_named() -> None:
    told = weather.dew_point(20, 60)
    assert told.source.title == "WMO-No. 8 Annex 4.B"
    assert [(one.symbol, one.value) for one in told.inputs[2:]] == [("a", 17.62), ("b", 243.12)]
    assert weather.dew_point(20, 60, "tetens").value == pytest.approx(12.00, abs=0.01)
    for unknown in ("magic", "wmo_ice"):
        with pytest.raises(Refusal, match="coefficients_unknown"):
            weather.dew_point(20, 60, unknown)


@given(air=st.floats(0, 40), humidity=st.floats(40, 100))
def test_the_sets_of_coefficients_agree(air: float, humidity: float) -> None:
    points = [weather.dew_point(air, humidity, one).value for one in ("wmo", "tetens", "bolton")]
    if min(points) >= 0:
        assert max(points) - min(points) <= 0.06


@given(air=AIR, humidity=HUMIDITY)
def test_dew_point_and_humidity_undo_each_other(air: float, humidity: float) -> None:
    point = weather.dew_point(air, humidity).value
    assert point <= air + 1e-9
    if point >= -40:
        assert weather.humidity_at(air, min(point, air)).value == pytest.approx(humidity)


@given(air=AIR, one=HUMIDITY, other=HUMIDITY)
def test_damper_air_has_a_higher_dew_point(air: float, one: float, other: float) -> None:
    dry, damp = sorted((one, other))
    assert weather.dew_point(air, dry).value <= weather.dew_point(air, damp).value
    assert weather.margin(air, air, dry).value >= weather.margin(air, air, damp).value


@given(air=st.floats(-30, -0.5), humidity=st.floats(20, 100))
def test_frost_forms_a_little_warmer_than_dew(air: float, humidity: float) -> None:
    frost = weather.frost_point(air, humidity)
    assert frost.value >= weather.dew_point(air, humidity).value - 1e-9
    assert "over_ice" in frost.cautions


def test_below_zero_says_over_water() -> None:
    assert weather.dew_point(0, 85).cautions == ("below_zero_over_water",)
    assert weather.dew_point(20, 60).cautions == ()
    with pytest.raises(Refusal, match="no_frost"):
        weather.frost_point(20, 60)


def _met(surface: float, air: float, humidity: float) -> dict[str, bool]:
    return {rule.code: rule.met for rule in weather.rules(surface, air, humidity)}


def test_the_rules_are_statements() -> None:
    assert _met(13, 16, 71) == {"surface_over_dew_point": False, "humidity_at_most": True}
    assert _met(20, 20, 84) == {"surface_over_dew_point": False, "humidity_at_most": True}
    assert _met(20, 20, 60) == {"surface_over_dew_point": True, "humidity_at_most": True}
    assert _met(25, 20, 86) == {"surface_over_dew_point": True, "humidity_at_most": False}


@given(air=st.floats(0, 45), humidity=st.floats(20, 99))
def test_the_lowest_surface_just_meets_the_rule(air: float, humidity: float) -> None:
    surface = weather.lowest_surface(air, humidity).value
    assert _met(surface, air, humidity)["surface_over_dew_point"]
    assert not _met(surface - 0.01, air, humidity)["surface_over_dew_point"]


@given(air=st.floats(0, 39))
def test_at_air_temperature_three_degrees_are_the_stricter_rule(air: float) -> None:
    most = weather.highest_humidity(air).value
    assert most < weather.HIGHEST_HUMIDITY
    assert weather.margin(air, air, most).value == pytest.approx(3.0, abs=1e-6)


def test_a_warm_hull_may_stand_in_saturated_air() -> None:
    assert weather.highest_humidity(10, 20).value == 100.0


@given(air=st.floats(9, 50), humidity=st.floats(30, 100))
def test_wet_bulb_and_humidity_undo_each_other(air: float, humidity: float) -> None:
    wet = weather.wet_bulb(air, humidity).value
    assert weather.dew_point(air, humidity).value - 0.02 <= wet <= air
    assert weather.humidity_by_wet_bulb(air, wet).value == pytest.approx(humidity, abs=1e-4)
    dew = weather.dew_point_by_wet_bulb(air, wet).value
    assert dew == pytest.approx(weather.dew_point(air, humidity).value, abs=1e-3)


def test_a_wet_bulb_below_zero_is_refused() -> None:
    with pytest.raises(Refusal, match="wet_bulb_below_zero"):
        weather.wet_bulb(1, 50)


def test_bulbs_that_cannot_be() -> None:
    with pytest.raises(Refusal, match="wet_over_dry"):
        weather.humidity_by_wet_bulb(20, 21)
    with pytest.raises(Refusal, match="drier_than_air_can_be"):
        weather.dew_point_by_wet_bulb(30, 5)
    assert weather.dew_point_by_wet_bulb(21, 17).cautions == ("ventilated_psychrometer",)
    assert "wet_bulb_iced" in weather.humidity_by_wet_bulb(-2, -3).cautions


def test_air_over_ice_holds_less() -> None:
    assert weather.saturation_pressure(-10, "ice").value < weather.saturation_pressure(-10).value
    with pytest.raises(Refusal, match="out_of_range"):
        weather.saturation_pressure(1, "ice")


@given(air=AIR, humidity=HUMIDITY, pressure=st.floats(600, 1080))
def test_thin_air_has_the_greater_share_of_water(
    air: float, humidity: float, pressure: float
) -> None:
    here = weather.humidity_ratio(air, humidity, pressure).value
    assert here > 0
    assert weather.humidity_ratio(air, humidity, pressure - 50).value > here


def test_dew_above_the_air_is_refused() -> None:
    with pytest.raises(Refusal, match="dew_over_air"):
        weather.humidity_at(10, 11)
