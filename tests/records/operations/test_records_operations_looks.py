"""Looks at zones and spots: coverage, result, ratings checked against their kind."""

from __future__ import annotations

import pytest

from hulllog.records.model import Inspection, MeasurementSet, Rating, Reading, Spot
from hulllog.records.operations import keeping, looks, measuring, spots, visits
from hulllog.records.operations.measuring import Rated

BLISTERS = Rated(
    "laminate-blisters",
    {"count": "12", "largest_mm": "1.5 cm", "depth": "gelcoat"},
    {"wetness": "wet", "days_ashore": "0"},
)


@pytest.fixture
def zone(boat):
    return boat.zones["bottom-aft-port"]


def sets(boat):
    return boat.all(MeasurementSet)


def test_nothing_found_keeps_what_was_looked_for_and_how(boat, zone):
    look = boat.get(Inspection, looks.nothing_found(boat.logbook, boat.visit, zone))
    assert look.looked_for == ["laminate-blisters", "level-of-fouling"]
    assert look.methods == ["close", "touched"]
    assert (look.coverage, look.result, look.state) == ("whole", "nothing_found", "found")
    assert boat.logbook.can_undo == ("inspection.nothing_found", {"zone": "Bottom aft, port"})


def test_what_the_visit_looks_for_later_leaves_earlier_looks_alone(boat, zone):
    key = looks.nothing_found(boat.logbook, boat.visit, zone)
    visits.set_looked_for(boat.logbook, boat.visit, ["crack"])
    assert "laminate-blisters" in boat.get(Inspection, key).looked_for


def test_a_look_with_ratings_has_found_something(boat, zone):
    key = looks.log_inspection(boat.logbook, boat.visit, zone, ratings=[BLISTERS])
    assert boat.get(Inspection, key).result == "something_found"
    (one,) = sets(boat)
    assert one.conditions == {"wetness": "wet", "days_ashore": 0.0}
    readings = {r.component: r.value for r in boat.all(Reading)}
    assert readings["count"].si == 12
    assert (readings["largest_mm"].text, readings["largest_mm"].unit) == ("1.5", "cm")
    assert readings["largest_mm"].si == pytest.approx(0.015)
    assert [(r.component, r.code) for r in boat.all(Rating)] == [("depth", "gelcoat")]


def test_ratings_that_all_say_none_have_found_nothing(boat, zone):
    none = [Rated("laminate-blisters", {"count": "0"}), Rated("level-of-fouling", {"level": "0"})]
    key = looks.log_inspection(boat.logbook, boat.visit, zone, ratings=none)
    assert boat.get(Inspection, key).result == "nothing_found"


def test_a_meters_reading_is_never_called_nothing(boat, zone):
    conditions = {"meter": "relative", "mode": "deep", "surface": "gelcoat", "days_ashore": "8"}
    read = Rated("moisture", {"reading": ["12", "14"]}, conditions)
    key = looks.log_inspection(boat.logbook, boat.visit, zone, ratings=[read])
    assert boat.get(Inspection, key).result == "something_found"


def test_a_look_without_a_result_is_refused(boat, refuses, zone):
    refuses("result_wanted", "result", looks.log_inspection, boat.visit, zone)


def test_what_was_not_seen_has_no_result(boat, refuses, zone):
    refuses(
        "result_of_unseen", "result", looks.log_inspection, boat.visit, zone,
        coverage="not_seen", result="nothing_found",
    )  # fmt: skip
    key = looks.could_not_see(boat.logbook, boat.visit, zone, hidden_by="support")
    look = boat.get(Inspection, key)
    assert (look.result, look.methods, look.hidden_by) == (None, [], "support")


def test_a_share_goes_with_a_part_only(boat, refuses, zone):
    refuses(
        "share_of_whole", "share", looks.log_inspection, boat.visit, zone,
        result="nothing_found", share="60 %",
    )  # fmt: skip
    key = looks.log_inspection(
        boat.logbook, boat.visit, zone, coverage="part", share="60 %", result="nothing_found"
    )
    assert boat.get(Inspection, key).share == pytest.approx(0.6)


