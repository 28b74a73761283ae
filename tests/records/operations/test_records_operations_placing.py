"""Places given by tape: solved, kept with what was given, and led by it when she is corrected."""

from __future__ import annotations

import math

import pytest

from hulllog.hull.form import HullForm
from hulllog.hull.particulars import Particulars
from hulllog.hull.patches import Place
from hulllog.hull.taping import frame
from hulllog.insight.boat import boat_form, moved_places
from hulllog.records.model import Gear, Spot
from hulllog.records.operations import around, queries, spots, vessel
from hulllog.records.operations.placing import led
from hulllog.records.values import Where

TAPED = {
    "by": "tape", "part": "hull", "face": "port", "marks": ["stem", "rudder"],
    "tape_1": "3.6 m", "tape_2": ("340", "cm"), "higher": False,
}  # fmt: skip
FRAMED = {"by": "frame", "part": "hull", "face": "port", "along": "3.5", "girth": ("0.8", "m")}


def form(boat):
    with boat.logbook.read() as book:
        stored = queries.form_version(book).particulars
    return HullForm.build(Particulars.from_json(stored))


def add(boat, given, label="Dent"):
    key = spots.add_spot(boat.logbook, label=label, place={"given": given})
    return key, boat.get(Spot, key).place


def test_what_was_taped_is_kept_as_it_was_typed(boat):
    _, place = add(boat, TAPED)
    assert place.how["by"] == "tape"
    assert [(one["mark"], one["text"], one["unit"], one["m"]) for one in place.how["tapes"]] == [
        ("stem", "3.6", "m", 3.6),
        ("rudder", "340", "cm", 3.4),
    ]
    assert 0.3 < place.u < 0.7


def test_a_correction_leaves_taped_places_their_metres_and_clicked_ones_their_shares(boat):
    framed, before = add(boat, FRAMED)
    clicked = spots.add_spot(
        boat.logbook, label="Click",
        place={"part": "hull", "face": "port", "u": before.u, "v": before.v},
    )  # fmt: skip
    vessel.correct_particulars(boat.logbook, length="9.6 m", lwl="8.3 m")
    after, still = boat.get(Spot, framed).place, boat.get(Spot, clicked).place
    assert (still.u, still.v) == (before.u, before.v)
    assert after.given == before.given
    assert after.u < before.u - 0.01
    now = frame(form(boat), Place(after.part, after.face, after.u, after.v))
    assert now == pytest.approx((3.5, 0.8), abs=5e-3)
    boat.logbook.undo()
    assert boat.get(Spot, framed).place == before


def test_the_list_of_what_moved_knows_what_leads(boat):
    _, place = add(boat, FRAMED, "Framed")
    spots.add_spot(
        boat.logbook, label="Clicked",
        place={"part": "hull", "face": "port", "u": place.u, "v": place.v},
    )  # fmt: skip
    before = form(boat)
    after = HullForm.build(Particulars.from_json({**before.particulars.to_json(), "length": 9.6}))
    with boat.logbook.read() as book:
        moved = {one.name.split()[-1]: one.far for one in moved_places(book, before, after)}
    old = before.point(Place("hull", "port", place.u, place.v))
    taped = led(after, place)
    assert moved["Clicked"] == math.dist(old, after.point(Place("hull", "port", place.u, place.v)))
    assert moved["Framed"] == math.dist(old, after.point(Place("hull", "port", taped.u, taped.v)))
    assert moved["Framed"] != moved["Clicked"]


def test_a_fitting_may_serve_as_a_mark_of_ones_own(boat):
    log = Where("hull", "port", 0.35, 0.2)
    around.add_gear(boat.logbook, sort="skin_fitting", name="Log", place=log)
    given = {**TAPED, "marks": ["rudder", ("Log", log)], "tape_1": "3.8 m", "tape_2": "1.2 m"}
    given["higher"] = True
    _, place = add(boat, given)
    assert place.how["tapes"][1]["name"] == "Log"
    at = form(boat).point(Place(place.part, place.face, place.u, place.v))
    assert math.dist(at, form(boat).point(Place("hull", "port", 0.35, 0.2))) < 1.21
    assert boat.all(Gear)[0].place.how["by"] == "click"


@pytest.mark.parametrize(
    ("code", "field", "given"),
    [
        ("tape_apart", "tape_2", {**TAPED, "tape_1": "1 m", "tape_2": "1 m"}),
        ("number_wanted", "tape_1", {**TAPED, "tape_1": ""}),
        ("number_unread", "tape_2", {**TAPED, "tape_2": "long"}),
        ("tape_same_mark", "tape_2", {**TAPED, "marks": ["stem", "stem"]}),
        ("unknown_choice", "tape_1", {**TAPED, "marks": ["mast", "stem"]}),
        ("girth_outside", "girth", {**FRAMED, "girth": "9 m"}),
        ("frame_outside", "along", {**FRAMED, "along": "30 m"}),
    ],
)
def test_what_leads_nowhere_is_refused_beside_its_field(boat, refuses, code, field, given):
    refuses(code, field, spots.add_spot, label="Dent", place={"given": given})


def test_the_form_read_by_insight_is_the_form_that_was_taped_on(boat):
    _, place = add(boat, FRAMED)
    with boat.logbook.read() as book:
        shown = boat_form(book)
    at = frame(shown.form, Place(place.part, place.face, place.u, place.v))
    assert at == pytest.approx((3.5, 0.8), abs=5e-3)
