"""What wants her keeper's attention now: at most seven lines, each a door to a page."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import TYPE_CHECKING

from sqlalchemy import select

from hulllog.insight.anodes import positions
from hulllog.insight.judging import SURE, judged_zones, worsening
from hulllog.insight.matters import asked, matters, notes_for_next_time
from hulllog.insight.occasions import visits
from hulllog.insight.overview import unseen
from hulllog.records.model import Treatment

if TYPE_CHECKING:
    from hulllog.records.book import Book

MOST = 7
SOON = timedelta(days=120)


@dataclass(frozen=True, slots=True)
class Line:
    """One line: a code with values for its sentence, and the page and record behind it."""

    code: str
    values: tuple[tuple[str, object], ...]
    page: str
    key: str = ""


def today(book: Book, now: datetime, last_backup: datetime | None = None) -> list[Line]:
    """Return the lines, the most pressing first; the backup line is always the last."""
    lines = [
        *_open_visit(book),
        *_open_matters(book),
        *_changed(book),
        *_anodes(book, now),
        *_asked(book),
        *_not_seen(book),
        *_warranty(book, now),
        *_notes(book),
    ]
    return [*lines[: MOST - 1], _backup(last_backup)]


def _open_visit(book: Book) -> list[Line]:
    return [
        Line("today.haul_out_open", (("begins", visit.begins),), "haul_out", visit.id)
        for visit in visits(book)
        if visit.closed_at is None and visit.kind == "haul_out"
    ][-1:]


def _open_matters(book: Book) -> list[Line]:
    opened = [matter for matter in matters(book) if matter.status == "open"]
    if not opened:
        return []
    pressing = [m for m in opened if m.must in ("before_relaunch", "this_season")]
    if pressing:
        return [
            Line(
                "today.matter",
                (("title", m.title), ("must", m.must), ("raised", m.raised)),
                "findings",
                m.finding_id,
            )
            for m in pressing[:2]
        ] + [Line("today.matters", (("n", len(opened)),), "findings")]
    return [Line("today.matters", (("n", len(opened)), ("first", opened[0].title)), "findings")]


def _changed(book: Book) -> list[Line]:
    found = []
    for item in judged_zones(book):
        values = (("zone", item.name), ("kind", item.kind), ("component", item.component))
        changed = item.judged.changed
        if changed is not None and changed.plainly and item.judged.series.comparable:
            last = item.judged.series.comparable[-2:]
            told = (
                ("before", last[0].value),
                ("now", last[1].value),
                ("unit", item.judged.series.unit),
                ("grades", tuple(p.grade for p in last)),
            )
            found.append(
                Line(f"today.changed.{changed.direction}", values + told, "hull", item.subject_id)
            )
        corrected = item.judged.adjusted_p
        if corrected is not None and corrected < SURE and worsening(item):
            found.append(Line("today.trend", values, "hull", item.subject_id))
    return found


def _anodes(book: Book, now: datetime) -> list[Line]:
    lines = []
    for story in positions(book):
        if story.unusual and story.ratio:
            cause = story.causes[0].code if story.causes else "nothing_on_record"
            values = (("name", story.name), ("ratio", story.ratio), ("cause", cause))
            lines.append(Line(f"today.anode_{story.unusual}", values, "anodes", story.position_id))
        if story.half_date and story.half_date[0] < now + SOON:
            expected, low, high = story.half_date
            lines.append(
                Line(
                    "today.anode_half",
                    (("name", story.name), ("when", expected), ("low", low), ("high", high)),
                    "anodes",
                    story.position_id,
                )
            )
    return lines


def _asked(book: Book) -> list[Line]:
    unproved = [item for item in asked(book) if not item.proved]
    if not unproved:
        return []
    values = (("n", len(unproved)), ("first", unproved[0].wording), ("due", unproved[0].due))
    return [Line("today.unproved", values, "papers", unproved[0].recommendation_id)]


def _not_seen(book: Book) -> list[Line]:
    missed = unseen(book)
    if not missed:
        return []
    worst = max(missed, key=lambda zone: zone.chances)
    values = (
        ("zone", worst.name),
        ("n", worst.chances),
        ("more", len(missed) - 1),
        ("since", worst.since),
    )
    code = "today.never_seen" if worst.since is None else "today.not_seen"
    return [Line(code, values, "hull", worst.zone_id)]


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
    return [Line("today.notes", (("n", len(waiting)), ("first", waiting[0].text)), "haul_out")]


def _backup(last: datetime | None) -> Line:
    if last is None:
        return Line("today.no_backup", (), "boat", "backup")
    return Line("today.backup", (("when", last),), "boat", "backup")
