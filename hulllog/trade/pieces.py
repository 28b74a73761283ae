"""Areas of keels, rudders, legs, bulbs and bands: plain geometry.

Lengths in m, areas in m².
"""

from __future__ import annotations

import math

from hulllog.trade.ranges import above, within
from hulllog.trade.working import Input, Source, Working

_GEOMETRY = Source("published", "plane and solid geometry")
_RAYMER = Source("from memory", "Raymer, wetted area of a wing")
_THOMSEN = Source("published", "Thomsen's formula, p = 1.6075")
_RAMANUJAN = Source("published", "Ramanujan 1914, perimeter of an ellipse, second formula")
_V_BOTTOM = Source("our own rule", "flat panels with a factor for the bow's taper")

_POWER = 1.6075


def _metres(quantity: str, value: float) -> float:
    return above(quantity, value, 0.0, 100.0, "m")


def _area(name: str, value: float, formula: str, *inputs: Input) -> Working:
    return Working(
        name=name, value=value, unit="m2", formula=formula, inputs=inputs, source=_GEOMETRY
    )


def trapezium(span: float, root: float, tip: float) -> Working:
    """Return the area in m² of one side of a straight-edged keel, rudder or skeg.

    ``tip`` may be 0.  Raises Refusal ``out_of_range``.  Source: geometry.
    """
    height, upper = _metres("span", span), _metres("root_chord", root)
    lower = within("tip_chord", tip, 0.0, 100.0, "m")
    return _area(
        "trapezium",
        height * (upper + lower) / 2.0,
        "A = h·(c_r + c_t)/2",
        Input("h", height, "m"),
        Input("c_r", upper, "m"),
        Input("c_t", lower, "m"),
    )


def foil(planform: float, thickness: float = 0.0) -> Working:
    """Return the area in m² of both sides of a keel, rudder or skeg, round its thickness.

    ``planform`` is the area of one side, ``thickness`` the ratio t/c from 0 to 0.5; 0 stands for a
    plate and gives twice the planform.  Raises Refusal ``out_of_range``.
    Source: from memory, Raymer.
    """
    side = above("planform", planform, 0.0, 200.0, "m2")
    ratio = within("thickness_ratio", thickness, 0.0, 0.5)
    return Working(
        name="foil",
        value=side * max(2.0, 1.977 + 0.52 * ratio),
        unit="m2",
        formula="S = A·max(2, 1.977 + 0.52·t/c)",
        inputs=(Input("A", side, "m2"), Input("t/c", ratio)),
        source=_RAYMER,
    )


def _thomsen(a: float, b: float, c: float) -> float:
    """Return the surface of an ellipsoid from its half axes; off by 1.2 % at most."""
    products = (a * b) ** _POWER + (a * c) ** _POWER + (b * c) ** _POWER
    return 4.0 * math.pi * float((products / 3.0) ** (1.0 / _POWER))


def bulb(length: float, width: float, height: float) -> Working:
    """Return the area in m² of an ellipsoid, such as a keel bulb, from its full axes.

    Raises Refusal ``out_of_range``.  Source: Thomsen's formula, off by 1.2 % at most.
    """
    a, b = _metres("length", length) / 2.0, _metres("width", width) / 2.0
    c = _metres("height", height) / 2.0
    return Working(
        name="bulb",
        value=_thomsen(a, b, c),
        unit="m2",
        formula="S = 4π·[((ab)^p + (ac)^p + (bc)^p)/3]^(1/p), p = 1.6075",
        inputs=(Input("a", a, "m"), Input("b", b, "m"), Input("c", c, "m")),
        source=_THOMSEN,
    )


def half_ellipsoid(length: float, beam: float, draught: float) -> Working:
    """Return the area in m² of the lower half of an ellipsoid: a rough round hull.

    ``length`` and ``beam`` on the waterline.  Raises Refusal ``out_of_range``.
    Source: Thomsen's formula, off by 1.2 % at most.
    """
    a, b = _metres("waterline_length", length) / 2.0, _metres("beam", beam) / 2.0
    c = _metres("draught", draught)
    return Working(
        name="half_ellipsoid",
        value=_thomsen(a, b, c) / 2.0,
        unit="m2",
        formula="S = 2π·[((ab)^p + (ac)^p + (bc)^p)/3]^(1/p), p = 1.6075",
        inputs=(Input("a", a, "m"), Input("b", b, "m"), Input("c", c, "m")),
        source=_THOMSEN,
    )


