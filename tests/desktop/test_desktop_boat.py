"""The page Boat, used as her owner would."""

from __future__ import annotations

import sys
import time
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication, QFileDialog, QLabel

sys.path.insert(0, str(Path(__file__).parent))
import ketchbook

from hulllog.desktop import app
from hulllog.desktop.boat.forms import BerthForm, EventForm, ZoneForm
from hulllog.desktop.buttons import Door
from hulllog.desktop.jobs import JobLine
from hulllog.desktop.papers.forms import Form
from hulllog.desktop.preferences import Look, Preferences
from hulllog.insight.boat import boat_form
from hulllog.records import backup
from hulllog.records.logbook import FILE_NAME, Logbook
from hulllog.records.model import BerthPeriod
from hulllog.records.operations import queries


@pytest.fixture
def window(qtbot, tmp_path):
    """The window on a ketch with two haul-outs, at the page Boat."""
    with Logbook.create(tmp_path / "book") as logbook:
        ketchbook.ketch(logbook, years=2)
    kept = Preferences(tmp_path / "hulllog.ini")
    kept.look = Look.LIGHT
    kept.shelf = tmp_path / "shelf"
    made = app.make_window(tmp_path / "book", kept)
    made.show()
    made.show_page("boat")
    yield made
    made.close()
    made.deleteLater()


def settle(window):
    assert window.state.tasks.settle()
    QApplication.processEvents()


def said(window):
    labels = [label.text() for label in window.page.findChildren(QLabel)]
    return labels + [door.accessibleName() for door in window.page.findChildren(Door)]


def form(window, sort):
    return next(one for one in window.findChildren(Form) if isinstance(one, sort))


def leave(field, text):
    field.entry.setText(text)
    field.commit()


def test_a_measure_typed_is_no_longer_assumed_and_moves_the_areas(window):
    page = window.page
    before = window.state.read(boat_form)
    assert "lwl" in before.assumed
    leave(page.fields["lwl"], "7.4")
    settle(window)
    after = window.state.read(boat_form)
    assert "lwl" not in after.assumed
    assert after.form.displacement != before.form.displacement
    assert any("Area under antifouling" in text for text in said(window))


def test_a_measure_out_of_its_range_is_refused_beside_the_field(window):
    field = window.page.fields["beam"]
    leave(field, "900")
    settle(window)
    assert field.refused
    assert field.sentence
    assert window.state.read(boat_form).particulars.beam == pytest.approx(2.9)


def test_her_name_is_changed_and_taken_back(window):
    leave(window.page.fields["name"], "Grey <b>Gull</b>")
    settle(window)
    assert window.state.read(queries.vessel).name == "Grey <b>Gull</b>"
    window.state.undo()
    settle(window)
    assert window.state.read(queries.vessel).name == "Ruddy Shore"
    assert window.page.fields["name"].text() == "Ruddy Shore"


def enter_berth(window, location, begins, ends):
    BerthForm(window.page).open()
    sheet = form(window, BerthForm)
    sheet.fields["location"].entry.setText(location)
    sheet.fields["begins"].entry.setText(begins)
    sheet.fields["ends"].entry.setText(ends)
    sheet.do.click()
    settle(window)


def test_a_berth_period_is_entered_and_an_overlap_refused(window):
    enter_berth(window, "North Creek", "2020-01-01", "2021-01-01")
    assert any("North Creek" in text for text in said(window))
    enter_berth(window, "South Quay", "2020-06-01", "2023-01-01")
    sheet = form(window, BerthForm)
    assert any(field.refused for field in sheet.fields.values())
    sheet.reject()
    assert not any("South Quay" in text for text in said(window))


def test_both_dates_of_a_berth_move_at_once(window):
    enter_berth(window, "North Creek", "2020-01-01", "2020-03-01")
    (berth,) = (one for one in berths_kept(window) if one.location == "North Creek")
    BerthForm(window.page, berth).open()
    sheet = form(window, BerthForm)
    sheet.fields["begins"].entry.setText("2020-05-01")
    sheet.fields["ends"].entry.setText("2020-08-01")
    sheet.do.click()
    settle(window)
    (berth,) = (one for one in berths_kept(window) if one.location == "North Creek")
    assert (berth.begins.text, berth.ends.text) == ("2020-05-01", "2020-08-01")


