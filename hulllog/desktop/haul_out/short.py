"""The short haul-out: one page, three minutes, one entry.

Every field but the date is optional.  Enter or Tab goes on; a letter or digit chooses and goes on;
"=" takes what was so last time.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, QTimeZone, Signal
from PySide6.QtWidgets import QApplication, QWidget

from hulllog.desktop.buttons import button
from hulllog.desktop.choice import Option
from hulllog.desktop.fields import refuse_named
from hulllog.desktop.haul_out.dates import written
from hulllog.desktop.haul_out.shortfields import (
    BASIS_KEYS,
    RECORD,
    WAY_KEYS,
    Maker,
    grading,
)
from hulllog.desktop.haul_out.zonegrades import ZoneGrades
from hulllog.desktop.inputs import ENTER
from hulllog.desktop.labels import Prose
from hulllog.desktop.layout import Card, boxed, column, evenly, line
from hulllog.desktop.theme import SMALL, step
from hulllog.insight import walking
from hulllog.insight.lasttime import last_time
from hulllog.insight.shape import form_of
from hulllog.insight.yardsheet import EYE_KEYS, YES_KEYS
from hulllog.records.errors import Refused
from hulllog.records.operations import queries
from hulllog.records.operations.short import ShortHaulOut, ShortLook, short_haul_out
from hulllog.records.values import PartialDate
from hulllog.words import say
from hulllog.words.errors import said

if TYPE_CHECKING:
    from collections.abc import Callable
    from datetime import date

    from PySide6.QtGui import QKeyEvent

    from hulllog.desktop.fields import Field
    from hulllog.desktop.haul_out.kept import KeptChoice
    from hulllog.desktop.state import State
    from hulllog.records.book import Book

OLD_DAYS = 31
"""Days after which a haul-out is proposed as entered later, from notes.  Our own rule."""


class ShortForm(QWidget):
    """The short form.  ``kept`` brings the key of the haul-out that was stored.

    ``walk`` brings it where the rest is to be walked zone by zone.
    """

    kept = Signal(str)
    walk = Signal(str)

    def __init__(self, state: State) -> None:
        super().__init__()
        self.state = state
        self._make()
        self._lay_out()
        self._listen()

    # What the page calls

    def refresh(self) -> None:
        """Offer what was so last time, and show today where nothing was typed."""
        last = self.state.read(last_time)
        self.yard.offer(last.yard)
        self.way.offer(last.way)
        self.product.offer(last.product)
        for name, field in self.fields.items():
            field.show_value(written(self._today()) if name == "begins" else "")
        self._show_positions(last.positions)
        self._show_zones()
        self._show_basis()

    def start(self) -> QWidget:
        """Return the first field, with what stands there picked so that typing replaces it."""
        self.begins.entry.selectAll()
        return self.begins.entry

    def short(self) -> ShortHaulOut:
        """Return what was entered, as the operation takes it."""
        typed = {name: field.typed() or None for name, field in self.fields.items()}
        position = self.position.value if self.position is not None else None
        return ShortHaulOut(
            begins=typed["begins"] or "",
            ends=typed["ends"],
            yard=typed["yard"],
            way=self.way.value,
            time_zone=self.state.read(new_time_zone),
            basis=self.basis.value or "at_the_time",
            looks=self._looks(),
            anode_position_id=position,
            anode_name=None if position else typed["anode_name"],
            anode_left=self.eye.value,
            anode_renewed=self.renewed.value == "yes",
            product=typed["product"],
            litres=typed["litres"],
            coats=typed["coats"],
            note=typed["note"],
        )

    def store(self) -> None:
        """Store all of it as one entry, or say beside the field what cannot be kept."""
        self._store(self.kept.emit)

    def _store(self, then: Callable[[str], object]) -> None:
        if not self._commit():
            return
        short = self.short()
        self.keep.setEnabled(False)
        self.state.run(
            lambda logbook: short_haul_out(logbook, short),
            done=lambda visit_id: self._stored(visit_id, then),
            refused=self._refuse,
            owner=self,
        )

    # Keys

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Let Enter go on from a row, press a button, and with Ctrl keep the whole."""
        if event.key() not in ENTER:
            super().keyPressEvent(event)
            return
        focus = QApplication.focusWidget()
        if event.modifiers() & Qt.KeyboardModifier.ControlModifier or focus is self.keep:
            self.store()
        elif focus is self.begin:
            self._ask_walk()
        else:
            self.focusNextPrevChild(True)

    # Storing

    def _commit(self) -> bool:
        for field in self.fields.values():
            if not field.commit():
                field.entry.setFocus(Qt.FocusReason.OtherFocusReason)
                return False
        return True

    def _stored(self, visit_id: str, then: Callable[[str], object]) -> None:
        for field in self.fields.values():
            field.accept()
            field.show_value("")
        for row in self._rows():
            row.forget()
        self.zones.show_text("")
        self.state.drafts.drop(RECORD, "zones")
        self._told.hide()
        self.keep.setEnabled(True)
        then(visit_id)

    def _refuse(self, problem: BaseException) -> None:
        self.keep.setEnabled(True)
        if (named := refuse_named(self.fields, problem)) is not None:
            named.entry.setFocus(Qt.FocusReason.OtherFocusReason)
        else:
            self._told.setText(said(problem))
            self._told.show()

    def _ask_walk(self) -> None:
        """Store what was entered so far, and walk the rest."""
        self._store(self.walk.emit)

    # Parts

    def _make(self) -> None:
        make = Maker(self.state)
        self.begins, self.ends = make.dates(self._today, self._begun)
        self.yard = make.last("haul_out.short.yard", "yard")
        self.way = make.coded("haul_out.short.way", "way", "haul_out.way", WAY_KEYS)
        self.basis = make.coded("haul_out.short.basis", "basis", "basis", BASIS_KEYS)
        self.anode = make.text("haul_out.short.anode", "anode_name")
        self.position: KeptChoice | None = None
        self.eye = make.coded("haul_out.short.eye", "eye", "haul_out.eye", EYE_KEYS)
        self.renewed = make.coded("haul_out.short.renewed", "renewed", "word", YES_KEYS)
        self.product = make.product()
        self.litres = make.litres()
        self.coats = make.text("haul_out.short.coats", "coats", 48)
        self.graded = make.gradings()
        self.zones = ZoneGrades(say("haul_out.zones.name"))
        self.note = make.text("haul_out.short.note", "note", 48)
        self._told = Prose("", SMALL, bold=True)
        self._told.hide()
        self.keep = button(say("haul_out.short.keep"), self.store, primary=True)
        self.begin = button(say("haul_out.short.walk"), self._ask_walk)
        for made in (self.keep, self.begin):
            made.setProperty("writes", True)
        self._makes = make
        self.fields: dict[str, Field] = {
            "begins": self.begins,
            "ends": self.ends,
            "yard": self.yard,
            "anode_name": self.anode,
            "product": self.product,
            "litres": self.litres,
            "coats": self.coats,
            "note": self.note,
        }

    def _lay_out(self) -> None:
        when = Card(say("haul_out.short.when"), margin=3)
        when.body.addLayout(evenly(self.begins, self.ends, space=3))
        when.add(self.yard, self.way)
        self._anode_card = Card(say("haul_out.short.anodes"), margin=3)
        self._anode_card.add(self.anode, self.eye, self.renewed)
        paint = Card(say("haul_out.short.paint"), margin=3).add(self.product)
        paint.body.addLayout(evenly(self.litres, self.coats, space=3))
        zones = Card(margin=3).add(self.graded, self.zones)
        left = column(when, self._anode_card, paint, space=2)
        left.addStretch(1)
        last = column(self.note, self.basis, space=2)
        acts = column(self._told, space=1)
        acts.addLayout(line(None, self.begin, self.keep))
        acts.setContentsMargins(0, step(1), 0, step(3))
        self.acts = boxed(acts)
        """Stands where the page puts it, below what scrolls."""
        self.acts.setParent(self)
        self.acts.hide()
        right = column(zones, space=2)
        right.addLayout(last)
        right.addStretch(1)
        both = line(space=3)
        both.addWidget(boxed(left), 1)
        both.addWidget(boxed(right), 1)
        both.setContentsMargins(0, 0, 0, step(2))
        self.setLayout(both)

    def _listen(self) -> None:
        for field in self.fields.values():
            # What is whole waits here until all of it is kept; a kill must not take it.
            field.committed.connect(lambda _typed, field=field: field.keep_draft())
        for row in (self.way, self.basis, self.eye, self.renewed):
            row.chosen.connect(lambda _code, row=row: row.leave())
        self.graded.chosen.connect(self._graded_chosen)
        self.begins.committed.connect(lambda _typed: self._show_basis())
        self.zones.changed.connect(self._keep_zones)
        # What is preselected there is asked for by Tab alone: Enter goes on to the end.
        self.note.entry.entered.connect(self.keep.setFocus)

    def _rows(self) -> list[KeptChoice]:
        rows = [self.way, self.basis, self.eye, self.renewed, self.graded]
        return rows if self.position is None else [*rows, self.position]

    # Zones

    def _show_zones(self) -> None:
        chosen = grading(self.graded.value)
        self.graded.show_value(chosen.code)
        self.zones.show_zones(
            self.state.read(form_of), self.state.read(_new_stops(chosen.kind)), chosen.kind
        )
        self.zones.show_text(self.state.drafts.get(RECORD, "zones") or self.zones.text())

    def _graded_chosen(self, _code: str) -> None:
        self._show_zones()
        self.graded.leave()

    def _keep_zones(self) -> None:
        self.state.drafts.put(RECORD, "zones", self.zones.text())

    def _looks(self) -> tuple[ShortLook, ...]:
        chosen = grading(self.graded.value)
        return tuple(
            ShortLook(
                zone_id=zone_id,
                kind=chosen.kind,
                figures={self.zones.component: code},
                conditions=chosen.conditions,
            )
            for zone_id, code in self.zones.grades().items()
        )

    # Anodes

    def _show_positions(self, positions: tuple[tuple[str, str], ...]) -> None:
        """Let a position on record be chosen; while there is none, let one be named."""
        if self.position is not None:
            self._anode_card.body.removeWidget(self.position)
            self.position.deleteLater()
            self.position = None
        self.anode.setVisible(not positions)
        if not positions:
            return
        options = [Option(key, name, _digit(n)) for n, (key, name) in enumerate(positions, 1)]
        self.position = self._makes.row("anode.position", "position", options)
        self.position.chosen.connect(lambda _code, row=self.position: row.leave())
        if len(positions) == 1:
            self.position.show_value(positions[0][0])
        self._anode_card.body.insertWidget(0, self.position)
        QWidget.setTabOrder(self.way, self.position)
        QWidget.setTabOrder(self.position, self.eye)

    # Dates

    def _today(self) -> date:
        return self.state.logbook.around.now().astimezone().date()

    def _begun(self) -> date | None:
        return self.begins.day()

    def _show_basis(self) -> None:
        """Ask how it is known where it lies back; a haul-out of these days is at the time."""
        old = self._age() > OLD_DAYS
        self.basis.setVisible(old)
        if not old:
            self.basis.show_value(None)
        elif self.basis.value is None:
            self.basis.show_value("later_from_notes")

    def _age(self) -> int:
        try:
            begins = PartialDate.parse(self.begins.text())
            ends = PartialDate.parse(self.ends.text()) if self.ends.text() else begins
        except Refused:
            return 0
        return (self.state.logbook.around.now() - max(begins.latest, ends.latest)).days


def new_time_zone(book: Book) -> str | None:
    """Return the computer's time zone for a first visit; None where the records have one."""
    if queries.setting(book, "time_zone") or queries.visits(book):
        return None
    return bytes(QTimeZone.systemTimeZoneId().data()).decode() or None


def _digit(number: int) -> str:
    return str(number) if number < 10 else ""


def _new_stops(kind: str) -> Callable[[Book], list[walking.Stop]]:
    return lambda book: walking.stops(book, None, "found", (kind,))
