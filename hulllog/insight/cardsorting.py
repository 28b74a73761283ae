"""Which zone each photograph of a folder shows, by the zone cards photographed among them.

What comes after a card's picture shows its zone, until the next card; each camera by itself, since
a card before one says nothing of another.  After a card that could not be read nothing is placed
until the owner names its zone.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from datetime import UTC, datetime
from typing import TYPE_CHECKING

from hulllog.records.zonecards import CLOCK, Card, zone_of

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence
    from pathlib import Path

_TIME = re.compile(r"(\d{1,2})[:.](\d{2})")
_HALF_A_DAY = 12 * 60


@dataclass(frozen=True, slots=True)
class Seen:
    """A picture as it was read: its file, when and with what it was taken, the card in it."""

    file: Path
    taken: datetime | None = None
    camera: str | None = None
    card: Card | None = None


@dataclass(slots=True)
class Sorted:
    """Where the pictures go.  ``unread`` are (card's picture, what came after it).

    ``clocks`` are pictures of the clock card, ``strangers`` of a card that no zone of this boat
    has, ``before`` came before any card or have no time.
    """

    zones: dict[Path, str] = field(default_factory=dict)
    cards: dict[Path, Card] = field(default_factory=dict)
    unread: list[tuple[Path, list[Path]]] = field(default_factory=list)
    clocks: list[Seen] = field(default_factory=list)
    strangers: list[Path] = field(default_factory=list)
    before: list[Path] = field(default_factory=list)

    @property
    def any_card(self) -> bool:
        """Whether there was any card of ours, read or not."""
        return bool(self.cards or self.unread or self.clocks or self.strangers)


def sort_by_cards(pictures: Iterable[Seen], zone_ids: Sequence[str]) -> Sorted:
    """Say which zone each picture shows."""
    found = Sorted()
    cameras: dict[str | None, list[Seen]] = {}
    for seen in pictures:
        if seen.taken is None and seen.card is None:
            found.before.append(seen.file)
        else:
            cameras.setdefault(seen.camera, []).append(seen)
    for taken in cameras.values():
        _sort_camera(sorted(taken, key=_order), tuple(zone_ids), found)
    return found


def _order(seen: Seen) -> tuple[datetime, str]:
    """Sort by the camera's own clock; pictures of one second by the name of their file."""
    taken = seen.taken.replace(tzinfo=UTC) if seen.taken else datetime.max.replace(tzinfo=UTC)
    return taken, seen.file.name


def _sort_camera(pictures: Sequence[Seen], zone_ids: tuple[str, ...], found: Sorted) -> None:
    zone: str | None = None
    held: list[Path] | None = None
    for seen in pictures:
        card = seen.card
        if card is not None and card.said == CLOCK:
            found.clocks.append(seen)
            continue
        if card is not None:
            zone, held = None, None
            if card.said is None:
                held = []
                found.unread.append((seen.file, held))
                continue
            zone = zone_of(card.said, zone_ids)
            if zone is None:
                found.strangers.append(seen.file)
                continue
            found.cards[seen.file] = card
        if zone is not None:
            found.zones[seen.file] = zone
        elif held is not None:
            held.append(seen.file)
        else:
            found.before.append(seen.file)


def clock_minutes(shown: datetime, typed: str) -> int | None:
    """Return the minutes to add to a camera's clock that showed ``shown`` when the yard's did this.

    ``typed`` is a time of day, taken as the one nearest to what the camera showed; None for
    anything else.
    """
    found = _TIME.fullmatch(typed.strip())
    if found is None or int(found[1]) > 23 or int(found[2]) > 59:
        return None
    minutes = 60 * int(found[1]) + int(found[2]) - 60 * shown.hour - shown.minute
    return (minutes + _HALF_A_DAY) % (2 * _HALF_A_DAY) - _HALF_A_DAY
