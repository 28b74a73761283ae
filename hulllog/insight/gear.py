"""Gear: what is fitted below, how old it is, what looks at it showed, and when it is due."""

from __future__ import annotations

from calendar import monthrange
from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from decimal import Decimal
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from sqlalchemy import select

from hulllog.insight.condition import figures_of, with_figures
from hulllog.insight.examined import pictured_alone
from hulllog.insight.judging import ZoneJudged, components, judge
from hulllog.insight.limits import limits
from hulllog.insight.matters import matters
from hulllog.insight.occasions import up_to
from hulllog.insight.once import once_a_reading
from hulllog.insight.series import gear_series, was_before
from hulllog.records.model import DueRule, Gear, GearCheck, Visit
from hulllog.records.operations.queries import time_zone
from hulllog.trade.working import Input, Interval, Source, Working

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hulllog.insight.condition import Figure
    from hulllog.insight.matters import Done, Matter
    from hulllog.insight.occasions import Edge
    from hulllog.records.book import Book
    from hulllog.records.values import Measured, PartialDate, Where

_YEAR, _DAY = timedelta(days=365.25), timedelta(days=1)

MEASURED: Mapping[str, tuple[str, ...]] = {
    "seacock": ("valve-action",),
    "skin_fitting": (),
    "shaft": ("play",),
    "bearing": ("play",),
    "propeller": ("play",),
    "rudder": ("play",),
    "rudder_bearing": ("play",),
    "stern_gland": ("gland-drip",),
    "shaft_seal": ("gland-drip",),
    "keel_joint": ("crack",),
    "skeg": ("crack",),
    "bracket": ("crack", "play"),
    "keel_bolt": ("bolt-diameter", "bolt-torque"),
}
"""Sort of gear -> the kinds that are offered at a look.  Common practice."""


@dataclass(frozen=True, slots=True)
class Measure:
    """What was measured at a look: the kind, its figures and how it was done."""

    kind: str
    figures: Mapping[str, Figure]
    conditions: Mapping[str, object]


@dataclass(frozen=True, slots=True)
class GearLook:
    """One look at a piece of gear.  ``before`` says that it was at the piece that stood before."""

    check_id: str
    visit_id: str
    when: PartialDate
    state: str
    result: str | None
    text: str | None
    basis: str
    measures: tuple[Measure, ...]
    before: bool
    zone: str
    """The time zone of the visit."""


@dataclass(frozen=True, slots=True)
class GearDue:
    """A rule of the owner: look or renew, how often, on whose word.

    ``earliest`` and ``latest`` are None where the day to count from is not on record; their days
    are those of the place where that day was.
    """

    rule_id: str
    sort: str
    every: Measured
    source: str | None
    since: PartialDate | None
    earliest: datetime | None
    latest: datetime | None

    @property
    def working(self) -> Working | None:
        """The rule as a working: so long after the day that it counts from; None without one."""
        if self.earliest is None or self.latest is None or self.since is None:
            return None
        low, high = ((end - self.since.middle) / _DAY for end in (self.earliest, self.latest))
        return Working(
            name="due_by_rule",
            value=(low + high) / 2,
            unit="d",
            formula="T_2 = T_1 + t",
            inputs=(
                Input("T_1", self.since),
                Input("t", self.every.in_unit(self.every.unit), self.every.unit, "as_typed"),
            ),
            source=Source("recorded", self.source or ""),
            interval=Interval(low, high, "readings") if high - low >= 1 else None,
        )


@dataclass(frozen=True, slots=True)
class GearStory:
    """A piece of gear from all that is on record up to the edge.

    ``age`` is its age in years at the edge or today, with an interval where the date is partial;
    None where the date is not known.  ``open_findings`` are (id, title).
    """

    gear_id: str
    sort: str
    name: str
    material: str | None
    place: Where | None
    fitted: PartialDate | None
    note: str | None
    age: Working | None
    looks: tuple[GearLook, ...]
    courses: tuple[ZoneJudged, ...]
    dues: tuple[GearDue, ...]
    open_findings: tuple[tuple[str, str], ...]
    worked: Done | None = None
    """The last work that closed a finding about it."""
    pictured: tuple[PartialDate, ...] = ()
    """Visits at which it was photographed and not examined, in their order."""

    @property
    def last(self) -> GearLook | None:
        """The last look at the piece that is fitted."""
        return next((look for look in reversed(self.looks) if not look.before), None)

    @property
    def pictured_since(self) -> PartialDate | None:
        """The last visit since the last look at which it was only photographed."""
        last = self.pictured[-1] if self.pictured else None
        return last if last and (self.last is None or self.last.when < last) else None


