"""Which shape is seen where in a picture, on a coarse grid: for setting labels and pins."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Array = NDArray[np.float64]
    Cells = NDArray[np.int32]

NOTHING = -1


@dataclass(slots=True)
class Grid:
    """Cells of a picture; each knows the number of the shape that lies uppermost there."""

    step: float
    """Width of a cell, mm."""
    cells: Cells

    @classmethod
    def blank(cls, width: float, height: float, step: float) -> Grid:
        """Return a grid with nothing on it."""
        shape = (int(height / step) + 2, int(width / step) + 2)
        return cls(step, np.full(shape, NOTHING, dtype=np.int32))

    def fill(self, points: Array, number: int) -> None:
        """Lay a closed outline (k, 2), in mm, over what is there."""
        box = self._box(points)
        if box is None:
            return
        top, bottom, left, right = box
        inside = self._inside(points, top, bottom, left, right)
        self.cells[top:bottom, left:right][inside] = number

    def _box(self, points: Array) -> tuple[int, int, int, int] | None:
        low, high = points.min(axis=0) / self.step, points.max(axis=0) / self.step
        rows, columns = self.cells.shape
        left, right = max(int(low[0]), 0), min(int(high[0]) + 1, columns)
        top, bottom = max(int(low[1]), 0), min(int(high[1]) + 1, rows)
        return (top, bottom, left, right) if right > left and bottom > top else None

    def _inside(
        self, points: Array, top: int, bottom: int, left: int, right: int
    ) -> NDArray[np.bool_]:
        """Return which cells have their middle inside, by the even-odd rule."""
        x, y = points[:, 0] / self.step, points[:, 1] / self.step
        x2, y2 = np.roll(x, -1), np.roll(y, -1)
        level = np.arange(top, bottom)[:, None] + 0.5
        cut = (y[None] > level) != (y2[None] > level)
        row, edge = np.nonzero(cut)
        rise = y2[edge] - y[edge]
        at = x[edge] + (level[row, 0] - y[edge]) / rise * (x2[edge] - x[edge])
        first = np.clip(np.ceil(at - 0.5).astype(int), left, right) - left
        turns = np.zeros((bottom - top, right - left + 1), dtype=np.int32)
        np.add.at(turns, (row, first), 1)
        odd: NDArray[np.bool_] = np.cumsum(turns, axis=1)[:, :-1] % 2 == 1
        return odd

    def seen(self, numbers: list[int]) -> NDArray[np.bool_]:
        """Return the cells where one of the shapes lies uppermost."""
        if len(numbers) == 1:
            found: NDArray[np.bool_] = self.cells == numbers[0]
            return found
        return np.isin(self.cells, numbers)

    def mark(self, left: float, top: float, right: float, bottom: float, number: int) -> None:
        """Lay a box, in mm, over what is there."""
        s = self.step
        rows = slice(max(int(top / s), 0), int(bottom / s) + 1)
        self.cells[rows, max(int(left / s), 0) : int(right / s) + 1] = number


class Room:
    """The cells that a label may stand on, counted once so that many sizes can be tried."""

    __slots__ = ("_left", "_middle", "_step", "_table", "_top")

    def __init__(self, mask: NDArray[np.bool_], step: float) -> None:
        """Take the cells; ``mask`` has at least one."""
        down, across = np.flatnonzero(mask.any(axis=1)), np.flatnonzero(mask.any(axis=0))
        top, left = int(down[0]), int(across[0])
        crop = mask[top : int(down[-1]) + 1, left : int(across[-1]) + 1]
        count = crop.sum()
        y = float(crop.sum(axis=1) @ np.arange(crop.shape[0]) / count)
        x = float(crop.sum(axis=0) @ np.arange(crop.shape[1]) / count)
        self._left, self._top, self._step = left * step, top * step, step
        self._middle = (x + 0.5) * step, (y + 0.5) * step
        self._table = _summed(crop)

    def spot(self, width: float, height: float) -> tuple[float, float] | None:
        """Return the middle, in mm, of the best place for a box; None if it has none.

        The best is nearest to the middle of the cells, with air around it where there is some.
        """
        for air in (2 * self._step, self._step, 0.0):
            x, y = _rooms(self._table, self._step, width + 2 * air, height + 2 * air)
            if len(x):
                away = (x - self._middle[0]) ** 2 + (y - self._middle[1]) ** 2
                best = int(np.argmin(away))
                return float(x[best]) + self._left, float(y[best]) + self._top
        return None


def rooms(mask: NDArray[np.bool_], step: float, width: float, height: float) -> tuple[Array, Array]:
    """Return x and y, in mm, of the middles of all boxes that lie wholly inside a mask."""
    return _rooms(_summed(mask), step, width, height)


def _summed(mask: NDArray[np.bool_]) -> Cells:
    table = np.zeros((mask.shape[0] + 1, mask.shape[1] + 1), dtype=np.int32)
    np.cumsum(np.cumsum(mask, axis=0), axis=1, out=table[1:, 1:])
    return table


def _rooms(table: Cells, step: float, width: float, height: float) -> tuple[Array, Array]:
    across, down = max(int(np.ceil(width / step)), 1), max(int(np.ceil(height / step)), 1)
    if down >= table.shape[0] or across >= table.shape[1]:
        return np.empty(0), np.empty(0)
    lower, upper = table[down:], table[:-down]
    full = lower[:, across:] - upper[:, across:] - lower[:, :-across] + upper[:, :-across]
    rows, columns = np.nonzero(full == across * down)
    x, y = (columns + across / 2) * step, (rows + down / 2) * step
    return x.astype(np.float64), y.astype(np.float64)
