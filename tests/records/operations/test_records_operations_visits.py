"""Visits: dates that fit, closed ones that want a reason, berths that do not overlap."""

from __future__ import annotations

import pytest

from hulllog.records.errors import Refused
from hulllog.records.model import BerthPeriod, Event, StageTime, Visit
from hulllog.records.operations import around, berths, queries, visits


def test_a_haul_out_wants_only_its_date(boat):
    made = visits.start_haul_out(boat.logbook, begins="2024-05")
    visit = boat.get(Visit, made)
    assert visit.begins.precision == "month"
    assert visit.time_zone == "Europe/Lisbon"
    assert visit.looked_for == ["laminate-blisters", "level-of-fouling"]
    assert visit.methods == ["close", "touched"]


def test_a_date_is_read_in_the_time_zone_of_its_visit(boat):
    made = visits.start_haul_out(
        boat.logbook, begins="2023-07-01 08:00", time_zone="America/New_York"
    )
    assert boat.get(Visit, made).begins.earliest.hour == 12


def test_a_relaunch_before_the_lift_is_refused(boat, refuses):
    refuses("relaunch_before_lift", "ends", visits.relaunch, boat.visit, "2025-04-13")
    visits.relaunch(boat.logbook, boat.visit, "2025-04-14 16:30")
    assert boat.get(Visit, boat.visit).ends.precision == "time"


def test_dates_known_to_the_month_are_not_held_against_each_other_to_the_day(boat):
    made = visits.start_haul_out(boat.logbook, begins="2023-05-10", ends="2023-05")
    assert boat.get(Visit, made).ends.precision == "month"


def test_two_stays_ashore_cannot_overlap(boat, refuses):
    visits.start_haul_out(boat.logbook, begins="2023-05-10", ends="2023-05-20")
    refuses(
        "visits_overlap", "begins", visits.start_haul_out, begins="2023-05-15", ends="2023-06-01"
    )
    visits.start_haul_out(boat.logbook, begins="2023-05-20", ends="2023-06-01")


@pytest.mark.parametrize(
    ("field", "typed", "code"),
    [
        ("lift_weight", "9999", "number_high"),
        ("sea_temperature", "80", "number_high"),
        ("engine_hours", "-3", "number_low"),
        ("way", "balloon", "unknown_choice"),
        ("begins", "", "date_wanted"),
        ("begins", "31 Feb 2024", "date_impossible"),
        ("time_zone", "Nowhere", "time_zone_unknown"),
        ("methods", ["guessed"], "unknown_choice"),
    ],
)
def test_a_field_of_a_visit_is_refused_by_its_name(boat, refuses, field, typed, code):
    refuses(code, field, visits.set_visit, boat.visit, field, typed)


def test_fields_of_a_visit_are_set_and_cleared(boat):
    visits.set_visit(boat.logbook, boat.visit, "lift_weight", "4,1 t")
    visits.set_visit(boat.logbook, boat.visit, "yard", "Alder Yard")
    visits.set_visit(boat.logbook, boat.visit, "yard", "")
    visit = boat.get(Visit, boat.visit)
    assert visit.lift_weight.si == pytest.approx(4100)
    assert visit.yard is None
    assert boat.logbook.can_undo[0] == "visit.set"


def test_a_closed_visit_is_changed_only_with_a_reason(boat, refuses):
    visits.close(boat.logbook, boat.visit)
    refuses("visit_closed_already", "", visits.close, boat.visit)
    refuses("reason_wanted", "", visits.set_visit, boat.visit, "yard", "Fen Yard")
    visits.set_visit(boat.logbook, boat.visit, "yard", "Fen Yard", reason="wrong yard")
    assert boat.get(Visit, boat.visit).yard == "Fen Yard"


def test_opening_again_wants_a_reason(boat, refuses):
    visits.close(boat.logbook, boat.visit)
    refuses("text_wanted", "reason", visits.reopen, boat.visit, reason="  ")
    visits.reopen(boat.logbook, boat.visit, reason="one zone forgotten")
    with boat.logbook.read() as book:
        assert queries.open_haul_out(book).id == boat.visit


def test_the_newest_open_haul_out_is_the_one_at_work(boat):
    older = visits.start_haul_out(boat.logbook, begins="2019")
    with boat.logbook.read() as book:
        assert queries.open_haul_out(book).id == boat.visit
        assert queries.previous_visit(book, boat.visit).id == older
        assert queries.previous_visit(book, older) is None


