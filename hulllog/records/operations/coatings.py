"""Coatings: products by their data sheets, tins, coats, removals, treatments."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from sqlalchemy import func, select

from hulllog.records.errors import Refused
from hulllog.records.model import (
    Coat,
    CoatZone,
    Product,
    ProductWindow,
    Removal,
    Tin,
    Treatment,
    Visit,
    Zone,
)
from hulllog.records.operations import choices
from hulllog.records.operations import typed as t
from hulllog.records.operations.keeping import change_fields, make, name_of

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from hulllog.records.book import Book
    from hulllog.records.logbook import Logbook
    from hulllog.records.values import Measured

LITRES = t.amount("L", "mL", "gal_us", "gal_imp", low=0.001, high=5000)
TEMPERATURE = ("degC", "degF")
HOURS = ("h", "d", "min")
PRODUCT: t.Fields = {
    "name": t.name(),
    "maker": t.name(wanted=False),
    "coating_class": t.one_of(choices.COATING_CLASSES, wanted=True),
    "role": t.one_of(choices.COATING_ROLES, wanted=True),
    "colour": t.name(wanted=False),
    "colour_hex": t.text(7),
    "volume_solids": t.amount("percent", low=1, high=100),
    "film": t.amount("um", "mm", "mil", low=1, high=10_000),
    "biocides": t.some_of(),
    "sheet": t.name(wanted=False),
    "thinner": t.name(wanted=False),
    "basis": t.BASIS,
}
WINDOW: t.Fields = {
    "step": t.one_of(choices.WINDOW_STEPS, wanted=True),
    "over": t.name(wanted=False),
    "temperature": t.amount(*TEMPERATURE, low=-30, high=60, wanted=True),
    "shortest": t.amount(*HOURS, low=0, high=100_000),
    "longest": t.amount(*HOURS, low=0, high=100_000),
}
TIN: t.Fields = {
    "batch": t.name(wanted=False),
    "content": LITRES,
    "bought": t.date(future=False),
}
COAT: t.Fields = {
    "product_id": t.link(Product, wanted=True),
    "tin_id": t.link(Tin),
    "number": t.whole(1, 99),
    "at": t.date(future=False),
    "litres": LITRES,
    "thinner": t.amount("percent", low=0, high=100),
    "applied_by": t.name(wanted=False),
    "tool": t.one_of(choices.TOOLS),
    "air": t.amount(*TEMPERATURE, low=-40, high=60),
    "hull": t.amount(*TEMPERATURE, low=-40, high=80),
    "humidity": t.amount("percent", low=0, high=100),
    "whole_bottom": t.flag(),
    "note": t.NOTE,
    "basis": t.BASIS,
}
REMOVAL: t.Fields = {
    "down_to": t.one_of(choices.DOWN_TO, wanted=True),
    "how": t.name(wanted=False),
    "zone_ids": t.links(Zone),
    "at": t.date(future=False),
    "note": t.NOTE,
    "basis": t.BASIS,
}
TREATMENT: t.Fields = {
    "sort": t.one_of(choices.TREATMENTS, wanted=True),
    "zone_ids": t.links(Zone, wanted=True),
    "contractor": t.name(wanted=False),
    "begins": t.date(future=False),
    "ends": t.date(future=False),
    "warranty_until": t.date(),
    "readings": t.mapping(),
    "text": t.text(),
    "basis": t.BASIS,
}


def add_product(
    logbook: Logbook, *, name: str, coating_class: str, role: str, **typed: t.Typed
) -> str:
    """Enter a paint by its data sheet; ``typed`` may hold the fields of PRODUCT."""
    with logbook.change("product.add", name=name) as book:
        wanted = {"name": name, "coating_class": coating_class, "role": role, "biocides": ()}
        return make(book, Product, t.read(book, PRODUCT, {**wanted, **typed}))


def set_product(
    logbook: Logbook, product_id: str, field: str, typed: t.Typed, *, reason: str | None = None
) -> None:
    """Set a field of PRODUCT."""
    change_fields(
        logbook, "product.set", Product, product_id, PRODUCT, {field: typed},
        reason=reason, field=field,
    )  # fmt: skip


def add_window(
    logbook: Logbook, product_id: str, *, step: str, temperature: t.Amount, **typed: t.Typed
) -> str:
    """Enter a row of a data sheet's table of times: over, shortest, longest at a temperature."""
    product = name_of(logbook, Product, product_id, "product")
    with logbook.change("product.window", product=product) as book:
        values = t.read(book, WINDOW, {"step": step, "temperature": temperature, **typed})
        shortest, longest = values.get("shortest"), values.get("longest")
        if shortest and longest and longest.si < shortest.si:
            raise Refused("longest_below_shortest", field="longest", typed=longest.text)
        return make(book, ProductWindow, {"product_id": product_id, **values})


