"""The sheet that gives a boat a form after all, whose owner has drawn her so far."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from hulllog.desktop.choice import Choice, Option
from hulllog.desktop.fields import refuse_named
from hulllog.desktop.numbers import NumberField
from hulllog.desktop.sheets import Sheet
from hulllog.hull.particulars import KEELS
from hulllog.records.operations import vessel
from hulllog.words import say, say_code

if TYPE_CHECKING:
    from hulllog.desktop.fields import Field
    from hulllog.desktop.pages import Page

_WIDTH = 620
_UNITS = ("m", "ft")


class FormSheet(Sheet):
    """Asks for keel, length, beam and draught; all else is assumed and can be corrected."""

    def __init__(self, page: Page) -> None:
        super().__init__(
            page,
            say("own.form_title"),
            under=say("own.form_under"),
            accept_text=say("own.form_do"),
            on_accept=self._store,
            width=_WIDTH,
        )
        self.setObjectName("own-form")
        self.page = page
        self.keel = Choice(
            say("vessel.keel"), [Option(code, say_code("keel", code)) for code in KEELS]
        )
        self.measures: dict[str, Field] = {
            name: NumberField(
                say(f"vessel.{name}"), _UNITS, check=page.state.checker(vessel.PARTICULARS, name)
            )
            for name in ("length", "beam", "draught")
        }
        self.keel.show_value("none")
        self.add(self.keel, *self.measures.values())

    def ask(self) -> FormSheet:
        """Show the sheet."""
        self.open()
        self.keel.setFocus()
        return self

    def _store(self) -> bool:
        given: dict[str, Any] = {name: one.typed() or "" for name, one in self.measures.items()}
        keel = str(self.keel.value)
        self.page.state.run(
            lambda logbook: vessel.enter_particulars(logbook, keel=keel, **given),
            done=self._stored,
            refused=self._refused,
            owner=self,
        )
        return False

    def _stored(self, _nothing: object) -> None:
        for field in self.measures.values():
            field.give_up()
        self.accept()

    def _refused(self, problem: BaseException) -> None:
        if (named := refuse_named(self.measures, problem)) is not None:
            named.entry.setFocus()
        else:
            self.tell(problem)
