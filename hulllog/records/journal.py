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
from functools import cache
from typing import TYPE_CHECKING, Any, Literal

import sqlalchemy
from sqlalchemy import ForeignKey, Index, UniqueConstraint, bindparam, func, select
from sqlalchemy.orm import Mapped, mapped_column

from hulllog.records.base import Base
from hulllog.records.errors import LogbookProblem
from hulllog.records.types import Real, Whole, canonical_json, instant_text, normal

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence

    from sqlalchemy import Connection, Row, Select, Table, TableClause

FORMAT = 1
"""Number of the journal's own format, which every entry's digest covers."""
EntryKind = Literal["edit", "undo", "redo", "import", "schema", "merge", "redaction", "issue"]
Operation = Literal["insert", "update", "delete"]
Image = dict[str, Any]
"""A row as the database holds it: column name -> text, number or None."""


class Entry(Base):
    """One user action.  ``details_digest`` points at the action's values, kept as an image."""

    __tablename__ = "journal_entry"

    written: Mapped[int] = mapped_column(primary_key=True, autoincrement=False)
    """Order in this file: parents before children.  A copy may order branches otherwise."""
    id: Mapped[str]
    replica: Mapped[str]
    sequence: Mapped[int]
    parent_a: Mapped[str | None]
    parent_b: Mapped[str | None]
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

    written: Mapped[int] = mapped_column(
        ForeignKey("journal_entry.written", deferrable=True, initially="DEFERRED"),
        primary_key=True,
        autoincrement=False,
    )
    position: Mapped[int] = mapped_column(primary_key=True, autoincrement=False)
    table_name: Mapped[str]
    row_key: Mapped[str]
    operation: Mapped[str]
    before_digest: Mapped[str | None]
    after_digest: Mapped[str | None]

    __table_args__ = (Index("ix_journal_row_row_key", "row_key", "written"),)


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


@cache
def plain(table: Table) -> TableClause:
    """Return the table without its types, so that rows come and go as the database holds them."""
    return sqlalchemy.table(table.name, *(sqlalchemy.column(name.name) for name in table.columns))


@cache
def _by_key(table: Table) -> Select[Any]:
    rows = plain(table)
    return select(rows).where(rows.c.id == bindparam("key"))


def read_image(connection: Connection, table: Table, key: str) -> Image | None:
    """Read a row as the database holds it, past all type conversion."""
    row = connection.execute(_by_key(table), {"key": key}).mappings().first()
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


def canonical(table: str, image: Image, schema: int) -> str:
    """Write an image of a schema one way only: numbers as decimal text."""
    row = {name: _decimal(value) for name, value in image.items()}
    return canonical_json({"schema": schema, "table": table, "row": row})


def _decimal(value: Any) -> Any:
    return repr(value) if isinstance(value, int | float) else value


def is_image(stored: str, table: str, image: Image) -> bool:
    """Tell whether a stored image is that of a row, whatever schema it was written under."""
    return stored == canonical(table, image, json.loads(stored)["schema"])


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


def entry_digest(entry: Sequence[Any], rows: Sequence[Sequence[Any]]) -> str:
    """Return the digest of an entry with its parents' and rows' digests.

    ``entry`` holds the columns of ENTRY_FIELDS as the database holds them; a row is table, key,
    operation, digest before, digest after.
    """
    return hashlib.sha256(entry_text(entry, rows).encode()).hexdigest()


_QUOTES = 36
"""Quotation marks in the text of an entry beside those of its parents and rows."""


