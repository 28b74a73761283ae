"""The registry of what can be rated or measured.

A kind is known by its id, which carries scale and edition.  A kind is never removed and its codes
never change; an id that is not here comes from a newer version and is kept as text.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from hulllog.trade.kindparts import (
    Component,
    Condition,
    Kind,
    Repeatability,
    Sort,
    Subject,
    Worsens,
)
from hulllog.trade.ownkinds import OWN_KINDS
from hulllog.trade.refusal import Refusal
from hulllog.trade.standardkinds import STANDARD_KINDS

__all__ = [
    "KINDS",
    "Component",
    "Condition",
    "Kind",
    "Repeatability",
    "Sort",
    "Subject",
    "Worsens",
    "component",
    "kind",
    "kinds_for",
    "nothing",
    "objections",
    "require",
]

KINDS: Mapping[str, Kind] = MappingProxyType(
    {entry.id: entry for entry in (*OWN_KINDS, *STANDARD_KINDS)}
)
"""Kind id -> kind: our own plain kinds first, then the published scales."""


def kind(kind_id: str) -> Kind | None:
    """Return a kind by its id, or None for one from a newer version."""
    return KINDS.get(kind_id)


def require(kind_id: str) -> Kind:
    """Return a kind by its id; Refusal ``kind_unknown`` for one that is not here."""
    found = KINDS.get(kind_id)
    if found is None:
        raise Refusal("kind_unknown", kind=kind_id)
    return found


def component(kind_id: str, code: str) -> Component | None:
    """Return a component of a kind, or None where either is not known."""
    found = KINDS.get(kind_id)
    return found.component(code) if found else None


def kinds_for(material: str, subject: Subject | None = None) -> tuple[Kind, ...]:
    """Return the kinds that apply to a material, our own first; ``unknown`` gives all."""
    return tuple(
        entry
        for entry in KINDS.values()
        if entry.applies_to(material) and (subject is None or subject in entry.subjects)
    )


def nothing(kind_id: str) -> dict[str, str | float]:
    """Return component -> figure for "looked for and none found"; what stays open is left out."""
    found = KINDS.get(kind_id)
    if found is None:
        return {}
    return {part.code: part.nothing for part in found.components if part.nothing is not None}


def objections(kind_id: str, figures: Mapping[str, str | float]) -> tuple[tuple[str, str], ...]:
    """Return (component, reason) for each figure of a set that the kind does not allow.

    Numbers are in the unit of their component.  Reasons: ``component_unknown``,
    ``component_missing``, ``figure_not_allowed``, and ``not_beside`` for a letter or size that the
    scale gives no meaning beside the grade.
    """
    wanted = require(kind_id)
    found = [(code, "component_unknown") for code in figures if wanted.component(code) is None]
    for part in wanted.components:
        if part.code not in figures:
            if not part.optional:
                found.append((part.code, "component_missing"))
        elif not part.allows(figures[part.code]):
            found.append((part.code, "figure_not_allowed"))
    return (*found, *_not_beside(wanted, figures))


def _not_beside(wanted: Kind, figures: Mapping[str, str | float]) -> list[tuple[str, str]]:
    """Find what has no meaning beside the grade, and a D714 size without its frequency."""
    if wanted.id == "astm-d610-2008" and figures.get("grade") in ("10", "0"):
        return [("distribution", "not_beside")] if "distribution" in figures else []
    if wanted.id == "astm-d714-2002" and "size" in figures:
        if (figures["size"] == "10") == ("frequency" in figures):
            reason = "not_beside" if "frequency" in figures else "component_missing"
            return [("frequency", reason)]
        return []
    quantity = next((figures[c] for c in ("quantity", "rust") if c in figures), None)
    if not wanted.id.startswith("iso-4628-") or quantity is None:
        return []
    found = []
    if "size" in figures and (quantity == "0") != (figures["size"] == "S0"):
        found.append(("size", "not_beside"))
    if "depth" in figures and quantity == "0":
        found.append(("depth", "not_beside"))
    return found
