"""How anodes wore: share used, rate by immersed day, current, half gone when, and why."""

from __future__ import annotations

import statistics
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import TYPE_CHECKING

from sqlalchemy import select

from hulllog.insight.occasions import Edge, Immersion, immersion, up_to
from hulllog.records.model import AnodeCheck, AnodePiece, AnodePosition, BerthPeriod, Visit
from hulllog.trade import anodes
from hulllog.trade.anodes import half_loss, unusual
from hulllog.trade.refusal import Refusal

if TYPE_CHECKING:
    from hulllog.records.book import Book
    from hulllog.records.values import PartialDate
    from hulllog.trade.working import Working

FEW_EARLIER = 3
"""Earlier stretches needed before a stretch is called unusual.  Our own rule."""


@dataclass(frozen=True, slots=True)
class CheckSeen:
    """One look at a piece.  ``left`` is the share left of what can be used, low and high."""

    check_id: str
    visit_id: str
    when: PartialDate
    way: str
    mass_kg: float | None
    left: tuple[float, float] | None
    used: Working | None
    contact: str | None
    painted_over: bool
    immersed: Immersion | None
    """Since the piece was fitted."""


@dataclass(frozen=True, slots=True)
class Stretch:
    """The wear of a piece between two looks: share of it per immersed year, with bounds.

    ``shore`` is none, plugged, plugged_with_isolator or unknown: what most of the days had.
    ``mass_rate`` is kg per immersed day where both ends were weighed.
    """

    piece_id: str
    from_visit_id: str | None
    to_visit_id: str
    begins: PartialDate
    ends: PartialDate
    immersed: Immersion
    share_per_year: float
    share_low: float
    share_high: float
    mass_rate: float | None
    shore: str
    loose: bool
    painted_over: bool


@dataclass(frozen=True, slots=True)
class Cause:
    """A recorded fact that may explain an unusual wear, the likelier first."""

    code: str
    values: tuple[tuple[str, object], ...] = ()


@dataclass(frozen=True, slots=True)
class PieceStory:
    """One anode from fitting to removal."""

    piece_id: str
    metal: str
    pattern: str | None
    mass_new_kg: float | None
    mass_new_from: str
    insert_kg: float | None
    fitted: PartialDate | None
    fitted_visit_id: str | None
    removed: PartialDate | None
    checks: tuple[CheckSeen, ...]


@dataclass(frozen=True, slots=True)
class PositionStory:
    """A position, its pieces and what the last stretch says against its own past.

    ``ratio`` is the last stretch's rate over the median of the earlier ones.
    ``unusual`` is None, "fast" or "slow"; by our own rule when |z| > 2 on the logarithm.
    """

    position_id: str
    name: str
    protects: tuple[str, ...]
    pieces: tuple[PieceStory, ...]
    stretches: tuple[Stretch, ...]
    ratio: float | None
    unusual: str | None
    causes: tuple[Cause, ...]
    current: Working | None
    half_loss: Working | None
    half_date: tuple[datetime, datetime, datetime] | None
    """Expected, earliest, latest moment at which half is gone."""


def positions(book: Book, edge: Edge | None = None) -> list[PositionStory]:
    """Return every anode position with its story up to the edge."""
    query = select(AnodePosition).where(AnodePosition.withdrawn.is_(False))
    return [
        _position(book, position, edge)
        for position in book.scalars(query.order_by(AnodePosition.entered_at, AnodePosition.name))
    ]


def _position(book: Book, position: AnodePosition, edge: Edge | None) -> PositionStory:
    seen = {visit.id: (visit, states) for visit, states in up_to(book, edge)}
    pieces = [
        piece
        for piece in book.scalars(
            select(AnodePiece).where(
                AnodePiece.position_id == position.id, AnodePiece.withdrawn.is_(False)
            )
        )
        if _fitted_at(piece, seen)
    ]
    pieces.sort(key=lambda piece: _sort_key(_fitted(book, piece)))
    stories = tuple(_piece(book, piece, seen) for piece in pieces)
    stretches = tuple(s for story in stories for s in _stretches(book, story))
    ratio, unusual = _against_past(stretches)
    current, half, dates = _forecast(stories, stretches)
    return PositionStory(
        position.id,
        position.name,
        tuple(position.protects),
        stories,
        stretches,
        ratio,
        unusual,
        tuple(_causes(book, stretches, unusual, ratio, stories)),
        current,
        half,
        dates,
    )


