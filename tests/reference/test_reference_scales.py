"""Scales, notations, conversions and fouling against the standards' own tables."""

from __future__ import annotations

import math

from checks import agree, checked, same

from hulllog.trade import counts, fouling, scales
from hulllog.trade.refusal import Refusal

D610 = "ASTM D610-08"
TESTER = "ISO 2409 and ASTM D3359, classes of the cross-cut"
NAVY = "Naval Ships' Technical Manual, Chapter 081"

RUSTED = {
    "10": (0, 0.01),
    "9": (0.01, 0.03),
    "8": (0.03, 0.1),
    "7": (0.1, 0.3),
    "6": (0.3, 1.0),
    "5": (1.0, 3.0),
    "4": (3.0, 10.0),
    "3": (10.0, 16.0),
    "2": (16.0, 33.0),
    "1": (33.0, 50.0),
    "0": (50.0, 100.0),
}
"""Grade -> percent of surface rusted: greater than, and up to."""


@checked(scales.grade_of, D610, "published", where="Table 1")
def test_rust_grades_at_both_ends_of_every_row() -> None:
    for grade, (above, up_to) in RUSTED.items():
        same(scales.grade_of("astm-d610-2008", "grade", up_to).grade, grade)
        same(scales.grade_of("astm-d610-2008", "grade", above * 1.002 + 1e-6).grade, grade)


@checked(scales.band_of, D610, "published", where="Table 1")
def test_bands_of_rust_grades() -> None:
    for grade, (above, up_to) in RUSTED.items():
        band = scales.band_of("astm-d610-2008", "grade", grade)
        agree(band.low, float(above))
        agree(band.high, float(up_to))
        same(band.low_in, above == 0)


@checked(scales.d610_line, D610, "published", where="Table 1, ends of grades 10, 8, 6 and 4")
def test_the_line_meets_the_table_at_even_grades() -> None:
    for grade in ("10", "8", "6", "4"):
        agree(scales.d610_line(RUSTED[grade][1]).value, float(grade))


@checked(scales.d610_line, D610, "arithmetic", where="exponential from 10 to 4, 100 % at 0")
def test_the_continuous_line() -> None:
    for percent, figure in {0.01: "10", 0.3: "7.05", 1: "6", 3: "5.05", 10: "4"}.items():
        agree(scales.d610_line(percent).value, float(figure), abs_=0.005)
    for percent, figure in {16: 3.18, 33: 1.93, 50: 1.20}.items():
        agree(scales.d610_line(percent).value, figure, abs_=0.006)
    agree(scales.d610_line(10.05).value, 8 - 4 * math.log10(10.05))
    agree(scales.d610_line(9.95).value, 6 - 2 * math.log10(9.95))


@checked(scales.grade_of, TESTER, "published", where="as a tester manual gives them")
def test_cross_cut_classes_of_iso() -> None:
    for figure, grade in {0: "0", 5: "1", 15: "2", 35: "3", 65: "4"}.items():
        same(scales.grade_of("iso-2409", "class", figure).grade, grade)
        same(scales.grade_of("iso-2409", "class", figure + 0.04).grade, str(int(grade) + 1))


@checked(scales.cross_cut_class, TESTER, "published", where="as a tester manual gives them")
def test_cross_cut_classes_of_astm() -> None:
    for figure, grade in {0: "5B", 4.99: "4B", 5: "3B", 15: "3B", 35: "2B", 65: "1B"}.items():
        same(scales.cross_cut_class(figure).grade, grade)
    for figure, grade in {15.1: "2B", 35.1: "1B", 65.1: "0B"}.items():
        same(scales.cross_cut_class(figure).grade, grade)


@checked(scales.band_of, "ISO 4628-3, areas", "from memory")
@checked(scales.band_of, "ISO 4628-5, Table 1", "from memory")
@checked(scales.band_of, "ASTM G46-94", "from memory", where="Fig. 2")
def test_nominal_figures_of_the_pictures() -> None:
    for kind, component, figures in (
        ("iso-4628-3-2016", "rust", {"1": 0.05, "2": 0.5, "3": 1, "4": 8, "5": 40}),
        ("iso-4628-5-2016", "quantity", {"1": 0.1, "2": 0.3, "3": 1, "4": 3, "5": 15}),
        ("astm-g46", "density", {"A-1": 2.5e3, "A-2": 1e4, "A-3": 5e4, "A-4": 1e5, "A-5": 5e5}),
        ("astm-g46", "size", {"B-1": 0.5, "B-2": 2, "B-3": 8, "B-4": 12.5, "B-5": 24.5}),
        ("astm-g46", "depth", {"C-1": 0.4, "C-2": 0.8, "C-3": 1.6, "C-4": 3.2, "C-5": 6.4}),
    ):
        for grade, figure in figures.items():
            nominal = scales.band_of(kind, component, grade).nominal
            assert nominal is not None
            agree(nominal[0], float(figure))
            agree(nominal[1], 50.0 if figure == 40 else float(figure))


@checked(scales.band_of, "European scale of degree of rusting", "from memory")
def test_areas_of_the_european_pictures() -> None:
    areas = ((0.05, 0.05), (0.5, 0.5), (1, 1), (3, 3), (8, 8), (15, 20), (40, 50), (75, 85))
    for grade, (low, high) in enumerate((*areas, (95, 95)), 1):
        nominal = scales.band_of("european-rust", "rust", str(grade)).nominal
        assert nominal is not None
        agree(nominal[0], float(low))
        agree(nominal[1], float(high))


@checked(scales.grade_of, "ISO 4628-5, Table 2", "from memory")
def test_sizes_of_flakes() -> None:
    for size, up_to in {"S1": 1, "S2": 3, "S3": 10, "S4": 30}.items():
        same(scales.grade_of("iso-4628-5-2016", "size", up_to).grade, size)
        same(
            scales.grade_of("iso-4628-5-2016", "size", up_to * 1.001).grade, f"S{int(size[1]) + 1}"
        )


