"""Sentences about figures of a kind: zone labels, changes, trends, why a series breaks.

The rooms above hand in codes and values; the kinds themselves are not known here, so that a code
from a newer version is shown as it stands.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from decimal import Decimal

from hulllog.words import formats
from hulllog.words.catalogue import knows, say, say_code

Figure = float | str
_UNITS = {
    "mm": "mm",
    "cm2": "cm2",
    "m2": "m2",
    "um": "um",
    "mv": "mV",
    "v": "V",
    "percent": "percent",
    "cover": "percent",
    "film": "um",
    "gap": "mm",
    "thickness": "mm",
    "deepest": "mm",
    "mean": "mm",
    "density": "1/m2",
    "potential": "mV",
    "play": "mm",
    "diameter": "mm",
    "strength": "MPa",
    "torque": "N.m",
    "breakdown": "percent",
    "scale": "percent",
    "edges": "percent",
}
"""Last word of a component's code -> unit in which its figures are told."""


def kind_name(kind: str) -> str:
    """Return what a kind is called."""
    return say_code("kind", kind)


def component_name(kind: str, component: str) -> str:
    """Return what a component of a kind is called, for example "largest blister"."""
    for code in (f"component.{kind}.{component}", f"component.{component}"):
        if knows(code):
            return say(code)
    return component.replace("_", " ")


def figure(kind: str, component: str, value: Figure, unit: str | None = None) -> str:
    """Return one figure with its unit, or a grade by its short name."""
    if isinstance(value, str):
        return grade(kind, component, value)
    unit = unit or _UNITS.get(component.rsplit("_", 1)[-1], "1")
    whole = math.isclose(value, round(value), abs_tol=1e-9)  # 28 % is kept as 28.000000000000004
    return formats.number(value, unit, 0 if whole else None)


def grade(kind: str, component: str, code: str) -> str:
    """Return the short name of a grade: what stands in the zone."""
    for prefix in (f"grade.{kind}.{component}", f"grade.{kind}", component):
        if knows(f"{prefix}.{code}"):
            return say(f"{prefix}.{code}")
    return code


def short(kind: str, figures: Mapping[str, Figure]) -> str:
    """Return the figures of a set in the few characters that fit into a zone."""
    told = f"short.{kind}"
    if knows(told) and "count" in figures:
        values = {name: _shown(kind, name, value) for name, value in figures.items()}
        largest = next((n for n in ("largest_mm", "area_cm2") if n in figures), None)
        if largest is None:
            return say(f"{told}.count", **values)
        return say(told, **values)
    parts = [grade(kind, name, v) for name, v in figures.items() if isinstance(v, str)]
    numbers = [figure(kind, name, v) for name, v in figures.items() if not isinstance(v, str)]
    return ", ".join([*parts, *numbers])


def in_full(kind: str, figures: Mapping[str, Figure]) -> str:
    """Return all figures of a set with their names."""
    return "; ".join(
        say("telling.pair", name=component_name(kind, name), value=figure(kind, name, value))
        for name, value in figures.items()
    )


def _shown(kind: str, name: str, value: Figure) -> str:
    if isinstance(value, str):
        return figure(kind, name, value)
    # As recorded: no noughts are added that nobody measured.
    return formats.figure(value, 0) if value == round(value) else formats.figure(_as_is(value))


def _as_is(value: float) -> Decimal:
    return Decimal(f"{value:.4g}")


def conditions(values: Mapping[str, object]) -> str:
    """Return the conditions of a set, for example "seen wet"."""
    said = [
        say(f"condition.{name}.{value}")
        if knows(f"condition.{name}.{value}")
        else say("telling.pair", name=say_code("condition", name), value=formats.anything(value))
        for name, value in values.items()
    ]
    return ", ".join(said)


def reasons(codes: Sequence[str]) -> str:
    """Return why two looks cannot be compared."""
    return formats.joined([say_code("break", code) for code in codes])
