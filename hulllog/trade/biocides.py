"""What is known of forbidden biocides: as known on a date, for a territory.

A list like this is never whole.  Where it holds nothing, nothing is known: that is not leave.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from types import MappingProxyType
from typing import TYPE_CHECKING, Literal

from hulllog.trade.refusal import Refusal
from hulllog.trade.working import Input, Source, Working

if TYPE_CHECKING:
    from collections.abc import Mapping

KNOWN_ON = date(2026, 11, 1)
"""The date on which this list was last gone through."""

Fact = Literal[
    "not_to_be_applied", "not_to_be_exposed", "not_to_be_sold", "renew_or_seal", "leach_rate_cap"
]
TERRITORIES = ("imo", "eu", "california")
"""imo: states that are party to the AFS Convention."""


@dataclass(frozen=True, slots=True)
class Biocide:
    """An active substance: code and CAS number."""

    code: str
    cas: str


BIOCIDES: Mapping[str, Biocide] = MappingProxyType(
    {
        one.code: one
        for one in (
            Biocide("cuprous_oxide", "1317-39-1"),
            Biocide("cuprous_thiocyanate", "1111-67-7"),
            Biocide("metallic_copper", "7440-50-8"),
            Biocide("copper_pyrithione", "14915-37-8"),
            Biocide("zinc_pyrithione", "13463-41-7"),
            Biocide("organotin", ""),
            Biocide("cybutryne", "28159-98-0"),
            Biocide("diuron", "330-54-1"),
            Biocide("dcoit", "64359-81-5"),
            Biocide("zineb", "12122-67-7"),
            Biocide("tralopyril", "122454-29-9"),
            Biocide("medetomidine", "86347-14-0"),
        )
    }
)
"""Active substances by code; the numbers are those of the Chemical Abstracts Service."""


@dataclass(frozen=True, slots=True)
class Ban:
    """One fact: a biocide in a territory, and from when."""

    biocide: str
    territory: str
    fact: Fact
    since: date
    source: Source
    small_craft: bool = True
    """Whether the text names small craft or reaches them without an exemption."""


_AFS = Source("published", "IMO AFS Convention 2001, Annex 1")
_CYBUTRYNE = Source("published", "IMO MEPC.331(76)")
_EU_1989 = Source("published", "Directive 89/677/EEC")
_EU_2003 = Source("published", "Regulation (EC) No 782/2003")
_EU_CYBUTRYNE = Source("from memory", "Implementing Decision (EU) 2016/107")
_CALIFORNIA = Source("published", "California Department of Pesticide Regulation")

BANS: tuple[Ban, ...] = (
    Ban("organotin", "eu", "not_to_be_applied", date(1989, 12, 21), _EU_1989),
    Ban("organotin", "eu", "not_to_be_applied", date(2003, 7, 1), _EU_2003),
    Ban("organotin", "eu", "not_to_be_exposed", date(2008, 1, 1), _EU_2003),
    Ban("organotin", "imo", "not_to_be_applied", date(2008, 9, 17), _AFS),
    Ban("organotin", "imo", "not_to_be_exposed", date(2008, 9, 17), _AFS),
    Ban("cybutryne", "eu", "not_to_be_sold", date(2017, 1, 27), _EU_CYBUTRYNE),
    Ban("cybutryne", "imo", "not_to_be_applied", date(2023, 1, 1), _CYBUTRYNE),
    Ban("cybutryne", "imo", "renew_or_seal", date(2023, 1, 1), _CYBUTRYNE, small_craft=False),
    Ban("cuprous_oxide", "california", "leach_rate_cap", date(2018, 7, 1), _CALIFORNIA),
)
"""The facts of this list, oldest first for each biocide and territory."""


@dataclass(frozen=True, slots=True)
class Known:
    """What this list holds of a biocide in a territory on a date.

    ``nothing_known`` is never leave; ``coming`` are facts that begin after the date.
    """

    biocide: str
    territory: str
    on: date
    known_on: date
    facts: tuple[Ban, ...]
    coming: tuple[Ban, ...]

    @property
    def nothing_known(self) -> bool:
        """Whether the list holds nothing here."""
        return not self.facts and not self.coming


def known_bans(biocide: str, territory: str, on: date) -> Known:
    """Return what is known of a biocide in a territory on a date, as known on ``KNOWN_ON``.

    Raises Refusal ``biocide_unknown`` or ``territory_unknown``.
    """
    if biocide not in BIOCIDES:
        raise Refusal("biocide_unknown", biocide=biocide)
    if territory not in TERRITORIES:
        raise Refusal("territory_unknown", territory=territory)
    found = [one for one in BANS if (one.biocide, one.territory) == (biocide, territory)]
    return Known(
        biocide,
        territory,
        on,
        KNOWN_ON,
        tuple(one for one in found if one.since <= on),
        tuple(one for one in found if one.since > on),
    )


LEACH_RATE_CAPS: Mapping[tuple[str, str], tuple[float, Source]] = MappingProxyType(
    {("cuprous_oxide", "california"): (9.5, _CALIFORNIA)}
)
"""µg/(cm²·d) by ISO 10890 that a recreational antifouling may let go at most."""


def leach_rate_cap(biocide: str, territory: str) -> Working:
    """Return the most that an antifouling may let go, in µg/(cm²·d), as known on ``KNOWN_ON``.

    Raises Refusal ``no_cap_known``, which is no leave.  Source: the rule that the figure names.
    """
    found = LEACH_RATE_CAPS.get((biocide, territory))
    if found is None:
        raise Refusal("no_cap_known", biocide=biocide, territory=territory)
    return Working(
        name="leach_rate_cap",
        value=found[0],
        unit="ug/(cm2.d)",
        formula="R",
        source=found[1],
        cautions=("known_on_a_date",),
    )


_COPPER, _OXYGEN, _THIOCYANATE, _PYRITHIONE = 63.546, 15.999, 58.082, 126.155
"""g/mol; the pyrithione ion is C₅H₄NOS."""
COPPER_SHARES: Mapping[str, float] = MappingProxyType(
    {
        "cuprous_oxide": 2 * _COPPER / (2 * _COPPER + _OXYGEN),
        "cuprous_thiocyanate": _COPPER / (_COPPER + _THIOCYANATE),
        "metallic_copper": 1.0,
        "copper_pyrithione": _COPPER / (_COPPER + 2 * _PYRITHIONE),
    }
)
"""Mass share of copper in a biocide."""


def copper_share(biocide: str) -> Working:
    """Return the mass share of copper in a biocide, a plain number.

    Technical cuprous oxide is often taken as 0.86.  Raises Refusal ``no_copper_in_it``.
    Source: atomic weights.
    """
    if biocide not in COPPER_SHARES:
        raise Refusal("no_copper_in_it", biocide=biocide)
    return Working(
        name="copper_share",
        value=COPPER_SHARES[biocide],
        unit="1",
        formula="a = n·M(Cu)/M",
        inputs=(Input("M(Cu)", _COPPER, "g/mol"),),
        source=Source("published", "IUPAC standard atomic weights"),
    )


_MONTHS_AT_MOST = 60


def cybutryne_due(last_applied: date, next_renewal: date | None = None) -> date:
    """Return by when an outer coat with cybutryne is to be removed or sealed under MEPC.331(76).

    At the next renewal from 1 January 2023 on, at latest 60 months after it was last applied.
    Boats not on international voyages are exempt from removal.  Source: IMO MEPC.331(76).
    """
    latest = _months_later(last_applied, _MONTHS_AT_MOST)
    begin = date(2023, 1, 1)
    if next_renewal is None or next_renewal < begin:
        return latest
    return min(latest, next_renewal)


def _months_later(day: date, months: int) -> date:
    """Return the same day of a later month, the last one where that month is shorter."""
    years, month = divmod(day.month - 1 + months, 12)
    for last in range(day.day, 27, -1):
        try:
            return date(day.year + years, month + 1, last)
        except ValueError:
            continue
    return date(day.year + years, month + 1, day.day)
