"""Zones: they tile the skin, keep their codes and survive being stored."""

from __future__ import annotations

import json
from dataclasses import replace

import numpy as np
import pytest
from hullboats import BOATS, KETCH, form, made
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.spatial import ConvexHull

from hulllog.hull import outlines, zones
from hulllog.hull.form import HullForm
from hulllog.hull.particulars import KEELS
from hulllog.hull.patches import Place
from hulllog.hull.views import projected
from hulllog.hull.zones import Piece, ZoneOutline


@pytest.mark.parametrize("name", BOATS)
def test_zones_tile_the_skin(name):
    boat = form(name)
    found = zones.default_zones(boat)
    total = sum(zones.area(boat, zone) for zone in found)
    assert total == pytest.approx(zones.whole_area(boat), rel=1e-3)
    codes = [zone.code for zone in found]
    assert len(set(codes)) == len(codes)
    assert 12 <= len(codes) <= 20


@pytest.mark.parametrize("name", BOATS)
def test_every_place_lies_in_a_zone(name):
    boat = form(name)
    found = zones.default_zones(boat)
    rng = np.random.default_rng(3)
    for patch in boat.patches:
        for _ in range(5):
            place = Place(patch.part, patch.face, rng.random(), rng.random() * float(patch.v[-1]))
            assert zones.zone_at(boat, place, found) is not None, place


def test_codes_of_the_ketch():
    codes = {zone.code for zone in zones.default_zones(form("ketch"))}
    assert {
        "bottom-aft-port",
        "bottom-middle-starboard",
        "waterline-starboard",
        "topsides-port",
        "transom",
        "rudder",
        "skeg",
        "keel-port-outboard",
        "keel-starboard-inboard",
        "keel-port-under",
    } <= codes


def test_walk_goes_round_the_boat():
    codes = [zone.code for zone in zones.default_zones(form("ketch"))]
    at = codes.index
    assert at("bottom-forward-port") < at("bottom-aft-port") < at("transom")
    assert at("transom") < at("bottom-aft-starboard") < at("bottom-forward-starboard")


@pytest.mark.parametrize("name", BOATS)
def test_outlines_survive_json(name):
    for zone in zones.default_zones(form(name)):
        assert ZoneOutline.from_json(json.loads(json.dumps(zone.to_json()))) == zone


def test_zones_on_both_sides_are_alike():
    boat = form("ketch")
    area = {zone.code: zones.area(boat, zone) for zone in zones.default_zones(boat)}
    for code, value in area.items():
        if "port" in code.split("-"):
            assert area[code.replace("port", "starboard")] == pytest.approx(value)


def test_waterline_band_is_level_and_holds_the_waterline():
    boat = form("ketch")
    found = zones.default_zones(boat)
    for u in (0.2, 0.5, 0.8):
        place = Place("hull", "port", u, 1.0)
        assert zones.zone_at(boat, place, found) == "waterline-port"
    piece = next(z for z in found if z.code == "waterline-port").pieces[0]
    patch, low, high = zones.edges(boat, piece)
    for edge, level in ((low, boat.band[0]), (high, boat.band[1])):
        heights = patch.at(patch.u, edge)[:, 2]
        bottom = patch.xyz[:, 0, 2]
        assert np.abs(heights - np.maximum(bottom, level)).max() < 1e-6


def test_roots_are_taken_off():
    boat = form("ketch")
    root = boat.foils[0]
    x, half = root.middle[:, 0, 0], root.half[:, 0]
    section = float((0.5 * (half[1:] + half[:-1]) * np.diff(x)).sum() * 2)
    bare = replace(boat, footprints=())
    taken = zones.whole_area(bare) - zones.whole_area(boat)
    keels = 2 * section
    assert keels < taken < keels + 0.12


def test_wetted_area_and_topsides_make_the_hull():
    boat = form("ketch")
    foils = sum(
        zones.area(boat, zone)
        for zone in zones.default_zones(boat)
        if zone.code.split("-")[0] in ("keel", "rudder", "skeg")
    )
    body = zones.wetted_area(boat) - foils
    topsides = zones.topsides_area(boat)
    assert body + topsides + foils == pytest.approx(zones.whole_area(boat), rel=2e-3)
    assert 0.4 * 8.7 * 2.8 < body < 0.7 * 8.7 * 2.8


def test_beam_changes_area_and_picture_together():
    broad = HullForm.build(replace(KETCH, beam=3.1))
    for code in ("bottom-aft-port", "waterline-port"):
        one, other = (
            next(zone for zone in zones.default_zones(boat) if zone.code == code)
            for boat in (form("ketch"), broad)
        )
        assert zones.area(broad, other) > zones.area(form("ketch"), one)
        wide = [
            outlines.zone_shapes(b, "bottom", z)[0]
            for b, z in ((form("ketch"), one), (broad, other))
        ]
        assert np.ptp(wide[1].points[:, 1]) > np.ptp(wide[0].points[:, 1])


def shoelace(points):
    x, y = points.T
    return 0.5 * abs(float((x * np.roll(y, -1) - np.roll(x, -1) * y).sum()))


