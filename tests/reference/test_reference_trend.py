"""Change and trend against published examples, open data and the libraries of statistics."""

from __future__ import annotations

import math

from checks import agree, checked, same

from hulllog.trade import change, mannkendall, trend

PYMK = "pymannkendall"
NILE = "Nile flow at Aswan, 1871 to 1970 (data set of statsmodels)"
COPPER_NICKEL = "Draper and Smith, Applied Regression Analysis, corrosion data"
BY_HAND = "College of the Holy Cross, a Mann-Kendall example by hand"

SERIES = (
    [6.0, 5.6, 5.7, 5.4, 5.2, 5.3],
    [1.0, 3.0, 2.0, 5.0, 4.0, 7.0, 6.0, 9.0],
    [12.0, 11.5, 13.1, 12.2, 14.0, 12.9, 15.2, 11.1, 15.9, 16.4, 16.3],
)
TIED = (
    [1.0, 2.0, 2.0, 3.0, 3.0, 3.0, 4.0],
    [5.0, 5.0, 4.0, 6.0, 6.0, 7.0, 5.0, 8.0, 8.0, 9.0],
)
DAYS = [0.0, 1.1, 2.0, 3.2, 5.0, 7.5, 8.0, 11.0, 12.0, 14.5, 16.0]
FOURTEEN = [12.9, 14.8, 13.2, 15.7, 13.8, 15.6, 12.9, 11.0, 17.3, 15.9, 19.0, 18.3, 20.1, 21.7]
BH_1995 = [0.0001, 0.0004, 0.0019, 0.0095, 0.0201, 0.0278, 0.0298, 0.0344, 0.0459]
BH_1995 += [0.3240, 0.4262, 0.5719, 0.6528, 0.7590, 1.000]


@checked(mannkendall.mann_kendall, "SciPy", "library", where="kendalltau, exact")
def test_exact_p_of_series_without_ties() -> None:
    from scipy.stats import kendalltau

    for series in SERIES:
        theirs = kendalltau(range(len(series)), series, method="exact").pvalue
        agree(mannkendall.mann_kendall(series).p, theirs)


@checked(mannkendall.mann_kendall, PYMK, "library", where="original_test, S")
@checked(mannkendall.variance_of_s, PYMK, "library", where="original_test, var_s")
def test_s_and_its_variance_with_ties() -> None:
    from pymannkendall import original_test

    for series in (*SERIES, *TIED):
        found, theirs = mannkendall.mann_kendall(series), original_test(series)
        agree(found.s, float(theirs.s))
        agree(found.variance, float(theirs.var_s))
        by_value = mannkendall.ties(series)
        agree(mannkendall.variance_of_s((1,) * len(series), by_value), float(theirs.var_s))


