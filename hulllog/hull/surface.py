"""The skin of one side as a grid of points: rows u from stem to stern, columns v across.

v is 0 on the centreline, 1 on the waterline and 2 on the sheer, a share of the girth in between;
a chine is at half of the piece it lies in.  Where a row does not reach the water all columns up to
1 lie on the centreline.  Where a chine meets the waterline the row is there twice, once for each
way of sharing out, so that the grid has neither gap nor overlap.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from hulllog.hull.kinds import Proportions
    from hulllog.hull.profile import Profile

    Array = NDArray[np.float64]

PIECE = 20
"""Cells across from centreline to waterline, and from there to the sheer."""
ROWS = 97
_NEAR = np.array([0.0, 0.0003, 0.0012, 0.003, 0.006])
"""How far from a blunt end of a waterline extra rows are set, in u."""


@dataclass(frozen=True, slots=True)
class Lines:
    """All that fixes the surface of one hull, centred on its own middle plane."""

    profile: Profile
    shape: Proportions
    half_beam: float
    fullness: float
    fill: float
    chine: float
    """Breadth at the chine, of the breadth at the sheer; 0 for a round bilge."""
    hard: bool
    """A planing form: deadrise, flare and a chine that rises to the stem."""


@dataclass(frozen=True, slots=True)
class Skin:
    """The grid of one side, y positive: u (n,), v (m,), xyz (n, m, 3)."""

    u: Array
    v: Array
    xyz: Array
    chine_low: NDArray[np.bool_] | None
    """Per row, if the chine lies below the water; None for a round bilge."""

    @property
    def water(self) -> int:
        """The column of the waterline."""
        return len(self.v) // 2


def sheer(lines: Lines, u: Array) -> Array:
    """Return x, y and z of the sheer at rows u, shape (n, 3)."""
    bow, middle, stern = lines.profile.freeboards
    z = bow + u * (-3 * bow + 4 * middle - stern) + u * u * (2 * bow - 4 * middle + 2 * stern)
    return np.column_stack([u * lines.profile.top, lines.half_beam * plan(lines, u), z])


def plan(lines: Lines, u: Array) -> Array:
    """Return the half-breadth of the sheer at rows u, of half the beam."""
    first, last = lines.shape.broadest
    fore_power, blunt, aft_power = lines.shape.plan
    fore = (1 - np.clip(1 - u / first, 0, 1) ** fore_power) ** blunt
    back = np.clip((u - last) / (1 - last), 0, 1)
    if lines.profile.breadth > 0:
        aft = 1 - (1 - lines.profile.breadth) * back**aft_power
    else:
        aft = np.clip(1 - back**2.1, 0, 1) ** 0.86
    return np.where(u < first, fore, np.where(u > last, aft, 1.0))


def keel_line(lines: Lines, u: Array) -> tuple[Array, Array]:
    """Return x and z of the centreline at rows u."""
    profile = lines.profile
    foot, heel, top = profile.foot[0], profile.heel[0], profile.top
    short = heel - top
    fore_power = min(max(0.75 * top / foot, 1.0), 4.0)
    aft_power = min(max(0.75 * top / max(abs(short), 1e-9), 1.0), 6.0)
    x = u * top + foot * (1 - u) ** fore_power + short * u**aft_power
    return x, profile.depth(x)


def _ease(u: Array, value: tuple[float, float, float]) -> Array:
    bow, middle, aft = value
    fore = np.clip(1 - u / 0.55, 0, 1) ** 2
    back = np.clip((u - 0.55) / 0.45, 0, 1) ** 2
    return middle + (bow - middle) * fore + (aft - middle) * back


def _round(lines: Lines, u: Array, steps: int) -> tuple[Array, Array]:
    """Return the unit sections of a round bilge, breadth and height, each (n, steps + 1)."""
    shape, full = lines.shape, lines.fullness
    flat, flat_aft = 1 - 0.5 * max(lines.fill, 0), 1 - 0.4 * max(lines.fill, 0)
    bow, middle, aft = shape.corner_z
    corner_z = _ease(u, (bow * flat, middle * flat, aft * flat_aft))[:, None]
    corner_y = _ease(u, shape.corner_y)[:, None]
    handles = [
        _ease(u, (at_bow, full, min(at_stern, full + 0.04)))[:, None]
        for at_bow, at_stern in zip(shape.bow_handles, shape.aft_handles, strict=True)
    ]
    t = np.linspace(0, 1, steps + 1)[None, :]
    near, far, end = 3 * t * (1 - t) ** 2, 3 * t * t * (1 - t), t**3
    y = near * handles[0] * corner_y + far * (1 - handles[1] * (1 - corner_y)) + end
    z = near * handles[0] * corner_z + far * (1 - handles[1] * (1 - corner_z)) + end
    return y, z


def _chined(lines: Lines, u: Array, top: Array, low: Array, steps: int) -> tuple[Array, Array]:
    """Return the sections of a chine hull, y and z, each (n, 2·steps + 1)."""
    profile, shape = lines.profile, lines.shape
    share = lines.chine * np.ones_like(u)
    if lines.hard:
        share *= 1 - (1 - 0.80 / 0.90) * np.clip(1 - u / 0.5, 0, 1) ** 2
        at_stern = lines.half_beam * profile.breadth * lines.chine
        aft = profile.heel[1] + at_stern * math.tan(math.radians(shape.deadrise))
        stem = profile.foot[1] + 0.50 * (profile.freeboards[0] - profile.foot[1])
        height = aft + (stem - aft) * np.clip(1 - u / 0.78, 0, 1) ** 2.3
        height = np.clip(height, low + 0.02 * (top[:, 2] - low), low + 0.8 * (top[:, 2] - low))
        bow = np.clip(1 - u / 0.7, 0, 1) ** 2
    else:
        rise = 0.024 * lines.half_beam * (1 + 1.5 * np.clip(1 - u / 0.3, 0, 1) ** 2)
        height = np.minimum(low + rise, low + 0.5 * (top[:, 2] - low))
        bow = np.zeros_like(u)
    breadth = share * top[:, 1]
    a = np.linspace(0, 1, steps + 1)[None, :]
    bowed = 0.24 * a * (1 - a) * (1 - 1.6 * bow[:, None]) if lines.hard else 0.0
    curve = 2 * a * (1 - a) * (0.35 * (1 - bow) - 0.22 * bow)[:, None] if lines.hard else 0.0
    y1, z1 = a * breadth[:, None], low[:, None] + (height - low)[:, None] * (a - bowed)
    y2 = breadth[:, None] + (top[:, 1] - breadth)[:, None] * (a + curve)
    z2 = height[:, None] + (top[:, 2] - height)[:, None] * a
    return np.hstack([y1, y2[:, 1:]]), np.hstack([z1, z2[:, 1:]])


def sections(lines: Lines, u: Array, steps: int = 64) -> tuple[Array, int | None]:
    """Return the sections at rows u as points (n, m, 3), and the column of the chine if any."""
    top = sheer(lines, u)
    low_x, low_z = keel_line(lines, u)
    height = (top[:, 2] - low_z)[:, None]
    if lines.chine:
        y, z = _chined(lines, u, top, low_z, steps // 2)
    else:
        unit_y, unit_z = _round(lines, u, steps)
        y, z = top[:, 1:2] * unit_y, low_z[:, None] + height * unit_z
    share = np.clip((z - low_z[:, None]) / height, 0, 1)
    fore = (np.clip(1 - 2 * u, 0, 1) ** 2)[:, None]
    back = (np.clip(2 * u - 1, 0, 1) ** 2)[:, None]
    stem, stern = lines.profile.stem.at(share), lines.profile.stern.at(share)
    way = fore * stem + back * stern + (1 - fore - back) * share
    x = low_x[:, None] + (top[:, :1] - low_x[:, None]) * way
    return np.stack([x, y, z], axis=-1), steps // 2 if lines.chine else None


def along(length: Array, wanted: Array, *fields: Array) -> list[Array]:
    """Interpolate fields (n, m) at distances wanted (n, k) along rows with distances (n, m)."""
    offset = 2.0 * np.arange(len(length))[:, None]
    total = np.maximum(length[:, -1:], 1e-12)
    known = (length / total + offset).ravel()
    asked = (np.minimum(wanted / total, 1.0) + offset).ravel()
    return [np.interp(asked, known, f.ravel()).reshape(wanted.shape) for f in fields]


def girth(points: Array) -> Array:
    """Return the distance along each row from its first point, (n, m) from (n, m, d)."""
    step = np.linalg.norm(np.diff(points, axis=1), axis=2)
    return np.hstack([np.zeros((len(points), 1)), np.cumsum(step, axis=1)])


def crossing(values: Array, level: float = 0.0) -> Array:
    """Return where rows of rising values (n, m) pass a level, as fractions of a column."""
    wet = values < level
    below = np.clip(wet.sum(axis=1) - 1, 0, values.shape[1] - 2)
    rows = np.arange(len(values))
    low, high = values[rows, below], values[rows, below + 1]
    share = np.clip((level - low) / np.where(high > low, high - low, 1.0), 0, 1)
    return np.where(wet[:, 0], below + share, 0.0)


def _spread(length: Array, water: Array, chine: Array | None, low: Array, piece: int) -> Array:
    """Return the distances of the columns, (n, 2·piece + 1)."""
    whole = length[:, -1]
    zero = np.zeros_like(water)
    if chine is None:
        first, second = (zero + water) / 2, (water + whole) / 2
    else:
        first = np.where(low, np.minimum(chine, water), water / 2)
        second = np.where(low, (water + whole) / 2, np.maximum(chine, water))
    marks = np.column_stack([zero, first, water, second, whole])
    v = np.linspace(0, 4, 2 * piece + 1)
    at = np.minimum(v.astype(int), 3)
    spread: Array = marks[:, at] + (marks[:, at + 1] - marks[:, at]) * (v - at)
    return spread


def grid(lines: Lines, u: Array, low: NDArray[np.bool_] | None = None, piece: int = PIECE) -> Skin:
    """Lay the columns across the sections at rows u.

    ``low`` says of each row if the chine counts as below the water; None asks the section.
    """
    native, corner = sections(lines, u)
    length = girth(native)
    at = crossing(native[:, :, 2])
    rows, column = np.arange(len(u)), np.minimum(at.astype(int), native.shape[1] - 2)
    step = length[rows, column + 1] - length[rows, column]
    water = length[rows, column] + (at - column) * step
    chine = None if corner is None else length[:, corner]
    below = low
    if chine is not None and below is None:
        below = chine < water
    wanted = _spread(length, water, chine, np.False_ if below is None else below, piece)  # type: ignore[arg-type]
    xyz = np.stack(along(length, wanted, *np.moveaxis(native, 2, 0)), axis=-1)
    xyz[:, piece, 2][at > 0] = 0.0
    return Skin(u, np.linspace(0, 2, 2 * piece + 1), xyz, below)


def even_rows(count: int = ROWS) -> Array:
    """Return rows that crowd towards a blunt bow."""
    c = np.linspace(0, 1, count)
    return 0.12 * c + 0.88 * c**1.75


def _passes(u: Array, values: Array, level: float) -> list[float]:
    over = values > level
    changes = np.flatnonzero(over[1:] != over[:-1])
    return [
        float(u[i] + (level - values[i]) / (values[i + 1] - values[i]) * (u[i + 1] - u[i]))
        for i in changes
    ]


def fine(lines: Lines, levels: tuple[float, ...]) -> Skin:
    """Build the grid that is drawn and measured, with rows where the bottom passes the levels."""
    dense = np.linspace(0, 1, 2001)
    _, low = keel_line(lines, dense)
    extra: list[float] = []
    for level in (0.0, *levels):
        for u in _passes(dense, low, level):
            rising = float(np.interp(u + 1e-3, dense, low)) > level
            extra += list(u - _NEAR if rising else u + _NEAR)
    doubled: list[float] = []
    if lines.chine:
        native, corner = sections(lines, even_rows(), 16)
        doubled = _passes(even_rows(), native[:, corner or 0, 2], 0.0)
    keep = [u for u in extra if 0 < u < 1]
    single = np.unique(np.concatenate([even_rows(), keep]))
    if not lines.chine:
        return grid(lines, single)
    return _with_doubles(lines, single, doubled)


def _with_doubles(lines: Lines, single: Array, doubled: list[float]) -> Skin:
    u = np.sort(np.concatenate([single, np.repeat(doubled, 2)]))
    native, corner = sections(lines, u, 16)
    low: NDArray[np.bool_] = native[:, corner or 0, 2] < 0
    for level in doubled:
        first = int(np.searchsorted(u, level))
        low[first], low[first + 1] = low[first - 1], low[min(first + 2, len(u) - 1)]
    return grid(lines, u, low)
