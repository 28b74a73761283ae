"""The table of old haul-outs on the screen: typed by keyboard alone, a refusal beside its cell.

Enter and Tab go to the next cell, at the end of a row to the next row; Shift+Tab goes back,
Ctrl+Down begins the next row, Delete empties a cell.  Text from a spreadsheet fills cells.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import (
    QAbstractItemModel,
    QEvent,
    QModelIndex,
    QObject,
    QPersistentModelIndex,
    QRect,
    QSize,
    Qt,
    QTimer,
    Signal,
)
from PySide6.QtGui import QKeyEvent, QKeySequence, QPainter, QPaintEvent, QPen, QResizeEvent
from PySide6.QtWidgets import (
    QAbstractItemDelegate,
    QAbstractItemView,
    QApplication,
    QCompleter,
    QFrame,
    QHeaderView,
    QLineEdit,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QTableView,
    QWidget,
)

from hulllog.desktop.fields import DRAFT_AFTER
from hulllog.desktop.inputs import ENTER
from hulllog.desktop.labels import elided
from hulllog.desktop.theme import BODY, SMALL, step, theme, typed
from hulllog.records.operations.oldnotes import COLUMNS
from hulllog.words import say

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from hulllog.desktop.old_notes.rows import Rows

Index = QModelIndex | QPersistentModelIndex
WIDTHS = {
    "begins": 114, "ends": 98, "yard": 122, "way": 100, "found": 170, "product": 114,
    "litres": 56, "anodes": 92, "note": 112, "basis": 130,
}  # fmt: skip
"""Least widths of the columns in pixels; what is left over is shared in the same proportion."""
_UPWARDS = {Qt.Key.Key_Up: -1, Qt.Key.Key_Down: 1}
_LEFT = int(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter | Qt.TextFlag.TextSingleLine)
_RIGHT = int(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)


def cells_of(text: str) -> list[list[str]]:
    """Return the cells of a text that was copied from a spreadsheet."""
    lines = text.replace("\r\n", "\n").replace("\r", "\n").rstrip("\n").split("\n")
    return [line.split("\t") for line in lines]


def is_block(text: str) -> bool:
    """Tell whether a copied text is more than one cell."""
    return any(sign in text.rstrip("\r\n") for sign in "\t\n\r")


class CellEditor(QLineEdit):
    """The line in which a cell is typed; a block that is pasted goes to the table."""

    def __init__(self, grid: Grid, parent: QWidget) -> None:
        super().__init__(parent)
        self._grid = grid
        typed(self)
        self.setFrame(False)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Hand a copied block to the table."""
        if event.matches(QKeySequence.StandardKey.Paste) and is_block(_clipboard()):
            self._grid.end_typing()
            self._grid.paste()
            return
        super().keyPressEvent(event)


