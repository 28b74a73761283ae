"""The contact sheet: every photograph small, with when, where and how it came.

Pictures are re-encoded, turned and stripped: no position and no serial number leaves with them.
"""

from __future__ import annotations

import io
from typing import TYPE_CHECKING

from hulllog.output import blocks
from hulllog.words import formats, say

# isort: split
from reportlab.lib.units import mm
from reportlab.platypus import Image

if TYPE_CHECKING:
    from reportlab.platypus import Flowable

    from hulllog.output.contents import Contents
    from hulllog.records.logbook import Logbook
    from hulllog.records.model import Photo

ACROSS = 4
RESOLUTION = 200
"""Dots an inch at the printed size."""


def contact_sheet(
    contents: Contents, pages: dict[str, int], width: float, logbook: Logbook
) -> list[Flowable]:
    """Return the annex with all photographs, by date."""
    story = [blocks.room(90), *blocks.heading(say("report.annex.photos"), "annex-photos", pages)]
    story.append(blocks.paragraph(say("report.photos_about"), blocks.SMALL))
    cell = width / ACROSS - 3 * mm
    row: list[Flowable | list[Flowable]] = []
    for photo in contents.photos:
        row.append(_cell(photo, cell, logbook))
        if len(row) == ACROSS:
            story += [blocks.side_by_side(row, width), blocks.gap(2)]
            row = []
    if row:
        row += [[] for _ in range(ACROSS - len(row))]
        story.append(blocks.side_by_side(row, width))
    return story


def _cell(photo: Photo, width: float, logbook: Logbook) -> list[Flowable]:
    from hulllog.records.media import report_copy

    told = formats.anything(photo.captured) if photo.captured else say("photo.no_time")
    lines: list[Flowable] = [blocks.paragraph(told, blocks.TINY)]
    if photo.caption:
        lines.append(blocks.paragraph(photo.caption[:120], blocks.TINY))
    lines.append(blocks.paragraph(photo.sha256[:16], blocks.TINY))
    copy = report_copy(logbook, photo, round(width / 72 * RESOLUTION))
    if copy is None:
        return [blocks.paragraph(say("photo.awaited"), blocks.TINY), *lines]
    height = width * photo.height / photo.width
    picture = Image(io.BytesIO(copy), width=width, height=min(height, width))
    return [picture, *lines]
