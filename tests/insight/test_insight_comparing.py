"""Two edges held against each other, how a hull was seen, and what is marked on it."""

from __future__ import annotations

import pytest

from hulllog.insight.comparing import compare, in_order
from hulllog.insight.condition import hull_state
from hulllog.insight.occasions import Edge
from hulllog.insight.placed import photos_at, spots_at, worked_on
from hulllog.insight.seeing import how_seen, kinds_offered, worth_showing
from hulllog.records.model import SpotObservation
from hulllog.records.operations import coatings, looks, queries, spots, vessel, visits
from hulllog.records.operations.measuring import Rated

KIND = "laminate-blisters"
AFT, MIDDLE, KEEL, UNDER = (
    "bottom-aft-port", "bottom-middle-port", "keel-port-outboard", "keel-port-under",
)  # fmt: skip


def blisters(largest, wetness="wet", **more):
    return Rated(
        KIND, {"count": "5", "largest_mm": str(largest)}, {"wetness": wetness}, **more
    )  # fmt: skip


@pytest.fixture
def boat(logbook):
    """A boat with two haul-outs: 3 mm seen at the first, as each test wants at the second."""
    vessel.create_vessel(
        logbook, name="Ruddy Shore", kind="yacht", material="grp", keel="twin",
        length="8.7 m", beam="2.9 m", draught="0.95 m",
    )  # fmt: skip
    with logbook.read() as book:
        zones = {zone.code: zone.id for zone, _ in queries.zones_at(book)}
    made = []
    for year in (2023, 2025):
        visit = visits.start_haul_out(
            logbook, begins=f"{year}-04-14", looked_for=[KIND], methods=["close"]
        )
        visits.relaunch(logbook, visit, f"{year}-05-01")
        made.append(visit)
    looks.log_inspection(logbook, made[0], zones[AFT], ratings=[blisters(3)])
    return logbook, zones, made


def changes(boat, one=("found", 0), other=("found", 1)):
    logbook, _, made = boat
    edges = [Edge(made[n], state) for state, n in (one, other)]
    with logbook.read() as book:
        return {change.now.code: change for change in compare(book, *edges, KIND)}


@pytest.mark.parametrize(
    ("largest", "answer"), [(9, "worse"), (0.5, "within"), (4, "within"), (3, "same")]
)
def test_a_change_is_held_against_the_methods_error(boat, largest, answer):
    logbook, zones, made = boat
    looks.log_inspection(logbook, made[1], zones[AFT], ratings=[blisters(largest)])
    found = changes(boat)[AFT]
    assert found.answer == answer
    assert (found.figure_before, found.figure_now) == (3, largest)
    assert found.component == "largest_mm"
    assert found.changed.difference == pytest.approx(largest - 3)


def test_the_order_of_the_edges_does_not_matter(boat):
    logbook, zones, made = boat
    looks.log_inspection(logbook, made[1], zones[AFT], ratings=[blisters(9)])
    assert changes(boat, ("found", 1), ("found", 0)) == changes(boat)
    with logbook.read() as book:
        late, early = Edge(made[0], "left"), Edge(made[0], "found")
        assert in_order(book, late, early) == (early, late)


def test_none_found_is_nought_and_can_get_worse_and_better(boat):
    logbook, zones, made = boat
    looks.nothing_found(logbook, made[1], zones[AFT])
    looks.nothing_found(logbook, made[0], zones[MIDDLE])
    looks.log_inspection(logbook, made[1], zones[MIDDLE], ratings=[blisters(12)])
    found = changes(boat)
    assert (found[AFT].answer, found[AFT].figure_now) == ("better", 0)
    assert (found[MIDDLE].answer, found[MIDDLE].figure_before) == ("worse", 0)


def test_what_was_not_seen_or_not_looked_for_says_nothing(boat):
    logbook, zones, made = boat
    looks.could_not_see(logbook, made[1], zones[AFT], hidden_by="support")
    assert changes(boat)[AFT].answer == "not_seen"
    looks.nothing_found(logbook, made[1], zones[MIDDLE])
    assert changes(boat)[MIDDLE].answer == "not_rated"
    assert changes(boat)[KEEL].changed is None


