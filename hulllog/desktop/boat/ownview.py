"""The sheet of an own view: its name, its scale, and the zones drawn on it by hand."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QSize
from PySide6.QtWidgets import QWidget

from hulllog.desktop.boat.pictures import own_drawer
from hulllog.desktop.boat.tracer import DRAW, MARKS, MOVE, Tracer
from hulllog.desktop.buttons import TallDoor, button
from hulllog.desktop.choice import Choice, Option
from hulllog.desktop.fields import TextField, refuse_named
from hulllog.desktop.figures import working_link
from hulllog.desktop.hull.menus import MenuButton
from hulllog.desktop.labels import Prose, heading, unmarked
from hulllog.desktop.layout import Card, Doors, boxed, clear, column, flowing, line, scrolled
from hulllog.desktop.numbers import NumberField
from hulllog.desktop.owncopies import OwnCopies
from hulllog.desktop.sheets import Sheet
from hulllog.desktop.theme import BODY, SMALL
from hulllog.hull.handdrawn import is_own
from hulllog.insight.condition import zone_versions
from hulllog.insight.ownviews import OwnSeen, OwnShape, own_area, own_views
from hulllog.records.errors import Refused
from hulllog.records.operations import ownviews
from hulllog.words import formats, say

if TYPE_CHECKING:
    from collections.abc import Callable

    from hulllog.desktop.pages import Page

_SIDE = 352
SIZE = QSize(1240, 690)


class OwnViewSheet(Sheet):
    """Shows an own view, and lets its scale be set and zones be drawn on it."""

    def __init__(self, page: Page, view_id: str) -> None:
        super().__init__(page, say("own.sheet"), under=say("own.sheet_under"))
        self.setObjectName("own-view")
        self.page, self.view_id = page, view_id
        self.picked: OwnShape | None = None
        self._into = ""
        self._numbers: dict[str, int] = {}
        self._copies = OwnCopies(page.state, self, self._draw)
        self._build()
        self._refresh()
        self._rest()
        self.resize(SIZE)

    def ask(self) -> OwnViewSheet:
        """Show the sheet with the keyboard in the picture."""
        self.open()
        self.tracer.setFocus()
        return self

    # Parts

    def _build(self) -> None:
        self.tracer = Tracer(say("own.picture"))
        self.tracer.setObjectName("own/picture")
        self.tracer.changed.connect(self._follow)
        self.tracer.finished.connect(self._finish)
        self.tracer.given_up.connect(self._rest)
        self.tracer.picked.connect(self._pick)
        card = Card(quiet=True, margin=1).add(self.tracer)
        self.steps = Prose("", BODY)
        self.parts = {
            "marks": self._marks_part(),
            "draw": self._draw_part(),
            "zone": self._zone_part(),
            "corners": self._corners_part(),
            "rest": self._rest_part(),
        }
        rows = column(self.steps, *self.parts.values(), space=3)
        rows.addStretch(1)
        inside = QWidget()
        inside.setLayout(rows)
        side = scrolled(inside)
        side.setFixedWidth(_SIDE)
        row = line(space=3)
        row.addWidget(card, 1)
        row.addWidget(side)
        self.body.addLayout(row, 1)

    def _marks_part(self) -> QWidget:
        self.length = NumberField(say("own.length"), ("m", "ft"), label_width=0)
        self.length.entry.entered.connect(self._keep_scale)
        self.keep_scale = button(say("own.keep_scale"), self._keep_scale, primary=True)
        stop = button(say("do.cancel"), self._rest)
        return boxed(column(self.length, flowing(self.keep_scale, stop), space=2))

    def _draw_part(self) -> QWidget:
        self.close_it = button(say("own.close"), self._ask_zone, primary=True)
        self.take_back = button(say("own.take_back"), self.tracer.take_back)
        stop = button(say("do.cancel"), self._rest)
        return boxed(column(flowing(self.close_it, self.take_back, stop)))

    def _zone_part(self) -> QWidget:
        self.zone_name = TextField(say("own.zone_name"), label_width=0)
        self.which = MenuButton()
        self.below = Choice(
            say("own.lies"),
            [Option("below", say("own.below")), Option("above", say("own.above"))],
            label_width=0,
        )
        self.below.show_value("below")
        self.keep_zone = button(say("own.keep_zone"), self._keep_zone, primary=True)
        again = button(say("own.go_on"), self._go_on)
        stop = button(say("do.cancel"), self._rest)
        self.zone_name.entry.entered.connect(self._keep_zone)
        rows = column(
            self.which, self.zone_name, self.below, flowing(self.keep_zone, again, stop), space=2
        )
        return boxed(rows)

    def _corners_part(self) -> QWidget:
        self.keep_corners = button(say("own.keep_corners"), self._keep_corners, primary=True)
        self.take_away = button(say("own.take_away"), self._take_away, icon="withdraw")
        stop = button(say("do.cancel"), self._rest)
        return boxed(column(flowing(self.keep_corners, stop), boxed(line(self.take_away, None))))

    def _rest_part(self) -> QWidget:
        self.name = TextField(say("own.name"))
        self.name.committed.connect(self._rename)
        self.shows = Choice(
            say("own.shows"), [Option(code, say(f"own_shows.{code}")) for code in ownviews.SHOWS]
        )
        self.shows.chosen.connect(lambda code: self._do(ownviews.set_own_view, shows=code))
        self.scale = Prose("", BODY)
        self.set_scale = button(say("own.set_scale"), self._begin_marks)
        self.factor = NumberField(say("own.factor"), ("1",))
        self.factor.committed.connect(self._set_factor)
        self.draw_zone = button(say("own.draw_zone"), self._begin_zone, primary=True, icon="add")
        self._zones = column(space=1)
        self.withdraw = button(say("own.withdraw"), self._withdraw, icon="withdraw")
        may_write = self.page.state.read_only is None
        for part in (self.set_scale, self.draw_zone, self.withdraw):
            part.setEnabled(may_write)
        for field in (self.name, self.factor, self.shows):
            field.set_read_only(not may_write)
        rows = column(space=2)
        rows.addWidget(heading(say("own.scale"), BODY))
        rows.addWidget(self.scale)
        rows.addWidget(boxed(line(self.set_scale, None)))
        rows.addWidget(self.factor)
        rows.addWidget(Prose(say("own.factor_under"), SMALL, role="muted"))
        rows.addWidget(heading(say("own.zones"), BODY))
        rows.addLayout(self._zones)
        rows.addWidget(boxed(line(self.draw_zone, None)))
        rows.addWidget(heading(say("own.about"), BODY))
        rows.addWidget(self.name)
        rows.addWidget(self.shows)
        rows.addWidget(boxed(line(self.withdraw, None)))
        return boxed(rows)

    def _rename(self, typed: Any) -> None:
        self._do(ownviews.set_own_view, name=typed, fields={"name": self.name})

    def _set_factor(self, typed: Any) -> None:
        self._do(ownviews.set_factor, typed or None, fields={"factor": self.factor})

    # Showing

    def _refresh(self) -> None:
        """Show the view as it is on record."""
        views, zones = self.page.state.read(
            lambda book: (own_views(book), [zone for zone, _ in zone_versions(book, None)])
        )
        view = next((one for one in views if one.view_id == self.view_id), None)
        if view is None:
            self.reject()
            return
        self.view = view
        self._all_zones = [(zone.id, zone.name) for zone in zones]
        numbers = {zone.code: number for number, zone in enumerate(zones, 1)}
        self._numbers = numbers
        self._copies.look_again()
        self._draw()
        self.name.show_value(view.name)
        self.shows.show_value(view.shows)
        self.factor.show_value(view.factor)
        self.scale.setText(
            say("own.scale_is", length=formats.measured(view.length))
            if view.length is not None
            else say("own.no_scale")
        )
        self._list_zones(view, numbers)

    def _draw(self) -> None:
        data = self._copies.data(self.view)
        self.tracer.show_view(self.view, own_drawer(self.view, data, self._numbers))

    def _list_zones(self, view: OwnSeen, numbers: dict[str, int]) -> None:
        clear(self._zones)
        if not view.shapes:
            self._zones.addWidget(Prose(say("own.no_zones"), BODY, role="muted"))
            return
        doors = Doors()
        for shape in view.shapes:
            area = own_area(view, shape)
            said = say("boat_page.zone_said", number=numbers[shape.code], name=shape.name)
            end = formats.quantity(area.value, "m2") if area else ""
            door = TallDoor(said, "", end, on=partial(self._begin_move, shape))
            door.setObjectName(f"own/{shape.code}")
            link = [working_link(door, area)] if area else []
            doors.add(boxed(line(door, *link, space=2)) if link else door)
        self._zones.addWidget(doors)

    def _show_part(self, code: str) -> None:
        for name, part in self.parts.items():
            part.setVisible(name == code)

    def _say(self, code: str, **values: object) -> None:
        self.steps.setText(say(code, **values))

    def _rest(self) -> None:
        """Go back to where nothing is being set."""
        self._into, self.picked = "", None
        self.tracer.end()
        self.tracer.mark([])
        self._told.hide()
        self._show_part("rest")
        self._say("own.rest")

    def _pick(self, key: str, _modifiers: object) -> None:
        shape = next((one for one in self.view.shapes if f"zone:{one.code}" == key), None)
        if shape is not None and not self.tracer.mode:
            self._begin_move(shape)

    def _follow(self) -> None:
        """Say how far the setting is."""
        mode, count = self.tracer.mode, len(self.tracer.points)
        if mode == MARKS:
            self._say("own.step.mark" if count < 2 else "own.step.length")
            self.keep_scale.setEnabled(count == 2)
            if count == 2 and self.tracer.by_pointer:
                self.length.entry.setFocus()
        elif mode == DRAW:
            self._say("own.step.corners" if count < 3 else "own.step.close", count=count)
            self.close_it.setEnabled(count > 2)
            self.take_back.setEnabled(count > 0)

    def _finish(self) -> None:
        mode = self.tracer.mode
        if mode == MARKS and len(self.tracer.points) == 2:
            self.length.entry.setFocus()
        elif mode == DRAW:
            self._ask_zone()
        elif mode == MOVE:
            self._keep_corners()

    # Scale

    def _begin_marks(self) -> None:
        self._show_part("marks")
        self.length.show_measured(self.view.length)
        self.tracer.begin(MARKS, self.view.marks)

    def _keep_scale(self) -> None:
        self._do(
            ownviews.set_scale, tuple(self.tracer.points), self.length.typed() or "",
            fields={"scale_length": self.length}, then=self._rest,
        )  # fmt: skip

    # Zones

    def _begin_zone(self) -> None:
        self._show_part("draw")
        self.tracer.begin(DRAW)

    def _go_on(self) -> None:
        self._show_part("draw")
        self.tracer.setFocus()
        self._follow()

    def _ask_zone(self) -> None:
        """Ask which zone the outline is of, once it is one."""
        try:
            ownviews.outline_of(self.tracer.points, self.view.width, self.view.height)
        except Refused as problem:
            self.tell(problem)
            return
        self._told.hide()
        self._show_part("zone")
        self._say("own.step.zone")
        drawn = {shape.zone_id for shape in self.view.shapes}
        menu = self.which.menu()
        menu.clear()
        rest = [(key, name) for key, name in self._all_zones if key not in drawn]
        for key, name in [("", say("own.new_zone")), *rest]:
            action = menu.addAction(unmarked(name))
            action.triggered.connect(lambda _checked, key=key: self.belong_to(key))
        self.which.setVisible(bool(rest))
        self.belong_to("")
        self.zone_name.show_value("")
        self.zone_name.entry.setFocus()

    def belong_to(self, zone_id: str) -> None:
        """Say of which zone the outline is; of a new one for an empty key."""
        self._into = zone_id
        name = dict(self._all_zones).get(zone_id, say("own.new_zone"))
        self.which.setText(unmarked(name if len(name) <= 40 else name[:39] + "…"))
        self.which.setAccessibleName(say("own.which_zone", name=name))
        self.zone_name.setVisible(not zone_id)
        self.below.setVisible(not zone_id)

    def _keep_zone(self) -> None:
        typed: dict[str, Any] = {"zone_id": self._into}
        if not self._into:
            typed = {"name": self.zone_name.typed(), "below": self.below.value != "above"}
        self._do(
            ownviews.draw_zone, tuple(self.tracer.points),
            fields={"name": self.zone_name}, then=self._rest, **typed,
        )  # fmt: skip

    def _begin_move(self, shape: OwnShape) -> None:
        if self.page.state.read_only is not None:
            return
        self.picked = shape
        self._show_part("corners")
        self._say("own.step.move", name=shape.name)
        self.take_away.setText(say("own.take_zone" if is_own(shape.code) else "own.take_away"))
        self.tracer.begin(MOVE, shape.points)

    def _keep_corners(self) -> None:
        if self.picked is not None:
            points = tuple(self.tracer.points)
            self._run(ownviews.move_corners, self.picked.outline_id, points, then=self._rest)

    def _take_away(self) -> None:
        if self.picked is not None:
            self._run(ownviews.withdraw_outline, self.picked.outline_id, then=self._rest)

    def _withdraw(self) -> None:
        self._run(ownviews.withdraw_own_view, self.view_id, then=self.accept)

    # Storing

    def _do(self, operation: Callable[..., Any], *about: Any, **typed: Any) -> None:
        self._run(operation, self.view_id, *about, **typed)

    def _run(
        self,
        operation: Callable[..., Any],
        *about: Any,
        fields: dict[str, Any] | None = None,
        then: Callable[[], object] | None = None,
        **typed: Any,
    ) -> None:
        """Run an operation and show what it made; what refused it stands beside its field."""

        def stored(_result: Any) -> None:
            for field in (fields or {}).values():
                field.accept()
                field.give_up()
            self._told.hide()
            if then != self.accept:
                self._refresh()
            if then is not None:
                then()

        def refused(problem: BaseException) -> None:
            if (named := refuse_named(fields or {}, problem)) is not None:
                named.entry.setFocus()
            else:
                self.tell(problem)

        self.page.state.run(
            lambda logbook: operation(logbook, *about, **typed),
            done=stored,
            refused=refused,
            owner=self,
        )
