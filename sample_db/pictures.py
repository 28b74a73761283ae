"""The pictures of the sample: drawn, never photographed; the same places year after year."""

from __future__ import annotations

import zlib
from datetime import timedelta
from typing import TYPE_CHECKING

import numpy as np
from PIL import ExifTags, Image, ImageDraw

from . import texture

if TYPE_CHECKING:
    from datetime import datetime
    from pathlib import Path

    from hulllog.hull.form import HullForm

PER_MM = 4.0
"""Points of a close picture for a millimetre."""
QUALITY = 62


def dice(*parts: object) -> np.random.Generator:
    """Return a source of chance that depends on the words given and on nothing else."""
    return np.random.default_rng(zlib.crc32(repr(parts).encode()))


def scale_bar(image: Image.Image, per_mm: float = PER_MM, length_mm: int = 100) -> Image.Image:
    """Lay a bar of tens of millimetres, black and white, in the corner."""
    draw = ImageDraw.Draw(image)
    left, top, tall = 40, texture.HEIGHT - 70, 26
    step = length_mm / 10 * per_mm
    right = left + step * 10
    draw.rectangle((left - 8, top - 8, right + 8, top + tall + 8), fill="#f4f1e8")
    for n in range(10):
        fill = "#14181a" if n % 2 == 0 else "#ffffff"
        draw.rectangle((left + n * step, top, left + (n + 1) * step, top + tall), fill=fill)
    draw.rectangle((left, top, right, top + tall), outline="#14181a", width=2)
    return image


def stern_gear(colour: str, *, year: int, growth: int = 0) -> Image.Image:
    """Draw rudder, skeg and propeller seen from astern and to port."""
    rng = dice("stern", year)
    picture = texture.plain("#9b968b", 0.92 + 0.09 * texture.layered(rng, (18, 80, 190), 0.8))
    image = texture.image_of(picture).resize((2400, 1800), Image.Resampling.BILINEAR)
    draw = ImageDraw.Draw(image)
    dark = _darker(colour, 0.82)
    draw.polygon([(0, 0), (2400, 0), (2400, 420), (1500, 640), (700, 760), (0, 830)], fill=colour)
    draw.polygon([(980, 690), (1250, 640), (1220, 1180), (1060, 1220)], fill=dark)
    draw.polygon([(1250, 640), (1720, 540), (1660, 1480), (1270, 1500)], fill=colour)
    draw.line([(1250, 640), (1245, 1190)], fill="#1d2226", width=10)
    draw.polygon([(300, 905), (1010, 830), (1012, 880), (302, 960)], fill="#a9a795")
    for turn, long in ((0.35, 230), (2.45, 215), (4.55, 220)):
        _blade(draw, (1030, 868), turn, long)
    draw.ellipse((985, 823, 1075, 913), fill="#a07c35", outline="#5b4218", width=4)
    small = image.resize((texture.COLUMNS, texture.ROWS), Image.Resampling.BOX)
    soft = np.asarray(small, np.float32) * (1 + 0.035 * texture.noise(rng, 90))[..., None]
    return texture.image_of(_grown_on_paint(rng, soft, colour, growth))


def _blade(draw: ImageDraw.ImageDraw, hub: tuple[int, int], turn: float, length: float) -> None:
    along = np.linspace(0, np.pi, 24)
    out = length * (1 - np.cos(along)) / 2
    across = 78 * np.sin(along)
    c, s = np.cos(turn), np.sin(turn)
    points = [
        (hub[0] + c * a - s * b, hub[1] + s * a + c * b) for a, b in zip(out, across, strict=True)
    ]
    points += [
        (hub[0] + c * a + s * b, hub[1] + s * a - c * b)
        for a, b in zip(out[::-1], across[::-1] * 0.55, strict=True)
    ]
    draw.polygon([(float(x), float(y)) for x, y in points], fill="#b98d3c", outline="#6a4d1b")


