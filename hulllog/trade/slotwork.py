"""The slot, the work and the plan, as the planner takes and gives them.

Hours are counted from midnight of the first day.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal, NamedTuple

if TYPE_CHECKING:
    from hulllog.trade.slothours import Hour
    from hulllog.trade.windows import WindowRow
    from hulllog.trade.working import Working

Reach = Literal["open", "pads", "under"]
"""open: at hand.  pads: under props, reached when the yard has moved them.  under: the keel's
underside, reached only while she hangs."""
Step = Literal["touch_dry", "next_coat", "launch"]


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


class Cold(NamedTuple):
    """The hour whose air is colder than the coldest row of the sheet; both in °C."""

    at: int
    air: float
    row: float


@dataclass(frozen=True, slots=True)
class Short:
    """Coats that an area does not get, and what stands against the next one.

    ``begins`` and ``ends`` are the hours in question; ``window`` the sum that meets them.
    ``others`` are the areas whose work takes the hands in those hours.
    """

    area: str
    got: int
    wanted: int
    why: str
    begins: int
    ends: int
    window: Working | None = None
    others: tuple[str, ...] = ()
    cold: Cold | None = None


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
