"""The end of a walk: what has an answer, and what could not be seen or was left out."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from hulllog.desktop.choice import Option
from hulllog.desktop.haul_out.answers import BigRow
from hulllog.desktop.haul_out.section import focus_on
from hulllog.desktop.labels import Prose, heading
from hulllog.desktop.layout import column
from hulllog.desktop.theme import BODY, TITLE
from hulllog.words import say, say_n

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hulllog.insight.walking import Stop


class WalkDone(QWidget):
    """Says that every zone has an answer.  ``again`` asks for another walk, ``leave`` for steps."""

    again = Signal()
    leave = Signal()

    def __init__(self) -> None:
        super().__init__()
        self.title = heading(say("haul_out.done.title"), TITLE)
        self.told = Prose("", BODY)
        self.next = BigRow(
            say("haul_out.done.next"),
            [
                Option("leave", say("haul_out.done.steps"), "s"),
                Option("again", say("haul_out.done.again"), "w"),
            ],
        )
        self.next.chosen.connect(self._choose)
        box = column(self.title, self.told, self.next, space=3)
        box.addStretch(1)
        self.setLayout(box)

    def show_stops(self, stops: Sequence[Stop]) -> None:
        """Count the answers, and name the zones that were not seen."""
        by_coverage: dict[str, list[str]] = {}
        for stop in stops:
            if stop.entered is not None:
                by_coverage.setdefault(stop.entered.coverage, []).append(stop.name)
        seen = len(by_coverage.get("whole", [])) + len(by_coverage.get("part", []))
        lines = [say_n("haul_out.done.seen", seen)]
        lines += [
            say(f"haul_out.done.{coverage}", zones="; ".join(by_coverage[coverage]))
            for coverage in ("part", "not_seen", "not_looked")
            if coverage in by_coverage
        ]
        self.told.setText("\n".join(lines))

    def start(self) -> None:
        """Put the keyboard on what comes next."""
        focus_on(self.next)

    def press(self, key: str) -> bool:
        """Take a key that no row took."""
        return self.next.press(key)

    def _choose(self, code: str) -> None:
        (self.again if code == "again" else self.leave).emit()
