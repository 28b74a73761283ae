"""Litres by the boat's own factor, whole tins, and how long an antifouling lasts."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hulllog.trade import buying, films
from hulllog.trade.refusal import Refusal
from hulllog.words.working import said

LITRES = st.floats(0.3, 40)
JOBS = st.lists(st.tuples(LITRES, LITRES), min_size=1, max_size=8)


def job(area=30.0, coats=2.0):
    return films.litres(area, 50.0, coats, 55.0, 15.0)


def test_litres_of_the_spreading_rate_notes():
    # 30 m², two coats of 50 µm, 55 % solids, 15 % lost: 30·50·2/(10·55·0.85) by hand.
    wanted = buying.litres_wanted([job()])
    assert wanted.value == pytest.approx(6.417, abs=5e-4)
    assert "no_own_factor" in wanted.cautions
    assert buying.whole_tins(wanted.value, (2.5, 0.75)).counts == ((2.5, 2), (0.75, 2))


def test_an_extra_coat_on_a_band_is_added():
    # Band of 21.1 m by 0.15 m: 3.165 m² · 50 / (10 · 55 · 0.85) = 0.3385 L by hand.
    wanted = buying.litres_wanted([job(), job(3.165, 1.0)])
    assert wanted.value == pytest.approx(6.417 + 0.3385, abs=1e-3)


def test_a_boat_that_takes_more_buys_more():
    factor = buying.own_factor([(6.0, 5.0), (7.0, 5.0)], 4.0)
    assert factor.value == pytest.approx(1.3)
    wanted = buying.litres_wanted([job()], factor)
    assert wanted.value == pytest.approx(1.3 * job().value)
    assert (wanted.interval.low, wanted.interval.high) == (
        pytest.approx(1.2 * job().value),
        pytest.approx(1.4 * job().value),
    )
    assert "no_own_factor" not in wanted.cautions


@given(st.lists(LITRES, min_size=1, max_size=8))
def test_the_factor_is_one_where_used_equals_computed(litres):
    factor = buying.own_factor([(one, one) for one in litres], float(len(litres)))
    assert factor.value == pytest.approx(1.0)
    assert factor.interval is None
    assert buying.litres_wanted([job()], factor).value == pytest.approx(job().value)


@given(JOBS)
def test_the_factor_lies_between_the_least_and_the_most_of_a_job(jobs):
    factor = buying.own_factor(jobs, float(len(jobs)))
    single = [used / computed for used, computed in jobs]
    assert min(single) * (1 - 1e-9) <= factor.value <= max(single) * (1 + 1e-9)


@given(st.floats(1, 200), st.integers(1, 8), JOBS)
def test_more_coats_never_take_fewer_litres_or_smaller_tins(area, coats, jobs):
    factor = buying.own_factor(jobs, 1.0)
    fewer, more = (
        buying.litres_wanted([films.litres(area, 50.0, float(n), 50.0, "roller")], factor).value
        for n in (coats, coats + 1)
    )
    assert more > fewer
    for litres in (fewer, more):
        if litres <= 1000:
            assert buying.whole_tins(litres, (2.5, 0.75)).held.value >= litres - 1e-9


def test_sizes_that_are_not_of_the_product_are_marked():
    held = buying.whole_tins(3.0, buying.COMMON_TINS, common=True).held
    assert any("not of this product" in line for line in said(held).lines)


@pytest.mark.parametrize(
    ("coating", "film", "coats", "months", "low", "high"),
    [
        # Facts on life: rosin about 12 months; controlled depletion 36 months at most, a season
        # for two coats; polishing 3 to 15 µm a month.
        ("soft_antifouling", 80.0, 2.0, 12.0, None, None),
        ("ablative_antifouling", 150.0, 3.0, 18.0, 18.0, 36.0),
        ("ablative_antifouling", 400.0, 8.0, 36.0, None, None),
        ("self_polishing_antifouling", 90.0, 2.0, 13.416, 6.0, 30.0),
    ],
)
def test_how_long_it_lasts(coating, film, coats, months, low, high):
    life = buying.paint_life(coating, film, coats)
    assert life.value == pytest.approx(months, abs=1e-3)
    bounds = (life.interval.low, life.interval.high) if life.interval else (None, None)
    assert bounds == (low, high)


def test_film_says_nothing_of_how_long_hard_paint_protects():
    with pytest.raises(Refusal, match="life_not_known"):
        buying.paint_life("hard_antifouling", 100.0, 2.0)


def test_miles_of_the_trial():
    # 180.8 µm over 152 808 miles: 11.83 µm on 10 000 miles.
    assert buying.miles_of_film(11.83).value == pytest.approx(10_000, rel=1e-3)
