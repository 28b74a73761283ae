"""Own views on paper: where zones are on the owner's own picture only, it stands for the form."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hulllog.drawing.hullparts import ZoneDrawing
from hulllog.drawing.ownviews import own_scene
from hulllog.drawing.zonepictures import zone_drawing
from hulllog.hull.handdrawn import is_own
from hulllog.hull.zones import ZoneOutline
from hulllog.records.media import own_view_copy
from hulllog.words import say, telling

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hulllog.drawing.scene import Scene
    from hulllog.insight.condition import ZoneState
    from hulllog.insight.ownviews import OwnSeen
    from hulllog.insight.yardsheet import Sheet
    from hulllog.records.logbook import Logbook

MOST = 3
"""Own views that the body of a history and a yard sheet have room for; our own rule."""
RESOLUTION = 200
"""Dots to an inch in which they are printed."""


def wanted(views: Sequence[OwnSeen]) -> list[OwnSeen]:
    """Return the views that show zones which no other view shows, those with the most first."""
    shown = [(sum(is_own(shape.code) for shape in view.shapes), view) for view in views]
    found = [one for one in shown if one[0]]
    return [view for _, view in sorted(found, key=lambda one: -one[0])][:MOST]


def state_scene(
    logbook: Logbook,
    view: OwnSeen,
    zones: Sequence[ZoneState],
    kind: str,
    width: float,
    most_high: float,
) -> Scene:
    """Draw the zones of an own view for a kind, ``width`` mm wide and at most so high."""
    height = min(most_high, width * view.height / view.width + 14)
    named = telling.kind_name(kind) if kind != "*" else say("own.all_kinds")
    return own_scene(
        view,
        copy_of(logbook, view, width),
        zones=[zone_drawing(zone, kind) for zone in zones],
        width=width,
        height=height,
        title=view.name,
        described=say("own.described", view=view.name, kind=named),
    ).scene


def sheet_scene(
    logbook: Logbook, view: OwnSeen, sheet: Sheet, width: float, most_high: float
) -> Scene:
    """Draw an own view for the yard sheet, its zones by their numbers."""
    zones = [
        ZoneDrawing(zone.code, ZoneOutline(zone.code, ()), zone.name, label=str(zone.number))
        for zone in sheet.zones
    ]
    return own_scene(
        view,
        copy_of(logbook, view, width),
        zones=zones,
        width=width,
        height=min(most_high, width * view.height / view.width + 14),
        title=view.name,
        described=say("sheet.view_described", view=view.name),
    ).scene


def copy_of(logbook: Logbook, view: OwnSeen, width: float) -> bytes | None:
    """Return the picture of a view in the resolution of a print, ``width`` mm wide."""
    long_side = width * max(view.width, view.height) / view.width
    return own_view_copy(
        logbook, view.sha256, view.media_type, round(long_side / 25.4 * RESOLUTION)
    )