def add_tin(logbook: Logbook, product_id: str, **typed: t.Typed) -> str:
    """Enter a batch bought: batch, content, bought."""
    product = name_of(logbook, Product, product_id, "product")
    with logbook.change("tin.add", product=product) as book:
        return make(book, Tin, {"product_id": product_id, **t.read(book, TIN, typed)})


def add_coat(
    logbook: Logbook,
    visit_id: str,
    product_id: str,
    *,
    zones: Sequence[str] | Mapping[str, t.Typed] = (),
    share: t.Typed = None,
    **typed: t.Typed,
) -> str:
    """Enter one application of a product; ``typed`` may hold the fields of COAT.

    ``zones`` are zone ids, or zone id -> litres there.  Without zones it is the whole bottom.
    ``share`` is of each zone, for a coat that covered only a part of it.
    """
    product = name_of(logbook, Product, product_id, "product")
    with logbook.change("coat.add", product=product) as book:
        coat = new_coat(book, visit_id, {"product_id": product_id, **typed}, zones, share)
    return coat.id


def add_coats(
    logbook: Logbook,
    visit_id: str,
    *,
    product_id: str | None = None,
    product: Mapping[str, t.Typed] | None = None,
    coats: t.Typed = 1,
    litres: t.Amount | None = None,
    zones: Sequence[str] = (),
    **typed: t.Typed,
) -> list[str]:
    """Enter several coats of one product as one entry; the litres are shared by the coats.

    ``product`` holds the fields of PRODUCT of one that is new.  Without zones it is the whole
    bottom.  ``typed`` may hold further fields of COAT, the same for every coat.
    """
    name = str(product["name"] or "") if product else name_of(logbook, Product, product_id)
    with logbook.change("coat.several", product=name) as book:
        values = t.read(book, {"coats": t.whole(1, 20), "litres": LITRES}, {
            "coats": coats, "litres": litres,
        })  # fmt: skip
        key = product_id
        if product is not None:
            key = make(book, Product, t.read(book, PRODUCT, {"biocides": (), **product}))
        count = values["coats"] or 1
        share = part_of(values["litres"], count) if values["litres"] else None
        given = {"product_id": key, "litres": share, **typed}
        return [new_coat(book, visit_id, given, zones).id for _ in range(count)]


def part_of(litres: Measured, count: int) -> Measured:
    """Return the equal part of litres that each of several coats took."""
    if count == 1:
        return litres
    share = float(litres.text) / count
    return t.measured((f"{share:.3f}".rstrip("0").rstrip("."), litres.unit), litres.unit, "litres")


def edit_coat(
    logbook: Logbook, coat_id: str, *, reason: str | None = None, **typed: t.Typed
) -> None:
    """Set several fields of COAT as one entry."""
    with logbook.read() as book:
        coat = t.needed(book, Coat, coat_id)
        zone = t.needed(book, Visit, coat.visit_id).time_zone
    change_fields(logbook, "coat.set", Coat, coat_id, COAT, typed, reason=reason, zone=zone)


def edit_product(
    logbook: Logbook,
    product_id: str,
    typed: Mapping[str, t.Typed],
    *,
    reason: str | None = None,
) -> None:
    """Set several fields of PRODUCT as one entry."""
    change_fields(logbook, "product.set", Product, product_id, PRODUCT, typed, reason=reason)


