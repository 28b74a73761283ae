"""Photographs and papers as files: named by their SHA-256, never altered, checked when taken in.

An original is on the disk, whole, before the entry that names it is written.  Small copies lie in
the cache of this computer and can be made again at any time.
"""

from __future__ import annotations

import hashlib
import os
import re
from collections.abc import Callable, Iterator, Sequence
from contextlib import ExitStack, contextmanager, suppress
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any
from zoneinfo import ZoneInfo

from sqlalchemy import select

from hulllog.records.computer import file_name
from hulllog.records.errors import Refused
from hulllog.records.folder import DOCUMENTS, MAKING, PHOTOS, keep_names, put_whole
from hulllog.records.model import Document, OwnView, Photo, Visit
from hulllog.records.operations import around, ownviews, queries
from hulllog.records.pictures import (
    LARGEST_FILE,
    Picture,
    fingerprint,
    read_picture,
    small_copy,
    video_type,
)
from hulllog.records.sorting import sort_by_time, spans
from hulllog.records.values import YEARS, PartialDate

if TYPE_CHECKING:
    from datetime import datetime

    from hulllog.records.book import Book
    from hulllog.records.logbook import Logbook

Progress = Callable[[int, int], object]
Cancelled = Callable[[], bool]

SMALL = 512
"""Pixels along an edge of the copy that is made when a photograph is taken in."""
OWN_VIEW = 2048
"""Pixels along an edge of the copy in which an own view is drawn and printed."""
ENDINGS = {
    "image/jpeg": ".jpg",
    "image/png": ".png",
    "image/webp": ".webp",
    "image/heic": ".heic",
    "image/tiff": ".tif",
    "application/pdf": ".pdf",
    "application/vnd.oasis.opendocument.text": ".odt",
    "application/vnd.oasis.opendocument.spreadsheet": ".ods",
    "application/vnd.openxmlformats-officedocument.wordprocessingml.document": ".docx",
    "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet": ".xlsx",
    "application/msword": ".doc",
    "text/plain": ".txt",
    "text/csv": ".csv",
    "message/rfc822": ".eml",
    "video/mp4": ".mp4",
    "video/quicktime": ".mov",
    "video/x-msvideo": ".avi",
    "video/x-matroska": ".mkv",
}
"""Media type -> ending of the file; anything else is kept under OTHER_ENDING."""
OTHER_TYPE, OTHER_ENDING = "application/octet-stream", ".bin"
_BY_ENDING = {ending: media_type for media_type, ending in ENDINGS.items()} | {
    ".jpeg": "image/jpeg",
    ".heif": "image/heic",
    ".tiff": "image/tiff",
}
_SHA256 = re.compile(r"[0-9a-f]{64}")
_CHUNK = 1 << 20


def no_progress(_done: int, _of: int) -> None:
    """Tell nobody how far the work is."""


def never() -> bool:
    """Go on to the end."""
    return False


# Where files lie


def media_path(folder: Path, record: Photo | OwnView | Document) -> Path | None:
    """Return where the file of a record lies; None for a record without one.

    The name is made of the digest and of our own endings only: what a stranger wrote into a logbook
    never becomes a path.
    """
    if not record.sha256 or not _SHA256.fullmatch(record.sha256):
        return None
    part = DOCUMENTS if isinstance(record, Document) else PHOTOS
    return folder / part / (record.sha256 + ending(record.media_type))


def ending(media_type: str | None) -> str:
    """Return the ending under which files of a type are kept."""
    return ENDINGS.get(media_type or "", OTHER_ENDING)


def sha256_of(file: Path, cancelled: Cancelled = never) -> str:
    """Return the SHA-256 of a file in hex; empty when ``cancelled`` says so meanwhile."""
    digest = hashlib.sha256()
    buffer = bytearray(_CHUNK)
    view = memoryview(buffer)
    with file.open("rb", buffering=0) as opened:
        while size := opened.readinto(buffer):
            digest.update(view[:size])
            if cancelled():
                return ""
    return digest.hexdigest()


# Taking photographs in


@dataclass(frozen=True, slots=True)
class Imported:
    """A file and the photo it became, or was already."""

    file: Path
    photo_id: str


