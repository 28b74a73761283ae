"""Before her form is changed over looks on record: what would happen, correction or conversion."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING, Any

from hulllog.desktop.anodes.questions import Questions
from hulllog.desktop.boat.asked import WIDTH
from hulllog.desktop.boat.told import CHOICES, MEASURES
from hulllog.desktop.buttons import link
from hulllog.desktop.choice import Choice, Option
from hulllog.desktop.drafts import FieldKey
from hulllog.desktop.fields import AreaField, DateField
from hulllog.desktop.hull.storing import store
from hulllog.desktop.labels import Prose
from hulllog.desktop.numbers import NumberField
from hulllog.desktop.theme import BODY
from hulllog.records.errors import Refused
from hulllog.records.operations import vessel
from hulllog.words import formats, say, say_code, say_n

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from hulllog.desktop.fields import Field
    from hulllog.desktop.pages import Page
    from hulllog.insight.boat import BoatForm, Moved, Trial

CONVERTED = ("draught", "displacement", "lwl")
PARTS = ("keel", "rudder", "drive")
_SHOWN = 8
"""How many lines of moved places stand there at once; the rest at a press.  Our own rule."""


def moved_lines(moved: tuple[Moved, ...]) -> list[str]:
    """Say which marked places move and how far, those of one name and way in one line."""
    told = Counter(
        say(
            "boat_page.moved" if one.far is not None else "boat_page.part_gone",
            what=say_code("table", one.table),
            name=one.name,
            far=formats.quantity(one.far, "m", show="mm") if one.far is not None else "",
        )
        for one in moved
    )
    return [
        say("boat_page.times", what=line, n=count) if count > 1 else line
        for line, count in told.items()
    ]


def correction_text(trial: Trial) -> str:
    """Say what a correction would do to what is on record."""
    told = [say_n("boat_page.looks_stay", trial.looks)]
    if trial.zones_anew:
        told.append(say("boat_page.zones_anew"))
    if trial.gone:
        told.append(say("boat_page.zones_gone", zones="; ".join(trial.gone)))
    if trial.moved:
        told.append(say_n("boat_page.places_move", len(trial.moved)))
    return " ".join(told)


class ChangeSheet(Questions):
    """Asks whether she was always so, or was changed, and says what each would do."""

    def __init__(
        self,
        page: Page,
        trial: Trial,
        given: Mapping[str, Any],
        then: Callable[[], object],
        give_up: Callable[[], object],
    ) -> None:
        what = formats.joined([say_code("particular", name) for name in given])
        super().__init__(
            page,
            say("boat_page.change_title", what=what),
            under=say("boat_page.change_under"),
            accept_text=say("do.done"),
            on_accept=self._store,
            width=WIDTH,
        )
        self._page, self._given, self._then = page, dict(given), then
        self.sort = Choice(
            say("boat_page.change_sort"),
            [
                Option("correction", say("boat_page.correction"), "c"),
                Option("conversion", say("boat_page.conversion"), "v"),
            ],
            label_width=0,
        )
        self.sort.show_value("correction")
        self.correcting = Prose(correction_text(trial), BODY)
        lines = moved_lines(trial.moved)
        self.moved = Prose("\n".join(lines[:_SHOWN]), BODY, role="muted")
        self.more = link(say("boat_page.all_places"), lambda: self._show_all(lines))
        self._cut = len(lines) > _SHOWN
        self.converting = Prose(say("boat_page.conversion_does"), BODY)
        self.fields: dict[str, Field] = {
            "begins": DateField(say("boat_page.converted_on")),
            "reason": AreaField(say("boat_page.reason"), rows=2),
        }
        self._has_moved = bool(trial.moved)
        self.sort.chosen.connect(lambda _code: self._unfold())
        self._give_up = give_up
        self.rejected.connect(give_up)
        self.add(
            self.sort, self.correcting, self.moved, self.more, self.converting,
            *self.fields.values(),
        )  # fmt: skip
        self._unfold()

    def ask(self) -> ChangeSheet:
        """Show it, the keyboard at the choice."""
        self.open()
        self.sort.setFocus()
        return self

    def put_off(self) -> None:
        """Close without an answer; what was typed in the field stays a draft."""
        self.rejected.disconnect(self._give_up)
        self.reject()

    def _show_all(self, lines: list[str]) -> None:
        """List every place that moves."""
        self._cut = False
        self.moved.setText("\n".join(lines))
        self.sort.setFocus()
        self._unfold()

    def _unfold(self) -> None:
        correction = self.sort.value == "correction"
        self.correcting.setVisible(correction)
        self.moved.setVisible(correction and self._has_moved)
        self.more.setVisible(correction and self._cut)
        self.converting.setVisible(not correction)
        self.fields["begins"].setVisible(not correction)

    def _store(self) -> bool:
        if not _reasoned(self.fields["reason"]):
            return False
        reason = self.fields["reason"].typed()
        if self.sort.value == "correction":
            operation: Any = vessel.correct_particulars
            typed = {**self._given, "reason": reason}
        else:
            operation = vessel.convert
            typed = {**self._given, "begins": self.fields["begins"].typed(), "reason": reason}
        store(
            self._page,
            self,
            operation,
            fields=self.fields,
            then=lambda _made: self._then(),
            **typed,
        )
        return False


class ConversionSheet(Questions):
    """Asks for a new form from a date on: a new keel, a new rudder, another draught."""

    def __init__(self, page: Page, form: BoatForm) -> None:
        super().__init__(
            page,
            say("boat_page.convert"),
            under=say("boat_page.conversion_does"),
            accept_text=say("do.done"),
            on_accept=self._store,
            width=WIDTH,
        )
        self._page, self._form = page, form
        drafts = page.state.drafts
        self.fields: dict[str, Field] = {
            "begins": DateField(
                say("boat_page.converted_on"), key=FieldKey("conversion", "begins"), drafts=drafts
            )
        }
        self.choices: dict[str, Choice] = {}
        for name in PARTS:
            family, codes = CHOICES[name]
            made = Choice(
                say(f"vessel.{name}"), [Option(code, say_code(family, code)) for code in codes]
            )
            made.show_value(str(getattr(form.particulars, name)))
            self.choices[name] = made
        self._measures: dict[str, NumberField] = {}
        for name in CONVERTED:
            field = NumberField(
                say(f"boat_page.measure.{name}"),
                MEASURES[name],
                check=page.state.checker(vessel.PARTICULARS, name),
                key=FieldKey("conversion", name),
                drafts=drafts,
            )
            field.show_measured(form.typed.get(name))
            self.fields[name] = self._measures[name] = field
        self.fields["reason"] = AreaField(
            say("boat_page.reason"), rows=2, key=FieldKey("conversion", "reason"), drafts=drafts
        )
        for name in ("begins", "reason"):
            self.fields[name].show_value("")
        self.add(
            self.fields["begins"], *self.choices.values(), *self._measures.values(),
            self.fields["reason"],
        )  # fmt: skip

    def ask(self) -> ConversionSheet:
        """Show it, the keyboard at the date."""
        self.open()
        self.fields["begins"].entry.setFocus()
        return self

    def _changed(self) -> dict[str, Any]:
        found: dict[str, Any] = {
            name: one.value
            for name, one in self.choices.items()
            if one.value != str(getattr(self._form.particulars, name))
        }
        return found | {
            name: one.typed() or None for name, one in self._measures.items() if one.dirty
        }

    def _store(self) -> bool:
        changed = self._changed()
        if not changed:
            self.tell(Refused("nothing_converted"))
            return False
        if not _reasoned(self.fields["reason"]):
            return False
        store(
            self._page,
            self,
            vessel.convert,
            fields=self.fields,
            begins=self.fields["begins"].typed(),
            reason=self.fields["reason"].typed(),
            **changed,
        )
        return False


def _reasoned(field: Field) -> bool:
    """Tell whether a reason was given; without one the field says so and takes the keyboard."""
    if field.typed():
        return True
    field.refuse(Refused("text_wanted", field="reason"))
    field.entry.setFocus()
    return False
