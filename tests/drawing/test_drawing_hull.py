"""The hull as a picture: appearances, labels, marks and the way back to the boat."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from hulllog.drawing import font
from hulllog.drawing.hullgrid import Grid, Room, rooms
from hulllog.drawing.hullparts import eased, eased_line
from hulllog.drawing.hullviews import (
    LegendEntry,
    Mark,
    ZoneDrawing,
    hull_scene,
    legend_scene,
)
from hulllog.drawing.scene import Path, Style, Text
from hulllog.drawing.shapes import bounds, contains, outline
from hulllog.hull.form import HullForm
from hulllog.hull.outlines import silhouettes
from hulllog.hull.particulars import assume
from hulllog.hull.patches import Place
from hulllog.hull.views import VIEWS
from hulllog.hull.zones import default_zones

PLANK = Style(stroke="edge", width=0.12)
SIZE = {"width": 212.0, "height": 112.0}


@cache
def ketch():
    particulars, _ = assume("yacht", "grp", "twin", 8.7, 2.8, 0.95)
    return HullForm.build(particulars)


def drawn(appearance="not_rated", code="", **more):
    """Return all zones of the ketch, one of them (or all) in an appearance."""
    zones = []
    for zone in default_zones(ketch()):
        if code in ("", zone.code):
            zones.append(ZoneDrawing(zone.code, zone, zone.code, appearance, **more))
        else:
            zones.append(ZoneDrawing(zone.code, zone, zone.code, "not_rated"))
    return zones


def of(picture, key, kind=Path):
    return [i for i in picture.scene.items if isinstance(i, kind) and i.key == key]


KEY = "zone:bottom-aft-port"


def appearance(name, **more):
    zones = drawn(name, "bottom-aft-port", **more)
    return hull_scene(ketch(), "bottom", zones=zones, **SIZE)


def test_graded_zone_has_tint_and_grade():
    picture = appearance("graded", condition=3, label="22, to 8 mm")
    assert any(path.style.fill == "condition.3" for path in of(picture, KEY))
    (text,) = of(picture, KEY, Text)
    assert text.text == "22, to 8 mm"
    assert text.color == "on_condition.3"


def test_looked_for_and_none_is_a_tick_without_tint():
    picture = appearance("none_found")
    paths = of(picture, KEY)
    assert not any((path.style.fill or "").startswith("condition") for path in paths)
    ticks = [path for path in paths if path.style.stroke == "ink"]
    assert len(ticks) == 1
    assert len(ticks[0].ops) == 3


def test_not_rated_has_neither_tint_nor_tick():
    paths = of(appearance("not_rated"), KEY)
    assert {path.style.stroke for path in paths} == {None, "edge"}
    assert not any(path.style.dash for path in paths)


def test_not_applicable_has_no_edge():
    assert {path.style.stroke for path in of(appearance("not_applicable"), KEY)} == {None}


def test_could_not_be_seen_is_hatched_and_nothing_else_is():
    paths = of(appearance("not_seen"), KEY)
    strokes = [path for path in paths if path.style.stroke == "hatch"]
    assert len(strokes) == 1
    assert len(strokes[0].ops) > 20
    for other in ("graded", "none_found", "not_rated", "not_applicable", "not_looked"):
        assert not any(path.style.stroke == "hatch" for path in of(appearance(other), KEY))


def test_hatch_stays_in_its_zone():
    paths = of(appearance("not_seen"), KEY)
    edge = next(path for path in paths if path.style.stroke == "edge")
    strokes = next(path for path in paths if path.style.stroke == "hatch")
    runs = outline(edge)
    for start, end in zip(strokes.ops[::2], strokes.ops[1::2], strict=True):
        assert contains(runs, (start[1] + end[1]) / 2, (start[2] + end[2]) / 2)


def test_a_narrow_zone_is_hatched_as_plainly_as_a_broad_one():
    zones = drawn("not_seen", "keel-port-under")
    picture = hull_scene(ketch(), "bottom", zones=zones, width=118, height=40)
    paths = of(picture, "zone:keel-port-under") or of(picture, "keel-port-under")
    strokes = [path for path in paths if path.style.stroke == "hatch"]
    assert sum(len(path.ops) for path in strokes) // 2 >= 8


def test_the_outline_of_a_narrow_part_leaves_its_hatch_to_be_seen():
    zones = drawn("not_seen", "keel-port-under")
    picture = hull_scene(ketch(), "bottom", zones=zones, width=92, height=38)
    (hatched,) = [
        item
        for item in picture.scene.items
        if isinstance(item, Path) and item.style.stroke == "hatch" and "keel-port" in item.key
    ]
    left, top, right, bottom = bounds(hatched)
    around = [
        path
        for path in picture.scene.items
        if isinstance(path, Path) and path.style.stroke == "ink" and not path.key
        for box in [bounds(path)]
        if abs(box[0] - left) < 1.5 and abs(box[2] - right) < 1.5 and abs(box[3] - bottom) < 1.5
    ]
    assert around
    assert all(path.style.width < (bottom - top) / 5 for path in around)


def test_a_leaning_blade_is_not_drowned_in_its_outline():
    """Twin rudders lean: how narrow they are does not show in the box around them."""
    particulars, _ = assume("yacht", "grp", "bulb", 12.4, 4.0, 2.2)
    boat = HullForm.build(replace(particulars, rudder="twin"))
    picture = hull_scene(boat, "stern", zones=[], width=60, height=50, small=True)
    points = next(s.points for s in silhouettes(boat, "stern") if s.name == "rudder-port")
    low = points[points[:, 1] < -0.9] * picture.transform.scale
    thick = float(np.ptp(low[:, 0]))
    left, top = picture.transform.to_scene(float(points[:, 0].min()), float(points[:, 1].max()))
    (drawn_as, *_) = [
        path
        for path in picture.scene.items
        if isinstance(path, Path)
        and path.style.stroke == "ink"
        and abs(bounds(path)[0] - left) < 0.05
        and abs(bounds(path)[1] - top) < 0.05
    ]
    assert drawn_as.style.width < max(0.5 * thick, 0.13)


def test_the_bow_over_the_transom_is_the_boat_and_not_the_ground():
    form = boat_of("motor", "long")
    picture = hull_scene(form, "stern", zones=[], **SIZE)
    stern = float(form.skin.xyz[-1, -1, 2])
    x, y = picture.transform.to_scene(0.0, 0.5 * (stern + float(form.skin.xyz[0, -1, 2])))
    filled = [
        path
        for path in picture.scene.items
        if isinstance(path, Path) and path.style.fill == "sheet" and contains(outline(path), x, y)
    ]
    assert filled


def test_planks_lie_under_the_outline_of_the_boat():
    particulars, _ = assume("small", "wood", "none", 4.5, 1.7, 0.3)
    picture = hull_scene(HullForm.build(particulars), "port", zones=[], **SIZE)
    paths = [item for item in picture.scene.items if isinstance(item, Path)]
    planks = [n for n, path in enumerate(paths) if path.style == PLANK]
    around = [n for n, path in enumerate(paths) if path.style.stroke == "ink"]
    assert len(planks) == 7
    assert max(planks) < min(around)


def test_not_looked_at_is_grey_crossed_over_and_dashed_within():
    paths = of(appearance("not_looked"), KEY)
    assert [path.style.fill for path in paths if path.style.fill] == ["unlooked"]
    assert any(path.style.dash for path in paths)
    assert crossings(paths) == 2
    assert crossings(of(appearance("not_seen"), KEY)) == 1
    for other in ("graded", "none_found", "not_rated", "not_applicable"):
        assert crossings(of(appearance(other), KEY)) == 0


def crossings(paths):
    """Count the directions in which a zone is ruled: that is left of it in black-and-white."""
    slopes = set()
    for path in (item for item in paths if isinstance(item, Path)):
        pairs = list(zip(path.ops[::2], path.ops[1::2], strict=False))
        if len(pairs) > 1 and all((a[0], b[0]) == ("M", "L") for a, b in pairs):
            slopes |= {(b[1] - a[1]) * (b[2] - a[2]) > 0 for a, b in pairs}
    return len(slopes)


def test_a_zone_that_nobody_looked_at_keeps_its_letters_readable():
    paths = of(appearance("not_looked", label="A"), KEY)
    assert crossings(paths) == 0
    assert "unlooked" in {path.style.fill for path in paths}


def test_the_key_shows_not_looked_at_as_the_drawing_does():
    entries = [LegendEntry(name, name) for name in ("not_rated", "not_seen", "not_looked")]
    told = [crossings(legend_scene([entry], 60.0).items) for entry in entries]
    assert told == [0, 1, 2]


FORMS = [
    ("yacht", "fin"),
    ("yacht", "bulb"),
    ("yacht", "wing"),
    ("yacht", "long"),
    ("planing", "none"),
    ("motor", "long"),
    ("inland", "none"),
    ("small", "lifting"),
    ("catamaran", "fin"),
]


@cache
def boat_of(kind, keel):
    particulars, _ = assume(kind, "wood", keel, 10.0, 5.6 if kind == "catamaran" else 3.2, 1.3)
    return HullForm.build(particulars)


def is_legible(appearance, items):
    """Say if what is drawn of a zone tells the appearance from the other five."""
    paths = [item for item in items if isinstance(item, Path)]
    strokes = {path.style.stroke for path in paths}
    told = {
        "graded": any(isinstance(item, Text) for item in items),
        "none_found": "ink" in strokes,
        "not_rated": "edge" in strokes and not any(path.style.dash for path in paths),
        "not_applicable": strokes <= {None},
        "not_seen": any(
            path.style.stroke == "hatch" and sum(op[0] == "M" for op in path.ops) > 1
            for path in paths
        ),
        "not_looked": any(path.style.dash for path in paths),
    }
    return bool(items) and told[appearance]


@pytest.mark.parametrize(("kind", "keel"), FORMS)
@pytest.mark.parametrize(
    "appearance",
    ["graded", "none_found", "not_rated", "not_applicable", "not_seen", "not_looked"],
)
def test_every_zone_of_every_form_tells_its_appearance(kind, keel, appearance):
    boat = boat_of(kind, keel)
    zones = [
        ZoneDrawing(zone.code, zone, zone.code, appearance, condition=2, label=label)
        for label in ("17" if appearance == "graded" else "",)
        for zone in default_zones(boat)
    ]
    # From below a bulb hides its fin, and the sides of a flat bottom stand on edge.
    views = ("expansion",) if kind == "inland" or keel == "bulb" else ("expansion", "bottom")
    for view in views:
        picture = hull_scene(boat, view, zones=zones, **SIZE)
        by_key = {}
        for item in picture.scene.items:
            by_key.setdefault(item.key, []).append(item)
        drawn_here = [zone.key for zone in zones if zone.key in by_key]
        assert len(drawn_here) == len(zones) or view == "bottom"
        for key in drawn_here:
            assert is_legible(appearance, by_key[key]), (view, key)


def test_six_appearances_are_six_pictures():
    kinds = ("graded", "none_found", "not_rated", "not_applicable", "not_seen", "not_looked")
    seen = {tuple(path.style for path in of(appearance(kind), KEY)) for kind in kinds}
    assert len(seen) == 6


@pytest.mark.parametrize("view", VIEWS)
@pytest.mark.parametrize("small", [False, True])
def test_nothing_is_cut_off(view, small):
    zones = drawn("graded", condition=2, label="17, to 4 mm", short="2")
    marks = [Mark(f"spot:{n}", str(n), Place("hull", "port", n / 9, 0.9)) for n in range(1, 9)]
    size = (51.0, 33.0) if small else (212.0, 112.0)
    picture = hull_scene(
        ketch(), view, zones=zones, marks=marks, width=size[0], height=size[1],
        title="a view", small=small,
    )  # fmt: skip
    for item in picture.scene.items:
        if isinstance(item, Text):
            wide = font.width(item.text, item.size, bold=item.bold)
            left = item.x - {"start": 0, "middle": 0.5, "end": 1}[item.anchor] * wide
            assert 0 <= left <= left + wide <= size[0]
            assert 0 <= item.y <= size[1]
            continue
        for run in outline(item):
            points = np.array(run)
            assert np.isfinite(points).all()
            assert points.min() >= -0.01
            assert points[:, 0].max() <= size[0] + 0.01
            assert points[:, 1].max() <= size[1] + 0.01


def test_labels_stand_in_their_zone_and_apart():
    zones = drawn("graded", condition=1, label="17, to 4 mm", short="1")
    picture = hull_scene(ketch(), "port", zones=zones, **SIZE)
    boxes = []
    for item in picture.scene.items:
        if isinstance(item, Text):
            half = font.width(item.text, item.size, bold=True) / 2
            high = font.cap_height(item.size)
            boxes.append((item.x - half, item.y - high, item.x + half, item.y))
    assert len(boxes) == 8
    for n, one in enumerate(boxes):
        for other in boxes[n + 1 :]:
            apart = one[2] <= other[0] or other[2] <= one[0]
            assert apart or one[3] <= other[1] or other[3] <= one[1]


def test_a_label_that_has_no_room_is_led_out():
    zones = drawn("graded", "keel-port-under", condition=4, label="rust, 22 % of the area")
    picture = hull_scene(ketch(), "bottom", zones=zones, **SIZE)
    (text,) = of(picture, "zone:keel-port-under", Text)
    assert text.color == "ink"
    leads = [p for p in of(picture, "zone:keel-port-under") if p.style.stroke == "muted"]
    assert len(leads) == 1


@pytest.mark.parametrize(("width", "height"), [(140, 90), (150, 120), (160, 80)])
def test_a_label_that_is_led_out_keeps_off_the_line_of_her_sheer(width, height):
    zones = [
        ZoneDrawing(zone.code, zone, zone.code, label=str(number))
        for number, zone in enumerate(default_zones(ketch()), 1)
    ]
    picture = hull_scene(ketch(), "port", zones=zones, width=width, height=height)
    to_mm = picture.transform.all_to_scene
    shapes = [to_mm(shape.points) for shape in silhouettes(ketch(), "port")]
    (label,) = [one for one in of(picture, "zone:waterline-port", Text) if one.text == "2"]
    half = font.cap_height(label.size) / 2
    near = [shape[np.abs(shape[:, 0] - label.x) < 4, 1] for shape in shapes]
    gap = min(np.abs(ys - label.y + half).min(initial=99) for ys in near) - half
    assert gap > 1.5


def test_a_zone_behind_the_boat_is_neither_drawn_nor_reached():
    picture = hull_scene(ketch(), "port", zones=drawn("none_found"), **SIZE)
    assert not of(picture, "zone:bottom-aft-starboard")
    reached = [key for key, _ in picture.scene.regions]
    assert "zone:bottom-aft-port" in reached
    assert "zone:bottom-aft-starboard" not in reached


def test_regions_follow_the_walk_and_say_name_and_label():
    zones = drawn("graded", condition=2, label="17, to 4 mm")
    picture = hull_scene(ketch(), "expansion", zones=zones, **SIZE)
    keys = [key for key, _ in picture.scene.regions]
    assert keys == [zone.key for zone in zones]
    assert dict(picture.scene.regions)[KEY] == "bottom-aft-port, 17, to 4 mm"


@pytest.mark.parametrize("view", VIEWS)
def test_a_click_finds_the_way_back(view):
    picture = hull_scene(ketch(), view, zones=drawn(), **SIZE)
    place = Place("hull", "port", 0.72, 0.6)
    if view == "starboard":
        place = Place("hull", "starboard", 0.72, 0.6)
    at = picture.transform.to_scene(*ketch().view_point(view, place))
    found = ketch().pick(view, *picture.transform.to_view(*at))
    assert (found.part, found.face) == (place.part, place.face)
    assert (found.u, found.v) == pytest.approx((place.u, place.v), abs=1e-5)
    zone = next(item for item in picture.scene.items if item.key.startswith("zone:bottom-aft"))
    assert contains(outline(zone), *at)


def spots(count, part="hull", face="port"):
    rng = np.random.default_rng(5)
    return [
        Mark(f"spot:{n}", str(n), Place(part, face, rng.random(), 2 * rng.random()), said=f"no {n}")
        for n in range(1, count + 1)
    ]


def rings(picture):
    return [
        i
        for i in picture.scene.items
        if isinstance(i, Text) and i.key.startswith(("spot", "crowd"))
    ]


def test_pins_are_led_out_and_do_not_cover_each_other():
    picture = hull_scene(ketch(), "port", zones=drawn(), marks=spots(12), **SIZE)
    at = [(text.x, text.y) for text in rings(picture)]
    assert len(at) == 12
    gaps = [np.hypot(a[0] - b[0], a[1] - b[1]) for n, a in enumerate(at) for b in at[n + 1 :]]
    assert min(gaps) > 4.5


def test_crowds_are_gathered_and_none_is_lost():
    picture = hull_scene(ketch(), "port", zones=drawn(), marks=spots(300), **SIZE)
    assert len(rings(picture)) <= 28
    single = {text.key for text in rings(picture) if text.key.startswith("spot")}
    gathered = [key for members in picture.crowds.values() for key in members]
    assert len(gathered) == len(set(gathered))
    assert single | set(gathered) == {f"spot:{n}" for n in range(1, 301)}
    for key, members in picture.crowds.items():
        (count,) = [text.text for text in rings(picture) if text.key == key]
        assert count == str(len(members))


def test_marks_of_each_kind_look_different():
    place = Place("hull", "port", 0.4, 1.5)
    looks = set()
    for kind in ("spot", "photo", "point", "anode"):
        mark = Mark(f"{kind}:1", "1", place, kind)
        picture = hull_scene(ketch(), "port", zones=drawn(), marks=[mark], **SIZE)
        paths = of(picture, mark.key)
        assert paths
        looks.add(tuple((path.style, len(path.ops)) for path in paths))
    assert len(looks) == 4


def test_a_mark_on_the_far_side_is_not_drawn():
    far = [Mark("spot:1", "1", Place("hull", "starboard", 0.4, 1.5))]
    assert not rings(hull_scene(ketch(), "port", zones=drawn(), marks=far, **SIZE))
    gone = [Mark("spot:1", "1", Place("bulb", "port", 0.4, 0.5))]
    assert not rings(hull_scene(ketch(), "port", zones=drawn(), marks=gone, **SIZE))


def test_small_pictures_have_no_words_but_the_title():
    zones = drawn("graded", condition=2, label="17, to 4 mm")
    picture = hull_scene(
        ketch(), "port", zones=zones, marks=spots(3), width=51, height=33, title="port", small=True
    )
    assert [i.text for i in picture.scene.items if isinstance(i, Text)] == ["port"]
    assert any(path.style.fill == "condition.2" for path in of(picture, KEY))


def test_waterline_is_dashed_and_opens_for_a_label():
    bare = hull_scene(ketch(), "port", zones=drawn(), **SIZE)
    lines = [i for i in bare.scene.items if isinstance(i, Path) and i.style.stroke == "water_deep"]
    assert len(lines) == 1
    assert lines[0].style.dash
    zones = drawn("graded", "waterline-port", condition=0, label="4, to 2 mm")
    told = hull_scene(ketch(), "port", zones=zones, **SIZE)
    lines = [i for i in told.scene.items if isinstance(i, Path) and i.style.stroke == "water_deep"]
    assert len(lines) == 2


def test_picked_zone_is_outlined():
    picture = hull_scene(ketch(), "bottom", zones=drawn(), picked=KEY, **SIZE)
    assert [p for p in of(picture, KEY) if p.style.stroke == "action"]


def test_legend_stands_below_the_boat():
    legend = [LegendEntry("to 3 mm", "graded", 0), LegendEntry("could not be seen", "not_seen")]
    picture = hull_scene(ketch(), "port", zones=drawn(), legend=legend, **SIZE)
    words = {i.text: i.y for i in picture.scene.items if isinstance(i, Text)}
    assert set(words) == {"to 3 mm", "could not be seen"}
    boat = max(y for i in picture.scene.items if i.key.startswith("zone") for _, y in outline(i)[0])
    assert min(words.values()) > boat


def test_unknown_view_is_an_error():
    with pytest.raises(KeyError):
        hull_scene(ketch(), "roof", zones=drawn(), **SIZE)


def test_grid_knows_what_lies_uppermost():
    grid = Grid.blank(20, 20, 0.5)
    square = np.array([(2.0, 2.0), (12.0, 2.0), (12.0, 12.0), (2.0, 12.0)])
    grid.fill(square, 1)
    grid.fill(square + 5, 2)
    assert int((grid.cells == 1).sum()) == 300
    assert int((grid.cells == 2).sum()) == 400
    room = Room(grid.seen([1]), grid.step)
    x, y = room.spot(3, 3)
    assert contains([[tuple(p) for p in square]], x, y)
    assert not contains([[tuple(p + 5) for p in square]], x, y)
    assert room.spot(11, 3) is None
    xs, _ = rooms(grid.seen([2]), grid.step, 10, 10)
    assert len(xs) == 1


def test_eased_outlines_stay_near():
    turn = np.linspace(0, 2 * np.pi, 721)[:-1]
    circle = 40 * np.column_stack([np.cos(turn), np.sin(turn)])
    few = eased(circle)
    assert len(few) < 240
    middle = 0.5 * (few + np.roll(few, -1, axis=0))
    assert np.abs(np.hypot(*middle.T) - 40).max() < 0.1
    straight = np.column_stack([np.linspace(0, 9, 50), np.zeros(50)])
    assert len(eased_line(straight)) <= 3


def test_an_outline_keeps_a_corner_whose_one_side_is_dense():
    """The foot of a flat transom: points far apart along it, close together up the low bilge."""
    low = np.column_stack([np.linspace(0, 40, 11), np.zeros(11)])
    bilge = np.column_stack([np.full(12, 40.0), np.linspace(0, 0.4, 12)])
    side = np.column_stack([np.linspace(40, 40.6, 20), np.linspace(0.4, 25, 20)])
    top = np.column_stack([np.linspace(40.6, 0, 11), np.full(11, 25.0)])
    ring = np.vstack([low, bilge[1:], side[1:], top[1:]])
    few = eased(ring)
    assert len(few) < 8
    for corner in ((40.0, 0.0), (40.6, 25.0), (0.0, 25.0), (0.0, 0.0)):
        assert np.hypot(*(few - corner).T).min() < 0.02


def test_legend_alone_is_as_high_as_it_needs():
    entries = [LegendEntry(f"step {n}", "graded", n) for n in range(5)]
    wide, narrow = legend_scene(entries, 200), legend_scene(entries, 60)
    assert narrow.height > wide.height
    for scene in (wide, narrow):
        texts = [item for item in scene.items if isinstance(item, Text)]
        assert len(texts) == 5
        assert max(text.y for text in texts) < scene.height
        assert max(text.x + font.width(text.text, text.size) for text in texts) < scene.width
