"""Kinds of our own, in plain terms: what is counted, measured in millimetres, metered or gauged.

Repeatability and the conditions that break a series are our own rules unless a source is named.
"""

from __future__ import annotations

from hulllog.trade.kindparts import Component, Condition, Kind, Repeatability, Worsens
from hulllog.trade.standardkinds import GEAR_TOO, LOOKS, METAL, OWN, STEEL, WASHED
from hulllog.trade.working import Source

_COUNT = Repeatability(0, OWN, of_count=True)
_GAUGE = Source("from memory", "Ultrasonic gauge practice, about ±0.1 mm")
_FILM_GAUGE = Source("common practice", "Film gauges, about ±3 %")

WETNESS = Condition(code="wetness", sort="code", codes=("wet", "dry"), breaks=True)
DAYS_ASHORE = Condition(
    code="days_ashore", sort="number", unit="d", bounds=(5,), breaks=True, needed=True
)
AGE_ASHORE = Condition(code="days_ashore", sort="number", unit="d")


def _count(nothing: float | None = 0.0) -> Component:
    return Component(
        code="count",
        sort="number",
        unit="1",
        low=0,
        high=1_000_000,
        nothing=nothing,
        repeatability=_COUNT,
        whole=True,
    )


def _number(
    code: str,
    unit: str,
    high: float,
    s: float,
    *,
    low: float = 0,
    share: float = 0.0,
    nothing: float | None = None,
    worsens: Worsens = "rising",
    optional: bool = False,
    source: Source = OWN,
    steady: bool = False,
) -> Component:
    return Component(
        code=code,
        sort="number",
        unit=unit,
        low=low,
        steady=steady,
        high=high,
        worsens=worsens,
        nothing=nothing,
        repeatability=Repeatability(s, source, share),
        optional=optional,
    )


def _codes(code: str, ordered: str, apart: str, *, ranked: bool) -> Component:
    codes = tuple(ordered.split())
    return Component(
        code=code,
        sort="grade",
        grades=codes,
        pictured=codes,
        apart=tuple(apart.split()),
        ordered=ranked,
        worsens="rising" if ranked else "neither",
        optional=True,
        followed=False,
    )


def _told(code: str, codes: str, *, breaks: bool = True, needed: bool = False) -> Condition:
    return Condition(
        code=code, sort="code", codes=tuple(codes.split()), breaks=breaks, needed=needed
    )


_SPOTTED = (
    Kind(
        id="laminate-blisters",
        subjects=LOOKS,
        components=(
            _count(),
            _number("typical_mm", "mm", 500, 1, share=0.05, nothing=0.0, optional=True),
            _number("largest_mm", "mm", 1000, 1, share=0.05, nothing=0.0, optional=True),
            _codes(
                "depth",
                "paint gelcoat under_gelcoat in_laminate",
                "not_opened unknown",
                ranked=True,
            ),
            _codes("fluid", "none clear brown sour acid", "not_opened unknown", ranked=False),
        ),
        source=OWN,
        materials=frozenset({"grp", "gelcoat", "laminate"}),
        conditions=(WETNESS, AGE_ASHORE),
    ),
    Kind(
        id="rust-spots",
        subjects=LOOKS,
        components=(
            _count(),
            _number("area_cm2", "cm2", 1_000_000, 1, share=0.2, nothing=0.0, optional=True),
            _number("largest_mm", "mm", 10_000, 2, share=0.05, nothing=0.0, optional=True),
        ),
        source=OWN,
        materials=STEEL | {"ferrocement"},
        conditions=(WASHED,),
    ),
    Kind(
        id="crack",
        subjects=GEAR_TOO,
        components=(
            _number("length_mm", "mm", 50_000, 2, share=0.05, nothing=0.0),
            _number("width_mm", "mm", 1000, 0.1, share=0.1, nothing=0.0, optional=True),
        ),
        source=OWN,
        conditions=(WASHED,),
    ),
    Kind(
        id="damage",
        subjects=GEAR_TOO,
        components=(
            _number("length_mm", "mm", 50_000, 5, share=0.05, nothing=0.0),
            _number("width_mm", "mm", 50_000, 5, share=0.05, nothing=0.0, optional=True),
        ),
        source=OWN,
        conditions=(WASHED,),
    ),
    Kind(
        id="soft-wood",
        subjects=GEAR_TOO,
        components=(
            _number("depth_mm", "mm", 1000, 1, share=0.1, nothing=0.0),
            _number("area_cm2", "cm2", 1_000_000, 5, share=0.2, nothing=0.0, optional=True),
        ),
        source=OWN,
        materials=frozenset({"wood"}),
    ),
    Kind(
        id="dull-sound",
        subjects=LOOKS,
        components=(
            _number("length_mm", "mm", 50_000, 20, share=0.2, nothing=0.0),
            _number("width_mm", "mm", 50_000, 20, share=0.2, nothing=0.0, optional=True),
        ),
        source=OWN,
        materials=frozenset({"grp", "gelcoat", "laminate", "wood", "ferrocement"}),
    ),
    Kind(
        id="seam-gap",
        subjects=("inspection", "spot_observation", "measuring_point"),
        components=(_number("gap", "mm", 100, 0.2, share=0.1, nothing=0.0),),
        source=OWN,
        materials=frozenset({"wood"}),
        conditions=(AGE_ASHORE,),
    ),
    Kind(
        id="antifouling-cover",
        subjects=LOOKS,
        components=(_number("cover", "percent", 100, 5, nothing=None, worsens="falling"),),
        source=OWN,
        conditions=(WASHED,),
    ),
)

