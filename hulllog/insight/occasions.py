"""Visits in their order, the edges from which a logbook is read, and days immersed."""

from __future__ import annotations

import itertools
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING, Literal
from zoneinfo import ZoneInfo

from sqlalchemy import select

from hulllog.insight.once import once_a_reading
from hulllog.records.model import BerthPeriod, Visit
from hulllog.records.operations.queries import time_zone, when_begun
from hulllog.trade.working import Input, Interval, Source, Working

if TYPE_CHECKING:
    from hulllog.records.book import Book
    from hulllog.records.values import PartialDate

State = Literal["found", "during", "left"]
Half = tuple[datetime, datetime, datetime]
"""The expected, earliest and latest moment at which half of a piece is gone."""
_DAY = timedelta(days=1)
_WET = "t = Σw_n·τ_n"
_BERTHS = Source("our own rule", "days afloat by the share of the time immersed, none ashore")
OUT_OF_WATER = frozenset({"haul_out", "drying_out"})
STATE_ORDER = {"found": 0, "during": 1, "left": 2}


@dataclass(frozen=True, slots=True)
class Edge:
    """An edge of a visit on the tide strip: as found, or as left.  Visits afloat have one edge."""

    visit_id: str
    state: State = "found"


@once_a_reading
def visits(book: Book) -> list[Visit]:
    """Return the visits that are not withdrawn, the oldest first."""
    found = book.scalars(select(Visit).where(Visit.withdrawn.is_(False))).all()
    return sorted(found, key=lambda visit: (when_begun(visit), visit.entered_at))


@once_a_reading
def up_to(book: Book, edge: Edge | None) -> list[tuple[Visit, frozenset[str]]]:
    """Return the visits seen from ``edge``, oldest first, each with the states that count there.

    None is the far end: all visits, all states.
    """
    everything = frozenset(STATE_ORDER)
    seen: list[tuple[Visit, frozenset[str]]] = []
    for visit in visits(book):
        if edge is not None and visit.id == edge.visit_id:
            until = STATE_ORDER[edge.state]
            seen.append((visit, frozenset(s for s, at in STATE_ORDER.items() if at <= until)))
            return seen
        seen.append((visit, everything))
    return seen


def last_edge(book: Book) -> Edge | None:
    """Return the latest edge there is: as left of the last visit, as found while it is open."""
    all_visits = visits(book)
    if not all_visits:
        return None
    last = all_visits[-1]
    return Edge(last.id, "left" if last.closed_at or last.ends else "found")


@dataclass(frozen=True, slots=True)
class Immersion:
    """Days under water between two moments, with how far the dates leave them open.

    ``days`` counts afloat days × the berth's share of time immersed; ``assumed`` says that some
    days had no berth period on record and were taken as immersed all the time.
    """

    working: Working
    low: float
    high: float
    assumed: bool

    @property
    def days(self) -> float:
        """The immersed days."""
        return self.working.value


@dataclass(frozen=True, slots=True)
class ShoreSpan:
    """A stretch at a berth with shore power on."""

    begins: PartialDate | None
    ends: PartialDate | None
    isolator: bool


