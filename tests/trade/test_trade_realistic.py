"""On figures as they come from a yard: hardly a refusal, and never a NaN or an infinity."""

from __future__ import annotations

import dataclasses
import math
import random
from collections.abc import Callable

import pytest

from hulllog.trade import (
    change,
    conversions,
    corrosionrates,
    counts,
    fouling,
    kinds,
    notation,
    pits,
    plates,
    scales,
    trend,
    units,
)
from hulllog.trade.refusal import Refusal
from hulllog.trade.scaletables import TABLES

TRIES = 120
Draw = random.Random
MEASURED = [
    (entry.id, part.code, part)
    for entry in kinds.KINDS.values()
    for part in entry.components
    if part.followed and part.sort == "number"
]


def years(draw: Draw) -> list[float]:
    span = range(1995, 2026)
    return [year + draw.random() for year in sorted(draw.sample(span, draw.randint(5, 14)))]


def losing(draw: Draw, times: list[float]) -> list[float]:
    rate = draw.uniform(0.0, 0.08)
    return [round(8.0 - rate * (t - times[0]) + draw.gauss(0, 0.1), 1) for t in times]


def two_looks(draw: Draw) -> object:
    kind, code, part = draw.choice(MEASURED)
    high = min(part.high or 100.0, 400.0)
    return change.two_visits(kind, code, draw.uniform(0, high), draw.uniform(0, high))


def a_trend(draw: Draw) -> object:
    times = years(draw)
    return trend.of(times, losing(draw, times), "mm")


def a_forecast(draw: Draw) -> object:
    times = years(draw)
    values = losing(draw, times)
    return trend.forecast("plate-thickness", "thickness", times, values, 2027 + draw.random())


def a_grade(draw: Draw) -> object:
    kind, component = draw.choice(sorted(TABLES))
    return scales.grade_of(kind, component, 100 * draw.random() ** 4)


def a_band(draw: Draw) -> object:
    kind, component = draw.choice(sorted(TABLES))
    return scales.band_of(kind, component, draw.choice(TABLES[kind, component].grades))


def a_life(draw: Draw) -> object:
    now = draw.uniform(4.5, 7.0)
    return plates.remaining_life(now, 4.0, [draw.uniform(0.005, 0.1), draw.uniform(-0.02, 0.1)])


def a_fit(draw: Draw) -> object:
    depths = [round(draw.uniform(0.2, 3.0), 2) for _ in range(draw.randint(5, 30))]
    fit = draw.choice([pits.gumbel_by_plot, pits.gumbel_by_likelihood])
    return pits.deepest_over(fit(depths), draw.uniform(1, 100), draw.uniform(0.5, 0.95))


def a_growth(draw: Draw) -> object:
    first, later = draw.uniform(2, 10), draw.uniform(11, 30)
    depth = draw.uniform(0.3, 2)
    found = pits.growth([first, later], [depth, depth * draw.uniform(1.05, 2)])
    return pits.age_at_depth(found, depth * 1.5) if found.n > 0.2 else found


def a_notation(draw: Draw) -> object:
    text, kind = draw.choice(
        [
            ("6M", "astm-d714-2002"),
            ("7-G", "astm-d610-2008"),
            ("Ri 3(S2)", "iso-4628-3-2016"),
            ("2(S3)", "iso-4628-2-2016"),
            ("A-1, C-2", "astm-g46"),
            ("4B", "astm-d3359"),
        ]
    )
    return notation.parse(text, kind)


SUMS: dict[str, Callable[[Draw], object]] = {
    "two_visits": two_looks,
    "trend": a_trend,
    "forecast": a_forecast,
    "grade": a_grade,
    "band": a_band,
    "life": a_life,
    "extremes": a_fit,
    "growth": a_growth,
    "notation": a_notation,
    "convert": lambda d: conversions.convert(
        "astm-d714-2002",
        {"size": d.choice("8642"), "frequency": d.choice(["F", "M", "MD", "D"])},
        "iso-4628-2-2016",
    ),
    "wastage": lambda d: plates.wastage(d.uniform(3, 10), d.uniform(2, 10)),
    "rate": lambda d: plates.long_term_rate(d.uniform(5, 8), d.uniform(4, 8), d.uniform(1, 30)),
    "pit_share": lambda d: plates.pit_share(d.uniform(0, 3), d.uniform(3, 10)),
    "equivalent": lambda d: plates.equivalent_thickness(6, d.uniform(2, 6), d.uniform(0, 60)),
    "factor": lambda d: pits.pitting_factor(d.uniform(0.6, 4), d.uniform(0.02, 0.5)),
    "density": lambda d: counts.density(d.randint(0, 300), d.uniform(0.2, 6)),
    "cover": lambda d: counts.cover(d.randint(0, 200), d.uniform(1, 30), d.uniform(0.5, 6)),
    "reference": lambda d: counts.to_reference(d.uniform(4, 60), d.uniform(4, 20)),
    "level": lambda d: scales.fouling_level(100 * d.random() ** 3, d.random() < 0.5),
    "coating": lambda d: scales.imo_coating(30 * d.random(), 12 * d.random(), 60 * d.random()),
    "cuts": lambda d: scales.cross_cut_class(100 * d.random()),
    "fouling": lambda d: fouling.navy_rating(
        d.sample(["slime", "grass", "tubeworms", "barnacles"], d.randint(1, 3)),
        d.uniform(0.5, 20),
        grass_length=d.uniform(5, 70),
    ),
    "mass": lambda d: corrosionrates.rate_from_mass(
        d.uniform(0.01, 20), d.uniform(10, 500), d.uniform(100, 20_000), d.uniform(2.6, 9)
    ),
    "current": lambda d: corrosionrates.rate_from_current(
        d.uniform(1, 200), d.uniform(9, 35), d.uniform(2.6, 9)
    ),
    "units": lambda d: units.convert(d.uniform(0.1, 5000), "um", "mil"),
}


def figures(value: object) -> list[float]:
    """Return every number in a result."""
    if isinstance(value, bool):
        return []
    if isinstance(value, (int, float)):
        return [float(value)]
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        parts = [getattr(value, field.name) for field in dataclasses.fields(value)]
        return [number for part in parts for number in figures(part)]
    if isinstance(value, (list, tuple)):
        return [number for part in value for number in figures(part)]
    return []


@pytest.mark.parametrize("name", SUMS)
def test_realistic_figures_are_answered(name: str) -> None:
    draw = random.Random(name)
    refused = 0
    for _ in range(TRIES):
        try:
            result = SUMS[name](draw)
        except Refusal:
            refused += 1
            continue
        assert all(map(math.isfinite, figures(result))), result
    assert refused < 0.05 * TRIES
