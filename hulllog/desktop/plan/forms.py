"""Plain forms of the plan: a cost line, and an invoice that is kept with its sum."""

from __future__ import annotations

from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any

from PySide6.QtWidgets import QFileDialog

from hulllog.desktop.buttons import button
from hulllog.desktop.fields import DateField, TextField
from hulllog.desktop.hull.menus import MenuButton
from hulllog.desktop.labels import Prose
from hulllog.desktop.labels import label as text_label
from hulllog.desktop.layout import boxed, line
from hulllog.desktop.papers.forms import Form
from hulllog.desktop.theme import BODY
from hulllog.records.operations import around, invoices
from hulllog.words import say

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from PySide6.QtWidgets import QWidget

    from hulllog.desktop.pages import Page

_LABEL = 128


class CostForm(Form):
    """A sum as on its paper, and the visit that it belongs to.

    ``visits`` are (key, name), the newest first; ``currency`` is the one that was typed last.
    """

    def __init__(self, page: Page, visits: Sequence[tuple[str, str]], currency: str) -> None:
        super().__init__(page, say("plan.add_cost"))
        self.add(Prose(say("plan.cost_under"), BODY, role="muted"))
        self._sum_fields(currency)
        self._visit_field(visits)

    def _sum_fields(self, currency: str) -> None:
        self.field("what", TextField(say("plan.cost_what")))
        self.field("amount", TextField(say("plan.cost_amount")))
        known = self.field("currency", TextField(say("plan.cost_currency")))
        if currency:
            known.show_value(currency)

    def _visit_field(self, visits: Sequence[tuple[str, str]]) -> None:
        self.visit_id: str | None = visits[0][0] if visits else None
        self.visits = MenuButton()
        self._names = dict(visits)
        for key, name in [*visits, ("", say("plan.cost_no_visit"))]:
            action = self.visits.menu().addAction(name)
            action.triggered.connect(partial(self.belong_to, key))
        said = text_label(say("plan.cost_visit"), role="muted")
        said.setFixedWidth(_LABEL)
        row: QWidget = boxed(line(said, self.visits, None))
        self.add(row)
        self._show_visit()

    def belong_to(self, key: str, _checked: bool = False) -> None:
        """Say which visit it belongs to; none for an empty key."""
        self.visit_id = key or None
        self._show_visit()

    def _show_visit(self) -> None:
        name = self._names.get(self.visit_id or "", say("plan.cost_no_visit"))
        self.visits.setText(name)
        self.visits.setAccessibleName(say("plan.cost_visit"))
        self.visits.setAccessibleDescription(name)

    def typed(self) -> dict[str, Any]:
        """Return what was typed."""
        kept = {name: field.typed() or "" for name, field in self.fields.items()}
        return {**kept, "visit_id": self.visit_id}

    def operation(self) -> tuple[Callable[..., Any], tuple[Any, ...], Mapping[str, Any]]:
        """Enter the cost."""
        return around.add_cost, (), self.typed()


class InvoiceForm(CostForm):
    """An invoice: its file where there is one, its date, and its sum."""

    def __init__(
        self,
        page: Page,
        visits: Sequence[tuple[str, str]],
        currency: str,
        file: Path | None = None,
    ) -> None:
        Form.__init__(self, page, say("plan.add_invoice"))
        self.file: Path | None = None
        self.add(Prose(say("plan.invoice_under"), BODY, role="muted"))
        self.field("title", TextField(say("plan.invoice_title")))
        self.field("paper_date", DateField(say("plan.invoice_date"), hint=say("word.optional")))
        self._sum_fields(currency)
        self._visit_field(visits)
        self.choose = button(say("papers.choose_file"), self._choose)
        self.chosen = Prose(say("papers.no_file"), BODY, role="muted")
        self.add(self.choose, self.chosen)
        if file is not None:
            self.take(file)

    def choose_file(self) -> str:
        """Ask for the file; empty for none."""
        chosen, _ = QFileDialog.getOpenFileName(self, say("papers.choose_file"))
        return chosen

    def _choose(self) -> None:
        if chosen := self.choose_file():
            self.take(Path(chosen))

    def take(self, file: Path) -> None:
        """Take a file; its name is the title until another is typed."""
        self.file = file
        self.chosen.setText(file.name)
        if not self.fields["title"].typed():
            self.fields["title"].show_value(file.stem[:120])

    def operation(self) -> tuple[Callable[..., Any], tuple[Any, ...], Mapping[str, Any]]:
        """Keep the paper with its sum."""
        typed = self.typed()
        typed["paper_date"] = typed["paper_date"] or None
        return invoices.add_invoice, (), {**typed, "file": self.file}
