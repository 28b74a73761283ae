"""Looks at zones: inspections entered, repeated as last time, corrected."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

from hulllog.records.errors import Refused
from hulllog.records.model import Inspection, Visit, Zone
from hulllog.records.operations import choices, measuring, queries
from hulllog.records.operations import typed as t
from hulllog.records.operations.keeping import name_of

if TYPE_CHECKING:
    from hulllog.records.book import Book
    from hulllog.records.logbook import Logbook

INSPECTION: t.Fields = {
    "state": t.one_of(choices.STATES, wanted=True),
    "looked_for": t.some_of(),
    "coverage": t.one_of(choices.COVERAGES, wanted=True),
    "share": t.share(),
    "hidden_by": t.name(wanted=False),
    "methods": t.some_of(choices.METHODS),
    "result": t.one_of(choices.RESULTS),
    "note": t.NOTE,
    "basis": t.BASIS,
}


def log_inspection(
    logbook: Logbook,
    visit_id: str,
    zone_id: str,
    *,
    state: str = "found",
    coverage: str = "whole",
    result: str | None = None,
    ratings: Sequence[measuring.Rated] = (),
    **typed: t.Typed,
) -> str:
    """Enter one look at a zone: coverage, methods, result, with the ratings made at it.

    What is looked for and how is taken from the visit where it is not given.  ``typed`` may hold
    share, hidden_by, methods, looked_for, note, basis.  With ratings the result follows from them.
    """
    zone = name_of(logbook, Zone, zone_id, "zone")
    fields = {"state": state, "coverage": coverage, "result": result, **typed}
    with logbook.change("inspection.log", zone=zone) as book:
        return new_look(book, visit_id, zone_id, fields, ratings).id


def nothing_found(logbook: Logbook, visit_id: str, zone_id: str, *, state: str = "found") -> str:
    """Enter that the whole zone was looked at and nothing of what is looked for was found."""
    zone = name_of(logbook, Zone, zone_id, "zone")
    fields = {"state": state, "coverage": "whole", "result": "nothing_found"}
    with logbook.change("inspection.nothing_found", zone=zone) as book:
        return new_look(book, visit_id, zone_id, fields).id


def could_not_see(
    logbook: Logbook,
    visit_id: str,
    zone_id: str,
    *,
    hidden_by: str,
    state: str = "found",
    note: str | None = None,
) -> str:
    """Enter that a zone could not be seen, and what hid it."""
    zone = name_of(logbook, Zone, zone_id, "zone")
    fields = {"state": state, "coverage": "not_seen", "hidden_by": hidden_by, "note": note}
    with logbook.change("inspection.not_seen", zone=zone) as book:
        return new_look(book, visit_id, zone_id, fields).id


def new_look(
    book: Book,
    visit_id: str,
    zone_id: str,
    typed: Mapping[str, t.Typed],
    ratings: Sequence[measuring.Rated] = (),
) -> Inspection:
    """Add an inspection with its ratings inside a change."""
    visit = t.needed(book, Visit, visit_id, "visit")
    version = queries.zone_version_at(book, zone_id, visit_id)
    if version is None:
        raise Refused("no_such_record", field="zone")
    values = _complete(visit, t.read(book, INSPECTION, typed, zone=visit.time_zone))
    if ratings and not values["result"] and values["coverage"] in choices.SEEN_COVERAGES:
        values["result"] = measuring.result_of(ratings)
    _refuse_odd(values)
    look = Inspection(visit_id=visit_id, zone_version_id=version.id, **values)
    book.add(look)
    book.flush()
    for rated in ratings:
        measuring.new_set(book, rated, state=look.state, visit=visit, inspection=look)
    return look


def _complete(visit: Visit, values: dict[str, Any]) -> dict[str, Any]:
    seen = values["coverage"] in choices.SEEN_COVERAGES
    values.setdefault("result", None)
    if "looked_for" not in values:
        values["looked_for"] = list(visit.looked_for)
    if "methods" not in values:
        values["methods"] = list(visit.methods) if seen else []
    return values


def _refuse_odd(values: Mapping[str, Any]) -> None:
    """Refuse a result of what was not seen, and a look without a result."""
    seen = values["coverage"] in choices.SEEN_COVERAGES
    if seen and not values["result"]:
        raise Refused("result_wanted", field="result")
    if not seen and values["result"]:
        raise Refused("result_of_unseen", field="result")
    if values["coverage"] != "part" and values.get("share") is not None:
        raise Refused("share_of_whole", field="share")


def as_last_time(
    logbook: Logbook,
    visit_id: str,
    zone_id: str,
    *,
    state: str = "found",
    conditions: Mapping[str, Any] | None = None,
) -> str:
    """Enter a new look that found what the last one found; stored as a look of its own.

    ``conditions`` are those of today; what they do not say is taken from last time's.
    """
    zone = name_of(logbook, Zone, zone_id, "zone")
    with logbook.change("inspection.as_last_time", zone=zone) as book:
        last = queries.last_look(book, zone_id, visit_id)
        if last is None:
            raise Refused("no_last_time", field="zone", zone=zone)
        fields = {
            "state": state, "coverage": last.coverage, "share": last.share,
            "hidden_by": last.hidden_by, "result": last.result,
        }  # fmt: skip
        look = new_look(book, visit_id, zone_id, fields)
        look.as_last_time = True
        for before in last.sets:
            if not before.withdrawn:
                measuring.repeat_set(book, before, look, conditions or {})
        return look.id


def correct(
    logbook: Logbook,
    inspection_id: str,
    *,
    ratings: Sequence[measuring.Rated] = (),
    reason: str | None = None,
    **typed: t.Typed,
) -> None:
    """Change fields of an inspection; in a closed visit that wants a reason.

    ``ratings`` take the place of those of the same kinds, which are withdrawn; the result follows
    from them where it is not given.
    """
    with logbook.read() as book:
        look = t.needed(book, Inspection, inspection_id, "inspection")
        zone_version = look.zone_version_id
    zone = _zone_of(logbook, zone_version)
    with logbook.change("inspection.correct", reason=reason, zone=zone) as book:
        look = t.needed(book, Inspection, inspection_id)
        values = t.read(book, INSPECTION, typed)
        if values.get("coverage", look.coverage) not in choices.SEEN_COVERAGES:
            values.setdefault("result", None)
        elif ratings and not values.get("result"):
            values["result"] = _result_with(look, ratings)
        if values.get("coverage", look.coverage) != "part":
            values.setdefault("share", None)
        for field, value in values.items():
            setattr(look, field, value)
        _refuse_odd({f: getattr(look, f) for f in ("coverage", "result", "share")})
        for rated in ratings:
            _replace_set(book, look, rated)


def _result_with(look: Inspection, ratings: Sequence[measuring.Rated]) -> str:
    """Return the result of a look when some of its ratings are replaced."""
    kinds = {rated.kind for rated in ratings}
    others = any(one.kind not in kinds and not one.withdrawn for one in look.sets)
    result = measuring.result_of(ratings)
    return look.result or result if others and result == "nothing_found" else result


def _replace_set(book: Book, look: Inspection, rated: measuring.Rated) -> None:
    for before in look.sets:
        if before.kind == rated.kind:
            before.withdrawn = True
    visit = t.needed(book, Visit, look.visit_id)
    measuring.new_set(book, rated, state=look.state, visit=visit, inspection=look)


def _zone_of(logbook: Logbook, zone_version_id: str) -> str:
    from hulllog.records.model import ZoneVersion

    with logbook.read() as book:
        version = t.needed(book, ZoneVersion, zone_version_id)
        return t.needed(book, Zone, version.zone_id).name