def entry_text(entry: Sequence[Any], rows: Sequence[Sequence[Any]]) -> str:
    """Write an entry one way only: the canonical JSON of its fields, parents and rows.

    A check writes every entry again, so the usual entry is put together by hand.  Where a text in
    it has a quotation mark, a backslash or more than plain letters, it is written the long way.
    """
    id_, replica, sequence, first, second, at, person, kind, action, details = entry
    parents = f'"{first}","{second}"' if second else f'"{first}"' if first else ""
    quotes = _QUOTES + (4 if second else 2 if first else 0)
    touched = []
    for table, key, operation, before, after in rows:
        told_before = f'"{before}"' if before else "null"
        told_after = f'"{after}"' if after else "null"
        touched.append(f'["{table}","{key}","{operation}",{told_before},{told_after}]')
        quotes += 10 if before and after else 8 if before or after else 6
    text = (
        f'{{"action":"{action}","at":"{at}","details":"{details}","format":{FORMAT},"id":"{id_}",'
        f'"kind":"{kind}","parents":[{parents}],"person":"{person}","replica":"{replica}",'
        f'"rows":[{",".join(touched)}],"sequence":{sequence}}}'
    )
    # Names of persons are typed; all else is made of codes, keys and digests.
    if (
        text.count('"') == quotes
        and "\\" not in text
        and text.isascii()
        and person.isprintable()
        and action.isprintable()
    ):
        return text
    return _entry_text(entry, rows)


def _entry_text(entry: Sequence[Any], rows: Sequence[Sequence[Any]]) -> str:
    told = dict(zip(ENTRY_FIELDS, entry, strict=True))
    parents = [parent for parent in (told.pop("parent_a"), told.pop("parent_b")) if parent]
    told["details"] = told.pop("details_digest")
    rows = [[*row[:3], row[3] or None, row[4] or None] for row in rows]
    return canonical_json({**told, "format": FORMAT, "parents": parents, "rows": rows})


_RowTold = tuple[str, str, str, str | None, str | None]
_Images = list[dict[str, str]]
ENTRIES, ROWS, IMAGES = (plain(table.__table__) for table in (Entry, RowDigest, StoredImage))
"""The journal's tables without their types."""
ENTRY_FIELDS = (
    "id", "replica", "sequence", "parent_a", "parent_b", "at", "person", "kind", "action",
    "details_digest",
)  # fmt: skip
"""The fields of an entry that its digest covers, beside its rows."""

_ROW_FIELDS = ("table_name", "row_key", "operation", "before_digest", "after_digest")
_LAST = (
    select(ENTRIES.c.written, ENTRIES.c.digest, ENTRIES.c.replica, ENTRIES.c.sequence)
    .order_by(ENTRIES.c.written.desc())
    .limit(1)
)
_SEQUENCE = select(func.max(ENTRIES.c.sequence)).where(ENTRIES.c.replica == bindparam("replica"))
_LAST_KNOWN = (
    select(ROWS.c.after_digest, IMAGES.c.image)
    .join_from(ROWS, IMAGES, IMAGES.c.digest == ROWS.c.after_digest, isouter=True)
    .where(ROWS.c.row_key == bindparam("key"), ROWS.c.table_name == bindparam("name"))
    .order_by(ROWS.c.written.desc())
    .limit(1)
)
_IMAGE = select(IMAGES.c.image).where(IMAGES.c.digest == bindparam("digest"))


def heads(connection: Connection) -> list[str]:
    """Return the digests of the entries that none follows, the last written last."""
    followed = [
        select(parent).where(parent.is_not(None))
        for parent in (ENTRIES.c.parent_a, ENTRIES.c.parent_b)
    ]
    query = select(ENTRIES.c.digest).order_by(ENTRIES.c.written)
    return list(connection.scalars(query.where(*(ENTRIES.c.digest.not_in(f) for f in followed))))


def last_head(connection: Connection) -> str:
    """Return the digest of the entry written last; empty for none."""
    last = connection.execute(_LAST).first()
    return str(last.digest) if last else ""


@dataclass(frozen=True, slots=True)
class Written:
    """An entry that was written: its id, its number in this file, its digest."""

    id: str
    number: int
    digest: str


