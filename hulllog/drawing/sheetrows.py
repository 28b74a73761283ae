"""The rows of the yard sheet as pictures: number, what it is about, boxes of 8 mm to write in.

Nothing is told by a tint: boxes are lines, and grey stands for last time's figures alone.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from hulllog.drawing import font, sheetwords
from hulllog.drawing.cards import BLISTER_SIZES, Blisters, blister_card, share_card
from hulllog.drawing.scene import Path, Scene, Style, Text
from hulllog.drawing.shapes import line, polygon, rect
from hulllog.insight.yardsheet import CLEAR, UNSEEN
from hulllog.words import say
from hulllog.words.figures import number, with_unit

if TYPE_CHECKING:
    from collections.abc import Mapping

    from hulllog.drawing.scene import Item
    from hulllog.insight.yardsheet import Box, Row, Shot

BOX = 8.0
"""Height of a box in mm: what a cold hand can write in."""
_CAPTION = 2.1
_LAST = 2.6
_HEAD = 3.2
_FOOT = 1.0
ROW = _HEAD + BOX + _FOOT
_NUMBER = 8.0
_INK = Style(width=0.3)
_TICK = 5.0

_WIDE = {
    "at": 40.0, "product": 52.0, "text": 96.0, "litres": 16.0, "coats": 13.0, "mass": 17.0,
    "mass_new": 17.0, "lift_weight": 22.0, "scum_line": 22.0,
}  # fmt: skip
"""Width in mm of a box by its field; another one has _BOX."""
_IN_ROW: Mapping[str, Mapping[str, float]] = {
    "paint": {
        "product": 40.0, "at": 24.0, "litres": 13.0, "coats": 11.0, "air": 12.0, "hull": 12.0,
        "humidity": 12.0,
    },
    "how": {"meter": 44.0, "mode": 28.0, "table": 44.0},
}  # fmt: skip
"""The same where a row has so many boxes that they must be narrower, or asks for words."""
_FITTING, _LEAST_WORDS = 108.0, 26.0
"""Room in mm for all boxes of a fitting, and for words in it at the least."""
_BOX = 13.0
_BESIDE, _WORDS = 9.0, 24.0
"""Room in mm beside a box for a figure of last time, and for the words of one at most."""
SHARES = (0.001, 0.003, 0.01, 0.03, 0.05, 0.1, 0.25, 0.5)


@dataclass(frozen=True, slots=True)
class _Cell:
    box: Box
    caption: str
    last: str
    since: str
    width: float
    """Of the box alone; the last figure stands to the right of it."""

    @property
    def whole(self) -> float:
        """What box, last figure and air take; figures take the same room whether there or not."""
        beside = _BESIDE if self.box.kind else 0.0
        for said in (self.last, self.since):
            beside = max(beside, font.width(said, _LAST) + 1.0 if said else 0.0)
        return max(self.width + beside, font.width(self.caption, _CAPTION)) + 2.2


def _cells(row: Row) -> list[_Cell]:
    made = [_cell(row, box) for box in row.boxes]
    if row.sort == "gear":
        # Words take what the figures leave, so that the name keeps its room.
        rest = _FITTING - sum(cell.whole for cell in made[:-1])
        made[-1] = replace(made[-1], width=max(_LEAST_WORDS, min(made[-1].width, rest)))
    return made


def _cell(row: Row, box: Box) -> _Cell:
    width = _IN_ROW.get(row.sort, {}).get(box.field) or _WIDE.get(box.field, _BOX)
    return _Cell(
        box,
        sheetwords.caption(box),
        font.fit(sheetwords.last_said(box), _WORDS, _LAST),
        sheetwords.since(box),
        9.0 if box.field in (UNSEEN, CLEAR) else width,
    )


def row_scene(row: Row, width: float) -> Scene:
    """Draw one row, ``width`` mm wide."""
    cells = _cells(row)
    needed = sum(cell.whole for cell in cells)
    items: list[Item] = [Text(0.0, _HEAD + 5.4, str(row.number), 3.6, bold=True)]
    room = width - _NUMBER - needed - 1.5
    about = sheetwords.subject(row)
    lines = font.wrap(about, room, 3.2)
    if len(lines) > 2:
        lines = (lines[0], font.fit(" ".join(lines[1:]), room, 3.2))
    first = _HEAD + (5.2 if len(lines) == 1 else 3.4)
    items += [Text(_NUMBER, first + 3.8 * n, text, 3.2) for n, text in enumerate(lines)]
    x = width - needed
    for cell in cells:
        items += _box(cell, x)
        x += cell.whole
    items.append(line(0, ROW, width, ROW, Style(width=0.12)))
    return Scene(width, ROW, tuple(items), about)


def _box(cell: _Cell, x: float) -> list[Item]:
    items: list[Item] = [
        Text(x, _HEAD - 0.9, cell.caption, _CAPTION),
        rect(x, _HEAD, cell.width, BOX, _INK, f"box:{cell.box.name}"),
    ]
    beside, first = x + cell.width + 0.8, _HEAD + (3.6 if cell.since else 5.2)
    for n, said in enumerate(said for said in (cell.last, cell.since) if said):
        items.append(Text(beside, first + 3.2 * n, said, _LAST, color="ghost", key="last"))
    return items


def pairs(rows: tuple[Row, ...], width: float) -> list[Scene]:
    """Draw rows two beside each other where they are narrow, else one below the other."""
    half = (width - 6.0) / 2
    made: list[Scene] = []
    held: list[Row] = []
    for row in rows:
        narrow = _NUMBER + 24.0 + sum(cell.whole for cell in _cells(row)) <= half
        if narrow and held and held[0].sort == row.sort:
            made.append(_beside(row_scene(held.pop(), half), row_scene(row, half), width))
            continue
        if held:
            made.append(row_scene(held.pop(), half))
        if narrow:
            held.append(row)
        else:
            made.append(row_scene(row, width))
    if held:
        made.append(row_scene(held.pop(), half))
    return [_widened(scene, width) for scene in made]


def _beside(one: Scene, other: Scene, width: float) -> Scene:
    return Scene(
        width, ROW, (*one.items, *_moved(other, width - other.width)),
        f"{one.described}. {other.described}",
    )  # fmt: skip


def _widened(scene: Scene, width: float) -> Scene:
    return Scene(width, scene.height, scene.items, scene.described)


def _moved(scene: Scene, dx: float, dy: float = 0.0) -> list[Item]:
    """Return the items of a scene moved by so many mm."""
    moved: list[Item] = []
    for item in scene.items:
        if not isinstance(item, Path):
            moved.append(replace(item, x=item.x + dx, y=item.y + dy))
            continue
        ops = tuple(
            (op[0], *(value + (dy if n % 2 else dx) for n, value in enumerate(op[1:])))
            for op in item.ops
        )
        moved.append(replace(item, ops=ops))  # type: ignore[arg-type]
    return moved


# Shots and cautions


def shot_scene(shot: Shot, width: float) -> Scene:
    """Draw a shot with a box to tick; a heavy frame and a mark where it cannot be had later."""
    text = say(f"sheet.shot.{shot.code}")
    if shot.only_now:
        text = say("sheet.only_now", shot=text)
    lines = font.wrap(text, width - _TICK - 3.0, 3.0, bold=shot.only_now)
    height = max(_TICK + 1.4, 3.7 * len(lines) + 1.6)
    frame = Style(width=0.9 if shot.only_now else 0.3)
    items: list[Item] = [rect(0.5, 0.7, _TICK, _TICK, frame, f"shot:{shot.code}")]
    items += [
        Text(_TICK + 2.2, 4.2 + 3.7 * n, part, 3.0, bold=shot.only_now)
        for n, part in enumerate(lines)
    ]
    return Scene(width, height, tuple(items), text)


def caution_scene(text: str, width: float) -> Scene:
    """Draw a caution as one line behind a triangle, cut in two where it is long."""
    lines = font.wrap(text, width - 8.0, 3.2, bold=True)
    height = 4.2 * len(lines) + 1.6
    sign = polygon([(0.6, 4.6), (5.4, 4.6), (3.0, 0.6)], Style(width=0.45), "caution")
    mark = Text(3.0, 4.1, "!", 2.9, "middle", bold=True)
    return Scene(
        width, height,
        (sign, mark, *(Text(7.0, 4.2 + 4.2 * n, s, 3.2, bold=True) for n, s in enumerate(lines))),
        text,
    )  # fmt: skip


# Cards


def size_cards(width: float) -> Scene:
    """Draw our blister cards at their true size, one beside the other, with a rule of 100 mm."""
    high, gap = 58.0, 3.0
    wides = [28.0, 32.0, 40.0, 58.0]
    items: list[Item] = []
    x = 0.0
    for size, wide in zip(BLISTER_SIZES, wides, strict=True):
        count = {3.0: 9, 10.0: 4}.get(size, 1)
        card = blister_card(Blisters(count, size, size), wide, high, across=wide)
        items += [rect(x, 0, wide, high, _INK), *_moved(card, x)]
        items.append(rect(x, 0, wide, high, _INK))
        said = with_unit(f"{size:g}", "mm")
        items.append(Text(x + wide / 2, high + 4.4, said, 3.4, "middle", bold=True))
        x += wide + gap
    items += _moved(rule_scene(), 0.0, high + 8.0)
    return Scene(width, high + 8.0 + rule_scene().height, tuple(items), say("sheet.cards.sizes"))


def rule_scene(length: float = 100.0) -> Scene:
    """Draw a rule with a tick each 5 mm, to see whether the print is true to scale."""
    items: list[Item] = [line(0, 0.4, length, 0.4, Style(width=0.4), "rule")]
    for n in range(int(length) // 5 + 1):
        deep = 3.4 if n % 2 == 0 else 2.0
        items.append(line(5.0 * n, 0.4, 5.0 * n, deep, Style(width=0.3), "rule"))
        if n % 2 == 0:
            items.append(Text(5.0 * n, 6.8, str(5 * n), 2.6, "middle" if n else "start"))
    items.append(Text(length + 4.0, 3.2, say("sheet.cards.rule"), 2.8))
    return Scene(length + 70.0, 8.0, tuple(items), say("sheet.cards.rule"))


def share_cards(width: float) -> Scene:
    """Draw our cards of shares of an area, four in a line."""
    gap, wide = 4.0, (width - 12.0) / 4
    high = wide * 2 / 3
    items: list[Item] = []
    for n, share in enumerate(SHARES):
        x, y = (wide + gap) * (n % 4), (high + 8.0) * (n // 4)
        items += _moved(share_card(share, "dots", wide, high), x, y)
        items.append(rect(x, y, wide, high, _INK))
        said = number(100 * share, "percent", 0 if share >= 0.01 else 1)
        items.append(Text(x + wide / 2, y + high + 4.2, said, 3.4, "middle", bold=True))
    return Scene(width, 2 * (high + 8.0), tuple(items), say("sheet.cards.shares"))
