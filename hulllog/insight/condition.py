"""What the looks at a zone say of one kind, seen from an edge of the tide strip.

Each zone has one of six appearances; empty never looks like good.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any, Literal

from sqlalchemy import select
from sqlalchemy.orm import selectinload

from hulllog.insight import shades
from hulllog.insight.occasions import STATE_ORDER, Edge, up_to
from hulllog.insight.once import once_a_reading
from hulllog.insight.reached import missed_by_whole_bottom
from hulllog.insight.redrawn import zone_of
from hulllog.insight.repairs import repairs, repairs_of
from hulllog.records.model import (
    Coat,
    GearCheck,
    Inspection,
    MeasurementSet,
    Product,
    Removal,
    Spot,
    SpotObservation,
    Treatment,
    Visit,
    Zone,
    ZoneVersion,
)
from hulllog.records.operations import queries

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hulllog.records.book import Book
    from hulllog.records.values import PartialDate

Appearance = Literal[
    "graded", "none_found", "not_rated", "not_applicable", "not_seen", "not_looked"
]
Figure = float | str
"""A reading in the unit of its component, or a grade's code."""


@dataclass(frozen=True, slots=True)
class ZoneState:
    """How one zone looks for one kind from an edge.

    ``figures`` are component -> value of the set that gave the grade; ``step`` 0…4 shades it.
    ``from_found`` says that the edge is *as left* but nobody looked after the work: the state as
    found is shown, ``work`` tells what was done since and ``mended`` whether that was for the kind:
    a coat of paint mends nothing.
    """

    zone_id: str
    zone_version_id: str
    code: str
    name: str
    appearance: Appearance
    step: int | None = None
    figures: Mapping[str, Figure] | None = None
    coverage: str = "not_looked"
    share: float | None = None
    hidden_by: str | None = None
    methods: tuple[str, ...] = ()
    looked_for: tuple[str, ...] = ()
    result: str | None = None
    as_last_time: bool = False
    conditions: Mapping[str, object] | None = None
    inspection_id: str | None = None
    set_id: str | None = None
    from_found: bool = False
    work: tuple[Worked, ...] = ()
    mended: bool = False
    note: str | None = None
    kind: str = ""
    """The kind that the figures are of."""
    spot: int | None = None
    """The spot that showed more than the look at the zone, by its number."""
    outline: Mapping[str, Any] | None = None
    """The outline as stored; the drawing reads it."""
    observed: PartialDate | None = None
    """The day of the figures; None where it is known no closer than the visit."""
    face: str = ""
    """The only face on which spots show these figures; empty where that is not known."""

    @property
    def work_done(self) -> int:
        """Count the coats, removals and treatments since it was found so."""
        return sum(one.times for one in self.work)

    @property
    def painted_over(self) -> bool:
        """Tell whether paint went on since it was found so."""
        return any(one.sort == "coat" for one in self.work)


@dataclass(frozen=True, slots=True)
class Worked:
    """Work on a zone at a visit: coat, removal or treatment; what as a role, a depth or a sort.

    ``share`` is of the zone, where coats went on a part of it.
    """

    sort: str
    what: str
    times: int = 1
    share: float = 1.0


@once_a_reading
def zone_versions(book: Book, edge: Edge | None) -> list[tuple[Zone, ZoneVersion]]:
    """Return the zones in walking order, each with the outline that held at the edge."""
    visit = book.get(Visit, edge.visit_id) if edge else None
    seen = [one.id for one, _ in up_to(book, edge)] if edge else None
    return queries.zones_in_force(book, seen, visit.begins if visit else None)


def hull_state(book: Book, edge: Edge, kind: str) -> list[ZoneState]:
    """Return the state of every zone for ``kind`` from ``edge``, in walking order."""
    visit = book.get(Visit, edge.visit_id)
    if visit is None:
        return []
    looks = _looks(book, edge.visit_id)
    worked = _worked_zones(book, edge.visit_id) if edge.state == "left" else {}
    missed = missed_by_whole_bottom(book)(edge.visit_id) if "*" in worked else frozenset()
    spots, mends = _spots(book, edge, kind), repairs(book, edge)
    found = []
    for zone, version in zone_versions(book, edge):
        whole = shades.below_water(zone.code) and zone.id not in missed
        here = worked if whole else {key: done for key, done in worked.items() if key != "*"}
        state = _zone_state(edge, visit, kind, zone, version, looks, here)
        repaired = repairs_of(mends, kind, zone.id)
        found.append(
            replace(
                _with_spots(state, spots, edge, kind),
                mended=state.from_found and any(one.visit_id == visit.id for one in repaired),
            )
        )
    return found


_Spotted = tuple[str, int, dict[str, Figure], str]
"""State of an observation, number of its spot, figures of its set, face on which it lies."""


