"""Areas by rule, by formula and by piece."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hulllog.trade import areas
from hulllog.trade.refusal import Refusal

YACHTS = st.tuples(st.floats(5, 18), st.floats(0.28, 0.38), st.floats(0.15, 0.22)).map(
    lambda one: (one[0], one[0] * one[1], one[0] * one[1] * one[2])
)
LENGTH = st.floats(0.5, 20)


def test_owners_rules_by_hand() -> None:
    fin = areas.owners_rule("fin_keel", 8, 3, 1.6)
    assert fin.value == pytest.approx(18.4)
    assert fin.interval is not None
    assert fin.interval.high == pytest.approx(22.08)
    assert areas.owners_rule("long_keel", 7.5, 2.8, 1.4).value == pytest.approx(23.6, abs=0.05)
    with pytest.raises(Refusal, match="craft_unknown"):
        areas.owners_rule("submarine", 8, 3, 1.6)


@given(craft=st.sampled_from(sorted(areas.OWNERS_RULES)), yacht=YACHTS)
def test_owners_rules_always_show_their_spread(
    craft: str, yacht: tuple[float, float, float]
) -> None:
    told = areas.owners_rule(craft, *yacht)
    assert told.interval is not None
    assert told.interval.low < told.value < told.interval.high


@pytest.mark.parametrize(
    ("hull", "midship", "delft", "denny"),
    [
        ((6.0, 1.9, 0.30, 1.30), 0.70, 8.32, 7.39),
        ((7.5, 2.3, 0.42, 2.90), 0.72, 13.10, 12.26),
        ((9.0, 2.6, 0.50, 4.80), 0.73, 18.08, 17.25),
        ((10.0, 3.0, 0.55, 6.50), 0.70, 22.83, 21.17),
        ((12.0, 3.4, 0.60, 9.80), 0.72, 30.80, 28.57),
    ],
)
def test_invented_yachts(
    hull: tuple[float, float, float, float], midship: float, delft: float, denny: float
) -> None:
    length, _, draught, volume = hull
    assert areas.delft(*hull, midship).value == pytest.approx(delft, abs=0.005)
    assert areas.denny_mumford(length, draught, volume).value == pytest.approx(denny, abs=0.006)


@given(yacht=YACHTS, block=st.floats(0.35, 0.42))
def test_the_formulas_agree_on_a_yacht_within_a_fifth(
    yacht: tuple[float, float, float], block: float
) -> None:
    length, beam, draught = yacht
    volume = block * length * beam * draught
    found = [
        areas.delft(length, beam, draught, volume).value,
        areas.grubisic(length, beam, draught, volume).value,
        areas.denny_mumford(length, draught, volume).value,
    ]
    assert max(found) / min(found) < 1.25


@given(yacht=YACHTS, block=st.floats(0.35, 0.42), scale=st.floats(0.5, 2))
def test_areas_grow_with_the_square(
    yacht: tuple[float, float, float], block: float, scale: float
) -> None:
    length, beam, draught = yacht
    volume = block * length * beam * draught
    big = [scale * one for one in yacht]
    assert areas.delft(*big, scale**3 * volume).value == pytest.approx(
        scale**2 * areas.delft(*yacht, volume).value
    )
    assert areas.froude(big[0], scale**3 * volume).value == pytest.approx(
        scale**2 * areas.froude(length, volume).value
    )
    assert areas.taylor(big[0], scale**3 * volume).value == pytest.approx(
        scale**2 * areas.taylor(length, volume).value
    )


def test_a_hull_that_cannot_be() -> None:
    with pytest.raises(Refusal, match="out_of_range"):
        areas.delft(10, 3, 0.5, 20)
    with pytest.raises(Refusal, match="out_of_range"):
        areas.holtrop_mennen(10, 3, 0.5, 20, 0.8, 0.8)
    assert "outside_the_series" in areas.delft(10, 1.5, 0.4, 2.4).cautions


def test_displacement() -> None:
    assert areas.volume_of(6662.5).value == pytest.approx(6.5)


@given(span=LENGTH, root=LENGTH, tip=st.floats(0, 20))
def test_a_plate_has_two_sides(span: float, root: float, tip: float) -> None:
    side = areas.trapezium(span, root, tip).value
    if side <= 200:
        assert areas.foil(side).value == pytest.approx(2 * side)
        assert areas.foil(side, 0.15).value > 2 * side


@given(a=LENGTH)
def test_round_things_are_met(a: float) -> None:
    assert areas.bulb(a, a, a).value == pytest.approx(math.pi * a**2)
    assert areas.ellipse_girth(a, a).value == pytest.approx(math.pi * a)
    assert areas.half_ellipsoid(a, a, a / 2).value == pytest.approx(math.pi * a**2 / 2)


@given(length=st.floats(0.1, 20), diameter=st.floats(0.01, 5))
def test_a_straight_cone_is_a_cylinder(length: float, diameter: float) -> None:
    straight = areas.cone(diameter, diameter, length).value
    assert straight == pytest.approx(areas.cylinder(diameter, length).value)


def test_a_flat_cone_is_a_ring() -> None:
    flat = areas.cone(2, 1, 1e-9).value
    assert flat == pytest.approx(areas.disc(2).value - areas.disc(1).value)


def test_pieces_by_hand() -> None:
    assert areas.bulb(2.0, 0.5, 0.36).value == pytest.approx(2.169, abs=5e-4)
    assert areas.ellipse_girth(10, 3).value == pytest.approx(21.93, abs=0.01)
    assert areas.band_below_waterline(10, 3, 0.15).value == pytest.approx(3.289, abs=5e-3)
    assert areas.v_bottom(8, 2.5, 0).value == pytest.approx(18.0)


@given(deadrise=st.floats(0, 40))
def test_deeper_vs_have_more_skin(deadrise: float) -> None:
    assert areas.v_bottom(8, 2.5, deadrise + 5).value > areas.v_bottom(8, 2.5, deadrise).value


def test_two_hulls_are_two_parts() -> None:
    hull = areas.delft(10, 1.4, 0.5, 3.0, 0.75)
    both = areas.total([hull, hull])
    assert both.value == pytest.approx(2 * hull.value)
    assert both.interval is None
    keel = areas.owners_rule("fin_keel", 8, 3, 1.6)
    assert areas.total([hull, keel]).interval is not None


def test_the_spread_spans_all_rules() -> None:
    rules = [
        areas.owners_rule("fin_keel", 8, 3, 1.6),
        areas.by_length_and_beam(9, 3),
        areas.by_waterline_length(8),
    ]
    told = areas.spread(rules)
    assert told.interval is not None
    bounds = [one.interval for one in rules if one.interval]
    assert told.interval.low == min(one.low for one in bounds)
    assert told.interval.high == max(one.high for one in bounds)
    assert told.value == sorted(one.value for one in rules)[1]


def test_sums_of_nothing_or_of_other_things() -> None:
    with pytest.raises(Refusal, match="no_parts"):
        areas.total([])
    with pytest.raises(Refusal, match="not_an_area"):
        areas.spread([areas.volume_of(1000)])


def test_topsides_and_deck() -> None:
    assert areas.topsides(10, 3, 1).value == pytest.approx(26)
    assert areas.deck(10, 3).value == pytest.approx(22.5)
