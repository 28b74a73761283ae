"""Plates, pits and corrosion rates against worked examples, data sets and SciPy."""

from __future__ import annotations

import math

from checks import agree, checked, same

from hulllog.trade import corrosionrates, pits, plates

API = "API 570 inspection form, worked example"
STRUTT = "Strutt, Nicholls and Barbier, Corrosion Science 25 (1985)"
RMT = "RMT, R package, data set Pitdataexample"
ARMY = "US Army TB 55-1900-201-45/1"
G46 = "ASTM G46-94"
MICROMETRE = 1e-3

PIT_TIMES = [10.0, 100.0, 150.0, 200.0, 500.0, 1000.0]
PIT_DEPTHS = (
    [0.01, 0.02, 0.05, 0.07, 0.09, 0.10],
    [0.005, 0.017, 0.018, 0.028, 0.04, 0.065],
    [0.02, 0.04, 0.055, 0.065, 0.078, 0.09],
    [0.018, 0.035, 0.045, 0.062, 0.087, 0.195],
    [0.03, 0.05, 0.065, 0.089, 0.125, 0.15],
)
DEEPEST = [0.7, 0.9, 1.1, 1.15, 1.3, 1.42, 1.5, 1.8, 2.1, 2.6]


@checked(plates.long_term_rate, API, "published")
@checked(plates.remaining_life, API, "published")
def test_a_wall_that_lost_more_than_half() -> None:
    agree(plates.long_term_rate(7.8, 3.24, 15).value, "0.304")
    agree(plates.remaining_life(3.24, 0.37, [0.304, 0.34]).value, "8.441")
    agree(12 * plates.remaining_life(3.24, 0.37, [0.34]).value, "101.3")


@checked(plates.short_term_rate, API, "published", where="definition of ST")
@checked(plates.half_life, API, "published", where="at most half of the remaining life")
def test_the_last_interval_alone() -> None:
    agree(plates.short_term_rate(5.6, 5.2, 8).value, 0.05)
    agree(plates.half_life(14.0).value, 7.0)


@checked(plates.wastage, ARMY, "arithmetic", where="Appendix E-11, plate rolled 8.5 to 14 % over")
def test_plate_that_is_thicker_than_nominal() -> None:
    agree(-plates.wastage(4.7625, 4.7625 * 1.085, nominal=True).value, "8.5")
    agree(-plates.wastage(4.7625, 4.7625 * 1.14, nominal=True).value, "14")
    agree(plates.wastage(0.205 * 25.4, 0.170 * 25.4).value, "17.1")


@checked(plates.wastage, "IIMS Report, March 2025", "published", where="p. 109, plate of 6 mm")
def test_what_is_left_of_six_millimetres() -> None:
    for left, percent in ((4.8, 20.0), (3.0, 50.0)):
        agree(plates.wastage(6.0, left).value, percent)


@checked(plates.long_term_rate, "2·√2·s", "arithmetic")
def test_a_loss_within_the_gauges_own_error() -> None:
    for times, cautions in ((1.99, ("not_told_from_none",)), (2.01, ())):
        loss = times * math.sqrt(2) * 0.05
        found = plates.long_term_rate(6.0, 6.0 - loss, 5.0, 0.05)
        same(found.cautions, cautions)
        agree(found.value, loss / 5)


@checked(plates.wastage, "propagation of errors", "arithmetic")
def test_the_margin_of_a_wastage() -> None:
    for nominal, factor in ((False, math.sqrt(2)), (True, 1.0)):
        found = plates.wastage(5.0, 4.0, nominal=nominal, repeatability=0.05).interval
        assert found is not None
        agree(found.high - found.low, 2 * 100 * 2 * 0.05 * factor / 5.0)


@checked(plates.pit_share, "definition", "arithmetic")
@checked(plates.left_under_pit, "definition", "arithmetic")
@checked(plates.pitting_intensity, "definition", "arithmetic")
@checked(plates.equivalent_thickness, "geometry", "arithmetic")
def test_a_pit_and_a_pitted_plate() -> None:
    agree(plates.pit_share(2.5, 6.0).value, "41.7")
    agree(plates.left_under_pit(6.0, 2.5).value, 3.5)
    agree(plates.pitting_intensity(0.05, 0.4).value, 12.5)
    agree(plates.equivalent_thickness(6.0, 4.0, 20.0).value, 5.6)


