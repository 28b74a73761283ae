"""A logbook with a boat and an open haul-out, on a clock that steps by a second."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from itertools import count
from pathlib import Path
from typing import Any

import pytest

from hulllog.records.errors import Refused
from hulllog.records.logbook import Logbook, Surroundings
from hulllog.records.operations import queries, vessel, visits


def surroundings(folder: Path) -> Surroundings:
    seconds, ids = count(), count(1)
    start = datetime(2025, 6, 1, tzinfo=UTC)
    return Surroundings(
        now=lambda: start + timedelta(seconds=next(seconds)),
        new_id=lambda: f"id-{next(ids):06}",
        state_folder=folder / "state",
    )


@dataclass
class Boat:
    logbook: Logbook
    visit: str
    zones: dict[str, str]

    def get(self, model: type[Any], key: str) -> Any:
        with self.logbook.read() as book:
            return book.get(model, key)

    def all(self, model: type[Any]) -> list[Any]:
        with self.logbook.read() as book:
            return list(queries.kept(book, model))

    @property
    def entries(self) -> int:
        from sqlalchemy import func, select

        from hulllog.records.journal import Entry

        with self.logbook.read() as book:
            return int(book.scalar(select(func.count()).select_from(Entry)) or 0)


@pytest.fixture
def logbook(tmp_path: Path) -> Iterator[Logbook]:
    with Logbook.create(tmp_path / "logbook", surroundings(tmp_path)) as made:
        yield made


@pytest.fixture
def boat(logbook: Logbook) -> Boat:
    vessel.create_vessel(
        logbook,
        name="Ruddy Shore",
        kind="yacht",
        material="grp",
        keel="twin",
        length="8.7",
        beam="2.9 m",
        draught="95 cm",
    )
    visit = visits.start_haul_out(
        logbook,
        begins="2025-04-14",
        time_zone="Europe/Lisbon",
        looked_for=["laminate-blisters", "level-of-fouling"],
        methods=["close", "touched"],
    )
    with logbook.read() as book:
        zones = {zone.code: zone.id for zone, _ in queries.zones_at(book)}
    return Boat(logbook, visit, zones)


@pytest.fixture
def refuses(boat: Boat) -> Callable[..., Refused]:
    """Run a call that must be refused, and check that it stored nothing."""

    def check(code: str, field: str, call: Callable[..., object], *args: Any, **kw: Any) -> Refused:
        before = boat.entries
        with pytest.raises(Refused) as found:
            call(boat.logbook, *args, **kw)
        assert (found.value.code, found.value.field) == (code, field)
        assert boat.entries == before
        return found.value

    return check
