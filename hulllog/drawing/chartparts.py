"""What stands in the plot of a chart: points, columns, forecast, limit, words."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

from hulllog.drawing import font, shapes
from hulllog.drawing.chartframe import CAP, DOT, LIMIT_DASH, ROW, mark, veil
from hulllog.drawing.placing import ANCHORS, around
from hulllog.drawing.scene import Path, Style, Text

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hulllog.drawing.chartframe import Frame
    from hulllog.drawing.charts import Chart, Point, Series
    from hulllog.drawing.placing import Ground

Item = Path | Text


def forecast(chart: Chart, frame: Frame) -> list[Item]:
    """Draw the fitted line and the fan that opens from it."""
    items: list[Item] = []
    role = chart.series[0].role if chart.series else "series.1"
    if chart.fan:
        at = [(frame.x.at(x), [frame.y.at(v) for v in rest]) for x, *rest in chart.fan.points]
        outline = [(x, low) for x, (_, low, _) in at] + [(x, high) for x, (_, _, high) in at[::-1]]
        items.append(shapes.polygon(outline, Style(None, role, opacity=0.16)))
        middle = Style(role, width=0.3, dash=(1.4, 0.9))
        items.append(shapes.polyline([(x, m) for x, (m, _, _) in at], middle))
    if chart.fit:
        fit = chart.fit
        ends = (frame.x.at(fit.x1), frame.y.at(fit.y1), frame.x.at(fit.x2), frame.y.at(fit.y2))
        items.append(shapes.line(*ends, Style(role, width=0.25, dash=(1.4, 0.9))))
    return items


def points(chart: Chart, frame: Frame, ground: Ground, *, alike: bool = False) -> list[Item]:
    """Draw every point with its interval; what cannot be compared is hollow.

    Series have marks of their own shape, unless ``alike``.
    """
    items: list[Item] = []
    for number, series in enumerate(chart.series):
        for point in series.points:
            x, y = frame.place(point.x, point.y)
            items += _interval(point, x, frame, series.role)
            items += _point(point, x, y, series.role, 0 if alike else number)
            ground.block((x - 1.1, y - 1.1, x + 1.1, y + 1.1))
            for value in (point.low, point.high):
                if value is not None:
                    ground.block_line(((x, y), (x, frame.y.at(value))), 0.3)
    return items


def _interval(point: Point, x: float, frame: Frame, role: str) -> list[Item]:
    if point.low is None or point.high is None:
        return []
    low, high = frame.y.at(point.low), frame.y.at(point.high)
    style = Style(role, width=0.3)
    bar = shapes.line(x, low, x, high, style)
    caps = [shapes.line(x - 0.6, y, x + 0.6, y, style) for y in (low, high)]
    return [bar, *caps]


def _point(point: Point, x: float, y: float, role: str, number: int) -> list[Item]:
    if point.y is None:
        return _blank(point, x, y)
    if point.fresh:
        style = Style(role, "sheet", 0.4) if point.open else Style("sheet", role, 0.25)
        return [shapes.rect(x - DOT, y - DOT, 2 * DOT, 2 * DOT, style)]
    return [mark(x, y, role, number, hollow=point.open)]


def _blank(point: Point, x: float, bottom: float) -> list[Item]:
    """Draw a look without a value: broken if nobody looked, hatched if it could not be seen."""
    dash = (0.6, 0.5) if point.blank == "not_looked" else ()
    box = shapes.rect(x - 0.95, bottom - 2.5, 1.9, 1.9, Style("edge", "sheet", 0.25, dash))
    if point.blank == "not_looked":
        return [box]
    return [box, shapes.hatch(box, 0.55, Style("hatch", width=0.18))]


def columns(chart: Chart, frame: Frame, ground: Ground, *, tick_zero: bool) -> list[Item]:
    """Draw each grade as a column up to its step, tinted, or a tick for none."""
    places = sorted(frame.x.at(p.x) for p in chart.points())
    room = min((b - a for a, b in pairwise(places)), default=9.0)
    half = min(max(room * 0.36, 0.5), 1.5)
    items: list[Item] = []
    for series in chart.series:
        for point in series.points:
            x, y = frame.place(point.x, point.y)
            items += _column(point, x, y, half, frame, series, tick_zero=tick_zero)
            ground.block((x - half, min(y, frame.bottom - 3), x + half, frame.bottom))
    return items


def _column(
    point: Point, x: float, y: float, half: float, frame: Frame, series: Series, *, tick_zero: bool
) -> list[Item]:
    if point.y is None:
        return _blank(point, x, frame.bottom)
    if point.y == 0 and tick_zero:
        style = Style("muted" if point.open else "ink", width=0.4)
        return [shapes.tick(x - 0.2, frame.bottom - 0.8, 1.7, style)]
    fill = series.role if point.tint is None else f"condition.{point.tint}"
    box = (x - half, y, 2 * half, max(frame.bottom - y, 0.6))
    body = [shapes.rect(*box, Style("edge", fill, 0.25))]
    if point.open:
        pale = shapes.rect(*box, Style(None, fill, opacity=0.3))
        body = [pale, shapes.rect(*box, Style("muted", width=0.25, dash=(0.8, 0.6)))]
    return [*body, *_interval(point, x, frame, "ink")]


def limit(chart: Chart, frame: Frame, ground: Ground) -> list[Item]:
    """Draw the line of the owner's limit; the key says whose it is."""
    if not chart.limit:
        return []
    y = frame.y.at(chart.limit.y)
    ends = ((frame.left, y), (frame.right + 1.4, y))
    ground.block_line(ends)
    return [shapes.polyline(ends, Style("ink", width=0.35, dash=LIMIT_DASH))]


