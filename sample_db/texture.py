"""Surfaces to draw on: soft noise, painted skin, growth, rust, light across small heights."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from PIL import Image

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    Plane = NDArray[np.float32]
    Colour = tuple[float, float, float]

WIDTH, HEIGHT = 1200, 900
"""Size of a picture; all places in pictures are given in these points."""
SHRINK = 1 / 2
COLUMNS, ROWS = 600, 450
"""Size at which surfaces are made before the picture is enlarged."""
LIGHT = np.array([-0.66, -0.42, 0.62], np.float32)
"""Low light from the upper left, as a torch is held to show shallow relief."""


def noise(rng: np.random.Generator, cells: int, size: tuple[int, int] = (COLUMNS, ROWS)) -> Plane:
    """Return soft noise of mean 0 and deviation about 1 with ``cells`` cells across."""
    rows = max(2, round(cells * size[1] / size[0]))
    small = rng.standard_normal((rows, cells)).astype(np.float32)
    grown = Image.fromarray(small).resize(size, Image.Resampling.BICUBIC)
    return np.asarray(grown, np.float32)


def layered(rng: np.random.Generator, cells: Sequence[int], fall: float = 0.6) -> Plane:
    """Return noise of several sizes, each weaker by ``fall`` than the one before."""
    parts = [noise(rng, count) * fall**step for step, count in enumerate(cells)]
    total: Plane = sum(parts[1:], parts[0])
    return total


def rgb(colour: str) -> Colour:
    """Return a colour written as #rrggbb."""
    return (int(colour[1:3], 16), int(colour[3:5], 16), int(colour[5:7], 16))


def plain(colour: str, shade: Plane) -> Plane:
    """Return a picture of one colour, lighter and darker by ``shade``."""
    return np.asarray(rgb(colour), np.float32)[None, None, :] * shade[..., None]


def mixed(picture: Plane, colour: str | Colour, share: Plane) -> Plane:
    """Lay a colour over a picture, by a share at every point."""
    over = np.asarray(rgb(colour) if isinstance(colour, str) else colour, np.float32)
    weight = np.clip(share, 0, 1)[..., None]
    result: Plane = picture * (1 - weight) + over[None, None, :] * weight
    return result


def soft_step(field: Plane, edge: Plane | float, width: float) -> Plane:
    """Return 0 below an edge, 1 above, with a soft rise between."""
    t = np.clip((field - edge) / width + 0.5, 0, 1)
    result: Plane = t * t * (3 - 2 * t)
    return result


def grid() -> tuple[Plane, Plane]:
    """Return x and y of every point."""
    y, x = np.mgrid[0:ROWS, 0:COLUMNS].astype(np.float32) / np.float32(SHRINK)
    return x, y


def painted(rng: np.random.Generator, colour: str, *, wet: bool) -> Plane:
    """Return antifouled skin: brush marks, wear, and the dark of wet paint."""
    cloud = layered(rng, (5, 14, 60), 0.55)
    marks = np.asarray(
        Image.fromarray(rng.standard_normal((220, 6)).astype(np.float32)).resize(
            (COLUMNS, ROWS), Image.Resampling.BICUBIC
        ),
        np.float32,
    )
    shade = (0.80 if wet else 1.0) + 0.055 * cloud + 0.025 * marks
    picture = plain(colour, shade)
    return mixed(picture, "#b9b3a5", 0.06 * soft_step(layered(rng, (9, 40)), 1.5, 0.8))


def weathered(rng: np.random.Generator, picture: Plane, *, streaks: int = 2) -> Plane:
    """Give a picture the day's own light, some dirt and where drips ran: they tell no year."""
    x, y = grid()
    turn, deep = rng.uniform(0, 2 * np.pi), rng.uniform(0.06, 0.16)
    across = (np.cos(turn) * (x - 600) + np.sin(turn) * (y - 450)) / 750
    warm = np.array([1, 1, 1] + rng.uniform(-0.03, 0.03) * np.array([1, 0, -1]), np.float32)
    picture = picture * (rng.uniform(0.97, 1.1) + deep * across)[..., None] * warm
    for _ in range(rng.integers(0, streaks + 1)):
        at, top, wide = rng.uniform(60, 1140), rng.uniform(-100, 500), rng.uniform(5, 13)
        drift = 6 * noise(rng, 5)[:, :1]
        run = np.exp(-(((x - at + drift) / wide) ** 2)) * soft_step(y, top, 160)
        picture = mixed(picture, "#6d6a5c", 0.22 * run * soft_step(top + 430 - y, 0, 300))
    specks = soft_step(noise(rng, 150), rng.uniform(2.9, 3.4), 0.5)
    return mixed(picture, "#6b6455", 0.5 * specks)


