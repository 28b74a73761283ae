from __future__ import annotations

import pytest

from hulllog.records.errors import Refused
from hulllog.records.model import Finding, FindingObservation, Inspection, MeasurementSet
from hulllog.records.operations import looks, visits, walking
from hulllog.records.operations.measuring import Rated
from hulllog.records.operations.walking import At, Found, Matter, Part

BLISTERS = Rated(
    "laminate-blisters", {"count": "4", "largest_mm": "6"}, {"wetness": "wet", "days_ashore": 20}
)


@pytest.fixture
def at(boat):
    def where(code="bottom-aft-port", **more):
        return At(visit_id=boat.visit, zone_id=boat.zones[code], **more)

    return where


def test_nothing_found_is_one_entry_with_its_own_copy_of_what_was_looked_for(boat, at):
    before = boat.entries
    key = walking.nothing_found(boat.logbook, at(looked_for=["damage"], methods=["close"]))
    look = boat.get(Inspection, key)
    assert boat.entries == before + 1
    assert (look.coverage, look.result, look.looked_for) == ("whole", "nothing_found", ["damage"])
    assert look.methods == ["close"]
    assert boat.logbook.can_undo[0] == "inspection.nothing_found"


def test_a_part_that_was_seen_keeps_its_share_and_what_hid_the_rest(boat, at):
    key = walking.nothing_found(boat.logbook, at(), Part(share="25 %", hidden_by="support"))
    look = boat.get(Inspection, key)
    assert (look.coverage, look.share, look.hidden_by) == ("part", 0.25, "support")
    assert look.result == "nothing_found"


def test_what_could_not_be_seen_and_what_nobody_looked_at_have_no_result(boat, at):
    unseen = boat.get(Inspection, walking.could_not_see(boat.logbook, at(), "growth"))
    left = boat.get(Inspection, walking.not_looked(boat.logbook, at("rudder")))
    assert (unseen.coverage, unseen.result, unseen.methods) == ("not_seen", None, [])
    assert (left.coverage, left.result, left.methods) == ("not_looked", None, [])


def test_something_found_with_its_finding_is_one_entry_and_one_undo(boat, at):
    before = boat.entries
    matter = Matter(title="Blisters, bottom aft", sort="blisters", must="next_lift")
    walking.something_found(
        boat.logbook, at(looked_for=["damage"]), Found(ratings=(BLISTERS,), matter=matter)
    )
    (look,), (finding,) = boat.all(Inspection), boat.all(Finding)
    assert boat.entries == before + 1
    assert look.result == "something_found"
    assert look.looked_for == ["damage", "laminate-blisters"]
    assert (finding.title, finding.must, finding.raised_visit_id) == (
        "Blisters, bottom aft", "next_lift", boat.visit,
    )  # fmt: skip
    boat.logbook.undo()
    assert not boat.all(Inspection)
    assert not boat.all(Finding)


def test_a_known_finding_is_seen_again_and_not_raised_twice(boat, at):
    found = Found(ratings=(BLISTERS,), matter=Matter(title="Blisters", sort="blisters"))
    walking.something_found(boat.logbook, at(), found)
    (finding,) = boat.all(Finding)
    again = Found(ratings=(BLISTERS,), matter=Matter(known_id=finding.id))
    walking.something_found(boat.logbook, at("rudder"), again)
    assert len(boat.all(Finding)) == 1
    (seen,) = boat.all(FindingObservation)
    assert (seen.finding_id, seen.seen) == (finding.id, "present")


def test_a_rating_of_none_leaves_nothing_found(boat, at):
    clean = Rated("level-of-fouling", {"level": "0"}, {"washed": "not_washed"})
    key = walking.something_found(boat.logbook, at(), Found(ratings=(clean,)))
    assert boat.get(Inspection, key).result == "nothing_found"


def test_words_alone_are_something_found(boat, at):
    key = walking.something_found(boat.logbook, at(), Found(note="weeps at the joint"))
    look = boat.get(Inspection, key)
    assert (look.result, look.note) == ("something_found", "weeps at the joint")


def test_an_answer_given_again_takes_the_place_of_the_first(boat, at):
    first = walking.something_found(boat.logbook, at(), Found(ratings=(BLISTERS,)))
    second = walking.nothing_found(boat.logbook, at(instead_of=first))
    assert [look.id for look in boat.all(Inspection)] == [second]
    assert boat.all(MeasurementSet) == []
    assert boat.get(Inspection, first).withdrawn


def test_a_refused_rating_leaves_the_first_answer(boat, at):
    first = walking.nothing_found(boat.logbook, at())
    bad = Rated("laminate-blisters", {"count": "-1"})
    with pytest.raises(Refused) as refused:
        walking.something_found(boat.logbook, at(instead_of=first), Found(ratings=(bad,)))
    assert refused.value.field == "figures.count"
    assert not boat.get(Inspection, first).withdrawn


def test_as_last_time_takes_the_figures_and_the_conditions_of_today(boat, at):
    growth = Rated("level-of-fouling", {"level": "3"}, {"washed": "not_washed"})
    found = Found(ratings=(BLISTERS, growth))
    before = walking.something_found(boat.logbook, at(), found)
    visits.close(boat.logbook, boat.visit)
    later = visits.start_haul_out(boat.logbook, begins="2025-05-20")
    where = At(
        visit_id=later, zone_id=boat.zones["bottom-aft-port"], looked_for=["laminate-blisters"]
    )
    today = {"wetness": "dry", "washed": "washed"}
    key = walking.as_last_time(boat.logbook, where, before, today)
    with boat.logbook.read() as book:
        look = book.get(Inspection, key)
        (made,) = look.sets
        assert look.as_last_time
        assert look.result == "something_found"
        assert made.conditions == {"wetness": "dry"}
        assert {one.component: one.value.text for one in made.readings} == {
            "count": "4", "largest_mm": "6",
        }  # fmt: skip
    assert len(boat.get(Inspection, before).methods) == 2


def test_as_last_time_of_a_look_that_is_not_there_is_refused(boat, at):
    with pytest.raises(Refused) as refused:
        walking.as_last_time(boat.logbook, at(), "gone", {})
    assert refused.value.code == "no_such_record"


def test_a_look_entered_elsewhere_is_not_touched(boat, at):
    other = looks.nothing_found(boat.logbook, boat.visit, boat.zones["rudder"])
    walking.nothing_found(boat.logbook, at())
    assert not boat.get(Inspection, other).withdrawn
