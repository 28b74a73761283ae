"""The short haul-out: one form, one entry, all or nothing."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from sqlalchemy import select

from hulllog.records.errors import Refused
from hulllog.records.model import AnodePosition, Product, Visit
from hulllog.records.operations import queries
from hulllog.records.operations import typed as t
from hulllog.records.operations.anodes import new_check, new_piece
from hulllog.records.operations.coatings import PRODUCT, new_coat, part_of
from hulllog.records.operations.looks import new_look
from hulllog.records.operations.measuring import Rated
from hulllog.records.operations.visits import new_visit, written

if TYPE_CHECKING:
    from hulllog.records.book import Book
    from hulllog.records.logbook import Logbook


@dataclass(frozen=True, slots=True, kw_only=True)
class ShortLook:
    """A zone with what was seen there: nothing, or a rating."""

    zone_id: str
    kind: str | None = None
    figures: Mapping[str, t.Typed] = field(default_factory=dict)
    conditions: Mapping[str, t.Typed] = field(default_factory=dict)
    """No kind: the whole zone was looked at and nothing was found."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ShortHaulOut:
    """The short form.  Only ``begins`` is wanted; blank fields are left out.

    ``anode_left`` is one of EYE_SHARES; the anode is the piece at ``anode_position_id``, or at the
    only position on record, or at one that is made under ``anode_name``.  ``anode_renewed`` fits a
    new piece.  ``product_id`` or ``product`` names the paint; an unknown one is made as an
    antifouling of unknown class.  ``litres`` are in all, shared by the coats.
    """

    begins: t.When
    ends: t.When | None = None
    kind: str = "haul_out"
    yard: str | None = None
    location: str | None = None
    way: str | None = None
    time_zone: str | None = None
    basis: str = "at_the_time"
    looked_for: tuple[str, ...] | None = None
    """Kinds that the looks look for; None: as at the haul-out before.  Rated ones are added."""
    looks: tuple[ShortLook, ...] = ()
    anode_position_id: str | None = None
    anode_name: str | None = None
    anode_left: str | None = None
    anode_renewed: bool = False
    product_id: str | None = None
    product: str | None = None
    litres: t.Amount | None = None
    coats: t.Typed = None
    note: str | None = None


def short_haul_out(logbook: Logbook, short: ShortHaulOut) -> str:
    """Enter a haul-out by the short form, as one entry; returns the visit's key.

    Refused names the field of the form; then nothing was stored.
    """
    with logbook.change("visit.short", begins=written(short.begins)) as book:
        visit = _visit(book, short)
        for number, look in enumerate(short.looks):
            _look(book, visit, look, short.basis, number)
        _anode(book, visit, short)
        paint_of(book, visit, short)
    return visit.id


def _visit(book: Book, short: ShortHaulOut) -> Visit:
    typed = t.given(
        kind=short.kind, begins=short.begins, ends=short.ends, yard=short.yard,
        location=short.location, way=short.way, time_zone=short.time_zone, basis=short.basis,
        note=short.note, looked_for=short.looked_for,
    )  # fmt: skip
    visit = new_visit(book, typed)
    rated = [look.kind for look in short.looks if look.kind]
    visit.looked_for = list(dict.fromkeys([*visit.looked_for, *rated]))
    return visit


def _look(book: Book, visit: Visit, look: ShortLook, basis: str, number: int) -> None:
    ratings = [Rated(look.kind, look.figures, look.conditions)] if look.kind else []
    typed = {
        "state": "found", "coverage": "whole", "basis": basis,
        "result": None if ratings else "nothing_found",
    }  # fmt: skip
    try:
        new_look(book, visit.id, look.zone_id, typed, ratings)
    except Refused as problem:
        problem.field = f"looks.{number}.{problem.field}"
        raise


def _anode(book: Book, visit: Visit, short: ShortHaulOut) -> None:
    if not (short.anode_left or short.anode_renewed):
        return
    position_id = _position(book, short)
    piece = queries.present_piece(book, position_id)
    if piece is None and short.anode_left:
        piece = new_piece(book, position_id, _unknown_piece())
    if piece is not None:
        way = "by_eye" if short.anode_left else "renewed"
        typed = {"state": "found", "way": way, "basis": short.basis}
        new_check(book, piece.id, visit.id, typed, short.anode_left)
    if short.anode_renewed:
        metal = piece.metal if piece else "unknown"
        fitted = {**_unknown_piece(), "metal": metal, "fitted_visit_id": visit.id}
        new_piece(book, position_id, fitted)


def _unknown_piece() -> dict[str, t.Typed]:
    return {"metal": "unknown", "mass_new_from": "unknown"}


def _position(book: Book, short: ShortHaulOut) -> str:
    if short.anode_position_id:
        return t.needed(book, AnodePosition, short.anode_position_id, "anode_position_id").id
    known = queries.kept(book, AnodePosition)
    named = [position for position in known if position.name == short.anode_name]
    if named or (not short.anode_name and len(known) == 1):
        return (named or list(known))[0].id
    if not short.anode_name:
        raise Refused("choice_wanted", field="anode_position_id")
    name = t.read(book, {"anode_name": t.place_name()}, {"anode_name": short.anode_name})
    position = AnodePosition(name=name["anode_name"], protects=[])
    book.add(position)
    book.flush()
    return position.id


def paint_of(book: Book, visit: Visit, short: ShortHaulOut) -> None:
    """Enter the paint of a short form inside a change: litres in all, shared by the coats."""
    fields = {"litres": t.amount("L", "mL", "gal_us", "gal_imp", low=0.001, high=5000),
              "coats": t.whole(1, 20)}  # fmt: skip
    values = t.read(book, fields, {"litres": short.litres, "coats": short.coats})
    product_id = _product(book, short)
    if product_id is None:
        if values["litres"] or values["coats"]:
            raise Refused("text_wanted", field="product")
        return
    count = values["coats"] or 1
    for number in range(1, count + 1):
        typed = {"product_id": product_id, "number": number, "basis": short.basis}
        if values["litres"]:
            typed["litres"] = part_of(values["litres"], count)
        new_coat(book, visit.id, typed)


def _product(book: Book, short: ShortHaulOut) -> str | None:
    if short.product_id:
        return t.needed(book, Product, short.product_id, "product_id").id
    if not (short.product and short.product.strip()):
        return None
    typed = {
        "name": short.product, "coating_class": "unknown", "role": "antifouling", "biocides": (),
    }  # fmt: skip
    values = t.read(book, PRODUCT, typed)
    known = book.scalars(select(Product).where(Product.name == values["name"])).first()
    if known is None:
        known = book.keep(Product(**values))
        book.flush()
    return known.id
