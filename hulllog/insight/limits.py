"""Limits that the owner set: nothing is beyond one unless it is on record who set it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from sqlalchemy import select

from hulllog.insight import shades
from hulllog.records.model import Limit
from hulllog.trade import kinds

if TYPE_CHECKING:
    from hulllog.records.book import Book
    from hulllog.records.values import Measured, PartialDate


@dataclass(frozen=True, slots=True)
class LimitSeen:
    """A limit in the unit of its component; ``beyond`` says whether a value lies past it."""

    kind: str
    component: str
    value: float
    typed: Measured
    set_by: str
    source: str | None
    set_on: PartialDate | None

    def beyond(self, value: float) -> bool:
        """Tell whether a value is worse than the limit, by the way the figure goes."""
        part = kinds.component(self.kind, self.component)
        if part is not None and part.worsens == "falling":
            return value < self.value
        return value > self.value


def limits(book: Book) -> dict[tuple[str, str], LimitSeen]:
    """Return (kind, component) -> the limit that was set last."""
    kept = select(Limit).where(Limit.withdrawn.is_(False)).order_by(Limit.entered_at)
    return {
        (limit.kind, limit.component): LimitSeen(
            limit.kind,
            limit.component,
            shades.in_component_unit(limit.kind, limit.component, limit.value),
            limit.value,
            limit.set_by,
            limit.source,
            limit.set_on,
        )
        for limit in book.scalars(kept)
        if limit.value is not None
    }
