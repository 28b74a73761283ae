"""Text is measured from the font's own units, and nothing it lacks is dropped."""

from __future__ import annotations

import pytest
from fontTools.ttLib import TTFont
from hypothesis import given, settings
from hypothesis import strategies as st

from hulllog.drawing import font

ANY_TEXT = st.text(max_size=40)


@pytest.mark.parametrize("bold", [False, True])
def test_the_font_is_read_as_another_reader_reads_it(bold):
    other = TTFont(font.file_of(bold=bold))
    names = other.getGlyphOrder()
    cmap = {code: other.getGlyphID(name) for code, name in other.getBestCmap().items()}
    ours = font.face(bold=bold)
    assert dict(ours.glyphs) == cmap
    assert list(ours.advances) == [other["hmtx"][name][0] for name in names]
    assert ours.cap_height == other["OS/2"].sCapHeight / other["head"].unitsPerEm
    assert font.cap_height(10) == pytest.approx(10 * ours.cap_height)
    assert ours.x_height == other["OS/2"].sxHeight / other["head"].unitsPerEm
    assert ours.ascent == other["hhea"].ascent / other["head"].unitsPerEm


def test_the_licence_is_shipped():
    assert "SIL Open Font License" in font.licence_file().read_text(encoding="utf-8")


def test_figures_are_as_wide_as_each_other():
    assert len({font.width(figure, 10) for figure in "0123456789"}) == 1


@pytest.mark.parametrize("text", ["Größe µm ≥ 3 m² \u202f−1,5 …", "Σκάφος", "Днище", "✓ √ Δ ±"])
def test_the_family_covers_what_the_program_says(text):
    assert font.missing(text) == ()
    assert font.printable(text) == text


def test_a_missing_character_is_marked_by_its_code():
    assert font.printable("Boat 🚤!") == "Boat ‹U+1F6A4›!"
    assert font.printable("漢字 a") == "‹U+6F22 U+5B57› a"
    assert font.missing("Boat 🚤 漢 🚤") == ("🚤", "漢")


def test_a_split_accent_is_put_together():
    assert font.printable("e\u0301tat\u26f5") == "état‹U+26F5›"


def test_a_line_end_becomes_a_space():
    assert font.printable("a\nb\tc") == "a b c"


@given(ANY_TEXT)
@settings(max_examples=80)
def test_what_is_printed_is_always_in_the_font(text):
    assert font.missing(font.printable(text)) == ()
    for character in font.missing(text):
        assert f"U+{ord(character):04X}" in font.printable(text)


@given(ANY_TEXT, st.floats(1, 60))
@settings(max_examples=80)
def test_a_fitted_text_fits(text, room):
    cut = font.fit(text, room, 3)
    assert font.width(cut, 3) <= room
    assert cut == text or cut == "" or cut.endswith(font.ELLIPSIS)


def test_a_text_is_cut_only_as_much_as_needed():
    assert font.fit("as found", 100, 3) == "as found"
    room = font.width("Laminate…", 3)
    assert font.fit("Laminate blisters", room, 3) == "Laminate…"
    assert font.fit("Laminate", 0.5, 3) == ""


@given(st.text(alphabet="ab cde", max_size=60), st.floats(3, 30))
@settings(max_examples=80)
def test_wrapped_lines_fit_and_keep_every_letter(text, room):
    lines = font.wrap(text, room, 3)
    assert all(font.width(line, 3) <= room for line in lines)
    assert "".join(lines).replace(" ", "") == text.replace(" ", "")


def test_wider_in_bold():
    assert font.width("Largest", 3, bold=True) > font.width("Largest", 3)
