"""Anodes by position: the pieces fitted, what looks at them showed, and when half is gone."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from sqlalchemy import select

from hulllog.insight.occasions import Afloat, Edge, Half, Immersion, ShoreSpan, afloat, up_to
from hulllog.insight.once import once_a_reading
from hulllog.insight.wear import Around, Judged, Stretch, judged, stretches
from hulllog.insight.wearcauses import Cause, OtherAnode, facts
from hulllog.records.model import (
    AnodeCheck,
    AnodePiece,
    AnodePosition,
    BerthPeriod,
    Limit,
    Visit,
)
from hulllog.records.operations.anodes import ANODE_LIMIT, limit_component
from hulllog.trade import anodes
from hulllog.trade.refusal import Refusal
from hulllog.trade.waters import Suitability, metal_in_water

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from datetime import datetime

    from hulllog.records.book import Book
    from hulllog.records.values import Measured, PartialDate, Where
    from hulllog.trade.working import Working

Seen = dict[str, tuple[Visit, frozenset[str]]]
"""Visit key -> the visit and the states of it that count at the edge, oldest first."""


@dataclass(frozen=True, slots=True)
class AnodeLimit:
    """The share gone at which an anode is renewed; half, as is common, where the owner set none.

    ``own`` says that it was set for this position and not for all.
    """

    share: float = anodes.HALF
    typed: Measured | None = None
    set_by: str | None = None
    own: bool = False

    @property
    def by_owner(self) -> bool:
        """Tell whether somebody set it."""
        return self.typed is not None


@dataclass(frozen=True, slots=True)
class CheckSeen:
    """One look at a piece.  ``left`` is the share left of what can be used, low and high.

    ``at_most`` says that the insert was never weighed, so that less may be left.
    """

    check_id: str
    visit_id: str
    when: PartialDate
    state: str
    way: str
    mass: Measured | None
    mass_kg: float | None
    left: tuple[float, float] | None
    at_most: bool
    used: Working | None
    contact: str | None
    painted_over: bool
    note: str | None
    immersed: Immersion | None
    """Since the piece was fitted."""


@dataclass(frozen=True, slots=True)
class Moved:
    """Whence a piece was moved, and what a look when it came off, or later, showed left of it."""

    piece_id: str
    position_id: str
    name: str
    left: tuple[float, float] | None
    mass_kg: float | None


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
    moved: Moved | None = None
    """Where it was fitted before; None for a new one."""

    @property
    def start(self) -> tuple[float, float] | None:
        """The share left when it was fitted here: all of it if new, None if moved and not known."""
        return (1.0, 1.0) if self.moved is None else self.moved.left

    @property
    def start_kg(self) -> float | None:
        """The mass when it was fitted here."""
        return self.mass_new_kg if self.moved is None else self.moved.mass_kg


@dataclass(frozen=True, slots=True)
class Mirror:
    """The position on the other side, and how many times as fast the wear here was.

    ``ratio`` is of the last stretch here over the one there in the same time; None where none fits.
    """

    position_id: str
    name: str
    ratio: Working | None


@dataclass(frozen=True, slots=True)
class PositionStory:
    """A position, its pieces, and its wear against its own past.

    ``half_date`` is the expected, earliest and latest moment at which the ``limit`` of the present
    piece is gone, half unless the owner set another; ``current`` the mean current of
    ``current_of``, the last stretch weighed at both ends.
    ``shore`` are the times with shore power on; ``shore_now`` what she has at the edge.
    """

    position_id: str
    name: str
    place: Where | None
    protects: tuple[str, ...]
    pieces: tuple[PieceStory, ...]
    judged: tuple[Judged, ...]
    current: Working | None
    current_of: Stretch | None
    half_loss: Working | None
    half_date: Half | None
    suits: Suitability | None
    shore: tuple[ShoreSpan, ...]
    shore_now: str
    half_day: Working | None = None
    """The days by the calendar from the fitting to ``half_date``."""
    limit: AnodeLimit = AnodeLimit()
    mirror_id: str | None = None
    mirror: Mirror | None = None

    @property
    def present(self) -> PieceStory | None:
        """The piece that is fitted at the edge; None where there is none."""
        last = self.pieces[-1] if self.pieces else None
        return None if last is None or last.removed else last

    @property
    def half_workings(self) -> tuple[Working, ...]:
        """The workings of ``half_date``: the immersed days, and the days by the calendar."""
        return tuple(one for one in (self.half_loss, self.half_day) if one is not None)

    @property
    def stretches(self) -> tuple[Stretch, ...]:
        """The wear from look to look, oldest first."""
        return tuple(item.stretch for item in self.judged)

    @property
    def ratio(self) -> float | None:
        """The last stretch's rate over the median of the earlier ones."""
        ratio = self.judged[-1].ratio if self.judged else None
        return None if ratio is None else ratio.value

    @property
    def unusual(self) -> str | None:
        """Whether the last stretch was unusually "fast" or "slow"; None for neither."""
        return self.judged[-1].unusual if self.judged else None

    @property
    def causes(self) -> tuple[Cause, ...]:
        """What on record may explain the last stretch, where it was unusual."""
        return self.judged[-1].causes if self.judged else ()


