"""Values that the records keep: partial dates, measured values, places.

Each is frozen, is replaced whole, and knows the columns it is kept in.
"""

from __future__ import annotations

import calendar
import json
import re
import unicodedata
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from decimal import Decimal
from typing import TYPE_CHECKING, Literal
from zoneinfo import ZoneInfo

from hulllog.records.errors import Refused
from hulllog.trade import units
from hulllog.trade.refusal import Refusal

if TYPE_CHECKING:
    from collections.abc import Mapping

Precision = Literal["year", "month", "day", "time"]
Order = Literal["day first", "month first"]

YEARS = range(1500, 3000)
"""Years that a date may lie in (our own rule): a year of four digits, and a boat that can be."""

_NAMES = "january february march april may june july august september october november december"
# Written out: the names that the calendar module gives follow the locale of the process.
_MONTHS = {
    name[:length]: number
    for number, name in enumerate(_NAMES.split(), 1)
    for length in (3, 4, len(name))
    if length != 4 or len(name) == 4 or name == "september"
}
_ABOUT = re.compile(r"^\s*(?:about|abt\.?|circa|ca\.?|c\.?|~)\s*", re.IGNORECASE)
_ISO = re.compile(r"(\d{4})(?:[-/](\d{1,2})(?:[-/](\d{1,2}))?)?")
_NUMBERS = re.compile(r"(\d{1,2})[./-](\d{1,2})[./-](\d{4})")
_MONTH_YEAR = re.compile(r"(\d{1,2})[./](\d{4})")
_NAMED = re.compile(r"(?:(\d{1,2})\.?\s+)?([^\W\d_]{3,9})\.?,?\s+(\d{4})")
_NAMED_US = re.compile(r"([^\W\d_]{3,9})\.?\s+(\d{1,2}),?\s+(\d{4})")
_CLOCK = re.compile(r"[T\s]+(\d{1,2}):(\d{2})(?::(\d{2}))?$")
_LONGEST = 60


@dataclass(frozen=True, slots=True)
class PartialDate:
    """A date as well as it is known.

    ``text`` is as typed; ``earliest`` and ``latest`` are the first and last second it can mean, in
    UTC, read in the time zone of the visit.  "About" widens by one year, month, day or hour each
    way (our own rule).
    """

    text: str
    precision: Precision
    about: bool
    earliest: datetime
    latest: datetime

    def __composite_values__(self) -> tuple[str, str, bool, datetime, datetime]:
        return self.text, self.precision, self.about, self.earliest, self.latest

    def __lt__(self, other: PartialDate) -> bool:
        return (self.earliest, self.latest) < (other.earliest, other.latest)

    @property
    def middle(self) -> datetime:
        """The middle of the interval, for drawing only."""
        return self.earliest + (self.latest - self.earliest) / 2

    @classmethod
    def parse(
        cls, text: str, zone: str = "UTC", *, order: Order | None = None, field: str = ""
    ) -> PartialDate:
        """Read a typed date: 2014, 2014-04, Apr 2014, 14 Apr 2014, 2014-04-14 09:30, about 2014.

        Raises Refused ``date_two_ways`` for 03/04/2020 unless ``order`` says which, ``date_unread``
        for what is no date, ``date_impossible`` for 31 February, ``date_year`` outside YEARS,
        ``time_impossible`` for 25:99.
        """
        typed = unicodedata.normalize("NFC", text.strip())
        rest = _ABOUT.sub("", typed)
        about = rest != typed
        clock = _CLOCK.search(rest)
        if clock:
            rest = rest[: clock.start()]
        year, month, day = _read_day(rest.strip(), typed, order, field)
        if year not in YEARS:
            first, last = str(YEARS.start), str(YEARS.stop - 1)
            raise Refused("date_year", field=field, typed=typed, first=first, last=last)
        if clock and (int(clock[1]) > 23 or int(clock[2]) > 59 or int(clock[3] or 0) > 59):
            raise Refused("time_impossible", field=field, typed=typed, time=clock[0].strip("T \t"))
        try:
            if clock:
                at = time(int(clock[1]), int(clock[2]), int(clock[3] or 0))
                moment = datetime.combine(date(year, month or 0, day or 0), at, ZoneInfo(zone))
                return cls._exact(typed, about, moment)
            first_day, last_day = _span(year, month, day)
        except ValueError as problem:
            raise Refused("date_impossible", field=field, typed=typed) from problem
        precision: Precision = "day" if day else "month" if month else "year"
        if about:
            first_day, last_day = _widen(first_day, last_day, precision)
        return cls(typed, precision, about, *_instants(first_day, last_day, zone))

    @classmethod
    def _exact(cls, typed: str, about: bool, moment: datetime) -> PartialDate:
        spread = timedelta(hours=1 if about else 0)
        at = moment.astimezone(UTC)
        return cls(typed, "time", about, at - spread, at + spread)

    @classmethod
    def of(cls, day: date | datetime, zone: str = "UTC") -> PartialDate:
        """Make an exact day, or an exact time from an aware datetime, to the second."""
        if not isinstance(day, datetime):
            return cls.parse(day.isoformat(), zone)
        local = day.astimezone(ZoneInfo(zone)).replace(microsecond=0)
        form = "%Y-%m-%d %H:%M:%S" if local.second else "%Y-%m-%d %H:%M"
        return cls._exact(local.strftime(form), about=False, moment=local)


