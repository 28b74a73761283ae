from __future__ import annotations

import sys
from datetime import date
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))
from yardwindow import Yard

from hulllog.desktop.haul_out.dates import clocked, complete
from hulllog.desktop.haul_out.zonegrades import ZoneRow
from hulllog.desktop.preferences import Look
from hulllog.desktop.theme import application, put_on
from hulllog.records.model import (
    AnodeCheck,
    AnodePosition,
    Coat,
    Inspection,
    MeasurementSet,
    Product,
    Visit,
)
from hulllog.records.operations import visits

TODAY = date(2026, 4, 18)
NOTE = "Scrape round the log next time, growth was thick there"


@pytest.fixture
def yard(look, qtbot, tmp_path):
    made = Yard(qtbot, tmp_path)
    made.open()
    yield made
    made.close()


def stored(yard):
    (visit,) = yard.all(Visit)
    return visit


def enter(yard, keys):
    yard.type(keys)
    yard.settle()


# Dates


@pytest.mark.parametrize(
    ("typed", "after", "full"),
    [
        ("14 apr", None, "14 Apr 2026"),
        ("14 apr.", None, "14 Apr 2026"),
        ("14 April", None, "14 Apr 2026"),
        ("apr 14", None, "14 Apr 2026"),
        ("20 apr", None, "20 Apr 2025"),
        ("16", date(2026, 4, 14), "16 Apr 2026"),
        ("3", date(2026, 3, 28), "3 Apr 2026"),
        ("12 apr", date(2026, 4, 14), "12 Apr 2026"),
        ("14 apr 19", None, "14 Apr 2019"),
        ("14 apr 87", None, "14 Apr 1987"),
        ("14/4", None, "14 Apr 2026"),
        ("4/14", None, "14 Apr 2026"),
        ("29 feb", None, "29 Feb 2024"),
    ],
)
def test_a_short_date_is_completed_to_the_nearest_that_can_be_meant(typed, after, full):
    assert complete(typed, TODAY, after) == full


@pytest.mark.parametrize(
    "typed", ["", "2014", "2026-04-14", "14 Apr 2026", "3/4", "03/04/2020", "40", "14 mai", "soon"]
)
def test_what_is_whole_or_can_be_read_two_ways_is_left_alone(typed):
    assert complete(typed, TODAY) is None


def test_a_bare_time_is_of_the_day_given():
    assert clocked("9:30", TODAY) == "18 Apr 2026 09:30"
    assert clocked("9", TODAY) is None


# The form


def test_a_whole_short_haul_out_takes_few_keys(yard):
    shown = "14 apr\n16\nInlet Boatyard\nhshaft\nh\nTidewall 40\n2.5\n2\n"
    zones = "\nc2l1p3\n"
    yard.presses = 0
    enter(yard, f"{shown}{zones}{NOTE}\n\n")
    visit = stored(yard)
    content = sum(
        letter.isalnum() for letter in "14apr16InletBoatyardhshafthTidewall40252c2l1p3" + NOTE
    )
    assert yard.presses <= 150
    assert yard.presses - content <= 40
    assert (visit.begins.text, visit.ends.text) == ("14 Apr 2026", "16 Apr 2026")
    assert (visit.yard, visit.way, visit.note) == ("Inlet Boatyard", "hoist", NOTE)
    assert len(yard.all(Inspection)) == 3
    assert [(one.kind, one.conditions) for one in yard.all(MeasurementSet)] == [
        ("level-of-fouling", {"washed": "not_washed"})
    ] * 3
    (check,) = yard.all(AnodeCheck)
    assert (check.way, check.left_low) == ("by_eye", 0.4)
    assert [coat.litres.text for coat in yard.all(Coat)] == ["1.25", "1.25"]
    assert yard.all(Product)[0].name == "Tidewall 40"
    assert yard.window.state.undo_text == "enter the haul-out of 14 Apr 2026"


def test_it_is_one_entry_and_one_undo(yard):
    enter(yard, "14 apr\n16\nInlet Boatyard\nhshaft\nh\nTidewall 40\n2.5\n2\n\nc2\n\n\n")
    assert yard.page.opened
    yard.undo()
    assert yard.all(Visit) == yard.all(Coat) == yard.all(AnodePosition) == []
    assert not yard.page.opened


def test_the_date_of_today_stands_there_and_typing_replaces_it(yard):
    assert yard.page.short.begins.text() == "18 Apr 2026"
    assert yard.focus is yard.page.short.begins.entry
    enter(yard, "2019\n")
    assert yard.page.short.begins.text() == "2019"