def _spots(book: Book, edge: Edge, kind: str) -> dict[str, list[_Spotted]]:
    """Return by zone what was measured of a kind at spots at the visit of an edge."""
    query = (
        select(SpotObservation, Spot)
        .join(Spot, Spot.id == SpotObservation.spot_id)
        .where(
            SpotObservation.visit_id == edge.visit_id,
            SpotObservation.withdrawn.is_(False),
            Spot.withdrawn.is_(False),
            Spot.zone_id.is_not(None),
        )
        .options(*with_figures(SpotObservation))
    )
    found: dict[str, list[_Spotted]] = {}
    zone_now = zone_of(book, edge)
    for observation, spot in book.execute(query):
        for rated in observation.sets:
            if rated.kind == kind and not rated.withdrawn:
                face = spot.place.face if spot.place else ""
                told = (observation.state, spot.number, figures_of(rated), face)
                found.setdefault(zone_now(spot.zone_id, spot.place) or "", []).append(told)
    return found


def _with_spots(
    zone: ZoneState, spots: Mapping[str, Sequence[_Spotted]], edge: Edge, kind: str
) -> ZoneState:
    """Let a zone show what its spots show where that is more: a crack at a spot is in the zone."""
    states = {edge.state, "found", "during"} if zone.from_found else {edge.state}
    for state, number, figures, _ in spots.get(zone.zone_id, ()):
        step = shades.step(kind, figures)
        if state in states and step is not None and (zone.step is None or step > zone.step):
            zone = replace(
                zone, appearance="graded", step=step, figures=figures, kind=kind, spot=number
            )
    faces = {
        face
        for state, _, figures, face in spots.get(zone.zone_id, ())
        if state in states and figures == zone.figures
    }
    return replace(zone, face=faces.pop()) if zone.figures and len(faces) == 1 else zone


def with_figures(owner: type[Inspection | SpotObservation | GearCheck]) -> tuple[Any, Any]:
    """Return what loads a look together with its sets and their figures."""
    sets = selectinload(owner.sets)
    return sets.selectinload(MeasurementSet.ratings), sets.selectinload(MeasurementSet.readings)


def _looks(book: Book, visit_id: str) -> dict[str, list[Inspection]]:
    """Return the inspections of a visit by zone, each with its sets."""
    query = (
        select(Inspection, ZoneVersion.zone_id)
        .join(ZoneVersion, ZoneVersion.id == Inspection.zone_version_id)
        .where(Inspection.visit_id == visit_id, Inspection.withdrawn.is_(False))
        .options(
            selectinload(Inspection.sets).selectinload(MeasurementSet.ratings),
            selectinload(Inspection.sets).selectinload(MeasurementSet.readings),
        )
        .order_by(Inspection.entered_at)
    )
    found: dict[str, list[Inspection]] = {}
    for inspection, zone_id in book.execute(query):
        found.setdefault(zone_id, []).append(inspection)
    return found


def _worked_zones(book: Book, visit_id: str) -> dict[str, list[Worked]]:
    """Return what was done to each zone in a visit ("*": whole bottom)."""
    removals = select(Removal).where(Removal.visit_id == visit_id, Removal.withdrawn.is_(False))
    treatments = select(Treatment).where(
        Treatment.visit_id == visit_id, Treatment.withdrawn.is_(False)
    )
    found: dict[str, list[Worked]] = {}
    for removal in book.scalars(removals):
        for zone_id in removal.zone_ids or ("*",):
            found.setdefault(zone_id, []).append(Worked("removal", removal.down_to))
    for treatment in book.scalars(treatments):
        for zone_id in treatment.zone_ids:
            found.setdefault(zone_id, []).append(Worked("treatment", treatment.sort))
    for (zone_id, role, share), times in _coated_zones(book, visit_id).items():
        found.setdefault(zone_id, []).append(Worked("coat", role, times, share))
    return found


def _coated_zones(book: Book, visit_id: str) -> dict[tuple[str, str, float], int]:
    """Count the coats of a visit by zone, role and share of the zone."""
    counts: dict[tuple[str, str, float], int] = {}
    numbered: dict[tuple[str, str, float], int] = {}
    query = (
        select(Coat, Product.role)
        .join(Product, Product.id == Coat.product_id)
        .where(Coat.visit_id == visit_id, Coat.withdrawn.is_(False))
        .options(selectinload(Coat.zones))
    )
    for coat, role in book.execute(query):
        zones = [(one.zone_id, one.share or 1.0) for one in coat.zones if not one.withdrawn]
        for zone_id, share in [("*", 1.0)] if coat.whole_bottom else zones:
            key = zone_id, role, share
            counts[key] = counts.get(key, 0) + 1
            numbered[key] = max(numbered.get(key, 0), coat.number)
    return {key: max(count, numbered[key]) for key, count in counts.items()}


