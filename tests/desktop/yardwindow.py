"""The real window on a boat of her own, with a clock that stands, and a hand that counts keys."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from itertools import count

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeySequence
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from hulllog.desktop import app
from hulllog.desktop.preferences import Look, Preferences
from hulllog.records.logbook import Logbook, Surroundings
from hulllog.records.operations import queries, vessel

NOW = datetime(2026, 4, 18, 9, tzinfo=UTC)
SPECIAL = {
    "\n": Qt.Key.Key_Return,
    "\t": Qt.Key.Key_Tab,
    "\b": Qt.Key.Key_Backspace,
    "\x1b": Qt.Key.Key_Escape,
}


class Yard:
    """A window, and a person at its keyboard."""

    def __init__(self, qtbot, folder, *, keel="twin", material="grp", look=Look.LIGHT, now=NOW):
        seconds = count()
        self.day = now
        around = Surroundings(
            now=lambda: self.day + timedelta(seconds=next(seconds)),
            state_folder=folder / "state",
            cache_folder=folder / "cache",
        )
        logbook = Logbook.create(folder / "book", around)
        vessel.create_vessel(
            logbook, name="Ruddy Shore", kind="yacht", material=material, keel=keel,
            length="8.7", beam="2.9", draught="0.95",
        )  # fmt: skip
        self.qtbot = qtbot
        kept = Preferences(folder / "hulllog.ini")
        kept.look = look
        kept.shelf = folder / "shelf"
        self.window = app.make_window(None, kept)
        self.window.show()
        self.window.activateWindow()
        qtbot.waitActive(self.window)
        self.window.state.use(logbook)
        self.presses = 0
        self.settle()

    @property
    def page(self):
        return self.window.page

    @property
    def logbook(self):
        return self.window.state.logbook

    @property
    def focus(self):
        return QApplication.focusWidget()

    def settle(self):
        for _ in range(4):
            assert self.window.state.tasks.settle()
            QApplication.processEvents()
        self._face_window()

    def _face_window(self):
        """Be before the window again after a sheet; no window manager does it here."""
        asked = QApplication.activeModalWidget()
        if asked is None and not self.window.isActiveWindow():
            self.window.activateWindow()
            self.qtbot.waitUntil(self.window.isActiveWindow)

    def open(self, section=""):
        """Show the page, perhaps one of its parts."""
        self.window.show_page("haul_out")
        if section:
            self.page.show_section(section)
        self.settle()
        return self.page

    def section(self, code):
        return self.page._sections[code]

    def type(self, keys):
        """Press keys where the keyboard is, one after the other, and count them."""
        for key in keys:
            target = self.focus or self.window
            if key in SPECIAL:
                QTest.keyClick(target, SPECIAL[key])
            else:
                QTest.keyClick(target, key)
            self.presses += 1

    def chord(self, keys):
        """Press keys together, such as Ctrl+6, F3 or Shift+Tab, where the keyboard is."""
        (pressed,) = (QKeySequence(keys)[at] for at in range(1))
        QTest.keyClick(self.focus or self.window, pressed.key(), pressed.keyboardModifiers())
        self.presses += 1

    def all(self, model):
        self.settle()
        with self.logbook.read() as book:
            return list(queries.kept(book, model))

    def zones(self):
        """Return key by code, in walking order."""
        with self.logbook.read() as book:
            return {zone.code: zone.id for zone, _ in queries.zones_at(book)}

    def undo(self):
        self.window.state.undo()
        self.settle()

    def close(self):
        self.window.close()
        self.window.deleteLater()
