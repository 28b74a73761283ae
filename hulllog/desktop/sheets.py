"""Sheets that float over the window: few, with Esc and Enter, and plain words."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QDialog, QVBoxLayout, QWidget

from hulllog.desktop.buttons import button, press_focused
from hulllog.desktop.inputs import ENTER
from hulllog.desktop.labels import Prose
from hulllog.desktop.layout import boxed, column, line, scrolled
from hulllog.desktop.theme import BODY, TITLE, step
from hulllog.words import say
from hulllog.words.errors import said

if TYPE_CHECKING:
    from collections.abc import Callable

    from PySide6.QtGui import QKeyEvent, QResizeEvent, QShowEvent


_TITLE_BAR = 40
"""Pixels that the frame of a window takes of the height of the screen."""
_TABBED = Qt.FocusPolicy.TabFocus


class Sheet(QDialog):
    """A title, a body to fill, and at the bottom what to do.

    ``accept_text`` names the thing to do; ``on_accept`` returns whether the sheet may close.
    """

    def __init__(
        self,
        over: QWidget,
        title: str,
        *,
        under: str = "",
        accept_text: str = "",
        on_accept: Callable[[], bool] | None = None,
        width: int = 480,
    ) -> None:
        super().__init__(over.window())
        self.setWindowTitle(title)
        self.setAccessibleName(title)
        self.setWindowModality(Qt.WindowModality.WindowModal)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setMinimumWidth(width)
        self._on_accept = on_accept
        self._scrolls = False
        self.body: QVBoxLayout = column(space=3)
        outer = column(space=4, margin=5)
        outer.addWidget(Prose(title, TITLE, bold=True))
        if under:
            outer.addWidget(Prose(under, BODY, role="muted"))
        self._held = boxed(self.body)
        outer.addWidget(self._held, 1)
        self._told = Prose("", BODY, bold=True)
        self._told.hide()
        outer.addWidget(self._told)
        # Made first: the keyboard goes from the last question to the first widget that was made.
        self.do = button(accept_text, self._accept, primary=True) if accept_text else None
        if self.do is not None:
            self.do.setParent(self)
        self.cancel = button(say("do.cancel" if accept_text else "do.close"), self.reject)
        row = line(None, self.cancel)
        if self.do is not None:
            row.addWidget(self.do)
            self.do.setDefault(True)
        outer.addSpacing(step(1))
        outer.addLayout(row)
        self.setLayout(outer)

    def add(self, *widgets: QWidget) -> Sheet:
        """Add widgets to the body."""
        for widget in widgets:
            self.body.addWidget(widget)
        return self

    def tell(self, problem: BaseException) -> None:
        """Say at the bottom what went wrong."""
        self._told.setText(said(problem))
        self._told.show()

    def showEvent(self, event: QShowEvent) -> None:
        """Let what is higher than the screen scroll, so that the buttons stay on it."""
        super().showEvent(event)
        self.keep_on_screen()

    def keep_on_screen(self) -> None:
        """Put the body into an area that scrolls, once it asks for more than the screen has."""
        outer, most = self.layout(), self.screen().availableGeometry().height() - _TITLE_BAR
        if self._scrolls or not isinstance(outer, QVBoxLayout):
            return
        if max(outer.totalHeightForWidth(self.width()), outer.totalSizeHint().height()) <= most:
            return
        self._scrolls = True
        at = outer.indexOf(self._held)
        outer.removeWidget(self._held)
        self.body.setContentsMargins(0, 0, step(3), 0)
        area = scrolled(self._held)
        if not any(one.focusPolicy() & _TABBED for one in self._held.findChildren(QWidget)):
            area.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
            area.setAccessibleName(self.accessibleName())
        outer.insertWidget(at, area, 1)
        # What is put elsewhere is hidden until the next event, and the keyboard passes it by.
        self._held.show()
        area.show()
        outer.activate()  # or it would still be held as high as before
        self.resize(self.width(), most)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Stay on the screen when more is asked and the sheet grows."""
        super().resizeEvent(event)
        if self.isVisible():
            self.keep_on_screen()
        room, here = self.screen().availableGeometry(), self.frameGeometry()
        if here.bottom() > room.bottom():
            self.move(here.left(), max(room.top(), room.bottom() - here.height() + 1))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Esc closes; Enter presses a button, and with Ctrl does what the sheet is for."""
        enter = event.key() in ENTER
        if enter and event.modifiers() & Qt.KeyboardModifier.ControlModifier and self.do:
            self.do.click()
            return
        if press_focused(self, event):
            return
        super().keyPressEvent(event)

    def _accept(self) -> None:
        if self._on_accept is None or self._on_accept():
            self.accept()
