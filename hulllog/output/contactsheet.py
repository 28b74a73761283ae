"""The contact sheet: every photograph small, with when, where and how it came.

Pictures are re-encoded, turned and stripped: no position and no serial number leaves with them.
"""

from __future__ import annotations

import io
from itertools import groupby
from typing import TYPE_CHECKING

from hulllog.output import blocks
from hulllog.words import formats, say, say_code

# isort: split
from reportlab.lib.units import mm
from reportlab.platypus import Image

if TYPE_CHECKING:
    from reportlab.platypus import Flowable

    from hulllog.insight.pictured import Shown, Subject
    from hulllog.output.contents import Contents
    from hulllog.records.logbook import Logbook

ACROSS = 5
RESOLUTION = 200
"""Dots an inch at the printed size."""


def contact_sheet(
    contents: Contents, pages: dict[str, int], width: float, logbook: Logbook
) -> list[Flowable]:
    """Return the annex with all photographs, those of one place together, by date."""
    story = [blocks.room(90), *blocks.heading(say("report.annex.photos"), "annex-photos", pages)]
    story.append(blocks.paragraph(say("report.photos_about"), blocks.SMALL))
    story += [blocks.paragraph(text, blocks.SMALL) for text in _without(contents)]
    cell = width / ACROSS - 2 * mm
    for subject, of_one in groupby(contents.shown, key=lambda one: one.subject):
        cells = [picture_cell(one, cell, logbook) for one in of_one]
        rows: list[Flowable] = []
        for first in range(0, len(cells), ACROSS):
            row: list[Flowable | list[Flowable]] = [*cells[first : first + ACROSS]]
            row += [[] for _ in range(ACROSS - len(row))]
            rows.append(blocks.side_by_side(row, width))
        head = blocks.paragraph(subject_text(subject), blocks.SMALL_BOLD)
        story += [blocks.together([blocks.gap(1.5), head, rows[0]]), *rows[1:]]
    return story


def _without(contents: Contents) -> list[str]:
    """Say of which findings no photograph is on record."""
    none = [
        say("report.finding_note", number=matter.number, title=matter.title)
        for matter in contents.matters
        if not contents.pictured.get(matter.finding_id)
    ]
    return [say("report.no_photo_of", findings="; ".join(none))] if none else []


def subject_text(subject: Subject) -> str:
    """Say what a photograph shows."""
    if subject.sort == "spot":
        return say("report.shows_spot", number=subject.number, label=subject.name)
    if subject.sort == "place":
        face = say_code("face", subject.face) if subject.face else ""
        part = say_code("part", subject.name)
        return say("report.shows_place", part=part, face=face) if face else part
    return subject.name or say("report.shows_nothing")


def picture_cell(one: Shown, width: float, logbook: Logbook) -> list[Flowable]:
    """Return a photograph with when it was taken, its state, its caption and its digest."""
    caption = (one.photo.caption or subject_text(one.subject))[:120]
    lines = [caption, one.photo.sha256[:16]]
    return [*thumbnail(one, width, logbook), *(blocks.paragraph(t, blocks.TINY) for t in lines)]


def thumbnail(one: Shown, width: float, logbook: Logbook) -> list[Flowable]:
    """Return a photograph with when it was taken by the corrected clock, and its state."""
    from hulllog.records.media import report_copy

    photo = one.photo
    when = formats.anything(one.at) if one.at else say("photo.no_time")
    told = [when, say_code("state", photo.state)] if photo.state else [when]
    line = blocks.paragraph(", ".join(told), blocks.TINY)
    copy = report_copy(logbook, photo, round(width / 72 * RESOLUTION))
    if copy is None:
        return [blocks.paragraph(say("photo.awaited"), blocks.TINY), line]
    height = width * photo.height / photo.width
    picture = Image(io.BytesIO(copy), width=width, height=min(height, width))
    return [picture, line]
