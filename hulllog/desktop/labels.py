"""Texts on the screen.  Whatever a person typed is shown as it is: never as markup or mnemonic."""

from __future__ import annotations

import html
from typing import TypeAlias

from PySide6.QtCore import QPointF, QRect, QSize, Qt
from PySide6.QtGui import (
    QFont,
    QFontMetrics,
    QPainter,
    QPaintEvent,
    QPalette,
    QResizeEvent,
    QTextCharFormat,
    QTextLayout,
    QTextOption,
)
from PySide6.QtWidgets import QLabel, QSizePolicy, QWidget

from hulllog.desktop.theme import BODY, theme, typed
from hulllog.words.working import lowered, plain

_COMFORTABLE = 480
_WIDTHS_KEPT = 8
_Laid: TypeAlias = tuple[list[tuple[QTextLayout, float]], int]
"""Lines with their tops, and the height of all."""


def unmarked(text: str) -> str:
    """Return a text for a button or menu, in which & would else mark the next letter."""
    return text.replace("&", "&&")


def tip(widget: QWidget, text: str) -> None:
    """Give a widget a tool tip that shows ``text`` as it is."""
    widget.setToolTip(f"<span>{html.escape(text)}</span>" if text else "")


def label(text: str = "", size: int = BODY, *, bold: bool = False, role: str = "ink") -> QLabel:
    """Make a label of one line or of lines that the text itself breaks."""
    made = QLabel()
    made.setTextFormat(Qt.TextFormat.PlainText)
    made.setText(text)
    typed(made, size, bold=bold, role=role)
    return made


class Prose(QLabel):
    """A text that wraps anywhere it must, so that 10,000 letters without a space stay whole."""

    def __init__(
        self, text: str = "", size: int = BODY, *, bold: bool = False, role: str = "ink"
    ) -> None:
        super().__init__()
        self._kept: dict[tuple[str, str, int, int], _Laid] = {}
        self.setTextFormat(Qt.TextFormat.PlainText)
        policy = QSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Preferred)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)
        typed(self, size, bold=bold, role=role)
        self.setText(text)

    def hasHeightForWidth(self) -> bool:
        """Say that the height follows from the width."""
        return True

    def heightForWidth(self, width: int) -> int:
        """Return the height that the text needs at ``width`` pixels."""
        return self._laid(width)[1]

    def sizeHint(self) -> QSize:
        """Ask for the width of the text, up to a comfortable line."""
        longest = max((self.fontMetrics().horizontalAdvance(t) for t in self._lines()), default=0)
        width = min(longest + 2, _COMFORTABLE)
        return QSize(width, self.heightForWidth(width))

    def minimumSizeHint(self) -> QSize:
        """Be content with little width and one line; the height follows from the width given."""
        metrics = self.fontMetrics()
        return QSize(metrics.averageCharWidth() * 12, metrics.lineSpacing())

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Take the height that the new width asks for."""
        super().resizeEvent(event)
        if event.size().width() != event.oldSize().width():
            self.updateGeometry()

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw the wrapped lines."""
        painter = QPainter(self)
        painter.setPen(self.palette().color(QPalette.ColorRole.WindowText))
        for layout, top in self._laid(self.width())[0]:
            layout.draw(painter, QPointF(0, top))
        painter.end()

    def _lines(self) -> list[str]:
        return self.text().splitlines() or [""]

    def _parts(self, width: int) -> list[str]:
        """Return the texts to lay at a width, each from a line of its own."""
        del width
        return self._lines()

    def _laid(self, width: int) -> _Laid:
        """Return the lines at a width; layouts ask for the same few widths again and again."""
        alignment = self.alignment() & Qt.AlignmentFlag.AlignHorizontal_Mask
        asked = (self.text(), self.font().key(), alignment.value, width)
        if asked not in self._kept:
            if len(self._kept) >= _WIDTHS_KEPT:
                self._kept.clear()
            self._kept[asked] = self._lay_all(width, alignment)
        return self._kept[asked]

    def _lay_all(self, width: int, alignment: Qt.AlignmentFlag) -> _Laid:
        option = QTextOption(alignment)
        option.setWrapMode(QTextOption.WrapMode.WrapAtWordBoundaryOrAnywhere)
        laid, top = [], 0.0
        for text in self._parts(width):
            layout = QTextLayout(text, self.font(), self)
            layout.setTextOption(option)
            layout.setFormats(self._formats())
            height = _lay_out(layout, max(width, 1))
            laid.append((layout, top))
            top += height
        return laid, round(top + 0.49)

    def _formats(self) -> list[QTextLayout.FormatRange]:
        """Return how parts of the one line differ from the rest."""
        return []


