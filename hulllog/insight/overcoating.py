"""What may go over the paint of a zone, and the air over it while one paints."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from sqlalchemy import select

from hulllog.insight.paint import build_up
from hulllog.insight.shape import form_version
from hulllog.records.model import Product, ProductWindow, Vessel
from hulllog.trade import weather, windows
from hulllog.trade.compatibility import (
    DRIVES,
    NEW_COATINGS,
    OLD_COATINGS,
    PRIMERS,
    UNKNOWN,
    Compatibility,
    CopperNear,
    compatible,
    copper_near_aluminium,
)
from hulllog.trade.paintuse import consequences
from hulllog.trade.refusal import Refusal

if TYPE_CHECKING:
    from hulllog.insight.occasions import Edge
    from hulllog.insight.paint import Layer
    from hulllog.records.book import Book
    from hulllog.trade.compatibility import Reason
    from hulllog.trade.weather import Rule
    from hulllog.trade.working import Working

__all__ = ["NEW_COATINGS", "Air", "Over", "SheetTime", "air", "may_go_over", "sheet_times"]


@dataclass(frozen=True, slots=True)
class Over:
    """What a new antifouling needs over a zone.

    ``outermost`` is the layer on record there, None where none is; ``below_known`` says whether a
    removal tells what that layer lies on.  ``copper`` is said only where aluminium is near or is
    not ruled out.
    """

    outermost: Layer | None
    below_known: bool
    verdict: Compatibility
    copper: CopperNear | None
    use: tuple[Reason, ...] = ()
    """What such a paint brings with it, by speed, time ashore, drive and metal."""


def may_go_over(book: Book, zone_id: str, new: str, edge: Edge | None = None) -> Over:
    """Return what a new antifouling, one of NEW_COATINGS, needs over the paint of a zone.

    Raises Refusal ``new_coating_unknown``.
    """
    section = build_up(book, zone_id, edge)
    top = section.layers[-1] if section.layers else None
    old = top.coating_class if top else UNKNOWN
    if old not in OLD_COATINGS and old not in PRIMERS:
        old = UNKNOWN
    material, drive = _hull_and_drive(book, edge)
    return Over(
        top,
        section.down_to is not None,
        compatible(old, new),
        _copper(book, edge),
        consequences(new, drive, material),
    )


def _copper(book: Book, edge: Edge | None) -> CopperNear | None:
    """Return what is said of copper here; None where no aluminium is near."""
    told = copper_here(book, "unknown", edge)
    return None if told.verdict == "no_objection" else told


def copper_here(book: Book, copper: str, edge: Edge | None = None) -> CopperNear:
    """Return what is said of a form of copper on her hull and beside her drive."""
    material, drive = _hull_and_drive(book, edge)
    return copper_near_aluminium(copper, material, drive)


def _hull_and_drive(book: Book, edge: Edge | None) -> tuple[str, str]:
    vessel = book.scalars(select(Vessel)).first()
    version = form_version(book, edge)
    drive = str(version.particulars.get("drive", "unknown")) if version else "unknown"
    drive = "shaft" if drive == "tunnel" else drive
    material = vessel.material if vessel else "unknown"
    return material, drive if drive in DRIVES else "unknown"


@dataclass(frozen=True, slots=True)
class Air:
    """The air over a hull: dew point, how far the hull is above it, and the rules painters quote.

    Rules are statements with their source; none of them says whether to paint.
    """

    dew_point: Working
    margin: Working | None
    rules: tuple[Rule, ...]


def air(celsius: float, humidity: float, hull: float | None = None) -> Air:
    """Return what the air says, temperatures in °C, humidity in %.

    Raises Refusal ``out_of_range``.  Source: WMO-No. 8 Annex 4.B; the rules of ISO 12944-7.
    """
    point = weather.dew_point(celsius, humidity)
    if hull is None:
        return Air(point, None, ())
    return Air(
        point, weather.margin(hull, celsius, humidity), weather.rules(hull, celsius, humidity)
    )


@dataclass(frozen=True, slots=True)
class SheetTime:
    """A window of a product by its own data sheet at a temperature."""

    step: str
    over: str | None
    sheet: str | None
    window: windows.Window


def sheet_times(book: Book, product_id: str, celsius: float) -> list[SheetTime]:
    """Return the windows of a product by the rows of its own sheet, at one surface temperature.

    A step whose rows do not reach down to the temperature is left out; a class value never stands
    in for a sheet.
    """
    product = book.get(Product, product_id)
    kept = select(ProductWindow).where(
        ProductWindow.product_id == product_id, ProductWindow.withdrawn.is_(False)
    )
    rows: dict[tuple[str, str | None], list[windows.WindowRow]] = {}
    for row in book.scalars(kept.order_by(ProductWindow.entered_at)):
        if row.temperature is not None:
            rows.setdefault((row.step, row.over), []).append(
                windows.WindowRow(
                    row.temperature.in_unit("degC"),
                    row.shortest.in_unit("h") if row.shortest else None,
                    row.longest.in_unit("h") if row.longest else None,
                )
            )
    found = []
    for (step, over), told in rows.items():
        try:
            window = windows.window(told, celsius, celsius)
        except Refusal:
            continue
        found.append(SheetTime(step, over, product.sheet if product else None, window))
    return found
