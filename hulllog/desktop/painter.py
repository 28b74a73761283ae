"""Scenes in the window: the QPainter painter, and what lies under the pointer."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import (
    QColor,
    QFont,
    QFontDatabase,
    QGlyphRun,
    QPainter,
    QPainterPath,
    QPainterPathStroker,
    QPen,
    QRawFont,
)

from hulllog.drawing import font
from hulllog.drawing.scene import Text
from hulllog.drawing.shapes import bounds

if TYPE_CHECKING:
    from hulllog.drawing.palette import Palette
    from hulllog.drawing.scene import Path, Scene, Style

_DRAWN_AT = 64
"""Pixel size at which a text beyond the shipped family is laid out before it is scaled."""


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
    return QRawFont(path, _DRAWN_AT, QFont.HintingPreference.PreferNoHinting)


class Picture:
    """A scene made ready for Qt once, to be painted and asked many times."""

    def __init__(self, scene: Scene) -> None:
        """Turn every path of the scene into Qt's own."""
        self.scene = scene
        self._items = [
            (item, None if isinstance(item, Text) else _outline(item)) for item in scene.items
        ]

    def paint(self, painter: QPainter, palette: Palette, scale: float) -> None:
        """Draw with the scene's upper left corner at the painter's origin, ``scale`` px to a mm."""
        painter.save()
        painter.setRenderHints(
            QPainter.RenderHint.Antialiasing | QPainter.RenderHint.TextAntialiasing
        )
        painter.scale(scale, scale)
        for item, outline in self._items:
            if isinstance(item, Text):
                _draw_text(item, painter, palette)
            elif outline is not None:
                _draw_path(item.style, outline, painter, palette)
        painter.restore()

    def hit(self, x: float, y: float, slack: float = 0.0) -> str:
        """Return the key of the topmost part at (x, y) mm, or within ``slack`` mm; empty if none.

        A closed outline is hit inside, filled or not; an open one on its stroke.
        """
        return self._exact(x, y) or (self._near(x, y, slack) if slack > 0 else "")

    def _exact(self, x: float, y: float) -> str:
        point = QPointF(x, y)
        for item, outline in reversed(self._items):
            if item.key and _covers(item, outline, point):
                return item.key
        return ""

    def _near(self, x: float, y: float, slack: float) -> str:
        around = QRectF(x - slack, y - slack, 2 * slack, 2 * slack)
        for item, outline in reversed(self._items):
            if item.key and _touches(item, outline, around):
                return item.key
        return ""


def paint(scene: Scene, painter: QPainter, palette: Palette, scale: float) -> None:
    """Draw a scene once; a widget that repaints keeps a `Picture` instead."""
    Picture(scene).paint(painter, palette, scale)


def hit(scene: Scene, x: float, y: float, slack: float = 0.0) -> str:
    """Return the key of what lies at (x, y) mm of a scene, empty if nothing with a key does."""
    return Picture(scene).hit(x, y, slack)


def _outline(path: Path) -> QPainterPath:
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


def _closed(path: Path) -> bool:
    return any(op[0] == "Z" for op in path.ops)


def _covers(item: Path | Text, outline: QPainterPath | None, point: QPointF) -> bool:
    if isinstance(item, Text) or outline is None:
        return _box(item).contains(point)
    if not outline.boundingRect().adjusted(*_margins(item)).contains(point):
        return False
    return (_closed(item) and outline.contains(point)) or _stroked(item, outline).contains(point)


def _touches(item: Path | Text, outline: QPainterPath | None, around: QRectF) -> bool:
    if isinstance(item, Text) or outline is None:
        return _box(item).intersects(around)
    if not outline.boundingRect().adjusted(*_margins(item)).intersects(around):
        return False
    return _stroked(item, outline).intersects(around)


def _margins(path: Path) -> tuple[float, float, float, float]:
    half = path.style.width / 2 + 0.01
    return -half, -half, half, half


def _stroked(path: Path, outline: QPainterPath) -> QPainterPath:
    stroker = QPainterPathStroker()
    stroker.setWidth(max(path.style.width, 0.01))
    return stroker.createStroke(outline)


def _box(item: Path | Text) -> QRectF:
    left, top, right, bottom = bounds(item)
    return QRectF(left, top, right - left, bottom - top)


def _colour(role: str, palette: Palette, opacity: float = 1.0) -> QColor:
    colour = QColor(palette.colour(role))
    colour.setAlphaF(opacity)
    return colour


def _draw_path(style: Style, outline: QPainterPath, painter: QPainter, palette: Palette) -> None:
    if style.fill:
        painter.fillPath(outline, _colour(style.fill, palette, style.opacity))
    if style.stroke:
        painter.strokePath(outline, _pen(style, palette))


def _pen(style: Style, palette: Palette) -> QPen:
    pen = QPen(_colour(style.stroke or "ink", palette, style.opacity), style.width)
    pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
    pen.setCapStyle(Qt.PenCapStyle.FlatCap if style.dash else Qt.PenCapStyle.RoundCap)
    if style.dash and style.width > 0:
        pen.setDashPattern([length / style.width for length in style.dash])
    return pen


def _draw_text(text: Text, painter: QPainter, palette: Palette) -> None:
    painter.save()
    painter.translate(text.x, text.y)
    painter.scale(text.size / _DRAWN_AT, text.size / _DRAWN_AT)
    painter.setPen(_colour(text.color, palette))
    if font.missing(text.text):
        _draw_foreign(text, painter)
    else:
        _draw_glyphs(text, painter)
    painter.restore()


def _draw_glyphs(text: Text, painter: QPainter) -> None:
    """Set each glyph by our own advances: no kerning, no ligature, so the paper agrees."""
    known = font.face(bold=text.bold)
    indexes, places, x = [], [], 0.0
    for character in font.printable(text.text):
        indexes.append(known.glyphs[ord(character)])
        places.append(QPointF(x, 0.0))
        x += known.advance(character) * _DRAWN_AT
    run = QGlyphRun()
    run.setRawFont(_raw(text.bold))
    run.setGlyphIndexes(indexes)
    run.setPositions(places)
    painter.drawGlyphRun(QPointF(-_share(text) * x, 0.0), run)


def _draw_foreign(text: Text, painter: QPainter) -> None:
    """Draw what the family lacks with whatever fonts the machine has, in the room it was given."""
    laid = qfont(_DRAWN_AT, bold=text.bold)
    painter.setFont(laid)
    width = painter.fontMetrics().horizontalAdvance(text.text)
    room = font.width(text.text, _DRAWN_AT, bold=text.bold)
    if width > room:
        painter.scale(room / width, 1.0)
    painter.drawText(QPointF(-_share(text) * width, 0.0), text.text)


def _share(text: Text) -> float:
    return {"start": 0.0, "middle": 0.5, "end": 1.0}[text.anchor]
