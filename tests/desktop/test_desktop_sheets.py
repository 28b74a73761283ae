"""Sheets that ask more than the screen has room for."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication, QScrollArea, QWidget

from hulllog.desktop.fields import TextField
from hulllog.desktop.labels import Prose
from hulllog.desktop.sheets import Sheet


@pytest.fixture
def over(look, qtbot):
    made = QWidget()
    qtbot.addWidget(made)
    made.show()
    return made


def asked(over, rows):
    sheet = Sheet(over, "Rows", accept_text="Keep", on_accept=lambda: True)
    sheet.add(*rows)
    sheet.open()
    settle()
    return sheet


def settle():
    for _ in range(4):
        QApplication.processEvents()


def in_sight(sheet, widget):
    room = sheet.screen().availableGeometry()
    low = widget.mapToGlobal(widget.rect().bottomLeft()).y()
    whole = widget.visibleRegion().boundingRect() == widget.rect()
    return whole and low <= room.bottom() and sheet.frameGeometry().height() <= room.height()


def test_a_short_sheet_does_not_scroll(over):
    sheet = asked(over, [Prose("One")])
    assert sheet.findChild(QScrollArea) is None
    assert in_sight(sheet, sheet.do)


def test_a_sheet_of_more_lines_than_the_screen_has_keeps_its_buttons_in_sight(over):
    sheet = asked(over, [Prose(f"Line {n}") for n in range(80)])
    assert in_sight(sheet, sheet.do)
    area = sheet.findChild(QScrollArea)
    assert area.verticalScrollBar().maximum() > 0
    assert area.accessibleName() == "Rows"  # the keyboard may go there to scroll


def test_a_sheet_that_grows_past_the_screen_begins_to_scroll(over):
    sheet = asked(over, [TextField("First")])
    assert in_sight(sheet, sheet.do)
    fields = [TextField(f"Field {n}") for n in range(30)]
    sheet.add(*fields)
    settle()
    assert in_sight(sheet, sheet.do)
    assert sheet.findChild(QScrollArea) is not None


def test_the_keyboard_brings_a_question_in_sight(over, qtbot):
    fields = [TextField(f"Field {n}") for n in range(40)]
    sheet = asked(over, fields)
    qtbot.waitActive(sheet)
    fields[0].entry.setFocus()
    assert fields[-1].entry.visibleRegion().isEmpty()
    for _ in range(39):
        qtbot.keyClick(sheet.focusWidget(), Qt.Key.Key_Tab)
    settle()
    assert sheet.focusWidget() is fields[-1].entry
    last = fields[-1].entry
    assert last.visibleRegion().contains(last.rect().center())
