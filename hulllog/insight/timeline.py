"""The vessel's years as the tide strip draws them: haul-outs, berths, paint worn, events."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from sqlalchemy import select

from hulllog.insight.occasions import OUT_OF_WATER, ShoreSpan, afloat, visits
from hulllog.insight.paint import Thread, threads
from hulllog.records.model import Event

if TYPE_CHECKING:
    from datetime import datetime

    from hulllog.records.book import Book
    from hulllog.records.values import PartialDate


@dataclass(frozen=True, slots=True)
class VisitSpan:
    """A visit on the strip; one out of the water has two edges, one afloat a single tick."""

    visit_id: str
    kind: str
    begins: PartialDate
    ends: PartialDate | None
    open: bool
    out_of_water: bool
    way: str | None
    yard: str | None


@dataclass(frozen=True, slots=True)
class EventSeen:
    """Something that happened to her."""

    event_id: str
    sort: str
    at: PartialDate
    text: str
    asks_for_check: bool
    answered_visit_id: str | None


@dataclass(frozen=True, slots=True)
class Timeline:
    """Everything that the tide strip shows of the past."""

    visits: tuple[VisitSpan, ...]
    threads: tuple[Thread, ...]
    shore: tuple[ShoreSpan, ...]
    events: tuple[EventSeen, ...]


def timeline(book: Book) -> Timeline:
    """Return the vessel's years so far."""
    return Timeline(
        tuple(
            VisitSpan(
                visit.id,
                visit.kind,
                visit.begins,
                visit.ends,
                visit.closed_at is None,
                visit.kind in OUT_OF_WATER,
                visit.way,
                visit.yard,
            )
            for visit in visits(book)
            if visit.begins
        ),
        tuple(threads(book)),
        afloat(book).shore_spans(),
        tuple(events(book)),
    )


def empty_years(past: Timeline, now: datetime) -> list[tuple[int, int]]:
    """Return the stretches of whole years, after the first visit, in which no visit may lie."""
    touched: set[int] = set()
    for visit in past.visits:
        end = (visit.ends or visit.begins).latest if visit.ends or not visit.open else now
        touched |= set(range(visit.begins.earliest.year, end.year + 1))
    found: list[tuple[int, int]] = []
    for year in range(min(touched, default=now.year), now.year):
        if year in touched:
            continue
        if found and found[-1][1] == year - 1:
            found[-1] = (found[-1][0], year)
        else:
            found.append((year, year))
    return found


def events(book: Book) -> list[EventSeen]:
    """Return the dated events, oldest first."""
    found = [
        EventSeen(
            event.id,
            event.sort,
            event.at,
            event.text,
            event.asks_for_check,
            event.answered_visit_id,
        )
        for event in book.scalars(select(Event).where(Event.withdrawn.is_(False)))
        if event.at
    ]
    return sorted(found, key=lambda event: event.at)
