"""What is seen after a haul-out was closed: what it held, and the way to a new one."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QWidget

from hulllog.desktop.buttons import button
from hulllog.desktop.haul_out.facts import open_text
from hulllog.desktop.haul_out.steps import STEPS, held_text
from hulllog.desktop.labels import Prose
from hulllog.desktop.layout import Card, boxed, column, facts, line
from hulllog.drawing.keptplans import uncoated_text
from hulllog.insight.leading import never_to_be_had
from hulllog.insight.matters import notes_for_next_time
from hulllog.insight.plans import left_uncoated
from hulllog.insight.yard import before_relaunch, progress
from hulllog.records.operations.plans import carry_over
from hulllog.words import say, say_n

if TYPE_CHECKING:
    from hulllog.desktop.state import State
    from hulllog.records.book import Book
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
        self._carried = Card(say("haul_out.carried"))
        self._carried.hide()
        inside = column(self._card, self._carried, space=3)
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
        due = self._state.read(before_relaunch)
        if due:
            self._card.add(Prose(open_text(due), bold=True))
        now = self._state.logbook.around.now()
        missed = self._state.read(lambda book: never_to_be_had(book, visit.id, now))
        if missed:
            what = "; ".join(say(f"led.{code}") for code in missed)
            self._card.add(Prose(say("haul_out.closed.missed", what=what)))
        self._card.add(Prose(say("haul_out.closed.kept"), role="muted"))
        self._show_carried(visit.id)

    def _show_carried(self, visit_id: str) -> None:
        """Offer what the plan left uncoated as notes for next time, where they are none yet."""
        left, known = self._state.read(lambda book: (left_uncoated(book, visit_id), _notes(book)))
        areas = dict.fromkeys(area for _, area in left)
        texts = [text for area in areas if (text := uncoated_text(area)) not in known]
        self._carried.clear()
        self._carried.setVisible(bool(texts))
        if not texts:
            return
        keep = button(say("haul_out.carried_keep"))
        keep.setObjectName("haul_out/carry_over")
        keep.setProperty("writes", True)
        keep.setEnabled(not self._state.read_only)
        keep.clicked.connect(
            lambda: self._state.run(
                lambda logbook: carry_over(logbook, visit_id, texts),
                done=lambda _keys: self._show_carried(visit_id),
                initiator=self,
                owner=self,
            )
        )
        self._carried.add(Prose(say("haul_out.carried_under"), role="muted"))
        self._carried.add(*(Prose(text) for text in texts), boxed(line(keep, None)))

    def start(self) -> QWidget:
        """Return what the keyboard starts at."""
        self.new.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        return self.new


def _notes(book: Book) -> set[str]:
    return {one.text for one in notes_for_next_time(book)}