def _zone_state(
    edge: Edge,
    visit: Visit,
    kind: str,
    zone: Zone,
    version: ZoneVersion,
    looks: Mapping[str, Sequence[Inspection]],
    worked: Mapping[str, Sequence[Worked]],
) -> ZoneState:
    base = ZoneState(
        zone.id, version.id, zone.code, zone.name, "not_looked", outline=version.outline
    )
    inspections = looks.get(zone.id, [])
    here = [look for look in inspections if look.state == edge.state]
    from_found = not here and edge.state == "left"
    if from_found:
        here = [look for look in inspections if look.state in ("found", "during")]
        here.sort(key=lambda look: STATE_ORDER[look.state])
    if not here:
        return base
    look, rated = _telling(here, kind)
    work = (*worked.get("*", ()), *worked.get(zone.id, ())) if from_found else ()
    return _told(base, look, rated, kind, visit, from_found=from_found, work=work)


def _telling(looks: Sequence[Inspection], kind: str) -> tuple[Inspection, MeasurementSet | None]:
    """Choose the look that says most of ``kind``: the last one with a set of it, else the last."""
    for look in reversed(looks):
        for rated in reversed(look.sets):
            if rated.kind == kind and not rated.withdrawn:
                return look, rated
    for look in reversed(looks):
        if kind in look.looked_for:
            return look, None
    return looks[-1], None


def _told(
    base: ZoneState,
    look: Inspection,
    rated: MeasurementSet | None,
    kind: str,
    visit: Visit,
    *,
    from_found: bool,
    work: tuple[Worked, ...],
) -> ZoneState:
    figures = figures_of(rated) if rated else None
    step = shades.step(kind, figures) if figures else None
    return ZoneState(
        base.zone_id,
        base.zone_version_id,
        base.code,
        base.name,
        _appearance(look, kind, figures, step),
        step=step,
        figures=figures,
        coverage=look.coverage,
        share=look.share,
        hidden_by=look.hidden_by,
        methods=tuple(look.methods or visit.methods),
        looked_for=tuple(look.looked_for),
        result=look.result,
        as_last_time=look.as_last_time,
        conditions=rated.conditions if rated else None,
        inspection_id=look.id,
        set_id=rated.id if rated else None,
        from_found=from_found,
        work=work,
        note=look.note,
        kind=kind,
        outline=base.outline,
        observed=rated.observed if rated else None,
    )


def _appearance(
    look: Inspection, kind: str, figures: Mapping[str, Figure] | None, step: int | None
) -> Appearance:
    if look.coverage == "not_looked":
        return "not_looked"
    if look.coverage == "not_seen":
        return "not_seen"
    if figures is not None:
        return "graded" if step is not None else "none_found"
    if kind not in look.looked_for:
        return "not_rated"
    return "none_found" if look.result == "nothing_found" else "not_rated"


def figures_of(rated: MeasurementSet) -> dict[str, Figure]:
    """Return component -> figure of a set: readings in their typed unit, grades as codes.

    Of several grades by area the worst is taken, of repeated readings the worst too: the largest,
    or the smallest where less is worse.  A count of none says that there is nothing to measure.
    """
    figures: dict[str, Figure] = {}
    for rating in rated.ratings:
        if not rating.withdrawn:
            held = figures.get(rating.component)
            figures[rating.component] = (
                rating.code
                if held is None
                else shades.worse(rated.kind, rating.component, str(held), rating.code)
            )
    for reading in rated.readings:
        if not reading.withdrawn and reading.value is not None:
            value = shades.in_component_unit(rated.kind, reading.component, reading.value)
            held = figures.get(reading.component)
            figures[reading.component] = (
                shades.worse_number(rated.kind, reading.component, held, value)
                if isinstance(held, float)
                else value
            )
    if shades.is_none(rated.kind, figures):
        return {**shades.nothing(rated.kind), **figures}
    return figures


def spot_figures(book: Book, spot_id: str, kind: str) -> list[tuple[str, dict[str, Figure]]]:
    """Return (visit id, figures) of every observation of a spot that has a set of ``kind``."""
    query = (
        select(SpotObservation)
        .where(SpotObservation.spot_id == spot_id, SpotObservation.withdrawn.is_(False))
        .options(
            selectinload(SpotObservation.sets).selectinload(MeasurementSet.ratings),
            selectinload(SpotObservation.sets).selectinload(MeasurementSet.readings),
        )
    )
    return [
        (observation.visit_id, figures_of(rated))
        for observation in book.scalars(query)
        for rated in observation.sets
        if rated.kind == kind and not rated.withdrawn
    ]
