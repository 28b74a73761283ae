"""The drawing beside the walk: where we are, what has an answer, and what the walk looks for."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from hulllog.desktop.buttons import link
from hulllog.desktop.labels import Prose
from hulllog.desktop.layout import Card, clear, column, facts, line
from hulllog.desktop.sceneview import SceneView
from hulllog.desktop.theme import SMALL
from hulllog.drawing.hullparts import ZoneDrawing
from hulllog.drawing.hullviews import hull_scene
from hulllog.drawing.ownviews import own_scene
from hulllog.drawing.scene import Scene
from hulllog.hull.handdrawn import is_own
from hulllog.insight import shades
from hulllog.insight.shape import outline
from hulllog.words import say

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hulllog.drawing.hullparts import Appearance
    from hulllog.hull.form import HullForm
    from hulllog.insight.ownviews import OwnSeen
    from hulllog.insight.walking import Seen, Stop

_VIEWS = ("port", "starboard", "stern", "bottom", "expansion")


class WalkPicture(QWidget):
    """Shows the zone of the walk.  ``picked`` brings the code of a zone that was pressed."""

    picked = Signal(str)
    change = Signal()

    def __init__(self) -> None:
        super().__init__()
        self._form: HullForm | None = None
        self._own: Sequence[tuple[OwnSeen, bytes | None]] = ()
        self._stops: Sequence[Stop] = ()
        self._at = 0
        self.view = SceneView(say("haul_out.walk.drawing"), zoomable=False)
        self.view.setMinimumHeight(240)
        self.view.picked.connect(self._pick)
        self.where = Prose("", SMALL, role="muted")
        self._told = column()
        self._facts: Sequence[tuple[str, str]] = ()
        self.change_it = link(say("haul_out.walk.change"), self.change.emit)
        card = Card(margin=2, quiet=True).add(self.where, self.view)
        box = column(card, space=2)
        box.addLayout(self._told)
        box.addLayout(line(self.change_it, None))
        box.addStretch(1)
        self.setLayout(box)

    def show_walk(
        self,
        form: HullForm | None,
        stops: Sequence[Stop],
        at: int,
        told: Sequence[tuple[str, str]],
        own: Sequence[tuple[OwnSeen, bytes | None]] = (),
    ) -> None:
        """Show the stops of a walk and where it is; ``told`` says what it looks for, and how.

        ``own`` are own views with their pictures, for zones that no form shows.
        """
        self._form, self._stops, self._at, self._own = form, stops, at, own
        if told != self._facts:
            self._facts = told
            clear(self._told)
            self._told.addWidget(facts(told, label_width=88))
        shown = self._own_view()
        self.where.setText(shown[0].name if shown else say(f"view.{self._view()}"))
        self.view.draw_by(self._draw)

    def _own_view(self) -> tuple[OwnSeen, bytes | None] | None:
        """Return the own view of a zone that no form shows."""
        if not self._stops or (self._form is not None and not is_own(self._stops[self._at].code)):
            return None
        code = self._stops[self._at].code
        showing = [one for one in self._own if any(s.code == code for s in one[0].shapes)]
        return showing[0] if showing else None

    def _view(self) -> str:
        if self._form is None or not self._stops:
            return "port"
        seen = self._form.remembered("zones by view", self._zones_by_view)
        code = self._stops[self._at].code
        return next((view for view in _order(code) if code in seen[view]), "expansion")

    def _zones_by_view(self) -> dict[str, frozenset[str]]:
        """Return which zones each view shows."""
        return {view: self._shown_in(view) for view in _VIEWS}

    def _shown_in(self, view: str) -> frozenset[str]:
        scene = self._scene(view, 60, 40, small=True)
        return frozenset(key.removeprefix("zone:") for key, _ in scene.regions)

    def _draw(self, width: float, height: float) -> Scene:
        if (shown := self._own_view()) is not None:
            return self._own_scene(*shown, width, height)
        if self._form is None or not self._stops:
            return Scene(width, height)
        return self._scene(self._view(), width, height)

    def _own_scene(self, view: OwnSeen, data: bytes | None, width: float, height: float) -> Scene:
        stop = self._stops[self._at]
        return own_scene(
            view,
            data,
            zones=[_zone(one) for one in self._stops],
            width=width,
            height=height,
            picked=f"zone:{stop.code}",
            described=say("haul_out.walk.described", zone=stop.name),
        ).scene

    def _scene(self, view: str, width: float, height: float, *, small: bool = False) -> Scene:
        assert self._form is not None
        code = self._stops[self._at].code
        return hull_scene(
            self._form,
            view,
            zones=[_zone(stop) for stop in self._stops],
            width=width,
            height=height,
            small=small,
            picked=f"zone:{code}",
            described=say("haul_out.walk.described", zone=self._stops[self._at].name),
        ).scene

    def _pick(self, key: str, _modifiers: object) -> None:
        if key.startswith("zone:"):
            self.picked.emit(key.removeprefix("zone:"))


def _order(code: str) -> tuple[str, ...]:
    """Return the views from the one in which a person standing beside her sees the zone."""
    if code.endswith("under") or "inboard" in code:
        return ("bottom", "expansion")
    side = "starboard" if "starboard" in code else "port"
    if code.startswith("transom"):
        return ("stern", side)
    return (side, "bottom", "stern", "expansion")


def _zone(stop: Stop) -> ZoneDrawing:
    appearance, shade = _appearance(stop.entered)
    return ZoneDrawing(
        stop.code, outline(dict(stop.outline)), stop.name, appearance, shade, said=stop.name
    )


def _appearance(seen: Seen | None) -> tuple[Appearance, int]:
    if seen is None or seen.coverage == "not_looked":
        return "not_looked", 0
    if seen.coverage == "not_seen":
        return "not_seen", 0
    steps = [shades.step(kind, figures) for kind, figures in seen.figures.items()]
    worst = max((step for step in steps if step is not None), default=None)
    if worst is not None:
        return "graded", worst
    return ("none_found", 0) if seen.result == "nothing_found" else ("not_rated", 0)
