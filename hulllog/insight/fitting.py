"""Does it fit: the owner's slot and work, read with the data sheets on record, as a plan."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from datetime import datetime, time, timedelta
from typing import TYPE_CHECKING, Literal
from zoneinfo import ZoneInfo

from sqlalchemy import select

from hulllog.insight.buying import edges_area, litres_of
from hulllog.insight.overcoating import may_go_over
from hulllog.insight.shades import below_water
from hulllog.insight.shape import form_version
from hulllog.records.model import Product, ProductWindow, Vessel
from hulllog.records.operations import queries
from hulllog.trade import coatlife, compatibility, fitting, slothours, slotwork
from hulllog.trade.coatclasses import ANTIFOULINGS, CLASSES
from hulllog.trade.refusal import Refusal
from hulllog.trade.slothours import Grid
from hulllog.trade.windows import WindowRow

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Sequence
    from datetime import date

    from hulllog.records.book import Book
    from hulllog.trade.slothours import Day, Hour
    from hulllog.trade.slotwork import Plan, Reach
    from hulllog.trade.working import Working

Sort = Literal["yard", "dock", "grid"]
SORTS: tuple[Sort, ...] = ("yard", "dock", "grid")
GROUPS = ("line", "bottom", "pads", "under")
"""The parts that the work is given by: what comes first, what is at hand, what is reached late."""


@dataclass(frozen=True, slots=True)
class Given:
    """The slot as typed: its sort, its first day, the days, and hours after that midnight.

    ``lift`` and ``back`` are the hours at which she comes out and is due back; on a grid the tides
    say both.
    """

    sort: Sort
    first: date
    days: tuple[Day, ...]
    first_light: int
    last_light: int
    lift: int = 0
    back: int = 0
    washing: int = 1
    drying: int = 0
    anodes: int = 0
    moving: int = 1
    hanging: int = 0
    grid: Grid | None = None


@dataclass(frozen=True, slots=True)
class Wanted:
    """Work on some zones: paints in the order in which they go on, each by its key."""

    code: str
    zone_ids: tuple[str, ...]
    paints: tuple[str, ...]
    coat_hours: int = 2
    removing: int = 0
    abrading: int = 0
    bares: bool = False
    leading: bool = False
    reach: Reach = "open"


@dataclass(frozen=True, slots=True)
class Forbidden:
    """A paint that a rule keeps off some work: which rule, and over what.

    ``firm`` is False where only a fact is missing; that is told, and planned all the same.
    """

    area: str
    rule: str
    product: str
    over: str
    firm: bool


@dataclass(frozen=True, slots=True)
class Edges:
    """The strips along her leading edges, which are parts of zones: their area, and what more the
    coats take there that the zones do not get.
    """

    area: Working
    coats: int
    litres: Working | None


@dataclass(frozen=True, slots=True)
class Asked:
    """What the planner is asked, read from the records: nothing of it needs them any more."""

    given: Given
    slot: slotwork.Slot
    areas: tuple[slotwork.Area, ...]
    forbidden: tuple[Forbidden, ...]
    tides: tuple[Working, ...]
    eroding: frozenset[str]
    """Areas that end in an eroding antifouling."""
    sheets: tuple[tuple[str, str | None], ...]
    """Each paint with the data sheet that it is planned by."""
    time_zone: str
    edges: Edges | None = None
    """The leading edges where they get more coats than the zones that they are parts of."""


@dataclass(frozen=True, slots=True)
class Cost:
    """What fewer coats cost an area: the usual life with those that fit, and with all of them."""

    area: str
    left: Working
    wanted: Working


@dataclass(frozen=True, slots=True)
class Fit:
    """The answer: the plan with what it came from."""

    asked: Asked
    plan: Plan
    costs: tuple[Cost, ...]

    @property
    def verdict(self) -> str:
        """Whether it fits, only part of it or nothing does, or a sheet must be asked first."""
        if self.plan.unknown:
            return "unknown"
        if self.plan.coats and not any(got for _, got in self.plan.coats):
            return "none"
        told = self.plan.fits and not any(one.firm for one in self.asked.forbidden)
        return "fits" if told else "part"


@dataclass(frozen=True, slots=True)
class PlannedTask:
    """A task with the hours at which it begins and ends, by the clock of the place."""

    code: str
    area: str
    number: int
    begins: datetime
    ends: datetime


def groups(book: Book) -> dict[str, tuple[str, ...]]:
    """Return the keys of the zones below the water by the part of the work they usually are."""
    found: dict[str, list[str]] = {code: [] for code in GROUPS}
    for zone, version in queries.zones_at(book):
        pieces = version.outline.get("pieces", ())
        if pieces and all(piece.get("face") == "under" for piece in pieces):
            found["under"].append(zone.id)
        elif zone.code.startswith("waterline"):
            found["line"].append(zone.id)
        elif below_water(zone.code):
            found["bottom"].append(zone.id)
    return {code: tuple(keys) for code, keys in found.items()}


def ask(book: Book, given: Given, works: Sequence[Wanted]) -> Asked:
    """Read what the planner needs.

    Raises Refusal ``no_tide_to_come_on``, ``no_tide_floats_her``, ``slot_upside_down``, or as
    ``slothours.hours_of``.
    """
    slot, tides = _slot(given)
    areas, forbidden = [], []
    for work in works:
        if not work.zone_ids or not work.paints:
            continue
        kept_off = list(_forbidden(book, work))
        forbidden += kept_off
        coats = () if any(one.firm for one in kept_off) else tuple(_coats(book, work))
        areas.append(
            slotwork.Area(
                work.code,
                coats,
                work.removing,
                work.abrading,
                work.bares,
                work.leading,
                # Nobody moves props or hangs her on a grid.
                "under" if given.sort == "grid" and work.reach == "pads" else work.reach,
                len(work.zone_ids),
            )
        )
    used = {key for work in works if work.zone_ids for key in work.paints}
    kept = [product for key in sorted(used) if (product := book.get(Product, key)) is not None]
    eroding = {
        work.code
        for work in works
        if work.paints
        and (last := book.get(Product, work.paints[-1])) is not None
        and last.coating_class in coatlife.ERODING
    }
    return Asked(
        given,
        slot,
        tuple(areas),
        tuple(forbidden),
        tides,
        frozenset(eroding),
        tuple(sorted((product.name, product.sheet) for product in kept)),
        queries.time_zone(book),
        _edges(book, works),
    )


def _edges(book: Book, works: Sequence[Wanted]) -> Edges | None:
    """Return what the leading edges take beyond the coats of the zones that they are parts of."""
    wanted = [one for one in works if one.zone_ids and one.paints]
    line = next((one for one in wanted if one.leading), None)
    if line is None:
        return None
    around = max((len(one.paints) for one in wanted if one.code == "bottom"), default=0)
    more = len(line.paints) - around
    product = book.get(Product, line.paints[-1])
    area = edges_area(book) if more > 0 else None
    if area is None or product is None:
        return None
    # What is more at the end is of the paint that it ends in.
    same = sum(key == product.id for key in line.paints)
    try:
        litres = litres_of(book, product, area, more) if more <= same else None
    except Refusal:
        litres = None
    return Edges(area, more, litres)


def fit(asked: Asked, progress: Callable[[int, int], object] | None = None) -> Fit:
    """Return the best plan.  Raises Refusal ``slot_too_short`` or ``row_twice``."""
    found = (
        fitting.best_plan(asked.slot, asked.areas)
        if progress is None
        else fitting.best_plan(asked.slot, asked.areas, progress)
    )
    costs = []
    for short in found.short:
        area = next(area for area in asked.areas if area.code == short.area)
        got, wanted = (_finishing(area, count) for count in (short.got, short.wanted))
        if short.area in asked.eroding and 0 < got < wanted:
            costs.append(Cost(short.area, coatlife.usual_life(got), coatlife.usual_life(wanted)))
    return Fit(asked, found, tuple(one for one in costs if one.left.value < one.wanted.value))


def _finishing(area: slotwork.Area, count: int) -> int:
    """Return how many of the first coats are of the paint that the area ends in."""
    return sum(coat.paint == area.coats[-1].paint for coat in area.coats[:count])


def uncoated(told: Fit) -> tuple[str, ...]:
    """Return the areas that she stands on and that the plan gives no coat."""
    late = {area.code for area in told.asked.areas if area.reach != "open"}
    return tuple(code for code, got in told.plan.coats if code in late and not got)


def planned(told: Fit) -> tuple[PlannedTask, ...]:
    """Return the tasks of a plan with their beginning and end, in the order of time."""
    # By the clock on the wall: a day of 23 hours has its hours where the yard has them.
    midnight = datetime.combine(
        told.asked.given.first, time(), tzinfo=ZoneInfo(told.asked.time_zone)
    )
    return tuple(
        PlannedTask(
            task.code,
            task.area,
            task.number,
            midnight + timedelta(hours=task.begins),
            midnight + timedelta(hours=task.ends),
        )
        for task in told.plan.tasks
    )


# The slot


def _slot(given: Given) -> tuple[slotwork.Slot, tuple[Working, ...]]:
    count = 24 * len(given.days)
    wet: frozenset[int] = frozenset()
    tides: tuple[Working, ...] = ()
    launches: tuple[int, ...] = ()
    lift = given.lift
    if given.sort == "grid":
        grid = given.grid or Grid((), 0.0, 0.0, 0.0, 0.0)
        on, off = slothours.tide_that_floats(grid.waters, grid.needs, grid.margin)
        tides = tuple(
            slothours.to_spare(water, grid.needs, grid.margin) for water in sorted(grid.waters)
        )
        wet = slothours.wet_hours(grid.waters, grid.dries_after, grid.floods_before, count)
        lift = min(math.ceil(on.at), count - 1)
        launches = (min(math.floor(off.at), count - 1),)
    elif not lift < given.back <= count:
        raise Refusal("slot_upside_down")
    hours = slothours.hours_of(given.days, given.first_light, given.last_light, wet)
    if given.sort != "grid":
        launches = _launches(given, hours)
    made = slotwork.Slot(
        hours,
        lift,
        launches,
        given.washing,
        given.drying,
        given.anodes,
        given.moving,
        0 if given.sort == "grid" else given.hanging,
    )
    return made, tides


def _launches(given: Given, hours: Sequence[Hour]) -> tuple[int, ...]:
    """Return the hours at which she may go back: of a dock the one hour that it sinks."""
    if given.sort == "dock":
        return (given.back,) if given.back < len(hours) else ()
    return tuple(at for at in range(given.lift + 1, given.back) if hours[at].yard)


# The sheets


def _coats(book: Book, work: Wanted) -> Iterable[slotwork.Coat]:
    products = [book.get(Product, key) for key in work.paints]
    for number, product in enumerate(products):
        assert product is not None
        over = products[number + 1] if number + 1 < len(products) else product
        assert over is not None
        sheet = _sheet(book, product.id)
        yield slotwork.Coat(
            product.name,
            work.coat_hours,
            _rows(sheet, "touch_dry"),
            _rows(sheet, "overcoat_self")
            if over.id == product.id
            else _rows(sheet, "overcoat_by", over),
            _rows(sheet, "launch"),
        )


def _sheet(book: Book, product_id: str) -> list[ProductWindow]:
    kept = select(ProductWindow).where(
        ProductWindow.product_id == product_id, ProductWindow.withdrawn.is_(False)
    )
    return list(book.scalars(kept.order_by(ProductWindow.entered_at)))


def _rows(
    sheet: Sequence[ProductWindow], step: str, over: Product | None = None
) -> tuple[WindowRow, ...]:
    """Return the rows of a step that state a shortest time; those for one paint before those for
    any.
    """
    own = [row for row in sheet if row.step == step and row.temperature and row.shortest]
    if over is not None:
        names = {over.name.casefold(), over.coating_class.casefold(), over.role.casefold()}
        named = [row for row in own if row.over and row.over.casefold() in names]
        own = named or [row for row in own if not row.over]
    return tuple(
        WindowRow(
            row.temperature.in_unit("degC"),
            row.shortest.in_unit("h"),
            row.longest.in_unit("h") if row.longest else None,
        )
        for row in own
        if row.temperature is not None and row.shortest is not None
    )


# What a rule forbids


def _forbidden(book: Book, work: Wanted) -> Iterable[Forbidden]:
    first = book.get(Product, work.paints[0])
    for key in dict.fromkeys(work.paints):
        product = book.get(Product, key)
        if product is not None and _copper_forbids(book, product):
            yield Forbidden(work.code, "copper", product.name, "", firm=True)
    if first is None or work.removing:
        return
    told = {one for zone in work.zone_ids if (one := _over(book, work, first, zone)) is not None}
    yield from sorted(told, key=lambda one: (not one.firm, one.rule, one.over))


def _over(book: Book, work: Wanted, first: Product, zone_id: str) -> Forbidden | None:
    """Tell what keeps the first paint off a zone where nothing is taken off."""
    asked = first.coating_class if first.coating_class in compatibility.NEW_COATINGS else None
    over = may_go_over(book, zone_id, asked or compatibility.SOFT)
    old = over.outermost.product if over.outermost else ""
    made = Forbidden(work.code, "", first.name, old, firm=over.outermost is not None)
    if asked is None:
        known = CLASSES.get(first.coating_class)
        old_class = over.outermost.coating_class if over.outermost else ""
        two_pack = known is not None and known.packs > 1
        if two_pack and old_class in ANTIFOULINGS:
            return replace(made, rule="two_pack")
        return None
    treatment = over.verdict.treatment
    if treatment == "abrade" and work.abrading:
        return None
    return replace(made, rule=treatment) if treatment in _BEFORE else None


_BEFORE = frozenset({"abrade", "tie_coat", "remove"})


def _copper_forbids(book: Book, product: Product) -> bool:
    vessel = book.scalars(select(Vessel)).first()
    version = form_version(book)
    drive = str(version.particulars.get("drive", "unknown")) if version else "unknown"
    near = drive if drive in compatibility.DRIVES else "unknown"
    hull = vessel.material if vessel else "unknown"
    return any(
        compatibility.copper_near_aluminium(form, hull, near).verdict == "never_planned"
        for form in product.biocides
        if form in compatibility.COPPER_FORMS
    )
