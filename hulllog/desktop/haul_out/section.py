"""The parts of the page while a haul-out is open, and the bar that leads to them."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QPushButton, QScrollArea, QWidget

from hulllog.desktop.choice import KeyedButton, Option
from hulllog.desktop.inputs import ENTER
from hulllog.desktop.layout import line
from hulllog.words import say

if TYPE_CHECKING:
    from PySide6.QtGui import QKeyEvent

    from hulllog.desktop.pages import Page
    from hulllog.records.model import Visit

SECTIONS = ("steps", "walk", "anodes", "paint", "photos", "notes", "sheet")
KEYS = {code: f"F{number}" for number, code in enumerate(SECTIONS, 2)}


class EnterGoesOn(QWidget):
    """A form in which Enter goes from question to question, and keeps all at the last one."""

    keep: QPushButton

    def store(self) -> None:
        """Keep what was entered as one entry."""
        raise NotImplementedError

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Let Enter go on, and keep at the end."""
        if event.key() not in ENTER:
            super().keyPressEvent(event)
        elif self.keep.hasFocus():
            self.store()
        else:
            self.focusNextPrevChild(True)


class Section(QWidget):
    """One part of an open haul-out.  ``go`` asks for another part, by its code."""

    code: ClassVar[str] = ""
    go = Signal(str)

    def __init__(self, page: Page) -> None:
        super().__init__()
        self.begin_at = ""
        self.page = page
        self.state = page.state
        self.visit: Visit | None = None

    @property
    def visit_id(self) -> str:
        """The key of the haul-out that is shown."""
        return self.visit.id if self.visit is not None else ""

    def show_visit(self, visit: Visit) -> None:
        """Show what the records say of a haul-out now."""
        self.visit = visit
        self.refresh()

    def refresh(self) -> None:
        """Show what the records say now."""
        raise NotImplementedError

    def start(self) -> QWidget | None:
        """Return what the keyboard starts at."""
        return None

    def press(self, key: str) -> bool:
        """Take a key that no widget took."""
        return False

    def photos_of(self) -> tuple[str | None, str]:
        """Return the zone that photographs taken in now show, if any, and their state."""
        return None, "found"


class SectionBar(QWidget):
    """Buttons to the parts; their function keys are commands of the page."""

    chosen = Signal(str)

    def __init__(self) -> None:
        super().__init__()
        self.buttons: dict[str, KeyedButton] = {}
        row = line(space=1)
        for code in SECTIONS:
            made = KeyedButton(Option(code, say(f"haul_out.section.{code}"), KEYS[code]))
            made.setFocusPolicy(Qt.FocusPolicy.ClickFocus)
            made.clicked.connect(lambda _on, code=code: self.chosen.emit(code))
            self.buttons[code] = made
            row.addWidget(made)
        self.setLayout(row)

    def show_chosen(self, code: str) -> None:
        """Show which part is open; the Tab key stops at it."""
        for other, made in self.buttons.items():
            made.setChecked(other == code)
            here = other == code
            made.setFocusPolicy(Qt.FocusPolicy.StrongFocus if here else Qt.FocusPolicy.ClickFocus)


def focus_on(widget: QWidget) -> None:
    """Put the keyboard on a widget and bring it in sight."""
    widget.setFocus(Qt.FocusReason.TabFocusReason)
    area = widget.parentWidget()
    while area is not None and not isinstance(area, QScrollArea):
        area = area.parentWidget()
    if area is not None:
        area.ensureWidgetVisible(widget, 20, 60)