@dataclass(frozen=True, slots=True)
class RefusedFile:
    """A file that was left out, and why."""

    name: str
    code: str
    values: dict[str, Any]


@dataclass(slots=True)
class ImportReport:
    """What became of the files, each list in their order.  After ``cancelled`` nothing was kept.

    ``elsewhere`` are new photos that went to another visit than the one that was named, by their
    capture time; ``doubtful`` are keys of new photos with the reason why their visit is to be
    asked.  ``videos`` are kept as documents.
    """

    done: list[Imported] = field(default_factory=list)
    refused: list[RefusedFile] = field(default_factory=list)
    already: list[Imported] = field(default_factory=list)
    videos: list[Path] = field(default_factory=list)
    elsewhere: list[str] = field(default_factory=list)
    doubtful: dict[str, str] = field(default_factory=dict)
    cancelled: bool = False


@dataclass(frozen=True, slots=True)
class _Taken:
    file: Path
    sha256: str
    size: int
    picture: Picture


def files_in(folder: Path) -> list[Path]:
    """Return the files of a folder and of those in it, by name; hidden ones are left out."""
    found = [
        file
        for file in folder.rglob("*")
        if file.is_file()
        and not any(part.startswith(".") for part in file.relative_to(folder).parts)
    ]
    return sorted(found)


def import_photos(
    logbook: Logbook,
    files: Sequence[Path],
    visit_id: str | None,
    *,
    state: str | None = None,
    basis: str = "at_the_time",
    sort: bool = False,
    progress: Progress = no_progress,
    cancelled: Cancelled = never,
) -> ImportReport:
    """Take photographs in, as one entry; a file that cannot be kept is refused and the rest go on.

    With ``sort`` each goes to the visit of its capture time, and only those of the visit that was
    named get the state.  Videos become documents of that visit.

    ``progress`` hears how many files are done, of how many; what it raises ends the import.  After
    Cancel, or any error, no entry is written and the new files are gone.
    """
    logbook.must_be_writable()
    batch = Batch(logbook, visit_id, state, basis, sort=sort)
    try:
        for number, file in enumerate(files):
            progress(number, len(files))
            if cancelled():
                batch.take_back()
                return ImportReport(cancelled=True)
            batch.take(file)
        progress(len(files), len(files))
        batch.enter()
    except BaseException:
        batch.take_back()
        raise
    batch.keep_small_copies()
    return batch.report


