"""Checking a logbook: what was changed past the program, and what no check can see.

Against a head that left the owner's hands it names any rewriting of what lay before it.  Without
one it cannot see a journal that somebody built anew, and says so.
"""

from __future__ import annotations

import json
import re
import sqlite3
import time
from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Any

from hulllog.records import ladder, sqlite
from hulllog.records.chain import LAST, Chain, Problem, follow
from hulllog.records.computer import Surroundings, file_name
from hulllog.records.errors import LogbookProblem
from hulllog.records.folder import DOCUMENTS, FILE_NAME, PHOTOS, settle
from hulllog.records.media import Cancelled, Progress, ending, never, no_progress, sha256_of
from hulllog.records.types import read_instant
from hulllog.words.spelling import WORDS, word_list

if TYPE_CHECKING:
    from collections.abc import Iterator

_BITS = 11
_ENOUGH = 4
_SAVE_SECONDS = 2.0
_SQL_PHOTOS = (
    "SELECT 'photo', file_name, sha256, media_type, size FROM photo WHERE purged_reason IS NULL"
)
_SQL_DOCUMENTS = (
    "SELECT 'document', file_name, sha256, media_type, size FROM document WHERE sha256 IS NOT NULL"
)
_SQL_OWN_VIEWS = "SELECT 'own_view', file_name, sha256, media_type, size FROM own_view"
_SQL_ISSUED = "SELECT head, issued_at, to_whom, reader FROM issued_history ORDER BY issued_at"
_SQL_MARK = "SELECT value FROM logbook_mark WHERE name = 'logbook_id'"


@dataclass(slots=True)
class Seen:
    """How much a check looked at."""

    entries: int = 0
    rows: int = 0
    files: int = 0
    hashed: int = 0
    """Files read whole, those of an earlier part of the same check among them."""


@dataclass(slots=True)
class CheckReport:
    """What a check found: problems with the first first, how much was seen, what it cannot see.

    ``cannot_see`` holds codes: ``rebuilt`` (no anchor was given), ``after_anchor`` (what came after
    the newest anchor), ``media_content`` (files were not read), ``withheld`` (images kept back),
    ``truth`` (whether what was typed was so; always).
    """

    problems: list[Problem] = field(default_factory=list)
    seen: Seen = field(default_factory=Seen)
    cannot_see: list[str] = field(default_factory=list)
    head: str = ""
    cancelled: bool = False

    @property
    def entries(self) -> int:
        """How many entries of the journal were seen."""
        return self.seen.entries

    @property
    def rows(self) -> int:
        """How many records were seen."""
        return self.seen.rows

    @property
    def first(self) -> Problem | None:
        """The first thing that is wrong, or None."""
        return self.problems[0] if self.problems else None


def check(
    folder: Path,
    *,
    deep: bool = False,
    anchors: Sequence[str] = (),
    around: Surroundings | None = None,
    progress: Progress = no_progress,
    cancelled: Cancelled = never,
) -> CheckReport:
    """Check a logbook without changing it: chain, rows, images, files; ``deep`` reads these whole.

    ``anchors`` are heads that left the owner's hands, in hex (16 digits are enough) or as six
    words.  A deep check that was cancelled or cut off goes on where it was.  Raises LogbookProblem
    ``no_logbook``, ``not_a_logbook``, ``newer_logbook``, ``older_logbook_read_only``,
    ``unfinished``, or ``anchor_unread``.
    """
    folder = folder.absolute()
    file = folder / FILE_NAME
    if not file.is_file():
        raise LogbookProblem("no_logbook", path=str(folder))
    settle(folder, "asked")
    return check_file(
        file,
        folder,
        deep=deep,
        anchors=anchors,
        around=around or Surroundings(),
        progress=progress,
        cancelled=cancelled,
    )


