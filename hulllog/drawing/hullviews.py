"""The hull as a picture: zones in their six appearances, marks, waterline and legend."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from types import MappingProxyType
from typing import TYPE_CHECKING

import numpy as np

from hulllog.drawing import font, hulllegend, hullpins
from hulllog.drawing.hullgrid import NOTHING, Grid, Room, rooms
from hulllog.drawing.hulllegend import legend_scene
from hulllog.drawing.hullparts import (
    HullPicture,
    LegendEntry,
    Mark,
    ViewTransform,
    ZoneDrawing,
    eased,
    eased_line,
    unlooked,
)
from hulllog.drawing.scene import Path, Scene, Style, Text
from hulllog.drawing.shapes import circle, hatch, line, polygon, polyline, tick
from hulllog.hull import outlines

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from numpy.typing import NDArray

    from hulllog.hull.form import HullForm
    from hulllog.hull.outlines import Line, Shape

    Array = NDArray[np.float64]
    Item = Path | Text

__all__ = [
    "HullPicture",
    "LegendEntry",
    "Mark",
    "ViewTransform",
    "ZoneDrawing",
    "hull_scene",
    "legend_scene",
]

_EDGE = Style(stroke="edge", width=0.22)
_HIDDEN = Style(stroke=None, fill="sheet")
_DASH = (1.6, 1.1)
_WATER = Style(stroke="water_deep", width=0.28, dash=(2.0, 1.2))
_LINES = {
    "centre": Style(stroke="edge", width=0.15),
    "chine": Style(stroke="edge", width=0.2),
    "plank": Style(stroke="edge", width=0.12),
    "sheer": Style(stroke="muted", width=0.18),
    "root": Style(stroke="muted", width=0.18),
}


@dataclass(frozen=True, slots=True)
class _Detail:
    """What a size of picture shows: a large one everything, a small one shapes and tints."""

    text: float
    outline: float
    picked: float
    tick: float
    hatch: float
    marks: bool
    margin: float


_LARGE = _Detail(text=3.1, outline=0.45, picked=0.7, tick=2.6, hatch=2.0, marks=True, margin=5.0)
_SMALL = _Detail(text=0.0, outline=0.3, picked=0.45, tick=1.5, hatch=1.2, marks=False, margin=2.0)


_INK_SHARE = 5.0
"""A part's outline takes at most this part of its narrower side, mm in mm."""
_ON_SKIN = range(outlines.BODY, outlines.OVER)
"""Layers of the hull itself."""
_FINEST_HATCH = 0.6
"""Spacing in mm in a zone so narrow that a hatch of the usual spacing would hardly meet it."""


_CLEAR = 4.0
"""Height in mm, beyond its letters, that a label beside the boat needs: air to her sheer line."""


@dataclass(slots=True)
class _Drawing:
    """The picture while it is made."""

    form: HullForm
    view: str
    detail: _Detail
    transform: ViewTransform
    grid: Grid
    top: float
    bottom: float
    zones: Sequence[ZoneDrawing]
    shapes: list[tuple[int, int, int, Shape, Array]] = field(default_factory=list)
    """(layer, order, number of the zone or -2 for a part, shape, points in mm)."""
    boxes: list[tuple[float, float, float, float]] = field(default_factory=list)
    """Left, top, right, bottom of the labels."""


def hull_scene(
    form: HullForm,
    view: str,
    *,
    zones: Sequence[ZoneDrawing],
    marks: Sequence[Mark] = (),
    width: float,
    height: float,
    title: str = "",
    legend: Sequence[LegendEntry] = (),
    small: bool = False,
    picked: str = "",
    described: str = "",
) -> HullPicture:
    """Draw one view of a boat, ``width`` × ``height`` mm.

    ``title`` is the name of the view in words, ``picked`` the key of what is chosen; a ``small``
    picture has neither labels nor pins nor legend.  Raises KeyError for an unknown view.
    """
    detail = _SMALL if small else _LARGE
    drawing = _begun(form, view, zones, detail, width, height, bool(title), legend)
    _gather_shapes(drawing)
    items = _layers(drawing, picked)
    seen = _seen(drawing, marks) if detail.marks else []
    pins = hullpins.gathered([item for item in seen if item[0].kind == "spot"])
    still = [item for item in seen if item[0].kind != "spot"]
    for x, y in [(pin.x, pin.y) for pin in pins] + [(x, y) for _, x, y in still]:
        drawing.grid.mark(x - 1.2, y - 1.2, x + 1.2, y + 1.2, hullpins.TAKEN)
    labels = _labels(drawing)
    drawn = _marks(drawing, still, pins)
    crowds = {pin.key: pin.members for pin in pins if pin.members}
    items += _lines(drawing, under=False) + labels + drawn
    if title:
        size = 2.3 if small else 3.1
        items.append(Text(2.4 if small else 4.0, 1.6 + 1.2 * size, title, size, color="muted"))
    if legend and not small:
        items += hulllegend.items(legend, width, height - hulllegend.height_of(legend, width))
    scene = Scene(width, height, tuple(items), described, _regions(drawing, seen))
    return HullPicture(scene, drawing.transform, MappingProxyType(crowds))


