"""Small cells to type into: a label above or at the head of a column, no more."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QGridLayout, QWidget

from hulllog.desktop.inputs import Line
from hulllog.desktop.labels import label
from hulllog.desktop.layout import column
from hulllog.desktop.theme import SMALL, step

if TYPE_CHECKING:
    from collections.abc import Sequence

WIDE = 76


class Cell(Line):
    """One value of the form, by its name; ``said`` is what a screen reader calls it."""

    changed = Signal()

    def __init__(self, name: str, said: str, *, width: int = WIDE) -> None:
        super().__init__()
        self.setObjectName(f"fit/{name}")
        self.setAccessibleName(said)
        self.setFixedWidth(width)
        self.name = name
        self.textChanged.connect(self._changed)
        self.entered.connect(lambda: self.focusNextPrevChild(True))

    def _changed(self) -> None:
        self.accepted = self.text()
        self.refuse(refused=False)
        self.changed.emit()

    def refuse(self, *, refused: bool) -> None:
        """Mark it as what the sentence below is about, or take the mark away."""
        if bool(self.property("refused")) != refused:
            self.setProperty("refused", refused)
            self.style().unpolish(self)
            self.style().polish(self)


def above(text: str, inside: QWidget) -> QWidget:
    """Put a label above a cell."""
    made = QWidget()
    said = label(text, SMALL, role="muted")
    said.setBuddy(inside)
    box = column(said, inside, space=0.5)
    box.setAlignment(inside, Qt.AlignmentFlag.AlignLeft)
    made.setLayout(box)
    return made


def table(heads: Sequence[str], rows: Sequence[Sequence[QWidget]]) -> QWidget:
    """Set cells in rows under the heads of their columns, as wide as they need."""
    made = QWidget()
    grid = QGridLayout()
    grid.setContentsMargins(0, 0, 0, 0)
    grid.setHorizontalSpacing(step(2))
    grid.setVerticalSpacing(step(1.5))
    for at, head in enumerate(heads):
        said = label(head, SMALL, role="muted")
        said.setWordWrap(True)
        grid.addWidget(said, 0, at, Qt.AlignmentFlag.AlignBottom)
    for number, row in enumerate(rows, 1):
        for at, widget in enumerate(row):
            grid.addWidget(widget, number, at, Qt.AlignmentFlag.AlignVCenter)
    grid.setColumnStretch(len(heads), 1)
    made.setLayout(grid)
    return made
