"""The list of pictures that a haul-out wants; a line of it says what the picked photograph is."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

import shiboken6
from PySide6.QtCore import Qt

from hulllog.desktop.buttons import TallDoor
from hulllog.desktop.hull.pair import PhotoTile
from hulllog.desktop.labels import Few, Prose
from hulllog.desktop.layout import Caution, Doors, boxed, column, line, scrolled
from hulllog.desktop.sheets import Sheet
from hulllog.desktop.theme import BODY, step
from hulllog.insight.shots import named_shots, shot_list
from hulllog.records.operations.photos import name_shot
from hulllog.words import say

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hulllog.desktop.pages import Page
    from hulllog.insight.placed import PhotoSeen
    from hulllog.insight.shots import ShotHeld

_TILE = 120


class ShotsSheet(Sheet):
    """The list, those first that cannot be had later.  A line names the photograph."""

    def __init__(self, page: Page, visit_id: str, photo: PhotoSeen | None) -> None:
        super().__init__(page, say("shots.title"), under=say("shots.under"), width=760)
        self.setObjectName("shots")
        self._page, self._visit_id, self._photo = page, visit_id, photo
        self.doors: dict[str, TallDoor] = {}
        self._list = Doors()
        if photo is not None:
            tile = PhotoTile(page.state, photo, height=_TILE)
            tile.setFixedWidth(_TILE + step(8))
            tile.setFocusPolicy(Qt.FocusPolicy.NoFocus)
            said = Few(BODY, most=3)
            said.setText(photo.caption or say("hull_page.no_caption"))
            telling = column(Prose(say("shots.picked"), BODY, bold=True), said, space=1)
            telling.addStretch(1)
            row = line(space=3)
            row.addWidget(tile)
            row.addLayout(telling, 1)
            self.add(boxed(row))
        self.add(Caution(say("haul_out.caution.hanging"), say("haul_out.caution.hanging_more")))
        self.body.addWidget(scrolled(self._list), 1)
        self.resize(760, 660)
        self._fill()

    def _fill(self) -> None:
        read = self._page.state.read
        held = read(lambda book: shot_list(book, self._visit_id))
        named = read(lambda book: named_shots(book, self._visit_id))
        mine = named.get(self._photo.photo_id) if self._photo else None
        at = next((code for code, door in self.doors.items() if door.hasFocus()), "")
        self._list.clear()
        self.doors = {}
        for one in held:
            end = say("shots.this_one") if one.code == mine else ""
            door = TallDoor(say(f"shot.{one.code}"), state_said(one), end)
            door.setObjectName(f"shot/{one.code}")
            door.clicked.connect(partial(self._name, one.code))
            door.setEnabled(self._photo is not None and self._page.state.read_only is None)
            self._list.add(door)
            self.doors[one.code] = door
        if at in self.doors:
            self.doors[at].setFocus(Qt.FocusReason.OtherFocusReason)
        self._mine = mine

    def _name(self, code: str, _on: bool = False) -> None:
        if self._photo is not None:
            wanted = None if code == self._mine else code
            self._page.edit(name_shot, self._photo.photo_id, wanted, done=self._named)

    def _named(self, _none: object) -> None:
        if shiboken6.isValid(self):
            self._fill()


def show_shots(page: Page, visit_id: str, photo: PhotoSeen | None) -> ShotsSheet:
    """Show the list of a haul-out, for the photograph that is picked if there is one."""
    sheet = ShotsSheet(page, visit_id, photo)
    sheet.open()
    if sheet.doors:
        next(iter(sheet.doors.values())).setFocus(Qt.FocusReason.OtherFocusReason)
    return sheet


def state_said(shot: ShotHeld) -> str:
    """Say how many there are, and whether it waits."""
    code = shot.state
    if shot.lost and shot.state in ("open", "part"):
        code += "_hanging" if shot.hangs else "_lost"
    return say(f"shots.state.{code}", have=shot.have, wanted=shot.wanted)


def told(shots: Sequence[ShotHeld]) -> str:
    """Say of a list how many are there, and how many must be taken now."""
    done = sum(shot.state == "done" for shot in shots)
    now = sum(shot.lost and shot.state in ("open", "part") for shot in shots)
    code = "shots.told_now" if now else "shots.told"
    return say(code, done=done, of=len(shots), now=now)
