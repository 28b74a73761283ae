"""The hull in the paint that she wears, and the litres of her seasons side by side."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from hulllog.drawing import bars
from hulllog.drawing.hullparts import HullPicture, ZoneDrawing
from hulllog.drawing.hullviews import hull_scene
from hulllog.drawing.ownviews import own_scene
from hulllog.drawing.paintwords import layer_text, litres_text, season_name
from hulllog.drawing.scene import Path
from hulllog.hull.zones import ZoneOutline
from hulllog.insight.shape import outline
from hulllog.words import formats, say

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from hulllog.drawing.scene import Scene
    from hulllog.hull.form import HullForm
    from hulllog.insight.ownviews import OwnSeen
    from hulllog.insight.paint import BuildUp
    from hulllog.insight.seasons import Season
    from hulllog.records.model import Zone, ZoneVersion

UNCOLOURED = "muted"
"""The role in which a coat of unknown colour is drawn."""


def paint_picture(
    form: HullForm,
    view: str,
    zones: Sequence[tuple[Zone, ZoneVersion]],
    sections: Mapping[str, BuildUp],
    *,
    width: float,
    height: float,
    small: bool = False,
) -> HullPicture:
    """Draw one view of the hull, every zone in the colour of its outermost coat on record.

    ``sections`` are by zone key.  A zone without a coat on record stays without colour.
    """
    drawings = [
        ZoneDrawing(
            zone.code,
            outline(version.outline),
            zone.name,
            "not_rated",
            said=_said(zone, sections.get(zone.id)),
        )
        for zone, version in zones
    ]
    drawn = hull_scene(
        form,
        view,
        zones=drawings,
        width=width,
        height=height,
        small=small,
        described=say("paint_page.described", view=say(f"view.{view}")),
    )
    return _coloured(drawn, _fills(zones, sections), "sheet")


def own_paint_picture(
    view: OwnSeen,
    data: bytes | None,
    zones: Sequence[tuple[Zone, ZoneVersion]],
    sections: Mapping[str, BuildUp],
    *,
    width: float,
    height: float,
    small: bool = False,
) -> HullPicture:
    """Draw an own view as ``paint_picture``; the picture below its zones is still seen."""
    fills = _fills(zones, sections)
    drawings = [
        ZoneDrawing(
            zone.code,
            ZoneOutline(zone.code, ()),
            zone.name,
            "graded" if f"zone:{zone.code}" in fills else "not_rated",
            said=_said(zone, sections.get(zone.id)),
        )
        for zone, _ in zones
    ]
    drawn = own_scene(
        view,
        data,
        zones=drawings,
        width=width,
        height=height,
        small=small,
        described=say("paint_page.described", view=view.name),
    )
    return _coloured(drawn, fills, "condition.0")


def _fills(
    zones: Sequence[tuple[Zone, ZoneVersion]], sections: Mapping[str, BuildUp]
) -> dict[str, str]:
    """Return the colour of each zone that has a coat on record, by its key in the drawing."""
    return {
        f"zone:{zone.code}": sections[zone.id].layers[-1].colour_hex or UNCOLOURED
        for zone, _ in zones
        if zone.id in sections and sections[zone.id].layers
    }


def _coloured(drawn: HullPicture, fills: Mapping[str, str], ground: str) -> HullPicture:
    """Give each zone its colour in place of the ground that it was drawn with."""
    items = tuple(
        replace(item, style=replace(item.style, fill=fills[item.key]))
        if isinstance(item, Path) and item.key in fills and item.style.fill == ground
        else item
        for item in drawn.scene.items
    )
    return replace(drawn, scene=replace(drawn.scene, items=items))


def _said(zone: Zone, section: BuildUp | None) -> str:
    if section is None or not section.layers:
        return say("paint_page.zone_bare", zone=zone.name)
    return say("paint_page.zone", zone=zone.name, coat=layer_text(section.layers[-1]))


def season_bars(found: Sequence[Season], width: float, height: float) -> Scene:
    """Draw the litres of antifouling of every season in its colour."""
    columns = tuple(
        bars.Column(
            formats.year(season.thread.begins),
            (
                bars.Part(
                    0.0 if season.thread.again else season.thread.litres or 0.0,
                    season.thread.colour_hex or UNCOLOURED,
                ),
            ),
            text=_litres(season),
            said=f"{season_name(season)}. {litres_text(season)}",
            key=f"season:{number}",
        )
        for number, season in enumerate(found)
    )
    chart = bars.Bars(
        columns,
        unit=formats.unit_label("L"),
        empty=say("paint_page.no_seasons"),
        described=say("paint_page.bars_described", n=len(columns)),
    )
    return bars.bars(chart, width, height)


def _litres(season: Season) -> str:
    if season.thread.again:
        return "–"
    if season.thread.litres is None:
        return "?"
    return formats.figure(season.thread.litres, 1)
