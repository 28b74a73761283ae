"""Below the positions: potentials read afloat, and what two design methods ask for."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QSizePolicy, QWidget

from hulllog.desktop.anodes.questions import Questions
from hulllog.desktop.anodes.rows import row
from hulllog.desktop.buttons import Door, link
from hulllog.desktop.choice import Choice, Option
from hulllog.desktop.edges import edge_of
from hulllog.desktop.labels import Prose
from hulllog.desktop.layout import Card, boxed, line
from hulllog.desktop.numbers import NumberField
from hulllog.desktop.sceneview import SceneView
from hulllog.desktop.theme import BODY, SMALL
from hulllog.drawing.potentialviews import beside_lines, over_text, potential_scene, read_text
from hulllog.insight.protecting import YEARS, methods
from hulllog.records.errors import Refused
from hulllog.records.operations.typed import measured
from hulllog.trade.refusal import Refusal
from hulllog.words import formats, say, say_code
from hulllog.words.errors import sentence
from hulllog.words.working import figure_of

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from hulllog.desktop.pages import Page
    from hulllog.drawing.scene import Scene
    from hulllog.insight.potentials import PotentialSeen
    from hulllog.insight.protecting import MetalHere

_HEIGHT = 180
_METALS = ("zinc", "aluminium", "magnesium")


class PotentialCard(Card):
    """The potentials over time, and the last in words; ``to_edge`` brings the edge of one."""

    to_edge = Signal(object)

    def __init__(self, found: Sequence[PotentialSeen]) -> None:
        super().__init__(say("potential.title"), margin=3)
        self.setObjectName("anodes/potentials")
        self._found = found
        if not found:
            self.add(Prose(say("potential.none"), BODY, role="muted"))
            return
        self.chart = SceneView(say("potential.chart"), zoomable=False)
        self.chart.setFixedHeight(_HEIGHT)
        self.chart.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.chart.draw_by(self._make)
        self.chart.picked.connect(lambda key, _keys: self.to_edge.emit(edge_of(key)))
        self.add(self.chart)
        last = found[-1]
        self.add(Prose(read_text(last)))
        if over := over_text(last):
            self.add(Prose(over, BODY, bold=True))
        for text in beside_lines(last):
            self.add(Prose(text, SMALL, role="muted"))
        for seen in list(reversed(found))[1:]:
            door = Door(read_text(seen), " ".join((over_text(seen), *beside_lines(seen)[:1])))
            door.clicked.connect(
                lambda _checked, key=f"visit:{seen.visit_id}:found": self.to_edge.emit(edge_of(key))
            )
            self.add(door)

    def _make(self, width: float, height: float) -> Scene:
        return potential_scene(self._found, width, height)


class MethodsCard(Card):
    """What each method asks for and the spread, for the figures of the boat or typed ones.

    ``asked`` opens the questions.
    """

    def __init__(
        self,
        here: MetalHere,
        metal: str,
        typed: tuple[float, float, str] | None,
        ask: Callable[[], object],
    ) -> None:
        super().__init__(say("methods.title"), margin=3)
        self.setObjectName("anodes/methods")
        if here.material == "wood":
            self.add(Prose(say("methods.wood"), BODY, role="muted"))
            return
        known = here.area.value if here.area is not None else None
        area, years, metal = typed or (known, YEARS, metal)
        if area is None:
            self.add(Prose(say("methods.area_wanted"), BODY, role="muted"))
        else:
            for widget in _told(area, years, metal, here):
                self.add(widget)
        self.add(
            Prose(say("methods.note"), SMALL, role="muted"),
            boxed(line(link(say("methods.other"), ask), None)),
        )


def _told(area: float, years: float, metal: str, here: MetalHere) -> list[QWidget]:
    """Return a row for each method and one for the spread, or why there is none."""
    try:
        told = methods(area, metal, here, years)
    except Refusal as problem:
        code = "methods.no_metal" if problem.code == "metal_unknown" else ""
        return [Prose(say(code) if code else sentence(problem), role="muted")]
    over = say(
        "methods.over_coated" if here.coated else "methods.over_bare",
        area=formats.quantity(area, "m2"),
        years=formats.quantity(years, "year"),
        metal=say_code("anode", metal),
    )
    ends = told.spread.interval
    low, high = (ends.low, ends.high) if ends else (told.spread.value, told.spread.value)
    spread = say(
        "methods.spread_is",
        low=formats.quantity(low, "kg"),
        high=formats.quantity(high, "kg"),
        times=formats.figure(told.apart, 1),
    )
    mine = here.area if here.area is not None and here.area.value == area else None
    asks = [say("methods.asks", mass=figure_of(one[1])) for one in (told.dnv, told.ship)]
    return [
        row("", over, mine),
        row(say("methods.dnv"), asks[0], told.dnv[1], told.dnv[0]),
        row(say("methods.ship"), asks[1], told.ship[1], told.ship[0]),
        row(say("methods.spread"), spread, told.spread, bold=True),
    ]


class MethodsSheet(Questions):
    """Asks for area, time and metal; nothing of it is kept."""

    def __init__(
        self, page: Page, metal: str, done: Callable[[tuple[float, float, str]], object]
    ) -> None:
        super().__init__(
            page,
            say("methods.figures"),
            under=say("methods.figures_under"),
            accept_text=say("methods.work_out"),
            on_accept=self._take,
        )
        self.setObjectName("anodes/methods/figures")
        self._done = done
        self.area = NumberField(
            say("methods.area"), ("m2",), low=0.01, high=1000, hint=say("methods.area_hint")
        )
        self.years = NumberField(say("methods.years"), ("year",), low=0.1, high=5)
        self.metal = Choice(
            say("methods.metal"), [Option(code, say_code("anode", code)) for code in _METALS]
        )
        self.metal.show_value(metal if metal in _METALS else _METALS[0])
        self.years.show_value("1")
        self.add(self.area, self.years, self.metal)

    def ask(self) -> MethodsSheet:
        """Show the questions."""
        self.open()
        self.area.entry.setFocus()
        return self

    def _take(self) -> bool:
        asked = (self.area, "m2"), (self.years, "year")
        found = []
        for field, unit in asked:
            if not field.typed():
                field.refuse(Refused("number_wanted"))
                return False
            found.append(measured(field.typed(), unit, "").in_unit(unit))
        self._done((found[0], found[1], str(self.metal.value)))
        return True
