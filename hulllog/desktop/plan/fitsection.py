"""*Does it fit?*: the slot and the work are given, the best plan that breaks no rule is shown."""

from __future__ import annotations

from concurrent.futures import CancelledError
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QSizePolicy, QWidget

from hulllog.desktop.buttons import button
from hulllog.desktop.fields import EXPECTED
from hulllog.desktop.folds import bring_in_sight
from hulllog.desktop.labels import Prose
from hulllog.desktop.layout import clear, column
from hulllog.desktop.plan.fitanswer import Answer
from hulllog.desktop.plan.fitform import FitForm
from hulllog.desktop.plan.fitplans import KeptPlans, NameForm
from hulllog.desktop.plan.fittyped import read_given, read_works
from hulllog.desktop.tasks import Cancelled
from hulllog.desktop.theme import BODY
from hulllog.insight import fitting
from hulllog.records.operations import plans
from hulllog.records.operations.plans import Step
from hulllog.words import say
from hulllog.words.errors import said

if TYPE_CHECKING:
    from hulllog.desktop.pages import Page
    from hulllog.desktop.tasks import Progress
    from hulllog.insight.fitting import Fit, PlannedTask
    from hulllog.insight.plans import PlanKept


class FitSection(QWidget):
    """Asks and answers.  The page that holds it calls ``refresh`` when records changed.

    ``answered`` brings the answer; ``tasks`` gives its tasks for a calendar.
    """

    answered = Signal(object)
    tables = frozenset(
        {
            "zone", "zone_version", "form_version", "product", "product_window", "coat", "vessel",
            "slot_plan", "plan_task", "visit", "anode_piece",
        }
    )  # fmt: skip
    """Names of the tables that it reads."""

    def __init__(self, page: Page) -> None:
        super().__init__()
        self.page = page
        self.told: Fit | None = None
        self._asking = 0
        self.plan: PlanKept | None = None
        """The plan that was opened in the form."""
        self.form = FitForm(page.state)
        self.kept = KeptPlans(page)
        self.kept.reopened.connect(self.reopen)
        self.do = button(say("fit.do"), self.work_out, primary=True)
        self.do.setObjectName("fit/do")
        self.do.setSizePolicy(QSizePolicy.Policy.Maximum, QSizePolicy.Policy.Fixed)
        self._problem = Prose("", BODY, bold=True)
        self._problem.setObjectName("fit/problem")
        self._problem.hide()
        self._room = column(space=3)
        box = column(
            Prose(say("fit.intro"), BODY, role="muted"),
            self.kept,
            self.form,
            self._problem,
            self.do,
            space=3,
        )
        box.setAlignment(self.do, Qt.AlignmentFlag.AlignLeft)
        box.addLayout(self._room)
        self.setLayout(box)
        self.form.changed.connect(self._outdated)

    @property
    def problem(self) -> str:
        """The sentence that says why nothing could be worked out; empty for none."""
        return "" if self._problem.isHidden() else self._problem.text()

    @property
    def answer(self) -> Answer | None:
        """What is shown of the answer."""
        return self.findChild(Answer)

    @property
    def tasks(self) -> tuple[PlannedTask, ...]:
        """The tasks of the plan with their beginning and end; none before it is worked out."""
        return fitting.planned(self.told) if self.told is not None else ()

    def first_focus(self) -> QWidget:
        """Return the widget that the keyboard starts at."""
        return self.form.sort

    def refresh(self) -> None:
        """Show what is on record now; an answer of before no longer holds."""
        self.form.refresh()
        self.kept.refresh()
        if self.plan is not None:
            known = {one.plan_id: one for one in self.kept.found}
            self.plan = known.get(self.plan.plan_id)
        self._outdated()

    def reopen(self, plan: PlanKept) -> None:
        """Show in the form what was typed for a plan, and work it out again."""
        self.plan = plan
        self.form.take(plan.cells, plan.zones)
        self.work_out()

    # What is kept

    def _asked(self) -> dict[str, Any]:
        assert self.told is not None
        return {
            "cells": self.form.values(),
            "zones": {group: list(keys) for group, keys in self.form.zones.items()},
            "time_zone": self.told.asked.time_zone,
        }

    def _worked_out(self) -> dict[str, Any]:
        """Return what is kept of the answer that is shown."""
        assert self.told is not None
        steps = [Step(one.code, one.area, one.number, one.begins, one.ends) for one in self.tasks]
        return {"asked": self._asked(), "verdict": self.told.verdict, "steps": steps}

    def keep(self) -> None:
        """Ask for a name, and keep the plan that is shown."""
        if self.told is None:
            return
        asked = NameForm(
            self.page, say("fit.plan.keep"), plans.keep_plan, (), self._worked_out(),
            uncoated=fitting.uncoated(self.told),
        )  # fmt: skip
        asked.kept.connect(self._is_kept)
        asked.open()

    def keep_in(self) -> None:
        """Keep the plan that is shown in place of what the opened one said."""
        if self.told is None or self.plan is None:
            return
        self.page.edit(
            plans.keep_plan_anew, self.plan.plan_id, done=lambda _none: self._is_kept(),
            quietly=True, **self._worked_out(),
        )  # fmt: skip

    def _is_kept(self) -> None:
        self.kept.refresh()
        self.page.state.tell(say("fit.plan.is_kept"))

    def work_out(self) -> None:
        """Read the form, and look for the best plan off the window's thread."""
        self._outdated()
        values = self.form.values()
        self.form.keep_draft()
        try:
            given = read_given(values, self.form.sort.value or "yard")  # type: ignore[arg-type]
            works = read_works(values, self.form.zones, values["first_paint"], values["finish"])
        except EXPECTED as problem:
            self._refuse(problem)
            return
        number = self._asking

        logbook = self.page.state.logbook

        def work(progress: Progress) -> Fit:
            with logbook.read() as book:
                asked = fitting.ask(book, given, works)
            return fitting.fit(asked, progress)

        self.do.setEnabled(False)
        self.page.background(
            say("fit.working_out"), work, lambda told: self._show(told, number), self._failed
        )

    def _show(self, told: Fit, number: int) -> None:
        self.do.setEnabled(True)
        if number != self._asking:
            return  # something else was typed meanwhile
        self.told = told
        names = {area.code: say(f"fit.group.{area.code}") for area in told.asked.areas}
        shown = Answer(self.page, told, names, opened=self.plan.name if self.plan else "")
        shown.keep.connect(self.keep)
        shown.keep_in.connect(self.keep_in)
        self._room.addWidget(shown)
        bring_in_sight(shown)
        shown.view.setFocus(Qt.FocusReason.OtherFocusReason)
        self.answered.emit(told)

    def _failed(self, problem: BaseException) -> None:
        self.do.setEnabled(True)
        if isinstance(problem, Cancelled | CancelledError):
            return
        if not isinstance(problem, EXPECTED):
            raise problem
        self._refuse(problem)

    def _refuse(self, problem: BaseException) -> None:
        self._problem.setText(said(problem))
        self._problem.show()
        self.form.refused(getattr(problem, "field", ""))

    def _outdated(self) -> None:
        """Take an answer away that no longer belongs to what is typed."""
        self._asking += 1
        self.told = None
        self._problem.hide()
        clear(self._room)
