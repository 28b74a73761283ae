"""One rating of a kind: cards for its grades, fields for its numbers, buttons for its letters.

Keys: a digit or letter on a card chooses it and goes on; Enter in a field goes on; Enter after the
last one is ``done``.  An empty size field takes the letter of a size card.
"""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QEvent, QObject, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QWidget

from hulllog.desktop.cards import pictures
from hulllog.desktop.cards.cardrow import HIGH, WIDE, CardOption, CardRow
from hulllog.desktop.choice import Choice, Option
from hulllog.desktop.drafts import Drafts, FieldKey
from hulllog.desktop.inputs import ENTER
from hulllog.desktop.layout import column
from hulllog.desktop.numbers import NumberField
from hulllog.records.values import Measured
from hulllog.trade import kinds
from hulllog.words import say
from hulllog.words.telling import component_name, grade

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from hulllog.insight.condition import Figure
    from hulllog.trade.kinds import Component

_LETTERS = "asdfghjkl"
_SIZED = frozenset({"typical_mm", "largest_mm"})
_SHOWN_UNITS = {"mm": ("mm", "cm", "in"), "cm2": ("cm2", "m2"), "um": ("um", "mm", "mil")}


class CardEntry(QWidget):
    """Enters the figures of one set of ``kind``.

    ``figures`` are what operations take.  ``fields`` are the number fields by the name that a
    refusal gives (``figures.count``); ``record`` and ``drafts`` say where typed text is kept.
    """

    done = Signal()
    changed = Signal()

    def __init__(
        self, kind: str, *, drafts: Drafts | None = None, record: str = "", compact: bool = False
    ) -> None:
        super().__init__()
        self.kind = kind
        self._drafts, self._record = drafts, record
        self.rows: dict[str, Choice] = {}
        self.fields: dict[str, NumberField] = {}
        self._order: list[QWidget] = []
        self.setLayout(column(space=3))
        for part in kinds.require(kind).components:
            self._add(part)
        self._sized = not compact and kind == "laminate-blisters"
        if self._sized:
            self._add_size_cards()

    # What was entered

    def figures(self) -> dict[str, Any]:
        """Return component -> figure, without the blank ones."""
        found: dict[str, Any] = {code: row.value for code, row in self.rows.items() if row.value}
        for name, field in self.fields.items():
            if field.typed():
                found[name.removeprefix("figures.")] = field.typed()
        return found

    def show_figures(self, figures: Mapping[str, Figure]) -> None:
        """Show figures that are kept, or those of last time."""
        for code, row in self.rows.items():
            value = figures.get(code)
            row.show_value(str(value) if isinstance(value, str) else None)
        for name, field in self.fields.items():
            value = figures.get(name.removeprefix("figures."))
            field.show_measured(
                Measured(f"{value:g}", field.unit, value) if isinstance(value, float) else None
            )

    def clear(self) -> None:
        """Forget what was entered and not kept."""
        for row in self.rows.values():
            row.show_value(None)
        for field in self.fields.values():
            field.give_up()
            field.show_value("")

    def start(self) -> None:
        """Put the keyboard where the entry begins."""
        self._order[0].setFocus(Qt.FocusReason.TabFocusReason)

    def press(self, key: str) -> bool:
        """Take a key that no field took: it chooses a card of the first row that has it."""
        return any(row.press(key) for row in self.rows.values())

    # Parts

    def _add(self, part: Component) -> None:
        made = self._row(part) if part.sort == "grade" else self._field(part)
        self._order.append(made)
        layout = self.layout()
        assert layout is not None
        layout.addWidget(made)

    def _row(self, part: Component) -> Choice:
        row = grade_row(self.kind, part)
        row.chosen.connect(lambda _code, row=row: self._go_on(row))
        self.rows[part.code] = row
        return row

    def _field(self, part: Component) -> NumberField:
        unit = part.unit or "1"
        shown = _SHOWN_UNITS.get(unit, (unit,))
        field = NumberField(
            labelled(self.kind, part.code),
            shown,
            low=part.low,
            high=part.high,
            key=FieldKey(self._record, f"{self.kind}.{part.code}") if self._record else None,
            drafts=self._drafts,
        )
        field.entry.installEventFilter(self)
        field.touched.connect(self.changed)
        self.fields[f"figures.{part.code}"] = field
        return field

    def _add_size_cards(self) -> None:
        options = [
            CardOption(
                f"{size:g}",
                say("card.size", size=pictures.in_mm(size)),
                _LETTERS[n],
                scene=pictures.size_scene(size, WIDE, HIGH),
            )
            for n, size in enumerate(pictures.SIZES)
        ]
        self.sizes = CardRow(say("card.sizes"), options)
        self.sizes.chosen.connect(self._take_size)
        for made in self.sizes.buttons:
            made.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        layout = self.layout()
        assert layout is not None
        layout.addWidget(self.sizes)

    # Keys

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Let an empty size field take the letter of a card, and Enter go on from any field."""
        if event.type() != QEvent.Type.KeyPress or not isinstance(event, QKeyEvent):
            return super().eventFilter(watched, event)
        field = next((one for one in self.fields.values() if one.entry is watched), None)
        if field is None:
            return False
        if _goes_on(event):
            if field.commit():
                self._go_on(field)
            return True
        return not field.text() and self._size_key(field, event.text())

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Let Enter on a row go on without a choice."""
        if _goes_on(event):
            at = next((w for w in self._order if w.isAncestorOf(self._focus())), None)
            self._go_on(at or self._order[-1])
        else:
            event.ignore()

    def _focus(self) -> QWidget:
        from PySide6.QtWidgets import QApplication

        return QApplication.focusWidget() or self

    def _size_key(self, field: NumberField, key: str) -> bool:
        if self._code_of(field) not in _SIZED or not self._sized:
            return False
        for made in self.sizes.buttons:
            if key and key.lower() == made.option.key:
                field.type_text(made.option.code)
                self._go_on(field)
                return True
        return False

    def _take_size(self, code: str) -> None:
        """Put the size of a pressed card into the size field that is meant."""
        self.sizes.show_value(None)
        sized = [one for one in self.fields.values() if self._code_of(one) in _SIZED]
        focus = self._focus()
        here = [one for one in sized if one.isAncestorOf(focus)]
        blank = [one for one in sized if not one.text()]
        target = (here or blank or sized)[0]
        target.type_text(code)
        self._go_on(target)

    def _code_of(self, field: NumberField) -> str:
        names = [name for name, one in self.fields.items() if one is field]
        return names[0].removeprefix("figures.") if names else ""

    def _go_on(self, after: QWidget) -> None:
        self.changed.emit()
        index = self._order.index(after) + 1
        if index < len(self._order):
            self._order[index].setFocus(Qt.FocusReason.TabFocusReason)
        else:
            self.done.emit()


