"""What the page *Paint* shows, read in one go."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from hulllog.insight.condition import zone_versions
from hulllog.insight.ownviews import OwnSeen, own_views
from hulllog.insight.paint import BuildUp, build_ups
from hulllog.insight.paintwork import PaintWork, paint_works
from hulllog.insight.seasons import PaintSeen, Season, by_paint, seasons
from hulllog.insight.shades import below_water
from hulllog.insight.shape import form_of

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from hulllog.hull.form import HullForm
    from hulllog.insight.occasions import Edge
    from hulllog.records.book import Book
    from hulllog.records.model import Zone, ZoneVersion


@dataclass(frozen=True, slots=True)
class Shown:
    """Form and zones, the section of each zone by its key, seasons, paints, and work on them."""

    form: HullForm | None
    zones: Sequence[tuple[Zone, ZoneVersion]]
    sections: Mapping[str, BuildUp]
    seasons: tuple[Season, ...]
    paints: tuple[PaintSeen, ...]
    works: tuple[PaintWork, ...]
    then: Mapping[str, BuildUp] | None = None
    """The sections at the edge that is compared with; None where none is."""
    own: tuple[OwnSeen, ...] = ()

    def own_view(self, key: str) -> OwnSeen | None:
        """Return the own view of a key such as ``own:…``."""
        return next((view for view in self.own if view.key == key), None)

    def zone(self, key: str) -> Zone | None:
        """Return a zone by its key or by its code."""
        return next((zone for zone, _ in self.zones if key in (zone.id, zone.code)), None)

    @property
    def first(self) -> str:
        """The zone that is shown first: of the bottom, one of which most is known."""
        below = [zone for zone, _ in self.zones if below_water(zone.code)]
        best = max(below, key=self._known, default=None)
        return best.id if best else ""

    def _known(self, zone: Zone) -> tuple[bool, bool, int]:
        section = self.sections[zone.id]
        return section.down_to is not None, zone.code.startswith("bottom"), len(section.layers)


NOTHING = Shown(None, (), {}, (), (), ())


def read_paint(book: Book, edge: Edge | None, compared: Edge | None = None) -> Shown:
    """Read what the page shows from an edge, None the far end, and sections at another."""
    worn = seasons(book, edge)
    return Shown(
        form_of(book, edge),
        zone_versions(book, edge),
        _sections(book, edge),
        tuple(worn),
        tuple(by_paint(worn)),
        tuple(paint_works(book, edge)),
        _sections(book, compared) if compared is not None else None,
        tuple(own_views(book, edge)),
    )


def _sections(book: Book, edge: Edge | None) -> dict[str, BuildUp]:
    return {zone.id: section for zone, section in build_ups(book, edge)}
