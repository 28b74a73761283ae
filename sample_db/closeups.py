"""Close pictures of the places that are followed, drawn to scale from the figures on record.

Framing and scale are those of the place and never change, and neither does what belongs to it for
good: where blisters sit, the way a crack runs, the pits of one anode.  Light, dirt, damp and paint
are another each year and tell nothing of the order.
"""

from __future__ import annotations

import itertools
from typing import TYPE_CHECKING

import numpy as np
from PIL import Image, ImageDraw

from . import texture
from .pictures import PER_MM, dice, scale_bar

if TYPE_CHECKING:
    from collections.abc import Sequence

TOPSIDES, BOOT_TOP, PRIMER = "#8f3a2c", "#e6dfca", "#9aa3a6"
KEEL_PER_MM, ANODE_PER_MM, CRACK_PER_MM, WATER_PER_MM = 2.6, 8.0, 7.0, 1.6
ZINC_G_PER_MM3 = 7.14e-3
BORE, COLLAR_WIDE = 25.0, 60.0
"""Diameters in mm of the shaft and of a new collar on it."""


def blisters(
    place: str, sizes_mm: Sequence[float], colour: str, *, wet: bool, year: int
) -> Image.Image:
    """Draw a hand's breadth of bottom with blisters; the oldest keep their places."""
    rng = dice("skin", place, year)
    picture = texture.painted(rng, colour, wet=wet)
    spots = [
        (x, y, size / 2 * PER_MM)
        for size, (x, y) in zip(sizes_mm, _apart(place, len(sizes_mm)), strict=True)
    ]
    picture = texture.domes(picture, spots, wet=wet)
    return scale_bar(texture.image_of(texture.weathered(rng, picture)))


def _apart(place: str, count: int) -> list[tuple[float, float]]:
    """Return where blisters sit: the nth at the same point however many there are."""
    where = dice("blisters", place)
    found: list[tuple[float, float]] = []
    gap = 104.0
    while len(found) < count:
        at = (float(where.normal(600, 230)), float(where.normal(400, 170)))
        inside = 80 < at[0] < 1120 and 80 < at[1] < 760
        if inside and all(np.hypot(at[0] - x, at[1] - y) > gap for x, y in found):
            found.append(at)
            gap = 104.0
        gap *= 0.97
    return found


def keel_corner(
    place: str,
    area_cm2: float,
    colour: str,
    *,
    year: int,
    patches: Sequence[tuple[int, float]] = (),
    primed: bool = False,
) -> Image.Image:
    """Draw the lower after corner of a keel on the hard, with its rust and the patches it had.

    ``patches`` are (year, cm²) of what was ground and primed since the face was last stripped;
    with ``primed`` no antifouling lies on the last of them yet.
    """  # fmt: skip
    rng = dice("keel", place, year)
    picture = texture.painted(rng, colour, wet=False)
    x, y = texture.grid()
    edge: texture.Plane = 752 - x * 0.012 + 3 * texture.noise(dice("edge", place), 14)[0][None, :]
    after = 1080 - (y - 400) * 0.16
    ground = texture.plain("#8f8a80", 0.9 + 0.1 * texture.layered(rng, (20, 90, 200), 0.8))
    off = np.maximum(texture.soft_step(y, edge, 6), texture.soft_step(x, after, 6))
    middle = (760.0, 500.0)
    for number, (done, patch_cm2) in enumerate(patches, 1):
        bare = primed and number == len(patches)
        picture = _patch(picture, dice("patch", place, done), middle, patch_cm2, colour, bare=bare)
    rust = dice("rust", place)
    picture = texture.rusted(rust, picture, middle, _radius(area_cm2, KEEL_PER_MM))
    picture = picture * (1 - off)[..., None] + ground * off[..., None]
    shadow = np.exp(-np.clip(y - edge, 0, None) / 40) * (y > edge) * (x < after)
    picture = picture * (1 - 0.55 * shadow)[..., None]
    return scale_bar(texture.image_of(texture.weathered(rng, picture)), per_mm=KEEL_PER_MM)


def _radius(area_cm2: float, per_mm: float) -> float:
    return float((area_cm2 * 100 / np.pi) ** 0.5 * per_mm)


