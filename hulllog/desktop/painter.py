"""Scenes in the window: the QPainter painter, and what lies under the pointer."""

from __future__ import annotations

from functools import cache, lru_cache
from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import (
    QColor,
    QFont,
    QFontDatabase,
    QFontMetricsF,
    QGlyphRun,
    QImage,
    QPainter,
    QPainterPath,
    QPainterPathStroker,
    QPen,
    QRawFont,
    QTransform,
)

from hulllog.drawing import font
from hulllog.drawing.scene import Image, Text
from hulllog.drawing.shapes import bounds, share_before

if TYPE_CHECKING:
    from hulllog.drawing.palette import Palette
    from hulllog.drawing.scene import Item, Path, Scene, Style

_LAID_AT = 64
"""Pixel size at which texts are laid out before they are scaled: no step of whole pixels."""


@cache
def load_fonts() -> str:
    """Add the shipped family to the application; return its name.  Needs a QGuiApplication."""
    for bold in (False, True):
        if QFontDatabase.addApplicationFont(str(font.file_of(bold=bold))) < 0:
            raise FileNotFoundError(font.file_of(bold=bold))
    return font.FAMILY


def qfont(pixels: float, *, bold: bool = False) -> QFont:
    """Return the family at a size in pixels, unhinted, as all text of the window uses it."""
    made = QFont(load_fonts())
    made.setPixelSize(max(1, round(pixels)))
    made.setWeight(QFont.Weight.DemiBold if bold else QFont.Weight.Normal)
    made.setHintingPreference(QFont.HintingPreference.PreferNoHinting)
    return made


@cache
def _raw(bold: bool) -> QRawFont:
    path = str(font.file_of(bold=bold))
    return QRawFont(path, _LAID_AT, QFont.HintingPreference.PreferNoHinting)


class Picture:
    """A scene made ready for Qt once, to be painted and asked many times."""

    def __init__(self, scene: Scene) -> None:
        """Turn every path and text of the scene into Qt's own.  Needs a QGuiApplication."""
        self.scene = scene
        self._parts = [_part(item) for item in scene.items]
        self._keyed = [part for part in reversed(self._parts) if part.key]
        self._scale = 0.0

    def paint(self, painter: QPainter, palette: Palette, scale: float) -> None:
        """Draw with the scene's upper left corner at the painter's origin, ``scale`` px to a mm.

        Paths are scaled before they are drawn and kept so: Qt strokes a path under a scaled
        painter several times more slowly.
        """
        if scale != self._scale:
            for part in self._parts:
                part.rescale(scale)
            self._scale = scale
        painter.save()
        painter.setRenderHints(
            QPainter.RenderHint.Antialiasing | QPainter.RenderHint.TextAntialiasing
        )
        for part in self._parts:
            part.paint(painter, palette, scale)
        painter.restore()

    def hit(self, x: float, y: float, slack: float = 0.0) -> str:
        """Return the key of the topmost part at (x, y) mm, else within ``slack`` mm, else "".

        A closed outline is hit inside, filled or not; an open one on its stroke.
        """
        point = QPointF(x, y)
        for part in self._keyed:
            if part.covers(point):
                return part.key
        around = QRectF(x - slack, y - slack, 2 * slack, 2 * slack)
        for part in self._keyed if slack > 0 else ():
            if part.touches(around):
                return part.key
        return ""


def _part(item: Item) -> _Line | _Photograph | _Outline:
    if isinstance(item, Text):
        return _Line(item)
    return _Photograph(item) if isinstance(item, Image) else _Outline(item)


def paint(scene: Scene, painter: QPainter, palette: Palette, scale: float) -> None:
    """Draw a scene once; a widget that repaints keeps a `Picture` instead."""
    Picture(scene).paint(painter, palette, scale)


def hit(scene: Scene, x: float, y: float, slack: float = 0.0) -> str:
    """Return the key of what lies at (x, y) mm of a scene, empty if nothing with a key does."""
    return Picture(scene).hit(x, y, slack)


def _colour(role: str, palette: Palette, opacity: float = 1.0) -> QColor:
    colour = QColor(palette.colour(role))
    colour.setAlphaF(opacity)
    return colour


class _Outline:
    """A path of a scene with its outline in Qt's terms."""

    __slots__ = ("_closed", "_outline", "_reach", "_scaled", "_style", "key")

    def __init__(self, path: Path) -> None:
        self.key = path.key
        self._style = path.style
        self._outline = self._scaled = _traced(path)
        self._closed = any(op[0] == "Z" for op in path.ops)
        half = path.style.width / 2 + 0.01
        self._reach = self._outline.boundingRect().adjusted(-half, -half, half, half)

    def rescale(self, scale: float) -> None:
        self._scaled = QTransform.fromScale(scale, scale).map(self._outline)

    def paint(self, painter: QPainter, palette: Palette, scale: float) -> None:
        style = self._style
        if style.fill:
            painter.fillPath(self._scaled, _colour(style.fill, palette, style.opacity))
        if style.stroke:
            colour = _colour(style.stroke, palette, style.opacity)
            painter.strokePath(self._scaled, _pen(style, colour, scale))

    def covers(self, point: QPointF) -> bool:
        if not self._reach.contains(point):
            return False
        return (self._closed and self._outline.contains(point)) or self._stroked().contains(point)

    def touches(self, around: QRectF) -> bool:
        return self._reach.intersects(around) and self._stroked().intersects(around)

    def _stroked(self) -> QPainterPath:
        stroker = QPainterPathStroker()
        stroker.setWidth(max(self._style.width, 0.01))
        return stroker.createStroke(self._outline)


