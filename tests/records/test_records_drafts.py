"""Drafts: what was typed and not accepted, kept through a kill and out of the logbook."""

from __future__ import annotations

import os
import sqlite3
import subprocess
import sys
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hulllog.records.drafts import FILE_NAME, Drafts
from hulllog.records.logbook import Logbook

TEXTS = ["03/04/2020", "", "12,5", "<b>&\"'", "مرحبا", "🚤" * 10, "x" * 10_000, "a\nb\tc\0d"]


@pytest.mark.parametrize("text", TEXTS)
def test_what_was_typed_comes_back_as_it_was(tmp_path: Path, text: str) -> None:
    drafts = Drafts(tmp_path, "book")
    drafts.put("visit-1", "begins", text)
    assert drafts.get("visit-1", "begins") == text
    drafts.close()
    again = Drafts(tmp_path, "book")
    assert again.get("visit-1", "begins") == text
    again.drop("visit-1", "begins")
    assert again.get("visit-1", "begins") is None
    again.close()
    last = Drafts(tmp_path, "book")
    assert last.all() == {}
    last.close()


def test_drafts_are_told_apart_by_logbook_record_and_field(tmp_path: Path) -> None:
    one, other = Drafts(tmp_path, "one"), Drafts(tmp_path, "other")
    one.put("visit-1", "begins", "a")
    one.put("visit-1", "ends", "b")
    one.put("visit-2", "begins", "c")
    other.put("visit-1", "begins", "d")
    one.put("visit-1", "begins", "e")
    assert one.all() == {
        ("visit-1", "begins"): "e",
        ("visit-1", "ends"): "b",
        ("visit-2", "begins"): "c",
    }
    assert other.all() == {("visit-1", "begins"): "d"}
    assert one.get("visit-3", "begins") is None
    one.drop("visit-3", "begins")
    one.close()
    other.close()


def test_a_draft_survives_a_kill(tmp_path: Path) -> None:
    source = (
        "import os, sys\nfrom pathlib import Path\nfrom hulllog.records.drafts import Drafts\n"
        "Drafts(Path(sys.argv[1]), 'book').put('visit-1', 'begins', '03/04/2020')\nos._exit(9)"
    )
    killed = subprocess.run([sys.executable, "-c", source, str(tmp_path)], check=False)
    assert killed.returncode == 9
    drafts = Drafts(tmp_path, "book")
    assert drafts.get("visit-1", "begins") == "03/04/2020"
    drafts.close()


def test_a_draft_is_no_part_of_the_logbook(logbook: Logbook, tmp_path: Path) -> None:
    head = logbook.head
    logbook.drafts.put("visit-1", "begins", "03/04/2020")
    assert logbook.head == head
    assert (tmp_path / "state" / FILE_NAME).exists()
    assert not any(b"03/04/2020" in one.read_bytes() for one in logbook.folder.glob("*.*"))
    logbook.close()
    with Logbook.open(logbook.folder, logbook.around) as again:
        assert again.drafts.get("visit-1", "begins") == "03/04/2020"


def test_typing_goes_on_where_nothing_can_be_kept(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("in the way")
    drafts = Drafts(tmp_path / "file", "book")
    assert not drafts.lasting
    drafts.put("visit-1", "begins", "x")
    assert drafts.get("visit-1", "begins") == "x"
    drafts.drop("visit-1", "begins")
    drafts.close()


def test_a_damaged_file_of_drafts_is_put_aside(tmp_path: Path) -> None:
    (tmp_path / FILE_NAME).write_bytes(os.urandom(5000))
    drafts = Drafts(tmp_path, "book")
    assert drafts.lasting
    drafts.put("visit-1", "begins", "x")
    drafts.close()
    assert len(list(tmp_path.iterdir())) == 2


def test_a_failing_disk_ends_the_keeping_and_not_the_typing(tmp_path: Path) -> None:
    drafts = Drafts(tmp_path, "book")
    assert drafts._connection is not None
    drafts._connection.execute("DROP TABLE draft")
    drafts.put("visit-1", "begins", "x")
    assert not drafts.lasting
    assert drafts.get("visit-1", "begins") == "x"
    drafts.close()


@given(text=st.text(st.characters(), max_size=30))
@settings(max_examples=30, deadline=None)
def test_any_text_can_be_typed(tmp_path_factory: pytest.TempPathFactory, text: str) -> None:
    folder = tmp_path_factory.mktemp("drafts")
    drafts = Drafts(folder, "book")
    drafts.put("r", "f", text)
    assert drafts.get("r", "f") == text
    assert drafts.lasting
    drafts.close()
    kept = sqlite3.connect(folder / FILE_NAME)
    assert kept.execute("SELECT count(*) FROM draft").fetchone() == (1,)
    kept.close()
