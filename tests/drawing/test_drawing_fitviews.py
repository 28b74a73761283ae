"""The answer to "does it fit" in words: every reason, task and window has its sentence."""

from __future__ import annotations

import ast
import inspect
from datetime import date

import pytest

from hulllog.drawing import fitviews
from hulllog.insight.fitting import Asked, Fit, Forbidden, Given
from hulllog.trade import plantelling
from hulllog.trade.fitting import best_plan
from hulllog.trade.slothours import Day, Grid, HighWater, hours_of
from hulllog.trade.slotwork import Area, Coat, Short, Slot, Unknown
from hulllog.trade.windows import WindowRow, shortest_time
from hulllog.words import codes

NAMES = {"bottom": "Bottom", "sole": "Keel underside"}
DAYS = (Day(18, 14, 50, 8, 18),) * 3


def rows(hours, longest=None):
    return (WindowRow(5, hours, longest), WindowRow(25, hours, longest))


def answer(longest=None, **other):
    coat = Coat("Tidewall", 2, rows(1), rows(4, longest), rows(8))
    areas = (
        Area("bottom", (coat, coat), removing=1, abrading=1),
        Area("sole", (coat,), reach="under"),
    )
    hours = hours_of(DAYS, 6, 20)
    slot = Slot(hours, 8, tuple(at for at, h in enumerate(hours) if h.yard), anodes=1)
    given = Given("yard", date(2026, 5, 4), DAYS, 6, 20, 8, 72)
    told = {"given": given} | other
    asked = Asked(told["given"], slot, areas, (), (), frozenset(), (), "UTC")
    return Fit(asked, best_plan(slot, areas), ())


def reasons():
    tree = ast.parse(inspect.getsource(plantelling))
    calls = [one for one in ast.walk(tree) if isinstance(one, ast.Call)]
    return sorted(
        one.args[0].value
        for one in calls
        if isinstance(one.func, ast.Name) and one.func.id == "_Met"
    )


def test_there_are_reasons_to_say():
    assert len(set(reasons())) >= 10


@pytest.mark.parametrize("why", sorted(set(reasons())))
def test_every_reason_names_the_work_and_is_said(why):
    window = shortest_time([(5, 16), (15, 4)], 10)
    short = Short("bottom", 1, 2, why, 20, 30, window)
    assert "Bottom" in fitviews.short_text(answer(), short, NAMES)


def test_the_conflict_names_the_window_and_the_hours():
    window = shortest_time([(5, 16), (15, 4)], 10)
    said = fitviews.short_text(answer(), Short("bottom", 1, 2, "launch", 35, 40, window), NAMES)
    assert said.replace("\u202f", " ") == (
        "Bottom: coat 2 needs 8.0 h before the water, and from Tue 5 May, 11:00 to "
        "Tue 5 May, 16:00 there is less."
    )


def test_every_task_is_said_with_its_hours():
    told = answer()
    said = [fitviews.task_text(told, task, NAMES) for task in told.plan.tasks]
    assert said[0] == "Wash: Mon 4 May, 08:00 to 09:00."
    assert said[1] == "Bottom, take off: Mon 4 May, 09:00 to 10:00."
    assert said[-1].startswith("Back in the water: ")
    assert {task.code for task in told.plan.tasks} >= {"wash", "remove", "abrade", "coat", "anodes"}
    for code in ("pads_moved", "hanging"):
        assert f"fit.task.{code}" in codes()
        assert f"fit.short_name.{code}" in codes()


@pytest.mark.parametrize("longest", [None, 40, 900])
def test_a_window_says_how_long_it_is_open(longest):
    told = answer(longest)
    first = fitviews.window_text(told, told.plan.brackets[0], NAMES)
    ending = {None: "no end stated", 40: " to Wed 6 May", 900: "still open"}[longest]
    assert ending in first


@pytest.mark.parametrize("rule", ["remove", "tie_coat", "abrade", "two_pack", "copper"])
def test_what_is_forbidden_is_named(rule):
    one = Forbidden("bottom", rule, "Tidewall", "Old Red", firm=True)
    assert "Tidewall" in fitviews.forbidden_text(one, NAMES)


@pytest.mark.parametrize("step", ["touch_dry", "next_coat", "launch"])
def test_the_missing_fact_is_named(step):
    assert "Tidewall" in fitviews.unknown_text(Unknown("bottom", 1, "Tidewall", step), NAMES)


def test_the_picture_says_the_plan_and_its_tides():
    grid = Grid((HighWater(6, 5.1), HighWater(18, 4.9)), 4, 0.3, 2, 2)
    told = answer(given=Given("grid", date(2026, 5, 4), DAYS, 6, 20, grid=grid))
    scene = fitviews.plan_scene(told, NAMES, 250)
    assert scene.described.startswith("Not all of it fits.")
    assert [key for key, _ in scene.regions if key.startswith("tide:")] == ["tide:0", "tide:1"]
    assert all(said for _, said in scene.regions)
