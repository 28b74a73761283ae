"""Anodes on the bench, one position at a time: weighed or by eye, how it sat, renewed or not."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING, ClassVar

from hulllog.desktop.buttons import Door
from hulllog.desktop.fields import TextField
from hulllog.desktop.haul_out.bench import BenchPanel, piece_said
from hulllog.desktop.haul_out.section import Section, focus_on
from hulllog.desktop.labels import Prose
from hulllog.desktop.layout import Card, Doors, boxed, column, line
from hulllog.desktop.theme import BODY
from hulllog.insight.yard import bench as bench_rows
from hulllog.records.operations.anodes import add_position
from hulllog.words import say, say_code
from hulllog.words.formats import measured

if TYPE_CHECKING:
    from PySide6.QtWidgets import QWidget

    from hulllog.desktop.pages import Page
    from hulllog.insight.yard import BenchRow

_LIST_WIDTH = 380


class AnodesSection(Section):
    """Every position at the left, the one on the bench at the right."""

    code: ClassVar[str] = "anodes"

    def __init__(self, page: Page) -> None:
        super().__init__(page)
        self._rows: list[BenchRow] = []
        self._at = 0
        self._named = ""
        self._doors = Doors()
        self._doors_of: dict[str, Door] = {}
        self.add = TextField(say("haul_out.anodes.add"), label_width=0)
        self.add.committed.connect(self._add)
        self.bench: BenchPanel | None = None
        self._benches: dict[str, BenchPanel] = {}
        self._place = column()
        self._none = Prose(say("haul_out.anodes.none"), BODY, role="muted")
        listed = Card(say("haul_out.anodes.positions"), margin=3)
        listed.add(self._none, self._doors, self.add)
        left = column(listed, space=2)
        left.addStretch(1)
        held = boxed(left)
        held.setFixedWidth(_LIST_WIDTH)
        row = line(space=4)
        row.addWidget(held)
        row.addLayout(self._place, 1)
        self.setLayout(row)

    def refresh(self) -> None:
        """Show every position, and the one on the bench."""
        self._rows = self.state.read(lambda book: bench_rows(book, self.visit_id))
        self._clear_benches({row.position_id for row in self._rows})
        self._doors.clear()
        self._doors_of.clear()
        self._none.setVisible(not self._rows)
        listed = [row.position_id for row in self._rows]
        named = self._named in listed
        if named:
            self._at, self._named = listed.index(self._named), ""
        for index, row in enumerate(self._rows):
            door = Door(row.name, _told(row), on=partial(self._show, index))
            door.setObjectName(f"anode.{row.position_id}")
            self._doors_of[row.position_id] = door
            self._doors.add(door)
        self._at = min(self._at, max(len(self._rows) - 1, 0))
        self._set_bench(self._rows[self._at] if self._rows else None)
        if named and self.bench is not None and self.isVisible():
            focus_on(self.bench.mass.entry)

    def start(self) -> QWidget | None:
        """Start with the mass of the anode on the bench, or with the name of a first one."""
        return self.bench.mass.entry if self.bench is not None else self.add.entry

    def press(self, key: str) -> bool:
        """Hand a key to the bench."""
        return self.bench is not None and self.bench.press(key)

    def _show(self, index: int) -> None:
        self._at = index
        self._set_bench(self._rows[index])
        if self.bench is not None:
            focus_on(self.bench.mass.entry)

    def _set_bench(self, row: BenchRow | None) -> None:
        """Put a position on the bench; what was entered of the one before it stays there."""
        for key, door in self._doors_of.items():
            here = row is not None and key == row.position_id
            door.show_end(say("haul_out.anodes.on_bench") if here else "")
        if self.bench is not None and (row is None or self.bench.position_id != row.position_id):
            self.bench.hide()
        self.bench = None
        if row is None:
            return
        made = self._benches.get(row.position_id)
        if made is None:
            made = BenchPanel(self.page, self.visit_id, row)
            made.stored.connect(self._next)
            self._benches[row.position_id] = made
            self._place.addWidget(made)
        made.show_row(row)
        made.show()
        self.bench = made

    def _clear_benches(self, kept: set[str]) -> None:
        """Take away the benches of other haul-outs, and of positions that are no more."""
        for key, made in list(self._benches.items()):
            if key in kept and made.visit_id == self.visit_id:
                continue
            del self._benches[key]
            if made is self.bench:
                self.bench = None
            self._place.removeWidget(made)
            made.hide()
            made.deleteLater()

    def _next(self) -> None:
        """Put the next position without a look on the bench."""
        self.refresh()
        order = [*range(self._at + 1, len(self._rows)), *range(self._at)]
        waiting = [
            n for n in order if self._rows[n].check is None and self._rows[n].renewed is None
        ]
        if waiting:
            self._show(waiting[0])

    def _add(self, name: str) -> None:
        if name:
            self.page.edit(add_position, name=name, field=self.add, done=self._added)

    def _added(self, key: str) -> None:
        """Put the new position on the bench, with the keyboard, as soon as it is listed."""
        self.add.show_value("")
        self._named = key
        self.refresh()


def _told(row: BenchRow) -> str:
    """Say what was entered of a position at this visit, else what piece is on record there."""
    parts = []
    if row.check is not None:
        seen = row.check
        if seen.mass is not None:
            parts.append(measured(seen.mass))
        elif seen.left is not None:
            parts.append(say_code("anode_eye", seen.left))
        if seen.contact is not None:
            parts.append(say_code("contact", seen.contact))
    if row.renewed is not None:
        parts.append(say("haul_out.anodes.renewed"))
    return ", ".join(parts) if parts else piece_said(row)
