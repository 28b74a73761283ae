"""Coatings: products by data sheet, coats, removals, treatments."""

from __future__ import annotations

from typing import Any

from sqlalchemy.orm import Mapped, mapped_column, relationship

from hulllog.records.base import Base, Kept, dated, measured, refers
from hulllog.records.values import Measured, PartialDate


class Product(Kept, Base):
    """A paint by its data sheet; what the sheet does not say stays empty."""

    __tablename__ = "product"

    name: Mapped[str]
    maker: Mapped[str | None]
    coating_class: Mapped[str]
    role: Mapped[str]
    """antifouling, primer, barrier, tie, filler, topside, other."""
    colour: Mapped[str | None]
    """Trade name of the colour; ``colour_hex`` is how it is drawn."""
    colour_hex: Mapped[str | None]
    volume_solids: Mapped[Measured | None] = measured("volume_solids")
    film: Mapped[Measured | None] = measured("film")
    biocides: Mapped[list[str]]
    sheet: Mapped[str | None]
    """Which data sheet, and its date."""
    thinner: Mapped[str | None]


class ProductWindow(Kept, Base):
    """One row of a data sheet's table of times: a step, a temperature, from when to when."""

    __tablename__ = "product_window"

    product_id: Mapped[str] = refers("product")
    step: Mapped[str]
    """overcoat_self, overcoat_by, launch, touch_dry, pot_life."""
    over: Mapped[str | None]
    temperature: Mapped[Measured | None] = measured("temperature")
    shortest: Mapped[Measured | None] = measured("shortest")
    longest: Mapped[Measured | None] = measured("longest")


class Tin(Kept, Base):
    """A batch bought."""

    __tablename__ = "tin"

    product_id: Mapped[str] = refers("product")
    batch: Mapped[str | None]
    content: Mapped[Measured | None] = measured("content")
    bought: Mapped[PartialDate | None] = dated("bought")


class Coat(Kept, Base):
    """One application of a product."""

    __tablename__ = "coat"

    visit_id: Mapped[str] = refers("visit")
    product_id: Mapped[str] = refers("product")
    tin_id: Mapped[str | None] = refers("tin", optional=True)
    number: Mapped[int]
    at: Mapped[PartialDate | None] = dated("at")
    litres: Mapped[Measured | None] = measured("litres")
    thinner: Mapped[Measured | None] = measured("thinner")
    applied_by: Mapped[str | None]
    tool: Mapped[str | None]
    """roller, brush, airless, air_spray."""
    air: Mapped[Measured | None] = measured("air")
    hull: Mapped[Measured | None] = measured("hull")
    humidity: Mapped[Measured | None] = measured("humidity")
    whole_bottom: Mapped[bool] = mapped_column(default=True)
    note: Mapped[str | None]
    zones: Mapped[list[CoatZone]] = relationship(cascade="all, delete-orphan")


class CoatZone(Kept, Base):
    """A zone that a coat covered, with litres or a share of the zone."""

    __tablename__ = "coat_zone"

    coat_id: Mapped[str] = refers("coat")
    zone_id: Mapped[str] = refers("zone")
    litres: Mapped[Measured | None] = measured("litres")
    share: Mapped[float | None]


class Removal(Kept, Base):
    """Taking off: down to what, where, how."""

    __tablename__ = "removal"

    visit_id: Mapped[str] = refers("visit")
    down_to: Mapped[str]
    """sound_antifouling, primer, gelcoat, laminate, bare_metal, wood."""
    how: Mapped[str | None]
    zone_ids: Mapped[list[str]]
    at: Mapped[PartialDate | None] = dated("at")
    note: Mapped[str | None]


class Treatment(Kept, Base):
    """Drying, peeling, barrier: who did it, under what warranty, readings before and after."""

    __tablename__ = "treatment"

    visit_id: Mapped[str] = refers("visit")
    sort: Mapped[str]
    """dried, peeled, opened_and_filled, barrier, blasted, other."""
    zone_ids: Mapped[list[str]]
    contractor: Mapped[str | None]
    begins: Mapped[PartialDate | None] = dated("begins")
    ends: Mapped[PartialDate | None] = dated("ends")
    warranty_until: Mapped[PartialDate | None] = dated("warranty_until")
    readings: Mapped[dict[str, Any]]
    text: Mapped[str | None]
