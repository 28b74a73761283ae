"""The range in which a sum holds: outside it the answer is a stated refusal."""

from __future__ import annotations

from hulllog.trade.refusal import Refusal

LEAST = 1e-9
"""How far above its lower end a figure must lie that is divided by.  Our own rule."""


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
    """Return ``value`` where it lies above ``low``, by ``LEAST`` or more, up to ``high``.

    What is nearer to ``low`` would make a quotient endless.
    Raises Refusal ``out_of_range`` otherwise, for a NaN too.
    """
    return within(quantity, value, low + LEAST, high, unit)
