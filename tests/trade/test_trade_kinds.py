"""The registry of kinds: codes in order, what may be recorded, which conditions break a series."""

from __future__ import annotations

import math
import re

import pytest

from hulllog.trade import kinds, units
from hulllog.trade.refusal import Refusal

ALL = list(kinds.KINDS.values())
PARTS = [(entry, part) for entry in ALL for part in entry.components]
PART_IDS = [f"{entry.id}-{part.code}" for entry, part in PARTS]


def test_the_scales_and_our_own_kinds_are_there() -> None:
    wanted = """astm-d610-2008 astm-d714-2002 iso-4628-2-2016 iso-4628-3-2016 iso-4628-4-2016
        iso-4628-5-2016 iso-4628-6-2011 european-rust astm-g46 imo-coating-1330 navy-fr navy-pdr
        level-of-fouling iso-2409 astm-d3359 laminate-blisters rust-spots damage crack
        film-thickness moisture plate-thickness pit-depth hull-potential play"""
    assert set(wanted.split()) <= set(kinds.KINDS)


@pytest.mark.parametrize("entry", ALL, ids=lambda entry: entry.id)
def test_a_kind_is_whole(entry: kinds.Kind) -> None:
    assert re.fullmatch(r"[a-z0-9-]+", entry.id)
    assert entry.subjects
    codes = [part.code for part in entry.components] + [part.code for part in entry.conditions]
    assert len(codes) == len(set(codes))
    assert all(re.fullmatch(r"[a-z0-9_]+", code) for code in codes)


@pytest.mark.parametrize(("entry", "part"), PARTS, ids=PART_IDS)
def test_a_component_is_a_scale_or_a_number_in_a_known_unit(
    entry: kinds.Kind, part: kinds.Component
) -> None:
    if part.sort == "grade":
        assert len(part.grades) > 1
        assert part.unit is None
        assert set(part.pictured) <= set(part.grades)
        assert not set(part.apart) & set(part.grades)
    else:
        assert part.unit in units.UNITS
        assert part.low is not None
        assert part.high is not None
        assert part.low < part.high
    if part.followed:
        assert part.repeatability is not None
        assert part.repeatability.at(1.0) > 0
    if part.nothing is not None:
        assert part.allows(part.nothing)


def test_a_scale_runs_from_best_to_worst_whatever_its_numbers_do() -> None:
    grade = kinds.component("astm-d610-2008", "grade")
    rust = kinds.component("iso-4628-3-2016", "rust")
    assert grade is not None
    assert rust is not None
    assert (grade.position("10"), grade.position("0")) == (0, 10)
    assert (rust.position("0"), rust.position("5")) == (0, 10)
    assert (grade.worsens, rust.worsens) == ("falling", "rising")


def test_codes_outside_the_order_have_no_position() -> None:
    depth = kinds.component("laminate-blisters", "depth")
    fluid = kinds.component("laminate-blisters", "fluid")
    assert depth is not None
    assert fluid is not None
    assert depth.allows("not_opened")
    assert depth.position("not_opened") is None
    assert fluid.position("acid") is None


def test_nothing_found_leaves_open_what_was_not_seen() -> None:
    assert kinds.nothing("laminate-blisters") == {"count": 0, "typical_mm": 0, "largest_mm": 0}
    assert kinds.nothing("astm-d714-2002") == {"size": "10"}
    assert kinds.nothing("moisture") == {}
    assert kinds.nothing("from-a-newer-version") == {}


def test_a_kind_from_a_newer_version_is_none_and_refused_by_name() -> None:
    assert kinds.kind("astm-d610-2099") is None
    assert kinds.component("astm-d610-2099", "grade") is None
    with pytest.raises(Refusal) as caught:
        kinds.require("astm-d610-2099")
    assert caught.value.values == {"kind": "astm-d610-2099"}


def test_kinds_follow_the_material() -> None:
    grp = {entry.id for entry in kinds.kinds_for("grp")}
    steel = {entry.id for entry in kinds.kinds_for("steel")}
    assert "laminate-blisters" in grp - steel
    assert {"astm-d610-2008", "plate-thickness", "astm-g46"} <= steel - grp
    assert {entry.id for entry in kinds.kinds_for("unknown")} == set(kinds.KINDS)
    assert [entry.id for entry in kinds.kinds_for("bronze", "gear_check")][:2] == [
        "crack",
        "damage",
    ]


@pytest.mark.parametrize(
    ("kind_id", "figures", "objection"),
    [
        ("laminate-blisters", {"count": 3.0, "largest_mm": 12.0}, ()),
        ("laminate-blisters", {"count": 3.5}, (("count", "figure_not_allowed"),)),
        ("laminate-blisters", {"count": -1.0}, (("count", "figure_not_allowed"),)),
        ("laminate-blisters", {"count": math.nan}, (("count", "figure_not_allowed"),)),
        ("laminate-blisters", {"largest_mm": 4.0}, (("count", "component_missing"),)),
        ("rust-spots", {"count": 1.0, "hue": "red"}, (("hue", "component_unknown"),)),
        ("astm-d610-2008", {"grade": "7", "distribution": "G"}, ()),
        ("astm-d610-2008", {"grade": 7.0}, (("grade", "figure_not_allowed"),)),
        ("astm-d610-2008", {"grade": "10", "distribution": "S"}, (("distribution", "not_beside"),)),
        ("astm-d714-2002", {"size": "10", "frequency": "F"}, (("frequency", "not_beside"),)),
        ("astm-d714-2002", {"size": "6"}, (("frequency", "component_missing"),)),
        ("iso-4628-6-2011", {"chalking": "2.5"}, ()),
        ("iso-4628-2-2016", {"quantity": "0", "size": "S3"}, (("size", "not_beside"),)),
        ("iso-4628-2-2016", {"quantity": "2", "size": "S0"}, (("size", "not_beside"),)),
        ("iso-4628-4-2016", {"quantity": "0", "depth": "a"}, (("depth", "not_beside"),)),
        ("iso-4628-4-2016", {"quantity": "2", "size": "S3", "depth": "c"}, ()),
        ("iso-4628-5-2016", {"quantity": "2", "depth": "c"}, (("depth", "figure_not_allowed"),)),
        ("astm-d3359", {"cross_cut": "3.5B"}, (("cross_cut", "figure_not_allowed"),)),
        ("hull-potential", {"potential": -950.0}, ()),
    ],
)
def test_figures_are_held_against_the_kind(
    kind_id: str, figures: dict[str, str | float], objection: tuple[tuple[str, str], ...]
) -> None:
    assert kinds.objections(kind_id, figures) == objection


def test_the_conditions_that_break_a_series() -> None:
    assert kinds.require("moisture").breaking == ("meter", "mode", "surface", "days_ashore")
    assert kinds.require("plate-thickness").breaking == ("through_paint",)
    assert kinds.require("hull-potential").breaking == ("electrode", "shore_power")
    assert kinds.require("level-of-fouling").breaking == ("washed",)
    assert kinds.require("laminate-blisters").breaking == ("wetness",)


def test_repeatability_of_a_count_is_its_root_and_never_nought() -> None:
    count = kinds.component("laminate-blisters", "count")
    assert count is not None
    assert count.repeatability is not None
    assert [count.repeatability.at(n) for n in (0, 1, 4, 25)] == [1, 1, 2, 5]
