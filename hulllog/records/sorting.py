"""Which visit a photograph belongs to, by its capture time; what is doubtful is left to be asked.

The rule is ours: a picture belongs to the visit whose days hold its capture time, with half a day
before and after for cameras in another zone.  What a program wrote when it changed the file is no
capture time.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta
from typing import TYPE_CHECKING

from sqlalchemy import select

from hulllog.records.model import Visit

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import datetime

    from hulllog.records.book import Book
    from hulllog.records.values import PartialDate

AROUND = timedelta(hours=12)
NO_TIME, CHANGED, NO_VISIT, SEVERAL = "no_time", "changed_file", "no_visit", "several_visits"
WHY = (NO_TIME, CHANGED, NO_VISIT, SEVERAL)


@dataclass(frozen=True, slots=True)
class Span:
    """A visit, and from when to when it holds pictures."""

    visit_id: str
    begins: datetime
    ends: datetime


def spans(book: Book) -> list[Span]:
    """Return the spans of all visits; one that has not ended lasts until now."""
    kept = book.scalars(select(Visit).where(Visit.withdrawn.is_(False)))
    found = []
    for visit in kept:
        if visit.begins is None:
            continue
        last = visit.ends or visit.begins
        ends = last.latest if visit.ends or visit.closed_at else book.now()
        found.append(Span(visit.id, visit.begins.earliest - AROUND, ends + AROUND))
    return found


def sort_by_time(
    captured: PartialDate | None, origin: str | None, known: Sequence[Span], here: str | None
) -> tuple[str | None, str]:
    """Return the visit that a picture belongs to, and why that is doubtful; empty when it is not.

    A doubtful one stays with ``here``, where its owner put it.
    """
    if captured is None or captured.precision != "time":
        return here, NO_TIME
    if origin == "file":
        return here, CHANGED
    at = captured.earliest
    fits = [span.visit_id for span in known if span.begins <= at <= span.ends]
    if here in fits:
        return here, ""
    if len(fits) == 1:
        return fits[0], ""
    return here, SEVERAL if fits else NO_VISIT