class Batch:
    """One import under way: files are copied first, and entered together at the end.

    ``zone`` is where the clock of a camera without an offset stood; else it is that of the visit.
    """

    def __init__(
        self,
        logbook: Logbook,
        visit_id: str | None,
        state: str | None,
        basis: str,
        zone: str | None = None,
        *,
        sort: bool = False,
    ) -> None:
        self.report = ImportReport()
        self._logbook = logbook
        self._visit_id = visit_id
        self._state = state
        self._basis = basis
        self._taken: dict[str, _Taken] = {}
        self._same: list[tuple[Path, str]] = []
        self._new_files: list[Path] = []
        self._sorted: list[tuple[Photo, str]] = []
        self._videos: dict[str, dict[str, Any]] = {}
        self._new_videos: list[Path] = []
        with logbook.read() as book:
            self._zone = ZoneInfo(zone or _zone_of(book, visit_id))
            query = select(Photo).where(Photo.purged_reason.is_(None)).order_by(Photo.imported_at)
            self._known = {photo.sha256: photo.id for photo in book.scalars(query)}
            self._kept_videos = set(book.scalars(select(Document.sha256)))
            self._spans = spans(book) if sort else None

    def belong_to(self, visit_id: str) -> None:
        """Say to which visit the files belong, where it was made after they were copied."""
        self._visit_id = visit_id
        for video in self._videos.values():
            video["visit_id"] = visit_id

    def take(self, file: Path) -> None:
        """Read, judge and copy one file."""
        try:
            media_type, data = _video_or_whole(file)
            if media_type:
                self._take_video(file, media_type)
                return
            sha256 = hashlib.sha256(data).hexdigest()
            if sha256 in self._taken:
                self._same.append((file, sha256))
                return
            taken = _Taken(file, sha256, len(data), read_picture(data, SMALL))
        except Refused as refusal:
            values = {"file": file.name, **refusal.values}
            self.report.refused.append(RefusedFile(file.name, refusal.code, values))
            return
        self._copy(taken, data)
        if sha256 in self._known:
            self.report.already.append(Imported(file, self._known[sha256]))
        else:
            self._taken[sha256] = taken

    def _take_video(self, file: Path, media_type: str) -> None:
        """Copy a video, of any size; it becomes a document once, whatever it is called."""
        folder = self._logbook.folder / DOCUMENTS
        sha256, size, target, is_new = _copy_in(file, folder, ending(media_type))
        if sha256 in self._kept_videos or sha256 in self._videos:
            return
        if is_new:
            self._new_videos.append(target)
        name = file.name[:255]
        self._videos[sha256] = {
            "title": name[:120], "sort": "other", "sha256": sha256, "media_type": media_type,
            "size": size, "file_name": name, "visit_id": self._visit_id, "basis": self._basis,
        }  # fmt: skip
        self.report.videos.append(file)

    def _copy(self, taken: _Taken, data: bytes) -> None:
        """Put the bytes in their place, also where a known photo had lost its file."""
        folder = self._logbook.folder / PHOTOS
        target = folder / (taken.sha256 + ending(taken.picture.media_type))
        with suppress(OSError):
            if target.stat().st_size == len(data):
                return
        folder.mkdir(exist_ok=True)
        is_new = not target.exists() and taken.sha256 not in self._known
        put_whole(target, data)
        if is_new:
            self._new_files.append(target)

    def enter(self) -> None:
        """Write the entry, when every file is on the disk."""
        if not self._taken and not self._videos:
            self._tell_same({})
            return
        if self._taken:
            keep_names(self._logbook.folder / PHOTOS)
        count = len(self._taken) + len(self._videos)
        with self._logbook.change("photo.import", kind="import", count=count) as book:
            if self._visit_id is not None and book.get(Visit, self._visit_id) is None:
                raise Refused("no_such_record", field="visit")
            for video in self._videos.values():
                book.keep(Document(**video))
            photos = {sha256: self._photo(book, taken) for sha256, taken in self._taken.items()}
        for sha256, taken in self._taken.items():
            self.report.done.append(Imported(taken.file, photos[sha256].id))
        for photo, why in self._sorted:
            if photo.visit_id != self._visit_id:
                self.report.elsewhere.append(photo.id)
            if why:
                self.report.doubtful[photo.id] = why
        self._tell_same({sha256: photo.id for sha256, photo in photos.items()})

    def _tell_same(self, new: dict[str, str]) -> None:
        keys = {**self._known, **new}
        self.report.already += [Imported(file, keys[sha256]) for file, sha256 in self._same]

    def _photo(self, book: Book, taken: _Taken) -> Photo:
        picture = taken.picture
        captured, origin = _captured(picture, self._zone)
        visit_id, why = self._visit_id, ""
        if self._spans is not None:
            visit_id, why = sort_by_time(captured, origin, self._spans, visit_id)
        photo = Photo(
            visit_id=visit_id,
            state=self._state if visit_id == self._visit_id else None,
            basis=self._basis,
            sha256=taken.sha256,
            media_type=picture.media_type,
            size=taken.size,
            width=picture.width,
            height=picture.height,
            file_name=taken.file.name[:255],
            captured=captured,
            captured_origin=origin,
            camera=picture.camera,
            imported_at=book.now().replace(microsecond=0),
        )
        book.keep(photo)
        self._sorted.append((photo, why))
        return photo

    def take_back(self) -> None:
        """Remove the files that this import brought."""
        _remove_unnamed(self._logbook, Photo, self._new_files)
        _remove_unnamed(self._logbook, Document, self._new_videos)

    def keep_small_copies(self) -> None:
        """Put the copies made on the way into the cache."""
        for taken in self._taken.values():
            _keep(_cached(self._logbook, taken.sha256, f"{SMALL}"), taken.picture.small)


def _zone_of(book: Book, visit_id: str | None) -> str:
    visit = book.get(Visit, visit_id) if visit_id else None
    return visit.time_zone if visit else queries.time_zone(book)


