"""The program's own icons, 1.5 px lines on a 20 px grid, recoloured by role."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING

from hulllog.assets import resource

if TYPE_CHECKING:
    from hulllog.drawing.palette import Palette

GRID = 20
"""The side of an icon in pixels at scale 1."""


@cache
def names() -> tuple[str, ...]:
    """Return the names of all icons, sorted."""
    return tuple(sorted(path.stem for path in resource("icons").glob("*.svg")))


@cache
def source(name: str) -> str:
    """Return the SVG text of an icon, its lines in ``currentColor``.  KeyError if unknown."""
    if name not in names():
        raise KeyError(name)
    return resource(f"icons/{name}.svg").read_text(encoding="utf-8")


def svg(name: str, palette: Palette, role: str = "ink") -> str:
    """Return the SVG text of an icon in the colour of a role.

    Renderers draw ``currentColor`` black, so the colour is written in.
    """
    return source(name).replace("currentColor", palette.colour(role))
