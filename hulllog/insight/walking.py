"""The walk around her: which zones come, what is looked for on each, what is entered already.

What a walk looks for by the material of the boat is our own rule; the owner changes it freely.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import timedelta
from typing import TYPE_CHECKING, Any
from zoneinfo import ZoneInfo

from sqlalchemy import select
from sqlalchemy.orm import selectinload

from hulllog.hull.handdrawn import is_own
from hulllog.hull.zones import lowest
from hulllog.insight.condition import Figure, figures_of
from hulllog.insight.occasions import Edge
from hulllog.insight.shades import FOULING as GROWTH
from hulllog.insight.shades import below_water
from hulllog.insight.shape import form_of, outline
from hulllog.records.model import (
    Finding,
    FindingLink,
    Inspection,
    MeasurementSet,
    StageTime,
    Visit,
    ZoneVersion,
)
from hulllog.records.operations import queries
from hulllog.records.values import PartialDate
from hulllog.trade import kinds

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from datetime import datetime

    from sqlalchemy import Select

    from hulllog.hull.form import HullForm
    from hulllog.records.book import Book

FOULING = "level-of-fouling"
BLISTERS = "laminate-blisters"
DULL = "dull-sound"
SOUNDED = frozenset({"grp", "wood", "ferrocement"})
"""Materials of a hull that is tapped all round for dull places."""
SWEPT_AGAIN = timedelta(days=14)
"""How long she stands ashore before blisters are looked for again.  Source: common practice."""
BY_MATERIAL: Mapping[str, tuple[str, ...]] = {
    "grp": ("laminate-blisters", "crack", "damage"),
    "steel": ("rust-spots", "pit-depth", "damage"),
    "aluminium": ("pit-depth", "damage"),
    "wood": ("soft-wood", "crack", "damage"),
    "ferrocement": ("rust-spots", "crack", "damage"),
}
"""Material of the hull -> what is looked for on a washed hull."""
METAL_KEELS = frozenset({"fin", "bulb", "wing", "twin", "lifting"})
"""Keels taken as metal of their own, which may rust, under a hull of another material."""
OFFERED = (
    "laminate-blisters", "rust-spots", "soft-wood", "pit-depth", "crack", "damage",
    "antifouling-cover", FOULING, "iso-4628-2-2016", "iso-4628-3-2016", "iso-4628-5-2016", DULL,
)  # fmt: skip
"""What a walk offers to look for, as far as it applies to the boat."""
METERED = ("moisture", "timber-moisture", "seam-gap", "plate-thickness", "film-thickness")
"""What is taken zone by zone with an instrument, apart from a walk."""
_CLEAR = 0.01
"""Metres over the waterline from which on a zone never lies in the water.  Our own rule."""
OF_THE_DAY = ("wetness", "washed", "days_ashore")
"""Conditions that belong to the day of a look and never carry over from last time."""


@dataclass(frozen=True, slots=True)
class WalkPlan:
    """A walk as it is proposed: its code, the state, what is looked for, how, and how she is.

    ``after`` is how long she must have been ashore.
    """

    code: str
    state: str
    looked_for: tuple[str, ...]
    methods: tuple[str, ...]
    conditions: Mapping[str, str]
    after: timedelta | None = None


@dataclass(frozen=True, slots=True)
class Seen:
    """One look at a zone, with its figures by kind."""

    inspection_id: str
    visit_id: str
    coverage: str
    result: str | None
    share: float | None
    hidden_by: str | None
    looked_for: tuple[str, ...]
    figures: Mapping[str, Mapping[str, Figure]]
    as_last_time: bool
    note: str | None
    seen_on: PartialDate | None = None
    """Its own day, where that is on record; else the visit's is all that is known."""


@dataclass(frozen=True, slots=True)
class Open:
    """An open finding about a zone."""

    finding_id: str
    number: int
    title: str
    sort: str


