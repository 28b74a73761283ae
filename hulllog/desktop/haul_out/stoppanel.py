"""One zone of the walk: its name, what was seen last time, and the answers."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent, QPainter, QPaintEvent
from PySide6.QtWidgets import QWidget

from hulllog.desktop.cards.entry import grade_row, may_rate_by_digit
from hulllog.desktop.haul_out.answers import answers_row
from hulllog.desktop.haul_out.section import focus_on
from hulllog.desktop.labels import Elided, Prose
from hulllog.desktop.layout import clear, column
from hulllog.desktop.photos.strip import PhotoStrip
from hulllog.desktop.theme import BODY, LEAD, TITLE, step, theme
from hulllog.trade import kinds
from hulllog.words import say, say_code
from hulllog.words.formats import joined, partial_date, share
from hulllog.words.telling import in_full, kind_name

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from hulllog.desktop.choice import Choice
    from hulllog.desktop.state import State
    from hulllog.insight.placed import PhotoSeen
    from hulllog.insight.walking import Seen, Stop
    from hulllog.records.values import PartialDate


class ZoneName(Prose):
    """The name of the zone, where the keyboard waits for the letter of an answer.

    Enter means nothing here: whoever pressed it to begin the walk, or to choose a photograph, has
    answered nothing yet.
    """

    def __init__(self, step_on: Callable[[], object]) -> None:
        super().__init__("", TITLE, bold=True)
        self._step_on = step_on
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Go to the row of answers with the arrows; leave letters to what is around."""
        if event.key() in (Qt.Key.Key_Down, Qt.Key.Key_Right):
            self._step_on()
        else:
            event.ignore()

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Show that the keyboard is here."""
        super().focusInEvent(event)
        self.update()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Show that it is gone."""
        super().focusOutEvent(event)
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the name, and a line under it while the keyboard waits here."""
        super().paintEvent(event)
        if self.hasFocus():
            painter = QPainter(self)
            painter.fillRect(0, self.height() - 2, self.width(), 2, theme().colour("action"))
            painter.end()


class StopPanel(QWidget):
    """Asks about one zone.  ``answered`` brings the code of an answer, ``rated`` kind and grade."""

    answered = Signal(str)
    rated = Signal(str, str)

    def __init__(self, state: State) -> None:
        super().__init__()
        self.answers = answers_row()
        self.answers.chosen.connect(self.answered)
        self.name = ZoneName(lambda: focus_on(self.answers))
        self.place = Elided("", BODY, role="muted")
        self.last = Prose("", LEAD, role="muted")
        self.entered = Prose("", BODY, bold=True)
        self.findings = column(space=1)
        self._quick = column(space=2)
        self.quick: Choice | None = None
        self._kind = ""
        self.photos = PhotoStrip(state)
        box = column(self.name, self.place, self.last, self.entered, space=2)
        box.addLayout(self.findings)
        box.addLayout(self._quick)
        box.addWidget(self.answers)
        box.addSpacing(step(2))
        box.addWidget(self.photos)
        box.addStretch(1)
        self.setLayout(box)

    def show_stop(
        self, stop: Stop, number: int, of: int, when: Mapping[str, PartialDate | None]
    ) -> None:
        """Show a zone; ``when`` is the day of each visit."""
        self.name.setText(stop.name)
        kinds_said = joined([kind_name(kind) for kind in stop.looked_for])
        self.place.setText(say("haul_out.walk.place", number=number, of=of, kinds=kinds_said))
        self._show_last(stop, when)
        self.entered.setVisible(stop.entered is not None)
        if stop.entered is not None:
            self.entered.setText(say("haul_out.walk.entered", what=told(stop.entered)))
        self._show_findings(stop)
        self._show_quick(stop)
        self.answers.set_offered("last_time", stop.last is not None)
        self.answers.set_offered("back", number > 1)
        self.answers.set_offered("next", number < of)
        self.answers.setAccessibleName(say("haul_out.answers_of", zone=stop.name))
        self.name.setAccessibleName(say("haul_out.walk.at", zone=stop.name, n=number, of=of))

    def show_photos(self, photos: Sequence[PhotoSeen]) -> None:
        """Show the photographs of the zone: of this visit, then of the last one that has any."""
        self.photos.show_photos(photos)
        self.photos.setVisible(bool(photos))

    def start(self) -> None:
        """Let the keyboard wait at the name; on the row of answers it stays when it is there."""
        if not self.answers.isAncestorOf(self.focusWidget()):
            focus_on(self.name)

    def press(self, key: str) -> bool:
        """Take a key that no row took: a digit that rates, or an answer."""
        return (self.quick is not None and self.quick.press(key)) or self.answers.press(key)

    def _show_last(self, stop: Stop, when: Mapping[str, PartialDate | None]) -> None:
        if stop.last is None:
            self.last.setText(say("haul_out.walk.no_last"))
            return
        day = stop.last.seen_on or when.get(stop.last.visit_id)
        date = partial_date(day) if day is not None else say("word.not_recorded")
        self.last.setText(say("haul_out.walk.last", date=date, what=told(stop.last)))

    def _show_findings(self, stop: Stop) -> None:
        clear(self.findings)
        for one in stop.findings:
            text = say("haul_out.walk.finding", number=one.number, title=one.title)
            self.findings.addWidget(Prose(text, BODY))

    def _show_quick(self, stop: Stop) -> None:
        """Show the cards of the only kind looked for, where one digit is a whole rating."""
        kind = stop.looked_for[0] if len(stop.looked_for) == 1 else ""
        if kind and not may_rate_by_digit(kind):
            kind = ""
        if kind != self._kind:
            clear(self._quick)
            self._kind, self.quick = kind, None
            if kind:
                self.quick = grade_row(kind, kinds.require(kind).components[0])
                self.quick.chosen.connect(lambda code, kind=kind: self.rated.emit(kind, code))
                self._quick.addWidget(self.quick)
        if self.quick is not None:
            entered = stop.entered.figures.get(kind, {}) if stop.entered else {}
            code = next((value for value in entered.values() if isinstance(value, str)), None)
            self.quick.show_value(code)


def told(seen: Seen) -> str:
    """Say a look in a line: what was found, or why nothing could be."""
    if seen.coverage in ("not_seen", "not_looked"):
        return _unseen(seen)
    parts = [in_full_of(seen)] if seen.figures else []
    if not parts:
        parts.append(say(f"result.{seen.result}"))
    if seen.coverage == "part":
        parts.append(say("coverage.share", share=share(seen.share)) if seen.share else _in_part())
    if seen.note:
        parts.append(seen.note)
    return ", ".join(parts)


def _in_part() -> str:
    return say("coverage.part")


def _unseen(seen: Seen) -> str:
    said = say(f"coverage.{seen.coverage}")
    return f"{said}, {say_code('hidden_by', seen.hidden_by)}" if seen.hidden_by else said


def in_full_of(seen: Seen) -> str:
    """Say the figures of a look, kind by kind."""
    return "; ".join(
        say("haul_out.walk.figures", kind=kind_name(kind), figures=in_full(kind, figures))
        for kind, figures in seen.figures.items()
    )
