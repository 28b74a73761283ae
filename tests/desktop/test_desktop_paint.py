"""*Paint* through the window: colours worn, seasons, coats and their air, what may go over."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QPushButton

sys.path.insert(0, str(Path(__file__).parent))
from dataclasses import replace

from seasonwindow import (  # noqa: F401
    built,
    enter,
    open_window,
    seasons,
    settle,
    texts,
    unnamed,
)
from sqlalchemy import select

from hulllog.desktop.layout import Caution
from hulllog.desktop.paint.swatch import SwatchRow
from hulllog.desktop.preferences import Look
from hulllog.desktop.sheets import Sheet
from hulllog.drawing import scene as drawing
from hulllog.drawing.scene import Path as Outline
from hulllog.insight.occasions import Edge
from hulllog.insight.paint import coats, threads
from hulllog.insight.paintwork import paint_works, products
from hulllog.records.logbook import Logbook
from hulllog.records.model import Product, ProductWindow
from hulllog.records.operations import coatings, vessel, visits
from hulllog.words.preference import prefer, preferred

BOTTOM = "bottom-aft-port"


@pytest.fixture
def window(open_window, seasons):  # noqa: F811
    return open_window(seasons.folder, "paint")


@pytest.fixture
def out_window(open_window, seasons):  # noqa: F811
    """The window while a haul-out is open: what is entered is no correction."""
    seasons.visits[2024] = enter(seasons.folder, visits.start_haul_out, begins="2024-04-14")
    return open_window(seasons.folder, "paint")


def sheet(window, name=""):
    found = [one for one in window.findChildren(Sheet) if one.isVisible()]
    assert found, "no sheet is open"
    return next(one for one in found if not name or one.objectName() == name)


def keep(window):
    sheet(window).do.click()
    settle(window)


def rows(window):
    found = window.page.season_card.findChildren(SwatchRow)
    return [one.accessibleName() for one in found if one.isVisible()]


def plain(text):
    return text.replace("\u202f", " ")


def put_on(window):
    return window.state.read(coats)


def fills(view):
    """Return zone code -> the colour in which it is drawn."""
    return {
        item.key.removeprefix("zone:"): item.style.fill
        for item in view.scene.items
        if isinstance(item, Outline) and item.key.startswith("zone:") and item.style.fill
    }


# What is worn


def test_every_zone_is_drawn_in_its_outermost_coat(window, seasons):  # noqa: F811
    drawn = fills(window.page.main)
    assert drawn[BOTTOM] == "#7a2b2b"
    assert drawn["topsides-port"] == "sheet"
    window.state.pick(Edge(seasons.visits[2023], "found"))
    settle(window)
    assert fills(window.page.main)[BOTTOM] == "#25407a"


def test_seasons_stand_there_with_litres_used_and_computed_and_fouling(window):
    told = [plain(one) for one in rows(window)]
    assert len(told) == 8
    assert "Tidewall 40" in told[0]
    assert "2 coats; 4.60 L used; computed" in told[0]
    assert "typical, not this product" in told[0]
    assert "Worn now" in told[0]
    single = next(one for one in told if "One coat" in one)
    assert "level 4 (much, of several kinds)" in single
    assert "one zone rated" in single


def test_the_litres_are_drawn_side_by_side_in_the_colours_worn(window):
    scene = window.page.bars.scene
    said = [text for key, text in scene.regions if key.startswith("season:")]
    assert len(said) == 8
    colours = {i.style.fill for i in scene.items if isinstance(i, Outline)}
    assert {"#7a2b2b", "#25407a"} <= colours


def test_each_paint_tells_its_fouling_with_n(window):
    (red, blue) = [
        plain(one.accessibleName()) for one in window.page.paint_card.findChildren(SwatchRow)
    ]
    assert "Rated 3 of 4 seasons" in red
    assert "level 4 (much, of several kinds) once" in blue


def test_a_season_opens_with_its_coats_their_air_and_workings(window):
    window.page.show_season(window.page.shown.seasons[-1])
    told = plain(" | ".join(texts(sheet(window, "paint/season"))))
    assert "dew point 8.6 °C; the hull is 3.4 °C above it" in told
    assert "At the next lift" not in told
    sheet(window).reject()


def test_the_sheet_of_a_paint_replaces_what_was_typical(window):
    window.page.show_product(window.page.shown.paints[0].product_id)
    asked = sheet(window, "paint/product")
    asked.entry.solids.entry.setText("140")
    keep(window)
    assert asked.entry.solids.refused
    asked.entry.solids.entry.setText("52")
    asked.entry.film.entry.setText("45")
    keep(window)
    told = plain(rows(window)[0])
    assert "by its sheet" in told
    assert "typical" not in told


# The section, and what may go over it


def test_a_zone_picked_on_the_drawing_shows_its_section(window):
    window.page.main.taken.emit("zone:keel-port-outboard")
    side = window.page.side
    assert side.head.text() == "Port keel, outboard"
    assert "Tidewall 40" in side.under.text()
    assert len([key for key, _ in side.section.regions]) == 8
    drawn = " ".join(i.text for i in side.section.scene.items if isinstance(i, drawing.Text))
    assert all(str(year) in drawn for year in range(2016, 2024))
    assert "typical of the kind" in drawn
    window.page.main.taken.emit("zone:topsides-port")
    assert side.under.text() == "no coat on record"


def test_what_a_new_coat_needs_is_said_with_reason_source_and_whose_word_leads(window):
    window.page.side.new.choose("hard_antifouling")
    settle(window)
    told = " | ".join(texts(window.page.side))
    assert "wash, sand and seal with a tie coat, then paint" in told
    assert "A hard film does not hold" in told
    assert "not checked against the text" in told
    assert "The data sheets of both products lead." in told
    assert "whether the old film holds" in told
    window.page.side.new.choose("silicone")
    settle(window)
    assert "take off down to primer" in " | ".join(texts(window.page.side))


def test_the_caution_about_biocides_stays(window):
    cautions = [one for one in window.page.side.findChildren(Caution) if one.isVisible()]
    assert any("biocides" in one.accessibleName() for one in cautions)


# Coats


def test_coats_of_a_known_paint_are_one_entry(out_window, qtbot):
    window = out_window
    before = len(put_on(window))
    qtbot.keyClick(window.page.main, "c")
    asked = sheet(window, "paint/coats")
    qtbot.waitUntil(asked.product.entry.hasFocus)
    qtbot.keyClicks(asked.product.entry, "tidewall 41")
    assert not asked.fresh.isVisible()
    asked.coats.entry.setText("2")
    asked.litres.entry.setText("4.4")
    asked.tool.choose("roller")
    keep(window)
    found = put_on(window)
    assert len(found) == before + 2
    assert [coat.litres for coat in found[-2:]] == [pytest.approx(2.2)] * 2
    assert found[-1].whole_bottom
    assert window.state.read(threads)[-1].colour == "blue"
    assert fills(window.page.main)[BOTTOM] == "#25407a"
    window.state.undo()
    settle(window)
    assert len(put_on(window)) == before


def test_a_new_name_unfolds_the_data_sheet_and_is_kept_with_its_coats(out_window):
    window = out_window
    window.page.enter_coats()
    asked = sheet(window)
    asked.product.type_text('Brackwater "Hard" & <b>Co</b>')
    assert asked.fresh.isVisible()
    asked.fresh.coating_class.choose("hard_antifouling")
    asked.fresh.colour.choose("black")
    asked.fresh.solids.entry.setText("55")
    asked.whole.choose("zones")
    assert asked.zones.isVisible()
    keep(window)
    last = put_on(window)[-1]
    assert last.product == 'Brackwater "Hard" & <b>Co</b>'
    assert (last.colour, last.colour_hex) == ("black", "#1d2124")
    assert (last.coating_class, last.volume_solids) == ("hard_antifouling", pytest.approx(55))
    assert not last.whole_bottom
    assert last.zone_ids == (window.page.picked,)


def test_kinds_of_coating_fit_what_the_paint_is(out_window):
    out_window.page.enter_coats()
    asked = sheet(out_window)
    asked.product.type_text("Grey Shore")
    asked.fresh.role.choose("primer")
    shown = [one.option.code for one in asked.fresh.coating_class.buttons if one.isVisible()]
    assert shown == ["epoxy_primer", "one_pack_primer", "zinc_rich_primer", "other", "unknown"]
    asked.fresh.role.choose("antifouling")
    shown = [one.option.code for one in asked.fresh.coating_class.buttons if one.isVisible()]
    assert "tin_copolymer" in shown
    asked.reject()


def test_the_air_is_told_as_it_is_typed_and_never_judged(out_window, seasons):  # noqa: F811
    out_window.state.run(
        lambda book: coatings.add_window(
            book, seasons.paints["red"], step="launch", temperature="10", shortest="16 h"
        )
    )
    settle(out_window)
    out_window.page.enter_coats()
    asked = sheet(out_window)
    asked.product.type_text("Tidewall 40")
    asked.air.air.entry.setText("20")
    asked.air.humidity.entry.setText("60")
    settle(out_window)
    told = plain(" | ".join(texts(asked.air)))
    assert "dew point 12.0 °C" in told
    assert "above it" not in told
    asked.air.hull.entry.setText("10")
    settle(out_window)
    told = plain(" | ".join(texts(asked.air)))
    assert "2.0 °C below it, water condenses" in told
    assert "ISO 12944-7" in told
    assert "after 16.0 h at least" in told
    assert not any(word in told.lower() for word in ("ok", "do not paint", "fail", "pass "))
    asked.air.humidity.entry.setText("")
    assert "dew point" not in " | ".join(texts(asked.air))
    asked.reject()


def test_what_cannot_be_is_refused_beside_its_field_and_nothing_is_stored(out_window):
    before = len(put_on(out_window))
    out_window.page.enter_coats()
    asked = sheet(out_window)
    keep(out_window)
    assert asked.product.refused
    asked.product.type_text("Tidewall 40")
    asked.at.entry.setText("2024-03-01")
    keep(out_window)
    assert asked.at.refused
    asked.at.entry.setText("2024-04-20")
    asked.litres.entry.setText("9000")
    keep(out_window)
    assert asked.litres.refused
    asked.reject()
    assert len(put_on(out_window)) == before
    out_window.page.enter_coats()
    assert sheet(out_window).litres.text() == "9000"
    sheet(out_window).reject()


def test_a_coat_is_corrected_and_taken_back(window):
    season = window.page.shown.seasons[-1]
    window.page.show_season(season)._correct(season.coats[0], "Coat 1")
    asked = sheet(window, "paint/coat")
    assert asked.litres.text() == "2.3"
    asked.litres.entry.setText("2.5")
    asked.do.click()
    settle(window)
    reason = sheet(window, "reason")
    reason.reason.entry.setPlainText("measured again")
    reason.do.click()
    settle(window)
    assert put_on(window)[-2].litres == pytest.approx(2.5)
    before = len(put_on(window))
    season = window.page.shown.seasons[-1]
    window.page.show_season(season)._correct(season.coats[1], "Coat 2")
    sheet(window, "paint/coat")._take_back()
    settle(window)
    reason = sheet(window, "reason")
    reason.reason.entry.setPlainText("entered twice")
    reason.do.click()
    settle(window)
    assert len(put_on(window)) == before - 1


# Taken off, treated


def test_what_was_taken_off_starts_the_section_anew(out_window, qtbot):
    window = out_window
    window.page.pick(BOTTOM)
    qtbot.keyClick(window.page.main, "r")
    asked = sheet(window, "paint/removal")
    assert any("Never sand" in one.accessibleName() for one in asked.findChildren(Caution))
    keep(window)
    assert asked.isVisible(), "down to what is wanted"
    asked.down_to.choose("gelcoat")
    asked.how.entry.setText("scraped")
    keep(window)
    assert window.page.shown.sections[window.page.picked].layers == ()
    assert any("down to the gelcoat" in text for text in texts(window.page.work_card))


def test_a_treatment_names_zones_contractor_and_warranty(out_window, qtbot):
    window = out_window
    qtbot.keyClick(window.page.main, "t")
    asked = sheet(window, "paint/treatment")
    asked.sort.choose("peeled")
    asked.contractor.entry.setText("Creek Composites")
    asked.warranty.entry.setText("2029-05")
    keep(window)
    (work,) = window.state.read(paint_works)
    assert (work.sort, work.by, work.warranty_until.text) == (
        "peeled", "Creek Composites", "2029-05",
    )  # fmt: skip
    assert any("warranty until" in text for text in texts(window.page.work_card))


# Reach


def test_figures_turn_the_views_and_the_drawing_is_large(window, qtbot):
    assert window.page.main.height() >= 480
    qtbot.keyClick(window.page.main, "3")
    assert window.page.view == "bottom"


@pytest.mark.parametrize("look", [Look.LIGHT, Look.DARK, Look.SUN])
def test_everything_that_the_keyboard_reaches_has_a_name(open_window, seasons, look):  # noqa: F811
    window = open_window(seasons.folder, "paint", look)
    assert unnamed(window.page) == []


def test_a_vessel_without_paint_says_so_and_asks_for_a_visit(open_window, tmp_path):  # noqa: F811
    with Logbook.create(tmp_path / "new") as logbook:
        vessel.create_vessel(
            logbook, name="New", kind="yacht", material="grp", keel="fin",
            length="9 m", beam="3 m", draught="1.5 m",
        )  # fmt: skip
    window = open_window(tmp_path / "new", "paint")
    assert "No antifouling is on record yet." in texts(window.page.season_card)
    assert not window.page.press("c")
    assert any("begin a haul-out" in text for text in texts(window.page.side))
    assert window.state.read(products) == []


def test_a_logbook_for_reading_dims_what_changes_it_and_says_why(open_window, seasons):  # noqa: F811
    window = open_window(seasons.folder, "paint", read_only=True)
    assert not window.page.press("c")
    assert any("reading only" in text for text in texts(window.page.side))


def test_keys_in_a_field_do_not_open_sheets(out_window, qtbot):
    out_window.page.enter_coats()
    asked = sheet(out_window)
    qtbot.waitUntil(asked.product.entry.hasFocus)
    qtbot.keyClicks(asked.product.entry, "crt")
    assert asked.product.text() == "crt"
    assert len([one for one in out_window.findChildren(Sheet) if one.isVisible()]) == 1
    qtbot.keyClick(asked.product.entry, Qt.Key.Key_Escape)
    asked.reject()


def test_two_edges_show_two_sections(window, seasons):  # noqa: F811
    window.state.compare(Edge(seasons.visits[2018], "left"))
    settle(window)
    side = window.page.side
    assert side.then.isVisible()
    assert len(side.then.regions) == 3
    assert "2018" in side.then_at.text()
    assert "against" in window.page.subtitle()
    window.state.compare(None)
    settle(window)
    assert not side.then.isVisible()


def test_the_door_of_a_warranty_leads_to_its_zone(open_window, seasons):  # noqa: F811
    zone = seasons.zones["bottom-middle-starboard"]
    visit = enter(seasons.folder, visits.start_haul_out, begins="2024-04-14")
    key = enter(seasons.folder, coatings.add_treatment, visit, sort="dried", zones=[zone])
    window = open_window(seasons.folder, "paint")
    window.page.go_to(key)
    assert window.page.picked == zone


# A data sheet that is pasted

PASTED = """Solids by volume: 52 %
Dry film thickness 60 microns
Theoretical coverage 8.7 m2/L
Temperature 10 °C 20 °C
Overcoating minimum 12 h 6 h
Pot life at 20 °C: 2 hours
Launch: minimum 24 hours, maximum 3 months"""


def rows_of(window):
    return window.state.read(
        lambda book: {
            (row.step, row.temperature.text): (row.shortest, row.longest)
            for row in book.scalars(select(ProductWindow))
        }
    )


def test_a_pasted_sheet_is_offered_line_by_line_and_taken_only_so(window, seasons):  # noqa: F811
    asked = window.page.show_product(seasons.paints["red"])
    asked.pasted.text.entry.setPlainText(PASTED)
    asked.pasted.reading.click()
    settle(window)
    told = " | ".join(texts(asked.pasted)).replace("\u202f", " ")
    assert "Passed over" in told.split("Pot life at 20")[1]
    assert "In the text: “Launch: minimum 24 hours, maximum 3 months”" in told
    assert "Volume solids 52" in told
    assert "“Dry film thickness 60 microns”" in told
    assert "pot life" in told
    assert rows_of(window) == {}
    assert asked.entry.solids.text() == ""
    takes = {
        one.accessibleName(): one
        for one in asked.pasted.findChildren(QPushButton)
        if one.accessibleName().startswith("Take it")
    }
    assert len(takes) == 5
    next(one for name, one in takes.items() if "solids" in name).click()
    next(one for name, one in takes.items() if "20" in name and "overcoating" in name).click()
    settle(window)
    assert {key: value[0].text for key, value in rows_of(window).items()} == {
        ("overcoat_self", "20"): "6"
    }
    assert asked.entry.solids.text() == "52"
    asked.do.click()
    settle(window)
    kept = window.state.read(lambda book: book.get(Product, seasons.paints["red"]))
    assert (kept.volume_solids.text, kept.film) == ("52", None)


def test_a_text_in_which_nothing_is_certain_says_so(window, seasons):  # noqa: F811
    asked = window.page.show_product(seasons.paints["red"])
    asked.pasted.text.entry.setPlainText("A fine paint for fine boats.")
    asked.pasted.reading.click()
    settle(window)
    assert any("Nothing in it could be read" in text for text in texts(asked.pasted))


def test_temperatures_stand_first_in_the_unit_that_the_owner_picked(window, seasons):  # noqa: F811
    before = preferred()
    assert window.page.show_product(seasons.paints["red"]).times.temperature.unit == "degC"
    prefer(replace(before, units="us"))
    try:
        times = window.page.show_product(seasons.paints["red"]).times
        assert times.temperature.unit == "degF"
        assert "degC" in times.temperature._units
    finally:
        prefer(before)
