"""*Gear* through the window: cards, looks, a new one, when it is due, places on the drawing."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QPushButton

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

from hulllog.desktop.buttons import Door
from hulllog.desktop.preferences import Look
from hulllog.desktop.sheets import Sheet
from hulllog.insight.gear import gear_stories
from hulllog.records.operations import around, visits
from hulllog.words import say

LONG = "Seacock of the galley drain, " + "a very long name " * 5


@pytest.fixture
def window(open_window, seasons):  # noqa: F811
    enter(seasons.folder, around.add_gear, sort="seacock", name="Galley seacock", fitted="2016")
    enter(seasons.folder, visits.start_haul_out, begins="2024-04-14")
    return open_window(seasons.folder, "gear")


def card(window):
    return window.page.cards[window.page.picked]


def said(window):
    doors = [one.accessibleName() for one in card(window).findChildren(Door) if one.isVisible()]
    return " | ".join([*texts(card(window)), *doors])


def sheet(window, name):
    (found,) = [one for one in window.findChildren(Sheet) if one.isVisible()]
    assert found.objectName() == name
    return found


def keep(window, name):
    sheet(window, name).do.click()
    settle(window)


def stories(window):
    now = window.state.logbook.around.now()
    return window.state.read(lambda book: gear_stories(book, None, now))


def test_a_look_is_entered_by_key_and_told_on_the_card(window):
    assert window.page.press("l")
    asked = sheet(window, "gear/look")
    asked.outcome.show_value("nothing_found")
    asked.entries["valve-action"][0].press("s")
    asked.text.entry.setPlainText("Worked and greased")
    asked.looked.show_value("2024-04-14 00:30")
    keep(window, "gear/look")
    (story,) = stories(window)
    assert story.looks[-1].measures[0].figures == {"action": "stiff"}
    assert "Worked and greased" in said(window)
    assert "stiff" in said(window)
    assert story.looks[-1].when.text == "2024-04-14 00:30"


def test_an_empty_look_is_refused_beside_the_field_and_nothing_is_stored(window):
    window.page.press("l")
    asked = sheet(window, "gear/look")
    asked.do.click()
    settle(window)
    assert asked.isVisible()
    assert asked.text.refused
    asked.reject()
    assert stories(window)[0].looks == ()


def test_a_new_one_takes_its_age_from_that_day(window):
    before = said(window)
    window.page.press("n")
    asked = sheet(window, "gear/renew")
    asked.fitted.entry.setText("2024-04-14 00:30")
    keep(window, "gear/renew")
    assert said(window) != before
    assert stories(window)[0].fitted.text == "2024-04-14 00:30"


def workings(window):
    return [one for one in card(window).findChildren(QPushButton) if one.property("link")]


def test_a_rule_of_the_owner_is_told_with_whose_word_it_is(window):
    before = len(workings(window))
    window.page.press("d")
    asked = sheet(window, "gear/due")
    asked.sort.show_value("renew")
    asked.every.entry.setText("10")
    asked.source.entry.setText("the surveyor")
    keep(window, "gear/due")
    assert "the surveyor" in said(window)
    assert "2026" in said(window)
    assert len(workings(window)) == before + 1
    workings(window)[-1].click()
    (shown,) = [one for one in window.findChildren(Sheet) if one.isVisible()]
    assert any("the surveyor" in text for text in texts(shown))
    shown.reject()


def test_a_known_interval_fills_the_fields_and_its_source_stays_with_the_rule(window):
    window.page.press("d")
    asked = sheet(window, "gear/due")
    asked.sort.show_value("renew")
    asked.every.entry.setText("11")
    (offer,) = asked.offered
    assert any("ISO 9093-1" in text for text in texts(asked))
    offer.click()
    settle(window)
    assert (asked.sort.value, asked.every.typed()) == ("look", ("5", "year"))
    assert asked.source.typed() == told_by_owner("metal")
    assert stories(window)[0].dues == ()
    keep(window, "gear/due")
    (due,) = stories(window)[0].dues
    assert (due.sort, due.every.text, due.every.unit) == ("look", "5", "year")
    assert due.source == told_by_owner("metal")
    assert "ISO 9093-1" in said(window)


def told_by_owner(code):
    return say(f"gear_page.due_word_{code}")


def test_a_fitting_of_which_no_interval_is_known_says_so(open_window, seasons):  # noqa: F811
    enter(seasons.folder, around.add_gear, sort="bearing", name="Bearing", fitted="2016")
    window = open_window(seasons.folder, "gear")
    window.page.press("d")
    asked = sheet(window, "gear/due")
    assert asked.offered == []
    assert say("gear_page.due_none_known") in texts(asked)
    asked.reject()


def test_a_fitting_is_added_and_placed_without_a_pointer(window, qtbot):
    assert window.page.press("a")
    asked = sheet(window, "gear/fitting")
    asked.sort.show_value("transducer")
    keep(window, "gear/fitting")
    drawing = window.page.main
    assert window.focusWidget() is drawing
    qtbot.keyClick(drawing, Qt.Key.Key_Down)
    qtbot.keyClick(drawing, Qt.Key.Key_Return)
    settle(window)
    placed = [one for one in stories(window) if one.sort == "transducer"]
    assert [one.name for one in placed] == ["Transducer"]
    assert placed[0].place is not None


def test_nothing_on_record_offers_one_thing_to_do(open_window, seasons):  # noqa: F811
    window = open_window(seasons.folder, "gear")
    assert window.page.cards == {}
    assert any("An unknown age is an answer" in text for text in texts(window.page))


@pytest.mark.parametrize("look", [Look.LIGHT, Look.DARK, Look.SUN])
def test_everything_that_the_keyboard_reaches_has_a_name(open_window, seasons, look):  # noqa: F811
    enter(seasons.folder, around.add_gear, sort="seacock", name=LONG, fitted="2016")
    window = open_window(seasons.folder, "gear", look)
    assert unnamed(window.page) == []


def test_a_logbook_for_reading_dims_what_changes_it(open_window, seasons):  # noqa: F811
    enter(seasons.folder, around.add_gear, sort="seacock", name="Galley seacock")
    window = open_window(seasons.folder, "gear", read_only=True)
    assert not window.page.adding.isEnabled()
    for key in "lnda":
        assert not window.page.press(key)