def test_wet_and_dry_do_not_compare(boat):
    logbook, zones, made = boat
    looks.log_inspection(logbook, made[1], zones[AFT], ratings=[blisters(9, "dry")])
    found = changes(boat)[AFT]
    assert (found.answer, found.why_not) == ("not_comparable", ("wetness_differs",))


def test_of_one_visit_only_a_look_after_the_work_says_something(boat):
    logbook, zones, made = boat
    looks.log_inspection(logbook, made[1], zones[AFT], ratings=[blisters(9)])
    both = ("found", 1), ("left", 1)
    assert changes(boat, *both)[AFT].answer == "not_rated", "as left is not as found once more"
    looks.nothing_found(logbook, made[1], zones[AFT], state="left")
    assert changes(boat, *both)[AFT].answer == "better"


# How she was seen


def test_hours_after_the_lift_want_two_times_of_day(boat):
    logbook, zones, made = boat
    visits.add_stage(logbook, made[1], "lifted", "2025-04-14 09:30")
    for zone, hour in ((AFT, "10:30"), (MIDDLE, "13:00")):
        rated = blisters(3, observed=f"2025-04-14 {hour}")
        looks.log_inspection(logbook, made[1], zones[zone], ratings=[rated])
    hours = seen(boat, 1).hours
    assert (hours.interval.low, hours.interval.high, hours.unit) == (1.0, 3.5, "h")
    assert seen(boat, 0).hours is None
    assert dict(seen(boat, 1).conditions) == {"wetness": "wet"}


def test_conditions_that_differ_from_zone_to_zone_are_not_those_of_the_hull(boat):
    logbook, zones, made = boat
    looks.log_inspection(logbook, made[0], zones[MIDDLE], ratings=[blisters(3, "dry")])
    assert dict(seen(boat, 0).conditions) == {}


def seen(boat, n):
    logbook, _, made = boat
    edge = Edge(made[n], "found")
    with logbook.read() as book:
        return how_seen(book, edge, KIND, hull_state(book, edge, KIND))


def test_zones_are_told_apart_by_what_is_not_known(boat):
    logbook, zones, made = boat
    looks.log_inspection(
        logbook, made[0], zones[KEEL], result="nothing_found", looked_for=["rust-spots"]
    )
    looks.could_not_see(logbook, made[0], zones[UNDER], hidden_by="ground")
    found = seen(boat, 0)
    assert [zone.code for zone in found.not_rated] == [KEEL]
    assert [zone.code for zone in found.not_seen] == [UNDER]
    assert len(found.not_looked) == len(zones) - 3


def test_kinds_on_record_and_looked_for_are_offered_up_to_the_edge(boat):
    logbook, zones, made = boat
    looks.log_inspection(
        logbook, made[1], zones[KEEL], ratings=[Rated("rust-spots", {"count": "2"})],
        looked_for=["rust-spots", "level-of-fouling"],
    )  # fmt: skip
    with logbook.read() as book:
        assert kinds_offered(book, Edge(made[0], "found")) == [KIND]
        offered = kinds_offered(book, Edge(made[1], "found"))
    assert set(offered) == {KIND, "rust-spots", "level-of-fouling"}
    assert worth_showing(["level-of-fouling", "rust-spots", KIND]) == "rust-spots"
    assert worth_showing(["level-of-fouling"]) == "level-of-fouling"
    assert worth_showing([]) is None


# What is marked on her


def test_spots_are_there_from_their_visit_on_with_what_was_seen(boat):
    logbook, zones, made = boat
    spot = spots.add_spot(logbook, label="field", zone_id=zones[AFT], visit_id=made[1])
    spots.observe_spot(logbook, spot, made[1], ratings=[blisters(4)], text="five of them")
    with logbook.read() as book:
        assert spots_at(book, Edge(made[0], "left")) == []
        (found,) = spots_at(book, Edge(made[1], "found"))
    assert (found.number, found.label, found.since.text) == (1, "field", "2025-04-14")
    look = found.at(made[1])
    assert look.figures[KIND]["largest_mm"] == pytest.approx(4)
    assert found.at(made[0]) is None


