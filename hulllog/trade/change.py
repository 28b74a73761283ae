"""Changed since last time?  Two comparable looks, held against the repeatability of the kind.

Two readings of an unchanged thing differ by chance with standard deviation √2·s.  Twice that is
shown beside the record, three times that is worth a sentence of its own.  Our own rule.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from hulllog.trade.kinds import Component, component, kind, require
from hulllog.trade.ranges import within
from hulllog.trade.refusal import Refusal
from hulllog.trade.working import Input, Source, Working

Direction = Literal["worse", "better", "up", "down", "none"]
SHOWN = 2.0
PLAIN = 3.0
_LARGEST = 1e9
SAME_OUTLINE = 0.9
"""A new outline that covers this share of the old one goes on with its series (our own rule)."""
_RULE = Source("our own rule", "Two looks differ when |Δ| > 2·√(s₁² + s₂²)")


@dataclass(frozen=True, slots=True)
class Change:
    """What two comparable looks say.

    ``difference`` is now less before, in the unit of the component or in steps towards worse.
    ``chance`` is the standard deviation of that difference when nothing changed.
    """

    difference: float
    chance: float
    direction: Direction
    working: Working

    @property
    def beyond_error(self) -> bool:
        """Tell whether the change is more than the method's own error."""
        return abs(self.difference) > SHOWN * self.chance

    @property
    def plainly(self) -> bool:
        """Tell whether it is worth a sentence on the first page."""
        return abs(self.difference) > PLAIN * self.chance


def repeatability(kind_id: str, code: str, value: float) -> float | None:
    """Return s of one reading at a value, in the component's unit or in steps of a grade.

    None for a kind or component that is not here, and for figures that are not compared.
    Raises Refusal ``not_finite``.
    """
    if not math.isfinite(value):
        raise Refusal("not_finite")
    part = component(kind_id, code)
    if part is None or part.repeatability is None or not part.followed:
        return None
    return part.repeatability.at(value)


def two_visits(
    kind_id: str,
    code: str,
    before: float | str,
    now: float | str,
    instrument_s: float | None = None,
) -> Change | None:
    """Compare two comparable looks; None where the kind is not here or not compared.

    Numbers are in the component's unit; a grade is its code or its place on the scale, best = 0.
    ``instrument_s`` is the repeatability of the instrument used, where it is on record and larger
    than the kind's.  Raises Refusal ``grade_unknown``, ``not_finite`` or ``out_of_range``.
    """
    part = component(kind_id, code)
    if part is None or part.repeatability is None or not part.followed:
        return None
    old, new = _placed(part, before), _placed(part, now)
    least = within("repeatability", instrument_s or 0.0, 0, 1e6)
    s_old, s_new = (max(part.repeatability.at(value), least) for value in (old, new))
    difference, chance = new - old, math.hypot(s_old, s_new)
    unit = part.unit or "1"
    working = Working(
        name="change" if part.sort == "number" else "change_in_steps",
        value=difference,
        unit=unit,
        formula="Δ = y₂ − y₁; |Δ| > 2·√(s₁² + s₂²)",
        inputs=(
            Input("y₁", _told(part, old), unit),
            Input("y₂", _told(part, new), unit),
            Input("s₁", s_old, unit),
            Input("s₂", s_new, unit),
            Input("2·√(s₁² + s₂²)", SHOWN * chance, unit),
        ),
        source=_RULE,
    )
    return Change(difference, chance, sense(kind_id, code, difference), working)


def _told(part: Component, figure: float) -> float:
    """Return a figure as it is told: the place of a grade is a whole number."""
    return int(figure) if part.sort == "grade" else figure


def sense(kind_id: str, code: str, difference: float) -> Direction:
    """Return what a difference means: worse or better by the kind, up or down where it tells not.

    For a grade the difference is in places on the scale, so up is always worse.
    """
    if difference == 0:
        return "none"
    part = component(kind_id, code)
    rises = difference > 0
    if part is None or part.worsens == "neither":
        return "up" if rises else "down"
    if part.sort == "grade":
        return "worse" if rises else "better"
    return "worse" if rises == (part.worsens == "rising") else "better"


def steps(kind_id: str, code: str, before: str, now: str) -> int:
    """Return how many grades lie between two grades, positive towards worse.

    Raises Refusal ``kind_unknown``, ``grade_unknown``.
    """
    part = _ordered(kind_id, code)
    return int(_placed(part, now) - _placed(part, before))


