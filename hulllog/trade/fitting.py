"""Does the work fit a slot: washing, drying, preparing, coats and launch, placed hour by hour.

One pair of hands; a task once begun is finished before another begins, preparing may run over a
night, a coat may not.  What no rule forbids is tried in the order of what matters: full coats on
waterline and leading edges, coats elsewhere, days ashore.  Windows, air and bare metal overnight
are never traded for anything.
"""

from __future__ import annotations

import itertools
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, NamedTuple

from hulllog.trade.coathours import ENDLESS
from hulllog.trade.coatlaying import Laying
from hulllog.trade.plantelling import Leaf, Telling
from hulllog.trade.refusal import Refusal
from hulllog.trade.slotbounds import Bounds, Piece
from hulllog.trade.slotwork import Short, Task

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from hulllog.trade.slotwork import Area, Plan, Slot

MOST_TRIED = 60_000
"""So many beginnings of a plan are tried with care; after them few for each.  Our own rule."""
MOST_EACH, FEW_EACH = 30_000, 200
"""So many are tried for one number of coats on each area; few once ``MOST_TRIED`` are."""
_NEWS = 500


def _nothing(_done: int, _of: int) -> None:
    return None


def best_plan(
    slot: Slot, areas: Sequence[Area], progress: Callable[[int, int], object] = _nothing
) -> Plan:
    """Return the best plan for a slot.

    ``progress`` is told how many of at most how many beginnings were tried; what it raises ends
    the search.  Raises Refusal ``slot_too_short`` where not even washing and launch fit,
    ``out_of_range`` or ``row_twice``.  Source: our own rule.
    """
    search = _Search(Laying(slot, tuple(areas)), progress)
    best = search.best()
    if best is None:
        raise Refusal("slot_too_short")
    told = Telling(search.laying).told(best, proven=not search.cut)
    if len(areas) < 2:
        return told
    busy = tuple(dict.fromkeys(task.area for task in told.tasks if task.area))
    return replace(
        told, short=tuple(_held_by_others(slot, areas, one, busy, progress) for one in told.short)
    )


def _held_by_others(
    slot: Slot,
    areas: Sequence[Area],
    short: Short,
    busy: tuple[str, ...],
    progress: Callable[[int, int], object],
) -> Short:
    """Blame the other areas where this one by itself would get more, on whatever day."""
    if short.why == "hands":
        return short
    (own,) = (area for area in areas if area.code == short.area)
    if dict(best_plan(slot, [own], progress).coats)[own.code] <= short.got:
        return short
    others = tuple(code for code in busy if code != own.code)
    return Short(
        short.area, short.got, short.wanted, "hands", slot.lift, slot.launches[-1], others=others
    )


class _State(NamedTuple):
    """How far an area is: -1 untouched, 0 prepared, then coats; when it may go on, and until."""

    coats: int
    opens: int
    closes: int


class _Here(NamedTuple):
    """How far the work is: the hour, each area, whether the pads moved, when she may go back."""

    now: int
    states: tuple[_State, ...]
    moved: bool
    afloat: int
    until: int
    tasks: tuple[Task, ...]


