"""What was typed of a slot and its work, read; a problem names the cell it stands in."""

from __future__ import annotations

import re
from datetime import date
from typing import TYPE_CHECKING

from hulllog.insight.fitting import GROUPS, Given, Wanted
from hulllog.records.errors import Refused
from hulllog.records.values import PartialDate
from hulllog.trade import units
from hulllog.trade.refusal import Refusal
from hulllog.trade.slothours import MOST_DAYS, Day, Grid, HighWater

if TYPE_CHECKING:
    from collections.abc import Mapping

    from hulllog.insight.fitting import Sort

Form = dict[str, str]
"""What stands in each cell, by its name."""

DAY_CELLS = ("opens", "closes", "highest", "lowest", "humidity")
WORK_CELLS = ("removing", "abrading", "first_coats", "coats", "hours")
HOURS = ("washing", "drying", "anodes", "moving", "hanging")
DEGREES = ("highest", "lowest")
"""The cells of a day that hold temperatures."""
UNIT = "temperature"
"""Name under which the form keeps the unit of its temperatures."""
HEIGHT_UNIT = "height"
"""Name under which the form keeps the unit of its heights of the tide."""
HEIGHTS = ("needs", "margin")
"""The cells that hold heights."""
GRID_CELLS = ("needs", "margin", "dries_after", "floods_before")
MOST_COATS = 8
SHUT = frozenset({"-", "–", "—"})
_CLOCK = re.compile(r"(\d{1,2})(?:[:.](\d{2}))?")
_WATER = re.compile(
    r"(?P<day>\S.*?)[\s,;]+(?P<clock>\d{1,2}[:.]\d{2})[\s,;]+"
    r"(?P<high>\S+?)(?:\s*(?P<unit>m|ft))?"
)


def read_given(form: Mapping[str, str], sort: Sort) -> Given:
    """Return the slot.  Raises Refused, which names the cell."""
    first = _day(form, "first")
    count = _count(form, "days", 1, MOST_DAYS)
    days = tuple(_days(form, count, sort))
    told = {name: _count(form, name, 0, 400, default=0) for name in HOURS}
    given = {
        "first_light": _hour(form, "first_light"),
        "last_light": _hour(form, "last_light"),
        "lift": _hour(form, "lift") if sort != "grid" else 0,
        "back": 24 * (count - 1) + _hour(form, "back") if sort != "grid" else 0,
    }
    grid = _grid(form, first) if sort == "grid" else None
    return Given(sort, first, days, grid=grid, **given, **told)


def read_works(
    form: Mapping[str, str], zones: Mapping[str, tuple[str, ...]], first: str, finish: str
) -> list[Wanted]:
    """Return the work; ``first`` and ``finish`` are the keys of the paints.  Raises Refused."""
    found = []
    for group in GROUPS:
        before = _count(form, f"{group}_first_coats", 0, MOST_COATS, default=0)
        after = _count(form, f"{group}_coats", 0, MOST_COATS, default=0)
        if not zones.get(group) or not before + after:
            continue
        if before and not first:
            raise Refused("fit_first_paint", field=f"{group}_first_coats")
        if after and not finish:
            raise Refused("fit_paint", field=f"{group}_coats")
        found.append(
            Wanted(
                group,
                zones[group],
                (first,) * before + (finish,) * after,
                _count(form, f"{group}_hours", 1, 24, default=1),
                _count(form, f"{group}_removing", 0, 400, default=0),
                _count(form, f"{group}_abrading", 0, 400, default=0),
                form.get(f"{group}_bares") == "yes",
                group == "line",
                "pads" if group == "pads" else "under" if group == "under" else "open",
            )
        )
    if not found:
        raise Refused("fit_no_work", field="bottom_coats")
    return found


def _day(form: Mapping[str, str], name: str) -> date:
    text = form.get(name, "").strip()
    if not text:
        raise Refused("date_wanted", field=name)
    kept = PartialDate.parse(text, field=name)
    if kept.precision != "day" or kept.about:
        raise Refused("fit_whole_day", field=name, typed=text)
    return kept.earliest.date()


