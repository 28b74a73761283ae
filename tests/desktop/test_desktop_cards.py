from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from hulllog.desktop.cards import pictures
from hulllog.desktop.cards.entry import CardEntry, may_rate_by_digit
from hulllog.drawing.scene import Path
from hulllog.drawing.shapes import area
from hulllog.trade import kinds


@pytest.fixture
def entry(look, qtbot):
    """Give a function that shows the entry of a kind."""

    def show(kind):
        made = CardEntry(kind)
        qtbot.addWidget(made)
        made.resize(720, 600)
        made.show()
        made.activateWindow()
        with qtbot.waitActive(made):
            made.start()
        return made

    return show


def type_keys(text):
    for key in text:
        target = QApplication.focusWidget()
        special = {"\n": Qt.Key.Key_Return}.get(key)
        QTest.keyClick(target, special if special else key)


def done(made):
    heard = []
    made.done.connect(lambda: heard.append(1))
    return heard


def test_a_digit_chooses_a_grade_and_goes_on(entry):
    made = entry("level-of-fouling")
    heard = done(made)
    type_keys("3")
    assert made.figures() == {"level": "3"}
    assert not heard
    type_keys("\n")
    assert heard == [1]


def test_counts_and_sizes_are_typed_with_units(entry):
    made = entry("laminate-blisters")
    heard = done(made)
    type_keys("12\n4\n8\ngc")
    assert made.figures() == {
        "count": ("12", "1"), "typical_mm": ("4", "mm"), "largest_mm": ("8", "mm"),
        "depth": "gelcoat", "fluid": "clear",
    }  # fmt: skip
    assert heard == [1]


def test_what_is_left_blank_is_left_out(entry):
    made = entry("laminate-blisters")
    type_keys("3\n\n\n\n\n")
    assert made.figures() == {"count": ("3", "1")}


def test_an_empty_size_field_takes_the_letter_of_a_card(entry):
    made = entry("laminate-blisters")
    type_keys("3\nd")
    assert made.figures()["typical_mm"] == ("25", "mm")
    type_keys("7")
    QTest.mouseClick(made.sizes.buttons[3], Qt.MouseButton.LeftButton)
    assert made.figures()["largest_mm"] == ("50", "mm")


def test_a_pressed_card_fills_the_first_size_that_is_blank(entry):
    made = entry("laminate-blisters")
    QTest.mouseClick(made.sizes.buttons[0], Qt.MouseButton.LeftButton)
    assert made.figures()["typical_mm"] == ("3", "mm")


@pytest.mark.parametrize(
    ("kind", "field", "typed"),
    [("laminate-blisters", "count", "-1"), ("rust-spots", "area_cm2", "many")],
)
def test_a_figure_out_of_range_is_refused_and_the_keyboard_stays(entry, kind, field, typed):
    made = entry(kind)
    box = made.fields[f"figures.{field}"]
    box.entry.setFocus()
    type_keys(f"{typed}\n")
    assert box.refused
    assert QApplication.focusWidget() is box.entry


def test_figures_that_are_kept_are_shown_and_cleared(entry):
    made = entry("laminate-blisters")
    made.show_figures({"count": 4.0, "largest_mm": 6.5, "depth": "paint"})
    assert made.fields["figures.largest_mm"].text() == "6.5"
    assert made.rows["depth"].value == "paint"
    made.clear()
    assert made.figures() == {}


@pytest.mark.parametrize("kind", sorted(kinds.KINDS))
def test_every_kind_has_an_entry_with_names_and_no_key_twice(entry, kind):
    made = entry(kind)
    assert made.rows or made.fields
    for row in made.rows.values():
        keys = [one.option.key for one in row.buttons if one.option.key]
        assert len(keys) == len(set(keys))
        assert all(one.accessibleName() for one in row.buttons)


@pytest.mark.parametrize("kind", ["level-of-fouling", "iso-4628-3-2016", "astm-d610-2008"])
def test_the_card_of_a_grade_covers_a_share_inside_its_band(kind):
    from hulllog.trade.scales import band_of

    part = kinds.require(kind).components[0]
    for code in part.pictured:
        scene = pictures.grade_scene(kind, part.code, code, 26, 17)
        band = band_of(kind, part.code, code)
        if scene is None or (kind == "level-of-fouling" and code == "1"):
            continue
        marks = [one for one in scene.items if isinstance(one, Path) and one.style.fill]
        covered = sum(area(one) for one in marks[1:]) / (26 * 17) * 100
        if code == "5" and kind == "level-of-fouling":
            assert covered == pytest.approx(50, abs=3)
        else:
            assert band.low - 0.5 <= covered <= band.high + 0.5


def test_slime_is_told_from_growth():
    assert pictures.caption("level-of-fouling", "level", "1") == "slime only"
    assert "5 to 15 %" in pictures.caption("level-of-fouling", "level", "3")
    assert pictures.caption("iso-4628-3-2016", "rust", "2") == "about 0.5 %"


def test_which_kinds_are_a_digit():
    assert may_rate_by_digit("level-of-fouling")
    assert may_rate_by_digit("iso-4628-3-2016")
    assert not may_rate_by_digit("laminate-blisters")
    assert not may_rate_by_digit("navy-fr")
    assert not may_rate_by_digit("from-a-newer-version")


def test_a_card_is_drawn_in_every_look(entry, look):
    from hulllog.desktop.preferences import Look

    made = entry("level-of-fouling")
    seen = set()
    for worn in (Look.LIGHT, Look.DARK, Look.SUN):
        look.wear(worn)
        seen.add(made.grab().toImage().pixelColor(60, 60).name())
    look.wear(Look.LIGHT)
    assert len(seen) >= 2
