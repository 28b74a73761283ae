"""What wants her keeper's attention now: at most seven lines, each a door to a page."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from sqlalchemy import select

from hulllog.insight.anodes import positions
from hulllog.insight.contradictions import contradictions
from hulllog.insight.gear import gear_dues, gear_stories
from hulllog.insight.judging import SURE, judged_zones, worsening
from hulllog.insight.matters import asked, matters, notes_for_next_time
from hulllog.insight.occasions import visits
from hulllog.insight.overview import unseen
from hulllog.insight.timeline import events
from hulllog.insight.wear import passed
from hulllog.records.model import Treatment
from hulllog.records.operations.afloat import AFLOAT
from hulllog.records.operations.queries import time_zone

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hulllog.insight.anodes import PositionStory
    from hulllog.insight.judging import ZoneJudged
    from hulllog.records.book import Book
    from hulllog.records.model import Visit
    from hulllog.trade.working import Working

MOST = 7
CHANCES = 2
"""Chances to see a zone that were missed running, from which on it is said.  Our own rule."""
SOON = timedelta(days=120)
"""How far ahead something counts as soon.  Our own rule."""


Values = tuple[tuple[str, object], ...]


@dataclass(frozen=True, slots=True)
class Line:
    """One line: a code with values for its sentence, and the page and record behind it.

    Four lines lead to no page: ``notes`` shows the notes, ``contradictions`` what does not fit
    together, ``look`` closes a look afloat, ``backup`` makes a backup.
    """

    code: str
    values: Values
    page: str
    key: str = ""
    workings: tuple[Working, ...] = ()
    """Of the figures that it tells."""


def today(
    book: Book,
    now: datetime,
    last_backup: datetime | None = None,
    *,
    judged: Sequence[ZoneJudged] | None = None,
    anodes: Sequence[PositionStory] | None = None,
) -> list[Line]:
    """Return the lines, the most pressing first; the backup line is always the last.

    The open haul-out and the open findings have the first lines; where there is more to say than
    room, each of the other matters gets its first line before any gets a second.
    ``judged`` and ``anodes`` are what all records say of zones and anodes, where it was read
    already.
    """
    judged = judged_zones(book) if judged is None else judged
    anodes = positions(book) if anodes is None else anodes
    first = [*_open_visit(book, now), *_open_matters(book, now)]
    matters_of = (
        _beyond_limits(book, judged, now),
        _changed(judged),
        _anodes(anodes, now),
        _asked(book),
        _gear(book, now),
        _checks_asked(book),
        _not_seen(book),
        _disagreeing(book),
        _warranty(book, now),
        _notes(book),
    )
    rest = _fairly(matters_of, MOST - 1 - len(first))
    return [*first, *rest, _backup(last_backup, now, ZoneInfo(time_zone(book)))]


def _fairly(families: Sequence[Sequence[Line]], room: int) -> list[Line]:
    """Take lines in turns until the room is full; they stay in the order of their families."""
    chosen: set[tuple[int, int]] = set()
    for turn in range(max(map(len, families), default=0)):
        for number, lines in enumerate(families):
            if turn < len(lines) and len(chosen) < room:
                chosen.add((number, turn))
    return [families[number][turn] for number, turn in sorted(chosen)]


def _open_visit(book: Book, now: datetime) -> list[Line]:
    still_open = [visit for visit in visits(book) if visit.closed_at is None]
    out = [
        Line(_open_code(visit, now), (("begins", visit.begins),), "haul_out", visit.id)
        for visit in still_open
        if visit.kind == "haul_out"
    ]
    afloat = [
        Line(
            "today.look_open", (("visit_kind", visit.kind), ("begins", visit.begins)), "look",
            visit.id,
        )
        for visit in still_open
        if visit.kind in AFLOAT
    ]  # fmt: skip
    return [*out[-1:], *afloat[-1:]]


def _open_code(visit: Visit, now: datetime) -> str:
    """Tell a haul-out that goes on from one that is over and was never closed."""
    over = visit.ends is not None and visit.ends.latest < now
    return "today.haul_out_not_closed" if over else "today.haul_out_open"


def _open_matters(book: Book, now: datetime) -> list[Line]:
    opened = [matter for matter in matters(book) if matter.status == "open"]
    named = [m for m in opened if m.must in ("before_relaunch", "this_season")][:2]
    lines = [
        Line(
            "today.matter_overdue" if m.overdue(now) else "today.matter",
            (("title", m.title), ("must", m.must), ("raised", m.raised)),
            "findings",
            m.finding_id,
        )
        for m in named
    ]
    others = [matter for matter in opened if matter not in named]
    if not others:
        return lines
    values = (("n", len(others)), ("first", others[0].title))
    code = "today.matters"
    if all(matter.must == "next_lift" for matter in others):
        code = "today.next_lift"
    code += "_more" if named else ""
    return [*lines, Line(code, values, "findings", others[0].finding_id)]


def _changed(judged: Sequence[ZoneJudged]) -> list[Line]:
    """Return what changed plainly or rises steadily, what became worse first."""
    worse: list[Line] = []
    steady: list[Line] = []
    other: list[Line] = []
    for item in judged:
        changed = _plain_change(item)
        if changed is not None:
            (worse if changed.code == "today.changed.worse" else other).append(changed)
        steady += _steady(item)
    return [*worse, *steady, *other]


def _beyond_limits(book: Book, judged: Sequence[ZoneJudged], now: datetime) -> list[Line]:
    """Return the figures of zones and gear that lie past a limit which the owner set."""
    gear = [course for story in gear_stories(book, None, now) for course in story.courses]
    lines = []
    for item in (*judged, *gear):
        limit = item.limit
        if limit is None or not item.beyond_limit:
            continue
        values: Values = (
            ("zone", item.name),
            ("kind", item.kind),
            ("component", item.component),
            ("limit", limit.typed),
            ("by", limit.set_by),
        )
        page = "gear" if item.subject == "gear" else "hull"
        lines.append(Line("today.beyond_limit", values, page, item.subject_id))
    return lines


def _plain_change(item: ZoneJudged) -> Line | None:
    """Return the line of a change far beyond the error of the method, the judgement's own bound."""
    changed, series = item.judged.changed, item.judged.series
    if changed is None or not changed.plainly or len(series.comparable) < 2:
        return None
    before, now = series.comparable[-2:]
    values: Values = (
        ("zone", item.name),
        ("kind", item.kind),
        ("component", item.component),
        ("before", before.value),
        ("now", now.value),
        ("unit", series.unit),
        ("grades", (before.grade, now.grade)),
        ("since", before.when),
        ("when", now.when),
    )
    code = f"today.changed.{changed.direction}"
    return Line(code, values, "hull", item.subject_id, (changed.working,))


