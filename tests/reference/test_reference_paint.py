"""Films, acceptance, windows, compatibility and release against notes, standards and guides."""

from __future__ import annotations

import math
from datetime import date
from typing import TYPE_CHECKING

from checks import agree, checked, same
from scipy import constants
from scipy.interpolate import interp1d

from hulllog.trade import (
    biocides,
    coatclasses,
    filmchecks,
    films,
    release,
    windows,
)

if TYPE_CHECKING:
    from hulllog.trade.working import Working

NOTE = "Theoretical Spreading Rate / Coverage"
CHART = "Calculation/Conversion Chart, technical bulletin"
HANDY = "Handy calculations, tech note 5.3"
PA2 = "SSPC-PA 2"
LOSS_NOTE = "Coverage / spreading rate"


@checked(films.spreading_rate, NOTE, "published", where="metric example")
def test_spreading_rate_of_the_note() -> None:
    agree(films.spreading_rate(65, 125).value, 5.20)
    agree(films.spreading_rate(100, 1).value, 1000.0)


@checked(films.spreading_rate_us, NOTE, "published", where="US example, constant 1604")
def test_us_spreading_rate_of_the_note() -> None:
    agree(films.spreading_rate_us(65, 5.0).value, 208.52, rel=2e-4)


@checked(films.spreading_rate_us, CHART, "published", where="table, ft² by solids and mils")
def test_us_spreading_rates_of_the_chart() -> None:
    for solids, mils, printed in (
        (35, 1, "561"),
        (50, 1, "802"),
        (65, 1, "1043"),
        (100, 1, "1604"),
        (35, 2, "281"),
        (100, 4, "401"),
        (80, 2, "642"),
    ):
        agree(films.spreading_rate_us(solids, mils).value, printed)


@checked(films.wet_film, HANDY, "published", where="71 % solids")
def test_wet_film_of_the_tech_note() -> None:
    agree(films.wet_film(71, 125).value, "176")


@checked(films.wet_film, CHART, "published", where="wet from dry, thinned 10 %")
@checked(films.dry_film, CHART, "published", where="dry from wet")
def test_wet_and_dry_film_of_the_chart() -> None:
    agree(films.dry_film(35, 8).value, "2.80")
    agree(films.wet_film(35, 2.8).value, "8.00")
    agree(films.thinned_solids(35, 10).value, "32")
    agree(films.wet_film(35, 100, 10).value, 100 * 1.10 / 0.35)


@checked(films.thinned_solids, CHART, "published", where="35 % thinned 10 %")
def test_thinned_solids_of_the_chart() -> None:
    agree(films.thinned_solids(35, 10).value / 35, 1 / 1.10)


@checked(
    films.practical_rate, "Practical coverage, corrosion dictionary", "published", where="loss 30 %"
)
def test_practical_rate_of_the_definition() -> None:
    agree(films.practical_rate(100, 10, 30).value, 70.0)


@checked(films.consumption_factor, "definition", "arithmetic", where="1/(1 − L), not 1 + L")
def test_consumption_factor_by_hand() -> None:
    agree(films.consumption_factor(30).value, "1.4286")
    agree(films.consumption_factor(50).value, 2.0)


@checked(films.litres, "How much paint to use", "published", where="area over coverage")
def test_litres_of_the_page() -> None:
    for area, film, solids in ((30, 50, 50), (38, 125, 65)):
        coverage = films.spreading_rate(solids, film).value
        agree(films.litres(area, film, 1, solids).value, area / coverage)


@checked(films.litres, "definition", "arithmetic", where="two coats, 15 % lost")
def test_litres_by_hand() -> None:
    agree(films.litres(30, 50, 2, 55, 15).value, "6.417")
    agree(films.litres(30, 50, 2, 55).value, "5.455")


