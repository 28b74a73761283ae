"""Whatever goes in, a sum gives a finite figure or says no; what is realistic is seldom refused."""

from __future__ import annotations

import inspect
import math
from collections.abc import Callable
from typing import TYPE_CHECKING, Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hulllog.trade import (
    anodemetals,
    anodes,
    anodewear,
    areas,
    biocides,
    buying,
    drawnareas,
    films,
    pieces,
    potentials,
    protection,
    release,
    weather,
    windows,
)
from hulllog.trade.refusal import Refusal
from hulllog.trade.working import Working
from hulllog.words.working import said

if TYPE_CHECKING:
    from types import ModuleType

Sum = Callable[..., Working]

MODULES = (
    anodemetals, anodes, anodewear, areas, biocides, buying, drawnareas, films, pieces, potentials,
    protection, release, weather, windows,
)  # fmt: skip
SHEET = [(5.0, 24.0), (15.0, 12.0), (23.0, 6.0), (35.0, 3.0)]


def span(low: float, high: float) -> st.SearchStrategy[float]:
    """Return floats of a range."""
    return st.floats(low, high)


LENGTH, BEAM, DRAUGHT = span(5, 20), span(1.5, 6), span(0.3, 2.5)
AIR, HUMIDITY = span(-5, 35), span(20, 100)
SOLIDS, FILM, AREA = span(20, 100), span(10, 300), span(1, 200)
RATE = span(2e-4, 8e-3)
ZINC = st.just("zinc")
METAL = st.sampled_from(["zinc", "aluminium", "magnesium"])

HULL = st.tuples(LENGTH, span(0.27, 0.40), span(0.12, 0.25), span(0.33, 0.45)).map(
    lambda one: (
        one[0],
        one[0] * one[1],
        one[0] * one[1] * one[2],
        one[0] ** 3 * one[1] ** 2 * one[2] * one[3],
    )
)
"""Length, beam, draught and volume that belong together."""

