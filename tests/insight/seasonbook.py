"""A ketch with seasons of anodes and paint, for tests of what reads them."""

from __future__ import annotations

from hulllog.records.operations import (
    anodes,
    berths,
    coatings,
    looks,
    queries,
    vessel,
    visits,
)
from hulllog.records.operations.measuring import Rated

WORN = {2017: 460, 2018: 470, 2019: 455, 2020: 468, 2021: 150, 2022: 463, 2023: 472}
"""Mass in g of the shaft anode at the lift of each year; each new one weighed 620 g, insert 40 g.
From the lift of 2020 to that of 2021 she lay plugged in, from then on with an isolator."""
FOULED = {2017: "2", 2018: "2", 2019: "4", 2020: "2", 2021: "2", 2022: "1", 2023: "2"}
"""Level of fouling on the bottom at the lift of each year; one coat went on in 2018."""


def seasons(logbook, first=2016, last=2023, *, still_out=False):
    """Enter her and a haul-out each year; the anode is renewed and she is painted each time."""
    made = Seasons(logbook)
    for year in range(first, last + 1):
        made.haul_out(year)
        if year != last or not still_out:
            visits.relaunch(logbook, made.visits[year], f"{year}-05-02")
            visits.close(logbook, made.visits[year])
    return made


class Seasons:
    """What was entered: keys by year and by name."""

    def __init__(self, logbook):
        self.logbook = logbook
        vessel.create_vessel(
            logbook, name="Ruddy Shore", kind="yacht", material="grp", keel="twin",
            length="8.7 m", beam="2.9 m", draught="0.95 m", rig="ketch", built="1984",
        )  # fmt: skip
        with logbook.read() as book:
            self.zones = {zone.code: zone.id for zone, _ in queries.zones_at(book)}
        self._lie()
        self.shaft = anodes.add_position(
            logbook, name="Shaft", protects=["shaft", "propeller"],
            place={"part": "hull", "face": "port", "u": 0.86, "v": 0.05},
        )  # fmt: skip
        self.pieces = {}
        self.visits = {}
        self.coats = {}
        self.paints = {
            colour: coatings.add_product(
                logbook, name=f"Tidewall {number}", coating_class="self_polishing_antifouling",
                role="antifouling", colour=colour, colour_hex=code,
            )
            for colour, number, code in (("red", 40, "#7a2b2b"), ("blue", 41, "#25407a"))
        }  # fmt: skip

    def _lie(self):
        for begins, power in (
            ("2016-01-01", "none"),
            ("2020-05-02", "plugged"),
            ("2021-05-02", "plugged_with_isolator"),
        ):
            berths.add_berth_period(
                self.logbook, begins=begins, location="Inlet Quay", water="brackish",
                shore_power=power, immersed_share="0.5",
            )  # fmt: skip

    def haul_out(self, year):
        """Enter one haul-out: fouling, the anode weighed and renewed, two coats (one in 2018)."""
        book = self.logbook
        visit = visits.start_haul_out(
            book, begins=f"{year}-04-14", time_zone="Europe/Lisbon", way="crane",
            looked_for=["level-of-fouling"], methods=["close"],
        )  # fmt: skip
        self.visits[year] = visit
        if year in FOULED:
            rated = Rated("level-of-fouling", {"level": FOULED[year]}, {"washed": "not_washed"})
            looks.log_inspection(book, visit, self.zones["bottom-aft-port"], ratings=[rated])
        if year in WORN:
            anodes.check_anode(
                book, self.pieces[year - 1], visit_id=visit, way="weighed",
                mass=f"{WORN[year]} g", contact="tight",
            )  # fmt: skip
        self.pieces[year] = anodes.fit_piece(
            book, self.shaft, metal="zinc", visit_id=visit, mass_new="620 g",
            mass_new_from="weighed", insert_mass="40 g",
        )  # fmt: skip
        colour = "red" if year % 2 else "blue"
        self.coats[year] = [
            coatings.add_coat(
                book, visit, self.paints[colour], litres="2.3", at=f"{year}-04-28",
                tool="roller", air="14", hull="12", humidity="70",
            )
            for _ in range(1 if year == 2018 else 2)
        ]  # fmt: skip
