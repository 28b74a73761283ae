"""Draw the picture of the tests and turn it into a HEIC with heif-enc (Debian: libheif-examples).

Run it in this folder: ``python make_picture.py``.  It is a drawing of our own: a hull on the hard
with a keel and an anode, with what a phone would write about itself, its owner and its place.
"""

from __future__ import annotations

import subprocess
from pathlib import Path

from PIL import ExifTags, Image, ImageDraw

SIZE = (480, 320)
TARGET = Path(__file__).with_name("own-picture.heic")


def picture() -> Image.Image:
    """Draw it upright; a red mark stands in the upper left corner."""
    image = Image.new("RGB", SIZE, "#c8d6dc")
    draw = ImageDraw.Draw(image)
    draw.rectangle((0, 250, 480, 320), fill="#8d8a80")
    draw.polygon([(60, 120), (430, 105), (400, 175), (330, 200), (120, 195)], fill="#274a66")
    draw.polygon([(190, 200), (290, 200), (280, 252), (205, 252)], fill="#7a2f28")
    draw.ellipse((300, 180, 330, 196), fill="#b9bcc0")
    draw.rectangle((8, 8, 60, 60), fill="#d01818")
    return image


def written_by_a_camera() -> Image.Exif:
    """Return tags as a phone held upright writes them: turned, dated, placed, and numbered."""
    tags = Image.Exif()
    base = ExifTags.Base
    tags[base.Make], tags[base.Model], tags[base.Orientation] = "Ownmake", "Ownmake Box 3", 6
    camera = tags.get_ifd(ExifTags.IFD.Exif)
    camera[base.DateTimeOriginal] = "2024:04:14 09:30:12"
    camera[base.OffsetTimeOriginal] = "+01:00"
    camera[base.BodySerialNumber] = "SERIAL-4711"
    place = tags.get_ifd(ExifTags.IFD.GPSInfo)
    place[ExifTags.GPS.GPSLatitudeRef], place[ExifTags.GPS.GPSLatitude] = "N", (1.0, 2.0, 3.0)
    place[ExifTags.GPS.GPSLongitudeRef], place[ExifTags.GPS.GPSLongitude] = "E", (4.0, 5.0, 6.0)
    return tags


def main() -> None:
    """Write the HEIC."""
    between = TARGET.with_suffix(".jpg")
    picture().save(between, quality=95, exif=written_by_a_camera())
    subprocess.run(["heif-enc", "-q", "55", between, "-o", TARGET], check=True)
    between.unlink()


if __name__ == "__main__":
    main()
