"""How figures of a kind are ordered and shaded on the drawing: five steps, pale to dark.

The steps say *more* or *less*, never good or bad enough; their bounds are our own rule and stand in
the legend beside every drawing.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from hulllog.records.operations.choices import DRY_ZONES
from hulllog.trade import kinds, units

if TYPE_CHECKING:
    from hulllog.records.values import Measured

STEPS = 5

BOUNDS: dict[str, tuple[str, tuple[float, float, float, float]]] = {
    "laminate-blisters": ("largest_mm", (3.0, 10.0, 25.0, 50.0)),
    "rust-spots": ("area_cm2", (10.0, 50.0, 200.0, 1000.0)),
    "crack": ("length_mm", (20.0, 50.0, 150.0, 500.0)),
    "damage": ("length_mm", (20.0, 50.0, 150.0, 500.0)),
    "dull-sound": ("length_mm", (50.0, 150.0, 500.0, 1500.0)),
}
"""Kind -> the component that shades it, and the upper bounds of the first four steps."""

FOULING = frozenset({"level-of-fouling", "navy-fr", "imo-fouling-2023", "antifouling-cover"})
"""Kinds that tell of the paint's season, not of the hull: washed off each time, mended by none."""

NOTHING = {
    "laminate-blisters": "count",
    "rust-spots": "count",
    "crack": "length_mm",
    "damage": "length_mm",
    "dull-sound": "length_mm",
}
"""Kind -> the component whose nought means that there is none."""


def step(kind_id: str, figures: Mapping[str, float | str]) -> int | None:
    """Return 0…4, or None when the figures say that there is none."""
    if is_none(kind_id, figures):
        return None
    if kind_id in BOUNDS:
        component, bounds = BOUNDS[kind_id]
        value = figures.get(component)
        if not isinstance(value, float):
            return 0
        return sum(value > bound for bound in bounds)
    return _graded_step(kind_id, figures)


def _graded_step(kind_id: str, figures: Mapping[str, float | str]) -> int | None:
    kind = kinds.kind(kind_id)
    if kind is None:
        return 0
    for component in kind.components:
        code = figures.get(component.code)
        place = component.position(code) if isinstance(code, str) else None
        if place is not None:
            if code == component.nothing or place == 0:
                return None
            return round((place - 1) / max(len(component.grades) - 2, 1) * (STEPS - 1))
    return 0


def is_none(kind_id: str, figures: Mapping[str, float | str]) -> bool:
    """Tell whether the figures say that there is none: a count or length of nought."""
    counted = NOTHING.get(kind_id)
    return counted is not None and figures.get(counted) == 0


def nothing(kind_id: str) -> dict[str, float | str]:
    """Return what "looked for and nothing found" means in figures of a kind."""
    kind = kinds.kind(kind_id)
    if kind is None:
        return {}
    return {part.code: part.nothing for part in kind.components if part.nothing is not None}


def worse_number(kind_id: str, component: str, one: float, other: float) -> float:
    """Return the worse of two readings of a component."""
    kind = kinds.kind(kind_id)
    part = kind.component(component) if kind else None
    return min(one, other) if part and part.worsens == "falling" else max(one, other)


def worse(kind_id: str, component: str, one: str, other: str) -> str:
    """Return the worse of two grades of a component."""
    order = grades(kind_id, component)
    if one not in order or other not in order:
        return other
    return max(one, other, key=order.index)


def grades(kind_id: str, component: str) -> tuple[str, ...]:
    """Return the grades of a component, best first; empty for a number."""
    kind = kinds.kind(kind_id)
    if kind is None:
        return ()
    return next((c.grades for c in kind.components if c.code == component), ())


def in_component_unit(kind_id: str, component: str, value: Measured) -> float:
    """Return a reading in the unit of its component; as typed for a kind we do not know."""
    kind = kinds.kind(kind_id)
    unit = next((c.unit for c in kind.components if c.code == component), None) if kind else None
    return units.from_si(value.si, unit or value.unit)


def below_water(zone_code: str) -> bool:
    """Tell whether a zone belongs to the bottom that antifouling covers."""
    return not zone_code.startswith(DRY_ZONES)


def sample_grades(kind_id: str) -> list[tuple[int, str, str]]:
    """Return (step, component, grade): the first grade that each step of a graded kind holds."""
    kind = kinds.kind(kind_id)
    if kind is None:
        return []
    for part in kind.components:
        if part.sort == "grade" and part.ordered and len(part.grades) > 1:
            found: dict[int, str] = {}
            for code in part.grades:
                place = step(kind_id, {part.code: code})
                if place is not None:
                    found.setdefault(place, code)
            return [(n, part.code, found[n]) for n in sorted(found)]
    return []
