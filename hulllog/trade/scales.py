"""From an area, a count or a depth to a grade, and from a grade back to the band it stands for.

A grade never turns into one exact figure: the answer is the band.  Areas and covers are in percent
of the area looked at.
"""

from __future__ import annotations

import math
from bisect import bisect_left, bisect_right
from dataclasses import dataclass

from hulllog.trade.kinds import require
from hulllog.trade.ranges import above, within
from hulllog.trade.refusal import Refusal
from hulllog.trade.scaletables import (
    D610_BEND,
    D610_LINES,
    IMO_COATING,
    SLIME_ONLY,
    TABLES,
    Bands,
    Nominals,
)
from hulllog.trade.working import Input, Source, Working

_NEAREST = "nearest nominal value on a log scale"
_DIGITS = 9
"""Figures are rounded so far before they meet a limit, since 0.3 % is no exact float."""


@dataclass(frozen=True, slots=True)
class Graded:
    """A grade that a rule or a table gave for a measured figure."""

    kind: str
    component: str
    grade: str
    source: Source
    approximate: bool = False
    """Whether the rule is ours, because the scale has pictures without limits."""
    decided_by: str = ""
    """The criterion that made the grade, where a scale takes the worst of several."""


@dataclass(frozen=True, slots=True)
class Band:
    """The figures that a grade stands for, in ``unit``; each end in the band or just outside it.

    ``nominal`` is the figure of the scale's picture, as low and high, where it has one.
    """

    low: float
    high: float
    unit: str
    source: Source
    low_in: bool = True
    high_in: bool = True
    nominal: tuple[float, float] | None = None
    approximate: bool = False

    def holds(self, figure: float) -> bool:
        """Tell whether a figure lies in the band."""
        value = round(figure, _DIGITS)
        after = value > self.low or (self.low_in and value == self.low)
        return after and (value < self.high or (self.high_in and value == self.high))


def grade_of(kind_id: str, component: str, figure: float) -> Graded:
    """Return the grade of a measured figure: an area or cover in percent, a density, a depth.

    Units as in ``band_of``.  Scales with limits are read off; scales of pictures take the nearest
    nominal value on a log scale, which is our own rule and marked approximate.
    Raises Refusal ``no_table`` where the scale defines no figure, ``out_of_range``.
    Sources: those of ``scaletables``.
    """
    table = _table(kind_id, component)
    value = round(within(component, figure, 0, table.most, table.unit), _DIGITS)
    if isinstance(table, Bands):
        grade = table.grades[_place(table, value)]
        return Graded(kind_id, component, grade, table.source)
    return Graded(kind_id, component, _nearest(table, value), _ours(table), approximate=True)


def _table(kind_id: str, component: str) -> Bands | Nominals:
    require(kind_id)
    table = TABLES.get((kind_id, component))
    if table is None:
        raise Refusal("no_table", kind=kind_id, component=component)
    return table


def _place(table: Bands, value: float) -> int:
    return bisect_left(table.uppers, value)


def _nearest(table: Nominals, value: float) -> str:
    if table.below is not None and value < table.values[0][0]:
        return table.below
    if table.nought and value == 0:
        return table.grades[0]
    return table.grades[max(bisect_right(table.limits(), value), table.nought)]


def _ours(table: Nominals) -> Source:
    return Source("our own rule", f"{_NEAREST}: {table.source.title}")


def band_of(kind_id: str, component: str, grade: str) -> Band:
    """Return the band of figures that a grade stands for, never one figure.

    Areas and covers in percent, densities per m², openings in mm², depths and sizes in mm.
    Raises Refusal ``no_table``, ``grade_unknown``, ``no_area_for_half_step``.
    """
    table = _table(kind_id, component)
    if isinstance(table, Nominals) and grade == table.below:
        return _below(table)
    listed = table.grades[0] if grade == SLIME_ONLY.get(kind_id) else grade
    if listed in table.grades:
        place = table.grades.index(listed)
        if isinstance(table, Nominals):
            return _band_of_nominals(table, place)
        return _band_of_limits(table, place)
    raise Refusal(
        _why_no_band(kind_id, component, grade), kind=kind_id, component=component, grade=grade
    )


def _why_no_band(kind_id: str, component: str, grade: str) -> str:
    part = require(kind_id).component(component)
    on_scale = part is not None and grade in part.grades
    if not on_scale:
        return "grade_unknown"
    return "no_area_for_half_step" if "." in grade else "no_table"


def _below(table: Nominals) -> Band:
    source = Source("our own rule", f"below the first class of {table.source.title}")
    first = table.values[0][0]
    return Band(0, first, table.unit, source, high_in=False, approximate=True)


def _band_of_limits(table: Bands, place: int) -> Band:
    low = table.uppers[place - 1] if place else 0.0
    last = place == len(table.uppers)
    return Band(
        low,
        table.most if last else table.uppers[place],
        table.unit,
        table.source,
        low_in=place == 0,
        high_in=True,
    )