def band(chart: Chart, frame: Frame) -> list[Item]:
    """Draw between which values the range of a rule lies."""
    if not chart.band:
        return []
    style = Style("muted", width=0.25, dash=(1.4, 1.0))
    ends = (frame.y.at(value) for value in (chart.band.low, chart.band.high))
    return [shapes.line(frame.left, y, frame.right, y, style) for y in ends]


def band_words(chart: Chart, frame: Frame, ground: Ground) -> list[Item]:
    """Name the range of a rule inside one of its ends, where the name covers nothing."""
    if not chart.band:
        return []
    top, foot = sorted(frame.y.at(value) for value in (chart.band.low, chart.band.high))
    named = font.fit(chart.band.text, frame.right - frame.left - 2, font.SMALL)
    high, wide = font.cap_height(font.SMALL), font.width(named, font.SMALL)
    choices = [
        Text(x, y, named, font.SMALL, color="muted")
        for x in (frame.left + 1, frame.right - wide - 1, (frame.left + frame.right - wide) / 2)
        for y in (foot - 1, top + 1 + high)
    ]
    text = ground.place(choices)
    return [veil(text), text] if text else []


def words(chart: Chart, frame: Frame, ground: Ground) -> list[Item]:
    """Set notes and values at the points where they cover nothing; what must wait is left out.

    The last value comes first, then notes, then the first value, then the others from new to old.
    """
    for note in frame.notes:
        ground.block_line(((note.x, frame.top), (note.x, frame.bottom)), 0.6)
    asked: list[tuple[float, Sequence[Text]]] = [(0.5, _fan_words(chart, frame))]
    for series in chart.series:
        count = len(series.points)
        for number, point in enumerate(sorted(series.points, key=lambda p: p.x)):
            rank = 0.0 if number == count - 1 else 2.0 if number == 0 else 3.0 + count - number
            asked.append((rank, _around(point, point.text, "ink", frame)))
            asked.append((1.0, _around(point, point.note, "muted", frame)))
    placed = (ground.place(choices) for _, choices in sorted(asked, key=lambda one: one[0]))
    return [item for text in placed if text for item in (veil(text), text)]


def _around(point: Point, said: str, color: str, frame: Frame) -> Sequence[Text]:
    if not said:
        return ()
    x, y = frame.place(point.x, point.y)
    if point.y is None:
        return [
            Text(x, y - 3.4 - ROW * row, said, font.SMALL, anchor, color)
            for row in range(4)
            for anchor in ANCHORS
        ]
    top = frame.y.at(point.high) if point.high is not None else y
    foot = frame.y.at(point.low) if point.low is not None else y
    return (
        *around(x, y, said, away=2.0, color=color),
        Text(x, top - 1.2, said, font.SMALL, "middle", color),
        Text(x, foot + 1.2 + CAP, said, font.SMALL, "middle", color),
    )


def _fan_words(chart: Chart, frame: Frame) -> Sequence[Text]:
    if not chart.fan or not chart.fan.text:
        return ()
    x, _, low, high = chart.fan.points[-1]
    top, foot = sorted((frame.y.at(low), frame.y.at(high)))
    right = min(frame.x.at(x), frame.right) + 1.2
    said = font.fit(chart.fan.text, frame.right - frame.left, font.SMALL)
    return (
        Text(right, top - 1.0, said, font.SMALL, "end", "muted"),
        Text(right, foot + 1.0 + CAP, said, font.SMALL, "end", "muted"),
    )


def _key(point: Point, number: int) -> str:
    return point.key or f"point:{number}"


def targets(chart: Chart, frame: Frame) -> list[Path]:
    """Lay an unseen target over each point."""
    found = []
    for number, point in enumerate(chart.points()):
        x, y = frame.place(point.x, point.y)
        found.append(shapes.circle(x, y, 2.2, Style(None), _key(point, number)))
    return found


def regions(chart: Chart) -> tuple[tuple[str, str], ...]:
    """Return what is said of each point, in the order of time."""
    return tuple((_key(point, n), point.said) for n, point in enumerate(chart.points()))
