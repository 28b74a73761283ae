"""How a hull was seen at an edge: under which conditions, how long after the lift, what was not.

Also which kinds can be shown there at all.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from sqlalchemy import select

from hulllog.insight import shades
from hulllog.insight.lags import days_ashore, hours_after
from hulllog.insight.occasions import Edge, up_to
from hulllog.insight.overview import kinds_on_record
from hulllog.records.model import Inspection, MeasurementSet, StageTime, Visit

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from hulllog.insight.condition import ZoneState
    from hulllog.records.book import Book
    from hulllog.records.values import PartialDate
    from hulllog.trade.working import Working


@dataclass(frozen=True, slots=True)
class HowSeen:
    """How the zones were seen that tell of one kind at one edge.

    ``conditions`` are those that all of its ratings share.  ``hours`` are those after the lift,
    None where a time of day is missing; ``ashore`` are the days since it, as they were noted.
    The rest are zones by what is not known of them; ``from_found`` are those shown as found, since
    nobody looked after the work.
    """

    conditions: Mapping[str, object]
    hours: Working | None
    ashore: Working | None
    not_rated: tuple[ZoneState, ...]
    not_seen: tuple[ZoneState, ...]
    not_looked: tuple[ZoneState, ...]
    from_found: tuple[ZoneState, ...]


def how_seen(book: Book, edge: Edge, kind: str, zones: Sequence[ZoneState]) -> HowSeen:
    """Return how the zones of a ``hull_state`` were seen."""
    keys = {zone.set_id for zone in zones if zone.set_id}
    shared = [dict(zone.conditions) for zone in zones if zone.set_id and zone.conditions]
    same = dict(shared[0]) if shared else {}
    for conditions in shared[1:]:
        same = {name: value for name, value in same.items() if conditions.get(name) == value}
    visit = book.get(Visit, edge.visit_id)
    return HowSeen(
        same,
        _hours(book, edge.visit_id, kind, keys),
        days_ashore(same.get("days_ashore"), visit.begins if visit else None),
        _of(zones, "not_rated"),
        _of(zones, "not_seen"),
        _of(zones, "not_looked"),
        tuple(zone for zone in zones if zone.from_found),
    )


def _of(zones: Sequence[ZoneState], appearance: str) -> tuple[ZoneState, ...]:
    return tuple(zone for zone in zones if zone.appearance == appearance)


def _hours(book: Book, visit_id: str, kind: str, keys: set[str]) -> Working | None:
    """Return how many hours after the lift the sets were made, from first to last."""
    lifted = _lifted(book, visit_id)
    if lifted is None:
        return None
    query = select(MeasurementSet).where(
        MeasurementSet.visit_id == visit_id,
        MeasurementSet.kind == kind,
        MeasurementSet.id.in_(keys),
    )
    seen = [
        rated.observed
        for rated in book.scalars(query)
        if rated.observed is not None and _to_the_hour(rated.observed)
    ]
    if not seen or min(seen) < lifted:
        return None
    return hours_after(lifted, min(seen), max(seen))


def _lifted(book: Book, visit_id: str) -> PartialDate | None:
    """Return the moment of the lift where its time of day is known."""
    stage = book.scalars(
        select(StageTime).where(
            StageTime.visit_id == visit_id,
            StageTime.stage == "lifted",
            StageTime.withdrawn.is_(False),
        )
    ).first()
    visit = book.get(Visit, visit_id)
    tried = (stage.at if stage else None, visit.begins if visit else None)
    return next((when for when in tried if when is not None and _to_the_hour(when)), None)


def _to_the_hour(when: PartialDate) -> bool:
    return when.precision == "time" and not when.about


def kinds_offered(book: Book, edge: Edge | None) -> list[str]:
    """Return the kinds that zones were rated or looked for by, up to the edge; rated ones first."""
    rated = kinds_on_record(book, edge)
    seen = {visit.id for visit, _ in up_to(book, edge)}
    query = select(Inspection.visit_id, Inspection.looked_for).where(
        Inspection.withdrawn.is_(False)
    )
    looked_for = [kind for visit_id, found in book.execute(query) if visit_id in seen
                  for kind in found]  # fmt: skip
    planned = [kind for visit, _ in up_to(book, edge) for kind in visit.looked_for]
    return list(dict.fromkeys([*rated, *looked_for, *planned]))


def worth_showing(kinds: Sequence[str]) -> str | None:
    """Return the kind to begin with, of those offered; None when there is none.

    What is found on a washed hull comes before fouling, the most rated first (our own rule).
    """
    return next((kind for kind in kinds if kind in shades.BOUNDS), next(iter(kinds), None))
