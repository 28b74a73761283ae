"""The range in which a sum holds: outside it the answer is a stated refusal."""

from __future__ import annotations

from hulllog.trade.refusal import Refusal


def within(quantity: str, value: float, low: float, high: float, unit: str = "1") -> float:
    """Return ``value`` where it lies from ``low`` to ``high``, ends included.

    Raises Refusal ``out_of_range`` otherwise, for a NaN too.
    """
    if not low <= value <= high:
        raise Refusal(
            "out_of_range", quantity=quantity, value=float(value), low=low, high=high, unit=unit
        )
    return float(value)


def above(quantity: str, value: float, low: float, high: float, unit: str = "1") -> float:
    """Return ``value`` where it lies above ``low`` and not above ``high``.

    Raises Refusal ``out_of_range`` otherwise, for a NaN too.
    """
    if not low < value <= high:
        raise Refusal(
            "out_of_range", quantity=quantity, value=float(value), low=low, high=high, unit=unit
        )
    return float(value)