@checked(plates.ship_pit_depth, "IACS UR S31", "from memory")
def test_pit_depths_that_class_accepts() -> None:
    for intensity, percent in {
        0: 35.0,
        20: 29.0,
        49.9: 20.03,
        50: 20.0,
        50.3: 20.0,
        90: 20.0,
    }.items():
        agree(plates.ship_pit_depth(intensity).value, percent)


@checked(plates.inland_minimum, "ES-TRIN, Article 3.02", "from memory")
def test_plating_of_an_inland_vessel() -> None:
    agree(plates.inland_minimum(40, 600, 1.0, "bilge").value, 1.13 * 1.25 * 3.9)
    agree(plates.inland_minimum(60, 500, 1.0).value, 4.7)
    agree(plates.inland_minimum(60, 500, 1.0, double=True).value, 0.95 * 4.7)
    agree(plates.inland_minimum(15, 500, 4.0).value, 5.0)
    agree(plates.inland_minimum(15, 500, 1.0).value, 3.0)
    agree(plates.inland_minimum(40, 500, 0.1).value, 3.9)
    agree(plates.inland_minimum(40.2, 500, 0.1).value, 3.908)
    agree(plates.inland_minimum(40, 500, 0.1, "side").value, 3.9)


@checked(pits.average_penetration, G46, "from memory")
@checked(pits.pitting_factor, G46, "from memory")
@checked(pits.pitting_probability, G46, "from memory")
def test_figures_of_g46() -> None:
    average = pits.average_penetration(47.1, 100, 7.85).value
    agree(average, 0.60)
    agree(pits.pitting_factor(1.8, average).value, 3.0)
    agree(pits.pitting_probability(7, 20).value, 35.0)


@checked(pits.ten_deepest, G46, "from memory")
def test_the_ten_deepest_of_twelve() -> None:
    agree(pits.ten_deepest([0.1 * n for n in range(1, 13)]).value, 0.75)


@checked(pits.growth, RMT, "data", where="worked by NumPy")
def test_growth_of_five_pits() -> None:
    printed = (
        ("0.5462", "0.002715", "0.8895"),
        ("0.5518", "0.001347", "0.9873"),
        ("0.3397", "0.009355", "0.9708"),
        ("0.4908", "0.004655", "0.9160"),
        ("0.3669", "0.011557", "0.9468"),
    )
    for depths, (n, k, r2) in zip(PIT_DEPTHS, printed, strict=True):
        found = pits.growth(PIT_TIMES, depths)
        assert found.r2 is not None
        agree(found.n, n)
        agree(found.k, k)
        agree(found.r2, r2)


@checked(pits.growth, "SciPy", "library", where="linregress on logarithms")
def test_growth_is_a_line_through_logarithms() -> None:
    from scipy.stats import linregress

    for depths in PIT_DEPTHS:
        line = linregress([math.log(t) for t in PIT_TIMES], [math.log(d) for d in depths])
        found = pits.growth(PIT_TIMES, depths)
        agree(found.n, float(line.slope))
        agree(found.k, math.exp(line.intercept))
        agree(found.r2 or 0.0, float(line.rvalue) ** 2)


@checked(pits.depth_later, "power law of pit growth", "arithmetic")
@checked(pits.aged, "power law of pit growth", "arithmetic")
@checked(pits.age_at_depth, "power law of pit growth", "arithmetic")
def test_a_pit_six_years_later() -> None:
    for exponent, depth in {1 / 3: "1.689", 0.4: "1.730", 0.5: "1.793", 1.0: "2.143"}.items():
        agree(pits.depth_later(1.5, 14, 20, exponent).value, depth)
    older = pits.aged(pits.Gumbel(1.0, 0.2), 14, 20, 0.4)
    agree(older.mode, "1.15335")
    agree(5 * older.scale, "1.15335")
    agree(pits.age_at_depth(pits.Growth(0.2, 0.5), 0.8).value, 16.0)


