"""Which pictures were taken when, and what they show: the same places year after year.

What a shot shows is given by the short names under which the teller keeps zones and spots.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime
from functools import partial
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from hulllog.hull import measure
from hulllog.records import media
from hulllog.records.operations import photos

from . import closeups, haulouts, pictures
from .clock import ZONE
from .teller import PLACES
from .years import (
    BLISTERED,
    COLOURS,
    CRACKED,
    HAUL_OUTS,
    LAPPED,
    RUSTING,
    A,
    B,
    C,
    HaulOut,
    year_of,
)

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping
    from pathlib import Path

    from PIL import Image

    from .teller import Teller

OLD_CAMERA, PHONE = ("Ottal", "P3"), ("Sandling", "Five")
SLOW_MINUTES = 61
"""How far the clock of the old camera lagged in 2018."""
SHOWN_AT = {A: "spot A", B: "spot B", C: "spot C"}
NEVER_WORN = "#b9c4b4"
"""Colour of the bare barrier coat."""


@dataclass(frozen=True, slots=True)
class Shot:
    """A picture to be drawn: what it shows, on which day and at what time, in which state."""

    name: str
    draw: Callable[[], Image.Image]
    at: str
    state: str = "found"
    shows: Mapping[str, object] = field(default_factory=dict)
    caption: str = ""


def take(teller: Teller, visit: str, haul_out: HaulOut) -> None:
    """Draw the pictures of a haul-out, take them in and say what they show."""
    year = year_of(haul_out)
    camera = OLD_CAMERA if year < 2020 else PHONE
    shots = shots_of(teller, haul_out)
    if shots:
        teller.on(haul_out.ends)
    for state in ("found", "during", "left"):
        chosen = [shot for shot in shots if shot.state == state]
        files = {_saved(teller, shot, year, camera): shot for shot in chosen}
        if files:
            _import(teller, visit, state, files)
    if year == 2018:
        photos.correct_clock(
            teller.logbook, " ".join(OLD_CAMERA), SLOW_MINUTES, visit_id=visit,
            reason=f"camera {SLOW_MINUTES} min slow, by the clock at the slip",
        )  # fmt: skip
        teller.clock.move()


def _import(teller: Teller, visit: str, state: str, files: Mapping[Path, Shot]) -> None:
    paths = list(files)
    report = media.import_photos(teller.logbook, paths, visit, state=state)
    assert not report.refused, report.refused
    assert len(report.done) == len(paths), "two pictures are the same"
    teller.clock.move(60)
    for taken in report.done:
        shot = files[taken.file]
        photos.place_photo(teller.logbook, taken.photo_id, **_resolved(teller, shot.shows))
        if shot.caption:
            photos.caption(teller.logbook, taken.photo_id, shot.caption)
        teller.keep(f"photo {shot.name} {shot.at[:4]}", taken.photo_id)
        teller.clock.move(20)


def _resolved(teller: Teller, shows: Mapping[str, object]) -> dict[str, object]:
    """Put keys in the place of short names."""
    known = {
        "zone_id": teller.zones,
        "spot_id": teller.keys,
        "anode_position_id": teller.keys,
        "gear_id": teller.keys,
    }
    return {
        field: known[field].get(str(value)) if field in known else value
        for field, value in shows.items()
    }


def _saved(teller: Teller, shot: Shot, year: int, camera: tuple[str, str]) -> Path:
    path = teller.workshop / f"{year}-{shot.name}.jpg"
    moment = datetime.strptime(shot.at, "%Y-%m-%d %H:%M").replace(tzinfo=ZoneInfo(ZONE))
    image = shot.draw()
    if shot.name == "pads":
        image.save(path.with_suffix(".png"), optimize=True)
        return path.with_suffix(".png")
    lag = SLOW_MINUTES if year == 2018 else 0
    return pictures.save(image, path, moment, camera, lag)


def shots_of(teller: Teller, haul_out: HaulOut) -> list[Shot]:
    """Return the pictures of a haul-out."""
    if haul_out.entered is not None:
        return []
    shots = [
        _side(teller, haul_out, starboard=False),
        *_bottom(haul_out),
        *_anode(haul_out),
        *_rust(haul_out, teller),
        *_crack(haul_out),
        *_waterline(haul_out),
    ]
    if not haul_out.short:
        shots.append(_stern(haul_out))
    if year_of(haul_out) in (2015, 2021, 2025):
        shots.append(_side(teller, haul_out, starboard=True))
    return shots + _extra(teller, haul_out)


def _worn(haul_out: HaulOut) -> str:
    """Return the colour she came out with: that of the year before."""
    return COLOURS[HAUL_OUTS[year_of(haul_out) - 2014].colour][1]


def _growth(haul_out: HaulOut) -> int:
    return max(haul_out.fouling.values(), default=0)


def _on(haul_out: HaulOut, clock: str, *, last: bool = False) -> str:
    day = haulouts.last_day(haul_out) if last else haulouts.first_day(haul_out)
    if haul_out.looked and not last:
        return f"{haul_out.looked} {clock}"
    return f"{day} {clock}"


def _side(teller: Teller, haul_out: HaulOut, *, starboard: bool) -> Shot:
    where = "starboard" if starboard else "port"
    form, year = teller.form, year_of(haul_out)
    evening = haul_out.way == "floating_dock"
    return Shot(
        f"side-{where}",
        lambda: pictures.side(
            form, _worn(haul_out), year=year, way=haul_out.way, growth=_growth(haul_out),
            starboard=starboard,
        ),
        _on(haul_out, "19:10" if evening else "10:32" if starboard else "10:28"),
        shows={"place": PLACES[f"{where} side"]},
        caption="Ashore ten days and dry, before the wash." if haul_out.looked
        else "Out of the water, before the wash.",
    )  # fmt: skip


def _bottom(haul_out: HaulOut) -> list[Shot]:
    """Return the close pictures of the three places on the bottom."""
    wanted: tuple[str, ...] = (
        BLISTERED if year_of(haul_out) in (2015, 2021, 2022) else BLISTERED[:2]
    )
    if haul_out.way == "floating_dock" or year_of(haul_out) in (2018, 2023, 2024):
        wanted = BLISTERED[:1]
    year, colour, wet = year_of(haul_out), _worn(haul_out), haul_out.wetness == "wet"
    shots = []
    for zone, minute in zip(wanted, ("20", "26", "33"), strict=False):
        name = SHOWN_AT[zone]
        count, largest = haul_out.blisters[BLISTERED.index(zone)]
        sizes = spread(count, largest)
        shots.append(
            Shot(
                name.replace(" ", "-"),
                partial(closeups.blisters, name, sizes, colour, wet=wet, year=year),
                _on(haul_out, f"11:{minute}" if haul_out.way != "floating_dock" else "19:25"),
                shows={"place": PLACES[name], "spot_id": name, "zone_id": zone},
            )
        )
    return shots


def spread(count: int, largest: float) -> list[float]:
    """Return diameters in millimetres of the blisters of a zone, the largest first."""
    return [max(largest * 0.9**n, 2.0) for n in range(count)]


def _rust(haul_out: HaulOut, teller: Teller) -> list[Shot]:
    if haul_out.rust is None:
        return []
    year, colour, area = year_of(haul_out), _worn(haul_out), haul_out.rust
    shows = {"place": PLACES["rust"], "spot_id": "rust", "zone_id": RUSTING}
    patches = _patches(year, teller)
    found = Shot(
        "rust",
        lambda: closeups.keel_corner("starboard", area, colour, year=year, patches=patches),
        _on(haul_out, "11:48"), shows=shows,
    )  # fmt: skip
    if year not in PRIMED_ON:
        return [found]
    new = patches if year == STRIPPED else [*patches, (year, _patch_cm2(teller))]
    left = Shot(
        "rust-primed",
        lambda: closeups.keel_corner(
            "starboard", 0, closeups.PRIMER if year == STRIPPED else colour, year=year + 100,
            patches=[] if year == STRIPPED else new, primed=True,
        ),
        PRIMED_ON[year], "during", shows, "Primed, before the antifouling.",
    )  # fmt: skip
    return [found, left]


def _patches(year: int, teller: Teller) -> list[tuple[int, float]]:
    """Return year and cm² of what was primed by hand since the face was last blasted."""
    since = STRIPPED if year > STRIPPED else 0
    return [(done, _patch_cm2(teller)) for done in PRIMED_ON if since < done < year]


def _patch_cm2(teller: Teller) -> float:
    """Return what 4 % of that face of the keel are, as the coats of primer were entered."""
    return 0.04 * 1e4 * measure.area(teller.form.patch("keel-starboard", "outboard").xyz)


PRIMED_ON = {2015: "2015-04-21 17:40", 2018: "2018-05-08 08:20", 2021: "2021-04-29 09:15",
             2025: "2025-04-15 17:40"}  # fmt: skip
"""When the corner stood in primer and nothing over it."""
STRIPPED = 2021
"""When the whole face was blasted, and no patch of before was left."""


def _anode(haul_out: HaulOut) -> list[Shot]:
    seen, year = haul_out.anode, year_of(haul_out)
    fitted, new = _piece_before(year)
    if seen is None or (seen.grams is None and year != 2016):
        return []
    grams = seen.grams or EYE[str(seen.left)] * new
    shows = {"anode_position_id": "shaft position"}
    shots = [
        Shot(
            "anode",
            lambda: closeups.shaft_anode(grams, new, piece=fitted, year=str(year)),
            _on(haul_out, "12:05"),
            shows=shows,
        )
    ]
    if year in (2015, 2021):
        fresh = seen.renewed_grams or 0
        shots.append(
            Shot("anode-new",
                 lambda: closeups.shaft_anode(
                     fresh, fresh, piece=str(year), year=f"{year} left", bright=True
                 ),
                 _on(haul_out, "09:55", last=True), "left", shows)
        )  # fmt: skip
    return shots


EYE = {"three_quarters": 0.75, "half": 0.5}


def _piece_before(year: int) -> tuple[str, int]:
    """Return the year in which the anode was fitted that a haul-out found, and its mass new."""
    return next(
        (str(year_of(one)), one.anode.renewed_grams)
        for one in reversed(HAUL_OUTS[: year - 2013])
        if one.anode and one.anode.renewed_grams
    )


def _crack(haul_out: HaulOut) -> list[Shot]:
    if haul_out.crack is None:
        return []
    year, length = year_of(haul_out), haul_out.crack
    return [
        Shot(
            "crack",
            lambda: closeups.topsides_crack(length, year=year, faired=year > FAIRED),
            _on(haul_out, "11:56"),
            shows={"place": PLACES["crack"], "spot_id": "crack", "zone_id": CRACKED},
        )
    ]


FAIRED = 2022
"""When the crack was ground out, filled and painted over."""


def _waterline(haul_out: HaulOut) -> list[Shot]:
    """Return the boot-top's edge with the paint of the year before, and with that of this one."""
    year, shots = year_of(haul_out), []
    for state, percent in zip(("found", "left"), haul_out.cover, strict=True):
        if percent is None:
            continue
        coated = year - (state == "found")
        colour, under = (COLOURS[HAUL_OUTS[one - 2013].colour][1] for one in (coated, coated - 1))
        shots.append(
            Shot(
                f"waterline-{state}",
                partial(closeups.waterline, percent / 100, colour, under, coated=coated,
                        year=f"{year} {state}"),
                _on(haul_out, "08:40" if state == "left" else "14:52", last=state == "left"), state,
                {"place": PLACES["waterline"], "zone_id": LAPPED},
            )
        )  # fmt: skip
    return shots


