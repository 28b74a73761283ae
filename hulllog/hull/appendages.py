"""Which keels, skegs and rudders a boat has, and their shapes.  Our own rule, tuned by eye.

Chords and stations are shares of the waterline length, taken from its fore end.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from hulllog.hull import foils
from hulllog.hull.foils import Bulb, Foil, Wing, coons, straight, thickened

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from hulllog.hull.particulars import Particulars
    from hulllog.hull.profile import Profile
    from hulllog.hull.surface import Skin

    Array = NDArray[np.float64]

_CANT = math.radians(14.0)


_CORNER = 0.54
"""Where the tangents of a long keel's fore edge meet, of the way along it."""


@dataclass(frozen=True, slots=True)
class Fin:
    """A keel of two straight edges: chords, sweep of the leading edge, middle of the root."""

    root: float
    tip: float
    sweep: float
    middle: float
    thickness: float


FINS = {
    "fin": Fin(0.215, 0.145, 22.0, 0.50, 0.125),
    "bulb": Fin(0.150, 0.110, 6.0, 0.50, 0.125),
    "wing": Fin(0.250, 0.200, 26.0, 0.50, 0.125),
    "twin": Fin(0.200, 0.145, 22.0, 0.50, 0.100),
    "lifting": Fin(0.170, 0.100, 30.0, 0.47, 0.045),
}


@dataclass(frozen=True, slots=True)
class Site:
    """What foils are fitted to: one hull, about its own middle plane."""

    p: Particulars
    profile: Profile
    skin: Skin
    half_beam: float

    def station(self, share: float) -> float:
        """Return x at a share of the waterline length."""
        return self.profile.fore + share * self.p.lwl

    def bottom(self, x: Array) -> Array:
        """Return points of the centreline at x, shape (n, 3)."""
        z = np.interp(x, self.profile.x, self.profile.z)
        return np.column_stack([x, np.zeros_like(x), z])

    def shelf(self, x: Array, y: float) -> Array:
        """Return points of the skin at x and a distance y off the middle plane, shape (n, 3)."""
        line = level_line(self.skin.xyz, y)
        z = np.interp(x, line[:, 0], line[:, 2])
        return np.column_stack([x, np.full_like(x, y), z])


def level_line(xyz: Array, y: float) -> Array:
    """Return where the rows of a skin pass a distance y off the middle plane, shape (n, 3)."""
    breadth = xyz[..., 1]
    inside = breadth < y
    first = np.argmin(inside, axis=1)
    rows = np.flatnonzero(~inside.all(axis=1) & (first > 0))
    j = first[rows]
    low, high = breadth[rows, j - 1], breadth[rows, j]
    w = ((y - low) / (high - low))[:, None]
    line: Array = xyz[rows, j - 1] * (1 - w) + xyz[rows, j] * w
    return line


def keels(site: Site) -> list[Foil | Bulb | Wing]:
    """Return the keels, that to port first."""
    keel = site.p.keel
    if keel == "none":
        return []
    if keel == "long":
        return [_long(site)]
    fin = FINS[keel]
    if keel == "twin":
        return [_canted("keel-port", fin, site, 1), _canted("keel-starboard", fin, site, -1)]
    tip_z = -site.p.draught
    if keel == "bulb":
        tip_z += 1.5 * _bulb_radius(site)
    keel_foil = _fin("keel", fin, site, tip_z)
    if keel == "bulb":
        return [keel_foil, _bulb(site, keel_foil)]
    if keel == "wing":
        return [keel_foil, _wing(site, keel_foil, 1), _wing(site, keel_foil, -1)]
    return [keel_foil]


def _fin(part: str, fin: Fin, site: Site, tip_z: float) -> Foil:
    lwl = site.p.lwl
    fore = site.station(fin.middle - fin.root / 2)
    root = site.bottom(foils.at_chord(fore, fore + fin.root * lwl))
    drop = root[0, 2] - tip_z
    start = fore + drop * math.tan(math.radians(fin.sweep))
    x = foils.at_chord(start, start + fin.tip * lwl)
    tip = np.column_stack([x, np.zeros_like(x), np.full_like(x, tip_z)])
    middle = coons(root, tip, straight(root[0], tip[0]), straight(root[-1], tip[-1]))
    half = thickened(middle, fin.thickness)
    if site.p.keel == "bulb":
        return Foil(part, 0, middle, half, flat_sole=False, stand=3.4 * _bulb_radius(site))
    return Foil(part, 0, middle, half)


