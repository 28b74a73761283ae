"""What anodes lost: share used, mean current, rate of wear.

The metals stand in ``anodemetals``, the forecast of half loss in ``anodewear``, the design of
protection in ``protection``; what pages need is offered here as well.
"""

from __future__ import annotations

import math
from types import MappingProxyType
from typing import TYPE_CHECKING

from hulllog.trade.anodemetals import (
    CAPACITIES,
    METALS,
    Capacity,
    Metal,
    closed_circuit_potential,
    consumption,
    design_capacity,
    dissolved,
    faraday_capacity,
    mass_of,
    usual_capacity,
)
from hulllog.trade.anodewear import (
    HALF,
    RATE_ERROR,
    UNUSUAL_Z,
    Loss,
    Rate,
    against_past,
    half_loss,
    half_loss_from_checks,
    half_loss_from_earlier,
    half_loss_from_one_check,
    unusual,
    yearly_share,
)
from hulllog.trade.ranges import above, within
from hulllog.trade.refusal import Refusal
from hulllog.trade.working import Input, Interval, Source, Working

if TYPE_CHECKING:
    from collections.abc import Mapping

__all__ = [
    "CAPACITIES",
    "EYE_LEFT",
    "HALF",
    "METALS",
    "RATE_ERROR",
    "RENEWED_LEFT",
    "UNUSUAL_Z",
    "Capacity",
    "Loss",
    "Metal",
    "Rate",
    "against_past",
    "closed_circuit_potential",
    "consumption",
    "design_capacity",
    "dissolved",
    "faraday_capacity",
    "half_loss",
    "half_loss_from_checks",
    "half_loss_from_earlier",
    "half_loss_from_one_check",
    "mass_of",
    "mean_current",
    "share_by_eye",
    "share_renewed",
    "share_used",
    "unusual",
    "usual_capacity",
    "wear_rate",
    "yearly_share",
]

EYE_LEFT: Mapping[str, tuple[float, float]] = MappingProxyType(
    {
        "full": (0.9, 1.0),
        "three_quarters": (0.65, 0.85),
        "half": (0.4, 0.6),
        "quarter": (0.15, 0.35),
        "gone": (0.0, 0.1),
    }
)
"""Share left by eye and the interval it stands for.  Our own rule."""
RENEWED_LEFT = (0.0, 0.7)
"""Share that an anode may have had left when renewed without weighing.  Our own rule."""

_HEAVIEST = 2000.0
_GAIN_ALLOWED = 0.1
_LONGEST = 36525.0
_OWN = Source("our own rule")
_FARADAY = Source("published", "Faraday's law")
_PRACTICE = Source("common practice", "weighed clean and dry, insert taken out")


def share_used(
    mass_new: float, mass_now: float, insert: float | None = None, repeatability: float = 0.0
) -> Working:
    """Return the share of what can be used that is gone, as a plain number from 0 to 1.

    Masses in kg, weighed clean and dry; ``insert`` is the core of steel or brass inside both, 0 for
    none and None for unknown: then the figure is the least that can be gone and the interval is
    ``at_least``.  ``repeatability`` is the standard deviation of one weighing.
    Raises Refusal ``out_of_range``, ``insert_too_heavy`` or ``mass_grew`` (by over 10 %).
    Source: common practice.
    """
    new = above("mass_new", mass_new, 0.0, _HEAVIEST, "kg")
    now = within("mass_now", mass_now, 0.0, _HEAVIEST, "kg")
    core = within("insert", insert or 0.0, 0.0, _HEAVIEST, "kg")
    error = within("repeatability", repeatability, 0.0, new, "kg")
    if core >= new or round(core - now - 2 * error, 9) > 0:
        raise Refusal("insert_too_heavy", value=core, limit=min(new, now), unit="kg")
    if now - new > _GAIN_ALLOWED * new:
        raise Refusal("mass_grew", value=now, limit=new, unit="kg")
    gone = (new - now) / (new - core)
    return Working(
        name="share_used",
        value=gone,
        unit="1",
        formula="c = (m₀ − m)/(m₀ − m_i), l = 1 − c",
        inputs=_masses(new, now, insert),
        source=_PRACTICE,
        cautions=_share_cautions(new, now, insert),
        interval=_share_interval(new, gone, insert, error),
    )