@once_a_reading
def positions(book: Book, edge: Edge | None = None) -> list[PositionStory]:
    """Return every anode position with its story up to the edge."""
    kept = select(AnodePosition).where(AnodePosition.withdrawn.is_(False))
    seen = {visit.id: (visit, states) for visit, states in up_to(book, edge)}
    records = _Records.read(book, seen, edge)
    known = [
        (position, _stories(position, records))
        for position in book.scalars(kept.order_by(AnodePosition.entered_at, AnodePosition.name))
    ]
    visits = {key: visit for key, (visit, _) in seen.items()}
    found = [
        _position(position, stories, records, Around(facts(book), _others(position, known), visits))
        for position, stories in known
    ]
    by_id = {story.position_id: story for story in found}
    return [_beside_mirror(story, by_id.get(story.mirror_id or ""), records) for story in found]


def _beside_mirror(
    story: PositionStory, other: PositionStory | None, records: _Records
) -> PositionStory:
    """Hold a position against its mirror, and take its wear where this one shows none yet."""
    if other is None:
        return story
    told = replace(story, mirror=Mirror(other.position_id, other.name, _against(story, other)))
    if story.half_loss is not None or story.present is None:
        return told
    rates = [rate for piece in other.pieces for rate in _mean_rate(piece)]
    try:
        half = anodes.half_loss((), rates, limit=story.limit.share)
    except Refusal:
        return told
    half = replace(half, cautions=(*half.cautions, "from_its_mirror"))
    half_date, half_day = _half_date(story.present, half, records.wet)
    return replace(told, half_loss=half, half_date=half_date, half_day=half_day)


def _against(story: PositionStory, other: PositionStory) -> Working | None:
    """Return how many times as fast the last stretch wore as the one of the mirror beside it."""
    if not story.judged:
        return None
    last = story.judged[-1].stretch
    beside = [item.stretch for item in other.judged if _same_time(last, item.stretch)]
    try:
        there = [one.rate.value for one in beside[-1:]]
        return anodes.against_past(last.rate.value, there, mirror=True)
    except Refusal:
        return None


def _same_time(one: Stretch, two: Stretch) -> bool:
    """Tell whether two stretches share at least half of the longer."""
    spans = [(one.begins.middle, one.ends.middle), (two.begins.middle, two.ends.middle)]
    shared = min(end for _, end in spans) - max(start for start, _ in spans)
    return 2 * shared >= max(end - start for start, end in spans)


