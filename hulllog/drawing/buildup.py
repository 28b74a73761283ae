"""A section through the paint: the coats on a piece of hull, inside to outside.

Thickness is drawn to scale where it is known; where it is not, the coat is drawn with broken
edges.  What was taken off again is only an outline beside the others.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

from hulllog.drawing import font, shapes
from hulllog.drawing.chartframe import ROW, head_height, header, nothing
from hulllog.drawing.scene import Path, Scene, Style, Text
from hulllog.drawing.timeline import spread

Item = Path | Text
Stand = Literal["whole", "thinned", "gone"]

_SUBSTRATE = 7.0
_LEAST = 1.1
"""The least height of a coat in mm, so that its colour is seen."""
_PATCH = 2.0
"""The least width of a coat on a part of the zone, in mm."""
_UNKNOWN = 3.0
"""The height of a coat of unknown thickness, in mm."""
_GONE = 1.6
"""The height of a coat that was taken off, in mm."""
_APART = 3.2
"""The least gap between the words of two coats, in mm."""
_CAP = font.cap_height(font.SMALL)


@dataclass(frozen=True, slots=True)
class Layer:
    """A coat: its name, what else is known of it, its colour, its dry film in µm if known.

    ``stand`` is whole, thinned (partly sanded or worn away) or gone; ``share`` is of the zone.
    """

    name: str
    detail: str
    colour: str
    micrometres: float | None = None
    stand: Stand = "whole"
    key: str = ""
    said: str = ""
    share: float = 1.0


@dataclass(frozen=True, slots=True)
class Section:
    """The coats in the order in which they went on, over what they went on."""

    substrate: str
    layers: tuple[Layer, ...] = ()
    title: str = ""
    note: str = ""
    empty: str = ""
    described: str = ""


@dataclass(frozen=True, slots=True)
class _Slab:
    """Where a coat lies in the section, and where its words stand."""

    layer: Layer
    top: float
    foot: float
    words: float = 0.0

    @property
    def middle(self) -> float:
        return (self.top + self.foot) / 2


def section_height(section: Section, width: float) -> float:
    """Return the height in mm at which a section of this width shows every coat and its words."""
    room = _room(width)
    words = sum(_need(layer, room) + _APART for layer in section.layers)
    return head_height(section, width) + max(27.0, words) + _SUBSTRATE + 1.4


def section(section: Section, width: float, height: float | None = None) -> Scene:
    """Draw the section, ``width`` × ``height`` mm; the height that it needs where None.

    Where the height is too small, first the details go, then names, evenly; the coats stay.
    """
    height = height or section_height(section, width)
    if not section.layers:
        return nothing(section, width, height)
    block, room = _block(width), _room(width)
    top = head_height(section, width) + 1.0
    foot = height - _SUBSTRATE - 0.4
    slabs = _slabs(section.layers, top, foot)
    items: list[Item] = [
        *header(section, width),
        *_substrate(section, block, width, height),
        *(part for slab in slabs for part in _drawn(slab, block)),
        *(part for slab in _worded(slabs, top, foot, room) for part in _said(slab, block, room)),
    ]
    said = tuple(
        (_key(layer, number), layer.said or f"{layer.name}. {layer.detail}")
        for number, layer in enumerate(section.layers)
    )
    items += [
        shapes.rect(0, slab.top, block, slab.foot - slab.top, Style(None), key)
        for slab, (key, _) in zip(slabs, said, strict=True)
    ]
    return Scene(width, height, tuple(items), section.described, said)


def _block(width: float) -> float:
    """Return how wide the coats are drawn."""
    return min(width * 0.34, 44.0)


def _room(width: float) -> float:
    """Return how wide the words beside them may be."""
    return width - _block(width) - 5.4


def _details(layer: Layer, room: float) -> tuple[str, ...]:
    return font.wrap(layer.detail, room, font.SMALL) if layer.detail else ()


def _key(layer: Layer, number: int) -> str:
    return layer.key or f"layer:{number}"


def _slabs(layers: tuple[Layer, ...], top: float, foot: float) -> list[_Slab]:
    """Stack the coats from the substrate up, those of known thickness to one scale."""
    known = [_still(layer) for layer in layers if layer.stand != "gone" and layer.micrometres]
    fixed = sum(_GONE if la.stand == "gone" else _UNKNOWN for la in layers if not _scaled(la))
    room = foot - top - fixed
    unit = min(room / sum(known), 0.12) if known else 0.0
    spare = sum(max(_LEAST - film * unit, 0.0) for film in known)
    unit *= max(room - spare, 0.0) / room if known and unit * sum(known) + spare > room else 1.0
    slabs = []
    for layer in layers:
        high = max(_still(layer) * unit, _LEAST) if _scaled(layer) else _UNKNOWN
        high = _GONE if layer.stand == "gone" else high
        slabs.append(_Slab(layer, foot - high, foot))
        foot -= high
    return slabs


def _scaled(layer: Layer) -> bool:
    return layer.stand != "gone" and bool(layer.micrometres)


def _still(layer: Layer) -> float:
    return layer.micrometres or 0.0


def _worded(slabs: list[_Slab], top: float, foot: float, room: float) -> list[_Slab]:
    """Give the words of each coat a place beside it, pushed apart where they would touch."""
    shown = _shown(slabs, foot - top, room)
    needs = [_need(slab.layer, room) + _APART for slab in shown]
    places: list[float] = []
    limit = foot
    for slab, need in zip(shown, needs, strict=True):
        places.append(min(slab.middle + (need - _APART) / 2, limit))
        limit = places[-1] - need
    limit = top + needs[-1] - _APART
    for index in reversed(range(len(shown))):
        places[index] = max(places[index], limit)
        limit = places[index] + (needs[index - 1] if index else 0.0)
    return [
        _Slab(slab.layer, slab.top, slab.foot, place)
        for slab, place in zip(shown, places, strict=True)
    ]


def _shown(slabs: list[_Slab], high: float, room: float) -> list[_Slab]:
    """Return the coats that are worded in this height, without details where it is too small."""
    if sum(_need(slab.layer, room) + _APART for slab in slabs) <= high + _APART:
        return slabs
    bare = [replace(slab, layer=replace(slab.layer, detail="")) for slab in slabs]
    count = max(int((high + _APART) / (_CAP + _APART)), 1)
    ranks = spread(len(bare))
    return [slab for slab, rank in zip(bare, ranks, strict=True) if rank < count]


def _need(layer: Layer, room: float) -> float:
    return _CAP + ROW * len(_details(layer, room))


def _substrate(section: Section, block: float, width: float, height: float) -> list[Item]:
    top = height - _SUBSTRATE - 0.4
    body = shapes.rect(0.2, top, block - 0.2, _SUBSTRATE, Style("edge", "card", 0.25))
    said = font.fit(section.substrate, width - block - 6, font.SMALL)
    base = top + _SUBSTRATE / 2 + _CAP / 2
    return [
        body,
        shapes.line(block + 0.6, base - _CAP / 2, block + 4.4, base - _CAP / 2, _leader()),
        Text(block + 5.2, base, said, font.SMALL, color="muted"),
    ]


def _leader() -> Style:
    return Style("muted", width=0.2)


def _drawn(slab: _Slab, block: float) -> list[Item]:
    layer, high = slab.layer, slab.foot - slab.top
    if layer.stand == "gone":
        style = Style("edge", width=0.2, dash=(0.9, 0.7))
        return [shapes.rect(1.6, slab.top + 0.3, block - 3.2, high - 0.6, style)]
    known = bool(layer.micrometres)
    style = Style("edge", layer.colour, 0.2, () if known else (1.2, 0.8))
    if layer.stand == "thinned":
        return [shapes.polygon(_worn(slab, block), style)]
    # A patch ends where the leader of its words begins.
    wide = max((block - 0.2) * layer.share, _PATCH)
    return [shapes.rect(block - wide, slab.top, wide, high, style)]


def _worn(slab: _Slab, block: float) -> list[shapes.Point]:
    """Return the outline of a coat whose upper face is eaten away in places."""
    depth = (slab.foot - slab.top) * 0.55
    share = (0.1, 0.0, 0.5, 0.9, 0.4, 0.05, 0.6, 1.0, 0.7, 0.2, 0.0, 0.45, 0.1)
    step = (block - 0.2) / (len(share) - 1)
    face = [(0.2 + step * n, slab.top + depth * bite) for n, bite in enumerate(share)]
    return [*face, (block, slab.foot), (0.2, slab.foot)]


def _said(slab: _Slab, block: float, room: float) -> list[Item]:
    layer = slab.layer
    gone = layer.stand == "gone"
    lines = [font.fit(layer.name, room, font.SMALL), *_details(layer, room)]
    first = slab.words - ROW * (len(lines) - 1)
    beside = first - _CAP / 2
    start = block - 1.6 if gone else block
    points = ((start + 0.6, slab.middle), (block + 1.4, slab.middle), (block + 4.4, beside))
    items: list[Item] = [shapes.polyline(points, _leader())]
    for number, line in enumerate(lines):
        color = "muted" if gone or number else "ink"
        items.append(Text(block + 5.2, first + ROW * number, line, font.SMALL, color=color))
    return items
