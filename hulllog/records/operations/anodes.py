"""Anodes: positions, the pieces fitted there, and looks at them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hulllog.records.errors import Refused
from hulllog.records.model import (
    AnodeCheck,
    AnodePiece,
    AnodePosition,
    ContactReading,
    Limit,
    Visit,
)
from hulllog.records.operations import choices, queries
from hulllog.records.operations import typed as t
from hulllog.records.operations.keeping import change_fields, make, name_of

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hulllog.records.book import Book
    from hulllog.records.logbook import Logbook

MASS_UNITS = ("kg", "g", "lb")
POSITION: t.Fields = {
    "name": t.place_name(),
    "place": t.place(),
    "protects": t.some_of(),
    "mirror_id": t.link(AnodePosition),
}
PIECE: t.Fields = {
    "metal": t.one_of(choices.ANODE_METALS, wanted=True),
    "pattern": t.name(wanted=False),
    "mass_new": t.amount(*MASS_UNITS, low=0.005, high=200),
    "mass_new_from": t.one_of(choices.MASS_FROM, wanted=True),
    "insert_mass": t.amount(*MASS_UNITS, low=0, high=100),
    "fitted_visit_id": t.link(Visit),
    "fitted": t.date(future=False),
    "basis": t.BASIS,
}
CHECK: t.Fields = {
    "state": t.one_of(choices.STATES, wanted=True),
    "way": t.one_of(choices.ANODE_WAYS, wanted=True),
    "looked": t.date(future=False),
    "mass": t.amount(*MASS_UNITS, low=0, high=200),
    "left_low": t.share(),
    "left_high": t.share(),
    "contact": t.one_of(choices.CONTACTS),
    "painted_over": t.flag(),
    "note": t.NOTE,
    "basis": t.BASIS,
}
ANODE_LIMIT = ("anode", "used")
"""Kind and component of the owner's limit for anodes: the share gone."""
OWN_LIMIT: t.Fields = {
    "limit": t.amount("percent", low=5, high=99),
    "limit_by": t.name(),
}
SCALE_SLACK = 1.01
"""A check may weigh this much of the mass when new before it is refused: two scales differ."""


def add_position(
    logbook: Logbook,
    *,
    name: str,
    protects: Sequence[str] = (),
    place: t.Typed = None,
    mirror_id: str | None = None,
    limit: t.Typed = None,
    limit_by: t.Typed = None,
) -> str:
    """Enter where an anode sits and what it protects, with its own limit where it has one."""
    typed = {"name": name, "protects": protects, "place": place, "mirror_id": mirror_id}
    with logbook.change("anode.position", name=name) as book:
        position_id = make(book, AnodePosition, t.read(book, POSITION, typed))
        _hold_mirror(book, position_id, mirror_id)
        _limit_at(book, position_id, limit, limit_by)
        return position_id


def set_position(
    logbook: Logbook, position_id: str, field: str, typed: t.Typed, *, reason: str | None = None
) -> None:
    """Set a field of POSITION."""
    change_fields(
        logbook, "anode.set_position", AnodePosition, position_id, POSITION, {field: typed},
        reason=reason, field=field,
    )  # fmt: skip


def edit_position(
    logbook: Logbook, position_id: str, *, reason: str | None = None, **typed: t.Typed
) -> None:
    """Set several fields of POSITION, and its own limit where typed, as one entry."""
    about = name_of(logbook, AnodePosition, position_id, "position")
    limit = {field: typed.pop(field) for field in OWN_LIMIT if field in typed}
    fields = sorted([*typed, *limit])
    with logbook.change("anode.set_position", reason=reason, fields=fields, name=about) as book:
        position = t.needed(book, AnodePosition, position_id)
        for field, value in t.read(book, POSITION, typed).items():
            setattr(position, field, value)
        if "mirror_id" in typed:
            _hold_mirror(book, position_id, position.mirror_id)
        if limit:
            _limit_at(book, position_id, limit.get("limit"), limit.get("limit_by"))


def limit_component(position_id: str) -> str:
    """Return the component of the limit that holds at one position only."""
    return f"{ANODE_LIMIT[1]}:{position_id}"


def limit_at(book: Book, position_id: str) -> Limit | None:
    """Return the limit that was set for one position; None where it has none of its own."""
    of = Limit.kind == ANODE_LIMIT[0], Limit.component == limit_component(position_id)
    return next(iter(queries.kept(book, Limit, *of)), None)


def _limit_at(book: Book, position_id: str, limit: t.Typed, limit_by: t.Typed) -> None:
    """Set, change or take away the limit of one position."""
    kept = limit_at(book, position_id)
    if not limit:
        if kept is not None:
            kept.withdrawn = True
        return
    values = t.read(book, OWN_LIMIT, {"limit": limit, "limit_by": limit_by})
    if kept is None:
        kind, component = ANODE_LIMIT[0], limit_component(position_id)
        kept = Limit(kind=kind, component=component, set_by=values["limit_by"])
        book.add(kept)
    kept.value, kept.set_by = values["limit"], values["limit_by"]
    book.flush()


