"""Measuring points on the page *Hull*: a grid shown before it is laid, and read by keyboard."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QGridLayout, QWidget

from hulllog.desktop.anodes.questions import Questions
from hulllog.desktop.choice import Choices, Option
from hulllog.desktop.fields import EXPECTED, Field, TextField
from hulllog.desktop.hull.asking import ConditionsEntry
from hulllog.desktop.hull.pictures import place_of
from hulllog.desktop.hull.storing import store
from hulllog.desktop.inputs import Line
from hulllog.desktop.labels import Prose, muted
from hulllog.desktop.layout import boxed, column
from hulllog.desktop.numbers import NumberField
from hulllog.desktop.sceneview import SceneView
from hulllog.desktop.theme import BODY, step
from hulllog.drawing.hullparts import Mark, ZoneDrawing
from hulllog.drawing.hullviews import hull_scene
from hulllog.hull.zones import ZoneOutline
from hulllog.insight.points import points_at
from hulllog.insight.walking import conditions_now
from hulllog.records.model import MeasuringPoint
from hulllog.records.operations import points, queries
from hulllog.records.operations import typed as t
from hulllog.trade import kinds
from hulllog.words import formats, say, say_n, telling
from hulllog.words.figures import unit_label

if TYPE_CHECKING:
    from collections.abc import Sequence

    from PySide6.QtGui import QKeyEvent

    from hulllog.desktop.hull.page import HullPage
    from hulllog.drawing.scene import Scene
    from hulllog.hull.patches import Place
    from hulllog.insight.occasions import Edge
    from hulllog.insight.points import PointSeen
    from hulllog.records.book import Book

_WIDTH, _HEIGHT = 760, 260
_CELL = 84


class _Drawn(SceneView):
    """Her unrolled skin with numbered points."""

    def __init__(self, page: HullPage) -> None:
        super().__init__(say("hull_page.points_drawn"), zoomable=False)
        self._form = page.shown.form
        self._zones = [
            ZoneDrawing(zone.code, ZoneOutline.from_json(dict(zone.outline)), zone.name)
            for zone in page.shown.zones
            if zone.outline
        ]
        self._marks: list[Mark] = []
        self.setFixedHeight(_HEIGHT)
        self.draw_by(self._with_points)

    def _with_points(self, width: float, height: float) -> Scene:
        assert self._form is not None
        described = say_n("hull_page.points_described", len(self._marks))
        return hull_scene(
            self._form, "expansion", zones=self._zones, marks=self._marks, width=width,
            height=height, described=described,
        ).scene  # fmt: skip

    def show_points(self, numbered: Sequence[tuple[int, Place]]) -> None:
        """Draw points by their numbers."""
        self._marks = [
            Mark(f"point:{n}", str(n), place, "point", say("hull_page.point", number=n))
            for n, place in numbered
        ]
        self.remake()


class LaySheet(Questions):
    """Asks for a grid of points on zones, and shows it before it is laid."""

    def __init__(self, page: HullPage, picked: str = "") -> None:
        kind = page.shown.kind
        super().__init__(
            page,
            say("hull_page.lay_points"),
            under=say("hull_page.lay_under", kind=telling.kind_name(kind)),
            accept_text=say("hull_page.lay_them"),
            on_accept=self._store,
            width=_WIDTH,
        )
        self._page, self._kind = page, kind
        self.zones = Choices(
            say("hull_page.lay_zones"),
            [Option(zone.zone_id, zone.name) for zone in page.shown.zones],
            label_width=0,
        )
        self.zones.show_value([picked] if picked else [])
        checker = page.state.checker
        part = points.read_at_points(kinds.require(kind))
        assert part is not None
        self.fields: dict[str, Field] = {
            "bands": TextField(
                say("hull_page.lay_bands"), check=checker(points.GRID, "bands")
            ),
            "frames": TextField(
                say("hull_page.lay_frames"), check=checker(points.GRID, "frames")
            ),
            "original": NumberField(
                say("hull_page.lay_original"), [part.unit or "1"],
                check=checker(points.original(kind), "original"),
            ),
            "original_source": TextField(say("hull_page.lay_source"), hint=say("word.optional")),
        }  # fmt: skip
        self.fields["bands"].show_value("2")
        self.fields["frames"].show_value("5")
        self.drawn = _Drawn(page)
        self.add(self.zones, *self.fields.values(), self.drawn)
        self.zones.chosen.connect(lambda _codes: self._show())
        for name in ("bands", "frames"):
            self.fields[name].touched.connect(self._show)
        self._show()

    def ask(self) -> LaySheet:
        """Show it, the keyboard at the bands."""
        self.open()
        self.fields["bands"].entry.setFocus()
        return self

    def _show(self) -> None:
        """Draw the grid as it would be laid; what cannot be read leaves the drawing empty."""
        try:
            self.drawn.show_points(self._page.state.read(self._laid))
        except EXPECTED:
            self.drawn.show_points([])

    def _laid(self, book: Book) -> list[tuple[int, Place]]:
        typed = {name: self.fields[name].typed() for name in ("bands", "frames")}
        told = t.read(book, points.GRID, typed)
        places = [
            place
            for zone_id in self.zones.value
            for row in points.grid_places(book, zone_id, told["bands"], told["frames"])
            for place in row
        ]
        return list(enumerate(places, queries.next_number(book, MeasuringPoint)))

    def _store(self) -> bool:
        store(
            self._page, self, points.lay_points, list(self.zones.value), fields=self.fields,
            kind=self._kind, bands=self.fields["bands"].typed(),
            frames=self.fields["frames"].typed(),
            original_value=self.fields["original"].typed(),
            original_source=self.fields["original_source"].typed() or None,
        )  # fmt: skip
        return False


class _Cell(Line):
    """The reading of one point: Enter goes along the band, the arrows to the next one."""

    def __init__(self, sheet: ReadSheet, point: PointSeen) -> None:
        super().__init__()
        self._sheet, self.point = sheet, point
        self.setFixedWidth(_CELL)
        self.setObjectName(f"point/{point.number}")
        name = say("hull_page.point", number=point.number)
        if point.before is not None:
            self.setPlaceholderText(point.before.text)
            name = say("hull_page.point_before", point=name, value=formats.measured(point.before))
        self.setAccessibleName(name)
        if point.now is not None:
            self.setText(point.now.text)
            self.accepted = point.now.text
        self.entered.connect(partial(sheet.go, self, 0, 1))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Go to the band above or below."""
        up, down = event.key() == Qt.Key.Key_Up, event.key() == Qt.Key.Key_Down
        if up or down:
            self._sheet.go(self, 1 if up else -1, 0)
        else:
            super().keyPressEvent(event)


