"""When an anode will be half gone, and whether its wear is unusual for this boat.

Shares are of what can be used (insert taken out); rates are shares per immersed day.
"""

from __future__ import annotations

import math
import statistics
from dataclasses import replace
from typing import TYPE_CHECKING, NamedTuple

from hulllog.trade.anodepace import Seen, foretold
from hulllog.trade.ranges import above, within
from hulllog.trade.refusal import Refusal
from hulllog.trade.students import t_factor
from hulllog.trade.working import Input, Interval, Source, Working

if TYPE_CHECKING:
    from collections.abc import Sequence

HALF = 0.5
"""Share gone at which anodes are commonly renewed.  Common practice; 0.6 is quoted too."""
UNUSUAL_Z = 2.4
"""Wear is called unusual above this |z| against the boat's own past.  Our own rule: at 2 more than
one of twenty invented boats without a break was called unusual."""
THUMB_FACTOR = 1.5
"""A single check may be off by this factor either way.  Our own rule."""
RATE_ERROR = 0.10
"""Relative error of a rate where none is given.  Our own rule."""
OPEN_END = 36525.0
"""Days that stand for a later bound that the records leave open."""

_LEVEL = 0.8
_A_YEAR = 36525.0
"""Percent a year for a share a day, to show a rate in figures that can be read."""
_THUMB = Source("our own rule", "our rule of thumb: half to come as the part so far")
_LINE = Source("from memory", "line through the origin, Fieller's limits")
_PAST = Source("from memory", "prediction limits of a normal sample, on logarithms")
_BOTH = Source("from memory", "normal prior and normal data, weighted by precision")
_PACE = Source("our own rule", "all pieces foretell the present one, tried on invented boats")
_BY_DAY = Source("common practice", "by immersed day")
_MEDIAN = Source("our own rule", "against the median of the earlier stretches in the same place")
_MIRROR = Source("our own rule", "against the other side over the same time")
_OWN_PAST = Source("our own rule", "unusual above 2.4 against the boat's own past")


class Loss(NamedTuple):
    """A check: immersed days since fitted and the share used then.

    ``error`` is the standard error of the share; looks ``by_eye`` err alike from look to look.
    """

    days: float
    share: float
    error: float = 0.0
    by_eye: bool = False
    begun: float | None = None
    """The day of fitting by the calendar; None where she did not lie afloat all the time."""


class Rate(NamedTuple):
    """The mean rate of an earlier piece, a share per immersed day, with its relative error.

    ``days`` are those it is the mean of, ``begun`` as in Loss.
    """

    rate: float
    error: float
    by_eye: bool = False
    days: float = 365.25
    begun: float | None = None


class _LogRate(NamedTuple):
    """A rate per day by its logarithm, with variance."""

    mean: float
    variance: float


def half_loss(
    checks: Sequence[tuple[float, float] | Loss],
    earlier: Sequence[float | Rate] = (),
    *,
    limit: float = HALF,
    level: float = _LEVEL,
) -> Working:
    """Return the immersed days from fitting until the share ``limit`` is gone.

    ``checks`` are (immersed days, share used) of the present piece, ``earlier`` the mean rates of
    earlier pieces in the same place, as share per immersed day.  What is there decides the way: one
    check (our rule of thumb, a band), several (line through the origin), earlier pieces
    (logarithms), or both combined.  Where the errors of all are given, as Loss and Rate, and two
    earlier pieces are on record, in the order of time, all pieces together foretell the present one
    (``anodepace``).  A check that shows the limit passed, or not yet reached, cuts what the sum
    says beyond it; one within two errors of the limit shows neither.
    Raises Refusal ``nothing_worn`` or ``out_of_range``.
    """
    worn = _checked(checks)
    rates = [one for one in earlier if isinstance(one, Rate)]
    past = [
        above("rate", one.rate if isinstance(one, Rate) else one, 0.0, 1.0, "1") for one in earlier
    ]
    if not worn and not past:
        raise Refusal("nothing_worn")
    if not past:
        if len(worn) == 1:
            return half_loss_from_one_check(worn[0].days, worn[0].share, limit=limit)
        found = half_loss_from_checks([one[:2] for one in worn], limit=limit, level=level)
        return _held(found, worn, limit)
    if not worn:
        return half_loss_from_earlier(past, limit=limit, level=level)
    last = max(worn, key=lambda one: one.days)
    if len(rates) == len(past) >= FEW_PIECES and last.error > 0 and last.share > 0:
        sure = [one for one in worn if abs(one.share - limit) > 2 * one.error]
        return _held(_paced(last, rates, limit, level), sure, limit)
    return _held(_combined(worn, past, limit, level), worn, limit)


