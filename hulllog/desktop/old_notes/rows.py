"""The rows of the table of old haul-outs: what was typed, what is refused, and its draft."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping, Sequence
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QPersistentModelIndex, Qt, Signal

from hulllog.records.operations.oldnotes import COLUMNS, MOST_ROWS, Problem, Texts, is_blank
from hulllog.words import say, say_code
from hulllog.words.errors import said

if TYPE_CHECKING:
    from hulllog.desktop.drafts import Drafts

Index = QModelIndex | QPersistentModelIndex
Check = Callable[[Sequence[Texts]], Sequence[Problem]]

RECORD, FIELD = "old_notes", "rows"
"""Where the draft of the table is kept, whole."""
_UNFINISHED = frozenset({"date_wanted", "text_wanted"})
"""What is refused only when the row is left: it may still be typed."""
_NOWHERE = QModelIndex()


class Rows(QAbstractTableModel):
    """What was typed, row by row; a blank row always stands last.

    ``check`` names what cannot be kept.  ``told`` comes when rows or refusals changed.
    """

    told = Signal()

    def __init__(self, check: Check, drafts: Drafts) -> None:
        super().__init__()
        self._check, self._drafts = check, drafts
        self._rows: list[dict[str, str]] = [{}]
        self.problems: dict[tuple[int, str], Problem] = {}
        self.basis = ""
        self.from_file = False
        """Whether some of the rows came from a file."""
        self._left = -1

    # What stands there

    def filled(self) -> list[dict[str, str]]:
        """Return the rows in which something stands."""
        return [dict(row) for row in self._rows if not is_blank(row)]

    def text(self, row: int, column: str) -> str:
        """Return what was typed into a cell."""
        return self._rows[row].get(column, "")

    def is_only(self, row: int, texts: Mapping[str, str]) -> bool:
        """Tell whether these texts and no others stand in a row."""
        return {name: text for name, text in self._rows[row].items() if text} == dict(texts)

    def used(self, column: str) -> list[str]:
        """Return the texts of a column, the newest first, each once."""
        found = [row.get(column, "").strip() for row in reversed(self._rows)]
        return list(dict.fromkeys(text for text in found if text))

    def sentence(self, row: int, column: str) -> str:
        """Return why a cell cannot be kept; empty when it can."""
        problem = self.problems.get((row, column))
        return said(problem.refused) if problem else ""

    def wrong_in(self, row: int) -> list[str]:
        """Return the columns of a row that are refused, in their order."""
        return [column for column in COLUMNS if (row, column) in self.problems]

    # What is typed

    def put(self, row: int, column: str, text: str) -> None:
        """Put a text into a cell and keep the draft."""
        self.put_block(row, COLUMNS.index(column), [[text]])

    def put_block(self, row: int, at: int, block: Sequence[Sequence[str]]) -> int:
        """Put texts in from a cell on, rightwards and downwards; returns how many rows fit."""
        fits = min(len(block), MOST_ROWS - row)
        self._grow(row + fits)
        for number, line in enumerate(block[:fits], row):
            for column, text in zip(COLUMNS[at:], line, strict=False):
                self._rows[number][column] = " ".join(text.split())
        self._changed()
        return fits

    def take(self, rows: Sequence[Mapping[str, str]]) -> int:
        """Add whole rows after those that are filled; returns how many fit."""
        start = len(self.filled())
        filled = self.filled()
        self.beginResetModel()
        self._rows = [*filled, *(dict(row) for row in rows[: MOST_ROWS - start])]
        self._rows.append({})
        self.endResetModel()
        self.from_file = True
        self._changed()
        return min(len(rows), MOST_ROWS - start)

    def remove(self, row: int) -> None:
        """Take a row out."""
        if row >= len(self._rows) - 1:
            self._rows[-1].clear()
        else:
            self.beginRemoveRows(_NOWHERE, row, row)
            del self._rows[row]
            self.endRemoveRows()
        self._changed()

    def leave(self, row: int) -> None:
        """Say in which row the person is now: what is not whole there is not refused yet."""
        if row != self._left:
            self._left = row
            self.recheck()

    def recheck(self) -> None:
        """Name again what cannot be kept."""
        found = self._check(self._rows)
        self.problems = {
            (one.row, one.column): one
            for one in found
            if one.row != self._left or one.refused.code not in _UNFINISHED
        }
        self._told()

    def all_problems(self) -> Sequence[Problem]:
        """Return everything that cannot be kept, of the row that is being typed too."""
        self._left = -1
        self.recheck()
        return [self.problems[key] for key in sorted(self.problems, key=_place)]

    # Drafts

    def keep_draft(self, typing: tuple[int, str, str] | None = None) -> None:
        """Keep all of it as a draft, with the cell that is being typed in."""
        rows = [dict(row) for row in self._rows]
        if typing is not None:
            row, column, text = typing
            rows[row][column] = text
        filled = [row for row in rows if not is_blank(row)]
        if not filled:
            self._drafts.drop(RECORD, FIELD)
            return
        kept = {"rows": filled, "basis": self.basis, "from_file": self.from_file}
        self._drafts.put(RECORD, FIELD, json.dumps(kept, ensure_ascii=False))

    def read_draft(self) -> None:
        """Show the draft, if there is one."""
        kept = _draft(self._drafts.get(RECORD, FIELD))
        if kept is None:
            return
        self.beginResetModel()
        self._rows = [*kept["rows"], {}]
        self.endResetModel()
        self.basis = str(kept.get("basis") or "")
        self.from_file = bool(kept.get("from_file"))
        self.recheck()

    def forget(self, stored: Sequence[Mapping[str, str]]) -> None:
        """Take rows out that are stored; what was typed meanwhile stays."""
        self.beginResetModel()
        self._rows = [*(row for row in self.filled() if row not in stored), {}]
        self.problems = {}
        self.endResetModel()
        self.from_file = self.from_file and len(self._rows) > 1
        self.keep_draft()
        self.recheck()

    # What Qt asks

    def rowCount(self, parent: Index = _NOWHERE) -> int:
        return 0 if parent.isValid() else len(self._rows)

    def columnCount(self, parent: Index = _NOWHERE) -> int:
        return 0 if parent.isValid() else len(COLUMNS)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        if not index.isValid():
            return None
        row, column = index.row(), COLUMNS[index.column()]
        text = self.text(row, column)
        if role in {Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.EditRole}:
            return text
        if role == Qt.ItemDataRole.AccessibleTextRole:
            name = say(f"old_notes.column.{column}")
            return say("old_notes.cell", row=row + 1, column=name, text=text or say("word.none"))
        if role in {Qt.ItemDataRole.AccessibleDescriptionRole, Qt.ItemDataRole.StatusTipRole}:
            return self.sentence(row, column)
        return None

    def setData(self, index: Index, value: Any, role: int = Qt.ItemDataRole.EditRole) -> bool:
        if role != Qt.ItemDataRole.EditRole:
            return False
        column = COLUMNS[index.column()]
        if str(value) != self.text(index.row(), column):
            self.put(index.row(), column, str(value))
        return True

    def headerData(
        self,
        section: int,
        orientation: Qt.Orientation,
        role: int = Qt.ItemDataRole.DisplayRole,
    ) -> Any:
        if role != Qt.ItemDataRole.DisplayRole:
            return None
        if orientation == Qt.Orientation.Vertical:
            return str(section + 1)
        return say(f"old_notes.column.{COLUMNS[section]}")

    def flags(self, index: Index) -> Qt.ItemFlag:
        usual = Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsSelectable
        return usual | Qt.ItemFlag.ItemIsEditable

    def placeholder(self, column: str) -> str:
        """Return what holds for a blank cell of a filled row, as it is shown."""
        return say_code("basis", self.basis) if column == "basis" and self.basis else ""

    # Parts

    def _grow(self, wanted: int) -> None:
        missing = wanted - len(self._rows)
        if missing > 0:
            first = len(self._rows)
            self.beginInsertRows(_NOWHERE, first, first + missing - 1)
            self._rows += [{} for _ in range(missing)]
            self.endInsertRows()

    def _changed(self) -> None:
        if not is_blank(self._rows[-1]) and len(self._rows) < MOST_ROWS:
            self._grow(len(self._rows) + 1)
        self.keep_draft()
        self.recheck()

    def _told(self) -> None:
        last = self.index(len(self._rows) - 1, len(COLUMNS) - 1)
        self.dataChanged.emit(self.index(0, 0), last)
        self.told.emit()


def _place(key: tuple[int, str]) -> tuple[int, int]:
    return key[0], COLUMNS.index(key[1])


def _draft(kept: str | None) -> dict[str, Any] | None:
    """Read a draft; one from another version is none."""
    try:
        found = json.loads(kept or "")
        rows = [
            {column: str(row[column]) for column in COLUMNS if column in row}
            for row in found["rows"][:MOST_ROWS]
        ]
    except (ValueError, TypeError, KeyError):
        return None
    return {**found, "rows": rows}
