"""Everything a condition history tells, gathered from the records before a page is laid out."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime
from typing import TYPE_CHECKING, TypeVar

from sqlalchemy import func, select

from hulllog.insight.aftermath import aftermaths
from hulllog.insight.anodes import PositionStory, positions
from hulllog.insight.condition import ZoneState, hull_state
from hulllog.insight.contradictions import Contradiction, compared, contradictions
from hulllog.insight.corrected import Corrected, corrected
from hulllog.insight.due import Due, dues
from hulllog.insight.gear import GearStory, gear_stories
from hulllog.insight.judging import ZoneJudged, judged_spots, judged_zones
from hulllog.insight.keydates import KeyDate, key_dates
from hulllog.insight.matters import (
    Asked,
    LeftOut,
    Matter,
    NoteSeen,
    asked,
    left_out,
    matters,
    notes_for_next_time,
)
from hulllog.insight.occasions import OUT_OF_WATER, Edge, visits
from hulllog.insight.overview import (
    GrowthAlone,
    HowSeen,
    Unseen,
    VisitLine,
    growth_alone,
    how_seen,
    kinds_looked_for,
    kinds_on_record,
    unseen,
    visit_lines,
)
from hulllog.insight.ownviews import OwnSeen, own_views
from hulllog.insight.paint import BuildUp, Thread, build_ups, threads
from hulllog.insight.parts import Metered, metered
from hulllog.insight.pictured import Shown, of_findings, photographs, without_pictures
from hulllog.insight.placed import SpotSeen, spots_at
from hulllog.insight.shades import FOULING
from hulllog.insight.shape import form_version
from hulllog.insight.summary import Said, looked_since, summary
from hulllog.insight.timeline import EventSeen, Timeline, events, timeline
from hulllog.records.model import (
    BerthPeriod,
    Document,
    FormerName,
    IssuedHistory,
    OwnView,
    Photo,
    Registration,
    Spot,
    Vessel,
    Visit,
    Zone,
)
from hulllog.records.operations.queries import time_zone

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hulllog.records.book import Book
    from hulllog.records.model import FormVersion


K = TypeVar("K", FormerName, Registration, BerthPeriod, Document, OwnView)


@dataclass(frozen=True, slots=True)
class State:
    """The zones of one kind at the last haul-out: as found, as left, and between."""

    kind: str
    found: tuple[ZoneState, ...]
    left: tuple[ZoneState, ...]
    during: tuple[ZoneState, ...] = ()
    """As looked at again during the work."""

    @property
    def seen_as_left(self) -> bool:
        """Tell whether any zone was looked at after the work: else *as left* is no picture."""
        return any(zone.coverage != "not_looked" and not zone.from_found for zone in self.left)


@dataclass(frozen=True, slots=True)
class Contents:
    """What the history is made of.  Dates are partial, figures are workings, the rest codes."""

    vessel: Vessel
    form: FormVersion | None
    own_views: tuple[OwnSeen, ...]
    former_names: tuple[FormerName, ...]
    registrations: tuple[Registration, ...]
    berths: tuple[BerthPeriod, ...]
    visits: tuple[VisitLine, ...]
    last: Visit | None
    states: tuple[State, ...]
    unseen: tuple[Unseen, ...]
    matters: tuple[Matter, ...]
    left_out: tuple[LeftOut, ...]
    asked: tuple[Asked, ...]
    notes: tuple[NoteSeen, ...]
    gear: tuple[GearStory, ...]
    metered: tuple[Metered, ...]
    key_dates: tuple[KeyDate, ...]
    anodes: tuple[PositionStory, ...]
    zones_judged: tuple[ZoneJudged, ...]
    spots_judged: tuple[ZoneJudged, ...]
    threads: tuple[Thread, ...]
    build_ups: tuple[tuple[str, BuildUp], ...]
    events: tuple[EventSeen, ...]
    corrections: tuple[Corrected, ...]
    contradictions: tuple[Contradiction, ...]
    compared: tuple[tuple[str, int], ...]
    """How many records of each sort were held against others."""
    issued: tuple[IssuedHistory, ...]
    """The histories issued before, the newest first."""
    photos: tuple[Photo, ...]
    own_pictures: tuple[OwnView, ...]
    """The files of own views."""
    documents: tuple[Document, ...]
    keepers: tuple[str, ...]
    zone_names: dict[str, str]
    zone_of_spot: dict[str, str | None]
    spots: dict[str, SpotSeen]
    timeline: Timeline
    dues: tuple[Due, ...]
    zone: str
    """The time zone instants are told in."""
    summary: tuple[Said, ...]
    combined: State
    """All kinds but fouling in one: each zone by what was worst there of its kind."""
    at: datetime
    """The moment as at which it tells."""
    last_line: VisitLine | None
    """When she was last out of the water."""
    growth: GrowthAlone
    """Zones seen lately, but for growth alone."""
    how_seen: dict[str, HowSeen]
    """Zone -> how it was seen at the last haul-out."""
    later_line: VisitLine | None
    """The last look since then."""
    shown: tuple[Shown, ...]
    """The photographs by what they show."""
    pictured: dict[str, tuple[Shown, ...]]
    """Finding -> its photographs."""
    camera_alone: frozenset[str]
    """Visits at which a camera was used and of which no picture is kept."""

    @property
    def judged(self) -> list[ZoneJudged]:
        """All that is followed: zones, spots and gear."""
        courses = [course for story in self.gear for course in story.courses]
        return [*self.zones_judged, *self.spots_judged, *courses]


def gather(book: Book, now: datetime) -> Contents | None:
    """Gather the contents as at ``now``; None while there is no vessel on record."""
    vessel = book.scalar(select(Vessel))
    if vessel is None:
        return None
    last = _last_haul_out(book)
    lines = tuple(visit_lines(book))
    found, wanted = tuple(matters(book)), tuple(asked(book))
    missed, wear = tuple(unseen(book)), tuple(positions(book))
    gear = tuple(gear_stories(book, None, now))
    judged = tuple(judged_zones(book))
    states = _states(book, last)
    last_line = next((line for line in lines if last and line.visit_id == last.id), None)
    later_line = looked_since(lines, last_line)
    growth = growth_alone(book)
    return Contents(
        at=now,
        shown=tuple(photographs(book)),
        pictured=of_findings(book),
        camera_alone=without_pictures(book),
        last_line=last_line,
        how_seen=how_seen(book, last.id) if last else {},
        later_line=later_line,
        growth=growth,
        vessel=vessel,
        form=form_version(book),
        own_views=tuple(own_views(book, Edge(last.id, "left") if last else None)),
        former_names=_kept(book, FormerName),
        registrations=_kept(book, Registration),
        berths=_kept(book, BerthPeriod),
        visits=lines,
        last=last,
        states=states,
        unseen=missed,
        matters=found,
        left_out=tuple(left_out(book)),
        asked=wanted,
        notes=tuple(notes_for_next_time(book)),
        gear=gear,
        metered=tuple(metered(book)),
        key_dates=tuple(key_dates(book)),
        anodes=wear,
        zones_judged=judged,
        spots_judged=tuple(judged_spots(book)),
        threads=tuple(threads(book)),
        build_ups=_build_ups(book),
        events=tuple(events(book)),
        corrections=tuple(corrected(book)),
        contradictions=tuple(contradictions(book)),
        compared=tuple(compared(book)),
        issued=tuple(book.scalars(select(IssuedHistory).order_by(IssuedHistory.issued_at.desc()))),
        photos=_photos(book),
        own_pictures=_kept(book, OwnView),
        documents=_kept(book, Document),
        keepers=tuple(book.scalars(select(Visit.entered_by).distinct().order_by(Visit.entered_by))),
        zone_of_spot={spot.id: spot.zone_id for spot in book.scalars(select(Spot))},
        spots={spot.spot_id: spot for spot in spots_at(book, None)},
        zone_names={zone.id: zone.name for zone in book.scalars(select(Zone))},
        timeline=timeline(book),
        dues=tuple(dues(book, now)),
        zone=time_zone(book),
        combined=_combined(states),
        summary=tuple(
            summary(
                last_line,
                found,
                wanted,
                judged,
                missed,
                wear,
                now,
                later=later_line,
                after=aftermaths(book),
                growth=growth,
                gear=gear,
            )
        ),
    )


def _kept(book: Book, model: type[K]) -> tuple[K, ...]:
    query = select(model).where(model.withdrawn.is_(False)).order_by(model.entered_at, model.id)
    return tuple(book.scalars(query))


def _last_haul_out(book: Book) -> Visit | None:
    ashore = [visit for visit in visits(book) if visit.kind in OUT_OF_WATER and visit.begins]
    return ashore[-1] if ashore else None


def _states(book: Book, last: Visit | None) -> tuple[State, ...]:
    if last is None:
        return ()
    looked = list(
        dict.fromkeys([*kinds_on_record(book), *last.looked_for, *kinds_looked_for(book, last.id)])
    )
    return tuple(
        State(
            kind,
            tuple(hull_state(book, Edge(last.id, "found"), kind)),
            tuple(hull_state(book, Edge(last.id, "left"), kind)),
            tuple(hull_state(book, Edge(last.id, "during"), kind)),
        )
        for kind in looked
    )


def _combined(states: Sequence[State]) -> State:
    """Put the kinds of the hull together; fouling is of the paint."""
    states = [_as_drawn(state) for state in states]
    hull = [state for state in states if state.kind not in FOULING]
    if not hull and states:
        return states[0]  # nothing but growth was looked for; it is drawn as what it is
    return State(
        "*",
        tuple(_most_telling(zones) for zones in zip(*(s.found for s in hull), strict=True)),
        tuple(_most_telling(zones) for zones in zip(*(s.left for s in hull), strict=True)),
    )


def _as_drawn(state: State) -> State:
    """Draw a zone that nobody looked at after the work as it was found, never as seen meanwhile."""
    left = (
        replace(found, from_found=True) if zone.from_found else zone
        for found, zone in zip(state.found, state.left, strict=True)
    )
    return replace(state, left=tuple(left))


_RANK = ("not_looked", "not_seen", "not_applicable", "not_rated", "none_found", "graded")


def _most_telling(zones: tuple[ZoneState, ...]) -> ZoneState:
    return max(zones, key=lambda zone: (_RANK.index(zone.appearance), zone.step or 0))


def _build_ups(book: Book) -> tuple[tuple[str, BuildUp], ...]:
    """Return the build-up of each zone that has coats."""
    return tuple((zone.name, section) for zone, section in build_ups(book) if section.layers)


def _photos(book: Book) -> tuple[Photo, ...]:
    query = select(Photo).where(Photo.withdrawn.is_(False), Photo.purged_reason.is_(None))
    return tuple(
        book.scalars(query.order_by(func.coalesce(Photo.captured_earliest, ""), Photo.id))  # type: ignore[attr-defined]
    )
