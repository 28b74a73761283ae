"""What can go wrong in the records.

RecordsError
 ├─ Refused          what was typed cannot be kept (the person can mend it)
 ├─ WriteOutside     a write was tried outside ``Logbook.change`` (our fault)
 └─ LogbookProblem   the logbook as a whole: locked, newer, damaged, not a logbook

Each holds a code and values; ``hulllog.words`` makes the sentence.
"""

from __future__ import annotations


class RecordsError(Exception):
    """Something went wrong in the records; ``code`` and ``values`` say what."""

    def __init__(self, code: str, **values: object) -> None:
        super().__init__(code, values)
        self.code = code
        self.values = values

    def __str__(self) -> str:
        shown = ", ".join(f"{key}={value}" for key, value in self.values.items())
        return f"{self.code}({shown})"


class Refused(RecordsError):
    """What was typed cannot be kept; ``field`` names the field it stands in."""

    def __init__(self, code: str, *, field: str = "", **values: object) -> None:
        super().__init__(code, **values)
        self.field = field


class WriteOutside(RecordsError):
    """A write was tried outside a change; nothing was stored."""


class LogbookProblem(RecordsError):
    """The logbook cannot be opened, or not for writing."""
