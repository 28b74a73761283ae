"""Ten pairs of the same place over the years, for a reader who has only the pictures.

    python -m sample_db.pairs FOLDER KEY

FOLDER gets ``pair-01-a.jpg``, ``pair-01-b.jpg`` and so on: pixels alone, no caption, no time, no
camera, and no word of it in a name.  KEY, a CSV beside it and never in it, says what each is and
what the records say changed; pairs of which they say nothing are not taken.  The order of the
pairs, and of the two in each, follows from a fixed seed.
"""

from __future__ import annotations

import csv
import os
import random
import sys
import tempfile
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from hulllog.records.logbook import Logbook, Surroundings
from hulllog.records.media import report_copy
from hulllog.records.model import Visit

from . import build
from .changes import changes

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hulllog.records.book import Book
    from hulllog.records.model import Photo

    from .changes import Told

PAIRS, EDGE, SEED = 10, 1200, 20260418
_SAME_MOMENT = 1_000_000_000
"""Seconds that every file is dated with, so that the order of writing tells nothing."""
COLUMNS = ("file", "place", "begins", "state", "order_in_time", "change", "original_sha256")


def choose(book: Book, rng: random.Random) -> list[Told]:
    """Return pairs that the records tell apart, as many places and sorts of change as there are.

    Of each sort the plainest comes first.
    """
    groups: dict[tuple[str, str], list[Told]] = {}
    for told in changes(book):
        groups.setdefault((told.place, told.what), []).append(told)
    found: list[Told] = []
    while len(found) < PAIRS and any(groups.values()):
        # What has the fewest pairs is served first, or others would take its pictures.
        for left in sorted(groups.values(), key=len):
            # A picture stands in one pair only, or it would give the other away.
            used = {photo.id for told in found for photo in (told.earlier, told.later)}
            left[:] = [told for told in left if not {told.earlier.id, told.later.id} & used]
            if left and len(found) < PAIRS:
                found.append(max(left, key=partial(_worth, found=found)))
    if len(found) < PAIRS:
        raise LookupError(f"{len(found)} pairs of {PAIRS}")
    rng.shuffle(found)
    return found


def _worth(told: Told, found: Sequence[Told]) -> tuple[bool, float]:
    """Prefer two visits that no pair shows yet, whose paint would tell the next; then the plainest.

    What changed between two visits changes in all pairs of them alike.
    """
    visits = {(one.earlier.visit_id, one.later.visit_id) for one in found}
    return (told.earlier.visit_id, told.later.visit_id) not in visits, told.strength


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
        for number, pair in enumerate(choose(book, rng), 1):
            two = [(pair.earlier, "earlier"), (pair.later, "later")]
            rng.shuffle(two)
            for letter, (photo, order) in zip("ab", two, strict=True):
                name = f"pair-{number:02}-{letter}.jpg"
                _put(logbook, photo, folder / name)
                visit = book.get(Visit, photo.visit_id)
                assert visit is not None
                assert visit.begins is not None
                told = (
                    name, pair.place, visit.begins.text, photo.state, order, pair.words,
                    photo.sha256,
                )  # fmt: skip
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
