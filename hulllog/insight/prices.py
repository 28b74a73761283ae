"""What things cost last, from the cost lines on record; no currency is ever converted."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from sqlalchemy import select

from hulllog.insight.once import once_a_reading
from hulllog.records.model import CostLine, Document, Visit

if TYPE_CHECKING:
    from datetime import datetime

    from hulllog.records.book import Book
    from hulllog.records.values import PartialDate


@dataclass(frozen=True, slots=True)
class Price:
    """A sum as on the paper: for what, how much in which currency, and when."""

    what: str
    amount: str
    currency: str
    when: PartialDate | None


@once_a_reading
def _priced(book: Book) -> list[Price]:
    """Return all cost lines, the newest first."""
    kept = select(CostLine).where(CostLine.withdrawn.is_(False))
    found = [(line, _when(book, line)) for line in book.scalars(kept)]
    found.sort(key=lambda pair: _order(*pair), reverse=True)
    return [Price(line.what, line.amount, line.currency, when) for line, when in found]


def _when(book: Book, line: CostLine) -> PartialDate | None:
    """Return the date of its paper, else when its visit began."""
    paper = book.get(Document, line.document_id) if line.document_id else None
    if paper is not None and paper.paper_date is not None:
        return paper.paper_date
    visit = book.get(Visit, line.visit_id) if line.visit_id else None
    return visit.begins if visit else None


def _order(line: CostLine, when: PartialDate | None) -> tuple[datetime, datetime]:
    return (when.middle if when else line.entered_at), line.entered_at


def last_price(book: Book, *names: str) -> Price | None:
    """Return the newest cost line that names one of these; None where none does."""
    wanted = [name.casefold() for name in names]
    return next(
        (one for one in _priced(book) if any(name in one.what.casefold() for name in wanted)), None
    )


def last_currency(book: Book) -> str:
    """Return the currency that was typed last; empty where none is on record."""
    kept = select(CostLine.currency).where(CostLine.withdrawn.is_(False))
    return book.scalars(kept.order_by(CostLine.entered_at.desc())).first() or ""
