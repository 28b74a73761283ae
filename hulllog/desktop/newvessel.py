"""A new vessel from six questions; all else is assumed by type, and shown as assumed."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hulllog.desktop.sheets import Sheet
from hulllog.words import say

if TYPE_CHECKING:
    from hulllog.desktop.window import Window


def new_vessel_sheet(window: Window) -> Sheet:
    """Ask the six questions, make the logbook and open it."""
    sheet = Sheet(window, say("desktop.do.new_vessel"))
    sheet.open()
    return sheet
