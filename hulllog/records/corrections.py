"""Corrections: a change to a record of a closed or issued visit, which wants a reason."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from sqlalchemy import bindparam, func, select

from hulllog.records.model import (
    AnodeCheck,
    Coat,
    IssuedHistory,
    MeasurementSet,
    Photo,
    Visit,
)
from hulllog.records.types import instant_text

if TYPE_CHECKING:
    from collections.abc import Sequence

    from sqlalchemy import Connection

    from hulllog.records.journal import Image, Touched

_BY_PARENT: dict[str, tuple[Any, str]] = {
    "rating": (MeasurementSet, "set_id"),
    "reading": (MeasurementSet, "set_id"),
    "contact_reading": (AnodeCheck, "check_id"),
    "coat_zone": (Coat, "coat_id"),
    "annotation": (Photo, "photo_id"),
}
"""Records without a visit of their own -> whose visit is theirs, and the column that says so."""

_LIVING = frozenset(
    {
        "finding", "note_for_next_time", "event", "document", "survey", "photo_place", "slot_plan",
    }
)  # fmt: skip
"""Records that go on changing after the visit in which they began."""


def corrected(connection: Connection, rows: Sequence[Touched]) -> dict[str, str]:
    """Return the closed or issued visits whose records are altered, each with a table of these.

    In a closed visit every alteration counts.  In one that is open, but was printed in an issued
    history, filling in what stood empty does not.
    """
    before = {row.key: row.before for row in rows if row.before}
    issued: str | None = None
    found: dict[str, str] = {}
    for row in rows:
        if row.before is None or row.table in _LIVING:
            continue
        visit_id = _visit_of(connection, row.table, row.before)
        if visit_id is None or visit_id in found:
            continue
        if issued is None:
            issued = _last_issued(connection)
        visit = before.get(visit_id)
        closed = visit["closed_at"] if visit else _closed(connection, visit_id)
        if closed or (row.before["entered_at"] <= issued and _overwrites(row)):
            found[visit_id] = row.table
    return found


def _overwrites(row: Touched) -> bool:
    if row.before is None or row.after is None:
        return row.after is None
    return any(
        value is not None and row.after.get(name) != value for name, value in row.before.items()
    )


_ISSUED = select(func.max(IssuedHistory.issued_at))
_CLOSED = select(Visit.closed_at).where(Visit.id == bindparam("visit"))


def _last_issued(connection: Connection) -> str:
    moment = connection.execute(_ISSUED).scalar()
    return instant_text(moment) if moment else ""


def _visit_of(connection: Connection, table: str, image: Image) -> str | None:
    if table == "visit":
        return str(image["id"])
    if table in _BY_PARENT:
        parent, column = _BY_PARENT[table]
        query = select(parent.visit_id).where(parent.id == image[column])
        return connection.execute(query).scalar()
    return image.get("visit_id")


def _closed(connection: Connection, visit_id: str) -> bool:
    return connection.execute(_CLOSED, {"visit": visit_id}).scalar() is not None
