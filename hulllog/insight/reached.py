"""Which zones a haul-out says could not be reached, and what paint on the whole bottom covers."""

from __future__ import annotations

from typing import TYPE_CHECKING

from sqlalchemy import select

from hulllog.insight.once import once_a_reading
from hulllog.records.model import Inspection, Zone, ZoneVersion
from hulllog.records.operations.choices import SOLE

if TYPE_CHECKING:
    from collections.abc import Callable

    from hulllog.records.book import Book

IN_THE_WAY = frozenset({"support", "hanging", "ground", "other"})
"""What keeps a brush off as well as an eye; growth, paint and water hide only the skin.

Our own rule."""
_SEEN = frozenset({"whole", "part"})


@once_a_reading
def _coverages(book: Book) -> list[tuple[str, str, str, str | None]]:
    """Return of every look its visit, its zone, what was seen and what hid it."""
    query = (
        select(Inspection.visit_id, ZoneVersion.zone_id, Inspection.coverage, Inspection.hidden_by)
        .join(ZoneVersion, ZoneVersion.id == Inspection.zone_version_id)
        .where(Inspection.withdrawn.is_(False))
    )
    return [(visit, zone, coverage, why) for visit, zone, coverage, why in book.execute(query)]


def out_of_reach(book: Book) -> dict[str, dict[str, str]]:
    """Return by visit the zones that no look there saw, each with what was in the way.

    A zone that was seen later in the same visit, when she stood otherwise, could be reached.
    """
    hidden: dict[str, dict[str, str]] = {}
    seen = _seen(book)
    for visit_id, zone_id, coverage, why in _coverages(book):
        kept_off = coverage == "not_seen" and (why is None or why in IN_THE_WAY)
        if kept_off and (visit_id, zone_id) not in seen:
            hidden.setdefault(visit_id, {})[zone_id] = why or ""
    return hidden


def missed_by_whole_bottom(book: Book) -> Callable[[str], frozenset[str]]:
    """Return what tells of a visit which zones paint on the whole bottom did not reach.

    Those out of reach, and the soles that nobody saw whole: she stands on them.  Our own rule.
    """
    hidden = out_of_reach(book)
    seen = {(visit, zone) for visit, zone, coverage, _ in _coverages(book) if coverage == "whole"}
    soles = {zone.id for zone in book.scalars(select(Zone)) if zone.code.endswith(SOLE)}

    def missed(visit_id: str) -> frozenset[str]:
        unseen = {zone for zone in soles if (visit_id, zone) not in seen}
        return frozenset(hidden.get(visit_id, {})) | unseen

    return missed


def _seen(book: Book) -> set[tuple[str, str]]:
    return {(visit, zone) for visit, zone, coverage, _ in _coverages(book) if coverage in _SEEN}
