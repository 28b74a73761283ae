"""The form of a boat: a smooth surface from her particulars, with places, views and areas on it."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any, TypeVar

import numpy as np

from hulllog.hull import appendages, assembly, kinds, measure, solve, surface, views
from hulllog.hull.assembly import Hand
from hulllog.hull.foils import Bulb, Foil, Wing
from hulllog.hull.patches import blend

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from numpy.typing import NDArray

    from hulllog.hull.particulars import Particulars
    from hulllog.hull.patches import Patch, Place
    from hulllog.hull.solve import Solved
    from hulllog.hull.surface import Lines, Skin

    Array = NDArray[np.float64]


Thing = Foil | Bulb | Wing
T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Footprint:
    """The root of a foil on a face of the hull: between two v at each row."""

    part: str
    face: str
    foil: str
    low: Array
    high: Array


@dataclass(frozen=True, slots=True)
class HullForm:
    """A boat's shape.  Build it with ``HullForm.build``; it does not change."""

    particulars: Particulars
    solved: Solved
    skin: Skin
    """One side of one hull, about its own middle plane."""
    hands: tuple[Hand, ...]
    foils: tuple[Thing, ...]
    patches: tuple[Patch, ...]
    footprints: tuple[Footprint, ...]
    band: tuple[float, float]
    """Heights of the lower and upper edge of the waterline band, metres."""
    _memory: dict[str, Any] = field(default_factory=dict, repr=False, compare=False)

    @classmethod
    def build(cls, particulars: Particulars) -> HullForm:
        """Build the form; where particulars contradict one another she is drawn all the same."""
        p = particulars
        shape = kinds.proportions(p.kind, p.keel)

        def appended(lines: Lines, skin: Skin) -> float:
            site = appendages.Site(p, lines.profile, skin, lines.half_beam)
            return sum(foil.volume() for foil in _foils(site))

        solved = solve.solve(p, shape, appended)
        band = (-(0.01 + 0.0045 * p.lwl), 0.03 + 0.0095 * p.lwl)
        skin = surface.fine(solved.lines, band)
        site = appendages.Site(p, solved.lines.profile, skin, solved.lines.half_beam)
        made = tuple(_foils(site))
        hands = _hands(p)
        patches = _assembled(skin, made, hands, p.length)
        prints = tuple(
            mark for hand in hands for foil in made for mark in _footprints(foil, skin, hand)
        )
        return cls(p, solved, skin, hands, made, patches, prints, band)

    def patch(self, part: str, face: str) -> Patch:
        """Return a face of a part.  Raises KeyError if the boat has no such face."""
        for patch in self.patches:
            if patch.part == part and patch.face == face:
                return patch
        raise KeyError(part, face)

    @property
    def parts(self) -> dict[str, tuple[str, ...]]:
        """The parts and their faces, in the order in which they were built."""
        found: dict[str, tuple[str, ...]] = {}
        for patch in self.patches:
            found[patch.part] = (*found.get(patch.part, ()), patch.face)
        return found

    def point(self, place: Place) -> tuple[float, float, float]:
        """Return x aft, y to port, z up from the waterline in metres.  KeyError: no such face."""
        x, y, z = self.patch(place.part, place.face).at(place.u, place.v)[0]
        return float(x), float(y), float(z)

    def view_point(self, view: str, place: Place) -> tuple[float, float]:
        """Return (X, Y) of a place in a view, metres.  KeyError: no such face or view."""
        points = self.view_points(view, place.part, place.face, [place.u], [place.v])
        return float(points[0, 0]), float(points[0, 1])

    def view_points(
        self, view: str, part: str, face: str, u: Sequence[float], v: Sequence[float]
    ) -> Array:
        """Return (X, Y) in metres of many places on one face, shape (k, 2)."""
        patch = self.patch(part, face)
        row, column = patch.cell(np.asarray(u, float), np.asarray(v, float))
        xyz, flat = (blend(field, row, column) for field in (patch.xyz, patch.flat))
        return views.projected(view, xyz, flat)[0]

    def index(self, view: str) -> views.Index:
        """Return the cells of a view, built when first asked for."""
        return self.remembered(f"index {view}", lambda: views.Index.build(view, self.patches))

    def pick(self, view: str, x: float, y: float) -> Place | None:
        """Return the place seen at (X, Y) of a view, the nearest to the viewer; None beside her."""
        hits = self.index(view).hits(x, y)
        return hits[0] if hits else None

    def remembered(self, key: str, find: Callable[[], T]) -> T:
        """Return what was found under a key, found once: shapes and edges asked for again."""
        if key not in self._memory:
            self._memory[key] = find()
        found: T = self._memory[key]
        return found

    def strips(self, patch: Patch) -> Array:
        """Return the area up to each column of each strip of a face, square metres."""
        key = f"strips {patch.part} {patch.face}"
        return self.remembered(key, lambda: measure.cumulated(patch.xyz))

    @property
    def volume(self) -> float:
        """Volume below the water of hulls and foils, cubic metres."""
        body = solve.body_volume(self.skin) + sum(foil.volume() for foil in self.foils)
        return body * len(self.hands)

    @property
    def displacement(self) -> float:
        """Displacement of the form as drawn, kilograms."""
        return self.volume * kinds.BY_KIND[self.particulars.kind].density

    @property
    def disagreement(self) -> tuple[float, float] | None:
        """Displacement asked for and reached, kilograms, where they differ by more than 2 %.

        Then length, beam, draught and displacement contradict one another.
        """
        asked = self.particulars.displacement
        if asked is None or abs(self.displacement / asked - 1) <= 0.02:
            return None
        return asked, self.displacement

    @property
    def waterline_beam(self) -> float:
        """Greatest breadth of one hull at the waterline, metres."""
        return 2 * float(self.skin.xyz[:, self.skin.water, 1].max())

    @property
    def midship(self) -> float:
        """Fullest section below the water, of waterline beam by depth of the canoe body."""
        wet = self.skin.xyz[:, : self.skin.water + 1]
        middle = 0.5 * (wet[:, 1:, 1] + wet[:, :-1, 1])
        sections = 2 * (middle * np.diff(wet[..., 2], axis=1)).sum(axis=1)
        return float(sections.max()) / (self.waterline_beam * self.solved.depth)

    @property
    def waterline_length(self) -> float:
        """Length of the waterline, metres."""
        wet = self.skin.xyz[self.skin.xyz[:, 0, 2] <= 1e-9][:, self.skin.water, 0]
        return float(wet.max() - wet.min())