def _stern(haul_out: HaulOut) -> Shot:
    year = year_of(haul_out)
    return Shot(
        "stern",
        lambda: pictures.stern_gear(_worn(haul_out), year=year, growth=_growth(haul_out)),
        _on(haul_out, "10:41"),
        shows={"place": PLACES["stern"], "zone_id": "rudder", "gear_id": "Propeller"},
        caption="Rudder and propeller, before the wash.",
    )  # fmt: skip


def _extra(teller: Teller, haul_out: HaulOut) -> list[Shot]:
    """Return the pictures of a single year: where pads bore, the bottom after its treatment."""
    year, form = year_of(haul_out), teller.form
    if year == 2021:
        return [
            Shot("pads", lambda: pictures.pads(form), _on(haul_out, "17:00"),
                 shows={"zone_id": "keel-port-under"},
                 caption="Sketch: a pad under each keel all along, props at her sides.")
        ]  # fmt: skip
    if year != 2022:
        return []
    return [
        Shot(f"coated-{name[-1]}",
             partial(closeups.blisters, name, [], NEVER_WORN, wet=False, year=2122),
             "2022-06-05 15:10", "during",
             {"place": PLACES[name], "spot_id": name, "zone_id": zone},
             "Four coats of barrier on, before the antifouling.")
        for zone, name in SHOWN_AT.items()
    ]  # fmt: skip
