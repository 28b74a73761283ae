"""The areas of her skin below the drawing: each with its figure and a door to its working."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtWidgets import QWidget

from hulllog.desktop.anodes.questions import Questions
from hulllog.desktop.boat.asked import WIDTH
from hulllog.desktop.buttons import link
from hulllog.desktop.fields import AreaField, TextField
from hulllog.desktop.figures import working_link
from hulllog.desktop.hull.storing import store
from hulllog.desktop.labels import Prose, label, muted
from hulllog.desktop.layout import boxed, clear, column, flowing, line
from hulllog.desktop.theme import BODY, step
from hulllog.insight.boat import skin
from hulllog.records.operations import vessel
from hulllog.words import formats, say
from hulllog.words.working import figure_of

if TYPE_CHECKING:
    from hulllog.desktop.pages import Page
    from hulllog.insight.boat import AreaTold, BoatForm
    from hulllog.trade.working import Working


class Areas(QWidget):
    """Shows the areas of a form, and where its particulars contradict one another."""

    def __init__(self, page: Page) -> None:
        super().__init__()
        self._page = page
        self.setAccessibleName(say("boat_page.areas"))
        self._rows = column(space=1)
        self._rows.setContentsMargins(step(3), step(1), step(3), step(2))
        self.setLayout(self._rows)

    def _ask(self, told: AreaTold) -> None:
        AreaSheet(self._page, told).ask()

    def show_form(self, form: BoatForm, told: AreaTold) -> None:
        """Show the areas of a form, and what the litres used and the owner say of one of them."""
        clear(self._rows)
        figures: list[QWidget] = [_figure(one, one.name) for one in skin(form)]
        beside = (("area_by_litres", told.by_litres), ("area_corrected", told.corrected))
        self.correcting = link(say("boat_page.correct_areas"), lambda: self._ask(told))
        self.correcting.setEnabled(self._page.state.read_only is None)
        figures[1:1] = [
            *(_figure(one, code) for code, one in beside if one is not None), self.correcting,
        ]  # fmt: skip
        self._rows.addWidget(flowing(*figures, space=3))
        if form.disagreement:
            asked, got = (formats.quantity(one, "kg") for one in form.disagreement)
            self._rows.addWidget(Prose(say("boat_page.disagree", asked=asked, got=got), BODY))


class AreaSheet(Questions):
    """Asks by how much the areas that antifouling covers are corrected, and why."""

    def __init__(self, page: Page, told: AreaTold) -> None:
        super().__init__(
            page,
            say("boat_page.areas_title"),
            under=say("boat_page.areas_under"),
            accept_text=say("do.done"),
            on_accept=self._store,
            width=WIDTH,
        )
        self._page = page
        check = page.state.checker(vessel.AREA_FACTOR, "factor")
        self.factor = TextField(say("boat_page.area_factor"), check=check)
        self.reason = AreaField(say("boat_page.reason"), rows=2)
        self.factor.show_value(formats.figure(told.factor) if told.factor else "")
        self.reason.show_value(told.reason)
        self.add(self.factor, self.reason)

    def ask(self) -> AreaSheet:
        """Show it, the keyboard at the factor."""
        self.open()
        self.factor.entry.setFocus()
        return self

    def _store(self) -> bool:
        store(
            self._page, self, vessel.correct_areas,
            fields={"factor": self.factor, "reason": self.reason},
            factor=self.factor.typed() or None, reason=self.reason.typed(),
        )  # fmt: skip
        return False


def _figure(working: Working, code: str) -> QWidget:
    made = line(muted(say(f"boat_page.{code}")), label(figure_of(working)), space=1.5)
    held = boxed(made)
    made.addWidget(working_link(held, working))
    return held
