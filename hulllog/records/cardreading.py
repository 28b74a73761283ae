"""Reading a zone card in a photograph: its code, the scale at the card, and how far it is turned.

A code is tried as it is, with light and shade evened out, sharpened, and in parts of the picture.
The thorough tries are for pictures in which something looks like the corners of a code.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from hulllog.records import zonecards
from hulllog.records.pictures import grey
from hulllog.records.zonecards import CODE, MARKS, RULE, Card, is_card

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence

    from numpy.typing import NDArray

    Array = NDArray[np.float64]
    Grey = NDArray[np.uint8]

LARGE, SMALL = 3000, 1500
"""Pixels along an edge at which a picture is looked through: closely, and first."""
_STRIPES, _DARK = 900, 100
"""Pixels along an edge, and the shade out of 255, at which corners of a code are looked for."""
_NEAR_FIRST = (0, 3, 1, 2)
_ASTRAY, _PLAIN = 7.0, 25.0
"""Millimetres by which the code may miss a mark, and the shades by which a mark stands out."""
_AGREE = 2.0
"""Millimetres by which the code may lie off where the marks put it."""
_LINES = 2
"""Lines each way that must cross a corner."""
_CORNERS = 3
"""Corners about which a code is tried closely."""


class _Found(NamedTuple):
    said: str
    corners: Array
    """Corners of the code (4, 2) in pixels of the large copy, from its upper left clockwise."""


def read_card(data: bytes, cancelled: Callable[[], object] = lambda: None) -> Card | None:
    """Return the card in a picture; None where nothing looks like one.

    ``cancelled`` is called between tries and may raise.  Raises Refused for what is no picture.
    """
    large, width, height = grey(data, LARGE)
    found = None
    for picture, scale, left, top in _quick(large):
        cancelled()
        if found := _code(picture, scale, left, top):
            break
    else:
        corners = code_corners(large)
        if not corners:
            return None
        for picture, scale, left, top in _thorough(large, corners):
            cancelled()
            if found := _code(picture, scale, left, top):
                break
        else:
            return Card(None)
    return _placed(large, found, max(width, height) / max(large.shape))


# Tries

_Try = tuple["Grey", float, float, float]
"""A picture, its pixels for one of the large copy, and where it begins there."""


def _quick(large: Grey) -> Iterator[_Try]:
    small, scale = _resized(large, SMALL)
    yield small, scale, 0, 0
    yield _evened(small), scale, 0, 0
    yield large, 1.0, 0, 0


def _thorough(large: Grey, corners: Sequence[Corner]) -> Iterator[_Try]:
    even = _evened(large)
    yield even, 1.0, 0, 0
    yield _sharpened(even, 3), 1.0, 0, 0
    yield (*_resized(even, int(0.7 * max(large.shape))), 0, 0)
    for x, y, size in corners[:_CORNERS]:
        reach = 5 * size
        left, top = max(round(x - reach), 0), max(round(y - reach), 0)
        part = even[top : round(y + reach), left : round(x + reach)]
        if not part.size:
            continue
        for edge in (900, 500, 1400):
            picture, scale = _resized(part, edge)
            wide = _stretched(picture)
            yield wide, scale, left, top
            for share in (0.005, 0.01, 0.02):
                yield _sharpened(wide, max(round(share * edge), 2)), scale, left, top


def _code(picture: Grey, scale: float, left: float, top: float) -> _Found | None:
    import zxingcpp

    formats = zxingcpp.BarcodeFormats(zxingcpp.BarcodeFormat.QRCode)
    read = zxingcpp.read_barcodes(np.ascontiguousarray(picture), formats)
    for one in read:
        if is_card(one.text):
            at = one.position
            points = (at.top_left, at.top_right, at.bottom_right, at.bottom_left)
            corners = np.array([(point.x + 0.5, point.y + 0.5) for point in points]) / scale
            return _Found(one.text, corners + np.array([left, top]))
    return None


def _resized(picture: Grey, edge: int) -> tuple[Grey, float]:
    from PIL import Image

    scale = edge / max(picture.shape)
    size = (max(round(picture.shape[1] * scale), 1), max(round(picture.shape[0] * scale), 1))
    filter_by = Image.Resampling.BILINEAR if scale < 1 else Image.Resampling.BICUBIC
    return np.asarray(Image.fromarray(picture).resize(size, filter_by)), scale


def _evened(picture: Grey) -> Grey:
    """Return a picture with light and shade evened out."""
    around = _blurred(picture, max(picture.shape) / 40).astype(np.float32)
    share = picture.astype(np.float32) / np.maximum(around, 4.0)
    even: Grey = np.clip(share * 128, 0, 255).astype(np.uint8)
    return even


def _blurred(picture: Grey, radius: float) -> Grey:
    from PIL import Image, ImageFilter

    return np.asarray(Image.fromarray(picture).filter(ImageFilter.BoxBlur(radius)))


def _sharpened(picture: Grey, radius: int) -> Grey:
    from PIL import Image, ImageFilter

    sharp = Image.fromarray(picture).filter(ImageFilter.UnsharpMask(radius, 350, 0))
    return np.asarray(sharp)


def _stretched(picture: Grey) -> Grey:
    low, high = np.percentile(picture, (2, 98))
    wide = max(float(high - low), 8.0)
    wider: Grey = np.clip((picture.astype(np.float32) - low) * 255 / wide, 0, 255).astype(np.uint8)
    return wider


# What looks like a card


Corner = tuple[float, float, float]
"""Middle and width of what looks like a corner of a code, in pixels of the large copy."""


def code_corners(picture: Grey) -> list[Corner]:
    """Return what looks like corners of one code: dark and light as 1 : 1 : 3 : 1 : 1.

    Each is seen both across and along, and has another of its size beside it; empty otherwise.
    """
    small, scale = _resized(picture, _STRIPES)
    dark = _evened(small) < _DARK
    across = _crossings(dark)
    along = [(y, x, size) for x, y, size in _crossings(dark.T)]
    corners: list[Corner] = []
    for x, y, size in across:
        if any(abs(x - a) + abs(y - b) < size for a, b, _ in corners):
            continue
        backed = _near(x, y, size, across) >= _LINES and _near(x, y, size, along) >= _LINES
        if backed and _stands_out(small, x, y, size):
            corners.append((x, y, size))
    beside = [one for one in corners if any(_beside(one, other) for other in corners)]
    return [(x / scale, y / scale, size / scale) for x, y, size in beside]


def _near(x: float, y: float, size: float, crossings: Sequence[Corner]) -> int:
    """Count the lines that cross the same corner."""
    return sum(
        abs(x - a) < 0.3 * size and abs(y - b) < 0.3 * size and 0.6 < size / s < 1.7
        for a, b, s in crossings
    )


def _stands_out(picture: Grey, x: float, y: float, size: float) -> bool:
    """Tell whether the middle of a corner is plainly darker than the light ring about it."""
    module = size / 7
    turns = np.arange(16) * np.pi / 8

    def shades(radius: float) -> Grey:
        across = np.clip(np.round(x + radius * np.cos(turns)), 0, picture.shape[1] - 1)
        down = np.clip(np.round(y + radius * np.sin(turns)), 0, picture.shape[0] - 1)
        found: Grey = picture[down.astype(int), across.astype(int)]
        return found

    dark, light = shades(0.7 * module), shades(2.1 * module)
    return float(np.percentile(light, 25)) > 1.25 * float(np.percentile(dark, 75)) + 4


def _beside(one: Corner, other: Corner) -> bool:
    """Tell whether two corners may be of one code: as large, and two to three widths apart."""
    apart = float(np.hypot(one[0] - other[0], one[1] - other[1]))
    return 0.6 < one[2] / other[2] < 1.7 and 1.2 * one[2] < apart < 4.0 * one[2]


def _crossings(dark: NDArray[np.bool_]) -> list[tuple[float, float, float]]:
    """Return (x, y, width) where a line crosses the corner of a code."""
    found = []
    for y in range(0, dark.shape[0], 2):
        row = dark[y]
        edges = np.flatnonzero(np.diff(row)) + 1
        if len(edges) < 6:
            continue
        runs = np.diff(edges)
        unit = (runs[:-4] + runs[1:-3] + runs[2:-2] + runs[3:-1] + runs[4:]) / 7
        fits = (unit >= 1.5) & row[edges[:-5]]
        for offset, modules in enumerate((1, 1, 3, 1, 1)):
            run = runs[offset : len(runs) - 4 + offset]
            fits &= np.abs(run - modules * unit) < (0.6 if modules == 1 else 0.9) * unit
        for n in np.flatnonzero(fits):
            middle = (edges[n + 2] + edges[n + 3]) / 2
            found.append((float(middle), float(y), float(7 * unit[n])))
    return found


# How it lies


def _placed(large: Grey, found: _Found, enlarged: float) -> Card:
    """Return the card with its scale in pixels of the photograph itself."""
    left, top, side = CODE
    code = np.array(
        [(left, top), (left + side, top), (left + side, top + side), (left, top + side)]
    )
    lies = _homography(code, found.corners)
    marks = _marks(_evened(large), code, found.corners)
    if marks is not None:
        by_marks = _homography(np.array(MARKS), marks)
        apart = _mapped(by_marks, code) - found.corners
        # The marks lie farther apart than the corners of the code, and lead where both agree.
        if float(np.hypot(*apart.T).max()) < _AGREE * _steps(by_marks)[0]:
            lies = by_marks
    ends = _mapped(lies, np.array(RULE))
    across, along = _steps(lies)
    size = np.array([large.shape[1], large.shape[0]])
    shares = np.clip(ends / size, 0, 1)
    rule = tuple((float(x), float(y)) for x, y in shares)
    tilt = float(np.degrees(np.arccos(min(along / across, 1.0))))
    return Card(found.said, across * enlarged, tilt, (rule[0], rule[1]))


def _homography(flat: Array, seen: Array) -> Array:
    """Return the 3 × 3 matrix that takes points of the card, four or more, to those seen."""
    rows: list[list[float]] = []
    for (x, y), (u, v) in zip(flat.tolist(), seen.tolist(), strict=True):
        rows.append([x, y, 1, 0, 0, 0, -u * x, -u * y])
        rows.append([0, 0, 0, x, y, 1, -v * x, -v * y])
    solved = np.linalg.lstsq(np.array(rows), seen.reshape(-1), rcond=None)[0]
    return np.append(solved, 1.0).reshape(3, 3)


def _mapped(lies: Array, points: Array) -> Array:
    out = np.column_stack([points, np.ones(len(points))]) @ lies.T
    mapped: Array = out[:, :2] / out[:, 2:]
    return mapped


def _marks(even: Grey, code: Array, corners: Array) -> Array | None:
    """Return the middles of the four corner marks, or None where one is not found.

    Those beside the code are sought first and tell better where the far ones are.
    """
    found: dict[int, tuple[float, float]] = {}
    for number in _NEAR_FIRST:
        held = np.array([MARKS[n] for n in found]).reshape(-1, 2)
        seen = np.array(list(found.values())).reshape(-1, 2)
        lies = _homography(np.vstack([code, held]), np.vstack([corners, seen]))
        mark = MARKS[number]
        x, y = _mapped(lies, np.array([mark]))[0]
        beside = _mapped(lies, np.array([[mark[0] + 1, mark[1]], [mark[0], mark[1] + 1]]))
        unit = float(np.hypot(*(beside - np.array([x, y])).T).mean())
        reach = round((_ASTRAY + 2 * zonecards.MARK) * unit)
        left, top, side = round(x) - reach, round(y) - reach, 2 * reach + 1
        part = even[max(top, 0) : top + side, max(left, 0) : left + side]
        if left < 0 or top < 0 or part.shape != (side, side):
            return None
        middle = _disc(part, zonecards.MARK * unit)
        if middle is None:
            return None
        found[number] = (left + middle[0] + 0.5, top + middle[1] + 0.5)
    return np.array([found[n] for n in range(len(MARKS))])


def _disc(part: Grey, radius: float) -> tuple[float, float] | None:
    """Return the middle of the dark disc with a light ring in a part; None where none is plain."""
    side = part.shape[0]
    away = np.arange(side) - side // 2
    far = np.hypot(*np.meshgrid(away, away))
    disc, ring = far <= 0.8 * radius, (far > 1.25 * radius) & (far < 1.8 * radius)
    if not disc.any() or not ring.any():
        return None
    grey = part.astype(np.float64)
    kernel = ring / ring.sum() - disc / disc.sum()
    spectrum = np.fft.rfft2(grey) * np.conj(np.fft.rfft2(np.fft.ifftshift(kernel)))
    score = np.fft.irfft2(spectrum, s=grey.shape)
    edge = round(1.8 * radius) + 1
    inner = score[edge : side - edge, edge : side - edge]
    if not inner.size or float(inner.max()) < _PLAIN:
        return None
    y, x = np.unravel_index(int(inner.argmax()), inner.shape)
    return _centre(grey, float(x + edge), float(y + edge), radius)


def _centre(grey: Array, x: float, y: float, radius: float) -> tuple[float, float]:
    """Return the middle of a dark disc more finely, weighed by how dark it is."""
    for _ in range(3):
        down, across = np.indices(grey.shape)
        near = np.hypot(across - x, down - y) <= 1.4 * radius
        light = float(np.percentile(grey[near], 90))
        weight = np.where(near, np.clip(light - grey, 0, None), 0)
        x, y = (
            float((weight * across).sum() / weight.sum()),
            float((weight * down).sum() / weight.sum()),
        )
    return x, y


def _steps(lies: Array) -> tuple[float, float]:
    """Return the pixels of a millimetre in the middle: along the axis of the tilt, and across."""
    middle = np.array([[zonecards.WIDTH / 2, zonecards.HEIGHT / 2]])
    here = _mapped(lies, middle)[0]
    steps = _mapped(lies, middle + np.array([[1.0, 0.0], [0.0, 1.0]])) - here
    large, small = np.linalg.svd(steps, compute_uv=False).tolist()
    return float(large), float(small)
