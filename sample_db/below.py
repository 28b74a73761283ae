"""Looks at what is fitted below: seacocks, stern gear, rudder, keel joint and keel bolts."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hulllog.records.operations import around, gear
from hulllog.records.operations.measuring import Rated

if TYPE_CHECKING:
    from collections.abc import Sequence

    from .teller import Teller

FITTINGS = (
    ("Propeller", "propeller", "bronze", ("hull", "port", 0.775, 0.03), None),
    ("Shaft bearing", "bearing", "rubber", ("hull", "port", 0.75, 0.03), None),
    ("Galley seacock", "seacock", "bronze", ("hull", "starboard", 0.42, 0.62), None),
    ("Heads seacock", "seacock", "bronze", ("hull", "port", 0.30, 0.66), None),
    ("Keel bolts, port", "keel_bolt", "steel", ("keel-port", "outboard", 0.5, 0.03),
     "Seven studs of stainless steel, grade not known; 20 mm when new by the drawing."),
    ("Keel bolts, starboard", "keel_bolt", "steel", ("keel-starboard", "outboard", 0.5, 0.03),
     "Seven studs of stainless steel, grade not known; 20 mm when new by the drawing."),
    ("Keel joint, port", "keel_joint", None, ("keel-port", "outboard", 0.5, 0.01), None),
    ("Keel joint, starboard", "keel_joint", None, ("keel-starboard", "outboard", 0.5, 0.01), None),
    ("Rudder bearing", "rudder_bearing", "acetal", ("rudder", "port", 0.35, 0.05), None),
)  # fmt: skip
"""Name, sort, material, place and note of each."""
PROPELLER_SEEN = {
    "2015": "Two blades, whole, both ring when tapped; nut and split pin in place.",
    "2017": "Both blades ring; a little lime on the boss, no red in the bronze. Pin in place.",
    "2021": "A nick of 2 mm in one blade dressed with a file. Nut tight, new split pin.",
    "2022": "Seen while she stood for the bottom: whole, no red in the bronze, pin in place.",
    "2025": "Blades tapped: clear ring, both. Edges sound, the nick not grown. Pin in place.",
}
SEACOCK_SEEN = {
    "2015": "Opened, greased, the ball seen to turn; hose pulled, two clips each end.",
    "2017": "Turned ten times and greased; the hose does not come off when pulled.",
    "2021": "Turns by hand; one hose clip rusty, renewed.",
    "2025": "Opened and greased; ball and seat clean, hose pulled, clips bright.",
}
JOINT_SEEN = {
    "2015": "No crack in the filler, no weep, no stain; pushed from the side, hull and keel move "
    "as one.",
    "2021": "Filler whole all along after the wash; nothing weeps, nothing moves when pushed.",
    "2024": "The whole line followed with a nail at low water: no gap, no stain, no movement.",
    "2025": "Still dripping from the wash, but nothing weeps at the joint; filler whole. Pushed: "
    "no movement.",
}
"""What was written of each, by year."""
SEACOCKS = ("Galley seacock", "Heads seacock")
JOINTS = ("Keel joint, port", "Keel joint, starboard")


def enter(teller: Teller) -> None:
    """Enter what is fitted, and with what it is measured."""
    for name, sort, material, place, note in FITTINGS:
        key = around.add_gear(
            teller.logbook, sort=sort, name=name, material=material, note=note,
            basis="from_former_owner",
            place=dict(zip(("part", "face", "u", "v"), place, strict=True)),
        )  # fmt: skip
        teller.keep(name, key)
    teller.keep(
        "dial",
        around.add_instrument(
            teller.logbook, name="Dial gauge on magnetic base", sort="other", serial="D88"
        ),
    )


def look(
    teller: Teller,
    visit: str,
    name: str,
    text: str,
    day: str,
    *,
    result: str = "nothing_found",
    measured: Sequence[Rated] = (),
    state: str = "found",
) -> None:
    """Enter a look at a fitting on its day."""
    gear.look_at_gear(
        teller.logbook, teller.keys[name], visit, result=result, text=text, measured=measured,
        state=state, looked=day,
    )  # fmt: skip
    teller.clock.move()


def play(teller: Teller, millimetres: str, day: str) -> Rated:
    """Return play taken with the dial gauge."""
    return Rated("play", {"play": f"{millimetres} mm"}, {"method": "dial"},
                 teller.keys["dial"], day)  # fmt: skip


def shaft_bearing(teller: Teller, visit: str, millimetres: str, day: str) -> None:
    """Enter the play of the shaft in its bearing, across and upward."""
    look(
        teller, visit, "Shaft bearing",
        "Lifted the shaft by hand, dial beside it. The bearing sits flush in its housing.", day,
        result="something_found", measured=[play(teller, millimetres, day)],
    )  # fmt: skip


def rudder(teller: Teller, visit: str, millimetres: str, day: str) -> None:
    """Enter the side play of the rudder, measured at the foot of the blade."""
    look(
        teller, visit, "Rudder bearing",
        "Blade pushed to and fro at its foot; lifts 2 mm; no water from the lower edge.", day,
        result="something_found", measured=[play(teller, millimetres, day)],
    )  # fmt: skip


def seacocks(
    teller: Teller, visit: str, day: str, actions: Sequence[str] = ("free", "free")
) -> None:
    """Enter how each seacock turned."""
    for name, action in zip(SEACOCKS, actions, strict=True):
        free = action == "free"
        look(
            teller, visit, name,
            SEACOCK_SEEN[day[:4]] if free
            else "Turns with a pipe on the lever only; dezincified, reddish, at the flange.",
            day, result="nothing_found" if free else "something_found",
            measured=[Rated("valve-action", {"action": action}, observed=day)],
        )  # fmt: skip


def propeller(teller: Teller, visit: str, day: str) -> None:
    """Enter what the blades and the nut were like."""
    look(
        teller, visit, "Propeller", PROPELLER_SEEN[day[:4]], day,
    )  # fmt: skip


def joints(teller: Teller, visit: str, day: str, names: Sequence[str] = JOINTS) -> None:
    """Enter what the joint of hull and keel showed."""
    for name in names:
        look(
            teller, visit, name, JOINT_SEEN[day[:4]], day,
        )  # fmt: skip


def drawn_bolts(teller: Teller, visit: str, day: str) -> None:
    """Enter the stud of each keel that was drawn, and how the others were tightened."""
    for name, diameter in (("Keel bolts, port", "19.1"), ("Keel bolts, starboard", "19.4")):
        look(
            teller, visit, name,
            "Third stud drawn by Drystone Hull Care and measured at its waist: light rust, no "
            "necking. The nuts tightened again.", day, state="during",
            measured=[
                Rated("bolt-diameter", {"diameter": f"{diameter} mm"}, {"seen_how": "drawn"},
                      observed=day),
                Rated("bolt-torque", {"torque": "150 N.m"}, {"turned": "tightened"}, observed=day),
            ],
        )  # fmt: skip


def tried_bolts(teller: Teller, visit: str, day: str) -> None:
    """Enter that the nuts of the keel that touched were tried, and none drawn."""
    look(
        teller, visit, "Keel bolts, port",
        "Nuts tried from inside by the yard's fitter, none moved; no crack seen in the floors "
        "beside them. None drawn.", day,
        measured=[
            Rated("bolt-torque", {"torque": "150 N.m"}, {"turned": "checked"}, observed=day)
        ],
    )  # fmt: skip
