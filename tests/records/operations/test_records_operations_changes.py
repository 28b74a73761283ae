"""What stands around the boat is changed in several fields at once, and kept as it was typed."""

from __future__ import annotations

import pytest

from hulllog.records.model import (
    BerthPeriod,
    Event,
    Firm,
    FormerName,
    Instrument,
    Limit,
    Person,
    Registration,
)
from hulllog.records.operations import around, berths, queries, vessel


def form(boat):
    with boat.logbook.read() as book:
        return queries.form_version(book)


def test_every_measure_is_kept_as_it_was_typed(boat):
    vessel.correct_particulars(boat.logbook, lwl="23.5 ft", freeboard_bow=("1.15", "m"))
    version = form(boat)
    lwl = vessel.typed_measure(version, "lwl")
    assert (lwl.text, lwl.unit, lwl.si) == ("23.5", "ft", pytest.approx(7.1628))
    assert vessel.typed_measure(version, "freeboard_bow").unit == "m"
    assert vessel.typed_measure(version, "freeboard_stern") is None
    assert vessel.typed_measure(version, "beam").text == "2.9"


def test_what_was_never_typed_has_no_text(boat):
    assert vessel.typed_measure(form(boat), "lwl") is None
    assert form(boat).particulars["lwl"] == pytest.approx(0.82 * 8.7)


def test_a_waterline_left_blank_is_assumed_again(boat):
    vessel.correct_particulars(boat.logbook, lwl="7.4")
    vessel.correct_particulars(boat.logbook, lwl="")
    version = form(boat)
    assert "lwl" in version.assumed
    assert version.particulars["lwl"] == pytest.approx(0.82 * 8.7)
    assert vessel.typed_measure(version, "lwl") is None


def test_a_freeboard_left_blank_is_gone(boat):
    vessel.correct_particulars(boat.logbook, freeboard_bow="1.1")
    vessel.correct_particulars(boat.logbook, freeboard_bow="")
    assert "freeboard_bow" not in form(boat).particulars
    assert vessel.typed_measure(form(boat), "freeboard_bow") is None


def test_what_is_assumed_follows_a_correction_and_what_was_given_does_not(boat):
    vessel.correct_particulars(boat.logbook, length="9.0")
    assert form(boat).particulars["lwl"] == pytest.approx(0.82 * 9.0)
    vessel.correct_particulars(boat.logbook, lwl="7.4")
    vessel.correct_particulars(boat.logbook, length="9.2")
    assert form(boat).particulars["lwl"] == 7.4


def test_what_is_assumed_follows_her_bow_and_her_drive(boat):
    vessel.correct_particulars(boat.logbook, bow="plumb")
    longer = form(boat).particulars
    assert longer["lwl"] > 0.85 * longer["length"]
    vessel.correct_particulars(boat.logbook, kind="planing", keel="none", drive="shaft")
    assert form(boat).particulars["rudder"] == "spade"
    vessel.correct_particulars(boat.logbook, drive="outdrive")
    assert form(boat).particulars["rudder"] == "none"


def test_a_conversion_takes_over_what_was_typed(boat):
    vessel.correct_particulars(boat.logbook, lwl="23.5 ft")
    vessel.convert(boat.logbook, begins="2025-05", draught="1.1")
    assert vessel.typed_measure(form(boat), "lwl").unit == "ft"


def test_both_dates_of_a_berth_move_at_once(boat):
    first = berths.add_berth_period(
        boat.logbook, begins="2019-05", ends="2020-04", location="Alder Creek"
    )
    berths.change_berth_period(
        boat.logbook, first, begins="2021-05", ends="2022-04", water="brackish"
    )
    period = boat.get(BerthPeriod, first)
    assert (period.begins.text, period.ends.text, period.water) == (
        "2021-05",
        "2022-04",
        "brackish",
    )
    boat.logbook.undo()
    assert boat.get(BerthPeriod, first).begins.text == "2019-05"


def test_an_overlap_keeps_both_periods_as_they_were(boat, refuses):
    berths.add_berth_period(boat.logbook, begins="2019-05", ends="2020-04", location="Alder Creek")
    second = berths.add_berth_period(
        boat.logbook, begins="2020-05", ends="2021-04", location="Sedge Hard"
    )
    refuses(
        "berths_overlap", "begins", berths.change_berth_period, second,
        begins="2019-06", location="Elsewhere",
    )  # fmt: skip
    assert boat.get(BerthPeriod, second).location == "Sedge Hard"


def test_fields_of_what_stands_around_her_are_changed(boat):
    log = boat.logbook
    event = berths.add_event(log, sort="grounding", at="2019-07", text="Touched")
    berths.change_event(log, event, text="Touched gravel", asks_for_check=True)
    assert boat.get(Event, event).asks_for_check
    person = around.add_person(log, name="A. Reed", role="friend")
    around.change_person(log, person, name="A. Reedling", role="owner")
    assert boat.get(Person, person).role == "owner"
    firm = around.add_firm(log, name="Inlet", sort="yard")
    around.change_firm(log, firm, name="Inlet Yard")
    assert boat.get(Firm, firm).name == "Inlet Yard"
    name = vessel.add_former_name(log, name="Grey Peble")
    vessel.change_former_name(log, name, name="Grey Pebble", until="2009")
    assert boat.get(FormerName, name).name == "Grey Pebble"
    number = vessel.add_registration(log, register="Harbour list", number="417")
    vessel.change_registration(log, number, number="418")
    assert boat.get(Registration, number).number == "418"


def test_an_instrument_and_a_limit_are_changed_with_their_units(boat, refuses):
    log = boat.logbook
    scale = around.add_instrument(log, name="Kitchen scale", sort="scale", repeatability="5 g")
    around.change_instrument(log, scale, checked="2024-04", repeatability=("2", "g"))
    assert boat.get(Instrument, scale).repeatability.text == "2"
    around.change_instrument(log, scale, repeatability="")
    assert boat.get(Instrument, scale).repeatability is None
    limit = around.set_limit(
        log, kind="pit-depth", component="deepest_mm", value="1.5 mm", set_by="Owner"
    )
    around.change_limit(log, limit, value=("2", "mm"), source="Talk with the yard")
    assert boat.get(Limit, limit).value.si == pytest.approx(0.002)
    refuses("number_wanted", "value", around.change_limit, limit, value="")
