"""Recommendations of surveys: which came twice."""

from __future__ import annotations

import pytest

from hulllog.insight.matters import asked
from hulllog.records.operations import matters, vessel


@pytest.fixture
def surveys(logbook):
    vessel.create_vessel(
        logbook, name="Test", kind="yacht", material="grp", keel="fin",
        length="8.7 m", beam="2.85 m", draught="1.05 m",
    )  # fmt: skip
    return [matters.add_survey(logbook, at=day, asked_by="insurer") for day in ("2019", "2023")]


def items(logbook):
    with logbook.read() as book:
        return {item.recommendation_id: item for item in asked(book)}


def test_what_an_earlier_survey_asked_for_in_like_words_came_twice(logbook, surveys):
    first, second = surveys
    once = matters.add_recommendation(logbook, first, number="1", wording="Renew the seacock.")
    again = matters.add_recommendation(logbook, second, number="4", wording="renew the  SEACOCK")
    other = matters.add_recommendation(logbook, second, number="5", wording="Renew the hose")
    found = items(logbook)
    assert found[once].asked_before is None
    assert found[again].asked_before.text == "2019"
    assert found[other].asked_before is None


def test_two_of_one_survey_are_no_repeat(logbook, surveys):
    _first, second = surveys
    for number in "12":
        matters.add_recommendation(logbook, second, number=number, wording="Check the bolts")
    assert [item.asked_before for item in items(logbook).values()] == [None, None]


def test_what_stands_for_the_same_finding_came_twice_in_whatever_words(logbook, surveys):
    first, second = surveys
    finding = matters.raise_finding(logbook, title="Loose bolts", sort="wear")
    matters.add_recommendation(logbook, first, number="1", wording="Tighten", finding_id=finding)
    again = matters.add_recommendation(
        logbook, second, number="1", wording="Draw one bolt", finding_id=finding
    )
    assert items(logbook)[again].asked_before.text == "2019"
