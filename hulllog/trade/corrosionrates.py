"""Even corrosion: rates from a mass, from a current, and what an alloy weighs per charge."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from hulllog.trade.ranges import within
from hulllog.trade.refusal import Refusal
from hulllog.trade.working import Input, Source, Working

G1_CONSTANT = 8.76e4
"""mm/year from g, cm², h and g/cm³ (ASTM G1: hours a year times ten)."""
G102_CONSTANT = 3.27e-3
"""mm·g/(µA·cm·year) (ASTM G102, K₁)."""
_G1 = Source("published", "ASTM G1")
_G102 = Source("published", "ASTM G102")

VALENCES: Mapping[str, tuple[float, int]] = MappingProxyType(
    {
        "Al": (26.982, 3),
        "Cr": (51.996, 3),
        "Cu": (63.546, 2),
        "Fe": (55.845, 2),
        "Mg": (24.305, 2),
        "Mn": (54.938, 2),
        "Mo": (95.95, 3),
        "Ni": (58.693, 2),
        "Pb": (207.2, 2),
        "Sn": (118.71, 2),
        "Ti": (47.867, 4),
        "Zn": (65.38, 2),
    }
)
"""Element -> atomic mass in g/mol and usual valence (standard atomic weights; ASTM G102)."""


def rate_from_mass(mass_loss: float, area: float, hours: float, density: float) -> Working:
    """Return the even rate of corrosion in mm a year from a loss of mass.

    Mass in g, area in cm², exposure in h, density in g/cm³.  Raises Refusal ``out_of_range``.
    Source: ASTM G1.
    """
    W = within("mass_loss", mass_loss, 0, 1e6, "g")
    A = within("area", area, 0.01, 1e8, "cm2")
    T = within("hours", hours, 0.01, 1e7, "h")
    D = within("density", density, 0.5, 25, "g/cm3")
    return Working(
        name="rate_from_mass",
        value=G1_CONSTANT * W / (A * T * D),
        unit="mm/year",
        formula="8.76·10⁴·W/(A·T·D)",
        inputs=(
            Input("W", W, "g"),
            Input("A", A, "cm2"),
            Input("T", T, "h"),
            Input("D", D, "g/cm3"),
        ),
        source=_G1,
    )


def rate_from_mdd(loss: float, density: float) -> Working:
    """Return the even rate in mm a year from a loss in mg/(dm²·d) and a density in g/cm³.

    Raises Refusal ``out_of_range``.  Source: ASTM G1.
    """
    mdd = within("loss", loss, 0, 1e6, "mg/(dm2.d)")
    D = within("density", density, 0.5, 25, "g/cm3")
    return Working(
        name="rate_from_mdd",
        value=mdd * 365 / (10_000 * D),
        unit="mm/year",
        formula="0.0365·m/D",
        inputs=(Input("m", mdd, "mg/(dm2.d)"), Input("D", D, "g/cm3")),
        source=_G1,
    )


def equivalent_weight(
    shares: Mapping[str, float], valences: Mapping[str, int] | None = None
) -> Working:
    """Return the equivalent weight of an alloy from its elements' shares of mass.

    ``shares`` sum to 1 at most; elements under 1 % may be left out.  ``valences`` replace the usual
    ones: for copper alloys 1 instead of 2 nearly doubles the rate.
    Raises Refusal ``element_unknown``, ``shares_not_whole`` (sum not within 0.9…1),
    ``out_of_range``.  Source: ASTM G102.
    """
    total = sum(within("share", share, 0, 1) for share in shares.values())
    if not 0.9 <= total <= 1 + 1e-9:
        raise Refusal("shares_not_whole", total=total)
    charges = 0.0
    for element, share in shares.items():
        if element not in VALENCES:
            raise Refusal("element_unknown", element=element)
        mass, usual = VALENCES[element]
        valence = within("valence", (valences or {}).get(element, usual), 1, 7)
        charges += valence * share / mass
    return Working(
        name="equivalent_weight",
        value=1 / charges,
        unit="1",
        formula="EW = 1/Σ(n·f/W)",
        inputs=tuple(Input(element, share) for element, share in shares.items()),
        source=_G102,
    )


def rate_from_current(current: float, equivalent: float, density: float) -> Working:
    """Return the even rate in mm a year that a corrosion current density makes.

    ``current`` in mA/m², ``equivalent`` weight, density in g/cm³.  Raises Refusal
    ``out_of_range``.  Source: ASTM G102.
    """
    i = within("current", current, 0, 1e7, "mA/m2")
    ew = within("equivalent", equivalent, 1, 250)
    D = within("density", density, 0.5, 25, "g/cm3")
    return Working(
        name="rate_from_current",
        value=G102_CONSTANT * (i / 10) * ew / D,
        unit="mm/year",
        formula="0.00327·i·EW/D",
        inputs=(Input("i", i / 10, "uA/cm2"), Input("EW", ew), Input("D", D, "g/cm3")),
        source=_G102,
    )
