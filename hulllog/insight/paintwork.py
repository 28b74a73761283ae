"""What was taken off and what was treated, and the paints on record with their data sheets."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from sqlalchemy import select

from hulllog.insight.occasions import Edge, up_to
from hulllog.records.model import Product, Removal, Treatment, Zone

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hulllog.records.book import Book
    from hulllog.records.values import PartialDate


@dataclass(frozen=True, slots=True)
class PaintWork:
    """A removal or a treatment.

    ``sort`` is down to what, or how treated; ``zones`` are names, none for the whole bottom.
    """

    key: str
    visit_id: str
    removal: bool
    sort: str
    when: PartialDate | None
    zones: tuple[str, ...]
    zone_ids: tuple[str, ...]
    by: str | None
    warranty_until: PartialDate | None
    note: str | None


def paint_works(book: Book, edge: Edge | None = None) -> list[PaintWork]:
    """Return what was taken off and treated up to the edge, the newest first."""
    names = {zone.id: zone.name for zone in book.scalars(select(Zone))}
    found: list[PaintWork] = []
    for visit, states in up_to(book, edge):
        if "during" not in states:
            continue
        removals = select(Removal).where(Removal.visit_id == visit.id, Removal.withdrawn.is_(False))
        treatments = select(Treatment).where(
            Treatment.visit_id == visit.id, Treatment.withdrawn.is_(False)
        )
        found += [
            PaintWork(
                done.id, visit.id, True, done.down_to, done.at or visit.begins,
                _named(done.zone_ids, names), tuple(done.zone_ids), done.how, None, done.note,
            )
            for done in book.scalars(removals.order_by(Removal.entered_at))
        ]  # fmt: skip
        found += [
            PaintWork(
                done.id, visit.id, False, done.sort, done.ends or done.begins or visit.begins,
                _named(done.zone_ids, names), tuple(done.zone_ids), done.contractor,
                done.warranty_until, done.text,
            )
            for done in book.scalars(treatments.order_by(Treatment.entered_at))
        ]  # fmt: skip
    return found[::-1]


def _named(keys: Sequence[str], names: dict[str, str]) -> tuple[str, ...]:
    return tuple(names[key] for key in keys if key in names)


def products(book: Book) -> list[Product]:
    """Return the paints on record, the one entered last first."""
    kept = select(Product).where(Product.withdrawn.is_(False))
    return list(book.scalars(kept.order_by(Product.entered_at.desc(), Product.name)))
