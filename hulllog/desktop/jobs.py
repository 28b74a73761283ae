"""A line that shows how far a piece of work is, with a Cancel."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtWidgets import QFrame, QProgressBar

from hulllog.desktop.buttons import button
from hulllog.desktop.labels import Elided
from hulllog.desktop.layout import column, line
from hulllog.desktop.theme import BODY, step
from hulllog.words import say

if TYPE_CHECKING:
    from hulllog.desktop.tasks import Job


class JobLine(QFrame):
    """Shows one job until it ends, and then goes."""

    def __init__(self, title: str, job: Job) -> None:
        super().__init__()
        self.setProperty("card", True)
        self._title = title
        self._job = job
        self._said = Elided(title, BODY)
        self._bar = QProgressBar()
        self._bar.setRange(0, 0)
        self._bar.setTextVisible(False)
        self._bar.setAccessibleName(title)
        self._cancel = button(say("do.cancel"), self.cancel)
        self._cancel.setAccessibleName(say("desktop.job.cancel", what=title))
        box = column(space=1)
        box.setContentsMargins(step(4), step(2), step(3), step(3))
        box.addLayout(line(self._said, self._cancel))
        box.addWidget(self._bar)
        self.setLayout(box)
        job.progressed.connect(self.show_progress)
        job.ended.connect(self.go)

    def show_progress(self, done: int, of: int) -> None:
        """Show how many of how many steps are done."""
        self._bar.setRange(0, of)
        self._bar.setValue(done)
        self._said.setText(say("desktop.job.progress", what=self._title, done=done, of=of))

    def cancel(self) -> None:
        """Ask the job to stop, and say so."""
        self._cancel.setEnabled(False)
        self._said.setText(say("desktop.job.stopping", what=self._title))
        self._job.cancel()

    def go(self) -> None:
        """Leave the page."""
        self.hide()
        self.deleteLater()
