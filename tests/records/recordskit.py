"""What the tests of the records share: surroundings that repeat, and short ways to a visit."""

from __future__ import annotations

import itertools
from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING

from sqlalchemy import func, select

from hulllog.records.logbook import Surroundings
from hulllog.records.model import Visit

if TYPE_CHECKING:
    from pathlib import Path

    from hulllog.records.logbook import Logbook

START = datetime(2025, 6, 1, 8, 0, tzinfo=UTC)


def repeatable(folder: Path, *, person: str = "owner", begins: int = 1) -> Surroundings:
    """Return surroundings that give the same clock, keys and salts every time.

    ``begins`` is where they count from: a logbook opened again must not give a key twice.
    """
    seconds, ids, salts = (itertools.count(begins) for _ in range(3))
    return Surroundings(
        now=lambda: START + timedelta(seconds=next(seconds)),
        new_id=lambda: f"id-{next(ids):06}",
        new_logbook_id=lambda: "the-logbook",
        new_salt=lambda: next(salts).to_bytes(16, "big"),
        person=person,
        state_folder=folder / "state",
        cache_folder=folder / "cache",
    )


def begin(logbook: Logbook, visit: Visit) -> str:
    """Add a visit; returns its key."""
    with logbook.change("visit.start", begins="2019") as book:
        return book.keep(visit).id


def yard_of(logbook: Logbook, key: str) -> str | None:
    """Return the yard of a visit."""
    with logbook.read() as book:
        return book.get_one(Visit, key).yard


def set_yard(logbook: Logbook, key: str, yard: str, **told: str) -> None:
    """Change the yard of a visit."""
    with logbook.change("visit.set", **told) as book:
        book.get_one(Visit, key).yard = yard


def count(logbook: Logbook, model: type) -> int:
    """Return how many records of a kind there are."""
    with logbook.read() as book:
        return int(book.scalar(select(func.count()).select_from(model)) or 0)
