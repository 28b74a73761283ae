"""What a haul-out leads through: by material, as done by the records, gone, early, or to do."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest

from hulllog.insight import walking
from hulllog.insight.leading import TASKS, lacking, led, offered_times
from hulllog.insight.overview import unseen
from hulllog.insight.walking import stops
from hulllog.records.operations import (
    anodes,
    around,
    gear,
    looks,
    queries,
    vessel,
    visits,
)
from hulllog.records.operations import walking as enter
from hulllog.records.operations.choices import STAGES
from hulllog.records.operations.measuring import Rated, rate
from hulllog.words import knows

NOW = datetime(2024, 4, 6, 12, tzinfo=UTC)


def boat(logbook, material="grp", keel="fin"):
    vessel.create_vessel(
        logbook, name="Test", kind="yacht", material=material, keel=keel,
        length="8.7 m", beam="2.85 m", draught="1.05 m",
    )  # fmt: skip
    for sort in ("moisture_meter", "plate_gauge"):
        around.add_instrument(logbook, name=sort, sort=sort)
    return visits.start_haul_out(logbook, begins="2024-04-05", way="hoist")


def tasks(logbook, visit, now=NOW):
    with logbook.read() as book:
        return {task.code: task for task in led(book, visit, now)}


@pytest.mark.parametrize(
    ("material", "has", "lacks"),
    [
        ("grp", {"wet_blisters", "moisture", "second_sweep", "rust"}, {"seams", "plates"}),
        ("wood", {"seams", "soft_wood", "fastenings", "take_up"}, {"wet_blisters", "plates"}),
        ("steel", {"plates", "rust"}, {"seams", "moisture", "sounded"}),
        ("aluminium", {"plates"}, {"seams", "moisture"}),
    ],
)
def test_the_tasks_follow_the_material(logbook, material, has, lacks):
    found = tasks(logbook, boat(logbook, material))
    assert has <= set(found)
    assert not lacks & set(found)


@pytest.mark.parametrize(
    ("material", "sort", "code", "kind"),
    [("grp", "moisture_meter", "moisture", "moisture"),
     ("steel", "plate_gauge", "plates", "plate-thickness")],
)  # fmt: skip
def test_what_wants_an_instrument_is_asked_where_one_is_on_record(
    logbook, material, sort, code, kind
):
    vessel.create_vessel(
        logbook, name="Test", kind="yacht", material=material, keel="long",
        length="8.7 m", beam="2.85 m", draught="1.05 m",
    )  # fmt: skip
    visit = visits.start_haul_out(logbook, begins="2024-04-05")
    assert code not in tasks(logbook, visit)
    with logbook.read() as book:
        assert lacking(book) == {"opened_up": (sort,)}
    rate(logbook, kind, FIGURES[kind], visit_id=visit)
    assert tasks(logbook, visit)[code].state == "done", "the surveyor brought one"
    around.add_instrument(logbook, name="Of her own", sort=sort)
    with logbook.read() as book:
        assert lacking(book) == {}


FIGURES = {"moisture": {"reading": "17"}, "plate-thickness": {"thickness": "5.7 mm"}}


def test_they_come_in_the_order_of_the_stages_and_each_has_a_sentence(logbook):
    found = list(tasks(logbook, boat(logbook)).values())
    order = [STAGES.index(task.stage) for task in found]
    assert order == sorted(order)
    assert [task.code for task in TASKS if not knows(f"led.{task.code}")] == []


def test_what_was_missed_before_the_wash_is_gone_but_counts_when_entered_late(logbook):
    visit = boat(logbook)
    assert tasks(logbook, visit)["fouling"].state == "open"
    visits.add_stage(logbook, visit, stage="washed", at="2024-04-05 10:00")
    assert tasks(logbook, visit)["fouling"].state == "gone"
    with logbook.read() as book:
        walk = stops(book, visit, "found", ("level-of-fouling",))
    for number, stop in enumerate(walk, 1):
        assert tasks(logbook, visit)["fouling"].state == "gone", f"{number} of {len(walk)}"
        looks.log_inspection(
            logbook, visit, stop.zone_id, looked_for=["level-of-fouling"],
            ratings=[Rated("level-of-fouling", {"level": "2"}, {"washed": "not_washed"})],
        )  # fmt: skip
    assert tasks(logbook, visit)["fouling"].state == "done"


def test_moisture_waits_for_five_days_ashore_and_says_from_when(logbook):
    visit = boat(logbook)
    early = tasks(logbook, visit)["moisture"]
    assert early.state == "early"
    assert early.not_before is not None
    assert early.not_before.date().isoformat() in ("2024-04-09", "2024-04-10")
    assert tasks(logbook, visit, datetime(2024, 4, 11, tzinfo=UTC))["moisture"].state == "open"
    visits.relaunch(logbook, visit, "2024-04-07")
    assert tasks(logbook, visit)["moisture"].state == "gone"


def test_a_task_is_done_by_what_is_on_record_and_open_again_when_that_is_undone(logbook):
    visit = boat(logbook)
    valve = around.add_gear(logbook, sort="seacock", name="Galley seacock")
    around.add_gear(logbook, sort="skin_fitting", name="Sink outlet")
    assert tasks(logbook, visit)["valves"].state == "open"
    gear.look_at_gear(logbook, valve, visit, result="nothing_found")
    assert tasks(logbook, visit)["valves"].state == "open"
    with logbook.read() as book:
        other = next(one.id for one in queries.kept(book, around.Gear) if one.id != valve)
    gear.look_at_gear(logbook, other, visit, result="nothing_found")
    assert tasks(logbook, visit)["valves"].state == "done"
    logbook.undo()
    assert tasks(logbook, visit)["valves"].state == "open"


def walk_all(logbook, visit, code):
    with logbook.read() as book:
        plan = next(one for one in walking.plans(*walking.boat_of(book)) if one.code == code)
        walk = stops(book, visit, plan.state, plan.looked_for)
    for stop in walk:
        yield stop
        where = enter.At(
            visit_id=visit, zone_id=stop.zone_id, state=plan.state, looked_for=stop.looked_for,
            methods=plan.methods,
        )  # fmt: skip
        enter.nothing_found(logbook, where)


@pytest.mark.parametrize(
    ("material", "plan", "task"),
    [
        ("grp", "sounded", "sounded"), ("ferrocement", "sounded", "sounded"),
        ("wood", "sounded", "soft_wood"), ("grp", "second_sweep", "second_sweep"),
    ],
)  # fmt: skip
def test_a_task_with_a_walk_of_its_own_is_done_when_each_zone_has_an_answer_there(
    logbook, material, plan, task
):
    visit = boat(logbook, material)
    late = datetime(2024, 4, 25, tzinfo=UTC)
    for _ in walk_all(logbook, visit, "after_wash"):
        pass
    for _ in walk_all(logbook, visit, plan):
        assert tasks(logbook, visit, late)[task].state == "open"
    assert tasks(logbook, visit, late)[task].state == "done"


def test_a_task_that_has_come_due_keeps_its_day(logbook):
    visit = boat(logbook)
    assert tasks(logbook, visit)["second_sweep"].state == "early"
    due = tasks(logbook, visit, datetime(2024, 4, 25, tzinfo=UTC))["second_sweep"]
    assert (due.state, due.not_before) == ("open", datetime(2024, 4, 19, tzinfo=UTC))
    assert tasks(logbook, visit)["sounded"].not_before is None


def test_without_an_anode_on_record_weighing_them_is_a_reminder(logbook):
    visit = boat(logbook)
    assert tasks(logbook, visit)["anodes"].state == "reminder"
    anodes.add_position(logbook, name="shaft")
    assert tasks(logbook, visit)["anodes"].state == "open"


def test_without_a_keel_there_is_no_underside_to_look_at(logbook):
    assert "underside" not in tasks(logbook, boat(logbook, "steel", keel="none"))


def test_the_underside_is_seen_while_she_hangs_and_not_by_the_walk_as_left(logbook):
    visit = boat(logbook)
    for _ in walk_all(logbook, visit, "as_left"):
        pass
    assert tasks(logbook, visit)["underside"].state == "open"
    for _ in walk_all(logbook, visit, "after_wash"):
        pass
    assert tasks(logbook, visit)["underside"].state == "done"


def test_new_anodes_are_a_reminder_since_none_may_be_needed(logbook):
    visit = boat(logbook)
    assert tasks(logbook, visit)["anodes_new"].state == "reminder"
    shaft = anodes.add_position(logbook, name="shaft")
    anodes.fit_piece(logbook, shaft, metal="zinc", mass_new="1 kg", visit_id=visit)
    assert tasks(logbook, visit)["anodes_new"].state == "done"


def test_without_a_fitting_on_record_none_is_asked_for(logbook):
    assert "valves" not in tasks(logbook, boat(logbook))


def test_a_hoist_asks_for_slings_and_a_grid_does_not(logbook):
    visit = boat(logbook)
    assert "slings" in tasks(logbook, visit)
    visits.set_visit(logbook, visit, "way", "drying_grid")
    assert "slings" not in tasks(logbook, visit)


def test_no_time_is_offered_without_a_photograph(logbook):
    visit = boat(logbook)
    with logbook.read() as book:
        assert offered_times(book, visit) == {}


def test_a_haul_out_that_is_not_there_is_an_error_of_the_program(logbook):
    boat(logbook)
    with pytest.raises(LookupError):
        tasks(logbook, "nothing")


def test_a_haul_out_that_still_goes_on_is_no_chance_missed(logbook):
    first = boat(logbook)
    visits.relaunch(logbook, first, "2024-04-20")
    visits.close(logbook, first)
    second = visits.start_haul_out(logbook, begins="2025-04-05")
    with logbook.read() as book:
        assert unseen(book) == []
    visits.relaunch(logbook, second, "2025-04-20")
    visits.close(logbook, second)
    with logbook.read() as book:
        assert {zone.chances for zone in unseen(book)} == {2}
