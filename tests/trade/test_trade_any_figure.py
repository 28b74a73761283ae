"""Any figures at all: a finite answer or a stated refusal, nothing else."""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Callable

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hulllog.trade import (
    change,
    corrosionrates,
    counts,
    fouling,
    pits,
    plates,
    scales,
    trend,
    units,
)
from hulllog.trade.refusal import Refusal
from hulllog.trade.scaletables import TABLES

ANY = st.one_of(
    st.floats(),
    st.floats(0, 200),
    st.sampled_from([0.0, 5e-324, 1e-300, 1e308, -1e308, -1.0, 1.0, 100.0, math.nan, math.inf]),
)
LISTS = st.lists(ANY, max_size=9)
FITTED = pits.Gumbel(1.5, 0.3, 8)

OF_FIGURES: list[tuple[Callable[..., object], int]] = [
    (plates.wastage, 2),
    (plates.long_term_rate, 3),
    (plates.short_term_rate, 3),
    (plates.half_life, 1),
    (plates.pit_share, 2),
    (plates.left_under_pit, 2),
    (plates.pitting_intensity, 2),
    (plates.equivalent_thickness, 3),
    (plates.ship_pit_depth, 1),
    (plates.inland_minimum, 3),
    (pits.average_penetration, 3),
    (pits.pitting_factor, 2),
    (pits.pitting_probability, 2),
    (pits.depth_later, 4),
    (counts.density, 2),
    (counts.cover, 3),
    (counts.beside_scribe, 2),
    (counts.to_reference, 2),
    (corrosionrates.rate_from_mass, 4),
    (corrosionrates.rate_from_mdd, 2),
    (corrosionrates.rate_from_current, 3),
    (scales.imo_coating, 3),
    (scales.cross_cut_class, 1),
    (scales.d610_line, 1),
    (lambda cover: scales.fouling_level(cover, slime=True), 1),
    (lambda cover: scales.imo_fouling(cover, slime=False), 1),
    (lambda size, length: fouling.navy_rating(["grass"], size, grass_length=length), 2),
    (lambda ratio, share: pits.deepest_over(FITTED, ratio, share), 2),
    (lambda wall, ratio: pits.no_deeper(FITTED, wall, ratio), 2),
    (lambda depth, k, n: pits.age_at_depth(pits.Growth(abs(k) or 1.0, n), depth), 3),
    (lambda one, other: change.two_visits("laminate-blisters", "count", one, other), 2),
    (lambda one, other: change.two_visits("plate-thickness", "thickness", one, other), 2),
    (lambda one, s: change.two_visits("moisture", "reading", one, 12.0, s), 2),
    (lambda number: units.to_si(number, "degF"), 1),
    (lambda number: units.convert(number, "nmi", "um"), 1),
    (lambda number: units.from_si(number, "um/month"), 1),
]
OF_SERIES: list[Callable[..., object]] = [
    lambda one, other: trend.of(one[: len(other)], other[: len(one)]),
    lambda one, _other: trend.of_grades(one),
    trend.theil_sen,
    lambda one, _other: trend.benjamini_hochberg(one),
    lambda one, other: trend.forecast("plate-thickness", "thickness", one, other, 2030),
    lambda one, other: pits.growth(one[: len(other)], other[: len(one)]),
    lambda one, _other: pits.gumbel_by_plot(one),
    lambda one, _other: pits.gumbel_by_likelihood(one),
    lambda one, _other: pits.ten_deepest(one),
    lambda one, _other: plates.remaining_life(5.0, 4.0, one),
]


def figures(value: object) -> list[float]:
    if isinstance(value, (int, float)) and not isinstance(value, bool):
        return [float(value)]
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        parts = [getattr(value, field.name) for field in dataclasses.fields(value)]
        return [number for part in parts for number in figures(part)]
    if isinstance(value, (list, tuple)):
        return [number for part in value for number in figures(part)]
    return []


def answered_or_refused(sum_: Callable[..., object], *given_: object) -> None:
    try:
        result = sum_(*given_)
    except Refusal:
        return
    assert all(map(math.isfinite, figures(result))), result


@pytest.mark.parametrize(("sum_", "n"), OF_FIGURES)
@settings(max_examples=60, deadline=None)
@given(data=st.data())
def test_any_figures(sum_: Callable[..., object], n: int, data: st.DataObject) -> None:
    answered_or_refused(sum_, *(data.draw(ANY) for _ in range(n)))


@pytest.mark.parametrize("sum_", OF_SERIES)
@settings(max_examples=60, deadline=None)
@given(one=LISTS, other=LISTS)
def test_any_series(sum_: Callable[..., object], one: list[float], other: list[float]) -> None:
    answered_or_refused(sum_, one, other)


@pytest.mark.parametrize("key", sorted(TABLES))
@settings(max_examples=40, deadline=None)
@given(figure=ANY)
def test_any_figure_on_any_scale(key: tuple[str, str], figure: float) -> None:
    answered_or_refused(lambda one: scales.grade_of(*key, one), figure)
