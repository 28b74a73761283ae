"""A haul-out that is led: tasks in order, each gone to and done by keyboard, keys counted."""

from __future__ import annotations

import sys
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))
from yardwindow import Yard

from hulllog.insight.leading import led
from hulllog.records.model import GearCheck, MeasurementSet, Visit
from hulllog.records.operations import anodes, around, coatings, visits

LIFTED = datetime(2026, 4, 14, 9, tzinfo=UTC)
GEAR = ("seacock", "bearing", "rudder", "propeller", "keel_bolt")


class Led(Yard):
    """Somebody who does what the steps say, and touches no pointer."""

    def __init__(self, qtbot, folder, **boat):
        super().__init__(qtbot, folder, now=LIFTED, **boat)
        for sort in GEAR:
            around.add_gear(self.logbook, sort=sort, name=sort.replace("_", " "))
        shaft = anodes.add_position(self.logbook, name="shaft")
        anodes.fit_piece(self.logbook, shaft, metal="zinc", mass_new="1.2 kg", fitted="2025-04-20")
        coatings.add_product(
            self.logbook, name="Tidewall", coating_class="hard_antifouling", role="antifouling"
        )
        self.settle()

    @property
    def steps(self):
        return self.section("steps")

    def states(self):
        (visit,) = self.all(Visit)
        now = self.logbook.around.now()
        with self.logbook.read() as book:
            return {task.code: task.state for task in led(book, visit.id, now)}

    def tab_to(self, there, keys="Tab", most=16):
        """Press Tab until the keyboard is there."""
        self.settle()
        for _ in range(most):
            if there(self.focus):
                return
            self.chord(keys)
        raise AssertionError(f"{self.focus.accessibleName()!r} is as far as {keys} went")

    def lead(self, code):
        """Go to the row of a task, and where it leads."""
        self.tab_to(lambda focus: focus.objectName() == f"led.{code}")
        self.sheet("\n")

    def back(self):
        """Go back to the steps, from another page by the list of pages."""
        self.settle()
        self.chord("F2" if self.page.code == "haul_out" else "Ctrl+1")
        self.settle()

    def at_stage(self, stage, time):
        """Type the time at which a stage was reached, and go back to the tasks."""
        field = self.steps.times[stage].entry
        self.tab_to(lambda focus: focus is field, "Shift+Tab")
        self.type(f"{time}\n")
        self.back()

    def sheet(self, keys):
        """Press keys, the last of which opens or shuts something, and wait for that."""
        self.type(keys)
        self.settle()

    def keep(self):
        self.chord("Ctrl+Return")
        self.settle()

    def wait(self, days):
        """Let days go by, and look at the steps again."""
        self.day += timedelta(days=days)
        self.page.update_now()
        self.settle()

    def begin(self):
        """Begin a haul-out of today in the short form, and be at the steps."""
        self.window.show_page("haul_out")
        self.settle()
        self.presses = 0
        self.type("\n\nInlet Boatyard\nh")
        self.keep()


@pytest.fixture
def yacht(qtbot, tmp_path):
    made = Led(qtbot, tmp_path, keel="fin")
    yield made
    made.close()


# Where the keyboard is


def test_tab_goes_from_a_step_to_its_time_its_tasks_and_on(yacht):
    yacht.begin()
    tasks = list(yacht.steps.lists["lifted"].doors.values())
    went = []
    yacht.steps.doors["lifted"].setFocus()
    for _ in range(len(tasks) + 3):
        yacht.chord("Tab")
        went.append(yacht.focus)
    assert went[0] is yacht.steps.times["lifted"].entry
    assert went[2:-1] == tasks  # after the caution
    assert went[-1] is yacht.steps.doors["washed"]


def test_the_keyboard_stays_on_its_task_while_something_is_stored(yacht):
    yacht.begin()
    yacht.tab_to(lambda focus: focus.objectName() == "led.fouling")
    task = yacht.focus
    visits.set_visit(yacht.logbook, yacht.all(Visit)[0].id, "scum_line", "40")
    yacht.settle()
    assert yacht.focus is task
    assert yacht.steps.lists["lifted"].doors["scum_line"].accessibleName().endswith("done")


def test_without_a_task_that_waits_the_keyboard_is_at_the_step_that_is_shown(yacht):
    yacht.begin()
    visit = yacht.all(Visit)[0].id
    visits.set_visit(yacht.logbook, visit, "ends", "2026-04-14")
    visits.add_stage(yacht.logbook, visit, stage="relaunched", at="2026-04-14 18:00")
    yacht.back()
    assert yacht.focus is yacht.steps.doors["relaunched"]


def test_a_task_of_a_walk_leads_to_the_walk_of_its_step(yacht):
    yacht.begin()
    yacht.lead("fouling")
    yacht.type("\n")  # begin
    yacht.back()
    visits.add_stage(yacht.logbook, yacht.all(Visit)[0].id, stage="washed", at="2026-04-14 10:30")
    yacht.settle()
    yacht.back()
    yacht.lead("wet_blisters")
    assert yacht.section("walk").setup.plan.value == "after_wash"


def test_a_walk_of_fewer_zones_that_is_done_may_be_begun_after_a_longer_one(yacht):
    yacht.begin()
    for plan in "121":
        yacht.sheet(plan)
        yacht.sheet("\n")
        section = yacht.section("walk")
        yacht.type("n" * sum(stop.entered is None for stop in section.stops))
        yacht.back()
    yacht.chord("F3")
    assert section.panels.currentWidget() is section.done


# Looks at gear and readings


def test_fittings_are_looked_at_one_after_the_other(yacht):
    yacht.begin()
    yacht.chord("Ctrl+6")
    yacht.presses = 0
    for keys in ("n\tf", "n\t0.4", "n\t2", "n", "n"):
        yacht.sheet("l")
        yacht.type(keys)
        yacht.keep()
    looks = yacht.all(GearCheck)
    assert [look.result for look in looks] == ["nothing_found"] * 5
    assert len({look.gear_id for look in looks}) == 5
    assert yacht.presses <= 25  # 23
    assert yacht.page.isAncestorOf(yacht.focus)  # and not at Undo


def test_a_reading_begins_with_the_days_ashore_of_today(yacht):
    yacht.begin()
    yacht.sheet("2")
    yacht.sheet("\n")
    yacht.type("s112\n\n\n\n\nx")  # blisters, on the first day
    yacht.settle()
    yacht.wait(6)
    yacht.back()
    yacht.chord("Ctrl+3")
    yacht.page.go_to("kind:moisture")
    yacht.chord("Down")
    yacht.sheet("\nr")
    yacht.type("17")
    yacht.keep()
    days = {one.kind: one.conditions.get("days_ashore") for one in yacht.all(MeasurementSet)}
    assert days == {"laminate-blisters": 0, "moisture": 6}
