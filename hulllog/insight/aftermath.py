"""What was looked at after she went aground, was hit or struck: which look, and what it missed."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from hulllog.insight.condition import zone_versions
from hulllog.insight.occasions import visits
from hulllog.insight.overview import coverage_of_looks
from hulllog.insight.timeline import EventSeen, events

if TYPE_CHECKING:
    from hulllog.records.book import Book
    from hulllog.records.model import Visit
    from hulllog.records.values import PartialDate

HARMFUL = frozenset({"grounding", "collision", "sinking", "lightning"})


@dataclass(frozen=True, slots=True)
class Aftermath:
    """An event, the first look after it with the zones that it showed, and what none showed.

    ``kind`` and ``when`` are None where nothing was looked at after it.
    """

    event: EventSeen
    kind: str | None
    when: PartialDate | None
    looked: tuple[str, ...]
    zones: int
    never: tuple[str, ...]


def aftermaths(book: Book) -> list[Aftermath]:
    """Return the events that may have hurt her or that asked for a check, the newest first."""
    return [
        _after(book, event)
        for event in reversed(events(book))
        if event.sort in HARMFUL or event.asks_for_check
    ]


def _after(book: Book, event: EventSeen) -> Aftermath:
    names = {zone.id: zone.name for zone, _ in zone_versions(book, None)}
    shown: list[tuple[Visit, list[str]]] = []
    for visit in visits(book):
        zones = [
            zone
            for (visit_id, zone), (coverage, _) in coverage_of_looks(book).items()
            if visit_id == visit.id and zone in names and coverage in ("whole", "part")
        ]
        if zones and _follows(visit, event):
            shown.append((visit, zones))
    seen = {zone for _, zones in shown for zone in zones}
    never = tuple(name for zone, name in names.items() if zone not in seen)
    if not shown:
        return Aftermath(event, None, None, (), len(names), never)
    visit, zones = shown[0]
    looked = tuple(name for zone, name in names.items() if zone in zones)
    return Aftermath(event, visit.kind, visit.begins, looked, len(names), never)


def _follows(visit: Visit, event: EventSeen) -> bool:
    """Tell whether a visit came after an event: as entered, else not sooner by any reading."""
    if visit.id == event.answered_visit_id:
        return True
    return visit.begins is not None and visit.begins.latest >= event.at.latest
