"""The card of costs: columns by visit, the lines of each, by way of lifting, by the year."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QSizePolicy, QVBoxLayout, QWidget

from hulllog.desktop.anodes.rows import row
from hulllog.desktop.buttons import Door, button, link
from hulllog.desktop.figures import worded
from hulllog.desktop.labels import Prose
from hulllog.desktop.layout import Card, boxed, column, rule, scrolled
from hulllog.desktop.sceneview import SceneView
from hulllog.desktop.sheets import Sheet
from hulllog.desktop.theme import BODY
from hulllog.drawing.planviews import cost_scene
from hulllog.drawing.planwords import line_text, sums_text, visit_name, way_text
from hulllog.words import say, say_n
from hulllog.words.working import figure_of

if TYPE_CHECKING:
    from hulllog.drawing.scene import Scene
    from hulllog.insight.costs import Costs, VisitCosts

MOST = 4
"""Visits that are listed before the rest is asked for."""
COMPARED = 2
"""Visits with costs in a currency from which on they are drawn side by side."""
_HIGH = 150
_WIDE = 560


class CostColumns(SceneView):
    """The costs in one currency, visit by visit."""

    def __init__(self, found: Costs, currency: str) -> None:
        super().__init__(say("plan.costs_described", currency=currency), zoomable=False)
        self._found, self._currency = found, currency
        self.setFixedHeight(_HIGH)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.draw_by(self._make)

    def _make(self, width: float, height: float) -> Scene:
        return cost_scene(self._found.visits, self._currency, width, height)


class CostCard(Card):
    """What she cost.  ``add_cost`` and ``add_invoice`` ask for a form."""

    add_cost = Signal()
    add_invoice = Signal()

    def __init__(self) -> None:
        super().__init__(say("plan.costs"))
        self.found: Costs | None = None
        self.adding = button(say("plan.add_cost"), self.add_cost.emit, icon="add")
        self.adding.setObjectName("plan/add_cost")
        self.invoice = button(say("plan.add_invoice"), self.add_invoice.emit)
        self.invoice.setObjectName("plan/add_invoice")
        for made in (self.invoice, self.adding):
            self.head.addWidget(made)
        self._inside = QWidget()
        self._inside.setLayout(column())
        self.add(self._inside, Prose(say("plan.drop"), BODY, role="muted"))

    def show_costs(self, found: Costs) -> None:
        """Show other costs."""
        self.found = found
        old, self._inside = self._inside, self._filled(found)
        self.body.replaceWidget(old, self._inside)
        old.hide()
        old.deleteLater()

    def _filled(self, found: Costs) -> QWidget:
        box = column(space=2)
        if not found.visits:
            box.addWidget(Prose(say("plan.no_costs"), BODY, role="muted"))
            return boxed(box)
        for total in found.totals:
            if _times(found, total.unit) < COMPARED:
                continue
            columns = CostColumns(found, total.unit)
            columns.picked.connect(lambda key, _keys: self._open_key(key))
            box.addWidget(columns)
        for total in found.totals:
            box.addWidget(row(say("plan.in_all"), figure_of(total), total))
        for year in found.by_year:
            box.addWidget(row(say("plan.by_year"), figure_of(year), year))
        if not found.by_year:
            box.addWidget(row(say("plan.by_year"), say("plan.no_year")))
        if found.ways:
            box.addWidget(rule())
            box.addWidget(Prose(say("plan.by_way"), BODY, bold=True))
            for way in found.ways:
                box.addWidget(worded(way_text(way), way.mean, way.total))
        box.addWidget(rule())
        box.addWidget(Prose(say("plan.by_visit"), BODY, bold=True))
        self._list(box, found)
        return boxed(box)

    def _list(self, box: QVBoxLayout, found: Costs) -> None:
        rest: list[QWidget] = []
        for number, costs in enumerate(found.visits):
            lines = (
                say("plan.cost_total_only")
                if costs.total_only
                else say_n("plan.cost_lines", len(costs.lines))
            )
            door = Door(visit_name(costs), lines, sums_text(costs), on=partial(self.open, costs))
            door.setObjectName(f"plan/cost/{costs.visit_id or number}")
            box.addWidget(door)
            if number >= MOST:
                door.hide()
                rest.append(door)
        if rest:
            more = link(say("plan.all_visits", n=len(found.visits)))
            more.clicked.connect(lambda _checked: _show(rest, more))
            box.addWidget(more)

    def _open_key(self, key: str) -> None:
        for costs in self.found.visits if self.found else ():
            if key == f"visit:{costs.visit_id}":
                self.open(costs)

    def open(self, costs: VisitCosts) -> Sheet:
        """Show a visit's lines and their sum."""
        sheet = Sheet(self, say("plan.costs"), under=visit_name(costs), width=_WIDE)
        inside = column(space=2)
        for one in costs.lines:
            inside.addWidget(Prose(line_text(one), BODY))
        if not costs.total_only:
            inside.addWidget(rule())
            for total in costs.sums:
                inside.addWidget(worded(figure_of(total), total, strong=True))
        inside.addStretch(1)
        sheet.add(scrolled(boxed(inside)))
        sheet.open()
        return sheet


def _times(found: Costs, currency: str) -> int:
    return sum(
        one.visit_id is not None and any(total.unit == currency for total in one.sums)
        for one in found.visits
    )


def _show(rest: list[QWidget], more: QWidget) -> None:
    more.hide()
    for door in rest:
        door.show()
    rest[0].setFocus()
