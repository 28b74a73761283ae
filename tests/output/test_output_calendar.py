"""The calendar, read back by another's parser."""

from __future__ import annotations

from datetime import UTC, date, datetime

import pytest
from icalendar import Calendar

from hulllog.output.calendar import write_calendar
from hulllog.records.errors import Refused
from hulllog.records.logbook import Logbook
from hulllog.records.operations import around, gear, matters


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
