"""The second boat of the shelf: a clinker day-boat of 4.9 m with three short looks in her book.

Most pages of hers are nearly empty, as those of most boats are: no anode, no survey, no paper.
"""

from __future__ import annotations

from datetime import UTC, datetime
from typing import TYPE_CHECKING

from hulllog.records.operations import (
    around,
    berths,
    coatings,
    looks,
    matters,
    spots,
    vessel,
    visits,
)
from hulllog.records.operations.measuring import Rated
from hulllog.records.operations.short import ShortHaulOut, ShortLook, short_haul_out

from .clock import ZONE

if TYPE_CHECKING:
    from .teller import Teller

DAYBOAT = "Little Auk"
KEEPER = "Tam Ferrel"
BEGUN = datetime(2023, 5, 14, 18, 0, tzinfo=UTC)
SOFT = {"part": "hull", "face": "port", "u": 0.88, "v": 0.12}
SCRAPED = (
    "Scraped, one coat, back before she opened. Neither crack, soft wood nor damage seen in the "
    "two forward bottom zones."
)
WOOD_LOOK = ("soft-wood", "crack", "damage")


def tell(teller: Teller) -> None:
    """Enter her and her three looks."""
    _boat(teller)
    first, second, third = _2023(teller), _2024(teller), _2025(teller)
    for visit in (first, second, third):
        visits.close(teller.logbook, visit)
        teller.clock.move()


def _boat(teller: Teller) -> None:
    vessel.create_vessel(
        teller.logbook, name=DAYBOAT, sample=True, kind="small", material="wood", keel="none",
        length="4.90 m", beam="1.75 m", draught="0.35 m", displacement="390 kg",
        rig="lugsail boat", built="1968", home="Brannet Creek",
        note="An invented boat: nothing here is a real record.",
    )  # fmt: skip
    teller.clock.move()
    teller.learn_zones()
    around.set_setting(teller.logbook, "time_zone", {"zone": ZONE})
    berths.add_berth_period(
        teller.logbook, begins="May 2023", location="Brannet Creek, running mooring",
        water="brackish", shore_power="none", immersed_share="100 %",
        note="Afloat at every state of the tide.",
    )  # fmt: skip
    teller.keep(
        "fastenings",
        around.add_gear(
            teller.logbook, sort="other", name="Garboard fastenings", material="copper"
        ),
    )
    teller.keep(
        "meter",
        around.add_instrument(
            teller.logbook, name="Pin meter for timber", sort="moisture_meter",
            repeatability="1",
        ),
    )  # fmt: skip


def _2023(teller: Teller) -> str:
    """Enter the first look in short: nothing found where she looked, one coat."""
    visit = short_haul_out(
        teller.logbook,
        ShortHaulOut(
            begins="2023-05-06", ends="2023-05-13", way="trailer", time_zone=ZONE,
            location="the owner's yard", looked_for=WOOD_LOOK, coats=1, litres="0.7",
            product="Brindle Dory, Reed green", note=SCRAPED,
            looks=tuple(
                ShortLook(zone_id=teller.zones[zone])
                for zone in ("bottom-forward-port", "bottom-forward-starboard")
            ),
        ),
    )  # fmt: skip
    teller.clock.move()
    return visit


def _2024(teller: Teller) -> str:
    """Enter the second look: timber metered at one place, the seams open in an east wind."""
    teller.on("2024-05-11")
    visit = visits.start_haul_out(
        teller.logbook, begins="2024-04-13", ends="2024-05-11", way="trailer",
        location="the owner's yard", time_zone=ZONE, looked_for=list(WOOD_LOOK),
        methods=["close", "tapped"],
        note="Four weeks ashore was too long: the seams opened.",
    )  # fmt: skip
    teller.clock.move()
    _meter(teller, visit, "17", "22", "2024-04-13")
    teller.keep(
        "next time",
        around.note_for_next_time(
            teller.logbook, "No more than two weeks ashore, and wet sacks on the sunny side",
            visit_id=visit,
        ),
    )  # fmt: skip
    teller.clock.move()
    _seams(teller, visit)
    teller.clock.move()
    return visit


