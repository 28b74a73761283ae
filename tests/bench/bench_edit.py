"""An edit against one fsynced commit of one row, at few and at 50,000 entries."""

from __future__ import annotations

import itertools
import sqlite3
from typing import TYPE_CHECKING

from benchtools import by_turns, long_logbook, scratch, tell
from sqlalchemy import select

from hulllog.records.model import Work

if TYPE_CHECKING:
    from pathlib import Path

    from hulllog.records.logbook import Logbook

PROMISE = 4.0
TIMES = 300


class OneRow:
    """Commits one row, synchronised to the disk, into a database of its own."""

    def __init__(self, file: Path) -> None:
        self.connection = sqlite3.connect(file, isolation_level=None)
        self.connection.execute("PRAGMA synchronous = FULL")
        self.connection.execute("CREATE TABLE row (number INTEGER PRIMARY KEY, text TEXT)")

    def __call__(self) -> None:
        self.connection.execute("INSERT INTO row (text) VALUES (?)", ("x" * 200,))


class Edit:
    """Changes one field of one record after another."""

    def __init__(self, logbook: Logbook) -> None:
        self.logbook = logbook
        with logbook.read() as book:
            self.keys = itertools.cycle(book.scalars(select(Work.id).limit(500)).all())
        self.count = itertools.count()

    def __call__(self) -> None:
        with self.logbook.change("work.set", field="text") as book:
            book.get_one(Work, next(self.keys)).text = f"Edited {next(self.count)}"


def main() -> None:
    """Print the two ratios."""
    for entries in (1, 50_000):
        with scratch() as folder, long_logbook(folder, entries) as logbook:
            one_row, edit = OneRow(folder / "one.sqlite"), Edit(logbook)
            by_turns(20, one_row, edit)
            plain, ours = by_turns(TIMES, one_row, edit)
            tell(f"an edit at {entries:,} entries", plain, ours, PROMISE)


if __name__ == "__main__":
    main()
