"""A sheet of the page *Boat* that asks for one record: its fields, what is rarely given, withdraw.

What was typed is kept as a draft; what refused it stands beside its field.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from hulllog.desktop.anodes.questions import Questions
from hulllog.desktop.buttons import button, link
from hulllog.desktop.choice import Choice, ChoiceRow, Option
from hulllog.desktop.drafts import FieldKey
from hulllog.desktop.fields import TextField
from hulllog.desktop.hull.menus import MenuButton
from hulllog.desktop.hull.storing import store
from hulllog.desktop.layout import boxed, column, line
from hulllog.desktop.numbers import NumberField
from hulllog.records.operations import keeping
from hulllog.words import say, say_code

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from PySide6.QtWidgets import QWidget

    from hulllog.desktop.fields import Field
    from hulllog.desktop.pages import Page
    from hulllog.records.base import Base
    from hulllog.records.operations.typed import Fields

    Operation = tuple[Callable[..., Any], tuple[Any, ...], Mapping[str, Any]]

WIDTH = 560


class Asked(Questions):
    """Asks for a record, or shows one to be changed or withdrawn.

    ``table`` is that of the operation, by which each field is checked when it is left.
    """

    def __init__(
        self,
        page: Page,
        title: str,
        table: Fields,
        model: type[Base],
        record: Any = None,
        *,
        under: str = "",
    ) -> None:
        super().__init__(
            page,
            title,
            under=under,
            accept_text=say("do.done"),
            on_accept=self._store,
            width=WIDTH,
        )
        self.page, self.record, self.model = page, record, model
        self.fields: dict[str, Field] = {}
        self.choices: dict[str, Choice] = {}
        self._table = table
        key = record.id if record is not None else "new"
        self._key = f"{model.__tablename__}/{key}"

    # Questions

    def text(
        self, name: str, label: str, value: str | None = "", *, kind: Any = TextField, **rest: Any
    ) -> Field:
        """Make a field of a kind, with what is kept in it or the draft over it."""
        made: Field = kind(
            label,
            key=FieldKey(self._key, name),
            drafts=self.page.state.drafts,
            check=self.page.state.checker(self._table, name),
            **rest,
        )
        if isinstance(made, NumberField):
            made.show_measured(getattr(self.record, name, None))
        else:
            made.show_value(value or "")
        self.fields[name] = made
        return made

    def choice(
        self, name: str, label: str, family: str, codes: Sequence[str], value: str | None
    ) -> Choice:
        """Make a choice of codes."""
        made = Choice(label, [Option(code, say_code(family, code)) for code in codes])
        made.show_value(value)
        self.choices[name] = made
        return made

    def rarely(self, *widgets: QWidget) -> QWidget:
        """Fold away what is rarely given; it is open where something of it is on record."""
        held = boxed(column(*widgets, space=3))
        held.hide()
        more = link(say("boat_page.more"))

        def unfold() -> None:
            held.show()
            more.hide()
            widgets[0].setFocus()

        more.clicked.connect(lambda _on: unfold())
        return boxed(column(more, held, space=1))

    def typed(self) -> dict[str, Any]:
        """Return what was typed and chosen; what is left blank as None."""
        found: dict[str, Any] = {name: one.typed() or None for name, one in self.fields.items()}
        return found | {name: one.value for name, one in self.choices.items()}

    # Storing

    def operation(self) -> Operation:
        """Return what to run: an operation of the records, what it is about, what was typed."""
        raise NotImplementedError

    def ask(self) -> Asked:
        """Show the sheet with the keyboard in its first field."""
        if self.record is not None:
            self._offer_withdrawal()
        if self.page.state.read_only and self.do is not None:
            self.do.hide()
            self.cancel.setText(say("do.close"))
            for one in self.fields.values():
                one.set_read_only(True)
            for menu in self.findChildren(MenuButton):
                menu.setEnabled(False)
            for row in self.findChildren(ChoiceRow):
                row.set_read_only(True)
        self.open()
        first = next(iter(self.fields.values()), None)
        if first is not None:
            first.entry.setFocus()
        return self

    def _offer_withdrawal(self) -> None:
        self.withdrawal = button(say("do.withdraw"), self.withdraw, icon="withdraw")
        self.withdrawal.setEnabled(self.page.state.read_only is None)
        self.add(boxed(line(self.withdrawal, None)))

    def withdraw(self) -> None:
        """Hide the record and keep it."""
        store(self.page, self, keeping.withdraw, self.model, self.record.id)

    def _store(self) -> bool:
        operation, about, typed = self.operation()
        store(self.page, self, operation, *about, fields=self.fields, **typed)
        return False
