"""A grid of places on a zone: bands from its lower edge up, frames from its fore end aft."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from hulllog.hull.patches import Place
from hulllog.hull.zones import edges

if TYPE_CHECKING:
    from hulllog.hull.form import HullForm
    from hulllog.hull.zones import ZoneOutline

MOST = 20
"""Bands or frames at most on one zone.  Our own rule."""


def laid(form: HullForm, outline: ZoneOutline, bands: int, frames: int) -> list[list[Place]]:
    """Return the places of a grid, band by band, each from forward aft.

    They stand in the middles of even shares of the zone's breadth and of the length over
    which it has any.  On a zone of several faces it is laid on the first of them.  Raises
    ValueError outside 1 to MOST.
    """
    if not (1 <= bands <= MOST and 1 <= frames <= MOST):
        raise ValueError("grid")
    piece = outline.pieces[0]
    patch, low, high = edges(form, piece)
    wide = patch.u[(high > low) & (patch.u >= piece.u0) & (patch.u <= piece.u1)]
    start, end = (wide[0], wide[-1]) if len(wide) else (piece.u0, piece.u1)
    u = start + (np.arange(frames) + 0.5) / frames * (end - start)
    row, _ = patch.cell(u, np.zeros(frames))
    at = np.arange(len(patch.u))
    lower, upper = np.interp(row, at, low), np.interp(row, at, high)
    return [
        [
            Place(piece.part, piece.face, float(one), float(v))
            for one, v in zip(u, lower + (band + 0.5) / bands * (upper - lower), strict=True)
        ]
        for band in range(bands)
    ]
