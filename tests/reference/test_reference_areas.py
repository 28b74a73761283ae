"""Areas against papers, guides and exact geometry."""

from __future__ import annotations

import math

import numpy as np
from checks import agree, checked, same
from scipy.integrate import quad
from scipy.special import ellipe, ellipeinc, ellipkinc

from hulllog.trade import areas, pieces

FOOT = 0.3048
SQUARE_FOOT = FOOT**2
PAGE = "How much paint to use"
SAMPLE = "How much bottom paint do I need"
CALCULATIONS = "Paint calculations, boat paint guide"
PNA = "Principles of Naval Architecture"


@checked(areas.owners_rule, PAGE, "published", where="items 1 to 3")
def test_owners_rules_of_the_page() -> None:
    agree(areas.owners_rule("fin_keel", 8, 3, 1.6).value, 18.4)
    agree(areas.owners_rule("long_keel", 7.5, 2.8, 1.4).value, "23.6")
    agree(areas.owners_rule("bilge_keels", 10, 3, 1).value, 30.0)
    agree(areas.owners_rule("motor_boat", 10, 3, 1).value, 34.0)


@checked(areas.owners_rule, CALCULATIONS, "published", where="medium and deep keels")
def test_owners_rules_of_the_other_guide() -> None:
    agree(areas.owners_rule("medium_displacement", 10, 3, 1).value, 30.0)
    agree(areas.owners_rule("fin_keel", 10, 3, 1).value, 20.0)
    long = areas.owners_rule("long_keel", 10, 3, 1).interval
    assert long is not None
    agree(long.high, 40.0)


@checked(areas.owners_rule, "our own rule", "arithmetic", where="spread of 20 %")
@checked(areas.topsides, "our own rule", "arithmetic", where="spread of 20 %")
def test_spread_of_a_rule_by_hand() -> None:
    for told, figure in (
        (areas.owners_rule("motor_boat", 10, 3, 1), 34),
        (areas.topsides(10, 3, 1), 26),
    ):
        assert told.interval is not None
        agree(told.interval.low, 0.8 * figure)
        agree(told.interval.high, 1.2 * figure)


@checked(areas.owners_rule, "copper-epoxy guide, as an owners' forum has it", "from memory")
def test_the_higher_rule_for_fin_keels() -> None:
    told = areas.owners_rule("fin_keel", 10, 3, 1).interval
    assert told is not None
    agree(told.high, 24.0)


@checked(areas.topsides, PAGE, "published", where="item 4")
@checked(areas.deck, PAGE, "published", where="item 5")
def test_topsides_and_deck_of_the_page() -> None:
    agree(areas.topsides(10, 3, 1).value, (10 + 3) * (1 * 2.0))
    agree(areas.deck(10, 3).value, 10 * 3 * 0.75)


@checked(areas.topsides, CALCULATIONS, "published", where="freeboard")
@checked(areas.deck, CALCULATIONS, "published", where="decks")
def test_topsides_and_deck_of_the_other_guide() -> None:
    agree(areas.topsides(12.2, 3.9, 1.15).value, (12.2 + 3.9) * 1.15 * 2)
    agree(areas.deck(12.2, 3.9).value, 12.2 * 3.9 * 0.75)


@checked(areas.by_length_and_beam, SAMPLE, "published", where="30 by 10 ft is 255 ft²")
def test_length_and_beam_of_the_example() -> None:
    agree(areas.by_length_and_beam(30 * FOOT, 10 * FOOT).value / SQUARE_FOOT, 255.0)


@checked(areas.by_waterline_length, "boat paint table", "from memory", where="half the square")
def test_waterline_length_from_memory() -> None:
    agree(areas.by_waterline_length(8).value, 32.0)


@checked(areas.holtrop_mennen, "Holtrop and Mennen 1982", "published", where="section 5, example")
def test_holtrop_and_mennen() -> None:
    told = areas.holtrop_mennen(205, 32, 10, 37_500, 0.98, 0.75, 20)
    agree(told.value, "7381.45")


@checked(areas.holtrop_mennen, "Holtrop 1984", "published", where="example")
def test_holtrop() -> None:
    agree(areas.holtrop_mennen(50, 12, 3.2, 900, 0.78, 0.80).value, "584.9")