LEVELS = "Level of fouling table, Bay of Plenty Regional Council"


@checked(scales.fouling_level, LEVELS, "published")
@checked(scales.grade_of, LEVELS, "published")
def test_levels_of_fouling_by_cover() -> None:
    for level, (low, high) in {"2": (1, 5), "3": (6, 15), "4": (16, 40), "5": (41, 100)}.items():
        for cover in (low, high):
            same(scales.fouling_level(cover, slime=True).grade, level)
            same(scales.grade_of("level-of-fouling", "level", cover).grade, level)
    for above, level in ((5.04, "3"), (15.1, "4"), (40.3, "5")):
        same(scales.fouling_level(above, slime=False).grade, level)
        same(scales.grade_of("level-of-fouling", "level", above).grade, level)
    same(scales.fouling_level(0, slime=True).grade, "1")
    same(scales.fouling_level(0, slime=False).grade, "0")


@checked(scales.band_of, "Level of fouling summary, Northland Regional Council", "published")
def test_light_fouling_is_level_two_up_to_five_percent() -> None:
    agree(scales.band_of("level-of-fouling", "level", "2").high, 5.0)


@checked(scales.imo_fouling, "IMO MEPC.378(80)", "from memory")
def test_imo_fouling_rating() -> None:
    for rating, (low, high) in {"2": (1, 15), "3": (16, 40), "4": (41, 100)}.items():
        same(scales.imo_fouling(low, slime=True).grade, rating)
        same(scales.imo_fouling(high, slime=True).grade, rating)
    same(scales.imo_fouling(15.1, slime=True).grade, "3")
    same(scales.imo_fouling(40.3, slime=True).grade, "4")
    same(scales.imo_fouling(0, slime=True).grade, "1")


@checked(scales.imo_coating, "IMO MSC.1/Circ.1330", "published", where="4.1, Table 1")
def test_good_fair_and_poor() -> None:
    for figures, grade in (
        ((2.99, 0, 0), "good"),
        ((3, 0, 0), "fair"),
        ((20, 0, 0), "fair"),
        ((20.1, 0, 0), "poor"),
        ((0, 9.99, 0), "fair"),
        ((0, 10, 0), "poor"),
        ((0, 0, 19.9), "good"),
        ((0, 0, 20), "fair"),
        ((0, 0, 50), "fair"),
        ((0, 0, 50.3), "poor"),
    ):
        same(scales.imo_coating(*figures).grade, grade)


@checked(fouling.navy_rating, NAVY, "published", where="Table 081-1-1, as an open program has it")
def test_fouling_ratings_of_the_navy() -> None:
    for forms, largest, more, rating in (
        ([], 0, {}, "0"),
        (["light_slime"], 0, {}, "10"),
        (["slime"], 0, {}, "20"),
        (["grass"], 0, {"grass_length": 76.2}, "30"),
        (["soft_animals"], 6.4, {}, "30"),
        (["tubeworms"], 6.39, {}, "40"),
        (["barnacles"], 6.39, {}, "50"),
        (["tubeworms", "barnacles"], 6.39, {}, "60"),
        (["tubeworms", "barnacles"], 6.41, {}, "70"),
        (["tubeworms", "barnacles"], 6.4, {"crowded": True}, "80"),
        (["tubeworms", "barnacles"], 6.41, {"crowded": True}, "90"),
        (["tubeworms", "barnacles", "tunicates"], 6.41, {}, "100"),
    ):
        same(fouling.navy_rating(forms, largest, **more).grade, rating)
    for length in (76.21, 100.0):
        try:
            fouling.navy_rating(["grass"], grass_length=length)
        except Refusal as refusal:
            same(refusal.code, "not_on_scale")
        else:
            raise AssertionError(length)


SCHULTZ = "Schultz, Biofouling 23 (2007)"


@checked(fouling.reference_ship_power, SCHULTZ, "published", where="abstract")
def test_the_heaviest_fouling_of_the_frigate() -> None:
    agree(fouling.reference_ship_power("100", 15).value, "86")


@checked(fouling.reference_ship_power, "Schultz, Biofouling 23 (2007), table", "from memory")
def test_the_table_of_the_frigate() -> None:
    for rating, at_15, at_30 in (
        ("10", "11", "10"),
        ("20", "11", "10"),
        ("30", "21", "16"),
        ("40", "35", "26"),
        ("50", "35", "26"),
        ("60", "35", "26"),
        ("70", "54", "38"),
        ("80", "54", "38"),
        ("90", "86", "59"),
        ("100", "86", "59"),
    ):
        agree(fouling.reference_ship_power(rating, 15).value, float(at_15))
        agree(fouling.reference_ship_power(rating, 30).value, float(at_30))


@checked(counts.beside_scribe, "ISO 4628-8:2012", "from memory")
def test_delamination_beside_a_scratch() -> None:
    agree(counts.beside_scribe(9.0, 1.0).value, 4.0)


@checked(counts.cover, "SciPy", "library", where="integrate.quad")
def test_round_blisters_by_scipy() -> None:
    from scipy.integrate import quad

    each = quad(lambda r: 2 * math.pi * r, 0, 0.006)[0]
    agree(counts.cover(40, 12.0, 0.8).value, 100 * 40 * each / 0.8)


@checked(counts.density, "definition", "arithmetic")
@checked(counts.cover, "geometry", "arithmetic")
def test_blisters_on_a_patch() -> None:
    agree(counts.density(25, 0.01).value, 2500.0)
    agree(counts.cover(100, 10.0, 1.0).value, 0.7853981633974483)
