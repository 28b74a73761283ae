"""How the logbook began in the spring of 2015: the boat, her people, her berths."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hulllog.records.operations import anodes, around, berths, vessel

from . import below
from .clock import OWNER, ZONE

if TYPE_CHECKING:
    from .teller import Teller

PARTICULARS = {
    "kind": "yacht", "material": "grp", "keel": "twin", "length": "8.70 m", "beam": "2.85 m",
    "draught": "0.95 m", "lwl": "7.20 m", "displacement": "4.1 t",
}  # fmt: skip
FIRMS = (
    ("Vesk Haven Yard", "yard"), ("Tarrow Quay", "yard"), ("Old Smolt Slip", "yard"),
    ("Lang Basin dock", "yard"), ("Quillet Survey", "surveyor"),
    ("Moth & Lantern Mutual", "insurer"), ("Drystone Hull Care", "contractor"),
)  # fmt: skip


def begin(teller: Teller) -> None:
    """Enter the boat and what stands around her."""
    _boat(teller)
    _people(teller)
    _berth(teller)
    _gear(teller)


def _boat(teller: Teller) -> None:
    vessel.create_vessel(
        teller.logbook, name="Ruddy Shore", sample=True, rig="ketch", built="1979",
        builder="Oxmere Boatbuilders", design="Skarrow 29", craft_number="OXM-0417",
        home="Brannet Creek", note="An invented boat: nothing here is a real record.",
        **PARTICULARS,
    )  # fmt: skip
    teller.clock.move()
    teller.learn_zones()
    around.set_setting(teller.logbook, "time_zone", {"zone": ZONE})
    vessel.add_former_name(
        teller.logbook, name="Widdershins Lass", until="2013", basis="from_former_owner"
    )
    vessel.add_registration(
        teller.logbook, register="Small craft list", number="BC 2291", begins="2013"
    )
    teller.clock.move()


def _people(teller: Teller) -> None:
    for name, sort in FIRMS:
        teller.keep(name, around.add_firm(teller.logbook, name=name, sort=sort))
    for name, role, firm in (
        (OWNER, "owner", None), ("Per Wendle", "former_owner", None),
        ("T. Quillet", "surveyor", "Quillet Survey"), ("Jonas at the slip", "yard_hand",
        "Old Smolt Slip"), ("Mika Lund-Ash", "diver", None),
    ):  # fmt: skip
        key = around.add_person(
            teller.logbook, name=name, role=role, firm_id=teller.keys[firm] if firm else None
        )
        teller.keep(name, key)
    teller.keep(
        "scale",
        around.add_instrument(
            teller.logbook, name="Kitchen scale", sort="scale", repeatability="2 g"
        ),
    )


def _berth(teller: Teller) -> None:
    key = berths.add_berth_period(
        teller.logbook, begins="Apr 2013", location="Brannet Creek, drying berth",
        water="brackish", shore_power="none", immersed_share="55 %", basis="later_from_notes",
    )  # fmt: skip
    teller.keep("berth", key)
    berths.add_event(
        teller.logbook, sort="new_owner", at="Mar 2013", text="Bought from Per Wendle.",
        basis="later_from_notes",
    )  # fmt: skip
    teller.clock.move()


def _gear(teller: Teller) -> None:
    teller.keep(
        "shaft position",
        anodes.add_position(
            teller.logbook, name="Shaft, ahead of the propeller",
            protects=["shaft", "propeller"],
            place={"part": "hull", "face": "port", "u": 0.72, "v": 0.03},
        ),
    )  # fmt: skip
    below.enter(teller)
