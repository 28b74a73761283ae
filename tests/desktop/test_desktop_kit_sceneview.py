from __future__ import annotations

import gc

import pytest
from PySide6.QtCore import QCoreApplication, QEvent, QPoint, QPointF, Qt
from PySide6.QtGui import QAccessible, QColor, QWheelEvent
from PySide6.QtWidgets import QApplication, QPushButton, QVBoxLayout, QWidget

from hulllog.desktop.sceneview import SceneView
from hulllog.drawing import shapes
from hulllog.drawing.scene import Scene, Style

ZONES = ("zone:bow", "zone:middle", "zone:stern")


def picture(shade="condition.1"):
    """Three zones of 20 mm beside each other, and a spot in the last."""
    zones = [
        shapes.rect(20 * n, 0, 20, 20, Style("edge", shade), key) for n, key in enumerate(ZONES)
    ]
    spot = shapes.circle(50, 10, 2, Style("action", "sheet"), "spot:4")
    regions = ((ZONES[0], "Bow"), (ZONES[1], "Middle"), (ZONES[2], "Stern"), ("spot:4", "Spot 4"))
    return Scene(60, 30, (*zones, spot), "Three zones", regions)


@pytest.fixture
def view(look, qtbot):
    window = QWidget()
    column = QVBoxLayout(window)
    column.setContentsMargins(0, 0, 0, 0)
    made = SceneView("Port side")
    made.setMinimumSize(600, 300)
    column.addWidget(made)
    after = QPushButton("after")
    column.addWidget(after)
    qtbot.addWidget(window)
    made.show_scene(picture())
    window.resize(600, 340)
    window.show()
    window.activateWindow()
    with qtbot.waitActive(window):
        after.setFocus()
    made.setFocus(Qt.FocusReason.TabFocusReason)
    yield made
    window.close()


def at(view, x, y):
    """Return the pixel of a place in mm."""
    return view.to_widget(QPointF(x, y)).toPoint()


def told(signal):
    heard = []
    signal.connect(lambda *what: heard.append(what))
    return heard


def press(qtbot, view, key, modifier=Qt.KeyboardModifier.NoModifier):
    qtbot.keyClick(view, key, modifier)


def test_the_scene_is_fitted_and_stays_so_when_the_room_changes(view):
    assert view.scale == pytest.approx(min(view.width() / 60, view.height() / 30))
    view.window().resize(900, 500)
    assert view.scale == pytest.approx(min(view.width() / 60, view.height() / 30))
    assert view.to_scene(view.to_widget(QPointF(7, 9))).x() == pytest.approx(7)


def test_a_press_picks_what_lies_below(view, qtbot):
    heard = told(view.picked)
    qtbot.mouseClick(view, Qt.MouseButton.LeftButton, pos=at(view, 25, 5))
    qtbot.mouseClick(view, Qt.MouseButton.LeftButton, pos=at(view, 50, 10))
    qtbot.mouseClick(
        view, Qt.MouseButton.LeftButton, Qt.KeyboardModifier.ShiftModifier, at(view, 25, 28)
    )
    assert [key for key, _ in heard] == ["zone:middle", "spot:4", ""]
    assert heard[2][1] & Qt.KeyboardModifier.ShiftModifier
    assert view.current == "spot:4"


def test_moving_over_a_part_says_so_once(view, qtbot):
    heard = told(view.hovered)
    for x in (25, 26, 45, 55):
        qtbot.mouseMove(view, at(view, x, 17))
        QApplication.processEvents()
    assert heard == [("zone:middle",), ("zone:stern",)]


def test_every_part_is_reached_and_picked_by_keyboard(view, qtbot):
    heard, picked = told(view.travelled), told(view.picked)
    assert view.current == "zone:bow"
    for _ in range(5):
        press(qtbot, view, Qt.Key.Key_Right)
    press(qtbot, view, Qt.Key.Key_Return)
    press(qtbot, view, Qt.Key.Key_Home)
    press(qtbot, view, Qt.Key.Key_Space)
    assert [key for (key,) in heard][:3] == ["zone:middle", "zone:stern", "spot:4"]
    assert [key for key, _ in picked] == ["spot:4", "zone:bow"]


def test_tab_leaves_the_drawing(view, qtbot):
    press(qtbot, view, Qt.Key.Key_Tab)
    assert view.window().focusWidget() is not view


def test_keys_that_mean_nothing_here_go_to_the_page(view, qtbot):
    heard = []
    view.window().keyPressEvent = lambda event: heard.append(event.text())
    press(qtbot, view, Qt.Key.Key_N)
    assert heard == ["n"]


def test_the_focus_ring_is_drawn_around_the_part(view):
    ring = QColor(view.window().palette().color(view.window().palette().ColorRole.Highlight))
    area = view.area_of("zone:bow").adjusted(-4, -4, 4, 4).toRect()
    picture_with = view.grab().toImage()
    inside = picture_with.pixelColor(area.center().x(), area.bottom())
    view.clearFocus()
    without = view.grab().toImage().pixelColor(area.center().x(), area.bottom())
    assert inside == ring
    assert without != ring