def berths_kept(window):
    return window.state.read(lambda book: queries.kept(book, BerthPeriod))


def test_an_event_and_a_zone_are_entered_by_their_sheets(window):
    EventForm(window.page).open()
    sheet = form(window, EventForm)
    sheet.fields["at"].entry.setText("2024-08-02")
    sheet.fields["text"].type_text("Touched a rock at slow speed")
    sheet.asks.choose("yes")
    sheet.do.click()
    settle(window)
    assert any("Touched a rock" in text and "asks for a check" in text for text in said(window))
    zone = window.state.read(boat_form).zones[0]
    ZoneForm(window.page, zone).open()
    sheet = form(window, ZoneForm)
    sheet.fields["name"].entry.setText("Port side above water")
    sheet.do.click()
    settle(window)
    assert any("Port side above water" in text for text in said(window))


def test_ctrl_enter_in_a_line_stores_the_sheet(window, qtbot):
    zone = window.state.read(boat_form).zones[0]
    ZoneForm(window.page, zone).open()
    entry = form(window, ZoneForm).fields["name"].entry
    entry.setText("Her port side")
    qtbot.keyClick(entry, Qt.Key.Key_Return, Qt.KeyboardModifier.ControlModifier)
    settle(window)
    assert any("Her port side" in text for text in said(window))


def ask_backup(window, qtbot, monkeypatch, folder):
    monkeypatch.setattr(QFileDialog, "getExistingDirectory", lambda *_a: str(folder))
    qtbot.mouseClick(window.page.backup, Qt.MouseButton.LeftButton)


def test_a_backup_goes_beside_other_files_and_is_proved(window, qtbot, monkeypatch, tmp_path):
    disk = tmp_path / "disk"
    disk.mkdir()
    (disk / "letters.txt").write_text("of the owner")
    ask_backup(window, qtbot, monkeypatch, disk)
    qtbot.waitUntil(window.page.answer.isVisible)
    settle(window)
    assert "opened, checked" in window.page.answer.text()
    assert {one.name for one in disk.iterdir()} == {"letters.txt", "book"}
    assert (disk / "book" / FILE_NAME).is_file()
    assert window.page.backup.isEnabled()


def test_a_backup_given_up_among_the_photographs_says_so(window, qtbot, monkeypatch, tmp_path):
    disk = tmp_path / "disk"
    disk.mkdir()
    (tmp_path / "book" / "photos").mkdir(exist_ok=True)
    (tmp_path / "book" / "photos" / "one.jpg").write_bytes(b"picture")

    def until_given_up(logbook, target, progress, cancelled):
        def wait(done, of):
            while not cancelled():
                time.sleep(0.001)
            progress(done, of)

        return real(logbook, target, wait, cancelled)

    real = backup.backup
    monkeypatch.setattr(backup, "backup", until_given_up)
    ask_backup(window, qtbot, monkeypatch, disk)
    window.page.findChild(JobLine).cancel()
    settle(window)
    assert "No backup was made" in window.page.answer.text()
    assert "No backup was made" in window.status
    assert not (disk / FILE_NAME).exists()
    assert window.page.backup.isEnabled()


def test_the_check_says_what_it_cannot_see(window, qtbot):
    qtbot.mouseClick(window.page.check, Qt.MouseButton.LeftButton)
    qtbot.waitUntil(window.page.answer.isVisible)
    settle(window)
    assert "Nothing wrong found" in window.page.answer.text()
    assert "Not seen" in window.page.answer.text()


def test_her_past_is_told(window, qtbot):
    leave(window.page.fields["home"], "Low Quay")
    settle(window)
    from hulllog.desktop.boat.past import show_history

    show_history(window.page)
    texts = [label.text() for label in window.findChildren(QLabel)]
    assert any("owner" in text and "20" in text for text in texts)
