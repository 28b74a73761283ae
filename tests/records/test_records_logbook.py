"""The logbook: making and opening one, who may write, what this computer remembers."""

from __future__ import annotations

import os
import subprocess
import sys
import threading
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from recordskit import begin, count, set_yard, yard_of
from sqlalchemy import select

from hulllog.records import ladder, sqlite
from hulllog.records.errors import LogbookProblem
from hulllog.records.folder import FILE_NAME, LOCK_NAME
from hulllog.records.journal import Entry
from hulllog.records.logbook import Logbook, Surroundings
from hulllog.records.model import (
    Visit,
)

NewVisit = Callable[..., Visit]


# Making and opening


def test_a_new_logbook_has_its_folders_and_nothing_else(logbook: Logbook, folder: Path) -> None:
    names = sorted(one.name for one in folder.iterdir())
    assert names == ["documents", LOCK_NAME, FILE_NAME, "photos"]
    assert logbook.head == ""
    assert logbook.read_only is None


def test_a_logbook_is_never_made_over_another(logbook: Logbook, folder: Path) -> None:
    with pytest.raises(LogbookProblem, match="already_a_logbook"):
        Logbook.create(folder, logbook.around)


def test_what_a_crash_left_while_making_is_no_hindrance(folder: Path, around: Surroundings) -> None:
    folder.mkdir()
    (folder / f"{FILE_NAME}.making").write_bytes(b"half")
    (folder / f"{FILE_NAME}.making-journal").write_bytes(b"half")
    with Logbook.create(folder, around) as made:
        assert made.read_only is None


def test_records_are_there_when_it_is_opened_again(
    logbook: Logbook, folder: Path, new_visit: NewVisit
) -> None:
    key = begin(logbook, new_visit(yard="Quay"))
    head = logbook.head
    logbook.close()
    with Logbook.open(folder, logbook.around) as again:
        assert yard_of(again, key) == "Quay"
        assert again.head == head
        assert again.can_undo is None


@pytest.mark.parametrize("content", [b"", b"a text, by a person", b"\0" * 200])
def test_a_file_of_another_kind_is_no_logbook(
    folder: Path, around: Surroundings, content: bytes
) -> None:
    folder.mkdir()
    (folder / FILE_NAME).write_bytes(content)
    with pytest.raises(LogbookProblem, match="not_a_logbook"):
        Logbook.open(folder, around)


def test_a_folder_without_a_file_is_no_logbook(tmp_path: Path, around: Surroundings) -> None:
    with pytest.raises(LogbookProblem, match="no_logbook"):
        Logbook.open(tmp_path / "nothing", around)


def test_another_programs_database_is_no_logbook(folder: Path, around: Surroundings) -> None:
    folder.mkdir()
    sqlite.create_file(folder / FILE_NAME, 1)
    with sqlite.connect(folder / FILE_NAME) as other:
        other.execute("PRAGMA application_id = 1")
    other.close()
    with pytest.raises(LogbookProblem, match="not_a_logbook"):
        Logbook.open(folder, around)


def test_a_newer_logbook_is_refused_with_both_numbers(logbook: Logbook, folder: Path) -> None:
    logbook.close()
    raw = sqlite.connect(folder / FILE_NAME)
    raw.execute("PRAGMA user_version = 99")
    raw.close()
    with pytest.raises(LogbookProblem) as caught:
        Logbook.open(folder, logbook.around)
    assert caught.value.code == "newer_logbook"
    assert caught.value.values == {"found": 99, "known": ladder.SCHEMA_NUMBER}
    with pytest.raises(LogbookProblem, match="newer_logbook"):
        Logbook.open(folder, logbook.around, read_only=True)


def test_a_broken_header_is_damage(logbook: Logbook, folder: Path) -> None:
    logbook.close()
    with (folder / FILE_NAME).open("r+b") as file:
        file.write(b"SQLite forgot 3\0")
    with pytest.raises(LogbookProblem, match="damaged"):
        Logbook.open(folder, logbook.around)


