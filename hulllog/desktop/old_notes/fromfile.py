"""Old haul-outs from a CSV file: a preview that names each problem before anything is written.

What the file holds goes into the table of the page, where it is put right and kept.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QRect, Signal
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QComboBox, QFileDialog, QGridLayout, QWidget

from hulllog.desktop.buttons import button
from hulllog.desktop.choice import Choice, Option
from hulllog.desktop.labels import Elided, Prose
from hulllog.desktop.layout import Card, boxed, clear, column, line, scrolled
from hulllog.desktop.theme import BODY, SMALL, rowed, step, theme, typed
from hulllog.records.csvnotes import (
    Answers,
    Table,
    matched,
    problems_of,
    questions,
    read_table,
    rows_of,
)
from hulllog.records.errors import Refused
from hulllog.records.operations.oldnotes import COLUMNS, is_blank
from hulllog.words import say, say_n
from hulllog.words.errors import said

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hulllog.desktop.pages import Page
    from hulllog.records.csvnotes import Problem, Question

MOST_SHOWN = 30
"""Problems that are listed; the rest is told by number, and stands in the table too."""
ACROSS = 5
CHOICES = {"order": ("day first", "month first"), "sign": (",", ".")}
CODES = {"day first": "day_first", "month first": "month_first", ",": "comma", ".": "point"}


class FromFile(QWidget):
    """The preview of a file.  ``taken`` brings its rows, ``shut`` tells that it was given up."""

    taken = Signal(object)
    shut = Signal()

    def __init__(self, page: Page) -> None:
        super().__init__()
        self._page = page
        self.table: Table | None = None
        self.rows: list[dict[str, str]] = []
        self.columns: list[QComboBox] = []
        self.asked: dict[str, Choice] = {}
        self._build()

    def ask(self) -> Path | None:
        """Ask for a file; None for none."""
        name, _ = QFileDialog.getOpenFileName(
            self, say("old_notes.file.choose"), "", say("old_notes.file.kinds")
        )
        return Path(name) if name else None

    def open(self, file: Path) -> bool:
        """Show what a file holds; one that cannot be read is told in one sentence."""
        try:
            table = read_table(file)
        except Refused as refused:
            self._head.setText(said(refused))
            self._show_nothing()
            return False
        self.table = table
        count = sum(any(row) for row in table.rows)
        self._head.setText(say_n("old_notes.file.read", count, file=file.name))
        self._show_columns(table)
        self._show_questions()
        self._judge()
        self._rest.show()
        return True

    # Parts

    def _build(self) -> None:
        self._head = Prose("", BODY, bold=True)
        self._grid = QGridLayout()
        self._grid.setContentsMargins(0, 0, 0, 0)
        self._grid.setHorizontalSpacing(step(4))
        self._grid.setVerticalSpacing(step(1))
        self._questions = column(space=1)
        self._problems = column(space=1)
        self._told = Prose("", BODY, bold=True)
        self.take = button(say("old_notes.file.take_none"), self._take, primary=True)
        self.give_up = button(say("do.cancel"), self.shut.emit)
        which = Card(say("old_notes.file.columns"), margin=3).add(boxed(self._grid))
        which.body.addLayout(self._questions)
        wrong = Card(margin=3).add(self._told, boxed(self._problems))
        both = column(which, wrong, space=2)
        both.addStretch(1)
        self._rest = scrolled(boxed(both))
        outer = column(self._head, self._rest, space=2)
        outer.setStretch(1, 1)
        outer.addLayout(line(None, self.give_up, self.take))
        self.setLayout(outer)

    def _show_nothing(self) -> None:
        self.table, self.rows = None, []
        self.take.setEnabled(False)
        self._rest.hide()

    def _show_columns(self, table: Table) -> None:
        clear(self._grid)
        self.columns = []
        proposed = matched(table.header) if table.header else (None,) * table.width
        for number in range(table.width):
            name = self._name_of(number)
            picked = _column_box(name, proposed[number] if number < len(proposed) else None)
            picked.currentIndexChanged.connect(self._columns_changed)
            self.columns.append(picked)
            example = next((r[number] for r in table.rows if number < len(r) and r[number]), "")
            box = column(Elided(name, BODY, bold=True), picked, space=0.5)
            box.addWidget(Elided(example, SMALL, role="muted"))
            self._grid.addLayout(box, number // ACROSS, number % ACROSS)
        for at in range(ACROSS):
            self._grid.setColumnStretch(at, 1)

    def _name_of(self, number: int) -> str:
        header = self.table.header if self.table is not None else ()
        named = header[number] if number < len(header) else ""
        return named or say("old_notes.file.column", number=number + 1)

    @property
    def matching(self) -> tuple[str | None, ...]:
        """Which column of the file fills which of the table, as the owner left it."""
        return tuple(box.currentData() for box in self.columns)

    def _columns_changed(self, _index: int) -> None:
        """Let the column that was picked last win: each is filled by one."""
        changed = self.sender()
        for box in self.columns:
            same = isinstance(changed, QComboBox) and box.currentData() == changed.currentData()
            if box is not changed and same and box.currentData() is not None:
                box.blockSignals(True)
                box.setCurrentIndex(0)
                box.blockSignals(False)
        self._show_questions()
        self._judge()

    def _show_questions(self) -> None:
        clear(self._questions)
        self.asked = {}
        if self.table is None:
            return
        table, matching = self.table, self.matching
        for one in self._page.state.read(lambda book: questions(book, table, matching)):
            made = self._question(one, matching.index(one.column))
            self.asked[one.column] = made
            self._questions.addWidget(made)

    def _question(self, one: Question, number: int) -> Choice:
        options = [Option(code, say(f"old_notes.file.{CODES[code]}")) for code in CHOICES[one.sort]]
        text = say(
            f"old_notes.file.asked_{one.sort}", column=self._name_of(number), example=one.example
        )
        made = Choice(text, options, label_width=0)
        made.show_value(one.proposed)
        made.chosen.connect(lambda _code: self._judge())
        return made

    # Judging

    def _answers(self) -> Answers:
        orders = {c: one.value for c, one in self.asked.items() if one.value in CHOICES["order"]}
        signs = {c: one.value for c, one in self.asked.items() if one.value in CHOICES["sign"]}
        return Answers(orders, signs)  # type: ignore[arg-type]

    def _judge(self) -> None:
        """Name what cannot be kept, by row and column."""
        if self.table is None:
            return
        table, matching = self.table, self.matching
        self.rows = rows_of(table, matching, self._answers())
        rows = self.rows
        found = self._page.state.read(lambda book: problems_of(book, table, matching, rows))
        self._list(found)
        count = sum(not is_blank(row) for row in rows)
        self.take.setText(
            say_n("old_notes.file.take", count) if count else say("old_notes.file.take_none")
        )
        self.take.setAccessibleName(self.take.text())
        self.take.setEnabled(count > 0 and self._page.state.read_only is None)

    def _list(self, found: Sequence[Problem]) -> None:
        clear(self._problems)
        self._told.setText(
            say_n("old_notes.file.problems", len(found))
            if found
            else say("old_notes.file.no_problem")
        )
        for one in found[:MOST_SHOWN]:
            self._problems.addWidget(Prose(self.told_of(one), BODY))
        if len(found) > MOST_SHOWN:
            more = say_n("word.more", len(found) - MOST_SHOWN)
            self._problems.addWidget(Prose(more, BODY, role="muted"))

    def told_of(self, one: Problem) -> str:
        """Say where a problem is and what it is."""
        why = said(one.refused)
        if one.column is None and one.refused.field in COLUMNS:
            name = say(f"old_notes.column.{one.refused.field}")
            return say("old_notes.file.problem", row=one.row, column=name, why=why)
        if one.column is None:
            return say("old_notes.file.problem_row", row=one.row, why=why)
        name = self._name_of(one.column)
        return say("old_notes.file.problem", row=one.row, column=name, why=why)

    def _take(self) -> None:
        self.taken.emit([row for row in self.rows if not is_blank(row)])


class Picker(QComboBox):
    """A list to pick from, with a mark of ours that says so."""

    def paintEvent(self, event: QPaintEvent) -> None:
        super().paintEvent(event)
        painter = QPainter(self)
        place = QRect(self.width() - step(6), (self.height() - 16) // 2, 16, 16)
        theme().icon("open", "muted").paint(painter, place)
        painter.end()


def _column_box(name: str, proposed: str | None) -> QComboBox:
    made = Picker()
    made.setAccessibleName(say("old_notes.file.fills", column=name))
    typed(made)
    rowed(made)
    made.addItem(say("old_notes.file.left_out"), None)
    for code in COLUMNS:
        made.addItem(say(f"old_notes.column.{code}"), code)
    made.setCurrentIndex(COLUMNS.index(proposed) + 1 if proposed else 0)
    return made
