"""Start the window, and end it well."""

from __future__ import annotations

import logging
import logging.handlers
import os
import sys
import threading
from typing import TYPE_CHECKING, Any

from platformdirs import user_log_path
from PySide6.QtCore import (
    QMessageLogContext,
    QObject,
    QTimer,
    QtMsgType,
    Signal,
    qInstallMessageHandler,
)
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QApplication

from hulllog.desktop.preferences import Preferences
from hulllog.desktop.state import State
from hulllog.desktop.tasks import Tasks
from hulllog.desktop.theme import application, put_on
from hulllog.desktop.window import Window
from hulllog.words import say
from hulllog.words.errors import said

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path
    from types import TracebackType

log = logging.getLogger("hulllog.window")

_LOG_BYTES = 500_000


def open_window(logbook: Path | None, when_drawn: Callable[[], object] = lambda: None) -> int:
    """Open the window, on a logbook when one is given, and return the exit code when it is closed.

    ``when_drawn`` is called when the first picture stands.  On the offscreen platform the window is
    drawn once, and the program ends with 0.  Where there is no display the process ends with 1 and
    one sentence.
    """
    kept = keep_log()
    before = qInstallMessageHandler(_hear_without_display)
    app = application()
    qInstallMessageHandler(_hear_qt)
    window = make_window(logbook)
    catcher = Catcher(window)
    catcher.install()
    try:
        window.show()
        QTimer.singleShot(0, when_drawn)
        if QGuiApplication.platformName() == "offscreen":
            return _draw_once(app, window)
        return int(app.exec())
    finally:
        catcher.remove()
        qInstallMessageHandler(before)
        end_log(kept)


def _hear_qt(kind: QtMsgType, _where: QMessageLogContext, message: str) -> None:
    """Write what Qt complains of to the log, not to the terminal."""
    levels = {QtMsgType.QtDebugMsg: logging.DEBUG, QtMsgType.QtInfoMsg: logging.INFO}
    logging.getLogger("hulllog.qt").log(levels.get(kind, logging.WARNING), message)


def _hear_without_display(kind: QtMsgType, where: QMessageLogContext, message: str) -> None:
    """Say in one sentence that no window can be opened, where Qt is about to end the process."""
    if kind != QtMsgType.QtFatalMsg:
        _hear_qt(kind, where, message)
        return
    there = os.environ.get("DISPLAY") or os.environ.get("WAYLAND_DISPLAY")
    sys.stderr.write(say(f"cli.window.{'no_plugin' if there else 'no_display'}") + "\n")
    sys.stderr.flush()
    os._exit(1)


def make_window(logbook: Path | None, preferences: Preferences | None = None) -> Window:
    """Make the window, not shown yet; its status line says when the logbook cannot be opened."""
    preferences = preferences or Preferences()
    put_on(application(), preferences.look)
    window = Window(State(preferences, Tasks()))
    if not preferences.geometry.isEmpty():
        window.restoreGeometry(preferences.geometry)
    if logbook is not None:
        window.open_logbook(logbook)
    return window


def _draw_once(app: QApplication, window: Window) -> int:
    """Let everything be drawn, look at it once, and end."""
    QTimer.singleShot(0, window.grab)
    app.processEvents()
    window.state.tasks.settle()
    window.close()
    window.deleteLater()
    return 0


class Catcher(QObject):
    """Takes errors that nobody took: writes them to the log and says one sentence in the window."""

    _caught = Signal(object)

    def __init__(self, window: Window) -> None:
        super().__init__(window)
        self._window = window
        self._caught.connect(self._show)
        self._before = (sys.excepthook, threading.excepthook)

    def install(self) -> None:
        """Take errors from now on."""
        sys.excepthook = self._take
        threading.excepthook = self._take_thread

    def remove(self) -> None:
        """Leave errors to whoever took them before."""
        sys.excepthook, threading.excepthook = self._before

    def _take(
        self, kind: type[BaseException], error: BaseException, trace: TracebackType | None
    ) -> None:
        if issubclass(kind, KeyboardInterrupt):
            QApplication.quit()
            return
        log.error("not foreseen", exc_info=(kind, error, trace))
        self._caught.emit(error)

    def _take_thread(self, caught: Any) -> None:
        if caught.exc_value is not None:
            self._take(caught.exc_type, caught.exc_value, caught.exc_traceback)

    def _show(self, error: BaseException) -> None:
        self._window.state.failed.emit(said(error))


def log_file() -> Path:
    """Return where the program writes what went wrong."""
    return user_log_path("hulllog", appauthor=False) / "hulllog.log"


def keep_log() -> logging.Handler:
    """Write warnings and errors to a file that is never larger than half a megabyte, twice."""
    root = logging.getLogger("hulllog")
    try:
        log_file().parent.mkdir(parents=True, exist_ok=True)
        kept: logging.Handler = logging.handlers.RotatingFileHandler(
            log_file(), maxBytes=_LOG_BYTES, backupCount=1, encoding="utf-8"
        )
    except OSError:
        kept = logging.StreamHandler()
    kept.setFormatter(logging.Formatter("%(asctime)s %(name)s %(levelname)s %(message)s"))
    root.addHandler(kept)
    root.setLevel(logging.WARNING)
    return kept


def end_log(kept: logging.Handler) -> None:
    """Close the file."""
    logging.getLogger("hulllog").removeHandler(kept)
    kept.close()
