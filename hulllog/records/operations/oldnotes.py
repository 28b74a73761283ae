"""Haul-outs of long ago, entered many at a time from notes: one row each, one entry for all.

A row is what was typed, text by column.  ``problems`` names each cell that cannot be kept;
``keep_old_haul_outs`` writes all rows or none.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from hulllog.records.base import BASES
from hulllog.records.errors import Refused
from hulllog.records.model import AnodePiece, AnodePosition, Visit
from hulllog.records.operations import choices, queries
from hulllog.records.operations import typed as t
from hulllog.records.operations.anodes import PIECE, POSITION, new_check
from hulllog.records.operations.coatings import LITRES
from hulllog.records.operations.short import ShortHaulOut, paint_of
from hulllog.records.operations.visits import VISIT, new_visit
from hulllog.words import say_code
from hulllog.words.labels import code_typed, listed, plain

if TYPE_CHECKING:
    from hulllog.records.book import Book
    from hulllog.records.journal import EntryKind
    from hulllog.records.logbook import Logbook
    from hulllog.records.values import PartialDate

Texts = Mapping[str, str]
"""A row as typed: column -> text; a column that is not there is blank."""

COLUMNS = (
    "begins", "ends", "yard", "way", "found", "product", "litres", "anodes", "note", "basis",
)  # fmt: skip
DEFAULT_BASIS = "later_from_notes"
OLD_BASES = tuple(code for code in BASES if code != "at_the_time")
MOST_ROWS = 400
"""Rows that are taken at a time (our own rule): more than any boat has been ashore."""
FOUND_LIMIT = 300

_BETWEEN = re.compile(r"\s*[,;+]\s*")


def _labelled(family: str, codes: Sequence[str]) -> t.Reader:
    """Read a label, or its beginning, as its code."""

    def reader(at: t.Reading, typed: t.Typed) -> str | None:
        text = str(typed or "").strip()
        if not text:
            return None
        code = code_typed(family, text, codes)
        if code is None:
            offered = [say_code(family, one) for one in codes]
            raise Refused("label_unknown", field=at.field, typed=text, offered=offered)
        return code

    return reader


def _anodes() -> t.Reader:
    """Read which anodes were changed: None, () for all, or names of positions."""

    def reader(at: t.Reading, typed: t.Typed) -> tuple[str, ...] | None:
        text = plain(str(typed or ""))
        if not text or text in listed("old_notes.words.no"):
            return None
        if text in listed("old_notes.words.yes") or text.isdigit():
            return () if text.strip("0") else None
        known = {plain(one.name): one.name for one in queries.kept(at.book, AnodePosition)}
        if text in known:
            return (known[text],)
        names = [one for one in _BETWEEN.split(str(typed).strip()) if one]
        for name in names:
            if known and plain(name) not in known:
                shown = list(known.values())
                raise Refused("anode_unknown", field=at.field, typed=name, names=shown)
            t.name()(at, name)
        return tuple(known.get(plain(name), name) for name in names)

    return reader


FIELDS: t.Fields = {
    "begins": VISIT["begins"],
    "ends": VISIT["ends"],
    "yard": VISIT["yard"],
    "way": _labelled("way", choices.WAYS),
    "found": t.text(FOUND_LIMIT),
    "product": t.name(wanted=False),
    "litres": LITRES,
    "anodes": _anodes(),
    "note": t.NOTE,
    "basis": _labelled("basis", OLD_BASES),
}


@dataclass(frozen=True, slots=True)
class Problem:
    """A cell that cannot be kept, and why; rows count from 0."""

    row: int
    column: str
    refused: Refused


@dataclass(frozen=True, slots=True)
class _Read:
    """A row with the values that could be read."""

    row: int
    values: Mapping[str, Any]
    wrong: Sequence[Problem]

    @property
    def begins(self) -> PartialDate | None:
        found: PartialDate | None = self.values.get("begins")
        return found

    @property
    def ends(self) -> PartialDate | None:
        found: PartialDate | None = self.values.get("ends")
        return found


def is_blank(row: Texts) -> bool:
    """Tell whether nothing stands in a row."""
    return not any(text.strip() for text in row.values())


def problems(book: Book, rows: Sequence[Texts], *, zone: str | None = None) -> list[Problem]:
    """Return what cannot be kept, row by row in the order of the columns; blank rows are none."""
    found: list[Problem] = []
    before = [_Stay.of(visit) for visit in queries.visits(book, choices.OUT_OF_WATER)]
    for number, row in enumerate(rows):
        if is_blank(row):
            continue
        read = _read(book, number, row, zone)
        wrong = [*read.wrong, *_wrong_together(read, {one.column for one in read.wrong}, before)]
        found += sorted(wrong, key=lambda one: COLUMNS.index(one.column))
        if read.begins is not None:
            before.append(_Stay(read.begins, read.ends))
    return found


def keep_old_haul_outs(
    logbook: Logbook,
    rows: Sequence[Texts],
    *,
    basis: str = DEFAULT_BASIS,
    unnamed_anode: str = "",
    time_zone: str | None = None,
    kind: EntryKind = "edit",
) -> list[str]:
    """Enter old haul-outs, each closed, as one entry; returns the visits' keys.

    Blank rows are left out.  ``basis`` holds for the rows that name none.  ``unnamed_anode`` is
    what a position is called where anodes were changed and none is on record.  Refused ``field`` is
    ``rows.<n>.<column>``; then nothing was stored.
    """
    filled = [row for row in rows if not is_blank(row)]
    with logbook.change("visit.old_notes", kind=kind, count=len(filled)) as book:
        zone = time_zone or queries.time_zone(book)
        for problem in problems(book, rows, zone=zone):
            problem.refused.field = f"rows.{problem.row}.{problem.column}"
            raise problem.refused
        read = [_read(book, number, row, zone).values for number, row in enumerate(filled)]
        made = {
            number: _enter(book, values, zone, values["basis"] or basis, unnamed_anode)
            for number, values in sorted(enumerate(read), key=lambda one: one[1]["begins"])
        }
    return [made[number] for number in sorted(made)]


# Reading


@dataclass(frozen=True, slots=True)
class _Stay:
    begins: PartialDate | None
    ends: PartialDate | None

    @classmethod
    def of(cls, visit: Visit) -> _Stay:
        return cls(visit.begins, visit.ends)


def _read(book: Book, number: int, row: Texts, zone: str | None) -> _Read:
    values: dict[str, Any] = {}
    wrong: list[Problem] = []
    for column in COLUMNS:
        values[column] = None
        try:
            typed = {column: row.get(column, "").strip()}
            values[column] = t.read(book, FIELDS, typed, zone=zone)[column]
        except Refused as refused:
            wrong.append(Problem(number, column, refused))
    return _Read(number, values, wrong)


def _wrong_together(read: _Read, named: set[str], before: Sequence[_Stay]) -> list[Problem]:
    """Return what is wrong with cells that can each be read."""
    found = []
    begins, ends = read.begins, read.ends
    if begins and ends and ends.latest < begins.earliest:
        refused = Refused("relaunch_before_lift", field="ends", begins=begins.text, typed=ends.text)
        found.append(Problem(read.row, "ends", refused))
    elif begins and (other := _clash(begins, ends, before)) is not None:
        found.append(Problem(read.row, "begins", other))
    product, litres = read.values["product"], read.values["litres"]
    if litres and not product and "product" not in named:
        found.append(Problem(read.row, "product", Refused("text_wanted", field="product")))
    return found


def _clash(
    begins: PartialDate, ends: PartialDate | None, before: Sequence[_Stay]
) -> Refused | None:
    """Return why a stay cannot stand beside those that are known, or None."""
    for other in before:
        if other.begins is None:
            continue
        if (begins.earliest, begins.latest) == (other.begins.earliest, other.begins.latest):
            return Refused("haul_out_twice", field="begins", typed=begins.text)
        if ends is None or other.ends is None:
            continue
        if begins.latest < other.ends.earliest and other.begins.latest < ends.earliest:
            return Refused("visits_overlap", field="begins", other=other.begins.text)
    return None


# Writing


def _enter(book: Book, values: Mapping[str, Any], zone: str, basis: str, unnamed_anode: str) -> str:
    note = "\n".join(text for text in (values["found"], values["note"]) if text)
    typed = t.given(yard=values["yard"], way=values["way"], ends=values["ends"], note=note or None)
    # Nobody knows what was looked for then: nothing is taken over from the haul-out before.
    looked: dict[str, t.Typed] = {"looked_for": (), "methods": ()}
    visit = new_visit(
        book,
        {"kind": "haul_out", "begins": values["begins"], "time_zone": zone, "basis": basis,
         **typed, **looked},
    )  # fmt: skip
    visit.closed_at = book.now()
    paint_of(
        book,
        visit,
        ShortHaulOut(
            begins=values["begins"], basis=basis, product=values["product"],
            litres=values["litres"],
        ),
    )  # fmt: skip
    if values["anodes"] is not None:
        for position_id in _positions(book, values["anodes"], unnamed_anode):
            _renewed(book, visit, position_id, basis)
    return visit.id


def _positions(book: Book, names: Sequence[str], unnamed: str) -> list[str]:
    known = queries.kept(book, AnodePosition)
    if not names and known:
        return [position.id for position in known]
    found = []
    for name in names or [unnamed]:
        by_name = next((one for one in known if plain(one.name) == plain(name)), None)
        if by_name is None:
            values = t.read(book, POSITION, {"name": name, "protects": []})
            by_name = book.keep(AnodePosition(**values))
            book.flush()
        found.append(by_name.id)
    return found


def _renewed(book: Book, visit: Visit, position_id: str, basis: str) -> None:
    """Fit a piece between those that were fitted before and after: the past is filled in."""
    begins = visit.begins
    assert begins is not None
    pieces = queries.kept(book, AnodePiece, AnodePiece.position_id == position_id)
    dated = [(_fitted(book, piece), piece) for piece in pieces]
    older = [(at, piece) for at, piece in dated if at is None or at < begins]
    newer = sorted(
        ((at, piece) for at, piece in dated if at is not None and not at < begins),
        key=lambda one: one[0],
    )
    if older:
        _, last = max(older, key=lambda one: (one[0] is not None, one[0] or begins))
        gone = _removed(book, last)
        if gone is None or begins < gone:
            typed = {"state": "found", "way": "renewed", "basis": basis}
            new_check(book, last.id, visit.id, typed, None)
            last.removed_visit_id, last.removed = visit.id, None
    following = newer[0][1] if newer else None
    typed = {"metal": "unknown", "mass_new_from": "unknown", "fitted_visit_id": visit.id}
    piece = AnodePiece(position_id=position_id, **t.read(book, PIECE, {**typed, "basis": basis}))
    if following is not None:
        piece.removed_visit_id, piece.removed = following.fitted_visit_id, following.fitted
    book.add(piece)
    book.flush()


def _fitted(book: Book, piece: AnodePiece) -> PartialDate | None:
    visit = book.get(Visit, piece.fitted_visit_id) if piece.fitted_visit_id else None
    return piece.fitted or (visit.begins if visit else None)


def _removed(book: Book, piece: AnodePiece) -> PartialDate | None:
    visit = book.get(Visit, piece.removed_visit_id) if piece.removed_visit_id else None
    return piece.removed or (visit.begins if visit else None)
