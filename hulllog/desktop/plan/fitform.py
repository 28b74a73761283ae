"""The form: the slot, the air of each day, the tides of a grid, and the work."""

from __future__ import annotations

import json
from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import QTimer, Signal
from PySide6.QtWidgets import QPushButton, QWidget

from hulllog.desktop.buttons import link
from hulllog.desktop.choice import Choice, Choices, Option
from hulllog.desktop.inputs import Area
from hulllog.desktop.labels import Prose, label
from hulllog.desktop.layout import Card, boxed, clear, column, flowing
from hulllog.desktop.plan.fitcells import Cell, above, table
from hulllog.desktop.plan.fittyped import (
    DAY_CELLS,
    DEGREES,
    GRID_CELLS,
    HEIGHTS,
    HOURS,
    WORK_CELLS,
    Form,
    retyped,
)
from hulllog.desktop.sheets import Sheet
from hulllog.desktop.theme import BODY, SMALL
from hulllog.insight.fitting import GROUPS, SORTS, groups
from hulllog.insight.paintwork import products
from hulllog.records.operations import queries
from hulllog.trade.coatclasses import ANTIFOULINGS
from hulllog.trade.slothours import MOST_DAYS
from hulllog.words import formats, say, say_n

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from PySide6.QtWidgets import QVBoxLayout

    from hulllog.desktop.state import State

START: Form = {
    "days": "3", "washing": "1", "drying": "12", "anodes": "1", "moving": "1", "hanging": "0",
    "day0_opens": "8", "day0_closes": "17",
    "line_abrading": "2", "line_coats": "3", "line_hours": "1",
    "bottom_abrading": "4", "bottom_coats": "2", "bottom_hours": "3",
    "pads_abrading": "1", "pads_coats": "2", "pads_hours": "1",
    "under_coats": "1", "under_hours": "1",
}  # fmt: skip
"""What stands in a form that nobody has filled in: our own suggestion, to be typed over."""
_DRAFT = "fit", "form"
_PAUSE = 100


class Toggle(QPushButton):
    """Yes or no, as a button that says which."""

    changed = Signal()

    def __init__(self, name: str, said: str) -> None:
        super().__init__()
        self.name = name
        self._said = said
        self.setObjectName(f"fit/{name}")
        self.setProperty("link", True)
        self.setCheckable(True)
        self.toggled.connect(self._tell)
        self._tell()

    def _tell(self) -> None:
        self.setText(say("word.yes" if self.isChecked() else "word.no"))
        self.setAccessibleName(f"{self._said}: {self.text()}")
        self.changed.emit()


