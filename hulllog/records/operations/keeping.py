"""What can be done with any record: change its fields, withdraw it, bring it back."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, TypeVar, cast

from hulllog.records.base import Base, Kept
from hulllog.records.errors import Refused
from hulllog.records.operations import typed as t

if TYPE_CHECKING:
    from collections.abc import Mapping

    from hulllog.records.book import Book
    from hulllog.records.logbook import Logbook

R = TypeVar("R", bound=Base)

_SHOWN = ("name", "title", "label", "text", "what", "wording", "file_name", "location", "stage")


def shown(record: Base) -> str:
    """Return what a record is called in an undo text, cut to a line."""
    for field in _SHOWN:
        value = getattr(record, field, None)
        if isinstance(value, str) and value:
            return value if len(value) <= 60 else value[:59] + "…"
    return ""


def name_of(logbook: Logbook, model: type[Base], key: str | None, field: str = "") -> str:
    """Return what a record is called; empty for no key.  Raises Refused ``no_such_record``."""
    if not key:
        return ""
    with logbook.read() as book:
        return shown(t.needed(book, model, key, field))


def make(book: Book, model: type[R], values: Mapping[str, Any]) -> str:
    """Add a record and return its key."""
    record = book.keep(model(**values))
    book.flush()
    return str(cast("Kept", record).id)


def change_fields(
    logbook: Logbook,
    action: str,
    model: type[R],
    key: str,
    fields: t.Fields,
    typed: Mapping[str, t.Typed],
    *,
    reason: str | None = None,
    zone: str | None = None,
    **details: Any,
) -> None:
    """Set fields of a record by a table of readers, as one entry."""
    about = name_of(logbook, model, key)
    told = {"name": about, **details} if about else details
    with logbook.change(action, reason=reason, fields=sorted(typed), **told) as book:
        record = t.needed(book, model, key)
        for name, value in t.read(book, fields, typed, zone=zone).items():
            setattr(record, name, value)


def withdraw(logbook: Logbook, model: type[Base], key: str, *, reason: str | None = None) -> None:
    """Hide a record and keep it."""
    _turn(logbook, "record.withdraw", model, key, reason, withdrawn=True)


def restore(logbook: Logbook, model: type[Base], key: str, *, reason: str | None = None) -> None:
    """Show a withdrawn record again."""
    _turn(logbook, "record.restore", model, key, reason, withdrawn=False)


def _turn(
    logbook: Logbook,
    action: str,
    model: type[Base],
    key: str,
    reason: str | None,
    *,
    withdrawn: bool,
) -> None:
    about = name_of(logbook, model, key)
    with logbook.change(action, reason=reason, table=model.__tablename__, name=about) as book:
        record = cast("Kept", t.needed(book, model, key))
        if record.withdrawn == withdrawn:
            raise Refused("withdrawn_already" if withdrawn else "not_withdrawn")
        record.withdrawn = withdrawn
