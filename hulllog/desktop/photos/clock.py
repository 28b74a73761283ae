"""The clock of a camera: how many minutes it was wrong at this visit, and how that is known."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hulllog.desktop.choice import Choice, Option
from hulllog.desktop.fields import AreaField, TextField
from hulllog.desktop.hull.storing import fitted, store
from hulllog.desktop.labels import Prose
from hulllog.desktop.sheets import Sheet
from hulllog.desktop.theme import BODY
from hulllog.records.model import Visit
from hulllog.records.operations.photos import CLOCK, correct_clock
from hulllog.words import formats, say, say_n

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hulllog.desktop.pages import Page
    from hulllog.insight.clocks import CameraClock


class ClockSheet(Sheet):
    """Asks which camera, how many minutes are added to its times, and why."""

    def __init__(self, page: Page, visit_id: str, clocks: Sequence[CameraClock]) -> None:
        super().__init__(
            page, say("clock.title"), under=say("clock.under"),
            accept_text=say("do.correct"), on_accept=self._store, width=620,
        )  # fmt: skip
        self.setObjectName("clock")
        self._page, self._visit_id = page, visit_id
        self._clocks = {one.camera: one for one in clocks}
        visit = page.state.read(lambda book: book.get(Visit, visit_id))
        self._zone = visit.time_zone if visit is not None else None
        self.cameras = Choice(
            say("clock.camera"), [Option(one.camera, one.camera) for one in clocks]
        )
        self.cameras.chosen.connect(self._choose)
        self.told = Prose("", BODY, role="muted")
        self.minutes = TextField(say("clock.minutes"), check=page.state.checker(CLOCK, "minutes"))
        self.reason = AreaField(say("clock.reason"), rows=2)
        self.add(self.cameras, self.told, self.minutes, self.reason)
        self._choose(clocks[0].camera)

    def ask(self) -> None:
        """Open it at the minutes."""
        self.open()
        fitted(self)
        self.minutes.entry.setFocus()

    def _choose(self, camera: str) -> None:
        self.cameras.show_value(camera)
        clock = self._clocks[camera]
        first, last = (formats.moment(at, self._zone) for at in (clock.first, clock.last))
        when = first if first == last else say("date.span", begins=first, ends=last)
        self.told.setText(say_n("clock.told", clock.photos, when=when))
        self.minutes.show_value(str(clock.minutes) if clock.minutes else "")
        self.reason.show_value(clock.reason or "")
        fitted(self)

    def _store(self) -> bool:
        camera = self.cameras.value or ""
        store(
            self._page, self, correct_clock, camera, self.minutes.typed(),
            fields={"minutes": self.minutes, "reason": self.reason},
            reason=self.reason.typed(), visit_id=self._visit_id,
        )  # fmt: skip
        return False
