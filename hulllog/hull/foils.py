"""Keels, skegs and rudders: a middle surface between four edges, and a thickness on it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from hulllog.hull import measure

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Array = NDArray[np.float64]

CHORDWISE = 25
SPANWISE = 13


def chord_nodes(count: int = CHORDWISE) -> Array:
    """Return shares of a chord that crowd towards both edges."""
    return 0.5 * (1 - np.cos(np.linspace(0, np.pi, count)))


def span_nodes(count: int = SPANWISE) -> Array:
    """Return shares of a span that crowd towards root and tip."""
    return 0.5 * (1 - np.cos(np.linspace(0, np.pi, count)))


def half_thickness(share: Array) -> Array:
    """Return the half thickness of the four-digit NACA section at shares of the chord.

    In units of the full thickness, closed at the trailing edge.  Source: NACA Report 460 (1933),
    from memory, not checked against the text.
    """
    s = np.clip(share, 0, 1)
    return 5 * (0.2969 * np.sqrt(s) - 0.1260 * s - 0.3516 * s**2 + 0.2843 * s**3 - 0.1036 * s**4)


@dataclass(frozen=True, slots=True)
class Foil:
    """One keel, skeg or rudder: middle surface (n, m, 3) and half thickness (n, m) along y.

    Rows run along the chord from the leading edge, columns from the root to the tip.
    """

    part: str
    hand: int
    """+1 to port, -1 to starboard, 0 on the centreline."""
    middle: Array
    half: Array
    flat_sole: bool = True
    free_root: bool = False
    """Hung clear of the skin: no root section is taken off."""
    stand: float = 0.0
    """How far the sides stand off the middle of the shell expansion."""

    def face(self, sign: int) -> Array:
        """Return the points of the face that looks to port (+1) or to starboard (-1)."""
        points = self.middle.copy()
        points[..., 1] += sign * self.half
        return points

    def sole(self) -> Array:
        """Return the points of the tip section, from the face to port to that to starboard."""
        tip = self.middle[:, -1]
        across = np.array([1.0, 0.5, 0.0, -0.5, -1.0])
        points = np.repeat(tip[:, None, :], len(across), axis=1)
        points[..., 1] += across[None, :] * self.half[:, -1:]
        return points

    def volume(self) -> float:
        """Return the volume in cubic metres."""
        shift = np.zeros_like(self.middle)
        shift[..., 0], shift[..., 2] = self.middle[..., 0], self.middle[..., 2]
        shift[..., 1] = self.half
        return 2 * measure.volume_beside_centre(shift)


@dataclass(frozen=True, slots=True)
class Bulb:
    """A body at the foot of a fin: radius in z at stations x (n,), broader in y by a factor."""

    part: str
    x: Array
    radius: Array
    broad: float
    z: float
    hand: int = 0

    def face(self, sign: int) -> Array:
        """Return the points of one side, rows from nose to tail, columns from top to foot."""
        turn = np.linspace(0, np.pi, SPANWISE)
        x = np.repeat(self.x[:, None], SPANWISE, axis=1)
        y = sign * self.broad * self.radius[:, None] * np.sin(turn)[None, :]
        return np.stack([x, y, self.z + self.radius[:, None] * np.cos(turn)[None, :]], axis=-1)

    def volume(self) -> float:
        """Return the volume in cubic metres."""
        slices = np.pi * self.broad * self.radius**2
        return float((0.5 * (slices[1:] + slices[:-1]) * np.diff(self.x)).sum())


@dataclass(frozen=True, slots=True)
class Wing:
    """A wing at the foot of a keel: middle surface (n, m, 3) and half thickness (n, m) along z."""

    part: str
    hand: int
    middle: Array
    half: Array

    def face(self, sign: int) -> Array:
        """Return the points of the face that looks up (+1) or down (-1)."""
        points = self.middle.copy()
        points[..., 2] += sign * self.half
        return points

    def volume(self) -> float:
        """Return the volume in cubic metres."""
        turned = self.middle[..., [0, 2, 1]].copy()
        turned[..., 1] = self.half
        return 2 * measure.volume_beside_centre(turned)


def coons(root: Array, tip: Array, leading: Array, trailing: Array) -> Array:
    """Span a surface (n, m, 3) between root and tip (n, 3), leading and trailing edge (m, 3)."""
    u, v = chord_nodes(len(root))[:, None, None], span_nodes(len(leading))[None, :, None]
    ruled = (1 - v) * root[:, None] + v * tip[:, None]
    edged = (1 - u) * leading[None] + u * trailing[None]
    corners = (1 - v) * ((1 - u) * root[0] + u * root[-1]) + v * ((1 - u) * tip[0] + u * tip[-1])
    surface: Array = ruled + edged - corners
    return surface


def straight(start: Array, end: Array, count: int = SPANWISE) -> Array:
    """Return an edge (count, 3) from root to tip."""
    v = span_nodes(count)[:, None]
    edge: Array = (1 - v) * start + v * end
    return edge


def thickened(middle: Array, ratio: float, fillet: float = 0.25, lean: float = 1.0) -> Array:
    """Return the half thickness (n, m) along y: ``ratio`` of the chord, thicker at the root.

    ``lean`` is the cosine of the angle at which the foil is canted.
    """
    chord = middle[-1, :, 0] - middle[0, :, 0]
    v = span_nodes(middle.shape[1])
    shape = half_thickness(chord_nodes(middle.shape[0]))
    along = ratio * chord * (1 + fillet * np.exp(-v / 0.10)) / lean
    return shape[:, None] * along[None, :]


def of_breadth(middle: Array, breadth: Array, fillet: float) -> Array:
    """Return the half thickness (n, m) along y of a foil with a given breadth per column."""
    v = span_nodes(middle.shape[1])
    shape = half_thickness(chord_nodes(middle.shape[0]))
    return shape[:, None] * (breadth * (1 + fillet * np.exp(-v / 0.10)))[None, :]


def at_chord(foot: float, head: float) -> Array:
    """Return x at the chord nodes between leading edge and trailing edge."""
    return foot + (head - foot) * chord_nodes()
