"""The calendar, read back by another's parser."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

import pytest
from icalendar import Calendar

from hulllog.output.calendar import write_calendar
from hulllog.records.errors import Refused
from hulllog.records.logbook import Logbook
from hulllog.records.model import Plan
from hulllog.records.operations import around, gear, keeping, matters, plans, visits
from hulllog.records.operations.plans import Step


def events(logbook, path):
    number = write_calendar(logbook, path)
    found = Calendar.from_ical(path.read_bytes())
    kept = {str(one["summary"]): one for one in found.walk("VEVENT")}
    assert len(kept) == number
    return kept


@pytest.fixture
def seal(logbook):
    key = around.add_gear(
        logbook, sort="shaft_seal", name="Seal; of, two\nlines", fitted="2024-04-19"
    )
    gear.set_due_rule(logbook, key, "renew", every="3 year", source="the maker’s handbook")
    return key


def named(kept, part):
    (found,) = [one for name, one in kept.items() if part in name]
    return found


def test_a_day_on_record_is_a_whole_day(logbook, seal, tmp_path):
    event = named(events(logbook, tmp_path / "due.ics"), "to be renewed")
    assert event["dtstart"].dt == date(2027, 4, 19)
    assert event["dtend"].dt == date(2027, 4, 20)
    assert event["dtstart"].params["VALUE"] == "DATE"
    assert "Seal; of, two\nlines" in str(event["summary"])
    assert "the maker’s handbook" in str(event["description"])
    # By the clock of the logbook, to the second.
    assert event["dtstamp"].dt == datetime(2026, 1, 15, 9, 30, tzinfo=UTC)


def test_an_interval_is_told_in_the_description(logbook, tmp_path):
    survey = matters.add_survey(logbook, at="2025-04-15", asked_by="insurer")
    matters.add_recommendation(logbook, survey, number="7", wording="Hose", due="2026-08")
    event = named(events(logbook, tmp_path / "due.ics"), "Recommendation 7")
    assert event["dtstart"].dt == date(2026, 8, 1)
    assert "between 1 Aug 2026 and 31 Aug 2026" in str(event["description"])


def test_keys_stay_and_the_sequence_rises(logbook, seal, tmp_path):
    first = named(events(logbook, tmp_path / "a.ics"), "to be renewed")
    again = named(events(logbook, tmp_path / "b.ics"), "to be renewed")
    assert (tmp_path / "a.ics").read_bytes() == (tmp_path / "b.ics").read_bytes()
    gear.set_due_rule(logbook, seal, "renew", every="5 year")
    moved = named(events(logbook, tmp_path / "c.ics"), "to be renewed")
    assert first["uid"] == again["uid"] == moved["uid"]
    assert moved["dtstart"].dt == date(2029, 4, 19)
    assert moved["sequence"] > first["sequence"]


def test_every_event_has_a_key_of_its_own_and_lines_are_folded(logbook, seal, tmp_path):
    kept = events(logbook, tmp_path / "due.ics")
    assert len({str(one["uid"]) for one in kept.values()}) == len(kept) >= 3
    lines = (tmp_path / "due.ics").read_bytes().split(b"\r\n")
    assert max(map(len, lines)) <= 75


def test_there_is_none_without_a_boat(tmp_path):
    with Logbook.create(tmp_path / "book") as empty, pytest.raises(Refused, match="no_vessel"):
        write_calendar(empty, tmp_path / "due.ics")
    assert not (tmp_path / "due.ics").exists()


# Plans

MORNING = datetime(2026, 4, 6, 7, tzinfo=UTC)
"""Eight in the morning by summer time in Lisbon."""


def step(code, begins, ends, area="", number=0):
    start, end = (MORNING + timedelta(hours=one) for one in (begins, ends))
    return Step(code, area, number, start, end)


STEPS = (step("wash", 0, 1), step("coat", 24, 26, "bottom", 1), step("launch", 48, 49))
ASKED = {"cells": {}, "zones": {}, "time_zone": "Europe/Lisbon"}


@pytest.fixture
def plan(logbook):
    return plans.keep_plan(
        logbook, name="Spring; of, two", asked=ASKED, verdict="fits", steps=STEPS
    )


def planned(logbook, path):
    return {name: one for name, one in events(logbook, path).items() if "status" in one}


def test_the_tasks_of_a_plan_stand_at_their_hours_by_the_clock_of_the_place(
    logbook, plan, tmp_path
):
    kept = planned(logbook, tmp_path / "due.ics")
    assert sorted(kept) == [
        "Test Ketch: Back in the water", "Test Ketch: Bottom, coat 1", "Test Ketch: Wash",
    ]  # fmt: skip
    coat = named(kept, "coat 1")
    assert coat["dtstart"].params["TZID"] == "Europe/Lisbon"
    assert (coat["dtstart"].dt.hour, coat["dtend"].dt.hour) == (8, 10)
    assert coat["dtstart"].dt.astimezone(UTC) == MORNING + timedelta(hours=24)
    assert coat["dtend"].dt.astimezone(UTC) == MORNING + timedelta(hours=26)
    assert "Spring; of, two" in str(coat["description"])
    # RFC 5545, 3.2.19: every TZID that is used is told in the same file.
    found = Calendar.from_ical((tmp_path / "due.ics").read_bytes())
    assert [str(one["tzid"]) for one in found.walk("VTIMEZONE")] == ["Europe/Lisbon"]
    assert {int(one["sequence"]) for one in kept.values()} == {0}


def test_no_zone_is_told_where_nothing_is_planned(logbook, seal, tmp_path):
    write_calendar(logbook, tmp_path / "due.ics")
    found = Calendar.from_ical((tmp_path / "due.ics").read_bytes())
    assert found.walk("VTIMEZONE") == []


def test_a_task_that_is_moved_keeps_its_key_and_comes_as_a_newer_event(logbook, plan, tmp_path):
    before = planned(logbook, tmp_path / "a.ics")
    # Something else on record makes no event of a plan a newer one.
    around.note_for_next_time(logbook, "Look at the skeg.")
    assert planned(logbook, tmp_path / "b.ics") == before
    moved = (STEPS[0], step("coat", 25, 27, "bottom", 1), STEPS[2])
    plans.keep_plan_anew(logbook, plan, asked=ASKED, verdict="fits", steps=moved)
    after = planned(logbook, tmp_path / "c.ics")
    assert {name: str(one["uid"]) for name, one in after.items()} == {
        name: str(one["uid"]) for name, one in before.items()
    }
    assert named(after, "coat 1")["dtstart"].dt.hour == 9
    assert named(after, "coat 1")["sequence"] > named(before, "coat 1")["sequence"]
    logbook.undo()
    again = planned(logbook, tmp_path / "d.ics")
    assert named(again, "coat 1")["dtstart"].dt.hour == 8
    assert named(again, "coat 1")["sequence"] > named(after, "coat 1")["sequence"]


def test_what_is_taken_out_is_cancelled_under_its_key(logbook, plan, tmp_path):
    before = planned(logbook, tmp_path / "a.ics")
    assert {str(one["status"]) for one in before.values()} == {"TENTATIVE"}
    plans.keep_plan_anew(logbook, plan, asked=ASKED, verdict="part", steps=(STEPS[0], STEPS[2]))
    after = planned(logbook, tmp_path / "b.ics")
    assert named(after, "coat 1")["uid"] == named(before, "coat 1")["uid"]
    assert str(named(after, "coat 1")["status"]) == "CANCELLED"
    assert str(named(after, "Wash")["status"]) == "TENTATIVE"
    keeping.withdraw(logbook, Plan, plan)
    gone = planned(logbook, tmp_path / "c.ics")
    assert {str(one["status"]) for one in gone.values()} == {"CANCELLED"}
    for name, one in gone.items():
        assert one["sequence"] > before[name]["sequence"]


def test_a_plan_whose_haul_out_is_closed_is_past(logbook, plan, tmp_path):
    visit = visits.start_haul_out(logbook, begins="2026-01-10", time_zone="Europe/Lisbon")
    plans.link_plan(logbook, plan, visit)
    assert len(planned(logbook, tmp_path / "a.ics")) == 3
    visits.relaunch(logbook, visit, "2026-01-14")
    visits.close(logbook, visit)
    assert planned(logbook, tmp_path / "b.ics") == {}


def test_a_plan_of_long_ago_that_became_nothing_is_not_told(logbook, tmp_path):
    old = datetime(2025, 4, 6, 7, tzinfo=UTC)
    steps = [Step("wash", "", 0, old, old + timedelta(hours=1))]
    plans.keep_plan(logbook, name="Old", asked=ASKED, verdict="fits", steps=steps)
    assert planned(logbook, tmp_path / "a.ics") == {}


def test_the_number_of_what_falls_due_rises_only_when_that_event_changed(logbook, seal, tmp_path):
    first = named(events(logbook, tmp_path / "a.ics"), "to be renewed")
    around.note_for_next_time(logbook, "Something else altogether")
    survey = matters.add_survey(logbook, at="2025-04-15", asked_by="insurer")
    matters.add_recommendation(logbook, survey, number="7", wording="Hose", due="2026-08")
    again = named(events(logbook, tmp_path / "b.ics"), "to be renewed")
    assert again["sequence"] == first["sequence"]
    gear.set_due_rule(logbook, seal, "renew", every="5 year")
    moved = named(events(logbook, tmp_path / "c.ics"), "to be renewed")
    assert moved["sequence"] > again["sequence"]
    logbook.undo()
    back = named(events(logbook, tmp_path / "d.ics"), "to be renewed")
    assert back["dtstart"].dt == first["dtstart"].dt
    assert back["sequence"] > moved["sequence"]


def test_a_computer_that_told_nothing_before_never_falls_back(logbook, seal, tmp_path):
    first = named(events(logbook, tmp_path / "a.ics"), "to be renewed")
    around.note_for_next_time(logbook, "Something else altogether")
    (kept,) = (logbook.around.state_folder / "calendars").iterdir()
    for known in (b"", b"[1]", b'{"a": 3}'):
        kept.write_bytes(known)
        again = named(events(logbook, tmp_path / "b.ics"), "to be renewed")
        assert again["sequence"] >= first["sequence"]
