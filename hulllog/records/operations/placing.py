"""Places given by tape or by frame: read, solved on her form, and led by what was given."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

from hulllog.hull.form import HullForm
from hulllog.hull.particulars import Particulars
from hulllog.hull.taping import MARKS, WAYS, TapeError, place
from hulllog.records.errors import Refused
from hulllog.records.model import AnodePosition, Gear, MeasuringPoint, PadPosition, PhotoPlace, Spot
from hulllog.records.operations import queries
from hulllog.records.operations import typed as t
from hulllog.records.types import canonical_json
from hulllog.records.values import Where

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from hulllog.records.book import Book

LENGTH = t.amount("m", "ft", "cm", "mm", "in", low=0, high=60, wanted=True)
FIELDS: t.Fields = dict.fromkeys(("tape_1", "tape_2", "along", "girth"), LENGTH)
"""The fields in which lengths are typed, and by whose names they are refused."""
_FIELD_OF = {"frame_outside": "along", "girth_outside": "girth"}
PLACED = (Spot, AnodePosition, Gear, MeasuringPoint, PhotoPlace, PadPosition)
"""Records that have a place."""


def given_by(given: Mapping[str, Any]) -> bool:
    """Tell whether a place was given by lengths, which lead."""
    return given.get("by") in WAYS


def solved(book: Book, given: Mapping[str, Any]) -> Where:
    """Return a place from the lengths that were typed.

    ``given`` holds ``by`` (tape or frame), ``part`` and ``face``; by tape ``marks``, two of
    ``hull.taping.MARKS`` or own ones as (name, Where), ``tape_1`` and ``tape_2``, and ``higher``
    where they meet twice; by frame ``along`` and ``girth``.  Raises Refused, as for a length that
    cannot be read or tapes that do not meet.
    """
    version = queries.form_version(book)
    if version is None:
        raise Refused("no_vessel")
    kept: dict[str, Any] = {key: given[key] for key in ("by", "part", "face")}
    names = ("along", "girth") if kept["by"] == "frame" else ("tape_1", "tape_2")
    read = t.read(book, FIELDS, {name: given.get(name) for name in names})
    lengths = [
        {"text": read[name].text, "unit": read[name].unit, "m": read[name].si} for name in names
    ]
    if kept["by"] == "frame":
        kept |= dict(zip(names, lengths, strict=True))
    else:
        marks = [_mark(one) for one in given["marks"]]
        kept["tapes"] = [mark | length for mark, length in zip(marks, lengths, strict=True)]
        if given.get("higher") is not None:
            kept["higher"] = bool(given["higher"])
    try:
        found = place(_form(version.particulars), kept)
    except TapeError as problem:
        field = _FIELD_OF.get(problem.code, "tape_2")
        raise Refused(problem.code, field=field, **problem.values) from problem
    return Where(found.part, found.face, found.u, found.v, canonical_json(kept))


def _mark(one: Any) -> dict[str, Any]:
    if isinstance(one, str):
        if one not in MARKS:
            raise Refused("unknown_choice", field="tape_1", typed=one)
        return {"mark": one}
    name, where = one
    return {"mark": "own", "name": name, "place": [where.part, where.face, where.u, where.v]}


def _form(particulars: Mapping[str, Any]) -> HullForm:
    return HullForm.build(Particulars.from_json(dict(particulars)))


def led(form: HullForm, where: Where) -> Where:
    """Return a place on another form: what was taped keeps its metres, a click its fractions.

    What was taped and can no longer be found keeps its fractions too.
    """
    if not given_by(where.how):
        return where
    try:
        found = place(form, where.how)
    except TapeError:
        return where
    return replace(where, u=found.u, v=found.v)


def follow(book: Book, form: HullForm) -> None:
    """Put every taped place of the records where it lies on a corrected form."""
    for model in PLACED:
        records: Sequence[Any] = queries.kept(book, model)
        for record in records:
            if record.place is not None and given_by(record.place.how):
                record.place = led(form, record.place)