class ReadSheet(Questions):
    """Enters the readings of the points of a kind, zone by zone along their grids."""

    def __init__(self, page: HullPage, edge: Edge) -> None:
        kind = page.shown.kind
        super().__init__(
            page,
            say("hull_page.read_points"),
            under=say("hull_page.read_under"),
            accept_text=say("hull_page.keep_look"),
            on_accept=self._store,
            width=_WIDTH,
        )
        self._page, self._edge, self._kind = page, edge, kind
        found = page.state.read(lambda book: points_at(book, edge, kind))
        self.cells = {point.point_id: _Cell(self, point) for point in found}
        self.conditions = ConditionsEntry(kind)
        now = page.state.logbook.around.now()
        day = page.state.read(lambda book: conditions_now(book, edge.visit_id, edge.state, now))
        self.conditions.show_values(day)
        drawn = _Drawn(page)
        drawn.show_points([(one.number, place_of(one.place)) for one in found if one.place])
        self.add(drawn)
        names = {zone.zone_id: zone.name for zone in page.shown.zones}
        part = points.read_at_points(kinds.require(kind))
        unit = f", {unit_label(part.unit)}" if part and part.unit not in (None, "1") else ""
        self._rows: list[list[_Cell]] = []
        for zone_id in dict.fromkeys(point.zone_id for point in found):
            here = [cell for cell in self.cells.values() if cell.point.zone_id == zone_id]
            name = names.get(zone_id or "", say("hull_page.no_zone")) + unit
            self.add(Prose(name, BODY, bold=True), self._grid(here))
        self.add(self.conditions)

    def _grid(self, cells: Sequence[_Cell]) -> QWidget:
        """Lay the cells of a zone as its points lie: the upper band above, forward at the left."""
        grid = QGridLayout()
        grid.setSpacing(step(1))
        top = max(cell.point.band for cell in cells)
        for band in range(top + 1):
            row = sorted(
                (cell for cell in cells if cell.point.band == band), key=lambda one: one.point.frame
            )
            self._rows.append(row)
            for n, cell in enumerate(row):
                said = muted(str(cell.point.number))
                grid.addWidget(boxed(column(said, cell, space=0.5)), top - band, n)
        grid.setColumnStretch(grid.columnCount(), 1)
        return boxed(grid)

    def ask(self) -> ReadSheet:
        """Show it, the keyboard at the first point."""
        self.open()
        self._rows[0][0].setFocus()
        return self

    def go(self, cell: _Cell, bands: int, frames: int) -> None:
        """Go on from a cell: along its band and then to the next, or to another band."""
        at = next(n for n, row in enumerate(self._rows) if cell in row)
        place = self._rows[at].index(cell)
        if frames:
            order = [one for row in self._rows for one in row]
            to = order.index(cell) + frames
            if to < len(order):
                order[to].setFocus()
            elif self.do is not None:
                self.do.setFocus()
        elif 0 <= at + bands < len(self._rows):
            row = self._rows[at + bands]
            row[min(place, len(row) - 1)].setFocus()

    def _store(self) -> bool:
        typed: dict[str, Any] = {
            key: cell.text().strip()
            for key, cell in self.cells.items()
            if cell.text() != cell.accepted
        }
        store(
            self._page, self, points.read_points, self._edge.visit_id, self._kind, typed,
            fields=self.conditions.fields, state=self._edge.state,
            conditions=self.conditions.values(),
        )  # fmt: skip
        return False

    def tell(self, problem: BaseException) -> None:
        """Say at the bottom what went wrong, and go to the point that it is about."""
        super().tell(problem)
        cell = self.cells.get(str(getattr(problem, "field", "")).removeprefix("point."))
        if cell is not None:
            cell.setFocus()
            cell.selectAll()
