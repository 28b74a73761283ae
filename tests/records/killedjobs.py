"""Jobs that are killed at their k-th write, for every k, each in a process of its own.

``python killedjobs.py JOB FOLDER STRIDE`` copies FOLDER/base to FOLDER/<k> and forks a child that
does the job there and dies before its k-th statement, synchronising, renaming or removing.  It ends
when a child comes to its end.  What a child had finished stands in ``<k>/finished``.
"""

from __future__ import annotations

import os
import shutil
import signal
import sqlite3
import sys
from collections.abc import Callable
from itertools import count
from pathlib import Path
from typing import Any

from recordskit import repeatable
from sqlalchemy import select

from hulllog.records import backup, ladder, media
from hulllog.records.logbook import Logbook
from hulllog.records.model import Visit

KILLED = 9
EDITS = 3


class Clock:
    """Counts what is about to be written, and ends the process at the k-th."""

    def __init__(self, last: int) -> None:
        self._left = last

    def __call__(self, *_: object) -> int:
        self._left -= 1
        if self._left <= 0:
            os._exit(KILLED)
        return 0


def watch(clock: Clock, *, inside: bool) -> None:
    """Count every statement, synchronising, renaming and removing; ``inside``: within statements.

    Then SQLite also gets so little memory that it writes to the file long before the end.
    """
    connect = sqlite3.connect

    def watched(*told: Any, **also: Any) -> sqlite3.Connection:
        connection = connect(*told, **also)
        if inside:
            connection.execute("PRAGMA cache_size = 1")
            connection.set_progress_handler(clock, 4)
        else:
            connection.set_trace_callback(clock)
        return connection

    sqlite3.connect = watched  # type: ignore[assignment]
    for name in ("fsync", "replace", "rename", "unlink", "remove"):
        setattr(os, name, before(clock, getattr(os, name)))


def before(clock: Clock, work: Callable[..., Any]) -> Callable[..., Any]:
    def counted(*told: Any, **also: Any) -> Any:
        clock()
        return work(*told, **also)

    return counted


def finished(folder: Path, what: str) -> None:
    """Note, on the disk, that a piece of work came to its end."""
    with (folder / "finished").open("a") as file:
        file.write(what + "\n")


# The jobs


def edit(folder: Path) -> None:
    with Logbook.open(folder / "book", repeatable(folder, begins=100)) as logbook:
        for number in range(EDITS):
            with logbook.change("visit.set") as book:
                visit = book.scalars(select(Visit)).one()
                visit.note = f"{number} " + "long " * 30_000
            finished(folder, str(number))
        logbook.undo()
        finished(folder, "undo")


def edit_on(folder: Path) -> None:
    """Edit until killed from outside."""
    with Logbook.open(folder / "book", repeatable(folder, begins=100)) as logbook:
        for number in count():
            with logbook.change("visit.set") as book:
                book.scalars(select(Visit)).one().note = str(number)
            finished(folder, str(number))


def take_photos(folder: Path) -> None:
    files = sorted((folder / "camera").iterdir())
    with Logbook.open(folder / "book", repeatable(folder, begins=100)) as logbook:
        media.import_photos(logbook, files, None)
    finished(folder, "import")


def back_up(folder: Path) -> None:
    with Logbook.open(folder / "book", repeatable(folder, begins=100)) as logbook:
        assert backup.backup(logbook, folder / "copy")
    finished(folder, "backup")


def climb(folder: Path) -> None:
    with Logbook.open(folder / "book", repeatable(folder, begins=100)):
        finished(folder, "climb")


def create(folder: Path) -> None:
    Logbook.create(folder / "new", repeatable(folder, begins=100)).close()
    finished(folder, "create")


def add_a_column(connection: Any) -> None:
    connection.exec_driver_sql("ALTER TABLE visit ADD COLUMN tide TEXT")
    connection.exec_driver_sql("UPDATE visit SET tide = 'spring'")


NOW = ladder.SCHEMA_NUMBER
STEP = ladder.Step("add a column", add_a_column)
JOBS = {
    "edit": edit,
    "edit_on": edit_on,
    "import": take_photos,
    "backup": back_up,
    "climb": climb,
    "create": create,
}


def main(job: str, folder: Path, stride: int, inside: str) -> None:
    if job == "climb":
        ladder.SCHEMA_NUMBER = NOW + 1
        ladder.STEPS[NOW] = STEP
    for number in count(1, stride):
        here = folder / f"{number}"
        shutil.copytree(folder / "base", here)
        child = os.fork()
        if child == 0:
            watch(Clock(number), inside=inside == "inside")
            JOBS[job](here)
            os._exit(0)
        if os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) != KILLED:
            break
    else:
        raise AssertionError("the job never ended")


def kill_from_outside(folder: Path, times: int) -> None:
    """Kill children that edit on and on, after as many finished edits as their number."""
    for number in range(1, times + 1):
        here = folder / f"{number}"
        shutil.copytree(folder / "base", here)
        child = os.fork()
        if child == 0:
            edit_on(here)
        while not (here / "finished").exists() or lines(here) < number:
            pass
        os.kill(child, signal.SIGKILL)
        os.waitpid(child, 0)


def lines(folder: Path) -> int:
    return len((folder / "finished").read_text().splitlines())


if __name__ == "__main__":
    if sys.argv[1] == "edit_on":
        kill_from_outside(Path(sys.argv[2]), int(sys.argv[3]))
    else:
        main(sys.argv[1], Path(sys.argv[2]), int(sys.argv[3]), sys.argv[4])
