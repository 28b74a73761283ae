"""A logbook without a past, and one with seasons of anodes and paint."""

from __future__ import annotations

import shutil
import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))
import seasonbook

from hulllog.records.logbook import Logbook, Surroundings
from hulllog.records.operations import vessel


@pytest.fixture(scope="session")
def built(tmp_path_factory):
    """Seasons, entered once for all tests."""
    folder = tmp_path_factory.mktemp("built")
    with Logbook.create(folder / "book", around(folder)) as logbook:
        made = seasonbook.seasons(logbook)
    return folder / "book", made


@pytest.fixture
def made(built, logbook_of):
    """The seasons in a logbook of one's own."""
    folder, made = built
    made.logbook = logbook_of(folder)
    return made


@pytest.fixture
def logbook_of(tmp_path):
    """Open a copy of a logbook."""
    opened = []

    def copy(folder):
        shutil.copytree(folder, tmp_path / "copy")
        opened.append(Logbook.open(tmp_path / "copy", around=around(tmp_path)))
        return opened[-1]

    yield copy
    for logbook in opened:
        logbook.close()


@pytest.fixture
def logbook(tmp_path):
    with Logbook.create(tmp_path / "book", around(tmp_path)) as made:
        yield made


@pytest.fixture
def ketch(logbook):
    """A logbook of a GRP ketch with twin keels, on whom nobody looked yet."""
    vessel.create_vessel(
        logbook, name="Test", kind="yacht", material="grp", keel="twin",
        length="8.7 m", beam="2.85 m", draught="1.05 m",
    )  # fmt: skip
    return logbook


def around(folder):
    return Surroundings(state_folder=folder / "state")
