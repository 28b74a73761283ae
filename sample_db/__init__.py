"""The sample shelf: an invented ketch and a day-boat, built the same each time.

The boats, their people, places, products, papers and pictures are made up.  Everything goes in
through the program's own operations, on a clock that follows the story.
"""

from __future__ import annotations

import tempfile
from pathlib import Path
from typing import TYPE_CHECKING

from hulllog.hull.form import HullForm
from hulllog.hull.particulars import Particulars
from hulllog.records.logbook import Logbook
from hulllog.records.operations import queries

from . import beginnings, chapters, dayboat, haulouts, photographs, planned
from .clock import OWNER, Clock, surroundings
from .dayboat import DAYBOAT
from .teller import Teller
from .years import HAUL_OUTS, year_of

if TYPE_CHECKING:
    from collections.abc import Callable

KETCH = "Ruddy Shore"


def logbook_folder(shelf: Path) -> Path:
    """Return the logbook of the ketch on a sample shelf."""
    return shelf / KETCH


def build(folder: Path) -> Path:
    """Build the sample shelf in ``folder`` and return the ketch's logbook."""
    target = logbook_folder(folder)
    _book(target, Clock(), _tell)
    clock = Clock(dayboat.BEGUN)
    _book(folder / DAYBOAT, clock, dayboat.tell, person=dayboat.KEEPER)
    return target


def _book(
    target: Path, clock: Clock, tell: Callable[[Teller], None], *, person: str = OWNER
) -> None:
    with tempfile.TemporaryDirectory(prefix="hulllog-sample-") as scratch:
        around = surroundings(clock, Path(scratch), person)
        with Logbook.create(target, around) as logbook:
            tell(Teller(logbook, clock, Path(scratch)))


def _tell(teller: Teller) -> None:
    beginnings.begin(teller)
    with teller.logbook.read() as book:
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
    planned.plan_next(teller)


__all__ = ["DAYBOAT", "KETCH", "build", "logbook_folder"]
