"""Anodes: positions, the pieces fitted there, and looks at them."""

from __future__ import annotations

from sqlalchemy.orm import Mapped, mapped_column

from hulllog.records.base import Base, Kept, dated, measured, placed, refers
from hulllog.records.values import Measured, PartialDate, Where


class AnodePosition(Kept, Base):
    """Where an anode sits and what it protects."""

    __tablename__ = "anode_position"

    name: Mapped[str]
    place: Mapped[Where | None] = placed()
    protects: Mapped[list[str]]
    mirror_id: Mapped[str | None] = refers("anode_position", optional=True)


class AnodePiece(Kept, Base):
    """One anode from fitting to removal."""

    __tablename__ = "anode_piece"

    position_id: Mapped[str] = refers("anode_position")
    metal: Mapped[str]
    """zinc, aluminium, magnesium, unknown."""
    pattern: Mapped[str | None]
    mass_new: Mapped[Measured | None] = measured("mass_new")
    mass_new_from: Mapped[str]
    """weighed, maker, unknown."""
    insert_mass: Mapped[Measured | None] = measured("insert_mass")
    fitted_visit_id: Mapped[str | None] = refers("visit", optional=True)
    fitted: Mapped[PartialDate | None] = dated("fitted")
    removed_visit_id: Mapped[str | None] = refers("visit", optional=True)
    removed: Mapped[PartialDate | None] = dated("removed")
    moved_from_id: Mapped[str | None] = refers("anode_piece", optional=True)
    """The same piece where it was fitted before; what it lost there is told from its looks."""


class AnodeCheck(Kept, Base):
    """A look at a piece: weighed clean and dry, by eye, or renewed without weighing."""

    __tablename__ = "anode_check"

    piece_id: Mapped[str] = refers("anode_piece")
    visit_id: Mapped[str] = refers("visit")
    looked: Mapped[PartialDate | None] = dated("looked")
    """The day of this look, where it is known better than by the visit."""
    state: Mapped[str]
    way: Mapped[str]
    """weighed, by_eye, renewed, not_looked."""
    mass: Mapped[Measured | None] = measured("mass")
    left_low: Mapped[float | None]
    """Share left by eye, as an interval."""
    left_high: Mapped[float | None]
    contact: Mapped[str | None]
    """tight, loose, none."""
    painted_over: Mapped[bool] = mapped_column(default=False)
    note: Mapped[str | None]


class ContactReading(Kept, Base):
    """Resistance from an anode to what it protects."""

    __tablename__ = "contact_reading"

    check_id: Mapped[str] = refers("anode_check")
    part: Mapped[str]
    resistance: Mapped[Measured | None] = measured("resistance")
