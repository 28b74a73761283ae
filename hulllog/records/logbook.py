"""The logbook: one folder for one vessel, with one writer at a time.

Every edit runs in ``with logbook.change("action.code", **values) as book:``, which is one
transaction and one journal entry.  Reading runs in ``with logbook.read() as book:``.
"""

from __future__ import annotations

import json
import os
import threading
import uuid
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

import platformdirs
from filelock import FileLock, Timeout
from sqlalchemy import insert, select

from hulllog.records import corrections, ladder, sqlite
from hulllog.records.base import Base
from hulllog.records.book import Book, touched
from hulllog.records.errors import LogbookProblem, WriteOutside
from hulllog.records.journal import (
    Entry,
    EntryKind,
    JournalWriter,
    LogbookMark,
    RowDigest,
    Touched,
    canonical,
    details_of,
    heads,
    image_of,
    read_image,
    salted,
    write_image,
)

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from sqlalchemy import Connection

FILE_NAME = "logbook.sqlite"
LOCK_NAME = "logbook.lock"
PHOTOS = "photos"
DOCUMENTS = "documents"
UNDOABLE: frozenset[EntryKind] = frozenset({"edit", "import"})

sqlite.make_strict(Base.metadata)


def _now() -> datetime:
    return datetime.now(UTC)


def _new_id() -> str:
    return str(uuid.uuid4())


def _new_salt() -> bytes:
    return os.urandom(16)


