"""A stack of parts that is only as large as the one on top, so that a page scrolls for it alone."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtWidgets import QStackedWidget

if TYPE_CHECKING:
    from PySide6.QtCore import QSize


class Turning(QStackedWidget):
    """Shows one widget of several and takes the size that this one asks for."""

    def __init__(self) -> None:
        super().__init__()
        self.currentChanged.connect(lambda _index: self.updateGeometry())

    def sizeHint(self) -> QSize:
        """Ask for what the shown widget asks for."""
        here = self.currentWidget()
        return here.sizeHint() if here is not None else super().sizeHint()

    def minimumSizeHint(self) -> QSize:
        """Be content with what the shown widget is content with."""
        here = self.currentWidget()
        return here.minimumSizeHint() if here is not None else super().minimumSizeHint()

    def hasHeightForWidth(self) -> bool:
        """Say whether the height of the shown widget follows from its width."""
        here = self.currentWidget()
        return here is not None and here.hasHeightForWidth()

    def heightForWidth(self, width: int) -> int:
        """Return the height that the shown widget needs."""
        here = self.currentWidget()
        return here.heightForWidth(width) if here is not None else -1
