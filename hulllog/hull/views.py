"""Views: from a point of the boat to the plane of a drawing, and back to a place."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from hulllog.hull.patches import Place

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from hulllog.hull.patches import Patch

    Array = NDArray[np.float64]

VIEWS = ("port", "starboard", "bottom", "stern", "expansion")
_STEPS = 14
_EDGE = 1e-7


def projected(view: str, xyz: Array, flat: Array) -> tuple[Array, Array]:
    """Return X and Y (…, 2) and nearness to the viewer (…,) of points.  KeyError: no such view."""
    x, y, z = xyz[..., 0], xyz[..., 1], xyz[..., 2]
    if view == "expansion":
        return flat, np.zeros_like(x)
    across, up, near = {
        "port": (x, z, y),
        "starboard": (-x, z, -y),
        "bottom": (x, y, -z),
        "stern": (-y, z, x),
    }[view]
    return np.stack([across, up], axis=-1), near


@dataclass(frozen=True, slots=True)
class Index:
    """All cells of a boat in one view, for finding the place under a point."""

    patches: tuple[Patch, ...]
    owner: NDArray[np.intp]
    row: NDArray[np.intp]
    column: NDArray[np.intp]
    corners: Array
    """(k, 4, 2): near row low and high column, far row low and high column."""
    nearness: Array
    low: Array
    high: Array

    @classmethod
    def build(cls, view: str, patches: Sequence[Patch]) -> Index:
        """Gather the cells that have an area in the view."""
        parts = [_cells(view, patch, number) for number, patch in enumerate(patches)]
        owner, row, column, corners, nearness = (
            np.concatenate(column) for column in zip(*parts, strict=True)
        )
        return cls(
            tuple(patches),
            owner,
            row,
            column,
            corners,
            nearness,
            corners.min(axis=1),
            corners.max(axis=1),
        )

    def hits(self, x: float, y: float) -> list[Place]:
        """Return the places that lie at (X, Y), the nearest to the viewer first."""
        point = np.array([x, y])
        inside = ((self.low <= point + 1e-9) & (self.high >= point - 1e-9)).all(axis=1)
        found = np.flatnonzero(inside)
        if not len(found):
            return []
        w, f, good = inverse(self.corners[found], point)
        found, w, f = found[good], w[good], f[good]
        near = self.nearness[found]
        depth = (near[:, 0] * (1 - f) + near[:, 1] * f) * (1 - w) + (
            near[:, 2] * (1 - f) + near[:, 3] * f
        ) * w
        order = np.argsort(-depth, kind="stable")
        return [self._place(int(found[k]), float(w[k]), float(f[k])) for k in order]

    def _place(self, cell: int, w: float, f: float) -> Place:
        patch = self.patches[int(self.owner[cell])]
        i, j = int(self.row[cell]), int(self.column[cell])
        u = float(patch.u[i] + w * (patch.u[i + 1] - patch.u[i]))
        v = float(patch.v[j] + f * (patch.v[j + 1] - patch.v[j]))
        return Place(patch.part, patch.face, u, v)


def _cells(
    view: str, patch: Patch, number: int
) -> tuple[NDArray[np.intp], NDArray[np.intp], NDArray[np.intp], Array, Array]:
    points, near = projected(view, patch.xyz, patch.flat)
    corners = np.stack([points[:-1, :-1], points[:-1, 1:], points[1:, :-1], points[1:, 1:]], axis=2)
    nearness = np.stack([near[:-1, :-1], near[:-1, 1:], near[1:, :-1], near[1:, 1:]], axis=2)
    one, other = corners[:, :, 3] - corners[:, :, 0], corners[:, :, 2] - corners[:, :, 1]
    size = np.abs(one[..., 0] * other[..., 1] - one[..., 1] * other[..., 0])
    wide = (patch.u[1:] > patch.u[:-1])[:, None] & (size > 1e-9)
    row, column = np.nonzero(wide)
    owner = np.full(len(row), number, dtype=np.intp)
    return owner, row, column, corners[row, column], nearness[row, column]


def inverse(corners: Array, point: Array) -> tuple[Array, Array, NDArray[np.bool_]]:
    """Return the shares across rows and columns at a point, and which cells hold it."""
    a = corners[:, 0]
    b, c = corners[:, 2] - a, corners[:, 1] - a
    d = corners[:, 3] - corners[:, 2] - c
    w, f = np.full(len(a), 0.5), np.full(len(a), 0.5)
    for _ in range(_STEPS):
        miss = a + w[:, None] * b + f[:, None] * c + (w * f)[:, None] * d - point
        by_w, by_f = b + f[:, None] * d, c + w[:, None] * d
        det = by_w[:, 0] * by_f[:, 1] - by_w[:, 1] * by_f[:, 0]
        det = np.where(np.abs(det) < 1e-14, 1e-14, det)
        w = w - (miss[:, 0] * by_f[:, 1] - miss[:, 1] * by_f[:, 0]) / det
        f = f - (by_w[:, 0] * miss[:, 1] - by_w[:, 1] * miss[:, 0]) / det
        w, f = np.clip(w, -1, 2), np.clip(f, -1, 2)
    miss = a + w[:, None] * b + f[:, None] * c + (w * f)[:, None] * d - point
    good = (np.abs(miss).max(axis=1) < 1e-7) & (w > -_EDGE) & (w < 1 + _EDGE)
    good &= (f > -_EDGE) & (f < 1 + _EDGE)
    return np.clip(w, 0, 1), np.clip(f, 0, 1), good
