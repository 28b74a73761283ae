"""The one module that knows SQLite: how the logbook's file is opened, checked and copied."""

from __future__ import annotations

import errno
import os
import sqlite3
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any

from sqlalchemy import create_engine, event
from sqlalchemy.exc import DBAPIError
from sqlalchemy.ext.compiler import compiles
from sqlalchemy.pool import QueuePool, StaticPool
from sqlalchemy.types import Double

from hulllog.records.errors import LogbookProblem

if TYPE_CHECKING:
    from collections.abc import Callable, Collection, Iterator
    from pathlib import Path

    from sqlalchemy import Connection, Engine, MetaData

APPLICATION_ID = 0x48554C6C
"""Stands in the file's header, so that other files are refused kindly."""


@compiles(Double, "sqlite")
def _real(_type: Double[Any], _compiler: Any, **_: Any) -> str:
    return "REAL"


def shape_tables(metadata: MetaData, *, by_key: Collection[str] = ()) -> None:
    """Make SQLite refuse a value of the wrong kind; lay tables ``by_key`` out by their key.

    A table laid out by its key has no second tree for it, so a row costs one page less to write.
    """
    for table in metadata.tables.values():
        table.dialect_options["sqlite"]["strict"] = True
        table.dialect_options["sqlite"]["with_rowid"] = table.name not in by_key


def engine_for(
    path: Path, *, read_only: bool = False, synced: bool = True, references: bool = True
) -> Engine:
    """Open the database file; every connection gets the same settings.

    Connections are kept until the engine is disposed of: a fresh one reads the schema again, which
    takes longer than an edit.
    """
    engine = create_engine(
        "sqlite://",
        creator=lambda: connect(path, read_only=read_only, synced=synced, references=references),
        poolclass=QueuePool,
        pool_size=4,
        max_overflow=-1,
        pool_use_lifo=True,
    )
    event.listen(engine, "begin", _begin)
    return engine


def engine_aside(path: Path) -> Engine:
    """Copy the database into memory and open the copy: what is read there holds nobody up."""
    memory = sqlite3.connect(":memory:", isolation_level=None, check_same_thread=False)
    source = connect(path, read_only=True)
    try:
        source.backup(memory)
    finally:
        source.close()
    engine = create_engine("sqlite://", creator=lambda: memory, poolclass=StaticPool)
    event.listen(engine, "begin", _begin)
    return engine


def connect(
    path: Path, *, read_only: bool = False, synced: bool = True, references: bool = True
) -> sqlite3.Connection:
    """Open a plain connection with the settings of the logbook.

    ``synced`` waits for the disk at every entry, so that a finished one survives a failing power.
    Without ``references`` nothing watches them: for a step of the ladder, which judges at its end.
    """
    mode = "ro" if read_only else "rw"
    connection = sqlite3.connect(
        f"{path.absolute().as_uri()}?mode={mode}",
        uri=True,
        isolation_level=None,
        check_same_thread=False,
    )
    try:
        for pragma in (
            "busy_timeout = 5000",
            f"foreign_keys = {'ON' if references else 'OFF'}",
            "journal_mode = DELETE",
            f"synchronous = {'FULL' if synced else 'OFF'}",
            "trusted_schema = OFF",
        ):
            connection.execute(f"PRAGMA {pragma}").close()
    except sqlite3.Error:
        connection.close()
        raise
    return connection


def _begin(connection: Connection) -> None:
    # A deferred begin: reading must not wait for the writer; the first write takes the lock.
    connection.exec_driver_sql("BEGIN")


@contextmanager
def plain_errors(path: Path) -> Iterator[None]:
    """Turn what SQLite says of the file into an error that a person can act on."""
    try:
        yield
    except (sqlite3.Error, DBAPIError) as problem:
        told = _told(problem.orig if isinstance(problem, DBAPIError) else problem, path)
        if told is None:
            raise
        raise told from problem


def _told(problem: BaseException | None, path: Path) -> Exception | None:
    """Return the error to show; None for one of ours, such as a broken constraint."""
    code = getattr(problem, "sqlite_errorcode", None)
    if code is None:
        return None
    name = path.parent.name
    match code & 0xFF:
        case sqlite3.SQLITE_CORRUPT | sqlite3.SQLITE_NOTADB:
            return LogbookProblem("damaged", path=name, detail=str(problem))
        case sqlite3.SQLITE_BUSY | sqlite3.SQLITE_LOCKED:
            return LogbookProblem("busy", path=name)
        case sqlite3.SQLITE_FULL:
            return _file_error(errno.ENOSPC, path)
        case sqlite3.SQLITE_READONLY:
            return _file_error(errno.EACCES, path)
        case sqlite3.SQLITE_IOERR:
            return _file_error(errno.EIO, path)
        case sqlite3.SQLITE_CANTOPEN:
            return _file_error(errno.EACCES if path.exists() else errno.ENOENT, path)
    return None


