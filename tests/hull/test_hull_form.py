"""The form: what was asked for is met, and the surface is fair."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hullboats import BOATS, form, made
from hypothesis import given, settings
from hypothesis import strategies as st

from hulllog.hull import zones
from hulllog.hull.form import HullForm
from hulllog.hull.particulars import BOWS, KEELS, RUDDERS, STERNS


@pytest.mark.parametrize("name", BOATS)
def test_measures_are_met(name):
    boat, asked = form(name), BOATS[name]
    points = np.vstack([p.xyz.reshape(-1, 3) for p in boat.patches if p.kind == "hull"])
    assert np.ptp(points[:, 0]) == pytest.approx(asked.length, abs=0.02)
    assert np.ptp(points[:, 1]) == pytest.approx(asked.beam, abs=0.01)
    assert boat.waterline_length == pytest.approx(asked.lwl, abs=0.02)
    lowest = min(float(p.xyz[..., 2].min()) for p in boat.patches)
    if asked.keel != "none":
        assert -lowest == pytest.approx(asked.draught, abs=0.01)
    else:
        assert -lowest <= asked.draught + 0.01


@pytest.mark.parametrize("name", [name for name, boat in BOATS.items() if boat.displacement])
def test_displacement_is_met(name):
    assert form(name).displacement == pytest.approx(BOATS[name].displacement, rel=0.02)


@pytest.mark.parametrize("name", BOATS)
def test_waterline_column_lies_in_the_water_plane(name):
    skin = form(name).skin
    wet = skin.xyz[:, 0, 2] < 0
    assert np.abs(skin.xyz[wet, skin.water, 2]).max() < 1e-9
    dry = ~wet & (skin.xyz[:, 0, 2] > 1e-9)
    assert np.ptp(skin.xyz[dry, : skin.water + 1], axis=1).max(initial=0.0) < 1e-9


def turns(values):
    """Return how often a curve changes the sign of its bend, small bends left out."""
    bend = np.diff(values, 2)
    sign = np.sign(bend[np.abs(bend) > 2e-3 * np.abs(bend).max()])
    return int((np.diff(sign) != 0).sum())


@pytest.mark.parametrize(
    "name", [n for n, b in BOATS.items() if b.kind not in ("planing", "inland")]
)
def test_sections_neither_fold_nor_waver(name):
    boat = form(name)
    row = boat.skin.xyz
    assert (np.diff(row[..., 2], axis=1) > -1e-9).all()
    assert (np.diff(row[..., 1], axis=1) > -1e-9).all()
    even = np.linspace(0, 1, 60)
    for u in (0.2, 0.5, 0.8):
        section = boat.patches[0].at(np.full(60, u), 2 * even)
        assert turns(np.interp(even, (section[:, 1] / section[-1, 1]), section[:, 2])) <= 1


@pytest.mark.parametrize("name", BOATS)
def test_breadths_rise_to_midship_and_fall_again(name):
    skin = form(name).skin
    for column in (skin.water, len(skin.v) - 1):
        breadth = skin.xyz[:, column, 1]
        top = int(np.argmax(breadth))
        assert (np.diff(breadth[: top + 1]) > -1e-6).all()
        assert (np.diff(breadth[top:]) < 1e-6).all()


@pytest.mark.parametrize("name", BOATS)
def test_waterline_bends_one_way_or_wavers_once(name):
    skin = form(name).skin
    line = skin.xyz[skin.xyz[:, 0, 2] <= 0, skin.water]
    x = np.linspace(line[0, 0], line[-1, 0], 60)[3:-6]
    limit = 3 if BOATS[name].kind in ("planing", "small", "inland") else 1
    assert turns(np.interp(x, line[:, 0], line[:, 1])) <= limit


@pytest.mark.parametrize("name", BOATS)
def test_a_cut_at_any_height_is_fair(name):
    """Waterlines below and above the load waterline bend one way, or waver once at an end."""
    skin = form(name).skin.xyz
    deepest = -float(skin[..., 2].min())
    for level in (-0.6 * deepest, -0.3 * deepest, 0.2, 0.5):
        cut = [row for row in skin if row[0, 2] < level < row[-1, 2]]
        at = np.array([[np.interp(level, row[:, 2], row[:, k]) for k in (0, 1)] for row in cut])
        x = np.linspace(at[0, 0], at[-1, 0], 60)[3:-6]
        bend = np.diff(np.interp(x, at[:, 0], at[:, 1]), 2)
        sign = np.sign(bend[np.abs(bend) > 0.02 * np.abs(bend).max()])
        assert (np.diff(sign) != 0).sum() <= 1, level


@pytest.mark.parametrize("name", [n for n, b in BOATS.items() if b.keel == "long"])
def test_the_fore_edge_of_a_long_keel_has_no_knuckle(name):
    """Half of its turn takes a good part of its length."""
    edge = form(name).foils[0].middle[0][:, [0, 2]]
    step = np.diff(edge, axis=0)
    angle = np.degrees(np.arctan2(step[:, 1], step[:, 0]))
    gone = np.cumsum(np.hypot(*step.T))
    assert (np.diff(angle) > -0.5).all()
    share = (angle - angle[0]) / (angle[-1] - angle[0])
    quarter, most = (np.interp(at, share, gone) for at in (0.25, 0.75))
    assert (most - quarter) / gone[-1] > 0.25


@pytest.mark.parametrize(("kind", "stern"), [("small", "upright"), ("yacht", "canoe")])
def test_a_rudder_hung_on_the_transom_lies_against_the_keel_and_is_a_blade(kind, stern):
    p = made(kind, "long", 8.0, 2.6, 1.1, rudder="transom", stern=stern)
    boat = HullForm.build(p)
    parts = {thing.part: thing for thing in boat.foils}
    post, front, back = (
        parts["keel"].middle[-1],
        parts["rudder"].middle[0],
        parts["rudder"].middle[-1],
    )
    wet = post[post[:, 2] < -0.15]
    gap = np.interp(-wet[:, 2], -front[:, 2], front[:, 0]) - wet[:, 0]
    assert -0.02 < gap.min() <= gap.max() < 0.06
    chord = back[:, 0] - front[:, 0]
    assert chord.min() >= 0.03 * p.lwl - 1e-9
    blade = np.interp([0.2, 0.5, 0.8], -front[:, 2] / p.draught, chord)
    assert blade.min() > 0.045 * p.lwl


@pytest.mark.parametrize(
    ("name", "low", "high"),
    [("fin", 0.62, 0.78), ("long", 0.60, 0.78), ("motor", 0.62, 0.82), ("inland", 0.90, 1.0)],
)
def test_the_fullest_section_is_full_as_her_sort_is(name, low, high):
    assert low < form(name).midship < high


def test_chine_is_a_column():
    boat = form("inland")
    skin = boat.skin
    column = np.where(skin.chine_low, 10, 30)
    chine = skin.xyz[np.arange(len(skin.u)), column]
    assert chine[40, 1] == pytest.approx(0.965 * skin.xyz[40, -1, 1], rel=1e-3)
    assert chine[40, 2] < skin.xyz[40, 0, 2] + 0.1


def test_a_chine_that_meets_the_water_leaves_no_gap():
    skin = form("planing").skin
    double = np.flatnonzero(np.diff(skin.u) == 0)
    assert len(double) == 1
    here, there = skin.xyz[double[0]], skin.xyz[double[0] + 1]
    assert np.abs(here[[0, 20, 40]] - there[[0, 20, 40]]).max() < 1e-6


def test_twin_keels_have_faces_of_their_own():
    parts = form("ketch").parts
    assert set(parts["keel-port"]) == {"outboard", "inboard", "under"}
    assert set(parts["keel-starboard"]) == {"outboard", "inboard", "under"}
    assert set(parts["hull"]) == {"port", "starboard"}


def test_boat_is_the_same_on_both_sides():
    boat = form("ketch")
    port, starboard = boat.patch("hull", "port").xyz, boat.patch("hull", "starboard").xyz
    assert np.abs(port * [1, -1, 1] - starboard).max() == 0
    one, other = boat.patch("keel-port", "outboard"), boat.patch("keel-starboard", "outboard")
    assert np.abs(one.xyz * [1, -1, 1] - other.xyz).max() < 1e-12


def test_keel_roots_lie_on_the_skin():
    boat = form("ketch")
    root = boat.foils[0].middle[:, 0]
    site = boat.patch("hull", "port")
    for x, y, z in root[::6]:
        hits = [h for h in boat.index("bottom").hits(x, y) if h.part == "hull"]
        assert boat.point(hits[0])[2] == pytest.approx(z, abs=0.004)
    assert site.kind == "hull"


def test_contradicting_particulars_are_drawn_all_the_same():
    heavy = HullForm.build(replace(BOATS["ketch"], displacement=12000.0))
    assert heavy.disagreement == (12000.0, heavy.displacement)
    assert heavy.displacement < 12000
    assert form("fin").disagreement is None
    assert form("ketch").disagreement is None
    assert all(np.isfinite(patch.xyz).all() for patch in heavy.patches)


kinds = st.sampled_from(["yacht", "planing", "motor", "inland", "small", "catamaran"])


@settings(max_examples=60, deadline=None)
@given(
    kind=kinds,
    keel=st.sampled_from(KEELS),
    rudder=st.sampled_from(RUDDERS),
    bow=st.sampled_from(BOWS),
    stern=st.sampled_from(STERNS),
    length=st.floats(4, 22),
    slim=st.floats(0.22, 0.42),
    deep=st.floats(0.07, 0.22),
    wet=st.floats(0.72, 1.0),
    weight=st.one_of(st.none(), st.floats(0.8, 1.2)),
)
def test_any_likely_boat_is_whole(kind, keel, rudder, bow, stern, length, slim, deep, wet, weight):
    beam = (0.55 if kind == "catamaran" else slim) * length
    asked = made(
        kind, keel, length, beam, deep * length,
        rudder=rudder, bow=bow, stern=stern, lwl=wet * length,
    )  # fmt: skip
    boat = HullForm.build(asked)
    if weight is not None:
        boat = HullForm.build(replace(asked, displacement=weight * boat.displacement))
    assert all(np.isfinite(patch.xyz).all() for patch in boat.patches)
    assert all(np.isfinite(patch.flat).all() for patch in boat.patches)
    skin = boat.skin.xyz
    assert (np.diff(skin[..., 2], axis=1) > -1e-6).all()
    found = zones.default_zones(boat)
    areas = [zones.area(boat, zone) for zone in found]
    assert min(areas) >= 0
    assert sum(areas) == pytest.approx(zones.whole_area(boat), rel=1e-6)
    assert 0 < zones.wetted_area(boat) < zones.whole_area(boat)
