"""Which anode metal suits which water, with reasons."""

from __future__ import annotations

from dataclasses import dataclass
from types import MappingProxyType
from typing import TYPE_CHECKING, Literal

from hulllog.trade.refusal import Refusal
from hulllog.trade.working import Source

if TYPE_CHECKING:
    from collections.abc import Mapping

Choice = Literal["first", "second", "unsuited", "not_known"]
WATERS = ("salt", "brackish", "fresh", "unknown")


@dataclass(frozen=True, slots=True)
class WaterReason:
    """Why a metal suits a water or not: a code that ``words`` says, and its source."""

    code: str
    source: Source


@dataclass(frozen=True, slots=True)
class Suitability:
    """How a metal suits a water.  ``missing`` names the fact that is not known."""

    metal: str
    water: str
    choice: Choice
    reasons: tuple[WaterReason, ...]
    missing: tuple[str, ...] = ()


_ASSOCIATION = Source("common practice", "boating associations on anodes by water")
_SUPPLIERS = Source("common practice", "anode suppliers on anodes by water")
_SURVEYORS = Source("common practice", "surveyors and suppliers, who differ on how fast")

_CHOICES: Mapping[tuple[str, str], tuple[Choice, tuple[WaterReason, ...]]] = MappingProxyType(
    {
        ("salt", "zinc"): ("first", (WaterReason("proven_in_salt", _SUPPLIERS),)),
        ("salt", "aluminium"): ("first", (WaterReason("proven_in_salt", _SUPPLIERS),)),
        ("salt", "magnesium"): (
            "unsuited",
            (
                WaterReason("too_active_in_salt", _ASSOCIATION),
                WaterReason("may_lift_paint", _ASSOCIATION),
            ),
        ),
        ("brackish", "aluminium"): ("first", (WaterReason("active_in_brackish", _SUPPLIERS),)),
        ("brackish", "zinc"): ("second", (WaterReason("slower_in_brackish", _SUPPLIERS),)),
        ("brackish", "magnesium"): (
            "unsuited", (WaterReason("too_active_in_brackish", _SUPPLIERS),),
        ),
        ("fresh", "magnesium"): ("first", (WaterReason("drives_through_fresh", _SUPPLIERS),)),
        ("fresh", "zinc"): ("unsuited", (WaterReason("crust_in_fresh", _SURVEYORS),)),
        ("fresh", "aluminium"): (
            "second",
            (
                WaterReason("films_over_in_fresh", _SUPPLIERS),
                WaterReason("clean_after_fresh", _SUPPLIERS),
            ),
        ),
    }
)  # fmt: skip


def metal_in_water(metal: str, water: str) -> Suitability:
    """Return how an anode metal suits a water, with reasons; what is not known is named.

    ``metal`` is zinc, aluminium, magnesium or unknown, ``water`` salt, brackish, fresh or unknown.
    Raises Refusal ``metal_unlisted`` or ``water_unlisted``.  Source: common practice.
    """
    if metal not in ("zinc", "aluminium", "magnesium", "unknown"):
        raise Refusal("metal_unlisted", metal=metal)
    if water not in WATERS:
        raise Refusal("water_unlisted", water=water)
    missing = (("anode_metal",) if metal == "unknown" else ()) + (
        ("water",) if water == "unknown" else ()
    )
    if missing:
        return Suitability(metal, water, "not_known", (), missing)
    choice, reasons = _CHOICES[water, metal]
    return Suitability(metal, water, choice, reasons)


RESISTIVITY: Mapping[str, tuple[float, float, float]] = MappingProxyType(
    {"salt": (0.20, 0.25, 0.30), "brackish": (0.50, 1.00, 2.00), "fresh": (10.0, 20.0, 100.0)}
)
"""Ω·m: low, usual and high.  ABS 2017 for salt and brackish; for fresh only "over 10" is given, the
rest is our own rule."""
