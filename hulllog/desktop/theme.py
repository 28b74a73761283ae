"""The look of the window: palettes, type, spacing, targets and icons.

Fusion wears a palette of our own for light, dark and sun.  Colour is asked for by role
(``ink``, ``muted``, ``action``), size by step, so that one switch changes all of it.
"""

from __future__ import annotations

import sys

from PySide6.QtCore import QByteArray, QObject, QRectF, Qt, Signal
from PySide6.QtGui import QColor, QFont, QFontMetrics, QIcon, QPainter, QPalette, QPixmap
from PySide6.QtSvg import QSvgRenderer
from PySide6.QtWidgets import QAbstractButton, QApplication, QLabel, QWidget

from hulllog.desktop.painter import load_fonts
from hulllog.desktop.preferences import Look
from hulllog.desktop.styling import sheet_of_style
from hulllog.drawing.font import FAMILY
from hulllog.drawing.icons import svg
from hulllog.drawing.palette import DARK, LIGHT, SUN, Palette
from hulllog.words import say

SMALL, BODY, LEAD, TITLE, DISPLAY = 11, 13, 16, 20, 28
"""The five type sizes, in pixels."""
ROW, TARGET = 32, 48
"""The height of a row, and of anything to be hit in the yard."""

_LARGER = {SMALL: 13, BODY: 16, LEAD: 20, TITLE: 20, DISPLAY: 28}
_PALETTES = {Look.LIGHT: LIGHT, Look.DARK: DARK, Look.SUN: SUN}


def step(count: float) -> int:
    """Return ``count`` steps of space in pixels; a step is 4."""
    return round(4 * count)


class Theme(QObject):
    """What the window wears now.  ``changed`` comes after all widgets have been told."""

    changed = Signal()

    def __init__(self, look: Look = Look.LIGHT) -> None:
        super().__init__()
        self._chosen = look
        self._colours: dict[str, QColor] = {}
        self.palette: Palette = LIGHT
        self._load()

    @property
    def chosen(self) -> Look:
        """The look as chosen, perhaps ``Look.SYSTEM``."""
        return self._chosen

    @property
    def look(self) -> Look:
        """The look that is worn: light, dark or sun."""
        if self._chosen is not Look.SYSTEM:
            return self._chosen
        hint = QApplication.styleHints().colorScheme()
        return Look.DARK if hint == Qt.ColorScheme.Dark else Look.LIGHT

    @property
    def row(self) -> int:
        """The height of a row: 32, or 48 in the yard."""
        return TARGET if self.look is Look.SUN else ROW

    def size(self, size: int) -> int:
        """Return a type size as worn: one larger in the yard."""
        return _LARGER.get(size, size) if self.look is Look.SUN else size

    def colour(self, role: str) -> QColor:
        """Return the colour of a role; a role that begins with # is a colour itself."""
        found = self._colours.get(role)
        if found is None:
            found = QColor(self.palette.colour(role))
            self._colours[role] = found
        return found

    def font(self, size: int = BODY, *, bold: bool = False) -> QFont:
        """Return the program's font at one of the five sizes."""
        font = QFont(FAMILY)
        font.setPixelSize(self.size(size))
        font.setWeight(QFont.Weight.DemiBold if bold else QFont.Weight.Normal)
        font.setHintingPreference(QFont.HintingPreference.PreferNoHinting)
        return font

    def metrics(self, size: int = BODY, *, bold: bool = False) -> QFontMetrics:
        """Return the measures of the program's font at one of the five sizes."""
        return QFontMetrics(self.font(size, bold=bold))

    def icon(self, name: str, role: str = "ink") -> QIcon:
        """Return one of our icons in the colour of a role, dimmed when disabled."""
        icon = QIcon(_picture(name, self.palette, role))
        icon.addPixmap(_picture(name, self.palette, "line"), QIcon.Mode.Disabled)
        return icon

    def wear(self, look: Look) -> None:
        """Put on another look at once, all over the window."""
        self._chosen = look
        self._load()
        self.dress(application())
        self.changed.emit()

    def dress(self, app: QApplication) -> None:
        """Give the application palette, style sheet and font, and every widget its type."""
        for widget in app.allWidgets():
            # A widget that was never shown would go back to its old font when it is.
            widget.ensurePolished()
        app.setPalette(self._qpalette())
        app.setFont(self.font())
        app.setStyleSheet(sheet_of_style(self.palette.roles))
        for widget in app.allWidgets():
            _dress(widget, self)

    def _load(self) -> None:
        self.palette = _PALETTES[self.look]
        self._colours.clear()

    def _qpalette(self) -> QPalette:
        worn = QPalette()
        for role, name in _ROLES.items():
            worn.setColor(role, self.colour(name))
        disabled = QPalette.ColorGroup.Disabled
        for role in (
            QPalette.ColorRole.Text,
            QPalette.ColorRole.WindowText,
            QPalette.ColorRole.ButtonText,
        ):
            worn.setColor(disabled, role, self.colour("muted"))
        return worn


