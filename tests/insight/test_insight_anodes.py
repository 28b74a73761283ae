"""Wear of anodes by place: against its own past, with causes, and when half is gone."""

from __future__ import annotations

import sys
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))
import seasonbook

from hulllog.drawing import strip
from hulllog.drawing.telling import half_text, line_text, summary_text
from hulllog.insight.anodes import positions
from hulllog.insight.due import dues
from hulllog.insight.occasions import Edge, afloat, immersion
from hulllog.insight.summary import summary
from hulllog.insight.today import _anodes
from hulllog.records.errors import Refused
from hulllog.records.model import BerthPeriod
from hulllog.records.operations import anodes, around, berths, vessel, visits
from hulllog.records.operations.keeping import withdraw
from hulllog.records.values import PartialDate
from hulllog.words import formats


def shaft(logbook, edge=None):
    with logbook.read() as book:
        return positions(book, edge)[0]


def test_wear_is_by_the_immersed_year_and_not_by_the_calendar(made):
    first = shaft(made.logbook).stretches[0]
    assert first.immersed.days == pytest.approx(0.5 * 347, abs=1.0)
    assert first.rate.value == pytest.approx(100 * (160 / 580) * 365.25 / first.immersed.days)
    assert first.mass_kg == pytest.approx(0.16)


def test_the_season_with_shore_power_is_unusual_and_says_why(made):
    by_end = {item.stretch.ends.text[:4]: item for item in shaft(made.logbook).judged}
    plugged = by_end["2021"]
    assert plugged.unusual == "fast"
    assert plugged.ratio.value == pytest.approx(3.0, abs=0.2)
    assert [cause.code for cause in plugged.causes] == ["shore_power_began"]
    assert plugged.stretch.shore == "plugged"
    others = [item for year, item in by_end.items() if year != "2021"]
    assert all(item.unusual is None and not item.causes for item in others)


def test_from_an_earlier_edge_nothing_later_is_known(made):
    story = shaft(made.logbook, Edge(made.visits[2021], "found"))
    assert story.unusual == "fast"
    assert len(story.pieces) == 5
    assert story.present.piece_id == made.pieces[2020]
    assert story.shore_now == "plugged"
    before = shaft(made.logbook, Edge(made.visits[2020], "left"))
    assert before.unusual is None
    assert before.present.checks == ()


def test_too_few_earlier_looks_are_never_called_unusual(logbook):
    seasonbook.WORN, kept = {2017: 460, 2018: 470, 2019: 80}, seasonbook.WORN
    try:
        seasonbook.seasons(logbook, last=2019)
    finally:
        seasonbook.WORN = kept
    story = shaft(logbook)
    assert story.ratio == pytest.approx(3.4, abs=0.3)
    assert story.unusual is None


def test_current_names_its_capacity_and_the_metal_that_dissolved(made):
    anodes.set_piece(made.logbook, made.pieces[2023], "metal", "aluminium", reason="misread")
    story = shaft(made.logbook)
    capacity = next(one for one in story.current.inputs if one.symbol == "ε")
    assert capacity.value == 780.0
    assert story.current.value == pytest.approx(0.148 * 780 / (24 * story.current_of.immersed.days))
    assert story.suits.choice == "first"


def test_half_gone_is_a_date_by_the_calendar_with_its_interval(made):
    story = shaft(made.logbook)
    expected, low, high = story.half_date
    fitted = story.present.fitted
    assert low < expected < high
    passed = expected - fitted.middle
    assert passed / timedelta(days=1) == pytest.approx(story.half_loss.value / 0.5, rel=0.01)


def test_half_gone_is_only_probable_while_its_interval_runs(made):
    story = shaft(made.logbook)
    expected, _, high = story.half_date
    day = timedelta(days=1)
    told = {at: half_text(story, at) for at in (expected - day, expected + day, high + day)}
    assert "expected" in told[expected - day]
    assert "probably by now" in told[expected + day]
    assert formats.day(high.date()) in told[expected + day]
    assert "o be looked at" in told[expected + day]
    assert "by reckoning since" in told[high + day]
    (line,) = summary(None, [], [], [], [], [story], expected + day)[-1:]
    assert "probably half gone by now" in summary_text(line)


