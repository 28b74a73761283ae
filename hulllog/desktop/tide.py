"""The tide strip over every page: her years as a waterline, from which an edge is picked.

A click picks, shift-click compares; the arrow keys step from edge to edge, with shift they compare.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtWidgets import QLabel, QSizePolicy, QWidget

from hulllog.desktop.edges import (
    edge_key,
    edge_of,
    edge_said,
    is_sample,
    strip_scene,
    vessel_lines,
    year_of,
)
from hulllog.desktop.labels import Elided, tip
from hulllog.desktop.layout import column, line
from hulllog.desktop.sceneview import SceneView
from hulllog.desktop.theme import BODY, SMALL, TITLE, step, typed
from hulllog.drawing.scene import Scene
from hulllog.words import say

if TYPE_CHECKING:
    from PySide6.QtGui import QKeyEvent, QResizeEvent

    from hulllog.desktop.state import State

HEIGHT = 88
HEAD_WIDTH, STAMPED_WIDTH = 206, 244
"""The width of the head, without and with the stamp beside the name."""


class TideStrip(SceneView):
    """The years of the vessel; the picked edge is filled, the compared one outlined.

    ``asked`` brings the first of the empty years that were pressed.
    """

    asked = Signal(str)

    def __init__(self, state: State) -> None:
        super().__init__(say("desktop.strip.name"), zoomable=False)
        self._state = state
        self.setFixedHeight(HEIGHT)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.draw_by(self._make)
        self.picked.connect(self._pick)
        state.logbook_changed.connect(self.redraw)
        state.edge_changed.connect(self.redraw)
        state.records_changed.connect(lambda _tables, _initiator: self.redraw())

    def sizeHint(self) -> QSize:
        """Ask for the width that there is."""
        return QSize(640, HEIGHT)

    def redraw(self) -> None:
        """Draw the strip again, for the edges that are picked and compared now."""
        self.remake()
        if self._state.edge is not None:
            self._at = edge_key(self._state.edge)

    def _make(self, width: float, height: float) -> Scene:
        if not self._state.is_open:
            return Scene(width, height)
        return strip_scene(self._state, width, height)

    def step(self, by: int) -> None:
        """Pick the edge after (1) or before (-1) the one that is picked."""
        self._step(by, compare=False)

    def compare_step(self, by: int) -> None:
        """Compare with the edge after (1) or before (-1) the one that is compared, else picked."""
        self._step(by, compare=True)

    def travel(self, by: int) -> bool:
        """Pick the next edge: on the strip, going there is picking."""
        self._step(by, compare=False)
        return True

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Compare with shift and an arrow; Esc ends comparing."""
        sideways = {Qt.Key.Key_Left: -1, Qt.Key.Key_Right: 1}
        shift = event.modifiers() & Qt.KeyboardModifier.ShiftModifier
        if shift and event.key() in sideways:
            self._step(sideways[Qt.Key(event.key())], compare=True)
        elif event.key() == Qt.Key.Key_Escape and self._state.compared is not None:
            self._state.compare(None)
        else:
            super().keyPressEvent(event)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Draw for the new width at once."""
        super().resizeEvent(event)
        self.redraw()

    def _edges(self) -> list[str]:
        return [key for key, _said in self.regions if edge_of(key) is not None]

    def _step(self, by: int, *, compare: bool) -> None:
        keys, state = self._edges(), self._state
        if not keys:
            return
        start = state.compared if compare and state.compared else state.edge
        at = keys.index(edge_key(start)) if start and edge_key(start) in keys else len(keys) - 1
        edge = edge_of(keys[min(max(at + by, 0), len(keys) - 1)])
        if compare:
            state.compare(edge)
        else:
            state.pick(edge)
        if state.edge is not None and self.hasFocus():
            self.go_to(edge_key(state.edge))

    def _pick(self, key: str, modifiers: Qt.KeyboardModifier) -> None:
        edge = edge_of(key)
        if edge is None:
            if (year := year_of(key)) is not None:
                self.asked.emit(year)
            return
        if modifiers & Qt.KeyboardModifier.ShiftModifier:
            self._state.compare(edge)
        else:
            self._state.pick(edge)


class Stamp(QLabel):
    """Says over every page that the boat is invented."""

    def __init__(self) -> None:
        super().__init__(say("sample.stamp"))
        self.setTextFormat(Qt.TextFormat.PlainText)
        self.setProperty("stamp", True)
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        self.setAccessibleName(say("sample.stamp"))
        self.setAccessibleDescription(say("sample.note"))
        tip(self, say("sample.note"))
        typed(self, SMALL, bold=True, role="action")
        self.hide()


class StripHead(QWidget):
    """Whose logbook it is, and from which edge it is read."""

    def __init__(self, state: State) -> None:
        super().__init__()
        self._state = state
        self.setFixedWidth(HEAD_WIDTH)
        self._name = Elided("", TITLE, bold=True)
        self._stamp = Stamp()
        self._kind = Elided("", BODY, role="muted")
        self._edge = Elided("", BODY, bold=True, role="action")
        self._compared = Elided("", BODY, role="action")
        named = line(self._name, self._stamp, space=1)
        box = column(space=0)
        box.addLayout(named)
        box.addWidget(self._kind)
        box.setContentsMargins(step(6), step(2), step(2), step(2))
        box.addStretch(1)
        box.addWidget(self._edge)
        box.addWidget(self._compared)
        self.setLayout(box)
        for signal in (state.logbook_changed, state.edge_changed):
            signal.connect(self.redraw)
        state.records_changed.connect(lambda _tables, _initiator: self.redraw())

    def redraw(self) -> None:
        """Say name, kind and edge."""
        if not self._state.is_open:
            return
        name, kind = self._state.read(vessel_lines)
        self._name.setText(name)
        self._kind.setText(kind)
        stamped = self._state.read(is_sample)
        self._stamp.setVisible(stamped)
        self.setFixedWidth(STAMPED_WIDTH if stamped else HEAD_WIDTH)
        self._edge.setText(edge_said(self._state, self._state.edge))
        compared = self._state.compared
        shown = compared is not None
        self._compared.setVisible(shown)
        if shown:
            said = edge_said(self._state, compared)
            self._compared.setText(say("desktop.strip.compared", edge=said))


class Strip(QWidget):
    """The head and the tide strip beside it."""

    def __init__(self, state: State) -> None:
        super().__init__()
        self.setObjectName("strip")
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        self.tide = TideStrip(state)
        row = line(StripHead(state), self.tide, space=2)
        row.setContentsMargins(0, 0, step(6), step(1))
        self.setLayout(row)

    def compare_step(self, by: int) -> None:
        """Compare with the edge after (1) or before (-1)."""
        self.tide.compare_step(by)

    def step(self, by: int) -> None:
        """Pick the edge after (1) or before (-1) the one that is picked."""
        self.tide.step(by)
