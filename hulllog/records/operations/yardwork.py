"""What is done in the yard in one go: a stage reached, an anode on the bench, coats put on.

Each is one entry, however many records it makes.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, TypeVar
from zoneinfo import ZoneInfo

from hulllog.records.errors import Refused
from hulllog.records.model import (
    AnodeCheck,
    AnodePiece,
    AnodePosition,
    Product,
    StageTime,
    Visit,
    Weather,
)
from hulllog.records.operations import anodes, coatings, queries, visits
from hulllog.records.operations import typed as t
from hulllog.records.operations.keeping import make, name_of
from hulllog.records.values import PartialDate

if TYPE_CHECKING:
    from hulllog.records.book import Book
    from hulllog.records.logbook import Logbook
    from hulllog.records.values import Measured

T = TypeVar("T")
_LAST_STAGES = ("ready", "relaunched")


def set_stage(
    logbook: Logbook, visit_id: str, stage: str, at: t.When, *, reason: str | None = None
) -> None:
    """Say when a haul-out reached a stage, in place of what was said before; blank says nothing."""
    with logbook.change("stage.set", reason=reason, stage=stage) as book:
        visit = t.needed(book, Visit, visit_id, "visit")
        for before in queries.kept(
            book, StageTime, StageTime.visit_id == visit_id, StageTime.stage == stage
        ):
            before.withdrawn = True
        typed = {"stage": stage, "at": at, "basis": "at_the_time"}
        fields = {**visits.STAGE, "at": t.date(future=False)}
        values = t.read(book, fields, typed, zone=visit.time_zone)
        if values["at"] is None:
            return
        visits.refuse_stage(book, visit, stage, values["at"])
        make(book, StageTime, {"visit_id": visit_id, **values})


@dataclass(frozen=True, slots=True, kw_only=True)
class Bench:
    """An anode on the bench: weighed or judged by eye, how it sat, and what was fitted instead.

    ``left`` is one of EYE_SHARES.  ``renewed`` fits a new piece of ``metal`` and ``mass_new``.
    """

    mass: t.Amount | None = None
    left: str | None = None
    contact: str | None = None
    painted_over: bool = False
    note: str | None = None
    renewed: bool = False
    metal: str | None = None
    mass_new: t.Amount | None = None
    state: str = "found"

    @property
    def way(self) -> str:
        """How the old piece was looked at."""
        return "weighed" if self.mass else "by_eye" if self.left else "renewed"


def bench(logbook: Logbook, visit_id: str, position_id: str, seen: Bench) -> None:
    """Enter a look at the anode of a position, and the piece that takes its place, as one entry.

    A look and a new piece of this visit that are there already are changed.  Where no piece was on
    record the old one is entered as unknown.  Refused names ``mass``, ``left``, ``contact`` or
    ``mass_new``.
    """
    name = name_of(logbook, AnodePosition, position_id, "position")
    with logbook.change("anode.bench", position=name) as book:
        t.needed(book, Visit, visit_id, "visit")
        piece = queries.present_piece(book, position_id)
        new = piece if piece is not None and piece.fitted_visit_id == visit_id else None
        old = piece if new is None else _taken_off(book, position_id, visit_id)
        if not (seen.mass or seen.left or seen.renewed):
            raise Refused("anode_look_wanted", field="left")
        if piece is None and (seen.mass or seen.left):
            unknown = {"metal": "unknown", "mass_new_from": "unknown"}
            old = anodes.new_piece(book, position_id, unknown)
        if old is not None:
            _check(logbook, book, old, visit_id, seen)
        if seen.renewed:
            _renew(book, old, new, visit_id, position_id, seen)


def _taken_off(book: Book, position_id: str, visit_id: str) -> AnodePiece | None:
    """Return the piece that came off a position at a visit."""
    pieces = queries.kept(
        book,
        AnodePiece,
        AnodePiece.position_id == position_id,
        AnodePiece.removed_visit_id == visit_id,
    )
    return pieces[-1] if pieces else None


def _check(logbook: Logbook, book: Book, piece: AnodePiece, visit_id: str, seen: Bench) -> None:
    typed = {
        "way": seen.way, "mass": seen.mass, "contact": seen.contact,
        "painted_over": seen.painted_over, **t.given(note=seen.note),
    }  # fmt: skip
    before = queries.kept(
        book,
        AnodeCheck,
        AnodeCheck.piece_id == piece.id,
        AnodeCheck.visit_id == visit_id,
        AnodeCheck.state == seen.state,
    )
    if before:
        blank = {"left_low": None, "left_high": None}
        anodes.set_check(logbook, before[-1].id, {**blank, **typed}, left=seen.left)
    else:
        typed |= {"state": seen.state, "basis": "at_the_time"}
        anodes.new_check(book, piece.id, visit_id, typed, seen.left)


def _renew(
    book: Book,
    old: AnodePiece | None,
    new: AnodePiece | None,
    visit_id: str,
    position_id: str,
    seen: Bench,
) -> None:
    before = new or old
    typed: dict[str, t.Typed] = {
        "metal": seen.metal or (before.metal if before else "unknown"),
        "mass_new": seen.mass_new,
        "mass_new_from": "weighed" if seen.mass_new else "unknown",
    }
    try:
        if new is None:
            anodes.new_piece(book, position_id, {**typed, "fitted_visit_id": visit_id})
        else:
            anodes.change_piece(book, new, typed)
    except Refused as problem:
        problem.field = "mass_new" if problem.field == "mass" else problem.field
        raise


@dataclass(frozen=True, slots=True, kw_only=True)
class PutOn:
    """Coats of one paint: a product on record or a new one, litres in all, how many coats, when.

    ``weather`` may hold air, hull and humidity of the day.
    """

    product_id: str | None = None
    product: Mapping[str, t.Typed] = field(default_factory=dict)
    litres: t.Amount | None = None
    coats: t.Typed = None
    at: t.When | None = None
    weather: Mapping[str, t.Typed] = field(default_factory=dict)


def put_on(logbook: Logbook, visit_id: str, paint: PutOn) -> None:
    """Enter coats on the whole bottom, with the paint if it is new and the day's weather."""
    with logbook.change("coat.several", product=_product_name(logbook, paint)) as book:
        visit = t.needed(book, Visit, visit_id, "visit")
        fields: dict[str, t.Reader] = {"litres": coatings.LITRES, "coats": t.whole(1, 20)}
        values = t.read(book, fields, {"litres": paint.litres, "coats": paint.coats})
        product_id = paint.product_id or _new_product(logbook, paint)
        weather = {name: value for name, value in paint.weather.items() if value}
        count = values["coats"] or 1
        for _ in range(count):
            coat = {"product_id": product_id, "at": paint.at, "basis": "at_the_time", **weather}
            if values["litres"]:
                coat["litres"] = _part(values["litres"], count)
            coatings.new_coat(book, visit_id, coat)
        if weather and paint.at:
            read = t.read(book, visits.WEATHER, {"at": paint.at, **weather}, zone=visit.time_zone)
            make(book, Weather, {"visit_id": visit_id, **read})


