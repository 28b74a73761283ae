"""The session of a logbook: stamps new records, and watches every row that a change touches.

Watching sits on the mapper's events, since only they see everything that a unit of work writes
(orphans removed by a cascade among them).  The image before is read from the database inside the
same transaction; the image after when the change is done.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, NoReturn, TypeVar

from sqlalchemy import event, inspect
from sqlalchemy.orm import Mapper, ORMExecuteState, Session, object_session

from hulllog.records.base import BASES, Base, Kept
from hulllog.records.errors import WriteOutside
from hulllog.records.journal import JOURNAL_TABLES, Image, Touched, last_head, read_image

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable
    from datetime import datetime

    from sqlalchemy import Connection, Table


R = TypeVar("R", bound=Base)


class Book(Session):
    """A session in which records are read, and written only inside ``Logbook.change``."""

    def __init__(
        self,
        connection: Connection,
        *,
        writing: bool,
        new_id: Callable[[], str],
        now: Callable[[], datetime],
        person: str,
        basis: str = "",
    ) -> None:
        super().__init__(connection, expire_on_commit=False, join_transaction_mode="rollback_only")
        self.writing = writing
        self.new_id = new_id
        self.now = now
        self.person = person
        self.basis = basis
        self.watched: dict[tuple[str, str], Image | None] = {}

    @property
    def head(self) -> str:
        """Head of the journal as this session sees it; empty for a logbook without an entry."""
        return last_head(self.connection())

    def add(self, instance: object, *, _warn: bool = True) -> None:
        """Add a record; it gets its key, and who entered it when."""
        self._stamp(instance)
        super().add(instance, _warn=_warn)

    def add_all(self, instances: Iterable[object]) -> None:
        """Add several records."""
        for instance in instances:
            self.add(instance)

    def _stamp(self, instance: object) -> None:
        if isinstance(instance, Kept):
            instance.id = instance.id or self.new_id()
            # To the second, as it is kept: the record in hand equals the one read back.
            instance.entered_at = (instance.entered_at or self.now()).replace(microsecond=0)
            instance.entered_by = instance.entered_by or self.person
            if self.basis and instance.basis in (None, BASES[0]):
                instance.basis = self.basis

    def keep(self, record: R) -> R:
        """Add a record and return it."""
        self.add(record)
        return record

    def refuse_leftovers(self) -> None:
        """Raise WriteOutside when something was altered in a session that only reads."""
        if not self.writing and (
            self.new or self.deleted or any(map(self.is_modified, self.dirty))
        ):
            raise WriteOutside("write_outside_change")

    def bulk_save_objects(self, *_: Any, **__: Any) -> NoReturn:
        """Raise WriteOutside: the journal would not see it."""
        raise WriteOutside("bulk_write")

    bulk_insert_mappings = bulk_update_mappings = bulk_save_objects


def touched(book: Book, connection: Connection) -> list[Touched]:
    """Return the rows that differ from what they were, in the order of first touch."""
    tables = Base.metadata.tables
    rows = [
        Touched(name, key, before, read_image(connection, tables[name], key))
        for (name, key), before in book.watched.items()
    ]
    return [row for row in rows if row.before != row.after]


@event.listens_for(Session, "before_flush")
def _refuse_outside(session: Session, _context: object, _instances: object) -> None:
    if not isinstance(session, Book):
        return
    if not session.writing and (session.new or session.dirty or session.deleted):
        raise WriteOutside("write_outside_change")
    for instance in session.new:
        session._stamp(instance)


@event.listens_for(Session, "do_orm_execute")
def _refuse_bulk(state: ORMExecuteState) -> None:
    """Let only questions through: the journal sees what the unit of work writes, nothing else."""
    if isinstance(state.session, Book) and not state.is_select:
        raise WriteOutside("bulk_write")


def _watch(target: object, connection: Connection, *, new: bool) -> None:
    session = object_session(target)
    table: Table = inspect(target).mapper.local_table
    if not isinstance(session, Book) or table.name in JOURNAL_TABLES:
        return
    row = (table.name, target.id)  # type: ignore[attr-defined]
    if row not in session.watched:
        session.watched[row] = None if new else read_image(connection, table, row[1])


@event.listens_for(Base, "before_insert", propagate=True)
def _inserted(_mapper: Mapper[Any], connection: Connection, target: object) -> None:
    _watch(target, connection, new=True)


@event.listens_for(Base, "before_update", propagate=True)
def _updated(_mapper: Mapper[Any], connection: Connection, target: object) -> None:
    _watch(target, connection, new=False)


@event.listens_for(Base, "before_delete", propagate=True)
def _deleted(_mapper: Mapper[Any], connection: Connection, target: object) -> None:
    _watch(target, connection, new=False)
