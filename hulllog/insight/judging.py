"""Two questions about a series: changed since last time, and is there a steady trend?"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from sqlalchemy import select

from hulllog.insight.condition import zone_versions
from hulllog.insight.limits import LimitSeen, limits
from hulllog.insight.overview import kinds_on_record
from hulllog.insight.repairs import (
    Dried,
    Mended,
    Repair,
    Sound,
    dried,
    findable,
    mended,
    repainted,
    repairs,
    repairs_of,
    sound_as_left,
)
from hulllog.insight.series import (
    LEVEL,
    Judged,
    Point,
    Prompt,
    Series,
    ZoneLooks,
    spot_series,
    zone_looks,
    zone_series,
)
from hulllog.records.model import Spot
from hulllog.trade import change, kinds, trend

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hulllog.insight.occasions import Edge
    from hulllog.records.book import Book
    from hulllog.records.model import Zone
    from hulllog.records.values import PartialDate

COVER = "antifouling-cover"
REPAIRED, REPAINTED = "repaired_between", "repainted_between"
WORK = frozenset({("treated_between",), (REPAIRED,)})
"""Why alone a look before work on the hull does not compare with one after it."""
SURE = LEVEL
"""Level of the trend test, after correction for the number of zones."""


@dataclass(frozen=True, slots=True)
class ZoneJudged:
    """What a zone or spot says of one kind and component.

    ``subject`` is zone or spot; ``number`` is the spot's, None for a zone.
    """

    subject: str
    subject_id: str
    name: str
    number: int | None
    kind: str
    component: str
    judged: Judged
    repaired: tuple[Repair, ...] = ()
    """Where it was repaired or treated for the kind, one for each visit."""
    sound: Sound | None = None
    """The last look as left that found none."""
    limit: LimitSeen | None = None
    """The owner's limit for the figure; None where none was set."""

    @property
    def beyond_limit(self) -> bool | None:
        """Tell whether the newest figure lies past the owner's limit; None without either."""
        points = self.judged.series.comparable
        return self.limit.beyond(points[-1].value) if self.limit and points else None

    @property
    def first_found(self) -> tuple[PartialDate, int] | None:
        """Return when it was found for the first time, after how many looks that found none.

        Found or not found is no matter of size: None where more than the newest look found it.
        """
        points = self.judged.series.standing
        none = _nought(self.kind, self.component)
        if self.subject == "gear" and self.judged.series.unit is None:
            return None  # how a valve turns is no find: "free" is an answer
        if len(points) < 2 or none is None or points[-1].value == none:
            return None
        earlier = points[:-1]
        return (points[-1].when, len(earlier)) if all(p.value == none for p in earlier) else None

    @property
    def mended(self) -> Mended | None:
        """Return what came of the repairs; None without any."""
        return mended(self.kind, self.repaired, self.judged.series.points, self.sound)

    @property
    def dried(self) -> Dried | None:
        """Return how a meter's reading fell before the last treatment; None where it did not."""
        return dried(self.kind, self.repaired, self.judged.series.points)


def _nought(kind: str, component: str) -> float | None:
    """Return the figure of a component that says that there is nothing; None without one."""
    part = kinds.component(kind, component)
    if part is None or part.nothing is None:
        return None
    return part.position(part.nothing) if isinstance(part.nothing, str) else part.nothing


def judge(series: Series, done: Sequence[Repair] = ()) -> Judged:
    """Answer both questions for one series; the newest comparable points only.

    ``done`` is what took away what was measured: what was there before is another thing.
    """
    series = _apart(series, done)
    points = series.comparable
    changed = None
    if len(points) >= 2:
        changed = change.two_visits(
            series.kind, series.component, points[-2].value, points[-1].value
        )
    treated = [point for point in series.points if point.why_not in WORK]
    before = [point for point in treated if point.era == treated[-1].era]
    return Judged(
        series,
        changed,
        _tested(series, points),
        before_treatment=_tested(series, before),
        prompt=_prompt(series, points),
        prompt_before=_prompt(series, before),
    )


def _apart(series: Series, done: Sequence[Repair]) -> Series:
    """Set points apart from the newest where it was repaired or painted over in between."""
    if not done or not series.standing:
        return series
    last = series.standing[-1]
    why = REPAINTED if series.kind == COVER else REPAIRED
    points = []
    for point in series.points:
        since = [one for one in done if _after(one, point) and not _after(one, last)]
        if since and point.comparable:
            point = replace(point, comparable=False, why_not=(why,))
        points.append(replace(point, era=point.era + len(done) - len(since)))
    return replace(series, points=tuple(points))


def _after(done: Repair, point: Point) -> bool:
    """Tell whether work came after a look: of one visit the look as found comes first."""
    same = done.visit_id == point.visit_id
    return same or done.when.earliest > point.when.earliest


def _prompt(series: Series, points: Sequence[Point]) -> Prompt | None:
    """Test again without the points that were entered later; None where there are none."""
    left = [point for point in points if point.basis == "at_the_time"]
    if len(points) < trend.FEWEST or len(left) == len(points):
        return None
    return Prompt(len(points), len(left), _tested(series, left))


