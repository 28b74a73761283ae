"""When she should come out next: all that falls due, each with its interval and where it is from.

Paint by months and by miles, anodes at the owner's limit, gear by the owner's rules, what surveys
asked for, warranties.  What is overdue stays in the list; what cannot be told says why.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from typing import TYPE_CHECKING, Any
from zoneinfo import ZoneInfo

from sqlalchemy import select

from hulllog.insight.anodes import until_used
from hulllog.insight.buying import Untold
from hulllog.insight.gear import gear_dues
from hulllog.insight.matters import asked
from hulllog.insight.occasions import CENTURY, afloat, visits
from hulllog.insight.seasons import seasons
from hulllog.records.model import Limit, Product, Treatment
from hulllog.records.operations.queries import time_zone
from hulllog.trade import anodes, buying
from hulllog.trade.coatclasses import CLASSES
from hulllog.trade.refusal import Refusal
from hulllog.trade.working import Input, Source, Working

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hulllog.insight.occasions import Half
    from hulllog.insight.seasons import Season
    from hulllog.records.book import Book
    from hulllog.records.model import Visit
    from hulllog.records.values import PartialDate

ANODE_LIMIT = ("anode", "used")
"""Kind and component of the owner's limit for anodes: the share gone."""
_MONTH = timedelta(days=365.25 / 12)
_DAY = timedelta(days=1)


@dataclass(frozen=True, slots=True)
class NextDue:
    """Something that falls due: a code, of what, and the earliest and latest moment.

    ``to_the_day`` says that the day itself is on record; ``values`` are what its sentence needs.
    """

    code: str
    key: str
    name: str
    earliest: datetime
    latest: datetime
    to_the_day: bool = False
    values: Mapping[str, Any] = field(default_factory=dict)
    workings: tuple[Working, ...] = ()

    def days(self, zone: str) -> tuple[date, date]:
        """Return the first and the last day on which it can fall due, in a time zone.

        Half a day is kept from the ends, so that no summer time moves a day.
        """
        middle = self.earliest + (self.latest - self.earliest) / 2
        if self.to_the_day or self.latest - self.earliest < _DAY:
            ends = middle, middle
        else:
            ends = self.earliest + _DAY / 2, self.latest - _DAY / 2
        first, last = (end.astimezone(ZoneInfo(zone)).date() for end in ends)
        return first, max(first, last)


@dataclass(frozen=True, slots=True)
class NextLift:
    """What falls due, the earliest first, and what cannot be told; ``zone`` is hers."""

    dues: tuple[NextDue, ...]
    untold: tuple[Untold, ...]
    zone: str

    @property
    def first(self) -> NextDue | None:
        """What falls due first."""
        return self.dues[0] if self.dues else None


def next_lift(book: Book, now: datetime) -> NextLift:
    """Return what falls due, overdue things too; warranties only while they run."""
    untold: list[Untold] = []
    found = [
        *_paint(book, now, untold),
        *_anodes(book, untold),
        *_gear(book, now, untold),
        *_asked(book),
        *_warranties(book, now),
    ]
    found.sort(key=lambda due: (due.earliest, due.latest, due.name))
    return NextLift(tuple(found), tuple(untold), time_zone(book))


def _to_the_day(when: PartialDate) -> bool:
    return when.precision in ("day", "time") and not when.about


# Paint


def _paint(book: Book, now: datetime, untold: list[Untold]) -> list[NextDue]:
    worn = seasons(book)
    if not worn or worn[-1].thread.ends is not None:
        untold.append(Untold("no_paint_worn"))
        return []
    now_on = worn[-1].thread
    season = next(one for one in worn if one.thread.visit_id == now_on.visit_id)
    thread, film = season.thread, _film(book, season)
    if film is None:
        untold.append(Untold("figures_not_known", {"product": thread.product}))
        return []
    try:
        life = buying.paint_life(thread.coating_class, film, float(thread.coats))
    except Refusal as problem:
        untold.append(Untold(problem.code, {"product": thread.product}))
        return []
    berth = afloat(book).berth_at(now)
    values = {
        "since": thread.begins,
        "water": berth.water if berth else "unknown",
        "location": berth.location if berth else None,
    }
    low, high = _bounds(life)
    found = [
        NextDue(
            "paint_months",
            thread.visit_id,
            thread.product,
            thread.begins.earliest + low * _MONTH,
            thread.begins.latest + high * _MONTH,
            values=values,
            workings=(life, *_of_film(season)),
        )
    ]
    if thread.coating_class in buying.POLISHING:
        found += _miles(book, season, film, values, untold)
    return found


def _film(book: Book, season: Season) -> float | None:
    """Return the dry film of all coats in µm: from litres, by the sheet, or of the class."""
    if season.film is not None:
        return season.film.value
    product = book.get(Product, season.thread.product_id)
    known = CLASSES.get(season.thread.coating_class)
    one = product.film.in_unit("um") if product and product.film else known and known.film_um
    return one * season.thread.coats if one else None