@dataclass(frozen=True, slots=True)
class _Records:
    """What all positions are told from, read once.  ``until`` is the moment of the edge."""

    seen: Seen
    order: Mapping[str, int]
    wet: Afloat
    pieces: Mapping[str, Sequence[AnodePiece]]
    checks: Mapping[str, Sequence[AnodeCheck]]
    until: datetime | None
    limits: Mapping[str, AnodeLimit]
    by_id: Mapping[str, AnodePiece]
    names: Mapping[str, str]

    @classmethod
    def read(cls, book: Book, seen: Seen, edge: Edge | None) -> _Records:
        pieces: dict[str, list[AnodePiece]] = {}
        checks: dict[str, list[AnodeCheck]] = {}
        fitted = select(AnodePiece).where(AnodePiece.withdrawn.is_(False))
        for piece in book.scalars(fitted.order_by(AnodePiece.entered_at)):
            pieces.setdefault(piece.position_id, []).append(piece)
        looks = select(AnodeCheck).where(AnodeCheck.withdrawn.is_(False))
        for check in book.scalars(looks.order_by(AnodeCheck.entered_at)):
            checks.setdefault(check.piece_id, []).append(check)
        order = {visit_id: n for n, visit_id in enumerate(seen)}
        until = _until(seen, edge)
        by_id = {piece.id: piece for kept in pieces.values() for piece in kept}
        names: dict[str, str] = dict(
            book.execute(select(AnodePosition.id, AnodePosition.name)).all()
        )
        wet, limits = afloat(book), anode_limits(book)
        return cls(seen, order, wet, pieces, checks, until, limits, by_id, names)

    def limit(self, position_id: str) -> AnodeLimit:
        """Return the position's own limit, that of all anodes, or half."""
        own = self.limits.get(limit_component(position_id))
        return own or self.limits.get(ANODE_LIMIT[1]) or AnodeLimit()

    def counts(self, visit_id: str | None, state: str) -> bool:
        """Tell whether a state of a visit is seen from the edge."""
        return visit_id in self.seen and state in self.seen[visit_id][1]

    def passed(self, when: PartialDate | None) -> bool:
        """Tell whether a date lies before the edge."""
        return when is not None and (self.until is None or when.earliest <= self.until)

    def visit(self, visit_id: str | None) -> Visit | None:
        return self.seen[visit_id][0] if visit_id in self.seen else None


def _until(seen: Seen, edge: Edge | None) -> datetime | None:
    if edge is None or edge.visit_id not in seen:
        return None
    visit = seen[edge.visit_id][0]
    when = visit.ends if edge.state == "left" and visit.ends else visit.begins
    return when.latest if when else None


def _stories(position: AnodePosition, records: _Records) -> list[PieceStory]:
    pieces = [piece for piece in records.pieces.get(position.id, ()) if _fitted_by(piece, records)]
    return sorted((_piece(piece, records) for piece in pieces), key=_when_fitted)


def _others(
    position: AnodePosition, known: Sequence[tuple[AnodePosition, list[PieceStory]]]
) -> list[OtherAnode]:
    """Return the anodes at other positions that protect one of the same parts."""
    return [
        OtherAnode(
            other.name,
            tuple(
                (story.fitted.middle, story.removed.middle if story.removed else None)
                for story in stories
                if story.fitted
            ),
            frozenset(
                look.visit_id for story in stories for look in story.checks if _is_idle(look)
            ),
        )
        for other, stories in known
        if other.id != position.id and set(other.protects) & set(position.protects)
    ]


def _is_idle(look: CheckSeen) -> bool:
    gone = look.left is not None and look.left[1] <= anodes.EYE_LEFT["gone"][1]
    return gone or look.painted_over or look.contact in ("loose", "none")


def _position(
    position: AnodePosition,
    stories: Sequence[PieceStory],
    records: _Records,
    around: Around,
) -> PositionStory:
    found = [stretch for story in stories for stretch in stretches(story, records.wet)]
    wear = judged(found, around)
    present = stories[-1] if stories and stories[-1].removed is None else None
    current, current_of = _current(wear)
    limit = records.limit(position.id)
    half = _half_loss(present, stories, limit.share) if present else None
    half_date, half_day = _half_date(present, half, records.wet)
    return PositionStory(
        position.id,
        position.name,
        position.place,
        tuple(position.protects),
        tuple(stories),
        wear,
        current,
        current_of,
        half,
        half_date,
        _suits(present, records),
        records.wet.shore_spans(),
        _shore_now(records),
        half_day,
        limit,
        position.mirror_id,
    )


def _when_fitted(story: PieceStory) -> float:
    return story.fitted.middle.timestamp() if story.fitted else 0.0


def _fitted_by(piece: AnodePiece, records: _Records) -> bool:
    if piece.fitted_visit_id is not None:
        return records.counts(piece.fitted_visit_id, "during")
    return piece.fitted is None or records.passed(piece.fitted)


def fitted_on(piece: AnodePiece, visit: Visit | None) -> PartialDate | None:
    """Return when a piece was fitted: as typed, else the relaunch of its visit, for it then wears.

    While the visit has no end, its beginning.
    """
    return piece.fitted or ((visit.ends or visit.begins) if visit else None)


def _piece(piece: AnodePiece, records: _Records) -> PieceStory:
    fitted = fitted_on(piece, records.visit(piece.fitted_visit_id))
    return PieceStory(
        piece.id,
        piece.metal,
        piece.pattern,
        piece.mass_new.si if piece.mass_new else None,
        piece.mass_new_from,
        piece.insert_mass.si if piece.insert_mass else None,
        fitted,
        piece.fitted_visit_id,
        _removed(piece, records),
        _looks(piece, fitted, records),
        _moved(piece, records),
    )


