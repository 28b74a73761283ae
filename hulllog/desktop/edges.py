"""The edges of the tide strip as the window says and draws them."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import TYPE_CHECKING

from sqlalchemy import select

from hulllog.drawing.strip import dues_of, gaps_of, strip_of
from hulllog.drawing.tidestrip import tide_strip
from hulllog.insight.due import dues
from hulllog.insight.occasions import Edge
from hulllog.insight.timeline import empty_years, timeline
from hulllog.records.model import FormVersion, Vessel, Visit
from hulllog.words import say, say_code
from hulllog.words.formats import measured, partial_date, year

if TYPE_CHECKING:
    from hulllog.desktop.state import State
    from hulllog.drawing.scene import Scene
    from hulllog.records.book import Book


def edge_key(edge: Edge) -> str:
    """Return the key of an edge in the strip's scene."""
    return f"visit:{edge.visit_id}:{edge.state}"


def edge_of(key: str) -> Edge | None:
    """Return the edge that a key of the strip's scene stands for, or None."""
    match key.split(":"):
        case ["visit", visit_id, ("found" | "left") as state]:
            return Edge(visit_id, state)
    return None


def year_of(key: str) -> str | None:
    """Return the first of the empty years that a key stands for, empty for any; None for others."""
    kind, _, year = key.partition(":")
    return year if kind == "years" else None


def edge_said(state: State, edge: Edge | None) -> str:
    """Say an edge: "14 Apr 2025, as found"."""
    if edge is None:
        return say("desktop.strip.no_visit")
    visit = state.read(lambda book: book.get(Visit, edge.visit_id))
    if visit is None:
        return say("desktop.strip.no_visit")
    when = visit.ends if edge.state == "left" and visit.ends else visit.begins
    date = partial_date(when, visit.time_zone) if when else say("word.not_recorded")
    return say("desktop.strip.edge", date=date, state=say(f"state.{edge.state}"))


def vessel_lines(book: Book) -> tuple[str, str]:
    """Return the vessel's name, and what she is in a few words: "GRP ketch, 8.7 m, 1984"."""
    vessel = book.scalars(select(Vessel)).first()
    if vessel is None:
        return say("desktop.vessel.unnamed"), ""
    form = book.scalars(select(FormVersion).order_by(FormVersion.number.desc())).first()
    kind = vessel.rig or say_code("hull_kind", vessel.kind)
    parts = [
        say("desktop.vessel.made_of", material=say_code("material", vessel.material), kind=kind),
        measured(form.length) if form and form.length else "",
        year(vessel.built) if vessel.built else "",
    ]
    return vessel.name, ", ".join(part for part in parts if part)


def is_sample(book: Book) -> bool:
    """Return whether the vessel is the invented one of the sample."""
    return book.scalars(select(Vessel.sample)).first() is True


def strip_scene(state: State, width: float, height: float) -> Scene:
    """Draw the tide strip of the open logbook, ``width`` × ``height`` mm."""
    now = datetime.now(UTC)
    past, ahead = state.read(lambda book: (timeline(book), dues(book, now)))
    gaps = gaps_of(empty_years(past, now), now, any_visit=bool(past.visits))
    shown = strip_of(past, now, state.edge, state.compared, dues_of(ahead), gaps)
    return tide_strip(shown, width, height)
