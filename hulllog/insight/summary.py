"""The state in a few lines, for whoever reads only one page: codes and values."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import timedelta
from typing import TYPE_CHECKING

from hulllog.insight.judging import SURE, ZoneJudged, worsening
from hulllog.insight.lags import look_age
from hulllog.insight.repairs import Dried, Mended, mended
from hulllog.insight.shades import FOULING
from hulllog.insight.wear import passed
from hulllog.trade.change import sense

if TYPE_CHECKING:
    from collections.abc import Container, Sequence
    from datetime import datetime

    from hulllog.insight.aftermath import Aftermath
    from hulllog.insight.anodes import PositionStory
    from hulllog.insight.gear import GearStory
    from hulllog.insight.matters import Asked, Matter
    from hulllog.insight.overview import GrowthAlone, Unseen, VisitLine
    from hulllog.records.values import PartialDate
    from hulllog.trade.change import Change
    from hulllog.trade.working import Working

MOST_ANODES = 3
MOST_EVENTS = 3
FRESH = timedelta(days=31)
"""A look that is younger is not told with its age."""
_KEEL = frozenset({"keel_bolt", "keel_joint"})
_ANODE = {"ahead": "anode", "likely": "anode_likely", "past": "anode_past"}


@dataclass(frozen=True, slots=True)
class Said:
    """One line: a code under ``summary.`` with its values."""

    code: str
    values: tuple[tuple[str, object], ...]
    workings: tuple[Working, ...] = ()
    """Of the figures that it tells."""


def summary(
    last: VisitLine | None,
    matters: Sequence[Matter],
    asked: Sequence[Asked],
    judged: Sequence[ZoneJudged],
    unseen: Sequence[Unseen],
    anodes: Sequence[PositionStory],
    now: datetime,
    later: VisitLine | None = None,
    after: Sequence[Aftermath] = (),
    growth: GrowthAlone | None = None,
    gear: Sequence[GearStory] = (),
) -> list[Said]:
    """Return the lines in the order in which a reader asks.

    ``later`` is the last look since she was ``last`` out, such as a diver's.  ``after`` are the
    events with what was looked at after them, the newest first.  ``growth`` are the zones seen for
    growth alone, of which nothing else is known lately.  ``gear`` are the fittings on record.
    """
    judged = [item for item in judged if item.kind not in FOULING]
    courses = [course for story in gear for course in story.courses]
    return [
        *_last(last, now, later),
        *_happened(after, {story.name for story in gear if story.last is None}),
        *_matters(matters, now),
        *_asked(asked),
        *_changed([*judged, *courses]),
        *_trends([*judged, *courses]),
        *_treated(judged),
        *_dried(judged),
        *_unseen(unseen, growth),
        *_gear(gear, after),
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
        return [
            Said("last_then", (*values, ("seen", seen), ("now", now), *since), _age(later, now))
        ]
    seen = last.ends or last.begins
    if seen is None or is_fresh(seen, now):
        return [Said("last", values)]
    return [Said("last_ago", (*values, ("seen", seen), ("now", now)), _age(last, now))]


def _age(line: VisitLine, now: datetime) -> tuple[Working, ...]:
    """Return how old a look is."""
    seen = line.ends or line.begins
    return (look_age(seen, now, line.time_zone),) if seen else ()


def is_fresh(seen: PartialDate, now: datetime) -> bool:
    """Tell whether a look is so young that its age is not told."""
    return now - seen.latest < FRESH


def looked_since(lines: Sequence[VisitLine], last: VisitLine | None) -> VisitLine | None:
    """Return the last visit after she was ``last`` out at which a zone was looked at."""
    if last is None:
        return None
    after = lines[lines.index(last) + 1 :]
    return next((line for line in reversed(after) if line.zones_looked and line.begins), None)


def _happened(after: Sequence[Aftermath], told: Container[str]) -> list[Said]:
    """Say what happened to her, and which look showed what of it; the oldest may be left out.

    ``told`` are the fittings that a line of their own says nobody looked at, before or after.
    """
    found: list[Said] = []
    for one in after[:MOST_EVENTS]:
        about: tuple[tuple[str, object], ...] = (("event", one.event.sort), ("at", one.event.at))
        struck = (("text", one.event.text),)
        if one.kind is None:
            found.append(Said("event_unseen", (*about, *struck)))
        else:
            values = (
                ("first", one.when),
                ("kind_of_look", one.kind),
                ("seen", len(one.looked)),
                ("zones", one.zones),
                ("names", one.looked),
                ("then", one.then),
            )
            found.append(Said("event", (*about, *struck, *values)))
        missed = (*one.never, *(name for name in one.fittings if name not in told))
        if one.kind is not None and missed:
            found.append(Said("event_missed", (*about, ("all_names", missed))))
        if one.first_found:
            found.append(Said("event_found", (*about, ("found", one.first_found))))
        if one.known_before:
            found.append(Said("event_raised", (*about, ("known", one.known_before))))
    more = len(after) - MOST_EVENTS
    return [*found, Said("more_events", (("n", more),))] if more > 0 else found


def _matters(matters: Sequence[Matter], now: datetime) -> list[Said]:
    opened = [matter for matter in matters if matter.status == "open"]
    closed = sum(matter.status == "closed" for matter in matters)
    if not matters:
        return [Said("no_finding", ())]
    if not opened:
        return [Said("no_open", (("closed", closed),))]
    names = tuple(matter.title for matter in opened)
    late = tuple(matter.title for matter in opened if matter.overdue(now))
    code = "open" if closed else "open_none_closed"
    said = [Said(code, (("n", len(opened)), ("names", names), ("closed", closed)))]
    return [*said, Said("overdue", (("n", len(late)), ("names", late)))] if late else said


def _asked(asked: Sequence[Asked]) -> list[Said]:
    """Count what surveys asked for by the strongest proof of each."""
    if not asked:
        return []
    best = [
        "unlinked" if item.unlinked and item.best_proof != "paper" else item.best_proof
        for item in asked
    ]
    order = ("third_party", "paper", "unlinked", "photo", "owner", None)
    counts = tuple((kind, best.count(kind)) for kind in order if kind in best)
    return [Said("asked", (("n", len(asked)), ("proofs", counts)))]


def _changed(judged: Sequence[ZoneJudged]) -> list[Said]:
    changed = [
        item
        for item in judged
        if item.judged.changed is not None
        and item.first_found is None
        and _sure(item, item.judged.changed)
        and item.judged.changed.direction == "worse"
    ]
    compared = any(item.judged.changed is not None and _can_worsen(item) for item in judged)
    new = _newly_found(judged)
    if not changed:
        return new or ([Said("unchanged", ())] if compared else [])
    names = tuple(dict.fromkeys(item.name for item in changed))
    return [*new, Said("worse", (("n", len(names)), ("names", names)))]


def _newly_found(judged: Sequence[ZoneJudged]) -> list[Said]:
    """Say what was found for the first time at its newest look, once for each kind and day."""
    groups: dict[tuple[str, PartialDate, int], list[str]] = {}
    for item in judged:
        if item.first_found and item.subject == "zone":
            names = groups.setdefault((item.kind, *item.first_found), [])
            names += [item.name] if item.name not in names else []
    return [
        Said("newly_found", (("kind", kind), ("seen", when), ("n", n), ("names", tuple(names))))
        for (kind, when, n), names in groups.items()
    ]


def _can_worsen(item: ZoneJudged) -> bool:
    """Tell whether a figure has a worse: of damp timber alone nobody may say "nothing worse"."""
    return sense(item.kind, item.component, 1.0) in ("worse", "better")


def _sure(item: ZoneJudged, changed: Change) -> bool:
    """Tell whether a change is more than chance: of a grade, more than two people would differ."""
    graded = item.judged.series.unit is None and item.judged.series.scale
    return changed.plainly if graded else changed.beyond_error


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
    """Return for each kind what repairs did: grew before, and what was found since."""
    zones: dict[tuple[str, str], list[ZoneJudged]] = {}
    for item in judged:
        if item.subject == "zone" and item.repaired:
            zones.setdefault((item.kind, item.subject_id), []).append(item)
    groups: dict[tuple[str, Mended], list[list[ZoneJudged]]] = {}
    for (kind, _), items in zones.items():
        points = [point for item in items for point in item.judged.series.points]
        came = mended(kind, items[0].repaired, points, items[0].sound)
        if came and came.last_seen and (came.returned or came.looks):
            key = came if came.returned else replace(came, last_seen=None)
            groups.setdefault((kind, key), []).append(items)
    return [_came(kind, came, group) for (kind, came), group in groups.items()]


def _came(kind: str, came: Mended, group: Sequence[Sequence[ZoneJudged]]) -> Said:
    """Say what came of the repairs of zones that went alike."""
    about = (("kind", kind), ("names", tuple(items[0].name for items in group)))
    if not came.returned:
        grew = any(item.judged.grew_before for items in group for item in items)
        return Said("treated_clear", (*about, ("looks", came.looks), ("grew", grew)))
    back = (("n", came.times), ("returned", came.returned), ("last_seen", came.last_seen))
    if came.sound and not came.looks:
        return Said("treated_back_sound", (*about, *back, ("sound", came.sound)))
    return Said("treated_back" if came.looks else "treated_back_unseen", (*about, *back))


def _dried(judged: Sequence[ZoneJudged]) -> list[Said]:
    """Say how readings of a meter fell before a treatment: neither a repair nor a return."""
    fell = [(item, item.dried) for item in judged if item.subject == "zone"]
    return [Said("dried", _drying(item, came)) for item, came in fell if came]


def _drying(item: ZoneJudged, came: Dried) -> tuple[tuple[str, object], ...]:
    return (
        ("kind", item.kind),
        ("names", (item.name,)),
        ("course", came),
        ("series", item.judged.series),
    )


def _unseen(unseen: Sequence[Unseen], growth: GrowthAlone | None) -> list[Said]:
    """Return which zones were not seen; who looked for growth alone has not seen the hull."""
    names = tuple(zone.name for zone in unseen)
    missed = [Said("unseen", (("n", len(unseen)), ("names", names)))] if unseen else []
    if growth is not None and growth.once:
        missed = [Said("unseen_once", (("n", len(growth.once)), ("names", growth.once)))]
    if growth is None or not growth.names:
        once = growth is not None and growth.single
        return missed or [Said("all_seen_once" if once else "all_seen", ())]
    if growth.every:
        return [*missed, Said("growth_alone_every", ())]
    values = (("n", len(growth.names)), ("names", growth.names))
    return [*missed, Said("growth_alone", values)]


def _gear(gear: Sequence[GearStory], after: Sequence[Aftermath]) -> list[Said]:
    """Name the fittings that nobody looked at, those that hold the keel first; none of unknown age
    passes as new."""
    found = []
    never = sorted((story for story in gear if story.last is None), key=_keel_last)
    for aged in (False, True):
        names = tuple(story.name for story in never if (story.age is not None) is aged)
        if names:
            values: tuple[tuple[str, object], ...] = (("n", len(names)), ("names", names))
            code = "gear_unseen" if aged else "gear_unseen_age"
            if after:
                values = (*values, ("event", after[0].event.sort), ("at", after[0].event.at))
                code += "_after"
            found.append(Said(code, values))
    return found


def _keel_last(story: GearStory) -> bool:
    return story.sort not in _KEEL


def _anodes(anodes: Sequence[PositionStory], now: datetime) -> list[Said]:
    dated = [story for story in anodes if story.half_date]
    found = [
        Said(
            _ANODE[passed(story.half_date, now)] + ("_limit" if story.limit.by_owner else ""),
            (
                *((("share", story.limit.share),) if story.limit.by_owner else ()),
                ("name", story.name),
                ("when", story.half_date[0]),
                ("low", story.half_date[1]),
                ("high", story.half_date[2]),
            ),
            story.half_workings,
        )
        for story in dated[:MOST_ANODES]
        if story.half_date
    ]
    more = len(dated) - MOST_ANODES
    return [*found, Said("more_anodes", (("n", more),))] if more > 0 else found