def check_file(
    file: Path,
    folder: Path,
    *,
    deep: bool,
    anchors: Sequence[str],
    around: Surroundings,
    progress: Progress = no_progress,
    cancelled: Cancelled = never,
) -> CheckReport:
    """Check a database file against the media in a folder; see ``check``."""
    wanted = [(anchor, _prefix(anchor)) for anchor in anchors]
    found = sqlite.schema_number(file)
    if found > ladder.SCHEMA_NUMBER:
        raise LogbookProblem("newer_logbook", found=found, known=ladder.SCHEMA_NUMBER)
    if found < ladder.SCHEMA_NUMBER:
        raise LogbookProblem("older_logbook_read_only", found=found, known=ladder.SCHEMA_NUMBER)
    report = CheckReport()
    media: list[_File] = []
    logbook_id = ""
    try:
        connection = sqlite.connect(file, read_only=True)
        try:
            connection.execute("BEGIN")
            chain = follow(connection)
            _take_over(report, chain)
            in_history = chain.in_history()
            _issued(report, in_history, connection)
            _anchored(report, chain, in_history, wanted)
            media = [_File(*row) for row in connection.execute(_SQL_PHOTOS)]
            media += [_File(*row) for row in connection.execute(_SQL_DOCUMENTS)]
            media += [_File(*row) for row in connection.execute(_SQL_OWN_VIEWS)]
            logbook_id = str(connection.execute(_SQL_MARK).fetchone()[0])
        finally:
            connection.close()
    except (sqlite3.DatabaseError, UnicodeDecodeError) as problem:
        # Nothing more can be read, and that is what is wrong first.
        report.problems.insert(0, Problem("file_damaged", {"detail": str(problem)}, 0))
    _media(report, folder, media)
    if deep:
        _hash_media(report, folder, media, _Resume(around, logbook_id), progress, cancelled)
    elif media:
        report.cannot_see.append("media_content")
    report.cannot_see.append("truth")
    report.problems.sort(key=lambda problem: problem.place)
    return report


def _take_over(report: CheckReport, chain: Chain) -> None:
    report.problems += chain.problems
    report.seen.entries = len(chain.numbers)
    report.seen.rows = chain.rows
    report.head = chain.heads[-1] if chain.heads else ""
    if chain.withheld:
        report.cannot_see.append("withheld")


# Heads that were handed out


def _issued(report: CheckReport, in_history: set[str], connection: sqlite3.Connection) -> None:
    """Look for the head of every issued history among the entries before the present head."""
    for head, issued_at, to_whom, reader in connection.execute(_SQL_ISSUED):
        if head and head not in in_history:
            values = {"at": read_instant(issued_at), "to": to_whom or "", "reader": reader}
            report.problems.append(Problem("issued_head_missing", values, 0))


def _anchored(
    report: CheckReport, chain: Chain, in_history: set[str], wanted: list[tuple[str, _Prefix]]
) -> None:
    newest = 0
    for anchor, prefix in wanted:
        numbers = [chain.numbers[digest] for digest in in_history if prefix.begins(digest)]
        if numbers:
            newest = max(newest, *numbers)
        else:
            report.problems.append(Problem("anchor_missing", {"head": anchor}, 0))
    if not newest:
        report.cannot_see.insert(0, "rebuilt")
    elif newest != chain.numbers.get(report.head):
        report.cannot_see.insert(0, "after_anchor")