def _held(found: Working, worn: Sequence[Loss], limit: float) -> Working:
    """Cut a date, and its bounds, where a check shows that the limit was or was not yet reached."""
    not_before = max((one.days for one in worn if one.share < limit), default=0.0)
    not_after = min((one.days for one in worn if one.share >= limit), default=OPEN_END)
    if not_before > not_after or found.interval is None:
        return found
    value, low, high = (
        min(max(days, not_before), not_after)
        for days in (found.value, found.interval.low, found.interval.high)
    )
    return replace(found, value=value, interval=replace(found.interval, low=low, high=high))


def _checked(checks: Sequence[tuple[float, float] | Loss]) -> list[Loss]:
    """Return the checks that show wear: a look that found none yet says nothing of the rate."""
    told = [one if isinstance(one, Loss) else Loss(*one) for one in checks]
    seen = [
        one._replace(
            days=above("days", one.days, 0.0, OPEN_END, "d"),
            share=within("share", one.share, -0.1, 1.0),
        )
        for one in told
    ]
    return seen if any(one.share > 0 for one in seen) else []


def half_loss_from_one_check(days: float, share: float, *, limit: float = HALF) -> Working:
    """Return the immersed days until ``limit`` is gone, from a single check.

    No interval can be had from one figure: the band is a factor of 1.5 either way, cut where the
    check itself shows that the limit was not yet, or already, reached.
    Raises Refusal ``nothing_worn`` or ``out_of_range``.  Source: our own rule.
    """
    span = above("days", days, 0.0, OPEN_END, "d")
    used = within("share", share, -0.1, 1.0)
    goal = within("limit", limit, 0.05, 1.0)
    if used <= 0:
        raise Refusal("nothing_worn")
    value = min(goal * span / used, OPEN_END)
    low, high = value / THUMB_FACTOR, min(value * THUMB_FACTOR, OPEN_END)
    low, high = (max(low, span), high) if used < goal else (low, min(high, span))
    return Working(
        name="half_loss_one_check",
        value=value,
        unit="d",
        formula="t = g·d/c",
        inputs=(Input("g", goal), Input("d", span, "d"), Input("c", used)),
        source=_THUMB,
        cautions=("rule_of_thumb",),
        interval=Interval(min(low, value), max(high, value)),
    )


def half_loss_from_checks(
    checks: Sequence[tuple[float, float]],
    *,
    limit: float = HALF,
    level: float = _LEVEL,
    least_error: float = RATE_ERROR / 2.0,
) -> Working:
    """Return the immersed days until ``limit`` is gone, from several checks of one piece.

    A line through the origin: r = Σtc/Σt²; limits of the date by Fieller's form.  s_r is never
    taken below ``least_error`` of r, by our own rule, since checks that happen to lie on one line
    are no surer than scales and eyes.  Where the later bound is left open it stands at 36525 days
    with a caution.
    Raises Refusal ``too_few_checks`` (under two), ``nothing_worn`` or ``out_of_range``.
    """
    seen = [
        Loss(above("days", days, 0.0, OPEN_END, "d"), within("share", share, -0.1, 1.0))
        for days, share in checks
    ]
    goal = within("limit", limit, 0.05, 1.0)
    if len(seen) < 2:
        raise Refusal("too_few_checks", found=len(seen), needed=2)
    rate, scatter = _line(seen)
    if rate <= 0:
        raise Refusal("nothing_worn")
    error = max(scatter, rate * within("least_error", least_error, 0.0, 1.0))
    t = t_factor(level, len(seen) - 1)
    slow = rate - t * error
    late = goal / slow if slow > 0 else OPEN_END
    return Working(
        name="half_loss_checks",
        value=min(goal / rate, OPEN_END),
        unit="d",
        formula="t = g/r, r = Σ(t·c)/Σt²; g/(r ± t_{n−1}·s_r)",
        inputs=(
            Input("g", goal),
            Input("r", _A_YEAR * rate, "percent/year"),
            Input("s_r", _A_YEAR * error, "percent/year"),
            Input("n", len(seen)),
            Input("t_{n−1}", t),
        ),
        source=_LINE,
        cautions=("wear_taken_as_even",) if slow > 0 else ("wear_taken_as_even", "late_end_open"),
        interval=Interval(
            min(goal / (rate + t * error), OPEN_END), min(late, OPEN_END), "confidence", level
        ),
    )


def _line(seen: Sequence[Loss]) -> tuple[float, float]:
    """Return the slope of a line through the origin and its standard error."""
    squares = math.fsum(one.days**2 for one in seen)
    rate = math.fsum(one.days * one.share for one in seen) / squares
    rest = math.fsum((one.share - rate * one.days) ** 2 for one in seen) / (len(seen) - 1)
    return rate, math.sqrt(rest / squares)


