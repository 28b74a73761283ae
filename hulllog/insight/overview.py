"""What the record covers: kinds rated, zones not seen, the visits told in a line, key dates."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from typing import TYPE_CHECKING

from sqlalchemy import func, select
from sqlalchemy.orm import selectinload

from hulllog.insight.bearing import bore
from hulllog.insight.condition import zone_versions
from hulllog.insight.lags import entry_lag
from hulllog.insight.occasions import OUT_OF_WATER, STATE_ORDER, Edge, up_to
from hulllog.insight.once import once_a_reading
from hulllog.insight.paint import coats_of, used_litres
from hulllog.insight.shades import FOULING
from hulllog.insight.shape import form_of
from hulllog.records.model import (
    AnodeCheck,
    CostLine,
    GearCheck,
    Inspection,
    MeasurementSet,
    Photo,
    Treatment,
    Visit,
    Work,
    Zone,
    ZoneVersion,
)

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import datetime

    from hulllog.records.book import Book
    from hulllog.records.values import PartialDate
    from hulllog.trade.working import Working


def kinds_on_record(book: Book, edge: Edge | None = None) -> list[str]:
    """Return the kinds that were rated on zones: the hull's before fouling, the most used first."""
    seen = {visit.id for visit, _ in up_to(book, edge)}
    counts: Counter[str] = Counter()
    for kind, visit_id in book.execute(
        select(MeasurementSet.kind, MeasurementSet.visit_id).where(
            MeasurementSet.withdrawn.is_(False), MeasurementSet.inspection_id.is_not(None)
        )
    ):
        if visit_id in seen:
            counts[kind] += 1
    return sorted(counts, key=lambda kind: (kind in FOULING, -counts[kind], kind))


def kinds_looked_for(book: Book, visit_id: str) -> list[str]:
    """Return the kinds that any zone was looked at for at a visit, found or not."""
    query = select(Inspection.looked_for).where(
        Inspection.visit_id == visit_id,
        Inspection.withdrawn.is_(False),
        Inspection.coverage.in_(("whole", "part")),
    )
    looks = book.scalars(query.order_by(Inspection.entered_at))
    return list(dict.fromkeys(kind for look in looks for kind in look))


@dataclass(frozen=True, slots=True)
class HowSeen:
    """How a zone was seen in a visit, by all of its looks: the widest coverage, every method."""

    coverage: str
    share: float | None
    methods: tuple[str, ...]


def how_seen(book: Book, visit_id: str) -> dict[str, HowSeen]:
    """Return by zone how it was seen at a visit; none for a zone that nobody saw."""
    query = (
        select(Inspection, ZoneVersion.zone_id)
        .join(ZoneVersion, ZoneVersion.id == Inspection.zone_version_id)
        .where(
            Inspection.visit_id == visit_id,
            Inspection.withdrawn.is_(False),
            Inspection.coverage.in_(("whole", "part")),
        )
        .order_by(Inspection.entered_at)
    )
    visit = book.get(Visit, visit_id)
    given = visit.methods if visit else ()
    looks: dict[str, list[Inspection]] = {}
    for look, zone_id in book.execute(query):
        looks.setdefault(zone_id, []).append(look)
    return {zone_id: _seen_by(found, given) for zone_id, found in looks.items()}


def _seen_by(looks: Sequence[Inspection], given: Sequence[str]) -> HowSeen:
    ordered = sorted(looks, key=lambda look: STATE_ORDER[look.state])
    methods = dict.fromkeys(one for look in ordered for one in look.methods or given)
    whole = any(look.coverage == "whole" for look in looks)
    shares = [look.share for look in looks if look.share is not None]
    share = None if whole else max(shares, default=None)
    return HowSeen("whole" if whole else "part", share, tuple(methods))


@dataclass(frozen=True, slots=True)
class Unseen:
    """A zone that the last two or more chances to look did not show.

    ``since`` is the last visit at which it was seen; None when it never was.
    ``chances`` counts the visits out of the water since then.  ``reasons`` are what hid it.
    """

    zone_id: str
    code: str
    name: str
    since: PartialDate | None
    chances: int
    reasons: tuple[str, ...]
    noted: int = 0
    """How many of the chances are visits from notes that tell of no look at any zone: nobody wrote
    down what was looked at then."""


@once_a_reading
def unseen(book: Book, edge: Edge | None = None, *, running: int = 2) -> list[Unseen]:
    """Return the zones not seen at the last ``running`` visits out of the water or more.

    A haul-out that still goes on is no chance missed yet.
    """
    looks = coverage_of_looks(book)
    looked = {visit_id for visit_id, _ in looks}
    chances = [visit for visit, _ in up_to(book, edge) if visit.kind in OUT_OF_WATER]
    found = []
    for zone, _ in zone_versions(book, edge):
        missed: list[Visit] = []
        since: PartialDate | None = None
        reasons: list[str] = []
        for visit in reversed(chances):
            coverage, hidden = looks.get((visit.id, zone.id), ("not_looked", None))
            if coverage in ("whole", "part"):
                since = visit.begins
                break
            if coverage == "not_looked" and visit.closed_at is None and visit.ends is None:
                continue
            missed.append(visit)
            if hidden and hidden not in reasons:
                reasons.append(hidden)
        if len(missed) >= running:
            noted = [one for one in missed if one.basis != "at_the_time" and one.id not in looked]
            found.append(
                Unseen(
                    zone.id, zone.code, zone.name, since, len(missed), tuple(reasons), len(noted)
                )
            )
    return found


