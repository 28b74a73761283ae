"""*Does it fit?*: the slot and the work are given, the best plan that breaks no rule is shown."""

from __future__ import annotations

from concurrent.futures import CancelledError
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QSizePolicy, QWidget

from hulllog.desktop.buttons import button
from hulllog.desktop.fields import EXPECTED
from hulllog.desktop.folds import bring_in_sight
from hulllog.desktop.labels import Prose
from hulllog.desktop.layout import clear, column
from hulllog.desktop.plan.fitanswer import Answer
from hulllog.desktop.plan.fitform import FitForm
from hulllog.desktop.plan.fittyped import read_given, read_works
from hulllog.desktop.tasks import Cancelled
from hulllog.desktop.theme import BODY
from hulllog.insight import fitting
from hulllog.words import say
from hulllog.words.errors import said

if TYPE_CHECKING:
    from hulllog.desktop.pages import Page
    from hulllog.desktop.tasks import Progress
    from hulllog.insight.fitting import Fit, PlannedTask


class FitSection(QWidget):
    """Asks and answers.  The page that holds it calls ``refresh`` when records changed.

    ``answered`` brings the answer; ``tasks`` gives its tasks for a calendar.
    """

    answered = Signal(object)
    tables = frozenset(
        {"zone", "zone_version", "form_version", "product", "product_window", "coat", "vessel"}
    )
    """Names of the tables that it reads."""

    def __init__(self, page: Page) -> None:
        super().__init__()
        self.page = page
        self.told: Fit | None = None
        self._asking = 0
        self.form = FitForm(page.state)
        self.do = button(say("fit.do"), self.work_out, primary=True)
        self.do.setObjectName("fit/do")
        self.do.setSizePolicy(QSizePolicy.Policy.Maximum, QSizePolicy.Policy.Fixed)
        self._problem = Prose("", BODY, bold=True)
        self._problem.setObjectName("fit/problem")
        self._problem.hide()
        self._room = column(space=3)
        box = column(
            Prose(say("fit.intro"), BODY, role="muted"), self.form, self._problem, self.do, space=3
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
        self._outdated()

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
        shown = Answer(self.page, told, names)
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
