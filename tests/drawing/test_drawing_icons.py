"""Icons are of one style, inside their grid, and take any role's colour."""

from __future__ import annotations

import re
from xml.etree import ElementTree

import pytest

from hulllog.drawing import icons
from hulllog.drawing.palette import DARK, LIGHT

NEEDED = [
    "today",
    "haulout",
    "hull",
    "anode",
    "paint",
    "gear",
    "findings",
    "plan",
    "papers",
    "boat",
    "add",
    "photo",
    "undo",
    "redo",
    "backup",
    "check",
    "print",
    "compare",
    "search",
    "close",
    "back",
    "caution",
    "sun",
    "pin",
    "ruler",
    "settings",
    "door",
    "open",
]


def test_the_icons_that_the_program_needs_are_there():
    assert set(NEEDED) <= set(icons.names())


@pytest.mark.parametrize("name", icons.names())
def test_an_icon_is_drawn_in_the_one_style(name):
    root = ElementTree.fromstring(icons.source(name))
    assert root.get("viewBox") == "0 0 20 20"
    assert root.get("stroke-width") == "1.5"
    assert root.get("fill") == "none"
    parts = list(root)
    assert parts
    for part in parts:
        tag = part.tag.rpartition("}")[2]
        assert tag in {"path", "circle", "rect"}
        assert not {"fill", "stroke", "stroke-width", "style"} & set(part.attrib)


@pytest.mark.parametrize("name", icons.names())
def test_an_icon_starts_inside_its_grid(name):
    for x, y in re.findall(r"M(-?[\d.]+)[ ,]?(-?[\d.]+)", icons.source(name)):
        assert 1 <= float(x) <= 19
        assert 1 <= float(y) <= 19


def test_an_icon_takes_the_colour_of_a_role():
    drawn = icons.svg("anode", DARK, "muted")
    assert DARK.colour("muted") in drawn
    assert "currentColor" not in drawn
    assert icons.svg("anode", LIGHT) != drawn


def test_an_unknown_icon_is_refused():
    with pytest.raises(KeyError):
        icons.source("../fonts/OFL")
