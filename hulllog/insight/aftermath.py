"""What was looked at after she went aground, was hit or struck: which look, and what it missed."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from sqlalchemy import select

from hulllog.insight.condition import zone_versions
from hulllog.insight.matters import matters
from hulllog.insight.occasions import visits
from hulllog.insight.overview import coverage_of_looks
from hulllog.insight.timeline import EventSeen, events
from hulllog.records.model import Gear, GearCheck

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hulllog.records.book import Book
    from hulllog.records.model import Visit
    from hulllog.records.values import PartialDate

HARMFUL = frozenset({"grounding", "collision", "sinking", "lightning"})


@dataclass(frozen=True, slots=True)
class Again:
    """A later look: how many zones it showed, and which of those of the first look it did not."""

    when: PartialDate
    seen: int
    without: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Aftermath:
    """An event, the first look after it with the zones that it showed, and what none showed.

    ``kind`` and ``when`` are None where nothing was looked at after it.  ``then`` are the later
    looks.  ``fittings`` are those that nobody looked at since.  ``first_found`` are the findings
    raised since, with their day; no cause follows from that.  ``known_before`` are those of them at
    whose fittings or spots something was found before it, with the first day of that.
    """

    event: EventSeen
    kind: str | None
    when: PartialDate | None
    looked: tuple[str, ...]
    zones: int
    never: tuple[str, ...]
    then: tuple[Again, ...] = ()
    fittings: tuple[str, ...] = ()
    first_found: tuple[tuple[str, PartialDate], ...] = ()
    known_before: tuple[tuple[str, PartialDate, PartialDate], ...] = ()


def aftermaths(book: Book) -> list[Aftermath]:
    """Return the events that may have hurt her or that asked for a check, the newest first."""
    return [
        _after(book, event)
        for event in reversed(events(book))
        if event.sort in HARMFUL or event.asks_for_check
    ]


def _after(book: Book, event: EventSeen) -> Aftermath:
    names = {zone.id: zone.name for zone, _ in zone_versions(book, None)}
    later = [visit for visit in visits(book) if _follows(visit, event)]
    shown: list[tuple[Visit, list[str]]] = []
    for visit in later:
        zones = [
            zone
            for (visit_id, zone), (coverage, _) in coverage_of_looks(book).items()
            if visit_id == visit.id and zone in names and coverage in ("whole", "part")
        ]
        if zones:
            shown.append((visit, zones))
    seen = {zone for _, zones in shown for zone in zones}
    never = tuple(name for zone, name in names.items() if zone not in seen)
    fittings, found, known = _fittings(book, event, later), *_found(book, event)
    if not shown:
        return Aftermath(event, None, None, (), len(names), never, (), fittings, found, known)
    visit, zones = shown[0]
    looked = tuple(name for zone, name in names.items() if zone in zones)
    then = tuple(
        Again(one.begins, len(again), tuple(names[zone] for zone in zones if zone not in again))
        for one, again in shown[1:]
        if one.begins
    )
    return Aftermath(
        event, visit.kind, visit.begins, looked, len(names), never, then, fittings, found, known
    )


def _fittings(book: Book, event: EventSeen, later: Sequence[Visit]) -> tuple[str, ...]:
    """Return the fittings that were there and that nobody looked at since."""
    after = {visit.id for visit in later}
    query = select(GearCheck.gear_id, GearCheck.visit_id).where(GearCheck.withdrawn.is_(False))
    seen = {gear_id for gear_id, visit_id in book.execute(query) if visit_id in after}
    kept = select(Gear).where(Gear.withdrawn.is_(False)).order_by(Gear.entered_at, Gear.id)
    there = (gear for gear in book.scalars(kept) if not _new_since(gear, event))
    return tuple(gear.name for gear in there if gear.id not in seen)


def _new_since(gear: Gear, event: EventSeen) -> bool:
    return gear.fitted is not None and gear.fitted.earliest >= event.at.latest


def _found(
    book: Book, event: EventSeen
) -> tuple[tuple[tuple[str, PartialDate], ...], tuple[tuple[str, PartialDate, PartialDate], ...]]:
    """Return the findings raised since, apart by whether something was found there before it."""
    new, known = [], []
    for one in matters(book):
        if one.raised is None or one.raised.earliest < event.at.latest:
            continue
        if one.found_before and one.found_before[0].earliest < event.at.latest:
            known.append((one.title, one.raised, one.found_before[0]))
        else:
            new.append((one.title, one.raised))
    return (
        tuple(sorted(new, key=lambda pair: (pair[1].earliest, pair[0]))),
        tuple(sorted(known, key=lambda three: (three[1].earliest, three[0]))),
    )


def _follows(visit: Visit, event: EventSeen) -> bool:
    """Tell whether a visit came after an event: as entered, else not sooner by any reading."""
    if visit.id == event.answered_visit_id:
        return True
    return visit.begins is not None and visit.begins.latest >= event.at.latest
