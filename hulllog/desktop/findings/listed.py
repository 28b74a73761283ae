"""What the page *Findings* reads: each finding with its pictures, its places and its history."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from hulllog.insight.condition import ZoneState, zone_versions
from hulllog.insight.matters import MUST_ORDER, Matter, matters
from hulllog.insight.ownviews import OwnSeen, own_views
from hulllog.insight.placed import PhotoSeen, SpotSeen, photos_at, spots_at
from hulllog.insight.shape import form_of
from hulllog.records.model import AnodePosition, Finding, Gear, Zone, ZoneVersion
from hulllog.records.operations import queries
from hulllog.words import say, say_n
from hulllog.words.formats import joined, partial_date

if TYPE_CHECKING:
    from datetime import datetime

    from hulllog.hull.form import HullForm
    from hulllog.insight.matters import Done, Seen
    from hulllog.insight.occasions import Edge
    from hulllog.records.book import Book
    from hulllog.records.values import PartialDate

WITHDRAWN = "withdrawn"


@dataclass(frozen=True, slots=True)
class Told:
    """One line of a finding's history: when, what, and the text that belongs to it."""

    when: PartialDate | None
    what: str
    text: str = ""


@dataclass(frozen=True, slots=True)
class Listed:
    """A finding as a row shows it.  ``status_now`` is that of today, whatever edge is picked."""

    matter: Matter
    status_now: str
    photos: tuple[PhotoSeen, ...]
    zones: tuple[ZoneState, ...]
    spots: tuple[SpotSeen, ...]
    around: tuple[ZoneState, ...]
    """All zones of the boat, for the drawing."""
    history: tuple[Told, ...]
    things: tuple[str, ...] = ()
    """Names of the fittings and anodes that it is about."""
    late: bool = False
    """Whether it outlived the time by which something had to happen."""

    @property
    def seen_in(self) -> tuple[str, ...]:
        """The codes of the zones in which it lies, those of its spots among them."""
        keys = {spot.zone_id for spot in self.spots}
        return tuple(
            zone.code for zone in self.around if zone in self.zones or zone.zone_id in keys
        )

    @property
    def status(self) -> str:
        """How it stands at the edge: open, closed or withdrawn."""
        return WITHDRAWN if self.status_now == WITHDRAWN else self.matter.status

    @property
    def where(self) -> str:
        """The zones and spots that it is about, said."""
        spots = [
            say("spot.numbered_label", number=spot.number, label=spot.label) for spot in self.spots
        ]
        return "; ".join([*(zone.name for zone in self.zones), *spots, *self.things])


@dataclass(frozen=True, slots=True)
class Board:
    """All findings at an edge, with what is needed to draw and filter them."""

    rows: tuple[Listed, ...]
    zones: tuple[ZoneState, ...]
    form: HullForm | None
    own: tuple[OwnSeen, ...] = ()

    def fitting(self, must: str, zone_id: str) -> list[Listed]:
        """Return the rows that fit a filter; empty parts of it fit all."""
        return [
            row for row in self.rows if _fits(row, must) and (not zone_id or _is_in(row, zone_id))
        ]


def _fits(row: Listed, must: str) -> bool:
    if not must:
        return row.status != WITHDRAWN
    if must in MUST_ORDER:
        return row.status == "open" and row.matter.must == must
    return row.status == must


def _is_in(row: Listed, zone_id: str) -> bool:
    return any(zone.zone_id == zone_id for zone in row.zones) or any(
        spot.zone_id == zone_id for spot in row.spots
    )


def shown_of(row: Listed) -> list[PhotoSeen]:
    """Return the pictures of a row: the first since the finding was raised, and the newest.

    What a zone looked like years before tells nothing of a finding; where it has no picture since,
    the newest of all stands alone.
    """
    matter = row.matter
    since = [
        photo
        for photo in row.photos
        if photo.visit_id == matter.raised_visit_id
        or (photo.when and matter.raised and photo.when.latest >= matter.raised.earliest)
    ]
    shown = [*since[:1], *row.photos[-1:]]
    return shown[:1] if shown[:1] == shown[1:] else shown


