"""A sheet of questions that is as high as what it asks, and scrolls where the screen is low."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, QObject
from PySide6.QtGui import QKeySequence, QShortcut
from PySide6.QtWidgets import QWidget

from hulllog.desktop.fields import Field
from hulllog.desktop.layout import column, scrolled
from hulllog.desktop.sheets import Sheet
from hulllog.desktop.theme import step

if TYPE_CHECKING:
    from collections.abc import Callable

    from PySide6.QtGui import QShowEvent

    from hulllog.desktop.pages import Page

WIDTH = 640
_AROUND = 190
"""The height in pixels of title, buttons and margins."""


class Questions(Sheet):
    """Asks several things; what unfolds or is refused makes it higher, never squeezed.

    What was typed into fields with a key is kept as a draft until it is stored.  Ctrl+Enter does
    what the sheet is for, from any field.
    """

    def __init__(
        self,
        over: Page,
        title: str,
        *,
        under: str = "",
        accept_text: str,
        on_accept: Callable[[], bool],
        width: int = WIDTH,
    ) -> None:
        super().__init__(
            over, title, under=under, accept_text=accept_text, on_accept=on_accept, width=width
        )
        self._inside = column(space=3)
        self._inside.setContentsMargins(0, 0, step(2), 0)
        held = QWidget()
        held.setLayout(self._inside)
        self._held = held
        self._area = scrolled(held)
        self.body.addWidget(self._area)
        self._fitted = 0
        held.installEventFilter(self)
        self._closing = over.state.closing
        self._closing.connect(self.reject)
        for keys in ("Ctrl+Return", "Ctrl+Enter"):
            shortcut = QShortcut(QKeySequence(keys), self)
            shortcut.activated.connect(self._accept)

    def add(self, *widgets: QWidget) -> Sheet:
        """Add questions."""
        for widget in widgets:
            self._inside.addWidget(widget)
            if isinstance(widget, Field):
                widget.committed.connect(lambda _typed, field=widget: field.keep_draft())
        return self

    def show_drafts(self) -> None:
        """Show in fields that hold nothing on record what was typed into them before."""
        for field in self.findChildren(Field):
            field.show_value("")

    def accept(self) -> None:
        """Close when all is stored; no draft is left of it."""
        for field in self.findChildren(Field):
            field.give_up()
        super().accept()

    def reject(self) -> None:
        """Close and store nothing; what was typed stays as a draft."""
        for field in self.findChildren(Field):
            field.keep_draft()
            field.shut()
        super().reject()

    def done(self, result: int) -> None:
        """Close, and wait no more for the end of the logbook."""
        self._closing.disconnect(self.reject)
        super().done(result)

    def showEvent(self, event: QShowEvent) -> None:
        """Take the height that the questions need."""
        super().showEvent(event)
        self.fit()

    def keep_on_screen(self) -> None:
        """Leave it to the area in which the questions scroll already."""

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Fit again when a question unfolds or is refused."""
        if event.type() == QEvent.Type.LayoutRequest and self.isVisible():
            self.fit()
        return super().eventFilter(watched, event)

    def fit(self) -> None:
        """Take the height that the questions need, as far as the window has room."""
        over = self.parentWidget()
        room = over.height() if over is not None else 0
        width = max(self._area.viewport().width(), 200)
        needed = self._inside.totalHeightForWidth(width)
        needed = needed if needed > 0 else self._inside.sizeHint().height()
        height = min(needed + 2, max(room - _AROUND, 240))
        if height != self._fitted:
            self._fitted = height
            self._area.setFixedHeight(height)
            outer = self.layout()
            if outer is not None:
                outer.activate()
                self.resize(self.width(), outer.totalHeightForWidth(self.width()))