def test_only_the_date_is_wanted(yard):
    yard.page.short.keep.setFocus()
    enter(yard, "\n")
    visit = stored(yard)
    assert (visit.begins.text, visit.ends, visit.yard, visit.way) == (
        "18 Apr 2026", None, None, None,
    )  # fmt: skip
    assert visit.basis == "at_the_time"


def test_what_was_understood_is_said_below_the_date(yard):
    enter(yard, "14 apr\n")
    assert yard.page.short.begins.sentence == "“14 apr” is understood as 14 Apr 2026."


def test_as_last_time_is_greyed_and_one_key(yard):
    enter(yard, "1 apr\n3\nInlet Boatyard\nh\n\n\nTidewall 40\n\n\n\n\n\n\n")
    visits.close(yard.logbook, stored(yard).id)
    yard.settle()
    yard.open().closed.new.click()
    short = yard.page.short
    assert short.yard.entry.placeholderText() == "Inlet Boatyard"
    assert short.yard.text() == ""
    yard.presses = 0
    enter(yard, "14 apr\n16\n==")
    assert (short.yard.text(), short.way.value) == ("Inlet Boatyard", "hoist")
    short.product.entry.setFocus()
    enter(yard, "=")
    assert short.product.text() == "Tidewall 40"
    assert yard.focus is short.litres.entry


def test_an_equals_sign_in_a_name_stays_one(yard):
    yard.page.short.yard.entry.setFocus()
    enter(yard, "a=b\n")
    assert yard.page.short.yard.text() == "a=b"


def test_zones_are_picked_by_letter_and_graded_by_digit(yard):
    zones = yard.page.short.zones
    zones.setFocus()
    enter(yard, "d4b0")
    codes = {key: code for code, key in yard.zones().items()}
    assert {codes[key]: grade for key, grade in zones.grades().items()} == {
        "bottom-aft-port": "4", "bottom-forward-port": "0",
    }  # fmt: skip
    assert "clean" in zones.told.text()
    enter(yard, "d\b")
    assert list(zones.grades().values()) == ["0"]


@pytest.mark.parametrize("look", [Look.LIGHT, Look.SUN])
def test_no_name_of_a_zone_is_cut(qtbot, tmp_path, look):
    put_on(application(), look)
    yard = Yard(qtbot, tmp_path, look=look)
    yard.window.resize(1366, 768)
    yard.open()
    rows = yard.page.short.zones.findChildren(ZoneRow)
    assert rows
    for row in rows:
        assert row.width() >= row.sizeHint().width(), row.accessibleName()
    assert len({(row.x(), row.y()) for row in rows}) == len(rows)
    yard.close()


def test_a_digit_that_is_no_grade_is_not_taken(yard):
    zones = yard.page.short.zones
    zones.setFocus()
    enter(yard, "e9")
    assert zones.grades() == {}


def test_another_kind_takes_its_own_grades(yard):
    short = yard.page.short
    short.graded.choose("paint_blisters")
    short.zones.setFocus()
    enter(yard, "e3")
    short.keep.setFocus()
    enter(yard, "\n")
    (rated,) = yard.all(MeasurementSet)
    assert rated.kind == "iso-4628-2-2016"


def test_an_old_haul_out_is_proposed_as_from_notes(yard):
    enter(yard, "12 june 2019\n")
    short = yard.page.short
    assert short.basis.isVisible()
    assert short.basis.value == "later_from_notes"
    short.begins.type_text("17 Apr 2026")
    assert not short.basis.isVisible()


# Bad input


@pytest.mark.parametrize(
    ("field", "typed", "words"),
    [
        ("begins", "2027-01-01", "lies ahead"),
        ("begins", "31 feb 2020", "31"),
        ("litres", "0", "0"),
        ("litres", "lots", "lots"),
        ("coats", "99", "20"),
    ],
)
def test_what_cannot_be_kept_is_said_beside_its_field(yard, field, typed, words):
    box = yard.page.short.fields[field]
    box.entry.setFocus()
    box.entry.selectAll()
    enter(yard, f"{typed}\n")
    assert box.refused
    assert words in box.sentence
    enter(yard, "")
    yard.page.short.store()
    yard.settle()
    assert yard.all(Visit) == []
    assert yard.focus is box.entry
    assert box.text() == typed


