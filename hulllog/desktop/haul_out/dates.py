"""Short ways to type a date in the yard, and the field that shows what was understood.

"14 apr" is the 14th of April nearest before today, "16" the 16th; the date back in the water is the
first such day after the one out.  Two numbers that can be read two ways are left as they are, to be
refused with both readings.
"""

from __future__ import annotations

import re
from datetime import date
from typing import TYPE_CHECKING, Any

from hulllog.desktop.fields import DateField
from hulllog.records.errors import Refused
from hulllog.records.values import PartialDate
from hulllog.words import say

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

_NAMES = [
    "january",
    "february",
    "march",
    "april",
    "may",
    "june",
    "july",
    "august",
    "september",
    "october",
    "november",
    "december",
]
_DAY = re.compile(r"(\d{1,2})\.?")
_DAY_MONTH = re.compile(r"(\d{1,2})\.?\s*([a-z]{3,9})\.?(?:\s+'?(\d{2}))?")
_MONTH_DAY = re.compile(r"([a-z]{3,9})\.?\s*(\d{1,2})(?:,?\s+'?(\d{2}))?")
_CLOCK = re.compile(r"(\d{1,2})[:.](\d{2})")
_NUMBERS = re.compile(r"(\d{1,2})[./](\d{1,2})[./]?")


def complete(typed: str, today: date, after: date | None = None) -> str | None:
    """Return a short date in full, "14 Apr 2025", or None where there is nothing to complete.

    It is the first one from the day ``after`` up to ``today`` where there is any, else the last one
    up to ``today``.
    """
    day, month, year = _read(typed.strip().lower())
    if day is None:
        return None
    if year is not None:
        century = 2000 if year <= today.year % 100 else 1900
        found = _made(century + year, month or today.month, day)
    else:
        days = [*(_from(after, today) if after else ()), *_before(today)]
        found = next((one for one in days if _fits(one, day, month)), None)
    return None if found is None else written(found)


def clocked(typed: str, day: date) -> str | None:
    """Return a bare time with its day, "14 Apr 2025 09:30", or None for anything else."""
    found = _CLOCK.fullmatch(typed.strip())
    return f"{written(day)} {int(found[1]):02}:{found[2]}" if found else None


def written(day: date) -> str:
    """Return a day as a person types it: "14 Apr 2025"."""
    return f"{day.day} {_NAMES[day.month - 1][:3].capitalize()} {day.year}"


def _read(text: str) -> tuple[int | None, int | None, int | None]:
    if found := _DAY.fullmatch(text):
        return int(found[1]), None, None
    if found := _DAY_MONTH.fullmatch(text):
        return _named(found[1], found[2], found[3])
    if found := _MONTH_DAY.fullmatch(text):
        return _named(found[2], found[1], found[3])
    if found := _NUMBERS.fullmatch(text):
        first, second = int(found[1]), int(found[2])
        if first == second or first > 12 >= second:
            return first, second, None
        if second > 12 >= first:
            return second, first, None
    return None, None, None


def _named(day: str, month: str, year: str | None) -> tuple[int | None, int | None, int | None]:
    number = next((n for n, name in enumerate(_NAMES, 1) if month in (name, name[:3])), None)
    return (None, None, None) if number is None else (int(day), number, int(year) if year else None)


def _made(year: int, month: int, day: int) -> date | None:
    try:
        return date(year, month, day)
    except ValueError:
        return None


def _before(today: date) -> Iterator[date]:
    return (date.fromordinal(today.toordinal() - n) for n in range(366 * 4))


def _from(first: date, last: date) -> Iterator[date]:
    return (date.fromordinal(n) for n in range(first.toordinal(), last.toordinal() + 1))


def _fits(one: date, day: int, month: int | None) -> bool:
    return one.day == day and (month is None or one.month == month)


class ShortDateField(DateField):
    """A partial date that may be typed short; what it was understood as stands in its place.

    With ``clock_day`` a bare time is one of that day.
    """

    def __init__(
        self,
        text: str,
        *,
        today: Callable[[], date],
        not_before: Callable[[], date | None] = lambda: None,
        clock_day: Callable[[], date] | None = None,
        **rest: Any,
    ) -> None:
        super().__init__(text, **rest)
        self._today, self._not_before, self._clock_day = today, not_before, clock_day

    def commit(self) -> bool:
        """Complete what was typed short, say so, and take it."""
        if self._shut or not self.dirty:
            return super().commit()
        typed = self.text().strip()
        full = clocked(typed, self._clock_day()) if self._clock_day else None
        full = full or complete(typed, self._today(), self._not_before())
        if full is not None:
            self.entry.setText(full)
        taken = super().commit()
        if full is not None and taken:
            self._say(say("haul_out.date.understood", typed=typed, date=full), refused=False)
        return taken

    def day(self) -> date | None:
        """Return the day that stands in it; None for anything less exact."""
        try:
            found = PartialDate.parse(self.text())
        except Refused:
            return None
        exact = found.precision in ("day", "time") and not found.about
        return found.earliest.date() if exact else None