def _tested(series: Series, points: Sequence[Point]) -> trend.Trend | None:
    """Test comparable points for a trend; None while there are too few."""
    if len(points) < trend.FEWEST:
        return None
    times, values = [_years(point) for point in points], [point.value for point in points]
    if series.unit is None:
        return trend.of_grades(values, times)
    return trend.of(times, values, series.unit)


def _years(point: Point) -> float:
    return point.when.middle.timestamp() / (365.25 * 86400)


def components(kind_id: str) -> tuple[str, ...]:
    """Return the components of a kind that are followed over time."""
    kind = kinds.kind(kind_id)
    return tuple(c.code for c in kind.components if c.followed and c.ordered) if kind else ()


def judged_zones(book: Book, edge: Edge | None = None) -> list[ZoneJudged]:
    """Return both answers for every zone, kind and component with a figure, corrected together.

    Zones are told apart; the correction (Benjamini–Hochberg) runs over the zones of one component.
    """
    looks, zones = zone_looks(book, edge), _zones(book, edge)
    return [
        item
        for kind in kinds_on_record(book, edge)
        for component in components(kind)
        for item in _judged(book, zones, kind, component, edge, looks)
    ]


def judged_component(
    book: Book, kind: str, component: str, edge: Edge | None = None
) -> list[ZoneJudged]:
    """Return both answers for every zone with a figure of one component, corrected together."""
    return _judged(book, _zones(book, edge), kind, component, edge, zone_looks(book, edge))


def _zones(book: Book, edge: Edge | None) -> list[Zone]:
    return [zone for zone, _ in zone_versions(book, edge)]


def _judged(
    book: Book,
    zones: Sequence[Zone],
    kind: str,
    component: str,
    edge: Edge | None,
    looks: ZoneLooks,
) -> list[ZoneJudged]:
    group, found, sound = [], repairs(book, edge), dict(sound_as_left(book, edge))
    painted = repainted(book, edge) if kind == COVER else []
    limit = limits(book).get((kind, component))
    for zone in zones:
        series = zone_series(book, zone.id, kind, component, edge, looks)
        if series.points:
            mends = repairs_of(found, kind, zone.id)
            coats = [one for one in painted if one.zone_id == zone.id]
            group.append(
                ZoneJudged(
                    "zone",
                    zone.id,
                    zone.name,
                    None,
                    kind,
                    component,
                    judge(series, coats if kind == COVER else _mends(mends, kind)),
                    mends,
                    sound.get((zone.id, kind)),
                    limit,
                )
            )
    return _corrected(group)


def _mends(found: Sequence[Repair], kind: str) -> Sequence[Repair]:
    """Return the repairs that end a series: of what is found or not, not of what is read."""
    return found if findable(kind) else ()


def worsening(item: ZoneJudged) -> bool:
    """Tell whether a trend goes towards worse by the kind."""
    steady = item.judged.trend
    if steady is None or steady.direction == "none":
        return False
    step = 1.0 if steady.direction == "up" else -1.0
    return change.sense(item.kind, item.component, step) == "worse"


def judged_spots(book: Book, edge: Edge | None = None) -> list[ZoneJudged]:
    """Return both answers for every spot with a figure."""
    found: list[ZoneJudged] = []
    mends, bounds, sound = repairs(book, edge), limits(book), dict(sound_as_left(book, edge))
    for spot in book.scalars(select(Spot).where(Spot.withdrawn.is_(False)).order_by(Spot.number)):
        for kind in spot_kinds(book, spot.id):
            for component in components(kind):
                series = spot_series(book, spot.id, kind, component, edge)
                if series.points:
                    here = repairs_of(mends, kind, spot.zone_id, spot.id)
                    found.append(
                        ZoneJudged(
                            "spot",
                            spot.id,
                            spot.label,
                            spot.number,
                            kind,
                            component,
                            judge(series, _mends(here, kind)),
                            here,
                            sound.get((spot.zone_id or "", kind)),
                            bounds.get((kind, component)),
                        )
                    )
    return found


def mends_of_spot(book: Book, spot_id: str, kind: str, edge: Edge | None) -> Sequence[Repair]:
    """Return the repairs that end a series of a spot."""
    spot = book.get(Spot, spot_id)
    if spot is None:
        return ()
    return _mends(repairs_of(repairs(book, edge), kind, spot.zone_id, spot_id), kind)


def spot_kinds(book: Book, spot_id: str) -> list[str]:
    """Return the kinds measured at a spot."""
    from hulllog.records.model import MeasurementSet, SpotObservation

    query = (
        select(MeasurementSet.kind)
        .join(SpotObservation, SpotObservation.id == MeasurementSet.spot_observation_id)
        .where(SpotObservation.spot_id == spot_id, MeasurementSet.withdrawn.is_(False))
        .distinct()
        .order_by(MeasurementSet.kind)
    )
    return list(book.scalars(query))


def _corrected(group: list[ZoneJudged]) -> list[ZoneJudged]:
    tested = [n for n, item in enumerate(group) if item.judged.trend is not None]
    raw = [group[n].judged.trend.p for n in tested]  # type: ignore[union-attr]
    adjusted = trend.corrected(raw)
    by_place = dict(zip(tested, adjusted, strict=True))
    return [
        replace(item, judged=replace(item.judged, adjusted=by_place.get(n)))
        for n, item in enumerate(group)
    ]
