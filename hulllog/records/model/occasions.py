"""Occasions: visits and what frames them, berth periods, events, notes for next time."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from sqlalchemy.orm import Mapped, mapped_column

from hulllog.records.base import Base, Kept, dated, measured, placed, refers
from hulllog.records.values import Measured, PartialDate, Where


class Visit(Kept, Base):
    """An occasion of looking; the haul-out is its richest kind."""

    __tablename__ = "visit"

    kind: Mapped[str]
    """haul_out, drying_out, diver, camera, berth, survey."""
    begins: Mapped[PartialDate | None] = dated("begins")
    ends: Mapped[PartialDate | None] = dated("ends")
    time_zone: Mapped[str]
    location: Mapped[str | None]
    yard: Mapped[str | None]
    way: Mapped[str | None]
    """How she was taken out: hoist, crane, slipway, floating_dock, drying_grid, trailer, mover."""
    support: Mapped[str | None]
    engine_hours: Mapped[Measured | None] = measured("engine_hours")
    log_miles: Mapped[Measured | None] = measured("log_miles")
    lift_weight: Mapped[Measured | None] = measured("lift_weight")
    scum_line: Mapped[Measured | None] = measured("scum_line")
    sea_temperature: Mapped[Measured | None] = measured("sea_temperature")
    looked_for: Mapped[list[str]]
    """Kinds that this visit looks for, set once before the walk."""
    methods: Mapped[list[str]]
    closed_at: Mapped[datetime | None]
    note: Mapped[str | None]


class StageTime(Kept, Base):
    """When a haul-out reached a stage.

    lifted, washed, opened_up, prepared, coated, ready, relaunched.
    """

    __tablename__ = "stage_time"

    visit_id: Mapped[str] = refers("visit")
    stage: Mapped[str]
    at: Mapped[PartialDate | None] = dated("at")


class PadPosition(Kept, Base):
    """Where a prop, pad, block or sling bore on her during a visit."""

    __tablename__ = "pad_position"

    visit_id: Mapped[str] = refers("visit")
    sort: Mapped[str]
    """pad, block, cradle, sling."""
    place: Mapped[Where | None] = placed()
    note: Mapped[str | None]


class Weather(Kept, Base):
    """One line of weather a day of a visit."""

    __tablename__ = "weather"

    visit_id: Mapped[str] = refers("visit")
    at: Mapped[PartialDate | None] = dated("at")
    air: Mapped[Measured | None] = measured("air")
    hull: Mapped[Measured | None] = measured("hull")
    humidity: Mapped[Measured | None] = measured("humidity")
    note: Mapped[str | None]


class BerthPeriod(Kept, Base):
    """Where she lay from when to when, and what she lay in."""

    __tablename__ = "berth_period"

    begins: Mapped[PartialDate | None] = dated("begins")
    ends: Mapped[PartialDate | None] = dated("ends")
    location: Mapped[str]
    water: Mapped[str]
    """salt, brackish, fresh, unknown."""
    shore_power: Mapped[str]
    """none, plugged, plugged_with_isolator, unknown."""
    immersed_share: Mapped[float] = mapped_column(default=1.0)
    """Share of the time the bottom is under water; under 1 on a drying berth."""
    note: Mapped[str | None]


class Event(Kept, Base):
    """Grounding, collision, sinking, lightning, work nearby, new owner; may ask for a check."""

    __tablename__ = "event"

    sort: Mapped[str]
    at: Mapped[PartialDate | None] = dated("at")
    text: Mapped[str]
    asks_for_check: Mapped[bool]
    answered_visit_id: Mapped[str | None] = refers("visit", optional=True)


class NoteForNextTime(Kept, Base):
    """A thing to do or look at at the next haul-out, and how it was answered."""

    __tablename__ = "note_for_next_time"

    text: Mapped[str]
    raised: Mapped[PartialDate | None] = dated("raised")
    raised_visit_id: Mapped[str | None] = refers("visit", optional=True)
    answered_visit_id: Mapped[str | None] = refers("visit", optional=True)
    answer: Mapped[str | None]


class Setting(Kept, Base):
    """A setting that travels with the logbook: units, words, date order."""

    __tablename__ = "setting"

    name: Mapped[str]
    value: Mapped[dict[str, Any]]
