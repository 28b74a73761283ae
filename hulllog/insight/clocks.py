"""The cameras of a visit, and how their clocks were corrected."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from hulllog.records.model import Photo
from hulllog.records.operations import queries

if TYPE_CHECKING:
    from datetime import datetime

    from hulllog.records.book import Book


@dataclass(frozen=True, slots=True)
class CameraClock:
    """A camera: its pictures, the first and last time as read, the minutes added and why."""

    camera: str
    photos: int
    first: datetime
    last: datetime
    minutes: int
    reason: str | None


def clocks(book: Book, visit_id: str) -> list[CameraClock]:
    """Return the cameras whose pictures of a visit have a time, by name."""
    found: dict[str, list[Photo]] = {}
    for photo in queries.kept(book, Photo, Photo.visit_id == visit_id):
        if photo.camera and photo.captured is not None and photo.captured.precision == "time":
            found.setdefault(photo.camera, []).append(photo)
    return [_clock(camera, photos) for camera, photos in sorted(found.items())]


def _clock(camera: str, photos: list[Photo]) -> CameraClock:
    times = [photo.captured.earliest for photo in photos if photo.captured is not None]
    newest = photos[-1]
    return CameraClock(
        camera,
        len(photos),
        min(times),
        max(times),
        newest.clock_correction or 0,
        newest.clock_reason,
    )
