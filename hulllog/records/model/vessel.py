"""The boat: her names, numbers and particulars, her shape over time, her zones."""

from __future__ import annotations

from typing import Any

from sqlalchemy.orm import Mapped

from hulllog.records.base import Base, Kept, dated, measured, placed, refers
from hulllog.records.values import Measured, PartialDate, Where


class Vessel(Kept, Base):
    """The one boat of this logbook."""

    __tablename__ = "vessel"

    name: Mapped[str]
    kind: Mapped[str]
    """Hull kind: yacht, planing, motor, inland, small, catamaran."""
    material: Mapped[str]
    """grp, steel, aluminium, wood, ferrocement."""
    rig: Mapped[str | None]
    builder: Mapped[str | None]
    design: Mapped[str | None]
    built: Mapped[PartialDate | None] = dated("built")
    craft_number: Mapped[str | None]
    home: Mapped[str | None]
    sample: Mapped[bool]
    """An invented boat: every page and every print is stamped."""
    note: Mapped[str | None]


class FormerName(Kept, Base):
    """A name she bore before."""

    __tablename__ = "former_name"

    name: Mapped[str]
    until: Mapped[PartialDate | None] = dated("until")


class Registration(Kept, Base):
    """A number under which she is registered."""

    __tablename__ = "registration"

    register: Mapped[str]
    number: Mapped[str]
    begins: Mapped[PartialDate | None] = dated("begins")


class FormVersion(Kept, Base):
    """Her shape from a date on: particulars, and which of them were assumed by type."""

    __tablename__ = "form_version"

    number: Mapped[int]
    begins: Mapped[PartialDate | None] = dated("begins")
    particulars: Mapped[dict[str, Any]]
    assumed: Mapped[list[str]]
    length: Mapped[Measured | None] = measured("length")
    beam: Mapped[Measured | None] = measured("beam")
    draught: Mapped[Measured | None] = measured("draught")
    displacement: Mapped[Measured | None] = measured("displacement")


class Zone(Kept, Base):
    """A named area of the skin; its outline is in its versions."""

    __tablename__ = "zone"

    code: Mapped[str]
    name: Mapped[str]
    walk_order: Mapped[int]


class ZoneVersion(Kept, Base):
    """The outline of a zone from a given visit on (None: from the beginning)."""

    __tablename__ = "zone_version"

    zone_id: Mapped[str] = refers("zone")
    form_version_id: Mapped[str] = refers("form_version")
    from_visit_id: Mapped[str | None] = refers("visit", optional=True)
    number: Mapped[int]
    outline: Mapped[dict[str, Any]]


class OwnView(Kept, Base):
    """The owner's own drawing or photograph, which serves as a view of the boat."""

    __tablename__ = "own_view"

    name: Mapped[str]
    shows: Mapped[str]
    """port, starboard, bottom, stern, other."""
    sha256: Mapped[str]
    media_type: Mapped[str]
    size: Mapped[int]
    width: Mapped[int]
    height: Mapped[int]
    file_name: Mapped[str]
    scale_marks: Mapped[list[Any]]
    """Two points in shares of width and height, or none."""
    scale_length: Mapped[Measured | None] = measured("scale_length")
    """How far apart the two points are on the boat."""


class OwnOutline(Kept, Base):
    """The outline of a zone, drawn by hand on an own view in shares of its width and height."""

    __tablename__ = "own_outline"

    own_view_id: Mapped[str] = refers("own_view")
    zone_version_id: Mapped[str] = refers("zone_version")
    points: Mapped[list[Any]]


class MeasuringPoint(Kept, Base):
    """A numbered, fixed place with its original value and where that value comes from."""

    __tablename__ = "measuring_point"

    number: Mapped[int]
    kind: Mapped[str]
    place: Mapped[Where | None] = placed()
    original: Mapped[Measured | None] = measured("original")
    original_source: Mapped[str | None]
