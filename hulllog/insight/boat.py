"""The boat as the records have her: her form, what of it is assumed, and the areas of her skin."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from sqlalchemy import func, select

from hulllog.hull import zones
from hulllog.hull.handdrawn import is_own
from hulllog.hull.particulars import Particulars
from hulllog.hull.patches import Place
from hulllog.insight.buying import area_by_litres
from hulllog.insight.condition import zone_versions
from hulllog.insight.ownviews import OwnZone, own_zones
from hulllog.insight.paint import DRAWN, area_factor, areas_of
from hulllog.insight.shades import below_water
from hulllog.insight.shape import built, form_version, outline
from hulllog.records.errors import Refused
from hulllog.records.model import (
    AnodePosition,
    Gear,
    Inspection,
    MeasuringPoint,
    Photo,
    PhotoPlace,
    Spot,
)
from hulllog.records.operations import queries
from hulllog.records.operations import typed as t
from hulllog.records.operations.choices import AREAS, zone_sort
from hulllog.records.operations.placing import led
from hulllog.records.operations.vessel import (
    MEASURES,
    PARTICULARS,
    corrected,
    typed_measure,
    zone_name,
)
from hulllog.trade import areas
from hulllog.trade.refusal import Refusal
from hulllog.trade.working import Input, Working

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Mapping

    from hulllog.hull.form import HullForm
    from hulllog.hull.zones import ZoneOutline
    from hulllog.insight.occasions import Edge
    from hulllog.records.book import Book
    from hulllog.records.values import Measured, PartialDate, Where

FAR = 0.1
"""Metres that a marked place must move before a correction tells of it.  Our own rule."""
_CRAFT = {
    "fin": "fin_keel",
    "bulb": "fin_keel",
    "wing": "fin_keel",
    "lifting": "fin_keel",
    "twin": "bilge_keels",
    "long": "long_keel",
}
_ROUND_BILGE = ("yacht", "small")
"""Kinds whose hull the Delft series knows."""
_SYMBOLS = (("LOA", "length"), ("LWL", "lwl"), ("B", "beam"), ("T", "draught"))


@dataclass(frozen=True, slots=True)
class ZoneArea:
    """A zone in walking order with the area of its outline in m²; ``zone_id`` is empty when new."""

    zone_id: str
    code: str
    number: int
    name: str
    outline: ZoneOutline
    area: float

    @property
    def below(self) -> bool:
        """Whether antifouling covers it."""
        return below_water(self.code)


@dataclass(frozen=True, slots=True)
class BoatForm:
    """One version of her form: the particulars, what of them is assumed, shape, zones and areas.

    ``typed`` holds the measures that were given, ``drawn`` those that the form took instead (metres
    and kilograms).  ``present`` is False for a form that a conversion ended.
    """

    version_id: str
    number: int
    begins: PartialDate | None
    present: bool
    particulars: Particulars
    assumed: frozenset[str]
    typed: Mapping[str, Measured]
    form: HullForm
    zones: tuple[ZoneArea, ...]
    own: tuple[OwnZone, ...] = ()
    """Zones that were drawn by hand and that the form has not."""

    @property
    def drawn(self) -> dict[str, float]:
        """The measures of the form as drawn, for those that nobody gave."""
        return drawn_measures(self.form)

    @property
    def disagreement(self) -> tuple[float, float] | None:
        """Displacement given and reached, kg, where the particulars contradict each other."""
        return self.form.disagreement


def boat_form(book: Book, edge: Edge | None = None) -> BoatForm | None:
    """Return her form at an edge, the newest for None; None while there is none."""
    version = form_version(book, edge)
    if version is None:
        return None
    newest = queries.form_version(book)
    form = built(version.particulars)
    typed = {field: typed_measure(version, field) for field in MEASURES}
    return BoatForm(
        version.id,
        version.number,
        version.begins,
        newest is None or newest.id == version.id,
        Particulars.from_json(version.particulars),
        frozenset(version.assumed),
        {field: value for field, value in typed.items() if value is not None},
        form,
        _zones(book, edge, form),
        tuple(own_zones(book, edge)),
    )


def _zones(book: Book, edge: Edge | None, form: HullForm) -> tuple[ZoneArea, ...]:
    rows = []
    for number, (zone, version) in enumerate(zone_versions(book, edge), 1):
        if is_own(zone.code):
            continue  # told by insight.ownviews: no form has it
        shape = outline(version.outline)
        rows.append(ZoneArea(zone.id, zone.code, number, zone.name, shape, zones.area(form, shape)))
    return tuple(rows)


def tried(book: Book, shown: BoatForm, typed: Mapping[str, t.Typed]) -> BoatForm:
    """Return her form as it would be with other particulars; nothing is stored.

    Raises Refused for what cannot be kept.
    """
    values = t.read(book, PARTICULARS, typed)
    vessel = queries.vessel(book)
    assumed = {field for field in shown.assumed if values.get(field) is None}
    assumed |= {field for field in ("lwl",) if field in values and values[field] is None}
    material = vessel.material if vessel else "grp"
    changed = corrected(shown.particulars, values, sorted(assumed), material)
    form = built(changed.to_json())
    measures = {**shown.typed, **{field: values[field] for field in values if field in MEASURES}}
    return replace(
        shown,
        particulars=changed,
        assumed=frozenset(assumed),
        typed={field: value for field, value in measures.items() if value is not None},
        form=form,
        zones=_redrawn(shown, form),
    )


def _redrawn(shown: BoatForm, form: HullForm) -> tuple[ZoneArea, ...]:
    """Return the zones on another form: those there are, or new ones where her parts change."""
    if not parts_change(shown.form, form):
        return tuple(replace(zone, area=zones.area(form, zone.outline)) for zone in shown.zones)
    return tuple(
        ZoneArea("", new.code, number, zone_name(new.code), new, zones.area(form, new))
        for number, new in enumerate(zones.default_zones(form), 1)
    )


def parts_change(before: HullForm, after: HullForm) -> bool:
    """Tell whether another form has other parts, so that her zones would be drawn anew."""
    return before.parts != after.parts or before.particulars.kind != after.particulars.kind


def drawn_measures(form: HullForm) -> dict[str, float]:
    """Return the measures of a form that need not be given, in metres and kilograms."""
    bow, middle, stern = form.solved.lines.profile.freeboards
    return {
        "lwl": form.particulars.lwl,
        "freeboard_bow": bow,
        "freeboard_middle": middle,
        "freeboard_stern": stern,
        "waterline_beam": form.waterline_beam,
        "displacement": form.displacement,
    }


# Areas


def skin(shown: BoatForm) -> list[Working]:
    """Return the areas of her skin in m² by integration, her displacement, and a rule to compare.

    ``skin_antifouled``, ``skin_below_water``, of that ``skin_hull`` and ``skin_foils``,
    ``skin_band``, ``skin_topsides``, ``skin_displacement``, and where the trade has them for her
    sort ``owners_rule`` for all below water, ``delft`` and ``area_by_several_rules`` for the hull.
    """
    below = [(zone.number, zone.area) for zone in shown.zones if zone.below]
    by_hand = [
        (zone.number, zone.area.value)
        for zone in shown.own
        if zone.area is not None and below_water(zone.code)
    ]
    inputs = _measures(shown)
    unscaled = any(zone.area is None and below_water(zone.code) for zone in shown.own)
    found = [
        Working(
            name="skin_antifouled",
            value=math.fsum(area for _, area in (*below, *by_hand)),
            unit="m2",
            formula="A = ΣA_n",
            inputs=tuple(
                Input(f"A_{{{number}}}", area, "m2") for number, area in (*below, *by_hand)
            ),
            source=DRAWN,
            cautions=(
                "skin_zone_numbers",
                "skin_of_the_drawn_form",
                *(("drawn_flat",) if by_hand else ()),
                *(("some_without_scale",) if unscaled else ()),
            ),
        ),
        _integrated("skin_below_water", zones.wetted_area(shown.form), inputs),
        _integrated("skin_hull", zones.wetted_hull(shown.form), inputs),
        *(
            [_integrated("skin_foils", zones.wetted_foils(shown.form), inputs)]
            if shown.form.foils
            else []
        ),
        _integrated("skin_band", zones.band_area(shown.form), inputs),
        _integrated("skin_topsides", zones.topsides_area(shown.form), inputs),
        Working(
            name="skin_displacement",
            value=shown.form.displacement,
            unit="kg",
            formula="Δ = ρ·V",
            inputs=(Input("V", shown.form.volume, "m3"), *inputs),
            source=DRAWN,
            cautions=("skin_of_the_drawn_form",),
        ),
    ]
    return [*found, *_compared(shown)]


@dataclass(frozen=True, slots=True)
class Cut:
    """A zone as it would be cut: her form with both parts, and which part is which as codes."""

    form: BoatForm
    one: ZoneArea
    other: ZoneArea
    which: tuple[str, str]


def cut(shown: BoatForm, zone: ZoneArea, way: str, share: float) -> Cut:
    """Return a zone as it would be cut; nothing is stored.  The first part goes on as the zone.

    The parts are told apart by how they lie most: further forward or aft, lower or higher, or to a
    side.  Raises Refused ``cut_nothing``.
    """
    try:
        first, second = zones.split(zone.outline, way, share, f"{zone.code}-2")
    except ValueError as problem:
        raise Refused("cut_nothing", field="share") from problem
    place = shown.zones.index(zone)
    listed = [(one.zone_id, one.code, one.name, one.outline, one.area) for one in shown.zones]
    listed[place : place + 1] = [
        (zone.zone_id, part.code, zone.name, part, zones.area(shown.form, part))
        for part in (first, second)
    ]
    parts = tuple(
        ZoneArea(key, code, number, name, shape, area)
        for number, (key, code, name, shape, area) in enumerate(listed, 1)
    )
    which = _which(shown.form, first, second, apart=way == "faces")
    return Cut(replace(shown, zones=parts), parts[place], parts[place + 1], which)


def _which(
    form: HullForm, first: ZoneOutline, second: ZoneOutline, *, apart: bool
) -> tuple[str, str]:
    one, other = (zones.middle(form, part) for part in (first, second))
    axis = max(range(3), key=lambda n: abs(other[n] - one[n]))
    low, high = one[axis], other[axis]
    names = (("forward", "aft"), ("starboard", "port"), ("lower", "upper"))[axis]
    if axis == 1 and not apart:
        names, low, high = ("inner", "outer"), abs(low), abs(high)
    return names if low <= high else names[::-1]


def joining(shown: BoatForm, zone: ZoneArea) -> tuple[ZoneArea, ...]:
    """Return the zones that another can be joined to."""
    sort = zone_sort(zone.code)
    return tuple(
        one for one in shown.zones if one.zone_id != zone.zone_id and zone_sort(one.code) == sort
    )


@dataclass(frozen=True, slots=True)
class AreaTold:
    """What is told beside the areas as drawn of the skin that antifouling covers.

    ``by_litres`` is the area that the litres used would make, ``factor`` what the owner set and
    ``corrected`` the area by it; None where there is none.
    """

    by_litres: Working | None
    factor: float | None
    reason: str
    corrected: Working | None


def area_told(book: Book) -> AreaTold:
    """Return what the litres used and the owner say of the area that antifouling covers."""
    factor, areas = area_factor(book), areas_of(book)
    whole = dict.fromkeys(areas.below, 1.0)
    return AreaTold(
        area_by_litres(book),
        factor,
        (queries.setting(book, AREAS) or {}).get("reason") or "",
        areas.over(whole) if factor is not None and whole else None,
    )


def zone_skin(shown: BoatForm, zone: ZoneArea) -> Working:
    """Return the area of one zone in m² by integration."""
    return _integrated("zone_area", zone.area, _measures(shown))


def _integrated(name: str, value: float, inputs: tuple[Input, ...]) -> Working:
    return Working(
        name=name,
        value=value,
        unit="m2",
        formula="A = Σ½·|d₁ × d₂|",
        inputs=inputs,
        source=DRAWN,
        cautions=("skin_cells", "skin_of_the_drawn_form"),
    )


def _measures(shown: BoatForm) -> tuple[Input, ...]:
    return tuple(
        Input(
            symbol,
            getattr(shown.particulars, field),
            "m",
            "assumed" if field in shown.assumed else "as_typed",
        )
        for symbol, field in _SYMBOLS
    )


def _compared(shown: BoatForm) -> list[Working]:
    """Return the rules of the trade for her sort; none where it has none."""
    p = shown.particulars
    craft = _CRAFT.get(p.keel) if p.kind == "yacht" else None
    if p.kind in ("motor", "planing"):
        craft = "motor_boat"
    found = []
    if craft is not None:
        found += _unless_refused(lambda: [areas.owners_rule(craft, p.lwl, p.beam, p.draught)])
    if p.kind in _ROUND_BILGE:
        found += _unless_refused(lambda: _of_hull(shown.form))
    return found


def _of_hull(form: HullForm) -> list[Working]:
    """Return the wetted surface of the hull alone by the Delft series, and by several rules."""
    length, depth, volume = form.waterline_length, form.solved.depth, form.solved.body
    one = areas.delft(length, form.waterline_beam, depth, volume, form.midship)
    others = [areas.denny_mumford(length, depth, volume), areas.taylor(length, volume)]
    return [one, areas.spread([one, *others])]


def _unless_refused(reckon: Callable[[], list[Working]]) -> list[Working]:
    try:
        return reckon()
    except Refusal:
        return []


# What a correction moves


@dataclass(frozen=True, slots=True)
class Moved:
    """A marked place that a correction moved: what it belongs to, how it is called, how far in m.

    ``far`` is None where the part that it lay on is gone.
    """

    table: str
    name: str
    far: float | None


def moved_places(book: Book, before: HullForm, after: HullForm) -> list[Moved]:
    """Return the marked places that lie over FAR from where they lay, the farthest first."""
    found = []
    for table, name, place in _places(book):
        old, new = _point(before, place), _point(after, led(after, place))
        if old is None or (new is not None and math.dist(old, new) <= FAR):
            continue
        found.append(Moved(table, name, math.dist(old, new) if new else None))
    return sorted(found, key=lambda one: math.inf if one.far is None else one.far, reverse=True)


@dataclass(frozen=True, slots=True)
class Trial:
    """What other particulars would do to her record; nothing is stored.

    ``moved`` are the marked places that a correction moves far, ``gone`` the names of the zones
    that it takes away, ``looks`` how many looks at her zones are on record.
    """

    form: BoatForm
    zones_anew: bool
    gone: tuple[str, ...]
    moved: tuple[Moved, ...]
    looks: int

    @property
    def tells(self) -> bool:
        """Whether looks on record would be shown otherwise, so that the owner is asked first."""
        return bool(self.looks) and (self.zones_anew or bool(self.moved))


def trial(book: Book, shown: BoatForm, typed: Mapping[str, t.Typed]) -> Trial:
    """Return what other particulars would do.  Raises Refused for what cannot be kept."""
    form = tried(book, shown, typed)
    kept = {zone.code for zone in form.zones}
    return Trial(
        form,
        parts_change(shown.form, form.form),
        tuple(zone.name for zone in shown.zones if zone.code not in kept),
        tuple(moved_places(book, shown.form, form.form)),
        looks_on_record(book),
    )


def _places(book: Book) -> Iterator[tuple[str, str, Where]]:
    for spot in queries.kept(book, Spot):
        if spot.place is not None:
            yield "spot", f"{spot.number} {spot.label}", spot.place
    for position in queries.kept(book, AnodePosition):
        if position.place is not None:
            yield "anode_position", position.name, position.place
    for gear in queries.kept(book, Gear):
        if gear.place is not None:
            yield "gear", gear.name, gear.place
    for point in queries.kept(book, MeasuringPoint):
        if point.place is not None:
            yield "measuring_point", str(point.number), point.place
    shown = select(PhotoPlace, Photo).join(Photo, Photo.id == PhotoPlace.photo_id)
    for seen, photo in book.execute(shown.where(PhotoPlace.withdrawn.is_(False))):
        if seen.place is not None:
            yield "photo", photo.caption or photo.file_name or "", seen.place


def own_marks(book: Book) -> list[tuple[str, Where]]:
    """Return what may serve as a mark of one's own for a tape: fittings, anodes, spots, points."""
    return [(name, place) for table, name, place in _places(book) if table != "photo"]


def _point(form: HullForm, place: Where) -> tuple[float, float, float] | None:
    try:
        return form.point(Place(place.part, place.face, place.u, place.v))
    except KeyError:
        return None


def looks_on_record(book: Book) -> int:
    """Return how many looks at her zones are on record."""
    query = select(func.count()).select_from(Inspection).where(Inspection.withdrawn.is_(False))
    return int(book.scalar(query) or 0)