def test_a_look_as_left_is_not_seen_from_as_found(boat):
    logbook, _zones, made = boat
    spot = spots.add_spot(logbook, label="field", visit_id=made[0])
    spots.observe_spot(logbook, spot, made[1], state="left", result="nothing_found")
    with logbook.read() as book:
        (before,) = spots_at(book, Edge(made[1], "found"))
        (after,) = spots_at(book, Edge(made[1], "left"))
    assert (len(before.looks), len(after.looks)) == (0, 1)


def test_a_wrong_look_at_a_spot_gives_way_and_is_kept(boat):
    logbook, _zones, made = boat
    spot = spots.add_spot(logbook, label="field", visit_id=made[1])
    wrong = spots.observe_spot(logbook, spot, made[1], ratings=[blisters(40)], text="large")
    spots.correct_observation(logbook, wrong, ratings=[blisters(4)])
    with logbook.read() as book:
        (found,) = spots_at(book, Edge(made[1], "found"))
        assert book.get(SpotObservation, wrong).withdrawn
    (look,) = found.looks
    assert look.figures[KIND]["largest_mm"] == pytest.approx(4)
    assert look.text == "large", "what was not corrected is taken over"


def test_photographs_stand_with_each_place_they_show(boat, tmp_path):
    from PIL import Image

    from hulllog.records import media
    from hulllog.records.operations import photos

    logbook, zones, made = boat
    Image.new("RGB", (40, 30), "gray").save(tmp_path / "a.png")
    (taken,) = media.import_photos(logbook, [tmp_path / "a.png"], made[1]).done
    with logbook.read() as book:
        (bare,) = photos_at(book, Edge(made[1], "found"))
        assert photos_at(book, Edge(made[0], "left")) == []
    assert (bare.zone_id, bare.place_id) == (None, None)
    for code in (AFT, MIDDLE):
        photos.place_photo(logbook, taken.photo_id, zone_id=zones[code])
    with logbook.read() as book:
        shown = photos_at(book, None)
    assert {photo.zone_id for photo in shown} == {zones[AFT], zones[MIDDLE]}
    assert {photo.when.text for photo in shown} == {"2025-04-14"}


def test_work_on_a_zone_is_told_in_the_order_of_the_trade(boat):
    logbook, zones, made = boat
    paint = coatings.add_product(
        logbook, name="Tidewall 40", coating_class="unknown", role="antifouling"
    )
    coatings.add_coat(logbook, made[1], paint, litres="4 L", whole_bottom=True)
    coatings.add_treatment(logbook, made[1], sort="peeled", zones=[zones[AFT]])
    with logbook.read() as book:
        done = worked_on(book, made[1], zones[AFT], AFT)
        above = worked_on(book, made[1], zones["topsides-port"], "topsides-port")
    assert [(one.sort, one.code) for one in done] == [
        ("treatment", "peeled"), ("coat", "antifouling"),
    ]  # fmt: skip
    assert above == [], "the whole bottom ends at the waterline"


# A look corrected


def test_figures_entered_wrongly_give_way_to_the_right_ones(boat):
    logbook, zones, made = boat
    with logbook.read() as book:
        (look,) = queries.looks_at(book, zones[AFT], made[0])
    looks.correct(logbook, look.id, ratings=[blisters(2)], note="read again")
    state = zone(boat, AFT)
    assert state.figures["largest_mm"] == pytest.approx(2)
    assert state.note == "read again"
    nothing = Rated(KIND, {"count": "0", "largest_mm": "0"})
    looks.correct(logbook, look.id, ratings=[nothing])
    assert zone(boat, AFT).appearance == "none_found"


def zone(boat, code):
    logbook, _, made = boat
    with logbook.read() as book:
        found = hull_state(book, Edge(made[0], "found"), KIND)
    return next(one for one in found if one.code == code)