@checked(films.mean_film, "definition", "arithmetic")
def test_mean_film_by_hand() -> None:
    agree(films.mean_film(6.0, 50, 30, 0).value, 100.0)
    agree(films.mean_film(6.0, 50, 30, 20).value, 80.0)


@checked(films.wet_mass, "definition", "arithmetic")
def test_wet_mass_by_hand() -> None:
    agree(films.wet_mass(50, 100, 1.5).value, 300.0)


@checked(films.tins, "our own rule", "arithmetic")
def test_tins_by_hand() -> None:
    same(films.tins(6.4, [0.75, 2.5, 5.0]), ((5.0, 1), (0.75, 2)))
    same(films.tins(4.35, [0.75, 2.5, 5.0]), ((5.0, 1),))
    same(films.tins(4.34, [0.75, 2.5, 5.0]), ((2.5, 1), (0.75, 3)))


def _spread(working: Working) -> tuple[float, float]:
    assert working.interval is not None
    return working.interval.low, working.interval.high


@checked(films.practical_rate, LOSS_NOTE, "published", where="loss by method")
@checked(films.litres, LOSS_NOTE, "published", where="loss by method")
@checked(films.mean_film, LOSS_NOTE, "published", where="loss by method")
def test_losses_of_the_note() -> None:
    for tool, low, usual, high in (
        ("brush", 10, 12, 15),
        ("roller", 10, 12, 15),
        ("airless", 30, 30, 40),
        ("air_spray", 30, 45, 50),
    ):
        rate = films.practical_rate(50, 50, tool)
        agree(rate.value, 10 * (1 - usual / 100))
        agree(_spread(rate)[0], 10 * (1 - high / 100))
        agree(_spread(rate)[1], 10 * (1 - low / 100))
        volume = films.litres(10, 50, 1, 50, tool)
        agree(_spread(volume)[0], 1 / (1 - low / 100))
        agree(_spread(volume)[1], 1 / (1 - high / 100))
        film = films.mean_film(1, 50, 10, tool)
        agree(_spread(film)[0], 50 * (1 - high / 100))
        agree(_spread(film)[1], 50 * (1 - low / 100))


@checked(coatclasses.coating_class, "UFC 4-150-07", "published", where="§ 3-4.3.2.1")
def test_solvent_free_epoxy_of_the_guide() -> None:
    told = coatclasses.coating_class("solvent_free_epoxy")
    agree(told.film_um, 200.0)
    agree(told.film_high_um, 300.0)
    agree(told.solids, 100.0)
    same(told.coats, (1, 2))


CLASSES = (
    ("soft_antifouling", 45, 50, 60, 35, 40, 50, 2, 2, 10, 1),
    ("ablative_antifouling", 45, 52, 60, 40, 50, 60, 2, 3, 5, 1),
    ("self_polishing_antifouling", 40, 50, 58, 40, 50, 60, 2, 3, 5, 1),
    ("self_polishing_airless", 45, 55, 60, 100, 125, 150, 2, 3, 5, 1),
    ("hard_antifouling", 45, 55, 65, 40, 50, 60, 2, 2, 5, 1),
    ("vinyl_antifouling", 28, 35, 40, 25, 40, 50, 2, 3, 10, 1),
    ("thin_film_antifouling", 20, 25, 30, 10, 15, 20, 2, 4, 0, 1),
    ("silicone", 65, 70, 75, 100, 150, 200, 1, 2, 0, 2),
    ("copper_epoxy", 95, 97.5, 100, 50, 55, 60, 4, 5, 0, 2),
    ("epoxy_primer", 45, 50, 65, 40, 60, 75, 2, 5, 10, 2),
    ("one_pack_primer", 28, 35, 40, 30, 35, 40, 1, 2, 10, 1),
    ("epoxy_barrier", 45, 48, 55, 50, 60, 65, 4, 6, 10, 2),
    ("epoxy_barrier_high_build", 72, 80, 85, 100, 125, 150, 2, 3, 5, 2),
    ("solvent_free_epoxy", 100, 100, 100, 150, 200, 300, 1, 2, 0, 2),
    ("tie_coat", 28, 35, 40, 30, 35, 40, 1, 1, 10, 1),
    ("epoxy_tie_coat", 50, 55, 65, 75, 75, 100, 1, 1, 5, 2),
    ("silicone_tie_coat", 65, 70, 75, 75, 85, 100, 1, 1, 0, 2),
    ("topside", 45, 50, 58, 35, 40, 50, 2, 3, 10, 2),
)
"""Solids low, usual, high; film low, usual, high; coats; most thinner; packs."""


