"""What anodes lost, and when half will be gone."""

from __future__ import annotations

import math
import statistics

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hulllog.trade import anodes
from hulllog.trade.refusal import Refusal

SHARES = st.floats(0.01, 1.0)
DAYS = st.floats(1.0, 3000.0)
RATES = st.floats(1e-4, 1e-2)


def test_a_weighed_anode_by_hand() -> None:
    assert anodes.share_used(1.800, 1.120, 0.0).value == pytest.approx(0.3778, abs=5e-5)
    assert anodes.mean_current(0.680, 210, 780).value == pytest.approx(0.10524, abs=5e-6)
    assert anodes.wear_rate(0.680, 210).value == pytest.approx(3.238, abs=5e-4)
    assert anodes.half_loss([(210, 0.680 / 1.800)]).value == pytest.approx(277.9, abs=0.05)


def test_the_insert_is_no_anode_metal() -> None:
    assert anodes.share_used(1.8, 1.1, 0.4).value == pytest.approx(0.5)
    assert anodes.share_used(1.8, 0.4, 0.4).value == pytest.approx(1.0)


def test_an_unknown_insert_gives_at_least() -> None:
    used = anodes.share_used(1.8, 1.2)
    assert used.interval is not None
    assert used.interval.kind == "at_least"
    assert used.interval.low == pytest.approx(used.value) == pytest.approx(1 / 3)
    assert used.interval.high == 1.0
    assert used.cautions == ("insert_unknown",)


@given(new=st.floats(0.1, 20), share=st.floats(0.0, 1.0), core=st.floats(0.0, 0.5))
def test_whatever_the_insert_weighs_the_least_is_less(
    new: float, share: float, core: float
) -> None:
    now = new * (1 - (1 - core) * share)
    known = anodes.share_used(new, now, core * new)
    unknown = anodes.share_used(new, now)
    assert unknown.interval is not None
    assert unknown.interval.low <= known.value + 1e-9
    assert known.value == pytest.approx(share, abs=1e-9)


def test_a_gain_is_shown_not_hidden() -> None:
    used = anodes.share_used(1.000, 1.010, 0.0)
    assert used.value == pytest.approx(-0.01)
    assert "heavier_than_new" in used.cautions
    with pytest.raises(Refusal, match="mass_grew"):
        anodes.share_used(1.0, 1.2, 0.0)


def test_two_weighings_have_the_scatter_of_both() -> None:
    used = anodes.share_used(1.8, 1.12, 0.0, repeatability=0.005)
    assert used.interval is not None
    assert used.interval.kind == "readings"
    assert used.interval.high - used.value == pytest.approx(2 * math.sqrt(2) * 0.005 / 1.8)


@pytest.mark.parametrize(
    ("new", "now", "insert", "code"),
    [
        (0.0, 0.0, 0.0, "out_of_range"),
        (math.nan, 1.0, 0.0, "out_of_range"),
        (1.0, -0.1, 0.0, "out_of_range"),
        (1.0, 0.5, 0.7, "insert_too_heavy"),
        (1.0, 0.5, 1.0, "insert_too_heavy"),
        (1.0, math.inf, 0.0, "out_of_range"),
    ],
)
def test_masses_that_cannot_be(new: float, now: float, insert: float, code: str) -> None:
    with pytest.raises(Refusal, match=code):
        anodes.share_used(new, now, insert)


def test_by_eye_is_an_interval_of_what_is_gone() -> None:
    used = anodes.share_by_eye("quarter")
    assert used.interval is not None
    assert (used.interval.low, used.interval.high) == pytest.approx((0.65, 0.85))
    assert used.value == pytest.approx(0.75)
    with pytest.raises(Refusal, match="look_unknown"):
        anodes.share_by_eye("a bit")


def test_the_looks_by_eye_follow_each_other_without_a_hole() -> None:
    order = ["gone", "quarter", "half", "three_quarters", "full"]
    mids = [anodes.share_by_eye(look).value for look in order]
    assert mids == sorted(mids, reverse=True)


def test_renewed_without_weighing_says_little() -> None:
    used = anodes.share_renewed()
    assert used.interval is not None
    assert used.interval.high == 1.0
    assert used.interval.high - used.interval.low > 0.5


def test_current_by_metal_shows_how_far_sources_part() -> None:
    zinc = anodes.mean_current(0.68, 210, "zinc")
    aluminium = anodes.mean_current(0.68, 210, "aluminium")
    assert zinc.value == pytest.approx(0.10524, abs=5e-6)
    assert aluminium.value == pytest.approx(0.270, abs=5e-4)
    assert aluminium.interval is not None
    assert aluminium.interval.high / aluminium.interval.low > 1.3
    with pytest.raises(Refusal, match="metal_unknown"):
        anodes.mean_current(0.68, 210, "unknown")
    with pytest.raises(Refusal, match="loss_negative"):
        anodes.mean_current(-0.01, 210, "zinc")


