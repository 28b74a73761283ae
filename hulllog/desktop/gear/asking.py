"""The sheets of the page *Gear*: a look, a new one in its place, a fitting, when it is due."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from hulllog.desktop.anodes.questions import Questions
from hulllog.desktop.buttons import button
from hulllog.desktop.cards.entry import CardEntry
from hulllog.desktop.choice import Choice, Option
from hulllog.desktop.drafts import FieldKey
from hulllog.desktop.fields import AreaField, DateField, TextField
from hulllog.desktop.findings.asking import options
from hulllog.desktop.hull.asking import ConditionsEntry, go_on
from hulllog.desktop.hull.storing import store
from hulllog.desktop.labels import Prose
from hulllog.desktop.layout import Caution, flowing
from hulllog.desktop.numbers import NumberField
from hulllog.insight.gear import MEASURED
from hulllog.records.model import StageTime
from hulllog.records.operations import around, choices, gear, queries
from hulllog.records.operations.measuring import Rated
from hulllog.trade.duehabits import due_habits
from hulllog.words import formats, say, say_code
from hulllog.words.telling import kind_name

if TYPE_CHECKING:
    from collections.abc import Callable

    from PySide6.QtWidgets import QPushButton

    from hulllog.desktop.fields import Field
    from hulllog.desktop.pages import Page
    from hulllog.insight.gear import GearStory
    from hulllog.trade.duehabits import DueHabit


class LookSheet(Questions):
    """Asks for a look at a fitting: what was found, what was measured, in words."""

    def __init__(
        self, page: Page, story: GearStory, visit_id: str, at: str, done: Callable[[], object]
    ) -> None:
        super().__init__(
            page,
            say("gear_page.look_at", name=story.name),
            under=say("anodes_page.look_under", at=at),
            accept_text=say("anodes_page.keep_look"),
            on_accept=self._store,
        )
        self.setObjectName("gear/look")
        self._page, self._story, self._visit_id = page, story, visit_id
        self._done = done
        record, drafts = f"gear_check/{story.gear_id}", page.state.drafts
        self.outcome = Choice(say("gear_page.outcome"), options("result", choices.RESULTS, "ns"))
        self.state = Choice(say("anodes_page.state"), options("state", ("found", "left"), "fl"))
        self.state.show_value("found")
        self.entries: dict[str, tuple[CardEntry, ConditionsEntry]] = {}
        self.text = AreaField(
            say("gear_page.look_text"), rows=2, key=FieldKey(record, "text"), drafts=drafts
        )
        self.looked = DateField(
            say("gear_page.looked"),
            check=page.state.checker(around.GEAR_CHECK, "looked"),
            key=FieldKey(record, "looked"),
            drafts=drafts,
            hint=_days(page, visit_id),
        )
        self.add(self.outcome)
        for kind in MEASURED.get(story.sort, ()):
            self.entries[kind] = entry, how = CardEntry(kind), ConditionsEntry(kind)
            self.add(Prose(kind_name(kind), bold=True), entry, how)
            entry.done.connect(lambda kind=kind: self._figures_done(kind))
        self.add(self.text, self.looked, self.state)
        self.add(Caution(say("gear_page.caution"), say("gear_page.caution_more")))

    def ask(self) -> LookSheet:
        """Show the questions."""
        self.open()
        self.outcome.setFocus()
        return self

    @property
    def fields(self) -> dict[str, Field]:
        """The fields by the name that a refusal gives."""
        found: dict[str, Field] = {"text": self.text, "looked": self.looked}
        for entry, how in self.entries.values():
            found |= {**entry.fields, **how.fields}
        return found

    def _figures_done(self, kind: str) -> None:
        """Go on to how it was measured, to what is measured next, or to what keeps the look."""
        order = list(self.entries)
        after = order[order.index(kind) + 1 :]
        if (wanted := self.entries[kind][1].wanted()) is not None:
            go_on(self, wanted)
        elif after:
            self.entries[after[0]][0].start()
        else:
            go_on(self, None)

    def _store(self) -> bool:
        measured = [
            Rated(kind, entry.figures(), how.values())
            for kind, (entry, how) in self.entries.items()
            if entry.figures()
        ]
        store(
            self._page, self, gear.look_at_gear, self._story.gear_id, self._visit_id,
            fields=self.fields, then=lambda _key: self._done(), measured=measured,
            result=self.outcome.value, state=self.state.value, text=self.text.typed(),
            looked=self.looked.typed() or None,
        )  # fmt: skip
        return False


def _days(page: Page, visit_id: str) -> str:
    """Say the days that are known of a haul-out, for a look of another day than the first."""
    known = page.state.read(
        lambda book: [
            say("telling.pair", name=say_code("stage", one.stage), value=formats.anything(one.at))
            for one in queries.kept(book, StageTime, StageTime.visit_id == visit_id)
            if one.at is not None
        ]
    )
    return say("gear_page.looked_hint", days="; ".join(known)) if known else say("word.optional")


class FittingSheet(Questions):
    """Asks what a fitting is; its place is shown by a press afterwards."""

    def __init__(
        self, page: Page, done: Callable[[str], object], story: GearStory | None = None
    ) -> None:
        super().__init__(
            page,
            say("gear_page.edit" if story else "gear_page.add"),
            under="" if story else say("gear_page.add_under"),
            accept_text=say("anodes_page.keep" if story else "anodes_page.add_it"),
            on_accept=self._store,
        )
        self.setObjectName("gear/fitting")
        self._page, self._done, self._story = page, done, story
        record = f"gear/{story.gear_id}" if story else "gear/new"
        drafts = page.state.drafts

        def text(name: str, label: str, hint: str = "") -> TextField:
            return TextField(
                label,
                check=page.state.checker(around.GEAR, name),
                key=FieldKey(record, name),
                drafts=drafts,
                hint=hint,
            )

        self.sort = Choice(
            say("gear_page.sort"), [Option(code, say_code("gear", code)) for code in choices.GEARS]
        )
        self.name = text("name", say("gear_page.name"), say("gear_page.name_hint"))
        self.material = text("material", say("gear_page.material"), say("word.optional"))
        self.fitted = DateField(
            say("gear_page.fitted"),
            check=page.state.checker(around.GEAR, "fitted"),
            key=FieldKey(record, "fitted"),
            drafts=drafts,
            hint=say("gear_page.fitted_hint"),
        )
        self.note = AreaField(
            say("gear_page.note"), rows=2, key=FieldKey(record, "note"), drafts=drafts
        )
        self.add(self.sort, self.name, self.material, self.fitted, self.note)
        if story is None:
            self.show_drafts()
            return
        self.sort.show_value(story.sort)
        self.name.show_value(story.name)
        self.material.show_value(story.material or "")
        self.fitted.show_value(story.fitted.text if story.fitted else "")
        self.note.show_value(story.note or "")

    def ask(self) -> FittingSheet:
        """Show the questions."""
        self.open()
        (self.name.entry if self._story else self.sort).setFocus()
        return self

    @property
    def fields(self) -> dict[str, Field]:
        """The fields by the name that a refusal gives."""
        return {
            "name": self.name, "material": self.material, "fitted": self.fitted, "note": self.note,
        }  # fmt: skip

    def _store(self) -> bool:
        sort = self.sort.value
        # A fitting without a name is called what it is.
        name = self.name.typed() or (say_code("gear", sort).capitalize() if sort else "")
        typed: dict[str, Any] = {
            "sort": sort, "name": name, "material": self.material.typed() or None,
            "fitted": self.fitted.typed() or None, "note": self.note.typed() or None,
        }  # fmt: skip
        if self._story is None:
            store(self._page, self, around.add_gear, fields=self.fields, then=self._done, **typed)
        else:
            store(
                self._page, self, around.change_gear, self._story.gear_id, fields=self.fields,
                **typed,
            )  # fmt: skip
        return False


class RenewSheet(Questions):
    """Asks when a new one was fitted; what was seen of the one before stays with it."""

    def __init__(self, page: Page, story: GearStory) -> None:
        super().__init__(
            page,
            say("gear_page.renew_at", name=story.name),
            under=say("gear_page.renew_under"),
            accept_text=say("gear_page.renew_it"),
            on_accept=self._store,
        )
        self.setObjectName("gear/renew")
        self._page, self._story = page, story
        record, drafts = f"gear_renewed/{story.gear_id}", page.state.drafts
        self.fitted = DateField(
            say("gear_page.fitted"),
            check=page.state.checker(around.GEAR, "fitted"),
            key=FieldKey(record, "fitted"),
            drafts=drafts,
        )
        self.material = TextField(
            say("gear_page.material"),
            check=page.state.checker(around.GEAR, "material"),
            key=FieldKey(record, "material"),
            drafts=drafts,
            hint=say("word.optional"),
        )
        self.add(self.fitted, self.material)
        self.show_drafts()
        self.material.show_value(story.material or "")

    def ask(self) -> RenewSheet:
        """Show the questions."""
        self.open()
        self.fitted.entry.setFocus()
        return self

    def _store(self) -> bool:
        fields: dict[str, Field] = {"fitted": self.fitted, "material": self.material}
        store(
            self._page, self, gear.renew_gear, self._story.gear_id, fields=fields,
            fitted=self.fitted.typed(), material=self.material.typed() or None,
        )  # fmt: skip
        return False


class DueSheet(Questions):
    """Asks how often the owner wants a fitting looked at or renewed, and on whose word."""

    def __init__(self, page: Page, story: GearStory) -> None:
        super().__init__(
            page,
            say("gear_page.due_at", name=story.name),
            under=say("gear_page.due_under"),
            accept_text=say("gear_page.due_it"),
            on_accept=self._store,
        )
        self.setObjectName("gear/due")
        self._page, self._story = page, story
        record, drafts = f"due_rule/{story.gear_id}", page.state.drafts
        self.sort = Choice(say("gear_page.due_what"), options("gear_due", choices.DUE_SORTS))
        self.every = NumberField(
            say("gear_page.every"),
            ("year", "month"),
            check=page.state.checker(gear.RULE, "every"),
            key=FieldKey(record, "every"),
            drafts=drafts,
        )
        self.source = TextField(
            say("gear_page.due_source"),
            check=page.state.checker(gear.RULE, "source"),
            key=FieldKey(record, "source"),
            drafts=drafts,
            hint=say("gear_page.due_source_hint"),
        )
        self.add(self.sort, self.every, self.source)
        self.offered = [self._offer(habit) for habit in due_habits(story.sort)]
        if not self.offered:
            self.add(Prose(say("gear_page.due_none_known"), role="muted"))
        self.show_drafts()
        self.sort.show_value("look")
        self.sort.chosen.connect(lambda _code: self._show_kept())
        self._show_kept()

    def _show_kept(self) -> None:
        """Show the rule that stands for what is chosen."""
        due = next((one for one in self._story.dues if one.sort == self.sort.value), None)
        if due is not None:
            self.every.show_measured(due.every)
            self.source.show_value(due.source or "")

    def _offer(self, habit: DueHabit) -> QPushButton:
        """Show an interval with its source; choosing it fills the fields and stores nothing."""
        every = formats.with_unit(habit.number, habit.unit)
        due = say_code("gear_due", habit.due)
        made = button(say("gear_page.due_take", gear_due=due, every=every))
        made.clicked.connect(lambda _checked: self._take(habit))
        self.add(flowing(made), Prose(say(f"gear_page.advice_{habit.code}"), role="muted"))
        return made

    def _take(self, habit: DueHabit) -> None:
        self.sort.choose(habit.due)
        self.every.entry.setText(habit.number)
        self.every.choose_unit(habit.unit)
        self.source.entry.setText(say(f"gear_page.due_word_{habit.code}"))
        self.every.entry.setFocus()

    def ask(self) -> DueSheet:
        """Show the questions."""
        self.open()
        self.every.entry.setFocus()
        return self

    def _store(self) -> bool:
        fields: dict[str, Field] = {"every": self.every, "source": self.source}
        store(
            self._page, self, gear.set_due_rule, self._story.gear_id, str(self.sort.value),
            fields=fields, every=self.every.typed(), source=self.source.typed() or None,
        )  # fmt: skip
        return False
