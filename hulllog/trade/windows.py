"""From when to when a coat may be painted over or launched, by temperature.

Rows of the product's data sheet lead.  Between two rows the logarithm of the time is linear in the
temperature; below the coldest row nothing is said, above the hottest its value is kept.  Values of
a class never give a verdict.
"""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal, NamedTuple

from hulllog.trade.ranges import above, within
from hulllog.trade.refusal import Refusal
from hulllog.trade.working import Input, Interval, Source, Working

if TYPE_CHECKING:
    from collections.abc import Sequence

Basis = Literal["sheet", "class"]
Position = Literal["too_early", "inside", "too_late"]

LONGEST = 5 * 8760.0
"""Hours: no data sheet states a longer time."""

_BETWEEN_ROWS = Source("our own rule", "ln(time) linear in temperature between data sheet rows")
_HALVING = Source("common practice", "double the time 10 °C colder, half of it 10 °C warmer")
_ARRHENIUS = Source("published", "Arrhenius' law")
GAS_CONSTANT = 8.314462618
"""J/(mol·K).  Source: CODATA 2018."""
ACTIVATION = 50_000.0
"""J/mol of a common paint cure.  From memory."""


class WindowRow(NamedTuple):
    """A row of a data sheet: °C, and the shortest and longest time in hours where stated."""

    celsius: float
    shortest: float | None = None
    longest: float | None = None


@dataclass(frozen=True, slots=True)
class Window:
    """From when to when; ``longest`` is None where the sheet states none."""

    shortest: Working | None
    longest: Working | None
    basis: Basis = "sheet"

    @property
    def closed(self) -> bool:
        """Whether the longest time is over before the shortest is reached."""
        if self.shortest is None or self.longest is None:
            return False
        return self.longest.value < self.shortest.value


def _rows(rows: Sequence[tuple[float, float]]) -> list[tuple[float, float]]:
    """Return the rows in order of temperature, each temperature once."""
    found = sorted(
        (within("celsius", t, -20.0, 80.0, "degC"), above("hours", hours, 0.0, LONGEST, "h"))
        for t, hours in rows
    )
    if not found:
        raise Refusal("no_rows")
    if len({t for t, _ in found}) < len(found):
        raise Refusal("row_twice")
    return found


def _interpolated(rows: list[tuple[float, float]], celsius: float) -> tuple[float, str]:
    """Return the time at a temperature and what to be careful about; Refusal below the rows."""
    (coldest, _), (hottest, last) = rows[0], rows[-1]
    if celsius < coldest:
        raise Refusal("colder_than_sheet", value=celsius, limit=coldest, unit="degC")
    if celsius > hottest:
        return last, "above_hottest_row"
    for (low, first), (high, second) in itertools.pairwise(rows):
        if low <= celsius < high:
            return first * (second / first) ** ((celsius - low) / (high - low)), ""
    return last, ""


def _worked(name: str, rows: Sequence[tuple[float, float]], celsius: float) -> Working:
    t = within("celsius", celsius, -20.0, 80.0, "degC")
    ordered = _rows(rows)
    hours, care = _interpolated(ordered, t)
    uneven = any(second > first for (_, first), (_, second) in itertools.pairwise(ordered))
    return Working(
        name=name,
        value=hours,
        unit="h",
        formula="ln τ = ln τ₁ + (t − t₁)/(t₂ − t₁)·ln(τ₂/τ₁)",
        inputs=(
            Input("t", t, "degC"),
            *(
                one
                for number, (at, time) in enumerate(ordered, 1)
                for one in (Input(f"t_{number}", at, "degC"), Input(f"τ_{number}", time, "h"))
            ),
        ),
        source=_BETWEEN_ROWS,
        cautions=tuple(
            code for code, said in ((care, bool(care)), ("longer_when_warmer", uneven)) if said
        ),
    )


def shortest_time(rows: Sequence[tuple[float, float]], coldest: float) -> Working:
    """Return the hours to wait at least, at the coldest surface temperature of the time.

    ``rows`` are (°C, hours) of the data sheet.  Raises Refusal ``colder_than_sheet``, ``no_rows``,
    ``row_twice`` or ``out_of_range``.  Source: our own rule between the rows.
    """
    return _worked("shortest_time", rows, coldest)


def longest_time(rows: Sequence[tuple[float, float]], hottest: float) -> Working:
    """Return the hours to wait at most, at the hottest surface temperature of the time.

    ``rows`` are (°C, hours) of the data sheet.  Raises as ``shortest_time``.
    Source: our own rule between the rows; the hottest temperature by UFGS 09971.
    """
    return _worked("longest_time", rows, hottest)


