"""What anodes are made of: constants, capacities by standard and edition."""

from __future__ import annotations

from dataclasses import dataclass
from types import MappingProxyType
from typing import TYPE_CHECKING, Literal

from hulllog.trade.ranges import above, within
from hulllog.trade.refusal import Refusal
from hulllog.trade.working import Input, Interval, Source, Working

if TYPE_CHECKING:
    from collections.abc import Mapping

FARADAY = 96485.33212
"""Charge of a mole of electrons in C/mol.  Source: CODATA 2018."""
HOURS_A_YEAR = 8760.0
"""The year of cathodic protection design, in h.  Source: DNV-RP-B401."""
_AMBIENT = 30.0
"""°C up to which a capacity without a temperature of its own counts."""

Environment = Literal["seawater", "sediment", "soil"]
AnodeMetal = Literal["zinc", "aluminium", "magnesium"]

_ATOMIC_WEIGHTS = Source("published", "CODATA 2018 and IUPAC standard atomic weights")
_CAST = Source("from memory", "densities of cast zinc, aluminium and magnesium")


@dataclass(frozen=True, slots=True)
class Metal:
    """A metal that dissolves: molar mass in g/mol and electrons that an atom gives."""

    code: str
    molar_mass: float
    valence: int


METALS: Mapping[str, Metal] = MappingProxyType(
    {
        "zinc": Metal("zinc", 65.38, 2),
        "aluminium": Metal("aluminium", 26.9815, 3),
        "magnesium": Metal("magnesium", 24.305, 2),
    }
)
"""The metals of sacrificial anodes."""

DISSOLVED: Mapping[str, Metal] = MappingProxyType(
    {**METALS, "iron": Metal("iron", 55.845, 2), "copper": Metal("copper", 63.546, 2)}
)
"""Metals that a current can dissolve; copper with two electrons."""

DENSITIES: Mapping[str, tuple[float, float, float]] = MappingProxyType(
    {
        "zinc": (7130.0, 7140.0, 7140.0),
        "aluminium": (2700.0, 2750.0, 2750.0),
        "magnesium": (1740.0, 1740.0, 1800.0),
    }
)
"""kg/m³ of anode metals: low, usual, high.  2750 is common practice for Al-Zn-In, the rest is from
memory."""


@dataclass(frozen=True, slots=True)
class Capacity:
    """A design capacity in Ah/kg with the closed-circuit potential in V (Ag/AgCl/seawater)."""

    metal: AnodeMetal
    alloy: str
    environment: Environment
    value: float
    potential: float | None
    source: Source
    edition: str = ""
    celsius: tuple[float, float] | None = None


_DNV_2010 = Source("published", "DNV-RP-B401:2010 Table 10-6")
_DNV_2017 = Source("published", "DNV-RP-B401:2017 Table A-6")
_DNV_2021 = Source("published", "DNV-RP-B401:2021 Table 8-6")
_ABS = "ABS Guidance Notes on Cathodic Protection of Ships (2017) Section 3"
_ABS_ZINC = Source("published", f"{_ABS} Table 2")
_ABS_ALUMINIUM = Source("published", f"{_ABS} Table 4")
_ABS_MAGNESIUM = Source("published", f"{_ABS} Table 6")
_ROBERGE = Source("published", "Roberge, Corrosion Engineering Principles and Practice, p. 555")
_SOIL = Source("published", "MIL-HDBK-1004/10, 8.8 lb/(A·year) at an efficiency of 50 %")
_US_UNITS = Source("common practice", "355 Ah/lb for zinc, 1225 Ah/lb for aluminium")