def side(
    form: HullForm, colour: str, *, year: int, way: str, growth: int = 0, starboard: bool = False
) -> Image.Image:
    """Draw her whole side as she stands ashore, from her own form."""
    rng = dice("side", year)
    wide, tall = texture.WIDTH * 2, texture.HEIGHT * 2
    image = Image.new("RGB", (wide, tall), "#c3ced3")
    draw = ImageDraw.Draw(image)
    base = 1480
    for n in range(24):
        tint = 195 + n * 2
        draw.rectangle((0, n * 62, wide, n * 62 + 62), fill=(tint - 8, tint, min(tint + 4, 255)))
    draw.polygon([(0, 1180), (500, 1120), (1300, 1150), (2400, 1105), (2400, 1400), (0, 1400)],
                 fill="#8e9c93")  # fmt: skip
    _ground(draw, way, base, wide, tall)
    scale = 1900 / form.particulars.length
    hull = form.patch("hull", "port")

    def at(points: np.ndarray) -> list[tuple[float, float]]:
        return [
            (250 + float(x) * scale, base - (float(z) + form.particulars.draught) * scale)
            for x, _, z in points
        ]

    for part in [patch for patch in form.patches if patch.kind == "foil"]:
        if part.face == "inboard":
            continue
        outline = [*at(part.xyz[:, 0]), *at(part.xyz[::-1, -1])]
        draw.polygon(outline, fill=_darker(colour, 0.9 if part.side > 0 else 0.72))
    sheer, foot = at(hull.xyz[:, -1]), at(hull.xyz[:, 0])
    draw.polygon([*sheer, *foot[::-1]], fill="#8f3a2c")
    water = int(np.argmin(np.abs(hull.v - 1.0)))
    draw.polygon([*at(hull.xyz[:, water]), *foot[::-1]], fill=colour)
    draw.line(at(hull.xyz[:, water]), fill="#f1ead9", width=12)
    draw.line(sheer, fill="#d8c49a", width=14)
    _rig(draw, sheer)
    _props(draw, way, base)
    if starboard:
        image = image.transpose(Image.Transpose.FLIP_LEFT_RIGHT)
    small = image.resize((texture.COLUMNS, texture.ROWS), Image.Resampling.BOX)
    picture = np.asarray(small, np.float32) * (1 + 0.03 * texture.layered(rng, (12, 60)))[..., None]
    return texture.image_of(_grown_on_paint(rng, picture, colour, growth))


def _grown_on_paint(
    rng: np.random.Generator, picture: texture.Plane, colour: str, growth: int
) -> texture.Plane:
    """Lay growth on what has the colour of the antifouling."""
    apart = np.abs(picture - np.asarray(texture.rgb(colour), np.float32)).sum(axis=-1)
    painted = np.clip(1.4 - apart / 110, 0, 1)[..., None]
    result: texture.Plane = picture * (1 - painted) + painted * texture.grown(
        rng, picture.copy(), growth
    )
    return result


def _ground(draw: ImageDraw.ImageDraw, way: str, base: int, wide: int, tall: int) -> None:
    colour = {"floating_dock": "#6e7478", "drying_grid": "#7b7562", "slipway": "#8b877c"}
    draw.rectangle((0, base - 90, wide, tall), fill=colour.get(way, "#97928a"))
    if way == "drying_grid":
        for n in range(9):
            draw.rectangle((n * 290, base, n * 290 + 110, base + 60), fill="#4d4334")
    if way == "slipway":
        draw.polygon([(0, base + 60), (wide, base + 20), (wide, base + 55), (0, base + 100)],
                     fill="#5a4a3a")  # fmt: skip
    if way == "floating_dock":
        for x in (0, wide - 130):
            draw.rectangle((x, 500, x + 130, base), fill="#59626a")


