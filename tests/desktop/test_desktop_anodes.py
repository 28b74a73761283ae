"""*Anodes* through the window: cards with workings, looks, new pieces, places on the drawing."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest
from PySide6.QtCore import QPointF, Qt
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

from hulllog.desktop.anodes.around import MethodsCard, PotentialCard
from hulllog.desktop.buttons import Door
from hulllog.desktop.layout import Caution
from hulllog.desktop.preferences import Look
from hulllog.desktop.sheets import Sheet
from hulllog.insight.anodes import positions
from hulllog.insight.occasions import Edge
from hulllog.records.logbook import Logbook
from hulllog.records.operations import afloat, anodes, vessel, visits

LONG = "Rudder, port cheek, " + "a very long name " * 5


@pytest.fixture
def window(open_window, seasons):  # noqa: F811
    return open_window(seasons.folder, "anodes")


@pytest.fixture
def out_window(open_window, seasons):  # noqa: F811
    """The window while a haul-out is open: what is entered is no correction."""
    enter(seasons.folder, visits.start_haul_out, begins="2024-04-14")
    return open_window(seasons.folder, "anodes")


def card(window):
    return window.page.cards[window.page.picked]


def said(window):
    doors = [one.accessibleName() for one in card(window).findChildren(Door) if one.isVisible()]
    return " | ".join([*texts(card(window)), *doors])


def sheet(window, name=""):
    found = [one for one in window.findChildren(Sheet) if one.isVisible()]
    assert found, "no sheet is open"
    return next(one for one in found if not name or one.objectName() == name)


def working(window, beginning):
    """Press the working whose name begins so, and return what its sheet says."""
    doors = card(window).findChildren(QPushButton)
    door = next(one for one in doors if one.accessibleName().startswith(beginning))
    door.click()
    told = " | ".join(texts(sheet(window)))
    sheet(window).reject()
    settle(window)
    return told


def stories(window):
    return window.state.read(lambda book: positions(book, window.state.as_at))


def keep(window):
    sheet(window).do.click()
    settle(window)


# What the card says


def test_the_card_says_wear_past_current_and_half_gone_each_with_its_working(window):
    story = stories(window)[0]
    told = said(window)
    assert "54 % of it a year immersed" in told.replace("\u202f", " ")
    assert "0.9 times the median of the 6 looks before" in told
    assert "zinc taken at 780" in told
    assert "expected" in told
    wear = working(window, "Working of Wear in a year immersed")
    assert "r = 100·Δc·365.25/t" in wear
    assert "Common practice" in wear
    assert "interval" in working(window, "Working of Immersed days").lower() or story.half_loss
    assert "Faraday" in working(window, "Working of Mean current")
    assert "median" in working(window, "Working of Wear against")


def test_the_season_with_shore_power_stands_there_with_its_cause(window, seasons):  # noqa: F811
    assert "shore power began" in said(window)
    window.state.pick(Edge(seasons.visits[2021], "found"))
    settle(window)
    told = said(window)
    assert "unusually fast for this place" in told
    assert "3.0 times" in told
    assert "shore power began" in told


def test_the_earth_stays_beside_shore_power_and_cannot_be_dismissed(window):
    (caution,) = [one for one in card(window).findChildren(Caution) if one.isVisible()]
    assert "protective earth" in caution.accessibleName()
    names = [one.accessibleName() for one in caution.findChildren(QPushButton)]
    assert not names
    caution.toggle()
    assert any("isolator" in text for text in texts(caution))


def test_the_metal_is_held_against_the_water_with_a_reason(window):
    told = said(window)
    assert "In brackish water, zinc: second choice." in told
    assert "anode suppliers on anodes by water" in told


def test_the_chart_draws_every_piece_and_goes_to_the_visit_of_a_look(window, seasons):  # noqa: F811
    from hulllog.desktop.anodes.card import AnodeChart

    chart = card(window).findChild(AnodeChart)
    assert chart.scene.described
    looks = [key for key, _ in chart.regions if key.startswith("visit:")]
    assert len(looks) == 7
    key = f"visit:{seasons.visits[2019]}:found"
    chart.picked.emit(key, Qt.KeyboardModifier.NoModifier)
    settle(window)
    assert window.state.edge == Edge(seasons.visits[2019], "found")
    assert "2019" in window.page.subtitle()


def test_all_looks_are_listed_when_asked_for(window):
    doors = [one for one in card(window).findChildren(QPushButton) if one.text().startswith("All")]
    assert doors[0].text() == "All 7 looks"
    before = len([one for one in card(window)._rest if one.isVisible()])
    doors[0].click()
    assert (before, len([one for one in card(window)._rest if one.isVisible()])) == (0, 4)


# A look


def test_a_look_by_weight_is_entered_by_keyboard(out_window, qtbot):
    window = out_window
    qtbot.keyClick(window.page.main, "l")
    asked = sheet(window, "anodes/look")
    qtbot.waitUntil(asked.mass.entry.hasFocus)
    qtbot.keyClicks(asked.mass.entry, "455")
    qtbot.keyClick(asked.mass.entry, Qt.Key.Key_Return, Qt.KeyboardModifier.ControlModifier)
    settle(window)
    assert not [one for one in window.findChildren(Sheet) if one.isVisible()]
    look = stories(window)[0].present.checks[-1]
    assert look.mass_kg == pytest.approx(0.455)
    assert "455" in said(window)


def test_a_look_by_eye_asks_for_a_share_and_keeps_the_rest(out_window, qtbot):
    window = out_window
    window.page.enter_look()
    asked = sheet(window)
    asked.way.choose("by_eye")
    assert not asked.mass.isVisible()
    assert asked.left.isVisible()
    keep(window)
    assert asked.isVisible(), "a look by eye without a share is refused"
    assert "Choose one" in " ".join(texts(asked))
    asked.left.press("3")
    asked.contact.choose("loose")
    asked.painted.choose("painted_over")
    asked.note.type_text('Paint in the "contact" <b>face</b>')
    keep(window)
    look = stories(window)[0].present.checks[-1]
    assert look.left == (0.4, 0.6)
    assert (look.contact, look.painted_over) == ("loose", True)
    assert "loose" in said(window)
    assert window.state.undo_text.startswith("check the anode")
    window.state.undo()
    settle(window)
    assert stories(window)[0].present.checks == ()


def test_a_look_heavier_than_new_is_refused_beside_its_field_and_kept_as_typed(out_window):
    window = out_window
    window.page.enter_look()
    asked = sheet(window)
    asked.mass.entry.setText("6400")
    keep(window)
    assert asked.isVisible()
    assert asked.mass.refused
    assert "620" in asked.mass.sentence
    asked.reject()
    settle(window)
    assert stories(window)[0].present.checks == ()
    window.page.enter_look()
    assert sheet(window).mass.text() == "6400"


def test_a_look_is_corrected_with_a_reason_on_a_closed_haul_out(window):
    doors = card(window)
    piece = window.page.story.pieces[-2]
    window.page._correct(piece, piece.checks[0])
    asked = sheet(window, "anodes/look")
    assert asked.mass.text() == "472"
    asked.mass.entry.setText("470")
    asked.do.click()
    settle(window)
    reason = sheet(window, "reason")
    reason.reason.entry.setPlainText("misread the scale")
    reason.do.click()
    settle(window)
    assert stories(window)[0].pieces[-2].checks[0].mass_kg == pytest.approx(0.470)
    assert doors is not card(window)


def test_without_a_visit_a_look_says_what_it_needs(open_window, tmp_path):  # noqa: F811
    with Logbook.create(tmp_path / "new") as logbook:
        vessel.create_vessel(
            logbook, name="New", kind="yacht", material="grp", keel="fin",
            length="9 m", beam="3 m", draught="1.5 m",
        )  # fmt: skip
        position = anodes.add_position(logbook, name="Shaft")
        anodes.fit_piece(logbook, position, fitted="2024-01")
    window = open_window(tmp_path / "new", "anodes")
    window.page.enter_look()
    assert "begin a haul-out" in window.status


# A new piece


def test_a_new_anode_takes_the_old_one_off(out_window, qtbot):
    window = out_window
    before = stories(window)[0].present.piece_id
    qtbot.keyClick(window.page.main, "n")
    asked = sheet(window, "anodes/fit")
    assert asked.metal.value == "zinc"
    asked.metal.choose("aluminium")
    assert "aluminium: first choice" in asked.suits.text()
    asked.mass_new.entry.setText("310")
    asked.insert.entry.setText("400")
    keep(window)
    assert asked.insert.refused
    asked.insert.entry.setText("20")
    keep(window)
    story = stories(window)[0]
    assert story.present.piece_id != before
    assert (story.present.metal, story.present.mass_new_kg) == ("aluminium", pytest.approx(0.31))
    assert story.pieces[-2].removed is not None


def test_an_anode_fitted_on_a_date_belongs_to_no_visit(out_window):
    out_window.page.fit()
    asked = sheet(out_window)
    asked.fitted.entry.setText("03/04/2024")
    asked.fitted.commit()
    assert asked.fitted.refused
    asked.fitted.type_text("2024-04")
    keep(out_window)
    present = stories(out_window)[0].present
    assert (present.fitted.text, present.fitted_visit_id) == ("2024-04", None)


def test_an_anode_can_come_off_for_good(out_window, qtbot):
    qtbot.keyClick(out_window.page.main, "o")
    sheet(out_window, "anodes/take_off").removed.type_text("2024-02")
    keep(out_window)
    assert stories(out_window)[0].present is None
    assert "No anode is fitted here now." in card(out_window).head.accessibleName()


def test_a_piece_is_fitted_at_another_place_by_a_key_and_says_whence(open_window, seasons, qtbot):  # noqa: F811
    enter(seasons.folder, visits.start_haul_out, begins="2024-04-14")
    enter(seasons.folder, anodes.add_position, name="Saildrive")
    window = open_window(seasons.folder, "anodes")
    there, here = stories(window)
    window.page.pick(here.position_id)
    settle(window)
    qtbot.keyClick(window.page.main, "m")
    keep(window)
    assert stories(window)[0].present is None
    assert stories(window)[1].present.moved.piece_id == there.present.piece_id
    assert f"moved here from {there.name}" in card(window).head.accessibleName()


# A position and its place


def aft(window):
    """Return a place of the widget on the hull, a third from the stern."""
    box = window.page.main.area_of("zone:bottom-aft-port")
    return box.center()


def test_a_position_is_added_and_placed_by_a_press(window, qtbot):
    qtbot.keyClick(window.page.main, "a")
    asked = sheet(window, "anodes/position")
    qtbot.keyClicks(asked.name.entry, LONG[:115])
    asked.protects.choose("rudder")
    keep(window)
    view = window.page.main
    assert view.carrying
    assert "Press where" in window.status
    at = aft(window).toPoint()
    qtbot.mousePress(view, Qt.MouseButton.LeftButton, pos=at)
    qtbot.mouseRelease(view, Qt.MouseButton.LeftButton, pos=at)
    settle(window)
    found = next(one for one in stories(window) if one.name.startswith("Rudder"))
    assert (found.place.part, found.place.face) == ("hull", "port")
    assert found.protects == ("rudder",)
    assert view.index_of(f"anode:{found.position_id}") >= 0
    assert LONG[:115].strip() in card(window).head.accessibleName()


def test_a_press_beside_her_asks_again(window):
    window.page.place()
    view = window.page.main
    view._carried.at = view.to_scene(QPointF(4, 4))
    view.drop()
    assert view.carrying
    assert "beside her" in window.status
    view.give_up()


def test_a_mark_is_moved_by_keyboard(window, qtbot, seasons):  # noqa: F811
    view = window.page.main
    key = f"anode:{seasons.shaft}"
    before = stories(window)[0].place
    view.setFocus()
    view.go_to(key)
    alt = Qt.KeyboardModifier.AltModifier
    qtbot.keyClick(view, Qt.Key.Key_Left, alt)
    assert view.carrying
    for _ in range(3):
        qtbot.keyClick(view, Qt.Key.Key_Left)
    qtbot.keyClick(view, Qt.Key.Key_Return)
    settle(window)
    after = stories(window)[0].place
    assert after.u < before.u


def test_a_press_on_a_mark_picks_its_card(window):
    window.state.run(
        lambda book: anodes.add_position(
            book, name="Bow", place={"part": "hull", "face": "port", "u": 0.2, "v": 0.6}
        )
    )
    settle(window)
    other = next(one for one in stories(window) if one.name == "Bow")
    window.page.main.taken.emit(f"anode:{other.position_id}")
    assert window.page.picked == other.position_id
    assert "Bow" in card(window).accessibleName()
    assert window.page.main.marked == frozenset({f"anode:{other.position_id}"})


def test_an_anode_on_the_far_side_turns_the_drawing(window):
    window.state.run(
        lambda book: anodes.add_position(
            book, name="Far", place={"part": "hull", "face": "starboard", "u": 0.5, "v": 0.5}
        )
    )
    settle(window)
    other = next(one for one in stories(window) if one.name == "Far")
    window.page.go_to(other.position_id)
    assert window.page.view == "starboard"


def test_name_and_parts_are_changed_as_one_entry(window, qtbot):
    qtbot.keyClick(window.page.main, "e")
    asked = sheet(window, "anodes/position")
    asked.name.entry.setText("Shaft, aft")
    asked.protects.choose("rudder")
    keep(window)
    story = stories(window)[0]
    assert (story.name, "rudder" in story.protects) == ("Shaft, aft", True)
    window.state.undo()
    settle(window)
    assert stories(window)[0].name == "Shaft"


# Reach


def test_figures_turn_the_views(window, qtbot):
    qtbot.keyClick(window.page.main, "4")
    assert window.page.view == "expansion"
    assert "expansion" in window.page.main.accessibleName().lower()


def test_nothing_on_record_offers_one_thing_to_do(open_window, tmp_path, qtbot):  # noqa: F811
    with Logbook.create(tmp_path / "new") as logbook:
        vessel.create_vessel(
            logbook, name="New", kind="yacht", material="grp", keel="fin",
            length="9 m", beam="3 m", draught="1.5 m",
        )  # fmt: skip
    window = open_window(tmp_path / "new", "anodes")
    assert window.page.cards == {}
    window.page.adding.setFocus()
    qtbot.keyClick(window.page.adding, Qt.Key.Key_Return)
    asked = sheet(window, "anodes/position")
    assert asked.isVisible()
    asked.name.entry.setText("Shaft")
    keep(window)
    assert len(window.page.cards) == 1
    assert window.page.isAncestorOf(window.focusWidget())


@pytest.mark.parametrize("look", [Look.LIGHT, Look.DARK, Look.SUN])
def test_everything_that_the_keyboard_reaches_has_a_name(open_window, seasons, look):  # noqa: F811
    window = open_window(seasons.folder, "anodes", look)
    assert unnamed(window.page) == []


def test_a_logbook_for_reading_dims_what_changes_it_and_says_why(open_window, seasons):  # noqa: F811
    window = open_window(seasons.folder, "anodes", read_only=True)
    assert not window.page.adding.isEnabled()
    assert not window.page.press("l")
    assert not window.page.press("a")
    assert any("reading only" in text for text in texts(card(window)))
    assert not window.page._may_move("anode:x")


def test_the_drawing_is_large(window):
    assert window.page.main.height() >= 480


def test_two_edges_show_what_was_left_at_both(window, seasons):  # noqa: F811
    window.state.compare(Edge(seasons.visits[2021], "found"))
    settle(window)
    told = said(window).replace("\u202f", " ")
    assert "14 Apr 2021, as found" in told
    assert "19 % left" in told
    assert "against" in window.page.subtitle()


def test_limit_and_mirror_of_a_position_are_asked_for_and_said_on_its_card(out_window):
    window = out_window
    first = window.page.picked
    window.page.edit(anodes.add_position, name="Shaft starboard")
    settle(window)
    window.page.pick(first)
    window.page.edit_position()
    asked = sheet(window, "anodes/position")
    assert asked.mirror.isVisible()
    asked.mirror.show_value(asked.mirror.buttons[1].option.code)
    asked.limit.entry.setText("60 %")
    keep(window)
    assert sheet(window, "anodes/position").isVisible(), "who set it was not asked for"
    asked.limit_by.entry.setText("The owner")
    keep(window)
    told = said(window).replace("\u202f", " ")
    assert "At the limit" in told
    assert "60 % gone, the limit set by The owner" in told
    assert "Half gone" not in told
    assert "Shaft starboard" in told


def test_a_new_anode_is_to_be_weighed_before_it_is_fitted(out_window):
    out_window.page.fit()
    assert any("before fitting" in text for text in texts(sheet(out_window, "anodes/fit")))


def test_the_card_follows_a_limit_that_alone_was_changed(out_window):
    about = {"limit": "40 %", "limit_by": "The yard"}
    out_window.page.edit(anodes.edit_position, out_window.page.picked, **about)
    settle(out_window)
    assert "limit set by The yard" in said(out_window)


# The whole hull


def test_potentials_are_drawn_and_their_ranges_quoted(open_window, seasons):  # noqa: F811
    about = {"electrode": "ag_agcl", "shore_power": "none"}
    for day, value in (("2022-07-01", "-610 mV"), ("2023-07-01", "-1180 mV")):
        enter(
            seasons.folder, afloat.look_afloat, kind="diver", begins=day, potential=value,
            conditions=about,
        )  # fmt: skip
    window = open_window(seasons.folder, "anodes")
    window.state.pick(None)
    settle(window)
    card = window.page.findChild(PotentialCard)
    told = " | ".join(texts(card)).replace("\u2212", "-")
    assert "more negative than the range" in told
    assert "ABYC E-2 2009" in told
    assert len([key for key, _ in card.chart.regions if key.startswith("visit:")]) == 2


def test_two_methods_are_worked_out_for_typed_figures_and_both_are_shown(out_window):
    def told():
        found = out_window.page.findChildren(MethodsCard)
        return " | ".join(texts(next(one for one in found if one.isVisible())))

    assert "Needs the area" in told()
    out_window.page.ask_methods()
    asked = sheet(out_window, "anodes/methods/figures")
    asked.do.click()
    assert asked.isVisible(), "an area is wanted"
    asked.area.entry.setText("0.2")
    keep(out_window)
    for word in ("Offshore rule", "Ship rule", "Spread", "times apart"):
        assert word in told()
