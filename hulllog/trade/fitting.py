"""Does the work fit a slot: washing, drying, preparing, coats and launch, placed hour by hour.

One pair of hands; a task once begun is finished before another begins, preparing may run over a
night, a coat may not.  What no rule forbids is tried in the order of what matters: full coats on
waterline and leading edges, coats elsewhere, days ashore.  Windows, air and bare metal overnight
are never traded for anything.
"""

from __future__ import annotations

import itertools
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Literal, NamedTuple

from hulllog.trade.coathours import ENDLESS, closes, opens
from hulllog.trade.refusal import Refusal
from hulllog.trade.slothours import air_allows

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence

    from hulllog.trade.slothours import Hour
    from hulllog.trade.windows import WindowRow
    from hulllog.trade.working import Working

Reach = Literal["open", "pads", "under"]
"""open: at hand.  pads: under props, reached when the yard has moved them.  under: the keel's
underside, reached only while she hangs."""
Step = Literal["touch_dry", "next_coat", "launch"]
MOST_TRIED = 60_000
"""So many beginnings of a plan are tried with care; after them few for each.  Our own rule."""
MOST_EACH, FEW_EACH = 12_000, 200
"""So many are tried for one number of coats on each area; few once ``MOST_TRIED`` are."""
_NEWS = 500


class Coat(NamedTuple):
    """One coat: its paint, the hours it takes, and the rows of the sheet that bear upon it.

    ``next_coat`` are the rows for what goes over it here.  No rows: the sheet is not on record.
    """

    paint: str
    hours: int
    touch_dry: tuple[WindowRow, ...] = ()
    next_coat: tuple[WindowRow, ...] = ()
    launch: tuple[WindowRow, ...] = ()


@dataclass(frozen=True, slots=True)
class Area:
    """Zones that get the same: what is taken off, abraded and put on, in hours of one person."""

    code: str
    coats: tuple[Coat, ...]
    removing: int = 0
    abrading: int = 0
    bares: bool = False
    """Whether removing lays metal bare."""
    leading: bool = False
    """Whether it is waterline or a leading edge."""
    reach: Reach = "open"
    zones: int = 1


@dataclass(frozen=True, slots=True)
class Slot:
    """The hours from lift to the last possible launch, and what the yard's own tasks take."""

    hours: tuple[Hour, ...]
    lift: int
    launches: tuple[int, ...]
    """The hours at which she may go back, in order."""
    washing: int = 1
    drying: int = 0
    anodes: int = 0
    moving: int = 1
    """Hours that the yard takes to move the pads."""
    hanging: int = 0
    """Hours that the yard lets her hang before launch."""


@dataclass(frozen=True, slots=True)
class Task:
    """A task of the plan; ``number`` counts the coats of an area."""

    code: str
    begins: int
    ends: int
    area: str = ""
    number: int = 0


@dataclass(frozen=True, slots=True)
class Bracket:
    """A window that the plan keeps: for which coat, from when to when, and the sums that say so."""

    step: Step
    area: str
    number: int
    begins: int
    ends: int | None
    used: int
    """The hour at which the plan uses it."""
    shortest: Working
    longest: Working | None


@dataclass(frozen=True, slots=True)
class Unknown:
    """What no data sheet on record says, so that nothing can be promised."""

    area: str
    number: int
    paint: str
    step: Step


@dataclass(frozen=True, slots=True)
class Short:
    """Coats that an area does not get, and what stands against the next one.

    ``begins`` and ``ends`` are the hours in question; ``window`` the sum that meets them.
    """

    area: str
    got: int
    wanted: int
    why: str
    begins: int
    ends: int
    window: Working | None = None


@dataclass(frozen=True, slots=True)
class Plan:
    """The best that fits.  ``proven`` says whether every other was ruled out."""

    tasks: tuple[Task, ...]
    brackets: tuple[Bracket, ...]
    coats: tuple[tuple[str, int], ...]
    launch: int
    short: tuple[Short, ...]
    unknown: tuple[Unknown, ...]
    proven: bool

    @property
    def fits(self) -> bool:
        """Whether all that was asked for is in it."""
        return not self.short


