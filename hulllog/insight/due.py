"""What is due ahead, each with the interval in which it falls and where that comes from."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import TYPE_CHECKING

from sqlalchemy import select

from hulllog.insight.anodes import positions
from hulllog.insight.gear import gear_dues
from hulllog.insight.matters import asked
from hulllog.records.model import Treatment

if TYPE_CHECKING:
    from hulllog.records.book import Book

FAR = timedelta(days=5 * 365)
"""How far ahead the strip looks.  Our own rule."""


@dataclass(frozen=True, slots=True)
class Due:
    """Something due: a code, what it is called, and the earliest and latest moment it can fall."""

    code: str
    key: str
    name: str
    earliest: datetime
    latest: datetime


def dues(book: Book, now: datetime) -> list[Due]:
    """Return what falls due within five years, the earliest first.

    Anodes by when half is expected to be gone, warranties by their end, recommendations without
    proof by their date, gear by the owner's rules.  Nothing is due unless a record says so.
    """
    found = [
        Due("anode_half", story.position_id, story.name, story.half_date[1], story.half_date[2])
        for story in positions(book)
        if story.half_date
    ]
    found += [
        Due(
            "warranty", done.id, done.sort, done.warranty_until.earliest, done.warranty_until.latest
        )
        for done in book.scalars(select(Treatment).where(Treatment.withdrawn.is_(False)))
        if done.warranty_until
    ]
    found += [
        Due(
            "recommendation",
            item.recommendation_id,
            item.number,
            item.due.earliest,
            item.due.latest,
        )
        for item in asked(book)
        if item.due and not item.proved
    ]
    found += [
        Due(f"gear_{due.sort}", story.gear_id, story.name, due.earliest, due.latest)
        for story, due in gear_dues(book, now)
        if due.earliest and due.latest
    ]
    ahead = [due for due in found if due.latest >= now and due.earliest <= now + FAR]
    return sorted(ahead, key=lambda due: (due.earliest, due.latest))
