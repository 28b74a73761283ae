"""One photograph laid on another: turned, scaled and moved so that two marks of each fall together.

Two points give one such laying and no other (geometry).  What they cannot do, a change of standing
point or of lens, stays to be seen in the pictures.
"""

from __future__ import annotations

import cmath
import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence

NEAREST = 0.02
"""Share of a picture's longer edge under which two marks are too near to each other (our rule)."""

Point = tuple[float, float]
Size = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Laying:
    """How points of one picture come to lie in another: z → turn·z + shift, as complex numbers."""

    turn: complex
    shift: complex

    @property
    def scale(self) -> float:
        """How many times larger it is laid."""
        return abs(self.turn)

    @property
    def degrees(self) -> float:
        """How far it is turned, clockwise where y runs down."""
        return math.degrees(cmath.phase(self.turn))

    def __call__(self, point: Point) -> Point:
        """Return where a point comes to lie."""
        laid = self.turn * complex(*point) + self.shift
        return laid.real, laid.imag


def in_pixels(marks: Sequence[Sequence[float]], size: Size) -> list[Point]:
    """Return marks that are given in shares of width and height."""
    return [(x * size[0], y * size[1]) for x, y in marks]


def far_enough(marks: Sequence[Sequence[float]], size: Size) -> bool:
    """Tell whether two marks lie far enough apart to lay a picture by them."""
    (ax, ay), (bx, by) = in_pixels(marks, size)
    return math.hypot(bx - ax, by - ay) >= NEAREST * max(size)


def laying(
    marks: Sequence[Sequence[float]],
    size: Size,
    on_marks: Sequence[Sequence[float]],
    on_size: Size,
) -> Laying | None:
    """Return how a picture of ``size`` is laid on another, by two marks in each; None if too near.

    Marks are in shares of width and height, the laying in pixels of both.
    """
    if not (far_enough(marks, size) and far_enough(on_marks, on_size)):
        return None
    a, b = (complex(*point) for point in in_pixels(marks, size))
    on_a, on_b = (complex(*point) for point in in_pixels(on_marks, on_size))
    turn = (on_b - on_a) / (b - a)
    return Laying(turn, on_a - turn * a)
