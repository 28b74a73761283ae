"""Columns: what goes in comes out, and the same value always has the same text."""

from __future__ import annotations

import json
import unicodedata
import uuid
from datetime import UTC, datetime, timedelta, timezone
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hulllog.records.logbook import Logbook, Surroundings
from hulllog.records.model import Firm
from hulllog.records.operations import queries
from hulllog.records.types import canonical_json, instant_text, read_instant

plain = st.recursive(
    st.none() | st.booleans() | st.integers(-1000, 1000) | st.text(max_size=8),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=4), inner),
    max_leaves=8,
)


def test_a_moment_is_kept_in_utc_to_the_second() -> None:
    summer = timezone(timedelta(hours=1))
    assert instant_text(datetime(2026, 4, 14, 8, 30, 5, 999, summer)) == "2026-04-14T07:30:05Z"
    with pytest.raises(ValueError, match="time zone"):
        instant_text(datetime.fromisoformat("2026-04-14T08:30"))


@given(
    st.datetimes(
        min_value=datetime.fromisoformat("1000-01-02"),
        max_value=datetime.fromisoformat("9999-01-01"),
    )
)
@settings(max_examples=50)
def test_a_moment_is_read_back(at: datetime) -> None:
    moment = at.replace(tzinfo=UTC, microsecond=0)
    assert read_instant(instant_text(moment)) == moment


@pytest.mark.parametrize("text", ["", "2026-04-14", "2026-04-14T07:30:00", "2026-13-14T07:30:00Z"])
def test_what_is_no_moment_is_not_read_as_one(text: str) -> None:
    with pytest.raises(ValueError, match=r"moment|month"):
        read_instant(text)


@given(plain)
@settings(max_examples=100)
def test_a_structure_has_one_text(value: object) -> None:
    text = canonical_json(value)
    assert unicodedata.is_normalized("NFC", text)
    assert canonical_json(json.loads(text)) == text


def test_letters_and_their_marks_are_brought_together() -> None:
    assert canonical_json({"name": "Cafe\u0301"}) == '{"name":"Café"}'
    assert canonical_json({"b": 1, "a": 2}) == canonical_json({"a": 2, "b": 1})


def test_records_of_one_second_keep_the_order_of_their_entry(tmp_path: Path) -> None:
    """Moments are kept to the second, so their keys tell which came first."""
    with Logbook.create(tmp_path / "book", Surroundings(state_folder=tmp_path)) as logbook:
        for number in range(40):
            with logbook.change("fixture.fill") as book:
                book.keep(Firm(name=f"{number}", sort="yard"))
        with logbook.read() as book:
            assert [one.name for one in queries.kept(book, Firm)] == [f"{n}" for n in range(40)]


def test_a_key_is_a_uuid_of_version_7(tmp_path: Path) -> None:
    made = uuid.UUID(Surroundings(state_folder=tmp_path).new_id())
    assert (made.version, made.variant) == (7, uuid.RFC_4122)