class Laid(NamedTuple):
    """A coat that begins at an hour: when it ends, is touch-dry, and opens and shuts to others."""

    end: int
    dry: int
    opens: int
    closes: int
    launch_opens: int
    launch_closes: int


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
    search = _Search(slot, tuple(areas), progress)
    best = search.best()
    if best is None:
        raise Refusal("slot_too_short")
    return search.told(best)


class _State(NamedTuple):
    """How far an area is: -1 untouched, 0 prepared, then coats; when it may go on, and until."""

    coats: int
    opens: int
    closes: int


class _Leaf(NamedTuple):
    launch: int
    counts: tuple[int, ...]
    tasks: tuple[Task, ...]


@dataclass(slots=True)
class _Search:
    slot: Slot
    areas: tuple[Area, ...]
    progress: Callable[[int, int], object]
    tried: int = 0
    cut: bool = False
    _laid: dict[tuple[int, int, int], Laid | None] = field(default_factory=dict)
    _chain: dict[tuple[int, int, int], list[int]] = field(default_factory=dict)
    _hands: list[int] = field(default_factory=list)
    washed: int = 0
    wash: Task | None = None

    # What holds for every plan

    def best(self) -> _Leaf | None:
        wash = self.run(self.slot.lift, self.slot.washing, yard=True)
        if wash is None or not self.slot.launches:
            return None
        self.wash = Task("wash", wash[0], wash[1])
        self.washed = wash[1]
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

    def _soonest(self, wanted: list[tuple[int, ...]]) -> _Leaf | None:
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
        for count in self._told_by_sheets(area):
            if area.reach == "under":
                hung = any(self.hung([(index, count)], launch) for launch in self.slot.launches)
                fits = self.slot.hanging > 0 and hung
            else:
                fits = self.alone(index, count, -1, self.washed, ENDLESS) <= last
            if fits:
                found.append(count)
        return found

    def hung(self, wanted: Sequence[tuple[int, int]], launch: int) -> list[Task] | None:
        """Place the coats of undersides while she hangs; None where they do not fit there.

        ``wanted`` are areas and how many coats.  Nothing else is done meanwhile: nobody is below.
        """
        begins = launch - self.slot.hanging
        hours = self.slot.hours[max(begins, 0) : launch]
        if begins < self.washed or not all(hour.yard and not hour.wet for hour in hours):
            return None
        now, made = begins, [Task("hanging", begins, launch)]
        for index, count in wanted:
            opened, closed = begins, launch
            for number in range(count):
                found = self._laid_between(index, number, max(now, opened), min(closed, launch))
                if found is None or found[1].end > launch:
                    return None
                start, laid = found
                made.append(Task("coat", start, laid.end, self.areas[index].code, number + 1))
                now, opened, closed = laid.end, laid.opens, laid.closes
                ready = laid.launch_opens <= launch <= laid.launch_closes
                if number + 1 == count and not ready:
                    return None
        return made

    def _laid_between(
        self, index: int, number: int, first: int, last: int
    ) -> tuple[int, Laid] | None:
        for at in range(first, last + 1):
            laid = self.laid(index, number, at) if at < len(self.slot.hours) else None
            if laid is not None:
                return at, laid
        return None

    # Hours

    def hands_between(self, first: int, last: int) -> int:
        """Return how many hours of work by hand lie from one hour to before another."""
        if not self._hands:
            self._hands = [0, *itertools.accumulate(hour.hands for hour in self.slot.hours)]
        return self._hands[last] - self._hands[first]

    def run(
        self, start: int, length: int, *, yard: bool = False, until: int | None = None
    ) -> tuple[int, int] | None:
        """Return from when to when so many hours of work lie, over nights if need be."""
        left, begun = length, -1
        hours = self.slot.hours
        if not length:
            return start, start
        for at in range(start, min(len(hours), ENDLESS if until is None else until)):
            open_ = (hours[at].yard and not hours[at].wet) if yard else hours[at].hands
            if open_:
                begun = at if begun < 0 else begun
                left -= 1
                if not left:
                    return begun, at + 1
        return None

    def first_coat_from(self, start: int) -> bool:
        """Tell whether the skin has dried since the wash and since it was last in the tide."""
        since = self.slot.hours[max(start - self.slot.drying, 0) : start]
        return start >= self.washed + self.slot.drying and not any(hour.wet for hour in since)

    def laid(self, index: int, number: int, start: int) -> Laid | None:
        """Return what comes of a coat (from 0) that begins at an hour; None where it may not."""
        key = (index, number, start)
        if key not in self._laid:
            self._laid[key] = self._lay(self.areas[index].coats[number], start)
        return self._laid[key]

    def _lay(self, coat: Coat, start: int) -> Laid | None:
        hours = self.slot.hours
        end = start + coat.hours
        if end > len(hours) or not all(hour.hands for hour in hours[start:end]):
            return None
        if not coat.touch_dry or (dry := opens(hours, coat.touch_dry, end)) is None:
            return None
        lying = hours[start : dry.at]
        if any(hour.wet or not air_allows(hour) for hour in lying):
            return None
        tide = next((at for at in range(end, len(hours)) if hours[at].wet), ENDLESS)
        next_opens = opens(hours, coat.next_coat, end) if coat.next_coat else None
        next_closes = closes(hours, coat.next_coat, end).at if coat.next_coat else -1
        afloat = opens(hours, coat.launch, end) if coat.launch else None
        afloat_until = closes(hours, coat.launch, end).at if coat.launch else -1
        # The tide is as good as a launch: a coat must be ready for it, and nothing goes over it.
        ready = afloat.at if afloat is not None and afloat.at <= tide else ENDLESS
        return Laid(
            end,
            dry.at,
            max(next_opens.at, dry.at) if next_opens else ENDLESS,
            min(next_closes, tide - 1),
            max(ready, dry.at),
            afloat_until,
        )

    # Bounds

    def alone(self, index: int, count: int, done: int, opened: int, closed: int) -> int:
        """Return the soonest launch hour that one area by itself would allow."""
        area = self.areas[index]
        if done >= count:
            return 0
        if done < 0:
            prepared = self.run(opened, area.removing + area.abrading)
            if prepared is None:
                return ENDLESS
            opened, done = prepared[1], 0
        times = self._times(index, count, done)
        found = times[max(opened, 0) : min(closed, len(times) - 1) + 1]
        return min(found, default=ENDLESS)

    def _times(self, index: int, count: int, number: int) -> list[int]:
        """Return, for each hour that a coat could begin at, the soonest launch hour after it."""
        key = (index, count, number)
        if key in self._chain:
            return self._chain[key]
        found = []
        for start in range(len(self.slot.hours)):
            laid = self.laid(index, number, start)
            if laid is None or (number == 0 and not self.first_coat_from(start)):
                found.append(ENDLESS)
            elif number + 1 == count:
                inside = laid.launch_opens <= laid.launch_closes
                found.append(laid.launch_opens if inside else ENDLESS)
            else:
                after = self._times(index, count, number + 1)
                open_ = after[min(laid.opens, len(after)) : min(laid.closes, len(after) - 1) + 1]
                found.append(min(open_, default=ENDLESS))
        self._chain[key] = found
        return found

    # What the plan tells

    def told(self, leaf: _Leaf) -> Plan:
        """Return the plan with its windows, what is short, and what no sheet says."""
        tasks = tuple(sorted(leaf.tasks, key=lambda one: (one.begins, one.ends, one.area)))
        unknown = tuple(self._unknown())
        short = [
            self._short(index, count, leaf)
            for index, count in enumerate(leaf.counts)
            if count < len(self.areas[index].coats)
        ]
        return Plan(
            tasks,
            tuple(self._brackets(leaf)),
            tuple(zip((area.code for area in self.areas), leaf.counts, strict=True)),
            leaf.launch,
            tuple(short),
            unknown,
            not self.cut,
        )

    def _unknown(self) -> Iterator[Unknown]:
        for area in self.areas:
            for number, coat in enumerate(area.coats, 1):
                last = number == len(area.coats)
                if not coat.touch_dry:
                    yield Unknown(area.code, number, coat.paint, "touch_dry")
                if not last and not coat.next_coat:
                    yield Unknown(area.code, number, coat.paint, "next_coat")
                if last and not coat.launch:
                    yield Unknown(area.code, number, coat.paint, "launch")

    def _coats(self, leaf: _Leaf, area: Area) -> list[Task]:
        found = [one for one in leaf.tasks if one.code == "coat" and one.area == area.code]
        return sorted(found, key=lambda one: one.number)

    def _brackets(self, leaf: _Leaf) -> Iterator[Bracket]:
        hours = self.slot.hours
        for area in self.areas:
            done = self._coats(leaf, area)
            for task, after in itertools.zip_longest(done, done[1:]):
                coat = area.coats[task.number - 1]
                rows = coat.launch if after is None else coat.next_coat
                used = leaf.launch if after is None else after.begins
                opened, closed = opens(hours, rows, task.ends), closes(hours, rows, task.ends)
                assert opened is not None
                yield Bracket(
                    "launch" if after is None else "next_coat",
                    area.code,
                    task.number,
                    opened.at,
                    None if closed.longest is None else closed.at,
                    used,
                    opened.shortest,
                    closed.longest,
                )

    def _short(self, index: int, count: int, leaf: _Leaf) -> Short:
        area = self.areas[index]
        done = self._coats(leaf, area)
        met = self._against(index, count, done[-1].ends if done else None)
        return Short(area.code, count, len(area.coats), *met)

    def _against(self, index: int, count: int, ended: int | None) -> _Met:
        """Say what stands against further coats on an area: a code, the hours, and the window."""
        area, last = self.areas[index], self.slot.launches[-1]
        start = self.washed + self.slot.drying if ended is None else ended
        if area.reach == "under" and not self.slot.hanging:
            return _Met("underside", start, last)
        target = next((n for n in self._told_by_sheets(area) if n > count), None)
        if target is None:
            return _Met("sheet", start, last)
        if area.reach == "under":
            return _Met("hanging", last - self.slot.hanging, last)
        if ended is None and area.removing + area.abrading:
            run = self.run(self.washed, area.removing + area.abrading, until=last)
            if run is None:
                return _Met("hands", self.washed, last)
            start = max(start, run[1])
        if start >= last:
            return _Met("late", start, last)
        for number in range(count, target):
            found = self._next_start(index, number, ended, start)
            if isinstance(found, _Met):
                return found
            ended = start = found.end
        return self._against_launch(index, target, start)

    def _next_start(self, index: int, number: int, ended: int | None, start: int) -> Laid | _Met:
        """Lay the next coat as soon as that may be, or say why it may not be laid."""
        area, hours, last = self.areas[index], self.slot.hours, self.slot.launches[-1]
        coat, opened, closed, window = area.coats[number], start, ENDLESS, None
        longest = None
        if ended is not None:
            rows = area.coats[number - 1].next_coat
            found = opens(hours, rows, ended)
            if found is None:
                return _Met("cold", ended, last)
            opened, window = found
            closed, longest = closes(hours, rows, ended)
        if area.bares and number == 0:
            closed = (opened // 24 + 1) * 24 - coat.hours
        starts = [
            at
            for at in range(opened, last - coat.hours + 1)
            if all(hour.hands for hour in hours[at : at + coat.hours])
        ]
        if not starts:
            return _Met("late", opened, last, window)
        inside = [at for at in starts if at <= closed]
        if not inside and area.bares and number == 0:
            return _Met("bare", opened, starts[0])
        if not inside:
            return _Met("closed", closed, starts[0], longest)
        for at in inside:
            laid = self.laid(index, number, at)
            if laid is not None and (number or self.first_coat_from(at)):
                return laid
        dry = [found for at in inside if (found := opens(hours, coat.touch_dry, at + coat.hours))]
        if not dry:
            return _Met("cold", inside[0], last)
        return _Met("air", inside[0], inside[-1] + coat.hours, dry[0].shortest)

    def _against_launch(self, index: int, target: int, ended: int) -> _Met:
        coat, hours, last = self.areas[index].coats[target - 1], self.slot.hours, 0
        last = self.slot.launches[-1]
        found = opens(hours, coat.launch, ended)
        tide = next((at for at in range(ended, len(hours)) if hours[at].wet), ENDLESS)
        if found is None:
            return _Met("launch_cold", ended, last)
        if found.at > min(last, tide):
            return _Met("launch", ended, min(last, tide), found.shortest)
        until = closes(hours, coat.launch, ended)
        if not any(found.at <= launch <= until.at for launch in self.slot.launches):
            return _Met("launch_closed", ended, last, until.longest)
        return _Met("hands", ended, last)

    def _told_by_sheets(self, area: Area) -> Iterator[int]:
        """Give the numbers of coats that the sheets on record say enough about."""
        for count in range(1, len(area.coats) + 1):
            coat = area.coats[count - 1]
            if not coat.touch_dry:
                return
            if coat.launch:
                yield count
            if not coat.next_coat:
                return


class _Met(NamedTuple):
    """What stands against a coat."""

    why: str
    begins: int
    ends: int
    window: Working | None = None


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

    def run(self) -> _Leaf | None:
        search = self.search
        self._most = MOST_EACH if search.tried < MOST_TRIED else FEW_EACH
        states = tuple(
            _State(0 if not area.removing + area.abrading else -1, search.washed, ENDLESS)
            for area in search.areas
        )
        assert search.wash is not None
        return self._from(search.washed, states, False, 0, ENDLESS, (search.wash,))

    def _wanted(self, index: int, state: _State) -> bool:
        asked = self.counts[index]
        return bool(asked) and self.search.areas[index].reach != "under" and state.coats < asked

    def _from(
        self,
        now: int,
        states: tuple[_State, ...],
        moved: bool,
        afloat: int,
        until: int,
        tasks: tuple[Task, ...],
    ) -> _Leaf | None:
        search = self.search
        afloat = max(afloat, now)
        as_good = tuple(state._replace(opens=max(state.opens, now)) for state in states)
        key = (now, as_good, moved, afloat, until)
        if key in self._seen:
            return None
        if len(self._seen) >= self._most:
            search.cut = True
            return None
        self._seen.add(key)
        search.tried += 1
        if search.tried % _NEWS == 0:
            search.progress(min(search.tried, MOST_TRIED), MOST_TRIED)
        if not self._can(now, states, afloat, until):
            return None
        left = [index for index, state in enumerate(states) if self._wanted(index, state)]
        if not left:
            return self._launched(now, states, afloat, until, tasks)
        for index in left:
            found = self._begin(index, now, states, moved, afloat, until, tasks)
            if found is not None:
                return found
        found = self._move_pads(now, states, moved, afloat, until, tasks)
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
        return self._from(later, states, moved, afloat, until, tasks)

    def _can(self, now: int, states: tuple[_State, ...], afloat: int, until: int) -> bool:
        """Tell whether each area by itself, and all of them in hours, could still be done."""
        search, last = self.search, self.launches[-1]
        if now > last or max(afloat, now) > min(until, last):
            return False
        needed = search.slot.anodes
        for index, state in enumerate(states):
            if not self._wanted(index, state):
                continue
            area = search.areas[index]
            opened = max(state.opens, now)
            if search.alone(index, self.counts[index], state.coats, opened, state.closes) > last:
                return False
            needed += sum(
                coat.hours for coat in area.coats[max(state.coats, 0) : self.counts[index]]
            )
            needed += area.removing + area.abrading if state.coats < 0 else 0
        return needed <= search.hands_between(now, last)

    def _begin(
        self,
        index: int,
        now: int,
        states: tuple[_State, ...],
        moved: bool,
        afloat: int,
        until: int,
        tasks: tuple[Task, ...],
    ) -> _Leaf | None:
        """Go on with an area at once, where that may be."""
        search, state = self.search, states[index]
        area = search.areas[index]
        if area.reach == "pads" and not moved:
            return None
        if state.coats < 0:
            return self._prepare(index, now, states, moved, afloat, until, tasks)
        number = state.coats
        if not state.opens <= now <= state.closes:
            return None
        if number == 0 and not search.first_coat_from(now):
            return None
        laid = search.laid(index, number, now)
        if laid is None or (number == 0 and area.bares and laid.end > state.closes):
            return None
        done = Task("coat", now, laid.end, area.code, number + 1)
        if number + 1 == self.counts[index]:
            after = _State(number + 1, laid.opens, ENDLESS)
            afloat, until = max(afloat, laid.launch_opens), min(until, laid.launch_closes)
        else:
            after = _State(number + 1, laid.opens, laid.closes)
        return self._from(
            laid.end, _put(states, index, after), moved, afloat, until, (*tasks, done)
        )

    def _prepare(
        self,
        index: int,
        now: int,
        states: tuple[_State, ...],
        moved: bool,
        afloat: int,
        until: int,
        tasks: tuple[Task, ...],
    ) -> _Leaf | None:
        search, area = self.search, self.search.areas[index]
        if not search.slot.hours[now].hands:
            return None
        made, end = list(tasks), now
        for code, length in (("remove", area.removing), ("abrade", area.abrading)):
            if length:
                run = search.run(end, length)
                if run is None:
                    return None
                made.append(Task(code, run[0], run[1], area.code))
                end = run[1]
        night = (now // 24 + 1) * 24
        if area.bares and end >= night:
            return None
        after = _State(0, end, night if area.bares else ENDLESS)
        return self._from(end, _put(states, index, after), moved, afloat, until, tuple(made))

    def _move_pads(
        self,
        now: int,
        states: tuple[_State, ...],
        moved: bool,
        afloat: int,
        until: int,
        tasks: tuple[Task, ...],
    ) -> _Leaf | None:
        """Let the yard move the pads, once what they come to stand on may bear a further coat."""
        search = self.search
        padded = [
            i
            for i, area in enumerate(search.areas)
            if area.reach == "pads" and self._wanted(i, states[i])
        ]
        if moved or not padded:
            return None
        at_hand = [i for i, area in enumerate(search.areas) if area.reach == "open"]
        if any(self._wanted(i, states[i]) for i in at_hand):
            return None
        ready = max((states[i].opens for i in at_hand if self.counts[i]), default=0)
        if any(states[i].opens >= ENDLESS for i in at_hand if self.counts[i]):
            ready = max(afloat, now)
        if ready > now or not search.slot.hours[now].yard or search.slot.hours[now].wet:
            return None
        run = search.run(now, search.slot.moving, yard=True)
        if run is None:
            return None
        made = (*tasks, Task("pads_moved", run[0], run[1]))
        return self._from(run[1], states, True, afloat, until, made)

    def _launched(
        self,
        now: int,
        states: tuple[_State, ...],
        afloat: int,
        until: int,
        tasks: tuple[Task, ...],
    ) -> _Leaf | None:
        search = self.search
        made, end = list(tasks), now
        if search.slot.anodes:
            dry = max(
                (
                    laid.dry
                    for task in tasks
                    if task.code == "coat"
                    and (laid := search.laid(self._index(task.area), task.number - 1, task.begins))
                ),
                default=now,
            )
            run = search.run(max(now, dry), search.slot.anodes)
            if run is None:
                return None
            made.append(Task("anodes", run[0], run[1]))
            end = run[1]
        for launch in self.launches:
            if max(end, afloat) <= launch <= until:
                hung = self._hung(end, launch)
                if hung is not None:
                    lift = Task("launch", launch, launch + 1)
                    return _Leaf(launch, self.counts, (*made, *hung, lift))
        return None

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
        return self.search.hung(wanted, launch)


def _put(states: tuple[_State, ...], index: int, state: _State) -> tuple[_State, ...]:
    return (*states[:index], state, *states[index + 1 :])