def half_loss_from_earlier(
    earlier: Sequence[float], *, limit: float = HALF, level: float = _LEVEL
) -> Working:
    """Return the immersed days until ``limit`` is gone, from earlier pieces in the same place.

    ``earlier`` are their rates as share per immersed day.  By logarithms, with prediction limits
    exp(m ± t_{k-1}·s·√(1 + 1/k)); one piece alone gets the band of our rule of thumb.
    Raises Refusal ``nothing_worn`` or ``out_of_range``.
    """
    past = [above("rate", one, 0.0, 1.0, "1") for one in earlier]
    goal = within("limit", limit, 0.05, 1.0)
    if not past:
        raise Refusal("nothing_worn")
    if len(past) == 1:
        return _from_one_piece(past[0], goal)
    mean, spread = _logarithms(past)
    reach = t_factor(level, len(past) - 1) * spread * math.sqrt(1.0 + 1.0 / len(past))
    return Working(
        name="half_loss_earlier",
        value=min(goal / math.exp(mean), OPEN_END),
        unit="d",
        formula="t = g/exp(m); g/exp(m ± t_{k−1}·s·√(1 + 1/k))",
        inputs=_past_inputs(goal, mean, spread, len(past)),
        source=_PAST,
        cautions=("from_earlier_pieces",),
        interval=_days_between(goal, mean, reach, level),
    )


def _from_one_piece(rate: float, goal: float) -> Working:
    """Return the band of our rule of thumb; another piece's wear says nothing of how far this is.

    So neither end is cut where a check of the present piece would cut it.
    """
    value = min(goal / rate, OPEN_END)
    return Working(
        name="half_loss_earlier",
        value=value,
        unit="d",
        formula="t = g/r",
        inputs=(Input("g", goal), Input("r", _A_YEAR * rate, "percent/year")),
        source=_THUMB,
        cautions=("rule_of_thumb", "from_earlier_pieces"),
        interval=Interval(value / THUMB_FACTOR, min(value * THUMB_FACTOR, OPEN_END)),
    )


def _logarithms(rates: Sequence[float]) -> tuple[float, float]:
    logs = [math.log(one) for one in rates]
    return statistics.fmean(logs), statistics.stdev(logs)


def _past_inputs(goal: float, mean: float, spread: float, pieces: int) -> tuple[Input, ...]:
    return (Input("g", goal), Input("m", mean), Input("s", spread), Input("k", pieces))


def _days_between(goal: float, mean: float, reach: float, level: float) -> Interval:
    """Return the days for a logarithm of a rate give or take ``reach``, never without an end."""
    ends = [min(goal * math.exp(min(reach * sign - mean, 50.0)), OPEN_END) for sign in (-1.0, 1.0)]
    return Interval(ends[0], ends[1], "prediction", level)


def _combined(worn: Sequence[Loss], past: Sequence[float], limit: float, level: float) -> Working:
    """Weigh what the present piece shows against what earlier ones did, by precision."""
    goal = within("limit", limit, 0.05, 1.0)
    mine, before = _present(worn), _before(past)
    weights = 1.0 / mine.variance, 1.0 / before.variance
    mean = (mine.mean * weights[0] + before.mean * weights[1]) / sum(weights)
    sigma = math.sqrt(1.0 / sum(weights))
    reach = statistics.NormalDist().inv_cdf((1.0 + level) / 2.0) * sigma
    return Working(
        name="half_loss_combined",
        value=min(goal / math.exp(mean), OPEN_END),
        unit="d",
        formula="t = g/exp(m), m = (m₁/v₁ + m₂/v₂)/(1/v₁ + 1/v₂)",
        inputs=(
            Input("g", goal),
            Input("m₁", mine.mean),
            Input("v₁", mine.variance),
            Input("m₂", before.mean),
            Input("v₂", before.variance),
        ),
        source=_BOTH,
        cautions=("from_earlier_pieces", "wear_taken_as_even"),
        interval=_days_between(goal, mean, reach, level),
    )


FEW_PIECES = 2
"""Earlier pieces needed before the pace of all is reckoned with."""


def _paced(last: Loss, rates: Sequence[Rate], limit: float, level: float) -> Working:
    """Return what all pieces together foretell of the present one."""
    goal = within("limit", limit, 0.05, 1.0)
    seen = [
        Seen(one.days, one.rate * one.days, one.error * one.rate * one.days, one.by_eye, one.begun)
        for one in rates
    ]
    found = foretold([*seen, Seen(*last)], goal, level)
    return Working(
        name="half_loss_paced",
        value=min(found.days, OPEN_END),
        unit="d",
        formula="P(c(t) ≥ g) = ½, c(t) = (r + u)·t for t ≤ d; (r + u)·d + (r + u′)·(t − d) after",
        inputs=(
            Input("g", goal),
            Input("d", last.days, "d"),
            Input("c", last.share),
            Input("r", _A_YEAR * found.rate, "percent/year"),
            Input("s", found.scatter),
            Input("k", len(rates) + 1),
        ),
        source=_PACE,
        cautions=("from_earlier_pieces", "wear_taken_as_even"),
        interval=Interval(found.low, min(found.high, OPEN_END), "prediction", level),
    )


