"""After a haul-out was closed: what it held stays in sight, and a new one is begun on purpose."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest
from PySide6.QtCore import QPoint
from PySide6.QtWidgets import QLabel, QScrollArea

sys.path.insert(0, str(Path(__file__).parent))
from yardwindow import Yard

from hulllog.records.model import Visit
from hulllog.records.operations import anodes, visits


@pytest.fixture
def yard(look, qtbot, tmp_path):
    made = Yard(qtbot, tmp_path)
    yield made
    made.close()


def texts(widget):
    return [one.text() for one in widget.findChildren(QLabel) if one.isVisible()]


def close_it(yard):
    visits.start_haul_out(yard.logbook, begins="2026-04-14", yard="Inlet Boatyard")
    yard.settle()
    page = yard.open("steps")
    yard.section("steps").facts.close_it.click()
    yard.settle()
    return page


def test_a_closed_haul_out_stays_in_sight_until_a_new_one_is_begun(yard):
    anodes.add_position(yard.logbook, name="Shaft")
    page = close_it(yard)
    assert page.title() == "Haul-out closed"
    assert "Inlet Boatyard" in page.subtitle()
    assert not page.short.isVisible()
    assert not page.short.acts.isVisible()
    assert any("0 of 1" in text for text in texts(page.closed))
    assert yard.focus is page.closed.new
    yard.type("\n")
    yard.settle()
    assert page.title() == "New haul-out"
    assert page.short.isVisible()
    assert yard.focus is page.short.begins.entry
    (visit,) = yard.all(Visit)
    assert visit.closed_at is not None


def test_reopening_from_the_closed_one_leads_back_to_it(yard):
    page = close_it(yard)
    (visit,) = yard.all(Visit)
    visits.reopen(yard.logbook, visit.id, reason="an anode was forgotten")
    yard.settle()
    assert page.opened
    assert page.title() == "This haul-out"
    assert not page.closed.isVisible()


def test_keeping_stays_in_sight_however_long_the_form_is(yard):
    for number in range(12):
        anodes.add_position(yard.logbook, name=f"Position {number} under the long counter aft")
    yard.window.resize(1366, 768)
    page = yard.open()
    yard.settle()
    (area,) = [one for one in page.findChildren(QScrollArea) if one.isAncestorOf(page.short)]
    assert area.verticalScrollBar().maximum() > 0  # longer than the window
    for made in (page.short.keep, page.short.begin):
        top = made.mapTo(yard.window, QPoint(0, 0)).y()
        assert made.isVisible()
        assert 0 < top < top + made.height() <= yard.window.height()
        assert not area.isAncestorOf(made)


def test_the_keyboard_reaches_the_acts_after_the_last_field(yard):
    page = yard.open()
    page.short.note.entry.setFocus()
    yard.type("\n")
    assert yard.focus is page.short.keep
    yard.type("\n")
    yard.settle()
    assert len(yard.all(Visit)) == 1
    assert page.opened
    assert not page.short.acts.isVisible()
