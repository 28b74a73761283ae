"""Check: a sound logbook is sound, every tampering is named, and the blind spots are said."""

from __future__ import annotations

import hashlib
import json
import os
import shutil
import sqlite3
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from PIL import Image
from recordskit import repeatable

from hulllog.records import sqlite
from hulllog.records.check import CheckReport, check
from hulllog.records.errors import LogbookProblem
from hulllog.records.folder import FILE_NAME
from hulllog.records.journal import ENTRY_FIELDS, EntryKind, entry_digest
from hulllog.records.logbook import Logbook
from hulllog.records.media import import_photos
from hulllog.records.model import IssuedHistory, MeasurementSet, Rating, Visit
from hulllog.records.values import PartialDate
from hulllog.words.errors import sentence_for
from hulllog.words.spelling import six_words


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Make a logbook with edits, an undo, photographs and an issued history."""
    place = tmp_path_factory.mktemp("checked")
    for number in range(2):
        Image.new("RGB", (40, 30), (number * 99, 90, 30)).save(place / f"{number}.jpg")
    with Logbook.create(place / "book", repeatable(place)) as logbook:
        fill(logbook)
        import_photos(logbook, sorted(place.glob("*.jpg")), None)
        head = logbook.head
        with logbook.change("history.issue", kind="issue") as book:
            book.keep(
                IssuedHistory(
                    issued_at=book.now(), to_whom="Insurer", reader="insurer", options={},
                    head=head, file_sha256="0" * 64, file_name="history.pdf",
                )
            )  # fmt: skip
        with logbook.change("visit.set", reason="typo") as book:
            book.get_one(Visit, "id-000005").note = "after the issue"
    return place


def fill(logbook: Logbook) -> None:
    begins = PartialDate.parse("2019")
    with logbook.change("visit.start", begins="2019") as book:
        visit = book.keep(
            Visit(id="id-000005", kind="haul_out", begins=begins, time_zone="UTC", looked_for=[],
                  methods=[], yard="Quay", note="first")
        )  # fmt: skip
        measured = book.keep(
            MeasurementSet(visit_id=visit.id, kind="rust", state="found", conditions={})
        )
        measured.ratings = [Rating(component="grade", code=code) for code in "123"]
    for note in ("second", "third"):
        with logbook.change("visit.set", field="note") as book:
            book.get_one(Visit, visit.id).note = note
    logbook.undo()
    with logbook.change("rating.drop") as book:
        book.delete(book.get_one(MeasurementSet, measured.id).ratings[0])


@pytest.fixture
def place(made: Path, tmp_path: Path) -> Path:
    """Give a copy to tamper with."""
    shutil.copytree(made, tmp_path / "place")
    return tmp_path / "place"


@contextmanager
def by_hand(place: Path) -> Iterator[sqlite3.Connection]:
    """Open the file past the program."""
    connection = sqlite.connect(place / "book" / FILE_NAME)
    connection.execute("PRAGMA foreign_keys = OFF")
    try:
        yield connection
    finally:
        connection.close()


def edit(place: Path, action: str, *, note: str | None, kind: EntryKind = "edit") -> None:
    """Edit through the program."""
    with (
        Logbook.open(place / "book", repeatable(place, begins=500)) as logbook,
        logbook.change(action, kind=kind, reason="typo") as book,
    ):
        book.get_one(Visit, "id-000005").note = note


def checked(place: Path, *anchors: str, deep: bool = False) -> CheckReport:
    return check(place / "book", anchors=anchors, deep=deep, around=repeatable(place))


def codes(report: CheckReport) -> set[str]:
    return {problem.code for problem in report.problems}


def heads(place: Path) -> list[str]:
    with by_hand(place) as connection:
        return [row[0] for row in connection.execute("SELECT digest FROM journal_entry ORDER BY 1")]


def head(place: Path) -> str:
    return checked(place).head


# A sound logbook


def test_a_sound_logbook_is_sound_and_the_blind_spots_are_said(place: Path) -> None:
    report = checked(place)
    assert report.problems == []
    assert report.first is None
    assert (report.entries, report.rows) == (8, 7)
    assert report.seen.files == 2
    assert report.cannot_see == ["rebuilt", "media_content", "truth"]


def test_check_changes_nothing(place: Path) -> None:
    before = {file: file.read_bytes() for file in (place / "book").rglob("*") if file.is_file()}
    checked(place, deep=True)
    after = {file: file.read_bytes() for file in (place / "book").rglob("*") if file.is_file()}
    assert before == after


def test_an_empty_logbook_is_sound(tmp_path: Path) -> None:
    around = repeatable(tmp_path)
    Logbook.create(tmp_path / "book", around).close()
    report = check(tmp_path / "book", around=around)
    assert (report.problems, report.head, report.entries) == ([], "", 0)


def test_a_logbook_that_is_being_written_can_be_checked(place: Path) -> None:
    with Logbook.open(place / "book", repeatable(place, begins=500)):
        assert checked(place).problems == []


def test_an_anchor_is_found_in_hex_its_beginning_or_its_words(place: Path) -> None:
    digest = head(place)
    spaced = " ".join(digest[n : n + 4] for n in range(0, 64, 4)).upper()
    for anchor in (digest, digest[:16], spaced, six_words(digest), six_words(digest).upper()):
        report = checked(place, anchor)
        assert report.problems == []
        assert report.cannot_see == ["media_content", "truth"]


def test_what_came_after_the_anchor_is_said_to_be_unseen(place: Path) -> None:
    with by_hand(place) as connection:
        query = "SELECT head FROM issued_history"
        (printed,) = connection.execute(query).fetchone()
    report = checked(place, printed)
    assert report.problems == []
    assert report.cannot_see[0] == "after_anchor"


@pytest.mark.parametrize("anchor", ["", "abc", "f" * 15, "z" * 64, "one two three", "f" * 65])
def test_what_is_no_head_is_not_taken_for_one(place: Path, anchor: str) -> None:
    with pytest.raises(LogbookProblem, match="anchor_unread"):
        checked(place, anchor)


def test_another_head_is_named(place: Path) -> None:
    report = checked(place, "0" * 64)
    assert codes(report) == {"anchor_missing"}
    assert report.cannot_see[0] == "rebuilt"


# Tampering

NOTE = "UPDATE visit SET note = 'never happened'"
COPY_A_RATING = (
    "INSERT INTO rating SELECT 'new', component, code, share, set_id, entered_at, entered_by,"
    " basis, withdrawn FROM rating LIMIT 1"
)
BLANK = "UPDATE journal_image SET salt = NULL, image = NULL WHERE image LIKE '%first%'"
TURN = "UPDATE journal_row SET position = position + 9 WHERE position = 0 AND written = 1"
SLY = "CREATE TRIGGER sly AFTER UPDATE ON visit BEGIN DELETE FROM rating; END"
TAMPERINGS: list[tuple[str, str]] = [
    (NOTE, "row_altered"),
    ("UPDATE visit SET begins_about = 1", "row_altered"),
    ("UPDATE rating SET code = '0' WHERE code = '2'", "row_altered"),
    ("DELETE FROM rating WHERE code = '2'", "row_missing"),
    (COPY_A_RATING, "row_unknown"),
    ("UPDATE journal_entry SET person = 'someone' WHERE written = 2", "entry_altered"),
    ("UPDATE journal_entry SET at = '2020-01-01T00:00:00Z' WHERE written = 3", "entry_altered"),
    ("UPDATE journal_entry SET kind = 'undo' WHERE written = 2", "entry_altered"),
    ("UPDATE journal_entry SET digest = 'f' || digest WHERE written = 2", "entry_altered"),
    ("UPDATE journal_entry SET sequence = sequence + 100 WHERE written > 3", "sequence_gap"),
    ("DELETE FROM journal_entry WHERE written = 3", "entry_missing_before"),
    ("DELETE FROM journal_entry WHERE written = 3", "rows_without_entry"),
    ("DELETE FROM journal_row WHERE written = 3", "entry_altered"),
    ("UPDATE journal_row SET after_digest = before_digest WHERE written = 3", "entry_altered"),
    ("UPDATE journal_row SET row_key = 'id-000009' WHERE written = 2", "entry_altered"),
    (TURN, "entry_altered"),
    ("UPDATE journal_image SET image = replace(image, 'second', 'zecond')", "image_altered"),
    ("UPDATE journal_image SET salt = 'no hex' WHERE image LIKE '%second%'", "image_altered"),
    ("DELETE FROM journal_image WHERE image LIKE '%second%'", "image_missing"),
    (BLANK, "image_withheld"),
    ("UPDATE issued_history SET head = 'f' || substr(head, 2)", "issued_head_missing"),
    ("UPDATE photo SET sha256 = '../../elsewhere'", "media_missing"),
    (SLY, "strange_object"),
    ("CREATE VIEW sly AS SELECT * FROM visit", "strange_object"),
]


@pytest.mark.parametrize(("statement", "code"), TAMPERINGS)
def test_a_tampering_is_named_and_said(place: Path, statement: str, code: str) -> None:
    with by_hand(place) as connection:
        connection.execute(statement)
    report = checked(place)
    assert code in codes(report)
    for problem in report.problems:
        said = sentence_for("check", problem.code, problem.values)
        assert said != sentence_for("check", "no such code", {})


def test_the_first_thing_wrong_comes_first(place: Path) -> None:
    with by_hand(place) as connection:
        connection.execute("UPDATE journal_entry SET person = 'x' WHERE written IN (2, 4)")
        connection.execute(NOTE)
    report = checked(place)
    assert report.first is not None
    assert report.first.code == "entry_altered"
    assert report.first.values["entry"] == 2
    assert [problem.place for problem in report.problems] == sorted(
        problem.place for problem in report.problems
    )


def test_a_row_altered_past_the_program_stays_visible_after_the_next_edit(place: Path) -> None:
    with by_hand(place) as connection:
        connection.execute(NOTE)
    edit(place, "visit.set", note="written over")
    assert codes(checked(place)) == {"row_altered_before"}


def test_what_a_missing_row_was_called_is_told(place: Path) -> None:
    with by_hand(place) as connection:
        connection.execute("DELETE FROM rating WHERE code = '2'")
    (problem,) = checked(place).problems
    assert problem.values["table"] == "rating"
    assert problem.values["name"] == "2"


def test_a_redaction_may_withhold_and_what_is_unseen_is_said(place: Path) -> None:
    edit(place, "photo.purge", note=None, kind="redaction")
    with by_hand(place) as connection:
        connection.execute(
            "UPDATE journal_image SET salt = NULL, image = NULL WHERE image LIKE '%second%'"
        )
    report = checked(place)
    assert report.problems == []
    assert "withheld" in report.cannot_see


def test_damage_is_named_and_the_rest_is_still_seen(place: Path) -> None:
    with by_hand(place) as connection:
        (page,) = connection.execute(
            "SELECT rootpage FROM sqlite_master WHERE name = 'visit'"
        ).fetchone()
        (size,) = connection.execute("PRAGMA page_size").fetchone()
    with (place / "book" / FILE_NAME).open("r+b") as file:
        file.seek((page - 1) * size)
        file.write(os.urandom(size))
    report = checked(place)
    assert report.first is not None
    assert report.first.code == "file_damaged"
    assert report.seen.files in (0, 2)


def test_text_that_is_no_text_is_damage(place: Path) -> None:
    with by_hand(place) as connection:
        connection.execute("UPDATE visit SET note = CAST(x'ff80' AS TEXT)")
    assert "file_damaged" in codes(checked(place))


@given(data=st.data())
@settings(max_examples=60, deadline=None)
def test_any_change_of_any_cell_is_named(made: Path, data: st.DataObject) -> None:
    """Alter one cell of any table, with the head in somebody else's hands."""
    with tempfile.TemporaryDirectory() as scratch:
        place = Path(scratch) / "place"
        shutil.copytree(made, place)
        anchor = head(place)
        with by_hand(place) as connection:
            tables = [name for name in sqlite.table_names(connection) if name != "logbook_mark"]
            filled = [t for t in tables if connection.execute(f"SELECT 1 FROM {t}").fetchone()]
            table = data.draw(st.sampled_from(filled))
            cursor = connection.execute(f"SELECT * FROM {table}")
            columns = [column[0] for column in cursor.description]
            row = data.draw(st.sampled_from(cursor.fetchall()))
            place_in_row = data.draw(st.integers(0, len(columns) - 1))
            column, old = columns[place_in_row], row[place_in_row]
            new = another(old, data)
            where = " AND ".join(f"{name} IS ?" for name in columns)
            changed = connection.execute(
                f"UPDATE OR IGNORE {table} SET {column} = ? WHERE {where}", (new, *row)
            ).rowcount
        assume(changed)
        assert checked(place, anchor).problems, (table, column, old, new)


