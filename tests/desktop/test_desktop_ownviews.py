"""The owner's own drawing as a view, by what a person does with it."""

from __future__ import annotations

import shutil
import sys
import threading
from pathlib import Path

import pytest
from PySide6.QtCore import QMimeData, QPointF, Qt, QUrl
from PySide6.QtGui import QDropEvent
from PySide6.QtWidgets import QDialog, QPushButton, QWidget

sys.path.insert(0, str(Path(__file__).parent))
from ketchbook import built, nameless, on_ketch, settle, sheet_of, texts  # noqa: F401
from ownbook import AFT as AFT_AT
from ownbook import FORE as FORE_AT
from ownbook import draw_boat, odd_boat

from hulllog.desktop.findings.row import ZonePicture
from hulllog.desktop.photos.pins import PinBoard
from hulllog.drawing.scene import Image
from hulllog.drawing.scene import Path as DrawnPath
from hulllog.insight.occasions import Edge
from hulllog.insight.occasions import visits as all_visits
from hulllog.records import media
from hulllog.records.logbook import Logbook, Surroundings
from hulllog.records.media import add_own_view, import_photos, small_copy
from hulllog.records.model import (
    AnodePosition,
    Gear,
    OwnOutline,
    OwnView,
    PhotoPlace,
    Spot,
    Visit,
    Zone,
)
from hulllog.records.operations import anodes, around, coatings, matters, ownviews, queries

LEFT = Qt.MouseButton.LeftButton
FORE = "zone:own-below-1"


@pytest.fixture
def odd(on_ketch, tmp_path):  # noqa: F811
    def show(page, **how):
        return on_ketch(page, folder=odd_boat(tmp_path, **how))

    return show


def kept(window, model):
    return window.state.read(lambda book: list(queries.kept(book, model)))


def test_hull_shows_the_owners_picture_with_the_zones_graded(odd):
    window = odd("hull")
    main = window.page.main
    assert any(isinstance(item, Image) for item in main.scene.items)
    said = dict(main.regions)
    assert "6" in said[FORE]
    assert window.page.views() == (f"own:{kept(window, OwnView)[0].id}",)
    assert not nameless(window)


def test_a_click_on_the_picture_is_a_place_on_it_alone(odd, qtbot):
    window = odd("hull")
    page = window.page
    page.carry("")
    at = page.main.area_of(FORE).center()
    qtbot.mouseMove(page.main, at.toPoint())
    qtbot.mouseClick(page.main, LEFT, pos=at.toPoint())
    settle(window)
    sheet = sheet_of(window, "follow")
    sheet.label.entry.setText("gouge")
    sheet.do.click()
    settle(window)
    [spot] = kept(window, Spot)
    zones = {zone.id: zone.code for zone in kept(window, Zone)}
    assert (spot.place.part, zones[spot.zone_id]) == (page.view, "own-below-1")
    back = page.main.area_of("spot:1").center()
    ring = page.main.key_at(QPointF(back))
    assert ring == "spot:1"


def test_a_picture_whose_file_is_awaited_still_shows_its_zones(odd, tmp_path):
    window = odd("hull")
    for file in (window.state.logbook.folder / "photos").glob("*.png"):
        file.unlink()
    shutil.rmtree(tmp_path / "cache")
    window.page.update_now()
    settle(window)
    assert FORE in dict(window.page.main.regions)
    assert not any(isinstance(item, Image) for item in window.page.main.scene.items)


# Taking a picture in, its scale, its zones


def begin(window, qtbot, file):
    """Take a picture in on the page Boat and return the sheet to draw on it."""
    page = window.page
    page.use_own(file)
    settle(window)
    asked = sheet_of(window, "new-own-view")
    asked.do.click()
    settle(window)
    return sheet_of(window, "own-view")


def press_at(qtbot, tracer, *points):
    for point in points:
        qtbot.mouseClick(tracer, LEFT, pos=tracer.at(point).toPoint())


def keys(qtbot, widget, *pressed):
    for one in pressed:
        qtbot.keyClick(widget, one)


@pytest.fixture
def drawing(on_ketch, tmp_path, qtbot):  # noqa: F811
    """The sheet of a view that was just taken in, on a ketch that has a form."""
    window = on_ketch("boat", years=2)
    sheet = begin(window, qtbot, draw_boat(tmp_path / "Profile of 1984.png"))
    return window, sheet


