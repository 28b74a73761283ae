"""A boat that her owner draws himself, for tests of the pages that show her."""

from __future__ import annotations

from PIL import Image, ImageDraw

from hulllog.records.logbook import Logbook, Surroundings
from hulllog.records.media import add_own_view
from hulllog.records.operations import ownviews, queries, visits, walking
from hulllog.records.operations.measuring import Rated

FORE = ((0.08, 0.35), (0.48, 0.35), (0.48, 0.72), (0.16, 0.7))
AFT = ((0.52, 0.35), (0.92, 0.35), (0.88, 0.7), (0.52, 0.72))
LOOKED_FOR = ["laminate-blisters"]


def draw_boat(file, *, dark=False):
    """Draw an invented hull from the side, or something as dark as a photograph in the shade."""
    ground, ink = ("#2b333a", "#8899a5") if dark else ("#f4f1e8", "#333333")
    picture = Image.new("RGB", (1600, 700), ground)
    pen = ImageDraw.Draw(picture)
    hull = [(110, 230), (1490, 230), (1420, 500), (260, 500)]
    pen.polygon(hull, outline=ink, fill="#46535c" if dark else None, width=5)
    pen.line([(40, 330), (1560, 330)], fill="#4477aa", width=3)
    picture.save(file)
    return file


def odd_boat(
    folder, *, walked=True, name="Odd Duck", dark=False, names=("Fore body", "After body")
):
    """Make a logbook of a boat without particulars, with a view, its scale and two zones."""
    around = Surroundings(state_folder=folder / "state", cache_folder=folder / "cache")
    with Logbook.create(folder / "odd", around) as logbook:
        ownviews.create_vessel_without_form(logbook, name=name, kind="small", material="grp")
        file = draw_boat(folder / "side.png", dark=dark)
        view = add_own_view(logbook, file, name="My drawing of her side", shows="port")
        ownviews.set_scale(logbook, view, [(0.07, 0.33), (0.93, 0.33)], "7.2 m")
        for outline, said in zip((FORE, AFT), names, strict=True):
            ownviews.draw_zone(logbook, view, outline, name=said)
        visit = visits.start_haul_out(logbook, begins="2025-04-02", way="trailer")
        visits.set_looked_for(logbook, visit, looked_for=LOOKED_FOR, methods=["close"])
        if walked:
            with logbook.read() as book:
                fore, aft = (zone.id for zone, _ in queries.zones_at(book))
            at = walking.At(visit_id=visit, zone_id=aft, looked_for=LOOKED_FOR, methods=["close"])
            walking.nothing_found(logbook, at)
            figures = {"count": "6", "largest_mm": "12 mm"}
            rated = Rated("laminate-blisters", figures, {"wetness": "wet"})
            at = walking.At(visit_id=visit, zone_id=fore, looked_for=LOOKED_FOR, methods=["close"])
            walking.something_found(logbook, at, walking.Found(ratings=[rated]))
    return folder / "odd"