class JournalWriter:
    """Writes entries for one replica; salts come from the logbook's own source."""

    def __init__(
        self, replica: str, schema: int, ids: Callable[[], str], salts: Callable[[], bytes]
    ) -> None:
        self._replica = replica
        self._schema = schema
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
    ) -> Written:
        """Write one entry with its row digests and images.

        Raises LogbookProblem ``read_only`` when the last entry here is none of the parents: then
        somebody else wrote since the heads were read.
        """
        number, sequence = self._next(connection, parents)
        images: _Images = []
        entry: dict[str, Any] = {
            "written": number,
            "id": self._ids(),
            "replica": self._replica,
            "sequence": sequence,
            "parent_a": parents[0] if parents else None,
            "parent_b": parents[1] if len(parents) > 1 else None,
            "at": instant_text(at),
            "person": normal(person),
            "kind": kind,
            "action": action,
            "details_digest": self._keep(images, canonical_json(details)),
        }
        digests = [self._row(connection, images, row) for row in rows]
        entry["digest"] = entry_digest([entry[name] for name in ENTRY_FIELDS], digests)
        connection.execute(ENTRIES.insert(), entry)
        connection.execute(IMAGES.insert(), images)
        if digests:
            connection.execute(ROWS.insert(), _numbered(number, digests))
        return Written(entry["id"], number, entry["digest"])

    def _next(self, connection: Connection, parents: tuple[str, ...]) -> tuple[int, int]:
        """Return the number and the sequence of the entry to write."""
        last = connection.execute(_LAST).first()
        if (last.digest if last else None) not in (parents or (None,)):
            raise LogbookProblem("read_only", why="changed_outside")
        if last is not None and last.replica == self._replica:
            return last.written + 1, last.sequence + 1
        highest = connection.execute(_SEQUENCE, {"replica": self._replica}).scalar()
        return (last.written if last else 0) + 1, (highest or 0) + 1

    def _row(self, connection: Connection, images: _Images, row: Touched) -> _RowTold:
        before = self._before(connection, images, row)
        after = self._image(images, row.table, row.after)
        return row.table, row.key, row.operation, before, after

    def _before(self, connection: Connection, images: _Images, row: Touched) -> str | None:
        """Repeat the digest under which the row is known; a row altered past us gets its own."""
        if row.before is None:
            return None
        known = connection.execute(_LAST_KNOWN, {"key": row.key, "name": row.table}).first()
        if known and known.image and is_image(known.image, row.table, row.before):
            return str(known.after_digest)
        return self._image(images, row.table, row.before)

    def _image(self, images: _Images, table: str, image: Image | None) -> str | None:
        return None if image is None else self._keep(images, canonical(table, image, self._schema))

    def _keep(self, images: _Images, text: str) -> str:
        salt = self._salts()
        digest = salted(salt, text)
        images.append({"digest": digest, "salt": salt.hex(), "image": text})
        return digest


def _numbered(number: int, digests: Sequence[_RowTold]) -> list[dict[str, Any]]:
    return [
        {"written": number, "position": n, **dict(zip(_ROW_FIELDS, digest, strict=True))}
        for n, digest in enumerate(digests)
    ]


def rows_of(connection: Connection, number: int) -> Sequence[Row[Any]]:
    """Return the row digests of an entry in their order."""
    query = select(ROWS).where(ROWS.c.written == number).order_by(ROWS.c.position)
    return connection.execute(query).all()


def stored_image(connection: Connection, digest: str) -> str | None:
    """Return the canonical image behind a digest; None where it is withheld."""
    return connection.execute(_IMAGE, {"digest": digest}).scalar()


def details_of(connection: Connection, details_digest: str) -> dict[str, Any]:
    """Return the values of an entry's action; empty when withheld."""
    text = stored_image(connection, details_digest)
    found: dict[str, Any] = json.loads(text) if text else {}
    return found


def image_of(connection: Connection, table: Table, digest: str | None) -> Image | None:
    """Return the image behind a digest; None for no digest, where there was no row.

    Raises LogbookProblem ``image_withheld`` for one that is not kept.
    """
    if digest is None:
        return None
    text = stored_image(connection, digest)
    if text is None:
        raise LogbookProblem("image_withheld", table=table.name)
    return parse_image(table, text)
