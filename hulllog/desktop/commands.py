"""What can be done from the menus, as data: menus, shortcuts and the list of keys come from it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from PySide6.QtGui import QAction, QActionGroup, QKeySequence

from hulllog.desktop.labels import unmarked
from hulllog.desktop.preferences import Look
from hulllog.words import say

if TYPE_CHECKING:
    from PySide6.QtWidgets import QMenu, QMenuBar

    from hulllog.desktop.window import Window

Run = Callable[["Window"], object]
Asks = Callable[["Window"], bool]

MENUS = ("logbook", "edit", "page", "look", "go", "help")


@dataclass(frozen=True, slots=True)
class Command:
    """One thing to do: its code (``desktop.do.<code>`` says it), menu, keys, and what it runs."""

    code: str
    menu: str
    run: Run
    keys: str = ""
    enabled: Asks = lambda _window: True
    line_before: bool = False


@dataclass(frozen=True, slots=True)
class PageCommand:
    """One thing to do on a page, shown in the menu *Page* while the page is shown."""

    text: str
    run: Callable[[], object]
    keys: str = ""
    writes: bool = False


def _open(window: Window) -> bool:
    return window.state.is_open


def _writable(window: Window) -> bool:
    return window.state.is_open and window.state.read_only is None


COMMANDS: tuple[Command, ...] = (
    Command("new_vessel", "logbook", lambda w: w.ask_new_vessel(), "Ctrl+N"),
    Command("open_logbook", "logbook", lambda w: w.ask_open(), "Ctrl+O"),
    Command("open_sample", "logbook", lambda w: w.open_sample()),
    Command("close_logbook", "logbook", lambda w: w.state.close(), "Ctrl+W", _open),
    Command("quit", "logbook", lambda w: w.close(), "Ctrl+Q", line_before=True),
    Command("undo", "edit", lambda w: w.state.undo(), "Ctrl+Z", lambda w: bool(w.state.undo_text)),
    Command(
        "redo", "edit", lambda w: w.state.redo(), "Ctrl+Shift+Z", lambda w: bool(w.state.redo_text)
    ),
    Command("earlier_edge", "go", lambda w: w.strip.step(-1), "Ctrl+Left", _open, True),
    Command("later_edge", "go", lambda w: w.strip.step(1), "Ctrl+Right", _open),
    Command("last_edge", "go", lambda w: w.state.pick(None), "Ctrl+End", _open),
    Command("compare", "go", lambda w: w.strip.compare_step(-1), "Ctrl+Shift+Left", _open),
    Command("end_compare", "go", lambda w: w.state.compare(None), "Ctrl+Backspace", _open),
    Command("keys", "help", lambda w: w.show_keys(), "F1"),
    Command("about", "help", lambda w: w.show_about()),
)


class Menus:
    """The menu bar of a window, and its actions by code."""

    def __init__(self, window: Window, bar: QMenuBar) -> None:
        self._window = window
        self.actions: dict[str, QAction] = {}
        self.menus: dict[str, QMenu] = {}
        for name in MENUS:
            menu = bar.addMenu(say(f"desktop.menu.{name}"))
            menu.aboutToShow.connect(self.update)
            self.menus[name] = menu
        for command in COMMANDS:
            self._add(command)
        self._add_looks()
        self.set_page_commands([])

    def _add(self, command: Command) -> None:
        menu = self.menus[command.menu]
        if command.line_before:
            menu.addSeparator()
        action = menu.addAction(unmarked(say(f"desktop.do.{command.code}")))
        if command.keys:
            action.setShortcut(QKeySequence(command.keys))
        action.triggered.connect(lambda _checked: command.run(self._window))
        self.actions[command.code] = action

    def _add_looks(self) -> None:
        group = QActionGroup(self._window)
        for look in Look:
            action = self.menus["look"].addAction(say(f"desktop.look.{look}"))
            action.setCheckable(True)
            action.triggered.connect(lambda _checked, look=look: self._window.wear(look))
            group.addAction(action)
            self.actions[f"look_{look}"] = action

    def set_pages(self, pages: Sequence[tuple[str, str]]) -> None:
        """Put the pages (code and name) first into the menu Go, with Ctrl+1 and so on."""
        menu = self.menus["go"]
        for code in [code for code in self.actions if code.startswith("page_")]:
            gone = self.actions.pop(code)
            menu.removeAction(gone)
            gone.deleteLater()
        before = menu.actions()[0] if menu.actions() else None
        for number, (code, name) in enumerate(pages, start=1):
            action = QAction(unmarked(name), menu)
            action.setShortcut(QKeySequence(f"Ctrl+{number % 10}"))
            action.triggered.connect(lambda _checked, code=code: self._window.show_page(code))
            menu.insertAction(before, action) if before else menu.addAction(action)
            self.actions[f"page_{code}"] = action

    def set_page_commands(self, commands: Sequence[PageCommand]) -> None:
        """Fill the menu *Page* with what can be done on the page that is shown."""
        menu = self.menus["page"]
        for code in [code for code in self.actions if code.startswith("on_page_")]:
            self.actions.pop(code)
        menu.clear()
        writable = _writable(self._window)
        for number, command in enumerate(commands):
            action = menu.addAction(unmarked(command.text))
            action.setShortcut(QKeySequence(command.keys))
            action.setEnabled(writable or not command.writes)
            action.triggered.connect(lambda _checked, run=command.run: run())
            self.actions[f"on_page_{number}"] = action
        menu.menuAction().setVisible(bool(commands))

    def update(self) -> None:
        """Say what undo and redo would do, and dim what cannot be done."""
        state = self._window.state
        for command in COMMANDS:
            self.actions[command.code].setEnabled(command.enabled(self._window))
        for code, what in (("undo", state.undo_text), ("redo", state.redo_text)):
            text = say(f"do.{code}_this", what=_short(what)) if what else say(f"do.{code}")
            self.actions[code].setText(unmarked(text))
        self.actions[f"look_{state.preferences.look}"].setChecked(True)

    def key_list(self) -> list[tuple[str, str]]:
        """Return the keys of all commands, each with what it does."""
        return [
            (action.shortcut().toString(QKeySequence.SequenceFormat.NativeText), _plain(action))
            for action in self.actions.values()
            if not action.shortcut().isEmpty()
        ]


def _plain(action: QAction) -> str:
    return action.text().replace("&&", "\0").replace("&", "").replace("\0", "&")


def _short(text: str) -> str:
    return text if len(text) <= 60 else f"{text[:59]}…"
