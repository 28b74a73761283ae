"""How much film wore off a zone, by readings with nothing put on between; never by assumption."""

from __future__ import annotations

import statistics
from dataclasses import dataclass
from typing import TYPE_CHECKING

from sqlalchemy import select
from sqlalchemy.orm import selectinload

from hulllog.insight.occasions import STATE_ORDER, Edge, up_to
from hulllog.insight.paint import coats_of, taken_off
from hulllog.records.model import Inspection, MeasurementSet, ZoneVersion
from hulllog.trade.working import Input, Source, Working

if TYPE_CHECKING:
    from hulllog.records.book import Book
    from hulllog.records.model import Visit
    from hulllog.records.values import PartialDate

FILM = "film-thickness"
_READ = Source("recorded")


@dataclass(frozen=True, slots=True)
class FilmWorn:
    """The film lost between two readings of a zone: an estimate, since spots differ.

    ``worn`` is below nought where the later reading is the thicker.
    """

    begins: PartialDate
    ends: PartialDate
    worn: Working


@dataclass(frozen=True, slots=True)
class _Film:
    place: tuple[int, int]
    visit: Visit
    when: PartialDate
    mean: float
    gauge: str


def film_worn(book: Book, zone_id: str, edge: Edge | None = None) -> FilmWorn | None:
    """Return the film lost between the last two readings that can be compared; None for none.

    They are with one sort of gauge, and between them nothing was put on the zone or taken off.
    """
    seen = list(up_to(book, edge))
    films = _films(book, zone_id, seen)
    if len(films) < 2:
        return None
    before, after = films[-2:]
    if before.gauge != after.gauge or _worked_between(book, zone_id, seen, before, after):
        return None
    worn = Working(
        name="film_worn",
        value=before.mean - after.mean,
        unit="um",
        formula="w = F₁ − F₂",
        inputs=(
            Input("F₁", before.mean, "um"),
            Input("F₂", after.mean, "um"),
            Input("T₁", before.when),
            Input("T₂", after.when),
        ),
        source=_READ,
        cautions=("spots_of_film_differ",),
    )
    return FilmWorn(before.when, after.when, worn)


def _films(book: Book, zone_id: str, seen: list[tuple[Visit, frozenset[str]]]) -> list[_Film]:
    """Return the mean film of each look at a zone, the oldest first."""
    order = {visit.id: (number, visit, states) for number, (visit, states) in enumerate(seen)}
    rows = book.scalars(
        select(MeasurementSet)
        .join(Inspection, Inspection.id == MeasurementSet.inspection_id)
        .join(ZoneVersion, ZoneVersion.id == Inspection.zone_version_id)
        .where(
            MeasurementSet.kind == FILM,
            MeasurementSet.withdrawn.is_(False),
            ZoneVersion.zone_id == zone_id,
        )
        .options(selectinload(MeasurementSet.readings))
    )
    found: list[_Film] = []
    for one in rows:
        number, visit, states = order.get(one.visit_id, (0, None, frozenset()))
        read = [r.value.in_unit("um") for r in one.readings if r.value and not r.withdrawn]
        if visit is None or one.state not in states or not read:
            continue
        when = one.observed or visit.begins
        if when is not None:
            place = number, STATE_ORDER[one.state]
            gauge = str(one.conditions.get("gauge", ""))
            found.append(_Film(place, visit, when, statistics.fmean(read), gauge))
    return sorted(found, key=lambda one: one.place)


def _worked_between(
    book: Book,
    zone_id: str,
    seen: list[tuple[Visit, frozenset[str]]],
    before: _Film,
    after: _Film,
) -> bool:
    """Tell whether paint went on or came off between two looks; that was during a haul-out."""
    for number, (visit, _) in enumerate(seen):
        if not before.place < (number, STATE_ORDER["during"]) < after.place:
            continue
        if any(coat.whole_bottom or zone_id in coat.zone_ids for coat in coats_of(book, visit)):
            return True
        if any(not zones or zone_id in zones for _, zones in taken_off(book, visit)):
            return True
    return False
