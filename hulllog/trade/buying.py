"""What to buy for the next coats: litres by the boat's own factor, whole tins; how long they last.

Litres are of unthinned paint, areas in m², films in µm, lives in months.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from hulllog.trade.films import tins
from hulllog.trade.ranges import above, within
from hulllog.trade.refusal import Refusal
from hulllog.trade.working import Input, Interval, Source, Working

if TYPE_CHECKING:
    from collections.abc import Sequence

COMMON_TINS = (0.75, 2.5)
"""Contents of tins in litres that shops commonly keep.  From memory."""
EDGE_BREADTH = 0.15
"""Breadth in m of the strip along a leading edge, on each side.  Our own rule: the middle of the
0.10 to 0.20 m that a band along the waterline is given."""
_FACTOR = Source("recorded", "litres of past coats against litres computed for them")
_SUM = Source("our own rule", "parts added up, times the boat's own factor where she has one")
_TINS = Source("our own rule", "fewest tins with at most 15 % left over")
_STRIP = Source("common practice", "an extra coat along leading edges, both sides")
_ROSIN = Source("published", "traditional rosin antifouling lasts about twelve months")
_DEPLETING = Source("published", "controlled depletion: usually at most 36 months")
_POLISHING = Source("published", "3.0 µm a month in a five-year trial; up to 15 on ships")
_TRIAL = Source("common practice", "five-year trial in a tidal stream, trade press")
_WITHOUT = {False: "no_own_factor", True: "areas_corrected"}
_SLOW, _FAST = 3.0, 15.0
_LONGEST = 36.0
_BY_COAT = 6.0
_TRIAL_MILES, _TRIAL_FILM = 152_808.0, 180.8
POLISHING = frozenset({"self_polishing_antifouling", "self_polishing_airless"})
"""Classes whose film wears away evenly as she moves."""


def own_factor(jobs: Sequence[tuple[float, float]], coats: float) -> Working:
    """Return how many times the computed litres her past coats really took.

    ``jobs`` are (litres used, litres computed), one to 1000, each above 0 to 5000 L; ``coats`` is
    how many coats they were in all, 1 to 5000.  The interval is the least and the most that a job
    took.  Raises Refusal ``out_of_range``.  Source: the records.
    """
    within("jobs", len(jobs), 1, 1000)
    number = within("coats", coats, 1.0, 5000.0)
    used = tuple(above("litres", one, 0.0, 5000.0, "L") for one, _ in jobs)
    computed = tuple(above("litres", other, 0.0, 5000.0, "L") for _, other in jobs)
    single = [one / other for one, other in zip(used, computed, strict=True)]
    return Working(
        name="own_factor",
        value=math.fsum(used) / math.fsum(computed),
        unit="1",
        formula="k = ΣV_n/ΣV′_n",
        inputs=(
            Input("V_n", used, "L"),
            Input("V′_n", computed, "L"),
            Input("n", round(number), "1", "coats_compared"),
        ),
        source=_FACTOR,
        interval=Interval(min(single), max(single), "jobs") if max(single) > min(single) else None,
    )


def area_by_litres(area: float, factor: Working) -> Working:
    """Return the area in m² that the litres of past coats make at their spreading rate.

    ``area`` as drawn, above 0 to 5000 m²; ``factor`` is the boat's own.  Its spread is kept.
    Raises Refusal ``out_of_range``.  Source: the records.
    """
    drawn, k, spread = above("area", area, 0.0, 5000.0, "m2"), factor.value, factor.interval
    return Working(
        name="area_by_litres",
        value=k * drawn,
        unit="m2",
        formula="A′ = k·A",
        inputs=(Input("k", k), Input("A", drawn, "m2")),
        source=_FACTOR,
        cautions=("area_by_litres_holds_the_film",),
        interval=Interval(spread.low * drawn, spread.high * drawn, "jobs") if spread else None,
    )


def litres_wanted(
    parts: Sequence[Working], factor: Working | None = None, *, corrected: bool = False
) -> Working:
    """Return the litres to buy for several parts of a job.

    ``parts`` are litres as computed, one to 20; ``factor`` is the boat's own, None for none yet:
    then it is as computed, with the usual loss.  Its spread stands for that of the usual loss.
    ``corrected`` says that the areas were corrected by the owner, which leads: no factor with it.
    Raises Refusal ``two_factors`` or ``out_of_range``.  Source: our own rule.
    """
    within("parts", len(parts), 1, 20)
    if corrected and factor is not None:
        raise Refusal("two_factors")
    values = tuple(within("litres", one.value, 0.0, 5000.0, "L") for one in parts)
    whole, k = math.fsum(values), 1.0 if factor is None else factor.value
    inputs = [Input("V_n", values, "L")]
    interval: Interval | None
    if factor is None:
        bounds = [one.interval or Interval(one.value, one.value) for one in parts]
        low, high = (
            math.fsum(ends) for ends in zip(*((b.low, b.high) for b in bounds), strict=True)
        )
        interval = Interval(low, high) if high > low else None
    else:
        inputs.insert(0, Input("k", k))
        spread = factor.interval
        interval = Interval(spread.low * whole, spread.high * whole, "jobs") if spread else None
    cautions = dict.fromkeys(code for one in parts for code in one.cautions)
    return Working(
        name="litres_wanted",
        value=k * whole,
        unit="L",
        formula="V = ΣV_n" if factor is None else "V = k·ΣV_n",
        inputs=tuple(inputs),
        source=_SUM,
        cautions=(*cautions, *(() if factor else (_WITHOUT[corrected],))),
        interval=interval,
    )


@dataclass(frozen=True, slots=True)
class Tins:
    """Whole tins: (content in L, how many), the largest first, and the litres that they hold."""

    counts: tuple[tuple[float, int], ...]
    held: Working


def whole_tins(litres: float, sizes: Sequence[float], *, common: bool = False) -> Tins:
    """Return the whole tins that hold ``litres``.

    ``litres`` from 0 to 1000, ``sizes`` one to six contents in litres above 0 to 200; ``common``
    marks sizes that are not of this product.  Raises Refusal ``out_of_range``.
    Source: our own rule.
    """
    counts = tins(litres, sizes)
    note = "common_tin_sizes" if common else ""
    held = Working(
        name="tins_held",
        value=math.fsum(size * count for size, count in counts),
        unit="L",
        formula="V_t = Σn_i·v_i",
        inputs=(
            Input("V", float(litres), "L"),
            Input("v_i", tuple(size for size, _ in counts), "L", note),
            Input("n_i", tuple(float(count) for _, count in counts)),
        ),
        source=_TINS,
    )
    return Tins(counts, held)


def thinner_at_most(litres: float, share: float) -> Working:
    """Return the most thinner in litres for so much paint.

    ``share`` from 0 to 100 parts to 100 of paint by volume, typical of the class; the sheet leads.
    Raises Refusal ``out_of_range``.  Source: from memory, class values.
    """
    volume = within("litres", litres, 0.0, 5000.0, "L")
    parts = within("thinner", share, 0.0, 100.0, "percent")
    return Working(
        name="thinner_at_most",
        value=volume * parts / 100.0,
        unit="L",
        formula="V_T = V·T/100",
        inputs=(
            Input("V", volume, "L"),
            Input("T", parts, "percent", "typical_not_this_product"),
        ),
        source=Source("from memory", "most thinner that the class takes"),
        cautions=("class_value",),
    )


def strip_area(length: float) -> Working:
    """Return the area in m² of the strips on both sides of leading edges.

    ``length`` of all edges in m, above 0 to 200.  Raises Refusal ``out_of_range``.
    Source: our own rule for the breadth.
    """
    edge = above("edge_length", length, 0.0, 200.0, "m")
    return Working(
        name="strip_area",
        value=2.0 * EDGE_BREADTH * edge,
        unit="m2",
        formula="A = 2·b·l",
        inputs=(Input("b", EDGE_BREADTH, "m", "assumed"), Input("l", edge, "m")),
        source=_STRIP,
    )


def paint_life(coating: str, film: float, coats: float) -> Working:
    """Return how long an antifouling usually lasts, in months.

    ``coating`` is a class; ``film`` the dry film of all coats in µm, above 0 to 2000; ``coats``
    from 1 to 50.  Soft paint: twelve months.  Ablative: a season for two coats, 36 months at most.
    Self-polishing: the film at 3 to 15 µm a month, the middle of both by their ratio.
    Raises Refusal ``life_not_known`` for classes of which no life is known, ``out_of_range``.
    """
    dft = above("film", film, 0.0, 2000.0, "um")
    number = within("coats", coats, 1.0, 50.0)
    if coating == "soft_antifouling":
        return _life(12.0, "t = 12", (), _ROSIN, None)
    if coating == "ablative_antifouling":
        value = min(_BY_COAT * number, _LONGEST)
        by_coats = (Input("n", number),)
        band = Interval(value, _LONGEST) if value < _LONGEST else None
        return _life(value, "t = min(6·n, 36)", by_coats, _DEPLETING, band)
    if coating in POLISHING:
        rate = math.sqrt(_SLOW * _FAST)
        inputs = (Input("DFT", dft, "um"), Input("r", rate, "um/month", "middle_of_the_range"))
        return _life(
            dft / rate, "t = DFT/r", inputs, _POLISHING, Interval(dft / _FAST, dft / _SLOW)
        )
    raise Refusal("life_not_known", coating=coating)


def _life(
    value: float,
    formula: str,
    inputs: tuple[Input, ...],
    source: Source,
    band: Interval | None,
) -> Working:
    return Working(
        name="paint_life",
        value=value,
        unit="month",
        formula=formula,
        inputs=inputs,
        source=source,
        cautions=("good_to_a_factor_of_a_few", "life_by_use_and_water"),
        interval=band,
    )


def miles_of_film(film: float) -> Working:
    """Return the miles under way that wear a self-polishing film off, in nautical miles.

    ``film`` in µm, above 0 to 2000: 152 808 miles wore off 180.8 µm in a trial at 3.5 knots.
    Raises Refusal ``out_of_range``.  Source: a five-year trial in a tidal stream.
    """
    dft = above("film", film, 0.0, 2000.0, "um")
    return Working(
        name="miles_of_film",
        value=_TRIAL_MILES / _TRIAL_FILM * dft,
        unit="nmi",
        formula="s = 152808/180.8·DFT",
        inputs=(Input("DFT", dft, "um"),),
        source=_TRIAL,
        cautions=("good_to_a_factor_of_a_few",),
    )
