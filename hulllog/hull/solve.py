"""Find the surface that has the waterline beam and the displacement wanted."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from hulllog.hull import kinds, measure, profile, surface
from hulllog.hull.surface import Lines

if TYPE_CHECKING:
    from collections.abc import Callable

    from hulllog.hull.kinds import Proportions
    from hulllog.hull.particulars import Particulars

_COARSE = surface.even_rows(49)
_COARSE_PIECE = 12
_FULL = (0.45, 0.97)
_DRIVEN = ("motor", "inland", "planing")
"""Kinds whose draught without a keel is that of the propeller below the bottom."""


@dataclass(frozen=True, slots=True)
class Solved:
    """Lines that meet the particulars as far as these agree with one another."""

    lines: Lines
    depth: float
    """Depth of the canoe body, metres."""
    body: float
    """Volume of one canoe body, cubic metres."""


def hull_beam(p: Particulars) -> float:
    """Return the beam of one hull in metres; for a catamaran that of each."""
    if p.kind != "catamaran":
        return p.beam
    return min(0.30 * p.beam, 0.135 * p.length + 0.12)


def _depths(p: Particulars, shape: Proportions, breadth: float) -> tuple[float, float, float]:
    """Return the least, the default and the greatest depth of the canoe body."""
    limit = (0.80 if p.drive == "shaft" and p.kind in _DRIVEN else 0.95) * p.draught
    if p.keel != "none":
        limit = 0.88 * p.draught
    low, high = (bound * breadth for bound in shape.depth_bounds)
    factor = kinds.DEPTH_BY_KEEL.get(p.keel, 1.0) if p.kind == "yacht" else 1.0
    default = shape.depth * factor * breadth
    if p.keel == "none" and p.kind in ("motor", "inland"):
        default = limit
    high = min(high, limit)
    low = min(low, high)
    return low, min(max(default, low), high), high


def _waterline_beam(lines: Lines) -> float:
    skin = surface.grid(lines, _COARSE, piece=_COARSE_PIECE)
    return 2 * float(skin.xyz[:, skin.water, 1].max())


def body_volume(skin: surface.Skin) -> float:
    """Return the volume of one whole hull below the water, cubic metres."""
    return 2 * measure.volume_beside_centre(skin.xyz[:, : skin.water + 1])


def secant(
    f: Callable[[float], float],
    start: float,
    second: float,
    bounds: tuple[float, float],
    tolerance: float,
    steps: int = 8,
) -> float:
    """Return x in bounds where a rising f is nil, or the bound that is nearest to it."""
    one, at_one = start, f(start)
    other = min(max(second, bounds[0]), bounds[1])
    for _ in range(steps):
        if abs(at_one) <= tolerance or other == one:
            return one
        at_other = f(other)
        slope = (at_other - at_one) / (other - one)
        step = other - at_other / slope if slope > 0 else other
        one, at_one, other = other, at_other, min(max(step, bounds[0]), bounds[1])
    return one


def _with_breadth(lines: Lines, breadth: float) -> Lines:
    """Return the lines filled out until the waterline is as broad as wanted."""

    def tried(full: float) -> Lines:
        return replace(lines, fullness=full)

    def off(full: float) -> float:
        return _waterline_beam(tried(full)) / breadth - 1

    start = lines.fullness
    return tried(secant(off, start, start + 0.05, _FULL, 5e-4))


def _with_chine(lines: Lines, breadth: float) -> Lines:
    for _ in range(4):
        got = _waterline_beam(lines)
        if abs(got / breadth - 1) < 5e-4:
            break
        lines = replace(lines, chine=min(lines.chine * breadth / got, 0.995))
    return lines


def lines_at(p: Particulars, shape: Proportions, depth: float, fill: float, full: float) -> Lines:
    """Return the lines for a depth of the canoe body, with the waterline beam met."""
    beam = hull_beam(p)
    line = profile.build(p, shape, depth, fill)
    lines = Lines(line, shape, beam / 2, full, fill, shape.chine, p.kind == "planing")
    if not shape.chine:
        return _with_breadth(lines, p.waterline_beam or shape.waterline_beam * beam)
    return _with_chine(lines, p.waterline_beam) if p.waterline_beam else lines


def solve(
    p: Particulars, shape: Proportions, appended: Callable[[Lines, surface.Skin], float]
) -> Solved:
    """Find the lines; ``appended`` gives the volume in m³ of keels and rudders on one hull."""
    breadth = p.waterline_beam or shape.waterline_beam * hull_beam(p)
    low, depth, high = _depths(p, shape, breadth)
    wanted = None
    if p.displacement is not None:
        wanted = p.displacement / shape.density / (2 if p.kind == "catamaran" else 1)
    full = shape.fullness

    def made(depth: float, fill: float) -> tuple[Lines, float, float]:
        nonlocal full
        lines = lines_at(p, shape, depth, fill, full)
        full = lines.fullness
        skin = surface.grid(lines, _COARSE, piece=_COARSE_PIECE)
        body = body_volume(skin)
        return lines, body, body + (appended(lines, skin) if wanted else 0.0)

    if wanted is None:
        lines, body, _ = made(depth, 0.0)
        return Solved(lines, depth, body)

    def off_depth(at: float) -> float:
        return made(at, 0.0)[2] / wanted - 1

    first = off_depth(depth)
    depth = secant(off_depth, depth, depth * (1 - first / 0.9), (low, high), 2e-3)
    lines, body, whole = made(depth, 0.0)
    if abs(whole / wanted - 1) > 2e-3 and depth in (low, high):

        def off_fill(at: float) -> float:
            return made(depth, at)[2] / wanted - 1

        fill = secant(off_fill, 0.0, (wanted / whole - 1) / 0.16, (-1.0, 1.0), 2e-3)
        lines, body, _ = made(depth, fill)
    return Solved(lines, depth, body)


__all__ = ["Solved", "body_volume", "hull_beam", "lines_at", "secant", "solve"]
