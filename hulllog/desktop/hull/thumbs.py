"""The other views of the hull as thumbnails that live: a press puts one in the large place."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QRect, QSize, Qt, Signal
from PySide6.QtGui import QPainter, QPaintEvent, QPixmap
from PySide6.QtWidgets import QSizePolicy, QWidget

from hulllog.desktop.buttons import Drawn
from hulllog.desktop.canvas import PIXELS_PER_MM
from hulllog.desktop.labels import elided
from hulllog.desktop.layout import clear, line
from hulllog.desktop.painter import Picture
from hulllog.desktop.theme import SMALL, step, theme
from hulllog.words import say

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hulllog.desktop.hull.pictures import Draw

VIEWS = ("port", "starboard", "bottom", "expansion", "stern")
"""The views in the order of their keys 1 to 5."""
HEIGHT = 64
MOST_KEYS = 9
"""Views that have a digit for a key."""
_CAP = 16


class Thumbnail(Drawn):
    """One view, small, with its name and its key."""

    def __init__(self, view: str, name: str, number: int) -> None:
        self._key = str(number) if number <= MOST_KEYS else ""
        super().__init__(name)
        self._name = name
        self._draw: Draw | None = None
        self._pixmap: QPixmap | None = None
        self.view = view
        if self._key:
            self.setAccessibleDescription(say("desktop.choice.key", key=self._key))
        self.setProperty("row", False)
        # The row of the look that it was made in would else be all that it is sure of.
        self.setMinimumHeight(HEIGHT)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        theme().changed.connect(self._forget)

    def show_drawing(self, draw: Draw) -> None:
        """Show the view as ``draw`` draws it."""
        self._draw = draw
        self._forget()

    def sizeHint(self) -> QSize:
        """Ask for a small place."""
        return QSize(160, HEIGHT)

    def minimumSizeHint(self) -> QSize:
        """Be content with less."""
        return QSize(80, HEIGHT)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw ground, key, name and view."""
        painter = QPainter(self)
        fill = theme().colour("select" if self._hovered else "sheet")
        self.ground(painter, fill, theme().colour("line"))
        painter.drawPixmap(self._inside().topLeft(), self._drawn())
        self._caption(painter)
        painter.end()

    def _inside(self) -> QRect:
        return self.rect().adjusted(step(1), step(5), -step(1), -step(1))

    def _drawn(self) -> QPixmap:
        inside = self._inside()
        ratio = self.devicePixelRatioF()
        if self._pixmap is None or self._pixmap.size() != inside.size() * ratio:
            self._pixmap = QPixmap(inside.size() * ratio)
            self._pixmap.setDevicePixelRatio(ratio)
            self._pixmap.fill(Qt.GlobalColor.transparent)
            if self._draw is not None:
                size = inside.size().toSizeF() / PIXELS_PER_MM
                scene = self._draw(size.width(), size.height()).scene
                painter = QPainter(self._pixmap)
                Picture(scene).paint(painter, theme().palette, PIXELS_PER_MM)
                painter.end()
        return self._pixmap

    def _caption(self, painter: QPainter) -> None:
        painter.setFont(theme().font(SMALL))
        cap = QRect(step(1.5), step(1.5), _CAP if self._key else 0, _CAP)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        if self._key:
            painter.setPen(theme().colour("edge"))
            painter.drawRoundedRect(cap, 3, 3)
        painter.setPen(theme().colour("muted"))
        painter.drawText(cap, Qt.AlignmentFlag.AlignCenter, self._key)
        area = QRect(cap.right() + step(1.5), cap.top(), self.width() - cap.right() - 16, _CAP)
        text = elided(self._name, painter.fontMetrics(), area)
        painter.drawText(area, int(Qt.AlignmentFlag.AlignVCenter), text)

    def _forget(self) -> None:
        self._pixmap = None
        self.update()


class Thumbnails(QWidget):
    """The views that are not in the large place.  ``chosen`` brings the one that was pressed."""

    chosen = Signal(str)

    def __init__(self) -> None:
        super().__init__()
        self._all: dict[str, Thumbnail] = {}
        self._named: tuple[tuple[str, str], ...] = ()
        self._row = line(space=2)
        self.setLayout(self._row)
        self.offer([(view, say(f"view.{view}")) for view in VIEWS])

    def offer(self, views: Sequence[tuple[str, str]]) -> None:
        """Offer these views, each with its name; their keys are their numbers."""
        if tuple(views) == self._named:
            return
        self._named = tuple(views)
        clear(self._row)
        self._all = {}
        for number, (view, name) in enumerate(views, 1):
            made = Thumbnail(view, name, number)
            made.clicked.connect(lambda _checked, view=view: self.chosen.emit(view))
            self._row.addWidget(made)
            self._all[view] = made

    def hide_view(self, large: str) -> None:
        """Leave out the view that stands in the large place."""
        for view, thumbnail in self._all.items():
            thumbnail.setVisible(view != large)

    def show_drawing(self, view: str, draw: Draw) -> None:
        """Show one of the views as ``draw`` draws it."""
        self._all[view].show_drawing(draw)
