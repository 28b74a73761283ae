"""Antifouling season by season: litres against what was needed, and the fouling it came up with."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta
from typing import TYPE_CHECKING

from sqlalchemy import select
from sqlalchemy.orm import selectinload

from hulllog.insight.condition import figures_of
from hulllog.insight.occasions import Edge, Immersion, afloat
from hulllog.insight.once import once_a_reading
from hulllog.insight.paint import (
    Areas,
    CoatSeen,
    Thread,
    areas_of,
    coats_of,
    threads,
    tool_of,
)
from hulllog.insight.shades import grades, worse
from hulllog.records.model import MeasurementSet, Visit
from hulllog.trade import films
from hulllog.trade.coatclasses import CLASSES
from hulllog.trade.refusal import Refusal
from hulllog.trade.working import Input, Source, Working

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from hulllog.records.book import Book
    from hulllog.records.values import Measured

FOULING, LEVEL = "level-of-fouling", "level"


@dataclass(frozen=True, slots=True)
class Fouling:
    """The worst level of fouling before the wash at the lift that ended a season.

    ``zones`` is how many zones were rated then.
    """

    level: str
    zones: int


@dataclass(frozen=True, slots=True)
class Season:
    """One season of antifouling.

    ``coats`` went on at its beginning: none where the paint was worn before.  ``needed`` are the
    litres that those coats take by the product's own sheet, or typical of its class; ``film`` is
    the mean film that the litres used left.  ``why_not`` says as a code why a sum is missing.
    """

    thread: Thread
    coats: tuple[CoatSeen, ...]
    area: Working | None
    needed: Working | None
    film: Working | None
    why_not: str
    fouling: Fouling | None
    immersed: Immersion | None
    cover: Measured | None = None
    """The least cover left that was read on a zone at the lift that ended it."""
    idle: Working | None = None
    """The days of it that she was not under water."""


@once_a_reading
def seasons(book: Book, edge: Edge | None = None) -> list[Season]:
    """Return the seasons up to the edge, oldest first."""
    areas, wet = areas_of(book, edge), afloat(book)
    worn = threads(book, edge)
    lifts = [one.next_visit_id for one in worn if one.next_visit_id]
    fouled, covers = _fouling(book, lifts), _covers(book, lifts)
    found = []
    for thread in worn:
        coats = _coats(book, thread)
        area, why_no_area = _area(coats, areas)
        immersed = wet.immersed(thread.begins, thread.ends) if thread.ends else None
        needed, why_not = _needed(coats, area, why_no_area)
        found.append(
            Season(
                thread,
                tuple(coats),
                area,
                needed,
                _film(coats, area),
                why_not,
                fouled.get(thread.next_visit_id or ""),
                immersed,
                covers.get(thread.next_visit_id or ""),
                _idle(thread, immersed),
            )
        )
    return found


def _coats(book: Book, thread: Thread) -> list[CoatSeen]:
    visit = book.get(Visit, thread.visit_id)
    if visit is None or thread.again:
        return []
    return [coat for coat in coats_of(book, visit) if coat.role == "antifouling"]


def _area(coats: Sequence[CoatSeen], areas: Areas) -> tuple[Working | None, str]:
    """Return the area that every coat of a season covered, or why there is none."""
    covered = {areas.of(coat) for coat in coats}
    if len(covered) > 1:
        return None, "areas_differ"
    area = covered.pop() if covered else None
    return area, "" if area is not None else "area_not_known"


def _needed(
    coats: Sequence[CoatSeen], area: Working | None, why_no_area: str
) -> tuple[Working | None, str]:
    """Return the litres that the coats take by the film of their sheet or class, or why not."""
    if not coats:
        return None, "no_coats"
    if area is None:
        return None, why_no_area
    if len({coat.product_id for coat in coats}) > 1:
        return None, "several_products"
    top = coats[-1]
    known = CLASSES.get(top.coating_class)
    own = top.volume_solids is not None and top.film_um is not None
    film = top.film_um or (known.film_um if known else None)
    solids = top.volume_solids or (known.solids if known else None)
    if film is None or solids is None:
        return None, "class_not_known"
    number = float(max(len(coats), top.number))
    try:
        return films.litres(area.value, film, number, solids, tool_of(coats), typical=not own), ""
    except Refusal:
        return None, "out_of_range"


def _film(coats: Sequence[CoatSeen], area: Working | None) -> Working | None:
    """Return the mean dry film of a season's litres, all coats together."""
    litres = [coat.litres for coat in coats if coat.litres is not None]
    if not litres or area is None or len(litres) < len(coats):
        return None
    top = coats[-1]
    if len({coat.product_id for coat in coats}) > 1:
        return None
    known = CLASSES.get(top.coating_class)
    solids = top.volume_solids or (known.solids if known else None)
    if solids is None:
        return None
    typical = top.volume_solids is None
    try:
        return films.mean_film(sum(litres), solids, area.value, tool_of(coats), typical=typical)
    except Refusal:
        return None


