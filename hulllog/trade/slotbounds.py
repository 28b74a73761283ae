"""What cannot be done in the hours that are left: the work between two hours against the hands.

A plan that is begun is given up where what it still wants lies between two hours that hold
too few hours of work for it.  Each piece has an hour before which it cannot begin and one by
which it must end, taken from the windows of its own area alone, so that nothing that could be done
is given up.
"""

from __future__ import annotations

import itertools
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, NamedTuple

from hulllog.trade.coathours import ENDLESS

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from hulllog.trade.coatlaying import Laying


class Piece(NamedTuple):
    """Work by hand: not before one hour, over by another, so many hours long; a coat or not."""

    begins: int
    ends: int
    hours: int
    coat: bool


class _Coat(NamedTuple):
    """For each hour, over all starts of a coat from it on: the soonest of what may come of it.

    ``start`` is the soonest start, ``opens`` when the next may follow, ``bears`` when pads may
    stand on the last, ``afloat`` when she may go back with it; ``borne`` and ``afloat_by`` are
    those for one start.  ``ends`` is by when the coat is over at the latest.
    """

    start: list[int]
    opens: list[int]
    bears: list[int]
    afloat: list[int]
    borne: list[int]
    afloat_by: list[int]
    ends: int


@dataclass(slots=True)
class Bounds:
    """The bounds over the hours of a slot, where she goes back at one of some hours."""

    laying: Laying
    launches: Sequence[int]
    _coats: dict[tuple[int, int, int], _Coat] = field(default_factory=dict)
    _free: list[int] = field(default_factory=list)

    def pieces(
        self, index: int, count: int, done: int, opened: int, closed: int, last: int
    ) -> list[Piece] | None:
        """Return the work that one area still wants; None where she is not back by ``last``.

        ``done`` coats are on it, -1 where it is not prepared; the next may begin from ``opened`` to
        ``closed``.
        """
        area, found = self.laying.areas[index], []
        if done < 0:
            length = area.removing + area.abrading
            run = self.laying.run(opened, length)
            if run is None:
                return None
            found.append(Piece(opened, ENDLESS, length, coat=False))
            opened, done = run[1], 0
        if opened > last or self._coat(index, count, done).afloat[opened] > last:
            return None
        for number in range(done, count):
            coat = self._coat(index, count, number)
            start = coat.start[opened] if opened < len(coat.start) else ENDLESS
            if start > closed or start >= ENDLESS:
                return None
            hours = area.coats[number].hours
            ends = min(coat.ends, closed + hours)
            if number == 0 and found:
                found[0] = found[0]._replace(ends=ends - hours)
            found.append(Piece(start, ends, hours, coat=True))
            opened, closed = coat.opens[start], ENDLESS
        return found

    def bears(self, index: int, count: int, done: int, opened: int, closed: int) -> int:
        """Return an hour before which pads cannot be moved onto an area."""
        area = self.laying.areas[index]
        if done < 0:
            run = self.laying.run(opened, area.removing + area.abrading)
            if run is None:
                return ENDLESS
            opened, done = run[1], 0
        coat = self._coat(index, count, done)
        return coat.bears[opened] if opened <= min(closed, len(coat.bears) - 1) else ENDLESS

    def _coat(self, index: int, count: int, number: int) -> _Coat:
        key = (index, count, number)
        if key not in self._coats:
            self._coats[key] = self._read(index, count, number)
        return self._coats[key]

    def _read(self, index: int, count: int, number: int) -> _Coat:
        length = len(self.laying.slot.hours)
        start, opens, bears, afloat = ([ENDLESS] * (length + 1) for _ in range(4))
        borne, afloat_by, ends = [ENDLESS] * length, [ENDLESS] * length, -1
        after = self._coat(index, count, number + 1) if number + 1 < count else None
        for at in range(length - 1, -1, -1):
            start[at], opens[at], bears[at] = start[at + 1], opens[at + 1], bears[at + 1]
            afloat[at] = afloat[at + 1]
            laid = self.laying.laid(index, number, at)
            if laid is None or (number == 0 and not self.laying.first_coat_from(at)):
                continue
            if after is None:
                fits = any(laid.launch_opens <= one <= laid.launch_closes for one in self.launches)
                borne[at] = laid.bears if fits else ENDLESS
                afloat_by[at] = laid.launch_opens if fits else ENDLESS
            else:
                open_ = slice(min(laid.opens, length), min(laid.closes, length - 1) + 1)
                borne[at] = min(after.borne[open_], default=ENDLESS)
                afloat_by[at] = min(after.afloat_by[open_], default=ENDLESS)
            if afloat_by[at] < ENDLESS:
                afloat[at] = min(afloat[at], afloat_by[at])
                start[at], opens[at] = at, min(opens[at], laid.opens)
                bears[at], ends = min(bears[at], borne[at]), max(ends, laid.end)
        return _Coat(start, opens, bears, afloat, borne, afloat_by, ends)

    def _coat_hours_between(self, first: int, last: int) -> int:
        """Return in how many hours from one to before another any coat may be laid at all."""
        if not self._free:
            free = [False] * len(self.laying.slot.hours)
            for index, area in enumerate(self.laying.areas):
                for number, at in itertools.product(range(len(area.coats)), range(len(free))):
                    laid = self.laying.laid(index, number, at)
                    if laid is not None:
                        free[at : laid.end] = [True] * (laid.end - at)
            self._free = [0, *itertools.accumulate(free)]
        return self._free[last] - self._free[first]

    def hold(self, pieces: Sequence[Piece], last: int) -> bool:
        """Tell whether no two hours have more work between them than they hold."""
        coats = [piece for piece in pieces if piece.coat]
        return not any(
            work > self.laying.hands_between(first, until)
            for first, until, work in _loads(pieces, last)
        ) and not any(
            work > self._coat_hours_between(first, until)
            for first, until, work in _loads(coats, last)
        )


def _loads(pieces: Sequence[Piece], last: int) -> Iterator[tuple[int, int, int]]:
    """Give from which hour to which how much work lies that can lie nowhere else."""
    by_end = sorted(pieces, key=lambda piece: piece.ends)
    for first in {piece.begins for piece in pieces}:
        work = 0
        for piece in by_end:
            if piece.begins >= first:
                work += piece.hours
                until = min(piece.ends, last)
                yield first, max(until, first), work
