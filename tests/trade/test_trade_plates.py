"""Plates and pits: negative losses stay, nothing passes or fails, nothing is ever infinite."""

from __future__ import annotations

import math
import random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hulllog.trade import corrosionrates, pits, plates
from hulllog.trade.refusal import Refusal

QUICK = settings(max_examples=60, deadline=None)
THICK = st.floats(2, 20)


def refused(sum_: object, *given_: object, **named: object) -> str:
    with pytest.raises(Refusal) as caught:
        sum_(*given_, **named)  # type: ignore[operator]
    return caught.value.code


def test_wastage_of_a_measured_plate() -> None:
    found = plates.wastage(6.0, 4.8)
    assert found.value == pytest.approx(20)
    assert found.cautions == ()
    assert found.interval is not None
    assert found.interval.high - found.value == pytest.approx(100 * 2 * math.sqrt(2) * 0.1 / 6)


def test_a_plate_over_nominal_shows_a_negative_loss_and_why() -> None:
    found = plates.wastage(4.7625, 5.207, nominal=True)
    assert found.value == pytest.approx(-9.333, abs=0.001)
    assert found.cautions == ("original_nominal", "above_original")


def test_rates_and_remaining_life() -> None:
    lt = plates.long_term_rate(6.0, 5.2, 20)
    st_ = plates.short_term_rate(5.6, 5.2, 8)
    assert (lt.value, st_.value) == (pytest.approx(0.04), pytest.approx(0.05))
    assert lt.cautions == ()
    life = plates.remaining_life(5.2, 4.5, [lt.value, st_.value])
    assert life.value == pytest.approx(14.0)
    assert plates.half_life(life.value).value == pytest.approx(7.0)


def test_a_loss_within_the_gauges_error_says_so_and_stays() -> None:
    found = plates.short_term_rate(5.2, 5.3, 2)
    assert found.value == pytest.approx(-0.05)
    assert found.cautions == ("not_told_from_none",)
    assert plates.short_term_rate(5.4, 5.2, 2).cautions == ("not_told_from_none",)
    assert plates.short_term_rate(5.5, 5.2, 2).cautions == ()


def test_no_life_without_a_loss_or_below_the_limit() -> None:
    assert refused(plates.remaining_life, 5.2, 4.5, [-0.01, 0.0]) == "no_measurable_loss"
    assert refused(plates.remaining_life, 4.4, 4.5, [0.05]) == "below_limit"
    assert refused(plates.remaining_life, 5.2, 4.5, []) == "nothing_given"
    assert refused(plates.remaining_life, 5.2, 4.5, [1e-320]) == "no_measurable_loss"


def test_a_pit_in_its_plate() -> None:
    assert plates.pit_share(1.9, 6.0).value == pytest.approx(31.67, abs=0.01)
    assert plates.left_under_pit(10, 3.5).value == pytest.approx(6.5)
    assert refused(plates.pit_share, 7, 6) == "deeper_than_plate"
    assert refused(plates.left_under_pit, 6, 7) == "deeper_than_plate"


def test_a_pitted_plate() -> None:
    assert plates.pitting_intensity(0.2, 1.0).value == pytest.approx(20)
    assert plates.equivalent_thickness(6.0, 4.0, 20).value == pytest.approx(5.6)
    assert refused(plates.pitting_intensity, 2, 1) == "more_than_all"
    assert refused(plates.equivalent_thickness, 6, 7, 20) == "deeper_than_plate"


def test_rules_for_ships_are_called_so() -> None:
    assert [plates.ship_pit_depth(i).value for i in (0, 20, 50, 80)] == [35, 29, 20, 20]
    assert plates.ship_pit_depth(20).cautions == ("ship_guidance",)
    found = plates.inland_minimum(15, 500, 1.0)
    assert found.value == 3.0
    assert found.cautions == ("inland_vessels_only",)
    assert plates.inland_minimum(40, 600, 1.0, "bilge").value == pytest.approx(1.13 * 1.25 * 3.9)
    assert plates.inland_minimum(60, 500, 4.0).value == 5.0
    assert plates.inland_minimum(90, 500, 1.0, double=True).value == pytest.approx(0.95 * 5.9)
    assert refused(plates.inland_minimum, 15, 500, 1.0, "deck") == "section_unknown"


@QUICK
@given(THICK, THICK, st.floats(0.1, 60))
def test_thinner_now_is_a_higher_rate(one: float, other: float, years: float) -> None:
    thin, thick = sorted((one, other))
    assert (
        plates.long_term_rate(8, thin, years).value >= plates.long_term_rate(8, thick, years).value
    )
    assert plates.wastage(8, thin).value >= plates.wastage(8, thick).value


@pytest.mark.parametrize("bad", [math.nan, math.inf, -1.0, 0.0])
def test_no_thickness_no_answer(bad: float) -> None:
    assert refused(plates.wastage, bad, 5) == "out_of_range"
    assert refused(plates.wastage, 5, bad) == "out_of_range"
    assert refused(plates.long_term_rate, 5, 4, bad) == "out_of_range"


def test_g46_figures() -> None:
    average = pits.average_penetration(47.1, 100, 7.85)
    assert average.value == pytest.approx(0.60)
    assert pits.pitting_factor(1.8, average.value).value == pytest.approx(3.0)
    assert pits.pitting_probability(7, 20).value == pytest.approx(35)
    assert refused(pits.pitting_factor, 1.8, 0.0) == "not_defined"
    assert refused(pits.pitting_factor, 0.5, 0.6) == "not_defined"
    assert refused(pits.pitting_probability, 21, 20) == "more_than_all"