def _fouling(book: Book, visit_ids: Sequence[str]) -> dict[str, Fouling]:
    """Return visit key -> the worst level seen there on a zone before the wash."""
    rated = (
        select(MeasurementSet)
        .where(
            MeasurementSet.kind == FOULING,
            MeasurementSet.visit_id.in_(visit_ids),
            MeasurementSet.state == "found",
            MeasurementSet.inspection_id.is_not(None),
            MeasurementSet.withdrawn.is_(False),
        )
        .options(selectinload(MeasurementSet.ratings), selectinload(MeasurementSet.readings))
    )
    found: dict[str, Fouling] = {}
    for one in book.scalars(rated):
        level = figures_of(one).get(LEVEL)
        if not isinstance(level, str) or one.conditions.get("washed") == "washed":
            continue
        held = found.get(one.visit_id)
        found[one.visit_id] = (
            Fouling(worse(FOULING, LEVEL, held.level, level), held.zones + 1)
            if held
            else Fouling(level, 1)
        )
    return found


COVER = "antifouling-cover"


def _covers(book: Book, visit_ids: Sequence[str]) -> dict[str, Measured]:
    """Return visit key -> the least share of antifouling that was still seen there as found."""
    rated = (
        select(MeasurementSet)
        .where(
            MeasurementSet.kind == COVER,
            MeasurementSet.visit_id.in_(visit_ids),
            MeasurementSet.state == "found",
            MeasurementSet.withdrawn.is_(False),
        )
        .options(selectinload(MeasurementSet.readings))
    )
    found: dict[str, Measured] = {}
    for one in book.scalars(rated):
        for reading in one.readings:
            if reading.value is None or reading.withdrawn:
                continue
            held = found.get(one.visit_id)
            if held is None or reading.value.si < held.si:
                found[one.visit_id] = reading.value
    return found


def _idle(thread: Thread, immersed: Immersion | None) -> Working | None:
    if thread.ends is None or immersed is None:
        return None
    days = (thread.ends.middle - thread.begins.middle) / timedelta(days=1)
    return Working(
        name="days_idle",
        value=max(days - immersed.days, 0.0),
        unit="d",
        formula="n = T₂ − T₁ − t",
        inputs=(
            Input("T₁", thread.begins),
            Input("T₂", thread.ends),
            Input("t", immersed.days, "d"),
        ),
        source=Source("recorded"),
        cautions=immersed.working.cautions,
    )


FEW_LOOKS = 5
"""Looks of each of two paints below which nothing is said of which did better.  Our own rule."""


@dataclass(frozen=True, slots=True)
class PaintSeen:
    """What a paint came up with over the seasons in which she wore it.

    ``levels`` are (worst level of fouling, number of seasons), in the order of the scale;
    ``seasons`` counts all of them, also those at whose end nobody rated fouling.
    """

    product_id: str
    product: str
    coating_class: str
    colour_hex: str | None
    seasons: int
    levels: tuple[tuple[str, int], ...]
    ended: tuple[Season, ...] = ()
    """The seasons that a lift ended, the newest first."""

    @property
    def few(self) -> bool:
        """Tell whether it was rated too seldom for an order among paints."""
        return self.rated < FEW_LOOKS

    @property
    def rated(self) -> int:
        """The number of seasons at whose end fouling was rated."""
        return sum(count for _, count in self.levels)


def by_paint(found: Iterable[Season]) -> list[PaintSeen]:
    """Return for each paint what fouling it came up with, the paint worn last first."""
    worn: dict[str, list[Season]] = {}
    for season in found:
        held = worn.pop(season.thread.product_id, [])
        worn[season.thread.product_id] = [*held, season]
    return [_paint(kept) for kept in reversed(worn.values())]


def _paint(kept: Sequence[Season]) -> PaintSeen:
    last = kept[-1].thread
    counts: dict[str, int] = {}
    for season in kept:
        if season.fouling is not None:
            level = season.fouling.level
            counts[level] = counts.get(level, 0) + 1
    return PaintSeen(
        last.product_id,
        last.product,
        last.coating_class,
        last.colour_hex,
        len(kept),
        tuple((level, counts[level]) for level in grades(FOULING, LEVEL) if level in counts),
        tuple(season for season in reversed(kept) if season.thread.ends is not None),
    )
