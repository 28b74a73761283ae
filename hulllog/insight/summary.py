"""The state in a few lines, for whoever reads only one page: codes and values."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta
from typing import TYPE_CHECKING

from hulllog.insight.judging import SURE, ZoneJudged, worsening
from hulllog.insight.shades import FOULING
from hulllog.insight.wear import passed

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import datetime

    from hulllog.insight.anodes import PositionStory
    from hulllog.insight.matters import Asked, Matter
    from hulllog.insight.overview import Unseen, VisitLine

MOST_ANODES = 3
FRESH = timedelta(days=31)
"""A look that is younger is not told with its age."""
_ANODE = {"ahead": "anode", "likely": "anode_likely", "past": "anode_past"}


@dataclass(frozen=True, slots=True)
class Said:
    """One line: a code under ``summary.`` with its values."""

    code: str
    values: tuple[tuple[str, object], ...]


def summary(
    last: VisitLine | None,
    matters: Sequence[Matter],
    asked: Sequence[Asked],
    judged: Sequence[ZoneJudged],
    unseen: Sequence[Unseen],
    anodes: Sequence[PositionStory],
    now: datetime,
    later: VisitLine | None = None,
) -> list[Said]:
    """Return the lines in the order in which a reader asks.

    ``later`` is the last look since she was ``last`` out, such as a diver's.
    """
    judged = [item for item in judged if item.kind not in FOULING]
    return [
        *_last(last, now, later),
        *_matters(matters),
        *_asked(asked),
        *_changed(judged),
        *_trends(judged),
        *_treated(judged),
        *_unseen(unseen),
        *_anodes(anodes, now),
    ]


def _last(last: VisitLine | None, now: datetime, later: VisitLine | None) -> list[Said]:
    if last is None:
        return [Said("no_haul_out", ())]
    values = (
        ("begins", last.begins),
        ("ends", last.until),
        ("looked", last.zones_looked),
        ("zones", last.zones),
    )
    if not last.closed:
        return [Said("last_open", values)]
    if later is not None:
        seen = later.ends or later.begins
        since = (("kind_of_look", later.kind), ("then_looked", later.zones_looked))
        return [Said("last_then", (*values, ("seen", seen), ("now", now), *since))]
    seen = last.ends or last.begins
    if seen is None or now - seen.latest < FRESH:
        return [Said("last", values)]
    return [Said("last_ago", (*values, ("seen", seen), ("now", now)))]


def looked_since(lines: Sequence[VisitLine], last: VisitLine | None) -> VisitLine | None:
    """Return the last visit after she was ``last`` out at which a zone was looked at."""
    if last is None:
        return None
    after = lines[lines.index(last) + 1 :]
    return next((line for line in reversed(after) if line.zones_looked and line.begins), None)


def _matters(matters: Sequence[Matter]) -> list[Said]:
    opened = [matter for matter in matters if matter.status == "open"]
    closed = sum(matter.status == "closed" for matter in matters)
    if not opened:
        return [Said("no_open", (("closed", closed),))]
    names = tuple(matter.title for matter in opened)
    return [Said("open", (("n", len(opened)), ("names", names), ("closed", closed)))]


def _asked(asked: Sequence[Asked]) -> list[Said]:
    if not asked:
        return []
    unproved = sum(not item.proved for item in asked)
    code = "asked_unproved" if unproved else "asked_proved"
    return [Said(code, (("n", unproved or len(asked)), ("whole", len(asked))))]


def _changed(judged: Sequence[ZoneJudged]) -> list[Said]:
    changed = [
        item
        for item in judged
        if item.judged.changed is not None
        and item.judged.changed.beyond_error
        and item.judged.changed.direction == "worse"
    ]
    compared = any(item.judged.changed is not None for item in judged)
    if not changed:
        return [Said("unchanged", ())] if compared else []
    names = tuple(dict.fromkeys(item.name for item in changed))
    return [Said("worse", (("n", len(names)), ("names", names)))]


def _trends(judged: Sequence[ZoneJudged]) -> list[Said]:
    names = tuple(
        dict.fromkeys(
            item.name
            for item in judged
            if item.judged.adjusted_p is not None
            and item.judged.adjusted_p < SURE
            and worsening(item)
        )
    )
    return [Said("trend", (("n", len(names)), ("names", names)))] if names else []


def _treated(judged: Sequence[ZoneJudged]) -> list[Said]:
    """Return for each kind what treatment did: grew before, and what was found since."""
    zones: dict[tuple[str, str], list[ZoneJudged]] = {}
    for item in judged:
        points = item.judged.series.points
        if item.subject == "zone" and any("treated_between" in p.why_not for p in points):
            zones.setdefault((item.kind, item.subject_id), []).append(item)
    groups: dict[tuple[str, int, int], list[list[ZoneJudged]]] = {}
    for (kind, _), items in zones.items():
        if any(point.value > 0 for item in items for point in item.judged.series.points):
            seen, looks = _seen_since(items)
            groups.setdefault((kind, seen, looks), []).append(items)
    found = []
    for (kind, seen, looks), group in groups.items():
        names = tuple(items[0].name for items in group)
        grew = any(item.judged.grew_before for items in group for item in items)
        values = (("kind", kind), ("names", names), ("seen", seen), ("looks", looks))
        code = "treated_back" if seen else "treated_clear"
        found.append(Said(code, (*values, ("grew", grew))))
    return found


def _seen_since(items: Sequence[ZoneJudged]) -> tuple[int, int]:
    """Return at how many of the looks since the treatment any figure was above none."""
    looks: dict[str, bool] = {}
    for item in items:
        for point in item.judged.series.comparable:
            looks[point.visit_id] = looks.get(point.visit_id, False) or point.value > 0
    return sum(looks.values()), len(looks)


def _unseen(unseen: Sequence[Unseen]) -> list[Said]:
    if not unseen:
        return [Said("all_seen", ())]
    names = tuple(zone.name for zone in unseen)
    return [Said("unseen", (("n", len(unseen)), ("names", names)))]


def _anodes(anodes: Sequence[PositionStory], now: datetime) -> list[Said]:
    dated = [story for story in anodes if story.half_date]
    found = [
        Said(
            _ANODE[passed(story.half_date, now)],
            (
                ("name", story.name),
                ("when", story.half_date[0]),
                ("low", story.half_date[1]),
                ("high", story.half_date[2]),
            ),
        )
        for story in dated[:MOST_ANODES]
        if story.half_date
    ]
    more = len(dated) - MOST_ANODES
    return [*found, Said("more_anodes", (("n", more),))] if more > 0 else found
