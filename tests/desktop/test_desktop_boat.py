"""The page Boat, used as her owner would."""

from __future__ import annotations

import sys
import time
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication, QFileDialog, QLabel, QScrollArea

sys.path.insert(0, str(Path(__file__).parent))
from ketchwindow import settle

from hulllog.desktop.boat import forms
from hulllog.desktop.boat.asked import Asked
from hulllog.desktop.boat.changing import ChangeSheet, ConversionSheet
from hulllog.desktop.buttons import Door
from hulllog.desktop.folds import Fold
from hulllog.desktop.hull.thumbs import Thumbnail
from hulllog.desktop.jobs import JobLine
from hulllog.desktop.preferences import Look
from hulllog.desktop.theme import theme
from hulllog.drawing.scene import Text
from hulllog.insight.boat import boat_form
from hulllog.insight.occasions import Edge
from hulllog.records import backup
from hulllog.records.history import record_history
from hulllog.records.logbook import FILE_NAME, Logbook
from hulllog.records.model import (
    BerthPeriod,
    Event,
    Firm,
    FormerName,
    Instrument,
    Limit,
    Person,
    Registration,
    Zone,
)
from hulllog.records.operations import around, berths, queries, spots, vessel

PAGE = "boat"


@pytest.fixture
def bare(shown, tmp_path):
    """The window on a new boat on which nobody looked yet."""
    with Logbook.create(tmp_path / "bare") as logbook:
        vessel.create_vessel(
            logbook, name="Marsh Wren", kind="yacht", material="grp", keel="twin",
            length="8.7 m", beam="2.9 m", draught="0.95 m",
        )  # fmt: skip
    return shown(tmp_path / "bare")


def said(window):
    labels = [label.text() for label in window.page.findChildren(QLabel)]
    return labels + [door.accessibleName() for door in window.page.findChildren(Door)]


def sheet_of(window, sort):
    return next(one for one in window.findChildren(sort) if one.isVisible())


def leave(field, text):
    field.entry.setText(text)
    field.commit()


def all_of(window, model):
    return window.state.read(lambda opened: queries.kept(opened, model))


def press_door(window, start):
    key = next(key for key in window.page.lists.doors if key.startswith(start))
    window.page.lists.doors[key].click()
    return sheet_of(window, Asked)


# Her form


def test_a_measure_typed_is_no_longer_assumed_and_moves_the_areas(bare):
    page = bare.page
    before = bare.state.read(boat_form)
    assert page.measures["lwl"].assumed
    assert not page.measures["beam"].assumed
    leave(page.fields["lwl"], "7.4")
    settle(bare)
    after = bare.state.read(boat_form)
    assert "lwl" not in after.assumed
    assert after.form.displacement != before.form.displacement
    assert not page.measures["lwl"].assumed
    assert any("Area under antifouling" in text for text in said(bare))


def test_what_is_assumed_stands_faintly_in_its_field_and_is_said_aloud(bare):
    entry = bare.page.fields["freeboard_bow"].entry
    drawn = bare.state.read(boat_form).drawn["freeboard_bow"]
    assert entry.text() == ""
    assert entry.placeholderText().startswith(f"{drawn:.2f}")
    assert "Assumed" in entry.accessibleDescription()
    assert bare.page.measures["freeboard_bow"].assumed


def test_a_measure_left_blank_is_assumed_again(bare):
    page = bare.page
    leave(page.fields["freeboard_bow"], "1.4")
    settle(bare)
    assert not page.measures["freeboard_bow"].assumed
    leave(page.fields["freeboard_bow"], "")
    settle(bare)
    assert page.measures["freeboard_bow"].assumed


def areas(page):
    return [label.text() for label in page.areas.findChildren(QLabel) if "m²" in label.text()]