def _steady(item: ZoneJudged) -> list[Line]:
    corrected, trend = item.judged.adjusted_p, item.judged.trend
    if corrected is None or trend is None or corrected >= SURE or not worsening(item):
        return []
    values: Values = (
        ("zone", item.name),
        ("kind", item.kind),
        ("component", item.component),
        ("looks", trend.n),
    )
    known = (*trend.workings, item.judged.adjusted)
    workings = tuple(one for one in known if one is not None)
    return [Line(f"today.trend_{trend.direction}", values, "hull", item.subject_id, workings)]


def _anodes(stories: Sequence[PositionStory], now: datetime) -> list[Line]:
    unusual: list[Line] = []
    worn: list[Line] = []
    for story in stories:
        if story.unusual and story.ratio:
            cause = story.causes[0].code if story.causes else "nothing_on_record"
            values: Values = (("name", story.name), ("ratio", story.ratio), ("cause", cause))
            code = f"today.anode_{story.unusual}"
            last = story.judged[-1]
            wear = tuple(one for one in (last.ratio, last.z) if one is not None)
            unusual.append(Line(code, values, "anodes", story.position_id, wear))
        told = _half_gone(story, now)
        if told is not None:
            values = (("name", story.name), *told[1])
            half = story.half_workings if any(name == "expected" for name, _ in told[1]) else ()
            worn.append(Line(told[0], values, "anodes", story.position_id, half))
    return [*unusual, *worn]


