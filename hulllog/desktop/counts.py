"""The numbers beside the pages of the list, and which pages are listed."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from hulllog.insight.matters import matters
from hulllog.records.operations import queries
from hulllog.words import say_n

if TYPE_CHECKING:
    from hulllog.insight.occasions import Edge
    from hulllog.records.book import Book


@dataclass(frozen=True, slots=True)
class Count:
    """How many matters wait on a page, and how that reads aloud."""

    number: int
    said: str


def haul_out_is_open(book: Book) -> bool:
    """Tell whether a haul-out is not closed yet."""
    return queries.open_haul_out(book) is not None


def by_page(book: Book, edge: Edge | None) -> dict[str, Count]:
    """Return the count of each page that has one, as at the edge that the page shows."""
    opened = sum(matter.status == "open" for matter in matters(book, edge))
    return {"findings": Count(opened, say_n("desktop.count.findings", opened))}
