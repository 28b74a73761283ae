"""The page *Paint*: the hull in what she wears, seasons of antifouling, what may go over.

Keys: 1 to 9 put a view in the large place; C enters coats, R what was taken off, T a treatment.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtGui import QPainter
from PySide6.QtWidgets import QFrame, QScrollArea, QSizePolicy, QWidget

from hulllog.desktop.commands import PageCommand
from hulllog.desktop.edges import edge_said
from hulllog.desktop.hull.actions import Action
from hulllog.desktop.hull.drawing import HullView, Pane
from hulllog.desktop.hull.thumbs import HEIGHT, MOST_KEYS, VIEWS, Thumbnails
from hulllog.desktop.labels import Prose
from hulllog.desktop.layout import Card, EmptyState, boxed, column, rule
from hulllog.desktop.owncopies import OwnCopies
from hulllog.desktop.pages import Page
from hulllog.desktop.paint.asking import CoatSheet, RemovalSheet, TreatmentSheet, bottom_first
from hulllog.desktop.paint.product import ProductSheet
from hulllog.desktop.paint.season import SeasonSheet
from hulllog.desktop.paint.shown import NOTHING, read_paint
from hulllog.desktop.paint.side import PaintSide
from hulllog.desktop.paint.swatch import SwatchRow
from hulllog.desktop.sceneview import SceneView
from hulllog.desktop.theme import SMALL
from hulllog.drawing.paintviews import own_paint_picture, paint_picture, season_bars
from hulllog.drawing.paintwords import (
    did_lines,
    few_text,
    fouling_text,
    litres_text,
    paint_text,
    season_name,
    work_detail,
    work_text,
)
from hulllog.insight.filmwear import film_worn
from hulllog.insight.overcoating import may_go_over
from hulllog.records.model import Visit
from hulllog.words import formats, say, say_code

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hulllog.desktop.hull.pictures import Draw
    from hulllog.desktop.sheets import Sheet
    from hulllog.desktop.state import State
    from hulllog.drawing.hullparts import HullPicture
    from hulllog.drawing.scene import Scene
    from hulllog.insight.seasons import Season
    from hulllog.records.model import Zone

SIDE = 424
MOST_SEASONS = 5
"""Seasons of a paint that are told one by one."""
LARGE = 480
"""The least height of the large drawing, pixels."""
TABLES = frozenset(
    {
        "vessel", "form_version", "zone", "zone_version", "own_view", "own_outline", "visit",
        "berth_period", "product", "product_window", "coat", "coat_zone", "removal", "treatment",
        "inspection", "measurement_set", "rating", "reading",
    }
)  # fmt: skip


class PaintView(HullView):
    """The hull in her colours; what is picked stands out from any of them."""

    def _paint_over(self, painter: QPainter) -> None:
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        for key in self.marked:
            self._outline(painter, key, 5.0, "sheet")
        super()._paint_over(painter)


class PaintPage(Page):
    """Shows the paint at the edge that is picked."""

    code = "paint"
    kinds = TABLES

    def __init__(self, state: State) -> None:
        super().__init__(state)
        self.shown = NOTHING
        self.view = VIEWS[0]
        self.picked = ""
        self.new_coating = ""
        self._copies = OwnCopies(state, self, lambda: self.show_view(self.view))

    def subtitle(self) -> str:
        """Say as at when, and what the colours are."""
        self._read()
        edge = edge_said(self.state, self.state.edge)
        if self.state.compared is not None:
            against = edge_said(self.state, self.state.compared)
            return say("paint_page.comparing", edge=edge, against=against)
        return say("paint_page.subtitle", edge=edge)

    def _read(self) -> None:
        # At the far end all counts that was done, also at a haul-out that is still open.
        edge, other = self.state.as_at, self.state.compared
        self.shown = self.state.read(lambda book: read_paint(book, edge, other))
        if self.shown.zone(self.picked) is None:
            self.picked = self.shown.first

    def commands(self) -> Sequence[PageCommand]:
        """Offer what can be entered."""
        return (
            PageCommand(say("paint_page.put_on"), self.enter_coats, writes=True),
            PageCommand(say("paint_page.take_off"), self.enter_removal, writes=True),
            PageCommand(say("paint_page.treat"), self.enter_treatment, writes=True),
        )

    # Parts

    def build(self) -> None:
        """Make the drawing, the cards below it and the sheet."""
        self.main = PaintView(say("page.paint"))
        self.main.setObjectName("paint/drawing")
        self.main.setMinimumHeight(LARGE)
        self.pane = Pane(self.main)
        self.thumbnails = Thumbnails()
        self.thumbnails.setMinimumHeight(HEIGHT)
        self.thumbnails.chosen.connect(self.show_view)
        card = QFrame()
        card.setProperty("card", True)
        inside = column(self.pane, space=0)
        inside.setContentsMargins(1, 1, 1, 0)
        card.setLayout(inside)
        self._whole = QWidget()
        self._whole.setLayout(column(card, self.thumbnails, space=2))
        self._empty = EmptyState(
            say("paint_page.no_form"), say("own.use"), lambda: self.go.emit("boat", "own_view")
        )
        if self._empty.action is not None:
            self.writes(self._empty.action)
        self.bars = SceneView(say("paint_page.bars"), zoomable=False)
        self.bars.setFixedHeight(150)
        self.bars.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.bars.draw_by(self._draw_bars)
        self.bars.picked.connect(lambda key, _keys: self._picked_bar(key))
        self.season_card = Card(say("paint_page.seasons"))
        self.paint_card = Card(say("paint_page.paints"))
        self.work_card = Card(say("paint_page.works"))
        for widget in (self._whole, self._empty, self.season_card, self.paint_card, self.work_card):
            self.body.addWidget(widget)
        self.body.addStretch(1)
        self.side = PaintSide()
        self.side.asked.connect(self._think_of)
        self.set_side(self.side, width=SIDE)
        self.main.taken.connect(self._taken)

    def first_focus(self) -> QWidget | None:
        """Start at the drawing."""
        return self.main if self.views() else None

    def refresh(self) -> None:
        """Show what was read."""
        self._copies.look_again()
        views = self.views()
        self._whole.setVisible(bool(views))
        self._empty.setVisible(not views)
        if views:
            self.show_view(self.view if self.view in views else views[0])
        self._fill_seasons()
        self._fill_paints()
        self._fill_works()
        self._fill_side()

    def _draw(self) -> None:
        form, own, named = (
            self.shown.form,
            self.shown.own_view(self.view),
            self._view_name(self.view),
        )
        name = say("paint_page.drawing", view=named)
        self.pane.name(named)
        if own is not None:
            self.main.show_own(name, own, self._drawer(self.view))
        elif form is not None:
            self.main.show_hull(name, form, self.view, self._drawer(self.view))
        self.thumbnails.offer([(view, self._view_name(view)) for view in self.views()])
        self.thumbnails.hide_view(self.view)
        for view in self.views():
            if view != self.view:
                self.thumbnails.show_drawing(view, self._drawer(view, small=True))
        self._mark()

    def views(self) -> tuple[str, ...]:
        """Return the views there are: those of her form, then the owner's own."""
        of_form = VIEWS if self.shown.form is not None else ()
        return (*of_form, *(view.key for view in self.shown.own))

    def _view_name(self, view: str) -> str:
        own = self.shown.own_view(view)
        return own.name if own is not None else say(f"view.{view}")

    def _drawer(self, view: str, *, small: bool = False) -> Draw:
        shown, form, own = self.shown, self.shown.form, self.shown.own_view(view)
        data = self._copies.data(own) if own is not None else None

        def draw(width: float, height: float) -> HullPicture:
            if own is not None:
                return own_paint_picture(
                    own, data, shown.zones, shown.sections,
                    width=width, height=height, small=small,
                )  # fmt: skip
            assert form is not None
            return paint_picture(
                form, view, shown.zones, shown.sections, width=width, height=height, small=small
            )

        return draw

    def _draw_bars(self, width: float, height: float) -> Scene:
        return season_bars(self.shown.seasons, width, height)

    def _mark(self) -> None:
        zone = self.shown.zone(self.picked)
        self.main.mark([f"zone:{zone.code}"] if zone else [])

    def _fill_seasons(self) -> None:
        self.bars.setParent(self.season_card)
        while self.season_card.body.count() and (item := self.season_card.body.takeAt(0)):
            widget = item.widget()
            if widget is not None and widget is not self.bars:
                widget.hide()
                widget.deleteLater()
        if not self.shown.seasons:
            self.bars.hide()
            self.season_card.add(Prose(say("paint_page.no_seasons"), role="muted"))
            return
        self.season_card.add(self.bars)
        self.bars.show()
        self.bars.remake()
        for season in reversed(self.shown.seasons):
            details = (litres_text(season), fouling_text(season))
            made = SwatchRow(season_name(season), details, season.thread.colour_hex)
            made.clicked.connect(lambda _checked, season=season: self.show_season(season))
            self.season_card.add(rule(), made)

    def _fill_paints(self) -> None:
        self.paint_card.clear()
        self.paint_card.setVisible(bool(self.shown.paints))
        for paint in self.shown.paints:
            what = say_code("coating_class", paint.coating_class)
            told = (paint_text(paint), *did_lines(paint)[:MOST_SEASONS])
            made = SwatchRow(f"{paint.product}, {what}", told, paint.colour_hex)
            made.clicked.connect(lambda _checked, key=paint.product_id: self.show_product(key))
            self.paint_card.add(made)
        if few := few_text(self.shown.paints):
            self.paint_card.add(Prose(few, SMALL, role="muted"))

    def _fill_works(self) -> None:
        self.work_card.clear()
        self.work_card.setVisible(bool(self.shown.works))
        for work in self.shown.works:
            told = column(Prose(work_text(work)), space=0)
            if detail := work_detail(work):
                told.addWidget(Prose(detail, SMALL, role="muted"))
            if work is not self.shown.works[0]:
                self.work_card.add(rule())
            self.work_card.add(boxed(told))

    def _fill_side(self) -> None:
        zone = self.shown.zone(self.picked)
        self.side.setVisible(zone is not None)
        if zone is None:
            return
        then = self.shown.then
        at = edge_said(self.state, self.state.compared) if then is not None else ""
        earlier = then.get(zone.id) if then is not None else None
        self.side.show_zone(zone, self.shown.sections[zone.id], earlier, at)
        self.side.new.show_value(self.new_coating or None)
        at_edge = self.state.as_at
        self.side.show_worn(self.state.read(lambda book: film_worn(book, zone.id, at_edge)))
        self._tell_over()
        why_not = ""
        if self.state.read_only:
            why_not = say("anodes_page.reading")
        elif self.state.edge is None:
            why_not = say("paint_page.no_visit")
        self.side.show_actions(
            [
                Action("coats", say("paint_page.put_on"), "c", self.enter_coats),
                Action("removal", say("paint_page.take_off"), "r", self.enter_removal),
                Action("treatment", say("paint_page.treat"), "t", self.enter_treatment),
            ],
            why_not,
        )

    def _think_of(self, coating: str) -> None:
        self.new_coating = coating
        self._tell_over()

    def _tell_over(self) -> None:
        if not self.new_coating or not self.picked:
            self.side.show_over(None)
            return
        edge, zone, new = self.state.as_at, self.picked, self.new_coating
        over = self.state.read(lambda book: may_go_over(book, zone, new, edge))
        self.side.show_over(over)

    # What is picked

    def pick(self, key: str) -> None:
        """Show the paint of a zone, by its key or code."""
        zone = self.shown.zone(key)
        if zone is not None:
            self.picked = zone.id
            self._mark()
            self._fill_side()

    def go_to(self, key: str) -> None:
        """Show a zone first, or a zone of a treatment or of what was taken off."""
        work = next((work for work in self.shown.works if work.key == key), None)
        self.pick(next(iter(work.zone_ids), "") if work else key)
        if work is not None:
            self.bring_in_sight(self.work_card)

    def bring_in_sight(self, widget: QWidget) -> None:
        """Scroll to a part of the page."""
        above = widget.parentWidget()
        while above is not None and not isinstance(above, QScrollArea):
            above = above.parentWidget()
        if above is not None:
            above.ensureWidgetVisible(widget)

    def _taken(self, key: str) -> None:
        if key.startswith("zone:"):
            self.pick(key.removeprefix("zone:"))

    def show_view(self, view: str) -> None:
        """Put a view in the large place."""
        self.view = view
        if self.views():
            self._draw()

    def press(self, key: str) -> bool:
        """Turn to a view, or enter something."""
        views = self.views()[:MOST_KEYS]
        if key in {str(n + 1) for n in range(len(views))}:
            self.show_view(views[int(key) - 1])
            return True
        return self.side.actions_shown.press(key)

    # What can be done

    def _picked_bar(self, key: str) -> None:
        number = key.removeprefix("season:")
        if number.isdigit() and int(number) < len(self.shown.seasons):
            self.show_season(self.shown.seasons[int(number)])

    def show_season(self, season: Season) -> Sheet:
        """Show a season in full."""
        sheet = SeasonSheet(self, season)
        sheet.open()
        return sheet

    def show_product(self, product_id: str) -> Sheet:
        """Show a paint by its data sheet."""
        return ProductSheet(self, product_id).ask()

    def _asked_of(self) -> tuple[str, str] | None:
        """Return the visit to which an entry belongs, and its day."""
        edge = self.state.edge
        visit = self.state.read(lambda book: book.get(Visit, edge.visit_id)) if edge else None
        if visit is None:
            self.state.tell(say("paint_page.no_visit"))
            return None
        return visit.id, formats.anything(visit.begins)

    def enter_coats(self) -> None:
        """Ask for coats."""
        if (about := self._asked_of()) is not None:
            CoatSheet(self, *about, self._zones(), self.picked).ask()

    def enter_removal(self) -> None:
        """Ask for what was taken off."""
        if (about := self._asked_of()) is not None:
            RemovalSheet(self, *about, self._zones(), self.picked).ask()

    def enter_treatment(self) -> None:
        """Ask for a treatment."""
        if (about := self._asked_of()) is not None:
            TreatmentSheet(self, *about, self._zones(), self.picked).ask()

    def _zones(self) -> list[Zone]:
        return bottom_first([zone for zone, _ in self.shown.zones])
