"""What follows from a count or a width by geometry alone: densities, covers, lengths beside a cut.

A density or a cover is never turned into a class of a scale that is defined by pictures.
"""

from __future__ import annotations

import math

from hulllog.trade.ranges import above, within
from hulllog.trade.refusal import Refusal
from hulllog.trade.working import Input, Source, Working

_GEOMETRY = Source("published", "definition")
_SCRIBE = Source("from memory", "ISO 4628-8:2012")
_MOST = 1_000_000
_WIDEST = 100_000.0
_SMALLEST_AREA = 1e-4
_LARGEST_AREA = 10_000.0


def density(count: int, area: float) -> Working:
    """Return how many there are per m², from a count on ``area`` m².

    Raises Refusal ``out_of_range``, ``not_whole``.  Source: the definition.
    """
    number, square = _counted(count), within("area", area, _SMALLEST_AREA, _LARGEST_AREA, "m2")
    return Working(
        name="density",
        value=number / square,
        unit="1/m2",
        formula="n/A",
        inputs=(Input("n", number), Input("A", square, "m2")),
        source=_GEOMETRY,
    )


def cover(count: int, diameter: float, area: float) -> Working:
    """Return the percent of ``area`` m² that ``count`` round spots of ``diameter`` mm cover.

    Raises Refusal ``out_of_range``, ``not_whole``, ``more_than_all`` where the spots would cover
    more than there is.  Source: geometry.
    """
    number = _counted(count)
    across = above("diameter", diameter, 0, _WIDEST, "mm")
    square = within("area", area, _SMALLEST_AREA, _LARGEST_AREA, "m2")
    percent = 100 * number * math.pi / 4 * (across / 1000) ** 2 / square
    if percent > 100:
        raise Refusal("more_than_all", percent=percent)
    return Working(
        name="cover",
        value=percent,
        unit="percent",
        formula="100·n·(π/4)·d²/A",
        inputs=(Input("n", number), Input("d", across, "mm"), Input("A", square, "m2")),
        source=_GEOMETRY,
    )


def _counted(count: float) -> int:
    number = within("count", count, 0, _MOST)
    if number != int(number):
        raise Refusal("not_whole", quantity="count", value=number)
    return int(number)


def beside_scribe(overall: float, scribe: float) -> Working:
    """Return how far delamination or corrosion reaches on each side of a scratch, in mm.

    ``overall`` is the mean overall width and ``scribe`` the width of the scratch, in mm.
    Raises Refusal ``out_of_range``; ``narrower_than_scribe``.  Source: ISO 4628-8, from memory.
    """
    whole = within("overall", overall, 0, 1000, "mm")
    scratch = within("scribe", scribe, 0, 1000, "mm")
    if whole < scratch:
        raise Refusal("narrower_than_scribe", overall=whole, scribe=scratch)
    return Working(
        name="beside_scribe",
        value=(whole - scratch) / 2,
        unit="mm",
        formula="d = (d₁ − w)/2",
        inputs=(Input("d₁", whole, "mm"), Input("w", scratch, "mm")),
        source=_SCRIBE,
    )


def to_reference(reading: float, reference: float) -> Working:
    """Return a moisture reading as a multiple of one on a known dry part of the same boat.

    Both from the same meter in the same mode; scales are comparative, not percent of water.
    Raises Refusal ``out_of_range``.  Our own rule.
    """
    number = within("reading", reading, 0, 1000)
    dry = within("reference", reference, 0.1, 1000)
    return Working(
        name="to_reference",
        value=number / dry,
        unit="1",
        formula="r/r₀",
        inputs=(Input("r", number), Input("r₀", dry)),
        source=Source("our own rule"),
        cautions=("no_percent_of_water",),
    )
