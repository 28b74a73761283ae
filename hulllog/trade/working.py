"""A computed figure that can show where it came from.

Nothing here is a sentence: names, notes and cautions are codes that ``hulllog.words`` says.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import date, datetime
from typing import Literal, Protocol, TypeAlias

SourceTag = Literal["published", "common practice", "from memory", "our own rule", "recorded"]


@dataclass(frozen=True, slots=True)
class Source:
    """Where a formula or figure comes from: how sure it is, and the document by title or number.

    ``tag`` "recorded" is for figures that the owner's own records gave.
    """

    tag: SourceTag
    title: str = ""


class Dated(Protocol):
    """A date as well as it is known."""

    @property
    def earliest(self) -> datetime: ...
    @property
    def latest(self) -> datetime: ...


Value: TypeAlias = float | str | tuple[float, ...] | date | Dated


@dataclass(frozen=True, slots=True)
class Input:
    """What went into a sum: its symbol in the formula, its value and its unit code.

    The value is a figure, a series of figures in their order, a date, or a text.
    """

    symbol: str
    value: Value
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
    ``formula`` is in the trade's symbols and holds no words; ``x_i`` and ``x_{n−1}`` are letters
    with something set low.
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

    def given(self, symbol: str) -> float | None:
        """Return the figure that went in under a symbol; None where none did."""
        found = (one.value for one in self.inputs if one.symbol == symbol)
        return next((float(value) for value in found if isinstance(value, int | float)), None)