@dataclass(frozen=True, slots=True)
class Stop:
    """A zone of the walk: what is looked for there, what was entered, what was seen last time."""

    zone_id: str
    code: str
    name: str
    outline: Mapping[str, Any]
    looked_for: tuple[str, ...]
    entered: Seen | None
    last: Seen | None
    findings: tuple[Open, ...]
    dry: bool
    """Whether the whole zone lies above the waterline."""


def material_of(zone_code: str, material: str, keel: str) -> str:
    """Return what a zone is taken to be made of; a keel of her own is taken as iron."""
    if zone_code.startswith(("keel", "bulb", "wing")) and keel in METAL_KEELS:
        return "cast_iron" if material not in ("steel", "aluminium") else material
    return material


def applies(kind_id: str, zone_code: str, material: str, keel: str, *, dry: bool = False) -> bool:
    """Tell whether a kind is looked for on a zone; what grows in water is not where it is dry."""
    if dry and kind_id in GROWTH:
        return False
    kind = kinds.kind(kind_id)
    return kind is None or kind.applies_to(material_of(zone_code, material, keel))


def plans(material: str, keel: str) -> tuple[WalkPlan, ...]:
    """Return the walks that a haul-out is made of, in the order in which evidence goes."""
    found = BY_MATERIAL.get(material, ("damage",))
    if keel in METAL_KEELS and "rust-spots" not in found:
        found = (*found, "rust-spots")
    wet, dry = ({"washed": "washed", "wetness": wetness} for wetness in ("wet", "dry"))
    made = [
        WalkPlan("before_wash", "found", (FOULING,), ("general",), {"washed": "not_washed"}),
        WalkPlan("after_wash", "found", found, ("close", "touched"), wet),
    ]
    if material in SOUNDED:
        made.append(WalkPlan("sounded", "found", (DULL,), ("tapped",), dry))
    if material == "grp":
        # What she showed wet stays as found: by now she has stood and work has begun.
        made.append(
            WalkPlan("second_sweep", "during", (BLISTERS,), ("close", "touched"), dry, SWEPT_AGAIN)
        )
    return (*made, WalkPlan("as_left", "left", found, ("general",), dry))


def lifted(book: Book, visit: Visit) -> PartialDate | None:
    """Return when she came out of the water, as well as it is known."""
    times = queries.kept(book, StageTime, StageTime.visit_id == visit.id)
    return next((one.at for one in times if one.stage == "lifted" and one.at), visit.begins)


def not_before(book: Book, visit: Visit, after: timedelta | None) -> datetime | None:
    """Return the moment at which she has stood ashore for so long; None where nobody can say."""
    out = lifted(book, visit) if after is not None else None
    return None if out is None or after is None else out.earliest + after


def may_begin(book: Book, visit: Visit, plan: WalkPlan, now: datetime) -> bool:
    """Tell whether a walk may be begun: the time is come, and came before she went back."""
    begins = not_before(book, visit, plan.after)
    if begins is None:
        return True
    return begins <= now and (visit.ends is None or begins <= visit.ends.latest)


def plans_now(book: Book, visit: Visit, now: datetime) -> list[WalkPlan]:
    """Return the walks of a haul-out that may be begun now."""
    return [plan for plan in plans(*boat_of(book)) if may_begin(book, visit, plan, now)]


def metered(material: str, keel: str) -> tuple[str, ...]:
    """Return what may be taken with an instrument on a boat, or on her keel."""
    made_of = {material, material_of("keel", material, keel)}
    found = (kinds.kind(kind_id) for kind_id in METERED)
    return tuple(
        kind.id for kind in found if kind and any(kind.applies_to(part) for part in made_of)
    )


def usual(material: str, keel: str) -> frozenset[str]:
    """Return what her walks look for and what is metered on a boat like her."""
    walks = {kind for plan in plans(material, keel) for kind in plan.looked_for}
    return frozenset({*walks, *metered(material, keel)})


