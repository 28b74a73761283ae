"""Paint by the litre and the micrometre: spreading rates, wet and dry film, litres, tins.

Volume solids and loss are in percent, films in µm, areas in m², paint in litres before thinning.
"""

from __future__ import annotations

import math
from types import MappingProxyType
from typing import TYPE_CHECKING

from hulllog.trade.coatclasses import ANTIFOULINGS, CLASSES, CoatingClass, coating_class
from hulllog.trade.filmchecks import (
    Criterion,
    FilmResult,
    imo_pspc,
    iso_19840,
    iso_19840_readings,
    pa2_areas,
    pa2_limits,
    sspc_pa2,
)
from hulllog.trade.ranges import above, within
from hulllog.trade.refusal import Refusal
from hulllog.trade.working import Input, Interval, Source, Working

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

__all__ = [
    "ANTIFOULINGS",
    "CLASSES",
    "LOSSES",
    "CoatingClass",
    "Criterion",
    "FilmResult",
    "coating_class",
    "consumption_factor",
    "dry_film",
    "imo_pspc",
    "iso_19840",
    "iso_19840_readings",
    "litres",
    "mean_film",
    "pa2_areas",
    "pa2_limits",
    "practical_rate",
    "spreading_rate",
    "spreading_rate_us",
    "sspc_pa2",
    "thinned_solids",
    "tins",
    "wet_film",
    "wet_mass",
]

LOSSES: Mapping[str, tuple[float, float, float]] = MappingProxyType(
    {
        "brush": (10.0, 12.0, 15.0),
        "roller": (10.0, 12.0, 15.0),
        "airless": (30.0, 30.0, 40.0),
        "air_spray": (30.0, 45.0, 50.0),
    }
)
"""Paint lost by tool, in % of what is used: low, usual, high.  Common practice."""

_METRIC = 10.0
"""m² that a litre of 1 % solids covers at 1 µm."""
_US = 231.0 * 1000.0 / 144.0
"""ft² that a US gallon of 100 % solids covers at 1 mil."""
_ALGEBRA = Source("common practice", "volume solids and film thickness, paint makers' notes")
_LOSS_SOURCE = Source("common practice", "loss as a share of the paint that is used")


def _solids(percent: float) -> float:
    return above("volume_solids", percent, 0.0, 100.0, "percent")


def _film(um: float, quantity: str = "film") -> float:
    return above(quantity, um, 0.0, 20000.0, "um")


def _area(m2: float) -> float:
    return above("area", m2, 0.0, 100000.0, "m2")


def _loss(loss: float | str) -> tuple[float, float, float]:
    """Return low, usual and high loss in percent; the same three where it was given as a number."""
    if isinstance(loss, str):
        if loss not in LOSSES:
            raise Refusal("tool_unknown", tool=loss)
        return LOSSES[loss]
    share = within("loss", loss, 0.0, 95.0, "percent")
    return share, share, share


def _input(symbol: str, value: float, unit: str, typical: bool) -> Input:
    return Input(symbol, value, unit, "typical_not_this_product" if typical else "")


def _loss_input(loss: float | str, usual: float) -> Input:
    return Input("L", usual, "percent", "usual_for_the_tool" if isinstance(loss, str) else "")


def _cautions(typical: bool) -> tuple[str, ...]:
    return ("class_value",) if typical else ()


def spreading_rate(solids: float, film: float, *, typical: bool = False) -> Working:
    """Return the theoretical spreading rate in m²/L.

    ``solids`` above 0 to 100 %, ``film`` the dry film in µm; ``typical`` marks class values.
    Raises Refusal ``out_of_range``.  Source: algebra of the trade.
    """
    vs, dft = _solids(solids), _film(film)
    return Working(
        name="spreading_rate",
        value=_METRIC * vs / dft,
        unit="m2/L",
        formula="TSR = 10·VS/DFT",
        inputs=(_input("VS", vs, "percent", typical), _input("DFT", dft, "um", typical)),
        source=_ALGEBRA,
        cautions=_cautions(typical),
    )


def spreading_rate_us(solids: float, mils: float) -> Working:
    """Return the theoretical spreading rate in ft² per US gallon.

    ``solids`` above 0 to 100 %, ``mils`` the dry film in thousandths of an inch.  The constant is
    231·1000/144 = 1604.17; the trade rounds it to 1604.
    Raises Refusal ``out_of_range``.  Source: algebra of the trade.
    """
    vs, dft = _solids(solids), above("film", mils, 0.0, 800.0, "mil")
    return Working(
        name="spreading_rate",
        value=_US * vs / 100.0 / dft,
        unit="ft2/gal_us",
        formula="TSR = 1604.17·(VS/100)/DFT",
        inputs=(Input("VS", vs, "percent"), Input("DFT", dft, "mil")),
        source=_ALGEBRA,
    )


