from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest

from hulllog.insight import walking
from hulllog.insight.yard import walked
from hulllog.records.logbook import Logbook, Surroundings
from hulllog.records.model import Visit
from hulllog.records.operations import matters, vessel, visits
from hulllog.records.operations import walking as enter

LOOKED = ("laminate-blisters", "rust-spots", "damage")


@pytest.fixture
def logbook(tmp_path):
    around = Surroundings(
        now=lambda: datetime(2025, 6, 1, 12, tzinfo=UTC), state_folder=tmp_path / "state"
    )
    with Logbook.create(tmp_path / "book", around) as made:
        vessel.create_vessel(
            made, name="Ruddy Shore", kind="yacht", material="grp", keel="twin",
            length="8.7", beam="2.9", draught="0.95",
        )  # fmt: skip
        yield made


@pytest.fixture
def visit(logbook):
    return visits.start_haul_out(logbook, begins="2025-05-30", looked_for=LOOKED, methods=["close"])


def stops(logbook, visit, state="found", looked_for=LOOKED):
    with logbook.read() as book:
        last = walking.seen_before(book, visit)
        found = walking.stops(book, visit, state, looked_for, last)
        return {stop.code: stop for stop in found}


def at(stop, visit, **more):
    return enter.At(visit_id=visit, zone_id=stop.zone_id, looked_for=stop.looked_for, **more)


def test_iron_keels_are_looked_at_for_rust_and_laminate_for_blisters(logbook, visit):
    found = stops(logbook, visit)
    assert found["keel-port-outboard"].looked_for == ("rust-spots", "damage")
    assert found["bottom-aft-port"].looked_for == ("laminate-blisters", "damage")


def test_growth_is_looked_for_only_at_and_under_the_waterline(logbook, visit):
    every = set(stops(logbook, visit))
    growth = stops(logbook, visit, looked_for=(walking.FOULING,))
    topsides = {code for code in every if code.startswith("topsides")}
    assert topsides
    assert set(growth) & topsides == set()
    assert {"waterline-port", "bottom-aft-port", "rudder", "keel-port-outboard"} <= set(growth)
    both = stops(logbook, visit, looked_for=(walking.FOULING, "damage"))
    assert both["topsides-port"].looked_for == ("damage",)
    assert both["waterline-port"].looked_for == (walking.FOULING, "damage")


def test_a_zone_for_which_nothing_is_looked_for_is_no_part_of_the_walk(logbook, visit):
    assert {code.split("-")[0] for code in stops(logbook, visit, looked_for=("rust-spots",))} == {
        "keel"
    }


@pytest.mark.parametrize(
    ("material", "keel", "wanted"),
    [
        ("grp", "twin", ("laminate-blisters", "crack", "damage", "rust-spots")),
        ("grp", "long", ("laminate-blisters", "crack", "damage")),
        ("steel", "none", ("rust-spots", "pit-depth", "damage")),
        ("wood", "long", ("soft-wood", "crack", "damage")),
    ],
)
def test_a_walk_looks_for_what_her_material_suffers(material, keel, wanted):
    before, after, *_, left = walking.plans(material, keel)
    assert before.looked_for == (walking.FOULING,)
    assert before.conditions["washed"] == "not_washed"
    assert after.looked_for == left.looked_for == wanted
    assert left.state == "left"


@pytest.mark.parametrize(
    ("material", "more"),
    [
        ("grp", ["sounded", "second_sweep"]), ("wood", ["sounded"]), ("ferrocement", ["sounded"]),
        ("steel", []), ("aluminium", []),
    ],
)  # fmt: skip
def test_sounding_and_the_second_sweep_are_walks_of_their_own(material, more):
    codes = [plan.code for plan in walking.plans(material, "long")]
    assert codes == ["before_wash", "after_wash", *more, "as_left"]


def test_the_washed_walk_answers_for_no_sounding_and_no_second_sweep(logbook, visit):
    own = {plan.code: plan for plan in walking.plans("grp", "twin")}
    washed = own["after_wash"].looked_for
    for stop in stops(logbook, visit, looked_for=washed).values():
        enter.nothing_found(logbook, at(stop, visit, methods=["close", "tapped"]))
    for code in ("sounded", "second_sweep"):
        plan = own[code]
        walk = stops(logbook, visit, plan.state, plan.looked_for)
        assert walk
        assert all(stop.entered is None for stop in walk.values()), code
        for stop in walk.values():
            enter.nothing_found(logbook, at(stop, visit, state=plan.state, methods=plan.methods))
    with logbook.read() as book:
        answered = walked(book, visit)
    assert {code: done == of for code, (done, of) in answered.items()} == {
        "before_wash": False, "after_wash": True, "sounded": True, "second_sweep": True,
        "as_left": False,
    }  # fmt: skip


def test_an_iron_keel_is_not_tapped_for_dull_places(logbook, visit):
    codes = set(stops(logbook, visit, looked_for=(walking.DULL,)))
    assert "bottom-aft-port" in codes
    assert not any(code.startswith("keel") for code in codes)


