"""What the instruments said, and which fittings the record covers."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from sqlalchemy import select

from hulllog.insight.occasions import OUT_OF_WATER, visits
from hulllog.insight.redrawn import zone_of
from hulllog.insight.walking import days_ashore
from hulllog.records.model import (
    Gear,
    GearCheck,
    Inspection,
    Instrument,
    MeasurementSet,
    MeasuringPoint,
    Spot,
    SpotObservation,
    Zone,
    ZoneVersion,
)
from hulllog.trade import kinds

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hulllog.insight.gear import GearStory
    from hulllog.records.book import Book
    from hulllog.records.model import Visit
    from hulllog.records.values import Measured, PartialDate

METERED = frozenset(
    {
        "film-thickness", "moisture", "timber-moisture", "plate-thickness", "pit-depth",
        "hull-potential", "play", "pull-off",
    }
)  # fmt: skip
DRYING = frozenset({"moisture", "timber-moisture"})
"""Kinds that tell how far a hull has dried, and so want the days ashore."""
SKIN = frozenset({"seacock", "skin_fitting", "transducer"})
STERN = frozenset(
    {"shaft", "bearing", "shaft_seal", "propeller", "bracket", "saildrive", "rudder_bearing"}
)


@dataclass(frozen=True, slots=True)
class Metered:
    """Readings of one act of measuring: when, where, by what and under which conditions.

    ``figures`` are (component, values, unit); ``subject`` is zone, spot or gear.
    """

    when: PartialDate | None
    subject: str
    name: str
    kind: str
    figures: tuple[tuple[str, tuple[Measured, ...], str | None], ...]
    conditions: Mapping[str, object]
    instrument: str | None
    serial: str | None
    gear_check_id: str | None = None
    point: int | None = None
    """The number of the measuring point; ``name`` is then its zone, as it is drawn today."""
    original: Measured | None = None
    original_source: str | None = None

    @property
    def meter_known(self) -> bool:
        """Tell whether it is on record with what it was measured."""
        return self.instrument is not None or any(
            self.conditions.get(name) for name in ("meter", "gauge", "method", "tester")
        )


def metered(book: Book) -> list[Metered]:
    """Return what was measured by instruments, the oldest first."""
    begun = {visit.id: visit for visit in visits(book)}
    query = select(MeasurementSet).where(
        MeasurementSet.withdrawn.is_(False), MeasurementSet.kind.in_(METERED)
    )
    rows = [(one, begun[one.visit_id]) for one in book.scalars(query) if one.visit_id in begun]
    order = {key: n for n, key in enumerate(begun)}
    rows.sort(key=lambda row: (order[row[1].id], row[0].entered_at))
    found = [_metered(book, one, visit) for one, visit in rows]
    found = _at_points(book, [one for one, _ in rows], found)
    return [one for one in found if one.figures]


def _metered(book: Book, one: MeasurementSet, visit: Visit) -> Metered:
    subject, name = measured_what(book, one)
    tool = book.get(Instrument, one.instrument_id) if one.instrument_id else None
    kind = kinds.kind(one.kind)
    units = {part.code: part.unit for part in kind.components} if kind else {}
    values: dict[str, list[Measured]] = {}
    for reading in sorted(one.readings, key=lambda reading: reading.number):
        if not reading.withdrawn and reading.value is not None:
            values.setdefault(reading.component, []).append(reading.value)
    return Metered(
        one.observed or visit.begins,
        subject,
        name,
        one.kind,
        tuple((code, tuple(read), units.get(code)) for code, read in values.items()),
        _conditions(one, visit),
        tool.name if tool else None,
        tool.serial if tool else None,
        one.gear_check_id,
    )


def _at_points(
    book: Book, sets: Sequence[MeasurementSet], found: Sequence[Metered]
) -> list[Metered]:
    """Say of what was read at measuring points where they are and what stood there at first."""
    points = {point.id: point for point in book.scalars(select(MeasuringPoint))}
    if not points:
        return list(found)
    zone_now, zones = zone_of(book, None), {one.id: one.name for one in book.scalars(select(Zone))}
    told = []
    for rated, one in zip(sets, found, strict=True):
        point = points.get(rated.measuring_point_id or "")
        if point is None:
            told.append(one)
            continue
        laid = point.place.how.get("zone") if point.place else None
        zone = zone_now(str(laid) if laid else None, point.place)
        told.append(
            replace(
                one,
                subject="point",
                name=zones.get(zone or "", ""),
                point=point.number,
                original=point.original,
                original_source=point.original_source,
            )
        )
    return told


def _conditions(one: MeasurementSet, visit: Visit) -> Mapping[str, object]:
    """Return the conditions on record, with the days ashore where both days are known."""
    known = {
        key: int(value) if isinstance(value, float) and value.is_integer() else value
        for key, value in one.conditions.items()
        if value not in (None, "")
    }
    seen = one.observed
    if one.kind not in DRYING or "days_ashore" in known or seen is None:
        return known
    if visit.kind not in OUT_OF_WATER or seen.precision not in ("day", "time"):
        return known
    days = days_ashore(visit, seen.earliest)
    return known if days is None else {**known, "days_ashore": days}


def measured_what(book: Book, one: MeasurementSet) -> tuple[str, str]:
    """Return what was measured: its sort and its name."""
    if one.gear_check_id:
        check = book.get(GearCheck, one.gear_check_id)
        gear = book.get(Gear, check.gear_id) if check else None
        return "gear", gear.name if gear else ""
    if one.spot_observation_id:
        look = book.get(SpotObservation, one.spot_observation_id)
        spot = book.get(Spot, look.spot_id) if look else None
        return "spot", spot.label if spot else ""
    seen = book.get(Inspection, one.inspection_id) if one.inspection_id else None
    version = book.get(ZoneVersion, seen.zone_version_id) if seen else None
    zone = book.get(Zone, version.zone_id) if version else None
    return "zone", zone.name if zone else ""


@dataclass(frozen=True, slots=True)
class Covered:
    """Fittings of one group: their names, how many were looked at, and when last.

    ``unlooked`` are those that nobody looked at since they were fitted.  ``earlier`` are those that
    the last visit of the group left out, with the day of their own last look.
    """

    group: str
    names: tuple[str, ...]
    looked: int
    when: PartialDate | None
    unlooked: tuple[str, ...]
    earlier: tuple[tuple[str, PartialDate], ...] = ()


def covered(found: Sequence[GearStory]) -> list[Covered]:
    """Return what the record covers beside the zones: skin fittings, stern gear, the rest."""
    groups: dict[str, list[GearStory]] = {"skin": [], "stern": [], "other": []}
    for story in found:
        sort = story.sort
        groups["skin" if sort in SKIN else "stern" if sort in STERN else "other"].append(story)
    return [
        Covered(
            group,
            tuple(story.name for story in of_it),
            sum(story.last is not None for story in of_it),
            max((story.last.when for story in of_it if story.last), default=None),
            tuple(story.name for story in of_it if story.last is None),
            _earlier(of_it),
        )
        for group, of_it in groups.items()
    ]


def _earlier(stories: Sequence[GearStory]) -> tuple[tuple[str, PartialDate], ...]:
    """Return the fittings whose last look was at an earlier visit than that of others."""
    seen = [(story.name, story.last) for story in stories if story.last]
    if not seen:
        return ()
    newest = max((look for _, look in seen), key=lambda look: look.when)
    left_out = [
        (name, look.when)
        for name, look in seen
        if look.visit_id != newest.visit_id and look.when < newest.when
    ]
    return tuple(sorted(left_out, key=lambda pair: pair[1]))