def practical_rate(solids: float, film: float, loss: float | str) -> Working:
    """Return the practical spreading rate in m²/L, loss taken off.

    ``loss`` from 0 to 95 % of the paint used, or a tool of ``LOSSES`` (then with its spread).
    Raises Refusal ``out_of_range`` or ``tool_unknown``.  Source: algebra of the trade.
    """
    vs, dft = _solids(solids), _film(film)
    low, usual, high = _loss(loss)
    scale = _METRIC * vs / dft
    return Working(
        name="practical_rate",
        value=scale * (1.0 - usual / 100.0),
        unit="m2/L",
        formula="PSR = (10·VS/DFT)·(1 − L/100)",
        inputs=(Input("VS", vs, "percent"), Input("DFT", dft, "um"), _loss_input(loss, usual)),
        source=_LOSS_SOURCE,
        interval=_spread(scale * (1.0 - high / 100.0), scale * (1.0 - low / 100.0)),
    )


def _spread(low: float, high: float) -> Interval | None:
    return Interval(low, high) if high > low else None


def consumption_factor(loss: float) -> Working:
    """Return how many times the theoretical litres are used: 1/(1 − L), never 1 + L.

    ``loss`` from 0 to 95 % of the paint used.  Raises Refusal ``out_of_range``.
    Source: algebra of the trade.
    """
    share = within("loss", loss, 0.0, 95.0, "percent")
    return Working(
        name="consumption_factor",
        value=1.0 / (1.0 - share / 100.0),
        unit="1",
        formula="CF = 1/(1 − L/100)",
        inputs=(Input("L", share, "percent"),),
        source=_LOSS_SOURCE,
    )


def thinned_solids(solids: float, thinner: float) -> Working:
    """Return the volume solids of thinned paint in %.

    ``thinner`` from 0 to 100 parts to 100 parts of paint by volume.
    Raises Refusal ``out_of_range``.  Source: algebra of the trade.
    """
    vs, added = _solids(solids), within("thinner", thinner, 0.0, 100.0, "percent")
    return Working(
        name="thinned_solids",
        value=vs / (1.0 + added / 100.0),
        unit="percent",
        formula="VS′ = VS/(1 + T/100)",
        inputs=(Input("VS", vs, "percent"), Input("T", added, "percent")),
        source=_ALGEBRA,
    )


def wet_film(solids: float, film: float, thinner: float = 0.0, *, typical: bool = False) -> Working:
    """Return the wet film in µm that dries to ``film``.

    ``solids`` above 0 to 100 %, ``thinner`` from 0 to 100 parts to 100 of paint by volume.
    Raises Refusal ``out_of_range``.  Source: algebra of the trade.
    """
    vs, dft = _solids(solids), _film(film)
    added = within("thinner", thinner, 0.0, 100.0, "percent")
    return Working(
        name="wet_film",
        value=dft * (100.0 + added) / vs,
        unit="um",
        formula="WFT = DFT·(100 + T)/VS",
        inputs=(
            _input("DFT", dft, "um", typical),
            Input("T", added, "percent"),
            _input("VS", vs, "percent", typical),
        ),
        source=_ALGEBRA,
        cautions=_cautions(typical),
    )


def dry_film(solids: float, wet: float, thinner: float = 0.0) -> Working:
    """Return the dry film in µm that a wet film leaves.

    ``solids`` above 0 to 100 %, ``wet`` in µm as the comb reads, ``thinner`` from 0 to 100 parts to
    100 of paint by volume.  Raises Refusal ``out_of_range``.  Source: algebra of the trade.
    """
    vs, wft = _solids(solids), _film(wet, "wet_film")
    added = within("thinner", thinner, 0.0, 100.0, "percent")
    return Working(
        name="dry_film",
        value=wft * vs / (100.0 + added),
        unit="um",
        formula="DFT = WFT·VS/(100 + T)",
        inputs=(Input("WFT", wft, "um"), Input("VS", vs, "percent"), Input("T", added, "percent")),
        source=_ALGEBRA,
    )