def another(value: Any, data: st.DataObject) -> Any:
    if isinstance(value, int):
        return value + data.draw(st.sampled_from([-1, 1, 7]))
    if isinstance(value, float):
        return value + 1.0
    if value is None:
        return "1" if data.draw(st.booleans()) else 1
    at = data.draw(st.integers(0, max(len(value) - 1, 0)))
    letter = "0" if value[at : at + 1] != "0" else "1"
    return value[:at] + letter + value[at + 1 :]


# A journal built anew


def rebuild(place: Path, alter: Callable[[dict[str, Any]], None]) -> None:
    """Rewrite what a visit once was, and everything after it, as a skilled forger would."""
    with by_hand(place) as connection:
        images = dict(connection.execute("SELECT digest, image FROM journal_image").fetchall())
        salts = dict(connection.execute("SELECT digest, salt FROM journal_image").fetchall())
        renamed: dict[str, str] = {}
        for digest, image in images.items():
            told = json.loads(image)
            if told.get("table") == "visit":
                alter(told["row"])
            text = json.dumps(told, sort_keys=True, separators=(",", ":"), ensure_ascii=False)
            new = hashlib.sha256(bytes.fromhex(salts[digest]) + text.encode()).hexdigest()
            renamed[digest] = new
            connection.execute(
                "UPDATE journal_image SET digest = ?, image = ? WHERE digest = ?",
                (new, text, digest),
            )
        for column in ("before_digest", "after_digest"):
            for old, new in renamed.items():
                connection.execute(
                    f"UPDATE journal_row SET {column} = ? WHERE {column} = ?", (new, old)
                )
        row = dict(zip(["id", "note"], ["id-000005", None], strict=True))
        alter(row)
        connection.execute("UPDATE visit SET note = ?", (row["note"],))
        relink(connection, renamed)


