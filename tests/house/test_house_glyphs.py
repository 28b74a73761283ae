"""The one family of window and paper has a glyph for all that the program itself says."""

from __future__ import annotations

import ast
from pathlib import Path

from hulllog.drawing import font
from hulllog.words.catalogue import _spoken

ROOT = Path(__file__).parents[2]


def formulas() -> dict[str, str]:
    """Return every formula and symbol of the sums, with the file it stands in."""
    found = {}
    for file in (ROOT / "hulllog" / "trade").glob("*.py"):
        for node in ast.walk(ast.parse(file.read_text("utf-8"))):
            text = node.value if isinstance(node, ast.Constant) else None
            if isinstance(text, str) and not text.isascii() and "\n" not in text:
                found[text] = file.name
    return found


def test_every_formula_can_be_printed() -> None:
    lacking = {text: font.missing(text) for text in formulas() if font.missing(text)}
    assert not lacking


def test_every_sentence_can_be_printed() -> None:
    catalogue = _spoken("en_GB")
    lacking = {
        code: font.missing(sentence)
        for code, sentence in catalogue._catalog.items()
        if isinstance(sentence, str) and font.missing(sentence.replace("\n", ""))
    }
    assert not lacking