@checked(coatclasses.coating_class, "usual ranges of the classes", "from memory")
def test_classes_from_memory() -> None:
    same([row[0] for row in CLASSES], list(coatclasses.CLASSES))
    for code, *row in CLASSES:
        one = coatclasses.coating_class(code)
        solids = (one.solids_low, one.solids, one.solids_high)
        film = (one.film_low_um, one.film_um, one.film_high_um)
        same((*solids, *film, *one.coats, one.thinner_most, one.packs), tuple(row))


@checked(filmchecks.pa2_areas, PA2, "published", where="number of areas")
def test_areas_of_the_standard() -> None:
    for surface, count in ((250, 3), (800, 3), (1000, 3), (1001, 4)):
        same(filmchecks.pa2_areas(surface, "ft2").value, float(count))
    for surface, count in ((20, 2), (30.2, 3), (100, 3), (100.5, 4), (1101, 14)):
        same(filmchecks.pa2_areas(surface).value, float(count))


@checked(
    filmchecks.pa2_areas, "Getting it right: how to use SSPC-PA 2", "published", where="12 500 ft²"
)
def test_areas_of_the_worked_case() -> None:
    same(filmchecks.pa2_areas(12_500, "ft2").value, 15.0)


@checked(
    filmchecks.pa2_limits, "SSPC PA-2 measurement of dry coating thickness, slides", "published",
    where="8 to 12 mils",
)  # fmt: skip
def test_limits_of_the_slides() -> None:
    limits = filmchecks.pa2_limits(8, 12, unit="mil").interval
    assert limits is not None
    agree(limits.low, 6.4)
    agree(limits.high, 14.4)
    agree(filmchecks.pa2_limits(8, 12, unit="mil").value, (6.4 + 14.4) / 2)


@checked(filmchecks.sspc_pa2, PA2, "published", where="80 and 120 % of a spot, area within")
def test_level_three_of_the_standard() -> None:
    for spot, low, high in ((160.0, True, True), (159.5, False, True), (361.0, True, False)):
        areas = [[spot, 250.0, 250.0, 250.0, 250.0]]
        met = {one.code: one.met for one in filmchecks.sspc_pa2(areas, 200, 300).criteria}
        same((met["pa2_spot_low"], met["pa2_spot_high"]), (low, high))
    for spots, low, high in (([200.0] * 5, True, True), ([199.0] * 5, False, True)):
        result = filmchecks.sspc_pa2([spots], 200, 300)
        met = {one.code: one.met for one in result.criteria}
        same((met["pa2_area_low"], met["pa2_area_high"]), (low, high))
        same(result.cautions, ("gauge_needs_metal",))
    thick = filmchecks.sspc_pa2([[302.0] * 5], 200, 300)
    same({one.code: one.met for one in thick.criteria}["pa2_area_high"], False)
    agree(thick.criteria[3].found, 302.0)
    agree(thick.criteria[0].low or 0.0, 160.0)


