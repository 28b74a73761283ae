"""The calendar: what falls due before the next haul-out, by RFC 5545.

An event keeps its key from export to export, so that a calendar that reads it again moves what it
has and adds nothing twice.
"""

from __future__ import annotations

import uuid
from datetime import timedelta
from typing import TYPE_CHECKING

from sqlalchemy import func, select

from hulllog.drawing.planwords import due_detail, due_title, due_when
from hulllog.insight.nextlift import next_lift
from hulllog.insight.preference import preference
from hulllog.records.errors import Refused
from hulllog.records.folder import put_whole
from hulllog.records.journal import Entry
from hulllog.records.model import Vessel
from hulllog.words import say
from hulllog.words.formats import prefer

if TYPE_CHECKING:
    from datetime import datetime
    from pathlib import Path

    from icalendar import Event

    from hulllog.insight.nextlift import NextDue
    from hulllog.records.logbook import Logbook

_DAY = timedelta(days=1)


def write_calendar(logbook: Logbook, path: Path) -> int:
    """Write what falls due as a calendar; return how many events it holds.

    What is known to the day stands on its day; what is known to an interval stands on the first day
    of it, and its description tells the interval.  Raises Refused ``no_vessel``.
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
        put_whole(path, calendar.to_ical())
    return len(found.dues)


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
