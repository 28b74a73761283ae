"""What a picture of the hull is asked for, and how a view is laid on the page."""

from __future__ import annotations

from dataclasses import dataclass, field
from types import MappingProxyType
from typing import TYPE_CHECKING, Literal

import numpy as np

from hulllog.drawing.scene import Path, Style
from hulllog.drawing.shapes import hatch

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

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


def unlooked(
    shape: Path, spacing: float, edge: Sequence[Path], key: str = "", *, labelled: bool = False
) -> list[Path]:
    """Draw what nobody looked at: grey, and crossed over so that print without colour tells it.

    A zone with a label stays grey alone: the lines would cross out its letters.
    """
    ground = Path(shape.ops, Style(stroke=None, fill="unlooked"), key)
    lines = Style(stroke="edge", width=0.16)
    crossed = [] if labelled else [hatch(shape, spacing, lines, key, angle=a) for a in (45, -45)]
    return [ground, *crossed, *edge]


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
    """Return a closed outline (k, 2) with fewer points, none left out over ``tolerance`` mm off."""
    if len(points) < 8:
        return points
    far = int(np.argmax(np.hypot(*(points - points[0]).T)))
    ring = np.vstack([points, points[:1]])
    return ring[_kept(ring, [0, far, len(points)], tolerance)][:-1]


def eased_line(points: Array, tolerance: float = 0.015) -> Array:
    """Return an open line (k, 2) with fewer points, none left out over ``tolerance`` mm off."""
    if len(points) < 8:
        return points
    return points[_kept(points, [0, len(points) - 1], tolerance)]


def _kept(points: Array, ends: list[int], tolerance: float) -> NDArray[np.bool_]:
    """Say which points to keep: the farthest of each stretch that strays too far, and so on."""
    count = len(points)
    keep = np.zeros(count, dtype=bool)
    keep[ends] = True
    while True:
        nodes = np.flatnonzero(keep)
        start = np.repeat(nodes[:-1], np.diff(nodes))
        base = np.repeat(points[nodes[1:]] - points[nodes[:-1]], np.diff(nodes), axis=0)
        offset = points[:-1] - points[start]
        length = np.hypot(base[:, 0], base[:, 1])
        twice = np.abs(base[:, 0] * offset[:, 1] - base[:, 1] * offset[:, 0])
        away = np.where(length > 1e-9, twice / np.maximum(length, 1e-9), np.hypot(*offset.T))
        worst = np.maximum.reduceat(away, nodes[:-1])
        if worst.max() <= tolerance:
            return keep
        over = (away > tolerance) & (away >= np.repeat(worst, np.diff(nodes)))
        keep[:-1] |= over