def _read_day(
    text: str, typed: str, order: Order | None, field: str
) -> tuple[int, int | None, int | None]:
    if len(text) > _LONGEST:
        raise Refused("date_unread", field=field, typed=typed)
    if found := _ISO.fullmatch(text):
        return int(found[1]), _number(found[2]), _number(found[3])
    if found := _NUMBERS.fullmatch(text):
        return _in_order(int(found[1]), int(found[2]), int(found[3]), typed, order, field)
    if found := _MONTH_YEAR.fullmatch(text):
        return int(found[2]), int(found[1]), None
    if (found := _NAMED.fullmatch(text)) and found[2].lower() in _MONTHS:
        return int(found[3]), _MONTHS[found[2].lower()], _number(found[1])
    if (found := _NAMED_US.fullmatch(text)) and found[1].lower() in _MONTHS:
        return int(found[3]), _MONTHS[found[1].lower()], int(found[2])
    raise Refused("date_unread", field=field, typed=typed)


def _in_order(
    first: int, second: int, year: int, typed: str, order: Order | None, field: str
) -> tuple[int, int, int]:
    if order is None and first <= 12 and second <= 12 and first != second:
        readings = [f"{year:04}-{second:02}-{first:02}", f"{year:04}-{first:02}-{second:02}"]
        raise Refused("date_two_ways", field=field, typed=typed, readings=readings)
    day_first = order == "day first" if order and max(first, second) <= 12 else second <= 12
    return (year, second, first) if day_first else (year, first, second)


def _number(text: str | None) -> int | None:
    return None if text is None else int(text)


def _span(year: int, month: int | None, day: int | None) -> tuple[date, date]:
    if month is None:
        return date(year, 1, 1), date(year, 12, 31)
    if day is None:
        return date(year, month, 1), date(year, month, calendar.monthrange(year, month)[1])
    return date(year, month, day), date(year, month, day)


def _widen(first: date, last: date, precision: Precision) -> tuple[date, date]:
    if precision == "year":
        return first.replace(year=first.year - 1), last.replace(year=last.year + 1)
    if precision == "month":
        return (first - timedelta(days=1)).replace(day=1), _month_end(last + timedelta(days=1))
    return first - timedelta(days=1), last + timedelta(days=1)


def _month_end(day: date) -> date:
    return day.replace(day=calendar.monthrange(day.year, day.month)[1])


def _instants(first: date, last: date, zone: str) -> tuple[datetime, datetime]:
    where = ZoneInfo(zone)
    start = datetime.combine(first, time(), where).astimezone(UTC)
    end = datetime.combine(last, time(23, 59, 59), where).astimezone(UTC)
    return start, end


@dataclass(frozen=True, slots=True)
class Measured:
    """A measured value: as typed (decimal text and unit) and in SI."""

    text: str
    unit: str
    si: float

    def __composite_values__(self) -> tuple[str, str, float]:
        return self.text, self.unit, self.si

    @classmethod
    def parse(
        cls,
        text: str,
        unit: str,
        *,
        field: str = "",
        low: float | None = None,
        high: float | None = None,
        decimal_sign: str | None = None,
    ) -> Measured:
        """Read a typed number in ``unit``; ``low`` and ``high`` are bounds in that unit.

        Raises Refused ``number_low`` or ``number_high``, or for what ``units.read_number`` refuses.
        """
        try:
            number = units.read_number(text, decimal_sign)
        except Refusal as problem:
            raise Refused(problem.code, field=field, **problem.values) from problem
        if low is not None and number < Decimal(str(low)):
            raise Refused("number_low", field=field, typed=text, unit=unit, low=low)
        if high is not None and number > Decimal(str(high)):
            raise Refused("number_high", field=field, typed=text, unit=unit, high=high)
        return cls(text.strip(), unit, units.to_si(number, unit))

    def in_unit(self, unit: str) -> float:
        """Return the value in another unit of the same quantity."""
        return units.from_si(self.si, unit)


@dataclass(frozen=True, slots=True)
class Where:
    """A place on the boat as kept: part, face, u, v, and how it was given.

    ``given`` is ``{"by": "click"}``, ``{"by": "tape", ...}`` or ``{"by": "frame", ...}`` and leads.
    """

    part: str
    face: str
    u: float
    v: float
    given: str = '{"by":"click"}'

    def __composite_values__(self) -> tuple[str, str, float, float, str]:
        return self.part, self.face, self.u, self.v, self.given

    @property
    def how(self) -> Mapping[str, object]:
        """How the place was given, read."""
        found: Mapping[str, object] = json.loads(self.given)
        return found
