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
from hulllog.records.operations.anodes import POSITION, new_check
from hulllog.records.operations.coatings import LITRES
from hulllog.records.operations.short import ShortHaulOut, paint_of
from hulllog.records.operations.visits import VISIT
from hulllog.records.values import PartialDate
from hulllog.words import say_code
from hulllog.words.labels import code_typed, listed, plain

if TYPE_CHECKING:
    from hulllog.records.book import Book
    from hulllog.records.journal import EntryKind
    from hulllog.records.logbook import Logbook
    from hulllog.records.values import Order

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


def _anodes(known: Mapping[str, str] | None = None) -> t.Reader:
    """Read which anodes were changed: None, () for all, or names of positions.

    ``known`` are the positions on record, name as it is compared -> name; None asks the records.
    """

    def reader(at: t.Reading, typed: t.Typed) -> tuple[str, ...] | None:
        text = plain(str(typed or ""))
        if not text or text in listed("old_notes.words.no"):
            return None
        if text in listed("old_notes.words.yes") or text.isdigit():
            return () if text.strip("0") else None
        names_known = _known_anodes(at.book) if known is None else known
        if text in names_known:
            return (names_known[text],)
        names = [one for one in _BETWEEN.split(str(typed).strip()) if one]
        for name in names:
            if names_known and plain(name) not in names_known:
                shown = list(names_known.values())
                raise Refused("anode_unknown", field=at.field, typed=name, names=shown)
            t.name()(at, name)
        return tuple(names_known.get(plain(name), name) for name in names)

    return reader


def _known_anodes(book: Book) -> dict[str, str]:
    return {plain(one.name): one.name for one in queries.kept(book, AnodePosition)}


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
    ground = _Ground.of(book, zone)
    before = [_Stay.of(visit) for visit in queries.visits(book, choices.OUT_OF_WATER)]
    for number, row in enumerate(rows):
        if is_blank(row):
            continue
        read = _read(ground, number, row)
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
        ground = _Ground.of(book, zone)
        read = [_read(ground, number, row).values for number, row in enumerate(filled)]
        made = [_enter(book, values, zone, values["basis"] or basis) for values in read]
        _renew(
            book, [(visit, values) for visit, values in zip(made, read, strict=True)], unnamed_anode
        )
        return [visit.id for visit in made]


# Reading


@dataclass(frozen=True, slots=True)
class _Stay:
    begins: PartialDate | None
    ends: PartialDate | None

    @classmethod
    def of(cls, visit: Visit) -> _Stay:
        return cls(visit.begins, visit.ends)


@dataclass(frozen=True, slots=True)
class _Ground:
    """What every row is read by, asked of the records once."""

    book: Book
    zone: str
    order: Order | None
    sign: str | None
    fields: t.Fields

    @classmethod
    def of(cls, book: Book, zone: str | None) -> _Ground:
        fields = {**FIELDS, "anodes": _anodes(_known_anodes(book))}
        where = zone or queries.time_zone(book)
        return cls(book, where, queries.date_order(book), queries.decimal_sign(book), fields)

    def read(self, column: str, text: str) -> Any:
        """Read a cell as ``typed.read`` does, with what is known already."""
        typed: t.Typed = text
        if text and column in ("begins", "ends"):
            typed = PartialDate.parse(text, self.zone, order=self.order, field=column)
        elif text and column == "litres":
            typed = t.measured(text, "L", column, self.sign)
        return t.read(self.book, self.fields, {column: typed}, zone=self.zone)[column]


def _read(ground: _Ground, number: int, row: Texts) -> _Read:
    values: dict[str, Any] = {}
    wrong: list[Problem] = []
    for column in COLUMNS:
        values[column] = None
        try:
            values[column] = ground.read(column, row.get(column, "").strip())
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


def _enter(book: Book, values: Mapping[str, Any], zone: str, basis: str) -> Visit:
    """Add a closed haul-out with its paint; its dates were judged already."""
    note = "\n".join(text for text in (values["found"], values["note"]) if text)
    # Nobody knows what was looked for then: nothing is taken over from the haul-out before.
    visit = Visit(
        kind="haul_out", begins=values["begins"], ends=values["ends"], time_zone=zone,
        yard=values["yard"], way=values["way"], looked_for=[], methods=[], note=note or None,
        closed_at=book.now(), basis=basis,
    )  # fmt: skip
    book.add(visit)
    book.flush()
    if values["product"]:
        paint = ShortHaulOut(
            begins=values["begins"], basis=basis, product=values["product"],
            litres=values["litres"],
        )  # fmt: skip
        paint_of(book, visit, paint)
    return visit


def _renew(book: Book, entered: Sequence[tuple[Visit, Mapping[str, Any]]], unnamed: str) -> None:
    """Fit new pieces at the visits at which anodes were changed, position by position."""
    changed: dict[str, list[Visit]] = {}
    known = list(queries.kept(book, AnodePosition))
    all_on_record = tuple(position.name for position in known)
    for visit, values in entered:
        if values["anodes"] is None:
            continue
        for name in dict.fromkeys(values["anodes"] or all_on_record or (unnamed,)):
            changed.setdefault(_position(book, known, name), []).append(visit)
    for position_id, visits in changed.items():
        pieces = queries.kept(book, AnodePiece, AnodePiece.position_id == position_id)
        fitted = [(_fitted(book, piece), piece) for piece in pieces]
        for visit in visits:
            fitted.append((visit.begins, _renewed(book, visit, position_id, fitted)))


def _position(book: Book, known: list[AnodePosition], name: str) -> str:
    found = next((one for one in known if plain(one.name) == plain(name)), None)
    if found is None:
        found = book.keep(AnodePosition(**t.read(book, POSITION, {"name": name, "protects": []})))
        book.flush()
        known.append(found)
    return found.id


def _renewed(
    book: Book,
    visit: Visit,
    position_id: str,
    fitted: Sequence[tuple[PartialDate | None, AnodePiece]],
) -> AnodePiece:
    """Fit a piece between those that were fitted before and after: the past is filled in."""
    begins = visit.begins
    assert begins is not None
    older = [(at, piece) for at, piece in fitted if at is None or at < begins]
    newer = [(at, piece) for at, piece in fitted if at is not None and not at < begins]
    if older:
        _, last = max(older, key=lambda one: (one[0] is not None, one[0] or begins))
        gone = _removed(book, last)
        if gone is None or begins < gone:
            typed = {"state": "found", "way": "renewed", "basis": visit.basis}
            new_check(book, last.id, visit.id, typed, None)
            last.removed_visit_id, last.removed = visit.id, None
    piece = AnodePiece(
        position_id=position_id, metal="unknown", mass_new_from="unknown",
        fitted_visit_id=visit.id, basis=visit.basis,
    )  # fmt: skip
    if newer:
        _, following = min(newer, key=lambda one: one[0])
        piece.removed_visit_id, piece.removed = following.fitted_visit_id, following.fitted
    book.add(piece)
    book.flush()
    return piece


def _fitted(book: Book, piece: AnodePiece) -> PartialDate | None:
    visit = book.get(Visit, piece.fitted_visit_id) if piece.fitted_visit_id else None
    return piece.fitted or (visit.begins if visit else None)


def _removed(book: Book, piece: AnodePiece) -> PartialDate | None:
    visit = book.get(Visit, piece.removed_visit_id) if piece.removed_visit_id else None
    return piece.removed or (visit.begins if visit else None)
