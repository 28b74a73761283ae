"""Amounts side by side, such as the litres of each year."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from hulllog.drawing import font, shapes
from hulllog.drawing.chartframe import CAP, ROW, head_height, header, nothing, row_labels, veil
from hulllog.drawing.charts import plain
from hulllog.drawing.placing import overlap
from hulllog.drawing.scene import Path, Scene, Style, Text
from hulllog.drawing.timeline import Claim, Scale, nice, thinned

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

Item = Path | Text


@dataclass(frozen=True, slots=True)
class Part:
    """A part of a column: how much, of what."""

    value: float
    role: str
    name: str = ""


@dataclass(frozen=True, slots=True)
class Column:
    """A column with its label below, its total as text above, and what is said of it."""

    label: str
    parts: tuple[Part, ...]
    text: str = ""
    said: str = ""
    key: str = ""


@dataclass(frozen=True, slots=True)
class Bars:
    """Amounts side by side, such as litres a year."""

    columns: tuple[Column, ...]
    title: str = ""
    note: str = ""
    unit: str = ""
    empty: str = ""
    described: str = ""
    number: Callable[[float], str] = plain


def bars(chart: Bars, width: float, height: float) -> Scene:
    """Draw amounts as columns of stacked parts, ``width`` × ``height`` mm."""
    if not chart.columns:
        return nothing(chart, width, height)
    highest = max(sum(part.value for part in column.parts) for column in chart.columns)
    ticks = nice(0.0, highest or 1.0)
    labels = [chart.number(tick) for tick in ticks]
    left = max(font.width(label, font.SMALL) for label in labels) + 1.6
    top = head_height(chart, width) + _key_height(chart) + (5.4 if chart.unit else 3.4)
    scale = Scale(0.0, ticks[-1], height - 5.2, top)
    items: list[Item] = [
        *header(chart, width),
        *_key(chart, width),
        *_rules(left, width, [scale.at(tick) for tick in ticks], labels, chart.unit),
        *_stacks(chart, Scale(0, len(chart.columns), left, width), scale),
    ]
    said = tuple(
        (column.key or f"column:{number}", column.said or column.label)
        for number, column in enumerate(chart.columns)
    )
    return Scene(width, height, tuple(items), chart.described, said)


def _key_height(chart: Bars) -> float:
    """Return the height of the key of colours, nought where nothing is named."""
    return ROW + 0.6 if _kinds(chart) else 0.0


def _kinds(chart: Bars) -> dict[str, str]:
    """Return the colour of each name, in the order in which they first come."""
    return {p.name: p.role for column in chart.columns for p in column.parts if p.name}


def _key(chart: Bars, width: float) -> list[Item]:
    """Draw the key of colours in one line, as much as fits."""
    y, x = head_height(chart, width) + 0.4, 0.0
    items: list[Item] = []
    for name, role in _kinds(chart).items():
        said = font.fit(name, width - x - 4.2, font.SMALL)
        if not said:
            break
        items.append(shapes.rect(x, y, 3, 2.4, Style("edge", role, 0.2)))
        items.append(Text(x + 4, y + 2.2, said, font.SMALL, color="muted"))
        x += 4 + font.width(said, font.SMALL) + 4
    return items


def _stacks(chart: Bars, across: Scale, scale: Scale) -> list[Item]:
    """Draw the columns, thin out the labels below them, set the totals above them."""
    half = min(across.unit * 0.32, 5.0)
    base = scale.start + 1.6 + CAP
    items: list[Item] = []
    labels, claims, totals = [], [], []
    for number, column in enumerate(chart.columns):
        x, total = across.at(number + 0.5), 0.0
        for part in column.parts:
            top = scale.at(total + part.value)
            box = (x - half, top, 2 * half, scale.at(total) - top)
            items.append(shapes.rect(*box, Style("edge", part.role, 0.2)))
            total += part.value
        totals.append(Text(x, scale.at(total) - 0.9, column.text, font.SMALL, "middle"))
        labels.append(Text(x, base, column.label, font.SMALL, "middle", "muted"))
        claims.append(_claim(labels[-1], len(chart.columns) - number))
        name = column.key or f"column:{number}"
        box = (x - half, scale.end, 2 * half, scale.start - scale.end)
        items.append(shapes.rect(*box, Style(None), name))
    stand = thinned(claims, 1.0)
    items += [text for text, kept in zip(labels, stand, strict=True) if kept]
    return items + [item for text in _apart(totals) for item in (veil(text), text)]


def _claim(text: Text, rank: float) -> Claim:
    left, _, right, _ = shapes.bounds(text)
    return Claim(left, right, rank)


def _apart(texts: Sequence[Text]) -> list[Text]:
    kept: list[Text] = []
    for text in texts:
        if text.text and not any(
            overlap(shapes.bounds(text), shapes.bounds(other)) for other in kept
        ):
            kept.append(text)
    return kept


def _rules(
    left: float, right: float, rows: Sequence[float], labels: Sequence[str], unit: str
) -> list[Item]:
    """Draw plain rules with their labels and the unit above them."""
    items: list[Item] = [
        shapes.line(left, y, right, y, Style("edge" if y == max(rows) else "line")) for y in rows
    ]
    items += row_labels(rows, labels, left - 1.2)
    if unit:
        items.append(Text(0, min(rows) - 3.0, unit, font.SMALL, color="muted"))
    return items
