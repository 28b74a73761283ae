"""An own view as a picture: image, zones, marks, scale bar; from the view to a place and back."""

from __future__ import annotations

import io

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image as Pixels

from hulllog.drawing.hullparts import Mark, ZoneDrawing
from hulllog.drawing.ownviews import own_scene, place_on, point_of
from hulllog.drawing.recorder import record
from hulllog.drawing.scene import Image, Path
from hulllog.hull.patches import Place
from hulllog.hull.zones import ZoneOutline
from hulllog.insight.ownviews import OwnSeen, OwnShape
from hulllog.records.values import Measured
from hulllog.words import formats

LEFT = ((0.05, 0.2), (0.45, 0.2), (0.45, 0.8), (0.05, 0.8))
RIGHT = ((0.55, 0.2), (0.95, 0.2), (0.95, 0.8), (0.55, 0.8))


def view(width=1200, height=600, length="6"):
    marks = ((0.2, 0.9), (0.8, 0.9)) if length else ()
    return OwnSeen(
        "v1", "Side", "port", "ab" * 32, "image/png", width, height, "side.png", marks,
        Measured(length, "m", float(length)) if length else None, "",
        (OwnShape("o1", "z1", "own-below-1", "Planks", LEFT),
         OwnShape("o2", "z2", "own-below-2", "Garboard", RIGHT)),
    )  # fmt: skip


def jpeg(width=120, height=60):
    out = io.BytesIO()
    Pixels.new("RGB", (width, height), "#335566").save(out, "JPEG")
    return out.getvalue()


def zones(appearance="not_rated", **more):
    return [
        ZoneDrawing(f"own-below-{n}", ZoneOutline(f"own-below-{n}", ()), name, appearance, **more)
        for n, name in ((1, "Planks"), (2, "Garboard"))
    ]


def scene(appearance="not_rated", of=None, data=None, **more):
    shown = {name: more.pop(name) for name in ("condition", "label") if name in more}
    return own_scene(
        of or view(), data or jpeg(), zones=zones(appearance, **shown), width=160, height=100,
        **more,
    )  # fmt: skip


def test_the_picture_lies_below_its_zones_in_its_own_proportions():
    drawn = scene().scene
    image = drawn.items[0]
    assert isinstance(image, Image)
    assert image.width / image.height == pytest.approx(2.0)
    keys = {item.key for item in drawn.items}
    assert {"zone:own-below-1", "zone:own-below-2", "scale"} <= keys
    assert [key for key, _ in drawn.regions] == ["zone:own-below-1", "zone:own-below-2"]


def test_six_appearances_are_told_apart_without_colour():
    records = {}
    for name in ("graded", "none_found", "not_rated", "not_applicable", "not_seen", "not_looked"):
        more = {"label": "S3", "condition": 2} if name == "graded" else {}
        drawn = scene(name, **more).scene
        records[name] = "\n".join(line for line in record(drawn).splitlines() if "<zone:" in line)
    assert len(set(records.values())) == 6
    assert "'S3'" in records["graded"]
    assert "dash=" in records["not_looked"]
    assert "edge/0.16" in records["not_looked"]
    assert "hatch" in records["not_seen"]


def test_the_recorder_writes_an_image_without_its_bytes():
    line = record(scene().scene).splitlines()[3]
    assert line.startswith("image ")
    assert line.endswith("'abababababababab'")


def test_an_awaited_file_is_said_and_zones_are_still_drawn():
    drawn = own_scene(view(), None, zones=zones(), width=160, height=100).scene
    assert not any(isinstance(item, Image) for item in drawn.items)
    assert any("awaited" in getattr(item, "text", "") for item in drawn.items)
    assert len(drawn.regions) == 2


def test_no_scale_no_bar():
    assert "scale" not in {item.key for item in scene(of=view(length="")).scene.items}


def test_the_bar_is_as_long_as_it_says():
    drawn = scene()
    bar = next(item for item in drawn.scene.items if item.key == "scale")
    image = drawn.scene.items[0]
    assert isinstance(bar, Path)
    # 6 m lie over 60 % of the width, so that the picture is 10 m wide; a quarter is 2.5, round 2
    assert bar.ops[1][1] - bar.ops[0][1] == pytest.approx(image.width * 2 / 10)
    said = [getattr(item, "text", "") for item in drawn.scene.items if item.key == "scale"]
    assert formats.quantity(2, "m") in said


def test_marks_of_other_views_are_not_shown():
    marks = [
        Mark("spot:1", "1", Place("own:v1", "flat", 0.5, 0.5)),
        Mark("spot:2", "2", Place("own:other", "flat", 0.5, 0.5)),
        Mark("spot:3", "3", Place("hull", "port", 0.5, 0.5)),
        Mark("photo:p", "", Place("own:v1", "flat", 0.2, 0.3), "photo"),
    ]
    drawn = scene(marks=marks).scene
    keys = [key for key, _ in drawn.regions if not key.startswith("zone")]
    assert sorted(keys) == ["photo:p", "spot:1"]


SIZES = st.integers(40, 6000)


@given(SIZES, SIZES, st.floats(0, 1), st.floats(0, 1), st.floats(40, 400), st.floats(40, 300))
def test_a_place_on_an_own_view_comes_back_where_it_was(width, height, u, v, wide, high):
    own = view(width, height)
    picture = own_scene(own, None, zones=(), width=wide, height=high)
    place = Place("own:v1", "flat", u, v)
    back = place_on(own, picture, *point_of(own, picture, place))
    assert back is not None
    assert (back.part, back.u, back.v) == ("own:v1", pytest.approx(u), pytest.approx(v))


def test_beside_the_picture_is_no_place():
    own = view()
    picture = scene()
    assert place_on(own, picture, 0.5, 0.5) is None
