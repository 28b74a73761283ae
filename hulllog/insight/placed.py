"""What is marked on the hull at an edge: spots with what was seen of them, and photographs."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from sqlalchemy import select
from sqlalchemy.orm import selectinload

from hulllog.insight.condition import Figure, figures_of
from hulllog.insight.occasions import STATE_ORDER, Edge, up_to
from hulllog.insight.paint import coats_of
from hulllog.insight.reached import missed_by_whole_bottom
from hulllog.insight.redrawn import zone_of
from hulllog.insight.shades import below_water
from hulllog.records.model import (
    MeasurementSet,
    Photo,
    PhotoPlace,
    Removal,
    Spot,
    SpotObservation,
    Treatment,
    Visit,
)

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from hulllog.records.book import Book
    from hulllog.records.values import PartialDate, Where


@dataclass(frozen=True, slots=True)
class SpotLook:
    """What was seen of a spot at one visit; ``figures`` by kind, with their conditions."""

    observation_id: str
    visit_id: str
    when: PartialDate | None
    state: str
    coverage: str
    result: str | None
    text: str | None
    figures: Mapping[str, Mapping[str, Figure]]
    conditions: Mapping[str, Mapping[str, object]]


@dataclass(frozen=True, slots=True)
class SpotSeen:
    """A spot followed at an edge, with all looks up to there, the oldest first."""

    spot_id: str
    number: int
    label: str
    place: Where | None
    zone_id: str | None
    since: PartialDate | None
    looks: tuple[SpotLook, ...]

    def at(self, visit_id: str) -> SpotLook | None:
        """Return the last look at a visit."""
        return next((look for look in reversed(self.looks) if look.visit_id == visit_id), None)


def spots_at(book: Book, edge: Edge | None) -> list[SpotSeen]:
    """Return the spots that were followed at the edge, by number."""
    seen = up_to(book, edge)
    states = {visit.id: states for visit, states in seen}
    looks = _looks(book, {visit.id: visit for visit, _ in seen}, states)
    zone_now = zone_of(book, edge)
    query = select(Spot).where(Spot.withdrawn.is_(False)).order_by(Spot.number)
    return [
        SpotSeen(
            spot.id,
            spot.number,
            spot.label,
            spot.place,
            zone_now(spot.zone_id, spot.place),
            _since(book, spot, looks.get(spot.id, [])),
            tuple(looks.get(spot.id, ())),
        )
        for spot in book.scalars(query)
        if spot.opened_visit_id is None or spot.opened_visit_id in states
    ]


def _since(book: Book, spot: Spot, looks: Sequence[SpotLook]) -> PartialDate | None:
    visit = book.get(Visit, spot.opened_visit_id) if spot.opened_visit_id else None
    if visit is not None:
        return visit.begins
    return looks[0].when if looks else None


def _looks(
    book: Book, seen: Mapping[str, Visit], states: Mapping[str, frozenset[str]]
) -> dict[str, list[SpotLook]]:
    order = {visit_id: n for n, visit_id in enumerate(seen)}
    sets = selectinload(SpotObservation.sets)
    query = (
        select(SpotObservation)
        .where(SpotObservation.withdrawn.is_(False))
        .options(
            sets.selectinload(MeasurementSet.ratings), sets.selectinload(MeasurementSet.readings)
        )
        .order_by(SpotObservation.entered_at)
    )
    rows = [
        look
        for look in book.scalars(query)
        if look.visit_id in seen and look.state in states[look.visit_id]
    ]
    rows.sort(key=lambda look: (order[look.visit_id], STATE_ORDER[look.state]))
    found: dict[str, list[SpotLook]] = {}
    for look in rows:
        found.setdefault(look.spot_id, []).append(_look(look, seen[look.visit_id]))
    return found


def _look(look: SpotObservation, visit: Visit) -> SpotLook:
    rated = [one for one in look.sets if not one.withdrawn]
    return SpotLook(
        look.id,
        visit.id,
        visit.begins,
        look.state,
        look.coverage,
        look.result,
        look.text,
        {one.kind: figures_of(one) for one in rated},
        {one.kind: one.conditions for one in rated},
    )


@dataclass(frozen=True, slots=True)
class PhotoSeen:
    """A photograph up to an edge, with one of the places that it shows.

    A photograph that shows no place at all stands there once, with None in each of these.
    """

    photo_id: str
    sha256: str
    media_type: str
    caption: str | None
    visit_id: str | None
    when: PartialDate | None
    state: str | None
    purged: str | None
    place_id: str | None
    place: Where | None
    zone_id: str | None
    spot_id: str | None
    anode_position_id: str | None = None
    gear_id: str | None = None


def photos_at(book: Book, edge: Edge | None) -> list[PhotoSeen]:
    """Return the photographs up to the edge, the oldest first, once for each place they show.

    ``when`` is the day of the visit, else the capture time.
    """
    seen = up_to(book, edge)
    order = {visit.id: n for n, (visit, _) in enumerate(seen)}
    begun = {visit.id: visit.begins for visit, _ in seen}
    query = (
        select(Photo, PhotoPlace)
        .outerjoin(PhotoPlace, (PhotoPlace.photo_id == Photo.id) & PhotoPlace.withdrawn.is_(False))
        .where(Photo.withdrawn.is_(False))
    )
    rows = [
        (photo, shown)
        for photo, shown in book.execute(query)
        if photo.visit_id is None or photo.visit_id in order
    ]
    rows.sort(
        key=lambda row: (
            order.get(row[0].visit_id or "", -1),
            row[0].captured.earliest if row[0].captured else row[0].imported_at,
            row[0].id,
        )
    )
    zone_now = zone_of(book, edge)
    return [_photo(photo, shown, begun, zone_now) for photo, shown in rows]


def _photo(
    photo: Photo,
    shown: PhotoPlace | None,
    begun: Mapping[str, PartialDate | None],
    zone_now: Callable[[str | None, Where | None], str | None],
) -> PhotoSeen:
    return PhotoSeen(
        photo.id,
        photo.sha256,
        photo.media_type,
        photo.caption,
        photo.visit_id,
        begun.get(photo.visit_id or "") or photo.captured,
        photo.state,
        photo.purged_reason,
        shown.id if shown else None,
        shown.place if shown else None,
        zone_now(shown.zone_id, shown.place) if shown else None,
        shown.spot_id if shown else None,
        shown.anode_position_id if shown else None,
        shown.gear_id if shown else None,
    )


@dataclass(frozen=True, slots=True)
class WorkedOn:
    """What was done to a zone in a visit: a coat, a removal or a treatment, as codes and names."""

    sort: str
    code: str
    name: str


def worked_on(book: Book, visit_id: str, zone_id: str, zone_code: str) -> list[WorkedOn]:
    """Return the removals, treatments and coats that a zone had in a visit, in that order."""
    visit = book.get(Visit, visit_id)
    if visit is None:
        return []
    found = [
        WorkedOn("removal", removal.down_to, removal.how or "")
        for removal in book.scalars(select(Removal).where(Removal.visit_id == visit_id))
        if zone_id in removal.zone_ids and not removal.withdrawn
    ]
    found += [
        WorkedOn("treatment", treatment.sort, treatment.contractor or "")
        for treatment in book.scalars(select(Treatment).where(Treatment.visit_id == visit_id))
        if zone_id in treatment.zone_ids and not treatment.withdrawn
    ]
    whole = below_water(zone_code) and zone_id not in missed_by_whole_bottom(book)(visit_id)
    found += [
        WorkedOn("coat", coat.role, coat.product)
        for coat in coats_of(book, visit)
        if zone_id in coat.zone_ids or (coat.whole_bottom and whole)
    ]
    return found
