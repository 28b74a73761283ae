"""A face of the boat as a grid that carries its places: (u, v) to a point and to its expansion."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Place:
    """A point on the boat: the part, one of its faces, and (u, v) on that face."""

    part: str
    face: str
    u: float
    v: float


@dataclass(frozen=True, slots=True)
class Patch:
    """One face of one part: rows u (n,), columns v (m,), points (n, m, 3), expansion (n, m, 2).

    ``kind`` is hull, transom, foil, sole or bulb; ``side`` is +1 where the face looks to port,
    -1 to starboard, 0 elsewhere.  A row may be there twice, then its strip has no width.
    """

    part: str
    face: str
    kind: str
    side: int
    u: Array
    v: Array
    xyz: Array
    flat: Array

    def cell(self, u: Array, v: Array) -> tuple[Array, Array]:
        """Return (u, v) as fractions of a row and of a column."""
        return _fraction(self.u, u), _fraction(self.v, v)

    def at(self, u: Array | float, v: Array | float) -> Array:
        """Return the points at places (k,), shape (k, 3)."""
        row, column = self.cell(
            np.atleast_1d(np.asarray(u, float)), np.atleast_1d(np.asarray(v, float))
        )
        return blend(self.xyz, row, column)


def blend(field: Array, row: Array, column: Array) -> Array:
    """Interpolate a field (n, m, d) at fractions of rows and columns (k,)."""
    i, j = row.astype(int), column.astype(int)
    i, j = np.minimum(i, field.shape[0] - 2), np.minimum(j, field.shape[1] - 2)
    w, f = (row - i)[:, None], (column - j)[:, None]
    near = field[i, j] * (1 - f) + field[i, j + 1] * f
    far = field[i + 1, j] * (1 - f) + field[i + 1, j + 1] * f
    mixed: Array = near * (1 - w) + far * w
    return mixed


def _fraction(nodes: Array, values: Array) -> Array:
    at = np.clip(np.searchsorted(nodes, values, side="right") - 1, 0, len(nodes) - 2)
    width = nodes[at + 1] - nodes[at]
    share = np.where(width > 0, (values - nodes[at]) / np.where(width > 0, width, 1.0), 0.0)
    result: Array = at + np.clip(share, 0.0, 1.0)
    return result


def mirrored(xyz: Array) -> Array:
    """Return points on the other side of the plane y = 0."""
    other: Array = xyz * np.array([1.0, -1.0, 1.0])
    return other
