"""What grows on a hull, as a Navy fouling rating, and what it cost a ship that was measured."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from types import MappingProxyType

from hulllog.trade.ranges import within
from hulllog.trade.refusal import Refusal
from hulllog.trade.scales import Graded
from hulllog.trade.working import Input, Source, Working

SMALL = 6.4
"""Height or diameter in mm up to which animals count as small (a quarter of an inch)."""
LONGEST_GRASS = 76.2
"""Length in mm of filaments up to which grass is on the scale (three inches)."""
FORMS = (
    "light_slime",
    "slime",
    "grass",
    "soft_animals",
    "tubeworms",
    "barnacles",
    "tunicates",
)
_NAVY = Source("published", "Naval Ships' Technical Manual, Chapter 081, Table 081-1-1")
_SCHULTZ = Source("from memory", "Schultz, Biofouling 23 (2007)")

_REFERENCE_SHIP: Mapping[int, Mapping[str, float]] = MappingProxyType(
    {
        15: {"10": 11.0, "20": 11.0, "30": 21.0, "40": 35.0, "50": 35.0, "60": 35.0}
        | {"70": 54.0, "80": 54.0, "90": 86.0, "100": 86.0},
        30: {"10": 10.0, "20": 10.0, "30": 16.0, "40": 26.0, "50": 26.0, "60": 26.0}
        | {"70": 38.0, "80": 38.0, "90": 59.0, "100": 59.0},
    }
)


def navy_rating(
    forms: Collection[str],
    largest: float = 0.0,
    *,
    grass_length: float = 0.0,
    crowded: bool = False,
) -> Graded:
    """Return the Navy fouling rating of what was seen.

    ``forms`` of ``FORMS``; ``largest`` the height or diameter of the largest animal in mm;
    ``grass_length`` of the filaments in mm; ``crowded``: tubeworms packed upright or barnacles on
    barnacles.  Animals of exactly 6.4 mm count as large, except crowded ones.
    Raises Refusal ``form_unknown``; ``out_of_range``; ``not_on_scale`` for grass over 76.2 mm or
    soft animals over 6.4 mm alone, which the table leaves out.
    Source: Naval Ships' Technical Manual, Chapter 081, Table 081-1-1.
    """
    unknown = sorted(set(forms) - set(FORMS))
    if unknown:
        raise Refusal("form_unknown", form=unknown[0])
    size = within("largest", largest, 0, 1000, "mm")
    within("grass_length", grass_length, 0, 10_000, "mm")
    hard = {"tubeworms", "barnacles"} & set(forms)
    if hard:
        rating = _hard(hard, size, crowded=crowded, tunicates="tunicates" in forms)
    else:
        rating = _soft(set(forms), size, grass_length)
    return Graded("navy-fr", "rating", str(rating), _NAVY)


def _hard(hard: set[str], size: float, *, crowded: bool, tunicates: bool) -> int:
    if tunicates:
        return 100
    if crowded:
        return 90 if size > SMALL else 80
    if size >= SMALL:
        return 70
    if len(hard) == 2:
        return 60
    return 50 if "barnacles" in hard else 40


def _soft(forms: set[str], size: float, grass_length: float) -> int:
    if forms & {"soft_animals", "tunicates"} and size > SMALL:
        raise Refusal("not_on_scale", quantity="largest", value=size, unit="mm")
    if grass_length > LONGEST_GRASS:
        raise Refusal("not_on_scale", quantity="grass_length", value=grass_length, unit="mm")
    if forms & {"soft_animals", "tunicates", "grass"}:
        return 30
    return 20 if "slime" in forms else 10 if forms else 0


def reference_ship_power(rating: str, knots: int = 15) -> Working:
    """Return by how many percent fouling raised the power of one ship, a frigate, at 15 or 30 kn.

    A figure of that ship, never a prediction for another; no speed loss follows from it.
    Raises Refusal ``no_table`` for rating 0 (its two values differ by the paint) and other speeds.
    Source: Schultz, Biofouling 23 (2007); 86 % from the abstract, the rest from memory.
    """
    percent = _REFERENCE_SHIP.get(knots, {}).get(rating)
    if percent is None:
        raise Refusal("no_table", kind="navy-fr", component="rating", grade=rating, knots=knots)
    return Working(
        name="reference_ship_power",
        value=percent,
        unit="percent",
        formula="ΔP/P",
        inputs=(Input("FR", rating), Input("v", float(knots), "kn")),
        source=_SCHULTZ,
        cautions=("reference_ship",),
    )
