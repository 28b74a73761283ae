"""One fitting in the sheet: its age, its measures over the years, looks, and when it is due."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QSizePolicy, QVBoxLayout, QWidget

from hulllog.desktop.anodes.rows import row
from hulllog.desktop.buttons import Door
from hulllog.desktop.hull.actions import Action, Actions
from hulllog.desktop.hull.placedpage import PlacedCard
from hulllog.desktop.labels import Prose
from hulllog.desktop.layout import column, rule
from hulllog.desktop.sceneview import SceneView
from hulllog.desktop.theme import BODY, SMALL, step
from hulllog.drawing import geartelling as told
from hulllog.drawing.compose import trend_scene
from hulllog.drawing.telling import changed_text, limit_text
from hulllog.words import say

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import datetime

    from hulllog.insight.gear import GearStory
    from hulllog.insight.judging import ZoneJudged

CHART_HEIGHT = 150
MOST_LOOKS = 5


class CourseChart(SceneView):
    """What was measured of one fitting over the years."""

    def __init__(self, course: ZoneJudged) -> None:
        super().__init__(say("gear_page.chart", name=course.name), zoomable=False)
        self.setFixedHeight(CHART_HEIGHT)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.draw_by(lambda width, height: trend_scene(course, width, height))


class GearCard(PlacedCard):
    """A fitting; the one that is picked shows all, the others their last look.

    ``wanted`` asks to pick it, ``to_finding`` to show an open finding about it.
    """

    wanted = Signal(str)
    to_finding = Signal(str)

    def __init__(
        self,
        story: GearStory,
        *,
        picked: bool,
        now: datetime,
        actions: Sequence[Action] = (),
        why_not: str = "",
    ) -> None:
        super().__init__()
        self.setProperty("card", True)
        self.setObjectName(f"gear/{story.gear_id}")
        self.setAccessibleName(story.name)
        self.deeds = Actions(actions, why_not)
        self.deeds.setParent(self)
        self.deeds.hide()
        box = column(space=2)
        box.setContentsMargins(step(2), step(2), step(2), step(3))
        self.head = Door(story.name, told.kind_text(story), told.age_short(story), strong=True)
        self.head.clicked.connect(lambda _checked: self.wanted.emit(story.gear_id))
        # Where the cards are made anew, the keyboard comes back to the one that it was in.
        self.setFocusProxy(self.head)
        box.addWidget(self.head)
        self._inside = column(space=2)
        self._inside.setContentsMargins(step(2), 0, step(2), 0)
        box.addLayout(self._inside)
        self.setLayout(box)
        if picked:
            self._fill(story, now)
        else:
            self._add(Prose(told.last_text(story), BODY, role="muted"))

    def _add(self, *widgets: QWidget) -> None:
        for widget in widgets:
            self._inside.addWidget(widget)

    def _fill(self, story: GearStory, now: datetime) -> None:
        self._add(row(say("gear_page.age"), told.age_text(story), story.age, show="year"))
        if story.note:
            self._add(row(say("gear_page.note"), story.note))
        if story.place is None:
            self._add(Prose(say("gear_page.unplaced"), SMALL, role="muted"))
        for due in story.dues:
            label, text = say(f"gear_page.due_{due.sort}"), told.due_text(due, now)
            self._add(row(label, text, due.working, show="d"))
        for key, title in story.open_findings:
            door = Door(title, say("gear_page.open_finding"))
            door.clicked.connect(lambda _checked, key=key: self.to_finding.emit(key))
            self._add(door)
        for course in story.courses:
            if len(course.judged.series.points) > 1:
                self._add(CourseChart(course))
            if text := changed_text(course):
                self._add(Prose(text, BODY))
            if bound := limit_text(course):
                self._add(Prose(bound, BODY, bold=bool(course.beyond_limit)))
        self._fill_looks(story)
        self._add(self.deeds)
        self.deeds.show()

    def _fill_looks(self, story: GearStory) -> None:
        self._add(rule(), Prose(say("gear_page.looks"), BODY, bold=True))
        if not story.looks:
            self._add(Prose(say("gear_page.no_looks"), BODY, role="muted"))
            return
        rows: QVBoxLayout = column(space=1)
        for look in story.looks[::-1][:MOST_LOOKS]:
            rows.addWidget(Prose(told.look_text(look), BODY))
        left = len(story.looks) - MOST_LOOKS
        if left > 0:
            rows.addWidget(Prose(say("gear_page.more_looks", n=left), SMALL, role="muted"))
        self._inside.addLayout(rows)