@given(loss=st.floats(0, 50), days=DAYS, more=st.floats(1.01, 5))
def test_more_loss_means_more_current_and_more_days_less(
    loss: float, days: float, more: float
) -> None:
    here = anodes.mean_current(loss, days, 780).value
    assert anodes.mean_current(min(loss * more, 250), days, 780).value >= here
    assert anodes.mean_current(loss, days * more, 780).value <= here


@given(days=DAYS, share=SHARES)
def test_one_check_never_says_what_it_disproves(days: float, share: float) -> None:
    told = anodes.half_loss([(days, share)])
    assert told.source.tag == "our own rule"
    assert told.interval is not None
    assert told.interval.low <= told.value <= told.interval.high
    if share < 0.5:
        assert told.interval.low >= days
    else:
        assert told.interval.high <= days or told.value == pytest.approx(days)


@given(rate=RATES, days=st.lists(DAYS, min_size=2, max_size=6, unique=True))
def test_even_wear_is_found_again(rate: float, days: list[float]) -> None:
    checks = [(one, rate * one) for one in days if rate * one <= 1]
    if len(checks) < 2:
        return
    told = anodes.half_loss(checks)
    assert told.value == pytest.approx(0.5 / rate, rel=1e-6)
    assert told.interval is not None
    assert told.interval.low <= told.value * 1.0000001
    assert told.interval.high >= told.value * 0.9999999


def test_checks_that_scatter_leave_the_late_end_open() -> None:
    told = anodes.half_loss([(100, 0.3), (110, 0.0)])
    assert told.interval is not None
    assert told.interval.high == 36525.0
    assert "late_end_open" in told.cautions


@given(rates=st.lists(RATES, min_size=1, max_size=8))
def test_earlier_pieces_alone_give_a_date(rates: list[float]) -> None:
    told = anodes.half_loss([], rates)
    assert 0.5 / max(rates) * 0.999 <= told.value <= 0.5 / min(rates) * 1.001
    assert told.interval is not None
    assert told.interval.low <= told.value * 1.000001
    assert math.isfinite(told.interval.high)


@given(rate=RATES, rates=st.lists(RATES, min_size=2, max_size=6))
def test_both_together_lie_between_each(rate: float, rates: list[float]) -> None:
    present = anodes.half_loss([(30.0, 30.0 * rate)]).value
    past = anodes.half_loss([], rates).value
    both = anodes.half_loss([(30.0, 30.0 * rate)], rates).value
    assert min(present, past) * 0.999 <= both <= max(present, past) * 1.001


