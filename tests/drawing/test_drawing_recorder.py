"""A recorded scene says all that a painter would use."""

from __future__ import annotations

from dataclasses import replace

import pytest

from hulllog.drawing.recorder import record
from hulllog.drawing.scene import Path, Scene, Style, Text
from hulllog.drawing.shapes import line

SCENE = Scene(
    40,
    20.5,
    (
        line(0, -0.001, 1 / 3, 2, Style("water_deep", width=0.4, dash=(2, 1)), "spot:4"),
        Path((("M", 0, 0), ("C", 1, 1, 2, 2, 3, 3), ("Z",)), Style(None, "condition.2")),
        Path((("M", 0, 0),), Style(None)),
        Text(1, 2, "it's <b>", 3.2, "end", "muted", bold=True, key="zone:a"),
    ),
    "two lines",
    (("spot:4", "a blister"),),
)


def test_a_scene_is_written_line_by_line():
    assert record(SCENE).splitlines() == [
        "scene 40 x 20.5",
        "described two lines",
        "region spot:4 = a blister",
        "path stroke=water_deep/0.4 dash=2,1 <spot:4> M0,0 L0.33,2",
        "path fill=condition.2 M0,0 C1,1,2,2,3,3 Z",
        "path unseen M0,0",
        'text 1,2 end 3.2 muted bold <zone:a> "it\'s <b>"',
    ]


@pytest.mark.parametrize(
    "change",
    [
        {"stroke": "ink"},
        {"fill": "sheet"},
        {"width": 0.5},
        {"dash": ()},
        {"opacity": 0.5},
    ],
)
def test_any_change_of_style_shows(change):
    path = SCENE.items[0]
    other = replace(path, style=replace(path.style, **change))
    assert record(replace(SCENE, items=(other,))) != record(replace(SCENE, items=(path,)))