@checked(filmchecks.pa2_limits, "SSPC-PA 2:2012, restriction levels", "from memory")
@checked(filmchecks.sspc_pa2, "SSPC-PA 2:2012, restriction levels", "from memory")
def test_restriction_levels_from_memory() -> None:
    for level, low, high in ((1, 1.0, 1.0), (2, 1.0, 1.2), (3, 0.8, 1.2), (4, 0.8, 1.5)):
        agree(_spread(filmchecks.pa2_limits(100, 200, level))[0], 100 * low)
        agree(_spread(filmchecks.pa2_limits(100, 200, level))[1], 200 * high)
    for level, top in ((1, 200.0), (2, 200.0), (4, 200.0), (5, None)):
        criteria = {
            one.code: one for one in filmchecks.sspc_pa2([[150.0] * 5], 100, 200, level).criteria
        }
        same(criteria["pa2_area_high"].high, top)
    criteria = {one.code: one for one in filmchecks.sspc_pa2([[90.0] * 5], 100, 200, 5).criteria}
    agree(criteria["pa2_spot_low"].low or 0.0, 80.0)
    same(criteria["pa2_spot_high"].high, None)


@checked(filmchecks.iso_19840, "NEN-ISO 19840:2005", "published", where="inspectors' answer, 2012")
def test_criteria_of_iso_19840() -> None:
    for readings, code, met in (
        ([161.0] + [230.0] * 9, "iso19840_each", True),
        ([159.0] + [230.0] * 9, "iso19840_each", False),
        ([190.0] * 2 + [230.0] * 8, "iso19840_thin_share", False),
        ([190.0] * 19 + [230.0] * 77, "iso19840_thin_share", True),
        ([190.0] * 20 + [230.0] * 79, "iso19840_thin_share", False),
        ([190.0] * 21 + [230.0] * 83, "iso19840_thin_share", False),
        ([210.0] * 9 + [601.0], "iso19840_most", False),
        ([210.0] * 9 + [599.0], "iso19840_most", True),
        ([199.0] + [200.0] * 9, "iso19840_mean", False),
    ):
        found = {one.code: one.met for one in filmchecks.iso_19840(readings, 200).criteria}
        same(found[code], met)
    result = filmchecks.iso_19840([190.0] * 19 + [230.0] * 77, 200)
    agree(result.criteria[0].found, (190.0 * 19 + 230.0 * 77) / 96)
    agree(result.criteria[2].found, 19 / 96)


@checked(filmchecks.iso_19840, "ISO 8503-1 grades, profile correction", "from memory")
def test_profile_correction_from_memory() -> None:
    for profile, off in (("fine", 10), ("medium", 25), ("unknown", 25), ("coarse", 40)):
        (mean, *_) = filmchecks.iso_19840([300.0], 200, profile=profile).criteria
        agree(mean.found, 300.0 - off)


@checked(filmchecks.iso_19840_readings, "ISO 19840", "from memory", where="sampling plan")
def test_sampling_plan_from_memory() -> None:
    for area, count in (
        (1, 5),
        (1.005, 10),
        (3, 10),
        (3.02, 15),
        (10, 15),
        (10.05, 20),
        (30, 20),
        (30.2, 30),
        (100, 30),
        (100.5, 40),
        (300, 50),
        (201, 50),
    ):
        same(filmchecks.iso_19840_readings(area).value, float(count))


@checked(filmchecks.imo_pspc, "PSPC NDFT", "published", where="320 µm, 90/10 rule")
def test_tank_rule_of_the_formula_page() -> None:
    same(filmchecks.imo_pspc([325.0] * 9 + [290.0], 320).all_met, True)
    same(filmchecks.imo_pspc([325.0] * 9 + [288.5], 320).all_met, True)
    same(filmchecks.imo_pspc([325.0] * 9 + [287.5], 320).all_met, False)
    same(filmchecks.imo_pspc([325.0] * 89 + [310.0] * 10, 320).all_met, False)
    same(filmchecks.imo_pspc([325.0] * 90 + [310.0] * 10, 320).all_met, True)
    same(filmchecks.imo_pspc([325.0] * 170 + [310.0] * 19, 320).all_met, False)
    agree(filmchecks.imo_pspc([325.0] * 9 + [290.0], 320).criteria[1].found, 290.0)