@once_a_reading
def gear_stories(book: Book, edge: Edge | None, now: datetime) -> list[GearStory]:
    """Return every piece of gear up to the edge, in the order of entry; ages as at then or now."""
    seen = {visit.id: (visit, states) for visit, states in up_to(book, edge)}
    until = _until(book, edge) or now
    looks, rules, about = _looks(book, seen), _rules(book), matters(book, edge)
    alone = pictured_alone(book)
    kept = select(Gear).where(Gear.withdrawn.is_(False)).order_by(Gear.entered_at, Gear.name)
    return [
        replace(
            _story(book, gear, edge, until, looks.get(gear.id, []), rules, about),
            pictured=_pictured(gear, alone.get(gear.id, {}), seen),
        )
        for gear in book.scalars(kept)
        if gear.fitted is None or gear.fitted.earliest <= until or gear.id in looks
    ]


def gear_dues(book: Book, now: datetime) -> list[tuple[GearStory, GearDue]]:
    """Return what the owner's rules make due, with or without a day, the earliest first."""
    found = [(story, due) for story in gear_stories(book, None, now) for due in story.dues]
    far = datetime.max.replace(tzinfo=now.tzinfo)
    return sorted(found, key=lambda pair: (pair[1].earliest or far, pair[0].name))


def _until(book: Book, edge: Edge | None) -> datetime | None:
    """Return the moment of an edge, or None for all that is on record."""
    visit = book.get(Visit, edge.visit_id) if edge else None
    if visit is None or edge is None:
        return None
    when = visit.ends if edge.state == "left" and visit.ends else visit.begins
    return when.latest if when else None


def _looks(
    book: Book, seen: Mapping[str, tuple[Visit, frozenset[str]]]
) -> dict[str, list[GearCheck]]:
    """Return the looks that count at the edge by gear, oldest first."""
    query = select(GearCheck).where(GearCheck.withdrawn.is_(False))
    query = query.options(*with_figures(GearCheck)).order_by(GearCheck.entered_at)
    order = {visit_id: n for n, visit_id in enumerate(seen)}
    found: dict[str, list[GearCheck]] = {}
    for look in book.scalars(query):
        if look.visit_id in seen and look.state in seen[look.visit_id][1]:
            found.setdefault(look.gear_id, []).append(look)
    for looks in found.values():
        looks.sort(key=lambda look: (order[look.visit_id], _day(look, seen[look.visit_id][0])))
    return found


def _pictured(
    gear: Gear, alone: Mapping[str, int], seen: Mapping[str, tuple[Visit, frozenset[str]]]
) -> tuple[PartialDate, ...]:
    """Return when the piece that is fitted was photographed alone, in the order of the visits."""
    return tuple(
        visit.begins
        for key, (visit, _) in seen.items()
        if key in alone and visit.begins is not None and not was_before(visit.begins, gear.fitted)
    )


def _day(look: GearCheck, visit: Visit) -> float:
    when = look.looked or visit.begins
    return when.earliest.timestamp() if when else 0.0


def _rules(book: Book) -> list[DueRule]:
    kept = select(DueRule).where(DueRule.subject == "gear", DueRule.withdrawn.is_(False))
    return list(book.scalars(kept.order_by(DueRule.entered_at)))


def _when_done(done: Done) -> PartialDate:
    assert done.when is not None
    return done.when


