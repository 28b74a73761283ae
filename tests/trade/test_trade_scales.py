"""Figures into grades by the tables, grades back into bands, never into one figure."""

from __future__ import annotations

import itertools
import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hulllog.trade import kinds, scales
from hulllog.trade.refusal import Refusal
from hulllog.trade.scaletables import TABLES

QUICK = settings(max_examples=80, deadline=None)
KEYS = st.sampled_from(sorted(TABLES))


def grade(kind: str, component: str, figure: float) -> str:
    return scales.grade_of(kind, component, figure).grade


@pytest.mark.parametrize(
    ("area", "wanted"),
    [
        (0, "10"),
        (0.01, "10"),
        (0.0101, "9"),
        (0.3, "7"),
        (1.0, "6"),
        (1.01, "5"),
        (16.0, "3"),
        (33.0, "2"),
        (50.0, "1"),
        (50.1, "0"),
        (100, "0"),
    ],
)
def test_rusted_area_gives_its_grade(area: float, wanted: str) -> None:
    assert grade("astm-d610-2008", "grade", area) == wanted


def test_a_limit_that_is_no_exact_float_is_still_met() -> None:
    assert grade("astm-d610-2008", "grade", 100 * 0.003) == "7"
    assert grade("astm-d610-2008", "grade", 0.1 + 0.2) == "7"


@pytest.mark.parametrize(
    ("area", "wanted"),
    [
        (0, "0"),
        (0.001, "1"),
        (0.157, "1"),
        (0.159, "2"),
        (0.3, "2"),
        (0.71, "3"),
        (2.9, "4"),
        (18.9, "4"),
        (19.0, "5"),
        (100, "5"),
    ],
)
def test_an_area_takes_the_nearest_picture_and_says_the_rule_is_ours(
    area: float, wanted: str
) -> None:
    found = scales.grade_of("iso-4628-3-2016", "rust", area)
    assert found.grade == wanted
    assert found.approximate
    assert found.source.tag == "our own rule"


def test_a_table_with_limits_is_not_called_approximate() -> None:
    found = scales.grade_of("astm-d610-2008", "grade", 0.5)
    assert not found.approximate
    assert found.source.title == "ASTM D610-08, Table 1"


@QUICK
@given(KEYS, st.floats(0, 1), st.data())
def test_a_figure_lies_in_the_band_of_its_grade(
    key: tuple[str, str], share: float, data: st.DataObject
) -> None:
    table = TABLES[key]
    figure = share * data.draw(st.sampled_from([table.most, 100.0, 1.0]))
    found = scales.grade_of(*key, min(figure, table.most))
    band = scales.band_of(*key, found.grade)
    value = min(figure, table.most)
    assert band.holds(value) or math.isclose(value, band.low) or math.isclose(value, band.high)


@QUICK
@given(KEYS, st.floats(0, 1), st.floats(0, 1))
def test_more_is_never_a_better_grade(key: tuple[str, str], one: float, other: float) -> None:
    part = kinds.component(*key)
    assert part is not None
    low, high = sorted(share**4 * TABLES[key].most for share in (one, other))
    places = [part.position(grade(*key, figure)) for figure in (low, high)]
    assert None not in places
    assert places[0] <= places[1]


@pytest.mark.parametrize("key", sorted(TABLES))
def test_bands_meet_without_gap_or_overlap(key: tuple[str, str]) -> None:
    table = TABLES[key]
    grades = table.grades if getattr(table, "below", None) is None else ("isolated", *table.grades)
    bands = [scales.band_of(*key, one) for one in grades]
    for one, after in itertools.pairwise(bands):
        assert one.high == after.low
        assert one.high_in != after.low_in
    assert bands[0].low == 0
    assert bands[-1].high == table.most


def test_the_band_of_a_picture_names_the_area_of_the_picture() -> None:
    assert scales.band_of("iso-4628-3-2016", "rust", "4").nominal == (8, 8)
    assert scales.band_of("iso-4628-3-2016", "rust", "5").nominal == (40, 50)


