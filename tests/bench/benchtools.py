"""What the benchmarks share: timing two things by turns, and a logbook with a long journal.

Each benchmark is a script: ``python tests/bench/bench_edit.py``.  It prints ratios of medians taken
by turns in one run; there are no timed tests.
"""

from __future__ import annotations

import compileall
import shutil
import statistics
import sys
import tempfile
import time
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING

import hulllog
from hulllog.records import ladder, sqlite
from hulllog.records.base import Base
from hulllog.records.journal import JournalWriter, Touched, heads, read_image, write_image
from hulllog.records.logbook import Logbook, Surroundings
from hulllog.records.model import Visit, Work
from hulllog.records.values import PartialDate

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

YEARS, RECORDS = 30, 4000


@contextmanager
def scratch() -> Iterator[Path]:
    """Give a folder beside the checkout's own disk, with the program compiled."""
    compileall.compile_dir(str(Path(hulllog.__file__).parent), quiet=2)
    folder = Path(tempfile.mkdtemp(prefix="hulllog-bench-"))
    try:
        yield folder
    finally:
        shutil.rmtree(folder)


def by_turns(times: int, *works: Callable[[], object]) -> list[float]:
    """Do several works by turns and return the median of each in milliseconds."""
    spent: list[list[float]] = [[] for _ in works]
    for _ in range(times):
        for work, kept in zip(works, spent, strict=True):
            start = time.perf_counter()
            work()
            kept.append((time.perf_counter() - start) * 1000)
    return [statistics.median(kept) for kept in spent]


def tell(what: str, plain: float, ours: float, promise: float | None = None) -> None:
    """Print a ratio, beside what was promised."""
    ratio = ours / plain
    kept = "" if promise is None else f"(≤ {promise}) {'kept' if ratio <= promise else 'MISSED'}"
    sys.stdout.write(f"{what:42} {plain:9.2f} ms {ours:9.2f} ms  {ratio:5.2f} × {kept}\n")


def surroundings(folder: Path) -> Surroundings:
    """Return surroundings that keep everything in one folder."""
    return Surroundings(state_folder=folder / "state", cache_folder=folder / "cache")


def long_logbook(folder: Path, entries: int) -> Logbook:
    """Make a logbook of 30 visits with 4,000 pieces of work and a journal of so many entries."""
    around = surroundings(folder)
    with Logbook.create(folder / "long", around) as book:
        with book.change("bench.fill") as records:
            visits = [
                records.keep(
                    Visit(
                        kind="haul_out",
                        begins=PartialDate.parse(str(1990 + year)),
                        time_zone="Europe/London",
                        looked_for=["rust", "blisters"],
                        methods=["general"],
                    )
                )
                for year in range(YEARS)
            ]
            works = [
                records.keep(Work(visit_id=visits[n % YEARS].id, text=f"Work of number {n}"))
                for n in range(RECORDS)
            ]
        keys = [work.id for work in works]
    _write_entries(folder / "long" / "logbook.sqlite", around, keys, entries - 1)
    return Logbook.open(folder / "long", around)


def _write_entries(file: Path, around: Surroundings, keys: list[str], entries: int) -> None:
    """Write many entries in one transaction, each as the logbook itself would."""
    table = Base.metadata.tables["work"]
    engine = sqlite.engine_for(file)
    writer = JournalWriter("bench-copy", ladder.SCHEMA_NUMBER, around.new_id, around.new_salt)
    at = datetime(2020, 1, 1, tzinfo=UTC)
    with engine.begin() as connection:
        head = heads(connection)[-1]
        for number in range(entries):
            key = keys[number * 7 % len(keys)]
            before = read_image(connection, table, key)
            after = {**(before or {}), "text": f"Work as changed by entry {number}"}
            write_image(connection, table, key, after)
            entry = writer.write(
                connection,
                [Touched("work", key, before, after)],
                at=at + timedelta(minutes=number),
                person="owner",
                kind="edit",
                action="work.set",
                details={"field": "text", "name": f"Work {number}"},
                parents=(head,),
            )
            head = entry.digest
    engine.dispose()
