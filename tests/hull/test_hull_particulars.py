"""Particulars: what is assumed, what is refused, and the way to plain data and back."""

from __future__ import annotations

import json

import pytest
from hullboats import BOATS

from hulllog.hull.particulars import Particulars, ParticularsError, assume


@pytest.mark.parametrize(
    ("kind", "share"),
    [
        ("yacht", 0.82),
        ("motor", 0.92),
        ("inland", 0.92),
        ("small", 0.85),
        ("catamaran", 0.95),
    ],
)
def test_waterline_length_is_assumed_by_kind(kind, share):
    made, assumed = assume(kind, "grp", "fin", 10.0, 4.0, 1.0)
    assert made.lwl == pytest.approx(share * 10)
    assert "lwl" in assumed


def test_bow_and_stern_are_assumed_and_named():
    made, assumed = assume("yacht", "grp", "twin", 8.7, 2.8, 0.95)
    assert (made.bow, made.stern) == ("raked", "upright")
    assert {"bow", "stern", "rudder", "drive"} <= set(assumed)
    assert not {"length", "beam", "draught", "keel", "kind"} & set(assumed)


@pytest.mark.parametrize(
    ("kind", "keel", "rudder"),
    [
        ("yacht", "long", "keel"),
        ("yacht", "twin", "skeg"),
        ("yacht", "fin", "spade"),
        ("small", "lifting", "transom"),
        ("planing", "none", "none"),
    ],
)
def test_rudder_goes_by_keel(kind, keel, rudder):
    assert assume(kind, "grp", keel, 7.0, 2.4, 1.0)[0].rudder == rudder


@pytest.mark.parametrize(
    ("drive", "rudder"), [("shaft", "spade"), ("tunnel", "spade"), ("outdrive", "none")]
)
def test_a_planing_boat_steers_by_her_leg_or_has_a_rudder(drive, rudder):
    made, _ = assume("planing", "grp", "none", 9.0, 3.0, 0.8, drive=drive)
    assert (made.drive, made.rudder) == (drive, rudder)


def test_overhangs_follow_the_ends_that_are_known():
    raked, plumb, counter = (
        assume("yacht", "grp", "fin", 10.0, 3.2, 1.7, bow=bow, stern=stern)[0]
        for bow, stern in (("raked", "upright"), ("plumb", "upright"), ("spoon", "counter"))
    )
    assert counter.lwl < raked.lwl < plumb.lwl <= 9.8
    assert assume("inland", "steel", "none", 15.0, 3.7, 0.8, bow="plumb")[0].lwl <= 0.98 * 15


def test_wooden_small_craft_are_clinker():
    made, assumed = assume("small", "wood", "none", 4.5, 1.7, 0.3)
    assert made.planking == "clinker"
    assert "planking" in assumed


@pytest.mark.parametrize("name", BOATS)
def test_survives_json(name):
    boat = BOATS[name]
    assert Particulars.from_json(json.loads(json.dumps(boat.to_json()))) == boat


def test_fields_of_a_newer_version_are_passed_over():
    data = {**BOATS["ketch"].to_json(), "hull_number": 7, "length": 9}
    assert Particulars.from_json(data).length == 9.0


@pytest.mark.parametrize(
    ("field", "value", "code"),
    [
        ("length", 0.5, "hull.range"),
        ("length", float("nan"), "hull.range"),
        ("beam", 8.0, "hull.range"),
        ("draught", 0.0, "hull.range"),
        ("lwl", 9.5, "hull.range"),
        ("displacement", -3.0, "hull.range"),
        ("freeboard_stern", 9.0, "hull.range"),
        ("waterline_beam", 2.9, "hull.range"),
        ("keel", "centipede", "hull.unknown"),
        ("kind", "raft", "hull.unknown"),
    ],
)
def test_refuses_what_no_form_can_be_built_of(field, value, code):
    data = {**BOATS["ketch"].to_json(), field: value}
    with pytest.raises(ParticularsError) as caught:
        Particulars.from_json(data)
    assert caught.value.code == code
    assert caught.value.values["field"] == field
