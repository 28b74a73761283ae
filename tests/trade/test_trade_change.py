"""Changed since last time: repeatability decides, grades go by steps, circumstances must match."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hulllog.trade import change, kinds
from hulllog.trade.refusal import Refusal

QUICK = settings(max_examples=60, deadline=None)
FOLLOWED = [
    (entry.id, part.code)
    for entry in kinds.KINDS.values()
    for part in entry.components
    if part.followed and part.sort == "number"
]


def compared(kind: str, code: str, before: float | str, now: float | str) -> change.Change:
    found = change.two_visits(kind, code, before, now)
    assert found is not None
    return found


def test_a_plate_must_lose_more_than_two_root_two_of_its_repeatability() -> None:
    edge = 2 * math.sqrt(2) * 0.1
    assert not compared("plate-thickness", "thickness", 6.0, 6.0 - edge + 0.001).beyond_error
    assert compared("plate-thickness", "thickness", 6.0, 6.0 - edge - 0.001).beyond_error


def test_a_sentence_of_its_own_needs_three() -> None:
    edge = 3 * math.sqrt(2) * 0.1
    assert not compared("plate-thickness", "thickness", 6.0, 6.0 - edge + 0.001).plainly
    assert compared("plate-thickness", "thickness", 6.0, 6.0 - edge - 0.001).plainly


def test_a_thinner_plate_is_worse_and_a_longer_crack_too() -> None:
    assert compared("plate-thickness", "thickness", 6.0, 5.0).direction == "worse"
    assert compared("crack", "length_mm", 20.0, 40.0).direction == "worse"
    assert compared("crack", "length_mm", 40.0, 0.0).direction == "better"
    assert compared("hull-potential", "potential", -950.0, -700.0).direction == "up"
    assert compared("moisture", "reading", 12.0, 12.0).direction == "none"


def test_counts_differ_by_the_roots_of_both() -> None:
    assert not compared("laminate-blisters", "count", 3, 9).beyond_error
    assert compared("laminate-blisters", "count", 0, 5).beyond_error
    assert not compared("laminate-blisters", "count", 0, 4).beyond_error


def test_one_step_of_a_coarse_scale_shows_and_two_show_plainly() -> None:
    one = compared("level-of-fouling", "level", "1", "2")
    two = compared("level-of-fouling", "level", "1", "3")
    assert (one.beyond_error, one.plainly, one.direction) == (True, False, "worse")
    assert (two.beyond_error, two.plainly) == (True, True)


def test_a_fine_scale_needs_two_steps_and_three() -> None:
    found = [compared("astm-d610-2008", "grade", "8", to) for to in ("7", "6", "5")]
    assert [(c.beyond_error, c.plainly) for c in found] == [
        (False, False),
        (True, False),
        (True, True),
    ]
    assert found[0].direction == "worse"


def test_half_steps_count_half() -> None:
    half = compared("iso-4628-2-2016", "quantity", "2", "2.5")
    whole = compared("iso-4628-2-2016", "quantity", "2", "3")
    assert not half.beyond_error
    assert whole.beyond_error


def test_a_coarser_instrument_widens_the_test() -> None:
    found = change.two_visits("plate-thickness", "thickness", 6.0, 5.5, 0.3)
    assert found is not None
    assert not found.beyond_error
    finer = change.two_visits("plate-thickness", "thickness", 6.0, 5.5, 0.01)
    assert finer is not None
    assert finer.chance == pytest.approx(math.sqrt(2) * 0.1)


def test_what_is_not_here_or_not_compared_gives_none() -> None:
    assert change.two_visits("from-a-newer-version", "x", 1, 2) is None
    assert change.two_visits("laminate-blisters", "fluid", "none", "acid") is None
    assert change.repeatability("laminate-blisters", "fluid", 0) is None


@pytest.mark.parametrize(
    ("before", "now", "code"),
    [(math.nan, 1.0, "not_finite"), (1.0, math.inf, "not_finite"), ("6", 5.0, "grade_unknown")],
)
def test_no_figure_no_answer(before: float | str, now: float, code: str) -> None:
    with pytest.raises(Refusal) as caught:
        change.two_visits("plate-thickness", "thickness", before, now)
    assert caught.value.code == code


def test_the_working_shows_both_figures_and_the_margin() -> None:
    shown = compared("plate-thickness", "thickness", 6.0, 5.5).working
    assert shown.value == pytest.approx(-0.5)
    assert {i.symbol: i.value for i in shown.inputs}["y₂"] == 5.5
    assert shown.source.tag == "our own rule"
    assert shown.unit == "mm"


@QUICK
@given(st.sampled_from(FOLLOWED), st.floats(0, 90), st.floats(0, 90))
def test_there_and_back_is_the_same_size_and_the_other_way(
    which: tuple[str, str], one: float, other: float
) -> None:
    there, back = compared(*which, one, other), compared(*which, other, one)
    assert there.difference == -back.difference
    assert there.chance == pytest.approx(back.chance)
    opposite = {"worse": "better", "better": "worse", "up": "down", "down": "up", "none": "none"}
    assert opposite[there.direction] == back.direction
    assert there.beyond_error or not there.plainly


def test_grades_go_by_steps_towards_worse() -> None:
    assert change.steps("astm-d610-2008", "grade", "8", "5") == 3
    assert change.steps("iso-2409", "class", "3", "1") == -2
    assert change.worst("astm-d610-2008", "grade", ["8", "10", "5"]) == "5"
    assert change.worst("astm-d3359", "cross_cut", ["4B", "1B"]) == "1B"


def test_the_most_of_an_area_leans_to_the_worse_of_equals() -> None:
    assert change.most_of_area("navy-fr", "rating", {"20": 0.5, "40": 0.3, "0": 0.2}) == "20"
    assert change.most_of_area("navy-fr", "rating", {"20": 0.5, "40": 0.5}) == "40"


@pytest.mark.parametrize("shares", [{"20": 0.6}, {"20": 1.5, "40": -0.5}, {"20": math.nan}, {}])
def test_shares_of_the_area_seen_sum_to_one(shares: dict[str, float]) -> None:
    with pytest.raises(Refusal) as caught:
        change.most_of_area("navy-fr", "rating", shares)
    assert caught.value.code == "shares_not_whole"


def test_letters_without_an_order_have_no_worst() -> None:
    with pytest.raises(Refusal) as caught:
        change.worst("laminate-blisters", "fluid", ["none", "acid"])
    assert caught.value.code == "grade_unknown"


METER = {"meter": "Meter A", "mode": "deep", "surface": "gelcoat", "days_ashore": 7}


@pytest.mark.parametrize(
    ("other", "why"),
    [
        (METER, ()),
        (METER | {"meter": "  meter  a "}, ()),
        (METER | {"meter": "Meter B"}, ("meter_differs",)),
        (METER | {"days_ashore": 2}, ("days_ashore_differs",)),
        (METER | {"days_ashore": 5}, ()),
        (METER | {"days_ashore": 40, "air": 12.0}, ()),
        (METER | {"mode": None, "surface": "paint"}, ("mode_not_recorded", "surface_differs")),
        ({}, tuple(f"{c}_not_recorded" for c in ("meter", "mode", "surface", "days_ashore"))),
    ],
)
def test_moisture_compares_only_in_like_circumstances(
    other: dict[str, object], why: tuple[str, ...]
) -> None:
    assert change.breaks("moisture", METER, other) == why
    assert len(change.breaks("moisture", other, METER)) == len(why)


def test_bare_and_echo_to_echo_measure_the_same_metal() -> None:
    bare, echo, paint = ({"through_paint": c} for c in ("bare", "echo_to_echo", "through_paint"))
    assert change.breaks("plate-thickness", bare, echo) == ()
    assert change.breaks("plate-thickness", bare, paint) == ("through_paint_differs",)


def test_wet_or_dry_breaks_but_an_old_look_without_it_does_not() -> None:
    assert change.breaks("laminate-blisters", {"wetness": "wet"}, {"wetness": "dry"}) == (
        "wetness_differs",
    )
    assert change.breaks("laminate-blisters", {"wetness": "wet"}, {}) == ()


def test_another_edition_is_another_scale() -> None:
    assert change.breaks("astm-d610-2008", {}, {}, "iso-4628-3-2016") == ("scale_differs",)
    assert change.breaks("from-a-newer-version", {"a": 1}, {"a": 2}) == ()


def look(version: str, treatments: int = 0, **conditions: object) -> change.Look:
    return change.Look("laminate-blisters", conditions, version, treatments)


def test_a_series_splits_with_the_reason() -> None:
    looks = [
        look("a", wetness="wet"),
        look("a", wetness="wet"),
        look("a", wetness="dry"),
        look("b", wetness="dry"),
        look("c", wetness="dry"),
        look("c", 1, wetness="dry"),
    ]
    covered = {("a", "b"): 0.95, ("b", "c"): 0.5}
    assert change.stretches(looks, covered) == [
        (0, ()),
        (0, ()),
        (1, ("wetness_differs",)),
        (1, ()),
        (2, ("zone_redrawn",)),
        (3, ("treated_between",)),
    ]


def test_a_new_outline_of_unknown_cover_breaks() -> None:
    assert change.why_not(look("a"), look("b")) == ("zone_redrawn",)
    assert change.why_not(look("a"), look("b"), 0.9) == ()
    assert change.stretches([]) == []
