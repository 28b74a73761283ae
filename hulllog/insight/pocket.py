"""What the pocket card tells: what to buy, her figures, slings and what to keep clear, notes."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from sqlalchemy import select

from hulllog.insight.bearing import metres_aft
from hulllog.insight.buying import to_buy
from hulllog.insight.matters import notes_for_next_time
from hulllog.insight.occasions import visits
from hulllog.insight.shape import form_of, form_version, outlines_of
from hulllog.records.model import Gear, PadPosition, Vessel, Zone

if TYPE_CHECKING:
    from hulllog.insight.buying import Buying
    from hulllog.insight.matters import NoteSeen
    from hulllog.records.book import Book
    from hulllog.records.model import FormVersion
    from hulllog.records.values import Measured, PartialDate, Where

CLEAR = frozenset(
    {
        "skin_fitting", "seacock", "shaft", "propeller", "bracket", "saildrive", "outdrive",
        "rudder", "skeg", "thruster", "trim_tab", "transducer",
    }
)  # fmt: skip
"""Sorts of gear that slings and pads are kept clear of.  Common practice."""


@dataclass(frozen=True, slots=True)
class Pad:
    """Where a sling or pad bore: its sort, the name of the zone there, and what was noted."""

    sort: str
    zone: str | None
    note: str | None
    aft: float | None = None
    """Metres aft of the stem; None where its place is not on record."""


@dataclass(frozen=True, slots=True)
class Pocket:
    """What stands on the card.  ``padded`` is the visit at which ``pads`` bore, by its date."""

    vessel: Vessel
    form: FormVersion | None
    weight: tuple[Measured, PartialDate | None] | None
    buying: Buying
    padded: PartialDate | None
    pads: tuple[Pad, ...]
    clear: tuple[str, ...]
    notes: tuple[NoteSeen, ...]


def pocket(book: Book) -> Pocket | None:
    """Return what the card tells; None while there is no vessel on record."""
    vessel = book.scalar(select(Vessel))
    if vessel is None:
        return None
    padded, pads = _pads(book)
    weighed = [(one.lift_weight, one.begins) for one in visits(book) if one.lift_weight]
    return Pocket(
        vessel,
        form_version(book),
        weighed[-1] if weighed else None,
        to_buy(book),
        padded,
        pads,
        _clear(book),
        tuple(notes_for_next_time(book, open_only=True)),
    )


def _pads(book: Book) -> tuple[PartialDate | None, tuple[Pad, ...]]:
    """Return the positions of the last visit that has some, and when that was."""
    kept = select(PadPosition).where(PadPosition.withdrawn.is_(False))
    found: dict[str, list[PadPosition]] = {}
    for one in book.scalars(kept.order_by(PadPosition.entered_at)):
        found.setdefault(one.visit_id, []).append(one)
    for visit in reversed(visits(book)):
        if visit.id in found:
            form = form_of(book)
            return visit.begins, tuple(
                Pad(
                    one.sort,
                    _zone(book, one.place),
                    one.note,
                    metres_aft(form, one.place) if form and one.place else None,
                )
                for one in found[visit.id]
            )
    return None, ()


def _zone(book: Book, place: Where | None) -> str | None:
    """Return the name of the zone that a place lies in."""
    form = form_of(book) if place else None
    if place is None or form is None:
        return None
    from hulllog.hull.patches import Place
    from hulllog.hull.zones import zone_at

    outlines = [outline for _, outline in outlines_of(book)]
    code = zone_at(form, Place(place.part, place.face, place.u, place.v), outlines)
    named = select(Zone.name).where(Zone.code == code, Zone.withdrawn.is_(False))
    return book.scalars(named).first() if code else None


def _clear(book: Book) -> tuple[str, ...]:
    kept = select(Gear).where(Gear.withdrawn.is_(False)).order_by(Gear.entered_at, Gear.name)
    return tuple(one.name for one in book.scalars(kept) if one.sort in CLEAR)
