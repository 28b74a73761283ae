"""*Today* through the window: lines that are doors, the backup, the doors of a new vessel."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication, QFileDialog

sys.path.insert(0, str(Path(__file__).parent))
from seasonwindow import (  # noqa: F401
    built,
    enter,
    open_window,
    seasons,
    settle,
    texts,
    unnamed,
)

from hulllog.desktop import pages
from hulllog.desktop.jobs import JobLine
from hulllog.desktop.preferences import Look
from hulllog.desktop.sheets import Sheet
from hulllog.desktop.today import page as today_page
from hulllog.desktop.today.season import AfloatSheet
from hulllog.insight.matters import notes_for_next_time
from hulllog.insight.today import MOST
from hulllog.records.logbook import Logbook, Surroundings
from hulllog.records.model import MeasurementSet
from hulllog.records.operations import around, coatings, matters, queries, vessel, visits

LONG = "Crack " + "very " * 22 + "long"


@pytest.fixture
def window(open_window, seasons):  # noqa: F811
    return open_window(seasons.folder, "today")


@pytest.fixture
def new_vessel(tmp_path):
    with Logbook.create(tmp_path / "new") as logbook:
        vessel.create_vessel(
            logbook, name="Ruddy <b>Shore</b> & Co", kind="yacht", material="grp", keel="fin",
            length="9 m", beam="3 m", draught="1.5 m",
        )  # fmt: skip
    return tmp_path / "new"


def sentences(window):
    return [line.sentence for line in window.page.lines]


def went(window):
    """Return the list to which every ask for a page is added; no page is shown."""
    asked = []
    window.page.go.disconnect()
    window.page.go.connect(lambda code, key: asked.append((code, key)))
    return asked


def raise_in(window, **more):
    found = []
    typed = {"title": LONG, "sort": "crack", "must": "before_relaunch", **more}
    window.state.run(lambda book: matters.raise_finding(book, **typed), done=found.append)
    settle(window)
    return found[0]


def test_the_lines_are_at_most_seven_and_the_last_is_the_backup(window):
    for number in range(8):
        raise_in(window, title=f"Matter {number}")
    assert 2 <= len(window.page.lines) <= MOST
    assert "backup" in sentences(window)[-1]
    assert window.page.backup_button.isVisible()


def test_a_line_follows_what_is_entered_and_what_is_undone(window):
    before = sentences(window)
    raise_in(window)
    first = sentences(window)[0]
    assert LONG in first
    assert "before relaunch" in first
    window.state.undo()
    settle(window)
    assert sentences(window) == before


def test_a_door_goes_to_its_page_by_press_by_enter_and_by_its_key(window, qtbot, monkeypatch):
    monkeypatch.setattr(pages.PageEntry, "exists", property(lambda _self: True))
    finding = raise_in(window)
    asked = went(window)
    window.page.lines[0].click()
    window.page.lines[0].setFocus()
    qtbot.keyClick(window.page.lines[0], Qt.Key.Key_Space)
    qtbot.keyClick(window.page.lines[0], Qt.Key.Key_Return)
    qtbot.keyClick(window.page.lines[1], "1")
    assert asked == [("findings", finding)] * 4


def test_a_line_whose_page_is_not_there_is_no_door(window, monkeypatch):
    monkeypatch.setattr(today_page, "pages_of", lambda **_out: [])
    raise_in(window)
    asked = went(window)
    window.page.lines[0].click()
    assert (asked, window.page.lines[0].key) == ([], "")
    assert not window.page.press("1")


def test_a_long_text_is_whole_in_name_and_tip(window):
    around_note = "Look at the rudder stock. " * 40
    window.state.run(lambda book: around.note_for_next_time(book, around_note))
    settle(window)
    line = next(one for one in window.page.lines if "rudder stock" in one.sentence)
    assert around_note.strip() in line.accessibleName()
    assert around_note.strip() in line.toolTip()
    assert len(max(texts(line), key=len)) < len(around_note)
    line.click()
    sheet = window.findChild(Sheet)
    assert around_note.strip() in texts(sheet)
    sheet.reject()


def test_her_state_stands_in_short_below(window):
    told = texts(window.page.short)
    assert any("zones" in line for line in told[1:])


def test_today_is_read_from_all_that_is_on_record_whatever_edge_is_picked(window, seasons):  # noqa: F811
    from hulllog.insight.occasions import Edge

    before = sentences(window)
    window.state.pick(Edge(seasons.visits[2017], "found"))
    settle(window)
    assert sentences(window) == before


# The backup


def test_a_backup_is_made_where_chosen_and_told_when_proved(window, tmp_path, monkeypatch, qtbot):
    disk = tmp_path / "disk"
    disk.mkdir()
    (disk / "other things").mkdir()
    monkeypatch.setattr(QFileDialog, "getExistingDirectory", lambda *_a: str(disk))
    qtbot.keyClick(window.page.lines[-1], "b")
    assert not window.page.backup_button.isEnabled()
    settle(window)
    assert window.page.backup_button.isEnabled()
    copy = disk / window.state.logbook.folder.name
    assert str(copy) in window.status
    assert "less than a day ago" in sentences(window)[-1]
    with Logbook.open(copy) as logbook:
        assert logbook.id == window.state.logbook.id


def test_a_second_backup_goes_into_the_same_folder(window, tmp_path):
    disk = tmp_path / "disk"
    disk.mkdir()
    for _ in range(2):
        window.page.make_backup(disk)
        settle(window)
    assert len([one for one in disk.iterdir() if one.is_dir()]) <= 2
    with Logbook.open(disk):
        pass


def test_a_backup_can_be_cancelled_and_leaves_the_line_as_it_was(window, tmp_path, monkeypatch):
    disk = tmp_path / "disk"
    disk.mkdir()
    before = sentences(window)[-1]
    window.page.make_backup(disk)
    window.page.findChild(JobLine).cancel()
    settle(window)
    assert sentences(window)[-1] == before
    assert window.page.backup_button.isEnabled()


def test_giving_up_the_choice_of_a_folder_makes_no_backup(window, monkeypatch):
    monkeypatch.setattr(QFileDialog, "getExistingDirectory", lambda *_a: "")
    window.page.ask_backup()
    settle(window)
    assert window.page.backup_button.isEnabled()
    assert window.status == ""


def test_a_backup_into_the_logbook_itself_is_refused_in_a_sentence(window):
    window.page.make_backup(window.state.logbook.folder / "photos")
    settle(window)
    assert window.status.endswith(".")
    assert window.page.backup_button.isEnabled()


# A vessel without a past


def test_a_new_vessel_has_four_doors_and_her_drawing(open_window, new_vessel, monkeypatch):  # noqa: F811
    monkeypatch.setattr(pages.PageEntry, "exists", property(lambda _self: True))
    window = open_window(new_vessel, "today")
    asked = went(window)
    for line in window.page.lines[:4]:
        line.click()
    assert asked == [
        ("haul_out", "short"), ("old_notes", "table"), ("old_notes", "photos"),
        ("boat", "particulars"),
    ]  # fmt: skip
    assert window.page.form.isVisible()
    assert window.page.view.scene.items
    assert not window.page.short.isVisible()
    window.state.run(lambda book: visits.start_haul_out(book, begins="2024-04"))
    settle(window)
    assert not window.page.form.isVisible()
    assert "out of the water" in sentences(window)[0]


# Reach


@pytest.mark.parametrize("look", [Look.LIGHT, Look.DARK, Look.SUN])
def test_every_line_is_reached_by_tab_and_has_a_name(open_window, seasons, look):  # noqa: F811
    enter(seasons.folder, around.note_for_next_time, "Bring the ladder")
    window = open_window(seasons.folder, "today", look)
    assert unnamed(window.page) == []
    wanted = [one for one in window.page.lines if one.key]
    assert wanted
    assert all(one.focusPolicy() & Qt.FocusPolicy.TabFocus for one in wanted)
    assert all(one.height() >= 32 for one in window.page.lines)


def test_a_logbook_for_reading_can_still_be_backed_up(open_window, seasons, tmp_path):  # noqa: F811
    window = open_window(seasons.folder, "today", read_only=True)
    assert window.page.backup_button.isEnabled()
    disk = tmp_path / "disk"
    disk.mkdir()
    window.page.make_backup(disk)
    settle(window)
    assert str(disk) in window.status


# Afloat


def test_a_note_for_next_time_is_kept_by_keyboard_alone(window, qtbot):
    before = [line.sentence for line in window.page.lines]
    assert window.page.press("n")
    asked = next(one for one in window.findChildren(Sheet) if one.isVisible())
    qtbot.keyClicks(asked.text.entry, "Look at the log impeller")
    asked.do.click()
    settle(window)
    with window.state.logbook.read() as book:
        assert "Look at the log impeller" in [note.text for note in notes_for_next_time(book)]
    assert [line.sentence for line in window.page.lines] != before


def test_the_sheet_of_a_look_afloat_stays_on_the_screen_when_it_grows(window):
    sheet = AfloatSheet(window.page).ask()
    settle(window)
    sheet.potential.entry.setText("-600")
    sheet.begins.entry.setText("nonsense")
    sheet.begins.commit()
    for _ in range(4):
        QApplication.processEvents()
    room = sheet.screen().availableGeometry()
    assert sheet.conditions.isVisible()
    assert sheet.height() > 600
    assert sheet.frameGeometry().bottom() <= room.bottom()
    assert sheet.frameGeometry().top() >= room.top()
    sheet.reject()


def test_a_look_afloat_with_a_potential_is_one_entry_and_is_closed_from_its_line(window):
    entries = window.state.logbook.can_undo
    assert window.page.press("a")
    asked = next(one for one in window.findChildren(Sheet) if one.isVisible())
    asked.begins.entry.setText("2023-03-20")
    asked.potential.entry.setText("-820")
    asked.conditions._rows["electrode"].show_value("ag_agcl")
    asked.conditions._rows["shore_power"].show_value("none")
    asked.do.click()
    settle(window)
    assert window.state.logbook.can_undo != entries
    assert window.page.code == "hull"
    with window.state.logbook.read() as book:
        (visit,) = [
            one for one in queries.visits(book) if one.kind == "diver" and one.closed_at is None
        ]
        (held,) = queries.kept(book, MeasurementSet, MeasurementSet.visit_id == visit.id)
        assert held.kind == "hull-potential"
        assert [reading.value.si for reading in held.readings] == [-0.82]
    window.show_page("today")
    line = next(one for one in window.page.lines if "not closed" in one.sentence)
    line.click()
    asked = next(one for one in window.findChildren(Sheet) if one.isVisible())
    asked.do.click()
    settle(window)
    assert not any("not closed" in one.sentence for one in window.page.lines)


# What does not fit together


def test_what_does_not_fit_together_is_listed_in_full_behind_its_line(open_window, new_vessel):  # noqa: F811
    around_her = Surroundings()
    with Logbook.open(new_vessel, around_her) as logbook:
        visit = visits.start_haul_out(logbook, begins="2024-04-10", ends="2024-04-20")
        for name in ("Tidewall", "Reedbank"):
            paint = coatings.add_product(
                logbook, name=name, coating_class="unknown", role="antifouling"
            )
            tin = coatings.add_tin(logbook, paint, bought="2024-05")
            coatings.add_coat(logbook, visit, paint, tin_id=tin, at="2024-04-15")
    window = open_window(new_vessel, "today")
    (line,) = [one for one in window.page.lines if "bought" in one.sentence]
    line.click()
    settle(window)
    (sheet,) = window.findChildren(Sheet)
    told = " ".join(texts(sheet))
    assert "Tidewall" in told
    assert "Reedbank" in told
    sheet.close()
