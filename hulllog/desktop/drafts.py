"""What was typed and not accepted, as the fields see it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol


class Drafts(Protocol):
    """Keeps typed text by record and field until it is accepted; survives a kill."""

    def put(self, record: str, field: str, text: str) -> None:
        """Keep what was typed."""

    def get(self, record: str, field: str) -> str | None:
        """Return what was typed and never accepted, or None."""

    def drop(self, record: str, field: str) -> None:
        """Forget it: it was accepted or given up."""


@dataclass(frozen=True, slots=True)
class FieldKey:
    """Which field a text belongs to: the record it is about, and the field's name in it."""

    record: str
    field: str


class NoDrafts:
    """Keeps nothing: for fields whose text is no record, such as a search."""

    def put(self, record: str, field: str, text: str) -> None:
        """Forget what was typed."""

    def get(self, record: str, field: str) -> str | None:
        """Return None: nothing was kept."""

    def drop(self, record: str, field: str) -> None:
        """Do nothing."""
