"""A row of cards: pictures to compare the hull with, one of them chosen by key or pointer."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, ClassVar

from PySide6.QtCore import QRect, QSize, Qt
from PySide6.QtGui import QPainter, QPaintEvent

from hulllog.desktop.choice import Choice, KeyedButton, Option
from hulllog.desktop.painter import Picture
from hulllog.desktop.theme import BODY, SMALL, step, theme

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hulllog.drawing.scene import Scene

WIDE = 26.0
"""Width of a card's picture in mm of its scene."""
HIGH = 17.0
_SCALE = 4.0


@dataclass(frozen=True, slots=True)
class CardOption(Option):
    """A choice with a picture; ``short`` stands big beside the key, ``said`` below."""

    scene: Scene | None = None
    short: str = ""


class CardButton(KeyedButton):
    """A card: its picture, its key, its grade, and what that means."""

    def __init__(self, option: CardOption) -> None:
        super().__init__(option)
        self._picture = Picture(option.scene) if option.scene is not None else None
        self._short = option.short

    def sizeHint(self) -> QSize:
        """Ask for the picture, a line for the grade and two lines of meaning."""
        wide = round(WIDE * _SCALE) + step(3)
        lines = theme().metrics(SMALL).lineSpacing() * 2
        high = lines + theme().metrics(BODY, bold=True).lineSpacing() + step(5)
        return QSize(wide, high + (round(HIGH * _SCALE) if self._picture is not None else 0))

    def minimumSizeHint(self) -> QSize:
        """Ask for the whole card."""
        return self.sizeHint()

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw the card."""
        painter = QPainter(self)
        chosen = self.isChecked()
        fill = theme().colour("action" if chosen else "select" if self._hovered else "sheet")
        self.ground(painter, fill, theme().colour("action" if chosen else "edge"))
        area = self.rect().adjusted(step(1.5), step(1.5), -step(1.5), -step(1))
        if self._picture is not None:
            area.setTop(self._draw_picture(painter, area))
        painter.setPen(theme().colour("on_action" if chosen else "ink"))
        self._draw_words(painter, area)
        painter.end()

    def _draw_picture(self, painter: QPainter, area: QRect) -> int:
        assert self._picture is not None
        scale = area.width() / self._picture.scene.width
        painter.save()
        painter.translate(area.topLeft())
        self._picture.paint(painter, theme().palette, scale)
        painter.restore()
        return area.top() + round(self._picture.scene.height * scale) + step(1)

    def _draw_words(self, painter: QPainter, area: QRect) -> None:
        painter.setFont(theme().font(BODY, bold=True))
        line = painter.fontMetrics().lineSpacing()
        first = QRect(area.left(), area.top(), area.width(), line)
        if self.option.key and self.option.key != self._short:
            cap = self._cap(painter, first)
            painter.setFont(theme().font(BODY, bold=True))
            first.setLeft(cap)
        painter.drawText(first, Qt.AlignmentFlag.AlignVCenter, self._short)
        painter.setFont(theme().font(SMALL))
        rest = area.adjusted(0, line, 0, 0)
        painter.drawText(rest, int(Qt.TextFlag.TextWordWrap), self.option.said)

    def _cap(self, painter: QPainter, line: QRect) -> int:
        cap = QRect(line.left(), line.top(), line.height(), line.height())
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawRoundedRect(cap, 3, 3)
        painter.setFont(theme().font(SMALL, bold=True))
        painter.drawText(cap, Qt.AlignmentFlag.AlignCenter, self.option.key.upper())
        return cap.right() + step(1.5)


class CardRow(Choice):
    """One card of a row.  Use it as any ``Choice``."""

    button_class: ClassVar[type[KeyedButton]] = CardButton

    def __init__(self, text: str, options: Sequence[CardOption]) -> None:
        super().__init__(text, options, label_width=0)