def _hold_mirror(book: Book, position_id: str, mirror_id: str | None) -> None:
    """Hold a mirror both ways: each of two looks at the other, and no third at either."""
    if mirror_id == position_id:
        raise Refused("unknown_choice", field="mirror_id", typed=mirror_id)
    for other in queries.kept(book, AnodePosition, AnodePosition.id != position_id):
        if other.id == mirror_id:
            other.mirror_id = position_id
        elif other.mirror_id in {position_id, mirror_id} - {None}:
            other.mirror_id = None
    book.flush()


def fit_piece(
    logbook: Logbook,
    position_id: str,
    *,
    metal: str = "zinc",
    visit_id: str | None = None,
    fitted: t.When | None = None,
    pattern: str | None = None,
    mass_new: t.Amount | None = None,
    mass_new_from: str | None = None,
    insert_mass: t.Amount | None = None,
    basis: str = "at_the_time",
) -> str:
    """Fit a new anode, at a visit or on a date; the one that was there comes off."""
    position = name_of(logbook, AnodePosition, position_id, "position")
    with logbook.change("anode.fit", position=position) as book:
        piece = new_piece(
            book,
            position_id,
            {
                "metal": metal, "fitted_visit_id": visit_id, "fitted": fitted,
                "pattern": pattern, "mass_new": mass_new,
                "mass_new_from": mass_new_from or ("weighed" if mass_new else "unknown"),
                "insert_mass": insert_mass, "basis": basis,
            },
        )  # fmt: skip
    return piece.id


def new_piece(book: Book, position_id: str, typed: dict[str, t.Typed]) -> AnodePiece:
    """Add a piece inside a change and take off the one before."""
    t.needed(book, AnodePosition, position_id, "position")
    values = t.read(book, PIECE, typed)
    mass, insert = values.get("mass_new"), values.get("insert_mass")
    if mass and insert and insert.si >= mass.si:
        raise Refused("insert_heavier_than_new", field="insert_mass", typed=insert.text)
    before = queries.present_piece(book, position_id)
    if before is not None:
        before.removed_visit_id = values.get("fitted_visit_id")
        before.removed = values.get("fitted")
    piece = AnodePiece(position_id=position_id, **values)
    book.add(piece)
    book.flush()
    return piece


def move_piece(
    logbook: Logbook,
    piece_id: str,
    position_id: str,
    *,
    visit_id: str | None = None,
    fitted: t.When | None = None,
    basis: str = "at_the_time",
) -> str:
    """Fit a piece that was fitted before at another position; it keeps its masses and looks.

    It comes off where it is, and the one at the new position comes off too.  Refused on ``piece``
    where it went on from there already or sits at that position, on ``fitted`` without a date.
    """
    with logbook.read() as book:
        piece = t.needed(book, AnodePiece, piece_id, "piece")
    position = name_of(logbook, AnodePosition, position_id, "position")
    before = name_of(logbook, AnodePosition, piece.position_id)
    if not visit_id and not fitted:
        raise Refused("date_wanted", field="fitted")
    with logbook.change("anode.move", position=position, before=before) as book:
        old = t.needed(book, AnodePiece, piece_id)
        on_board = old.removed_visit_id is None and old.removed is None
        if queries.kept(book, AnodePiece, AnodePiece.moved_from_id == piece_id) or (
            on_board and old.position_id == position_id
        ):
            raise Refused("unknown_choice", field="piece", typed=before)
        typed = {"metal": old.metal, "mass_new_from": old.mass_new_from, "basis": basis}
        new = new_piece(book, position_id, {**typed, "fitted_visit_id": visit_id, "fitted": fitted})
        new.pattern, new.mass_new, new.insert_mass = old.pattern, old.mass_new, old.insert_mass
        new.moved_from_id = piece_id
        if on_board:
            old.removed_visit_id, old.removed = new.fitted_visit_id, new.fitted
        book.flush()
    return new.id


def remove_piece(
    logbook: Logbook,
    piece_id: str,
    *,
    visit_id: str | None = None,
    removed: t.When | None = None,
    reason: str | None = None,
) -> None:
    """Take an anode off without fitting another."""
    fields = {"removed_visit_id": t.link(Visit), "removed": t.date(future=False)}
    with logbook.read() as book:
        piece = t.needed(book, AnodePiece, piece_id, "piece")
    position = name_of(logbook, AnodePosition, piece.position_id)
    if not visit_id and not removed:
        raise Refused("date_wanted", field="removed")
    with logbook.change("anode.remove", reason=reason, position=position) as book:
        piece = t.needed(book, AnodePiece, piece_id)
        typed = {"removed_visit_id": visit_id, "removed": removed}
        for field, value in t.read(book, fields, typed).items():
            setattr(piece, field, value)


