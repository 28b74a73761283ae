"""Charts over the years: measured values, grades, anodes.

A chart is given as plain values and finished texts; it draws every point, joins only what can be
compared, and says in words why a series breaks.  Times are years with fractions.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING, Literal

from hulllog.drawing import chartframe, chartparts, shapes
from hulllog.drawing.placing import Ground
from hulllog.drawing.scene import Path, Scene, Style, Text
from hulllog.drawing.timeline import nice

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Sequence

    from hulllog.drawing.chartframe import Frame

Blank = Literal["not_looked", "not_seen"]
Item = Path | Text


def plain(value: float) -> str:
    """Write a tick with as few digits as it needs and a true minus sign."""
    return f"{value:.10g}".replace("-", "−")


BY_EYE_DASH = (1.2, 0.9)


@dataclass(frozen=True, slots=True)
class Point:
    """One look.  ``y`` None is a look that gave no value, for the reason in ``blank``.

    ``low`` and ``high`` bound the value; ``open`` marks a point that cannot be compared;
    ``text`` is its value and ``note`` a remark, both drawn where there is room; ``said`` is what
    a screen reader says; ``tint`` is a condition step; ``fresh`` marks an anode as fitted;
    ``by_eye`` one that nothing but an eye told, to and from which the line is dashed.
    """

    x: float
    y: float | None
    said: str
    low: float | None = None
    high: float | None = None
    open: bool = False
    text: str = ""
    note: str = ""
    key: str = ""
    tint: int | None = None
    blank: Blank = "not_looked"
    fresh: bool = False
    by_eye: bool = False


@dataclass(frozen=True, slots=True)
class Series:
    """Points that belong together; ``name`` stands in the key."""

    points: tuple[Point, ...]
    name: str = ""
    role: str = "series.1"


@dataclass(frozen=True, slots=True)
class Break:
    """Where a series stops being comparable, and why, in words."""

    x: float
    reason: str


@dataclass(frozen=True, slots=True)
class Limit:
    """A limit that the owner set; ``text`` says its value, who set it and when."""

    y: float
    text: str


@dataclass(frozen=True, slots=True)
class Band:
    """A range that a rule quotes; ``text`` names the rule and its year."""

    low: float
    high: float
    text: str


@dataclass(frozen=True, slots=True)
class Fit:
    """A fitted line from one time to another."""

    x1: float
    y1: float
    x2: float
    y2: float


@dataclass(frozen=True, slots=True)
class Fan:
    """A forecast: (time, middle, low, high), the first at the fitted value with its interval."""

    points: tuple[tuple[float, float, float, float], ...]
    text: str = ""


@dataclass(frozen=True, slots=True)
class Span:
    """A time worth knowing, a line under the axis with its text; ``end`` None runs on."""

    start: float
    end: float | None
    text: str
    role: str = "shore"


@dataclass(frozen=True, slots=True)
class Chart:
    """What all charts over the years have in common.

    ``empty`` is said where there is no point at all; ``within`` fixes the years shown, so that
    charts above one another line up; ``zero`` draws the scale from nought.
    """

    series: tuple[Series, ...] = ()
    title: str = ""
    note: str = ""
    unit: str = ""
    empty: str = ""
    described: str = ""
    breaks: tuple[Break, ...] = ()
    spans: tuple[Span, ...] = ()
    within: tuple[float, float] | None = None
    zero: bool = True
    number: Callable[[float], str] = plain
    limit: Limit | None = None
    fit: Fit | None = None
    fan: Fan | None = None
    band: Band | None = None

    def points(self) -> list[Point]:
        """Return the points of all series in the order of time."""
        return sorted((p for s in self.series for p in s.points), key=lambda p: p.x)


def stretches(points: Iterable[Point], breaks: Iterable[Break]) -> list[list[Point]]:
    """Split the comparable points of a series where it breaks, each part in the order of time."""
    cuts = sorted(mark.x for mark in breaks)
    parted: dict[int, list[Point]] = {}
    for point in sorted(points, key=lambda p: p.x):
        if point.y is not None and not point.open:
            parted.setdefault(sum(cut <= point.x for cut in cuts), []).append(point)
    return list(parted.values())


def trend(chart: Chart, width: float, height: float) -> Scene:
    """Draw measured values over the years, ``width`` × ``height`` mm."""
    return _measured(chart, width, height, _joined)


def anodes(chart: Chart, width: float, height: float) -> Scene:
    """Draw what is left of an anode: a series for each piece, dotted up to the next one."""
    return _measured(chart, width, height, _renewed, alike=True)


def _measured(
    chart: Chart,
    width: float,
    height: float,
    lines: Callable[[Chart, Frame], list[Path]],
    *,
    alike: bool = False,
) -> Scene:
    if not chart.points():
        return chartframe.nothing(chart, width, height)
    ticks = nice(*_reach(chart))
    labels = [chart.number(tick) for tick in ticks]
    frame = chartframe.framed(chart, width, height, labels, (ticks[0], ticks[-1]))
    ground = Ground((frame.left, frame.top - 1, width, frame.bottom))
    drawn = lines(chart, frame)
    for path in drawn:
        for run in shapes.outline(path):
            ground.block_line(run)
    items: list[Item] = [
        *chartframe.header(chart, width),
        *chartframe.key(chart, width),
        *chartframe.grid(frame, [frame.y.at(tick) for tick in ticks], labels, chart),
        *chartparts.band(chart, frame),
        *chartparts.forecast(chart, frame),
        *drawn,
        *chartparts.points(chart, frame, ground, alike=alike),
        *chartframe.reasons(frame),
        *chartparts.limit(chart, frame, ground),
        *chartparts.band_words(chart, frame, ground),
        *chartparts.words(chart, frame, ground),
        *chartparts.targets(chart, frame),
    ]
    return Scene(width, height, tuple(items), chart.described, chartparts.regions(chart))


def _reach(chart: Chart) -> tuple[float, float]:
    values = [0.0] if chart.zero else []
    for point in chart.points():
        values += [v for v in (point.y, point.low, point.high) if v is not None]
    if chart.limit:
        values.append(chart.limit.y)
    if chart.band:
        values += [chart.band.low, chart.band.high]
    for _, middle, low, high in chart.fan.points if chart.fan else ():
        values += [middle, low, high]
    return (min(values), max(values)) if values else (0.0, 1.0)


def _joined(chart: Chart, frame: Frame) -> list[Path]:
    """Join the points of each comparable stretch; dashed where one of two is known by eye."""
    return [
        shapes.polyline(
            [frame.place(p.x, p.y) for p in run],
            Style(series.role, width=0.45, dash=BY_EYE_DASH if dashed else ()),
        )
        for series in chart.series
        for stretch in stretches(series.points, chart.breaks)
        for dashed, run in _runs(stretch)
    ]


def _runs(stretch: Sequence[Point]) -> list[tuple[bool, list[Point]]]:
    """Part a stretch into runs that are known by eye and runs that are not."""
    found: list[tuple[bool, list[Point]]] = []
    for one, other in pairwise(stretch):
        dashed = one.by_eye or other.by_eye
        if found and found[-1][0] == dashed:
            found[-1][1].append(other)
        else:
            found.append((dashed, [one, other]))
    return found


def _renewed(chart: Chart, frame: Frame) -> list[Path]:
    """Join the looks at each piece, and dot the step up to the piece that took its place."""
    dots = Style("muted", width=0.3, dash=(0.5, 0.8))
    known = [[p for p in s.points if p.y is not None] for s in chart.series]
    ordered = sorted((points for points in known if points), key=lambda points: points[0].x)
    steps = [
        shapes.line(*frame.place(one[-1].x, one[-1].y), *frame.place(other[0].x, other[0].y), dots)
        for one, other in pairwise(ordered)
        if other[0].x >= one[-1].x
    ]
    return [*steps, *_joined(chart, frame)]


def grades(
    chart: Chart, names: tuple[str, ...], width: float, height: float, *, tick_zero: bool = True
) -> Scene:
    """Draw grades over the years as columns: steps and no slope, since grades have no distance.

    ``y`` of a point is the place of its grade in ``names``, the best first.  The best is a tick
    and no column where ``tick_zero``, so that it is not taken for a look that never was.
    """
    if not chart.points():
        return chartframe.nothing(chart, width, height)
    frame = chartframe.framed(
        chart, width, height, list(names), (0.0, max(len(names) - 1, 1) + 0.35)
    )
    ground = Ground((frame.left, frame.top - 1, width, frame.bottom))
    rows = [frame.y.at(step) for step in range(len(names))]
    items: list[Item] = [
        *chartframe.header(chart, width),
        *chartframe.key(chart, width),
        *chartframe.grid(frame, rows, list(names), chart),
        *chartparts.columns(chart, frame, ground, tick_zero=tick_zero),
        *chartframe.reasons(frame),
        *chartparts.words(chart, frame, ground),
        *chartparts.targets(chart, frame),
    ]
    return Scene(width, height, tuple(items), chart.described, chartparts.regions(chart))
