"""The answer: one sentence, the hours as a picture, what stands against the rest, all sums."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QSizePolicy, QWidget

from hulllog.desktop.buttons import button
from hulllog.desktop.canvas import PIXELS_PER_MM
from hulllog.desktop.figures import worded
from hulllog.desktop.labels import Prose
from hulllog.desktop.layout import Card, Caution, DrawingCard, column, flowing
from hulllog.desktop.sceneview import SceneView
from hulllog.desktop.theme import BODY, LEAD, SMALL
from hulllog.drawing import fitviews
from hulllog.drawing.houraxis import height_of
from hulllog.insight.fitting import uncoated
from hulllog.records.operations.around import note_for_next_time
from hulllog.words import say
from hulllog.words.working import source_sentence

if TYPE_CHECKING:
    from collections.abc import Mapping

    from hulllog.desktop.pages import Page
    from hulllog.drawing.scene import Scene
    from hulllog.insight.fitting import Fit


class Answer(QWidget):
    """Shows a plan; the picture is reached by keyboard, and all of it is said in words too."""

    keep = Signal()
    """The plan is to be kept, as a new one."""
    keep_in = Signal()
    """The plan is to be kept in place of what the opened one said."""

    def __init__(
        self, page: Page, told: Fit, names: Mapping[str, str], *, opened: str = ""
    ) -> None:
        super().__init__()
        self._opened = opened
        self.page, self.told, self.names = page, told, names
        self.view = SceneView(say("fit.drawing"))
        self.view.setObjectName("fit/drawing")
        self.view.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        height = height_of(fitviews.axis_of(told, names))
        self.view.setFixedHeight(round(height * PIXELS_PER_MM))
        self.view.draw_by(self._draw)
        self.said = Prose("", BODY)
        self.view.travelled.connect(self._say)
        self.view.hovered.connect(self._say)
        self.view.picked.connect(lambda key, _keys: self._say(key))
        box = column(space=3)
        for made in (self._verdict(), self._picture(), self._against(), self._in_words()):
            if made is not None:
                box.addWidget(made)
        self.setLayout(box)

    def _draw(self, width: float, _height: float) -> Scene:
        return fitviews.plan_scene(self.told, self.names, width)

    def _say(self, key: str) -> None:
        text = dict(self.view.regions).get(key)
        if text:
            self.said.setText(text)

    def _verdict(self) -> QWidget:
        told = self.told
        card = Card(say("fit.answer"))
        verdict = Prose(fitviews.verdict_text(told), LEAD, bold=True)
        verdict.setObjectName("fit/verdict")
        card.add(verdict)
        card.add(
            *(
                Prose(fitviews.coats_text(told, area, got, self.names), BODY)
                for area, got in told.plan.coats
            )
        )
        if told.asked.edges is not None:
            edges = told.asked.edges
            sums = (edges.area,) if edges.litres is None else (edges.litres, edges.area)
            card.add(worded(fitviews.edges_text(edges), *sums))
        if not told.plan.proven:
            card.add(Prose(say("fit.not_proven"), SMALL, role="muted"))
        card.add(Caution(say("fit.caution"), say("fit.caution_more")))
        if any(task.code == "hanging" for task in told.plan.tasks):
            card.add(Caution(say("fit.caution_hanging"), say("fit.caution_hanging_more")))
        if told.asked.given.sort == "grid":
            card.add(Caution(say("fit.caution_grid"), say("fit.caution_grid_more")))
        card.add(self._keeping())
        return card

    def _keeping(self) -> QWidget:
        """Offer to keep the plan; in place of the one that was opened too."""
        made = [button(say("fit.plan.keep"), self.keep.emit)]
        made[0].setObjectName("fit/keep")
        if self._opened:
            made.append(button(say("fit.plan.keep_in", name=self._opened), self.keep_in.emit))
            made[1].setObjectName("fit/keep_in")
        self.page.writes(*made)
        for one in made:
            one.setEnabled(not self.page.state.read_only)
        return flowing(*made)

    def _picture(self) -> QWidget:
        card = DrawingCard(say("fit.drawing"), self.view)
        self.said.setText(say("fit.drawing_hint"))
        card.add(self.said)
        return card

    def _against(self) -> QWidget | None:
        told, names = self.told, self.names
        card = Card(say("fit.against"))
        rows = [Prose(fitviews.unknown_text(one, names), BODY) for one in told.plan.unknown]
        rows += [Prose(fitviews.forbidden_text(one, names), BODY) for one in told.asked.forbidden]
        firm = {one.area for one in told.asked.forbidden if one.firm}
        card.add(*rows)
        bare = uncoated(told)
        shown = [one for one in told.plan.short if one.area not in firm]
        for short in shown:
            card.add(worded(fitviews.short_text(told, short, names), short.window))
            if short.area in bare:
                card.add(self._noting(short.area))
        for cost in told.costs:
            source = source_sentence(cost.left.source)
            text = f"{fitviews.cost_text(cost, names)} {source}"
            card.add(worded(text, cost.left, cost.wanted))
        return card if rows or shown or told.costs else None

    def _noting(self, area: str) -> QWidget:
        """Offer to keep an uncoated underside as a note for next time."""
        text = say("fit.note_underside", area=self.names[area])
        made = button(say("fit.keep_note"))
        made.setObjectName(f"fit/note_{area}")
        made.setSizePolicy(QSizePolicy.Policy.Maximum, QSizePolicy.Policy.Fixed)
        self.page.writes(made)
        made.setEnabled(not self.page.state.read_only)

        def kept(_key: str) -> None:
            made.setText(say("fit.note_kept"))
            made.setEnabled(False)

        made.clicked.connect(
            lambda: self.page.edit(note_for_next_time, text, done=kept, quietly=True)
        )
        return made

    def _in_words(self) -> QWidget:
        """Say every task, then every window with its sum, then the tides and the sheets."""
        told, names = self.told, self.names
        card = Card(say("fit.in_words"))
        card.add(*(Prose(fitviews.task_text(told, one, names), BODY) for one in told.plan.tasks))
        if told.plan.brackets:
            card.add(Prose(say("fit.windows"), BODY, bold=True))
        for window in told.plan.brackets:
            text = fitviews.window_text(told, window, names)
            card.add(worded(text, window.shortest, window.longest))
        for tide in told.asked.tides:
            card.add(worded(fitviews.spare_text(tide), tide))
        card.add(*(Prose(text, SMALL, role="muted") for text in fitviews.sheets_text(told)))
        card.add(Prose(fitviews.rules_text(), SMALL, role="muted"))
        return card
