"""The one module that knows SQLite: how the logbook's file is opened, checked and copied."""

from __future__ import annotations

import sqlite3
from typing import TYPE_CHECKING, Any

from sqlalchemy import Table, create_engine, event
from sqlalchemy.ext.compiler import compiles
from sqlalchemy.pool import NullPool
from sqlalchemy.types import Double

from hulllog.records.errors import LogbookProblem

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from sqlalchemy import Connection, Engine, MetaData

APPLICATION_ID = 0x48554C6C
"""Stands in the file's header, so that other files are refused kindly."""


@compiles(Double, "sqlite")
def _real(_type: Double[Any], _compiler: Any, **_: Any) -> str:
    return "REAL"


def make_strict(metadata: MetaData) -> None:
    """Make SQLite refuse a value of the wrong kind at the insert."""
    for table in metadata.tables.values():
        table.dialect_options["sqlite"]["strict"] = True


def engine_for(path: Path, *, read_only: bool = False) -> Engine:
    """Open the database file; every connection gets the same settings."""
    mode = "ro" if read_only else "rw"
    engine = create_engine(
        "sqlite://",
        creator=lambda: sqlite3.connect(
            f"{path.absolute().as_uri()}?mode={mode}",
            uri=True,
            isolation_level=None,
            check_same_thread=False,
        ),
        poolclass=NullPool,
    )
    event.listen(engine, "connect", _settings)
    event.listen(engine, "begin", _begin_reading if read_only else _begin)
    return engine


def _settings(connection: sqlite3.Connection, _record: object) -> None:
    for pragma in (
        "foreign_keys = ON",
        "journal_mode = DELETE",
        "synchronous = FULL",
        "busy_timeout = 5000",
        "trusted_schema = OFF",
    ):
        connection.execute(f"PRAGMA {pragma}").close()


def _begin(connection: Connection) -> None:
    # A deferred begin: reading must not wait for the writer; the first write takes the lock.
    connection.exec_driver_sql("BEGIN")


def _begin_reading(connection: Connection) -> None:
    connection.exec_driver_sql("BEGIN")


def create_file(path: Path, schema_number: int) -> None:
    """Make an empty database file that carries our mark and the schema number."""
    connection = sqlite3.connect(path)
    try:
        connection.execute("PRAGMA page_size = 8192")
        connection.execute(f"PRAGMA application_id = {APPLICATION_ID}")
        connection.execute(f"PRAGMA user_version = {schema_number}")
        connection.execute("VACUUM")
    finally:
        connection.close()


def schema_number(path: Path) -> int:
    """Read the schema number of a logbook file.

    Raises LogbookProblem ``not_a_logbook`` for another kind of file, ``damaged`` for a broken one.
    """
    connection = sqlite3.connect(f"{path.absolute().as_uri()}?mode=ro", uri=True)
    try:
        (mark,) = connection.execute("PRAGMA application_id").fetchone()
        (number,) = connection.execute("PRAGMA user_version").fetchone()
    except sqlite3.DatabaseError as problem:
        raise LogbookProblem("damaged", path=path.parent.name, detail=str(problem)) from problem
    finally:
        connection.close()
    if mark != APPLICATION_ID:
        raise LogbookProblem("not_a_logbook", path=path.parent.name)
    return int(number)


def damage(engine: Engine) -> str | None:
    """Say what is broken in the file, or None."""
    try:
        with engine.connect() as connection:
            found = connection.exec_driver_sql("PRAGMA quick_check(1)").scalar()
            if found != "ok":
                return str(found)
            if connection.exec_driver_sql("PRAGMA foreign_key_check").first():
                return "foreign keys"
    except sqlite3.DatabaseError as problem:
        return str(problem)
    return None


def copy_file(
    source: Path, target: Path, progress: Callable[[int, int], None] | None = None
) -> None:
    """Copy the database by SQLite's own backup, which is whole even while it is written to."""

    def told(_status: int, remaining: int, total: int) -> None:
        if progress:
            progress(total - remaining, total)

    reading = sqlite3.connect(f"{source.absolute().as_uri()}?mode=ro", uri=True)
    writing = sqlite3.connect(target)
    try:
        reading.backup(writing, pages=256, progress=told)
    finally:
        writing.close()
        reading.close()


def column_names(table: Table) -> list[str]:
    """Return the names of a table's columns, as the file has them."""
    return [column.name for column in table.columns]
