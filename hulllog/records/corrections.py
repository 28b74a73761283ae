"""Corrections: a change to a record of a closed or issued visit, which wants a reason."""

from __future__ import annotations

from typing import TYPE_CHECKING

from sqlalchemy import func, select

from hulllog.records.errors import Refused
from hulllog.records.model import IssuedHistory, MeasurementSet, Visit
from hulllog.records.types import instant_text

if TYPE_CHECKING:
    from collections.abc import Sequence

    from sqlalchemy import Connection

    from hulllog.records.journal import Image, Touched

_BY_SET = frozenset({"rating", "reading"})
_LIVING = frozenset({"finding", "note_for_next_time", "event", "document", "survey", "photo_place"})
"""Records that go on changing after the visit in which they began."""


def refuse_without_reason(connection: Connection, rows: Sequence[Touched]) -> None:
    """Raise Refused ``reason_wanted`` when one of the rows corrects a closed or issued visit."""
    before = {row.key: row.before for row in rows if row.before}
    issued = connection.execute(select(func.max(IssuedHistory.issued_at))).scalar()
    issued_text = instant_text(issued) if issued else ""
    for row in rows:
        if row.before is None or row.table in _LIVING:
            continue
        visit_id = _visit_of(connection, row.table, row.before)
        if visit_id is None:
            continue
        visit = before.get(visit_id)
        closed = visit["closed_at"] if visit else _closed(connection, visit_id)
        if closed or row.before["entered_at"] < issued_text:
            raise Refused("reason_wanted", table=row.table)


def _visit_of(connection: Connection, table: str, image: Image) -> str | None:
    if table == "visit":
        return str(image["id"])
    if table in _BY_SET:
        query = select(MeasurementSet.visit_id).where(MeasurementSet.id == image["set_id"])
        return connection.execute(query).scalar()
    return image.get("visit_id")


def _closed(connection: Connection, visit_id: str) -> bool:
    query = select(Visit.closed_at).where(Visit.id == visit_id)
    return connection.execute(query).scalar() is not None
