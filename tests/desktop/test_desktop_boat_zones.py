"""Zones cut and joined on the page Boat, and their areas corrected."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest
from PySide6.QtWidgets import QLabel

sys.path.insert(0, str(Path(__file__).parent))
from ketchwindow import settle

from hulllog.desktop.boat.areas import AreaSheet
from hulllog.desktop.boat.asked import Asked
from hulllog.desktop.boat.redrawing import CutSheet, JoinSheet
from hulllog.insight.boat import area_told, boat_form
from hulllog.insight.occasions import Edge
from hulllog.records.model import Product
from hulllog.records.operations import coatings, queries

PAGE = "boat"


def sheet_of(window, sort):
    return next(one for one in window.findChildren(sort) if one.isVisible())


def press_door(window, start):
    key = next(key for key in window.page.lists.doors if key.startswith(start))
    window.page.lists.doors[key].click()
    return sheet_of(window, Asked)


def zones_now(window):
    return {zone.code: zone for zone in window.state.read(boat_form).zones}


def test_a_zone_is_cut_in_two_and_undone(window):
    before = zones_now(window)
    press_door(window, "zone:bottom-aft-port").cutting.click()
    sheet = sheet_of(window, CutSheet)
    sheet.share.entry.setText("30 %")
    sheet.way.choose("along")
    parts = [words for words in sheet.areas.text().split() if "." in words]
    assert sheet.areas.text().index("inner") < sheet.areas.text().index("outer")
    sheet.name.entry.setText("Garboard, port")
    sheet.other_name.entry.setText("Bilge, port")
    sheet.do.click()
    settle(window)
    now = zones_now(window)
    one, other = now["bottom-aft-port"], now["bottom-aft-port-2"]
    assert (one.name, other.name) == ("Garboard, port", "Bilge, port")
    assert one.area + other.area == pytest.approx(before["bottom-aft-port"].area)
    assert parts[0] == f"{one.area:.2f}"
    assert "zone:bottom-aft-port-2" in window.page.lists.doors
    window.state.logbook.undo()
    assert zones_now(window) == before


def test_a_cut_through_nothing_is_said_and_stores_nothing(window):
    before = zones_now(window)
    press_door(window, "zone:bottom-aft-port").cutting.click()
    sheet = sheet_of(window, CutSheet)
    sheet.share.entry.setText("100 %")
    assert "below 100" in sheet.areas.text()
    sheet.other_name.entry.setText("Nothing")
    sheet.do.click()
    settle(window)
    assert sheet.isVisible()
    assert sheet.share.refused
    assert zones_now(window) == before


def test_two_zones_are_joined_and_older_visits_keep_both(window):
    before = zones_now(window)
    last = window.state.read(queries.visits)[-1]
    press_door(window, "zone:bottom-aft-port").joining.click()
    sheet = sheet_of(window, JoinSheet)
    offered = {one.code for one in sheet._others}
    assert "topsides-port" not in offered
    assert "keel-port-under" not in offered
    sheet.choose(before["bottom-middle-port"])
    sheet.name.entry.setText("After body, port")
    sheet.do.click()
    settle(window)
    now = zones_now(window)
    assert "bottom-middle-port" not in now
    assert now["bottom-aft-port"].name == "After body, port"
    older = window.state.read(lambda book: boat_form(book, Edge(last.id, "found")))
    assert {one.code for one in older.zones} == set(before)


def test_the_area_by_litres_stands_beside_and_the_owner_corrects_it(window):
    (paint,) = window.state.read(lambda opened: queries.kept(opened, Product))
    coatings.set_product(
        window.state.logbook, paint.id, "coating_class", "ablative_antifouling", reason="sheet"
    )
    window.page.update_now()
    settle(window)
    told = window.state.read(area_told)
    assert told.by_litres is not None

    def figures():
        return " ".join(label.text() for label in window.page.areas.findChildren(QLabel))

    assert f"{told.by_litres.value:.1f}" in figures()
    assert "Corrected" not in figures()
    window.page.areas.correcting.click()
    sheet = sheet_of(window, AreaSheet)
    sheet.factor.entry.setText("1.2")
    sheet.do.click()
    settle(window)
    assert sheet.reason.refused
    sheet.reason.entry.setPlainText("two tins more than reckoned")
    sheet.do.click()
    settle(window)
    told = window.state.read(area_told)
    assert told.factor == 1.2
    assert "Corrected" in figures()
    assert f"{told.corrected.value:.1f}" in figures()
