"""A line of text that offers what was so last time: greyed, and taken by one key."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QEvent, QObject, Qt
from PySide6.QtGui import QKeyEvent

from hulllog.desktop.choice import KeyedButton, Option
from hulllog.desktop.fields import TextField
from hulllog.words import say

if TYPE_CHECKING:
    from collections.abc import Sequence

LAST_KEY = "="
"""The key that takes what was so last time, in a field, a row or the walk."""


class LastTimeField(TextField):
    """A text; while it is empty, "=" takes the value of last time and goes on."""

    def __init__(self, text: str, *, known: Sequence[str] = (), **rest: Any) -> None:
        self._last = ""
        self._take = KeyedButton(Option("last", say("haul_out.as_last_time"), LAST_KEY))
        self._take.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self._take.hide()
        super().__init__(text, known=known, after=[self._take], **rest)
        self._take.clicked.connect(self.take_last)
        self.entry.installEventFilter(self)
        self.entry.textChanged.connect(self._show_offer)

    def offer(self, value: str | None) -> None:
        """Offer what was so last time; None offers nothing."""
        self._last = value or ""
        self.entry.setPlaceholderText(self._last)
        named = say("haul_out.as_last_time_is", value=self._last)
        self._take.setAccessibleName(named)
        self._show_offer()

    def take_last(self) -> None:
        """Take what was so last time, and go on."""
        self.type_text(self._last)
        self.focusNextPrevChild(True)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Take what was so last time at its key, while nothing else is typed."""
        if (
            event.type() == QEvent.Type.KeyPress
            and isinstance(event, QKeyEvent)
            and event.text() == LAST_KEY
            and self._last
            and not self.text()
        ):
            self.take_last()
            return True
        return super().eventFilter(watched, event)

    def _show_offer(self) -> None:
        self._take.setVisible(bool(self._last) and not self.text())
