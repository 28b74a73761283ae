"""The steps of a haul-out in the order in which evidence goes, with cautions and stage times."""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING, ClassVar

from PySide6.QtCore import QEvent, QObject, Qt, Signal
from PySide6.QtGui import QKeyEvent

from hulllog.desktop.buttons import TallDoor, icon_button, link
from hulllog.desktop.drafts import FieldKey
from hulllog.desktop.figures import working_link
from hulllog.desktop.haul_out.dates import ShortDateField, clocked
from hulllog.desktop.haul_out.facts import Facts
from hulllog.desktop.haul_out.lasttime import LAST_KEY
from hulllog.desktop.haul_out.ledtasks import LedTasks, step_text
from hulllog.desktop.haul_out.section import Section, focus_on
from hulllog.desktop.labels import Prose
from hulllog.desktop.layout import Card, Caution, boxed, clear, column, line
from hulllog.drawing.disagreeing import contradiction_text
from hulllog.insight.contradictions import of_visit
from hulllog.insight.leading import lacking, led, offered_times
from hulllog.insight.yard import progress
from hulllog.records.operations.visits import STAGE
from hulllog.records.operations.yardwork import set_stage
from hulllog.words import formats, say, say_code, say_n
from hulllog.words.formats import joined, quantity

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import date, datetime, tzinfo

    from PySide6.QtWidgets import QAbstractButton, QPushButton, QWidget

    from hulllog.desktop.pages import Page
    from hulllog.insight.leading import Led
    from hulllog.insight.yard import Progress
    from hulllog.records.model import Visit
    from hulllog.records.values import PartialDate

_STAGE_WIDTH, _MARK_WIDTH = 252, 28
TIME_KEY = "t"
"""The key that goes to the time of the next step."""


@dataclass(frozen=True, slots=True)
class Step:
    """One step: the stage that it ends, the part of the page it leads to, its caution."""

    stage: str
    leads_to: str
    plan: str = ""
    caution: str = ""


STEPS = (
    Step("lifted", "walk", "before_wash", "hanging"),
    Step("washed", "walk", "after_wash", "washing"),
    Step("opened_up", "anodes", caution="power"),
    Step("prepared", "paint", caution="dust"),
    Step("coated", "paint", caution="paint"),
    Step("ready", "walk", "as_left", "props"),
    Step("relaunched", "notes", caution="launch"),
)