@pytest.mark.parametrize(
    ("kind", "component", "asked", "code"),
    [
        ("iso-4628-3-2016", "rust", "2.5", "no_area_for_half_step"),
        ("iso-4628-3-2016", "rust", "6", "grade_unknown"),
        ("astm-d714-2002", "size", "6", "no_table"),
        ("iso-4628-2-2016", "quantity", "2", "no_table"),
        ("iso-4628-5-2016", "size", "S0", "no_table"),
        ("nowhere", "size", "6", "kind_unknown"),
    ],
)
def test_a_grade_without_an_area_is_refused(
    kind: str, component: str, asked: str, code: str
) -> None:
    with pytest.raises(Refusal) as caught:
        scales.band_of(kind, component, asked)
    assert caught.value.code == code


def test_blisters_in_pictures_get_no_grade_from_a_number() -> None:
    with pytest.raises(Refusal) as caught:
        scales.grade_of("astm-d714-2002", "frequency", 12.0)
    assert caught.value.code == "no_table"


@pytest.mark.parametrize("area", [-0.1, 100.1, math.nan, math.inf])
def test_an_area_is_a_percentage(area: float) -> None:
    for kind, component in (("astm-d610-2008", "grade"), ("iso-4628-3-2016", "rust")):
        with pytest.raises(Refusal) as caught:
            scales.grade_of(kind, component, area)
        assert caught.value.code == "out_of_range"


@pytest.mark.parametrize(
    ("cover", "slime", "level", "imo"),
    [
        (0, False, "0", "0"),
        (0, True, "1", "1"),
        (0.5, True, "2", "2"),
        (5, False, "2", "2"),
        (5.5, False, "3", "2"),
        (12, True, "3", "2"),
        (15.5, False, "4", "3"),
        (41, True, "5", "4"),
    ],
)
def test_level_of_fouling(cover: float, slime: bool, level: str, imo: str) -> None:
    assert scales.fouling_level(cover, slime).grade == level
    assert scales.imo_fouling(cover, slime).grade == imo


def test_slime_alone_covers_nothing_hard() -> None:
    assert scales.band_of("level-of-fouling", "level", "1").high == 0


@pytest.mark.parametrize(
    ("figures", "wanted", "why"),
    [
        ((2.0, 0.0, 35.0), "fair", "edges"),
        ((2.9, 0.0, 19.9), "good", ""),
        ((3.0, 0.0, 0.0), "fair", "breakdown"),
        ((20.0, 0.0, 0.0), "fair", "breakdown"),
        ((20.1, 0.0, 0.0), "poor", "breakdown"),
        ((0.0, 0.1, 0.0), "fair", "hard_scale"),
        ((0.0, 10.0, 50.0), "poor", "hard_scale"),
        ((0.0, 0.0, 50.1), "poor", "edges"),
    ],
)
def test_coating_condition_is_the_worst_of_three(
    figures: tuple[float, float, float], wanted: str, why: str
) -> None:
    found = scales.imo_coating(*figures)
    assert (found.grade, found.decided_by) == (wanted, why)


def test_good_needs_no_failure_but_spots() -> None:
    found = scales.imo_coating(1.0, spots_only=False)
    assert (found.grade, found.decided_by) == ("fair", "failure")


@pytest.mark.parametrize(
    ("area", "iso", "astm"),
    [
        (0, "0", "5B"),
        (4.9, "1", "4B"),
        (5, "1", "3B"),
        (15, "2", "3B"),
        (15.1, "3", "2B"),
        (35, "3", "2B"),
        (65, "4", "1B"),
        (65.1, "5", "0B"),
    ],
)
def test_cross_cut_by_area(area: float, iso: str, astm: str) -> None:
    assert grade("iso-2409", "class", area) == iso
    assert scales.cross_cut_class(area).grade == astm


def test_ten_pits_a_square_metre_are_isolated() -> None:
    assert grade("astm-g46", "density", 10) == "isolated"
    assert grade("astm-g46", "density", 2_500) == "A-1"
    assert grade("astm-g46", "density", 2e6) == "A-5"
    assert grade("astm-g46", "depth", 1.5) == "C-3"
    assert grade("astm-g46", "size", 10.1) == "B-4"


@pytest.mark.parametrize(
    ("area", "figure"), [(0.3, 7.05), (1, 6), (10, 4), (16, 3.18), (33, 1.93), (50, 1.2), (100, 0)]
)
def test_the_smooth_line_of_d610(area: float, figure: float) -> None:
    found = scales.d610_line(area)
    assert found.value == pytest.approx(figure, abs=0.01)
    assert found.cautions == ("no_grade_from_line",)
