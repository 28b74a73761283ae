"""A widget that shows a scene, fitted or closer: painted once into a pixmap, moved from there."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF, QRectF, QSize, QSizeF, Qt, QTimer, Signal
from PySide6.QtGui import QPainter, QPainterPath, QPaintEvent, QPen, QPixmap, QResizeEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from hulllog.desktop import access
from hulllog.desktop.painter import Picture
from hulllog.desktop.theme import theme
from hulllog.drawing.scene import Path, Scene
from hulllog.drawing.shapes import bounds

if TYPE_CHECKING:
    from collections.abc import Iterable

PIXELS_PER_MM = 4.0
"""How large a scene stands on the screen when it is not fitted: 3.2 mm type is 13 px."""

Maker = Callable[[float, float], Scene]
"""Draws a scene of a width and height in mm."""

_MARGIN = 0.25
_CLOSEST = 24.0
_CLOSEST_DRAWN = 8.0
_SETTLE = 60


@dataclass(slots=True)
class _Drawn:
    """What was painted last: the pixmap, the part of the scene it covers (px) and its scale."""

    pixmap: QPixmap
    covers: QRectF
    scale: float


class Canvas(QWidget):
    """Shows a scene.  ``zoomed`` brings the new scale in pixels to a mm."""

    zoomed = Signal(float)

    def __init__(self, name: str, *, zoomable: bool) -> None:
        super().__init__()
        if not name.strip():
            raise ValueError("a drawing needs a name")
        access.install()
        self.destroyed.connect(partial(access.forget, id(self)))
        self.setAccessibleName(name)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.zoomable = zoomable
        self.marked: frozenset[str] = frozenset()
        self._picture = Picture(Scene(1, 1))
        self._boxes: dict[str, QRectF] = {}
        self._scale = 1.0
        self._origin = QPointF(0, 0)
        self._fitted = True
        self._maker: Maker | None = None
        self._outdated = False
        self._drawn: _Drawn | None = None
        self._at = ""
        self._settle = QTimer(self)
        self._settle.setSingleShot(True)
        self._settle.setInterval(_SETTLE)
        self._settle.timeout.connect(self._settled)
        theme().changed.connect(self._redraw)

    # The scene

    @property
    def scene(self) -> Scene:
        """The scene that is shown."""
        self._draw_anew()
        return self._picture.scene

    @property
    def regions(self) -> tuple[tuple[str, str], ...]:
        """Key and name of each part that can be reached, in the order of travel."""
        return self.scene.regions

    @property
    def current(self) -> str:
        """The key that the keyboard is on, or empty."""
        return self._at

    def show_scene(self, scene: Scene) -> None:
        """Show another scene; zoom and place are kept while its size is the same."""
        same = (scene.width, scene.height) == (self.scene.width, self.scene.height)
        self._maker = None
        self._outdated = False
        self._take(scene)
        if self._fitted or not same:
            self.fit()
        self._redraw()
        self.updateGeometry()

    def draw_by(self, make: Maker) -> None:
        """Show what ``make`` draws for the room there is; coming closer it is asked for more.

        Lines and letters so keep their size on the screen, and what crowds has room to part.
        """
        self._maker = make
        self.remake()

    def remake(self) -> None:
        """Draw again by the function given to ``draw_by``, at the same place and zoom.

        It is drawn when it is next looked at: however often it was asked for, once.
        """
        self._outdated = self._maker is not None
        self.update()

    def _draw_anew(self) -> None:
        if not self._outdated or self._maker is None or self.width() < 2 or self.height() < 2:
            return
        self._outdated = False
        closer = 1.0 if self._fitted else max(self._scale / self._whole(), 1.0)
        size = QSizeF(self.size()) * closer / PIXELS_PER_MM
        self._take(self._maker(size.width(), size.height()))
        self._scale = PIXELS_PER_MM
        self._move_to(self._origin)
        self._redraw()

    def _take(self, scene: Scene) -> None:
        self._picture = Picture(scene)
        self._boxes = _boxes(scene)
        self.setAccessibleDescription(scene.described)
        if self.index_of(self._at) < 0:
            self._at = ""

    def mark(self, keys: Iterable[str]) -> None:
        """Outline the parts that are picked."""
        self.marked = frozenset(keys)
        self.update()

    def index_of(self, key: str) -> int:
        """Return the place of a key in the order of travel, or -1."""
        return next((at for at, (known, _) in enumerate(self.regions) if known == key), -1)

    def area_of(self, key: str) -> QRectF:
        """Return where a part is in the widget, in pixels."""
        self._draw_anew()
        box = self._boxes.get(key, QRectF())
        return QRectF(self.to_widget(box.topLeft()), box.size() * self._scale)

    def sizeHint(self) -> QSize:
        """Ask for the scene at its natural size; what is drawn to measure takes what there is."""
        scene = Scene(90, 60) if self._maker is not None else self.scene
        return QSize(round(scene.width * PIXELS_PER_MM), round(scene.height * PIXELS_PER_MM))

    def minimumSizeHint(self) -> QSize:
        """Be content with a thumbnail."""
        return QSize(80, 48)

    # Scale and place

    @property
    def scale(self) -> float:
        """Pixels to a mm."""
        self._draw_anew()
        return self._scale

    def to_scene(self, point: QPointF) -> QPointF:
        """Turn a place in the widget into mm of the scene."""
        self._draw_anew()
        return (point - self._origin) / self._scale

    def to_widget(self, point: QPointF) -> QPointF:
        """Turn a place in mm of the scene into pixels of the widget."""
        self._draw_anew()
        return point * self._scale + self._origin

    def fit(self) -> None:
        """Show the whole scene, as large as it can be."""
        self._fitted = True
        scene = self.scene
        self._scale = self._whole()
        left = (self.width() - scene.width * self._scale) / 2
        top = (self.height() - scene.height * self._scale) / 2
        self._move_to(QPointF(left, top))
        self._changed_scale()

    def zoom(self, factor: float, about: QPointF | None = None) -> None:
        """Come closer (above 1) or go farther (below 1); the place ``about`` stays where it is."""
        if not self.zoomable:
            return
        about = about or QPointF(self.rect().center())
        whole = self._whole()
        most = _CLOSEST if self._maker is None else _CLOSEST_DRAWN
        scale = min(max(self._scale * factor, whole), whole * most)
        if scale <= whole * 1.001:
            self.fit()
            return
        self._fitted = False
        held = self.to_scene(about)
        self._scale = scale
        self._move_to(about - held * scale)
        self._changed_scale()

    def _whole(self) -> float:
        """Return the scale at which the whole scene just fits."""
        scene = self._picture.scene
        return max(min(self.width() / scene.width, self.height() / scene.height), 0.01)

    def pan(self, by: QPointF) -> None:
        """Move the picture by pixels."""
        if self._fitted:
            return
        self._move_to(self._origin + by)
        self.update()

    def reveal(self, key: str) -> None:
        """Move the picture so that a part is in sight."""
        area = self.area_of(key)
        if area.isNull() or self._fitted:
            return
        view = QRectF(self.rect()).adjusted(16, 16, -16, -16)
        dx = max(view.left() - area.left(), 0) or min(view.right() - area.right(), 0)
        dy = max(view.top() - area.top(), 0) or min(view.bottom() - area.bottom(), 0)
        self.pan(QPointF(dx, dy))

    def _move_to(self, origin: QPointF) -> None:
        """Put the scene's corner on a whole pixel, so that the pixmap is never smeared."""
        scene = self._picture.scene
        x = _held(origin.x(), self.width(), scene.width * self._scale)
        y = _held(origin.y(), self.height(), scene.height * self._scale)
        ratio = self.devicePixelRatioF()
        self._origin = QPointF(round(x * ratio) / ratio, round(y * ratio) / ratio)

    def _changed_scale(self) -> None:
        self._settle.start()
        self.update()
        self.zoomed.emit(self._scale)

    # Painting

    def _settled(self) -> None:
        if self._maker is not None and abs(self._scale - PIXELS_PER_MM) > 1e-6:
            self.remake()
        elif self._drawn is None or self._drawn.scale != self._scale:
            self._redraw()

    def _redraw(self) -> None:
        self._drawn = None
        self.update()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Fit again, unless the person has come closer."""
        super().resizeEvent(event)
        if self._maker is not None and (self._drawn is None or not self.isVisible()):
            self.remake()
        elif self._fitted:
            self.fit()
        else:
            self._move_to(self._origin)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Show the pixmap, and over it what changes with pointer and keyboard."""
        self._draw_anew()
        drawn = self._drawn
        stale = drawn is None or (drawn.scale != self._scale and not self._settle.isActive())
        if drawn is None or stale or not self._covered(drawn):
            drawn = self._draw()
        painter = QPainter(self)
        ratio = self._scale / drawn.scale
        target = QRectF(self._origin + drawn.covers.topLeft() * ratio, drawn.covers.size() * ratio)
        if ratio == 1.0:
            painter.drawPixmap(target.topLeft(), drawn.pixmap)
        else:
            source = QRectF(QPointF(0, 0), drawn.pixmap.size().toSizeF())
            painter.drawPixmap(target, drawn.pixmap, source)
        self._paint_over(painter)
        painter.end()

    def _covered(self, drawn: _Drawn) -> bool:
        if drawn.scale != self._scale:
            return True
        return drawn.covers.contains(self._visible())

    def _visible(self) -> QRectF:
        """What of the scene can be seen, in pixels from its corner."""
        whole = QRectF(0, 0, self.scene.width * self._scale, self.scene.height * self._scale)
        return QRectF(self.rect()).translated(-self._origin).intersected(whole)

    def _draw(self) -> _Drawn:
        """Paint what can be seen, and a margin around it, into a pixmap."""
        whole = QRectF(0, 0, self.scene.width * self._scale, self.scene.height * self._scale)
        dx, dy = self.width() * _MARGIN, self.height() * _MARGIN
        covers = QRectF(
            self._visible().adjusted(-dx, -dy, dx, dy).intersected(whole).toAlignedRect()
        )
        ratio = self.devicePixelRatioF()
        pixmap = QPixmap((covers.size() * ratio).toSize().expandedTo(QSize(1, 1)))
        pixmap.setDevicePixelRatio(ratio)
        pixmap.fill(Qt.GlobalColor.transparent)
        painter = QPainter(pixmap)
        painter.translate(-covers.topLeft())
        self._picture.paint(painter, theme().palette, self._scale)
        painter.end()
        self._drawn = _Drawn(pixmap, covers, self._scale)
        return self._drawn

    def _paint_over(self, painter: QPainter) -> None:
        """Draw what lies over the picture; for views that can be touched."""

    def _outline(self, painter: QPainter, key: str, width: float, role: str) -> None:
        outline = outline_of(self.scene, key)
        if outline.isEmpty():
            return
        painter.save()
        painter.translate(self._origin)
        painter.scale(self._scale, self._scale)
        pen = QPen(theme().colour(role), width)
        pen.setCosmetic(True)
        painter.setPen(pen)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawPath(outline)
        painter.restore()


