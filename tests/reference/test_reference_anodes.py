"""Anodes and their protection against handbooks, certified data and other programs."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np
import statsmodels.api as sm
from checks import agree, checked, same
from scipy import constants, stats
from statsmodels.stats.meta_analysis import combine_effects

from hulllog.trade import anodemetals, anodes, anodewear, potentials, protection, students

if TYPE_CHECKING:
    from hulllog.trade.working import Interval, Working

HANDBOOK = "MIL-HDBK-1004/10"
LIBRARY = "digitalmodel"
ABS = "ABS Guidance Notes on Cathodic Protection of Ships (2017)"
POUND = 0.45359237
WHENS = ("initial", "mean", "final")
SOIL_MAGNESIUM = 8760 / (8.8 * POUND) * 0.50
"""Ah/kg: 8.8 lb an ampere-year at an efficiency of 50 %."""


def _interval(working: Working) -> Interval:
    assert working.interval is not None
    return working.interval


@checked(anodemetals.faraday_capacity, "SciPy", "library", where="constants, CODATA")
def test_faraday_capacity_by_scipy() -> None:
    faraday = constants.physical_constants["Faraday constant"][0]
    for metal, mass, electrons in (("zinc", 65.38, 2), ("aluminium", 26.9815, 3)):
        ours = anodes.faraday_capacity(metal).value
        agree(ours, electrons * faraday / (mass * 1e-3) / 3600, rel=1e-8)


@checked(
    anodemetals.faraday_capacity, "Corrosion 1 (1945) 59", "published", where="abstract, Ah/lb"
)
def test_faraday_capacity_by_the_pound() -> None:
    agree(anodes.faraday_capacity("zinc").value * POUND, "372")
    agree(anodes.faraday_capacity("magnesium").value * POUND, "1000")


@checked(anodemetals.dissolved, "Corrosion 1 (1945) 59", "published", where="abstract, Ah/lb")
def test_a_pound_dissolved() -> None:
    agree(anodes.dissolved("zinc", 372, 1 / 24).value / 1000 / POUND, 1.0, rel=1.5e-3)
    agree(anodes.dissolved("magnesium", 1000, 1 / 24).value / 1000 / POUND, 1.0, rel=1.5e-3)


@checked(anodemetals.dissolved, "SciPy", "library", where="constants, CODATA")
def test_dissolved_by_scipy() -> None:
    faraday = constants.physical_constants["Faraday constant"][0]
    for metal, mass, electrons in (("iron", 55.845, 2), ("copper", 63.546, 2)):
        agree(anodes.dissolved(metal, 1, 1).value, 86400 / (electrons * faraday) * mass, rel=1e-8)


@checked(anodemetals.consumption, "DNV-RP-B401", "published", where="definition, year of 8760 h")
def test_consumption_of_the_design_year() -> None:
    agree(anodes.consumption(2000).value, 4.38)
    agree(anodes.consumption(780).value * 780, 8760.0)


@checked(anodemetals.metal, "ASTM G102", "published", where="equivalent weight of iron")
def test_iron_of_the_standard() -> None:
    iron = anodemetals.metal("iron")
    same(iron.valence, 2)
    agree(iron.molar_mass / 2, "27.92")


DNV_ANODES = (
    ("zinc", "2010", "seawater", 10, 780, -1.00),
    ("zinc", "2017", "seawater", 10, 780, -1.00),
    ("zinc", "2021", "seawater", 10, 780, -1.03),
    ("zinc", "2010", "sediment", 10, 700, -0.95),
    ("zinc", "2017", "sediment", 10, 700, -0.95),
    ("zinc", "2021", "sediment", 30, 750, -0.98),
    ("aluminium", "2010", "seawater", 10, 2000, -1.05),
    ("aluminium", "2017", "seawater", 10, 2000, -1.05),
    ("aluminium", "2021", "seawater", 30, 2000, -1.05),
    ("aluminium", "2010", "sediment", 10, 1500, -0.95),
    ("aluminium", "2017", "sediment", 10, 1500, -0.95),
    ("aluminium", "2021", "sediment", 10, 1500, -1.00),
    ("aluminium", "2021", "seawater", 60, 1500, -1.05),
    ("aluminium", "2021", "seawater", 80, 720, -1.00),
)
"""Metal, edition, surroundings, °C, Ah/kg, V."""
ABS_ANODES = (
    ("zinc", "Z1", 10, 780, -1.03),
    ("zinc", "Z2", 25, 760, -1.00),
    ("zinc", "Z2", 5, 760, -1.00),
    ("zinc", "Z3", 10, 780, -1.03),
    ("zinc", "Z4", 10, 780, -1.03),
    ("zinc", "Z4", 60, 690, -0.97),
    ("zinc", "Z4", 80, 690, -0.97),
    ("aluminium", "A1", 10, 2500, -1.09),
    ("aluminium", "A2", 10, 2500, -1.09),
    ("aluminium", "A3", 10, 2500, -1.09),
    ("aluminium", "A4", 10, 1500, -0.83),
    ("magnesium", "M1", 10, 1200, -1.50),
    ("magnesium", "M2", 10, 1200, -1.70),
)
"""Metal, alloy, °C, Ah/kg, V."""


@checked(anodemetals.design_capacity, "DNV-RP-B401", "published", where="Tables 10-6, A-6, 8-6")
@checked(
    anodemetals.closed_circuit_potential, "DNV-RP-B401", "published", where="Tables 10-6, A-6, 8-6"
)
def test_anodes_of_dnv() -> None:
    for metal, edition, surroundings, celsius, capacity, volts in DNV_ANODES:
        given = (metal, "DNV", edition, surroundings, "", celsius)
        agree(anodemetals.design_capacity(*given).value, float(capacity))  # type: ignore[arg-type]
        agree(anodemetals.closed_circuit_potential(*given).value, volts)  # type: ignore[arg-type]


@checked(anodemetals.design_capacity, ABS, "published", where="Section 3 Tables 2, 4 and 6")
@checked(anodemetals.closed_circuit_potential, ABS, "published", where="Section 3 Tables 2, 4, 6")
def test_anodes_of_abs() -> None:
    for metal, alloy, celsius, capacity, volts in ABS_ANODES:
        given = (metal, "ABS", "2017", "seawater", alloy, celsius)
        agree(anodemetals.design_capacity(*given).value, float(capacity))  # type: ignore[arg-type]
        agree(anodemetals.closed_circuit_potential(*given).value, volts)  # type: ignore[arg-type]


@checked(
    anodemetals.design_capacity, "Roberge, Corrosion Engineering Principles and Practice",
    "published", where="p. 555, useful capacities",
)  # fmt: skip
def test_useful_capacities_of_the_textbook() -> None:
    agree(anodes.design_capacity("aluminium", "Roberge", "").value, 2800.0)
    agree(anodes.design_capacity("magnesium", "Roberge", "").value, 1100.0)


@checked(anodemetals.design_capacity, HANDBOOK, "published", where="8.8 lb an ampere-year, 50 %")
def test_magnesium_in_soil_of_the_handbook() -> None:
    told = anodes.design_capacity("magnesium", "MIL-HDBK-1004/10", "", "soil")
    agree(told.value, SOIL_MAGNESIUM)


@checked(anodemetals.design_capacity, "US-unit capacities of boat anodes", "from memory")
def test_capacities_by_the_pound() -> None:
    agree(anodes.design_capacity("zinc", "355", "").value * POUND, 355.0)
    agree(anodes.design_capacity("aluminium", "355", "").value * POUND, 1225.0)


@checked(anodemetals.mass_of, LIBRARY, "library", where="Al-Zn-In of 2750 kg/m³, 119 kg")
def test_metal_of_the_library() -> None:
    litres = 1000 * math.pi * 0.09488**2 * 1.530
    agree(anodemetals.mass_of("aluminium", litres).value, 119.0, rel=5e-4)


@checked(anodemetals.mass_of, "densities of cast metals", "from memory")
def test_mass_from_memory() -> None:
    for metal, low, usual, high in (
        ("zinc", 7.13, 7.14, 7.14),
        ("aluminium", 2.70, 2.75, 2.75),
        ("magnesium", 1.74, 1.74, 1.80),
    ):
        told = anodemetals.mass_of(metal, 1.0)
        agree(_interval(told).low, low)
        agree(told.value, usual)
        agree(_interval(told).high, high)


@checked(anodemetals.usual_capacity, "DNV-RP-B401", "published", where="Table 10-6")
def test_usual_capacities() -> None:
    for metal, low, usual, high in (
        ("zinc", 760, 780, 355 / POUND),
        ("aluminium", 2000, 2000, 1225 / POUND),
    ):
        told = anodes.usual_capacity(metal)
        agree(told.value, float(usual))
        agree(_interval(told).low, float(low))
        agree(_interval(told).high, float(high))


@checked(anodemetals.usual_capacity, ABS, "published", where="Section 3 Table 6, magnesium")
def test_usual_capacity_of_magnesium() -> None:
    told = anodes.usual_capacity("magnesium")
    agree(told.value, 1200.0)
    agree(_interval(told).low, 1100.0)
    agree(_interval(told).high, 1200.0)


@checked(anodes.mean_current, HANDBOOK, "published", where="pp. 186 and 198, worked backwards")
def test_mean_current_of_the_handbook() -> None:
    for pounds, amperes in ((192.72, "0.730"), (226.512, "0.858")):
        told = anodes.mean_current(pounds * POUND, 15 * 365, SOIL_MAGNESIUM)
        agree(told.value, amperes)


@checked(protection.anode_mass, HANDBOOK, "published", where="pp. 186, 198 and 209")
def test_anode_mass_of_the_handbook() -> None:
    for years, amperes, capacity, pounds in (
        (15, 0.73, SOIL_MAGNESIUM, "193"),
        (15, 0.858, SOIL_MAGNESIUM, "227"),
        (10, 14.7, 8760 / (7.6 * POUND), "1117.2"),
    ):
        agree(protection.anode_mass(amperes, years, capacity, 1.0).value / POUND, pounds)


@checked(protection.anode_count, HANDBOOK, "published", where="pp. 198 and 209, counts")
def test_anode_count_of_the_handbook() -> None:
    agree(protection.anode_count(193, 17, 0.726, 0.0170).value, 43.0)
    agree(protection.anode_count(857, 44, 1.0, 1.0).value, 20.0)


@checked(
    protection.resistance_stand_off, HANDBOOK, "published", where="pp. 204 and 211, 2 by 60 in"
)
def test_rod_of_the_handbook() -> None:
    rod = 60 * 0.0254, 0.0254
    agree(protection.resistance_stand_off(2.50, *rod).value, "1.17")
    agree(protection.resistance_stand_off(0.22, *rod).value, "0.103")


@checked(protection.resistance_stand_off, LIBRARY, "library", where="test of a 119 kg anode")
def test_stand_off_of_the_library() -> None:
    radius = math.sqrt(119 / (math.pi * 1.530 * 2750))
    agree(protection.resistance_stand_off(0.22, 1.530, radius).value, "0.07247")
    agree(protection.resistance_stand_off(0.32, 1.530, radius).value, "0.10541")
    agree(protection.resistance_stand_off(0.22, 1.530, radius, 0.2).value, 0.07247 * 1.3, rel=1e-3)


@checked(protection.resistance_short_flush, LIBRARY, "library", where="test of a 24 by 5 in face")
def test_short_flush_of_the_library() -> None:
    face = 24 * 5 * 0.0254**2
    agree(protection.resistance_short_flush(0.31, face).value, "0.35095")
    agree(protection.resistance_short_flush(0.24, face).value, "0.27170")


@checked(protection.resistance_short_flush, "DNV-RP-B401", "published", where="Table 10-7")
def test_bracelet() -> None:
    agree(protection.resistance_short_flush(0.30, 0.5).value, "0.13364")


@checked(
    protection.resistance_stand_off, "DNV-RP-B401", "published", where="Table 10-7, both forms"
)
def test_long_and_short_stand_offs() -> None:
    agree(protection.resistance_stand_off(0.30, 2.5, 0.1).value, "0.068854")
    agree(protection.resistance_stand_off(0.25, 0.4, 0.1).value, "0.1763")
    for length in (0.399, 0.3):
        q = 0.1 / (2 * length)
        inner = math.log(2 * length / 0.1 * (1 + math.sqrt(1 + q**2))) + q - math.sqrt(1 + q**2)
        theirs = 0.25 / (2 * math.pi * length) * inner
        agree(protection.resistance_stand_off(0.25, length, 0.1).value, theirs)


@checked(protection.resistance_long_flush, "DNV-RP-B401", "published", where="Table 10-7")
def test_long_flush() -> None:
    agree(protection.resistance_long_flush(0.25, 0.300, 0.075).value, 0.25 / (0.300 + 0.075))


@checked(protection.anode_output, LIBRARY, "library", where="test of a 119 kg anode")
def test_output_of_the_library() -> None:
    agree(protection.anode_output(0.25, 0.07247).value, "3.45")
    agree(protection.anode_output(0.25, 0.27170).value, "0.9201")


@checked(protection.demand, LIBRARY, "library", where="calculation report, 5000 m²")
@checked(protection.breakdown, LIBRARY, "library", where="calculation report, category III, 25 y")
@checked(protection.current_density, LIBRARY, "library", where="calculation report, tropical")
def test_demand_of_the_library() -> None:
    for when, density, share, amperes in (
        ("initial", 0.15, 0.02, 15.0),
        ("mean", 0.07, 0.17, 59.5),
        ("final", 0.10, 0.32, 160.0),
    ):
        i = protection.current_density("tropical", when).value  # type: ignore[arg-type]
        f = protection.breakdown("III", 25, when).value  # type: ignore[arg-type]
        agree(i, density)
        agree(f, share)
        agree(protection.demand(5000, i, f).value, amperes)


@checked(protection.anode_mass, LIBRARY, "library", where="calculation report, 5000 m²")
def test_mass_of_the_library() -> None:
    agree(protection.anode_mass(59.5, 25, 2000, 0.90).value, "7239.2")
    agree(protection.anode_mass(24.70, 22, 2000, 0.90).value, "2644.5")


@checked(protection.anode_count, LIBRARY, "library", where="test of a buoyancy tank")
def test_count_of_the_library() -> None:
    agree(protection.anode_count(2645, 119, 1.0, 1.0).value, 23.0)


DNV_DENSITIES = (
    ("tropical", 150, 70, 100, 120, 60, 80, 140, 70, 90, 180, 90, 130),
    ("subtropical", 170, 80, 110, 140, 70, 90, 160, 80, 110, 200, 100, 150),
    ("temperate", 200, 100, 130, 170, 80, 110, 190, 90, 140, 220, 110, 170),
    ("arctic", 250, 120, 170, 200, 100, 130, 220, 110, 170, 220, 110, 170),
)
"""mA/m², initial, mean and final, to 30 m, to 100 m, to 300 m and deeper."""


@checked(protection.current_density, "DNV-RP-B401", "published", where="Tables 10-1 and 10-2")
def test_current_densities_of_dnv() -> None:
    for climate, *row in DNV_DENSITIES:
        places = [(depth, when) for depth in (30, 30.2, 100, 100.5, 300, 301) for when in WHENS]
        cells = [*row[:3], *row[3:6], *row[3:6], *row[6:9], *row[6:9], *row[9:]]
        for (depth, when), cell in zip(places, cells, strict=True):
            told = protection.current_density(climate, when, depth)  # type: ignore[arg-type]
            agree(told.value, cell / 1000)


@checked(protection.breakdown, "DNV-RP-B401", "published", where="Table 10-4")
def test_breakdown_of_dnv() -> None:
    agree(protection.breakdown("I", 4, "final").value, 0.10 + 4 * 0.10)
    agree(protection.breakdown("II", 10, "final").value, 0.05 + 10 * 0.025)
    agree(protection.breakdown("III", 10, "final", 50).value, 0.02 + 10 * 0.008)
    agree(protection.breakdown("IV", 10, "final").value, 0.02 + 10 * 0.008)
    for category, a, b in (("I", 0.10, 0.05), ("II", 0.05, 0.015), ("IV", 0.02, 0.005)):
        agree(protection.breakdown(category, 10, "final", 31).value, a + 10 * b)
    agree(protection.breakdown("I", 30, "final").value, 1.0)


@checked(protection.ship_density, ABS, "published", where="Section 2 Table 3")
def test_ship_densities() -> None:
    for use, *row in (
        ("still", 0.100, 0.200, 0.005, 0.015),
        ("still_with_tide", 0.150, 0.250, 0.007, 0.020),
        ("slow", 0.220, 0.350, 0.011, 0.028),
        ("fast", 0.350, 0.500, 0.018, 0.040),
        ("ice", 0.500, 0.750, 0.035, 0.090),
    ):
        for coated, (low, high) in ((False, row[:2]), (True, row[2:])):
            told = protection.ship_density(use, coated)
            agree(_interval(told).low, low)
            agree(_interval(told).high, high)
            agree(told.value, (low + high) / 2)


@checked(protection.docking_density, ABS, "published", where="Section 2 Table 5")
def test_docking_densities() -> None:
    for months, low, high in (
        (18, 0.015, 0.025),
        (18.1, 0.026, 0.045),
        (36, 0.026, 0.045),
        (36.2, 0.046, 0.075),
    ):
        told = protection.docking_density(months)
        agree(_interval(told).low, low)
        agree(_interval(told).high, high)


def _range(material: str, rule: str) -> tuple[float | None, float | None, int | None]:
    found = potentials.beside_ranges(-0.8, material, "salt")
    (told,) = [one.range for one in found if one.range.rule == rule]
    return told.least, told.most, told.year


def _stands(volts: float, material: str, rule: str) -> str:
    found = potentials.beside_ranges(volts, material, "salt")
    return next(one.standing for one in found if one.range.rule == rule)


@checked(potentials.beside_ranges, "ABYC E-2", "published", where="hull potentials, 2009 on")
def test_potentials_of_abyc() -> None:
    for material, least, most in (
        ("grp", -0.55, -1.10),
        ("steel", -0.85, -1.10),
        ("aluminium", -0.95, -1.10),
        ("wood", -0.55, -0.60),
    ):
        same(_range(material, "abyc"), (least, most, 2009))
        same(_stands(least + 0.001, material, "abyc"), "less_negative")
        same(_stands(least - 0.001, material, "abyc"), "within")
        same(_stands(most - 0.001, material, "abyc"), "more_negative")


@checked(potentials.beside_ranges, ABS, "published", where="Section 2 Table 1")
def test_potentials_of_abs() -> None:
    same(_range("steel", "abs"), (-0.80, -1.10, 2017))
    same(_range("stainless", "abs_low_alloyed"), (-0.60, -1.10, 2017))
    same(_range("stainless", "abs_high_alloyed"), (-0.30, -1.10, 2017))
    same(_range("bronze", "abs_with_aluminium"), (-0.45, -1.10, 2017))
    same(_range("bronze", "abs_without_aluminium"), (-0.45, None, 2017))
    same(_stands(-0.799, "steel", "abs"), "less_negative")
    same(_stands(-1.101, "steel", "abs"), "more_negative")


@checked(potentials.beside_ranges, "UK anode supplier's table", "from memory")
@checked(potentials.beside_ranges, "EN 12473:2014", "from memory", where="aluminium")
def test_other_potentials_from_memory() -> None:
    same(_range("grp", "supplier_inboard"), (-0.75, -1.00, None))
    same(_range("grp", "supplier_outdrive"), (-0.90, -1.05, None))
    same(_range("grp", "older"), (-0.50, -0.70, None))
    same(_range("steel", "supplier"), (-0.80, -1.05, None))
    same(_range("aluminium", "supplier"), (-0.90, -1.10, None))
    same(_range("aluminium", "en_12473"), (-0.90, -1.15, 2014))
    same(_range("wood", "supplier"), (-0.55, -0.60, None))


@checked(potentials.referred, "usual differences between electrodes", "from memory")
def test_electrodes_from_memory() -> None:
    agree(potentials.referred(-0.85, "cu_cuso4").value, -0.80)
    agree(potentials.referred(0.25, "zinc").value, -0.80)


@checked(protection.mass_by_both, "DNV-RP-B401", "arithmetic", where="with ABS, 45 m², 18 months")
def test_mass_by_both_by_hand() -> None:
    told = protection.mass_by_both(45, 1.5, 780, 0.85)
    low, high = (i * 45 * 1.5 * 8760 / (780 * 0.85) for i in (0.10 * (0.02 + 0.012 * 0.75), 0.025))
    agree(_interval(told).low, low)
    agree(_interval(told).high, high)
    agree(told.value, math.sqrt(low * high))


@checked(anodes.share_by_eye, "our own rule", "arithmetic")
@checked(anodes.share_renewed, "our own rule", "arithmetic")
def test_shares_by_eye() -> None:
    for look, low, high in (
        ("full", 0.9, 1.0),
        ("three_quarters", 0.65, 0.85),
        ("half", 0.4, 0.6),
        ("quarter", 0.15, 0.35),
        ("gone", 0.0, 0.1),
    ):
        told = anodes.share_by_eye(look)
        agree(told.value, 1 - (low + high) / 2)
        agree(_interval(told).low, 1 - high)
        agree(_interval(told).high, 1 - low)
    agree(anodes.share_renewed().value, 0.65)
    agree(_interval(anodes.share_renewed()).low, 0.30)


@checked(potentials.drop_share, "Ohm's law", "arithmetic")
def test_drop_by_hand() -> None:
    agree(potentials.drop_share(1.0, 0.1, 0.25).value, 0.40)


@checked(anodes.share_used, "definition", "arithmetic")
def test_share_by_hand() -> None:
    agree(anodes.share_used(1.8, 1.12, 0).value, 0.68 / 1.8)
    agree(anodes.share_used(1.8, 1.12, 0.2).value, 0.68 / 1.6)
    weighed = anodes.share_used(1.8, 1.12, 0.0, repeatability=0.005)
    agree(_interval(weighed).high - weighed.value, 2 * math.sqrt(2) * 0.005 / 1.8)
    agree(_interval(anodes.share_used(1.8, 1.12)).high, 1.0)


@checked(anodes.wear_rate, "definition", "arithmetic")
def test_wear_by_hand() -> None:
    agree(anodes.wear_rate(0.680, 210).value, "3.238")


@checked(students.t_factor, "SciPy", "library", where="stats.t")
def test_t_by_scipy() -> None:
    for level in (0.5, 0.8, 0.95, 0.99):
        for freedom in (1, 2, 3, 5, 10, 40):
            theirs = stats.t.ppf((1 + level) / 2, freedom)
            agree(students.t_factor(level, freedom), theirs, rel=1e-9)


@checked(
    students.t_factor, "NIST/SEMATECH e-Handbook of Statistical Methods", "published",
    where="1.3.6.7.2, upper critical values",
)  # fmt: skip
def test_t_of_the_table() -> None:
    for level, freedom, printed in (
        (0.80, 1, "3.078"),
        (0.80, 4, "1.533"),
        (0.95, 1, "12.706"),
        (0.95, 5, "2.571"),
        (0.95, 10, "2.228"),
        (0.99, 3, "5.841"),
    ):
        agree(students.t_factor(level, freedom), printed)


NO_INTERCEPT_1 = [(60.0 + n, (130.0 + n) / 1000) for n in range(11)]
"""NIST StRD NoInt1, y a thousandth."""
NO_INTERCEPT_2 = [(4.0, 0.003), (5.0, 0.004), (6.0, 0.004)]
"""NIST StRD NoInt2, y a thousandth."""


@checked(anodewear.half_loss_from_checks, "NIST StRD NoInt1", "data", where="certified values")
def test_line_through_the_origin_of_noint1() -> None:
    told = anodes.half_loss_from_checks(NO_INTERCEPT_1, limit=0.5, least_error=0.0)
    slope, error = 2.07438016528926e-3, 0.165289256198347e-4
    agree(told.value, 0.5 / slope, rel=1e-12)
    t = stats.t.ppf(0.9, 10)
    agree(_interval(told).low, 0.5 / (slope + t * error), rel=1e-9)
    agree(_interval(told).high, 0.5 / (slope - t * error), rel=1e-9)


@checked(anodewear.half_loss_from_checks, "NIST StRD NoInt2", "data", where="certified values")
def test_line_through_the_origin_of_noint2() -> None:
    told = anodes.half_loss_from_checks(NO_INTERCEPT_2, limit=0.5, least_error=0.0)
    slope, error = 0.727272727272727e-3, 0.420827318078432e-4
    agree(told.value, 0.5 / slope, rel=1e-12)
    agree(_interval(told).low, 0.5 / (slope + stats.t.ppf(0.9, 2) * error), rel=1e-9)


@checked(anodewear.half_loss_from_checks, "statsmodels", "library", where="OLS without constant")
def test_line_by_statsmodels() -> None:
    days, shares = np.array([95.0, 210, 330, 480]), np.array([0.11, 0.27, 0.38, 0.61])
    checks = list(zip(days, shares, strict=True))
    told = anodes.half_loss_from_checks(checks, limit=0.5, least_error=0.0)
    fit = sm.OLS(shares, days).fit()
    low, high = fit.conf_int(0.2)[0]
    agree(told.value, 0.5 / fit.params[0])
    agree(_interval(told).low, 0.5 / high)
    agree(_interval(told).high, 0.5 / low)


RATES = [0.0018, 0.0023, 0.0020, 0.0029, 0.0021]


@checked(anodewear.half_loss_from_earlier, "statsmodels", "library", where="OLS, prediction")
def test_earlier_pieces_by_statsmodels() -> None:
    told = anodes.half_loss_from_earlier(RATES)
    fit = sm.OLS(np.log(RATES), np.ones(len(RATES))).fit()
    frame = fit.get_prediction(np.ones((1, 1))).summary_frame(alpha=0.2)
    agree(told.value, 0.5 / math.exp(frame["mean"].iloc[0]))
    agree(_interval(told).low, 0.5 / math.exp(frame["obs_ci_upper"].iloc[0]))
    agree(_interval(told).high, 0.5 / math.exp(frame["obs_ci_lower"].iloc[0]))


@checked(anodewear.half_loss, "statsmodels", "library", where="meta_analysis.combine_effects")
def test_combined_by_statsmodels() -> None:
    checks = [(50.0, 0.11), (110.0, 0.22), (150.0, 0.33)]
    told = anodes.half_loss(checks, RATES)
    days, shares = np.array(checks).T
    fit = sm.OLS(shares, days).fit()
    logs = np.log(RATES)
    effects = np.array([math.log(fit.params[0]), logs.mean()])
    variances = np.array([(fit.bse[0] / fit.params[0]) ** 2, logs.var(ddof=1) * (1 + 1 / 5)])
    variances[0] = max(variances[0], 0.05**2)
    both = combine_effects(effects, variances)
    agree(told.value, 0.5 / math.exp(both.mean_effect_fe))
    reach = stats.norm.ppf(0.9) * both.sd_eff_w_fe
    agree(_interval(told).low, 0.5 / math.exp(both.mean_effect_fe + reach))


@checked(anodewear.yearly_share, "SciPy", "library", where="constants, Julian year")
@checked(anodewear.against_past, "NumPy", "library", where="median")
def test_wear_of_a_year_beside_earlier_ones() -> None:
    for gone, days in ((0.3, 210), (0.75, 150)):
        theirs = 100 * gone * constants.Julian_year / (days * constants.day)
        agree(anodewear.yearly_share(gone, days).value, theirs)
    earlier = [40.0, 52.0, 47.0, 61.0]
    agree(anodewear.against_past(90.0, earlier).value, 90.0 / float(np.median(earlier)))


@checked(anodewear.half_loss, "our own rule", "arithmetic", where="one check and one piece before")
def test_one_check_and_one_piece_by_hand() -> None:
    told = anodes.half_loss([(100.0, 0.2)], [0.003])
    agree(told.value, 0.5 / math.sqrt(0.002 * 0.003))
    each = math.log(1.5) / stats.norm.ppf(0.9)
    reach = stats.norm.ppf(0.9) * each / math.sqrt(2)
    agree(_interval(told).high, told.value * math.exp(reach))


@checked(anodewear.half_loss_from_one_check, "our own rule", "arithmetic")
def test_one_check_by_hand() -> None:
    told = anodes.half_loss_from_one_check(210, 0.25)
    agree(told.value, 420.0)
    agree(_interval(told).low, 280.0)
    agree(_interval(told).high, 630.0)


@checked(anodewear.unusual, "Crawford and Howell 1998", "published", where="modified t-test")
def test_unusual_by_the_modified_t_test() -> None:
    logs = np.log(RATES)
    theirs = (math.log(0.0035) - logs.mean()) / (logs.std(ddof=1) * math.sqrt((5 + 1) / 5))
    agree(anodes.unusual(0.0035, RATES, 0.0).value, theirs)


@checked(anodewear.unusual, "statsmodels", "library", where="OLS, t of an indicator")
def test_unusual_by_statsmodels() -> None:
    new = [1.0] + [0.0] * len(RATES)
    fit = sm.OLS(np.log([0.0013, *RATES]), sm.add_constant(new)).fit()
    agree(anodes.unusual(0.0013, RATES, 0.0).value, fit.tvalues[1])
