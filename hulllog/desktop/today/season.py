"""What is entered while she is afloat: a note for the next haul-out, a look by diver or camera."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hulllog.desktop.anodes.questions import Questions
from hulllog.desktop.choice import Choice, Option
from hulllog.desktop.drafts import FieldKey
from hulllog.desktop.fields import AreaField, DateField
from hulllog.desktop.hull.asking import ConditionsEntry
from hulllog.desktop.hull.storing import store
from hulllog.desktop.layout import Caution
from hulllog.desktop.numbers import NumberField
from hulllog.insight.occasions import Edge
from hulllog.records.operations import afloat, around, visits
from hulllog.words import formats, say, say_code

if TYPE_CHECKING:
    from hulllog.desktop.fields import Field
    from hulllog.desktop.pages import Page
    from hulllog.records.model import Visit


class NoteSheet(Questions):
    """Asks for something to see to at the next haul-out, before it is forgotten."""

    def __init__(self, page: Page) -> None:
        super().__init__(
            page,
            say("season.note"),
            under=say("season.note_under"),
            accept_text=say("season.keep_note"),
            on_accept=self._store,
        )
        self.setObjectName("today/note")
        self._page = page
        self.text = AreaField(
            say("season.note_text"), rows=3, key=FieldKey("next_time/new", "text"),
            drafts=page.state.drafts,
        )  # fmt: skip
        self.add(self.text)
        self.show_drafts()

    def ask(self) -> NoteSheet:
        """Show the question."""
        self.open()
        self.text.entry.setFocus()
        return self

    def _store(self) -> bool:
        today = self._page.state.logbook.around.now().astimezone().date()
        fields: dict[str, Field] = {"text": self.text}
        store(
            self._page, self, around.note_for_next_time, self.text.typed(),
            fields=fields, raised=today.isoformat(),
        )  # fmt: skip
        return False


class AfloatSheet(Questions):
    """Asks for a look afloat; what was seen is entered on the pages, at this look's mark."""

    def __init__(self, page: Page) -> None:
        super().__init__(
            page,
            say("season.look"),
            under=say("season.look_under"),
            accept_text=say("season.begin_look"),
            on_accept=self._store,
        )
        self.setObjectName("today/afloat")
        self._page = page
        drafts = page.state.drafts
        self.sort = Choice(
            say("season.by"), [Option(code, say_code("visit_kind", code)) for code in afloat.AFLOAT]
        )
        self.begins = DateField(
            say("season.on"),
            check=page.state.checker(visits.VISIT, "begins"),
            key=FieldKey("visit/afloat", "begins"),
            drafts=drafts,
        )
        self.potential = NumberField(
            say("season.potential"),
            ("mV",),
            low=-2000,
            high=2000,
            key=FieldKey("visit/afloat", "potential"),
            drafts=drafts,
            hint=say("season.potential_hint"),
        )
        self.conditions = ConditionsEntry(afloat.POTENTIAL)
        self.note = AreaField(
            say("season.look_note"), rows=2, key=FieldKey("visit/afloat", "note"), drafts=drafts
        )
        self.add(
            self.sort, self.begins, self.note, self.potential, self.conditions,
            Caution(say("season.caution"), say("season.caution_more")),
        )  # fmt: skip
        self.show_drafts()
        self.sort.show_value("diver")
        self.potential.touched.connect(self._unfold)
        self._unfold()

    def _unfold(self) -> None:
        """Ask how a potential was read only where one is given."""
        self.conditions.setVisible(bool(self.potential.typed()))

    def ask(self) -> AfloatSheet:
        """Show the questions."""
        self.open()
        self.begins.entry.setFocus()
        return self

    def _store(self) -> bool:
        fields: dict[str, Field] = {
            "begins": self.begins, "note": self.note, "figures.potential": self.potential,
            **self.conditions.fields,
        }  # fmt: skip
        store(
            self._page, self, afloat.look_afloat, fields=fields, then=self._begun,
            kind=self.sort.value, begins=self.begins.typed(), note=self.note.typed() or None,
            potential=self.potential.typed() or None, conditions=self.conditions.values(),
        )  # fmt: skip
        return False

    def _begun(self, visit_id: str) -> None:
        self._page.state.pick(Edge(visit_id, "found"))
        self._page.go.emit("hull", "")


class CloseLookSheet(Questions):
    """Offers to close a look afloat that is still open: later changes are corrections."""

    def __init__(self, page: Page, visit: Visit) -> None:
        when = formats.anything(visit.begins)
        super().__init__(
            page,
            say("season.close", kind=say_code("visit_kind", visit.kind), when=when),
            under=say("season.close_under"),
            accept_text=say("season.close_it"),
            on_accept=self._store,
        )
        self.setObjectName("today/close_look")
        self._page, self._visit_id = page, visit.id

    def _store(self) -> bool:
        store(self._page, self, visits.close, self._visit_id)
        return False
