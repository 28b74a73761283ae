"""Sheets of the page *Boat*: one for each sort of record around her."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING, Any

from hulllog.desktop.boat.asked import Asked
from hulllog.desktop.boat.redrawing import CutSheet, JoinSheet
from hulllog.desktop.boat.told import limit_of
from hulllog.desktop.buttons import button
from hulllog.desktop.choice import Choice, Option
from hulllog.desktop.fields import AreaField, DateField
from hulllog.desktop.hull.menus import MenuButton
from hulllog.desktop.labels import label as text_label
from hulllog.desktop.layout import boxed, line
from hulllog.desktop.numbers import NumberField
from hulllog.insight.boat import ZoneArea, joining
from hulllog.records.base import BASES
from hulllog.records.model import (
    BerthPeriod,
    Event,
    Firm,
    FormerName,
    Instrument,
    Limit,
    Person,
    Registration,
    Zone,
)
from hulllog.records.operations import around, berths, choices, vessel
from hulllog.records.operations import typed as t
from hulllog.records.operations.anodes import ANODE_LIMIT
from hulllog.trade.kinds import KINDS
from hulllog.words import formats, say

if TYPE_CHECKING:
    from collections.abc import Sequence

    from PySide6.QtWidgets import QWidget

    from hulllog.desktop.boat.asked import Operation
    from hulllog.desktop.fields import Field
    from hulllog.desktop.pages import Page
    from hulllog.insight.boat import BoatForm
    from hulllog.insight.ownviews import OwnZone
    from hulllog.records.model import Visit
    from hulllog.records.values import PartialDate

_LABEL = 128


def _written(date: PartialDate | None) -> str:
    return date.text if date else ""


class ZoneForm(Asked):
    """The name of a zone, and the doors to cut it or to join it to another."""

    def __init__(self, page: Page, form: BoatForm | None, zone: ZoneArea | OwnZone) -> None:
        record = page.state.read(lambda book: book.get(Zone, zone.zone_id))
        title = say("boat_page.zone_title", number=zone.number)
        super().__init__(
            page, title, {"name": t.name()}, Zone, record, under=say("boat_page.zone_under")
        )
        self._zone = zone
        self.add(self.text("name", say("boat_page.zone_name"), zone.name))
        if form is not None and isinstance(zone, ZoneArea):
            self.add(self._doors(page, form, zone))

    def _doors(self, page: Page, form: BoatForm, zone: ZoneArea) -> QWidget:
        self.cutting = button(say("boat_page.cut"), lambda: self._turn(CutSheet(page, form, zone)))
        self.joining = button(
            say("boat_page.join"), lambda: self._turn(JoinSheet(page, form, zone))
        )
        self.joining.setEnabled(bool(joining(form, zone)))
        doors = boxed(line(self.cutting, self.joining, None))
        doors.setVisible(page.state.read_only is None)
        return doors

    def _turn(self, sheet: CutSheet | JoinSheet) -> None:
        """Ask something else of the zone instead."""
        self.reject()
        sheet.ask()

    def operation(self) -> Operation:
        """Rename the zone."""
        return vessel.rename_zone, (self._zone.zone_id, self.fields["name"].typed()), {}


class BerthForm(Asked):
    """Where she lay from when to when, in what water, with what shore power."""

    def __init__(self, page: Page, berth: BerthPeriod | None = None) -> None:
        super().__init__(page, say("boat_page.berth"), berths.BERTH, BerthPeriod, berth)
        optional = say("word.optional")
        self.add(
            self.text("location", say("boat_page.location"), berth.location if berth else ""),
            self.date("begins", say("boat_page.begins"), berth.begins if berth else None),
            self.date("ends", say("boat_page.ends"), berth.ends if berth else None, hint=optional),
            self.choice(
                "water", say("boat_page.water"), "water", choices.WATERS,
                berth.water if berth else "salt",
            ),
            self.choice(
                "shore_power", say("boat_page.shore"), "shore_power", choices.SHORE_POWER,
                berth.shore_power if berth else "none",
            ),
            self.text(
                "immersed_share", say("boat_page.immersed"),
                formats.share(berth.immersed_share if berth else 1.0),
            ),
            self.rarely(
                self.text(
                    "note", say("boat_page.note"), berth.note if berth else "",
                    kind=AreaField, rows=2,
                ),
                self.choice(
                    "basis", say("boat_page.basis"), "basis", BASES,
                    berth.basis if berth else BASES[0],
                ),
            ),
        )  # fmt: skip

    def date(self, name: str, label: str, kept: PartialDate | None, **rest: Any) -> Field:
        """Make a field for a date."""
        return self.text(name, label, _written(kept), kind=DateField, **rest)

    def operation(self) -> Operation:
        """Enter the period, or change it in one entry."""
        typed = self.typed()
        typed["location"], typed["begins"] = typed["location"] or "", typed["begins"] or ""
        if typed["immersed_share"] is None:  # left as it is, or as an entry takes it
            del typed["immersed_share"]
        if self.record is None:
            return berths.add_berth_period, (), typed
        return berths.change_berth_period, (self.record.id,), typed


class EventForm(Asked):
    """Something that happened to her, and the visit that answered it where it asks for a check."""

    def __init__(
        self, page: Page, event: Event | None = None, visits: Sequence[Visit] = ()
    ) -> None:
        super().__init__(page, say("boat_page.event"), berths.EVENT, Event, event)
        self.asks = Choice(
            say("event.asks_for_check"),
            [Option("yes", say("word.yes")), Option("no", say("word.no"))],
        )
        self.asks.show_value("yes" if event and event.asks_for_check else "no")
        self.add(
            self.choice(
                "sort", say("boat_page.event_sort"), "event", choices.EVENTS,
                event.sort if event else choices.EVENTS[0],
            ),
            self.text(
                "at", say("boat_page.happened"), _written(event.at if event else None),
                kind=DateField,
            ),
            self.text(
                "text", say("boat_page.what_happened"), event.text if event else "",
                kind=AreaField,
            ),
            self.asks,
        )  # fmt: skip
        self.answered = self._answers(event, visits)
        self.asks.chosen.connect(lambda _code: self._unfold())
        self._unfold()

    def _answers(self, event: Event | None, visits: Sequence[Visit]) -> Choice | None:
        """Offer the visits since, as far as there are any."""
        since = [one for one in visits if event and event.at and one.begins
                 and one.begins.latest >= event.at.earliest]  # fmt: skip
        if not since:
            return None
        options = [Option(one.id, formats.anything(one.begins)) for one in since]
        made = Choice(say("boat_page.checked_at"), [Option("", say("boat_page.not_yet")), *options])
        made.show_value(event.answered_visit_id or "" if event else "")
        self.add(made)
        return made

    def _unfold(self) -> None:
        if self.answered is not None:
            self.answered.setVisible(self.asks.value == "yes")

    def operation(self) -> Operation:
        """Enter the event, or change it in one entry."""
        typed = self.typed()
        typed = {**typed, "at": typed["at"] or "", "text": typed["text"] or ""}
        typed["asks_for_check"] = self.asks.value == "yes"
        if self.record is None:
            return berths.add_event, (), typed
        if self.answered is not None and typed["asks_for_check"]:
            typed["answered_visit_id"] = self.answered.value or None
        return berths.change_event, (self.record.id,), typed


class FormerNameForm(Asked):
    """A name that she bore before, and until when."""

    def __init__(self, page: Page, name: FormerName | None = None) -> None:
        super().__init__(page, say("boat_page.former_name"), vessel.FORMER_NAME, FormerName, name)
        self.add(
            self.text("name", say("vessel.name"), name.name if name else ""),
            self.text(
                "until", say("boat_page.ends"), _written(name.until if name else None),
                kind=DateField, hint=say("word.optional"),
            ),
            self.rarely(
                self.choice(
                    "basis", say("boat_page.basis"), "basis", BASES,
                    name.basis if name else BASES[0],
                )
            ),
        )  # fmt: skip

    def operation(self) -> Operation:
        """Enter the name, or change it."""
        typed = self.typed()
        typed["name"] = typed["name"] or ""
        if self.record is None:
            return vessel.add_former_name, (), typed
        return vessel.change_former_name, (self.record.id,), typed


class RegistrationForm(Asked):
    """A number under which she is registered."""

    def __init__(self, page: Page, one: Registration | None = None) -> None:
        super().__init__(
            page, say("boat_page.registration"), vessel.REGISTRATION, Registration, one
        )
        self.add(
            self.text("register", say("boat_page.register"), one.register if one else ""),
            self.text("number", say("boat_page.number"), one.number if one else ""),
            self.text(
                "begins", say("boat_page.begins"), _written(one.begins if one else None),
                kind=DateField, hint=say("word.optional"),
            ),
        )  # fmt: skip

    def operation(self) -> Operation:
        """Enter the registration, or change it."""
        typed = self.typed()
        typed["register"], typed["number"] = typed["register"] or "", typed["number"] or ""
        if self.record is None:
            return vessel.add_registration, (), typed
        return vessel.change_registration, (self.record.id,), typed


class PersonForm(Asked):
    """A person, the role in which they appear, and their firm."""

    def __init__(
        self, page: Page, person: Person | None = None, firms: Sequence[Firm] = ()
    ) -> None:
        super().__init__(page, say("boat_page.person"), around.PERSON, Person, person)
        self.firm = Choice(
            say("boat_page.of_firm"),
            [Option("", say("word.none")), *(Option(firm.id, firm.name) for firm in firms)],
        )
        self.firm.show_value(person.firm_id or "" if person else "")
        self.firm.setVisible(bool(firms))
        self.add(
            self.text("name", say("boat_page.name"), person.name if person else ""),
            self.choice(
                "role", say("boat_page.role"), "role", choices.ROLES,
                person.role if person else choices.ROLES[0],
            ),
            self.firm,
        )  # fmt: skip

    def operation(self) -> Operation:
        """Enter the person, or change them."""
        typed = self.typed() | {"firm_id": self.firm.value or None}
        typed["name"] = typed["name"] or ""
        if self.record is None:
            return around.add_person, (), typed
        return around.change_person, (self.record.id,), typed


class FirmForm(Asked):
    """A yard, a chandler, an insurer."""

    def __init__(self, page: Page, firm: Firm | None = None) -> None:
        super().__init__(page, say("boat_page.firm"), around.FIRM, Firm, firm)
        self.add(
            self.text("name", say("boat_page.name"), firm.name if firm else ""),
            self.choice(
                "sort", say("boat_page.event_sort"), "firm", choices.FIRMS,
                firm.sort if firm else choices.FIRMS[0],
            ),
        )  # fmt: skip

    def operation(self) -> Operation:
        """Enter the firm, or change it."""
        typed = self.typed()
        typed["name"] = typed["name"] or ""
        if self.record is None:
            return around.add_firm, (), typed
        return around.change_firm, (self.record.id,), typed


class InstrumentForm(Asked):
    """A meter, gauge or scale: model, serial number, when it was checked, how well it repeats."""

    def __init__(self, page: Page, one: Instrument | None = None) -> None:
        super().__init__(page, say("boat_page.instrument"), around.INSTRUMENT, Instrument, one)
        optional = say("word.optional")
        kept = one.repeatability if one else None
        self.add(
            self.text("name", say("boat_page.model"), one.name if one else ""),
            self.choice(
                "sort", say("boat_page.event_sort"), "instrument", choices.INSTRUMENTS,
                one.sort if one else choices.INSTRUMENTS[0],
            ),
            self.text("serial", say("boat_page.serial"), one.serial if one else "", hint=optional),
            self.text(
                "checked", say("boat_page.checked"), _written(one.checked if one else None),
                kind=DateField, hint=optional,
            ),
            self.text(
                "repeatability", say("boat_page.repeatability"),
                formats.measured(kept) if kept else "", hint=say("boat_page.repeatability_hint"),
            ),
        )  # fmt: skip

    def operation(self) -> Operation:
        """Enter the instrument, or change it."""
        typed = self.typed()
        typed["name"] = typed["name"] or ""
        if self.record is None:
            return around.add_instrument, (), typed
        return around.change_instrument, (self.record.id,), typed


LIMITED = (
    *(
        (kind.id, part.code, part.unit or "1")
        for kind in KINDS.values()
        for part in kind.components
        if part.sort == "number" and part.followed
    ),
    (*ANODE_LIMIT, "percent"),
)
"""What a limit can be set for: kind, which of its figures, and the unit of that."""


class LimitForm(Asked):
    """A value that the owner sets for a kind: who set it, its source, its date."""

    def __init__(self, page: Page, limit: Limit | None = None) -> None:
        super().__init__(
            page, say("boat_page.limit"), around.LIMIT, Limit, limit,
            under=say("boat_page.limit_under"),
        )  # fmt: skip
        self._of = (limit.kind, limit.component) if limit else LIMITED[0][:2]
        self.value = self._value()
        optional = say("word.optional")
        self.add(
            self._kinds(),
            self.value,
            self.text("set_by", say("boat_page.set_by_label"), limit.set_by if limit else ""),
            self.text(
                "source", say("boat_page.source"), limit.source if limit else "", hint=optional
            ),
            self.text(
                "set_on", say("boat_page.happened"), _written(limit.set_on if limit else None),
                kind=DateField, hint=optional,
            ),
        )  # fmt: skip

    def _value(self) -> NumberField:
        made = self.text(
            "value", say("boat_page.limit_value"), kind=NumberField, units=self._units()
        )
        assert isinstance(made, NumberField)
        return made

    def _units(self) -> tuple[str, ...]:
        kind, component = self._of
        of_all = kind, component.partition(":")[0]
        unit = next((unit for *of, unit in LIMITED if tuple(of) == of_all), "1")
        kept = self.record.value.unit if self.record is not None and self.record.value else unit
        return tuple(dict.fromkeys((kept, unit)))

    def _kinds(self) -> QWidget:
        name = say("boat_page.limit_for")
        self.kinds = MenuButton()
        self.kinds.setAccessibleName(name)
        for kind, component, _unit in LIMITED:
            action = self.kinds.menu().addAction(limit_of(kind, component))
            action.triggered.connect(partial(self.set_for, kind, component))
        said = text_label(name, role="muted")
        said.setFixedWidth(_LABEL)
        self._show_kind()
        return boxed(line(said, self.kinds, None))

    def set_for(self, kind: str, component: str, _checked: bool = False) -> None:
        """Set the limit for a figure of a kind; its unit follows."""
        if (kind, component) == self._of:
            return
        self._of = (kind, component)
        self._show_kind()
        place = self._inside.indexOf(self.value)
        old, self.value = self.value, self._value()
        self._inside.insertWidget(place, self.value)
        old.shut()
        old.hide()
        old.deleteLater()

    def _show_kind(self) -> None:
        said = limit_of(*self._of)
        self.kinds.setText(said)
        self.kinds.setAccessibleDescription(said)

    def operation(self) -> Operation:
        """Set the limit, or change it."""
        kind, component = self._of
        typed = self.typed() | {"kind": kind, "component": component}
        typed["set_by"], typed["value"] = typed["set_by"] or "", typed["value"] or ""
        if self.record is None:
            return around.set_limit, (), typed
        return around.change_limit, (self.record.id,), typed
