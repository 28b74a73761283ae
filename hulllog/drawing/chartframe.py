"""The frame of a chart: title, scales, grid, the years, and the words around the plot."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Protocol

from hulllog.drawing import font, shapes
from hulllog.drawing.placing import Note, inked, stacked
from hulllog.drawing.scene import Path, Scene, Style, Text
from hulllog.drawing.timeline import Scale, years

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from hulllog.drawing.charts import Chart, Span

Item = Path | Text

CAP = font.cap_height(font.SMALL)
ROW = 3.9
"""The height of a line of small text, in mm."""
DOT = 0.85
"""The radius of a point, in mm."""
LIMIT_DASH = (2.2, 1.1)
"""The dashes of a limit, in mm."""
_GAP = 1.4
"""The width of the gap that a break leaves in the grid, in mm."""
_MOST = 0.55
"""The most of the height that the reasons over the plot may take before they are cut."""
_SPAN_ROW = 3.7
_SIDE = 2.6
"""What is left free at the right of the plot, in mm."""


@dataclass(frozen=True, slots=True)
class Frame:
    """The plot: its edges in mm, its two scales, and what stands in the rows above it."""

    x: Scale
    y: Scale
    left: float
    right: float
    top: float
    bottom: float
    notes: tuple[Note, ...] = ()

    def place(self, x: float, y: float | None) -> tuple[float, float]:
        """Return where a value lies; no value lies on the axis."""
        return self.x.at(x), self.bottom if y is None else self.y.at(y)


class Headed(Protocol):
    """A chart with a title, a note, and words for when it is empty."""

    @property
    def title(self) -> str: ...
    @property
    def note(self) -> str: ...
    @property
    def empty(self) -> str: ...
    @property
    def described(self) -> str: ...


def head_height(chart: Headed, width: float) -> float:
    """Return the height of title and note, which share a line where both fit."""
    title, below = _head(chart, width)
    return (5.4 if title else 0.0) + ROW * len(below)


def _head(chart: Headed, width: float) -> tuple[list[Text], tuple[str, ...]]:
    """Return the texts of the first line, and the lines of a note that must go below it."""
    said = font.fit(chart.title, width, font.BODY, bold=True)
    title = [Text(0, 3.1, said, font.BODY, bold=True)] if said else []
    if not chart.note:
        return title, ()
    room = width - (font.width(said, font.BODY, bold=True) + 4 if said else 0)
    if font.width(chart.note, font.SMALL) <= room:
        return [*title, Text(width, 3.1, chart.note, font.SMALL, "end", "muted")], ()
    return title, font.wrap(chart.note, width, font.SMALL)


def header(chart: Headed, width: float) -> list[Text]:
    """Set the title at the left, the note at the right or in lines below."""
    first, below = _head(chart, width)
    top = 7.3 if first else 2.4
    return first + [
        Text(0, top + ROW * row, line, font.SMALL, color="muted") for row, line in enumerate(below)
    ]


def nothing(chart: Headed, width: float, height: float) -> Scene:
    """Say that there is nothing to draw, in an empty frame that cannot be taken for good."""
    top = head_height(chart, width) + 0.4
    box = shapes.rect(
        0.2, top, width - 0.4, height - top - 0.4, Style("edge", width=0.25, dash=(1.4, 1.0))
    )
    lines = font.wrap(chart.empty, width - 8, font.SMALL)
    first = (top + height) / 2 - ROW * (len(lines) - 1) / 2 + CAP / 2
    said = [
        Text(width / 2, first + ROW * row, line, font.SMALL, "middle", "muted")
        for row, line in enumerate(lines)
    ]
    return Scene(width, height, (*header(chart, width), box, *said), chart.described)


def framed(
    chart: Chart, width: float, height: float, labels: Sequence[str], reach: tuple[float, float]
) -> Frame:
    """Lay out the plot: room for labels, for the words above it and the spans below it."""
    wide = max(font.width(label, font.SMALL) for label in labels)
    left, right = min(wide, width * 0.4) + 2.2, width - _SIDE
    x = _time_scale(chart, left + 1.4, right)
    bottom = height - 5.0 - _SPAN_ROW * len(_span_rows(chart))
    over = head_height(chart, width) + key_height(chart, width)
    notes = _notes(chart, x, width, (bottom - over) * _MOST)
    rows = _rows(notes) or bool(chart.unit)
    top = over + ROW * rows + (1.6 if rows else 1.2)
    bottom = max(bottom, top + 4)
    return Frame(x, Scale(*reach, bottom, top), left, right, top, bottom, notes)


def _rows(notes: Iterable[Note]) -> int:
    return max((note.top + 1 for note in notes), default=0)


def _notes(chart: Chart, x: Scale, width: float, room: float) -> tuple[Note, ...]:
    """Set the reasons whole where they leave the plot its room, else cut to a line each."""
    unit = font.width(chart.unit, font.SMALL) + 2 if chart.unit else 0.0
    start = max(unit, x.start)  # clear of the labels of the rules
    marks = [(x.at(mark.x), mark.reason) for mark in chart.breaks]
    notes = stacked(marks, start, width, font.SMALL)
    if ROW * _rows(notes) <= room:
        return notes
    return stacked(marks, start, width, font.SMALL, whole=False)


def _time_scale(chart: Chart, left: float, right: float) -> Scale:
    if chart.within:
        return Scale(*chart.within, left, right)
    times = [point.x for point in chart.points()] + [mark.x for mark in chart.breaks]
    times += [at for at, *_ in (chart.fan.points if chart.fan else ())]
    low, high = min(times), max(times)
    spare = max((1.0 - (high - low)) / 2, 0.0) + 0.02 * (high - low)
    return Scale(low - spare, high + spare, left, right)


def grid(frame: Frame, rows: Sequence[float], labels: Sequence[str], chart: Chart) -> list[Item]:
    """Draw the rules of the plot, each interrupted where a series breaks, and the years."""
    gaps = [frame.x.at(mark.x) for mark in chart.breaks]
    items: list[Item] = []
    for y in rows:
        role = "edge" if abs(y - frame.bottom) < 0.01 else "line"
        items += [
            shapes.line(start, y, end, y, Style(role, width=0.25))
            for start, end in _between(frame.left, frame.right + 1.4, gaps)
        ]
    items += row_labels(rows, labels, frame.left - 1.2)
    if chart.unit:
        items.append(Text(0, frame.top - 3.0, chart.unit, font.SMALL, color="muted"))
    items += [part for x in gaps for part in _slashes(x, frame.bottom)]
    return items + _years(frame) + _spans(chart, frame)


def row_labels(rows: Sequence[float], labels: Sequence[str], right: float) -> list[Text]:
    """Label the rules from the axis up, each that keeps clear of the one below it."""
    found: list[Text] = []
    lowest = float("inf")
    for y, label in sorted(zip(rows, labels, strict=True), reverse=True):
        if lowest - y >= ROW * 0.85:
            said = font.fit(label, right, font.SMALL)
            found.append(Text(right, y + CAP / 2, said, font.SMALL, "end", "muted"))
            lowest = y
    return found


def _between(left: float, right: float, gaps: Iterable[float]) -> list[tuple[float, float]]:
    runs, start = [], left
    for gap in sorted(gaps):
        if start < gap - _GAP / 2:
            runs.append((start, gap - _GAP / 2))
        start = max(start, gap + _GAP / 2)
    return [*runs, (start, right)] if start < right else runs


def _slashes(x: float, y: float) -> list[Path]:
    style = Style("edge", width=0.3)
    return [
        shapes.line(x + off - 0.4, y + 0.9, x + off + 0.4, y - 0.9, style)
        for off in (-_GAP / 2, _GAP / 2)
    ]


def _years(frame: Frame) -> list[Item]:
    scale = frame.x
    needed = font.width("0000", font.SMALL) + 2.4
    found = years(scale.low, scale.high, scale.end - scale.start, needed)
    base = frame.bottom + 1.6 + CAP
    if not found:
        middle = (scale.start + scale.end) / 2
        said = str(int((scale.low + scale.high) / 2))
        return [Text(middle, base, said, font.SMALL, "middle", "muted")]
    ticks: list[Item] = [
        shapes.line(scale.at(y), frame.bottom, scale.at(y), frame.bottom + 0.9, Style("edge"))
        for y in found
    ]
    return ticks + [Text(scale.at(y), base, str(y), font.SMALL, "middle", "muted") for y in found]


def _span_rows(chart: Chart) -> dict[str, list[Span]]:
    """Return the spans by their text: each text has a row of its own."""
    rows: dict[str, list[Span]] = {}
    for span in sorted(chart.spans, key=lambda span: span.start):
        rows.setdefault(span.text, []).append(span)
    return rows


def _spans(chart: Chart, frame: Frame) -> list[Item]:
    """Draw times worth knowing as lines under the years, each text once in its row."""
    items: list[Item] = []
    for row, (said, spans) in enumerate(_span_rows(chart).items()):
        y = frame.bottom + 1.6 + CAP + 2.6 + _SPAN_ROW * row
        ends = [_clipped(span, frame) for span in spans]
        style = Style(spans[0].role, width=0.5)
        items += [shapes.line(left, y, right, y, style) for left, right in ends]
        items.append(_span_text(said, ends, y + CAP / 2, frame))
    return items


def _clipped(span: Span, frame: Frame) -> tuple[float, float]:
    end = frame.right if span.end is None else frame.x.at(span.end)
    left = min(max(frame.x.at(span.start), frame.left), frame.right - 0.5)
    return left, max(min(end, frame.right), left + 0.5)


def _span_text(said: str, ends: list[tuple[float, float]], base: float, frame: Frame) -> Text:
    """Put the words left of the first line, or right of the last, whichever has more room."""
    left, right = min(ends)[0], max(end for _, end in ends)
    before, after = left - 1, frame.right + _SIDE - right - 1
    cut = font.fit(said, max(before, after), font.SMALL)
    if before >= after or font.width(cut, font.SMALL) <= before:
        return Text(left - 0.9, base, cut, font.SMALL, "end", "muted")
    return Text(right + 0.9, base, cut, font.SMALL, "start", "muted")


def reasons(frame: Frame) -> list[Item]:
    """Say why the series breaks: a thin line up from the gap to the words."""
    rise = Style("muted", width=0.2, dash=(0.9, 0.7))
    lines: list[Item] = []
    words: list[Item] = []
    for note in frame.notes:
        base = frame.top - 1.6 - ROW * note.top
        lines.append(shapes.line(note.x, frame.bottom - 1.4, note.x, base - CAP, rise))
        for row, said in enumerate(note.lines):
            text = Text(note.at, base + ROW * row, said, font.SMALL, note.anchor, "muted")
            words += [veil(text), text]
    return lines + words


def veil(text: Text) -> Path:
    """Clear the ground behind a text."""
    left, top, right, bottom = inked(text)
    box = (left - 0.4, top - 0.4, right - left + 0.8, bottom - top + 0.4)
    return shapes.rect(*box, Style(None, "sheet", opacity=0.85))


def key_height(chart: Chart, width: float) -> float:
    """Return the height of the key: the names of several series, the owner's limit."""
    return ROW * max((row + 1 for _, row, _, _ in _key_lines(chart, width)), default=0)