def test_a_picture_is_taken_in_under_the_name_of_its_file(drawing):
    window, sheet = drawing
    [view] = kept(window, OwnView)
    assert (view.name, view.shows) == ("Profile of 1984", "port")
    assert sheet.view.key == f"own:{view.id}"
    assert not nameless(sheet)


def test_what_is_no_picture_is_refused_in_the_sheet(on_ketch, tmp_path):  # noqa: F811
    window = on_ketch("boat", years=2)
    text = tmp_path / "notes.jpg"
    text.write_text("no picture")
    window.page.use_own(text)
    asked = sheet_of(window, "new-own-view")
    asked.do.click()
    settle(window)
    assert asked.isVisible()
    assert kept(window, OwnView) == []
    assert any("picture" in said for said in texts(asked))
    asked.reject()


def test_two_presses_and_a_length_set_the_scale(drawing, qtbot):
    window, sheet = drawing
    sheet.set_scale.click()
    settle(window)
    press_at(qtbot, sheet.tracer, (0.07, 0.33), (0.93, 0.33))
    assert sheet.length.entry.hasFocus()
    qtbot.keyClicks(sheet.length.entry, "7,2")
    qtbot.keyClick(sheet.length.entry, Qt.Key.Key_Return)
    settle(window)
    [view] = kept(window, OwnView)
    assert view.scale_length.si == 7.2
    assert view.scale_marks[0] == pytest.approx([0.07, 0.33], abs=0.004)
    assert sheet.tracer.mode == ""
    assert any("7.2" in said for said in texts(sheet))


def test_a_scale_without_a_length_is_refused_beside_its_field(drawing, qtbot):
    window, sheet = drawing
    sheet.set_scale.click()
    press_at(qtbot, sheet.tracer, (0.1, 0.3), (0.9, 0.3))
    sheet.keep_scale.click()
    settle(window)
    assert sheet.length.refused
    assert sheet.tracer.mode == "marks"


def test_a_zone_is_drawn_by_presses_and_named(drawing, qtbot):
    window, sheet = drawing
    sheet.draw_zone.click()
    settle(window)
    corners = [(0.1, 0.4), (0.5, 0.4), (0.5, 0.7), (0.15, 0.7)]
    press_at(qtbot, sheet.tracer, *corners, (0.9, 0.9))
    keys(qtbot, sheet.tracer, Qt.Key.Key_Backspace, Qt.Key.Key_Return)
    settle(window)
    qtbot.keyClicks(sheet.zone_name.entry, "Sponson")
    qtbot.keyClick(sheet.zone_name.entry, Qt.Key.Key_Return)
    settle(window)
    [outline] = kept(window, OwnOutline)
    assert [tuple(point) for point in outline.points] == [
        pytest.approx(point, abs=0.004) for point in corners
    ]
    assert kept(window, Zone)[-1].name == "Sponson"
    assert "zone:own-below-1" in dict(sheet.tracer.regions)
    sheet.reject()
    settle(window)
    window.state.undo()
    settle(window)
    assert kept(window, OwnOutline) == []


def test_a_zone_is_drawn_by_keyboard_alone(drawing, qtbot):
    window, sheet = drawing
    sheet.draw_zone.click()
    tracer = sheet.tracer
    right, down, left = Qt.Key.Key_Right, Qt.Key.Key_Down, Qt.Key.Key_Left
    space = Qt.Key.Key_Space
    keys(qtbot, tracer, space, *[right] * 8, space, *[down] * 8, space, *[left] * 8, space)
    assert len(tracer.points) == 4
    keys(qtbot, tracer, Qt.Key.Key_Backspace, space, Qt.Key.Key_Return)
    settle(window)
    qtbot.keyClicks(sheet.zone_name.entry, "By keys")
    sheet.below.choose("above")
    sheet.keep_zone.click()
    settle(window)
    assert kept(window, Zone)[-1].code == "own-above-1"


