"""Measuring points laid as a grid on the page Hull, and read by keyboard."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest
from PySide6.QtCore import Qt

sys.path.insert(0, str(Path(__file__).parent))
from ketchwindow import settle

from hulllog.desktop.hull.points import LaySheet, ReadSheet
from hulllog.insight.points import points_at
from hulllog.records.model import MeasuringPoint
from hulllog.records.operations import queries

KIND = "film-thickness"


PAGE = "hull"


def sheet_of(window, sort):
    return next(one for one in window.findChildren(sort) if one.isVisible())


def known(window):
    return window.state.read(lambda opened: queries.kept(opened, MeasuringPoint))


@pytest.fixture
def laid(window):
    """The window with a grid of six points on one zone."""
    window.page.choose_kind(KIND)
    settle(window)
    window.page.press("g")
    sheet = sheet_of(window, LaySheet)
    zone = next(one for one in window.page.shown.zones if one.code == "bottom-aft-port")
    sheet.zones.show_value([zone.zone_id])
    sheet.zones.chosen.emit((zone.zone_id,))
    sheet.fields["frames"].entry.setText("3")
    assert [mark.text for mark in sheet.drawn._marks] == ["1", "2", "3", "4", "5", "6"]
    assert known(window) == []
    sheet.do.click()
    settle(window)
    return window


def test_a_grid_is_shown_before_it_is_laid(laid):
    assert sorted(point.number for point in known(laid)) == [1, 2, 3, 4, 5, 6]
    assert {point.kind for point in known(laid)} == {KIND}


def test_a_grid_on_no_zone_is_refused(window):
    window.page.choose_kind(KIND)
    settle(window)
    window.page.press("g")
    sheet = sheet_of(window, LaySheet)
    sheet.do.click()
    settle(window)
    assert sheet.isVisible()
    assert known(window) == []


def test_readings_run_along_the_grid_by_keyboard(laid, qtbot):
    laid.page.press("v")
    sheet = sheet_of(laid, ReadSheet)
    for text in ("120", "130"):
        qtbot.keyClicks(sheet.focusWidget(), text)
        qtbot.keyClick(sheet.focusWidget(), Qt.Key.Key_Return)
    qtbot.keyClick(sheet.focusWidget(), Qt.Key.Key_Up)
    assert sheet.focusWidget().point.number == 6
    qtbot.keyClicks(sheet.focusWidget(), "140")
    qtbot.keyClick(sheet.focusWidget(), Qt.Key.Key_Down)
    assert sheet.focusWidget().point.number == 3
    sheet.do.click()
    settle(laid)
    edge = laid.page.shown.edge
    seen = laid.state.read(lambda opened: points_at(opened, edge, KIND))
    assert [one.now.text if one.now else None for one in seen] == [
        "120", "130", None, None, None, "140",
    ]  # fmt: skip


def test_a_reading_that_cannot_be_is_told_at_its_point(laid):
    laid.page.press("v")
    sheet = sheet_of(laid, ReadSheet)
    cells = list(sheet.cells.values())
    cells[0].setText("120")
    cells[4].setText("thick")
    sheet.do.click()
    settle(laid)
    assert sheet.isVisible()
    assert sheet.focusWidget() is cells[4]
