"""What to buy for the next haul-out: litres and whole tins, primer, thinner, anodes, last prices.

It is read from all that is on record.  What cannot be told is refused with its reason.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Any

from sqlalchemy import select

from hulllog.insight.anodes import positions
from hulllog.insight.condition import zone_versions
from hulllog.insight.forbidden import against
from hulllog.insight.litres import past_litres
from hulllog.insight.paint import (
    UNDERCOATS,
    area_factor,
    areas_of,
    bared,
    coats,
    threads,
    tool_of,
)
from hulllog.insight.paintwork import products
from hulllog.insight.prices import Price, last_price
from hulllog.insight.shape import form_of
from hulllog.records.model import AnodePiece, Product, Setting, Tin
from hulllog.trade import buying as sums
from hulllog.trade import films
from hulllog.trade.coatclasses import CLASSES
from hulllog.trade.refusal import Refusal

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from hulllog.insight.forbidden import Against
    from hulllog.insight.litres import PastLitres
    from hulllog.insight.paint import Areas
    from hulllog.records.book import Book
    from hulllog.records.values import Measured
    from hulllog.trade.buying import Tins
    from hulllog.trade.compatibility import CopperNear
    from hulllog.trade.waters import Suitability
    from hulllog.trade.working import Working

PLAN = "plan"
"""Name of the setting that holds what the owner wants."""
EXTRAS = ("waterline", "leading_edges", "rudder")
"""Where an extra coat may be wanted."""
MOST_COATS = 9
_MOST_SIZES = 6


@dataclass(frozen=True, slots=True)
class Wish:
    """What the owner wants: which antifouling, how many coats, where one more; None as last."""

    product_id: str | None = None
    coats: int | None = None
    extra: tuple[str, ...] = ()

    def stored(self) -> dict[str, Any]:
        """Return it as the setting keeps it."""
        return {"product_id": self.product_id, "coats": self.coats, "extra": list(self.extra)}


def wish(book: Book) -> Wish:
    """Return what the owner wants, as far as it can be read."""
    kept = select(Setting).where(Setting.name == PLAN, Setting.withdrawn.is_(False))
    found = book.scalars(kept).first()
    value = found.value if found else {}
    product, number, extra = (value.get(name) for name in ("product_id", "coats", "extra"))
    return Wish(
        product if isinstance(product, str) else None,
        number if isinstance(number, int) and 1 <= number <= MOST_COATS else None,
        tuple(one for one in EXTRAS if one in extra) if isinstance(extra, list) else (),
    )


@dataclass(frozen=True, slots=True)
class Part:
    """A part of a job: where as a code, how many coats, its area, and the litres it takes."""

    where: str
    coats: int
    area: Working
    litres: Working


@dataclass(frozen=True, slots=True)
class Thinner:
    """A thinner that the sheet of a product names, and the most that its class takes."""

    name: str
    at_most: Working | None


@dataclass(frozen=True, slots=True)
class PaintWanted:
    """A paint to buy.

    ``factor`` is the boat's own, None for none yet or where the owner ``corrected`` the areas
    instead; it rests on ``compared`` coats.  ``zones`` are
    names, none for the whole bottom.  ``common`` says that the tin sizes are not of this product.
    """

    product_id: str
    product: str
    coating_class: str
    role: str
    parts: tuple[Part, ...]
    zones: tuple[str, ...]
    factor: Working | None
    compared: int
    wanted: Working
    tins: Tins
    common: bool
    thinner: Thinner | None
    price: Price | None
    copper: CopperNear | None = None
    """What is said of its copper, where aluminium is near."""
    corrected: float | None = None
    """The factor by which the owner corrected her areas."""


@dataclass(frozen=True, slots=True)
class AnodeWanted:
    """An anode like the one that is fitted at a position."""

    position_id: str
    name: str
    pattern: str | None
    metal: str
    mass: Measured | None
    mass_from: str
    suits: Suitability | None
    price: Price | None


@dataclass(frozen=True, slots=True)
class Untold:
    """What cannot be told, as a code with the values of its sentence."""

    code: str
    values: Mapping[str, Any] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Buying:
    """What to buy; ``bottom`` is the area that antifouling covers."""

    wish: Wish
    bottom: Working | None
    paints: tuple[PaintWanted, ...]
    anodes: tuple[AnodeWanted, ...]
    untold: tuple[Untold, ...]
    choices: tuple[tuple[str, str], ...]
    """Antifoulings on record: (key, name), the one she wears first."""
    past: PastLitres
    """Her litres of antifouling so far, as computed and as used."""


def to_buy(book: Book) -> Buying:
    """Return what to buy, from all that is on record."""
    asked, areas = wish(book), areas_of(book)
    untold: list[Untold] = []
    bottom = areas.over(dict.fromkeys(areas.below, 1.0)) if areas.below else None
    choices = _antifoulings(book)
    paints: list[PaintWanted | None] = []
    if not choices:
        untold.append(Untold("no_antifouling"))
    elif bottom is None:
        untold.append(Untold("no_area"))
    else:
        top = next((one for one in choices if one.id == asked.product_id), choices[0])
        paints.append(_antifouling(book, top, asked, areas, bottom, untold))
    paints.append(_primer(book, areas, untold))
    return Buying(
        asked,
        bottom,
        tuple(one for one in paints if one is not None),
        tuple(_anodes(book, untold)),
        tuple(untold),
        tuple((one.id, one.name) for one in choices),
        past_litres(book),
    )


def _antifoulings(book: Book) -> list[Product]:
    """Return the antifoulings on record, the one she wears first, then the newest."""
    kept = [one for one in products(book) if one.role == "antifouling"]
    worn = threads(book)
    now = worn[-1].product_id if worn else ""
    return sorted(kept, key=lambda one: one.id != now)


def _antifouling(
    book: Book,
    product: Product,
    asked: Wish,
    areas: Areas,
    bottom: Working,
    untold: list[Untold],
) -> PaintWanted | None:
    found = against(book, product, book.now().date())
    if found.never:
        untold += _never(product, found)
        return None
    places = [("all_over", asked.coats or _coats_last(book, product), bottom)]
    for where in asked.extra:
        area = _extra_area(book, where, areas)
        if area is None:
            untold.append(Untold(f"no_{where}"))
        else:
            places.append((where, 1, area))
    paint = _paint(book, product, places, (), untold)
    return replace(paint, copper=found.copper) if paint else None


def _never(product: Product, found: Against) -> list[Untold]:
    """Return why the plan does not propose a paint."""
    told = [
        Untold(
            "forbidden",
            {"product": product.name, "biocide": ban.biocide, "since": ban.since, "of": ban.source},
        )
        for ban in found.bans
    ]
    if found.copper is not None and found.copper.verdict == "never_planned":
        values = {"product": product.name, "reasons": found.copper.reasons}
        told.append(Untold("never_planned", values))
    return told


def _coats_last(book: Book, product: Product) -> int:
    """Return how many coats of this class went on last, else the least that is usual."""
    same = [
        one.coats
        for one in threads(book)
        if one.coating_class == product.coating_class and not one.again
    ]
    known = CLASSES.get(product.coating_class)
    return same[-1] if same else known.coats[0] if known else 2


def _extra_area(book: Book, where: str, areas: Areas) -> Working | None:
    if where == "leading_edges":
        return edges_area(book)
    keys = [
        zone.id
        for zone, _ in zone_versions(book, None)
        if zone.code.startswith(where) and zone.id in areas.zones
    ]
    return areas.over(dict.fromkeys(keys, 1.0)) if keys else None


def edges_area(book: Book) -> Working | None:
    """Return the area of the strips along her leading edges; None where she has none."""
    from hulllog.hull.edges import leading_edges  # with NumPy: start-up does without

    form = form_of(book)
    length = leading_edges(form) if form else 0.0
    return sums.strip_area(length) if length > 0 else None


def litres_of(book: Book, product: Product, area: Working, number: int) -> Working | None:
    """Return the litres that coats of a paint take on an area, by its sheet or typical of its kind.

    None where neither tells.  Raises Refusal ``out_of_range``.
    """
    known = CLASSES.get(product.coating_class)
    film = product.film.in_unit("um") if product.film else known.film_um if known else None
    solids = (
        product.volume_solids.in_unit("percent")
        if product.volume_solids
        else known.solids
        if known
        else None
    )
    if film is None or solids is None:
        return None
    typical = product.film is None or product.volume_solids is None
    tool = tool_of(one for one in coats(book) if one.product_id == product.id)
    return films.litres(area.value, film, float(number), solids, tool, typical=typical)


def _primer(book: Book, areas: Areas, untold: list[Untold]) -> PaintWanted | None:
    """Return the primer for zones that were taken down bare and not primed since."""
    bare = bared(book)
    if not bare:
        return None
    names = tuple(zone.name for zone in bare)
    known = {one.id: one for one in products(book)}
    used = [one.product_id for one in coats(book) if one.role in UNDERCOATS[:2]]
    kept = [key for key in reversed(used) if key in known]
    kept += [key for key, one in known.items() if one.role in UNDERCOATS[:2]]
    if not kept:
        untold.append(Untold("no_primer", {"zones": names}))
        return None
    if any(zone.id not in areas.zones for zone in bare):
        untold.append(Untold("no_area_bared", {"zones": names}))
        return None
    product = known[kept[0]]
    of_class = CLASSES.get(product.coating_class)
    number = of_class.coats[0] if of_class else 1
    area = areas.over({zone.id: 1.0 for zone in bare})
    return _paint(book, product, [("bared", number, area)], names, untold)


def _paint(
    book: Book,
    product: Product,
    places: Sequence[tuple[str, int, Working]],
    zones: tuple[str, ...],
    untold: list[Untold],
) -> PaintWanted | None:
    corrected = area_factor(book)
    sizes = _tin_sizes(book, product)
    try:
        parts = tuple(
            Part(where, number, area, taken)
            for where, number, area in places
            if (taken := litres_of(book, product, area, number)) is not None
        )
        if not parts:
            untold.append(Untold("figures_not_known", {"product": product.name}))
            return None
        factor, compared = own_factor(book, product)
        if corrected is not None:
            factor = None  # her areas hold it already
        litres = [one.litres for one in parts]
        wanted = sums.litres_wanted(litres, factor, corrected=corrected is not None)
        tins = sums.whole_tins(wanted.value, sizes or sums.COMMON_TINS, common=not sizes)
    except Refusal:
        untold.append(Untold("out_of_range", {"product": product.name}))
        return None
    return PaintWanted(
        product.id,
        product.name,
        product.coating_class,
        product.role,
        parts,
        zones,
        factor,
        compared,
        wanted,
        tins,
        not sizes,
        _thinner(product, wanted),
        last_price(book, product.name),
        corrected=corrected,
    )


def own_factor(book: Book, product: Product) -> tuple[Working | None, int]:
    """Return how many times the computed litres her coats of a class took, and of how many coats.

    Raises Refusal ``out_of_range``.
    """
    jobs = _jobs(book, product)
    if not jobs:
        return None, 0
    compared = sum(number for _, _, number in jobs)
    return sums.own_factor([(used, needed) for used, needed, _ in jobs], float(compared)), compared


def area_by_litres(book: Book) -> Working | None:
    """Return the area that the litres of the antifouling she wears make; None where none tells.

    It is that of all zones which antifouling covers.
    """
    areas, worn = areas_of(book), _antifoulings(book)
    if not worn or not areas.below:
        return None
    try:
        factor, _ = own_factor(book, worn[0])
        bottom = areas.over(dict.fromkeys(areas.below, 1.0))
        return sums.area_by_litres(bottom.value, factor) if factor else None
    except Refusal:
        return None


def _jobs(book: Book, product: Product) -> list[tuple[float, float, int]]:
    """Return (litres used, litres computed, coats) of each past job of a like antifouling."""
    if product.role != "antifouling":
        return []
    return [
        (one.used.value, one.computed.value, one.coats)
        for one in past_litres(book).jobs
        if one.coating_class == product.coating_class
    ]


def _tin_sizes(book: Book, product: Product) -> list[float]:
    """Return the contents of this product's tins on record, the newest of them."""
    kept = select(Tin).where(Tin.product_id == product.id, Tin.withdrawn.is_(False))
    found = book.scalars(kept.order_by(Tin.entered_at.desc()))
    sizes = dict.fromkeys(round(one.content.in_unit("L"), 6) for one in found if one.content)
    return list(sizes)[:_MOST_SIZES]


def _thinner(product: Product, wanted: Working) -> Thinner | None:
    if not product.thinner:
        return None
    known = CLASSES.get(product.coating_class)
    if known is None or not known.thinner_most:
        return Thinner(product.thinner, None)
    return Thinner(product.thinner, sums.thinner_at_most(wanted.value, known.thinner_most))


def _anodes(book: Book, untold: list[Untold]) -> list[AnodeWanted]:
    found = []
    for story in positions(book):
        fitted = story.present
        piece = book.get(AnodePiece, fitted.piece_id) if fitted else None
        if fitted is None or piece is None:
            untold.append(Untold("no_anode_fitted", {"position": story.name}))
            continue
        found.append(
            AnodeWanted(
                story.position_id,
                story.name,
                fitted.pattern,
                fitted.metal,
                piece.mass_new,
                fitted.mass_new_from,
                story.suits,
                last_price(book, *(name for name in (fitted.pattern, story.name) if name)),
            )
        )
    return found