def _moved(piece: AnodePiece, records: _Records) -> Moved | None:
    """Return whence a piece was moved; it wears in no locker, so the last look off counts."""
    old = records.by_id.get(piece.moved_from_id or "")
    if old is None:
        return None
    before = _piece(old, records)
    last = before.checks[-1] if before.checks else None
    left, mass = None, None
    if last is not None and (
        last.visit_id in (old.removed_visit_id, piece.fitted_visit_id)
        or (before.removed is not None and last.when.latest >= before.removed.earliest)
    ):
        left, mass = last.left, last.mass_kg
    return Moved(old.id, old.position_id, records.names.get(old.position_id, ""), left, mass)


def _removed(piece: AnodePiece, records: _Records) -> PartialDate | None:
    if piece.removed and records.passed(piece.removed):
        return piece.removed
    off = records.visit(piece.removed_visit_id)
    return off.begins if off and records.counts(piece.removed_visit_id, "during") else None


def _looks(
    piece: AnodePiece, fitted: PartialDate | None, records: _Records
) -> tuple[CheckSeen, ...]:
    kept = [
        check
        for check in records.checks.get(piece.id, ())
        if records.counts(check.visit_id, check.state)
    ]
    kept.sort(key=lambda check: (records.order[check.visit_id], _day(check)))
    seen = (_look(piece, check, fitted, records) for check in kept)
    return tuple(look for look in seen if look is not None)


def _day(check: AnodeCheck) -> float:
    return check.looked.earliest.timestamp() if check.looked else 0.0


def _look(
    piece: AnodePiece, check: AnodeCheck, fitted: PartialDate | None, records: _Records
) -> CheckSeen | None:
    when = check.looked or records.seen[check.visit_id][0].begins
    if when is None:
        return None
    used = _used(piece, check)
    return CheckSeen(
        check.id,
        check.visit_id,
        when,
        check.state,
        check.way,
        check.mass,
        check.mass.si if check.mass else None,
        _left(check, used),
        used is not None and check.mass is not None and piece.insert_mass is None,
        used,
        check.contact,
        check.painted_over,
        check.note,
        records.wet.immersed(fitted, when) if fitted else None,
    )


def _used(piece: AnodePiece, check: AnodeCheck) -> Working | None:
    if check.mass is None and check.way == "renewed" and check.left_low is None:
        return anodes.share_renewed()
    if piece.mass_new is None or check.mass is None:
        return None
    insert = piece.insert_mass.si if piece.insert_mass else None
    try:
        return anodes.share_used(piece.mass_new.si, check.mass.si, insert)
    except Refusal:
        return None


def _left(check: AnodeCheck, used: Working | None) -> tuple[float, float] | None:
    """Return the share left.

    Where the insert was never weighed, the figure from the masses stands for both bounds: as a
    share of the whole it is the same from look to look, and its caution says what it leaves open.
    """
    if used is not None:
        exact = used.interval is None or used.interval.kind == "at_least"
        low, high = (used.value, used.value) if exact else _bounds(used)
        return 1 - high, 1 - low
    if check.left_low is not None and check.left_high is not None:
        return check.left_low, check.left_high
    return None


def _bounds(working: Working) -> tuple[float, float]:
    if working.interval is None:
        return working.value, working.value
    return working.interval.low, working.interval.high


def _current(wear: Sequence[Judged]) -> tuple[Working | None, Stretch | None]:
    """Return the mean current of the last stretch that was weighed at both ends."""
    for item in reversed(wear):
        lost = item.stretch.mass_kg
        if lost is None or lost < 0:
            continue
        try:
            found = anodes.mean_current(lost, item.stretch.immersed.days, item.stretch.metal)
        except Refusal:
            continue
        return found, item.stretch
    return None, None


def anode_limits(book: Book) -> dict[str, AnodeLimit]:
    """Return component -> the limit that was set last for it; one by position, one for all."""
    kind, component = ANODE_LIMIT
    kept = select(Limit).where(Limit.kind == kind, Limit.withdrawn.is_(False))
    return {
        one.component: AnodeLimit(one.value.si, one.value, one.set_by, one.component != component)
        for one in book.scalars(kept.order_by(Limit.entered_at))
        if one.value and 0 < one.value.si < 1
    }


