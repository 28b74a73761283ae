"""The state in a few lines, for whoever reads only one page: codes and values."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from hulllog.insight.judging import SURE, ZoneJudged, worsening
from hulllog.insight.shades import FOULING

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hulllog.insight.anodes import PositionStory
    from hulllog.insight.matters import Asked, Matter
    from hulllog.insight.overview import Unseen, VisitLine

MOST_NAMES = 3


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
) -> list[Said]:
    """Return the lines in the order in which a reader asks."""
    judged = [item for item in judged if item.kind not in FOULING]
    return [
        *_last(last),
        *_matters(matters),
        *_asked(asked),
        *_changed(judged),
        *_trends(judged),
        *_treated(judged),
        *_unseen(unseen),
        *_anodes(anodes),
    ]


def _last(last: VisitLine | None) -> list[Said]:
    if last is None:
        return [Said("no_haul_out", ())]
    return [
        Said(
            "last" if last.closed else "last_open",
            (
                ("begins", last.begins),
                ("ends", last.ends),
                ("looked", last.zones_looked),
                ("zones", last.zones),
            ),
        )
    ]


def _matters(matters: Sequence[Matter]) -> list[Said]:
    opened = [matter for matter in matters if matter.status == "open"]
    closed = sum(matter.status == "closed" for matter in matters)
    if not opened:
        return [Said("no_open", (("closed", closed),))]
    names = tuple(matter.title for matter in opened[:MOST_NAMES])
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
    return [Said("worse", (("n", len(names)), ("names", names[:MOST_NAMES])))]


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
    return [Said("trend", (("n", len(names)), ("names", names[:MOST_NAMES])))] if names else []


def _treated(judged: Sequence[ZoneJudged]) -> list[Said]:
    """Return for each kind what treatment did: grew before, and what was found since."""
    groups: dict[tuple[str, bool], list[ZoneJudged]] = {}
    for item in judged:
        points = item.judged.series.points
        if item.subject != "zone" or not any("treated_between" in p.why_not for p in points):
            continue
        if not any(p.value > 0 for p in points):
            continue
        since = item.judged.series.comparable
        groups.setdefault((item.kind, all(p.value == 0 for p in since)), []).append(item)
    found = []
    for (kind, clear), items in groups.items():
        names = tuple(dict.fromkeys(item.name for item in items))
        looks = min(len(item.judged.series.comparable) for item in items)
        grew = any(item.judged.grew_before for item in items)
        code = "treated_clear" if clear else "treated_back"
        values = (("kind", kind), ("names", names), ("looks", looks), ("grew", grew))
        found.append(Said(code, values))
    return found


def _unseen(unseen: Sequence[Unseen]) -> list[Said]:
    if not unseen:
        return [Said("all_seen", ())]
    names = tuple(zone.name for zone in unseen[:MOST_NAMES])
    return [Said("unseen", (("n", len(unseen)), ("names", names)))]


def _anodes(anodes: Sequence[PositionStory]) -> list[Said]:
    return [
        Said(
            "anode",
            (
                ("name", story.name),
                ("when", story.half_date[0]),
                ("low", story.half_date[1]),
                ("high", story.half_date[2]),
            ),
        )
        for story in anodes
        if story.half_date
    ][:2]