def test_no_forecast_stands_for_a_piece_that_came_off(made):
    anodes.remove_piece(made.logbook, made.pieces[2023], removed="2023-08")
    story = shaft(made.logbook)
    assert story.present is None
    assert (story.half_loss, story.half_date, story.suits) == (None, None, None)


def test_a_look_that_showed_half_gone_bounds_the_date(made):
    edge = Edge(made.visits[2021], "found")
    expected, _, high = shaft(made.logbook, edge).half_date
    lifted = PartialDate.parse("2021-04-14")
    assert expected <= lifted.latest
    assert high <= lifted.latest + timedelta(days=60)


def test_an_unknown_insert_leaves_the_share_and_says_so(logbook):
    seasons = seasonbook.Seasons(logbook)
    seasons.haul_out(2016)
    anodes.set_piece(logbook, seasons.pieces[2016], "insert_mass", None)
    seasons.haul_out(2017)
    story = shaft(logbook)
    (look,) = story.pieces[0].checks
    assert look.at_most
    assert look.left == pytest.approx((460 / 620, 460 / 620))
    assert "insert_unknown" in story.half_loss.cautions


def test_shares_by_eye_are_intervals_and_not_called_unusual_lightly(logbook):
    seasons = seasonbook.seasons(logbook, last=2020)
    later = visits.start_haul_out(logbook, begins="2021-04-14")
    anodes.check_anode(
        logbook, seasons.pieces[2020], visit_id=later, way="by_eye", left="half",
        contact="loose", painted_over=True,
    )  # fmt: skip
    last = shaft(logbook).judged[-1]
    assert last.stretch.rate.interval.low < last.stretch.rate.value
    assert last.stretch.rate.value < last.stretch.rate.interval.high
    assert last.ratio.value > 1.5
    assert abs(last.z.value) < 9
    assert last.stretch.loose
    assert last.stretch.painted_over


def test_a_slow_season_names_what_was_recorded(logbook):
    seasons = seasonbook.seasons(logbook, last=2020)
    later = visits.start_haul_out(logbook, begins="2021-04-14")
    anodes.check_anode(
        logbook, seasons.pieces[2020], visit_id=later, way="weighed", mass="610 g",
        contact="loose", painted_over=True,
    )  # fmt: skip
    story = shaft(logbook)
    assert story.unusual == "slow"
    assert [cause.code for cause in story.causes] == ["loose_contact", "painted_over"]


def test_an_unusual_season_without_a_reason_says_that_nothing_explains_it(made):
    with made.logbook.read() as book:
        kept = [berth.id for _, _, berth in afloat(book).berths]
    for key in kept:
        withdraw(made.logbook, BerthPeriod, key)
    judged = {item.stretch.ends.text[:4]: item for item in shaft(made.logbook).judged}
    assert [cause.code for cause in judged["2021"].causes] == ["nothing_on_record"]
    assert judged["2021"].stretch.shore == "unknown"


def test_a_check_after_the_work_is_not_seen_as_found(made):
    anodes.check_anode(
        made.logbook, made.pieces[2023], visit_id=made.visits[2023], way="by_eye", left="full",
        state="left",
    )  # fmt: skip
    assert shaft(made.logbook, Edge(made.visits[2023], "left")).present.checks
    assert (
        shaft(made.logbook, Edge(made.visits[2023], "found")).present.piece_id == made.pieces[2022]
    )


def test_a_piece_fitted_on_a_later_date_is_not_there_yet(made):
    anodes.fit_piece(made.logbook, made.shaft, fitted="2023-08-10", mass_new="500 g")
    story = shaft(made.logbook, Edge(made.visits[2023], "left"))
    assert story.present.piece_id == made.pieces[2023]


# Days in the water