def test_a_damaged_logbook_opens_for_reading_only(
    logbook: Logbook, folder: Path, new_visit: NewVisit
) -> None:
    begin(logbook, new_visit())
    logbook.close()
    raw = sqlite.connect(folder / FILE_NAME)
    (page,) = raw.execute(
        "SELECT rootpage FROM sqlite_master WHERE name = 'ix_weather_visit_id'"
    ).fetchone()
    (size,) = raw.execute("PRAGMA page_size").fetchone()
    raw.close()
    with (folder / FILE_NAME).open("r+b") as file:
        file.seek((page - 1) * size)
        file.write(b"\xff" * size)
    with Logbook.open(folder, logbook.around) as damaged:
        assert damaged.read_only == "damaged"
        assert count(damaged, Visit) == 1


def test_a_logbook_of_which_nothing_can_be_read_is_refused(
    logbook: Logbook, folder: Path, new_visit: NewVisit
) -> None:
    begin(logbook, new_visit())
    logbook.close()
    file = folder / FILE_NAME
    file.write_bytes(file.read_bytes()[:8192])
    with pytest.raises(LogbookProblem, match="damaged"):
        Logbook.open(folder, logbook.around)
    with pytest.raises(LogbookProblem, match="damaged"):
        Logbook.open(folder, logbook.around, read_only=True)


def test_a_broken_reference_is_damage(logbook: Logbook, folder: Path, new_visit: NewVisit) -> None:
    begin(logbook, new_visit())
    logbook.close()
    raw = sqlite.connect(folder / FILE_NAME)
    raw.execute("PRAGMA foreign_keys = OFF")
    raw.execute(
        "INSERT INTO weather (id, entered_at, entered_by, basis, withdrawn, visit_id)"
        " VALUES ('w', '2025-01-01T00:00:00Z', 'x', 'at_the_time', 0, 'nowhere')"
    )
    raw.close()
    with Logbook.open(folder, logbook.around) as damaged:
        assert damaged.read_only == "damaged"


# One writer


def test_a_second_opening_is_for_reading_only(
    logbook: Logbook, folder: Path, new_visit: NewVisit
) -> None:
    key = begin(logbook, new_visit(yard="Quay"))
    with Logbook.open(folder, logbook.around) as second:
        assert second.read_only == "in_use"
        assert yard_of(second, key) == "Quay"
        with pytest.raises(LogbookProblem) as caught, second.change("visit.set"):
            pass
        assert (caught.value.code, caught.value.values) == ("read_only", {"why": "in_use"})
        set_yard(logbook, key, "Creek")
        assert yard_of(second, key) == "Creek"


def test_closing_lets_the_next_one_write(logbook: Logbook, folder: Path) -> None:
    logbook.close()
    with Logbook.open(folder, logbook.around) as second:
        assert second.read_only is None


def test_a_logbook_closed_by_another_thread_is_free(logbook: Logbook, folder: Path) -> None:
    closing = threading.Thread(target=logbook.close)
    closing.start()
    closing.join()
    with Logbook.open(folder, logbook.around) as second:
        assert second.read_only is None


def test_the_lock_of_a_killed_program_is_free(logbook: Logbook, folder: Path) -> None:
    logbook.close()
    source = (
        "import os, sys\nfrom pathlib import Path\nfrom hulllog.records.logbook import Logbook\n"
        "book = Logbook.open(Path(sys.argv[1]))\nassert book.read_only is None\nos._exit(9)"
    )
    killed = subprocess.run([sys.executable, "-c", source, str(folder)], check=False)
    assert killed.returncode == 9
    with Logbook.open(folder, logbook.around) as second:
        assert second.read_only is None


def test_opening_for_reading_takes_no_lock(logbook: Logbook, folder: Path) -> None:
    logbook.close()
    with Logbook.open(folder, logbook.around, read_only=True) as reader:
        assert reader.read_only == "asked"
        with Logbook.open(folder, logbook.around) as writer:
            assert writer.read_only is None


