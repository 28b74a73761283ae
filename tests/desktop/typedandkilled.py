"""Types a text into the note of the open haul-out, and is killed before the field is left.

``python typedandkilled.py FOLDER``: the logbook is FOLDER/book, the text stands in FOLDER/text.
"""

from __future__ import annotations

import os
import signal
import sys
import time
from pathlib import Path

from PySide6.QtGui import QInputMethodEvent
from PySide6.QtWidgets import QApplication

from hulllog.desktop import app
from hulllog.desktop.preferences import Preferences
from hulllog.records.logbook import Logbook, Surroundings


def main(folder: Path) -> None:
    application = QApplication([])
    around = Surroundings(state_folder=folder / "state", cache_folder=folder / "cache")
    kept = Preferences(folder / "other.ini")
    kept.shelf = folder / "shelf"
    window = app.make_window(None, kept)
    window.show()
    window.activateWindow()
    window.state.use(Logbook.open(folder / "book", around))
    window.show_page("haul_out")
    window.state.tasks.settle()
    application.processEvents()
    entry = window.page._sections["steps"].facts.note.entry
    entry.setFocus()
    for line in (folder / "text").read_text(encoding="utf-8").splitlines(keepends=True):
        event = QInputMethodEvent()
        event.setCommitString(line)
        QApplication.sendEvent(entry, event)
    until = time.monotonic() + 0.5
    while time.monotonic() < until:
        application.processEvents()
    (folder / "typed").write_text(entry.text(), encoding="utf-8")
    os.kill(os.getpid(), signal.SIGKILL)


main(Path(sys.argv[1]))
