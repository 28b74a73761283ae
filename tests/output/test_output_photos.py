"""Photographs that leave in a history carry neither position nor serial number with them."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from PIL import ExifTags, Image
from pypdf import PdfReader

from hulllog.output.history import Options, write_history
from hulllog.records.media import import_photos
from hulllog.records.operations import queries
from hulllog.records.operations.photos import correct_clock, place_photo

if TYPE_CHECKING:
    from pathlib import Path

    from hulllog.records.logbook import Logbook

SERIAL = "SN-4711-0815"


def telling_photo(path: Path) -> Path:
    """Write a picture that says where it was taken, and by which camera."""
    picture = Image.effect_noise((640, 480), 60).convert("RGB")
    exif = picture.getexif()
    exif[ExifTags.Base.Make] = "Made-up Optics"
    inner = exif.get_ifd(ExifTags.IFD.Exif)
    inner[ExifTags.Base.DateTimeOriginal] = "2025:04:11 10:30:00"
    inner[ExifTags.Base.BodySerialNumber] = SERIAL
    place = exif.get_ifd(ExifTags.IFD.GPSInfo)
    place[ExifTags.GPS.GPSLatitudeRef] = "N"
    place[ExifTags.GPS.GPSLatitude] = (59.0, 12.0, 34.5)
    picture.save(path, exif=exif)
    return path


def test_no_position_and_no_serial_number_leave(logbook: Logbook, tmp_path: Path) -> None:
    photo = telling_photo(tmp_path / "telling.jpg")
    assert SERIAL.encode() in photo.read_bytes()
    with logbook.read() as book:
        visit = queries.visits(book)[-1].id
    assert import_photos(logbook, [photo], visit).done
    options = Options(draft=True, contact_sheet=True)
    written = write_history(logbook, tmp_path / "h.pdf", options)
    reader = PdfReader(written.path)
    images = [image for page in reader.pages for image in page.images]
    assert len(images) == 1
    assert not images[0].image.getexif()
    assert b"Exif" not in images[0].data
    data = written.path.read_bytes()
    assert SERIAL.encode() not in data
    assert b"GPS" not in data
    text = " ".join(page.extract_text() for page in reader.pages)
    assert SERIAL not in text
    assert re.search(r"11 Apr\s2025", text)


def test_a_photograph_without_a_caption_is_told_by_its_place_and_corrected_time(
    logbook: Logbook, tmp_path: Path
) -> None:
    photo = telling_photo(tmp_path / "telling.jpg")
    with logbook.read() as book:
        visit = queries.visits(book)[-1].id
        zone = next(z.id for z, _ in queries.zones_at(book) if z.code == "rudder")
    (done,) = import_photos(logbook, [photo], visit, state="found").done
    place_photo(logbook, done.photo_id, zone_id=zone)
    correct_clock(logbook, "Made-up Optics", 61, visit_id=visit, reason="yard clock")
    options = Options(draft=True, contact_sheet=True)
    pages = PdfReader(write_history(logbook, tmp_path / "h.pdf", options).path).pages
    text = re.sub(r"\s+", " ", " ".join(page.extract_text() for page in pages))
    sheet = text.split("Annex G: photographs")[1]
    assert "11 Apr 2025, 11:31, as found Rudder" in sheet
    assert "10:30" not in sheet
    assert "No photograph is on record of these findings: Finding 1: Blister field" in sheet


def test_an_open_finding_shows_its_photograph_or_says_that_it_has_none(
    logbook: Logbook, tmp_path: Path
) -> None:
    draft = Options(draft=True)
    pages = PdfReader(write_history(logbook, tmp_path / "1.pdf", draft).path).pages
    assert not [image for page in pages for image in page.images]
    assert "No photograph on record" in " ".join(page.extract_text() for page in pages)
    with logbook.read() as book:
        visit = queries.visits(book)[-1].id
        zone = next(z.id for z, _ in queries.zones_at(book) if z.code == "bottom-aft-port")
    (done,) = import_photos(
        logbook, [telling_photo(tmp_path / "telling.jpg")], visit, state="found"
    ).done
    place_photo(logbook, done.photo_id, zone_id=zone)
    pages = PdfReader(write_history(logbook, tmp_path / "2.pdf", draft).path).pages
    assert len([image for page in pages for image in page.images]) == 1
    assert "No photograph on record" not in " ".join(page.extract_text() for page in pages)
