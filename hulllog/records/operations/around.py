"""What stands around the boat: persons, papers, costs, gear, limits, notes, settings."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any

from sqlalchemy import select

from hulllog.records.errors import Refused
from hulllog.records.model import (
    CostLine,
    Document,
    Firm,
    Gear,
    GearCheck,
    Instrument,
    Limit,
    NoteForNextTime,
    Person,
    Setting,
    Visit,
)
from hulllog.records.operations import choices
from hulllog.records.operations import typed as t
from hulllog.records.operations.keeping import change_fields, make, name_of
from hulllog.records.values import Measured

if TYPE_CHECKING:
    from hulllog.records.logbook import Logbook

_MONEY = re.compile(r"-?\d+(?:[.,]\d{1,3})?")
_CURRENCY = re.compile(r"[A-Z]{3}")


def _money(at: t.Reading, typed: t.Typed) -> str:
    found = str(typed or "").strip().replace(" ", "").replace("\u202f", "")
    if not _MONEY.fullmatch(found):
        raise Refused("money_unread", field=at.field, typed=str(typed))
    return found.replace(",", ".")


def _any_amount(at: t.Reading, typed: t.Typed) -> Measured | None:
    """Read a number in whatever unit stands with it; none for a plain number."""
    if typed is None or typed == "":
        return None
    return typed if isinstance(typed, Measured) else at.number(typed, "1")


def _wanted_amount(at: t.Reading, typed: t.Typed) -> Measured:
    found = _any_amount(at, typed)
    if found is None:
        raise Refused("number_wanted", field=at.field)
    return found


def _currency(at: t.Reading, typed: t.Typed) -> str:
    found = str(typed or "").strip().upper()
    if not _CURRENCY.fullmatch(found):
        raise Refused("currency_unread", field=at.field, typed=str(typed))
    return found


PERSON: t.Fields = {
    "name": t.name(),
    "role": t.one_of(choices.ROLES, wanted=True),
    "firm_id": t.link(Firm),
}
FIRM: t.Fields = {"name": t.name(), "sort": t.one_of(choices.FIRMS, wanted=True)}
DOCUMENT: t.Fields = {
    "title": t.name(),
    "sort": t.one_of(choices.DOCUMENTS, wanted=True),
    "sha256": t.text(64),
    "media_type": t.name(wanted=False),
    "size": t.whole(0, 2**53),
    "file_name": t.text(255),
    "paper_date": t.date(future=False),
    "visit_id": t.link(Visit),
    "basis": t.BASIS,
}
COST: t.Fields = {
    "what": t.name(),
    "amount": _money,
    "currency": _currency,
    "visit_id": t.link(Visit),
    "document_id": t.link(Document),
    "basis": t.BASIS,
}
GEAR: t.Fields = {
    "sort": t.one_of(choices.GEARS, wanted=True),
    "name": t.name(),
    "material": t.name(wanted=False),
    "place": t.place(),
    "fitted": t.date(future=False),
    "note": t.NOTE,
    "basis": t.BASIS,
}
GEAR_CHECK: t.Fields = {
    "state": t.one_of(choices.STATES, wanted=True),
    "result": t.one_of(choices.RESULTS),
    "looked": t.date(future=False),
    "text": t.text(),
    "basis": t.BASIS,
}
INSTRUMENT: t.Fields = {
    "name": t.name(),
    "sort": t.one_of(choices.INSTRUMENTS, wanted=True),
    "serial": t.name(wanted=False),
    "checked": t.date(future=False),
    "repeatability": _any_amount,
}
LIMIT: t.Fields = {
    "kind": t.name(),
    "component": t.name(),
    "set_by": t.name(),
    "source": t.name(wanted=False),
    "set_on": t.date(future=False),
    "value": _wanted_amount,
}
NEXT_TIME: t.Fields = {
    "text": t.text(wanted=True),
    "raised": t.date(future=False),
    "raised_visit_id": t.link(Visit),
    "basis": t.BASIS,
}


def add_person(logbook: Logbook, *, name: str, role: str, firm_id: str | None = None) -> str:
    """Enter a person and the role in which they appear."""
    with logbook.change("person.add", name=name) as book:
        typed = {"name": name, "role": role, "firm_id": firm_id}
        return make(book, Person, t.read(book, PERSON, typed))


def add_firm(logbook: Logbook, *, name: str, sort: str) -> str:
    """Enter a yard, a chandler, an insurer."""
    with logbook.change("firm.add", name=name) as book:
        return make(book, Firm, t.read(book, FIRM, {"name": name, "sort": sort}))


def change_person(logbook: Logbook, person_id: str, **typed: t.Typed) -> None:
    """Change fields of PERSON."""
    change_fields(logbook, "person.set", Person, person_id, PERSON, typed)


def change_firm(logbook: Logbook, firm_id: str, **typed: t.Typed) -> None:
    """Change fields of FIRM."""
    change_fields(logbook, "firm.set", Firm, firm_id, FIRM, typed)


def add_document(logbook: Logbook, *, title: str, sort: str, **typed: t.Typed) -> str:
    """Enter a paper; its file, where there is one, lies in the logbook already."""
    with logbook.change("document.add", title=title) as book:
        return make(book, Document, t.read(book, DOCUMENT, {"title": title, "sort": sort, **typed}))


def set_document(
    logbook: Logbook, document_id: str, field: str, typed: t.Typed, *, reason: str | None = None
) -> None:
    """Set a field of DOCUMENT."""
    change_fields(
        logbook, "document.set", Document, document_id, DOCUMENT, {field: typed},
        reason=reason, field=field,
    )  # fmt: skip


def add_cost(logbook: Logbook, *, what: str, amount: str, currency: str, **typed: t.Typed) -> str:
    """Enter a sum of money as on the paper."""
    with logbook.change("cost.add", what=what) as book:
        wanted = {"what": what, "amount": amount, "currency": currency}
        return make(book, CostLine, t.read(book, COST, {**wanted, **typed}))


def add_gear(logbook: Logbook, *, sort: str, name: str, **typed: t.Typed) -> str:
    """Enter a fitting below: seacock, shaft, bearing, propeller, rudder, keel bolt."""
    with logbook.change("gear.add", name=name) as book:
        return make(book, Gear, t.read(book, GEAR, {"sort": sort, "name": name, **typed}))


def change_gear(logbook: Logbook, gear_id: str, **typed: t.Typed) -> None:
    """Change fields of GEAR, such as when a new one was fitted."""
    change_fields(logbook, "gear.set", Gear, gear_id, GEAR, typed)


def check_gear(
    logbook: Logbook, gear_id: str, visit_id: str, *, state: str = "found", **typed: t.Typed
) -> str:
    """Enter a look at a piece of gear."""
    name = name_of(logbook, Gear, gear_id, "gear")
    with logbook.change("gear.check", name=name) as book:
        t.needed(book, Visit, visit_id, "visit")
        values = t.read(book, GEAR_CHECK, {"state": state, **typed})
        return make(book, GearCheck, {"gear_id": gear_id, "visit_id": visit_id, **values})


def add_instrument(
    logbook: Logbook,
    *,
    name: str,
    sort: str,
    serial: str | None = None,
    checked: t.When | None = None,
    repeatability: t.Amount | None = None,
) -> str:
    """Enter a meter, gauge or scale; ``repeatability`` with its unit, for example "5 g"."""
    with logbook.change("instrument.add", name=name) as book:
        typed = {
            "name": name, "sort": sort, "serial": serial, "checked": checked,
            "repeatability": repeatability,
        }  # fmt: skip
        return make(book, Instrument, t.read(book, INSTRUMENT, typed))


def change_instrument(logbook: Logbook, instrument_id: str, **typed: t.Typed) -> None:
    """Change fields of INSTRUMENT."""
    change_fields(logbook, "instrument.set", Instrument, instrument_id, INSTRUMENT, typed)


def set_limit(
    logbook: Logbook,
    *,
    kind: str,
    component: str,
    value: t.Amount,
    set_by: str,
    source: str | None = None,
    set_on: t.When | None = None,
) -> str:
    """Set the owner's own limit for a kind, with who set it and where it is from."""
    typed = {
        "kind": kind, "component": component, "set_by": set_by, "source": source,
        "set_on": set_on, "value": value,
    }  # fmt: skip
    with logbook.change("limit.set", rated=kind) as book:
        return make(book, Limit, t.read(book, LIMIT, typed))


