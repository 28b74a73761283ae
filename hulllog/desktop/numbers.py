"""A field for a number with its unit."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QMenu, QToolButton

from hulllog.desktop.fields import Check, Field
from hulllog.desktop.inputs import Line
from hulllog.desktop.labels import label
from hulllog.desktop.theme import rowed, typed
from hulllog.records.errors import Refused
from hulllog.records.operations.typed import measured
from hulllog.words import say
from hulllog.words.formats import unit_label, with_unit

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hulllog.records.values import Measured


class NumberField(Field):
    """A number with its unit; with several ``units`` a menu changes the one that is meant.

    ``committed`` brings ``(text, unit)``, the text alone when a unit was typed with it, or an
    empty text.  Without a ``check`` of its own it refuses what is no number, or lies outside
    ``low`` and ``high`` in the first unit.
    """

    def __init__(
        self,
        text: str,
        units: Sequence[str],
        *,
        check: Check | None = None,
        low: float | None = None,
        high: float | None = None,
        **rest: Any,
    ) -> None:
        self.unit = units[0]
        self._units = tuple(units)
        self._menu = UnitMenu(text, units) if len(units) > 1 else None
        unit = self._menu or label(unit_label(units[0]), role="muted")
        inside = partial(_refuse_outside, self._units, low, high)
        super().__init__(text, Line(), check=check or inside, after=[unit], **rest)
        self.entry.setMinimumWidth(72)
        if self._menu is not None:
            self._menu.chosen.connect(self.choose_unit)

    def set_read_only(self, read_only: bool) -> None:
        """Show what is kept, and take nothing."""
        super().set_read_only(read_only)
        if self._menu is not None:
            self._menu.setEnabled(not read_only)

    def show_measured(self, value: Measured | None) -> None:
        """Show a kept value as it was typed, or nothing."""
        self.show_value(_whole(value.text, value.unit) if value else "")

    def typed(self) -> Any:
        """Return number and unit apart, or the text as it is where a unit was typed in it."""
        text = self.text().strip()
        with_letters = any(letter.isalpha() or letter in _SIGNS for letter in text)
        return text if with_letters or not text else (text, self.unit)

    def whole(self) -> str:
        """Return number and unit; empty without a number."""
        return _whole(self.text(), self.unit) if self.text() else ""

    def said_whole(self, whole: str) -> str:
        """Return number and unit as they are written."""
        text, _, unit = whole.partition(_SEPARATOR)
        return with_unit(text, unit) if text else ""

    def _take_accepted(self, whole: str) -> None:
        self._accepted = whole
        self.entry.accepted = whole.partition(_SEPARATOR)[0]

    def _put(self, whole: str) -> None:
        text, _, unit = whole.partition(_SEPARATOR)
        super()._put(text)
        self._set_unit(unit if unit in self._units else self._units[0])

    def _set_unit(self, unit: str) -> None:
        self.unit = unit
        if self._menu is not None:
            self._menu.show_unit(unit)

    def choose_unit(self, unit: str) -> None:
        """Take another unit for the figure, and commit it."""
        # The same figure in another unit is another value: it is committed again.
        self._set_unit(unit)
        self.commit()


_SEPARATOR = "\u241f"
_SIGNS = frozenset("%°'\"µμ²Ω")


def _whole(text: str, unit: str) -> str:
    return f"{text}{_SEPARATOR}{unit}"


def _refuse_outside(
    units: Sequence[str], low: float | None, high: float | None, typed_amount: Any
) -> None:
    if not typed_amount:
        return
    found = measured(typed_amount, units[0], "")
    if found.unit not in units:
        raise Refused("unit_other", typed=found.unit, allowed=list(units))
    value = found.in_unit(units[0])
    if low is not None and value < low:
        raise Refused("number_low", typed=found.text, unit=units[0], low=low)
    if high is not None and value > high:
        raise Refused("number_high", typed=found.text, unit=units[0], high=high)


class UnitMenu(QToolButton):
    """The unit of a number, and a menu of the others."""

    chosen = Signal(str)

    def __init__(self, field: str, units: Sequence[str]) -> None:
        super().__init__()
        self._field = field
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setPopupMode(QToolButton.ToolButtonPopupMode.InstantPopup)
        self.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextOnly)
        typed(self)
        rowed(self)
        menu = _menu_of(self, units)
        self.setMenu(menu)
        self.show_unit(units[0])

    def show_unit(self, unit: str) -> None:
        """Show which unit is meant."""
        self.setText(f"{unit_label(unit)} ▾")
        self.setAccessibleName(say("desktop.field.unit_of", field=self._field))
        self.setAccessibleDescription(unit_label(unit))


def _menu_of(owner: UnitMenu, units: Sequence[str]) -> QMenu:
    menu = QMenu(owner)
    for unit in units:
        action = menu.addAction(unit_label(unit))

        def choose(_checked: bool = False, unit: str = unit) -> None:
            owner.show_unit(unit)
            owner.chosen.emit(unit)

        action.triggered.connect(choose)
    return menu
