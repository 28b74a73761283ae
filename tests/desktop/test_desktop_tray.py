"""The tray of photographs without a place, walked through by keyboard."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest
from PIL import Image
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

sys.path.insert(0, str(Path(__file__).parent))
from ketchbook import nameless
from yardwindow import Yard

from hulllog.desktop.photos.tray import TraySheet, carried_on
from hulllog.records.media import import_photos
from hulllog.records.model import Photo, PhotoPlace
from hulllog.records.operations import anodes, around, visits

Key = Qt.Key


@pytest.fixture
def yard(look, qtbot, tmp_path):
    made = Yard(qtbot, tmp_path)
    visit = visits.start_haul_out(made.logbook, begins="2026-04-17")
    files = []
    for n in range(4):
        files.append(tmp_path / f"p{n}.png")
        Image.new("RGB", (90, 60), (n * 50, 90, 40)).save(files[-1])
    import_photos(made.logbook, files, visit, state="found")
    made.settle()
    made.open("photos")
    yield made
    made.close()


def opened(yard):
    section = yard.section("photos")
    section.files.setFocus()
    yard.type("t")
    yard.settle()
    (sheet,) = yard.window.findChildren(TraySheet)
    return sheet


def press(yard, sheet, *keys):
    for key in keys:
        target = QApplication.focusWidget() or sheet
        QTest.keyClick(target, key)
        yard.settle()


def shown(yard):
    """Return photo key -> names of the zones that it shows."""
    names = {key: code for code, key in yard.zones().items()}
    found = {}
    for place in yard.all(PhotoPlace):
        found.setdefault(place.photo_id, set()).add(names[place.zone_id])
    return found


def letter(sheet, yard, code):
    key = yard.zones()[code]
    return next(b.option.key for b in sheet.zones.buttons if b.option.code == key)


def test_the_section_counts_what_has_no_place(yard):
    assert yard.section("photos").count.text() == "4 photos, 4 without a place"


def test_a_letter_says_the_zone_and_goes_on(yard):
    sheet = opened(yard)
    first = sheet.photo_id
    press(yard, sheet, letter(sheet, yard, "rudder"))
    assert sheet.photo_id != first
    assert shown(yard) == {first: {"rudder"}}
    assert "Photo 2 of 4, 3 still without a place" in sheet.count.text()
    press(yard, sheet, Key.Key_Left)
    assert sheet.photo_id == first
    assert sheet.zones.value == (yard.zones()["rudder"],)


def test_a_big_letter_stays_and_the_same_letter_takes_back(yard):
    sheet = opened(yard)
    first = sheet.photo_id
    rudder, transom = (letter(sheet, yard, code) for code in ("rudder", "transom"))
    QTest.keyClick(sheet.large, rudder.upper(), Qt.KeyboardModifier.ShiftModifier)
    yard.settle()
    assert sheet.photo_id == first
    QTest.keyClick(sheet.large, transom.upper(), Qt.KeyboardModifier.ShiftModifier)
    yard.settle()
    assert shown(yard)[first] == {"rudder", "transom"}
    press(yard, sheet, rudder)
    assert shown(yard)[first] == {"transom"}
    assert sheet.photo_id == first


def test_a_caption_is_written_and_carried_on_without_the_pointer(yard):
    sheet = opened(yard)
    ids = list(sheet._ids)
    press(yard, sheet, Key.Key_Return, *"keel joint 1", Key.Key_Tab)
    press(yard, sheet, Key.Key_PageDown, "=", Key.Key_PageDown, "=")
    captions = {photo.id: photo.caption for photo in yard.all(Photo)}
    assert [captions[key] for key in ids] == ["keel joint 1", "keel joint 2", "keel joint 3", None]


def test_letters_go_into_a_caption_that_is_being_written(yard):
    sheet = opened(yard)
    press(yard, sheet, Key.Key_Return, *"abc=1")
    assert sheet.caption.typed() == "abc=1"
    assert shown(yard) == {}
    sheet.reject()
    yard.settle()


def test_a_half_written_caption_is_kept_when_the_next_photo_is_shown(yard):
    sheet = opened(yard)
    first = sheet.photo_id
    press(yard, sheet, Key.Key_Return, *"stem")
    sheet.on.click()
    yard.settle()
    assert {photo.caption for photo in yard.all(Photo) if photo.id == first} == {"stem"}


def test_what_was_said_last_is_kept_when_the_tray_is_closed_at_once(yard):
    sheet = opened(yard)
    first, second = sheet._ids[:2]
    QTest.keyClick(sheet.large, letter(sheet, yard, "rudder"))
    QTest.keyClick(sheet.large, letter(sheet, yard, "transom").upper(),
                   Qt.KeyboardModifier.ShiftModifier)  # fmt: skip
    sheet.reject()
    yard.settle()
    assert shown(yard) == {first: {"rudder"}, second: {"transom"}}


def test_a_digit_says_the_state(yard):
    sheet = opened(yard)
    press(yard, sheet, "3")
    states = {photo.id: photo.state for photo in yard.all(Photo)}
    assert states[sheet.photo_id] == "left"


def test_all_are_placed_at_the_end_and_the_button_goes(yard):
    sheet = opened(yard)
    key = letter(sheet, yard, "rudder")
    press(yard, sheet, key, key, key, key)
    assert "all have a place" in sheet.count.text()
    press(yard, sheet, Key.Key_Escape)
    assert not [one for one in yard.window.findChildren(TraySheet) if one.isVisible()]
    assert not yard.section("photos").tray.isVisible()
    assert yard.section("photos").count.text() == "4 photos"


def test_everything_in_the_tray_has_a_name(yard):
    assert nameless(opened(yard)) == []


@pytest.mark.parametrize(
    ("last", "carried"),
    [
        ("keel joint", "keel joint"),
        ("keel joint 3", "keel joint 4"),
        ("blade 9 (face)", "blade 10 (face)"),
        ("frame 12, patch 2", "frame 12, patch 3"),
    ],
)
def test_a_caption_carries_on_with_its_last_number(last, carried):
    assert carried_on(last) == carried


def test_a_fitting_and_an_anode_are_said_by_letters_too(yard):
    seacock = around.add_gear(yard.logbook, sort="seacock", name="Galley seacock")
    anode = anodes.add_position(yard.logbook, name="Shaft")
    yard.settle()
    sheet = opened(yard)
    first, second = sheet._ids[:2]
    keys = {button.option.code: button.option.key for button in sheet.things.buttons}
    assert {button.option.key for button in sheet.zones.buttons}.isdisjoint(keys.values())
    press(yard, sheet, keys[seacock], keys[anode])
    links = {one.photo_id: (one.gear_id, one.anode_position_id) for one in yard.all(PhotoPlace)}
    assert links == {first: (seacock, None), second: (None, anode)}
    assert "2 still without a place" in sheet.count.text()
    press(yard, sheet, Key.Key_Left, Key.Key_Left)
    assert sheet.things.value == (seacock,)
    press(yard, sheet, keys[seacock])
    assert {one.photo_id for one in yard.all(PhotoPlace)} == {second}