class FitForm(QWidget):
    """All that the owner gives.  What stands in it is kept as a draft."""

    changed = Signal()

    def __init__(self, state: State) -> None:
        super().__init__()
        self.state = state
        self.cells: dict[str, Cell] = {}
        self.toggles: dict[str, Toggle] = {}
        self.zones: dict[str, tuple[str, ...]] = {}
        self._kept: Form = {}
        self._rows = 0
        self._loading = False
        self._pause = QTimer(self)
        self._pause.setSingleShot(True)
        self._pause.setInterval(_PAUSE)
        self._pause.timeout.connect(self.keep_draft)
        self.sort = Choice(
            say("fit.sort"),
            [
                Option(code, say(f"fit.sort.{code}"), more=say(f"fit.sort_more.{code}"))
                for code in SORTS
            ],
        )
        self.sort.setObjectName("fit/sort")
        self.waters = Area(3)
        self.waters.setObjectName("fit/waters")
        self.waters.setAccessibleName(say("fit.waters"))
        self._build()
        self.load()

    # Parts

    def _build(self) -> None:
        self._slot = flowing(
            *(self._above(name) for name in ("first", "days", "first_light", "last_light"))
        )
        self._yard = flowing(self._above("lift"), self._above("back"))
        self._grid = QWidget()
        self._grid.setLayout(
            column(
                label(say("fit.waters"), SMALL, role="muted"),
                self.waters,
                Prose(say("fit.waters_hint", high=formats.quantity(5.1, "m")), SMALL, role="muted"),
                flowing(*(self._above(name) for name in GRID_CELLS)),
                space=1,
            )
        )
        self._days = column(space=0)
        slot = Card(say("fit.slot")).add(
            self.sort,
            self._slot,
            self._yard,
            self._grid,
            Prose(say("fit.days_hint"), SMALL, role="muted"),
            boxed(self._days),
            flowing(*(self._above(name) for name in HOURS)),
        )
        self._work = column(space=2)
        work = Card(say("fit.work")).add(boxed(self._work))
        self.setLayout(column(slot, work, space=3))
        self.sort.chosen.connect(self._sort_chosen)
        self.cells["days"].changed.connect(self._show_days)
        self.waters.textChanged.connect(self._changed)

    def _cell(self, name: str, said: str, width: int = 76) -> Cell:
        made = Cell(name, said, width=width)
        made.setText(self._kept.get(name, ""))
        made.changed.connect(self._changed)
        self.cells[name] = made
        return made

    def _above(self, name: str) -> QWidget:
        unit = {"unit": formats.unit_label(formats.shown_unit("m"))} if name in HEIGHTS else {}
        text = say(f"fit.cell.{name}", **unit)
        return above(text, self._cell(name, text, 128 if name == "first" else 76))

    def _sort_chosen(self, code: str) -> None:
        self._grid.setVisible(code == "grid")
        self._yard.setVisible(code != "grid")
        self._show_days(anew=True)
        self._changed()

    def _show_days(self, *, anew: bool = False) -> None:
        """Show a row for each day, with what was typed in it before."""
        text = self.cells["days"].text().strip()
        count = min(int(text), MOST_DAYS) if text.isdecimal() else 0
        if (not count or count == self._rows) and not anew:
            return
        self._rows = count or self._rows
        self._kept = self.values()
        self._forget("day", self._days)
        shown = [cell for cell in DAY_CELLS if self.sort.value != "grid" or cell not in _OF_YARD]
        rows: list[list[QWidget]] = []
        for number in range(self._rows):
            day = say("fit.day", number=number + 1)
            row: list[QWidget] = [label(day, BODY)]
            for cell in shown:
                said = f"{day}, {_day_cell(cell)}"
                row.append(self._cell(f"day{number}_{cell}", said))
            rows.append(row)
        heads = ["", *(_day_cell(cell) for cell in shown)]
        self._days.addWidget(table(heads, rows))

    def _forget(self, beginning: str, layout: QVBoxLayout) -> None:
        """Take cells away; what stood in them is kept."""
        numbered = beginning == "day"
        for name in list(self.cells):
            if name.startswith(beginning) and not (numbered and name == "days"):
                del self.cells[name]
        for name in [name for name in self.toggles if name.startswith(beginning)]:
            del self.toggles[name]
        clear(layout)

    def _show_work(self) -> None:
        self._kept = self.values()
        for group in GROUPS:
            self._forget(f"{group}_", self._work)
        paints = self.state.read(
            lambda book: [(one.id, one.name, one.coating_class) for one in products(book)]
        )
        kept_first, kept_finish = self._kept.get("first_paint"), self._kept.get("finish")
        self.finish = _paint("finish", [one for one in paints if one[2] in ANTIFOULINGS])
        self.first_paint = _paint(
            "first_paint", [one for one in paints if one[2] not in ANTIFOULINGS]
        )
        known = {key for key, _, _ in paints}
        self.finish.show_value(kept_finish if kept_finish in known else None)
        self.first_paint.show_value(kept_first if kept_first in known else None)
        for choice in (self.finish, self.first_paint):
            choice.chosen.connect(self._changed)
        for choice in (self.finish, self.first_paint):
            self._work.addWidget(choice)
            choice.setVisible(bool(choice.buttons))
        if not self.finish.buttons:
            self._work.addWidget(Prose(say("fit.no_finish"), BODY, role="muted"))
        heads = ["", "", *(say(f"fit.cell.{cell}") for cell in WORK_CELLS), say("fit.cell.bares")]
        self._work.addWidget(table(heads, [self._work_row(group) for group in GROUPS]))

    def _work_row(self, group: str) -> list[QWidget]:
        name = say(f"fit.group.{group}")
        chosen = link("", partial(self._choose_zones, group))
        chosen.setObjectName(f"fit/{group}_zones")
        self._tell_zones(chosen, group)
        made: list[QWidget] = [label(name, BODY), chosen]
        made += [
            self._cell(f"{group}_{cell}", f"{name}, {say(f'fit.cell.{cell}')}")
            for cell in WORK_CELLS
        ]
        toggle = Toggle(f"{group}_bares", f"{name}, {say('fit.cell.bares')}")
        toggle.setChecked(self._kept.get(toggle.name) == "yes")
        toggle.changed.connect(self._changed)
        self.toggles[toggle.name] = toggle
        return [*made, toggle]

    def _tell_zones(self, shown: QPushButton, group: str) -> None:
        text = say_n("fit.zones", len(self.zones.get(group, ())))
        shown.setText(text)
        shown.setAccessibleName(f"{say(f'fit.group.{group}')}: {text}")

    # Which zones

    def _choose_zones(self, group: str) -> None:
        named = self.state.read(
            lambda book: [(zone.id, zone.name) for zone, _ in queries.zones_at(book)]
        )
        options = [Option(key, name) for key, name in named]
        asked = Choices(
            say("fit.zones_of", group=say(f"fit.group.{group}")), options, label_width=0
        )
        asked.show_value(self.zones.get(group, ()))
        sheet = Sheet(
            self,
            say(f"fit.group.{group}"),
            under=say("fit.zones_hint"),
            accept_text=say("do.done"),
            on_accept=lambda: self._take_zones(group, asked.value),
            width=560,
        )
        sheet.add(asked)
        sheet.open()

    def _take_zones(self, group: str, keys: Sequence[str]) -> bool:
        """Give zones to one part of the work, and take them from the others."""
        for other in GROUPS:
            self.zones[other] = tuple(k for k in self.zones.get(other, ()) if k not in keys)
        self.zones[group] = tuple(keys)
        for other in GROUPS:
            shown = self.findChild(QPushButton, f"fit/{other}_zones")
            if isinstance(shown, QPushButton):
                self._tell_zones(shown, other)
        self._changed()
        return True

    # What stands in it

    def values(self) -> Form:
        """Return what stands in each cell, those that are hidden too."""
        found = dict(self._kept)
        found |= {name: cell.text() for name, cell in self.cells.items()}
        found |= {name: "yes" if one.isChecked() else "" for name, one in self.toggles.items()}
        found["waters"] = self.waters.text()
        found["sort"] = self.sort.value or "yard"
        # While a form is loaded, its paints are those that were kept, not those that are shown.
        if hasattr(self, "finish") and not self._loading:
            found["finish"] = self.finish.value or ""
            found["first_paint"] = self.first_paint.value or ""
        return found

    def load(self) -> None:
        """Show what was typed before, or the suggestion."""
        self._loading = True
        kept, zones = _read_draft(self.state.drafts.get(*_DRAFT))
        # As the owner reads temperatures and heights now, whatever they were typed in.
        self._kept = retyped({**START, **kept}, formats.shown_unit("degC"), formats.shown_unit("m"))
        for name, cell in self.cells.items():
            cell.blockSignals(True)  # the number of days makes rows anew: below, once
            cell.setText(self._kept.get(name, ""))
            cell.blockSignals(False)
        for name, toggle in self.toggles.items():
            toggle.setChecked(self._kept.get(name) == "yes")
        self.waters.setText(self._kept.get("waters", ""))
        sort = self._kept.get("sort", "yard")
        self.sort.show_value(sort)
        known = self.state.read(lambda book: {zone.id for zone, _ in queries.zones_at(book)})
        usual = self.state.read(groups)
        self.zones = usual
        if zones:
            self.zones = {g: tuple(k for k in zones.get(g, ()) if k in known) for g in GROUPS}
        self._sort_chosen(sort)
        self._show_work()
        self._loading = False

    def take(self, cells: Mapping[str, str], zones: Mapping[str, tuple[str, ...]]) -> None:
        """Show what was typed for a plan that was kept."""
        self._pause.stop()
        self.state.drafts.put(*_DRAFT, json.dumps({"cells": dict(cells), "zones": dict(zones)}))
        self.load()
        self.changed.emit()

    def refresh(self) -> None:
        """Show the paints and zones that are on record now, keeping what was typed."""
        self.keep_draft()
        self.load()

    def _changed(self) -> None:
        if not self._loading:
            self._pause.start()
            self.changed.emit()

    def keep_draft(self) -> None:
        """Keep what was typed, now."""
        self._pause.stop()
        kept = {"cells": self.values(), "zones": self.zones}
        self.state.drafts.put(*_DRAFT, json.dumps(kept))

    def refused(self, name: str) -> bool:
        """Mark the cell that a sentence is about and go there; False where there is none."""
        cell = self.cells.get(name)
        if cell is None and name == "waters":
            self.waters.setFocus()
            return True
        if cell is None:
            return False
        cell.refuse(refused=True)
        cell.setFocus()
        return True


_OF_YARD = frozenset({"opens", "closes"})


def _day_cell(cell: str) -> str:
    """Say what a cell of a day holds; temperatures with the unit they are typed in."""
    if cell in DEGREES:
        return say(f"fit.cell.{cell}", unit=formats.unit_label(formats.shown_unit("degC")))
    return say(f"fit.cell.{cell}")


def _paint(name: str, paints: Sequence[tuple[str, str, str]]) -> Choice:
    made = Choice(say(f"fit.{name}"), [Option(key, said) for key, said, _ in paints])
    made.setObjectName(f"fit/{name}")
    return made


def _read_draft(text: str | None) -> tuple[Form, dict[str, tuple[str, ...]]]:
    """Read a draft; one that another version wrote otherwise counts as none."""
    try:
        kept = json.loads(text or "{}")
        cells = {str(k): str(v) for k, v in kept.get("cells", {}).items()}
        zones = {str(k): tuple(map(str, v)) for k, v in kept.get("zones", {}).items()}
    except (ValueError, AttributeError, TypeError):
        return {}, {}
    return cells, zones
