"""Pictures as bytes: what they are, when and with what they were taken, small copies of them.

Nothing is taken on trust: a file is a picture when it decodes.  A JPEG is decoded at an eighth of
its size where that is enough.
"""

from __future__ import annotations

import io
import itertools
import struct
import warnings
import zlib
from contextlib import suppress
from dataclasses import dataclass
from datetime import datetime, timedelta, timezone
from functools import cache
from typing import TYPE_CHECKING, Any

from PIL import ExifTags, Image, MpoImagePlugin, TiffImagePlugin, WebPImagePlugin

from hulllog.records.errors import Refused

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

MEDIA_TYPES = {
    "JPEG": "image/jpeg",
    "MPO": "image/jpeg",
    "PNG": "image/png",
    "WEBP": "image/webp",
    "HEIF": "image/heic",
    "TIFF": "image/tiff",
}
"""What can be imported: Pillow's name of the format -> media type."""
LARGEST_EDGE = 20_000
"""Pixels along an edge, and ``LARGEST_AREA`` in all, up to which a picture is taken (our own rule).

The widest phone cameras give 16,320 × 12,240."""
LARGEST_AREA = 220_000_000
LARGEST_FILE = 250_000_000
"""Bytes up to which a file is read as a picture (our own rule)."""
QUALITY = 82

_PLUGINS = (MpoImagePlugin, TiffImagePlugin, WebPImagePlugin)
"""Formats that Pillow does not know of itself; importing them is enough."""
_BROKEN = (
    OSError, SyntaxError, ValueError, TypeError, LookupError, EOFError, ArithmeticError,
    RuntimeError, MemoryError, struct.error, zlib.error,
)  # fmt: skip
"""What decoders raise for bytes that are no whole picture."""
_TURN = {
    2: Image.Transpose.FLIP_LEFT_RIGHT,
    3: Image.Transpose.ROTATE_180,
    4: Image.Transpose.FLIP_TOP_BOTTOM,
    5: Image.Transpose.TRANSPOSE,
    6: Image.Transpose.ROTATE_270,
    7: Image.Transpose.TRANSVERSE,
    8: Image.Transpose.ROTATE_90,
}
_ON_ITS_SIDE = frozenset({5, 6, 7, 8})


@dataclass(frozen=True, slots=True)
class Picture:
    """What is known of a picture: turned as it is to be seen, with a small copy as JPEG.

    ``taken`` has no time zone where the camera gave none.  ``taken_from`` is ``camera``, or
    ``file`` for a time that a program wrote when it changed the file.
    """

    media_type: str
    width: int
    height: int
    taken: datetime | None
    taken_from: str | None
    camera: str | None
    small: bytes


def read_picture(data: bytes, small: int) -> Picture:
    """Read a picture and make a copy of it with at most ``small`` pixels along an edge.

    Raises Refused ``not_a_picture``, ``picture_too_large`` or ``picture_broken``.
    """
    image = _open(data)
    width, height = image.size
    tags = _tags(image)
    turn = _orientation(image, tags)
    copy = _reduced(image, small, turn)
    if turn in _ON_ITS_SIDE:
        width, height = height, width
    taken, taken_from = _taken(tags)
    return Picture(
        media_type=MEDIA_TYPES[str(image.format)],
        width=width,
        height=height,
        taken=taken,
        taken_from=taken_from,
        camera=_camera(tags),
        small=_jpeg(copy),
    )


def small_copy(data: bytes, edge: int) -> bytes:
    """Return a turned JPEG with at most ``edge`` pixels along an edge, and nothing but its pixels.

    Colours are brought to sRGB; no camera, no serial number and no position is left.  Raises
    Refused as ``read_picture`` does.
    """
    image = _open(data)
    return _jpeg(_reduced(image, edge, _orientation(image, _tags(image))))