UFGS = "UFGS 09971"
RECOAT = (
    (16, 21, 8, 48),
    (22, 27, 6, 48),
    (28, 32, 4, 36),
    (33, 38, 3, 24),
    (39, 43, 2, 12),
)
"""°C from and to, hours from and to, polyurethane over polyurethane."""


@checked(windows.window, UFGS, "published", where="recoat windows by surface temperature")
@checked(windows.shortest_time, UFGS, "published", where="recoat windows")
@checked(windows.longest_time, UFGS, "published", where="recoat windows")
def test_windows_of_the_guide_specification() -> None:
    edges = [(t, row) for row in RECOAT for t in row[:2]]
    least = [(float(t), float(row[2])) for t, row in edges]
    most = [(float(t), float(row[3])) for t, row in edges]
    for celsius, shortest, longest in ((30, 4.0, 36.0), (40, 2.0, 12.0), (16, 8.0, 48.0)):
        agree(windows.shortest_time(least, celsius).value, shortest)
        agree(windows.longest_time(most, celsius).value, longest)
    rows = [windows.WindowRow(t, row[2], row[3]) for t, row in edges]
    times = windows.window(rows, 18, 41)
    assert times.shortest is not None
    assert times.longest is not None
    agree(times.shortest.value, 8.0)
    agree(times.longest.value, 12.0)


SHEET = [(5.0, 24.0), (15.0, 12.0), (23.0, 6.0), (35.0, 3.0)]


@checked(windows.shortest_time, "SciPy", "library", where="interpolate.interp1d of ln(time)")
@checked(windows.longest_time, "SciPy", "library", where="interpolate.interp1d of ln(time)")
def test_between_rows_by_scipy() -> None:
    line = interp1d([t for t, _ in SHEET], [math.log(hours) for _, hours in SHEET])
    for celsius in (6, 11.3, 15, 20, 29):
        theirs = math.exp(float(line(celsius)))
        agree(windows.shortest_time(SHEET, celsius).value, theirs)
        agree(windows.longest_time(SHEET, celsius).value, theirs)


@checked(windows.halved, "Drying and curing time", "published", where="double at 10, half at 30 °C")
def test_halves_of_the_article() -> None:
    agree(windows.halved(12, 20, 10).value, 24.0)
    agree(windows.halved(12, 20, 30).value, 6.0)
    agree(windows.halved(12, 20, 5).value, "33.9")


@checked(windows.arrhenius, "SciPy", "library", where="constants.R")
def test_arrhenius_by_scipy() -> None:
    for celsius in (5, 10, 30):
        kelvin = [t + constants.zero_Celsius for t in (celsius, 20)]
        theirs = math.exp(50_000 / constants.R * (1 / kelvin[0] - 1 / kelvin[1]))
        agree(windows.arrhenius(1, 20, celsius).value, theirs, rel=1e-9)


@checked(
    windows.arrhenius, "Activation energy, worked exercise 25 to 35 °C", "published",
    where="52.9 kJ/mol doubles the rate",
)  # fmt: skip
def test_arrhenius_of_the_exercise() -> None:
    agree(windows.arrhenius(1, 25, 35, 52_900).value, 0.5, rel=1e-3)


CLASS_TIMES = (
    ("overcoat_self", "antifouling", 16, 24, 8, 12, 5, 6, 3, 4),
    ("overcoat_by", "epoxy_primer", 10, 18, 7, 12, 4, 7, 2, 4),
    ("overcoat_self", "epoxy_primer", 24, 24, 12, 12, 6, 6, 3, 4),
    ("launch", "ablative_antifouling", 24, 36, 16, 24, 12, 16, 8, 10),
    ("launch", "self_polishing_antifouling", 24, 36, 16, 24, 12, 16, 8, 10),
    ("launch", "hard_antifouling", 24, 24, 16, 16, 12, 12, 8, 8),
    ("launch", "soft_antifouling", 8, 24, 8, 12, 6, 8, 4, 4),
    ("launch", "silicone", 48, 48, 24, 24, 12, 24, 8, 12),
    ("launch", "copper_epoxy", 120, 240, 96, 120, 48, 72, 24, 48),
)
"""Step, class, and low and high hours at 5, 15, 23 and 35 °C."""


