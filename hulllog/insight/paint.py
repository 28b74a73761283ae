"""What paint she wears and wore: coats of each visit, the thread of antifouling, the build-up."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Literal

from sqlalchemy import select
from sqlalchemy.orm import selectinload

from hulllog.hull import zones
from hulllog.insight.occasions import Edge, up_to, visits
from hulllog.insight.shades import below_water
from hulllog.records.model import Coat, Product, Removal, Treatment, Visit, Zone
from hulllog.trade import films
from hulllog.trade.coatclasses import CLASSES

if TYPE_CHECKING:
    from collections.abc import Iterable

    from hulllog.records.book import Book
    from hulllog.records.values import PartialDate
    from hulllog.trade.working import Working

FilmFrom = Literal["measured", "litres", "sheet", "typical", "unknown"]


@dataclass(frozen=True, slots=True)
class CoatSeen:
    """One coat: which paint, how much, where and when."""

    coat_id: str
    visit_id: str
    when: PartialDate | None
    number: int
    product_id: str
    product: str
    coating_class: str
    role: str
    colour: str | None
    colour_hex: str | None
    litres: float | None
    whole_bottom: bool
    zone_ids: tuple[str, ...]
    volume_solids: float | None
    film_um: float | None
    air: float | None
    humidity: float | None
    hull: float | None


def coats(book: Book, edge: Edge | None = None) -> list[CoatSeen]:
    """Return all coats up to the edge, in the order in which they went on."""
    found: list[CoatSeen] = []
    for visit, states in up_to(book, edge):
        if "during" in states:
            found += coats_of(book, visit)
    return found


def coats_of(book: Book, visit: Visit) -> list[CoatSeen]:
    """Return the coats of one visit, in order."""
    query = (
        select(Coat, Product)
        .join(Product, Product.id == Coat.product_id)
        .where(Coat.visit_id == visit.id, Coat.withdrawn.is_(False))
        .options(selectinload(Coat.zones))
        .order_by(Coat.number, Coat.entered_at)
    )
    return [_coat(coat, product, visit) for coat, product in book.execute(query)]


def _coat(coat: Coat, product: Product, visit: Visit) -> CoatSeen:
    return CoatSeen(
        coat.id,
        visit.id,
        coat.at or visit.begins,
        coat.number,
        product.id,
        product.name,
        product.coating_class,
        product.role,
        product.colour,
        product.colour_hex,
        coat.litres.in_unit("L") if coat.litres else None,
        coat.whole_bottom,
        tuple(zone.zone_id for zone in coat.zones if not zone.withdrawn),
        product.volume_solids.in_unit("percent") if product.volume_solids else None,
        product.film.in_unit("um") if product.film else None,
        coat.air.in_unit("degC") if coat.air else None,
        coat.humidity.in_unit("percent") if coat.humidity else None,
        coat.hull.in_unit("degC") if coat.hull else None,
    )


@dataclass(frozen=True, slots=True)
class Thread:
    """The antifouling she wore from one relaunch to the next lift."""

    begins: PartialDate
    ends: PartialDate | None
    product: str
    coating_class: str
    colour: str | None
    colour_hex: str | None
    coats: int
    litres: float | None
    visit_id: str
    next_visit_id: str | None


def threads(book: Book) -> list[Thread]:
    """Return what antifouling she wore, season by season."""
    found: list[Thread] = []
    for visit in visits(book):
        if found and found[-1].ends is None and visit.begins and visit.kind == "haul_out":
            found[-1] = replace(found[-1], ends=visit.begins, next_visit_id=visit.id)
        put_on = [coat for coat in coats_of(book, visit) if coat.role == "antifouling"]
        start = visit.ends or visit.begins
        if start is None or visit.kind not in ("haul_out", "drying_out"):
            continue
        if put_on:
            found.append(_thread(visit, start, put_on))
        elif found and visit.kind == "haul_out":
            found.append(replace(found[-1], begins=start, ends=None, next_visit_id=None))
    return found


def _thread(visit: Visit, start: PartialDate, put_on: list[CoatSeen]) -> Thread:
    top = put_on[-1]
    litres = [coat.litres for coat in put_on if coat.litres is not None]
    return Thread(
        start,
        None,
        top.product,
        top.coating_class,
        top.colour,
        top.colour_hex,
        max(len(put_on), top.number),
        sum(litres) if litres else None,
        visit.id,
        None,
    )


@dataclass(frozen=True, slots=True)
class Layer:
    """One layer of the section through the paint, as put on; wear is not taken off."""

    when: PartialDate | None
    product: str
    coating_class: str
    role: str
    colour: str | None
    colour_hex: str | None
    film_um: float | None
    film_from: FilmFrom
    share: float = 1.0


@dataclass(frozen=True, slots=True)
class BuildUp:
    """The section through the paint of a zone, outermost last.

    ``down_to`` is the last removal on record; None means that what lies below is not known.
    """

    zone_id: str
    down_to: str | None
    since: PartialDate | None
    layers: tuple[Layer, ...]


def build_up(book: Book, zone_id: str, edge: Edge | None = None) -> BuildUp:
    """Return the layers that records put on a zone since it was last taken down."""
    zone = book.get(Zone, zone_id)
    below = zone is not None and below_water(zone.code)
    return _section(zone_id, below, _paint_years(book, edge))


def build_ups(book: Book, edge: Edge | None = None) -> list[tuple[Zone, BuildUp]]:
    """Return the build-up of every zone in walking order, the records read once."""
    years = _paint_years(book, edge)
    zones = book.scalars(select(Zone).where(Zone.withdrawn.is_(False)).order_by(Zone.walk_order))
    return [(zone, _section(zone.id, below_water(zone.code), years)) for zone in zones]


@dataclass(frozen=True, slots=True)
class _PaintYear:
    """What one visit took off and put on.  Removals: (down to, zones; none is everywhere)."""

    begins: PartialDate | None
    taken_off: tuple[tuple[str, tuple[str, ...]], ...]
    coats: tuple[CoatSeen, ...]


def _paint_years(book: Book, edge: Edge | None) -> list[_PaintYear]:
    return [
        _PaintYear(visit.begins, _taken_off(book, visit), tuple(coats_of(book, visit)))
        for visit, states in up_to(book, edge)
        if "during" in states
    ]


def _taken_off(book: Book, visit: Visit) -> tuple[tuple[str, tuple[str, ...]], ...]:
    removals = select(Removal).where(Removal.visit_id == visit.id, Removal.withdrawn.is_(False))
    treatments = select(Treatment).where(
        Treatment.visit_id == visit.id, Treatment.withdrawn.is_(False)
    )
    found = [(removal.down_to, tuple(removal.zone_ids)) for removal in book.scalars(removals)]
    found += [
        ("laminate", tuple(treated.zone_ids))
        for treated in book.scalars(treatments)
        if treated.sort == "peeled" and treated.zone_ids
    ]
    return tuple(found)


_BARE = frozenset({"gelcoat", "laminate", "bare_metal", "wood"})


def _section(zone_id: str, below: bool, years: Iterable[_PaintYear]) -> BuildUp:
    down_to: str | None = None
    since: PartialDate | None = None
    layers: list[Layer] = []
    for year in years:
        for removed, where in year.taken_off:
            if where and zone_id not in where:
                continue
            if removed in _BARE:
                layers = []
            elif removed == "primer":
                layers = [layer for layer in layers if layer.role != "antifouling"]
            else:
                continue
            down_to, since = removed, year.begins
        layers += [
            _layer(coat)
            for coat in year.coats
            if zone_id in coat.zone_ids or (coat.whole_bottom and below)
        ]
    return BuildUp(zone_id, down_to, since, tuple(layers))


def _layer(coat: CoatSeen) -> Layer:
    film, source = _film(coat)
    return Layer(
        coat.when,
        coat.product,
        coat.coating_class,
        coat.role,
        coat.colour,
        coat.colour_hex,
        film,
        source,
    )


def _film(coat: CoatSeen) -> tuple[float | None, FilmFrom]:
    if coat.film_um is not None:
        return coat.film_um, "sheet"
    known = CLASSES.get(coat.coating_class)
    return (known.film_um, "typical") if known else (None, "unknown")


def bottom_area(book: Book) -> float | None:
    """Return the antifouled area in m² from the form; None without one."""
    from hulllog.insight.shape import form_of, outlines_of

    form = form_of(book)
    if form is None:
        return None
    return sum(
        zones.area(form, outline) for code, outline in outlines_of(book) if below_water(code)
    )


@dataclass(frozen=True, slots=True)
class SeasonPaint:
    """A season's antifouling, and what fouling it had at the next lift."""

    thread: Thread
    film: Working | None
    fouling: tuple[str, float] | None
    """Worst level of fouling at the next lift and the number of zones rated."""


def mean_film(litres: float, solids: float, area: float, tool: str = "roller") -> Working:
    """Return the mean dry film that litres gave over an area, with the loss of the tool."""
    return films.mean_film(litres, solids, area, tool)


def used_litres(found: Iterable[CoatSeen]) -> float | None:
    """Return the litres of the coats that have them on record."""
    known = [coat.litres for coat in found if coat.litres is not None]
    return sum(known) if known else None
