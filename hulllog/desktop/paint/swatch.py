"""A row with the colour of a paint: a season, or a paint."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QRect, QSize, Qt
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QSizePolicy

from hulllog.desktop.buttons import Drawn
from hulllog.desktop.labels import elided, tip
from hulllog.desktop.theme import BODY, SMALL, step, theme

if TYPE_CHECKING:
    from hulllog.desktop.buttons import Slot

_WIDE = 12
_LEFT = int(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter | Qt.TextFlag.TextSingleLine)


class SwatchRow(Drawn):
    """A colour, a text and up to two lines below it; pressed, it opens what stands behind it."""

    def __init__(
        self, text: str, details: tuple[str, ...], colour: str | None, on: Slot | None = None
    ) -> None:
        told = [text, *(detail for detail in details if detail)]
        super().__init__(". ".join(told))
        self._text, self._details, self._colour = text, told[1:], colour
        tip(self, ". ".join(told))
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setProperty("row", False)
        theme().changed.connect(self._take_height)
        self._take_height()
        if on is not None:
            self.clicked.connect(lambda _checked: on())

    def _take_height(self) -> None:
        self.setFixedHeight(self.sizeHint().height())

    def sizeHint(self) -> QSize:
        """Ask for a line for the text and one for every detail."""
        upper = theme().metrics(BODY).lineSpacing()
        lower = theme().metrics(SMALL).lineSpacing()
        height = step(3) + upper + (lower + 2) * len(self._details)
        return QSize(240, max(height, theme().row))

    def minimumSizeHint(self) -> QSize:
        """Be content with less width."""
        size = self.sizeHint()
        size.setWidth(120)
        return size

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw ground, swatch and texts."""
        painter = QPainter(self)
        self.ground(painter, theme().colour("select") if self._hovered else None, None)
        swatch = QRect(step(2), step(2), _WIDE, self.height() - step(4))
        painter.setPen(theme().colour("edge"))
        painter.setBrush(theme().colour(self._colour or "muted"))
        painter.drawRoundedRect(swatch, 2, 2)
        area = self.rect().adjusted(step(2) + _WIDE + step(3), step(1.5), -step(7), 0)
        self._line(painter, area, self._text, BODY, "ink")
        for detail in self._details:
            self._line(painter, area, detail, SMALL, "muted")
        theme().icon("door", "muted").paint(
            painter, QRect(self.width() - step(6), (self.height() - 16) // 2, 16, 16)
        )
        painter.end()

    def _line(self, painter: QPainter, area: QRect, text: str, size: int, role: str) -> None:
        painter.setFont(theme().font(size))
        painter.setPen(theme().colour(role))
        metrics = painter.fontMetrics()
        row = QRect(area.left(), area.top(), area.width(), metrics.lineSpacing())
        painter.drawText(row, _LEFT, elided(text, metrics, row))
        area.setTop(area.top() + metrics.lineSpacing() + 2)
