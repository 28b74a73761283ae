"""Backups: proved or not at all, and never over something else."""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest
from PIL import Image
from recordskit import repeatable

from hulllog.records import sqlite
from hulllog.records.backup import backup, last_proven_backup
from hulllog.records.check import check
from hulllog.records.errors import LogbookProblem
from hulllog.records.folder import FILE_NAME, take_lock
from hulllog.records.logbook import Logbook
from hulllog.records.media import import_photos
from hulllog.records.model import Visit
from hulllog.words.errors import sentence

NewVisit = Callable[..., Visit]


@pytest.fixture
def filled(logbook: Logbook, tmp_path: Path, new_visit: NewVisit) -> Logbook:
    """Give a logbook with a visit and two photographs."""
    with logbook.change("visit.start") as book:
        book.keep(new_visit(yard="Quay"))
    for number in range(2):
        Image.new("RGB", (40, 30), (number * 99, 90, 30)).save(tmp_path / f"{number}.jpg")
    import_photos(logbook, sorted(tmp_path.glob("*.jpg")), None)
    return logbook


@pytest.fixture
def target(tmp_path: Path) -> Path:
    """Give the folder for the copy."""
    return tmp_path / "stick" / "copy"


def names(folder: Path) -> list[str]:
    return sorted(one.name for one in folder.rglob("*") if one.is_file())


def test_a_backup_is_a_logbook_with_all_its_files(filled: Logbook, target: Path) -> None:
    told: list[tuple[int, int]] = []
    report = backup(filled, target, progress=lambda done, of: told.append((done, of)))
    assert report is not None
    assert report.proved
    assert (report.folder, report.head) == (target, filled.head)
    assert (report.files_copied, report.files_there) == (2, 0)
    assert told == [(0, 3), (1, 3), (2, 3)]
    assert names(target) == names(filled.folder)
    assert not check(target, deep=True, around=filled.around).problems
    with Logbook.open(target, filled.around) as copy:
        assert copy.read_only is None
        assert copy.head == filled.head


def test_the_date_of_the_last_proven_backup_is_remembered_outside_the_logbook(
    filled: Logbook, target: Path
) -> None:
    assert last_proven_backup(filled) is None
    head = filled.head
    backup(filled, target)
    proven = last_proven_backup(filled)
    assert proven is not None
    assert (proven.folder, proven.head) == (target, head)
    assert filled.head == head
    filled.close()
    with Logbook.open(filled.folder, filled.around) as again:
        assert last_proven_backup(again) == proven


def test_a_second_backup_copies_only_what_is_new(
    filled: Logbook, target: Path, tmp_path: Path, new_visit: NewVisit
) -> None:
    backup(filled, target)
    with filled.change("visit.start") as book:
        book.keep(new_visit("2020"))
    Image.new("RGB", (40, 30), "teal").save(tmp_path / "third.jpg")
    import_photos(filled, [tmp_path / "third.jpg"], None)
    report = backup(filled, target)
    assert report is not None
    assert (report.files_copied, report.files_there) == (1, 2)
    assert report.head == filled.head
    assert check(target, around=filled.around).head == filled.head


def test_a_backup_is_made_while_the_logbook_is_open_for_reading_only(
    filled: Logbook, target: Path
) -> None:
    with Logbook.open(filled.folder, filled.around, read_only=True) as reader:
        report = backup(reader, target)
    assert report is not None
    assert report.proved


def test_a_missing_photograph_is_told_and_does_not_count_as_proved(
    filled: Logbook, target: Path
) -> None:
    next((filled.folder / "photos").iterdir()).unlink()
    report = backup(filled, target)
    assert report is not None
    assert not report.proved
    assert [problem.code for problem in report.check.problems] == ["media_missing"]
    assert last_proven_backup(filled) is None
    assert (target / FILE_NAME).exists(), "what there is, is copied"


