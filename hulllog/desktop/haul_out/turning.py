"""Parts of which one is shown: only as large as that one, so that a page scrolls for it alone."""

from __future__ import annotations

from PySide6.QtWidgets import QWidget

from hulllog.desktop.layout import column


class Turning(QWidget):
    """Shows one widget of several; what is hidden takes no room."""

    def __init__(self) -> None:
        super().__init__()
        self._box = column()
        self._parts: list[QWidget] = []
        self._shown: QWidget | None = None
        self.setLayout(self._box)

    def addWidget(self, widget: QWidget) -> None:
        """Take a part in; the first one is shown."""
        widget.hide()
        self._parts.append(widget)
        self._box.addWidget(widget)
        if self._shown is None:
            self.setCurrentWidget(widget)

    def removeWidget(self, widget: QWidget) -> None:
        """Take a part out."""
        self._parts.remove(widget)
        self._box.removeWidget(widget)
        widget.hide()
        if self._shown is widget:
            self._shown = None

    def setCurrentWidget(self, widget: QWidget) -> None:
        """Show one part in place of the one that is shown."""
        before, self._shown = self._shown, widget
        if before is not None and before is not widget:
            before.hide()
        widget.show()

    def currentWidget(self) -> QWidget | None:
        """Return the part that is shown."""
        return self._shown
