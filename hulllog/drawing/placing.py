"""Room for words: where a text may stand so that it covers no mark and no other text."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from itertools import pairwise
from typing import TYPE_CHECKING

from hulllog.drawing import font
from hulllog.drawing.scene import Text
from hulllog.drawing.shapes import bounds

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from hulllog.drawing.scene import Anchor
    from hulllog.drawing.shapes import Point

Box = tuple[float, float, float, float]

ANCHORS: tuple[Anchor, ...] = ("middle", "start", "end")


def overlap(one: Box, other: Box, gap: float = 0.0) -> bool:
    """Say if two boxes (left, top, right, bottom) overlap or come nearer than ``gap``."""
    return (
        one[0] < other[2] + gap
        and other[0] < one[2] + gap
        and one[1] < other[3] + gap
        and other[1] < one[3] + gap
    )


def inked(text: Text) -> Box:
    """Return the box of a text from its capitals' height to its baseline and a little below."""
    left, _, right, _ = bounds(text)
    return left, text.y - font.cap_height(text.size), right, text.y + 0.22 * text.size


@dataclass(slots=True)
class Ground:
    """A frame with what stands in it already; texts are added where they fit."""

    frame: Box
    taken: list[Box] = field(default_factory=list)

    def block(self, box: Box) -> None:
        """Mark a box as taken."""
        self.taken.append(box)

    def block_line(self, points: Iterable[Point], half: float = 0.5) -> None:
        """Mark a line as taken, as a row of small boxes along it."""
        for (x1, y1), (x2, y2) in pairwise(points):
            steps = max(1, math.ceil(math.hypot(x2 - x1, y2 - y1) / (2 * half)))
            for step in range(steps + 1):
                x, y = x1 + (x2 - x1) * step / steps, y1 + (y2 - y1) * step / steps
                self.block((x - half, y - half, x + half, y + half))

    def free(self, text: Text, gap: float = 0.3) -> bool:
        """Say if a text stands inside the frame and covers nothing."""
        box = inked(text)
        inside = (
            box[0] >= self.frame[0]
            and box[1] >= self.frame[1]
            and box[2] <= self.frame[2]
            and box[3] <= self.frame[3]
        )
        return inside and not any(overlap(box, other, gap) for other in self.taken)

    def place(self, choices: Sequence[Text]) -> Text | None:
        """Return the first text of the choices that fits, and take its room; None if none does."""
        for text in choices:
            if self.free(text):
                self.block(inked(text))
                return text
        return None


def around(
    x: float, y: float, text: str, *, away: float = 1.6, color: str = "ink", bold: bool = False
) -> tuple[Text, ...]:
    """Return the ways to set a text at a point: above, below, right, left, then the corners."""
    cap = font.cap_height(font.SMALL)
    spots: tuple[tuple[float, float, Anchor], ...] = (
        (0.0, -away, "middle"),
        (0.0, away + cap, "middle"),
        (away, cap / 2, "start"),
        (-away, cap / 2, "end"),
        (0.7 * away, -away, "start"),
        (-0.7 * away, -away, "end"),
        (0.7 * away, away + cap, "start"),
        (-0.7 * away, away + cap, "end"),
    )
    return tuple(
        Text(x + dx, y + dy, text, font.SMALL, anchor, color, bold) for dx, dy, anchor in spots
    )


@dataclass(frozen=True, slots=True)
class Note:
    """Words over a line that rises at ``x``: set at ``at``, in rows counted upwards.

    ``top`` is the row of the first line, 0 the lowest.
    """

    x: float
    at: float
    anchor: Anchor
    lines: tuple[str, ...]
    top: int

    def spans(self) -> tuple[float, float]:
        """Return the left and right end of the words."""
        wide = max(font.width(line, font.SMALL) for line in self.lines)
        return (self.at, self.at + wide) if self.anchor == "start" else (self.at - wide, self.at)


def stacked(
    marks: Iterable[tuple[float, str]],
    left: float,
    right: float,
    size: float,
    *,
    whole: bool = True,
) -> tuple[Note, ...]:
    """Set words over lines at x, between ``left`` and ``right``; cut to one line unless ``whole``.

    Those at the right come first and lie lowest, so that the lines of the others pass them.
    """
    found: list[Note] = []
    for x, said in sorted(marks, reverse=True):
        if said:
            found.append(_lowest(x, said, (left, right), size, found, whole=whole))
    return tuple(reversed(found))


def _lowest(
    x: float,
    said: str,
    ends: tuple[float, float],
    size: float,
    stand: Sequence[Note],
    *,
    whole: bool,
) -> Note:
    """Return the note as low as it can lie; across a line only where nothing else is left."""
    sides: tuple[tuple[Anchor, float, float], ...] = (
        ("start", x + 0.9, ends[1] - x - 0.9),
        ("end", x - 0.9, x - 0.9 - ends[0]),
    )
    options = []
    for anchor, at, room in sides:
        room = max(room, 8.0)
        lines = font.wrap(said, room, size) if whole else (font.fit(said, room, size),)
        first = len(lines) - 1
        highest = max((note.top for note in stand), default=0) + len(lines)
        rows = [Note(x, at, anchor, lines, row) for row in range(first, highest + 1)]
        apart = [note for note in rows if not any(_meet(note, other) for other in stand)]
        shown = sum(len(line) for line in lines)
        options += [(_crossings(note, stand), len(lines), -shown, note.top, note) for note in apart]
    return min(options, key=lambda option: option[:4])[4]


def _crossings(note: Note, stand: Iterable[Note]) -> int:
    return sum(_crossed(note, other) + _crossed(other, note) for other in stand)


def _meet(one: Note, other: Note) -> bool:
    """Say if the words of two notes overlap."""
    (left, right), (start, end) = one.spans(), other.spans()
    rows = one.top - len(one.lines) < other.top and other.top - len(other.lines) < one.top
    return rows and left < end + 1.5 and start < right + 1.5


def _crossed(words: Note, line: Note) -> bool:
    """Say if the words of one note lie across the line of another."""
    left, right = words.spans()
    return words.top - len(words.lines) < line.top and left - 0.6 < line.x < right + 0.6
