"""What a haul-out leads through, in the order in which evidence goes, by the material of the hull.

A task is held as done where the records of the visit show it, never because a box was ticked.
What cannot be had later is named as such; a task that came too late is told, and may still be
entered.  The order and the times are common practice, no published source.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import TYPE_CHECKING

from sqlalchemy import select

from hulllog.insight.sheetmeasures import instruments
from hulllog.insight.walking import METAL_KEELS, SWEPT_AGAIN, boat_of, not_before
from hulllog.insight.yard import walked
from hulllog.records.model import (
    AnodeCheck,
    AnodePiece,
    AnodePosition,
    Coat,
    Gear,
    GearCheck,
    Inspection,
    MeasurementSet,
    PadPosition,
    Photo,
    StageTime,
    Visit,
    Zone,
    ZoneVersion,
)
from hulllog.records.operations import queries
from hulllog.records.operations.choices import STAGES

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from hulllog.records.book import Book

_METAL = frozenset({"steel", "aluminium"})
_EVERY: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True)
class _Held:
    """What the records of one visit hold, read once."""

    visit: Visit
    photos: Sequence[Photo]
    inspections: Sequence[tuple[Inspection, str]]
    """Each with the code of its zone."""
    sets: Sequence[MeasurementSet]
    gear: Mapping[str, str]
    """Id of a fitting -> its sort."""
    looked_at: frozenset[str]
    """Fittings that were looked at."""
    pads: Sequence[PadPosition]
    anodes: tuple[int, int]
    renewed: int
    coats: int
    walks: Mapping[str, tuple[int, int]]
    """Plan -> (zones with an answer, zones)."""
    under: bool
    """Whether she has a face that bears on what she stands on."""
    instruments: frozenset[str]
    """Sorts of instruments on record."""

    def walked(self, plan: str) -> bool:
        """Tell whether every zone of a walk has its answer."""
        done, of = self.walks.get(plan, (0, 0))
        return 0 < of <= done

    def photos_in(self, state: str) -> int:
        return sum((photo.state or "found") == state for photo in self.photos)

    def measured(self, *kinds: str) -> bool:
        return any(one.kind in kinds for one in self.sets)

    def all_looked_at(self, *sorts: str) -> bool:
        """Tell whether every fitting of these sorts was looked at, and there is one."""
        wanted = {key for key, sort in self.gear.items() if sort in sorts}
        return bool(wanted) and wanted <= self.looked_at

    def has(self, *sorts: str) -> bool:
        return any(sort in sorts for sort in self.gear.values())


Rule = Callable[[_Held], bool]


@dataclass(frozen=True, slots=True)
class Task:
    """One thing to see or do: the stage it belongs to, and where it is entered.

    ``leads_to`` is a part of the haul-out's page, a row of the ``sheet:``, ``gear``,
    ``hull:`` with a kind, or ``walk:``
    with the code of a walk of its own.

    ``lost`` says that it cannot be had once the next stage is reached.  ``after`` is how long she
    must have been ashore.  ``done`` is None where no record could show it: it only reminds.
    """

    code: str
    stage: str
    leads_to: str
    done: Rule | None = None
    soft: Rule | None = None
    """Where it is only a reminder until a record shows it."""
    lost: bool = False
    materials: frozenset[str] = _EVERY
    applies: Rule | None = None
    after: timedelta | None = None
    needs: str = ""
    """The sort of instrument without which it is not asked."""


def _always(_held: _Held) -> bool:
    return True


def _under_faces(held: _Held) -> list[Inspection]:
    return [
        look for look, code in held.inspections if code.endswith("-under") and look.state == "found"
    ]


_STERN_GEAR = ("shaft", "bearing", "propeller", "bracket", "rudder", "rudder_bearing")
_VALVES = ("seacock", "skin_fitting")

TASKS: tuple[Task, ...] = (
    Task("sides", "lifted", "photos", lambda h: h.photos_in("found") >= 2, lost=True),
    Task("fouling", "lifted", "walk", lambda h: h.walked("before_wash"), lost=True),
    Task("scum_line", "lifted", "steps", lambda h: h.visit.scum_line is not None, lost=True),
    Task(
        "slings", "lifted", "sheet:sling", lambda h: any(pad.sort == "sling" for pad in h.pads),
        soft=_always, lost=True, applies=lambda h: h.visit.way in ("hoist", "crane"),
    ),
    Task(
        "underside", "lifted", "walk", lambda h: bool(_under_faces(h)), lost=True,
        applies=lambda h: h.under and h.visit.way in ("hoist", "crane"),
    ),
    Task(
        "wet_blisters", "washed", "walk", lambda h: h.walked("after_wash"),
        lost=True, materials=frozenset({"grp"}),
    ),
    Task(
        "weeps", "washed", "gear",
        lambda h: h.all_looked_at("keel_joint") or h.all_looked_at("rudder"),
        soft=_always, lost=True,
    ),
    Task(
        "rust", "washed", "walk", lambda h: h.walked("after_wash"),
        materials=_METAL | {"ferrocement", "iron_keel"},
    ),
    Task(
        "washed_hull", "washed", "walk", lambda h: h.walked("after_wash"),
        materials=frozenset({"wood"}),
    ),
    Task(
        "supports", "washed", "sheet:pad_port",
        lambda h: any(pad.sort != "sling" for pad in h.pads),
        soft=_always,
    ),
    Task("anodes_in_place", "opened_up", "photos", lost=True),
    Task(
        "anodes", "opened_up", "anodes", lambda h: 0 < h.anodes[1] <= h.anodes[0],
        soft=lambda h: h.anodes[1] == 0,
    ),
    Task(
        "sounded", "opened_up", "walk:sounded", lambda h: h.walked("sounded"),
        materials=frozenset({"grp", "ferrocement"}),
    ),
    Task(
        "stern_gear", "opened_up", "gear", lambda h: h.all_looked_at(*_STERN_GEAR),
        applies=lambda h: h.has(*_STERN_GEAR),
    ),
    Task(
        "valves", "opened_up", "gear", lambda h: h.all_looked_at(*_VALVES),
        applies=lambda h: h.has(*_VALVES),
    ),
    Task(
        "plates", "opened_up", "hull:plate-thickness",
        lambda h: h.measured("plate-thickness"),
        materials=_METAL, needs="plate_gauge",
    ),
    Task(
        "seams", "opened_up", "hull:seam-gap", lambda h: h.measured("seam-gap"),
        materials=frozenset({"wood"}),
    ),
    Task(
        "soft_wood", "opened_up", "walk:sounded", lambda h: h.walked("sounded"),
        materials=frozenset({"wood"}),
    ),
    Task(
        "fastenings", "opened_up", "gear", lambda h: h.all_looked_at("keel_bolt"),
        materials=frozenset({"wood"}),
    ),
    Task(
        "moisture", "opened_up", "hull:moisture",
        lambda h: h.measured("moisture", "timber-moisture"),
        materials=frozenset({"grp", "wood", "ferrocement"}), after=timedelta(days=5),
        needs="moisture_meter",
    ),
    Task(
        "second_sweep", "opened_up", "walk:second_sweep", lambda h: h.walked("second_sweep"),
        materials=frozenset({"grp"}), after=SWEPT_AGAIN,
    ),
    Task("bare", "prepared", "photos", lambda h: h.photos_in("during") > 0),
    Task("coats", "coated", "paint", lambda h: h.coats > 0),
    Task("pads_moved", "coated", "paint"),
    Task("anodes_new", "ready", "anodes", lambda h: h.renewed > 0, soft=_always),
    Task("as_left", "ready", "photos", lambda h: h.photos_in("left") >= 4),
    Task("shut", "ready", "gear", applies=lambda h: h.has(*_VALVES)),
    Task("leaks", "relaunched", "notes"),
    Task("take_up", "relaunched", "notes", materials=frozenset({"wood"})),
    Task("afloat", "relaunched", "notes"),
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Led:
    """A task at one haul-out.

    ``state`` is done, open, gone (it could only be had before), early (before ``not_before``), or
    reminder where no record can show it.  ``not_before`` stays with a task that has come due.
    """

    code: str
    stage: str
    leads_to: str
    lost: bool
    state: str
    not_before: datetime | None = None


def led(book: Book, visit_id: str, now: datetime) -> list[Led]:
    """Return the tasks of a haul-out in their order.  Raises LookupError for one that is not there.

    Which tasks there are follows from the material of the hull, the keel, the way she came out, the
    gear and the instruments on record.
    """
    held, reached = _read(book, visit_id)
    made_of = _made_of(book)
    return [
        Led(
            task.code,
            task.stage,
            task.leads_to,
            task.lost,
            *_state(task, held, reached, not_before(book, held.visit, task.after), now),
        )
        for task in TASKS
        if (not task.materials or task.materials & made_of)
        and (task.applies is None or task.applies(held))
        and (not task.needs or task.needs in held.instruments or (task.done and task.done(held)))
    ]


def lacking(book: Book) -> dict[str, tuple[str, ...]]:
    """Return stage -> the instruments that are not on record, so that a task is not asked."""
    made_of, there = _made_of(book), set(instruments(book))
    found: dict[str, tuple[str, ...]] = {}
    for task in TASKS:
        if task.needs and task.needs not in there and task.materials & made_of:
            found[task.stage] = (*found.get(task.stage, ()), task.needs)
    return found


def _made_of(book: Book) -> set[str]:
    material, keel = boat_of(book)
    return {material} | ({"iron_keel"} if keel in METAL_KEELS else set())


def never_to_be_had(book: Book, visit_id: str, now: datetime) -> list[str]:
    """Return the tasks that were not done and cannot be done once she is back in the water."""
    return [
        task.code
        for task in led(book, visit_id, now)
        if task.lost and task.state in ("open", "gone", "early")
    ]


def _state(
    task: Task, held: _Held, reached: int, begins: datetime | None, now: datetime
) -> tuple[str, datetime | None]:
    if task.done is None:
        return "reminder", None
    if task.done(held):
        return "done", None
    if task.soft is not None and task.soft(held):
        return "reminder", None
    if task.lost and reached > STAGES.index(task.stage):
        return "gone", None
    if begins is not None:
        if held.visit.ends is not None and held.visit.ends.latest < begins:
            return "gone", begins
        if now < begins:
            return "early", begins
    return "open", begins


def _read(book: Book, visit_id: str) -> tuple[_Held, int]:
    """Return what the visit holds, and the place of the last stage reached."""
    visit = book.get(Visit, visit_id)
    if visit is None:
        raise LookupError(visit_id)
    return _held(book, visit), stage_reached(book, visit)


def _stages(book: Book, visit_id: str) -> list[StageTime]:
    kept = queries.kept(book, StageTime, StageTime.visit_id == visit_id)
    return [stage for stage in kept if stage.at is not None]


def stage_reached(book: Book, visit: Visit) -> int:
    """Return the place of the last stage reached; past the last one when she is afloat again."""
    if visit.ends is not None:
        return len(STAGES)
    return max((STAGES.index(one.stage) for one in _stages(book, visit.id)), default=0)


def stage_times(book: Book, visit_id: str) -> dict[str, datetime]:
    """Return stage -> when it was reached, of those known to the minute."""
    return {
        one.stage: one.at.earliest
        for one in _stages(book, visit_id)
        if one.at is not None and one.at.precision == "time" and not one.at.about
    }


def _held(book: Book, visit: Visit) -> _Held:
    here, kept = visit.id, queries.kept
    zones = select(ZoneVersion.id, Zone.code).join(Zone, Zone.id == ZoneVersion.zone_id)
    codes: dict[str, str] = dict(book.execute(zones).all())
    pieces = {piece.id: piece for piece in kept(book, AnodePiece)}
    checks = kept(book, AnodeCheck, AnodeCheck.visit_id == here)
    checked = {pieces[check.piece_id].position_id for check in checks if check.piece_id in pieces}
    renewed = {
        p.position_id for p in pieces.values() if p.fitted_visit_id == here and not p.moved_from_id
    }
    looks = kept(book, Inspection, Inspection.visit_id == here)
    return _Held(
        visit,
        kept(book, Photo, Photo.visit_id == here),
        [(look, codes.get(look.zone_version_id, "")) for look in looks],
        kept(book, MeasurementSet, MeasurementSet.visit_id == here),
        {fitting.id: fitting.sort for fitting in kept(book, Gear)},
        frozenset(look.gear_id for look in kept(book, GearCheck, GearCheck.visit_id == here)),
        kept(book, PadPosition, PadPosition.visit_id == here),
        (len(checked | renewed), len(kept(book, AnodePosition))),
        len(renewed),
        len(kept(book, Coat, Coat.visit_id == here)),
        walked(book, here),
        any(zone.code.endswith("-under") for zone, _ in queries.zones_at(book, here)),
        frozenset(instruments(book)),
    )


def offered_times(book: Book, visit_id: str) -> dict[str, datetime]:
    """Return stage -> a time offered from the photographs, where the stage has none.

    Lifted by the first picture of how she was found, ready by the first of how she was left, each
    with the correction of its camera's clock.
    """
    found: dict[str, datetime] = {}
    known = {
        stage.stage
        for stage in queries.kept(book, StageTime, StageTime.visit_id == visit_id)
        if stage.at is not None
    }
    for photo in queries.kept(book, Photo, Photo.visit_id == visit_id):
        stage = {"found": "lifted", "left": "ready"}.get(photo.state or "found")
        if stage is None or stage in known or photo.captured is None:
            continue
        if (at := queries.taken_at(photo)) is not None:
            found[stage] = min(at, found.get(stage, at))
    return found