def test_a_file_that_may_not_be_written_opens_for_reading_only(
    logbook: Logbook, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    logbook.close()
    monkeypatch.setattr(os, "access", lambda *_: False)
    with Logbook.open(folder, logbook.around) as reader:
        assert reader.read_only == "no_write_access"


# What this computer remembers


def test_an_older_state_of_the_folder_opens_for_reading_only(
    logbook: Logbook, folder: Path, new_visit: NewVisit
) -> None:
    begin(logbook, new_visit())
    older = (folder / FILE_NAME).read_bytes()
    begin(logbook, new_visit("2020"))
    logbook.close()
    (folder / FILE_NAME).write_bytes(older)
    with Logbook.open(folder, logbook.around) as back:
        assert back.read_only == "head_missing"
        assert count(back, Visit) == 1
        back.go_on_from_here()
    with Logbook.open(folder, logbook.around) as again:
        assert again.read_only is None
        begin(again, new_visit("2021"))
        with again.read() as book:
            last = book.scalars(select(Entry).order_by(Entry.written.desc())).first()
        assert last is not None
        assert last.sequence == 1, "no number of the lost entries is given twice"


def test_another_computer_has_nothing_to_miss(
    logbook: Logbook, folder: Path, elsewhere: Surroundings, new_visit: NewVisit
) -> None:
    begin(logbook, new_visit())
    logbook.close()
    with Logbook.open(folder, elsewhere) as there:
        assert there.read_only is None
        assert there.memory.replica != logbook.memory.replica


def test_a_lost_memory_costs_no_record(
    logbook: Logbook, folder: Path, tmp_path: Path, new_visit: NewVisit
) -> None:
    begin(logbook, new_visit())
    logbook.close()
    for file in (tmp_path / "state" / "logbooks").iterdir():
        file.write_bytes(b"\xff[]")
    with Logbook.open(folder, logbook.around) as again:
        assert again.read_only is None
        assert count(again, Visit) == 1


def test_a_state_folder_that_cannot_be_written_is_no_hindrance(
    tmp_path: Path, around: Surroundings, new_visit: NewVisit
) -> None:
    (tmp_path / "state").write_text("a file where the folder should be")
    with Logbook.create(tmp_path / "book", around) as logbook:
        begin(logbook, new_visit())
        assert not logbook.memory.lasting
        assert not logbook.drafts.lasting


def test_the_id_that_a_stranger_wrote_is_never_a_path(
    tmp_path: Path, around: Surroundings, new_visit: NewVisit
) -> None:
    hostile = replace(around, new_logbook_id=lambda: "../../outside")
    with Logbook.create(tmp_path / "book", hostile) as logbook:
        begin(logbook, new_visit())
    assert not list(tmp_path.glob("outside*"))
    assert len(list((tmp_path / "state" / "logbooks").iterdir())) == 2


def test_a_file_put_in_place_of_ours_is_not_written_to(
    logbook: Logbook, folder: Path, new_visit: NewVisit
) -> None:
    key = begin(logbook, new_visit(yard="Quay"))
    copy = folder / "copy.sqlite"
    copy.write_bytes((folder / FILE_NAME).read_bytes())
    copy.replace(folder / FILE_NAME)
    with pytest.raises(LogbookProblem) as caught:
        set_yard(logbook, key, "Creek")
    assert caught.value.values == {"why": "changed_outside"}


def test_an_entry_of_somebody_else_is_not_passed_over(
    logbook: Logbook, folder: Path, new_visit: NewVisit
) -> None:
    key = begin(logbook, new_visit(yard="Quay"))
    raw = sqlite.connect(folder / FILE_NAME)
    raw.execute("UPDATE journal_entry SET digest = 'other'")
    raw.close()
    with pytest.raises(LogbookProblem, match="read_only"):
        set_yard(logbook, key, "Creek")
    assert yard_of(logbook, key) == "Quay"


@pytest.mark.parametrize(("synced", "level"), [(True, 2), (False, 0)])
def test_only_what_can_be_built_again_does_not_wait_for_the_disk(tmp_path, synced, level):
    around = Surroundings(state_folder=tmp_path / "state", synced=synced)
    with Logbook.create(tmp_path / "book", around) as logbook, logbook.read() as book:
        assert book.connection().exec_driver_sql("PRAGMA synchronous").scalar() == level
