"""Computed figures, each of which can show how it was worked out."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtWidgets import QWidget

from hulllog.desktop.buttons import link
from hulllog.desktop.labels import OfSum, Prose, label
from hulllog.desktop.layout import line
from hulllog.desktop.sheets import Sheet
from hulllog.desktop.theme import BODY, LEAD
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
        self._working = working
        self._show = show
        text = figure_of(working, show=show)
        self.text = label(text, size, bold=size > BODY)
        self.door = link(say("desktop.figure.working"), self.open_working)
        name = say(f"working.{working.name}")
        self.door.setAccessibleName(say("desktop.figure.working_of", name=name, figure=text))
        self.setLayout(line(self.text, self.door, None, space=1))

    def open_working(self) -> Sheet:
        """Show the working."""
        return working_sheet(self, self._working, show=self._show)


def working_sheet(over: QWidget, working: Working, *, show: str | None = None) -> Sheet:
    """Show formula, inputs, source, interval and cautions of a figure."""
    told = said(working, show=show)
    sheet = Sheet(over, told.title)
    sheet.add(Prose(told.figure, LEAD, bold=True))
    sheet.add(*(OfSum(text) for text in told.lines))
    sheet.open()
    return sheet
