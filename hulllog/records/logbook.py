"""The logbook: one folder for one vessel, with one writer at a time.

Every edit runs in ``with logbook.change("action.code", **values) as book:``, which is one
transaction and one journal entry.  Reading runs in ``with logbook.read() as book:``.
"""

from __future__ import annotations

import threading
from contextlib import contextmanager
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Any

from sqlalchemy import insert, select
from sqlalchemy.schema import CreateTable

from hulllog.records import corrections, ladder, sqlite
from hulllog.records.base import Base
from hulllog.records.book import Book, touched
from hulllog.records.computer import Memory, Surroundings
from hulllog.records.drafts import Drafts
from hulllog.records.errors import LogbookProblem, Refused, WriteOutside
from hulllog.records.folder import (
    DOCUMENTS,
    FILE_NAME,
    PHOTOS,
    keep_names,
    making,
    settle,
    take_lock,
)
from hulllog.records.journal import (
    Entry,
    EntryKind,
    JournalWriter,
    LogbookMark,
    Touched,
    Written,
    heads,
    image_of,
    read_image,
    rows_of,
    write_image,
)

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from filelock import FileLock
    from sqlalchemy import Connection, Engine

UNDOABLE: frozenset[EntryKind] = frozenset({"edit", "import"})

sqlite.shape_tables(Base.metadata, by_key=("journal_row", "journal_image"))


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
    entry: Written
    action: str
    details: dict[str, Any]