def test_an_outline_that_crosses_itself_is_told_and_can_be_mended(drawing, qtbot):
    _window, sheet = drawing
    sheet.draw_zone.click()
    press_at(qtbot, sheet.tracer, (0.1, 0.4), (0.5, 0.7), (0.5, 0.4), (0.1, 0.7))
    keys(qtbot, sheet.tracer, Qt.Key.Key_Return)
    assert any("crosses itself" in said for said in texts(sheet))
    keys(qtbot, sheet.tracer, Qt.Key.Key_Backspace, Qt.Key.Key_Return)
    assert sheet.zone_name.isVisible()


def test_a_press_on_the_first_corner_closes(drawing, qtbot):
    _window, sheet = drawing
    sheet.draw_zone.click()
    press_at(qtbot, sheet.tracer, (0.1, 0.4), (0.5, 0.4), (0.5, 0.7), (0.1, 0.4))
    assert sheet.zone_name.isVisible()


def test_a_zone_of_her_form_gets_its_outline(drawing, qtbot):
    window, sheet = drawing
    zone = kept(window, Zone)[0]
    sheet.draw_zone.click()
    press_at(qtbot, sheet.tracer, (0.1, 0.4), (0.5, 0.4), (0.5, 0.7))
    keys(qtbot, sheet.tracer, Qt.Key.Key_Return)
    sheet.belong_to(zone.id)
    sheet.keep_zone.click()
    settle(window)
    assert [shape.code for shape in sheet.view.shapes] == [zone.code]
    assert len(kept(window, OwnOutline)) == 1


def test_corners_are_dragged_and_carried_by_keys(odd, qtbot):
    window = odd("boat")
    window.page.lists.open(f"own_view:{kept(window, OwnView)[0].id}")
    sheet = sheet_of(window, "own-view")
    settle(window)
    tracer = sheet.tracer
    before = sheet.view.shapes[0].points
    press_at(qtbot, tracer, (0.3, 0.55))
    assert tracer.mode == "move"
    start, end = tracer.at(before[0]).toPoint(), tracer.at((0.12, 0.45)).toPoint()
    qtbot.mousePress(tracer, LEFT, pos=start)
    qtbot.mouseMove(tracer, end)
    qtbot.mouseRelease(tracer, LEFT, pos=end)
    keys(qtbot, tracer, Qt.Key.Key_Space, Qt.Key.Key_Right, Qt.Key.Key_Space)
    sheet.keep_corners.click()
    settle(window)
    after = sheet.view.shapes[0].points
    assert after[0] == pytest.approx((0.12, 0.45), abs=0.005)
    moved = [n for n in range(1, 4) if after[n] != pytest.approx(before[n], abs=1e-6)]
    assert len(moved) == 1


def test_esc_gives_the_drawing_up_and_leaves_the_sheet(drawing, qtbot):
    window, sheet = drawing
    sheet.draw_zone.click()
    press_at(qtbot, sheet.tracer, (0.1, 0.4))
    keys(qtbot, sheet.tracer, Qt.Key.Key_Escape)
    assert sheet.isVisible()
    assert sheet.tracer.mode == ""
    assert kept(window, OwnOutline) == []


def test_a_view_is_renamed_and_withdrawn(odd):
    window = odd("boat")
    window.page.lists.open(f"own_view:{kept(window, OwnView)[0].id}")
    sheet = sheet_of(window, "own-view")
    sheet.name.type_text("Port side, from the lines plan")
    settle(window)
    assert kept(window, OwnView)[0].name == "Port side, from the lines plan"
    sheet.withdraw.click()
    settle(window)
    assert window.findChild(QDialog, "own-view") is None
    assert kept(window, OwnView) == []
    window.state.undo()
    settle(window)
    assert len(kept(window, OwnView)) == 1


def test_boat_shows_the_picture_of_a_boat_without_a_form(odd):
    window = odd("boat")
    page = window.page
    assert dict(page.main.regions) == {
        "zone:own-below-1": "1. Fore body", "zone:own-below-2": "2. After body"
    }  # fmt: skip
    assert not page.folds["measures"].isVisible()


def test_the_walk_shows_the_zone_on_the_owners_picture(odd, qtbot):
    from hulllog.desktop.haul_out.walkpicture import WalkPicture

    window = odd("haul_out", walked=False)
    window.page.show_section("walk")
    settle(window)
    walk = window.page._sections["walk"]
    qtbot.keyClick(walk, Qt.Key.Key_Return)
    settle(window)
    picture = window.findChild(WalkPicture)
    if not picture.isVisible():
        pytest.fail("the walk has not begun: " + "; ".join(texts(window.page))[:400])
    assert any(isinstance(item, Image) for item in picture.view.scene.items)
    assert FORE in dict(picture.view.regions)


