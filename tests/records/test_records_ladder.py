"""The ladder: older logbooks climb whole or not at all, and every schema has its frozen file."""

from __future__ import annotations

import re
import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any

import make_fixture
import pytest
from recordskit import repeatable
from sqlalchemy import select

from hulllog.records import ladder, sqlite
from hulllog.records.check import check
from hulllog.records.errors import LogbookProblem
from hulllog.records.folder import FILE_NAME
from hulllog.records.history import record_history
from hulllog.records.journal import JOURNAL_TABLES, Entry
from hulllog.records.ladder import Step, copy_before
from hulllog.records.logbook import Logbook
from hulllog.records.model import Vessel, Visit
from hulllog.words.errors import sentence

DATA = Path(__file__).parent / "data"
NOW = ladder.SCHEMA_NUMBER
NewVisit = Callable[..., Visit]


def in_folder(frozen: Path, folder: Path) -> Path:
    """Put a frozen file into a folder as a logbook."""
    folder.mkdir(parents=True)
    shutil.copy(frozen, folder / FILE_NAME)
    return folder


def schema(file: Path) -> dict[str, str]:
    """Return what makes each table and index, without the white space."""
    raw = sqlite.connect(file, read_only=True)
    rows = raw.execute("SELECT name, sql FROM sqlite_master WHERE sql IS NOT NULL").fetchall()
    raw.close()
    return {name: re.sub(r"\s+", " ", sql).strip() for name, sql in rows}


def dump(file: Path) -> list[str]:
    raw = sqlite.connect(file, read_only=True)
    lines = list(raw.iterdump())
    raw.close()
    return lines


# Frozen files


def test_every_schema_has_its_frozen_file() -> None:
    for number in range(1, ladder.SCHEMA_NUMBER + 1):
        assert sqlite.schema_number(DATA / f"schema-{number}.sqlite") == number
    assert set(ladder.STEPS) == set(range(1, ladder.SCHEMA_NUMBER))


@pytest.mark.parametrize("frozen", sorted(DATA.glob("schema-*.sqlite")), ids=lambda one: one.stem)
def test_a_frozen_logbook_climbs_to_what_a_new_one_is(frozen: Path, tmp_path: Path) -> None:
    folder = in_folder(frozen, tmp_path / "book")
    with Logbook.open(folder, repeatable(tmp_path, begins=10_000)) as logbook:
        assert logbook.read_only is None
        with logbook.read() as book:
            assert book.scalars(select(Vessel)).one().name.endswith("Ærø & <b>")
    Logbook.create(tmp_path / "new", repeatable(tmp_path)).close()
    assert schema(folder / FILE_NAME) == schema(tmp_path / "new" / FILE_NAME)
    problems = check(folder, around=repeatable(tmp_path)).problems
    assert {problem.code for problem in problems} == {"media_missing"}, "its files are not there"


@pytest.mark.parametrize("frozen", sorted(DATA.glob("schema-*.sqlite")), ids=lambda one: one.stem)
def test_a_frozen_file_has_a_row_of_every_table(frozen: Path) -> None:
    raw = sqlite.connect(frozen, read_only=True)
    empty = {
        name
        for name in sqlite.table_names(raw)
        if not raw.execute(f'SELECT 1 FROM "{name}"').fetchone()
    }
    raw.close()
    assert empty == {"annotation"}, "its one row was deleted, and stands in the journal"
    assert set(schema(frozen)) >= JOURNAL_TABLES


def test_the_frozen_file_of_the_present_schema_is_what_its_script_writes(tmp_path: Path) -> None:
    make_fixture.main(tmp_path / "again.sqlite")
    assert dump(tmp_path / "again.sqlite") == dump(make_fixture.TARGET)


def test_what_stood_in_a_table_that_was_widened_still_stands_there(tmp_path: Path) -> None:
    """The tables that refer to it keep their rows too."""
    folder = in_folder(DATA / "schema-1.sqlite", tmp_path / "book")
    raw = sqlite.connect(folder / FILE_NAME, read_only=True)
    before = rows_of(raw)
    raw.close()
    Logbook.open(folder, repeatable(tmp_path, begins=10_000)).close()
    raw = sqlite.connect(folder / FILE_NAME, read_only=True)
    after = rows_of(raw)
    raw.close()
    assert {(table, key) for table, key, _row in before} == {
        (table, key) for table, key, _row in after
    }
    kept = {(table, key): row for table, key, row in after}
    for table, key, row in before:
        assert row.items() <= kept[table, key].items()


def rows_of(raw: Any) -> list[tuple[str, str, dict[str, object]]]:
    """Return each row of the records with its table and key."""
    found = []
    for table in set(sqlite.table_names(raw)) - JOURNAL_TABLES:
        cursor = raw.execute(f'SELECT * FROM "{table}"')
        names = [column[0] for column in cursor.description]
        found += [
            (table, row[names.index("id")], dict(zip(names, row, strict=True))) for row in cursor
        ]
    return found


