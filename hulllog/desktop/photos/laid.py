"""Two photographs of the same place in one frame: beside each other, under a line, in turn, faint.

The arrows move the line or the strength.  While two marks are asked for, they move a cross.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF, QRectF, QSizeF, Qt, QTimer, Signal
from PySide6.QtGui import (
    QImage,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QPen,
    QPixmap,
    QTransform,
)
from PySide6.QtWidgets import QWidget

from hulllog.desktop.hull.pair import load
from hulllog.desktop.inputs import ENTER
from hulllog.desktop.theme import SMALL, step, theme
from hulllog.drawing.aligning import laying
from hulllog.words import say

if TYPE_CHECKING:
    from hulllog.desktop.state import State
    from hulllog.drawing.aligning import Laying
    from hulllog.insight.placed import PhotoSeen
    from hulllog.insight.sameplace import Marks

HOWS = ("beside", "slider", "flicker", "ghost")
LARGE = 1600
FLICKER_MS = 500
"""How long one photograph stands: two changes a second, and never more than three (our rule)."""
_STEP, _SMALL_STEP = 0.04, 0.005
_MARK = 11.0
_ARROWS = {
    Qt.Key.Key_Left: (-1, 0),
    Qt.Key.Key_Right: (1, 0),
    Qt.Key.Key_Up: (0, -1),
    Qt.Key.Key_Down: (0, 1),
}


class Laid(QWidget):
    """The frame.  ``then`` is the earlier photograph, ``now`` the one it is held against.

    ``marked`` brings two marks in each once all four are set; ``asked`` brings which is wanted
    next, 0 to 3, or -1 when none is.
    """

    marked = Signal(object, object)
    asked = Signal(int)
    flickered = Signal(bool)

    def __init__(self, state: State) -> None:
        super().__init__()
        self._state = state
        self.how = HOWS[0]
        self.line = 0.5
        self.strength = 0.5
        self.laying: Laying | None = None
        self.shows_then = True
        self.marks: list[tuple[float, float]] = []
        self.cross = (0.5, 0.5)
        self._marking = False
        self._marks: tuple[Marks, Marks] | None = None
        self._photos: list[PhotoSeen | None] = [None, None]
        self._pictures = [QPixmap(), QPixmap()]
        self._absent = [False, False]
        self._said = ["", ""]
        self._timer = QTimer(self)
        self._timer.setInterval(FLICKER_MS)
        self._timer.timeout.connect(self._turn_over)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setMinimumSize(560, 300)

    # What is shown

    def show_photos(
        self,
        then: PhotoSeen,
        now: PhotoSeen,
        said: tuple[str, str],
        marks: tuple[Marks, Marks] | None,
    ) -> None:
        """Show two photographs; those that stay are not read again."""
        self.stop()
        self._said, self._marks = list(said), marks
        self.setAccessibleName(say("years.picture", then=said[0], now=said[1]))
        for at, photo in enumerate((then, now)):
            before = self._photos[at]
            if before is None or before.photo_id != photo.photo_id:
                self._read(at, photo)
        self._lay()

    def _read(self, at: int, photo: PhotoSeen) -> None:
        self._photos[at], self._pictures[at], self._absent[at] = photo, QPixmap(), False
        logbook = self._state.logbook

        def loaded(image: QImage | None) -> None:
            if self._photos[at] is not photo:
                return
            self._absent[at] = image is None
            if image is not None:
                self._pictures[at] = QPixmap.fromImage(image)
            self._lay()

        self._state.tasks.run(
            lambda _progress: load(logbook, photo.photo_id, LARGE), loaded, owner=self
        )

    @property
    def loaded(self) -> bool:
        """Whether both pictures are there."""
        return not any(picture.isNull() for picture in self._pictures)

    def _lay(self) -> None:
        self.laying = None
        if self._marks is not None and self.loaded:
            then, now = self._marks
            self.laying = laying(then, self._size(0), now, self._size(1))
        self.update()

    def _size(self, at: int) -> tuple[float, float]:
        size = self._pictures[at].size()
        return float(size.width()), float(size.height())

    def show_how(self, how: str) -> None:
        """Show them another way; the flicker does not begin by itself."""
        self.stop()
        self.how, self.shows_then = how, True
        self.update()

    # In turn

    @property
    def flickering(self) -> bool:
        """Whether the photographs change by themselves."""
        return self._timer.isActive()

    def start(self) -> None:
        """Begin to show one, then the other."""
        self._timer.start()
        self.flickered.emit(True)

    def stop(self) -> None:
        """End it; the one that is shown stays."""
        if self._timer.isActive():
            self._timer.stop()
            self.flickered.emit(False)

    def _turn_over(self) -> None:
        self.shows_then = not self.shows_then
        self.update()

    # Marks

    def ask_marks(self) -> None:
        """Ask for two things that stand in both photographs."""
        self.stop()
        self._marking, self.marks, self.cross = True, [], (0.5, 0.5)
        self.setFocus(Qt.FocusReason.OtherFocusReason)
        self.asked.emit(0)
        self.update()

    def end_marks(self) -> None:
        """Ask no more."""
        self._marking, self.marks = False, []
        self.asked.emit(-1)
        self.update()

    @property
    def marking(self) -> bool:
        """Whether marks are asked for."""
        return self._marking

    def set_mark(self, at: tuple[float, float]) -> None:
        """Set the mark that is asked for: in the earlier, in the newest, and again."""
        self.marks.append(at)
        if len(self.marks) < 4:
            # The same thing lies about there in the other picture too.
            self.cross = at if len(self.marks) % 2 else (0.5, 0.5)
            self.asked.emit(len(self.marks))
            self.update()
            return
        then, now = (tuple(self.marks[side::2]) for side in (0, 1))
        self.end_marks()
        self.marked.emit(then, now)

    def sizes(self) -> tuple[tuple[float, float], tuple[float, float]]:
        """Return the sizes of both pictures as they were read."""
        return self._size(0), self._size(1)

    # Pointer and keys

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Move the cross, the line or the strength; Enter sets a mark, Esc ends the marking."""
        key = event.key()
        fine = bool(event.modifiers() & Qt.KeyboardModifier.ShiftModifier)
        if self._marking and key in ENTER:
            self.set_mark(self.cross)
        elif self._marking and key == Qt.Key.Key_Escape:
            self.end_marks()
        elif key in _ARROWS:
            self._move(*(_way * (_SMALL_STEP if fine else _STEP) for _way in _ARROWS[Qt.Key(key)]))
        else:
            super().keyPressEvent(event)

    def _move(self, across: float, down: float) -> None:
        if self._marking:
            self.cross = _within(self.cross[0] + across), _within(self.cross[1] + down)
        elif self.how == "slider":
            self.line = _within(self.line + across)
        elif self.how == "ghost":
            self.strength = _within(self.strength + across - down)
        elif self.how == "flicker" and across:
            self.shows_then = not self.shows_then
        self.update()

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Set a mark, or take hold of the line."""
        at = event.position()
        if self._marking:
            side = len(self.marks) % 2
            area = self._halves()[side]
            if area.contains(at):
                self.set_mark(_share(at, area))
        else:
            self._drag(at)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Drag the line."""
        if not self._marking:
            self._drag(event.position())

    def _drag(self, at: QPointF) -> None:
        area = self._whole()
        if self.how == "slider" and area.width() > 0:
            self.line = _within((at.x() - area.left()) / area.width())
            self.update()

    # Drawing

    def _halves(self) -> tuple[QRectF, QRectF]:
        """Return where both lie beside each other."""
        room = QRectF(self.rect()).adjusted(1, 1, -1, -1)
        half = (room.width() - step(2)) / 2
        left = QRectF(room.left(), room.top(), half, room.height())
        right = left.translated(half + step(2), 0)
        return _fit(self._pictures[0], left), _fit(self._pictures[1], right)

    def _whole(self) -> QRectF:
        """Return where the newest lies alone."""
        return _fit(self._pictures[1], QRectF(self.rect()).adjusted(1, 1, -1, -1))

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw both as is chosen, each with its day."""
        painter = QPainter(self)
        painter.setRenderHints(
            QPainter.RenderHint.Antialiasing | QPainter.RenderHint.SmoothPixmapTransform
        )
        if self.how == "beside" or self._marking or not self.loaded:
            self._draw_beside(painter)
        else:
            self._draw_over(painter)
        if self.hasFocus():
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.setPen(QPen(theme().colour("action"), 2))
            painter.drawRect(QRectF(self.rect()).adjusted(1, 1, -1, -1))
        painter.end()

    def _draw_beside(self, painter: QPainter) -> None:
        for side, area in enumerate(self._halves()):
            if self._pictures[side].isNull():
                painter.setPen(theme().colour("muted"))
                text = say("photo.awaited") if self._absent[side] else ""
                flags = int(Qt.AlignmentFlag.AlignCenter | Qt.TextFlag.TextWordWrap)
                painter.drawText(area, flags, text)
            else:
                painter.drawPixmap(area, self._pictures[side], QRectF(self._pictures[side].rect()))
            self._name(painter, side, area)
            if self._marking:
                self._draw_marks(painter, side, area)

    def _draw_marks(self, painter: QPainter, side: int, area: QRectF) -> None:
        for number, share in enumerate(self.marks[side::2], 1):
            _ring(painter, _in(share, area), str(number))
        if len(self.marks) % 2 == side:
            at = _in(self.cross, area)
            for ink, width in (("sheet", 4), ("action", 2)):
                painter.setPen(QPen(theme().colour(ink), width))
                painter.drawLine(at - QPointF(16, 0), at + QPointF(16, 0))
                painter.drawLine(at - QPointF(0, 16), at + QPointF(0, 16))

    def _draw_over(self, painter: QPainter) -> None:
        area = self._whole()
        if self.how == "flicker":
            self._draw_one(painter, area, 0 if self.shows_then else 1)
            self._name(painter, 0 if self.shows_then else 1, area)
            return
        self._draw_one(painter, area, 1)
        painter.save()
        if self.how == "slider":
            left = QRectF(area)
            left.setWidth(area.width() * self.line)
            painter.setClipRect(left)
            painter.fillRect(left, theme().colour("sheet"))
        else:
            painter.setOpacity(self.strength)
        self._draw_one(painter, area, 0)
        painter.restore()
        self._name(painter, 0, area)
        self._name(painter, 1, area, right=True)
        if self.how == "slider":
            x = area.left() + area.width() * self.line
            for ink, width in (("sheet", 5), ("action", 2)):
                painter.setPen(QPen(theme().colour(ink), width))
                painter.drawLine(QPointF(x, area.top()), QPointF(x, area.bottom()))

    def _draw_one(self, painter: QPainter, area: QRectF, side: int) -> None:
        """Draw a picture in the frame of the newest, the earlier one as it is laid on that."""
        picture = self._pictures[side]
        painter.save()
        painter.setClipRect(area, Qt.ClipOperation.IntersectClip)
        if side == 0 and self.laying is not None:
            large = area.width() / self._size(1)[0]
            turn, shift = self.laying.turn, self.laying.shift
            laid = QTransform(
                turn.real, turn.imag, -turn.imag, turn.real, shift.real, shift.imag
            )  # fmt: skip
            framed = QTransform(large, 0, 0, large, area.left(), area.top())
            painter.setTransform(laid * framed, True)
            painter.drawPixmap(QPointF(0, 0), picture)
        else:
            painter.drawPixmap(_fit(picture, area), picture, QRectF(picture.rect()))
        painter.restore()

    def _name(self, painter: QPainter, side: int, area: QRectF, *, right: bool = False) -> None:
        """Say in a corner which of them it is."""
        painter.setFont(theme().font(SMALL, bold=True))
        metrics = painter.fontMetrics()
        room = int(area.width() / (2 if right or self.how in ("slider", "ghost") else 1)) - step(4)
        text = metrics.elidedText(self._said[side], Qt.TextElideMode.ElideRight, max(room, 40))
        size = QSizeF(metrics.horizontalAdvance(text) + step(3), metrics.height() + step(1))
        corner = QRectF(area.topLeft() + QPointF(step(1), step(1)), size)
        if right:
            corner.moveRight(area.right() - step(1))
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(theme().colour("sheet"))
        painter.drawRoundedRect(corner, 3, 3)
        painter.setPen(theme().colour("ink"))
        painter.drawText(corner, Qt.AlignmentFlag.AlignCenter, text)


def _fit(picture: QPixmap, room: QRectF) -> QRectF:
    """Return the largest area of a picture's shape inside the room."""
    if picture.isNull():
        return room
    size = QSizeF(picture.size()).scaled(room.size(), Qt.AspectRatioMode.KeepAspectRatio)
    area = QRectF(QPointF(0, 0), size)
    area.moveCenter(room.center())
    return area


def _in(share: tuple[float, float], area: QRectF) -> QPointF:
    return QPointF(area.left() + share[0] * area.width(), area.top() + share[1] * area.height())


def _share(at: QPointF, area: QRectF) -> tuple[float, float]:
    return (
        _within((at.x() - area.left()) / area.width()),
        _within((at.y() - area.top()) / area.height()),
    )


def _within(value: float) -> float:
    return min(max(value, 0.0), 1.0)


def _ring(painter: QPainter, at: QPointF, number: str) -> None:
    painter.setPen(QPen(theme().colour("action"), 2))
    painter.setBrush(theme().colour("sheet"))
    painter.drawEllipse(at, _MARK, _MARK)
    painter.setPen(theme().colour("ink"))
    painter.setFont(theme().font(SMALL, bold=True))
    area = QRectF(at.x() - _MARK, at.y() - _MARK, 2 * _MARK, 2 * _MARK)
    painter.drawText(area, Qt.AlignmentFlag.AlignCenter, number)
