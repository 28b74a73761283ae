"""What was typed and not accepted yet: kept outside the logbook, and through a kill.

Drafts lie in one small database of this computer.  They are no records: no backup holds them and no
check looks at them.
"""

from __future__ import annotations

import sqlite3
import threading
from contextlib import suppress
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pathlib import Path

FILE_NAME = "drafts.sqlite"

_CREATE = (
    "CREATE TABLE IF NOT EXISTS draft (logbook TEXT NOT NULL, record TEXT NOT NULL,"
    " field TEXT NOT NULL, text TEXT NOT NULL, PRIMARY KEY (logbook, record, field))"
)
_SQL_PUT = "INSERT OR REPLACE INTO draft VALUES (?, ?, ?, ?)"
_SQL_DROP = "DELETE FROM draft WHERE logbook = ? AND record = ? AND field = ?"
_SQL_ALL = "SELECT record, field, text FROM draft WHERE logbook = ? ORDER BY record, field"


class Drafts:
    """The drafts of one logbook, by record and field; every ``put`` is on the disk when it returns.

    Where the state folder cannot be written, drafts last until the program ends (``lasting`` is
    False then): typing is never refused for it.
    """

    def __init__(self, state_folder: Path, logbook_id: str) -> None:
        self._logbook = logbook_id
        self._guard = threading.Lock()
        self._kept: dict[tuple[str, str], str] = {}
        self._connection = _opened(state_folder)
        if self._connection is not None:
            rows = self._connection.execute(_SQL_ALL, (logbook_id,))
            self._kept = {(record, field): text for record, field, text in rows}

    @property
    def lasting(self) -> bool:
        """Whether drafts survive the end of the program."""
        return self._connection is not None

    def put(self, record: str, field: str, text: str) -> None:
        """Keep what was typed."""
        with self._guard:
            self._kept[record, field] = text
            self._write(_SQL_PUT, record, field, text)

    def get(self, record: str, field: str) -> str | None:
        """Return what was typed and never accepted, or None."""
        return self._kept.get((record, field))

    def drop(self, record: str, field: str) -> None:
        """Forget it: it was accepted or given up."""
        with self._guard:
            if self._kept.pop((record, field), None) is not None:
                self._write(_SQL_DROP, record, field)

    def all(self) -> dict[tuple[str, str], str]:
        """Return all drafts by record and field."""
        return dict(self._kept)

    def close(self) -> None:
        """Close the file."""
        with self._guard:
            if self._connection is not None:
                self._connection.close()
                self._connection = None

    def _write(self, statement: str, *values: str) -> None:
        if self._connection is None:
            return
        try:
            # Half of a pair of surrogates, as some input methods leave it, cannot be written.
            whole = [value.encode("utf-8", "replace").decode() for value in values]
            self._connection.execute(statement, (self._logbook, *whole))
        except sqlite3.Error:
            self._connection.close()
            self._connection = None


def _opened(state_folder: Path) -> sqlite3.Connection | None:
    """Open the file of drafts; a damaged one is put aside, since it holds no record."""
    file = state_folder / FILE_NAME
    for _ in range(2):
        try:
            state_folder.mkdir(parents=True, exist_ok=True)
            return _connected(file)
        except sqlite3.DatabaseError as problem:
            code = getattr(problem, "sqlite_errorcode", None)
            if code not in {sqlite3.SQLITE_NOTADB, sqlite3.SQLITE_CORRUPT}:
                return None
            with suppress(OSError):
                file.replace(file.with_suffix(".damaged"))
        except OSError:
            return None
    return None


def _connected(file: Path) -> sqlite3.Connection:
    connection = sqlite3.connect(file, isolation_level=None, check_same_thread=False)
    try:
        connection.execute("PRAGMA busy_timeout = 2000")
        connection.execute("PRAGMA synchronous = FULL")
        connection.execute(_CREATE)
        connection.execute("SELECT count(*) FROM draft").fetchone()
    except sqlite3.Error:
        connection.close()
        raise
    return connection