def test_more_agreeing_pieces_narrow_the_interval() -> None:
    def width(pieces: int) -> float:
        rates = [0.0020, 0.0024] * (pieces // 2)
        told = anodes.half_loss([], rates).interval
        assert told is not None
        return told.high - told.low

    assert width(8) < width(4) < width(2)


def test_one_earlier_piece_gives_the_band_of_our_rule_either_way() -> None:
    told = anodes.half_loss([], [0.002])
    assert told.value == pytest.approx(250)
    assert told.interval is not None
    assert (told.interval.low, told.interval.high) == pytest.approx((250 / 1.5, 375))


def test_checks_on_one_line_are_no_surer_than_scales_and_eyes() -> None:
    told = anodes.half_loss([(100, 0.2), (200, 0.4)])
    assert told.value == pytest.approx(250)
    assert told.interval is not None
    assert told.interval.low < 240
    assert told.interval.high > 260


def test_the_owners_limit_moves_the_date() -> None:
    assert anodes.half_loss([(100, 0.2)], limit=0.6).value == pytest.approx(300)
    assert anodes.half_loss([(100, 0.2)], limit=0.5).value == pytest.approx(250)


@pytest.mark.parametrize("checks", [[], [(100.0, 0.0)], [(100.0, -0.05), (200.0, 0.0)]])
def test_without_wear_there_is_no_date(checks: list[tuple[float, float]]) -> None:
    with pytest.raises(Refusal, match="nothing_worn"):
        anodes.half_loss(checks)


def test_a_look_without_wear_still_counts_beside_others() -> None:
    with_it = anodes.half_loss([(50, 0.0), (200, 0.2), (400, 0.45)])
    without = anodes.half_loss([(200, 0.2), (400, 0.45)])
    assert with_it.value > without.value


@given(
    checks=st.lists(st.tuples(DAYS, st.floats(0.01, 1.0)), min_size=1, max_size=4),
    rates=st.lists(RATES, max_size=3),
)
def test_no_date_stands_against_a_look(
    checks: list[tuple[float, float]], rates: list[float]
) -> None:
    told = anodes.half_loss(checks, rates)
    not_before = max((days for days, share in checks if share < 0.5), default=0.0)
    not_after = min((days for days, share in checks if share >= 0.5), default=math.inf)
    assert told.interval is not None
    if not_before <= not_after:
        assert not_before * 0.999999 <= told.interval.low
        assert told.interval.low <= told.value * 1.000001
        assert told.value <= told.interval.high * 1.000001
        assert told.interval.high <= not_after * 1.000001


def test_wear_is_told_by_the_immersed_year() -> None:
    told = anodes.yearly_share(0.2, 146.1, 0.1, 0.3)
    assert told.value == pytest.approx(50.0)
    assert told.interval is not None
    assert (told.interval.low, told.interval.high) == pytest.approx((25.0, 75.0))
    assert anodes.against_past(told.value, [10.0, 25.0, 90.0]).value == pytest.approx(2.0)
    with pytest.raises(Refusal, match="too_few_earlier"):
        anodes.against_past(50.0, [])


def _rates(mean: float, spread: float) -> list[float]:
    logs = [-1.0, 1.0, -1.0, 1.0]
    scale = spread / statistics.stdev(logs)
    return [math.exp(mean + one * scale) for one in logs]


def test_unusual_by_hand() -> None:
    assert anodes.unusual(4.5, _rates(1.1081, 0.1366), 0.10).value == pytest.approx(2.17, abs=0.005)


@given(rates=st.lists(RATES, min_size=2, max_size=8), factor=st.floats(1.01, 10))
def test_faster_wear_has_a_larger_z(rates: list[float], factor: float) -> None:
    middle = math.exp(statistics.fmean(math.log(one) for one in rates))
    assert anodes.unusual(middle, rates).value == pytest.approx(0, abs=1e-6)
    assert anodes.unusual(middle * factor, rates).value > 0
    assert anodes.unusual(middle / factor, rates).value < 0


def test_unusual_needs_a_past() -> None:
    with pytest.raises(Refusal, match="too_few_earlier"):
        anodes.unusual(1.0, [1.0])
    with pytest.raises(Refusal, match="no_spread"):
        anodes.unusual(2.0, [1.0, 1.0], 0.0)


def test_every_capacity_is_below_faradays() -> None:
    for one in anodes.CAPACITIES:
        assert one.value < anodes.faraday_capacity(one.metal).value


def test_capacities_by_standard_and_edition() -> None:
    assert anodes.design_capacity("zinc", "DNV", "2010", "sediment").value == 700
    assert anodes.design_capacity("zinc", "DNV", "2021", "sediment").value == 750
    assert anodes.design_capacity("zinc", "ABS", "2017", alloy="Z2").value == 760
    with pytest.raises(Refusal, match="capacity_not_listed"):
        anodes.design_capacity("magnesium", "DNV", "2021")


@given(current=st.floats(0.001, 10), days=DAYS)
def test_dissolved_mass_gives_its_current_back(current: float, days: float) -> None:
    grams = anodes.dissolved("zinc", current, days, 780).value
    if grams / 1000 <= 2000:
        assert anodes.mean_current(grams / 1000, days, 780).value == pytest.approx(current)


def test_a_hot_anode_holds_less() -> None:
    cold = anodes.design_capacity("aluminium", "DNV", "2021").value
    hot = anodes.design_capacity("aluminium", "DNV", "2021", celsius=80).value
    assert hot < cold
    with pytest.raises(Refusal, match="capacity_not_listed"):
        anodes.design_capacity("aluminium", "DNV", "2021", celsius=45)


def test_the_potential_of_a_working_anode() -> None:
    assert anodes.closed_circuit_potential("zinc", "DNV", "2021").value == -1.03
    with pytest.raises(Refusal, match="capacity_not_listed"):
        anodes.closed_circuit_potential("aluminium", "Roberge", "")


def test_the_mass_of_an_anode_from_its_size() -> None:
    told = anodes.mass_of("zinc", 0.300 * 0.075 * 0.035 * 1000)
    assert told.value == pytest.approx(5.623, abs=5e-4)
    assert told.interval is not None
    with pytest.raises(Refusal, match="metal_unknown"):
        anodes.mass_of("iron", 1)
