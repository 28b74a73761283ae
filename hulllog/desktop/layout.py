"""The layout kit: cards, panes, rows and empty states, all on steps of 4."""

from __future__ import annotations

from typing import TYPE_CHECKING, TypeVar

from PySide6.QtCore import QPoint, QRect, QSize, Qt
from PySide6.QtWidgets import (
    QFrame,
    QGridLayout,
    QHBoxLayout,
    QLayout,
    QLayoutItem,
    QScrollArea,
    QSizePolicy,
    QVBoxLayout,
    QWidget,
)

from hulllog.desktop.buttons import button, icon_button
from hulllog.desktop.labels import Elided, Prose, heading, muted
from hulllog.desktop.theme import BODY, LEAD, SMALL, iconed, step
from hulllog.words import say

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

    from hulllog.desktop.sceneview import SceneView

Row = TypeVar("Row", bound=QWidget)
SIDE_WIDTH = 388
"""The width of the sheet at the right of a page."""


def clear(layout: QLayout) -> None:
    """Take everything out of a layout; the widgets go at the next turn of the event loop."""
    while layout.count():
        clear_item(layout, 0)


def clear_item(layout: QLayout, index: int) -> None:
    """Take one item out of a layout."""
    item = layout.takeAt(index)
    if item is None:
        return
    if (widget := item.widget()) is not None:
        widget.hide()
        widget.setParent(None)
        widget.deleteLater()
    elif (inner := item.layout()) is not None:
        clear(inner)


def column(*widgets: QWidget, space: float = 2, margin: float = 0) -> QVBoxLayout:
    """Stack widgets downwards; ``space`` and ``margin`` are in steps."""
    made = QVBoxLayout()
    made.setSpacing(step(space))
    made.setContentsMargins(*[step(margin)] * 4)
    for widget in widgets:
        made.addWidget(widget)
    return made


def line(*widgets: QWidget | None, space: float = 2) -> QHBoxLayout:
    """Put widgets beside each other; None is what takes the room that is left."""
    made = QHBoxLayout()
    made.setSpacing(step(space))
    made.setContentsMargins(0, 0, 0, 0)
    for widget in widgets:
        if widget is None:
            made.addStretch(1)
        else:
            made.addWidget(widget)
    return made


def evenly(*widgets: QWidget, space: float = 2) -> QHBoxLayout:
    """Put widgets of the same width beside each other, whatever a sentence below one asks for."""
    made = line(*widgets, space=space)
    for place, widget in enumerate(widgets):
        made.setStretch(place, 1)
        made.setAlignment(widget, Qt.AlignmentFlag.AlignTop)
    return made


def boxed(layout: QLayout, *, ground: str = "") -> QWidget:
    """Return a widget that holds a layout; ``ground`` "sheet" gives it the sheet's colour."""
    made = QWidget()
    made.setLayout(layout)
    if ground:
        made.setProperty("ground", ground)
        made.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
    return made


def rule() -> QFrame:
    """Make a thin line between two parts."""
    made = QFrame()
    made.setProperty("rule", True)
    made.setFixedHeight(1)
    return made


def upright_rule() -> QFrame:
    """Make a thin upright line between two parts."""
    made = QFrame()
    made.setProperty("rule", True)
    made.setFixedWidth(1)
    return made


class Card(QFrame):
    """A sheet with an edge: a title, perhaps with something at its end, and a body.

    ``quiet`` is for a card that holds a drawing: its title only says which.
    """

    def __init__(self, title: str = "", *, margin: float = 4, quiet: bool = False) -> None:
        super().__init__()
        self.setProperty("card", True)
        outer = column(space=2, margin=margin)
        self.setLayout(outer)
        self.head = line()
        self.title = muted(title) if quiet else heading(title, BODY)
        if title:
            self.head.addWidget(self.title)
            self.head.addStretch(1)
            outer.addLayout(self.head)
            self.setAccessibleName(title)
        else:
            self.title.setParent(self)
            self.title.hide()
        self.body = column(space=2)
        outer.addLayout(self.body, 1)

    def add(self, *widgets: QWidget) -> Card:
        """Add widgets to the body."""
        for widget in widgets:
            self.body.addWidget(widget)
        return self

    def clear(self) -> None:
        """Empty the body."""
        clear(self.body)


