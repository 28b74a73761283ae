"""Film readings held against two standards and one rule for ships' tanks.

What comes out is whether each criterion of that standard is met, never advice: a limit that counts
for this boat is set by the owner or the paint's data sheet.  Gauges that these standards mean read
on metal only.
"""

from __future__ import annotations

import math
import statistics
from dataclasses import dataclass
from types import MappingProxyType
from typing import TYPE_CHECKING, Literal

from hulllog.trade.ranges import above, within
from hulllog.trade.refusal import Refusal
from hulllog.trade.working import Input, Interval, Source, Working

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

PA2 = Source("published", "SSPC-PA 2:2012")
PA2_LEVELS = Source("from memory", "SSPC-PA 2:2012, restriction levels")
ISO_19840 = Source("published", "ISO 19840:2005")
ISO_19840_PLAN = Source("from memory", "ISO 19840, sampling plan and profile correction")
IMO_PSPC = Source("published", "IMO MSC.215(82), 90/10 rule")

_LEAST_SHARE, _MOST_THIN, _MOST_BELOW = 0.8, 0.2, 0.1
"""Of nominal, that each reading reaches; of the readings, that lie below nominal at most."""

AreaUnit = Literal["m2", "ft2"]


@dataclass(frozen=True, slots=True)
class Criterion:
    """One criterion of a standard: its code, what was found, the limits, and whether it is met."""

    code: str
    found: float
    low: float | None
    high: float | None
    met: bool
    unit: str = "um"


@dataclass(frozen=True, slots=True)
class FilmResult:
    """What a standard's criteria say of a set of readings."""

    name: str
    criteria: tuple[Criterion, ...]
    inputs: tuple[Input, ...]
    source: Source
    cautions: tuple[str, ...] = ("gauge_needs_metal",)

    @property
    def all_met(self) -> bool:
        """Whether every criterion of this standard is met."""
        return all(one.met for one in self.criteria)


@dataclass(frozen=True, slots=True)
class PaTwoLevel:
    """A restriction level: factors on the specified least and most; None means unlimited."""

    spot_low: float
    spot_high: float | None
    area_high: float | None
    source: Source


PA2_RESTRICTIONS: Mapping[int, PaTwoLevel] = MappingProxyType(
    {
        1: PaTwoLevel(1.0, 1.0, 1.0, PA2_LEVELS),
        2: PaTwoLevel(1.0, 1.2, 1.0, PA2_LEVELS),
        3: PaTwoLevel(0.8, 1.2, 1.0, PA2),
        4: PaTwoLevel(0.8, 1.5, 1.0, PA2_LEVELS),
        5: PaTwoLevel(0.8, None, None, PA2_LEVELS),
    }
)
"""Restriction levels; 3 is the usual one."""


def pa2_areas(surface: float, unit: AreaUnit = "m2") -> Working:
    """Return how many areas of 10 m² (100 ft²) SSPC-PA 2 wants measured.

    ``surface`` above 0, in ``unit``; the metric and the US figures of the standard are not exact
    equivalents and each is used by itself.  Raises Refusal ``out_of_range``.
    Source: SSPC-PA 2.
    """
    one = 10.0 if unit == "m2" else 100.0
    whole = above("area", surface, 0.0, 100000.0 * one, unit)
    if whole <= 3 * one:
        count = math.ceil(whole / one)
    else:
        count = 3 + max(0, math.ceil((whole - 10 * one) / (10 * one)))
    return Working(
        name="pa2_areas",
        value=float(count),
        unit="1",
        formula="n = ceil(A/a) (A ≤ 3a); 3 (A ≤ 10a); 3 + ceil((A − 10a)/(10a))",
        inputs=(Input("A", whole, unit), Input("a", one, unit)),
        source=PA2,
    )


def pa2_limits(least: float, most: float, level: int = 3, unit: str = "um") -> Working:
    """Return the spot limits of SSPC-PA 2 for a specified range, as the interval of the middle.

    ``least`` and ``most`` in ``unit``, from 1 µm or 0.1 mil; ``level`` 1 to 4 (5 has no upper
    limit).  Raises Refusal ``out_of_range``, ``range_upside_down`` or ``level_unlimited``.
    """
    low, high = _specified(least, most, unit)
    rule = _level(level)
    if rule.spot_high is None:
        raise Refusal("level_unlimited", level=level)
    ends = low * rule.spot_low, high * rule.spot_high
    return Working(
        name="pa2_limits",
        value=sum(ends) / 2.0,
        unit=unit,
        formula="f₁·DFT_min … f₂·DFT_max",
        inputs=(
            Input("DFT_min", low, unit),
            Input("DFT_max", high, unit),
            Input("f₁", rule.spot_low),
            Input("f₂", rule.spot_high),
        ),
        source=rule.source,
        interval=Interval(*ends, "limits"),
    )


def _specified(least: float, most: float, unit: str = "um") -> tuple[float, float]:
    low = above("film", least, 0.0, 20000.0, unit)
    high = above("film", most, 0.0, 20000.0, unit)
    if low > high:
        raise Refusal("range_upside_down", low=low, high=high, unit=unit)
    return low, high


def _level(level: int) -> PaTwoLevel:
    if level not in PA2_RESTRICTIONS:
        raise Refusal("level_unknown", level=level)
    return PA2_RESTRICTIONS[level]


