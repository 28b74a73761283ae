"""The proportions of each kind of hull.  Our own rule, tuned by eye and by displacement."""

from __future__ import annotations

from dataclasses import dataclass, replace


@dataclass(frozen=True, slots=True)
class Proportions:
    """How a kind of hull is shaped; triples run bow, middle, aft."""

    waterline_beam: float
    """Of the beam."""
    depth: float
    """Depth of the canoe body, of the waterline beam."""
    depth_bounds: tuple[float, float]
    freeboard: tuple[float, float]
    """Metres at half length, and per metre of length."""
    freeboards: tuple[float, float, float]
    broadest: tuple[float, float]
    """Ends of the greatest beam, of the length."""
    plan: tuple[float, float, float]
    """Powers of the sheer in plan: fore, bluntness, aft."""
    deepest: tuple[float, float]
    """Ends of the deepest part, of the waterline length."""
    stern_breadth: float
    """Factor on the breadth that the stern gives the transom."""
    immersed: float = 0.0
    """Depth of the foot of the transom, of the depth of the canoe body."""
    corner_y: tuple[float, float, float] = (0.9, 1.0, 0.98)
    corner_z: tuple[float, float, float] = (0.4, 0.12, 0.1)
    bow_handles: tuple[float, float] = (0.58, 0.50)
    aft_handles: tuple[float, float] = (0.70, 0.74)
    fullness: float = 0.78
    chine: float = 0.0
    """Breadth at the chine, of the breadth at the sheer; 0 for a round bilge."""
    deadrise: float = 0.0
    """Degrees, at the transom."""
    density: float = 1025.0


YACHT = Proportions(
    waterline_beam=0.86,
    depth=0.165,
    depth_bounds=(0.09, 0.32),
    freeboard=(0.28, 0.075),
    freeboards=(1.24, 1.0, 0.95),
    broadest=(0.57, 0.57),
    plan=(2.15, 0.93, 2.1),
    deepest=(0.50, 0.55),
    stern_breadth=1.0,
    corner_y=(0.91, 1.0, 0.985),
    corner_z=(0.40, 0.12, 0.09),
)
PLANING = Proportions(
    waterline_beam=0.88,
    depth=0.19,
    depth_bounds=(0.10, 0.32),
    freeboard=(0.30, 0.085),
    freeboards=(1.28, 1.08, 0.92),
    broadest=(0.62, 0.62),
    plan=(2.5, 0.80, 2.0),
    deepest=(0.50, 0.62),
    stern_breadth=1.16,
    immersed=0.90,
    chine=0.90,
    deadrise=17.0,
)
MOTOR = Proportions(
    waterline_beam=0.93,
    depth=0.225,
    depth_bounds=(0.14, 0.45),
    freeboard=(0.35, 0.075),
    freeboards=(1.55, 1.0, 1.02),
    broadest=(0.50, 0.52),
    plan=(2.3, 0.78, 2.2),
    deepest=(0.46, 0.52),
    stern_breadth=0.98,
    immersed=0.18,
    corner_y=(0.84, 1.0, 0.99),
    corner_z=(0.46, 0.15, 0.12),
    bow_handles=(0.60, 0.50),
    aft_handles=(0.72, 0.75),
    fullness=0.80,
)
INLAND = Proportions(
    waterline_beam=0.965,
    depth=0.24,
    depth_bounds=(0.10, 0.40),
    freeboard=(0.45, 0.028),
    freeboards=(1.35, 1.0, 1.04),
    broadest=(0.24, 0.80),
    plan=(2.2, 0.62, 2.0),
    deepest=(0.20, 0.72),
    stern_breadth=1.08,
    immersed=0.10,
    chine=0.965,
    density=1000.0,
)
SMALL = Proportions(
    waterline_beam=0.84,
    depth=0.17,
    depth_bounds=(0.09, 0.36),
    freeboard=(0.22, 0.055),
    freeboards=(1.62, 1.0, 1.20),
    broadest=(0.52, 0.52),
    plan=(2.1, 0.80, 2.1),
    deepest=(0.52, 0.54),
    stern_breadth=0.80,
    corner_y=(0.84, 1.0, 0.96),
    corner_z=(0.46, 0.19, 0.33),
    bow_handles=(0.60, 0.50),
    aft_handles=(0.60, 0.66),
    fullness=0.74,
)
CATAMARAN = Proportions(
    waterline_beam=0.80,
    depth=0.50,
    depth_bounds=(0.20, 0.75),
    freeboard=(0.35, 0.085),
    freeboards=(1.10, 1.0, 0.90),
    broadest=(0.50, 0.56),
    plan=(2.2, 0.80, 2.2),
    deepest=(0.48, 0.52),
    stern_breadth=0.92,
    corner_y=(0.92, 1.0, 0.99),
    corner_z=(0.36, 0.12, 0.16),
    bow_handles=(0.62, 0.55),
    aft_handles=(0.72, 0.74),
    fullness=0.80,
)
BY_KIND = {
    "yacht": YACHT,
    "planing": PLANING,
    "motor": MOTOR,
    "inland": INLAND,
    "small": SMALL,
    "catamaran": CATAMARAN,
}


SLACK = (0.44, 0.27, 0.22)
"""Corners of the sections of a yacht with a long keel, which rise from a slack bilge."""


def proportions(kind: str, keel: str) -> Proportions:
    """Return the proportions of a hull of a kind with a keel."""
    shape = BY_KIND[kind]
    return replace(shape, corner_z=SLACK) if (kind, keel) == ("yacht", "long") else shape


@dataclass(frozen=True, slots=True)
class Bow:
    """A bow: share of the overhang, turns of the tangent in degrees, fullness of the forefoot."""

    weight: float
    turn_water: float
    turn_head: float
    handles: tuple[float, float]


BOW = {
    "plumb": Bow(0.10, -2.0, 1.0, (0.72, 0.62)),
    "raked": Bow(0.55, -13.0, 7.0, (0.62, 0.54)),
    "spoon": Bow(0.60, -16.0, 16.0, (0.55, 0.60)),
    "clipper": Bow(0.70, 2.0, -22.0, (0.66, 0.55)),
}
CANOE = Bow(0.42, -13.0, 7.0, (0.50, 0.62))


@dataclass(frozen=True, slots=True)
class Stern:
    """A stern: share of the overhang, rake in degrees (top aft positive), transom breadth."""

    weight: float
    rake: float
    breadth: float


STERN = {
    "upright": Stern(0.16, 6.0, 0.78),
    "reverse": Stern(0.50, -32.0, 0.74),
    "counter": Stern(0.62, 38.0, 0.46),
    "canoe": Stern(0.42, 0.0, 0.0),
}
COUNTER_INLAND = 1.75
"""Factor on the breadth of a counter's transom on an inland hull."""

DEPTH_BY_KEEL = {"long": 1.55, "twin": 1.15, "bulb": 0.90}
"""Factor on the default depth of a yacht's canoe body."""
