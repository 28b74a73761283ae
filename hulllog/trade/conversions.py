"""One scale into another: always approximate, and only where the other scale has a partner.

A converted grade is shown beside the grade that was given and never stored in its place.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from hulllog.trade.kinds import require
from hulllog.trade.refusal import Refusal
from hulllog.trade.working import Source


@dataclass(frozen=True, slots=True)
class Converted:
    """Grades of another scale, by component.

    ``also`` are other answers in circulation, each with where it comes from.  ``one_way``: the way
    back is not defined for every grade.
    """

    kind: str
    grades: Mapping[str, str]
    source: Source
    approximate: bool = True
    one_way: bool = False
    also: tuple[tuple[Mapping[str, str], Source], ...] = ()


@dataclass(frozen=True, slots=True)
class _Table:
    """Grades of one component into grades of another component; what is missing has no partner."""

    old: tuple[str, str]
    new: tuple[str, str]
    partners: Mapping[str, str]
    source: Source
    one_way: bool = False


def _table(
    old: tuple[str, str],
    new: tuple[str, str],
    partners: Mapping[str, str],
    source: Source,
    *,
    one_way: bool = False,
) -> tuple[_Table, ...]:
    """Return a table, and the table back unless the way back is not defined."""
    there = _Table(old, new, MappingProxyType(dict(partners)), source, one_way)
    if one_way:
        return (there,)
    back = {grade: partner for partner, grade in partners.items()}
    return there, _Table(new, old, MappingProxyType(back), source)


_BLISTERS = Source("from memory", "ASTM D714 and ISO 4628-2, correlation")
_RUST = Source("common practice", "ISO 4628-3 and European scale, as coating guides give it")
_BY_BAND = Source("our own rule", "nominal area of the ISO 4628-3 picture in ASTM D610-08, Table 1")
_BY_ANNEX = Source("from memory", "ISO 4628-3, Annex B.2")
_CUTS = Source("published", "ISO 2409 and ASTM D3359, as cross-cut tester manuals give them")
_FOULING = Source("our own rule", "covers of IMO MEPC.378(80) and the level of fouling scale")

_TABLES: tuple[_Table, ...] = (
    *_table(
        ("astm-d714-2002", "size"),
        ("iso-4628-2-2016", "size"),
        {"10": "S0", "8": "S2", "6": "S3", "4": "S4", "2": "S5"},
        _BLISTERS,
    ),
    *_table(
        ("astm-d714-2002", "frequency"),
        ("iso-4628-2-2016", "quantity"),
        {"F": "2", "M": "3", "MD": "4", "D": "5"},
        _BLISTERS,
    ),
    *_table(
        ("iso-4628-3-2016", "rust"),
        ("european-rust", "rust"),
        {"0": "0", "1": "1", "2": "2", "3": "3", "4": "5", "5": "7"},
        _RUST,
    ),
    *_table(
        ("iso-4628-3-2016", "rust"),
        ("astm-d610-2008", "grade"),
        {"0": "10", "1": "8", "2": "6", "3": "6", "4": "4", "5": "1"},
        _BY_BAND,
        one_way=True,
    ),
    *_table(
        ("iso-2409", "class"),
        ("astm-d3359", "cross_cut"),
        {str(n): f"{5 - n}B" for n in range(6)},
        _CUTS,
    ),
    *_table(
        ("level-of-fouling", "level"),
        ("imo-fouling-2023", "rating"),
        {"0": "0", "1": "1", "2": "2", "3": "2", "4": "3", "5": "4"},
        _FOULING,
        one_way=True,
    ),
)

_RUST_BY_ANNEX: Mapping[str, str] = MappingProxyType(
    {"0": "10", "1": "9", "2": "7", "3": "6", "4": "4", "5": "1"}
)


def converts_to(kind_id: str) -> tuple[str, ...]:
    """Return the kinds that a kind can be converted to."""
    return tuple(dict.fromkeys(t.new[0] for t in _TABLES if t.old[0] == kind_id))


def convert(kind_id: str, grades: Mapping[str, str], into: str) -> Converted:
    """Return the grades of another scale that stand nearest, marked approximate.

    ``grades`` is component -> grade.  Components that the other scale lacks are left out.
    Raises Refusal ``no_conversion`` between scales that have none, ``no_partner`` for a grade
    without one (ISO 4628-2 quantity 1 and size S1, Re 4), ``one_way`` where only the way back is
    defined, ``kind_unknown``.
    """
    require(kind_id)
    require(into)
    tables = {t.old[1]: t for t in _TABLES if (t.old[0], t.new[0]) == (kind_id, into)}
    if not tables:
        back = any((t.old[0], t.new[0]) == (into, kind_id) for t in _TABLES)
        raise Refusal("one_way" if back else "no_conversion", kind=kind_id, into=into)
    found = _no_blisters(kind_id, grades, into) or _partners(tables, grades, into)
    one = next(iter(tables.values()))
    return Converted(
        into,
        MappingProxyType(found),
        one.source,
        one_way=one.one_way,
        also=_also(kind_id, into, grades),
    )


def _no_blisters(kind_id: str, grades: Mapping[str, str], into: str) -> dict[str, str]:
    """Say none in the other scale's own way: size 10 is 0(S0), and 0(S0) is 10 without a letter."""
    if kind_id == "astm-d714-2002" and grades == {"size": "10"}:
        return {"quantity": "0", "size": "S0"}
    if into == "astm-d714-2002" and grades.get("quantity") == "0":
        return {"size": "10"}
    return {}


def _partners(tables: Mapping[str, _Table], grades: Mapping[str, str], into: str) -> dict[str, str]:
    found: dict[str, str] = {}
    for component, grade in grades.items():
        if (table := tables.get(component)) is None:
            continue
        if grade not in table.partners:
            raise Refusal(
                "no_partner", kind=table.old[0], component=component, grade=grade, into=into
            )
        found[table.new[1]] = table.partners[grade]
    if not found:
        raise Refusal("nothing_given")
    return found


def _also(
    kind_id: str, into: str, grades: Mapping[str, str]
) -> tuple[tuple[Mapping[str, str], Source], ...]:
    if (kind_id, into) != ("iso-4628-3-2016", "astm-d610-2008"):
        return ()
    other = _RUST_BY_ANNEX[grades["rust"]]
    return ((MappingProxyType({"grade": other}), _BY_ANNEX),)
