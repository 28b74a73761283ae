"""The tray: photographs that nobody said the place of, one after the other, by keyboard alone.

A letter says the zone and goes on; a big letter says it and stays, for a picture of several.  The
same letter again takes it back.  ``=`` carries the last caption on.
"""

from __future__ import annotations

import re
from string import ascii_lowercase
from typing import TYPE_CHECKING

import shiboken6
from PySide6.QtCore import Qt

from hulllog.desktop.buttons import button
from hulllog.desktop.choice import Choice, Choices, Option
from hulllog.desktop.drafts import FieldKey
from hulllog.desktop.fields import AreaField
from hulllog.desktop.hull.pair import Large
from hulllog.desktop.labels import Prose
from hulllog.desktop.layout import boxed, clear, column, line, scrolled
from hulllog.desktop.sheets import Sheet
from hulllog.desktop.theme import BODY, SMALL
from hulllog.insight.occasions import Edge
from hulllog.insight.placed import PhotoSeen, photos_at
from hulllog.records.model import AnodePosition, Gear
from hulllog.records.operations import choices, queries
from hulllog.records.operations.photos import (
    PHOTO,
    caption,
    place_photo,
    remove_photo_place,
    set_photo,
)
from hulllog.words import say, say_n
from hulllog.words.formats import partial_date

if TYPE_CHECKING:
    from collections.abc import Sequence

    from PySide6.QtGui import QKeyEvent

    from hulllog.desktop.pages import Page
    from hulllog.records.book import Book

_NUMBER = re.compile(r"(\d{1,4})(\D*)$")
_SIDE = 400


def unplaced(photos: Sequence[PhotoSeen]) -> list[str]:
    """Return the keys of photographs that show nothing of her, in their order."""
    placed = {photo.photo_id for photo in photos if photo.place_id is not None}
    return list(dict.fromkeys(one.photo_id for one in photos if one.photo_id not in placed))


def carried_on(text: str) -> str:
    """Return a caption for the next picture: the same, its last number one higher."""
    found = _NUMBER.search(text)
    if found is None:
        return text
    return f"{text[: found.start(1)]}{int(found[1]) + 1}{found[2]}"