def litres(
    area: float,
    film: float,
    coats: float,
    solids: float,
    loss: float | str = 0.0,
    *,
    typical: bool = False,
) -> Working:
    """Return the litres of unthinned paint for an area.

    ``area`` in m², ``film`` the dry film of one coat in µm, ``coats`` above 0 to 50, ``solids`` in
    %, ``loss`` in % of the paint used or a tool of ``LOSSES`` (then with its spread).
    Raises Refusal ``out_of_range`` or ``tool_unknown``.  Source: algebra of the trade.
    """
    surface, dft, vs = _area(area), _film(film), _solids(solids)
    number = above("coats", coats, 0.0, 50.0)
    low, usual, high = _loss(loss)
    clean = surface * dft * number / (_METRIC * vs)
    return Working(
        name="litres",
        value=clean / (1.0 - usual / 100.0),
        unit="L",
        formula="V = A·DFT·n/(10·VS·(1 − L/100))",
        inputs=(
            Input("A", surface, "m2"),
            _input("DFT", dft, "um", typical),
            Input("n", number),
            _input("VS", vs, "percent", typical),
            _loss_input(loss, usual),
        ),
        source=_LOSS_SOURCE,
        cautions=_cautions(typical),
        interval=_spread(clean / (1.0 - low / 100.0), clean / (1.0 - high / 100.0)),
    )


def mean_film(
    litres: float, solids: float, area: float, loss: float | str = 0.0, *, typical: bool = False
) -> Working:
    """Return the mean dry film in µm that ``litres`` of unthinned paint left, all coats together.

    Thinner does not enter, it evaporates.  ``solids`` in %, ``area`` in m², ``loss`` in % of the
    paint used or a tool of ``LOSSES``.  Raises Refusal ``out_of_range`` or ``tool_unknown``.
    Source: algebra of the trade.
    """
    volume, vs = within("litres", litres, 0.0, 100000.0, "L"), _solids(solids)
    surface = above("area", area, 0.0, 100000.0, "m2")
    low, usual, high = _loss(loss)
    scale = _METRIC * vs * volume / surface
    return Working(
        name="mean_film",
        value=scale * (1.0 - usual / 100.0),
        unit="um",
        formula="DFT = 10·VS·V·(1 − L/100)/A",
        inputs=(
            Input("V", volume, "L"),
            _input("VS", vs, "percent", typical),
            Input("A", surface, "m2"),
            _loss_input(loss, usual),
        ),
        source=_LOSS_SOURCE,
        cautions=("mean_says_nothing_of_thin_places", *_cautions(typical)),
        interval=_spread(scale * (1.0 - high / 100.0), scale * (1.0 - low / 100.0)),
    )


def wet_mass(solids: float, film: float, density: float) -> Working:
    """Return the mass of wet paint on a square metre in g/m².

    ``density`` of the wet paint in kg/L, from 0.5 to 5.  Raises Refusal ``out_of_range``.
    Source: algebra of the trade.
    """
    vs, dft = _solids(solids), _film(film)
    rho = within("density", density, 0.5, 5.0, "kg/L")
    return Working(
        name="wet_mass",
        value=100.0 * rho * dft / vs,
        unit="g/m2",
        formula="m = 100·ρ·DFT/VS",
        inputs=(Input("ρ", rho, "kg/L"), Input("DFT", dft, "um"), Input("VS", vs, "percent")),
        source=_ALGEBRA,
    )


SPARE = 0.15
"""Share of the litres that may be left over for the sake of fewer tins.  Our own rule."""


def tins(litres: float, sizes: Sequence[float]) -> tuple[tuple[float, int], ...]:
    """Return how many tins of each size hold ``litres``, the fewest with little left over.

    What is left over may be 15 % of ``litres``; where no choice keeps to that, the least is left.
    ``litres`` from 0 to 1000, ``sizes`` one to six contents in litres above 0 to 200.  Sizes of
    which none is needed are left out.  Raises Refusal ``out_of_range``.  Source: our own rule.
    """
    wanted = within("litres", litres, 0.0, 1000.0, "L")
    contents = sorted({above("tin", one, 0.0, 200.0, "L") for one in sizes}, reverse=True)
    within("tin_sizes", len(contents), 1, 6)

    def cost(counts: tuple[int, ...]) -> tuple[float, int, float]:
        held = math.fsum(n * size for n, size in zip(counts, contents, strict=True))
        left = round(held - wanted, 9)
        return max(left - SPARE * wanted, 0.0), sum(counts), left

    best = min(_choices(wanted, contents), key=cost)
    return tuple((size, count) for size, count in zip(contents, best, strict=True) if count)


def _choices(wanted: float, contents: list[float]) -> Iterator[tuple[int, ...]]:
    """Yield counts of each size that hold what is wanted, filled up with the smallest size."""
    largest, *smaller = contents
    most = math.ceil(round(wanted / largest, 9))
    if not smaller:
        yield (most,)
        return
    for count in range(max(most - _FEWER, 0), most + 1):
        for rest in _choices(max(wanted - count * largest, 0.0), smaller):
            yield (count, *rest)


_FEWER = 5
"""How many tins of a size fewer than would do alone are tried."""
