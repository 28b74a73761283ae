"""A day that is due is the day at her place, in summer time as in winter, on every page."""

from __future__ import annotations

import re
from datetime import UTC, datetime, timedelta

import pytest

from hulllog.drawing.geartelling import due_text
from hulllog.drawing.strip import dues_of, dues_said
from hulllog.drawing.telling import line_text
from hulllog.insight.due import dues
from hulllog.insight.gear import gear_stories
from hulllog.insight.today import today
from hulllog.records.operations import around, coatings, gear, matters, queries, vessel, visits

ZONES = ("Europe/London", "Pacific/Auckland", "America/St_Johns")
HALVES = [("2024-01-15", "15 Jul 2024"), ("2024-07-15", "15 Jan 2025")]


@pytest.fixture(params=ZONES)
def ketch(logbook, request):
    around.set_setting(logbook, "time_zone", {"zone": request.param})
    vessel.create_vessel(
        logbook, name="Test", kind="yacht", material="grp", keel="fin",
        length="8.7 m", beam="2.85 m", draught="1.05 m",
    )  # fmt: skip
    return logbook


def days(text):
    return re.findall(r"\d{1,2} [A-Z][a-z]{2}[a-z]* \d{4}", text.replace("\u202f", " "))


def told(logbook, code, now):
    """Return the days that Today, the strip and the line under a printed strip name."""
    with logbook.read() as book:
        lines = [line_text(one) for one in today(book, now) if one.code == code]
        ahead = dues(book, now)
    strip = [days(one.said) for one in dues_of(ahead)]
    return [days(one) for one in lines], strip, dues_said(ahead)


@pytest.mark.parametrize(("fitted", "due"), HALVES)
def test_half_a_year_after_a_day_is_that_day_of_the_month(ketch, fitted, due):
    key = around.add_gear(ketch, sort="seacock", name="Galley", fitted=fitted)
    gear.set_due_rule(ketch, key, "look", every=("6", "month"))
    now = datetime.fromisoformat(fitted).replace(tzinfo=UTC) + timedelta(days=100)
    lines, strip, named = told(ketch, "today.gear_due", now)
    assert lines == [[due]]
    assert strip == [[due, due]]
    assert days(named) == [due]
    with ketch.read() as book:
        (story,) = gear_stories(book, None, now)
    assert days(due_text(story.dues[0], now))[0] == due


@pytest.mark.parametrize(("begins", "due"), HALVES)
def test_a_day_counted_from_a_look_is_a_day_of_the_place_of_the_visit(ketch, begins, due):
    key = around.add_gear(ketch, sort="seacock", name="Galley")
    gear.set_due_rule(ketch, key, "look", every=("6", "month"))
    # She is looked at on the other side of the world from where she is at home.
    visit = visits.start_haul_out(ketch, begins=begins, time_zone="Pacific/Honolulu")
    around.check_gear(ketch, key, visit, text="Works")
    now = datetime.fromisoformat(begins).replace(tzinfo=UTC) + timedelta(days=100)
    lines, strip, named = told(ketch, "today.gear_due", now)
    assert lines == [[due]]
    assert strip == [[due, due]]
    assert days(named) == [due]


@pytest.mark.parametrize("day", ["2024-07-15", "2025-01-15"])
def test_a_warranty_and_a_request_end_on_the_day_that_was_typed(ketch, day):
    visit = visits.start_haul_out(ketch, begins="2024-02-01")
    with ketch.read() as book:
        zone = next(found.id for found, _ in queries.zones_at(book))
    coatings.add_treatment(ketch, visit, sort="peeled", zones=[zone], warranty_until=day)
    survey = matters.add_survey(ketch, at="2024-02-03", asked_by="insurer")
    matters.add_recommendation(ketch, survey, number="1", wording="Renew the hose", due=day)
    now = datetime(2024, 4, 1, tzinfo=UTC)
    _, strip, named = told(ketch, "today.warranty_ends", now)
    said = f"15 {'Jul 2024' if day.startswith('2024') else 'Jan 2025'}"
    assert {one for told in strip for one in told} == {said}
    assert days(named) == [said, said]


def test_a_backup_is_of_the_day_at_her_place(ketch):
    with ketch.read() as book:
        zone = queries.time_zone(book)
        made = datetime(2024, 7, 14, 13, 30, tzinfo=UTC)
        line = today(book, made + timedelta(days=3), made)[-1]
    there = "15 Jul 2024" if zone == "Pacific/Auckland" else "14 Jul 2024"
    assert days(line_text(line)) == [there]
