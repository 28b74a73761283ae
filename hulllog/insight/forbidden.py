"""What stands against a paint: copper on or near aluminium, and biocides that a rule forbids."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from hulllog.insight.overcoating import copper_here
from hulllog.trade.biocides import known_bans
from hulllog.trade.coatclasses import ANTIFOULINGS

if TYPE_CHECKING:
    from datetime import date

    from hulllog.records.book import Book
    from hulllog.records.model import Product
    from hulllog.trade.biocides import Ban
    from hulllog.trade.compatibility import CopperNear

NAMES: Mapping[str, tuple[str, ...]] = {
    "organotin": ("organotin", "tributyl", "triphenyltin", "tbt"),
    "cybutryne": ("cybutryne", "28159-98-0"),
    "cuprous_oxide": (
        "cuprous oxide", "cuprous_oxide", "copper(i) oxide", "copper (i) oxide", "copper i oxide",
        "copper oxide", "dicopper oxide", "cu2o", "1317-39-1",
    ),
    "cuprous_thiocyanate": ("thiocyanate", "cuscn", "1111-67-7"),
    "copper_pyrithione": (
        "copper pyrithione", "copper_pyrithione", "pyrithione of copper", "14915-37-8",
    ),
    "metallic_copper": (
        "metallic copper", "metallic_copper", "copper powder", "copper metal", "copper flake",
        "7440-50-8",
    ),
}  # fmt: skip
"""Biocide -> how it is written on sheets and tins, the forms of copper that weigh most first."""
_COPPERS = ("metallic_copper", "cuprous_oxide", "cuprous_thiocyanate", "copper_pyrithione")


@dataclass(frozen=True, slots=True)
class Against:
    """What stands against a paint here; ``copper`` is None where no aluminium is near.

    ``bans`` are those of the AFS Convention that forbid to apply it.
    """

    copper: CopperNear | None
    bans: tuple[Ban, ...]

    @property
    def never(self) -> bool:
        """Whether the plan does not propose it."""
        return bool(self.bans) or bool(self.copper and self.copper.verdict == "never_planned")


def against(book: Book, product: Product, on: date) -> Against:
    """Return what stands against a paint on her, as known on a date."""
    held = held_in(product)
    told = copper_here(book, copper_of(product, held))
    near = told.verdict in ("never_planned", "only_over_barrier") or any(
        reason.code == "copper_form_not_known" for reason in told.reasons
    )
    bans = [
        fact
        for biocide in held
        for fact in known_bans(biocide, "imo", on).facts
        if fact.fact == "not_to_be_applied"
    ]
    return Against(told if near else None, tuple(bans))


def held_in(product: Product) -> tuple[str, ...]:
    """Return the biocides that can be told from what was typed and from the class."""
    typed = [one.casefold() for one in product.biocides]
    found = [
        code for code, names in NAMES.items() if any(name in one for name in names for one in typed)
    ]
    if product.coating_class == "tin_copolymer":
        found.append("organotin")
    if product.coating_class == "copper_epoxy":
        found.append("metallic_copper")
    return tuple(dict.fromkeys(found))


def copper_of(product: Product, held: tuple[str, ...]) -> str:
    """Return the form of copper in a paint that weighs most, as a code of COPPER_FORMS.

    Where nothing was typed it is not known; a silicone needs none.
    """
    form = next((one for one in _COPPERS if one in held), None)
    if form is not None:
        return form
    if any("copper" in one.casefold() for one in product.biocides):
        return "unknown"
    typed = bool(product.biocides) or product.coating_class == "silicone"
    return "none" if typed or product.coating_class not in ANTIFOULINGS else "unknown"
