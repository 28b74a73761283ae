"""Anodes and paint on the hull: marks with what is left, zones in the colour of their last coat."""

from __future__ import annotations

from dataclasses import dataclass

import pytest

from hulllog.drawing.anodeviews import anode_picture, mark_of
from hulllog.drawing.paintviews import paint_picture, season_bars
from hulllog.drawing.paintwords import fouling_text, layer_text, litres_text
from hulllog.drawing.scene import Path, Text
from hulllog.drawing.shapes import bounds
from hulllog.hull.form import HullForm
from hulllog.hull.particulars import assume
from hulllog.hull.zones import default_zones
from hulllog.insight.anodes import PositionStory
from hulllog.insight.paint import BuildUp, Layer, Thread
from hulllog.insight.seasons import Fouling, Season
from hulllog.records.values import PartialDate, Where
from hulllog.trade.working import Working


@dataclass
class Named:
    """A zone, as far as it is drawn."""

    id: str
    code: str
    name: str


@dataclass
class Version:
    outline: dict


@pytest.fixture(scope="module")
def form():
    return HullForm.build(assume("yacht", "grp", "twin", 8.7, 2.9, 0.95)[0])


@pytest.fixture(scope="module")
def zones(form):
    return [
        (Named(f"id-{one.code}", one.code, one.code), Version(one.to_json()))
        for one in default_zones(form)
    ]


USED = Working(name="litres_used", value=4.4, unit="L", formula="V = ΣV_n")


def story(place, name="Shaft"):
    return PositionStory("p1", name, place, (), (), (), None, None, None, None, None, (), "unknown")


def layer(colour_hex, product="Tidewall 40", colour="red"):
    return Layer(
        PartialDate.parse("2023-04"), product, "hard_antifouling", "antifouling", colour,
        colour_hex, 50.0, "sheet",
    )  # fmt: skip


def season(**more):
    thread = Thread(
        PartialDate.parse("2022-05"), PartialDate.parse("2023-04"), "x", "Tidewall 40",
        "hard_antifouling", "red", "#7a2b2b", 2, USED, 2, "v", "w", more.pop("again", False),
    )  # fmt: skip
    return Season(thread, more.pop("coats", (1, 2)), None, None, None, "area_not_known",
                  more.pop("fouling", None), None)  # fmt: skip


@pytest.mark.parametrize("view", ["port", "starboard", "bottom", "stern", "expansion"])
@pytest.mark.parametrize("small", [False, True])
def test_an_anode_is_marked_in_the_views_in_which_it_is_seen(form, zones, view, small):
    where = Where("hull", "port", 0.8, 0.4)
    drawn = anode_picture(form, view, zones, [story(where)], width=160, height=90, small=small)
    marked = any(item.key == "anode:p1" for item in drawn.scene.items)
    assert marked == (view != "starboard")
    if marked:
        at = drawn.transform.to_scene(*form.view_point(view, mark_of(story(where)).place))
        left, top, right, bottom = bounds(
            next(i for i in drawn.scene.items if i.key == "anode:p1" and isinstance(i, Path))
        )
        assert left <= at[0] <= right
        assert top <= at[1] <= bottom


@pytest.mark.parametrize("u", [0.02, 0.3, 0.97])
def test_the_name_of_an_anode_stays_in_the_picture(form, zones, u):
    named = story(Where("hull", "port", u, 0.5), "A very long name " * 6)
    drawn = anode_picture(form, "port", zones, [named], width=160, height=90)
    tags = [i for i in drawn.scene.items if isinstance(i, Text) and i.key == "anode:p1"]
    for tag in tags:
        left, top, right, bottom = bounds(tag)
        assert left >= 0
        assert right <= 160
        assert top >= 0
        assert bottom <= 90
    assert named.name in dict(drawn.scene.regions)["anode:p1"]


def test_a_position_without_a_place_is_no_mark():
    assert mark_of(story(None)) is None


def test_zones_wear_the_colour_of_their_last_coat_and_the_rest_none(form, zones):
    sections = {
        "id-bottom-aft-port": BuildUp("x", None, None, (layer("#25407a"), layer("#7a2b2b"))),
        "id-rudder": BuildUp("y", None, None, (layer(None),)),
    }
    drawn = paint_picture(form, "port", zones, sections, width=160, height=90)
    fills = {
        item.key: item.style.fill
        for item in drawn.scene.items
        if isinstance(item, Path) and item.style.fill and item.key
    }
    assert fills["zone:bottom-aft-port"] == "#7a2b2b"
    assert fills["zone:rudder"] == "muted"
    assert fills["zone:topsides-port"] == "sheet"
    said = dict(drawn.scene.regions)
    assert "Tidewall 40" in said["zone:bottom-aft-port"]
    assert "no coat on record" in said["zone:topsides-port"]


def test_a_colour_that_the_name_says_is_not_said_twice():
    assert layer_text(layer("#7a2b2b", "Tidewall Inlet Red", "inlet red")).count("nlet") == 1


def test_litres_of_every_season_stand_in_their_colour():
    found = [season(), season(again=True, coats=())]
    scene = season_bars(found, 120, 40)
    assert [key for key, _ in scene.regions] == ["season:0", "season:1"]
    assert any(isinstance(i, Path) and i.style.fill == "#7a2b2b" for i in scene.items)
    assert "not renewed" in litres_text(found[1]).lower()
    assert season_bars([], 120, 40).items


def test_what_is_not_known_is_named():
    assert "area is not known" in litres_text(season())
    assert "not rated" in fouling_text(season())
    assert "level 9" in fouling_text(season(fouling=Fouling("9", 1)))
