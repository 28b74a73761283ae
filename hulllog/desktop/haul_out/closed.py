"""What is seen after a haul-out was closed: what it held, and the way to a new one."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QWidget

from hulllog.desktop.buttons import button
from hulllog.desktop.haul_out.steps import STEPS, held_text
from hulllog.desktop.labels import Prose
from hulllog.desktop.layout import Card, column, facts, line
from hulllog.insight.leading import never_to_be_had
from hulllog.insight.yard import progress
from hulllog.words import say, say_n

if TYPE_CHECKING:
    from hulllog.desktop.state import State
    from hulllog.records.model import Visit

_WIDTH = 760


class ClosedPanel(QWidget):
    """Says step by step what a closed haul-out holds.  ``begin`` asks for the short form."""

    begin = Signal()

    def __init__(self, state: State) -> None:
        super().__init__()
        self._state = state
        self._card = Card(say("haul_out.closed.holds"))
        self.new = button(say("haul_out.closed.begin"), self.begin.emit, primary=True)
        self.new.setProperty("writes", True)
        held = QWidget()
        held.setMaximumWidth(_WIDTH)
        inside = column(self._card, space=3)
        inside.addLayout(line(None, self.new))
        held.setLayout(inside)
        box = column(held)
        box.addStretch(1)
        self.setLayout(box)

    def show_visit(self, visit: Visit) -> None:
        """Show what a haul-out holds."""
        held = self._state.read(lambda book: progress(book, visit.id))
        told = [
            (say(f"haul_out.step.{step.stage}"), text)
            for step in STEPS
            if (text := held_text(step, held))
        ]
        told.append((say("page.findings"), say_n("haul_out.closed.findings", held.findings)))
        self._card.clear()
        self._card.add(facts(told))
        now = self._state.logbook.around.now()
        missed = self._state.read(lambda book: never_to_be_had(book, visit.id, now))
        if missed:
            what = "; ".join(say(f"led.{code}") for code in missed)
            self._card.add(Prose(say("haul_out.closed.missed", what=what)))
        self._card.add(Prose(say("haul_out.closed.kept"), role="muted"))

    def start(self) -> QWidget:
        """Return what the keyboard starts at."""
        self.new.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        return self.new