def test_the_drawing_and_the_areas_follow_what_is_typed_before_it_is_kept(bare, qtbot):
    page, before = bare.page, areas(bare.page)
    stored = bare.state.read(boat_form).typed["draught"].text
    entry = page.fields["draught"].entry
    entry.setFocus()
    entry.selectAll()
    qtbot.keyClicks(entry, "1.5")
    qtbot.waitUntil(lambda: areas(page) != before)
    assert "not kept yet" in page.pane.title.text()
    assert bare.state.read(boat_form).typed["draught"].text == stored
    qtbot.keyClick(entry, Qt.Key.Key_Escape)
    page.update_now()
    assert areas(page) == before
    assert "not kept yet" not in page.pane.title.text()


def test_what_cannot_be_drawn_leaves_the_drawing_and_is_refused_beside_the_field(window):
    page, before = window.page, areas(window.page)
    leave(page.fields["beam"], "900")
    settle(window)
    assert page.fields["beam"].refused
    assert page.fields["beam"].sentence
    assert areas(page) == before
    assert window.state.read(boat_form).particulars.beam == pytest.approx(2.9)


def test_a_measure_refused_before_does_not_keep_her_from_being_drawn(window):
    leave(window.page.fields["beam"], "900")
    settle(window)
    window.state.open_again()
    window.show_page("boat")
    settle(window)
    assert window.page.fields["beam"].text() == "900"
    assert window.page.fields["beam"].refused
    assert window.page.main.scene.items
    assert areas(window.page)


def test_a_new_boat_changes_her_keel_at_once(bare):
    bare.page.sorts["keel"].choice.choose("fin")
    settle(bare)
    assert not [one for one in bare.findChildren(ChangeSheet) if one.isVisible()]
    assert bare.state.read(boat_form).particulars.keel == "fin"


def test_another_keel_over_looks_on_record_is_asked_of_first(window):
    page = window.page
    page.sorts["keel"].choice.choose("fin")
    sheet = sheet_of(window, ChangeSheet)
    told = sheet.correcting.text()
    assert "drawn anew" in told
    assert "Port keel, outboard" in told
    sheet.do.click()
    settle(window)
    assert sheet.fields["reason"].refused
    sheet.reject()
    settle(window)
    assert window.state.read(boat_form).particulars.keel == "twin"
    assert page.sorts["keel"].choice.value == "twin"


def test_a_correction_stores_its_reason(window):
    window.page.sorts["keel"].choice.choose("fin")
    sheet = sheet_of(window, ChangeSheet)
    sheet.fields["reason"].entry.setPlainText("Typed the wrong keel")
    sheet.do.click()
    settle(window)
    form = window.state.read(boat_form)
    assert (form.number, form.particulars.keel) == (1, "fin")
    told = window.state.read(lambda opened: record_history(opened, "form_version", form.version_id))
    assert told[-1].reason == "Typed the wrong keel"


def test_a_conversion_begins_a_form_and_leaves_older_visits_theirs(window):
    first = window.state.read(queries.visits)[0]
    window.page.sorts["keel"].choice.choose("fin")
    sheet = sheet_of(window, ChangeSheet)
    sheet.sort.choose("conversion")
    assert not sheet.correcting.isVisible()
    sheet.fields["reason"].entry.setPlainText("New keel")
    sheet.fields["begins"].entry.setText("not a day")
    sheet.do.click()
    settle(window)
    assert sheet.fields["begins"].refused
    sheet.fields["begins"].entry.setText("2025-06-01")
    sheet.do.click()
    settle(window)
    new = window.state.read(boat_form)
    old = window.state.read(lambda opened: boat_form(opened, Edge(first.id, "found")))
    assert (new.number, new.particulars.keel) == (2, "fin")
    assert old.particulars.keel == "twin"
    assert {one.code for one in old.zones} != {one.code for one in new.zones}


def test_a_measure_that_moves_marked_places_lists_them(window):
    leave(window.page.fields["length"], "10")
    sheet = sheet_of(window, ChangeSheet)
    assert "spot 1 blister field" in sheet.moved.text()
    assert "mm" in sheet.moved.text()
    sheet.reject()
    settle(window)
    assert window.page.fields["length"].text() == "8.7"