def grown(rng: np.random.Generator, picture: Plane, level: int) -> Plane:
    """Lay growth on a picture: slime at level 1, weed from 2, shells from 3."""
    if level <= 0:
        return picture
    cover = (0.9, 0.7, 0.25, -0.15, -0.6)[min(level, 5) - 1]
    field = layered(rng, (6, 18, 70), 0.7)
    picture = mixed(picture, "#5e6b3f", (0.35 + 0.1 * level) * soft_step(field, cover, 1.1))
    if level >= 2:
        strands = noise(rng, 160) * 0.6 + field
        picture = mixed(picture, "#39482a", 0.5 * soft_step(strands, cover + 0.9, 0.5))
    if level >= 3:
        picture = _shells(rng, picture, 45 * (level - 2))
    return picture


def _shells(rng: np.random.Generator, picture: Plane, count: int) -> Plane:
    for _ in range(count):
        x, y = rng.uniform(30, WIDTH - 30), rng.uniform(30, HEIGHT - 30)
        radius = rng.uniform(5, 13)
        window, reach = _window(x, y, radius)
        ring = np.exp(-(((reach - 0.72) / 0.3) ** 2))
        part = mixed(picture[window], "#d9d3c1", 0.85 * ring)
        picture[window] = mixed(part, "#3a3a32", 0.8 * soft_step(-reach, -0.32, 0.3))
    return picture


def _window(x: float, y: float, radius: float) -> tuple[tuple[slice, slice], Plane]:
    """Return a square about a point, and the distance from it in radii."""
    x, y, radius = x * SHRINK, y * SHRINK, radius * SHRINK
    pad = int(radius * 1.6) + 2
    left, right = max(0, int(x) - pad), min(COLUMNS, int(x) + pad + 1)
    top, bottom = max(0, int(y) - pad), min(ROWS, int(y) + pad + 1)
    ys, xs = np.mgrid[top:bottom, left:right].astype(np.float32)
    return (slice(top, bottom), slice(left, right)), np.hypot(xs - x, ys - y) / radius


def domes(picture: Plane, found: Sequence[tuple[float, float, float]], *, wet: bool) -> Plane:
    """Raise blisters (x, y, radius in points) and light them from the side."""
    for x, y, radius in found:
        window, reach = _window(x, y, radius)
        height = np.clip(1 - reach**2, 0, None) ** 1.5 * radius * SHRINK * 0.42
        slope_y, slope_x = np.gradient(height)
        length = np.sqrt(slope_x**2 + slope_y**2 + 1)
        lit = (-slope_x * LIGHT[0] - slope_y * LIGHT[1] + LIGHT[2]) / length
        rise = lit - LIGHT[2]
        # Dark paint shines more than it shades, so light is added as well as taken.
        part = picture[window] * (1 + 0.9 * rise)[..., None] + (60 * np.clip(rise, 0, 1))[..., None]
        shadow = np.exp(-(((reach - 1.08) / 0.16) ** 2)) * 0.16
        part = part * (1 - shadow)[..., None]
        if wet:
            glint = np.clip(lit, 0, 1) ** 18 * (reach < 1)
            part = mixed(part, "#ffffff", 0.75 * glint.astype(np.float32))
        picture[window] = part
    return picture


def rusted(
    rng: np.random.Generator, picture: Plane, middle: tuple[float, float], radius: float
) -> Plane:
    """Lay a ragged patch of rust about a point, with its stain run down."""
    if radius <= 0:
        return picture
    x, y = grid()
    reach = np.hypot((x - middle[0]) * 0.85, y - middle[1]) / radius
    ragged = layered(rng, (10, 30, 90), 0.6)
    body = soft_step(1 - reach + 0.22 * ragged, 0.0, 0.18)
    below = np.clip((y - middle[1]) / (radius * 2.2), 0, 1) * (1 - np.clip(
        (y - middle[1]) / (radius * 3.4), 0, 1))  # fmt: skip
    beside = np.exp(-(((x - middle[0]) / (radius * 0.8)) ** 2)) * (1 + 0.5 * noise(rng, 80))
    picture = mixed(picture, "#8a5a34", 0.55 * np.clip(below * beside, 0, 1) * 1.6)
    picture = mixed(picture, "#7a3c1b", 0.92 * body)
    picture = mixed(picture, "#b5652b", 0.7 * body * soft_step(ragged, 0.4, 0.9))
    return mixed(picture, "#3b1d10", 0.65 * body * soft_step(layered(rng, (60, 140)), 1.0, 0.6))


def image_of(picture: Plane) -> Image.Image:
    """Return the picture as an image of eight bits."""
    small = Image.fromarray(np.clip(picture, 0, 255).astype(np.uint8))
    return small.resize((WIDTH, HEIGHT), Image.Resampling.LANCZOS)