@checked(mannkendall.variance_of_s, "SciPy", "library", where="kendalltau, asymptotic")
def test_variance_with_ties_in_both() -> None:
    from scipy.stats import kendalltau, norm

    for values, size in ((TIED[0], 2), (TIED[1], 3)):
        times = [n // size for n in range(len(values))]
        s = mannkendall.mann_kendall(values, times).s
        variance = mannkendall.variance_of_s(mannkendall.ties(times), mannkendall.ties(values))
        theirs = kendalltau(times, values, method="asymptotic").pvalue
        agree(2 * float(norm.sf(s / math.sqrt(variance))), float(theirs))


@checked(mannkendall.mann_kendall, BY_HAND, "published")
def test_fourteen_values_worked_by_hand() -> None:
    found = mannkendall.mann_kendall(FOURTEEN)
    agree(found.s, "54")
    agree((found.s - 1) / math.sqrt(found.variance), "2.9058")


@checked(mannkendall.null_distribution, "OEIS A008302", "published", where="rows 5 to 8")
def test_orders_by_inversions() -> None:
    for n, row in {
        5: "1 4 9 15 20 22 20 15 9 4 1",
        6: "1 5 14 29 49 71 90 101 101 90 71 49 29 14 5 1",
        7: "1 6 20 49 98 169 259 359 455 531 573 573 531 455 359 259 169 98 49 20 6 1",
        8: "1 7 27 76 174 343 602 961 1415 1940 2493 3017 3450 3736 3836",
    }.items():
        table = mannkendall.null_distribution((1,) * n, (1,) * n)
        assert table is not None
        ours = [ways for _, ways in sorted(table, reverse=True)]
        wanted = [int(ways) for ways in row.split()]
        same(ours[: len(wanted)], wanted)


@checked(
    mannkendall.critical_s, "Kendall, Rank Correlation Methods", "from memory", where="Table 1"
)
def test_critical_s_of_small_samples() -> None:
    for n, level, critical in ((5, 0.05, 8), (8, 0.05, 16), (8, 0.01, 20), (10, 0.025, 23)):
        table = mannkendall.null_distribution((1,) * n, (1,) * n)
        assert table is not None
        agree(mannkendall.critical_s(table, level) or 0, float(critical))


@checked(mannkendall.critical_s, "SciPy", "library", where="kendalltau, exact, order by order")
def test_critical_s_by_the_p_of_the_library() -> None:
    from scipy.stats import kendalltau

    for n, level in ((5, 0.05), (7, 0.05), (8, 0.01), (10, 0.025)):
        order, s = list(range(n)), n * (n - 1) // 2
        while kendalltau(range(n), order, method="exact").pvalue / 2 <= level:
            theirs = s
            place = next(i for i in range(n - 1) if order[i] < order[i + 1])
            order[place], order[place + 1] = order[place + 1], order[place]
            s -= 2
        table = mannkendall.null_distribution((1,) * n, (1,) * n)
        assert table is not None
        agree(mannkendall.critical_s(table, level) or 0, float(theirs))


def nile() -> tuple[list[float], list[float]]:
    from statsmodels.datasets import nile as data

    table = data.load_pandas().data
    return [float(year) for year in table["year"]], [float(flow) for flow in table["volume"]]


@checked(mannkendall.mann_kendall, NILE, "data", where="worked by pymannkendall")
def test_a_hundred_years_of_the_nile() -> None:
    found = mannkendall.mann_kendall(nile()[1])
    agree(found.s, "-1387")
    agree(found.variance, "112728.33")
    agree(found.p, "0.00003658")
    same(found.method, "normal")


@checked(trend.theil_sen, NILE, "data", where="worked by SciPy's theilslopes")
@checked(trend.of, NILE, "data", where="worked by pymannkendall and SciPy")
def test_the_slope_of_the_nile() -> None:
    times, values = nile()
    slope, interval = trend.theil_sen(times, values)
    found = trend.of(times, values)
    assert interval is not None
    assert found.slope is not None
    agree(slope, "-2.6")
    agree(interval.low, "-3.6279")
    agree(interval.high, "-1.4286")
    agree(found.slope, "-2.6")
    agree(found.p, "0.00003658")
    agree(found.working.value, "-2.6")


@checked(trend.theil_sen, "SciPy", "library", where="theilslopes")
def test_slopes_on_uneven_dates() -> None:
    from scipy.stats import theilslopes

    for series in (*SERIES, *TIED):
        times = DAYS[: len(series)]
        agree(trend.theil_sen(times, series)[0], float(theilslopes(series, times).slope))
    times, long = [n + n % 3 / 4 for n in range(80)], [(n * n) % 83 + n / 5 for n in range(80)]
    for level in (0.8, 0.9, 0.95):
        slope, interval = trend.theil_sen(times, long, level)
        theirs = theilslopes(long, times, level)
        assert interval is not None
        agree(slope, float(theirs.slope))
        agree(interval.low, float(theirs.low_slope))
        agree(interval.high, float(theirs.high_slope))


@checked(trend.theil_sen, PYMK, "library", where="sens_slope")
def test_slopes_on_even_dates() -> None:
    from pymannkendall import sens_slope

    for series in SERIES:
        agree(trend.theil_sen(range(len(series)), series)[0], float(sens_slope(series).slope))


@checked(trend.theil_sen, COPPER_NICKEL, "data", where="worked by SciPy")
def test_the_slope_of_the_copper_nickel_data() -> None:
    iron = [0.01, 0.48, 0.71, 0.95, 1.19, 0.01, 0.48, 1.44, 0.71, 1.96, 0.01, 1.44, 1.96]
    loss = [127.6, 124.0, 110.8, 103.9, 101.5, 130.1, 122.0, 92.3, 113.1, 83.7, 128.0, 91.4, 86.2]
    agree(trend.theil_sen(iron, loss)[0], "-24.2857")


@checked(trend.theil_sen, "Hollander and Wolfe, 9.3", "arithmetic", where="ranks of the interval")
def test_ranks_of_the_interval_of_eight() -> None:
    times = [float(n) for n in range(8)]
    values = [0.0, 1.3, 1.1, 3.7, 3.5, 6.1, 5.2, 8.4]
    slopes = sorted((values[j] - values[i]) / (j - i) for j in range(8) for i in range(j))
    _, interval = trend.theil_sen(times, values)
    assert interval is not None
    agree(interval.low, slopes[5])
    agree(interval.high, slopes[28 - 6])


@checked(trend.of_grades, "SciPy", "library", where="kendalltau, exact")
def test_grades_by_order_alone() -> None:
    from scipy.stats import kendalltau

    positions = [0.0, 2.0, 1.0, 3.0, 5.0, 4.0]
    theirs = kendalltau(range(6), positions, method="exact").pvalue
    agree(trend.of_grades(positions).p, theirs)
    agree(trend.of_grades(positions).working.value, theirs)


@checked(
    trend.benjamini_hochberg, "Benjamini and Hochberg, J. R. Stat. Soc. B 57 (1995)", "published"
)
def test_fifteen_outcomes_of_the_paper() -> None:
    corrected = trend.benjamini_hochberg(BH_1995)
    same([p <= 0.05 for p in corrected], [True] * 4 + [False] * 11)
    agree(corrected[3], "0.035625")
    agree(corrected[-1], "1.000")


@checked(trend.benjamini_hochberg, "statsmodels", "library", where="multipletests, fdr_bh")
@checked(trend.benjamini_hochberg, "SciPy", "library", where="false_discovery_control")
@checked(trend.corrected, "SciPy", "library", where="false_discovery_control")
def test_corrected_p_of_the_libraries() -> None:
    from scipy.stats import false_discovery_control
    from statsmodels.stats.multitest import multipletests

    shuffled = [*BH_1995[::2], *BH_1995[1::2]]
    ours = trend.benjamini_hochberg(shuffled)
    theirs = multipletests(shuffled, method="fdr_bh")[1]
    scipys = false_discovery_control(shuffled)
    for one, other, third in zip(ours, theirs, scipys, strict=True):
        agree(one, float(other))
        agree(one, float(third))
    for told, third in zip(trend.corrected(shuffled), scipys, strict=True):
        agree(told.value, float(third))
        place, of = told.given("p_{(j)}"), told.given("j")
        agree(place * told.given("m") / of, float(third))


@checked(trend.level_at, "SciPy", "library", where="quantile_test, confidence interval")
def test_the_interval_of_a_median() -> None:
    from scipy.stats import quantile_test

    for values in (SERIES[1], SERIES[2], FOURTEEN):
        found = trend.level_at([(0.0, value) for value in values], 0.0, 0.0)
        theirs = quantile_test(sorted(values), q=0, p=0.5).confidence_interval(0.95)
        agree(found.low, float(theirs.low))
        agree(found.high, float(theirs.high))


@checked(trend.forecast, "Theil-Sen line of a straight loss", "arithmetic")
def test_a_straight_loss_goes_on_straight() -> None:
    times = [2010.0, 2013.0, 2016.0, 2019.0, 2022.0, 2025.0]
    values = [6.0 - 0.05 * (time - 2010) for time in times]
    found = trend.forecast("plate-thickness", "thickness", times, values, 2035.0)
    agree(found.value, 4.75)


@checked(trend.forecast, "SciPy", "library", where="theilslopes, joint")
def test_a_course_by_the_line_of_the_library() -> None:
    from scipy.stats import theilslopes

    for series in SERIES:
        times = [2000.0 + day for day in DAYS[: len(series)]]
        line = theilslopes(series, times, method="joint")
        found = trend.forecast("plate-thickness", "thickness", times, series, 2030.0)
        agree(found.value, float(line.intercept + line.slope * 2030), rel=1e-8)


@checked(mannkendall.ties, "NumPy", "library", where="unique, counts")
def test_ties_by_the_library() -> None:
    import numpy as np

    for series in TIED:
        counted = np.unique(series, return_counts=True)[1]
        for ours, theirs in zip(mannkendall.ties(series), counted, strict=True):
            agree(ours, float(theirs))


@checked(change.two_visits, "ASTM E177", "published", where="1.96·√2·s, as a NIST report has it")
def test_two_readings_of_one_thing() -> None:
    found = change.two_visits("plate-thickness", "thickness", 6.0, 6.0)
    assert found is not None
    agree(1.96 * found.chance, 1.96 * math.sqrt(2) * 0.1)


@checked(change.two_visits, "2·√2·s and 3·√2·s", "arithmetic")
def test_a_change_beyond_two_and_beyond_three() -> None:
    for times, shown, plain in ((1.99, False, False), (2.01, True, False), (3.01, True, True)):
        loss = times * math.sqrt(2) * 0.1
        found = change.two_visits("plate-thickness", "thickness", 6.0, 6.0 - loss)
        assert found is not None
        same((found.beyond_error, found.plainly), (shown, plain))
        agree(found.difference, -loss)


@checked(change.two_visits, "counts of rare things (Poisson)", "arithmetic")
def test_counts_differ_by_the_root_of_their_sum() -> None:
    found = change.two_visits("laminate-blisters", "count", 9.0, 16.0)
    assert found is not None
    agree(found.chance, 5.0)
