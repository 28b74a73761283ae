"""Marks on the hull: pins led out to where they hide nothing, crowds gathered into one ring."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from hulllog.drawing import font
from hulllog.drawing.hullgrid import NOTHING
from hulllog.drawing.scene import Path, Style, Text
from hulllog.drawing.shapes import circle, line, polygon, rect

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hulllog.drawing.hullgrid import Grid
    from hulllog.drawing.hullparts import Mark

TAKEN = 1_000_000
"""Number of a cell of the grid that a label or a ring has taken."""
MOST = 28
"""Rings in one view before neighbours are gathered more widely."""
_CROWD = 4
_RING, _DOT = 2.55, 0.75
_PIN = Style(stroke="action", fill="sheet", width=0.4)
_LEAD = Style(stroke="action", width=0.25)
_GROUND = Style(stroke=None, fill="sheet")
_HALO = Style(stroke="sheet", width=0.8)
_DOTTED = Style(stroke="sheet", fill="action", width=0.25)
_TURNS = np.radians(np.arange(0, 360, 15))


@dataclass(frozen=True, slots=True)
class Pin:
    """One ring to be drawn: a mark, or a crowd of them."""

    x: float
    y: float
    text: str
    key: str
    members: tuple[str, ...] = ()


def gathered(marks: Sequence[tuple[Mark, float, float]]) -> list[Pin]:
    """Gather marks that lie close together, more widely the more there are."""
    if not marks:
        return []
    reach = 3.0
    while True:
        groups = _groups(marks, reach)
        if len(groups) <= MOST or reach > 100:
            return _pins(groups)
        reach *= 1.5


def _groups(
    marks: Sequence[tuple[Mark, float, float]], reach: float
) -> list[list[tuple[Mark, float, float]]]:
    by_cell: dict[tuple[int, int], list[tuple[Mark, float, float]]] = {}
    for item in marks:
        by_cell.setdefault((int(item[1] // reach), int(item[2] // reach)), []).append(item)
    groups: list[list[tuple[Mark, float, float]]] = []
    for members in by_cell.values():
        if len(members) >= _CROWD or len(by_cell) > MOST:
            groups.append(members)
        else:
            groups += [[member] for member in members]
    return groups


def _pins(groups: Sequence[Sequence[tuple[Mark, float, float]]]) -> list[Pin]:
    pins = []
    number = 0
    for members in groups:
        if len(members) == 1:
            mark, x, y = members[0]
            pins.append(Pin(x, y, mark.text, mark.key))
            continue
        number += 1
        x = sum(item[1] for item in members) / len(members)
        y = sum(item[2] for item in members) / len(members)
        keys = tuple(item[0].key for item in members)
        pins.append(Pin(x, y, f"{len(members)}", f"crowd:{number}", keys))
    return pins


def placed(grid: Grid, pins: Sequence[Pin], top: float, bottom: float) -> list[Path | Text]:
    """Draw pins, each ring led out to free ground between the heights ``top`` and ``bottom``."""
    leads: list[tuple[float, float, float, float]] = []
    halo: list[Path | Text] = []
    back: list[Path | Text] = []
    front: list[Path | Text] = []
    for pin in sorted(pins, key=lambda item: (item.y, item.x)):
        at = _place(grid, pin, leads, top, bottom)
        radius = _radius(pin)
        if at is None:
            at = (pin.x, pin.y)
        else:
            away = math.hypot(at[0] - pin.x, at[1] - pin.y)
            share = (away - radius) / away
            end = pin.x + (at[0] - pin.x) * share, pin.y + (at[1] - pin.y) * share
            leads.append((pin.x, pin.y, *at))
            halo.append(line(pin.x, pin.y, *end, _HALO, pin.key))
            back.append(line(pin.x, pin.y, *end, _LEAD, pin.key))
            back.append(circle(pin.x, pin.y, _DOT, _DOTTED, pin.key))
        grid.mark(at[0] - radius, at[1] - radius, at[0] + radius, at[1] + radius, TAKEN)
        front += _ring(pin, *at, radius)
    return halo + back + front


def _radius(pin: Pin) -> float:
    return max(_RING, font.width(pin.text, 2.7, bold=True) / 2 + 0.9)


def _ring(pin: Pin, x: float, y: float, radius: float) -> list[Path | Text]:
    crowd = bool(pin.members)
    style = Style(stroke="sheet", fill="action", width=0.4) if crowd else _PIN
    color = "on_action" if crowd else "action"
    base = y + font.cap_height(2.7) / 2
    return [
        circle(x, y, radius, style, pin.key),
        Text(x, base, pin.text, 2.7, "middle", color, True, pin.key),
    ]


def _place(
    grid: Grid,
    pin: Pin,
    leads: Sequence[tuple[float, float, float, float]],
    top: float,
    bottom: float,
) -> tuple[float, float] | None:
    """Return where the ring of a pin hides least; None if every place is taken."""
    radius = _radius(pin)
    away = np.arange(radius + 3.0, 60.0, 1.5)[:, None]
    x = (pin.x + away * np.cos(_TURNS)).ravel()
    y = (pin.y + away * np.sin(_TURNS)).ravel()
    rows, columns = grid.cells.shape
    edge = radius + 0.6
    wide = (columns - 2) * grid.step
    kept = (x > edge) & (x < wide - edge) & (y > top + edge) & (y < bottom - edge)
    x, y = x[kept], y[kept]
    if not len(x):
        return None
    rim = np.radians(np.arange(0, 360, 30))
    rim_x = np.append((radius + 0.7) * np.cos(rim), 0.0)
    rim_y = np.append((radius + 0.7) * np.sin(rim), 0.0)
    column = np.clip(((x[:, None] + rim_x) / grid.step).astype(int), 0, columns - 1)
    row = np.clip(((y[:, None] + rim_y) / grid.step).astype(int), 0, rows - 1)
    found = grid.cells[row, column]
    taken = (found == TAKEN).any(axis=1)
    over = (found != NOTHING).any(axis=1)
    distance = np.hypot(x - pin.x, y - pin.y)
    cost = distance + 40.0 * over + 400.0 * taken + 1.5 * (y < pin.y)
    cost = cost + 12.0 * over_taken(grid, pin.x, pin.y, x, y)
    for lead in leads:
        cost = cost + 25.0 * _crosses(pin.x, pin.y, x, y, lead)
    best = int(np.argmin(cost))
    return None if taken[best] else (float(x[best]), float(y[best]))


def over_taken(grid: Grid, px: float, py: float, x: np.ndarray, y: np.ndarray) -> np.ndarray:
    """Count how much of the lines from (px, py) to (x, y) runs over labels and rings, of 16."""
    share = np.linspace(0, 1, 17)[1:]
    start = 1.8 / np.maximum(np.hypot(x - px, y - py), 1.8)
    share = start[:, None] + (1 - start[:, None]) * share[None, :-1]
    column = ((px + (x - px)[:, None] * share) / grid.step).astype(int)
    row = ((py + (y - py)[:, None] * share) / grid.step).astype(int)
    column = np.clip(column, 0, grid.cells.shape[1] - 1)
    row = np.clip(row, 0, grid.cells.shape[0] - 1)
    count: np.ndarray = (grid.cells[row, column] == TAKEN).sum(axis=1)
    return count


def _crosses(
    px: float, py: float, x: np.ndarray, y: np.ndarray, lead: tuple[float, float, float, float]
) -> np.ndarray:
    """Say which lines from (px, py) to (x, y) cross a lead."""
    ax, ay, bx, by = lead
    one = (bx - ax) * (py - ay) - (by - ay) * (px - ax)
    other = (bx - ax) * (y - ay) - (by - ay) * (x - ax)
    third = (x - px) * (ay - py) - (y - py) * (ax - px)
    fourth = (x - px) * (by - py) - (y - py) * (bx - px)
    crossed: np.ndarray = (one * other < 0) & (third * fourth < 0)
    return crossed


def still(mark: Mark, x: float, y: float) -> list[Path | Text]:
    """Draw a mark that stands at its place: photo, measuring point, anode or gear."""
    if mark.kind == "photo":
        return [
            rect(x - 1.5, y - 1.1, 3.0, 2.2, _PIN, mark.key, radius=0.4),
            circle(x, y, 0.6, _LEAD, mark.key),
        ]
    if mark.kind == "anode":
        corners = ((x - 1.9, y), (x, y - 1.2), (x + 1.9, y), (x, y + 1.2))
        return [polygon(corners, Style(stroke="ink", fill="line", width=0.3), mark.key)]
    if mark.kind == "gear":
        around = Style(stroke="ink", fill="sheet", width=0.35)
        return [
            rect(x - 1.3, y - 1.3, 2.6, 2.6, around, mark.key, radius=0.3),
            circle(x, y, 0.55, Style(stroke=None, fill="ink"), mark.key),
        ]
    arms = Style(stroke="action", width=0.4)
    halo = Style(stroke="sheet", width=1.1)
    drawn: list[Path | Text] = []
    for style in (halo, arms):
        drawn.append(line(x - 1.4, y, x + 1.4, y, style, mark.key))
        drawn.append(line(x, y - 1.4, x, y + 1.4, style, mark.key))
    return drawn


_CAPTIONED = {"point": (2.3, 2.4), "anode": (2.9, 2.7), "gear": (2.3, 2.7)}
"""Kinds of marks whose text stands beside them -> how far from their middle, and its size, mm."""


def caption(grid: Grid, mark: Mark, x: float, y: float) -> list[Path | Text]:
    """Write what a point, an anode or a fitting is beside it, on a tag, where it hides least."""
    if mark.kind not in _CAPTIONED or not mark.text:
        return []
    away, size = _CAPTIONED[mark.kind]
    wide, half = font.width(mark.text, size), font.cap_height(size) / 2
    tried = [(x + away, y + half), (x - away - wide, y + half)]
    if mark.kind in ("anode", "gear"):
        tried += [(x - wide / 2, y + side * 3.2 + half) for side in (1, -1)]
        tried += [(x + away, y + side * 4.4 + half) for side in (1, -1)]
    held = [(cost, place) for place in tried if (cost := _hidden(grid, *place, wide)) is not None]
    if not held:
        return []
    left, base = min(held, key=lambda one: one[0])[1]
    grid.mark(left, base - 2 * half, left + wide, base, TAKEN)
    pad = 0.5 if mark.kind == "point" else 0.3
    size_of = wide + 2 * pad, 2 * half + 2 * pad
    # The tag of an anode is no part of its outline: that is drawn when the anode is picked.
    key = mark.key if mark.kind == "point" else ""
    ground = rect(left - pad, base - 2 * half - pad, *size_of, _GROUND, key, radius=pad)
    return [ground, Text(left, base, mark.text, size, "start", "action", False, mark.key)]


def _hidden(grid: Grid, left: float, base: float, wide: float) -> float | None:
    """Return how much of the boat a caption would hide; None where there is no room for it."""
    rows, columns = grid.cells.shape
    first, last = int((left - 0.5) / grid.step), int((left + wide + 0.5) / grid.step) + 1
    top, bottom = int((base - 1.9) / grid.step), int(base / grid.step) + 1
    if first < 0 or top < 0 or last >= columns - 1 or bottom >= rows:
        return None
    found = grid.cells[top:bottom, first:last]
    return None if (found == TAKEN).any() else float((found != NOTHING).mean())