def window(rows: Sequence[WindowRow], coldest: float, hottest: float) -> Window:
    """Return from when to when, for a time with a coldest and a hottest surface temperature.

    Temperatures in °C.  A side that no row states is None.
    Raises Refusal ``colder_than_sheet``, ``no_rows``, ``row_twice``, ``range_upside_down`` or
    ``out_of_range``.  Source: our own rule between the rows.
    """
    if coldest > hottest:
        raise Refusal("range_upside_down", low=coldest, high=hottest, unit="degC")
    least = [(row.celsius, row.shortest) for row in rows if row.shortest is not None]
    most = [(row.celsius, row.longest) for row in rows if row.longest is not None]
    if not least and not most:
        raise Refusal("no_rows")
    return Window(
        shortest_time(least, coldest) if least else None,
        longest_time(most, hottest) if most else None,
    )


def position(waited: float, times: Window) -> Position:
    """Tell where a wait in hours lies in a window of a data sheet.

    Raises Refusal ``class_gives_no_verdict``, ``window_closed`` or ``out_of_range``.
    """
    hours = within("hours", waited, 0.0, LONGEST, "h")
    if times.basis == "class":
        raise Refusal("class_gives_no_verdict")
    if times.closed:
        raise Refusal("window_closed")
    if times.shortest is not None and hours < times.shortest.value:
        return "too_early"
    if times.longest is not None and hours > times.longest.value:
        return "too_late"
    return "inside"


Step = Literal["overcoat_self", "overcoat_primer", "overcoat_epoxy", "launch"]
_COLUMNS = (5.0, 15.0, 23.0, 35.0)
_CLASS_MEMORY = Source("from memory", "usual times of the class")

CLASS_TIMES: dict[tuple[str, str], tuple[tuple[float, float], ...]] = {
    ("overcoat_self", "antifouling"): ((16, 24), (8, 12), (5, 6), (3, 4)),
    ("overcoat_by", "epoxy_primer"): ((10, 18), (7, 12), (4, 7), (2, 4)),
    ("overcoat_self", "epoxy_primer"): ((24, 24), (12, 12), (6, 6), (3, 4)),
    ("launch", "ablative_antifouling"): ((24, 36), (16, 24), (12, 16), (8, 10)),
    ("launch", "self_polishing_antifouling"): ((24, 36), (16, 24), (12, 16), (8, 10)),
    ("launch", "hard_antifouling"): ((24, 24), (16, 16), (12, 12), (8, 8)),
    ("launch", "soft_antifouling"): ((8, 24), (8, 12), (6, 8), (4, 4)),
    ("launch", "silicone"): ((48, 48), (24, 24), (12, 24), (8, 12)),
    ("launch", "copper_epoxy"): ((120, 240), (96, 120), (48, 72), (24, 48)),
}
"""Shortest times in hours at 5, 15, 23 and 35 °C: low and high end of the class.  From memory."""


def class_time(step: str, coating: str, celsius: float) -> Working:
    """Return the usual shortest time of a class in hours, with the spread of the class.

    ``celsius`` from 5 to 35.  It pre-fills and explains; it never gives a verdict.
    Raises Refusal ``class_unknown``, ``colder_than_sheet`` or ``out_of_range``.
    Source: from memory.
    """
    spans = CLASS_TIMES.get((step, coating))
    if spans is None:
        raise Refusal("class_unknown", coating=coating)
    t = within("celsius", celsius, 5.0, 35.0, "degC")
    low, _ = _interpolated(list(zip(_COLUMNS, (one[0] for one in spans), strict=True)), t)
    high, _ = _interpolated(list(zip(_COLUMNS, (one[1] for one in spans), strict=True)), t)
    return Working(
        name="class_time",
        value=math.sqrt(low * high),
        unit="h",
        formula="τ = √(τ_low·τ_high)",
        inputs=(
            Input("t", t, "degC"),
            Input("τ_low", low, "h", "typical_not_this_product"),
            Input("τ_high", high, "h", "typical_not_this_product"),
        ),
        source=_CLASS_MEMORY,
        cautions=("class_value", "no_verdict_from_class"),
        interval=Interval(low, high),
    )


def class_window(step: str, coating: str, coldest: float) -> Window:
    """Return the usual window of a class; ``position`` refuses a verdict from it.

    Raises as ``class_time``.  Source: from memory.
    """
    return Window(class_time(step, coating, coldest), None, "class")


def halved(hours: float, stated_at: float, celsius: float) -> Working:
    """Return a time at another temperature by the rule of halves, to understand a sheet by.

    Temperatures from 5 to 40 °C.  Never a verdict.  Raises Refusal ``out_of_range``.
    Source: common practice.
    """
    time = above("hours", hours, 0.0, LONGEST, "h")
    old = within("celsius", stated_at, 5.0, 40.0, "degC")
    new = within("celsius", celsius, 5.0, 40.0, "degC")
    return Working(
        name="halved_time",
        value=time * 2.0 ** ((old - new) / 10.0),
        unit="h",
        formula="τ = τ₀·2^((t₀ − t)/10)",
        inputs=(Input("τ₀", time, "h"), Input("t₀", old, "degC"), Input("t", new, "degC")),
        source=_HALVING,
        cautions=("no_verdict_from_rule",),
    )


