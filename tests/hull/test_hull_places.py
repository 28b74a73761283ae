"""Places: from the boat to a view and back, and what a correction does to them."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hullboats import BOATS, KETCH, form
from hypothesis import given, settings
from hypothesis import strategies as st

from hulllog.hull.form import HullForm
from hulllog.hull.particulars import BOWS, DRIVES, RUDDERS
from hulllog.hull.patches import Place
from hulllog.hull.views import VIEWS

share = st.floats(0.001, 0.999)


@pytest.mark.parametrize("name", BOATS)
@pytest.mark.parametrize("view", VIEWS)
def test_view_to_place_to_view_returns(name, view):
    boat = form(name)
    rng = np.random.default_rng(7)
    lost = 0
    for patch in boat.patches:
        for _ in range(6):
            place = Place(patch.part, patch.face, rng.random(), rng.random() * float(patch.v[-1]))
            at = boat.view_point(view, place)
            found = boat.pick(view, *at)
            if found is None:
                lost += 1
                continue
            assert boat.view_point(view, found) == pytest.approx(at, abs=1e-6)
    assert lost == 0


@settings(max_examples=60, deadline=None)
@given(name=st.sampled_from(sorted(BOATS)), u=share, v=share, which=st.integers(0, 50))
def test_expansion_gives_the_very_place(name, u, v, which):
    boat = form(name)
    patch = boat.patches[which % len(boat.patches)]
    if patch.kind == "hull" and patch.xyz[int(u * (len(patch.u) - 1)), 0, 2] > -0.02:
        v = 0.5 + v / 2
    place = Place(patch.part, patch.face, u, v * float(patch.v[-1]))
    at = boat.view_point("expansion", place)
    hits = boat.index("expansion").hits(*at)
    same = [h for h in hits if (h.part, h.face) == (place.part, place.face)]
    assert same
    assert boat.view_point("expansion", same[0]) == pytest.approx(at, abs=1e-6)


def test_nearest_skin_is_picked():
    boat = form("ketch")
    port = boat.pick("port", *boat.view_point("port", Place("hull", "port", 0.5, 1.5)))
    assert (port.part, port.face) == ("hull", "port")
    assert port.u == pytest.approx(0.5)
    assert port.v == pytest.approx(1.5)
    keel = Place("keel-port", "under", 0.5, 0.5)
    below = boat.pick("bottom", *boat.view_point("bottom", keel))
    assert (below.part, below.face) == ("keel-port", "under")
    astern = boat.pick("stern", 0.0, 0.4)
    assert astern.part == "transom"


def test_port_lies_left_from_astern_and_above_from_below():
    boat = form("ketch")
    place = Place("hull", "port", 0.6, 0.8)
    assert boat.view_point("stern", place)[0] < 0
    assert boat.view_point("bottom", place)[1] > 0
    assert boat.view_point("expansion", place)[1] > 0
    bow, stern = Place("hull", "starboard", 0.0, 2.0), Place("hull", "starboard", 1.0, 2.0)
    assert boat.view_point("starboard", bow)[0] > boat.view_point("starboard", stern)[0]


def test_nothing_is_picked_beside_the_boat():
    assert form("ketch").pick("port", -3.0, 0.0) is None
    assert form("ketch").pick("expansion", 100.0, 0.0) is None


@settings(max_examples=25, deadline=None)
@given(
    u=st.floats(0.05, 0.8),
    v=st.floats(0.05, 1.95),
    beam=st.floats(0.9, 1.1),
    draught=st.floats(0.9, 1.15),
)
def test_place_stays_on_its_spot_of_skin(u, v, beam, draught):
    """A correction of beam or draught moves a place with the skin, by less than the correction."""
    before = form("ketch")
    after = HullForm.build(replace(KETCH, beam=beam * KETCH.beam, draught=draught * KETCH.draught))
    place = Place("hull", "port", u, v)
    x, y, z = before.point(place)
    moved_x, moved_y, moved_z = after.point(place)
    assert abs(moved_x - x) < 0.05
    assert abs(moved_y - y) < abs(beam - 1) * KETCH.beam + 0.06
    assert (z < 0) == (moved_z < 0) or abs(v - 1) < 0.02
    assert abs(moved_z - z) < abs(draught - 1) * KETCH.draught + abs(beam - 1) * 0.6 + 0.03


@settings(max_examples=20, deadline=None)
@given(u=st.floats(0.02, 0.98), v=st.floats(0.0, 2.0), middle=st.floats(0.75, 1.2))
def test_corrected_freeboard_takes_nothing_through_the_water(u, v, middle):
    before = form("ketch")
    after = HullForm.build(replace(KETCH, freeboard_middle=middle))
    one, other = (boat.point(Place("hull", "port", u, v))[2] for boat in (before, after))
    if abs(one) > 1e-3 and abs(other) > 1e-3:
        foot = before.point(Place("hull", "port", u, 0.0))[2]
        if abs(foot) > 0.01:
            assert (one < 0) == (other < 0)


CORRECTIONS = st.fixed_dictionaries(
    {},
    optional={
        "length": st.floats(8.2, 9.4),
        "lwl": st.floats(6.6, 7.9),
        "beam": st.floats(2.5, 3.2),
        "draught": st.floats(0.8, 1.2),
        "bow": st.sampled_from(BOWS),
        "stern": st.sampled_from(("upright", "reverse", "counter")),
        "keel": st.sampled_from(("twin", "fin", "long", "none")),
        "rudder": st.sampled_from(RUDDERS),
        "freeboard_bow": st.floats(0.9, 1.4),
        "freeboard_stern": st.floats(0.6, 1.0),
        "displacement": st.floats(2600.0, 4600.0),
        "drive": st.sampled_from(DRIVES),
    },
)


@settings(max_examples=60, deadline=None)
@given(given_anew=CORRECTIONS, u=st.floats(0.02, 0.98), v=st.floats(0.02, 1.98))
def test_a_clicked_place_keeps_its_share_of_the_girth_whatever_is_corrected(given_anew, u, v):
    """On its piece of skin, below the water or above, it stays as far along as it was."""
    after = HullForm.build(replace(KETCH, **given_anew))
    patch = after.patch("hull", "port")
    steps = np.linspace(0.0, 2.0, 401)
    line = patch.at(np.full(401, u), steps)
    gone = np.concatenate([[0.0], np.cumsum(np.linalg.norm(np.diff(line, axis=0), axis=1))])
    bounds = (0.0, 1.0) if v <= 1 else (1.0, 2.0)
    start, end, at = (np.interp(x, steps, gone) for x in (*bounds, v))
    if line[0, 2] < -0.02:
        assert (at - start) / (end - start) == pytest.approx(v - bounds[0], abs=0.01)
        assert (after.point(Place("hull", "port", u, v))[2] < 0) == (v < 1) or abs(v - 1) < 0.01


def test_a_place_on_a_part_she_has_not_is_an_error():
    with pytest.raises(KeyError):
        form("ketch").point(Place("bulb", "port", 0.5, 0.5))
    with pytest.raises(KeyError):
        form("ketch").view_point("top", Place("hull", "port", 0.5, 0.5))
