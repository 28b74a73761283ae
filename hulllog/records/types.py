"""Column types: five plain kinds that every database can hold and the journal can repeat exactly.

Text is kept in Unicode normal form C, so that an image read back equals the image written.
"""

from __future__ import annotations

import json
import unicodedata
from datetime import UTC, datetime
from typing import TYPE_CHECKING, Any

from sqlalchemy import Double, Integer, Text
from sqlalchemy.types import TypeDecorator

if TYPE_CHECKING:
    from sqlalchemy.engine import Dialect


def instant_text(moment: datetime) -> str:
    """Write an aware moment as UTC text to the second, for example ``2026-04-14T07:30:00Z``."""
    if moment.tzinfo is None:
        raise ValueError("a moment needs a time zone")
    return moment.astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%SZ")


def read_instant(text: str) -> datetime:
    """Read what ``instant_text`` wrote."""
    if len(text) != 20 or text[-1] != "Z":
        raise ValueError(f"no moment: {text!r}")
    return datetime.fromisoformat(text)


def canonical_json(value: object) -> str:
    """Write JSON one way only: sorted keys, no spaces, normal form C."""
    return normal(_encode(value))


_encode = json.JSONEncoder(sort_keys=True, separators=(",", ":"), ensure_ascii=False).encode


def normal(text: str) -> str:
    """Return text in normal form C."""
    return text if text.isascii() else unicodedata.normalize("NFC", text)


class Words(TypeDecorator[str]):
    """Text that a person typed, or a code."""

    impl = Text
    cache_ok = True

    def process_bind_param(self, value: str | None, dialect: Dialect) -> str | None:
        return None if value is None else normal(value)


class Instant(TypeDecorator[datetime]):
    """An aware moment, kept as UTC text to the second."""

    impl = Text
    cache_ok = True

    def process_bind_param(self, value: datetime | None, dialect: Dialect) -> str | None:
        return None if value is None else instant_text(value)

    def process_result_value(self, value: str | None, dialect: Dialect) -> datetime | None:
        return None if value is None else read_instant(value)


class Flag(TypeDecorator[bool]):
    """Yes or no, kept as 1 or 0."""

    impl = Integer
    cache_ok = True

    def process_bind_param(self, value: bool | None, dialect: Dialect) -> int | None:
        return None if value is None else int(value)

    def process_result_value(self, value: int | None, dialect: Dialect) -> bool | None:
        return None if value is None else bool(value)


class Json(TypeDecorator[Any]):
    """A small structure as canonical JSON text; replace it whole, changes inside go unseen."""

    impl = Text
    cache_ok = True

    def process_bind_param(self, value: Any, dialect: Dialect) -> str | None:
        return None if value is None else canonical_json(value)

    def process_result_value(self, value: str | None, dialect: Dialect) -> Any:
        return None if value is None else json.loads(value)


Whole = Integer
Real = Double
