"""What an open haul-out holds so far: answers, photographs, anodes, coats, stages, notes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from sqlalchemy import func, select

from hulllog.insight import walking
from hulllog.insight.anodes import fitted_on
from hulllog.insight.paint import coats_of, used_litres
from hulllog.records.model import (
    AnodeCheck,
    AnodePiece,
    AnodePosition,
    Finding,
    NoteForNextTime,
    Photo,
    StageTime,
    Visit,
)
from hulllog.records.operations import choices, queries

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hulllog.records.book import Book
    from hulllog.records.values import Measured, PartialDate
    from hulllog.trade.working import Working


@dataclass(frozen=True, slots=True)
class Progress:
    """What an open haul-out holds so far.

    ``walks`` is plan -> (zones with an answer, zones); ``photos`` is state -> number.
    """

    walks: Mapping[str, tuple[int, int]]
    photos: Mapping[str, int]
    anodes: tuple[int, int]
    products: tuple[str, ...]
    coats: int
    used: Working | None
    findings: int
    notes_waiting: int
    stages: Mapping[str, PartialDate]

    @property
    def litres(self) -> float | None:
        """The litres put on; None where none are on record."""
        return None if self.used is None else self.used.value


def progress(book: Book, visit_id: str) -> Progress:
    """Return what a haul-out holds so far.  Raises LookupError for one that is not there."""
    visit = book.get(Visit, visit_id)
    if visit is None:
        raise LookupError(visit_id)
    put_on = coats_of(book, visit)
    rows = bench(book, visit_id)
    stages = queries.kept(book, StageTime, StageTime.visit_id == visit_id)
    return Progress(
        walked(book, visit_id),
        _photos(book, visit_id),
        (sum(row.check is not None or row.renewed is not None for row in rows), len(rows)),
        tuple(dict.fromkeys(coat.product for coat in put_on)),
        len(put_on),
        used_litres(put_on),
        len(findings_raised(book, visit_id)),
        sum(note.answer is None and not note.raised_here for note in notes_at(book, visit_id)),
        {stage.stage: stage.at for stage in stages if stage.at is not None},
    )


def before_relaunch(book: Book) -> list[tuple[int, str]]:
    """Return number and title of the open findings that were to be dealt with before relaunch."""
    opened = queries.kept(book, Finding, Finding.status == "open")
    due = [one for one in opened if one.must == "before_relaunch"]
    return sorted((one.number, one.title) for one in due)


def not_left(book: Book, visit_id: str) -> int:
    """Return the zones without a look as left, of a haul-out that was walked at all."""
    walks = walked(book, visit_id)
    answered, zones = walks["as_left"]
    return zones - answered if any(done for done, _ in walks.values()) else 0


def walked(book: Book, visit_id: str) -> dict[str, tuple[int, int]]:
    """Return plan -> (zones with an answer, zones) of each walk of a haul-out."""
    material, keel = walking.boat_of(book)
    found = {}
    for plan in walking.plans(material, keel):
        stops = walking.stops(book, visit_id, plan.state, plan.looked_for)
        found[plan.code] = (sum(stop.entered is not None for stop in stops), len(stops))
    return found


def _photos(book: Book, visit_id: str) -> dict[str, int]:
    query = (
        select(Photo.state, func.count())
        .where(Photo.visit_id == visit_id, Photo.withdrawn.is_(False))
        .group_by(Photo.state)
    )
    return {state or "found": int(count) for state, count in book.execute(query)}


@dataclass(frozen=True, slots=True)
class Checked:
    """A look at an anode at this visit, as it was entered."""

    check_id: str
    way: str
    mass: Measured | None
    left: str | None
    """The share by eye as its code, where it is one."""
    contact: str | None
    painted_over: bool
    note: str | None


@dataclass(frozen=True, slots=True)
class BenchRow:
    """An anode position as it comes on the bench: the old piece, the look at it, the new piece."""

    position_id: str
    name: str
    metal: str | None
    mass_new: Measured | None
    fitted: PartialDate | None
    check: Checked | None
    renewed: Measured | bool | None
    """The mass of the piece fitted at this visit, True where it was not weighed; None for none."""
    new_metal: str | None = None


def bench(book: Book, visit_id: str) -> list[BenchRow]:
    """Return every anode position, in the order of entry, as of a visit."""
    checks = queries.kept(book, AnodeCheck, AnodeCheck.visit_id == visit_id)
    by_piece = {check.piece_id: check for check in checks}
    seen = {visit.id: visit for visit in queries.visits(book)}
    rows = []
    for position in queries.kept(book, AnodePosition):
        pieces = queries.kept(book, AnodePiece, AnodePiece.position_id == position.id)
        old, new = _old_and_new(pieces, visit_id)
        fitted = fitted_on(old, seen.get(old.fitted_visit_id or "")) if old else None
        check = by_piece.get(old.id) if old else None
        rows.append(
            BenchRow(
                position.id,
                position.name,
                old.metal if old else None,
                old.mass_new if old else None,
                fitted,
                _checked(check) if check else None,
                None if new is None else new.mass_new or True,
                None if new is None else new.metal,
            )
        )
    return rows


def _old_and_new(
    pieces: Sequence[AnodePiece], visit_id: str
) -> tuple[AnodePiece | None, AnodePiece | None]:
    """Return the piece that was there when she came out, and the one fitted at this visit."""
    new = next((one for one in pieces if one.fitted_visit_id == visit_id), None)
    there = [
        one
        for one in pieces
        if one is not new
        and (one.removed_visit_id == visit_id or (one.removed_visit_id is None and not one.removed))
    ]
    return (there[-1] if there else None), new


def _checked(check: AnodeCheck) -> Checked:
    span = (check.left_low, check.left_high)
    left = next((code for code, shares in choices.EYE_SHARES.items() if shares == span), None)
    return Checked(
        check.id, check.way, check.mass, left, check.contact, check.painted_over, check.note
    )


@dataclass(frozen=True, slots=True)
class NoteAt:
    """A note for next time as it stands at a visit; ``answer`` is None while it waits."""

    note_id: str
    text: str
    raised: PartialDate | None
    raised_here: bool
    answer: str | None


def notes_at(book: Book, visit_id: str) -> list[NoteAt]:
    """Return the notes that wait, that this visit answered, and that it raised; oldest first."""
    begun = {visit.id: visit.begins for visit in queries.visits(book)}
    return [
        NoteAt(
            note.id,
            note.text,
            note.raised or begun.get(note.raised_visit_id or ""),
            note.raised_visit_id == visit_id,
            note.answer,
        )
        for note in queries.kept(book, NoteForNextTime)
        if note.answered_visit_id in (None, visit_id)
    ]


@dataclass(frozen=True, slots=True)
class Raised:
    """A finding that a visit raised."""

    finding_id: str
    number: int
    title: str
    must: str


def findings_raised(book: Book, visit_id: str) -> list[Raised]:
    """Return the findings that a visit raised and that are not withdrawn."""
    here = queries.kept(book, Finding, Finding.raised_visit_id == visit_id)
    return [
        Raised(one.id, one.number, one.title, one.must) for one in here if one.status != "withdrawn"
    ]
