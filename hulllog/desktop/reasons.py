"""The reason that a correction wants."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hulllog.desktop.fields import AreaField
from hulllog.desktop.sheets import Sheet
from hulllog.words import say

if TYPE_CHECKING:
    from collections.abc import Callable

    from PySide6.QtWidgets import QWidget


def ask_reason(
    over: QWidget, go_on: Callable[[str], object], give_up: Callable[[], object]
) -> Sheet:
    """Ask why a closed record is corrected; ``go_on`` gets the reason."""
    field = AreaField(say("desktop.reason.label"), label_width=0)

    def accept() -> bool:
        reason = field.text().strip()
        if not reason:
            field.entry.setFocus()
            return False
        go_on(reason)
        return True

    sheet = Sheet(
        over,
        say("desktop.reason.title"),
        under=say("desktop.reason.why"),
        accept_text=say("do.correct"),
        on_accept=accept,
    )
    sheet.add(field)
    sheet.rejected.connect(give_up)
    sheet.open()
    field.entry.setFocus()
    return sheet
