"""Sheets of the page *Boat*: a zone's name, a berth period, an event."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from hulllog.desktop.choice import Choice, Option
from hulllog.desktop.fields import AreaField, DateField, TextField
from hulllog.desktop.papers.forms import Form
from hulllog.records.operations import berths, choices, vessel
from hulllog.words import say, say_code

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from hulllog.desktop.pages import Page
    from hulllog.insight.boat import ZoneArea
    from hulllog.records.model import BerthPeriod, Event

    Operation = tuple[Callable[..., Any], tuple[Any, ...], Mapping[str, Any]]


def _choice(label: str, family: str, codes: tuple[str, ...], value: str) -> Choice:
    made = Choice(label, [Option(code, say_code(family, code)) for code in codes])
    made.show_value(value)
    return made


class ZoneForm(Form):
    """The name of a zone; its outline and its code stay."""

    def __init__(self, page: Page, zone: ZoneArea) -> None:
        super().__init__(page, say("boat_page.rename_zone"))
        self._zone = zone
        self.field("name", TextField(say("boat_page.zone_name"))).show_value(zone.name)

    def operation(self) -> Operation:
        """Rename the zone."""
        return vessel.rename_zone, (self._zone.zone_id, self.fields["name"].typed()), {}


class BerthForm(Form):
    """Where she lay from when to when, in what water, with what shore power."""

    def __init__(self, page: Page, berth: BerthPeriod | None = None) -> None:
        super().__init__(page, say("boat_page.berth"))
        self._berth = berth
        shown = {
            "location": berth.location if berth else "",
            "begins": berth.begins.text if berth and berth.begins else "",
            "ends": berth.ends.text if berth and berth.ends else "",
            "immersed_share": f"{berth.immersed_share * 100:g} %" if berth else "100 %",
        }
        self.field("location", TextField(say("boat_page.location")))
        self.field("begins", DateField(say("boat_page.begins")))
        self.field("ends", DateField(say("boat_page.ends"), hint=say("word.optional")))
        self.field("immersed_share", TextField(say("boat_page.immersed")))
        for name, text in shown.items():
            self.fields[name].show_value(text)
        self.water = _choice(
            say("boat_page.water"), "water", choices.WATERS, berth.water if berth else "salt"
        )
        self.shore = _choice(
            say("boat_page.shore"),
            "shore_power",
            choices.SHORE_POWER,
            berth.shore_power if berth else "none",
        )
        self.add(self.water, self.shore)

    def operation(self) -> Operation:
        """Enter the period, or change it in one entry."""
        typed: dict[str, Any] = {name: field.typed() for name, field in self.fields.items()}
        typed |= {"water": self.water.value, "shore_power": self.shore.value}
        typed["ends"] = typed["ends"] or None
        if self._berth is None:
            return berths.add_berth_period, (), typed
        return berths.change_berth_period, (self._berth.id,), typed


class EventForm(Form):
    """Something that happened to her."""

    def __init__(self, page: Page, event: Event | None = None) -> None:
        super().__init__(page, say("boat_page.event"))
        self._event = event
        self.field("at", DateField(say("boat_page.happened")))
        self.field("text", AreaField(say("boat_page.what_happened")))
        self.fields["at"].show_value(event.at.text if event and event.at else "")
        self.fields["text"].show_value(event.text if event else "")
        self.sort = _choice(
            say("boat_page.event_sort"),
            "event",
            choices.EVENTS,
            event.sort if event else choices.EVENTS[0],
        )
        self.asks = Choice(
            say("event.asks_for_check"),
            [Option("yes", say("word.yes")), Option("no", say("word.no"))],
        )
        self.asks.show_value("yes" if event and event.asks_for_check else "no")
        self.add(self.sort, self.asks)

    def operation(self) -> Operation:
        """Enter the event, or change it in one entry."""
        typed: dict[str, Any] = {name: field.typed() for name, field in self.fields.items()}
        typed |= {"sort": self.sort.value, "asks_for_check": self.asks.value == "yes"}
        if self._event is None:
            return berths.add_event, (), typed
        return berths.change_event, (self._event.id,), typed
