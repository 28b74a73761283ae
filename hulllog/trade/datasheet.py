"""What can be read in the pasted text of a paint's data sheet: offers, each with its line.

Only what stands there in so many words is offered; nothing is guessed and nothing is a default.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator

LONGEST = 50_000
"""Letters of a pasted text that are read."""
Amount = tuple[str, str]
"""A figure as it stands, with its unit as a code."""

_NUMBER = r"(\d+(?:[.,]\d+)?)"
_TEMPERATURE = re.compile(rf"(?<![\d.,])(-?{_NUMBER})\s*°?\s*([CF])\b")
_TIME = re.compile(
    rf"(?<![\d.,]){_NUMBER}\s*(hours?|hrs?\.?|h|days?|d|minutes?|mins?\.?)\b", re.IGNORECASE
)
_SOLIDS = re.compile(
    rf"(?:volume\s+solids?|solids?\s+(?:content\s+)?by\s+volume|solids?\s*\(vol)"
    rf"[^\d\n]{{0,30}}{_NUMBER}\s*(?:±\s*\d+\s*)?%",
    re.IGNORECASE,
)
_FILM = re.compile(
    rf"(?:dry\s+film(?:\s+thickness)?|\bdft\b)[^\d\n]{{0,40}}{_NUMBER}\s*"
    r"(µm|μm|um|microns?|micrometres?|mils?)\b",
    re.IGNORECASE,
)
_SPREADING = re.compile(
    rf"(?:spreading\s+rate|coverage)[^\d\n]{{0,40}}{_NUMBER}\s*m(?:²|2)\s*/\s*(?:l|litre|liter)\b",
    re.IGNORECASE,
)
_STEPS = (
    ("pot_life", re.compile(r"pot[\s-]*life", re.IGNORECASE)),
    ("touch_dry", re.compile(r"touch[\s-]*dry", re.IGNORECASE)),
    ("launch", re.compile(r"\blaunch|\bimmers|\brefloat", re.IGNORECASE)),
    ("overcoat_self", re.compile(r"\bover-?coat|\bre-?coat", re.IGNORECASE)),
)
_MOST = re.compile(r"\bmax|\blongest|\bwithin\b|\blatest\b|not later", re.IGNORECASE)
_LEAST = re.compile(r"\bmin(?:imum|\.)?(?![a-z])|\bshortest|\bafter\b|\bat least", re.IGNORECASE)
_UNITS = {"h": "h", "d": "d", "m": "min"}


@dataclass(frozen=True, slots=True)
class Offer:
    """Something read: volume_solids, film, spreading_rate or time, with the line it stood in.

    A time has its step and temperature, and a shortest or a longest.
    """

    code: str
    line: str
    value: Amount = ("", "")
    step: str = ""
    temperature: Amount = ("", "")
    shortest: Amount | None = None
    longest: Amount | None = None


def read_sheet(text: str) -> list[Offer]:
    """Return what can be read in the text of a data sheet, in its order; often little, never all.

    Times without a temperature are left out, since they bound nothing.
    Source: our own rule, by the words that such sheets use.
    """
    found: list[Offer] = []
    header: list[Amount] = []
    for line in _lines(text):
        temperatures = [(_plain(one), f"deg{unit}") for one, _, unit in _TEMPERATURE.findall(line)]
        times = [(_plain(one), _UNITS[unit[0].lower()]) for one, unit in _TIME.findall(line)]
        found += _figures(line)
        if temperatures and not times:
            header = temperatures
        elif times:
            found += _times(line, temperatures or header, times)
    return _together(found)


def passed_over(text: str) -> list[str]:
    """Return the lines with a figure of which nothing was offered, in their order.

    A row of temperatures counts as read where times below it were.  Source: our own rule.
    """
    read = {part for one in read_sheet(text) for part in one.line.split(" / ")}
    found: list[str] = []
    header = ""
    for line in _lines(text):
        warm, timed = _TEMPERATURE.search(line), _TIME.search(line)
        header = line if warm and not timed else header
        if line not in read:
            found += [line] if any(letter.isdigit() for letter in line) else []
        elif timed and not warm and header in found:
            found.remove(header)
    return found


def _lines(text: str) -> Iterator[str]:
    for line in text[:LONGEST].splitlines():
        told = " ".join(line.split())
        if told:
            yield told


def _plain(figure: str) -> str:
    return figure.replace(",", ".")


def _figures(line: str) -> list[Offer]:
    found = []
    if told := _SOLIDS.search(line):
        found.append(Offer("volume_solids", line, (_plain(told[1]), "percent")))
    if told := _FILM.search(line):
        unit = "mil" if told[2].lower().startswith("mil") else "um"
        found.append(Offer("film", line, (_plain(told[1]), unit)))
    if told := _SPREADING.search(line):
        found.append(Offer("spreading_rate", line, (_plain(told[1]), "m2/L")))
    return found


def _times(line: str, temperatures: list[Amount], times: list[Amount]) -> list[Offer]:
    """Pair the times of a line with its temperatures, or with those of the row above."""
    step = next((code for code, words in _STEPS if words.search(line)), "")
    if not step or not temperatures:
        return []
    both = len(times) == 2 * len(temperatures) and _LEAST.search(line) and _MOST.search(line)
    if not both and len(times) != len(temperatures):
        return []
    most = step == "pot_life" or (_MOST.search(line) is not None and not _LEAST.search(line))
    found = []
    for number, at in enumerate(temperatures):
        offer = Offer("time", line, step=step, temperature=at)
        if both:
            least, longest = times[2 * number], times[2 * number + 1]
            found.append(replace(offer, shortest=least, longest=longest))
        elif most:
            found.append(replace(offer, longest=times[number]))
        else:
            found.append(replace(offer, shortest=times[number]))
    return found


def _together(found: list[Offer]) -> list[Offer]:
    """Put the shortest and the longest of one step and temperature into one offer."""
    told: list[Offer] = []
    for one in found:
        for place, other in enumerate(told):
            same = (one.code, one.step, one.temperature) == (
                other.code, other.step, other.temperature,
            )  # fmt: skip
            clash = (one.shortest and other.shortest) or (one.longest and other.longest)
            if same and one.code == "time" and not clash:
                told[place] = replace(
                    other,
                    line=f"{other.line} / {one.line}",
                    shortest=other.shortest or one.shortest,
                    longest=other.longest or one.longest,
                )
                break
        else:
            told.append(one)
    return told
