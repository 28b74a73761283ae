"""What a person typed, read and checked field by field.

A subject's module holds a table of its fields, ``{"name": name(), "begins": date()}``; ``read``
takes what was typed through it.  Every reader refuses with the name of its field.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, TypeVar
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from hulllog.records.base import BASES, Base
from hulllog.records.errors import Refused
from hulllog.records.operations import queries
from hulllog.records.types import canonical_json
from hulllog.records.values import Measured, PartialDate, Where
from hulllog.trade import units
from hulllog.trade.refusal import Refusal

if TYPE_CHECKING:
    from hulllog.records.book import Book

NAME_LIMIT = 120
"""Letters that a name may have, so that every page and print can show it whole."""

When = str | PartialDate
Amount = str | tuple[str, str] | Measured
"""A number as typed, "12,5" or "12,5 kg", or with its unit apart, or read already."""
Typed = Any
Fields = Mapping[str, "Reader"]
R = TypeVar("R", bound=Base)

_WITH_UNIT = re.compile(r"(.*?\d[.,]?)\s*([^\W\d_]\S*|[%°\"'Ω]\S*)")
_NUMBER_ALONE = re.compile(r"[\d\s.,:/+±-]+(?:%|g|kgs?|lbs?|oz|mm|cm|m|mV|V)?")
_UNIT_WRITTEN = {
    "l": "L", "ltr": "L", "litre": "L", "litres": "L", "ml": "mL",
    "%": "percent", "°c": "degC", "c": "degC", "°f": "degF", "f": "degF",
    "µm": "um", "μm": "um", "micron": "um", "microns": "um", "\"": "in", "'": "ft",
    "m²": "m2", "cm²": "cm2", "mm²": "mm2", "kgs": "kg", "lbs": "lb", "hours": "h", "days": "d",
    "nm": "nmi", "miles": "nmi", "ω": "ohm", "mv": "mV", "v": "V",
}  # fmt: skip
_RENAMED = {"field": "of", "readings": "number_readings"}


@dataclass(frozen=True, slots=True)
class Reading:
    """Where a field is read: the book, the time zone its dates are in, the name of the field."""

    book: Book
    zone: str
    field: str

    def number(self, typed: Typed, unit: str) -> Measured:
        """Read a number as the owner writes it."""
        return measured(typed, unit, self.field, queries.decimal_sign(self.book))


Reader = Callable[[Reading, Typed], Any]


def read(
    book: Book, fields: Fields, typed: Mapping[str, Typed], *, zone: str | None = None
) -> dict[str, Any]:
    """Read what was typed into a table of fields; Refused names the first that cannot be kept."""
    unknown = set(typed) - set(fields)
    if unknown:
        raise TypeError(f"no such field: {', '.join(sorted(unknown))}")
    where = zone or queries.time_zone(book)
    return {name: fields[name](Reading(book, where, name), value) for name, value in typed.items()}


def needed(book: Book, model: type[R], key: str, field: str = "") -> R:
    """Return a record by its key.  Raises Refused ``no_such_record``."""
    record = book.get(model, key)
    if record is None:
        raise Refused("no_such_record", field=field or model.__tablename__)
    return record


def given(**typed: Typed) -> dict[str, Typed]:
    """Return the fields that were filled in."""
    return {name: value for name, value in typed.items() if value is not None}


# Readers


def text(limit: int | None = None, *, wanted: bool = False) -> Reader:
    """Read free text; blank is None, or Refused ``text_wanted``."""

    def reader(at: Reading, typed: Typed) -> str | None:
        found = "" if typed is None else str(typed).strip()
        if not found and wanted:
            raise Refused("text_wanted", field=at.field)
        if limit is not None and len(found) > limit:
            raise Refused("text_long", field=at.field, limit=limit, length=len(found))
        return found or None

    return reader


def name(*, wanted: bool = True) -> Reader:
    """Read a name of at most NAME_LIMIT letters."""
    return text(NAME_LIMIT, wanted=wanted)


def place_name(*, wanted: bool = True) -> Reader:
    """Read the name of a place on the boat; a number alone is a mass or a share gone astray."""
    read_name = name(wanted=wanted)

    def reader(at: Reading, typed: Typed) -> str | None:
        found: str | None = read_name(at, typed)
        if found is not None and _NUMBER_ALONE.fullmatch(found):
            raise Refused("name_is_number", field=at.field, typed=found)
        return found

    return reader


def one_of(choices: Sequence[str], *, wanted: bool = False) -> Reader:
    """Read one code of a list."""

    def reader(at: Reading, typed: Typed) -> str | None:
        if typed is None or typed == "":
            if wanted:
                raise Refused("choice_wanted", field=at.field)
            return None
        if typed not in choices:
            raise Refused("unknown_choice", field=at.field, typed=str(typed))
        return str(typed)

    return reader


def some_of(choices: Sequence[str] | None = None) -> Reader:
    """Read a list of codes, each once; without ``choices`` any text."""

    def reader(at: Reading, typed: Typed) -> list[str]:
        found = list(dict.fromkeys(typed or ()))
        for code in found:
            if choices is not None and code not in choices:
                raise Refused("unknown_choice", field=at.field, typed=str(code))
        return [str(code) for code in found]

    return reader


def date(*, wanted: bool = False, future: bool = True) -> Reader:
    """Read a partial date; with ``future=False`` one that certainly lies ahead is refused."""

    def reader(at: Reading, typed: Typed) -> PartialDate | None:
        if typed is None or (isinstance(typed, str) and not typed.strip()):
            if wanted:
                raise Refused("date_wanted", field=at.field)
            return None
        found = typed if isinstance(typed, PartialDate) else _parsed(at, typed)
        if not future and (found.earliest - at.book.now()).days >= 1:
            raise Refused("date_ahead", field=at.field, typed=found.text)
        return found

    return reader


def _parsed(at: Reading, typed: str) -> PartialDate:
    return PartialDate.parse(typed, at.zone, order=queries.date_order(at.book), field=at.field)


def amount(
    *allowed: str, low: float | None = None, high: float | None = None, wanted: bool = False
) -> Reader:
    """Read a number in one of the ``allowed`` units, the first when none is typed.

    ``low`` and ``high`` are bounds in the first unit.
    """

    def reader(at: Reading, typed: Typed) -> Measured | None:
        if typed is None or (isinstance(typed, str) and not typed.strip()):
            if wanted:
                raise Refused("number_wanted", field=at.field)
            return None
        found = typed if isinstance(typed, Measured) else at.number(typed, allowed[0])
        if found.unit not in allowed:
            raise Refused("unit_other", field=at.field, typed=found.unit, allowed=list(allowed))
        _bounded(found, allowed[0], low, high, at.field)
        return found

    return reader


def measured(typed: Typed, unit: str, field: str, decimal_sign: str | None = None) -> Measured:
    """Read a number as typed, "12,5" or "12,5 kg" or ("12,5", "kg"), without bounds.

    Its text is kept as decimal text with a point.
    """
    if isinstance(typed, tuple):
        number, unit = typed
    elif found := _WITH_UNIT.fullmatch(str(typed).strip()):
        number, unit = found[1], _unit(found[2])
    else:
        number = str(typed)
    try:
        read_as = units.read_number(number, decimal_sign)
        return Measured(format(read_as, "f"), unit, units.to_si(read_as, unit))
    except Refusal as problem:
        values = {_RENAMED.get(name, name): value for name, value in problem.values.items()}
        raise Refused(problem.code, field=field, **values) from problem


def _unit(written: str) -> str:
    return _UNIT_WRITTEN.get(written.lower(), written)


def _bounded(found: Measured, unit: str, low: float | None, high: float | None, field: str) -> None:
    value = units.from_si(found.si, unit)
    slack = 1e-9 * max(abs(value), 1.0)
    if low is not None and value < low - slack:
        raise Refused("number_low", field=field, typed=found.text, unit=unit, low=low)
    if high is not None and value > high + slack:
        raise Refused("number_high", field=field, typed=found.text, unit=unit, high=high)


def share() -> Reader:
    """Read a share of 1, as 0.25, "25 %" or "25"; a bare number over 1 is in percent."""

    def reader(at: Reading, typed: Typed) -> float | None:
        if typed is None or typed == "":
            return None
        if isinstance(typed, int | float):
            value = float(typed)
        else:
            found = at.number(typed, "percent")
            bare = "%" not in str(typed) and found.si * 100 <= 1
            value = found.si * 100 if bare else found.si
        if not 0 <= value <= 1:
            code = "number_low" if value < 0 else "number_high"
            raise Refused(code, field=at.field, typed=str(typed), unit="percent", low=0, high=100)
        return value

    return reader


def whole(low: int, high: int, *, wanted: bool = False) -> Reader:
    """Read a whole number between two bounds."""

    def reader(at: Reading, typed: Typed) -> int | None:
        if typed is None or typed == "":
            if wanted:
                raise Refused("number_wanted", field=at.field)
            return None
        try:
            value = int(str(typed).strip())
        except ValueError as problem:
            raise Refused("whole_unread", field=at.field, typed=str(typed)) from problem
        if value < low:
            raise Refused("number_low", field=at.field, typed=str(typed), unit="1", low=low)
        if value > high:
            raise Refused("number_high", field=at.field, typed=str(typed), unit="1", high=high)
        return value

    return reader


def flag() -> Reader:
    """Read yes or no."""
    return lambda _at, typed: bool(typed)


def link(model: type[Base], *, wanted: bool = False) -> Reader:
    """Read the key of another record, which must be there."""

    def reader(at: Reading, typed: Typed) -> str | None:
        if not typed:
            if wanted:
                raise Refused("choice_wanted", field=at.field)
            return None
        needed(at.book, model, str(typed), at.field)
        return str(typed)

    return reader


def links(model: type[Base], *, wanted: bool = False) -> Reader:
    """Read keys of other records, each of which must be there."""

    def reader(at: Reading, typed: Typed) -> list[str]:
        found = list(dict.fromkeys(typed or ()))
        if wanted and not found:
            raise Refused("choice_wanted", field=at.field)
        for key in found:
            needed(at.book, model, key, at.field)
        return found

    return reader


def place() -> Reader:
    """Read a place: part, face, u and v on the boat, and how it was given.

    By tape or frame only what was ``given``, as ``placing.solved`` takes it.
    """

    def reader(at: Reading, typed: Typed) -> Where | None:
        if typed is None or isinstance(typed, Where):
            return typed
        how = typed.get("given", {"by": "click"})
        if "u" not in typed:
            from hulllog.records.operations.placing import solved  # with NumPy, and reads by this

            return solved(at.book, how)
        where = Where(
            str(typed["part"]),
            str(typed["face"]),
            float(typed["u"]),
            float(typed["v"]),
            how if isinstance(how, str) else canonical_json(how),
        )
        if not (0 <= where.u <= 1 and 0 <= where.v <= 2):
            raise Refused("place_outside", field=at.field)
        return where

    return reader


def time_zone() -> Reader:
    """Read an IANA time zone."""

    def reader(at: Reading, typed: Typed) -> str:
        try:
            return ZoneInfo(str(typed)).key
        except (ZoneInfoNotFoundError, ValueError, OSError) as problem:
            raise Refused("time_zone_unknown", field=at.field, typed=str(typed)) from problem

    return reader


def mapping() -> Reader:
    """Take a small structure as it is."""
    return lambda _at, typed: dict(typed or {})


BASIS: Reader = one_of(BASES, wanted=True)
NOTE: Reader = text()