@pytest.mark.parametrize(
    ("kind", "figures", "code", "field"),
    [
        ("laminate-blisters", {"count": "3.5"}, "number_whole", "figures.count"),
        ("laminate-blisters", {"count": "-1"}, "number_low", "figures.count"),
        ("laminate-blisters", {"count": "2", "largest_mm": "3 m"}, "number_high",
         "figures.largest_mm"),
        ("laminate-blisters", {"count": "2", "largest_mm": "3 kg"}, "unit_other",
         "figures.largest_mm"),
        ("laminate-blisters", {"largest_mm": "3"}, "component_missing", "figures.count"),
        ("laminate-blisters", {"count": "2", "smell": "x"}, "component_unknown", "figures.smell"),
        ("laminate-blisters", {"count": "2", "depth": "deep"}, "grade_unknown", "figures.depth"),
        ("level-of-fouling", {"level": "7"}, "grade_unknown", "figures.level"),
        ("level-of-fouling", {"level": [("1", "60 %"), ("2", "30 %")]}, "shares_sum",
         "figures.level"),
        ("level-of-fouling", {"level": [("1", None), ("2", 0.5)]}, "shares_sum", "figures.level"),
        ("iso-2409", {"class": [("1", 0.5), ("2", 0.5)]}, "grade_by_area", "figures.class"),
        ("astm-d610-2008", {"grade": "10", "distribution": "S"}, "not_beside",
         "figures.distribution"),
        ("tea-leaves", {}, "unknown_kind", "kind"),
    ],
)  # fmt: skip
def test_a_figure_that_the_kind_does_not_allow_is_refused(
    boat, refuses, zone, kind, figures, code, field
):
    refuses(
        code, field, looks.log_inspection, boat.visit, zone,
        result="something_found", ratings=[Rated(kind, figures)],
    )  # fmt: skip


def test_a_condition_that_the_kind_does_not_know_is_refused(boat, refuses, zone):
    for conditions, code in [({"moon": "full"}, "condition_unknown"),
                             ({"wetness": "damp"}, "unknown_choice"),
                             ({"days_ashore": "few"}, "number_unread")]:  # fmt: skip
        refuses(
            code, f"conditions.{next(iter(conditions))}", looks.log_inspection, boat.visit, zone,
            ratings=[Rated("laminate-blisters", {"count": "1"}, conditions)],
        )  # fmt: skip


def test_grades_by_area_are_several_ratings_with_shares(boat, zone):
    fouling = Rated("level-of-fouling", {"level": [("1", "70 %"), ("3", 0.3)]})
    looks.log_inspection(boat.logbook, boat.visit, zone, ratings=[fouling])
    found = {r.code: r.share for r in boat.all(Rating)}
    assert found == {"1": pytest.approx(0.7), "3": pytest.approx(0.3)}


def test_a_rating_added_later_sets_the_result(boat, zone):
    key = looks.nothing_found(boat.logbook, boat.visit, zone)
    measuring.rate(boat.logbook, "laminate-blisters", {"count": "4"}, inspection_id=key)
    assert boat.get(Inspection, key).result == "something_found"
    assert boat.logbook.can_undo == ("set.rate", {"rated": "laminate-blisters"})


def test_a_zone_that_was_not_seen_cannot_be_rated(boat, refuses, zone):
    key = looks.could_not_see(boat.logbook, boat.visit, zone, hidden_by="growth")
    refuses(
        "rating_of_unseen", "coverage", measuring.rate,
        "laminate-blisters", {"count": "4"}, inspection_id=key,
    )  # fmt: skip


