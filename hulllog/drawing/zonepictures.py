"""The hull coloured by what insight says of its zones for one kind, with labels and legend."""

from __future__ import annotations

import itertools
from typing import TYPE_CHECKING

from hulllog.drawing.hullparts import HullPicture, LegendEntry, Mark, ZoneDrawing
from hulllog.drawing.hullviews import hull_scene
from hulllog.hull.zones import ZoneOutline
from hulllog.insight import shades
from hulllog.words import say, telling

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hulllog.hull.form import HullForm
    from hulllog.insight.condition import ZoneState

_SIDES = ("port", "starboard")
VIEWS = ("port", "starboard", "bottom", "expansion", "stern")


def zone_drawing(zone: ZoneState, kind: str, view: str = "") -> ZoneDrawing:
    """Return how a zone is drawn for a kind.

    From the side, a figure that lies on one face alone stands there; the other shows none.
    """
    kind = zone.kind or kind
    label = telling.short(kind, zone.figures) if zone.figures and zone.step is not None else ""
    appearance = zone.appearance
    if view in _SIDES and zone.face in _SIDES and zone.face != view:
        label, appearance = "", "not_rated" if appearance == "graded" else appearance
    return ZoneDrawing(
        zone.code,
        ZoneOutline.from_json(zone.outline or {}),
        zone.name,
        appearance,
        zone.step or 0,
        label,
        label.split(",")[0],
        said(zone, kind),
    )


def said(zone: ZoneState, kind: str) -> str:
    """Say a zone's state in full, for screen readers and for the text beside the drawing."""
    if zone.appearance == "graded" and zone.figures:
        return f"{zone.name}: {telling.in_full(kind, zone.figures)}"
    return f"{zone.name}: {say(f'appearance.{zone.appearance}')}"


def legend(kind: str) -> tuple[LegendEntry, ...]:
    """Return the steps of a kind in words, then the appearances that are not grades."""
    graded = [LegendEntry(text, "graded", n) for n, text in _steps(kind)]
    others = [
        LegendEntry(say(f"appearance.{name}"), name)
        for name in ("none_found", "not_rated", "not_seen", "not_looked")
    ]
    return (*graded, *others)


def legend_of_all() -> tuple[LegendEntry, ...]:
    """Return the legend of a drawing that puts all kinds together: pale is little, dark is much."""
    last = shades.STEPS - 1
    words = {0: say("legend.least"), last: say("legend.most")}
    graded = [LegendEntry(words.get(n, ""), "graded", n) for n in range(shades.STEPS)]
    others = [
        LegendEntry(say(f"appearance.{name}"), name)
        for name in ("none_found", "not_rated", "not_seen", "not_looked")
    ]
    return (*graded, *others)


def _steps(kind: str) -> list[tuple[int, str]]:
    """Return what the five steps stand for: bounds in figures, or the grades they hold."""
    if kind in shades.BOUNDS:
        component, bounds = shades.BOUNDS[kind]
        first = say("legend.up_to", high=telling.figure(kind, component, bounds[0]))
        middle = [
            say("legend.between", low=f"{low:g}", high=telling.figure(kind, component, high))
            for low, high in itertools.pairwise(bounds)
        ]
        last = say("legend.over", low=telling.figure(kind, component, bounds[-1]))
        return list(enumerate([first, *middle, last]))
    return [
        (n, telling.grade(kind, component, code))
        for n, component, code in shades.sample_grades(kind)
    ]


def picture(
    form: HullForm,
    view: str,
    zones: Sequence[ZoneState],
    kind: str,
    *,
    width: float,
    height: float,
    marks: Sequence[Mark] = (),
    small: bool = False,
    picked: str = "",
    with_legend: bool = False,
    titled: bool = True,
) -> HullPicture:
    """Draw one view of the hull for one kind."""
    return hull_scene(
        form,
        view,
        zones=[zone_drawing(zone, kind, view) for zone in zones if zone.outline],
        marks=marks,
        width=width,
        height=height,
        title=say(f"view.{view}") if titled else "",
        legend=legend(kind) if with_legend else (),
        small=small,
        picked=picked,
        described=say("drawing.described", view=say(f"view.{view}"), kind=telling.kind_name(kind)),
    )
