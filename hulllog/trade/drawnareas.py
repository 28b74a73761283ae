"""Areas of outlines that were drawn by hand on a flat picture of known scale."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

from hulllog.trade.ranges import above, within
from hulllog.trade.refusal import Refusal
from hulllog.trade.working import Input, Source, Working

FEWEST = 3
"""Corners below which an outline encloses nothing."""
LARGEST_FACTOR = 3.0
"""Times that a skin may be as large as it is drawn; our own rule."""
_SOURCE = Source("common practice", "the shoelace formula for the area of a polygon")


def drawn_area(
    points: Sequence[tuple[float, float]], apart: float, length: float, factor: float = 1.0
) -> Working:
    """Return the area in m² of an outline as it is drawn, flat.

    ``points`` are its corners in order, in any unit of the picture such as pixels; ``apart`` is the
    distance of the two marks of the scale in that unit, ``length`` theirs on the boat in m, above 0
    to 60.  ``factor``, 1 to 3, is how many times the skin is as large as it is drawn: it curves
    away from whoever looks, so what is drawn is less than what is painted.
    Raises Refusal ``too_few_corners`` or ``out_of_range``.
    Source: the shoelace formula; the factor is typed, with bounds of our own rule.
    """
    if len(points) < FEWEST:
        raise Refusal("too_few_corners", fewest=FEWEST)
    pixels = above("marks_apart", apart, 0.0, 1e6)
    metres = above("scale_length", length, 0.0, 60.0, "m")
    times = within("skin_factor", factor, 1.0, LARGEST_FACTOR)
    twice = math.fsum(x1 * y2 - x2 * y1 for (x1, y1), (x2, y2) in pairwise([*points, points[0]]))
    enclosed = within("enclosed_area", abs(twice) / 2, 0.0, 1e12)
    scale = metres / pixels
    return Working(
        name="drawn_area",
        value=times * enclosed * scale * scale,
        unit="m2",
        formula="A = k·S·(l/d)²",
        inputs=(
            Input("k", times, "1", "as_typed" if times != 1.0 else "assumed"),
            Input("S", enclosed, "1", "square_pixels"),
            Input("l", metres, "m", "as_typed"),
            Input("d", pixels, "1", "pixels_apart"),
        ),
        source=_SOURCE,
        cautions=("drawn_flat", "drawn_scale_alike"),
    )
