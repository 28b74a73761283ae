"""A zone that was seen in part, and one that could not be seen: how much, and what hid it."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from hulllog.desktop.choice import Option
from hulllog.desktop.haul_out.answers import BigRow, hidden_row, share_row
from hulllog.desktop.haul_out.section import focus_on
from hulllog.desktop.layout import column
from hulllog.records.operations.walking import Part
from hulllog.words import say


class PartPanel(QWidget):
    """How much of the zone was seen, what hid the rest, and whether anything was found.

    ``answered`` brings a Part and whether something was found; ``back`` gives up.
    """

    answered = Signal(object, bool)
    back = Signal()

    def __init__(self) -> None:
        super().__init__()
        self.share = share_row()
        self.hidden = hidden_row(say("haul_out.part.hidden"), stays=True)
        self.result = BigRow(
            say("haul_out.part.result"),
            [
                Option("nothing", say("haul_out.part.nothing"), "n"),
                Option("found", say("haul_out.part.found"), "s"),
                Option("back", say("haul_out.answer.back"), "b"),
            ],
        )
        self.share.chosen.connect(lambda _code: focus_on(self.hidden))
        self.hidden.chosen.connect(lambda _code: focus_on(self.result))
        self.result.chosen.connect(self._answer)
        box = column(self.share, self.hidden, self.result, space=4)
        box.addStretch(1)
        self.setLayout(box)

    def begin(self) -> None:
        """Ask anew."""
        self.share.show_value(None)
        self.hidden.show_value(None)
        focus_on(self.share)

    def press(self, key: str) -> bool:
        """Take a key that no row took."""
        return self.result.press(key)

    def _answer(self, code: str) -> None:
        if code == "back":
            self.back.emit()
            return
        share = f"{self.share.value} %" if self.share.value else None
        self.answered.emit(Part(share=share, hidden_by=self.hidden.value), code == "found")


class UnseenPanel(QWidget):
    """Why the zone could not be seen.  ``answered`` brings the reason; ``back`` gives up."""

    answered = Signal(str)
    back = Signal()

    def __init__(self) -> None:
        super().__init__()
        self.why = hidden_row(say("haul_out.unseen.why"), stays=False)
        self.give_up = BigRow(
            say("haul_out.unseen.or"), [Option("back", say("haul_out.answer.back"), "b")]
        )
        self.why.chosen.connect(self.answered)
        self.give_up.chosen.connect(lambda _code: self.back.emit())
        box = column(self.why, self.give_up, space=4)
        box.addStretch(1)
        self.setLayout(box)

    def begin(self) -> None:
        """Ask anew."""
        focus_on(self.why)

    def press(self, key: str) -> bool:
        """Take a key that no row took."""
        return self.give_up.press(key)