def _of_film(season: Season) -> tuple[Working, ...]:
    return (season.film,) if season.film is not None else ()


def _bounds(working: Working) -> tuple[float, float]:
    if working.interval is None:
        return working.value, working.value
    return working.interval.low, working.interval.high


def _miles(
    book: Book, season: Season, film: float, values: Mapping[str, Any], untold: list[Untold]
) -> list[NextDue]:
    thread = season.thread
    pace = _pace(visits(book))
    if pace is None:
        untold.append(Untold("no_log_miles"))
        return []
    reach = buying.miles_of_film(film)
    days = reach.value / pace.value * 365.25
    if days > CENTURY:
        untold.append(Untold("miles_beyond", {"miles": reach}))
        return []
    return [
        NextDue(
            "paint_miles",
            thread.visit_id,
            thread.product,
            thread.begins.earliest + days * _DAY,
            thread.begins.latest + days * _DAY,
            values=values,
            workings=(reach, pace, *_of_film(season)),
        )
    ]


def _pace(seen: Sequence[Visit]) -> Working | None:
    """Return the miles a year between the first and the last reading of the log."""
    read = [
        (one.begins, one.log_miles.in_unit("nmi")) for one in seen if one.begins and one.log_miles
    ]
    if len(read) < 2:
        return None
    (began, first), (ended, last) = read[0], read[-1]
    days = (ended.middle - began.middle) / _DAY
    if days < 30 or last <= first:
        return None
    return Working(
        name="miles_a_year",
        value=(last - first) / days * 365.25,
        unit="nmi",
        formula="v = (s_2 − s_1)·365.25/d",
        inputs=(
            Input("s_1", first, "nmi"),
            Input("s_2", last, "nmi"),
            Input("T_1", began),
            Input("T_2", ended),
            Input("d", days, "d"),
        ),
        source=Source("recorded"),
    )


# Anodes


def anode_limit(book: Book) -> Limit | None:
    """Return the owner's limit for anodes, the newest; None where none is set."""
    kind, component = ANODE_LIMIT
    kept = select(Limit).where(
        Limit.kind == kind, Limit.component == component, Limit.withdrawn.is_(False)
    )
    found = book.scalars(kept.order_by(Limit.entered_at.desc()))
    return next((one for one in found if one.value and 0 < one.value.si < 1), None)


def _anodes(book: Book, untold: list[Untold]) -> list[NextDue]:
    limit = anode_limit(book)
    share = limit.value.si if limit and limit.value else anodes.HALF
    found: list[NextDue] = []
    for story, when, workings in until_used(book, share):
        if when is None:
            untold.append(Untold("anode_wear_not_known", {"position": story.name}))
            continue
        found.append(_anode(story.position_id, story.name, when, workings, limit))
    return found


def _anode(
    key: str, name: str, when: Half, workings: tuple[Working, ...], limit: Limit | None
) -> NextDue:
    _, earliest, latest = when
    code = "anode_limit" if limit else "anode_half"
    values = {"limit": limit.value, "set_by": limit.set_by} if limit else {}
    return NextDue(code, key, name, earliest, latest, values=values, workings=workings)


# What is asked for by rule, survey or paper


def _gear(book: Book, now: datetime, untold: list[Untold]) -> list[NextDue]:
    found = []
    for story, due in gear_dues(book, now):
        if due.earliest is None or due.latest is None or due.since is None:
            untold.append(Untold("gear_not_counted", {"gear": story.name}))
            continue
        found.append(
            NextDue(
                f"gear_{due.sort}",
                story.gear_id,
                story.name,
                due.earliest,
                due.latest,
                _to_the_day(due.since),
                {"every": due.every, "since": due.since, "source": due.source},
                (due.working,) if due.working else (),
            )
        )
    return found


def _asked(book: Book) -> list[NextDue]:
    return [
        NextDue(
            "recommendation",
            item.recommendation_id,
            item.number,
            item.due.earliest,
            item.due.latest,
            _to_the_day(item.due),
            {"wording": item.wording, "asked_by": item.asked_by, "due": item.due},
        )
        for item in asked(book)
        if item.due and not item.proved
    ]


def _warranties(book: Book, now: datetime) -> list[NextDue]:
    kept = book.scalars(select(Treatment).where(Treatment.withdrawn.is_(False)))
    return [
        NextDue(
            "warranty",
            done.id,
            done.sort,
            done.warranty_until.earliest,
            done.warranty_until.latest,
            _to_the_day(done.warranty_until),
            {"contractor": done.contractor, "due": done.warranty_until},
        )
        for done in kept
        if done.warranty_until and done.warranty_until.latest >= now
    ]
