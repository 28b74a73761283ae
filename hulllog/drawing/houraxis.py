"""A plan on an axis of hours: a row for each part of the work, with nights and the temperature.

A task is a bar, what is put on a filled one with its number, what is prepared a hatched one, what
the yard does an open one.  A window is a bracket below its coat, with a tick where it is used.
A thick line on the axis are hours of work.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from hulllog.drawing import font, shapes
from hulllog.drawing.scene import Scene, Style, Text
from hulllog.drawing.timeline import Scale

if TYPE_CHECKING:
    from collections.abc import Iterator

    from hulllog.drawing.scene import Path

Sort = Literal["yard", "prepare", "coat", "window", "work", "night", "tide"]

HEAD, CURVE, ROW, FOOT, KEY = 11.0, 17.0, 10.4, 6.4, 5.4
"""Millimetres: days above, temperature, a row, high waters, the key."""
_BAR = 4.6
_SIDE = 1.6
_CAP = font.cap_height(font.SMALL)
_WORK = Style("shore", width=0.9)


@dataclass(frozen=True, slots=True)
class Bar:
    """A task on a row, in hours; ``label`` stands in it where there is room."""

    key: str
    row: int
    begins: float
    ends: float
    sort: Sort
    label: str
    said: str


@dataclass(frozen=True, slots=True)
class Window:
    """A window below a row: from when to when (None: no end is stated), and when it is used."""

    key: str
    row: int
    begins: float
    ends: float | None
    used: float
    said: str


@dataclass(frozen=True, slots=True)
class Tide:
    """A high water, with its height as it is written."""

    key: str
    at: float
    label: str
    said: str


@dataclass(frozen=True, slots=True)
class HourAxis:
    """What is drawn, in hours from midnight of the first day."""

    begins: float
    ends: float
    rows: tuple[str, ...]
    bars: tuple[Bar, ...]
    windows: tuple[Window, ...]
    nights: tuple[tuple[float, float], ...]
    days: tuple[tuple[float, str], ...]
    """Midnights with the day that begins there."""
    curve: tuple[tuple[float, float], ...]
    """Hours and the temperature there."""
    warm: str
    """The highest and the lowest temperature as they are written."""
    cold: str
    curve_name: str
    key: tuple[tuple[Sort, str], ...]
    works: tuple[tuple[float, float], ...] = ()
    """From when to when work by hand is allowed."""
    empty: str = ""
    """What stands in a row that has no bar."""
    tides: tuple[Tide, ...] = ()
    described: str = ""


def height_of(axis: HourAxis) -> float:
    """Return the millimetres that the picture needs."""
    return HEAD + CURVE + ROW * len(axis.rows) + (FOOT if axis.tides else 0.0) + KEY + 1.0


def hour_axis(axis: HourAxis, width: float) -> Scene:
    """Draw a plan, ``width`` mm wide and as high as it needs.

    Keys are those of bars, windows and tides, reached in the order of time.
    """
    names = [*axis.rows, axis.curve_name]
    left = min(max(font.width(name, font.SMALL) for name in names) + 3.0, width * 0.28)
    scale = Scale(axis.begins, axis.ends, left, width - _SIDE)
    height = height_of(axis)
    foot = height - KEY - 1.0
    items: list[Path | Text] = [
        *_nights(axis, scale, foot),
        *_days(axis, scale, foot),
        *_curve(axis, scale, left),
        *_rows(axis, scale, left),
    ]
    for row in range(len(axis.rows)):
        items += _row(axis, row, scale)
    items += _tides(axis, scale)
    items += _key(axis, width, height)
    return Scene(width, height, tuple(items), axis.described, _regions(axis))


def _regions(axis: HourAxis) -> tuple[tuple[str, str], ...]:
    found = [(bar.begins, 0, bar.key, bar.said) for bar in axis.bars]
    found += [(window.begins, 1, window.key, window.said) for window in axis.windows]
    found += [(tide.at, 2, tide.key, tide.said) for tide in axis.tides]
    return tuple((key, said) for _, _, key, said in sorted(found))


def _nights(axis: HourAxis, scale: Scale, foot: float) -> Iterator[Path]:
    style = Style(None, "line", opacity=0.55)
    for begins, ends in axis.nights:
        first, last = max(begins, axis.begins), min(ends, axis.ends)
        if first < last:
            x = scale.at(first)
            yield shapes.rect(x, HEAD - 4.6, scale.at(last) - x, foot - HEAD + 4.6, style)


def _days(axis: HourAxis, scale: Scale, foot: float) -> Iterator[Path | Text]:
    for at, said in axis.days:
        x = max(scale.at(at), scale.start)
        until = min(scale.at(at + 24), scale.end)
        if until <= x:
            continue
        if at > axis.begins:
            yield shapes.line(x, 0.6, x, foot, Style("edge", width=0.2))
        cut = font.fit(said, until - x - 1.2, font.SMALL, bold=True)
        if font.width(said, font.SMALL, bold=True) <= until - x - 1.2:
            yield Text(x + 1.0, 3.4, cut, font.SMALL, bold=True)
        yield from _clock(axis, scale, at)
    yield shapes.line(scale.start, HEAD, scale.end, HEAD, Style("edge", width=0.25))
    for begins, ends in axis.works:
        first, last = max(begins, axis.begins), min(ends, axis.ends)
        if first < last:
            yield shapes.line(scale.at(first), HEAD, scale.at(last), HEAD, _WORK)


def _clock(axis: HourAxis, scale: Scale, midnight: float) -> Iterator[Path | Text]:
    """Mark the hours of a day, as many of them with a number as there is room for."""
    needed = font.width("00", font.SMALL) + 2.2
    step = next((one for one in (1, 2, 3, 6, 12) if scale.unit * one >= needed), 24)
    for clock in range(step, 24, step):
        at = midnight + clock
        if not axis.begins < at < axis.ends:
            continue
        x = scale.at(at)
        yield shapes.line(x, HEAD - 1.0, x, HEAD, Style("edge", width=0.2))
        half = needed / 2
        if scale.start + half <= x <= scale.end - half:
            yield Text(x, HEAD - 1.7, str(clock), font.SMALL, "middle", "muted")


def _curve(axis: HourAxis, scale: Scale, left: float) -> Iterator[Path | Text]:
    top, base = HEAD + 4.8, HEAD + CURVE - 4.4
    middle = (top + base) / 2 + _CAP / 2
    said = font.fit(axis.curve_name, left - 2.0, font.SMALL)
    yield Text(0, middle, said, font.SMALL, color="muted")
    shown = [(at, t) for at, t in axis.curve if axis.begins <= at <= axis.ends]
    if len(shown) < 2:
        return
    low, high = min(t for _, t in shown), max(t for _, t in shown)
    up = Scale(low, high, base, top) if high > low else Scale(low - 1, high + 1, base, top)
    yield shapes.polyline(
        ((scale.at(at), up.at(t)) for at, t in shown), Style("series.2", width=0.45)
    )
    hottest = max(shown, key=lambda one: one[1])
    coldest = min(shown, key=lambda one: one[1])
    for (at, t), label, lift in ((hottest, axis.warm, -1.0), (coldest, axis.cold, _CAP + 1.0)):
        if high > low or lift < 0:
            half = font.width(label, font.SMALL) / 2
            x = min(max(scale.at(at), scale.start + half), scale.end - half)
            yield Text(x, up.at(t) + lift, label, font.SMALL, "middle", "muted")


def _rows(axis: HourAxis, scale: Scale, left: float) -> Iterator[Path | Text]:
    for row, name in enumerate(axis.rows):
        top = _top(row)
        yield shapes.line(0, top, scale.end, top, Style("line", width=0.2))
        said = font.fit(name, left - 2.0, font.SMALL)
        yield Text(0, top + 1.2 + _BAR / 2 + _CAP / 2, said, font.SMALL)


def _top(row: int) -> float:
    return HEAD + CURVE + ROW * row


def _row(axis: HourAxis, row: int, scale: Scale) -> Iterator[Path | Text]:
    """Draw the bars of a row, each with the room until the next, and the windows below them."""
    bars = sorted((bar for bar in axis.bars if bar.row == row), key=lambda bar: bar.begins)
    ends = [*(scale.at(bar.begins) for bar in bars[1:]), scale.end]
    for bar, end in zip(bars, ends, strict=False):
        yield from _bar(bar, scale, end)
    if not bars and axis.empty:
        base = _top(row) + 1.2 + (_BAR + _CAP) / 2
        yield Text(scale.start + 1.0, base, axis.empty, font.SMALL, color="muted")
    windows = sorted((one for one in axis.windows if one.row == row), key=lambda one: one.begins)
    follow = [*(one.begins for one in windows[1:]), None]
    for window, after in zip(windows, follow, strict=False):
        yield from _window(window, after, scale)


def _bar(bar: Bar, scale: Scale, end: float) -> Iterator[Path | Text]:
    """Draw a bar; its label stands in it, or after it where there is room before the next."""
    x, wide = scale.at(bar.begins), max(scale.at(bar.ends) - scale.at(bar.begins), 0.8)
    y = _top(bar.row) + 1.2
    yield from _drawn(bar.sort, x, y, wide, bar.key)
    needed = font.width(bar.label, font.SMALL, bold=True)
    base = y + (_BAR + _CAP) / 2
    if bar.label and needed + 0.8 <= wide:
        colour = "sheet" if bar.sort == "coat" else "ink"
        yield Text(x + wide / 2, base, bar.label, font.SMALL, "middle", colour, True, bar.key)
    elif bar.label and x + wide + 0.8 + needed <= end:
        yield Text(x + wide + 0.8, base, bar.label, font.SMALL, "start", "ink", True, bar.key)


def _drawn(sort: Sort, x: float, y: float, wide: float, key: str = "") -> Iterator[Path]:
    if sort == "coat":
        yield shapes.rect(x, y, wide, _BAR, Style("sheet", "series.1", 0.2), key)
    elif sort == "prepare":
        box = shapes.rect(x, y, wide, _BAR, Style("ashore_edge", "sheet", 0.3), key)
        yield box
        yield shapes.hatch(box, 1.1, Style("ashore_edge", width=0.2), key)
    else:
        yield shapes.rect(x, y, wide, _BAR, Style("ink", "sheet", 0.35), key)


def _window(window: Window, after: float | None, scale: Scale) -> Iterator[Path]:
    """Draw a window to its end, or as far as it matters: until the next one of its row begins."""
    y = _top(window.row) + 1.2 + _BAR + 1.7
    begins, used = max(scale.at(window.begins), scale.start), scale.at(window.used)
    limit = scale.high if after is None else after
    if window.ends is not None and window.ends <= limit:
        yield from _bracket(begins, max(scale.at(window.ends), begins + 0.6), y, window.key)
    else:
        yield from _bracket(begins, max(used, begins + 0.6), y, window.key, shut=False)
        if after is None:
            style = Style("series.3", width=0.45, dash=(1.4, 0.9))
            yield shapes.line(used, y, scale.end, y, style, window.key)
    yield shapes.line(used, y - 1.5, used, y + 0.4, Style("ink", width=0.5), window.key)


def _bracket(x1: float, x2: float, y: float, key: str = "", *, shut: bool = True) -> Iterator[Path]:
    style = Style("series.3", width=0.45)
    points = [(x1, y - 1.1), (x1, y), (x2, y)]
    yield shapes.polyline([*points, (x2, y - 1.1)] if shut else points, style, key)


def _tides(axis: HourAxis, scale: Scale) -> Iterator[Path | Text]:
    y = _top(len(axis.rows))
    if axis.tides:
        yield shapes.line(0, y, scale.end, y, Style("line", width=0.2))
    for tide in axis.tides:
        if not axis.begins <= tide.at <= axis.ends:
            continue
        x = scale.at(tide.at)
        yield shapes.polygon(
            ((x - 1.3, y + 4.2), (x, y + 1.4), (x + 1.3, y + 4.2)),
            Style("water_deep", "water", 0.3),
            tide.key,
        )
        wide = font.width(tide.label, font.SMALL)
        after = x + 2.0 + wide <= scale.end
        yield Text(
            x + 2.0 if after else x - 2.0, y + 4.2, tide.label, font.SMALL,
            "start" if after else "end", "muted", key=tide.key,
        )  # fmt: skip


def _key(axis: HourAxis, width: float, height: float) -> Iterator[Path | Text]:
    x, y = 0.0, height - KEY
    for sort, said in axis.key:
        wide = 6.6 + font.width(said, font.SMALL)
        if x + wide > width:
            return
        if sort == "window":
            yield from _bracket(x, x + 5.0, y + 3.4)
        elif sort == "night":
            yield shapes.rect(x, y, 5.0, _BAR, Style(None, "line", opacity=0.55))
        elif sort == "work":
            yield shapes.line(x, y + _BAR / 2, x + 5.0, y + _BAR / 2, _WORK)
        elif sort == "tide":
            yield shapes.polygon(
                ((x + 1.2, y + 3.8), (x + 2.5, y + 1.0), (x + 3.8, y + 3.8)),
                Style("water_deep", "water", 0.3),
            )
        else:
            yield from _drawn(sort, x, y, 5.0)
        yield Text(x + 6.2, y + (_BAR + _CAP) / 2, said, font.SMALL, color="muted")
        x += wide + 4.0