def test_partial_dates_that_overlap_hold_no_days(logbook):
    with logbook.read() as book:
        wet = immersion(book, PartialDate.parse("2021"), PartialDate.parse("2021-03"))
    assert wet.low == 0.0
    assert wet.days == 0.0


def test_a_date_is_found_again_from_its_immersed_days(made):
    start = datetime(2019, 1, 1, tzinfo=UTC)
    with made.logbook.read() as book:
        wet = afloat(book)
    for days in (1.0, 40.0, 173.5, 900.0):
        when = wet.date_after(start, days)
        assert wet._wet(start, when)[0] == pytest.approx(days, abs=0.3)


def test_shore_power_is_what_most_days_had_and_unknown_days_count(logbook):
    berths.add_berth_period(
        logbook, begins="2021-01-01", ends="2021-02-01", location="Quay", shore_power="plugged"
    )
    with logbook.read() as book:
        wet = afloat(book)
    day = PartialDate.parse
    assert wet.shore_power(day("2021-01-01"), day("2021-02-10")) == "plugged"
    assert wet.shore_power(day("2021-01-01"), day("2021-12-01")) == "unknown"


# The owner's own limit, and the other side


def test_a_limit_of_the_owner_moves_the_date_and_is_named_everywhere(made):
    half = shaft(made.logbook).half_date
    around.set_limit(made.logbook, kind="anode", component="used", value="60 %", set_by="A. Keeper")
    story = shaft(made.logbook)
    assert (story.limit.share, story.limit.own) == (pytest.approx(0.6), False)
    fitted = story.present.fitted.middle
    assert (story.half_date[0] - fitted) / (half[0] - fitted) == pytest.approx(1.2, rel=0.02)
    told = half_text(story)
    assert told.startswith(f"{formats.share(0.6)} gone, the limit set by A. Keeper")
    with made.logbook.read() as book:
        (due,) = [one for one in dues(book, half[0] - timedelta(days=9)) if one.name == "Shaft"]
    (drawn,) = strip.dues_of([due])
    assert due.code == "anode_limit"
    assert formats.share(0.6) in drawn.said
    assert "half" not in drawn.said
    (line,) = summary(None, [], [], [], [], [story], half[0])[-1:]
    assert "the owner’s limit" in summary_text(line)
    assert "half" not in summary_text(line)


def test_a_position_may_have_a_limit_of_its_own(made):
    around.set_limit(made.logbook, kind="anode", component="used", value="60 %", set_by="A. Keeper")
    anodes.edit_position(made.logbook, made.shaft, limit="40 %", limit_by="The yard")
    own = shaft(made.logbook).limit
    assert (own.share, own.own, own.set_by) == (pytest.approx(0.4), True, "The yard")
    anodes.edit_position(made.logbook, made.shaft, limit=None)
    assert shaft(made.logbook).limit.share == pytest.approx(0.6)
    with pytest.raises(Refused) as refused:
        anodes.edit_position(made.logbook, made.shaft, limit="40 %")
    assert refused.value.field == "limit_by"
    with pytest.raises(Refused):
        anodes.edit_position(made.logbook, made.shaft, limit="2 %", limit_by="The yard")


def test_today_names_the_limit_of_the_owner_and_never_half(made):
    anodes.edit_position(made.logbook, made.shaft, limit="30 %", limit_by="The yard")
    when = shaft(made.logbook).half_date[0]
    lines = [line_text(one) for one in _anodes([shaft(made.logbook)], when)]
    told = next(one for one in lines if "limit" in one)
    assert formats.share(0.3) in told
    assert "half" not in told


def test_a_mirror_holds_both_ways_and_lends_its_wear(made):
    book = made.logbook
    other = anodes.add_position(book, name="Shaft starboard", mirror_id=made.shaft)
    anodes.fit_piece(book, other, visit_id=made.visits[2022], mass_new="620 g", insert_mass="40 g")
    with book.read() as read:
        one, two = positions(read)
    assert (one.mirror_id, two.mirror_id) == (other, made.shaft)
    assert two.half_date is not None
    assert "from_its_mirror" in two.half_loss.cautions
    third = anodes.add_position(book, name="Third", mirror_id=other)
    with book.read() as read:
        told = {story.position_id: story.mirror_id for story in positions(read)}
    assert told == {made.shaft: None, other: third, third: other}


