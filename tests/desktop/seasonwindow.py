"""A window on a logbook with seasons, and what tests of its pages ask it."""

from __future__ import annotations

import shutil
import sys
from pathlib import Path

import pytest
from PySide6.QtGui import QAccessible
from PySide6.QtWidgets import QApplication, QLabel, QWidget

sys.path.insert(0, str(Path(__file__).parents[1] / "insight"))
import seasonbook

from hulllog.desktop import app
from hulllog.desktop.preferences import Look, Preferences
from hulllog.records.logbook import Logbook, Surroundings


def around(folder):
    """Keep what the computer knows of a logbook inside the test."""
    return Surroundings(state_folder=folder / "state")


@pytest.fixture(scope="session")
def built(tmp_path_factory):
    """Seasons, entered once for all tests of the window."""
    folder = tmp_path_factory.mktemp("seasons")
    with Logbook.create(folder / "book", around(folder)) as logbook:
        made = seasonbook.seasons(logbook)
    return folder / "book", made


@pytest.fixture
def seasons(built, tmp_path):
    """Give the keys of the seasons, and the folder of a copy of their logbook."""
    folder, made = built
    made.folder = shutil.copytree(folder, tmp_path / "book")
    return made


@pytest.fixture
def open_window(qtbot, tmp_path, monkeypatch):
    """Give a function that opens the window on a logbook, at a page."""
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    made = []

    def show(folder, page, look=Look.LIGHT, *, read_only=False):
        kept = Preferences(tmp_path / "hulllog.ini")
        kept.look, kept.page, kept.shelf = look, page, tmp_path / "shelf"
        window = app.make_window(None, kept)
        made.append(window)
        window.show()
        window.state.open(folder, read_only=read_only)
        window.show_page(page)
        window.activateWindow()
        with qtbot.waitActive(window):
            pass
        settle(window)
        return window

    yield show
    for window in made:
        window.close()
        window.deleteLater()


def settle(window):
    """Let everything be written and shown."""
    for _ in range(3):
        assert window.state.tasks.settle()
        QApplication.processEvents()


def texts(widget):
    """Return every text that stands on the screen inside a widget."""
    return [one.text() for one in widget.findChildren(QLabel) if one.isVisible() and one.text()]


def unnamed(widget):
    """Return the visible widgets that the keyboard reaches and that have no name."""
    from PySide6.QtCore import Qt

    found = []
    for one in widget.findChildren(QWidget):
        if not one.isVisible() or one.focusPolicy() == Qt.FocusPolicy.NoFocus:
            continue
        told = QAccessible.queryAccessibleInterface(one)
        if told is not None and not told.text(QAccessible.Text.Name).strip():
            found.append(one)
    return found


def enter(logbook_folder, operation, *about, **typed):
    """Run an operation on a logbook that no window holds."""
    with Logbook.open(logbook_folder) as logbook:
        return operation(logbook, *about, **typed)
