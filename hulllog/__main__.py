"""The program's entry: knows the command line and the window, which know nothing of each other."""

from __future__ import annotations

import sys
from pathlib import Path

# SQLAlchemy before Qt: once Qt is imported, the source of every module that follows is read and
# searched, which costs start-up a quarter more.
import sqlalchemy.orm  # noqa: F401

from hulllog import cli


def _open_window(logbook: Path | None) -> int:
    from hulllog.desktop.app import open_window

    return open_window(logbook)


def main() -> int:
    """Run the command line; it opens the window when it is asked to."""
    return cli.run(sys.argv[1:], open_window=_open_window)


if __name__ == "__main__":
    sys.exit(main())
