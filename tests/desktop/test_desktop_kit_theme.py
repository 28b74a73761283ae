from __future__ import annotations

import pytest
from PySide6.QtGui import QColor, QFontInfo, QPalette
from PySide6.QtWidgets import QVBoxLayout, QWidget

from hulllog.desktop.buttons import button, icon_button
from hulllog.desktop.labels import heading, label
from hulllog.desktop.preferences import Look, Preferences
from hulllog.desktop.styling import sheet_of_style
from hulllog.desktop.theme import BODY, ROW, TARGET, step, theme
from hulllog.drawing.palette import ALL, contrast


def test_the_shipped_family_is_worn(look, qtbot):
    said = label("Seacock")
    qtbot.addWidget(said)
    assert QFontInfo(said.font()).family() == "IBM Plex Sans"
    assert said.font().pixelSize() == 13


def test_a_step_is_four_pixels():
    assert [step(1), step(2), step(0.5)] == [4, 8, 2]


@pytest.mark.parametrize(("worn", "row"), [(Look.LIGHT, ROW), (Look.DARK, ROW), (Look.SUN, TARGET)])
def test_what_is_pressed_is_a_row_high_and_48_in_the_yard(look, qtbot, worn, row):
    pressed = [button("Close"), icon_button("camera", "Add photos")]
    for made in pressed:
        qtbot.addWidget(made)
    theme().wear(worn)
    assert {made.minimumHeight() for made in pressed} == {row}
    theme().wear(Look.LIGHT)


def test_another_look_reaches_widgets_that_were_never_shown(look, qtbot):
    window = QWidget()
    qtbot.addWidget(window)
    column = QVBoxLayout(window)
    window.show()
    said = heading("Keel", BODY)
    column.addWidget(said)
    theme().wear(Look.DARK)
    window.grab()
    ink = said.palette().color(QPalette.ColorRole.WindowText)
    assert ink == QColor(theme().palette.colour("ink"))
    theme().wear(Look.SUN)
    window.grab()
    assert said.font().pixelSize() == 16
    theme().wear(Look.LIGHT)


@pytest.mark.parametrize("palette", ALL, ids=lambda palette: palette.name)
def test_texts_of_the_window_can_be_read_on_their_grounds(palette):
    pairs = [
        ("ink", "paper"), ("ink", "sheet"), ("ink", "select"), ("muted", "paper"),
        ("muted", "sheet"), ("action", "sheet"), ("action", "paper"), ("action", "select"),
        ("on_action", "action"), ("on_action", "water_deep"),
    ]  # fmt: skip
    poor = {
        pair: round(contrast(*map(palette.colour, pair)), 2)
        for pair in pairs
        if contrast(*map(palette.colour, pair)) < 4.5
    }
    assert not poor


def test_the_style_sheet_names_no_colour_of_its_own():
    roles = {role: f"<{role}>" for role in ALL[0].roles}
    assert "#" not in sheet_of_style(roles).replace("QWidget#", "").replace("#frame", "")


def test_preferences_are_kept_in_one_file_and_read_again(tmp_path):
    file = tmp_path / "hulllog.ini"
    kept = Preferences(file)
    assert kept.look is Look.SYSTEM
    kept.look = Look.SUN
    books = [tmp_path / name for name in ("one", "two")]
    for book in books:
        book.mkdir()
        kept.opened(book)
    kept.opened(books[0])
    kept.save()
    again = Preferences(file)
    assert again.look is Look.SUN
    assert again.recent == books
    books[1].rmdir()
    assert again.recent == books[:1]


def test_preferences_that_cannot_be_read_count_as_not_set(tmp_path):
    file = tmp_path / "hulllog.ini"
    file.write_text("[window]\nlook=purple\ngeometry=7\n[logbooks]\nrecent=\n", "utf-8")
    kept = Preferences(file)
    assert kept.look is Look.SYSTEM
    assert kept.geometry.isEmpty()
    assert kept.recent == []


def test_preferences_lie_in_the_home_of_the_user(home):
    assert Preferences().path.is_relative_to(home)
