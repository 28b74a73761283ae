"""The journal: one entry an action, chained by digests, with images of every row touched.

An entry's digest covers its parents' digests and the digests of the rows it touched; a row's digest
covers a random salt and the row's canonical image.  Images and salts stand apart and may be
withheld: the chain still verifies in a redacted copy.  Order comes from the parents, never from
the clock.
"""

from __future__ import annotations

import hashlib
import json
from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING, Any, Literal

import sqlalchemy
from sqlalchemy import ForeignKey, UniqueConstraint, func, select
from sqlalchemy.orm import Mapped, mapped_column

from hulllog.records.base import Base
from hulllog.records.types import Real, Whole, canonical_json, instant_text

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence

    from sqlalchemy import Connection, Table, TableClause

FORMAT = 1
EntryKind = Literal["edit", "undo", "redo", "import", "schema", "merge", "redaction", "issue"]
Operation = Literal["insert", "update", "delete"]
Image = dict[str, Any]
"""A row as the database holds it: column name -> text, number or None."""


class Entry(Base):
    """One user action.  ``details_digest`` points at the action's values, kept as an image."""

    __tablename__ = "journal_entry"

    id: Mapped[str] = mapped_column(primary_key=True)
    written: Mapped[int] = mapped_column(unique=True)
    """Order in this file: parents before children.  A copy may order branches otherwise."""
    replica: Mapped[str]
    sequence: Mapped[int]
    parent_a: Mapped[str | None] = mapped_column(index=True)
    parent_b: Mapped[str | None] = mapped_column(index=True)
    at: Mapped[datetime]
    person: Mapped[str]
    kind: Mapped[str]
    action: Mapped[str]
    details_digest: Mapped[str]
    digest: Mapped[str] = mapped_column(unique=True)

    __table_args__ = (UniqueConstraint("replica", "sequence"),)


class RowDigest(Base):
    """One row that an entry touched: the digests before and after, None where there is no row."""

    __tablename__ = "journal_row"

    entry_id: Mapped[str] = mapped_column(ForeignKey("journal_entry.id"), primary_key=True)
    position: Mapped[int] = mapped_column(primary_key=True)
    table_name: Mapped[str]
    row_key: Mapped[str] = mapped_column(index=True)
    operation: Mapped[str]
    before_digest: Mapped[str | None]
    after_digest: Mapped[str | None]


class StoredImage(Base):
    """A canonical image and its salt; both None when withheld."""

    __tablename__ = "journal_image"

    digest: Mapped[str] = mapped_column(primary_key=True)
    salt: Mapped[str | None]
    image: Mapped[str | None]


class LogbookMark(Base):
    """What the logbook is: its id, the format of its journal, when it was made."""

    __tablename__ = "logbook_mark"

    name: Mapped[str] = mapped_column(primary_key=True)
    value: Mapped[str]


JOURNAL_TABLES = frozenset(
    cls.__tablename__ for cls in (Entry, RowDigest, StoredImage, LogbookMark)
)


@dataclass(frozen=True, slots=True)
class Touched:
    """A row changed by an action: its image before and after, None where there is none."""

    table: str
    key: str
    before: Image | None
    after: Image | None

    @property
    def operation(self) -> Operation:
        """What happened to the row."""
        if self.before is None:
            return "insert"
        return "delete" if self.after is None else "update"


def plain(table: Table) -> TableClause:
    """Return the table without its types, so that rows come and go as the database holds them."""
    return sqlalchemy.table(table.name, *(sqlalchemy.column(name.name) for name in table.columns))


def read_image(connection: Connection, table: Table, key: str) -> Image | None:
    """Read a row as the database holds it, past all type conversion."""
    rows = plain(table)
    row = connection.execute(select(rows).where(rows.c.id == key)).mappings().first()
    return None if row is None else dict(row)


def each_image(connection: Connection, table: Table) -> Iterator[tuple[str, Image]]:
    """Read all rows of a table in the order of their keys."""
    rows = plain(table)
    for row in connection.execute(select(rows).order_by(rows.c.id)).mappings():
        yield row["id"], dict(row)


def write_image(connection: Connection, table: Table, key: str, image: Image | None) -> None:
    """Put a row back as it was; None takes it away."""
    rows = plain(table)
    here = rows.c.id == key
    if image is None:
        connection.execute(rows.delete().where(here))
    elif read_image(connection, table, key) is None:
        connection.execute(rows.insert().values(image))
    else:
        connection.execute(rows.update().where(here).values(image))


def canonical(table: str, image: Image) -> str:
    """Write an image one way only: numbers as decimal text."""
    row = {name: _decimal(value) for name, value in image.items()}
    return canonical_json({"schema": FORMAT, "table": table, "row": row})


def _decimal(value: Any) -> Any:
    return repr(value) if isinstance(value, int | float) else value


def parse_image(table: Table, text: str) -> Image:
    """Read an image back, numbers as the columns hold them."""
    row: Image = json.loads(text)["row"]
    return {name: _number(table, name, value) for name, value in row.items()}


def _number(table: Table, name: str, value: Any) -> Any:
    if value is None or name not in table.columns:
        return value
    kind = table.columns[name].type
    kind = getattr(kind, "impl", kind)
    if isinstance(kind, Whole):
        return int(value)
    return float(value) if isinstance(kind, Real) else value