@dataclass(frozen=True, slots=True, kw_only=True)
class Surroundings:
    """What a logbook takes from outside: clock, keys, salts, the writer, where state is kept."""

    now: Callable[[], datetime] = _now
    new_id: Callable[[], str] = _new_id
    new_salt: Callable[[], bytes] = _new_salt
    person: str = "owner"
    state_folder: Path = field(
        default_factory=lambda: Path(platformdirs.user_state_path("hulllog"))
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class ChangeNote:
    """What an entry changed: tables touched, and the action with its values."""

    entry_id: str
    kind: EntryKind
    action: str
    details: dict[str, Any]
    tables: frozenset[str]
    initiator: object = None


@dataclass(slots=True)
class _Step:
    entry_id: str
    action: str
    details: dict[str, Any]


class Logbook:
    """An open logbook.  Make one with ``create`` or ``open``; close it when done."""

    def __init__(
        self, folder: Path, around: Surroundings, lock: FileLock | None, read_only: str | None
    ) -> None:
        self.folder = folder
        self.around = around
        self.read_only = read_only
        """Why this copy is open for reading only, as a code; None when it can be written."""
        self._lock = lock
        self._engine = sqlite.engine_for(folder / FILE_NAME, read_only=read_only is not None)
        self._book: Book | None = None
        self._guard = threading.RLock()
        self._done: list[_Step] = []
        self._undone: list[_Step] = []
        self._listeners: list[Callable[[ChangeNote], None]] = []
        with self._engine.connect() as connection:
            self.id = _mark(connection, "logbook_id")
            self._heads = heads(connection)
        self._replica = _replica_of(self.id, around)
        self._writer = JournalWriter(self._replica, around.new_id, around.new_salt)

    # Opening and closing

    @classmethod
    def create(cls, folder: Path, around: Surroundings | None = None) -> Logbook:
        """Make a new logbook in ``folder``, which must not hold one yet."""
        around = around or Surroundings()
        folder = folder.absolute()
        if (folder / FILE_NAME).exists():
            raise LogbookProblem("already_a_logbook", path=folder.name)
        for part in (folder, folder / PHOTOS, folder / DOCUMENTS):
            part.mkdir(parents=True, exist_ok=True)
        making = folder / (FILE_NAME + ".making")
        making.unlink(missing_ok=True)
        sqlite.create_file(making, ladder.SCHEMA_NUMBER)
        engine = sqlite.engine_for(making)
        with engine.begin() as connection:
            Base.metadata.create_all(connection)
            _set_mark(connection, "logbook_id", around.new_id())
            _set_mark(connection, "made_at", around.now().isoformat())
        engine.dispose()
        making.replace(folder / FILE_NAME)
        return cls.open(folder, around)

    @classmethod
    def open(
        cls, folder: Path, around: Surroundings | None = None, *, read_only: bool = False
    ) -> Logbook:
        """Open a logbook; for reading only when another program writes it, or it is damaged.

        Raises LogbookProblem ``no_logbook``, ``not_a_logbook``, ``newer_logbook`` or ``damaged``.
        """
        around = around or Surroundings()
        folder = folder.absolute()
        file = folder / FILE_NAME
        if not file.is_file():
            raise LogbookProblem("no_logbook", path=str(folder))
        lock, why = (None, "asked") if read_only else _take_lock(folder)
        try:
            ladder.climb(file, writable=why is None)
            why = _damage(file) or why
            book = cls(folder, around, lock, why)
            book._compare_remembered_head()
        except BaseException:
            if lock:
                lock.release()
            raise
        return book

    def close(self) -> None:
        """Close the file and let others write."""
        self._engine.dispose()
        if self._lock:
            self._lock.release()

    def __enter__(self) -> Logbook:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    # Reading and changing

    @contextmanager
    def read(self) -> Iterator[Book]:
        """Give a session for reading; inside a change it is the change's own."""
        if self._book is not None and self._guard_is_mine():
            yield self._book
            return
        with self._engine.connect() as connection:
            book = self._new_book(connection, writing=False)
            try:
                yield book
            finally:
                book.close()

    @contextmanager
    def change(
        self,
        action: str,
        *,
        kind: EntryKind = "edit",
        reason: str | None = None,
        initiator: object = None,
        **details: Any,
    ) -> Iterator[Book]:
        """Run one user action as one transaction and one journal entry.

        A change inside a change becomes part of it.  ``reason`` is wanted when a record of a
        closed or issued visit is altered (Refused ``reason_wanted``).
        """
        with self._guard:
            if self._book is not None:
                yield self._book
                return
            self._must_be_writable()
            if reason:
                details["reason"] = reason
            with self._engine.connect() as connection, connection.begin():
                self._book = self._new_book(connection, writing=True)
                try:
                    yield self._book
                    self._book.flush()
                    rows = touched(self._book, connection)
                    if reason is None:
                        corrections.refuse_without_reason(connection, rows)
                    entry = self._write(connection, rows, kind, action, details)
                finally:
                    self._book.close()
                    self._book = None
            if entry is None:
                return
            self._after(entry)
            if kind in UNDOABLE:
                self._done.append(_Step(entry.id, action, details))
                self._undone.clear()
            else:
                self._done.clear()
                self._undone.clear()
            self._tell(entry.id, kind, action, details, rows, initiator)

    def on_change(self, listener: Callable[[ChangeNote], None]) -> Callable[[], None]:
        """Call ``listener`` after every entry; returns the function that stops it."""
        self._listeners.append(listener)
        return lambda: self._listeners.remove(listener)

    @property
    def head(self) -> str:
        """Digest of the last entry; empty for a logbook without one."""
        return self._heads[-1] if self._heads else ""

    # Undo

    @property
    def can_undo(self) -> tuple[str, dict[str, Any]] | None:
        """Action and values of what undo would take back, or None."""
        return (self._done[-1].action, self._done[-1].details) if self._done else None

    @property
    def can_redo(self) -> tuple[str, dict[str, Any]] | None:
        """Action and values of what redo would do again, or None."""
        return (self._undone[-1].action, self._undone[-1].details) if self._undone else None

    def undo(self, initiator: object = None) -> None:
        """Take back the last action, by a new entry that puts the rows back as they were."""
        self._turn_back(self._done, self._undone, "undo", initiator)

    def redo(self, initiator: object = None) -> None:
        """Do again what was undone last."""
        self._turn_back(self._undone, self._done, "redo", initiator)

    def _turn_back(
        self, source: list[_Step], target: list[_Step], kind: EntryKind, initiator: object
    ) -> None:
        with self._guard:
            self._must_be_writable()
            if not source:
                raise LogbookProblem(f"nothing_to_{kind}")
            step = source[-1]
            details = {"of": step.entry_id, "action": step.action}
            with self._engine.connect() as connection, connection.begin():
                rows = _reversed_rows(connection, step.entry_id)
                for row in rows:
                    write_image(connection, Base.metadata.tables[row.table], row.key, row.after)
                entry = self._write(connection, rows, kind, step.action, details)
            assert entry is not None
            source.pop()
            target.append(_Step(entry.id, step.action, step.details))
            self._after(entry)
            self._tell(entry.id, kind, step.action, step.details, rows, initiator)

    # Parts

    def _new_book(self, connection: Connection, *, writing: bool) -> Book:
        return Book(
            connection,
            writing=writing,
            new_id=self.around.new_id,
            now=self.around.now,
            person=self.around.person,
        )

    def _guard_is_mine(self) -> bool:
        if self._guard.acquire(blocking=False):
            self._guard.release()
            return True
        return False

    def _must_be_writable(self) -> None:
        if self.read_only:
            raise LogbookProblem("read_only", why=self.read_only)

    def _write(
        self,
        connection: Connection,
        rows: list[Touched],
        kind: EntryKind,
        action: str,
        details: dict[str, Any],
    ) -> Entry | None:
        if not rows:
            return None
        return self._writer.write(
            connection,
            rows,
            at=self.around.now(),
            person=self.around.person,
            kind=kind,
            action=action,
            details=details,
            parents=tuple(self._heads[-2:]),
        )

    def _after(self, entry: Entry) -> None:
        self._heads = [entry.digest]
        _remember(self.id, self.around, self._replica, entry.digest)

    def _tell(
        self,
        entry_id: str,
        kind: EntryKind,
        action: str,
        details: dict[str, Any],
        rows: list[Touched],
        initiator: object,
    ) -> None:
        note = ChangeNote(
            entry_id=entry_id,
            kind=kind,
            action=action,
            details=details,
            tables=frozenset(row.table for row in rows),
            initiator=initiator,
        )
        for listener in tuple(self._listeners):
            listener(note)

    def _compare_remembered_head(self) -> None:
        """Open read-only when the head this computer saw last is no longer in the journal."""
        known = _state(self.id, self.around).get("head")
        if not known or self.read_only:
            return
        with self._engine.connect() as connection:
            if not connection.execute(select(Entry.id).where(Entry.digest == known)).first():
                self.read_only = "head_missing"


def _reversed_rows(connection: Connection, entry_id: str) -> list[Touched]:
    """Return the rows of an entry turned round, last first; each must stand as it was left."""
    query = select(RowDigest).where(RowDigest.entry_id == entry_id)
    found = connection.execute(query.order_by(RowDigest.position.desc())).all()
    rows = []
    for row in found:
        table = Base.metadata.tables[row.table_name]
        now = read_image(connection, table, row.row_key)
        if now != image_of(connection, table, row.after_digest):
            raise LogbookProblem("undo_changed_since", table=row.table_name)
        rows.append(
            Touched(
                row.table_name, row.row_key, now, image_of(connection, table, row.before_digest)
            )
        )
    return rows


def _mark(connection: Connection, name: str) -> str:
    return connection.execute(
        select(LogbookMark.value).where(LogbookMark.name == name)
    ).scalar_one()


def _set_mark(connection: Connection, name: str, value: str) -> None:
    connection.execute(insert(LogbookMark), {"name": name, "value": value})


def _take_lock(folder: Path) -> tuple[FileLock | None, str | None]:
    lock = FileLock(folder / LOCK_NAME)
    try:
        lock.acquire(timeout=0)
    except Timeout:
        return None, "in_use"
    except OSError:
        return None, "no_write_access"
    return lock, None


def _damage(file: Path) -> str | None:
    engine = sqlite.engine_for(file, read_only=True)
    try:
        return "damaged" if sqlite.damage(engine) else None
    finally:
        engine.dispose()


def _state_file(logbook_id: str, around: Surroundings) -> Path:
    return around.state_folder / "logbooks" / f"{logbook_id}.json"


def _state(logbook_id: str, around: Surroundings) -> dict[str, str]:
    try:
        found: dict[str, str] = json.loads(_state_file(logbook_id, around).read_text("utf-8"))
    except (OSError, ValueError):
        return {}
    return found


def _replica_of(logbook_id: str, around: Surroundings) -> str:
    """Return the name of this computer's copy, made at first sight."""
    known = _state(logbook_id, around).get("replica")
    if known:
        return known
    made = around.new_id()
    _remember(logbook_id, around, made, "")
    return made


def _remember(logbook_id: str, around: Surroundings, replica: str, head: str) -> None:
    """Keep what this computer saw last.  Losing it costs a warning, not a record."""
    file = _state_file(logbook_id, around)
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
        making = file.with_suffix(".making")
        making.write_text(json.dumps({"replica": replica, "head": head}), "utf-8")
        making.replace(file)
    except OSError:
        return


__all__ = [
    "ChangeNote",
    "Logbook",
    "Surroundings",
    "WriteOutside",
    "canonical",
    "details_of",
    "salted",
]
