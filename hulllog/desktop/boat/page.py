"""The page *Boat*: her drawing, and beside it all that is her own in parts that open on demand.

The drawing follows what is typed before it is kept.  Keys: 1 to 5 put a view in the large place.
"""

from __future__ import annotations

import contextlib
from functools import partial
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QFrame, QWidget

from hulllog.desktop.boat import listed
from hulllog.desktop.boat.areas import Areas
from hulllog.desktop.boat.changing import ChangeSheet, ConversionSheet
from hulllog.desktop.boat.listed import Lists
from hulllog.desktop.boat.measures import Measure, Sort
from hulllog.desktop.boat.newview import NewOwnView
from hulllog.desktop.boat.ownform import FormSheet
from hulllog.desktop.boat.past import show_history
from hulllog.desktop.boat.pictures import drawer, own_drawer
from hulllog.desktop.boat.safety import Safety
from hulllog.desktop.boat.told import ABOUT_FIELDS, CHOICES, HEIGHTS, MEASURES, Told, read_boat
from hulllog.desktop.buttons import button
from hulllog.desktop.choice import Choice, Option
from hulllog.desktop.commands import PageCommand
from hulllog.desktop.drafts import FieldKey
from hulllog.desktop.dropping import TakesOneFile
from hulllog.desktop.fields import EXPECTED, TextField
from hulllog.desktop.folds import Fold
from hulllog.desktop.hull.drawing import HullView, Pane
from hulllog.desktop.hull.thumbs import MOST_KEYS, VIEWS, Thumbnails
from hulllog.desktop.labels import Prose
from hulllog.desktop.layout import EmptyState, boxed, column, line
from hulllog.desktop.owncopies import OwnCopies
from hulllog.desktop.pages import Page
from hulllog.desktop.theme import BODY
from hulllog.hull.particulars import MATERIALS
from hulllog.insight import boat
from hulllog.records.operations import around, vessel
from hulllog.words import say, say_code

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence
    from pathlib import Path

    from hulllog.desktop.fields import Field
    from hulllog.desktop.hull.pictures import Draw
    from hulllog.insight.boat import BoatForm
    from hulllog.insight.ownviews import OwnSeen

SIDE = 476
UNIT_SYSTEMS = ("metric", "imperial", "us")
LANGUAGES = ("en_GB", "en_US")
DATE_ORDERS = {"": "ask", "day first": "day", "month first": "month"}
SIGNS = {"": "ask", ".": "point", ",": "comma"}
TABLES = frozenset(
    {
        "vessel", "form_version", "zone", "zone_version", "berth_period", "event", "former_name",
        "registration", "person", "firm", "instrument", "owner_limit", "visit", "setting",
        "own_view", "own_outline",
    }
)  # fmt: skip
_TRY_AFTER = 120
"""Milliseconds after a key until the drawing follows."""