@checked(windows.epoxy_over_epoxy, "NAVFAC MO-124", "published", where="more than 7 days")
def test_epoxy_eight_days_old() -> None:
    same(windows.epoxy_over_epoxy(8 * 24).steps[:2], ("wash_with_detergent", "rinse_and_dry"))
    same(windows.epoxy_over_epoxy(8 * 24).steps[2], "tack_coat_25_to_50_um")
    same(windows.epoxy_over_epoxy(7 * 24 + 1).case, "epoxy_hardened")
    same(windows.epoxy_over_epoxy(7 * 24).case, "epoxy_still_open")


@checked(windows.antifouling_over_epoxy, "NAVFAC MO-124", "published", where="4 to 6 h after")
def test_antifouling_on_tacky_epoxy() -> None:
    for hours, case in (
        (3.97, "epoxy_too_fresh"),
        (4, "epoxy_tacky"),
        (6, "epoxy_tacky"),
        (6.03, "epoxy_hardened"),
    ):
        same(windows.antifouling_over_epoxy(hours).case, case)


@checked(windows.hard_antifouling_ashore, "storage and launching, a maker's page", "from memory")
def test_hard_antifouling_ashore() -> None:
    for wet, dry, case in (
        (0, 366 * 24, "never_launched"),
        (0, 369 * 24, "never_launched_in_a_year"),
        (0.995, 100, "wet_for_hours"),
        (1, 72, "wet_for_weeks"),
        (30, 72.5, "wet_for_weeks_then_dry"),
        (30.2, 1, "wet_for_months"),
    ):
        same(windows.hard_antifouling_ashore(wet, dry).case, case)


@checked(windows.class_window, "usual times of the class", "from memory")
def test_the_window_of_a_class_from_memory() -> None:
    told = windows.class_window("launch", "silicone", 15).shortest
    assert told is not None
    agree(told.value, 24.0)


@checked(windows.class_time, "usual times of the class", "from memory")
def test_class_times_from_memory() -> None:
    for step, coating, *hours in CLASS_TIMES:
        for place, celsius in enumerate((5, 15, 23, 35)):
            told = windows.class_time(step, coating, celsius)
            low, high = hours[2 * place : 2 * place + 2]
            agree(_spread(told)[0], float(low))
            agree(_spread(told)[1], float(high))
            agree(told.value, math.sqrt(low * high))
    halfway = windows.class_time("launch", "hard_antifouling", 29)
    agree(halfway.value, math.sqrt(12 * 8))


def _facts(biocide: str, territory: str) -> list[tuple[str, date]]:
    known = biocides.known_bans(biocide, territory, date(2026, 1, 1))
    return [(one.fact, one.since) for one in known.facts]


@checked(biocides.known_bans, "IMO MEPC.331(76)", "published", where="from 1 January 2023")
def test_cybutryne_in_the_resolution() -> None:
    same(_facts("cybutryne", "imo")[0], ("not_to_be_applied", date(2023, 1, 1)))


@checked(biocides.known_bans, "IMO AFS Convention", "published", where="in force 17 September 2008")
def test_organotin_in_the_convention() -> None:
    same(_facts("organotin", "imo")[-1], ("not_to_be_exposed", date(2008, 9, 17)))


@checked(biocides.known_bans, "Regulation (EC) No 782/2003", "published", where="both dates")
def test_organotin_in_the_regulation() -> None:
    found = _facts("organotin", "eu")[1:]
    same(found[0], ("not_to_be_applied", date(2003, 7, 1)))
    same(found[1], ("not_to_be_exposed", date(2008, 1, 1)))