class StepsSection(Section):
    """The steps at the left, what is known of the haul-out at the right.

    ``walk_to`` brings the code of a walk; ``another`` asks for the short form of another haul-out.
    """

    code: ClassVar[str] = "steps"
    walk_to = Signal(str)
    another = Signal()

    def __init__(self, page: Page) -> None:
        super().__init__(page)
        self.times: dict[str, ShortDateField] = {}
        self.nows: dict[str, QAbstractButton] = {}
        self.doors: dict[str, TallDoor] = {}
        self.facts = Facts(page)
        self.lists: dict[str, LedTasks] = {}
        self.cautions: dict[str, Caution | None] = {}
        self.marks: dict[str, QAbstractButton] = {}
        self._unfolded: set[str] = set()
        self.tasks: list[Led] = []
        self.current = STEPS[0].stage
        self.offers: dict[str, QPushButton] = {}
        self.lacking: dict[str, QPushButton] = {}
        self._visit_made = ""
        self._used = column(space=0)
        self._rows = column(space=1)
        self._card = Card(margin=3)
        self._card.body.addLayout(self._rows)
        self.disagreeing = Card(say("haul_out.contradictions"), margin=3)
        self.disagreeing.setObjectName("haul_out/contradictions")
        left = column(self._card, space=2)
        left.addStretch(1)
        self._other = link(say("haul_out.short.another"), self.another.emit)
        right = column(self.facts, self.disagreeing, space=2)
        right.addWidget(self._other, 0, Qt.AlignmentFlag.AlignRight)
        right.addStretch(1)
        both = line(space=3)
        both.addWidget(boxed(left), 5)
        both.addWidget(boxed(right), 4)
        self.setLayout(both)

    def show_visit(self, visit: Visit) -> None:
        """Show a haul-out; its stage times keep drafts of their own."""
        if visit.id != self._visit_made:
            self._visit_made = visit.id
            self._make_rows(visit)
        super().show_visit(visit)

    def refresh(self) -> None:
        """Say how far each step is."""
        assert self.visit is not None
        held = self.state.read(lambda book: progress(book, self.visit_id))
        now = self._now()
        self.tasks = self.state.read(lambda book: led(book, self.visit_id, now))
        offered = self.state.read(lambda book: offered_times(book, self.visit_id))
        lacks = self.state.read(lacking)
        self.current = self._current(held)
        on_task = self._on_task()
        for step in STEPS:
            tasks = self._of(step.stage)
            self.doors[step.stage].show_end(_held(step, held, tasks), _in_full(step, held, tasks))
            self.lists[step.stage].show_tasks(self._shown(step.stage))
            self._show_caution(step.stage)
            self._show_lacking(step.stage, lacks.get(step.stage, ()))
            self._offer(step.stage, offered.get(step.stage))
            when = held.stages.get(step.stage)
            self.times[step.stage].show_value(when.text if when else "")
            self.nows[step.stage].setVisible(not self._is_over())
        self.facts.show_visit(self.visit)
        self._show_litres(held)
        self._show_disagreeing()
        self._order_stops()
        if on_task and not self._on_task() and (first := self.start()) is not None:
            first.setFocus()  # the row that it was on went with its step

    def _on_task(self) -> bool:
        """Tell whether the keyboard is on the row of a task."""
        focus = self.window().focusWidget()
        return focus is not None and any(one.isAncestorOf(focus) for one in self.lists.values())

    def _order_stops(self) -> None:
        """Let Tab go as the eye does: a step, its time, what is offered, its tasks; then on.

        Rows of tasks are made anew at each reading, and Qt puts what is new at the end.
        """
        for stage, shown in self.lists.items():
            before: QWidget = self.times[stage].entry
            caution = self.cautions[stage]
            after: list[QWidget] = [
                self.offers[stage], *shown.doors.values(), self.lacking[stage],
            ]  # fmt: skip
            if caution is not None:
                after[1:1] = [caution.opener, self.marks[stage]]
            for stop in after:
                self.setTabOrder(before, stop)
                before = stop
        self.setTabOrder(self.facts.note.entry, self.facts.close_it)
        self.setTabOrder(self.facts.close_it, self._other)

    def _show_litres(self, held: Progress) -> None:
        """Show a door to how the litres so far were summed."""
        clear(self._used)
        if held.used is not None:
            door = working_link(self, held.used, show="L")
            self._used.addWidget(door, 0, Qt.AlignmentFlag.AlignRight)

    def _show_disagreeing(self) -> None:
        """Say what does not fit together at this haul-out, a sentence each."""
        found = self.state.read(lambda book: of_visit(book, self.visit_id))
        self.disagreeing.clear()
        self.disagreeing.setVisible(bool(found))
        self.disagreeing.add(*(Prose(contradiction_text(one)) for one in found))

    def start(self) -> QWidget | None:
        """Start at the first task that waits, else at the step whose tasks are shown."""
        for stage, shown in self.lists.items():
            first = shown.first_open(self._of(stage))
            if first is not None:
                return first
        return self.doors.get(self.current)

    def _of(self, stage: str) -> list[Led]:
        return [task for task in self.tasks if task.stage == stage]

    def _shown(self, stage: str) -> list[Led]:
        """Return the tasks of the step that is on; of one before, what has come due since."""
        order = [step.stage for step in STEPS]
        if stage == self.current:
            return self._of(stage)
        if order.index(stage) > order.index(self.current):
            return []
        return [one for one in self._of(stage) if one.state == "open" and one.not_before]

    def _current(self, held: Progress) -> str:
        """Return the step whose tasks are shown: the first from the last one reached that waits.

        What is too early holds nothing up: it comes back when its day has come.
        """
        order = [step.stage for step in STEPS]
        reached = max((order.index(stage) for stage in held.stages if stage in order), default=0)
        for stage in order[reached:]:
            if any(task.state == "open" for task in self._of(stage)):
                return stage
        return order[-1]

    def _show_caution(self, stage: str) -> None:
        """Show the line of a caution where work is or waits; of a step that is shut its mark.

        She may still hang while she is washed, and is washed while she hangs.
        """
        caution = self.cautions[stage]
        if caution is None:
            return
        order = [step.stage for step in STEPS]
        at, now = order.index(stage), order.index(self.current)
        near = at == now or {at, now} == {0, 1}
        shown = near or bool(self._shown(stage)) or stage in self._unfolded
        caution.setVisible(shown)
        self.marks[stage].setVisible(not shown)

    def _unfold(self, stage: str) -> None:
        """Show a caution whole where only its mark stood."""
        caution = self.cautions[stage]
        assert caution is not None
        self._unfolded.add(stage)
        self._show_caution(stage)
        caution.toggle()
        caution.opener.setFocus()

    def _show_lacking(self, stage: str, sorts: Sequence[str]) -> None:
        """Say in one quiet line what is not asked for want of an instrument; it leads to adding."""
        told = self.lacking[stage]
        told.setVisible(bool(sorts) and stage == self.current)
        named = [say_code("instrument", sort) for sort in sorts]
        told.setText(say("led.lacking", instruments=joined(named)))

    def _offer(self, stage: str, at: datetime | None) -> None:
        """Offer a time from the photographs beside the field that has none."""
        offer = self.offers[stage]
        offer.setVisible(at is not None and self.state.read_only is None)
        if at is None:
            return
        local = at.astimezone(self._zone())
        text = say("haul_out.stage.offered", time=formats.moment(local))
        offer.setText(text)
        offer.setAccessibleName(
            say("haul_out.stage.offered_for", stage=say(f"stage.{stage}"), time=text)
        )
        offer.setProperty("typed", local.strftime("%Y-%m-%d %H:%M"))

    def _take_offer(self, stage: str) -> None:
        self.times[stage].type_text(str(self.offers[stage].property("typed")))

    def _take_time(self, stage: str) -> None:
        """Take the time that is offered, else this minute, while she is out."""
        if not self.offers[stage].isHidden():
            self._take_offer(stage)
        elif not self._is_over():
            self.times[stage].type_text(self._now_typed())

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Let "=" in an empty time take what is offered, as it takes what was so last time."""
        if event.type() == QEvent.Type.KeyPress and isinstance(event, QKeyEvent):
            stage = next((code for code, one in self.times.items() if one.entry is watched), "")
            if stage and event.text() == LAST_KEY and not self.times[stage].text():
                self._take_time(stage)
                return True
        return super().eventFilter(watched, event)

    def _to_time(self) -> bool:
        """Go to the time of the first step from the last one reached that has none."""
        order = list(self.times)
        known = [n for n, stage in enumerate(order) if self.times[stage].text()]
        blank = [stage for stage in order[max(known, default=0) :] if not self.times[stage].text()]
        if blank:
            focus_on(self.times[blank[0]].entry)
        return bool(blank)

    def press(self, key: str) -> bool:
        """Go to a step by its number, or to the time of the next one by its letter."""
        if key.lower() == TIME_KEY:
            return self._to_time()
        if key.isdigit() and 1 <= int(key) <= len(STEPS):
            self._open(STEPS[int(key) - 1])
            return True
        return False

    def _make_rows(self, visit: Visit) -> None:
        clear(self._rows)
        self.times.clear()
        self.lists.clear()
        self.cautions.clear()
        self.marks.clear()
        self.lacking.clear()
        self._unfolded.clear()
        for number, step in enumerate(STEPS, 1):
            title = say(f"haul_out.step.{step.stage}")
            door = TallDoor(
                say("haul_out.step.numbered", n=number, title=title), on=partial(self._open, step)
            )
            door.setObjectName(f"step.{step.stage}")
            self.doors[step.stage] = door
            self.times[step.stage] = self._time_field(visit, step)
            row = line(space=1)
            row.addWidget(door, 1)
            caution = self.cautions[step.stage] = _caution(step.caution) if step.caution else None
            if caution is not None:
                mark = self.marks[step.stage] = icon_button(
                    "caution", caution.accessibleName(), partial(self._unfold, step.stage)
                )
                mark.setFixedWidth(_MARK_WIDTH)
                row.addWidget(mark)
            row.addWidget(self.times[step.stage])
            self._rows.addLayout(row)
            self.offers[step.stage] = link(say("haul_out.stage.now"))
            self.offers[step.stage].clicked.connect(
                lambda _on, stage=step.stage: self._take_offer(stage)
            )
            self._rows.addWidget(self.offers[step.stage], 0, Qt.AlignmentFlag.AlignRight)
            if caution is not None:
                self._rows.addWidget(caution)
            self.lists[step.stage] = LedTasks()
            self.lists[step.stage].wanted.connect(partial(self._lead, step))
            self._rows.addWidget(self.lists[step.stage])
            self.lacking[step.stage] = link("", lambda: self.page.go.emit("boat", "instruments"))
            self.lacking[step.stage].setObjectName(f"lacking.{step.stage}")
            self._rows.addWidget(self.lacking[step.stage], 0, Qt.AlignmentFlag.AlignRight)
            if step.stage == "coated":
                self._used = column(space=0)
                self._rows.addLayout(self._used)

    def _time_field(self, visit: Visit, step: Step) -> ShortDateField:
        now = link(say("haul_out.stage.now"))
        now.setFocusPolicy(Qt.FocusPolicy.ClickFocus)
        field = ShortDateField(
            say(f"haul_out.stage.{step.stage}"),
            today=self._today,
            not_before=self._begun,
            clock_day=partial(self._clock_day, step.stage),
            check=self.state.checker({**STAGE, "at": STAGE["at"]}, "at"),
            key=FieldKey(f"visit:{visit.id}", f"stage.{step.stage}"),
            drafts=self.state.drafts,
            label_width=68,
            after=[now],
        )
        now.clicked.connect(lambda _on: field.type_text(self._now_typed()))
        field.entry.installEventFilter(self)
        now.setAccessibleName(say("haul_out.stage.now_for", stage=say(f"stage.{step.stage}")))
        self.nows[step.stage] = now
        field.setFixedWidth(_STAGE_WIDTH)
        field.entry.setPlaceholderText(say("haul_out.stage.hint"))
        field.committed.connect(partial(self._set_stage, step.stage, field))
        return field

    def _set_stage(self, stage: str, field: ShortDateField, typed: str) -> None:
        self.page.edit(set_stage, self.visit_id, stage, typed, field=field)

    def _open(self, step: Step) -> None:
        if step.plan:
            self.walk_to.emit(step.plan)
        else:
            self.go.emit(step.leads_to)

    def _lead(self, step: Step, leads_to: str) -> None:
        """Go where a task is entered: a part of this page, the facts beside, or another page."""
        if leads_to == "walk":
            self.walk_to.emit(step.plan)
        elif leads_to.startswith("walk:"):
            self._walk_when_due(leads_to)
        elif leads_to == "gear":
            self.page.go.emit("gear", "")
        elif leads_to.startswith("hull:"):
            self.page.go.emit("hull", f"kind:{leads_to.removeprefix('hull:')}")
        elif leads_to == "steps":
            self.facts.start()
        else:
            self.go.emit(leads_to)

    def _walk_when_due(self, leads_to: str) -> None:
        """Go to a walk of its own, or say from which day on there is something to see."""
        task = next(one for one in self.tasks if one.leads_to == leads_to)
        if task.state in ("early", "gone") and task.not_before is not None:
            day = formats.day(task.not_before.astimezone(self._zone()).date())
            self.state.tell(say("led.not_yet", task=say(f"led.{task.code}"), day=day))
        else:
            self.walk_to.emit(leads_to.removeprefix("walk:"))

    def _zone(self) -> tzinfo | None:
        from zoneinfo import ZoneInfo

        return ZoneInfo(self.visit.time_zone) if self.visit else None

    def _now(self) -> datetime:
        return self.state.logbook.around.now().astimezone(self._zone())

    def _today(self) -> date:
        return self._now().date()

    def _begun(self) -> date | None:
        return _day_of(self.visit.begins if self.visit else None, self._zone())

    def _now_typed(self) -> str:
        """Return this minute as a bare time would be understood."""
        now = self._now()
        return clocked(now.strftime("%H:%M"), now.date()) or ""

    def _is_over(self) -> bool:
        """Whether she was back in the water before today, so that no step is reached now."""
        ends = self.visit.ends if self.visit else None
        return ends is not None and ends.latest < self._now()

    def _ended(self) -> date | None:
        return _day_of(self.visit.ends if self.visit else None, self._zone())

    def _clock_day(self, stage: str) -> date:
        """Return the day of a bare time: of the relaunch, else of the last step before, or out.

        While she is out, nobody knows the day of the relaunch but today.
        """
        if stage == "relaunched":
            return self._ended() or self._today()
        days = [self._begun()]
        for step in STEPS:
            if step.stage == stage:
                break
            days.append(self.times[step.stage].day())
        return max((day for day in days if day), default=self._today())


def _day_of(when: PartialDate | None, zone: tzinfo | None) -> date | None:
    """Return the day of a date where that is known for certain."""
    if when is None or when.precision not in ("day", "time") or when.about:
        return None
    return when.middle.astimezone(zone).date()


def _in_full(step: Step, held: Progress, tasks: Sequence[Led]) -> str:
    """Say all that a step holds so far, and how its tasks stand."""
    return "; ".join(part for part in (held_text(step, held), step_text(tasks)) if part)


def _held(step: Step, held: Progress, tasks: Sequence[Led]) -> str:
    """Say in short what a step holds so far: what waits, where nothing was done yet."""
    waits = step_text(tasks)
    if waits and not any(task.state == "done" for task in tasks):
        return waits
    return _in_full(step, held, tasks)


def held_text(step: Step, held: Progress) -> str:
    """Say what a step holds so far."""
    if step.plan:
        done, of = held.walks[step.plan]
        parts = [say("haul_out.held.zones", done=done, of=of)]
        photos = held.photos.get("left" if step.plan == "as_left" else "found", 0)
        if photos and step.plan != "after_wash":
            parts.append(say_n("photo.count", photos))
        return ", ".join(parts)
    if step.leads_to == "anodes":
        return say("haul_out.held.anodes", done=held.anodes[0], of=held.anodes[1])
    if step.stage == "coated":
        return _painted(held)
    if step.stage == "prepared":
        return ""
    return say_n("haul_out.held.notes", held.notes_waiting)


def _painted(held: Progress) -> str:
    if not held.coats:
        return say("haul_out.held.no_paint")
    parts = [joined(held.products), say_n("coat.count", held.coats)]
    if held.litres is not None:
        parts.append(quantity(held.litres, "L"))
    return ", ".join(parts)


def _caution(code: str) -> Caution:
    return Caution(say(f"haul_out.caution.{code}"), say(f"haul_out.caution.{code}_more"))
