"""The small copies of own views, made off the window's thread."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hulllog.records.media import own_view_copy

if TYPE_CHECKING:
    from collections.abc import Callable

    from PySide6.QtCore import QObject

    from hulllog.desktop.state import State
    from hulllog.insight.ownviews import OwnSeen


class OwnCopies:
    """Gives the pictures of own views; ``redraw`` is called when one has come.

    A copy that lies in the cache is read at once, since that takes no longer than drawing it.
    ``owner`` is what the pictures are drawn on: when it is gone, nothing is redrawn.
    """

    def __init__(self, state: State, owner: QObject, redraw: Callable[[], object]) -> None:
        self._state, self._owner, self._redraw = state, owner, redraw
        self._known: dict[str, bytes | None] = {}

    def data(self, view: OwnSeen) -> bytes | None:
        """Return a picture as ``own_scene`` takes it: empty while it is made, None if awaited."""
        key, logbook = view.sha256, self._state.logbook
        if key not in self._known:
            ready = own_view_copy(logbook, key, view.media_type, make=False)
            self._known[key] = ready or b""
            if ready is None:
                self._state.tasks.run(
                    lambda _progress: own_view_copy(logbook, key, view.media_type),
                    lambda made: self._made(key, made),
                    owner=self._owner,
                )
        return self._known[key]

    def look_again(self) -> None:
        """Forget all but what is being made: files may have come, or gone."""
        self._known = {key: data for key, data in self._known.items() if data == b""}

    def _made(self, key: str, made: bytes | None) -> None:
        self._known[key] = made
        self._redraw()
