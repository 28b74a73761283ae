"""Her form on record: areas by integration, what is assumed, what a correction moves."""

from __future__ import annotations

import pytest

from hulllog.hull import zones
from hulllog.insight.boat import (
    boat_form,
    drawn_measures,
    looks_on_record,
    moved_places,
    parts_change,
    skin,
    trial,
    tried,
)
from hulllog.insight.occasions import Edge
from hulllog.insight.paint import bottom_area
from hulllog.records.errors import Refused
from hulllog.records.operations import spots, vessel
from hulllog.words.working import said


def form(logbook, edge=None):
    with logbook.read() as book:
        return boat_form(book, edge)


def by_name(shown):
    return {working.name: working for working in skin(shown)}


def test_a_logbook_without_a_boat_has_no_form(logbook):
    assert form(logbook) is None


def test_the_zones_stand_in_walking_order_with_their_areas(made):
    shown = form(made.logbook)
    assert [zone.number for zone in shown.zones] == list(range(1, len(shown.zones) + 1))
    total = sum(zone.area for zone in shown.zones)
    assert total == pytest.approx(zones.whole_area(shown.form), rel=1e-6)
    assert not {zone.code for zone in shown.zones if zone.below} & {"transom", "topsides-port"}


def test_the_area_to_antifoul_is_that_by_which_paint_is_reckoned(made):
    shown = form(made.logbook)
    with made.logbook.read() as book:
        assert by_name(shown)["skin_antifouled"].value == pytest.approx(bottom_area(book))


def test_areas_agree_with_the_owners_rule_within_its_spread(made):
    found = by_name(form(made.logbook))
    rule = found["owners_rule"]
    assert rule.interval.low < found["skin_below_water"].value < rule.interval.high


def test_hull_and_keels_make_the_area_under_water(made):
    found = by_name(form(made.logbook))
    parts = found["skin_hull"].value + found["skin_foils"].value
    assert parts == pytest.approx(found["skin_below_water"].value)
    assert 0.1 < found["skin_foils"].value / parts < 0.5
    assert 0 < found["skin_band"].value < found["skin_hull"].value


def test_the_hull_alone_agrees_with_the_delft_series(made):
    """Like for like: the canoe body of the drawn form, its own depth, volume and section."""
    found = by_name(form(made.logbook))
    hull, delft, several = (found[name] for name in ("skin_hull", "delft", "area_by_several_rules"))
    assert delft.value == pytest.approx(hull.value, rel=0.10)
    assert several.interval.low <= delft.value <= several.interval.high
    assert {one.symbol for one in delft.inputs} >= {"B", "T", "V", "C_M"}


def test_a_hull_the_series_does_not_know_has_no_delft_figure(made):
    shown = form(made.logbook)
    with made.logbook.read() as book:
        other = tried(book, shown, {"kind": "planing", "keel": "none", "rudder": "none"})
    names = set(by_name(other))
    assert "owners_rule" in names
    assert not names & {"delft", "area_by_several_rules", "skin_foils"}


def test_a_bigger_beam_changes_the_areas(made):
    shown = form(made.logbook)
    with made.logbook.read() as book:
        wider = tried(book, shown, {"beam": ("3.2", "m")})
    for name in ("skin_antifouled", "skin_below_water", "skin_displacement"):
        assert by_name(wider)[name].value > by_name(shown)[name].value


def test_every_figure_can_say_how_it_was_worked_out(made):
    for working in skin(form(made.logbook)):
        assert len(said(working).lines) > 3
    below = by_name(form(made.logbook))["skin_below_water"]
    assert {one.symbol: one.note for one in below.inputs} == {
        "LOA": "as_typed", "LWL": "assumed", "B": "as_typed", "T": "as_typed",
    }  # fmt: skip


