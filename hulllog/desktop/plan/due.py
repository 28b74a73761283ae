"""The card of what falls due: an axis of time, and a row for each with where it comes from."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QSizePolicy, QWidget

from hulllog.desktop.buttons import Door
from hulllog.desktop.canvas import PIXELS_PER_MM
from hulllog.desktop.figures import worded
from hulllog.desktop.labels import Prose
from hulllog.desktop.layout import Card, Doors, boxed, column, scrolled
from hulllog.desktop.sceneview import SceneView
from hulllog.desktop.sheets import Sheet
from hulllog.desktop.theme import BODY, LEAD
from hulllog.drawing.planviews import axis_height, axis_scene, due_key
from hulllog.drawing.planwords import due_detail, due_title, due_when, untold_text
from hulllog.drawing.scene import Scene
from hulllog.words import say
from hulllog.words.working import figure_of

if TYPE_CHECKING:
    from datetime import datetime

    from hulllog.insight.nextlift import NextDue, NextLift

_WIDE = 560


class DueAxis(SceneView):
    """What falls due on an axis of time; picking a row opens it."""

    def __init__(self) -> None:
        super().__init__(say("plan.axis"), zoomable=False)
        self.setObjectName("plan/axis")
        self._found: NextLift | None = None
        self._now: datetime | None = None
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.draw_by(self._make)

    def show_dues(self, found: NextLift, now: datetime) -> None:
        """Show what falls due, as high as it needs."""
        self._found, self._now = found, now
        self.setFixedHeight(round(axis_height(found) * PIXELS_PER_MM))
        self.setVisible(bool(found.dues))
        self.remake()

    def _make(self, width: float, height: float) -> Scene:
        if self._found is None or self._now is None:
            return Scene(width, height)
        return axis_scene(self._found, self._now, width, height)


class DueCard(Card):
    """When she should come out next."""

    def __init__(self) -> None:
        super().__init__(say("plan.when"))
        self.found: NextLift | None = None
        self.first = Prose("", LEAD, bold=True)
        self.axis = DueAxis()
        self.axis.picked.connect(lambda key, _keys: self._open_key(key))
        self.rows = Doors()
        self._untold = QWidget()
        self._untold.setLayout(column())
        self.add(self.first, self.axis, self.rows, self._untold)

    def show_dues(self, found: NextLift, now: datetime) -> None:
        """Show what falls due, and what cannot be told."""
        self.found = found
        lead = found.first
        self.first.setText(
            say("plan.first", what=due_title(lead), when=due_when(lead, found.zone))
            if lead
            else say("plan.none_due")
        )
        self.axis.show_dues(found, now)
        self.rows.clear()
        for due in found.dues:
            door = Door(
                due_title(due), due_detail(due), due_when(due, found.zone),
                on=partial(self.open, due),
            )  # fmt: skip
            door.setObjectName(f"plan/{due_key(due)}")
            self.rows.add(door)
        told = column(*(Prose(untold_text(one), BODY, role="muted") for one in found.untold))
        old, self._untold = self._untold, boxed(told)
        self.body.replaceWidget(old, self._untold)
        old.hide()
        old.deleteLater()

    def _open_key(self, key: str) -> None:
        for due in self.found.dues if self.found else ():
            if key == due_key(due):
                self.open(due)

    def open(self, due: NextDue) -> Sheet:
        """Show something due with its interval, where it comes from, and its workings."""
        zone = self.found.zone if self.found else "UTC"
        sheet = Sheet(self, due_title(due), under=due_when(due, zone), width=_WIDE)
        inside = column(space=2)
        inside.addWidget(Prose(due_detail(due), BODY))
        for working in due.workings:
            name = say(f"working.{working.name}")
            said = say("telling.pair", name=f"{name}:", value=figure_of(working))
            inside.addWidget(worded(said, working))
        inside.addWidget(Prose(say("plan.not_a_promise"), BODY, role="muted"))
        inside.addStretch(1)
        sheet.add(scrolled(boxed(inside)))
        sheet.open()
        return sheet
