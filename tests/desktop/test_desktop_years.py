"""The same place over the years, by what a person does with it."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QColor
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QPushButton

sys.path.insert(0, str(Path(__file__).parent))
from ketchbook import built, nameless, on_ketch, settle, sheet_of, texts  # noqa: F401

from hulllog.desktop.photos.laid import FLICKER_MS
from hulllog.records.model import Annotation
from hulllog.records.operations import queries

LEFT = Qt.MouseButton.LeftButton
AFT = "zone:bottom-aft-port"


def opened(window, key=AFT):
    window.page.pick(key)
    settle(window)
    window.page.side.findChild(QPushButton, "hull/years").click()
    settle(window)
    return sheet_of(window, "years")


@pytest.fixture
def sheet(on_ketch):  # noqa: F811
    window = on_ketch("hull", pictures=True)
    made = opened(window)
    made.over = window
    return made


def colour(sheet, x, y):
    """Return the colour of the frame at a place in shares of the newest picture."""
    area = sheet.laid._whole()
    image = sheet.laid.grab().toImage()
    ratio = image.devicePixelRatio()
    at = QPoint(round((area.left() + x * area.width()) * ratio),
                round((area.top() + y * area.height()) * ratio))  # fmt: skip
    return QColor(image.pixel(at))


def press(sheet, *keys):
    for key in keys:
        QTest.keyClick(sheet.focusWidget() or sheet, key)
    settle(sheet.over)


def marks_kept(window):
    with window.state.logbook.read() as book:
        return list(queries.kept(book, Annotation))


def test_a_place_with_photos_of_one_visit_only_offers_no_comparison(on_ketch):  # noqa: F811
    window = on_ketch("hull", pictures=True, years=1)
    window.page.pick(AFT)
    settle(window)
    assert window.page.side.findChild(QPushButton, "hull/years") is None


def test_the_newest_is_held_against_the_one_before_and_any_earlier(sheet):
    assert sheet.laid.loaded
    assert any("14 Apr 2024" in text for text in texts(sheet))
    assert any("14 Apr 2025" in text for text in texts(sheet))
    press(sheet, Qt.Key.Key_PageUp, Qt.Key.Key_PageUp)
    assert sheet.laid.loaded
    assert "14 Apr 2022" in sheet.lines[0].text()
    assert "14 Apr 2025" in sheet.lines[1].text()
    press(sheet, *[Qt.Key.Key_PageUp] * 9)
    assert not sheet.earlier.isEnabled()
    assert sheet.later.isEnabled()


def test_a_spot_opens_its_own_photos(on_ketch):  # noqa: F811
    window = on_ketch("hull", pictures=True)
    made = opened(window, "spot:1")
    assert "blister field" in made.windowTitle()


def test_the_slider_shows_the_earlier_left_of_its_line(sheet, on_two):
    on_two(sheet)
    press(sheet, "2")
    assert colour(sheet, 0.25, 0.5).red() > 200
    assert colour(sheet, 0.75, 0.5).blue() > 200
    press(sheet, *[Qt.Key.Key_Right] * 10)
    assert colour(sheet, 0.75, 0.5).red() > 200
    area = sheet.laid._whole()
    QTest.mouseClick(sheet.laid, LEFT, pos=area.topLeft().toPoint() + QPoint(4, 40))
    assert colour(sheet, 0.25, 0.5).blue() > 200


def test_the_ghost_lies_faint_over_the_newest(sheet, on_two):
    on_two(sheet)
    press(sheet, "4")
    both = colour(sheet, 0.5, 0.5)
    assert 90 < both.red() < 190
    assert 90 < both.blue() < 190
    press(sheet, *[Qt.Key.Key_Left] * 30)
    assert colour(sheet, 0.5, 0.5).blue() > 200
    assert colour(sheet, 0.5, 0.5).red() < 40


def test_the_flicker_is_off_until_started_and_never_faster_than_three_a_second(sheet, on_two):
    on_two(sheet)
    press(sheet, "3")
    assert not sheet.laid.flickering
    assert 1000 / FLICKER_MS <= 3
    sheet.flicker.click()
    assert sheet.laid.flickering
    before = colour(sheet, 0.5, 0.5)
    QTest.qWait(FLICKER_MS + 150)
    assert colour(sheet, 0.5, 0.5) != before


@pytest.mark.parametrize("key", [Qt.Key.Key_X, Qt.Key.Key_Space, Qt.Key.Key_Escape, Qt.Key.Key_F5])
def test_any_key_stops_the_flicker_and_does_nothing_else(sheet, key):
    press(sheet, "3")
    sheet.flicker.click()
    sheet.cancel.setFocus()
    press(sheet, key)
    assert not sheet.laid.flickering
    assert sheet.isVisible()


def test_a_closed_sheet_does_not_go_on(sheet):
    press(sheet, "3")
    sheet.flicker.click()
    sheet.reject()
    settle(sheet.over)
    assert not sheet.over.findChildren(type(sheet))


def test_two_marks_lay_the_earlier_on_the_newest_and_are_kept(sheet, on_two):
    on_two(sheet)
    sheet.align.click()
    assert "Mark 1 in the earlier photo" in sheet.told.text()
    # A thing at the left and one at the right of the earlier stand nearer together in the newest.
    for side, (x, y) in ((0, (0.2, 0.5)), (1, (0.4, 0.5)), (0, (0.8, 0.5)), (1, (0.6, 0.5))):
        area = sheet.laid._halves()[side]
        at = QPoint(round(area.left() + x * area.width()), round(area.top() + y * area.height()))
        QTest.mouseClick(sheet.laid, LEFT, pos=at)
    settle(sheet.over)
    assert len(marks_kept(sheet.over)) == 2
    assert sheet.laid.laying.scale == pytest.approx(1 / 3, rel=0.02)
    assert "0.33 times as large" in sheet.told.text()
    press(sheet, "2", *[Qt.Key.Key_Right] * 20)
    assert colour(sheet, 0.5, 0.5).red() > 200
    sheet.reject()
    settle(sheet.over)
    assert sheet.over.state.undo_text == "lay two photos together"
    again = opened(sheet.over)
    assert again.laid.laying is not None
    again.apart.click()
    settle(sheet.over)
    assert again.laid.laying is None


def test_marks_are_set_without_the_pointer(sheet):
    sheet.align.click()
    press(sheet, Qt.Key.Key_Return, Qt.Key.Key_Return)
    press(sheet, *[Qt.Key.Key_Right] * 5, Qt.Key.Key_Return, Qt.Key.Key_Return)
    assert sheet.laid.laying is not None
    assert sheet.laid.laying.scale == pytest.approx(1, abs=0.01)


def test_marks_on_the_same_spot_are_not_kept(sheet):
    sheet.align.click()
    press(sheet, *[Qt.Key.Key_Return] * 4)
    assert "too near" in sheet.told.text()
    assert marks_kept(sheet.over) == []


def test_esc_ends_the_marking_and_leaves_the_sheet(sheet):
    sheet.align.click()
    press(sheet, Qt.Key.Key_Return, Qt.Key.Key_Escape)
    assert not sheet.laid.marking
    assert sheet.isVisible()


def test_a_logbook_that_is_only_read_is_compared_and_not_marked(on_ketch):  # noqa: F811
    window = on_ketch("hull", pictures=True, read_only=True)
    made = opened(window)
    assert made.laid.loaded
    assert not made.align.isEnabled()


def test_everything_the_keyboard_reaches_has_a_name(sheet):
    assert nameless(sheet) == []


@pytest.fixture
def on_two():
    """Give a function that puts a red picture for the earlier and a blue one for the newest."""
    from PySide6.QtGui import QPixmap

    def put(sheet):
        for at, name in enumerate(("#ff0000", "#0000ff")):
            made = QPixmap(300, 200)
            made.fill(QColor(name))
            sheet.laid._pictures[at] = made
        sheet.laid._lay()

    return put
