"""One kind and component of one zone or spot over the years, broken where like is not with like."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from sqlalchemy import select

from hulllog.insight import shades
from hulllog.insight.condition import Figure, figures_of, with_figures
from hulllog.insight.occasions import STATE_ORDER, Edge, up_to
from hulllog.insight.redrawn import covered, share_of
from hulllog.insight.shades import FOULING, grades
from hulllog.records.model import (
    Gear,
    GearCheck,
    Inspection,
    MeasurementSet,
    Spot,
    SpotObservation,
    Treatment,
    Visit,
    ZoneVersion,
)
from hulllog.trade import change, kinds

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hulllog.insight.redrawn import Covered
    from hulllog.records.book import Book
    from hulllog.records.model import MeasurementSet
    from hulllog.records.values import PartialDate
    from hulllog.trade.change import Change
    from hulllog.trade.trend import Trend
    from hulllog.trade.working import Working


SAME_VISIT = "same_visit"
"""Why a figure is not held against other visits: a worse one of its own visit stands for it.

Of several sets in a visit those as found come before those taken during the work, and of them the
worst stands for the visit: the set of a lift, not of the drying that followed.  Our own rule.
"""


@dataclass(frozen=True, slots=True)
class Point:
    """One comparable or other figure: where and when, its value, and how sure its kind is.

    All figures of a visit are kept; one of them stands for it, the others say SAME_VISIT.

    ``value`` is a number in ``unit`` or the place of a grade on its scale, best = 0.
    ``comparable`` tells whether it may be held against the newest point; ``why_not`` says why.
    """

    visit_id: str
    when: PartialDate
    value: float
    grade: str | None
    spread: float | None
    conditions: Mapping[str, object]
    zone_version_id: str | None
    era: int = 0
    """How many treatments the zone had had before."""
    comparable: bool = True
    why_not: tuple[str, ...] = ()
    basis: str = "at_the_time"


@dataclass(frozen=True, slots=True)
class Series:
    """Figures of one kind and component over time.  ``unit`` is None for grades."""

    kind: str
    component: str
    unit: str | None
    points: tuple[Point, ...]
    scale: tuple[str, ...] = ()

    @property
    def standing(self) -> tuple[Point, ...]:
        """Return the points that stand for their visits, one for each, oldest first."""
        return tuple(point for point in self.points if SAME_VISIT not in point.why_not)

    @property
    def comparable(self) -> tuple[Point, ...]:
        """Return the points that may be held against the newest one, oldest first."""
        return tuple(point for point in self.points if point.comparable)


LEVEL = 0.05
"""Level of the trend test (common practice)."""


@dataclass(frozen=True, slots=True)
class Prompt:
    """A trend once more, from the looks alone that were entered at the time.

    ``left`` of ``n`` looks remain; ``trend`` is None where they are too few to test.
    """

    n: int
    left: int
    trend: Trend | None

    def holds(self, direction: str) -> bool:
        """Tell whether it goes the same way and is as sure."""
        return self.trend is not None and self.trend.p < LEVEL and self.trend.direction == direction


@dataclass(frozen=True, slots=True)
class Judged:
    """What a series says: changed since last time, and whether there is a steady trend."""

    series: Series
    changed: Change | None
    trend: Trend | None
    adjusted: Working | None = None
    """The p of ``trend``, corrected for the number of zones."""
    before_treatment: Trend | None = None
    """The trend of the looks before the last treatment, where there were enough."""
    prompt: Prompt | None = None
    """``trend`` without what was entered later; None where nothing was, or nothing was tested."""
    prompt_before: Prompt | None = None
    """``before_treatment`` without what was entered later."""

    @property
    def adjusted_p(self) -> float | None:
        """The corrected p; None where nothing was tested or corrected."""
        return None if self.adjusted is None else self.adjusted.value

    @property
    def told_without_later(self) -> bool:
        """Tell whether there is a steady trend that rests in part on what was entered later."""
        p = self.adjusted_p if self.adjusted_p is not None else self.trend.p if self.trend else 1.0
        sure = self.trend is not None and p < LEVEL and self.trend.direction != "none"
        return sure and self.prompt is not None

    @property
    def steady_before(self) -> bool:
        """Tell whether the looks before the treatment rose or fell steadily."""
        before = self.before_treatment
        return before is not None and before.p < LEVEL and before.direction != "none"

    @property
    def grew_before(self) -> bool:
        """Tell whether the looks before the treatment rose steadily."""
        before = self.before_treatment
        return self.steady_before and before is not None and before.direction == "up"


@dataclass(slots=True)
class _Raw:
    visit: Visit
    figures: Mapping[str, Figure]
    conditions: Mapping[str, object]
    zone_version_id: str | None
    treatments: int
    basis: str
    order: int = field(default=0)
    rated: bool = field(default=True)
    state: str = field(default="found")
    observed: PartialDate | None = field(default=None)

    @property
    def when(self) -> PartialDate:
        """When it was read, else when the visit began."""
        found = self.observed or self.visit.begins
        assert found is not None
        return found

    @property
    def rank(self) -> tuple[int, bool]:
        """As found before during, figures before nothing found."""
        return STATE_ORDER[self.state], not self.rated


@dataclass(frozen=True, slots=True)
class _ZoneLook:
    """What a look at a zone says, taken off its record: every series of the zone asks for it."""

    order: int
    visit: Visit
    state: str
    looked_for: Sequence[str]
    nothing_found: bool
    zone_version_id: str
    basis: str
    sets: Mapping[str, Sequence[MeasurementSet]]
    """Those of each kind."""

    @classmethod
    def of(cls, look: Inspection, order: int, visit: Visit) -> _ZoneLook:
        """Take a look off its record."""
        sets: dict[str, list[MeasurementSet]] = {}
        for rated in look.sets:
            if not rated.withdrawn:
                sets.setdefault(rated.kind, []).append(rated)
        return cls(
            order, visit, look.state, look.looked_for, look.result == "nothing_found",
            look.zone_version_id, look.basis, sets,
        )  # fmt: skip


@dataclass(frozen=True, slots=True)
class ZoneLooks:
    """The looks at all zones up to an edge, read once for the series of many of them."""

    seen: Mapping[str, tuple[int, Visit]]
    by_zone: Mapping[str, Sequence[_ZoneLook]]
    treatments: Sequence[Treatment]
    covered: Covered = field(default_factory=dict)
    """Of outlines of one zone, by (older, newer), what share of the older the newer covers."""
    rows: dict[tuple[str, str], list[_Raw]] = field(default_factory=dict)
    """Zone and kind -> what all of its components rest on, where it was asked for."""


def zone_looks(book: Book, edge: Edge | None, zone_id: str | None = None) -> ZoneLooks:
    """Read the looks at every zone, or at one."""
    query = (
        select(ZoneVersion.zone_id, Inspection)
        .join(ZoneVersion, ZoneVersion.id == Inspection.zone_version_id)
        .where(Inspection.withdrawn.is_(False))
        .options(*with_figures(Inspection))
        .order_by(Inspection.entered_at)
    )
    if zone_id is not None:
        query = query.where(ZoneVersion.zone_id == zone_id)
    by_zone: dict[str, list[_ZoneLook]] = {}
    drawn: dict[str, set[str]] = {}
    seen = _seen(book, edge)
    for key, look in book.execute(query):
        if look.visit_id in seen and look.state != "left" and look.coverage in _SEEN:
            by_zone.setdefault(key, []).append(_ZoneLook.of(look, *seen[look.visit_id]))
            drawn.setdefault(key, set()).add(look.zone_version_id)
    treated = select(Treatment).where(Treatment.withdrawn.is_(False))
    return ZoneLooks(seen, by_zone, list(book.scalars(treated)), covered(book, drawn.values()))


def zone_series(
    book: Book,
    zone_id: str,
    kind: str,
    component: str,
    edge: Edge | None,
    looks: ZoneLooks | None = None,
) -> Series:
    """Return the series of a zone, as found at each visit up to the edge.

    ``looks`` are those of the same edge, where they were read for many zones at once.
    """
    known = looks if looks is not None else zone_looks(book, edge, zone_id)
    return _series(kind, component, _zone_raw(known, zone_id, kind), known.covered)


def spot_series(book: Book, spot_id: str, kind: str, component: str, edge: Edge | None) -> Series:
    """Return the series of a spot, as found at each visit up to the edge."""
    return _series(kind, component, _spot_raw(book, spot_id, kind, edge))


def gear_series(book: Book, gear_id: str, kind: str, component: str, edge: Edge | None) -> Series:
    """Return the series of a piece of gear since it was fitted, as found at each visit.

    What was measured of the piece before it is no part of the series.
    """
    return _series(kind, component, _gear_raw(book, gear_id, kind, edge))


def _gear_raw(book: Book, gear_id: str, kind: str, edge: Edge | None) -> list[_Raw]:
    seen, gear = _seen(book, edge), book.get(Gear, gear_id)
    fitted = gear.fitted if gear else None
    query = (
        select(GearCheck)
        .where(GearCheck.gear_id == gear_id, GearCheck.withdrawn.is_(False))
        .options(*with_figures(GearCheck))
    )
    return [
        _Raw(
            visit, figures_of(rated), rated.conditions, None, 0, _basis(rated, look), order,
            observed=rated.observed or look.looked,
        )
        for look in book.scalars(query)
        if look.visit_id in seen and look.state != "left"
        for order, visit in (seen[look.visit_id],)
        if not was_before(visit.begins, fitted)
        for rated in look.sets
        if rated.kind == kind and not rated.withdrawn
    ]  # fmt: skip


def was_before(looked: PartialDate | None, fitted: PartialDate | None) -> bool:
    """Tell whether a look as found was at the piece that stood there before the present one.

    A piece that was fitted at the haul-out of the look came after it.
    """
    return looked is not None and fitted is not None and looked.earliest < fitted.earliest


def _seen(book: Book, edge: Edge | None) -> dict[str, tuple[int, Visit]]:
    return {visit.id: (n, visit) for n, (visit, _) in enumerate(up_to(book, edge))}


def _zone_raw(looks: ZoneLooks, zone_id: str, kind: str) -> list[_Raw]:
    known = looks.rows.get((zone_id, kind))
    if known is None:
        treated = _treated(looks.treatments, zone_id, kind, looks.seen)
        rows = [row for look in looks.by_zone.get(zone_id, ()) for row in
                _from_look(look, kind, treated)]  # fmt: skip
        known = looks.rows[zone_id, kind] = _leading_blanks(rows)
    return known


def _leading_blanks(rows: Sequence[_Raw]) -> list[_Raw]:
    """Leave out that nothing was found where a look that comes before it tells more."""
    first: dict[str, _Raw] = {}
    for row in rows:
        held = first.get(row.visit.id)
        if held is None or row.rank < held.rank:
            first[row.visit.id] = row
    return [row for row in rows if row.rated or first[row.visit.id] is row]


def _basis(rated: MeasurementSet, look: _ZoneLook | SpotObservation | GearCheck) -> str:
    """Return on what basis figures are kept: of a look that was entered later, so are they."""
    return look.basis if rated.basis == "at_the_time" else rated.basis


_SEEN = frozenset({"whole", "part"})


def _from_look(look: _ZoneLook, kind: str, treated: Sequence[int]) -> list[_Raw]:
    sets = look.sets.get(kind, ())
    blank = not sets and look.nothing_found and kind in look.looked_for
    if not sets and not blank:
        return []
    before, version = sum(at < look.order for at in treated), look.zone_version_id
    if blank:
        return [
            _Raw(
                look.visit, shades.nothing(kind), {}, version, before, look.basis, look.order,
                rated=False, state=look.state,
            )
        ]  # fmt: skip
    return [
        _Raw(
            look.visit, figures_of(rated), rated.conditions, version, before,
            _basis(rated, look), look.order, state=look.state, observed=rated.observed,
        )
        for rated in sets
    ]  # fmt: skip


def _spot_raw(book: Book, spot_id: str, kind: str, edge: Edge | None) -> list[_Raw]:
    seen = _seen(book, edge)
    spot = book.get(Spot, spot_id)
    treated = _treatments(book, spot.zone_id, kind, seen) if spot and spot.zone_id else []
    query = (
        select(SpotObservation)
        .where(SpotObservation.spot_id == spot_id, SpotObservation.withdrawn.is_(False))
        .options(*with_figures(SpotObservation))
    )
    rows = []
    for look in book.scalars(query):
        if look.visit_id not in seen or look.state == "left" or look.coverage not in _SEEN:
            continue
        order, visit = seen[look.visit_id]
        before = sum(at < order for at in treated)
        rows += [
            _Raw(
                visit,
                figures_of(rated),
                rated.conditions,
                None,
                before,
                _basis(rated, look),
                order,
                state=look.state,
                observed=rated.observed,
            )
            for rated in look.sets
            if rated.kind == kind and not rated.withdrawn
        ]
    return rows


def _treatments(
    book: Book, zone_id: str, kind: str, seen: Mapping[str, tuple[int, Visit]]
) -> list[int]:
    query = select(Treatment).where(Treatment.withdrawn.is_(False))
    return _treated(list(book.scalars(query)), zone_id, kind, seen)


def _treated(
    treatments: Sequence[Treatment], zone_id: str, kind: str, seen: Mapping[str, tuple[int, Visit]]
) -> list[int]:
    """Return the places in the order of visits at which a treatment mended the zone of a kind."""
    if kind in FOULING:
        return []
    return [
        seen[done.visit_id][0]
        for done in treatments
        if done.visit_id in seen and zone_id in done.zone_ids
    ]


def _series(
    kind_id: str, component: str, raw: Sequence[_Raw], covered: Covered | None = None
) -> Series:
    kind = kinds.kind(kind_id)
    part = next((c for c in kind.components if c.code == component), None) if kind else None
    scale = grades(kind_id, component)
    unit = part.unit if part and part.sort == "number" else None
    usable = sorted(
        (row for row in raw if component in row.figures and row.visit.begins),
        key=lambda row: (row.order, row.when),
    )
    points = _points(kind_id, component, scale, usable, covered or {})
    return Series(kind_id, component, unit, points, scale)


def _points(
    kind_id: str,
    component: str,
    scale: tuple[str, ...],
    rows: Sequence[_Raw],
    covered: Covered,
) -> tuple[Point, ...]:
    known = [row for row in rows if _value(row.figures[component], scale) is not None]
    if not known:
        return ()
    standing = _standing(kind_id, component, scale, known)
    stands = {id(row) for row in standing}
    models = _models(standing)
    points = []
    for row in known:
        value = row.figures[component]
        number = _value(value, scale)
        assert number is not None
        against = (standing[-1], models[row.treatments])
        reasons = dict.fromkeys(
            why for other in against for why in _differs(kind_id, row, other, covered)
        )
        if id(row) not in stands:
            reasons[SAME_VISIT] = None
        points.append(
            Point(
                row.visit.id,
                row.when,
                number,
                value if isinstance(value, str) else None,
                change.repeatability(kind_id, component, number),
                row.conditions,
                row.zone_version_id,
                row.treatments,
                not reasons,
                tuple(reasons),
                row.basis,
            )
        )
    return tuple(points)


def _value(figure: Figure, scale: tuple[str, ...]) -> float | None:
    """Return a figure as a number: itself, or the place of a grade; None for an unknown grade."""
    if isinstance(figure, str):
        return float(scale.index(figure)) if figure in scale else None
    return float(figure)


def _standing(
    kind_id: str, component: str, scale: tuple[str, ...], rows: Sequence[_Raw]
) -> list[_Raw]:
    """Return of each visit the row that stands for it: the worst of those that come first."""
    found: dict[str, _Raw] = {}
    for row in rows:
        held = found.get(row.visit.id)
        if (
            held is None
            or row.rank < held.rank
            or (row.rank == held.rank and _worse(kind_id, component, scale, row, held))
        ):
            found[row.visit.id] = row
    return list(found.values())


def _worse(kind_id: str, component: str, scale: tuple[str, ...], one: _Raw, other: _Raw) -> bool:
    first, second = (_value(row.figures[component], scale) or 0.0 for row in (one, other))
    return first != second and shades.worse_number(kind_id, component, first, second) == first


def _models(rows: Sequence[_Raw]) -> dict[int, _Raw]:
    """Return for each era between treatments its newest look with conditions on record.

    A look that found nothing has none, and would else let a look seen wet and one seen dry pass.
    """
    found: dict[int, _Raw] = {}
    for row in rows:
        held = found.get(row.treatments)
        if held is None or row.conditions or not held.conditions:
            found[row.treatments] = row
    return found


def _differs(kind_id: str, one: _Raw, other: _Raw, covered: Covered) -> tuple[str, ...]:
    """Return the codes of why two looks cannot be compared; empty when they can."""
    share = share_of(covered, one.zone_version_id, other.zone_version_id)
    return change.why_not(_look(kind_id, one), _look(kind_id, other), share)


def _look(kind_id: str, raw: _Raw) -> change.Look:
    return change.Look(kind_id, raw.conditions, raw.zone_version_id, raw.treatments)