_METERED = (
    Kind(
        id="film-thickness",
        subjects=("inspection", "measuring_point"),
        components=(
            _number("film", "um", 10_000, 3, share=0.03, worsens="falling", source=_FILM_GAUGE),
        ),
        source=OWN,
        conditions=(
            _told("gauge", "magnetic eddy_current ultrasonic comb", needed=True),
            Condition(code="readings", sort="number", unit="1"),
        ),
    ),
    Kind(
        id="moisture",
        subjects=("inspection", "spot_observation", "measuring_point"),
        components=(
            _number("reading", "1", 1000, 1, share=0.05, worsens="neither"),
            _number("reference", "1", 1000, 1, share=0.05, optional=True, worsens="neither"),
        ),
        source=OWN,
        materials=frozenset({"grp", "gelcoat", "laminate", "wood", "ferrocement"}),
        conditions=(
            Condition(code="meter", sort="text", breaks=True, needed=True),
            Condition(code="mode", sort="text", breaks=True, needed=True),
            _told("surface", "paint gelcoat laminate wood", needed=True),
            DAYS_ASHORE,
            Condition(code="air", sort="number", unit="degC"),
            Condition(code="humidity", sort="number", unit="percent"),
        ),
    ),
    Kind(
        id="timber-moisture",
        subjects=("inspection", "spot_observation", "measuring_point"),
        # Wood is damp by season and days ashore: more of it is no decay.
        components=(_number("moisture_percent", "percent", 100, 1, share=0.05, worsens="neither"),),
        source=OWN,
        materials=frozenset({"wood"}),
        conditions=(
            Condition(code="table", sort="text", breaks=True, needed=True),
            DAYS_ASHORE,
            Condition(code="air", sort="number", unit="degC"),
        ),
    ),
    Kind(
        id="plate-thickness",
        subjects=("inspection", "spot_observation", "measuring_point", "gear_check"),
        components=(
            _number("thickness", "mm", 500, 0.1, worsens="falling", source=_GAUGE, steady=True),
        ),
        source=OWN,
        materials=METAL,
        conditions=(
            Condition(
                code="through_paint",
                sort="code",
                codes=("bare", "echo_to_echo", "through_paint"),
                alike=(("bare", "echo_to_echo"),),
                breaks=True,
                needed=True,
            ),
        ),
    ),
    Kind(
        id="pit-depth",
        subjects=("inspection", "spot_observation", "measuring_point", "gear_check"),
        components=(
            _number("deepest", "mm", 500, 0.1, nothing=0.0),
            _number("mean", "mm", 500, 0.1, nothing=0.0, optional=True),
            _number("density", "1/m2", 10_000_000, 1, share=0.2, nothing=0.0, optional=True),
        ),
        source=OWN,
        materials=METAL,
        conditions=(_told("cleaned", "cleaned as_found"),),
    ),
    Kind(
        id="hull-potential",
        subjects=("visit", "inspection", "measuring_point", "gear_check"),
        components=(_number("potential", "mV", 2000, 10, low=-2000, worsens="neither"),),
        source=OWN,
        conditions=(
            _told("electrode", "ag_agcl ag_agcl_saturated zinc cu_cuso4 calomel", needed=True),
            _told("shore_power", "none plugged plugged_with_isolator", needed=True),
            _told("water", "salt brackish fresh", breaks=False),
        ),
    ),
    Kind(
        id="play",
        subjects=("gear_check",),
        components=(_number("play", "mm", 100, 0.1, nothing=0.0, steady=True),),
        source=OWN,
        conditions=(_told("method", "feeler dial by_hand", needed=True),),
    ),
    Kind(
        id="bolt-diameter",
        subjects=("gear_check",),
        components=(_number("diameter", "mm", 200, 0.2, worsens="falling", steady=True),),
        source=OWN,
        conditions=(_told("seen_how", "drawn x_ray ultrasonic", needed=True),),
    ),
    Kind(
        id="bolt-torque",
        subjects=("gear_check",),
        components=(
            Component(
                code="torque",
                sort="number",
                unit="N.m",
                low=0,
                high=5000,
                worsens="neither",
                repeatability=Repeatability(5, OWN, 0.05),
                followed=False,
            ),
        ),
        source=OWN,
        conditions=(_told("turned", "tightened checked", needed=True),),
    ),
    Kind(
        id="valve-action",
        subjects=("gear_check",),
        components=(
            Component(
                code="action",
                sort="grade",
                grades=("free", "stiff", "seized"),
                pictured=("free", "stiff", "seized"),
                worsens="rising",
                nothing="free",
                repeatability=Repeatability(1, OWN),
            ),
        ),
        source=OWN,
    ),
    Kind(
        id="gland-drip",
        subjects=("gear_check",),
        components=(_number("drops", "1", 10_000, 5, share=0.2, nothing=0.0),),
        source=OWN,
        conditions=(_told("turning", "turning still", needed=True),),
    ),
    Kind(
        id="pull-off",
        subjects=GEAR_TOO,
        components=(_number("strength", "MPa", 100, 0.5, share=0.15, worsens="falling"),),
        source=Source("from memory", "ISO 4624, ASTM D4541"),
        conditions=(Condition(code="tester", sort="text", breaks=True),),
    ),
)

OWN_KINDS: tuple[Kind, ...] = (*_SPOTTED, *_METERED)