def _story(
    book: Book,
    gear: Gear,
    edge: Edge | None,
    until: datetime,
    checks: Sequence[GearCheck],
    rules: Sequence[DueRule],
    about: Sequence[Matter],
) -> GearStory:
    # What was fitted after the edge was not there yet.
    fitted = gear.fitted if gear.fitted and gear.fitted.earliest <= until else None
    told = tuple(found for check in checks if (found := _look(book, check, fitted)) is not None)
    findings = [matter for matter in about if gear.id in matter.gear_ids]
    works = [one.closed_by for one in findings if one.closed_by and one.closed_by.when]
    here = time_zone(book)
    mine = [rule for rule in rules if rule.details.get("gear_id") == gear.id]
    return GearStory(
        gear.id,
        gear.sort,
        gear.name,
        gear.material,
        gear.place,
        fitted,
        gear.note,
        age(fitted, until) if fitted else None,
        told,
        tuple(_courses(book, gear, edge, told)),
        tuple(_due(rule, fitted, told, here) for rule in mine if rule.every is not None),
        tuple((one.finding_id, one.title) for one in findings if one.status == "open"),
        max(works, key=_when_done, default=None),
    )


def _look(book: Book, check: GearCheck, fitted: PartialDate | None) -> GearLook | None:
    visit = book.get(Visit, check.visit_id)
    if visit is None or visit.begins is None:
        return None
    when = check.looked or visit.begins
    return GearLook(
        check.id,
        visit.id,
        when,
        check.state,
        check.result,
        check.text,
        check.basis,
        tuple(
            Measure(rated.kind, figures_of(rated), rated.conditions)
            for rated in check.sets
            if not rated.withdrawn
        ),
        check.state != "left" and was_before(when, fitted),
        visit.time_zone,
    )


def _courses(
    book: Book, gear: Gear, edge: Edge | None, looks: Sequence[GearLook]
) -> list[ZoneJudged]:
    kinds = dict.fromkeys(
        measure.kind for look in looks if not look.before for measure in look.measures
    )
    found, bounds = [], limits(book)
    for kind in kinds:
        for component in components(kind):
            series = gear_series(book, gear.id, kind, component, edge)
            if series.points:
                found.append(
                    ZoneJudged(
                        "gear", gear.id, gear.name, None, kind, component, judge(series),
                        limit=bounds.get((kind, component)),
                    )
                )  # fmt: skip
    return found


def age(fitted: PartialDate, at: datetime) -> Working:
    """Return the age in years of what was fitted at a date; an interval where it is partial."""
    years = max((at - fitted.middle) / _YEAR, 0.0)
    low, high = (max((at - end) / _YEAR, 0.0) for end in (fitted.latest, fitted.earliest))
    days = Input("d", (at - fitted.middle) / timedelta(days=1), "d", "since_fitted")
    bounds = None if fitted.precision in ("day", "time") and not fitted.about else (low, high)
    return Working(
        name="gear_age",
        value=years,
        unit="year",
        formula="t = d / 365.25",
        inputs=(days,),
        interval=Interval(*bounds, "readings") if bounds else None,
    )


def _due(
    rule: DueRule, fitted: PartialDate | None, looks: Sequence[GearLook], zone: str
) -> GearDue:
    sort = str(rule.details.get("sort"))
    last = next((look for look in reversed(looks) if not look.before), None)
    since = fitted
    if sort != "renew" and last is not None:
        since, zone = last.when, last.zone
    assert rule.every is not None
    return GearDue(
        rule.id,
        sort,
        rule.every,
        rule.source,
        since,
        later(since.earliest, rule.every, zone) if since else None,
        later(since.latest, rule.every, zone) if since else None,
    )


def later(moment: datetime, every: Measured, zone: str) -> datetime:
    """Return a moment so many years or months later, by the calendar there where they are whole."""
    there = ZoneInfo(zone)
    number = Decimal(every.text)
    months = number * 12 if every.unit == "year" else number
    if every.unit not in ("year", "month") or months != int(months):
        return (moment + timedelta(seconds=every.si)).astimezone(there)
    moment = moment.astimezone(there)
    years, month = divmod(moment.month - 1 + int(months), 12)
    day = min(moment.day, monthrange(moment.year + years, month + 1)[1])
    return moment.replace(year=moment.year + years, month=month + 1, day=day)
