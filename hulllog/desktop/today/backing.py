"""Making a backup from the window: where to, with progress and Cancel, and what came of it."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QFileDialog

from hulllog.records.folder import FILE_NAME
from hulllog.records.proven import last_proven_backup
from hulllog.words import say, say_n

if TYPE_CHECKING:
    from collections.abc import Callable

    from hulllog.desktop.pages import Page
    from hulllog.desktop.tasks import Job, Progress
    from hulllog.records.backup import BackupReport
    from hulllog.records.logbook import Logbook


def ask_where(page: Page) -> Path | None:
    """Ask for the folder of a backup, beginning where the last one went."""
    last = last_proven_backup(page.state.logbook)
    start = last.folder.parent if last is not None else Path.home()
    while not start.is_dir() and start != start.parent:
        start = start.parent
    chosen = QFileDialog.getExistingDirectory(page, say("today_page.backup_where"), str(start))
    return Path(chosen) if chosen else None


def target_in(chosen: Path, logbook: Logbook) -> Path:
    """Return where a backup goes: into an empty folder or an earlier copy itself, else beside."""
    if (chosen / FILE_NAME).exists() or not any(chosen.iterdir()):
        return chosen
    return chosen / logbook.folder.name


def make_backup(page: Page, chosen: Path, done: Callable[[str], object]) -> Job:
    """Copy the logbook into a folder off the window's thread, prove the copy, say what came."""
    from hulllog.records.backup import backup

    logbook = page.state.logbook
    target = target_in(chosen, logbook)

    def work(progress: Progress) -> BackupReport | None:
        def tell(step: int, of: int) -> None:
            if not progress.cancelled:
                progress(step, of)

        return backup(logbook, target, tell, lambda: progress.cancelled)

    def made(report: BackupReport | None) -> None:
        said = said_of(report)
        page.state.tell(said)
        done(said)

    return page.background(say("today_page.backing_up"), work, made)


def said_of(report: BackupReport | None) -> str:
    """Say what came of a backup."""
    if report is None:
        return say("today_page.backup_cancelled")
    if not report.proved:
        missing = len(report.check.problems)
        return say_n("today_page.backup_unproved", missing, folder=str(report.folder))
    return say("today_page.backup_proved", folder=str(report.folder))
