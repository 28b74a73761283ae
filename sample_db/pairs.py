"""Ten pairs of the same place over the years, for a reader who has only the pictures.

    python -m sample_db.pairs FOLDER KEY

FOLDER gets ``pair-01-a.jpg``, ``pair-01-b.jpg`` and so on: pixels alone, no caption, no time, no
camera, and no word of it in a name.  KEY, a CSV beside it and never in it, says what each is.  The
order of the pairs, and of the two in each, follows from a fixed seed.
"""

from __future__ import annotations

import csv
import itertools
import os
import random
import sys
import tempfile
from pathlib import Path
from typing import TYPE_CHECKING

from sqlalchemy import select

from hulllog.records.logbook import Logbook, Surroundings
from hulllog.records.media import report_copy
from hulllog.records.model import AnodePosition, Photo, PhotoPlace, Spot, Visit

from . import build

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hulllog.records.book import Book

PAIRS, EDGE, SEED = 10, 1200, 20260418
_SAME_MOMENT = 1_000_000_000
"""Seconds that every file is dated with, so that the order of writing tells nothing."""
COLUMNS = ("file", "place", "begins", "state", "order_in_time", "original_sha256")


def choose(book: Book, rng: random.Random) -> list[tuple[str, Photo, Photo]]:
    """Return place, earlier and later photograph, each place in turn until there are enough."""
    by_place: dict[str, list[list[tuple[Photo, Photo]]]] = {}
    for place, photos in sorted(_places(book).items()):
        pairs = [pair for pair in itertools.combinations(photos, 2) if _apart(*pair)]
        rng.shuffle(pairs)
        if pairs:
            by_place[place] = [[pair] for pair in pairs]
    found: list[tuple[str, Photo, Photo]] = []
    used: set[str] = set()
    while len(found) < PAIRS and any(by_place.values()):
        for place, left in by_place.items():
            while left:
                ((earlier, later),) = left.pop()
                # A picture stands in one pair only, or it would give the other away.
                if len(found) < PAIRS and not {earlier.id, later.id} & used:
                    used |= {earlier.id, later.id}
                    found.append((place, earlier, later))
                    break
    if len(found) < PAIRS:
        raise LookupError(f"{len(found)} pairs of {PAIRS}")
    rng.shuffle(found)
    return found


def _apart(earlier: Photo, later: Photo) -> bool:
    return earlier.visit_id != later.visit_id


def _places(book: Book) -> dict[str, list[Photo]]:
    """Return the photographs as found of each spot and anode position, the oldest first."""
    names = {spot.id: f"spot {spot.number}" for spot in book.scalars(select(Spot))}
    names |= {one.id: f"anode {one.name}" for one in book.scalars(select(AnodePosition))}
    query = (
        select(Photo, PhotoPlace, Visit)
        .join(PhotoPlace, PhotoPlace.photo_id == Photo.id)
        .join(Visit, Visit.id == Photo.visit_id)
        .where(Photo.state == "found", Photo.purged_reason.is_(None))
    )
    found: dict[str, list[tuple[Visit, Photo]]] = {}
    for photo, shown, visit in book.execute(query):
        about = names.get(shown.spot_id or shown.anode_position_id or "")
        if about:
            found.setdefault(about, []).append((visit, photo))
    return {
        place: [photo for _, photo in sorted(rows, key=lambda row: row[0].begins.earliest)]
        for place, rows in found.items()
    }


def write(logbook: Logbook, folder: Path, key: Path) -> None:
    """Write the pictures to an empty or new folder, and the key to a file outside of it."""
    if folder.resolve() in key.resolve().parents:
        raise ValueError("the key would lie among the pictures")
    folder.mkdir(parents=True, exist_ok=True)
    if any(folder.iterdir()):
        raise ValueError("the folder is not empty")
    rng = random.Random(SEED)
    rows: list[dict[str, object]] = []
    with logbook.read() as book:
        for number, (place, earlier, later) in enumerate(choose(book, rng), 1):
            two = [(earlier, "earlier"), (later, "later")]
            rng.shuffle(two)
            for letter, (photo, order) in zip("ab", two, strict=True):
                name = f"pair-{number:02}-{letter}.jpg"
                _put(logbook, photo, folder / name)
                visit = book.get(Visit, photo.visit_id)
                assert visit is not None
                assert visit.begins is not None
                told = (name, place, visit.begins.text, photo.state, order, photo.sha256)
                rows.append(dict(zip(COLUMNS, told, strict=True)))
    with key.open("w", encoding="utf-8", newline="") as file:
        writer = csv.DictWriter(file, COLUMNS)
        writer.writeheader()
        writer.writerows(rows)


def _put(logbook: Logbook, photo: Photo, target: Path) -> None:
    data = report_copy(logbook, photo, EDGE)
    assert data is not None, photo.file_name
    target.write_bytes(data)
    os.utime(target, (_SAME_MOMENT, _SAME_MOMENT))


def main(given: Sequence[str]) -> int:
    """Build the sample apart, and write its pairs."""
    if len(given) != 2:
        print("python -m sample_db.pairs FOLDER KEY", file=sys.stderr)
        return 2
    with tempfile.TemporaryDirectory(prefix="hulllog-pairs-") as scratch:
        apart = Path(scratch)
        around = Surroundings(state_folder=apart / "state", cache_folder=apart / "cache")
        with Logbook.open(build(apart / "shelf"), around, read_only=True) as logbook:
            write(logbook, Path(given[0]), Path(given[1]))
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
