"""The sheets of the page *Findings*: raise one, look at it, close it, withdraw, reopen, split."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from hulllog.desktop.choice import Choice, Option
from hulllog.desktop.fields import LABEL_WIDTH, AreaField, TextField
from hulllog.desktop.hull.menus import MenuButton
from hulllog.desktop.hull.storing import fitted, store
from hulllog.desktop.labels import label, unmarked
from hulllog.desktop.layout import line
from hulllog.desktop.sheets import Sheet
from hulllog.records.operations import choices, matters, queries
from hulllog.words import say

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from hulllog.desktop.pages import Page
    from hulllog.insight.occasions import Edge
    from hulllog.records.book import Book

WIDTH = 620


def options(family: str, codes: Sequence[str], keys: str = "") -> list[Option]:
    """Return codes of a family as things to choose, each with its letter of ``keys``."""
    letters = keys or [""] * len(codes)
    return [
        Option(code, say(f"{family}.{code}"), key) for code, key in zip(codes, letters, strict=True)
    ]


class PickOne(QWidget):
    """One of many, from a menu that opens: a label, and what is chosen (its key, or empty)."""

    chosen = Signal(str)

    def __init__(
        self,
        text: str,
        entries: Sequence[tuple[str, str]],
        none: str = "",
        *,
        label_width: int = LABEL_WIDTH,
    ) -> None:
        super().__init__()
        self._text = text
        self._entries = dict([*([("", none)] if none else []), *entries])
        self._value = next(iter(self._entries), "")
        self.button = MenuButton()
        menu = self.button.menu()
        for key, name in self._entries.items():
            action = menu.addAction(unmarked(name))
            action.triggered.connect(lambda _checked, key=key: self.choose(key))
        said = label(text, role="muted")
        if label_width:
            said.setFixedWidth(label_width)
        said.setBuddy(self.button)
        self.setLayout(line(said, self.button, None, space=1))
        self.setFocusProxy(self.button)
        self.show_value(self._value)

    @property
    def value(self) -> str:
        """The key that is chosen, empty for none."""
        return self._value

    def choose(self, key: str) -> None:
        """Choose a key and tell."""
        self.show_value(key)
        self.chosen.emit(self._value)

    def show_value(self, key: str) -> None:
        """Show a key as chosen, without telling anybody."""
        self._value = key if key in self._entries else next(iter(self._entries), "")
        name = self._entries.get(self._value, "")
        self.button.setText(unmarked(name))
        self.button.setAccessibleName(f"{self._text}: {name}")


def zones_to_pick(book: Book) -> list[tuple[str, str]]:
    """Return key and name of the zones, in walking order."""
    return [(zone.id, zone.name) for zone, _ in queries.zones_at(book)]


class RaiseSheet(Sheet):
    """Asks for a title, what must happen, and where it is; all else has an answer already."""

    def __init__(
        self,
        page: Page,
        edge: Edge | None,
        *,
        zone_id: str = "",
        spot_id: str = "",
        sort: str = "other",
        done: Callable[[str], object] | None = None,
    ) -> None:
        super().__init__(
            page,
            say("findings_page.raise"),
            accept_text=say("findings_page.raise_it"),
            on_accept=self._store,
            width=WIDTH,
        )
        self.setObjectName("raise")
        self._page, self._edge, self._spot_id, self._done = page, edge, spot_id, done
        self.title = TextField(say("finding.title"))
        self.must = Choice(say("finding.must"), options("must", choices.MUSTS))
        self.must.show_value("watch")
        zones = page.state.read(zones_to_pick)
        self.zone = PickOne(say("findings_page.where"), zones, say("findings_page.no_zone"))
        self.zone.show_value(zone_id)
        self.severity = Choice(say("finding.severity"), options("severity", choices.SEVERITIES))
        self.severity.show_value("slight")
        self.sort = Choice(say("finding.sort"), options("finding_sort", choices.FINDING_SORTS))
        self.sort.show_value(sort)
        self.add(self.title, self.must, self.zone, self.severity, self.sort)
        self.body.addStretch(1)

    def ask(self) -> RaiseSheet:
        """Show the questions."""
        self.open()
        fitted(self)
        self.title.entry.setFocus()
        return self

    def _store(self) -> bool:
        store(
            self._page, self, matters.raise_finding, fields={"title": self.title},
            then=self._done, title=self.title.typed(), sort=self.sort.value,
            must=self.must.value, severity=self.severity.value,
            visit_id=self._edge.visit_id if self._edge else None,
            zones=[self.zone.value] if self.zone.value else [],
            spots=[self._spot_id] if self._spot_id else [],
        )  # fmt: skip
        return False


class TextSheet(Sheet):
    """Asks for one text and stores something with it."""

    def __init__(
        self,
        page: Page,
        title: str,
        text: str,
        do: str,
        run: Callable[[TextSheet, str], object],
        *,
        under: str = "",
        short: bool = False,
        value: str = "",
    ) -> None:
        super().__init__(
            page, title, under=under, accept_text=do, on_accept=self._store, width=WIDTH
        )
        self.setObjectName("text")
        self.page = page
        self._run = run
        self.text = TextField(text) if short else AreaField(text, label_width=0)
        if value:
            self.text.show_value(value)
        self.add(self.text)

    def ask(self) -> TextSheet:
        """Show the question."""
        self.open()
        fitted(self)
        self.text.entry.setFocus()
        return self

    def store(
        self, operation: Callable[..., Any], *about: Any, name: str, **typed_too: Any
    ) -> None:
        """Store the text under the name that the operation gives it."""
        typed_too[name] = self.text.typed()
        store(self.page, self, operation, *about, fields={name: self.text}, **typed_too)

    def _store(self) -> bool:
        self._run(self, self.text.typed())
        return False