def _begun(
    form: HullForm,
    view: str,
    zones: Sequence[ZoneDrawing],
    detail: _Detail,
    width: float,
    height: float,
    titled: bool,
    legend: Sequence[LegendEntry],
) -> _Drawing:
    margin = detail.margin
    head = (7.0 if detail.text else 4.2) if titled else margin
    foot = hulllegend.height_of(legend, width) + 3.0 if legend and detail.text else margin
    left, right, low, high = outlines.bounds(form, view)
    if view in ("port", "starboard", "stern"):
        more = 0.035 * (right - left)
        left, right = left - more, right + more
    room = max(height - head - foot, 1.0)
    side = 0.0 if not detail.text else 4.0
    air = 0.0 if not detail.text else min(9.0, 0.08 * room)
    scale = min((width - 2 * margin - 2 * side) / (right - left), (room - 2 * air) / (high - low))
    transform = ViewTransform(
        scale,
        width / 2 - scale * (left + right) / 2,
        head + room / 2 + scale * (low + high) / 2,
    )
    step = max(0.5, width / 360)
    grid = Grid.blank(width, height, step)
    return _Drawing(form, view, detail, transform, grid, head, head + room, zones)


def _gather_shapes(drawing: _Drawing) -> None:
    """Find all that is seen, in the order of painting, and lay it on the grid."""
    form, view, to_mm = drawing.form, drawing.view, drawing.transform.all_to_scene
    found = [
        (shape.layer, 0, -2, shape, eased(to_mm(shape.points)))
        for shape in outlines.silhouettes(form, view)
    ]
    found += [
        (shape.layer, 1, number, shape, eased(to_mm(shape.points)))
        for number, zone in enumerate(drawing.zones)
        for shape in outlines.zone_shapes(form, view, zone.outline)
    ]
    found.sort(key=lambda item: item[:2])
    drawing.shapes = found
    for _, _, number, _, points in found:
        drawing.grid.fill(points, number)


def _ops(points: Array, style: Style, key: str = "") -> Path:
    return polygon([(x, y) for x, y in points.tolist()], style, key)


def _layers(drawing: _Drawing, picked: str) -> list[Item]:
    """Draw parts and zones, the farthest first; a part's outline lies over its zones."""
    items: list[Item] = []
    pending: list[Item] = []
    last: int | None = None
    ink = Style(stroke="ink", width=drawing.detail.outline)
    thin = Style(stroke="ink", width=0.6 * drawing.detail.outline)
    faint = Style(stroke="muted", width=0.2)
    unseen = Style(stroke=None)
    chosen: list[Item] = []
    planks = _lines(drawing, under=True)
    for layer, order, number, shape, points in drawing.shapes:
        if layer != last and order == 0:
            items += (planks if last in _ON_SKIN else []) + pending
            pending = []
        last = layer
        if order == 0:
            style = {"drive": thin, "bridge": faint, "bow": unseen}.get(
                shape.name, _within(ink, points)
            )
            items.append(_ops(points, _HIDDEN))
            pending.append(_ops(points, style))
            continue
        zone = drawing.zones[number]
        items += _zone(drawing.detail, zone, points)
        if zone.key == picked:
            chosen.append(
                _ops(points, Style(stroke="action", width=drawing.detail.picked), zone.key)
            )
    return items + (planks if last in _ON_SKIN else []) + pending + chosen


def _within(ink: Style, points: Array) -> Style:
    """Return an outline that leaves a narrow part room for what is drawn in it."""
    return replace(ink, width=max(min(ink.width, _narrow(points) / _INK_SHARE), 0.12))


