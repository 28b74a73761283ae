"""A finding that outlived its time says by what."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest

from hulllog.insight.matters import matters
from hulllog.insight.occasions import Edge
from hulllog.records.operations import matters as do
from hulllog.records.operations import vessel, visits

SOON = datetime(2023, 6, 1, tzinfo=UTC)
LATE = datetime(2024, 9, 1, tzinfo=UTC)


@pytest.fixture
def ketch(logbook):
    """A boat of which nothing is on record."""
    vessel.create_vessel(
        logbook, name="Test", kind="yacht", material="grp", keel="fin",
        length="8.7 m", beam="2.85 m", draught="1.05 m",
    )  # fmt: skip
    return logbook


def lift(book, begins, ends=None, kind="haul_out"):
    visit = visits.start_visit(book, kind=kind, begins=begins)
    if ends:
        visits.relaunch(book, visit, ends)
    return visit


def raised(book, must, visit, **more):
    wanted = {"title": must, "sort": "crack", "severity": "slight", **more}
    return do.raise_finding(book, must=must, visit_id=visit, **wanted)


def late(book, now, edge=None):
    """Return title -> (code, day) of what is overdue."""
    with book.read() as session:
        found = {m.title: m.overdue(now) for m in matters(session, edge)}
    return {k: (v.code, v.since.earliest.date().isoformat()) for k, v in found.items() if v}


def test_what_was_due_at_a_lift_is_overdue_when_that_lift_is_over(ketch):
    first = lift(ketch, "2023-04-01", "2023-04-09")
    raised(ketch, "next_lift", first)
    raised(ketch, "watch", first)
    assert late(ketch, LATE) == {}
    lift(ketch, "2023-08-01", kind="diver")
    second = lift(ketch, "2024-04-01")
    assert late(ketch, LATE) == {}
    visits.relaunch(ketch, second, "2024-04-05")
    assert late(ketch, LATE) == {"next_lift": ("lift", "2024-04-01")}
    assert late(ketch, LATE, Edge(second, "found")) == {}


def test_work_gives_it_until_the_lift_that_follows(ketch):
    first = lift(ketch, "2022-04-01", "2022-04-09")
    finding = raised(ketch, "next_lift", first)
    second = lift(ketch, "2023-04-01", "2023-04-09")
    do.add_work(ketch, text="Ground out", visit_id=second, findings=[finding])
    assert late(ketch, LATE) == {}
    lift(ketch, "2024-04-01", "2024-04-09")
    assert late(ketch, LATE) == {"next_lift": ("lift", "2024-04-01")}


def test_a_season_and_a_relaunch_pass_as_well(ketch):
    first = lift(ketch, "2023-04-01", "2023-04-09")
    raised(ketch, "this_season", first)
    raised(ketch, "before_relaunch", first)
    assert late(ketch, SOON) == {"before_relaunch": ("relaunch", "2023-04-09")}
    assert late(ketch, LATE)["this_season"] == ("season", "2023-04-01")


def test_of_two_alike_the_older_one_comes_first(ketch):
    older, newer = lift(ketch, "2022-04-01", "2022-04-09"), lift(ketch, "2023-04-01", "2023-04-09")
    raised(ketch, "watch", newer, title="newer")
    raised(ketch, "watch", older, title="older")
    raised(ketch, "watch", newer, title="worse", severity="severe")
    with ketch.read() as session:
        assert [m.title for m in matters(session)] == ["worse", "older", "newer"]