def _traced(path: Path) -> QPainterPath:
    outline = QPainterPath()
    outline.setFillRule(Qt.FillRule.OddEvenFill)
    for op in path.ops:
        if op[0] == "M":
            outline.moveTo(op[1], op[2])
        elif op[0] == "L":
            outline.lineTo(op[1], op[2])
        elif op[0] == "C":
            outline.cubicTo(*op[1:])
        else:
            outline.closeSubpath()
    return outline


def _pen(style: Style, colour: QColor, scale: float) -> QPen:
    pen = QPen(colour, style.width * scale)
    pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
    pen.setCapStyle(Qt.PenCapStyle.FlatCap if style.dash else Qt.PenCapStyle.RoundCap)
    if style.dash and style.width > 0:
        pen.setDashPattern([length / style.width for length in style.dash])
    return pen


class _Line:
    """A text of a scene: glyphs set by our own advances, so that the paper agrees.

    What the family lacks is drawn with whatever fonts the machine has, in the room of its mark.
    """

    __slots__ = ("_box", "_glyphs", "_text", "key")

    def __init__(self, text: Text) -> None:
        self.key = text.key
        self._text = text
        left, top, right, bottom = bounds(text)
        self._box = QRectF(left, top, right - left, bottom - top)
        self._glyphs = None if font.missing(text.text) else _run(text)

    def rescale(self, scale: float) -> None:
        """Texts are laid out once at one size, so there is nothing to do."""

    def paint(self, painter: QPainter, palette: Palette, scale: float) -> None:
        text, size = self._text, self._text.size * scale / _LAID_AT
        before = painter.transform()
        painter.translate(self._box.left() * scale, text.y * scale)
        painter.scale(size, size)
        painter.setPen(_colour(text.color, palette))
        if self._glyphs is None:
            self._paint_foreign(painter)
        else:
            painter.drawGlyphRun(QPointF(0, 0), self._glyphs)
        painter.setTransform(before)

    def _paint_foreign(self, painter: QPainter) -> None:
        text = self._text
        laid = qfont(_LAID_AT, bold=text.bold)
        width = QFontMetricsF(laid).horizontalAdvance(text.text)
        room = self._box.width() * _LAID_AT / text.size
        painter.setFont(laid)
        if width > room:
            painter.scale(room / width, 1.0)
        painter.drawText(QPointF(share_before(text) * max(room - width, 0.0), 0.0), text.text)

    def covers(self, point: QPointF) -> bool:
        return self._box.contains(point)

    def touches(self, around: QRectF) -> bool:
        return self._box.intersects(around)


@lru_cache(maxsize=4)
def _decoded(data: bytes) -> QImage:
    return QImage.fromData(data)


class _Photograph:
    """An image of a scene, kept at the size in which it was painted last."""

    __slots__ = ("_box", "_data", "_scaled", "key")

    def __init__(self, image: Image) -> None:
        self.key = image.key
        self._data = image.data
        self._box = QRectF(image.x, image.y, image.width, image.height)
        self._scaled: QImage | None = None

    def rescale(self, scale: float) -> None:
        """Forget the size that was painted last."""
        self._scaled = None

    def paint(self, painter: QPainter, palette: Palette, scale: float) -> None:
        box = QRectF(self._box.topLeft() * scale, self._box.size() * scale)
        if self._scaled is None:
            # Down in one step of averages: the painter's own filter skips pixels of a large one.
            ratio = painter.device().devicePixelRatioF()
            size = (box.size() * ratio).toSize()
            whole = _decoded(self._data)
            smaller = size.width() < whole.width()
            self._scaled = (
                whole.scaled(
                    size,
                    Qt.AspectRatioMode.IgnoreAspectRatio,
                    Qt.TransformationMode.SmoothTransformation,
                )
                if smaller and not size.isEmpty()
                else whole
            )
        painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
        painter.drawImage(box, self._scaled)

    def covers(self, point: QPointF) -> bool:
        return self._box.contains(point)

    def touches(self, around: QRectF) -> bool:
        return self._box.intersects(around)


def _run(text: Text) -> QGlyphRun:
    known = font.face(bold=text.bold)
    indexes, places, x = [], [], 0.0
    for character in font.printable(text.text):
        indexes.append(known.glyphs[ord(character)])
        places.append(QPointF(x, 0.0))
        x += known.advance(character) * _LAID_AT
    run = QGlyphRun()
    run.setRawFont(_raw(text.bold))
    run.setGlyphIndexes(indexes)
    run.setPositions(places)
    return run
