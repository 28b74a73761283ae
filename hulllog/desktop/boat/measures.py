"""Her measures and sorts as fields, each with a mark beside it where it is assumed."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QWidget

from hulllog.desktop.boat.told import CHOICES
from hulllog.desktop.choice import Choice, Option
from hulllog.desktop.drafts import FieldKey
from hulllog.desktop.labels import label
from hulllog.desktop.layout import line
from hulllog.desktop.numbers import NumberField
from hulllog.desktop.theme import SMALL, step
from hulllog.records.operations import vessel
from hulllog.words import formats, say, say_code

if TYPE_CHECKING:
    from collections.abc import Callable

    from hulllog.desktop.state import State
    from hulllog.insight.boat import BoatForm

_MARK = 60
_LOWER = {True: 2.2, False: 2.6}
"""How much lower the mark stands, in steps, beside a field and beside buttons."""


class Marked(QWidget):
    """A field or a choice, and at its end a word where what it holds is assumed."""

    def __init__(self, inside: QWidget) -> None:
        super().__init__()
        self._mark = label(say("word.assumed"), SMALL, role="muted")
        lower = step(_LOWER[isinstance(inside, NumberField)])
        self._mark.setContentsMargins(0, lower, 0, 0)
        room = QWidget()
        room.setFixedWidth(_MARK)
        held = line(self._mark, space=0)
        held.setAlignment(self._mark, Qt.AlignmentFlag.AlignTop)
        room.setLayout(held)
        box = line(space=1)
        box.addWidget(inside, 1)
        box.addWidget(room, 0, Qt.AlignmentFlag.AlignTop)
        self.setLayout(box)
        self._mark.hide()

    @property
    def assumed(self) -> bool:
        """Whether the word stands there."""
        return not self._mark.isHidden()

    def mark(self, *, assumed: bool) -> None:
        """Put the word there or take it away."""
        self._mark.setVisible(assumed)


class Measure(Marked):
    """A measure of her form; while nobody gave it, the form's own stands there faintly."""

    def __init__(
        self, state: State, name: str, units: tuple[str, ...], on: Callable[[str, Any], object]
    ) -> None:
        self.field = NumberField(
            say(f"boat_page.measure.{name}"),
            units,
            key=FieldKey("form", name),
            drafts=state.drafts,
            check=state.checker(vessel.PARTICULARS, name),
        )
        super().__init__(self.field)
        self._name, self._unit = name, "kg" if name == "displacement" else "m"
        self.field.committed.connect(partial(on, name))

    def show_form(self, form: BoatForm) -> None:
        """Show what was given, or that it is assumed and what the form takes for it."""
        given = form.typed.get(self._name)
        self.field.show_measured(given)
        drawn = form.drawn.get(self._name)
        faint = formats.quantity(drawn, self._unit) if given is None and drawn else ""
        self.field.entry.setPlaceholderText(faint)
        self.mark(assumed=given is None)
        if faint and not self.field.sentence:
            said = say("boat_page.assumed_value", value=faint)
            self.field.entry.setAccessibleDescription(said)


class Sort(Marked):
    """A choice of what sort her keel, her bow and the like are."""

    def __init__(self, name: str, on: Callable[[str, Any], object]) -> None:
        family, codes = CHOICES[name]
        self.choice = Choice(
            say(f"vessel.{name}"),
            [Option(code, say_code(family, code)) for code in codes],
            label_width=80,
        )
        self.choice.setObjectName(f"form/{name}")
        super().__init__(self.choice)
        self._name = name
        self.choice.chosen.connect(partial(on, name))

    def show_form(self, form: BoatForm) -> None:
        """Show what is on record, and whether it is assumed."""
        self.choice.show_value(str(getattr(form.particulars, self._name)))
        self.mark(assumed=self._name in form.assumed)
