"""Two edges of the tide strip held against each other, zone by zone."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Literal

from sqlalchemy import select

from hulllog.insight import shades
from hulllog.insight.condition import Figure, ZoneState, hull_state
from hulllog.insight.judging import components
from hulllog.insight.occasions import STATE_ORDER, Edge, visits
from hulllog.insight.redrawn import covered, share_of
from hulllog.insight.shades import FOULING, nothing
from hulllog.records.model import Treatment
from hulllog.trade import change

if TYPE_CHECKING:
    from hulllog.insight.redrawn import Covered
    from hulllog.records.book import Book

Answer = Literal[
    "worse", "better", "up", "down", "within", "same", "not_comparable", "not_seen", "not_rated"
]


@dataclass(frozen=True, slots=True)
class ZoneChange:
    """One zone at two edges.

    ``before`` is None where the zone was not drawn then.  ``changed`` is the component that shades
    the zone, now against before; None where the two looks do not compare, for the reasons in
    ``why_not``.
    """

    now: ZoneState
    before: ZoneState | None
    component: str | None
    answer: Answer
    figure_before: Figure | None = None
    figure_now: Figure | None = None
    changed: change.Change | None = None
    why_not: tuple[str, ...] = ()
    treated: bool = False
    """Whether the zone was treated between the two."""


def in_order(book: Book, one: Edge, other: Edge) -> tuple[Edge, Edge]:
    """Return two edges, the earlier first."""
    places = {visit.id: n for n, visit in enumerate(visits(book))}

    def order(edge: Edge) -> tuple[int, int]:
        return places.get(edge.visit_id, len(places)), STATE_ORDER[edge.state]

    first, second = sorted((one, other), key=order)
    return first, second


def compare(book: Book, one: Edge, other: Edge, kind: str) -> list[ZoneChange]:
    """Return what two edges say of every zone, in either order of the edges, in walking order."""
    first, second = in_order(book, one, other)
    before = {zone.zone_id: zone for zone in hull_state(book, first, kind)}
    component = shading_component(kind)
    same_visit = first.visit_id == second.visit_id
    treated = _treated_between(book, first, second) if kind not in FOULING else frozenset()
    after = hull_state(book, second, kind)
    drawn = [
        {before[now.zone_id].zone_version_id, now.zone_version_id}
        for now in after
        if now.zone_id in before
    ]
    shares = covered(book, drawn)
    changes = (
        _compared(kind, component, before.get(now.zone_id), now, shares, same_visit=same_visit)
        for now in after
    )
    return [replace(change, treated=change.now.zone_id in treated) for change in changes]


def _treated_between(book: Book, first: Edge, second: Edge) -> frozenset[str]:
    """Return the zones treated after one edge and up to another; work follows as found."""
    places = {visit.id: n for n, visit in enumerate(visits(book))}
    after = places[first.visit_id] + (first.state == "left")
    before = places[second.visit_id] - (second.state == "found")
    done = book.scalars(select(Treatment).where(Treatment.withdrawn.is_(False)))
    return frozenset(
        zone
        for one in done
        if after <= places.get(one.visit_id, -1) <= before
        for zone in one.zone_ids
    )


def shading_component(kind: str) -> str | None:
    """Return the component by which a zone is tinted; None for a kind that is not here."""
    if kind in shades.BOUNDS:
        return shades.BOUNDS[kind][0]
    return next(iter(components(kind)), None)


def _compared(
    kind: str,
    component: str | None,
    before: ZoneState | None,
    now: ZoneState,
    covered: Covered,
    *,
    same_visit: bool,
) -> ZoneChange:
    # Of one visit, what nobody looked at after the work says nothing new.
    unlooked = same_visit and now.from_found
    if before is None or "not_seen" in (before.appearance, now.appearance):
        return ZoneChange(now, before, component, "not_seen")
    old, new = _value(kind, component, before), _value(kind, component, now)
    if component is None or old is None or new is None or unlooked:
        return ZoneChange(now, before, component, "not_rated", old, new)
    why = _why_not(kind, before, now, covered)
    if why:
        return ZoneChange(now, before, component, "not_comparable", old, new, why_not=why)
    changed = change.two_visits(kind, component, old, new)
    return ZoneChange(now, before, component, _answer(changed, old, new), old, new, changed)


def _value(kind: str, component: str | None, zone: ZoneState) -> Figure | None:
    """Return the figure of a zone; what was looked for and not found is nought."""
    if component is None:
        return None
    if zone.figures is not None:
        return zone.figures.get(component)
    return nothing(kind).get(component) if zone.appearance == "none_found" else None


def _why_not(kind: str, before: ZoneState, now: ZoneState, covered: Covered) -> tuple[str, ...]:
    """Return why the two looks do not compare.

    Work in between is no reason here: what it changed is what one wants to see.
    """
    reasons: list[str] = []
    if before.zone_version_id != now.zone_version_id:
        share = share_of(covered, before.zone_version_id, now.zone_version_id)
        if share is None or share < change.SAME_OUTLINE:
            reasons.append("zone_redrawn")
    if before.conditions is not None and now.conditions is not None:
        reasons += change.breaks(kind, before.conditions, now.conditions)
    return tuple(reasons)


def _answer(changed: change.Change | None, before: object, now: object) -> Answer:
    if before == now:
        return "same"
    if changed is None or not changed.beyond_error or changed.direction == "none":
        return "within"
    return changed.direction
