"""Backups that prove themselves: a copy counts when it was opened and checked.

The copy is a logbook like any other.  Its database takes its place last, after the check, so that a
backup that was cut off is never taken for a whole one, and the one before it stays as it was.
"""

from __future__ import annotations

import os
import shutil
from contextlib import suppress
from dataclasses import dataclass
from typing import TYPE_CHECKING

from hulllog.records import sqlite
from hulllog.records.check import CheckReport, check_file
from hulllog.records.errors import LogbookProblem
from hulllog.records.folder import (
    DOCUMENTS,
    FILE_NAME,
    MAKING,
    PHOTOS,
    keep_names,
    making,
    settle,
    take_lock,
)
from hulllog.records.media import Cancelled, Progress, never, no_progress
from hulllog.records.proven import ProvenBackup, last_proven_backup, remember_proven

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from hulllog.records.logbook import Logbook

__all__ = ["BackupReport", "ProvenBackup", "backup", "last_proven_backup"]

_OF_MEDIA = frozenset({"media_missing", "media_size"})
_SQL_MARK = "SELECT value FROM logbook_mark WHERE name = 'logbook_id'"
_SQL_HEAD = "SELECT digest FROM journal_entry ORDER BY written DESC LIMIT 1"
_SQL_KNOWN = "SELECT 1 FROM journal_entry WHERE digest = ?"


@dataclass(frozen=True, slots=True)
class BackupReport:
    """A copy that was made.  ``proved`` tells whether nothing at all is wrong with it.

    Where a file is missing in the logbook itself the copy is as good as the logbook, is kept, and
    is not proved; ``check`` says what is missing.
    """

    folder: Path
    head: str
    files_copied: int
    files_there: int
    check: CheckReport

    @property
    def proved(self) -> bool:
        """Whether the copy was opened, checked and found whole."""
        return not self.check.problems


class _Stopped(Exception):
    """The person pressed Cancel."""


def backup(
    logbook: Logbook,
    target: Path,
    progress: Progress = no_progress,
    cancelled: Cancelled = never,
) -> BackupReport | None:
    """Copy a logbook into a folder, open the copy and check it; None after Cancel.

    Files that are there already are not copied again.  Raises LogbookProblem
    ``backup_into_itself``, ``backup_of_another``, ``backup_ahead`` when the folder holds entries
    that this logbook has not, ``backup_in_use``, ``backup_no_write_access``, or
    ``backup_not_proved``; then an earlier backup in the folder stays as it was.
    """
    target = target.absolute()
    _refuse_itself(logbook, target)
    for part in (target, target / PHOTOS, target / DOCUMENTS):
        part.mkdir(parents=True, exist_ok=True)
    lock, why = take_lock(target)
    if lock is None:
        raise LogbookProblem(f"backup_{why}", path=str(target))
    try:
        settle(target, None)
        _refuse_other(logbook, target / FILE_NAME)
        done = _copy(logbook, target, progress, cancelled)
    except _Stopped:
        return None
    finally:
        lock.release()
    if done.proved:
        remember_proven(logbook, target, done.head)
    return done


def _refuse_itself(logbook: Logbook, target: Path) -> None:
    ours, theirs = logbook.folder.resolve(), target.resolve()
    if ours == theirs or ours in theirs.parents:
        raise LogbookProblem("backup_into_itself", path=str(target))


def _refuse_other(logbook: Logbook, file: Path) -> None:
    """Refuse to write over another logbook, or over a later state of this one."""
    if not file.exists():
        return
    sqlite.schema_number(file)
    with sqlite.plain_errors(file):
        theirs = sqlite.connect(file, read_only=True)
        ours = sqlite.connect(logbook.file, read_only=True)
        try:
            mark = theirs.execute(_SQL_MARK).fetchone()
            if mark is None or mark[0] != logbook.id:
                raise LogbookProblem("backup_of_another", path=str(file.parent))
            head = theirs.execute(_SQL_HEAD).fetchone()
            if head and not ours.execute(_SQL_KNOWN, head).fetchone():
                raise LogbookProblem("backup_ahead", path=str(file.parent))
        finally:
            theirs.close()
            ours.close()


def _copy(logbook: Logbook, target: Path, progress: Progress, cancelled: Cancelled) -> BackupReport:
    """Copy the database under another name and the files, check, and only then let it count."""

    def go_on(_done: int, _of: int) -> None:
        if cancelled():
            raise _Stopped

    with making(target / FILE_NAME) as copy:
        # The database first: a photograph that comes in meanwhile is then not in it.
        with sqlite.plain_errors(logbook.file):
            sqlite.copy_file(logbook.file, copy, go_on)
        copied, there = _copy_media(logbook.folder, target, progress, cancelled)
        report = check_file(copy, target, deep=False, anchors=(), around=logbook.around)
        wrong = next((one for one in report.problems if one.code not in _OF_MEDIA), None)
        if wrong:
            raise LogbookProblem("backup_not_proved", detail=wrong.code)
        with copy.open("rb+") as opened:
            os.fsync(opened.fileno())
    keep_names(target)
    return BackupReport(target, report.head, copied, there, report)


def _copy_media(
    source: Path, target: Path, progress: Progress, cancelled: Cancelled
) -> tuple[int, int]:
    """Copy the files that are not there; returns how many were copied and how many were there."""
    files = [(file, target / file.parent.name / file.name) for file in _media(source)]
    copied = 0
    for number, (file, place) in enumerate(files):
        progress(number, len(files) + 1)
        if cancelled():
            raise _Stopped
        copied += _copy_file(file, place)
    progress(len(files), len(files) + 1)
    for part in (PHOTOS, DOCUMENTS):
        keep_names(target / part)
    return copied, len(files) - copied


def _media(folder: Path) -> Iterator[Path]:
    for part in (PHOTOS, DOCUMENTS):
        files = sorted((folder / part).glob("*"))
        yield from (file for file in files if file.is_file() and file.suffix != MAKING)


def _copy_file(file: Path, place: Path) -> bool:
    """Copy a file unless it is there in its size; tells whether it was copied."""
    with suppress(FileNotFoundError):
        if place.stat().st_size == file.stat().st_size:
            return False
    with making(place) as temporary:
        with file.open("rb") as source, temporary.open("wb") as copy:
            shutil.copyfileobj(source, copy, 1 << 20)
            copy.flush()
            os.fsync(copy.fileno())
        shutil.copystat(file, temporary)
    return True