CAPACITIES: tuple[Capacity, ...] = (
    Capacity("zinc", "zinc", "seawater", 780.0, -1.00, _DNV_2010, "2010"),
    Capacity("zinc", "zinc", "seawater", 780.0, -1.00, _DNV_2017, "2017"),
    Capacity("zinc", "zinc", "seawater", 780.0, -1.03, _DNV_2021, "2021"),
    Capacity("zinc", "zinc", "sediment", 700.0, -0.95, _DNV_2010, "2010"),
    Capacity("zinc", "zinc", "sediment", 700.0, -0.95, _DNV_2017, "2017"),
    Capacity("zinc", "zinc", "sediment", 750.0, -0.98, _DNV_2021, "2021", (0.0, 30.0)),
    Capacity("zinc", "Z1", "seawater", 780.0, -1.03, _ABS_ZINC, "2017"),
    Capacity("zinc", "Z2", "seawater", 760.0, -1.00, _ABS_ZINC, "2017", (5.0, 25.0)),
    Capacity("zinc", "Z3", "seawater", 780.0, -1.03, _ABS_ZINC, "2017"),
    Capacity("zinc", "Z4", "seawater", 780.0, -1.03, _ABS_ZINC, "2017"),
    Capacity("zinc", "Z4", "seawater", 690.0, -0.97, _ABS_ZINC, "2017", (60.0, 80.0)),
    Capacity("zinc", "zinc", "seawater", 355.0 / 0.45359237, None, _US_UNITS),
    Capacity("aluminium", "Al-Zn-In", "seawater", 2000.0, -1.05, _DNV_2010, "2010"),
    Capacity("aluminium", "Al-Zn-In", "seawater", 2000.0, -1.05, _DNV_2017, "2017"),
    Capacity("aluminium", "Al-Zn-In", "seawater", 2000.0, -1.05, _DNV_2021, "2021"),
    Capacity("aluminium", "Al-Zn-In", "sediment", 1500.0, -0.95, _DNV_2010, "2010"),
    Capacity("aluminium", "Al-Zn-In", "sediment", 1500.0, -0.95, _DNV_2017, "2017"),
    Capacity("aluminium", "Al-Zn-In", "sediment", 1500.0, -1.00, _DNV_2021, "2021"),
    Capacity("aluminium", "Al-Zn-In", "seawater", 1500.0, -1.05, _DNV_2021, "2021", (60.0, 60.0)),
    Capacity("aluminium", "Al-Zn-In", "seawater", 720.0, -1.00, _DNV_2021, "2021", (80.0, 80.0)),
    Capacity("aluminium", "A1", "seawater", 2500.0, -1.09, _ABS_ALUMINIUM, "2017"),
    Capacity("aluminium", "A2", "seawater", 2500.0, -1.09, _ABS_ALUMINIUM, "2017"),
    Capacity("aluminium", "A3", "seawater", 2500.0, -1.09, _ABS_ALUMINIUM, "2017"),
    Capacity("aluminium", "A4", "seawater", 1500.0, -0.83, _ABS_ALUMINIUM, "2017"),
    Capacity("aluminium", "aluminium", "seawater", 1225.0 / 0.45359237, None, _US_UNITS),
    Capacity("aluminium", "aluminium", "seawater", 2800.0, None, _ROBERGE),
    Capacity("magnesium", "M1", "seawater", 1200.0, -1.50, _ABS_MAGNESIUM, "2017"),
    Capacity("magnesium", "M2", "seawater", 1200.0, -1.70, _ABS_MAGNESIUM, "2017"),
    Capacity("magnesium", "magnesium", "seawater", 1100.0, None, _ROBERGE),
    Capacity(
        "magnesium", "magnesium", "soil", 0.5 * HOURS_A_YEAR / (8.8 * 0.45359237), None, _SOIL
    ),
)
"""Design capacities by standard and edition.  DNV and ABS were read second hand."""

_USUAL: Mapping[str, tuple[float, float, float]] = MappingProxyType(
    {
        "zinc": (760.0, 780.0, 355.0 / 0.45359237),
        "aluminium": (2000.0, 2000.0, 1225.0 / 0.45359237),
        "magnesium": (1100.0, 1200.0, 1200.0),
    }
)
"""Low, usual and high design capacity in seawater of the table above, hot water left out."""


def metal(code: str) -> Metal:
    """Return a metal of ``DISSOLVED`` by its code; Refusal ``metal_unknown`` for any other."""
    found = DISSOLVED.get(code)
    if found is None:
        raise Refusal("metal_unknown", metal=code)
    return found


def faraday_capacity(code: str) -> Working:
    """Return the charge that a kilogram of a metal gives at most, in Ah/kg.

    ``code`` is one of ``DISSOLVED``.  Raises Refusal ``metal_unknown``.
    Source: Faraday's law.
    """
    one = metal(code)
    value = one.valence * FARADAY / (3.6 * one.molar_mass)
    return Working(
        name="faraday_capacity",
        value=value,
        unit="Ah/kg",
        formula="ε = z·F/(3.6·M)",
        inputs=(
            Input("z", float(one.valence)),
            Input("F", FARADAY, "C/mol"),
            Input("M", one.molar_mass, "g/mol"),
        ),
        source=_ATOMIC_WEIGHTS,
    )


def usual_capacity(code: str) -> Working:
    """Return the design capacity of an anode metal in seawater, in Ah/kg, with its spread.

    The usual figure is DNV's for zinc and aluminium and ABS's for magnesium; the interval is the
    spread between the sources of ``CAPACITIES`` at ordinary temperature.
    Raises Refusal ``metal_unknown``.
    """
    if code not in _USUAL:
        raise Refusal("metal_unknown", metal=code)
    low, value, high = _USUAL[code]
    return Working(
        name="usual_capacity",
        value=value,
        unit="Ah/kg",
        formula="ε",
        inputs=(Input("ε", value, "Ah/kg"),),
        source=_ABS_MAGNESIUM if code == "magnesium" else _DNV_2010,
        cautions=("read_second_hand",),
        interval=Interval(low, high),
    )