def test_zoom_keeps_the_place_under_the_pointer(view):
    before = view.scale
    place = QPointF(150, 120)
    held = view.to_scene(place)
    wheel(view, place, 240)
    assert view.scale > before
    moved = view.to_scene(place) - held
    assert moved.manhattanLength() < 0.05
    wheel(view, place, -2400)
    assert view.scale == pytest.approx(before)


def wheel(view, place, delta):
    event = QWheelEvent(
        place,
        view.mapToGlobal(place),
        QPoint(),
        QPoint(0, delta),
        Qt.MouseButton.NoButton,
        Qt.KeyboardModifier.NoModifier,
        Qt.ScrollPhase.NoScrollPhase,
        False,
    )
    QApplication.sendEvent(view, event)


def test_a_closer_picture_is_moved_by_dragging_and_never_leaves_the_view(view, qtbot):
    heard = told(view.picked)
    view.zoom(4)
    before = view.to_scene(QPointF(0, 0))
    qtbot.mousePress(view, Qt.MouseButton.LeftButton, pos=QPoint(300, 150))
    qtbot.mouseMove(view, QPoint(200, 150))
    qtbot.mouseRelease(view, Qt.MouseButton.LeftButton, pos=QPoint(200, 150))
    after = view.to_scene(QPointF(0, 0))
    assert after.x() - before.x() == pytest.approx(100 / view.scale, abs=0.1)
    view.pan(QPointF(1e6, 1e6))
    assert view.to_scene(QPointF(0, 0)).x() == pytest.approx(0, abs=0.1)
    assert heard == []
    press(qtbot, view, Qt.Key.Key_Escape)
    assert view.scale == pytest.approx(min(view.width() / 60, view.height() / 30))


def test_travel_brings_a_part_into_sight(view, qtbot):
    view.zoom(6, QPointF(0, 0))
    press(qtbot, view, Qt.Key.Key_End)
    assert view.rect().contains(view.area_of("spot:4").center().toPoint())


def settled(view, qtbot):
    """Wait until the picture is painted at its own scale, and look at it."""
    qtbot.waitUntil(lambda: not view._settle.isActive())
    return view.grab().toImage()


def test_panning_paints_from_the_pixmap(view, qtbot, monkeypatch):
    view.zoom(3)
    settled(view, qtbot)
    paints = []
    monkeypatch.setattr(view, "_draw", lambda: paints.append(1))
    view.pan(QPointF(-20, 0))
    view.grab()
    assert paints == []


def test_what_is_shown_moved_is_what_is_painted_there(view, qtbot):
    view.zoom(2)
    view.clearFocus()
    settled(view, qtbot)
    view.pan(QPointF(-60, -10))
    moved = view.grab().toImage()
    view.show_scene(picture())
    assert view.grab().toImage() == moved


def test_a_pin_is_dragged_and_a_zone_is_not(view, qtbot):
    view.draggable = lambda key: key.startswith("spot:")
    heard, picked = told(view.dragged), told(view.picked)
    drag(qtbot, view, at(view, 50, 10), at(view, 30, 5))
    ((key, x, y),) = heard
    assert key == "spot:4"
    assert (x, y) == (pytest.approx(30, abs=0.2), pytest.approx(5, abs=0.2))
    drag(qtbot, view, at(view, 10, 10), at(view, 30, 5))
    assert len(heard) == 1
    assert picked == []


def drag(qtbot, view, start, end):
    qtbot.mousePress(view, Qt.MouseButton.LeftButton, pos=start)
    qtbot.mouseMove(view, end)
    qtbot.mouseRelease(view, Qt.MouseButton.LeftButton, pos=end)


def test_a_pin_is_moved_by_keyboard_alone(view, qtbot):
    view.draggable = lambda key: key.startswith("spot:")
    heard = told(view.dragged)
    press(qtbot, view, Qt.Key.Key_End)
    press(qtbot, view, Qt.Key.Key_Left, Qt.KeyboardModifier.AltModifier)
    assert view.carrying
    press(qtbot, view, Qt.Key.Key_Left)
    press(qtbot, view, Qt.Key.Key_Up, Qt.KeyboardModifier.ShiftModifier)
    press(qtbot, view, Qt.Key.Key_Return)
    ((_, x, y),) = heard
    assert x < 50
    assert 9 < y < 10
    press(qtbot, view, Qt.Key.Key_Left, Qt.KeyboardModifier.AltModifier)
    press(qtbot, view, Qt.Key.Key_Escape)
    assert len(heard) == 1
    assert not view.carrying