REALISTIC: dict[Sum, tuple[st.SearchStrategy[Any], ...] | st.SearchStrategy[Any]] = {
    anodemetals.faraday_capacity: (METAL,),
    anodemetals.usual_capacity: (METAL,),
    anodemetals.design_capacity: (ZINC, st.just("DNV"), st.sampled_from(["2010", "2021"])),
    anodemetals.closed_circuit_potential: (ZINC, st.just("ABS"), st.just("2017")),
    anodemetals.mass_of: (METAL, span(0.05, 5)),
    anodemetals.consumption: (span(700, 2900),),
    anodemetals.dissolved: (METAL, span(0.001, 5), span(1, 1000)),
    anodes.share_used: (span(1, 5), span(0.5, 1), span(0, 0.3)),
    anodes.share_by_eye: (st.sampled_from(sorted(anodes.EYE_LEFT)),),
    anodes.mean_current: (span(0, 5), span(30, 400), METAL),
    anodes.wear_rate: (span(0, 5), span(30, 400)),
    anodewear.half_loss: (
        st.lists(st.tuples(span(30, 900), span(0.02, 0.9)), min_size=1, max_size=4),
        st.lists(RATE, max_size=4),
    ),
    anodewear.half_loss_from_one_check: (span(30, 900), span(0.02, 0.9)),
    anodewear.half_loss_from_checks: (
        st.lists(st.tuples(span(30, 900), span(0.02, 0.9)), min_size=2, max_size=4),
    ),
    anodewear.half_loss_from_earlier: (st.lists(RATE, min_size=1, max_size=5),),
    anodewear.unusual: (RATE, st.lists(RATE, min_size=2, max_size=5)),
    anodewear.yearly_share: (span(0, 1), span(30, 900)),
    anodewear.against_past: (RATE, st.lists(RATE, min_size=1, max_size=5)),
    areas.volume_of: (span(500, 30_000),),
    areas.owners_rule: (st.sampled_from(sorted(areas.OWNERS_RULES)), LENGTH, BEAM, DRAUGHT),
    areas.by_length_and_beam: (LENGTH, BEAM),
    areas.by_waterline_length: (LENGTH,),
    areas.topsides: (LENGTH, BEAM, span(0.5, 2)),
    areas.deck: (LENGTH, BEAM),
    areas.denny_mumford: (LENGTH, span(0.3, 1), span(1, 30)),
    areas.taylor: (LENGTH, span(1, 30)),
    areas.froude: (LENGTH, span(1, 30)),
    areas.delft: HULL,
    areas.holtrop_mennen: HULL.map(lambda hull: (*hull, 0.75, 0.70)),
    areas.grubisic: HULL,
    biocides.copper_share: (st.sampled_from(sorted(biocides.COPPER_SHARES)),),
    buying.strip_area: (span(0.2, 20),),
    drawnareas.drawn_area: (
        st.lists(st.tuples(span(0, 4000), span(0, 3000)), min_size=3, max_size=12),
        span(100, 4000), span(0.5, 20), span(1, 2),
    ),
    buying.paint_life: (
        st.sampled_from([*sorted(buying.POLISHING), "soft_antifouling", "ablative_antifouling"]),
        FILM, span(1, 6),
    ),
    buying.miles_of_film: (FILM,),
    buying.thinner_at_most: (span(0.2, 40), span(0, 25)),
    films.spreading_rate: (SOLIDS, FILM),
    films.spreading_rate_us: (SOLIDS, span(0.5, 12)),
    films.practical_rate: (SOLIDS, FILM, st.sampled_from(sorted(films.LOSSES))),
    films.consumption_factor: (span(0, 60),),
    films.thinned_solids: (SOLIDS, span(0, 25)),
    films.wet_film: (SOLIDS, FILM, span(0, 25)),
    films.dry_film: (SOLIDS, FILM, span(0, 25)),
    films.litres: (AREA, FILM, st.integers(1, 6), SOLIDS, span(0, 50)),
    films.mean_film: (span(0.1, 40), SOLIDS, AREA, span(0, 50)),
    films.wet_mass: (SOLIDS, FILM, span(0.9, 2.5)),
    pieces.trapezium: (span(0.3, 3), span(0.3, 3), span(0, 2)),
    pieces.foil: (span(0.1, 6), span(0, 0.25)),
    pieces.bulb: (span(0.5, 3), span(0.1, 0.6), span(0.1, 0.6)),
    pieces.half_ellipsoid: (LENGTH, BEAM, DRAUGHT),
    pieces.cylinder: (span(0.02, 1), span(0.1, 5)),
    pieces.disc: (span(0.02, 1),),
    pieces.cone: (span(0.1, 1), span(0, 0.5), span(0.1, 2)),
    pieces.ellipse_girth: (LENGTH, BEAM),
    pieces.band_below_waterline: (LENGTH, BEAM, span(0.05, 0.4)),
    pieces.v_bottom: (LENGTH, BEAM, span(0, 25), span(0, 0.6)),
    potentials.referred: (span(-1.2, 0.4), st.sampled_from(sorted(potentials.ELECTRODES))),
    potentials.drop_share: (span(0, 2), span(0, 1), span(0.1, 0.6)),
    protection.current_density: (st.sampled_from(sorted(protection.DENSITIES)),),
    protection.breakdown: (st.sampled_from(sorted(protection.CATEGORIES)), span(1, 20)),
    protection.demand: (AREA, span(0.05, 0.3), span(0.01, 1)),
    protection.anode_mass: (span(0.01, 2), span(0.5, 5), span(700, 2800), span(0.5, 0.9)),
    protection.resistance_stand_off: (span(0.2, 50), span(0.2, 1.5), span(0.01, 0.1)),
    protection.resistance_long_flush: (span(0.2, 50), span(0.4, 1.5), span(0.02, 0.1)),
    protection.resistance_short_flush: (span(0.2, 50), span(0.005, 0.2)),
    protection.anode_output: (span(0.1, 0.9), span(0.05, 50)),
    protection.anode_count: (span(0.5, 50), span(0.2, 10), span(0.01, 2), span(0.01, 1)),
    protection.ship_density: (st.sampled_from(sorted(protection.ABS_DENSITIES)),),
    protection.docking_density: (span(1, 60),),
    protection.mass_by_both: (AREA, span(0.5, 5), span(700, 2800), span(0.5, 0.9)),
    release.biocide_in_film: (span(5, 60), span(1, 2.5), FILM, SOLIDS),
    release.mean_release: (span(100, 20_000), span(90, 1825)),
    release.environmental_release: (span(0.5, 60),),
    release.film_for_release: (
        span(1, 30), span(90, 1825), span(5, 60), span(1, 2.5), SOLIDS,
    ),
    release.months_of_film: (span(40, 400), span(0, 30), span(0.5, 15)),
    release.speed_factor: (span(0, 40),),
    release.wear_by_distance: (span(0, 20_000),),
    weather.saturation_pressure: (AIR,),
    weather.vapour_pressure: (AIR, HUMIDITY),
    weather.dew_point: (AIR, HUMIDITY),
    weather.frost_point: (span(-15, 0), HUMIDITY),
    weather.margin: (span(-5, 40), AIR, HUMIDITY),
    weather.lowest_surface: (AIR, HUMIDITY),
    weather.highest_humidity: (AIR, span(-5, 40)),
    weather.humidity_by_wet_bulb: (span(20, 30), span(14, 20)),
    weather.dew_point_by_wet_bulb: (span(20, 30), span(14, 20)),
    weather.wet_bulb: (span(8, 35), span(30, 100)),
    weather.humidity_ratio: (AIR, HUMIDITY),
    weather.humidity_at: (span(15, 35), span(-5, 15)),
    windows.shortest_time: (st.just(SHEET), span(5, 40)),
    windows.longest_time: (st.just(SHEET), span(5, 40)),
    windows.class_time: (st.just("launch"), st.just("silicone"), span(5, 35)),
    windows.halved: (span(1, 48), span(10, 25), span(5, 35)),
    windows.arrhenius: (span(1, 48), span(10, 25), span(5, 35)),
}  # fmt: skip
OTHERWISE_TRIED = {
    anodes.share_renewed, areas.total, areas.spread, biocides.leach_rate_cap, buying.own_factor,
    buying.litres_wanted, buying.area_by_litres,
}  # fmt: skip
"""Sums without a number to try, or of other workings."""
BY_SUM = pytest.mark.parametrize("sum_of", REALISTIC, ids=lambda one: one.__qualname__)