class DrawingCard(Card):
    """A card that holds one drawing, with buttons to come closer, go farther and see the whole."""

    def __init__(self, title: str, view: SceneView, *, margin: float = 3) -> None:
        super().__init__(title, margin=margin, quiet=True)
        self.view = view
        for icon, code, do in (
            ("closer", "closer", lambda: view.zoom(1.5)),
            ("farther", "farther", lambda: view.zoom(1 / 1.5)),
            ("fit", "fit", view.fit),
        ):
            self.head.addWidget(icon_button(icon, say(f"desktop.drawing.{code}"), do))
        self.add(view)


def scrolled(inside: QWidget) -> QScrollArea:
    """Return a scroll area around a widget; it scrolls downwards only."""
    area = QScrollArea()
    area.setWidgetResizable(True)
    area.setFrameShape(QFrame.Shape.NoFrame)
    area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
    area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
    area.setWidget(inside)
    return area


def facts(pairs: Iterable[tuple[str, str]], *, label_width: int = 126) -> QWidget:
    """Show pairs of a label and what stands there, in two columns."""
    grid = QGridLayout()
    grid.setContentsMargins(0, 0, 0, 0)
    grid.setHorizontalSpacing(step(2))
    grid.setVerticalSpacing(step(2))
    grid.setColumnMinimumWidth(0, label_width)
    grid.setColumnStretch(1, 1)
    for row, (name, value) in enumerate(pairs):
        said = muted(name)
        said.setFixedWidth(label_width)
        said.setWordWrap(True)
        grid.addWidget(said, row, 0, Qt.AlignmentFlag.AlignTop)
        grid.addWidget(Prose(value), row, 1, Qt.AlignmentFlag.AlignTop)
    return boxed(grid)


class Doors(QWidget):
    """Rows that lead somewhere, one under the other."""

    def __init__(self) -> None:
        super().__init__()
        self._rows = column(space=0)
        self.setLayout(self._rows)

    def add(self, door: Row) -> Row:
        """Add a row, with a thin line above all but the first."""
        if self._rows.count():
            self._rows.addWidget(rule())
        self._rows.addWidget(door)
        return door

    def clear(self) -> None:
        """Take all rows out."""
        clear(self._rows)


class EmptyState(QWidget):
    """What stands where there is nothing yet: one sentence and one thing to do."""

    def __init__(
        self, sentence: str, action: str = "", on: Callable[[], object] | None = None
    ) -> None:
        super().__init__()
        box = column(space=3, margin=6)
        self.setLayout(box)
        box.addStretch(1)
        said = Prose(sentence, LEAD, role="muted")
        said.setAlignment(Qt.AlignmentFlag.AlignHCenter)
        box.addWidget(said)
        self.action = button(action, on, primary=True) if action else None
        if self.action is not None:
            box.addWidget(self.action, 0, Qt.AlignmentFlag.AlignHCenter)
        box.addStretch(2)


class Caution(QFrame):
    """One line beside a step, opened on demand; where a person can be hurt it stays for good."""

    def __init__(self, sentence: str, more: str = "") -> None:
        super().__init__()
        self.setProperty("card", True)
        self.setAccessibleName(sentence)
        self._sentence = sentence
        self._more = Prose(more, BODY)
        self._more.hide()
        self.opener = icon_button("open", say("desktop.caution.open"), self.toggle)
        if not more:  # shown before it has a parent, it would be a window of its own for a moment
            self.opener.hide()
        mark = icon_mark("caution")
        box = column(space=1)
        box.setContentsMargins(step(4), step(1), step(2), step(1))
        self._more.setContentsMargins(0, 0, 0, step(2))
        row = line(mark)
        row.addWidget(Prose(sentence, BODY, bold=True), 1, Qt.AlignmentFlag.AlignVCenter)
        row.addWidget(self.opener)
        box.addLayout(row)
        box.addWidget(self._more)
        self.setLayout(box)

    def toggle(self) -> None:
        """Show or hide what stands behind the line."""
        shown = self._more.isHidden()
        self._more.setVisible(shown)
        self.opener.setAccessibleName(
            say("desktop.caution.close" if shown else "desktop.caution.open")
        )


