"""What she cost: by visit and line, by the way of lifting, by the year afloat."""

from __future__ import annotations

from datetime import UTC, datetime
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hulllog.insight.costs import Line, _sums, costs
from hulllog.records.operations import around
from hulllog.words.working import figure_of

NOW = datetime(2023, 5, 2, 12, tzinfo=UTC)


def read(logbook, now=NOW):
    with logbook.read() as book:
        return costs(book, now)


def add(made, year, what, amount, currency="EUR", **typed):
    visit = made.visits[year] if year else None
    return around.add_cost(
        made.logbook, what=what, amount=amount, currency=currency, visit_id=visit, **typed
    )


def test_by_visit_and_line_the_newest_first(made):
    add(made, 2021, "Lift", "410.10")
    add(made, 2022, "Lift", "420.20")
    add(made, 2022, "Paint", "95.05")
    newest, older = read(made.logbook).visits
    assert [(one.what, one.amount) for one in newest.lines] == [
        ("Lift", "420.20"), ("Paint", "95.05"),
    ]  # fmt: skip
    assert [figure_of(one).replace("\u202f", " ") for one in newest.sums] == ["515.25 EUR"]
    assert (newest.total_only, older.total_only) == (False, True)


def test_currencies_are_kept_apart_and_never_added(made):
    add(made, 2021, "Lift", "400", "GBP")
    add(made, 2021, "Paint", "100", "EUR")
    found = read(made.logbook)
    assert {one.unit: one.value for one in found.totals} == {"GBP": 400.0, "EUR": 100.0}
    assert {one.unit: one.value for one in found.visits[0].sums} == {"GBP": 400.0, "EUR": 100.0}
    assert {(one.way, one.total.unit) for one in found.ways} == {("crane", "GBP"), ("crane", "EUR")}


def test_by_the_way_she_was_lifted(made):
    add(made, 2021, "Lift", "400")
    add(made, 2022, "Lift", "500")
    (way,) = read(made.logbook).ways
    assert (way.way, way.times, way.total.value, way.mean.value) == ("crane", 2, 900.0, 450.0)


def test_a_year_afloat_leaves_the_days_ashore_out(made):
    add(made, 2021, "Lift", "730.50")
    (by_year,) = read(made.logbook).by_year
    # From 14 April 2021 to 2 May 2023, with three times 18 days ashore in it.
    days = 748.5 - 3 * 18
    assert by_year.given("d") == pytest.approx(days, abs=1.5)
    assert by_year.value == pytest.approx(730.50 / (by_year.given("d") / 365.25))


def test_no_year_is_told_after_a_few_months_or_of_a_cost_without_a_date(made):
    add(made, 2021, "Lift", "400")
    assert read(made.logbook, datetime(2021, 9, 1, tzinfo=UTC)).by_year == ()
    assert len(read(made.logbook).by_year) == 1
    add(made, None, "Stamps", "4")
    assert read(made.logbook).by_year == ()


def test_a_paper_gives_its_line_visit_and_day(made):
    paper = around.add_document(
        made.logbook, title="Bill of the yard", sort="invoice", paper_date="2022-05-04",
        visit_id=made.visits[2022],
    )  # fmt: skip
    add(made, None, "Lift", "380", document_id=paper)
    (found,) = read(made.logbook).visits
    assert found.visit_id == made.visits[2022]
    assert (found.lines[0].paper, found.lines[0].when.text) == ("Bill of the yard", "2022-05-04")


@given(st.lists(st.decimals(0, 100_000, places=2), min_size=1, max_size=30))
def test_sums_lose_no_penny(amounts):
    lines = [Line(str(n), "x", str(one), "EUR", None, None, None) for n, one in enumerate(amounts)]
    (total,) = _sums(lines)
    exact = sum(amounts, Decimal(0))
    assert Decimal(repr(total.value)).quantize(Decimal("0.01")) == exact