def _band_of_nominals(table: Nominals, place: int) -> Band:
    limits = table.limits()
    nought = table.nought
    first = place == 0 or (place == 1 and nought)
    low = 0.0 if first else limits[place - 1]
    if place == 0 and table.below is not None:
        low = table.values[0][0]
    high = table.most if place == len(limits) else limits[place]
    if place == 0 and nought:
        high = 0.0
    return Band(
        low,
        high,
        table.unit,
        _ours(table),
        low_in=not (place == 1 and nought),
        high_in=place == len(limits) or high == 0,
        nominal=table.values[place],
        approximate=True,
    )


def fouling_level(cover: float, slime: bool) -> Graded:
    """Return the level of fouling, 0–5, from the percent that macrofouling covers.

    Without macrofouling, slime alone is 1.  Limits fall at 5, 15 and 40 %, since the published
    whole percents leave gaps (our own rule).  Raises Refusal ``out_of_range``.
    Source: Level of fouling rank scale.
    """
    return _with_slime("level-of-fouling", "level", cover, slime)


def imo_fouling(cover: float, slime: bool) -> Graded:
    """Return the IMO fouling rating, 0–4, from the percent that macrofouling covers.

    Raises Refusal ``out_of_range``.  Source: IMO MEPC.378(80), from memory.
    """
    return _with_slime("imo-fouling-2023", "rating", cover, slime)


def _with_slime(kind_id: str, component: str, cover: float, slime: bool) -> Graded:
    found = grade_of(kind_id, component, cover)
    if found.grade == "0" and slime:
        return Graded(kind_id, component, SLIME_ONLY[kind_id], found.source)
    return found


def imo_coating(
    breakdown: float, hard_scale: float = 0.0, edges: float = 0.0, *, spots_only: bool = True
) -> Graded:
    """Return the IMO coating condition, the worst of three criteria, and which one decided.

    Percent of area broken down or rusted, percent of area under hard scale, percent of the length
    of edges and welds.  ``spots_only``: no visible failure but spot rust, which GOOD requires.
    Raises Refusal ``out_of_range``.  Source: IMO MSC.1/Circ.1330, 4.1, Table 1.
    """
    figures = {"breakdown": breakdown, "hard_scale": hard_scale, "edges": edges}
    grades = {name: _imo_class(name, figure) for name, figure in figures.items()}
    grades["failure"] = 0 if spots_only else 1
    decided = max(grades, key=grades.__getitem__)
    grade = ("good", "fair", "poor")[grades[decided]]
    source = Source("published", "IMO MSC.1/Circ.1330, 4.1, Table 1")
    return Graded(
        "imo-coating-1330",
        "condition",
        grade,
        source,
        decided_by=decided if grade != "good" else "",
    )


def _imo_class(name: str, figure: float) -> int:
    value = round(within(name, figure, 0, 100, "percent"), _DIGITS)
    fair, poor = IMO_COATING[name]
    if name == "hard_scale":
        return (value > fair) + (value >= poor)
    return (value >= fair) + (value > poor)


def cross_cut_class(affected: float) -> Graded:
    """Return the ASTM D3359 method B class from the percent of the cross-cut area affected.

    Exactly 5 % is 3B, since 4B is "less than 5 %".  Raises Refusal ``out_of_range``.
    Source: ASTM D3359-B, as cross-cut tester manuals give it.
    """
    value = round(within("affected", affected, 0, 100, "percent"), _DIGITS)
    table = TABLES["iso-2409", "class"]
    assert isinstance(table, Bands)
    place = _place(table, value)
    worse = 5 - (2 if value == table.uppers[1] else place)
    source = Source("published", "ASTM D3359 method B, as cross-cut tester manuals give it")
    return Graded("astm-d3359", "cross_cut", f"{worse}B", source)


def d610_line(area: float) -> Working:
    """Return the continuous ASTM D610 figure of a rusted area in percent, for smooth lines only.

    From 1e-4 to 100 %.  It does not go back through the table at odd grades, so no grade is
    awarded from it.  Raises Refusal ``out_of_range``.
    Source: derived from the statement that the scale is exponential from 10 to 4 and changes its
    slope there so that 100 % falls at 0.
    """
    percent = above("area", area, 1e-4, 100, "percent")
    start, fall = D610_LINES[percent > D610_BEND]
    return Working(
        name="d610_line",
        value=start - fall * math.log10(percent),
        unit="1",
        formula="p ≤ 10: G = 6 − 2·log₁₀ p; p > 10: G = 8 − 4·log₁₀ p",
        inputs=(Input("p", percent, "percent"),),
        source=Source("from memory", "ASTM D610, text of older editions"),
        cautions=("no_grade_from_line",),
    )
