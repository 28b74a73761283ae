"""What standards and guides say in words and letters: verdicts and notations, each with its source.

No figure of theirs is worked out here, so none of these stands among the checks of figures.
"""

from __future__ import annotations

import pytest

from hulllog.trade import compatibility, conversions, notation, units, waters, windows
from hulllog.trade.refusal import Refusal


def read(text: str, kind: str) -> dict[str, str]:
    return dict(notation.parse(text, kind).grades)


def refused(text: str, kind: str) -> str:
    with pytest.raises(Refusal) as caught:
        notation.parse(text, kind)
    return caught.value.code


def test_rust_letters_stand_at_nine_to_one_only() -> None:
    """ASTM D610-08, Table 1 and rust distribution types."""
    for grade in range(1, 10):
        for letter in "SGPH":
            found = read(f"{grade}-{letter}", "astm-d610-2008")
            assert found == {"grade": str(grade), "distribution": letter}
    assert refused("10-S", "astm-d610-2008") == "no_letter_at_grade"
    assert refused("0-G", "astm-d610-2008") == "no_letter_at_grade"
    assert refused("5-X", "astm-d610-2008") == "letter_not_on_scale"


def test_blister_sizes_ten_to_two_and_four_frequencies() -> None:
    """ASTM D714-02, reference standards."""
    for size in (8, 6, 4, 2):
        for frequency in ("F", "M", "MD", "D"):
            found = read(f"{size}{frequency}", "astm-d714-2002")
            assert found == {"size": str(size), "frequency": frequency}
    assert read("10", "astm-d714-2002") == {"size": "10"}
    assert refused("11F", "astm-d714-2002") == "grade_not_on_scale"


def test_no_intermediate_adhesion_ratings() -> None:
    """ASTM D3359-23, significance and use."""
    assert refused("3.5B", "astm-d3359") == "no_half_steps"
    assert read("3B", "astm-d3359") == {"cross_cut": "3B"}


def test_numbers_nought_to_five_with_half_steps() -> None:
    """ISO 4628-1:2016, rating scheme."""
    for half in range(11):
        assert read(f"{half / 2:g}", "iso-4628-6-2011") == {"chalking": f"{half / 2:g}"}
    assert refused("5.5", "iso-4628-6-2011") == "no_half_steps"
    assert refused("6", "iso-4628-6-2011") == "grade_not_on_scale"


def test_the_sixteen_pictures_of_blistering() -> None:
    """ISO 4628-2:2016, Figures 1 to 4."""
    for quantity in range(2, 6):
        for size in range(2, 6):
            found = read(f"{quantity}(S{size})", "iso-4628-2-2016")
            assert found == {"quantity": str(quantity), "size": f"S{size}"}


def test_flaking_has_two_depths() -> None:
    """ISO 4628-5:2016, depth of flaking."""
    assert read("3(S3)a", "iso-4628-5-2016")["depth"] == "a"
    assert read("3(S3)b", "iso-4628-5-2016")["depth"] == "b"
    assert refused("3(S3)c", "iso-4628-5-2016") == "letter_not_on_scale"


def test_cracking_is_told_by_quantity_size_and_depth() -> None:
    """ISO 4628-4:2003, quantity, size and depth."""
    found = read("2(S3)b", "iso-4628-4-2016")
    assert found == {"quantity": "2", "size": "S3", "depth": "b"}


def test_cross_cut_classes_stand_side_by_side() -> None:
    """ISO 2409 and ASTM D3359, as a tester manual gives their classes."""
    for iso in range(6):
        found = conversions.convert("iso-2409", {"class": str(iso)}, "astm-d3359")
        assert found.grades == {"cross_cut": f"{5 - iso}B"}
        back = conversions.convert("astm-d3359", {"cross_cut": f"{5 - iso}B"}, "iso-2409")
        assert back.grades == {"class": str(iso)}


def test_rust_pictures_against_the_older_scales() -> None:
    """ISO 4628-3, Annex B, from memory."""
    for ri, re in zip("012345", "012357", strict=True):
        found = conversions.convert("iso-4628-3-2016", {"rust": ri}, "european-rust")
        assert found.grades == {"rust": re}
    for ri, by_band in zip("012345", ("10", "8", "6", "6", "4", "1"), strict=True):
        found = conversions.convert("iso-4628-3-2016", {"rust": ri}, "astm-d610-2008")
        assert found.grades == {"grade": by_band}


def test_blisters_of_both_standards() -> None:
    """ISO 4628-2, correlation with ASTM D714, from memory."""
    for d714, iso in {"8F": "2(S2)", "6M": "3(S3)", "4MD": "4(S4)", "2D": "5(S5)"}.items():
        given = notation.parse(d714, "astm-d714-2002").grades
        found = conversions.convert("astm-d714-2002", given, "iso-4628-2-2016")
        assert notation.write("iso-4628-2-2016", found.grades) == iso


def test_the_decimal_marker_is_a_point_or_a_comma() -> None:
    """SI Brochure, 9th edition, 5.4.4."""
    for printed, value in {
        "43 279.168 29": "43279.16829",
        "43\u202f279,168\u202f29": "43279.16829",
        "-0.234": "-0.234",
        "3279.1683": "3279.1683",
    }.items():
        assert str(units.read_number(printed)) == value


def test_numbers_as_a_standards_body_prints_them() -> None:
    """ETSI drafting rules, numerical values."""
    for printed, value in {
        "23\u00a0456": "23456",
        "2\u00a0345": "2345",
        "0,001": "0.001",
        "2,345 6": "2.3456",
        "2,345 67": "2.34567",
    }.items():
        assert str(units.read_number(printed)) == value


def test_an_unknown_old_antifouling_gets_a_barrier_coat() -> None:
    """A surveyor's page on antifouling compatibility."""
    for new in ("soft_antifouling", "ablative_antifouling", "hard_antifouling"):
        assert compatibility.compatible("unknown", new).treatment == "tie_coat"


def test_no_two_pack_over_a_one_pack_film() -> None:
    """A yacht coating guide, Examine existing coatings."""
    for old in ("soft_antifouling", "hard_antifouling", "vinyl_antifouling"):
        for new in ("copper_epoxy", "silicone"):
            assert compatibility.compatible(old, new, sound=True).treatment == "remove"


def test_no_copper_on_aluminium_craft() -> None:
    """Rules for high speed and light craft, Section 3, 303."""
    for copper in ("cuprous_oxide", "metallic_copper"):
        told = compatibility.copper_near_aluminium(copper, "aluminium", "jet", barrier_intact=True)
        assert told.verdict == "never_planned"


def test_the_other_view_of_copper_oxide_is_told() -> None:
    """Bagley et al., Ocean Engineering 109 (2015) 595-602."""
    told = compatibility.copper_near_aluminium("cuprous_oxide", "aluminium")
    assert "study_saw_no_harm_from_oxide" in [one.code for one in told.reasons]


def test_magnesium_is_for_fresh_water() -> None:
    """Boating associations on anodes by water, from memory."""
    assert waters.metal_in_water("magnesium", "salt").choice == "unsuited"
    assert waters.metal_in_water("magnesium", "fresh").choice == "first"


def test_a_wait_is_judged_by_the_ends_of_the_window() -> None:
    """The definition of a window: both ends are inside."""
    times = windows.window([windows.WindowRow(20, 4, 24)], 20, 20)
    for hours, where in ((3.98, "too_early"), (4, "inside"), (24, "inside"), (24.1, "too_late")):
        assert windows.position(hours, times) == where