def _seams(teller: Teller, visit: str) -> None:
    """Enter the seams that had opened ashore, and that they took up afloat."""
    teller.keep(
        "seams",
        matters.raise_finding(
            teller.logbook, title="Seams open by a card in the bottom aft, port", sort="leak",
            must="watch", visit_id=visit, zones=[teller.zones["bottom-aft-port"]],
        ),
    )  # fmt: skip
    teller.on("2024-05-13")
    matters.add_work(
        teller.logbook, text="Kept wet, then taken up on the mooring: after two days a dry bilge.",
        visit_id=visit, done="2024-05-13", closes=[teller.keys["seams"]],
    )  # fmt: skip
    teller.clock.move()


def _2025(teller: Teller) -> str:
    """Enter the third look: soft wood at one plank's end, followed from now on."""
    teller.on("2025-05-10")
    visit = visits.start_haul_out(
        teller.logbook, begins="2025-05-03", ends="2025-05-10", way="trailer",
        location="the owner's yard", time_zone=ZONE, looked_for=list(WOOD_LOOK),
        methods=["close", "tapped"],
    )  # fmt: skip
    teller.clock.move()
    _meter(teller, visit, "24", "28", "2025-05-03")
    matters.observe_finding(
        teller.logbook, teller.keys["seams"], visit, seen="not_found",
        text="Tried again: no seam of the bottom aft, port, takes a card.",
    )  # fmt: skip
    teller.clock.move()
    around.answer_note(
        teller.logbook, teller.keys["next time"], visit, "Seven days ashore, under wet sacks."
    )
    teller.clock.move()
    spot = spots.add_spot(
        teller.logbook, label="After end of the garboard, port", place=SOFT,
        zone_id=teller.zones["garboard-port"], visit_id=visit,
    )  # fmt: skip
    looks.log_inspection(
        teller.logbook, visit, teller.zones["garboard-port"], looked_for=["soft-wood"],
        methods=["close", "tapped"], coverage="part", share="5 %", result="something_found",
    )  # fmt: skip
    teller.clock.move()
    rated = Rated("soft-wood", {"depth_mm": "3 mm", "area_cm2": "6 cm2"}, observed="2025-05-03")
    spots.observe_spot(
        teller.logbook, spot, visit, ratings=[rated], text="Dull to the knuckle; a spike goes in."
    )
    teller.clock.move()
    around.check_gear(
        teller.logbook, teller.keys["fastenings"], visit, result="nothing_found",
        text="Two roves looked at near the soft place: bright.",
    )  # fmt: skip
    matters.raise_finding(
        teller.logbook, title="Soft wood at the after end of the garboard", sort="damage",
        must="next_lift", visit_id=visit, spots=[spot],
    )  # fmt: skip
    teller.clock.move()
    coatings.add_coats(
        teller.logbook, visit, coats=1, litres="0.7", at="2025-05-09",
        product={
            "name": "Brindle Dory, Brick", "role": "antifouling", "coating_class": "unknown",
            "colour": "Brick", "colour_hex": "#7a4033",
        },
    )  # fmt: skip
    teller.clock.move()
    return visit


def _meter(teller: Teller, visit: str, first: str, second: str, day: str) -> None:
    """Enter what the pins gave at one plank, in percent by the meter's own table."""
    conditions = {"table": "larch", "days_ashore": "0"}
    read = [f"{first} %", f"{second} %"]
    rated = Rated(
        "timber-moisture", {"moisture_percent": read}, conditions, teller.keys["meter"], day
    )
    zone = teller.zones["bottom-aft-port"]
    looks.log_inspection(
        teller.logbook, visit, zone, looked_for=["crack", "damage"], methods=["close", "tapped"],
        result="nothing_found",
    )  # fmt: skip
    teller.clock.move()
    looks.log_inspection(
        teller.logbook, visit, zone, looked_for=["timber-moisture"], methods=["metered"],
        coverage="part", share="2 %", ratings=[rated],
    )  # fmt: skip
    teller.clock.move()
