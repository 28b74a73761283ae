"""The edges of the tide strip as the window says and draws them."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import TYPE_CHECKING

from sqlalchemy import select

from hulllog.drawing import tidestrip
from hulllog.drawing.tidestrip import Strip, tide_strip
from hulllog.drawing.timeline import Moment, fraction
from hulllog.insight.occasions import Edge
from hulllog.insight.timeline import EventSeen, ShoreSpan, Timeline, VisitSpan, timeline
from hulllog.records.model import FormVersion, Vessel, Visit
from hulllog.words import say, say_code
from hulllog.words.formats import measured, partial_date, year

if TYPE_CHECKING:
    from hulllog.desktop.state import State
    from hulllog.drawing.scene import Scene
    from hulllog.insight.paint import Thread
    from hulllog.records.book import Book
    from hulllog.records.values import PartialDate

_COLOURLESS = "thread"


def edge_key(edge: Edge) -> str:
    """Return the key of an edge in the strip's scene."""
    return f"visit:{edge.visit_id}:{edge.state}"


def edge_of(key: str) -> Edge | None:
    """Return the edge that a key of the strip's scene stands for, or None."""
    match key.split(":"):
        case ["visit", visit_id, ("found" | "left") as state]:
            return Edge(visit_id, state)
    return None


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


def strip_scene(state: State, width: float, height: float) -> Scene:
    """Draw the tide strip of the open logbook, ``width`` × ``height`` mm."""
    past = state.read(timeline)
    return tide_strip(strip_of(past, datetime.now(UTC), state.edge, state.compared), width, height)


def strip_of(
    past: Timeline, now: datetime, picked: Edge | None = None, compared: Edge | None = None
) -> Strip:
    """Put the vessel's years into the terms of the strip, with its words."""
    today = fraction(now)
    events = [_event(event) for event in past.events]
    return Strip(
        today=today,
        visits=tuple(_visit(span) for span in past.visits),
        threads=tuple(_thread(thread) for thread in past.threads),
        shore=tuple(_shore(span) for span in past.shore if span.begins),
        events=tuple(events),
        picked=_picked(picked),
        compared=_picked(compared),
        today_text=say("desktop.strip.today"),
        shore_text=say("desktop.strip.shore_power"),
        empty_text=say("desktop.strip.empty"),
        described=say("desktop.strip.described", n=len(past.visits)),
    )


def _picked(edge: Edge | None) -> tidestrip.Edge | None:
    return tidestrip.Edge(edge.visit_id, edge.state) if edge else None


def _moment(date: PartialDate) -> Moment:
    return Moment.between(date.earliest, date.latest)


def _visit(span: VisitSpan) -> tidestrip.Visit:
    kind = say_code("visit_kind", span.kind)
    begins = partial_date(span.begins)
    ends = partial_date(span.ends) if span.ends else say("desktop.strip.still_out")
    drawn: tidestrip.Kind = "haul-out" if span.kind == "haul_out" else "drying"
    return tidestrip.Visit(
        span.visit_id,
        _moment(span.begins),
        _moment(span.ends) if span.ends else None if span.out_of_water else _moment(span.begins),
        str(span.begins.middle.year),
        say("desktop.strip.found_of", kind=kind, date=begins),
        say("desktop.strip.left_of", kind=kind, date=ends),
        drawn if span.out_of_water else "afloat",
        closed=not span.open,
    )


def _thread(thread: Thread) -> tidestrip.Thread:
    season = thread.colour or say("word.not_recorded")
    return tidestrip.Thread(
        thread.visit_id,
        _moment(thread.begins),
        _moment(thread.ends) if thread.ends else None,
        thread.colour_hex or _COLOURLESS,
        say("desktop.strip.wore", product=thread.product, colour=season),
    )


def _shore(span: ShoreSpan) -> tidestrip.Shore:
    assert span.begins is not None
    ends = _moment(span.ends) if span.ends else None
    return tidestrip.Shore(_moment(span.begins), ends, guarded=span.isolator)


def _event(event: EventSeen) -> tidestrip.Event:
    said = say("desktop.strip.event", sort=say_code("event", event.sort), text=event.text)
    return tidestrip.Event(event.event_id, _moment(event.at), f"{said}, {partial_date(event.at)}")
