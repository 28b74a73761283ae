"""Causes of unusual wear on written cases: what is on record, and what must not be blamed."""

from __future__ import annotations

from dataclasses import dataclass, field

import pytest

from hulllog.insight.anodes import positions
from hulllog.records.model import BerthPeriod
from hulllog.records.operations import (
    anodes,
    around,
    berths,
    coatings,
    queries,
    vessel,
    visits,
)

USUAL, FAST, SLOW = 460, 140, 610
"""Mass in g at the lift of a piece of 620 g with an insert of 40 g."""
LAST = 2021
"""The season that is judged begins with the haul-out of 2020."""


@dataclass
class Boat:
    """A boat with a shaft anode weighed and renewed each spring, to be changed by a case."""

    logbook: object
    shaft: str = ""
    other: str = ""
    pieces: dict = field(default_factory=dict)
    visits: dict = field(default_factory=dict)

    def begin(self, water="brackish", power="none", material="grp"):
        vessel.create_vessel(
            self.logbook, name="Case", kind="yacht", material=material, keel="fin",
            length="9 m", beam="3 m", draught="1.5 m", built="1990",
        )  # fmt: skip
        self.lie("2015-01-01", "Inlet Quay", water, power)
        self.shaft = anodes.add_position(self.logbook, name="Shaft", protects=["shaft"])

    def lie(self, begins, location="Inlet Quay", water="brackish", power="none"):
        with self.logbook.read() as book:
            (*_, before) = queries.kept(book, BerthPeriod) or [None]
        if before is not None and before.ends is None:
            berths.set_berth_period(self.logbook, before.id, "ends", begins)
        berths.add_berth_period(
            self.logbook, begins=begins, location=location, water=water, shore_power=power
        )

    def haul_out(self, year, mass=None, **look):
        visit = visits.start_haul_out(
            self.logbook, begins=f"{year}-04-14", time_zone="Europe/Lisbon"
        )
        self.visits[year] = visit
        if mass is not None:
            anodes.check_anode(
                self.logbook, self.pieces[year - 1], visit_id=visit, way="weighed",
                mass=f"{mass} g", **{"contact": "tight", **look},
            )  # fmt: skip
        self.pieces[year] = anodes.fit_piece(
            self.logbook, self.shaft, visit_id=visit, mass_new="620 g", insert_mass="40 g"
        )

    def relaunch(self, year):
        visits.relaunch(self.logbook, self.visits[year], f"{year}-05-02")

    def zone(self, code):
        with self.logbook.read() as book:
            return next(zone.id for zone, _ in queries.zones_at(book) if zone.code == code)


def nothing(boat):
    pass


def shore_power(boat):
    boat.lie("2020-05-02", power="plugged")


def isolator(boat):
    boat.lie("2020-05-02", power="plugged_with_isolator")


def neighbour(boat):
    berths.add_event(boat.logbook, sort="new_neighbour", at="2020-07", text="A ferry moved in")


def old_neighbour_and_plastic(boat):
    berths.add_event(boat.logbook, sort="new_neighbour", at="2018-07", text="A ferry moved in")
    around.add_gear(
        boat.logbook, sort="skin_fitting", name="Inlet", material="glass-filled nylon",
        fitted="2020-04-20",
    )  # fmt: skip


def spare(boat):
    """Give her a second shaft anode from the first year on."""
    boat.other = anodes.add_position(boat.logbook, name="Shaft aft", protects=["shaft", "rudder"])
    anodes.fit_piece(boat.logbook, boat.other, fitted="2016-04-20")


def spare_of_other_parts(boat):
    boat.other = anodes.add_position(boat.logbook, name="Thruster", protects=["thruster"])
    anodes.fit_piece(boat.logbook, boat.other, fitted="2016-04-20")


def spare_off(boat):
    with boat.logbook.read() as book:
        piece = queries.present_piece(book, boat.other).id
    anodes.remove_piece(boat.logbook, piece, removed="2020-04-20")


def spare_off_and_neighbour(boat):
    spare_off(boat)
    neighbour(boat)


def bared(boat):
    coatings.add_removal(
        boat.logbook, boat.visits[2020], down_to="bare_metal", zones=[boat.zone("bottom-aft-port")]
    )


def bared_and_primed(boat):
    bared(boat)
    primer = coatings.add_product(
        boat.logbook, name="Grey Primer", coating_class="epoxy_primer", role="primer"
    )
    coatings.add_coat(
        boat.logbook, boat.visits[2020], primer, zones=[boat.zone("bottom-aft-port")],
        whole_bottom=False,
    )  # fmt: skip


