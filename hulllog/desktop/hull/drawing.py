"""A drawing of the hull that can be worked on: zones are picked, spots placed and moved."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QSizePolicy, QToolButton, QWidget

from hulllog.desktop.buttons import icon_button
from hulllog.desktop.canvas import PIXELS_PER_MM, Canvas
from hulllog.desktop.labels import Elided
from hulllog.desktop.layout import boxed, column, line
from hulllog.desktop.sceneview import SceneView
from hulllog.desktop.theme import BODY, step
from hulllog.drawing.hulllegend import height_of, legend_scene
from hulllog.drawing.ownviews import place_on
from hulllog.drawing.scene import Scene
from hulllog.words import say

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from PySide6.QtGui import QFocusEvent, QPainter, QResizeEvent

    from hulllog.desktop.hull.pictures import Draw
    from hulllog.drawing.hullparts import HullPicture, LegendEntry
    from hulllog.hull.form import HullForm
    from hulllog.hull.patches import Place
    from hulllog.insight.ownviews import OwnSeen

    Find = Callable[[HullPicture, float, float], Place | None]

_CLOSER = 2.5
_BY_TAB = {Qt.FocusReason.TabFocusReason, Qt.FocusReason.BacktabFocusReason}


class HullView(SceneView):
    """One view of the hull.  A press on a crowd of rings comes closer until they part.

    ``taken`` brings the key of a zone or mark that was picked, empty beside all.  ``placed_at`` and
    ``moved_to`` bring the place on the boat, None where a mark was let go beside her.
    """

    taken = Signal(str)
    placed_at = Signal(object)
    moved_to = Signal(str, object)

    def __init__(self, name: str) -> None:
        super().__init__(name)
        self._hull: HullPicture | None = None
        self._drawer: Draw | None = None
        self._find: Find | None = None
        self._side = ""
        self._by_key = False
        self.picked.connect(self._pick_part)
        self.travelled.connect(self._part_crowd)
        self.placed.connect(lambda x, y: self.placed_at.emit(self._place_at(x, y)))
        self.dragged.connect(lambda key, x, y: self.moved_to.emit(key, self._place_at(x, y)))

    def show_hull(self, name: str, form: HullForm, side: str, draw: Draw) -> None:
        """Show a view (``side``: port, bottom …) of a form, drawn by ``draw``."""
        self._show(
            name,
            side,
            draw,
            lambda picture, x, y: form.pick(side, *picture.transform.to_view(x, y)),
        )

    def show_own(self, name: str, view: OwnSeen, draw: Draw) -> None:
        """Show an own view, drawn by ``draw``."""
        self._show(name, view.key, draw, lambda picture, x, y: place_on(view, picture, x, y))

    def _show(self, name: str, side: str, draw: Draw, find: Find) -> None:
        self.setAccessibleName(name)
        another = side != self._side
        self._find, self._side, self._drawer = find, side, draw
        if another:
            self.fit()
        self.draw_by(self._make)

    def _make(self, width: float, height: float) -> Scene:
        if self._drawer is None:
            return Scene(width, height)
        self._hull = self._drawer(width, height)
        return self._hull.scene

    def _paint_focus(self, painter: QPainter) -> None:
        """Draw the ring of the keyboard along the part that it is on."""
        if self._at not in self._boxes:
            if self._by_key:
                super()._paint_focus(painter)
            return
        self._outline(painter, self._at, 6.0, "sheet")
        self._outline(painter, self._at, 3.0, "action" if self._at in self.marked else "ink")

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Go to the first part when the keyboard comes by Tab; else wait for the first arrow."""
        self._by_key = event.reason() in _BY_TAB
        if self._by_key:
            super().focusInEvent(event)
        else:
            self.update()

    def stand_at(self, key: str) -> None:
        """Let the arrows go on from a part."""
        self._at = key
        self.update()

    def _place_at(self, x: float, y: float) -> object:
        if self._hull is None or self._find is None:
            return None
        return self._find(self._hull, x, y)

    def _pick_part(self, key: str) -> None:
        if key.startswith("crowd:"):
            self.zoom(_CLOSER, self.area_of(key).center())
        else:
            self.taken.emit(key)

    def _part_crowd(self, key: str) -> None:
        """Come closer to a spot that the keyboard came to inside a crowd."""
        crowds = self._hull.crowds if self._hull else {}
        crowd = next((name for name, members in crowds.items() if key in members), "")
        if crowd:
            self.zoom(_CLOSER, self.area_of(crowd).center())


class Legend(Canvas):
    """What the tints and edges of a drawing stand for, as high as its width asks for."""

    def __init__(self) -> None:
        super().__init__(say("hull_page.legend"), zoomable=False)
        self._entries: Sequence[LegendEntry] = ()
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.draw_by(self._make)

    def show_entries(self, entries: Sequence[LegendEntry]) -> None:
        """Show other entries."""
        self._entries = entries
        self.setAccessibleDescription(", ".join(entry.text for entry in entries))
        self._fit_height()
        self.remake()

    def _make(self, width: float, height: float) -> Scene:
        drawn = legend_scene(self._entries, width)
        return Scene(width, height, drawn.items, ", ".join(one.text for one in self._entries))

    def _fit_height(self) -> None:
        if self.width() > 1:
            height = height_of(self._entries, self.width() / PIXELS_PER_MM)
            self.setFixedHeight(round(height * PIXELS_PER_MM))

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Take the height that the new width asks for."""
        super().resizeEvent(event)
        self._fit_height()
        self.remake()


class Pane(QWidget):
    """A view of the hull; over its upper edge stand what is drawn, and buttons to come closer."""

    def __init__(self, view: HullView) -> None:
        super().__init__()
        self.view = view
        self.title = Elided("", BODY, role="muted")
        self.title.setSizePolicy(QSizePolicy.Policy.Maximum, QSizePolicy.Policy.Fixed)
        tools = line(
            _tool("zoom_in", "hull_page.closer", lambda: view.zoom(1.5)),
            _tool("zoom_out", "hull_page.farther", lambda: view.zoom(1 / 1.5)),
            _tool("fit", "hull_page.whole", view.fit),
            space=0,
        )
        # On grounds of their own, since the drawing runs below them when one comes closer.
        named = line(self.title)
        named.setContentsMargins(step(1), 0, step(1), 0)
        self._name = boxed(named, ground="sheet")
        self._name.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        self._tools = boxed(tools, ground="sheet")
        self.setLayout(column(view, space=0))
        for over in (self._name, self._tools):
            over.setParent(self)
            over.raise_()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Keep the name and the buttons in their corners."""
        super().resizeEvent(event)
        self.place_corners()

    def place_corners(self) -> None:
        """Put the name at the left of the upper edge, the buttons at its right."""
        tools = self._tools.sizeHint()
        self._tools.setGeometry(self.width() - tools.width(), 0, tools.width(), tools.height())
        wide = min(self._name.sizeHint().width(), self.width() - tools.width() - step(4))
        self._name.setGeometry(step(3), 0, wide, tools.height())

    def name(self, text: str) -> None:
        """Say in the corner what is drawn."""
        self.title.setText(text)
        self.place_corners()


def _tool(icon: str, code: str, on: Callable[[], object]) -> QToolButton:
    return icon_button(icon, say(code), on)
