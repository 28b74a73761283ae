"""Plain questions to the records that more than one room asks."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING, Any, TypeVar, cast
from zoneinfo import ZoneInfo

from sqlalchemy import func, select

from hulllog.hull.handdrawn import is_own
from hulllog.records.base import Base, Kept
from hulllog.records.model import (
    AnodePiece,
    FormVersion,
    Inspection,
    Photo,
    Setting,
    Vessel,
    Visit,
    Zone,
    ZoneVersion,
)

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping, Sequence
    from datetime import date

    from hulllog.records.book import Book
    from hulllog.records.values import Order, PartialDate

R = TypeVar("R", bound=Base)
_NEVER = datetime.max.replace(tzinfo=UTC)


def vessel(book: Book) -> Vessel | None:
    """Return the boat of the logbook; None before she was entered."""
    return book.scalars(select(Vessel)).first()


def kept(book: Book, model: type[R], *where: Any) -> Sequence[R]:
    """Return the records of a kind that are not withdrawn, in the order of entry."""
    table = cast("type[Kept]", model)
    query = select(model).where(table.withdrawn.is_(False), *where)
    return book.scalars(query.order_by(table.entered_at, table.id)).all()


def setting(book: Book, name: str) -> dict[str, Any] | None:
    """Return a setting that travels with the logbook; None where it was never set."""
    found = book.scalars(select(Setting).where(Setting.name == name)).first()
    return found.value if found else None


def date_order(book: Book) -> Order | None:
    """Return the order in which the owner writes dates in numbers, if one was set."""
    found = setting(book, "date_order")
    return cast("Order", found["order"]) if found and found.get("order") else None


def decimal_sign(book: Book) -> str | None:
    """Return the decimal sign that the owner writes, if one was set."""
    found = setting(book, "decimal_sign")
    return str(found["sign"]) if found and found.get("sign") else None


def time_zone(book: Book) -> str:
    """Return the time zone to begin with: as set, else of the newest visit, else UTC."""
    found = setting(book, "time_zone")
    if found and found.get("zone"):
        return str(found["zone"])
    newest = visits(book)
    return newest[-1].time_zone if newest else "UTC"


def day_there(book: Book, now: datetime) -> date:
    """Return the day that it is at her place."""
    return now.astimezone(ZoneInfo(time_zone(book))).date()


# Occasions


def visits(book: Book, kinds: Collection[str] | None = None) -> list[Visit]:
    """Return the visits that are not withdrawn, the oldest first."""
    found = [visit for visit in kept(book, Visit) if kinds is None or visit.kind in kinds]
    return sorted(found, key=when_begun)


def when_begun(visit: Visit) -> tuple[datetime, datetime]:
    """Order visits by the middle of what is known of their beginning, as the strip draws them.

    An end that is known better bounds it.  A visit of "2018" stands among those of 2018 and not
    before them all; where the dates leave no doubt the order is that of the dates.
    """
    begins, ends = visit.begins, visit.ends
    if begins is None:
        return _NEVER, _NEVER
    latest = begins.latest
    if ends is not None and begins.earliest <= ends.latest < latest:
        latest = ends.latest
    return begins.earliest + (latest - begins.earliest) / 2, begins.earliest


def open_haul_out(book: Book) -> Visit | None:
    """Return the newest haul-out or drying out that is not closed."""
    opened = [v for v in visits(book, ("haul_out", "drying_out")) if v.closed_at is None]
    return opened[-1] if opened else None


def earlier_visits(book: Book, visit_id: str, kinds: Collection[str] | None = None) -> list[Visit]:
    """Return the visits before one, the newest first."""
    before: list[Visit] = []
    for visit in visits(book):
        if visit.id == visit_id:
            return before[::-1]
        if kinds is None or visit.kind in kinds:
            before.append(visit)
    return before[::-1]


def previous_visit(book: Book, visit_id: str, kinds: Collection[str] | None = None) -> Visit | None:
    """Return the visit before one."""
    return next(iter(earlier_visits(book, visit_id, kinds)), None)


# The boat


def form_versions(book: Book) -> Sequence[FormVersion]:
    """Return the versions of her form in order."""
    query = select(FormVersion).where(FormVersion.withdrawn.is_(False))
    return book.scalars(query.order_by(FormVersion.number)).all()


def form_version(book: Book, at: PartialDate | None = None) -> FormVersion | None:
    """Return the version of her form that held at a date; the newest for None."""
    found: FormVersion | None = None
    for version in form_versions(book):
        if found is None or at is None or version.begins is None or not at < version.begins:
            found = version
    return found


def zones_at(book: Book, visit_id: str | None = None) -> list[tuple[Zone, ZoneVersion]]:
    """Return the zones in walking order with the outline that held at a visit; newest for None."""
    listed = visits(book)
    at = next((n for n, visit in enumerate(listed) if visit.id == visit_id), None)
    if at is None:
        return zones_in_force(book)
    return zones_in_force(book, [visit.id for visit in listed[: at + 1]], listed[at].begins)


AFTER = "after"
"""Under this name an outline says that it holds only after the visit it is drawn from."""
OF = "of"
"""Under this name an outline says what it was made of: [zone, its share, version]."""


def zones_in_force(
    book: Book, seen: Sequence[str] | None = None, at: PartialDate | None = None
) -> list[tuple[Zone, ZoneVersion]]:
    """Return the zones in walking order, each with the outline that held at a date.

    ``seen`` are the visits up to then, in order.  Without both, the newest.  A conversion that
    gives her other parts draws all her zones anew: those of the form before it hold until it
    begins.  A zone that was joined to another ends with an outline of no pieces; those that were
    drawn by hand alone hang on no form and never have any.
    """
    forms = {form.id: form for form in form_versions(book)}
    known = None if seen is None else dict(zip(seen, range(len(seen)), strict=True))
    newest: dict[str, ZoneVersion] = {}
    query = select(ZoneVersion).where(ZoneVersion.withdrawn.is_(False))
    for version in book.scalars(query.order_by(ZoneVersion.number)):
        form = forms.get(version.form_version_id)
        begun = form is not None and not (at and form.begins and at < form.begins)
        if begun and (known is None or drawn_by(version, known)):
            newest[version.zone_id] = version
    drawn = {key: forms[version.form_version_id].number for key, version in newest.items()}
    last = max(drawn.values(), default=0)
    listed = select(Zone).where(Zone.withdrawn.is_(False))
    zones = book.scalars(listed.order_by(Zone.walk_order, Zone.entered_at, Zone.id))
    return [
        (zone, newest[zone.id])
        for zone in zones
        if zone.id in drawn
        and (is_own(zone.code) or (drawn[zone.id] == last and newest[zone.id].outline["pieces"]))
    ]


def drawn_by(version: ZoneVersion, seen: Mapping[str, int]) -> bool:
    """Tell whether an outline held at the last of the visits seen."""
    start = version.from_visit_id
    if start is None:
        return True
    return start in seen and not (version.outline.get(AFTER) and seen[start] == len(seen) - 1)


def zone_version_at(book: Book, zone_id: str, visit_id: str | None) -> ZoneVersion | None:
    """Return the outline of a zone that held at a visit."""
    return next((v for zone, v in zones_at(book, visit_id) if zone.id == zone_id), None)


# Looks


def looks_at(
    book: Book, zone_id: str, visit_id: str, states: Collection[str] = ("found", "during", "left")
) -> Sequence[Inspection]:
    """Return the inspections of a zone at a visit, in the order of entry."""
    query = (
        select(Inspection)
        .join(ZoneVersion, ZoneVersion.id == Inspection.zone_version_id)
        .where(
            ZoneVersion.zone_id == zone_id,
            Inspection.visit_id == visit_id,
            Inspection.state.in_(states),
            Inspection.withdrawn.is_(False),
        )
        .order_by(Inspection.entered_at, Inspection.id)
    )
    return book.scalars(query).all()


def last_look(book: Book, zone_id: str, visit_id: str) -> Inspection | None:
    """Return the last inspection before a visit at which the zone was seen, as found there."""
    for visit in earlier_visits(book, visit_id):
        seen = [
            look
            for look in looks_at(book, zone_id, visit.id, ("found", "during"))
            if look.coverage in ("whole", "part")
        ]
        if seen:
            return next((look for look in seen if look.state == "found"), seen[0])
    return None


def present_piece(book: Book, position_id: str) -> AnodePiece | None:
    """Return the anode that is fitted at a position now."""
    pieces = kept(
        book,
        AnodePiece,
        AnodePiece.position_id == position_id,
        AnodePiece.removed_visit_id.is_(None),
        AnodePiece.removed_text.is_(None),  # type: ignore[attr-defined]
    )
    return pieces[-1] if pieces else None


def next_number(book: Book, model: type[Base], *where: Any) -> int:
    """Return the number after the highest ever given, withdrawn ones among them."""
    column = model.__table__.c["number"]
    return int(book.scalar(select(func.max(column)).where(*where)) or 0) + 1


def taken_at(photo: Photo) -> datetime | None:
    """Return when a photograph was taken, its clock corrected; None unless known to the minute."""
    if photo.captured is None or photo.captured.precision != "time":
        return None
    return photo.captured.earliest + timedelta(minutes=photo.clock_correction or 0)
