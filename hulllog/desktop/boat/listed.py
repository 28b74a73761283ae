"""The lists of the page *Boat*: zones, berths on their axis, names, people, instruments, limits."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime
from functools import partial
from typing import TYPE_CHECKING, Any, Protocol

from PySide6.QtWidgets import QSizePolicy, QWidget

from hulllog.desktop.boat import forms
from hulllog.desktop.boat import told as t
from hulllog.desktop.boat.newview import NewOwnView
from hulllog.desktop.boat.ownview import OwnViewSheet
from hulllog.desktop.buttons import Door, TallDoor, button
from hulllog.desktop.canvas import PIXELS_PER_MM
from hulllog.desktop.figures import working_link
from hulllog.desktop.labels import Prose
from hulllog.desktop.layout import Doors, boxed, clear, column, flowing, line
from hulllog.desktop.sceneview import SceneView
from hulllog.desktop.theme import BODY
from hulllog.drawing.berths import HEIGHT, Happened, Period, berth_axis
from hulllog.drawing.strip import moment
from hulllog.drawing.timeline import fraction
from hulllog.insight.boat import zone_skin
from hulllog.insight.occasions import visits
from hulllog.words import formats, say, say_code, say_n

if TYPE_CHECKING:
    from collections.abc import Callable

    from hulllog.desktop.boat.asked import Asked
    from hulllog.desktop.boat.told import Told
    from hulllog.desktop.pages import Page
    from hulllog.drawing.scene import Scene
    from hulllog.insight.boat import BoatForm
    from hulllog.trade.working import Working


class Asks(Protocol):
    """A sheet that can be shown."""

    def ask(self) -> object:
        """Show it."""


CODES = ("zones", "own_views", "berths", "names", "people", "instruments", "limits")


@dataclass(frozen=True, slots=True)
class Row:
    """A line of a list: two lines of text, what stands at its end, its key and its sheet."""

    lines: tuple[str, str]
    end: str
    key: str
    form: Callable[[], Asks]
    working: Working | None = None
    """Of the figure at its end."""


class Lists:
    """Fills the lists, and opens the sheets behind their lines."""

    def __init__(self, page: Page) -> None:
        self._page = page
        self._told: Told | None = None
        self._boxes = {code: column(space=2) for code in CODES}
        self.widgets: dict[str, QWidget] = {code: boxed(box) for code, box in self._boxes.items()}
        self.doors: dict[str, Door] = {}
        self.axis = SceneView(say("boat_page.axis"), zoomable=False)
        self.axis.setObjectName("boat/axis")
        self.axis.setFixedHeight(round(HEIGHT * PIXELS_PER_MM))
        self.axis.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.axis.draw_by(self._draw_axis)
        self.axis.picked.connect(lambda key, _modifiers: self.open(key))
        self._rows = {code: column(space=2) for code in CODES}
        for code, box in self._boxes.items():
            if code == "berths":
                box.addWidget(self.axis)
            box.addLayout(self._rows[code])

    # Showing

    def show(self, told: Told) -> None:
        """Show the lists as they are on record."""
        self._told = told
        self.doors = {}
        for code in CODES:
            clear(self._rows[code])
        self._zones(told)
        self._own_views(told)
        self._berths(told)
        self._part(
            "names",
            [
                *(Row(t.name_line(one), "", f"name:{one.id}", self._form(forms.FormerNameForm, one))
                  for one in told.names),
                *(Row(t.registration_line(one), "", f"registration:{one.id}",
                      self._form(forms.RegistrationForm, one)) for one in told.registrations),
            ],
            ("boat_page.add_name", self._form(forms.FormerNameForm)),
            ("boat_page.add_registration", self._form(forms.RegistrationForm)),
        )  # fmt: skip
        self._people(told)
        self._part(
            "instruments",
            [Row(t.instrument_line(one), "", f"instrument:{one.id}",
                 self._form(forms.InstrumentForm, one)) for one in told.instruments],
            ("boat_page.add_instrument", self._form(forms.InstrumentForm)),
        )  # fmt: skip
        self._part(
            "limits",
            [Row(t.limit_line(one), "", f"limit:{one.id}", self._form(forms.LimitForm, one))
             for one in told.limits],
            ("boat_page.add_limit", self._form(forms.LimitForm)),
        )  # fmt: skip

    def _zones(self, told: Told) -> None:
        rows = [
            Row(
                (say("boat_page.zone_said", number=zone.number, name=zone.name), ""),
                formats.quantity(zone.area, "m2"),
                f"zone:{zone.code}",
                self._form(forms.ZoneForm, form, zone),
                zone_skin(form, zone),
            )
            for form in ([told.form] if told.form else ())
            for zone in form.zones
        ]
        rows += [
            Row(
                (say("boat_page.zone_said", number=own.number, name=own.name), ""),
                formats.quantity(own.area.value, "m2") if own.area else "",
                f"zone:{own.code}",
                self._form(forms.ZoneForm, None, own),
                own.area,
            )
            for own in told.own_zones
        ]
        self._part("zones", rows)

    def _own_views(self, told: Told) -> None:
        self._part(
            "own_views",
            [
                Row(t.own_line(view), "", f"own_view:{view.view_id}",
                    partial(OwnViewSheet, self._page, view.view_id))
                for view in told.own
            ],
            ("own.use", partial(NewOwnView, self._page)),
        )  # fmt: skip

    def _berths(self, told: Told) -> None:
        self.axis.setVisible(bool(told.berths or told.events))
        self.axis.remake()
        rows = [
            Row(
                self._numbered(number, one), "", f"berth:{one.id}", self._form(forms.BerthForm, one)
            )
            for number, one in enumerate(told.berths, 1)
        ]
        rows += [
            Row(t.event_line(one), "", f"event:{one.id}", partial(self._event_form, one))
            for one in told.events
        ]
        self._part(
            "berths",
            rows,
            ("boat_page.add_berth", self._form(forms.BerthForm)),
            ("boat_page.add_event", self._form(forms.EventForm)),
        )

    @staticmethod
    def _numbered(number: int, one: Any) -> tuple[str, str]:
        name, detail = t.berth_line(one)
        return say("boat_page.zone_said", number=number, name=name), detail

    def _people(self, told: Told) -> None:
        firms = {one.id: one for one in told.firms}
        person = partial(forms.PersonForm, self._page, firms=told.firms)
        rows = [
            Row(t.person_line(one, firms), "", f"person:{one.id}", partial(person, one))
            for one in told.persons
        ]
        rows += [
            Row(t.firm_line(one), "", f"firm:{one.id}", self._form(forms.FirmForm, one))
            for one in told.firms
        ]
        self._part(
            "people",
            rows,
            ("boat_page.add_person", person),
            ("boat_page.add_firm", self._form(forms.FirmForm)),
        )

    def _form(self, form: Callable[..., Asked], *about: Any) -> Callable[[], Asked]:
        return partial(form, self._page, *about)

    def _event_form(self, event: Any) -> Asked:
        return forms.EventForm(self._page, event, self._page.state.read(visits))

    def _part(self, code: str, rows: list[Row], *adding: tuple[str, Callable[[], Asks]]) -> None:
        box = self._rows[code]
        doors = Doors()
        for row in rows:
            door = TallDoor(*row.lines, row.end, on=partial(_ask, row.form))
            door.setObjectName(f"boat/{row.key}")
            self.doors[row.key] = door
            link = [working_link(door, row.working)] if row.working else []
            doors.add(boxed(line(door, *link, space=2)) if link else door)
        box.addWidget(doors if rows else Prose(say(f"boat_page.no_{code}"), BODY, role="muted"))
        buttons = []
        for said, form in adding:
            made = button(say(said), partial(_ask, form), icon="add")
            made.setObjectName(f"boat/{said}")
            self._page.writes(made)
            buttons.append(made)
        if buttons:
            box.addWidget(flowing(*buttons))

    # Doing

    def open(self, key: str) -> None:
        """Open the sheet of a record, by its key."""
        if key in self.doors:
            self.doors[key].click()

    def focus_zone(self, code: str) -> None:
        """Put the keyboard on the line of a zone."""
        if f"zone:{code}" in self.doors:
            self.doors[f"zone:{code}"].setFocus()

    def add_berth(self) -> None:
        """Ask for a berth period."""
        forms.BerthForm(self._page).ask()

    def add_event(self) -> None:
        """Ask for an event."""
        forms.EventForm(self._page).ask()

    # The axis

    def _draw_axis(self, width: float, height: float) -> Scene:
        told = self._told
        periods = [
            Period(
                one.id,
                moment(one.begins),
                moment(one.ends) if one.ends else None,
                str(number),
                one.location,
                one.immersed_share,
                one.shore_power,
                ", ".join(self._numbered(number, one)),
            )
            for number, one in enumerate(told.berths if told else (), 1)
            if one.begins is not None
        ]
        happened = [
            Happened(
                one.id, moment(one.at), say_code("event", one.sort), ", ".join(t.event_line(one))
            )
            for one in (told.events if told else ())
            if one.at is not None
        ]
        today = fraction(datetime.now(UTC))
        described = say("boat_page.axis_described", berths=len(periods), events=len(happened))
        return berth_axis(periods, happened, today, width, height, described)

    # What stands on a part while it is shut

    @staticmethod
    def summaries(told: Told) -> dict[str, str]:
        """Return a line for each list."""
        names = [say("boat_page.formerly", name=one.name) for one in told.names]
        numbers = [t.registration_line(one)[0] for one in told.registrations]
        people = [_counted("persons", told.persons), _counted("firms", told.firms)]
        where = [told.berths[0].location] if told.berths else []
        events = [_counted("events", told.events)] if told.events else []
        return {
            "zones": _counted(
                "zone_count", [*(told.form.zones if told.form else ()), *told.own_zones]
            ),
            "own_views": ", ".join(one.name for one in told.own) or say("boat_page.no_own_views"),
            "berths": ", ".join([*where, *events]) or say("boat_page.no_berths"),
            "names": ", ".join([*names, *numbers]) or say("boat_page.no_names"),
            "people": ", ".join(people)
            if told.persons or told.firms
            else say("boat_page.no_people"),
            "instruments": ", ".join(one.name for one in told.instruments)
            or say("boat_page.no_instruments"),
            "limits": ", ".join(t.limit_line(one)[0] for one in told.limits)
            or say("boat_page.no_limits"),
        }


def form_summaries(form: BoatForm) -> dict[str, str]:
    """Return the lines of the parts of her form."""
    p = form.particulars
    length, beam, draught = (formats.quantity(one, "m") for one in (p.length, p.beam, p.draught))
    given = sum(name in form.typed for name in t.HEIGHTS)
    sorts = (say_code("hull_kind", p.kind), say_code("keel", p.keel), say_code("bow", p.bow))
    return {
        "measures": say("boat_page.sizes", length=length, beam=beam, draught=draught),
        "heights": say("boat_page.given_of", given=given, of=len(t.HEIGHTS)),
        "sorts": ", ".join(sorts),
    }


def _counted(code: str, records: Any) -> str:
    return say_n(f"boat_page.{code}", len(records))


def _ask(form: Callable[[], Asks]) -> None:
    form().ask()
