"""The views of her form on the page *Boat*: her zones by their numbers in walking order."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hulllog.drawing.hullparts import ZoneDrawing
from hulllog.drawing.hullviews import hull_scene
from hulllog.drawing.ownviews import own_scene
from hulllog.hull.zones import ZoneOutline
from hulllog.words import say, say_n

if TYPE_CHECKING:
    from collections.abc import Mapping

    from hulllog.desktop.hull.pictures import Draw
    from hulllog.drawing.hullparts import HullPicture
    from hulllog.insight.boat import BoatForm
    from hulllog.insight.ownviews import OwnSeen


def drawer(form: BoatForm, view: str, *, small: bool = False) -> Draw:
    """Return what draws a view of a form with the numbers of her zones."""
    zones = [
        ZoneDrawing(
            zone.code,
            zone.outline,
            zone.name,
            "not_rated",
            label=str(zone.number),
            said=say("boat_page.zone_said", number=zone.number, name=zone.name),
        )
        for zone in form.zones
    ]
    described = say_n("boat_page.described", len(zones), view=say(f"view.{view}"))

    def draw(width: float, height: float) -> HullPicture:
        return hull_scene(
            form.form, view, zones=zones, width=width, height=height, small=small,
            described=described,
        )  # fmt: skip

    return draw


def own_drawer(
    view: OwnSeen, data: bytes | None, numbers: Mapping[str, int], *, small: bool = False
) -> Draw:
    """Return what draws an own view with the numbers of the zones on it."""
    zones = [
        ZoneDrawing(
            shape.code,
            ZoneOutline(shape.code, ()),
            shape.name,
            "not_rated",
            label=str(numbers.get(shape.code, "")),
            said=say("boat_page.zone_said", number=numbers.get(shape.code, ""), name=shape.name),
        )
        for shape in view.shapes
    ]
    described = say_n("own.zones_described", len(zones), view=view.name)

    def draw(width: float, height: float) -> HullPicture:
        return own_scene(
            view, data, zones=zones, width=width, height=height, small=small, described=described
        )

    return draw
