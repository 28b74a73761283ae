"""Design of protection, potentials, waters, and what an antifouling lets go."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hulllog.trade import anodes, potentials, protection, release, waters
from hulllog.trade.refusal import Refusal


def test_a_painted_steel_yacht_by_hand() -> None:
    density = protection.current_density("temperate").value
    mean = protection.demand(45, density, protection.breakdown("III", 4).value)
    assert mean.value == pytest.approx(0.198)
    final = protection.demand(
        45,
        protection.current_density("temperate", "final").value,
        protection.breakdown("III", 4, "final").value,
    )
    assert final.value == pytest.approx(0.3978)
    zinc = protection.anode_mass(mean.value, 4, 780, 0.85)
    aluminium = protection.anode_mass(mean.value, 4, 2000, 0.85)
    assert zinc.value == pytest.approx(10.464, abs=5e-4)
    assert aluminium.value == pytest.approx(4.081, abs=5e-4)
    ohms = protection.resistance_long_flush(0.25, 0.300, 0.075).value
    assert ohms == pytest.approx(0.6667, abs=5e-5)
    output = protection.anode_output(0.23, ohms).value
    assert output == pytest.approx(0.345)
    assert protection.anode_count(zinc.value, 5.623, final.value, output).value == 2


def test_long_and_short_forms_do_not_meet() -> None:
    long = protection.resistance_stand_off(0.25, 0.4, 0.1).value
    short = protection.resistance_stand_off(0.25, 0.39999999, 0.1).value
    assert long == pytest.approx(0.1763, abs=5e-5)
    assert short == pytest.approx(0.1884, abs=5e-5)


def test_near_the_hull_it_resists_more() -> None:
    far = protection.resistance_stand_off(0.25, 1, 0.06).value
    near = protection.resistance_stand_off(0.25, 1, 0.06, 0.2).value
    assert near == pytest.approx(1.3 * far)
    with pytest.raises(Refusal, match="out_of_range"):
        protection.resistance_stand_off(0.25, 1, 0.06, 0.1)


def test_a_short_anode_is_not_long() -> None:
    with pytest.raises(Refusal, match="not_long"):
        protection.resistance_long_flush(0.25, 0.2, 0.1)


@given(
    rho=st.floats(0.15, 20),
    length=st.floats(0.2, 2),
    more=st.floats(1.05, 2),
    r=st.floats(0.01, 0.04),
)
def test_bigger_anodes_resist_less(rho: float, length: float, more: float, r: float) -> None:
    here = protection.resistance_stand_off(rho, length, r).value
    assert here > 0
    assert protection.resistance_stand_off(rho, length * more, r).value < here
    assert protection.resistance_stand_off(rho, length, r * more).value < here


@given(years=st.floats(0.1, 50), category=st.sampled_from(["I", "II", "III", "IV"]))
def test_paint_breaks_down_with_time(years: float, category: str) -> None:
    shares = [
        protection.breakdown(category, years, when).value
        for when in ("initial", "mean", "final")
    ]  # fmt: skip
    assert shares == sorted(shares)
    assert shares[-1] <= 1.0


def test_the_two_standards_are_a_spread() -> None:
    told = protection.mass_by_both(45, 1.5, 780, 0.85)
    assert told.interval is not None
    assert told.interval.high / told.interval.low > 4
    assert told.interval.low < told.value < told.interval.high
    assert told.cautions[0] == "no_standard_for_yachts"


@pytest.mark.parametrize(
    ("months", "low", "high"),
    [(18, 0.015, 0.025), (18.5, 0.026, 0.045), (19, 0.026, 0.045), (60, 0.046, 0.075)],
)
def test_docking_intervals(months: float, low: float, high: float) -> None:
    interval = protection.docking_density(months).interval
    assert interval is not None
    assert (interval.low, interval.high) == (low, high)


def test_what_is_not_in_the_tables_is_refused() -> None:
    with pytest.raises(Refusal, match="climate_unknown"):
        protection.current_density("lunar")
    with pytest.raises(Refusal, match="category_unknown"):
        protection.breakdown("V", 4)
    with pytest.raises(Refusal, match="use_unknown"):
        protection.ship_density("flying")


@pytest.mark.parametrize(
    ("volts", "material", "standing"),
    [
        (-0.92, "steel", "within"),
        (-1.15, "aluminium", "more_negative"),
        (-0.45, "grp", "less_negative"),
        (-0.75, "wood", "more_negative"),
        (-1.10, "aluminium", "within"),
    ],
)
def test_potentials_beside_the_rule(volts: float, material: str, standing: str) -> None:
    found = potentials.beside_ranges(volts, material, "salt")
    (abyc,) = [one for one in found if one.range.rule == "abyc"]
    assert abyc.standing == standing
    assert abyc.range.year == 2009


def test_rules_that_no_longer_stand_come_last() -> None:
    found = potentials.beside_ranges(-0.6, "grp", "salt")
    assert found[0].range.current
    assert not found[-1].range.current
    assert {one.standing for one in found} == {"within", "less_negative"}


def test_in_fresh_water_nothing_is_said() -> None:
    with pytest.raises(Refusal, match="no_range_in_fresh_water"):
        potentials.beside_ranges(-0.9, "steel", "fresh")
    with pytest.raises(Refusal, match="water_not_known"):
        potentials.beside_ranges(-0.9, "steel", "unknown")
    with pytest.raises(Refusal, match="material_without_range"):
        potentials.beside_ranges(-0.9, "ferrocement", "salt")


@given(st.floats(-2, 0.5))
def test_a_potential_lies_on_one_side_only(volts: float) -> None:
    for one in potentials.beside_ranges(volts, "steel", "brackish"):
        assert (one.by == 0) == (one.standing == "within")
        assert one.by >= 0


def test_electrodes() -> None:
    assert potentials.referred(-0.85, "cu_cuso4").value == pytest.approx(-0.80)
    assert potentials.referred(0.25, "zinc").value == pytest.approx(-0.80)
    assert potentials.referred(-0.8, "ag_agcl").cautions == ()
    with pytest.raises(Refusal, match="electrode_unknown"):
        potentials.referred(-0.8, "fork")


def test_a_poor_connection_eats_the_driving_voltage() -> None:
    assert potentials.drop_share(1.0, 0.1, 0.25).value == pytest.approx(0.4)
    assert potentials.drop_share(0.25, 0.1, 0.25).value == pytest.approx(0.1)


@pytest.mark.parametrize("water", ["salt", "brackish", "fresh"])
@pytest.mark.parametrize("metal", ["zinc", "aluminium", "magnesium"])
def test_metal_and_water_come_with_reasons(metal: str, water: str) -> None:
    told = waters.metal_in_water(metal, water)
    assert told.reasons
    assert told.choice in ("first", "second", "unsuited")


def test_each_water_has_a_first_choice() -> None:
    for water in ("salt", "brackish", "fresh"):
        choices = [waters.metal_in_water(one, water).choice for one in anodes.METALS]
        assert "first" in choices
    assert waters.metal_in_water("magnesium", "salt").choice == "unsuited"
    assert waters.metal_in_water("zinc", "fresh").choice == "unsuited"


def test_what_is_not_known_is_named() -> None:
    told = waters.metal_in_water("unknown", "unknown")
    assert told.choice == "not_known"
    assert told.missing == ("anode_metal", "water")
    with pytest.raises(Refusal, match="metal_unlisted"):
        waters.metal_in_water("tin", "salt")
    with pytest.raises(Refusal, match="water_unlisted"):
        waters.metal_in_water("zinc", "sweet")


def test_mass_balance_by_hand() -> None:
    told = release.biocide_in_film(20, 1.5, 60, 50, 0.8882)
    assert told.value == pytest.approx(2877.8, abs=0.05)
    rate = release.mean_release(told.value, 365.25)
    assert rate.value == pytest.approx(7.88, abs=5e-3)
    assert rate.interval is not None
    assert rate.interval.high / rate.interval.low == pytest.approx(32)
    film = release.film_for_release(rate.value, 365.25, 20, 1.5, 50, 0.8882)
    assert film.value == pytest.approx(60)


@given(film=st.floats(20, 400), wear=st.floats(0.5, 15), reserve=st.floats(0, 20))
def test_film_wears_down_to_its_reserve(film: float, wear: float, reserve: float) -> None:
    months = release.months_of_film(film, reserve, wear).value
    assert film - months * wear == pytest.approx(reserve, abs=1e-6)


@given(one=st.floats(0, 40), other=st.floats(0, 40))
def test_speed_never_slows_leaching(one: float, other: float) -> None:
    slow, fast = sorted((one, other))
    assert 1 <= release.speed_factor(slow).value <= release.speed_factor(fast).value <= 3


def test_a_field_figure_is_below_a_calculated_one() -> None:
    assert release.environmental_release(29).value == pytest.approx(10)
    assert release.environmental_release(54, laboratory=True).value == pytest.approx(10)
    assert release.wear_by_distance(10_000).value == pytest.approx(11.83, abs=5e-3)


@pytest.mark.parametrize("bad", [math.nan, math.inf, -math.inf, 0.0, -1.0])
def test_figures_that_cannot_be(bad: float) -> None:
    for call in (
        lambda: protection.demand(bad, 0.1),
        lambda: protection.anode_mass(bad, 4, 780, 0.85),
        lambda: protection.resistance_short_flush(0.25, bad),
        lambda: protection.anode_output(bad, 1),
        lambda: release.mean_release(bad, 365),
    ):
        with pytest.raises(Refusal, match="out_of_range"):
            call()
