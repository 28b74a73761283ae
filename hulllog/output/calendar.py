"""The calendar: what falls due before the next haul-out, and the tasks of plans, by RFC 5545.

An event keeps its key from export to export, so that a calendar that reads it again moves what it
has and adds nothing twice.  What was taken out of a plan is written once more, as cancelled.
"""

from __future__ import annotations

import uuid
from collections import Counter
from datetime import timedelta
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from sqlalchemy import func, select

from hulllog.drawing.keptplans import step_name
from hulllog.drawing.planwords import due_detail, due_title, due_when
from hulllog.insight.nextlift import next_lift
from hulllog.insight.plans import time_zone_of
from hulllog.insight.preference import preference
from hulllog.records.errors import Refused
from hulllog.records.folder import put_whole
from hulllog.records.journal import Entry, RowDigest
from hulllog.records.model import Plan, PlanTask, Vessel, Visit
from hulllog.words import say
from hulllog.words.formats import prefer

if TYPE_CHECKING:
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
        for due in found.dues:
            calendar.add_component(_event(due, found.zone, vessel, now, entries))
        planned = _planned(book, vessel, now)
        for event in planned:
            calendar.add_component(event)
        if planned:
            calendar.add_missing_timezones()
        put_whole(path, calendar.to_ical())
    return len(found.dues) + len(planned)


def _named(vessel: Vessel, text: str) -> str:
    return say("plan.sample", text=text, stamp=say("sample.stamp")) if vessel.sample else text


def uid(vessel_id: str, due: NextDue) -> str:
    """Return the key of an event: the same for the same thing in the same logbook, ever after."""
    return str(uuid.uuid5(uuid.UUID(vessel_id), f"{due.code}:{due.key}"))


def _event(due: NextDue, zone: str, vessel: Vessel, now: datetime, entries: int) -> Event:
    from icalendar import Event

    first, _last = due.days(zone)
    event = Event()
    event.add("uid", uid(vessel.id, due))
    event.add("dtstamp", now)
    event.add("sequence", entries)
    event.add("dtstart", first)
    event.add("dtend", first + _DAY)
    event.add("transp", "TRANSPARENT")
    title = say("plan.event", vessel=vessel.name, what=due_title(due))
    event.add("summary", _named(vessel, title))
    told = (due_when(due, zone), due_detail(due), say("plan.not_a_promise"))
    event.add("description", "\n".join(part for part in told if part))
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
