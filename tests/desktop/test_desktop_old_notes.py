"""Ten years of haul-outs typed in the real window."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget

sys.path.insert(0, str(Path(__file__).parent))
from seasonwindow import unnamed
from yardwindow import Yard

from hulllog.desktop.old_notes.rows import FIELD, RECORD
from hulllog.records.model import AnodePiece, Coat, Visit
from hulllog.records.operations import queries
from hulllog.records.operations.oldnotes import keep_old_haul_outs

MOST_KEYS = 386
"""Keys for ten old haul-outs with eight cells each: what is typed, 80 Tabs, 10 new rows, 1 keep."""


@pytest.fixture
def yard(look, qtbot, tmp_path):
    made = Yard(qtbot, tmp_path)
    made.window.show_page("old_notes")
    made.settle()
    yield made
    made.close()


def press(yard, key, modifier=Qt.KeyboardModifier.NoModifier):
    QTest.keyClick(yard.focus or yard.window, key, modifier)
    yard.presses += 1
    QApplication.processEvents()


def sentences(page):
    return {key: page.rows.sentence(*key) for key in page.rows.problems}


def ten_rows():
    """Return what is typed for ten haul-outs: yard, way, paint completed from the row above."""
    first = "2010-04\tapr 2010\tInlet Boatyard\thoist\tfew blisters\tTidewall 40\t2.5\ty\n"
    rest = [f"{year}-04\t{year}-05\tI\tt\tclean\tT\t2.5\ty\n" for year in range(2011, 2020)]
    return [first, *rest]


def test_ten_old_haul_outs_are_typed_by_keyboard_alone(yard):
    yard.presses = 0
    for row in ten_rows():
        yard.type(row)
        press(yard, Qt.Key.Key_Down, Qt.KeyboardModifier.ControlModifier)
    press(yard, Qt.Key.Key_Return, Qt.KeyboardModifier.ControlModifier)
    yard.settle()
    seen = sorted(yard.all(Visit), key=lambda one: one.begins)
    assert [one.begins.text for one in seen] == [f"{year}-04" for year in range(2010, 2020)]
    assert {(one.yard, one.way, one.basis) for one in seen} == {
        ("Inlet Boatyard", "hoist", "later_from_notes")
    }
    assert [one.note for one in seen][:2] == ["few blisters", "clean"]
    assert len(yard.all(Coat)) == len(yard.all(AnodePiece)) == 10
    assert all(one.closed_at for one in seen)
    assert yard.presses == MOST_KEYS
    assert yard.window.state.undo_text == "enter old haul-outs (10)"
    yard.undo()
    assert yard.all(Visit) == yard.all(Coat) == yard.all(AnodePiece) == []


def test_enter_at_the_end_of_a_row_begins_the_next(yard):
    yard.type("2014" + "\n" * 10)
    assert yard.page.grid.cell == (1, "begins")
    yard.type("2015\n")
    assert [row["begins"] for row in yard.page.rows.filled()] == ["2014", "2015"]
    press(yard, Qt.Key.Key_Backtab, Qt.KeyboardModifier.ShiftModifier)
    assert yard.page.grid.cell == (1, "begins")


def test_nothing_is_written_until_it_is_kept(yard):
    yard.type("2014\n\nInlet\n")
    yard.settle()
    assert yard.all(Visit) == []
    assert yard.page.keep_button.text() == "Keep this haul-out"


def test_a_refusal_is_one_sentence_beside_its_cell(yard):
    yard.type("soon\n")
    assert "soon" in sentences(yard.page)[0, "begins"]
    assert yard.page.grid.rowHeight(0) > yard.page.grid.rowHeight(1)
    press(yard, Qt.Key.Key_Return, Qt.KeyboardModifier.ControlModifier)
    assert yard.page.grid.cell == (0, "begins")
    assert "soon" in yard.page.told.text()
    yard.type("2014\n")
    assert sentences(yard.page) == {}


def test_a_row_that_is_still_typed_is_not_scolded_for_what_comes_later(yard):
    yard.page.grid.go(0, "yard")
    yard.type("Inlet\n")
    assert sentences(yard.page) == {}
    press(yard, Qt.Key.Key_Down, Qt.KeyboardModifier.ControlModifier)
    assert list(sentences(yard.page)) == [(0, "begins")]


def test_a_date_that_can_be_read_two_ways_offers_both(yard):
    yard.type("03/04/2014\n")
    yard.page.grid.go(0, "begins")
    offered = [yard.page.offers.itemAt(n).widget() for n in range(2)]
    assert [one.text() for one in offered] == ["3 Apr 2014", "4 Mar 2014"]
    press(yard, Qt.Key.Key_Escape)
    assert yard.focus is offered[0]
    press(yard, Qt.Key.Key_Tab)
    assert yard.focus is offered[1]
    press(yard, Qt.Key.Key_Backtab, Qt.KeyboardModifier.ShiftModifier)
    press(yard, Qt.Key.Key_Space)
    assert yard.page.rows.text(0, "begins") == "3 Apr 2014"
    assert yard.focus is yard.page.grid


def test_cells_of_a_spreadsheet_are_pasted(yard):
    QApplication.clipboard().setText("2014-04\t2014-05\tInlet\r\n2015\t\tOuter\r\n")
    yard.page.grid.setFocus()
    press(yard, Qt.Key.Key_V, Qt.KeyboardModifier.ControlModifier)
    assert [row.get("yard") for row in yard.page.rows.filled()] == ["Inlet", "Outer"]
    yard.page.grid.go(2, "begins")
    yard.type("9")
    press(yard, Qt.Key.Key_V, Qt.KeyboardModifier.ControlModifier)
    assert [row["begins"] for row in yard.page.rows.filled()] == [
        "2014-04", "2015", "2014-04", "2015",
    ]  # fmt: skip


def test_what_was_typed_survives_a_kill(yard, qtbot):
    yard.type("2014\n2014-05\nInl")
    qtbot.wait(160)
    drafts = yard.logbook.drafts
    assert "Inl" in drafts.get(RECORD, FIELD)
    yard.window._drop_pages()
    yard.window.show_page("old_notes")
    assert yard.page.rows.filled() == [{"begins": "2014", "ends": "2014-05", "yard": "Inl"}]
    press(yard, Qt.Key.Key_Return, Qt.KeyboardModifier.ControlModifier)
    yard.settle()
    assert len(yard.all(Visit)) == 1
    assert drafts.get(RECORD, FIELD) is None


def test_the_basis_of_all_rows_is_chosen_once_and_a_row_can_say_its_own(yard):
    yard.page.basis.choose("from_former_owner")
    yard.page.grid.go(0, "begins")
    yard.type("2014" + "\n" * 10 + "2015" + "\n" * 9 + "from memory\n")
    press(yard, Qt.Key.Key_Return, Qt.KeyboardModifier.ControlModifier)
    yard.settle()
    with yard.logbook.read() as book:
        found = [one.basis for one in queries.visits(book)]
    assert found == ["from_former_owner", "from_memory"]


def test_the_keyboard_is_not_caught_in_the_table(yard):
    yard.type("2014\n")
    press(yard, Qt.Key.Key_Escape)
    assert yard.focus is yard.page.keep_button
    assert unnamed(yard.page) == []


def test_a_logbook_that_is_only_read_takes_no_typing(yard):
    yard.window.state.logbook.read_only = "asked"
    yard.page.update_now()
    yard.page.grid.setFocus()
    yard.type("2014\n")
    assert yard.page.rows.filled() == []
    assert not yard.page.keep_button.isEnabled()


def test_what_is_typed_while_rows_are_stored_stays(yard):
    yard.type("2014\n")
    yard.page.keep()
    yard.page.rows.put(1, "begins", "2015")
    yard.settle()
    assert [one.begins.text for one in yard.all(Visit)] == ["2014"]
    assert yard.page.rows.filled() == [{"begins": "2015"}]


def test_a_failure_while_storing_keeps_the_rows_and_the_button(yard, monkeypatch):
    def full(*_about, **_more):
        raise OSError(28, "no space")

    monkeypatch.setattr("hulllog.desktop.old_notes.page.keep_old_haul_outs", full)
    yard.type("2014\n")
    yard.page.keep()
    yard.settle()
    assert yard.page.rows.filled() == [{"begins": "2014"}]
    assert yard.page.keep_button.isEnabled()
    assert yard.window.status


# Doors


def press_years(tide, key):
    middle = tide.area_of(key).center().toPoint()
    QTest.mouseClick(tide, Qt.MouseButton.LeftButton, pos=middle)


def test_today_leads_there_while_the_history_is_short(yard):
    yard.window.show_page("today")
    yard.settle()
    door = next(line for line in yard.page.lines if "your notes" in line.sentence)
    door.click()
    assert yard.window.page.code == "old_notes"
    keep_old_haul_outs(yard.logbook, [{"begins": "2014"}])
    yard.settle()
    yard.window.show_page("today")
    yard.settle()
    older = yard.page.findChild(QWidget, "today/older")
    older.click()
    assert yard.window.page.code == "old_notes"
    keep_old_haul_outs(yard.logbook, [{"begins": str(year)} for year in range(2004, 2014)])
    yard.settle()
    yard.window.show_page("today")
    assert yard.page.findChild(QWidget, "today/older") is None


def test_the_boat_leads_there_and_the_way_back_is_today(yard):
    yard.window.show_page("boat")
    yard.page.older.click()
    assert yard.window.page.code == "old_notes"
    yard.page.go.emit("today", "")
    assert yard.window.page.code == "today"


def test_empty_years_of_the_strip_begin_a_row_with_their_year(yard):
    rows = [{"begins": "2010", "ends": "2010"}, {"begins": "2016-04", "ends": "2016-05"}]
    keep_old_haul_outs(yard.logbook, rows)
    yard.settle()
    yard.window.show_page("today")
    tide = yard.window.strip.tide
    assert {key for key, _ in tide.regions if key.startswith("years:")} == {
        "years:2011", "years:2017",
    }  # fmt: skip
    press_years(tide, "years:2011")
    assert yard.window.page.code == "old_notes"
    assert yard.page.rows.text(0, "begins") == "2011"
    press_years(tide, "years:2011")
    press_years(tide, "years:2017")
    assert [row["begins"] for row in yard.page.rows.filled()] == ["2011", "2017"]


def test_a_strip_without_any_visit_leads_there_too(yard):
    yard.window.show_page("today")
    tide = yard.window.strip.tide
    press_years(tide, "years:")
    assert yard.window.page.code == "old_notes"
    assert yard.page.rows.filled() == []
