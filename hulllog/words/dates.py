"""Dates as well as they are known, spans of dates, and how late something was entered."""

from __future__ import annotations

import re
from datetime import UTC, date, datetime, timedelta
from typing import Protocol
from zoneinfo import ZoneInfo

from hulllog.words.catalogue import say, say_n
from hulllog.words.preference import preferred

_CLOCK = re.compile(r"(?<!\d)(\d{1,2}):(\d{2})(?::\d{2})?(?:\s*(?:Z|[+-]\d{2}:?\d{2}))?$")
_ISO_DAY = re.compile(r"(?<!\d)(\d{4})-(\d{1,2})-(\d{1,2})(?!\d)")
_WEST, _EAST = timedelta(hours=-12, minutes=-31), timedelta(hours=14, minutes=31)
"""How far local time can be from UTC, with half an hour for a day of 23 or 25 hours."""


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


def weekday(value: date) -> str:
    """Write a day of a plan by its weekday, for example "Mon 4 May"."""
    return _skeleton(value, "MMMEd")


def weekday_short(value: date) -> str:
    """Write a day of a plan in the fewest letters, for example "Mon 4"."""
    return _skeleton(value, "Ed")


def clock(value: datetime) -> str:
    """Write only the time of the day, for example "14:00"."""
    from babel.dates import format_time

    return format_time(value.time(), format="short", locale=preferred().locale)


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
        return days_from(_local(first, zone).date(), _local(last, zone).date())
    begins, ends = partial_date(first, zone), partial_date(last, zone)
    return begins if begins == ends else say("date.span", begins=begins, ends=ends)


def days(count: int) -> str:
    """Write a number of days."""
    return say_n("day.count", count)


def days_between(low: int, high: int) -> str:
    """Write a number of days that is known only as an interval: "28–34 days"."""
    return days(low) if low == high else say("date.days_between", low=low, high=high)


def lag(observed: DateLike, entered: datetime, zone: str | None = None) -> str:
    """Say how long after it was seen something was entered: "the same day", "3 days later".

    Days are those of the calendar at the place, in ``zone`` or as told from the date itself.
    What the date leaves open is left open: a year that is known only as such gives an interval.
    """
    if _is_plain_day(observed):
        return _calendar_lag(observed, entered, zone)
    low = max(0, (entered - observed.latest).days)
    high = max(low, (entered - observed.earliest).days)
    if high == 0:
        return say("lag.same_day")
    if low == 0:
        return say("lag.up_to", time=_time(high))
    if high - low <= 2 or _time(low) == _time(high):
        return say("lag.later", time=_time(low))
    return _between(low, high)


def passed(observed: DateLike, now: datetime) -> str:
    """Say how long ago a look was: "19 months", "at least 2 years" where its day is not known."""
    if _is_plain_day(observed):
        return _long_time(max(0, (now.date() - _local(observed, None).date()).days))
    return say("date.at_least", time=_time(max(0, (now - observed.latest).days)))


def _calendar_lag(observed: DateLike, entered: datetime, zone: str | None) -> str:
    seen = _local(observed, zone)
    if zone is not None:
        there = entered.astimezone(ZoneInfo(zone))
    else:
        middle = observed.earliest + (observed.latest - observed.earliest) / 2
        there = entered.astimezone(UTC) + (seen.replace(tzinfo=UTC) - middle.astimezone(UTC))
    count = max(0, (there.date() - seen.date()).days)
    if count <= 1:
        return say("lag.day_after" if count else "lag.same_day")
    return say("lag.later", time=_time(count))


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


def _long_time(count: int) -> str:
    """Write a stretch of days that is known to the day: years with their months."""
    years, months = divmod(round(count / 30.44), 12)
    if count < 730 or not months:
        return _time(count)
    return " ".join((say_n("year.count", years), say_n("month.count", months)))


def _between(low: int, high: int) -> str:
    if low >= 730:
        return say("lag.years_between", low=round(low / 365.25), high=round(high / 365.25))
    if high < 60:
        return say("lag.days_between", low=low, high=high)
    if low >= 60 and high < 730:
        first, last = round(low / 30.44), round(high / 30.44)
        return say("lag.months_between", low=first, high=last)
    return say("lag.between", low=_time(low), high=_time(high))


def _is_plain_day(value: DateLike) -> bool:
    return value.precision in {"day", "time"} and not value.about


def _not_recorded() -> str:
    return say("date.not_recorded")


def days_from(first: date, last: date) -> str:
    """Write from which day to which: "14–16 Apr 2014"; one day alone for one."""
    from babel.dates import format_interval

    if first == last:
        return day(first)
    return format_interval(first, last, "yMMMd", locale=preferred().locale)


def _local(value: DateLike, zone: str | None) -> datetime:
    """Return the middle of the interval as a clock at the place would show it.

    Without a zone the place is told from the interval: a day has its middle at noon there, and a
    typed time is the clock there.  East of +12 h that leaves two days; the typed text decides.
    """
    middle = value.earliest + (value.latest - value.earliest) / 2
    if zone is not None:
        return middle.astimezone(ZoneInfo(zone))
    middle = middle.astimezone(UTC)
    if value.precision not in {"day", "time"}:
        return middle
    clock = _CLOCK.search(value.text.strip()) if value.precision == "time" else None
    if value.precision == "time" and clock is None:
        return middle
    hour, minute = (int(clock[1]), int(clock[2])) if clock else (12, 0)
    begins = middle.replace(hour=hour, minute=minute, second=0, microsecond=0)
    days_near = [begins + timedelta(days=n) for n in (-1, 0, 1)]
    able = [day for day in days_near if _WEST <= day - middle <= _EAST]
    return min(able, key=lambda day: (not _is_typed(day.date(), value.text), abs(day - middle)))


def _is_typed(day: date, text: str) -> bool:
    """Tell whether the numbers of a typed text are those of the day."""
    iso = _ISO_DAY.search(text)
    if iso is not None:
        return (day.year, day.month, day.day) == tuple(int(part) for part in iso.groups())
    numbers = [int(number) for number in re.findall(r"\d+", _CLOCK.sub("", text.strip()))]
    wanted = [day.day] if re.search(r"[^\W\d_]{3}", text.lower().replace("about", "")) else []
    for number in wanted or [day.day, day.month]:
        if number not in numbers:
            return False
        numbers.remove(number)
    return True


def _written(local: datetime, precision: str) -> str:
    if precision == "time":
        return _with_clock(local)
    return _skeleton(local.date(), {"year": "y", "month": "yMMM"}.get(precision, "yMMMd"))


def _with_clock(local: datetime) -> str:
    return say("date.with_clock", date=day(local.date()), clock=clock(local))


def _skeleton(value: date, skeleton: str) -> str:
    from babel.dates import format_skeleton

    return format_skeleton(skeleton, value, locale=preferred().locale)
