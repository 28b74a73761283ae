"""The sheet that takes a drawing or photograph in as a view: its file, its name, what it shows."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QFileDialog

from hulllog.desktop.boat.ownview import OwnViewSheet
from hulllog.desktop.buttons import button
from hulllog.desktop.choice import Choice, Option
from hulllog.desktop.fields import TextField, refuse_named
from hulllog.desktop.labels import Prose
from hulllog.desktop.layout import boxed, line
from hulllog.desktop.sheets import Sheet
from hulllog.desktop.theme import BODY
from hulllog.records.errors import Refused
from hulllog.records.media import add_own_view
from hulllog.records.operations.ownviews import SHOWS
from hulllog.words import say

if TYPE_CHECKING:
    from hulllog.desktop.pages import Page

_WIDTH = 620
KINDS = "*.jpg *.jpeg *.png *.heic *.heif *.tif *.tiff *.webp"


class NewOwnView(Sheet):
    """Asks for a picture; when it is taken in, the sheet to draw on it opens."""

    def __init__(self, page: Page, file: Path | None = None) -> None:
        super().__init__(
            page,
            say("own.use_title"),
            under=say("own.use_under"),
            accept_text=say("own.take_in"),
            on_accept=self._store,
            width=_WIDTH,
        )
        self.setObjectName("new-own-view")
        self.page = page
        self.file: Path | None = None
        self.chosen = Prose(say("own.no_file"), BODY, role="muted")
        self.choose = button(say("own.choose"), self._choose)
        self.name = TextField(say("own.name"))
        self.shows = Choice(
            say("own.shows"), [Option(code, say(f"own_shows.{code}")) for code in SHOWS]
        )
        self.shows.show_value(SHOWS[0])
        self.add(boxed(line(self.choose, None)), self.chosen, self.name, self.shows)
        if file is not None:
            self.take(file)

    def ask(self) -> NewOwnView:
        """Show the sheet."""
        self.open()
        (self.name.entry if self.file else self.choose).setFocus()
        return self

    def choose_file(self) -> str:
        """Ask for the file; empty for none."""
        kinds = f"{say('own.pictures')} ({KINDS})"
        chosen, _ = QFileDialog.getOpenFileName(self, say("own.use_title"), "", kinds)
        return chosen

    def _choose(self) -> None:
        if chosen := self.choose_file():
            self.take(Path(chosen))
            self.name.entry.setFocus()

    def take(self, file: Path) -> None:
        """Take a file; its name is that of the view until another is typed."""
        self.file = file
        self.chosen.setText(file.name)
        if not self.name.typed():
            self.name.show_value(file.stem[:120])

    def _store(self) -> bool:
        """Copy the file and enter it off the window's thread; the sheet closes when it is in."""
        if self.file is None:
            self.tell(Refused("own_no_file"))
            return False
        file, name, shows = self.file, self.name.typed() or "", str(self.shows.value)
        self.page.state.run(
            lambda logbook: add_own_view(logbook, file, name=name, shows=shows),
            done=self._stored,
            refused=self._refused,
            owner=self,
        )
        return False

    def _stored(self, view_id: str) -> None:
        self.name.give_up()
        self.accept()
        OwnViewSheet(self.page, view_id).ask()

    def _refused(self, problem: BaseException) -> None:
        if (named := refuse_named({"name": self.name}, problem)) is not None:
            named.entry.setFocus()
        else:
            self.tell(problem)
