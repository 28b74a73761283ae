"""Measuring points of a kind as they lie in their grids, with what was read there."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from sqlalchemy import select
from sqlalchemy.orm import selectinload

from hulllog.insight.occasions import STATE_ORDER, up_to
from hulllog.insight.redrawn import zone_of
from hulllog.records.model import MeasurementSet, MeasuringPoint
from hulllog.records.operations import queries
from hulllog.records.operations.points import read_at_points
from hulllog.trade.kinds import KINDS

if TYPE_CHECKING:
    from hulllog.insight.occasions import Edge
    from hulllog.records.book import Book
    from hulllog.records.values import Measured, Where

POINT_KINDS = tuple(code for code, kind in KINDS.items() if read_at_points(kind) is not None)
"""Kinds that are read at measuring points."""


@dataclass(frozen=True, slots=True)
class PointSeen:
    """A measuring point: where it lies in its grid, its original value, and what was read.

    ``now`` is of the visit and state of the edge, ``before`` the last of an earlier visit.
    """

    point_id: str
    number: int
    place: Where | None
    zone_id: str | None
    band: int
    frame: int
    original: Measured | None
    now: Measured | None
    before: Measured | None


def points_at(book: Book, edge: Edge | None, kind: str) -> list[PointSeen]:
    """Return the points of a kind by number."""
    read = _readings(book, edge, kind)
    zone_now = zone_of(book, edge)
    found = []
    for point in queries.kept(book, MeasuringPoint, MeasuringPoint.kind == kind):
        how = point.place.how if point.place else {}
        zone = how.get("zone")
        looks = read.get(point.id, [])
        here = [value for visit, state, value in looks if edge and (visit, state) == edge_of(edge)]
        past = [value for visit, _, value in looks if edge is None or visit != edge.visit_id]
        found.append(
            PointSeen(
                point.id,
                point.number,
                point.place,
                zone_now(str(zone) if zone else None, point.place),
                int(str(how.get("band", 0))),
                int(str(how.get("frame", point.number))),
                point.original,
                here[-1] if here else None,
                past[-1] if past else None,
            )
        )
    return sorted(found, key=lambda one: one.number)


def edge_of(edge: Edge) -> tuple[str, str]:
    """Return visit and state of an edge."""
    return edge.visit_id, edge.state


def _readings(
    book: Book, edge: Edge | None, kind: str
) -> dict[str, list[tuple[str, str, Measured]]]:
    """Return by point (visit, state, value), the oldest first."""
    order = {visit.id: n for n, (visit, _) in enumerate(up_to(book, edge))}
    query = (
        select(MeasurementSet)
        .where(
            MeasurementSet.kind == kind,
            MeasurementSet.measuring_point_id.is_not(None),
            MeasurementSet.withdrawn.is_(False),
        )
        .options(selectinload(MeasurementSet.readings))
        .order_by(MeasurementSet.entered_at)
    )
    rows = [one for one in book.scalars(query) if one.visit_id in order]
    rows.sort(key=lambda one: (order[one.visit_id], STATE_ORDER[one.state]))
    found: dict[str, list[tuple[str, str, Measured]]] = {}
    for one in rows:
        value = next((r.value for r in one.readings if not r.withdrawn and r.value), None)
        if value is not None and one.measuring_point_id is not None:
            found.setdefault(one.measuring_point_id, []).append((one.visit_id, one.state, value))
    return found
