"""Plain shapes as paths: what charts, strips and the hull are put together from."""

from __future__ import annotations

import math
from itertools import pairwise
from typing import TYPE_CHECKING

from hulllog.drawing import font
from hulllog.drawing.scene import Image, Path, Style, Text

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from hulllog.drawing.scene import Item, Op

Point = tuple[float, float]

_ARC = 4 / 3 * math.tan(math.pi / 8)
"""Handle length of a Bézier quarter circle, as a share of the radius."""
_SPECK = 0.05
"""Hatch lines shorter than this (mm) would only be dots."""
_INK = Style()


def line(x1: float, y1: float, x2: float, y2: float, style: Style = _INK, key: str = "") -> Path:
    """Draw a straight line."""
    return Path((("M", x1, y1), ("L", x2, y2)), style, key)


def polyline(points: Iterable[Point], style: Style = _INK, key: str = "") -> Path:
    """Draw a line through points."""
    return Path(tuple(_through(points)), style, key)


def polygon(points: Iterable[Point], style: Style = _INK, key: str = "") -> Path:
    """Draw a closed outline through points."""
    return Path((*_through(points), ("Z",)), style, key)


def _through(points: Iterable[Point]) -> list[Op]:
    ops: list[Op] = []
    for x, y in points:
        ops.append(("L", x, y) if ops else ("M", x, y))
    return ops


def rect(
    x: float,
    y: float,
    width: float,
    height: float,
    style: Style = _INK,
    key: str = "",
    *,
    radius: float = 0.0,
) -> Path:
    """Draw a rectangle, its corners rounded where ``radius`` is above 0."""
    r = min(radius, width / 2, height / 2)
    if r <= 0:
        corners = ((x, y), (x + width, y), (x + width, y + height), (x, y + height))
        return polygon(corners, style, key)
    return Path(_rounded(x, y, x + width, y + height, r), style, key)


def _rounded(x1: float, y1: float, x2: float, y2: float, r: float) -> tuple[Op, ...]:
    k = r * (1 - _ARC)
    return (
        ("M", x1 + r, y1),
        ("L", x2 - r, y1),
        ("C", x2 - k, y1, x2, y1 + k, x2, y1 + r),
        ("L", x2, y2 - r),
        ("C", x2, y2 - k, x2 - k, y2, x2 - r, y2),
        ("L", x1 + r, y2),
        ("C", x1 + k, y2, x1, y2 - k, x1, y2 - r),
        ("L", x1, y1 + r),
        ("C", x1, y1 + k, x1 + k, y1, x1 + r, y1),
        ("Z",),
    )


def circle(x: float, y: float, radius: float, style: Style = _INK, key: str = "") -> Path:
    """Draw a circle of four Bézier quarters; the outline errs by under 0.03 % of the radius."""
    return Path(circle_ops(x, y, radius), style, key)


def circle_ops(x: float, y: float, r: float) -> tuple[Op, ...]:
    """Return the outline of a circle, to be joined with others in one path."""
    h = r * _ARC
    return (
        ("M", x + r, y),
        ("C", x + r, y + h, x + h, y + r, x, y + r),
        ("C", x - h, y + r, x - r, y + h, x - r, y),
        ("C", x - r, y - h, x - h, y - r, x, y - r),
        ("C", x + h, y - r, x + r, y - h, x + r, y),
        ("Z",),
    )


def ring(
    x: float, y: float, radius: float, thickness: float, style: Style = _INK, key: str = ""
) -> Path:
    """Draw a filled ring between ``radius`` and ``radius - thickness``."""
    inner = circle_ops(x, y, max(radius - thickness, 0.0))
    return Path(circle_ops(x, y, radius) + inner, style, key)


def tick(x: float, y: float, size: float, style: Style = _INK, key: str = "") -> Path:
    """Draw a check mark with its corner at (x, y), ``size`` high."""
    points = ((x - 0.42 * size, y - 0.38 * size), (x, y), (x + 0.75 * size, y - size))
    return polyline(points, style, key)


def cross(x: float, y: float, size: float, style: Style = _INK, key: str = "") -> Path:
    """Draw an upright cross of two strokes, ``size`` wide, centred on (x, y)."""
    half = size / 2
    ops: tuple[Op, ...] = (
        ("M", x - half, y),
        ("L", x + half, y),
        ("M", x, y - half),
        ("L", x, y + half),
    )
    return Path(ops, style, key)


