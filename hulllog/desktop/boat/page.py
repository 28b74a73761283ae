"""The page *Boat*: her particulars and zones, where she lies, what happened, settings, safety."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING, Any

from hulllog.desktop.anodes.rows import row
from hulllog.desktop.boat.forms import BerthForm, EventForm, ZoneForm
from hulllog.desktop.boat.past import show_history
from hulllog.desktop.boat.told import (
    ABOUT_FIELDS,
    CHOICES,
    MEASURES,
    Told,
    berth_line,
    event_line,
    read_boat,
)
from hulllog.desktop.buttons import Door, button
from hulllog.desktop.choice import Choice, Option
from hulllog.desktop.drafts import FieldKey
from hulllog.desktop.fields import TextField
from hulllog.desktop.labels import Prose
from hulllog.desktop.layout import Card, Doors, DrawingCard, boxed, clear, column, line
from hulllog.desktop.numbers import NumberField
from hulllog.desktop.pages import Page
from hulllog.desktop.sceneview import SceneView
from hulllog.desktop.theme import BODY
from hulllog.desktop.today import backing
from hulllog.drawing.hullparts import ZoneDrawing
from hulllog.drawing.hullviews import hull_scene
from hulllog.drawing.scene import Scene
from hulllog.hull.particulars import MATERIALS
from hulllog.records.operations import around, vessel
from hulllog.words import formats, say, say_code
from hulllog.words.errors import sentence_for
from hulllog.words.working import figure_of

if TYPE_CHECKING:
    from PySide6.QtWidgets import QWidget

    from hulllog.desktop.fields import Field
    from hulllog.records.check import CheckReport

UNIT_SYSTEMS = ("metric", "imperial", "us")
LANGUAGES = ("en_GB", "en_US")


class BoatPage(Page):
    """All that is the boat's own, and the settings that travel with the logbook."""

    code = "boat"
    kinds = frozenset({"vessel", "form_version", "zone", "zone_version", "berth_period", "event"})

    def subtitle(self) -> str:
        """Say what the page holds."""
        return say("boat_page.under")

    def build(self) -> None:
        """Make the cards: what is typed at the left, the drawing and the lists at the right."""
        self.fields: dict[str, Field] = {}
        self.choices: dict[str, Choice] = {}
        left = column(self._about(), self._form(), self._settings(), self._safety(), space=3)
        left.addStretch(1)
        self._zones, self._berths, self._events = (
            Card(say(f"boat_page.{name}")) for name in ("zones", "berths", "events")
        )
        right = column(self._drawing(), self._zones, self._berths, self._events, space=3)
        right.addStretch(1)
        across = line(space=3)
        across.addLayout(left, 1)
        across.addLayout(right, 1)
        self.body.addLayout(across)

    # What is typed

    def _about(self) -> Card:
        card = Card(say("boat_page.about"))
        for name in ABOUT_FIELDS:
            card.add(self._text(name))
        card.add(self._choice("material", "material", MATERIALS, self._set_about))
        self.older = button(say("old_notes.door_short"), lambda: self.go.emit("old_notes", ""))
        past = button(say("boat_page.past"), partial(show_history, self))
        card.add(boxed(line(past, self.older, None)))
        return card

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

    def _form(self) -> Card:
        card = Card(say("boat_page.form"))
        self._assumed = Prose("", BODY, role="muted")
        for name, units in MEASURES.items():
            made = NumberField(
                say(f"boat_page.measure.{name}"),
                units,
                key=FieldKey("form", name),
                drafts=self.state.drafts,
                check=self.state.checker(vessel.PARTICULARS, name),
            )
            made.committed.connect(partial(self._correct, name))
            self.fields[name] = made
            card.add(made)
        for name, (family, codes) in CHOICES.items():
            card.add(self._choice(name, family, codes, self._correct))
        card.add(self._assumed)
        return card

    def _choice(self, name: str, family: str, codes: tuple[str, ...], do: Any) -> Choice:
        made = Choice(
            say(f"vessel.{name}"), [Option(code, say_code(family, code)) for code in codes]
        )
        made.chosen.connect(partial(do, name))
        self.choices[name] = made
        return made

    def _correct(self, name: str, typed: Any) -> None:
        given: dict[str, Any] = {name: typed or None}
        self.edit(vessel.correct_particulars, field=self.fields.get(name), **given)

    def _settings(self) -> Card:
        self.units = Choice(
            say("boat_page.units"),
            [Option(code, say(f"unit_system.{code}")) for code in UNIT_SYSTEMS],
        )
        self.words = Choice(
            say("boat_page.words"), [Option(code, say(f"language.{code}")) for code in LANGUAGES]
        )
        self.units.chosen.connect(partial(self._set, "units", "system"))
        self.words.chosen.connect(partial(self._set, "words", "language"))
        return Card(say("boat_page.settings")).add(self.units, self.words)

    def _set(self, name: str, key: str, code: str) -> None:
        self.edit(around.set_setting, name, {key: code})

    # Safety: a proven backup, and the check

    def _safety(self) -> Card:
        self.check = button(say("boat_page.check"), self._check)
        self.backup = button(say("boat_page.backup"), self._ask_backup)
        self.answer = Prose("", BODY)
        self.answer.hide()
        return Card(say("boat_page.safety")).add(
            boxed(line(self.check, self.backup, None)), self.answer
        )

    def _check(self) -> None:
        from hulllog.records.check import check

        folder = self.state.logbook.folder
        self.background(say("boat_page.checking"), lambda _progress: check(folder), self._checked)

    def _checked(self, report: CheckReport) -> None:
        told = [sentence_for("check", one.code, one.values) for one in report.problems]
        if not told:
            told = [say("check.nothing_wrong", entries=report.entries, rows=report.rows)]
        told += [say(f"check.cannot_see.{code}") for code in report.cannot_see]
        self._answer("\n".join(told))

    def _ask_backup(self) -> None:
        chosen = backing.ask_where(self)
        if chosen is not None:
            self.backup.setEnabled(False)
            job = backing.make_backup(self, chosen, self._answer)
            job.ended.connect(lambda: self.backup.setEnabled(True))

    def _answer(self, text: str) -> None:
        self.answer.setText(text)
        self.answer.show()
        self.state.tell(text.split("\n", maxsplit=1)[0])

    # What is shown

    def _drawing(self) -> Card:
        self.view = SceneView(say("boat_page.drawing"))
        self.view.setMinimumHeight(220)
        self.view.draw_by(self._draw)
        self._areas = column(space=1)
        card = DrawingCard(say("view.port"), self.view)
        card.body.addLayout(self._areas)
        return card

    def _draw(self, width: float, height: float) -> Scene:
        form = self._told.form if hasattr(self, "_told") else None
        if form is None:
            return Scene(width, height)
        zones = [
            ZoneDrawing(zone.code, zone.outline, zone.name, "not_rated", label=str(zone.number))
            for zone in form.zones
        ]
        return hull_scene(form.form, "port", zones=zones, width=width, height=height).scene

    def refresh(self) -> None:
        """Show her as she is on record."""
        told = self._told = self.state.read(read_boat)
        for name in ABOUT_FIELDS:
            self.fields[name].show_value(told.about.get(name, ""))
        self.choices["material"].show_value(told.material)
        self._show_form(told)
        self._show_lists(told)
        self.units.show_value(told.units)
        self.words.show_value(told.words)
        self.view.remake()

    def _show_form(self, told: Told) -> None:
        clear(self._areas)
        if told.form is None:
            return
        for name in MEASURES:
            field = self.fields[name]
            if isinstance(field, NumberField):
                field.show_measured(told.form.typed.get(name))
        for name in CHOICES:
            self.choices[name].show_value(str(getattr(told.form.particulars, name)))
        assumed = [say_code("particular", name) for name in sorted(told.form.assumed)]
        self._assumed.setText(
            say("boat_page.assumed", fields=formats.joined(assumed)) if assumed else ""
        )
        for working in told.skin:
            name = say(f"boat_page.{working.name}")
            self._areas.addWidget(row(name, figure_of(working), working))
        if told.form.disagreement:
            asked, got = (formats.quantity(one, "kg") for one in told.form.disagreement)
            self._areas.addWidget(Prose(say("boat_page.disagree", asked=asked, got=got), BODY))

    def _show_lists(self, told: Told) -> None:
        self._list(
            self._zones,
            [
                (zone.name, "", formats.quantity(zone.area, "m2"), partial(ZoneForm, self, zone))
                for zone in (told.form.zones if told.form else ())
            ],
            None,
        )
        self._list(
            self._berths,
            [(*berth_line(one), "", partial(BerthForm, self, one)) for one in told.berths],
            button(say("boat_page.add_berth"), lambda: BerthForm(self).open()),
        )
        self._list(
            self._events,
            [(*event_line(one), "", partial(EventForm, self, one)) for one in told.events],
            button(say("boat_page.add_event"), lambda: EventForm(self).open()),
        )

    def _list(self, card: Card, rows: list[tuple[str, str, str, Any]], add: QWidget | None) -> None:
        card.clear()
        doors = Doors()
        for text, detail, end, form in rows:
            doors.add(Door(text, detail, end, on=partial(_open, form)))
        card.add(doors if rows else Prose(say("boat_page.none_yet"), BODY, role="muted"))
        if add is not None:
            self.writes(add)
            card.add(boxed(line(add, None)))

    def go_to(self, key: str) -> None:
        """Go to her particulars, or to the backup."""
        widget = self.backup if key == "backup" else self.fields["name"]
        widget.setFocus()


def _open(form: Any) -> None:
    form().open()
