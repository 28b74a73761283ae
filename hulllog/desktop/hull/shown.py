"""What the page *Hull* reads for one edge, one kind and perhaps an edge to compare with."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from hulllog.insight import walking
from hulllog.insight.comparing import ZoneChange, compare, in_order
from hulllog.insight.condition import ZoneState, hull_state, zone_versions
from hulllog.insight.matters import Matter, matters
from hulllog.insight.ownviews import OwnSeen, own_views
from hulllog.insight.placed import PhotoSeen, SpotSeen, photos_at, spots_at
from hulllog.insight.seeing import HowSeen, how_seen, kinds_offered, worth_showing
from hulllog.insight.shape import form_of
from hulllog.records.model import Visit

if TYPE_CHECKING:
    from hulllog.hull.form import HullForm
    from hulllog.insight.occasions import Edge
    from hulllog.records.book import Book


@dataclass(frozen=True, slots=True)
class Compared:
    """The earlier of two edges, its zones, and what changed since."""

    first: Edge
    second: Edge
    zones: tuple[ZoneState, ...]
    changes: tuple[ZoneChange, ...]


@dataclass(frozen=True, slots=True)
class Shown:
    """Everything that is drawn and said of the hull at one edge."""

    edge: Edge | None
    form: HullForm | None
    kinds: tuple[str, ...]
    usual: frozenset[str]
    """Those of the kinds that are usual for her material; the others are asked for apart."""
    kind: str
    zones: tuple[ZoneState, ...]
    how: HowSeen | None
    spots: tuple[SpotSeen, ...]
    photos: tuple[PhotoSeen, ...]
    matters: tuple[Matter, ...]
    compared: Compared | None
    closed: bool
    own: tuple[OwnSeen, ...] = ()

    def own_view(self, key: str) -> OwnSeen | None:
        """Return the own view of a key such as ``own:…``."""
        return next((view for view in self.own if view.key == key), None)

    def zone(self, key: str) -> ZoneState | None:
        """Return the zone of a key such as ``zone:bottom-aft-port``."""
        return next((zone for zone in self.zones if f"zone:{zone.code}" == key), None)

    def spot(self, key: str) -> SpotSeen | None:
        """Return the spot of a key such as ``spot:4``."""
        return next((spot for spot in self.spots if f"spot:{spot.number}" == key), None)

    def change(self, zone_id: str) -> ZoneChange | None:
        """Return what changed in a zone between the two edges."""
        changes = self.compared.changes if self.compared else ()
        return next((change for change in changes if change.now.zone_id == zone_id), None)

    def before(self, zone_id: str) -> ZoneState | None:
        """Return a zone as it was at the earlier of the two edges."""
        zones = self.compared.zones if self.compared else ()
        return next((zone for zone in zones if zone.zone_id == zone_id), None)


def read_hull(book: Book, edge: Edge | None, other: Edge | None, kind: str) -> Shown:
    """Read the hull; a ``kind`` that is not offered there gives way to one that is.

    While there is no visit, every zone is there and not looked at.  Comparing, the later of the
    two edges is the one that is shown.
    """
    if edge is not None and other is not None:
        _, edge = in_order(book, edge, other)
    boat = walking.boat_of(book)
    kinds = tuple(kinds_offered(book, edge)) or walking.offered(*boat)
    more = (*walking.offered(*boat), *walking.metered(*boat)) if edge else ()
    if kind not in (*kinds, *more):
        kind = worth_showing(kinds) or ""
    kinds = tuple(dict.fromkeys((*kinds, *more)))
    zones = tuple(hull_state(book, edge, kind)) if edge else _untouched(book)
    visit = book.get(Visit, edge.visit_id) if edge else None
    return Shown(
        edge,
        form_of(book, edge),
        kinds,
        walking.usual(*boat),
        kind,
        zones,
        how_seen(book, edge, kind, zones) if edge else None,
        tuple(spots_at(book, edge)),
        tuple(photo for photo in photos_at(book, edge) if photo.purged is None),
        tuple(matters(book, edge)),
        None,
        visit is not None and visit.closed_at is not None,
        tuple(own_views(book, edge)),
    )


def read_compared(book: Book, edge: Edge, other: Edge, kind: str) -> Compared:
    """Read what two edges say of every zone."""
    first, second = in_order(book, edge, other)
    return Compared(
        first,
        second,
        tuple(hull_state(book, first, kind)),
        tuple(compare(book, first, second, kind)),
    )


def _untouched(book: Book) -> tuple[ZoneState, ...]:
    return tuple(
        ZoneState(zone.id, version.id, zone.code, zone.name, "not_looked", outline=version.outline)
        for zone, version in zone_versions(book, None)
    )
