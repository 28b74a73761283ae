"""What a walk looks for and how, set once before it begins, with proposals by her material."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QWidget

from hulllog.desktop.buttons import button
from hulllog.desktop.choice import Choice, Choices, Option
from hulllog.desktop.haul_out.answers import BigRow
from hulllog.desktop.haul_out.dates import ShortDateField
from hulllog.desktop.haul_out.section import focus_on
from hulllog.desktop.inputs import ENTER
from hulllog.desktop.layout import Card, Caution, column, line
from hulllog.insight import walking
from hulllog.records.errors import Refused
from hulllog.records.operations import choices
from hulllog.records.values import PartialDate
from hulllog.words import say
from hulllog.words.formats import partial_date
from hulllog.words.telling import kind_name

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping, Sequence
    from datetime import date

    from PySide6.QtGui import QKeyEvent

    from hulllog.desktop.state import State
    from hulllog.insight.walking import WalkPlan

_LETTERS = "qwertyuiopasdf"
_METHOD_KEYS = dict(zip(choices.METHODS, "glhtmuoc", strict=True))


@dataclass(frozen=True, slots=True)
class Walk:
    """A walk under way: its state, what is looked for, how, and the conditions of the day."""

    state: str
    looked_for: tuple[str, ...]
    methods: tuple[str, ...]
    conditions: Mapping[str, str]
    day: PartialDate | None = None
    """The day that was given for it; None: the day of each answer."""


class WalkSetup(QWidget):
    """Asks which walk it is; all else follows and can be changed.  ``begun`` brings a Walk."""

    begun = Signal(object)

    def __init__(self, state: State) -> None:
        super().__init__()
        self._state = state
        material, keel = state.read(walking.boat_of)
        self._plans = {plan.code: plan for plan in walking.plans(material, keel)}
        self.plan = BigRow(
            say("haul_out.walk.which"),
            [
                Option(code, say(f"haul_out.plan.{code}"), str(number), self._more(plan))
                for number, (code, plan) in enumerate(self._plans.items(), 1)
            ],
            stays=True,
        )
        kinds = walking.offered(material, keel)
        self.kinds = Choices(
            say("haul_out.walk.looked_for"),
            [
                Option(kind, kind_name(kind), key)
                for kind, key in zip(kinds, _LETTERS, strict=False)
            ],
        )
        self.methods = Choices(
            say("haul_out.walk.methods"),
            [Option(code, say(f"method.{code}"), _METHOD_KEYS[code]) for code in choices.METHODS],
        )
        self.washed = Choice(
            say("haul_out.walk.washed"),
            [
                Option("not_washed", say("washed.not_washed"), "b"),
                Option("washed", say("washed.washed"), "a"),
            ],
        )
        self.wetness = Choice(
            say("haul_out.walk.wetness"),
            [Option("wet", say("wetness.wet"), "w"), Option("dry", say("wetness.dry"), "d")],
        )
        self.day = ShortDateField(
            say("haul_out.walk.day"), today=self._today, not_before=lambda: self._begun,
            check=self._check_day,
        )  # fmt: skip
        self._begun: date | None = None
        self._zone = "UTC"
        self.hanging = Caution(
            say("haul_out.caution.hanging"), say("haul_out.caution.hanging_more")
        )
        self.go = button(say("haul_out.walk.begin"), self.begin, primary=True)
        self.go.setProperty("writes", True)
        self.plan.chosen.connect(self._planned)
        self._lay_out()

    def show_day(self, begun: date | None, taken: PartialDate | None, zone: str) -> None:
        """Say which day is taken while none is typed."""
        self._begun, self._zone = begun, zone
        told = say("haul_out.walk.day_unknown")
        if taken is not None:
            told = say("haul_out.walk.day_taken", day=partial_date(taken))
        self.day.entry.setPlaceholderText(told)

    def _check_day(self, typed: str) -> None:
        """Refuse what is no day, and a day that lies ahead: no answer could be kept with it."""
        now = self._state.logbook.around.now()
        if typed and PartialDate.parse(typed, self._zone).earliest > now:
            raise Refused("date_ahead", field="observed", typed=typed)

    def _today(self) -> date:
        return self._state.logbook.around.now().astimezone().date()

    def offer(self, codes: Collection[str]) -> None:
        """Let only these walks be chosen; for the others it is too early, or too late."""
        for code in self._plans:
            self.plan.set_offered(code, code in codes)

    def propose(self, code: str) -> None:
        """Propose one of the walks, of no day of its own."""
        self.day.give_up()
        self.plan.show_value(code)
        self._show(self._plans[code])

    def show_walk(self, walk: Walk) -> None:
        """Show the walk that is under way, to be changed."""
        code = next((c for c, plan in self._plans.items() if _same(plan, walk)), None)
        self.plan.show_value(code)
        self._show_parts(walk.looked_for, walk.methods, walk.conditions)

    def is_plan(self, code: str, walk: Walk) -> bool:
        """Tell whether a walk is one of the proposed ones."""
        return _same(self._plans[code], walk)

    def start(self) -> None:
        """Put the keyboard on the first question."""
        focus_on(self.plan)

    def press(self, key: str) -> bool:
        """Take a key that no row took: the number of a walk."""
        return self.plan.press(key)

    def begin(self) -> None:
        """Begin the walk as it stands."""
        if not self.kinds.value:
            focus_on(self.kinds)
            return
        if not self.day.commit():
            focus_on(self.day.entry)
            return
        typed = self.day.text().strip()
        plan = self._plans.get(self.plan.value or "")
        conditions = {"washed": self.washed.value, "wetness": self.wetness.value}
        self.begun.emit(
            Walk(
                plan.state if plan is not None else "found",
                self.kinds.value,
                self.methods.value,
                {code: value for code, value in conditions.items() if value},
                PartialDate.parse(typed, self._zone) if typed else None,
            )
        )

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Let Enter begin from anywhere."""
        if event.key() in ENTER:
            self.begin()
        else:
            super().keyPressEvent(event)

    def _planned(self, code: str) -> None:
        self._show(self._plans[code])
        self.go.setFocus(Qt.FocusReason.TabFocusReason)

    def _show(self, plan: WalkPlan) -> None:
        self._show_parts(plan.looked_for, plan.methods, plan.conditions)

    def _show_parts(
        self, kinds: Sequence[str], methods: Sequence[str], conditions: Mapping[str, str]
    ) -> None:
        self.kinds.show_value(kinds)
        self.methods.show_value(methods)
        self.washed.show_value(conditions.get("washed"))
        self.wetness.show_value(conditions.get("wetness"))

    def _more(self, plan: WalkPlan) -> str:
        return ", ".join(kind_name(kind) for kind in plan.looked_for)

    def _lay_out(self) -> None:
        card = Card(say("haul_out.walk.title"))
        card.add(self.plan, self.kinds, self.methods, self.washed, self.wetness, self.day)
        card.body.addLayout(line(None, self.go))
        box = column(self.hanging, card, space=2)
        box.addStretch(1)
        self.setLayout(box)


def _same(plan: WalkPlan, walk: Walk) -> bool:
    return plan.state == walk.state and set(plan.looked_for) == set(walk.looked_for)
