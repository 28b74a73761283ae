"""Zones drawn anew: what of an older outline the newer covers, and what was theirs before.

What was recorded of a zone before it was cut or joined is read for the zones that came of it.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Collection, Iterable, Mapping
from dataclasses import dataclass, field
from itertools import combinations
from typing import TYPE_CHECKING

from sqlalchemy import select

from hulllog.insight.occasions import up_to, visits
from hulllog.records.model import FormVersion, ZoneVersion
from hulllog.records.operations import queries

if TYPE_CHECKING:
    from hulllog.insight.occasions import Edge
    from hulllog.records.book import Book
    from hulllog.records.values import Where

Covered = Mapping[tuple[str, str], float]
"""Keys of two zone versions, the older first -> the share of the older that the newer covers."""
MOST = 0.5
"""From this share on, what was done to a part of a zone is told of the zone.  Our own rule."""


def covered(book: Book, drawn: Iterable[Collection[str]]) -> dict[tuple[str, str], float]:
    """Return what each newer outline covers of each older one.

    ``drawn`` are groups of keys of zone versions, each group of one zone.
    """
    groups = [group for group in drawn if len(group) > 1]
    if not groups:
        return {}
    from hulllog.hull import zones  # with NumPy: start-up does without
    from hulllog.insight.shape import built, outline

    wanted = {key for group in groups for key in group}
    kept = select(ZoneVersion).where(ZoneVersion.id.in_(wanted))
    versions = {one.id: one for one in book.scalars(kept)}
    forms = {one.id: one for one in book.scalars(select(FormVersion))}
    found: dict[tuple[str, str], float] = {}
    for group in groups:
        order = sorted((versions[key] for key in group), key=lambda one: one.number)
        for old, new in combinations(order, 2):
            form = built(forms[new.form_version_id].particulars)
            shapes = outline(old.outline), outline(new.outline)
            found[old.id, new.id] = zones.covered(form, *shapes)
    return found


def share_of(covered: Covered, one: str | None, other: str | None) -> float | None:
    """Return the share for two versions, in either order; None where none is known."""
    pair = one or "", other or ""
    return covered.get(pair, covered.get(pair[::-1]))


@dataclass(frozen=True, slots=True)
class Lineage:
    """Of what the zones drawn at an edge were made.

    ``versions`` are the outlines of each zone by number, ``held`` the number that holds at the
    edge, ``places`` the visits in order.
    """

    versions: Mapping[str, Mapping[int, ZoneVersion]] = field(default_factory=dict)
    held: Mapping[str, int] = field(default_factory=dict)
    places: Mapping[str, int] = field(default_factory=dict)

    def share(self, visit_id: str, zone_id: str, shares: Mapping[str, float]) -> float:
        """Return what share of a zone of the edge something covered that was done at a visit.

        ``shares`` are those of the zones as they were drawn then.
        """
        number, at = self.held.get(zone_id), self.places.get(visit_id)
        if number is None or at is None:
            return shares.get(zone_id, 0.0)
        return self._share(self.versions[zone_id][number], at, shares)

    def _share(self, version: ZoneVersion, at: int, shares: Mapping[str, float]) -> float:
        made_of = version.outline.get(queries.OF)
        seen = {key: place for key, place in self.places.items() if place <= at}
        if queries.drawn_by(version, seen):
            return shares.get(version.zone_id, 0.0)
        if made_of is None:
            older = self.versions[version.zone_id].get(version.number - 1)
            return self._share(older, at, shares) if older else shares.get(version.zone_id, 0.0)
        return math.fsum(
            part * self._share(self.versions[key][number], at, shares)
            for key, part, number in made_of
        )


def lineage(book: Book, edge: Edge | None) -> Lineage:
    """Return of what the zones at an edge were made; empty where none was cut or joined."""
    versions = _versions(book)
    if not any(queries.OF in one.outline for one in versions):
        return Lineage()
    by_zone: dict[str, dict[int, ZoneVersion]] = {}
    for one in versions:
        by_zone.setdefault(one.zone_id, {})[one.number] = one
    held = {version.zone_id: version.number for version in _in_force(book, edge)}
    places = {visit.id: n for n, visit in enumerate(visits(book))}
    return Lineage(by_zone, held, places)


def _versions(book: Book) -> list[ZoneVersion]:
    return list(book.scalars(select(ZoneVersion).where(ZoneVersion.withdrawn.is_(False))))


def _in_force(book: Book, edge: Edge | None) -> list[ZoneVersion]:
    seen = [visit for visit, _ in up_to(book, edge)] if edge else []
    if not seen:
        return [version for _, version in queries.zones_in_force(book)]
    listed = [visit.id for visit in seen]
    return [version for _, version in queries.zones_in_force(book, listed, seen[-1].begins)]


def zone_of(book: Book, edge: Edge | None) -> Callable[[str | None, Where | None], str | None]:
    """Return what tells in which zone of the edge a mark lies, by its own zone and its place.

    Only zones of one descent are asked: a mark stays in its zone while nobody cuts or joins it.
    """
    versions = _versions(book)
    kin = _kin(versions)
    if not kin:
        return lambda zone_id, _place: zone_id
    from hulllog.hull import zones  # with NumPy: start-up does without
    from hulllog.hull.patches import Place
    from hulllog.insight.shape import form_of, outline

    form = form_of(book, edge)
    drawn = {version.zone_id: version for version in _in_force(book, edge)}

    def find(zone_id: str | None, place: Where | None) -> str | None:
        akin = [key for key in drawn if key in kin.get(zone_id or "", ())]
        if not akin:
            return zone_id
        if place is not None and form is not None:
            spot = Place(place.part, place.face, place.u, place.v)
            for key in akin:
                if zones.zone_at(form, spot, [outline(drawn[key].outline)]) is not None:
                    return key
        return zone_id if zone_id in akin else akin[0]

    return find


def _kin(versions: Iterable[ZoneVersion]) -> dict[str, set[str]]:
    """Return by zone all that came of the same cuts and joins, itself among them."""
    found: dict[str, set[str]] = {}
    for version in versions:
        for key, *_ in version.outline.get(queries.OF, ()):
            both = found.get(key, {key}) | found.get(version.zone_id, {version.zone_id})
            for one in both:
                found[one] = both
    return found
