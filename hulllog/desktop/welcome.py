"""What is seen while no logbook is open: the shelf, a new vessel, the sample."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QWidget

from hulllog.desktop.buttons import Door, button
from hulllog.desktop.labels import Prose, heading, muted
from hulllog.desktop.layout import Card, Doors, boxed, column, line, scrolled
from hulllog.desktop.theme import BODY, DISPLAY, LEAD, step
from hulllog.records.folder import FILE_NAME
from hulllog.records.shelf import look_at
from hulllog.words import say
from hulllog.words.formats import partial_date

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from hulllog.desktop.preferences import Preferences
    from hulllog.records.shelf import Shelved

_WIDTH = 560


def logbooks_on(shelf: Path) -> list[Path]:
    """Return the folders of a shelf that hold a logbook, by name."""
    if not shelf.is_dir():
        return []
    return sorted(folder for folder in shelf.iterdir() if (folder / FILE_NAME).is_file())


class Welcome(QWidget):
    """The way in: a logbook of the shelf, another one, a new vessel, or the sample."""

    def __init__(
        self,
        preferences: Preferences,
        *,
        on_open: Callable[[Path], object],
        on_browse: Callable[[], object],
        on_new: Callable[[], object],
        on_sample: Callable[[], object],
    ) -> None:
        super().__init__()
        self._preferences = preferences
        self._on_open = on_open
        self._shelf = Doors()
        self._none = Prose(say("desktop.welcome.none"), BODY, role="muted")
        new = button(say("desktop.do.new_vessel"), on_new, primary=True)
        rest = line(
            new,
            button(say("desktop.do.open_logbook"), on_browse),
            button(say("desktop.do.open_sample"), on_sample),
            None,
        )
        inner = column(heading(say("app.name"), DISPLAY), space=2)
        inner.addWidget(Prose(say("app.about"), LEAD, role="muted"))
        inner.addSpacing(step(4))
        inner.addLayout(rest)
        inner.addSpacing(step(4))
        inner.addWidget(Card(say("desktop.welcome.shelf"), margin=4).add(self._shelf, self._none))
        inner.addWidget(muted(say("desktop.welcome.shelf_where", folder=str(preferences.shelf))))
        inner.addStretch(1)
        held = boxed(inner)
        held.setFixedWidth(_WIDTH)
        outer = column(margin=8)
        outer.addWidget(held, 1, Qt.AlignmentFlag.AlignHCenter)
        whole = column(scrolled(boxed(outer)))
        self.setLayout(whole)
        self.first = new
        self.refresh()

    def refresh(self) -> None:
        """List the logbooks opened last, then the others of the shelf."""
        recent = self._preferences.recent
        others = [one for one in logbooks_on(self._preferences.shelf) if one not in recent]
        self._shelf.clear()
        for folder in [*recent, *others]:
            found = look_at(folder)
            self._shelf.add(Door(found.name, _where(found), on=self._opener(folder)))
        self._none.setVisible(not recent and not others)

    def _opener(self, folder: Path) -> Callable[[], object]:
        return lambda: self._on_open(folder)


def _where(found: Shelved) -> str:
    """Say where a logbook lies, and when she was looked at last."""
    if found.last_visit is None:
        return str(found.folder)
    date = partial_date(found.last_visit)
    return say("desktop.welcome.last", date=date, folder=str(found.folder))
