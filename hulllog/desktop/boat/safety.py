"""The logbook kept safe: a fast check, a deep one that reads every file, and a proven backup."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtWidgets import QWidget

from hulllog.desktop.buttons import button
from hulllog.desktop.folds import bring_in_sight
from hulllog.desktop.labels import Prose
from hulllog.desktop.layout import column, flowing
from hulllog.desktop.theme import BODY
from hulllog.desktop.today import backing
from hulllog.records.proven import last_proven_backup
from hulllog.words import formats, say
from hulllog.words.errors import sentence_for

if TYPE_CHECKING:
    from hulllog.desktop.pages import Page
    from hulllog.desktop.tasks import Progress
    from hulllog.records.check import CheckReport


class Safety(QWidget):
    """Checks and backs up off the window's thread; what came of it stands below in words."""

    def __init__(self, page: Page) -> None:
        super().__init__()
        self._page = page
        self.check = button(say("boat_page.check"), self.run_check)
        self.deep = button(say("boat_page.check_deep"), lambda: self.run_check(deep=True))
        self.backup = button(say("boat_page.backup"), self.ask_backup, icon="backup")
        for name, made in (("check", self.check), ("deep", self.deep), ("backup", self.backup)):
            made.setObjectName(f"boat/{name}")
        self.answer = Prose("", BODY)
        self.answer.hide()
        under = Prose(say("boat_page.check_under"), BODY, role="muted")
        buttons = flowing(self.check, self.deep, self.backup)
        self.setLayout(column(under, buttons, self.answer, space=2))

    def run_check(self, *, deep: bool = False) -> None:
        """Check the logbook; a deep check reads every photograph and paper whole."""
        from hulllog.records.check import check

        folder = self._page.state.logbook.folder
        self._wait(waiting=True)

        def work(progress: Progress) -> CheckReport:
            def tell(done: int, of: int) -> None:
                if not progress.cancelled:
                    progress(done, of)

            return check(folder, deep=deep, progress=tell, cancelled=lambda: progress.cancelled)

        title = say("boat_page.checking_deep" if deep else "boat_page.checking")
        job = self._page.background(title, work, self._checked)
        job.ended.connect(lambda: self._wait(waiting=False))

    def _wait(self, *, waiting: bool) -> None:
        self.check.setEnabled(not waiting)
        self.deep.setEnabled(not waiting)

    def _checked(self, report: CheckReport) -> None:
        told = [sentence_for("check", one.code, one.values) for one in report.problems]
        if report.cancelled:
            told.insert(0, say("boat_page.check_cancelled", read=report.seen.hashed))
        elif not told:
            told = [say("check.nothing_wrong", entries=report.entries, rows=report.rows)]
        if report.seen.hashed and not report.cancelled:
            told.append(say("boat_page.read_whole", read=report.seen.hashed))
        told += [say(f"check.cannot_see.{code}") for code in report.cannot_see]
        self.say("\n".join(told))

    def ask_backup(self) -> None:
        """Ask where to, and make a backup there."""
        chosen = backing.ask_where(self._page)
        if chosen is not None:
            self.backup.setEnabled(False)
            job = backing.make_backup(self._page, chosen, self.say)
            job.ended.connect(lambda: self.backup.setEnabled(True))

    def say(self, text: str) -> None:
        """Show what came of it, and tell its first line in the status line."""
        self.answer.setText(text)
        self.answer.show()
        bring_in_sight(self.answer)
        self._page.state.tell(text.split("\n", maxsplit=1)[0])

    def summary(self) -> str:
        """Say in a line when a backup was last proved."""
        last = last_proven_backup(self._page.state.logbook)
        if last is None:
            return say("boat_page.no_backup")
        return say("boat_page.last_backup", when=formats.moment(last.at))
