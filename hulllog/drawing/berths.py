"""Where she lay, on an axis of years: a basin for each berth period, what happened below it.

A basin is as full as she was afloat of that time; the line below it is shore power.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from hulllog.drawing import font, shapes
from hulllog.drawing.scene import Scene, Style, Text
from hulllog.drawing.timeline import Claim, Scale, thinned, years

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hulllog.drawing.scene import Path
    from hulllog.drawing.timeline import Moment

HEIGHT = 25.0
"""Millimetres that the whole needs."""
_TOP, _BASIN = 1.0, 8.5
_SHORE, _EVENTS = 11.8, 15.2
_LEAST = 0.8
_SIDE = 3.0


@dataclass(frozen=True, slots=True)
class Period:
    """A berth period: its number in the list, where, how much of it afloat, on shore power or not.

    ``shore`` is a code of shore power; ``end`` None is until today.
    """

    id: str
    start: Moment
    end: Moment | None
    number: str
    location: str
    immersed: float
    shore: str
    said: str


@dataclass(frozen=True, slots=True)
class Happened:
    """Something that happened to her, with ``label`` beside it where there is room."""

    id: str
    at: Moment
    label: str
    said: str


def berth_axis(
    periods: Sequence[Period],
    happened: Sequence[Happened],
    today: float,
    width: float,
    height: float = HEIGHT,
    described: str = "",
) -> Scene:
    """Draw the periods and events, ``width`` × ``height`` mm, in years with fractions.

    Keys: ``berth:<id>`` and ``event:<id>``, reached in the order of time.
    """
    starts = [one.start.earliest for one in periods] + [one.at.earliest for one in happened]
    scale = Scale(min([*starts, today - 1]), today, _SIDE, width - _SIDE)
    items: list[Path | Text] = _years(scale, height)
    for period in periods:
        items += _basin(period, today, scale)
    items += _events(happened, scale, width)
    return Scene(width, height, tuple(items), described, _regions(periods, happened))


def _basin(period: Period, today: float, scale: Scale) -> list[Path | Text]:
    key = f"berth:{period.id}"
    left = scale.at(period.start.middle)
    right = max(scale.at(period.end.middle if period.end else today), left + _LEAST)
    wide, full = right - left, _BASIN * min(max(period.immersed, 0.0), 1.0)
    drawn: list[Path | Text] = [
        shapes.rect(left, _TOP, wide, _BASIN, Style(None, "sheet"), key),
        shapes.rect(left, _TOP + _BASIN - full, wide, full, Style(None, "water"), key),
        shapes.rect(left, _TOP, wide, _BASIN, Style("water_deep", width=0.3), key),
    ]
    if period.shore.startswith("plugged"):
        dash = (1.6, 0.9) if period.shore == "plugged_with_isolator" else ()
        drawn.append(
            shapes.line(left, _SHORE, right, _SHORE, Style("shore", width=0.5, dash=dash), key)
        )
    return [*drawn, *_named(period, left, wide, key)]


def _named(period: Period, left: float, wide: float, key: str) -> list[Text]:
    """Write the number, and the location as far as it fits."""
    number = font.width(period.number, font.SMALL, bold=True)
    if number > wide - 0.8:
        return []
    base = _TOP + (_BASIN + font.cap_height(font.SMALL)) / 2
    room = wide - number - 3.6
    said = font.fit(period.location, room, font.SMALL) if room > 8 else ""
    if not said:
        middle = left + wide / 2
        return [Text(middle, base, period.number, font.SMALL, "middle", "ink", True, key)]
    return [
        Text(left + 1.2, base, period.number, font.SMALL, "start", "ink", True, key),
        Text(left + number + 2.4, base, said, font.SMALL, "start", "ink", key=key),
    ]


def _events(happened: Sequence[Happened], scale: Scale, width: float) -> list[Path | Text]:
    base = _EVENTS + font.cap_height(font.SMALL) / 2
    drawn: list[Path | Text] = []
    texts, claims = [], []
    for rank, event in enumerate(reversed(happened)):
        key, x = f"event:{event.id}", scale.at(event.at.middle)
        blurred = scale.at(event.at.latest) - scale.at(event.at.earliest)
        if blurred > 1:
            style = Style("ink", width=0.8, opacity=0.25)
            drawn.append(
                shapes.line(scale.at(event.at.earliest), _EVENTS, x + blurred / 2, _EVENTS, style)
            )
        drawn.append(shapes.circle(x, _EVENTS, 0.9, Style("sheet", "ink", 0.3), key))
        drawn.append(shapes.circle(x, _EVENTS, 2.0, Style(None), key))
        wide = font.width(event.label, font.SMALL)
        before = x + 1.7 + wide > width
        at = x - 1.7 if before else x + 1.7
        texts.append(
            Text(at, base, event.label, font.SMALL, "end" if before else "start", "muted", key=key)
        )
        left, right = (at - wide, x + 1) if before else (x - 1, at + wide)
        claims.append(Claim(left, right, rank))
    drawn += [text for text, kept in zip(texts, thinned(claims), strict=True) if kept]
    return drawn


def _years(scale: Scale, height: float) -> list[Path | Text]:
    """Write the years along the foot, each above its tick."""
    line = height - font.cap_height(font.SMALL) - 3.4
    needed = font.width("0000", font.SMALL) + 3
    drawn: list[Path | Text] = [
        shapes.line(scale.start, line, scale.end, line, Style("line", width=0.2))
    ]
    half = font.width("0000", font.SMALL) / 2
    for year in years(scale.low, scale.high, scale.end - scale.start, needed):
        x = scale.at(year)
        drawn.append(shapes.line(x, line, x, line + 0.9, Style("muted", width=0.2)))
        at = min(max(x, half), scale.end + _SIDE - half)
        drawn.append(Text(at, height - 1.2, str(year), font.SMALL, "middle", "muted"))
    return drawn


def _regions(
    periods: Sequence[Period], happened: Sequence[Happened]
) -> tuple[tuple[str, str], ...]:
    found = [(one.start.earliest, f"berth:{one.id}", one.said) for one in periods]
    found += [(one.at.earliest, f"event:{one.id}", one.said) for one in happened]
    return tuple((key, said) for _, key, said in sorted(found, key=lambda one: one[0]))
