"""The legend of a picture of the hull: swatches for the steps and the six appearances."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hulllog.drawing import font
from hulllog.drawing.hullparts import unlooked
from hulllog.drawing.scene import Path, Scene, Style, Text
from hulllog.drawing.shapes import hatch, rect, tick

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hulllog.drawing.hullparts import LegendEntry

Item = Path | Text

_ROW, _SWATCH = 5.6, 6.0


def _rows(legend: Sequence[LegendEntry], width: float) -> list[list[LegendEntry]]:
    rows: list[list[LegendEntry]] = [[]]
    used = 0.0
    for entry in legend:
        wide = _entry_width(entry)
        if rows[-1] and used + wide > width - 8.0:
            rows.append([])
            used = 0.0
        rows[-1].append(entry)
        used += wide
    return rows


def _entry_width(entry: LegendEntry) -> float:
    if not entry.text:  # a step between two that are named
        return _SWATCH + 1.2
    return _SWATCH + 1.6 + font.width(entry.text, 2.8) + 5.0


def height_of(legend: Sequence[LegendEntry], width: float) -> float:
    """Return the height in mm that a legend needs."""
    return _ROW * len(_rows(legend, width)) + 2.0


def items(legend: Sequence[LegendEntry], width: float, y: float) -> list[Item]:
    """Draw a legend from the height ``y`` downwards, in rows no wider than ``width`` mm."""
    drawn: list[Item] = []
    for row in _rows(legend, width):
        x = 5.0
        for entry in row:
            drawn += _swatch(entry, x, y)
            if entry.text:
                drawn.append(Text(x + _SWATCH + 1.6, y + 2.6, entry.text, 2.8, color="muted"))
            x += _entry_width(entry)
        y += _ROW
    return drawn


def _swatch(entry: LegendEntry, x: float, y: float) -> list[Item]:
    if entry.appearance == "graded":
        style = Style(stroke="edge", fill=f"condition.{entry.condition}", width=0.22)
        return [rect(x, y, _SWATCH, 3.4, style)]
    if entry.appearance == "none_found":
        return [tick(x + 2.5, y + 3.0, 2.6, Style(stroke="ink", width=0.36))]
    box = rect(x, y, _SWATCH, 3.4, Style(stroke="edge", width=0.22))
    if entry.appearance == "not_seen":
        return [hatch(box, 1.6, Style(stroke="hatch", width=0.18)), box]
    if entry.appearance == "not_looked":
        dashed = rect(x, y, _SWATCH, 3.4, Style(stroke="edge", width=0.25, dash=(1.2, 0.8)))
        return list(unlooked(box, 1.6, [dashed]))
    return [box] if entry.appearance == "not_rated" else []


def legend_scene(legend: Sequence[LegendEntry], width: float) -> Scene:
    """Draw a legend alone, ``width`` mm wide and as high as it needs."""
    return Scene(width, height_of(legend, width), tuple(items(legend, width, 1.0)))