@dataclass(frozen=True, slots=True)
class Afloat:
    """Her days in the water, read once: when she was ashore, and where she lay from when to when.

    Berths are (from, until, period); an end that is not on record is the end of all time.
    """

    ashore: tuple[tuple[datetime, datetime], ...]
    berths: tuple[tuple[datetime, datetime, BerthPeriod], ...]
    zone: str = "UTC"
    """The time zone in which a moment that follows is told."""

    def immersed(self, begins: PartialDate, ends: PartialDate) -> Immersion:
        """Return the immersed days from one partial date to another, days ashore taken off."""
        days, assumed = self._wet(begins.middle, ends.middle)
        low, _ = self._wet(begins.latest, ends.earliest)
        high, _ = self._wet(begins.earliest, ends.latest)
        low, high = min(low, days), max(high, days)
        working = Working(
            name="immersed_days",
            value=days,
            unit="d",
            formula=_WET,
            inputs=(
                Input("T₁", begins),
                Input("T₂", ends),
                *self._spans(begins.middle, ends.middle),
            ),
            source=_BERTHS,
            cautions=("berth_not_on_record",) if assumed else (),
            interval=Interval(low, high, "readings") if high - low >= 1 else None,
        )
        return Immersion(working, low, high, assumed)

    def half_day(self, fitted: PartialDate, half: Working) -> tuple[Half, Working]:
        """Return when half of a piece is gone, from the immersed days until then.

        The working is of the days by the calendar.  The earliest moment goes with the earliest
        fitting and the lower bound, the latest with the latest and the upper.
        """
        bounds = half.interval or Interval(half.value, half.value)
        found = (
            self.date_after(fitted.middle, half.value),
            self.date_after(fitted.earliest, bounds.low),
            self.date_after(fitted.latest, bounds.high),
        )
        days = [(moment - fitted.middle) / timedelta(days=1) for moment in found]
        there = ZoneInfo(self.zone)
        found = (found[0].astimezone(there), found[1].astimezone(there), found[2].astimezone(there))
        return found, Working(
            name="half_loss_date",
            value=days[0],
            unit="d",
            formula=f"{_WET}, T₂ = T₁ + Στ_n",
            inputs=(
                Input("t", half.value, "d"),
                Input("T₁", fitted),
                Input("T₂", found[0].date()),
                *self._spans(fitted.middle, found[0]),
            ),
            source=_BERTHS,
            cautions=("berth_goes_on",),
            interval=Interval(days[1], days[2], bounds.kind, bounds.level),
        )

    def _spans(self, start: datetime, end: datetime) -> tuple[Input, ...]:
        """Return the share immersed and the days of each span in which it was the same."""
        spans: list[tuple[float, float]] = []
        for first, last in itertools.pairwise(self._marks(start, end)):
            share, days = self._share(first + (last - first) / 2)[0], (last - first) / _DAY
            if spans and spans[-1][0] == share:
                days += spans.pop()[1]
            spans.append((share, days))
        return (
            Input("w_n", tuple(round(100 * share, 6) for share, _ in spans), "percent"),
            Input("τ_n", tuple(days for _, days in spans), "d"),
        )

    def date_after(self, start: datetime, days: float) -> datetime:
        """Return when so many immersed days will have passed since ``start``.

        The berth on record last is taken to go on; no date lies more than a century ahead.
        """
        near, far = start, start + timedelta(days=CENTURY)
        if self._wet(near, far)[0] <= days:
            return far
        while far - near > timedelta(hours=6):
            middle = near + (far - near) / 2
            if self._wet(start, middle)[0] < days:
                near = middle
            else:
                far = middle
        return far

    def berth_at(self, moment: datetime) -> BerthPeriod | None:
        """Return where she lay at a moment, or None where that is not on record."""
        return next((berth for a, b, berth in self.berths if a <= moment <= b), None)

    def water_at(self, moment: datetime) -> str:
        """Return the water in which she lay at a moment; ``unknown`` where not on record."""
        berth = self.berth_at(moment)
        return berth.water if berth else "unknown"

    def shore_power(self, begins: PartialDate, ends: PartialDate) -> str:
        """Return what shore power most of the days between two dates had, as a code."""
        start, end = begins.middle, ends.middle
        days = {"unknown": max((end - start) / timedelta(days=1), 0.0)}
        for first, last, berth in self.berths:
            span = max((min(last, end) - max(first, start)) / timedelta(days=1), 0.0)
            days[berth.shore_power] = days.get(berth.shore_power, 0.0) + span
            days["unknown"] -= span
        return max(days, key=lambda code: days[code])

    def shore_spans(self) -> tuple[ShoreSpan, ...]:
        """Return the stretches with shore power on, oldest first."""
        return tuple(
            ShoreSpan(berth.begins, berth.ends, berth.shore_power == "plugged_with_isolator")
            for _, _, berth in self.berths
            if berth.shore_power.startswith("plugged")
        )

    def _wet(self, start: datetime, end: datetime) -> tuple[float, bool]:
        """Return the immersed days from one moment to another, and whether some were assumed."""
        total, assumed = 0.0, False
        for first, last in itertools.pairwise(self._marks(start, end)):
            share, guessed = self._share(first + (last - first) / 2)
            total, assumed = total + (last - first) / _DAY * share, assumed or guessed
        return total, assumed

    def _share(self, moment: datetime) -> tuple[float, bool]:
        """Return the share of the time immersed at a moment, and whether it was assumed."""
        if any(a <= moment <= b for a, b in self.ashore):
            return 0.0, False
        berth = self.berth_at(moment)
        return (1.0, True) if berth is None else (berth.immersed_share, False)

    def _marks(self, start: datetime, end: datetime) -> list[datetime]:
        if end <= start:
            return []
        edges = [*self.ashore, *((a, b) for a, b, _ in self.berths)]
        inside = {moment for edge in edges for moment in edge if start < moment < end}
        return sorted(inside | {start, end})


CENTURY = 36525.0
"""Days past which no date is told."""


def afloat(book: Book) -> Afloat:
    """Read when she was ashore and where she lay."""
    kept = book.scalars(select(BerthPeriod).where(BerthPeriod.withdrawn.is_(False)))
    berths = [(_from(berth), _until(berth), berth) for berth in kept]
    ashore = [
        (visit.begins.middle, visit.ends.middle)
        for visit in visits(book)
        if visit.kind in OUT_OF_WATER and visit.begins and visit.ends
    ]
    lain = tuple(sorted(berths, key=lambda lain: lain[:2]))
    return Afloat(tuple(ashore), lain, time_zone(book))


def immersion(book: Book, begins: PartialDate, ends: PartialDate) -> Immersion:
    """Return the immersed days from one partial date to another, days ashore taken off."""
    return afloat(book).immersed(begins, ends)


def _from(berth: BerthPeriod) -> datetime:
    return berth.begins.middle if berth.begins else datetime.min.replace(tzinfo=UTC)


def _until(berth: BerthPeriod) -> datetime:
    return berth.ends.middle if berth.ends else datetime.max.replace(tzinfo=UTC)
