"""What the page *Boat* shows, read in one go, and how each record is said in two lines."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from hulllog.desktop.edges import vessel_lines
from hulllog.hull.particulars import BOWS, DRIVES, KEELS, KINDS, PLANKINGS, RUDDERS, STERNS
from hulllog.insight.boat import AreaTold, BoatForm, area_told, boat_form
from hulllog.insight.ownviews import OwnSeen, OwnZone, own_views, own_zones
from hulllog.insight.preference import preference
from hulllog.records.model import (
    BerthPeriod,
    Event,
    Firm,
    FormerName,
    Instrument,
    Limit,
    Person,
    Registration,
)
from hulllog.records.operations import queries
from hulllog.records.values import PartialDate
from hulllog.trade import kinds
from hulllog.words import formats, say, say_code, say_n, telling

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from hulllog.records.book import Book

ABOUT_FIELDS = ("name", "rig", "builder", "design", "built", "craft_number", "home")
LENGTH, MASS = ("m", "ft"), ("kg", "t", "lb")
MEASURES = {
    "length": LENGTH,
    "lwl": LENGTH,
    "beam": LENGTH,
    "draught": LENGTH,
    "displacement": MASS,
}
HEIGHTS = {
    "freeboard_bow": LENGTH,
    "freeboard_middle": LENGTH,
    "freeboard_stern": LENGTH,
    "waterline_beam": LENGTH,
}
CHOICES: dict[str, tuple[str, tuple[str, ...]]] = {
    "kind": ("hull_kind", KINDS),
    "keel": ("keel", KEELS),
    "rudder": ("rudder", RUDDERS),
    "bow": ("bow", BOWS),
    "stern": ("stern", STERNS),
    "drive": ("drive", DRIVES),
    "planking": ("planking", PLANKINGS),
}
"""Field -> the family of its codes and the codes."""

Lines = tuple[str, str]
_LONG = 240
"""Letters of a text that a line shows; its sheet shows all."""


@dataclass(frozen=True, slots=True)
class Told:
    """The boat as the records have her."""

    about: Mapping[str, str]
    kind_line: str
    material: str
    form: BoatForm | None
    area: AreaTold
    berths: Sequence[BerthPeriod]
    events: Sequence[Event]
    names: Sequence[FormerName]
    registrations: Sequence[Registration]
    persons: Sequence[Person]
    firms: Sequence[Firm]
    instruments: Sequence[Instrument]
    limits: Sequence[Limit]
    units: str
    words: str
    date_order: str
    decimal_sign: str
    own: Sequence[OwnSeen] = ()
    own_zones: Sequence[OwnZone] = ()


def read_boat(book: Book) -> Told:
    """Read all that the page shows."""
    vessel = queries.vessel(book)
    chosen = preference(book)
    about = {}
    for name in ABOUT_FIELDS:
        value = getattr(vessel, name) if vessel else None
        about[name] = value.text if isinstance(value, PartialDate) else value or ""
    return Told(
        about,
        vessel_lines(book)[1],
        vessel.material if vessel else "",
        boat_form(book),
        area_told(book),
        sorted(queries.kept(book, BerthPeriod), key=lambda one: _when(one.begins), reverse=True),
        sorted(queries.kept(book, Event), key=lambda one: _when(one.at), reverse=True),
        queries.kept(book, FormerName),
        queries.kept(book, Registration),
        queries.kept(book, Person),
        queries.kept(book, Firm),
        queries.kept(book, Instrument),
        queries.kept(book, Limit),
        chosen.units,
        chosen.words,
        queries.date_order(book) or "",
        queries.decimal_sign(book) or "",
        own_views(book),
        own_zones(book),
    )


def _when(date: PartialDate | None) -> str:
    return date.earliest.isoformat() if date else ""


def _detail(*parts: str) -> str:
    return ", ".join(part for part in parts if part)


def berth_line(berth: BerthPeriod) -> Lines:
    """Return a berth period in two lines."""
    return berth.location, _detail(
        formats.span(berth.begins, berth.ends),
        say_code("water", berth.water),
        say_code("shore_power", berth.shore_power),
        say("report.immersed", share=formats.share(berth.immersed_share)),
    )


def event_line(event: Event) -> Lines:
    """Return an event in two lines."""
    asked = ""
    if event.asks_for_check:
        answered = "answered" if event.answered_visit_id else "unanswered"
        asked = say(f"boat_page.check_{answered}")
    told = event.text if len(event.text) <= _LONG else event.text[: _LONG - 1] + "…"
    return say_code("event", event.sort), _detail(formats.anything(event.at), asked, told)


def own_line(view: OwnSeen) -> Lines:
    """Return an own view in two lines."""
    shows = say_code("own_shows", view.shows)
    line = say_n("own.line", len(view.shapes), shows=shows)
    return view.name, line if view.breadth else say("own.line_no_scale", line=line)


def name_line(name: FormerName) -> Lines:
    """Return a former name in two lines."""
    until = say("boat_page.until", when=formats.partial_date(name.until)) if name.until else ""
    return name.name, until or say("boat_page.until_unknown")


def registration_line(one: Registration) -> Lines:
    """Return a registration in two lines."""
    since = say("boat_page.since", when=formats.partial_date(one.begins)) if one.begins else ""
    return say("boat_page.registered", register=one.register, number=one.number), since


def person_line(person: Person, firms: Mapping[str, Firm]) -> Lines:
    """Return a person in two lines."""
    firm = firms.get(person.firm_id or "")
    return person.name, _detail(say_code("role", person.role), firm.name if firm else "")


def firm_line(firm: Firm) -> Lines:
    """Return a firm in two lines."""
    return firm.name, say_code("firm", firm.sort)


def instrument_line(one: Instrument) -> Lines:
    """Return an instrument in two lines."""
    checked = repeats = serial = ""
    if one.serial:
        serial = say("boat_page.serial_is", serial=one.serial)
    if one.checked:
        checked = say("boat_page.checked_on", when=formats.partial_date(one.checked))
    if one.repeatability:
        repeats = say("boat_page.repeats_to", value=formats.measured(one.repeatability))
    return one.name, _detail(say_code("instrument", one.sort), serial, checked, repeats)


def limit_line(limit: Limit) -> Lines:
    """Return a limit in two lines: of what and how much; who set it, from where, when."""
    value: Any = formats.measured(limit.value) if limit.value else say("word.not_recorded")
    set_on = formats.partial_date(limit.set_on) if limit.set_on else ""
    who = say("boat_page.set_by", who=limit.set_by)
    named = say("boat_page.limit_is", of=limit_of(limit.kind, limit.component), value=value)
    return named, _detail(who, limit.source or "", set_on)


def limit_of(kind: str, component: str) -> str:
    """Return what a limit is set for: the kind, and which of its figures where it has several."""
    found = kinds.kind(kind)
    figures = [one for one in found.components if one.sort == "number"] if found else ()
    if found is not None and len(figures) < 2:
        return telling.kind_name(kind)
    component, _, position = component.partition(":")
    figure = telling.component_name(kind, component)
    if position:
        figure = say("boat_page.limit_at_one", figure=figure)
    return say("boat_page.limit_of", kind=telling.kind_name(kind), figure=figure)
