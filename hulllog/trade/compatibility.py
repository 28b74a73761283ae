"""A new antifouling over an old one, and copper near aluminium: with reasons.

Published guides contradict one another; the matrix is a careful merge of them.  The data sheets of
both products lead, and the plan never proposes what a rule forbids; what was really done is
recorded all the same.
"""

from __future__ import annotations

from dataclasses import dataclass
from types import MappingProxyType
from typing import TYPE_CHECKING, Literal

from hulllog.trade.refusal import Refusal
from hulllog.trade.working import Source

if TYPE_CHECKING:
    from collections.abc import Mapping

Treatment = Literal["direct", "abrade", "tie_coat", "remove", "by_the_sheet"]
"""direct: washed and lightly wet-sanded.  abrade: well, 80 to 120 grit.  tie_coat: washed, sanded,
sealed first.  remove: down to primer or gelcoat.  by_the_sheet: within the primer's own window."""
TREATMENTS: tuple[Treatment, ...] = ("direct", "abrade", "tie_coat", "remove", "by_the_sheet")

SOFT, ABLATIVE, POLISHING = "soft_antifouling", "ablative_antifouling", "self_polishing_antifouling"
HARD, VINYL, THIN = "hard_antifouling", "vinyl_antifouling", "thin_film_antifouling"
SILICONE, COPPER_EPOXY = "silicone", "copper_epoxy"
UNKNOWN, TIN = "unknown", "tin_copolymer"

NEW_COATINGS = (SOFT, ABLATIVE, POLISHING, HARD, VINYL, THIN, SILICONE, COPPER_EPOXY)
OLD_COATINGS = (*NEW_COATINGS, UNKNOWN, TIN)
PRIMERS = frozenset(
    {
        "epoxy_primer", "one_pack_primer", "tie_coat", "epoxy_tie_coat", "epoxy_barrier",
        "epoxy_barrier_high_build", "solvent_free_epoxy",
    }
)  # fmt: skip
"""Coatings that an antifouling goes over within their own window."""

_LETTERS: Mapping[str, Treatment] = MappingProxyType(
    {"D": "direct", "S": "abrade", "T": "tie_coat", "R": "remove"}
)
_ROWS: Mapping[str, str] = MappingProxyType(
    {
        SOFT: "D T T R R R R R",
        ABLATIVE: "D D D T R R R R",
        POLISHING: "D D D T R R R R",
        HARD: "S S S S T R R R",
        VINYL: "T T T T S R R R",
        THIN: "T T T T R D R R",
        SILICONE: "R R R R R R D R",
        COPPER_EPOXY: "S S S S T R R S",
        UNKNOWN: "T T T T R R R R",
        TIN: "T T T T R R R R",
    }
)
MATRIX: Mapping[tuple[str, str], Treatment] = MappingProxyType(
    {
        (old, new): _LETTERS[letter]
        for old, row in _ROWS.items()
        for new, letter in zip(NEW_COATINGS, row.split(), strict=True)
    }
)
"""(old, new) -> what is to be done first."""

_GUIDES = Source("common practice", "paint makers' and surveyors' guides, merged with care")
_UNTOLD = Source("common practice", "surveyors' guides on an unknown old antifouling")
_TWO_PACK = Source("common practice", "yacht coating guides: no two-pack over a one-pack film")
_MEMORY = Source("from memory")
_OWNERS = Source("common practice", "class owners on thin-film antifouling")


@dataclass(frozen=True, slots=True)
class Reason:
    """Why: a code that ``words`` says, and where it comes from."""

    code: str
    source: Source


@dataclass(frozen=True, slots=True)
class Compatibility:
    """What is to be done before the new coat, why, and which facts are missing to be sure."""

    old: str
    new: str
    treatment: Treatment
    reasons: tuple[Reason, ...]
    missing: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ("data_sheets_lead",)


def compatible(old: str, new: str, sound: bool | None = None) -> Compatibility:
    """Return what a new antifouling needs over what is on the hull.

    ``old`` is a code of ``OLD_COATINGS`` or ``PRIMERS`` ("other" counts as unknown), ``new`` one of
    ``NEW_COATINGS``; ``sound`` tells whether the old film passed a tape or knife test, None where
    it was not tried.  An unknown old film is to be isolated, and the missing fact is named.
    Raises Refusal ``new_coating_unknown`` or ``old_coating_unlisted``.
    """
    if new not in NEW_COATINGS:
        raise Refusal("new_coating_unknown", coating=new)
    before = UNKNOWN if old == "other" else old
    if before not in OLD_COATINGS and before not in PRIMERS:
        raise Refusal("old_coating_unlisted", coating=old)
    missing = _missing(before, sound)
    if sound is False:
        reason = Reason("old_film_not_sound", _GUIDES)
        return Compatibility(before, new, "remove", (reason,), missing)
    if before in PRIMERS:
        reason = Reason("primer_by_its_window", _GUIDES)
        return Compatibility(before, new, "by_the_sheet", (reason,), missing)
    treatment = MATRIX[before, new]
    return Compatibility(
        before, new, treatment, _reasons(before, new, treatment), missing, _cautions(before, new)
    )


def _missing(old: str, sound: bool | None) -> tuple[str, ...]:
    found = ["old_coating_class"] if old == UNKNOWN else []
    found += ["old_film_tested"] if sound is None else []
    return tuple([*found, "hours_since_primer"] if old in PRIMERS else found)