def _days(form: Mapping[str, str], count: int, sort: Sort) -> list[Day]:
    found: list[Day] = []
    kept: dict[str, str] = {}
    unit = form.get(UNIT, "degC")
    for number in range(count):
        # An empty cell is as on the day above.
        for cell in DAY_CELLS:
            if typed := form.get(f"day{number}_{cell}", "").strip():
                kept[cell] = typed
        shut = kept.get("opens", "") in SHUT
        opens = closes = None
        if sort == "grid":
            opens, closes = 0, 24
        elif not shut:
            opens = _hour(kept, "opens", field=f"day{number}_opens")
            closes = _hour(kept, "closes", field=f"day{number}_closes")
            if opens >= closes:
                raise Refused("fit_closes_first", field=f"day{number}_closes")
        values = [_number(kept, cell, field=f"day{number}_{cell}") for cell in DAY_CELLS[2:]]
        values[:2] = (in_unit(one, unit, "degC") for one in values[:2])
        if values[1] > values[0]:
            raise Refused("fit_night_over_day", field=f"day{number}_lowest")
        found.append(Day(values[0], values[1], values[2], opens, closes))
        if shut:
            kept.pop("opens")
    return found


def in_unit(value: float, unit: str, into: str) -> float:
    """Turn a value from one unit into another."""
    return value if unit == into else units.from_si(units.to_si(value, unit), into)


def retyped(form: Mapping[str, str], degrees: str, height: str = "m") -> Form:
    """Return a form with temperatures and heights in other units; no number stays as typed."""
    found = {**form, UNIT: degrees, HEIGHT_UNIT: height}
    was, stood = form.get(UNIT, "degC"), form.get(HEIGHT_UNIT, "m")
    for name, text in form.items():
        if name.startswith("day") and name.endswith(DEGREES):
            found[name] = _turned(text, was, degrees, 1)
        elif name in HEIGHTS:
            found[name] = _turned(text, stood, height, 2)
        elif name == "waters":
            lines = (_water_turned(line, stood, height) for line in text.split("\n"))
            found[name] = "\n".join(lines)
    return found


def _turned(text: str, unit: str, into: str, digits: int) -> str:
    if unit == into:
        return text
    try:
        value = in_unit(float(units.read_number(text)), unit, into)
    except Refusal:
        return text
    return f"{value:.{digits}f}".rstrip("0").removesuffix(".")


def _water_turned(line: str, unit: str, into: str) -> str:
    """Turn the height at the end of a high water; one that names its unit stays."""
    parts = _WATER.fullmatch(line.strip())
    if parts is None or parts["unit"] or unit == into:
        return line
    return f"{line.strip()[: parts.start('high')]}{_turned(parts['high'], unit, into, 2)}"


def _grid(form: Mapping[str, str], first: date) -> Grid:
    waters = []
    unit = form.get(HEIGHT_UNIT, "m")
    for line in form.get("waters", "").splitlines():
        if not line.strip():
            continue
        parts = _WATER.fullmatch(line.strip())
        if parts is None:
            raise Refused("fit_tide_unread", field="waters", typed=line.strip())
        day = _day({"waters": parts["day"]}, "waters")
        hour, minute = (int(one) for one in re.split("[:.]", parts["clock"]))
        if hour > 23 or minute > 59:
            raise Refused("fit_tide_unread", field="waters", typed=line.strip())
        at = 24.0 * (day - first).days + hour + minute / 60
        if at < 0:
            raise Refused("fit_tide_before", field="waters", typed=line.strip())
        height = _number({"waters": parts["high"]}, "waters")
        waters.append(HighWater(at, in_unit(height, parts["unit"] or unit, "m")))
    needs, margin, dries, floods = (_number(form, name) for name in GRID_CELLS)
    needs, margin = (in_unit(one, unit, "m") for one in (needs, margin))
    return Grid(tuple(waters), needs, margin, dries, floods)


def _hour(form: Mapping[str, str], name: str, *, field: str = "") -> int:
    """Read a whole hour of the day: 8, 08:00; 24 is midnight at its end."""
    text = form.get(name, "").strip()
    if not text:
        raise Refused("fit_hour_wanted", field=field or name)
    parts = _CLOCK.fullmatch(text)
    if parts is None or (parts[2] or "00") != "00" or int(parts[1]) > 24:
        raise Refused("fit_hour_unread", field=field or name, typed=text)
    return int(parts[1])


def _number(form: Mapping[str, str], name: str, *, field: str = "") -> float:
    text = form.get(name, "").strip()
    if not text:
        raise Refused("number_wanted", field=field or name)
    try:
        return float(units.read_number(text))
    except Refusal as refusal:
        raise Refused(refusal.code, field=field or name, **refusal.values) from refusal


def _count(
    form: Mapping[str, str], name: str, low: int, high: int, default: int | None = None
) -> int:
    text = form.get(name, "").strip()
    if not text and default is not None:
        return default
    value = _number(form, name)
    if value != int(value):
        raise Refused("fit_whole_hours", field=name, typed=text)
    if value < low:
        raise Refused("number_low", field=name, typed=text, low=low)
    if value > high:
        raise Refused("number_high", field=name, typed=text, high=high)
    return int(value)
