"""The wear of anodes from look to look, held against the same place's own past, with why."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from hulllog.insight.wearcauses import Cause, causes
from hulllog.trade import anodes
from hulllog.trade.refusal import Refusal

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from datetime import datetime

    from hulllog.insight.anodes import PieceStory
    from hulllog.insight.occasions import Afloat, Immersion
    from hulllog.insight.wearcauses import Fact, OtherAnode
    from hulllog.records.model import Visit
    from hulllog.records.values import PartialDate
    from hulllog.trade.working import Working

FEW_EARLIER = 3
"""Earlier stretches needed before a stretch is called unusual.  Our own rule."""
_EVEN = 12.0**0.5
"""Width of an interval over the standard deviation of a value that may lie anywhere in it."""


@dataclass(frozen=True, slots=True)
class Stretch:
    """The wear of a piece between two looks.

    ``rate`` is in % of it a year immersed, with bounds where the looks leave it open.  ``shore`` is
    none, plugged, plugged_with_isolator or unknown: what most of the days had.  ``mass_kg`` is what
    was lost where both ends were weighed.
    """

    piece_id: str
    metal: str
    from_visit_id: str | None
    to_visit_id: str
    begins: PartialDate
    ends: PartialDate
    immersed: Immersion
    rate: Working
    mass_kg: float | None
    shore: str
    water: str
    loose: bool
    painted_over: bool
    location: str = ""

    @property
    def share_per_year(self) -> float:
        """Share of the piece that wore in a year immersed; never below nought."""
        return max(self.rate.value, 0.0) / 100

    @property
    def share_low(self) -> float:
        """Lower bound of ``share_per_year``."""
        return self.share_per_year if self.rate.interval is None else self.rate.interval.low / 100

    @property
    def share_high(self) -> float:
        """Upper bound of ``share_per_year``."""
        return self.share_per_year if self.rate.interval is None else self.rate.interval.high / 100


@dataclass(frozen=True, slots=True)
class Judged:
    """A stretch against the earlier ones in the same place.

    ``ratio`` is its rate over their median.  ``unusual`` is None, "fast" or "slow": by our own rule
    when |z| > UNUSUAL_Z on the logarithm, and never with fewer than FEW_EARLIER of them.
    """

    stretch: Stretch
    ratio: Working | None = None
    z: Working | None = None
    unusual: str | None = None
    causes: tuple[Cause, ...] = ()


def stretches(story: PieceStory, wet: Afloat) -> list[Stretch]:
    """Return the wear of a piece from fitting to its first look, and from look to look."""
    if story.fitted is None:
        return []
    found: list[Stretch] = []
    begins, before = story.fitted, story.start
    from_visit, mass = story.fitted_visit_id, story.start_kg
    for check in story.checks:
        if check.left is None:
            continue
        if before is None:
            begins, before, from_visit, mass = check.when, check.left, check.visit_id, check.mass_kg
            continue
        immersed = wet.immersed(begins, check.when)
        if immersed.days < 1:
            continue
        gone = (sum(before) - sum(check.left)) / 2
        low, high = before[0] - check.left[1], before[1] - check.left[0]
        try:
            rate = anodes.yearly_share(gone, immersed.days, max(low, 0.0), max(high, 0.0))
        except Refusal:
            continue
        lost = mass - check.mass_kg if mass is not None and check.mass_kg is not None else None
        found.append(
            Stretch(
                story.piece_id,
                story.metal,
                from_visit,
                check.visit_id,
                begins,
                check.when,
                immersed,
                rate,
                lost,
                wet.shore_power(begins, check.when),
                wet.water_at(begins.middle + (check.when.middle - begins.middle) / 2),
                check.contact in ("loose", "none"),
                check.painted_over,
                _lay(wet, begins, check.when),
            )
        )
        begins, before, from_visit, mass = check.when, check.left, check.visit_id, check.mass_kg
    return found


def _lay(wet: Afloat, begins: PartialDate, ends: PartialDate) -> str:
    """Return where she lay in the middle of a stretch; empty where that is not on record."""
    berth = wet.berth_at(begins.middle + (ends.middle - begins.middle) / 2)
    return berth.location if berth else ""


@dataclass(frozen=True, slots=True)
class Around:
    """What else is on record that may explain the wear at one position."""

    facts: Sequence[Fact] = ()
    others: Sequence[OtherAnode] = ()
    visits: Mapping[str, Visit] | None = None


def judged(found: Sequence[Stretch], around: Around | None = None) -> tuple[Judged, ...]:
    """Hold every stretch against those before it."""
    around = around or Around()
    return tuple(_judge(found[: number + 1], around) for number in range(len(found)))


def _judge(found: Sequence[Stretch], around: Around) -> Judged:
    *before, last = found
    earlier = [stretch.rate.value for stretch in before if stretch.rate.value > 0]
    try:
        ratio = anodes.against_past(last.rate.value, earlier)
    except Refusal:
        return Judged(last)
    if len(earlier) < FEW_EARLIER:
        return Judged(last, ratio)
    try:
        z = anodes.unusual(last.rate.value, earlier, _error(last))
    except Refusal:
        return Judged(last, ratio)
    limit = anodes.UNUSUAL_Z
    unusual = "fast" if z.value > limit else "slow" if z.value < -limit else None
    if unusual is None:
        return Judged(last, ratio, z)
    why = causes(last, before, unusual, around.facts, around.others, around.visits)
    return Judged(last, ratio, z, unusual, tuple(why))


def _error(stretch: Stretch) -> float:
    """Return the relative error of a rate: that of the sums, or wider where the look was by eye."""
    wide = stretch.rate.interval
    spread = (wide.high - wide.low) / _EVEN / stretch.rate.value if wide else 0.0
    return min(max(anodes.RATE_ERROR, spread), 1.0)


def passed(half_date: tuple[datetime, datetime, datetime], now: datetime) -> str:
    """Tell how an estimate lies to ``now``: "ahead", "likely" while its interval runs, "past"."""
    expected, _, latest = half_date
    if expected >= now:
        return "ahead"
    return "past" if latest < now else "likely"
