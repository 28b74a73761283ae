"""Old haul-outs from a CSV file, through the real window."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

sys.path.insert(0, str(Path(__file__).parent))
from seasonwindow import texts, unnamed
from yardwindow import Yard

from hulllog.records.model import Visit

BAD = """Out;In;Boatyard;Way;Paint;Litres;Source
2012-04;2012-05;Inlet;hoist;Tidewall;2,5;memory
soon;2013;Inlet;hoist;Tidewall;2,5;
2014-05;2014-04;Inlet;hoist;Tidewall;2,5;
2015;2015;Inlet;balloon;Tidewall;2,5;
2016;2016;Inlet;crane;Tidewall;many;
2017;2017;Inlet;crane;;3;
"""


@pytest.fixture
def yard(look, qtbot, tmp_path):
    made = Yard(qtbot, tmp_path)
    made.window.show_page("old_notes")
    made.settle()
    yield made
    made.close()


@pytest.fixture
def show(yard, tmp_path):
    def showing(text):
        file = tmp_path / "notes.csv"
        file.write_bytes(text if isinstance(text, bytes) else text.encode())
        yard.page.show_file(file)
        yard.settle()
        return yard.page.file

    return showing


def test_five_kinds_of_problems_are_each_named_by_row_and_column(yard, show):
    preview = show(BAD)
    told = texts(preview)
    for named in (
        "Row 3, “Out”",
        "Row 4, “In”",
        "Row 5, “Way”",
        "Row 6, “Litres”",
        "Row 7, “Paint”",
    ):
        assert any(sentence.startswith(named) for sentence in told), named
    assert not any("Row 2" in sentence for sentence in told)
    assert unnamed(preview) == []
    assert yard.all(Visit) == []


def test_it_ends_in_the_table_where_it_is_put_right_and_kept(yard, show):
    yard.type("2001\n")
    preview = show(BAD)
    assert preview.take.text() == "Put these 6 rows into the table"
    QTest.keyClick(yard.focus, Qt.Key.Key_Space)
    rows = yard.page.rows
    assert [row["begins"] for row in rows.filled()][:3] == ["2001", "2012-04", "soon"]
    for row, column, text in (
        (2, "begins", "2013"), (3, "ends", "2014-06"), (4, "way", "crane"), (5, "litres", "3"),
        (6, "product", "Tidewall"),
    ):  # fmt: skip
        assert rows.sentence(row, column)
        yard.page.grid.go(row, column)
        yard.type(text + "\n")
    QTest.keyClick(yard.focus, Qt.Key.Key_Return, Qt.KeyboardModifier.ControlModifier)
    yard.settle()
    found = {one.begins.text: one.basis for one in yard.all(Visit)}
    assert len(found) == 7
    assert (found["2012-04"], found["2013"]) == ("from_memory", "later_from_notes")
    yard.undo()
    assert yard.all(Visit) == []


def test_the_order_of_dates_is_asked_once_and_the_answer_counts(yard, show):
    preview = show("Out;In\n03/04/2014;\n05/06/2015;\n")
    assert len(texts(preview)) > 0
    assert any("03/04/2014" in sentence for sentence in texts(preview))
    preview.asked["begins"].choose("month first")
    assert [row["begins"] for row in preview.rows] == ["2014-03-04", "2015-05-06"]
    preview.asked["begins"].choose("day first")
    assert [row["begins"] for row in preview.rows] == ["2014-04-03", "2015-06-05"]
    assert "Every row can be kept." in texts(preview)


def test_the_owner_can_say_which_column_is_which(yard, show):
    preview = show("When;Mood\n2014;blisters\n2015;clean\n")
    assert preview.matching == (None, None)
    assert not preview.take.isEnabled()
    preview.columns[0].setCurrentIndex(preview.columns[0].findData("begins"))
    preview.columns[1].setCurrentIndex(preview.columns[1].findData("found"))
    assert preview.rows[0] == {"begins": "2014", "found": "blisters"}
    preview.columns[1].setCurrentIndex(preview.columns[1].findData("begins"))
    assert preview.matching == (None, "begins")


@pytest.mark.parametrize("data", [b"\x89PNG\r\n\x00\x01" * 99, b"Out\n" + b"x" * 50_000_000])
def test_a_binary_or_huge_file_is_one_sentence(yard, show, data):
    preview = show(data)
    (sentence,) = texts(preview)
    assert "notes.csv" in sentence
    assert not preview.take.isEnabled()
    preview.give_up.click()
    assert yard.focus is yard.page.grid
