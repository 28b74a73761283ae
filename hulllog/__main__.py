"""The program's entry: knows the command line and the window, which know nothing of each other."""

from __future__ import annotations

import gc
import logging
import os
import sys
from pathlib import Path
from typing import NoReturn

# Imports make many objects and hardly any waste: to look for waste among them costs start-up a
# quarter.
gc.disable()

# SQLAlchemy before Qt: once Qt is imported, the source of every module that follows is read and
# searched, which costs start-up a quarter more.
import sqlalchemy.orm  # noqa: E402, F401

from hulllog import cli  # noqa: E402

gc.enable()


def _open_window(logbook: Path | None) -> int:
    gc.disable()
    try:
        from hulllog.desktop.app import open_window

        return open_window(logbook, when_drawn=gc.enable)
    finally:
        gc.enable()


def main() -> int:
    """Run the command line; it opens the window when it is asked to."""
    return cli.run(sys.argv[1:], open_window=_open_window)


def start() -> NoReturn:
    """Run the program as a process of its own, and end it at once when it is done.

    Logbook, log and files are closed by then.  Python would take apart every object that there is,
    which lasts as long as a third of start-up.
    """
    code = main()
    logging.shutdown()
    sys.stdout.flush()
    sys.stderr.flush()
    os._exit(code)


if __name__ == "__main__":
    start()
