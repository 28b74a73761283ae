"""Fittings that were photographed at a visit and of which no look there is on record."""

from __future__ import annotations

from collections import defaultdict
from typing import TYPE_CHECKING

from sqlalchemy import select

from hulllog.records.model import GearCheck, Photo, PhotoPlace

if TYPE_CHECKING:
    from hulllog.records.book import Book


def pictured_alone(book: Book) -> dict[str, dict[str, int]]:
    """Return fitting -> visit -> how many pictures there show it, where nobody looked at it.

    A picture shows what was in front of a lens; nobody moved, tapped or tried the fitting.
    """
    checks = select(GearCheck.gear_id, GearCheck.visit_id).where(GearCheck.withdrawn.is_(False))
    looked = {(gear, visit) for gear, visit in book.execute(checks)}
    query = (
        select(PhotoPlace.gear_id, Photo.visit_id, Photo.id)
        .join(Photo, Photo.id == PhotoPlace.photo_id)
        .where(PhotoPlace.gear_id.is_not(None), PhotoPlace.withdrawn.is_(False))
        .where(Photo.withdrawn.is_(False), Photo.purged_reason.is_(None))
    )
    shown: dict[str, dict[str, set[str]]] = defaultdict(lambda: defaultdict(set))
    for gear, visit, photo in book.execute(query):
        if gear and visit and (gear, visit) not in looked:
            shown[gear][visit].add(photo)
    return {
        gear: {visit: len(photos) for visit, photos in by_visit.items()}
        for gear, by_visit in shown.items()
    }
