"""Own views: the owner's drawings and photographs as views, what is drawn on them, their areas."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from sqlalchemy import select

from hulllog.hull import handdrawn
from hulllog.insight.condition import zone_versions
from hulllog.insight.once import once_a_reading
from hulllog.records.model import OwnOutline, OwnView, ZoneVersion
from hulllog.records.operations import queries
from hulllog.records.operations.ownviews import FACTORS
from hulllog.trade.drawnareas import drawn_area
from hulllog.trade.refusal import Refusal

if TYPE_CHECKING:
    from collections.abc import Iterable

    from hulllog.insight.occasions import Edge
    from hulllog.records.book import Book
    from hulllog.records.values import Measured
    from hulllog.trade.working import Working

Corners = tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True)
class OwnShape:
    """A zone as it is drawn on an own view, its corners in shares of width and height."""

    outline_id: str
    zone_id: str
    code: str
    name: str
    points: Corners


@dataclass(frozen=True, slots=True)
class OwnSeen:
    """An own view with the zones on it, in walking order; ``key`` is its name among the views."""

    view_id: str
    name: str
    shows: str
    sha256: str
    media_type: str
    width: int
    height: int
    file_name: str
    marks: Corners
    length: Measured | None
    factor: str
    shapes: tuple[OwnShape, ...]

    @property
    def key(self) -> str:
        """The name of the view, and of the part of places on it."""
        return handdrawn.PART + self.view_id

    @property
    def pixels_apart(self) -> float:
        """How far apart the marks of the scale are in the picture; 0 without a scale."""
        if len(self.marks) != 2:
            return 0.0
        return math.dist(*handdrawn.in_pixels(self.marks, self.width, self.height))

    @property
    def breadth(self) -> float | None:
        """How many metres the picture is wide; None without a scale."""
        if self.length is None or not self.pixels_apart:
            return None
        return self.width * self.length.si / self.pixels_apart

    def zone_at(self, u: float, v: float) -> OwnShape | None:
        """Return the zone that a place of the picture lies in; of several the one drawn last."""
        inside = [one for one in self.shapes if handdrawn.holds(one.points, u, v)]
        return inside[-1] if inside else None


@dataclass(frozen=True, slots=True)
class OwnZone:
    """A zone that no form shows, with its number in walking order and its area as drawn."""

    zone_id: str
    code: str
    number: int
    name: str
    area: Working | None


@once_a_reading
def own_views(book: Book, edge: Edge | None = None) -> list[OwnSeen]:
    """Return the own views in the order of entry, with the zones that held at the edge."""
    setting = queries.setting(book, FACTORS) or {}
    shapes = _shapes(book, edge)
    return [
        OwnSeen(
            view.id,
            view.name,
            view.shows,
            view.sha256,
            view.media_type,
            view.width,
            view.height,
            view.file_name,
            _corners(view.scale_marks),
            view.scale_length,
            str(setting.get(view.id, "")),
            tuple(shapes.get(view.id, ())),
        )
        for view in queries.kept(book, OwnView)
    ]


def _corners(stored: Iterable[Iterable[float]]) -> Corners:
    return tuple((float(u), float(v)) for u, v in stored)


def _shapes(book: Book, edge: Edge | None) -> dict[str, list[OwnShape]]:
    """Return by view what is drawn on it: of a zone the newest outline, in walking order."""
    query = (
        select(OwnOutline, ZoneVersion.zone_id)
        .join(ZoneVersion, ZoneVersion.id == OwnOutline.zone_version_id)
        .where(OwnOutline.withdrawn.is_(False))
        .order_by(ZoneVersion.number, OwnOutline.entered_at, OwnOutline.id)
    )
    drawn: dict[tuple[str, str], OwnOutline] = {
        (zone_id, outline.own_view_id): outline for outline, zone_id in book.execute(query)
    }
    found: dict[str, list[OwnShape]] = {}
    for zone, _ in zone_versions(book, edge):
        for (zone_id, view_id), outline in drawn.items():
            if zone_id == zone.id:
                shape = OwnShape(
                    outline.id, zone.id, zone.code, zone.name, _corners(outline.points)
                )
                found.setdefault(view_id, []).append(shape)
    return found


def own_area(view: OwnSeen, shape: OwnShape) -> Working | None:
    """Return the area of a zone as drawn on a view; None where the view has no scale."""
    if view.length is None or not view.pixels_apart:
        return None
    pixels = handdrawn.in_pixels(shape.points, view.width, view.height)
    try:
        return drawn_area(pixels, view.pixels_apart, view.length.si, float(view.factor or 1))
    except Refusal:
        return None


def own_areas(book: Book, edge: Edge | None = None) -> dict[str, Working]:
    """Return the areas of the zones that only own views show, by their keys.

    Of a zone that several views show, the largest: elsewhere it is seen at a slant.  Our own rule.
    """
    found: dict[str, Working] = {}
    for view in own_views(book, edge):
        for shape in view.shapes:
            area = own_area(view, shape) if handdrawn.is_own(shape.code) else None
            if area and (shape.zone_id not in found or area.value > found[shape.zone_id].value):
                found[shape.zone_id] = area
    return found


def own_zones(book: Book, edge: Edge | None = None) -> list[OwnZone]:
    """Return the zones that no form shows, in walking order."""
    areas = own_areas(book, edge)
    return [
        OwnZone(zone.id, zone.code, number, zone.name, areas.get(zone.id))
        for number, (zone, _) in enumerate(zone_versions(book, edge), 1)
        if handdrawn.is_own(zone.code)
    ]
