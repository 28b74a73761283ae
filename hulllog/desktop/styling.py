"""The style sheet: small, and made of colour roles, spacing steps and nothing else.

Fonts are set on widgets, never here: a font in a style sheet would override them.
"""

from __future__ import annotations

from string import Template
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Mapping

_SHEET = Template("""
QWidget#strip, QWidget#frame, QScrollArea, QScrollArea > QWidget > QWidget { background: $paper; }
QScrollArea { border: none; }
QWidget[ground="sheet"], QWidget[ground="sheet"] QScrollArea > QWidget > QWidget {
  background: $sheet; }
QFrame[card="true"] { background: $sheet; border: 1px solid $line; border-radius: 4px; }
QFrame[banner="true"] { background: $select; border: none; border-bottom: 1px solid $line; }
QLabel[stamp="true"] { border: 1px solid $action; border-radius: 4px; padding: 0 4px; }
QFrame[rule="true"] { background: $line; border: none; }

QPushButton, QToolButton {
  background: $sheet; color: $ink; border: 1px solid $edge; border-radius: 4px; padding: 4px 12px; }
QPushButton:hover, QToolButton:hover { border-color: $action; }
QPushButton:focus, QToolButton:focus { border: 2px solid $action; padding: 3px 11px; }
QPushButton:pressed, QToolButton:pressed { background: $select; }
QPushButton:disabled, QToolButton:disabled { color: $muted; border-color: $line; }
QPushButton[primary="true"] {
  background: $action; color: $on_action; border-color: $action; font-weight: 600; }
QPushButton[primary="true"]:hover, QPushButton[primary="true"]:pressed {
  background: $water_deep; border-color: $water_deep; }
QPushButton[primary="true"]:focus { border: 2px solid $ink; }
QPushButton[primary="true"]:disabled { background: $line; border-color: $line; color: $muted; }
QPushButton[link="true"] {
  background: transparent; border: 1px solid transparent; color: $action; padding: 2px 4px; }
QPushButton[link="true"]:hover { text-decoration: underline; }
QPushButton[link="true"]:focus { border: 2px solid $action; padding: 1px 3px; }
QToolButton { padding: 4px; }
QToolButton:focus { padding: 3px; }
QToolButton[flat="true"] { background: transparent; border-color: transparent; }
QToolButton[flat="true"]:hover { border-color: $edge; }
QToolButton[flat="true"]:focus { border: 2px solid $action; }
QToolButton::menu-indicator { image: none; }

QLineEdit, QPlainTextEdit, QComboBox {
  background: $sheet; color: $ink; border: 1px solid $edge; border-radius: 4px; padding: 4px 8px;
  selection-background-color: $action; selection-color: $on_action; }
QLineEdit:focus, QPlainTextEdit:focus, QComboBox:focus {
  border: 2px solid $action; padding: 3px 7px; }
QLineEdit[refused="true"], QPlainTextEdit[refused="true"], QComboBox[refused="true"] {
  border: 2px solid $ink; padding: 3px 7px; }
QLineEdit:read-only, QPlainTextEdit[readOnly="true"] { background: $paper; border-color: $line; }
QComboBox::drop-down { border: none; width: 22px; }

QMenuBar { background: $paper; color: $ink; border: none; padding: 2px 4px; }
QMenuBar::item { background: transparent; padding: 4px 8px; border-radius: 4px; }
QMenuBar::item:selected { background: $select; }
QMenu { background: $sheet; color: $ink; border: 1px solid $edge; padding: 4px; }
QMenu::item { padding: 6px 24px 6px 12px; border-radius: 4px; }
QMenu::item:selected { background: $select; color: $ink; }
QMenu::item:disabled { color: $muted; }
QMenu::separator { height: 1px; background: $line; margin: 4px 8px; }
QToolTip { background: $sheet; color: $ink; border: 1px solid $edge; padding: 4px; }

QProgressBar { background: $line; border: none; border-radius: 2px; max-height: 4px; }
QProgressBar::chunk { background: $action; border-radius: 2px; }
QScrollBar:vertical { background: transparent; width: 10px; margin: 0; }
QScrollBar::handle:vertical {
  background: $edge; border-radius: 2px; min-height: 32px; margin: 3px; }
QScrollBar:horizontal { background: transparent; height: 10px; margin: 0; }
QScrollBar::handle:horizontal {
  background: $edge; border-radius: 2px; min-width: 32px; margin: 3px; }
QScrollBar::add-line, QScrollBar::sub-line { width: 0; height: 0; }
QScrollBar::add-page, QScrollBar::sub-page { background: transparent; }
QTableView, QListView, QTreeView {
  background: $sheet; border: 1px solid $line; border-radius: 4px; gridline-color: $line;
  selection-background-color: $select; selection-color: $ink; }
QHeaderView { background: $sheet; border: none; }
QTableCornerButton::section {
  background: $sheet; border: none; border-bottom: 1px solid $line; }
QHeaderView::section {
  background: $sheet; color: $muted; border: none; border-bottom: 1px solid $line;
  padding: 4px 8px; }
QSplitter::handle { background: $line; }
""")


def sheet_of_style(roles: Mapping[str, str]) -> str:
    """Return the style sheet in the colours of ``roles``."""
    return _SHEET.substitute(roles)