def _video_or_whole(file: Path) -> tuple[str | None, bytes]:
    """Return the media type of a video, or all bytes of anything else, by opening the file once.

    Refused says why it cannot be read.
    """
    with _refusing(file), file.open("rb", buffering=0) as opened:
        media_type = video_type(opened.read(12))
        if media_type:
            return media_type, b""
        if os.fstat(opened.fileno()).st_size > LARGEST_FILE:
            raise Refused("picture_too_large")
        opened.seek(0)
        return None, opened.read()


@contextmanager
def _refusing(file: Path) -> Iterator[None]:
    """Turn what goes wrong with a file of the person's into a refusal."""
    try:
        if not file.is_file():
            raise Refused("file_not_a_file" if file.exists() else "file_gone")
        yield
    except FileNotFoundError as problem:
        raise Refused("file_gone") from problem
    except OSError as problem:
        raise Refused("file_unreadable", reason=problem.strerror or "") from problem


def _remove_unnamed(
    logbook: Logbook, model: type[Photo] | type[Document], files: Sequence[Path]
) -> None:
    """Remove files that no record names: an entry that was written after all keeps its own."""
    if not files:
        return
    with logbook.read() as book:
        named = set(book.scalars(select(model.sha256)))
        if model is Photo:
            named |= set(book.scalars(select(OwnView.sha256)))
    for file in files:
        if file.stem not in named:
            file.unlink(missing_ok=True)


def _captured(picture: Picture, zone: ZoneInfo) -> tuple[PartialDate | None, str | None]:
    """Return the capture time and where it is from.

    ``camera`` gave its own offset from UTC, ``camera_local`` is read in the zone of the visit.
    """
    taken: datetime | None = picture.taken
    if taken is None or taken.year not in YEARS:
        return None, None
    origin = picture.taken_from
    as_read = taken.strftime("%Y-%m-%d %H:%M:%S")
    if taken.tzinfo is None:
        taken = taken.replace(tzinfo=zone)
        origin = "camera_local" if origin == "camera" else origin
    return replace(PartialDate.of(taken, zone.key), text=as_read), origin


# Own views


def add_own_view(logbook: Logbook, file: Path, *, name: str, shows: str) -> str:
    """Take a drawing or photograph in as a view of the boat and enter it; returns its key.

    Its file lies among the photographs, where the same picture is kept once.  Raises Refused
    ``file_gone``, ``not_a_picture`` … for the file and as ``operations.ownviews`` for the rest;
    then no file is left.
    """
    logbook.must_be_writable()
    try:
        _, data = _video_or_whole(file)
        picture = read_picture(data, OWN_VIEW)
    except Refused as refusal:
        values: dict[str, Any] = {"file": file.name, **refusal.values}
        raise Refused(refusal.code, **values) from refusal
    sha256 = hashlib.sha256(data).hexdigest()
    folder = logbook.folder / PHOTOS
    target = folder / (sha256 + ending(picture.media_type))
    folder.mkdir(exist_ok=True)
    is_new = not target.exists()
    if is_new or target.stat().st_size != len(data):
        put_whole(target, data)
        keep_names(folder)
    try:
        view_id = ownviews.enter_own_view(
            logbook,
            name=name,
            shows=shows,
            sha256=sha256,
            media_type=picture.media_type,
            size=len(data),
            width=picture.width,
            height=picture.height,
            file_name=file.name[:255],
        )
    except BaseException:
        _remove_unnamed(logbook, Photo, [target] if is_new else [])
        raise
    _keep(_cached(logbook, sha256, f"{OWN_VIEW}"), picture.small)
    return view_id


def own_view_copy(
    logbook: Logbook, sha256: str, media_type: str, edge: int = OWN_VIEW, *, make: bool = True
) -> bytes | None:
    """Return the JPEG of an own view, as ``thumbnail``; None where its file is awaited.

    With ``make`` off, None also where it was not made yet.
    """
    return _small(logbook, OwnView(sha256=sha256, media_type=media_type), edge, make=make)


# Small copies


