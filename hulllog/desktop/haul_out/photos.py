"""The photographs of this haul-out: taken in, captioned, said to show a zone, pinned."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, ClassVar

from PySide6.QtCore import Qt

from hulllog.desktop.buttons import button, link
from hulllog.desktop.choice import Choice, Option
from hulllog.desktop.drafts import FieldKey
from hulllog.desktop.fields import AreaField
from hulllog.desktop.haul_out.section import Section
from hulllog.desktop.hull.pair import show_photo
from hulllog.desktop.labels import Prose, tip, unmarked
from hulllog.desktop.layout import Card, boxed, clear, column, line
from hulllog.desktop.photos.clock import ClockSheet
from hulllog.desktop.photos.pins import PinBoard
from hulllog.desktop.photos.shots import show_shots
from hulllog.desktop.photos.shots import told as shots_told
from hulllog.desktop.photos.strip import PhotoStrip
from hulllog.desktop.photos.tray import show_tray, unplaced
from hulllog.desktop.theme import BODY
from hulllog.insight.alike import MOST_BITS, groups
from hulllog.insight.clocks import clocks
from hulllog.insight.occasions import Edge
from hulllog.insight.ownviews import own_views
from hulllog.insight.placed import PhotoSeen, photos_at
from hulllog.insight.shape import form_of, outline
from hulllog.insight.shots import shot_list
from hulllog.records.media import look_of
from hulllog.records.model import Photo
from hulllog.records.operations import choices, queries
from hulllog.records.operations.photos import (
    PHOTO,
    caption,
    move_photo_place,
    place_photo,
    remove_photo_place,
    set_photo,
)
from hulllog.words import say, say_n

if TYPE_CHECKING:
    from collections.abc import Sequence

    from PySide6.QtWidgets import QWidget

    from hulllog.desktop.pages import Page
    from hulllog.desktop.photos.intake import PhotoIntake
    from hulllog.desktop.tasks import Progress
    from hulllog.hull.zones import ZoneOutline
    from hulllog.records.book import Book
    from hulllog.records.logbook import Logbook

Told = tuple[dict[str, Any], str | None] | None


class PhotosSection(Section):
    """The strip at the left; the picked photograph and the drawing at the right."""

    code: ClassVar[str] = "photos"

    def __init__(self, page: Page, intake: PhotoIntake) -> None:
        super().__init__(page)
        self._intake = intake
        self._photos: list[PhotoSeen] = []
        self._zones: list[tuple[str, str, ZoneOutline]] = []
        self._zone_ids: dict[str, str] = {}
        self._at = ""
        self._unplaced: list[str] = []
        self._prints: dict[str, int | None] = {}
        self._folded = False
        self._state = "found"
        self._caption: AreaField | None = None
        self._lay_out()

    def refresh(self) -> None:
        """Show the photographs of this haul-out."""
        edge = Edge(self.visit_id, "left")
        rows = self.state.read(lambda book: photos_at(book, edge))
        self._photos = [photo for photo in rows if photo.visit_id == self.visit_id]
        zones = self.state.read(lambda book: _zones(book, self.visit_id))
        self._zones = [(code, name, made) for _, code, name, made in zones]
        self._zone_ids = {code: key for key, code, _, _ in zones}
        keys = list(dict.fromkeys(photo.photo_id for photo in self._photos))
        self._at = self._at if self._at in keys else (keys[0] if keys else "")
        self._unplaced = unplaced(self._photos)
        self.count.setText(_counted(len(keys), len(self._unplaced)))
        shots = self.state.read(lambda book: shot_list(book, self.visit_id))
        self.shots.setText(unmarked(shots_told(shots)))
        self.shots.setAccessibleName(shots_told(shots))
        cameras = self.state.read(lambda book: clocks(book, self.visit_id))
        self.clock.setVisible(bool(cameras))
        self.tray.setVisible(bool(self._unplaced))
        self._show_strip()
        self._compare(keys)
        self._show_picked()

    # Those that look alike

    def _compare(self, keys: list[str]) -> None:
        """Find in the background which look alike; nothing of them is dropped."""
        missing = [key for key in keys if key not in self._prints]
        if missing:
            logbook = self.state.logbook
            self.state.tasks.run(
                lambda progress: _prints(logbook, missing, progress), self._compared, owner=self
            )
        self._show_alike()

    def _compared(self, prints: dict[str, int | None]) -> None:
        self._prints.update(prints)
        self._show_strip()
        self._show_alike()

    def _groups(self) -> list[list[str]]:
        keys = dict.fromkeys(photo.photo_id for photo in self._photos)
        return groups({key: self._prints.get(key) for key in keys})

    def _show_strip(self) -> None:
        found = self._groups() if self._folded else []
        behind = {group[0]: len(group) - 1 for group in found if self._at not in group}
        hidden = {key for group in found if group[0] in behind for key in group[1:]}
        shown = [photo for photo in self._photos if photo.photo_id not in hidden]
        self.strip.show_photos(shown, self._at, behind)

    def _show_alike(self) -> None:
        """Offer to fold those together that look alike, or to show all again."""
        count = sum(len(group) for group in self._groups())
        self.alike.setVisible(bool(count))
        text = say("photos.unfold") if self._folded else say("photos.fold", n=count)
        self.alike.setText(text)
        self.alike.setAccessibleName(text)

    def _turn_folded(self) -> None:
        self._folded = not self._folded
        self._show_strip()
        self._show_alike()

    def start(self) -> QWidget | None:
        """Start at the button that takes photographs in."""
        return self.files

    def press(self, key: str) -> bool:
        """Take the key that adds photographs, and the one that puts a pin."""
        if key == "a":
            self._intake.ask_files()
        elif key == "p" and self._at:
            self.board.put_pin()
        elif key == "s":
            self._open_shots()
        elif key == "t" and self.tray.isEnabled():
            self.tray.click()
        else:
            return self.board.sides.press(key)
        return True

    def photos_of(self) -> tuple[str | None, str]:
        """Return no zone, and the state that is chosen."""
        return None, self._state

    # Parts

    def _lay_out(self) -> None:
        self.files = button(say("photos.choose"), self._intake.ask_files, primary=True, icon="add")
        self.folder = button(say("photos.choose_a_folder"), self._intake.ask_folder, icon="folder")
        self.page.writes(self.files, self.folder)
        self.states = Choice(
            say("photos.state"),
            [
                Option(code, say(f"state.{code}"), key)
                for code, key in zip(choices.STATES, "fdl", strict=True)
            ],
        )
        self.states.show_value(self._state)
        self.states.chosen.connect(self._choose_state)
        self.count = Prose("", BODY, role="muted")
        self.tray = button(say("tray.open"), self._open_tray, icon="pin")
        self.page.writes(self.tray)
        self.alike = link(say("photos.unfold"), self._turn_folded)
        tip(self.alike, say("photos.alike_rule", most=MOST_BITS))
        self.strip = PhotoStrip(self.state)
        self.strip.picked.connect(self._pick)
        self.shots = link(say("shots.open"), self._open_shots)
        intake = Card(margin=3)
        intake.body.addLayout(line(self.files, self.folder, None))
        intake.add(Prose(say("photos.or_drop"), BODY, role="muted"), self.states)
        self.clock = link(say("clock.open"), self._open_clock)
        self.page.writes(self.clock)
        intake.body.addLayout(line(self.shots, self.clock, None))
        told = line(space=2)
        told.addWidget(self.count, 1)
        told.addWidget(self.tray, 0, Qt.AlignmentFlag.AlignTop)
        left = column(intake, boxed(told), self.alike, self.strip, space=2)
        left.addStretch(1)
        self._picked = Card(say("photos.picked"), margin=3)
        self._fields = column(space=2)
        self._shows = column(space=1)
        self.board = PinBoard(self.state)
        self.board.zone_pressed.connect(self._show_zone)
        self.board.pin_pressed.connect(self._pick_place)
        self.board.pin_put.connect(self._put)
        self.board.pin_moved.connect(self._move)
        self.pin = button(say("photos.put_pin"), self.board.put_pin, icon="pin")
        self.page.writes(self.pin)
        self._picked.body.addLayout(self._fields)
        self._picked.body.addLayout(self._shows)
        self.large = button(say("photos.large"), self._show_large, icon="closer")
        self._picked.body.addLayout(line(self.pin, self.large, None))
        self._picked.add(Prose(say("photos.press_zone"), BODY, role="muted"), self.board)
        right = column(self._picked)
        right.addStretch(1)
        both = line(space=3)
        both.addWidget(boxed(left), 1)
        both.addWidget(boxed(right), 1)
        self.setLayout(both)

    def _choose_state(self, code: str) -> None:
        self._state = code

    def _open_shots(self) -> None:
        rows = self._rows()
        show_shots(self.page, self.visit_id, rows[0] if rows else None)

    def _open_clock(self) -> None:
        told = self.state.read(lambda book: clocks(book, self.visit_id))
        if told:
            ClockSheet(self.page, self.visit_id, told).ask()

    def _open_tray(self) -> None:
        if self._unplaced:
            zones = [(self._zone_ids[code], name) for code, name, _ in self._zones]
            show_tray(self.page, self.visit_id, self._unplaced, zones)

    # The picked photograph

    def _pick(self, photo_id: str) -> None:
        self._at = photo_id
        self._show_strip()
        self._show_picked()

    def _pick_place(self, place_id: str) -> None:
        found = next((one for one in self._photos if one.place_id == place_id), None)
        if found is not None:
            self._pick(found.photo_id)

    def _rows(self) -> list[PhotoSeen]:
        return [photo for photo in self._photos if photo.photo_id == self._at]

    def _show_picked(self) -> None:
        rows = self._rows()
        self._picked.setVisible(bool(rows))
        if not rows:
            return
        self._show_fields(rows[0])
        clear(self._shows)
        for row in rows:
            if row.place_id is not None:
                self._shows.addWidget(self._shown(row))
        picked = next((f"photo:{row.place_id}" for row in rows if row.place is not None), "")
        edge = Edge(self.visit_id, "left")
        form, own = self.state.read(lambda book: (form_of(book, edge), own_views(book, edge)))
        self.board.show_boat(form, self._zones, self._photos, picked, own)

    def _show_fields(self, photo: PhotoSeen) -> None:
        if self._caption is None or self._caption.objectName() != f"photo:{self._at}/caption":
            clear(self._fields)
            key = FieldKey(f"photo:{photo.photo_id}", "caption")
            self._caption = AreaField(
                say("photos.caption"), rows=2, label_width=72, key=key,
                drafts=self.state.drafts, check=self.state.checker(PHOTO, "caption"),
            )  # fmt: skip
            self._caption.committed.connect(self._set_caption)
            self._state_of = Choice(
                say("photos.state"),
                [Option(code, say(f"state.{code}")) for code in choices.STATES],
                label_width=72,
            )
            self._state_of.chosen.connect(self._set_state)
            self._fields.addWidget(self._caption)
            self._fields.addWidget(self._state_of)
        self._caption.show_value(photo.caption or "")
        self._state_of.show_value(photo.state)

    def _shown(self, row: PhotoSeen) -> QWidget:
        """Say one thing that the photograph shows, with a way to take it back."""
        names = {self._zone_ids[code]: name for code, name, _ in self._zones}
        zone = names.get(row.zone_id or "", "")
        code = "photos.shows_pin" if row.place is not None else "photos.shows"
        said = say(code, what=zone or say("word.unknown"))
        remove = link(say("do.remove"), lambda: self._remove(row.place_id or ""))
        remove.setAccessibleName(say("photos.remove", what=said))
        self.page.writes(remove)
        return boxed(line(Prose(said, BODY), remove))

    def _show_large(self) -> None:
        if rows := self._rows():
            show_photo(self, self.state, rows[0])

    # What is stored

    def _set_caption(self, text: str) -> None:
        if self._caption is not None:
            self.page.edit(caption, self._at, text, field=self._caption)

    def _set_state(self, code: str) -> None:
        self.page.edit(set_photo, self._at, "state", code)

    def _show_zone(self, code: str) -> None:
        zone_id = self._zone_ids.get(code)
        if zone_id and self._at and all(row.zone_id != zone_id for row in self._rows()):
            self.page.edit(place_photo, self._at, zone_id=zone_id)

    def _put(self, told: Told) -> None:
        if told is None:
            self.state.tell(say("photos.beside"))
            return
        place, code = told
        zone_id = self._zone_ids.get(code or "")
        rows = [row for row in self._rows() if row.place_id is not None]
        pinned = next((row for row in rows if row.place is not None), None)
        same_zone = next((row for row in rows if row.zone_id and row.zone_id == zone_id), None)
        if (held := pinned or same_zone) is not None:
            self._move(held.place_id or "", told)
        else:
            self.page.edit(place_photo, self._at, place=place, zone_id=zone_id)

    def _move(self, place_id: str, told: Told) -> None:
        if told is None:
            self.state.tell(say("photos.beside"))
            return
        place, zone = told
        self.page.edit(move_photo_place, place_id, place, zone_id=self._zone_ids.get(zone or ""))

    def _remove(self, place_id: str) -> None:
        self.page.edit(remove_photo_place, place_id)


def _prints(
    logbook: Logbook, photo_ids: Sequence[str], progress: Progress
) -> dict[str, int | None]:
    """Return the fingerprints of photographs."""
    found: dict[str, int | None] = {}
    with logbook.read() as book:
        for key in photo_ids:
            progress.check()
            photo = book.get(Photo, key)
            found[key] = look_of(logbook, photo) if photo is not None else None
    return found


def _counted(count: int, left: int) -> str:
    """Say how many photographs there are, and how many of them nobody said the place of."""
    if not count:
        return say("photos.none")
    if not left:
        return say_n("photo.count", count)
    return say("tray.counted", photos=say_n("photo.count", count), left=left)


def _zones(book: Book, visit_id: str) -> list[tuple[str, str, str, ZoneOutline]]:
    """Return key, code, name and outline of the zones that held at a visit."""
    return [
        (zone.id, zone.code, zone.name, outline(version.outline))
        for zone, version in queries.zones_at(book, visit_id)
    ]
