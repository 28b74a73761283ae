"""Rows of a card: a label, what is said of it, and a small door to its working."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QWidget

from hulllog.desktop.figures import working_link
from hulllog.desktop.labels import Prose, muted
from hulllog.desktop.layout import column, line
from hulllog.desktop.theme import BODY

if TYPE_CHECKING:
    from hulllog.trade.working import Working

LABEL = 92
"""The width of the labels."""
_LOWER = 3
"""How much lower a text stands than a door beside it, so that both share a line."""


def row(
    label: str,
    text: str,
    *workings: Working | None,
    bold: bool = False,
    show: str | None = None,
) -> QWidget:
    """Return a label, a text that wraps, and a door to the workings of its figure."""
    name = muted(label)
    name.setFixedWidth(LABEL)
    name.setWordWrap(True)
    made = QWidget()
    box = line(space=2)
    said = Prose(text, BODY, bold=bold)
    for widget, stretch in ((name, 0), (said, 1)):
        lowered = column(widget, space=0)
        lowered.setContentsMargins(0, _LOWER, 0, 0)
        lowered.addStretch(1)
        box.addLayout(lowered, stretch)
    told = [one for one in workings if one is not None]
    if told:
        box.addWidget(working_link(made, *told, show=show), 0, Qt.AlignmentFlag.AlignTop)
    made.setLayout(box)
    return made