_ROLES = {
    QPalette.ColorRole.Window: "paper",
    QPalette.ColorRole.WindowText: "ink",
    QPalette.ColorRole.Base: "sheet",
    QPalette.ColorRole.AlternateBase: "paper",
    QPalette.ColorRole.Text: "ink",
    QPalette.ColorRole.PlaceholderText: "muted",
    QPalette.ColorRole.Button: "sheet",
    QPalette.ColorRole.ButtonText: "ink",
    QPalette.ColorRole.BrightText: "sheet",
    QPalette.ColorRole.ToolTipBase: "sheet",
    QPalette.ColorRole.ToolTipText: "ink",
    QPalette.ColorRole.Highlight: "action",
    QPalette.ColorRole.HighlightedText: "on_action",
    QPalette.ColorRole.Link: "action",
    QPalette.ColorRole.LinkVisited: "action",
    QPalette.ColorRole.Accent: "action",
    QPalette.ColorRole.Light: "sheet",
    QPalette.ColorRole.Midlight: "line",
    QPalette.ColorRole.Mid: "line",
    QPalette.ColorRole.Dark: "muted",
    QPalette.ColorRole.Shadow: "line",
}

_worn: list[Theme] = []


def theme() -> Theme:
    """Return the theme that the application wears; a light one when none was put on."""
    if not _worn:
        _worn.append(Theme())
    return _worn[0]


def application() -> QApplication:
    """Return the application, made once, in our look."""
    app = QApplication.instance()
    if not isinstance(app, QApplication):
        app = QApplication(sys.argv[:1])
        app.setApplicationName("hulllog")
        app.setApplicationDisplayName(say("app.name"))
        app.setDesktopFileName("hulllog")
    return app


def put_on(app: QApplication, look: Look) -> Theme:
    """Give the application our style, font and palette, once at the start."""
    app.setStyle("Fusion")
    load_fonts()
    worn = theme()
    worn.wear(look)
    app.styleHints().colorSchemeChanged.connect(_follow_system)
    return worn


def typed(widget: QWidget, size: int = BODY, *, bold: bool = False, role: str = "") -> None:
    """Give a widget one of the five sizes and a colour role, kept when the look changes."""
    widget.setProperty("type", [size, bold, role])
    _dress(widget, theme())


def rowed(widget: QWidget) -> None:
    """Keep a widget at least a row high: 32, or 48 in the yard."""
    widget.setProperty("row", True)
    _dress(widget, theme())


def levelled(widget: QLabel, more: int = 0) -> None:
    """Set the first line of a label level with a row beside it, which is ``more`` pixels higher."""
    widget.setProperty("level", more)
    _dress(widget, theme())


def iconed(widget: QLabel | QAbstractButton, name: str, role: str = "ink") -> None:
    """Give a button or a label one of our icons, kept when the look changes."""
    widget.setProperty("icon_worn", [name, role])
    _dress(widget, theme())


def _dress(widget: QWidget, worn: Theme) -> None:
    kept = widget.property("type")
    if isinstance(kept, list):
        size, bold, role = kept
        widget.setFont(worn.font(int(size), bold=bool(bold)))
        if role:
            colors = widget.palette()
            colors.setColor(QPalette.ColorRole.WindowText, worn.colour(str(role)))
            widget.setPalette(colors)
    icon = widget.property("icon_worn")
    if isinstance(icon, list):
        picture = worn.icon(*icon)
        if isinstance(widget, QAbstractButton):
            widget.setIcon(picture)
        elif isinstance(widget, QLabel):
            widget.setPixmap(picture.pixmap(20, 20))
    more = widget.property("level")
    if isinstance(more, int) and not isinstance(more, bool):
        above = (worn.row + more - widget.fontMetrics().height()) // 2
        widget.setContentsMargins(0, max(above, 0), 0, 0)
    if widget.property("row"):
        widget.setMinimumHeight(worn.row)


def _follow_system() -> None:
    if theme().chosen is Look.SYSTEM:
        theme().wear(Look.SYSTEM)


def _picture(name: str, palette: Palette, role: str, size: int = 20) -> QPixmap:
    ratio = 2
    renderer = QSvgRenderer(QByteArray(svg(name, palette, role).encode()))
    picture = QPixmap(size * ratio, size * ratio)
    picture.fill(Qt.GlobalColor.transparent)
    painter = QPainter(picture)
    renderer.render(painter, QRectF(0, 0, size * ratio, size * ratio))
    painter.end()
    picture.setDevicePixelRatio(ratio)
    return picture
