"""The past of a record, as the journal tells it; the corrections made; the histories issued."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from functools import cache
from typing import TYPE_CHECKING, Any

from sqlalchemy import select

from hulllog.records.base import Base
from hulllog.records.journal import Entry, RowDigest, StoredImage, details_of, parse_image
from hulllog.records.model import IssuedHistory

if TYPE_CHECKING:
    from collections.abc import Sequence

    from sqlalchemy.orm import Mapper
    from sqlalchemy.sql.expression import ColumnElement

    from hulllog.records.book import Book
    from hulllog.records.journal import Image

Values = dict[str, Any]
_PLUMBING = frozenset({"id", "entered_at", "entered_by"})
_NAMES = ("name", "title", "label", "begins", "text", "file_name", "code", "number")
"""Fields by which a record is called, the first that has something."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """What one entry did to one record.

    ``before`` and ``after`` hold the fields that differ, by the names of the model: dates, measured
    values and places whole, a reference as the name of what it points at.  Both are empty where the
    images are ``withheld``.
    """

    entry_id: str
    at: datetime
    person: str
    kind: str
    action: str
    details: Values
    table: str
    key: str
    operation: str
    before: Values
    after: Values
    withheld: bool

    @property
    def reason(self) -> str:
        """The reason that was given; empty for none."""
        return str(self.details.get("reason", ""))


Correction = Change
"""A change to a record of a closed or issued visit; its reason is never empty."""


def record_history(book: Book, table: str, key: str) -> list[Change]:
    """Return what was done to a record, the first entry first."""
    return _changes(book, RowDigest.row_key == key, RowDigest.table_name == table)


def corrections_made(book: Book, *, with_taken_back: bool = False) -> list[Correction]:
    """Return the corrections record by record, without those that undo took back.

    They are changes to closed or issued visits, and what was put right in her form with a reason.
    """
    marked = select(StoredImage.digest).where(StoredImage.image.contains('"corrects":['))
    reasoned = select(StoredImage.digest).where(StoredImage.image.contains('"reason":"'))
    of_form = (
        (Entry.action == "particulars.correct")
        & (RowDigest.table_name == "form_version")
        & Entry.details_digest.in_(reasoned)
    )
    found = _changes(
        book,
        Entry.details_digest.in_(marked) | of_form,
        Entry.kind.not_in(("undo", "redo")),
    )
    gone = set() if with_taken_back else _taken_back(book)
    return [change for change in found if change.entry_id not in gone]


def issued(book: Book) -> Sequence[IssuedHistory]:
    """Return the histories that were issued, the first one first."""
    query = select(IssuedHistory).order_by(IssuedHistory.issued_at, IssuedHistory.id)
    return book.scalars(query).all()


def _taken_back(book: Book) -> set[str]:
    """Return the ids of entries that an undo took back and no redo did again."""
    query = select(Entry.id, Entry.details_digest).where(Entry.kind.in_(("undo", "redo")))
    turned = book.execute(query.order_by(Entry.written.desc())).all()
    gone: set[str] = set()
    for entry_id, details_digest in turned:
        if entry_id not in gone:
            gone.add(details_of(book.connection(), details_digest).get("of", ""))
    return gone


def _changes(book: Book, *where: Any) -> list[Change]:
    query = (
        select(Entry, RowDigest)
        .join_from(RowDigest, Entry, Entry.written == RowDigest.written)
        .where(*where)
        .order_by(RowDigest.written, RowDigest.position)
    )
    return [_change(book, entry, row) for entry, row in book.execute(query).all()]


def _change(book: Book, entry: Entry, row: RowDigest) -> Change:
    reader = _Reader(book, row.table_name)
    images = [
        _image(book, row.table_name, digest) for digest in (row.before_digest, row.after_digest)
    ]
    before, after = ({} if image is None else reader.read(image) for image in images)
    changed = [
        name
        for name in dict.fromkeys([*before, *after])
        if before.get(name) != after.get(name) and name not in _PLUMBING and None not in images
    ]
    return Change(
        entry_id=entry.id,
        at=entry.at,
        person=entry.person,
        kind=entry.kind,
        action=entry.action,
        details=details_of(book.connection(), entry.details_digest),
        table=row.table_name,
        key=row.row_key,
        operation=row.operation,
        before={name: reader.shown(name, before.get(name)) for name in changed},
        after={name: reader.shown(name, after.get(name)) for name in changed},
        withheld=None in images,
    )


def _image(book: Book, table: str, digest: str | None) -> Image | None:
    """Return an image, empty where there was no row; None where it is withheld."""
    if digest is None:
        return {}
    stored = book.scalar(select(StoredImage.image).where(StoredImage.digest == digest))
    known = Base.metadata.tables.get(table)
    return None if stored is None or known is None else parse_image(known, stored)


@cache
def _mappers() -> dict[str, Mapper[Any]]:
    return {mapper.local_table.name: mapper for mapper in Base.registry.mappers}  # type: ignore[attr-defined]


class _Reader:
    """Reads images of one table as the fields of its model."""

    def __init__(self, book: Book, table: str) -> None:
        self._book = book
        self._mapper = _mappers().get(table)

    def read(self, image: Image) -> Values:
        """Return the fields; a column that this version does not know stays as it is."""
        if self._mapper is None or not image:
            return dict(image)
        left = dict(image)
        values: Values = {}
        for name, composite in self._mapper.composites.items():
            parts = [
                self._typed(column, left.pop(column.name, None)) for column in composite.columns
            ]
            values[name] = composite.composite_class(*parts)
        columns = self._mapper.local_table.c
        for name, value in left.items():
            values[name] = self._typed(columns[name], value) if name in columns else value
        return values

    def shown(self, name: str, value: Any) -> Any:
        """Return a field to be shown: a reference as what its record is called now."""
        column = self._mapper.local_table.c.get(name) if self._mapper else None
        for reference in column.foreign_keys if column is not None and value else ():
            record = self._book.get(_mappers()[reference.column.table.name].class_, value)
            names = (getattr(record, field, None) for field in _NAMES)
            return next((found for found in names if found), value)
        return value

    def _typed(self, column: ColumnElement[Any], value: Any) -> Any:
        """Return a value as the model has it, read from what the database holds."""
        dialect = self._book.connection().dialect
        read = column.type.result_processor(dialect, None)
        return value if value is None or read is None else read(value)

    def _called(self, table: str, key: str | None) -> Any:
        """Return what the record behind a key is called now; the key where that is not known."""
        record = self._book.get(_mappers()[table].class_, key) if key else None
        for name in _NAMES:
            found = getattr(record, name, None)
            if found:
                return found
        return key