def _canted(part: str, fin: Fin, site: Site, hand: int) -> Foil:
    lwl, y = site.p.lwl, 0.24 * 2 * site.half_beam
    fore = site.station(fin.middle - fin.root / 2)
    root = site.shelf(foils.at_chord(fore, fore + fin.root * lwl), y)
    drop = float(root[0, 2]) + site.p.draught
    start = fore + drop * math.tan(math.radians(fin.sweep)) / math.cos(_CANT)
    x = foils.at_chord(start, start + fin.tip * lwl)
    out = y + (float(root[:, 2].mean()) + site.p.draught) * math.tan(_CANT)
    tip = np.column_stack([x, np.full_like(x, out), np.full_like(x, -site.p.draught)])
    middle = coons(root, tip, straight(root[0], tip[0]), straight(root[-1], tip[-1]))
    half = thickened(middle, fin.thickness, lean=math.cos(_CANT))
    middle[..., 1] *= hand
    return Foil(part, hand, middle, half)


def _long(site: Site) -> Foil:
    """Return a long keel whose fore edge leaves the bottom at a tangent."""
    draught, lwl = site.p.draught, site.p.lwl
    heel = np.array([_heel_of_long(site), 0.0, -draught])
    first = np.array([site.station(0.50), 0.0, -0.915 * draught])
    deepest = float(site.profile.z.min())
    first[2] = min(first[2], deepest - 0.15 * (draught + deepest))
    for share in np.linspace(0, 0.6, 7):
        # Further aft where she is so deep forward that the edge would turn into a knuckle.
        knee = first + share * (heel - first)
        leave, corner = _tangent(site, knee, heel)
        if corner[0] - leave[0] <= (_CORNER + 0.05) * (knee[0] - leave[0]):
            break
    edge = _curve(leave, corner, knee)
    root = site.bottom(foils.at_chord(leave[0], _end_of_long(site)))
    span = foils.chord_nodes(len(root))[:, None]
    tip = (1 - span) * knee + span * heel
    v = 17
    along = np.linspace(0, 1, len(edge))
    nodes = foils.span_nodes(v)
    leading = np.column_stack([np.interp(nodes, along, edge[:, k]) for k in range(3)])
    middle = coons(root, tip, leading, straight(root[-1], heel, v))
    broad = 0.055 * 2 * site.half_beam * (1 - 0.25 * nodes) * np.minimum(1.0, lwl / 4)
    return Foil("keel", 0, middle, foils.of_breadth(middle, broad, 0.9))


def _heel_of_long(site: Site) -> float:
    """Return x of the heel of a long keel: further aft where the sternpost bears the rudder."""
    if site.p.rudder == "transom":
        return max(site.station(0.80), _end_of_long(site) - 0.35 * site.p.draught)
    return site.station(0.80)


def _end_of_long(site: Site) -> float:
    """Return x where a long keel ends on the bottom: at what the rudder hangs on."""
    if site.p.rudder == "transom":
        return min(site.profile.heel[0], site.station(1.15))
    return site.station(0.93 if site.p.rudder == "keel" else 0.86)


def _tangent(site: Site, knee: Array, heel: Array) -> tuple[Array, Array]:
    """Return the point of the bottom where the edge of a long keel leaves it, and its corner."""
    x, z = site.profile.x, site.profile.z
    use = slice(0, int(np.searchsorted(x, knee[0])))
    slope = np.gradient(z, x)[use]
    fall = (heel[2] - knee[2]) / (heel[0] - knee[0])
    meet = (knee[2] - fall * knee[0] - z[use] + slope * x[use]) / np.minimum(slope - fall, -1e-9)
    share = (meet - x[use]) / np.maximum(knee[0] - x[use], 1e-9)
    good = np.flatnonzero((slope < fall - 1e-6) & (share > 0) & (share < 1))
    best = good[np.argmin(np.abs(share[good] - _CORNER))] if len(good) else 1
    corner_x = meet[best] if len(good) else 0.5 * (x[best] + knee[0])
    corner = np.array([corner_x, 0.0, knee[2] + fall * (corner_x - knee[0])])
    return np.array([x[best], 0.0, z[best]]), corner


def _curve(start: Array, corner: Array, end: Array, steps: int = 60) -> Array:
    t = np.linspace(0, 1, steps + 1)[:, None]
    near, far = start + 0.55 * (corner - start), end + 0.70 * (corner - end)
    curve: Array = (
        (1 - t) ** 3 * start + 3 * t * (1 - t) ** 2 * near + 3 * t * t * (1 - t) * far + t**3 * end
    )
    return curve


def _bulb_radius(site: Site) -> float:
    return 0.0165 * site.p.lwl


