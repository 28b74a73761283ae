"""What the records say changed between two photographs of one place, where they say it in order.

A pair is told only where a figure of that place went one way by more than its method's error and
nothing was renewed, repaired or treated between; or where a repair came between and nothing took
its trace away since.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from sqlalchemy import select

from hulllog.insight.condition import Figure, figures_of
from hulllog.insight.occasions import STATE_ORDER, visits
from hulllog.insight.repairs import findable, repairs, repairs_of
from hulllog.records.model import (
    AnodeCheck,
    AnodePiece,
    AnodePosition,
    Coat,
    Inspection,
    Instrument,
    Photo,
    PhotoPlace,
    Product,
    Removal,
    Spot,
    SpotObservation,
    Treatment,
    Zone,
    ZoneVersion,
)
from hulllog.trade import change, kinds

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hulllog.insight.repairs import Repair
    from hulllog.records.book import Book

COVER = "antifouling-cover"
LEADING = {
    "laminate-blisters": ("largest_mm", "largest blister", "mm"),
    "rust-spots": ("area_cm2", "rust", "cm²"),
    "crack": ("length_mm", "crack", "mm"),
    COVER: ("cover", "own paint left", "%"),
}
"""Kind -> the component that a picture shows, and how the key names it."""
Edge = tuple[int, int]
"""Place of a visit in their order, and of a state in it."""


@dataclass(frozen=True, slots=True)
class Seen:
    """A figure of a place at an edge, with what it may be compared under."""

    value: float
    conditions: Mapping[str, object]
    zone_version: str | None = None


@dataclass(frozen=True, slots=True)
class Told:
    """Two photographs of a place, and what the records say changed from one to the other.

    ``strength`` is the change in standard deviations of chance.
    """

    place: str
    what: str
    words: str
    strength: float
    earlier: Photo
    later: Photo


@dataclass(slots=True)
class _Place:
    """A place that was photographed more than once: its pictures and its figures by edge."""

    name: str
    zone_id: str | None = None
    spot_id: str | None = None
    photos: list[tuple[Edge, Photo]] = field(default_factory=list)
    seen: dict[str, dict[Edge, Seen]] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class _Past:
    """What was done to the boat, each by the place of its visit."""

    repairs: Sequence[Repair]
    order: Mapping[str, int]
    stripped: Mapping[str, frozenset[int]]
    """Zone -> visits at which it was taken down or treated as a whole."""
    painted: Mapping[str, frozenset[int]]


def changes(book: Book) -> list[Told]:
    """Return every pair of photographs that the records tell apart, place by place."""
    order = {visit.id: number for number, visit in enumerate(visits(book))}
    past = _Past(repairs(book), order, _stripped(book, order), _painted(book, order))
    found = [told for place in _places(book, order) for told in _told(place, past)]
    return [*found, *_anodes(book, order)]


def _told(place: _Place, past: _Past) -> list[Told]:
    found = []
    photos = sorted(place.photos, key=lambda one: one[0])
    for number, (at, earlier) in enumerate(photos):
        for then, later in photos[number + 1 :]:
            for kind, seen in place.seen.items():
                if at != then and at in seen and then in seen:
                    said = _changed(place, past, kind, (at, then), (seen[at], seen[then]))
                    if said:
                        found.append(Told(place.name, *said, earlier, later))
    return found


def _changed(
    place: _Place, past: _Past, kind: str, edges: tuple[Edge, Edge], two: tuple[Seen, Seen]
) -> tuple[str, str, float] | None:
    """Return what changed, in words and in how many deviations; None where nothing is told."""
    component, name, unit = LEADING[kind]
    before, now = two
    compared = change.two_visits(kind, component, before.value, now.value)
    looks = [change.Look(kind, one.conditions, one.zone_version) for one in two]
    zone = place.zone_id or ""
    if compared is None or not compared.beyond_error or change.why_not(*looks):
        return None
    if _between(past.stripped.get(zone, ()), edges):
        return None
    if kind == COVER and _between(past.painted.get(zone, ()), edges):
        return None
    mended = [past.order[one.visit_id] for one in
              repairs_of(past.repairs, kind, place.zone_id, place.spot_id)]  # fmt: skip
    repaired = _between(mended, edges)
    strength = abs(compared.difference) / compared.chance
    figures = f"{before.value:g} to {now.value:g} {unit}"
    # What is not there at all in one of two pictures may as well have been mended since.
    if compared.direction == "worse" and not repaired and before.value > 0:
        return f"{kind} worse", f"{name} {figures}", strength
    if repaired and now.value == 0 and findable(kind):
        return f"{kind} repaired", f"repaired, its trace stays; {name} {figures}", strength
    return None


def _between(done: Sequence[int] | frozenset[int] | tuple[()], edges: tuple[Edge, Edge]) -> bool:
    """Tell whether work at one of some visits came after the first edge and before the second."""
    (first, state), (last, other) = edges
    at_work = STATE_ORDER["during"]
    return any((first, state) < (one, at_work) <= (last, other) for one in done)


def _stripped(book: Book, order: Mapping[str, int]) -> dict[str, frozenset[int]]:
    found: dict[str, set[int]] = {}
    for model in (Removal, Treatment):
        for done in book.scalars(select(model).where(model.withdrawn.is_(False))):
            for zone in done.zone_ids:
                found.setdefault(zone, set()).add(order[done.visit_id])
    return {zone: frozenset(visits_) for zone, visits_ in found.items()}


def _painted(book: Book, order: Mapping[str, int]) -> dict[str, frozenset[int]]:
    zones = list(book.scalars(select(Zone.id)))
    found: dict[str, set[int]] = {zone: set() for zone in zones}
    query = (
        select(Coat)
        .join(Product, Product.id == Coat.product_id)
        .where(Product.role == "antifouling", Coat.withdrawn.is_(False))
    )
    for coat in book.scalars(query):
        for zone in zones if coat.whole_bottom else [one.zone_id for one in coat.zones]:
            found[zone].add(order[coat.visit_id])
    return {zone: frozenset(visits_) for zone, visits_ in found.items()}


def _places(book: Book, order: Mapping[str, int]) -> list[_Place]:
    """Return the spots, and the zones that were photographed for themselves, with figures."""
    spots = {one.id: one for one in book.scalars(select(Spot)) if not one.withdrawn}
    zones = {one.id: one.name for one in book.scalars(select(Zone))}
    found: dict[str, _Place] = {}
    query = select(Photo, PhotoPlace).join(PhotoPlace, PhotoPlace.photo_id == Photo.id)
    for photo, shown in book.execute(query):
        key = shown.spot_id or shown.zone_id
        if photo.state == "during" or photo.purged_reason or photo.withdrawn or key is None:
            continue
        spot = spots.get(key)
        name = f"spot {spot.number}" if spot else f"zone {zones.get(key)}"
        zone = spot.zone_id if spot else shown.zone_id
        place = found.setdefault(key, _Place(name, zone, spot.id if spot else None))
        place.photos.append(((order[photo.visit_id], STATE_ORDER[photo.state]), photo))
    for key, place in found.items():
        place.seen = _figures(book, order, place, zone_id=None if place.spot_id else key)
    return [found[key] for key in sorted(found, key=lambda key: found[key].name)]


def _figures(
    book: Book, order: Mapping[str, int], place: _Place, zone_id: str | None
) -> dict[str, dict[Edge, Seen]]:
    looks: list[SpotObservation] | list[Inspection]
    if zone_id is None:
        about = select(SpotObservation).where(SpotObservation.spot_id == place.spot_id)
        looks = list(book.scalars(about.where(SpotObservation.withdrawn.is_(False))))
    else:
        at = select(ZoneVersion.id).where(ZoneVersion.zone_id == zone_id)
        query = select(Inspection).where(Inspection.zone_version_id.in_(at))
        looks = list(book.scalars(query.where(Inspection.withdrawn.is_(False))))
    found: dict[str, dict[Edge, Seen]] = {}
    for look in looks:
        for rated in look.sets:
            component = LEADING.get(rated.kind, ("",))[0]
            value: Figure | None = figures_of(rated).get(component)
            # A zone's picture shows its paint; what else was rated of it lies elsewhere in it.
            shown = zone_id is None or rated.kind == COVER
            if shown and isinstance(value, float | int) and not rated.withdrawn:
                version = getattr(look, "zone_version_id", None)
                edge = (order[look.visit_id], STATE_ORDER[look.state])
                seen = Seen(float(value), rated.conditions, version)
                found.setdefault(rated.kind, {})[edge] = seen
    assert all(kinds.kind(kind) for kind in found)
    return found


def _anodes(book: Book, order: Mapping[str, int]) -> list[Told]:
    """Return the pairs that show one and the same piece, lighter by weight."""
    scales = select(Instrument.repeatability).where(Instrument.sort == "scale")
    chance = max((float(one.si) for one in book.scalars(scales) if one), default=0.005) * 2**0.5
    found = []
    for piece, position in book.execute(
        select(AnodePiece, AnodePosition.name)
        .join(AnodePosition, AnodePosition.id == AnodePiece.position_id)
        .where(AnodePiece.withdrawn.is_(False))
    ):
        seen = sorted(_of_piece(book, order, piece), key=lambda one: one[0])
        for number, (_, grams, earlier) in enumerate(seen):
            for _, left, later in seen[number + 1 :]:
                strength = (grams - left) / 1000 / chance
                if strength > change.PLAIN:
                    words = f"the same anode wore from {grams:.0f} to {left:.0f} g"
                    name = f"anode {position}"
                    found.append(Told(name, "anode lighter", words, strength, earlier, later))
    return found


def _of_piece(
    book: Book, order: Mapping[str, int], piece: AnodePiece
) -> list[tuple[Edge, float, Photo]]:
    """Return the photographs that show a piece whose mass was on the scale then."""
    grams: dict[Edge, float] = {}
    if piece.fitted_visit_id and piece.mass_new and piece.mass_new_from == "weighed":
        at = order[piece.fitted_visit_id], STATE_ORDER["left"]
        grams[at] = float(piece.mass_new.si) * 1000
    checks = select(AnodeCheck).where(AnodeCheck.piece_id == piece.id, AnodeCheck.way == "weighed")
    for check in book.scalars(checks):
        if check.mass and not check.withdrawn:
            grams[order[check.visit_id], STATE_ORDER[check.state]] = float(check.mass.si) * 1000
    query = (
        select(Photo)
        .join(PhotoPlace, PhotoPlace.photo_id == Photo.id)
        .where(PhotoPlace.anode_position_id == piece.position_id, Photo.purged_reason.is_(None))
    )
    photos = [
        ((order[one.visit_id], STATE_ORDER[one.state]), one)
        for one in book.scalars(query)
        if one.visit_id and not one.withdrawn
    ]
    return [(edge, grams[edge], photo) for edge, photo in photos if edge in grams]