def thumbnail(logbook: Logbook, photo: Photo | OwnView, size: int = SMALL) -> bytes | None:
    """Return a turned JPEG with at most ``size`` pixels along an edge; None where the file is not.

    It is made once and then lies in the cache of this computer.
    """
    return _small(logbook, photo, size)


def report_copy(logbook: Logbook, photo: Photo | OwnView, max_px: int) -> bytes | None:
    """Return a JPEG for a print, as ``thumbnail``: turned, and stripped of all but its pixels."""
    return _small(logbook, photo, max_px)


def _small(
    logbook: Logbook, photo: Photo | OwnView, edge: int, *, make: bool = True
) -> bytes | None:
    original = media_path(logbook.folder, photo)
    purged = isinstance(photo, Photo) and photo.purged_reason is not None
    if original is None or purged:
        return None
    cached = _cached(logbook, photo.sha256, f"{edge:d}")
    with suppress(OSError):
        return cached.read_bytes()
    if not make:
        return None
    try:
        made = small_copy(original.read_bytes(), edge)
    except (OSError, Refused):
        return None
    _keep(cached, made)
    return made


def _cached(logbook: Logbook, sha256: str, size: str) -> Path:
    folder = logbook.around.cache_folder / "pictures" / file_name(logbook.id)
    return folder / sha256[:2] / f"{sha256}-{size}.jpg"


def _keep(target: Path, data: bytes) -> None:
    """Keep a small copy; where that cannot be done it is made again next time."""
    with suppress(OSError):
        target.parent.mkdir(parents=True, exist_ok=True)
        making = target.with_name(f"{target.name}-{id(data):x}{MAKING}")
        making.write_bytes(data)
        making.replace(target)


def look_of(logbook: Logbook, photo: Photo) -> int | None:
    """Return the fingerprint of a photograph by its small copy; None where there is none."""
    data = thumbnail(logbook, photo)
    try:
        return fingerprint(data) if data else None
    except Refused:
        return None


# Papers


def add_document(
    logbook: Logbook,
    file: Path,
    *,
    title: str,
    sort: str,
    visit_id: str | None = None,
    paper_date: str | PartialDate | None = None,
    basis: str = "at_the_time",
) -> str:
    """Take a paper in as a file and enter it; returns its key.  A video is kept the same way.

    Raises Refused ``file_gone``, ``file_not_a_file`` or ``file_unreadable`` for the file, and as
    ``operations.around.add_document`` for the rest; then no file is left.
    """
    logbook.must_be_writable()
    media_type = _BY_ENDING.get(file.suffix.lower(), OTHER_TYPE)
    sha256, size, target, is_new = _copy_in(file, logbook.folder / DOCUMENTS, ending(media_type))
    try:
        return around.add_document(
            logbook,
            title=title,
            sort=sort,
            sha256=sha256,
            media_type=media_type,
            size=size,
            file_name=file.name[:255],
            visit_id=visit_id,
            paper_date=paper_date,
            basis=basis,
        )
    except BaseException:
        _remove_unnamed(logbook, Document, [target] if is_new else [])
        raise


def _copy_in(file: Path, folder: Path, ends_in: str) -> tuple[str, int, Path, bool]:
    """Copy a file of any size; returns its digest and size, where it lies, and if it is new."""
    folder.mkdir(exist_ok=True)
    digest, size = hashlib.sha256(), 0
    temporary = folder / f"paper{MAKING}"
    try:
        with temporary.open("wb") as copy:
            for part in _parts(file):
                digest.update(part)
                size += copy.write(part)
            copy.flush()
            os.fsync(copy.fileno())
        target = folder / (digest.hexdigest() + ends_in)
        is_new = not target.exists()
        temporary.replace(target)
    finally:
        temporary.unlink(missing_ok=True)
    keep_names(folder)
    return digest.hexdigest(), size, target, is_new


def _parts(file: Path) -> Iterator[bytes]:
    """Read a file piece by piece, so that its errors are told from those of the copy."""
    with ExitStack() as stack:
        with _refusing(file):
            opened = stack.enter_context(file.open("rb"))
        while True:
            with _refusing(file):
                part = opened.read(_CHUNK)
            if not part:
                return
            yield part