@checked(
    biocides.known_bans,
    "California Department of Pesticide Regulation",
    "published",
    where="from 1 July 2018",
)
def test_copper_in_california() -> None:
    (cap,) = biocides.known_bans("cuprous_oxide", "california", date(2026, 1, 1)).facts
    same((cap.fact, cap.since), ("leach_rate_cap", date(2018, 7, 1)))


@checked(
    biocides.leach_rate_cap,
    "California Department of Pesticide Regulation",
    "published",
    where="9.5 µg/cm²/day",
)
def test_cap_of_california() -> None:
    agree(biocides.leach_rate_cap("cuprous_oxide", "california").value, 9.5)


@checked(biocides.copper_share, "copper in biocides, from atomic weights", "arithmetic")
def test_copper_by_hand() -> None:
    agree(biocides.copper_share("cuprous_oxide").value, "0.888")
    agree(biocides.copper_share("cuprous_thiocyanate").value, "0.522")
    agree(biocides.copper_share("copper_pyrithione").value, "0.201")
    agree(biocides.copper_share("metallic_copper").value, 1.0)


@checked(biocides.cybutryne_due, "IMO MEPC.331(76)", "published", where="at latest 60 months after")
def test_cybutryne_is_due_in_sixty_months() -> None:
    same(biocides.cybutryne_due(date(2021, 6, 1), date(2027, 3, 1)), date(2026, 6, 1))


@checked(release.biocide_in_film, "ISO 10890", "from memory", where="mass balance, unit check")
@checked(release.mean_release, "ISO 10890", "from memory", where="mass balance")
@checked(release.film_for_release, "ISO 10890", "from memory", where="mass balance")
def test_mass_balance_from_memory() -> None:
    in_film = release.biocide_in_film(20, 1.5, 60, 50, 0.8882)
    agree(in_film.value, "2877.8")
    rate = release.mean_release(in_film.value, 365.25).value
    agree(rate, "7.88")
    low, high = _spread(release.mean_release(in_film.value, 365.25))
    agree(low, rate / 4)
    agree(high, rate * 8)
    agree(release.film_for_release(rate, 365.25, 20, 1.5, 50, 0.8882).value, 60.0)


@checked(release.biocide_in_film, "PMC5973951", "arithmetic", where="4000 µg Cu/cm² in a layer")
def test_a_layer_of_leisure_boat_paint() -> None:
    agree(release.biocide_in_film(30, 1.7, 45.92, 52, 0.8882, 1.0).value, 4000.0, rel=1e-3)


@checked(release.environmental_release, "Finnie 2006", "published", where="Biofouling 22, abstract")
def test_corrections_of_finnie() -> None:
    agree(release.environmental_release(10).value, 10 / 2.9)
    agree(release.environmental_release(10, laboratory=True).value, 10 / 5.4)


@checked(release.months_of_film, "five-year trial in a tidal stream", "from memory")
@checked(release.wear_by_distance, "five-year trial in a tidal stream", "from memory")
def test_the_tidal_stream() -> None:
    monthly = 0.099 * 365.25 / 12
    agree(monthly, "3.01")
    agree(release.months_of_film(180.8, 0, monthly).value, 60.0, rel=1e-3)
    agree(release.wear_by_distance(283_000 / 1.852).value, "180.8")
    agree(release.wear_by_distance(10_000).value, "11.83")


@checked(
    release.speed_factor, "The effect of water flow on leaching rates", "published",
    where="three times from 1 to 20 knots, at first",
)  # fmt: skip
def test_speed_of_the_study() -> None:
    agree(release.speed_factor(20).value, 3.0)
    agree(release.speed_factor(30).value, 3.0)
    agree(release.speed_factor(10).value, 2.0)
    agree(release.speed_factor(0).value, 1.0)