def sspc_pa2(
    areas: Sequence[Sequence[float]], least: float, most: float, level: int = 3
) -> FilmResult:
    """Hold spot means against SSPC-PA 2: each spot, and the mean of each area.

    ``areas`` holds for each area of about 10 m² the means of its spots in µm (five spots of three
    gage readings each); single gage readings have no limit.  ``least`` and ``most`` are the
    specified films in µm, ``level`` 1 to 5.
    Raises Refusal ``out_of_range``, ``range_upside_down``, ``level_unknown`` or ``no_readings``.
    Source: SSPC-PA 2; levels other than 3 from memory.
    """
    low, high = _specified(least, most)
    rule = _level(level)
    spots = [_films(area) for area in areas]
    if not spots:
        raise Refusal("no_readings")
    means = [statistics.fmean(area) for area in spots]
    every = [spot for area in spots for spot in area]
    few = any(len(area) < 5 for area in spots)
    return FilmResult(
        "sspc_pa2",
        (
            _at_least("pa2_spot_low", min(every), low * rule.spot_low),
            _at_most("pa2_spot_high", max(every), _times(high, rule.spot_high)),
            _at_least("pa2_area_low", min(means), low),
            _at_most("pa2_area_high", max(means), _times(high, rule.area_high)),
        ),
        (Input("DFT_min", low, "um"), Input("DFT_max", high, "um"), Input("n", float(len(every)))),
        rule.source,
        ("gauge_needs_metal", "fewer_spots_than_asked") if few else ("gauge_needs_metal",),
    )


def _films(readings: Sequence[float]) -> list[float]:
    if not readings:
        raise Refusal("no_readings")
    return [within("film", one, 0.0, 20000.0, "um") for one in readings]


def _times(value: float, factor: float | None) -> float | None:
    return None if factor is None else value * factor


def _at_least(code: str, found: float, low: float) -> Criterion:
    return Criterion(code, found, low, None, round(found - low, 9) >= 0)


def _at_most(code: str, found: float, high: float | None) -> Criterion:
    return Criterion(code, found, None, high, high is None or round(found - high, 9) <= 0)


PROFILE_CORRECTIONS: Mapping[str, float] = MappingProxyType(
    {"none": 0.0, "fine": 10.0, "medium": 25.0, "unknown": 25.0, "coarse": 40.0}
)
"""µm taken off a reading on blasted steel, by profile grade.  ISO 19840, from memory."""


def iso_19840(
    readings: Sequence[float],
    nominal: float,
    most: float | None = None,
    profile: str = "none",
) -> FilmResult:
    """Hold single readings against the four criteria of ISO 19840.

    The mean is at least nominal; each reading at least 80 % of it; fewer than 20 % of the readings
    lie between 80 and 100 %; none is above ``most`` (three times nominal where none is agreed).
    ``readings``, ``nominal`` and ``most`` in µm, readings before the correction for ``profile``.
    Raises Refusal ``out_of_range``, ``no_readings``, ``range_upside_down`` or ``profile_unknown``.
    Source: ISO 19840:2005; the correction from memory.
    """
    target = above("film", nominal, 0.0, 20000.0, "um")
    top = 3.0 * target if most is None else above("film", most, 0.0, 20000.0, "um")
    if top < target:
        raise Refusal("range_upside_down", low=target, high=top, unit="um")
    if profile not in PROFILE_CORRECTIONS:
        raise Refusal("profile_unknown", profile=profile)
    off = PROFILE_CORRECTIONS[profile]
    films = [one - off for one in _films(readings)]
    low = _LEAST_SHARE * target
    thin = sum(low <= one < target for one in films) / len(films)
    return FilmResult(
        "iso_19840",
        (
            _at_least("iso19840_mean", statistics.fmean(films), target),
            _at_least("iso19840_each", min(films), low),
            Criterion(
                "iso19840_thin_share", thin, None, _MOST_THIN, round(thin - _MOST_THIN, 12) < 0, "1"
            ),
            _at_most("iso19840_most", max(films), top),
        ),
        (
            Input("NDFT", target, "um"),
            Input("DFT_max", top, "um", "three_times_nominal" if most is None else ""),
            Input("Δ", off, "um"),
            Input("n", float(len(films))),
        ),
        ISO_19840,
    )


def iso_19840_readings(area: float) -> Working:
    """Return how many readings the sampling plan of ISO 19840 wants for an inspection area.

    ``area`` in m², above 0.  Raises Refusal ``out_of_range``.
    Source: ISO 19840, from memory, not checked against the text.
    """
    surface = above("area", area, 0.0, 100000.0, "m2")
    steps = ((1.0, 5), (3.0, 10), (10.0, 15), (30.0, 20), (100.0, 30))
    count = next((n for top, n in steps if surface <= top), 0)
    return Working(
        name="iso_19840_readings",
        value=float(count or 30 + 10 * math.ceil((surface - 100.0) / 100.0)),
        unit="1",
        formula="n(A)",
        inputs=(Input("A", surface, "m2"),),
        source=ISO_19840_PLAN,
    )


def imo_pspc(readings: Sequence[float], nominal: float) -> FilmResult:
    """Hold readings against the 90/10 rule for ships' ballast tanks.

    At most 10 % of the readings lie below nominal and none below 90 % of it; films in µm.
    Raises Refusal ``out_of_range`` or ``no_readings``.  Source: IMO MSC.215(82).
    """
    target = above("film", nominal, 0.0, 20000.0, "um")
    films = _films(readings)
    below = sum(one < target for one in films) / len(films)
    return FilmResult(
        "imo_pspc",
        (
            Criterion(
                "pspc_share_below",
                below,
                None,
                _MOST_BELOW,
                round(below - _MOST_BELOW, 12) <= 0,
                "1",
            ),
            _at_least("pspc_each", min(films), 0.9 * target),
        ),
        (Input("NDFT", target, "um"), Input("n", float(len(films)))),
        IMO_PSPC,
        ("gauge_needs_metal", "rule_for_ships_tanks"),
    )
