"""Shafts, legs and propellers as small shapes for the views.  They carry no places."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from hulllog.hull.foils import Foil
from hulllog.hull.views import projected

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from hulllog.hull.form import HullForm

    Array = NDArray[np.float64]


def shapes(form: HullForm, view: str) -> list[Array]:
    """Return closed outlines (k, 2) of the drives in a view, in the order of painting."""
    if view == "expansion" or form.particulars.drive == "none":
        return []
    solids = _KINDS[form.particulars.drive](form)
    found = []
    for hand in form.hands:
        for solid in solids:
            points = solid[_PLANE[view]] + np.array([0.0, hand.offset, 0.0])
            found.append(projected(view, points, points[..., :2])[0])
    return found


_PLANE = {"port": 0, "starboard": 0, "bottom": 1, "stern": 2}
_Solid = tuple["Array", "Array", "Array"]


def _ring(centre: tuple[float, float, float], radii: tuple[float, float, float]) -> _Solid:
    """Return an ellipsoid's outline from the side, from below and from astern."""
    turn = np.linspace(0, 2 * np.pi, 33)[:-1]
    c, s = np.cos(turn), np.sin(turn)
    x, y, z = centre
    a, b, h = radii
    o = np.zeros_like(c)
    side = np.column_stack([x + a * c, y + o, z + h * s])
    below = np.column_stack([x + a * c, y + b * s, z + o])
    astern = np.column_stack([x + o, y + b * c, z + h * s])
    return side, below, astern


def _bar(start: tuple[float, float], end: tuple[float, float], thick: float, wide: float) -> _Solid:
    """Return a bar in the middle plane from (x, z) to (x, z)."""
    (x1, z1), (x2, z2) = start, end
    length = max(float(np.hypot(x2 - x1, z2 - z1)), 1e-9)
    nx, nz = -(z2 - z1) / length * thick / 2, (x2 - x1) / length * thick / 2
    corners = [(x1 + nx, z1 + nz), (x2 + nx, z2 + nz), (x2 - nx, z2 - nz), (x1 - nx, z1 - nz)]
    side = np.array([(x, 0.0, z) for x, z in corners])
    half = wide / 2
    low, high = min(x for x, _ in corners), max(x for x, _ in corners)
    below = np.array([(low, -half, 0), (high, -half, 0), (high, half, 0), (low, half, 0)])
    bottom, top = min(z for _, z in corners), max(z for _, z in corners)
    astern = np.array([(0, -half, bottom), (0, half, bottom), (0, half, top), (0, -half, top)])
    return side, below, astern


def _bottom(form: HullForm, x: float) -> float:
    profile = form.solved.lines.profile
    return float(np.interp(x, profile.x, profile.z))


def _station(form: HullForm, share: float) -> float:
    return form.solved.lines.profile.fore + share * form.particulars.lwl


def _propeller(x: float, z: float, radius: float) -> list[_Solid]:
    return [
        _ring((x, 0.0, z), (0.20 * radius, radius, radius)),
        _ring((x, 0.0, z), (0.30 * radius, 0.17 * radius, 0.17 * radius)),
    ]


def _shaft(form: HullForm) -> list[_Solid]:
    p, foils = form.particulars, [thing for thing in form.foils if isinstance(thing, Foil)]
    keel = next((foil for foil in foils if foil.part == "keel"), None)
    if p.keel == "long" and keel is not None:
        return _in_aperture(form, keel.middle[-1])
    radius = min(0.024 * p.lwl, 0.24 * p.draught) if p.kind == "yacht" else 0.20 * p.draught
    radius = min(radius, 0.030 * p.lwl)
    end = _before_rudders(form) - 1.1 * radius
    z = _bottom(form, end) - 1.22 * radius
    start = _leaves(form, end, z)
    root = (start, _bottom(form, start) + 0.2 * radius)
    strut = end - 0.9 * radius
    on_shaft = root[1] + (z - root[1]) * (strut - start) / (end - start)
    top = (strut - 0.25 * radius, _bottom(form, strut))
    return [
        _bar(root, (end, z), 0.16 * radius, 0.16 * radius),
        _bar(top, (strut, on_shaft), 0.34 * radius, 0.10 * radius),
        *_propeller(end, z, radius),
    ]


def _before_rudders(form: HullForm) -> float:
    """Return x abaft which skeg or rudder on the centreline leave no room for a propeller."""
    foils = [thing for thing in form.foils if isinstance(thing, Foil)]
    behind = [float(foil.middle[0, 0, 0]) for foil in foils if _is_aft(foil)]
    return min([*behind, _station(form, 0.90)])


def _is_aft(foil: Foil) -> bool:
    return foil.hand == 0 and foil.part.startswith(("skeg", "rudder"))


def _leaves(form: HullForm, end: float, z: float) -> float:
    """Return x where a shaft that rises forward from (end, z) comes out of the bottom."""
    lwl = form.particulars.lwl
    x = end - lwl * np.linspace(0.06, 0.24, 37)
    profile = form.solved.lines.profile
    under = np.interp(x, profile.x, profile.z) <= z + 0.11 * (end - x)
    return float(x[np.argmax(under)] if under.any() else x[-1])


def _in_aperture(form: HullForm, edge: Array) -> list[_Solid]:
    """Return a propeller in the trailing edge of a long keel."""
    middle = 0.42
    x = float(edge[0, 0] + middle * (edge[-1, 0] - edge[0, 0]))
    z = float(edge[0, 2] + middle * (edge[-1, 2] - edge[0, 2]))
    radius = min(0.26 * float(edge[0, 2] - edge[-1, 2]), 0.028 * form.particulars.lwl)
    if form.particulars.rudder in ("keel", "transom"):
        hole = _ring((x, 0.0, z), (0.48 * radius, 0.0, 1.18 * radius))
        return [hole, *_propeller(x, z, radius)]
    return _propeller(x + 0.4 * radius, z, radius)