def test_outlines_are_drawn_by_buttons_too(drawing, qtbot):
    _window, sheet = drawing
    sheet.draw_zone.click()
    assert not sheet.close_it.isEnabled()
    press_at(qtbot, sheet.tracer, (0.1, 0.4), (0.5, 0.4), (0.5, 0.7), (0.3, 0.9))
    sheet.take_back.click()
    assert len(sheet.tracer.points) == 3
    sheet.close_it.click()
    assert sheet.zone_name.isVisible()


def test_a_new_boat_can_be_drawn_by_her_owner(on_ketch, tmp_path):  # noqa: F811
    from hulllog.desktop.newvessel import NewVessel

    window = on_ketch("today", years=2)
    window.state.preferences.shelf = tmp_path / "shelf"
    asked = NewVessel(window).ask()
    asked.questions.name.type_text("Odd Duck")
    asked.questions.drawn_by.choose("own")
    assert not asked.questions.keel.isVisible()
    assert not asked.questions.measures["length"].isVisible()
    asked.do.click()
    settle(window)
    assert window.state.logbook.folder == tmp_path / "shelf" / "odd-duck"
    assert kept(window, Zone) == []
    for page in ("boat", "hull", "today", "anodes", "paint", "gear", "findings", "plan", "papers"):
        window.show_page(page)
        settle(window)
    window.show_page("boat")
    assert any("drawing or photograph" in said for said in texts(window.page))


def test_a_boat_without_a_form_is_read_on_every_page(odd):
    window = odd("today")
    for page in ("boat", "hull", "haul_out", "anodes", "paint", "gear", "findings", "plan"):
        window.show_page(page)
        settle(window)
        assert window.page.isVisible()


# On a boat that has a form


@pytest.fixture
def both(built, tmp_path, on_ketch):  # noqa: F811
    """A ketch with a form, a zone of hers and one of its own on a picture."""
    folder = built(tmp_path / "both", years=3)
    around = Surroundings(state_folder=tmp_path / "state", cache_folder=tmp_path / "cache")
    with Logbook.open(folder, around) as logbook:
        file = draw_boat(tmp_path / "side.png")
        view = add_own_view(logbook, file, name="Photograph of her side", shows="port")
        with logbook.read() as book:
            zones = {zone.code: zone.id for zone, _ in queries.zones_at(book)}
        ownviews.draw_zone(logbook, view, FORE_AT, zone_id=zones["bottom-aft-port"])
        ownviews.draw_zone(logbook, view, AFT_AT, name="Sponson")
    return lambda page: (on_ketch(page, folder=folder), f"own:{view}")


def test_an_own_view_is_the_sixth_thumbnail_and_has_its_key(both, qtbot):
    window, own = both("hull")
    page = window.page
    assert page.views() == ("port", "starboard", "bottom", "expansion", "stern", own)
    keys(qtbot, page.main, Qt.Key.Key_6)
    settle(window)
    assert page.view == own
    assert [key for key, _ in page.main.regions if key.startswith("zone:")] == [
        "zone:bottom-aft-port", "zone:own-below-1"
    ]  # fmt: skip
    keys(qtbot, page.main, Qt.Key.Key_1)
    settle(window)
    assert page.view == "port"


def test_a_zone_that_only_an_own_view_shows_turns_to_it(both):
    window, own = both("hull")
    window.page.pick("zone:own-below-1")
    settle(window)
    assert window.page.view == own


def test_two_edges_are_compared_on_an_own_view(both):
    window, own = both("hull")
    found = window.state.read(all_visits)
    window.state.pick(Edge(found[-1].id, "found"))
    window.state.compare(Edge(found[0].id, "found"))
    settle(window)
    page = window.page
    page.show_view(own)
    settle(window)
    assert "zone:bottom-aft-port" in dict(page.main.regions)
    page._choose_mode("beside")
    settle(window)
    assert any(isinstance(item, Image) for item in page.other.scene.items)