def grey(data: bytes, edge: int) -> tuple[NDArray[np.uint8], int, int]:
    """Return a picture in grey, turned, with at most ``edge`` pixels along an edge, and its size.

    Raises Refused as ``read_picture`` does.
    """
    import numpy as np

    image = _open(data)
    width, height = image.size
    turn = _orientation(image, _tags(image))
    copy = _reduced(image, edge, turn).convert("L")
    if turn in _ON_ITS_SIDE:
        width, height = height, width
    return np.asarray(copy), width, height


def taken_by(data: bytes) -> tuple[datetime | None, str | None]:
    """Return when a picture was taken, as its camera wrote it, and with what camera.

    Raises Refused as ``read_picture`` does.
    """
    image = _open(data)
    tags = _tags(image)
    return _taken(tags)[0], _camera(tags)


_STILL = frozenset({
    b"heic", b"heix", b"hevc", b"hevx", b"heim", b"heis", b"mif1", b"msf1", b"avif", b"avis",
})  # fmt: skip
"""Brands of the file format that videos share, by which a still picture names itself."""


def video_type(head: bytes) -> str | None:
    """Return the media type of a video by its first twelve bytes; None for all else."""
    if head[4:8] == b"ftyp" and head[8:12] not in _STILL:
        return "video/quicktime" if head[8:12] == b"qt  " else "video/mp4"
    if head[:4] == b"RIFF" and head[8:12] == b"AVI ":
        return "video/x-msvideo"
    return "video/x-matroska" if head[:4] == b"\x1aE\xdf\xa3" else None


FLAT = 12
"""Grey levels from the darkest to the lightest cell under which a picture has no fingerprint."""


def fingerprint(data: bytes) -> int | None:
    """Return 64 bits by which pictures that look alike are found; None for one of a single tone.

    The rule is ours: the picture in grey, reduced to 9 × 8 cells, and for each cell whether its
    right neighbour is lighter.  Raises Refused as ``read_picture`` does.
    """
    image = _open(data)
    try:
        image.draft("L", (72, 64))
        cells = image.convert("L").resize((9, 8), Image.Resampling.BOX).tobytes()
    except _BROKEN as problem:
        raise Refused("picture_broken") from problem
    if max(cells) - min(cells) < FLAT:
        return None
    rows = (cells[start : start + 9] for start in range(0, 72, 9))
    bits = [right > left for row in rows for left, right in itertools.pairwise(row)]
    return sum(bit << at for at, bit in enumerate(bits))


# Reading


@cache
def _be_strict() -> None:
    """Take Pillow's warning of a decompression bomb for an error, and bear with broken tags."""
    Image.preinit()
    warnings.filterwarnings("ignore", category=UserWarning, module="PIL")
    Image.MAX_IMAGE_PIXELS = LARGEST_AREA
    warnings.simplefilter("error", Image.DecompressionBombWarning)


@cache
def _learn_heic() -> None:
    import pi_heif

    pi_heif.register_heif_opener()


def _open(data: bytes) -> Image.Image:
    """Open a picture by its bytes alone; a name says nothing."""
    _be_strict()
    if data[4:8] == b"ftyp":
        _learn_heic()
    known = [name for name in MEDIA_TYPES if name in Image.OPEN]
    try:
        image = Image.open(io.BytesIO(data), formats=known)
    except (Image.DecompressionBombError, Image.DecompressionBombWarning) as problem:
        raise Refused("picture_too_large") from problem
    except _BROKEN as problem:
        raise Refused("not_a_picture") from problem
    if max(image.size) > LARGEST_EDGE or image.width * image.height > LARGEST_AREA:
        raise Refused("picture_too_large")
    return image


def _reduced(image: Image.Image, edge: int, turn: int) -> Image.Image:
    """Decode, reduce, turn and flatten a picture onto white."""
    try:
        image.draft("RGB", (edge, edge))
        image.thumbnail((edge, edge), Image.Resampling.LANCZOS, reducing_gap=2.0)
        image.load()  # a small picture is not decoded by the line before
        copy = _flat(_in_srgb(image))
    except _BROKEN as problem:
        raise Refused("picture_broken") from problem
    return copy.transpose(_TURN[turn]) if turn in _TURN else copy


