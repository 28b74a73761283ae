"""Buttons and doors.  Every one has a text, shown or said."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, QPointF, QRect, QSize, Qt
from PySide6.QtGui import (
    QColor,
    QEnterEvent,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QTextLayout,
)
from PySide6.QtWidgets import (
    QAbstractButton,
    QApplication,
    QPushButton,
    QSizePolicy,
    QToolButton,
    QWidget,
)

from hulllog.desktop.inputs import ENTER
from hulllog.desktop.labels import elided, laid, tip, unmarked
from hulllog.desktop.theme import BODY, LEAD, SMALL, iconed, rowed, step, theme, typed

Slot = Callable[[], object]


if TYPE_CHECKING:
    _Button = QAbstractButton
else:  # two bases of Qt in one class end the program
    _Button = object


class _HeldStill(_Button):
    """Counts a press and release at one point of the screen as a click, wherever the button went.

    To press a button is to leave a field: what the field then says may push the button from under
    the finger before it is lifted.
    """

    _pressed_at: QPointF | None = None

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Note where it was pressed."""
        if event.button() == Qt.MouseButton.LeftButton:
            self._pressed_at = event.globalPosition()
        super().mousePressEvent(event)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Click where the hand was still and the button went away."""
        at, self._pressed_at = self._pressed_at, None
        still = at is not None and _near(at, event.globalPosition())
        if not still or not self.isEnabled() or self.hitButton(event.position().toPoint()):
            super().mouseReleaseEvent(event)
            return
        self.setDown(False)
        event.accept()
        self.click()


def _near(one: QPointF, other: QPointF) -> bool:
    return (one - other).manhattanLength() < QApplication.startDragDistance()


class PushButton(_HeldStill, QPushButton):
    """A button with a text."""


class IconButton(_HeldStill, QToolButton):
    """A button with an icon."""


def button(
    text: str, on: Slot | None = None, *, primary: bool = False, icon: str = ""
) -> QPushButton:
    """Make a button; the primary one of a page is filled."""
    made = PushButton(unmarked(text))
    made.setAccessibleName(text)
    made.setProperty("primary", primary)
    made.setCursor(Qt.CursorShape.PointingHandCursor)
    typed(made)
    rowed(made)
    if icon:
        iconed(made, icon, "on_action" if primary else "ink")
    if on is not None:
        made.clicked.connect(lambda _checked: on())
    return made


def press_focused(window: QWidget, event: QKeyEvent) -> bool:
    """Press the button that has the keyboard, by Enter; False for other keys and widgets.

    Whether Enter presses a button is the desktop's choice in Qt: here it does everywhere.
    """
    focus = window.focusWidget()
    if event.key() not in ENTER or event.modifiers() & Qt.KeyboardModifier.ControlModifier:
        return False
    if not isinstance(focus, QAbstractButton) or not focus.isEnabled():
        return False
    focus.click()
    return True


def link(text: str, on: Slot | None = None) -> QPushButton:
    """Make a button that looks like a link: a small door."""
    made = PushButton(unmarked(text))
    made.setAccessibleName(text)
    made.setProperty("link", True)
    made.setCursor(Qt.CursorShape.PointingHandCursor)
    made.setSizePolicy(QSizePolicy.Policy.Maximum, QSizePolicy.Policy.Fixed)
    typed(made)
    if on is not None:
        made.clicked.connect(lambda _checked: on())
    return made


def icon_button(icon: str, text: str, on: Slot | None = None) -> QToolButton:
    """Make a button that shows an icon; ``text`` is its name and its tip, and may not be empty."""
    if not text.strip():
        raise ValueError(f"the button with the icon {icon} needs a text")
    made = IconButton()
    made.setProperty("flat", True)
    made.setAccessibleName(text)
    made.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
    made.setCursor(Qt.CursorShape.PointingHandCursor)
    made.setIconSize(QSize(20, 20))
    tip(made, text)
    rowed(made)
    iconed(made, icon, "ink")
    if on is not None:
        made.clicked.connect(lambda _checked: on())
    return made


class Drawn(_HeldStill, QAbstractButton):
    """A button that draws itself: ground, focus ring, and what its kind adds."""

    def __init__(self, said: str) -> None:
        super().__init__()
        self.setAccessibleName(said)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setCursor(Qt.CursorShape.PointingHandCursor)
        self._hovered = False
        rowed(self)

    def enterEvent(self, event: QEnterEvent) -> None:
        """Show that it can be pressed."""
        self._hovered = True
        self.update()
        super().enterEvent(event)

    def leaveEvent(self, event: QEvent) -> None:
        """Be quiet again."""
        self._hovered = False
        self.update()
        super().leaveEvent(event)

    def ground(self, painter: QPainter, fill: QColor | None, edge: QColor | None) -> None:
        """Draw ground and edge, and the focus ring where the keyboard is."""
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        area = self.rect().adjusted(1, 1, -1, -1)
        painter.setPen(Qt.PenStyle.NoPen if edge is None else edge)
        painter.setBrush(Qt.BrushStyle.NoBrush if fill is None else fill)
        painter.drawRoundedRect(area, 4, 4)
        if self.hasFocus():
            pen = painter.pen()
            pen.setStyle(Qt.PenStyle.SolidLine)
            filled = fill == theme().colour("action")
            pen.setColor(theme().colour("on_action" if filled else "action"))
            pen.setWidth(2)
            painter.setPen(pen)
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRoundedRect(area.adjusted(3, 3, -3, -3) if filled else area, 4, 4)


class Door(Drawn):
    """A row that leads somewhere: a text, a second text, something at its end, and a chevron.

    Press it with the pointer, Enter or Space; ``clicked`` tells.
    """

    def __init__(
        self,
        text: str,
        detail: str = "",
        end: str = "",
        *,
        strong: bool = False,
        on: Slot | None = None,
    ) -> None:
        super().__init__(", ".join(part for part in (text, detail, end) if part))
        self._text, self._detail, self._end = text, detail, end
        self._strong = strong
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        tip(self, self.accessibleName() if len(text) + len(detail) > 60 else "")
        if on is not None:
            self.clicked.connect(lambda _checked: on())

    def show_end(self, end: str, in_full: str = "") -> None:
        """Show another text at the end; ``in_full`` is said where that is only a part."""
        self._end = end
        parts = (self._text, self._detail, in_full or end)
        self.setAccessibleName(", ".join(part for part in parts if part))
        self.updateGeometry()
        self.update()

    def sizeHint(self) -> QSize:
        """Ask for one row, or two lines of text."""
        lines = 2 if self._detail else 1
        height = theme().size(BODY) + step(4) + (lines - 1) * (theme().size(SMALL) + step(1.5))
        return QSize(240, max(height, theme().row))

    def minimumSizeHint(self) -> QSize:
        """Be content with a narrow column."""
        return QSize(96, self.sizeHint().height())

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw the row."""
        painter = QPainter(self)
        self.ground(painter, None, None)
        area = self.rect().adjusted(step(1), 0, -step(7), 0)
        end = self._draw_end(painter, area)
        area.setRight(area.right() - end)
        self._draw_texts(painter, area)
        theme().icon("door", "action" if self._hovered else "muted").paint(
            painter, QRect(self.width() - step(6), (self.height() - 16) // 2, 16, 16)
        )
        painter.end()

    def _draw_end(self, painter: QPainter, area: QRect) -> int:
        if not self._end:
            return 0
        painter.setFont(theme().font())
        painter.setPen(theme().colour("muted"))
        metrics = painter.fontMetrics()
        shown = metrics.elidedText(self._end, Qt.TextElideMode.ElideRight, area.width() // 2)
        painter.drawText(area, _RIGHT, shown)
        return metrics.horizontalAdvance(shown) + step(3)

    def _draw_texts(self, painter: QPainter, area: QRect) -> None:
        upper, lower = QRect(area), QRect(area)
        if self._detail:
            upper.setHeight(area.height() // 2 + step(1))
            lower.setTop(area.height() // 2)
        painter.setFont(theme().font(BODY, bold=self._strong))
        painter.setPen(theme().colour("action" if self._hovered else "ink"))
        painter.drawText(upper, _LEFT, elided(self._text, painter.fontMetrics(), area))
        if self._detail:
            painter.setFont(theme().font(SMALL))
            painter.setPen(theme().colour("muted"))
            painter.drawText(lower, _LEFT, elided(self._detail, painter.fontMetrics(), area))


_LEFT = int(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter | Qt.TextFlag.TextSingleLine)
_RIGHT = int(
    Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter | Qt.TextFlag.TextSingleLine
)


class TallDoor(Door):
    """A door whose texts wrap, so that nothing of them is cut; what stands at its end does not."""

    def __init__(
        self, text: str, detail: str = "", end: str = "", *, on: Slot | None = None
    ) -> None:
        super().__init__(text, detail, end, on=on)
        tip(self, "")
        policy = QSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Minimum)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)

    def hasHeightForWidth(self) -> bool:
        """Say that the height follows from the width."""
        return True

    def heightForWidth(self, width: int) -> int:
        """Return the height that both texts need."""
        area = QRect(0, 0, width, 0).adjusted(step(1), 0, -step(7), 0)
        area.setRight(area.right() - self._end_width(area))
        return max(sum(high for _, high in self._laid(area.width())) + step(4), theme().row)

    def sizeHint(self) -> QSize:
        """Ask for the height at a usual width."""
        return QSize(240, self.heightForWidth(240))

    def minimumSizeHint(self) -> QSize:
        """Be content with a narrow column; the height follows from the width given."""
        return QSize(96, theme().row)

    def _end_width(self, area: QRect) -> int:
        if not self._end:
            return 0
        wide = theme().metrics(BODY).horizontalAdvance(self._end)
        return min(wide, area.width() // 2) + step(3)

    def _laid(self, width: int) -> list[tuple[QTextLayout, int]]:
        fonts = (theme().font(BODY, bold=self._strong), theme().font(SMALL))
        texts = zip((self._text, self._detail), fonts, strict=True)
        return [laid(text, font, width) for text, font in texts if text]

    def _draw_texts(self, painter: QPainter, area: QRect) -> None:
        texts = self._laid(area.width())
        top = (self.height() - sum(high for _, high in texts)) // 2
        roles = ("action" if self._hovered else "ink", "muted")
        for (layout, high), role in zip(texts, roles, strict=False):
            painter.setPen(theme().colour(role))
            layout.draw(painter, QPointF(area.left(), top))
            top += high


class PageButton(Drawn):
    """A page in the list at the left, with the number of matters that wait there."""

    def __init__(self, text: str, on: Slot) -> None:
        super().__init__(text)
        self._text, self._count = text, ""
        self.setCheckable(True)
        self.clicked.connect(lambda _checked: on())

    def set_count(self, count: int, said: str) -> None:
        """Show ``count`` in a badge, or none for 0; ``said`` is how it reads aloud."""
        self._count = str(count) if count else ""
        self.setAccessibleName(f"{self._text}, {said}" if count else self._text)
        self.update()

    def nextCheckState(self) -> None:
        """Leave it to the window which page is shown."""

    def sizeHint(self) -> QSize:
        """Ask for a row as wide as its text and badge."""
        width = theme().metrics(LEAD, bold=True).horizontalAdvance(self._text) + step(10)
        return QSize(max(width, 132), theme().row + step(1))

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw the text, and the badge at its end."""
        painter = QPainter(self)
        lit = self.isChecked() or self._hovered
        self.ground(painter, theme().colour("select") if lit else None, None)
        area = self.rect().adjusted(step(5), 0, -step(3), 0)
        if self._count:
            area.setRight(self._draw_badge(painter, area) - step(2))
        painter.setFont(theme().font(LEAD, bold=self.isChecked()))
        painter.setPen(theme().colour("action" if self.isChecked() else "ink"))
        painter.drawText(area, _LEFT, elided(self._text, painter.fontMetrics(), area))
        painter.end()

    def _draw_badge(self, painter: QPainter, area: QRect) -> int:
        painter.setFont(theme().font(SMALL, bold=True))
        width = max(painter.fontMetrics().horizontalAdvance(self._count) + step(3), 24)
        badge = QRect(area.right() - width, (self.height() - 20) // 2, width, 20)
        painter.setPen(theme().colour("edge"))
        painter.setBrush(theme().colour("sheet"))
        painter.drawRoundedRect(badge, 10, 10)
        painter.setPen(theme().colour("ink"))
        painter.drawText(badge, Qt.AlignmentFlag.AlignCenter, self._count)
        return badge.left()
