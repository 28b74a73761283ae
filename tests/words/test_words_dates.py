"""Dates as well as they are known."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from zoneinfo import available_timezones

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hulllog.records.values import PartialDate
from hulllog.words import formats
from hulllog.words.formats import Preference, prefer

ZONES = ["UTC", "Europe/Helsinki", "America/Los_Angeles", "Asia/Tokyo"]


@pytest.mark.parametrize(
    ("typed", "written"),
    [
        ("2014", "2014"),
        ("2014-04", "Apr 2014"),
        ("about Apr 2014", "about Apr 2014"),
        ("about 2014", "about 2014"),
        ("14 Apr 2014", "14 Apr 2014"),
        ("2014-04-14 09:30", "14 Apr 2014, 09:30"),
    ],
)
@pytest.mark.parametrize("zone", ZONES)
def test_a_date_is_written_as_well_as_it_is_known(typed: str, written: str, zone: str) -> None:
    kept = PartialDate.parse(typed, zone)
    assert formats.partial_date(kept, zone) == written
    assert formats.partial_date(kept) == written


@given(st.dates(date(1950, 1, 1), date(2049, 12, 31)), st.integers(0, 23), st.sampled_from(ZONES))
def test_the_typed_clock_is_shown_without_knowing_the_zone(day: date, hour: int, zone: str) -> None:
    kept = PartialDate.parse(f"{day.isoformat()} {hour:02}:15", zone)
    assert formats.partial_date(kept).endswith(f"{hour:02}:15")


def test_us_order() -> None:
    prefer(Preference("us", "en_US", "en_US"))
    assert formats.partial_date(PartialDate.parse("2014-04-14")) == "Apr 14, 2014"
    assert formats.partial_date(PartialDate.parse("about 2014-04")) == "about Apr 2014"


@pytest.mark.parametrize(
    ("begins", "ends", "written"),
    [
        ("2014-04-14", "2014-04-16", "14–16 Apr 2014"),
        ("2014-04-14", "2014-05-07", "14 Apr – 7 May 2014"),
        ("2014-04-14", "2014-04-14", "14 Apr 2014"),
        ("2014-04", "2014-05", "Apr 2014 – May 2014"),
        ("about 2014", "about 2014", "about 2014"),
        ("2014-04-14", None, "since 14 Apr 2014"),
        (None, "2014", "until 2014"),
        (None, None, "date not recorded"),
    ],
)
def test_spans(begins: str | None, ends: str | None, written: str) -> None:
    first, last = (PartialDate.parse(text) if text else None for text in (begins, ends))
    assert _plain(formats.span(first, last)) == written


def _plain(text: str) -> str:
    return text.replace("\u2009", " ").replace("\u202f", " ")


@pytest.mark.parametrize(
    ("seen", "entered", "said"),
    [
        ("2014-04-14", datetime(2014, 4, 14, 20, tzinfo=UTC), "entered the same day"),
        ("2014-04-14", datetime(2014, 4, 20, 20, tzinfo=UTC), "entered 6 days later"),
        ("2014-04-14", datetime(2016, 4, 20, 20, tzinfo=UTC), "entered 2 years later"),
        ("2014", datetime(2014, 8, 1, tzinfo=UTC), "entered up to 7 months later"),
        ("2014", datetime(2024, 7, 1, tzinfo=UTC), "entered 9 to 10 years later"),
    ],
)
def test_the_lag(seen: str, entered: datetime, said: str) -> None:
    assert formats.lag(PartialDate.parse(seen), entered) == said


@dataclass
class Known:
    """A date known to lie between two instants."""

    earliest: datetime
    latest: datetime
    precision: str = "month"
    about: bool = False
    text: str = ""


@given(st.integers(0, 400), st.integers(0, 4000))
def test_a_lag_is_always_said(width: int, later: int) -> None:
    first = datetime(2014, 4, 1, tzinfo=UTC)
    kept = Known(first, first + timedelta(days=width))
    assert formats.lag(kept, first + timedelta(days=later)).startswith("entered ")


@pytest.mark.parametrize(
    ("seen", "said"),
    [("2025-04-19", "19 months"), ("2024", "at least 23 months"), ("2026-11-20", "5 days")],
)
def test_how_long_ago_is_no_more_than_is_known(seen: str, said: str) -> None:
    assert formats.passed(PartialDate.parse(seen), datetime(2026, 11, 25, 12, tzinfo=UTC)) == said


def test_both_readings_of_a_date_are_said() -> None:
    assert formats.two_readings(["2020-04-03", "2020-03-04"]) == "3 Apr 2020 or 4 Mar 2020"
    assert formats.reading_label("2020-04-03") == "3 Apr 2020"


def test_stretches_of_days() -> None:
    assert formats.days(1) == "1 day"
    assert formats.days_between(28, 34) == "28–34 days"
    assert formats.days_between(3, 3) == "3 days"


def test_only_the_year() -> None:
    assert formats.year(PartialDate.parse("about Apr 2014")) == "about 2014"
    assert formats.year(PartialDate.parse("1 Jan 2014", "Asia/Tokyo")) == "2014"


def test_a_capture_time_with_seconds_is_read_by_hours_and_minutes():
    taken = datetime(2015, 4, 17, 9, 28, tzinfo=UTC)
    value = PartialDate("2015-04-17 10:28:00", "time", False, taken, taken)
    assert formats.partial_date(value) == "17 Apr 2015, 10:28"


@given(
    st.dates(date(1975, 1, 1), date(2049, 12, 31)),
    st.sampled_from(sorted(zone for zone in available_timezones() if zone[:1] != "r")),
)
def test_without_a_zone_the_day_is_that_of_the_place(day: date, zone: str) -> None:
    for typed in (day.isoformat(), f"{day.day} {day:%b} {day.year}"):
        kept = PartialDate.parse(typed, zone)
        if kept.latest - kept.earliest > timedelta(hours=20):
            assert formats.partial_date(kept) == formats.day(day)


def test_far_east_the_first_of_the_year_is_not_the_last_of_the_year_before() -> None:
    kept = PartialDate.parse("2024-01-10", "Pacific/Auckland")
    assert formats.partial_date(kept) == "10 Jan 2024"
    early = PartialDate.parse("2024-01-01 00:15", "Pacific/Auckland")
    assert formats.partial_date(early) == "1 Jan 2024, 00:15"
    assert formats.year(PartialDate.parse("2024-01-01", "Pacific/Auckland")) == "2024"
    assert formats.span(kept, kept) == "10 Jan 2024"


@pytest.mark.parametrize(
    ("entered", "said"),
    [
        (datetime(2024, 1, 10, 9, tzinfo=UTC), "the same day"),
        (datetime(2024, 1, 10, 12, tzinfo=UTC), "the day after"),
        (datetime(2024, 1, 12, 9, tzinfo=UTC), "2 days later"),
        (datetime(2024, 1, 5, 9, tzinfo=UTC), "the same day"),
    ],
)
def test_days_late_are_days_of_the_calendar_at_the_place(entered: datetime, said: str) -> None:
    seen = PartialDate.parse("2024-01-10", "Pacific/Auckland")
    assert said in formats.lag(seen, entered)
    assert said in formats.lag(seen, entered, "Pacific/Auckland")


def test_a_day_of_a_plan_is_written_by_its_weekday() -> None:
    at = datetime(2026, 5, 4, 14, tzinfo=UTC)
    assert formats.weekday(at) == "Mon 4 May"
    assert formats.weekday_short(at) == "Mon 4"
    assert formats.clock(at) == "14:00"
