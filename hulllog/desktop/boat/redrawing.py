"""Sheets that cut a zone in two or join it to another."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from hulllog.desktop.anodes.questions import Questions
from hulllog.desktop.boat.asked import WIDTH
from hulllog.desktop.boat.pictures import drawer
from hulllog.desktop.choice import Choice, Option
from hulllog.desktop.fields import EXPECTED, TextField
from hulllog.desktop.hull.menus import MenuButton
from hulllog.desktop.hull.storing import store
from hulllog.desktop.labels import Prose
from hulllog.desktop.labels import label as text_label
from hulllog.desktop.layout import boxed, line
from hulllog.desktop.sceneview import SceneView
from hulllog.desktop.theme import BODY
from hulllog.hull.zones import ways
from hulllog.insight import boat
from hulllog.records.operations import redrawing
from hulllog.records.operations import typed as t
from hulllog.trade.change import SAME_OUTLINE
from hulllog.words import formats, say

if TYPE_CHECKING:
    from PySide6.QtWidgets import QWidget

    from hulllog.desktop.fields import Field
    from hulllog.desktop.pages import Page
    from hulllog.drawing.scene import Scene
    from hulllog.insight.boat import BoatForm, ZoneArea

_HEIGHT = 220
_LABEL = 128


class _Drawn(SceneView):
    """Her unrolled skin with the zones as they would be."""

    def __init__(self, form: BoatForm) -> None:
        super().__init__(say("boat_page.drawing"), zoomable=False)
        self._form = form
        self.setFixedHeight(_HEIGHT)
        self.draw_by(self._with_zones)

    def _with_zones(self, width: float, height: float) -> Scene:
        return drawer(self._form, "expansion")(width, height).scene

    def show_form(self, form: BoatForm) -> None:
        """Draw other zones."""
        self._form = form
        self.remake()


class CutSheet(Questions):
    """Asks how a zone is cut, where, and how both parts are called; shows them drawn."""

    def __init__(self, page: Page, form: BoatForm, zone: ZoneArea) -> None:
        super().__init__(
            page,
            say("boat_page.cut_title", number=zone.number),
            under=say("boat_page.redraw_under", share=formats.share(SAME_OUTLINE)),
            accept_text=say("do.done"),
            on_accept=self._store,
            width=WIDTH,
        )
        self._page, self._form, self._zone = page, form, zone
        self.way = Choice(
            say("boat_page.cut_way"),
            [Option(code, say(f"boat_page.cut_way.{code}")) for code in ways(zone.outline)],
        )
        self.way.show_value("across")
        check = page.state.checker(redrawing.SPLIT, "share")
        self.share = TextField(say("boat_page.cut_at"), check=check)
        self.share.show_value(formats.share(0.5))
        self.name = TextField(say("boat_page.cut_name"))
        self.other_name = TextField(say("boat_page.cut_other_name"))
        self.name.show_value(zone.name)
        self.fields: dict[str, Field] = {
            "share": self.share, "name": self.name, "other_name": self.other_name,
        }  # fmt: skip
        self.drawn, self.areas = _Drawn(form), Prose("", BODY)
        self.add(self.way, self.share, self.drawn, self.areas, self.name, self.other_name)
        self.way.chosen.connect(lambda _code: self._show())
        self.share.touched.connect(self._show)
        self._show()

    def ask(self) -> CutSheet:
        """Show it, the keyboard at how it is cut."""
        self.open()
        self.way.setFocus()
        return self

    def _show(self) -> None:
        """Show the parts as they would be, or say why there are none."""
        way = self.way.value or ""
        self.share.setVisible(way != "faces")
        try:
            share = self._page.state.read(
                lambda book: t.read(book, redrawing.SPLIT, {"share": self.share.typed()})
            )["share"]
            cut = boat.cut(self._form, self._zone, way, share or 0.0)
        except EXPECTED:
            self.areas.setText(say("boat_page.cut_cannot"))
            return
        self.drawn.show_form(cut.form)
        one, other = (say(f"boat_page.cut_which.{which}") for which in cut.which)
        self.areas.setText(
            say(
                "boat_page.cut_areas",
                one_which=one,
                one=formats.quantity(cut.one.area, "m2"),
                other_which=other,
                other=formats.quantity(cut.other.area, "m2"),
            )
        )

    def _store(self) -> bool:
        store(
            self._page, self, redrawing.split_zone, self._zone.zone_id, fields=self.fields,
            way=self.way.value, share=self.share.typed(), name=self.name.typed(),
            other_name=self.other_name.typed(),
        )  # fmt: skip
        return False


class JoinSheet(Questions):
    """Asks which zone is joined to another, and how both are called then."""

    def __init__(self, page: Page, form: BoatForm, zone: ZoneArea) -> None:
        super().__init__(
            page,
            say("boat_page.join_title", number=zone.number),
            under=say("boat_page.redraw_under", share=formats.share(SAME_OUTLINE)),
            accept_text=say("do.done"),
            on_accept=self._store,
            width=WIDTH,
        )
        self._page, self._zone = page, zone
        self._others = boat.joining(form, zone)
        self.other = self._others[0]
        self.name = TextField(say("boat_page.join_name"))
        self.name.show_value(zone.name)
        self.add(self._menu(), self.name)

    def ask(self) -> JoinSheet:
        """Show it, the keyboard at the other zone."""
        self.open()
        self.menu.setFocus()
        return self

    def _menu(self) -> QWidget:
        named = say("boat_page.join_which")
        self.menu = MenuButton()
        self.menu.setAccessibleName(named)
        for one in self._others:
            said = say("boat_page.zone_said", number=one.number, name=one.name)
            self.menu.menu().addAction(said).triggered.connect(partial(self.choose, one))
        label = text_label(named, role="muted")
        label.setFixedWidth(_LABEL)
        self.choose(self.other)
        return boxed(line(label, self.menu, None))

    def choose(self, other: ZoneArea, _checked: bool = False) -> None:
        """Choose the zone that ends in the other."""
        self.other = other
        said = say("boat_page.zone_said", number=other.number, name=other.name)
        self.menu.setText(said)
        self.menu.setAccessibleDescription(said)

    def _store(self) -> bool:
        store(
            self._page, self, redrawing.join_zones, self._zone.zone_id, self.other.zone_id,
            fields={"name": self.name}, name=self.name.typed(),
        )  # fmt: skip
        return False
