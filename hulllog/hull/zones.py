"""Zones: named areas of the skin, as plain data in (u, v), and what they measure.

An edge runs along a face from stem to stern, or from leading to trailing edge.  It is a plain
dictionary with one of these keys: ``v`` a fixed v; ``z`` a height in metres; ``chine`` the chine;
``share`` of the girth from the centreline up to the height ``z``; ``line`` points [u, v];
``upper`` of two edges the higher; ``between`` two edges at a ``share`` of the way.  A height stays
level when the form is corrected.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import partial
from typing import TYPE_CHECKING, Any

import numpy as np

from hulllog.hull import surface

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from numpy.typing import NDArray

    from hulllog.hull.form import HullForm
    from hulllog.hull.patches import Patch, Place

    Array = NDArray[np.float64]
    Edge = Mapping[str, Any]

KEEL: Edge = {"v": 0.0}
WATER: Edge = {"v": 1.0}
TOP: Edge = {"v": 2.0}


@dataclass(frozen=True, slots=True)
class Piece:
    """A part of a zone on one face, from u0 to u1 between two edges."""

    part: str
    face: str
    u0: float
    u1: float
    low: Edge
    high: Edge


@dataclass(frozen=True, slots=True)
class ZoneOutline:
    """A zone under its stable code, put together of pieces."""

    code: str
    pieces: tuple[Piece, ...]

    def to_json(self) -> dict[str, Any]:
        """Return the outline as plain values that JSON can hold."""
        pieces = [
            {
                "part": p.part,
                "face": p.face,
                "u": [p.u0, p.u1],
                "low": dict(p.low),
                "high": dict(p.high),
            }
            for p in self.pieces
        ]
        return {"code": self.code, "pieces": pieces}

    @classmethod
    def from_json(cls, data: Mapping[str, Any]) -> ZoneOutline:
        """Read what ``to_json`` wrote.  Raises KeyError or ValueError on anything else."""
        pieces = tuple(
            Piece(
                str(p["part"]), str(p["face"]), float(p["u"][0]), float(p["u"][1]),
                dict(p["low"]), dict(p["high"]),
            )
            for p in data["pieces"]
        )  # fmt: skip
        return cls(str(data["code"]), pieces)


def edge_v(form: HullForm, patch: Patch, edge: Edge) -> Array:
    """Return v of an edge at each row of a face, (n,).  Raises ValueError for an unknown edge."""
    rows = len(patch.u)
    if "v" in edge:
        return np.full(rows, float(edge["v"]))
    if "between" in edge:
        one, other = (edge_v(form, patch, inner) for inner in edge["between"])
        return one + float(edge["share"]) * np.maximum(other - one, 0.0)
    if "share" in edge:
        return _girth_share(patch, float(edge["z"]), float(edge["share"]))
    if "z" in edge:
        return _columns_to_v(patch, surface.crossing(patch.xyz[..., 2], float(edge["z"])))
    if "chine" in edge:
        low = form.skin.chine_low
        if low is None:
            raise ValueError("chine")
        chine: Array = np.where(low, 0.5, 1.5)
        return chine
    if "line" in edge:
        points = np.asarray(edge["line"], float)
        line: Array = np.interp(patch.u, points[:, 0], points[:, 1])
        return line
    if "upper" in edge:
        one, other = (edge_v(form, patch, inner) for inner in edge["upper"])
        return np.maximum(one, other)
    raise ValueError(str(edge))


def _columns_to_v(patch: Patch, columns: Array) -> Array:
    return np.interp(columns, np.arange(len(patch.v)), patch.v)


def _girth_share(patch: Patch, z: float, share: float) -> Array:
    length = surface.girth(patch.xyz)
    columns = surface.crossing(patch.xyz[..., 2], z)
    nodes, rows = np.arange(len(patch.v)), range(len(patch.u))
    whole = [np.interp(columns[i], nodes, length[i]) for i in rows]
    return np.array([np.interp(share * whole[i], length[i], patch.v) for i in rows])


def edges(form: HullForm, piece: Piece) -> tuple[Patch, Array, Array]:
    """Return the face of a piece, and v of its lower and upper edge at each row of the face."""
    patch = form.patch(piece.part, piece.face)

    def find() -> tuple[Array, Array]:
        low = edge_v(form, patch, piece.low)
        return low, np.maximum(edge_v(form, patch, piece.high), low)

    key = f"edges {piece.part} {piece.face} {piece.low} {piece.high}"
    return patch, *form.remembered(key, find)


def _upto(strips: Array, patch: Patch, v: Array) -> Array:
    """Return the area of each strip up to an edge given by v at the rows, (n - 1,)."""
    column = np.interp(v, patch.v, np.arange(len(patch.v)))
    middle = 0.5 * (column[:-1] + column[1:])
    j = np.minimum(middle.astype(int), strips.shape[1] - 2)
    rows = np.arange(len(strips))
    low, high = strips[rows, j], strips[rows, j + 1]
    result: Array = low + (high - low) * (middle - j)
    return result


def _within(patch: Patch, u0: float, u1: float) -> Array:
    """Return the share of each strip that lies between u0 and u1, (n - 1,)."""
    start, end = patch.u[:-1], patch.u[1:]
    width = np.where(end > start, end - start, 1.0)
    share: Array = np.clip(np.minimum(end, u1) - np.maximum(start, u0), 0, None) / width
    return share


def piece_area(form: HullForm, piece: Piece) -> float:
    """Return the area of a piece in square metres, roots of keels and rudders taken off."""
    return _area(form, *edges(form, piece), piece.u0, piece.u1)


def _area(form: HullForm, patch: Patch, low: Array, high: Array, u0: float, u1: float) -> float:
    strips, weight = form.strips(patch), _within(patch, u0, u1)
    whole = _upto(strips, patch, high) - _upto(strips, patch, low)
    for print_ in form.footprints:
        if (print_.part, print_.face) == (patch.part, patch.face):
            under = np.clip(low, print_.low, print_.high), np.clip(high, print_.low, print_.high)
            whole = whole - _upto(strips, patch, under[1]) + _upto(strips, patch, under[0])
    return float((whole * weight).sum())


def area(form: HullForm, outline: ZoneOutline) -> float:
    """Return the area of a zone in square metres."""
    return sum((piece_area(form, piece) for piece in outline.pieces), 0.0)


def covered(form: HullForm, old: ZoneOutline, new: ZoneOutline) -> float:
    """Return the share of an outline, 0 to 1, that another one covers on this form.

    What lies on a part that the form has not is not covered.
    """
    whole = shared = 0.0
    for piece in old.pieces:
        if (piece.part, piece.face) not in {(patch.part, patch.face) for patch in form.patches}:
            return 0.0
        whole += piece_area(form, piece)
        shared += sum(_shared(form, piece, other) for other in new.pieces)
    return min(shared / whole, 1.0) if whole > 0 else 0.0


def _shared(form: HullForm, one: Piece, other: Piece) -> float:
    """Return the area that two pieces have in common, square metres."""
    u0, u1 = max(one.u0, other.u0), min(one.u1, other.u1)
    if (one.part, one.face) != (other.part, other.face) or u1 <= u0:
        return 0.0
    patch, low, high = edges(form, one)
    _, other_low, other_high = edges(form, other)
    low = np.maximum(low, other_low)
    return _area(form, patch, low, np.maximum(np.minimum(high, other_high), low), u0, u1)


WAYS = ("across", "along", "faces")
"""How a zone can be cut: at a u, between its edges, or apart by the faces that it lies on."""


def ways(outline: ZoneOutline) -> tuple[str, ...]:
    """Return how a zone can be cut."""
    return WAYS if len(outline.pieces) > 1 else WAYS[:2]


def split(
    outline: ZoneOutline, way: str, share: float, code: str
) -> tuple[ZoneOutline, ZoneOutline]:
    """Return the two parts of a zone; the first keeps its code, the second has ``code``.

    ``share``, above 0 and below 1, is how much of its length (across) or breadth (along) the first
    part takes; by faces it is not asked.  Raises ValueError for a cut that leaves nothing.
    """
    if way not in ways(outline) or (way != "faces" and not 0 < share < 1):
        raise ValueError(way)
    if way == "faces":
        parted = outline.pieces[:1], outline.pieces[1:]
    else:
        halves = [_cut(piece, way, share) for piece in outline.pieces]
        parted = tuple(one for one, _ in halves), tuple(other for _, other in halves)
    return ZoneOutline(outline.code, parted[0]), ZoneOutline(code, parted[1])


def _cut(piece: Piece, way: str, share: float) -> tuple[Piece, Piece]:
    if way == "across":
        at = piece.u0 + share * (piece.u1 - piece.u0)
        return replace(piece, u1=at), replace(piece, u0=at)
    edge = {"between": [dict(piece.low), dict(piece.high)], "share": share}
    return replace(piece, high=edge), replace(piece, low=edge)


def join(one: ZoneOutline, other: ZoneOutline) -> ZoneOutline:
    """Return one zone of two under the code of the first; pieces that meet at a cut grow whole."""
    pieces = list(one.pieces)
    for piece in other.pieces:
        pieces = _grown(pieces, piece)
    return ZoneOutline(one.code, tuple(pieces))


def _grown(pieces: list[Piece], piece: Piece) -> list[Piece]:
    for n, held in enumerate(pieces):
        whole = _whole(held, piece) or _whole(piece, held)
        if whole is not None:
            return _grown(pieces[:n] + pieces[n + 1 :], whole)
    return [*pieces, piece]


def _whole(one: Piece, other: Piece) -> Piece | None:
    """Return two pieces as one where the second goes on at the end or the upper edge of the first.

    An edge that was laid between two others goes with its cut.
    """
    if (one.part, one.face) != (other.part, other.face):
        return None
    if one.u1 == other.u0 and (one.low, one.high) == (other.low, other.high):
        return replace(one, u1=other.u1)
    if (one.u0, one.u1) == (other.u0, other.u1) and one.high == other.low:
        return replace(one, high=other.high)
    return None


def middle(form: HullForm, outline: ZoneOutline) -> tuple[float, float, float]:
    """Return where about a zone lies: the mean of the middles of its pieces, metres."""
    points = []
    for piece in outline.pieces:
        patch, low, high = edges(form, piece)
        u = 0.5 * (piece.u0 + piece.u1)
        row = int(np.abs(patch.u - u).argmin())
        points.append(patch.at(u, 0.5 * (low[row] + high[row]))[0])
    x, y, z = np.mean(points, axis=0)
    return float(x), float(y), float(z)


def lowest(form: HullForm, outline: ZoneOutline) -> float:
    """Return the height of the lowest point of a zone over the waterline, metres.

    A zone that is not of the form has no height that is known: 0.
    """
    heights = (
        form.remembered(f"lowest {piece}", partial(_lowest, form, piece))
        for piece in outline.pieces
    )
    return min(heights, default=0.0)


def _lowest(form: HullForm, piece: Piece) -> float:
    patch, low, high = edges(form, piece)
    rows = np.flatnonzero((patch.u >= piece.u0) & (patch.u <= piece.u1))
    if not len(rows):
        rows = np.array([np.abs(patch.u - piece.u0).argmin()])
    heights = [
        float(np.interp(np.linspace(low[row], high[row], 9), patch.v, patch.xyz[row, :, 2]).min())
        for row in rows
    ]
    return min(heights)


def whole_area(form: HullForm) -> float:
    """Return the area of the whole skin, keels and rudders with it, square metres."""
    return sum(piece_area(form, _all_of(patch)) for patch in form.patches)


def _all_of(patch: Patch) -> Piece:
    return Piece(
        patch.part, patch.face, 0.0, 1.0, {"v": float(patch.v[0])}, {"v": float(patch.v[-1])}
    )


def area_between(form: HullForm, low: Edge, high: Edge) -> float:
    """Return the area of the hulls between two edges, square metres."""
    pieces = (
        Piece(patch.part, patch.face, 0.0, 1.0, low, high)
        for patch in form.patches
        if patch.kind == "hull"
    )
    return sum(piece_area(form, piece) for piece in pieces)


def wetted_area(form: HullForm) -> float:
    """Return the area below the waterline, keels and rudders with it, square metres."""
    return wetted_hull(form) + wetted_foils(form)


def wetted_hull(form: HullForm) -> float:
    """Return the area of hulls and transoms below the waterline, roots taken off, square metres."""
    transoms = (patch for patch in form.patches if patch.kind == "transom")
    return area_between(form, KEEL, WATER) + sum(_wetted(form, patch) for patch in transoms)


def wetted_foils(form: HullForm) -> float:
    """Return the area of keels, skegs and rudders below the waterline, all faces, square metres."""
    hull = ("hull", "transom")
    return sum(_wetted(form, patch) for patch in form.patches if patch.kind not in hull)


def band_area(form: HullForm) -> float:
    """Return the area of the hulls between the edges of the waterline band, square metres."""
    low, high = ({"z": level} for level in form.band)
    return area_between(form, low, high)


def _wetted(form: HullForm, patch: Patch) -> float:
    wet = surface.crossing(patch.xyz[..., 2] * _rising(patch), 0.0)
    wet_v = _columns_to_v(patch, np.where(_dry_first(patch), 0.0, wet))
    strips = form.strips(patch)
    part = _upto(strips, patch, wet_v)
    return float(part.sum()) if _rising(patch) > 0 else float((strips[:, -1] - part).sum())


def _rising(patch: Patch) -> float:
    return 1.0 if patch.xyz[:, -1, 2].mean() > patch.xyz[:, 0, 2].mean() else -1.0


def _dry_first(patch: Patch) -> NDArray[np.bool_]:
    z = patch.xyz[:, 0, 2] * _rising(patch)
    result: NDArray[np.bool_] = z >= 0
    return result


def topsides_area(form: HullForm) -> float:
    """Return the area of the hulls above the waterline with the transoms, square metres."""
    transoms = sum(
        piece_area(form, _all_of(patch)) for patch in form.patches if patch.kind == "transom"
    )
    return area_between(form, WATER, TOP) + transoms


def zone_at(form: HullForm, place: Place, outlines: Iterable[ZoneOutline]) -> str | None:
    """Return the code of the zone that a place lies in; None if in none."""
    for outline in outlines:
        for piece in outline.pieces:
            if (piece.part, piece.face) != (place.part, place.face):
                continue
            if not piece.u0 <= place.u <= piece.u1:
                continue
            patch, low, high = edges(form, piece)
            row, _ = patch.cell(np.array([place.u]), np.array([place.v]))
            at = np.arange(len(patch.u))
            if np.interp(row[0], at, low) <= place.v <= np.interp(row[0], at, high):
                return outline.code
    return None


def default_zones(form: HullForm) -> tuple[ZoneOutline, ...]:
    """Return the zones of a boat of this kind, in the order of a walk round her.

    Down the port side from the stem, round the stern, up the starboard side, then what can only be
    seen from below.  Source: our own rule.
    """
    found: list[ZoneOutline] = []
    for hand in form.hands:
        by_face = {side: _hull_side(form, hand.part("hull"), hand.face(side)) for side in (1, -1)}
        foils = _foil_zones(form, hand.sign)
        found += [*by_face[1], *foils[1], *_stern(form, hand.sign)]
        found += [*by_face[-1][::-1], *foils[-1], *foils[0]]
    return _joined(form, found)


def _joined(form: HullForm, zones: Sequence[ZoneOutline]) -> tuple[ZoneOutline, ...]:
    del form
    merged: dict[str, ZoneOutline] = {}
    for zone in zones:
        if zone.code in merged:
            zone = ZoneOutline(zone.code, merged[zone.code].pieces + zone.pieces)
        merged[zone.code] = zone
    return tuple(merged.values())


def _code(*words: str) -> str:
    return "-".join(word for word in words if word)


def _hull_side(form: HullForm, part: str, face: str) -> list[ZoneOutline]:
    where = _code(part.removeprefix("hull").removeprefix("-"), face)
    low, high = ({"z": level} for level in form.band)
    make = _Maker(part, face, where)
    kind = form.particulars.kind
    if kind == "catamaran":
        return [
            make.zone("topsides", "", 0, 1, high, TOP),
            make.zone("waterline", "", 0, 1, low, high),
            make.zone("bottom", "forward", 0, 0.5, KEEL, low),
            make.zone("bottom", "aft", 0.5, 1, KEEL, low),
        ]
    if form.particulars.keel == "twin":
        topsides = [make.zone("topsides", "", 0, 1, high, TOP)]
    else:
        topsides = [
            make.zone("topsides", "forward", 0, 0.5, high, TOP),
            make.zone("topsides", "aft", 0.5, 1, high, TOP),
        ]
    band = make.zone("waterline", "", 0, 1, low, high)
    if kind == "planing":
        half = {"share": 0.5, "z": form.band[0]}
        bottom = [
            make.zone("bottom-outer", "forward", 0, 0.5, half, low),
            make.zone("bottom-inner", "forward", 0, 0.5, KEEL, half),
            make.zone("bottom-inner", "aft", 0.5, 1, KEEL, half),
            make.zone("bottom-outer", "aft", 0.5, 1, half, low),
        ]
    elif kind == "inland":
        chine: Edge = {"chine": True}
        foot: Edge = {"upper": [chine, low]}
        band = make.zone("waterline", "", 0, 1, foot, {"upper": [foot, high]})
        topsides = [
            make.zone("topsides", "forward", 0, 0.5, {"upper": [foot, high]}, TOP),
            make.zone("topsides", "aft", 0.5, 1, {"upper": [foot, high]}, TOP),
        ]
        bottom = [
            make.zone("side", "forward", 0, 0.34, chine, foot),
            make.zone("side", "middle", 0.34, 0.67, chine, foot),
            make.zone("side", "aft", 0.67, 1, chine, foot),
            make.zone("bottom", "forward", 0, 0.5, KEEL, chine),
            make.zone("bottom", "aft", 0.5, 1, KEEL, chine),
        ]
    elif kind == "small":
        plank = {"share": 0.35, "z": form.band[0]}
        bottom = [
            make.zone("bottom", "forward", 0, 0.5, plank, low),
            make.zone("bottom", "aft", 0.5, 1, plank, low),
            make.zone("garboard", "", 0, 1, KEEL, plank),
        ]
    else:
        bottom = [
            make.zone("bottom", "forward", 0, 0.34, KEEL, low),
            make.zone("bottom", "middle", 0.34, 0.67, KEEL, low),
            make.zone("bottom", "aft", 0.67, 1, KEEL, low),
        ]
    return [topsides[0], band, *bottom, *topsides[1:]]


@dataclass(frozen=True, slots=True)
class _Maker:
    part: str
    face: str
    where: str

    def zone(
        self, what: str, which: str, u0: float, u1: float, low: Edge, high: Edge
    ) -> ZoneOutline:
        piece = Piece(self.part, self.face, u0, u1, low, high)
        return ZoneOutline(_code(what, which, self.where), (piece,))


def _stern(form: HullForm, hand: int) -> list[ZoneOutline]:
    found = []
    for patch in form.patches:
        if patch.kind == "transom" and _hand_of(patch.part) == hand:
            found.append(ZoneOutline("transom", (_all_of(patch),)))
        elif patch.part.startswith(("skeg", "rudder")) and (hand in (0, _hand_of(patch.part))):
            found.append(ZoneOutline(patch.part.split("-")[0], (_all_of(patch),)))
    return sorted(found, key=lambda zone: ("transom", "rudder", "skeg").index(zone.code))


def _hand_of(part: str) -> int:
    return 1 if part.endswith("-port") else -1 if part.endswith("-starboard") else 0


def _foil_zones(form: HullForm, hand: int) -> dict[int, list[ZoneOutline]]:
    """Return the zones of keels: those met on the way to port (1), to starboard (-1), after (0)."""
    found: dict[int, list[ZoneOutline]] = {1: [], -1: [], 0: []}
    twin = form.particulars.keel == "twin" and form.particulars.kind != "catamaran"
    for patch in form.patches:
        name = patch.part.split("-")[0]
        if name not in ("keel", "bulb", "wing") or hand not in (0, _hand_of(patch.part)):
            continue
        if form.particulars.kind == "catamaran":
            found[0].append(ZoneOutline(patch.part, (_all_of(patch),)))
        elif twin:
            place = patch.side if patch.face == "outboard" else 0
            found[place].append(ZoneOutline(f"{patch.part}-{patch.face}", (_all_of(patch),)))
        elif name == "keel" and patch.face != "under":
            found[patch.side].append(ZoneOutline(f"keel-{patch.face}", (_all_of(patch),)))
        else:
            code = name if name != "keel" else "keel-under"
            found[0].append(ZoneOutline(code, (_all_of(patch),)))
    return found
