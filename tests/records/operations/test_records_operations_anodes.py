"""Anodes: a piece fitted, looked at, weighed, taken off."""

from __future__ import annotations

import pytest

from hulllog.records.model import AnodeCheck, AnodePiece
from hulllog.records.operations import anodes, queries, visits


@pytest.fixture
def position(boat):
    return anodes.add_position(boat.logbook, name="Shaft", protects=["shaft", "propeller"])


@pytest.fixture
def piece(boat, position):
    return anodes.fit_piece(
        boat.logbook, position, visit_id=boat.visit, mass_new="1.20 kg", mass_new_from="maker"
    )


def test_a_check_heavier_than_the_piece_when_new_is_refused(boat, refuses, piece):
    found = refuses(
        "heavier_than_new", "mass", anodes.check_anode, piece,
        visit_id=boat.visit, way="weighed", mass="1.4 kg",
    )  # fmt: skip
    assert found.values["new"] == "1.20 kg"


def test_a_weighed_check_keeps_its_mass_as_typed(boat, piece):
    key = anodes.check_anode(
        boat.logbook, piece, visit_id=boat.visit, way="weighed", mass="640 g", contact="tight"
    )
    check = boat.get(AnodeCheck, key)
    assert (check.mass.text, check.mass.si) == ("640", pytest.approx(0.64))
    assert boat.logbook.can_undo == ("anode.check", {"position": "Shaft", "way": "weighed"})


@pytest.mark.parametrize("left", ["full", "three_quarters", "half", "quarter", "gone"])
def test_a_share_by_eye_is_an_interval(boat, piece, left):
    key = anodes.check_anode(boat.logbook, piece, visit_id=boat.visit, way="by_eye", left=left)
    check = boat.get(AnodeCheck, key)
    assert 0 <= check.left_low < check.left_high <= 1


def test_a_check_without_its_figure_is_refused(boat, refuses, piece):
    wanted = {"piece_id": piece, "visit_id": boat.visit}
    refuses("number_wanted", "mass", anodes.check_anode, **wanted, way="weighed")
    refuses("choice_wanted", "left", anodes.check_anode, **wanted, way="by_eye")
    refuses("unknown_choice", "left", anodes.check_anode, **wanted, way="by_eye", left="most")


def test_renewing_takes_the_old_piece_off(boat, position, piece):
    later = visits.start_haul_out(boat.logbook, begins="2025-05-20")
    fresh = anodes.fit_piece(boat.logbook, position, visit_id=later, mass_new="1.18")
    assert boat.get(AnodePiece, piece).removed_visit_id == later
    assert boat.get(AnodePiece, fresh).mass_new_from == "weighed"
    with boat.logbook.read() as book:
        assert queries.present_piece(book, position).id == fresh


def test_a_piece_can_come_off_for_good(boat, refuses, position, piece):
    refuses("date_wanted", "removed", anodes.remove_piece, piece)
    anodes.remove_piece(boat.logbook, piece, removed="May 2025")
    with boat.logbook.read() as book:
        assert queries.present_piece(book, position) is None


def test_masses_that_cannot_be_are_refused(boat, refuses, position, piece):
    refuses(
        "insert_heavier_than_new", "insert_mass", anodes.fit_piece, position,
        mass_new="1 kg", insert_mass="1.1 kg",
    )  # fmt: skip
    anodes.check_anode(boat.logbook, piece, visit_id=boat.visit, way="weighed", mass="1.0 kg")
    refuses("heavier_than_new", "mass", anodes.set_piece, piece, "mass_new", "0.8 kg")


def test_a_check_can_be_corrected(boat, refuses, piece):
    key = anodes.check_anode(boat.logbook, piece, visit_id=boat.visit, way="weighed", mass="640 g")
    refuses("heavier_than_new", "mass", anodes.set_check, key, {"mass": "6400 g"})
    anodes.set_check(boat.logbook, key, {"way": "by_eye", "mass": None}, left="half")
    anodes.add_contact(boat.logbook, key, part="shaft", resistance="0.3")
    check = boat.get(AnodeCheck, key)
    assert (check.mass, check.way) == (None, "by_eye")


@pytest.mark.parametrize("typed", ["0.9", "0,9 kg", "12", "1/2", "50 %"])
def test_a_number_alone_names_no_position(boat, refuses, typed):
    found = refuses("name_is_number", "name", anodes.add_position, name=typed)
    assert found.values["typed"] == typed


@pytest.mark.parametrize("typed", ["No. 2", "2nd frame", "Keel 0.9 m aft", "Rudder 1"])
def test_a_name_may_hold_a_number(boat, typed):
    from hulllog.records.model import AnodePosition

    assert boat.get(AnodePosition, anodes.add_position(boat.logbook, name=typed)).name == typed
