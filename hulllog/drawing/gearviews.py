"""The hull with her gear on it, in large and as a thumbnail."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hulllog.drawing import font
from hulllog.drawing.anodeviews import marked_own_picture, marked_picture
from hulllog.drawing.hullparts import HullPicture, Mark
from hulllog.drawing.ownviews import is_on
from hulllog.hull.patches import Place
from hulllog.words import say

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hulllog.hull.form import HullForm
    from hulllog.insight.gear import GearStory
    from hulllog.insight.ownviews import OwnSeen
    from hulllog.records.model import Zone, ZoneVersion

_ROOM = 26.0
"""The width in mm in which a name stands beside its mark."""


def mark_of(story: GearStory) -> Mark | None:
    """Return the mark of a piece of gear; None where it has no place."""
    where = story.place
    if where is None:
        return None
    place = Place(where.part, where.face, where.u, where.v)
    return Mark(
        f"gear:{story.gear_id}", font.fit(story.name, _ROOM, 2.7), place, "gear", story.name
    )


def gear_picture(
    form: HullForm,
    view: str,
    zones: Sequence[tuple[Zone, ZoneVersion]],
    stories: Sequence[GearStory],
    *,
    width: float,
    height: float,
    small: bool = False,
) -> HullPicture:
    """Draw one view of the hull with the gear that is seen in it, ``width`` × ``height`` mm."""
    marks = [mark for story in stories if (mark := mark_of(story)) is not None]
    described = say("gear_page.described", view=say(f"view.{view}"), n=len(marks))
    return marked_picture(
        form, view, zones, marks, width=width, height=height, small=small, described=described
    )


def own_gear_picture(
    view: OwnSeen,
    data: bytes | None,
    stories: Sequence[GearStory],
    *,
    width: float,
    height: float,
    small: bool = False,
) -> HullPicture:
    """Draw an own view with the gear that was placed on it."""
    marks = [mark for story in stories if (mark := mark_of(story)) and is_on(view, mark.place)]
    described = say("gear_page.described", view=view.name, n=len(marks))
    return marked_own_picture(
        view, data, marks, width=width, height=height, small=small, described=described
    )