def _rig(draw: ImageDraw.ImageDraw, sheer: list[tuple[float, float]]) -> None:
    top = min(y for _, y in sheer)
    for share, high in ((0.36, 0.0), (0.79, 240.0)):
        x, y = sheer[round(share * (len(sheer) - 1))]
        draw.rectangle((x - 9, high, x + 9, y), fill="#d9cfae")
    x0, x1 = sheer[len(sheer) // 3][0], sheer[int(len(sheer) * 0.72)][0]
    draw.polygon([(x0, top + 30), (x0 + 60, top - 75), (x1, top - 60), (x1 + 30, top + 50)],
                 fill="#efe9da", outline="#5f6d75")  # fmt: skip
    for n in range(4):
        left = x0 + 130 + n * (x1 - x0 - 200) / 4
        draw.rounded_rectangle((left, top - 40, left + 90, top - 2), 12, fill="#3f4d55")


def _props(draw: ImageDraw.ImageDraw, way: str, base: int) -> None:
    if way in ("hoist", "crane"):
        for x in (640, 1150, 1780):
            draw.polygon([(x, base - 330), (x + 26, base - 330), (x + 96, base), (x + 60, base)],
                         fill="#b0762e")  # fmt: skip
            draw.rectangle((x - 34, base - 352, x + 56, base - 322), fill="#3b3f42")


def pads(form: HullForm) -> Image.Image:
    """Draw where the pads bear, from above: a sketch on paper."""
    image = Image.new("RGB", (texture.WIDTH, texture.HEIGHT), "#fbf8ef")
    draw = ImageDraw.Draw(image)
    scale = 1040 / form.particulars.length
    sheer = form.patch("hull", "port").xyz[:, -1]
    half = [(80 + float(x) * scale, 450 - float(y) * scale) for x, y, _ in sheer]
    other = [(x, 900 - y) for x, y in half]
    draw.polygon([*half, *other[::-1]], outline="#1f2b33", width=4)
    draw.line([(60, 450), (1140, 450)], fill="#9aa8ae", width=2)
    for patch in form.patches:
        if patch.kind == "sole":
            points = [(80 + float(x) * scale, 450 - float(y) * scale)
                      for x, y, _ in (*patch.xyz[:, 0], *patch.xyz[::-1, -1])]  # fmt: skip
            left, right = min(x for x, _ in points), max(x for x, _ in points)
            top, foot = min(y for _, y in points), max(y for _, y in points)
            pad = (left - 16, top - 14, right + 16, foot + 14)
            draw.rectangle(pad, fill="#b0762e", outline="#1f2b33", width=2)
            draw.polygon(points, fill="#d8c49a", outline="#1f2b33", width=3)
    for x, y in ((300, 330), (300, 570), (860, 320), (860, 580)):
        draw.ellipse((x - 12, y - 12, x + 12, y + 12), fill="#fbf8ef", outline="#1f2b33", width=3)
    return image


def _darker(colour: str, share: float) -> str:
    red, green, blue = (round(part * share) for part in texture.rgb(colour))
    return f"#{red:02x}{green:02x}{blue:02x}"


def save(
    image: Image.Image, path: Path, taken: datetime, camera: tuple[str, str], minutes_slow: int = 0
) -> Path:
    """Write a JPEG with the moment that the camera's clock gave, its offset and its name."""
    shown = taken - timedelta(minutes=minutes_slow)
    offset = shown.strftime("%z")
    exif = Image.Exif()
    exif[ExifTags.Base.Make], exif[ExifTags.Base.Model] = camera
    inner = exif.get_ifd(ExifTags.IFD.Exif)
    inner[ExifTags.Base.DateTimeOriginal] = shown.strftime("%Y:%m:%d %H:%M:%S")
    inner[ExifTags.Base.OffsetTimeOriginal] = f"{offset[:3]}:{offset[3:]}"
    image.save(path, "JPEG", quality=QUALITY, optimize=True, subsampling="4:2:0", exif=exif)
    return path
