"""The shot list in the window: it ticks itself, and a line names the picked photograph."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest
from PIL import Image
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

sys.path.insert(0, str(Path(__file__).parent))
from ketchbook import nameless, texts
from yardwindow import Yard

from hulllog.desktop.photos.shots import ShotsSheet
from hulllog.insight.shots import named_shots
from hulllog.records.operations import visits


@pytest.fixture
def yard(look, qtbot, tmp_path):
    made = Yard(qtbot, tmp_path)
    made.visit = visits.start_haul_out(made.logbook, begins="2026-04-17")
    made.settle()
    made.open("photos")
    yield made
    made.close()


def take(yard, count=1):
    files = []
    for n in range(count):
        files.append(yard.logbook.folder.parent / f"p{n}.png")
        Image.new("RGB", (90, 60), (n * 50, 90, 40)).save(files[-1])
    yard.page.intake.take(files)
    yard.settle()


def opened(yard):
    yard.section("photos").files.setFocus()
    yard.type("s")
    yard.settle()
    return next(one for one in yard.window.findChildren(ShotsSheet) if one.isVisible())


def test_the_list_opens_without_a_photo_and_says_what_must_be_now(yard):
    sheet = opened(yard)
    assert any("Nobody goes below her" in text for text in texts(sheet))
    assert "cannot be had later" in sheet.doors["sides"].accessibleName()
    assert "cannot be had later" not in sheet.doors["tins"].accessibleName()
    assert not sheet.doors["tins"].isEnabled()


def test_enter_names_the_picked_photo_and_once_more_takes_it_back(yard):
    take(yard)
    sheet = opened(yard)
    sheet.doors["tins"].setFocus()
    QTest.keyClick(QApplication.focusWidget(), Qt.Key.Key_Return)
    yard.settle()
    assert list(yard.window.state.read(lambda b: named_shots(b, yard.visit)).values()) == ["tins"]
    assert "the picked photo" in sheet.doors["tins"].accessibleName()
    assert sheet.doors["tins"].hasFocus()
    QTest.keyClick(QApplication.focusWidget(), Qt.Key.Key_Return)
    yard.settle()
    assert yard.window.state.read(lambda b: named_shots(b, yard.visit)) == {}


def test_the_section_counts_what_is_there_by_itself(yard):
    from hulllog.records.operations.photos import place_photo

    take(yard, 2)
    before = yard.section("photos").shots.text()
    zones = yard.zones()
    photos = list(yard.section("photos").strip.tiles)
    place_photo(yard.logbook, photos[0], zone_id=zones["topsides-port"])
    place_photo(yard.logbook, photos[1], zone_id=zones["topsides-starboard"])
    yard.settle()
    yard.window.page.update_now()
    assert before.startswith("Shot list: 0 of")
    assert yard.section("photos").shots.text().startswith("Shot list: 1 of")


def test_everything_in_the_list_has_a_name(yard):
    take(yard)
    assert nameless(opened(yard)) == []
