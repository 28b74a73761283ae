"""What start-up imports, and what must wait until it is needed."""

from __future__ import annotations

import subprocess
import sys

import pytest

LATER = (
    "reportlab", "pikepdf", "scipy", "alembic", "icalendar", "babel.messages", "hypothesis",
    "segno", "zxingcpp",
)  # fmt: skip


def _loaded_after(source: str) -> list[str]:
    """Return the modules that are loaded after some source, in the order of loading."""
    done = subprocess.run(
        [sys.executable, "-c", f"{source}\nimport sys\nprint('\\n'.join(sys.modules))"],
        capture_output=True,
        text=True,
        check=False,
        stdin=subprocess.DEVNULL,
    )
    assert done.returncode == 0, done.stderr
    return done.stdout.split()


def test_the_command_line_starts_without_qt_and_without_what_comes_later() -> None:
    loaded = _loaded_after("import hulllog.__main__")
    assert "sqlalchemy.orm" in loaded
    assert not set(loaded) & {"PySide6", *LATER}


def test_a_sentence_needs_neither_babel_nor_a_database() -> None:
    loaded = _loaded_after("from hulllog.words import say; say('page.today')")
    assert not set(loaded) & {"babel", "sqlalchemy", "PySide6", "numpy"}


@pytest.mark.window
def test_the_window_starts_without_what_comes_later() -> None:
    loaded = _loaded_after("import hulllog.__main__, hulllog.desktop.app")
    assert "PySide6.QtWidgets" in loaded
    assert not set(loaded) & set(LATER)


@pytest.mark.window
def test_the_database_comes_before_qt() -> None:
    order = _loaded_after("import hulllog.__main__, hulllog.desktop.app")
    assert order.index("sqlalchemy.orm") < order.index("PySide6.QtCore")