@checked(pits.depth_later, "SciPy", "library", where="integrate.solve_ivp of d′ = n·d/t")
@checked(pits.age_at_depth, "SciPy", "library", where="optimize.brentq")
def test_growth_by_solvers_of_the_library() -> None:
    from scipy.integrate import solve_ivp
    from scipy.optimize import brentq

    for n in (1 / 3, 0.4, 0.5):
        course = solve_ivp(
            lambda t, d, n=n: n * d / t, (14, 20), [1.5], method="DOP853", rtol=1e-10, atol=1e-12
        )
        agree(pits.depth_later(1.5, 14, 20, n).value, float(course.y[0, -1]), rel=1e-7)
        age = brentq(lambda t, n=n: 0.2 * t**n - 0.8, 1, 1000, xtol=1e-12, rtol=1e-14)
        agree(pits.age_at_depth(pits.Growth(0.2, n), 0.8).value, float(age))


@checked(pits.no_deeper, STRUTT, "data", where="its fit, worked by SciPy")
@checked(pits.deepest_over, STRUTT, "data", where="its fit, worked by SciPy")
def test_the_deepest_pits_in_acid_sea_water() -> None:
    fitted = pits.Gumbel(150 * MICROMETRE, 90 * MICROMETRE)
    to_150 = pits.no_deeper(fitted, 150 * MICROMETRE).value
    to_300 = pits.no_deeper(fitted, 300 * MICROMETRE).value
    agree(to_150, "0.3679")
    agree(to_300, "0.8279")
    agree(to_300 - to_150, "0.4600")
    agree(pits.deepest_over(fitted, 1, 0.9).value / MICROMETRE, "352.53")
    agree(pits.deepest_over(fitted, 1).value / MICROMETRE, "182.99")


@checked(pits.no_deeper, "SciPy", "library", where="gumbel_r.cdf")
@checked(pits.deepest_over, "SciPy", "library", where="gumbel_r.ppf")
def test_larger_areas_in_the_library() -> None:
    from scipy.stats import gumbel_r

    fitted = pits.Gumbel(1.5, 0.3)
    agree(pits.no_deeper(fitted, 2.4).value, float(gumbel_r.cdf(2.4, 1.5, 0.3)))
    agree(pits.deepest_over(fitted, 1).value, float(gumbel_r.median(1.5, 0.3)))
    for ratio in (1, 7, 120):
        theirs = float(gumbel_r.cdf(2.4, 1.5, 0.3)) ** ratio
        agree(pits.no_deeper(fitted, 2.4, ratio).value, theirs)
        deepest = float(gumbel_r.ppf(0.8 ** (1 / ratio), 1.5, 0.3))
        agree(pits.deepest_over(fitted, ratio, 0.8).value, deepest)


@checked(pits.deepest_over, "SciPy", "library", where="norm.ppf, interval")
def test_the_interval_of_the_deepest() -> None:
    from scipy.stats import norm

    found = pits.deepest_over(pits.Gumbel(1.5, 0.3, 12), 5, 0.5, level=0.8)
    assert found.interval is not None
    y = math.log(5) - math.log(math.log(2))
    error = 0.3 * math.sqrt((1.1087 + 0.5140 * y + 0.6079 * y * y) / 12)
    reach = float(norm.ppf(0.9)) * error
    agree(found.interval.high - found.value, reach, rel=1e-4)


@checked(pits.gumbel_by_likelihood, "SciPy", "library", where="gumbel_r.fit")
def test_the_likelihood_fit_of_the_library() -> None:
    from scipy.stats import gumbel_r

    mode, scale = gumbel_r.fit(DEEPEST)
    found = pits.gumbel_by_likelihood(DEEPEST)
    agree(found.mode, float(mode), rel=1e-6)
    agree(found.scale, float(scale), rel=1e-6)


@checked(pits.gumbel_by_plot, "NumPy", "library", where="polyfit on reduced variates")
def test_the_line_through_plotting_positions() -> None:
    import numpy as np

    places = np.arange(1, 11) / 11
    scale, mode = np.polyfit(-np.log(-np.log(places)), sorted(DEEPEST), 1)
    found = pits.gumbel_by_plot(DEEPEST)
    agree(found.mode, float(mode))
    agree(found.scale, float(scale))


@checked(pits.standard_error, "Coles, Statistical Modeling of Extreme Values", "from memory")
def test_errors_of_a_quantile() -> None:
    y = -math.log(-math.log(0.99))
    for n, error in {5: "163", 10: "115", 20: "81", 30: "66"}.items():
        agree(pits.standard_error(pits.Gumbel(150, 90, n), y), error)


