"""The boat's shape and zones as the records have them, built once for each set of particulars."""

from __future__ import annotations

import json
from functools import lru_cache
from typing import TYPE_CHECKING, Any

from sqlalchemy import select

from hulllog.hull.form import HullForm
from hulllog.hull.particulars import Particulars
from hulllog.hull.zones import ZoneOutline
from hulllog.insight.condition import zone_versions
from hulllog.records.model import FormVersion
from hulllog.records.types import canonical_json

if TYPE_CHECKING:
    from hulllog.insight.occasions import Edge
    from hulllog.records.book import Book


def form_version(book: Book, edge: Edge | None = None) -> FormVersion | None:
    """Return the form version that held at the edge; the newest for None.

    A boat that is drawn by her owner alone has one without particulars, which is no form.
    """
    from hulllog.records.model import Visit

    visit = book.get(Visit, edge.visit_id) if edge else None
    found: FormVersion | None = None
    for version in book.scalars(
        select(FormVersion).where(FormVersion.withdrawn.is_(False)).order_by(FormVersion.number)
    ):
        if not version.particulars:
            continue
        later = visit and visit.begins and version.begins and visit.begins < version.begins
        if found is None or not later:
            found = version
    return found


def form_of(book: Book, edge: Edge | None = None) -> HullForm | None:
    """Return her shape at the edge; None while there are no particulars."""
    version = form_version(book, edge)
    return None if version is None else built(version.particulars)


def built(particulars: dict[str, Any]) -> HullForm:
    """Return the form of stored particulars, built once."""
    return _built(canonical_json(particulars))


@lru_cache(maxsize=8)
def _built(particulars: str) -> HullForm:
    return HullForm.build(Particulars.from_json(json.loads(particulars)))


def outlines_of(book: Book, edge: Edge | None = None) -> list[tuple[str, ZoneOutline]]:
    """Return (zone code, outline) of the zones that held at the edge, in walking order."""
    return [(zone.code, outline(version.outline)) for zone, version in zone_versions(book, edge)]


def outline(stored: dict[str, Any]) -> ZoneOutline:
    """Read a stored outline."""
    return ZoneOutline.from_json(stored)
