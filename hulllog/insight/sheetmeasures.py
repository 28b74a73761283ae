"""What the yard sheet asks with an instrument: readings by zone, how they were taken, fittings."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from hulllog.insight.gear import MEASURED
from hulllog.records.model import Instrument
from hulllog.records.operations import queries
from hulllog.trade import kinds

if TYPE_CHECKING:
    from collections.abc import Iterator

    from hulllog.records.book import Book
    from hulllog.trade.kinds import Component

WITH: Mapping[str, str] = {
    "moisture": "moisture_meter",
    "timber-moisture": "moisture_meter",
    "film-thickness": "film_gauge",
    "plate-thickness": "plate_gauge",
}
"""Kind -> the instrument without which it is not asked; any rule does for a seam."""

TAKEN: Mapping[str, tuple[str, ...]] = {
    "opened_up": ("seam-gap", "plate-thickness", "film-thickness"),
    "prepared": ("moisture", "timber-moisture"),
    "ready": ("film-thickness",),
}
"""Stage -> what is taken by zone.  Our own rule: moisture late, film before and after painting."""

RESULT_KEYS = {"nothing_found": "n", "something_found": "s"}


def instruments(book: Book) -> dict[str, list[str]]:
    """Return sort -> the instruments of that sort on record."""
    found: dict[str, list[str]] = {}
    for one in queries.kept(book, Instrument):
        found.setdefault(one.sort, []).append(one.id)
    return found


def asked_for(kind_id: str, held: Mapping[str, list[str]]) -> bool:
    """Tell whether a kind is asked with the instruments that are on record."""
    return kind_id not in WITH or WITH[kind_id] in held


def letters(codes: tuple[str, ...]) -> dict[str, str]:
    """Return a letter for each code: its first one that no other has."""
    found: dict[str, str] = {}
    for code in codes:
        free = (one for one in code.lower() if one.isalnum() and one not in found.values())
        found[code] = next(free, code)
    return found


def figures(kind_id: str) -> tuple[Component, ...]:
    """Return what a fitting or a zone has boxes for: what the kind wants, and a reading beside."""
    found = kinds.require(kind_id).components
    return tuple(part for part in found if not part.optional or part.code == "reference")


def hows(kind_id: str) -> Iterator[tuple[str, dict[str, str] | None]]:
    """Yield the conditions that are asked once for all readings, with their letters.

    Those without which figures never compare; where there are none, the days ashore.
    """
    told = kinds.require(kind_id).conditions
    for one in [c for c in told if c.needed] or [c for c in told if c.code == "days_ashore"]:
        yield one.code, letters(one.codes) if one.sort == "code" else None


def of_fitting(sort: str) -> tuple[str, ...]:
    """Return the kinds for which the row of a fitting has boxes."""
    return MEASURED.get(sort, ())
