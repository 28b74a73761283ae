"""Which zones a haul-out says could not be reached, and what paint on the whole bottom covers."""

from __future__ import annotations

from typing import TYPE_CHECKING

from sqlalchemy import select

from hulllog.records.model import Inspection, ZoneVersion

if TYPE_CHECKING:
    from hulllog.records.book import Book

IN_THE_WAY = frozenset({"support", "hanging", "ground", "other"})
"""What keeps a brush off as well as an eye; growth, paint and water hide only the skin.

Our own rule."""
_SEEN = frozenset({"whole", "part"})


def out_of_reach(book: Book) -> dict[str, dict[str, str]]:
    """Return by visit the zones that no look there saw, each with what was in the way.

    A zone that was seen later in the same visit, when she stood otherwise, could be reached.
    """
    hidden: dict[str, dict[str, str]] = {}
    seen: set[tuple[str, str]] = set()
    query = (
        select(Inspection.visit_id, ZoneVersion.zone_id, Inspection.coverage, Inspection.hidden_by)
        .join(ZoneVersion, ZoneVersion.id == Inspection.zone_version_id)
        .where(Inspection.withdrawn.is_(False))
    )
    for visit_id, zone_id, coverage, why in book.execute(query):
        if coverage in _SEEN:
            seen.add((visit_id, zone_id))
        elif coverage == "not_seen" and (why is None or why in IN_THE_WAY):
            hidden.setdefault(visit_id, {})[zone_id] = why or ""
    return {
        visit_id: {zone: why for zone, why in zones.items() if (visit_id, zone) not in seen}
        for visit_id, zones in hidden.items()
    }
