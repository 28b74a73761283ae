"""The page *This haul-out*: begun or entered in short, then led in the order of the evidence."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from PySide6.QtWidgets import QStackedWidget

from hulllog.desktop.haul_out.short import ShortForm
from hulllog.desktop.pages import Page
from hulllog.records.operations import queries
from hulllog.words import say

if TYPE_CHECKING:
    from PySide6.QtWidgets import QWidget

    from hulllog.records.book import Book


class HaulOutPage(Page):
    """The open haul-out; while there is none, the short form that enters one."""

    code = "haul_out"

    def build(self) -> None:
        """Make the short form; the rest is made when there is a haul-out to show."""
        self.stack = QStackedWidget()
        self.short = ShortForm(self.state)
        self.stack.addWidget(self.short)
        self.body.addWidget(self.stack)

    def refresh(self) -> None:
        """Show the open haul-out, or the short form."""
        self.short.refresh()

    def first_focus(self) -> QWidget | None:
        """Start in the first field."""
        return self.short.start()