def test_a_measure_that_moves_nothing_far_is_kept_at_once(window):
    leave(window.page.fields["freeboard_stern"], "0.9")
    settle(window)
    assert window.state.read(boat_form).typed["freeboard_stern"].text == "0.9"


def test_a_conversion_can_be_entered_on_its_own(window):
    window.page.convert()
    sheet = sheet_of(window, ConversionSheet)
    sheet.fields["begins"].entry.setText("2025-06")
    sheet.fields["reason"].entry.setPlainText("Deeper keel")
    sheet.do.click()
    settle(window)
    assert window.state.read(boat_form).number == 1
    sheet.fields["draught"].entry.setText("1.2")
    sheet.do.click()
    settle(window)
    form = window.state.read(boat_form)
    assert (form.number, form.particulars.draught) == (2, 1.2)


def test_a_measure_being_typed_when_the_logbook_is_closed_stays_a_draft(window, qtbot):
    entry = window.page.fields["length"].entry
    entry.setFocus()
    entry.selectAll()
    qtbot.keyClicks(entry, "10")
    window.state.open_again()
    window.show_page("boat")
    settle(window)
    assert not [sheet for sheet in window.findChildren(ChangeSheet) if sheet.isVisible()]
    assert window.page.fields["length"].text() == "10"
    assert "not kept" in window.page.pane.title.text()
    assert window.state.read(boat_form).particulars.length == pytest.approx(8.7)


def test_every_place_that_moves_can_be_listed(window):
    for n in range(10):
        add_spot(window, f"Mark {n}")
    settle(window)
    leave(window.page.fields["length"], "10")
    sheet = sheet_of(window, ChangeSheet)
    assert sum(f"Mark {n}" in sheet.moved.text() for n in range(10)) < 10
    assert sheet.more.isVisible()
    sheet.more.click()
    assert all(f"Mark {n}" in sheet.moved.text() for n in range(10))
    assert not sheet.more.isVisible()


def add_spot(window, label):
    place = {"part": "hull", "face": "port", "u": 0.9, "v": 0.6}
    spots.add_spot(window.state.logbook, label=label, zone_id=None, visit_id=None, place=place)


# Parts that open on demand


def test_parts_open_by_the_keyboard_and_say_what_they_hold_while_shut(window, qtbot):
    fold = window.page.folds["names"]
    assert not fold.is_open
    assert "No former name" in fold.head.accessibleDescription()
    fold.head.setFocus()
    qtbot.keyClick(fold.head, Qt.Key.Key_Space)
    assert fold.is_open
    assert "open" in fold.head.accessibleDescription()
    qtbot.keyClick(window, Qt.Key.Key_Return)
    assert not fold.is_open


def test_a_part_that_is_opened_low_on_the_page_comes_in_sight(window, qtbot):
    fold = window.page.folds["limits"]
    area = next(one for one in window.page.findChildren(QScrollArea) if one.isAncestorOf(fold))
    view = area.viewport()

    def seen(widget):
        top = widget.mapTo(view, widget.rect().topLeft()).y()
        return top >= 0 and top + widget.height() <= view.height()

    assert not seen(fold)
    fold.head.click()
    qtbot.waitUntil(lambda: seen(fold))


def test_a_zone_pressed_in_the_drawing_is_found_in_the_list(window):
    page = window.page
    assert not page.folds["zones"].is_open
    page.main.taken.emit("zone:transom")
    assert page.folds["zones"].is_open
    assert page.lists.doors["zone:transom"].hasFocus()


def test_today_leads_to_the_measures_and_to_the_backup(window):
    window.page.folds["measures"].set_open(is_open=False)
    window.page.go_to("particulars")
    assert window.page.folds["measures"].is_open
    assert window.focusWidget() is window.page.fields["lwl"].entry
    window.page.go_to("backup")
    assert window.focusWidget() is window.page.safety.backup


# Records around her