@pytest.mark.parametrize(
    ("day", "ends", "may"),
    [(13, None, False), (14, None, True), (40, None, True), (40, "2025-06-01", False)],
)
def test_the_second_sweep_may_begin_two_weeks_after_she_came_out(logbook, visit, day, ends, may):
    plan = next(one for one in walking.plans("grp", "twin") if one.code == "second_sweep")
    if ends:
        visits.set_dates(logbook, visit, begins="2025-05-30", ends=ends)
    now = datetime(2025, 5, 30, 0, tzinfo=UTC) + timedelta(days=day)
    with logbook.read() as book:
        assert walking.may_begin(book, book.get(Visit, visit), plan, now) is may


def test_a_zone_is_done_when_all_that_the_walk_looks_for_was_looked_for(logbook, visit):
    stop = stops(logbook, visit)["bottom-aft-port"]
    enter.nothing_found(logbook, at(stop, visit))
    assert stops(logbook, visit)["bottom-aft-port"].entered is not None
    assert stops(logbook, visit, state="left")["bottom-aft-port"].entered is None
    other = stops(logbook, visit, looked_for=(walking.FOULING,))
    assert other["bottom-aft-port"].entered is None


def test_last_time_brings_figures_and_coverage(logbook, visit):
    from hulllog.records.operations.measuring import Rated

    stop = stops(logbook, visit)["bottom-aft-port"]
    rated = Rated("laminate-blisters", {"count": "4", "largest_mm": "6"})
    enter.something_found(logbook, at(stop, visit), enter.Found(ratings=(rated,)))
    visits.close(logbook, visit)
    later = visits.start_haul_out(logbook, begins="2025-06-01")
    last = stops(logbook, later)["bottom-aft-port"].last
    assert last.figures == {"laminate-blisters": {"count": 4.0, "largest_mm": 6.0}}
    assert stops(logbook, later)["rudder"].last is None
    assert stops(logbook, visit)["bottom-aft-port"].last is None


def test_a_look_for_something_else_is_no_last_time(logbook, visit):
    from hulllog.records.operations.measuring import Rated

    zones = stops(logbook, visit, looked_for=(walking.FOULING,))
    fouled, clean = zones["bottom-aft-port"], zones["rudder"]
    rated = Rated(walking.FOULING, {"level": "3"}, {"washed": "not_washed"})
    enter.something_found(logbook, at(fouled, visit), enter.Found(ratings=(rated,)))
    enter.nothing_found(logbook, at(clean, visit))
    visits.close(logbook, visit)
    later = visits.start_haul_out(logbook, begins="2025-06-01")
    assert stops(logbook, later)["bottom-aft-port"].last is None
    growth = stops(logbook, later, looked_for=(walking.FOULING,))
    assert growth["bottom-aft-port"].last.figures == {walking.FOULING: {"level": "3"}}
    assert growth["rudder"].last.result == "nothing_found"


def test_of_a_look_for_more_only_what_is_looked_for_now_is_last_time(logbook, visit):
    from hulllog.records.operations.measuring import Rated

    both = (walking.FOULING, "laminate-blisters")
    stop = stops(logbook, visit, looked_for=both)["bottom-aft-port"]
    rated = (
        Rated(walking.FOULING, {"level": "3"}, {"washed": "not_washed"}),
        Rated("laminate-blisters", {"count": "4", "largest_mm": "6"}),
    )
    enter.something_found(logbook, at(stop, visit), enter.Found(ratings=rated))
    visits.close(logbook, visit)
    later = visits.start_haul_out(logbook, begins="2025-06-01")
    last = stops(logbook, later, looked_for=("laminate-blisters",))["bottom-aft-port"].last
    assert list(last.figures) == ["laminate-blisters"]


def test_open_findings_of_a_zone_are_told_there(logbook, visit):
    zone = stops(logbook, visit)["rudder"].zone_id
    matters.raise_finding(logbook, title="Play in the rudder", sort="wear", zones=(zone,))
    (told,) = stops(logbook, visit)["rudder"].findings
    assert (told.number, told.title) == (1, "Play in the rudder")
    assert stops(logbook, visit)["bottom-aft-port"].findings == ()


def test_conditions_of_the_day_are_those_last_rated_with(logbook, visit):
    from hulllog.records.operations.measuring import Rated

    stop = stops(logbook, visit)["bottom-aft-port"]
    rated = Rated("laminate-blisters", {"count": "1"}, {"wetness": "wet"})
    enter.something_found(logbook, at(stop, visit), enter.Found(ratings=(rated,)))
    with logbook.read() as book:
        assert walking.conditions_of(book, visit, "found") == {"wetness": "wet"}
        assert walking.conditions_of(book, visit, "left") == {}


@pytest.mark.parametrize(
    ("begins", "days"), [("2025-05-30", 2), ("2025-05", None), ("about 2025-05-30", None)]
)
def test_days_ashore_are_counted_only_from_a_known_day(logbook, begins, days):
    key = visits.start_haul_out(logbook, begins=begins)
    with logbook.read() as book:
        assert walking.days_ashore(book.get(Visit, key), logbook.around.now()) == days