def change_limit(logbook: Logbook, limit_id: str, **typed: t.Typed) -> None:
    """Change fields of LIMIT."""
    change_fields(logbook, "limit.change", Limit, limit_id, LIMIT, typed)


def note_for_next_time(
    logbook: Logbook,
    text: str,
    *,
    visit_id: str | None = None,
    raised: t.When | None = None,
    basis: str = "at_the_time",
) -> str:
    """Keep something to do or to look at at the next haul-out."""
    typed = {"text": text, "raised": raised, "raised_visit_id": visit_id, "basis": basis}
    with logbook.change("next_time.add", text=text[:60]) as book:
        return make(book, NoteForNextTime, t.read(book, NEXT_TIME, typed))


def answer_note(logbook: Logbook, note_id: str, visit_id: str, answer: str) -> None:
    """Say at which visit a note for next time was answered, and how."""
    fields = {
        "answered_visit_id": t.link(Visit, wanted=True),
        "answer": t.text(wanted=True),
    }
    typed = {"answered_visit_id": visit_id, "answer": answer}
    change_fields(logbook, "next_time.answer", NoteForNextTime, note_id, fields, typed)


def set_setting(logbook: Logbook, name: str, value: dict[str, Any]) -> None:
    """Set a setting that travels with the logbook: units, words, date order, time zone."""
    with logbook.change("setting.set", setting=name) as book:
        found = book.scalars(select(Setting).where(Setting.name == name)).first()
        if found is None:
            make(book, Setting, {"name": name, "value": value})
        else:
            found.value = value