def test_her_name_is_changed_and_taken_back(window):
    leave(window.page.fields["name"], "Grey <b>Gull</b>")
    settle(window)
    assert window.state.read(queries.vessel).name == "Grey <b>Gull</b>"
    window.state.undo()
    settle(window)
    assert window.state.read(queries.vessel).name == "Ruddy Shore"
    assert window.page.fields["name"].text() == "Ruddy Shore"


def enter_berth(window, location, begins, ends):
    window.page.lists.add_berth()
    sheet = sheet_of(window, forms.BerthForm)
    sheet.fields["location"].entry.setText(location)
    sheet.fields["begins"].entry.setText(begins)
    sheet.fields["ends"].entry.setText(ends)
    sheet.do.click()
    settle(window)


def test_a_berth_period_is_entered_and_an_overlap_refused(window):
    enter_berth(window, "North Creek", "2020-01-01", "2021-01-01")
    assert any("North Creek" in text for text in said(window))
    enter_berth(window, "South Quay", "2020-06-01", "2023-01-01")
    sheet = sheet_of(window, forms.BerthForm)
    assert sheet.fields["begins"].refused
    sheet.reject()
    assert not any("South Quay" in text for text in said(window))


def test_what_was_typed_and_refused_is_there_again(window):
    enter_berth(window, "North Creek", "2020-01-01", "2021-01-01")
    enter_berth(window, "South Quay", "2020-06-01", "2023-01-01")
    sheet_of(window, forms.BerthForm).reject()
    settle(window)
    window.page.lists.add_berth()
    sheet = sheet_of(window, forms.BerthForm)
    assert sheet.fields["location"].text() == "South Quay"
    sheet.fields["begins"].entry.setText("2021-06-01")
    sheet.do.click()
    settle(window)
    assert {one.location for one in all_of(window, BerthPeriod)} >= {"North Creek", "South Quay"}
    window.page.lists.add_berth()
    assert sheet_of(window, forms.BerthForm).fields["location"].text() == ""


def test_both_dates_of_a_berth_move_at_once(window):
    enter_berth(window, "North Creek", "2020-01-01", "2020-03-01")
    sheet = press_door(window, "berth:")
    sheet.fields["begins"].entry.setText("2020-05-01")
    sheet.fields["ends"].entry.setText("2020-08-01")
    sheet.do.click()
    settle(window)
    (berth,) = all_of(window, BerthPeriod)
    assert (berth.begins.text, berth.ends.text) == ("2020-05-01", "2020-08-01")


def test_a_blank_share_leaves_what_is_on_record(window):
    enter_berth(window, "North Creek", "2020-01-01", "2020-03-01")
    sheet = press_door(window, "berth:")
    sheet.fields["immersed_share"].entry.setText("55 %")
    sheet.do.click()
    settle(window)
    sheet = press_door(window, "berth:")
    assert sheet.fields["immersed_share"].text().startswith("55")
    sheet.fields["immersed_share"].entry.setText("")
    sheet.do.click()
    settle(window)
    assert all_of(window, BerthPeriod)[0].immersed_share == pytest.approx(0.55)


def test_berths_and_events_stand_on_an_axis_and_open_from_it(window, qtbot):
    page = window.page
    page.folds["berths"].set_open()
    assert not page.lists.axis.isVisible()
    berths_and_event(window)
    axis = page.lists.axis
    assert axis.isVisible()
    keys = [key for key, _ in axis.regions]
    assert [key.split(":")[0] for key in keys] == ["berth", "event", "berth"]
    assert any(isinstance(one, Text) and one.text == "North Creek" for one in axis.scene.items)
    axis.setFocus(Qt.FocusReason.TabFocusReason)
    qtbot.keyClick(axis, Qt.Key.Key_Right)
    qtbot.keyClick(axis, Qt.Key.Key_Return)
    assert sheet_of(window, forms.EventForm).fields["text"].text() == "Touched a rock"


def berths_and_event(window):
    logbook = window.state.logbook
    berths.add_berth_period(logbook, begins="2015-01-01", location="North Creek")
    berths.add_berth_period(
        logbook, begins="2021-01-01", location="South Quay", shore_power="plugged"
    )
    berths.add_event(logbook, sort="grounding", at="2018-08-02", text="Touched a rock")
    settle(window)