@pytest.mark.parametrize("name", ["ketch", "fin", "planing", "inland"])
def test_outline_encloses_the_projected_skin(name):
    """The polygon of a zone in profile has the area of its skin's projection."""
    boat = form(name)
    for zone in zones.default_zones(boat):
        shapes = outlines.zone_shapes(boat, "port", zone)
        hull = [p for p in zone.pieces if p.part == "hull" and p.face == "port"]
        if not shapes or len(hull) != 1 or len(zone.pieces) != 1:
            continue
        if "share" in hull[0].low or "share" in hull[0].high:
            continue
        patch = boat.patch("hull", "port")
        flat = replace(patch, xyz=patch.xyz * np.array([1.0, 0.0, 1.0]))
        flattened = replace(
            boat,
            patches=tuple(flat if p is patch else p for p in boat.patches),
            footprints=(),
            _memory={},
        )
        exact = zones.piece_area(flattened, hull[0])
        assert shoelace(shapes[0].points) == pytest.approx(exact, rel=5e-3, abs=1e-3)


def projected_area(view, patch):
    """Return the area of a face's projection where no cell lies behind another."""
    points = projected(view, patch.xyz, patch.flat)[0]
    one, other = points[1:, 1:] - points[:-1, :-1], points[1:, :-1] - points[:-1, 1:]
    return abs(float((0.5 * (one[..., 0] * other[..., 1] - one[..., 1] * other[..., 0])).sum()))


@pytest.mark.parametrize("name", BOATS)
def test_silhouette_of_hull_and_foils_is_their_projection(name):
    boat = form(name)
    shapes = outlines.silhouettes(boat, "port")
    for patch in boat.patches:
        seen = outlines.layer_of(boat, "port", patch) is not None
        if not seen or patch.kind not in ("hull", "foil", "bulb"):
            continue
        fits = [shoelace(shape.points) for shape in shapes if shape.name == patch.part]
        exact = projected_area("port", patch)
        assert min(abs(one / exact - 1) for one in fits) < 5e-3, (patch.part, patch.face)


def spanned(across, out):
    """Return the area below the outermost of lines of points (n, m), by even cuts across."""
    cuts = np.linspace(across.min(), across.max(), 4001)
    lines = [
        np.interp(cuts, one[order], two[order], left=0.0, right=0.0)
        for one, two in zip(across, out, strict=True)
        for order in [np.argsort(one)]
    ]
    return float(np.trapezoid(np.max(lines, axis=0), cuts))


@pytest.mark.parametrize("name", [name for name in BOATS if name != "catamaran"])
def test_outlines_from_below_and_astern_are_the_shadow_of_the_skin(name):
    boat = form(name)
    skin = boat.skin.xyz
    below = [s for s in outlines.silhouettes(boat, "bottom") if s.name in ("hull", "transom")]
    columns = np.moveaxis(skin, 1, 0)
    exact = spanned(columns[..., 0], columns[..., 1])
    assert sum(shoelace(shape.points) for shape in below) == pytest.approx(2 * exact, rel=5e-3)
    (astern,) = [s for s in outlines.silhouettes(boat, "stern") if s.name == "hull"]
    seen = skin[boat.skin.u >= 0.35]
    under = float(skin[int(np.argmax(skin[:, -1, 1])) :, -1, 2].min())
    clipped = np.minimum(seen[..., 2], under)
    whole = spanned(clipped, np.where(seen[..., 2] <= under, seen[..., 1], 0.0))
    lower = astern.points.copy()
    lower[:, 1] = np.minimum(lower[:, 1], under)
    assert shoelace(lower) == pytest.approx(2 * whole, rel=5e-3)


@pytest.mark.parametrize("name", BOATS)
@pytest.mark.parametrize("view", ["bottom", "stern"])
def test_what_is_seen_edge_on_is_drawn_whole(name, view):
    """The hull around the points of a slim keel leaves none of them out."""
    boat = form(name)
    shapes = outlines.silhouettes(boat, view)
    for patch in boat.patches:
        if patch.kind not in ("foil", "bulb") or outlines.layer_of(boat, view, patch) is None:
            continue
        points = projected(view, patch.xyz, patch.flat)[0].reshape(-1, 2)
        exact = float(ConvexHull(points).volume)
        fits = [shoelace(shape.points) for shape in shapes if shape.name == patch.part]
        assert min(abs(one - exact) for one in fits) < 1e-3 * exact + 1e-5


def test_a_bulb_hides_the_foot_of_its_fin():
    boat = form("bulb")
    for view in ("port", "starboard", "bottom", "stern"):
        layers = {
            part: max(
                outlines.layer_of(boat, view, patch) or 0
                for patch in boat.patches
                if patch.part == part
                and patch.kind != "sole"
                and outlines.layer_of(boat, view, patch) is not None
            )
            for part in ("keel", "bulb")
        }
        assert layers["bulb"] > layers["keel"], view


TYPES = [
    (kind, keel)
    for kind in ("yacht", "planing", "motor", "inland", "small", "catamaran")
    for keel in KEELS
]


