"""A strip of photographs: thumbnails read in the background, one of them picked."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from hulllog.desktop.hull.pair import PhotoTile
from hulllog.desktop.layout import Flow
from hulllog.words import say

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from hulllog.desktop.state import State
    from hulllog.insight.placed import PhotoSeen

HEIGHT = 104


class StripTile(PhotoTile):
    """A photograph of the strip; the picked one has a mark."""

    def __init__(self, state: State, photo: PhotoSeen, word: str) -> None:
        super().__init__(state, photo, word, height=HEIGHT)
        self.setCheckable(True)

    def nextCheckState(self) -> None:
        """Leave it to the strip which one is picked."""


class PhotoStrip(QWidget):
    """The photographs of a visit or a zone.  ``picked`` brings the key of the one pressed."""

    picked = Signal(str)

    def __init__(self, state: State) -> None:
        super().__init__()
        self._state = state
        self.tiles: dict[str, StripTile] = {}
        self._words: dict[str, str] = {}
        self._flow = Flow(2)
        self.setLayout(self._flow)

    def show_photos(
        self,
        photos: Sequence[PhotoSeen],
        at: str = "",
        behind: Mapping[str, int] | None = None,
    ) -> None:
        """Show each photograph once; tiles that stay are not read again.

        ``behind`` says how many others that look alike stand folded behind one.
        """
        wanted = {photo.photo_id: photo for photo in photos}
        words = {key: _word(photo, (behind or {}).get(key, 0)) for key, photo in wanted.items()}
        shown = {key: tile.photo for key, tile in self.tiles.items()}
        faces = [_face(one) for one in wanted.values()]
        if [_face(one) for one in shown.values()] != faces or words != self._words:
            self._fill(wanted, words)
        self.pick(at)

    def pick(self, photo_id: str) -> None:
        """Show which one is picked."""
        for key, tile in self.tiles.items():
            tile.setChecked(key == photo_id)

    def _fill(self, wanted: dict[str, PhotoSeen], words: dict[str, str]) -> None:
        while self._flow.count():
            self._flow.takeAt(0)
        kept, self.tiles = self.tiles, {}
        for key, photo in wanted.items():
            tile = kept.pop(key, None)
            if tile is None or _face(tile.photo) != _face(photo) or words[key] != self._words[key]:
                if tile is not None:
                    _drop(tile)
                tile = StripTile(self._state, photo, words[key])
                tile.clicked.connect(lambda _on, key=key: self.picked.emit(key))
            self.tiles[key] = tile
            self._flow.addWidget(tile)
            tile.show()
        for gone in kept.values():
            _drop(gone)
        self._words = words
        self.updateGeometry()


def _word(photo: PhotoSeen, behind: int) -> str:
    """Return what stands beside the day: how many are folded behind it, else the state."""
    if behind:
        return say("photos.behind", n=behind)
    return say(f"state.{photo.state}") if photo.state else ""


def _face(photo: PhotoSeen) -> tuple[str, str | None, str | None]:
    """Return what a tile shows of a photograph."""
    return photo.photo_id, photo.state, photo.caption


def _drop(tile: StripTile) -> None:
    tile.hide()
    tile.setParent(None)
    tile.deleteLater()