def _sort_key(fitted: PartialDate | None) -> float:
    return fitted.earliest.timestamp() if fitted else 0.0


def _fitted_at(piece: AnodePiece, seen: dict[str, tuple[Visit, frozenset[str]]]) -> bool:
    if piece.fitted_visit_id is None:
        return True
    known = seen.get(piece.fitted_visit_id)
    return known is not None and "during" in known[1]


def _fitted(book: Book, piece: AnodePiece) -> PartialDate | None:
    """Return when the piece went into the water: the relaunch of the visit that fitted it."""
    if piece.fitted:
        return piece.fitted
    visit = book.get(Visit, piece.fitted_visit_id) if piece.fitted_visit_id else None
    return (visit.ends or visit.begins) if visit else None


def _piece(
    book: Book, piece: AnodePiece, seen: dict[str, tuple[Visit, frozenset[str]]]
) -> PieceStory:
    fitted = _fitted(book, piece)
    removed_visit = seen.get(piece.removed_visit_id or "")
    new = piece.mass_new.si if piece.mass_new else None
    insert = piece.insert_mass.si if piece.insert_mass else None
    order = {visit_id: n for n, visit_id in enumerate(seen)}
    query = select(AnodeCheck).where(
        AnodeCheck.piece_id == piece.id, AnodeCheck.withdrawn.is_(False)
    )
    checks = sorted(
        (check for check in book.scalars(query) if check.visit_id in seen),
        key=lambda check: order[check.visit_id],
    )
    return PieceStory(
        piece.id,
        piece.metal,
        piece.pattern,
        new,
        piece.mass_new_from,
        insert,
        fitted,
        piece.fitted_visit_id,
        piece.removed or (removed_visit[0].begins if removed_visit else None),
        tuple(
            looked
            for check in checks
            for looked in [_check(book, check, seen[check.visit_id][0], fitted, new, insert)]
            if looked
        ),
    )


def _check(
    book: Book,
    check: AnodeCheck,
    visit: Visit,
    fitted: PartialDate | None,
    new: float | None,
    insert: float | None,
) -> CheckSeen | None:
    if visit.begins is None:
        return None
    mass = check.mass.si if check.mass else None
    used = _used(new, mass, insert)
    return CheckSeen(
        check.id,
        visit.id,
        visit.begins,
        check.way,
        mass,
        _left(check, used),
        used,
        check.contact,
        check.painted_over,
        immersion(book, fitted, visit.begins) if fitted else None,
    )


def _used(new: float | None, mass: float | None, insert: float | None) -> Working | None:
    if new is None or mass is None:
        return None
    try:
        return anodes.share_used(new, mass, insert)
    except Refusal:
        return None


def _left(check: AnodeCheck, used: Working | None) -> tuple[float, float] | None:
    if used is not None:
        low, high = (
            (used.interval.low, used.interval.high) if used.interval else (used.value, used.value)
        )
        return 1 - high, 1 - low
    if check.left_low is not None and check.left_high is not None:
        return check.left_low, check.left_high
    if check.way == "renewed":
        return anodes.RENEWED_LEFT
    return None


def _stretches(book: Book, story: PieceStory) -> list[Stretch]:
    if story.fitted is None:
        return []
    found: list[Stretch] = []
    begins, before = story.fitted, (1.0, 1.0)
    from_visit, mass = story.fitted_visit_id, story.mass_new_kg
    for check in story.checks:
        if check.left is None:
            continue
        wet = immersion(book, begins, check.when)
        if wet.days < 1:
            continue
        low = max(before[0] - check.left[1], 0.0)
        high = max(before[1] - check.left[0], 0.0)
        middle = (sum(before) - sum(check.left)) / 2
        scale = 365.25 / wet.days
        lost = mass - check.mass_kg if mass is not None and check.mass_kg is not None else None
        found.append(
            Stretch(
                story.piece_id,
                from_visit,
                check.visit_id,
                begins,
                check.when,
                wet,
                max(middle, 0.0) * scale,
                low * scale,
                high * scale,
                lost / wet.days if lost is not None else None,
                shore_of(book, begins, check.when),
                check.contact in ("loose", "none"),
                check.painted_over,
            )
        )
        begins, before, from_visit, mass = check.when, check.left, check.visit_id, check.mass_kg
    return found


