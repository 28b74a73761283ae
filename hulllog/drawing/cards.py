"""Rating cards of our own: blisters to scale, and shares of an area.

Nothing is traced or taken from a standard's pictures.  The marks are scattered by a fixed rule,
and the share that they cover is the share that the card says.
"""

from __future__ import annotations

import math
import random
from dataclasses import dataclass
from typing import Literal

from hulllog.drawing import font, scatter, shapes
from hulllog.drawing.scene import Path, Scene, Style, Text

Look = Literal["dots", "rust", "slime", "weed", "shell"]

BLISTER_SIZES = (3.0, 10.0, 25.0, 50.0)
"""The diameters in mm at which our cards show blisters: where a size class ends."""
SHARES = (0.0003, 0.001, 0.003, 0.01, 0.03, 0.1, 0.16, 0.33, 0.5)
"""Shares of an area that a card can be asked for; 0.0003 to 0.5 in all."""

_RADIUS = 1.6
_INSET = 0.9


@dataclass(frozen=True, slots=True)
class Blisters:
    """What the keeper counts: how many, how wide they mostly are, and the widest, in mm."""

    count: int
    typical: float
    largest: float


def blister_card(
    blisters: Blisters,
    width: float = 42.0,
    height: float = 28.0,
    *,
    across: float = 150.0,
    scale_mm: float = 50.0,
    scale_text: str = "",
    key: str = "",
    seed: int = 3,
) -> Scene:
    """Draw blisters to scale on a piece of hull ``across`` mm wide, with a bar of ``scale_mm``.

    ``scale_text`` stands over the bar.
    """
    unit = width / across
    field = (width - 2 * _INSET, height - 2 * _INSET)
    radii = tuple(size / 2 * unit for size in _sizes(blisters, seed))
    spots = scatter.counted(field, radii, seed)
    items = [
        _ground(width, height),
        *(part for spot in spots for part in _blister(spot)),
        *_bar(width, height, scale_mm * unit, scale_text),
    ]
    if key:
        items.append(shapes.rect(0, 0, width, height, Style(None), key))
    return Scene(width, height, tuple(items))


def _sizes(blisters: Blisters, seed: int) -> list[float]:
    """Return the diameters: one the largest, the others about the typical one."""
    if blisters.count <= 0:
        return []
    rng = random.Random(seed * 7919 + blisters.count)
    others = [
        min(blisters.typical * (0.7 + 0.6 * rng.random()), blisters.largest)
        for _ in range(blisters.count - 1)
    ]
    return [blisters.largest, *others]


def _blister(spot: scatter.Spot) -> list[Path]:
    x, y, r = spot.x + _INSET, spot.y + _INSET, spot.r
    drawn = [shapes.circle(x, y, r, Style("card_edge", "card_mark", min(0.2, r * 0.3)))]
    if r > 0.7:
        drawn.append(_gleam(x, y, r * 0.62))
    return drawn


def _gleam(x: float, y: float, r: float) -> Path:
    """Draw the light on the upper left of something raised: a quarter of a circle."""
    start, end = (x - r, y), (x, y - r)
    h = r * 0.55
    ops = (
        ("M", *start),
        ("C", x - r, y - h, x - h, y - r, *end),
    )
    return Path(ops, Style("card", width=min(0.35, r * 0.25)))  # type: ignore[arg-type]


def _ground(width: float, height: float) -> Path:
    return shapes.rect(0, 0, width, height, Style(None, "card"), radius=_RADIUS)


def _bar(width: float, height: float, length: float, text: str) -> list[Path | Text]:
    """Draw the scale bar at the lower right, on a clear patch so that marks do not hide it."""
    if not text:
        return []
    wide = max(length, font.width(text, font.SMALL)) + 1.6
    right, foot = width - 0.8, height - 0.8
    patch = Style(None, "card", opacity=0.88)
    middle = right - wide / 2
    return [
        shapes.rect(right - wide, foot - 5.0, wide, 5.0, patch, radius=0.8),
        Text(middle, foot - 2.0, text, font.SMALL, "middle"),
        shapes.line(
            middle - length / 2, foot - 0.9, middle + length / 2, foot - 0.9, Style(width=0.6)
        ),
    ]


