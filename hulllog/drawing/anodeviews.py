"""The hull with her anodes on it, in large and as a thumbnail."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from hulllog.drawing import font, hullpins
from hulllog.drawing.hullparts import HullPicture, Mark, ZoneDrawing
from hulllog.drawing.hullviews import hull_scene
from hulllog.drawing.ownviews import is_on, own_scene, plain_zones, point_of
from hulllog.hull.outlines import is_seen
from hulllog.hull.patches import Place
from hulllog.insight.shape import outline
from hulllog.words import formats, say

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hulllog.hull.form import HullForm
    from hulllog.insight.anodes import PositionStory
    from hulllog.insight.ownviews import OwnSeen
    from hulllog.records.model import Zone, ZoneVersion

_ROOM = 26.0
"""The width in mm in which the name of an anode stands beside it."""


def key_of(story: PositionStory) -> str:
    """Return the key of a position in the drawing."""
    return f"anode:{story.position_id}"


def mark_of(story: PositionStory) -> Mark | None:
    """Return the mark of a position, with what is left there; None where it has no place."""
    if story.place is None:
        return None
    where = story.place
    share = left_in_short(story)
    name = font.fit(story.name, _ROOM, 2.7)
    text = say("anodes_page.mark", name=name, left=share) if share else name
    said = say("anodes_page.mark", name=story.name, left=share) if share else story.name
    return Mark(key_of(story), text, Place(where.part, where.face, where.u, where.v), "anode", said)


def left_in_short(story: PositionStory) -> str:
    """Say the share left of the present piece at its last look; empty where none is known."""
    present = story.present
    looks = [look.left for look in present.checks if look.left] if present else []
    return formats.shares(*looks[-1]) if looks else ""


def anode_picture(
    form: HullForm,
    view: str,
    zones: Sequence[tuple[Zone, ZoneVersion]],
    stories: Sequence[PositionStory],
    *,
    width: float,
    height: float,
    small: bool = False,
) -> HullPicture:
    """Draw one view of the hull with the anodes that are seen in it, ``width`` × ``height`` mm."""
    marks = [mark for story in stories if (mark := mark_of(story)) is not None]
    described = say("anodes_page.described", view=say(f"view.{view}"), n=len(marks))
    return marked_picture(
        form, view, zones, marks, width=width, height=height, small=small, described=described
    )


def own_anode_picture(
    view: OwnSeen,
    data: bytes | None,
    stories: Sequence[PositionStory],
    *,
    width: float,
    height: float,
    small: bool = False,
) -> HullPicture:
    """Draw an own view with the anodes that were placed on it."""
    marks = [mark for story in stories if (mark := mark_of(story)) and is_on(view, mark.place)]
    described = say("anodes_page.described", view=view.name, n=len(marks))
    return marked_own_picture(
        view, data, marks, width=width, height=height, small=small, described=described
    )


def marked_picture(
    form: HullForm,
    view: str,
    zones: Sequence[tuple[Zone, ZoneVersion]],
    marks: Sequence[Mark],
    *,
    width: float,
    height: float,
    small: bool,
    described: str,
) -> HullPicture:
    """Draw one view of the plain hull with marks on it; a small one has no names."""
    drawings = [
        ZoneDrawing(zone.code, outline(version.outline), zone.name, "not_rated")
        for zone, version in zones
    ]
    drawn = hull_scene(
        form,
        view,
        zones=drawings,
        marks=marks,
        width=width,
        height=height,
        small=small,
        described=described,
    )
    seen = [mark for mark in marks if is_seen(form, view, mark.place)]
    if small:
        items = [
            part
            for mark in seen
            for part in hullpins.still(
                mark, *drawn.transform.to_scene(*form.view_point(view, mark.place))
            )
        ]
        return replace(drawn, scene=replace(drawn.scene, items=(*drawn.scene.items, *items)))
    regions = tuple((mark.key, mark.said or mark.text) for mark in seen)
    return replace(drawn, scene=replace(drawn.scene, regions=regions))


def marked_own_picture(
    view: OwnSeen,
    data: bytes | None,
    marks: Sequence[Mark],
    *,
    width: float,
    height: float,
    small: bool,
    described: str,
) -> HullPicture:
    """Draw an own view with the marks that are on it, as ``marked_picture``."""
    drawn = own_scene(
        view,
        data,
        zones=plain_zones(view),
        marks=marks,
        width=width,
        height=height,
        small=small,
        described=described,
    )
    if small:
        items = [
            part
            for mark in marks
            for part in hullpins.still(mark, *point_of(view, drawn, mark.place))
        ]
        return replace(drawn, scene=replace(drawn.scene, items=(*drawn.scene.items, *items)))
    regions = tuple((mark.key, mark.said or mark.text) for mark in marks)
    return replace(drawn, scene=replace(drawn.scene, regions=regions))
