"""A scene that can be touched: pick, drag, and travel by keyboard and screen reader."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, QPointF, QRectF, Qt, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent, QMouseEvent, QPainter, QPen, QWheelEvent
from PySide6.QtWidgets import QApplication

from hulllog.desktop import access
from hulllog.desktop.canvas import Canvas
from hulllog.desktop.inputs import ENTER
from hulllog.desktop.theme import ROW, theme

if TYPE_CHECKING:
    from collections.abc import Callable

SLACK = 6.0
"""How near a press must come, in pixels; larger in the yard."""

_NUDGE = 12.0
_FORWARD = {Qt.Key.Key_Right, Qt.Key.Key_Down}
_BACKWARD = {Qt.Key.Key_Left, Qt.Key.Key_Up}
_DIRECTIONS = {
    Qt.Key.Key_Left: QPointF(-1, 0),
    Qt.Key.Key_Right: QPointF(1, 0),
    Qt.Key.Key_Up: QPointF(0, -1),
    Qt.Key.Key_Down: QPointF(0, 1),
}
_PRESS = ENTER | {Qt.Key.Key_Space}


@dataclass(slots=True)
class _Carried:
    """A mark on its way: its key (empty for a new one) and where it is now, in mm."""

    key: str
    at: QPointF


class SceneView(Canvas):
    """Shows a scene; its parts can be reached by pointer, keyboard and screen reader.

    ``picked`` brings a key (empty beside all parts) and the keyboard modifiers, ``hovered`` the key
    below the pointer, ``travelled`` the key that the keyboard came to, ``dragged`` a key and the
    place in mm where it was let go, ``placed`` the place of a new mark.
    """

    picked = Signal(str, object)
    hovered = Signal(str)
    travelled = Signal(str)
    dragged = Signal(str, float, float)
    placed = Signal(float, float)

    def __init__(self, name: str, *, zoomable: bool = True) -> None:
        super().__init__(name, zoomable=zoomable)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setMouseTracking(True)
        self.draggable: Callable[[str], bool] = lambda _key: False
        self._under = ""
        self._pressed: QPointF | None = None
        self._pressed_key = ""
        self._carried: _Carried | None = None

    # Painting

    def _paint_over(self, painter: QPainter) -> None:
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        for key in self.marked:
            self._outline(painter, key, 2.0, "action")
        if self._under and self._carried is None:
            self._outline(painter, self._under, 1.5, "ink")
        if self.hasFocus():
            self._paint_focus(painter)
        if self._carried is not None:
            self._paint_carried(painter, self._carried)

    def _paint_focus(self, painter: QPainter) -> None:
        area = self.area_of(self._at) if self._at else QRectF(self.rect()).adjusted(1, 1, -1, -1)
        if self._at:
            area = area.adjusted(-4, -4, 4, 4).intersected(
                QRectF(self.rect()).adjusted(1, 1, -1, -1)
            )
        painter.setBrush(Qt.BrushStyle.NoBrush)
        for width, role in ((4.0, "sheet"), (2.0, "action")):
            painter.setPen(QPen(theme().colour(role), width))
            painter.drawRoundedRect(area, 4, 4)

    def _paint_carried(self, painter: QPainter, carried: _Carried) -> None:
        at = self.to_widget(carried.at)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        for width, role in ((4.0, "sheet"), (2.0, "action")):
            painter.setPen(QPen(theme().colour(role), width))
            painter.drawEllipse(at, 9, 9)
            painter.drawLine(at - QPointF(16, 0), at - QPointF(5, 0))
            painter.drawLine(at + QPointF(5, 0), at + QPointF(16, 0))
            painter.drawLine(at - QPointF(0, 16), at - QPointF(0, 5))
            painter.drawLine(at + QPointF(0, 5), at + QPointF(0, 16))

    # Pointer

    def key_at(self, point: QPointF) -> str:
        """Return the key of what is at a place of the widget, or empty."""
        at = self.to_scene(point)
        return self._picture.hit(at.x(), at.y(), SLACK * theme().row / ROW / self._scale)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Begin a pick, a drag or a pan."""
        if event.button() != Qt.MouseButton.LeftButton:
            event.ignore()
            return
        self._pressed = event.position()
        self._pressed_key = self.key_at(event.position())

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Carry a mark, move the picture, or say what lies below."""
        if self._carried is not None:
            self._carried.at = self.to_scene(event.position())
            self.update()
        elif self._pressed is not None:
            self._move_from(self._pressed, event.position())
        else:
            self._hover(self.key_at(event.position()))

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Let go: pick what was pressed, or leave the mark where it is."""
        pressed, self._pressed = self._pressed, None
        if event.button() != Qt.MouseButton.LeftButton:
            return
        if self._carried is not None:
            self._carried.at = self.to_scene(event.position())
            self.drop()
        elif pressed is not None and self.key_at(event.position()) == self._pressed_key:
            self._pick(self._pressed_key, event.modifiers())
        self.unsetCursor()

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        """Treat the second press as a first."""
        self.mousePressEvent(event)

    def leaveEvent(self, event: QEvent) -> None:
        """Nothing lies below the pointer any more."""
        super().leaveEvent(event)
        self._hover("")

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Zoom about the pointer; a view that cannot zoom lets the page scroll."""
        if not self.zoomable:
            event.ignore()
            return
        self.zoom(1.0015 ** event.angleDelta().y(), event.position())
        event.accept()

    def _move_from(self, start: QPointF, to: QPointF) -> None:
        far = (to - start).manhattanLength() >= QApplication.startDragDistance()
        if far and self._pressed_key and self.draggable(self._pressed_key):
            self.carry(self._pressed_key, self.to_scene(to))
        elif far and not self._fitted:
            self.setCursor(Qt.CursorShape.ClosedHandCursor)
            self.pan(to - start)
            self._pressed = to
            self._pressed_key = "\0"

    def _hover(self, key: str) -> None:
        if key == self._under:
            return
        self._under = key
        pointing = Qt.CursorShape.PointingHandCursor
        self.setCursor(pointing) if key else self.unsetCursor()
        self.hovered.emit(key)
        self.update()

    def _pick(self, key: str, modifiers: Qt.KeyboardModifier) -> None:
        if self.index_of(key) >= 0:
            self._at = key
            access.tell_focus(self)
        self.update()
        self.picked.emit(key, modifiers)

    # Carrying a mark

    @property
    def carrying(self) -> bool:
        """Whether a mark is on its way."""
        return self._carried is not None

    def carry(self, key: str = "", at: QPointF | None = None) -> None:
        """Take a mark up: pointer or arrows move it, Enter or a press leaves it, Esc gives up.

        Without a key it is a new one, told by ``placed``; with a key by ``dragged``.
        """
        where = at or (self._boxes[key].center() if key in self._boxes else self._middle())
        self._carried = _Carried(key, where)
        self.setCursor(Qt.CursorShape.CrossCursor)
        self.update()

    def drop(self) -> None:
        """Leave the carried mark where it is."""
        carried, self._carried = self._carried, None
        self.unsetCursor()
        self.update()
        if carried is None:
            return
        if carried.key:
            self.dragged.emit(carried.key, carried.at.x(), carried.at.y())
        else:
            self.placed.emit(carried.at.x(), carried.at.y())

    def give_up(self) -> None:
        """Leave the carried mark where it was."""
        self._carried = None
        self.unsetCursor()
        self.update()

    def _middle(self) -> QPointF:
        return self.to_scene(QPointF(self.rect().center()))

    # Keyboard

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Travel, pick, zoom, or move what is carried.  All other keys go to the page."""
        if self._carried is not None:
            taken = self._carry_key(event, self._carried)
        else:
            taken = self._travel_key(event) or self._zoom_key(event)
        event.setAccepted(taken)

    def _carry_key(self, event: QKeyEvent, carried: _Carried) -> bool:
        key = Qt.Key(event.key())
        if key in _DIRECTIONS:
            fine = event.modifiers() & Qt.KeyboardModifier.ShiftModifier
            carried.at += _DIRECTIONS[key] * ((2 if fine else _NUDGE) / self._scale)
            self.update()
        elif key in _PRESS:
            self.drop()
        elif key == Qt.Key.Key_Escape:
            self.give_up()
        else:
            return False
        return True

    def _travel_key(self, event: QKeyEvent) -> bool:
        key = event.key()
        if event.modifiers() & Qt.KeyboardModifier.AltModifier:
            movable = key in _DIRECTIONS and self._at and self.draggable(self._at)
            if movable:
                self.carry(self._at)
            return bool(movable)
        if key in _FORWARD or key in _BACKWARD:
            return self.travel(1 if key in _FORWARD else -1)
        if key in {Qt.Key.Key_Home, Qt.Key.Key_End}:
            return (
                self.go_to(self.regions[0 if key == Qt.Key.Key_Home else -1][0])
                if self.regions
                else False
            )
        if key in _PRESS and self._at:
            self._pick(self._at, event.modifiers())
            return True
        return False

    def _zoom_key(self, event: QKeyEvent) -> bool:
        if not self.zoomable:
            return False
        if event.key() in {Qt.Key.Key_Plus, Qt.Key.Key_Equal}:
            self.zoom(1.25)
        elif event.key() == Qt.Key.Key_Minus:
            self.zoom(0.8)
        elif event.key() == Qt.Key.Key_Escape and not self._fitted:
            self.fit()
        else:
            return False
        return True

    def travel(self, by: int) -> bool:
        """Go to the next part (1) or the one before (-1); False when there is none."""
        if not self.regions:
            return False
        at = self.index_of(self._at)
        index = 0 if at < 0 else min(max(at + by, 0), len(self.regions) - 1)
        return self.go_to(self.regions[index][0])

    def go_to(self, key: str) -> bool:
        """Put the keyboard on a part and bring it in sight."""
        if self.index_of(key) < 0:
            return False
        self._at = key
        self.reveal(key)
        access.tell_focus(self)
        self.travelled.emit(key)
        self.update()
        return True

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Start at the first part when the keyboard arrives."""
        super().focusInEvent(event)
        pressed = event.reason() == Qt.FocusReason.MouseFocusReason
        if not pressed and not self._at and self.regions:
            self.go_to(self.regions[0][0])
        self.update()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Take the ring away."""
        super().focusOutEvent(event)
        self.update()