def cylinder(diameter: float, length: float) -> Working:
    """Return the area in m² of the skin of a shaft, leg or tunnel, ends left out.

    Raises Refusal ``out_of_range``.  Source: geometry.
    """
    d, span = _metres("diameter", diameter), _metres("length", length)
    return _area(
        "cylinder", math.pi * d * span, "A = π·d·l", Input("d", d, "m"), Input("l", span, "m")
    )


def disc(diameter: float) -> Working:
    """Return the area in m² of one face of a disc, such as a tunnel's mouth.

    Raises Refusal ``out_of_range``.  Source: geometry.
    """
    d = _metres("diameter", diameter)
    return _area("disc", math.pi * d**2 / 4.0, "A = π·d²/4", Input("d", d, "m"))


def cone(large: float, small: float, length: float) -> Working:
    """Return the area in m² of the skin of a cone cut off, ends left out, from its diameters.

    ``small`` may be 0.  Raises Refusal ``out_of_range``.  Source: geometry.
    """
    wide = _metres("diameter", large)
    narrow = within("diameter", small, 0.0, 100.0, "m")
    span = _metres("length", length)
    slant = math.hypot(span, (wide - narrow) / 2.0)
    return _area(
        "cone",
        math.pi * (wide + narrow) / 2.0 * slant,
        "A = π·(d₁ + d₂)/2·√(l² + ((d₁ − d₂)/2)²)",
        Input("d₁", wide, "m"),
        Input("d₂", narrow, "m"),
        Input("l", span, "m"),
    )


def _ellipse(length: float, beam: float) -> float:
    a, b = length / 2.0, beam / 2.0
    h = ((a - b) / (a + b)) ** 2
    return math.pi * (a + b) * (1.0 + 3.0 * h / (10.0 + math.sqrt(4.0 - 3.0 * h)))


def ellipse_girth(length: float, beam: float) -> Working:
    """Return the length in m round an ellipse: a waterline, from its axes.

    Raises Refusal ``out_of_range``.  Source: Ramanujan's second formula.
    """
    long, wide = _metres("waterline_length", length), _metres("beam", beam)
    return Working(
        name="ellipse_girth",
        value=_ellipse(long, wide),
        unit="m",
        formula="P = π(a + b)·(1 + 3h/(10 + √(4 − 3h))), h = ((a − b)/(a + b))²",
        inputs=(Input("2a", long, "m"), Input("2b", wide, "m")),
        source=_RAMANUJAN,
    )


def band_below_waterline(length: float, beam: float, height: float) -> Working:
    """Return the area in m² of a band along the waterline, such as a boot-top.

    ``height`` above 0 to 2 m, measured on the skin.  The waterline is taken as an ellipse.
    Raises Refusal ``out_of_range``.  Source: Ramanujan's second formula.
    """
    long, wide = _metres("waterline_length", length), _metres("beam", beam)
    tall = above("height", height, 0.0, 2.0, "m")
    return Working(
        name="band",
        value=tall * _ellipse(long, wide),
        unit="m2",
        formula="A = h·P, P = π(a + b)·(1 + 3h′/(10 + √(4 − 3h′)))",
        inputs=(
            Input("h", tall, "m"),
            Input("2a", long, "m"),
            Input("2b", wide, "m"),
        ),
        source=_RAMANUJAN,
        cautions=("waterline_as_ellipse",),
    )


def v_bottom(
    waterline_length: float,
    chine_beam: float,
    deadrise: float,
    side_depth: float = 0.0,
    transom_beam: float | None = None,
    taper: float = 0.90,
) -> Working:
    """Return the underwater area in m² of a hard-chine hull, its transom's wet part included.

    ``deadrise`` in degrees, 0 to 45; ``side_depth`` from chine to waterline, 0 to 3 m; ``taper``
    is the share of a full-length panel that the bow leaves, 0.6 to 1.
    Raises Refusal ``out_of_range``.  Source: our own rule on plane geometry.
    """
    length, beam = _metres("waterline_length", waterline_length), _metres("beam", chine_beam)
    beta = within("deadrise", deadrise, 0.0, 45.0, "deg")
    depth = within("side_depth", side_depth, 0.0, 3.0, "m")
    stern = beam if transom_beam is None else _metres("beam", transom_beam)
    k = within("taper", taper, 0.6, 1.0)
    bottom = k * length * beam / math.cos(math.radians(beta))
    return Working(
        name="v_bottom",
        value=bottom + 2.0 * k * length * depth + stern * depth,
        unit="m2",
        formula="S = k·L·B/cos β + 2k·L·d + B_T·d",
        inputs=(
            Input("k", k),
            Input("L", length, "m"),
            Input("B", beam, "m"),
            Input("β", beta, "deg"),
            Input("d", depth, "m"),
            Input("B_T", stern, "m"),
        ),
        source=_V_BOTTOM,
    )
