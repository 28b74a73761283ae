"""Buttons that open a menu: a text, and at its end the mark that more stands below."""

from __future__ import annotations

from PySide6.QtCore import QSize, Qt
from PySide6.QtWidgets import QMenu, QToolButton

from hulllog.desktop.theme import iconed, rowed, typed


class MenuButton(QToolButton):
    """Opens a menu at a press, Enter, Space or the arrow down."""

    def __init__(self) -> None:
        super().__init__()
        self.setPopupMode(QToolButton.ToolButtonPopupMode.InstantPopup)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextBesideIcon)
        self.setIconSize(QSize(16, 16))
        # So that the mark stands behind the text.
        self.setLayoutDirection(Qt.LayoutDirection.RightToLeft)
        menu = QMenu(self)
        menu.setLayoutDirection(Qt.LayoutDirection.LeftToRight)
        self.setMenu(menu)
        typed(self)
        rowed(self)
        iconed(self, "open")
