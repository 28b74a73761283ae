"""How a haul-out is entered: the short form for most, the walk round her for some."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from typing import TYPE_CHECKING

from hulllog.records.model import Coat
from hulllog.records.operations import anodes, around, coatings, looks, queries, spots, visits
from hulllog.records.operations.measuring import Rated
from hulllog.records.operations.short import ShortHaulOut, ShortLook, short_haul_out

from . import years
from .clock import ZONE
from .teller import (
    ABOVE_LOOK,
    COVER_LOOK,
    FOULING_LOOK,
    KEEL_LOOK,
    WET_LOOK,
    blisters,
    cover,
    crack,
    fouling,
    rust,
)
from .years import (
    BLISTERED,
    BOTTOM,
    CRACKED,
    KEELS,
    LAPPED,
    RUSTING,
    UNDERSIDES,
    HaulOut,
    year_of,
)

if TYPE_CHECKING:
    from .teller import Teller

HAIRLINE = Rated("crack", {"length_mm": "40 mm", "width_mm": "0.2 mm"}, {"washed": "washed"})
LOOKED_FOR = ["laminate-blisters", "level-of-fouling", "rust-spots", "crack", "damage"]


def first_day(haul_out: HaulOut) -> date:
    """Return the day of the lift of a haul-out whose dates are known."""
    return date.fromisoformat(haul_out.begins[:10])


def look_day(haul_out: HaulOut) -> str | None:
    """Return the day of the look; None where no more than the haul-out is known of it."""
    if haul_out.entered is not None:
        return None
    return haul_out.looked or haul_out.begins[:10]


def on_its_day(rated: Rated, haul_out: HaulOut) -> Rated:
    """Date what was seen as found by the day of the look, not by that of the lift."""
    return replace(rated, observed=look_day(haul_out))


def last_day(haul_out: HaulOut) -> date:
    """Return the day of the relaunch of a haul-out whose dates are known."""
    return date.fromisoformat(haul_out.ends[:10])


def begin(teller: Teller, haul_out: HaulOut) -> str:
    """Enter the beginning of a haul-out on the evening after, or years later from notes."""
    if haul_out.entered is None:
        teller.on(haul_out.begins)
    visit = _short(teller, haul_out) if haul_out.short else _walked(teller, haul_out)
    teller.keep(f"visit {year_of(haul_out)}", visit)
    _fields(teller, visit, haul_out)
    _anode(teller, visit, haul_out)
    observe_spots(teller, visit, haul_out)
    _cover(teller, visit, haul_out, "found")
    return visit


def end(teller: Teller, visit: str, haul_out: HaulOut) -> None:
    """Enter the end of a haul-out on the evening after the relaunch, and close it."""
    if haul_out.entered is None:
        teller.on(haul_out.ends)
    if not haul_out.short:
        _coats(teller, visit, haul_out)
        visits.relaunch(teller.logbook, visit, haul_out.ends)
        teller.clock.move()
    if haul_out.cost:
        around.add_cost(
            teller.logbook, what=f"{haul_out.yard}: lift and time ashore", amount=haul_out.cost,
            currency="GBP", visit_id=visit,
        )  # fmt: skip
    _cover(teller, visit, haul_out, "left")
    teller.clock.move()
    visits.close(teller.logbook, visit)
    teller.clock.move()


def _short(teller: Teller, haul_out: HaulOut) -> str:
    year = year_of(haul_out)
    shown = [
        ShortLook(zone_id=teller.zones[zone], kind=rated.kind, figures=rated.figures,
                  conditions=rated.conditions)
        if rated else ShortLook(zone_id=teller.zones[zone])
        for zone, rated in _blisters(haul_out)
    ]  # fmt: skip
    short = ShortHaulOut(
        begins=haul_out.begins, ends=haul_out.ends, way=haul_out.way, yard=haul_out.yard,
        time_zone=ZONE, basis=haul_out.basis, looks=tuple(shown), coats=haul_out.coats,
        product_id=teller.product(haul_out.colour, year), litres=haul_out.litres,
        note=haul_out.note, location=_location(haul_out), looked_for=WET_LOOK,
    )  # fmt: skip
    # The owner writes the short form when she is afloat again.
    if haul_out.entered is None:
        teller.on(haul_out.ends)
    visit = short_haul_out(teller.logbook, short)
    teller.clock.move(90)
    _date_coats(teller, visit, haul_out)
    _fouling(teller, visit, haul_out)
    if haul_out.rust is not None:
        _rusting_zone(teller, visit, haul_out)
    return visit


def _date_coats(teller: Teller, visit: str, haul_out: HaulOut) -> None:
    """Enter when each coat of a short form was put on, where the owner knows."""
    if not haul_out.painted:
        return
    with teller.logbook.read() as book:
        coats = queries.kept(book, Coat, Coat.visit_id == visit)
        keys = [coat.id for coat in sorted(coats, key=lambda coat: coat.number)]
    for key, at in zip(keys, haul_out.painted, strict=True):
        coatings.set_coat(teller.logbook, key, "at", at)
        teller.clock.move()


def _location(haul_out: HaulOut) -> str:
    return "Brannet Creek" if haul_out.way == "drying_grid" else "Vesk Haven"


def _blisters(haul_out: HaulOut) -> list[tuple[str, Rated | None]]:
    """Return the rating of each zone that had blisters; None where none were found."""
    return [
        (zone, blisters(count, largest, haul_out.wetness, haul_out.days_ashore) if count else None)
        for zone, (count, largest) in zip(BLISTERED, haul_out.blisters, strict=True)
    ]


def _walked(teller: Teller, haul_out: HaulOut) -> str:
    visit = visits.start_haul_out(
        teller.logbook, begins=haul_out.begins, way=haul_out.way, yard=haul_out.yard,
        location=_location(haul_out), time_zone=ZONE, looked_for=LOOKED_FOR,
        methods=["close", "touched"], support="blocks_and_props", note=haul_out.note,
    )  # fmt: skip
    teller.clock.move()
    if haul_out.looked:
        teller.on(haul_out.looked)
    day = haul_out.begins[:10]
    washed = f"{haul_out.looked} 14:30" if haul_out.looked else f"{day} 11:05"
    for stage, at in (("lifted", f"{day} 10:20"), ("washed", washed)):
        visits.add_stage(teller.logbook, visit, stage, at)
        teller.clock.move()
    _fouling(teller, visit, haul_out)
    _close_look(teller, visit, haul_out)
    return visit


def _fouling(teller: Teller, visit: str, haul_out: HaulOut) -> None:
    for zone, level in haul_out.fouling.items():
        looks.log_inspection(
            teller.logbook, visit, teller.zones[zone], looked_for=FOULING_LOOK,
            methods=["general"], basis=haul_out.basis,
            ratings=[on_its_day(fouling(level), haul_out)],
        )  # fmt: skip
        teller.clock.move()


def _close_look(teller: Teller, visit: str, haul_out: HaulOut) -> None:
    """Walk round her in the order of the zones, one answer a zone."""
    rated = dict(_blisters(haul_out))
    for code, zone_id in teller.zones.items():
        if code in UNDERSIDES:
            looks.could_not_see(teller.logbook, visit, zone_id, hidden_by="support")
        elif seen := rated.get(code):
            looks.log_inspection(
                teller.logbook,
                visit,
                zone_id,
                looked_for=WET_LOOK,
                ratings=[on_its_day(seen, haul_out)],
            )
        elif code == "skeg" and haul_out.begins.startswith("2025"):
            looks.log_inspection(
                teller.logbook,
                visit,
                zone_id,
                looked_for=WET_LOOK,
                ratings=[on_its_day(HAIRLINE, haul_out)],
            )
        elif code == RUSTING:
            _rusting_zone(teller, visit, haul_out)
        elif code == CRACKED and haul_out.crack:
            looks.log_inspection(
                teller.logbook, visit, zone_id, looked_for=ABOVE_LOOK, methods=["close", "touched"],
                ratings=[on_its_day(crack(haul_out.crack), haul_out)],
            )  # fmt: skip
        else:
            looks.log_inspection(
                teller.logbook, visit, zone_id, looked_for=_looked_for(code),
                result="nothing_found",
            )  # fmt: skip
        teller.clock.move()


def _looked_for(code: str) -> tuple[str, ...]:
    if code in KEELS:
        return KEEL_LOOK
    return WET_LOOK if code in BOTTOM or code in years.STERN else ABOVE_LOOK


def _rusting_zone(teller: Teller, visit: str, haul_out: HaulOut) -> None:
    looks.log_inspection(
        teller.logbook, visit, teller.zones[RUSTING], looked_for=KEEL_LOOK,
        methods=["close", "touched"], ratings=[on_its_day(rust(haul_out.rust or 0), haul_out)],
        basis=haul_out.basis,
    )  # fmt: skip
    teller.clock.move()


def _fields(teller: Teller, visit: str, haul_out: HaulOut) -> None:
    for name, typed in (("engine_hours", haul_out.engine_hours), ("sea_temperature", haul_out.sea)):
        if typed:
            visits.set_visit(teller.logbook, visit, name, typed)
            teller.clock.move()


def _anode(teller: Teller, visit: str, haul_out: HaulOut) -> None:
    seen = haul_out.anode
    if seen is None:
        return
    piece = teller.keys.get("piece")
    if piece and (seen.grams or seen.left):
        way = "weighed" if seen.grams else "by_eye"
        anodes.check_anode(
            teller.logbook, piece, visit_id=visit, way=way, left=seen.left, contact="tight",
            mass=f"{seen.grams} g" if seen.grams else None, basis=haul_out.basis,
        )  # fmt: skip
        teller.clock.move()
    if seen.renewed_grams:
        fitted = anodes.fit_piece(
            teller.logbook, teller.keys["shaft position"], visit_id=visit, metal="zinc",
            pattern="collar for a 25 mm shaft", mass_new=f"{seen.renewed_grams} g",
            insert_mass="0 g", basis=haul_out.basis,
            mass_new_from="maker" if piece is None else "weighed",
        )  # fmt: skip
        teller.keep("piece", fitted)


def observe_spots(teller: Teller, visit: str, haul_out: HaulOut) -> None:
    """Enter what was seen of the spots that are followed, once they are."""
    names = ("spot A", "spot B", "spot C")
    for name, (_, largest) in zip(names, haul_out.blisters, strict=True):
        if name in teller.keys and haul_out.entered is None:
            rated = blisters(min(1, int(largest)), largest, haul_out.wetness, haul_out.days_ashore)
            _observe(teller, name, visit, rated, haul_out)
    if "rust" in teller.keys and haul_out.rust is not None:
        _observe(teller, "rust", visit, rust(haul_out.rust), haul_out)
    if "crack" in teller.keys and haul_out.crack is not None:
        _observe(teller, "crack", visit, crack(haul_out.crack), haul_out)


def _cover(teller: Teller, visit: str, haul_out: HaulOut, state: str) -> None:
    """Enter how much of her paint was left at the boot-top's edge, where that was looked at."""
    percent = haul_out.cover[state == "left"]
    if percent is None:
        return
    seen = cover(percent)
    day = haul_out.ends[:10] if state == "left" else look_day(haul_out)
    looks.log_inspection(
        teller.logbook, visit, teller.zones[LAPPED], state=state, looked_for=COVER_LOOK,
        methods=["close"], ratings=[replace(seen, observed=day)],
    )  # fmt: skip
    teller.clock.move()


def _observe(teller: Teller, name: str, visit: str, rated: Rated, haul_out: HaulOut) -> None:
    seen = on_its_day(rated, haul_out)
    spots.observe_spot(
        teller.logbook, teller.keys[name], visit, ratings=[seen], basis=haul_out.basis
    )
    teller.clock.move()


def _coats(teller: Teller, visit: str, haul_out: HaulOut) -> None:
    product = teller.product(haul_out.colour, year_of(haul_out))
    first = last_day(haul_out) - timedelta(days=haul_out.coats + 1)
    each = f"{float(haul_out.litres) / haul_out.coats:.2f}"
    for number in range(haul_out.coats):
        coatings.add_coat(
            teller.logbook, visit, product, litres=each, tool="roller", applied_by="owner",
            at=f"{first + timedelta(days=number)} 11:00", air="12", humidity="68 %", hull="11",
        )  # fmt: skip
        teller.clock.move()
