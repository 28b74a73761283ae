"""Pictures of a roll, each with a look of its own."""

from __future__ import annotations

import hashlib

from PIL import ExifTags, Image


def take(folder, name, when=None, *, seed=0, by_program=False):
    """Take a picture of its own, at a time."""
    exif = Image.Exif()
    if when and by_program:
        exif[ExifTags.Base.DateTime] = when
    elif when:
        exif.get_ifd(ExifTags.IFD.Exif)[ExifTags.Base.DateTimeOriginal] = when
    picture = Image.new("L", (9, 8))
    digest = hashlib.sha256(str(seed or name).encode()).digest() * 3
    picture.putdata(list(digest[:72]))
    file = folder / f"{name}.jpg"
    picture.resize((180, 160), Image.Resampling.NEAREST).convert("RGB").save(file, exif=exif)
    return file
