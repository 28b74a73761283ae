"""One file that is dropped on a page: taken while the logbook can be written."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hulllog.desktop.photos.intake import local_files

if TYPE_CHECKING:
    from pathlib import Path

    from PySide6.QtGui import QDragEnterEvent, QDropEvent

    from hulllog.desktop.state import State


class TakesOneFile:
    """What a page is besides, on which one file of this computer may be dropped."""

    state: State

    def take_file(self, file: Path) -> None:
        """Do with the file what the page does with one."""
        raise NotImplementedError

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        """Take one file of this computer."""
        files = local_files(event.mimeData())
        if len(files) == 1 and files[0].is_file() and self.state.read_only is None:
            event.acceptProposedAction()

    def dropEvent(self, event: QDropEvent) -> None:
        """Take the file that was dropped."""
        event.acceptProposedAction()
        self.take_file(local_files(event.mimeData())[0])