@dataclass(slots=True)
class _Search:
    laying: Laying
    progress: Callable[[int, int], object]
    tried: int = 0
    cut: bool = False
    wash: Task | None = None
    _bounds: dict[int, Bounds] = field(default_factory=dict)

    def bounds(self, launches: list[int]) -> Bounds:
        """Return the bounds where she goes back at one of some hours of a day."""
        day = launches[0] // 24
        if day not in self._bounds:
            self._bounds[day] = Bounds(self.laying, launches)
        return self._bounds[day]

    @property
    def slot(self) -> Slot:
        """The slot."""
        return self.laying.slot

    @property
    def areas(self) -> tuple[Area, ...]:
        """The work."""
        return self.laying.areas

    def best(self) -> Leaf | None:
        wash = self.laying.run(self.slot.lift, self.slot.washing, yard=True)
        if wash is None or not self.slot.launches:
            return None
        self.wash = Task("wash", wash[0], wash[1])
        self.laying.washed = wash[1]
        choices = [self._possible(index) for index in range(len(self.areas))]
        kinds: dict[tuple[int, int], list[tuple[int, ...]]] = {}
        for counts in itertools.product(*choices):
            kinds.setdefault(self._worth(counts), []).append(counts)
        for worth in sorted(kinds, reverse=True):
            found = self._soonest(sorted(kinds[worth], reverse=True))
            if found is not None:
                return found
        return None

    def _worth(self, counts: Sequence[int]) -> tuple[int, int]:
        leading = sum(
            n * area.zones for n, area in zip(counts, self.areas, strict=True) if area.leading
        )
        everywhere = sum(n * area.zones for n, area in zip(counts, self.areas, strict=True))
        return leading, everywhere - leading

    def _soonest(self, wanted: list[tuple[int, ...]]) -> Leaf | None:
        """Return a plan with the fewest days ashore, of those worth the same."""
        days = sorted({hour // 24 for hour in self.slot.launches})
        for day in days:
            launches = [hour for hour in self.slot.launches if hour // 24 == day]
            found = [
                leaf
                for counts in wanted
                if (leaf := _Try(self, counts, launches).run()) is not None
            ]
            if found:
                return min(found, key=lambda leaf: (leaf.launch, _backwards(leaf.counts)))
        return None

    def _possible(self, index: int) -> list[int]:
        """Return the numbers of coats that the sheets say enough about, and that fit alone."""
        area, last = self.areas[index], self.slot.launches[-1]
        found = [0]
        for count in self.laying.told_by_sheets(area):
            if area.reach == "under":
                hung = any(
                    self.laying.hung([(index, count)], launch) for launch in self.slot.launches
                )
                fits = self.slot.hanging > 0 and hung
            else:
                fits = self.laying.alone(index, count, -1, self.laying.washed, ENDLESS) <= last
            if fits:
                found.append(count)
        return found


def _backwards(counts: tuple[int, ...]) -> tuple[int, ...]:
    return tuple(-count for count in counts)


@dataclass(slots=True)
class _Try:
    """Looks for a plan with so many coats on each area, launched at one of some hours."""

    search: _Search
    counts: tuple[int, ...]
    launches: list[int]
    _seen: set[tuple[int, tuple[_State, ...], bool, int, int]] = field(default_factory=set)
    _most: int = MOST_EACH
    bounds: Bounds = field(init=False)

    def __post_init__(self) -> None:
        self.bounds = self.search.bounds(self.launches)

    def run(self) -> Leaf | None:
        search = self.search
        self._most = MOST_EACH if search.tried < MOST_TRIED else FEW_EACH
        search.progress(min(search.tried, MOST_TRIED), MOST_TRIED)
        states = tuple(
            _State(0 if not area.removing + area.abrading else -1, search.laying.washed, ENDLESS)
            for area in search.areas
        )
        assert search.wash is not None
        begun = search.laying.washed
        return self._from(_Here(begun, states, False, 0, ENDLESS, (search.wash,)))

    def _wanted(self, index: int, state: _State) -> bool:
        asked = self.counts[index]
        return bool(asked) and self.search.areas[index].reach != "under" and state.coats < asked

    def _from(self, here: _Here) -> Leaf | None:
        search, now, states = self.search, here.now, here.states
        here = here._replace(afloat=max(here.afloat, now))
        key = self._as_good(here)
        if key in self._seen:
            return None
        if len(self._seen) >= self._most:
            search.cut = True
            return None
        self._seen.add(key)
        search.tried += 1
        if search.tried % _NEWS == 0:
            search.progress(min(search.tried, MOST_TRIED), MOST_TRIED)
        if not self._can(here):
            return None
        left = [index for index, state in enumerate(states) if self._wanted(index, state)]
        if not left:
            return self._launched(here)
        for index in left:
            found = self._begin(index, here)
            if found is not None:
                return found
        found = self._move_pads(here)
        if found is not None:
            return found
        later = next(
            (
                at
                for at in range(now + 1, min(self.launches[-1], len(search.slot.hours)))
                if search.slot.hours[at].yard and not search.slot.hours[at].wet
            ),
            None,
        )
        if later is None:
            return None
        return self._from(here._replace(now=later))

    def _as_good(self, here: _Here) -> tuple[int, tuple[_State, ...], bool, int, int]:
        """Return what tells a beginning from others that can be gone on with in the same ways."""
        now, states, moved, afloat, until, _tasks = here
        end = len(self.search.slot.hours)
        pads = not moved and any(
            area.reach == "pads" and count
            for area, count in zip(self.search.areas, self.counts, strict=True)
        )
        like = tuple(
            _State(state.coats, max(state.opens, now), min(state.closes, end))
            if pads or self._wanted(index, state)
            else _State(state.coats, 0, ENDLESS)
            for index, state in enumerate(states)
        )
        return now, like, moved, max(afloat, self.launches[0]), min(until, self.launches[-1])

    def _can(self, here: _Here) -> bool:
        """Tell whether each area by itself, and all of them in hours, could still be done."""
        now, states, moved, afloat, until, _tasks = here
        search, last = self.search, min(until, self.launches[-1])
        if max(afloat, now) > last or until < self.launches[0]:
            return False
        reached = now if moved else self._pads_from(now, states)
        by_hand = last - search.slot.hanging if self._hangs() else last
        pieces: list[Piece] = []
        for index, state in enumerate(states):
            if not self._wanted(index, state):
                continue
            late = search.areas[index].reach == "pads"
            opened = max(state.opens, reached if late else now)
            work = self.bounds.pieces(
                index, self.counts[index], state.coats, opened, state.closes, last
            )
            if work is None:
                return False
            pieces += work
        if search.slot.anodes:
            dry = max((one.begins + one.hours for one in pieces if one.coat), default=now)
            pieces.append(Piece(dry, by_hand, search.slot.anodes, coat=False))
        return self.bounds.hold(pieces, max(by_hand, 0))

    def _hangs(self) -> bool:
        areas = self.search.areas
        return any(n and area.reach == "under" for n, area in zip(self.counts, areas, strict=True))

    def _pads_from(self, now: int, states: tuple[_State, ...]) -> int:
        """Return an hour before which what is under the pads is not reached."""
        search, soonest = self.search, now
        if not any(
            area.reach == "pads" and self._wanted(index, states[index])
            for index, area in enumerate(search.areas)
        ):
            return now
        for index, (area, state) in enumerate(zip(search.areas, states, strict=True)):
            if area.reach != "open" or not self.counts[index]:
                continue
            borne = state.opens
            if self._wanted(index, state):
                opened, asked = max(state.opens, now), self.counts[index]
                borne = self.bounds.bears(index, asked, state.coats, opened, state.closes)
            soonest = max(soonest, borne)
        return soonest + search.slot.moving

    def _begin(self, index: int, here: _Here) -> Leaf | None:
        """Go on with an area at once, where that may be."""
        now, states, moved, afloat, until, tasks = here
        search, state = self.search, states[index]
        area = search.areas[index]
        if area.reach == "pads" and not moved:
            return None
        if state.coats < 0:
            return self._prepare(index, here)
        number = state.coats
        if not state.opens <= now <= state.closes:
            return None
        if number == 0 and not search.laying.first_coat_from(now):
            return None
        laid = search.laying.laid(index, number, now)
        if laid is None or (number == 0 and area.bares and laid.end > state.closes):
            return None
        done = Task("coat", now, laid.end, area.code, number + 1)
        if number + 1 == self.counts[index]:
            after = _State(number + 1, laid.bears, ENDLESS)
            afloat, until = max(afloat, laid.launch_opens), min(until, laid.launch_closes)
        else:
            after = _State(number + 1, laid.opens, laid.closes)
        states = _put(states, index, after)
        return self._from(_Here(laid.end, states, moved, afloat, until, (*tasks, done)))

    def _prepare(self, index: int, here: _Here) -> Leaf | None:
        search, area, now = self.search, self.search.areas[index], here.now
        if not search.slot.hours[now].hands:
            return None
        made, end = list(here.tasks), now
        for code, length in (("remove", area.removing), ("abrade", area.abrading)):
            if length:
                run = search.laying.run(end, length)
                if run is None:
                    return None
                made.append(Task(code, run[0], run[1], area.code))
                end = run[1]
        night = (now // 24 + 1) * 24
        if area.bares and end >= night:
            return None
        after = _State(0, end, night if area.bares else ENDLESS)
        states = _put(here.states, index, after)
        return self._from(here._replace(now=end, states=states, tasks=tuple(made)))

    def _move_pads(self, here: _Here) -> Leaf | None:
        """Let the yard move the pads, once what they come to stand on may bear a further coat."""
        search, now, states = self.search, here.now, here.states
        padded = [
            i
            for i, area in enumerate(search.areas)
            if area.reach == "pads" and self._wanted(i, states[i])
        ]
        if here.moved or not padded:
            return None
        at_hand = [i for i, area in enumerate(search.areas) if area.reach == "open"]
        if any(self._wanted(i, states[i]) for i in at_hand):
            return None
        ready = max((states[i].opens for i in at_hand if self.counts[i]), default=0)
        if ready > now or not search.slot.hours[now].yard or search.slot.hours[now].wet:
            return None
        run = search.laying.run(now, search.slot.moving, yard=True)
        if run is None:
            return None
        made = (*here.tasks, Task("pads_moved", run[0], run[1]))
        return self._from(here._replace(now=run[1], moved=True, tasks=made))

    def _launched(self, here: _Here) -> Leaf | None:
        search, now, tasks = self.search, here.now, here.tasks
        made, end = list(tasks), now
        if search.slot.anodes:
            dry = max((self._dry(task) for task in tasks if task.code == "coat"), default=now)
            run = search.laying.run(max(now, dry), search.slot.anodes)
            if run is None:
                return None
            made.append(Task("anodes", run[0], run[1]))
            end = run[1]
        for launch in self.launches:
            if max(end, here.afloat) <= launch <= here.until:
                hung = self._hung(end, launch)
                if hung is not None:
                    lift = Task("launch", launch, launch + 1)
                    return Leaf(launch, self.counts, (*made, *hung, lift))
        return None

    def _dry(self, task: Task) -> int:
        laid = self.search.laying.laid(self._index(task.area), task.number - 1, task.begins)
        assert laid is not None
        return laid.dry

    def _index(self, code: str) -> int:
        return next(i for i, area in enumerate(self.search.areas) if area.code == code)

    def _hung(self, end: int, launch: int) -> list[Task] | None:
        areas = self.search.areas
        wanted = [(i, self.counts[i]) for i, area in enumerate(areas) if area.reach == "under"]
        wanted = [(index, count) for index, count in wanted if count]
        if not wanted:
            return []
        if launch - self.search.slot.hanging < end:
            return None
        return self.search.laying.hung(wanted, launch)


def _put(states: tuple[_State, ...], index: int, state: _State) -> tuple[_State, ...]:
    return (*states[:index], state, *states[index + 1 :])
