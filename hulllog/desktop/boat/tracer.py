"""An own view to draw on: two marks for the scale, an outline corner by corner, corners moved.

A press sets a mark or a corner.  By keyboard the arrows move a cross, finely with Shift, and Space
sets what a press sets.  Backspace takes the last one back, Enter is done, Esc gives up.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF, Qt, Signal
from PySide6.QtGui import QKeyEvent, QMouseEvent, QPainter, QPen, QPolygonF
from PySide6.QtWidgets import QApplication

from hulllog.desktop.inputs import ENTER
from hulllog.desktop.sceneview import SceneView
from hulllog.desktop.theme import theme
from hulllog.drawing.ownviews import place_on, point_of
from hulllog.drawing.scene import Scene
from hulllog.hull.handdrawn import FACE
from hulllog.hull.patches import Place
from hulllog.words import say_n

if TYPE_CHECKING:
    from collections.abc import Iterable

    from hulllog.desktop.hull.pictures import Draw
    from hulllog.drawing.hullparts import HullPicture
    from hulllog.insight.ownviews import OwnSeen

Point = tuple[float, float]
MARKS, DRAW, MOVE = "marks", "draw", "move"
_STEP, _FINE = 12.0, 1.0
"""Pixels by which an arrow moves the cross, and with Shift."""
_NEAR = 12.0
"""Pixels within which a press takes a corner."""
_ARROWS = {
    Qt.Key.Key_Left: QPointF(-1, 0),
    Qt.Key.Key_Right: QPointF(1, 0),
    Qt.Key.Key_Up: QPointF(0, -1),
    Qt.Key.Key_Down: QPointF(0, 1),
}


class Tracer(SceneView):
    """Shows an own view and lets marks and corners be set on it.

    ``changed`` comes when a point was set, moved or taken back, ``finished`` at Enter or when an
    outline is closed by a press on its first corner, ``given_up`` at Esc.
    """

    changed = Signal()
    finished = Signal()
    given_up = Signal()

    def __init__(self, name: str) -> None:
        super().__init__(name)
        self.mode = ""
        self.points: list[Point] = []
        self._view: OwnSeen | None = None
        self._drawer: Draw | None = None
        self._shown: HullPicture | None = None
        self._cross: Point = (0.5, 0.5)
        self._by_key = False
        self._held: int | None = None
        self._moved = False
        self._over: QPointF | None = None
        self.draw_by(self._make)

    def show_view(self, view: OwnSeen, drawer: Draw) -> None:
        """Show a view as ``drawer`` draws it."""
        self._view, self._drawer = view, drawer
        self.remake()

    def _make(self, width: float, height: float) -> Scene:
        if self._drawer is None:
            return Scene(width, height)
        self._shown = self._drawer(width, height)
        return self._shown.scene

    @property
    def by_pointer(self) -> bool:
        """Whether the last point was set by a press, and nothing is being carried."""
        return not self._by_key and self._held is None

    # What is set

    def begin(self, mode: str, points: Iterable[Point] = ()) -> None:
        """Begin to set marks, to draw an outline, or to move the corners of one."""
        self.mode, self.points = mode, [(float(u), float(v)) for u, v in points]
        self._held, self._over, self._by_key = None, None, False
        self.setCursor(Qt.CursorShape.CrossCursor)
        self.setFocus()
        self._tell()

    def take_back(self) -> None:
        """Take the last mark or corner back."""
        if self.points and self.mode != MOVE:
            self.points.pop()
            self._tell()

    def end(self) -> None:
        """Set nothing more."""
        self.mode, self.points, self._held = "", [], None
        self.unsetCursor()
        self._tell()

    def _tell(self) -> None:
        self.setAccessibleDescription(say_n("own.points", len(self.points)) if self.mode else "")
        self.update()
        self.changed.emit()

    def at(self, point: Point) -> QPointF:
        """Return where a point in shares lies in the widget."""
        if self._view is None or self._shown is None:
            return QPointF()
        place = Place(self._view.key, FACE, *point)
        return self.to_widget(QPointF(*point_of(self._view, self._shown, place)))

    def _shares(self, where: QPointF, *, held: bool = False) -> Point | None:
        """Return a place of the widget in shares; ``held`` keeps what lies beside at the edge."""
        if self._view is None or self._shown is None:
            return None
        corner, other = self.at((0.0, 0.0)), self.at((1.0, 1.0))
        if held:
            where = QPointF(
                min(max(where.x(), corner.x()), other.x()),
                min(max(where.y(), corner.y()), other.y()),
            )
        point = self.to_scene(where)
        place = place_on(self._view, self._shown, point.x(), point.y())
        if place is None and held:
            span = other - corner
            return (
                min(max((where.x() - corner.x()) / max(span.x(), 1e-9), 0.0), 1.0),
                min(max((where.y() - corner.y()) / max(span.y(), 1e-9), 0.0), 1.0),
            )
        return (place.u, place.v) if place is not None else None

    def _near(self, where: QPointF) -> int | None:
        """Return the number of the point within reach of a place of the widget."""
        away = [
            ((self.at(point) - where).manhattanLength(), n) for n, point in enumerate(self.points)
        ]
        nearest = min(away, default=None)
        return nearest[1] if nearest and nearest[0] <= _NEAR else None

    def _put(self, point: Point) -> None:
        """Set a mark or a corner."""
        near = self._near(self.at(point))
        if self.mode == DRAW and near == 0 and len(self.points) > 2:
            self.finished.emit()
            return
        if near is not None:
            return
        if self.mode == MARKS and len(self.points) == 2:
            self.points.pop(0)
        self.points.append(point)
        self._tell()

    # Pointer

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Take a corner that lies there, or begin a press that sets one."""
        super().mousePressEvent(event)
        if self.mode and event.button() == Qt.MouseButton.LeftButton:
            self._by_key, self._moved = False, False
            if self.mode in (MOVE, MARKS):
                self._held = self._near(event.position())

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Carry the corner that was taken."""
        if not self.mode:
            super().mouseMoveEvent(event)
            return
        self._over = event.position()
        if self._held is not None and not self._by_key:
            self._carry(event.position())
        elif self._pressed is not None:
            far = (event.position() - self._pressed).manhattanLength()
            self._moved = self._moved or far >= QApplication.startDragDistance()
            self._move_from(self._pressed, event.position())
            self.setCursor(Qt.CursorShape.CrossCursor)
        self.update()

    def _carry(self, to: QPointF) -> None:
        point = self._shares(to, held=True)
        if point is not None and self._held is not None:
            self.points[self._held] = point
            self._moved = True

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Set a corner, or leave the one that was carried."""
        if not self.mode:
            super().mouseReleaseEvent(event)
            return
        self._pressed = None
        if event.button() != Qt.MouseButton.LeftButton:
            return
        if self._held is not None:
            self._held = None
            self._tell()
        elif not self._moved and self.mode != MOVE:
            point = self._shares(event.position())
            if point is not None:
                self._cross = point
                self._put(point)

    # Keyboard

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Move the cross, set, take back, finish or give up."""
        if not self.mode:
            super().keyPressEvent(event)
            return
        event.setAccepted(self._drawing_key(event))

    def _drawing_key(self, event: QKeyEvent) -> bool:
        key = Qt.Key(event.key())
        if key in _ARROWS:
            fine = bool(event.modifiers() & Qt.KeyboardModifier.ShiftModifier)
            self._go(_ARROWS[key] * (_FINE if fine else _STEP))
        elif key == Qt.Key.Key_Space:
            self._set_by_key()
        elif key == Qt.Key.Key_Backspace:
            self.take_back()
        elif key in ENTER:
            self.finished.emit()
        elif key == Qt.Key.Key_Escape:
            self.given_up.emit()
        else:
            return self._zoom_key(event)
        return True

    def _go(self, by: QPointF) -> None:
        to = self._shares(self.at(self._cross) + by, held=True)
        if to is None:
            return
        self._by_key, self._cross = True, to
        if self._held is not None:
            self.points[self._held] = to
        self._tell()

    def _set_by_key(self) -> None:
        self._by_key = True
        if self.mode != MOVE:
            self._put(self._cross)
        elif self._held is not None:
            self._held = None
            self._tell()
        elif self.points:
            here = self.at(self._cross)
            away = [(self.at(point) - here).manhattanLength() for point in self.points]
            self._held = away.index(min(away))
            self._cross = self.points[self._held]
            self._tell()

    # Painting

    def _paint_focus(self, painter: QPainter) -> None:
        """Leave the ring out while something is set: the cross shows where the keyboard is."""
        if not self.mode:
            super()._paint_focus(painter)

    def _paint_over(self, painter: QPainter) -> None:
        super()._paint_over(painter)
        if not self.mode:
            return
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        there = [self.at(point) for point in self.points]
        for width, role in ((5.0, "sheet"), (2.0, "action")):
            painter.setPen(QPen(theme().colour(role), width))
            if self.mode == MOVE:
                painter.drawPolygon(QPolygonF(there))
            else:
                self._paint_line(painter, there)
            for number, point in enumerate(there):
                held = number == self._held
                size = 8 if held or (number == 0 and self.mode == DRAW) else 5
                if self.mode == MARKS:
                    self._paint_cross(painter, point, 9)
                else:
                    painter.drawEllipse(point, size, size)
            if self._by_key:
                self._paint_cross(painter, self.at(self._cross), 16)

    def _paint_line(self, painter: QPainter, there: list[QPointF]) -> None:
        painter.drawPolyline(QPolygonF(there))
        end = self.at(self._cross) if self._by_key else self._over
        if self.mode == DRAW and there and end is not None:
            painter.drawLine(there[-1], end)

    @staticmethod
    def _paint_cross(painter: QPainter, at: QPointF, reach: float) -> None:
        painter.drawLine(at - QPointF(reach, 0), at + QPointF(reach, 0))
        painter.drawLine(at - QPointF(0, reach), at + QPointF(0, reach))