def test_a_spot_of_her_form_moves_to_the_picture_and_no_page_minds(both, qtbot):
    window, own = both("hull")
    page = window.page
    page.show_view(own)
    page.carry("spot:1")
    at = page.main.area_of("zone:own-below-1").center().toPoint()
    qtbot.mouseMove(page.main, at)
    qtbot.mouseClick(page.main, LEFT, pos=at)
    settle(window)
    spot = next(one for one in kept(window, Spot) if one.number == 1)
    assert spot.place.part == own
    assert "spot:1" in dict(page.main.regions)
    page.show_view("port")
    settle(window)
    assert "spot:1" not in dict(page.main.regions)
    for name in ("today", "haul_out", "anodes", "paint", "gear", "findings", "papers", "boat"):
        window.show_page(name)
        settle(window)
        assert window.page.isVisible()


def test_boat_lists_the_zone_drawn_by_hand_without_an_area_while_it_has_no_scale(both):
    window, _own = both("boat")
    assert "zone:own-below-1" in window.page.lists.doors
    assert window.page.told.own_zones[0].area is None


def test_hull_leads_from_nothing_drawn_to_a_picture(on_ketch, tmp_path):  # noqa: F811
    around = Surroundings(state_folder=tmp_path / "state", cache_folder=tmp_path / "cache")
    with Logbook.create(tmp_path / "bare", around) as logbook:
        ownviews.create_vessel_without_form(logbook, name="Bare", kind="small", material="wood")
    window = on_ketch("hull", folder=tmp_path / "bare")
    window.page._empty.findChild(QPushButton).click()
    settle(window)
    sheet_of(window, "new-own-view").reject()


def test_a_picture_that_is_dropped_on_boat_is_asked_about(odd, tmp_path):
    window = odd("boat")
    data = QMimeData()
    data.setUrls([QUrl.fromLocalFile(str(draw_boat(tmp_path / "Stern in 2019.png")))])
    window.page.dropEvent(
        QDropEvent(
            QPointF(5, 5), Qt.DropAction.CopyAction, data, Qt.MouseButton.LeftButton,
            Qt.KeyboardModifier.NoModifier,
        )
    )  # fmt: skip
    asked = sheet_of(window, "new-own-view")
    assert asked.name.typed() == "Stern in 2019"
    asked.shows.choose("stern")
    asked.do.click()
    settle(window)
    assert sorted(view.shows for view in kept(window, OwnView)) == ["port", "stern"]
    sheet_of(window, "own-view").reject()


def test_a_logbook_that_is_only_read_shows_its_views_and_takes_nothing(
    on_ketch,  # noqa: F811
    tmp_path,
    qtbot,
):
    window = on_ketch("boat", folder=odd_boat(tmp_path), read_only=True)
    window.page.lists.open(f"own_view:{kept(window, OwnView)[0].id}")
    sheet = sheet_of(window, "own-view")
    settle(window)
    assert not sheet.draw_zone.isEnabled()
    assert not sheet.set_scale.isEnabled()
    assert sheet.name.entry.isReadOnly()
    press_at(qtbot, sheet.tracer, (0.3, 0.55))
    sheet.findChild(QWidget, "own/own-below-1").click()
    assert sheet.tracer.mode == ""
    sheet.reject()


def test_a_finding_in_a_zone_drawn_by_hand_is_shown_on_the_picture(on_ketch, tmp_path):  # noqa: F811
    folder = odd_boat(tmp_path)
    around = Surroundings(state_folder=tmp_path / "state", cache_folder=tmp_path / "cache")
    with Logbook.open(folder, around) as logbook:
        with logbook.read() as book:
            fore = queries.zones_at(book)[0][0].id
        matters.raise_finding(
            logbook, title="Soft plank", sort="other", must="watch", severity="slight",
            zones=[fore],
        )  # fmt: skip
    window = on_ketch("findings", folder=folder)
    [picture] = [one for one in window.findChildren(ZonePicture) if one.isVisible()]
    assert any(isinstance(item, Image) for item in picture.scene.items)
    assert FORE in dict(picture.scene.regions)


# The other pages that have a drawing


