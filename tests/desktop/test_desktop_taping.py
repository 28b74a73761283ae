"""Places by tape, asked beside the click on the drawing."""

from __future__ import annotations

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))
from ketchwindow import settle

from hulllog.desktop.hull.asking import SpotSheet
from hulllog.desktop.hull.taping import TapeSheet
from hulllog.hull import taping
from hulllog.hull.patches import Place
from hulllog.records.model import AnodePosition, Spot
from hulllog.records.operations import anodes, queries

PAGE = "hull"


def sheet_of(window, sort):
    return next(one for one in window.findChildren(sort) if one.isVisible())


def measure(sheet, one="3.6", other="340 cm"):
    sheet.fields["tape_1"].entry.setText(one)
    sheet.fields["tape_2"].entry.setText(other)
    sheet.do.click()


def spots_of(window):
    return window.state.read(lambda opened: queries.kept(opened, Spot))


def test_a_place_is_followed_by_tape(window):
    known = len(spots_of(window))
    window.page.press("t")
    sheet = sheet_of(window, TapeSheet)
    assert sheet.menus[0].mark == "stem"
    assert sheet.menus[1].mark == "rudder"
    assert not sheet.fields["girth"].isVisible()
    measure(sheet)
    asked = sheet_of(window, SpotSheet)
    asked.label.entry.setText("Dent under the tape")
    asked.do.click()
    settle(window)
    spot = spots_of(window)[-1]
    assert len(spots_of(window)) == known + 1
    assert spot.place.how["by"] == "tape"
    assert [one["text"] for one in spot.place.how["tapes"]] == ["3.6", "340"]
    assert spot.zone_id is not None


def test_tapes_that_do_not_meet_are_told_in_one_sentence_and_nothing_is_asked_further(window):
    known = len(spots_of(window))
    window.page.press("t")
    sheet = sheet_of(window, TapeSheet)
    measure(sheet, "1", "1")
    assert sheet.isVisible()
    assert sheet.fields["tape_2"].sentence.count(".") == 1
    assert len(spots_of(window)) == known


def test_an_anode_gets_its_place_by_frame_and_girth(window):
    key = anodes.add_position(window.state.logbook, name="Shaft", protects=["shaft"])
    window.show_page("anodes")
    settle(window)
    page = window.page
    page.pick(key)
    page.press("t")
    sheet = sheet_of(window, TapeSheet)
    sheet.side.choose("1")
    sheet.by.choose("frame")
    assert not sheet.fields["tape_1"].isVisible()
    sheet.fields["along"].entry.setText("3.5")
    sheet.fields["girth"].entry.setText("0.8")
    sheet.do.click()
    settle(window)
    placed = window.state.read(lambda opened: opened.get(AnodePosition, page.picked)).place
    assert (placed.face, placed.how["by"]) == ("starboard", "frame")
    assert placed.how["girth"]["m"] == 0.8


def test_where_tapes_meet_twice_she_is_asked_which_place_is_meant(window):
    form = window.page.shown.form
    known = taping.marks(form, "hull", "port")
    place = Place("hull", "port", 0.55, 0.1)
    lengths = taping.tapes(form, place, (known["stem"], known["stern"]))
    window.page.press("t")
    sheet = sheet_of(window, TapeSheet)
    sheet.menus[1].choose("stern", "stern")
    measure(sheet, *(f"{one:.4f}" for one in lengths))
    assert sheet.which.isVisible()
    sheet.which.choose("lower")
    sheet.do.click()
    asked = sheet_of(window, SpotSheet)
    asked.label.entry.setText("Near the keel")
    asked.do.click()
    settle(window)
    assert spots_of(window)[-1].place.how["higher"] is False
    assert spots_of(window)[-1].place.v < 0.11
