"""How often a place was repaired for a kind, and how often that came back."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from sqlalchemy import select
from sqlalchemy.orm import selectinload

from hulllog.insight.occasions import OUT_OF_WATER, up_to
from hulllog.insight.once import once_a_reading
from hulllog.insight.overdue import place_of_work
from hulllog.insight.shades import FOULING, below_water, nothing
from hulllog.records.model import (
    Coat,
    Finding,
    FindingLink,
    Inspection,
    Product,
    Spot,
    Treatment,
    Work,
    WorkLink,
    Zone,
    ZoneVersion,
)

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from hulllog.insight.occasions import Edge
    from hulllog.insight.series import Point
    from hulllog.records.book import Book
    from hulllog.records.values import PartialDate

MENDS = {
    "laminate-blisters": "blisters",
    "rust-spots": "rust",
    "iso-4628-3-2016": "rust",
    "astm-d610-2008": "rust",
    "european-rust": "rust",
    "crack": "crack",
    "damage": "damage",
}
"""Of which sort a finding is whose work mends a kind."""


@dataclass(frozen=True, slots=True)
class Mended:
    """Repairs of a place: how many, after how many it was seen again, and when last.

    ``looks`` counts those as found since the last repair; ``sound`` is a look as left, at or after
    the last repair, that looked for it and found none.
    """

    times: int
    returned: int
    last_seen: PartialDate | None
    looks: int
    sound: Sound | None = None


@dataclass(frozen=True, slots=True)
class Sound:
    """A look as left that found none; ``out_since`` tells whether she was out again since."""

    when: PartialDate
    visit_id: str
    out_since: bool


@dataclass(frozen=True, slots=True)
class Dried:
    """Readings of a meter while she dried before a treatment: from the first to the last.

    ``later`` counts the readings at visits after it.
    """

    first: Point
    last: Point
    later: int


@dataclass(frozen=True, slots=True)
class Repair:
    """Work at one visit on a zone or a spot; ``sort`` is the finding's, empty for a treatment."""

    visit_id: str
    when: PartialDate
    sort: str
    zone_id: str | None
    spot_id: str | None
    done: PartialDate | None = None
    """The day of the work, where it is on record; ``when`` is the beginning of its visit."""


@once_a_reading
def repairs(book: Book, edge: Edge | None = None) -> list[Repair]:
    """Return the treatments and the works on findings that the edge shows, oldest visit first."""
    during = [visit for visit, states in up_to(book, edge) if "during" in states]
    zone_of = {spot.id: spot.zone_id for spot in book.scalars(select(Spot))}
    found = []
    for done in book.scalars(select(Treatment).where(Treatment.withdrawn.is_(False))):
        visit = next((one for one in during if one.id == done.visit_id), None)
        if visit and visit.begins:
            found += [Repair(visit.id, visit.begins, "", zone, None) for zone in done.zone_ids]
    query = (
        select(Work, Finding.sort, FindingLink)
        .join(WorkLink, WorkLink.work_id == Work.id)
        .join(Finding, Finding.id == WorkLink.finding_id)
        .join(FindingLink, FindingLink.finding_id == Finding.id)
        .where(*(kept.withdrawn.is_(False) for kept in (Work, WorkLink, Finding, FindingLink)))
    )
    for work, sort, link in book.execute(query):
        place = place_of_work(during, work)
        begins = during[place].begins if place is not None else None
        zone = link.zone_id or zone_of.get(link.spot_id or "")
        if place is not None and begins and zone:
            found.append(Repair(during[place].id, begins, sort, zone, link.spot_id, work.done))
    return sorted(found, key=lambda repair: repair.when)