def test_what_is_tried_is_not_stored_and_what_cannot_be_is_refused(made):
    shown = form(made.logbook)
    with made.logbook.read() as book:
        other = tried(book, shown, {"lwl": ("7.6", "m"), "displacement": ("4", "t")})
        with pytest.raises(Refused) as found:
            tried(book, shown, {"beam": ("8", "m")})
    assert found.value.field == "beam"
    assert "lwl" not in other.assumed
    assert other.typed["displacement"].text == "4"
    assert form(made.logbook).particulars == shown.particulars


def test_a_measure_cleared_is_drawn_by_type_again(made):
    vessel.correct_particulars(made.logbook, lwl="7.6")
    shown = form(made.logbook)
    with made.logbook.read() as book:
        cleared = tried(book, shown, {"lwl": ""})
    assert "lwl" in cleared.assumed
    assert drawn_measures(cleared.form)["lwl"] == pytest.approx(0.82 * 8.7)


def test_other_parts_get_zones_of_their_own(made):
    shown = form(made.logbook)
    with made.logbook.read() as book:
        fin = tried(book, shown, {"keel": "fin"})
        deeper = tried(book, shown, {"draught": ("1.1", "m")})
    assert parts_change(shown.form, fin.form)
    assert not parts_change(shown.form, deeper.form)
    assert {zone.zone_id for zone in fin.zones} == {""}
    assert [zone.zone_id for zone in deeper.zones] == [zone.zone_id for zone in shown.zones]


def test_particulars_that_contradict_one_another_are_told_with_both_figures(made):
    vessel.correct_particulars(made.logbook, displacement="9 t")
    asked, reached = form(made.logbook).disagreement
    assert asked == 9000
    assert reached < 9000


def test_older_edges_have_the_older_form(made):
    visit = made.visits[2018]
    vessel.convert(made.logbook, begins="2020-06", draught="1.3")
    old, new = form(made.logbook, Edge(visit, "left")), form(made.logbook)
    assert (old.present, new.present) == (False, True)
    assert (old.particulars.draught, new.particulars.draught) == (0.95, 1.3)


def test_marks_that_a_correction_moves_far_are_listed(made):
    spots.add_spot(
        made.logbook, label="At the foot", zone_id=None, visit_id=None,
        place={"part": "keel-port", "face": "outboard", "u": 0.5, "v": 0.9},
    )  # fmt: skip
    before = form(made.logbook)
    with made.logbook.read() as book:
        assert moved_places(book, before.form, before.form) == []
        deeper = tried(book, before, {"draught": ("1.4", "m")})
        moved = moved_places(book, before.form, deeper.form)
        gone = moved_places(book, before.form, tried(book, before, {"keel": "fin"}).form)
    foot = next(one for one in moved if "At the foot" in one.name)
    assert foot.table == "spot"
    assert foot.far > 0.1
    assert next(one for one in gone if "At the foot" in one.name).far is None


def test_looks_on_record_are_counted(made):
    with made.logbook.read() as book:
        assert looks_on_record(book) > 5


def test_a_conversion_of_the_keel_leaves_older_edges_their_zones(made):
    edge = Edge(made.visits[2018], "left")
    before = {zone.code for zone in form(made.logbook, edge).zones}
    vessel.convert(made.logbook, begins="2020-06", keel="fin", reason="new keel fitted")
    old, new = form(made.logbook, edge), form(made.logbook)
    assert {zone.code for zone in old.zones} == before
    assert old.form.parts != new.form.parts
    assert {one.part for zone in new.zones for one in zone.outline.pieces} <= set(new.form.parts)


def test_a_trial_tells_what_a_correction_would_do_and_stores_nothing(made):
    before = form(made.logbook)
    with made.logbook.read() as book:
        keel = trial(book, before, {"keel": "fin"})
        same = trial(book, before, {"beam": before.typed["beam"]})
    assert keel.tells
    assert keel.zones_anew
    assert "Port keel, outboard" in keel.gone
    assert "Transom" not in keel.gone
    assert not same.tells
    assert form(made.logbook).particulars.keel == "twin"