def salted(salt: bytes, text: str) -> str:
    """Return the SHA-256 of salt and text, in hex."""
    return hashlib.sha256(salt + text.encode()).hexdigest()


def entry_digest(entry: Entry, rows: Sequence[RowDigest]) -> str:
    """Return the digest of an entry with its parents' and rows' digests."""
    told = {
        "format": FORMAT,
        "id": entry.id,
        "replica": entry.replica,
        "sequence": entry.sequence,
        "parents": [parent for parent in (entry.parent_a, entry.parent_b) if parent],
        "at": instant_text(entry.at),
        "person": entry.person,
        "kind": entry.kind,
        "action": entry.action,
        "details": entry.details_digest,
        "rows": [
            [row.table_name, row.row_key, row.operation, row.before_digest, row.after_digest]
            for row in rows
        ],
    }
    return hashlib.sha256(canonical_json(told).encode()).hexdigest()


def heads(connection: Connection) -> list[str]:
    """Return the digests of the entries that none follows."""
    followed_a = select(Entry.parent_a).where(Entry.parent_a.is_not(None))
    followed_b = select(Entry.parent_b).where(Entry.parent_b.is_not(None))
    query = select(Entry.digest).where(
        Entry.digest.not_in(followed_a), Entry.digest.not_in(followed_b)
    )
    return sorted(connection.execute(query).scalars())


class JournalWriter:
    """Writes entries for one replica; salts come from the logbook's own source."""

    def __init__(self, replica: str, ids: Callable[[], str], salts: Callable[[], bytes]) -> None:
        self._replica = replica
        self._ids = ids
        self._salts = salts

    def write(
        self,
        connection: Connection,
        rows: Sequence[Touched],
        *,
        at: datetime,
        person: str,
        kind: EntryKind,
        action: str,
        details: dict[str, Any],
        parents: tuple[str, ...],
    ) -> Entry:
        """Write one entry with its row digests and images."""
        entry = Entry(
            id=self._ids(),
            replica=self._replica,
            written=_next(connection, Entry.written),
            sequence=_next(connection, Entry.sequence, Entry.replica == self._replica),
            parent_a=parents[0] if parents else None,
            parent_b=parents[1] if len(parents) > 1 else None,
            at=at,
            person=person,
            kind=kind,
            action=action,
            details_digest=self._keep(connection, canonical_json(details)),
        )
        digests = [self._row(connection, entry.id, n, row) for n, row in enumerate(rows)]
        entry.digest = entry_digest(entry, digests)
        connection.execute(sqlalchemy.insert(Entry), _columns(entry))
        if digests:
            connection.execute(sqlalchemy.insert(RowDigest), [_columns(row) for row in digests])
        return entry

    def _row(self, connection: Connection, entry_id: str, position: int, row: Touched) -> RowDigest:
        return RowDigest(
            entry_id=entry_id,
            position=position,
            table_name=row.table,
            row_key=row.key,
            operation=row.operation,
            before_digest=self._before(connection, row),
            after_digest=self._image(connection, row.table, row.after),
        )

    def _before(self, connection: Connection, row: Touched) -> str | None:
        """Repeat the digest under which the row is known; a row altered past us gets its own."""
        if row.before is None:
            return None
        known = last_digest(connection, row.table, row.key)
        stored = connection.execute(
            select(StoredImage.salt).where(StoredImage.digest == known)
        ).scalar()
        if known and stored:
            text = canonical(row.table, row.before)
            if salted(bytes.fromhex(stored), text) == known:
                return known
        return self._image(connection, row.table, row.before)

    def _image(self, connection: Connection, table: str, image: Image | None) -> str | None:
        return None if image is None else self._keep(connection, canonical(table, image))

    def _keep(self, connection: Connection, text: str) -> str:
        salt = self._salts()
        digest = salted(salt, text)
        connection.execute(
            sqlalchemy.insert(StoredImage), {"digest": digest, "salt": salt.hex(), "image": text}
        )
        return digest


def _next(connection: Connection, column: Any, *where: Any) -> int:
    return int(connection.execute(select(func.max(column)).where(*where)).scalar() or 0) + 1


def last_digest(connection: Connection, table: str, key: str) -> str | None:
    """Return the digest under which the journal last knew a row."""
    query = (
        select(RowDigest.after_digest)
        .join(Entry, Entry.id == RowDigest.entry_id)
        .where(RowDigest.row_key == key, RowDigest.table_name == table)
        .order_by(Entry.written.desc())
        .limit(1)
    )
    return connection.execute(query).scalar()


def details_of(connection: Connection, entry: Entry) -> dict[str, Any]:
    """Return the values of an entry's action; empty when withheld."""
    text = connection.execute(
        select(StoredImage.image).where(StoredImage.digest == entry.details_digest)
    ).scalar()
    found: dict[str, Any] = json.loads(text) if text else {}
    return found


def image_of(connection: Connection, table: Table, digest: str | None) -> Image | None:
    """Return the stored image behind a digest; None when there is none or it is withheld."""
    if digest is None:
        return None
    text = connection.execute(
        select(StoredImage.image).where(StoredImage.digest == digest)
    ).scalar()
    return None if text is None else parse_image(table, text)


def _columns(row: Entry | RowDigest) -> dict[str, Any]:
    return {column.key: getattr(row, column.key) for column in row.__table__.columns}
