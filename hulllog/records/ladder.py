"""The ladder by which older logbooks climb to the present schema, a small named step at a time.

Before a step the file is copied beside itself.  A step runs in one transaction together with its
journal entry and the new schema number, so a crash leaves the logbook before it or after it.  The
steps themselves stand in ``steps``.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import sqlalchemy
from sqlalchemy import select
from sqlalchemy.exc import DBAPIError

from hulllog.records import sqlite, steps
from hulllog.records.computer import Memory
from hulllog.records.errors import LogbookProblem
from hulllog.records.folder import making
from hulllog.records.journal import (
    JOURNAL_TABLES,
    Image,
    JournalWriter,
    LogbookMark,
    Touched,
    heads,
)

if TYPE_CHECKING:
    from pathlib import Path

    from sqlalchemy import Connection

    from hulllog.records.computer import Surroundings

SCHEMA_NUMBER = 2


@dataclass(frozen=True, slots=True)
class Step:
    """One step up: a name for the journal, and what it does to an open connection.

    It may alter tables as it likes (Alembic's operations are imported by the step that needs them),
    but leaves the journal alone: the entry is written from the rows before and after.
    """

    name: str
    climb: Callable[[Connection], None]


STEPS: dict[int, Step] = {1: Step("own_views_and_plans", steps.to_2)}
"""From schema number n to n + 1."""


def climb(file: Path, around: Surroundings, *, writable: bool) -> None:
    """Bring a logbook file to the present schema.

    Raises LogbookProblem ``newer_logbook`` with both numbers when the file is from a later version,
    ``older_logbook_read_only`` when it would have to climb and cannot be written.
    """
    found = sqlite.schema_number(file)
    if found > SCHEMA_NUMBER:
        raise LogbookProblem("newer_logbook", found=found, known=SCHEMA_NUMBER)
    if found < SCHEMA_NUMBER and not writable:
        raise LogbookProblem("older_logbook_read_only", found=found, known=SCHEMA_NUMBER)
    for number in range(found, SCHEMA_NUMBER):
        _keep_copy(file, number)
        _take(file, number, STEPS[number], around)


def copy_before(file: Path, number: int) -> Path:
    """Return where the file is kept as it was before the step up from a schema number."""
    return file.with_name(f"{file.stem}-schema-{number}{file.suffix}")


def _keep_copy(file: Path, number: int) -> None:
    with making(copy_before(file, number)) as copy:
        sqlite.copy_file(file, copy)


def _take(file: Path, number: int, step: Step, around: Surroundings) -> None:
    # A table that is made anew takes no row along that refers to it; all are judged at the end.
    engine = sqlite.engine_for(file, references=False)
    try:
        with engine.connect() as connection, connection.begin():
            before = _all_images(connection)
            step.climb(connection)
            rows = _altered(before, _all_images(connection))
            head = _enter(connection, step, number + 1, rows, around)
            sqlite.set_schema_number(connection, number + 1)
            if broken := sqlite.broken_reference(connection):
                raise LogbookProblem("step_failed", step=step.name, detail=broken)
    except (sqlite3.Error, DBAPIError) as problem:
        raise LogbookProblem("step_failed", step=step.name, detail=str(problem)) from problem
    finally:
        engine.dispose()
    head()


def _enter(
    connection: Connection, step: Step, number: int, rows: list[Touched], around: Surroundings
) -> Callable[[], None]:
    """Write the entry; returns what remembers its head, to be called when it is on the disk."""
    mark = select(LogbookMark.value).where(LogbookMark.name == "logbook_id")
    memory = Memory(str(connection.scalar(mark)), around)
    writer = JournalWriter(memory.replica, number, around.new_id, around.new_salt)
    entry = writer.write(
        connection,
        rows,
        at=around.now(),
        person=around.person,
        kind="schema",
        action="schema.climb",
        details={"step": step.name, "found": number - 1, "made": number},
        parents=tuple(heads(connection)[-2:]),
    )
    return lambda: memory.see(entry.digest)


_Images = dict[tuple[str, str], Image]


def _all_images(connection: Connection) -> _Images:
    """Read every record as the file has it, whatever columns it has there."""
    names = set(sqlalchemy.inspect(connection).get_table_names()) - JOURNAL_TABLES
    return {
        (name, row["id"]): dict(row) for name in sorted(names) for row in _rows(connection, name)
    }


def _rows(connection: Connection, name: str) -> list[Any]:
    columns = sqlalchemy.inspect(connection).get_columns(name)
    table = sqlalchemy.table(name, *(sqlalchemy.column(column["name"]) for column in columns))
    return list(connection.execute(select(table).order_by(table.c.id)).mappings())


def _altered(before: _Images, after: _Images) -> list[Touched]:
    rows = [
        Touched(name, key, image, after.get((name, key)))
        for (name, key), image in before.items()
        if after.get((name, key)) != image
    ]
    new = [Touched(*row, None, image) for row, image in after.items() if row not in before]
    return rows + new