def _narrow(points: Array) -> float:
    """Return how narrow an outline is, mm: its area over half its girth, whichever way it leans."""
    x, y = points.T
    area = abs(float((x * np.roll(y, -1) - np.roll(x, -1) * y).sum())) / 2
    girth = float(np.hypot(*(points - np.roll(points, 1, axis=0)).T).sum())
    return 2 * area / max(girth, 1e-9)


def _zone(detail: _Detail, zone: ZoneDrawing, points: Array) -> list[Item]:
    """Draw one piece of a zone in its appearance."""
    if zone.appearance == "graded":
        style = Style(stroke="edge", fill=f"condition.{zone.condition}", width=0.22)
        return [_ops(points, style, zone.key)]
    ground = _ops(points, _HIDDEN, zone.key)
    if zone.appearance == "not_applicable":
        return [ground]
    edge = _ops(points, _EDGE, zone.key)
    if zone.appearance == "not_seen":
        strokes = Style(stroke="hatch", width=0.18)
        spacing = min(detail.hatch, max(_FINEST_HATCH, float(np.ptp(points, axis=0).min()) / 3))
        return [ground, hatch(edge, spacing, strokes, zone.key), edge]
    if zone.appearance == "not_looked":
        edges = _dashed(points, 0.8 if detail.text else 0.5, zone.key)
        spacing = min(detail.hatch, max(_FINEST_HATCH, float(np.ptp(points, axis=0).min()) / 3))
        return [*unlooked(edge, spacing, edges, zone.key, labelled=bool(zone.label))]
    return [ground, edge]


def _dashed(points: Array, inset: float, key: str) -> list[Path]:
    """Draw a dashed edge inside an outline, so that it can be told from the boat's own outline."""
    style = Style(stroke="edge", width=0.25, dash=_DASH)
    inner = _inset(points, inset)
    if not inner:
        return [_ops(points, style, key)]
    return [polyline([(x, y) for x, y in run.tolist()], style, key) for run in inner]


def _inset(points: Array, by: float) -> list[Array]:
    """Return runs of an outline moved inwards; what would come nearer than ``by`` is left out."""
    dense = _densified(points, 1.0)
    along = np.roll(dense, -1, axis=0) - np.roll(dense, 1, axis=0)
    length = np.maximum(np.hypot(along[:, 0], along[:, 1]), 1e-9)
    normal = np.column_stack([-along[:, 1], along[:, 0]]) / length[:, None]
    x, y = dense.T
    turned = float((x * np.roll(y, -1) - np.roll(x, -1) * y).sum())
    moved = dense + normal * (by if turned > 0 else -by)
    gaps = np.hypot(
        moved[:, None, 0] - dense[None, :, 0], moved[:, None, 1] - dense[None, :, 1]
    ).min(axis=1)
    good = gaps > 0.82 * by
    return _runs(moved, good)


def _densified(points: Array, step: float) -> Array:
    closed = np.vstack([points, points[:1]])
    gone = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(closed, axis=0).T))])
    count = min(max(int(gone[-1] / step), 12), 400)
    at = np.unique(np.concatenate([np.linspace(0, gone[-1], count, endpoint=False), gone[:-1]]))
    return np.column_stack([np.interp(at, gone, closed[:, k]) for k in range(2)])


def _runs(points: Array, good: NDArray[np.bool_]) -> list[Array]:
    """Return the unbroken runs of a closed outline where ``good`` holds."""
    if good.all():
        return [np.vstack([points, points[:1]])]
    first = int(np.argmin(good))
    points, good = np.roll(points, -first, axis=0), np.roll(good, -first)
    edges = np.flatnonzero(np.diff(np.concatenate([[0], good.astype(int), [0]])))
    return [
        points[start:end]
        for start, end in zip(edges[::2], edges[1::2], strict=True)
        if end - start > 2
    ]


def _labels(drawing: _Drawing) -> list[Item]:
    """Set the label or tick of each zone that is seen."""
    items: list[Item] = []
    outside: list[tuple[ZoneDrawing, Room]] = []
    for number, zone in enumerate(drawing.zones):
        if zone.appearance not in ("graded", "none_found") and not zone.label:
            continue
        mask = drawing.grid.seen([number])
        if not mask.any():
            continue
        room = Room(mask, drawing.grid.step)
        if zone.appearance == "none_found" and not zone.label:
            ticked = _tick(drawing, zone, room)
            items += ticked
            if not ticked and drawing.detail.text:
                outside.append((zone, room))
        elif drawing.detail.text and zone.label:
            label = _inside(drawing, zone, room)
            if label is None:
                outside.append((zone, room))
            else:
                items.append(label)
    for zone, room in outside:
        items += _led_out(drawing, zone, room)
    return items


