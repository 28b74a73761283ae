"""Hull potentials read afloat, each beside the ranges that rules quote; none is called good."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from sqlalchemy import select
from sqlalchemy.orm import selectinload

from hulllog.insight.occasions import Edge, afloat, up_to
from hulllog.records.model import MeasurementSet
from hulllog.records.operations.afloat import POTENTIAL
from hulllog.records.operations.queries import vessel
from hulllog.trade import potentials
from hulllog.trade.refusal import Refusal

if TYPE_CHECKING:
    from hulllog.records.book import Book
    from hulllog.records.values import Measured, PartialDate
    from hulllog.trade.potentials import Comparison
    from hulllog.trade.working import Working

HARMED = frozenset({"aluminium", "wood"})
"""Hulls that too negative a potential harms: alkali eats aluminium and softens wood."""


@dataclass(frozen=True, slots=True)
class PotentialSeen:
    """A potential as read: against what, in which water, with which shore power.

    ``referred`` is against silver chloride in sea water.  ``beside`` are the ranges quoted for her
    material, empty with the reason ``why_not`` where nothing is said.  ``over`` tells that it is
    more negative than a rule that stands allows a hull of aluminium or wood.
    """

    visit_id: str
    when: PartialDate
    read: Measured
    electrode: str
    shore: str
    water: str
    material: str
    referred: Working | None
    beside: tuple[Comparison, ...]
    why_not: str
    over: bool


def potentials_seen(book: Book, edge: Edge | None = None) -> list[PotentialSeen]:
    """Return the potentials of the hull up to the edge, the oldest first."""
    order = {
        visit.id: (number, visit, states)
        for number, (visit, states) in enumerate(up_to(book, edge))
    }
    her = vessel(book)
    kept = (
        select(MeasurementSet)
        .where(MeasurementSet.kind == POTENTIAL, MeasurementSet.withdrawn.is_(False))
        .options(selectinload(MeasurementSet.readings))
    )
    wet = afloat(book)
    found: list[tuple[int, PotentialSeen]] = []
    for one in book.scalars(kept.order_by(MeasurementSet.entered_at)):
        number, visit, states = order.get(one.visit_id, (0, None, frozenset()))
        when = one.observed or (visit.begins if visit else None)
        if one.gear_check_id or one.state not in states or when is None:
            continue
        water = str(one.conditions.get("water") or wet.water_at(when.middle))
        for reading in one.readings:
            if reading.value is not None and not reading.withdrawn:
                told = _seen(one, when, reading.value, water, her.material if her else "unknown")
                found.append((number, told))
    return [seen for _, seen in sorted(found, key=lambda pair: pair[0])]


def _seen(
    one: MeasurementSet, when: PartialDate, read: Measured, water: str, material: str
) -> PotentialSeen:
    electrode = str(one.conditions.get("electrode") or "unknown")
    shore = str(one.conditions.get("shore_power") or "unknown")
    referred: Working | None = None
    beside: tuple[Comparison, ...] = ()
    why_not = ""
    try:
        referred = potentials.referred(read.in_unit("V"), electrode)
        beside = potentials.beside_ranges(referred.value, material, water)
    except Refusal as problem:
        why_not = problem.code
    over = material in HARMED and any(
        told.standing == "more_negative" and told.range.current and told.range.year
        for told in beside[:1]
    )
    return PotentialSeen(
        one.visit_id,
        when,
        read,
        electrode,
        shore,
        water,
        material,
        referred,
        beside,
        why_not,
        over,
    )
