"""What is drawn of a boat in a view: zones as polygons, silhouettes and lines, with their layers.

Points are (X, Y) of the view in metres.  What has a higher layer is nearer to the viewer.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING

import numpy as np

from hulllog.hull import drives, surface, zones
from hulllog.hull.views import projected

if TYPE_CHECKING:
    from collections.abc import Iterable

    from numpy.typing import NDArray

    from hulllog.hull.form import HullForm
    from hulllog.hull.patches import Patch, Place
    from hulllog.hull.zones import Piece, ZoneOutline

    Array = NDArray[np.float64]

FAR, BODY, OVER, NEAR, DRIVE = 0, 10, 20, 30, 25
_CROWDED = np.linspace(0, 1, 60) ** 2
"""Shares of the height that crowd to the foot, where a section is flat."""


@dataclass(frozen=True, slots=True)
class Shape:
    """A closed outline of a part or a piece of a zone in a view."""

    name: str
    layer: int
    points: Array


@dataclass(frozen=True, slots=True)
class Line:
    """An open line in a view: waterline, chine, centre, plank, sheer, or root of a foil."""

    kind: str
    layer: int
    points: Array


def zone_shapes(form: HullForm, view: str, outline: ZoneOutline) -> list[Shape]:
    """Return what is seen of a zone in a view; empty where it cannot be seen."""
    found = []
    for piece in outline.pieces:
        patch = form.patch(piece.part, piece.face)
        layer = layer_of(form, view, patch)
        if layer is None:
            continue
        points = form.remembered(
            f"shape {view} {piece}", partial(_piece_points, form, view, piece, patch)
        )
        if len(points) >= 3:
            found.append(Shape(outline.code, layer + _above(view, piece), points))
    return found


def _above(view: str, piece: Piece) -> int:
    """Return what a piece adds to its layer: from below, the bottom lies over the topsides."""
    if view != "bottom":
        return 0
    low = piece.low
    while "between" in low:
        low = low["between"][0]
    return 0 if "z" in low or "upper" in low else 1


def layer_of(form: HullForm, view: str, patch: Patch) -> int | None:
    """Return the layer of a face in a view, None where it is not seen."""
    if view == "expansion":
        return BODY
    if patch.kind == "wing":
        return _of_wing(view, patch)
    if view in ("port", "starboard"):
        return _beside(form, 1 if view == "port" else -1, patch)
    if patch.kind == "hull":
        return BODY
    if patch.kind == "transom":
        leaning = patch.xyz[0, -1, 0] > patch.xyz[0, 0, 0] + 1e-3
        return OVER if view == "stern" else (FAR if leaning else None)
    if view == "stern":
        return None if patch.kind == "sole" else _astern(patch)
    if patch.kind in ("sole", "bulb"):
        return NEAR + 1
    return NEAR if patch.face in ("port", "starboard") or _looks_down(patch) else None


def _of_wing(view: str, patch: Patch) -> int | None:
    """Return the layer of a wing: from below its under face, from the side the nearer one."""
    if view == "bottom":
        return NEAR + 1 if patch.face == "under" else None
    if patch.face == "under":
        return None
    if view == "stern":
        return FAR + 3
    return NEAR if _hand(patch.part) == (1 if view == "port" else -1) else None


def _astern(patch: Patch) -> int:
    if patch.kind == "bulb":
        return FAR + 3
    behind = patch.part.startswith(("rudder", "skeg"))
    return NEAR + (2 if patch.part.startswith("rudder") else 1) if behind else FAR + 2


def _beside(form: HullForm, sign: int, patch: Patch) -> int | None:
    if patch.side != sign:
        return None
    hand = 0 if patch.kind == "hull" and len(form.hands) == 1 else _hand(patch.part) * sign
    if hand < 0:
        return FAR if patch.kind != "hull" else FAR + 5
    if patch.kind == "hull":
        return BODY
    return NEAR if hand > 0 else OVER + (patch.kind == "bulb")


def _hand(part: str) -> int:
    return 1 if part.endswith("-port") else -1 if part.endswith("-starboard") else 0


def _looks_down(patch: Patch) -> bool:
    one = patch.xyz[1:, 1:] - patch.xyz[:-1, :-1]
    other = patch.xyz[1:, :-1] - patch.xyz[:-1, 1:]
    normal = np.cross(one, other).sum(axis=(0, 1))
    return bool(normal[2] * np.sign(normal[1]) * patch.side < 0)


def _as_hull(view: str, patch: Patch) -> bool:
    """Say if a face is seen so nearly edge-on that its convex hull stands for it."""
    if patch.kind == "wing":
        return view in ("port", "starboard", "stern")
    return patch.kind in ("foil", "bulb") and view in ("bottom", "stern")


def _piece_points(form: HullForm, view: str, piece: Piece, patch: Patch) -> Array:
    if _as_hull(view, patch):
        points, _ = projected(view, patch.xyz, patch.flat)
        return convex(points.reshape(-1, 2))
    u0, u1 = piece.u0, piece.u1
    if patch.kind == "hull" and view == "stern":
        u0 = max(u0, broadest(form))
        if u0 >= u1:
            return np.empty((0, 2))
    _, low, high = zones.edges(form, piece)
    return _around(view, patch, u0, u1, low, high)


def broadest(form: HullForm) -> float:
    """Return u of the row that stands for the greatest breadth when seen from astern."""
    return float(form.skin.u[int(np.argmax(form.skin.xyz[:, form.skin.water, 1]))])


def _around(view: str, patch: Patch, u0: float, u1: float, low: Array, high: Array) -> Array:
    """Return the outline of a piece: along the lower edge, up, back along the upper, down."""
    inner = np.flatnonzero((patch.u > u0) & (patch.u < u1))
    u = np.concatenate([[u0], patch.u[inner], [u1]])
    rows = np.concatenate([[_row(patch, u0)], inner, [_row(patch, u1)]])
    at = np.arange(len(patch.u))
    lows, highs = np.interp(rows, at, low), np.interp(rows, at, high)
    ends = [_side(patch, a, b) for a, b in ((lows[-1], highs[-1]), (lows[0], highs[0]))]
    row = np.concatenate(
        [rows, np.full(len(ends[0]), rows[-1]), rows[::-1], np.full(len(ends[1]), rows[0])]
    )
    v = np.concatenate([lows, ends[0], highs[::-1], ends[1][::-1]])
    del u
    column = np.interp(v, patch.v, np.arange(len(patch.v)))
    xyz, flat = (_blend(f, row, column) for f in (patch.xyz, patch.flat))
    return _thinned(projected(view, xyz, flat)[0])


def _row(patch: Patch, u: float) -> float:
    return float(patch.cell(np.array([u]), np.array([0.0]))[0][0])


def _side(patch: Patch, low: float, high: float) -> Array:
    inner: Array = patch.v[(patch.v > low) & (patch.v < high)]
    return inner


def _blend(field: Array, row: Array, column: Array) -> Array:
    from hulllog.hull.patches import blend

    return blend(field, row, column)


def _thinned(points: Array, tolerance: float = 1e-6) -> Array:
    """Return points without repeats."""
    if len(points) < 2:
        return points
    keep = np.concatenate([[True], np.abs(np.diff(points, axis=0)).max(axis=1) > tolerance])
    kept: Array = points[keep]
    return kept


def convex(points: Array) -> Array:
    """Return the convex hull of points (k, 2), counter-clockwise, to a thousandth of a mm."""
    order = np.unique(np.round(points, 6) + 0.0, axis=0)
    lower, upper = _chain(order), _chain(order[::-1])
    return np.array(lower[:-1] + upper[:-1])


def _chain(points: Array) -> list[tuple[float, float]]:
    chain: list[tuple[float, float]] = []
    for x, y in points.tolist():
        while len(chain) > 1:
            (ax, ay), (bx, by) = chain[-2], chain[-1]
            if (bx - ax) * (y - ay) - (by - ay) * (x - ax) > 1e-12:
                break
            chain.pop()
        chain.append((x, y))
    return chain


def silhouettes(form: HullForm, view: str) -> list[Shape]:
    """Return the outlines of the parts seen in a view, each to be filled before its zones."""
    return form.remembered(f"silhouettes {view}", lambda: _silhouettes(form, view))


def _silhouettes(form: HullForm, view: str) -> list[Shape]:
    found = []
    for patch in form.patches:
        layer = layer_of(form, view, patch)
        if layer is None:
            continue
        if patch.kind == "hull" and view == "stern":
            continue
        if _as_hull(view, patch):
            points = convex(projected(view, patch.xyz, patch.flat)[0].reshape(-1, 2))
        else:
            points = _frame(view, patch)
        found.append(Shape(patch.part, layer, points))
    if view == "stern":
        found += [Shape("hull", BODY, _envelope(form, hand.offset)) for hand in form.hands]
        found += [Shape("bow", FAR, line.points) for line in _sheers(form)]
    if len(form.hands) == 2 and view in ("bottom", "stern"):
        found.append(Shape("bridge", FAR - 1, _bridge(form, view)))
    return found + [Shape("drive", DRIVE, points) for points in drives.shapes(form, view)]


def _bridge(form: HullForm, view: str) -> Array:
    """Return the bridge between two hulls as a plain rectangle; it has no places."""
    half = form.hands[0].offset
    if view == "bottom":
        x1, x2 = 0.30 * form.particulars.length, 0.88 * form.particulars.length
        return np.array([(x1, -half), (x2, -half), (x2, half), (x1, half)])
    top = float(form.skin.xyz[-1, -1, 2])
    low = 0.50 * top
    return np.array([(-half, low), (half, low), (half, 0.97 * top), (-half, 0.97 * top)])


def _frame(view: str, patch: Patch) -> Array:
    points, _ = projected(view, patch.xyz, patch.flat)
    if patch.kind == "hull" and view == "bottom":
        side = np.abs(patch.xyz[..., 1] - patch.xyz[0, 0, 1])
        rows = np.arange(len(points))
        outer = points[rows, side.shape[1] - 1 - np.argmax(side[:, ::-1], axis=1)]
        return _thinned(np.vstack([points[0, 0][None], points[0, ::1], outer, points[-1, ::-1]]))
    ring = [points[:, 0], points[-1], points[::-1, -1], points[0, ::-1]]
    return _thinned(np.vstack(ring))


def _envelope(form: HullForm, offset: float) -> Array:
    """Return the outline of a hull from astern: breadth at each height, sheer aft, transom top."""
    xyz = form.skin.xyz
    broad = int(np.argmax(xyz[:, -1, 1]))
    top = float(xyz[broad, -1, 2])
    rows = xyz[form.skin.u >= 0.35]
    z = float(rows[..., 2].min()) + (top - float(rows[..., 2].min())) * _CROWDED
    breadth = np.zeros_like(z)
    for row in rows:
        breadth = np.maximum(breadth, np.interp(z, row[:, 2], row[:, 1], left=0.0, right=0.0))
    side = np.vstack([np.column_stack([breadth, z]), xyz[broad:, -1, 1:]])
    ring: Array = np.vstack([side, side[::-1] * np.array([-1.0, 1.0])]) + np.array([-offset, 0.0])
    return ring


def lines(form: HullForm, view: str) -> list[Line]:
    """Return the lines that are drawn over the zones of a view."""
    found: list[Line] = []
    for patch in form.patches:
        if patch.kind != "hull" or layer_of(form, view, patch) is None:
            continue
        if view in ("bottom", "expansion"):
            found += _plan_lines(form, view, patch)
        if view != "stern":
            found += _chines(form, view, patch) + _planks(form, view, patch)
    if view in ("port", "starboard", "stern"):
        low, high, _, _ = bounds(form, view)
        more = 0.035 * (high - low)
        ends = np.array([(low - more, 0.0), (high + more, 0.0)])
        found.append(Line("waterline", NEAR + 5, ends))
    if view == "stern":
        found += _sheers(form)
    return found


def _points(view: str, patch: Patch, column: int) -> Array:
    points, _ = projected(view, patch.xyz[:, column], patch.flat[:, column])
    return points


def _plan_lines(form: HullForm, view: str, patch: Patch) -> Iterable[Line]:
    wet = form.skin.xyz[:, 0, 2] <= 1e-9
    yield Line("waterline", BODY + 5, _points(view, patch, form.skin.water)[wet])
    if patch.side > 0:
        yield Line("centre", BODY + 4, _points(view, patch, 0))
    if view == "expansion":
        yield from _roots(form, patch)


def _roots(form: HullForm, patch: Patch) -> Iterable[Line]:
    for print_ in form.footprints:
        if (print_.part, print_.face) != (patch.part, patch.face):
            continue
        rows = np.flatnonzero(print_.high > print_.low + 1e-6)
        if len(rows) < 2:
            continue
        rows = np.arange(max(rows[0] - 1, 0), min(rows[-1] + 2, len(patch.u)))
        nodes = np.arange(len(patch.v))
        ring = np.concatenate([rows, rows[::-1]]).astype(float)
        v = np.concatenate([print_.low[rows], print_.high[rows][::-1]])
        points = _blend(patch.flat, ring, np.interp(v, patch.v, nodes))
        yield Line("root", BODY + 4, points)


def _chines(form: HullForm, view: str, patch: Patch) -> list[Line]:
    low = form.skin.chine_low
    if low is None:
        return []
    piece = len(patch.v) // 4
    points, _ = projected(view, patch.xyz, patch.flat)
    column = np.where(low, piece, 3 * piece)
    return [Line("chine", BODY + 4, points[np.arange(len(low)), column])]


def _planks(form: HullForm, view: str, patch: Patch) -> list[Line]:
    if form.particulars.planking != "clinker":
        return []
    length = surface.girth(patch.xyz)
    points, _ = projected(view, patch.xyz, patch.flat)
    wanted = length[:, -1:] * np.arange(1, 8) / 8
    x, y = surface.along(length, wanted, points[..., 0], points[..., 1])
    return [Line("plank", BODY + 2, np.column_stack([x[:, k], y[:, k]])) for k in range(7)]


def _sheers(form: HullForm) -> list[Line]:
    edge = form.skin.xyz[:, -1]
    fore = edge[: int(np.argmax(edge[:, 1])) + 1]
    found = []
    for hand in form.hands:
        both = np.vstack([fore[::-1], fore * np.array([1.0, -1.0, 1.0])])
        both = both + np.array([0.0, hand.offset, 0.0])
        found.append(Line("sheer", FAR + 1, np.column_stack([-both[:, 1], both[:, 2]])))
    return found


def along(form: HullForm, view: str) -> tuple[float, float]:
    """Return the least and the greatest X of her hulls in a view, metres: the ends of a rule."""
    ends = [
        float(x)
        for shape in silhouettes(form, view)
        if shape.name.startswith(("hull", "port", "starboard"))
        for x in (shape.points[:, 0].min(), shape.points[:, 0].max())
    ]
    return min(ends), max(ends)


def bounds(form: HullForm, view: str) -> tuple[float, float, float, float]:
    """Return the least and greatest X, the least and greatest Y of a view, in metres."""
    seen = [shape.points for shape in silhouettes(form, view)]
    if view == "stern":
        seen += [line.points for line in _sheers(form)]
    points = np.vstack(seen)
    low, high = points.min(axis=0), points.max(axis=0)
    return float(low[0]), float(high[0]), float(low[1]), float(high[1])


def is_seen(form: HullForm, view: str, place: Place) -> bool:
    """Say if the face a place lies on is seen in a view, and the place not behind the boat."""
    seen_from = form.remembered(f"seen {view}", lambda: _seen_from(form, view))
    least = seen_from.get((place.part, place.face))
    return least is not None and place.u >= least


def _seen_from(form: HullForm, view: str) -> dict[tuple[str, str], float]:
    """Return the faces seen in a view, and the least u that is not behind the boat."""
    return {
        (patch.part, patch.face): (
            broadest(form) if view == "stern" and patch.kind == "hull" else 0.0
        )
        for patch in form.patches
        if layer_of(form, view, patch) is not None
    }