def _tick(drawing: _Drawing, zone: ZoneDrawing, room: Room) -> list[Item]:
    for size in (drawing.detail.tick, 0.72 * drawing.detail.tick, 0.5 * drawing.detail.tick):
        at = room.spot(1.17 * size, size)
        if at is not None:
            return [_ticked(drawing, zone, at, size)]
    return []


def _inside(drawing: _Drawing, zone: ZoneDrawing, room: Room) -> Text | None:
    size = drawing.detail.text
    color = f"on_condition.{zone.condition}" if zone.appearance == "graded" else "ink"
    tried = [(zone.label, size), (zone.label, 0.86 * size)]
    if zone.short:
        tried += [(zone.short, size), (zone.short, 0.86 * size)]
    for text, at_size in tried:
        wide, high = font.width(text, at_size, bold=True), font.cap_height(at_size)
        at = room.spot(wide + 1.0, high + 0.6)
        if at is not None:
            return _written(drawing, zone, text, at, at_size, color)
    return None


def _written(
    drawing: _Drawing,
    zone: ZoneDrawing,
    text: str,
    at: tuple[float, float],
    size: float,
    color: str,
) -> Text:
    x, y = at
    wide, high = font.width(text, size, bold=True), font.cap_height(size)
    box = (x - wide / 2 - 0.5, y - high / 2 - 0.4, x + wide / 2 + 0.5, y + high / 2 + 0.4)
    drawing.boxes.append(box)
    drawing.grid.mark(*box, hullpins.TAKEN)
    return Text(x, y + high / 2, text, size, "middle", color, True, zone.key)


def _led_out(drawing: _Drawing, zone: ZoneDrawing, room: Room) -> list[Item]:
    """Set a label or tick beside the boat, with a line to its zone."""
    grid, size = drawing.grid, drawing.detail.text
    start = room.spot(grid.step, grid.step)
    ticked = zone.appearance == "none_found" and not zone.label
    if start is None or not (zone.label or ticked):
        return []
    wide, high = font.width(zone.label, size, bold=True), font.cap_height(size)
    if ticked:
        size = 0.72 * drawing.detail.tick
        wide, high = 1.17 * size, size
    end = _free(drawing, start, wide + 2.0, high + (_CLEAR if not ticked else 1.6))
    if end is None:
        return []
    lead = Style(stroke="muted", width=0.2)
    x, y = end
    for share in (0.2, 0.4, 0.6, 0.8):
        px, py = start[0] + share * (x - start[0]), start[1] + share * (y - start[1])
        grid.mark(px, py, px, py, hullpins.TAKEN)
    edge_x = min(max(start[0], x - wide / 2), x + wide / 2)
    edge_y = y + (high / 2 + 0.6) * (1 if start[1] > y else -1)
    if abs(start[1] - y) < high / 2 + 0.6:
        edge_y, edge_x = y, x + (wide / 2 + 0.6) * (1 if start[0] > x else -1)
    return [
        line(*start, edge_x, edge_y, lead, zone.key),
        circle(*start, 0.5, Style(stroke=None, fill="muted"), zone.key),
        _ticked(drawing, zone, end, size)
        if ticked
        else _written(drawing, zone, zone.label, end, size, "ink"),
    ]


def _ticked(drawing: _Drawing, zone: ZoneDrawing, at: tuple[float, float], size: float) -> Path:
    """Draw the tick of a zone with its middle at a point."""
    x, y = at[0] - 0.165 * size, at[1] + 0.5 * size
    box = (x - 0.5 * size, y - size, x + 0.8 * size, y)
    drawing.boxes.append(box)
    drawing.grid.mark(*box, hullpins.TAKEN)
    return tick(x, y, size, Style(stroke="ink", width=0.14 * size), zone.key)


