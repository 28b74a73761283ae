"""Partial dates and measured values: what is read, what is refused, what is kept."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from itertools import pairwise
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hulllog.records.errors import Refused
from hulllog.records.values import YEARS, Measured, PartialDate

ZONES = ("UTC", "Europe/London", "America/St_Johns", "Pacific/Auckland", "Africa/Cairo")
days = st.dates(min_value=date(YEARS.start, 1, 1), max_value=date(YEARS.stop - 1, 12, 31))
zones = st.sampled_from(ZONES)


def instant(text: str) -> datetime:
    return datetime.fromisoformat(text).replace(tzinfo=UTC)


@pytest.mark.parametrize(
    ("typed", "precision", "first", "last"),
    [
        ("2014", "year", "2014-01-01 00:00:00", "2014-12-31 23:59:59"),
        ("2014-04", "month", "2014-04-01 00:00:00", "2014-04-30 23:59:59"),
        ("4/2014", "month", "2014-04-01 00:00:00", "2014-04-30 23:59:59"),
        ("Apr 2014", "month", "2014-04-01 00:00:00", "2014-04-30 23:59:59"),
        ("APRIL, 2014", "month", "2014-04-01 00:00:00", "2014-04-30 23:59:59"),
        ("sept 2014", "month", "2014-09-01 00:00:00", "2014-09-30 23:59:59"),
        ("12 june 2019", "day", "2019-06-12 00:00:00", "2019-06-12 23:59:59"),
        ("July 2019", "month", "2019-07-01 00:00:00", "2019-07-31 23:59:59"),
        ("February 2016", "month", "2016-02-01 00:00:00", "2016-02-29 23:59:59"),
        ("14 Apr 2014", "day", "2014-04-14 00:00:00", "2014-04-14 23:59:59"),
        ("14. April 2014", "day", "2014-04-14 00:00:00", "2014-04-14 23:59:59"),
        ("April 14, 2014", "day", "2014-04-14 00:00:00", "2014-04-14 23:59:59"),
        ("2014-04-14", "day", "2014-04-14 00:00:00", "2014-04-14 23:59:59"),
        ("2014/4/14", "day", "2014-04-14 00:00:00", "2014-04-14 23:59:59"),
        ("14/04/2014", "day", "2014-04-14 00:00:00", "2014-04-14 23:59:59"),
        ("04/14/2014", "day", "2014-04-14 00:00:00", "2014-04-14 23:59:59"),
        ("4.4.2014", "day", "2014-04-04 00:00:00", "2014-04-04 23:59:59"),
        ("2014-04-14 09:30", "time", "2014-04-14 09:30:00", "2014-04-14 09:30:00"),
        ("2014-04-14T09:30:12", "time", "2014-04-14 09:30:12", "2014-04-14 09:30:12"),
        ("about 2014", "year", "2013-01-01 00:00:00", "2015-12-31 23:59:59"),
        ("c. 2014", "year", "2013-01-01 00:00:00", "2015-12-31 23:59:59"),
        ("~2014-01", "month", "2013-12-01 00:00:00", "2014-02-28 23:59:59"),
        ("circa 1 Mar 2014", "day", "2014-02-28 00:00:00", "2014-03-02 23:59:59"),
        ("about 2014-04-14 09:30", "time", "2014-04-14 08:30:00", "2014-04-14 10:30:00"),
    ],
)
def test_a_date_is_read_as_well_as_it_is_known(
    typed: str, precision: str, first: str, last: str
) -> None:
    read = PartialDate.parse(f"  {typed} ")
    assert (read.text, read.precision) == (typed, precision)
    assert (read.earliest, read.latest) == (instant(first), instant(last))


@pytest.mark.parametrize("typed", ["03/04/2020", "3.4.2020", "03-04-2020"])
def test_a_date_that_reads_two_ways_is_refused_with_both_readings(typed: str) -> None:
    with pytest.raises(Refused) as caught:
        PartialDate.parse(typed, field="begins")
    assert caught.value.code == "date_two_ways"
    assert caught.value.field == "begins"
    assert caught.value.values["readings"] == ["2020-04-03", "2020-03-04"]
    for reading in ["2020-04-03", "2020-03-04"]:
        assert PartialDate.parse(reading).precision == "day"


def test_the_owners_order_settles_which_reading_is_meant() -> None:
    british = PartialDate.parse("03/04/2020", order="day first")
    american = PartialDate.parse("03/04/2020", order="month first")
    assert british.earliest == instant("2020-04-03 00:00:00")
    assert american.earliest == instant("2020-03-04 00:00:00")
    assert PartialDate.parse("25/04/2020", order="month first").earliest.day == 25


@pytest.mark.parametrize(
    ("typed", "code"),
    [
        ("", "date_unread"),
        ("yesterday", "date_unread"),
        ("20", "date_unread"),
        ("03/04/20", "date_unread"),
        ("14 Foo 2014", "date_unread"),
        ("2014-04-14 9h30", "date_unread"),
        ("9" * 10_000, "date_unread"),
        ('<b>&"', "date_unread"),
        ("31 Feb 2014", "date_impossible"),
        ("2015-02-29", "date_impossible"),
        ("2014-13", "date_impossible"),
        ("2014-04-14 25:00", "time_impossible"),
        ("2014 09:30", "date_impossible"),
        ("0000", "date_year"),
        ("0014-04-14", "date_year"),
        ("9999", "date_year"),
        ("about 9999-12-31", "date_year"),
    ],
)
def test_what_is_no_date_is_refused_by_field(typed: str, code: str) -> None:
    with pytest.raises(Refused) as caught:
        PartialDate.parse(typed, field="begins")
    assert (caught.value.code, caught.value.field) == (code, "begins")
    assert caught.value.values["typed"] == typed


def test_a_day_is_read_in_the_time_zone_of_the_visit() -> None:
    auckland = PartialDate.parse("2014-04-14", "Pacific/Auckland")
    assert auckland.earliest == instant("2014-04-13 12:00:00")
    assert auckland.latest == instant("2014-04-14 11:59:59")


def test_a_day_on_which_the_clocks_change_has_23_or_25_hours() -> None:
    short = PartialDate.parse("2014-03-30", "Europe/London")
    long = PartialDate.parse("2014-10-26", "Europe/London")
    assert short.latest - short.earliest == timedelta(hours=23, seconds=-1)
    assert long.latest - long.earliest == timedelta(hours=25, seconds=-1)


def test_dates_sort_by_earliest_then_latest() -> None:
    typed = ["2015", "2014-04-14", "2014", "about 2015", "2014-04", "2014-04-14 09:30"]
    in_order = [read.text for read in sorted(map(PartialDate.parse, typed))]
    assert in_order == ["2014", "about 2015", "2014-04", "2014-04-14", "2014-04-14 09:30", "2015"]


@given(day=days, zone=zones)
@settings(max_examples=60)
def test_an_exact_day_is_read_back_as_it_was_written(day: date, zone: str) -> None:
    made = PartialDate.of(day, zone)
    assert PartialDate.parse(made.text, zone) == made
    assert made.earliest.astimezone(ZoneInfo(zone)).date() == day
    assert made.latest.astimezone(ZoneInfo(zone)).date() == day


@given(
    at=st.datetimes(datetime.fromisoformat("1970-01-02"), datetime.fromisoformat("2100-01-01")),
    zone=zones,
)
@settings(max_examples=60)
def test_an_exact_time_keeps_its_instant_to_the_second(at: datetime, zone: str) -> None:
    moment = at.replace(tzinfo=UTC)
    made = PartialDate.of(moment, zone)
    assert made.earliest == made.latest == moment.replace(microsecond=0)
    assert made.precision == "time"


@given(day=days, zone=zones, about=st.booleans())
@settings(max_examples=60)
def test_a_vaguer_date_holds_the_more_exact_one(day: date, zone: str, about: bool) -> None:
    prefix = "about " if about else ""
    texts = (f"{day:%Y}".zfill(4), f"{day:%Y-%m}", day.isoformat())
    read = [PartialDate.parse(prefix + text, zone) for text in texts]
    for wide, narrow in pairwise(read):
        assert wide.earliest <= narrow.earliest <= narrow.latest <= wide.latest
        assert wide.about == about
    assert read[0].earliest <= read[0].middle <= read[0].latest


@given(text=st.text(max_size=30))
@settings(max_examples=200)
def test_any_text_is_a_date_or_a_refusal(text: str) -> None:
    try:
        read = PartialDate.parse(text)
    except Refused as refusal:
        code = refusal.code
    else:
        code = "date_read" if read.earliest <= read.latest else "backwards"
    assert code.startswith("date_")


def test_a_measured_value_is_kept_as_typed_and_in_si() -> None:
    read = Measured.parse(" 12,5 ", "mm")
    assert (read.text, read.unit, read.si) == ("12,5", "mm", 0.0125)
    assert read.in_unit("cm") == pytest.approx(1.25)


@pytest.mark.parametrize(
    ("typed", "code"),
    [
        ("a lot", "number_unread"),
        ("nan", "number_unread"),
        ("1e9", "number_unread"),
        ("0.5", "number_low"),
        ("-3", "number_low"),
        ("11", "number_high"),
        ("1,250", "number_two_ways"),
    ],
)
def test_a_number_out_of_its_range_is_refused_by_field(typed: str, code: str) -> None:
    with pytest.raises(Refused) as caught:
        Measured.parse(typed, "m", field="length", low=1, high=10)
    assert (caught.value.code, caught.value.field) == (code, "length")
    assert caught.value.values["typed"] == typed


def test_a_number_that_reads_two_ways_comes_with_both() -> None:
    with pytest.raises(Refused) as caught:
        Measured.parse("1,250", "kg")
    assert caught.value.values["readings"] == ("1.250", "1250")
    assert Measured.parse("1,250", "kg", decimal_sign=",").si == 1.25


@given(value=st.decimals(min_value=-10_000, max_value=10_000, places=3))
@settings(max_examples=60)
def test_a_number_comes_back_in_the_unit_it_was_typed_in(value: object) -> None:
    typed = f"{value:f}" if float(value) else "0"
    read = Measured.parse(typed, "ft")
    assert read.in_unit("ft") == pytest.approx(float(typed), rel=1e-12, abs=1e-12)