@dataclass(frozen=True, slots=True)
class _Prefix:
    """The beginning of a head: its first bits."""

    bits: int
    length: int

    def begins(self, digest: str) -> bool:
        """Tell whether a digest begins so."""
        digits = -(-self.length // 4)
        return int(digest[:digits], 16) >> (digits * 4 - self.length) == self.bits


def _prefix(anchor: str) -> _Prefix:
    """Read an anchor as typed: LogbookProblem ``anchor_unread`` for neither hex nor six words."""
    typed = anchor.strip().lower()
    places = {word[:_ENOUGH]: place for place, word in enumerate(word_list())}
    words = [places.get(word[:_ENOUGH], -1) for word in typed.replace("-", " ").split()]
    if len(words) == WORDS and min(words) >= 0:
        bits = 0
        for place in words:
            bits = bits << _BITS | place
        return _Prefix(bits, WORDS * _BITS)
    bare = re.sub(r"[\s:-]", "", typed)
    if re.fullmatch(r"[0-9a-f]{16,64}", bare):
        return _Prefix(int(bare, 16), len(bare) * 4)
    raise LogbookProblem("anchor_unread", typed=anchor)


# Files


@dataclass(frozen=True, slots=True)
class _File:
    table: str
    name: str | None
    sha256: str
    media_type: str | None
    size: int | None

    def path(self, folder: Path) -> Path | None:
        """Return where it lies; None for a digest that is none."""
        if not re.fullmatch(r"[0-9a-f]{64}", self.sha256):
            return None
        part = DOCUMENTS if self.table == "document" else PHOTOS
        return folder / part / (self.sha256 + ending(self.media_type))


def _media(report: CheckReport, folder: Path, media: list[_File]) -> None:
    """Look whether every file is there and has its size."""
    for one in media:
        report.seen.files += 1
        told: dict[str, Any] = {"table": one.table, "file": one.name or one.sha256[:16]}
        path = one.path(folder)
        try:
            size = path.stat().st_size if path else None
        except OSError:
            size = None
        if size is None:
            report.problems.append(Problem("media_missing", told))
        elif size != one.size:
            report.problems.append(Problem("media_size", {**told, "size": size, "was": one.size}))


class _Resume:
    """Which files a deep check has read already, kept while it is not at its end."""

    def __init__(self, around: Surroundings, logbook_id: str) -> None:
        self._file = around.state_folder / "checks" / f"{file_name(logbook_id)}.json"
        self._saved = time.monotonic()
        self._done: set[str] = set()
        try:
            found = json.loads(self._file.read_text("utf-8"))
            self._done = {str(one) for one in found}
        except (OSError, ValueError, TypeError):
            return

    def knows(self, mark: str) -> bool:
        """Tell whether a file, as it is now, was read already."""
        return mark in self._done

    def add(self, mark: str) -> None:
        """Note a file that was read and is whole."""
        self._done.add(mark)
        if time.monotonic() - self._saved > _SAVE_SECONDS:
            self.save()

    def save(self) -> None:
        """Keep what was read, so that the next check goes on from here."""
        self._saved = time.monotonic()
        try:
            self._file.parent.mkdir(parents=True, exist_ok=True)
            self._file.write_text(json.dumps(sorted(self._done)), "utf-8")
        except OSError:
            return

    def end(self) -> None:
        """Forget it all: the check came to its end, and the next begins anew."""
        try:
            self._file.unlink(missing_ok=True)
        except OSError:
            return


def _hash_media(
    report: CheckReport,
    folder: Path,
    media: list[_File],
    resume: _Resume,
    progress: Progress,
    cancelled: Cancelled,
) -> None:
    """Read every file whole and compare its digest with its name."""
    try:
        for number, (one, path) in enumerate(_there(folder, media)):
            progress(number, len(media))
            stat = path.stat()
            mark = f"{path.name} {stat.st_size} {stat.st_mtime_ns}"
            if not resume.knows(mark):
                digest = sha256_of(path, cancelled)
                if not digest:
                    report.cancelled = True
                    report.cannot_see.append("media_content")
                    break
                if digest != one.sha256:
                    told = {"table": one.table, "file": one.name or one.sha256[:16]}
                    report.problems.append(Problem("media_altered", told, LAST))
                    continue
                resume.add(mark)
            report.seen.hashed += 1
    finally:
        resume.save()
    if not report.cancelled:
        progress(len(media), len(media))
        resume.end()


def _there(folder: Path, media: list[_File]) -> Iterator[tuple[_File, Path]]:
    for one in media:
        path = one.path(folder)
        if path is not None and path.is_file():
            yield one, path
