"""A sheet beside the click on the drawing: a place by two tapes, or by frame and girth."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING, Any

from hulllog.desktop.anodes.questions import Questions
from hulllog.desktop.choice import Choice, Option
from hulllog.desktop.fields import EXPECTED, refuse_named
from hulllog.desktop.hull.menus import MenuButton
from hulllog.desktop.labels import label as text_label
from hulllog.desktop.layout import boxed, line
from hulllog.desktop.numbers import NumberField
from hulllog.hull.taping import WAYS, marks, sides
from hulllog.insight.boat import own_marks
from hulllog.records.operations import placing
from hulllog.words import say, say_code

if TYPE_CHECKING:
    from collections.abc import Callable

    from PySide6.QtWidgets import QWidget

    from hulllog.desktop.fields import Field
    from hulllog.desktop.pages import Page
    from hulllog.hull.form import HullForm
    from hulllog.records.values import Where

    Mark = str | tuple[str, Where]
    """A mark that a hull has, or one's own by its name and place."""

_LABEL = 128
_UNITS = ("m", "cm", "ft", "in")


class _MarkMenu(MenuButton):
    """A choice of marks."""

    def __init__(self, name: str) -> None:
        super().__init__()
        self.setAccessibleName(name)
        self.mark: Mark = ""

    def offer(self, known: list[tuple[str, Mark]], first: int) -> None:
        """Offer marks, and choose one of them unless the one that is chosen is among them."""
        self.menu().clear()
        for said, mark in known:
            self.menu().addAction(said).triggered.connect(partial(self.choose, said, mark))
        held = next((one for one in known if one[1] == self.mark), None)
        self.choose(*(held or known[min(first, len(known) - 1)]))

    def choose(self, said: str, mark: Mark, _checked: bool = False) -> None:
        """Choose a mark."""
        self.mark = mark
        self.setText(said)
        self.setAccessibleDescription(said)


class TapeSheet(Questions):
    """Asks from where a place was taped; ``then`` takes the place that was found."""

    def __init__(
        self, page: Page, form: HullForm, name: str, then: Callable[[Where], object]
    ) -> None:
        super().__init__(
            page,
            say("hull_page.tape_title", name=name) if name else say("hull_page.tape_new"),
            under=say("hull_page.tape_under"),
            accept_text=say("do.done"),
            on_accept=self._find,
        )
        self.setObjectName("taping")
        self._page, self._form, self._then = page, form, then
        self._sides = sides(form)
        self._own = page.state.read(own_marks)
        self.side = Choice(
            say("hull_page.tape_side"),
            [Option(str(n), _side_said(*side)) for n, side in enumerate(self._sides)],
        )
        self.side.show_value("0")
        self.by = Choice(
            say("hull_page.tape_by"),
            [Option(code, say(f"hull_page.tape_by.{code}")) for code in WAYS],
        )
        self.by.show_value("tape")
        self.fields: dict[str, Field] = {
            code: NumberField(
                say(f"hull_page.{code}"), _UNITS, check=page.state.checker(placing.FIELDS, code)
            )
            for code in placing.FIELDS
        }
        self.menus = [_MarkMenu(say(f"hull_page.mark_{n}")) for n in (1, 2)]
        self._marked = [self._row(menu) for menu in self.menus]
        self.which = Choice(
            say("hull_page.tape_which"),
            [Option(code, say(f"hull_page.tape_which.{code}")) for code in ("lower", "upper")],
        )
        self.add(
            self.side, self.by, self._marked[0], self.fields["tape_1"], self._marked[1],
            self.fields["tape_2"], self.which, self.fields["along"], self.fields["girth"],
        )  # fmt: skip
        self.which.hide()
        self.side.chosen.connect(lambda _code: self._show())
        self.by.chosen.connect(lambda _code: self._show())
        self._show()

    def ask(self) -> TapeSheet:
        """Show it, the keyboard at the side."""
        self.open()
        self.side.setFocus()
        return self

    def _row(self, menu: _MarkMenu) -> QWidget:
        said = text_label(menu.accessibleName(), role="muted")
        said.setFixedWidth(_LABEL)
        return boxed(line(said, menu, None))

    def _show(self) -> None:
        """Ask only what goes with the way, and offer the marks of the side."""
        part, face = self._side()
        taped = self.by.value == "tape"
        for widget in (*self._marked, self.fields["tape_1"], self.fields["tape_2"]):
            widget.setVisible(taped)
        for code in ("along", "girth"):
            self.fields[code].setVisible(not taped)
        if not taped:
            self.which.hide()
        known: list[tuple[str, Mark]] = [
            (say(f"hull_page.mark.{code}"), code) for code in marks(self._form, part, face)
        ]
        last = len(known) - 1
        known += [
            (name, (name, where))
            for name, where in self._own
            if (where.part, where.face) == (part, face)
        ]
        for menu, first in zip(self.menus, (0, last), strict=True):
            menu.offer(known, first)

    def _side(self) -> tuple[str, str]:
        return self._sides[int(self.side.value or 0)]

    def given(self) -> dict[str, Any]:
        """Return what was given, as the records take it."""
        part, face = self._side()
        found: dict[str, Any] = {"by": self.by.value, "part": part, "face": face}
        found |= {code: field.typed() for code, field in self.fields.items()}
        if self.which.value is not None and not self.which.isHidden():
            found["higher"] = self.which.value == "upper"
        return found | {"marks": [menu.mark for menu in self.menus]}

    def _find(self) -> bool:
        given = self.given()
        try:
            where = self._page.state.read(lambda book: placing.solved(book, given))
        except EXPECTED as problem:
            if getattr(problem, "code", "") == "tape_twice":
                self.which.show()
            named = refuse_named(self.fields, problem)
            if named is None:
                self.tell(problem)
            else:
                named.entry.setFocus()
            return False
        self._then(where)
        return True


def _side_said(part: str, face: str) -> str:
    said = say(f"zone_name.{face}")
    hand = part.removeprefix("hull").removeprefix("-")
    return f"{say_code('part', f'{hand}_hull')}, {said}" if hand else said[:1].upper() + said[1:]
