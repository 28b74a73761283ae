"""Numbers, units and dates as a person reads them, by locale and by the owner's preference."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal


@dataclass(frozen=True, slots=True)
class Preference:
    """What the owner picked: units, words, and the locale of numbers and dates."""

    units: Literal["metric", "imperial", "us"] = "metric"
    words: str = "en_GB"
    locale: str = "en_GB"


def prefer(preference: Preference) -> None:
    """Write numbers and dates by this preference from now on."""


def anything(value: object) -> str:
    """Return a value as text."""
    return str(value)