def _bulb(site: Site, keel: Foil) -> Bulb:
    radius, length = _bulb_radius(site), 0.20 * site.p.lwl
    middle = 0.5 * float(keel.middle[0, -1, 0] + keel.middle[-1, -1, 0])
    q = foils.chord_nodes()
    shape = np.sqrt(q) * (1 - q) ** 0.75
    x = middle - 0.45 * length + length * q
    return Bulb("bulb", x, radius * shape / shape.max(), 1.25, radius - site.p.draught)


def _wing(site: Site, keel: Foil, hand: int) -> Wing:
    """Return one wing at the foot of a keel, swept aft and a little down."""
    lwl = site.p.lwl
    tail = float(keel.middle[-1, -1, 0])
    start = tail - 0.115 * lwl
    root_x = foils.at_chord(start, tail)
    tip_x = foils.at_chord(start + 0.075 * lwl, tail + 0.035 * lwl)
    z = 0.012 * lwl - site.p.draught
    y = 0.010 * lwl
    root = np.column_stack([root_x, np.full_like(root_x, y), np.full_like(root_x, z)])
    tip = np.column_stack(
        [tip_x, np.full_like(tip_x, 0.095 * lwl), np.full_like(tip_x, z - 0.006 * lwl)]
    )
    middle = coons(root, tip, straight(root[0], tip[0]), straight(root[-1], tip[-1]))
    half = thickened(middle, 0.10, 0.0)
    middle[..., 1] *= hand
    return Wing("wing-port" if hand > 0 else "wing-starboard", hand, middle, half)


def rudders(site: Site, keel: Foil | None) -> list[Foil]:
    """Return skeg and rudders; ``keel`` is what a rudder may hang on."""
    kind = site.p.rudder
    if kind == "none":
        return []
    if kind == "skeg":
        return _with_skeg(site)
    if kind == "keel" and keel is not None and keel.hand == 0:
        return [_on_keel(site, keel)]
    if kind == "transom":
        return [_on_transom(site, keel)]
    if kind == "twin":
        return [_canted_rudder(site, 1), _canted_rudder(site, -1)]
    return [_spade(site)]


def _blade(part: str, root: Array, tip: Array, ratio: float = 0.12, fillet: float = 0.0) -> Foil:
    middle = coons(root, tip, straight(root[0], tip[0]), straight(root[-1], tip[-1]))
    return Foil(part, 0, middle, thickened(middle, ratio, fillet))


def _tip_line(start: float, end: float, z: float) -> Array:
    x = foils.at_chord(start, end)
    return np.column_stack([x, np.zeros_like(x), np.full_like(x, z)])


def _spade(site: Site) -> Foil:
    lwl = site.p.lwl
    chord = (0.055 if site.p.kind in ("motor", "inland") else 0.075) * lwl
    share = 0.78 if site.p.keel != "none" else 0.96
    fore = site.station(0.945) - chord / 2
    root = site.bottom(foils.at_chord(fore, fore + chord))
    start = fore + 0.14 * chord
    depth = max(share * site.p.draught, 0.3 * chord - float(root[:, 2].min()))
    tip = _tip_line(start, start + 0.68 * chord, -depth)
    return _blade("rudder", root, tip)


def _with_skeg(site: Site) -> list[Foil]:
    lwl, draught = site.p.lwl, site.p.draught
    stock = np.array([site.station(0.905), site.station(0.898)])
    root = site.bottom(foils.at_chord(stock[0], stock[0] + 0.070 * lwl))
    tip = _tip_line(stock[1], stock[1] + 0.060 * lwl, -0.82 * draught)
    rudder = _blade("rudder", root, tip, 0.11)
    share = 0.90
    foot_x = stock[0] + share * (stock[1] - stock[0])
    foot_z = root[0, 2] + share * (tip[0, 2] - root[0, 2])
    top = site.bottom(foils.at_chord(site.station(0.800), stock[0]))
    foot = _tip_line(foot_x - 0.032 * lwl, foot_x, foot_z)
    middle = coons(top, foot, straight(top[0], foot[0]), straight(top[-1], foot[-1]))
    skeg = Foil("skeg", 0, middle, _blunt(middle, 0.055 * lwl * 0.11))
    return [skeg, rudder]


def _blunt(middle: Array, breadth: float) -> Array:
    """Return the half thickness of a skeg: a wedge that ends as broad as the rudder's head."""
    u = foils.chord_nodes(middle.shape[0])
    v = foils.span_nodes(middle.shape[1])
    shape = half_wedge(u)
    return shape[:, None] * (breadth * (1 - 0.35 * v + 0.5 * np.exp(-v / 0.10)))[None, :]


