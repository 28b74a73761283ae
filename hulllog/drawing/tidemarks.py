"""The marks of the tide strip: where each stands and how it is drawn."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

from hulllog.drawing import font, shapes
from hulllog.drawing.scene import Path, Style, Text
from hulllog.drawing.timeline import Claim, Moment, spread, thinned

if TYPE_CHECKING:
    from hulllog.drawing.tidestrip import Due, Event, Shore, State, Strip, Visit
    from hulllog.drawing.timeline import Scale

WATERLINE = 2 / 3
"""Where the waterline lies, as a share of the height."""
CROSS = 1.8
"""Width of the cross over empty years, in mm."""
NARROWEST = 1.86
"""The least width of a haul-out in mm: 7 pixels at 96 to the inch."""


@dataclass(frozen=True, slots=True)
class Block:
    """Where a visit is drawn: its solid part and how far its blur reaches."""

    visit: Visit
    left: float
    right: float
    blur_left: float
    blur_right: float

    def edge(self, state: State) -> float:
        """Return where an edge of the visit lies."""
        return self.left if state == "found" else self.right


@dataclass(frozen=True, slots=True)
class Room:
    """The lines of the strip in mm from its upper edge."""

    width: float
    height: float

    @property
    def label(self) -> float:
        """The base line of the years."""
        return 1.2 + font.cap_height(font.SMALL)

    @property
    def top(self) -> float:
        """Where the highest block ends."""
        return self.label + 1.9

    @property
    def line(self) -> float:
        """The waterline."""
        return self.height * WATERLINE

    def below(self, share: float) -> float:
        """Return a line at a share of the way from the waterline down."""
        return self.line + (self.height - self.line) * share


def blocks(strip: Strip, scale: Scale) -> tuple[Block, ...]:
    """Return where each visit stands, in the order of time."""
    ordered = sorted(strip.visits, key=_begun)
    return tuple(_block(visit, strip.today, scale) for visit in ordered)


def _begun(visit: Visit) -> tuple[float, float]:
    """Order visits by the middle of what is known of their beginning; an end bounds it."""
    start, latest = visit.start, visit.start.latest
    if visit.end is not None and visit.end.latest >= start.earliest:
        latest = min(latest, visit.end.latest)
    return (start.earliest + latest) / 2, start.earliest


def _block(visit: Visit, today: float, scale: Scale) -> Block:
    # One that is closed with no end on record was not ashore until today.
    end = visit.end or (visit.start if visit.closed else Moment(today, today))
    outer = scale.at(visit.start.earliest), scale.at(max(end.latest, visit.start.latest))
    left, right = scale.at(visit.start.latest), scale.at(end.earliest)
    if visit.kind == "afloat":
        left = right = scale.at(visit.start.middle)
    elif right - left < NARROWEST and outer[1] - outer[0] > NARROWEST:
        middle = min(max((left + right) / 2, outer[0] + NARROWEST / 2), outer[1] - NARROWEST / 2)
        left, right = middle - NARROWEST / 2, middle + NARROWEST / 2
    elif right - left < NARROWEST and visit.end is None and not visit.closed:
        left = right - NARROWEST
    elif right - left < NARROWEST:
        right = left + NARROWEST
    return Block(visit, left, right, min(outer[0], left), max(outer[1], right))


def water(strip: Strip, room: Room, scale: Scale) -> list[Path]:
    """Draw the water, and at its foot a tick for each year that no label hides."""
    ticks = range(int(scale.low) + 1, int(scale.high) + 1)
    said = [_event_claim(event, scale) for event in strip.events if event.label]
    here = scale.at(strip.today)
    said.append(Claim(here, here + 1 + font.width(strip.today_text, font.SMALL)))
    drawn = [shapes.rect(0, room.line, room.width, room.height - room.line, Style(None, "water"))]
    for year in ticks:
        x, high = scale.at(year), 1.3 if year % 10 == 0 else 0.8
        if not any(claim.left - 0.5 < x < claim.right + 0.5 for claim in said):
            foot = room.height
            drawn.append(shapes.line(x, foot - high, x, foot, Style("ghost", width=0.2)))
    return drawn


def _event_claim(event: Event, scale: Scale) -> Claim:
    x = scale.at(event.at.middle)
    return Claim(x, x + 1.6 + font.width(event.label, font.SMALL))


def threads(strip: Strip, scale: Scale, room: Room) -> list[Path]:
    """Draw the colours she wore, each from one haul-out to the next."""
    y, drawn = room.below(0.22), []
    for thread in strip.threads:
        left = scale.at(thread.start.middle) + 0.4
        right = scale.at(thread.end.middle if thread.end else strip.today) - 0.4
        style = Style("edge", thread.colour or "sheet", 0.15)
        key = f"coat:{thread.id}"
        band = shapes.rect(left, y - 0.7, max(right - left, 0.8), 1.4, style, key, radius=0.7)
        drawn.append(band)
        if not thread.colour:
            drawn.append(shapes.hatch(band, 0.9, Style("muted", width=0.18)))
    return drawn


def shore(strip: Strip, scale: Scale, room: Room) -> list[Path | Text]:
    """Draw the line where shore power was on, and its name once."""
    y = room.below(0.5)
    spans = [(_span(shore, strip.today, scale), shore.guarded) for shore in strip.shore]
    drawn: list[Path | Text] = [
        shapes.line(left, y, right, y, Style("shore", width=0.5, dash=(1.6, 0.9) if broken else ()))
        for (left, right), broken in spans
    ]
    if spans and strip.shore_text:
        drawn.append(_shore_text(strip.shore_text, [span for span, _ in spans], y, scale))
    return drawn


def _span(shore: Shore, today: float, scale: Scale) -> tuple[float, float]:
    left = scale.at(shore.start.middle)
    right = scale.at(shore.end.middle if shore.end else today)
    return left, max(right, left + 0.6)


def _shore_text(text: str, spans: list[tuple[float, float]], y: float, scale: Scale) -> Text:
    """Put the words left of the first span, else in the first gap, else under its start."""
    needed = font.width(text, font.SMALL) + 1.6
    base = y + font.cap_height(font.SMALL) / 2
    left = min(start for start, _ in spans)
    if left - needed >= 0.5:
        return Text(left - 0.8, base, text, font.SMALL, "end", "muted")
    ordered = sorted(spans)
    ends = [*(start for start, _ in ordered[1:]), scale.end]
    for (_, end), following in zip(ordered, ends, strict=True):
        if following - end >= needed:
            return Text(end + 0.8, base, text, font.SMALL, "start", "muted")
    return Text(left, base + 2.6, text, font.SMALL, "start", "muted")


def events(strip: Strip, scale: Scale, room: Room) -> list[Path | Text]:
    """Draw a dot for each event, with its name where there is room."""
    y = room.below(0.76)
    base = y + font.cap_height(font.SMALL) / 2
    ordered = sorted(strip.events, key=lambda event: event.at.middle)
    places = [scale.at(event.at.middle) for event in ordered]
    stops = [*places[1:], scale.at(strip.today)][: len(places)]
    drawn: list[Path | Text] = []
    for event, x, stop in zip(ordered, places, stops, strict=True):
        key = f"event:{event.id}"
        drawn += _blurred_line(scale.at(event.at.earliest), scale.at(event.at.latest), y)
        drawn.append(shapes.circle(x, y, 0.8, Style("water", "ink", 0.3), key))
        if event.label and x + 1.6 + font.width(event.label, font.SMALL) < stop - 1.6:
            drawn.append(Text(x + 1.6, base, event.label, font.SMALL, "start", "muted", key=key))
        drawn.append(shapes.circle(x, y, 1.8, Style(None), key))
    return drawn


def _blurred_line(left: float, right: float, y: float) -> list[Path]:
    if right - left < 1:
        return []
    return [shapes.line(left, y, right, y, Style("ink", width=0.8, opacity=0.25))]


def dues(strip: Strip, scale: Scale, room: Room) -> list[Path | Text]:
    """Draw what is due as faint boxes, those that overlap in rows above one another."""
    high = (room.line - room.top) / 3 - 0.5
    rows: list[float] = []
    drawn: list[Path | Text] = []
    for due in sorted(strip.dues, key=lambda due: due.when.earliest):
        left, right, cut = _due_place(due, strip.today, scale)
        row = next((i for i, end in enumerate(rows) if end < left - 0.6), len(rows))
        rows[row : row + 1] = [right]
        top = room.line - (min(row, 2) + 1) * (high + 0.5)
        drawn.append(_due_box(left, right, top, high, f"due:{due.code}", cut=cut))
    return drawn


def _due_place(due: Due, today: float, scale: Scale) -> tuple[float, float, bool]:
    """Return left, right and whether the box runs off the strip; what is past stands at today.

    One whose interval has begun starts where that began.
    """
    begun = due.when.earliest if due.when.latest > today else today
    left = scale.at(begun) + 0.5
    right = max(scale.at(due.when.latest), left + NARROWEST)
    if right > scale.end + 0.01:
        return min(left, scale.end - NARROWEST), scale.end, True
    return left, right, False


def _due_box(left: float, right: float, top: float, high: float, key: str, *, cut: bool) -> Path:
    style = Style("ghost", width=0.3, dash=(0.9, 0.7))
    if not cut:
        return shapes.rect(left, top, right - left, high, style, key, radius=0.4)
    corners = ((right, top), (left, top), (left, top + high), (right, top + high))
    return shapes.polyline(corners, style, key)


def stand(block: Block, room: Room) -> list[Path]:
    """Draw a visit above the line, or as a tick under it."""
    if block.visit.kind == "afloat":
        tick = (block.left, room.line, block.left, room.below(0.44))
        return [
            *_smear(block, room.line, room.below(0.1)),
            shapes.line(*tick, Style("water", width=1.1)),
            shapes.line(*tick, Style("ink", width=0.5)),
        ]
    top = _top(block, room)
    fill_top = top if block.visit.closed else top + (room.line - top) * 0.3
    body = Style(None, "ashore")
    return [
        *_smear(block, fill_top, room.line),
        shapes.rect(block.left, fill_top, block.right - block.left, room.line - fill_top, body),
        _frame(block, top, room.line),
    ]


def _top(block: Block, room: Room) -> float:
    return room.top if block.visit.kind == "haul-out" else (room.top + room.line) / 2


def _frame(block: Block, top: float, foot: float) -> Path:
    """Draw the edges that are known to the day, and the top only once the visit is closed."""
    style = Style("ashore_edge", width=0.25)
    left, right = (block.left, top), (block.right, top)
    if block.visit.closed:
        return shapes.polyline(((block.left, foot), left, right, (block.right, foot)), style)
    ops = shapes.line(block.left, foot, *left).ops + shapes.line(block.right, foot, *right).ops
    return Path(ops, style)


def _smear(block: Block, top: float, foot: float) -> list[Path]:
    """Draw the blur of partial dates: slices that fade away from the solid part."""
    slices = []
    for near, far in ((block.left, block.blur_left), (block.right, block.blur_right)):
        if abs(far - near) < 0.4:
            continue
        for number, opacity in enumerate((0.5, 0.3, 0.17, 0.07)):
            ends = sorted(near + (far - near) * share / 4 for share in (number, number + 1))
            style = Style(None, "ashore", opacity=opacity)
            slices.append(shapes.rect(ends[0], top, ends[1] - ends[0], foot - top, style))
    return slices


def today(strip: Strip, scale: Scale, room: Room) -> list[Path | Text]:
    """Draw the dotted line of today, its name in the water ahead."""
    x = scale.at(strip.today)
    dots = Style("ink", width=0.35, dash=(0.4, 0.9))
    base = room.below(0.76) + font.cap_height(font.SMALL) / 2
    drawn: list[Path | Text] = [shapes.line(x, room.top - 0.8, x, room.height, dots)]
    if strip.today_text:
        drawn.append(Text(x + 1, base, strip.today_text, font.SMALL, "start", "ink"))
    return drawn


def picks(strip: Strip, blocks: tuple[Block, ...], room: Room) -> list[Path]:
    """Draw the edge that is picked, filled, and the one it is compared with, outlined."""
    styles = (
        (strip.compared, Style("action", "sheet", 0.4)),
        (strip.picked, Style("action", "action", 0.4)),
    )
    marks = []
    for edge, style in styles:
        for block in blocks:
            if edge and block.visit.id == edge.visit:
                top = room.line if block.visit.kind == "afloat" else _top(block, room)
                marks += _mark(block.edge(edge.state), top - 0.9, room, edge.state, style)
    return marks


def _mark(x: float, top: float, room: Room, state: State, style: Style) -> list[Path]:
    """Draw a post on an edge with a pennant that flies into the visit."""
    foot = room.line + 1.1
    fly = 1.0 if state == "found" else -1.0
    post = shapes.rect(x - 0.5, top, 1.0, foot - top, style, radius=0.5)
    points = ((x + fly * 0.5, top + 0.5), (x + fly * 2.0, top + 1.4), (x + fly * 0.5, top + 2.3))
    return [shapes.polygon(points, style), post]


def labels(strip: Strip, blocks: tuple[Block, ...], scale: Scale, room: Room) -> list[Path | Text]:
    """Set the labels in one line, thinned out where they crowd; those of the edges picked stay."""
    chosen = {edge.visit: -n for n, edge in enumerate((strip.compared, strip.picked), 1) if edge}
    texts, claims = [], []
    for block, rank in zip(blocks, spread(len(blocks)), strict=True):
        bold = block.visit.id in chosen
        middle = (block.left + block.right) / 2
        texts.append(_label(block.visit.label, middle, room, bold=bold))
        claims.append(_claim(texts[-1], chosen.get(block.visit.id, rank)))
    named = sorted((due for due in strip.dues if due.label), key=lambda due: due.when.earliest)
    for number, due in enumerate(named):
        left, right, _ = _due_place(due, strip.today, scale)
        texts.append(_label(due.label, (left + right) / 2, room, color="water_deep"))
        claims.append(_claim(texts[-1], 2.5 + number))
    stand = thinned(claims, 1.2)
    return [text for text, kept in zip(texts, stand, strict=True) if kept and text.text]


def _label(
    text: str, middle: float, room: Room, *, bold: bool = False, color: str = "muted"
) -> Text:
    text = font.fit(text, room.width / 3, font.SMALL, bold=bold)
    half = font.width(text, font.SMALL, bold=bold) / 2 + 0.4
    x = min(max(middle, half), room.width - half)
    return Text(x, room.label, text, font.SMALL, "middle", "ink" if bold else color, bold)


def _claim(text: Text, rank: float) -> Claim:
    left, _, right, _ = shapes.bounds(text)
    return Claim(left, right, rank)


def empty(strip: Strip, room: Room) -> list[Text]:
    """Say that nothing is there yet."""
    if strip.visits or not strip.empty_text:
        return []
    said = font.fit(strip.empty_text, room.width - 8, font.BODY)
    return [Text(4, room.line - 2.4, said, font.BODY, "start", "muted")]


def gaps(strip: Strip, scale: Scale, room: Room) -> list[Path | Text]:
    """Stand a small cross over years without a visit, and lay an unseen target over them."""
    drawn: list[Path | Text] = []
    for gap in strip.gaps:
        left, right = max(scale.at(gap.start), 0.0), min(scale.at(gap.end), room.width)
        high = room.line - room.top
        key = f"years:{gap.id}"
        drawn.append(shapes.rect(left, room.top, right - left, high, Style(None), key))
        if strip.visits and right - left > 2 * CROSS:
            x, y = (left + right) / 2, room.line - 2.6
            thin = Style("muted", width=0.25)
            drawn.append(shapes.line(x - CROSS / 2, y, x + CROSS / 2, y, thin))
            drawn.append(shapes.line(x, y - CROSS / 2, x, y + CROSS / 2, thin))
    return drawn


def targets(blocks: tuple[Block, ...], room: Room) -> list[Path]:
    """Lay an unseen target over each edge: a half of the block and a little beyond it."""
    if not blocks:
        return []
    seams = [(one.right + other.left) / 2 for one, other in pairwise(blocks)]
    starts, stops = [0.0, *seams], [*seams, room.width]
    targets = []
    for block, start, stop in zip(blocks, starts, stops, strict=True):
        left, right = max(block.left - 2, start), min(block.right + 2, stop)
        middle = (block.left + block.right) / 2
        halves: tuple[tuple[float, float, State], ...]
        halves = ((left, middle, "found"), (middle, right, "left"))
        if block.visit.kind == "afloat":
            halves = ((left, right, "found"),)
        for one, other, state in halves:
            key = f"visit:{block.visit.id}:{state}"
            high = room.line + 1.1
            targets.append(shapes.rect(one, 0, max(other - one, 0.3), high, Style(None), key))
    return targets