def _thumb_variance() -> float:
    """Return the variance of a logarithm for which our factor holds four times in five."""
    return (math.log(THUMB_FACTOR) / statistics.NormalDist().inv_cdf(0.9)) ** 2


def _present(worn: Sequence[Loss]) -> _LogRate:
    rate, error = _line(worn) if len(worn) > 1 else (worn[0].share / worn[0].days, 0.0)
    if rate <= 0:
        raise Refusal("nothing_worn")
    if len(worn) == 1:
        return _LogRate(math.log(rate), _thumb_variance())
    return _LogRate(math.log(rate), max((error / rate) ** 2, (RATE_ERROR / 2.0) ** 2))


def _before(past: Sequence[float]) -> _LogRate:
    if len(past) == 1:
        return _LogRate(math.log(past[0]), _thumb_variance())
    mean, spread = _logarithms(past)
    return _LogRate(mean, max(spread, RATE_ERROR) ** 2 * (1.0 + 1.0 / len(past)))


def unusual(rate: float, earlier: Sequence[float], error: float = RATE_ERROR) -> Working:
    """Return z, how far a rate of wear lies from the boat's own earlier ones.

    ``rate`` and ``earlier`` in one unit per immersed day, each above 0; ``error`` is the relative
    standard error of the new rate.  |z| above ``UNUSUAL_Z`` is called unusual, by our own rule.
    Raises Refusal ``too_few_earlier`` (under two), ``no_spread`` or ``out_of_range``.
    """
    new = above("rate", rate, 0.0, 1e9)
    past = [above("rate", one, 0.0, 1e9) for one in earlier]
    relative = within("error", error, 0.0, 1.0)
    if len(past) < 2:
        raise Refusal("too_few_earlier", found=len(past), needed=2)
    mean, spread = _logarithms(past)
    sigma = math.sqrt(spread**2 * (1.0 + 1.0 / len(past)) + relative**2)
    if sigma < 1e-9:
        raise Refusal("no_spread")
    return Working(
        name="unusual_wear",
        value=(math.log(new) - mean) / sigma,
        unit="1",
        formula="z = (ln r − m)/√(s²·(1 + 1/k) + d²)",
        inputs=(
            Input("r", new),
            Input("m", mean),
            Input("s", spread),
            Input("k", len(past)),
            Input("d", relative),
        ),
        source=_OWN_PAST,
    )


def yearly_share(
    gone: float, days: float, low: float | None = None, high: float | None = None
) -> Working:
    """Return the share that wears in a year immersed, in % a year.

    ``gone`` is the share used over ``days`` immersed days, ``low`` and ``high`` its bounds where
    the looks leave it open.  What seems to have grown counts as it stands, below nought.
    Raises Refusal ``out_of_range``.  Source: common practice, by immersed day.
    """
    used = within("share", gone, -1.0, 1.0)
    span = above("days", days, 0.0, OPEN_END, "d")
    scale = 36525.0 / span
    bounds = None
    if low is not None and high is not None and low < high:
        bounds = Interval(low * scale, high * scale, "readings")
    return Working(
        name="yearly_share",
        value=used * scale,
        unit="percent/year",
        formula="r = 100·Δc·365.25/t",
        inputs=(Input("Δc", used), Input("t", span, "d")),
        source=_BY_DAY,
        interval=bounds,
    )


def against_past(rate: float, earlier: Sequence[float], *, mirror: bool = False) -> Working:
    """Return how many times the median of the earlier rates a rate of wear is.

    ``mirror`` says that they are of the other side in the same time, not of the past.
    ``rate`` and ``earlier`` in % a year immersed, each above 0.
    Raises Refusal ``too_few_earlier`` (none) or ``out_of_range``.  Source: our own rule.
    """
    new = above("rate", rate, 0.0, 1e9)
    past = [above("rate", one, 0.0, 1e9) for one in earlier]
    if not past:
        raise Refusal("too_few_earlier", found=0, needed=1)
    usual = statistics.median(past)
    return Working(
        name="mirror_ratio" if mirror else "wear_ratio",
        value=new / usual,
        unit="1",
        formula="q = r/r̃",
        inputs=(
            Input("r", new, "percent/year"),
            Input("r̃", usual, "percent/year"),
            Input("r_n", tuple(past), "percent/year"),
            Input("k", len(past)),
        ),
        source=_MIRROR if mirror else _MEDIAN,
    )
