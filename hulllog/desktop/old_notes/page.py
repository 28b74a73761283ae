"""The page *Old haul-outs*: a row each, many at a time, and one entry for all of them."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt

from hulllog.desktop.buttons import button, link
from hulllog.desktop.choice import Choice, Option
from hulllog.desktop.commands import PageCommand
from hulllog.desktop.haul_out.short import new_time_zone
from hulllog.desktop.haul_out.shortfields import BASIS_KEYS
from hulllog.desktop.haul_out.turning import Turning
from hulllog.desktop.labels import Prose
from hulllog.desktop.layout import Card, boxed, column, icon_mark, line
from hulllog.desktop.old_notes.fromfile import FromFile
from hulllog.desktop.old_notes.fromphotos import FromPhotos
from hulllog.desktop.old_notes.grid import Grid
from hulllog.desktop.old_notes.rows import Rows
from hulllog.desktop.pages import Page
from hulllog.desktop.theme import BODY
from hulllog.records.model import Product
from hulllog.records.operations import choices, queries
from hulllog.records.operations.oldnotes import (
    DEFAULT_BASIS,
    MOST_ROWS,
    OLD_BASES,
    Problem,
    Texts,
    keep_old_haul_outs,
    problems,
)
from hulllog.words import say, say_code, say_n
from hulllog.words.formats import reading_label

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from PySide6.QtWidgets import QWidget

    from hulllog.records.book import Book
    from hulllog.records.journal import EntryKind


class OldNotesPage(Page):
    """Takes ten years of haul-outs from notes."""

    code = "old_notes"
    kinds = frozenset({"visit", "anode_position", "product"})
    scrolls = False

    def subtitle(self) -> str:
        """Say what becomes of the rows."""
        return say("old_notes.under")

    def build(self) -> None:
        """Make the basis, the table, the line below it and what keeps all."""
        self._asked = ""
        self.rows = Rows(self._check, self.state.drafts)
        self.rows.read_draft()
        self.basis = Choice(
            say("old_notes.basis"),
            [Option(code, say_code("basis", code), BASIS_KEYS[code]) for code in OLD_BASES],
            label_width=0,
        )
        self.basis.chosen.connect(self._basis_chosen)
        self.rows.basis = self.rows.basis or DEFAULT_BASIS
        self.basis.show_value(self.rows.basis)
        self.grid = Grid(self.rows, self._known)
        self.grid.kept.connect(self.keep)
        self.grid.moved.connect(self._show_current)
        self.grid.gone.connect(self._leave_table)
        self.grid.lacking_room.connect(
            lambda: self.state.tell(say("old_notes.no_more", limit=MOST_ROWS))
        )
        self.rows.told.connect(self._show_all)
        self.keep_button = button(say("old_notes.keep_none"), self.keep, primary=True)
        self.keep_button.setObjectName("old_notes/keep")
        self.writes(self.keep_button)
        self._mark = icon_mark("caution")
        self.told = Prose("", BODY)
        self.offers = line(space=1)
        self._lay_out_table()
        self.grid.go(self.rows.rowCount() - 1, "begins")
        self._show_all()

    def _lay_out_table(self) -> None:
        self.door_file = link(say("old_notes.door_file"), self.ask_file)
        self.writes(self.door_file)
        self.door_photos = link(say("old_notes.door_photos"), self.ask_photos)
        self.writes(self.door_photos)
        self.tools.addWidget(self.door_file)
        self.tools.addWidget(self.door_photos)
        self.tools.addWidget(link(say("old_notes.back"), lambda: self.go.emit("today", "")))
        card = Card(margin=2)
        card.body.addWidget(self.grid, 1)
        card.body.addLayout(line(self._mark, self.told))
        card.body.addLayout(self.offers)
        self.told.setMinimumHeight(20)
        whole = column(self.basis, card, space=3)
        whole.setStretch(1, 1)
        self.keys = Prose(say("old_notes.keys"), role="muted")
        last = line(self.keys, self.keep_button)
        last.setStretch(0, 1)
        whole.addLayout(last)
        self.typing = boxed(whole)
        self.file = FromFile(self)
        self.file.taken.connect(self._take_rows)
        self.file.shut.connect(self.show_table)
        self.stack = Turning()
        self.photos = FromPhotos(self)
        self.photos.shut.connect(self.show_table)
        for part in (self.typing, self.file, self.photos):
            self.stack.addWidget(part)
        self.body.addWidget(self.stack, 1)

    def commands(self) -> Sequence[PageCommand]:
        """Return what can be done with the table."""
        return (
            PageCommand(say("old_notes.door_file"), self.ask_file, "Ctrl+I", writes=True),
            PageCommand(say("old_notes.door_photos"), self.ask_photos, writes=True),
            PageCommand(say("old_notes.keep_all"), self.keep, "Ctrl+Return", writes=True),
            PageCommand(say("old_notes.remove_row"), self._remove, "Ctrl+Delete", writes=True),
        )

    def first_focus(self) -> QWidget | None:
        """Start in the table, or at what a file is asked for."""
        shown = self.stack.currentWidget()
        if shown is self.photos:
            return self.photos.keep
        if shown is self.file:
            return self.file.take
        return self.door_photos if self._asked == "photos" else self.grid

    def go_to(self, key: str) -> None:
        """Begin a row, with a year where one is asked for."""
        self.show_table()
        row = self.rows.rowCount() - 1
        if key.isdigit() and self.state.read_only is None:
            # A year that was pressed before, and nothing more said of it, is not begun again.
            begun = [n for n in range(row) if self.rows.is_only(n, {"begins": key})]
            row = begun[0] if begun else row
            self.rows.put(row, "begins", key)
        self.grid.go(row, "begins")
        self._asked = key

    def refresh(self) -> None:
        """Judge the rows against what is on record now."""
        self.rows.recheck()
        self.grid.set_read_only(self.state.read_only is not None)

    # The other ways in

    def show_table(self) -> None:
        """Show the table."""
        self._asked = ""
        self.stack.setCurrentWidget(self.typing)
        self.grid.setFocus(Qt.FocusReason.OtherFocusReason)

    def ask_file(self) -> None:
        """Ask for a CSV file and show what it holds."""
        self.grid.end_typing()
        self.show_file(self.file.ask())

    def show_file(self, file: Path | None) -> None:
        """Show what a file holds; None changes nothing."""
        if file is not None:
            self.file.open(file)
            self.stack.setCurrentWidget(self.file)
            first = self.file.take if self.file.take.isEnabled() else self.file.give_up
            first.setFocus(Qt.FocusReason.OtherFocusReason)

    def ask_photos(self) -> None:
        """Ask for a folder of pictures and show the haul-outs that it speaks of."""
        self.grid.end_typing()
        self.show_photos(self.photos.ask())

    def show_photos(self, folder: Path | None) -> None:
        """Show what a folder of pictures speaks of; None changes nothing."""
        if folder is not None:
            self.photos.open(folder)
            self.stack.setCurrentWidget(self.photos)
            self.photos.give_up.setFocus(Qt.FocusReason.OtherFocusReason)

    def _take_rows(self, rows: list[dict[str, str]]) -> None:
        first = len(self.rows.filled())
        if self.rows.take(rows) < len(rows):
            self.state.tell(say("old_notes.no_more", limit=MOST_ROWS))
        self.grid.go(first, "begins")
        self.show_table()

    # What stands below the table

    def _show_all(self) -> None:
        count = len(self.rows.filled())
        self.keep_button.setText(
            say_n("old_notes.keep", count) if count else say("old_notes.keep_none")
        )
        self.keep_button.setAccessibleName(self.keep_button.text())
        self.keep_button.setEnabled(count > 0 and self.state.read_only is None)
        self._show_current()

    def _show_current(self) -> None:
        """Say in full why the current cell cannot be kept, and offer what it can mean."""
        row, column = self.grid.cell
        sentence = self.rows.sentence(row, column)
        self._mark.setVisible(bool(sentence))
        self.told.setText(sentence or self._summary())
        while self.offers.count():
            gone = self.offers.takeAt(0)
            if gone is not None and (widget := gone.widget()) is not None:
                widget.hide()
                widget.deleteLater()
        problem = self.rows.problems.get((row, column))
        readings = problem.refused.values.get("readings") if problem else None
        if isinstance(readings, list | tuple) and column in {"begins", "ends"}:
            before: QWidget = self.grid
            for reading in readings:
                pick = partial(self._pick, row, column, str(reading))
                made = link(reading_label(str(reading)), pick)
                self.offers.addWidget(made)
                self.setTabOrder(before, made)
                before = made
            self.offers.addStretch(1)

    def _summary(self) -> str:
        rows = {row for row, _ in self.rows.problems}
        return say_n("old_notes.rows_refused", len(rows)) if rows else ""

    def _pick(self, row: int, column: str, reading: str) -> None:
        self.rows.put(row, column, reading_label(reading))
        self.grid.setFocus(Qt.FocusReason.OtherFocusReason)

    def _leave_table(self) -> None:
        """Go to what the current cell can mean, else to what keeps all."""
        offer = self.offers.itemAt(0)
        offered = offer.widget() if offer is not None else None
        keep = self.keep_button if self.keep_button.isEnabled() else self.basis
        (offered or keep).setFocus(Qt.FocusReason.OtherFocusReason)

    # What it asks the records

    def _check(self, rows: Sequence[Texts]) -> Sequence[Problem]:
        return self.state.read(lambda book: problems(book, rows))

    def _known(self, column: str) -> list[str]:
        if column in {"way", "basis"}:
            codes = choices.WAYS if column == "way" else OLD_BASES
            return [say_code(column, code) for code in codes]
        if column == "anodes":
            return [say("word.yes"), say("word.no")]
        found = {"yard": _yards, "product": _products}.get(column)
        return self.state.read(found) if found else []

    # Keeping

    def keep(self) -> None:
        """Enter all rows as one entry, or go to the first cell that cannot be kept."""
        if self.stack.currentWidget() is not self.typing:
            return
        self.grid.end_typing()
        rows = self.rows.filled()
        wrong = self.rows.all_problems()
        if wrong:
            self.grid.go(wrong[0].row, wrong[0].column)
            self.grid.setFocus(Qt.FocusReason.OtherFocusReason)
            return
        if not rows or self.state.read_only is not None:
            return
        self.keep_button.setEnabled(False)
        basis = self.rows.basis
        kind: EntryKind = "import" if self.rows.from_file else "edit"
        zone, unnamed = self.state.read(new_time_zone), say("old_notes.anodes")
        self.state.run(
            lambda logbook: keep_old_haul_outs(
                logbook, rows, basis=basis, unnamed_anode=unnamed, time_zone=zone,
                kind=kind,
            ),
            done=lambda _keys: self._kept(rows),
            refused=self._refused,
            owner=self,
        )  # fmt: skip

    def _kept(self, rows: list[dict[str, str]]) -> None:
        self.rows.forget(rows)
        self.grid.go(0, "begins")
        self.told.setText(say_n("old_notes.kept", len(rows)))
        self.state.tell(say_n("old_notes.kept", len(rows)))

    def _refused(self, problem: BaseException) -> None:
        self.state.fail(problem)
        self.rows.recheck()

    def _remove(self) -> None:
        self.grid.end_typing()
        row, column = self.grid.cell
        self.rows.remove(row)
        self.grid.go(row, column)

    def _basis_chosen(self, code: str) -> None:
        self.rows.basis = code
        self.rows.keep_draft()
        self.rows.recheck()
        self.grid.setFocus(Qt.FocusReason.OtherFocusReason)


def _yards(book: Book) -> list[str]:
    found = [visit.yard for visit in reversed(queries.visits(book)) if visit.yard]
    return list(dict.fromkeys(found))


def _products(book: Book) -> list[str]:
    return [product.name for product in reversed(queries.kept(book, Product))]