def test_a_tampered_logbook_does_not_take_the_place_of_a_good_backup(
    filled: Logbook, target: Path
) -> None:
    backup(filled, target)
    proven = last_proven_backup(filled)
    raw = sqlite.connect(filled.file)
    raw.execute("UPDATE visit SET yard = 'Elsewhere'")
    raw.close()
    before = (target / FILE_NAME).read_bytes()
    with pytest.raises(LogbookProblem) as caught:
        backup(filled, target)
    assert caught.value.code == "backup_not_proved"
    assert caught.value.values["detail"] == "row_altered"
    assert sentence(caught.value)
    assert (target / FILE_NAME).read_bytes() == before
    assert not list(target.rglob("*.making"))
    assert last_proven_backup(filled) == proven


@pytest.mark.parametrize("answers", [[True], [False, True], [False, False, True]])
def test_cancel_leaves_no_backup_and_an_earlier_one_as_it_was(
    filled: Logbook, target: Path, answers: list[bool]
) -> None:
    told = iter(answers)
    assert backup(filled, target, cancelled=lambda: next(told)) is None
    assert not (target / FILE_NAME).exists()
    assert not list(target.rglob("*.making"))
    backup(filled, target)
    told = iter([True])
    assert backup(filled, target, cancelled=lambda: next(told)) is None
    assert not check(target, around=filled.around).problems


def test_what_progress_raises_ends_the_backup(filled: Logbook, target: Path) -> None:
    def stop(_done: int, _of: int) -> None:
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        backup(filled, target, progress=stop)
    assert not (target / FILE_NAME).exists()
    lock, _ = take_lock(target)
    assert lock is not None
    lock.release()


def test_a_full_disk_leaves_no_half_backup(
    filled: Logbook, target: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*_: object, **__: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(shutil, "copyfileobj", full)
    with pytest.raises(OSError, match="No space left"):
        backup(filled, target)
    assert names(target) == ["logbook.lock"]


def test_no_backup_goes_into_the_logbook_itself(filled: Logbook) -> None:
    for inside in (filled.folder, filled.folder / "copy", filled.folder / "photos" / ".."):
        with pytest.raises(LogbookProblem, match="backup_into_itself"):
            backup(filled, inside)


def test_no_backup_goes_over_another_logbook(filled: Logbook, target: Path, tmp_path: Path) -> None:
    other = repeatable(tmp_path / "other")
    Logbook.create(target, other.__class__(state_folder=other.state_folder)).close()
    with pytest.raises(LogbookProblem, match="backup_of_another"):
        backup(filled, target)


def test_no_backup_goes_over_a_file_of_another_kind(filled: Logbook, target: Path) -> None:
    target.mkdir(parents=True)
    (target / FILE_NAME).write_text("a text, by a person")
    with pytest.raises(LogbookProblem, match="not_a_logbook"):
        backup(filled, target)
    assert (target / FILE_NAME).read_text() == "a text, by a person"


def test_no_backup_goes_over_a_later_state(
    filled: Logbook, target: Path, new_visit: NewVisit
) -> None:
    backup(filled, target)
    with Logbook.open(target, filled.around) as copy, copy.change("visit.start") as book:
        book.keep(new_visit("2021"))
    with pytest.raises(LogbookProblem, match="backup_ahead"):
        backup(filled, target)


def test_no_backup_goes_into_a_copy_that_is_open(filled: Logbook, target: Path) -> None:
    backup(filled, target)
    with Logbook.open(target, filled.around), pytest.raises(LogbookProblem) as caught:
        backup(filled, target)
    assert caught.value.code == "backup_in_use"
    assert str(target) in sentence(caught.value)


def test_a_cut_off_write_in_the_copy_is_cleared_away_first(filled: Logbook, target: Path) -> None:
    """An old journal beside a new database would be played into it."""
    backup(filled, target)
    (target / f"{FILE_NAME}-journal").write_bytes(os.urandom(5000))
    report = backup(filled, target)
    assert report is not None
    assert report.proved
    assert not (target / f"{FILE_NAME}-journal").exists()
    assert not check(target, around=filled.around).problems
