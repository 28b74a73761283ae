"""Litres as computed for past jobs, held against those that they took."""

from __future__ import annotations

import pytest

from hulllog.insight.litres import past_litres
from hulllog.insight.occasions import visits as all_visits
from hulllog.insight.paint import areas_of, coats_of
from hulllog.records.operations import coatings, visits
from hulllog.trade.coatclasses import CLASSES


def past(logbook):
    with logbook.read() as book:
        return past_litres(book)


def computed_by_hand(logbook, visit_id):
    """Film x area / solids, with the usual loss, for each coat that went on."""
    known = CLASSES["self_polishing_antifouling"]
    with logbook.read() as book:
        areas = areas_of(book)
        visit = next(one for one in all_visits(book) if one.id == visit_id)
        covered = [areas.of(coat).value for coat in coats_of(book, visit)]
    return sum(covered) * known.film_um / (10 * known.solids * 0.88)


def test_every_job_is_held_against_what_was_computed_for_it(made):
    found = past(made.logbook)
    assert [one.visit_id for one in found.jobs] == [made.visits[year] for year in range(2016, 2024)]
    assert found.not_told == 0
    for year, job in zip(range(2016, 2024), found.jobs, strict=True):
        coats = 1 if year == 2018 else 2
        assert job.coats == coats
        assert job.used.value == pytest.approx(2.3 * coats)
        computed = computed_by_hand(made.logbook, job.visit_id)
        assert job.computed.value == pytest.approx(computed)
        assert job.share.value == pytest.approx(2.3 * coats / computed)
    used, computed = (
        sum(getattr(one, name).value for one in found.jobs) for name in ("used", "computed")
    )
    assert found.share.value == pytest.approx(used / computed)
    # All took the same by the litre: there is no spread to tell.
    assert found.share.interval is None


def test_the_spread_is_that_of_the_jobs(made):
    visit = visits.start_haul_out(made.logbook, begins="2024-04-14")
    for _ in range(2):
        coatings.add_coat(made.logbook, visit, made.paints["red"], litres="3.0")
    visits.relaunch(made.logbook, visit, "2024-05-02")
    found = past(made.logbook)
    assert found.jobs[-1].share.value == pytest.approx(found.jobs[0].share.value * 3.0 / 2.3)
    assert found.share.interval.low == pytest.approx(found.jobs[0].share.value)
    assert found.share.interval.high == pytest.approx(found.jobs[-1].share.value)


def test_a_job_with_a_coat_whose_litres_nobody_wrote_down_is_only_counted(made):
    visit = visits.start_haul_out(made.logbook, begins="2024-04-14")
    for litres in ("2.0", None):
        coatings.add_coat(made.logbook, visit, made.paints["red"], litres=litres)
    visits.relaunch(made.logbook, visit, "2024-05-02")
    found = past(made.logbook)
    assert len(found.jobs) == 8
    assert found.not_told == 1


def test_there_is_no_share_without_a_job(logbook):
    found = past(logbook)
    assert (found.jobs, found.share, found.not_told) == ((), None, 0)