def _goes_on(event: QKeyEvent) -> bool:
    """Tell whether this is Enter; with Ctrl it keeps the sheet around the entry."""
    return event.key() in ENTER and not event.modifiers() & Qt.KeyboardModifier.ControlModifier


def grade_row(kind: str, part: Component) -> Choice:
    """Make the row that chooses a grade: cards where it can be drawn, else buttons."""
    apart = [code for code in part.apart if code != "unknown"]
    codes = [*(part.pictured or part.grades), *apart]
    keys = keys_of(codes)
    name = labelled(kind, part.code)
    draw = partial(pictures.grade_scene, kind, part.code, width=WIDE, height=HIGH)
    if all(
        pictures.caption(kind, part.code, code) == grade(kind, part.code, code) for code in codes
    ):
        options = [
            Option(code, grade(kind, part.code, code), key)
            for code, key in zip(codes, keys, strict=True)
        ]
        return Choice(name, options)
    cards = [
        CardOption(
            code,
            pictures.caption(kind, part.code, code),
            key,
            scene=draw(code),
            short=grade(kind, part.code, code),
        )
        for code, key in zip(codes, keys, strict=True)
    ]
    return CardRow(name, cards)


def labelled(kind: str, component: str) -> str:
    """Return the name of a component as it stands before its field."""
    name = component_name(kind, component)
    return name[:1].upper() + name[1:]


def keys_of(codes: Sequence[str]) -> list[str]:
    """Return a key for each code: the code itself where that is one key, else letters."""
    if all(len(code) == 1 for code in codes):
        return [code.lower() for code in codes]
    taken: list[str] = []
    for code in codes:
        wanted = [letter for letter in code.lower() if letter.isalnum()]
        free = next((letter for letter in wanted if letter not in taken), "")
        taken.append(free)
    return taken


def may_rate_by_digit(kind: str) -> bool:
    """Tell whether one digit is a whole rating of the kind."""
    found = kinds.kind(kind)
    if found is None:
        return False
    first, *others = found.components
    digits = all(len(code) == 1 and code.isdigit() for code in (first.pictured or first.grades))
    return first.sort == "grade" and digits and all(part.optional for part in others)