def offered(material: str, keel: str) -> tuple[str, ...]:
    """Return the kinds that a walk of this boat may look for."""
    return tuple(
        kind
        for kind in OFFERED
        if applies(kind, "bottom", material, keel) or applies(kind, "keel", material, keel)
    )


def stops(
    book: Book,
    visit_id: str | None,
    state: str,
    looked_for: Sequence[str],
    last: Mapping[str, Sequence[Seen]] | None = None,
) -> list[Stop]:
    """Return the zones in walking order with what this walk has entered on each.

    Zones for which nothing applies that is looked for are no part of the walk.
    A look belongs to this walk when it is of ``state`` and looked for all that this walk does.
    ``last`` is what ``seen_before`` gave; without a visit there is nothing entered yet.
    """
    material, keel = boat_of(book)
    findings = _findings(book)
    here = _looks(book, visit_id, state) if visit_id else {}
    form = form_of(book, Edge(visit_id) if visit_id else None)
    found = []
    for zone, version in queries.zones_at(book, visit_id):
        dry = lies_dry(form, zone.code, version.outline)
        wanted = tuple(
            kind for kind in looked_for if applies(kind, zone.code, material, keel, dry=dry)
        )
        if looked_for and not wanted:
            continue
        found.append(
            Stop(
                zone.id,
                zone.code,
                zone.name,
                version.outline,
                wanted,
                _entered(here.get(zone.id, ()), wanted),
                _comparable((last or {}).get(zone.id, ()), wanted),
                tuple(findings.get(zone.id, ())),
                dry,
            )
        )
    return found


def lies_dry(form: HullForm | None, zone_code: str, drawn: Mapping[str, Any]) -> bool:
    """Tell whether the whole of a zone lies above the waterline; ``drawn`` is its outline."""
    if is_own(zone_code):
        return not below_water(zone_code)
    return form is not None and lowest(form, outline(dict(drawn))) > _CLEAR


def seen_before(book: Book, visit_id: str, state: str = "found") -> dict[str, list[Seen]]:
    """Return zone id -> the looks at it before a walk, as found, the newest first.

    A walk while work goes on comes after what this very visit found.
    """
    order = {visit.id: n for n, visit in enumerate(queries.visits(book))}
    until = order.get(visit_id, len(order))
    rank = {"found": 1, "during": 0}
    query = _query().where(Inspection.coverage.in_(("whole", "part")))
    found: dict[str, list[tuple[tuple[int, int], Inspection]]] = {}
    for look, zone_id in book.execute(query.where(Inspection.state.in_(tuple(rank)))):
        place = order.get(look.visit_id, until)
        here = look.visit_id == visit_id and (look.state, state) == ("found", "during")
        if place < until or here:
            found.setdefault(zone_id, []).append(((place, rank[look.state]), look))
    for looks in found.values():
        looks.sort(key=lambda one: one[0], reverse=True)
    return {zone_id: [_seen(look) for _, look in looks] for zone_id, looks in found.items()}


def _comparable(looks: Sequence[Seen], wanted: Sequence[str]) -> Seen | None:
    """Return the newest look that tells of all that is looked for now, without its other figures.

    A look that found something else, and rated none of these kinds, tells nothing of them.
    """
    for look in looks:
        figures = {kind: look.figures[kind] for kind in wanted if kind in look.figures}
        tells = bool(figures) or look.result == "nothing_found" or not look.figures
        if tells and set(wanted) <= {*look.looked_for, *look.figures}:
            return replace(look, figures=figures)
    return None


def boat_of(book: Book) -> tuple[str, str]:
    """Return the material of the hull and the keel of the present form."""
    vessel, form = queries.vessel(book), queries.form_version(book)
    keel = str(form.particulars.get("keel", "none")) if form else "none"
    return (vessel.material if vessel else "unknown"), keel


def _query() -> Select[Inspection, str]:
    return (
        select(Inspection, ZoneVersion.zone_id)
        .join(ZoneVersion, ZoneVersion.id == Inspection.zone_version_id)
        .where(Inspection.withdrawn.is_(False))
        .options(
            selectinload(Inspection.sets).selectinload(MeasurementSet.ratings),
            selectinload(Inspection.sets).selectinload(MeasurementSet.readings),
        )
        .order_by(Inspection.entered_at, Inspection.id)
    )


