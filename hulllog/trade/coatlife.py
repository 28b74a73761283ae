"""How long an eroding antifouling usually lasts by its coats: a figure of the trade, no promise."""

from __future__ import annotations

from hulllog.trade.ranges import within
from hulllog.trade.working import Input, Source, Working

FULL_BUILD = 2
"""Coats of a full season's build."""
_MONTHS, _LESS = 12.0, 2.0
_USUAL = Source("common practice", "usual life of an eroding antifouling")

ERODING = frozenset({"soft_antifouling", "ablative_antifouling", "self_polishing_antifouling"})
"""Classes that the figure is told of."""


def usual_life(coats: int) -> Working:
    """Return the usual life in months of an eroding antifouling of so many coats, 1 to 10.

    Raises Refusal ``out_of_range``.  Source: common practice.
    """
    count = int(within("coats", coats, 1, 10))
    full = count >= FULL_BUILD
    return Working(
        name="usual_life",
        value=_MONTHS if full else _MONTHS - _LESS,
        unit="month",
        formula="T = 12" if full else "T = 12 − 2",
        inputs=(Input("n", count),),
        source=_USUAL,
        cautions=("life_is_a_figure_of_the_trade", *(() if full else ("life_of_one_coat",))),
    )
