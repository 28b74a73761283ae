"""Taking photographs in: dropped on a page, pasted, chosen as files, or a whole folder.

The copying runs on the writer's thread with a progress line and a Cancel; what was left out is
listed with one sentence a file.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QFileDialog

from hulllog.desktop.photos import cards
from hulllog.desktop.photos.cardsheet import CardsSheet
from hulllog.desktop.tasks import Cancelled
from hulllog.records.media import ImportReport, files_in, import_photos
from hulllog.records.model import PhotoPlace
from hulllog.records.operations import queries
from hulllog.records.operations.photos import place_photo
from hulllog.words import say, say_n
from hulllog.words.errors import sentence_for

if TYPE_CHECKING:
    from PySide6.QtCore import QMimeData
    from PySide6.QtGui import QImage

    from hulllog.desktop.pages import Page
    from hulllog.desktop.tasks import Progress
    from hulllog.insight.cardsorting import Seen
    from hulllog.records.logbook import Logbook

_ENDINGS = "jpg jpeg png heic heif tif tiff webp mp4 mov avi mkv"
PICTURES = " ".join(f"*.{one}" for one in (*_ENDINGS.split(), *_ENDINGS.upper().split()))


@dataclass(frozen=True, slots=True)
class Shows:
    """What photographs taken in now belong to: a visit, a state, perhaps a zone."""

    visit_id: str | None
    state: str | None = None
    zone_id: str | None = None
    sorts: bool = False
    """Whether each goes to the visit of its capture time."""


Target = Callable[[], Shows]


class PhotoIntake(QObject):
    """Takes photographs in for a page.  ``target`` says what they belong to when they come.

    ``taken`` brings the report of an import that was not cancelled, ``left_out`` the sentences of
    the files that could not be kept, ``doubtful`` the report when the visit of some is to be asked.
    """

    taken = Signal(object)
    left_out = Signal(object)
    doubtful = Signal(object)
    closed = Signal()

    def __init__(self, page: Page, target: Target) -> None:
        super().__init__(page)
        self._page = page
        self._target = target
        self._folder = ""
        self._pasted: Path | None = None

    def ask_files(self) -> QFileDialog:
        """Ask for photographs."""
        dialog = self._dialog(say("photos.choose_files"))
        dialog.setFileMode(QFileDialog.FileMode.ExistingFiles)
        dialog.setNameFilters([say("photos.pictures", endings=PICTURES), say("photos.any_file")])
        return self._open(dialog)

    def ask_folder(self) -> QFileDialog:
        """Ask for a folder of photographs."""
        dialog = self._dialog(say("photos.choose_folder"))
        dialog.setFileMode(QFileDialog.FileMode.Directory)
        dialog.setOption(QFileDialog.Option.ShowDirsOnly)
        return self._open(dialog)

    def take(self, paths: Sequence[Path]) -> None:
        """Take files, and the files of folders, in."""
        if not paths or self._page.state.read_only:
            return
        shows = self._target()
        if shows.visit_id is not None and any(path.is_dir() for path in paths):
            self._read_cards(paths, shows)
        else:
            self._take_plainly(paths, shows)

    def _take_plainly(self, paths: Sequence[Path], shows: Shows) -> None:
        logbook = self._page.state.logbook

        def work(progress: Progress) -> ImportReport:
            return take_in(logbook, paths, shows, progress)

        title = say("photos.taking_in")
        self._page.background_writing(title, work, self._done, self._failed)

    def _read_cards(self, paths: Sequence[Path], shows: Shows) -> None:
        """Look for zone cards first, off both threads that answer; then take in and sort."""
        files = files_of(paths)
        self._page.background(
            say("zone_cards.reading"),
            lambda progress: cards.read_pictures(files, progress),
            lambda seen: self._cards_read(files, shows, seen),
            self._failed,
        )

    def _cards_read(self, files: Sequence[Path], shows: Shows, seen: Sequence[Seen]) -> None:
        logbook = self._page.state.logbook
        by_card = cards.sort_here(logbook, seen)
        if not by_card.any_card:
            self._take_plainly(files, shows)
            return
        self._page.background_writing(
            say("photos.taking_in"),
            lambda progress: cards.take_sorted(logbook, files, shows, by_card, progress),
            self._sorted,
            self._failed,
        )

    def _sorted(self, placed: cards.Placed) -> None:
        strangers = [say("zone_cards.stranger", file=name) for name in placed.strangers]
        self._done(placed.report, strangers)
        told_sorted = say_n("zone_cards.sorted", placed.zones, photos=placed.placed)
        if placed.placed:
            self._page.state.tell(f"{told(placed.report)} {told_sorted}")
        if placed.held or placed.clocks:
            CardsSheet(self._page, placed).open()

    def paste(self) -> None:
        """Take the files or the picture that were copied elsewhere."""
        data = QGuiApplication.clipboard().mimeData()
        files = local_files(data)
        if files:
            self.take(files)
        elif data.hasImage():
            self.take([self._saved(QGuiApplication.clipboard().image())])
        else:
            self._page.state.tell(say("photos.nothing_to_paste"))

    def _saved(self, image: QImage) -> Path:
        """Put a pasted picture into a file of its own, which goes when it was taken in."""
        around = self._page.state.logbook.around
        folder = around.cache_folder / "pasted"
        folder.mkdir(parents=True, exist_ok=True)
        name = say("photos.pasted", when=around.now().strftime("%Y-%m-%d %H.%M.%S"))
        self._pasted = folder / f"{name}.png"
        image.save(str(self._pasted), "PNG")  # type: ignore[call-overload]
        return self._pasted

    def _forget_pasted(self) -> None:
        if self._pasted is not None:
            self._pasted.unlink(missing_ok=True)
            self._pasted = None

    def _dialog(self, title: str) -> QFileDialog:
        dialog = QFileDialog(self._page, title, self._folder or _pictures_folder())
        dialog.setAcceptMode(QFileDialog.AcceptMode.AcceptOpen)
        return dialog

    def _open(self, dialog: QFileDialog) -> QFileDialog:
        dialog.filesSelected.connect(lambda names: self._chosen(dialog, names))
        dialog.finished.connect(lambda _result: self._closed(dialog))
        dialog.open()
        return dialog

    def _chosen(self, dialog: QFileDialog, names: Sequence[str]) -> None:
        self._folder = dialog.directory().absolutePath()
        self.take([Path(name) for name in names])

    def _closed(self, dialog: QFileDialog) -> None:
        dialog.deleteLater()
        self._page.window().activateWindow()
        self.closed.emit()

    def _done(self, report: ImportReport, also: Sequence[str] = ()) -> None:
        self._forget_pasted()
        self._page.state.tell(told(report))
        self.taken.emit(report)
        if report.doubtful:
            self.doubtful.emit(report)
        sentences = [sentence_for("refused", one.code, one.values) for one in report.refused]
        if sentences or also:
            self.left_out.emit([*sentences, *also])

    def _failed(self, problem: BaseException) -> None:
        self._forget_pasted()
        if isinstance(problem, Cancelled):
            self._page.state.tell(say("photos.cancelled"))
        else:
            self._page.state.fail(problem)


def take_in(
    logbook: Logbook, paths: Sequence[Path], shows: Shows, progress: Progress
) -> ImportReport:
    """Take photographs in and say which zone they show, all as one entry; raises Cancelled."""
    files = files_of(paths)

    def run() -> ImportReport:
        return import_photos(
            logbook, files, shows.visit_id, state=shows.state, sort=shows.sorts, progress=progress
        )

    if shows.zone_id is None:
        return run()
    with logbook.change("photo.import", kind="import", count=len(files)):
        report = run()
        for one in [*report.done, *report.already]:
            if not _shown_there(logbook, one.photo_id, shows.zone_id):
                place_photo(logbook, one.photo_id, zone_id=shows.zone_id)
    return report


def files_of(paths: Sequence[Path]) -> list[Path]:
    """Return files as they are, and the files of folders."""
    return [file for path in paths for file in (files_in(path) if path.is_dir() else [path])]


def _shown_there(logbook: Logbook, photo_id: str, zone_id: str) -> bool:
    with logbook.read() as book:
        here = (PhotoPlace.photo_id == photo_id, PhotoPlace.zone_id == zone_id)
        return bool(queries.kept(book, PhotoPlace, *here))


def told(report: ImportReport) -> str:
    """Say what became of the files of an import."""
    parts = [say_n("photos.taken", len(report.done))]
    if report.elsewhere:
        parts.append(say_n("photos.elsewhere", len(report.elsewhere)))
    if report.videos:
        parts.append(say_n("photos.videos", len(report.videos)))
    if report.already:
        parts.append(say_n("photos.already", len(report.already)))
    if report.refused:
        parts.append(say_n("photos.left_out", len(report.refused)))
    return " ".join(parts)


def local_files(data: QMimeData) -> list[Path]:
    """Return the files and folders of this computer that are dragged."""
    return [Path(url.toLocalFile()) for url in data.urls() if url.isLocalFile()]


def _pictures_folder() -> str:
    from PySide6.QtCore import QStandardPaths

    place = QStandardPaths.StandardLocation.PicturesLocation
    return QStandardPaths.writableLocation(place)