def _foils(site: appendages.Site) -> list[Thing]:
    found: list[Thing] = appendages.keels(site)
    keel = found[0] if found and isinstance(found[0], Foil) else None
    return [*found, *appendages.rudders(site, keel)]


def _hands(p: Particulars) -> tuple[Hand, ...]:
    if p.kind != "catamaran":
        return (Hand(0, 0.0),)
    apart = (p.beam - solve.hull_beam(p)) / 2
    return Hand(1, apart), Hand(-1, -apart)


def _assembled(
    skin: Skin, made: tuple[Thing, ...], hands: tuple[Hand, ...], length: float
) -> tuple[Patch, ...]:
    """Return all faces, each hull with its own expansion, that to port above."""
    found: list[Patch] = []
    for hand in hands:
        transom = assembly.transom_patch(skin, hand)
        groups = [assembly.hull_patches(skin, hand), [transom] if transom else []]
        loose = [patch for thing in made for patch in assembly.patches_of(thing, hand)]
        groups += [
            group if hand.sign else assembly.paired(group, length)
            for group in _grouped(loose, _hung(made))
        ]
        placed = assembly.laid_out(groups, length)
        if hand.sign:
            _, _, low, high = assembly.box(placed)
            shift = hand.sign * (0.5 * (high - low) + 0.5 * assembly.GAP * length)
            placed = [assembly.moved(patch, 0.0, shift) for patch in placed]
        found += placed
    return tuple(found)


def _grouped(patches: list[Patch], hung: bool) -> list[list[Patch]]:
    """Return the faces of keels, wings and rudders as they stand together in the expansion."""
    keel: list[Patch] = []
    upper: list[Patch] = []
    under: list[Patch] = []
    rudder: list[Patch] = []
    for patch in patches:
        name = patch.part.split("-")[0]
        if name == "wing":
            (upper if patch.face == "upper" else under).append(patch)
        elif name in ("keel", "bulb") or hung:
            keel.append(patch)
        else:
            rudder.append(patch)
    return [keel, upper, under, rudder]


def _hung(made: tuple[Thing, ...]) -> bool:
    """Say if the rudder hangs on the keel, so that both stay together when unrolled."""
    by_part = {thing.part: thing for thing in made}
    keel, rudder = by_part.get("keel"), by_part.get("rudder")
    if not isinstance(keel, Foil) or not isinstance(rudder, Foil):
        return False
    return bool(np.allclose(keel.middle[-1, 0], rudder.middle[0, 0]))


def _footprints(foil: Thing, skin: Skin, hand: Hand) -> list[Footprint]:
    """Return where a foil's root lies on the hull."""
    if not isinstance(foil, Foil) or foil.free_root:
        return []
    root = foil.middle[:, 0]
    y = float(abs(root[:, 1]).mean())
    middle = _v_at(skin, np.full(len(skin.u), y))
    rows = np.arange(len(skin.u))
    x = _x_at(skin, rows, middle)
    half = np.interp(x, root[:, 0], foil.half[:, 0], left=0.0, right=0.0)
    low, high = _v_at(skin, np.maximum(y - half, 0.0)), _v_at(skin, y + half)
    part = hand.part("hull")
    faces = [hand.face(foil.hand)] if foil.hand else [hand.face(1), hand.face(-1)]
    return [Footprint(part, face, foil.part, low, high) for face in faces]


def _v_at(skin: Skin, y: Array) -> Array:
    """Return v per row where the breadth first passes y (n,)."""
    breadth = skin.xyz[..., 1]
    inside = breadth < y[:, None]
    at = np.where(inside.all(axis=1), breadth.shape[1] - 1, np.argmin(inside, axis=1))
    at = np.clip(at, 1, breadth.shape[1] - 1)
    rows = np.arange(len(y))
    low, high = breadth[rows, at - 1], breadth[rows, at]
    share = np.clip((y - low) / np.where(high > low, high - low, 1.0), 0, 1)
    result: Array = skin.v[at - 1] + share * (skin.v[at] - skin.v[at - 1])
    return result


def _x_at(skin: Skin, rows: NDArray[np.intp], v: Array) -> Array:
    column = np.interp(v, skin.v, np.arange(len(skin.v)))
    j = np.minimum(column.astype(int), len(skin.v) - 2)
    f = column - j
    x: Array = skin.xyz[rows, j, 0] * (1 - f) + skin.xyz[rows, j + 1, 0] * f
    return x
