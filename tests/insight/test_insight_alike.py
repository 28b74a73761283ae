"""Photographs that look alike stand together, and none is dropped."""

from __future__ import annotations

import io
import random

import pytest
from PIL import Image, ImageEnhance, ImageFilter

from hulllog.insight.alike import MOST_BITS, groups
from hulllog.records.pictures import fingerprint


def scene(seed: int) -> Image.Image:
    """Return a picture with large light and dark parts, as a yard has."""
    grain = random.Random(seed)
    small = Image.frombytes("L", (12, 9), bytes(grain.randrange(256) for _ in range(108)))
    return small.resize((480, 360), Image.Resampling.BICUBIC)


def data(image: Image.Image, quality: int = 85) -> bytes:
    stream = io.BytesIO()
    image.convert("RGB").save(stream, "JPEG", quality=quality)
    return stream.getvalue()


def bits_apart(one: Image.Image, other: Image.Image, quality: int = 85) -> int:
    first, second = fingerprint(data(one)), fingerprint(data(other, quality))
    assert first is not None
    assert second is not None
    return (first ^ second).bit_count()


@pytest.mark.parametrize("seed", range(6))
def test_the_second_press_of_the_shutter_is_alike(seed: int) -> None:
    one = scene(seed)
    lighter = ImageEnhance.Brightness(one).enhance(1.06)
    assert bits_apart(one, lighter) <= MOST_BITS
    assert bits_apart(one, one.filter(ImageFilter.GaussianBlur(1)), quality=40) <= MOST_BITS
    assert bits_apart(one, one.resize((200, 150))) <= MOST_BITS


def test_other_pictures_are_not() -> None:
    near = [
        (a, b) for a in range(12) for b in range(a) if bits_apart(scene(a), scene(b)) <= MOST_BITS
    ]
    assert near == []


def test_a_picture_of_one_tone_is_alike_to_nothing() -> None:
    assert fingerprint(data(Image.new("L", (200, 100), 90))) is None
    assert groups({"a": None, "b": None}) == []


def test_groups_keep_the_order_of_the_photographs() -> None:
    prints = {"a": 0, "b": 2**40 - 1, "c": 0b111, "d": 2**40 - 2, "e": None, "f": 0b11111}
    assert groups(prints) == [["a", "c", "f"], ["b", "d"]]


def test_what_joins_two_groups_makes_them_one() -> None:
    first, last = 0, (1 << 10) - 1
    between = (1 << 5) - 1
    assert groups({"x": first, "y": last}) == []
    assert groups({"x": first, "y": last, "z": between}) == [["x", "y", "z"]]
