"""What a picture of the hull is asked for, and how a view is laid on the page."""

from __future__ import annotations

from dataclasses import dataclass, field
from types import MappingProxyType
from typing import TYPE_CHECKING, Literal

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Mapping

    from numpy.typing import NDArray

    from hulllog.drawing.scene import Scene
    from hulllog.hull.patches import Place
    from hulllog.hull.zones import ZoneOutline

    Array = NDArray[np.float64]

Appearance = Literal[
    "graded", "none_found", "not_rated", "not_applicable", "not_seen", "not_looked"
]
Kind = Literal["spot", "photo", "point", "anode", "gear"]


@dataclass(frozen=True, slots=True)
class ZoneDrawing:
    """A zone and how it looks for the kind that is shown.

    ``label`` stands in the zone if it fits, else ``short``, else ``label`` is led out by a line.
    ``said`` is the whole in words, for screen readers; the name and the label if left out.
    """

    code: str
    outline: ZoneOutline
    name: str
    appearance: Appearance = "not_rated"
    condition: int = 0
    """Step 0…4 of the condition colours, for ``graded``."""
    label: str = ""
    short: str = ""
    said: str = ""

    @property
    def key(self) -> str:
        """The key of the zone in the scene."""
        return f"zone:{self.code}"

    @property
    def in_words(self) -> str:
        """What a screen reader says of the zone."""
        return self.said or (f"{self.name}, {self.label}" if self.label else self.name)


@dataclass(frozen=True, slots=True)
class Mark:
    """A spot, photo, measuring point, anode or fitting at a place.  ``key`` as in ``spot:4``."""

    key: str
    text: str
    place: Place
    kind: Kind = "spot"
    said: str = ""


@dataclass(frozen=True, slots=True)
class LegendEntry:
    """One swatch below the picture and what it stands for."""

    text: str
    appearance: Appearance = "graded"
    condition: int = 0


@dataclass(frozen=True, slots=True)
class ViewTransform:
    """From millimetres of the scene to metres of the view, and back."""

    scale: float
    """Millimetres for a metre."""
    left: float
    top: float
    """Where (0, 0) of the view lies in the scene, mm."""

    def to_view(self, x: float, y: float) -> tuple[float, float]:
        """Return (X, Y) in metres of a point of the scene in mm."""
        return (x - self.left) / self.scale, (self.top - y) / self.scale

    def to_scene(self, x: float, y: float) -> tuple[float, float]:
        """Return the point of the scene in mm of (X, Y) in metres."""
        return self.left + x * self.scale, self.top - y * self.scale

    def all_to_scene(self, points: Array) -> Array:
        """Return points (k, 2) of the view in mm of the scene."""
        moved: Array = points * np.array([self.scale, -self.scale])
        moved += np.array([self.left, self.top])
        return moved


@dataclass(frozen=True, slots=True)
class HullPicture:
    """A scene, the way back from it to the view, and which marks were gathered into one ring."""

    scene: Scene
    transform: ViewTransform
    crowds: Mapping[str, tuple[str, ...]] = field(default_factory=lambda: MappingProxyType({}))
    """Key of a gathered ring, as in ``crowd:1``, to the keys of its marks."""


def eased(points: Array, tolerance: float = 0.015) -> Array:
    """Return a closed outline (k, 2) with fewer points, at most about ``tolerance`` mm away."""
    if len(points) < 8:
        return points
    return points[_kept(points, np.roll(points, 1, axis=0), np.roll(points, -1, axis=0), tolerance)]


def eased_line(points: Array, tolerance: float = 0.015) -> Array:
    """Return an open line (k, 2) with fewer points, at most about ``tolerance`` mm away."""
    if len(points) < 8:
        return points
    before = np.vstack([points[:1], points[:-1]])
    after = np.vstack([points[1:], points[-1:]])
    keep = _kept(points, before, after, tolerance)
    keep[0] = keep[-1] = True
    return points[keep]


def _kept(points: Array, before: Array, after: Array, tolerance: float) -> NDArray[np.bool_]:
    """Say which points to keep: corners, and along a curve as many as its bend asks for.

    The sagitta of a chord over k steps is k² times that of one, so the roots add up.
    """
    base = after - before
    length = np.hypot(base[:, 0], base[:, 1])
    offset = points - before
    twice = np.abs(base[:, 0] * offset[:, 1] - base[:, 1] * offset[:, 0])
    rise = np.where(length > 1e-9, twice / np.maximum(length, 1e-9), np.hypot(*offset.T))
    spent = np.floor(np.cumsum(np.sqrt(rise / tolerance)))
    step = np.diff(spent, prepend=-1.0) > 0
    corner = rise > 4 * tolerance
    keep: NDArray[np.bool_] = step | corner | np.roll(corner, 1) | np.roll(corner, -1)
    return keep
