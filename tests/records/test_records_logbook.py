"""The logbook: making and opening one, who may write, what a change leaves, undo and redo."""

from __future__ import annotations

import os
import subprocess
import sys
import threading
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from sqlalchemy import delete, func, insert, select, text, update

from hulllog.records import ladder, sqlite
from hulllog.records.base import Kept
from hulllog.records.errors import LogbookProblem, Refused, WriteOutside
from hulllog.records.folder import FILE_NAME, LOCK_NAME
from hulllog.records.journal import Entry
from hulllog.records.logbook import ChangeNote, Logbook, Surroundings
from hulllog.records.model import (
    Coat,
    CoatZone,
    IssuedHistory,
    MeasurementSet,
    Product,
    Rating,
    Visit,
    Zone,
)

NewVisit = Callable[..., Visit]


def begin(logbook: Logbook, visit: Visit) -> str:
    with logbook.change("visit.start", begins="2019") as book:
        return book.keep(visit).id


def yard_of(logbook: Logbook, key: str) -> str | None:
    with logbook.read() as book:
        return book.get_one(Visit, key).yard


def set_yard(logbook: Logbook, key: str, yard: str, **told: str) -> None:
    with logbook.change("visit.set", **told) as book:
        book.get_one(Visit, key).yard = yard


def count(logbook: Logbook, model: type) -> int:
    with logbook.read() as book:
        return int(book.scalar(select(func.count()).select_from(model)) or 0)


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


# Writing only inside a change


def test_a_write_in_a_reading_session_is_refused(logbook: Logbook, new_visit: NewVisit) -> None:
    key = begin(logbook, new_visit(yard="Quay"))
    with logbook.read() as book:
        book.keep(new_visit())
        with pytest.raises(WriteOutside):
            book.flush()
        book.expunge_all()
    with pytest.raises(WriteOutside), logbook.read() as book:
        book.get_one(Visit, key).yard = "altered, and never flushed"
    with pytest.raises(WriteOutside), logbook.read() as book:
        book.delete(book.get_one(Visit, key))
    assert yard_of(logbook, key) == "Quay"
    assert count(logbook, Visit) == 1


@pytest.mark.parametrize(
    "statement",
    [
        update(Visit).values(yard="x"),
        delete(Visit),
        insert(Visit).values(id="x"),
        text("UPDATE visit SET yard = 'x'"),
        text("DELETE FROM visit"),
    ],
)
def test_no_statement_writes_past_the_journal(
    logbook: Logbook, new_visit: NewVisit, statement: object
) -> None:
    key = begin(logbook, new_visit(yard="Quay"))
    with pytest.raises(WriteOutside, match="bulk_write"), logbook.change("visit.set") as book:
        book.execute(statement)
    assert yard_of(logbook, key) == "Quay"


def test_no_bulk_call_writes_past_the_journal(logbook: Logbook, new_visit: NewVisit) -> None:
    with pytest.raises(WriteOutside), logbook.change("visit.set") as book:
        book.bulk_save_objects([new_visit()])
    with pytest.raises(WriteOutside), logbook.change("visit.set") as book:
        book.bulk_insert_mappings(Visit, [{"id": "x"}])


def test_a_change_while_reading_is_refused_at_once(logbook: Logbook) -> None:
    wanted = pytest.raises(WriteOutside, match="change_inside_read")
    with logbook.read(), wanted, logbook.change("visit.set"):
        pass
    with logbook.change("visit.set"):
        pass


def test_undo_inside_a_change_is_refused(logbook: Logbook, new_visit: NewVisit) -> None:
    begin(logbook, new_visit())
    with pytest.raises(WriteOutside, match="undo_inside_change"), logbook.change("visit.set"):
        logbook.undo()


# What a change leaves


