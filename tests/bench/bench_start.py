"""Start-up: the window of the sample logbook drawn and answering, against a bare window.

Both are whole processes, from their start to their end, by turns in one run.  The bare one imports
what cannot be done without (``sqlalchemy.orm`` and the widgets), shows an empty window of the same
size, draws it once, answers one event and ends.  Ours is ``python -m hulllog LOGBOOK``: on the
offscreen platform it opens the logbook, shows the page Today, draws it once, answers what waits,
closes the logbook and ends.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from functools import partial
from typing import TYPE_CHECKING

from benchtools import by_turns, scratch, tell

from hulllog import assets

if TYPE_CHECKING:
    from pathlib import Path

PROMISE = 2.0
TURNS = 15

BARE = """
import sqlalchemy.orm
from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QApplication, QMainWindow

app = QApplication([])
window = QMainWindow()
window.resize(1366, 768)
window.show()
QTimer.singleShot(0, window.grab)
QTimer.singleShot(0, app.quit)
app.exec()
"""


def main() -> None:
    """Print the medians of both, and their ratio."""
    with scratch() as folder:
        book = sample(folder)
        bare = partial(run, folder, "-c", BARE)
        ours = partial(run, folder, "-m", "hulllog", str(book))
        for once in (bare, ours):  # what is read from disk the first time is not the program's
            once()
        tell("window of the sample logbook", *by_turns(TURNS, bare, ours), PROMISE)


def sample(folder: Path) -> Path:
    """Build the sample shelf and return its logbook."""
    shelf = folder / "shelf"
    built: Path = assets.sample().build(shelf)
    return built


def run(folder: Path, *arguments: str) -> None:
    """Run Python with an empty home on the offscreen platform; anything but 0 is an error."""
    home = folder / "home"
    shutil.rmtree(home, ignore_errors=True)
    home.mkdir()
    kept = {"PATH": os.environ.get("PATH", ""), "LC_ALL": "C.UTF-8", "QT_QPA_PLATFORM": "offscreen"}
    kept |= {"HOME": str(home), "XDG_STATE_HOME": str(home), "XDG_CONFIG_HOME": str(home)}
    done = subprocess.run(
        [sys.executable, *arguments],
        env=kept,
        capture_output=True,
        check=False,
        stdin=subprocess.DEVNULL,
    )
    if done.returncode != 0:
        raise RuntimeError(done.stderr.decode())


if __name__ == "__main__":
    main()
