"""The shelf: logbooks in a folder, looked at and left as they are."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from recordskit import repeatable

from hulllog.records import sqlite
from hulllog.records.folder import FILE_NAME
from hulllog.records.logbook import Logbook
from hulllog.records.model import Vessel, Visit
from hulllog.records.shelf import shelf

NewVisit = Callable[..., Visit]


def put(folder: Path, name: str | None, visits: list[Visit], *, sample: bool = False) -> None:
    """Put a logbook on the shelf."""
    around = replace(repeatable(folder.parent), new_logbook_id=lambda: folder.name)
    with Logbook.create(folder, around) as logbook, logbook.change("fill") as book:
        if name:
            book.keep(Vessel(name=name, kind="yacht", material="grp", sample=sample))
        book.add_all(visits)


def test_the_shelf_lists_what_is_in_a_folder_by_name(tmp_path: Path, new_visit: NewVisit) -> None:
    visits = [new_visit("2019"), new_visit("14 Apr 2021"), new_visit("2020")]
    put(tmp_path / "b", "Zephyr", visits)
    put(tmp_path / "a", "anemone", [], sample=True)
    put(tmp_path / "c", None, [])
    (tmp_path / "photos of summer").mkdir()
    first, second, third = shelf(tmp_path)
    assert (first.name, first.sample, first.last_visit) == ("anemone", True, None)
    assert (second.name, second.folder.name) == ("c", "c")
    assert (third.name, third.material, third.sample) == ("Zephyr", "grp", False)
    assert third.last_visit is not None
    assert third.last_visit.text == "14 Apr 2021"


def test_a_logbooks_own_folder_is_a_shelf_of_one(tmp_path: Path) -> None:
    put(tmp_path / "book", "Zephyr", [])
    assert [one.name for one in shelf(tmp_path / "book")] == ["Zephyr"]


def test_looking_at_the_shelf_changes_nothing_and_waits_for_nobody(tmp_path: Path) -> None:
    put(tmp_path / "book", "Zephyr", [])
    before = {file: file.stat().st_mtime_ns for file in (tmp_path / "book").rglob("*")}
    with Logbook.open(tmp_path / "book", repeatable(tmp_path)):
        assert [one.problem for one in shelf(tmp_path)] == [None]
    assert {file: file.stat().st_mtime_ns for file in (tmp_path / "book").rglob("*")} == before


@pytest.mark.parametrize(("number", "problem"), [(99, "newer_logbook"), (0, "older_logbook")])
def test_a_logbook_of_another_version_is_told(tmp_path: Path, number: int, problem: str) -> None:
    put(tmp_path / "book", "Zephyr", [])
    raw = sqlite.connect(tmp_path / "book" / FILE_NAME)
    raw.execute(f"PRAGMA user_version = {number}")
    raw.close()
    (one,) = shelf(tmp_path)
    assert (one.name, one.problem) == ("book", problem)


def test_what_cannot_be_read_is_told(tmp_path: Path) -> None:
    put(tmp_path / "cut", "Zephyr", [])
    file = tmp_path / "cut" / FILE_NAME
    file.write_bytes(file.read_bytes()[:9000])
    (tmp_path / "other").mkdir()
    (tmp_path / "other" / FILE_NAME).write_text("a text")
    assert {one.name: one.problem for one in shelf(tmp_path)} == {
        "cut": "damaged",
        "other": "not_a_logbook",
    }


def test_a_folder_that_is_not_there_is_an_empty_shelf(tmp_path: Path) -> None:
    assert shelf(tmp_path / "nowhere") == []
