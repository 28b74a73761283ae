from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QAccessible
from PySide6.QtWidgets import QApplication, QLabel, QVBoxLayout, QWidget

from hulllog.desktop.buttons import Door, PageButton, button, icon_button
from hulllog.desktop.figures import Figure
from hulllog.desktop.labels import Elided, OfSum, Prose
from hulllog.desktop.layout import Caution, Doors, EmptyState, facts
from hulllog.trade.working import Input, Interval, Source, Working

HOSTILE = '<b>&"' + " שלום 🚤 " + "x" * 10_000


@pytest.fixture
def shown(look, qtbot):
    window = QWidget()
    column = QVBoxLayout(window)
    qtbot.addWidget(window)

    def show(*widgets, width=400):
        for widget in widgets:
            column.addWidget(widget)
        window.resize(width, 300)
        window.show()
        QApplication.processEvents()
        return widgets[0]

    yield show
    window.close()


def name_of(widget):
    return QAccessible.queryAccessibleInterface(widget).text(QAccessible.Text.Name)


def test_a_long_text_without_a_space_wraps_and_is_whole(shown):
    prose = shown(Prose(HOSTILE))
    assert prose.text() == HOSTILE
    assert name_of(prose) == HOSTILE
    widest = prose.fontMetrics().horizontalAdvance("x" * 10_000)
    lines = prose.heightForWidth(360) / prose.fontMetrics().lineSpacing()
    assert lines >= widest / 360
    assert prose.minimumSizeHint().width() < 200


def test_a_text_is_as_high_as_its_lines_and_no_higher(shown):
    one, two = Prose("one line"), Prose("one line\nand another")
    shown(one, two)
    assert two.heightForWidth(400) == pytest.approx(2 * one.heightForWidth(400), abs=2)


def test_a_text_asked_for_the_same_widths_again_is_not_laid_out_again(shown, monkeypatch):
    prose = Prose("A line of the yard's own, neither short nor long, that wraps somewhere.")
    widths = (120, 146, 356, 480, 964, 974)
    heights = [prose.heightForWidth(width) for width in widths]
    monkeypatch.setattr(Prose, "_lay_all", lambda *_about: pytest.fail("laid out again"))
    assert [prose.heightForWidth(width) for width in widths] == heights
    assert len(set(heights)) > 1


def test_a_line_that_is_cut_says_the_whole_in_its_name_and_tip(shown):
    line = shown(Elided("Bottom, aft, port <b>" * 20), width=200)
    assert name_of(line) == "Bottom, aft, port <b>" * 20
    assert "&lt;b&gt;" in line.toolTip()
    line.setText("short")
    assert line.toolTip() == ""


def test_a_door_opens_by_key_and_says_all_it_shows(shown, qtbot):
    opened = []
    door = Door("Blisters", "before relaunch", "2021", on=lambda: opened.append(1))
    shown(door)
    door.setFocus()
    qtbot.keyClick(door, Qt.Key.Key_Space)
    qtbot.mouseClick(door, Qt.MouseButton.LeftButton)
    assert opened == [1, 1]
    assert name_of(door) == "Blisters, before relaunch, 2021"


def test_an_icon_button_without_a_text_cannot_be_made(look):
    with pytest.raises(ValueError, match="needs a text"):
        icon_button("camera", " ")


def test_marks_in_names_are_letters_like_any(shown):
    made = shown(button("Salt & Son"))
    assert name_of(made) == "Salt & Son"
    assert made.text() == "Salt && Son"


def test_the_badge_of_a_page_is_said(shown):
    made = shown(PageButton("Findings", lambda: None))
    made.set_count(3, "3 open findings")
    assert name_of(made) == "Findings, 3 open findings"
    made.set_count(0, "")
    assert name_of(made) == "Findings"


def test_rows_are_parted_by_lines_and_can_be_replaced(shown):
    doors = shown(Doors())
    for number in range(3):
        doors.add(Door(f"row {number}"))
    assert doors.layout().count() == 5
    doors.clear()
    assert doors.layout().count() == 0


def test_an_empty_state_has_one_sentence_and_one_thing_to_do(shown, qtbot):
    done = []
    state = shown(EmptyState("No haul-out yet.", "Begin one", lambda: done.append(1)))
    qtbot.mouseClick(state.action, Qt.MouseButton.LeftButton)
    assert done == [1]
    assert EmptyState("Nothing here.").action is None


def test_a_caution_opens_and_closes_and_cannot_be_sent_away(shown, qtbot):
    caution = shown(Caution("Never stand below.", "A sling can slip."))
    texts = [one for one in caution.findChildren(QLabel) if one.text()]
    assert [one.isVisible() for one in texts] == [True, False]
    caution.toggle()
    assert all(one.isVisible() for one in texts)
    caution.toggle()
    assert texts[0].isVisible()


def test_facts_stand_in_two_columns(shown):
    table = shown(facts([("Coverage", "whole"), ("Note", HOSTILE)]))
    grid = table.layout()
    assert grid.itemAtPosition(1, 1).widget().text() == HOSTILE


def test_a_figure_shows_its_interval_and_opens_its_working(shown, qtbot):
    working = Working(
        name="area",
        value=21.4,
        unit="m2",
        formula="A = ∫ dA",
        inputs=(Input("L", 8.7, "m"),),
        source=Source("our own rule"),
        interval=Interval(20.0, 23.0),
    )
    code = known_working()
    figure = shown(Figure(replace_name(working, code)))
    assert "21.4" in figure.text.text()
    assert "20" in figure.text.text()
    sheet = figure.open_working()
    told = [one.text() for one in sheet.findChildren(QLabel)]
    assert any("A = ∫ dA" in text for text in told)
    sheet.reject()


def known_working():
    """Return the name of a working that the catalogue words."""
    from hulllog.words import codes

    return min(code for code in codes() if code.startswith("working.")).removeprefix("working.")


def replace_name(working, name):
    from dataclasses import replace

    return replace(working, name=name)


def test_what_a_formula_sets_low_is_drawn_low_and_read_without_marks(look, shown):
    formula = shown(OfSum("c = m − m_i"))
    assert formula.text() == "c = m − mi"
    plain = shown(Prose("c = m − mi"))
    plain.resize(formula.size())
    assert formula.grab().toImage() != plain.grab().toImage()
