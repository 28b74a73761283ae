"""The sample shelf, built once for all of its tests."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest
import stories

from hulllog import assets
from hulllog.records.logbook import Logbook, Surroundings

if TYPE_CHECKING:
    from hulllog.records.book import Book


@pytest.fixture(scope="session")
def ketch(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return Path(assets.sample().build(tmp_path_factory.mktemp("shelf")))


@pytest.fixture
def reading(tmp_path: Path) -> Callable[[Path], Logbook]:
    def opened(folder: Path) -> Logbook:
        around = Surroundings(state_folder=tmp_path / "state", cache_folder=tmp_path / "cache")
        return Logbook.open(folder, around, read_only=True)

    return opened


@pytest.fixture(scope="session")
def told(ketch: Path, tmp_path_factory: pytest.TempPathFactory) -> dict[str, Any]:
    apart = tmp_path_factory.mktemp("told")
    around = Surroundings(state_folder=apart / "state", cache_folder=apart / "cache")
    with Logbook.open(ketch, around, read_only=True) as found, found.read() as book:
        return stories.told(book)


@pytest.fixture
def logbook(ketch: Path, reading: Callable[[Path], Logbook]) -> Iterator[Logbook]:
    with reading(ketch) as found:
        yield found


@pytest.fixture
def book(logbook: Logbook) -> Iterator[Book]:
    with logbook.read() as found:
        yield found
