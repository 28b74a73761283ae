"""The boat on the yard sheet: zones by number, where slings bore, and what they must keep clear of.

A rule in metres from the stem lies under each side, so that slings can be marked with a pencil.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from hulllog.drawing import font
from hulllog.drawing.hullparts import ZoneDrawing
from hulllog.drawing.hullviews import hull_scene
from hulllog.drawing.scene import Scene, Style, Text
from hulllog.drawing.shapes import line, polygon
from hulllog.hull import outlines
from hulllog.hull.patches import Place
from hulllog.hull.zones import ZoneOutline
from hulllog.words import say
from hulllog.words.figures import figure

if TYPE_CHECKING:
    from hulllog.drawing.hullparts import HullPicture, ViewTransform
    from hulllog.drawing.scene import Item
    from hulllog.hull.form import HullForm
    from hulllog.insight.yardsheet import Borne, Sheet

SIDES = ("port", "starboard")
_FOOT = 21.0
"""Room in mm under a side for what is to be kept clear of and for the rule."""
_KEPT_CLEAR = ("drive", "rudder", "skeg")
_THICK = Style(width=0.9)
_THIN = Style(width=0.25)
_SLING = Style(width=0.5, dash=(2.2, 1.2))
_SMALL = 2.5


def side(sheet: Sheet, form: HullForm, view: str, width: float, height: float) -> Scene:
    """Draw a side with its zone numbers, the slings of last time, the keep-clear bars, the rule."""
    picture = _numbered(sheet, form, view, width, height - _FOOT)
    items: list[Item] = list(picture.scene.items)
    foot = height - _FOOT
    for borne in sheet.borne:
        if borne.sort == "sling" and _is_of(form, borne):
            items += _sling(borne, form, view, picture, foot)
    items += _kept_clear(sheet, form, view, picture.transform, foot + 1.5)
    items += _rule(form, view, picture.transform, height - 6.0)
    return Scene(width, height, tuple(items), picture.scene.described)


def plan(sheet: Sheet, form: HullForm, view: str, width: float, height: float) -> Scene:
    """Draw the boat from below or from astern with her zone numbers."""
    return _numbered(sheet, form, view, width, height).scene


def _numbered(sheet: Sheet, form: HullForm, view: str, width: float, height: float) -> HullPicture:
    zones = [
        ZoneDrawing(
            zone.code,
            ZoneOutline.from_json(dict(zone.outline)),
            zone.name,
            label=str(zone.number),
        )
        for zone in sheet.zones
        if zone.outline
    ]
    name = say(f"view.{view}")
    return hull_scene(
        form,
        view,
        zones=zones,
        width=width,
        height=height,
        title=name,
        described=say("sheet.view_described", view=name),
    )


def _sling(
    borne: Borne, form: HullForm, view: str, picture: HullPicture, foot: float
) -> list[Item]:
    """Draw a sling of last time as a dashed upright line across the side."""
    place = Place(borne.place.part, borne.place.face, borne.place.u, borne.place.v)
    x, _ = picture.transform.to_scene(*_mirrored(form, view, place))
    return [
        line(x, 9.0, x, foot, _SLING, "sling"),
        Text(x, 8.0, say("sheet.sling"), _SMALL, "middle", bold=True),
    ]


def _is_of(form: HullForm, borne: Borne) -> bool:
    """Tell whether a place is of this form: not on an own view, nor on a keel that she had."""
    there = {(patch.part, patch.face) for patch in form.patches}
    return (borne.place.part, borne.place.face) in there


def _mirrored(form: HullForm, view: str, place: Place) -> tuple[float, float]:
    """Return where a place lies along a side, whichever side it was noted on."""
    across, up = form.view_point("port", place)
    return (across if view == "port" else -across), up


def _kept_clear(
    sheet: Sheet, form: HullForm, view: str, transform: ViewTransform, top: float
) -> list[Item]:
    """Draw a bar with ends below each part that no sling may bear on."""
    spans: list[tuple[str, float, float]] = []
    for name in _KEPT_CLEAR:
        shapes = [s for s in outlines.silhouettes(form, view) if s.name.startswith(name)]
        if shapes:
            low = min(float(s.points[:, 0].min()) for s in shapes)
            high = max(float(s.points[:, 0].max()) for s in shapes)
            code = form.particulars.drive if name == "drive" else name
            spans.append((say(f"sheet.clear.{code}"), low, high))
    for borne in sheet.borne:
        if borne.sort == "transducer" and _is_of(form, borne):
            place = Place(borne.place.part, borne.place.face, borne.place.u, borne.place.v)
            x, _ = _mirrored(form, view, place)
            spans.append((borne.name, x - 0.1, x + 0.1))
    items: list[Item] = []
    taken: list[tuple[float, float, int]] = []
    for name, low, high in spans:
        left = transform.to_scene(low, 0.0)[0]
        right = transform.to_scene(high, 0.0)[0]
        wide = font.width(name, _SMALL) + 1.5
        middle = (left + right) / 2
        reach = (min(left, middle - wide / 2), max(right, middle + wide / 2))
        row = next(
            n for n in range(9) if all(r != n or reach[1] < a or b < reach[0] for a, b, r in taken)
        )
        taken.append((*reach, row))
        y = top + 4.4 * row
        items += [
            line(left, y, right, y, _THICK, "clear"),
            line(left, y - 1.0, left, y + 1.0, _THIN, "clear"),
            line(right, y - 1.0, right, y + 1.0, _THIN, "clear"),
            Text(middle, y + 3.0, name, _SMALL, "middle"),
        ]
    return items


def _rule(form: HullForm, view: str, transform: ViewTransform, top: float) -> list[Item]:
    """Draw metres from the stem along a side."""
    low, high = outlines.along(form, view)
    stem, way = (low, 1.0) if view == "port" else (high, -1.0)
    items: list[Item] = []
    ends = transform.to_scene(low, 0)[0], transform.to_scene(high, 0)[0]
    items.append(line(ends[0], top, ends[1], top, _THIN, "rule"))
    every = 1 if high - low <= 16 else 2
    metres = 0
    while metres <= high - low:
        x = transform.to_scene(stem + way * metres, 0)[0]
        items.append(line(x, top, x, top + (1.8 if metres % every == 0 else 1.0), _THIN, "rule"))
        if metres % every == 0:
            items.append(Text(x, top + 4.6, figure(metres, 0), _SMALL, "middle"))
        metres += 1
    x = ends[0] if view == "port" else ends[1]
    items.append(
        polygon([(x, top), (x - 1.0, top - 1.8), (x + 1.0, top - 1.8)], Style("ink", "ink"))
    )
    return items