def share_card(
    share: float,
    look: Look = "dots",
    width: float = 42.0,
    height: float = 28.0,
    *,
    key: str = "",
    seed: int = 3,
) -> Scene:
    """Draw a field of which ``share`` (0-0.5) is covered: with dots, rust, or a kind of growth.

    What is covered is exactly that share of the whole card, corners included.  Raises ValueError
    outside the range.
    """
    if not 0 <= share <= 0.5:
        raise ValueError(share)
    items: list[Path] = [shapes.rect(0, 0, width, height, Style(None, "card"))]
    items += [
        part for spot in _spots(share, look, width, height, seed) for part in _marked(spot, look)
    ]
    if key:
        items.append(shapes.rect(0, 0, width, height, Style(None), key))
    return Scene(width, height, tuple(items))


def _spots(
    share: float, look: Look, width: float, height: float, seed: int
) -> tuple[scatter.Spot, ...]:
    if share == 0:
        return ()
    total = width * height * share
    largest = {"dots": 0.05, "rust": 0.07, "slime": 0.2, "weed": 0.05, "shell": 0.05}[look]
    top = min(math.sqrt(total * 0.25 / math.pi), largest * max(width, height))
    return scatter.share_of((width, height), share, top, top * 0.22, seed)


def _marked(spot: scatter.Spot, look: Look) -> list[Path]:
    if look == "dots":
        return [shapes.circle(spot.x, spot.y, spot.r, Style(None, "card_edge"))]
    if look == "rust":
        return [shapes.polygon(_ragged(spot), Style(None, "condition.2"))]
    if look == "slime":
        return [shapes.polygon(_ragged(spot), Style(None, "growth", opacity=0.75))]
    body = shapes.circle(spot.x, spot.y, spot.r, Style(None, "growth"))
    if look == "weed":
        return [body, _strands(spot)]
    rim = shapes.circle(spot.x, spot.y, spot.r * 0.5, Style("growth_edge", None, spot.r * 0.18))
    return [body, rim] if spot.r > 0.35 else [body]


def _ragged(spot: scatter.Spot, corners: int = 40) -> list[shapes.Point]:
    """Return an uneven outline of the same area as the round mark, around the same middle."""
    rng = random.Random(f"{spot.x:.4f} {spot.y:.4f}")
    waves = [(n, rng.random() * math.tau, 0.02 + 0.05 * rng.random()) for n in (2, 3, 5)]
    turns = [math.tau * corner / corners for corner in range(corners)]
    reach = [1 + sum(a * math.sin(n * t + shift) for n, shift, a in waves) for t in turns]
    outline = [(r * math.cos(t), r * math.sin(t)) for r, t in zip(reach, turns, strict=True)]
    grown = spot.r * math.sqrt(math.pi / shapes.area(shapes.polygon(outline)))
    return [(spot.x + grown * x, spot.y + grown * y) for x, y in outline]


def _strands(spot: scatter.Spot) -> Path:
    """Draw strands inside a tuft, so that weed is told from shell without colour."""
    rng = random.Random(f"{spot.x:.4f} {spot.y:.4f}")
    ops = []
    for number in range(5):
        x = spot.x + spot.r * (-0.55 + 0.27 * number)
        sway = spot.r * (rng.random() - 0.5) * 0.5
        foot, top = spot.y + spot.r * 0.5, spot.y - spot.r * 0.6
        ops += [
            ("M", x, foot),
            ("C", x + sway, foot - spot.r * 0.4, x - sway, top, x + sway / 2, top),
        ]
    return Path(tuple(ops), Style("growth_edge", width=spot.r * 0.1))  # type: ignore[arg-type]