@checked(pits.standard_error, "SciPy", "library", where="gumbel_r, Fisher information by quad")
def test_errors_by_the_information_of_the_library() -> None:
    import numpy as np
    from scipy.integrate import quad
    from scipy.stats import gumbel_r

    step = 1e-5

    def score(x: float, which: int) -> float:
        low, high = [0.0, 1.0], [0.0, 1.0]
        low[which] -= step
        high[which] += step
        return float(gumbel_r.logpdf(x, *high) - gumbel_r.logpdf(x, *low)) / (2 * step)

    information = [
        [
            quad(lambda x, i=i, j=j: gumbel_r.pdf(x) * score(x, i) * score(x, j), -4, 40)[0]
            for j in (0, 1)
        ]
        for i in (0, 1)
    ]
    covariance = np.linalg.inv(information)
    for y in (0.5, 4.6):
        theirs = 90 * math.sqrt(np.array([1, y]) @ covariance @ np.array([1, y]) / 12)
        agree(pits.standard_error(pits.Gumbel(150, 90, 12), y), theirs, rel=1e-5)


CALLISTER = "Callister, Materials Science and Engineering, corrosion penetration rate"


@checked(corrosionrates.rate_from_mass, "ASTM G1, public worked example", "published")
def test_a_coupon_of_steel() -> None:
    rate = corrosionrates.rate_from_mass(0.650, 28.5, 168, 7.85).value
    agree(rate, "1.5149")
    agree(rate / 0.0254, "59.64")


@checked(corrosionrates.rate_from_mdd, "ASTM G1, public worked example", "published")
@checked(pits.average_penetration, "ASTM G1, public worked example", "published")
def test_the_same_coupon_by_the_day_and_by_its_depth() -> None:
    mdd = 650 / (0.285 * 168 / 24)
    agree(corrosionrates.rate_from_mdd(mdd, 7.85).value, "1.5149")
    depth = pits.average_penetration(0.650, 28.5, 7.85).value
    agree(depth * 24 * 365 / 168, "1.5149")


@checked(corrosionrates.rate_from_mass, CALLISTER, "published", where="as an answer page works it")
def test_a_plate_buried_for_a_year() -> None:
    rate = corrosionrates.rate_from_mass(485, 100 * 2.54**2, 24 * 365, 7.9).value
    agree(rate, "0.952")


@checked(corrosionrates.rate_from_mdd, "ASTM G1", "from memory", where="constants for mdd and mm/y")
def test_milligrams_per_square_decimetre_and_day() -> None:
    for density in (1.0, 7.86, 8.94):
        rate = corrosionrates.rate_from_mdd(100.0, density).value
        agree(rate, 100.0 * 8.76e4 / (2.40e6 * density))


@checked(corrosionrates.equivalent_weight, "ASTM G102", "published", where="equivalent weights")
def test_equivalent_weights_of_steels() -> None:
    agree(corrosionrates.equivalent_weight({"Fe": 1.0}).value, "27.92")
    steel_304 = {"Fe": 0.7175, "Cr": 0.19, "Ni": 0.0925}
    steel_316 = {"Fe": 0.685, "Cr": 0.17, "Ni": 0.12, "Mo": 0.025}
    agree(corrosionrates.equivalent_weight(steel_304).value, "25.12")
    agree(corrosionrates.equivalent_weight(steel_316).value, "25.50")


@checked(corrosionrates.equivalent_weight, "Standard atomic weights (IUPAC)", "from memory")
def test_equivalent_weights_of_elements() -> None:
    for element, equivalent in {
        "Al": "8.994",
        "Cr": "17.33",
        "Cu": "31.77",
        "Mg": "12.15",
        "Mn": "27.47",
        "Mo": "31.98",
        "Ni": "29.35",
        "Pb": "103.6",
        "Sn": "59.36",
        "Ti": "11.97",
        "Zn": "32.69",
    }.items():
        agree(corrosionrates.equivalent_weight({element: 1.0}).value, equivalent)


@checked(corrosionrates.rate_from_current, "SciPy", "library", where="Faraday constant")
def test_iron_by_faraday() -> None:
    from scipy import constants

    faraday = constants.physical_constants["Faraday constant"][0]
    for mass, valence, density in ((55.845, 2, 7.87), (26.982, 3, 2.70), (65.38, 2, 7.14)):
        by_law = 1e-3 * mass / (valence * faraday * density) * constants.Julian_year * 1e-3
        found = corrosionrates.rate_from_current(1.0, mass / valence, density)
        agree(found.value, by_law, rel=5e-4)
