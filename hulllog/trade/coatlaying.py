"""Where on the hours of a slot a coat may be laid, and the soonest launch that work allows."""

from __future__ import annotations

import itertools
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Literal, NamedTuple

from hulllog.trade.coathours import ENDLESS, closes, opens
from hulllog.trade.slothours import air_allows
from hulllog.trade.slotwork import Task

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from hulllog.trade.slotwork import Area, Coat, Slot


Goal = Literal["launch", "pads"]
"""launch: she may go back.  pads: pads may be moved onto it."""


class Laid(NamedTuple):
    """A coat that begins at an hour: when it ends, is touch-dry, and opens and shuts to others."""

    end: int
    dry: int
    opens: int
    closes: int
    launch_opens: int
    launch_closes: int

    @property
    def bears(self) -> int:
        """The hour from which pads may stand on it: when a further coat, or else the water, may."""
        return self.opens if self.opens < ENDLESS else self.launch_opens


@dataclass(slots=True)
class Laying:
    """The hours of a slot for some work; ``washed`` is when the wash ends."""

    slot: Slot
    areas: tuple[Area, ...]
    washed: int = 0
    _laid: dict[tuple[int, int, int], Laid | None] = field(default_factory=dict)
    _chain: dict[tuple[int, int, int, Goal], list[int]] = field(default_factory=dict)
    _hands: list[int] = field(default_factory=list)

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

    def alone(
        self, index: int, count: int, done: int, opened: int, closed: int, goal: Goal = "launch"
    ) -> int:
        """Return the soonest hour that one area by itself would reach a goal at."""
        area = self.areas[index]
        if done >= count:
            return 0
        if done < 0:
            prepared = self.run(opened, area.removing + area.abrading)
            if prepared is None:
                return ENDLESS
            opened, done = prepared[1], 0
        times = self._times(index, count, done, goal)
        found = times[max(opened, 0) : min(closed, len(times) - 1) + 1]
        return min(found, default=ENDLESS)

    def _times(self, index: int, count: int, number: int, goal: Goal) -> list[int]:
        """Return, for each hour that a coat could begin at, the soonest goal after it."""
        key = (index, count, number, goal)
        if key in self._chain:
            return self._chain[key]
        found = []
        for start in range(len(self.slot.hours)):
            laid = self.laid(index, number, start)
            if laid is None or (number == 0 and not self.first_coat_from(start)):
                found.append(ENDLESS)
            elif number + 1 == count:
                inside = laid.launch_opens <= laid.launch_closes
                reached = laid.launch_opens if goal == "launch" else laid.bears
                found.append(reached if inside else ENDLESS)
            else:
                after = self._times(index, count, number + 1, goal)
                open_ = after[min(laid.opens, len(after)) : min(laid.closes, len(after) - 1) + 1]
                found.append(min(open_, default=ENDLESS))
        self._chain[key] = found
        return found

    def told_by_sheets(self, area: Area) -> Iterator[int]:
        """Give the numbers of coats that the sheets on record say enough about."""
        for count in range(1, len(area.coats) + 1):
            coat = area.coats[count - 1]
            if not coat.touch_dry:
                return
            if coat.launch:
                yield count
            if not coat.next_coat:
                return
