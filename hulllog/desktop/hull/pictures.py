"""The scenes of the page: zones for a kind, zones as they changed, and the marks on them."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from hulllog.drawing.hullparts import HullPicture, LegendEntry, Mark, ZoneDrawing
from hulllog.drawing.hullviews import hull_scene
from hulllog.drawing.ownviews import own_scene
from hulllog.drawing.zonepictures import picture, zone_drawing
from hulllog.hull.patches import Place
from hulllog.hull.zones import ZoneOutline
from hulllog.words import say, telling

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hulllog.desktop.hull.shown import Shown
    from hulllog.hull.form import HullForm
    from hulllog.insight.comparing import ZoneChange
    from hulllog.insight.condition import ZoneState
    from hulllog.insight.ownviews import OwnSeen
    from hulllog.records.values import Where

Draw = Callable[[float, float], HullPicture]
"""Draws a view for a width and height in mm."""

_CHANGED = frozenset({"worse", "better", "up", "down"})


def place_of(where: Where) -> Place:
    """Return a kept place as the form knows it."""
    return Place(where.part, where.face, where.u, where.v)


def marks_of(shown: Shown) -> list[Mark]:
    """Return the rings of the spots and the marks of the photographs."""
    spots = [
        Mark(
            f"spot:{spot.number}",
            str(spot.number),
            place_of(spot.place),
            said=say("spot.numbered_label", number=spot.number, label=spot.label),
        )
        for spot in shown.spots
        if spot.place is not None
    ]
    photos = [
        Mark(
            f"photo:{photo.place_id}",
            "",
            place_of(photo.place),
            "photo",
            say("hull_page.photo_mark", caption=photo.caption or say("hull_page.no_caption")),
        )
        for photo in shown.photos
        if photo.place is not None and photo.spot_id is None
    ]
    return [*photos, *spots]


def state_drawer(
    form: HullForm,
    view: str,
    zones: Sequence[ZoneState],
    kind: str,
    marks: Sequence[Mark] = (),
    *,
    small: bool = False,
) -> Draw:
    """Return what draws one view of the hull for a kind."""

    def draw(width: float, height: float) -> HullPicture:
        return picture(
            form, view, zones, kind, width=width, height=height, marks=marks, small=small,
            titled=False,
        )  # fmt: skip

    return draw


def change_drawer(
    form: HullForm,
    view: str,
    changes: Sequence[ZoneChange],
    kind: str,
    marks: Sequence[Mark] = (),
    *,
    small: bool = False,
) -> Draw:
    """Return what draws one view of the hull with the change of every zone."""
    zones = [change_drawing(change, kind) for change in changes if change.now.outline]
    described = say(
        "hull_page.change_described", view=say(f"view.{view}"), kind=telling.kind_name(kind)
    )

    def draw(width: float, height: float) -> HullPicture:
        return hull_scene(
            form, view, zones=zones, marks=marks, width=width, height=height, small=small,
            described=described,
        )  # fmt: skip

    return draw


def own_state_drawer(
    view: OwnSeen,
    data: bytes | None,
    zones: Sequence[ZoneState],
    kind: str,
    marks: Sequence[Mark] = (),
    *,
    small: bool = False,
) -> Draw:
    """Return what draws an own view for a kind."""
    named = telling.kind_name(kind) if kind else ""
    described = say("own.described", view=view.name, kind=named)
    drawings = [zone_drawing(zone, kind) for zone in zones]
    return _own_drawer(view, data, drawings, marks, described, small=small)


def own_change_drawer(
    view: OwnSeen,
    data: bytes | None,
    changes: Sequence[ZoneChange],
    kind: str,
    marks: Sequence[Mark] = (),
    *,
    small: bool = False,
) -> Draw:
    """Return what draws an own view with the change of every zone."""
    described = say("hull_page.change_described", view=view.name, kind=telling.kind_name(kind))
    drawings = [change_drawing(change, kind) for change in changes]
    return _own_drawer(view, data, drawings, marks, described, small=small)


def _own_drawer(
    view: OwnSeen,
    data: bytes | None,
    zones: Sequence[ZoneDrawing],
    marks: Sequence[Mark],
    described: str,
    *,
    small: bool,
) -> Draw:
    def draw(width: float, height: float) -> HullPicture:
        return own_scene(
            view, data, zones=zones, marks=marks, width=width, height=height, small=small,
            described=described,
        )  # fmt: skip

    return draw


def change_drawing(change: ZoneChange, kind: str) -> ZoneDrawing:
    """Return how a zone is drawn by its change: tinted as now where it changed."""
    now = change.now
    appearance, label = "not_rated", ""
    if change.answer in _CHANGED:
        appearance = "graded" if now.step is not None else "none_found"
        label = change_label(change, kind)
    elif change.answer == "not_seen":
        appearance = "not_seen"
    elif change.answer == "not_rated":
        appearance = "not_looked"
    elif _nothing_at_both(change):
        appearance = "none_found"
    else:
        label = change_label(change, kind)
    return ZoneDrawing(
        now.code,
        ZoneOutline.from_json(now.outline or {}),
        now.name,
        appearance,  # type: ignore[arg-type]
        now.step or 0,
        label,
        said=say("hull_page.change_said", zone=now.name, change=change_text(change, kind)),
    )


def _nothing_at_both(change: ZoneChange) -> bool:
    return change.before is not None and {change.before.step, change.now.step} == {None}


def change_label(change: ZoneChange, kind: str) -> str:
    """Return what stands in a zone: before, an arrow, and now."""
    before, now = _values(change, kind)
    if change.answer == "not_comparable":
        return say("hull_page.label.not_comparable", before=before, now=now)
    if change.answer == "same":
        return say("hull_page.label.same", now=now)
    return say("hull_page.label.changed", before=before, now=now)


def change_text(change: ZoneChange, kind: str) -> str:
    """Say a change in full."""
    before, now = _values(change, kind)
    return say(
        f"hull_page.change.{change.answer}",
        what=telling.component_name(kind, change.component or ""),
        before=before,
        now=now,
        why=telling.reasons(change.why_not),
    )


def _values(change: ZoneChange, kind: str) -> tuple[str, str]:
    component = change.component or ""
    told = [
        telling.figure(kind, component, value) if value is not None else ""
        for value in (change.figure_before, change.figure_now)
    ]
    return told[0], told[1]


def change_legend() -> tuple[LegendEntry, ...]:
    """Return what the drawing of changes means."""
    return (
        LegendEntry(say("hull_page.legend.changed"), "graded", 1),
        LegendEntry(say("hull_page.legend.within"), "not_rated"),
        LegendEntry(say("hull_page.legend.none"), "none_found"),
        LegendEntry(say("hull_page.legend.not_seen"), "not_seen"),
        LegendEntry(say("hull_page.legend.not_rated"), "not_looked"),
    )