def _free(
    drawing: _Drawing, start: tuple[float, float], wide: float, high: float
) -> tuple[float, float] | None:
    """Return the middle of the nearest free box for a label, off the boat."""
    grid = drawing.grid
    top, bottom = int(drawing.top / grid.step), int(drawing.bottom / grid.step)
    free = np.zeros(grid.cells.shape, dtype=bool)
    free[top:bottom, 2:-3] = grid.cells[top:bottom, 2:-3] == NOTHING
    if drawing.view in ("port", "starboard", "stern"):
        water = int(drawing.transform.top / grid.step)
        free[water - 1 : water + 2] = False
    x, y = rooms(free, grid.step, wide, high)
    if not len(x):
        return None
    cost = np.abs(x - start[0]) * 1.4 + np.abs(y - start[1])
    near = np.argsort(cost)[:: max(len(cost) // 400, 1)][:60]
    cost = cost[near] + 10.0 * hullpins.over_taken(grid, *start, x[near], y[near])
    best = int(near[int(np.argmin(cost))])
    return float(x[best]), float(y[best])


def _lines(drawing: _Drawing, *, under: bool) -> list[Item]:
    """Draw the lines that lie under the boat's outline, planks, or those over it."""
    items: list[Item] = []
    for found in outlines.lines(drawing.form, drawing.view):
        if (found.kind == "plank") != under:
            continue
        points = drawing.transform.all_to_scene(found.points)
        if found.kind == "waterline":
            items += _waterline(drawing, found, points)
        else:
            items.append(_open(eased_line(points), _LINES[found.kind]))
    return items


def _open(points: Array, style: Style) -> Path:
    return polyline([(x, y) for x, y in points.tolist()], style)


def _waterline(drawing: _Drawing, found: Line, points: Array) -> list[Item]:
    """Draw the waterline dashed, with gaps where a label stands on it."""
    del found
    if not drawing.detail.text:
        return [_open(eased_line(points), Style(stroke="water_deep", width=0.18, dash=(1.2, 0.8)))]
    gone = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(points, axis=0).T))])
    at = np.linspace(0, gone[-1], max(int(gone[-1] / 0.4), 2))
    dense = np.column_stack([np.interp(at, gone, points[:, k]) for k in range(2)])
    clear = np.ones(len(dense), dtype=bool)
    for left, top, right, bottom in drawing.boxes:
        x, y = dense.T
        clear &= ~((x > left) & (x < right) & (y > top - 0.2) & (y < bottom + 0.2))
    edges = np.flatnonzero(np.diff(np.concatenate([[0], clear.astype(int), [0]])))
    return [
        _open(eased_line(dense[start:end]), _WATER)
        for start, end in zip(edges[::2], edges[1::2], strict=True)
        if end - start > 3
    ]


def _marks(
    drawing: _Drawing,
    still: Sequence[tuple[Mark, float, float]],
    pins: Sequence[hullpins.Pin],
) -> list[Item]:
    """Draw the marks that stand at their places, then the pins that are led out."""
    standing: list[Item] = []
    for mark, x, y in still:
        standing += hullpins.still(mark, x, y)
        drawing.grid.mark(x - 1.6, y - 1.3, x + 1.6, y + 1.3, hullpins.TAKEN)
    captions = [item for mark, x, y in still for item in hullpins.caption(drawing.grid, mark, x, y)]
    led = hullpins.placed(drawing.grid, pins, drawing.top, drawing.bottom)
    return [*standing, *captions, *led]


def _seen(drawing: _Drawing, marks: Iterable[Mark]) -> list[tuple[Mark, float, float]]:
    """Return the marks that are seen in this view and where they lie in the scene, mm."""
    form, view = drawing.form, drawing.view
    by_face: dict[tuple[str, str], list[int]] = {}
    listed = list(marks)
    for number, mark in enumerate(listed):
        if outlines.is_seen(form, view, mark.place):
            by_face.setdefault((mark.place.part, mark.place.face), []).append(number)
    found: list[tuple[int, float, float]] = []
    for (part, face), numbers in by_face.items():
        places = [listed[number].place for number in numbers]
        points = form.view_points(view, part, face, [p.u for p in places], [p.v for p in places])
        moved = drawing.transform.all_to_scene(points).tolist()
        found += [(number, x, y) for number, (x, y) in zip(numbers, moved, strict=True)]
    return [(listed[number], x, y) for number, x, y in sorted(found)]


def _regions(
    drawing: _Drawing, marks: Sequence[tuple[Mark, float, float]]
) -> tuple[tuple[str, str], ...]:
    """Return what can be reached in this view: zones in walking order, then marks."""
    seen = {number for _, order, number, _, _ in drawing.shapes if order == 1}
    reached = [
        (zone.key, zone.in_words)
        for number, zone in enumerate(drawing.zones)
        if number in seen and zone.appearance != "not_applicable"
    ]
    reached += [(mark.key, mark.said or mark.text) for mark, _, _ in marks]
    return tuple(reached)