def icon_mark(name: str, role: str = "ink") -> QWidget:
    """Make a small icon that only accompanies a text."""
    made = muted("")
    iconed(made, name, role)
    made.setFixedSize(20, 20)
    return made


def section(title: str, *widgets: QWidget) -> QWidget:
    """A small heading with widgets below, inside a card or a side sheet."""
    return boxed(column(heading(title, BODY), *widgets, space=2))


def side_sheet(title: str, under: str = "") -> tuple[QWidget, QVBoxLayout]:
    """Make the sheet at the right: a title, a line under it, and the column to fill."""
    body = column(space=3, margin=5)
    head = Prose(title, LEAD + 4, bold=True)
    body.addWidget(head)
    if under:
        body.addWidget(Prose(under, BODY, role="muted"))
    return boxed(body), body


def small(text: str) -> Elided:
    """Make a small muted line that may be cut."""
    return Elided(text, SMALL, role="muted")


class Flow(QLayout):
    """Items beside each other, broken into lines like words."""

    def __init__(self, space: float = 2) -> None:
        super().__init__()
        self._items: list[QLayoutItem] = []
        self.setSpacing(step(space))
        self.setContentsMargins(0, 0, 0, 0)

    def addItem(self, item: QLayoutItem) -> None:
        """Take an item at the end."""
        self._items.append(item)

    def count(self) -> int:
        """Return how many items there are."""
        return len(self._items)

    def itemAt(self, index: int) -> QLayoutItem | None:
        """Return an item, or None past the end."""
        return self._items[index] if 0 <= index < len(self._items) else None

    def takeAt(self, index: int) -> QLayoutItem | None:
        """Take an item out."""
        return self._items.pop(index) if 0 <= index < len(self._items) else None

    def expandingDirections(self) -> Qt.Orientation:
        """Ask for no more room than the items need."""
        return Qt.Orientation(0)

    def hasHeightForWidth(self) -> bool:
        """Say that the height follows from the width."""
        return True

    def heightForWidth(self, width: int) -> int:
        """Return the height of all lines at ``width``."""
        return self._place(QRect(0, 0, width, 0), move=False)

    def setGeometry(self, area: QRect) -> None:
        """Place the items in ``area``."""
        super().setGeometry(area)
        self._place(area, move=True)

    def sizeHint(self) -> QSize:
        """Ask for the room of the widest item."""
        return self.minimumSize()

    def minimumSize(self) -> QSize:
        """Return the room of the widest and the highest item."""
        size = QSize()
        for item in self._items:
            if not item.isEmpty():
                size = size.expandedTo(item.minimumSize())
        return size

    def _place(self, area: QRect, *, move: bool) -> int:
        x, y, tall = area.x(), area.y(), 0
        for item in self._items:
            if item.isEmpty():
                continue
            hint = item.sizeHint()
            if x > area.x() and x + hint.width() > area.right() + 1:
                x, y, tall = area.x(), y + tall + self.spacing(), 0
            if move:
                item.setGeometry(QRect(QPoint(x, y), hint))
            x += hint.width() + self.spacing()
            tall = max(tall, hint.height())
        return y + tall - area.y()


def flowing(*widgets: QWidget, space: float = 2) -> QWidget:
    """Put widgets beside each other, broken into lines where the room ends."""
    flow = Flow(space)
    for widget in widgets:
        flow.addWidget(widget)
    made = QWidget()
    made.setLayout(flow)
    policy = QSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Minimum)
    policy.setHeightForWidth(True)
    made.setSizePolicy(policy)
    return made
