"""The pictures that a haul-out wants, ticked by the pictures that are there.

A picture counts where its owner named it as that shot, or where what it shows and the state it
shows her in say so; never because a box was ticked.  The list and what cannot be had later are
common practice, no published source.  Under a boat that hangs no picture is asked for: what cannot
be seen from outside her outline is left.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from sqlalchemy import select

from hulllog.insight.leading import stage_reached, stage_times
from hulllog.records.model import Annotation, Gear, Photo, PhotoPlace, Visit, Zone
from hulllog.records.operations import queries
from hulllog.records.operations.choices import STAGES
from hulllog.records.operations.photos import NAMED_SHOT

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import datetime

    from hulllog.records.book import Book


@dataclass(frozen=True, slots=True)
class Seen:
    """What is known of a picture of the visit."""

    photo_id: str
    state: str
    named: str | None
    zones: frozenset[str]
    anodes: bool
    after_wash: bool
    """Whether it was certainly taken after she was washed."""

    def first(self) -> bool:
        """Tell whether it shows her as found, before the wash as far as is known."""
        return self.state == "found" and not self.after_wash


Rule = Callable[[Seen], object]
"""Returns what of the wanted a picture shows, such as a side; None for nothing of it."""


@dataclass(frozen=True, slots=True)
class Shot:
    """One sort of picture: how many, at which stage, whether it can be had later."""

    code: str
    stage: str
    wanted: int = 1
    shows: Rule | None = None
    """None where only its name tells."""
    lost: bool = False
    gear: frozenset[str] = frozenset()
    """Sorts of gear of which one must be on record for the shot to be wanted."""
    hangs: bool = False
    """Whether she usually hangs then, so that the caution stands beside it."""
    ways: frozenset[str] = frozenset()


def _side(seen: Seen, *begins: str) -> str | None:
    """Return which side of some zones a picture shows, before the wash."""
    if not seen.first():
        return None
    found = sorted(code for code in seen.zones if code.startswith(begins))
    return found[0].rsplit("-", 1)[-1] if found else None


def _one(seen: Seen, *begins: str) -> str | None:
    """Tell by its key that a picture shows some zones before the wash."""
    return seen.photo_id if _side(seen, *begins) else None


def _keel(seen: Seen) -> str | None:
    found = [code for code in seen.zones if code.startswith("keel") and "-under" not in code]
    return min(found) if seen.first() and found else None


def _under(seen: Seen) -> str | None:
    return seen.photo_id if any("-under" in code for code in seen.zones) else None


def _in_state(seen: Seen, state: str) -> str | None:
    return seen.photo_id if seen.state == state else None


_LIFTED = frozenset({"hoist", "crane"})
_VALVES = frozenset({"seacock", "skin_fitting"})
_SHAFT = frozenset({"shaft", "propeller", "bracket", "saildrive", "outdrive"})

SHOTS: tuple[Shot, ...] = (
    Shot("sides", "lifted", 2, lambda s: _side(s, "topsides"), lost=True, hangs=True),
    Shot("quarters", "lifted", 4, lost=True, hangs=True),
    Shot("waterline", "lifted", 2, lambda s: _side(s, "waterline"), lost=True, hangs=True),
    Shot("keel", "lifted", 2, _keel, lost=True, hangs=True),
    Shot("underside", "lifted", 1, _under, lost=True, hangs=True),
    Shot("rudder", "lifted", 1, lambda s: _one(s, "rudder", "skeg"), lost=True, hangs=True),
    Shot(
        "stern_gear", "lifted", 1,
        lambda s: s.photo_id if s.anodes and s.first() else None, lost=True, hangs=True,
    ),
    Shot("intakes", "lifted", 1, lost=True, hangs=True),
    Shot("slings", "lifted", 1, lost=True, hangs=True, ways=_LIFTED),
    Shot("quarters_washed", "washed", 4),
    Shot("joint", "washed", 2, lost=True, hangs=True),
    Shot("stem", "washed", 1, lost=True, hangs=True),
    Shot("rudder_foot", "washed", 1, lost=True, gear=frozenset({"rudder", "rudder_bearing"})),
    Shot("damage", "washed", 1),
    Shot("supports", "washed", 1),
    Shot("fittings", "opened_up", 1, gear=_VALVES),
    Shot("propeller", "opened_up", 2, gear=_SHAFT),
    Shot("bearing", "opened_up", 1, gear=frozenset({"bearing", "bracket"})),
    Shot("anodes_beside", "opened_up", 1),
    Shot("patches", "prepared", 1, lambda s: _in_state(s, "during")),
    Shot("tins", "coated", 1),
    Shot("inside", "opened_up", 5),
    Shot("as_left", "ready", 4, lambda s: _in_state(s, "left")),
)  # fmt: skip
CODES = tuple(shot.code for shot in SHOTS)


@dataclass(frozen=True, slots=True)
class ShotHeld:
    """A shot of a visit: how many there are of how many.

    ``state`` is done, part, open, or gone where it could only be had at a stage that is over.
    """

    code: str
    stage: str
    lost: bool
    hangs: bool
    have: int
    wanted: int
    state: str


def shot_list(book: Book, visit_id: str) -> list[ShotHeld]:
    """Return the shots of a haul-out, those first that cannot be had later and wait.

    Raises LookupError for a visit that is not there.
    """
    visit = book.get(Visit, visit_id)
    if visit is None:
        raise LookupError(visit_id)
    reached = stage_reached(book, visit)
    sorts = {gear.sort for gear in queries.kept(book, Gear)}
    seen = _pictures(book, visit)
    found = [
        _held(shot, seen, reached)
        for shot in SHOTS
        if (not shot.gear or not sorts or shot.gear & sorts)
        and (not shot.ways or visit.way in shot.ways)
    ]
    return sorted(found, key=lambda held: not (held.lost and held.state in ("open", "part")))


def named_shots(book: Book, visit_id: str) -> dict[str, str]:
    """Return photo key -> code of the shot that its owner named it."""
    return {seen_id: code for seen_id, code in _names(book, visit_id).items() if code}


def _held(shot: Shot, seen: Sequence[Seen], reached: int) -> ShotHeld:
    """Count different things shown, and pictures that were named."""
    shown: set[object] = {one.photo_id for one in seen if one.named == shot.code}
    if shot.shows is not None:
        told = (shot.shows(one) for one in seen if not one.named)
        shown |= {what for what in told if what is not None}
    have = min(len(shown), shot.wanted)
    over = shot.lost and reached > STAGES.index(shot.stage)
    state = "done" if have == shot.wanted else "gone" if over else "part" if have else "open"
    return ShotHeld(shot.code, shot.stage, shot.lost, shot.hangs, have, shot.wanted, state)


def _pictures(book: Book, visit: Visit) -> list[Seen]:
    codes: Mapping[str, str] = {zone.id: zone.code for zone in queries.kept(book, Zone)}
    washed = stage_times(book, visit.id).get("washed")
    names = _names(book, visit.id)
    photos = queries.kept(book, Photo, Photo.visit_id == visit.id)
    places: dict[str, list[PhotoPlace]] = {}
    for place in queries.kept(book, PhotoPlace):
        places.setdefault(place.photo_id, []).append(place)
    return [
        Seen(
            photo.id,
            photo.state or "found",
            names.get(photo.id),
            frozenset(
                codes.get(place.zone_id, "") for place in places.get(photo.id, ()) if place.zone_id
            ),
            any(place.anode_position_id for place in places.get(photo.id, ())),
            _after(photo, washed),
        )
        for photo in photos
    ]


def _after(photo: Photo, washed: datetime | None) -> bool:
    """Tell whether a picture was certainly taken after she was washed."""
    taken = queries.taken_at(photo)
    return washed is not None and taken is not None and taken > washed


def _names(book: Book, visit_id: str) -> dict[str, str | None]:
    query = (
        select(Annotation)
        .join(Photo, Photo.id == Annotation.photo_id)
        .where(Photo.visit_id == visit_id, Annotation.sort == NAMED_SHOT)
        .where(Annotation.withdrawn.is_(False))
        .order_by(Annotation.entered_at)
    )
    return {one.photo_id: one.text for one in book.scalars(query)}
