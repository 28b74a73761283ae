"""Checking a logbook against reading its database once, and its files against plain SHA-256."""

from __future__ import annotations

import hashlib
import os
import sqlite3
from typing import TYPE_CHECKING

from benchtools import by_turns, long_logbook, scratch, surroundings, tell
from PIL import Image
from sqlalchemy import select

from hulllog.records import sqlite
from hulllog.records.base import Base
from hulllog.records.check import check
from hulllog.records.journal import plain
from hulllog.records.logbook import Logbook
from hulllog.records.media import import_photos

if TYPE_CHECKING:
    from pathlib import Path

FAST, DEEP = 3.0, 1.25
ROUNDS = 9


def read_bare(file: Path) -> None:
    """Read every row of every table with nothing between SQLite and Python."""
    connection = sqlite3.connect(file)
    query = "SELECT name FROM sqlite_master WHERE type = 'table'"
    for (name,) in connection.execute(query).fetchall():
        for _ in connection.execute(f'SELECT * FROM "{name}"'):
            pass
    connection.close()


def read_once(file: Path) -> None:
    """Read every row of every table as the program does."""
    engine = sqlite.engine_for(file, read_only=True)
    with engine.connect() as connection:
        for table in Base.metadata.sorted_tables:
            for _ in connection.execute(select(plain(table))):
                pass
    engine.dispose()


def hash_all(folder: Path) -> None:
    """Compute SHA-256 of every file."""
    for file in folder.iterdir():
        with file.open("rb") as opened:
            hashlib.file_digest(opened, "sha256")


def main() -> None:
    """Print the ratios."""
    with scratch() as folder:
        fast(folder)
    with scratch() as folder:
        deep(folder)


def fast(folder: Path) -> None:
    """Check a long journal."""
    around = surroundings(folder)
    long_logbook(folder, 50_000).close()
    book = folder / "long"
    file = book / "logbook.sqlite"
    assert not check(book, around=around).problems
    bare, once, ours = by_turns(
        ROUNDS, lambda: read_bare(file), lambda: read_once(file), lambda: check(book, around=around)
    )
    tell("check of 50,000 entries", once, ours, FAST)
    tell("  against sqlite3 alone, for comparison", bare, ours)


def deep(folder: Path) -> None:
    """Check the contents of files."""
    around = surroundings(folder)
    with Logbook.create(folder / "book", around) as logbook:
        import_photos(logbook, large_files(folder, 60), None)
    book = folder / "book"
    hashing, ours = by_turns(
        ROUNDS,
        lambda: hash_all(book / "photos"),
        lambda: check(book, deep=True, around=around),
    )
    tell("check --deep of 240 MB", hashing, ours, DEEP)


def large_files(folder: Path, count: int) -> list[Path]:
    """Draw pictures that do not compress, of about 4 MB each."""
    files = []
    for number in range(count):
        files.append(folder / f"grain-{number}.png")
        grain = Image.frombytes("RGB", (1160, 1160), os.urandom(1160 * 1160 * 3))
        grain.save(files[-1], compress_level=0)
    return files


if __name__ == "__main__":
    main()
