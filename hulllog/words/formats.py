"""Numbers, units and dates as a person reads them: one door to all of them."""

from __future__ import annotations

from datetime import date, datetime
from decimal import Decimal
from typing import TYPE_CHECKING, cast

from hulllog.words.catalogue import say
from hulllog.words.dates import (
    DateLike,
    clock,
    day,
    days,
    days_between,
    days_from,
    is_date_like,
    lag,
    moment,
    partial_date,
    passed,
    reading_label,
    span,
    two_readings,
    weekday,
    weekday_short,
    year,
)
from hulllog.words.figures import (
    MINUS,
    THIN,
    MeasuredLike,
    between,
    convert,
    figure,
    knows_unit,
    measured,
    money,
    number,
    quantity,
    share,
    shares,
    shown_unit,
    unit_label,
    with_interval,
    with_unit,
)
from hulllog.words.preference import Preference, prefer, preferred

if TYPE_CHECKING:
    from collections.abc import Sequence

__all__ = [
    "THIN",
    "DateLike",
    "MeasuredLike",
    "Preference",
    "anything",
    "between",
    "clock",
    "convert",
    "day",
    "days",
    "days_between",
    "days_from",
    "figure",
    "joined",
    "knows_unit",
    "lag",
    "measured",
    "moment",
    "money",
    "number",
    "partial_date",
    "passed",
    "prefer",
    "preferred",
    "quantity",
    "reading_label",
    "share",
    "shares",
    "shown_unit",
    "span",
    "two_readings",
    "unit_label",
    "weekday",
    "weekday_short",
    "with_interval",
    "with_unit",
    "year",
]


def anything(value: object) -> str:
    """Write any value as text: numbers and dates by the locale, nothing as "not recorded"."""
    if isinstance(value, str):
        return value
    if value is None:
        return say("word.not_recorded")
    if isinstance(value, bool):
        return say("word.yes" if value else "word.no")
    if isinstance(value, int):
        return str(value).replace("-", MINUS)  # never grouped: it may be a year
    if isinstance(value, float | Decimal):
        return figure(value)
    if isinstance(value, datetime):
        return moment(value)
    if isinstance(value, date):
        return day(value)
    return _composed(value)


def joined(values: Sequence[object]) -> str:
    """Write a list: "a", "a and b", "a, b and c"; an empty one is "none"."""
    said = [anything(value) for value in values]
    if len(said) < 2:
        return said[0] if said else say("word.none")
    return say("word.and", first=", ".join(said[:-1]), last=said[-1])


def _composed(value: object) -> str:
    if is_date_like(value):
        return partial_date(cast("DateLike", value))
    if hasattr(value, "si") and hasattr(value, "unit"):
        return measured(cast("MeasuredLike", value))
    if isinstance(value, list | tuple):
        return joined(value)
    return str(value)
