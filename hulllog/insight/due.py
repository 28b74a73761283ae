"""What is due ahead, each with the interval in which it falls and where that comes from."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from sqlalchemy import select

from hulllog.insight.anodes import positions
from hulllog.insight.gear import gear_dues
from hulllog.insight.matters import asked
from hulllog.records.model import Treatment
from hulllog.records.operations.queries import time_zone

if TYPE_CHECKING:
    from hulllog.records.book import Book

FAR = timedelta(days=5 * 365)
"""How far ahead the strip looks.  Our own rule."""


@dataclass(frozen=True, slots=True)
class Due:
    """Something due: a code, what it is called, and the earliest and latest moment it can fall.

    The moments are those of a clock at her place, so that their days are the days there.
    """

    code: str
    key: str
    name: str
    earliest: datetime
    latest: datetime
    share: float | None = None
    """The share gone by the owner's limit, where the due is one of an anode."""


def dues(book: Book, now: datetime) -> list[Due]:
    """Return what falls due within five years, the earliest first.

    Anodes by when half, or the owner's limit, is expected to be gone, warranties by their end,
    recommendations without proof by their date, gear by the owner's rules.  Nothing is due unless a
    record says so.
    """
    there = ZoneInfo(time_zone(book))
    found = [
        Due(
            "anode_limit" if story.limit.by_owner else "anode_half",
            story.position_id,
            story.name,
            story.half_date[1],
            story.half_date[2],
            story.limit.share if story.limit.by_owner else None,
        )
        for story in positions(book)
        if story.half_date
    ]
    found += [
        Due(
            "warranty",
            done.id,
            done.sort,
            done.warranty_until.earliest.astimezone(there),
            done.warranty_until.latest.astimezone(there),
        )
        for done in book.scalars(select(Treatment).where(Treatment.withdrawn.is_(False)))
        if done.warranty_until
    ]
    found += [
        Due(
            "recommendation",
            item.recommendation_id,
            item.number,
            item.due.earliest.astimezone(there),
            item.due.latest.astimezone(there),
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
