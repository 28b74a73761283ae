"""The sheet of keys, and the sheet that says what this program is."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hulllog import __version__
from hulllog.desktop.labels import Prose
from hulllog.desktop.layout import facts, scrolled
from hulllog.desktop.sheets import Sheet
from hulllog.words import say

if TYPE_CHECKING:
    from collections.abc import Sequence

    from PySide6.QtWidgets import QWidget

_ELSEWHERE = ("strip", "drawing", "choice", "field", "area", "steps", "walk")


def keys_sheet(over: QWidget, keys: Sequence[tuple[str, str]]) -> Sheet:
    """Show the keys of all commands, and those of the strip, drawings and fields."""
    sheet = Sheet(over, say("desktop.keys.title"), width=560)
    others = [
        (say(f"desktop.keys.{name}"), say(f"desktop.keys.{name}_does")) for name in _ELSEWHERE
    ]
    inside = scrolled(facts([*keys, *others], label_width=150))
    inside.setMinimumHeight(420)
    sheet.add(inside)
    sheet.open()
    return sheet


def about_sheet(over: QWidget) -> Sheet:
    """Say what the program is, and its version."""
    sheet = Sheet(over, say("app.name"), under=say("desktop.about.version", version=__version__))
    sheet.add(Prose(say("app.about")), Prose(say("desktop.about.fonts"), role="muted"))
    sheet.open()
    return sheet
