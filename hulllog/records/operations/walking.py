"""The walk: one answer a zone, each answer one entry.

An answer given again takes the place of the one before (``instead_of``), which is withdrawn and
kept.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from hulllog.records.model import Inspection, MeasurementSet, Zone
from hulllog.records.operations import looks, matters, measuring, queries
from hulllog.records.operations import typed as t
from hulllog.records.operations.keeping import name_of
from hulllog.trade import kinds

if TYPE_CHECKING:
    from hulllog.records.book import Book
    from hulllog.records.logbook import Logbook
    from hulllog.records.operations.measuring import Rated
    from hulllog.records.values import PartialDate

OF_THE_DAY = frozenset({"wetness", "washed", "days_ashore", "air", "humidity"})
"""Conditions of a set that are true of one day and are never taken from last time."""


@dataclass(frozen=True, slots=True, kw_only=True)
class At:
    """Where and how an answer is given: visit, zone, state, what was looked for, and how."""

    visit_id: str
    zone_id: str
    state: str = "found"
    looked_for: Sequence[str] | None = None
    methods: Sequence[str] | None = None
    instead_of: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Matter:
    """What becomes of something found: a new finding, or one that is known and seen again."""

    title: str = ""
    sort: str = "other"
    must: str = "watch"
    severity: str = "slight"
    known_id: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """How much of a zone was seen, and what hid the rest.  ``share`` None: not said."""

    share: t.Typed = None
    hidden_by: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """What was found in a zone: ratings, words, and what becomes of it."""

    ratings: Sequence[Rated] = ()
    note: str | None = None
    matter: Matter | None = None
    part: Part | None = None


def nothing_found(logbook: Logbook, at: At, part: Part | None = None) -> str:
    """Enter that nothing was found in a zone, or in the part of it that was seen."""
    return _answer(logbook, "inspection.nothing_found", at, _seen(part, result="nothing_found"))


def could_not_see(logbook: Logbook, at: At, hidden_by: str, note: str | None = None) -> str:
    """Enter that a zone could not be seen, and why."""
    typed = {"coverage": "not_seen", "hidden_by": hidden_by, "note": note}
    return _answer(logbook, "inspection.not_seen", at, typed)


def not_looked(logbook: Logbook, at: At) -> str:
    """Enter that nobody looked at a zone."""
    return _answer(logbook, "inspection.not_looked", at, {"coverage": "not_looked"})


def something_found(logbook: Logbook, at: At, found: Found) -> str:
    """Enter what was found in a zone, with its ratings and its finding, as one entry.

    The words are kept with the look, and with the finding: as raised, or as seen this time.
    """
    zone = name_of(logbook, Zone, at.zone_id, "zone")
    only_rated = found.ratings and not found.note and found.matter is None
    typed = _seen(found.part, result=None if only_rated else "something_found")
    typed["note"] = found.note
    with logbook.change("inspection.found", zone=zone) as book:
        look = _entered(book, at, typed, found.ratings)
        if found.matter is not None:
            _matter(logbook, at, found.matter, found.note)
    return look.id


def as_last_time(
    logbook: Logbook,
    at: At,
    before_id: str,
    conditions: Mapping[str, Any],
    observed: PartialDate | None = None,
) -> str:
    """Enter a new look that found what an earlier one found, under the conditions of its day.

    Of its ratings those of the kinds looked for now are taken; the earlier look stays as it is.
    """
    zone = name_of(logbook, Zone, at.zone_id, "zone")
    with logbook.change("inspection.as_last_time", zone=zone) as book:
        before = t.needed(book, Inspection, before_id, "inspection")
        typed = {
            "coverage": before.coverage, "share": before.share, "hidden_by": before.hidden_by,
            "result": before.result,
        }  # fmt: skip
        look = _entered(book, at, typed)
        look.as_last_time = True
        for rated in before.sets:
            if not rated.withdrawn and (at.looked_for is None or rated.kind in at.looked_for):
                measuring.repeat_set(book, rated, look, {})
        book.flush()
        for made in queries.kept(book, MeasurementSet, MeasurementSet.inspection_id == look.id):
            kept = {code: v for code, v in made.conditions.items() if code not in OF_THE_DAY}
            made.conditions = {**kept, **declared(made.kind, conditions)}
            made.observed = observed
    return look.id


def declared(kind_id: str, conditions: Mapping[str, Any]) -> dict[str, Any]:
    """Return the conditions that a kind knows, without the blank ones."""
    kind = kinds.kind(kind_id)
    return {
        code: value
        for code, value in conditions.items()
        if value not in (None, "") and kind is not None and kind.condition(code) is not None
    }


def _seen(part: Part | None, *, result: str | None) -> dict[str, t.Typed]:
    if part is None:
        return {"coverage": "whole", "result": result}
    return {
        "coverage": "part", "share": part.share, "hidden_by": part.hidden_by, "result": result,
    }  # fmt: skip


def _answer(logbook: Logbook, action: str, at: At, typed: Mapping[str, t.Typed]) -> str:
    zone = name_of(logbook, Zone, at.zone_id, "zone")
    with logbook.change(action, zone=zone) as book:
        return _entered(book, at, typed).id


def _entered(
    book: Book, at: At, typed: Mapping[str, t.Typed], ratings: Sequence[Rated] = ()
) -> Inspection:
    _withdraw(book, at.instead_of)
    given: dict[str, t.Typed] = {}
    if at.looked_for is not None:
        rated = [one.kind for one in ratings]
        given["looked_for"] = list(dict.fromkeys([*at.looked_for, *rated]))
    if typed["coverage"] in ("whole", "part"):
        given |= t.given(methods=at.methods)
    fields = {"state": at.state, **typed, **given}
    return looks.new_look(book, at.visit_id, at.zone_id, fields, ratings)


def _withdraw(book: Book, inspection_id: str | None) -> None:
    if inspection_id:
        look = t.needed(book, Inspection, inspection_id, "inspection")
        look.withdrawn = True
        for rated in look.sets:
            rated.withdrawn = True


def _matter(logbook: Logbook, at: At, matter: Matter, note: str | None) -> None:
    if matter.known_id:
        matters.observe_finding(
            logbook, matter.known_id, at.visit_id, seen="present", state=at.state, text=note
        )
        return
    matters.raise_finding(
        logbook,
        title=matter.title,
        sort=matter.sort,
        must=matter.must,
        severity=matter.severity,
        visit_id=at.visit_id,
        zones=(at.zone_id,),
        note=note,
    )
