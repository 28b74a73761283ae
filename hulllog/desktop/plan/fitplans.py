"""Plans that were kept: their list, what each holds, and the sheet that keeps one."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from hulllog.desktop.buttons import Door, button
from hulllog.desktop.choice import Choices, Option
from hulllog.desktop.fields import TextField
from hulllog.desktop.hull.menus import MenuButton
from hulllog.desktop.labels import Prose
from hulllog.desktop.labels import label as text_label
from hulllog.desktop.layout import Card, Doors, boxed, column, flowing, line, rule, scrolled
from hulllog.desktop.papers.forms import Form
from hulllog.desktop.sheets import Sheet
from hulllog.desktop.theme import BODY
from hulllog.drawing.keptplans import (
    area_name,
    compared_texts,
    days_text,
    plan_text,
    step_text,
    uncoated_text,
)
from hulllog.insight.occasions import OUT_OF_WATER, visits
from hulllog.insight.plans import compared, kept_plans
from hulllog.records.operations import plans
from hulllog.words import formats, say, say_code

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from hulllog.desktop.pages import Page
    from hulllog.insight.plans import PlanKept
    from hulllog.records.book import Book

_WIDE = 600
_LABEL = 180


class KeptPlans(Card):
    """The list of plans that were kept.  ``reopened`` brings one that is wanted in the form."""

    reopened = Signal(object)

    listed = Signal()
    """The list is shown anew."""

    def __init__(self, page: Page) -> None:
        super().__init__(say("fit.plans"))
        self.page = page
        self.found: tuple[PlanKept, ...] = ()
        self.rows = Doors()
        self.add(self.rows)

    def refresh(self) -> None:
        """Show the plans that are on record now."""
        self.found = tuple(self.page.state.read(kept_plans))
        self.rows.clear()
        for plan in self.found:
            door = Door(plan.name, plan_text(plan), days_text(plan), on=partial(self.open, plan))
            door.setObjectName(f"fit/plan/{plan.plan_id}")
            self.rows.add(door)
        self.setVisible(bool(self.found))
        self.listed.emit()

    def open(self, plan: PlanKept) -> Sheet:
        """Show a plan."""
        sheet = PlanSheet(self.page, plan)
        sheet.reopened.connect(self.reopened)
        sheet.changed.connect(self.refresh)
        sheet.renaming.connect(self._rename)
        sheet.open()
        return sheet

    def _rename(self, plan: PlanKept) -> None:
        asked = NameForm(
            self.page, say("fit.plan.rename"), plans.rename_plan, (plan.plan_id,), {},
            name=plan.name,
        )  # fmt: skip
        asked.kept.connect(self.refresh)
        asked.open()


class PlanSheet(Sheet):
    """One plan: its tasks, the haul-out that it became, and what was done beside it."""

    reopened = Signal(object)
    renaming = Signal(object)
    changed = Signal()

    def __init__(self, page: Page, plan: PlanKept) -> None:
        super().__init__(page, plan.name, under=days_text(plan), width=_WIDE)
        self.page, self.plan = page, plan
        self._told = Prose(plan_text(plan), BODY)
        self.visits = MenuButton()
        self.visits.setObjectName("fit/plan_visit")
        self.visits.setAccessibleName(say("fit.plan.became"))
        for key, name in [*page.state.read(_haul_outs), (None, say("fit.plan.no_visit"))]:
            action = self.visits.menu().addAction(name)
            action.triggered.connect(partial(self._became, key))
        became = text_label(say("fit.plan.became"), role="muted")
        became.setFixedWidth(_LABEL)
        self.reopen = button(say("fit.plan.open"), self._reopen)
        self.rename = button(say("fit.plan.rename"), self._rename)
        self.withdraw = button(say("fit.plan.withdraw"), self._withdraw)
        for made, name in (
            (self.reopen, "open"),
            (self.rename, "rename"),
            (self.withdraw, "withdraw"),
        ):
            made.setObjectName(f"fit/plan_{name}")
        for writes in (self.visits, self.rename, self.withdraw):
            writes.setEnabled(not page.state.read_only)
        self._inside = QWidget()
        self._inside.setLayout(column())
        self.add(
            self._told,
            boxed(line(became, self.visits, None)),
            self._inside,
            flowing(self.reopen, self.rename, self.withdraw),
        )
        self._fill()

    def _fill(self) -> None:
        told = self.page.state.read(lambda book: compared(book, self.plan))
        named = dict(self.page.state.read(_haul_outs))
        name = named.get(self.plan.visit_id or "", say("fit.plan.no_visit"))
        self.visits.setText(name)
        self.visits.setAccessibleDescription(name)
        box = column(space=2)
        if told is not None:
            box.addWidget(Prose(say("fit.plan.beside"), BODY, bold=True))
            for text in compared_texts(told):
                box.addWidget(Prose(text, BODY))
            box.addWidget(rule())
        box.addWidget(Prose(say("fit.plan.tasks"), BODY, bold=True))
        for task in self.plan.tasks:
            box.addWidget(Prose(step_text(self.plan, task), BODY))
        box.addStretch(1)
        old, self._inside = self._inside, scrolled(boxed(box))
        self.body.replaceWidget(old, self._inside)
        old.hide()
        old.deleteLater()

    def _reopen(self) -> None:
        self.accept()
        self.reopened.emit(self.plan)

    def _became(self, visit_id: str | None, _checked: bool = False) -> None:
        self._write(plans.link_plan, self.plan.plan_id, visit_id, done=self._linked)

    def _linked(self) -> None:
        found = self.page.state.read(kept_plans)
        self.plan = next((one for one in found if one.plan_id == self.plan.plan_id), self.plan)
        self._fill()
        self.changed.emit()

    def _rename(self) -> None:
        self.accept()
        self.renaming.emit(self.plan)

    def _withdraw(self) -> None:
        self._write(plans.withdraw_plan, self.plan.plan_id, done=self._gone)

    def _gone(self) -> None:
        self.changed.emit()
        self.accept()

    def _write(self, operation: Callable[..., Any], *about: Any, done: Callable[[], None]) -> None:
        self.page.state.run(
            lambda logbook: operation(logbook, *about),
            done=lambda _none: done(),
            refused=self.tell,
            initiator=self.page,
            owner=self,
        )


class NameForm(Form):
    """Asks for the name of a plan, and which notes for next time are kept with it.

    The page that asks is spared the refresh that follows: its answer stays where it is.
    """

    kept = Signal()

    def __init__(
        self,
        page: Page,
        title: str,
        operation: Callable[..., Any],
        about: Sequence[Any],
        typed: Mapping[str, Any],
        *,
        name: str = "",
        uncoated: Sequence[str] = (),
    ) -> None:
        super().__init__(page, title)
        self._operation, self._about, self._typed = operation, tuple(about), dict(typed)
        self.name = self.field("name", TextField(say("fit.plan.name")))
        self.name.show_value(name)
        self.carried: Choices | None = None
        if uncoated:
            self.carried = Choices(
                say("fit.plan.carry"), [Option(area, area_name(area)) for area in uncoated]
            )
            self.carried.setObjectName("fit/carried")
            self.carried.show_value(uncoated)
            self.add(self.carried, Prose(say("fit.plan.carry_under"), BODY, role="muted"))

    def _store(self) -> bool:
        typed = {**self._typed, "name": self.name.typed() or ""}
        if self.carried is not None and self.carried.value:
            typed["notes"] = [uncoated_text(area) for area in self.carried.value]
        self.page.state.run(
            lambda logbook: self._operation(logbook, *self._about, **typed),
            done=lambda _made: self._stored(),
            refused=self._refused,
            initiator=self.page,
            owner=self,
        )
        return False

    def _stored(self) -> None:
        self.accept()
        self.kept.emit()


def _haul_outs(book: Book) -> list[tuple[str, str]]:
    """Return the times she was out, the newest first."""
    return [
        (one.id, f"{formats.anything(one.begins)}, {say_code('visit_kind', one.kind)}")
        for one in reversed(visits(book))
        if one.kind in OUT_OF_WATER
    ]