def new_coat(
    book: Book,
    visit_id: str,
    typed: Mapping[str, t.Typed],
    zones: Sequence[str] | Mapping[str, t.Typed] = (),
    share: t.Typed = None,
) -> Coat:
    """Add a coat inside a change; its number follows the coats of that product at the visit."""
    visit = t.needed(book, Visit, visit_id, "visit")
    values = t.read(book, COAT, {"whole_bottom": not zones, **typed}, zone=visit.time_zone)
    when = values.get("at")
    if when and visit.begins and when.latest < visit.begins.earliest:
        raise Refused("coat_before_lift", field="at", begins=visit.begins.text)
    if when and visit.ends and visit.ends.latest < when.earliest:
        raise Refused("coat_after_relaunch", field="at", ends=visit.ends.text)
    values["number"] = values.get("number") or _next_coat(book, visit_id, values["product_id"])
    coat = Coat(visit_id=visit_id, **values)
    coat.zones = [_coat_zone(book, key, litres, share) for key, litres in _with_litres(zones)]
    book.add(coat)
    book.flush()
    return coat


def _next_coat(book: Book, visit_id: str, product_id: str) -> int:
    query = select(func.max(Coat.number)).where(
        Coat.visit_id == visit_id, Coat.product_id == product_id, Coat.withdrawn.is_(False)
    )
    return int(book.scalar(query) or 0) + 1


def _with_litres(zones: Sequence[str] | Mapping[str, t.Typed]) -> list[tuple[str, t.Typed]]:
    if isinstance(zones, dict):
        return list(zones.items())
    return [(key, None) for key in zones]


def _coat_zone(book: Book, zone_id: str, litres: t.Typed, share: t.Typed) -> CoatZone:
    t.needed(book, Zone, zone_id, "zones")
    fields = {"litres": LITRES, "share": t.share()}
    values: dict[str, Any] = t.read(book, fields, {"litres": litres, "share": share})
    return CoatZone(zone_id=zone_id, **values)


def set_coat(
    logbook: Logbook, coat_id: str, field: str, typed: t.Typed, *, reason: str | None = None
) -> None:
    """Set a field of COAT."""
    change_fields(
        logbook, "coat.set", Coat, coat_id, COAT, {field: typed}, reason=reason, field=field
    )


def add_removal(
    logbook: Logbook,
    visit_id: str,
    *,
    down_to: str,
    zones: Sequence[str] = (),
    **typed: t.Typed,
) -> str:
    """Enter a taking off: down to what, on which zones (none: the whole bottom), how, when."""
    with logbook.change("removal.add", down_to=down_to) as book:
        visit = t.needed(book, Visit, visit_id, "visit")
        wanted = {"down_to": down_to, "zone_ids": zones}
        values = t.read(book, REMOVAL, {**wanted, **typed}, zone=visit.time_zone)
        return make(book, Removal, {"visit_id": visit_id, **values})


def add_treatment(
    logbook: Logbook, visit_id: str, *, sort: str, zones: Sequence[str], **typed: t.Typed
) -> str:
    """Enter drying, peeling, a barrier …: who did it, when, warranty, readings."""
    with logbook.change("treatment.add", sort=sort) as book:
        visit = t.needed(book, Visit, visit_id, "visit")
        wanted = {"sort": sort, "zone_ids": zones, "readings": {}}
        values = t.read(book, TREATMENT, {**wanted, **typed}, zone=visit.time_zone)
        begins, ends = values.get("begins"), values.get("ends")
        if begins and ends and ends.latest < begins.earliest:
            raise Refused("ends_before_begins", field="ends")
        return make(book, Treatment, {"visit_id": visit_id, **values})


def set_treatment(
    logbook: Logbook, treatment_id: str, field: str, typed: t.Typed, *, reason: str | None = None
) -> None:
    """Set a field of TREATMENT."""
    change_fields(
        logbook, "treatment.set", Treatment, treatment_id, TREATMENT, {field: typed},
        reason=reason, field=field,
    )  # fmt: skip
