"""Put the faces of a boat together: hulls, transoms, keels, rudders, and their unrolled places."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from hulllog.hull import foils, surface
from hulllog.hull.patches import Patch, mirrored

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from numpy.typing import NDArray

    from hulllog.hull.foils import Bulb, Foil, Wing
    from hulllog.hull.surface import Skin

    Array = NDArray[np.float64]

GAP = 0.035
"""Room between the pieces of the shell expansion, of the length over all."""


@dataclass(frozen=True, slots=True)
class Hand:
    """One hull of the boat: +1 to port, -1 to starboard, 0 the only one, and its offset in y."""

    sign: int
    offset: float

    def part(self, name: str) -> str:
        """Return the name of a part on this hull."""
        return name if self.sign == 0 else f"{name}-{_SIDES[self.sign]}"

    def face(self, side: int) -> str:
        """Return the name of the face of a part on this hull that looks to port or starboard."""
        return face_name(self.sign, side)


_SIDES = {1: "port", -1: "starboard"}


def face_name(hand: int, side: int) -> str:
    """Return what a face is called: by side on the centreline, else by inboard and outboard."""
    if hand == 0:
        return _SIDES[side]
    return "outboard" if hand == side else "inboard"


def hull_patches(skin: Skin, hand: Hand) -> list[Patch]:
    """Return the two sides of one hull."""
    length = surface.girth(skin.xyz)
    made = []
    for side in (1, -1):
        xyz = skin.xyz.copy() if side > 0 else mirrored(skin.xyz)
        xyz[..., 1] += hand.offset
        flat = np.stack([skin.xyz[..., 0], side * length], axis=-1)
        made.append(
            Patch(hand.part("hull"), hand.face(side), "hull", side, skin.u, skin.v, xyz, flat)
        )
    return made


def transom_patch(skin: Skin, hand: Hand) -> Patch | None:
    """Return the transom, u from port to starboard and v from foot to top; None without one."""
    edge = skin.xyz[-1]
    if edge[:, 1].max() < 1e-6:
        return None
    way = surface.girth(edge[None])[0]
    keep = np.concatenate([[True], np.diff(way) > 1e-9])
    edge, way = edge[keep], way[keep]
    u = np.linspace(0, 1, 21)
    xyz = np.repeat(edge[None], len(u), axis=0)
    xyz[..., 1] = (1 - 2 * u)[:, None] * edge[None, :, 1] + hand.offset
    up = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(edge[:, [0, 2]], axis=0).T))])
    flat = np.stack([np.broadcast_to(up, xyz.shape[:2]), xyz[..., 1] - hand.offset], axis=-1)
    return Patch(hand.part("transom"), "aft", "transom", 0, u, way / way[-1], xyz, flat)


def foil_patches(foil: Foil, hand: Hand) -> list[Patch]:
    """Return the faces of a foil: both sides, and the sole where it has one."""
    sign = foil.hand or hand.sign
    part = foil.part if foil.hand or hand.sign == 0 else hand.part(foil.part)
    u, v = foils.chord_nodes(foil.middle.shape[0]), foils.span_nodes(foil.middle.shape[1])
    made = []
    for side in (1, -1):
        xyz = foil.face(side)
        steps = np.hypot(np.diff(xyz[..., 1], axis=1), np.diff(xyz[..., 2], axis=1))
        down = np.hstack([np.zeros((len(u), 1)), np.cumsum(steps, axis=1)])
        breadth = float(foil.half[:, -1].max()) if foil.flat_sole else foil.stand
        flat = np.stack([xyz[..., 0], side * (down[:, -1:] - down + breadth)], axis=-1)
        xyz = xyz + np.array([0.0, hand.offset, 0.0])
        made.append(Patch(part, face_name(sign, side), "foil", side, u, v, xyz, flat))
    if foil.flat_sole:
        made.append(_sole(foil, part, sign, u, hand))
    return made


def bulb_patches(bulb: Bulb, hand: Hand) -> list[Patch]:
    """Return the two sides of a bulb, unrolled about its foot."""
    made = []
    for side in (1, -1):
        xyz = bulb.face(side)
        length = surface.girth(xyz)
        flat = np.stack([xyz[..., 0], side * (length[:, -1:] - length)], axis=-1)
        xyz = xyz + np.array([0.0, hand.offset, 0.0])
        u, v = np.linspace(0, 1, xyz.shape[0]), np.linspace(0, 1, xyz.shape[1])
        face = face_name(hand.sign, side)
        made.append(Patch(hand.part(bulb.part), face, "bulb", side, u, v, xyz, flat))
    return made


def wing_patches(wing: Wing, hand: Hand) -> list[Patch]:
    """Return the upper face and the under face of a wing."""
    u, v = foils.chord_nodes(wing.middle.shape[0]), foils.span_nodes(wing.middle.shape[1])
    made = []
    for sign, face in ((1, "upper"), (-1, "under")):
        xyz = wing.face(sign)
        flat = xyz[..., :2].copy()
        xyz = xyz + np.array([0.0, hand.offset, 0.0])
        made.append(Patch(wing.part, face, "wing", 0, u, v, xyz, flat))
    return made


def patches_of(thing: Foil | Bulb | Wing, hand: Hand) -> list[Patch]:
    """Return the faces of a keel, bulb, wing, skeg or rudder."""
    if isinstance(thing, foils.Bulb):
        return bulb_patches(thing, hand)
    if isinstance(thing, foils.Wing):
        return wing_patches(thing, hand)
    return foil_patches(thing, hand)


def _sole(foil: Foil, part: str, sign: int, u: Array, hand: Hand) -> Patch:
    """Return the sole; v runs from the face to port, or the outboard one, to the other."""
    xyz = foil.sole()
    flat = np.stack([xyz[..., 0], xyz[..., 1] - foil.middle[:, -1:, 1]], axis=-1)
    if sign < 0:
        xyz, flat = xyz[:, ::-1], flat[:, ::-1]
    xyz = xyz + np.array([0.0, hand.offset, 0.0])
    return Patch(part, "under", "sole", 0, u, np.linspace(0, 1, xyz.shape[1]), xyz, flat)


def moved(patch: Patch, x: float, y: float) -> Patch:
    """Return a patch with its expansion moved."""
    return replace(patch, flat=patch.flat + np.array([x, y]))


def box(patches: Iterable[Patch]) -> tuple[float, float, float, float]:
    """Return the least and greatest X and Y of the expansions of patches."""
    lows, highs = zip(
        *((p.flat.min(axis=(0, 1)), p.flat.max(axis=(0, 1))) for p in patches), strict=True
    )
    low, high = np.min(lows, axis=0), np.max(highs, axis=0)
    return float(low[0]), float(high[0]), float(low[1]), float(high[1])


def laid_out(groups: Sequence[Sequence[Patch]], length: float) -> list[Patch]:
    """Set groups of patches side by side abaft the first, which is the hull."""
    placed = list(groups[0])
    edge = box(placed)[1]
    for group in groups[1:]:
        if not group:
            continue
        left, right, _, _ = box(group)
        shift = edge + GAP * length - left
        placed += [moved(patch, shift, 0.0) for patch in group]
        edge = right + shift
    return placed


def paired(patches: list[Patch], length: float) -> list[Patch]:
    """Set the faces of twin foils above and below the centreline, hands apart."""
    made = []
    for patch in patches:
        sign = 1 if patch.part.endswith("-port") else -1 if patch.part.endswith("-starboard") else 0
        same = [other for other in patches if other.part == patch.part]
        _, _, low, high = box(same)
        made.append(moved(patch, 0.0, sign * (0.5 * (high - low) + 0.4 * GAP * length)))
    return made