def test_a_relaunch_before_the_lift_is_refused_and_nothing_is_stored(yard):
    enter(yard, "14 apr\n12 apr\n")
    yard.page.short.store()
    yard.settle()
    ends = yard.page.short.ends
    assert ends.refused
    assert "before she was lifted" in ends.sentence
    assert yard.all(Visit) == []


def test_a_date_that_reads_two_ways_offers_both_as_buttons(yard):
    from PySide6.QtWidgets import QPushButton

    enter(yard, "03/04/2020\n")
    begins = yard.page.short.begins
    offers = [made for made in begins.findChildren(QPushButton) if made.isVisible()]
    assert [made.text() for made in offers] == ["3 Apr 2020", "4 Mar 2020"]
    offers[1].click()
    yard.settle()
    assert begins.text() == "4 Mar 2020"
    assert not begins.refused


def test_what_was_typed_and_chosen_survives_a_kill(yard, qtbot, tmp_path):
    enter(yard, "14 apr\n12 apr\nInlet Boatyard\nc")
    yard.page.short.zones.setFocus()
    enter(yard, "e4")
    yard.page.short.note.entry.setFocus()
    enter(yard, NOTE)
    yard.page.short.note.keep_draft()
    drafts = yard.logbook.drafts.all()
    assert drafts["visit:new", "yard"] == "Inlet Boatyard"
    assert drafts["visit:new", "ends"] == "12 Apr 2026"
    from hulllog.desktop.haul_out.short import ShortForm

    again = ShortForm(yard.window.state)
    qtbot.addWidget(again)
    again.refresh()
    assert (again.begins.text(), again.yard.text(), again.way.value) == (
        "14 Apr 2026", "Inlet Boatyard", "crane",
    )  # fmt: skip
    assert list(again.zones.grades().values()) == ["4"]
    assert again.note.text() == NOTE


def test_no_draft_is_left_when_it_is_stored(yard):
    enter(yard, "14 apr\n16\nInlet Boatyard\nhshaft\nh\nTidewall 40\n2.5\n2\n\nc2\nsome\n\n")
    assert len(yard.all(Visit)) == 1
    assert yard.logbook.drafts.all() == {}


def test_any_text_is_kept_as_it_is(yard):
    strange = '<b>&" שלום 🛥 ' + "ab" * 300
    yard.page.short.note.type_text(strange)
    yard.page.short.store()
    assert stored(yard).note == strange.strip()


def test_a_walk_begins_with_what_was_typed_so_far(yard):
    enter(yard, "14 apr\n\nInlet Boatyard\nh")
    yard.page.short.begin.setFocus()
    enter(yard, "\n")
    visit = stored(yard)
    assert (visit.begins.text, visit.yard, visit.way) == ("14 Apr 2026", "Inlet Boatyard", "hoist")
    assert yard.page._now == "walk"


def test_nothing_that_was_entered_is_lost_or_left_behind_when_the_rest_is_walked(yard):
    enter(yard, "14 apr\n16\nInlet Boatyard\nhshaft\nh\nTidewall 40\n2.5\n2\n\nc2\n" + NOTE)
    yard.page.short.begin.setFocus()
    enter(yard, "\n")
    visit = stored(yard)
    assert yard.page._now == "walk"
    assert (visit.ends.text, visit.note) == ("16 Apr 2026", NOTE)
    (check,) = yard.all(AnodeCheck)
    assert check.left_low == 0.4
    assert [one.kind for one in yard.all(MeasurementSet)] == ["level-of-fouling"]
    assert len(yard.all(Coat)) == 2
    assert [field for record, field in yard.logbook.drafts.all() if record == "visit:new"] == []


def test_a_walk_that_cannot_keep_what_was_entered_does_not_begin(yard):
    enter(yard, "14 apr\n\n\nh\nh")
    yard.page.short.begin.setFocus()
    enter(yard, "\n")
    assert yard.all(Visit) == []
    assert yard.page.short._told.isVisible()
    assert yard.page.short.eye.value == "half"


def test_another_haul_out_may_be_entered_while_one_is_open(yard):
    yard.page.short.keep.setFocus()
    enter(yard, "\n")
    assert yard.page.opened
    yard.section("steps").another.emit()
    yard.settle()
    enter(yard, "1 june 2020\n3\n")
    yard.page.short.store()
    yard.settle()
    assert len(yard.all(Visit)) == 2
    assert yard.page._visit.begins.text == "1 june 2020"
    yard.section("steps").facts.close_it.click()
    yard.settle()
    assert yard.page._visit.begins.text == "18 Apr 2026"
