"""The published scales as kinds: grades from best to worst, edition, materials, conditions.

The titles name the edition that was read, or say that the scale is from memory.  No scale states
how well two looks agree, so the repeatability of a grade is our own rule throughout.
"""

from __future__ import annotations

from hulllog.trade.kindparts import Component, Condition, Kind, Repeatability, Subject, Worsens
from hulllog.trade.working import Source

OWN = Source("our own rule")
STEEL = frozenset({"steel", "cast_iron"})
METAL = STEEL | {"aluminium", "stainless", "bronze", "brass"}
LOOKS: tuple[Subject, ...] = ("inspection", "spot_observation")
GEAR_TOO: tuple[Subject, ...] = (*LOOKS, "gear_check")

WASHED = Condition(code="washed", sort="code", codes=("washed", "not_washed"))
"""Recorded with every look; fouling before and after a wash is not the same."""
WASHED_OR_NOT = Condition(code="washed", sort="code", codes=("washed", "not_washed"), breaks=True)

_COARSE = Repeatability(1 / 3, OWN)
"""Scales of about six classes: a step shows, two steps show plainly."""
_FINE = Repeatability(1 / 2, OWN)
"""Scales of about eleven classes: two steps show, three show plainly."""
_HALVES = Repeatability(2 / 3, OWN)
"""Scales with half steps: one whole class is two steps."""


def published(title: str) -> Source:
    """Return a source that was read."""
    return Source("published", title)


def remembered(title: str) -> Source:
    """Return a source that was not at hand."""
    return Source("from memory", title)


def numbers(first: int, last: int, step: int = 1, before: str = "") -> tuple[str, ...]:
    """Return grades that are whole numbers, from best to worst."""
    way = step if last > first else -step
    return tuple(f"{before}{n}" for n in range(first, last + way, way))


def graded(
    code: str,
    grades: tuple[str, ...],
    *,
    nothing: str | None = None,
    worsens: Worsens = "rising",
    fine: bool = False,
    optional: bool = False,
    pictured: tuple[str, ...] = (),
) -> Component:
    """Return a component whose figure is a grade of an ordered scale."""
    return Component(
        code=code,
        sort="grade",
        grades=grades,
        pictured=pictured or grades,
        nothing=nothing,
        worsens=worsens,
        repeatability=_FINE if fine else _COARSE,
        optional=optional,
    )


def lettered(code: str, letters: str) -> Component:
    """Return a component of letters that say how, not how much."""
    codes = tuple(letters.split())
    return Component(
        code=code,
        sort="grade",
        grades=codes,
        pictured=codes,
        ordered=False,
        worsens="neither",
        optional=True,
        followed=False,
    )


def share_of(code: str, *, optional: bool = True) -> Component:
    """Return a component in percent of an area or a length, judged by eye."""
    return Component(
        code=code,
        sort="number",
        unit="percent",
        low=0,
        high=100,
        nothing=0.0,
        repeatability=Repeatability(1, OWN, share=0.2),
        optional=optional,
    )


_WHOLE = numbers(0, 5)
_WITH_HALVES = tuple(f"{n / 2:g}" for n in range(11))
_SIZES = numbers(0, 5, before="S")
DISTRIBUTION = "S G P H"


def _quantity(code: str = "quantity", pictured: tuple[str, ...] = _WHOLE) -> Component:
    return Component(
        code=code,
        sort="grade",
        grades=_WITH_HALVES,
        pictured=pictured,
        nothing="0",
        repeatability=_HALVES,
    )


def _size(nothing: str | None = "S0") -> Component:
    return graded("size", _SIZES, nothing=nothing, optional=True)


