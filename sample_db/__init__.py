"""The sample shelf: one invented ketch and her thirteen haul-outs, built the same each time.

The boat, her people, places, products, papers and pictures are made up.  Everything goes in
through the program's own operations, on a clock that follows the story.
"""

from __future__ import annotations

import tempfile
from pathlib import Path

from hulllog.hull.form import HullForm
from hulllog.hull.particulars import Particulars
from hulllog.records.logbook import Logbook
from hulllog.records.operations import queries

from . import beginnings, chapters, haulouts, photographs
from .clock import Clock, surroundings
from .teller import Teller
from .years import HAUL_OUTS, year_of

KETCH = "Ruddy Shore"


def logbook_folder(shelf: Path) -> Path:
    """Return the logbook of the ketch on a sample shelf."""
    return shelf / KETCH


def build(folder: Path) -> Path:
    """Build the sample shelf in ``folder`` and return the ketch's logbook."""
    target = logbook_folder(folder)
    clock = Clock()
    with tempfile.TemporaryDirectory(prefix="hulllog-sample-") as scratch:
        around = surroundings(clock, Path(scratch))
        with Logbook.create(target, around) as logbook:
            _tell(logbook, clock, Path(scratch))
    return target


def _tell(logbook: Logbook, clock: Clock, workshop: Path) -> None:
    teller = Teller(logbook, clock, workshop)
    beginnings.begin(teller)
    with logbook.read() as book:
        version = queries.form_version(book)
    assert version is not None
    teller.shape.append(HullForm.build(Particulars.from_json(version.particulars)))
    for haul_out in HAUL_OUTS:
        year = year_of(haul_out)
        visit = haulouts.begin(teller, haul_out)
        if year in chapters.ASHORE:
            chapters.ASHORE[year](teller, visit)
        photographs.take(teller, visit, haul_out)
        haulouts.end(teller, visit, haul_out)
        if year in chapters.AFLOAT:
            chapters.AFLOAT[year](teller, visit)


__all__ = ["KETCH", "build", "logbook_folder"]
