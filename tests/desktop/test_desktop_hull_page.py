"""The page *Hull* by what a person does with it."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest
from PySide6.QtCore import QEvent, QPoint, QPointF, Qt
from PySide6.QtGui import QAccessible, QMouseEvent
from PySide6.QtWidgets import QPushButton, QWidget

sys.path.insert(0, str(Path(__file__).parent))
from ketchbook import built, nameless, on_ketch, plain, settle, sheet_of, texts  # noqa: F401

from hulllog.insight.occasions import Edge, visits
from hulllog.insight.placed import spots_at
from hulllog.records.logbook import Logbook
from hulllog.records.model import Inspection, MeasurementSet, Spot
from hulllog.records.operations import coatings, photos, queries, spots
from hulllog.records.operations.vessel import create_vessel

AFT = "zone:bottom-aft-port"
LEFT = Qt.MouseButton.LeftButton


@pytest.fixture
def window(on_ketch):  # noqa: F811
    return on_ketch("hull")


@pytest.fixture
def out(on_ketch):  # noqa: F811
    """Open the window while she is out of the water: the last haul-out is not closed."""
    return on_ketch("hull", still_out=True)


def pick_year(window, year, state="found"):
    found = window.state.read(visits)
    visit = next(v for v in found if v.begins.text.startswith(str(year)))
    window.state.pick(Edge(visit.id, state))
    settle(window)
    return visit.id


def key(window, qtbot, *keys):
    for one in keys:
        qtbot.keyClick(window.page.main, one)
    settle(window)


def middle(window, part):
    return window.page.main.area_of(part).center().toPoint()


def press(window, qtbot, place, modifier=Qt.KeyboardModifier.NoModifier):
    qtbot.mouseClick(window.page.main, LEFT, modifier, place)
    settle(window)


def in_zone(window, part):
    """Return a place of the drawing that belongs to a zone and to no mark."""
    view = window.page.main
    area = view.area_of(part).toRect()
    found = [
        QPoint(x, y)
        for y in range(area.top(), area.bottom(), 6)
        for x in range(area.left(), area.right(), 12)
        if {view.key_at(QPointF(x + dx, y + dy)) for dx in (-5, 5) for dy in (-5, 5)} == {part}
    ]
    assert found, f"no free place in {part}"
    return found[len(found) // 2]


def button(window, name):
    return window.page.side.findChild(QWidget, f"do/{name}")


def kept(window, model):
    return window.state.read(lambda book: list(queries.kept(book, model)))


def names(window):
    """Return what a screen reader reads of the parts of the large drawing."""
    window.page.main.grab()
    return {part: plain(said) for part, said in window.page.main.regions}


# What stands there


def test_the_heading_says_the_kind_and_the_line_how_it_was_seen(window):
    pick_year(window, 2025)
    assert window.page._title.text() == "Laminate blisters: count and largest"
    line = plain(window.page._subtitle.text())
    assert line.startswith("14 Apr 2025, as found, seen wet, 1 h after the lift.")
    assert "Topsides; Keels; Transom: this not looked for." in line
    assert "Undersides: could not be seen." in line
    assert "Rudder: not looked at." in line


def test_the_drawing_is_large(window):
    card = window.page.main.parentWidget().parentWidget()
    assert card.height() >= 480
    assert window.page.main.width() >= 780


def test_every_zone_is_read_aloud_with_its_figures(window):
    said = names(window)
    assert "largest blister 8" in said[AFT]
    assert said["zone:bottom-forward-port"].endswith("looked for, none found")
    assert said["zone:topsides-port"].endswith("looked at, but this not rated")
    assert said["zone:rudder"].endswith("not looked at")
    assert said["spot:1"] == "Spot 1, blister field"


def test_what_the_keyboard_reaches_has_a_name(window):
    assert nameless(window) == []
    window.page.pick(AFT)
    settle(window)
    assert nameless(window) == []


# Views


def test_digits_put_a_view_in_the_large_place(window, qtbot):
    for digit, view, region in (
        ("3", "bottom", "zone:keel-port-under"),
        ("2", "starboard", "zone:bottom-aft-starboard"),
        ("1", "port", AFT),
    ):
        key(window, qtbot, digit)
        assert window.page.view == view
        assert region in names(window)


def test_a_press_on_a_thumbnail_swaps_it_with_the_large_view(window, qtbot):
    shown = {t.view: t for t in window.page.thumbnails.children() if hasattr(t, "view")}
    assert [view for view, t in shown.items() if t.isVisible()] == [
        "starboard", "bottom", "expansion", "stern",
    ]  # fmt: skip
    qtbot.mouseClick(shown["bottom"], LEFT)
    settle(window)
    assert window.page.view == "bottom"
    assert shown["port"].isVisible()
    assert not shown["bottom"].isVisible()
    assert shown["port"].accessibleDescription() == "key 1"


def test_another_kind_changes_the_heading_and_the_zones(window, qtbot):
    page = window.page
    assert page.kind_menu.accessibleName() == "Kind shown: Laminate blisters"
    actions = {action.text(): action for action in page.kind_menu.menu().actions()}
    assert set(actions) >= {"Laminate blisters", "Level of fouling"}
    actions["Level of fouling"].trigger()
    settle(window)
    assert page._title.text().startswith("Fouling")
    assert names(window)["zone:keel-port-outboard"] != names(window)["zone:keel-port-outboard"][:0]
    assert "level" in names(window)["zone:keel-port-outboard"]


def test_the_usual_kinds_of_her_material_come_first_and_the_others_behind_one_fold(window):
    menu = window.page.kind_menu.menu()
    first = [one.text() for one in menu.actions() if not one.isSeparator() and not one.menu()]
    (fold,) = (one for one in menu.actions() if one.menu())
    others = [one.text() for one in fold.menu().actions()]
    assert {"Laminate blisters", "Cracks", "Damage", "Moisture"} <= set(first)
    assert not set(first) & set(others)
    assert fold.text() == f"Other kinds ({len(others)})"
    assert len(first) <= 12
    chosen = others[-1]
    fold.menu().actions()[-1].trigger()
    settle(window)
    shown = {one.text(): one.isChecked() for one in menu.actions() if not one.menu()}
    assert shown[chosen], "what is shown now stands among the first"


# Picking


def test_a_press_on_a_zone_shows_all_that_is_known_of_it(window, qtbot):
    press(window, qtbot, in_zone(window, AFT))
    told = " | ".join(texts(window.page.side))
    assert "Bottom aft, port" in told
    assert "Spot 1, blister field, followed since 14 Apr 2019" in told
    assert "close look, touched" in told
    assert "in the gelcoat" in told
    assert "Blisters aft, port" in told
    assert "Steady rise over" in told


def test_arrows_travel_and_enter_opens_and_esc_lets_go(window, qtbot):
    page = window.page
    key(window, qtbot, Qt.Key.Key_Right)
    first = page.main.current
    key(window, qtbot, Qt.Key.Key_Right)
    assert page.main.current != first
    assert page.picked == ""
    key(window, qtbot, Qt.Key.Key_Return)
    assert page.picked == page.main.current
    assert page.shown.zone(page.picked).name in texts(page.side)
    key(window, qtbot, Qt.Key.Key_Escape)
    assert page.picked == ""
    assert "The whole hull" in texts(page.side)


def test_a_zone_of_another_side_turns_the_drawing(window):
    window.page.pick("zone:bottom-aft-starboard")
    settle(window)
    assert "zone:bottom-aft-starboard" in names(window)
    window.page.go_to(window.page.shown.spot("spot:1").spot_id)
    settle(window)
    assert "spot:1" in names(window)
    assert "Spot 1, blister field" in texts(window.page.side)


def test_the_photos_stand_as_a_pair_of_then_and_now(on_ketch, qtbot):  # noqa: F811
    window = on_ketch("hull", pictures=True)
    window.page.pick("spot:1")
    settle(window)

    def tiles():
        found = window.page.side.findChildren(QWidget)
        seen = [t for t in found if type(t).__name__ == "PhotoTile" and t.isVisible()]
        return sorted(seen, key=QWidget.x)

    assert [t.accessibleName()[:20] for t in tiles()] == [
        "Photo of 14 Apr 2024",
        "Photo of 14 Apr 2025",
    ]
    assert all(tile.loaded for tile in tiles())
    earlier = next(
        b for b in window.page.side.findChildren(QWidget) if b.accessibleName() == "Earlier photo"
    )
    qtbot.mouseClick(earlier, LEFT)
    settle(window)
    assert tiles()[0].accessibleName().startswith("Photo of 14 Apr 2023")
    qtbot.mouseClick(tiles()[0], LEFT)
    settle(window)
    assert "14 Apr 2023, as found" in texts(sheet_of(window, "photo"))


def test_a_photo_that_is_not_in_this_copy_says_so(on_ketch, built, tmp_path):  # noqa: F811
    folder = built(tmp_path / "bare", pictures=True)
    for file in (folder / "photos").glob("*.png"):
        file.unlink()
    window = on_ketch("hull", folder=folder)
    window.page.pick("spot:1")
    settle(window)
    tile = next(
        t for t in window.page.side.findChildren(QWidget) if type(t).__name__ == "PhotoTile"
    )
    assert not tile.loaded
    assert "not in this copy" in tile.accessibleDescription()


# Over the years


def test_a_working_shows_formula_figures_and_source(window, qtbot):
    window.page.pick(AFT)
    settle(window)
    doors = [
        made
        for made in window.page.side.findChildren(QPushButton)
        if made.accessibleName().startswith("Working of")
    ]
    assert len(doors) == 2
    qtbot.mouseClick(doors[0], LEFT)
    settle(window)
    sheet = next(
        s for s in window.findChildren(QWidget) if s.windowTitle().startswith("Change since")
    )
    told = " ".join(texts(sheet))
    assert "Δ = y₂ − y₁" in told
    assert "s₁" in told
    assert "own rule" in told


def test_a_point_of_the_course_takes_the_strip_to_its_visit(window, qtbot):
    window.page.pick(AFT)
    settle(window)
    chart = next(
        w for w in window.page.side.findChildren(QWidget) if type(w).__name__ == "TrendChart"
    )
    first = window.state.read(visits)[0]
    chart.setFocus()
    qtbot.keyClick(chart, Qt.Key.Key_Home)
    qtbot.keyClick(chart, Qt.Key.Key_Return)
    settle(window)
    assert window.state.edge == Edge(first.id, "found")


def test_another_figure_can_be_followed(window, qtbot):
    window.page.pick(AFT)
    settle(window)
    which = window.page.side.findChild(QWidget, "hull/component")
    assert which.value == "largest_mm"
    which.choose("count")
    settle(window)
    assert window.page.side.findChild(QWidget, "hull/component").value == "count"
    assert any("From 20 (" in text and "to 22 (" in text for text in texts(window.page.side))


def test_everything_is_read_from_the_edge_that_is_picked(window):
    pick_year(window, 2019)
    assert "largest blister 3.5" in names(window)[AFT]
    pick_year(window, 2025)
    assert "largest blister 8" in names(window)[AFT]


def test_as_left_without_a_look_is_as_found_and_says_so(window):
    pick_year(window, 2025, "left")
    assert "Not looked at after the work; shown as found." in window.page._subtitle.text()
    assert "largest blister 8" in names(window)[AFT]
    window.page.pick(AFT)
    settle(window)
    told = texts(window.page.side)
    assert any(text.startswith("Not looked at after the work") for text in told)
    assert "Painted: Tidewall 40, antifouling" in told


# Two edges


def test_two_edges_are_held_against_each_other(window, qtbot):
    first = pick_year(window, 2019)
    pick_year(window, 2025)
    window.state.compare(Edge(first, "found"))
    settle(window)
    assert window.page._subtitle.text() == "14 Apr 2019, as found, against 14 Apr 2025, as found"
    said = names(window)
    assert "from 3.5" in said[AFT]
    assert "more than the method can err" in said[AFT]
    assert "within the method’s error" in said["zone:bottom-middle-port"]
    window.page.pick(AFT)
    settle(window)
    told = texts(window.page.side)
    assert "Between the two" in told
    assert "9 → 22" in told
    assert not window.page.other.isVisible()
    key(window, qtbot, "c")
    assert window.page.other.isVisible()
    window.page.other.grab()
    assert "largest blister 3.5" in dict(window.page.other.regions)[AFT]
    assert "largest blister 8" in names(window)[AFT]
    assert window.page.other.accessibleName() == "Port side, 14 Apr 2019, as found"


def test_what_was_seen_otherwise_is_not_compared(window):
    dry = pick_year(window, 2024)
    pick_year(window, 2025)
    window.state.compare(Edge(dry, "found"))
    settle(window)
    assert "not comparable: seen wet and seen dry" in names(window)[AFT]
    unlike = [text for text in texts(window.page.side) if "cannot be compared" in text]
    assert unlike == [f"{many_unlike(window)} zones cannot be compared: seen wet and seen dry"]
    assert not any("treated in between" in text for text in texts(window.page.side))


def many_unlike(window):
    changes = window.page.shown.compared.changes
    return sum(change.answer == "not_comparable" for change in changes)


def test_what_a_figure_was_before_a_treatment_stands_in_a_sentence(window):
    first = pick_year(window, 2019)
    aft = window.page.shown.zone(AFT).zone_id
    window.state.run(
        lambda logbook: coatings.add_treatment(logbook, first, sort="peeled", zones=[aft])
    )
    settle(window)
    pick_year(window, 2025)
    window.page.pick(AFT)
    settle(window)
    told = [text for text in texts(window.page.side) if text.startswith("Before the treatment")]
    assert told == ["Before the treatment 3.5 mm (14 Apr 2019, 10:30)."]


def test_zones_treated_between_two_edges_are_counted(window):
    first = pick_year(window, 2019)
    last = pick_year(window, 2025)
    aft = window.page.shown.zone(AFT).zone_id
    zones = [zone.zone_id for zone in window.page.shown.zones if zone.zone_id != aft]

    def treat(logbook):
        # In the visit itself, "as found" comes before the work.
        coatings.add_treatment(logbook, first, sort="peeled", zones=[aft])
        coatings.add_treatment(logbook, last, sort="dried", zones=zones)

    window.state.run(treat)
    settle(window)
    window.state.compare(Edge(first, "found"))
    settle(window)
    said = "One zone with figures at both was treated in between."
    assert said in texts(window.page.side)
    window.state.compare(None)
    pick_year(window, 2025)
    window.state.compare(Edge(first, "left"))
    settle(window)
    assert said not in texts(window.page.side)


# Spots


def test_a_place_is_followed_by_key_and_press(window, qtbot):
    key(window, qtbot, "p")
    assert window.page.main.carrying
    press(window, qtbot, in_zone(window, "zone:topsides-port"))
    sheet = sheet_of(window, "follow")
    assert any("Topsides, port" in text for text in texts(sheet))
    qtbot.keyClicks(sheet.label.entry, "star crack")
    sheet.do.click()
    settle(window)
    found = window.state.read(lambda book: spots_at(book, window.state.edge))
    assert [(spot.number, spot.label) for spot in found][-1] == (3, "star crack")
    assert found[-1].zone_id == window.page.shown.zone("zone:topsides-port").zone_id
    assert "spot:3" in names(window)
    assert window.page.picked == "spot:3"
    assert "star crack" in window._top.undo.accessibleName()


def test_a_spot_without_a_name_is_refused_beside_the_field(window, qtbot):
    key(window, qtbot, "p")
    press(window, qtbot, in_zone(window, "zone:topsides-port"))
    sheet = sheet_of(window, "follow")
    sheet.do.click()
    settle(window)
    assert sheet.isVisible()
    assert sheet.label.refused
    assert len(kept(window, Spot)) == 2


def test_a_spot_is_dragged_and_undo_says_so(window, qtbot):
    view = window.page.main
    start, to = ring(window, "spot:2"), in_zone(window, "zone:topsides-port")
    before = window.page.shown.spot("spot:2").place
    qtbot.mousePress(view, LEFT, Qt.KeyboardModifier.NoModifier, start)
    for share in (0.3, 0.7, 1.0):
        view.mouseMoveEvent(moving(view, start + (to - start) * share))
    qtbot.mouseRelease(view, LEFT, Qt.KeyboardModifier.NoModifier, to)
    settle(window)
    moved = window.page.shown.spot("spot:2")
    assert moved.place != before
    assert moved.zone_id == window.page.shown.zone("zone:topsides-port").zone_id
    assert window.state.undo_text == "move spot 2"
    window.state.undo()
    settle(window)
    assert window.page.shown.spot("spot:2").place == before


def moving(view, place):
    at = QPointF(place)
    return QMouseEvent(
        QEvent.Type.MouseMove, at, view.mapToGlobal(at), Qt.MouseButton.NoButton, LEFT,
        Qt.KeyboardModifier.NoModifier,
    )  # fmt: skip


def ring(window, part):
    """Return a place of the ring of a spot, which stands beside the place itself."""
    view = window.page.main
    area = view.area_of(part).toRect()
    for y in range(area.top(), area.bottom() + 1, 2):
        for x in range(area.left(), area.right() + 1, 2):
            if view.key_at(QPointF(x, y)) == part:
                return QPoint(x, y)
    return None


def test_a_spot_is_moved_by_keyboard(window, qtbot):
    window.page.pick("spot:1")
    settle(window)
    before = window.page.shown.spot("spot:1").place
    key(window, qtbot, "m", Qt.Key.Key_Up, Qt.Key.Key_Up, Qt.Key.Key_Return)
    assert window.page.shown.spot("spot:1").place != before
    assert window.state.undo_text == "move spot 1"


def test_the_mark_of_a_photo_is_dragged(on_ketch, qtbot):  # noqa: F811
    window = on_ketch("hull", pictures=True)
    photo = window.page.shown.photos[-1]
    window.state.run(
        lambda logbook: photos.place_photo(
            logbook, photo.photo_id, place={"part": "hull", "face": "port", "u": 0.3, "v": 1.6}
        )
    )
    settle(window)
    mark = next(part for part in names(window) if part.startswith("photo:"))
    view = window.page.main
    start, to = ring(window, mark), in_zone(window, "zone:topsides-port")
    qtbot.mousePress(view, LEFT, Qt.KeyboardModifier.NoModifier, start)
    for share in (0.4, 1.0):
        view.mouseMoveEvent(moving(view, start + (to - start) * share))
    qtbot.mouseRelease(view, LEFT, Qt.KeyboardModifier.NoModifier, to)
    settle(window)
    moved = next(p for p in window.page.shown.photos if f"photo:{p.place_id}" == mark)
    assert moved.place.u != pytest.approx(0.3)
    assert window.state.undo_text == "move a photo on the drawing"


def test_a_spot_let_go_beside_her_stays_where_it_was(window, qtbot):
    before = window.page.shown.spot("spot:1").place
    window.page.pick("spot:1")
    window.page.carry("spot:1")
    press(window, qtbot, QPoint(6, window.page.main.height() - 8))
    assert window.page.shown.spot("spot:1").place == before
    assert "beside her" in window.status


def test_a_crowd_opens_when_one_comes_closer(window, qtbot):
    place = window.page.shown.spot("spot:1").place
    for n in range(6):
        window.state.run(
            lambda logbook, n=n: spots.add_spot(
                logbook, label=f"blister {n}",
                place={"part": place.part, "face": place.face, "u": place.u + n * 0.004,
                       "v": place.v},
            )
        )  # fmt: skip
    settle(window)
    crowd = next(k for k in window.page.main._hull.crowds)
    before = window.page.main.scale * window.page.main.scene.width
    press(window, qtbot, ring(window, crowd))
    window.page.main._settled()
    settle(window)
    assert window.page.main.scale * window.page.main.scene.width > before * 2
    assert window.page.picked == ""


def test_a_spot_is_renamed(window, qtbot):
    window.page.pick("spot:2")
    settle(window)
    key(window, qtbot, "e")
    sheet = sheet_of(window, "text")
    assert sheet.text.text() == "single blister"
    sheet.text.entry.setText("pair of blisters")
    sheet.do.click()
    settle(window)
    assert "Spot 2, pair of blisters" in texts(window.page.side)


def test_what_is_seen_of_a_spot_is_entered_and_corrected(window, qtbot):
    window.page.pick("spot:2")
    settle(window)
    for largest in ("6", "7"):
        key(window, qtbot, "r")
        sheet = sheet_of(window, "look")
        sheet.entry.fields["figures.count"].type_text("1")
        sheet.entry.fields["figures.largest_mm"].type_text(largest)
        sheet.conditions.show_values({"wetness": "wet"})
        sheet.do.click()
        settle(window)
        reason = window.findChild(QWidget, "reason")
        if reason is not None and reason.isVisible():
            reason.reason.entry.setPlainText("misread the rule")
            reason.do.click()
            settle(window)
    look = window.page.shown.spot("spot:2").looks
    assert [one.figures["laminate-blisters"]["largest_mm"] for one in look] == [pytest.approx(7)]


# Rating


def test_nothing_found_is_one_key(out, qtbot):
    out.page.pick("zone:rudder")
    settle(out)
    key(out, qtbot, "n")
    assert names(out)["zone:rudder"].endswith("looked for, none found")
    assert button(out, "nothing") is None, "a look that is there is corrected, not entered again"


def test_as_last_time_is_one_key(out, qtbot):
    out.page.pick("zone:rudder")
    settle(out)
    key(out, qtbot, "l")
    assert "never seen before" in out.status


def test_a_zone_is_rated_from_the_cards(out, qtbot):
    out.page.pick("zone:rudder")
    settle(out)
    key(out, qtbot, "r")
    sheet = sheet_of(out, "look")
    qtbot.keyClicks(sheet.entry.fields["figures.count"].entry, "3")
    sheet.entry.fields["figures.largest_mm"].type_text("12")
    sheet.note.entry.setText("at the <b>trailing</b> edge")
    sheet.do.click()
    settle(out)
    assert "largest blister 12" in names(out)["zone:rudder"]
    assert "at the <b>trailing</b> edge" in texts(out.page.side)
    made = [s for s in kept(out, MeasurementSet) if s.kind == "laminate-blisters"][-1]
    assert made.conditions["wetness"] == "wet", "the conditions of the day are filled in"


def test_a_figure_that_cannot_be_is_refused_beside_it_and_nothing_is_stored(out, qtbot):
    out.page.pick("zone:rudder")
    settle(out)
    before = len(kept(out, Inspection))
    key(out, qtbot, "r")
    sheet = sheet_of(out, "look")
    sheet.entry.fields["figures.count"].entry.setText("2.5")
    sheet.do.click()
    settle(out)
    field = sheet.entry.fields["figures.count"]
    assert sheet.isVisible()
    assert field.refused
    assert "whole number" in field.sentence
    assert field.text() == "2.5"
    assert len(kept(out, Inspection)) == before


def test_a_look_without_a_result_is_refused(out, qtbot):
    out.page.pick("zone:rudder")
    settle(out)
    key(out, qtbot, "r")
    sheet = sheet_of(out, "look")
    sheet.do.click()
    settle(out)
    assert any("would look like good" in text for text in texts(sheet))
    sheet.outcome.choose("nothing_found")
    sheet.do.click()
    settle(out)
    assert names(out)["zone:rudder"].endswith("looked for, none found")


def test_what_could_not_be_seen_is_entered_with_what_hid_it(out, qtbot):
    out.page.pick("zone:rudder")
    settle(out)
    key(out, qtbot, "r")
    sheet = sheet_of(out, "look")
    sheet.coverage.choose("not_seen")
    assert not sheet.entry.isVisible()
    sheet.hidden.choose("growth")
    sheet.do.click()
    settle(out)
    assert names(out)["zone:rudder"].endswith("could not be seen")
    assert "could not be seen, under growth" in texts(out.page.side)


def test_a_correction_in_a_closed_haul_out_wants_a_reason(window, qtbot):
    pick_year(window, 2025)
    window.page.pick(AFT)
    settle(window)
    key(window, qtbot, "r")
    sheet = sheet_of(window, "look")
    assert sheet.entry.fields["figures.count"].text() == "22"
    sheet.entry.fields["figures.count"].type_text("21")
    sheet.do.click()
    settle(window)
    assert "blisters counted 22" in names(window)[AFT]
    reason = sheet_of(window, "reason")
    reason.reason.entry.setPlainText("one was a drip")
    reason.do.click()
    settle(window)
    assert "blisters counted 21" in names(window)[AFT]
    live = [
        s
        for s in kept(window, MeasurementSet)
        if s.inspection_id == window.page.shown.zone(AFT).inspection_id
    ]
    assert len(live) == 1, "the wrong figures are withdrawn, not left beside the right ones"


def test_a_finding_is_raised_where_one_stands(window, qtbot):
    window.page.pick(AFT)
    settle(window)
    key(window, qtbot, "f")
    sheet = sheet_of(window, "raise")
    assert sheet.zone.value == window.page.shown.zone(AFT).zone_id
    assert sheet.sort.value == "blisters"
    qtbot.keyClicks(sheet.title.entry, "Blisters weep brown")
    sheet.must.choose("this_season")
    sheet.do.click()
    settle(window)
    assert any("Blisters weep brown" in text for text in texts(window.page.side))


def test_a_finding_is_a_door_to_its_page(window, qtbot):
    window.page.pick(AFT)
    settle(window)
    door = next(
        w
        for w in window.page.side.findChildren(QWidget)
        if w.accessibleName().startswith("Blisters aft, port")
    )
    qtbot.mouseClick(door, LEFT)
    settle(window)
    assert window.page.code == "findings"
    assert any(
        row.opened and row.listed.matter.title == "Blisters aft, port" for row in window.page.rows
    )


# Nothing there, and nothing to be written


@pytest.fixture
def new_vessel(on_ketch, tmp_path):  # noqa: F811
    folder = tmp_path / "new"
    with Logbook.create(folder) as logbook:
        create_vessel(
            logbook, name="Ruddy Shore", kind="yacht", material="grp", keel="twin",
            length="8.7 m", beam="2.9 m", draught="0.95 m",
        )  # fmt: skip
    return on_ketch("hull", folder=folder)


def test_a_new_vessel_is_drawn_and_nothing_of_her_looks_like_good(new_vessel):
    assert new_vessel.page._subtitle.text() == "No visit yet: nothing has been looked at."
    said = names(new_vessel)
    assert all(text.endswith("not looked at") for text in said.values())
    assert any("first haul-out" in text for text in texts(new_vessel.page.side))
    assert button(new_vessel, "follow") is None
    new_vessel.page.pick("zone:rudder")
    settle(new_vessel)
    assert not button(new_vessel, "rate").isEnabled()
    assert any("no visit yet" in text for text in texts(new_vessel.page.side))


def test_a_new_vessel_has_one_thing_to_do(new_vessel, qtbot):
    begin = new_vessel.page.side.findChild(QWidget, "hull/begin")
    qtbot.mouseClick(begin, LEFT)
    settle(new_vessel)
    assert new_vessel.page.code == "haul_out"


def test_a_logbook_open_for_reading_says_why_nothing_can_be_done(on_ketch, qtbot):  # noqa: F811
    window = on_ketch("hull", read_only=True)
    window.page.pick(AFT)
    settle(window)
    assert not button(window, "rate").isEnabled()
    assert not button(window, "follow").isEnabled()
    assert any("reading only" in text for text in texts(window.page.side))
    assert not window.page.main.draggable("spot:1")
    key(window, qtbot, "p")
    assert not window.page.main.carrying


def test_the_longest_names_are_cut_and_can_be_read_whole(out):
    from hulllog.records.operations.vessel import rename_zone

    zone = out.page.shown.zone(AFT)
    name = "Bottom " + "x" * 113
    out.state.run(lambda logbook: rename_zone(logbook, zone.zone_id, name))
    out.state.run(
        lambda logbook: spots.set_label(logbook, out.page.shown.spot("spot:1").spot_id, "y" * 120)
    )
    settle(out)
    out.page.pick(AFT)
    settle(out)
    assert name in texts(out.page.side)
    assert out.page.side.width() <= 388
    assert out.width() == 1366
    assert name in names(out)[AFT]


def test_a_long_line_under_the_heading_can_be_read_whole(window):
    pick_year(window, 2025)
    line = window.page._subtitle
    assert "not looked at" in line.text()
    assert line.shown(line.width()) == line.text()  # it wraps: no caveat is cut
    assert line.height() >= line.heightForWidth(line.width()) > line.fontMetrics().height() * 1.5
    long = line.text() + " It was raining." * 60
    line.setText(long)
    settle(window)
    cut = line.shown(line.width())
    assert cut.endswith("…")
    assert long.startswith(cut[:-1])
    assert "It was raining" in line.toolTip()
    assert QAccessible.queryAccessibleInterface(line).text(QAccessible.Text.Name) == long