class OfSum(Prose):
    """A line of a working; what is set low in it is drawn low."""

    def __init__(self, text: str, size: int = BODY) -> None:
        self._letters = lowered(text)
        super().__init__(plain(text), size)

    def _formats(self) -> list[QTextLayout.FormatRange]:
        found, at = [], 0
        for part, low in self._letters:
            if low:
                one = QTextLayout.FormatRange()
                one.start, one.length = at, len(part)
                one.format = QTextCharFormat()
                one.format.setVerticalAlignment(QTextCharFormat.VerticalAlignment.AlignSubScript)
                found.append(one)
            at += len(part)
        return found


def laid(text: str, font: QFont, width: int) -> tuple[QTextLayout, int]:
    """Lay a text out at a width, broken between words where it can be, and return its height."""
    layout = QTextLayout(text, font)
    option = QTextOption()
    option.setWrapMode(QTextOption.WrapMode.WrapAtWordBoundaryOrAnywhere)
    layout.setTextOption(option)
    return layout, round(_lay_out(layout, max(width, 1)) + 0.49)


def _lay_out(layout: QTextLayout, width: int) -> float:
    top = 0.0
    layout.beginLayout()
    while (line := layout.createLine()).isValid():
        line.setLineWidth(width)
        line.setPosition(QPointF(0, top))
        top += line.height()
    layout.endLayout()
    return top


class Few(Prose):
    """Few lines of text, the last cut with … where room is short; the whole is its tip and name."""

    def __init__(self, size: int = BODY, *, most: int = 2, role: str = "ink") -> None:
        self._most = most
        super().__init__("", size, role=role)

    def setText(self, text: str) -> None:
        """Show ``text``; line breaks become spaces."""
        super().setText(" ".join(text.split("\n")))
        self._tell()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Offer the whole text as a tip when it no longer fits."""
        super().resizeEvent(event)
        self._tell()

    def shown(self, width: int) -> str:
        """Return as much of the text as fits into the lines at ``width`` pixels."""
        text = self.text()
        option = QTextOption()
        option.setWrapMode(QTextOption.WrapMode.WrapAtWordBoundaryOrAnywhere)
        layout = QTextLayout(text, self.font(), self)
        layout.setTextOption(option)
        _lay_out(layout, max(width, 1))
        if layout.lineCount() <= self._most:
            return text
        last = layout.lineAt(self._most - 1).textStart()
        area = QRect(0, 0, max(width - 1, 1), 1)
        return text[:last] + elided(text[last:], self.fontMetrics(), area)

    def _parts(self, width: int) -> list[str]:
        return [self.shown(width)]

    def _tell(self) -> None:
        tip(self, self.text() if self.shown(self.width()) != self.text() else "")


class Elided(QLabel):
    """One line that ends in … when room is short; the whole text is its tip and its name."""

    def __init__(
        self, text: str = "", size: int = BODY, *, bold: bool = False, role: str = "ink"
    ) -> None:
        super().__init__()
        self.setTextFormat(Qt.TextFormat.PlainText)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        typed(self, size, bold=bold, role=role)
        self.setText(text)

    def setText(self, text: str) -> None:
        """Show ``text``; line breaks become spaces."""
        super().setText(" ".join(text.split("\n")))
        self._tell()

    def minimumSizeHint(self) -> QSize:
        """Be content with the width of a few letters."""
        return QSize(self.fontMetrics().averageCharWidth() * 4, super().minimumSizeHint().height())

    def sizeHint(self) -> QSize:
        """Ask for the whole width of the text, within reason."""
        width = min(self.fontMetrics().horizontalAdvance(self.text()) + 2, _COMFORTABLE * 2)
        return QSize(width, super().sizeHint().height())

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Offer the whole text as a tip when it no longer fits."""
        super().resizeEvent(event)
        self._tell()

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw as much as fits."""
        painter = QPainter(self)
        painter.setPen(self.palette().color(QPalette.ColorRole.WindowText))
        area = self.contentsRect()
        painter.drawText(area, _flags(self), elided(self.text(), self.fontMetrics(), area))
        painter.end()

    def _tell(self) -> None:
        short = self.fontMetrics().horizontalAdvance(self.text()) > self.width()
        tip(self, self.text() if short else "")


def _flags(widget: QLabel) -> int:
    return int(widget.alignment() | Qt.AlignmentFlag.AlignVCenter) | Qt.TextFlag.TextSingleLine


def elided(text: str, metrics: QFontMetrics, area: QRect) -> str:
    """Cut a text to the width of ``area`` with … at its end."""
    # A very long text is cut before it is measured: only its start can be seen.
    start = text[: area.width() + 1]
    return metrics.elidedText(start, Qt.TextElideMode.ElideRight, area.width())


def heading(text: str, size: int) -> QLabel:
    """Make a bold label in ink."""
    return label(text, size, bold=True)


def muted(text: str, size: int = BODY) -> QLabel:
    """Make a label in the muted colour."""
    return label(text, size, role="muted")


def text_colour(role: str) -> str:
    """Return the colour of a role as ``#rrggbb``."""
    return theme().colour(role).name()