def propeller(boat):
    around.add_gear(
        boat.logbook, sort="propeller", name="Propeller", material="bronze", fitted="2020-04-20"
    )


def to_salt(boat):
    boat.lie("2020-05-02", "Outer Mole", "salt")


def to_fresh(boat):
    boat.lie("2020-05-02", "The Lock", "fresh")


def to_fresh_plugged(boat):
    boat.lie("2020-05-02", "The Lock", "fresh", "plugged")


def other_berth(boat):
    boat.lie("2020-05-02", "Far Pontoon")


def added(boat):
    other = anodes.add_position(boat.logbook, name="Shaft aft", protects=["shaft"])
    anodes.fit_piece(boat.logbook, other, fitted="2020-06-01")


LOOSE, PAINTED = {"contact": "loose"}, {"painted_over": True}
CASES = {
    # name: (before the seasons, before the last season, mass, look, shore power before, causes)
    "plugged in": (nothing, shore_power, FAST, {}, "none", ["shore_power_began"]),
    "isolator taken out": (
        nothing, shore_power, FAST, {}, "plugged_with_isolator", ["isolator_gone"],
    ),
    "a neighbour": (nothing, neighbour, FAST, {}, "none", ["neighbour"]),
    "the other anode came off": (spare, spare_off, FAST, {}, "none", ["other_anode_idle"]),
    "bare metal": (nothing, bared, FAST, {}, "none", ["metal_bared"]),
    "a bronze propeller": (nothing, propeller, FAST, {}, "none", ["metal_fitted"]),
    "to salt water": (nothing, to_salt, FAST, {}, "none", ["water_changed", "berth_changed"]),
    "another berth": (nothing, other_berth, FAST, {}, "none", ["berth_changed"]),
    "loose": (nothing, nothing, SLOW, LOOSE, "none", ["loose_contact"]),
    "painted over": (nothing, nothing, SLOW, PAINTED, "none", ["painted_over"]),
    "isolator fitted": (nothing, isolator, SLOW, {}, "plugged", ["isolator_fitted"]),
    "to fresh water": (
        nothing, to_fresh, SLOW, {}, "none", ["metal_unsuited", "water_changed", "berth_changed"],
    ),
    "another anode": (nothing, added, SLOW, {}, "none", ["anode_added"]),
}  # fmt: skip
DECOYS = {
    "an isolator eats nothing": (nothing, isolator, FAST, {}, "plugged", ["nothing_on_record"]),
    "shore power slows nothing": (nothing, shore_power, SLOW, {}, "none", ["nothing_on_record"]),
    "too long ago, and no metal": (
        nothing, old_neighbour_and_plastic, FAST, {}, "none", ["nothing_on_record"],
    ),
    "loose and fresh slow down": (
        nothing, to_fresh_plugged, FAST, LOOSE, "none", ["shore_power_began", "berth_changed"],
    ),
    "bare metal speeds up": (nothing, bared, SLOW, PAINTED, "none", ["painted_over"]),
    "an anode of other parts": (
        spare_of_other_parts, spare_off_and_neighbour, FAST, {}, "none", ["neighbour"],
    ),
    "bared and primed at once": (
        nothing, bared_and_primed, FAST, {}, "none", ["nothing_on_record"],
    ),
    "nothing unusual": (nothing, shore_power, USUAL - 3, {}, "none", []),
}  # fmt: skip


def told_of(logbook, case):
    first, change, mass, look, power, _ = case
    boat = Boat(logbook)
    boat.begin(power=power)
    first(boat)
    for year in range(2016, LAST + 1):
        worn = None if year == 2016 else mass if year == LAST else USUAL + year % 3
        boat.haul_out(year, worn, **(look if year == LAST else {}))
        if year == LAST - 1:
            change(boat)
        boat.relaunch(year)
    with logbook.read() as book:
        return next(one for one in positions(book) if one.position_id == boat.shaft)


@pytest.mark.parametrize("name", [*CASES, *DECOYS])
def test_the_causes_of_a_written_case(logbook, name):
    case = (CASES | DECOYS)[name]
    story = told_of(logbook, case)
    wanted = {FAST: "fast", SLOW: "slow"}.get(case[2])
    assert story.unusual == wanted
    assert [cause.code for cause in story.causes] == case[-1]


def test_a_third_of_the_cases_are_decoys_and_two_have_no_answer():
    none = [case for case in DECOYS.values() if case[-1] == ["nothing_on_record"]]
    assert len(CASES) + len(DECOYS) >= 12
    assert 3 * len(DECOYS) >= len(CASES) + len(DECOYS)
    assert len(none) >= 2