def _held(origin: float, room: float, size: float) -> float:
    """Return an origin that leaves no empty edge, or centres what is smaller than the room."""
    if size <= room:
        return (room - size) / 2
    return min(max(origin, room - size), 0.0)


def _boxes(scene: Scene) -> dict[str, QRectF]:
    boxes: dict[str, QRectF] = {}
    for item in scene.items:
        if item.key:
            left, top, right, bottom = bounds(item)
            box = QRectF(left, top, right - left, bottom - top)
            boxes[item.key] = boxes[item.key].united(box) if item.key in boxes else box
    return boxes


def outline_of(scene: Scene, key: str) -> QPainterPath:
    """Return the outlines of all paths with a key as one, in mm.

    Open strokes, such as a hatch, a tick or a dashed edge, count only where nothing is closed.
    """
    paths = [item for item in scene.items if isinstance(item, Path) and item.key == key]
    closed = [path for path in paths if any(op[0] == "Z" for op in path.ops)]
    outline = QPainterPath()
    for path in closed or paths:
        _trace(path, outline)
    return outline


def _trace(path: Path, outline: QPainterPath) -> None:
    for op in path.ops:
        match op:
            case ("M", x, y):
                outline.moveTo(x, y)
            case ("L", x, y):
                outline.lineTo(x, y)
            case ("C", *points):
                outline.cubicTo(*points)
            case _:
                outline.closeSubpath()
