"""The zone card as a picture: code, number and name, four corner marks, a rule of 100 mm."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hulllog.drawing import font
from hulllog.drawing.scene import Path, Scene, Style, Text
from hulllog.drawing.shapes import circle, line, rect
from hulllog.records.zonecards import CODE, HEIGHT, MARK, MARKS, RULE, WIDTH

if TYPE_CHECKING:
    Item = Path | Text

_SOLID = Style(None, "ink")
_CUT = Style(width=0.12, dash=(1.5, 1.5))
_TEXT = 56.0
"""Where the words of a card begin, mm."""


def card_scene(said: str, heading: str, name: str, boat: str) -> Scene:
    """Draw a card whose code says ``said``; large on it a heading, below it a name and the boat."""
    room = WIDTH - _TEXT - 11.0
    items: list[Item] = [
        rect(0, 0, WIDTH, HEIGHT, _CUT, "cut"),
        *(circle(x, y, MARK, _SOLID, "mark") for x, y in MARKS),
        *_code(said),
        Text(_TEXT, 20.0, font.fit(heading, room, 13.0, bold=True), 13.0, bold=True),
    ]
    for n, part in enumerate(font.wrap(name, room, 5.0, bold=True)[:2]):
        items.append(Text(_TEXT, 29.0 + 6.0 * n, part, 5.0, bold=True))
    items.append(Text(_TEXT, 42.0, font.fit(boat, room, 3.2), 3.2))
    items += _rule()
    return Scene(WIDTH, HEIGHT, tuple(items), name)


def _code(said: str) -> list[Item]:
    import segno

    made = segno.make(said, version=1, error="q", boost_error=False, micro=False)
    left, top, side = CODE
    module = side / len(made.matrix)
    items: list[Item] = []
    for y, row in enumerate(made.matrix):
        x = 0
        while x < len(row):
            run = 0
            while x + run < len(row) and row[x + run]:
                run += 1
            if run:
                at = (left + x * module, top + y * module)
                items.append(rect(*at, run * module, module * 1.01, _SOLID, "module"))
            x += run or 1
    return items


def _rule() -> list[Item]:
    (left, y), (right, _) = RULE
    items: list[Item] = [line(left, y, right, y, Style(width=0.4), "rule")]
    for n in range(11):
        x = left + 10.0 * n
        items.append(line(x, y - 2.4, x, y, Style(width=0.4), "rule"))
        items.append(Text(x, y + 3.6, str(10 * n), 2.6, "middle"))
    return items
