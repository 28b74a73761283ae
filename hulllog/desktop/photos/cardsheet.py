"""What the cards of a folder leave to ask: zones of cards not read, the yard's clock."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from PySide6.QtCore import Qt
from PySide6.QtGui import QImage, QPixmap
from PySide6.QtWidgets import QLabel

from hulllog.desktop.fields import Field, TextField
from hulllog.desktop.labels import Prose
from hulllog.desktop.layout import boxed, column, line, scrolled
from hulllog.desktop.sheets import Sheet
from hulllog.desktop.theme import BODY
from hulllog.insight.cardsorting import clock_minutes
from hulllog.records.errors import Refused
from hulllog.records.media import thumbnail
from hulllog.records.model import Photo, Visit
from hulllog.records.operations import queries
from hulllog.records.operations.photos import correct_clock, sort_photos
from hulllog.words import say, say_n

if TYPE_CHECKING:
    from datetime import datetime

    from hulllog.desktop.pages import Page
    from hulllog.desktop.photos.cards import ClockSeen, Held, Placed

_LABEL, _WIDE, _HIGH, _MOST = 120, 180, 620, 4


class CardsSheet(Sheet):
    """Asks the zone of each card that could not be read, and the yard's time on a clock card."""

    def __init__(self, page: Page, placed: Placed) -> None:
        super().__init__(
            page,
            say("zone_cards.ask"),
            under=say("zone_cards.ask_under") if placed.held else "",
            accept_text=say("do.done"),
            on_accept=self._store,
            width=620,
        )
        self.page = page
        self._zones = {
            key: zone.id
            for number, (zone, _) in enumerate(page.state.read(queries.zones_at), 1)
            for key in (str(number), zone.name.casefold())
        }
        self.zones: list[tuple[Held, Field]] = []
        self.clocks: list[tuple[ClockSeen, datetime, Field]] = []
        self._asked = column(space=3)
        for held in placed.held:
            self._ask_zone(held)
        for clock in placed.clocks:
            self._ask_clock(clock)
        held_in = boxed(self._asked)
        many = len(self.zones) + len(self.clocks) > _MOST
        self.add(scrolled(held_in) if many else held_in)
        if many:
            self.setMinimumHeight(_HIGH)

    def open(self) -> None:
        """Show the sheet with the keyboard in its first field."""
        super().open()
        first = [*(field for _, field in self.zones), *(field for *_, field in self.clocks)]
        if first:
            first[0].entry.setFocus()

    def _ask_zone(self, held: Held) -> None:
        names = [name for name in self._zones if not name.isdigit()]
        field = TextField(
            say("zone_cards.zone"),
            known=names,
            check=self._known,
            hint=say("zone_cards.zone_hint"),
            label_width=_LABEL,
        )
        self.zones.append((held, field))
        waiting = Prose(say_n("zone_cards.waiting", len(held.photo_ids)), BODY, role="muted")
        self._asked.addLayout(line(self._picture(held.card_id), boxed(column(waiting, field))))

    def _ask_clock(self, clock: ClockSeen) -> None:
        shown = self._shown(clock)
        if shown is None:
            return
        text = say("zone_cards.yard_clock", camera=clock.camera)
        hint = say("zone_cards.camera_showed", time=shown.strftime("%H:%M"))
        field = TextField(text, check=partial(_is_time, shown), hint=hint, label_width=_LABEL)
        self.clocks.append((clock, shown, field))
        self._asked.addLayout(line(self._picture(clock.photo_id), field))

    def _shown(self, clock: ClockSeen) -> datetime | None:
        """Return what the camera's clock showed, in the zone of the visit."""
        with self.page.state.logbook.read() as book:
            photo = book.get(Photo, clock.photo_id)
            if photo is None or photo.captured is None:
                return None
            visit = book.get(Visit, photo.visit_id) if photo.visit_id else None
            zone = visit.time_zone if visit else queries.time_zone(book)
            return photo.captured.earliest.astimezone(ZoneInfo(zone))

    def _picture(self, photo_id: str) -> QLabel:
        made = QLabel()
        made.setAccessibleName(say("zone_cards.picture"))
        with self.page.state.logbook.read() as book:
            photo = book.get(Photo, photo_id)
            data = thumbnail(self.page.state.logbook, photo) if photo is not None else None
        if data is not None:
            image = QImage.fromData(data).scaledToWidth(
                _WIDE, Qt.TransformationMode.SmoothTransformation
            )
            made.setPixmap(QPixmap.fromImage(image))
        return made

    def _known(self, typed: str) -> None:
        if typed and typed.strip().casefold() not in self._zones:
            raise Refused("zone_not_here", typed=typed)

    def _store(self) -> bool:
        fields = [*(field for _, field in self.zones), *(field for *_, field in self.clocks)]
        if not all(field.commit() for field in fields):
            return False
        zones: dict[str, str] = {}
        for held, field in self.zones:
            zone = self._zones.get(field.text().strip().casefold())
            if zone is not None:
                zones |= dict.fromkeys((held.card_id, *held.photo_ids), zone)
        if zones:
            self.page.edit(sort_photos, zones)
        for clock, shown, field in self.clocks:
            minutes = clock_minutes(shown, field.text())
            if minutes is not None:
                reason = say("zone_cards.clock_reason", time=field.text().strip())
                self.page.edit(
                    correct_clock, clock.camera, minutes, reason=reason,
                    visit_id=self._visit_of(clock.photo_id),
                )  # fmt: skip
        return True

    def _visit_of(self, photo_id: str) -> str | None:
        with self.page.state.logbook.read() as book:
            photo = book.get(Photo, photo_id)
            return photo.visit_id if photo is not None else None


def _is_time(shown: datetime, typed: str) -> None:
    if typed and clock_minutes(shown, typed) is None:
        raise Refused("clock_wanted", typed=typed)