def _flat(image: Image.Image) -> Image.Image:
    if image.mode in {"RGB", "L"}:
        return image
    if image.mode.startswith("I") or image.mode == "F":
        return image.convert("I").point(lambda value: value / 256).convert("L")
    if "A" in image.mode or "transparency" in image.info:
        seen = image.convert("RGBA")
        paper = Image.new("RGB", seen.size, "white")
        paper.paste(seen, mask=seen.getchannel("A"))
        return paper
    return image.convert("RGB")


def _in_srgb(image: Image.Image) -> Image.Image:
    profile = image.info.get("icc_profile")
    if not profile or image.mode not in {"RGB", "RGBA", "CMYK"}:
        return image
    from PIL import ImageCms

    try:
        source = ImageCms.ImageCmsProfile(io.BytesIO(profile))
        mode = "RGBA" if image.mode == "RGBA" else "RGB"
        turned = ImageCms.profileToProfile(image, source, _srgb(), outputMode=mode)
    except (ImageCms.PyCMSError, *_BROKEN):
        return image
    return turned or image


@cache
def _srgb() -> Any:
    from PIL import ImageCms

    return ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB"))


def _jpeg(image: Image.Image) -> bytes:
    image.info.clear()
    stream = io.BytesIO()
    image.save(stream, "JPEG", quality=QUALITY)
    return stream.getvalue()


# What the camera wrote


_Tags = tuple[dict[int, Any], dict[int, Any]]


def _tags(image: Image.Image) -> _Tags:
    """Return the main and the camera's tags; broken ones are as good as none."""
    try:
        tags = image.getexif()
        return dict(tags), dict(tags.get_ifd(ExifTags.IFD.Exif))
    except _BROKEN:
        return {}, {}


def _orientation(image: Image.Image, tags: _Tags) -> int:
    # A HEIC is turned when it is opened, and says 1 here; a TIFF is turned when it is decoded.
    if image.format == "TIFF":
        return 1
    found = tags[0].get(ExifTags.Base.Orientation)
    return found if isinstance(found, int) and found in _TURN else 1


def _taken(read: _Tags) -> tuple[datetime | None, str | None]:
    main, camera = read
    base = ExifTags.Base
    for tags, when, offset, source in (
        (camera, base.DateTimeOriginal, base.OffsetTimeOriginal, "camera"),
        (camera, base.DateTimeDigitized, base.OffsetTimeDigitized, "camera"),
        (main, base.DateTime, base.OffsetTime, "file"),
    ):
        found = _moment(tags.get(when), camera.get(offset))
        if found:
            return found, source
    return None, None


def _moment(text: object, offset: object) -> datetime | None:
    """Read a camera's time; an empty or impossible one is none."""
    try:
        found = datetime.strptime(_line(text)[:19], "%Y:%m:%d %H:%M:%S")  # noqa: DTZ007
    except ValueError:
        return None
    zone = _zone(_line(offset))
    return found if zone is None else found.replace(tzinfo=zone)


def _zone(offset: str) -> timezone | None:
    with suppress(ValueError):
        sign, hours, minutes = offset[:1], int(offset[1:3]), int(offset[4:6])
        if sign in {"+", "-"} and hours <= 14 and minutes < 60 and len(offset) == 6:
            shift = timedelta(hours=hours, minutes=minutes)
            return timezone(-shift if sign == "-" else shift)
    return None


def _camera(tags: _Tags) -> str | None:
    """Return make and model; never a serial number."""
    main, _ = tags
    make, model = _line(main.get(ExifTags.Base.Make)), _line(main.get(ExifTags.Base.Model))
    if make and not model.lower().startswith(make.lower()):
        model = f"{make} {model}"
    return model.strip()[:120] or None


def _line(value: object) -> str:
    """Return what can be shown of a text that a camera wrote."""
    text = value.decode("utf-8", "replace") if isinstance(value, bytes) else value
    if not isinstance(text, str):
        return ""
    return " ".join("".join(sign if sign.isprintable() else " " for sign in text).split())
