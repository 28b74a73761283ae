"""The sheet at the right: a title, and below it what is known of the thing that is picked."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QLabel, QSizePolicy, QWidget

from hulllog.desktop.choice import Choice, Option
from hulllog.desktop.edges import edge_of
from hulllog.desktop.figures import worded
from hulllog.desktop.labels import Prose
from hulllog.desktop.layout import clear, column
from hulllog.desktop.sceneview import SceneView
from hulllog.desktop.theme import BODY, LEAD, step
from hulllog.drawing import telling as told
from hulllog.drawing.compose import trend_scene
from hulllog.insight.judging import SURE
from hulllog.words import say, telling

if TYPE_CHECKING:
    from hulllog.drawing.scene import Scene
    from hulllog.insight.judging import ZoneJudged
    from hulllog.insight.occasions import Edge

CHART_HEIGHT = 156


class Side(QWidget):
    """The column of the side sheet; it is emptied and filled anew for whatever is picked."""

    def __init__(self) -> None:
        super().__init__()
        self._column = column(space=3, margin=5)
        self.setLayout(self._column)
        self.setAccessibleName(say("hull_page.sheet"))

    def fill(self, title: str, under: str, widgets: Sequence[QWidget]) -> None:
        """Show a title, a line under it, and widgets below."""
        clear(self._column)
        head = column(Prose(title, LEAD + 4, bold=True), space=0)
        if under:
            head.addWidget(Prose(under, BODY, role="muted"))
        self._column.addLayout(head)
        for widget in widgets:
            self._column.addWidget(widget)
        self._column.addStretch(1)


class TrendChart(SceneView):
    """The course of one figure; a point that is picked takes the strip to its visit."""

    def __init__(self, item: ZoneJudged, on_edge: Callable[[Edge], object]) -> None:
        what = telling.component_name(item.kind, item.component)
        super().__init__(
            say("hull_page.chart", what=what, where=told.subject_name(item)), zoomable=False
        )
        self._item = item
        self.setFixedHeight(CHART_HEIGHT)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.draw_by(self._make)
        self.picked.connect(lambda key, _keys: self._go_to_edge(key, on_edge))

    def _make(self, width: float, height: float) -> Scene:
        return trend_scene(self._item, width, height)

    def _go_to_edge(self, key: str, on_edge: Callable[[Edge], object]) -> None:
        edge = edge_of(key)
        if edge is not None:
            on_edge(edge)


def bare(which: Choice, *, one_line: bool = True) -> None:
    """Show a choice without its label, which the buttons go on saying; perhaps in one line."""
    for said in which.findChildren(QLabel):
        said.hide()
    if not one_line:
        return
    wide = sum(made.sizeHint().width() for made in which.buttons)
    which.setMinimumWidth(wide + step(1) * len(which.buttons))


def judged(
    item: ZoneJudged,
    components: Sequence[str],
    on_component: Callable[[str], object],
    on_edge: Callable[[Edge], object],
) -> list[QWidget]:
    """Show the course of a figure, and the answers to both questions with their workings."""
    widgets: list[QWidget] = []
    if len(components) > 1:
        options = [Option(code, telling.component_name(item.kind, code)) for code in components]
        which = Choice(say("hull_page.figure"), options, label_width=0)
        which.setObjectName("hull/component")
        bare(which, one_line=False)
        which.show_value(item.component)
        which.chosen.connect(on_component)
        widgets.append(which)
    if len(item.judged.series.points) > 1:
        widgets.append(TrendChart(item, on_edge))
    if told.has_more_in_a_visit(item):
        widgets.append(Prose(say("series.visit_rule"), role="muted"))
    changed, steady = item.judged.changed, item.judged.trend
    course = told.course_before(item)
    if course:
        before = item.judged.before_treatment
        widgets.append(worded(course, before.working if before else None))
    widgets.append(
        worded(
            told.changed_text(item),
            changed.working if changed else None,
            strong=changed is not None and changed.beyond_error,
        )
    )
    if bound := told.limit_text(item):
        widgets.append(Prose(bound, bold=bool(item.beyond_limit)))
    sentence = told.steady_text(item)
    if sentence:
        p = item.judged.adjusted_p
        sure = steady is not None and (steady.p if p is None else p) < SURE
        widgets.append(
            worded(
                sentence,
                *(steady.workings if steady else ()),
                item.judged.adjusted,
                strong=sure and steady is not None and steady.direction != "none",
            )
        )
    return widgets