@once_a_reading
def repainted(book: Book, edge: Edge | None = None) -> list[Repair]:
    """Return zone by zone the visits at which new antifouling was put on, the oldest first."""
    during = {visit.id: visit for visit, states in up_to(book, edge) if "during" in states}
    bottom = [zone.id for zone in book.scalars(select(Zone)) if below_water(zone.code)]
    query = (
        select(Coat)
        .join(Product, Product.id == Coat.product_id)
        .where(Product.role == "antifouling", Coat.withdrawn.is_(False))
        .options(selectinload(Coat.zones))
    )
    found: dict[tuple[str, str], Repair] = {}
    for coat in book.scalars(query):
        visit = during.get(coat.visit_id)
        on = [one.zone_id for one in coat.zones if not one.withdrawn]
        for zone in bottom if coat.whole_bottom else on:
            if visit and visit.begins:
                done = Repair(visit.id, visit.begins, "antifouling", zone, None)
                found.setdefault((zone, visit.id), done)
    return sorted(found.values(), key=lambda one: one.when)


@once_a_reading
def sound_as_left(book: Book, edge: Edge | None = None) -> list[tuple[tuple[str, str], Sound]]:
    """Return by zone and kind the last look as left that looked for it and found none."""
    seen = [(visit, states) for visit, states in up_to(book, edge)]
    order = {visit.id: n for n, (visit, states) in enumerate(seen) if "left" in states}
    query = (
        select(Inspection, ZoneVersion.zone_id)
        .join(ZoneVersion, ZoneVersion.id == Inspection.zone_version_id)
        .where(
            Inspection.state == "left",
            Inspection.result == "nothing_found",
            Inspection.coverage == "whole",
            Inspection.withdrawn.is_(False),
        )
    )
    found: dict[tuple[str, str], Sound] = {}
    looks = [(look, zone) for look, zone in book.execute(query) if look.visit_id in order]
    for look, zone in sorted(looks, key=lambda pair: order[pair[0].visit_id]):
        visit = seen[order[look.visit_id]][0]
        when = visit.ends or visit.begins
        if when is None:
            continue
        later = (one for one, _ in seen[order[look.visit_id] + 1 :])
        out = any(one.kind in OUT_OF_WATER for one in later)
        for kind in look.looked_for:
            found[zone, kind] = Sound(when, visit.id, out)
    return list(found.items())


def findable(kind: str) -> bool:
    """Tell whether a kind is one that is found or not, rather than a reading that always is."""
    return kind not in FOULING and bool(nothing(kind))


def repairs_of(
    found: Iterable[Repair], kind: str, zone_id: str | None, spot_id: str | None = None
) -> tuple[Repair, ...]:
    """Return what was repaired of a zone, or a spot of it, for a kind; once for each visit."""
    if kind in FOULING:
        return ()
    here = (
        repair
        for repair in found
        if repair.zone_id == zone_id
        and repair.sort in ("", MENDS.get(kind))
        and (spot_id is None or repair.spot_id in (None, spot_id))
    )
    return tuple({repair.visit_id: repair for repair in here}.values())


def dried(kind: str, repaired: Iterable[Repair], points: Sequence[Point]) -> Dried | None:
    """Return how a reading fell during the visit of the last treatment; None where it did not."""
    treated = [repair.visit_id for repair in repaired if not repair.sort]
    if findable(kind) or not treated:
        return None
    here = [point for point in points if point.visit_id == treated[-1]]
    if len(here) < 2 or here[-1].value >= here[0].value:
        return None
    return Dried(here[0], here[-1], len(points) - points.index(here[-1]) - 1)


def mended(
    kind: str, repaired: Sequence[Repair], points: Iterable[Point], sound: Sound | None = None
) -> Mended | None:
    """Return what came of the repairs of a kind that can be found; None without any."""
    if not repaired or not findable(kind):
        return None
    looks: dict[str, tuple[PartialDate, bool]] = {}
    for point in points:
        _, shown = looks.get(point.visit_id, (point.when, False))
        looks[point.visit_id] = point.when, shown or point.value > 0
    after = [
        (sum(when.earliest > repair.when.earliest for repair in repaired), when, shown)
        for when, shown in looks.values()
    ]
    seen = [when for _, when, shown in after if shown]
    return Mended(
        len(repaired),
        len({turn for turn, _, shown in after if shown and turn}),
        max(seen, key=lambda when: when.earliest, default=None),
        sum(turn == len(repaired) for turn, _, _ in after),
        sound if sound and sound.when.earliest >= repaired[-1].when.earliest else None,
    )
