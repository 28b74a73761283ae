"""Where slings, pads and blocks bore, in metres from the stem as on the rule of the yard sheet.

The tape gives how far aft, not how high: how high a place is drawn is our own rule.  Slings lie at
the waterline, pads between it and the centreline, blocks under a keel or else on the centreline.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from hulllog.hull.outlines import along
from hulllog.hull.patches import Place
from hulllog.records.errors import Refused
from hulllog.records.model import PadPosition
from hulllog.records.operations import queries
from hulllog.records.operations.typed import measured
from hulllog.records.values import Measured

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from hulllog.hull.form import HullForm
    from hulllog.records.book import Book
    from hulllog.records.values import Where

BORE: Mapping[str, tuple[str, str]] = {
    "sling": ("sling", "port"),
    "pad_port": ("pad", "port"),
    "pad_starboard": ("pad", "starboard"),
    "block": ("block", "port"),
}
"""Row of the sheet -> what bore, and on which side it is noted."""

_AT_V = {"sling": 1.0, "pad": 0.6, "block": 0.0}
_FROM = "stem"
_HALVINGS = 40


def bore_at(form: HullForm, row: str, typed: str) -> dict[str, Any]:
    """Return the place of what bore so many metres from the stem, as it was measured.

    Raises Refused ``number_low`` or ``number_high`` where she does not reach, or for no number.
    """
    stem, _ = along(form, "port")
    faces = [(face, _reach(form, *face)) for face in _faces(form, row)]
    low = min(reach[0] for _, reach in faces) - stem
    high = max(reach[1] for _, reach in faces) - stem
    metres = measured(typed, "m", "bore")
    if metres.si < low:
        raise Refused("number_low", typed=metres.text, unit="m", low=round(low, 2))
    if metres.si > high:
        raise Refused("number_high", typed=metres.text, unit="m", high=round(high, 2))
    x = stem + metres.si
    part, face, v = next((face for face, reach in faces if reach[0] <= x <= reach[1]), faces[-1][0])
    return {
        "part": part, "face": face, "u": _u_at(form, part, face, v, x), "v": v,
        "given": {"by": "tape", "from": _FROM, "metres": metres.text, "unit": metres.unit},
    }  # fmt: skip


def metres_aft(form: HullForm, place: Where) -> float | None:
    """Return how far aft of the stem a place lies, along the rule; None where she has it no more.

    What was measured leads.
    """
    how = place.how
    if how.get("by") == "tape" and how.get("from") == _FROM:
        return Measured.parse(str(how["metres"]), str(how["unit"])).si
    try:
        x, _ = form.view_point("port", Place(place.part, place.face, place.u, place.v))
    except KeyError:
        return None
    return x - along(form, "port")[0]


def bore(book: Book, form: HullForm, visit_id: str) -> dict[str, tuple[float, ...]]:
    """Return row of the sheet -> metres from the stem of what bore at a visit, foremost first."""
    kept = queries.kept(book, PadPosition, PadPosition.visit_id == visit_id)
    placed = [(one.sort, one.place) for one in kept if one.place is not None]
    found = {}
    for row, (sort, side) in BORE.items():
        there = [
            where for of, where in placed if of == sort and (sort != "pad" or _on(where, side))
        ]
        metres = [metres_aft(form, where) for where in there]
        found[row] = tuple(sorted(one for one in metres if one is not None))
    return {row: metres for row, metres in found.items() if metres}


def last_bore(book: Book, form: HullForm, earlier: Sequence[Any]) -> dict[str, tuple[float, ...]]:
    """Return for each row what the newest of the earlier visits tells."""
    found: dict[str, tuple[float, ...]] = {}
    for visit in earlier:
        found = {**bore(book, form, visit.id), **found}
    return found


def _on(place: Where, side: str) -> bool:
    """Whether a place lies on a side; on a hull of two, on the hull of that side."""
    return place.part.endswith(f"-{side}") or ("-" not in place.part and place.face == side)


def _faces(form: HullForm, row: str) -> Iterator[tuple[str, str, float]]:
    """Yield part, face and v on which something may have borne, the likeliest first."""
    sort, side = BORE[row]
    parts = form.parts
    if sort == "block":
        for part, faces in parts.items():
            if part.startswith("keel") and "under" in faces:
                yield part, "under", 0.5
    if "hull" in parts:
        yield "hull", side, _AT_V[sort]
    else:
        yield f"hull-{side}", "outboard", _AT_V[sort]


def _reach(form: HullForm, part: str, face: str, v: float) -> tuple[float, float]:
    ends = [form.view_point("port", Place(part, face, u, v))[0] for u in (0.0, 1.0)]
    return min(ends), max(ends)


def _u_at(form: HullForm, part: str, face: str, v: float, x: float) -> float:
    """Return how far along a face a point lies that is ``x`` aft in the side view."""
    low, high = 0.0, 1.0
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        if form.view_point("port", Place(part, face, middle, v))[0] < x:
            low = middle
        else:
            high = middle
    return (low + high) / 2
