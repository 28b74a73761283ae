"""The areas of her skin below the drawing: each with its figure and a door to its working."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtWidgets import QWidget

from hulllog.desktop.figures import working_link
from hulllog.desktop.labels import Prose, label, muted
from hulllog.desktop.layout import boxed, clear, column, flowing, line
from hulllog.desktop.theme import BODY, step
from hulllog.insight.boat import skin
from hulllog.words import formats, say
from hulllog.words.working import figure_of

if TYPE_CHECKING:
    from hulllog.insight.boat import BoatForm
    from hulllog.trade.working import Working


class Areas(QWidget):
    """Shows the areas of a form, and where its particulars contradict one another."""

    def __init__(self) -> None:
        super().__init__()
        self.setAccessibleName(say("boat_page.areas"))
        self._rows = column(space=1)
        self._rows.setContentsMargins(step(3), step(1), step(3), step(2))
        self.setLayout(self._rows)

    def show_form(self, form: BoatForm) -> None:
        """Show the areas of a form."""
        clear(self._rows)
        self._rows.addWidget(flowing(*(_figure(one) for one in skin(form)), space=3))
        if form.disagreement:
            asked, got = (formats.quantity(one, "kg") for one in form.disagreement)
            self._rows.addWidget(Prose(say("boat_page.disagree", asked=asked, got=got), BODY))


def _figure(working: Working) -> QWidget:
    made = line(muted(say(f"boat_page.{working.name}")), label(figure_of(working)), space=1.5)
    held = boxed(made)
    made.addWidget(working_link(held, working))
    return held
