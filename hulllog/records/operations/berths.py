"""Where she lay, and what befell her there: berth periods and events."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hulllog.records.errors import Refused
from hulllog.records.model import BerthPeriod, Event, Visit
from hulllog.records.operations import choices, queries
from hulllog.records.operations import typed as t
from hulllog.records.operations.keeping import change_fields, make, name_of

if TYPE_CHECKING:
    from hulllog.records.book import Book
    from hulllog.records.logbook import Logbook

BERTH: t.Fields = {
    "begins": t.date(wanted=True),
    "ends": t.date(),
    "location": t.name(),
    "water": t.one_of(choices.WATERS, wanted=True),
    "shore_power": t.one_of(choices.SHORE_POWER, wanted=True),
    "immersed_share": t.share(),
    "note": t.NOTE,
    "basis": t.BASIS,
}
EVENT: t.Fields = {
    "sort": t.one_of(choices.EVENTS, wanted=True),
    "at": t.date(wanted=True, future=False),
    "text": t.text(wanted=True),
    "asks_for_check": t.flag(),
    "answered_visit_id": t.link(Visit),
    "basis": t.BASIS,
}


def add_berth_period(
    logbook: Logbook,
    *,
    begins: t.When,
    location: str,
    ends: t.When | None = None,
    water: str = "unknown",
    shore_power: str = "unknown",
    immersed_share: t.Typed = 1.0,
    note: str | None = None,
    basis: str = "at_the_time",
) -> str:
    """Enter where she lay from a date on.  A period without an end that came before is ended."""
    typed = {
        "begins": begins, "ends": ends, "location": location, "water": water,
        "shore_power": shore_power, "immersed_share": immersed_share, "note": note,
        "basis": basis,
    }  # fmt: skip
    with logbook.change("berth.add", location=location) as book:
        made = BerthPeriod(**t.read(book, BERTH, typed))
        _end_the_open_one(book, made)
        book.add(made)
        book.flush()
        _refuse_overlap(book, made)
    return made.id


def _end_the_open_one(book: Book, made: BerthPeriod) -> None:
    for other in queries.kept(book, BerthPeriod):
        begun_before = other.begins and made.begins and other.begins < made.begins
        if other.ends is None and begun_before:
            other.ends = made.begins


def _refuse_overlap(book: Book, period: BerthPeriod) -> None:
    """Refuse a period that certainly shares a day with another, or ends before it begins."""
    begins, ends = period.begins, period.ends
    assert begins is not None
    if ends is not None and ends.latest < begins.earliest:
        raise Refused("ends_before_begins", field="ends")
    for other in queries.kept(book, BerthPeriod):
        if other.id == period.id or other.begins is None:
            continue
        starts_in = other.ends is None or begins.latest < other.ends.earliest
        ends_in = ends is None or other.begins.latest < ends.earliest
        if starts_in and ends_in:
            raise Refused("berths_overlap", field="begins", location=other.location)


def set_berth_period(
    logbook: Logbook,
    period_id: str,
    field: str,
    typed: t.Typed,
    *,
    reason: str | None = None,
) -> None:
    """Set a field of a berth period: begins, ends, location, water, shore_power …"""
    change_berth_period(logbook, period_id, reason=reason, **{field: typed})


def change_berth_period(
    logbook: Logbook, period_id: str, *, reason: str | None = None, **typed: t.Typed
) -> None:
    """Change fields of BERTH together, so that both dates may move at once."""
    about = name_of(logbook, BerthPeriod, period_id)
    fields = sorted(typed)
    with logbook.change("berth.set", reason=reason, location=about, fields=fields) as book:
        period = t.needed(book, BerthPeriod, period_id)
        for field, value in t.read(book, BERTH, typed).items():
            setattr(period, field, value)
        _refuse_overlap(book, period)


def end_berth_period(logbook: Logbook, period_id: str, ends: t.When) -> None:
    """Say when she left a berth."""
    set_berth_period(logbook, period_id, "ends", ends)


def add_event(
    logbook: Logbook,
    *,
    sort: str,
    at: t.When,
    text: str,
    asks_for_check: bool = False,
    basis: str = "at_the_time",
) -> str:
    """Enter a grounding, a collision, work nearby …; it may ask for a check."""
    typed = {
        "sort": sort, "at": at, "text": text, "asks_for_check": asks_for_check, "basis": basis,
    }  # fmt: skip
    with logbook.change("event.add", sort=sort) as book:
        return make(book, Event, t.read(book, EVENT, typed))


def set_event(logbook: Logbook, event_id: str, field: str, typed: t.Typed) -> None:
    """Set a field of an event."""
    change_fields(logbook, "event.set", Event, event_id, EVENT, {field: typed}, field=field)


def change_event(logbook: Logbook, event_id: str, **typed: t.Typed) -> None:
    """Change fields of EVENT together."""
    change_fields(logbook, "event.set", Event, event_id, EVENT, typed)


def answer_event(logbook: Logbook, event_id: str, visit_id: str) -> None:
    """Say at which visit the check was made that an event asked for."""
    fields = {"answered_visit_id": t.link(Visit, wanted=True)}
    change_fields(logbook, "event.answer", Event, event_id, fields, {"answered_visit_id": visit_id})