@dataclass(slots=True)
class _Making:
    """The change under way, and what it will be entered as."""

    book: Book
    kind: EntryKind
    action: str
    details: dict[str, Any]
    initiator: object


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
        self._engine = sqlite.engine_for(
            self.file, read_only=read_only is not None, synced=around.synced
        )
        self._inode = self.file.stat().st_ino
        self._making: _Making | None = None
        self._basis = ""
        self._guard = threading.RLock()
        self._here = threading.local()
        self._done: list[_Step] = []
        self._ended_by = ""
        self._undone: list[_Step] = []
        self._listeners: list[Callable[[ChangeNote], None]] = []
        try:
            with sqlite.plain_errors(self.file), self._engine.connect() as connection:
                self.id = _mark(connection, "logbook_id")
                self._heads = heads(connection)
        except BaseException:
            self._engine.dispose()
            raise
        self.memory = Memory(self.id, around)
        self._writer = JournalWriter(
            self.memory.replica, ladder.SCHEMA_NUMBER, around.new_id, around.new_salt
        )

    @property
    def file(self) -> Path:
        """The database file."""
        return self.folder / FILE_NAME

    @cached_property
    def drafts(self) -> Drafts:
        """What was typed in this logbook and not accepted yet."""
        return Drafts(self.around.state_folder, self.id)

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
        with making(folder / FILE_NAME) as file, sqlite.plain_errors(file):
            _make_file(file, around)
        keep_names(folder)
        return cls.open(folder, around)

    @classmethod
    def open(
        cls, folder: Path, around: Surroundings | None = None, *, read_only: bool = False
    ) -> Logbook:
        """Open a logbook; for reading only when another program writes it, or it is damaged.

        Raises LogbookProblem ``no_logbook``, ``not_a_logbook``, ``newer_logbook``, ``damaged`` when
        nothing in it can be read, or ``unfinished`` when a cut-off write cannot be cleared away.
        """
        around = around or Surroundings()
        folder = folder.absolute()
        file = folder / FILE_NAME
        if not file.is_file():
            raise LogbookProblem("no_logbook", path=str(folder))
        lock, why = (None, "asked") if read_only else take_lock(folder)
        try:
            with sqlite.plain_errors(file):
                settle(folder, why)
                ladder.climb(file, around, writable=why is None)
            why = "damaged" if sqlite.damage(file) else why
            book = cls(folder, around, lock, why)
            book._compare_remembered_head()
        except BaseException:
            if lock:
                lock.release()
            raise
        return book

    def close(self) -> None:
        """Close the file, when what is being written is written, and let others write."""
        with self._guard:
            self._engine.dispose()
            if "drafts" in self.__dict__:
                self.drafts.close()
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
        making = self._making_here()
        if making is not None:
            yield making.book
            return
        self._here.reading = getattr(self._here, "reading", 0) + 1
        try:
            with self._reading(self._engine) as book:
                yield book
        finally:
            self._here.reading -= 1

    @contextmanager
    def read_aside(self) -> Iterator[Book]:
        """Give a session on a copy in memory: for reading that takes long, such as a print.

        The file is free at once, so nobody who writes waits for it.
        """
        with sqlite.plain_errors(self.file):
            engine = sqlite.engine_aside(self.file)
        try:
            with self._reading(engine) as book:
                yield book
        finally:
            engine.dispose()

    @contextmanager
    def _reading(self, engine: Engine) -> Iterator[Book]:
        with sqlite.plain_errors(self.file), engine.connect() as connection:
            book = self._new_book(connection, writing=False)
            try:
                yield book
                book.refuse_leftovers()
            finally:
                book.close()

    @contextmanager
    def _writing(self) -> Iterator[Connection]:
        with (
            sqlite.plain_errors(self.file),
            self._engine.connect() as connection,
            connection.begin(),
        ):
            yield connection

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

        A change inside a change becomes part of it; one that fails there takes back its own part.
        ``reason`` is wanted when a record of a closed or issued visit is altered (Refused
        ``reason_wanted``).
        """
        with self._guard:
            if self._making is not None:
                if reason:
                    self._making.details.setdefault("reason", reason)
                with self._making.book.begin_nested():
                    yield self._making.book
                return
            self.must_be_writable()
            if reason:
                details["reason"] = reason
            with self._writing() as connection:
                book = self._new_book(connection, writing=True)
                self._making = making = _Making(book, kind, action, details, initiator)
                try:
                    yield book
                    book.flush()
                    rows = touched(book, connection)
                    self._mark_correction(connection, rows, details)
                    entry = self._write(connection, rows, making)
                finally:
                    self._making = None
                    book.close()
            if entry is not None:
                self._enter(_Step(entry, action, details), kind)
                self._tell(entry, making, rows)

    @contextmanager
    def entered_on(self, basis: str) -> Iterator[None]:
        """Keep what is entered inside on this basis, where an operation says nothing else."""
        with self._guard:
            before, self._basis = self._basis, basis
            try:
                yield
            finally:
                self._basis = before

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
        return _told(self._done)

    @property
    def undo_ended_by(self) -> str:
        """The action that cannot be undone, and before which nothing can be any more; else empty.

        Undo reaches back to the opening of the logbook.
        """
        return self._ended_by

    @property
    def can_redo(self) -> tuple[str, dict[str, Any]] | None:
        """Action and values of what redo would do again, or None."""
        return _told(self._undone)

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
            self.must_be_writable()
            if self._making is not None:
                raise WriteOutside("undo_inside_change")
            if not source:
                raise LogbookProblem(f"nothing_to_{kind}")
            step = source[-1]
            with self._writing() as connection:
                rows = _reversed_rows(connection, step.entry.number)
                for row in rows:
                    write_image(connection, Base.metadata.tables[row.table], row.key, row.after)
                book = self._new_book(connection, writing=False)
                details = {"of": step.entry.id, "action": step.action}
                making = _Making(book, kind, step.action, details, initiator)
                entry = self._write(connection, rows, making)
            assert entry is not None
            source.pop()
            target.append(_Step(entry, step.action, step.details))
            self._after(entry)
            making.details = step.details
            self._tell(entry, making, rows)

    # Parts

    def _new_book(self, connection: Connection, *, writing: bool) -> Book:
        return Book(
            connection,
            writing=writing,
            new_id=self.around.new_id,
            now=self.around.now,
            person=self.around.person,
            basis=self._basis,
        )

    def _making_here(self) -> _Making | None:
        """Return the change that this very thread is making."""
        if self._making is None or not self._guard.acquire(blocking=False):
            return None
        try:
            return self._making
        finally:
            self._guard.release()

    def must_be_writable(self) -> None:
        """Raise LogbookProblem ``read_only``, with why, when nothing can be written here."""
        if self.read_only:
            raise LogbookProblem("read_only", why=self.read_only)
        if getattr(self._here, "reading", 0):
            # The change would wait for this very session to end.
            raise WriteOutside("change_inside_read")
        if not self._is_ours():
            raise LogbookProblem("read_only", why="changed_outside")

    def _is_ours(self) -> bool:
        """Tell whether the file is still the one that was opened: a synced folder may swap it."""
        try:
            return self.file.stat().st_ino == self._inode
        except OSError:
            return False

    def _mark_correction(
        self, connection: Connection, rows: list[Touched], details: dict[str, Any]
    ) -> None:
        visits = corrections.corrected(connection, rows)
        if visits and "reason" not in details:
            raise Refused("reason_wanted", table=next(iter(visits.values())))
        if visits:
            details["corrects"] = sorted(visits)

    def _write(
        self, connection: Connection, rows: list[Touched], making: _Making
    ) -> Written | None:
        if not rows:
            return None
        return self._writer.write(
            connection,
            rows,
            at=self.around.now(),
            person=self.around.person,
            kind=making.kind,
            action=making.action,
            details=making.details,
            parents=tuple(self._heads[-2:]),
        )

    def _enter(self, step: _Step, kind: EntryKind) -> None:
        self._after(step.entry)
        self._undone.clear()
        if kind in UNDOABLE:
            self._done.append(step)
        else:
            self._done.clear()
            self._ended_by = step.action

    def _after(self, entry: Written) -> None:
        self._heads = [entry.digest]
        self.memory.see(entry.digest)

    def _tell(self, entry: Written, making: _Making, rows: list[Touched]) -> None:
        note = ChangeNote(
            entry_id=entry.id,
            kind=making.kind,
            action=making.action,
            details=making.details,
            tables=frozenset(row.table for row in rows),
            initiator=making.initiator,
        )
        for listener in tuple(self._listeners):
            listener(note)

    def _compare_remembered_head(self) -> None:
        """Open read-only when the head this computer saw last is no longer in the journal."""
        known = self.memory.head
        if not known or self.read_only:
            return
        with sqlite.plain_errors(self.file), self._engine.connect() as connection:
            if not connection.execute(select(Entry.written).where(Entry.digest == known)).first():
                self.read_only = "head_missing"

    def go_on_from_here(self) -> None:
        """Take the logbook for the right one though its last known entry is not in it.

        Use it after a backup was put back.  This computer then counts as a new copy, so that no
        number of the lost entries is given twice.  Open the logbook again afterwards.
        """
        self.memory.put(replica=self.around.new_id())
        self.memory.see(self.head)


def _make_file(file: Path, around: Surroundings) -> None:
    sqlite.create_file(file, ladder.SCHEMA_NUMBER)
    engine = sqlite.engine_for(file)
    with engine.begin() as connection:
        for table in Base.metadata.sorted_tables:
            connection.execute(CreateTable(table))
            # In one order, so that the same records give the same file.
            for index in sorted(table.indexes, key=lambda one: str(one.name)):
                index.create(connection)
        _set_mark(connection, "logbook_id", around.new_logbook_id())
        _set_mark(connection, "made_at", around.now().isoformat())
    engine.dispose()


def _told(steps: list[_Step]) -> tuple[str, dict[str, Any]] | None:
    return (steps[-1].action, steps[-1].details) if steps else None


def _reversed_rows(connection: Connection, number: int) -> list[Touched]:
    """Return the rows of an entry turned round, last first; each must stand as it was left."""
    rows = []
    for row in reversed(rows_of(connection, number)):
        table = Base.metadata.tables[row.table_name]
        now = read_image(connection, table, row.row_key)
        if now != image_of(connection, table, row.after_digest):
            raise LogbookProblem("undo_changed_since", table=row.table_name)
        before = image_of(connection, table, row.before_digest)
        rows.append(Touched(row.table_name, row.row_key, now, before))
    return rows


def _mark(connection: Connection, name: str) -> str:
    query = select(LogbookMark.value).where(LogbookMark.name == name)
    found = connection.execute(query).scalar()
    if found is None:
        raise LogbookProblem("damaged", path="", detail=name)
    return found


def _set_mark(connection: Connection, name: str, value: str) -> None:
    connection.execute(insert(LogbookMark), {"name": name, "value": value})


__all__ = ["ChangeNote", "Logbook", "Surroundings"]
