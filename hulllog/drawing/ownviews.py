"""An own view as a picture: the owner's drawing or photograph with zones, marks and a scale bar.

Zones are tinted so that what lies below stays to be seen, and have light edges under dark ones, so
that they can be told on a drawing and on a dark photograph alike.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from types import MappingProxyType
from typing import TYPE_CHECKING

import numpy as np

from hulllog.drawing import font, hulllegend, hullpins
from hulllog.drawing.hullgrid import Grid, Room
from hulllog.drawing.hullparts import HullPicture, ViewTransform, ZoneDrawing, unlooked
from hulllog.drawing.scene import Image, Path, Scene, Style, Text
from hulllog.drawing.shapes import hatch, line, polygon, rect, tick
from hulllog.hull.handdrawn import FACE, PART
from hulllog.hull.patches import Place
from hulllog.hull.zones import ZoneOutline
from hulllog.words import formats, say

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hulllog.drawing.hullparts import LegendEntry, Mark
    from hulllog.drawing.scene import Item
    from hulllog.insight.ownviews import OwnSeen

_VEIL, _TINT = 0.35, 0.65
"""How much the ground and the tint of a grade cover what lies below, so that a grade looks alike on
white paper and on a dark photograph, and the picture is still seen."""
_HEAD = 8.5
"""Room in mm for the name of the view, where the window sets it over the drawing."""
_FOOT = 6.5
"""Room in mm for the scale bar."""


@dataclass(frozen=True, slots=True)
class _Frame:
    """Where the picture lies in the scene, mm."""

    left: float
    top: float
    width: float
    height: float

    def at(self, u: float, v: float) -> tuple[float, float]:
        return self.left + u * self.width, self.top + v * self.height


def own_scene(
    view: OwnSeen,
    data: bytes | None,
    *,
    zones: Sequence[ZoneDrawing],
    width: float,
    height: float,
    marks: Sequence[Mark] = (),
    title: str = "",
    legend: Sequence[LegendEntry] = (),
    small: bool = False,
    picked: str = "",
    described: str = "",
) -> HullPicture:
    """Draw an own view, ``width`` × ``height`` mm; ``data`` is its JPEG, None where it is awaited.

    Data without a byte stand for a picture that is still being made small.

    What the parameters mean is as in ``hull_scene``.  The view of the transform is as wide as 1.
    """
    frame = _framed(view, width, height, titled=bool(title), legend=() if small else legend,
                    small=small)  # fmt: skip
    points = {one.code: [frame.at(u, v) for u, v in one.points] for one in view.shapes}
    drawn = [zone for zone in zones if zone.code in points]
    grid = Grid.blank(width, height, max(0.5, width / 360))
    for number, zone in enumerate(drawn):
        grid.fill(np.array(points[zone.code]), number)
    items: list[Item] = [*_ground(view, data, frame, small=small)]
    for zone in drawn:
        items += _zone(zone, points[zone.code], small=small)
    items += [
        polygon(points[zone.code], Style(stroke="action", width=0.45 if small else 0.9), zone.key)
        for zone in drawn
        if zone.key == picked
    ]
    for number, zone in enumerate(drawn):
        items += _label(zone, grid, number, points[zone.code], small=small)
    seen = [] if small else _seen(view, frame, marks)
    pins = hullpins.gathered([item for item in seen if item[0].kind == "spot"])
    for mark, x, y in seen:
        if mark.kind != "spot":
            items += hullpins.still(mark, x, y)
            items += hullpins.caption(grid, mark, x, y)
    items += hullpins.placed(grid, pins, frame.top, frame.top + frame.height)
    if not small:
        items += _scale_bar(view, frame)
    if title:
        size = 2.3 if small else 3.1
        items.append(Text(2.4 if small else 4.0, 1.6 + 1.2 * size, title, size, color="muted"))
    if legend and not small:
        items += hulllegend.items(legend, width, height - hulllegend.height_of(legend, width))
    regions = [(zone.key, zone.in_words) for zone in drawn if zone.appearance != "not_applicable"]
    regions += [(mark.key, mark.said or mark.text) for mark, _, _ in seen]
    scene = Scene(width, height, tuple(items), described, tuple(regions))
    crowds = {pin.key: pin.members for pin in pins if pin.members}
    transform = ViewTransform(frame.width, frame.left, frame.top)
    return HullPicture(scene, transform, MappingProxyType(crowds))


def plain_zones(view: OwnSeen) -> list[ZoneDrawing]:
    """Return the zones of an own view with nothing said of them."""
    return [
        ZoneDrawing(shape.code, ZoneOutline(shape.code, ()), shape.name, "not_rated")
        for shape in view.shapes
    ]


def place_on(view: OwnSeen, picture: HullPicture, x: float, y: float) -> Place | None:
    """Return the place of an own view at a point of its scene in mm; None beside the picture."""
    across, up = picture.transform.to_view(x, y)
    u, v = across, -up * view.width / view.height
    # A point of the very edge comes back a hair outside.
    if not (-1e-9 <= u <= 1 + 1e-9 and -1e-9 <= v <= 1 + 1e-9):
        return None
    return Place(view.key, FACE, min(max(u, 0.0), 1.0), min(max(v, 0.0), 1.0))


def point_of(view: OwnSeen, picture: HullPicture, place: Place) -> tuple[float, float]:
    """Return where a place of an own view lies in its scene, mm."""
    return picture.transform.to_scene(place.u, -place.v * view.height / view.width)


def is_on(view: OwnSeen, place: Place) -> bool:
    """Tell whether a place was given on an own view: it is shown on that view only."""
    return place.part == view.key


def is_own_place(place: Place) -> bool:
    """Tell whether a place was given on an own view, whichever."""
    return place.part.startswith(PART)


def _framed(
    view: OwnSeen,
    width: float,
    height: float,
    *,
    titled: bool,
    legend: Sequence[LegendEntry],
    small: bool,
) -> _Frame:
    margin = 1.0 if small else 3.0
    head = (4.2 if small else 7.0) if titled else (margin if small else _HEAD)
    foot = margin
    if not small:
        foot = _FOOT + (hulllegend.height_of(legend, width) if legend else 0.0)
    room = max(width - 2 * margin, 1.0), max(height - head - foot, 1.0)
    scale = min(room[0] / view.width, room[1] / view.height)
    wide, high = view.width * scale, view.height * scale
    return _Frame((width - wide) / 2, head + (room[1] - high) / 2, wide, high)


def _ground(view: OwnSeen, data: bytes | None, frame: _Frame, *, small: bool) -> list[Item]:
    edge = Style(stroke="line", width=0.25)
    around = rect(frame.left, frame.top, frame.width, frame.height, edge)
    if data:
        whole = Image(frame.left, frame.top, frame.width, frame.height, data, view.sha256[:16])
        return [whole, around]
    if small or data is not None:
        return [around]
    told = font.fit(say("own.awaited"), frame.width - 4, 3.1)
    middle = frame.at(0.5, 0.5)
    return [around, Text(*middle, told, 3.1, "middle", "muted")]


def _zone(zone: ZoneDrawing, points: Sequence[tuple[float, float]], *, small: bool) -> list[Path]:
    """Draw a zone in its appearance, so that the picture below is seen."""
    width = 0.25 if small else 0.4
    veil = Style(stroke=None, fill="sheet", opacity=_VEIL)
    halo = polygon(points, Style(stroke="sheet", width=2.6 * width, opacity=0.85), zone.key)
    edge = polygon(points, Style(stroke="ink", width=width), zone.key)
    if zone.appearance == "not_applicable":
        return [polygon(points, Style(stroke=None), zone.key)]
    if zone.appearance == "graded":
        tint = Style(stroke=None, fill=f"condition.{zone.condition}", opacity=_TINT)
        ground = polygon(points, veil, zone.key)
        return [ground, polygon(points, tint, zone.key), halo, edge]
    if zone.appearance == "not_seen":
        strokes = Style(stroke="hatch", width=0.2 if small else 0.3)
        ground = polygon(points, veil, zone.key)
        return [ground, hatch(edge, 1.2 if small else 2.0, strokes, zone.key), halo, edge]
    if zone.appearance == "not_looked":
        dashed = polygon(points, Style(stroke="ink", width=width, dash=(1.6, 1.1)), zone.key)
        # Without its grey ground: the picture below is to be seen.
        _, *crossed = unlooked(edge, 1.2 if small else 2.0, [halo, dashed], zone.key)
        return [polygon(points, veil, zone.key), *crossed]
    return [halo, edge]


def _label(
    zone: ZoneDrawing,
    grid: Grid,
    number: int,
    points: Sequence[tuple[float, float]],
    *,
    small: bool,
) -> list[Item]:
    """Set the label or the tick of a zone on a tag of its own, where it has room."""
    ticked = zone.appearance == "none_found" and not zone.label
    if not (ticked or zone.label) or (small and not ticked):
        return []
    mask = grid.seen([number])
    size = 1.4 if small else 2.6
    text = "" if ticked else zone.label
    wide, high = (1.17 * size, size) if ticked else (font.width(text, 3.1), font.cap_height(3.1))
    room = Room(mask, grid.step) if mask.any() else None
    at = room.spot(wide + 2, high + 2) if room else None
    if at is None and zone.short and not ticked:
        text = zone.short
        wide = font.width(text, 3.1)
        at = room.spot(wide + 2, high + 2) if room else None
    if at is None:
        at = (sum(x for x, _ in points) / len(points), sum(y for _, y in points) / len(points))
    x, y = at
    tag = Style(stroke="edge", fill="sheet", width=0.15, opacity=0.92)
    pad = 0.5 if small else 0.9
    box = rect(
        x - wide / 2 - pad, y - high / 2 - pad, wide + 2 * pad, high + 2 * pad, tag, radius=0.6
    )
    if not small:
        reach = wide / 2 + pad, high / 2 + pad
        grid.mark(x - reach[0], y - reach[1], x + reach[0], y + reach[1], hullpins.TAKEN)
    if ticked:
        stroke = Style(stroke="ink", width=0.25 if small else 0.4)
        return [box, tick(x - 0.165 * size, y + size / 2, size, stroke, zone.key)]
    return [box, Text(x, y + high / 2, text, 3.1, "middle", "ink", key=zone.key)]


def _seen(view: OwnSeen, frame: _Frame, marks: Sequence[Mark]) -> list[tuple[Mark, float, float]]:
    return [
        (mark, *frame.at(mark.place.u, mark.place.v)) for mark in marks if is_on(view, mark.place)
    ]


def _scale_bar(view: OwnSeen, frame: _Frame) -> list[Item]:
    """Draw how long a round length is in the picture; nothing while it has no scale."""
    if view.breadth is None:
        return []
    length = _round_length(view.breadth / 4)
    long = frame.width * length / view.breadth
    x, y = frame.left, frame.top + frame.height + 3.2
    stroke = Style(width=0.35)
    said = formats.quantity(length, "m")
    return [
        line(x, y, x + long, y, stroke, "scale"),
        line(x, y - 1.0, x, y + 1.0, stroke, "scale"),
        line(x + long, y - 1.0, x + long, y + 1.0, stroke, "scale"),
        Text(x + long + 1.5, y + font.cap_height(2.8) / 2, said, 2.8, color="muted", key="scale"),
    ]


def _round_length(most: float) -> float:
    """Return the largest of 1, 2 and 5 with noughts that is not above ``most``."""
    power = 10.0 ** math.floor(math.log10(most))
    return max(step * power for step in (1, 2, 5) if step * power <= most * (1 + 1e-9))
