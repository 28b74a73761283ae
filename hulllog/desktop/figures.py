"""Computed figures, each of which can show how it was worked out."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QWidget

from hulllog.desktop.buttons import link
from hulllog.desktop.labels import OfSum, Prose, label
from hulllog.desktop.layout import boxed, column, line, rule, scrolled
from hulllog.desktop.sheets import Sheet
from hulllog.desktop.theme import BODY, LEAD, step
from hulllog.words import say
from hulllog.words.working import figure_of, said

if TYPE_CHECKING:
    from hulllog.trade.working import Working


class Figure(QWidget):
    """A figure with its interval in brackets, and a small door to its working.

    ``show`` is the unit in which such figures are read.
    """

    def __init__(self, working: Working, *, show: str | None = None, size: int = BODY) -> None:
        super().__init__()
        text = figure_of(working, show=show)
        self.text = label(text, size, bold=size > BODY)
        self.door = working_link(self, working, show=show)
        self._opened = working, show
        self.setLayout(line(self.text, self.door, None, space=1))

    def open_working(self) -> Sheet:
        """Show the working."""
        working, show = self._opened
        return working_sheet(self, working, show=show)


def worded(sentence: str, *workings: Working | None, strong: bool = False) -> QWidget:
    """Show a sentence, and at its end the door to how it was worked out."""
    row = line(Prose(sentence, BODY, bold=strong), space=1)
    made = QWidget()
    known = [one for one in workings if one is not None]
    if known:
        row.addWidget(working_link(made, *known))
    made.setLayout(row)
    return made


def working_link(over: QWidget, *workings: Working, show: str | None = None) -> QWidget:
    """Return a small door that shows how a figure was worked out, and what it came from.

    ``show`` is the unit in which the first is read.
    """
    door = link(say("desktop.figure.working"), lambda: working_sheet(over, *workings, show=show))
    name = say(f"working.{workings[0].name}")
    figure = figure_of(workings[0], show=show)
    door.setAccessibleName(say("desktop.figure.working_of", name=name, figure=figure))
    return door


def working_sheet(over: QWidget, *workings: Working, show: str | None = None) -> Sheet:
    """Show formula, inputs, source, interval and cautions of a figure, and of those behind it."""
    told = [said(one, show=None if number else show) for number, one in enumerate(workings)]
    sheet = Sheet(over, told[0].title, width=_WIDE)
    inside = column(space=3)
    for number, one in enumerate(told):
        if number:
            inside.addWidget(rule())
            inside.addWidget(Prose(one.title, LEAD, bold=True))
        inside.addWidget(Prose(one.figure, BODY if number else LEAD, bold=True))
        for text in one.lines:
            inside.addWidget(OfSum(text))
    sheet.add(_room(boxed(inside)))
    sheet.open()
    return sheet


_WIDE, _INSIDE, _TALLEST = 560, 500, 420
"""Pixels: the width of the sheet, of what stands in it, and the most height before it scrolls."""


def _room(inside: QWidget) -> QWidget:
    """Give a text the height that it needs at its width; a long one scrolls, by keyboard too."""
    needed = inside.heightForWidth(_INSIDE)
    area = scrolled(inside)
    if needed > _TALLEST:
        area.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        area.setAccessibleName(say("desktop.figure.working"))
    area.setMinimumHeight(min(needed, _TALLEST) + step(1))
    return area
