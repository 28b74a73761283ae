"""From which hour to which a coat may be followed or launched, by the hours that it lies through.

The shortest time is held against the coldest hour until it is over, the longest against the
hottest.  Colder than the data sheet's coldest row nothing is said, and so nothing is allowed.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, NamedTuple

from hulllog.trade import windows
from hulllog.trade.refusal import Refusal

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hulllog.trade.slothours import Hour
    from hulllog.trade.windows import WindowRow
    from hulllog.trade.working import Working

ENDLESS = 10**6
"""An hour that never comes: the sheet states no longest time."""


class Opened(NamedTuple):
    """The hour from which a coat may be followed, and the sum that says so."""

    at: int
    shortest: Working


def opens(hours: Sequence[Hour], rows: Sequence[WindowRow], end: int) -> Opened | None:
    """Return from when a coat that ended at an hour may be followed; None within these hours.

    The shortest time at the coldest hour so far must be over; what comes after that undoes
    nothing.  Raises Refusal ``no_rows`` or ``row_twice``.  Source: our own rule between the rows.
    """
    least = [(row.celsius, row.shortest) for row in rows if row.shortest is not None]
    if not least:
        raise Refusal("no_rows")
    coldest = math.inf
    told: Working | None = None
    for at in range(end, len(hours) + 1):
        if told is not None and at - end >= round(told.value, 6):
            return Opened(at, told)
        if at == len(hours):
            return None
        if hours[at].coldest < coldest or told is None:
            coldest = min(coldest, hours[at].coldest)
            try:
                told = windows.shortest_time(least, coldest)
            except Refusal as refusal:
                if refusal.code == "colder_than_sheet":
                    return None
                raise
    return None


class Closed(NamedTuple):
    """The last hour at which a coat may still be followed; no sum where the sheet states none."""

    at: int
    longest: Working | None


def closes(hours: Sequence[Hour], rows: Sequence[WindowRow], end: int) -> Closed:
    """Return until when a coat that ended at an hour may be followed.

    Raises Refusal ``no_rows`` or ``row_twice``.  Source: our own rule between the rows; the
    hottest temperature by UFGS 09971.
    """
    most = [(row.celsius, row.longest) for row in rows if row.longest is not None]
    if not most:
        return Closed(ENDLESS, None)
    hottest = -math.inf
    told: Working | None = None
    for at in range(end, len(hours)):
        if hours[at].hottest > hottest or told is None:
            hottest = max(hottest, hours[at].hottest)
            try:
                now = windows.longest_time(most, hottest)
            except Refusal as refusal:
                if refusal.code != "colder_than_sheet":
                    raise
                if told is None:
                    return Closed(end, None)
                now = told
            told = now
        if at + 1 - end > round(told.value, 6):
            return Closed(at, told)
    return Closed(len(hours), told)


def coldest_of(hours: Sequence[Hour], first: int, last: int) -> float:
    """Return the coldest of the hours from ``first`` to before ``last``, °C.

    Raises Refusal ``no_days`` for no hours.  Source: our own rule.
    """
    found = [hour.coldest for hour in hours[max(first, 0) : last]]
    if not found:
        raise Refusal("no_days")
    return min(found)