def relink(connection: sqlite3.Connection, renamed: dict[str, str]) -> None:
    """Compute every entry's digest anew, and the heads in issued histories with them."""
    parent: str | None = None
    query = f"SELECT {', '.join(ENTRY_FIELDS)}, written, digest FROM journal_entry ORDER BY written"
    for *fields, written, digest in connection.execute(query).fetchall():
        entry = dict(zip(ENTRY_FIELDS, fields, strict=True))
        entry["parent_a"] = parent
        entry["details_digest"] = renamed[entry["details_digest"]]
        rows = connection.execute(
            "SELECT table_name, row_key, operation, before_digest, after_digest FROM journal_row"
            " WHERE written = ? ORDER BY position",
            (written,),
        ).fetchall()
        parent = entry_digest(list(entry.values()), rows)
        connection.execute(
            "UPDATE journal_entry SET parent_a = ?, details_digest = ?, digest = ?"
            " WHERE written = ?",
            (entry["parent_a"], entry["details_digest"], parent, written),
        )
        renamed[digest] = parent


def forge(row: dict[str, Any]) -> None:
    row["note"] = "all was well"


def test_a_rebuilt_journal_is_not_seen_without_an_anchor_and_that_is_said(place: Path) -> None:
    with by_hand(place) as connection:
        connection.execute("DELETE FROM journal_row WHERE table_name = 'issued_history'")
        connection.execute("DELETE FROM issued_history")
    rebuild(place, forge)
    report = checked(place)
    assert report.problems == []
    assert report.cannot_see[0] == "rebuilt"


