"""The reason that a correction wants."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hulllog.desktop.fields import AreaField
from hulllog.desktop.sheets import Sheet
from hulllog.records.errors import Refused
from hulllog.words import say

if TYPE_CHECKING:
    from collections.abc import Callable

    from PySide6.QtWidgets import QWidget


class Reason(Sheet):
    """Asks why a closed record is corrected."""

    def __init__(self, over: QWidget, go_on: Callable[[str], object]) -> None:
        super().__init__(
            over,
            say("desktop.reason.title"),
            under=say("desktop.reason.why"),
            accept_text=say("do.correct"),
            on_accept=self._accept_reason,
        )
        self.setObjectName("reason")
        self._go_on = go_on
        self.reason = AreaField(say("desktop.reason.label"), label_width=0)
        self.add(self.reason)

    def _accept_reason(self) -> bool:
        reason = self.reason.typed()
        if not reason:
            self.reason.refuse(Refused("reason_missing", field="reason"))
            self.reason.entry.setFocus()
            return False
        self._go_on(reason)
        return True


def ask_reason(
    over: QWidget, go_on: Callable[[str], object], give_up: Callable[[], object]
) -> Reason:
    """Ask why a closed record is corrected; ``go_on`` gets the reason."""
    sheet = Reason(over, go_on)
    sheet.rejected.connect(give_up)
    sheet.open()
    sheet.reason.entry.setFocus()
    return sheet
