"""Litres, films and tins."""

from __future__ import annotations

import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from hulllog.trade import films
from hulllog.trade.refusal import Refusal

SOLIDS = st.floats(15, 100)
FILM = st.floats(5, 1000)
AREA = st.floats(0.1, 500)
LOSS = st.floats(0, 90)
MOST = 100_000
"""Litres that a mean film is told of at most."""
THINNER = st.floats(0, 50)


def test_spreading_rates_by_hand() -> None:
    assert films.spreading_rate(65, 125).value == pytest.approx(5.20)
    assert films.spreading_rate_us(65, 5).value == pytest.approx(208.54, abs=0.005)


@given(solids=SOLIDS, film=FILM)
def test_both_systems_say_the_same(solids: float, film: float) -> None:
    metric = films.spreading_rate(solids, film).value
    us = films.spreading_rate_us(solids, film / 25.4).value
    assert us * 0.09290304 / 3.785411784 == pytest.approx(metric)


@given(solids=SOLIDS, film=FILM, thinner=THINNER)
def test_wet_film_dries_to_what_was_meant(solids: float, film: float, thinner: float) -> None:
    wet = films.wet_film(solids, film, thinner).value
    assert wet >= film * 0.999999
    assert films.dry_film(solids, wet, thinner).value == pytest.approx(film)
    same = films.wet_film(films.thinned_solids(solids, thinner).value, film).value
    assert same == pytest.approx(wet)


@given(area=AREA, film=FILM, coats=st.integers(1, 6), solids=SOLIDS, loss=LOSS)
def test_litres_lay_down_the_film_they_were_for(
    area: float, film: float, coats: int, solids: float, loss: float
) -> None:
    volume = films.litres(area, film, coats, solids, loss).value
    assume(volume <= MOST)
    assert films.mean_film(volume, solids, area, loss).value == pytest.approx(film * coats)


def test_loss_is_a_share_of_what_is_used() -> None:
    assert films.consumption_factor(30).value == pytest.approx(1.4286, abs=5e-5)
    clean = films.litres(30, 50, 2, 55).value
    assert clean == pytest.approx(5.455, abs=5e-4)
    assert films.litres(30, 50, 2, 55, 15).value == pytest.approx(6.417, abs=5e-4)
    assert films.litres(30, 50, 2, 55, 30).value == pytest.approx(clean / 0.7)


def test_a_tool_brings_its_spread() -> None:
    by_roller = films.litres(30, 50, 2, 55, "roller")
    assert by_roller.interval is not None
    assert by_roller.interval.low < by_roller.value < by_roller.interval.high
    assert films.litres(30, 50, 2, 55, 12).interval is None
    with pytest.raises(Refusal, match="tool_unknown"):
        films.litres(30, 50, 2, 55, "sponge")


@given(solids=SOLIDS, film=FILM, loss=st.sampled_from(sorted(films.LOSSES)))
def test_practical_rates_never_exceed_theory(solids: float, film: float, loss: str) -> None:
    practical = films.practical_rate(solids, film, loss)
    assert practical.value < films.spreading_rate(solids, film).value
    assert practical.interval is not None
    assert practical.interval.low <= practical.value <= practical.interval.high


def test_class_values_are_marked() -> None:
    one = films.CLASSES["self_polishing_antifouling"]
    told = films.litres(30, one.film_um, 2, one.solids, typical=True)
    notes = {given.symbol: given.note for given in told.inputs}
    assert notes["DFT"] == notes["VS"] == "typical_not_this_product"
    assert notes["A"] == ""
    assert told.cautions == ("class_value",)


@pytest.mark.parametrize("one", films.CLASSES.values(), ids=lambda one: one.code)
def test_classes_hold_together(one: films.CoatingClass) -> None:
    assert 0 < one.solids_low <= one.solids <= one.solids_high <= 100
    assert 0 < one.film_low_um <= one.film_um <= one.film_high_um
    assert 1 <= one.coats[0] <= one.coats[1]
    assert one.solids_input().note == one.film_input().note == "typical_not_this_product"


@pytest.mark.parametrize("bad", [0.0, -1.0, 100.1, math.nan, math.inf])
def test_solids_that_cannot_be(bad: float) -> None:
    with pytest.raises(Refusal, match="out_of_range"):
        films.spreading_rate(bad, 50)
    with pytest.raises(Refusal, match="out_of_range"):
        films.litres(30, 50, 2, bad)


def test_wet_mass() -> None:
    assert films.wet_mass(50, 50, 1.5).value == pytest.approx(150)


def test_few_tins_with_little_left() -> None:
    assert films.tins(5.9, [0.75, 2.5, 5.0]) == ((5.0, 1), (0.75, 2))
    assert films.tins(100, [0.75, 2.5, 5.0]) == ((5.0, 20),)
    assert films.tins(6.4, [0.75, 2.5, 5.0]) == ((5.0, 1), (0.75, 2))
    assert films.tins(0.0, [2.5]) == ()
    assert films.tins(2.5, [2.5]) == ((2.5, 1),)
    assert films.tins(2.51, [2.5]) == ((2.5, 2),)
    assert films.tins(7.5, [2.5, 0.75]) == ((2.5, 3),)


@given(
    litres=st.floats(0, 100),
    sizes=st.lists(st.sampled_from([0.375, 0.75, 2.0, 2.5, 3.0, 5.0]), min_size=1, max_size=4),
)
def test_tins_always_hold_enough_and_none_is_spare(litres: float, sizes: list[float]) -> None:
    chosen = films.tins(litres, sizes)
    held = sum(size * count for size, count in chosen)
    assert held >= litres - 1e-6
    if chosen:
        assert held - min(size for size, _ in chosen) < litres
