"""Invented boats of every kind, shared by the tests of the form."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

from hulllog.hull.form import HullForm
from hulllog.hull.particulars import Particulars, assume


def made(kind: str, keel: str, length: float, beam: float, draught: float, **more) -> Particulars:
    """Return assumed particulars with some of them given."""
    particulars, _ = assume(kind, more.pop("material", "grp"), keel, length, beam, draught)
    return replace(particulars, **more)


KETCH = made("yacht", "twin", 8.7, 2.8, 0.95)
BOATS = {
    "ketch": KETCH,
    "fin": made("yacht", "fin", 10.2, 3.35, 1.75, stern="reverse", displacement=5200.0, lwl=8.6),
    "bulb": made(
        "yacht", "bulb", 12.4, 4.0, 2.2, bow="plumb", rudder="twin", displacement=8200.0,
        lwl=11.6, drive="saildrive",
    ),
    "long": made(
        "yacht", "long", 9.4, 2.75, 1.45, bow="spoon", stern="counter", displacement=5400.0, lwl=7.2
    ),
    "double-ender": made(
        "yacht", "long", 11.2, 3.55, 1.6, bow="clipper", stern="canoe", rudder="transom",
        displacement=9500.0, lwl=9.3,
    ),
    "wing": made("yacht", "wing", 9.6, 3.2, 1.4, rudder="skeg"),
    "planing": made("planing", "none", 9.0, 3.0, 0.7, displacement=4800.0),
    "motor": made("motor", "long", 13.2, 4.1, 1.45, displacement=17500.0),
    "inland": made("inland", "none", 15.6, 3.7, 0.75, bow="plumb", displacement=24000.0),
    "clinker": made(
        "small", "lifting", 5.2, 1.85, 0.95, material="wood", bow="plumb", displacement=620.0
    ),
    "catamaran": made(
        "catamaran", "fin", 11.6, 6.4, 1.1, bow="plumb", stern="reverse", displacement=8400.0
    ),
}  # fmt: skip


@cache
def form(name: str) -> HullForm:
    """Return a boat's form, built once for all tests."""
    return HullForm.build(BOATS[name])