def shore_of(book: Book, begins: PartialDate, ends: PartialDate) -> str:
    """Return what shore power most of the days between two dates had."""
    days: dict[str, float] = {}
    for berth in book.scalars(select(BerthPeriod).where(BerthPeriod.withdrawn.is_(False))):
        start = max(berth.begins.middle if berth.begins else begins.middle, begins.middle)
        end = min(berth.ends.middle if berth.ends else ends.middle, ends.middle)
        if end > start:
            length = (end - start) / timedelta(days=1)
            days[berth.shore_power] = days.get(berth.shore_power, 0.0) + length
    return max(days, key=lambda name: days[name]) if days else "unknown"


def _against_past(stretches: tuple[Stretch, ...]) -> tuple[float | None, str | None]:
    """Hold the last stretch against the earlier ones: ratio to their median, and unusual or not."""
    rates = [s.share_per_year for s in stretches if s.share_per_year > 0]
    if len(rates) < 2:
        return None, None
    *earlier, last = rates
    ratio = last / statistics.median(earlier)
    if len(earlier) < FEW_EARLIER:
        return ratio, None
    try:
        z = unusual(last, earlier).value
    except Refusal:
        return ratio, None
    return ratio, ("fast" if z > 2 else "slow" if z < -2 else None)


def _causes(
    book: Book,
    stretches: tuple[Stretch, ...],
    unusual: str | None,
    ratio: float | None,
    stories: tuple[PieceStory, ...],
) -> list[Cause]:
    """Return the recorded facts that can explain an unusual last stretch, the likelier first."""
    if unusual is None or ratio is None or len(stretches) < 2:
        return []
    last, before = stretches[-1], stretches[-2]
    found: list[Cause] = []
    if unusual == "fast":
        if last.shore == "plugged" and before.shore != "plugged":
            found.append(Cause("shore_power_began"))
        if last.shore == "plugged" and before.shore == "plugged":
            found.append(Cause("shore_power_without_isolator"))
    else:
        if last.shore == "plugged_with_isolator" and before.shore == "plugged":
            found.append(Cause("isolator_fitted"))
        if last.loose:
            found.append(Cause("loose_contact"))
        if last.painted_over:
            found.append(Cause("painted_over"))
    waters = _waters(book, last), _waters(book, before)
    if waters[0] != waters[1]:
        found.append(Cause("water_changed", (("before", waters[1]), ("now", waters[0]))))
    if stories and len({story.metal for story in stories[-2:]}) > 1:
        found.append(Cause("metal_changed"))
    return found or [Cause("nothing_on_record")]


def _waters(book: Book, stretch: Stretch) -> str:
    for berth in book.scalars(select(BerthPeriod).where(BerthPeriod.withdrawn.is_(False))):
        start = berth.begins.earliest if berth.begins else stretch.begins.earliest
        end = berth.ends.latest if berth.ends else stretch.ends.latest
        if start <= stretch.ends.middle <= end:
            return berth.water
    return "unknown"


def _forecast(
    stories: tuple[PieceStory, ...], stretches: tuple[Stretch, ...]
) -> tuple[Working | None, Working | None, tuple[datetime, datetime, datetime] | None]:
    """Return the mean current of the last weighed stretch, and when half of the piece is gone."""
    if not stories or not stretches:
        return None, None, None
    present, last = stories[-1], stretches[-1]
    current = None
    if last.mass_rate is not None and last.mass_rate >= 0:
        try:
            current = anodes.mean_current(
                last.mass_rate * last.immersed.days, last.immersed.days, present.metal
            )
        except Refusal:
            current = None
    half = _half_loss(present, stretches)
    if half is None or present.fitted is None:
        return current, half, None
    start = present.fitted.middle
    low, high = (
        (half.interval.low, half.interval.high) if half.interval else (half.value, half.value)
    )
    moments = [start + timedelta(days=min(days, 36500.0)) for days in (half.value, low, high)]
    return current, half, (moments[0], moments[1], moments[2])


def _half_loss(present: PieceStory, stretches: tuple[Stretch, ...]) -> Working | None:
    own = [s for s in stretches if s.piece_id == present.piece_id and s.share_per_year > 0]
    earlier = [
        s.share_per_year / 365.25
        for s in stretches
        if s.piece_id != present.piece_id and s.share_per_year > 0
    ]
    checks = [
        (c.immersed.days, 1 - sum(c.left) / 2) for c in present.checks if c.left and c.immersed
    ]
    try:
        return half_loss(checks if own else [], earlier)
    except Refusal:
        return None
