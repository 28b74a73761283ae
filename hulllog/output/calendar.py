"""The calendar: what falls due before the next haul-out, and the tasks of plans, by RFC 5545.

An event keeps its key from export to export, so that a calendar that reads it again moves what it
has and adds nothing twice.  What was taken out of a plan is written once more, as cancelled.
"""

from __future__ import annotations

import hashlib
import json
import uuid
from collections import Counter
from contextlib import suppress
from datetime import timedelta
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from sqlalchemy import func, select

from hulllog.drawing.keptplans import step_name
from hulllog.drawing.planwords import due_detail, due_title, due_when
from hulllog.insight.nextlift import next_lift
from hulllog.insight.plans import time_zone_of
from hulllog.insight.preference import preference
from hulllog.records.computer import file_name
from hulllog.records.errors import Refused
from hulllog.records.folder import put_whole
from hulllog.records.journal import Entry, RowDigest
from hulllog.records.model import Plan, PlanTask, Vessel, Visit
from hulllog.words import say
from hulllog.words.formats import prefer

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import datetime
    from pathlib import Path

    from icalendar import Event

    from hulllog.insight.nextlift import NextDue
    from hulllog.records.book import Book
    from hulllog.records.logbook import Logbook

_DAY = timedelta(days=1)
_PAST = timedelta(days=7)
"""So long a task of a plan that became no haul-out is told of after its end.  Our own rule."""
_TASKS = (
    select(PlanTask, Plan)
    .join(Plan, Plan.id == PlanTask.plan_id)
    .order_by(PlanTask.begins, PlanTask.ends, PlanTask.area, PlanTask.id)
)


def write_calendar(logbook: Logbook, path: Path) -> int:
    """Write what falls due and what is planned as a calendar; return how many events it holds.

    What is known to the day stands on its day; what is known to an interval stands on the first day
    of it, and its description tells the interval.  A task of a plan has its hours, by the clock of
    the place; plans whose haul-out is closed are past.  Raises Refused ``no_vessel``.
    """
    from icalendar import Calendar

    now = logbook.around.now().replace(microsecond=0)
    with logbook.read_aside() as book:
        prefer(preference(book))
        vessel = book.scalar(select(Vessel))
        if vessel is None:
            raise Refused("no_vessel")
        found = next_lift(book, now)
        entries = int(book.scalar(select(func.count()).select_from(Entry)) or 0)
        calendar = Calendar()
        calendar.add("prodid", "-//hulllog//hulllog//EN")
        calendar.add("version", "2.0")
        calendar.add("method", "PUBLISH")
        calendar.add("name", _named(vessel, say("plan.calendar_name", name=vessel.name)))
        told = _Told(logbook.around.state_folder, logbook.id, entries)
        for due in found.dues:
            calendar.add_component(_event(due, found.zone, vessel, now, told))
        planned = _planned(book, vessel, now)
        for event in planned:
            calendar.add_component(event)
        if planned:
            calendar.add_missing_timezones()
        put_whole(path, calendar.to_ical())
        told.keep()
    return len(found.dues) + len(planned)


def _named(vessel: Vessel, text: str) -> str:
    return say("plan.sample", text=text, stamp=say("sample.stamp")) if vessel.sample else text


def uid(vessel_id: str, due: NextDue) -> str:
    """Return the key of an event: the same for the same thing in the same logbook, ever after."""
    return str(uuid.uuid5(uuid.UUID(vessel_id), f"{due.code}:{due.key}"))


class _Told:
    """What the last calendars of this computer told of each event, so that a number rises only
    where that event changed.

    An event that is not known here gets the number of entries, which no number of before exceeds
    by more than changes that no entry made: a calendar takes it for as new or newer.
    """

    def __init__(self, state_folder: Path, logbook_id: str, entries: int) -> None:
        self._file = state_folder / "calendars" / f"{file_name(logbook_id)}.json"
        self._entries = entries
        self._kept = _read(self._file)

    def number(self, key: str, content: Sequence[str]) -> int:
        """Return the number of an event that says this."""
        digest = hashlib.sha256(json.dumps(list(content)).encode()).hexdigest()
        before, number = self._kept.get(key, ("", self._entries - 1))
        if digest != before:
            number = max(self._entries, number + 1)
            self._kept[key] = digest, number
        return number

    def keep(self) -> None:
        """Keep it for the next calendar; where it cannot be, numbers rise with every entry."""
        with suppress(OSError):
            self._file.parent.mkdir(parents=True, exist_ok=True)
            put_whole(self._file, json.dumps(self._kept).encode())


def _read(file: Path) -> dict[str, tuple[str, int]]:
    """Read what was told; what another version wrote otherwise counts as nothing told."""
    try:
        kept = json.loads(file.read_bytes())
        return {str(key): (str(digest), int(number)) for key, (digest, number) in kept.items()}
    except (OSError, ValueError, AttributeError, TypeError):
        return {}


def _event(due: NextDue, zone: str, vessel: Vessel, now: datetime, known: _Told) -> Event:
    from icalendar import Event

    first, _last = due.days(zone)
    event, key = Event(), uid(vessel.id, due)
    event.add("uid", key)
    event.add("dtstamp", now)
    event.add("dtstart", first)
    event.add("dtend", first + _DAY)
    event.add("transp", "TRANSPARENT")
    title = say("plan.event", vessel=vessel.name, what=due_title(due))
    summary = _named(vessel, title)
    told = (due_when(due, zone), due_detail(due), say("plan.not_a_promise"))
    description = "\n".join(part for part in told if part)
    event.add("summary", summary)
    event.add("description", description)
    event.add("sequence", known.number(key, (first.isoformat(), summary, description)))
    return event


# Plans


def _planned(book: Book, vessel: Vessel, now: datetime) -> list[Event]:
    """Return the tasks of plans that are still to come or open, those taken out as cancelled."""
    changes = _changes(book)
    found = []
    for task, plan in book.execute(_TASKS):
        visit = book.get(Visit, plan.visit_id) if plan.visit_id else None
        if visit is not None and visit.closed_at is not None:
            continue
        if visit is None and task.ends < now - _PAST:
            continue
        # Whatever was done to the task or to its plan makes the event a newer one.
        sequence = changes[task.id] + changes[plan.id]
        found.append(_task_event(book, task, plan, vessel, now, sequence))
    return found


def _changes(book: Book) -> Counter[str]:
    """Return how often each plan and task was changed since it was entered."""
    rows = (
        select(RowDigest.row_key, func.count())
        .where(RowDigest.table_name.in_((Plan.__tablename__, PlanTask.__tablename__)))
        .group_by(RowDigest.row_key)
    )
    return Counter({key: number - 1 for key, number in book.execute(rows)})


def _task_event(
    book: Book, task: PlanTask, plan: Plan, vessel: Vessel, now: datetime, sequence: int
) -> Event:
    from icalendar import Event

    zone = ZoneInfo(time_zone_of(book, plan))
    event = Event()
    event.add("uid", str(uuid.uuid5(uuid.UUID(vessel.id), f"task:{task.id}")))
    event.add("dtstamp", now)
    event.add("sequence", sequence)
    event.add("dtstart", task.begins.astimezone(zone))
    event.add("dtend", task.ends.astimezone(zone))
    gone = task.withdrawn or plan.withdrawn
    event.add("status", "CANCELLED" if gone else "TENTATIVE")
    title = say("plan.event", vessel=vessel.name, what=step_name(task))
    event.add("summary", _named(vessel, title))
    told = (say("plan.event_of", name=plan.name), say("fit.caution"))
    event.add("description", "\n".join(told))
    return event
