"""The thirteen haul-outs as plain data: an invented boat's invented record.

Counts and largest diameters of blisters in millimetres, rust in square centimetres, anode masses
in grams, fouling by level.  Zones are named by their codes.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from types import MappingProxyType
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Mapping

A, B, C = "bottom-middle-port", "bottom-aft-port", "bottom-aft-starboard"
BLISTERED = (A, B, C)
BOTTOM = (
    "bottom-forward-port", A, B, C, "bottom-middle-starboard", "bottom-forward-starboard",
)  # fmt: skip
KEELS = (
    "keel-port-outboard", "keel-port-inboard", "keel-starboard-outboard", "keel-starboard-inboard",
)  # fmt: skip
UNDERSIDES = ("keel-port-under", "keel-starboard-under")
RUSTING, CRACKED, LAPPED = "keel-starboard-outboard", "topsides-starboard", "waterline-port"
STERN = ("rudder", "skeg")
ABOVE = (
    "topsides-port", "topsides-starboard", "transom", "waterline-port", "waterline-starboard",
)  # fmt: skip
NONE: Mapping[str, int] = MappingProxyType({})


@dataclass(frozen=True, slots=True)
class Anode:
    """The look at the shaft anode: weighed in grams or by eye, and the new one if renewed."""

    grams: int | None = None
    left: str | None = None
    renewed_grams: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class HaulOut:
    """One haul-out as the owner kept it."""

    begins: str
    ends: str
    way: str
    yard: str
    colour: str
    coats: int
    litres: str
    note: str
    entered: str | None = None
    """Day of entry; None: each entry on the day after."""
    basis: str = "at_the_time"
    short: bool = True
    wetness: str = "wet"
    days_ashore: int = 0
    looked: str | None = None
    """Day of the look, where it was not the first."""
    blisters: tuple[tuple[int, float], ...] = ()
    """Count and largest for the zones A, B and C."""
    fouling: Mapping[str, int] = field(default_factory=lambda: NONE)
    rust: float | None = None
    crack: float | None = None
    """Length in millimetres of the crack at the scupper."""
    cover: tuple[int | None, int | None] = (None, None)
    """Percent of the boot-top's edge still under its own paint, as found and as left."""
    primed: bool = False
    painted: tuple[str, ...] = ()
    """When each coat of a short form was put on, where that is known."""
    anode: Anode | None = None
    cost: str | None = None
    engine_hours: str | None = None
    sea: str | None = None