def test_a_stage_before_the_lift_is_refused(boat, refuses):
    refuses("stage_before_lift", "at", visits.add_stage, boat.visit, "washed", "2025-04-13 10:00")
    visits.add_stage(boat.logbook, boat.visit, "washed", "2025-04-14 10:00")
    assert boat.all(StageTime)[0].at.precision == "time"


def test_stages_keep_their_order_whichever_is_said_first(boat, refuses):
    visits.add_stage(boat.logbook, boat.visit, "washed", "2025-04-14 10:00")
    refuses("stage_too_early", "at", visits.add_stage, boat.visit, "opened_up", "2025-04-14 9:59")
    refuses("stage_too_late", "at", visits.add_stage, boat.visit, "lifted", "2025-04-14 10:01")
    visits.add_stage(boat.logbook, boat.visit, "opened_up", "2025-04-14")
    assert {told.stage for told in boat.all(StageTime)} == {"washed", "opened_up"}


def test_a_stage_stays_inside_the_haul_out(boat, refuses):
    visits.add_stage(boat.logbook, boat.visit, "washed", "2025-04-15 10:00")
    refuses("stage_outside", "ends", visits.relaunch, boat.visit, "2025-04-14")
    refuses("stage_outside", "begins", visits.set_visit, boat.visit, "begins", "2025-04-16")
    visits.relaunch(boat.logbook, boat.visit, "2025-04-15")
    refuses("stage_after_relaunch", "at", visits.add_stage, boat.visit, "ready", "2025-04-16")


def test_weather_and_pads_are_kept(boat):
    visits.add_weather(boat.logbook, boat.visit, at="2025-04-15", air="11", humidity="72 %")
    place = {"part": "keel-port", "face": "under", "u": 0.5, "v": 0.5}
    visits.add_pad(boat.logbook, boat.visit, sort="pad", place=place)
    visits.set_looked_for(boat.logbook, boat.visit, ["crack"], ["tapped"])
    visit = boat.get(Visit, boat.visit)
    assert (visit.looked_for, visit.methods) == (["crack"], ["tapped"])


# Berths


def test_a_new_berth_ends_the_one_before(boat):
    first = berths.add_berth_period(boat.logbook, begins="2019-05", location="Rush Drain")
    berths.add_berth_period(
        boat.logbook, begins="2022-04-10", location="Alder Creek", water="brackish",
        immersed_share="45 %",
    )  # fmt: skip
    assert boat.get(BerthPeriod, first).ends.text == "2022-04-10"
    assert boat.all(BerthPeriod)[1].immersed_share == pytest.approx(0.45)


def test_berths_that_overlap_are_refused(boat, refuses):
    berths.add_berth_period(
        boat.logbook, begins="2019-05-01", ends="2021-10-01", location="Rush Drain"
    )
    found = refuses(
        "berths_overlap", "begins", berths.add_berth_period,
        begins="2020-06-01", ends="2020-07-01", location="Alder Creek",
    )  # fmt: skip
    assert found.values["location"] == "Rush Drain"
    later = berths.add_berth_period(boat.logbook, begins="2021-10-01", location="Alder Creek")
    refuses("berths_overlap", "begins", berths.set_berth_period, later, "begins", "2021-01-01")
    refuses("ends_before_begins", "ends", berths.end_berth_period, later, "2021-09-01")


def test_an_event_is_answered_by_the_visit_that_checked(boat):
    event = berths.add_event(
        boat.logbook, sort="grounding", at="2024-08-03", text="Touched sand.", asks_for_check=True
    )
    berths.answer_event(boat.logbook, event, boat.visit)
    assert boat.get(Event, event).answered_visit_id == boat.visit


def test_notes_for_next_time_are_answered(boat, refuses):
    note = around.note_for_next_time(boat.logbook, "Look under the pads", visit_id=boat.visit)
    refuses("text_wanted", "answer", around.answer_note, note, boat.visit, "")
    around.answer_note(boat.logbook, note, boat.visit, "Looked: bare iron")
    with pytest.raises(Refused, match="no_such_record"):
        around.answer_note(boat.logbook, "missing", boat.visit, "x")
