"""What was so at the last haul-out and is offered again: yard, way, paint, anode positions."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from sqlalchemy import select

from hulllog.insight.occasions import OUT_OF_WATER
from hulllog.records.model import AnodePosition, Coat, Product
from hulllog.records.operations import queries

if TYPE_CHECKING:
    from hulllog.records.book import Book


@dataclass(frozen=True, slots=True)
class LastTime:
    """What the last visit on record had; None where none had it.

    ``positions`` are (id, name) of every anode position, in the order of entry.
    """

    yard: str | None = None
    location: str | None = None
    way: str | None = None
    support: str | None = None
    product_id: str | None = None
    product: str | None = None
    positions: tuple[tuple[str, str], ...] = ()


def last_time(book: Book, before_visit_id: str | None = None) -> LastTime:
    """Return what is offered as "as last time" at a visit; at a new one for None."""
    if before_visit_id is None:
        past = queries.visits(book, OUT_OF_WATER)[::-1]
    else:
        past = queries.earlier_visits(book, before_visit_id, OUT_OF_WATER)

    def last(field: str) -> str | None:
        values = (getattr(visit, field) for visit in past)
        return next((value for value in values if value and value != "unknown"), None)

    product = next((found for visit in past if (found := _antifouling(book, visit.id))), None)
    return LastTime(
        last("yard"),
        last("location"),
        last("way"),
        last("support"),
        product.id if product else None,
        product.name if product else None,
        tuple((one.id, one.name) for one in queries.kept(book, AnodePosition)),
    )


def _antifouling(book: Book, visit_id: str) -> Product | None:
    """Return the antifouling put on last at a visit."""
    query = (
        select(Product)
        .join(Coat, Coat.product_id == Product.id)
        .where(Coat.visit_id == visit_id, Coat.withdrawn.is_(False), Product.role == "antifouling")
        .order_by(Coat.entered_at.desc(), Coat.number.desc())
    )
    return book.scalars(query).first()
