"""Plans of a slot: kept as typed, kept anew, renamed, laid to a haul-out, undone."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest

from hulllog.records.model import NoteForNextTime, Plan, PlanTask
from hulllog.records.operations import keeping, plans, visits
from hulllog.records.operations.plans import Step

START = datetime(2026, 5, 4, 8, tzinfo=UTC)
ASKED = {
    "cells": {"days": "4", "bottom_coats": "2"},
    "zones": {"bottom": ["z"]},
    "time_zone": "UTC",
}


def step(code, begins, ends, area="", number=0):
    return Step(code, area, number, START + timedelta(hours=begins), START + timedelta(hours=ends))


WASH, FIRST, SECOND = (
    step("wash", 0, 1),
    step("coat", 3, 5, "bottom", 1),
    step("coat", 9, 11, "bottom", 2),
)


def keep(logbook, **other):
    about = {"name": "May", "asked": ASKED, "verdict": "part", "steps": [WASH, FIRST]} | other
    return plans.keep_plan(logbook, **about)


@pytest.fixture
def plan(boat):
    return keep(boat.logbook)


def tasks(boat, plan):
    found = [one for one in boat.all(PlanTask) if one.plan_id == plan]
    return sorted((one.code, one.number, one.begins.hour, one.id) for one in found)


def test_a_plan_is_kept_as_typed_with_its_tasks_as_one_entry(boat):
    before = boat.entries
    plan = keep(boat.logbook, notes=["Keel undersides next time."])
    assert boat.entries == before + 1
    kept = boat.get(Plan, plan)
    assert (kept.name, kept.verdict, kept.asked, kept.visit_id) == ("May", "part", ASKED, None)
    assert [one[:3] for one in tasks(boat, plan)] == [("coat", 1, 11), ("wash", 0, 8)]
    assert [one.text for one in boat.all(NoteForNextTime)] == ["Keel undersides next time."]
    boat.logbook.undo()
    assert boat.all(Plan) == boat.all(PlanTask) == boat.all(NoteForNextTime) == []
    boat.logbook.redo()
    assert [one[:3] for one in tasks(boat, plan)] == [("coat", 1, 11), ("wash", 0, 8)]


def test_several_plans_stand_side_by_side(boat, plan):
    other = keep(boat.logbook, name="June", steps=[WASH])
    assert {one.id: one.name for one in boat.all(Plan)} == {plan: "May", other: "June"}
    assert len(tasks(boat, plan)) == 2
    assert len(tasks(boat, other)) == 1


def test_a_plan_wants_a_name_a_verdict_and_tasks(boat, refuses):
    about = {"name": "May", "asked": ASKED, "verdict": "fits", "steps": [WASH]}
    refuses("text_wanted", "name", plans.keep_plan, **{**about, "name": "  "})
    refuses("text_long", "name", plans.keep_plan, **{**about, "name": "x" * 121})
    refuses("unknown_choice", "verdict", plans.keep_plan, **{**about, "verdict": "perhaps"})
    refuses("no_tasks", "", plans.keep_plan, **{**about, "steps": []})


def test_what_is_worked_out_anew_moves_tasks_and_keeps_their_keys(boat, plan):
    was = {one[0]: one[3] for one in tasks(boat, plan)}
    later = step("coat", 6, 8, "bottom", 1)
    plans.keep_plan_anew(
        boat.logbook, plan, asked={**ASKED, "time_zone": "Europe/Lisbon"}, verdict="fits",
        steps=[later, SECOND],
    )  # fmt: skip
    now = tasks(boat, plan)
    assert [one[:3] for one in now] == [("coat", 1, 14), ("coat", 2, 17)]
    assert now[0][3] == was["coat"]
    assert boat.get(PlanTask, was["wash"]).withdrawn
    assert boat.get(Plan, plan).verdict == "fits"
    boat.logbook.undo()
    assert [one[:3] for one in tasks(boat, plan)] == [("coat", 1, 11), ("wash", 0, 8)]
    # What was taken out comes back as what it was.
    plans.keep_plan_anew(boat.logbook, plan, asked=ASKED, verdict="fits", steps=[later])
    plans.keep_plan_anew(boat.logbook, plan, asked=ASKED, verdict="fits", steps=[WASH, later])
    assert {one[0]: one[3] for one in tasks(boat, plan)} == was


def test_a_plan_is_renamed_laid_to_a_haul_out_and_withdrawn(boat, plan, refuses):
    plans.rename_plan(boat.logbook, plan, "Spring")
    plans.link_plan(boat.logbook, plan, boat.visit)
    assert (boat.get(Plan, plan).name, boat.get(Plan, plan).visit_id) == ("Spring", boat.visit)
    plans.link_plan(boat.logbook, plan, None)
    assert boat.get(Plan, plan).visit_id is None
    refuses("no_such_record", "visit_id", plans.link_plan, plan, "none")
    refuses("text_wanted", "name", plans.rename_plan, plan, "")
    plans.withdraw_plan(boat.logbook, plan)
    assert boat.all(Plan) == []
    assert boat.get(Plan, plan).name == "Spring"
    keeping.restore(boat.logbook, Plan, plan)
    assert [one.id for one in boat.all(Plan)] == [plan]


def test_a_plan_may_be_laid_to_a_closed_haul_out_without_a_reason(boat, plan):
    visits.close(boat.logbook, boat.visit)
    plans.link_plan(boat.logbook, plan, boat.visit)
    assert boat.get(Plan, plan).visit_id == boat.visit
    plans.link_plan(boat.logbook, plan, None)
    assert boat.get(Plan, plan).visit_id is None
