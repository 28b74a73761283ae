"""Places given by tape: two distances along the skin from two marks, or a frame and a girth.

A side of a hull is a net of even meshes.  A tape runs along it from mesh to mesh, also across
several at a time, so that its length is good to about one percent.  Source: our own rule.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING, Any

import numpy as np

from hulllog.hull.patches import Patch, Place, blend
from hulllog.hull.views import inverse

if TYPE_CHECKING:
    from collections.abc import Mapping

    from numpy.typing import NDArray

    from hulllog.hull.form import HullForm

    Array = NDArray[np.float64]
    Given = Mapping[str, Any]

MARKS = ("stem", "stern", "keel_fore", "keel_aft", "rudder")
"""Marks that a hull has: the stem at the waterline, the aft end of the centreline, and where the
edges of keel and rudder meet the hull.  Besides them a mark may be ``own``, with its place."""
WAYS = ("tape", "frame")
_ROWS, _COLUMNS, _REACH = 120, 40, 4
_SAME = 0.01
"""Metres within which two meetings of the tapes are one."""
_EDGES = (("keel_fore", "keel", 0), ("keel_aft", "keel", -1), ("rudder", "rudder", 0))
"""Mark, part, and which row of its face: the leading or the trailing edge."""
_OFF = 0.3
"""Metres that the edge of a rudder may lie off the hull and still be a mark on it."""


class TapeError(ValueError):
    """What was given leads to no place; ``code`` tells why.

    ``tape_no_side``, ``tape_no_mark``, ``tape_same_mark``, ``tape_apart``, ``tape_twice``,
    ``frame_outside``, ``girth_outside``.
    """

    def __init__(self, code: str, **values: object) -> None:
        super().__init__(code)
        self.code, self.values = code, values


@dataclass(frozen=True, slots=True)
class _Net:
    """A side of a hull in even meshes, and how far it is from knot to knot by each step."""

    patch: Patch
    u: Array
    v: Array
    xyz: Array
    steps: tuple[tuple[int, int, Array], ...]
    """(rows, columns, length of the step from each knot that has one)."""


def sides(form: HullForm) -> list[tuple[str, str]]:
    """Return the part and face of each side on which a tape can be laid."""
    return [(patch.part, patch.face) for patch in form.patches if patch.kind == "hull"]


def marks(form: HullForm, part: str, face: str) -> dict[str, Place]:
    """Return the marks of a side by their codes, each with its place on that side."""
    patch = form.patch(part, face)
    found = {"stem": Place(part, face, 0.0, 1.0), "stern": Place(part, face, 1.0, 0.0)}
    hand = part.removeprefix("hull").removeprefix("-") or face
    for code, foil, row in _EDGES:
        names = foil, f"{foil}-{hand}"
        root = next((one for one in form.patches if one.part in names and one.kind == "foil"), None)
        if root is not None:
            place, off = _nearest(patch, root.xyz[row, 0])
            if off <= _OFF:
                found[code] = place
    return {code: found[code] for code in MARKS if code in found}


def _nearest(patch: Patch, point: Array) -> tuple[Place, float]:
    """Return the place of a face that is nearest to a point, and how far off that is."""
    far = np.linalg.norm(patch.xyz - point, axis=2)
    i, j = np.unravel_index(int(far.argmin()), far.shape)
    u, v, step = float(patch.u[i]), float(patch.v[j]), 0.02
    best = float(far[i, j])
    while step > 1e-6:
        around = np.array([(u, v)] + [
            (min(max(u + a * step, 0.0), 1.0), min(max(v + 2 * b * step, 0.0), 2.0))
            for a in (-1, 0, 1) for b in (-1, 0, 1)
        ])  # fmt: skip
        off = np.linalg.norm(patch.at(around[:, 0], around[:, 1]) - point, axis=1)
        n = int(off.argmin())
        if off[n] < best - 1e-12:
            (u, v), best = (float(one) for one in around[n]), float(off[n])
        else:
            step /= 2
    return Place(patch.part, patch.face, u, v), best


def place(form: HullForm, given: Given) -> Place:
    """Return the place that was given by tape or by frame.  Raises TapeError.

    ``given`` holds ``by``, ``part`` and ``face``; by tape two ``tapes`` with a ``mark`` and its
    distance ``m``, and where they meet twice which one, ``higher`` or not; by frame ``along``
    aft from the stem at the waterline and ``girth`` up from the centreline, each with its ``m``.
    """
    side = str(given["part"]), str(given["face"])
    if side not in sides(form):
        raise TapeError("tape_no_side")
    if given["by"] == "frame":
        return _by_frame(form, *side, float(given["along"]["m"]), float(given["girth"]["m"]))
    one, other = given["tapes"]
    starts = [_start(form, side, tape) for tape in (one, other)]
    if starts[0] == starts[1]:
        raise TapeError("tape_same_mark")
    fields = [_distances(form, start) for start in starts]
    met = _meetings(_net(form, *side), fields, float(one["m"]), float(other["m"]))
    if not met:
        raise TapeError("tape_apart")
    if len(met) > 1 and given.get("higher") is None:
        raise TapeError("tape_twice")
    return met[-1] if given.get("higher") else met[0]


def _start(form: HullForm, side: tuple[str, str], tape: Mapping[str, Any]) -> Place:
    if tape["mark"] != "own":
        found = marks(form, *side).get(str(tape["mark"]))
        if found is None:
            raise TapeError("tape_no_mark", mark=tape["mark"])
        return found
    part, face, u, v = tape["place"]
    if (part, face) != side:
        raise TapeError("tape_no_mark", mark="own")
    return Place(str(part), str(face), float(u), float(v))


def tapes(form: HullForm, place: Place, marked: tuple[Place, Place]) -> tuple[float, float]:
    """Return how long two tapes are from marks to a place on the same side, metres."""
    row, column = _knot(place)
    one, other = (
        float(blend(_distances(form, mark)[..., None], row, column)[0, 0]) for mark in marked
    )
    return one, other


def frame(form: HullForm, place: Place) -> tuple[float, float]:
    """Return how far aft of the stem at the waterline a place lies, and its girth, metres."""
    patch = form.patch(place.part, place.face)
    x = float(patch.at(place.u, place.v)[0, 0])
    v, _, length = _section(patch, x)
    if not len(v):
        raise TapeError("frame_outside")
    return x - _stem(patch), float(np.interp(place.v, v, length))


def _stem(patch: Patch) -> float:
    return float(patch.at(0.0, 1.0)[0, 0])


def _section(patch: Patch, x: float) -> tuple[Array, Array, Array]:
    """Return where a frame cuts the columns: v, u and the girth from the centreline."""
    ahead = patch.xyz[..., 0] < x
    cut = ahead.any(axis=0) & ~ahead.all(axis=0)
    columns = np.flatnonzero(cut)
    u = np.array([np.interp(x, patch.xyz[:, j, 0], patch.u) for j in columns])
    points = patch.at(u, patch.v[columns]) if len(columns) else np.zeros((0, 3))
    step = np.linalg.norm(np.diff(points, axis=0), axis=1)
    return patch.v[columns], u, np.concatenate([[0.0], np.cumsum(step)])[: len(columns)]


def _by_frame(form: HullForm, part: str, face: str, along: float, girth: float) -> Place:
    patch = form.patch(part, face)
    v, u, length = _section(patch, _stem(patch) + along)
    if len(v) < 2:
        raise TapeError("frame_outside")
    if not 0 <= girth <= length[-1] + 1e-9:
        raise TapeError("girth_outside", high=float(length[-1]), unit="m")
    return Place(part, face, float(np.interp(girth, length, u)), float(np.interp(girth, length, v)))


# The net


def _net(form: HullForm, part: str, face: str) -> _Net:
    return form.remembered(f"net {part} {face}", lambda: _knotted(form.patch(part, face)))


def _knotted(patch: Patch) -> _Net:
    u, v = np.linspace(0, 1, _ROWS + 1), np.linspace(0, 2, _COLUMNS + 1)
    rows, columns = patch.cell(np.repeat(u, len(v)), np.tile(v, len(u)))
    xyz = blend(patch.xyz, rows, columns).reshape(len(u), len(v), 3)
    return _Net(patch, u, v, xyz, tuple(_steps(xyz)))


def _steps(xyz: Array) -> list[tuple[int, int, Array]]:
    return [
        (a, b, _lengths(xyz, a, b))
        for a in range(_REACH + 1)
        for b in range(-_REACH, _REACH + 1)
        if math.gcd(a, abs(b)) == 1 and (a > 0 or b > 0)
    ]


def _lengths(xyz: Array, a: int, b: int) -> Array:
    """Return the lengths of the steps by a rows and b columns, followed mesh by mesh."""
    rows, columns = xyz.shape[:2]
    i = np.arange(rows - a)
    j = np.arange(max(0, -b), columns - max(0, b))
    starts_i, starts_j = (one.ravel() for one in np.meshgrid(i, j, indexing="ij"))
    count = max(a, abs(b))
    points = [
        blend(xyz, starts_i + a * k / count, starts_j + b * k / count) for k in range(count + 1)
    ]
    total = sum(np.linalg.norm(far - near, axis=1) for near, far in pairwise(points))
    return np.asarray(total).reshape(len(i), len(j))


def _knot(place: Place) -> tuple[Array, Array]:
    return np.array([place.u * _ROWS]), np.array([place.v / 2 * _COLUMNS])


def _distances(form: HullForm, mark: Place) -> Array:
    """Return how far each knot of the net of a side is from a mark, along the skin."""
    net = _net(form, mark.part, mark.face)
    return form.remembered(f"tape {mark}", lambda: _laid(net, mark))


def _laid(net: _Net, mark: Place) -> Array:
    far = np.full(net.xyz.shape[:2], np.inf)
    row, column = (float(one[0]) for one in _knot(mark))
    i = np.arange(max(0, math.floor(row) - _REACH), min(_ROWS, math.ceil(row) + _REACH) + 1)
    j = np.arange(
        max(0, math.floor(column) - _REACH), min(_COLUMNS, math.ceil(column) + _REACH) + 1
    )
    ends_i, ends_j = (one.ravel() for one in np.meshgrid(i, j, indexing="ij"))
    points = [
        blend(net.xyz, row + (ends_i - row) * k / 6, column + (ends_j - column) * k / 6)
        for k in range(7)
    ]
    near = sum(np.linalg.norm(b - a, axis=1) for a, b in pairwise(points))
    far[ends_i, ends_j] = near
    while True:
        before = far.copy()
        for a, b, length in net.steps:
            start = far[: _ROWS + 1 - a, max(0, -b) : _COLUMNS + 1 - max(0, b)]
            end = far[a:, max(0, b) : _COLUMNS + 1 - max(0, -b)]
            np.minimum(end, start + length, out=end)
            np.minimum(start, end + length, out=start)
        if np.array_equal(before, far):
            return far


def _meetings(net: _Net, fields: list[Array], one: float, other: float) -> list[Place]:
    """Return where two tapes meet on a side, the lowest first."""
    both = np.stack(fields, axis=-1)
    corners = np.stack([both[:-1, :-1], both[:-1, 1:], both[1:, :-1], both[1:, 1:]], axis=2)
    point = np.array([one, other])
    inside = (corners.min(axis=2) <= point + 1e-9) & (corners.max(axis=2) >= point - 1e-9)
    i, j = np.nonzero(inside.all(axis=2))
    if not len(i):
        return []
    w, f, good = inverse(corners[i, j], point)
    found: list[tuple[float, float]] = []
    for row, column in zip((i + w)[good].tolist(), (j + f)[good].tolist(), strict=True):
        here = _at(net, row, column)
        if all(float(np.linalg.norm(here - _at(net, *known))) > _SAME for known in found):
            found.append((row, column))
    found.sort(key=lambda at: at[1])
    side = net.patch.part, net.patch.face
    return [Place(*side, row / _ROWS, 2 * column / _COLUMNS) for row, column in found]


def _at(net: _Net, row: float, column: float) -> Array:
    point: Array = blend(net.xyz, np.array([row]), np.array([column]))[0]
    return point
