"""The folder of a logbook: what lies in it, its lock, and files that appear whole or not at all."""

from __future__ import annotations

import os
from contextlib import contextmanager
from typing import TYPE_CHECKING

from filelock import FileLock, Timeout

from hulllog.records import sqlite
from hulllog.records.errors import LogbookProblem

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

FILE_NAME = "logbook.sqlite"
LOCK_NAME = "logbook.lock"
PHOTOS = "photos"
DOCUMENTS = "documents"
MAKING = ".making"
"""Ending of a file that is not whole yet; one left by a crash may be taken away."""


def take_lock(folder: Path) -> tuple[FileLock | None, str | None]:
    """Take the lock of a logbook; returns None and why not, as a code, when it cannot be had."""
    # Any thread may close what another opened.
    lock = FileLock(folder / LOCK_NAME, thread_local=False)
    try:
        lock.acquire(timeout=0)
    except Timeout:
        return None, "in_use"
    except OSError:
        return None, "no_write_access"
    file = folder / FILE_NAME
    if file.exists() and not os.access(file, os.W_OK):
        lock.release()
        return None, "no_write_access"
    return lock, None


def settle(folder: Path, why_read_only: str | None) -> None:
    """Go back to the last whole entry where a write was cut off, if nobody is writing.

    Raises LogbookProblem ``unfinished`` where that is wanted and nothing can be written.
    """
    if why_read_only == "in_use" or not sqlite.unfinished(folder / FILE_NAME):
        return
    lock = None
    if why_read_only:
        lock, why = take_lock(folder)
        if why == "in_use":
            return
        if why:
            raise LogbookProblem("unfinished", path=folder.name)
    try:
        sqlite.settle(folder / FILE_NAME)
    finally:
        if lock:
            lock.release()


def put_whole(target: Path, data: bytes) -> None:
    """Write a file that is there whole or not at all, whatever happens meanwhile."""
    with making(target) as temporary, temporary.open("wb") as file:
        file.write(data)
        file.flush()
        os.fsync(file.fileno())


@contextmanager
def making(target: Path) -> Iterator[Path]:
    """Give a name to write to; the file takes its place at the end, or goes when that fails."""
    temporary = target.with_name(target.name + MAKING)
    try:
        yield temporary
        temporary.replace(target)
    except BaseException:
        temporary.unlink(missing_ok=True)
        raise


def keep_names(folder: Path) -> None:
    """Bring the names in a folder to the disk, so that new files survive a loss of power."""
    if os.name == "nt":
        return
    opened = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(opened)
    finally:
        os.close(opened)