class Cells(QStyledItemDelegate):
    """Draws cells in the upper line of their row, and lets them be typed there."""

    def __init__(self, grid: Grid) -> None:
        super().__init__(grid)
        self._grid = grid

    def createEditor(self, parent: QWidget, _option: QStyleOptionViewItem, index: Index) -> QWidget:
        made = CellEditor(self._grid, parent)
        column = COLUMNS[index.column()]
        made.setAccessibleName(say(f"old_notes.column.{column}"))
        known = self._grid.known(column)
        if known:
            completer = QCompleter(known, made)
            completer.setCaseSensitivity(Qt.CaseSensitivity.CaseInsensitive)
            completer.setCompletionMode(QCompleter.CompletionMode.InlineCompletion)
            made.setCompleter(completer)
        made.textEdited.connect(lambda _text: self._grid.typing())
        return made

    def setEditorData(self, editor: QWidget, index: Index) -> None:
        if isinstance(editor, QLineEdit) and not editor.isModified():
            editor.setText(str(index.data(Qt.ItemDataRole.EditRole) or ""))

    def setModelData(self, editor: QWidget, model: QAbstractItemModel, index: Index) -> None:
        if isinstance(editor, QLineEdit):
            model.setData(index, editor.text(), Qt.ItemDataRole.EditRole)

    def updateEditorGeometry(
        self, editor: QWidget, option: QStyleOptionViewItem, _index: Index
    ) -> None:
        area = QRect(option.rect)
        area.setHeight(theme().row)
        editor.setGeometry(area)

    def sizeHint(self, _option: QStyleOptionViewItem, _index: Index) -> QSize:
        return QSize(64, theme().row)

    def eventFilter(self, editor: QObject, event: QEvent) -> bool:
        """Take Enter, Tab and the arrows up and down for going on."""
        if event.type() == QEvent.Type.KeyPress and isinstance(event, QKeyEvent):
            control = event.modifiers() & Qt.KeyboardModifier.ControlModifier
            by = _step(event)
            if by is None and event.key() in ENTER and control:
                self._grid.end_typing()
                self._grid.kept.emit()
                return True
            if by is not None or event.key() in _UPWARDS:
                self._grid.end_typing()
                self._grid.keyPressEvent(event)
                return True
        return super().eventFilter(editor, event)

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        grid, row, column = self._grid, index.row(), COLUMNS[index.column()]
        area = QRect(option.rect)
        area.setHeight(theme().row)
        here = grid.currentIndex() == index
        text = grid.rows.text(row, column)
        painter.save()
        if here:
            painter.fillRect(area, theme().colour("select"))
        painter.setFont(theme().font(BODY))
        painter.setPen(theme().colour("ink" if text else "muted"))
        blank = not text and row < grid.rows.rowCount() - 1
        shown = grid.rows.placeholder(column) if blank else text
        inside = area.adjusted(step(2), 0, -step(1), 0)
        painter.drawText(inside, _LEFT, elided(shown, painter.fontMetrics(), inside))
        if grid.rows.sentence(row, column):
            painter.setPen(QPen(theme().colour("ink"), 2))
            painter.drawRect(area.adjusted(1, 1, -2, -2))
        elif here and grid.hasFocus():
            painter.setPen(QPen(theme().colour("action"), 2))
            painter.drawRect(area.adjusted(1, 1, -2, -2))
        painter.restore()


class RowNumbers(QHeaderView):
    """The numbers of the rows, each in the upper line of its row."""

    def __init__(self) -> None:
        super().__init__(Qt.Orientation.Vertical)
        typed(self)

    def paintSection(self, painter: QPainter, rect: QRect, logicalIndex: int) -> None:
        """Draw one number."""
        area = QRect(rect.left(), rect.top(), rect.width() - step(2), theme().row)
        painter.save()
        painter.fillRect(rect, theme().colour("sheet"))
        painter.setFont(theme().font(BODY))
        painter.setPen(theme().colour("muted"))
        painter.drawText(area, _RIGHT, str(logicalIndex + 1))
        painter.setPen(theme().colour("line"))
        painter.drawLine(rect.bottomLeft(), rect.bottomRight())
        painter.restore()


