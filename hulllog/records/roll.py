"""A photo roll: pictures looked through where they lie, and haul-outs kept with those picked.

Looking writes nothing and alters no file.  Keeping is one entry: haul-outs and photographs come and
go together.
"""

from __future__ import annotations

import hashlib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

from sqlalchemy import select

from hulllog.records.errors import Refused
from hulllog.records.media import (
    Batch,
    ImportReport,
    Progress,
    RefusedFile,
    no_progress,
)
from hulllog.records.model import Photo, Visit
from hulllog.records.operations import queries
from hulllog.records.operations import typed as t
from hulllog.records.operations.oldnotes import keep_old_haul_outs, problems
from hulllog.records.pictures import LARGEST_FILE, fingerprint, read_picture
from hulllog.records.values import YEARS

if TYPE_CHECKING:
    from hulllog.records.logbook import Logbook

TILE = 160
"""Pixels along an edge of the copy that is shown of a picture."""
BASIS = "from_photos"


@dataclass(frozen=True, slots=True)
class Shot:
    """A picture where it lies.

    ``taken`` is as its camera's clock stood, None where it is not told.  ``origin`` is ``camera``,
    or ``file`` for a time that a program wrote.  ``photo_id`` and ``visit_id`` are of the
    photograph on record that is the same file, if there is one.
    """

    file: Path
    sha256: str
    taken: datetime | None
    origin: str | None
    look: int | None
    small: bytes = field(repr=False)
    photo_id: str | None = None
    visit_id: str | None = None


@dataclass(frozen=True, slots=True)
class Roll:
    """The pictures of some files, each once, and the files that are none."""

    shots: tuple[Shot, ...]
    refused: tuple[RefusedFile, ...]


def look_through(logbook: Logbook, files: Sequence[Path], progress: Progress = no_progress) -> Roll:
    """Look at files one by one; what ``progress`` raises ends it, and nothing was changed."""
    with logbook.read() as book:
        query = select(Photo).where(Photo.purged_reason.is_(None))
        known = {photo.sha256: photo for photo in book.scalars(query)}
    shots: dict[str, Shot] = {}
    refused: list[RefusedFile] = []
    for number, file in enumerate(files):
        progress(number, len(files))
        try:
            shot = _shot(file, known)
        except Refused as problem:
            values = {"file": file.name, **problem.values}
            refused.append(RefusedFile(file.name, problem.code, values))
            continue
        shots.setdefault(shot.sha256, shot)
    progress(len(files), len(files))
    return Roll(tuple(shots.values()), tuple(refused))


def _shot(file: Path, known: Mapping[str, Photo]) -> Shot:
    data = _read(file)
    picture = read_picture(data, TILE)
    sha256 = hashlib.sha256(data).hexdigest()
    taken = picture.taken.replace(tzinfo=None) if picture.taken else None
    if taken is not None and taken.year not in YEARS:
        taken = None
    photo = known.get(sha256)
    return Shot(
        file,
        sha256,
        taken,
        picture.taken_from if taken else None,
        fingerprint(picture.small),
        picture.small,
        photo.id if photo else None,
        photo.visit_id if photo else None,
    )


def _read(file: Path) -> bytes:
    try:
        if file.stat().st_size > LARGEST_FILE:
            raise Refused("picture_too_large")
        return file.read_bytes()
    except FileNotFoundError as problem:
        raise Refused("file_gone") from problem
    except OSError as problem:
        raise Refused("file_unreadable", reason=problem.strerror or "") from problem


@dataclass(frozen=True, slots=True, kw_only=True)
class Pick:
    """Pictures that are kept together: with a visit on record, or with a new haul-out.

    ``typed`` are the texts of the new one by column: begins, ends, yard.
    """

    files: tuple[Path, ...]
    visit_id: str | None = None
    typed: Mapping[str, str] = field(default_factory=dict)


def keep_roll(
    logbook: Logbook,
    picks: Sequence[Pick],
    *,
    time_zone: str | None = None,
    progress: Progress = no_progress,
) -> ImportReport:
    """Keep haul-outs and their pictures as one entry; after any error nothing of it is there.

    Refused ``field`` is ``<number of the pick>.<column>``, and comes before a file is copied.
    """
    logbook.must_be_writable()
    with logbook.read() as book:
        zone = time_zone or queries.time_zone(book)
        new = [number for number, pick in enumerate(picks) if pick.visit_id is None]
        for problem in problems(book, [picks[number].typed for number in new], zone=zone):
            problem.refused.field = f"{new[problem.row]}.{problem.column}"
            raise problem.refused
    batches = [Batch(logbook, pick.visit_id, None, BASIS, zone) for pick in picks]
    total = sum(len(pick.files) for pick in picks)
    try:
        _copy(batches, picks, total, progress)
        with logbook.change("visit.from_photos", kind="import", count=len(new), photos=total):
            for batch, pick in zip(batches, picks, strict=True):
                _enter(logbook, batch, pick, zone)
    except BaseException:
        for batch in batches:
            batch.take_back()
        raise
    report = ImportReport()
    for batch in batches:
        batch.keep_small_copies()
        report.done += batch.report.done
        report.already += batch.report.already
        report.refused += batch.report.refused
    return report


def _copy(batches: Sequence[Batch], picks: Sequence[Pick], total: int, progress: Progress) -> None:
    done = 0
    for batch, pick in zip(batches, picks, strict=True):
        for file in pick.files:
            progress(done, total)
            batch.take(file)
            done += 1
    progress(total, total)


def _enter(logbook: Logbook, batch: Batch, pick: Pick, zone: str) -> None:
    visit_id = pick.visit_id
    if visit_id is None:
        (visit_id,) = keep_old_haul_outs(logbook, [pick.typed], basis=BASIS, time_zone=zone)
    batch.belong_to(visit_id)
    batch.enter()
    with logbook.change("photo.set", field="visit_id") as book:
        t.needed(book, Visit, visit_id, "visit")
        for one in batch.report.already:
            photo = t.needed(book, Photo, one.photo_id)
            if photo.visit_id is None:
                photo.visit_id = visit_id
