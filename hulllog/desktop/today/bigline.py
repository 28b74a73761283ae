"""A line of *Today*: a sentence large enough to be read out, its key, and where it leads."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QRect, QSize, Qt
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from hulllog.desktop.buttons import Drawn
from hulllog.desktop.labels import Prose, muted, tip
from hulllog.desktop.layout import icon_mark, line
from hulllog.desktop.theme import LEAD, SMALL, step, theme
from hulllog.words import say

if TYPE_CHECKING:
    from hulllog.desktop.buttons import Slot

MOST_LETTERS = 300
"""Letters of a sentence that are shown; the whole of a longer one is its tip and its name."""
_CAP = 24


class BigLine(Drawn):
    """A row with a key cap, a sentence that wraps, and at its end where it leads.

    Without ``on`` it leads nowhere and has no key.
    """

    def __init__(
        self,
        sentence: str,
        where: str,
        key: str = "",
        on: Slot | None = None,
        *,
        after: QWidget | None = None,
    ) -> None:
        super().__init__(sentence)
        self.key = key if on is not None else ""
        self.sentence = sentence
        shown = sentence if len(sentence) <= MOST_LETTERS else sentence[: MOST_LETTERS - 1] + "…"
        tip(self, sentence if shown != sentence else "")
        self._text = Prose(shown, LEAD)
        self._lay_out(where if on is not None else "", after, door=on is not None)
        policy = QSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Minimum)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)
        if self.key:
            self.setAccessibleDescription(say("today_page.key", where=where, key=self.key))
        if on is not None:
            self.clicked.connect(lambda _checked: on())
        else:
            self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
            self.setCursor(Qt.CursorShape.ArrowCursor)

    def _lay_out(self, where: str, after: QWidget | None, *, door: bool) -> None:
        end = muted(where)
        row = line(space=3)
        row.addWidget(self._text, 1, Qt.AlignmentFlag.AlignVCenter)
        row.addWidget(end)
        if after is not None:
            row.addWidget(after)
        if door:
            row.addWidget(icon_mark("door", "muted"))
        row.setContentsMargins(step(3) + _CAP + step(3), step(3), step(3), step(3))
        self.setLayout(row)
        for widget in (self._text, end):
            widget.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)

    def sizeHint(self) -> QSize:
        """Ask for what the sentence needs."""
        return self.minimumSizeHint()

    def minimumSizeHint(self) -> QSize:
        """Be content with one line."""
        layout = self.layout()
        needed = layout.minimumSize() if layout is not None else QSize()
        return needed.expandedTo(QSize(200, theme().row + step(4)))

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw the ground and the key."""
        painter = QPainter(self)
        lit = self._hovered and self.focusPolicy() != Qt.FocusPolicy.NoFocus
        self.ground(painter, theme().colour("select") if lit else None, None)
        cap = QRect(step(3), (self.height() - _CAP) // 2, _CAP, _CAP)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.setFont(theme().font(SMALL, bold=True))
        if self.key:
            painter.setPen(theme().colour("edge"))
            painter.drawRoundedRect(cap, 4, 4)
            painter.setPen(theme().colour("muted"))
            painter.drawText(cap, Qt.AlignmentFlag.AlignCenter, self.key)
        else:
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(theme().colour("line"))
            painter.drawEllipse(cap.center(), 3, 3)
        painter.end()
