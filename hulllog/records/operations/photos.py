"""What is said of photographs: what they show, their captions, the clocks of cameras."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

from sqlalchemy import select

from hulllog.records.errors import Refused
from hulllog.records.model import (
    Annotation,
    AnodePosition,
    Gear,
    Photo,
    PhotoPlace,
    Spot,
    Visit,
    Zone,
)
from hulllog.records.operations import choices, queries
from hulllog.records.operations import typed as t
from hulllog.records.operations.keeping import change_fields, make, name_of

if TYPE_CHECKING:
    from hulllog.records.logbook import Logbook

SHOWN: t.Fields = {
    "place": t.place(),
    "spot_id": t.link(Spot),
    "zone_id": t.link(Zone),
    "anode_position_id": t.link(AnodePosition),
    "gear_id": t.link(Gear),
}
_YEAR = 366 * 24 * 60
CLOCK: t.Fields = {"minutes": t.whole(-_YEAR, _YEAR, wanted=True)}
ALIGNED = "aligned"
"""Sort of the marks by which two photographs are laid together; their text is the other's key."""
NAMED_SHOT = "shot"
"""Sort of what tells which wanted picture a photograph is; its text is the code of the shot."""
PHOTO: t.Fields = {
    "caption": t.text(),
    "state": t.one_of(choices.STATES),
    "visit_id": t.link(Visit),
}


def place_photo(logbook: Logbook, photo_id: str, **shows: t.Typed) -> str:
    """Say what a photograph shows: a place, spot_id, zone_id, anode_position_id, gear_id."""
    about = name_of(logbook, Photo, photo_id, "photo")
    with logbook.change("photo.place", photo=about) as book:
        t.needed(book, Photo, photo_id)
        values = t.read(book, SHOWN, shows)
        if not any(values.values()):
            raise Refused("choice_wanted", field="place")
        return make(book, PhotoPlace, {"photo_id": photo_id, **values})


def sort_photos(
    logbook: Logbook,
    zones: Mapping[str, str],
    scales: Mapping[str, Sequence[Sequence[float]]] | None = None,
) -> None:
    """Say of several photographs which zone they show, as one entry: photo -> zone.

    ``scales`` gives for photographs of a card the ends of its 100 mm, which are kept as a length
    measured there.  What was said before is not said twice.
    """
    with logbook.change("photo.sort", count=len(zones)) as book:
        for photo_id, zone_id in zones.items():
            here = (PhotoPlace.photo_id == photo_id, PhotoPlace.zone_id == zone_id)
            if not queries.kept(book, PhotoPlace, *here):
                place_photo(logbook, photo_id, zone_id=zone_id)
        for photo_id, points in (scales or {}).items():
            here = (Annotation.photo_id == photo_id, Annotation.sort == "scale")
            if not queries.kept(book, Annotation, *here):
                annotate(logbook, photo_id, sort="scale", points=points, length="100 mm")


def move_photo_place(
    logbook: Logbook, photo_place_id: str, place: t.Typed, *, zone_id: str | None = None
) -> None:
    """Move the mark of a photograph on the drawing."""
    with logbook.change("photo.move") as book:
        shown = t.needed(book, PhotoPlace, photo_place_id, "photo_place")
        values = t.read(book, SHOWN, {"place": place, "zone_id": zone_id or shown.zone_id})
        shown.place, shown.zone_id = values["place"], values["zone_id"]


def remove_photo_place(logbook: Logbook, photo_place_id: str) -> None:
    """Take the mark of a photograph off the drawing; the photograph stays."""
    with logbook.change("photo.unplace") as book:
        t.needed(book, PhotoPlace, photo_place_id, "photo_place").withdrawn = True


def set_photo(
    logbook: Logbook, photo_id: str, field: str, typed: t.Typed, *, reason: str | None = None
) -> None:
    """Set the caption, state or visit of a photograph."""
    change_fields(
        logbook, "photo.set", Photo, photo_id, PHOTO, {field: typed}, reason=reason, field=field
    )


