"""Haul-outs that a photo roll speaks of: pictures put together by the days they were taken."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from hulllog.insight.occasions import OUT_OF_WATER, visits

if TYPE_CHECKING:
    from hulllog.records.book import Book
    from hulllog.records.model import Visit
    from hulllog.records.roll import Shot
    from hulllog.records.values import PartialDate

GAP_DAYS = 10
"""Days between two pictures up to which they are of one haul-out.  Our own rule."""
NEAR_BITS = 6
"""Bits of likeness in which two pictures differ at most that look nearly the same, and seconds
between them.  Our own rule."""
NEAR_SECONDS = 20
RESET_MINUTES = 60
"""Minutes after the beginning of a year in which a picture speaks of a clock that was set back to
its start rather than of the day.  Our own rule."""
TILES = 4


@dataclass(frozen=True, slots=True)
class Group:
    """Pictures of one proposed haul-out, or of a visit on record, in the order of capture."""

    first: date
    last: date
    shots: tuple[Shot, ...]
    visit_id: str | None = None
    begins: PartialDate | None = None
    ends: PartialDate | None = None
    yard: str | None = None

    @property
    def tiles(self) -> tuple[Shot, ...]:
        """The few pictures that are shown, spread over all of them."""
        count = len(self.shots)
        if count <= TILES:
            return self.shots
        return tuple(self.shots[n * (count - 1) // (TILES - 1)] for n in range(TILES))

    @property
    def out(self) -> str:
        """When she was lifted, as far as pictures can tell, as it would be typed."""
        return f"about {self.first.isoformat()}"

    @property
    def back(self) -> str:
        """When she was relaunched; blank where all pictures are of one day."""
        return "" if self.last == self.first else f"about {self.last.isoformat()}"


@dataclass(frozen=True, slots=True)
class Sorting:
    """A roll in order: proposed haul-outs, pictures inside visits on record, and the rest.

    ``near`` and ``doubtful`` are what the owner is asked about, whatever was answered.
    """

    new: tuple[Group, ...]
    inside: tuple[Group, ...]
    undated: tuple[Shot, ...]
    near: tuple[Shot, ...]
    doubtful: tuple[Shot, ...]
    on_record: tuple[Shot, ...]


def sort_roll(
    book: Book,
    shots: Sequence[Shot],
    now: datetime,
    *,
    keep_near: bool = True,
    trust_doubtful: bool = False,
) -> Sorting:
    """Put a roll in order.

    ``keep_near`` keeps pictures that look nearly like the one before them; ``trust_doubtful`` takes
    days for true that a program wrote, that a clock set back tells, or that lie ahead.
    """
    on_record = [shot for shot in shots if shot.visit_id is not None]
    free = [shot for shot in shots if shot.visit_id is None]
    dated = sorted(
        (shot for shot in free if shot.taken is not None), key=lambda one: (one.taken, one.file)
    )
    near = _near(dated)
    doubtful = [shot for shot in dated if _is_doubtful(shot, now)]
    out = {shot.sha256 for shot in (() if keep_near else near)}
    out |= {shot.sha256 for shot in (() if trust_doubtful else doubtful)}
    left = [shot for shot in dated if shot.sha256 not in out]
    undated = [shot for shot in free if shot.taken is None]
    inside, outside = _by_visit(book, left, now)
    return Sorting(
        tuple(_groups(outside)),
        tuple(inside),
        (*undated, *([] if trust_doubtful else doubtful)),
        tuple(near),
        tuple(doubtful),
        tuple(on_record),
    )


def _day(shot: Shot) -> date:
    assert shot.taken is not None
    return shot.taken.date()


def _near(dated: Sequence[Shot]) -> list[Shot]:
    """Return the pictures that look nearly like one that was taken just before and is kept."""
    found: list[Shot] = []
    kept: Shot | None = None
    for shot in dated:
        if kept is not None and _look_alike(kept, shot):
            found.append(shot)
        else:
            kept = shot
    return found


def _look_alike(one: Shot, other: Shot) -> bool:
    if one.taken is None or other.taken is None:
        return False
    apart = abs((other.taken - one.taken).total_seconds())
    if apart > NEAR_SECONDS or one.look is None or other.look is None:
        return False
    return (one.look ^ other.look).bit_count() <= NEAR_BITS


def _is_doubtful(shot: Shot, now: datetime) -> bool:
    assert shot.taken is not None
    start = datetime(shot.taken.year, 1, 1)  # noqa: DTZ001 - a camera's clock has no zone
    reset = shot.taken - start < timedelta(minutes=RESET_MINUTES)
    return shot.origin != "camera" or reset or _day(shot) > now.date() + timedelta(days=1)


def _groups(shots: Sequence[Shot]) -> list[Group]:
    runs: list[list[Shot]] = []
    for shot in shots:
        if runs and (_day(shot) - _day(runs[-1][-1])).days <= GAP_DAYS:
            runs[-1].append(shot)
        else:
            runs.append([shot])
    return [Group(_day(run[0]), _day(run[-1]), tuple(run)) for run in runs]


def _by_visit(book: Book, shots: Sequence[Shot], now: datetime) -> tuple[list[Group], list[Shot]]:
    """Part the pictures that were taken during a visit on record from the others."""
    stays = [
        (visit, *_days(visit, now))
        for visit in visits(book)
        if visit.kind in OUT_OF_WATER and visit.begins is not None
    ]
    of_visit: dict[str, list[Shot]] = {}
    outside: list[Shot] = []
    for shot in shots:
        around = [stay for stay in stays if stay[1] <= _day(shot) <= stay[2]]
        if around:
            # The one whose dates are known best.
            best = min(around, key=lambda stay: stay[2] - stay[1])
            of_visit.setdefault(best[0].id, []).append(shot)
        else:
            outside.append(shot)
    found = [
        Group(
            _day(taken[0]), _day(taken[-1]), tuple(taken), visit.id, visit.begins, visit.ends,
            visit.yard,
        )
        for visit, _, _ in stays
        if (taken := of_visit.get(visit.id))
    ]  # fmt: skip
    return found, outside


def _days(visit: Visit, now: datetime) -> tuple[date, date]:
    assert visit.begins is not None
    zone = ZoneInfo(visit.time_zone)
    until = visit.ends or visit.begins
    end = now if visit.ends is None and visit.closed_at is None else until.latest
    return visit.begins.earliest.astimezone(zone).date(), end.astimezone(zone).date()
