"""What photographs show: where each belongs, and which findings and dives have none."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from typing import TYPE_CHECKING

from sqlalchemy import select
from sqlalchemy.orm import selectinload

from hulllog.hull.handdrawn import PART
from hulllog.insight.contradictions import corrected
from hulllog.insight.matters import matters
from hulllog.insight.occasions import visits
from hulllog.records.model import AnodePosition, Gear, Inspection, Photo, Spot, WorkLink, Zone
from hulllog.records.operations.queries import time_zone

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from hulllog.insight.matters import Matter
    from hulllog.records.book import Book
    from hulllog.records.model import PhotoPlace
    from hulllog.records.values import PartialDate

SORTS = ("place", "zone", "spot", "anode", "gear", "none")
"""What a photograph belongs to, in the order in which groups of them are told."""


@dataclass(frozen=True, slots=True)
class Subject:
    """What a photograph shows: a spot by number and label, a zone, an anode, a fitting, a face.

    ``name`` is what people wrote; of a plain place it is the part and ``face`` its face.
    """

    sort: str
    key: str
    name: str = ""
    number: int = 0
    face: str = ""
    order: int = 0


@dataclass(frozen=True, slots=True)
class Shown:
    """A photograph with when it was taken by the corrected clock, and what it shows first."""

    photo: Photo
    at: PartialDate | None
    subject: Subject


def photographs(book: Book) -> list[Shown]:
    """Return the photographs by what they show, those of one subject by the corrected clock."""
    zones = {zone.id: zone for zone in book.scalars(select(Zone))}
    spots = {spot.id: spot for spot in book.scalars(select(Spot))}
    anodes = {one.id: one.name for one in book.scalars(select(AnodePosition))}
    gear = {one.id: one.name for one in book.scalars(select(Gear))}
    at_visit = {visit.id: visit.time_zone for visit in visits(book)}
    here = time_zone(book)
    found = [
        Shown(
            photo,
            corrected(photo, at_visit.get(photo.visit_id or "", here)),
            _subject(photo, zones, spots, anodes, gear),
        )
        for photo in _kept(book)
    ]
    return sorted(found, key=_order)


def _order(one: Shown) -> tuple[int, int, str, float, str]:
    at = one.at.earliest.timestamp() if one.at else float("-inf")
    return SORTS.index(one.subject.sort), one.subject.order, one.subject.key, at, one.photo.id


def _kept(book: Book) -> list[Photo]:
    query = select(Photo).where(Photo.withdrawn.is_(False), Photo.purged_reason.is_(None))
    return list(book.scalars(query.options(selectinload(Photo.places))))


def _places(photo: Photo) -> list[PhotoPlace]:
    return [place for place in photo.places if not place.withdrawn]


def _subject(
    photo: Photo,
    zones: Mapping[str, Zone],
    spots: Mapping[str, Spot],
    anodes: Mapping[str, str],
    gear: Mapping[str, str],
) -> Subject:
    places = _places(photo)
    for place in places:
        if spot := spots.get(place.spot_id or ""):
            return Subject("spot", spot.id, spot.label, spot.number, order=spot.number)
    for place in places:
        if name := gear.get(place.gear_id or ""):
            return Subject("gear", place.gear_id or "", name)
    for place in places:
        if zone := zones.get(place.zone_id or ""):
            return Subject("zone", zone.id, zone.name, order=zone.walk_order)
        if name := anodes.get(place.anode_position_id or ""):
            return Subject("anode", place.anode_position_id or "", name)
    for place in places:
        if place.place is not None and not place.place.part.startswith(PART):
            part, face = place.place.part, place.place.face
            return Subject("place", f"{part} {face}", part, face=face)
    return Subject("none", "")


def of_findings(book: Book) -> dict[str, tuple[Shown, ...]]:
    """Return finding -> the photographs of its spots, anodes, gear and works, else of its zones.

    The oldest stands first.  A finding without any is there with none.
    """
    shown = photographs(book)
    by_work: dict[str, set[str]] = defaultdict(set)
    for link in book.scalars(select(WorkLink).where(WorkLink.photo_id.is_not(None))):
        if not link.withdrawn:
            by_work[link.work_id].add(link.photo_id or "")
    return {
        matter.finding_id: tuple(sorted(_of(matter, shown, by_work), key=_taken))
        for matter in matters(book)
    }


def _taken(one: Shown) -> float:
    return one.at.earliest.timestamp() if one.at else float("inf")


def _of(matter: Matter, shown: Sequence[Shown], by_work: Mapping[str, set[str]]) -> list[Shown]:
    works = {photo for done in matter.done for photo in by_work.get(done.work_id, ())}
    near = {*matter.spot_ids, *matter.anode_position_ids, *matter.gear_ids}
    close = [
        one
        for one in shown
        if one.photo.id in works
        or any({p.spot_id, p.anode_position_id, p.gear_id} & near for p in _places(one.photo))
    ]
    if close or matter.spot_ids:
        return close
    zones = set(matter.zone_ids)
    return [one for one in shown if any(p.zone_id in zones for p in _places(one.photo))]


def before_and_after(shown: Sequence[Shown]) -> tuple[Shown, ...]:
    """Return the newest photograph as found with the newest after it, else with the oldest."""
    found = [one for one in shown if one.photo.state == "found"] or list(shown)
    if not found:
        return ()
    newest = found[-1]
    after = [one for one in shown if _taken(one) > _taken(newest)]
    if after:
        return newest, after[-1]
    return (newest,) if shown[0] is newest else (shown[0], newest)


def without_pictures(book: Book) -> frozenset[str]:
    """Return the visits with a camera among the methods of looking and no picture kept."""
    kept = {photo.visit_id for photo in _kept(book)}
    used = {visit.id for visit in visits(book) if "camera" in visit.methods}
    query = select(Inspection).where(Inspection.withdrawn.is_(False))
    used |= {look.visit_id for look in book.scalars(query) if "camera" in look.methods}
    return frozenset(used - kept)
