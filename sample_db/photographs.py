"""Which pictures were taken when, and what they show: the same places year after year.

What a shot shows is given by the short names under which the teller keeps zones and spots.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime
from functools import partial
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from hulllog.records import media
from hulllog.records.operations import photos

from . import haulouts, pictures
from .clock import ZONE
from .teller import PLACES
from .years import BLISTERED, COLOURS, HAUL_OUTS, RUSTING, A, B, C, HaulOut, year_of

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping
    from pathlib import Path

    from PIL import Image

    from .teller import Teller

OLD_CAMERA, PHONE = ("Ottal", "P3"), ("Sandling", "Five")
SLOW_MINUTES = 61
"""How far the clock of the old camera lagged in 2018."""
SHOWN_AT = {A: "spot A", B: "spot B", C: "spot C"}
PRIMER = "#9aa3a6"
"""Colour of the primer, which in 2021 covered the faces of both keels."""
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
    ]
    shots += _rust(haul_out)
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
    wanted: tuple[str, ...] = BLISTERED if year_of(haul_out) in (2021, 2022) else BLISTERED[:2]
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
                partial(pictures.blisters, name, sizes, colour, wet=wet, year=year),
                _on(haul_out, f"11:{minute}" if haul_out.way != "floating_dock" else "19:25"),
                shows={"place": PLACES[name], "spot_id": name, "zone_id": zone},
            )
        )
    return shots


def spread(count: int, largest: float) -> list[float]:
    """Return diameters in millimetres of what is seen on a hand's breadth, the largest first."""
    return [max(largest * 0.9**n, 2.0) for n in range(min(count, 18))]


def _rust(haul_out: HaulOut) -> list[Shot]:
    if not haul_out.rust:
        return []
    year, colour, area = year_of(haul_out), _worn(haul_out), haul_out.rust
    shows = {"place": PLACES["rust"], "spot_id": "rust", "zone_id": RUSTING}
    found = Shot(
        "rust", lambda: pictures.keel_corner("starboard", area, colour, year=year),
        _on(haul_out, "11:48"), shows=shows,
    )  # fmt: skip
    if not (haul_out.primed or year == 2021):
        return [found]
    left = Shot(
        "rust-primed",
        lambda: pictures.keel_corner(
            "starboard", area, PRIMER if year == 2021 else colour, year=year, primed=True
        ),
        PRIMED_ON[year], "during", shows, "Primed, before the antifouling.",
    )  # fmt: skip
    return [found, left]


PRIMED_ON = {2015: "2015-04-21 17:40", 2018: "2018-05-08 08:20", 2021: "2021-04-29 09:15",
             2025: "2025-04-15 17:40"}  # fmt: skip
"""When the corner stood in primer and nothing over it."""


def _anode(haul_out: HaulOut) -> list[Shot]:
    seen, year = haul_out.anode, year_of(haul_out)
    if seen is None or (seen.grams is None and year != 2016):
        return []
    left = 0.76 if seen.grams is None else seen.grams / 620
    shows = {"anode_position_id": "shaft position"}
    shots = [
        Shot("anode", lambda: pictures.shaft_anode(left, year=year), _on(haul_out, "12:05"),
             shows=shows)
    ]  # fmt: skip
    if year in (2015, 2021):
        shots.append(
            Shot("anode-new", lambda: pictures.shaft_anode(1.0, year=year + 100, bright=True),
                 _on(haul_out, "09:55", last=True), "left", shows)
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
             partial(pictures.blisters, name, [], NEVER_WORN, wet=False, year=2122),
             "2022-06-05 15:10", "during",
             {"place": PLACES[name], "spot_id": name, "zone_id": zone},
             "Four coats of barrier on, before the antifouling.")
        for zone, name in SHOWN_AT.items()
    ]  # fmt: skip
