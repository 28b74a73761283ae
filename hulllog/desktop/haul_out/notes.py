"""Notes for next time: those that wait are answered here, new ones are raised."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING, ClassVar

from hulllog.desktop.buttons import Door
from hulllog.desktop.drafts import FieldKey
from hulllog.desktop.fields import AreaField, TextField
from hulllog.desktop.haul_out.section import Section
from hulllog.desktop.labels import Prose
from hulllog.desktop.layout import Card, Doors, boxed, column, line
from hulllog.desktop.theme import BODY
from hulllog.insight.yard import findings_raised, notes_at
from hulllog.records.operations.around import answer_note, note_for_next_time
from hulllog.words import say
from hulllog.words.formats import partial_date

if TYPE_CHECKING:
    from PySide6.QtWidgets import QWidget

    from hulllog.desktop.pages import Page
    from hulllog.insight.yard import NoteAt


class NotesSection(Section):
    """Waiting notes at the left; new notes and the findings of this haul-out at the right."""

    code: ClassVar[str] = "notes"

    def __init__(self, page: Page) -> None:
        super().__init__(page)
        self.answers: dict[str, TextField] = {}
        self._waiting = Card(say("haul_out.notes.waiting"))
        self._raised = Card(say("haul_out.notes.raised"))
        self._findings = Card(say("haul_out.notes.findings"))
        self.new: AreaField | None = None
        self._made_for = ""
        left = column(self._waiting)
        left.addStretch(1)
        right = column(self._raised, self._findings, space=2)
        right.addStretch(1)
        both = line(space=3)
        both.addWidget(boxed(left), 1)
        both.addWidget(boxed(right), 1)
        self.setLayout(both)

    def refresh(self) -> None:
        """Show what waits, what was answered, and what was raised."""
        notes = self.state.read(lambda book: notes_at(book, self.visit_id))
        self._show_waiting([note for note in notes if not note.raised_here])
        self._show_raised([note for note in notes if note.raised_here])
        self._show_findings()

    def start(self) -> QWidget | None:
        """Start with the first note that waits, else with a new one."""
        first = next(iter(self.answers.values()), None)
        if first is not None:
            return first.entry
        return self.new.entry if self.new is not None else None

    def _show_waiting(self, notes: list[NoteAt]) -> None:
        waiting = {note.note_id for note in notes if note.answer is None}
        shown = [note.note_id for note in notes]
        if shown == getattr(self, "_shown", None) and waiting == set(self.answers):
            return
        self._shown = shown
        self._waiting.clear()
        self.answers.clear()
        if not notes:
            self._waiting.add(Prose(say("haul_out.notes.none"), BODY, role="muted"))
        for note in notes:
            self._waiting.add(Prose(_told(note), BODY))
            if note.answer is None:
                self._waiting.add(self._answer_field(note))
            else:
                said = say("haul_out.notes.answered", answer=note.answer)
                self._waiting.add(Prose(said, BODY, role="muted"))

    def _answer_field(self, note: NoteAt) -> TextField:
        field = TextField(
            say("haul_out.notes.answer"),
            key=FieldKey(f"note:{note.note_id}", "answer"),
            drafts=self.state.drafts,
        )
        field.show_value("")
        field.committed.connect(partial(self._answer, note.note_id, field))
        self.answers[note.note_id] = field
        return field

    def _answer(self, note_id: str, field: TextField, text: str) -> None:
        if text:
            self.page.edit(answer_note, note_id, self.visit_id, text, field=field)

    def _show_raised(self, notes: list[NoteAt]) -> None:
        if self._made_for != self.visit_id:
            self._made_for = self.visit_id
            self._raised.clear()
            self.new = AreaField(
                say("haul_out.notes.new"),
                label_width=0,
                rows=2,
                hint=say("haul_out.notes.new_hint"),
                key=FieldKey(f"visit:{self.visit_id}", "note_for_next_time"),
                drafts=self.state.drafts,
            )
            self.new.show_value("")
            self.new.committed.connect(self._raise)
            self._list = column(space=2)
            self._raised.add(self.new)
            self._raised.body.addLayout(self._list)
        from hulllog.desktop.layout import clear

        clear(self._list)
        for note in notes:
            self._list.addWidget(Prose(note.text, BODY))

    def _raise(self, text: str) -> None:
        if text and self.new is not None:
            field = self.new
            self.page.edit(
                note_for_next_time, text, visit_id=self.visit_id, field=field,
                done=lambda _key: field.show_value(""),
            )  # fmt: skip

    def _show_findings(self) -> None:
        self._findings.clear()
        found = self.state.read(lambda book: findings_raised(book, self.visit_id))
        if not found:
            self._findings.add(Prose(say("haul_out.notes.no_findings"), BODY, role="muted"))
            return
        doors = Doors()
        for finding in found:
            doors.add(
                Door(
                    say("haul_out.walk.finding_short", number=finding.number, title=finding.title),
                    say(f"must.{finding.must}"),
                    on=partial(self.page.go.emit, "findings", finding.finding_id),
                )
            )
        self._findings.add(doors)


def _told(note: NoteAt) -> str:
    if note.raised is None:
        return note.text
    return say("haul_out.notes.note", date=partial_date(note.raised), text=note.text)
