"""Areas and volumes of grids of points."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Array = NDArray[np.float64]


def cell_areas(xyz: Array) -> Array:
    """Return the area of each cell of a grid (n, m, 3), shape (n - 1, m - 1).

    Half the cross product of the diagonals: exact for a flat cell.
    """
    one = xyz[1:, 1:] - xyz[:-1, :-1]
    other = xyz[1:, :-1] - xyz[:-1, 1:]
    product = np.cross(one, other)
    result: Array = 0.5 * np.sqrt(np.einsum("ijk,ijk->ij", product, product))
    return result


def area(xyz: Array) -> float:
    """Return the area of a grid (n, m, 3)."""
    return float(cell_areas(xyz).sum())


def volume_beside_centre(xyz: Array) -> float:
    """Return the volume between a grid (n, m, 3) and the plane y = 0."""
    one = xyz[1:, 1:] - xyz[:-1, :-1]
    other = xyz[1:, :-1] - xyz[:-1, 1:]
    face = 0.5 * (one[..., 0] * other[..., 2] - one[..., 2] * other[..., 0])
    y = xyz[..., 1]
    middle = 0.25 * (y[1:, 1:] + y[:-1, :-1] + y[1:, :-1] + y[:-1, 1:])
    return abs(float((face * middle).sum()))


def cumulated(xyz: Array) -> Array:
    """Return per strip between two rows the area up to each column, shape (n - 1, m)."""
    cells = cell_areas(xyz)
    return np.hstack([np.zeros((len(cells), 1)), np.cumsum(cells, axis=1)])


def length(points: Array) -> float:
    """Return the length of a line through points (n, d)."""
    return float(np.linalg.norm(np.diff(points, axis=0), axis=1).sum())