@checked(areas.denny_mumford, PNA, "published", where="volume II chapter 5, formula in feet")
def test_denny_and_mumford_in_feet() -> None:
    for length, draught, volume in ((30.0, 2.0, 250.0), (300.0, 18.0, 175_000.0)):
        theirs = 1.7 * length * draught + volume / draught
        metric = areas.denny_mumford(length * FOOT, draught * FOOT, volume * FOOT**3)
        agree(metric.value / SQUARE_FOOT, theirs)


@checked(areas.denny_mumford, "Reed's Naval Architecture", "from memory", where="5000 t, 95 m")
@checked(areas.taylor, "Reed's Naval Architecture", "from memory", where="5000 t, 95 m, c 2.6")
def test_the_ship_of_the_examination_book() -> None:
    agree(areas.denny_mumford(95, 5.5, 5000 / 1.025).value, 1775, rel=1e-3)
    agree(areas.taylor(95, 5000).value, 1792, rel=1e-3)


@checked(
    areas.taylor, "Rawson and Tupper, Basic Ship Theory", "published", where="volume 2, formula"
)
def test_taylor_of_the_textbook() -> None:
    for length, volume in ((10.0, 6.5), (95.0, 4878.0)):
        agree(areas.taylor(length, volume).value ** 2, 2.6**2 * length * volume)


@checked(areas.froude, "Froude", "from memory")
def test_froude_from_memory() -> None:
    agree(areas.froude(8.0, 8.0).value, 4.0 * (3.4 + 2.0))


@checked(
    areas.delft, "Keuning 1998", "published", where="equation 6, as five open programs have it"
)
def test_delft_of_the_report() -> None:
    for length, beam, draught, volume, midship in (
        (6.0, 1.9, 0.30, 1.30, 0.70),
        (10.0, 3.0, 0.55, 6.50, 0.70),
        (12.0, 3.4, 0.60, 9.80, 0.72),
    ):
        whole = math.exp((math.log(0.65) - math.log(midship)) / 3)
        theirs = (1.97 + 0.171 * beam / draught) * whole * (volume * length) ** 0.5
        agree(areas.delft(length, beam, draught, volume, midship).value, theirs)


@checked(areas.delft, "limits of the Delft series", "from memory", where="L/B and B/T")
def test_limits_of_the_series_from_memory() -> None:
    for length, beam, draught, outside in (
        (10, 3.72, 0.6, True),
        (10, 3.68, 0.6, False),
        (10, 1.98, 0.4, True),
        (10, 2.02, 0.4, False),
        (10, 2.4, 1.01, True),
        (10, 2.4, 0.995, False),
        (14.6, 3.9, 0.20, True),
        (14.6, 3.9, 0.202, False),
    ):
        told = areas.delft(length, beam, draught, 0.4 * length * beam * draught)
        same("outside_the_series" in told.cautions, outside)


@checked(areas.grubisic, "Grubisic 2012", "published", where="as an open program has it")
def test_grubisic_of_the_paper() -> None:
    ratio = 3.0 / 0.55
    theirs = (2.61 + ratio * (ratio - 0.244) / 81) * (10 * 6.5) ** 0.5
    agree(areas.grubisic(10, 3, 0.55, 6.5).value, theirs)


@checked(areas.volume_of, "Archimedes' principle", "arithmetic")
def test_displacement_by_hand() -> None:
    agree(areas.volume_of(10_250).value, 10.0)
    agree(areas.volume_of(10_000, 1000).value, 10.0)


def _aerofoil(thickness: float) -> float:
    """Return the length round a four-digit section of chord 1, its trailing edge closed."""
    x = (1 - np.cos(np.linspace(0, np.pi, 20_001))) / 2
    y = 0.2969 * np.sqrt(x) - 0.1260 * x - 0.3516 * x**2 + 0.2843 * x**3 - 0.1036 * x**4
    return float(2 * np.hypot(np.diff(x), np.diff(5 * thickness * y)).sum())


@checked(pieces.foil, "NASA TM 4741", "published", where="four-digit sections, 12 % thick")
def test_foil_round_its_section() -> None:
    agree(areas.foil(1.0, 0.12).value, _aerofoil(0.12), rel=2e-4)


@checked(pieces.foil, "gvpp geometry file", "data", where="keel and rudder of a cruising yacht")
def test_plates_of_the_geometry_file() -> None:
    agree(areas.foil(1.007).value, "2.014")
    agree(areas.foil(0.480).value, "0.960")


