"""Every public sum: seldom a refusal on figures as they come from a yard, never NaN or infinity.

The sums that give a working from plain figures are tried so in ``test_trade_any_input``; all others
here, and a test holds that none is left out.
"""

from __future__ import annotations

import ast
import dataclasses
import inspect
import math
import random
import zlib
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from datetime import date, timedelta
from pathlib import Path

import pytest
from test_trade_any_input import REALISTIC as TRIED_THERE

import hulllog.trade
from hulllog.trade import (
    anodemetals,
    anodes,
    areas,
    biocides,
    buying,
    change,
    coatclasses,
    coathours,
    coatlife,
    compatibility,
    conversions,
    corrosionrates,
    counts,
    craftnumber,
    datasheet,
    duehabits,
    filmchecks,
    films,
    fitting,
    fouling,
    kinds,
    mannkendall,
    notation,
    paintuse,
    pits,
    plates,
    potentials,
    scales,
    slothours,
    slotwork,
    students,
    trend,
    units,
    waters,
    weather,
    windows,
)
from hulllog.trade.refusal import Refusal
from hulllog.trade.scaletables import TABLES

Draw = random.Random
Given = tuple[object, ...]
Sum = Callable[..., object]
TRIES = 120
NO_SUMS = {
    "anodepace",
    "kindparts",
    "kinds",
    "ownkinds",
    "ranges",
    "refusal",
    "slotwork",
    "standardkinds",
    "working",
}
"""Modules that hold the registry of kinds, ranges, refusals and the shape of a working, and the
inside of the half loss, which is tried through ``anodewear``."""
BAD = (math.nan, math.inf, -math.inf, 0.0, -1.0, 1e-320, 1e12, 1e308)

MEASURED = [
    (entry.id, part.code, part)
    for entry in kinds.KINDS.values()
    for part in entry.components
    if part.followed and part.sort == "number"
]
GRADED = [
    (entry.id, part.code, part.grades)
    for entry in kinds.KINDS.values()
    for part in entry.components
    if part.sort == "grade" and part.ordered
]
NOTATIONS = [
    ("6M", "astm-d714-2002"),
    ("7-G", "astm-d610-2008"),
    ("Ri 3(S2)", "iso-4628-3-2016"),
    ("2(S3)", "iso-4628-2-2016"),
    ("A-1, C-2", "astm-g46"),
    ("4B", "astm-d3359"),
]
CRAFT = ["NL-ZXZB7A33G293", "ZZXA1B2CA415", "US-ZZX00042L819", "ZZX123451278", "ZZX12345M82H"]
NUMBERS = ["12", "12,5", "1 234.5", "0.75", "5 3/16", "-3", "1,234.50", "250"]


def years(draw: Draw) -> list[float]:
    span = range(1995, 2026)
    return [year + draw.random() for year in sorted(draw.sample(span, draw.randint(5, 14)))]


def losing(draw: Draw, times: list[float]) -> list[float]:
    rate = draw.uniform(0.0, 0.08)
    return [round(8.0 - rate * (t - times[0]) + draw.gauss(0, 0.1), 1) for t in times]


def series(draw: Draw) -> Given:
    times = years(draw)
    return times, losing(draw, times)


def measured(draw: Draw, *ask: str) -> Given:
    kind, code, part = draw.choice(MEASURED)
    high = min(part.high or 100.0, 400.0)
    return (kind, code, *(draw.uniform(0, high) for _ in ask))


def graded(draw: Draw, times: int) -> Given:
    kind, code, grades = draw.choice(GRADED)
    return (kind, code, *(draw.choice(grades) for _ in range(times)))


def some_grades(draw: Draw) -> Given:
    kind, code, grades = draw.choice(GRADED)
    return kind, code, [draw.choice(grades) for _ in range(draw.randint(1, 5))]


def shared(draw: Draw) -> Given:
    kind, code, grades = draw.choice(GRADED)
    part = draw.randint(1, 99) / 100
    return kind, code, {grades[0]: part, grades[-1]: 1 - part}