def outline(path: Path, steps: int = 12) -> list[list[Point]]:
    """Flatten a path into its closed or open runs of points, ``steps`` to each curve."""
    runs: list[list[Point]] = []
    for op in path.ops:
        if op[0] == "M":
            runs.append([(op[1], op[2])])
        elif op[0] == "L":
            runs[-1].append((op[1], op[2]))
        elif op[0] == "C":
            runs[-1] += _curve(runs[-1][-1], op[1:], steps)
        else:
            runs[-1].append(runs[-1][0])
    return runs


def _curve(start: Point, handles: Sequence[float], steps: int) -> list[Point]:
    (x0, y0), (x1, y1, x2, y2, x3, y3) = start, handles
    points = []
    for step in range(1, steps + 1):
        t = step / steps
        a, b, c, d = (1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t * t * (1 - t), t**3
        points.append((a * x0 + b * x1 + c * x2 + d * x3, a * y0 + b * y1 + c * y2 + d * y3))
    return points


def share_before(text: Text) -> float:
    """Return the share of a text's width that lies left of its x."""
    return {"start": 0.0, "middle": 0.5, "end": 1.0}[text.anchor]


def bounds(item: Item) -> tuple[float, float, float, float]:
    """Return left, top, right and bottom of what an item covers, strokes left out.

    Raises ValueError for a path without a point.
    """
    if isinstance(item, Text):
        width = font.width(item.text, item.size, bold=item.bold)
        left = item.x - share_before(item) * width
        face = font.face(bold=item.bold)
        top, bottom = item.y - face.ascent * item.size, item.y + face.descent * item.size
        return left, top, left + width, bottom
    if isinstance(item, Image):
        return item.x, item.y, item.x + item.width, item.y + item.height
    points = [point for run in outline(item) for point in run]
    xs, ys = [x for x, _ in points], [y for _, y in points]
    return min(xs), min(ys), max(xs), max(ys)


def area(path: Path) -> float:
    """Return the area inside a path by the even-odd rule, for runs that lie in or beside others.

    The unit is that of the coordinates, squared.  Runs wound either way count alike: a run inside
    an odd number of others is a hole.
    """
    runs = outline(path)
    total = 0.0
    for run in runs:
        depth = sum(contains([other], *run[0]) for other in runs if other is not run)
        total += abs(_shoelace(run)) * (-1 if depth % 2 else 1)
    return total


def _shoelace(points: Sequence[Point]) -> float:
    closed = [*points, points[0]]
    return sum(x1 * y2 - x2 * y1 for (x1, y1), (x2, y2) in pairwise(closed)) / 2


def contains(runs: Iterable[Sequence[Point]], x: float, y: float) -> bool:
    """Say if a point lies inside runs of points, by the even-odd rule."""
    inside = False
    for run in runs:
        for (x1, y1), (x2, y2) in pairwise([*run, run[0]]):
            if (y1 > y) != (y2 > y) and x < x1 + (y - y1) * (x2 - x1) / (y2 - y1):
                inside = not inside
    return inside


def hatch(
    shape: Path, spacing: float, style: Style = _INK, key: str = "", *, angle: float = 45.0
) -> Path:
    """Fill a shape with parallel lines, ``spacing`` mm apart, rising at ``angle`` degrees.

    The lines are cut at the outline, so that no painter has to clip.  Their phase is fixed to the
    page, so hatches of neighbours run on into each other.
    """
    turn = math.radians(angle)
    along, across = (math.cos(turn), -math.sin(turn)), (math.sin(turn), math.cos(turn))
    edges = [
        (_turned(a, along, across), _turned(b, along, across))
        for run in outline(shape)
        for a, b in pairwise([*run, run[0]])
    ]
    if not edges:
        return Path((), style, key)
    heights = [v for edge in edges for _, v in edge]
    ops: list[Op] = []
    for number in range(math.ceil(min(heights) / spacing), math.floor(max(heights) / spacing) + 1):
        level = number * spacing
        cuts = sorted(_cuts(edges, level))
        for u1, u2 in zip(cuts[::2], cuts[1::2], strict=True):
            if u2 - u1 > _SPECK:
                ops.append(("M", *_back(u1, level, along, across)))
                ops.append(("L", *_back(u2, level, along, across)))
    return Path(tuple(ops), style, key)


def _turned(point: Point, along: Point, across: Point) -> Point:
    x, y = point
    return x * along[0] + y * along[1], x * across[0] + y * across[1]


def _back(u: float, v: float, along: Point, across: Point) -> Point:
    return u * along[0] + v * across[0], u * along[1] + v * across[1]


def _cuts(edges: Iterable[tuple[Point, Point]], level: float) -> list[float]:
    return [
        u1 + (level - v1) * (u2 - u1) / (v2 - v1)
        for (u1, v1), (u2, v2) in edges
        if (v1 > level) != (v2 > level)
    ]
