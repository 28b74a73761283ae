"""Inputs of text that tell when they are left, and leave undo to the window when nothing is new."""

from __future__ import annotations

from PySide6.QtCore import QEvent, Qt, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent, QKeySequence
from PySide6.QtWidgets import QLineEdit, QPlainTextEdit, QSizePolicy

from hulllog.desktop.theme import rowed, step, typed

ENTER = frozenset({Qt.Key.Key_Return, Qt.Key.Key_Enter})


def _turns_back(event: QEvent) -> bool:
    """Tell whether an event asks whose Ctrl+Z or redo key it is."""
    if event.type() != QEvent.Type.ShortcutOverride or not isinstance(event, QKeyEvent):
        return False
    keys = QKeySequence.StandardKey
    return event.matches(keys.Undo) or event.matches(keys.Redo)


class Line(QLineEdit):
    """One line of text.  Undo goes to the window when the line holds nothing new."""

    left = Signal()
    given_up = Signal()
    entered = Signal()

    def __init__(self) -> None:
        super().__init__()
        self.accepted = ""
        typed(self)
        rowed(self)

    def event(self, event: QEvent) -> bool:
        """Let Ctrl+Z and its like through to the window unless there is typing to take back."""
        if _turns_back(event) and self.text() == self.accepted:
            event.ignore()
            return False
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter keeps, Esc gives up; Ctrl+Enter is for what the line stands in."""
        enter = event.key() in ENTER
        if event.key() == Qt.Key.Key_Escape and self.text() != self.accepted:
            self.given_up.emit()
        elif enter and event.modifiers() & Qt.KeyboardModifier.ControlModifier:
            event.ignore()
        elif enter:
            self.entered.emit()
        else:
            super().keyPressEvent(event)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Tell that the line was left, unless only a menu opened."""
        super().focusOutEvent(event)
        if event.reason() != Qt.FocusReason.PopupFocusReason:
            self.left.emit()


class Area(QPlainTextEdit):
    """Lines of text.  Tab leaves; Enter is a line break, Ctrl+Enter keeps."""

    left = Signal()
    given_up = Signal()
    entered = Signal()

    def __init__(self, rows: int) -> None:
        super().__init__()
        self.accepted = ""
        self._rows = rows
        self.setTabChangesFocus(True)
        typed(self)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.textChanged.connect(self._grow)
        self._grow()

    def text(self) -> str:
        """Return what stands in it."""
        return self.toPlainText()

    def setText(self, text: str) -> None:
        """Put a text into it."""
        self.setPlainText(text)
        self._grow()

    def event(self, event: QEvent) -> bool:
        """Let Ctrl+Z and its like through to the window unless there is typing to take back."""
        if _turns_back(event) and self.text() == self.accepted:
            event.ignore()
            return False
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Ctrl+Enter keeps, Esc gives up."""
        enter = event.key() in ENTER
        if event.key() == Qt.Key.Key_Escape and self.text() != self.accepted:
            self.given_up.emit()
        elif enter and event.modifiers() & Qt.KeyboardModifier.ControlModifier:
            self.entered.emit()
        else:
            super().keyPressEvent(event)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Tell that the text was left."""
        super().focusOutEvent(event)
        if event.reason() != Qt.FocusReason.PopupFocusReason:
            self.left.emit()

    def _grow(self) -> None:
        lines = min(max(self._rows, self.document().lineCount()), self._rows + 6)
        self.setFixedHeight(lines * self.fontMetrics().lineSpacing() + step(5))
