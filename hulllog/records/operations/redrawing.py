"""Zones drawn anew by their owner: one cut in two, two joined.

Visits before keep the outlines that they were seen with.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import count
from typing import TYPE_CHECKING, Any

from sqlalchemy import select

from hulllog.hull.form import HullForm
from hulllog.hull.particulars import Particulars
from hulllog.hull.zones import WAYS, ZoneOutline, area, join, split, ways
from hulllog.records.errors import Refused
from hulllog.records.model import (
    Coat,
    CoatZone,
    FormVersion,
    Inspection,
    Removal,
    Treatment,
    Zone,
    ZoneVersion,
)
from hulllog.records.operations import choices, queries
from hulllog.records.operations import typed as t
from hulllog.records.operations.keeping import name_of

if TYPE_CHECKING:
    from hulllog.records.book import Book
    from hulllog.records.logbook import Logbook

ZONE: t.Fields = {"name": t.name()}
SPLIT: t.Fields = {
    "name": t.name(),
    "other_name": t.name(),
    "way": t.one_of(WAYS, wanted=True),
    "share": t.share(),
}


def split_zone(
    logbook: Logbook,
    zone_id: str,
    *,
    way: str,
    name: str,
    other_name: str,
    share: t.Typed = 0.5,
    reason: str | None = None,
) -> str:
    """Cut a zone in two by one of ``hull.zones.WAYS``, and return the key of the new one.

    The first part, ``share`` of the whole, goes on as the zone, the other is a zone of its own.
    Visits before keep the outline that they were seen with.
    """
    about = name_of(logbook, Zone, zone_id)
    with logbook.change("zone.split", reason=reason, name=about) as book:
        zone, version, outline = _drawn(book, zone_id)
        typed = {"name": name, "other_name": other_name, "way": way, "share": share}
        told = t.read(book, SPLIT, typed)
        if way not in ways(outline):
            raise Refused("unknown_choice", field="way", typed=way)
        at = told["share"] or 0.0
        if way != "faces" and not 0 < at < 1:
            raise Refused("cut_nothing", field="share")
        one, other = split(outline, way, at, _new_code(book, zone.code))
        start = _start(book, {zone.id})
        zone.name = told["name"]
        made = Zone(code=other.code, name=told["other_name"], walk_order=zone.walk_order)
        book.add(made)
        book.flush()
        _new_version(book, zone, version, one, start)
        _new_version(book, made, version, other, start, of=[[zone.id, 1.0, version.number]])
        return made.id


def join_zones(
    logbook: Logbook, zone_id: str, other_id: str, *, name: str, reason: str | None = None
) -> None:
    """Make one zone of two: the first grows by the other, which ends.

    Visits before keep both.  Raises Refused ``join_unlike`` where paint on the whole bottom covers
    one of them only, or she stands on one of them only.
    """
    about = name_of(logbook, Zone, zone_id)
    other = name_of(logbook, Zone, other_id, "other_id")
    with logbook.change("zone.join", reason=reason, name=about, other=other) as book:
        zone, version, outline = _drawn(book, zone_id)
        ended, other_version, other_outline = _drawn(book, other_id)
        zone.name = t.read(book, ZONE, {"name": name})["name"]
        if zone.id == ended.id:
            raise Refused("choice_wanted", field="other_id")
        if choices.zone_sort(zone.code) != choices.zone_sort(ended.code):
            raise Refused("join_unlike", field="other_id", zone=about, other=other)
        start = _start(book, {zone.id, ended.id})
        form = HullForm.build(_particulars(book, version))
        sizes = [area(form, one) for one in (outline, other_outline)]
        of = [
            [zone.id, sizes[0] / sum(sizes), version.number],
            [ended.id, sizes[1] / sum(sizes), other_version.number],
        ]
        _new_version(book, zone, version, join(outline, other_outline), start, of=of)
        _new_version(book, ended, other_version, replace(other_outline, pieces=()), start)


def _drawn(book: Book, zone_id: str) -> tuple[Zone, ZoneVersion, ZoneOutline]:
    """Return a zone as it is drawn now.  Raises Refused ``no_such_record`` where it is not."""
    for zone, version in queries.zones_at(book):
        if zone.id == zone_id:
            return zone, version, ZoneOutline.from_json(version.outline)
    raise Refused("no_such_record", field="zone_id")


def _particulars(book: Book, version: ZoneVersion) -> Particulars:
    form = t.needed(book, FormVersion, version.form_version_id, "form")
    return Particulars.from_json(form.particulars)


def _new_code(book: Book, code: str) -> str:
    """Return a code after that of the zone it was cut from; a sole stays one."""
    known = set(book.scalars(select(Zone.code)))
    sole = choices.SOLE if code.endswith(choices.SOLE) else ""
    stem = code.removesuffix(sole)
    return next(made for n in count(2) if (made := f"{stem}-{n}{sole}") not in known)


def _start(book: Book, zone_ids: set[str]) -> tuple[str | None, bool]:
    """Return the visit from which zones are drawn anew, and whether only after it.

    The open haul-out while nothing of it tells of these zones; else the visit that comes next.
    """
    listed = queries.visits(book)
    if not listed:
        return None, False
    last, opened = listed[-1], queries.open_haul_out(book)
    fresh = opened is not None and opened.id == last.id
    return last.id, not fresh or bool(zone_ids & _told_of(book, last.id))


def _told_of(book: Book, visit_id: str) -> set[str]:
    """Return the zones of which a visit tells: what was seen there and what was done."""
    looked = select(ZoneVersion.zone_id).join(
        Inspection, Inspection.zone_version_id == ZoneVersion.id
    )
    coated = select(CoatZone.zone_id).join(Coat, Coat.id == CoatZone.coat_id)
    found = set(book.scalars(looked.where(Inspection.visit_id == visit_id)))
    found |= set(book.scalars(coated.where(Coat.visit_id == visit_id)))
    for model in (Removal, Treatment):
        for zones in book.scalars(select(model.zone_ids).where(model.visit_id == visit_id)):
            found |= set(zones)
    return found


def _new_version(
    book: Book,
    zone: Zone,
    before: ZoneVersion,
    outline: ZoneOutline,
    start: tuple[str | None, bool],
    *,
    of: list[list[Any]] | None = None,
) -> None:
    """Draw a zone anew; ``of`` tells what it was made of, as ``queries.OF`` says."""
    visit_id, after = start
    stored = outline.to_json()
    if after:
        stored[queries.AFTER] = True
    if of:
        stored[queries.OF] = of
    number = queries.next_number(book, ZoneVersion, ZoneVersion.zone_id == zone.id)
    book.add(
        ZoneVersion(
            zone_id=zone.id,
            form_version_id=before.form_version_id,
            from_visit_id=visit_id,
            number=number,
            outline=stored,
        )
    )