def test_an_event_asks_for_a_check_and_a_later_visit_answers_it(window):
    window.page.lists.add_event()
    sheet = sheet_of(window, forms.EventForm)
    sheet.fields["at"].entry.setText("2024-08-02")
    sheet.fields["text"].type_text("Touched a rock at slow speed")
    sheet.asks.choose("yes")
    sheet.do.click()
    settle(window)
    assert any("Touched a rock" in text and "asks for a check" in text for text in said(window))
    sheet = press_door(window, "event:")
    visit = next(one for one in sheet.answered.buttons if one.option.code)
    visit.click()
    sheet.do.click()
    settle(window)
    assert all_of(window, Event)[0].answered_visit_id == visit.option.code
    assert any("Touched a rock" in text and "checked since" in text for text in said(window))


def test_a_long_story_is_cut_in_its_line_and_whole_in_its_sheet(window):
    story = "Touched a rock. " * 300
    berths.add_event(window.state.logbook, sort="grounding", at="2018-08-02", text=story)
    settle(window)
    door = next(door for key, door in window.page.lists.doors.items() if key.startswith("event:"))
    assert len(door.accessibleName()) < 400
    sheet = press_door(window, "event:")
    assert sheet.fields["text"].text() == story.strip()


def test_a_zone_is_renamed_and_withdrawn(window):
    sheet = press_door(window, "zone:transom")
    sheet.fields["name"].entry.setText("Stern board")
    sheet.do.click()
    settle(window)
    assert any("Stern board" in text for text in said(window))
    press_door(window, "zone:transom").withdraw()
    settle(window)
    assert "zone:transom" not in window.page.lists.doors
    window.state.undo()
    settle(window)
    assert any("Stern board" in text for text in said(window))
    assert {one.name for one in all_of(window, Zone)} >= {"Stern board"}


RECORDS = [
    ("names", "add_name", FormerName, {"name": "Grey Pebble", "until": "about 2009"}),
    ("names", "add_registration", Registration, {"register": "Harbour list", "number": "417"}),
    ("people", "add_person", Person, {"name": "A. Example"}),
    ("people", "add_firm", Firm, {"name": "Example Yard"}),
    (
        "instruments", "add_instrument", Instrument,
        {"name": "Scale B2", "serial": "77", "checked": "2024", "repeatability": "5 g"},
    ),
    ("limits", "add_limit", Limit, {"value": "40", "set_by": "the owner", "source": "a letter"}),
]  # fmt: skip


@pytest.mark.parametrize(("part", "adding", "model", "typed"), RECORDS)
def test_a_record_is_added_changed_taken_back_and_withdrawn(window, part, adding, model, typed):
    page = window.page
    page.folds[part].set_open()
    add = page.findChild(type(page.safety.check), f"boat/boat_page.{adding}")
    add.click()
    sheet = sheet_of(window, Asked)
    sheet.do.click()  # what must be there is asked for beside its field
    settle(window)
    assert any(field.refused for field in sheet.fields.values())
    before = {one.id for one in all_of(window, model)}
    for name, text in typed.items():
        sheet.fields[name].entry.setText(text)
    sheet.do.click()
    settle(window)
    (key,) = {one.id for one in all_of(window, model)} - before
    door = next(door for door in page.lists.doors if door.endswith(key))
    first, text = next(iter(typed.items()))
    changed = "50" if first == "value" else f"{text} II"
    sheet = press_door(window, door)
    sheet.fields[first].entry.setText(changed)
    sheet.do.click()
    settle(window)
    assert written(window, model, key, first) == changed
    assert not any(code in window.state.undo_text for code in ("{", ".set", ".change"))
    window.state.undo()
    settle(window)
    assert written(window, model, key, first) == text
    press_door(window, door).withdraw()
    settle(window)
    assert {one.id for one in all_of(window, model)} == before
    assert window.state.undo_text.removeprefix("withdraw").strip()


