"""The tide strip: a vessel's years as a waterline.

What stood ashore stands above the line, as wide as her days ashore; what she wore and met afloat
runs below it.  All texts come from the caller.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from hulllog.drawing import font, shapes
from hulllog.drawing import tidemarks as marks
from hulllog.drawing.scene import Scene, Style
from hulllog.drawing.timeline import Scale

if TYPE_CHECKING:
    from hulllog.drawing.timeline import Moment

Kind = Literal["haul-out", "drying", "afloat"]
State = Literal["found", "during", "left"]

AHEAD = 0.3
"""The most that the time ahead may take, as a share of the time behind."""


@dataclass(frozen=True, slots=True)
class Visit:
    """An occasion of looking.  ``end`` is None while she is still ashore.

    ``label`` stands above; ``found`` and ``left`` are said of its edges to whoever cannot see.
    """

    id: str
    start: Moment
    end: Moment | None
    label: str
    found: str
    left: str = ""
    kind: Kind = "haul-out"
    closed: bool = True


@dataclass(frozen=True, slots=True)
class Thread:
    """The antifouling she wore: a colour role or ``#rrggbb``; ``end`` None is until today.

    An empty colour is one that nobody recorded: the thread is hatched.
    """

    id: str
    start: Moment
    end: Moment | None
    colour: str
    said: str = ""


@dataclass(frozen=True, slots=True)
class Shore:
    """A time on shore power; ``guarded`` is with an isolator, drawn broken."""

    start: Moment
    end: Moment | None
    guarded: bool = False


@dataclass(frozen=True, slots=True)
class Event:
    """Something that happened to her: a dot, with ``label`` beside it where there is room."""

    id: str
    at: Moment
    said: str
    label: str = ""


@dataclass(frozen=True, slots=True)
class Due:
    """What is due ahead, between two times; ``label`` stands above it where there is room."""

    code: str
    when: Moment
    said: str
    label: str = ""


@dataclass(frozen=True, slots=True)
class Gap:
    """Years without a visit: from the beginning of one to the end of another."""

    id: str
    start: float
    end: float
    said: str


@dataclass(frozen=True, slots=True)
class Edge:
    """One edge of a visit: as found, or as left."""

    visit: str
    state: State


@dataclass(frozen=True, slots=True)
class Strip:
    """All that the strip shows; times are years with fractions."""

    today: float
    visits: tuple[Visit, ...] = ()
    threads: tuple[Thread, ...] = ()
    shore: tuple[Shore, ...] = ()
    events: tuple[Event, ...] = ()
    dues: tuple[Due, ...] = ()
    gaps: tuple[Gap, ...] = ()
    picked: Edge | None = None
    compared: Edge | None = None
    today_text: str = ""
    shore_text: str = ""
    empty_text: str = ""
    described: str = ""


def tide_strip(strip: Strip, width: float, height: float = 26.0) -> Scene:
    """Draw the strip, ``width`` × ``height`` mm.

    Keys: ``visit:<id>:found``, ``visit:<id>:left``, ``coat:<id>``, ``event:<id>``, ``due:<code>``,
    ``years:<id>``;
    a visit afloat has one edge, ``found``.  The regions run in the order of time.
    """
    room = marks.Room(width, height)
    scale = _scale(strip, room)
    blocks = marks.blocks(strip, scale)
    items = [
        *marks.water(strip, room, scale),
        *marks.threads(strip, scale, room),
        *marks.shore(strip, scale, room),
        *marks.events(strip, scale, room),
        *marks.dues(strip, scale, room),
        *(part for block in blocks for part in marks.stand(block, room)),
        shapes.line(0, room.line, width, room.line, Style("water_deep", width=0.45)),
        *marks.today(strip, scale, room),
        *marks.picks(strip, blocks, room),
        *marks.labels(strip, blocks, scale, room),
        *marks.empty(strip, room),
        *marks.gaps(strip, scale, room),
        *marks.targets(blocks, room),
    ]
    return Scene(width, height, tuple(items), strip.described, _regions(strip))


def _scale(strip: Strip, room: marks.Room) -> Scale:
    starts = [visit.start.earliest for visit in strip.visits]
    starts += [event.at.earliest for event in strip.events]
    starts += [thread.start.earliest for thread in strip.threads]
    starts += [shore.start.earliest for shore in strip.shore]
    first = min([*starts, strip.today - 1])
    behind = strip.today - first
    side = 2.5 + font.width("0000", font.SMALL) / 2
    words = font.width(strip.today_text, font.SMALL) + 3
    least = behind * words / max(room.width - 2 * side - words, words)
    ahead = max([least, *(due.when.latest - strip.today for due in strip.dues)])
    return Scale(
        first, strip.today + min(ahead, max(behind * AHEAD, least)), side, room.width - side
    )


def _regions(strip: Strip) -> tuple[tuple[str, str], ...]:
    found: list[tuple[float, int, str, str]] = []
    for visit in strip.visits:
        end = (visit.end or visit.start).middle if visit.end or visit.closed else strip.today
        found.append((visit.start.middle, 0, f"visit:{visit.id}:found", visit.found))
        if visit.kind != "afloat":
            found.append((end, 1, f"visit:{visit.id}:left", visit.left or visit.found))
    found += [
        (thread.start.middle, 2, f"coat:{thread.id}", thread.said)
        for thread in strip.threads
        if thread.said
    ]
    found += [(event.at.middle, 3, f"event:{event.id}", event.said) for event in strip.events]
    found += [(gap.start, 5, f"years:{gap.id}", gap.said) for gap in strip.gaps]
    found += [(due.when.middle, 4, f"due:{due.code}", due.said) for due in strip.dues]
    return tuple((key, said) for _, _, key, said in sorted(found, key=lambda one: one[:2]))
