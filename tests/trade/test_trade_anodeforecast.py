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


def boats(world, how):
    """Give (forecast, true days) for each invented boat that had half to come."""
    random = np.random.default_rng(7)
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
                earlier.append(Rate(share / life / YEAR, min(error / share, 1.0), by_eye))
            begun += life
        life = random.uniform(0.5, 1.1)
        share, error, by_eye = looked_at(at(begun + life) - at(begun), how, random)
        true = np.interp(at(begun) + 0.5, used, np.arange(used.size)) / WEEKS - begun
        if true > life and share > 0:
            check = Loss(life * YEAR, min(share, 1.0), error, by_eye)
            yield anodes.half_loss([check], earlier), true * YEAR


def measured(world, how):
    """Return coverage, median width, and the width that 80 of 100 errors of the middle fill."""
    told = list(boats(world, how))
    inside = np.mean([f.interval.low <= true <= f.interval.high for f, true in told])
    width = np.median([f.interval.high - f.interval.low for f, _ in told])
    errors = [f.value - true for f, true in told]
    return float(inside), float(width), float(np.subtract(*np.quantile(errors, (0.9, 0.1))))


@pytest.mark.parametrize("world", WORLDS)
@pytest.mark.parametrize("how", SEEN)
def test_about_eighty_of_a_hundred_half_losses_fall_inside(world, how):
    inside, width, filled = measured(world, how)
    assert 0.72 <= inside <= 0.90
    assert width <= (1.65 if how == "by eye" else 1.5) * filled


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