class Grid(QTableView):
    """The table.  ``kept`` asks to keep all; ``moved`` tells that another cell is current."""

    kept = Signal()
    moved = Signal()
    lacking_room = Signal()
    gone = Signal()
    """The keyboard leaves the table: Esc, or on from the end of the last row."""

    def __init__(self, rows: Rows, known: Callable[[str], Sequence[str]]) -> None:
        super().__init__()
        self.rows = rows
        self._known = known
        self._pause = QTimer(self)
        self._pause.setSingleShot(True)
        self._pause.setInterval(DRAFT_AFTER)
        self._pause.timeout.connect(self._keep_draft)
        self.setObjectName("old_notes/table")
        self.setAccessibleName(say("old_notes.table"))
        self.setItemDelegate(Cells(self))
        self.setVerticalHeader(RowNumbers())
        self.setModel(rows)
        rows.setParent(self)
        self._dress()
        rows.told.connect(self._fit_rows)
        rows.modelReset.connect(self._fit_rows)
        theme().changed.connect(self._fit)
        self._fit_rows()

    def set_read_only(self, read_only: bool) -> None:
        """Take no typing."""
        triggers = QAbstractItemView.EditTrigger
        typing = triggers.AnyKeyPressed | triggers.DoubleClicked | triggers.EditKeyPressed
        self._writes = not read_only
        self.setEditTriggers(triggers.NoEditTriggers if read_only else typing)

    def known(self, column: str) -> list[str]:
        """Return what a cell may be completed to: used in this table, then on record."""
        return list(dict.fromkeys([*self.rows.used(column), *self._known(column)]))

    # Going

    @property
    def cell(self) -> tuple[int, str]:
        """Row and column of the current cell."""
        index = self.currentIndex()
        return (index.row(), COLUMNS[index.column()]) if index.isValid() else (0, COLUMNS[0])

    def go(self, row: int, column: str) -> None:
        """Make a cell the current one."""
        row = min(max(row, 0), self.rows.rowCount() - 1)
        self.setCurrentIndex(self.rows.index(row, COLUMNS.index(column)))

    def go_by(self, by: int) -> None:
        """Go to the next cell, or the one before; past the end of a row to another row."""
        row, column = self.cell
        over, at = divmod(COLUMNS.index(column) + by, len(COLUMNS))
        if row + over < 0:
            return
        if row + over >= self.rows.rowCount():
            self.gone.emit()
            return
        self.go(row + over, COLUMNS[at])

    def begin_row(self) -> None:
        """Go to the first cell of the row after this one."""
        self.go(self.cell[0] + 1, COLUMNS[0])

    def currentChanged(self, current: Index, previous: Index) -> None:
        """Judge the row that was left."""
        super().currentChanged(current, previous)
        self.rows.leave(current.row())
        self.moved.emit()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Go on, empty, paste, or begin to type."""
        keys = QKeySequence.StandardKey
        control = event.modifiers() & Qt.KeyboardModifier.ControlModifier
        by = _step(event)
        if by is not None:
            self.go_by(by)
        elif control and event.key() in ENTER:
            self.kept.emit()
        elif control and event.key() == Qt.Key.Key_Down:
            self.begin_row()
        elif event.key() in _UPWARDS:
            row, column = self.cell
            self.go(row + _UPWARDS[Qt.Key(event.key())], column)
        elif event.key() == Qt.Key.Key_Escape:
            self.gone.emit()
        elif event.matches(keys.Paste):
            self.paste()
        elif event.matches(keys.Copy):
            QApplication.clipboard().setText(self.rows.text(*self.cell))
        elif event.key() in {Qt.Key.Key_Delete, Qt.Key.Key_Backspace} and self._writes:
            self.rows.put(*self.cell, "")
        else:
            super().keyPressEvent(event)

    def focusNextPrevChild(self, _next: bool) -> bool:
        """Keep Tab inside: it goes from cell to cell, until the last row ends."""
        return False

    # Typing

    def typing(self) -> None:
        """Keep what is being typed before long."""
        if not self._pause.isActive():
            self._pause.start()

    def end_typing(self) -> None:
        """Take what is being typed, as if the cell had been left."""
        editor = self._editor()
        if editor is not None:
            self._pause.stop()
            self.commitData(editor)
            self.closeEditor(editor, QAbstractItemDelegate.EndEditHint.NoHint)

    def paste(self) -> None:
        """Fill cells from what was copied, beginning at the current one."""
        text = _clipboard()
        if not text or not self._writes:
            return
        row, column = self.cell
        block = cells_of(text)
        if self.rows.put_block(row, COLUMNS.index(column), block) < len(block):
            self.lacking_room.emit()

    def _editor(self) -> QLineEdit | None:
        found = self.viewport().findChildren(CellEditor)
        return next((one for one in found if not one.isHidden()), None)

    def _keep_draft(self) -> None:
        editor = self._editor()
        self.rows.keep_draft((*self.cell, editor.text()) if editor is not None else None)

    # Drawing

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the cells, and below each that is refused the sentence that says why."""
        super().paintEvent(event)
        painter = QPainter(self.viewport())
        painter.setFont(theme().font(SMALL, bold=True))
        painter.setPen(theme().colour("ink"))
        for row in range(max(self.rowAt(0), 0), self.rows.rowCount()):
            top = self.rowViewportPosition(row) + theme().row
            if top > self.viewport().height():
                break
            wrong = self.rows.wrong_in(row)
            if not wrong:
                continue
            # Over the lines between the columns, which would run through the sentences.
            strip = QRect(0, top, self.viewport().width(), len(wrong) * _below() - 1)
            painter.fillRect(strip, theme().colour("sheet"))
            for number, column in enumerate(wrong):
                self._write(painter, row, column, top + number * _below())
        painter.end()

    def _write(self, painter: QPainter, row: int, column: str, top: int) -> None:
        sentence = self.rows.sentence(row, column)
        icon = theme().icon("caution")
        metrics, room = painter.fontMetrics(), self.viewport().width()
        wide = min(metrics.horizontalAdvance(sentence) + step(6), room - step(2))
        left = self.columnViewportPosition(COLUMNS.index(column)) + step(1)
        left = max(min(left, room - wide - step(1)), step(1))
        icon.paint(painter, QRect(left, top + 2, 14, 14))
        area = QRect(left + step(5), top, wide - step(5), _below())
        painter.drawText(area, _LEFT, elided(sentence, metrics, area))

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Share the width among the columns."""
        super().resizeEvent(event)
        self._fit_columns()

    def _dress(self) -> None:
        self.set_read_only(False)
        self.setSelectionMode(QAbstractItemView.SelectionMode.NoSelection)
        self.setHorizontalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setCornerButtonEnabled(False)
        self.setTabKeyNavigation(False)
        self.setWordWrap(False)
        for header in (self.horizontalHeader(), self.verticalHeader()):
            header.setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
            header.setHighlightSections(False)
            header.setSectionsClickable(False)
            typed(header)
        self.horizontalHeader().setDefaultAlignment(Qt.AlignmentFlag.AlignLeft)
        self.verticalHeader().setFixedWidth(step(11))

    def _fit(self) -> None:
        self._fit_columns()
        self._fit_rows()

    def _fit_columns(self) -> None:
        grown = theme().size(BODY) / BODY
        least = {column: round(width * grown) for column, width in WIDTHS.items()}
        spare = max(self.viewport().width() - sum(least.values()), 0)
        for number, column in enumerate(COLUMNS):
            more = spare * least[column] // sum(least.values())
            self.setColumnWidth(number, least[column] + more)

    def _fit_rows(self) -> None:
        self.verticalHeader().setMinimumSectionSize(theme().row)
        for row in range(self.rows.rowCount()):
            high = theme().row + len(self.rows.wrong_in(row)) * _below()
            if self.rowHeight(row) != high:
                self.setRowHeight(row, high)
        self.viewport().update()


def _below() -> int:
    """Return the height of a line of refusal."""
    return theme().metrics(SMALL, bold=True).lineSpacing() + step(1)


def _step(event: QKeyEvent) -> int | None:
    """Return by how many cells a key goes on; None for other keys."""
    if event.modifiers() & Qt.KeyboardModifier.ControlModifier:
        return None
    back = event.modifiers() & Qt.KeyboardModifier.ShiftModifier
    if event.key() in ENTER:
        return -1 if back else 1
    return {Qt.Key.Key_Tab: 1, Qt.Key.Key_Backtab: -1}.get(Qt.Key(event.key()))


def _clipboard() -> str:
    return QApplication.clipboard().text()
