from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QAccessible
from PySide6.QtWidgets import QVBoxLayout, QWidget

from hulllog.desktop.choice import Choice, Choices, Option

FLUIDS = [Option("none", "none", "n"), Option("clear", "clear", "c"), Option("sour", "sour", "s")]


@pytest.fixture
def shown(look, qtbot):
    window = QWidget()
    column = QVBoxLayout(window)
    qtbot.addWidget(window)

    def show(made):
        column.addWidget(made)
        window.show()
        window.activateWindow()
        with qtbot.waitActive(window):
            made.setFocus()
        return made

    return show


def told(made):
    codes = []
    made.chosen.connect(codes.append)
    return codes


def test_its_key_chooses_an_option_in_one_press(shown, qtbot):
    choice = shown(Choice("Fluid", FLUIDS))
    codes = told(choice)
    qtbot.keyClick(choice.window().focusWidget(), "s")
    assert codes == ["sour"]
    assert choice.value == "sour"


def test_a_page_may_hand_keys_over(shown):
    choice = shown(Choice("Fluid", FLUIDS))
    assert choice.press("C")
    assert not choice.press("x")
    assert not choice.press("")
    assert choice.value == "clear"


def test_one_stop_for_tab_and_arrows_between(shown, qtbot):
    choice = shown(Choice("Fluid", FLUIDS))
    stops = [b for b in choice.buttons if b.focusPolicy() == Qt.FocusPolicy.StrongFocus]
    assert len(stops) == 1
    codes = told(choice)
    qtbot.keyClick(choice.buttons[0], Qt.Key.Key_Right)
    assert choice.buttons[1].hasFocus()
    assert codes == []
    qtbot.keyClick(choice.buttons[1], Qt.Key.Key_Space)
    assert codes == ["clear"]


def test_showing_what_is_kept_tells_nobody(shown):
    choice = shown(Choice("Fluid", FLUIDS))
    codes = told(choice)
    choice.show_value("clear")
    choice.show_value(None)
    choice.show_value("from a newer version")
    assert codes == []
    assert not any(made.isChecked() for made in choice.buttons)


def test_some_of_few_go_on_and_off(shown, qtbot):
    choices = shown(Choices("Methods", FLUIDS))
    codes = told(choices)
    for made in (choices.buttons[2], choices.buttons[0], choices.buttons[2]):
        qtbot.mouseClick(made, Qt.MouseButton.LeftButton)
    assert codes == [("sour",), ("none", "sour"), ("none",)]


def test_a_button_says_its_row_its_text_and_its_key(shown):
    choice = shown(Choice("Fluid", FLUIDS))
    named = QAccessible.queryAccessibleInterface(choice.buttons[2])
    assert named.text(QAccessible.Text.Name) == "Fluid: sour"
    assert "S" in named.text(QAccessible.Text.Description)
    with pytest.raises(ValueError, match="needs a"):
        Choice("", FLUIDS)


def test_many_options_break_into_rows_and_all_can_be_seen(shown, qtbot):
    many = [Option(str(n), f"option number {n}", str(n)) for n in range(10)]
    choice = shown(Choice("Which", many))
    choice.window().resize(420, 400)
    choice.window().grab()
    areas = [made.geometry() for made in choice.buttons]
    assert len({area.top() for area in areas}) > 1
    assert all(not one.intersects(other) for i, one in enumerate(areas) for other in areas[i + 1 :])
    assert max(area.right() for area in areas) <= choice.width()