def _half_gone(story: PositionStory, now: datetime) -> tuple[str, Values] | None:
    """Return what to say of a piece that is half gone or at its limit, or will be soon."""
    present = story.present
    last = present.checks[-1] if present and present.checks else None
    limit = story.limit
    sort = "anode_limit" if limit.by_owner else "anode_half"
    told: Values = (("share", limit.share),) if limit.by_owner else ()
    if last is not None and last.left is not None and last.left[1] <= 1 - limit.share:
        return f"today.{sort}_seen", (("when", last.when), *told)
    if story.half_date is None or story.half_date[0] >= now + SOON:
        return None
    expected, low, high = story.half_date
    lies = passed(story.half_date, now)
    code = f"today.{sort}" if lies == "ahead" else f"today.{sort}_{lies}"
    return code, (("expected", expected), ("low", low), ("high", high), *told)


def _asked(book: Book) -> list[Line]:
    unproved = [item for item in asked(book) if not item.proved]
    if not unproved:
        return []
    values = (("n", len(unproved)), ("first", unproved[0].wording), ("due", unproved[0].due))
    return [Line("today.unproved", values, "papers", unproved[0].recommendation_id)]


def _gear(book: Book, now: datetime) -> list[Line]:
    """Return gear that the owner's own rules make due, soon or already."""
    lines = []
    for story, due in gear_dues(book, now):
        if due.latest is None or due.latest >= now + SOON:
            continue
        code = "today.gear_past" if due.latest < now else "today.gear_due"
        values: Values = (("name", story.name), ("gear_due", due.sort), ("when", due.latest))
        lines.append(Line(code, values, "gear", story.gear_id))
    return lines


def _checks_asked(book: Book) -> list[Line]:
    """Return what happened to her that asked for a check which nobody has entered."""
    return [
        Line("today.check_asked", (("what", seen.sort), ("at", seen.at)), "hull")
        for seen in reversed(events(book))
        if seen.asks_for_check and seen.answered_visit_id is None
    ]


def _not_seen(book: Book) -> list[Line]:
    # What notes do not tell is no chance that was missed.
    missed = [zone for zone in unseen(book) if zone.chances - zone.noted >= CHANCES]
    if not missed:
        return []
    worst = max(missed, key=lambda zone: zone.chances - zone.noted)
    values = (
        ("zone", worst.name),
        ("n", worst.chances - worst.noted),
        ("more", len(missed) - 1),
        ("since", worst.since),
    )
    code = "today.never_seen" if worst.since is None else "today.not_seen"
    return [Line(code, values, "hull", worst.zone_id)]


def _disagreeing(book: Book) -> list[Line]:
    """Return one line: what does not fit together, or the first of it and how much more."""
    found = contradictions(book)
    if not found:
        return []
    first = found[0]
    if len(found) == 1:
        return [Line(first.code, first.values, first.page, first.key)]
    values: Values = (("n", len(found) - 1), ("first", first))
    return [Line("today.contradictions_more", values, "contradictions")]


def _warranty(book: Book, now: datetime) -> list[Line]:
    return [
        Line("today.warranty_ends", (("until", done.warranty_until),), "paint", done.id)
        for done in book.scalars(select(Treatment).where(Treatment.withdrawn.is_(False)))
        if done.warranty_until and now < done.warranty_until.latest < now + SOON * 3
    ]


def _notes(book: Book) -> list[Line]:
    waiting = notes_for_next_time(book, open_only=True)
    if not waiting:
        return []
    return [Line("today.notes", (("n", len(waiting)), ("first", waiting[0].text)), "notes")]


def _backup(last: datetime | None, now: datetime, there: ZoneInfo) -> Line:
    if last is None:
        return Line("today.no_backup", (), "backup")
    last = last.astimezone(there)
    days = max((now - last).days, 0)
    if days == 0:
        return Line("today.backup_fresh", (("at", last),), "backup")
    return Line("today.backup", (("at", last), ("n", days)), "backup")