def put_photos(logbook: Logbook, photo_ids: Sequence[str], visit_id: str | None) -> None:
    """Put photographs with a visit, or with none, as one entry.

    What they showed of the state of her was said of another visit and goes.
    """
    with logbook.change("photo.put", count=len(photo_ids)) as book:
        if visit_id is not None:
            t.needed(book, Visit, visit_id, "visit")
        for photo_id in photo_ids:
            photo = t.needed(book, Photo, photo_id, "photo")
            if photo.visit_id != visit_id:
                photo.visit_id, photo.state = visit_id, None


def caption(logbook: Logbook, photo_id: str, text: str, *, reason: str | None = None) -> None:
    """Write under a photograph what it shows."""
    set_photo(logbook, photo_id, "caption", text, reason=reason)


def correct_clock(
    logbook: Logbook, camera: str, minutes: t.Typed, *, reason: str, visit_id: str | None = None
) -> int:
    """Say how many minutes to add to what a camera's clock gave; returns the photos it changes.

    The capture time as read is never altered.
    """
    if not reason.strip():
        raise Refused("text_wanted", field="reason")
    with logbook.read() as book:
        added = t.read(book, CLOCK, {"minutes": minutes})["minutes"]
    with logbook.change("photo.clock", reason=reason, camera=camera, minutes=added) as book:
        query = select(Photo).where(Photo.camera == camera)
        if visit_id:
            query = query.where(Photo.visit_id == visit_id)
        photos = book.scalars(query).all()
        if not photos:
            raise Refused("no_photo_of_camera", field="camera", camera=camera)
        for photo in photos:
            photo.clock_correction, photo.clock_reason = added or None, reason
    return len(photos)


def annotate(
    logbook: Logbook,
    photo_id: str,
    *,
    sort: str,
    points: Sequence[Sequence[float]],
    text: str | None = None,
    length: t.Amount | None = None,
) -> str:
    """Draw on a photograph: points in shares of its width and height; a length measured there."""
    about = name_of(logbook, Photo, photo_id, "photo")
    fields: dict[str, t.Reader] = {
        "sort": t.name(),
        "text": t.text(),
        "length": t.amount("mm", "cm", "m", "in", low=0.01, high=100_000),
    }
    with logbook.change("photo.annotate", photo=about) as book:
        t.needed(book, Photo, photo_id)
        values: dict[str, Any] = t.read(
            book, fields, {"sort": sort, "text": text, "length": length}
        )
        return make(book, Annotation, {"photo_id": photo_id, "points": _shares(points), **values})


def align(logbook: Logbook, marks: Mapping[str, Sequence[Sequence[float]]]) -> None:
    """Keep two marks of the same things in each of two photographs, by their keys.

    No marks take away what was there.  Earlier marks stay as they were, so that this is no
    correction of the visits; the newest hold.
    """
    if len(marks) != 2 or any(len(points) not in (0, 2) for points in marks.values()):
        raise Refused("choice_wanted", field="points")
    one, other = marks
    with logbook.change("photo.align" if marks[one] else "photo.unalign") as book:
        for photo_id, other_id in ((one, other), (other, one)):
            t.needed(book, Photo, photo_id, "photo")
            values = {"sort": ALIGNED, "text": other_id, "points": _shares(marks[photo_id])}
            make(book, Annotation, {"photo_id": photo_id, **values})


def name_shot(logbook: Logbook, photo_id: str, code: str | None) -> None:
    """Say which wanted picture a photograph is; none takes it back.  The newest holds."""
    about = name_of(logbook, Photo, photo_id, "photo")
    with logbook.change("photo.shot" if code else "photo.no_shot", photo=about) as book:
        t.needed(book, Photo, photo_id, "photo")
        make(
            book, Annotation, {"photo_id": photo_id, "sort": NAMED_SHOT, "text": code, "points": []}
        )


def _shares(points: Sequence[Sequence[float]]) -> list[list[float]]:
    """Return points in shares of a picture.  Raises Refused ``place_outside``."""
    marks = [[float(x), float(y)] for x, y in points]
    if not all(0 <= value <= 1 for mark in marks for value in mark):
        raise Refused("place_outside", field="points")
    return marks
