"""Corrections as a reader wants them: what a figure was, what it is now, who says so and why."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING

from hulllog.insight.condition import figures_of
from hulllog.insight.parts import measured_what
from hulllog.records.history import Change, corrections_made
from hulllog.records.model import MeasurementSet

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from hulllog.records.book import Book

_FIGURES = frozenset({"measurement_set", "rating", "reading"})
_PLUMBING = frozenset({"withdrawn", "basis", "conditions", "number", "observed", "as_last_time"})


@dataclass(frozen=True, slots=True)
class Altered:
    """One thing that a correction altered: of a ``kind`` its component, else a field of a table."""

    kind: str | None
    name: str
    was: object
    now: object


@dataclass(frozen=True, slots=True)
class Corrected:
    """One correction.  ``subject`` is what it is about, by its name; empty where it has none."""

    at: datetime
    person: str
    table: str
    subject: str
    altered: tuple[Altered, ...]
    reason: str


def corrected(book: Book) -> list[Corrected]:
    """Return the corrections made, an entry each, the first one first."""
    entries: dict[str, list[Change]] = {}
    for change in corrections_made(book):
        entries.setdefault(change.entry_id, []).append(change)
    return [_told(book, changes) for changes in entries.values()]


def _told(book: Book, changes: Sequence[Change]) -> Corrected:
    figures, subject = _figures(book, changes)
    others = [change for change in changes if change.table not in _FIGURES]
    told = others or changes
    fields = [altered for change in others for altered in _fields(change)]
    # A look that came in with its figures is told by the figures.
    altered = (*figures, *(one for one in fields if one.was is not None or not figures))
    first = changes[0]
    return Corrected(
        first.at,
        first.person,
        told[0].table if not figures else "measurement_set",
        subject or _name(told[0]),
        altered,
        first.reason,
    )


def _figures(book: Book, changes: Sequence[Change]) -> tuple[list[Altered], str]:
    """Return the figures that differ between the sets withdrawn and the sets entered."""
    was: dict[tuple[str, str], object] = {}
    now: dict[tuple[str, str], object] = {}
    subject = ""
    for change in changes:
        rated = book.get(MeasurementSet, change.key) if change.table == "measurement_set" else None
        if rated is None:
            continue
        gone = change.operation == "delete" or change.after.get("withdrawn") is True
        for component, value in figures_of(rated).items():
            (was if gone else now)[rated.kind, component] = value
        _, subject = measured_what(book, rated)
    return [
        Altered(kind, component, was.get((kind, component)), now.get((kind, component)))
        for kind, component in dict.fromkeys((*was, *now))
        if was.get((kind, component)) != now.get((kind, component))
    ], subject


def _fields(change: Change) -> Iterator[Altered]:
    if change.after.get("withdrawn") is True:
        yield Altered(None, "withdrawn", False, True)
    was, now = change.before.get("particulars"), change.after.get("particulars")
    if isinstance(was, dict) and isinstance(now, dict):
        for field, value in now.items():
            if was.get(field) != value:
                yield Altered("particular", field, was.get(field), value)
        return
    for field, value in change.after.items():
        if field in _PLUMBING or field.endswith("_id") or value in (None, "", [], {}):
            continue
        yield Altered(None, field, change.before.get(field), value)


def _name(change: Change) -> str:
    values = {**change.after, **change.before}
    return next((str(values[name]) for name in ("name", "title", "label") if values.get(name)), "")
