"""What paint she wears and wore: coats of each visit, the thread of antifouling, the build-up."""

from __future__ import annotations

import math
from dataclasses import dataclass, field, replace
from datetime import datetime
from typing import TYPE_CHECKING, Literal

from sqlalchemy import select
from sqlalchemy.orm import selectinload

from hulllog.insight.condition import zone_versions
from hulllog.insight.occasions import OUT_OF_WATER, Edge, up_to
from hulllog.insight.once import once_a_reading
from hulllog.insight.reached import missed_by_whole_bottom
from hulllog.insight.redrawn import MOST, Lineage, lineage
from hulllog.insight.shades import below_water
from hulllog.records.model import Coat, Product, Removal, Treatment, Visit, Zone
from hulllog.records.operations import queries
from hulllog.records.operations.choices import AREAS
from hulllog.trade import films
from hulllog.trade.coatclasses import CLASSES
from hulllog.trade.refusal import Refusal
from hulllog.trade.working import Input, Source, Working

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from hulllog.records.book import Book
    from hulllog.records.values import PartialDate

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
    tool: str | None
    air: float | None
    humidity: float | None
    hull: float | None
    applied_by: str | None
    note: str | None
    shares: tuple[tuple[str, float], ...] = ()
    """Zones of which only a part was coated, each with its share."""

    def share_of(self, zone_id: str) -> float:
        """Return what share of a zone it covered."""
        return dict(self.shares).get(zone_id, 1.0)


@once_a_reading
def coats(book: Book, edge: Edge | None = None) -> list[CoatSeen]:
    """Return all coats up to the edge, in the order in which they went on."""
    found: list[CoatSeen] = []
    for visit, states in up_to(book, edge):
        if "during" in states:
            found += coats_of(book, visit)
    return found


def coats_of(book: Book, visit: Visit) -> list[CoatSeen]:
    """Return the coats of one visit, in order."""
    put_on = [(coat, product) for coat, product in _all_coats(book) if coat.visit_id == visit.id]
    put_on.sort(key=lambda pair: _when_put_on(pair[0], visit))
    return [_coat(coat, product, visit) for coat, product in put_on]


@once_a_reading
def _all_coats(book: Book) -> list[tuple[Coat, Product]]:
    """Return all coats with their products in one go: asked for visit by visit."""
    query = (
        select(Coat, Product)
        .join(Product, Product.id == Coat.product_id)
        .where(Coat.withdrawn.is_(False))
        .options(selectinload(Coat.zones))
    )
    return [(coat, product) for coat, product in book.execute(query)]


def _when_put_on(coat: Coat, visit: Visit) -> tuple[datetime, datetime, int]:
    """Order coats by their date, then as they were entered, then by number."""
    when = coat.at or visit.begins
    return when.earliest if when else coat.entered_at, coat.entered_at, coat.number


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
        coat.tool,
        coat.air.in_unit("degC") if coat.air else None,
        coat.humidity.in_unit("percent") if coat.humidity else None,
        coat.hull.in_unit("degC") if coat.hull else None,
        coat.applied_by,
        coat.note,
        tuple(
            (zone.zone_id, zone.share)
            for zone in coat.zones
            if not zone.withdrawn and zone.share is not None
        ),
    )


@dataclass(frozen=True, slots=True)
class Thread:
    """The antifouling she wore from one relaunch to the next lift.

    ``litres`` are those on record for ``measured`` of the ``coats``.  ``visit_id`` is where it went
    on; ``again`` says that it was worn before and not renewed at the lift between.
    """

    begins: PartialDate
    ends: PartialDate | None
    product_id: str
    product: str
    coating_class: str
    colour: str | None
    colour_hex: str | None
    coats: int
    used: Working | None
    measured: int
    visit_id: str
    next_visit_id: str | None
    again: bool = False

    @property
    def litres(self) -> float | None:
        """The litres used; None where none are on record."""
        return None if self.used is None else self.used.value


@once_a_reading
def threads(book: Book, edge: Edge | None = None) -> list[Thread]:
    """Return what antifouling she wore up to the edge, season by season."""
    found: list[Thread] = []
    for visit, states in up_to(book, edge):
        if visit.kind not in OUT_OF_WATER:
            continue
        done = "during" in states
        put_on = [coat for coat in coats_of(book, visit) if coat.role == "antifouling" and done]
        hauled = visit.kind == "haul_out"
        if found and found[-1].ends is None and visit.begins and (hauled or put_on):
            found[-1] = replace(found[-1], ends=visit.begins, next_visit_id=visit.id)
        start = visit.ends or visit.begins
        if start is None or not done:
            continue
        if put_on:
            found.append(_thread(visit, start, put_on))
        elif hauled and found and not _all_taken_off(book, visit):
            worn = replace(found[-1], begins=start, ends=None, next_visit_id=None, again=True)
            found.append(worn)
    return found


