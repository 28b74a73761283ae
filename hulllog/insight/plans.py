"""Plans that were kept: what they hold, what they leave uncoated, and what was really done."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from sqlalchemy import select

from hulllog.insight.fitting import GROUPS
from hulllog.insight.occasions import visits
from hulllog.insight.paint import coats_of
from hulllog.insight.reached import missed_by_whole_bottom
from hulllog.records.model import AnodePiece, Plan, PlanTask
from hulllog.records.operations import queries

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from datetime import date

    from hulllog.records.book import Book
    from hulllog.records.model import Visit
    from hulllog.records.values import PartialDate

LATE = ("pads", "under")
"""Parts of the work that she stands on: what stays uncoated there is carried to next time."""


@dataclass(frozen=True, slots=True)
class PartKept:
    """A part of the work in a plan: its zones, and how many coats of those that were asked for."""

    area: str
    zone_ids: tuple[str, ...]
    got: int
    wanted: int


@dataclass(frozen=True, slots=True)
class PlanKept:
    """A plan with its tasks in the order of time, by the clock of the place."""

    plan_id: str
    name: str
    verdict: str
    visit_id: str | None
    time_zone: str
    tasks: tuple[PlanTask, ...]
    parts: tuple[PartKept, ...]
    cells: Mapping[str, str]
    zones: Mapping[str, tuple[str, ...]]

    @property
    def days(self) -> tuple[date, date]:
        """The first and the last day of its tasks."""
        zone = ZoneInfo(self.time_zone)
        first, last = self.tasks[0].begins, self.tasks[-1].begins
        return first.astimezone(zone).date(), last.astimezone(zone).date()

    @property
    def uncoated(self) -> tuple[str, ...]:
        """The parts that she stands on and that the plan gives no coat."""
        return tuple(one.area for one in self.parts if one.area in LATE and not one.got)


def kept_plans(book: Book) -> list[PlanKept]:
    """Return the plans that are not withdrawn, the newest first."""
    tasks = tasks_by_plan(book)
    found = (_plan(book, one, tasks.get(one.id, [])) for one in queries.kept(book, Plan))
    return [one for one in reversed(list(found)) if one.tasks]


def tasks_by_plan(book: Book) -> dict[str, list[PlanTask]]:
    """Return the tasks of every plan in the order of time."""
    query = select(PlanTask).where(PlanTask.withdrawn.is_(False))
    found: dict[str, list[PlanTask]] = {}
    for one in book.scalars(query.order_by(PlanTask.begins, PlanTask.ends, PlanTask.area)):
        found.setdefault(one.plan_id, []).append(one)
    return found


def _plan(book: Book, plan: Plan, tasks: Sequence[PlanTask]) -> PlanKept:
    """Read a plan; what another version wrote otherwise counts as not written."""
    cells = {str(name): str(text) for name, text in _table(plan.asked, "cells").items()}
    zones = {
        str(group): tuple(map(str, keys))
        for group, keys in _table(plan.asked, "zones").items()
        if isinstance(keys, list)
    }
    return PlanKept(
        plan.id,
        plan.name,
        plan.verdict,
        plan.visit_id,
        time_zone_of(book, plan),
        tuple(tasks),
        tuple(_parts(cells, zones, tasks)),
        cells,
        zones,
    )


def _table(asked: Mapping[str, Any], name: str) -> dict[Any, Any]:
    found = asked.get(name)
    return found if isinstance(found, dict) else {}


def time_zone_of(book: Book, plan: Plan) -> str:
    """Return the time zone by whose clock a plan was made."""
    named = plan.asked.get("time_zone")
    try:
        return ZoneInfo(str(named)).key if named else queries.time_zone(book)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        return queries.time_zone(book)


def _parts(
    cells: Mapping[str, str], zones: Mapping[str, tuple[str, ...]], tasks: Sequence[PlanTask]
) -> list[PartKept]:
    got = Counter(one.area for one in tasks if one.code == "coat")
    found = []
    for group in GROUPS:
        wanted = sum(_whole(cells.get(f"{group}_{name}")) for name in ("first_coats", "coats"))
        if wanted and zones.get(group):
            found.append(PartKept(group, zones[group], got[group], wanted))
    return found


def _whole(text: str | None) -> int:
    typed = (text or "").strip()
    return int(typed) if typed.isdecimal() else 0


# What was really done


@dataclass(frozen=True, slots=True)
class CoatsDone:
    """Coats on a part of the work: planned, and the least and the most that its zones got.

    ``seen`` is False where none of its zones has a coat of that haul-out on record.
    """

    area: str
    planned: int
    least: int
    most: int

    @property
    def as_planned(self) -> bool:
        """Whether every zone of it got what was planned."""
        return self.least == self.most == self.planned


@dataclass(frozen=True, slots=True)
class Compared:
    """A plan beside the haul-out that it became.

    ``anodes`` are the pieces fitted; ``anodes_planned`` says whether the plan gave them hours.
    """

    visit: Visit
    closed: bool
    out: tuple[date, PartialDate | None]
    back: tuple[date, PartialDate | None]
    coats: tuple[CoatsDone, ...]
    anodes_planned: bool
    anodes: int


def compared(book: Book, plan: PlanKept) -> Compared | None:
    """Hold a plan against the haul-out that it became; None while it has become none."""
    visit = next((one for one in visits(book) if one.id == plan.visit_id), None)
    if visit is None:
        return None
    first, last = plan.days
    pieces = queries.kept(book, AnodePiece, AnodePiece.fitted_visit_id == visit.id)
    return Compared(
        visit,
        visit.closed_at is not None,
        (first, visit.begins),
        (last, visit.ends),
        tuple(_coats_done(book, plan, visit)),
        any(one.code == "anodes" for one in plan.tasks),
        len(pieces),
    )


def _coats_done(book: Book, plan: PlanKept, visit: Visit) -> list[CoatsDone]:
    put_on, missed = coats_of(book, visit), missed_by_whole_bottom(book)(visit.id)
    found = []
    for part in plan.parts:
        each = [
            sum(
                zone in coat.zone_ids or (coat.whole_bottom and zone not in missed)
                for coat in put_on
            )
            for zone in part.zone_ids
        ]
        found.append(CoatsDone(part.area, part.got, min(each), max(each)))
    return found


def left_uncoated(book: Book, visit_id: str) -> tuple[tuple[PlanKept, str], ...]:
    """Return the parts that the plans of a haul-out left uncoated, and that got no coat there."""
    found = []
    for plan in kept_plans(book):
        told = compared(book, plan) if plan.visit_id == visit_id else None
        if told is not None:
            bare = {one.area for one in told.coats if one.most == 0}
            found += [(plan, area) for area in plan.uncoated if area in bare]
    return tuple(found)