_PAINT = (
    Kind(
        id="astm-d610-2008",
        subjects=GEAR_TOO,
        components=(
            graded("grade", numbers(10, 0), nothing="10", worsens="falling", fine=True),
            lettered("distribution", DISTRIBUTION),
        ),
        source=published("ASTM D610-08, Table 1"),
        edition="2008",
        materials=STEEL,
        conditions=(WASHED,),
        by_area=True,
    ),
    Kind(
        id="astm-d714-2002",
        subjects=LOOKS,
        components=(
            graded(
                "size",
                numbers(10, 0),
                nothing="10",
                worsens="falling",
                fine=True,
                pictured=("10", "8", "6", "4", "2"),
            ),
            graded("frequency", ("F", "M", "MD", "D"), optional=True),
        ),
        source=published("ASTM D714-02"),
        edition="2002",
        conditions=(WASHED,),
        by_area=True,
    ),
    Kind(
        id="iso-4628-2-2016",
        subjects=LOOKS,
        components=(_quantity(), _size()),
        source=published("ISO 4628-2:2016"),
        edition="2016",
        conditions=(WASHED,),
        by_area=True,
    ),
    Kind(
        id="iso-4628-3-2016",
        subjects=GEAR_TOO,
        components=(_quantity("rust"), _size()),
        source=remembered("ISO 4628-3:2016"),
        edition="2016",
        materials=STEEL,
        conditions=(WASHED,),
        by_area=True,
    ),
    Kind(
        id="iso-4628-4-2016",
        subjects=LOOKS,
        components=(_quantity(), _size(), graded("depth", ("a", "b", "c"), optional=True)),
        source=remembered("ISO 4628-4:2016"),
        edition="2016",
        conditions=(WASHED,),
        by_area=True,
    ),
    Kind(
        id="iso-4628-5-2016",
        subjects=LOOKS,
        components=(_quantity(), _size(), graded("depth", ("a", "b"), optional=True)),
        source=published("ISO 4628-5:2016"),
        edition="2016",
        conditions=(WASHED,),
        by_area=True,
    ),
    Kind(
        id="iso-4628-6-2011",
        subjects=LOOKS,
        components=(_quantity("chalking", _WITH_HALVES),),
        source=published("ISO 4628-6:2011"),
        edition="2011",
        conditions=(WASHED,),
    ),
    Kind(
        id="european-rust",
        subjects=GEAR_TOO,
        components=(graded("rust", numbers(0, 9), nothing="0", fine=True),),
        source=Source("common practice", "European scale of degree of rusting"),
        materials=STEEL,
        conditions=(WASHED,),
        by_area=True,
    ),
    Kind(
        id="iso-8501-1-2007",
        subjects=LOOKS,
        components=(graded("rust", ("A", "B", "C", "D")),),
        source=remembered("ISO 8501-1:2007"),
        edition="2007",
        materials=STEEL,
        by_area=True,
    ),
    Kind(
        id="imo-coating-1330",
        subjects=LOOKS,
        components=(
            graded("condition", ("good", "fair", "poor"), nothing="good"),
            share_of("breakdown"),
            share_of("hard_scale"),
            share_of("edges"),
        ),
        source=published("IMO MSC.1/Circ.1330, 4.1"),
        edition="2009",
        materials=STEEL,
    ),
    Kind(
        id="navy-pdr",
        subjects=LOOKS,
        components=(graded("rating", numbers(10, 100, 10), nothing="10", fine=True),),
        source=remembered("Naval Ships' Technical Manual, Chapter 081"),
        edition="2006",
        conditions=(WASHED,),
        by_area=True,
    ),
    Kind(
        id="iso-2409",
        subjects=GEAR_TOO,
        components=(graded("class", numbers(0, 5), nothing="0"),),
        source=Source("common practice", "ISO 2409, as cross-cut tester manuals give it"),
        edition="2013",
    ),
    Kind(
        id="astm-d3359",
        subjects=GEAR_TOO,
        components=(
            graded(
                "x_cut",
                tuple(f"{n}A" for n in range(5, -1, -1)),
                worsens="falling",
                optional=True,
            ),
            graded(
                "cross_cut",
                tuple(f"{n}B" for n in range(5, -1, -1)),
                worsens="falling",
                optional=True,
            ),
        ),
        source=published("ASTM D3359-23"),
        edition="2023",
    ),
)

_FOULING = (
    Kind(
        id="navy-fr",
        subjects=GEAR_TOO,
        components=(
            graded("rating", numbers(0, 100, 10), nothing="0", fine=True),
            share_of("cover"),
        ),
        source=Source("published", "Naval Ships' Technical Manual, Chapter 081, Table 081-1-1"),
        edition="2006",
        conditions=(WASHED_OR_NOT,),
        by_area=True,
    ),
    Kind(
        id="level-of-fouling",
        subjects=GEAR_TOO,
        components=(graded("level", numbers(0, 5), nothing="0"), share_of("cover")),
        source=published("Level of fouling rank scale, an updated guideline (Cawthron)"),
        conditions=(WASHED_OR_NOT,),
        by_area=True,
    ),
    Kind(
        id="imo-fouling-2023",
        subjects=GEAR_TOO,
        components=(graded("rating", numbers(0, 4), nothing="0"), share_of("cover")),
        source=remembered("IMO MEPC.378(80)"),
        edition="2023",
        conditions=(WASHED_OR_NOT,),
        by_area=True,
    ),
)

_PITS = (
    Kind(
        id="astm-g46",
        subjects=GEAR_TOO,
        components=(
            graded("density", ("isolated", *numbers(1, 5, before="A-")), optional=True),
            graded("size", numbers(1, 5, before="B-"), optional=True),
            graded("depth", numbers(1, 5, before="C-"), optional=True),
        ),
        source=remembered('ASTM G46-94, Fig. 2; "isolated" below A-1 is our own rule'),
        edition="1994",
        materials=METAL,
        conditions=(WASHED,),
    ),
)

STANDARD_KINDS: tuple[Kind, ...] = (*_PAINT, *_FOULING, *_PITS)