@dataclass(frozen=True, slots=True)
class Worn:
    """What coats she wore until they were renewed, with the times ashore inside that span."""

    thread: Thread
    ends: PartialDate | None
    ashore: tuple[tuple[PartialDate, PartialDate], ...]


def worn_once(found: Iterable[Thread]) -> list[Worn]:
    """Return each coat once, however often she was lifted without renewing it."""
    told: list[Worn] = []
    for thread in found:
        last = told[-1] if told else None
        if thread.again and last and last.ends:
            out = (last.ends, thread.begins)
            told[-1] = Worn(last.thread, thread.ends, (*last.ashore, out))
        else:
            told.append(Worn(thread, thread.ends, ()))
    return told


def _all_taken_off(book: Book, visit: Visit) -> bool:
    """Tell whether a visit took the antifouling off the whole bottom."""
    return any(
        not where and down_to != "sound_antifouling" for down_to, where in taken_off(book, visit)
    )


def _thread(visit: Visit, start: PartialDate, put_on: list[CoatSeen]) -> Thread:
    top = put_on[-1]
    same = [coat for coat in put_on if coat.product_id == top.product_id]
    return Thread(
        start,
        None,
        top.product_id,
        top.product,
        top.coating_class,
        top.colour,
        top.colour_hex,
        max(len(same), top.number),
        used_litres(put_on),
        sum(coat.litres is not None for coat in put_on),
        visit.id,
        None,
    )


@dataclass(frozen=True, slots=True)
class Layer:
    """One layer of the section through the paint, as put on; wear is not taken off.

    ``share`` is of the zone, where the coat went on a part of it.
    """

    when: PartialDate | None
    product: str
    coating_class: str
    role: str
    colour: str | None
    colour_hex: str | None
    film_um: float | None
    film_from: FilmFrom
    share: float = 1.0
    film: Working | None = None
    """How its film came from litres; None where it is by a sheet, of a class, or not known."""
    area: Working | None = None
    """The area of ``film``."""


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
    """Return the layers that records put on a zone since it was last taken down.

    A coat on the whole bottom is on what could be reached of it: not on a zone that the same
    haul-out says could not be seen, and on the sole of a keel only where that was seen whole.
    """
    zone = book.get(Zone, zone_id)
    below = zone is not None and below_water(zone.code)
    return _section(zone_id, below, _paint_years(book, edge), areas_of(book, edge))


def build_ups(book: Book, edge: Edge | None = None) -> list[tuple[Zone, BuildUp]]:
    """Return the build-up of every zone in walking order, the records read once."""
    years, areas = _paint_years(book, edge), areas_of(book, edge)
    return [
        (zone, _section(zone.id, below_water(zone.code), years, areas))
        for zone, _ in zone_versions(book, edge)
    ]


UNDERCOATS = ("primer", "barrier", "tie")
"""Roles of what lies under an antifouling."""


def bared(book: Book) -> list[Zone]:
    """Return the zones that were taken down bare and have no undercoat since, in walking order."""
    years, no_areas = _paint_years(book, None), Areas({}, (), {})  # their films are not asked for
    found = []
    for zone, _ in zone_versions(book, None):
        section = _section(zone.id, below_water(zone.code), years, no_areas)
        undercoated = any(layer.role in UNDERCOATS for layer in section.layers)
        if section.down_to in _BARE and not undercoated:
            found.append(zone)
    return found


DRAWN = Source("our own rule", "the form drawn from her particulars, cell by cell")
"""Where an area of her skin comes from."""
BY_HAND = Source("recorded", "outlines that the owner drew on a flat picture of known scale")
"""Where the area of zones comes from that no form shows."""


