"""The shelf: the logbooks in a folder, looked at without opening them."""

from __future__ import annotations

import sqlite3
from dataclasses import dataclass
from typing import TYPE_CHECKING

from sqlalchemy import select
from sqlalchemy.exc import DBAPIError
from sqlalchemy.orm import Session

from hulllog.records import ladder, sqlite
from hulllog.records.errors import LogbookProblem
from hulllog.records.folder import FILE_NAME
from hulllog.records.model import Vessel, Visit

if TYPE_CHECKING:
    from pathlib import Path

    from hulllog.records.values import PartialDate


@dataclass(frozen=True, slots=True)
class Shelved:
    """A logbook on the shelf.  ``problem`` is a code where it cannot be read; else None."""

    folder: Path
    name: str
    material: str | None = None
    last_visit: PartialDate | None = None
    sample: bool = False
    problem: str | None = None


def shelf(folder: Path) -> list[Shelved]:
    """Return the logbooks in a folder, and the folder itself where it is one, by name.

    Reading them changes nothing and waits for nobody.
    """
    try:
        inside = sorted(one for one in folder.iterdir() if one.is_dir())
    except OSError:
        inside = []
    found = [look_at(one) for one in (folder, *inside) if (one / FILE_NAME).is_file()]
    return sorted(found, key=lambda one: (one.name.casefold(), one.folder))


def look_at(folder: Path) -> Shelved:
    """Return what a logbook says of itself; by its folder where it cannot be read."""
    file = folder / FILE_NAME
    try:
        number = sqlite.schema_number(file)
        if number != ladder.SCHEMA_NUMBER:
            code = "newer_logbook" if number > ladder.SCHEMA_NUMBER else "older_logbook"
            return Shelved(folder, folder.name, problem=code)
        return _read(folder, file)
    except LogbookProblem as problem:
        return Shelved(folder, folder.name, problem=problem.code)
    except (OSError, sqlite3.Error, DBAPIError):
        return Shelved(folder, folder.name, problem="damaged")


def _read(folder: Path, file: Path) -> Shelved:
    engine = sqlite.engine_for(file, read_only=True)
    try:
        with Session(engine) as book:
            vessel = book.scalars(select(Vessel).where(Vessel.withdrawn.is_(False))).first()
            visits = book.scalars(select(Visit).where(Visit.withdrawn.is_(False))).all()
            dates = [visit.begins for visit in visits if visit.begins]
            last = max(dates, key=lambda one: (one.earliest, one.latest), default=None)
            if vessel is None:
                return Shelved(folder, folder.name, last_visit=last)
            return Shelved(folder, vessel.name, vessel.material, last, vessel.sample)
    finally:
        engine.dispose()
