"""Looks: inspections, measurement sets, spots, gear and photographs."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from sqlalchemy import CheckConstraint
from sqlalchemy.orm import Mapped, mapped_column, relationship

from hulllog.records.base import Base, Kept, dated, measured, placed, refers
from hulllog.records.values import Measured, PartialDate, Where

_SUBJECTS = ("inspection_id", "spot_observation_id", "measuring_point_id", "gear_check_id")


class Inspection(Kept, Base):
    """One look at one zone version: looked for × coverage × methods × result."""

    __tablename__ = "inspection"

    visit_id: Mapped[str] = refers("visit")
    zone_version_id: Mapped[str] = refers("zone_version")
    state: Mapped[str]
    """found, during, left."""
    looked_for: Mapped[list[str]]
    coverage: Mapped[str]
    """whole, part, not_seen, not_looked."""
    share: Mapped[float | None]
    """Share of the zone that was seen, when in part."""
    hidden_by: Mapped[str | None]
    """What hid it, or why it could not be seen."""
    methods: Mapped[list[str]]
    """general, close, touched, tapped, metered, gauged, opened, camera."""
    result: Mapped[str | None]
    """nothing_found, something_found; None where nothing was seen."""
    as_last_time: Mapped[bool] = mapped_column(default=False)
    note: Mapped[str | None]
    sets: Mapped[list[MeasurementSet]] = relationship(
        cascade="all, delete-orphan", foreign_keys="MeasurementSet.inspection_id"
    )


class MeasurementSet(Kept, Base):
    """One act of rating or measuring: a kind, a state, conditions, an instrument, one subject."""

    __tablename__ = "measurement_set"
    __table_args__ = (
        CheckConstraint(
            " + ".join(f"CASE WHEN {column} IS NULL THEN 0 ELSE 1 END" for column in _SUBJECTS)
            + " <= 1",
            name="one_subject",
        ),
    )

    visit_id: Mapped[str] = refers("visit")
    inspection_id: Mapped[str | None] = refers("inspection", optional=True)
    spot_observation_id: Mapped[str | None] = refers("spot_observation", optional=True)
    measuring_point_id: Mapped[str | None] = refers("measuring_point", optional=True)
    gear_check_id: Mapped[str | None] = refers("gear_check", optional=True)
    kind: Mapped[str]
    state: Mapped[str]
    observed: Mapped[PartialDate | None] = dated("observed")
    conditions: Mapped[dict[str, Any]]
    instrument_id: Mapped[str | None] = refers("instrument", optional=True)
    ratings: Mapped[list[Rating]] = relationship(cascade="all, delete-orphan")
    readings: Mapped[list[Reading]] = relationship(cascade="all, delete-orphan")


class Rating(Kept, Base):
    """A grade: one component of a set; ``share`` is of the area seen, when grades are by area."""

    __tablename__ = "rating"

    set_id: Mapped[str] = refers("measurement_set")
    component: Mapped[str]
    code: Mapped[str]
    share: Mapped[float | None]


class Reading(Kept, Base):
    """A measured number: one component of a set."""

    __tablename__ = "reading"

    set_id: Mapped[str] = refers("measurement_set")
    component: Mapped[str]
    number: Mapped[int] = mapped_column(default=1)
    value: Mapped[Measured | None] = measured("value")


class Spot(Kept, Base):
    """A place followed over the years, under a number that is never used again."""

    __tablename__ = "spot"

    number: Mapped[int]
    label: Mapped[str]
    place: Mapped[Where | None] = placed()
    zone_id: Mapped[str | None] = refers("zone", optional=True)
    opened_visit_id: Mapped[str | None] = refers("visit", optional=True)


class SpotObservation(Kept, Base):
    """What was seen of a spot at one visit."""

    __tablename__ = "spot_observation"

    spot_id: Mapped[str] = refers("spot")
    visit_id: Mapped[str] = refers("visit")
    state: Mapped[str]
    coverage: Mapped[str] = mapped_column(default="whole")
    result: Mapped[str | None]
    text: Mapped[str | None]
    sets: Mapped[list[MeasurementSet]] = relationship(
        cascade="all, delete-orphan", foreign_keys="MeasurementSet.spot_observation_id"
    )


class Gear(Kept, Base):
    """A fitting below: seacock, shaft, bearing, propeller, rudder, keel bolt."""

    __tablename__ = "gear"

    sort: Mapped[str]
    name: Mapped[str]
    material: Mapped[str | None]
    place: Mapped[Where | None] = placed()
    fitted: Mapped[PartialDate | None] = dated("fitted")
    note: Mapped[str | None]


class GearCheck(Kept, Base):
    """A look at a piece of gear."""

    __tablename__ = "gear_check"

    gear_id: Mapped[str] = refers("gear")
    visit_id: Mapped[str] = refers("visit")
    looked: Mapped[PartialDate | None] = dated("looked")
    """The day of this look, where it is known better than by the visit."""
    state: Mapped[str]
    result: Mapped[str | None]
    text: Mapped[str | None]
    sets: Mapped[list[MeasurementSet]] = relationship(
        cascade="all, delete-orphan", foreign_keys="MeasurementSet.gear_check_id"
    )


class Photo(Kept, Base):
    """A photograph: the original file by its SHA-256, and what is known of it."""

    __tablename__ = "photo"

    visit_id: Mapped[str | None] = refers("visit", optional=True)
    sha256: Mapped[str]
    media_type: Mapped[str]
    size: Mapped[int]
    width: Mapped[int]
    height: Mapped[int]
    file_name: Mapped[str]
    captured: Mapped[PartialDate | None] = dated("captured")
    """Capture time as read, never altered."""
    captured_origin: Mapped[str | None]
    """camera, file, typed."""
    clock_correction: Mapped[int | None]
    """Minutes to add to the capture time."""
    clock_reason: Mapped[str | None]
    camera: Mapped[str | None]
    state: Mapped[str | None]
    caption: Mapped[str | None]
    imported_at: Mapped[datetime]
    purged_reason: Mapped[str | None]
    places: Mapped[list[PhotoPlace]] = relationship(cascade="all, delete-orphan")


class PhotoPlace(Kept, Base):
    """What a photograph shows: a place, a spot, a zone, an anode or a fitting."""

    __tablename__ = "photo_place"

    photo_id: Mapped[str] = refers("photo")
    place: Mapped[Where | None] = placed()
    spot_id: Mapped[str | None] = refers("spot", optional=True)
    zone_id: Mapped[str | None] = refers("zone", optional=True)
    anode_position_id: Mapped[str | None] = refers("anode_position", optional=True)
    gear_id: Mapped[str | None] = refers("gear", optional=True)


class Annotation(Kept, Base):
    """A mark or a measurement on a photograph, in shares of its width and height."""

    __tablename__ = "annotation"

    photo_id: Mapped[str] = refers("photo")
    sort: Mapped[str]
    points: Mapped[list[Any]]
    text: Mapped[str | None]
    length: Mapped[Measured | None] = measured("length")


class Instrument(Kept, Base):
    """A meter, gauge or scale."""

    __tablename__ = "instrument"

    name: Mapped[str]
    sort: Mapped[str]
    serial: Mapped[str | None]
    checked: Mapped[PartialDate | None] = dated("checked")
    repeatability: Mapped[Measured | None] = measured("repeatability")
