"""The yard sheet typed in afterwards: its rows in its own order, one field a row, Enter goes on.

Each row is kept by the operation that walk, bench and paint use, as soon as its field is left.
"""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING, Any, ClassVar

from PySide6.QtCore import Signal

from hulllog.desktop.buttons import button
from hulllog.desktop.drafts import FieldKey
from hulllog.desktop.fields import Field, TextField
from hulllog.desktop.haul_out.dates import ShortDateField
from hulllog.desktop.haul_out.section import Section, focus_on
from hulllog.desktop.haul_out.sheetanswers import BETWEEN, SPLIT, Entry, answer
from hulllog.desktop.labels import Prose
from hulllog.desktop.layout import Card, clear, column, line
from hulllog.desktop.theme import BODY, SMALL
from hulllog.drawing import sheetwords
from hulllog.insight import walking
from hulllog.insight.shape import form_of
from hulllog.insight.sheetentries import entered
from hulllog.insight.yardsheet import yard_sheet
from hulllog.records.model import Product
from hulllog.records.operations import queries, yardwork
from hulllog.words import say, say_n

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import date

    from PySide6.QtWidgets import QWidget

    from hulllog.desktop.pages import Page
    from hulllog.insight.sheetentries import Entered
    from hulllog.insight.yardsheet import Row, Sheet

_LABEL, _LAST = 300, 180
BESIDE = " · "
ADDS = frozenset({"paint", "note", "gear", "finding", "bore"})
"""Rows that add a record each time: once kept, they are only shown."""
LOOKED_AT = frozenset({"zone", "anode", "gear", "bore", "finding"})
"""Rows that ask for a look; the others ask for a time, a figure, a paint or a note."""


