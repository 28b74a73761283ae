"""The line over everything: menus, what was just said, undo and redo; and banners below it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, QTimer
from PySide6.QtGui import QAccessible, QAccessibleAnnouncementEvent
from PySide6.QtWidgets import QFrame, QHBoxLayout, QMenuBar, QToolButton, QWidget

from hulllog.desktop.buttons import button, icon_button
from hulllog.desktop.labels import Elided, Prose, tip
from hulllog.desktop.layout import icon_mark, line
from hulllog.desktop.theme import BODY, step
from hulllog.words import say

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

_SHOWN = 12_000


class TopLine(QWidget):
    """Menu bar, status line, undo and redo in one row."""

    def __init__(self, on_undo: Callable[[], object], on_redo: Callable[[], object]) -> None:
        super().__init__()
        self.bar = QMenuBar()
        self.bar.setNativeMenuBar(False)
        more = self.bar.findChild(QToolButton, "qt_menubar_ext_button")
        if more is not None:
            more.setAccessibleName(say("desktop.menu.more"))
        self._status = Elided("", BODY, role="muted")
        self._status.setAlignment(Qt.AlignmentFlag.AlignRight)
        self.undo = _turn_button("undo", say("do.undo"), on_undo)
        self.redo = _turn_button("redo", say("do.redo"), on_redo)
        row = QHBoxLayout()
        row.setContentsMargins(step(3), 0, step(5), 0)
        row.setSpacing(step(2))
        row.addWidget(self.bar)
        row.addWidget(self._status, 1)
        row.addWidget(self.undo)
        row.addWidget(self.redo)
        self.setLayout(row)
        self._fade = QTimer(self)
        self._fade.setSingleShot(True)
        self._fade.setInterval(_SHOWN)
        self._fade.timeout.connect(lambda: self._status.setText(""))

    def tell(self, sentence: str) -> None:
        """Show a sentence for a while, and say it to a screen reader."""
        self._status.setText(sentence)
        self._status.setAccessibleName(sentence)
        self._fade.start()
        if sentence and QAccessible.isActive():
            QAccessible.updateAccessibility(QAccessibleAnnouncementEvent(self, sentence))

    @property
    def status(self) -> str:
        """What the status line says."""
        return self._status.text()

    def show_turns(self, undo: str, redo: str, *, ended: str = "") -> None:
        """Say on the buttons what undo and redo would do; dim them when there is nothing.

        ``ended`` says why there is nothing to undo.
        """
        for made, code, what in ((self.undo, "undo", undo), (self.redo, "redo", redo)):
            text = say(f"do.{code}_this", what=what) if what else say(f"do.{code}")
            made.setEnabled(bool(what))
            made.setAccessibleName(text)
            tip(made, ended if made is self.undo and ended else text)
        shown = say("do.undo_this", what=undo) if undo else ""
        self.undo.setText(_cut(shown))


def _turn_button(icon: str, text: str, on: Callable[[], object]) -> QToolButton:
    made = icon_button(icon, text, on)
    made.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextBesideIcon)
    made.setMinimumHeight(28)
    made.setProperty("row", False)
    made.setEnabled(False)
    return made


def _cut(text: str) -> str:
    short = text if len(text) <= 48 else f"{text[:47]}…"
    return short.replace("&", "&&")


class Banner(QFrame):
    """One line across the window that stays: read only, a problem of the logbook."""

    def __init__(
        self,
        sentence: str,
        action: str = "",
        on: Callable[[], object] | None = None,
        *,
        also: Sequence[tuple[str, Callable[[], object]]] = (),
    ) -> None:
        super().__init__()
        self.setProperty("banner", True)
        self.setAccessibleName(sentence)
        self.sentence = sentence
        said = Prose(sentence, BODY, bold=True)
        row = line(icon_mark("lock"), said)
        if action:
            row.addWidget(button(action, on))
        for other, done in also:
            row.addWidget(button(other, done))
        row.setContentsMargins(step(6), step(1), step(6), step(1))
        self.setLayout(row)
