"""Visits in their order, the edges from which a logbook is read, and days immersed."""

from __future__ import annotations

import itertools
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING, Literal

from sqlalchemy import select

from hulllog.records.model import BerthPeriod, Visit

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hulllog.records.book import Book
    from hulllog.records.values import PartialDate

State = Literal["found", "left"]
OUT_OF_WATER = frozenset({"haul_out", "drying_out"})
STATE_ORDER = {"found": 0, "during": 1, "left": 2}


@dataclass(frozen=True, slots=True)
class Edge:
    """An edge of a visit on the tide strip: as found, or as left.  Visits afloat have one edge."""

    visit_id: str
    state: State = "found"


def visits(book: Book) -> list[Visit]:
    """Return the visits that are not withdrawn, the oldest first."""
    found = book.scalars(select(Visit).where(Visit.withdrawn.is_(False))).all()
    return sorted(found, key=lambda visit: (_sort_key(visit.begins), visit.entered_at))


def _sort_key(when: PartialDate | None) -> tuple[datetime, datetime]:
    never = datetime.max.replace(tzinfo=UTC)
    return (when.earliest, when.latest) if when else (never, never)


def up_to(book: Book, edge: Edge | None) -> list[tuple[Visit, frozenset[str]]]:
    """Return the visits seen from ``edge``, oldest first, each with the states that count there.

    None is the far end: all visits, all states.
    """
    everything = frozenset(STATE_ORDER)
    seen: list[tuple[Visit, frozenset[str]]] = []
    for visit in visits(book):
        if edge is not None and visit.id == edge.visit_id:
            seen.append((visit, everything if edge.state == "left" else frozenset({"found"})))
            return seen
        seen.append((visit, everything))
    return seen


def last_edge(book: Book) -> Edge | None:
    """Return the latest edge there is: as left of the last visit, as found while it is open."""
    all_visits = visits(book)
    if not all_visits:
        return None
    last = all_visits[-1]
    return Edge(last.id, "left" if last.closed_at or last.ends else "found")


@dataclass(frozen=True, slots=True)
class Immersion:
    """Days under water between two moments, with how far the dates leave them open.

    ``days`` counts afloat days × the berth's share of time immersed; ``assumed`` says that some
    days had no berth period on record and were taken as immersed all the time.
    """

    days: float
    low: float
    high: float
    assumed: bool


def immersion(book: Book, begins: PartialDate, ends: PartialDate) -> Immersion:
    """Return the immersed days from one partial date to another, days ashore taken off."""
    ashore = [
        (visit.begins, visit.ends)
        for visit in visits(book)
        if visit.kind in OUT_OF_WATER and visit.begins and visit.ends
    ]
    berths = list(book.scalars(select(BerthPeriod).where(BerthPeriod.withdrawn.is_(False))))
    days, assumed = _wet_days(begins.middle, ends.middle, ashore, berths)
    low, _ = _wet_days(begins.latest, ends.earliest, ashore, berths)
    high, _ = _wet_days(begins.earliest, ends.latest, ashore, berths)
    return Immersion(days, min(low, days), max(high, days), assumed)


def _wet_days(
    start: datetime,
    end: datetime,
    ashore: Sequence[tuple[PartialDate, PartialDate]],
    berths: Sequence[BerthPeriod],
) -> tuple[float, bool]:
    marks = {start, end}
    spans = [(a.middle, b.middle) for a, b in ashore]
    lies = [(_from(berth), _until(berth), berth.immersed_share) for berth in berths]
    for first, last in [*spans, *((a, b) for a, b, _ in lies)]:
        marks.update(moment for moment in (first, last) if start < moment < end)
    total, assumed = 0.0, False
    ordered = sorted(marks)
    for first, last in itertools.pairwise(ordered):
        middle = first + (last - first) / 2
        if any(a <= middle <= b for a, b in spans):
            continue
        share = next((share for a, b, share in lies if a <= middle <= b), None)
        assumed = assumed or share is None
        total += (last - first) / timedelta(days=1) * (1.0 if share is None else share)
    return max(total, 0.0), assumed


def _from(berth: BerthPeriod) -> datetime:
    return berth.begins.middle if berth.begins else datetime.min.replace(tzinfo=UTC)


def _until(berth: BerthPeriod) -> datetime:
    return berth.ends.middle if berth.ends else datetime.max.replace(tzinfo=UTC)