class SheetSection(Section):
    """All rows of the sheet, a field each.  ``print_it`` asks for the sheet as a file."""

    code: ClassVar[str] = "sheet"
    print_it = Signal()

    def __init__(self, page: Page) -> None:
        super().__init__(page)
        self.fields: dict[int, Field] = {}
        self._rows: tuple[Row, ...] = ()
        self._made_for = ""
        self._entered: Mapping[int, Entered] = {}
        self._added: dict[tuple[str, int], str] = {}
        self._list = column(space=1)
        self._left = Prose("", BODY, bold=True)
        write = button(say("sheet.write"), self.print_it.emit)
        head = Card(margin=3).add(Prose(say("sheet.entry.how"), BODY), self._left)
        head.body.addLayout(line(write, None))
        box = column(head, space=2)
        box.addLayout(self._list)
        box.addStretch(1)
        self.setLayout(box)

    def refresh(self) -> None:
        """Show what the records say of every row."""
        sheet = self.state.read(yard_sheet)
        if sheet is None:
            return
        if self._made_for != self.visit_id or _shape(sheet.rows) != _shape(self._rows):
            self._made_for = self.visit_id
            self._make(sheet)
        self._rows = sheet.rows
        self._entered = self.state.read(lambda book: entered(book, sheet))
        for row in self._rows:
            field = self.fields[row.number]
            kept = self._added.get((self.visit_id, row.number), "")
            seen = self._entered.get(row.number)
            field.show_value(seen.text if seen else kept)
            if row.sort in ADDS and not field.dirty:
                field.set_read_only(bool(seen or kept) or self.state.read_only is not None)
        self._say_left()

    def start(self) -> QWidget | None:
        """Start at the row that a door led to, else at the first that nothing stands in."""
        at, self.begin_at = self.begin_at, ""
        there = next((row.number for row in self._rows if at and row.subject_id == at), None)
        if there is not None:
            focus_on(self.fields[there].entry)
            return self.fields[there].entry
        for row in self._rows:
            if not self.fields[row.number].text():
                return self.fields[row.number].entry
        return next(iter(self.fields.values())).entry if self.fields else None

    def _say_left(self) -> None:
        """Count the rows nobody looked at; an answer without figures stands in no box."""
        empty = sum(
            row.sort in LOOKED_AT and not self.fields[row.number].text() and not self._seen(row)
            for row in self._rows
        )
        self._left.setText(say_n("sheet.entry.left", empty))

    def _seen(self, row: Row) -> bool:
        found = self._entered.get(row.number)
        return found is not None and found.inspection_id is not None

    # Rows

    def _make(self, sheet: Sheet) -> None:
        clear(self._list)
        self.fields.clear()
        for number, stage in enumerate(sheet.stages, 1):
            title = say("sheet.stage", n=number, title=say(f"haul_out.step.{stage.code}"))
            card = Card(title, margin=3)
            for row in stage.rows:
                self.fields[row.number] = self._field(row)
                card.add(self.fields[row.number])
            self._list.addWidget(card)

    def _field(self, row: Row) -> Field:
        about = say("sheet.entry.row", number=row.number, subject=sheetwords.subject(row))
        beside = Prose(_last(row), SMALL, role="muted")
        beside.setFixedWidth(_LAST)
        rest: dict[str, Any] = {
            "label_width": _LABEL,
            "check": partial(self._check, row),
            "key": FieldKey(
                f"sheet:{self.visit_id}", f"row.{row.sort}.{row.stage}.{row.subject_id}"
            ),
            "drafts": self.state.drafts,
            "after": [beside],
        }
        made: Field
        if row.sort == "stage":
            made = ShortDateField(
                about, today=self._today, not_before=self._begun,
                clock_day=lambda: self._begun() or self._today(), **rest,
            )  # fmt: skip
        else:
            made = TextField(about, **rest)
        made.entry.setPlaceholderText(_boxes(row))
        made.entry.entered.connect(lambda: self._see(made))
        made.committed.connect(lambda text, row=row, made=made: self._store(row, text, made))
        return made

    def _see(self, made: Field) -> None:
        """Bring the row in sight that Enter went to."""
        here = self.window().focusWidget()
        if here is not None and not made.isAncestorOf(here) and self.isAncestorOf(here):
            focus_on(here)

    def _check(self, row: Row, typed: object) -> None:
        answer(row, str(typed), self._entry(row))

    def _store(self, row: Row, text: str, made: Field) -> None:
        found = answer(row, text, self._entry(row))
        if row.sort == "how" and text.strip():
            return  # it is kept with the first reading below, and is a draft until then
        if found is None:
            made.give_up()
            return
        self.page.edit(
            yardwork.from_sheet,
            self.visit_id,
            row.stage,
            found.operation,
            *found.about,
            field=made,
            done=lambda _made: self._stored(row, text),
            quietly=True,
            at=found.at,
            **found.typed,
        )

    def _stored(self, row: Row, text: str) -> None:
        if row.sort in ADDS:
            self._added[self.visit_id, row.number] = text
            self.fields[row.number].set_read_only(True)
        sheet = self.state.read(yard_sheet)
        if sheet is not None:
            self._entered = self.state.read(lambda book: entered(book, sheet))
        asked = self._asked_how(row)
        if asked is not None and asked.number in self._entered:
            self.fields[asked.number].accept()
        self._say_left()

    def _asked_how(self, row: Row) -> Row | None:
        """Return the row above that asks how a reading was taken, or how she was swept again."""
        about = f"{row.looked_for[0]}.{row.stage}" if row.sort == "reading" else row.plan
        return next((r for r in self._rows if (r.sort, r.subject_id) == ("how", about)), None)

    def _entry(self, row: Row) -> Entry:
        seen = self._entered.get(row.number)
        asked = self._asked_how(row)
        return Entry(
            self.visit_id,
            self.state.read(walking.boat_of),
            self._today(),
            self._begun(),
            seen.inspection_id if seen else None,
            {
                one.name.casefold(): one.id
                for one in self.state.read(lambda book: queries.kept(book, Product))
            },
            self.state.read(form_of),
            self.fields[asked.number].text() if asked is not None else "",
            asked,
        )

    def _today(self) -> date:
        return self.state.logbook.around.now().astimezone().date()

    def _begun(self) -> date | None:
        begins = self.visit.begins if self.visit else None
        if begins is None or begins.precision not in ("day", "time") or begins.about:
            return None
        return begins.middle.date()


def _shape(rows: tuple[Row, ...]) -> list[tuple[object, ...]]:
    """Return what fields are made from: another shape wants other fields."""
    return [(row.number, row.sort, row.subject_id, row.subject, row.zone_number) for row in rows]


def _boxes(row: Row) -> str:
    """Say what is typed in a row: its boxes from left to right."""
    between = f"{BETWEEN} " if row.sort in SPLIT else BESIDE
    return between.join(sheetwords.caption(box) for box in row.boxes)


def _last(row: Row) -> str:
    """Say the figures of last time, in the order of the boxes."""
    said = [f"{sheetwords.last_said(box)} {sheetwords.since(box)}".strip() for box in row.boxes]
    while said and not said[-1]:
        said.pop()
    figures = BESIDE.join(one or "–" for one in said)
    return say("sheet.entry.last", figures=figures) if said else ""