def _file_error(number: int, path: Path) -> OSError:
    return OSError(number, os.strerror(number), str(path))


def unfinished(path: Path) -> bool:
    """Tell whether a write was cut off here, whose traces only a writer can clear away."""
    return path.with_name(path.name + "-journal").exists()


def settle(path: Path) -> None:
    """Go back to the last whole entry after a crash; does nothing where nothing was cut off."""
    if not unfinished(path):
        return
    connection = connect(path)
    try:
        connection.execute("SELECT count(*) FROM sqlite_master").fetchone()
    finally:
        connection.close()


def create_file(path: Path, schema_number: int) -> None:
    """Make an empty database file that carries our mark and the schema number."""
    _clear(path)
    connection = sqlite3.connect(path)
    try:
        connection.execute("PRAGMA page_size = 4096")
        connection.execute(f"PRAGMA application_id = {APPLICATION_ID}")
        connection.execute(f"PRAGMA user_version = {schema_number}")
        connection.execute("VACUUM")
    finally:
        connection.close()


def _clear(path: Path) -> None:
    """Take away what a crash left: an old journal would be played into the new file."""
    path.unlink(missing_ok=True)
    path.with_name(path.name + "-journal").unlink(missing_ok=True)


def schema_number(path: Path) -> int:
    """Read the schema number of a logbook file.

    Raises LogbookProblem ``not_a_logbook`` for another kind of file, ``damaged`` for a broken one.
    """
    with path.open("rb") as file:
        header = file.read(100)
    ours = header[68:72] == APPLICATION_ID.to_bytes(4, "big")
    if not ours:
        raise LogbookProblem("not_a_logbook", path=path.parent.name)
    if len(header) < 100 or not header.startswith(b"SQLite format 3\0"):
        raise LogbookProblem("damaged", path=path.parent.name, detail="header")
    return int.from_bytes(header[60:64], "big")


def set_schema_number(connection: Connection, number: int) -> None:
    """Write the schema number; it rolls back with its transaction."""
    connection.exec_driver_sql(f"PRAGMA user_version = {number:d}")


def broken_reference(connection: Connection) -> str | None:
    """Name a table with a reference to nothing, or None."""
    found = connection.exec_driver_sql("PRAGMA foreign_key_check").first()
    return str(found[0]) if found else None


def damage(path: Path) -> str | None:
    """Say what is broken in the file, or None."""
    try:
        connection = connect(path, read_only=True)
    except sqlite3.DatabaseError as problem:
        return str(problem)
    try:
        return quick_check(connection)
    except sqlite3.DatabaseError as problem:
        return str(problem)
    finally:
        connection.close()


def quick_check(connection: sqlite3.Connection) -> str | None:
    """Say what is broken in an open file, or None."""
    (found,) = connection.execute("PRAGMA quick_check(1)").fetchone()
    if found != "ok":
        return str(found)
    if broken := connection.execute("PRAGMA foreign_key_check").fetchone():
        return f"foreign key {broken[0]}"
    return None


def table_names(connection: sqlite3.Connection) -> list[str]:
    """Return the tables of a file, by name."""
    query = "SELECT name FROM sqlite_master WHERE type = 'table' AND name NOT LIKE 'sqlite%'"
    return sorted(row[0] for row in connection.execute(query))


def strange_objects(connection: sqlite3.Connection) -> list[str]:
    """Return the triggers and views of a file; a logbook has none."""
    query = "SELECT name FROM sqlite_master WHERE type IN ('trigger', 'view')"
    return sorted(row[0] for row in connection.execute(query))


def copy_file(
    source: Path, target: Path, progress: Callable[[int, int], None] | None = None
) -> None:
    """Copy the database by SQLite's own backup, which is whole even while it is written to."""

    def told(_status: int, remaining: int, total: int) -> None:
        if progress:
            progress(total - remaining, total)

    _clear(target)
    reading = connect(source, read_only=True)
    writing = sqlite3.connect(target)
    try:
        reading.backup(writing, pages=256, progress=told)
    finally:
        writing.close()
        reading.close()