def _reasons(old: str, new: str, treatment: Treatment) -> tuple[Reason, ...]:
    """Return the reasons that fit a cell, the weightier first; never none."""
    tried = (
        (old == UNKNOWN, Reason("old_film_unknown_isolate", _UNTOLD)),
        (old == TIN, Reason("tin_remove_or_seal", _GUIDES)),
        (old == SILICONE != new, Reason("nothing_bonds_to_silicone", _MEMORY)),
        (new == SILICONE != old, Reason("silicone_over_its_own_system", _GUIDES)),
        (new == COPPER_EPOXY != old, Reason("two_pack_over_one_pack", _TWO_PACK)),
        (new == THIN != old, Reason("thin_film_over_nothing_else", _OWNERS)),
        (new == VINYL != old, Reason("solvents_lift_old_film", _MEMORY)),
        (new == HARD and old in (SOFT, ABLATIVE, POLISHING), Reason("hard_over_eroding", _MEMORY)),
        (old == SOFT and treatment != "direct", Reason("soft_film_bears_nothing", _GUIDES)),
        (old in (HARD, COPPER_EPOXY) and treatment == "abrade", Reason("key_by_sanding", _GUIDES)),
        (old in (VINYL, THIN) and treatment == "tie_coat", Reason("seal_old_film", _GUIDES)),
        (old == new, Reason("same_class", _GUIDES)),
        (treatment == "direct" and old != new, Reason("eroding_over_eroding", _GUIDES)),
    )
    return tuple(reason for fits, reason in tried if fits)


def _cautions(old: str, new: str) -> tuple[str, ...]:
    strict = POLISHING in (old, new) and old != new
    dust = old in (TIN, UNKNOWN)
    extra = [("makers_may_differ", strict), ("old_film_may_hold_tin", dust)]
    return ("data_sheets_lead", "no_dry_sanding", *(code for code, fits in extra if fits))


CopperVerdict = Literal["never_planned", "only_over_barrier", "no_objection", "not_known"]
COPPER_FORMS = (
    "none", "cuprous_oxide", "metallic_copper", "cuprous_thiocyanate", "copper_pyrithione",
    "unknown",
)  # fmt: skip
_DRIVES_OF_ALUMINIUM = frozenset({"saildrive", "outdrive", "outboard"})
DRIVES = ("shaft", "saildrive", "outdrive", "outboard", "jet", "none", "unknown")

_CLASS_RULE = Source("published", "Rules for high speed and light craft, Section 3, 303")
_STUDY = Source("published", "Bagley et al., Ocean Engineering 109 (2015) 595-602")


@dataclass(frozen=True, slots=True)
class CopperNear:
    """What is said of a copper paint on or near aluminium: verdict, reasons, missing facts."""

    verdict: CopperVerdict
    reasons: tuple[Reason, ...]
    missing: tuple[str, ...] = ()


def copper_near_aluminium(
    copper: str, hull: str, drive: str = "unknown", barrier_intact: bool | None = None
) -> CopperNear:
    """Return what is said of a paint's copper on an aluminium hull or beside an aluminium drive.

    ``copper`` is one of ``COPPER_FORMS``, ``hull`` a material code, ``drive`` one of ``DRIVES``.
    "never_planned" means that the plan does not propose it; sources disagree, and the other view is
    among the reasons.  Raises Refusal ``copper_form_unknown`` or ``drive_unknown``.
    """
    if copper not in COPPER_FORMS:
        raise Refusal("copper_form_unknown", copper=copper)
    if drive not in DRIVES:
        raise Refusal("drive_unknown", drive=drive)
    missing = _copper_missing(copper, hull, drive)
    if copper == "none":
        return CopperNear("no_objection", (Reason("no_copper", _CLASS_RULE),))
    beside = hull == "aluminium" or drive in _DRIVES_OF_ALUMINIUM
    if not beside:
        if "unknown" in (hull, drive):
            return CopperNear("not_known", (Reason("aluminium_not_ruled_out", _MEMORY),), missing)
        return CopperNear("no_objection", (Reason("no_aluminium_near", _MEMORY),))
    if copper == "unknown":
        return CopperNear("not_known", (Reason("copper_form_not_known", _CLASS_RULE),), missing)
    if copper in ("cuprous_oxide", "metallic_copper"):
        return CopperNear("never_planned", _copper_reasons(copper, hull))
    asked = () if barrier_intact is not None else ("barrier_intact",)
    if barrier_intact is False:
        return CopperNear("never_planned", (Reason("barrier_not_intact", _MEMORY),))
    reason = Reason("mild_copper_over_intact_barrier", _MEMORY)
    return CopperNear("only_over_barrier", (reason,), asked)


def _copper_missing(copper: str, hull: str, drive: str) -> tuple[str, ...]:
    found = ["copper_form"] if copper == "unknown" else []
    found += ["hull_material"] if hull == "unknown" else []
    return tuple([*found, "drive"] if drive == "unknown" and hull != "aluminium" else found)


def _copper_reasons(copper: str, hull: str) -> tuple[Reason, ...]:
    first = "copper_on_aluminium_hull" if hull == "aluminium" else "copper_beside_aluminium_drive"
    study = "study_saw_no_harm_from_oxide"
    told = (Reason(first, _CLASS_RULE),)
    return (*told, Reason(study, _STUDY)) if copper == "cuprous_oxide" else told