def _product_name(logbook: Logbook, paint: PutOn) -> str:
    if paint.product_id:
        return name_of(logbook, Product, paint.product_id, "product")
    return str(paint.product.get("name") or "")


def _new_product(logbook: Logbook, paint: PutOn) -> str:
    if not paint.product:
        raise Refused("choice_wanted", field="product")
    wanted = {"coating_class": "unknown", "role": "antifouling", "name": ""}
    return coatings.add_product(logbook, **{**wanted, **paint.product})


def _part(litres: Measured, count: int) -> Measured:
    """Share litres evenly between coats."""
    if count == 1:
        return litres
    share = f"{float(litres.text) / count:.3f}".rstrip("0").rstrip(".")
    return t.measured((share, litres.unit), litres.unit, "litres")


def from_sheet(
    logbook: Logbook,
    visit_id: str,
    stage: str,
    operation: Callable[..., T],
    /,
    *about: t.Typed,
    at: t.When | None = None,
    **typed: t.Typed,
) -> T:
    """Enter what stands in a row of the yard sheet; typed on a later day, it is from notes.

    ``at`` is the day that the row itself tells.  Where neither it nor the time of its stage is
    known, a row belongs to the day on which the haul-out began, one of how she was left to its
    last.  The basis that an operation states otherwise stays.
    """
    with logbook.read() as book:
        visit = t.needed(book, Visit, visit_id, "visit")
        zone = ZoneInfo(visit.time_zone)
        day = _written(book, visit, stage, at)
        later = day is not None and book.now().astimezone(zone).date() > (
            day.latest.astimezone(zone).date()
        )
    if not later:
        return operation(logbook, *about, **typed)
    with logbook.entered_on("later_from_notes"):
        return operation(logbook, *about, **typed)


def _written(book: Book, visit: Visit, stage: str, at: t.When | None) -> PartialDate | None:
    """Return the day on which a row was written; None where nothing tells it."""
    if isinstance(at, str) and at.strip():
        try:
            return PartialDate.parse(at, visit.time_zone)
        except Refused:  # the operation says so beside the row
            return None
    times = queries.kept(book, StageTime, StageTime.visit_id == visit.id, StageTime.stage == stage)
    known = next((one.at for one in times if one.at), None)
    last = visit.ends if stage in _LAST_STAGES else None
    return known or last or visit.begins
