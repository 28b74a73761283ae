"""The same place over the years: the marks by which the owner laid two photographs together."""

from __future__ import annotations

from typing import TYPE_CHECKING

from sqlalchemy import select

from hulllog.records.model import Annotation
from hulllog.records.operations.photos import ALIGNED

if TYPE_CHECKING:
    from hulllog.records.book import Book

Marks = tuple[tuple[float, float], tuple[float, float]]


def marks_of(book: Book, photo_id: str, other_id: str) -> tuple[Marks, Marks] | None:
    """Return the two marks in each of two photographs; None where they were not laid together.

    The newest marks hold; those without points take older ones away.
    """
    first, second = _marks(book, photo_id, other_id), _marks(book, other_id, photo_id)
    return (first, second) if first and second else None


def _marks(book: Book, photo_id: str, other_id: str) -> Marks | None:
    query = (
        select(Annotation)
        .where(
            Annotation.photo_id == photo_id,
            Annotation.sort == ALIGNED,
            Annotation.text == other_id,
            Annotation.withdrawn.is_(False),
        )
        .order_by(Annotation.entered_at)
    )
    found = [one.points for one in book.scalars(query)]
    if not found or len(found[-1]) != 2:
        return None
    (ax, ay), (bx, by) = found[-1]
    return (ax, ay), (bx, by)
