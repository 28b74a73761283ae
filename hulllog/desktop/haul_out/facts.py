"""What is known of the haul-out as a whole: dates, yard, way, support, a note; and its end."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QWidget

from hulllog.desktop.buttons import button
from hulllog.desktop.choice import Choice
from hulllog.desktop.drafts import FieldKey
from hulllog.desktop.fields import AreaField, Field
from hulllog.desktop.haul_out.dates import ShortDateField
from hulllog.desktop.haul_out.kept import lettered
from hulllog.desktop.haul_out.lasttime import LastTimeField
from hulllog.desktop.haul_out.section import focus_on
from hulllog.desktop.haul_out.shortfields import LABEL, WAY_KEYS
from hulllog.desktop.labels import Prose
from hulllog.desktop.layout import Card, column, evenly
from hulllog.desktop.numbers import NumberField
from hulllog.desktop.theme import BODY, step
from hulllog.insight.lasttime import last_time
from hulllog.insight.yard import before_relaunch, not_left
from hulllog.records.operations import choices, visits
from hulllog.records.operations.visits import VISIT
from hulllog.words import say, say_n

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import date

    from hulllog.desktop.pages import Page
    from hulllog.records.model import Visit

SUPPORT_KEYS = dict(zip(choices.SUPPORTS, "bctslkwd", strict=False))


class Facts(QWidget):
    """Fields that commit when left, for one haul-out at a time."""

    def __init__(self, page: Page) -> None:
        super().__init__()
        self.page, self.state = page, page.state
        self._visit: Visit | None = None
        self.fields: dict[str, Field] = {}
        self._card = Card(say("haul_out.facts.title"), margin=3)
        self._card.title.setText(say("haul_out.facts.title"))
        self.close_it = button(say("haul_out.facts.close"), self.close_haul_out, primary=True)
        page.writes(self.close_it)
        self._open = Prose("", BODY, bold=True)
        self._open.hide()
        self._warned_of = ""
        box = column(self._card, self._open, space=2)
        box.addWidget(self.close_it, 0, Qt.AlignmentFlag.AlignRight)
        self.setLayout(box)

    def show_visit(self, visit: Visit) -> None:
        """Show what is kept of a haul-out."""
        if self._visit is None or self._visit.id != visit.id:
            self._visit = visit
            self._warned_of = ""
            self._open.hide()
            self._make(visit)
        self._visit = visit
        for name, field in self.fields.items():
            value = getattr(visit, name)
            if isinstance(field, NumberField):
                field.show_measured(value)
                continue
            field.show_value(value if isinstance(value, str) else value.text if value else "")
        self.way.show_value(visit.way)
        self.support.show_value(visit.support)
        last = self.state.read(lambda book: last_time(book, visit.id))
        self.yard.offer(last.yard)
        self.location.offer(last.location)

    def start(self) -> None:
        """Put the keyboard into the height of the scum line: all else was asked for before."""
        self.scum_line.entry.setFocus()

    def close_haul_out(self) -> None:
        """Keep what stands typed, then close: later changes to the haul-out are corrections.

        What is refused keeps it open.
        """
        if self._visit is not None and self._all_kept():
            # After what was just committed: that may be refused too.
            self.state.run(lambda _logbook: None, done=lambda _none: self._close(), owner=self)

    def _all_kept(self) -> bool:
        kept = [one.commit() for one in self._shown()]
        return all(kept) and not self._refused()

    def _refused(self) -> bool:
        """Tell whether a field is refused, and go there."""
        refused = [one for one in self._shown() if one.refused]
        if refused:
            focus_on(refused[0].entry)
        return bool(refused)

    def _shown(self) -> list[Field]:
        return [one for one in self.page.findChildren(Field) if one.isVisible()]

    def _close(self) -> None:
        if self._visit is not None and not self._refused() and not self._warns():
            self.page.edit(visits.close, self._visit.id, done=lambda _none: self._closed())

    def _warns(self) -> bool:
        """Name in place what is open before relaunch; the same list is named once."""
        assert self._visit is not None
        visit_id = self._visit.id
        due, zones = self.state.read(lambda book: (before_relaunch(book), not_left(book, visit_id)))
        parts = [open_text(due)] if due else []
        if zones:
            parts.append(say_n("haul_out.facts.not_left", zones))
        told = " ".join(parts)
        new = bool(told) and told != self._warned_of
        self._warned_of = told
        self._open.setText(f"{told} {say('haul_out.facts.press_again')}" if told else "")
        self._open.setVisible(bool(told))
        return new

    def _closed(self) -> None:
        self.state.tell(say("haul_out.facts.closed"))

    def _make(self, visit: Visit) -> None:
        self._card.clear()
        self.begins = ShortDateField(
            say("haul_out.short.out"), today=self._today, **self._rest(visit, "begins")
        )
        self.ends = ShortDateField(
            say("haul_out.short.in"), today=self._today, not_before=self._begun,
            **{**self._rest(visit, "ends"), "label_width": 56},
        )  # fmt: skip
        self.yard = LastTimeField(say("haul_out.short.yard"), **self._rest(visit, "yard"))
        self.location = LastTimeField(say("visit.location"), **self._rest(visit, "location"))
        self.note = AreaField(say("haul_out.short.note"), rows=2, **self._rest(visit, "note"))
        self.scum_line = NumberField(
            say("haul_out.facts.scum_line"),
            ("mm", "cm", "in"),
            hint=say("haul_out.facts.scum_hint"),
            **self._rest(visit, "scum_line"),
        )
        self.way = self._row("haul_out.short.way", "haul_out.way", "way", WAY_KEYS)
        self.support = self._row(
            "haul_out.facts.support", "haul_out.support", "support", SUPPORT_KEYS
        )
        self.fields = {
            "begins": self.begins, "ends": self.ends, "yard": self.yard,
            "location": self.location, "scum_line": self.scum_line, "note": self.note,
        }  # fmt: skip
        for name, field in self.fields.items():
            field.committed.connect(partial(self._set, name, field))
        dates = evenly(self.begins, self.ends, space=2)
        self._card.body.addLayout(dates)
        self._card.add(self.yard, self.location, self.way, self.support, self.scum_line, self.note)
        self._card.body.addSpacing(step(1))

    def _rest(self, visit: Visit, name: str) -> dict[str, Any]:
        return {
            "label_width": LABEL,
            "check": self.state.checker(VISIT, name),
            "key": FieldKey(f"visit:{visit.id}", name),
            "drafts": self.state.drafts,
        }

    def _row(self, label: str, family: str, name: str, keys: dict[str, str]) -> Choice:
        row = Choice(say(label), lettered(family, keys, keys), label_width=LABEL)
        row.chosen.connect(lambda code: self._set(name, None, code))
        return row

    def _set(self, name: str, field: Field | None, typed: Any) -> None:
        if self._visit is not None:
            self.page.edit(visits.set_visit, self._visit.id, name, typed, field=field)

    def _today(self) -> date:
        return self.state.logbook.around.now().astimezone().date()

    def _begun(self) -> date | None:
        return self.begins.day()


def open_text(due: Sequence[tuple[int, str]]) -> str:
    """Name the findings that are open and were to be dealt with before relaunch."""
    named = [say("haul_out.closed.finding", number=number, title=title) for number, title in due]
    return say("haul_out.closed.open", what="; ".join(named))