def test_the_ten_deepest_or_all_with_a_caution() -> None:
    assert pits.ten_deepest([0.1 * n for n in range(1, 13)]).value == pytest.approx(0.75)
    few = pits.ten_deepest([1.0, 2.0])
    assert few.value == 1.5
    assert few.cautions == ("fewer_than_ten",)
    assert refused(pits.ten_deepest, []) == "nothing_given"


def test_growth_through_two_depths() -> None:
    found = pits.growth([5, 14], [1.0, 1.5])
    assert found.k * 5**found.n == pytest.approx(1.0)
    assert found.k * 14**found.n == pytest.approx(1.5)
    assert found.r2 is None
    assert pits.age_at_depth(found, 1.5).value == pytest.approx(14)
    later = pits.depth_later(1.5, 14, 20, found.n)
    assert later.value == pytest.approx(found.k * 20**found.n)


@pytest.mark.parametrize(
    ("exponent", "depth"), [(1 / 3, 1.689), (0.4, 1.730), (0.5, 1.793), (1.0, 2.143)]
)
def test_the_exponent_matters(exponent: float, depth: float) -> None:
    assert pits.depth_later(1.5, 14, 20, exponent).value == pytest.approx(depth, abs=0.0005)


def test_growth_that_cannot_be_fitted() -> None:
    assert refused(pits.growth, [5, 5], [1, 2]) == "one_moment"
    assert refused(pits.growth, [5], [1]) == "too_few"
    assert refused(pits.growth, [5, 6], [1]) == "lengths_differ"
    assert refused(pits.growth, [0, 6], [1, 2]) == "out_of_range"
    assert refused(pits.age_at_depth, pits.Growth(1.0, -0.2), 2.0) == "not_growing"
    assert refused(pits.age_at_depth, pits.Growth(1e-6, 0.01), 400.0) == "out_of_range"
    assert refused(pits.depth_later, 1.0, 14, 10, 0.4) == "out_of_range"


def test_a_gumbel_fit_finds_the_parameters_it_was_drawn_from() -> None:
    drawn = random.Random(3)
    depths = [1.5 - 0.3 * math.log(-math.log(drawn.random())) for _ in range(2000)]
    for fit in (pits.gumbel_by_likelihood, pits.gumbel_by_plot):
        found = fit(depths)
        assert found.mode == pytest.approx(1.5, abs=0.03)
        assert found.scale == pytest.approx(0.3, abs=0.02)


def test_fewer_than_five_areas_or_equal_depths_give_no_fit() -> None:
    for fit in (pits.gumbel_by_likelihood, pits.gumbel_by_plot):
        assert refused(fit, [1, 2, 3, 4]) == "too_few"
        assert refused(fit, [1.0] * 6) == "depths_alike"
        assert refused(fit, []) == "nothing_given"


FITTED = pits.Gumbel(1.5, 0.3, 10)


def test_a_larger_area_has_a_deeper_pit() -> None:
    small, large = pits.deepest_over(FITTED, 1), pits.deepest_over(FITTED, 100)
    assert large.value - small.value == pytest.approx(0.3 * math.log(100))
    assert pits.no_deeper(FITTED, 2.0, 100).value < pits.no_deeper(FITTED, 2.0).value
    assert large.interval is not None
    assert large.interval.low < large.value < large.interval.high
    assert pits.deepest_over(pits.Gumbel(1.5, 0.3), 10).interval is None


@QUICK
@given(st.floats(1, 500), st.floats(0.01, 0.999))
def test_the_quantile_and_its_probability_belong_together(ratio: float, p: float) -> None:
    depth = pits.deepest_over(FITTED, ratio, p).value
    if depth > 0:
        assert pits.no_deeper(FITTED, depth, ratio).value == pytest.approx(p, rel=1e-9)


def test_growing_older_stretches_the_whole_distribution() -> None:
    older = pits.aged(FITTED, 14, 20, 0.4)
    assert older.mode / FITTED.mode == pytest.approx(1.15335, abs=1e-5)
    assert older.scale / FITTED.scale == pytest.approx(1.15335, abs=1e-5)


def test_no_error_without_the_number_of_areas() -> None:
    assert refused(pits.standard_error, pits.Gumbel(1.5, 0.3), 1.0) == "not_defined"


def test_rates_of_even_corrosion() -> None:
    assert corrosionrates.rate_from_mass(0.65, 28.5, 168, 7.85).value == pytest.approx(
        1.5149, abs=1e-4
    )
    assert corrosionrates.rate_from_mdd(129.7866, 8.94).value == pytest.approx(0.52989, abs=1e-5)
    iron = corrosionrates.equivalent_weight({"Fe": 1.0})
    assert iron.value == pytest.approx(27.92, abs=0.01)
    rate = corrosionrates.rate_from_current(1.0, iron.value, 7.87)
    assert rate.value == pytest.approx(0.00116, abs=1e-5)


def test_copper_counts_once_or_twice() -> None:
    twice = corrosionrates.equivalent_weight({"Cu": 0.9, "Ni": 0.1})
    once = corrosionrates.equivalent_weight({"Cu": 0.9, "Ni": 0.1}, {"Cu": 1})
    assert once.value / twice.value == pytest.approx(1.8, abs=0.03)


def test_an_alloy_of_nothing_known_is_refused() -> None:
    assert refused(corrosionrates.equivalent_weight, {"Xx": 1.0}) == "element_unknown"
    assert refused(corrosionrates.equivalent_weight, {"Fe": 0.5}) == "shares_not_whole"
    assert refused(corrosionrates.equivalent_weight, {"Fe": 1.5}) == "out_of_range"
    assert refused(corrosionrates.rate_from_mass, 1, 0, 100, 7.85) == "out_of_range"
