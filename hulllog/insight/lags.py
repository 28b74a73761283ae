"""How many days lie between two dates on record, with the working."""

from __future__ import annotations

from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from hulllog.trade.working import Input, Interval, Source, Working

if TYPE_CHECKING:
    from datetime import datetime

    from hulllog.records.values import PartialDate

_CALENDAR = Source("our own rule", "days of the calendar; what a date leaves open is left open")


def entry_lag(seen: PartialDate, entered: datetime, zone: str) -> Working:
    """Return the days from the last day of a visit to the entry of its looks, never below nought.

    Source: our own rule.
    """
    return _days("entry_lag", seen, entered, zone)


def look_age(seen: PartialDate, now: datetime, zone: str) -> Working:
    """Return the days that a look is old, never below nought.  Source: our own rule."""
    return _days("look_age", seen, now, zone)


def days_ashore(noted: object, lifted: PartialDate | None) -> Working | None:
    """Return the days ashore as they were counted when a look was entered; None for none."""
    if lifted is None or not isinstance(noted, int | float):
        return None
    return Working(
        name="days_ashore",
        value=float(noted),
        unit="d",
        formula="n = T₂ − T₁",
        inputs=(Input("T₁", lifted),),
        source=Source("recorded"),
        cautions=("counted_at_entry",),
    )


def hours_after(lifted: PartialDate, first: PartialDate, last: PartialDate) -> Working:
    """Return the hours from the lift to the looks, from the first of them to the last.

    Source: our own rule.
    """
    low, high = ((seen.earliest - lifted.earliest).total_seconds() / 3600 for seen in (first, last))
    told = (Input("T₂", last),) if low == high else (Input("T₂", first), Input("T₃", last))
    return Working(
        name="hours_after_lift",
        value=high,
        unit="h",
        formula="h = T₂ − T₁" if low == high else "h = T₂ − T₁ … T₃ − T₁",
        inputs=(Input("T₁", lifted), *told),
        source=_CALENDAR,
        interval=None if low == high else Interval(low, high, "readings"),
    )


def _days(name: str, seen: PartialDate, later: datetime, zone: str) -> Working:
    low, high = max((later - seen.latest).days, 0), max((later - seen.earliest).days, 0)
    exact = seen.precision in ("day", "time") and not seen.about
    if exact:
        there = ZoneInfo(zone)
        last, first = later.astimezone(there).date(), seen.middle.astimezone(there).date()
        low = high = max((last - first).days, 0)
    return Working(
        name=name,
        value=(low + high) / 2,
        unit="d",
        formula="n = T₂ − T₁",
        inputs=(Input("T₁", seen), Input("T₂", later)),
        source=_CALENDAR,
        interval=None if exact else Interval(low, high, "readings"),
    )
