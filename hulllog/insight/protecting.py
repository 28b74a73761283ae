"""What two design methods for ships would ask of anodes here: a spread, never a size."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from hulllog.insight.paint import areas_of
from hulllog.records.operations.queries import vessel
from hulllog.trade import protection
from hulllog.trade.anodes import usual_capacity
from hulllog.trade.refusal import Refusal
from hulllog.trade.working import Interval

if TYPE_CHECKING:
    from hulllog.insight.occasions import Edge
    from hulllog.records.book import Book
    from hulllog.trade.working import Working

METAL_HULLS = frozenset({"steel", "aluminium"})
YEARS = 1.0
"""Time between renewals that is taken where none is typed."""
FORM = "short_flush"
"""The form of most anodes of small craft, and so the share of them that can be used."""


@dataclass(frozen=True, slots=True)
class Methods:
    """What each method asks for over the same metal and time, and the spread between them.

    ``dnv`` is (current of the surface, anode mass), ``ship`` (current of a m², anode mass).
    """

    dnv: tuple[Working, Working]
    ship: tuple[Working, Working]
    spread: Working

    @property
    def apart(self) -> float:
        """How many times the larger mass is the smaller."""
        ends = self.spread.interval
        return ends.high / ends.low if ends else 1.0


@dataclass(frozen=True, slots=True)
class MetalHere:
    """The metal that anodes protect here: bare fittings, or the painted bottom of a metal hull.

    ``area`` is of the form, None where it must be typed.
    """

    material: str
    coated: bool
    area: Working | None


def metal_here(book: Book, edge: Edge | None = None) -> MetalHere:
    """Return what can be known of the metal under water; of fittings the owner must type it."""
    her = vessel(book)
    material = her.material if her else "unknown"
    if material not in METAL_HULLS:
        return MetalHere(material, coated=False, area=None)
    areas = areas_of(book, edge)
    area = areas.over(dict.fromkeys(areas.below, 1.0)) if areas.below else None
    return MetalHere(material, coated=True, area=area)


def methods(area: float, metal: str, here: MetalHere, years: float = YEARS) -> Methods:
    """Return what the two methods ask for over ``area`` m² and ``years``, with anodes of a metal.

    Raises Refusal ``not_for_wood``, ``metal_unknown`` or ``out_of_range``.
    """
    if here.material == "wood":
        raise Refusal("not_for_wood")
    capacity = usual_capacity(metal).value
    use = protection.UTILISATION[FORM]
    share = protection.breakdown("III", years).value if here.coated else 1.0
    density = protection.current_density("temperate")
    dnv = protection.demand(area, density.value, share)
    ship_density = (
        protection.docking_density(12.0 * years)
        if here.coated
        else protection.ship_density("still_with_tide", coated=False)
    )

    def mass(density: float) -> Working:
        current = protection.demand(area, density)
        return protection.anode_mass(current.value, years, capacity, use)

    ship = mass(ship_density.value)
    if ship_density.interval is not None:
        ends = mass(ship_density.interval.low).value, mass(ship_density.interval.high).value
        ship = replace(ship, interval=Interval(*ends))
    return Methods(
        (dnv, protection.anode_mass(dnv.value, years, capacity, use)),
        (ship_density, ship),
        protection.mass_by_both(area, years, capacity, use, coated=here.coated),
    )