@dataclass(frozen=True, slots=True)
class Areas:
    """Areas in m²: of each zone by its key with its number, and which antifouling covers."""

    zones: Mapping[str, tuple[int, float]]
    below: tuple[str, ...]
    missed: Mapping[str, frozenset[str]]
    """By visit the zones that paint on the whole bottom did not reach."""
    lineage: Lineage = field(default_factory=Lineage)
    factor: float = 1.0
    """By which the owner corrected the areas that antifouling covers."""
    flat: frozenset[str] = frozenset()
    """Zones whose area is that of an outline drawn by hand on a flat picture."""
    unscaled: bool = False
    """Whether zones below the water have no area, drawn on a picture without a scale."""

    @property
    def bottom(self) -> float | None:
        """The area that antifouling covers; None without a form."""
        return self.over(dict.fromkeys(self.below, 1.0)).value if self.below else None

    def of(self, coat: CoatSeen) -> Working | None:
        """Return the area that a coat covered; None where it cannot be known."""
        missed = self.missed.get(coat.visit_id, frozenset())
        if coat.whole_bottom:
            reached = {key: 1 - self._then(coat, key, _all_of(missed)) for key in self.below}
        else:
            shares = {key: coat.share_of(key) for key in coat.zone_ids}
            drawn = self.zones if self.lineage.held else coat.zone_ids
            reached = {key: self._then(coat, key, shares) for key in drawn}
        wanted = {key: share for key, share in reached.items() if share > 0}
        if not wanted or any(key not in self.zones for key in wanted):
            return None
        return self.over(wanted)

    def _then(self, coat: CoatSeen, zone_id: str, shares: Mapping[str, float]) -> float:
        return self.lineage.share(coat.visit_id, zone_id, shares)

    def over(self, shares: Mapping[str, float]) -> Working:
        """Return the area of zones by their keys, of each the share that is given.

        Raises KeyError for a zone without an area.
        """
        known = sorted((*self.zones[key], share, key) for key, share in shares.items())
        below = self.below if self.factor != 1.0 else ()
        inputs = [Input("f", self.factor, "1", "set_by_owner")] if below else []
        for number, area, share, key in known:
            letter = "A" if not below or key in below else "B"
            inputs.append(Input(f"{letter}_{{{number}}}", area, "m2"))
            if share < 1:
                inputs.append(Input(f"s_{{{number}}}", share, "1"))
        parted = any(share < 1 for _, _, share, _ in known)
        sums = ("Σs_n·A_n", "Σs_m·B_m") if parted else ("ΣA_n", "ΣB_m")
        other = below and any(key not in below for *_, key in known)
        formula = f"A = f·{sums[0]}" if below else f"A = {sums[0]}"
        return Working(
            name="area_covered",
            value=math.fsum(
                area * share * (self.factor if key in below else 1.0)
                for _, area, share, key in known
            ),
            unit="m2",
            formula=f"{formula} + {sums[1]}" if other else formula,
            inputs=tuple(inputs),
            source=BY_HAND if shares.keys() <= self.flat else DRAWN,
            cautions=self._cautions(shares),
        )

    def _cautions(self, shares: Mapping[str, float]) -> tuple[str, ...]:
        found = ["skin_zone_numbers"]
        if not shares.keys() <= self.flat:
            found.append("skin_of_the_drawn_form")
        if shares.keys() & self.flat:
            found.append("drawn_flat")
        if self.unscaled and self.below and shares.keys() >= set(self.below):
            found.append("some_without_scale")
        return tuple(found)


def area_factor(book: Book) -> float | None:
    """Return the factor by which the owner corrected her areas; None where they stand as drawn."""
    found = (queries.setting(book, AREAS) or {}).get("factor")
    return float(found) if found else None


def areas_of(book: Book, edge: Edge | None = None) -> Areas:
    """Return the areas of her zones from the form that held at the edge, or as drawn by hand."""
    from hulllog.hull import zones  # with NumPy: start-up does without
    from hulllog.hull.handdrawn import is_own
    from hulllog.insight.ownviews import own_areas
    from hulllog.insight.shape import form_of, outline

    form, drawn = form_of(book, edge), own_areas(book, edge)
    found: dict[str, tuple[int, float]] = {}
    below: list[str] = []
    unscaled = False
    for number, (zone, version) in enumerate(zone_versions(book, edge), 1):
        if is_own(zone.code):
            if zone.id not in drawn:
                unscaled = unscaled or below_water(zone.code)
                continue
            found[zone.id] = number, drawn[zone.id].value
        elif form is not None:
            found[zone.id] = number, zones.area(form, outline(version.outline))
        if below_water(zone.code) and zone.id in found:
            below.append(zone.id)
    missed = missed_by_whole_bottom(book)
    by_visit = {visit.id: missed(visit.id) for visit, _ in up_to(book, edge)}
    made_of, factor = lineage(book, edge), area_factor(book)
    return Areas(found, tuple(below), by_visit, made_of, factor or 1.0, frozenset(drawn), unscaled)


def _all_of(zone_ids: Iterable[str]) -> dict[str, float]:
    return dict.fromkeys(zone_ids, 1.0)


@dataclass(frozen=True, slots=True)
class _PaintYear:
    """What one visit took off and put on.  Removals: (down to, zones; none is everywhere)."""

    visit_id: str
    begins: PartialDate | None
    taken_off: tuple[tuple[str, tuple[str, ...]], ...]
    coats: tuple[CoatSeen, ...]
    missed: frozenset[str]
    """Zones that paint on the whole bottom did not reach."""
    lineage: Lineage

    def mostly(self, zone_id: str, zones: Iterable[str]) -> bool:
        """Tell whether most of a zone lay in zones as they were drawn then."""
        return self.lineage.share(self.visit_id, zone_id, _all_of(zones)) >= MOST

    def coated(self, coat: CoatSeen, zone_id: str, below: bool) -> float:
        """Return what share of a zone a coat covered."""
        if coat.whole_bottom:
            return float(below and not self.mostly(zone_id, self.missed))
        shares = {key: coat.share_of(key) for key in coat.zone_ids}
        return self.lineage.share(self.visit_id, zone_id, shares)


