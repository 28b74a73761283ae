"""Photographs made for tests: zone cards of our own generator, pasted askew into a noisy yard.

Every draw comes from a seed.  Names of files say nothing: they are digests of a number.
"""

from __future__ import annotations

import hashlib
import io
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path

import numpy as np
from PIL import ExifTags, Image, ImageDraw, ImageFilter, ImageFont

from hulllog.drawing import font, shapes
from hulllog.drawing.scene import Scene, Text
from hulllog.records.zonecards import HEIGHT, WIDTH

SIZE = (2400, 1800)
DPI = 200
_PX = DPI / 25.4


def printed(scene: Scene) -> Image.Image:
    """Draw a card as a printer would, in grey."""
    finer = 3
    unit = _PX * finer
    size = (round(scene.width * unit), round(scene.height * unit))
    image = Image.new("L", size, 255)
    draw = ImageDraw.Draw(image)
    for item in scene.items:
        if isinstance(item, Text):
            kind = ImageFont.truetype(str(font.file_of(bold=item.bold)), item.size * unit)
            anchor = {"start": "ls", "middle": "ms", "end": "rs"}[item.anchor]
            draw.text((item.x * unit, item.y * unit), item.text, 0, kind, anchor)
            continue
        for run in shapes.outline(item):
            points = [(x * unit, y * unit) for x, y in run]
            if item.style.fill:
                draw.polygon(points, 0)
            else:
                draw.line(points, 0, max(round(item.style.width * unit), 1))
    return image.resize((size[0] // finer, size[1] // finer), Image.Resampling.BOX)


@dataclass(frozen=True, slots=True)
class Look:
    """How hard a card is to read: px for a mm, tilt, turn, blur, shade and noise."""

    scale: float
    tilt: float
    turn: float
    blur: float
    shade: float
    noise: float


def yard(rng: np.random.Generator) -> Image.Image:
    """Make a hull in a yard: a gradient, stains, straight dark things, no card."""
    wide, high = SIZE
    ground = rng.uniform(60, 190)
    slope = rng.uniform(-60, 60, 2)
    y, x = np.mgrid[0:high, 0:wide].astype(np.float32)
    grey = ground + slope[0] * x / wide + slope[1] * y / high
    image = Image.fromarray(np.clip(grey, 0, 255).astype(np.uint8))
    draw = ImageDraw.Draw(image)
    for _ in range(int(rng.integers(30, 90))):
        cx, cy = rng.uniform(0, wide), rng.uniform(0, high)
        r = rng.uniform(5, 90)
        shade = int(np.clip(ground + rng.uniform(-90, 90), 0, 255))
        box = (cx - r, cy - r * rng.uniform(0.3, 1), cx + r, cy + r)
        (draw.ellipse if rng.random() < 0.7 else draw.rectangle)(
            (box[0], min(box[1], box[3]), box[2], max(box[1], box[3])), fill=shade
        )
    for _ in range(int(rng.integers(2, 8))):
        ends = [tuple(rng.uniform(0, (wide, high))) for _ in range(2)]
        draw.line(ends, fill=int(rng.uniform(10, 90)), width=int(rng.uniform(4, 40)))
    return image.filter(ImageFilter.GaussianBlur(1.5))


def corners(look: Look, middle: tuple[float, float]) -> np.ndarray:
    """Return where the corners of a tilted, turned card fall, seen from two metres."""
    half = np.array([[-WIDTH, -HEIGHT], [WIDTH, -HEIGHT], [WIDTH, HEIGHT], [-WIDTH, HEIGHT]]) / 2
    tilt, turn = np.radians([look.tilt, look.turn])
    x, y = half[:, 0] * np.cos(tilt), half[:, 1]
    near = half[:, 0] * np.sin(tilt)
    shrunk = 2000 / (2000 + near)
    flat = np.column_stack([x * shrunk, y * shrunk]) * look.scale
    spin = np.array([[np.cos(turn), np.sin(turn)], [-np.sin(turn), np.cos(turn)]])
    return flat @ spin + np.array(middle)


def paste(
    image: Image.Image, card: Image.Image, look: Look, rng: np.random.Generator
) -> Image.Image:
    """Paste a card into a picture, then shade it, blur it and put noise over it."""
    wide, high = image.size
    reach = WIDTH * look.scale * 0.55 + 20
    middle = (rng.uniform(reach, wide - reach), rng.uniform(reach, high - reach))
    seen = corners(look, middle)
    size = np.array(card.size, dtype=float)
    flat = np.array([[0, 0], [size[0], 0], size, [0, size[1]]])
    rows = []
    for (u, v), (x, y) in zip(flat, seen, strict=True):
        rows.append([x, y, 1, 0, 0, 0, -u * x, -u * y])
        rows.append([0, 0, 0, x, y, 1, -v * x, -v * y])
    back = np.linalg.solve(np.array(rows), flat.reshape(-1))
    # The print is brought near its size first, as a lens would: no pixels are skipped.
    factor = max(card.width / (WIDTH * look.scale) / 2, 1.0)
    soft = card.filter(ImageFilter.BoxBlur((factor - 1) / 2)) if factor > 1 else card
    print_ = soft.transform(image.size, Image.Transform.PERSPECTIVE, back, Image.Resampling.BICUBIC)
    mask = Image.new("L", card.size, 255).transform(
        image.size, Image.Transform.PERSPECTIVE, back, Image.Resampling.NEAREST
    )
    paper = print_.point(lambda v: int(25 + 0.84 * v))
    image = Image.composite(paper, image, mask)
    grey = np.asarray(image).astype(np.float32)
    y, x = np.mgrid[0:high, 0:wide].astype(np.float32)
    angle = rng.uniform(0, 2 * np.pi)
    edge = (x - middle[0]) * np.cos(angle) + (y - middle[1]) * np.sin(angle)
    grey *= np.where(edge > 0, 1 - look.shade, 1.0)
    return Image.fromarray(np.clip(grey, 0, 255).astype(np.uint8))


def finish(image: Image.Image, look: Look, rng: np.random.Generator) -> Image.Image:
    """Blur a picture and put noise over it."""
    soft = image.filter(ImageFilter.GaussianBlur(look.blur))
    grey = np.asarray(soft).astype(np.float32)
    grey += rng.normal(0, look.noise, grey.shape)
    return Image.fromarray(np.clip(grey, 0, 255).astype(np.uint8))


def drawn(rng: np.random.Generator) -> Look:
    """Draw how a card is held: near or far, up to 40 degrees away, any way up, not quite still."""
    return Look(
        scale=float(rng.uniform(3.0, 9.0)),
        tilt=float(rng.uniform(-40, 40)),
        turn=float(rng.choice([0, 90, 180, 270]) + rng.uniform(-25, 25)),
        blur=float(rng.uniform(0.5, 3.0)),
        shade=float(rng.uniform(0.0, 0.65)),
        noise=float(rng.uniform(3, 14)),
    )


def write(image: Image.Image, folder: Path, number: int, taken: datetime, camera: str) -> Path:
    """Write a picture as a camera would; its name is a digest and says nothing of its order."""
    exif = Image.Exif()
    exif[ExifTags.Base.Model] = camera
    exif.get_ifd(ExifTags.IFD.Exif)[ExifTags.Base.DateTimeOriginal] = taken.strftime(
        "%Y:%m:%d %H:%M:%S"
    )
    data = io.BytesIO()
    image.save(data, "JPEG", quality=82, exif=exif)
    file = folder / f"{hashlib.sha256(str(number).encode()).hexdigest()[:12]}.jpg"
    file.write_bytes(data.getvalue())
    return file


def minutes(start: datetime, number: int) -> datetime:
    """Return when picture ``number`` was taken."""
    return start + timedelta(seconds=37 * number)