@checked(pieces.trapezium, "gvpp geometry file", "data", where="mean chord of the keel")
def test_mean_chord_of_the_geometry_file() -> None:
    agree(areas.trapezium(1.0, 1.197, 0.653).value, "0.925")


@checked(pieces.trapezium, "SciPy", "library", where="integrate.quad")
def test_trapezium_by_scipy() -> None:
    theirs = quad(lambda z: 1.4 + (0.6 - 1.4) * z / 1.7, 0, 1.7)[0]
    agree(areas.trapezium(1.7, 1.4, 0.6).value, theirs)


@checked(pieces.ellipse_girth, "SciPy", "library", where="special.ellipe")
def test_ellipse_by_scipy() -> None:
    for length, beam in ((10, 3), (8, 2.5), (12, 4)):
        theirs = 2 * length * ellipe(1 - (beam / length) ** 2)
        agree(areas.ellipse_girth(length, beam).value, theirs, rel=1e-6)


@checked(pieces.band_below_waterline, "SciPy", "library", where="special.ellipe")
def test_band_by_scipy() -> None:
    theirs = 0.15 * 2 * 10 * ellipe(1 - 0.3**2)
    agree(areas.band_below_waterline(10, 3, 0.15).value, theirs, rel=1e-6)


def _ellipsoid(a: float, b: float, c: float) -> float:
    """Return the surface of an ellipsoid of half axes a > b > c by elliptic integrals."""
    phi = math.acos(c / a)
    k = a**2 * (b**2 - c**2) / (b**2 * (a**2 - c**2))
    part = ellipeinc(phi, k) * math.sin(phi) ** 2 + ellipkinc(phi, k) * math.cos(phi) ** 2
    return float(2 * math.pi * (c**2 + a * b * part / math.sin(phi)))


@checked(pieces.bulb, "SciPy", "library", where="special, incomplete elliptic integrals")
def test_bulb_by_scipy() -> None:
    agree(areas.bulb(2, 0.5, 0.36).value, _ellipsoid(1, 0.25, 0.18), rel=3.4e-3)
    agree(areas.bulb(2, 1.2, 1.0).value, _ellipsoid(1, 0.6, 0.5), rel=2.1e-4)


@checked(pieces.half_ellipsoid, "SciPy", "library", where="special, incomplete elliptic integrals")
def test_half_ellipsoid_by_scipy() -> None:
    agree(areas.half_ellipsoid(8, 2.6, 0.5).value, _ellipsoid(4, 1.3, 0.5) / 2, rel=2.4e-3)
    agree(areas.half_ellipsoid(2, 1.2, 0.5).value, _ellipsoid(1, 0.6, 0.5) / 2, rel=2.1e-4)


@checked(pieces.cylinder, "SciPy", "library", where="integrate.quad")
@checked(pieces.disc, "SciPy", "library", where="integrate.quad")
@checked(pieces.cone, "SciPy", "library", where="integrate.quad")
def test_round_pieces_by_scipy() -> None:
    agree(areas.cylinder(0.04, 2).value, quad(lambda _: math.pi * 0.04, 0, 2)[0])
    agree(areas.disc(0.3).value, quad(lambda r: 2 * math.pi * r, 0, 0.15)[0])
    slant = math.hypot(0.5, 0.1)
    theirs = quad(lambda s: 2 * math.pi * (0.15 - 0.1 * s / slant), 0, slant)[0]
    agree(areas.cone(0.3, 0.1, 0.5).value, theirs)


@checked(pieces.v_bottom, "our own rule", "arithmetic")
def test_v_bottom_by_hand() -> None:
    agree(areas.v_bottom(8, 2.5, 0).value, 0.9 * 8 * 2.5)
    agree(areas.v_bottom(8, 2.5, 60 / 4, 0.1, 2.2, 1.0).value, 20 / math.cos(math.pi / 12) + 1.82)


@checked(areas.total, "definition", "arithmetic")
@checked(areas.spread, "our own rule", "arithmetic")
def test_sums_by_hand() -> None:
    parts = [areas.deck(10, 3), areas.topsides(10, 3, 1), areas.by_waterline_length(8)]
    agree(areas.total(parts).value, 22.5 + 26 + 32)
    agree(areas.spread(parts).value, 26.0)
