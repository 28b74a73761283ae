"""The drawings of the plan: what falls due on its axis, costs visit by visit."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hulllog.drawing import bars
from hulllog.drawing.dueaxis import Row, due_axis, height_of
from hulllog.drawing.planwords import due_title, due_when, line_text, visit_name
from hulllog.drawing.timeline import Moment, fraction
from hulllog.words import formats, say, say_n

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import datetime

    from hulllog.drawing.scene import Scene
    from hulllog.insight.costs import VisitCosts
    from hulllog.insight.nextlift import NextDue, NextLift


def due_key(due: NextDue) -> str:
    """Return the key under which something due is drawn."""
    return f"due:{due.code}:{due.key}"


def due_rows(found: NextLift) -> list[Row]:
    """Return what falls due as rows of the axis."""
    return [_row(due, found) for due in found.dues]


def _row(due: NextDue, found: NextLift) -> Row:
    first, last = due.days(found.zone)
    said = say("plan.row_said", what=due_title(due), when=due_when(due, found.zone))
    return Row(
        due_key(due),
        due_title(due),
        Moment.between(first, last),
        first == last,
        said,
        due is found.first,
    )


def axis_height(found: NextLift) -> float:
    """Return the millimetres that the axis needs."""
    return height_of(found.dues)


def axis_scene(found: NextLift, now: datetime, width: float, height: float) -> Scene:
    """Draw what falls due."""
    return due_axis(
        due_rows(found),
        fraction(now),
        width,
        height,
        today_text=say("plan.today"),
        described=say_n("plan.axis_described", len(found.dues)),
    )


def cost_scene(found: Sequence[VisitCosts], currency: str, width: float, height: float) -> Scene:
    """Draw the costs in one currency, the oldest visit first."""
    columns = []
    for costs in reversed(found):
        total = next((one.value for one in costs.sums if one.unit == currency), None)
        if total is None or costs.visit_id is None or costs.when is None:
            continue
        lines = [line_text(line) for line in costs.lines if line.currency == currency]
        columns.append(
            bars.Column(
                formats.year(costs.when),
                (bars.Part(max(total, 0.0), "water_deep"),),
                text=formats.figure(total, 0),
                said=f"{visit_name(costs)}. {formats.joined(lines)}",
                key=f"visit:{costs.visit_id}",
            )
        )
    chart = bars.Bars(
        tuple(columns),
        unit=currency,
        empty=say("plan.no_costs"),
        described=say("plan.costs_described", currency=currency),
        number=lambda value: formats.figure(value, 0),
    )
    return bars.bars(chart, width, height)
