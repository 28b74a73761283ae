"""The base of all records, and the columns that each of them carries."""

from __future__ import annotations

from datetime import datetime
from typing import Any, ClassVar

from sqlalchemy import ForeignKey, MetaData
from sqlalchemy.orm import Composite, DeclarativeBase, Mapped, composite, mapped_column

from hulllog.records.types import Flag, Instant, Json, Real, Whole, Words
from hulllog.records.values import Measured, PartialDate, Where

NAMING = {
    "ix": "ix_%(column_0_label)s",
    "uq": "uq_%(table_name)s_%(column_0_name)s",
    "fk": "fk_%(table_name)s_%(column_0_name)s",
    "pk": "pk_%(table_name)s",
}


class Base(DeclarativeBase):
    """Every table of the logbook, the journal's among them."""

    metadata = MetaData(naming_convention=NAMING)
    type_annotation_map: ClassVar[dict[Any, Any]] = {
        str: Words(),
        int: Whole(),
        float: Real(),
        bool: Flag(),
        datetime: Instant(),
        dict[str, Any]: Json(),
        list[str]: Json(),
        list[Any]: Json(),
    }


def _date_or_none(
    text: str | None, precision: Any, about: bool | None, earliest: Any, latest: Any
) -> PartialDate | None:
    if text is None:
        return None
    return PartialDate(text, precision, bool(about), earliest, latest)


def _measured_or_none(text: str | None, unit: Any, si: Any) -> Measured | None:
    return None if text is None else Measured(text, unit, si)


def _place_or_none(part: str | None, face: Any, u: Any, v: Any, given: Any) -> Where | None:
    return None if part is None else Where(part, face, u, v, given)


def dated(name: str) -> Composite[Any]:
    """Columns of a partial date: ``<name>_text`` and its reading in four more."""
    return composite(
        _date_or_none,
        mapped_column(f"{name}_text", Words(), nullable=True),
        mapped_column(f"{name}_precision", Words(), nullable=True),
        mapped_column(f"{name}_about", Flag(), nullable=True),
        mapped_column(f"{name}_earliest", Instant(), nullable=True),
        mapped_column(f"{name}_latest", Instant(), nullable=True),
    )


def measured(name: str) -> Composite[Any]:
    """Columns of a measured value: ``<name>_text``, ``<name>_unit`` and ``<name>_si``."""
    return composite(
        _measured_or_none,
        mapped_column(f"{name}_text", Words(), nullable=True),
        mapped_column(f"{name}_unit", Words(), nullable=True),
        mapped_column(f"{name}_si", Real(), nullable=True),
    )


def placed(name: str = "place") -> Composite[Any]:
    """Columns of a place: ``<name>_part``, ``_face``, ``_u``, ``_v``, ``_given``."""
    return composite(
        _place_or_none,
        mapped_column(f"{name}_part", Words(), nullable=True),
        mapped_column(f"{name}_face", Words(), nullable=True),
        mapped_column(f"{name}_u", Real(), nullable=True),
        mapped_column(f"{name}_v", Real(), nullable=True),
        mapped_column(f"{name}_given", Words(), nullable=True),
    )


def refers(target: str, *, optional: bool = False) -> Any:
    """Make a column that refers to ``target.id``, checked when the change ends."""
    return mapped_column(
        Words(),
        ForeignKey(f"{target}.id", deferrable=True, initially="DEFERRED"),
        nullable=optional,
        index=True,
    )


class Kept:
    """What every record carries: who entered it, when, and on what basis.

    ``observed`` is None where the record's visit gives the date.  ``basis`` is one of BASES.
    A withdrawn record is hidden and kept.
    """

    id: Mapped[str] = mapped_column(primary_key=True)
    entered_at: Mapped[datetime]
    entered_by: Mapped[str]
    basis: Mapped[str] = mapped_column(default="at_the_time")
    withdrawn: Mapped[bool] = mapped_column(default=False)


BASES = (
    "at_the_time",
    "later_from_notes",
    "from_survey_or_invoice",
    "from_memory",
    "from_former_owner",
    "from_photos",
)