def _looks(book: Book, visit_id: str, state: str) -> dict[str, list[Inspection]]:
    found: dict[str, list[Inspection]] = {}
    query = _query().where(Inspection.visit_id == visit_id, Inspection.state == state)
    for look, zone_id in book.execute(query):
        found.setdefault(zone_id, []).append(look)
    return found


def looks_of(book: Book, visit_id: str, state: str) -> dict[str, tuple[Seen, ...]]:
    """Return zone id -> the looks at it at a visit in a state, in the order of entry."""
    found = _looks(book, visit_id, state)
    return {zone_id: tuple(_seen(look) for look in looks) for zone_id, looks in found.items()}


def _entered(looks: Sequence[Inspection], wanted: Sequence[str]) -> Seen | None:
    fitting = [look for look in looks if set(wanted) <= set(look.looked_for)]
    return _seen(fitting[-1]) if fitting else None


def _seen(look: Inspection) -> Seen:
    return Seen(
        look.id,
        look.visit_id,
        look.coverage,
        look.result,
        look.share,
        look.hidden_by,
        tuple(look.looked_for),
        {rated.kind: figures_of(rated) for rated in look.sets if not rated.withdrawn},
        look.as_last_time,
        look.note,
        next((one.observed for one in look.sets if one.observed and not one.withdrawn), None),
    )


def _findings(book: Book) -> dict[str, list[Open]]:
    """Return the open findings by the zone that they are about."""
    opened = {one.id: one for one in queries.kept(book, Finding, Finding.status == "open")}
    found: dict[str, list[Open]] = {}
    for link in queries.kept(book, FindingLink):
        finding = opened.get(link.finding_id)
        if finding is not None and link.zone_id is not None:
            told = Open(finding.id, finding.number, finding.title, finding.sort)
            found.setdefault(link.zone_id, []).append(told)
    return found


def conditions_of(book: Book, visit_id: str, state: str) -> dict[str, Any]:
    """Return the conditions of the day with which this visit was last rated in a state."""
    where = (MeasurementSet.visit_id == visit_id, MeasurementSet.state == state)
    found: dict[str, Any] = {}
    for rated in queries.kept(book, MeasurementSet, *where):
        found |= {code: rated.conditions[code] for code in OF_THE_DAY if code in rated.conditions}
    return found


def conditions_now(book: Book, visit_id: str, state: str, now: Any) -> dict[str, Any]:
    """Return the conditions with which a look of today begins; the days ashore are today's.

    Where she is back in the water they are those of the visit, since no look is of today.
    """
    found, visit = conditions_of(book, visit_id, state), book.get(Visit, visit_id)
    if visit is not None and visit.ends is None and visit.closed_at is None:
        found.pop("days_ashore", None)
        if (days := days_ashore(visit, now)) is not None:
            found["days_ashore"] = days
    return found


def walked_on(visit: Visit, now: datetime) -> PartialDate | None:
    """Return the day of a walk for which none was given: today, while she may be out."""
    if visit.closed_at is not None or (visit.ends is not None and now > visit.ends.latest):
        return None
    return PartialDate.of(now.astimezone(ZoneInfo(visit.time_zone)).date(), visit.time_zone)


def days_ashore(visit: Visit, now: Any) -> int | None:
    """Return the whole days since she was lifted; None where the day is not known as such.

    None too once she is back in the water: what is typed then was seen on some day before.
    """
    begins = visit.begins
    if visit.ends is not None and now > visit.ends.latest:
        return None
    if begins is None or begins.about or begins.precision not in ("day", "time"):
        return None
    where = ZoneInfo(visit.time_zone)
    days = (now.astimezone(where).date() - begins.earliest.astimezone(where).date()).days
    return int(days) if days >= 0 else None
