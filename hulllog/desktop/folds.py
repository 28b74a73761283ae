"""Named parts of a page that open on demand: a line says what a part holds while it is shut."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QRect, QSize, Qt, QTimer, Signal
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QFrame, QScrollArea, QSizePolicy, QWidget

from hulllog.desktop.buttons import Drawn
from hulllog.desktop.labels import elided, tip
from hulllog.desktop.layout import clear, column
from hulllog.desktop.theme import BODY, SMALL, step, theme
from hulllog.words import say

if TYPE_CHECKING:
    from collections.abc import Sequence

_SIGN = 16
_LEFT = int(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter | Qt.TextFlag.TextSingleLine)


class FoldHead(Drawn):
    """The name of a part and a line of what it holds; a press opens and shuts it."""

    def __init__(self, title: str) -> None:
        super().__init__(title)
        self._title, self._summary, self._open = title, "", False
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self._tell()

    def show_state(self, *, summary: str | None = None, is_open: bool | None = None) -> None:
        """Show another line, or that the part is open or shut."""
        self._summary = self._summary if summary is None else summary
        self._open = self._open if is_open is None else is_open
        self._tell()
        self.updateGeometry()
        self.update()

    @property
    def summary(self) -> str:
        """The line of what the part holds."""
        return self._summary

    def _tell(self) -> None:
        state = say("desktop.fold.open" if self._open else "desktop.fold.shut")
        said = [state] if self._open or not self._summary else [self._summary, state]
        self.setAccessibleDescription(", ".join(said))
        tip(self, self._summary if len(self._summary) > 60 else "")

    def _lines(self) -> int:
        return 2 if self._summary and not self._open else 1

    def sizeHint(self) -> QSize:
        """Ask for one line of text, or two."""
        height = theme().size(BODY) + step(4) + (self._lines() - 1) * (theme().size(SMALL) + 6)
        return QSize(200, max(height, theme().row))

    def minimumSizeHint(self) -> QSize:
        """Be content with a narrow column."""
        return QSize(96, self.sizeHint().height())

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw the name, the line and the sign."""
        painter = QPainter(self)
        self.ground(painter, None, None)
        area = self.rect().adjusted(step(2), 0, -step(8), 0)
        upper, lower = QRect(area), QRect(area)
        if self._lines() == 2:
            upper.setHeight(area.height() // 2 + step(1))
            lower.setTop(area.height() // 2)
        painter.setFont(theme().font(BODY, bold=True))
        painter.setPen(theme().colour("action" if self._hovered else "ink"))
        painter.drawText(upper, _LEFT, elided(self._title, painter.fontMetrics(), area))
        if self._lines() == 2:
            painter.setFont(theme().font(SMALL))
            painter.setPen(theme().colour("muted"))
            painter.drawText(lower, _LEFT, elided(self._summary, painter.fontMetrics(), area))
        sign = QRect(self.width() - step(7), (self.height() - _SIGN) // 2, _SIGN, _SIGN)
        theme().icon("shut" if self._open else "open").paint(painter, sign)
        painter.end()


class Fold(QFrame):
    """A part of a page under its name.  ``opened`` tells that it was opened."""

    opened = Signal()

    def __init__(self, code: str, title: str, widgets: Sequence[QWidget] = ()) -> None:
        super().__init__()
        self.setProperty("card", True)
        self.setObjectName(code)
        self.setAccessibleName(title)
        self.head = FoldHead(title)
        self.head.setObjectName(f"{code}/head")
        self.head.clicked.connect(self.toggle)
        self.body = column(*widgets, space=2)
        self.body.setContentsMargins(step(3), step(1), step(3), step(3))
        self._held = QWidget()
        self._held.setLayout(self.body)
        self._held.hide()
        box = column(self.head, self._held, space=0)
        box.setContentsMargins(step(1), step(1), step(1), step(1))
        self.setLayout(box)

    @property
    def is_open(self) -> bool:
        """Whether what it holds is shown."""
        return not self._held.isHidden()

    def summarise(self, text: str) -> None:
        """Say in a line what it holds, shown while it is shut."""
        self.head.show_state(summary=text)

    def toggle(self) -> None:
        """Open it, or shut it; what was opened is brought in sight."""
        self.set_open(is_open=not self.is_open)

    def set_open(self, *, is_open: bool = True) -> None:
        """Open or shut it."""
        if is_open == self.is_open:
            return
        self._held.setVisible(is_open)
        self.head.show_state(is_open=is_open)
        if is_open:
            self.opened.emit()
            bring_in_sight(self, self.head)

    def fill(self, *widgets: QWidget) -> None:
        """Show other widgets in place of those that are there."""
        clear(self.body)
        for widget in widgets:
            self.body.addWidget(widget)


def bring_in_sight(*widgets: QWidget) -> None:
    """Scroll, once all is laid out, until each widget is seen; the last one for certain."""
    area = widgets[0].parentWidget()
    while area is not None and not isinstance(area, QScrollArea):
        area = area.parentWidget()
    if not isinstance(area, QScrollArea):
        return
    found = area

    def scroll() -> None:
        for widget in widgets:
            found.ensureWidgetVisible(widget, 0, step(3))

    QTimer.singleShot(0, widgets[-1], scroll)