def test_what_goes_wrong_inside_a_change_leaves_nothing(
    logbook: Logbook, new_visit: NewVisit
) -> None:
    key = begin(logbook, new_visit(yard="Quay"))
    head = logbook.head
    with pytest.raises(ZeroDivisionError), logbook.change("visit.set") as book:  # noqa: PT012
        book.get_one(Visit, key).yard = "Creek"
        book.keep(new_visit("2020"))
        book.flush()
        raise ZeroDivisionError
    assert yard_of(logbook, key) == "Quay"
    assert count(logbook, Visit) == 1
    assert logbook.head == head
    set_yard(logbook, key, "Creek")
    assert yard_of(logbook, key) == "Creek"


def test_a_broken_rule_of_the_database_leaves_nothing(
    logbook: Logbook, new_visit: NewVisit
) -> None:
    from sqlalchemy.exc import IntegrityError

    with pytest.raises(IntegrityError), logbook.change("coat.add") as book:
        book.keep(Coat(visit_id="nowhere", product_id="nothing", number=1))
    assert count(logbook, Coat) == 0
    assert logbook.head == ""


def test_a_change_inside_a_change_is_part_of_it(logbook: Logbook, new_visit: NewVisit) -> None:
    with logbook.change("outer", name="x") as outer:
        outer.keep(new_visit("2019"))
        with logbook.change("inner") as inner:
            assert inner is outer
            inner.keep(new_visit("2020"))
        with logbook.read() as reading:
            assert reading is outer
    assert count(logbook, Visit) == 2
    assert count(logbook, Entry) == 1
    assert logbook.can_undo == ("outer", {"name": "x"})


def test_a_change_inside_that_fails_takes_back_its_own_part_only(
    logbook: Logbook, new_visit: NewVisit
) -> None:
    with logbook.change("outer") as book:
        kept = book.keep(new_visit("2019"))
        with pytest.raises(Refused), logbook.change("inner"):  # noqa: PT012
            book.keep(new_visit("2020"))
            kept.yard = "altered inside"
            raise Refused("text_wanted")
        assert kept.yard is None
        book.keep(new_visit("2021"))
    with logbook.read() as book:
        begun = sorted(visit.begins.text for visit in book.scalars(select(Visit)) if visit.begins)
    assert begun == ["2019", "2021"]
    logbook.undo()
    assert count(logbook, Visit) == 0


def test_a_record_in_hand_equals_the_one_read_back(logbook: Logbook, new_visit: NewVisit) -> None:
    with logbook.change("visit.start") as book:
        kept = book.keep(new_visit())
    with logbook.read() as book:
        read = book.get_one(Visit, kept.id)
    assert (kept.entered_at, kept.entered_by) == (read.entered_at, read.entered_by)
    assert isinstance(read, Kept)


def test_listeners_hear_what_kind_of_thing_changed(logbook: Logbook, new_visit: NewVisit) -> None:
    heard: list[ChangeNote] = []
    stop = logbook.on_change(heard.append)
    with logbook.change("visit.start", initiator="page", begins="2019") as book:
        book.keep(new_visit())
    logbook.undo(initiator="key")
    stop()
    logbook.redo()
    assert [(note.kind, note.initiator) for note in heard] == [("edit", "page"), ("undo", "key")]
    assert all(note.tables == {"visit"} for note in heard)
    assert all(note.action == "visit.start" for note in heard)
    assert all(note.details == {"begins": "2019"} for note in heard)


def test_a_full_disk_is_told_as_such_and_loses_nothing(
    logbook: Logbook, new_visit: NewVisit
) -> None:
    key = begin(logbook, new_visit(yard="Quay"))
    full = pytest.raises(OSError, match="No space left")
    with full as caught, logbook.change("visit.set") as book:
        pages = book.connection().exec_driver_sql("PRAGMA page_count").scalar_one()
        book.connection().exec_driver_sql(f"PRAGMA max_page_count = {pages}")
        book.get_one(Visit, key).note = "x" * 500_000
    assert caught.value.filename == str(logbook.file)
    assert yard_of(logbook, key) == "Quay"


def test_a_reader_aside_holds_nobody_up(logbook: Logbook, new_visit: NewVisit) -> None:
    key = begin(logbook, new_visit(yard="Quay"))
    head = logbook.head
    with logbook.read_aside() as aside:
        assert aside.get_one(Visit, key).yard == "Quay"
        set_yard(logbook, key, "Creek")
        assert (aside.head, logbook.head != head) == (head, True)
        assert aside.scalar(select(Visit.yard)) == "Quay"
    assert yard_of(logbook, key) == "Creek"
    with pytest.raises(WriteOutside), logbook.read_aside() as aside:
        aside.keep(new_visit())