class BoatPage(TakesOneFile, Page):
    """All that is the boat's own, and the settings that travel with the logbook."""

    code = "boat"
    _led_to = "about"
    kinds = TABLES
    scrolls = False

    def subtitle(self) -> str:
        """Say what the page holds."""
        return say("boat_page.under")

    def commands(self) -> Sequence[PageCommand]:
        """Offer what is added often."""
        return (
            (
                PageCommand(say("boat_page.add_event"), self.lists.add_event, writes=True),
                PageCommand(say("boat_page.add_berth"), self.lists.add_berth, writes=True),
                PageCommand(say("boat_page.convert_more"), self.convert, writes=True),
                PageCommand(say("own.use"), self.use_own, writes=True),
            )
            if self._built
            else ()
        )

    # Parts

    def build(self) -> None:
        """Make the drawing at the left and the parts at the right."""
        self.setAcceptDrops(True)
        self.fields: dict[str, Field] = {}
        self.measures: dict[str, Measure] = {}
        self.sorts: dict[str, Sort] = {}
        self.view = VIEWS[0]
        self._copies = OwnCopies(self.state, self, self._draw)
        self._tried: BoatForm | None = None
        self._pause = QTimer(self)
        self._pause.setSingleShot(True)
        self._pause.setInterval(_TRY_AFTER)
        self._pause.timeout.connect(self._try)
        self.state.closing.connect(self._put_off)
        self._build_drawing()
        self.lists = Lists(self)
        self.folds = {fold.objectName().removeprefix("boat/"): fold for fold in self._folds()}
        side = QWidget()
        side.setAccessibleName(say("boat_page.parts"))
        rows = column(*self.folds.values(), space=2, margin=3)
        rows.addStretch(1)
        side.setLayout(rows)
        self.set_side(side, width=SIDE)
        self.folds["measures"].set_open()

    def _build_drawing(self) -> None:
        self.main = HullView(say("boat_page.drawing"))
        self.main.setObjectName("boat/drawing")
        self.main.taken.connect(self._taken)
        self.pane = Pane(self.main)
        self.areas = Areas(self)
        self.thumbnails = Thumbnails()
        self.thumbnails.chosen.connect(self.show_view)
        card = QFrame()
        card.setProperty("card", True)
        inside = column(space=0)
        inside.addWidget(self.pane, 1)
        inside.addWidget(self.areas)
        inside.setContentsMargins(1, 1, 1, 0)
        card.setLayout(inside)
        self._whole = QWidget()
        self._whole.setLayout(column(card, self.thumbnails, space=2))
        self._empty = EmptyState(say("own.draw_first"), say("own.use"), self._use_own)
        self.body.addWidget(self._whole, 1)
        self.body.addWidget(self._empty, 1)

    def _folds(self) -> list[Fold]:
        made: list[tuple[str, list[QWidget]]] = [
            ("about", self._about()),
            ("measures", self._measures(MEASURES)),
            ("heights", [self._note("boat_page.heights_under"), *self._measures(HEIGHTS)]),
            ("sorts", self._sorts()),
            *((code, [widget]) for code, widget in self.lists.widgets.items()),
            ("settings", self._settings()),
            ("safety", [self._safety()]),
        ]
        return [Fold(f"boat/{code}", say(f"boat_page.{code}"), inside) for code, inside in made]

    @staticmethod
    def _note(code: str) -> QWidget:
        return Prose(say(code), BODY, role="muted")

    def _about(self) -> list[QWidget]:
        self.material = Choice(
            say("vessel.material"), [Option(code, say_code("material", code)) for code in MATERIALS]
        )
        self.material.chosen.connect(partial(self._set_about, "material"))
        past = button(say("boat_page.past"), partial(show_history, self), icon="history")
        self.older = button(say("old_notes.door_short"), lambda: self.go.emit("old_notes", ""))
        self.form_door = button(say("own.form"), self.give_form)
        self.form_door.setObjectName("boat/form")
        self.writes(self.form_door)
        return [
            *(self._text(name) for name in ABOUT_FIELDS), self.material,
            boxed(line(self.form_door, None)), boxed(line(past, self.older, None)),
        ]  # fmt: skip

    def _text(self, name: str) -> Field:
        made = TextField(
            say(f"vessel.{name}"),
            key=FieldKey("vessel", name),
            drafts=self.state.drafts,
            check=self.state.checker(vessel.ABOUT, name),
        )
        made.committed.connect(partial(self._set_about, name))
        self.fields[name] = made
        return made

    def _set_about(self, name: str, typed: Any) -> None:
        self.edit(vessel.set_about, name, typed, field=self.fields.get(name))

    def _measures(self, names: Mapping[str, tuple[str, ...]]) -> list[QWidget]:
        for name, units in names.items():
            made = Measure(self.state, name, units, self.correct)
            made.field.touched.connect(self._pause.start)
            self.measures[name] = made
            self.fields[name] = made.field
        return [self.measures[name] for name in names]

    def _sorts(self) -> list[QWidget]:
        self.sorts = {name: Sort(name, self.correct) for name in CHOICES}
        converting = button(say("boat_page.convert_more"), self.convert)
        converting.setObjectName("boat/convert")
        self.writes(converting)
        return [*self.sorts.values(), boxed(line(converting, None))]

    def _settings(self) -> list[QWidget]:
        self.units = Choice(
            say("boat_page.units"),
            [Option(code, say(f"unit_system.{code}")) for code in UNIT_SYSTEMS],
        )
        self.words = Choice(
            say("boat_page.words"), [Option(code, say(f"language.{code}")) for code in LANGUAGES]
        )
        self.order = Choice(
            say("boat_page.date_order"),
            [Option(code, say(f"boat_page.order.{name}")) for code, name in DATE_ORDERS.items()],
        )
        self.sign = Choice(
            say("boat_page.decimal_sign"),
            [Option(code, say(f"boat_page.sign.{name}")) for code, name in SIGNS.items()],
        )
        self.units.chosen.connect(partial(self._set, "units", "system"))
        self.words.chosen.connect(partial(self._set, "words", "language"))
        self.order.chosen.connect(partial(self._set, "date_order", "order"))
        self.sign.chosen.connect(partial(self._set, "decimal_sign", "sign"))
        return [self.units, self.words, self.order, self.sign]

    def _set(self, name: str, key: str, code: str) -> None:
        self.edit(around.set_setting, name, {key: code})

    def _safety(self) -> Safety:
        self.safety = Safety(self)
        return self.safety

    # Showing

    def first_focus(self) -> QWidget | None:
        """Start at the first part, or at that which a door led to."""
        at, self._led_to = self._led_to, "about"
        return self.folds[at].head

    def refresh(self) -> None:
        """Show her as she is on record."""
        told = self.told = self.state.read(read_boat)
        self._copies.look_again()
        for name in ABOUT_FIELDS:
            self.fields[name].show_value(told.about.get(name, ""))
        self.material.show_value(told.material)
        self.units.show_value(told.units)
        self.words.show_value(told.words)
        self.order.show_value(told.date_order)
        self.sign.show_value(told.decimal_sign)
        self.form_door.setVisible(told.form is None)
        there = told.form is not None or bool(told.own)
        self._whole.setVisible(there)
        self._empty.setVisible(not there)
        for code in ("measures", "heights", "sorts"):
            self.folds[code].setVisible(told.form is not None)
        if told.form is not None:
            for measure in self.measures.values():
                measure.show_form(told.form)
            for sort in self.sorts.values():
                sort.show_form(told.form)
            self._hide_planking(told)
            self._tried = None
            self._try()
        elif told.own:
            self._draw()
        self.lists.show(told)
        self._summarise(told)

    def _hide_planking(self, told: Told) -> None:
        """Ask for planking only where there are planks, or some other answer is on record."""
        form = told.form
        planked = told.material == "wood" or (form and form.particulars.planking != "none")
        self.sorts["planking"].setVisible(bool(planked))

    def _summarise(self, told: Told) -> None:
        who = [one for one in (told.kind_line, told.about["builder"]) if one]
        said = {"about": ", ".join(who)}
        if told.form is not None:
            said |= listed.form_summaries(told.form)
        said["settings"] = ", ".join(
            (say(f"unit_system.{told.units}"), say(f"language.{told.words}"))
        )
        said["safety"] = self.safety.summary()
        for code, text in (said | self.lists.summaries(told)).items():
            self.folds[code].summarise(text)

    def _draw(self) -> None:
        form, views = self._tried or self.told.form, self.views()
        if not views:
            return
        if self.view not in views:
            self.view = next(iter(views))
        name, own = views[self.view], self._own(self.view)
        self.pane.name(say("boat_page.as_typed", view=name) if self._tried and not own else name)
        said = say("boat_page.drawing_of", view=name)
        if own is not None:
            self.main.show_own(said, own, self._drawer(self.view))
        elif form is not None:
            self.main.show_hull(said, form.form, self.view, self._drawer(self.view))
        self.thumbnails.offer(list(views.items()))
        self.thumbnails.hide_view(self.view)
        for view in views:
            if view != self.view:
                self.thumbnails.show_drawing(view, self._drawer(view, small=True))
        self.areas.setVisible(form is not None)
        if form is not None:
            self.areas.show_form(form, self.told.area)

    def views(self) -> dict[str, str]:
        """Return the views there are and their names: of her form, then the owner's own."""
        of_form = VIEWS if self.told.form is not None else ()
        named = {view: say(f"view.{view}") for view in of_form}
        return named | {view.key: view.name for view in self.told.own}

    def _own(self, key: str) -> OwnSeen | None:
        return next((view for view in self.told.own if view.key == key), None)

    def _drawer(self, view: str, *, small: bool = False) -> Draw:
        own, form = self._own(view), self._tried or self.told.form
        if own is not None:
            numbers = {zone.code: zone.number for zone in self.told.own_zones}
            numbers |= {zone.code: zone.number for zone in (form.zones if form else ())}
            return own_drawer(own, self._copies.data(own), numbers, small=small)
        assert form is not None
        return drawer(form, view, small=small)

    def _use_own(self) -> None:
        self.use_own()

    def give_form(self) -> FormSheet:
        """Ask for the particulars of a boat that has been drawn by hand alone."""
        return FormSheet(self).ask()

    def use_own(self, file: Path | None = None) -> None:
        """Ask for a drawing or photograph that is to serve as a view."""
        NewOwnView(self, file).ask()

    def take_file(self, file: Path) -> None:
        """Ask what the picture that was dropped shows."""
        self.use_own(file)

    def show_view(self, view: str) -> None:
        """Put a view in the large place."""
        self.view = view
        self._draw()

    def press(self, key: str) -> bool:
        """Turn to a view."""
        views = list(self.views())[:MOST_KEYS]
        if key in {str(n + 1) for n in range(len(views))}:
            self.show_view(views[int(key) - 1])
            return True
        return False

    def _taken(self, key: str) -> None:
        """Go from a zone of the drawing to its line in the list."""
        if key.startswith("zone:"):
            self.folds["zones"].set_open()
            self.lists.focus_zone(key.removeprefix("zone:"))

    def go_to(self, key: str) -> None:
        """Go to her particulars, to her instruments, or to the backup."""
        if key == "instruments":
            self.folds[key].set_open()
            self._led_to = key
            return
        if key != "backup" and (key == "own_view" or self.told.form is None):
            self.folds["own_views"].set_open()
            self.folds["own_views"].head.setFocus()
            if key == "own_view" and self.state.read_only is None:
                self.use_own()
            return
        fold = self.folds["safety" if key == "backup" else "measures"]
        fold.set_open()
        widget = self.safety.backup if key == "backup" else self.fields["lwl"].entry
        widget.setFocus()

    # Her form

    def _try(self) -> None:
        """Draw what is typed and not kept; what cannot be drawn leaves the drawing as it is."""
        self._pause.stop()
        form = self.told.form
        if form is None:
            return
        dirty = [(name, one.field) for name, one in self.measures.items() if one.field.dirty]
        standing = [(name, field) for name, field in dirty if not field.refused]
        for fields in (dirty, standing):
            typed = {name: field.typed() or None for name, field in fields}
            with contextlib.suppress(*EXPECTED):
                self._tried = self._drawn_as(form, typed)
                break
        self._draw()

    def _drawn_as(self, form: BoatForm, typed: Mapping[str, Any]) -> BoatForm | None:
        if not typed:
            return None
        return self.state.read(lambda book: boat.tried(book, form, typed))

    def correct(self, name: str, typed: Any) -> None:
        """Keep a measure or a sort; where looks would be shown otherwise she is asked of first."""
        form, field = self.told.form, self.fields.get(name)
        given: dict[str, Any] = {name: typed or None}
        if form is None:
            return
        try:
            trial = self.state.read(lambda book: boat.trial(book, form, given))
        except EXPECTED as problem:
            self._refuse(name, problem)
            return
        if trial.tells:
            if field is not None:
                field.keep_draft()
            ChangeSheet(self, trial, given, self._kept(name), self._left(name)).ask()
        else:
            self.edit(vessel.correct_particulars, field=field, **given)

    def _put_off(self) -> None:
        """Ask no more: the logbook is about to be closed."""
        for sheet in self.window().findChildren(ChangeSheet):
            if sheet.isVisible():
                sheet.put_off()

    def _refuse(self, name: str, problem: BaseException) -> None:
        field = self.fields.get(name)
        if field is not None:
            field.refuse(problem)
        else:
            self.state.fail(problem)
            self._left(name)()

    def _kept(self, name: str) -> Callable[[], object]:
        field = self.fields.get(name)
        return field.accept if field is not None else lambda: None

    def _left(self, name: str) -> Callable[[], object]:
        """Return what shows a field or a choice again as it is on record."""

        def leave() -> None:
            field = self.fields.get(name)
            if field is not None:
                field.give_up()
            elif self.told.form is not None:
                self.sorts[name].show_form(self.told.form)
            self._try()

        return leave

    def convert(self) -> None:
        """Ask for a conversion: a new form from a date on."""
        if self.told.form is not None:
            ConversionSheet(self, self.told.form).ask()
