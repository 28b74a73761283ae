"""Potentials beside quoted ranges, and what two design methods ask for."""

from __future__ import annotations

import pytest

from hulllog.drawing.potentialviews import beside_lines, over_text, potential_scene, read_text
from hulllog.insight.potentials import potentials_seen
from hulllog.insight.protecting import METAL_HULLS, metal_here, methods
from hulllog.records.operations import afloat, berths, vessel
from hulllog.trade.refusal import Refusal


def boat(logbook, material):
    vessel.create_vessel(
        logbook, name="Case", kind="yacht", material=material, keel="fin",
        length="11 m", beam="3.4 m", draught="1.8 m",
    )  # fmt: skip


def read(logbook, value, day="2024-06-01", **conditions):
    about = {"electrode": "ag_agcl", "shore_power": "none", "water": "salt"} | conditions
    known = {name: code for name, code in about.items() if code}
    afloat.look_afloat(logbook, kind="diver", begins=day, potential=value, conditions=known)
    with logbook.read() as book:
        return potentials_seen(book)


@pytest.mark.parametrize(
    ("material", "value", "standing", "over"),
    [
        ("steel", "-920", "within", False),
        ("aluminium", "-1150", "more_negative", True),
        ("aluminium", "-1000", "within", False),
        ("grp", "-450", "less_negative", False),
        ("grp", "-1200", "more_negative", False),
        ("wood", "-750", "more_negative", True),
    ],
)
def test_a_reading_stands_beside_its_range_and_harm_is_told(
    logbook, material, value, standing, over
):
    boat(logbook, material)
    (seen,) = read(logbook, f"{value} mV")
    assert seen.beside[0].standing == standing
    assert seen.over is over
    assert bool(over_text(seen)) is over
    assert "alkali" in over_text(seen) or not over


def test_nothing_is_judged_in_fresh_water_also_where_only_the_berth_tells_it(logbook):
    boat(logbook, "aluminium")
    berths.add_berth_period(logbook, begins="2024-01-01", location="Lake", water="fresh")
    (seen,) = read(logbook, "-1300 mV", water="")
    assert (seen.water, seen.beside, seen.over) == ("fresh", (), False)
    assert seen.why_not == "no_range_in_fresh_water"
    assert "nothing is said" in beside_lines(seen)[0]
    drawn = potential_scene([seen], 90, 45)
    assert drawn.regions


def test_another_electrode_is_referred_or_nothing_is_said(logbook):
    boat(logbook, "steel")
    seen = read(logbook, "250 mV", electrode="zinc")
    assert seen[0].referred.value == pytest.approx(-0.80)
    assert seen[0].beside[0].standing == "less_negative"
    seen = read(logbook, "-850 mV", day="2024-07-01", electrode="calomel")
    assert (seen[1].referred, seen[1].why_not) == (None, "electrode_unknown")


def test_the_text_names_electrode_water_and_shore_power(logbook):
    boat(logbook, "grp")
    (seen,) = read(logbook, "-610 mV", shore_power="plugged_with_isolator")
    told = read_text(seen)
    for word in ("silver chloride in sea water", "salt", "isolator"):
        assert word in told


def test_two_methods_are_shown_apart_with_their_spread(logbook):
    boat(logbook, "steel")
    with logbook.read() as book:
        here = metal_here(book)
    assert here.coated
    told = methods(45.0, "zinc", here, 1.5)
    dnv, ship = told.dnv[1].value, told.ship[1]
    assert dnv == pytest.approx(45 * 0.1 * (0.02 + 0.012 * 0.75) * 1.5 * 8760 / (780 * 0.8))
    assert ship.interval.low == pytest.approx(45 * 0.015 * 1.5 * 8760 / (780 * 0.8))
    assert told.spread.interval.low == pytest.approx(min(dnv, ship.interval.low))
    assert told.spread.interval.high == pytest.approx(max(dnv, ship.interval.high))
    assert told.apart > 2


def test_bare_fittings_take_the_figures_of_bare_metal(logbook):
    boat(logbook, "grp")
    with logbook.read() as book:
        here = metal_here(book)
    assert (here.coated, here.area) == (False, None)
    told = methods(0.2, "zinc", here)
    assert told.dnv[0].value == pytest.approx(0.020)
    assert told.dnv[1].value == pytest.approx(0.2808, abs=1e-4)
    assert told.ship[1].interval.low > told.dnv[1].value


def test_a_wooden_hull_is_told_no_mass(logbook):
    boat(logbook, "wood")
    with logbook.read() as book:
        here = metal_here(book)
    with pytest.raises(Refusal, match="not_for_wood"):
        methods(0.2, "zinc", here)
    assert "wood" not in METAL_HULLS
