"""The centreline: stem, bottom and stern, from the particulars and a depth of the canoe body.

x runs aft from the foremost point of the length over all, z up from the waterline, in metres.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from hulllog.hull import kinds

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from hulllog.hull.kinds import Bow, Proportions
    from hulllog.hull.particulars import Particulars

    Array = NDArray[np.float64]

_STEPS = 120


@dataclass(frozen=True, slots=True)
class Unit:
    """An end of the boat in unit form: 0 foot to 1 head in height, and the way gone in x."""

    height: Array
    way: Array

    def at(self, height: Array) -> Array:
        """Return the share of the way in x at shares of the height."""
        return np.interp(height, self.height, self.way)


@dataclass(frozen=True, slots=True)
class Profile:
    """The centreline of a hull."""

    x: Array
    z: Array
    """Bottom, from the foot of the stem to the foot of the stern."""
    stem: Unit
    stern: Unit
    top: float
    """x of the top of the stern."""
    fore: float
    """x of the fore end of the waterline."""
    aft: float
    """x of the aft end of the waterline."""
    freeboards: tuple[float, float, float]
    breadth: float
    """Half-breadth of the stern at the sheer, of half the beam."""

    @property
    def foot(self) -> tuple[float, float]:
        """The foot of the stem."""
        return float(self.x[0]), float(self.z[0])

    @property
    def heel(self) -> tuple[float, float]:
        """The foot of the stern."""
        return float(self.x[-1]), float(self.z[-1])

    def depth(self, x: Array) -> Array:
        """Return z of the bottom at x."""
        return np.interp(x, self.x, self.z)


def freeboards(p: Particulars, shape: Proportions) -> tuple[float, float, float]:
    """Return the freeboards at bow, half length and stern in metres; those given lead."""
    low, slope = shape.freeboard
    middle = p.freeboard_middle or low + slope * p.length
    first, _, last = shape.freeboards
    scale = middle / shape.freeboards[1]
    return p.freeboard_bow or first * scale, middle, p.freeboard_stern or last * scale


def bezier(points: Array, steps: int = _STEPS) -> Array:
    """Return points on a cubic, shape (steps + 1, 2), from its four control points."""
    t = np.linspace(0.0, 1.0, steps + 1)[:, None]
    a, b, c, d = points
    result: Array = (1 - t) ** 3 * a + 3 * t * (1 - t) ** 2 * b + 3 * t * t * (1 - t) * c + t**3 * d
    return result


def _end(
    bow: Bow, overhang: float, freeboard: float, deep: float, depth: float
) -> tuple[Array, int]:
    """Return an end as points from head to the deepest part, and the index of its foot.

    The head is at (0, freeboard), the waterline at x = overhang, the deepest part at x = deep.
    """
    chord = math.degrees(math.atan2(freeboard, overhang))
    water = math.radians(min(max(chord + bow.turn_water, 8.0), 91.0))
    head = math.radians(min(max(chord + bow.turn_head, 8.0), 91.0))
    corner = min(overhang + depth / math.tan(water), overhang + 0.62 * (deep - overhang))
    water = math.atan2(depth, corner - overhang)
    length = math.hypot(freeboard, overhang)
    start, wet = np.array([0.0, freeboard]), np.array([overhang, 0.0])
    knee, bed = np.array([corner, -depth]), np.array([deep, -depth])
    to_head = 0.34 * length * np.array([math.cos(head), -math.sin(head)])
    to_water = 0.36 * length * np.array([math.cos(water), -math.sin(water)])
    upper = bezier(np.array([start, start + to_head, wet - to_water, wet]))
    near, far = bow.handles
    lower = bezier(np.array([wet, wet + near * (knee - wet), bed + far * (knee - bed), bed]))
    step = np.diff(lower, axis=0)
    slope = np.arctan2(-step[:, 1], step[:, 0])
    foot = int(np.argmax(slope <= min(math.radians(38.0), 0.75 * water)))
    return np.vstack([upper, lower[1:]]), _STEPS + foot


def _unit(points: Array) -> Unit:
    """Return a curve from foot to head in unit form."""
    height = (points[:, 1] - points[0, 1]) / (points[-1, 1] - points[0, 1])
    across = points[-1, 0] - points[0, 0]
    way = (points[:, 0] - points[0, 0]) / across if abs(across) > 1e-9 else height
    return Unit(np.maximum.accumulate(height), way)


@dataclass(frozen=True, slots=True)
class _Ends:
    fore: float
    aft: float
    rake: float
    """Tangent of the stern's angle; nil where the stern is a curve."""
    wet: bool


