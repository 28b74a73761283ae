"""A ketch with two haul-outs in a window; the fixtures ``shown`` and ``window`` use it."""

from __future__ import annotations

from PySide6.QtWidgets import QApplication

from hulllog.desktop import app
from hulllog.desktop.preferences import Look, Preferences


def opened(folder, tmp_path, page):
    """Return the window on a logbook, at a page."""
    kept = Preferences(tmp_path / "hulllog.ini")
    kept.look = Look.LIGHT
    kept.shelf = tmp_path / "shelf"
    window = app.make_window(folder, kept)
    window.resize(1366, 768)
    window.show()
    window.show_page(page)
    settle(window)
    return window


def settle(window):
    """Wait for what runs behind the window."""
    assert window.state.tasks.settle()
    QApplication.processEvents()