def worst(kind_id: str, code: str, grades: Sequence[str]) -> str:
    """Return the worst of some grades; never a mean.

    Raises Refusal ``kind_unknown``, ``grade_unknown``, ``nothing_given``.
    """
    part = _ordered(kind_id, code)
    if not grades:
        raise Refusal("nothing_given")
    return max(grades, key=lambda grade: _placed(part, grade))


def most_of_area(kind_id: str, code: str, shares: Mapping[str, float]) -> str:
    """Return the grade with the largest share of the area seen, the worse of two equal ones.

    Raises Refusal ``shares_not_whole`` unless the shares sum to 1, and as ``worst`` does.
    """
    part = _ordered(kind_id, code)
    check_shares(shares)
    return max(shares, key=lambda grade: (shares[grade], _placed(part, grade)))


def check_shares(shares: Mapping[str, float]) -> None:
    """Raise Refusal ``shares_not_whole`` unless shares of the area seen are ≥ 0 and sum to 1."""
    total = math.fsum(shares.values())
    if not all(share >= 0 for share in shares.values()) or not abs(total - 1) <= 1e-6:
        raise Refusal("shares_not_whole", total=total)


def breaks(
    kind_id: str,
    one: Mapping[str, object],
    other: Mapping[str, object],
    other_kind: str | None = None,
) -> tuple[str, ...]:
    """Return why two sets of conditions do not compare; empty when they do.

    Codes: ``scale_differs`` (another kind or edition), ``<condition>_differs``, and
    ``<condition>_not_recorded`` where the kind needs it and either look lacks it.  A condition that
    is not needed breaks nothing while one look lacks it.  For a kind that is not here only the
    scale is compared.
    """
    if other_kind is not None and other_kind != kind_id:
        return ("scale_differs",)
    found = kind(kind_id)
    if found is None:
        return ()
    reasons = []
    for condition in found.conditions:
        first, second = one.get(condition.code), other.get(condition.code)
        if not condition.breaks:
            continue
        if _absent(first) or _absent(second):
            if condition.needed:
                reasons.append(f"{condition.code}_not_recorded")
        elif condition.group(first) != condition.group(second):
            reasons.append(f"{condition.code}_differs")
    return tuple(reasons)


@dataclass(frozen=True, slots=True)
class Look:
    """What decides whether a look compares with another: its kind, conditions and outline."""

    kind: str
    conditions: Mapping[str, object]
    zone_version: str | None = None
    treatments: int = 0
    """How many treatments the zone has had before the look."""


def why_not(one: Look, other: Look, covered: float | None = None) -> tuple[str, ...]:
    """Return why two looks do not compare; empty when they do.

    ``covered`` is the share of the older outline that the newer one covers, None where it is not
    known.  Adds ``zone_redrawn`` (under 90 % covered, or not known) and ``treated_between`` to the
    codes of ``breaks``.
    """
    reasons = list(breaks(one.kind, one.conditions, other.conditions, other.kind))
    if one.treatments != other.treatments:
        reasons.append("treated_between")
    versions = one.zone_version, other.zone_version
    redrawn = None not in versions and versions[0] != versions[1]
    if redrawn and (covered is None or covered < SAME_OUTLINE):
        reasons.append("zone_redrawn")
    return tuple(reasons)


def stretches(
    looks: Sequence[Look], covered: Mapping[tuple[str, str], float] | None = None
) -> list[tuple[int, tuple[str, ...]]]:
    """Split looks, oldest first, into stretches within which each compares with the one before.

    Returns for each look the number of its stretch from 0 and why a new one began there (empty
    within a stretch and for the first look).  ``covered`` gives (older, newer) outline -> share.
    """
    told: list[tuple[int, tuple[str, ...]]] = []
    shares = covered or {}
    for place, look in enumerate(looks):
        if place == 0:
            told.append((0, ()))
            continue
        before = looks[place - 1]
        share = shares.get((before.zone_version or "", look.zone_version or ""))
        reasons = why_not(before, look, share)
        told.append((told[-1][0] + bool(reasons), reasons))
    return told


def _absent(value: object) -> bool:
    return value is None or value in ("", "unknown")


def _ordered(kind_id: str, code: str) -> Component:
    part = require(kind_id).component(code)
    if part is None or part.sort != "grade" or not part.ordered:
        raise Refusal("grade_unknown", kind=kind_id, component=code, grade="")
    return part


def _placed(part: Component, figure: float | str) -> float:
    if isinstance(figure, str):
        place = part.position(figure)
        if place is None:
            raise Refusal("grade_unknown", component=part.code, grade=figure)
        return float(place)
    if not math.isfinite(figure):
        raise Refusal("not_finite")
    return within("reading", figure, -_LARGEST, _LARGEST, part.unit or "1")