def half_wedge(share: Array) -> Array:
    """Return the half thickness of a wedge with a rounded nose, in units of its full breadth."""
    return 0.5 * np.sqrt(np.clip(share, 0, 1)) * (1.25 - 0.45 * np.clip(share, 0, 1))


def _on_keel(site: Site, keel: Foil) -> Foil:
    """Return a rudder hung on the trailing edge of a long keel, with a curved trailing edge."""
    lwl = site.p.lwl
    leading = keel.middle[-1]
    top, heel = leading[0], leading[-1]
    foot = heel + np.array([0.0, 0.0, 0.03 * (top[2] - heel[2])])
    count = foils.SPANWISE
    v = foils.span_nodes(count)[:, None]
    leading = (1 - v) * top + v * foot
    root = site.bottom(foils.at_chord(top[0], top[0] + 0.048 * lwl))
    tip = _tip_line(foot[0], foot[0] + 0.050 * lwl, float(foot[2]))
    trailing = straight(root[-1], tip[-1], count)
    trailing[:, 0] += (0.42 * 6.75 * v * v * (1 - v))[:, 0] * 0.075 * lwl
    middle = coons(root, tip, leading, trailing)
    return Foil("rudder", 0, middle, thickened(middle, 0.10, 0.0))


def _on_transom(site: Site, keel: Foil | None) -> Foil:
    """Return a rudder hung on transom or sternpost, straight down below it."""
    profile, draught, lwl = site.profile, site.p.draught, site.p.lwl
    heel_x, heel_z = profile.heel
    head = 0.55 * profile.freeboards[2]
    share = np.linspace(0, 1, 9)
    height = heel_z + share * (profile.freeboards[2] - heel_z)
    edge_x = heel_x + (profile.top - heel_x) * profile.stern.at(share)
    depth = 0.90 * draught
    under = heel_x
    if keel is not None and site.p.keel == "long":
        under, depth = float(keel.middle[-1, -1, 0]), 0.96 * draught
    count = 17
    v = np.linspace(0, 1, count)
    z = head - v * (head + depth)
    below = under + (heel_x - under) * np.clip((z + depth) / (heel_z + depth), 0, 1)
    x = np.where(z >= heel_z, np.interp(z, height, edge_x), below)
    leading = np.column_stack([x, np.zeros(count), z])
    line = x[0] + (x[-1] - x[0]) * v + _blade_chord(v) * lwl
    trailing = np.column_stack([np.maximum(line, x + 0.03 * lwl), np.zeros(count), z])
    nodes = foils.span_nodes(count)
    lead, trail = (
        np.column_stack([np.interp(nodes, v, edge[:, k]) for k in range(3)])
        for edge in (leading, trailing)
    )
    root = straight(lead[0], trail[0], foils.CHORDWISE)
    tip = straight(lead[-1], trail[-1], foils.CHORDWISE)
    middle = coons(root, tip, lead, trail)
    return Foil("rudder", 0, middle, thickened(middle, 0.09, 0.0), free_root=True)


def _blade_chord(v: Array) -> Array:
    """Return the chord of a hung rudder from head to foot: narrow head, blade, rounded foot."""
    belly = np.clip(v / 0.62, 0, 1)
    foot = np.clip((v - 0.62) / 0.38, 0, 1)
    chord: Array = 0.044 + 0.036 * belly * belly * (3 - 2 * belly) - 0.026 * foot**2.4
    return chord


def _canted_rudder(site: Site, hand: int) -> Foil:
    lwl, chord = site.p.lwl, 0.065 * site.p.lwl
    # Abaft her propeller on a boat that has no keel to shield it.
    fore = site.station(0.945 if site.p.keel == "none" else 0.88) - chord / 2
    x = foils.at_chord(fore, fore + chord)
    y = 0.27 * 2 * site.half_beam
    while y > 0.06 * site.half_beam and site.shelf(x, y)[:, 2].max() > -0.003 * lwl:
        y *= 0.95
    cant = _CANT if site.p.kind == "yacht" else 0.0
    root = site.shelf(x, y)
    share = 0.64 if site.p.keel != "none" else 0.92
    depth = max(share * site.p.draught, 0.02 * lwl - float(root[:, 2].min()))
    out = y + (float(root[:, 2].mean()) + depth) * math.tan(cant)
    tip = _tip_line(fore + 0.12 * chord, fore + 0.80 * chord, -depth)
    tip[:, 1] = out
    middle = coons(root, tip, straight(root[0], tip[0]), straight(root[-1], tip[-1]))
    half = thickened(middle, 0.12, 0.0, math.cos(cant))
    middle[..., 1] *= hand
    part = "rudder-port" if hand > 0 else "rudder-starboard"
    return Foil(part, hand, middle, half)
