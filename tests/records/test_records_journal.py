"""The journal: what an entry holds, how it is chained, and what may be withheld from it."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable
from typing import TYPE_CHECKING, Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from sqlalchemy import select

from hulllog.records.errors import LogbookProblem
from hulllog.records.journal import (
    ENTRY_FIELDS,
    FORMAT,
    Entry,
    RowDigest,
    StoredImage,
    canonical,
    entry_text,
    image_of,
    parse_image,
)
from hulllog.records.ladder import SCHEMA_NUMBER
from hulllog.records.model import Visit
from hulllog.records.types import canonical_json

if TYPE_CHECKING:
    from hulllog.records.logbook import Logbook

NewVisit = Callable[..., Visit]


def entries(logbook: Logbook) -> list[Entry]:
    with logbook.read() as book:
        return list(book.scalars(select(Entry).order_by(Entry.written)))


def rows(logbook: Logbook) -> list[RowDigest]:
    with logbook.read() as book:
        return list(book.scalars(select(RowDigest).order_by(RowDigest.written, RowDigest.position)))


def image(logbook: Logbook, digest: str | None) -> StoredImage:
    with logbook.read() as book:
        return book.get_one(StoredImage, digest)


def begin(logbook: Logbook, visit: Visit) -> str:
    with logbook.change("visit.start", begins="2019") as book:
        return book.keep(visit).id


def test_one_change_is_one_entry(logbook: Logbook, new_visit: NewVisit) -> None:
    with logbook.change("visit.start", begins="2019") as book:
        book.keep(new_visit())
        book.keep(new_visit("2020"))
    (entry,) = entries(logbook)
    assert (entry.kind, entry.action, entry.person) == ("edit", "visit.start", "owner")
    assert (entry.sequence, entry.parent_a, entry.parent_b) == (1, None, None)
    assert [(row.table_name, row.operation) for row in rows(logbook)] == [("visit", "insert")] * 2


def test_a_change_of_nothing_leaves_no_entry(logbook: Logbook, new_visit: NewVisit) -> None:
    key = begin(logbook, new_visit(yard="Quay"))
    with logbook.change("visit.set") as book:
        visit = book.get_one(Visit, key)
        visit.yard = "Other"
        book.flush()
        visit.yard = "Quay"
    assert len(entries(logbook)) == 1


def test_each_entry_names_the_one_before(logbook: Logbook, new_visit: NewVisit) -> None:
    for year in ("2019", "2020", "2021"):
        begin(logbook, new_visit(year))
    first, second, third = entries(logbook)
    assert (second.parent_a, third.parent_a) == (first.digest, second.digest)
    assert [first.sequence, second.sequence, third.sequence] == [1, 2, 3]
    assert logbook.head == third.digest


def test_a_row_is_known_by_one_digest_from_entry_to_entry(
    logbook: Logbook, new_visit: NewVisit
) -> None:
    key = begin(logbook, new_visit())
    for yard in ("Quay", "Creek"):
        with logbook.change("visit.set") as book:
            book.get_one(Visit, key).yard = yard
    with logbook.change("visit.drop") as book:
        book.delete(book.get_one(Visit, key))
    told = rows(logbook)
    assert [row.operation for row in told] == ["insert", "update", "update", "delete"]
    assert told[0].before_digest is None
    assert [row.before_digest for row in told[1:]] == [row.after_digest for row in told[:3]]
    assert told[3].after_digest is None


def test_a_digest_covers_its_salt_and_image(logbook: Logbook, new_visit: NewVisit) -> None:
    begin(logbook, new_visit(yard="Quay"))
    stored = image(logbook, rows(logbook)[0].after_digest)
    assert stored.salt is not None
    assert stored.image is not None
    covered = bytes.fromhex(stored.salt) + stored.image.encode()
    assert hashlib.sha256(covered).hexdigest() == stored.digest
    told = json.loads(stored.image)
    assert (told["table"], told["schema"]) == ("visit", SCHEMA_NUMBER)
    assert told["row"]["yard"] == "Quay"
    assert told["row"]["withdrawn"] == "0", "numbers are decimal text"


def test_the_same_image_has_another_digest_each_time(logbook: Logbook, new_visit: NewVisit) -> None:
    key = begin(logbook, new_visit(yard="Quay"))
    for yard in ("Creek", "Quay"):
        with logbook.change("visit.set") as book:
            book.get_one(Visit, key).yard = yard
    first, _, third = (row.after_digest for row in rows(logbook))
    assert first != third
    assert image(logbook, first).image == image(logbook, third).image


def test_the_values_of_an_action_are_kept_as_an_image(
    logbook: Logbook, new_visit: NewVisit
) -> None:
    with logbook.change("visit.start", begins="2019", name="Ærø “x” <b>") as book:
        book.keep(new_visit())
    (entry,) = entries(logbook)
    stored = image(logbook, entry.details_digest)
    assert json.loads(stored.image or "") == {"begins": "2019", "name": "Ærø “x” <b>"}


def test_a_withheld_image_cannot_be_put_back(logbook: Logbook, new_visit: NewVisit) -> None:
    begin(logbook, new_visit())
    digest = rows(logbook)[0].after_digest
    table = Visit.__table__
    with logbook._engine.begin() as connection:
        assert image_of(connection, table, digest) is not None
        assert image_of(connection, table, None) is None
        connection.exec_driver_sql("UPDATE journal_image SET salt = NULL, image = NULL")
        with pytest.raises(LogbookProblem, match="image_withheld"):
            image_of(connection, table, digest)
    with pytest.raises(LogbookProblem):
        logbook.undo()


# The text that an entry's digest covers

words = st.text(max_size=12) | st.sampled_from(
    ["owner", 'say "x"', "back\\slash", "Ærø", "e\u0301"]
)
digests = st.none() | st.text("0123456789abcdef", min_size=64, max_size=64)
told_entries = st.tuples(
    words, words, st.integers(1, 10**6), digests, digests, words, words, words, words, words
).filter(lambda entry: entry[3] is not None or entry[4] is None)
told_rows = st.lists(st.tuples(words, words, words, digests, digests), max_size=3)


@given(entry=told_entries, touched=told_rows)
@settings(max_examples=150)
def test_an_entry_has_one_canonical_text(
    entry: tuple[Any, ...], touched: list[tuple[Any, ...]]
) -> None:
    told = dict(zip(ENTRY_FIELDS, entry, strict=True))
    text = entry_text(entry, touched)
    wanted = {
        "format": FORMAT,
        "parents": [parent for parent in (told.pop("parent_a"), told.pop("parent_b")) if parent],
        "details": told.pop("details_digest"),
        "rows": [list(row) for row in touched],
        **told,
    }
    assert json.loads(text) == json.loads(canonical_json(wanted))
    if all(str(value).isprintable() for value in [*entry, *(v for row in touched for v in row)]):
        assert text == canonical_json(wanted)


@given(first=told_entries, second=told_entries)
@settings(max_examples=100)
def test_two_entries_never_share_a_text(first: tuple[Any, ...], second: tuple[Any, ...]) -> None:
    same = canonical_json(list(first)) == canonical_json(list(second))
    assert (entry_text(first, []) == entry_text(second, [])) == same


def test_a_text_with_the_marks_of_the_format_cannot_pass_for_two() -> None:
    base = ("i", "r", 1, None, None, "at", "p", "k", "a", "d")
    honest = entry_text(base, [("visit", "one", "insert", None, None)])
    forged = entry_text(base, [('visit","one","insert', None, None, None, None)])
    assert honest != forged


# Images


@given(note=st.none() | st.text(max_size=20), hours=st.none() | st.floats(allow_nan=False))
@settings(max_examples=60)
def test_an_image_is_read_back_as_it_was(note: str | None, hours: float | None) -> None:
    table = Visit.__table__
    row = {"id": "v", "note": note, "engine_hours_si": hours, "withdrawn": 1}
    read = parse_image(table, canonical("visit", row, 1))
    assert canonical("visit", read, 1) == canonical("visit", row, 1)
    assert read["engine_hours_si"] == hours
    assert read["withdrawn"] == 1
