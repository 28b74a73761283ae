"""The views of her form on the page *Boat*: her zones by their numbers in walking order."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hulllog.drawing.hullparts import ZoneDrawing
from hulllog.drawing.hullviews import hull_scene
from hulllog.words import say, say_n

if TYPE_CHECKING:
    from hulllog.desktop.hull.pictures import Draw
    from hulllog.drawing.hullparts import HullPicture
    from hulllog.insight.boat import BoatForm


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
