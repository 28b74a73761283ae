"""What on record may explain an unusual wear of an anode, the likelier first.

A fact counts only where it can act that way: what eats anodes explains no slow wear.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from typing import TYPE_CHECKING

from sqlalchemy import select

from hulllog.insight.once import once_a_reading
from hulllog.insight.shades import below_water
from hulllog.records.model import Coat, Event, Gear, Removal, Visit, Zone
from hulllog.records.model import Product as Paint
from hulllog.trade.waters import metal_in_water

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from datetime import datetime

    from hulllog.insight.wear import Stretch
    from hulllog.records.book import Book
    from hulllog.records.values import PartialDate

METAL_GEAR = frozenset(
    {
        "seacock", "skin_fitting", "shaft", "bearing", "stern_gland", "stern_tube", "propeller",
        "bracket", "saildrive", "outdrive", "rudder", "keel_bolt", "thruster", "trim_tab",
    }
)  # fmt: skip
"""Gear that is metal under water, unless its material on record says otherwise."""
NO_METAL = ("grp", "composite", "plastic", "nylon", "rubber", "wood", "acetal", "marelon")
_NEIGHBOURS = frozenset({"new_neighbour", "work_nearby"})
_UNDERCOATS = frozenset({"primer", "barrier"})
_SALTIER = {"fresh": 0, "brackish": 1, "salt": 2}


@dataclass(frozen=True, slots=True)
class Cause:
    """A recorded fact that may explain an unusual wear, the likelier first."""

    code: str
    values: tuple[tuple[str, object], ...] = ()


@dataclass(frozen=True, slots=True)
class Fact:
    """Something on record that changes what anodes carry: a code, when, of what."""

    code: str
    visit_id: str | None
    when: PartialDate | None
    name: str = ""


@dataclass(frozen=True, slots=True)
class OtherAnode:
    """Another anode of the same parts: when it stood, and the looks that found it idle.

    ``spans`` are (fitted, removed) of its pieces; ``idle`` the visits where it was gone, loose or
    painted over.
    """

    name: str
    spans: tuple[tuple[datetime, datetime | None], ...]
    idle: frozenset[str]


@once_a_reading
def facts(book: Book) -> list[Fact]:
    """Return what changed the metal under water or lay beside her, in no order."""
    found = [
        Fact("neighbour", None, event.at, event.text)
        for event in book.scalars(select(Event).where(Event.withdrawn.is_(False)))
        if event.sort in _NEIGHBOURS and event.at
    ]
    found += [
        Fact("metal_fitted", None, gear.fitted, gear.name)
        for gear in book.scalars(select(Gear).where(Gear.withdrawn.is_(False)))
        if gear.fitted and _is_metal(gear)
    ]
    painted = _undercoated(book)
    wet = {zone.id for zone in book.scalars(select(Zone)) if below_water(zone.code)}
    bared = {
        removal.visit_id
        for removal in book.scalars(select(Removal).where(Removal.withdrawn.is_(False)))
        if removal.down_to == "bare_metal"
        and (not removal.zone_ids or wet.intersection(removal.zone_ids))
    }
    found += [Fact("metal_bared", visit_id, None) for visit_id in sorted(bared - painted)]
    return found + [Fact("metal_coated", visit_id, None) for visit_id in sorted(painted - bared)]


def _is_metal(gear: Gear) -> bool:
    said = (gear.material or "").casefold()
    return gear.sort in METAL_GEAR and not any(word in said for word in NO_METAL)


def _undercoated(book: Book) -> set[str]:
    """Return the visits at which metal got an undercoat: on a metal hull, or on bared metal."""
    from hulllog.records.operations.queries import vessel

    her = vessel(book)
    bared = {
        removal.visit_id
        for removal in book.scalars(select(Removal).where(Removal.withdrawn.is_(False)))
        if removal.down_to == "bare_metal"
    }
    rows = book.execute(
        select(Coat.visit_id, Paint.role)
        .join(Paint, Paint.id == Coat.product_id)
        .where(Coat.withdrawn.is_(False), Paint.role.in_(_UNDERCOATS))
    )
    put_on = {visit_id for visit_id, _ in rows}
    return put_on if her and her.material in ("steel", "aluminium") else put_on & bared


def causes(
    last: Stretch,
    before: Sequence[Stretch],
    unusual: str,
    known: Sequence[Fact] = (),
    others: Sequence[OtherAnode] = (),
    visits: Mapping[str, Visit] | None = None,
) -> list[Cause]:
    """Return the recorded facts that can explain an unusual stretch, the likelier first.

    ``unusual`` is fast or slow; ``before`` the earlier stretches in the same place.
    """
    facts_here = [fact for fact in known if _falls_in(fact, last, visits or {})]
    shore = _most([one.shore for one in before])
    water = _most([one.water for one in before])
    named = _fast if unusual == "fast" else _slow
    found = named(last, before[-1], shore, facts_here, others)
    found += _changed(last, before[-1], water, unusual)
    return found or [Cause("nothing_on_record")]


def _most(codes: Sequence[str]) -> str:
    """Return what most of the earlier stretches had, what is not known left aside."""
    counts = Counter(code for code in codes if code != "unknown")
    return counts.most_common(1)[0][0] if counts else "unknown"


def _falls_in(fact: Fact, last: Stretch, visits: Mapping[str, Visit]) -> bool:
    """Tell whether a fact belongs to a stretch: at the visit that began it, or within its time."""
    if fact.visit_id is not None:
        return fact.visit_id == last.from_visit_id
    if fact.when is None:
        return False
    began = visits.get(last.from_visit_id or "")
    first = began.begins if began is not None and began.begins else last.begins
    return first.earliest <= fact.when.middle <= last.ends.earliest


def _fast(
    last: Stretch,
    before: Stretch,
    shore: str,
    here: Sequence[Fact],
    others: Sequence[OtherAnode],
) -> list[Cause]:
    found: list[Cause] = []
    if last.shore == "plugged":
        if before.shore == "plugged_with_isolator":
            found.append(Cause("isolator_gone"))
        elif before.shore != "plugged":
            found.append(Cause("shore_power_began"))
        elif shore != "plugged":
            found.append(Cause("shore_power_without_isolator"))
    found += _told(here, "neighbour")
    found += [
        Cause("other_anode_idle", (("name", other.name),)) for other in others if _idle(other, last)
    ]
    found += _told(here, "metal_bared", "metal_fitted")
    if last.shore == before.shore == shore == "plugged":
        found.append(Cause("shore_power_without_isolator"))
    return found


def _slow(
    last: Stretch,
    before: Stretch,
    shore: str,
    here: Sequence[Fact],
    others: Sequence[OtherAnode],
) -> list[Cause]:
    suits = metal_in_water(last.metal, last.water)
    scaled = suits.choice == "unsuited" and last.water == "fresh"
    tried = (
        ("loose_contact", last.loose),
        ("painted_over", last.painted_over),
        ("isolator_fitted", shore == "plugged" and last.shore == "plugged_with_isolator"),
        ("shore_power_ended", shore.startswith("plugged") and last.shore == "none"),
        ("metal_unsuited", scaled and before.water != last.water),
    )
    found = [Cause(code) for code, fits in tried if fits]
    found += [
        Cause("anode_added", (("name", other.name),)) for other in others if _added(other, last)
    ]
    return found + _told(here, "metal_coated")


def _told(here: Sequence[Fact], *codes: str) -> list[Cause]:
    return [
        Cause(fact.code, (("name", fact.name),) if fact.name else ())
        for code in codes
        for fact in here
        if fact.code == code
    ]


def _changed(last: Stretch, before: Stretch, water: str, unusual: str) -> list[Cause]:
    """Return what changed of water, metal and berth, where it can act that way."""
    found: list[Cause] = []
    if water in _SALTIER and last.water in _SALTIER and water != last.water:
        saltier = _SALTIER[last.water] > _SALTIER[water]
        if saltier == (unusual == "fast"):
            values = (("before", water), ("now", last.water))
            found.append(Cause("water_changed", values))
    if last.metal != before.metal:
        values = (("before", before.metal), ("now", last.metal))
        found.append(Cause("metal_changed", values))
    if last.location and before.location and last.location != before.location:
        values = (("before", before.location), ("now", last.location))
        found.append(Cause("berth_changed", values))
    return found


def _idle(other: OtherAnode, last: Stretch) -> bool:
    """Tell whether another anode of the same parts was gone or did not work in a stretch."""
    if last.to_visit_id in other.idle:
        return True
    start, end = last.begins.middle, last.ends.middle
    earlier = any(fitted < start for fitted, _ in other.spans)
    standing = any(
        fitted < end and (removed is None or removed > start) for fitted, removed in other.spans
    )
    return earlier and not standing


def _added(other: OtherAnode, last: Stretch) -> bool:
    """Tell whether another anode of the same parts first came with a stretch."""
    first = min((fitted for fitted, _ in other.spans), default=None)
    return first is not None and last.begins.earliest <= first < last.ends.middle