def test_a_new_mark_is_placed_by_pointer_or_keyboard(view, qtbot):
    heard = told(view.placed)
    view.carry()
    qtbot.mouseMove(view, at(view, 12, 6))
    qtbot.mouseClick(view, Qt.MouseButton.LeftButton, pos=at(view, 12, 6))
    view.carry()
    press(qtbot, view, Qt.Key.Key_Return)
    assert heard[0] == (pytest.approx(12, abs=0.2), pytest.approx(6, abs=0.2))
    assert heard[1] == (pytest.approx(30, abs=0.2), pytest.approx(15, abs=0.2))


def test_a_thumbnail_lets_the_page_scroll(look, qtbot):
    small = SceneView("Stern", zoomable=False)
    qtbot.addWidget(small)
    small.show_scene(picture())
    small.resize(120, 60)
    before = small.scale
    wheel(small, QPointF(10, 10), 240)
    small.zoom(3)
    assert small.scale == before


def test_a_drawing_needs_a_name(look):
    with pytest.raises(ValueError, match="needs a"):
        SceneView("")


def test_a_screen_reader_finds_each_part_with_its_name_and_place(view):
    found = QAccessible.queryAccessibleInterface(view)
    assert found.text(QAccessible.Text.Name) == "Port side"
    assert found.text(QAccessible.Text.Description) == "Three zones"
    assert found.role() == QAccessible.Role.List
    parts = [found.child(index) for index in range(found.childCount())]
    assert [part.text(QAccessible.Text.Name) for part in parts] == [
        "Bow", "Middle", "Stern", "Spot 4",
    ]  # fmt: skip
    corner = view.mapToGlobal(QPoint(0, 0))
    area = view.area_of("zone:stern").toAlignedRect().translated(corner)
    assert parts[2].rect() == area
    assert found.childAt(area.left() + 3, area.bottom() - 3) == parts[2]
    assert found.indexOfChild(parts[1]) == 1
    assert parts[0].parent().text(QAccessible.Text.Name) == "Port side"
    assert parts[0].state().focused
    assert not parts[1].state().focused


def test_parts_that_are_gone_are_no_longer_there(view):
    found = QAccessible.queryAccessibleInterface(view)
    last = found.child(3)
    view.show_scene(Scene(60, 30, (), "", (("zone:bow", "Bow"),)))
    assert found.childCount() == 1
    assert found.child(3) is None
    assert not last.isValid()
    assert view.current == "zone:bow"


def test_many_drawings_come_and_go_without_a_crash(look, qtbot):
    for number in range(60):
        made = SceneView(f"Drawing {number}")
        made.show_scene(picture())
        found = QAccessible.queryAccessibleInterface(made)
        assert found.child(number % 4) is not None
        made.deleteLater()
        QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete.value)
        if number % 20 == 0:
            gc.collect()


# Drawn to measure


def to_measure(width, height):
    """Draw three zones across the width that is given."""
    third = width / 3
    zones = [
        shapes.rect(third * n, 0, third, height, Style("edge"), key) for n, key in enumerate(ZONES)
    ]
    return Scene(width, height, tuple(zones), "", tuple((key, key) for key in ZONES))


def test_a_picture_drawn_to_measure_fills_the_room_at_its_natural_size(view):
    view.draw_by(to_measure)
    assert view.scale == 4
    assert view.scene.width == pytest.approx(view.width() / 4)
    assert view.scene.height == pytest.approx(view.height() / 4)


def test_coming_closer_asks_for_a_larger_picture_and_keeps_the_place(view, qtbot):
    view.draw_by(to_measure)
    before = view.scene.width
    place = QPointF(500, 100)
    share = view.to_scene(place).x() / before
    wheel(view, place, 480)
    closer = view.scale / 4
    assert closer > 1.5
    settled(view, qtbot)
    assert view.scale == 4
    assert view.scene.width == pytest.approx(before * closer)
    assert view.to_scene(place).x() / view.scene.width == pytest.approx(share, abs=0.005)
    heard = told(view.picked)
    qtbot.mouseClick(view, Qt.MouseButton.LeftButton, pos=at(view, view.scene.width * 0.8, 5))
    assert [key for key, _ in heard] == ["zone:stern"]
    press(qtbot, view, Qt.Key.Key_Escape)
    settled(view, qtbot)
    assert view.scene.width == pytest.approx(before)


def test_another_room_is_drawn_for_and_redrawing_keeps_the_part_and_the_zoom(view, qtbot):
    view.draw_by(to_measure)
    view.window().resize(800, 400)
    settled(view, qtbot)
    assert view.scene.width == pytest.approx(view.width() / 4)
    view.go_to("zone:middle")
    view.zoom(2)
    settled(view, qtbot)
    width, corner = view.scene.width, view.to_scene(QPointF(0, 0))
    view.remake()
    assert view.scene.width == pytest.approx(width)
    assert view.to_scene(QPointF(0, 0)) == corner
    assert view.current == "zone:middle"