def read_board(book: Book, edge: Edge | None, at: datetime | None = None) -> Board:
    """Read all findings up to the edge: open ones first, the most pressing first.

    ``at`` is the moment at which one is told to be overdue; without it none is.
    """
    zones = tuple(_zone(zone, version) for zone, version in zone_versions(book, edge))
    photos = [photo for photo in photos_at(book, edge) if photo.purged is None]
    spots = spots_at(book, edge)
    things = {gear.id: gear.name for gear in queries.kept(book, Gear)}
    things |= {anode.id: anode.name for anode in queries.kept(book, AnodePosition)}
    now = {finding.id: finding.status for finding in queries.kept(book, Finding)}
    rows = [
        _listed(matter, now[matter.finding_id], zones, spots, photos, things, at)
        for matter in matters(book, edge, with_withdrawn=True)
        if matter.finding_id in now
    ]
    rows.sort(key=_newest_closed_first)
    rows.sort(key=lambda row: ("open", "closed", WITHDRAWN).index(row.status))
    return Board(tuple(rows), zones, form_of(book, edge), tuple(own_views(book, edge)))


def _newest_closed_first(row: Listed) -> float:
    closed = row.matter.closed if row.status == "closed" else None
    return -closed.latest.timestamp() if closed else 0.0


def _zone(zone: Zone, version: ZoneVersion) -> ZoneState:
    return ZoneState(
        zone.id, version.id, zone.code, zone.name, "not_rated", outline=version.outline
    )


def _listed(
    matter: Matter,
    status_now: str,
    zones: tuple[ZoneState, ...],
    spots: list[SpotSeen],
    photos: list[PhotoSeen],
    things: dict[str, str],
    at: datetime | None,
) -> Listed:
    own_spots = tuple(spot for spot in spots if spot.spot_id in matter.spot_ids)
    own = [photo for photo in photos if photo.spot_id in matter.spot_ids and photo.spot_id]
    if not own:
        own = [photo for photo in photos if photo.zone_id and photo.zone_id in matter.zone_ids]
    unique = {photo.photo_id: photo for photo in own}
    return Listed(
        matter,
        status_now,
        tuple(unique.values()),
        tuple(zone for zone in zones if zone.zone_id in matter.zone_ids),
        own_spots,
        zones,
        tuple(_history(matter)),
        tuple(
            things[key] for key in (*matter.gear_ids, *matter.anode_position_ids) if key in things
        ),
        at is not None and matter.overdue(at) is not None,
    )


def _history(matter: Matter) -> list[Told]:
    """Return what was seen and done, in the order in which it happened."""
    raised = Told(matter.raised, say("findings_page.raised_then"), matter.note or "")
    told = [*(_seen(seen) for seen in matter.seen), *(_done(done, matter) for done in matter.done)]
    dated = [one for one in told if one.when is not None]
    dated.sort(key=lambda one: one.when.earliest)  # type: ignore[union-attr]
    return [raised, *dated, *(one for one in told if one.when is None)]


def _seen(seen: Seen) -> Told:
    parts = [say(f"seen.{seen.seen}")]
    if seen.state != "found":
        parts.append(say(f"state.{seen.state}"))
    if seen.severity:
        parts.append(say(f"severity.{seen.severity}"))
    return Told(seen.when, ", ".join(parts), seen.text or "")


def _done(done: Done, matter: Matter) -> Told:
    closing = matter.closed_by is not None and matter.closed_by.work_id == done.work_id
    parts = [say("findings_page.closed_then" if closing else "findings_page.worked_then")]
    if done.by:
        parts.append(say("findings_page.by", who=done.by))
    if done.documents:
        parts.append(joined(done.documents))
    if done.photos:
        parts.append(say_n("photo.count", done.photos))
    return Told(done.when or (matter.closed if closing else None), ", ".join(parts), done.text)


def last_seen(matter: Matter) -> str:
    """Say when it was seen last, and what the last look said."""
    if not matter.seen:
        return say("findings_page.never_again")
    last = matter.seen[-1]
    when = partial_date(last.when) if last.when else say("word.not_recorded")
    return say(f"findings_page.last_{last.seen}", when=when)
