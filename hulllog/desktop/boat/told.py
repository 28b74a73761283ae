"""What the page *Boat* shows, read in one go."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from hulllog.hull.particulars import BOWS, KEELS, KINDS, RUDDERS, STERNS
from hulllog.insight.boat import BoatForm, boat_form, skin, zone_skin
from hulllog.insight.preference import preference
from hulllog.records.model import BerthPeriod, Event
from hulllog.records.operations import queries
from hulllog.records.values import PartialDate
from hulllog.words import formats, say, say_code

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from hulllog.insight.boat import ZoneArea
    from hulllog.records.book import Book
    from hulllog.trade.working import Working

ABOUT_FIELDS = ("name", "rig", "builder", "design", "built", "craft_number", "home")
_LENGTH, _MASS = ("m", "ft"), ("kg", "t", "lb")
MEASURES = {
    "length": _LENGTH,
    "lwl": _LENGTH,
    "beam": _LENGTH,
    "draught": _LENGTH,
    "displacement": _MASS,
}
CHOICES: dict[str, tuple[str, tuple[str, ...]]] = {
    "kind": ("hull_kind", KINDS),
    "keel": ("keel", KEELS),
    "rudder": ("rudder", RUDDERS),
    "bow": ("bow", BOWS),
    "stern": ("stern", STERNS),
}
"""Field -> the family of its codes and the codes."""


@dataclass(frozen=True, slots=True)
class Told:
    """The boat as the records have her."""

    about: Mapping[str, str]
    material: str
    form: BoatForm | None
    skin: Sequence[Working]
    areas: Sequence[tuple[ZoneArea, Working]]
    """Each zone with the working of its area."""
    berths: Sequence[BerthPeriod]
    events: Sequence[Event]
    units: str
    words: str


def read_boat(book: Book) -> Told:
    """Read all that the page shows."""
    vessel = queries.vessel(book)
    form = boat_form(book)
    chosen = preference(book)
    about = {}
    for name in ABOUT_FIELDS:
        value = getattr(vessel, name) if vessel else None
        about[name] = value.text if isinstance(value, PartialDate) else value or ""
    return Told(
        about,
        vessel.material if vessel else "",
        form,
        skin(form) if form else (),
        [(zone, zone_skin(form, zone)) for zone in form.zones] if form else (),
        sorted(queries.kept(book, BerthPeriod), key=_begins, reverse=True),
        sorted(queries.kept(book, Event), key=_happened, reverse=True),
        chosen.units,
        chosen.words,
    )


def _begins(berth: BerthPeriod) -> str:
    return berth.begins.earliest.isoformat() if berth.begins else ""


def _happened(event: Event) -> str:
    return event.at.earliest.isoformat() if event.at else ""


def berth_line(berth: BerthPeriod) -> tuple[str, str]:
    """Return a berth period in two lines."""
    detail = [
        formats.span(berth.begins, berth.ends),
        say_code("water", berth.water),
        say_code("shore_power", berth.shore_power),
        say("report.immersed", share=formats.share(berth.immersed_share)),
    ]
    return berth.location, ", ".join(detail)


def event_line(event: Event) -> tuple[str, str]:
    """Return an event in two lines."""
    detail = [formats.anything(event.at), event.text]
    if event.asks_for_check:
        answered = "answered" if event.answered_visit_id else "unanswered"
        detail.append(say(f"boat_page.check_{answered}"))
    return say_code("event", event.sort), ", ".join(detail)
