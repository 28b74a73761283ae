"""Say a computed figure with everything it came from."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING, Protocol

from hulllog.words.catalogue import say
from hulllog.words.figures import (
    between,
    figure,
    number,
    quantity,
    share,
    with_interval,
    with_unit,
)
from hulllog.words.formats import anything

if TYPE_CHECKING:
    from collections.abc import Sequence


class InputLike(Protocol):
    """One figure that went into a sum."""

    @property
    def symbol(self) -> str: ...
    @property
    def value(self) -> object: ...
    @property
    def unit(self) -> str: ...
    @property
    def note(self) -> str: ...


class SourceLike(Protocol):
    """Where a formula or figure comes from."""

    @property
    def tag(self) -> str: ...
    @property
    def title(self) -> str: ...


class IntervalLike(Protocol):
    """Lower and upper bound of a figure, and what kind of bound they are."""

    @property
    def low(self) -> float: ...
    @property
    def high(self) -> float: ...
    @property
    def kind(self) -> str: ...
    @property
    def level(self) -> float | None: ...


class WorkingLike(Protocol):
    """A computed figure with formula, inputs, source, cautions and interval."""

    @property
    def name(self) -> str: ...
    @property
    def value(self) -> float: ...
    @property
    def unit(self) -> str: ...
    @property
    def formula(self) -> str: ...
    @property
    def inputs(self) -> Sequence[InputLike]: ...
    @property
    def source(self) -> SourceLike: ...
    @property
    def cautions(self) -> Sequence[str]: ...
    @property
    def interval(self) -> IntervalLike | None: ...


@dataclass(frozen=True, slots=True, kw_only=True)
class SaidWorking:
    """A working in words: what a page or a print shows of it, line by line.

    ``figure`` is the value with its unit and its interval in brackets.  ``interval`` says what
    kind of interval it is and is empty where there is none.
    """

    title: str
    figure: str
    formula: str
    inputs: tuple[str, ...]
    source: str
    cautions: tuple[str, ...]
    interval: str

    @property
    def lines(self) -> tuple[str, ...]:
        """All of it below the title, in reading order."""
        told = (self.formula, *self.inputs, self.interval, self.source, *self.cautions)
        return tuple(line for line in told if line)


def said(working: WorkingLike, *, show: str | None = None) -> SaidWorking:
    """Say a working; ``show`` is the unit in which such figures are read, as in ``quantity``.

    Raises UnknownCode where its name, a note or a caution has no sentence.
    """
    return SaidWorking(
        title=say(f"working.{working.name}"),
        figure=figure_of(working, show=show),
        formula=say("working_line.formula", formula=working.formula),
        inputs=tuple(_input(one) for one in working.inputs),
        source=source_sentence(working.source),
        cautions=tuple(say(f"caution.{code}") for code in working.cautions),
        interval=_interval(working, show),
    )


def bracket_sentence(working: WorkingLike) -> str:
    """Say what kind of interval stands in the brackets behind a figure; empty for none."""
    interval = working.interval
    if interval is None:
        return ""
    if interval.level is None:
        return say(f"bracket.{interval.kind}")
    return say(f"bracket.{interval.kind}_at", level=share(interval.level))


def figure_of(working: WorkingLike, *, show: str | None = None) -> str:
    """Write only the figure of a working, with its interval in brackets."""
    interval = working.interval
    if interval is None:
        return quantity(working.value, working.unit, show=show)
    return with_interval(working.value, interval.low, interval.high, working.unit, show=show)


def source_sentence(source: SourceLike) -> str:
    """Say how sure a source is and which document it is."""
    tag = source.tag.replace(" ", "_")
    if source.title:
        return say(f"source.{tag}_titled", title=source.title)
    return say(f"source.{tag}")


_LOW = re.compile(r"_(?:\{([^}]*)\}|([^\W_]+))")


def lowered(line: str) -> tuple[tuple[str, bool], ...]:
    """Split a line of a working at what is set low: (text, whether it is) in reading order.

    ``t_{n−1}`` sets "n−1" low, and so does ``m_i`` its last letter.
    """
    parts, at = [], 0
    for found in _LOW.finditer(line):
        parts += [(line[at : found.start()], False), (found[1] or found[2], True)]
        at = found.end()
    return tuple(part for part in (*parts, (line[at:], False)) if part[0])


def plain(line: str) -> str:
    """Return a line of a working without the marks of what is set low."""
    return "".join(text for text, _ in lowered(line))


def _value(one: InputLike) -> str:
    value = one.value
    if isinstance(value, int | float):
        return number(value, one.unit, 0 if isinstance(value, int) else None)
    if isinstance(value, tuple):
        return with_unit("; ".join(_series(value)), one.unit)
    return anything(value)


def _series(values: tuple[float, ...]) -> list[str]:
    """Write figures with the same decimals, unless some of them would then look like nought."""
    if all(float(each).is_integer() for each in values):
        return [figure(each, 0) for each in values]
    small = any(0 < abs(each) < 0.5 * 10**-_SERIES for each in values)
    return [figure(each, None if small else _SERIES) for each in values]


_SERIES = 2
"""Decimals of the figures of a series."""


def _input(one: InputLike) -> str:
    value = _value(one)
    if not one.note:
        return say("working_line.input", symbol=one.symbol, value=value)
    return say(
        "working_line.input_noted", symbol=one.symbol, value=value, note=say(f"input.{one.note}")
    )


def _interval(working: WorkingLike, show: str | None) -> str:
    interval = working.interval
    if interval is None:
        return ""
    bounds = between(interval.low, interval.high, working.unit, show=show)
    if interval.level is None:
        return say(f"interval.{interval.kind}", bounds=bounds)
    return say(f"interval.{interval.kind}_at", bounds=bounds, level=share(interval.level))
