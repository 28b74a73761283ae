"""A computed figure that can show where it came from.

Nothing here is a sentence: names, notes and cautions are codes that ``hulllog.words`` says.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

SourceTag = Literal["published", "common practice", "from memory", "our own rule", "recorded"]


@dataclass(frozen=True, slots=True)
class Source:
    """Where a formula or figure comes from: how sure it is, and the document by title or number.

    ``tag`` "recorded" is for figures that the owner's own records gave.
    """

    tag: SourceTag
    title: str = ""


@dataclass(frozen=True, slots=True)
class Input:
    """One figure that went into a sum: its symbol in the formula, its value and its unit code."""

    symbol: str
    value: float | str
    unit: str = "1"
    note: str = ""
    """A code that ``words`` says, for example ``typical_not_this_product``."""


@dataclass(frozen=True, slots=True)
class Interval:
    """Lower and upper bound of a figure, and what kind of bound they are.

    ``kind`` is a code: ``confidence``, ``prediction``, ``band`` (a spread between sources),
    ``readings`` (by-eye or rounding).  ``level`` is a share, or None where no probability is meant.
    """

    low: float
    high: float
    kind: str = "band"
    level: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Working:
    """A computed figure with formula, inputs, source, cautions and interval.

    ``value`` is in ``unit`` (a code of ``hulllog.trade.units``; "1" for a plain number).
    ``formula`` is in the trade's symbols and holds no words.
    """

    name: str
    value: float
    unit: str
    formula: str
    inputs: tuple[Input, ...] = ()
    source: Source = Source("our own rule")
    cautions: tuple[str, ...] = ()
    interval: Interval | None = None

    def __post_init__(self) -> None:
        if not math.isfinite(self.value):
            raise ValueError(f"{self.name}: a working holds a finite figure, not {self.value}")
