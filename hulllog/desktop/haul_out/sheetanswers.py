"""What was written in a row of the yard sheet, as the operations of walk, bench and paint take it.

Boxes are typed in their order from left to right with a space between them; ``-`` leaves one empty.
What is left out at the end is empty too, and empty is not looked at.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from hulllog.desktop.haul_out.dates import complete
from hulllog.insight import walking
from hulllog.insight.bearing import BORE, bore_at
from hulllog.insight.yardsheet import CLEAR, HIDDEN_KEYS, UNSEEN
from hulllog.records.errors import Refused
from hulllog.records.operations import around, gear, matters, visits, yardwork
from hulllog.records.operations import walking as enter
from hulllog.records.operations.measuring import Rated
from hulllog.trade import kinds

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping
    from datetime import date

    from hulllog.hull.form import HullForm
    from hulllog.insight.yardsheet import Box, Row

NOTHING, EMPTY, BETWEEN = "n", "-", ";"
"""Typed for all boxes of a zone "looked for, not found"; for an empty box; between boxes of words.
"""
SPLIT = frozenset({"paint", "gear", "how"})
"""Rows with a box of words among others: their boxes have a mark between them."""
_METHODS = {"moisture": "metered", "timber-moisture": "metered"}


@dataclass(frozen=True, slots=True)
class Answer:
    """An operation of the records with what it is given after the logbook."""

    operation: Callable[..., Any]
    about: tuple[Any, ...] = ()
    typed: Mapping[str, Any] = field(default_factory=dict)
    at: str | None = None
    """The day that the row itself tells."""


@dataclass(frozen=True, slots=True)
class Entry:
    """What a row is entered with: the visit, the look it takes the place of, paints, the day."""

    visit_id: str
    boat: tuple[str, str]
    today: date
    begun: date | None = None
    instead_of: str | None = None
    paints: Mapping[str, str] = field(default_factory=dict)
    """Name of a paint on record -> its key."""
    form: HullForm | None = None
    how: str = ""
    """How a reading was taken: what stands in the row above that asks for it."""
    asked: Row | None = None
    """The row that asks for it."""


def answer(row: Row, text: str, entry: Entry) -> Answer | None:
    """Return what a row's text enters; None where nothing stands in it.  Raises Refused."""
    text = text.strip()
    if not text or not set(text) - {EMPTY, " ", BETWEEN}:
        return None
    if row.sort == "how":
        taken(row, text)
        return None
    made: dict[str, Callable[[Row, str, Entry], Answer]] = {
        "stage": _stage, "visit": _visit, "zone": _zone, "anode": _anode, "gear": _gear,
        "finding": _finding, "paint": _paint, "note": _note, "bore": _bore, "reading": _reading,
    }  # fmt: skip
    return made[row.sort](row, text, entry)


def _stage(row: Row, text: str, entry: Entry) -> Answer:
    return Answer(yardwork.set_stage, (entry.visit_id, row.subject_id, text), at=text)


def _visit(row: Row, text: str, entry: Entry) -> Answer:
    typed = _with_unit(text, row.boxes[0])
    return Answer(visits.set_visit, (entry.visit_id, row.subject_id, typed))


def _gear(row: Row, text: str, entry: Entry) -> Answer:
    parts = [part.strip() for part in text.split(BETWEEN)]
    alone = len(parts) == 1 and _is_words(parts[0])
    given = {"text": parts[0]} if alone else _by_box(row, parts)
    coded = {
        box.name: _letter(box, given[box.name])
        for box in row.boxes
        if box.letters and box.name in given
    }
    typed = {"result": coded.get("result"), "text": given.get("text")}
    told = {**given, **coded}
    measured = [
        Rated(kind, figures, enter.declared(kind, told))
        for kind, figures in _by_kind(row, told).items()
    ]
    about = (row.subject_id, entry.visit_id)
    return Answer(gear.look_at_gear, about, {"measured": measured, **typed})


def _is_words(typed: str) -> bool:
    """Tell words from the letter or the number of a first box."""
    return len(typed) > 1 and any(c.isalpha() for c in typed)


def _by_kind(row: Row, given: Mapping[str, str]) -> dict[str, dict[str, str]]:
    """Return kind -> component -> what stands in its box."""
    found: dict[str, dict[str, str]] = {}
    for box in row.boxes:
        if box.kind and box.name in given:
            found.setdefault(box.kind, {})[box.field] = given[box.name]
    return found


def taken(row: Row, text: str) -> dict[str, str]:
    """Return the conditions that a row of how something was taken tells.  Raises Refused."""
    given = _by_box(row, [part.strip() for part in text.split(BETWEEN)])
    for box in row.boxes:
        if box.letters and box.name in given:
            given[box.name] = _letter(box, given[box.name])
    return given


def _how(entry: Entry) -> dict[str, str]:
    return taken(entry.asked, entry.how) if entry.asked is not None and entry.how else {}


def _reading(row: Row, text: str, entry: Entry) -> Answer:
    (kind,) = row.looked_for
    given = _by_kind(row, _by_box(row, text.split()))
    conditions = enter.declared(kind, _how(entry))
    where = enter.At(
        visit_id=entry.visit_id,
        zone_id=row.subject_id,
        state=row.state,
        looked_for=row.looked_for,
        methods=(_METHODS.get(kind, "gauged"),),
        instead_of=entry.instead_of,
    )
    rated = Rated(kind, given.get(kind, {}), conditions, row.instrument_id)
    return Answer(enter.something_found, (where, enter.Found(ratings=(rated,))))


def _note(row: Row, text: str, entry: Entry) -> Answer:
    del row
    return Answer(around.note_for_next_time, (text,), {"visit_id": entry.visit_id})