def test_threads_write_one_after_the_other(logbook: Logbook, new_visit: NewVisit) -> None:
    key = begin(logbook, new_visit(engine_hours=None))

    def write(number: int) -> None:
        for turn in range(5):
            set_yard(logbook, key, f"{number}-{turn}")

    threads = [threading.Thread(target=write, args=(number,)) for number in range(3)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert count(logbook, Entry) == 16


# Undo and redo


def test_undo_and_redo_go_back_and_forth(logbook: Logbook, new_visit: NewVisit) -> None:
    key = begin(logbook, new_visit(yard="Quay"))
    set_yard(logbook, key, "Creek", field="yard")
    assert logbook.can_undo == ("visit.set", {"field": "yard"})
    logbook.undo()
    assert yard_of(logbook, key) == "Quay"
    assert logbook.can_redo == ("visit.set", {"field": "yard"})
    logbook.undo()
    assert count(logbook, Visit) == 0
    logbook.redo()
    logbook.redo()
    assert yard_of(logbook, key) == "Creek"
    assert logbook.can_redo is None
    assert count(logbook, Entry) == 6, "undo appends, never removes"


def test_a_new_edit_ends_what_could_be_done_again(logbook: Logbook, new_visit: NewVisit) -> None:
    key = begin(logbook, new_visit(yard="Quay"))
    set_yard(logbook, key, "Creek")
    logbook.undo()
    set_yard(logbook, key, "Dock")
    assert logbook.can_redo is None
    with pytest.raises(LogbookProblem, match="nothing_to_redo"):
        logbook.redo()


def test_there_is_nothing_to_undo_before_the_first_edit(logbook: Logbook) -> None:
    with pytest.raises(LogbookProblem, match="nothing_to_undo"):
        logbook.undo()


def test_an_issued_history_ends_undo(logbook: Logbook, new_visit: NewVisit) -> None:
    begin(logbook, new_visit())
    with logbook.change("history.issue", kind="issue") as book:
        book.keep(issued(book.now()))
    assert logbook.can_undo is None


def test_a_cascade_comes_back_whole(logbook: Logbook, new_visit: NewVisit) -> None:
    with logbook.change("fill") as book:
        visit, product = book.keep(new_visit()), book.keep(paint())
        zone = book.keep(Zone(code="p1", name="Port bow", walk_order=1))
        coat = book.keep(Coat(visit_id=visit.id, product_id=product.id, number=1))
        coat.zones = [CoatZone(zone_id=zone.id, share=share) for share in (0.5, 1.0)]
    with logbook.change("coat.drop") as book:
        book.delete(book.get_one(Coat, coat.id))
    assert count(logbook, CoatZone) == 0
    logbook.undo()
    with logbook.read() as book:
        assert sorted(one.share for one in book.get_one(Coat, coat.id).zones) == [0.5, 1.0]


def test_an_orphan_is_recorded_and_comes_back(logbook: Logbook, new_visit: NewVisit) -> None:
    with logbook.change("fill") as book:
        visit = book.keep(new_visit())
        measured = book.keep(
            MeasurementSet(visit_id=visit.id, kind="rust", state="found", conditions={})
        )
        measured.ratings = [Rating(component="grade", code=code) for code in ("1", "2")]
    with logbook.change("set.change") as book:
        again = book.get_one(MeasurementSet, measured.id)
        again.ratings = [again.ratings[0]]
    assert count(logbook, Rating) == 1
    logbook.undo()
    assert count(logbook, Rating) == 2


def issued(at: object, **told: object) -> IssuedHistory:
    return IssuedHistory(
        issued_at=at, reader="buyer", options={}, head="", file_sha256="", file_name="x", **told
    )


def paint() -> Product:
    return Product(name="Red", coating_class="ablative", role="antifouling", biocides=[])
