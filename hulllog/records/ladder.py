"""The ladder by which older logbooks climb to the present schema, a small named step at a time.

A step is a function of an open connection; each runs in one transaction after a backup, and
leaves one journal entry.  There is no step yet: schema 1 is the first.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from hulllog.records import sqlite
from hulllog.records.errors import LogbookProblem

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from sqlalchemy import Connection

SCHEMA_NUMBER = 1
STEPS: dict[int, Callable[[Connection], None]] = {}
"""From schema number n to n + 1."""


def climb(file: Path, *, writable: bool) -> None:
    """Bring a logbook file to the present schema.

    Raises LogbookProblem ``newer_logbook`` with both numbers when the file is from a later version.
    """
    found = sqlite.schema_number(file)
    if found > SCHEMA_NUMBER:
        raise LogbookProblem("newer_logbook", found=found, known=SCHEMA_NUMBER)
    if found < SCHEMA_NUMBER and not writable:
        raise LogbookProblem("older_logbook_read_only", found=found, known=SCHEMA_NUMBER)