def written(window, model, key, field):
    value = getattr(window.state.read(lambda opened: opened.get(model, key)), field)
    return getattr(value, "text", value)


def test_a_limit_takes_the_unit_of_what_it_is_for(window):
    forms.LimitForm(window.page).ask()
    sheet = sheet_of(window, forms.LimitForm)
    sheet.set_for("plate-thickness", "thickness")
    sheet.fields["value"].entry.setText("4")
    sheet.fields["set_by"].entry.setText("the owner")
    sheet.do.click()
    settle(window)
    (limit,) = all_of(window, Limit)
    assert (limit.kind, limit.component) == ("plate-thickness", "thickness")
    assert limit.value.si == pytest.approx(0.004)
    assert any(text.startswith("Plate thickness, 4") for text in said(window))


def test_the_order_of_dates_in_numbers_is_set_once_and_then_not_asked(window):
    enter_berth(window, "North Creek", "03/04/2020", "2020-08-01")
    sheet = sheet_of(window, forms.BerthForm)
    assert sheet.fields["begins"].refused
    sheet.reject()
    window.page.order.choose("day first")
    settle(window)
    assert window.page.order.value == "day first"
    window.page.lists.add_berth()
    sheet = sheet_of(window, forms.BerthForm)
    sheet.do.click()
    settle(window)
    (berth,) = all_of(window, BerthPeriod)
    assert berth.begins.earliest.month == 4


def test_ctrl_enter_in_a_line_stores_the_sheet(window, qtbot):
    sheet = press_door(window, "zone:transom")
    entry = sheet.fields["name"].entry
    entry.setText("Her stern")
    qtbot.keyClick(entry, Qt.Key.Key_Return, Qt.KeyboardModifier.ControlModifier)
    settle(window)
    assert any("Her stern" in text for text in said(window))


def test_the_longest_names_widen_nothing(shown, book):
    long = "W" * 118
    with Logbook.open(book) as logbook:
        vessel.set_about(logbook, "builder", long)
        vessel.add_former_name(logbook, name=long)
        around.add_firm(logbook, name=long, sort="yard")
        around.add_person(logbook, name=long, role="owner")
        around.add_instrument(logbook, name=long, sort="scale", serial=long)
        berths.add_berth_period(logbook, begins="2015", location=long)
    window = shown(book)
    for fold in window.page.folds.values():
        fold.set_open()
    QApplication.processEvents()
    assert window.width() == 1366
    side = window.page.folds["about"].parentWidget()
    for fold in side.findChildren(Fold):
        assert fold.mapTo(side, fold.rect().topRight()).x() < side.width()
    assert side.width() <= 476
    long_door = next(door for door in side.findChildren(Door) if long in door.accessibleName())
    short_door = window.page.lists.doors["zone:transom"]
    assert long_door.height() > 2 * short_door.height()
    press_door(window, "person:")
    assert sheet_of(window, Asked).width() < 700


def test_where_it_is_only_read_nothing_can_be_changed(window, shown, book, monkeypatch):
    window.state.open_again()  # the second one below is a reader
    other = shown(book)
    assert other.state.read_only
    page = other.page
    assert page.fields["beam"].entry.isReadOnly()
    assert not page.sorts["keel"].choice.buttons[0].isEnabled()
    assert not page.findChild(type(page.safety.check), "boat/boat_page.add_firm").isEnabled()
    sheet = press_door(other, "zone:transom")
    assert sheet.fields["name"].entry.isReadOnly()
    assert not sheet.do.isVisible()
    assert not sheet.withdrawal.isEnabled()


# Kept safe


def ask_backup(window, qtbot, monkeypatch, folder):
    monkeypatch.setattr(QFileDialog, "getExistingDirectory", lambda *_a: str(folder))
    window.page.folds["safety"].set_open()
    qtbot.mouseClick(window.page.safety.backup, Qt.MouseButton.LeftButton)


