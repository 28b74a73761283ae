"""What a kind of measurement is made of: components, conditions, repeatability."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from hulllog.trade.working import Source

Sort = Literal["grade", "number"]
Worsens = Literal["rising", "falling", "neither"]
Subject = Literal["inspection", "spot_observation", "measuring_point", "gear_check", "visit"]
ConditionSort = Literal["code", "text", "number"]


@dataclass(frozen=True, slots=True)
class Repeatability:
    """The standard deviation s of one reading when nothing has changed.

    ``fixed`` is in the unit of the component, or in steps of a grade; the larger of ``fixed`` and
    ``share`` × |value| counts.  With ``of_count`` the figure is a count n and s = √max(n, 1).
    """

    fixed: float
    source: Source
    share: float = 0.0
    of_count: bool = False

    def at(self, value: float) -> float:
        """Return s at a value, in the unit of the component or in steps."""
        if self.of_count:
            return math.sqrt(max(abs(value), 1.0))
        return max(self.fixed, self.share * abs(value))


@dataclass(frozen=True, slots=True, kw_only=True)
class Component:
    """One figure of a kind: a grade of a scale, or a number in a unit.

    ``grades`` run from best to worst when ``ordered``; ``apart`` are codes outside the order, such
    as ``not_opened``.  ``pictured`` are the grades that the scale has pictures or texts for, where
    it allows more.  ``low`` and ``high`` bound a number in ``unit``.  ``nothing`` is the figure
    that stands for looked for and none found, None where such a look leaves it open.
    """

    code: str
    sort: Sort
    grades: tuple[str, ...] = ()
    pictured: tuple[str, ...] = ()
    apart: tuple[str, ...] = ()
    ordered: bool = True
    unit: str | None = None
    low: float | None = None
    high: float | None = None
    worsens: Worsens = "rising"
    """How the printed number moves as matters get worse."""
    nothing: str | float | None = None
    repeatability: Repeatability | None = None
    optional: bool = False
    followed: bool = True
    """Whether it is compared from visit to visit."""
    whole: bool = False
    """Whether only whole numbers make sense."""
    steady: bool = False
    """Whether it wears so steadily that a course may be drawn on."""

    def allows(self, figure: str | float) -> bool:
        """Tell whether a code or a number in ``unit`` may be recorded."""
        if isinstance(figure, str):
            return self.sort == "grade" and figure in (*self.grades, *self.apart)
        if self.sort == "grade" or not math.isfinite(figure):
            return False
        if self.whole and figure != int(figure):
            return False
        above = self.low is None or figure >= self.low
        return above and (self.high is None or figure <= self.high)

    def position(self, code: str) -> int | None:
        """Return the place of a grade in the order, best = 0; None outside of it."""
        return self.grades.index(code) if self.ordered and code in self.grades else None


@dataclass(frozen=True, slots=True, kw_only=True)
class Condition:
    """A circumstance kept with a set, and whether a change of it breaks a series.

    Codes within one group of ``alike`` compare with each other.  A number breaks a series when
    ``bounds`` lie between its old and new value (a value on a bound belongs above it).  Where
    ``needed``, a set without it compares with no other.
    """

    code: str
    sort: ConditionSort
    codes: tuple[str, ...] = ()
    alike: tuple[tuple[str, ...], ...] = ()
    unit: str | None = None
    bounds: tuple[float, ...] = ()
    breaks: bool = False
    needed: bool = False

    def group(self, value: object) -> object:
        """Return what must be equal for two values of the condition to compare."""
        if isinstance(value, (int, float)) and not isinstance(value, bool) and self.bounds:
            return sum(value >= bound for bound in self.bounds)
        if isinstance(value, str):
            tidy = " ".join(value.split()).casefold() if self.sort == "text" else value
            return next((group for group in self.alike if tidy in group), tidy)
        return value


@dataclass(frozen=True, slots=True, kw_only=True)
class Kind:
    """One kind of rating or measuring: a scale with its edition, or a way to measure.

    ``materials`` are the materials it applies to, any where empty.  ``by_area``: several grades of
    one set may stand with shares of the area seen.
    """

    id: str
    subjects: tuple[Subject, ...]
    components: tuple[Component, ...]
    source: Source
    edition: str = ""
    materials: frozenset[str] = frozenset()
    conditions: tuple[Condition, ...] = ()
    by_area: bool = False

    def component(self, code: str) -> Component | None:
        """Return a component by its code."""
        return next((part for part in self.components if part.code == code), None)

    def condition(self, code: str) -> Condition | None:
        """Return a condition by its code."""
        return next((part for part in self.conditions if part.code == code), None)

    @property
    def breaking(self) -> tuple[str, ...]:
        """Return the codes of the conditions that break a series."""
        return tuple(part.code for part in self.conditions if part.breaks)

    def applies_to(self, material: str) -> bool:
        """Tell whether the kind is for a material; one that is not known fits every kind."""
        return not self.materials or material in self.materials or material == "unknown"