def _half_loss(
    present: PieceStory, stories: Sequence[PieceStory], limit: float = anodes.HALF
) -> Working | None:
    """Return the immersed days from fitting to the limit, by this piece and those before it."""
    begun = _gone_before(present)
    if begun is None or begun >= limit:
        return None
    limit = limit - begun
    checks = [_loss(present, look) for look in present.checks if _tells(look)]
    earlier = [rate for story in stories if story is not present for rate in _mean_rate(story)]
    try:
        found = anodes.half_loss(checks, earlier, limit=limit)
    except Refusal:
        return None
    blind = any(look.at_most for item in (present, *stories) for look in item.checks)
    return replace(found, cautions=(*found.cautions, "insert_unknown")) if blind else found


SCALE_ERROR = 0.005
"""Standard error in kg of one weighing, clean and dry.  Our own rule."""
_ALL_AFLOAT = 0.9
"""Share of the time afloat from which the wear is held against the time of the year."""


def _gone_before(story: PieceStory) -> float | None:
    """Return the share that was gone when a piece was fitted here; None where nobody looked."""
    return None if story.start is None else 1 - sum(story.start) / 2


def _tells(look: CheckSeen) -> bool:
    return look.left is not None and look.immersed is not None and look.immersed.days >= 1


def _loss(story: PieceStory, look: CheckSeen) -> anodes.Loss:
    """Return what a look tells, with its error: that of two weighings, or of an eye."""
    assert look.left is not None
    assert look.immersed is not None
    low, high = look.left
    by_eye = look.mass_kg is None or story.mass_new_kg is None
    if story.mass_new_kg is None or by_eye:
        error = (high - low) / 12.0**0.5
    else:
        error = 2.0**0.5 * SCALE_ERROR / (story.mass_new_kg - (story.insert_kg or 0.0))
    share = 1 - (low + high) / 2 - (_gone_before(story) or 0.0)
    return anodes.Loss(look.immersed.days, share, error, by_eye, _begun(story, look))


def _begun(story: PieceStory, look: CheckSeen) -> float | None:
    """Return the day of fitting by the calendar; None where she lay ashore for part of the time."""
    if story.fitted is None or look.immersed is None:
        return None
    passed = (look.when.middle - story.fitted.middle).total_seconds() / 86400
    afloat_all = look.immersed.days >= _ALL_AFLOAT * passed
    return story.fitted.middle.timestamp() / 86400 if afloat_all else None


def _mean_rate(story: PieceStory) -> list[anodes.Rate]:
    """Return the mean wear of a piece by immersed day at its last look, if it showed any."""
    for look in reversed(story.checks if story.start is not None else ()):
        if _tells(look):
            loss = _loss(story, look)
            if loss.share <= 0:
                return []
            error = min(loss.error / loss.share, 1.0)
            rate = loss.share / loss.days
            return [anodes.Rate(rate, error, loss.by_eye, loss.days, loss.begun)]
    return []


def _half_date(
    present: PieceStory | None, half: Working | None, wet: Afloat
) -> tuple[Half, Working] | tuple[None, None]:
    if present is None or present.fitted is None or half is None:
        return None, None
    return wet.half_day(present.fitted, half)


def suits(book: Book, metal: str, edge: Edge | None = None) -> Suitability:
    """Return how an anode metal suits the water in which she lies at the edge, with reasons."""
    seen = {visit.id: (visit, states) for visit, states in up_to(book, edge)}
    berth = _berth_at(afloat(book), _until(seen, edge))
    return metal_in_water(metal, berth.water if berth else "unknown")


def _suits(present: PieceStory | None, records: _Records) -> Suitability | None:
    """Return how the metal of the present piece suits the water in which she lies."""
    if present is None:
        return None
    berth = _berth_now(records)
    return metal_in_water(present.metal, berth.water if berth else "unknown")


def _shore_now(records: _Records) -> str:
    berth = _berth_now(records)
    return berth.shore_power if berth else "unknown"


def _berth_now(records: _Records) -> BerthPeriod | None:
    return _berth_at(records.wet, records.until)


def _berth_at(wet: Afloat, until: datetime | None) -> BerthPeriod | None:
    """Return the berth at a moment, or the one before it; the newest for None."""
    begun = [berth for first, _, berth in wet.berths if until is None or first <= until]
    return begun[-1] if begun else None