def _masses(new: float, now: float, insert: float | None) -> tuple[Input, ...]:
    core = Input("m_i", insert, "kg") if insert is not None else Input("m_i", 0.0, "kg", "assumed")
    return (Input("m₀", new, "kg"), Input("m", now, "kg"), core)


def _share_cautions(new: float, now: float, insert: float | None) -> tuple[str, ...]:
    found = ["insert_unknown"] if insert is None else []
    return tuple([*found, "heavier_than_new"] if now > new else found)


def _share_interval(new: float, gone: float, insert: float | None, error: float) -> Interval | None:
    spread = 2.0 * math.sqrt(2.0) * error / (new - (insert or 0.0))
    if insert is None:
        return Interval(gone - spread, max(1.0, gone), "at_least")
    return Interval(gone - spread, gone + spread, "readings") if error else None


def share_by_eye(look: str) -> Working:
    """Return the share used that a look by eye stands for, a plain number with its interval.

    ``look`` is a key of ``EYE_LEFT``: what is left.  Raises Refusal ``look_unknown``.
    Source: our own rule.
    """
    if look not in EYE_LEFT:
        raise Refusal("look_unknown", look=look)
    low, high = EYE_LEFT[look]
    return _between(low, high, "share_by_eye", "by_eye")


def share_renewed() -> Working:
    """Return the share used of an anode that was renewed without weighing, with its interval.

    Nothing is known but that its keeper found it worth renewing.  Source: our own rule.
    """
    return _between(*RENEWED_LEFT, "share_renewed", "renewed_not_weighed")


def _between(low: float, high: float, name: str, note: str) -> Working:
    return Working(
        name=name,
        value=1.0 - (low + high) / 2.0,
        unit="1",
        formula="c = 1 − (l₁ + l₂)/2",
        inputs=(Input("l₁", low, "1", note), Input("l₂", high, "1", note)),
        source=_OWN,
        interval=Interval(1.0 - high, 1.0 - low, "readings"),
    )


def mean_current(loss: float, days: float, capacity: float | str) -> Working:
    """Return the mean current that an anode gave while immersed, in A.

    ``loss`` in kg from 0, ``days`` immersed, ``capacity`` in Ah/kg or the code of an anode metal;
    by metal the interval is the spread between published capacities.
    Raises Refusal ``loss_negative``, ``out_of_range`` or ``metal_unknown``.
    Source: Faraday's law.
    """
    if loss < 0:
        raise Refusal("loss_negative", value=loss, unit="kg")
    kilos = within("loss", loss, 0.0, _HEAVIEST, "kg")
    span = above("days", days, 0.0, _LONGEST, "d")
    low, eps, high = _capacity(capacity)
    scale = kilos / (24.0 * span)
    by_metal = isinstance(capacity, str)
    return Working(
        name="mean_current",
        value=scale * eps,
        unit="A",
        formula="I = Δm·ε/(24·t)",
        inputs=(
            Input("Δm", kilos, "kg"),
            Input("t", span, "d"),
            Input("ε", eps, "Ah/kg", "design_capacity" if by_metal else ""),
        ),
        source=_FARADAY,
        cautions=("capacity_uncertain",),
        interval=Interval(scale * low, scale * high) if by_metal else None,
    )


def _capacity(capacity: float | str) -> tuple[float, float, float]:
    if isinstance(capacity, str):
        usual = usual_capacity(capacity)
        band = usual.interval or Interval(usual.value, usual.value)
        return band.low, usual.value, band.high
    eps = within("capacity", capacity, 100.0, 4000.0, "Ah/kg")
    return eps, eps, eps


def wear_rate(loss: float, days: float) -> Working:
    """Return the wear of an anode in g per immersed day.

    ``loss`` in kg from 0, ``days`` immersed.  Raises Refusal ``loss_negative`` or ``out_of_range``.
    Source: definition.
    """
    if loss < 0:
        raise Refusal("loss_negative", value=loss, unit="kg")
    kilos = within("loss", loss, 0.0, _HEAVIEST, "kg")
    span = above("days", days, 0.0, _LONGEST, "d")
    return Working(
        name="wear_rate",
        value=1000.0 * kilos / span,
        unit="g/d",
        formula="r = Δm/t",
        inputs=(Input("Δm", kilos, "kg"), Input("t", span, "d")),
        source=Source("common practice", "by immersed day"),
    )
