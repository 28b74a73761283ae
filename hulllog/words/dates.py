"""Dates as well as they are known, spans of dates, and how late something was entered."""

from __future__ import annotations

import re
from datetime import UTC, date, datetime, timedelta
from typing import Protocol
from zoneinfo import ZoneInfo

from hulllog.words.catalogue import say, say_n
from hulllog.words.preference import preferred

_CLOCK = re.compile(r"(?<!\d)(\d{1,2}):(\d{2})(?::\d{2})?(?:\s*(?:Z|[+-]\d{2}:?\d{2}))?$")
_HALF_DAY = timedelta(hours=12)


class DateLike(Protocol):
    """A date as well as it is known.

    ``precision`` is year, month, day or time; ``earliest`` and ``latest`` are instants in UTC.
    """

    @property
    def text(self) -> str: ...
    @property
    def precision(self) -> str: ...
    @property
    def about(self) -> bool: ...
    @property
    def earliest(self) -> datetime: ...
    @property
    def latest(self) -> datetime: ...


def is_date_like(value: object) -> bool:
    """Tell whether a value is a date as well as it is known."""
    return all(hasattr(value, name) for name in ("precision", "about", "earliest", "latest"))


def partial_date(value: DateLike, zone: str | None = None) -> str:
    """Write a date as well as it is known: "2014", "Apr 2014", "about Apr 2014", "14 Apr 2014".

    ``zone`` is the time zone of the visit.  Without it the day is that of the middle of the
    interval, and the clock is the one that was typed.
    """
    local = _local(value, zone)
    written = _written(local, value.precision)
    return say("date.about", date=written) if value.about else written


def day(value: date) -> str:
    """Write an exact day, for example "14 Apr 2014"."""
    return _skeleton(value, "yMMMd")


def moment(value: datetime, zone: str | None = None) -> str:
    """Write an exact time with its day, in ``zone`` where given."""
    return _with_clock(value.astimezone(ZoneInfo(zone)) if zone else value)


def year(value: DateLike) -> str:
    """Write only the year of a date, with "about" where it was."""
    written = str(_local(value, None).year)
    return say("date.about", date=written) if value.about else written


def span(first: DateLike | None, last: DateLike | None, zone: str | None = None) -> str:
    """Write from when to when: "14–16 Apr 2014"; an open end is said, and so is an unknown one."""
    if first is None:
        return say("date.until", date=partial_date(last, zone)) if last else _not_recorded()
    if last is None:
        return say("date.since", date=partial_date(first, zone))
    if _is_plain_day(first) and _is_plain_day(last):
        return _days(_local(first, zone).date(), _local(last, zone).date())
    begins, ends = partial_date(first, zone), partial_date(last, zone)
    return begins if begins == ends else say("date.span", begins=begins, ends=ends)


def days(count: int) -> str:
    """Write a number of days."""
    return say_n("day.count", count)


def days_between(low: int, high: int) -> str:
    """Write a number of days that is known only as an interval: "28–34 days"."""
    return days(low) if low == high else say("date.days_between", low=low, high=high)


def lag(observed: DateLike, entered: datetime) -> str:
    """Say how long after it was seen something was entered: "the same day", "3 days later".

    What the date leaves open is left open: a year that is known only as such gives an interval.
    """
    low = max(0, (entered - observed.latest).days)
    high = max(low, (entered - observed.earliest).days)
    if high == 0 or (observed.precision in {"day", "time"} and low == 0 and high <= 1):
        return say("lag.same_day")
    if low == 0:
        return say("lag.up_to", time=_time(high))
    if high - low <= 2 or _time(low) == _time(high):
        return say("lag.later", time=_time(low))
    return _between(low, high)


def two_readings(readings: list[str] | tuple[str, ...]) -> str:
    """Say the readings of a typed date, each an ISO day: "3 Apr 2020 or 4 Mar 2020"."""
    said = [reading_label(reading) for reading in readings]
    return say("word.or", first=", ".join(said[:-1]), last=said[-1]) if len(said) > 1 else said[0]


def reading_label(reading: str) -> str:
    """Label the button for one reading of a typed date, given as an ISO day: "3 Apr 2020"."""
    return _skeleton(date.fromisoformat(reading), "yMMMd")


def _time(count: int) -> str:
    """Write a stretch of days in the unit a person would use: days, months, years."""
    if count < 60:
        return days(count)
    if count < 730:
        return say_n("month.count", round(count / 30.44))
    return say_n("year.count", round(count / 365.25))


def _between(low: int, high: int) -> str:
    if low >= 730:
        return say("lag.years_between", low=round(low / 365.25), high=round(high / 365.25))
    if high < 60:
        return say("lag.days_between", low=low, high=high)
    return say("lag.between", low=_time(low), high=_time(high))


def _is_plain_day(value: DateLike) -> bool:
    return value.precision in {"day", "time"} and not value.about


def _not_recorded() -> str:
    return say("date.not_recorded")


def _days(first: date, last: date) -> str:
    from babel.dates import format_interval

    if first == last:
        return day(first)
    return format_interval(first, last, "yMMMd", locale=preferred().locale)


def _local(value: DateLike, zone: str | None) -> datetime:
    middle = value.earliest + (value.latest - value.earliest) / 2
    if zone is not None:
        return middle.astimezone(ZoneInfo(zone))
    clock = _CLOCK.search(value.text.strip()) if value.precision == "time" else None
    if clock is None:
        return middle.astimezone(UTC)
    return _as_typed(middle.astimezone(UTC), int(clock[1]), int(clock[2]))


def _as_typed(instant: datetime, hour: int, minute: int) -> datetime:
    """Return the typed clock on the day on which it is nearest to the instant."""
    typed = instant.replace(hour=hour, minute=minute, second=0)
    if typed - instant > _HALF_DAY:
        return typed - timedelta(days=1)
    return typed + timedelta(days=1) if instant - typed > _HALF_DAY else typed


def _written(local: datetime, precision: str) -> str:
    if precision == "time":
        return _with_clock(local)
    return _skeleton(local.date(), {"year": "y", "month": "yMMM"}.get(precision, "yMMMd"))


def _with_clock(local: datetime) -> str:
    from babel.dates import format_time

    clock = format_time(local.time(), format="short", locale=preferred().locale)
    return say("date.with_clock", date=day(local.date()), clock=clock)


def _skeleton(value: date, skeleton: str) -> str:
    from babel.dates import format_skeleton

    return format_skeleton(skeleton, value, locale=preferred().locale)
