"""What generic classes of coating usually are: solids, film, coats.  Typical, no product.

A class value pre-fills a field; it never gives an overcoating or launch verdict, and the data sheet
of the product leads.
"""

from __future__ import annotations

from dataclasses import dataclass
from types import MappingProxyType
from typing import TYPE_CHECKING

from hulllog.trade.refusal import Refusal
from hulllog.trade.working import Input, Source

if TYPE_CHECKING:
    from collections.abc import Mapping

TYPICAL = "typical_not_this_product"
"""The note that every class value carries."""
_MEMORY = Source("from memory", "usual range of the class")


@dataclass(frozen=True, slots=True)
class CoatingClass:
    """A generic class: volume solids in %, dry film of one coat in µm, coats, most thinner in %."""

    code: str
    solids_low: float
    solids: float
    solids_high: float
    film_low_um: float
    film_um: float
    film_high_um: float
    coats: tuple[int, int]
    thinner_most: float
    antifouling: bool = False
    packs: int = 1
    source: Source = _MEMORY

    def solids_input(self) -> Input:
        """Return the volume solids as an input marked typical."""
        return Input("VS", self.solids, "percent", "typical_not_this_product")

    def film_input(self) -> Input:
        """Return the film of one coat as an input marked typical."""
        return Input("DFT", self.film_um, "um", "typical_not_this_product")


_COPPER_EPOXY = Source("common practice", "4 m²/L for the whole build of copper epoxy")
_SOLVENT_FREE = Source("published", "UFC 4-150-07 § 3-4.3.2.1, 0.2 to 0.3 mm a coat")


def _antifouling(
    code: str,
    solids: tuple[float, float, float],
    film: tuple[float, float, float],
    coats: tuple[int, int],
    thinner: float,
) -> CoatingClass:
    return CoatingClass(code, *solids, *film, coats, thinner, antifouling=True)


_ALL = (
    _antifouling("soft_antifouling", (45, 50, 60), (35, 40, 50), (2, 2), 10),
    _antifouling("ablative_antifouling", (45, 52, 60), (40, 50, 60), (2, 3), 5),
    _antifouling("self_polishing_antifouling", (40, 50, 58), (40, 50, 60), (2, 3), 5),
    _antifouling("self_polishing_airless", (45, 55, 60), (100, 125, 150), (2, 3), 5),
    _antifouling("hard_antifouling", (45, 55, 65), (40, 50, 60), (2, 2), 5),
    _antifouling("vinyl_antifouling", (28, 35, 40), (25, 40, 50), (2, 3), 10),
    _antifouling("thin_film_antifouling", (20, 25, 30), (10, 15, 20), (2, 4), 0),
    CoatingClass("silicone", 65, 70, 75, 100, 150, 200, (1, 2), 0, antifouling=True, packs=2),
    CoatingClass(
        "copper_epoxy", 95, 97.5, 100, 50, 55, 60, (4, 5), 0,
        antifouling=True, packs=2, source=_COPPER_EPOXY,
    ),
    CoatingClass("epoxy_primer", 45, 50, 65, 40, 60, 75, (2, 5), 10, packs=2),
    CoatingClass("one_pack_primer", 28, 35, 40, 30, 35, 40, (1, 2), 10),
    CoatingClass("epoxy_barrier", 45, 48, 55, 50, 60, 65, (4, 6), 10, packs=2),
    CoatingClass("epoxy_barrier_high_build", 72, 80, 85, 100, 125, 150, (2, 3), 5, packs=2),
    CoatingClass(
        "solvent_free_epoxy", 100, 100, 100, 150, 200, 300, (1, 2), 0,
        packs=2, source=_SOLVENT_FREE,
    ),
    CoatingClass("tie_coat", 28, 35, 40, 30, 35, 40, (1, 1), 10),
    CoatingClass("epoxy_tie_coat", 50, 55, 65, 75, 75, 100, (1, 1), 5, packs=2),
    CoatingClass("silicone_tie_coat", 65, 70, 75, 75, 85, 100, (1, 1), 0, packs=2),
    CoatingClass("topside", 45, 50, 58, 35, 40, 50, (2, 3), 10, packs=2),
)  # fmt: skip

CLASSES: Mapping[str, CoatingClass] = MappingProxyType({one.code: one for one in _ALL})
"""Generic classes by code."""
WITHOUT_FIGURES: Mapping[str, Source] = MappingProxyType(
    {
        "tin_copolymer": Source("common practice", "antifouling instructions on old tin paint"),
        "zinc_rich_primer": Source("common practice", "terms of the trade"),
        "bitumen": Source("common practice", "terms of the trade, blacking of steel inland craft"),
        "filler": Source("common practice", "terms of the trade"),
    }
)
"""Classes that the trade names and that are recorded, without typical solids or films."""
COATING_CLASSES = (*CLASSES, *WITHOUT_FIGURES)
"""Codes of all classes: those with typical figures first."""
ANTIFOULINGS = frozenset({"tin_copolymer", *(one.code for one in _ALL if one.antifouling)})
"""Codes of the classes that keep fouling off."""


def coating_class(code: str) -> CoatingClass:
    """Return a class by its code; Refusal ``class_unknown`` for one without typical values."""
    found = CLASSES.get(code)
    if found is None:
        raise Refusal("class_unknown", coating=code)
    return found