def pit_depths(draw: Draw) -> list[float]:
    return [round(draw.uniform(0.2, 3.0), 2) for _ in range(draw.randint(5, 30))]


def fitted(draw: Draw) -> pits.Gumbel:
    return pits.gumbel_by_plot(pit_depths(draw))


def two_depths(draw: Draw) -> tuple[list[float], list[float]]:
    depth = draw.uniform(0.3, 2)
    later = depth * draw.uniform(1.25, 2)
    return [draw.uniform(2, 10), draw.uniform(11, 30)], [depth, later]


def film_readings(draw: Draw) -> list[float]:
    return [draw.uniform(150, 400) for _ in range(draw.randint(5, 40))]


def look(draw: Draw) -> change.Look:
    return change.Look(
        "moisture",
        {"meter": draw.choice(["A", "B"]), "mode": draw.choice(["deep", "shallow"])},
        draw.choice(["1", "2", None]),
        draw.randint(0, 2),
    )


def looks(draw: Draw) -> list[change.Look]:
    return [look(draw) for _ in range(draw.randint(1, 8))]


def day(draw: Draw) -> date:
    return date(2000, 1, 1) + timedelta(days=draw.randint(0, 10_000))


def level_of(draw: Draw) -> Given:
    times, values = series(draw)
    assert isinstance(times, list)
    assert isinstance(values, list)
    return list(zip(times, values, strict=True)), draw.uniform(-0.1, 0), times[-1]


def rows(draw: Draw) -> list[windows.WindowRow]:
    longest = draw.choice([None, 2000.0])
    return [windows.WindowRow(t, 200 / (t + 5), longest) for t in (5.0, 15.0, 23.0, 35.0)]


def slot_days(draw: Draw) -> list[slothours.Day]:
    return [
        slothours.Day(draw.uniform(12, 22), draw.uniform(5, 12), draw.uniform(40, 90), 8, 18)
        for _ in range(draw.randint(2, 5))
    ]


def slot_hours(draw: Draw) -> tuple[slothours.Hour, ...]:
    return slothours.hours_of(slot_days(draw), 6, 20)


def high_waters(draw: Draw) -> list[slothours.HighWater]:
    return [slothours.HighWater(6 + 12.4 * n, draw.uniform(4.5, 5.5)) for n in range(4)]


def slot_and_work(draw: Draw) -> Given:
    hours = slot_hours(draw)
    told = tuple(rows(draw))
    coat = slotwork.Coat("red", draw.randint(1, 4), told, told, told)
    launches = tuple(at for at, hour in enumerate(hours) if hour.yard)
    return slotwork.Slot(hours, 8, launches, drying=4), [slotwork.Area("bottom", (coat,) * 2)]


def unit_and_partner(draw: Draw) -> tuple[str, str]:
    code = draw.choice(sorted(units.UNITS))
    same = [c for c in units.UNITS if units.quantity(c) == units.quantity(code)]
    return code, draw.choice(same)


def alike(draw: Draw) -> Given:
    return (1,) * 8, draw.choice([(1,) * 8, (2,) + (1,) * 6, (3, 2, 2, 1)])


def of_table(draw: Draw) -> Given:
    ones = (1,) * draw.randint(5, 10)
    return mannkendall.null_distribution(ones, ones) or (), draw.uniform(0.01, 0.1)


def alloy_shares(draw: Draw) -> dict[str, float]:
    chromium, nickel = draw.uniform(0.1, 0.2), draw.uniform(0.05, 0.12)
    return {"Fe": 1 - chromium - nickel, "Cr": chromium, "Ni": nickel}


def written(draw: Draw) -> Given:
    text, kind = draw.choice(NOTATIONS)
    return kind, notation.parse(text, kind).grades


def a_band(draw: Draw) -> Given:
    kind, component = draw.choice(sorted(TABLES))
    return kind, component, draw.choice(TABLES[kind, component].grades)