def test_repeated_readings_are_numbered(boat):
    measuring.rate(
        boat.logbook, "hull-potential", {"potential": ["-610 mV", "-0.6 V"]},
        visit_id=boat.visit, conditions={"electrode": "ag_agcl", "shore_power": "none"},
    )  # fmt: skip
    found = [(r.number, r.value.si) for r in boat.all(Reading)]
    assert found == [(1, pytest.approx(-0.61)), (2, pytest.approx(-0.6))]
    assert sets(boat)[0].inspection_id is None


def test_as_last_time_is_a_look_of_its_own_with_the_conditions_of_today(boat, zone):
    looks.log_inspection(boat.logbook, boat.visit, zone, ratings=[BLISTERS])
    visits.close(boat.logbook, boat.visit)
    later = visits.start_haul_out(boat.logbook, begins="2025-05-20")
    key = looks.as_last_time(boat.logbook, later, zone, conditions={"wetness": "dry"})
    assert boat.get(Inspection, key).as_last_time
    first, second = sets(boat)
    assert second.conditions == {"wetness": "dry", "days_ashore": 0.0}
    assert second.visit_id == later
    by_set = {(r.set_id, r.component): r.value.text for r in boat.all(Reading)}
    assert by_set[first.id, "count"] == by_set[second.id, "count"] == "12"


def test_without_a_last_time_there_is_nothing_to_repeat(boat, refuses, zone):
    refuses("no_last_time", "zone", looks.as_last_time, boat.visit, zone)


def test_as_last_time_passes_over_visits_that_did_not_see_the_zone(boat, zone):
    looks.log_inspection(boat.logbook, boat.visit, zone, ratings=[BLISTERS])
    middle = visits.start_haul_out(boat.logbook, begins="2025-05-01")
    looks.could_not_see(boat.logbook, middle, zone, hidden_by="support")
    later = visits.start_haul_out(boat.logbook, begins="2025-05-20")
    key = looks.as_last_time(boat.logbook, later, zone)
    assert boat.get(Inspection, key).result == "something_found"


def test_a_look_is_corrected_with_a_reason_once_its_visit_is_closed(boat, refuses, zone):
    key = looks.nothing_found(boat.logbook, boat.visit, zone)
    looks.correct(boat.logbook, key, note="low sun")
    visits.close(boat.logbook, boat.visit)
    refuses("reason_wanted", "", looks.correct, key, note="high sun")
    looks.correct(boat.logbook, key, coverage="not_seen", reason="photos show growth")
    look = boat.get(Inspection, key)
    assert (look.coverage, look.result) == ("not_seen", None)


# Spots


def add(boat, label, **more):
    return spots.add_spot(
        boat.logbook, label=label, zone_id=boat.zones["bottom-aft-port"],
        place={"part": "hull", "face": "port", "u": 0.7, "v": 0.4}, visit_id=boat.visit, **more,
    )  # fmt: skip


def test_a_spot_number_is_never_used_again(boat):
    first, second = add(boat, "first"), add(boat, "second")
    spots.withdraw_spot(boat.logbook, second)
    third = add(boat, "third")
    numbers = [boat.get(Spot, key).number for key in (first, second, third)]
    assert numbers == [1, 2, 3]
    keeping.restore(boat.logbook, Spot, second)
    assert not boat.get(Spot, second).withdrawn


def test_a_spot_keeps_an_observation_for_each_visit(boat, refuses):
    spot = add(boat, "blister beside the skeg")
    spots.observe_spot(boat.logbook, spot, boat.visit, ratings=[BLISTERS])
    refuses(
        "result_of_unseen", "result", spots.observe_spot, spot, boat.visit,
        coverage="not_seen", result="nothing_found",
    )  # fmt: skip
    assert sets(boat)[0].spot_observation_id
    spots.move_spot(boat.logbook, spot, {"part": "hull", "face": "port", "u": 0.72, "v": 0.4})
    spots.set_label(boat.logbook, spot, "blister aft of the skeg")
    moved = boat.get(Spot, spot)
    assert (moved.place.u, moved.label) == (0.72, "blister aft of the skeg")
    assert boat.logbook.can_undo == ("spot.label", {"number": 1})