def test_a_rebuilt_journal_is_named_against_any_head_that_was_handed_out(place: Path) -> None:
    handed_out = heads(place)
    rebuild(place, forge)
    for anchor in handed_out:
        report = checked(place, six_words(anchor))
        assert "anchor_missing" in codes(report)


def test_a_rebuilt_journal_no_longer_holds_the_head_of_its_issued_history(place: Path) -> None:
    rebuild(place, forge)
    assert "issued_head_missing" in codes(checked(place))


def test_entries_taken_off_the_end_are_named_against_the_last_head(place: Path) -> None:
    anchor = head(place)
    with by_hand(place) as connection:
        (last,) = connection.execute("SELECT max(written) FROM journal_entry").fetchone()
        connection.execute("UPDATE visit SET note = 'second'")
        for table in ("journal_row", "journal_entry"):
            connection.execute(f"DELETE FROM {table} WHERE written = ?", (last,))
    assert codes(checked(place)) == set()
    assert codes(checked(place, anchor)) == {"anchor_missing"}


def test_a_second_end_of_the_journal_is_named(place: Path) -> None:
    """An old end kept beside a rewritten one, so that an anchor would still be found."""
    with by_hand(place) as connection:
        connection.execute(
            "INSERT INTO journal_entry SELECT written + 100, id, 'copy', 1, parent_a, parent_b, at,"
            " person, kind, action, details_digest, 'f' || substr(digest, 2)"
            " FROM journal_entry WHERE written = 5"
        )
    assert "heads_several" in codes(checked(place))