def _key_lines(chart: Chart, width: float) -> list[tuple[float, int, int, str]]:
    """Return (left, row, series, text) of each line of the key; the limit is series -1.

    A text that is wider than the chart goes on in a line that has no mark, series -2.
    """
    named = [(number, series.name) for number, series in enumerate(chart.series) if series.name]
    if chart.limit:
        named.append((-1, chart.limit.text))
    found: list[tuple[float, int, int, str]] = []
    x, row = 0.0, 0
    for number, name in named:
        lines = font.wrap(name, width - 6, font.SMALL)
        wide = 6 + font.width(lines[0], font.SMALL)
        if x and x + wide > width:
            x, row = 0.0, row + 1
        found.append((x, row, number, lines[0]))
        found += [(x, row + n, -2, line) for n, line in enumerate(lines[1:], start=1)]
        row += len(lines) - 1
        x = width if len(lines) > 1 else x + wide + 4
    return found


def key(chart: Chart, width: float) -> list[Item]:
    """Draw the key, each name after its mark."""
    top = head_height(chart, width)
    items: list[Item] = []
    for x, row, number, said in _key_lines(chart, width):
        base = top + 2.4 + ROW * row
        items += _key_mark(chart, number, x, base - CAP / 2)
        items.append(Text(x + 6, base, said, font.SMALL, color="muted"))
    return items


def _key_mark(chart: Chart, number: int, x: float, y: float) -> list[Item]:
    if number == -1:
        return [shapes.line(x, y, x + 4.6, y, Style("ink", width=0.35, dash=LIMIT_DASH))]
    if number < 0:
        return []
    role = chart.series[number].role
    line = shapes.line(x, y, x + 4, y, Style(role, width=0.45))
    return [line, mark(x + 2, y, role, number)]


def mark(x: float, y: float, role: str, number: int, *, hollow: bool = False) -> Path:
    """Draw a point: the shape tells the series where colour cannot."""
    style = Style(role, "sheet", 0.4) if hollow else Style("sheet", role, 0.25)
    if number % 3 == 1:
        corners = ((x, y - 1.15), (x + 1.15, y), (x, y + 1.15), (x - 1.15, y))
        return shapes.polygon(corners, style)
    if number % 3 == 2:
        return shapes.polygon(((x, y - 1.1), (x + 1.1, y + 0.8), (x - 1.1, y + 0.8)), style)
    return shapes.circle(x, y, DOT, style)