def set_piece(
    logbook: Logbook, piece_id: str, field: str, typed: t.Typed, *, reason: str | None = None
) -> None:
    """Set a field of PIECE; a mass when new below a weighed check is refused."""
    with logbook.change("anode.set_piece", reason=reason, field=field) as book:
        change_piece(book, t.needed(book, AnodePiece, piece_id, "piece"), {field: typed})


def change_piece(book: Book, piece: AnodePiece, typed: dict[str, t.Typed]) -> None:
    """Set fields of PIECE inside a change."""
    for field, value in t.read(book, PIECE, typed).items():
        setattr(piece, field, value)
    for check in queries.kept(book, AnodeCheck, AnodeCheck.piece_id == piece.id):
        _refuse_heavier(piece, check)


def check_anode(
    logbook: Logbook,
    piece_id: str,
    *,
    visit_id: str,
    way: str,
    mass: t.Amount | None = None,
    left: str | None = None,
    contact: str | None = None,
    painted_over: bool = False,
    state: str = "found",
    note: str | None = None,
    basis: str = "at_the_time",
    looked: t.When | None = None,
) -> str:
    """Enter a look at an anode: weighed clean and dry, by eye, or renewed without weighing.

    ``left`` by eye is one of EYE_SHARES.  Raises Refused ``heavier_than_new`` on ``mass``.
    """
    with logbook.read() as book:
        piece = t.needed(book, AnodePiece, piece_id, "piece")
    position = name_of(logbook, AnodePosition, piece.position_id)
    with logbook.change("anode.check", position=position, way=way) as book:
        typed = {
            "state": state, "way": way, "mass": mass, "contact": contact,
            "painted_over": painted_over, "note": note, "basis": basis,
            "looked": looked,
        }  # fmt: skip
        check = new_check(book, piece_id, visit_id, typed, left)
    return check.id


def new_check(
    book: Book, piece_id: str, visit_id: str, typed: dict[str, t.Typed], left: str | None
) -> AnodeCheck:
    """Add a check inside a change."""
    piece = t.needed(book, AnodePiece, piece_id, "piece")
    t.needed(book, Visit, visit_id, "visit")
    values = t.read(book, CHECK, {**typed, **eye(left)})
    check = AnodeCheck(piece_id=piece_id, visit_id=visit_id, **values)
    _refuse_empty(check)
    _refuse_heavier(piece, check)
    book.add(check)
    book.flush()
    return check


def eye(left: str | None) -> dict[str, t.Typed]:
    """Return the interval that a share by eye stands for."""
    if not left:
        return {}
    if left not in choices.EYE_SHARES:
        raise Refused("unknown_choice", field="left", typed=left)
    low, high = choices.EYE_SHARES[left]
    return {"left_low": low, "left_high": high}


def _refuse_empty(check: AnodeCheck) -> None:
    if check.way == "weighed" and check.mass is None:
        raise Refused("number_wanted", field="mass")
    if check.way == "by_eye" and check.left_low is None:
        raise Refused("choice_wanted", field="left")


def _refuse_heavier(piece: AnodePiece, check: AnodeCheck) -> None:
    new, mass = piece.mass_new, check.mass
    if new is not None and mass is not None and mass.si > new.si * SCALE_SLACK:
        raise Refused(
            "heavier_than_new",
            field="mass",
            typed=f"{mass.text} {mass.unit}",
            new=f"{new.text} {new.unit}",
        )


def set_check(
    logbook: Logbook,
    check_id: str,
    typed: dict[str, t.Typed],
    *,
    left: str | None = None,
    reason: str | None = None,
) -> None:
    """Set fields of CHECK of a look at an anode."""
    with logbook.read() as book:
        check = t.needed(book, AnodeCheck, check_id, "check")
        position_id = t.needed(book, AnodePiece, check.piece_id).position_id
    position = name_of(logbook, AnodePosition, position_id)
    with logbook.change("anode.set_check", reason=reason, position=position) as book:
        check = t.needed(book, AnodeCheck, check_id)
        for field, value in t.read(book, CHECK, {**typed, **eye(left)}).items():
            setattr(check, field, value)
        _refuse_empty(check)
        _refuse_heavier(t.needed(book, AnodePiece, check.piece_id), check)


def add_contact(logbook: Logbook, check_id: str, *, part: str, resistance: t.Amount) -> str:
    """Enter the resistance from an anode to what it protects."""
    fields = {"part": t.name(), "resistance": t.amount("ohm", low=0, high=1e7, wanted=True)}
    with logbook.change("anode.contact", part=part) as book:
        t.needed(book, AnodeCheck, check_id, "check")
        values = t.read(book, fields, {"part": part, "resistance": resistance})
        return make(book, ContactReading, {"check_id": check_id, **values})