def _patch(
    picture: texture.Plane,
    rng: np.random.Generator,
    middle: tuple[float, float],
    area_cm2: float,
    colour: str,
    *,
    bare: bool,
) -> texture.Plane:
    """Lay a ground and primed patch: smoother inside, its feathered edge standing out."""
    x, y = texture.grid()
    radius = _radius(area_cm2, KEEL_PER_MM)
    middle = (middle[0] + float(rng.normal(0, 12)), middle[1] + float(rng.normal(0, 12)))
    wobble = 0.06 * texture.noise(rng, 7)
    # A superellipse: a grinder leaves no circle, a hand no square.
    across, down = np.abs(x - middle[0]) / (radius * 1.08), np.abs(y - middle[1]) / (radius * 0.82)
    reach = (across**3 + down**3) ** (1 / 3) + wobble
    inside = texture.soft_step(1 - reach, 0, 0.05)
    smooth = texture.plain(PRIMER if bare else colour, 1.06 + 0.02 * texture.noise(rng, 40))
    weight = (inside * (1.0 if bare else 0.8))[..., None]
    picture = picture * (1 - weight) + smooth * weight
    lip, fall = np.exp(-(((reach - 1.0) / 0.03) ** 2)), np.exp(-(((reach - 1.07) / 0.035) ** 2))
    lit = np.clip((middle[0] - x) * 0.8 + (middle[1] - y), -radius, radius) / radius
    picture = picture * (1 - 0.45 * lip * (0.6 - 0.4 * lit) - 0.1 * fall)[..., None]
    return texture.mixed(picture, "#d9dcd6", 0.3 * fall * (0.6 + 0.4 * lit))


def collar(grams: float, new_grams: float) -> tuple[float, float]:
    """Return diameter and length in mm of a zinc collar that wore evenly to a mass.

    The new one is as long as its mass asks; the same depth is gone from its round and both ends.
    """
    long = new_grams / ZINC_G_PER_MM3 / (np.pi / 4 * (COLLAR_WIDE**2 - BORE**2))
    gone, most = 0.0, min(long / 2, (COLLAR_WIDE - BORE) / 2)
    low, high = 0.0, most
    for _ in range(40):
        gone = (low + high) / 2
        wide, left = COLLAR_WIDE - 2 * gone, long - 2 * gone
        mass = np.pi / 4 * (wide**2 - BORE**2) * left * ZINC_G_PER_MM3
        low, high = (gone, high) if mass > grams else (low, gone)
    return COLLAR_WIDE - 2 * gone, float(long - 2 * gone)