def _paint_years(book: Book, edge: Edge | None) -> list[_PaintYear]:
    missed, made_of = missed_by_whole_bottom(book), lineage(book, edge)
    return [
        _PaintYear(
            visit.id,
            visit.begins,
            taken_off(book, visit),
            tuple(coats_of(book, visit)),
            missed(visit.id),
            made_of,
        )
        for visit, states in up_to(book, edge)
        if "during" in states
    ]


PEELED_TO = "laminate"
"""What peeling goes down to."""


def taken_off(book: Book, visit: Visit) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """Return what a visit took off: (down to, zones; none is everywhere), peeling among it."""
    removals = select(Removal).where(Removal.visit_id == visit.id, Removal.withdrawn.is_(False))
    treatments = select(Treatment).where(
        Treatment.visit_id == visit.id, Treatment.withdrawn.is_(False)
    )
    found = [(removal.down_to, tuple(removal.zone_ids)) for removal in book.scalars(removals)]
    found += [
        (PEELED_TO, tuple(treated.zone_ids))
        for treated in book.scalars(treatments)
        if treated.sort == "peeled" and treated.zone_ids
    ]
    return tuple(found)


_BARE = frozenset({"gelcoat", "laminate", "bare_metal", "wood"})


def _section(zone_id: str, below: bool, years: Iterable[_PaintYear], areas: Areas) -> BuildUp:
    down_to: str | None = None
    since: PartialDate | None = None
    layers: list[Layer] = []
    for year in years:
        for removed, where in year.taken_off:
            if where and not year.mostly(zone_id, where):
                continue
            if removed in _BARE:
                layers = []
            elif removed == "primer":
                layers = [layer for layer in layers if layer.role != "antifouling"]
            else:
                continue
            down_to, since = removed, year.begins
        layers += [
            _layer(coat, areas, share)
            for coat in year.coats
            if (share := year.coated(coat, zone_id, below)) > 0
        ]
    return BuildUp(zone_id, down_to, since, tuple(layers))


def _layer(coat: CoatSeen, areas: Areas, share: float = 1.0) -> Layer:
    film, source, working = _film(coat, areas)
    area = areas.of(coat) if working else None
    return Layer(
        coat.when,
        coat.product,
        coat.coating_class,
        coat.role,
        coat.colour,
        coat.colour_hex,
        film,
        source,
        share,
        working,
        area,
    )


def _film(coat: CoatSeen, areas: Areas) -> tuple[float | None, FilmFrom, Working | None]:
    """Return the dry film of a coat in µm: from its litres, by its sheet, or of its class."""
    used = film_of(coat, areas)
    if used is not None:
        return used.value, "litres", used
    if coat.film_um is not None:
        return coat.film_um, "sheet", None
    known = CLASSES.get(coat.coating_class)
    return (known.film_um, "typical", None) if known else (None, "unknown", None)


def film_of(coat: CoatSeen, areas: Areas) -> Working | None:
    """Return the mean dry film that the litres of a coat left; None where a figure is missing.

    The volume solids must be of the product's own sheet.
    """
    area = areas.of(coat)
    if area is None or coat.litres is None or coat.volume_solids is None:
        return None
    try:
        return films.mean_film(coat.litres, coat.volume_solids, area.value, tool_of([coat]))
    except Refusal:
        return None


USUAL_TOOL = "roller"
"""What a coat is taken to have been put on with where that is not on record.  Our own rule."""


def tool_of(coats: Iterable[CoatSeen]) -> str:
    """Return what all coats were put on with, or what is usual."""
    tools = {coat.tool or "" for coat in coats} & set(films.LOSSES)
    return tools.pop() if len(tools) == 1 else USUAL_TOOL


def bottom_area(book: Book, edge: Edge | None = None) -> float | None:
    """Return the antifouled area in m² from the form; None without one."""
    return areas_of(book, edge).bottom


def used_litres(found: Iterable[CoatSeen]) -> Working | None:
    """Return the litres of the coats that have them on record; None where none has."""
    known = [coat.litres for coat in found if coat.litres is not None]
    if not known:
        return None
    return Working(
        name="litres_used",
        value=math.fsum(known),
        unit="L",
        formula="V = ΣV_n",
        inputs=(Input("V_n", tuple(known), "L"),),
        source=Source("recorded"),
    )
