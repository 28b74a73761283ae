"""Numbers, units and dates as a person reads them, by locale and by the owner's preference."""

from __future__ import annotations


def anything(value: object) -> str:
    """Return a value as text."""
    return str(value)
