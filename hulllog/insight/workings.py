"""The figures that a condition history prints, each with its working: a register for its annex."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Literal

from hulllog.insight.lags import look_age
from hulllog.insight.summary import is_fresh

if TYPE_CHECKING:
    from datetime import datetime

    from hulllog.insight.anodes import PositionStory
    from hulllog.insight.gear import GearStory
    from hulllog.insight.judging import ZoneJudged
    from hulllog.insight.overview import VisitLine
    from hulllog.insight.paint import BuildUp, Thread
    from hulllog.records.values import PartialDate
    from hulllog.trade.working import Working

Section = Literal["summary", "gear", "anodes", "trends", "visits", "paint"]
SECTIONS: tuple[Section, ...] = ("summary", "gear", "anodes", "trends", "visits", "paint")
"""In the order in which a history tells of them."""


@dataclass(frozen=True, slots=True)
class Printed:
    """A figure in its section and what it is of.

    ``when`` is the look, fitting or visit that it belongs to, where ``of`` has several; ``before``
    says that it is of the looks before the last treatment, ``prompt`` of those alone that were
    entered at the time.
    """

    section: Section
    of: Any
    """Trends: a ZoneJudged; gear: a GearStory; anodes: a PositionStory; visits: a VisitLine;
    paint: Thread, Layer."""
    working: Working
    when: PartialDate | None = None
    before: bool = False
    prompt: bool = False


def registered(
    *,
    judged: Sequence[ZoneJudged],
    anodes: Sequence[PositionStory],
    visits: Sequence[VisitLine],
    last: VisitLine | None,
    later: VisitLine | None,
    threads: Sequence[Thread],
    sections: Sequence[BuildUp],
    now: datetime,
    gear: Sequence[GearStory] = (),
) -> list[Printed]:
    """Return the figures of all that a history tells, each once.

    ``last`` is the line of the last time out, ``later`` of the last look since then.
    """
    found: dict[object, Printed] = {}
    for one in (
        *of_last_look(last, later, now),
        *of_gear(gear),
        *of_anodes(anodes),
        *of_judged(judged),
        *of_visits(visits),
        *of_paint(threads, sections),
    ):
        found.setdefault((_whose(one), one.before, one.working), one)
    return list(found.values())


def _whose(one: Printed) -> object:
    """Return what tells a figure from an equal one: coats share areas, a visit and its season
    litres."""
    if one.working.name == "area_covered":
        return None
    return one.of.visit_id if one.working.name == "litres_used" else id(one.of)


def of_gear(stories: Sequence[GearStory]) -> Iterator[Printed]:
    """Return how old each fitting is whose day is on record."""
    for story in stories:
        if story.age is not None:
            yield Printed("gear", story, story.age, story.fitted)


def of_anodes(stories: Sequence[PositionStory]) -> Iterator[Printed]:
    """Return the figures of each position: its looks, its last wear, when half is gone."""
    for story in stories:
        for piece in story.pieces:
            for look in piece.checks:
                if look.used is not None:
                    yield Printed("anodes", story, look.used, look.when)
        if story.judged:
            last = story.judged[-1]
            for working in (
                last.stretch.immersed.working,
                last.stretch.rate,
                last.ratio,
                last.z,
            ):
                if working is not None:
                    yield Printed("anodes", story, working, last.stretch.ends)
        if story.current is not None and story.current_of is not None:
            yield Printed("anodes", story, story.current, story.current_of.ends)
        for working in (story.half_loss, story.half_day):
            if working is not None:
                yield Printed("anodes", story, working)


def of_judged(items: Sequence[ZoneJudged]) -> Iterator[Printed]:
    """Return what was worked out of each series: the change, the trend, the trend before."""
    for item in items:
        judged = item.judged
        if item.first_found:
            continue
        if judged.changed is not None and judged.changed.difference:
            yield Printed("trends", item, judged.changed.working)
        if judged.trend is not None:
            for working in judged.trend.workings:
                yield Printed("trends", item, working)
        if judged.told_without_later and judged.prompt and judged.prompt.trend:
            yield Printed("trends", item, judged.prompt.trend.tested, prompt=True)
        if judged.adjusted is not None:
            yield Printed("trends", item, judged.adjusted)
        if judged.before_treatment is not None and judged.steady_before:
            for working in judged.before_treatment.workings:
                yield Printed("trends", item, working, before=True)
            if judged.prompt_before is not None and judged.prompt_before.trend is not None:
                tested = judged.prompt_before.trend.tested
                yield Printed("trends", item, tested, before=True, prompt=True)


def of_visits(lines: Sequence[VisitLine]) -> Iterator[Printed]:
    """Return how late each visit was entered, and the litres that were summed for it."""
    for line in lines:
        if line.lag is not None:
            yield Printed("visits", line, line.lag)
        if line.used is not None and is_sum(line.used):
            yield Printed("visits", line, line.used)


def of_paint(threads: Sequence[Thread], sections: Sequence[BuildUp]) -> Iterator[Printed]:
    """Return the litres summed for each season, and the films worked out from litres."""
    for thread in threads:
        if thread.used is not None and is_sum(thread.used):
            yield Printed("paint", thread, thread.used, thread.begins)
    for layer in dict.fromkeys(layer for section in sections for layer in section.layers):
        for working in (layer.film, layer.area):
            if working is not None:
                yield Printed("paint", layer, working, layer.when)


def of_last_look(
    last: VisitLine | None, later: VisitLine | None, now: datetime
) -> Iterator[Printed]:
    """Return how old the last look is, where the summary says so."""
    line = later or last
    seen = (line.ends or line.begins) if line else None
    if line is None or seen is None or last is None or not last.closed:
        return
    if later is not None or not is_fresh(seen, now):
        yield Printed("summary", line, look_age(seen, now, line.time_zone), seen)


def is_sum(working: Working) -> bool:
    """Tell whether a sum had more than one thing to add; else it stands as typed."""
    (one,) = working.inputs
    return isinstance(one.value, tuple) and len(one.value) > 1