def shaft_anode(
    grams: float, new_grams: float, *, piece: str, year: str, bright: bool = False
) -> Image.Image:
    """Draw the collar on the shaft between bearing and propeller, as large as its mass says."""
    rng, own = dice("anode", year), dice("piece", piece)
    picture = texture.plain("#35414b", 0.9 + 0.12 * texture.layered(rng, (6, 20), 0.6))
    x, y = texture.grid()
    picture = _shaft(picture, rng)
    wide, long = collar(grams, new_grams)
    screws = 0.18 * collar(new_grams, new_grams)[1] * ANODE_PER_MM
    worn = 1 - grams / new_grams
    eaten = texture.layered(own, (14, 40, 110), 0.7)
    ragged = 5 + 60 * worn
    # The ragged edge takes nothing on the whole: what is eaten here stands out there.
    tall = wide / 2 * ANODE_PER_MM + ragged * 0.35 * _even(eaten[texture.ROWS // 3])[None, :]
    half = long / 2 * ANODE_PER_MM + ragged * 0.35 * _even(eaten[:, texture.COLUMNS // 3])[:, None]
    body = texture.soft_step(tall - np.abs(y - 430), 0, 5) * texture.soft_step(
        half - np.abs(x - 600), 0, 5
    )
    light = np.clip(1.12 - ((y - 350) / 330) ** 2 * 0.8, 0.25, 1.2)
    zinc = texture.plain("#d3d6d3" if bright else "#b4b5ae", light + 0.05 * eaten)
    pits = texture.soft_step(texture.layered(own, (26, 70), 0.8), 1.9 - 2.4 * worn, 0.5)
    zinc = texture.mixed(zinc, "#e9e7dd", (0.0 if bright else 0.3) * pits)
    zinc = texture.mixed(zinc, "#55564f", min(1.3 * worn, 0.75) * pits)
    picture = picture * (1 - body)[..., None] + zinc * body[..., None]
    image = texture.image_of(texture.weathered(rng, picture))
    draw = ImageDraw.Draw(image)
    for side in (-1, 1):
        _screw(draw, 600 + side * screws, 490, float(own.uniform(0, 3)))
    return scale_bar(image, per_mm=ANODE_PER_MM, length_mm=50)


def _even(line: texture.Plane) -> texture.Plane:
    even: texture.Plane = np.clip(line - line.mean(), -1.6, 1.6)
    return even


def _shaft(picture: texture.Plane, rng: np.random.Generator) -> texture.Plane:
    """Lay the shaft across, with the end of its bearing to the left and the hub to the right."""
    x, y = texture.grid()
    away = np.abs(y - 430) / ANODE_PER_MM
    light = np.clip(1.15 - away / 12.5 * 0.6 - (y - 430) / 520, 0.1, 1.3)
    steel = texture.plain("#a9a795", light + 0.03 * texture.noise(rng, 120))
    picture = np.where((away < BORE / 2)[..., None], steel, picture)
    round_light = np.clip(1.1 - ((y - 340) / 380) ** 2, 0.2, 1.2)
    housing = texture.plain("#7d6a3c", round_light + 0.04 * texture.noise(rng, 60))
    picture = np.where(((x < 170) & (away < 27))[..., None], housing, picture)
    hub = texture.plain("#b08a3e", round_light + 0.03 * texture.noise(rng, 60))
    return np.where(((x > 1040) & (away < 22))[..., None], hub, picture)


def _screw(draw: ImageDraw.ImageDraw, x: float, y: float, turn: float) -> None:
    draw.ellipse((x - 27, y - 27, x + 27, y + 27), fill="#77766b", outline="#3d3d36", width=4)
    across, down = 20 * np.cos(turn), 20 * np.sin(turn)
    draw.line((x - across, y - down, x + across, y + down), fill="#2d2d28", width=7)


def topsides_crack(length_mm: float, *, year: int, faired: bool = False) -> Image.Image:
    """Draw a scupper in the topsides and the crack that starts at it, or the patch over it."""
    rng, place = dice("topsides", year), dice("crack")
    picture = texture.plain(TOPSIDES, 0.97 + 0.025 * texture.layered(rng, (4, 11), 0.6))
    picture = texture.mixed(picture, "#b5796c", 0.16 * texture.soft_step(
        texture.layered(dice("chalk"), (7, 30), 0.6), 0.4, 2.0))  # fmt: skip
    line = _way(place)
    if faired:
        picture = _faired(picture, dice("faired"))
    picture = texture.weathered(rng, picture, streaks=3)
    image = texture.image_of(picture)
    draw = ImageDraw.Draw(image)
    if length_mm > 0:
        _crack(image, line, length_mm)
    draw.ellipse((230, 70, 510, 350), fill="#a98d52", outline="#5f4c24", width=5)
    draw.ellipse((272, 112, 468, 308), fill="#191512", outline="#5f4c24", width=4)
    for turn, cut in zip((0.9, 3.0, 5.1), place.uniform(0, 3, 3), strict=True):
        x, y = 370 + 119 * np.cos(turn), 210 + 119 * np.sin(turn)
        draw.ellipse((x - 11, y - 11, x + 11, y + 11), fill="#8c733e", outline="#4f401f", width=2)
        across, down = 8 * np.cos(cut), 8 * np.sin(cut)
        draw.line((x - across, y - down, x + across, y + down), fill="#3d3118", width=3)
    return scale_bar(image, per_mm=CRACK_PER_MM, length_mm=50)


def _way(place: np.random.Generator) -> list[tuple[float, float]]:
    """Return the points of the crack's way, a millimetre apart, from the ring outwards."""
    x, y, turn = 478.0, 300.0, 0.42
    points = [(x, y)]
    for _ in range(100):
        turn += float(place.normal(0, 0.22)) + (0.42 - turn) * 0.12
        x, y = x + CRACK_PER_MM * np.cos(turn), y + CRACK_PER_MM * np.sin(turn)
        points.append((x, y))
    return points


def _crack(image: Image.Image, line: Sequence[tuple[float, float]], length_mm: float) -> None:
    """Draw as much of the crack as was measured, finest at its tip."""
    layer = Image.new("L", image.size, 0)
    draw = ImageDraw.Draw(layer)
    shown = line[: round(length_mm) + 1]
    for number, (one, other) in enumerate(itertools.pairwise(shown)):
        left = 1 - number / len(shown)
        draw.line((*one, *other), fill=255, width=round(3 + 4 * left))
    image.paste("#1c0d0a", mask=layer)
    light = Image.new("L", image.size, 0)
    pen = ImageDraw.Draw(light)
    pen.line([(x + 4, y + 5) for x, y in shown], fill=110, width=3)
    image.paste("#d9a99d", mask=light)
    image.paste("#1c0d0a", mask=layer)


def _faired(picture: texture.Plane, rng: np.random.Generator) -> texture.Plane:
    """Lay the painted patch over where the crack ran: fresher paint to a taped edge."""
    x, y = texture.grid()
    across, down = np.abs(x - 760) / 350, np.abs(y - 420) / 235
    reach = (across**6 + down**6) ** (1 / 6) + 0.006 * texture.noise(rng, 60)
    inside = texture.soft_step(1 - reach, 0, 0.015)[..., None]
    fresh = texture.plain("#a5402f", 1.0 + 0.02 * texture.noise(rng, 90))
    picture = picture * (1 - inside) + fresh * inside
    filled = np.exp(-((np.hypot((x - 740) / 300, (y - 410) / 120)) ** 4))
    picture = picture * (1 - 0.07 * filled * (1 + 0.5 * texture.noise(rng, 30)))[..., None]
    lip = np.exp(-(((reach - 1.0) / 0.014) ** 2))
    return texture.mixed(picture, "#5d2018", 0.75 * lip)


def waterline(cover: float, colour: str, under: str, *, coated: int, year: str) -> Image.Image:
    """Draw the boot-top amidships with the antifouling below it, worn through to the last colour.

    ``cover`` is the share that the coats of the year ``coated`` still hide; where the tape ran and
    how the roller lapped are theirs.
    """  # fmt: skip
    rng, coat = dice("water", year), dice("coat", coated)
    x, y = texture.grid()
    picture = texture.plain(TOPSIDES, 0.97 + 0.03 * texture.layered(rng, (4, 11), 0.6))
    boot = texture.plain(BOOT_TOP, 0.97 + 0.02 * texture.layered(rng, (5, 40), 0.6))
    tape = 318 + 7 * texture.noise(coat, 9)[0][None, :]
    picture = np.where((y > 170)[..., None], boot, picture)
    below = texture.soft_step(y, tape, 3)
    laps = np.sin(x / 56 + 3 * texture.noise(coat, 3)) * 0.03
    paint = texture.plain(colour, 1.0 + laps + 0.03 * texture.layered(coat, (8, 50), 0.6))
    old = texture.plain(
        under, 0.96 + 0.04 * texture.layered(dice("coat", coated - 1), (8, 50), 0.6)
    )
    # Most goes where the water laps; the share that is gone is that on record.
    wears = texture.layered(coat, (9, 26, 90), 0.62) + 1.1 * np.exp(
        -np.clip(y - 318, 0, None) / 160
    )
    seen = wears[y > 330]
    through = np.quantile(seen, cover) if cover < 1 else seen.max() + 1
    worn = texture.soft_step(wears, through, 0.14)
    thin = texture.soft_step(wears, through - 0.5, 0.9) * (cover < 1)
    bottom = paint * (1 - 0.25 * thin)[..., None] + old * (0.25 * thin)[..., None]
    bottom = bottom * (1 - worn)[..., None] + old * worn[..., None]
    picture = picture * (1 - below)[..., None] + bottom * below[..., None]
    picture = texture.weathered(rng, picture, streaks=4)
    return scale_bar(texture.image_of(picture), per_mm=WATER_PER_MM, length_mm=200)