def arrhenius(
    hours: float, stated_at: float, celsius: float, activation: float = ACTIVATION
) -> Working:
    """Return a time at another temperature by Arrhenius' law, to understand a sheet by.

    Temperatures from 5 to 40 °C, ``activation`` 20 000 to 120 000 J/mol.  Never a verdict.
    Raises Refusal ``out_of_range``.  Source: Arrhenius' law; the usual energy from memory.
    """
    time = above("hours", hours, 0.0, LONGEST, "h")
    old = within("celsius", stated_at, 5.0, 40.0, "degC")
    new = within("celsius", celsius, 5.0, 40.0, "degC")
    energy = within("activation", activation, 20_000.0, 120_000.0, "J/mol")
    exponent = energy / GAS_CONSTANT * (1.0 / (new + 273.15) - 1.0 / (old + 273.15))
    return Working(
        name="arrhenius_time",
        value=time * math.exp(exponent),
        unit="h",
        formula="τ = τ₀·exp[(E/R)·(1/T − 1/T₀)]",
        inputs=(
            Input("τ₀", time, "h"),
            Input("T₀", old, "degC"),
            Input("T", new, "degC"),
            Input("E", energy, "J/mol"),
        ),
        source=_ARRHENIUS,
        cautions=("no_verdict_from_rule",),
    )


@dataclass(frozen=True, slots=True)
class Guidance:
    """What a guide says for a case, step by step, quoted: codes that ``words`` says."""

    case: str
    steps: tuple[str, ...]
    source: Source


_NAVFAC = Source("published", "NAVFAC MO-124, mooring maintenance")
_STORAGE = Source("common practice", "a paint maker's page on storage and launching")
_EPOXY_DAYS = 7.0
_TACKY_HOURS = (4.0, 6.0)


def epoxy_over_epoxy(hours: float) -> Guidance:
    """Return what a navy manual says of epoxy over epoxy after so many hours.

    ``hours`` from 0 to 43800.  The data sheet of the product leads.  Raises Refusal
    ``out_of_range``.  Source: NAVFAC MO-124, for moorings.
    """
    waited = within("hours", hours, 0.0, LONGEST, "h")
    if waited > 24.0 * _EPOXY_DAYS:
        steps = ("wash_with_detergent", "rinse_and_dry", "tack_coat_25_to_50_um", "full_coat")
        return Guidance("epoxy_hardened", steps, _NAVFAC)
    return Guidance("epoxy_still_open", ("full_coat",), _NAVFAC)


def antifouling_over_epoxy(hours: float) -> Guidance:
    """Return what a navy manual says of antifouling over epoxy after so many hours.

    ``hours`` from 0 to 43800.  The data sheets of both products lead.  Raises Refusal
    ``out_of_range``.  Source: NAVFAC MO-124, for moorings.
    """
    waited = within("hours", hours, 0.0, LONGEST, "h")
    early, late = _TACKY_HOURS
    if waited < early:
        return Guidance("epoxy_too_fresh", ("wait_till_tacky",), _NAVFAC)
    if waited <= late:
        return Guidance("epoxy_tacky", ("two_coats_of_antifouling",), _NAVFAC)
    steps = ("tack_coat_25_to_50_um", "wait_4_hours", "two_coats_of_antifouling")
    return Guidance("epoxy_hardened", steps, _NAVFAC)


def hard_antifouling_ashore(days_in_water: float, hours_ashore: float) -> Guidance:
    """Return what a maker's page says of relaunching a hard antifouling that has dried.

    ``days_in_water`` since it was painted, 0 where it was never launched; ``hours_ashore`` since
    lifted, or since painted.  The data sheet of the product leads.
    Raises Refusal ``out_of_range``.  Source: common practice.
    """
    wet = within("days", days_in_water, 0.0, 36525.0, "d")
    dry = within("hours", hours_ashore, 0.0, 36525.0 * 24.0, "h")
    if wet == 0:
        year = dry <= 366.0 * 24.0
        steps = ("scuff_with_220_grit",) if year else ("sand_with_80_to_100_grit", "recoat")
        return Guidance("never_launched" if year else "never_launched_in_a_year", steps, _STORAGE)
    if wet < 1.0:
        return Guidance("wet_for_hours", ("rinse",), _STORAGE)
    if wet > 30.0:
        return Guidance("wet_for_months", ("sand_with_80_to_100_grit", "recoat"), _STORAGE)
    if dry <= 72.0:
        return Guidance("wet_for_weeks", ("relaunch_as_it_is",), _STORAGE)
    return Guidance("wet_for_weeks_then_dry", ("scuff_with_220_grit",), _STORAGE)
