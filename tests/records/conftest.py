"""Surroundings that repeat: a clock that steps, keys and salts that count, state in the test."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from recordskit import repeatable

from hulllog.records.logbook import Logbook, Surroundings
from hulllog.records.model import Visit
from hulllog.records.values import PartialDate


@pytest.fixture
def around(tmp_path: Path) -> Surroundings:
    """Give surroundings that repeat."""
    return repeatable(tmp_path)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Give the folder in which the logbook of a test lies."""
    return tmp_path / "book"


@pytest.fixture
def logbook(folder: Path, around: Surroundings) -> Iterator[Logbook]:
    """Give an empty logbook."""
    with Logbook.create(folder, around) as made:
        yield made


@pytest.fixture
def elsewhere(around: Surroundings, tmp_path: Path) -> Surroundings:
    """Give the surroundings of another computer."""
    return replace(around, state_folder=tmp_path / "other-state")


@pytest.fixture
def new_visit() -> Callable[..., Visit]:
    """Give a maker of visits in 2019, with nothing else said."""

    def make(begins: str = "2019-04-14", **fields: object) -> Visit:
        given = {"kind": "haul_out", "time_zone": "Europe/London", "looked_for": [], "methods": []}
        return Visit(begins=PartialDate.parse(begins), **{**given, **fields})

    return make