HAUL_OUTS: tuple[HaulOut, ...] = (
    HaulOut(
        begins="Apr 2013", ends="Apr 2013", way="crane", yard="Tarrow Quay", colour="blue",
        coats=2, litres="4.2", entered="2015-03-02", basis="later_from_notes",
        blisters=((3, 5), (2, 4), (1, 4)), fouling={A: 1},
        anode=Anode(renewed_grams=620),
        note="Our first lift. Small blisters on both quarters; the seller says always so.",
    ),
    HaulOut(
        begins="about 10 May 2014", ends="about 14 May 2014", way="slipway", yard="Old Smolt Slip",
        colour="red", coats=2, litres="4.4", entered="2015-03-02", basis="later_from_notes",
        blisters=((4, 6), (3, 5), (2, 5)), fouling={A: 2}, anode=Anode(left="three_quarters"),
        note="Slip rails short, she sat bow down. Scrubbed and painted between showers.",
    ),
    HaulOut(
        begins="2015-04-17", ends="2015-04-25", way="hoist", yard="Vesk Haven Yard", short=False,
        colour="black", coats=2, litres="4.3", blisters=((6, 8), (5, 6), (3, 6)),
        fouling=dict.fromkeys((*BOTTOM, *KEELS, *STERN), 1) | {"waterline-port": 2},
        rust=40, crack=24, primed=True, anode=Anode(grams=362, renewed_grams=618), cost="412.00",
        engine_hours="1184", sea="8",
        note="First time with this log. Walked all round with a torch while she dripped.",
    ),
    HaulOut(
        begins="2016-05-20", ends="2016-05-23", way="drying_grid", yard="Brannet Creek grid",
        colour="green", coats=2, litres="3.8", blisters=((9, 10), (6, 8), (4, 7)),
        fouling={A: 1, "waterline-port": 2}, painted=("2016-05-21", "2016-05-22"),
        anode=Anode(left="three_quarters"), cost="30.00",
        note="Three tides on the grid. Mud round the keels, nothing to be seen below the knees.",
    ),
    HaulOut(
        begins="2017-04-08", ends="2017-04-22", way="hoist", yard="Vesk Haven Yard", short=False,
        colour="blue", coats=2, litres="4.3", wetness="dry", days_ashore=10, looked="2017-04-18",
        blisters=((4, 6), (2, 5), (1, 5)),
        fouling=dict.fromkeys((*BOTTOM, *STERN), 1) | dict.fromkeys(KEELS, 2),
        rust=0, crack=38, anode=Anode(grams=365, renewed_grams=622), cost="455.00",
        engine_hours="1371", sea="7",
        note="Could only come ten days after the lift: bone dry in an east wind by then.",
    ),
    HaulOut(
        begins="2018-05-05", ends="2018-05-09", way="slipway", yard="Old Smolt Slip", colour="red",
        coats=2, litres="4.5", blisters=((13, 13), (9, 11), (6, 9)),
        fouling={A: 2, "waterline-port": 2, RUSTING: 1}, rust=25, primed=True,
        painted=("2018-05-08 11:30", "2018-05-08 17:00"),
        anode=Anode(grams=488), cost="260.00", engine_hours="1436", sea="9",
        note="Rust weeping at the starboard keel corner again, just where it was in 2015.",
    ),
    HaulOut(
        begins="2019-05-31 18:30", ends="2019-06-01 09:15", way="floating_dock",
        yard="Lang Basin dock", colour="black", coats=1, litres="1.9",
        blisters=((17, 15), (12, 13), (8, 10)), fouling={A: 1}, cover=(None, 100),
        painted=("2019-05-31 22:10",),
        anode=Anode(left="half"),
        cost="180.00",
        note="One night in the dock before the trip north. One coat by lamplight, out at nine.",
    ),
    HaulOut(
        begins="2020-07-18", ends="2020-07-25", way="crane", yard="Tarrow Quay", colour="green",
        coats=2, litres="4.4", blisters=((22, 18), (14, 15), (11, 12)),
        fouling={A: 4, B: 4, "bottom-forward-port": 4, "waterline-port": 4, RUSTING: 3,
                 "rudder": 4},
        rust=60, cover=(45, None), painted=("2020-07-23", "2020-07-24"),
        anode=Anode(grams=214, renewed_grams=620), cost="395.00", engine_hours="1522",
        sea="15",
        note="Late lift. Weed as long as my hand and shells everywhere: one coat was not enough.",
    ),
    HaulOut(
        begins="2021-04-10", ends="2021-05-08", way="hoist", yard="Vesk Haven Yard", short=False,
        colour="blue", coats=2, litres="4.2", blisters=((28, 22), (19, 18), (14, 14)),
        fouling=dict.fromkeys((*BOTTOM, *KEELS, *STERN), 1), rust=95, crack=66,
        anode=Anode(grams=331, renewed_grams=618), cost="2860.00", engine_hours="1560", sea="6",
        note="Insurer's survey. Long list, long month. Keel faces blasted to bright metal.",
    ),
    HaulOut(
        begins="2022-03-05", ends="2022-06-18", way="hoist", yard="Vesk Haven Yard", short=False,
        colour="red", coats=2, litres="4.6", blisters=((31, 24), (21, 19), (15, 16)),
        fouling=dict.fromkeys((*BOTTOM, *KEELS, *STERN), 1), rust=0, crack=70,
        anode=Anode(grams=512), cost="7240.00", engine_hours="1611", sea="5",
        note="The big one: bottom peeled, dried under cover for two months, epoxy, paint.",
    ),
    HaulOut(
        begins="2023-04-22", ends="2023-04-26", way="crane", yard="Tarrow Quay", colour="black",
        coats=2, litres="4.3", blisters=((0, 0), (0, 0), (0, 0)),
        fouling={A: 1, "waterline-port": 1}, rust=0, painted=("2023-04-24", "2023-04-25"),
        anode=Anode(grams=403), cost="420.00",
        engine_hours="1688", sea="8",
        note="Searched the bottom with the torch for an hour while wet. Smooth.",
    ),
    HaulOut(
        begins="2024-05-09", ends="2024-05-12", way="drying_grid", yard="Brannet Creek grid",
        colour="green", coats=2, litres="4.0", blisters=((0, 0), (0, 0), (0, 0)),
        fouling={A: 2, "waterline-port": 2, RUSTING: 2}, rust=6, cover=(None, 100),
        painted=("2024-05-10", "2024-05-11"),
        anode=Anode(grams=262, renewed_grams=620), cost="36.00", engine_hours="1747", sea="9",
        note="Grid again. A rusty tear at the old corner of the starboard keel.",
    ),
    HaulOut(
        begins="2025-04-05", ends="2025-04-19", way="hoist", yard="Vesk Haven Yard", short=False,
        colour="blue", coats=2, litres="4.4", blisters=((0, 0), (0, 0), (0, 0)),
        fouling=dict.fromkeys((*BOTTOM, *KEELS, *STERN), 1) | {"waterline-starboard": 2},
        rust=18, crack=0, cover=(76, None), primed=True, anode=Anode(grams=499),
        cost="510.00", engine_hours="1802", sea="7",
        note="Full walk round. Bottom still sound after three seasons.",
    ),
)  # fmt: skip
"""In their order; the index + 2013 is the year."""

COLOURS: Mapping[str, tuple[str, str]] = MappingProxyType(
    {
        "blue": ("Inlet blue", "#2f4f6e"),
        "red": ("Rowan red", "#7d2f2a"),
        "black": ("Peat black", "#2b3030"),
        "green": ("Sedge green", "#3d5a45"),
    }
)
"""Colour of the antifouling -> its trade name, and how it is drawn."""


def year_of(haul_out: HaulOut) -> int:
    """Return the year of a haul-out."""
    return 2013 + HAUL_OUTS.index(haul_out)
