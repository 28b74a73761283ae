"""Surroundings that repeat: a clock that steps, keys and salts that count, state in one folder."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from itertools import count
from typing import TYPE_CHECKING

from hulllog.records.logbook import Surroundings

if TYPE_CHECKING:
    from pathlib import Path

START = datetime(2025, 6, 1, 8, 0, tzinfo=UTC)


def repeatable(folder: Path, *, person: str = "owner", begins: int = 1) -> Surroundings:
    """Return surroundings that give the same clock, keys and salts every time.

    ``begins`` is where they count from: a logbook opened again must not give a key twice.
    """
    seconds, ids, salts = count(begins), count(begins), count(begins)
    return Surroundings(
        now=lambda: START + timedelta(seconds=next(seconds)),
        new_id=lambda: f"id-{next(ids):06}",
        new_logbook_id=lambda: "the-logbook",
        new_salt=lambda: next(salts).to_bytes(16, "big"),
        person=person,
        state_folder=folder / "state",
        cache_folder=folder / "cache",
    )