class TraySheet(Sheet):
    """Walks through photographs of a visit.  ``zones`` are (key, name) in walking order.

    Fittings and anodes follow the zones; the letters that those leave are theirs.
    """

    def __init__(
        self, page: Page, visit_id: str, photo_ids: Sequence[str], zones: Sequence[tuple[str, str]]
    ) -> None:
        super().__init__(page, say("tray.title"), under=say("tray.under"), width=1080)
        self.setObjectName("tray")
        self._page, self._visit_id = page, visit_id
        self._ids = list(photo_ids)
        self._at = 0
        self._last = ""
        self._leaving = False
        self._rows: list[PhotoSeen] = []
        self.count = Prose("", BODY, bold=True)
        self.when = Prose("", SMALL, role="muted")
        self._picture = column(space=0)
        self._caption_box = column(space=0)
        self.caption: AreaField | None = None
        self.states = Choice(
            say("photos.state"),
            [
                Option(code, say(f"state.{code}"), key)
                for code, key in zip(choices.STATES, "123", strict=True)
            ],
            label_width=0,
        )
        self.states.chosen.connect(self._set_state)
        keys = list(ascii_lowercase) + [""] * len(zones)
        self.zones = Choices(
            say("tray.zones"),
            [Option(key, name, letter) for (key, name), letter in zip(zones, keys, strict=False)],
            label_width=0,
        )
        self.zones.chosen.connect(self._zones_chosen)
        self._things = page.state.read(_things)
        self.things = Choices(
            say("tray.things"),
            [
                Option(key, name, letter)
                for (key, (_, name)), letter in zip(
                    self._things.items(),
                    keys[len(zones) :] + [""] * len(self._things),
                    strict=False,
                )
            ],
            label_width=0,
        )
        self.things.chosen.connect(self._things_chosen)
        self.things.setVisible(bool(self._things))
        self.back = button(say("tray.back"), lambda: self.step(-1), icon="earlier")
        self.on = button(say("tray.on"), lambda: self.step(1), icon="door")
        self.same = button(say("tray.same"), self.carry_on)
        self._lay_out()
        self._show()

    def _lay_out(self) -> None:
        left = column(space=2)
        head = line(self.back, self.on, space=2)
        head.addWidget(self.count, 1, Qt.AlignmentFlag.AlignVCenter)
        left.addLayout(head)
        left.addLayout(self._picture, 1)
        left.addWidget(self.when)
        right = column(self.states, space=2)
        right.addLayout(self._caption_box)
        right.addLayout(line(self.same, None))
        right.addWidget(self.zones)
        right.addWidget(self.things)
        right.addStretch(1)
        side = scrolled(boxed(right))
        side.setFixedWidth(_SIDE)
        both = line(space=4)
        both.addLayout(left, 1)
        both.addWidget(side)
        self.body.addLayout(both, 1)
        self.resize(1160, 680)

    # Which one

    @property
    def photo_id(self) -> str:
        """The key of the photograph that is shown."""
        return self._ids[self._at]

    def step(self, by: int) -> None:
        """Show another one; at the last one, stay."""
        at = self._at + by
        if 0 <= at < len(self._ids):
            self._leave()
            self._at = at
            self._show()

    def _leave(self) -> None:
        """Keep a caption that is being written: its field goes before the answer comes."""
        self._leaving = True
        if self.caption is not None and self.caption.entry.hasFocus():
            self.large.setFocus(Qt.FocusReason.OtherFocusReason)
        self._leaving = False

    def done(self, result: int) -> None:
        """Keep what is being written, and close."""
        self._leave()
        super().done(result)

    def _show(self) -> None:
        self._read()
        photo = self._rows[0]
        clear(self._picture)
        self.large = Large(self._page.state, photo)
        self.large.setMinimumSize(420, 300)
        self.large.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self._picture.addWidget(self.large, 1)
        clear(self._caption_box)
        self.caption = AreaField(
            say("photos.caption"), rows=2, label_width=0,
            key=FieldKey(f"photo:{photo.photo_id}", "caption"),
            drafts=self._page.state.drafts,
            check=self._page.state.checker(PHOTO, "caption"),
        )  # fmt: skip
        made, key = self.caption, photo.photo_id
        made.committed.connect(lambda text: self._commit(made, key, text))
        self._caption_box.addWidget(self.caption)
        self.caption.show_value(photo.caption or "")
        self._tell()
        self.large.setFocus(Qt.FocusReason.OtherFocusReason)

    def _read(self) -> None:
        found = self._page.state.read(lambda book: _rows(book, self._visit_id, self.photo_id))
        self._rows = found or self._rows

    def _tell(self) -> None:
        """Say which one it is, and what is known of it."""
        photo = self._rows[0]
        left = self._page.state.read(lambda book: _left(book, self._visit_id, self._ids))
        self.count.setText(
            say_n("tray.count", left, at=self._at + 1, of=len(self._ids))
            if left else say("tray.all_placed", at=self._at + 1, of=len(self._ids))
        )  # fmt: skip
        when = partial_date(photo.when) if photo.when else say("photo.no_time")
        self.when.setText(when)
        self.states.show_value(photo.state)
        self.zones.show_value([row.zone_id for row in self._rows if row.zone_id])
        self.things.show_value([key for row in self._rows if (key := _thing(row))])
        self.back.setEnabled(self._at > 0)
        self.on.setEnabled(self._at < len(self._ids) - 1)
        self.same.setEnabled(bool(self._last))
        self.same.setText(say("tray.same"))

    # What is stored

    def _zones_chosen(self, chosen: Sequence[str]) -> None:
        """Say the zones that are chosen now, and take those back that are not."""
        shown = {row.zone_id: row.place_id for row in self._rows if row.zone_id}
        for zone_id in chosen:
            if zone_id not in shown:
                self._edit(place_photo, zone_id=zone_id)
        for zone_id, place_id in shown.items():
            if zone_id not in chosen and place_id:
                self._page.edit(remove_photo_place, place_id, done=self._stored)

    def _things_chosen(self, chosen: Sequence[str]) -> None:
        """Say the fittings and anodes that are chosen now, and take those back that are not."""
        shown = {key: row.place_id for row in self._rows if (key := _thing(row))}
        for key in chosen:
            if key not in shown:
                self._edit(place_photo, **{self._things[key][0]: key})
        for key, place_id in shown.items():
            if key not in chosen and place_id:
                self._page.edit(remove_photo_place, place_id, done=self._stored)

    def _edit(self, operation: object, **typed: object) -> None:
        self._page.edit(operation, self.photo_id, done=self._stored, **typed)  # type: ignore[arg-type]

    def _set_state(self, code: str) -> None:
        self._page.edit(set_photo, self.photo_id, "state", code, done=self._stored)

    def _stored(self, _result: object) -> None:
        if not shiboken6.isValid(self):
            return  # it was closed meanwhile
        self._read()
        self._tell()

    def _commit(self, field: AreaField, photo_id: str, text: str) -> None:
        if self._leaving:
            field.accept()
            self._last = text.strip() or self._last
            self._page.edit(caption, photo_id, text)
        else:
            self._page.edit(
                caption, photo_id, text, field=field, done=lambda _none: self._captioned(text)
            )

    def _captioned(self, text: str) -> None:
        if shiboken6.isValid(self):
            self._last = text.strip() or self._last
            self._tell()

    def carry_on(self) -> None:
        """Give this one the last caption, its number one higher."""
        if not self._last or self.caption is None:
            return
        text = carried_on(self._last)
        self.caption.show_value(text)
        self._last = text
        self._page.edit(
            caption,
            self.photo_id,
            text,
            field=self.caption,
            done=lambda _none: self._captioned(text),
        )

    # Keys

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Take the keys that go on and back, letters of zones, digits of states."""
        key, text = event.key(), event.text()
        plain = not event.modifiers() & ~(
            Qt.KeyboardModifier.ShiftModifier | Qt.KeyboardModifier.KeypadModifier
        )
        writes = self._page.state.read_only is None and plain
        if key in (Qt.Key.Key_PageDown, Qt.Key.Key_Right):
            self.step(1)
        elif key in (Qt.Key.Key_PageUp, Qt.Key.Key_Left):
            self.step(-1)
        elif key in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and self.large.hasFocus():
            assert self.caption is not None
            self.caption.entry.setFocus(Qt.FocusReason.TabFocusReason)
        elif key == Qt.Key.Key_Escape and not self.large.hasFocus():
            self.large.setFocus(Qt.FocusReason.OtherFocusReason)
        elif writes and text == "=":
            self.carry_on()
        elif writes and text and self.states.press(text):
            pass
        elif writes and len(text) == 1 and text.isalpha():
            self._letter(text)
        else:
            super().keyPressEvent(event)

    def _letter(self, letter: str) -> None:
        for choices_of in (self.zones, self.things):
            before = len(choices_of.value)
            if choices_of.press(letter):
                if len(choices_of.value) > before and letter.islower():
                    self.step(1)
                return


def show_tray(
    page: Page, visit_id: str, photo_ids: Sequence[str], zones: Sequence[tuple[str, str]]
) -> TraySheet:
    """Open the tray on photographs of a visit; there must be one."""
    sheet = TraySheet(page, visit_id, photo_ids, zones)
    sheet.open()
    sheet.large.setFocus(Qt.FocusReason.OtherFocusReason)
    return sheet


def _rows(book: Book, visit_id: str, photo_id: str) -> list[PhotoSeen]:
    found = photos_at(book, Edge(visit_id, "left"))
    return [photo for photo in found if photo.photo_id == photo_id]


def _thing(photo: PhotoSeen) -> str | None:
    return photo.gear_id or photo.anode_position_id


def _things(book: Book) -> dict[str, tuple[str, str]]:
    """Return fittings, then anodes: key -> the field that links a photograph to it, its name."""
    fittings, places = queries.kept(book, Gear), queries.kept(book, AnodePosition)
    return {
        **{one.id: ("gear_id", one.name) for one in fittings},
        **{one.id: ("anode_position_id", one.name) for one in places},
    }


def _left(book: Book, visit_id: str, photo_ids: Sequence[str]) -> int:
    return len(set(unplaced(photos_at(book, Edge(visit_id, "left")))) & set(photo_ids))