@dataclass(frozen=True, slots=True)
class GrowthAlone:
    """Zones seen lately, but for growth alone; ``every`` where that is all zones that were seen."""

    names: tuple[str, ...]
    every: bool
    once: tuple[str, ...] = ()
    """Zones not seen at the one time out of the water that is on record; none where there are
    more."""
    single: bool = False
    """Whether one time out of the water, and no more, is on record."""


def growth_alone(book: Book, edge: Edge | None = None, *, running: int = 2) -> GrowthAlone:
    """Return the zones seen at the last ``running`` visits out of the water for growth alone."""
    chances = [visit.id for visit, _ in up_to(book, edge) if visit.kind in OUT_OF_WATER][-running:]
    kinds = _kinds_looked_for(book, chances)
    alone_once = len(chances) == 1
    missed = tuple(
        zone.name for zone, _ in zone_versions(book, edge) if alone_once and zone.id not in kinds
    )
    seen = [(zone, kinds[zone.id]) for zone, _ in zone_versions(book, edge) if zone.id in kinds]
    alone = tuple(zone.name for zone, looked in seen if looked <= FOULING)
    return GrowthAlone(alone, len(alone) == len(seen), missed, alone_once)


def _kinds_looked_for(book: Book, visit_ids: Sequence[str]) -> dict[str, set[str]]:
    """Return zone -> what it was looked at for at some visits; "" for a look at nothing named."""
    found: dict[str, set[str]] = {}
    query = (
        select(Inspection, ZoneVersion.zone_id)
        .join(ZoneVersion, ZoneVersion.id == Inspection.zone_version_id)
        .where(
            Inspection.withdrawn.is_(False),
            Inspection.visit_id.in_(visit_ids),
            Inspection.coverage.in_(("whole", "part")),
        )
        .options(selectinload(Inspection.sets))
    )
    for look, zone_id in book.execute(query):
        rated = {one.kind for one in look.sets if not one.withdrawn}
        found.setdefault(zone_id, set()).update({*look.looked_for, *rated} or {""})
    return found


def coverage_of_looks(book: Book) -> dict[tuple[str, str], tuple[str, str | None]]:
    """Return (visit, zone) -> the best coverage of any look there, with what hid it."""
    return dict(_coverage(book))


@once_a_reading
def _coverage(book: Book) -> list[tuple[tuple[str, str], tuple[str, str | None]]]:
    rank = {"whole": 3, "part": 2, "not_seen": 1, "not_looked": 0}
    best: dict[tuple[str, str], tuple[str, str | None]] = {}
    query = (
        select(Inspection.visit_id, ZoneVersion.zone_id, Inspection.coverage, Inspection.hidden_by)
        .join(ZoneVersion, ZoneVersion.id == Inspection.zone_version_id)
        .where(Inspection.withdrawn.is_(False))
    )
    for visit_id, zone_id, coverage, hidden in book.execute(query):
        held = best.get((visit_id, zone_id))
        if held is None or rank[coverage] > rank[held[0]]:
            best[visit_id, zone_id] = coverage, hidden
    return list(best.items())


@dataclass(frozen=True, slots=True)
class VisitLine:
    """A visit in one line: when, how, what was looked at and done, and how it was recorded."""

    visit_id: str
    kind: str
    begins: PartialDate | None
    ends: PartialDate | None
    way: str | None
    yard: str | None
    location: str | None
    closed: bool
    basis: str
    entered_at: datetime
    looks_entered_at: datetime | None
    """When the look that waited longest was entered, where it has any."""
    looked_at: PartialDate | None
    """The day of that look: its own, else the first of the visit, as left the last."""
    lag: Working | None
    """The days from that look to its entry, the longest of all; None without a date."""
    zones_looked: int
    zones_not_seen: int
    zones: int
    anodes_checked: int
    antifouling: tuple[str, ...]
    coats: int
    used: Working | None
    """The litres of its antifouling."""
    works: tuple[str, ...]
    treatments: tuple[str, ...]
    photos: int
    costs: tuple[tuple[str, str], ...]
    note: str | None
    time_zone: str
    slings: tuple[float, ...] = ()
    """Where slings bore, metres aft of the stem."""

    @property
    def litres(self) -> float | None:
        """The litres of its antifouling; None where none are on record."""
        return None if self.used is None else self.used.value

    @property
    def until(self) -> PartialDate | None:
        """When she went back in; of a closed visit without that date, no more than its beginning.

        None is only for one that still goes on.
        """
        return self.ends or (self.begins if self.closed else None)