def test_a_backup_goes_beside_other_files_and_is_proved(window, qtbot, monkeypatch, tmp_path):
    disk = tmp_path / "disk"
    disk.mkdir()
    (disk / "letters.txt").write_text("of the owner")
    ask_backup(window, qtbot, monkeypatch, disk)
    qtbot.waitUntil(window.page.safety.answer.isVisible)
    settle(window)
    assert "opened, checked" in window.page.safety.answer.text()
    assert {one.name for one in disk.iterdir()} == {"letters.txt", "book"}
    assert (disk / "book" / FILE_NAME).is_file()
    assert window.page.safety.backup.isEnabled()


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
    assert "No backup was made" in window.page.safety.answer.text()
    assert "No backup was made" in window.status
    assert not (disk / FILE_NAME).exists()
    assert window.page.safety.backup.isEnabled()


def test_the_check_says_what_it_cannot_see(window, qtbot):
    window.page.folds["safety"].set_open()
    qtbot.mouseClick(window.page.safety.check, Qt.MouseButton.LeftButton)
    qtbot.waitUntil(window.page.safety.answer.isVisible)
    settle(window)
    assert "Nothing wrong found" in window.page.safety.answer.text()
    assert "Not seen" in window.page.safety.answer.text()


def test_a_deep_check_reads_every_file_and_names_an_altered_one(shown, book, qtbot):
    picture = photograph(book)
    window = shown(book)
    window.page.folds["safety"].set_open()
    qtbot.mouseClick(window.page.safety.deep, Qt.MouseButton.LeftButton)
    qtbot.waitUntil(window.page.safety.answer.isVisible)
    settle(window)
    assert "Files read whole and found unchanged: 1" in window.page.safety.answer.text()
    data = bytearray(picture.read_bytes())
    data[-1] ^= 1
    picture.write_bytes(data)
    window.page.safety.check.click()
    settle(window)
    assert "was altered" not in window.page.safety.answer.text()
    window.page.safety.deep.click()
    settle(window)
    assert "was altered" in window.page.safety.answer.text()
    assert window.page.safety.deep.isEnabled()


def photograph(book):
    """Take a photograph into a logbook and return its file."""
    from PIL import Image

    from hulllog.records.media import import_photos

    file = book.parent / "one.jpg"
    Image.new("RGB", (64, 48), "teal").save(file)
    with Logbook.open(book) as logbook:
        import_photos(logbook, [file], None)
    (kept,) = (book / "photos").glob("*.jpg")
    return kept


def test_a_deep_check_that_is_cancelled_says_so(shown, book, monkeypatch):
    from hulllog.records import check

    photograph(book)
    window = shown(book)

    def slow(file, cancelled):
        while not cancelled():
            time.sleep(0.001)
        return ""

    monkeypatch.setattr(check, "sha256_of", slow)
    window.page.safety.run_check(deep=True)
    window.page.findChild(JobLine).cancel()
    settle(window)
    assert "cancelled" in window.page.safety.answer.text()
    assert "Nothing wrong found" not in window.page.safety.answer.text()


def test_her_past_is_told(window, qtbot):
    leave(window.page.fields["home"], "Low Quay")
    settle(window)
    vessel.correct_particulars(window.state.logbook, beam="2.8", reason="measured again")
    from hulllog.desktop.boat.past import show_history

    show_history(window.page)
    texts = [label.text() for label in window.findChildren(QLabel)]
    assert any("owner" in text and "20" in text for text in texts)
    assert any("measured again" in text for text in texts)


@pytest.mark.parametrize("look", [Look.SUN, Look.DARK])
def test_another_look_leaves_the_small_views_their_height(shown, book, look):
    window = shown(book)
    window.resize(1366, 768)
    settle(window)
    before = {one.height() for one in window.findChildren(Thumbnail) if one.isVisible()}
    theme().wear(look)
    settle(window)
    QApplication.processEvents()
    after = {one.height() for one in window.findChildren(Thumbnail) if one.isVisible()}
    theme().wear(Look.LIGHT)
    assert after == before