def _own_sums(module: ModuleType) -> list[Sum]:
    return [
        value
        for name, value in vars(module).items()
        if inspect.isfunction(value)
        and not name.startswith("_")
        and value.__module__ == module.__name__
        and inspect.signature(value).return_annotation == "Working"
    ]


def test_no_sum_is_left_out() -> None:
    every = {one for module in MODULES for one in _own_sums(module)}
    assert {one.__qualname__ for one in every - set(REALISTIC) - OTHERWISE_TRIED} == set()


def _given(sum_of: Sum) -> st.SearchStrategy[Any]:
    found = REALISTIC[sum_of]
    return st.tuples(*found) if isinstance(found, tuple) else found


def _sound(told: Working) -> None:
    assert math.isfinite(told.value)
    if told.interval is not None:
        low, high = told.interval.low, told.interval.high
        assert math.isfinite(low)
        assert math.isfinite(high)
        slack = 1e-9 * max(abs(low), abs(high), 1e-300)
        assert low - slack <= told.value <= high + slack
    for one in told.inputs:
        values = one.value if isinstance(one.value, tuple) else (one.value,)
        assert all(isinstance(value, str) or math.isfinite(value) for value in values)


@BY_SUM
@settings(max_examples=5)
@given(data=st.data())
def test_realistic_figures_are_seldom_refused(sum_of: Sum, data: st.DataObject) -> None:
    drawn = data.draw(st.lists(_given(sum_of), min_size=20, max_size=20))
    refused = 0
    for given_ in drawn:
        try:
            told = sum_of(*given_)
        except Refusal:
            refused += 1
        else:
            _sound(told)
    assert refused <= 1


BAD = (math.nan, math.inf, -math.inf, 0.0, -0.0, -1.0, 1e-320, 1e-12, 1e12, 1e308)


@BY_SUM
@settings(max_examples=3)
@given(data=st.data())
def test_no_figure_is_ever_nan_or_endless(sum_of: Sum, data: st.DataObject) -> None:
    good = data.draw(_given(sum_of))
    for place, value in enumerate(good):
        if not isinstance(value, float):
            continue
        for bad in BAD:
            try:
                told = sum_of(*good[:place], bad, *good[place + 1 :])
            except Refusal:
                continue
            _sound(told)


@BY_SUM
@settings(max_examples=2)
@given(data=st.data())
def test_every_working_can_be_said(sum_of: Sum, data: st.DataObject) -> None:
    try:
        told = sum_of(*data.draw(_given(sum_of)))
    except Refusal:
        return
    words = said(told)
    assert words.title
    assert words.source
    assert words.formula