def _bore(row: Row, text: str, entry: Entry) -> Answer:
    assert entry.form is not None
    given = _by_box(row, text.split())
    places = [bore_at(entry.form, row.subject_id, metres) for metres in given.values()]
    sort, _side = BORE[row.subject_id]
    return Answer(visits.add_pads, (entry.visit_id,), {"sort": sort, "places": places})


def _finding(row: Row, text: str, entry: Entry) -> Answer:
    seen = _letter(row.boxes[0], text)
    return Answer(matters.observe_finding, (row.subject_id, entry.visit_id), {"seen": seen})


def _anode(row: Row, text: str, entry: Entry) -> Answer:
    given = _by_box(row, text.split())
    coded = {
        box.field: _letter(box, given[box.field])
        for box in row.boxes
        if box.letters and given.get(box.field)
    }
    masses = {
        box.field: _with_unit(given[box.field], box)
        for box in row.boxes
        if not box.letters and given.get(box.field)
    }
    mass = masses.get("mass")
    seen = yardwork.Bench(
        mass=mass,
        left=None if mass else coded.get("left"),
        contact=coded.get("contact"),
        renewed=coded.get("renewed") == "yes",
        mass_new=masses.get("mass_new") if coded.get("renewed") == "yes" else None,
    )
    return Answer(yardwork.bench, (entry.visit_id, row.subject_id, seen))


def _paint(row: Row, text: str, entry: Entry) -> Answer:
    given = _by_box(row, [part.strip() for part in text.split(BETWEEN)])
    name = given.get("product", "")
    if not name:
        raise Refused("text_wanted", field="product")
    known = entry.paints.get(name.casefold())
    written = given.get("at")
    at = (complete(written, entry.today, entry.begun) or written) if written else None
    litres = given.get("litres")
    paint = yardwork.PutOn(
        product_id=known,
        product={} if known else {"name": name},
        litres=f"{litres} L" if litres else None,
        coats=given.get("coats"),
        at=at,
        weather={name: given.get(name) for name in ("air", "hull", "humidity")},
    )
    return Answer(yardwork.put_on, (entry.visit_id, paint), at=at)


# Zones


def _zone(row: Row, text: str, entry: Entry) -> Answer:
    plan = next(one for one in walking.plans(*entry.boat) if one.code == row.plan)
    given = _zone_boxes(row, text)
    where = enter.At(
        visit_id=entry.visit_id,
        zone_id=row.subject_id,
        state=plan.state,
        looked_for=_looked_for(row, given),
        methods=plan.methods,
        instead_of=entry.instead_of,
    )
    if UNSEEN in given:
        return Answer(enter.could_not_see, (where, _letter(_unseen(row), given[UNSEEN])))
    if CLEAR in given:
        return Answer(enter.nothing_found, (where,))
    rated = tuple(_ratings(row, given, {**plan.conditions, **_how(entry)}))
    graded = any(_is_graded(one.kind) for one in rated)
    if not graded and all(_is_none(figure) for figure in given.values()):
        return Answer(enter.nothing_found, (where,))
    return Answer(enter.something_found, (where, enter.Found(ratings=rated)))


def _zone_boxes(row: Row, text: str) -> dict[str, str]:
    """Return what stands in each box of a zone, by the name of the box."""
    tokens = text.lower().split()
    if len(tokens) == 1 and tokens[0] in HIDDEN_KEYS.values():
        return {UNSEEN: tokens[0]}
    figures = [box for box in row.boxes if box.field != UNSEEN]
    if tokens == [NOTHING]:
        return {box.name: "0" for box in figures}
    return _by_box(row, tokens)


def _looked_for(row: Row, given: Mapping[str, str]) -> tuple[str, ...]:
    """Return the kinds whose boxes were filled; all of the walk for a zone seen or unseen whole."""
    if UNSEEN in given or CLEAR in given:
        return row.looked_for
    filled = {box.kind for box in row.boxes if box.name in given}
    return tuple(kind for kind in row.looked_for if kind in filled)


def _ratings(row: Row, given: Mapping[str, str], conditions: Mapping[str, str]) -> list[Rated]:
    found: dict[str, dict[str, str]] = {}
    for box in row.boxes:
        if box.kind and box.name in given:
            typed = given[box.name]
            if box.letters is not None and typed not in box.letters:
                raise Refused("sheet_letter", typed=typed, allowed=list(box.letters))
            found.setdefault(box.kind, {})[box.field] = typed
    return [Rated(k, figures, enter.declared(k, conditions)) for k, figures in found.items()]


def _is_graded(kind: str) -> bool:
    return kinds.require(kind).components[0].sort == "grade"


def _is_none(figure: str) -> bool:
    return not set(figure) - set("0.,")


# Boxes


def _by_box(row: Row, tokens: list[str]) -> dict[str, str]:
    """Hand what was typed to the boxes in their order.  Raises Refused ``sheet_too_many``."""
    if len(tokens) > len(row.boxes):
        raise Refused("sheet_too_many", typed=len(tokens), boxes=len(row.boxes))
    pairs = zip(row.boxes, tokens, strict=False)
    return {box.name: token for box, token in pairs if token not in (EMPTY, "")}


def _unseen(row: Row) -> Box:
    return next(box for box in row.boxes if box.field == UNSEEN)


def _letter(box: Box, typed: str) -> str:
    """Return the code that a letter stands for.  Raises Refused ``sheet_letter``."""
    letters = box.letters or {}
    for code, letter in letters.items():
        if letter == typed.strip().lower():
            return code
    raise Refused("sheet_letter", typed=typed, allowed=list(letters.values()))


def _with_unit(typed: str, box: Box) -> str:
    """Return a bare number with the unit that stands over its box."""
    return typed if any(c.isalpha() for c in typed) else f"{typed} {box.unit}"