# A step


def to_spring(connection: Any) -> None:
    connection.exec_driver_sql("UPDATE visit SET note = 'spring tide' WHERE yard = 'Quay'")


@pytest.fixture
def one_step(monkeypatch: pytest.MonkeyPatch) -> Callable[[Step], None]:
    """Give a maker of one more step."""

    def put(step: Step) -> None:
        monkeypatch.setattr(ladder, "SCHEMA_NUMBER", NOW + 1)
        monkeypatch.setitem(ladder.STEPS, NOW, step)

    return put


@pytest.fixture
def older(logbook: Logbook, new_visit: NewVisit) -> Logbook:
    """Give a closed logbook of the present schema with two visits."""
    with logbook.change("visit.start") as book:
        book.add_all([new_visit(yard="Quay"), new_visit("2020", yard="Creek")])
    logbook.close()
    return logbook


def test_a_step_is_one_entry_with_what_it_altered(
    older: Logbook, one_step: Callable[[Step], None]
) -> None:
    one_step(Step("tell the tide", to_spring))
    with Logbook.open(older.folder, older.around) as logbook:
        assert sqlite.schema_number(logbook.file) == NOW + 1
        assert logbook.can_undo is None
        with logbook.read() as book:
            visit = book.scalars(select(Visit).where(Visit.yard == "Quay")).one()
            assert visit.note == "spring tide"
            last = record_history(book, "visit", visit.id)[-1]
            entries = book.scalars(select(Entry).order_by(Entry.written)).all()
        assert [entry.kind for entry in entries] == ["edit", "schema"]
        assert (last.kind, last.before, last.after) == (
            "schema", {"note": None}, {"note": "spring tide"},
        )  # fmt: skip
        assert last.details == {"step": "tell the tide", "found": NOW, "made": NOW + 1}
        with logbook.change("visit.set") as book:
            book.get_one(Visit, visit.id).note = "neap tide"
    assert not check(older.folder, around=older.around).problems


def test_a_row_that_a_step_left_alone_keeps_its_digest(
    older: Logbook, one_step: Callable[[Step], None]
) -> None:
    one_step(Step("tell the tide", to_spring))
    with Logbook.open(older.folder, older.around) as logbook:
        with logbook.read() as book:
            other = book.scalars(select(Visit).where(Visit.yard == "Creek")).one()
            assert len(record_history(book, "visit", other.id)) == 1
        with logbook.change("visit.set") as book:
            book.get_one(Visit, other.id).note = "written after the step"
    assert not check(older.folder, around=older.around).problems


def test_the_file_is_copied_before_a_step(older: Logbook, one_step: Callable[[Step], None]) -> None:
    before = dump(older.file)
    one_step(Step("tell the tide", to_spring))
    Logbook.open(older.folder, older.around).close()
    copy = copy_before(older.file, NOW)
    assert sqlite.schema_number(copy) == NOW
    assert dump(copy) == before


def test_this_computer_knows_the_head_after_a_step(
    older: Logbook, one_step: Callable[[Step], None]
) -> None:
    one_step(Step("tell the tide", to_spring))
    for _ in range(2):
        with Logbook.open(older.folder, older.around) as logbook:
            assert logbook.read_only is None


def break_off(connection: Any) -> None:
    connection.exec_driver_sql("ALTER TABLE visit ADD COLUMN tide TEXT")
    connection.exec_driver_sql("UPDATE no_such_table SET x = 1")


def break_a_reference(connection: Any) -> None:
    connection.exec_driver_sql("UPDATE weather SET visit_id = 'nowhere'")
    connection.exec_driver_sql(
        "INSERT INTO weather (id, entered_at, entered_by, basis, withdrawn, visit_id)"
        " VALUES ('w', '2025-01-01T00:00:00Z', 'x', 'at_the_time', 0, 'nowhere')"
    )


@pytest.mark.parametrize("climb", [break_off, break_a_reference])
def test_a_step_that_fails_leaves_the_logbook_as_it_was(
    older: Logbook, one_step: Callable[[Step], None], climb: Callable[[Any], None]
) -> None:
    before = dump(older.file)
    one_step(Step("break", climb))
    with pytest.raises(LogbookProblem) as caught:
        Logbook.open(older.folder, older.around)
    assert caught.value.code == "step_failed"
    assert "break" in sentence(caught.value)
    assert sqlite.schema_number(older.file) == NOW
    assert dump(older.file) == before


def test_an_older_logbook_that_cannot_be_written_is_refused_with_both_numbers(
    older: Logbook, one_step: Callable[[Step], None]
) -> None:
    one_step(Step("tell the tide", to_spring))
    with pytest.raises(LogbookProblem) as caught:
        Logbook.open(older.folder, older.around, read_only=True)
    assert caught.value.code == "older_logbook_read_only"
    assert caught.value.values == {"found": NOW, "known": NOW + 1}