SUMS: dict[Sum, Callable[[Draw], Given]] = {
    anodemetals.metal: lambda d: (d.choice(sorted(anodemetals.DISSOLVED)),),
    anodes.share_renewed: lambda _: (),
    areas.total: lambda d: ([areas.deck(d.uniform(5, 20), d.uniform(1.5, 6)) for _ in range(3)],),
    areas.spread: lambda d: ([areas.deck(d.uniform(5, 20), d.uniform(1.5, 6)) for _ in range(3)],),
    biocides.leach_rate_cap: lambda _: ("cuprous_oxide", "california"),
    biocides.cybutryne_due: lambda d: (day(d), d.choice([None, day(d)])),
    biocides.known_bans: lambda d: (
        d.choice(sorted(biocides.BIOCIDES)), d.choice(biocides.TERRITORIES), day(d),
    ),
    change.breaks: lambda d: ("moisture", look(d).conditions, look(d).conditions),
    change.check_shares: lambda d: shared(d)[2:],
    change.most_of_area: shared,
    change.repeatability: lambda d: measured(d, "value"),
    change.sense: lambda d: measured(d, "difference"),
    change.steps: lambda d: graded(d, 2),
    change.stretches: lambda d: (looks(d),),
    change.two_visits: lambda d: measured(d, "before", "now"),
    change.why_not: lambda d: (look(d), look(d), d.choice([None, d.random()])),
    change.worst: some_grades,
    coatclasses.coating_class: lambda d: (d.choice(sorted(coatclasses.CLASSES)),),
    coathours.closes: lambda d: (slot_hours(d), rows(d), d.randint(9, 40)),
    coathours.coldest_of: lambda d: (slot_hours(d), 8, 12),
    coathours.opens: lambda d: (slot_hours(d), rows(d), d.randint(9, 40)),
    coatlife.usual_life: lambda d: (d.randint(1, 6),),
    compatibility.compatible: lambda d: (
        d.choice(compatibility.OLD_COATINGS), d.choice(compatibility.NEW_COATINGS),
        d.choice([None, True, False]),
    ),
    compatibility.copper_near_aluminium: lambda d: (
        d.choice(compatibility.COPPER_FORMS), d.choice(["grp", "aluminium", "steel", "unknown"]),
        d.choice(compatibility.DRIVES), d.choice([None, True, False]),
    ),
    conversions.convert: lambda d: (
        "astm-d714-2002",
        {"size": d.choice("8642"), "frequency": d.choice(["F", "M", "MD", "D"])},
        "iso-4628-2-2016",
    ),
    conversions.converts_to: lambda d: (d.choice(sorted(kinds.KINDS)),),
    corrosionrates.equivalent_weight: lambda d: (alloy_shares(d),),
    corrosionrates.rate_from_current: lambda d: (
        d.uniform(1, 200), d.uniform(9, 35), d.uniform(2.6, 9),
    ),
    corrosionrates.rate_from_mass: lambda d: (
        d.uniform(0.01, 20), d.uniform(10, 500), d.uniform(100, 20_000), d.uniform(2.6, 9),
    ),
    corrosionrates.rate_from_mdd: lambda d: (d.uniform(1, 200), d.uniform(2.6, 9)),
    counts.beside_scribe: lambda d: (d.uniform(1, 20), d.uniform(0.3, 1)),
    counts.cover: lambda d: (d.randint(0, 200), d.uniform(1, 30), d.uniform(0.5, 6)),
    counts.density: lambda d: (d.randint(0, 300), d.uniform(0.2, 6)),
    counts.to_reference: lambda d: (d.uniform(4, 60), d.uniform(4, 20)),
    craftnumber.read_craft_number: lambda d: (d.choice(CRAFT),),
    craftnumber.write_craft_number: lambda d: (
        craftnumber.read_craft_number(d.choice(CRAFT))[0],
    ),
    filmchecks.imo_pspc: lambda d: (film_readings(d), d.uniform(150, 350)),
    filmchecks.iso_19840: lambda d: (film_readings(d), d.uniform(150, 350)),
    filmchecks.iso_19840_readings: lambda d: (d.uniform(0.2, 400),),
    filmchecks.pa2_areas: lambda d: (d.uniform(1, 400),),
    filmchecks.pa2_limits: lambda d: (d.uniform(100, 200), d.uniform(200, 400)),
    filmchecks.sspc_pa2: lambda d: (
        [film_readings(d) for _ in range(3)], d.uniform(100, 200), d.uniform(200, 400),
    ),
    buying.own_factor: lambda d: (
        [(d.uniform(1, 9), d.uniform(1, 9)) for _ in range(d.randint(1, 6))], d.uniform(1, 20),
    ),
    buying.area_by_litres: lambda d: (
        d.uniform(5, 90), buying.own_factor([(d.uniform(1, 9), d.uniform(1, 9))], 2.0),
    ),
    buying.litres_wanted: lambda d: (
        [films.litres(d.uniform(5, 40), 50.0, 2.0, 50.0, "roller")],
        buying.own_factor([(d.uniform(1, 9), d.uniform(1, 9))], 2.0),
    ),
    buying.whole_tins: lambda d: (d.uniform(0.3, 30), [0.75, 2.5, 5.0]),
    films.tins: lambda d: (d.uniform(0.3, 30), [0.75, 2.5, 5.0]),
    fitting.best_plan: slot_and_work,
    fouling.navy_rating: lambda d: (
        d.sample(["slime", "grass", "tubeworms", "barnacles"], d.randint(1, 3)), d.uniform(0.5, 20),
    ),
    fouling.reference_ship_power: lambda d: (str(10 * d.randint(1, 10)), d.choice([15, 30])),
    mannkendall.checked_series: series,
    mannkendall.critical_s: of_table,
    mannkendall.mann_kendall: lambda d: series(d)[1:],
    mannkendall.null_distribution: alike,
    mannkendall.ties: lambda d: series(d)[1:],
    mannkendall.variance_of_s: alike,
    notation.meanings: lambda d: d.choice(NOTATIONS)[:1],
    notation.parse: lambda d: d.choice(NOTATIONS),
    notation.write: written,
    pits.age_at_depth: lambda d: (pits.growth(*(g := two_depths(d))), g[1][1] * 1.2),
    pits.aged: lambda d: (fitted(d), d.uniform(5, 15), d.uniform(16, 40), d.uniform(0.3, 0.6)),
    pits.average_penetration: lambda d: (
        d.uniform(0, 100), d.uniform(10, 500), d.uniform(2.6, 9),
    ),
    pits.deepest_over: lambda d: (fitted(d), d.uniform(1, 100), d.uniform(0.5, 0.95)),
    pits.depth_later: lambda d: (
        d.uniform(0.2, 4), d.uniform(5, 15), d.uniform(16, 40), d.uniform(0.3, 0.6),
    ),
    pits.growth: two_depths,
    pits.gumbel_by_likelihood: lambda d: (pit_depths(d),),
    pits.gumbel_by_plot: lambda d: (pit_depths(d),),
    pits.no_deeper: lambda d: (fitted(d), d.uniform(3, 10), d.uniform(1, 100)),
    pits.pitting_factor: lambda d: (d.uniform(0.6, 4), d.uniform(0.02, 0.5)),
    pits.pitting_probability: lambda d: (d.randint(0, 10), d.randint(10, 40)),
    pits.standard_error: lambda d: (fitted(d), d.uniform(0, 5)),
    pits.ten_deepest: lambda d: (pit_depths(d),),
    plates.equivalent_thickness: lambda d: (6.0, d.uniform(2, 6), d.uniform(0, 60)),
    plates.half_life: lambda d: (d.uniform(0, 60),),
    plates.inland_minimum: lambda d: (d.uniform(10, 110), d.uniform(300, 700), d.uniform(0.5, 4)),
    plates.left_under_pit: lambda d: (d.uniform(4, 10), d.uniform(0, 4)),
    plates.long_term_rate: lambda d: (d.uniform(5, 8), d.uniform(4, 8), d.uniform(1, 30)),
    plates.pit_share: lambda d: (d.uniform(0, 3), d.uniform(3, 10)),
    plates.pitting_intensity: lambda d: (d.uniform(0, 1), d.uniform(1, 10)),
    plates.remaining_life: lambda d: (
        d.uniform(4.5, 7.0), 4.0, [d.uniform(0.005, 0.1), d.uniform(-0.02, 0.1)],
    ),
    plates.ship_pit_depth: lambda d: (d.uniform(0, 100),),
    plates.short_term_rate: lambda d: (d.uniform(5, 8), d.uniform(4, 8), d.uniform(1, 10)),
    plates.wastage: lambda d: (d.uniform(3, 10), d.uniform(2, 10)),
    potentials.beside_ranges: lambda d: (
        d.uniform(-1.3, 0.1), d.choice(["grp", "steel", "aluminium", "wood"]), "salt",
    ),
    scales.band_of: a_band,
    scales.cross_cut_class: lambda d: (100 * d.random(),),
    scales.d610_line: lambda d: (d.uniform(0.02, 100),),
    scales.fouling_level: lambda d: (100 * d.random() ** 3, d.random() < 0.5),
    scales.grade_of: lambda d: (*d.choice(sorted(TABLES)), 100 * d.random() ** 4),
    scales.imo_coating: lambda d: (30 * d.random(), 12 * d.random(), 60 * d.random()),
    scales.imo_fouling: lambda d: (100 * d.random() ** 3, d.random() < 0.5),
    slothours.air_allows: lambda d: (d.choice(slot_hours(d)),),
    slothours.hours_of: lambda d: (slot_days(d), 6, 20),
    slothours.temperature_at: lambda d: (slot_days(d), 6, d.randint(0, 47)),
    slothours.tide_that_floats: lambda d: (high_waters(d), 4.0, 0.3),
    slothours.to_spare: lambda d: (high_waters(d)[0], d.uniform(1, 6), d.uniform(0, 0.5)),
    slothours.wet_hours: lambda d: (high_waters(d), 2.5, 2.5, 48),
    students.t_factor: lambda d: (d.uniform(0.5, 0.99), d.randint(1, 40)),
    trend.benjamini_hochberg: lambda d: ([d.random() for _ in range(d.randint(1, 20))],),
    trend.corrected: lambda d: ([d.random() for _ in range(d.randint(1, 20))],),
    trend.forecast: lambda d: ("plate-thickness", "thickness", *series(d), 2027 + d.random()),
    trend.level_at: level_of,
    trend.of: lambda d: (*series(d), "mm"),
    trend.of_grades: lambda d: ([float(d.randint(0, 5)) for _ in range(d.randint(5, 12))],),
    trend.theil_sen: series,
    units.convert: lambda d: (d.uniform(0.1, 5000), *unit_and_partner(d)),
    units.from_si: lambda d: (d.uniform(0.1, 5000), d.choice(sorted(units.UNITS))),
    units.quantity: lambda d: (d.choice(sorted(units.UNITS)),),
    units.read_number: lambda d: (d.choice(NUMBERS),),
    units.to_si: lambda d: (d.uniform(0.1, 5000), d.choice(sorted(units.UNITS))),
    units.unit: lambda d: (d.choice(sorted(units.UNITS)),),
    datasheet.passed_over: lambda d: (
        f"Dilution {d.randint(1, 9)} %",
    ),
    datasheet.read_sheet: lambda d: (
        f"Volume solids {d.randint(30, 70)} %\nOvercoating {d.randint(4, 24)} h at 20 °C",
    ),
    duehabits.due_habits: lambda d: (d.choice(sorted(duehabits.DUE_HABITS)),),
    paintuse.consequences: lambda d: (
        d.choice(sorted(compatibility.NEW_COATINGS)), d.choice(sorted(compatibility.DRIVES)),
        d.choice(["grp", "steel", "aluminium", "wood"]),
    ),
    waters.metal_in_water: lambda d: (d.choice(sorted(anodes.METALS)), d.choice(waters.WATERS)),
    weather.rules: lambda d: (d.uniform(-5, 40), d.uniform(-5, 35), d.uniform(20, 100)),
    windows.antifouling_over_epoxy: lambda d: (d.uniform(0, 300),),
    windows.class_window: lambda d: (
        *d.choice(sorted(windows.CLASS_TIMES)), d.uniform(5, 35),
    ),
    windows.epoxy_over_epoxy: lambda d: (d.uniform(0, 3000),),
    windows.hard_antifouling_ashore: lambda d: (d.uniform(0, 400), d.uniform(0, 9000)),
    windows.position: lambda d: (d.uniform(0, 500), windows.window(rows(d), 8, 30)),
    windows.window: lambda d: (rows(d), d.uniform(5, 15), d.uniform(15, 40)),
}  # fmt: skip
BY_SUM = pytest.mark.parametrize("sum_of", SUMS, ids=lambda one: f"{one.__module__}.{one.__name__}")


