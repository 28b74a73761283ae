"""When something was last done, and how far it went: what a buyer asks for first."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from sqlalchemy import select

from hulllog.insight.occasions import OUT_OF_WATER, visits
from hulllog.insight.paint import PEELED_TO, coats_of, taken_off
from hulllog.insight.reached import missed_by_whole_bottom
from hulllog.insight.repairs import repairs
from hulllog.insight.shades import below_water
from hulllog.records.model import Removal, Survey, Treatment, Visit, Zone

if TYPE_CHECKING:
    from hulllog.insight.paint import CoatSeen
    from hulllog.records.book import Book
    from hulllog.records.values import PartialDate

_COATS = {"antifouling": "antifouled", "barrier": "barrier", "primer": "primed"}
_DEPTHS = ("sound_antifouling", "primer", "gelcoat", "laminate")
"""From the least taken off to the most; what is not here is compared with itself alone."""


@dataclass(frozen=True, slots=True)
class KeyDate:
    """When something was last done, as a code: last_lift, antifouled, barrier, treated, …

    ``zones`` are those it went over, none for the whole bottom; ``until`` is the end of a span.
    """

    code: str
    when: PartialDate
    values: tuple[tuple[str, str], ...] = ()
    zones: tuple[str, ...] = ()
    until: PartialDate | None = None
    but: tuple[str, ...] = ()
    """Zones of the bottom that could not be reached."""


def key_dates(book: Book) -> list[KeyDate]:
    """Return the last date of each kind of event that a buyer asks for, where it is on record."""
    found: dict[str, KeyDate] = {}
    names = {zone.id: zone.name for zone in book.scalars(select(Zone).order_by(Zone.walk_order))}
    under = {zone.id for zone in book.scalars(select(Zone)) if below_water(zone.code)}
    reached = missed_by_whole_bottom(book)

    def missed(visit_id: str) -> frozenset[str]:
        return reached(visit_id) & under

    for visit in visits(book):
        when = visit.ends or visit.begins
        if when is None or visit.begins is None:
            continue
        if visit.kind in OUT_OF_WATER:
            found["last_lift"] = KeyDate("last_lift", visit.begins)
        for coat in coats_of(book, visit):
            if coat.role in _COATS:
                key, made = _coated(coat, when, names, missed(visit.id))
                found.pop(key, None)
                found[key] = made
        _treated(book, visit, when, found)
        for down_to, zones in _deepest(book, visit):
            told = tuple(name for zone, name in names.items() if zone in zones)
            key = f"taken_off {down_to}"
            at = _taken_at(book, visit, down_to) or visit.begins
            found[key] = KeyDate("taken_off", at, (("sort", down_to),), told)
    query = select(Survey.at).where(Survey.withdrawn.is_(False))
    surveyed = [at for at in book.scalars(query) if at]
    if surveyed:
        found["surveyed"] = KeyDate("surveyed", max(surveyed, key=lambda at: at.latest))
    local = [repair for repair in repairs(book) if repair.spot_id]
    if local:
        found["repaired_locally"] = KeyDate("repaired_locally", local[-1].done or local[-1].when)
    return list(found.values())


def _coated(
    coat: CoatSeen, when: PartialDate, names: dict[str, str], missed: frozenset[str]
) -> tuple[str, KeyDate]:
    """Return the date of a coat: over the whole bottom, over zones, over parts of zones."""
    code, at, product = _COATS[coat.role], coat.when or when, (("product", coat.product),)
    if coat.whole_bottom:
        but = tuple(name for zone, name in names.items() if zone in missed)
        return code, KeyDate(code, at, product, but=but)
    told = tuple(name for zone, name in names.items() if zone in coat.zone_ids)
    code += "_parts" if any(share < 1 for _, share in coat.shares) else "_zones"
    return code, KeyDate(code, at, product, told)


def _treated(book: Book, visit: Visit, when: PartialDate, found: dict[str, KeyDate]) -> None:
    query = select(Treatment).where(Treatment.visit_id == visit.id, Treatment.withdrawn.is_(False))
    for treatment in book.scalars(query):
        done = treatment.ends or treatment.begins or when
        found["treated"] = KeyDate("treated", done, (("sort", treatment.sort),))
        if treatment.warranty_until:
            found["warranty"] = KeyDate("warranty", done, until=treatment.warranty_until)


def _deepest(book: Book, visit: Visit) -> list[tuple[str, tuple[str, ...]]]:
    """Return what a visit took off, without the zones where more came off at the same visit."""
    removed = taken_off(book, visit)
    found = []
    for down_to, zones in removed:
        deeper = [
            where
            for other, where in removed
            if {other, down_to} <= set(_DEPTHS) and _DEPTHS.index(other) > _DEPTHS.index(down_to)
        ]
        if any(not where for where in deeper):
            continue
        gone = {zone for where in deeper for zone in where}
        left = tuple(zone for zone in zones if zone not in gone)
        if left or not zones:
            found.append((down_to, left))
    return found


def _taken_at(book: Book, visit: Visit, down_to: str) -> PartialDate | None:
    """Return when something was taken down so far at a visit, where its day is on record."""
    removals = select(Removal).where(Removal.visit_id == visit.id, Removal.withdrawn.is_(False))
    peelings = select(Treatment).where(
        Treatment.visit_id == visit.id, Treatment.withdrawn.is_(False), Treatment.sort == "peeled"
    )
    dates = [one.at for one in book.scalars(removals) if one.down_to == down_to]
    if down_to == PEELED_TO:
        dates += [one.ends or one.begins for one in book.scalars(peelings)]
    return max((at for at in dates if at), key=lambda at: at.latest, default=None)
