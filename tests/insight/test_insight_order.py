"""Visits known to the year stand among the exact ones where the strip draws them."""

from __future__ import annotations

from datetime import UTC, datetime

from hulllog.drawing.strip import strip_of
from hulllog.drawing.tidemarks import Room, blocks
from hulllog.drawing.tidestrip import _scale
from hulllog.insight.occasions import visits as in_order
from hulllog.insight.timeline import timeline
from hulllog.records.operations import coatings, queries, visits

NOW = datetime(2021, 1, 1, tzinfo=UTC)


def out(logbook, begins, ends=None, *, paint=None):
    typed = {"ends": ends} if ends else {}
    visit = visits.start_haul_out(logbook, begins=begins, time_zone="UTC", **typed)
    if paint:
        coatings.add_coat(logbook, visit, paint)
    visits.close(logbook, visit)
    return visit


def told(logbook):
    with logbook.read() as book:
        begun = [visit.begins.text for visit in in_order(book)]
        assert begun == [visit.begins.text for visit in queries.visits(book)]
        assert begun == [visit.begins.text for visit in timeline(book).visits]
    return begun


def drawn(logbook):
    with logbook.read() as book:
        strip = strip_of(timeline(book), NOW)
    room = Room(280, 26)
    return blocks(strip, _scale(strip, room))


def test_a_year_stands_between_a_spring_and_an_autumn_that_are_known(ketch):
    for begins in ("2018", "2018-10-03", "2018-03-05", "2017-11-20", "2019"):
        out(ketch, begins)
    assert told(ketch) == ["2017-11-20", "2018-03-05", "2018", "2018-10-03", "2019"]


def test_an_end_that_is_known_better_bounds_its_year(ketch):
    out(ketch, "2018", "2018-02-20")
    out(ketch, "2018-03-05", "2018-03-09")
    assert told(ketch) == ["2018", "2018-03-05"]


def test_the_blocks_are_drawn_in_the_order_in_which_the_edges_are_read(ketch):
    for begins, ends in (
        ("2018", None), ("2018-10-03", "2018-10-09"), ("2018-03-05", "2018-03-09"),
        ("2019-04", "2019-04-20"), ("2019-04-03", "2019-04-05"),
    ):  # fmt: skip
        out(ketch, begins, ends)
    order = told(ketch)
    middles = [(block.left + block.right) / 2 for block in drawn(ketch)]
    assert len(middles) == len(order)
    assert middles == sorted(middles)


def test_what_she_wore_never_runs_backwards(ketch):
    paint = coatings.add_product(ketch, name="T", coating_class="unknown", role="antifouling")
    for begins, ends in (
        ("2018", "2018-10-09"), ("2018-03-05", "2018-03-09"), ("2017-05-05", "2017-05-12"),
        ("2019-04", "2019-04-20"), ("2020-04-03", "2020-04-05"),
    ):  # fmt: skip
        out(ketch, begins, ends, paint=paint)
    with ketch.read() as book:
        worn = timeline(book).threads
    assert len(worn) == 5
    assert all(one.begins.middle <= one.ends.middle for one in worn if one.ends)


def test_a_closed_haul_out_without_an_end_does_not_stand_ashore_until_today(ketch):
    out(ketch, "2018-03-05")
    out(ketch, "2020-03-05", "2020-03-09")
    first, second = drawn(ketch)
    assert first.right < second.left
    assert first.blur_right < second.left