def _public_functions() -> set[str]:
    files = sorted(Path(next(iter(hulllog.trade.__path__))).glob("*.py"))
    return {
        f"hulllog.trade.{file.stem}.{node.name}"
        for file in files
        if file.stem not in NO_SUMS
        for node in ast.parse(file.read_text(encoding="utf-8")).body
        if isinstance(node, ast.FunctionDef) and not node.name.startswith("_")
    }


def test_no_public_sum_is_left_out() -> None:
    tried = {inspect.unwrap(one) for one in (*SUMS, *TRIED_THERE)}
    assert _public_functions() == {f"{one.__module__}.{one.__name__}" for one in tried}


def figures(value: object) -> list[float]:
    """Return every number in an answer."""
    if isinstance(value, (int, float)) and not isinstance(value, bool):
        return [float(value)]
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        value = [getattr(value, field.name) for field in dataclasses.fields(value)]
    if isinstance(value, Mapping):
        value = list(value.values())
    if isinstance(value, (list, tuple)):
        return [number for part in value for number in figures(part)]
    return []


def draws(sum_of: Sum) -> Draw:
    return random.Random(zlib.crc32(f"{sum_of.__module__}.{sum_of.__name__}".encode()))


@BY_SUM
def test_realistic_figures_are_answered(sum_of: Sum) -> None:
    draw = draws(sum_of)
    refused = 0
    for _ in range(TRIES):
        given = SUMS[sum_of](draw)
        try:
            answer = sum_of(*given)
        except Refusal:
            refused += 1
            continue
        assert all(map(math.isfinite, figures(answer))), (given, answer)
    assert refused < 0.05 * TRIES


def spoiled(given: Sequence[object]) -> Iterator[list[object]]:
    """Yield what is given with one figure of it, at any depth of lists, that cannot be."""
    for place, value in enumerate(given):
        others: Iterable[object] = ()
        if isinstance(value, float):
            others = BAD
        elif isinstance(value, (list, tuple)) and not hasattr(value, "_fields"):
            others = map(type(value), spoiled(value))
        for other in others:
            yield [*given[:place], other, *given[place + 1 :]]


@BY_SUM
def test_no_answer_is_ever_nan_or_endless(sum_of: Sum) -> None:
    draw = draws(sum_of)
    for _ in range(2):
        for given in spoiled(SUMS[sum_of](draw)):
            try:
                answer = sum_of(*given)
            except Refusal:
                continue
            assert all(map(math.isfinite, figures(answer))), (given, answer)


def test_a_figure_that_cannot_be_is_put_into_every_place() -> None:
    given = (2.0, "x", [1.0, 3.0])
    assert len(list(spoiled(given))) == 3 * len(BAD)