def visit_lines(book: Book, edge: Edge | None = None) -> list[VisitLine]:
    """Return the visits up to the edge, oldest first."""
    return _lines(book, up_to(book, edge), len(zone_versions(book, edge)))


def last_line(book: Book, kind: str) -> VisitLine | None:
    """Return the line of the last visit of a kind; None where there is none."""
    found = [(visit, states) for visit, states in up_to(book, None) if visit.kind == kind]
    return next(iter(_lines(book, found[-1:], len(zone_versions(book, None)))), None)


def lines_from(book: Book, visit_id: str) -> list[VisitLine]:
    """Return the lines of a visit and of those after it, without reading all that came before."""
    seen = up_to(book, None)
    first = next((n for n, (visit, _) in enumerate(seen) if visit.id == visit_id), len(seen))
    return _lines(book, seen[first:], len(zone_versions(book, None)))


def _lines(book: Book, seen: Sequence[tuple[Visit, frozenset[str]]], zones: int) -> list[VisitLine]:
    coverage = coverage_of_looks(book)
    photos: dict[str | None, int] = dict(
        book.execute(
            select(Photo.visit_id, func.count())
            .where(Photo.withdrawn.is_(False))
            .group_by(Photo.visit_id)
        ).all()
    )
    return [_line(book, visit, coverage, photos.get(visit.id, 0), zones) for visit, _states in seen]


def _line(
    book: Book,
    visit: Visit,
    coverage: dict[tuple[str, str], tuple[str, str | None]],
    photos: int,
    zones: int,
) -> VisitLine:
    here = [seen for (visit_id, _), (seen, _) in coverage.items() if visit_id == visit.id]
    put_on = [coat for coat in coats_of(book, visit) if coat.role == "antifouling"]
    ends = visit.ends or visit.begins
    looked, entered = _longest_wait(book, visit)
    since = looked or ends
    return VisitLine(
        visit.id,
        visit.kind,
        visit.begins,
        visit.ends,
        visit.way,
        visit.yard,
        visit.location,
        visit.closed_at is not None,
        visit.basis,
        visit.entered_at,
        entered,
        looked,
        entry_lag(since, entered or visit.entered_at, visit.time_zone) if since else None,
        sum(seen in ("whole", "part") for seen in here),
        sum(seen == "not_seen" for seen in here),
        zones,
        _count(book, AnodeCheck, visit),
        tuple(dict.fromkeys(coat.product for coat in put_on)),
        max((max(len(put_on), coat.number) for coat in put_on), default=0),
        used_litres(put_on),
        tuple(
            book.scalars(
                select(Work.text).where(Work.visit_id == visit.id, Work.withdrawn.is_(False))
            )
        ),
        tuple(
            book.scalars(
                select(Treatment.sort).where(
                    Treatment.visit_id == visit.id, Treatment.withdrawn.is_(False)
                )
            )
        ),
        photos,
        tuple(
            (amount, currency)
            for amount, currency in book.execute(
                select(CostLine.amount, CostLine.currency).where(
                    CostLine.visit_id == visit.id, CostLine.withdrawn.is_(False)
                )
            )
        ),
        visit.note,
        visit.time_zone,
        _slings(book, visit),
    )


def _slings(book: Book, visit: Visit) -> tuple[float, ...]:
    form = form_of(book)
    return bore(book, form, visit.id).get("sling", ()) if form is not None else ()


def _longest_wait(book: Book, visit: Visit) -> tuple[PartialDate | None, datetime | None]:
    """Return the day of the look that waited longest for its entry, and that entry.

    A look at an anode or fitting counts where its own day is known, as does one during the work.
    """
    query = (
        select(Inspection)
        .where(Inspection.visit_id == visit.id, Inspection.withdrawn.is_(False))
        .options(selectinload(Inspection.sets))
    )
    waits = []
    for look in book.scalars(query):
        own = [one.observed for one in look.sets if one.observed and not one.withdrawn]
        edge = (visit.ends or visit.begins) if look.state == "left" else visit.begins
        seen = min(own, default=None if look.state == "during" else edge)
        if seen is not None:
            waits.append((look.entered_at - seen.latest, seen, look.entered_at))
    anodes = select(AnodeCheck).where(AnodeCheck.visit_id == visit.id, ~AnodeCheck.withdrawn)
    fittings = select(GearCheck).where(GearCheck.visit_id == visit.id, ~GearCheck.withdrawn)
    waits += [
        (check.entered_at - check.looked.latest, check.looked, check.entered_at)
        for check in (*book.scalars(anodes), *book.scalars(fittings))
        if check.looked is not None
    ]
    if not waits:
        return None, None
    _, seen, entered = max(waits, key=lambda wait: wait[0])
    return seen, entered


def _count(book: Book, model: type[AnodeCheck], visit: Visit) -> int:
    query = select(func.count()).select_from(model)
    return int(
        book.scalar(query.where(model.visit_id == visit.id, model.withdrawn.is_(False))) or 0
    )


def zone_names(book: Book) -> dict[str, str]:
    """Return zone id -> name."""
    return {zone.id: zone.name for zone in book.scalars(select(Zone))}
