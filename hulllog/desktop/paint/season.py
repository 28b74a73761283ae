"""One season in full: its coats with their weather, litres used against litres computed."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hulllog.desktop.anodes.rows import row
from hulllog.desktop.buttons import Door
from hulllog.desktop.labels import Prose
from hulllog.desktop.layout import boxed, column, rule, scrolled
from hulllog.desktop.paint.airline import air_of, air_rows
from hulllog.desktop.paint.asking import OneCoatSheet
from hulllog.desktop.sheets import Sheet
from hulllog.desktop.theme import SMALL
from hulllog.drawing.paintwords import coat_text, fouling_text, litres_text, season_name
from hulllog.words import say
from hulllog.words.working import figure_of

if TYPE_CHECKING:
    from PySide6.QtWidgets import QVBoxLayout

    from hulllog.desktop.pages import Page
    from hulllog.insight.paint import CoatSeen
    from hulllog.insight.seasons import Season

_WIDTH, _HEIGHT = 640, 520


class SeasonSheet(Sheet):
    """Shows a season; a coat that is pressed can be corrected."""

    def __init__(self, page: Page, season: Season) -> None:
        super().__init__(page, season_name(season), width=_WIDTH)
        self.setObjectName("paint/season")
        self._page, self._season = page, season
        box = column(space=2)
        used = season.thread.used
        box.addWidget(
            row(say("paint_page.litres"), litres_text(season), season.needed, used, show="L")
        )
        if season.film is not None:
            film = figure_of(season.film, show="um")
            box.addWidget(row(say("paint_page.mean_film"), film, season.film, show="um"))
        if season.area is not None:
            area = figure_of(season.area)
            box.addWidget(row(say("paint_page.area"), area, season.area))
        box.addWidget(row(say("paint_page.fouling"), fouling_text(season)))
        if season.immersed is not None:
            wet = season.immersed.working
            box.addWidget(row(say("paint_page.in_water"), figure_of(wet), wet))
        for coat in season.coats:
            self._add_coat(box, coat)
        box.addStretch(1)
        self._area = scrolled(boxed(box))
        self.body.addWidget(self._area)
        self.resize(_WIDTH, _HEIGHT)

    def _add_coat(self, box: QVBoxLayout, coat: CoatSeen) -> None:
        box.addWidget(rule())
        text = coat_text(coat)
        door = Door(text, coat.note or "")
        door.clicked.connect(lambda _checked: self._correct(coat, text))
        box.addWidget(door)
        told = air_of(coat)
        if told is not None and coat.air is not None and coat.humidity is not None:
            values = coat.air, coat.humidity, coat.hull
            box.addWidget(air_rows(self, *values, told, quoted=False))
        else:
            box.addWidget(Prose(say("paint_page.no_air"), SMALL, role="muted"))

    def _correct(self, coat: CoatSeen, text: str) -> None:
        if not self._page.state.read_only:
            self.accept()
            OneCoatSheet(self._page, coat, text).ask()
