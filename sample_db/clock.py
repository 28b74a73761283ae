"""Where the sample takes its clock, its keys and its salts from: the same at every build."""

from __future__ import annotations

import hashlib
import uuid
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from hulllog.records.logbook import Surroundings

if TYPE_CHECKING:
    from pathlib import Path

ZONE = "Europe/London"
OWNER = "Ines Corrow"
EVENING = time(19, 0)


@dataclass(slots=True)
class Clock:
    """A clock that stands until it is set or moved on."""

    at: datetime = datetime(2015, 3, 2, 19, 0, tzinfo=UTC)

    def evening_after(self, day: date) -> None:
        """Go to the evening of the day after, when the owner sits down to write; never back."""
        evening = datetime.combine(day + timedelta(days=1), EVENING, ZoneInfo(ZONE))
        self.at = max(self.at, evening.astimezone(UTC))

    def move(self, seconds: int = 40) -> None:
        """Let a little time pass."""
        self.at += timedelta(seconds=seconds)


class Counter:
    """Keys that look like keys, in the order in which they were asked for."""

    def __init__(self) -> None:
        self.given = 0

    def key(self) -> str:
        """Return the next key."""
        self.given += 1
        rest = hashlib.sha256(f"key {self.given}".encode()).digest()[4:16]
        return str(uuid.UUID(bytes=self.given.to_bytes(4, "big") + rest))

    def salt(self) -> bytes:
        """Return the next salt."""
        self.given += 1
        return hashlib.sha256(f"salt {self.given}".encode()).digest()[:16]


def surroundings(clock: Clock, scratch: Path, person: str = OWNER) -> Surroundings:
    """Return what a logbook of the sample takes from outside."""
    keys, salts = Counter(), Counter()
    return Surroundings(
        now=lambda: clock.at,
        new_id=keys.key,
        new_salt=salts.salt,
        person=person,
        state_folder=scratch / "state",
        cache_folder=scratch / "cache",
        synced=False,
    )
