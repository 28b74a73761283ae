"""What falls due on an axis of time: a row for each, a box over the days on which it can fall.

Today is the dotted line that the tide strip has; a day that is known is a post.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from hulllog.drawing import font, shapes
from hulllog.drawing.scene import Scene, Style, Text
from hulllog.drawing.timeline import Scale, years

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hulllog.drawing.scene import Path
    from hulllog.drawing.timeline import Moment

ROW, FOOT = 8.0, 7.0
"""Millimetres of a row, and of the years below."""
_HEAD, _BOX, _LEAST = 5.0, 3.4, 1.2
_NAMES = 0.36
"""The most that the names take, as a share of the width."""
_FARTHEST = 5.0
"""Years ahead at which the axis ends at most; a box that runs on stands open.  Our own rule."""


@dataclass(frozen=True, slots=True)
class Row:
    """Something due: ``when`` in years with fractions, and whether its day is known."""

    key: str
    name: str
    when: Moment
    known: bool
    said: str
    first: bool = False


def height_of(rows: Sequence[object]) -> float:
    """Return the millimetres that so many rows need."""
    return _HEAD + max(len(rows), 1) * ROW + FOOT


def due_axis(
    rows: Sequence[Row],
    today: float,
    width: float,
    height: float,
    *,
    today_text: str = "",
    described: str = "",
) -> Scene:
    """Draw what falls due, ``width`` × ``height`` mm, in the order that is given.

    Keys are those of the rows, reached from above.
    """
    room = min(_widest(rows), width * _NAMES)
    scale = _scale(rows, today, room + 4.0, width - 3.0)
    foot = height - FOOT
    items: list[Path | Text] = [
        shapes.rect(scale.start, _HEAD, scale.end - scale.start, foot - _HEAD, Style(None, "water"))
    ]
    items += _years(scale, foot)
    for number, row in enumerate(rows):
        items += _row(row, _HEAD + (number + 0.5) * ROW, room, scale, width)
    items += _today(today, scale, foot, today_text)
    regions = tuple((row.key, row.said) for row in rows)
    return Scene(width, height, tuple(items), described, regions)


def _widest(rows: Sequence[Row]) -> float:
    return max((font.width(row.name, font.SMALL, bold=True) for row in rows), default=0.0) + 1.0


def _scale(rows: Sequence[Row], today: float, start: float, end: float) -> Scale:
    low = min([today - 0.25, *(row.when.earliest - 0.05 for row in rows)])
    high = max([today + 1.0, *(row.when.latest + 0.1 for row in rows)])
    return Scale(max(low, today - _FARTHEST), min(high, today + _FARTHEST), start, end)


def _years(scale: Scale, foot: float) -> list[Path | Text]:
    base = foot + 2.0 + font.cap_height(font.SMALL)
    items: list[Path | Text] = []
    needed = font.width("0000", font.SMALL) + 3.0
    for year in years(scale.low, scale.high, scale.end - scale.start, needed):
        x = scale.at(year)
        items.append(shapes.line(x, _HEAD, x, foot + 1.0, Style("line", width=0.25)))
        items.append(Text(x, base, str(year), font.SMALL, "middle", "muted"))
    return items


def _today(today: float, scale: Scale, foot: float, said: str) -> list[Path | Text]:
    x = scale.at(today)
    dots = Style("ink", width=0.35, dash=(0.4, 0.9))
    items: list[Path | Text] = [shapes.line(x, _HEAD - 1.0, x, foot, dots)]
    if said:
        half = font.width(said, font.SMALL) / 2
        middle = min(max(x, scale.start + half), scale.end - half)
        base = 0.6 + font.cap_height(font.SMALL)
        items.append(Text(middle, base, said, font.SMALL, "middle", "ink"))
    return items


def _row(row: Row, middle: float, room: float, scale: Scale, width: float) -> list[Path | Text]:
    base = middle + font.cap_height(font.SMALL) / 2
    name = font.fit(row.name, room, font.SMALL, bold=row.first)
    items: list[Path | Text] = [
        Text(0.5, base, name, font.SMALL, "start", "ink", row.first, row.key),
        *_mark(row, middle, scale),
        shapes.rect(0, middle - ROW / 2, width, ROW, Style(None), row.key),
    ]
    return items


def _mark(row: Row, middle: float, scale: Scale) -> list[Path]:
    left = min(scale.at(min(max(row.when.earliest, scale.low), scale.high)), scale.end - _LEAST)
    top, ink = middle - _BOX / 2, "action" if row.first else "water_deep"
    wide = 0.7 if row.first else 0.4
    if row.known:
        style = Style(ink, ink if row.first else "sheet", 0.45)
        return [shapes.rect(left - 0.5, top - 0.6, 1.0, _BOX + 1.2, style, row.key, radius=0.5)]
    right = max(scale.at(min(row.when.latest, scale.high)), left + _LEAST)
    dashed = Style(ink, None, wide, (0.9, 0.7))
    ground = shapes.rect(left, top, right - left, _BOX, Style(None, "sheet"), row.key)
    if row.when.latest <= scale.high:
        return [ground, shapes.rect(left, top, right - left, _BOX, dashed, row.key, radius=0.4)]
    corners = ((right, top), (left, top), (left, top + _BOX), (right, top + _BOX))
    return [ground, shapes.polyline(corners, dashed, row.key)]
