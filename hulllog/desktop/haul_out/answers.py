"""Big rows of answers for the walk: 48 px high, one key each."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from PySide6.QtCore import QSize

from hulllog.desktop.choice import Choice, KeyedButton, Option
from hulllog.desktop.haul_out.lasttime import LAST_KEY
from hulllog.desktop.inputs import ENTER
from hulllog.desktop.theme import TARGET
from hulllog.insight.yardsheet import HIDDEN_KEYS
from hulllog.records.operations import choices
from hulllog.words import say, say_code

if TYPE_CHECKING:
    from collections.abc import Sequence

    from PySide6.QtGui import QKeyEvent

ANSWERS = {
    "nothing": "n", "found": "s", "part": "p", "not_seen": "c", "not_looked": "o",
    "finding": "f", "last_time": LAST_KEY, "photo": "a", "back": "b",
    "next": "x", "next_open": "u",
}  # fmt: skip
SHARES = {"10": "1", "25": "2", "50": "3", "75": "4", "90": "5"}
MUST_KEYS = {"before_relaunch": "b", "this_season": "s", "next_lift": "n", "watch": "w"}
NO_FINDING = "no_finding"
MORE = "more"
SEVERITY_KEYS = {"slight": "1", "moderate": "2", "severe": "3"}
SORT_OF_KIND = {
    "laminate-blisters": "blisters", "iso-4628-2-2016": "blisters", "rust-spots": "rust",
    "iso-4628-3-2016": "rust", "pit-depth": "corrosion", "crack": "crack", "damage": "damage",
    "soft-wood": "damage", "antifouling-cover": "coating", "iso-4628-5-2016": "coating",
    "level-of-fouling": "coating", "dull-sound": "damage",
}  # fmt: skip
"""Kind -> the sort of a finding that is raised from it.  Our own rule."""


class BigButton(KeyedButton):
    """A button that is always high enough for a cold finger."""

    def sizeHint(self) -> QSize:
        """Ask for 48 px and some air beside the text."""
        size = super().sizeHint()
        return QSize(size.width() + 8, max(size.height(), TARGET))

    def minimumSizeHint(self) -> QSize:
        """Never be lower."""
        return QSize(super().minimumSizeHint().width(), self.sizeHint().height())


class BigRow(Choice):
    """A row of big buttons.  Nothing stays chosen unless ``stays``."""

    button_class: ClassVar[type[KeyedButton]] = BigButton

    def __init__(self, text: str, options: Sequence[Option], *, stays: bool = False) -> None:
        super().__init__(text, options, label_width=0)
        self._stays = stays

    def choose(self, code: str) -> None:
        """Tell what was chosen, and show it only where it stays."""
        if self._stays:
            super().choose(code)
        else:
            self.chosen.emit(code)

    def set_offered(self, code: str, offered: bool) -> None:
        """Show or dim one of the buttons."""
        for made in self.buttons:
            if made.option.code == code:
                made.setEnabled(offered)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Take the keys of a row; Enter presses the button that has the keyboard.

        A key that is held down answers once, or it would answer for zones nobody looked at.
        """
        if event.isAutoRepeat() and event.text():
            return
        if event.key() in ENTER:
            focused = next((made for made in self.buttons if made.hasFocus()), None)
            if focused is not None and focused.isEnabled():
                self.choose(focused.option.code)
                return
        super().keyPressEvent(event)


def answers_row() -> BigRow:
    """Make the row of answers to a zone."""
    options = [
        Option(code, say(f"haul_out.answer.{code}"), key, say(f"haul_out.answer_more.{code}"))
        for code, key in ANSWERS.items()
    ]
    return BigRow(say("haul_out.answers"), options)


def hidden_row(label: str, *, stays: bool) -> BigRow:
    """Make the row of what hid a zone."""
    options = [
        Option(code, say_code("hidden_by", code), HIDDEN_KEYS.get(code, ""))
        for code in choices.HIDDEN_BY
    ]
    return BigRow(label, options, stays=stays)


def share_row() -> BigRow:
    """Make the row of how much was seen."""
    options = [Option(code, say(f"haul_out.share.{code}"), key) for code, key in SHARES.items()]
    return BigRow(say("haul_out.part.share"), options, stays=True)