@pytest.mark.parametrize(("kind", "keel"), TYPES)
def test_zones_tile_every_kind_with_every_keel(kind, keel):
    beam = 5.6 if kind == "catamaran" else 3.2
    boat = HullForm.build(made(kind, keel, 10.0, beam, 1.3))
    found = zones.default_zones(boat)
    total = sum(zones.area(boat, zone) for zone in found)
    assert total == pytest.approx(zones.whole_area(boat), rel=1e-3)
    held = [(piece.part, piece.face) for zone in found for piece in zone.pieces]
    assert {(patch.part, patch.face) for patch in boat.patches} == set(held)


@settings(max_examples=30, deadline=None)
@given(
    cut=st.floats(0.05, 0.95),
    level=st.floats(0.1, 1.9),
    face=st.sampled_from(["port", "starboard"]),
)
def test_a_split_zone_has_the_area_of_the_whole(cut, level, face):
    boat = form("ketch")
    whole = zones.piece_area(boat, Piece("hull", face, 0.0, 1.0, zones.KEEL, zones.TOP))
    parts = [
        Piece("hull", face, u0, u1, low, high)
        for u0, u1 in ((0.0, cut), (cut, 1.0))
        for low, high in ((zones.KEEL, {"v": level}), ({"v": level}, zones.TOP))
    ]
    assert sum(zones.piece_area(boat, part) for part in parts) == pytest.approx(whole, rel=1e-9)


def test_an_unknown_edge_is_refused():
    boat = form("ketch")
    with pytest.raises(ValueError, match="chine"):
        zones.piece_area(boat, Piece("hull", "port", 0, 1, {"chine": True}, zones.TOP))
    with pytest.raises(ValueError, match="moon"):
        zones.piece_area(boat, Piece("hull", "port", 0, 1, {"moon": 1}, zones.TOP))


def test_hidden_zones_have_no_shape():
    boat = form("ketch")
    by_code = {zone.code: zone for zone in zones.default_zones(boat)}
    assert not outlines.zone_shapes(boat, "port", by_code["topsides-starboard"])
    assert not outlines.zone_shapes(boat, "port", by_code["keel-port-under"])
    assert outlines.zone_shapes(boat, "bottom", by_code["keel-port-under"])
    for zone in by_code.values():
        assert outlines.zone_shapes(boat, "expansion", zone)


STEPS = st.tuples(
    st.sampled_from(["split", "split", "join"]),
    st.integers(0, 99),
    st.integers(0, 99),
    st.sampled_from(zones.WAYS),
    st.floats(0.02, 0.98),
)


def taken(found, steps):
    """Return zones after splits and joins."""
    found = list(found)
    for number, (what, one, other, way, share) in enumerate(steps):
        zone = found.pop(one % len(found))
        if what == "join" and found:
            found.append(zones.join(zone, found.pop(other % len(found))))
        else:
            cut = way if way in zones.ways(zone) else "across"
            found += zones.split(zone, cut, share, f"part-{number}")
    return found


@settings(max_examples=40, deadline=None)
@given(name=st.sampled_from(sorted(BOATS)), steps=st.lists(STEPS, max_size=12))
def test_zones_tile_the_skin_after_any_splits_and_joins(name, steps):
    boat = form(name)
    found = taken(zones.default_zones(boat), steps)
    total = sum(zones.area(boat, zone) for zone in found)
    assert total == pytest.approx(zones.whole_area(boat), rel=1e-3)
    stored = [ZoneOutline.from_json(json.loads(json.dumps(zone.to_json()))) for zone in found]
    assert stored == found


@settings(max_examples=30, deadline=None)
@given(
    name=st.sampled_from(sorted(BOATS)),
    which=st.integers(0, 99),
    way=st.sampled_from(zones.WAYS[:2]),
    share=st.floats(0.02, 0.98),
)
def test_the_parts_of_a_split_zone_joined_are_the_zone(name, which, way, share):
    boat = form(name)
    found = zones.default_zones(boat)
    zone = found[which % len(found)]
    one, other = zones.split(zone, way, share, "other")
    assert zones.join(one, other) == zone
    assert zones.covered(boat, one, zone) == pytest.approx(1, abs=1e-6)
    part = zones.area(boat, one) / zones.area(boat, zone)
    assert zones.covered(boat, zone, one) == pytest.approx(part, abs=1e-6)
    assert zones.covered(boat, one, other) == pytest.approx(0, abs=1e-6)


def test_a_cut_that_leaves_nothing_is_refused():
    zone = zones.default_zones(form("ketch"))[0]
    for way, share in (("across", 0.0), ("along", 1.0), ("faces", 0.5), ("slantwise", 0.5)):
        with pytest.raises(ValueError, match=way):
            zones.split(zone, way, share, "other")


def test_a_zone_on_a_part_that_is_gone_is_not_covered():
    keel = next(z for z in zones.default_zones(form("ketch")) if z.code.startswith("keel"))
    assert zones.covered(form("fin"), keel, keel) == 0