# Files


def photo_files(place: Path) -> list[Path]:
    return sorted((place / "book" / "photos").iterdir())


def test_a_missing_file_and_a_cut_one_are_named(place: Path) -> None:
    first, second = photo_files(place)
    first.unlink()
    second.write_bytes(second.read_bytes()[:-1])
    assert codes(checked(place)) == {"media_missing", "media_size"}


def test_an_altered_file_is_named_by_a_deep_check_only(place: Path) -> None:
    file = photo_files(place)[0]
    file.write_bytes(b"X" + file.read_bytes()[1:])
    assert checked(place).problems == []
    report = checked(place, deep=True)
    assert codes(report) == {"media_altered"}
    assert "media_content" not in report.cannot_see
    assert report.seen.hashed == 1


def test_a_deep_check_that_was_cancelled_goes_on_where_it_was(
    place: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from hulllog.records import check as module

    read: list[Path] = []
    whole = module.sha256_of

    def counted(file: Path, cancelled: Callable[[], bool]) -> str:
        read.append(file)
        return "" if len(read) == 2 else whole(file, cancelled)

    monkeypatch.setattr(module, "sha256_of", counted)
    first = checked(place, deep=True)
    assert first.cancelled
    assert "media_content" in first.cannot_see
    second = checked(place, deep=True)
    assert not second.cancelled
    assert second.seen.hashed == 2
    assert len(read) == 3, "what was read before is not read again"
    assert checked(place, deep=True).seen.hashed == 2
    assert len(read) == 5, "a check that came to its end begins anew"


def test_a_file_altered_since_is_read_again(place: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    told = iter([False, True])
    report = check(
        place / "book", deep=True, around=repeatable(place), cancelled=lambda: next(told)
    )
    assert report.cancelled
    for file in photo_files(place):
        file.write_bytes(b"X" + file.read_bytes()[1:])
    assert codes(checked(place, deep=True)) == {"media_altered"}


# What is no logbook


def test_what_cannot_be_checked_is_refused(tmp_path: Path) -> None:
    with pytest.raises(LogbookProblem, match="no_logbook"):
        check(tmp_path)
    (tmp_path / FILE_NAME).write_text("a text")
    with pytest.raises(LogbookProblem, match="not_a_logbook"):
        check(tmp_path)


@pytest.mark.parametrize(("number", "code"), [(99, "newer_logbook"), (0, "older_logbook")])
def test_another_schema_is_refused_with_both_numbers(place: Path, number: int, code: str) -> None:
    with by_hand(place) as connection:
        connection.execute(f"PRAGMA user_version = {number}")
    with pytest.raises(LogbookProblem) as caught:
        checked(place)
    assert caught.value.code.startswith(code)
    assert caught.value.values["found"] == number