def test_wear_is_held_against_the_mirror_over_the_same_time(made):
    book = made.logbook
    other = anodes.add_position(book, name="Shaft starboard", mirror_id=made.shaft)
    piece = anodes.fit_piece(
        book, other, visit_id=made.visits[2022], mass_new="620 g", insert_mass="40 g"
    )
    anodes.check_anode(book, piece, visit_id=made.visits[2023], way="weighed", mass="324 g")
    with book.read() as read:
        one, two = positions(read)
    assert two.mirror.ratio.value == pytest.approx(2.0, rel=0.01)
    assert one.mirror.ratio.value == pytest.approx(0.5, rel=0.01)


def test_a_check_has_its_own_day(logbook):
    vessel.create_vessel(
        logbook, name="Test", kind="yacht", material="grp", keel="fin",
        length="8.7 m", beam="2.85 m", draught="1.05 m",
    )  # fmt: skip
    place = anodes.add_position(logbook, name="Shaft")
    piece = anodes.fit_piece(logbook, place, fitted="2020-05-01", mass_new="600 g")
    visit = visits.start_haul_out(logbook, begins="2021-04-05")
    anodes.check_anode(
        logbook, piece, visit_id=visit, way="weighed", mass="300 g", looked="2021-04-09"
    )
    with logbook.read() as book:
        (story,) = positions(book)
    assert [check.when.text for check in story.pieces[0].checks] == ["2021-04-09"]


def test_a_moved_piece_keeps_its_masses_and_counts_at_its_new_place_from_then_on(made):
    aft = anodes.add_position(made.logbook, name="Saildrive", protects=["saildrive"])
    visit = visits.start_haul_out(made.logbook, begins="2024-04-14")
    piece_id = shaft(made.logbook).present.piece_id
    anodes.check_anode(made.logbook, piece_id, visit_id=visit, way="weighed", mass="500 g")
    before = shaft(made.logbook)
    piece, last = before.present, before.present.checks[-1]
    anodes.move_piece(made.logbook, piece_id, aft, visit_id=visit)
    with made.logbook.read() as book:
        old, new = positions(book)
    assert old.present is None
    assert new.present.moved.name == before.name
    assert new.present.mass_new_kg == piece.mass_new_kg
    assert new.present.start == last.left
    assert new.present.start_kg == last.mass_kg
    assert not new.stretches
    assert old.stretches == before.stretches
    later = visits.start_haul_out(made.logbook, begins="2025-04-14")
    moved = new.present.piece_id
    anodes.check_anode(made.logbook, moved, visit_id=later, way="weighed", mass="400 g")
    with made.logbook.read() as book:
        (stretch,) = positions(book)[1].stretches
    assert stretch.mass_kg == pytest.approx(0.1)
    for _ in range(3):
        made.logbook.undo()
    assert shaft(made.logbook).present.piece_id == piece.piece_id


def test_a_piece_is_moved_once_and_not_to_where_it_sits(made):
    aft = anodes.add_position(made.logbook, name="Saildrive", protects=["saildrive"])
    story = shaft(made.logbook)
    piece, visit = story.present, visits.start_haul_out(made.logbook, begins="2024-04-14")
    with pytest.raises(Refused, match="unknown_choice"):
        anodes.move_piece(made.logbook, piece.piece_id, story.position_id, visit_id=visit)
    with pytest.raises(Refused, match="date_wanted"):
        anodes.move_piece(made.logbook, piece.piece_id, aft)
    anodes.move_piece(made.logbook, piece.piece_id, aft, visit_id=visit)
    with pytest.raises(Refused, match="unknown_choice"):
        anodes.move_piece(made.logbook, piece.piece_id, aft, visit_id=visit)
