"""Places by tape and by frame: they come back, stay when the form is corrected, or are refused."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from hullboats import BOATS, KETCH, form
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from hulllog.hull import taping
from hulllog.hull.form import HullForm
from hulllog.hull.patches import Place
from hulllog.hull.taping import TapeError

PLACES = st.tuples(st.floats(0.08, 0.92), st.floats(0.1, 1.9))


def by_tape(side, marks, lengths, **more):
    tapes = [{"mark": mark, "m": m} for mark, m in zip(marks, lengths, strict=True)]
    return {"by": "tape", "part": side[0], "face": side[1], "tapes": tapes, **more}


def off(boat, one, other):
    return math.dist(boat.point(one), boat.point(other))


def crossing(boat, place, one, other):
    """Return the angle at which the lines to two marks cross at a place, degrees up to 90."""
    here = np.array(boat.point(place))
    first, second = (np.array(boat.point(mark)) - here for mark in (one, other))
    long = np.linalg.norm(first) * np.linalg.norm(second)
    return math.degrees(math.acos(min(abs(first @ second) / long, 1.0))) if long else 0.0


def found_or_why(boat, told):
    """Return the place, or the code of why there is none."""
    try:
        return taping.place(boat, told)
    except TapeError as problem:
        return problem.code


def rolled(radius=1.5, length=6.0):
    """Return a boat whose port side is a quarter of a tube that opens upwards."""
    boat = form("ketch")
    patch = boat.patch("hull", "port")
    angle = patch.v / 2 * math.pi / 2
    xyz = np.zeros((len(patch.u), len(patch.v), 3))
    xyz[..., 0] = length * patch.u[:, None]
    xyz[..., 1], xyz[..., 2] = radius * np.sin(angle), -radius * np.cos(angle)
    tube = replace(patch, xyz=xyz)
    return replace(boat, patches=(tube,), _memory={}), radius, length


@settings(max_examples=25, deadline=None)
@given(place=PLACES, mark=PLACES)
def test_a_tape_on_a_tube_is_as_long_as_on_the_tube_unrolled(place, mark):
    boat, radius, length = TUBE
    one, other = (Place("hull", "port", *at) for at in (place, mark))
    flat = [(at.u * length, at.v / 2 * math.pi / 2 * radius) for at in (one, other)]
    exact = math.dist(*flat)
    assume(exact > 0.3)
    assert taping.tapes(boat, one, (other, other))[0] == pytest.approx(exact, rel=0.015)


TUBE = rolled()


@settings(max_examples=40, deadline=None)
@given(name=st.sampled_from(sorted(BOATS)), which=st.integers(0, 9), at=PLACES, marks=st.data())
def test_what_was_taped_from_two_marks_is_found_again(name, which, at, marks):
    boat = form(name)
    side = taping.sides(boat)[which % len(taping.sides(boat))]
    known = taping.marks(boat, *side)
    one, other = marks.draw(st.permutations(sorted(known)))[:2]
    assume(known[one] != known[other])
    place = Place(*side, *at)
    lengths = taping.tapes(boat, place, (known[one], known[other]))
    found = [found_or_why(boat, by_tape(side, (one, other), lengths))]
    if found == ["tape_twice"]:
        found = [
            taping.place(boat, by_tape(side, (one, other), lengths, higher=higher))
            for higher in (False, True)
        ]
    for one_found in found:
        again = taping.tapes(boat, one_found, (known[one], known[other]))
        assert again == pytest.approx(lengths, abs=2e-3)
    # Where the tapes lie nearly in line, a hair of either moves the place far along them.
    if crossing(boat, place, known[one], known[other]) > 30:
        assert len(found) > 1 or off(boat, found[0], place) < 0.02


@settings(max_examples=40, deadline=None)
@given(name=st.sampled_from(sorted(BOATS)), which=st.integers(0, 9), at=PLACES)
def test_frame_and_girth_are_found_again(name, which, at):
    boat = form(name)
    side = taping.sides(boat)[which % len(taping.sides(boat))]
    along, girth = taping.frame(boat, Place(*side, *at))
    told = {"by": "frame", "part": side[0], "face": side[1]}
    found = taping.place(boat, {**told, "along": {"m": along}, "girth": {"m": girth}})
    assert taping.frame(boat, found) == pytest.approx((along, girth), abs=2e-3)
    assert off(boat, found, Place(*side, *at)) < 0.01


@settings(max_examples=15, deadline=None)
@given(
    at=PLACES,
    beam=st.floats(2.6, 3.1),
    draught=st.floats(0.85, 1.1),
    length=st.floats(8.4, 9.1),
)
def test_a_place_survives_a_correction_to_its_rule(at, beam, draught, length):
    """Its metres lead: on the corrected form the same frame and girth, and the same tapes."""
    before = form("ketch")
    after = HullForm.build(replace(KETCH, beam=beam, draught=draught, length=length))
    side = ("hull", "port")
    along, girth = taping.frame(before, Place(*side, *at))
    told = {"by": "frame", "part": side[0], "face": side[1]}
    moved = found_or_why(after, {**told, "along": {"m": along}, "girth": {"m": girth}})
    if moved not in ("frame_outside", "girth_outside"):
        assert taping.frame(after, moved) == pytest.approx((along, girth), abs=2e-3)
    marks = ("stem", "rudder")
    old, new = (taping.marks(boat, *side) for boat in (before, after))
    lengths = taping.tapes(before, Place(*side, *at), tuple(old[mark] for mark in marks))
    taped = found_or_why(after, by_tape(side, marks, lengths, higher=at[1] > 1))
    if taped != "tape_apart":
        again = taping.tapes(after, taped, tuple(new[mark] for mark in marks))
        assert again == pytest.approx(lengths, abs=2e-3)


@pytest.mark.parametrize(
    ("lengths", "code"), [((1.0, 1.0), "tape_apart"), ((30.0, 30.0), "tape_apart")]
)
def test_tapes_that_do_not_meet_are_refused(lengths, code):
    with pytest.raises(TapeError) as found:
        taping.place(form("ketch"), by_tape(("hull", "port"), ("stem", "rudder"), lengths))
    assert found.value.code == code


def test_other_impossible_places_are_refused():
    boat, side = form("planing"), ("hull", "port")
    cases = {
        "tape_no_side": by_tape(("keel", "port"), ("stem", "stern"), (1, 1)),
        "tape_no_mark": by_tape(side, ("stem", "keel_fore"), (1, 1)),
        "tape_same_mark": by_tape(side, ("stem", "stem"), (1, 1)),
        "frame_outside": {
            "by": "frame", "part": "hull", "face": "port",
            "along": {"m": 40.0}, "girth": {"m": 0.5},
        },
        "girth_outside": {
            "by": "frame", "part": "hull", "face": "port",
            "along": {"m": 3.0}, "girth": {"m": 9.0},
        },
    }  # fmt: skip
    for code, told in cases.items():
        with pytest.raises(TapeError) as found:
            taping.place(boat, told)
        assert found.value.code == code


def test_an_own_mark_serves_on_its_side_only():
    boat = form("ketch")
    mark = {"mark": "own", "name": "Log", "place": ["hull", "port", 0.4, 0.2], "m": 1.0}
    told = by_tape(("hull", "port"), ("stem", "stern"), (4.0, 1.0))
    told["tapes"][1] = mark
    stem = taping.marks(boat, "hull", "port")["stem"]
    own = Place("hull", "port", 0.4, 0.2)
    place = Place("hull", "port", 0.5, 0.9)
    lengths = taping.tapes(boat, place, (stem, own))
    told["tapes"][0]["m"], mark["m"] = lengths
    assert off(boat, taping.place(boat, {**told, "higher": True}), place) < 0.02
    with pytest.raises(TapeError) as found:
        taping.place(boat, {**told, "face": "starboard"})
    assert found.value.code == "tape_no_mark"


def test_the_marks_of_a_ketch_lie_where_they_should():
    boat = form("ketch")
    found = {code: boat.point(place) for code, place in taping.marks(boat, "hull", "port").items()}
    assert list(found) == list(taping.MARKS)
    assert found["stem"][2] == pytest.approx(0, abs=1e-6)
    assert found["stem"][0] < found["keel_fore"][0] < found["keel_aft"][0] < found["rudder"][0]
    assert found["keel_fore"][1] > 0.3
    assert found["stern"][1] == pytest.approx(0, abs=1e-6)