def test_a_fitting_and_an_anode_are_placed_on_the_picture_by_keys(odd, qtbot):
    window = odd("gear")
    logbook = window.state.logbook
    around.add_gear(logbook, sort="seacock", name="Sink drain")
    anodes.add_position(logbook, name="Rudder")
    for name, model in (("gear", Gear), ("anodes", AnodePosition)):
        window.show_page(name)
        window.page.update_now()
        settle(window)
        assert window.page.views() == (f"own:{kept(window, OwnView)[0].id}",)
        assert window.page.main.isVisible()
        assert any(isinstance(item, Image) for item in window.page.main.scene.items)
        [thing] = kept(window, model)
        window.page.pick(thing.id)
        assert window.page.press("p")
        qtbot.keyClick(window.page.main, Qt.Key.Key_Return)
        settle(window)
        [thing] = kept(window, model)
        assert thing.place.part == window.page.view
        assert f"{window.page.mark}:{thing.id}" in dict(window.page.main.regions)
        assert not nameless(window)


def test_paint_shows_the_picture_with_each_zone_in_its_colour(odd):
    window = odd("paint")
    logbook = window.state.logbook
    [visit] = kept(window, Visit)
    fore = next(zone for zone in kept(window, Zone) if zone.code == "own-below-1")
    product = coatings.add_product(
        logbook,
        name="Invented red",
        coating_class="soft_antifouling",
        role="antifouling",
        colour_hex="#a04030",
    )
    coatings.add_coat(logbook, visit.id, product, zones=[fore.id], number=1)
    window.page.update_now()
    settle(window)
    page = window.page
    assert page.views() == (f"own:{kept(window, OwnView)[0].id}",)
    paths = [item for item in page.main.scene.items if isinstance(item, DrawnPath)]
    assert {path.key for path in paths if path.style.fill == "#a04030"} == {FORE}


def test_a_photograph_is_pinned_on_the_picture(odd, tmp_path, qtbot):
    window = odd("haul_out")
    logbook = window.state.logbook
    [visit] = kept(window, Visit)
    import_photos(logbook, [draw_boat(tmp_path / "close.png", dark=True)], visit_id=visit.id)
    window.page.show_section("photos")
    window.page.update_now()
    settle(window)
    board = window.page.findChild(PinBoard)
    own = kept(window, OwnView)[0]
    assert [made.option.code for made in board.sides.buttons] == [f"own:{own.id}"]
    at = board.view.area_of(FORE).center()
    board.put_pin()
    qtbot.mouseMove(board.view, at.toPoint())
    qtbot.mouseClick(board.view, LEFT, pos=at.toPoint())
    settle(window)
    [pinned] = kept(window, PhotoPlace)
    zones = {zone.id: zone.code for zone in kept(window, Zone)}
    assert (pinned.place.part, zones[pinned.zone_id]) == (f"own:{own.id}", "own-below-1")
    assert f"photo:{pinned.id}" in dict(board.view.regions)


def test_a_small_copy_is_made_again_off_the_windows_thread(odd, tmp_path, monkeypatch, qtbot):
    window = odd("today")
    shutil.rmtree(tmp_path / "cache" / "pictures")
    made_in = []

    def shown(drawing):
        return any(isinstance(item, Image) for item in drawing.scene.items)

    def making(data, edge):
        made_in.append(threading.current_thread() is threading.main_thread())
        return small_copy(data, edge)

    monkeypatch.setattr(media, "small_copy", making)
    for name in ("boat", "hull", "paint", "gear"):
        shutil.rmtree(tmp_path / "cache" / "pictures", ignore_errors=True)
        window.show_page(name)
        qtbot.waitUntil(lambda: shown(window.page.main))
        settle(window)
    assert made_in
    assert not any(made_in)


def test_a_boat_drawn_by_her_owner_is_given_a_form_on_boat(odd):
    window = odd("boat")
    page = window.page
    assert page.form_door.isEnabled()
    page.form_door.click()
    asked = sheet_of(window, "own-form")
    asked.keel.choose("fin")
    for name, typed in (("length", "7.2"), ("beam", ""), ("draught", "1.2")):
        asked.measures[name].entry.setText(typed)
    asked.do.click()
    settle(window)
    assert asked.isVisible()
    assert asked.measures["beam"].refused
    asked.measures["beam"].entry.setText("2.5")
    asked.do.click()
    settle(window)
    assert page.form_door.isHidden()
    assert next(iter(page.views())) == "port"
    assert {"Fore body", "After body"} < {zone.name for zone in kept(window, Zone)}