def _listed(
    code: str,
    standard: str,
    edition: str,
    environment: Environment,
    alloy: str,
    celsius: float,
) -> Capacity:
    for one in CAPACITIES:
        fits = one.metal == code and one.environment == environment and one.edition == edition
        named = one.source.title.startswith(standard) and alloy in ("", one.alloy)
        low, high = one.celsius or (-5.0, _AMBIENT)
        if fits and named and low <= celsius <= high:
            return one
    raise Refusal("capacity_not_listed", metal=code, standard=standard, edition=edition)


def design_capacity(
    code: str,
    standard: str,
    edition: str,
    environment: Environment = "seawater",
    alloy: str = "",
    celsius: float = 15.0,
) -> Working:
    """Return the capacity that a standard gives, in Ah/kg.

    ``standard`` is the beginning of its title, "DNV" or "ABS"; ``alloy`` its own code where it
    lists several; ``celsius`` the temperature, up to 30 °C for those listed as ambient.
    Raises Refusal ``capacity_not_listed``.
    """
    one = _listed(code, standard, edition, environment, alloy, celsius)
    return Working(
        name="design_capacity",
        value=one.value,
        unit="Ah/kg",
        formula="ε",
        inputs=(Input("t", celsius, "degC"),),
        source=one.source,
        cautions=("read_second_hand",),
    )


def closed_circuit_potential(
    code: str,
    standard: str,
    edition: str,
    environment: Environment = "seawater",
    alloy: str = "",
    celsius: float = 15.0,
) -> Working:
    """Return the potential of a working anode by a standard, in V against Ag/AgCl/seawater.

    Arguments as in ``design_capacity``.  Raises Refusal ``capacity_not_listed``.
    """
    one = _listed(code, standard, edition, environment, alloy, celsius)
    if one.potential is None:
        raise Refusal("capacity_not_listed", metal=code, standard=standard, edition=edition)
    return Working(
        name="closed_circuit_potential",
        value=one.potential,
        unit="V",
        formula="E_a",
        inputs=(Input("t", celsius, "degC"),),
        source=one.source,
        cautions=("read_second_hand",),
    )


def mass_of(code: str, volume: float) -> Working:
    """Return the mass in kg of an anode's metal from its volume in L, with the spread of densities.

    ``volume`` above 0 to 100, the core taken out.  Raises Refusal ``metal_unknown`` or
    ``out_of_range``.  Source: from memory; for Al-Zn-In common practice.
    """
    if code not in DENSITIES:
        raise Refusal("metal_unknown", metal=code)
    litres = above("volume_of_metal", volume, 0.0, 100.0, "L")
    low, usual, high = (one / 1000.0 * litres for one in DENSITIES[code])
    return Working(
        name="mass_of_metal",
        value=usual,
        unit="kg",
        formula="m = ρ·V",
        inputs=(Input("ρ", DENSITIES[code][1], "kg/m3"), Input("V", litres, "L")),
        source=_CAST,
        interval=Interval(low, high),
    )


def consumption(capacity: float) -> Working:
    """Return what an ampere dissolves in a year at a capacity in Ah/kg, in kg/(A·year).

    The year has 8760 h.  Raises Refusal ``out_of_range`` outside 100 to 4000 Ah/kg.
    Source: definition; year of DNV-RP-B401.
    """
    eps = within("capacity", capacity, 100.0, 4000.0, "Ah/kg")
    return Working(
        name="anode_consumption",
        value=HOURS_A_YEAR / eps,
        unit="kg/(A.year)",
        formula="C = 8760/ε",
        inputs=(Input("ε", eps, "Ah/kg"),),
        source=Source("published", "DNV-RP-B401"),
    )


def dissolved(code: str, current: float, days: float, capacity: float | None = None) -> Working:
    """Return the mass that a direct current dissolves, in g.

    ``current`` in A above 0 to 1000, ``days`` above 0 to 36525, ``capacity`` in Ah/kg, by
    Faraday's law where it is left out.  Raises Refusal ``metal_unknown`` or ``out_of_range``.
    Source: Faraday's law.
    """
    amperes = above("current", current, 0.0, 1000.0, "A")
    span = above("days", days, 0.0, 36525.0, "d")
    eps = (
        faraday_capacity(code).value
        if capacity is None
        else within("capacity", capacity, 100.0, 4000.0, "Ah/kg")
    )
    return Working(
        name="mass_dissolved",
        value=1000.0 * amperes * 24.0 * span / eps,
        unit="g",
        formula="m = I·24·t/ε",
        inputs=(Input("I", amperes, "A"), Input("t", span, "d"), Input("ε", eps, "Ah/kg")),
        source=_ATOMIC_WEIGHTS,
    )
