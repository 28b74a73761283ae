"""Outlines drawn by hand on a flat picture: points in shares of its width and height."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence

Point = tuple[float, float]
PART = "own:"
"""A place on an own view has this and the view's key as its part."""
FACE = "flat"
CODE = "own-"
"""Zones that were drawn on an own view alone have codes that begin so."""


def is_own(zone_code: str) -> bool:
    """Tell whether a zone was drawn by hand alone, so that no form has it."""
    return zone_code.startswith(CODE)


def code_of(number: int, *, below: bool) -> str:
    """Return the code of a zone of its own, which tells whether antifouling covers it."""
    return f"{CODE}{'below' if below else 'above'}-{number}"


def crosses_itself(points: Sequence[Point]) -> bool:
    """Tell whether two sides of a closed outline meet anywhere but at a corner that they share.

    An outline that has a corner twice touches itself there.
    """
    count = len(points)
    if len(set(points)) < count:
        return True
    sides = [(points[n], points[(n + 1) % count]) for n in range(count)]
    for first in range(count):
        for second in range(first + 1, count):
            beside = second - first in (1, count - 1)
            if _meet(*sides[first], *sides[second], beside=beside):
                return True
    return False


def _meet(a: Point, b: Point, c: Point, d: Point, *, beside: bool) -> bool:
    """Tell whether two sides meet; of neighbours, whether one runs back over the other."""
    if beside:
        near, middle, far = (a, b, d) if b == c else (c, d, b)
        return _turn(near, middle, far) == 0 and _dot(middle, near, far) > 0
    turns = (_turn(a, b, c), _turn(a, b, d), _turn(c, d, a), _turn(c, d, b))
    if turns[0] * turns[1] < 0 and turns[2] * turns[3] < 0:
        return True
    ends = ((turns[0], a, b, c), (turns[1], a, b, d), (turns[2], c, d, a), (turns[3], c, d, b))
    return any(turn == 0 and _between(p, q, r) for turn, p, q, r in ends)


def _turn(a: Point, b: Point, c: Point) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def _dot(at: Point, one: Point, other: Point) -> float:
    return (one[0] - at[0]) * (other[0] - at[0]) + (one[1] - at[1]) * (other[1] - at[1])


def _between(a: Point, b: Point, c: Point) -> bool:
    inside_x = min(a[0], b[0]) <= c[0] <= max(a[0], b[0])
    return inside_x and min(a[1], b[1]) <= c[1] <= max(a[1], b[1])


def holds(points: Sequence[Point], u: float, v: float) -> bool:
    """Tell whether a point lies inside a closed outline, by the even-odd rule."""
    inside = False
    for (x1, y1), (x2, y2) in pairwise([*points, points[0]]):
        if (y1 > v) != (y2 > v) and u < x1 + (v - y1) * (x2 - x1) / (y2 - y1):
            inside = not inside
    return inside


def in_pixels(points: Sequence[Point], width: int, height: int) -> tuple[Point, ...]:
    """Return points that are shares of a picture in its pixels."""
    return tuple((u * width, v * height) for u, v in points)
