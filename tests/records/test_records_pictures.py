"""Pictures: what they are told by their bytes, turned once, and stripped of who took them where."""

from __future__ import annotations

import io
from datetime import datetime, timedelta, timezone
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import ExifTags, Image

from hulllog.records.errors import Refused
from hulllog.records.pictures import LARGEST_EDGE, read_picture, small_copy

HEIC = (Path(__file__).parent / "data" / "own-picture.heic").read_bytes()
BASE = ExifTags.Base
RED = (220, 20, 20)


def picture(
    form: str = "JPEG", size: tuple[int, int] = (80, 40), mode: str = "RGB", **tags: object
) -> bytes:
    """Return a picture that is red in its upper left corner as it is stored."""
    image = Image.new("RGB", size, "white")
    image.paste(RED, (0, 0, size[0] // 4, size[1] // 2))
    exif = Image.Exif()
    camera = exif.get_ifd(ExifTags.IFD.Exif)
    for name, value in tags.items():
        tag = BASE[name]
        if name in {"Make", "Model", "Orientation", "DateTime"}:
            exif[tag] = value
        else:
            camera[tag] = value
    stream = io.BytesIO()
    image.convert(mode).save(stream, form, exif=exif)
    return stream.getvalue()


def opened(data: bytes) -> Image.Image:
    return Image.open(io.BytesIO(data))


def red_corner(image: Image.Image) -> tuple[str, str]:
    """Return in which corner the red is."""
    shown = image.convert("RGB")
    for down, y in (("upper", 12), ("lower", shown.height - 13)):
        for across, x in (("left", 12), ("right", shown.width - 13)):
            red, green, _ = shown.getpixel((x, y))  # type: ignore[misc]
            if red > 150 and green < 110:
                return down, across
    return "no", "where"


@pytest.mark.parametrize(
    ("orientation", "size", "corner"),
    [
        (1, (80, 40), ("upper", "left")),
        (2, (80, 40), ("upper", "right")),
        (3, (80, 40), ("lower", "right")),
        (4, (80, 40), ("lower", "left")),
        (5, (40, 80), ("upper", "left")),
        (6, (40, 80), ("upper", "right")),
        (7, (40, 80), ("lower", "right")),
        (8, (40, 80), ("lower", "left")),
        (0, (80, 40), ("upper", "left")),
        (99, (80, 40), ("upper", "left")),
    ],
)
@pytest.mark.parametrize("form", ["JPEG", "PNG", "WEBP"])
def test_a_picture_is_turned_as_its_camera_was(
    form: str, orientation: int, size: tuple[int, int], corner: tuple[str, str]
) -> None:
    data = picture(form, Orientation=orientation)
    read = read_picture(data, 512)
    assert (read.width, read.height) == size
    small = opened(read.small)
    assert small.size == size
    assert red_corner(small) == corner
    assert red_corner(opened(small_copy(data, 60))) == corner


def test_a_heic_is_turned_once() -> None:
    read = read_picture(HEIC, 512)
    assert (read.media_type, read.width, read.height) == ("image/heic", 480, 320)
    assert red_corner(opened(read.small)) == ("upper", "left")


def test_what_the_camera_wrote_is_read() -> None:
    read = read_picture(HEIC, 64)
    assert read.taken == datetime(2024, 4, 14, 9, 30, 12, tzinfo=timezone(timedelta(hours=1)))
    assert (read.taken_from, read.camera) == ("camera", "Ownmake Box 3")


def test_no_place_no_camera_and_no_serial_number_is_in_a_copy() -> None:
    for copy in (small_copy(HEIC, 200), read_picture(HEIC, 200).small):
        assert not opened(copy).getexif()
        for telling in (b"Exif", b"SERIAL", b"Ownmake", b"GPS"):
            assert telling in HEIC or telling == b"GPS"
            assert telling not in copy


def test_a_comment_is_not_in_a_copy() -> None:
    stream = io.BytesIO()
    Image.new("RGB", (20, 20)).save(stream, "JPEG", comment=b"taken by Somebody")
    assert b"Somebody" not in small_copy(stream.getvalue(), 10)


@pytest.mark.parametrize(
    ("tags", "taken", "source"),
    [
        ({"DateTimeOriginal": "2024:04:14 09:30:12"}, "2024-04-14 09:30:12", "camera"),
        ({"DateTimeDigitized": "2024:04:14 09:30:12"}, "2024-04-14 09:30:12", "camera"),
        ({"DateTime": "2024:04:14 09:30:12"}, "2024-04-14 09:30:12", "file"),
        ({"DateTimeOriginal": "0000:00:00 00:00:00"}, None, None),
        ({"DateTimeOriginal": "    :  :     :  :  "}, None, None),
        ({"DateTimeOriginal": "2024:02:31 09:30:12"}, None, None),
        ({"DateTimeOriginal": "soon"}, None, None),
        ({}, None, None),
    ],
)
def test_the_time_is_as_the_camera_had_it(
    tags: dict[str, str], taken: str | None, source: str | None
) -> None:
    read = read_picture(picture(**tags), 64)
    assert read.taken == (datetime.fromisoformat(taken) if taken else None)
    assert read.taken_from == source


@pytest.mark.parametrize(
    ("offset", "hours"),
    [("+01:00", 1), ("-03:30", -3.5), ("", None), ("Z", None), ("+99:00", None)],
)
def test_the_cameras_own_offset_is_read_where_it_makes_sense(
    offset: str, hours: float | None
) -> None:
    data = picture(DateTimeOriginal="2024:04:14 09:30:12", OffsetTimeOriginal=offset)
    taken = read_picture(data, 64).taken
    assert taken is not None
    assert taken.utcoffset() == (None if hours is None else timedelta(hours=hours))


@pytest.mark.parametrize(
    ("make", "model", "camera"),
    [
        ("Ownmake", "Box 3", "Ownmake Box 3"),
        ("Ownmake", "OWNMAKE Box 3", "OWNMAKE Box 3"),
        ("Ownmake", "", "Ownmake"),
        ("", "Box 3", "Box 3"),
        ("", "", None),
        ("Own\0\x07make\n", "Box  3\0\0", "Own make Box 3"),
        ("x" * 500, "", "x" * 120),
    ],
)
def test_make_and_model_are_told_without_what_cannot_be_shown(
    make: str, model: str, camera: str | None
) -> None:
    assert read_picture(picture(Make=make, Model=model), 64).camera == camera


@pytest.mark.parametrize("mode", ["RGB", "L", "CMYK"])
def test_every_way_of_colour_of_a_jpeg_can_be_seen(mode: str) -> None:
    assert opened(read_picture(picture(mode=mode), 64).small).mode in {"RGB", "L"}


@pytest.mark.parametrize("mode", ["RGB", "RGBA", "P", "L", "LA", "1", "I;16"])
def test_every_way_of_colour_of_a_png_can_be_seen(mode: str) -> None:
    stream = io.BytesIO()
    Image.new(mode, (30, 20)).save(stream, "PNG")
    assert read_picture(stream.getvalue(), 64).media_type == "image/png"


def test_what_is_clear_is_seen_on_white() -> None:
    stream = io.BytesIO()
    Image.new("RGBA", (30, 20), (0, 0, 0, 0)).save(stream, "PNG")
    assert opened(small_copy(stream.getvalue(), 64)).getpixel((5, 5)) == (255, 255, 255)


@pytest.mark.parametrize(
    ("data", "code"),
    [
        (b"", "not_a_picture"),
        (b"a text that calls itself .jpg", "not_a_picture"),
        (b"\xff\xd8\xff\xe0 no more than a beginning", "not_a_picture"),
        (b"\x89PNG\r\n\x1a\n", "not_a_picture"),
        (b"\0\0\0\x18ftypheic" + b"\0" * 40, "not_a_picture"),
        (b"GIF89a" + b"\0" * 40, "not_a_picture"),
        (picture(size=(400, 300))[:-900], "picture_broken"),
        (picture("PNG", size=(400, 300))[:-40], "picture_broken"),
        (HEIC[:-800], "picture_broken"),
        (picture("PNG", size=(LARGEST_EDGE + 1, 4)), "picture_too_large"),
    ],
)
def test_what_does_not_decode_is_refused(data: bytes, code: str) -> None:
    for read in (lambda: read_picture(data, 512), lambda: small_copy(data, 512)):
        with pytest.raises(Refused) as caught:
            read()
        assert caught.value.code in (code, "not_a_picture")
        assert code != "picture_too_large" or caught.value.code == code


def test_a_bomb_is_refused_before_it_is_unpacked() -> None:
    header = picture("PNG", size=(10, 10))
    bomb = header[:16] + (19_000).to_bytes(4, "big") * 2 + header[24:]
    with pytest.raises(Refused, match=r"picture_too_large|not_a_picture"):
        read_picture(bomb, 512)


@pytest.mark.filterwarnings("ignore::UserWarning")
@given(place=st.integers(0, len(HEIC) - 1), value=st.integers(0, 255))
@settings(max_examples=40, deadline=None)
def test_a_damaged_heic_is_read_or_refused(place: int, value: int) -> None:
    assert_read_or_refused(HEIC[:place] + bytes([value]) + HEIC[place + 1 :])


TIFF = picture("TIFF", size=(60, 40), Make="Ownmake", Orientation=6)


@pytest.mark.filterwarnings("ignore::UserWarning")
@given(place=st.integers(0, len(TIFF) - 1), value=st.integers(0, 255))
@settings(max_examples=60, deadline=None)
def test_a_damaged_tiff_is_read_or_refused(place: int, value: int) -> None:
    assert_read_or_refused(TIFF[:place] + bytes([value]) + TIFF[place + 1 :])


@pytest.mark.parametrize("orientation", range(1, 9))
def test_a_tiff_is_turned_once_as_a_jpeg_is(orientation: int) -> None:
    tiff = picture("TIFF", Make="Ownmake", Orientation=orientation)
    read = read_picture(tiff, 512)
    like = read_picture(picture(Make="Ownmake", Orientation=orientation), 512)
    assert (read.media_type, read.camera) == ("image/tiff", "Ownmake")
    assert (read.width, read.height) == (like.width, like.height)
    assert opened(read.small).size == (like.width, like.height)
    assert red_corner(opened(read.small)) == red_corner(opened(like.small))
    assert red_corner(opened(small_copy(tiff, 512))) == red_corner(opened(like.small))


@pytest.mark.filterwarnings("ignore::UserWarning")
@given(data=st.data())
@settings(max_examples=60, deadline=None)
def test_a_damaged_jpeg_is_read_or_refused(data: st.DataObject) -> None:
    whole = picture(Make="Ownmake", DateTimeOriginal="2024:04:14 09:30:12", Orientation=6)
    place = data.draw(st.integers(0, len(whole) - 1))
    few = data.draw(st.binary(min_size=1, max_size=6))
    assert_read_or_refused(whole[:place] + few + whole[place + len(few) :])


def assert_read_or_refused(data: bytes) -> None:
    try:
        width = read_picture(data, 32).width
    except Refused:
        width = 1
    assert width > 0
