"""The sheet at the right: the section through the paint of a zone, and what may go over it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QSizePolicy, QWidget

from hulllog.desktop.buttons import link
from hulllog.desktop.canvas import PIXELS_PER_MM
from hulllog.desktop.choice import Choice, Option
from hulllog.desktop.figures import worded, working_link
from hulllog.desktop.hull.actions import Action, Actions
from hulllog.desktop.labels import Prose
from hulllog.desktop.layout import Caution, boxed, clear, column, line, rule, scrolled
from hulllog.desktop.sceneview import SceneView
from hulllog.desktop.sheets import Sheet
from hulllog.desktop.theme import BODY, LEAD, SMALL
from hulllog.drawing.compose import build_up_scene
from hulllog.drawing.paintwords import layer_text, over_lines
from hulllog.drawing.scene import Scene
from hulllog.insight.overcoating import NEW_COATINGS
from hulllog.words import say
from hulllog.words.working import figure_of

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hulllog.insight.filmwear import FilmWorn
    from hulllog.insight.overcoating import Over
    from hulllog.insight.paint import BuildUp, Layer
    from hulllog.records.model import Zone

_FILMS = 600, 460
"""Width and height of the sheet of films, pixels."""
HIGHEST = 900
"""The most height in pixels that the section takes: room for year and film of some twenty coats."""


class SectionView(SceneView):
    """The section through the paint of a zone."""

    def __init__(self) -> None:
        super().__init__(say("paint_page.section"), zoomable=False)
        self._section: BuildUp | None = None
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.draw_by(self._make)

    def show_section(self, section: BuildUp, zone: str) -> None:
        """Show another section, as high as it needs."""
        self._section = section
        self.setAccessibleName(say("paint_page.section_of", zone=zone))
        natural = build_up_scene(section, 86.0, together=True).height * PIXELS_PER_MM
        self.setFixedHeight(round(min(max(natural, 120.0), HIGHEST)))
        self.remake()

    def _make(self, width: float, height: float) -> Scene:
        if self._section is None:
            return Scene(width, height)
        return build_up_scene(self._section, width, height, together=True)


class PaintSide(QWidget):
    """What is known of the paint of a zone.  ``asked`` brings the coating that is thought of."""

    asked = Signal(str)

    def __init__(self) -> None:
        super().__init__()
        self.setAccessibleName(say("paint_page.side"))
        self.head = Prose("", LEAD + 4, bold=True)
        self.under = Prose("", BODY, role="muted")
        self.section = SectionView()
        self.then_at = Prose("", BODY, bold=True)
        self.then = SectionView()
        self.new = Choice(
            say("paint_page.new_over"),
            [Option(code, say(f"coating_class.{code}")) for code in NEW_COATINGS],
            label_width=0,
        )
        self.new.chosen.connect(self.asked.emit)
        self._layers: list[Layer] = []
        self.films = link(say("paint_page.films"), self.show_films)
        self._worn = column(space=1)
        self._told = column(space=1)
        self._do = column(space=1)
        box = column(
            self.head, self.under, self.section, self.then_at, self.then,
            Prose(say("paint_page.section_note"), SMALL, role="muted"),
            space=2, margin=5,
        )  # fmt: skip
        box.addLayout(self._worn)
        box.addLayout(line(self.films, None))
        box.addWidget(rule())
        box.addWidget(self.new)
        box.addLayout(self._told)
        box.addWidget(rule())
        box.addWidget(Caution(say("paint_page.caution"), say("paint_page.caution_more")))
        box.addLayout(self._do)
        box.addStretch(1)
        self.setLayout(box)
        self.actions_shown = Actions([])
        self.actions_shown.setParent(self)
        self.actions_shown.hide()

    def show_zone(
        self, zone: Zone, section: BuildUp, then: BuildUp | None = None, at: str = ""
    ) -> None:
        """Show the section of a zone, and below it as it was at the edge that is compared with."""
        self.then_at.setText(at)
        for widget in (self.then_at, self.then):
            widget.setVisible(then is not None)
        if then is not None:
            self.then.show_section(then, zone.name)
        self.head.setText(zone.name)
        outermost = section.layers[-1] if section.layers else None
        self.under.setText(
            say("paint_page.outermost", coat=layer_text(outermost))
            if outermost
            else say("buildup.empty")
        )
        self.section.show_section(section, zone.name)
        self._layers = [layer for layer in section.layers[::-1] if layer.film is not None]
        self.films.setVisible(bool(self._layers))

    def show_worn(self, worn: FilmWorn | None) -> None:
        """Show how much film wore off by readings; nothing where none can be compared."""
        clear(self._worn)
        if worn is None:
            return
        text = say(
            "paint_page.worn",
            film=figure_of(worn.worn, show="um"),
            begins=worn.begins,
            ends=worn.ends,
        )
        self._worn.addWidget(worded(text, worn.worn))

    def show_films(self) -> Sheet:
        """Show the films that were worked out from litres, each with its working."""
        sheet = Sheet(self, say("paint_page.films"), width=_FILMS[0])
        rows = column(space=1)
        for layer in self._layers:
            known = [one for one in (layer.film, layer.area) if one is not None]
            said = say(
                "paint_page.film_of",
                coat=layer_text(layer),
                film=figure_of(known[0], show="um"),
            )
            row = line(Prose(said), working_link(sheet, *known, show="um"))
            row.setStretch(0, 1)
            rows.addLayout(row)
        rows.addStretch(1)
        sheet.add(scrolled(boxed(rows)))
        sheet.resize(*_FILMS)
        sheet.open()
        return sheet

    def show_over(self, over: Over | None) -> None:
        """Show what a new coat needs; None where none is thought of."""
        clear(self._told)
        if over is None:
            return
        verdict, lines = over_lines(over)
        self._told.addWidget(Prose(verdict, BODY, bold=True))
        for text in lines:
            self._told.addWidget(Prose(text, SMALL, role="muted"))

    def show_actions(self, actions: Sequence[Action], why_not: str) -> None:
        """Show what can be done."""
        clear(self._do)
        self.actions_shown = Actions(actions, why_not)
        self._do.addWidget(self.actions_shown)
