"""What a plan tells: the windows it keeps, what no sheet says, and what stands against the rest."""

from __future__ import annotations

import itertools
from dataclasses import dataclass
from typing import TYPE_CHECKING, NamedTuple

from hulllog.trade.coathours import ENDLESS, closes, opens
from hulllog.trade.slotwork import Bracket, Cold, Plan, Short, Unknown

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from hulllog.trade.coatlaying import Laid, Laying
    from hulllog.trade.slotwork import Area, Slot, Task
    from hulllog.trade.windows import WindowRow
    from hulllog.trade.working import Working


class Leaf(NamedTuple):
    """A plan found: its launch, the number of coats on each area, its tasks."""

    launch: int
    counts: tuple[int, ...]
    tasks: tuple[Task, ...]


class _Met(NamedTuple):
    """What stands against a coat."""

    why: str
    begins: int
    ends: int
    window: Working | None = None
    cold: Cold | None = None


@dataclass(frozen=True, slots=True)
class Telling:
    """Tells a plan over the hours it was laid on."""

    laying: Laying

    @property
    def slot(self) -> Slot:
        """The slot."""
        return self.laying.slot

    @property
    def areas(self) -> tuple[Area, ...]:
        """The work."""
        return self.laying.areas

    def told(self, leaf: Leaf, *, proven: bool) -> Plan:
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
            proven,
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

    def _coats(self, leaf: Leaf, area: Area) -> list[Task]:
        found = [one for one in leaf.tasks if one.code == "coat" and one.area == area.code]
        return sorted(found, key=lambda one: one.number)

    def _brackets(self, leaf: Leaf) -> Iterator[Bracket]:
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

    def _short(self, index: int, count: int, leaf: Leaf) -> Short:
        area = self.areas[index]
        done = self._coats(leaf, area)
        met = self._against(index, count, done[-1].ends if done else None)
        others = self._others(area, met, leaf) if met.why == "hands" else ()
        return Short(area.code, count, len(area.coats), *met[:4], others, met.cold)

    def _cold(self, rows: Sequence[WindowRow], ended: int) -> Cold | None:
        """Return the first hour that is colder than every row; None where none is."""
        coldest = min(row.celsius for row in rows if row.shortest is not None)
        hours = self.slot.hours
        found = (at for at in range(ended, len(hours)) if hours[at].coldest < coldest)
        at = next(found, None)
        return None if at is None else Cold(at, hours[at].coldest, coldest)

    def _others(self, area: Area, met: _Met, leaf: Leaf) -> tuple[str, ...]:
        """Return the other areas that are worked on in some hours, in the order of the work."""
        busy = {
            task.area
            for task in leaf.tasks
            if task.begins < met.ends and task.ends > met.begins and task.area
        }
        return tuple(one.code for one in self.areas if one.code in busy - {area.code})

    def _against(self, index: int, count: int, ended: int | None) -> _Met:
        """Say what stands against further coats on an area: a code, the hours, and the window."""
        area, last = self.areas[index], self.slot.launches[-1]
        start = self.laying.washed + self.slot.drying if ended is None else ended
        first = self.laying.washed if ended is None else ended
        if area.reach == "under" and not self.slot.hanging:
            return _Met("underside", start, last)
        target = next((n for n in self.laying.told_by_sheets(area) if n > count), None)
        if target is None:
            return _Met("sheet", start, last)
        if area.reach == "under":
            return _Met("hanging", last - self.slot.hanging, last)
        if ended is None and area.removing + area.abrading:
            run = self.laying.run(self.laying.washed, area.removing + area.abrading, until=last)
            if run is None:
                return _Met("hands", self.laying.washed, last)
            start = max(start, run[1])
        if start >= last:
            return _Met("late", start, last)
        for number in range(count, target):
            found = self._next_start(index, number, ended, start)
            if isinstance(found, _Met):
                return found
            ended = start = found.end
        met = self._against_launch(index, target, start)
        if met.why == "hands":
            # By itself it would fit: the hands are wanted from where it could go on.
            return _Met("hands", first, last)
        return met

    def _next_start(self, index: int, number: int, ended: int | None, start: int) -> Laid | _Met:
        """Lay the next coat as soon as that may be, or say why it may not be laid."""
        area, hours, last = self.areas[index], self.slot.hours, self.slot.launches[-1]
        coat, opened, closed, window = area.coats[number], start, ENDLESS, None
        longest = None
        if ended is not None:
            rows = area.coats[number - 1].next_coat
            found = opens(hours, rows, ended)
            if found is None:
                return _Met("cold", ended, last, cold=self._cold(rows, ended))
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
            laid = self.laying.laid(index, number, at)
            if laid is not None and (number or self.laying.first_coat_from(at)):
                return laid
        dry = [found for at in inside if (found := opens(hours, coat.touch_dry, at + coat.hours))]
        if not dry:
            cold = self._cold(coat.touch_dry, inside[0] + coat.hours)
            return _Met("cold", inside[0], last, cold=cold)
        return _Met("air", inside[0], inside[-1] + coat.hours, dry[0].shortest)

    def _against_launch(self, index: int, target: int, ended: int) -> _Met:
        coat, hours, last = self.areas[index].coats[target - 1], self.slot.hours, 0
        last = self.slot.launches[-1]
        found = opens(hours, coat.launch, ended)
        tide = next((at for at in range(ended, len(hours)) if hours[at].wet), ENDLESS)
        if found is None:
            return _Met("launch_cold", ended, last, cold=self._cold(coat.launch, ended))
        if found.at > min(last, tide):
            return _Met("launch", ended, min(last, tide), found.shortest)
        until = closes(hours, coat.launch, ended)
        if not any(found.at <= launch <= until.at for launch in self.slot.launches):
            return _Met("launch_closed", ended, last, until.longest)
        return _Met("hands", ended, last)