def _tunnel(form: HullForm) -> list[_Solid]:
    """Return a propeller in a tunnel of the bottom that is open abaft and below."""
    p = form.particulars
    radius = min(0.20 * p.draught, 0.030 * p.lwl)
    end = _before_rudders(form) - 1.1 * radius
    z = _bottom(form, end) - 0.30 * radius
    roof, wide = z + 1.12 * radius, 1.15 * radius
    start, tail = end - 0.13 * p.lwl, min(end + 0.10 * p.lwl, form.solved.lines.profile.heel[0])
    x = np.linspace(start, tail, 40)
    bed = np.interp(x, form.solved.lines.profile.x, form.solved.lines.profile.z)
    rise = np.clip((x - start) / (0.6 * (end - start)), 0, 1)
    top = bed + np.maximum(roof - bed, 0.0) * rise * rise * (3 - 2 * rise)
    side = np.zeros((80, 3))
    side[:, 0], side[:, 2] = np.append(x, x[::-1]), np.append(top, bed[::-1])
    turn = np.linspace(-np.pi / 2, np.pi / 2, 17)
    below = np.zeros((19, 3))
    fore = np.column_stack([start + wide * (1 - np.cos(turn)), wide * np.sin(turn)])
    below[:, :2] = np.vstack([[(tail, -wide)], fore, [(tail, wide)]])
    astern = np.zeros((17, 3))
    astern[:, 1], astern[:, 2] = wide * np.sin(turn), z + wide * np.cos(turn)
    feet = np.array([(0.0, wide, _bottom(form, end)), (0.0, -wide, _bottom(form, end))])
    root = (start + 0.25 * (end - start), _bottom(form, start) + 0.35 * radius)
    return [
        (side, below, np.vstack([astern, feet])),
        _bar(root, (end, z), 0.16 * radius, 0.16 * radius),
        *_propeller(end, z, radius),
    ]


def _plate(points: list[tuple[float, float]], wide: float) -> _Solid:
    """Return an upright plate in the middle plane from its outline in x and z."""
    side = np.array([(x, 0.0, z) for x, z in points])
    (low, bottom), (high, top) = side[:, [0, 2]].min(axis=0), side[:, [0, 2]].max(axis=0)
    _, below, astern = _bar((low, bottom), (high, top), 0.0, wide)
    return side, below, astern


def _saildrive(form: HullForm) -> list[_Solid]:
    lwl = form.particulars.lwl
    radius = min(0.022 * lwl, 0.2 * form.particulars.draught)
    x = _station(form, 0.70)
    fore, aft = x - 0.75 * radius, x + 0.60 * radius
    z = _bottom(form, x) - 1.40 * radius
    leg = [
        (fore, _bottom(form, fore)), (aft, _bottom(form, aft)),
        (x + 0.42 * radius, z - 0.05 * radius), (x - 0.38 * radius, z - 0.05 * radius),
    ]  # fmt: skip
    skeg = [
        (x - 0.35 * radius, z), (x + 0.55 * radius, z),
        (x + 0.50 * radius, z - 0.62 * radius), (x + 0.15 * radius, z - 0.62 * radius),
    ]  # fmt: skip
    return [
        _plate(leg, 0.28 * radius),
        _plate(skeg, 0.10 * radius),
        _ring((x + 0.12 * radius, 0.0, z), (0.92 * radius, 0.22 * radius, 0.22 * radius)),
        *_propeller(x + 1.08 * radius, z, radius),
    ]


_LEG = np.array(
    [
        (-0.05, 0.95), (0.35, 1.00), (0.72, 0.86), (0.82, 0.60), (0.74, 0.32), (1.02, 0.28),
        (1.02, 0.21), (0.72, 0.18), (0.72, -0.05), (0.98, -0.14), (0.98, -0.30), (0.72, -0.36),
        (0.60, -0.74), (0.46, -0.72), (0.36, -0.36), (0.24, -0.28), (0.24, -0.16), (0.36, -0.06),
        (0.40, 0.20), (0.24, 0.25), (0.36, 0.34), (0.22, 0.46), (-0.05, 0.44),
    ]
)  # fmt: skip
"""An outdrive's leg from the side: x abaft the transom, z above its foot, of its size."""


def _outdrive(form: HullForm) -> list[_Solid]:
    profile = form.solved.lines.profile
    x, foot = profile.heel
    size = 0.075 * form.particulars.lwl
    leg = np.zeros((len(_LEG), 3))
    leg[:, 0], leg[:, 2] = x + size * _LEG[:, 0], min(foot, 0.0) + size * _LEG[:, 1]
    low, high = float(leg[:, 2].min()), float(leg[:, 2].max())
    _, below, astern = _bar((x - 0.05 * size, low), (x + 0.85 * size, high), 0.0, 0.24 * size)
    plate = low + 0.97 * size
    over = _bar((x + 0.25 * size, plate), (x + 1.02 * size, plate), 0.07 * size, 0.62 * size)
    hub = float(leg[:, 2].min()) + 0.52 * size
    return [(leg, below, astern), over, *_propeller(x + 1.06 * size, hub, 0.36 * size)]


_KINDS = {
    "shaft": _shaft,
    "tunnel": _tunnel,
    "saildrive": _saildrive,
    "outdrive": _outdrive,
}