def _overhangs(p: Particulars, shape: Proportions, depth: float, stern_freeboard: float) -> _Ends:
    over = p.length - p.lwl
    stern = kinds.STERN[p.stern]
    wet = shape.immersed > 0 and p.stern in ("upright", "reverse")
    if not wet:
        weight = kinds.BOW[p.bow].weight
        fore = over * weight / (weight + stern.weight)
        return _Ends(fore, fore + p.lwl, math.tan(math.radians(stern.rake)), False)
    if p.stern == "upright":
        back = min(0.06 * over, 0.3)
        return _Ends(over - back, p.length - back, back / stern_freeboard, True)
    drop = shape.immersed * depth
    back = min(math.tan(math.radians(-stern.rake)) * drop, 0.25 * over)
    return _Ends(over - back, p.length - back, -back / drop, True)


def _run(start: float, end: float, depth: float, rise: float) -> tuple[Array, Array]:
    s = np.linspace(0.0, 1.0, _STEPS + 1)[1:]
    return start + s * (end - start), -depth + rise * (3 * s * s - s**3) / 2


def build(p: Particulars, shape: Proportions, depth: float, fill: float) -> Profile:
    """Draw the centreline for a depth of the canoe body; ``fill`` -1…1 shortens or lengthens it."""
    boards = freeboards(p, shape)
    ends = _overhangs(p, shape, depth, boards[2])
    first = ends.fore + p.lwl * (shape.deepest[0] - 0.16 * fill)
    second = ends.fore + p.lwl * min(shape.deepest[1] + 0.12 * fill, 0.86)
    first = min(first, second)
    points, foot = _end(kinds.BOW[p.bow], ends.fore, boards[0], first, depth)
    stem, fore_bottom = points[foot::-1], points[foot:]
    breadth = kinds.STERN[p.stern].breadth * shape.stern_breadth
    if p.stern == "counter" and p.kind == "inland":
        breadth *= kinds.COUNTER_INLAND
    if p.stern == "canoe":
        back, heel = _end(kinds.CANOE, p.length - ends.aft, boards[2], p.length - second, depth)
        back[:, 0] = p.length - back[:, 0]
        bottom = np.vstack([fore_bottom, back[: heel - 1 : -1]])
        stern, top = _unit(back[heel::-1]), p.length
    else:
        tail, top = _straight(p, shape, ends, second, depth, boards[2])
        bottom = np.vstack([fore_bottom, tail])
        stern = Unit(np.array([0.0, 1.0]), np.array([0.0, 1.0]))
    keep = np.concatenate([[True], np.diff(bottom[:, 0]) > 1e-9])
    bottom = bottom[keep]
    return Profile(
        bottom[:, 0], bottom[:, 1], _unit(stem), stern, top, ends.fore, ends.aft, boards, breadth
    )


def _straight(
    p: Particulars, shape: Proportions, ends: _Ends, second: float, depth: float, board: float
) -> tuple[Array, float]:
    """Return the run to the foot of a straight stern, and x of the top of the stern."""
    if ends.wet:
        foot_z = -shape.immersed * depth
        foot_x = ends.aft + ends.rake * foot_z
        x, z = _run(second, foot_x, depth, depth + foot_z)
        return np.column_stack([x, z]), ends.aft + ends.rake * board
    x, z = _run(second, ends.aft, depth, depth)
    slope = 1.5 * depth / (ends.aft - second)
    if p.stern == "reverse":
        heel = p.length
    else:
        heel = (p.length - ends.rake * (board + slope * ends.aft)) / (1 - slope * ends.rake)
    heel = max(heel, ends.aft + 1e-3)
    foot_z = min(slope * (heel - ends.aft), 0.8 * board)
    top = p.length if p.stern != "reverse" else p.length + ends.rake * (board - foot_z)
    return np.column_stack([np.append(x, heel), np.append(z, foot_z)]), top
