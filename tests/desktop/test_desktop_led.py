"""A haul-out that is led: tasks in order, each gone to and done by keyboard, keys counted."""

from __future__ import annotations

import sys
from collections import Counter
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from PIL import Image
from PySide6.QtCore import QStandardPaths

sys.path.insert(0, str(Path(__file__).parent))
from yardwindow import Yard

from hulllog.insight.leading import led
from hulllog.records.model import (
    AnodeCheck,
    AnodePiece,
    Coat,
    Gear,
    GearCheck,
    Inspection,
    MeasurementSet,
    PadPosition,
    Photo,
    StageTime,
    Visit,
)
from hulllog.records.operations import anodes, around, coatings, gear, visits

LIFTED = datetime(2026, 4, 14, 9, tzinfo=UTC)
GEAR = ("seacock", "bearing", "rudder", "propeller", "keel_bolt")


class Led(Yard):
    """Somebody who does what the steps say, and touches no pointer."""

    def __init__(self, qtbot, folder, *, metered=True, **boat):
        super().__init__(qtbot, folder, now=LIFTED, **boat)
        for sort in GEAR:
            around.add_gear(self.logbook, sort=sort, name=sort.replace("_", " "))
        for sort in ("moisture_meter", "plate_gauge") if metered else ():
            around.add_instrument(self.logbook, name=sort.replace("_", " "), sort=sort)
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

    def lead(self, code, keys="Tab"):
        """Go to the row of a task, and where it leads."""
        self.tab_to(lambda focus: focus.objectName() == f"led.{code}", keys)
        self.sheet("\n")

    def back(self):
        """Go back to the steps, from another page by the list of pages."""
        self.settle()
        self.chord("F2" if self.page.code == "haul_out" else "Ctrl+1")
        self.settle()

    def at_stage(self, stage, time):
        """Type the time at which a stage was reached, and go back to the tasks."""
        self.settle()
        self.type("t")
        self.tab_to(lambda focus: focus is self.steps.times[stage].entry)
        self.type(time if time == "=" else f"{time}\n")
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

    def photos(self, names, state=""):
        """Take photographs in by the names of their files, typed in the dialog."""
        if state:
            self.type(f"\t\t{state}")
            self.sheet("a")
        else:
            self.sheet("\n")
        self.sheet(" ".join(f'"{name}.jpg"' for name in names) + "\n")
        self.back()

    def begin(self):
        """Begin a haul-out of today in the short form, and be at the steps."""
        self.window.show_page("haul_out")
        self.settle()
        self.presses = 0
        self.type("\n\nInlet Boatyard\nh")
        self.keep()


def pictures(names, at="2026:04:14 09:20:00"):
    """Put pictures where the computer keeps them, as a camera names their time."""
    folder = QStandardPaths.writableLocation(QStandardPaths.StandardLocation.PicturesLocation)
    Path(folder).mkdir(parents=True, exist_ok=True)
    for n, name in enumerate(names):
        exif = Image.Exif()
        exif.get_ifd(0x8769)[0x9003] = at
        Image.new("RGB", (64, 48), (n * 20, 90, 120)).save(f"{folder}/{name}.jpg", exif=exif)


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


def test_what_is_too_early_holds_no_step_up_and_comes_back_when_it_is_due(yacht):
    yacht.begin()
    visit = yacht.all(Visit)[0].id
    for n, stage in enumerate(("washed", "opened_up")):
        visits.add_stage(yacht.logbook, visit, stage=stage, at=f"2026-04-14 1{n}:00")
    for look in yacht.all(Gear):
        gear.look_at_gear(yacht.logbook, look.id, visit, result="nothing_found")
    (piece,) = yacht.all(AnodePiece)
    anodes.check_anode(yacht.logbook, piece.id, visit_id=visit, way="weighed", mass="1 kg")
    yacht.back()
    assert yacht.focus.objectName() == "led.sounded"
    yacht.lead("sounded")
    yacht.sheet("\n")
    yacht.type("n" * len(yacht.section("walk").stops))
    yacht.sheet("s")
    assert {yacht.states()[code] for code in ("moisture", "second_sweep")} == {"early"}
    assert yacht.focus.objectName() == "led.bare"  # of the step after it
    assert not yacht.steps.lists["opened_up"].isVisible()
    yacht.wait(6)
    yacht.back()
    assert yacht.focus.objectName() == "led.moisture"
    visits.add_stage(yacht.logbook, visit, stage="prepared", at="2026-04-19")
    yacht.back()
    assert list(yacht.steps.lists["opened_up"].doors) == ["moisture"]
    assert yacht.focus.objectName() == "led.moisture"
    assert yacht.steps.lists["prepared"].doors["bare"].isVisible()
    yacht.wait(9)
    yacht.back()
    assert list(yacht.steps.lists["opened_up"].doors) == ["moisture", "second_sweep"]


def test_the_second_sweep_is_told_its_day_and_not_begun_before(yacht):
    yacht.begin()
    told = []
    yacht.window.state.told.connect(told.append)
    visits.add_stage(yacht.logbook, yacht.all(Visit)[0].id, stage="washed", at="2026-04-14 10:00")
    visits.add_stage(yacht.logbook, yacht.all(Visit)[0].id, stage="opened_up", at="2026-04-14")
    yacht.back()
    yacht.lead("second_sweep")
    assert "28" in told[-1]
    assert yacht.page._now == "steps"
    yacht.chord("F3")
    yacht.type("4")
    assert yacht.section("walk").setup.plan.value != "second_sweep"


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


def test_what_was_missed_before_the_wash_is_said_and_may_be_entered_late(yacht):
    yacht.begin()
    yacht.at_stage("washed", "10:30")
    assert yacht.states()["fouling"] == "gone"
    assert "4 missed" in yacht.steps.doors["lifted"].accessibleName()
    yacht.sheet("1")
    yacht.sheet("\n")
    yacht.type("2" * len(yacht.section("walk").stops))
    yacht.sheet("s")
    assert yacht.states()["fouling"] == "done"
    assert "2 missed" in yacht.steps.doors["lifted"].accessibleName()


def test_a_letter_goes_to_the_time_of_the_next_step_and_takes_the_offered_one(yacht):
    pictures("ab")
    yacht.begin()
    yacht.lead("sides")
    yacht.photos("ab")
    yacht.presses = 0
    yacht.type("t")
    assert yacht.focus is yacht.steps.times["lifted"].entry
    yacht.sheet("=")
    assert [(one.stage, one.at.text) for one in yacht.all(StageTime)] == [
        ("lifted", "2026-04-14 09:20")
    ]
    yacht.back()
    yacht.type("t")
    assert yacht.focus is yacht.steps.times["washed"].entry
    yacht.sheet("10:30\n")
    yacht.back()
    yacht.day += timedelta(hours=8)
    yacht.type("t")
    yacht.sheet("=")  # nothing is offered: this minute
    times = {one.stage: one.at.text for one in yacht.all(StageTime)}
    assert times["washed"] == "14 Apr 2026 10:30"
    assert times["opened_up"].startswith("14 Apr 2026 17:0")
    assert yacht.presses == 13


def test_now_is_not_taken_for_a_haul_out_that_is_over(yacht):
    yacht.begin()
    visits.set_visit(yacht.logbook, yacht.all(Visit)[0].id, "ends", "2026-04-14")
    yacht.wait(3)
    yacht.back()
    yacht.type("t=")
    yacht.settle()
    assert yacht.all(StageTime) == []


@pytest.mark.parametrize("stages", [(), ("lifted", "washed", "opened_up")])
def test_every_step_is_in_sight_on_a_small_screen(yacht, stages):
    yacht.begin()
    visit = yacht.all(Visit)[0].id
    for n, stage in enumerate(stages):
        visits.add_stage(yacht.logbook, visit, stage=stage, at=f"2026-04-14 1{n}:00")
    yacht.window.resize(1366, 768)
    yacht.back()
    for stage, door in yacht.steps.doors.items():
        assert door.visibleRegion().boundingRect() == door.rect(), stage


def test_a_caution_of_a_step_that_is_far_is_a_mark_that_opens(yacht):
    yacht.begin()
    shown = {stage for stage, one in yacht.steps.cautions.items() if one and one.isVisible()}
    assert shown == {"lifted", "washed"}
    marks = {stage for stage, one in yacht.steps.marks.items() if one.isVisible()}
    assert marks == {"opened_up", "prepared", "coated", "ready", "relaunched"}
    mark, dust = yacht.steps.marks["prepared"], yacht.steps.cautions["prepared"]
    assert mark.accessibleName() == dust.accessibleName()
    yacht.tab_to(lambda focus: focus is mark)
    yacht.sheet("\n")
    assert dust.isVisible()
    assert not mark.isVisible()
    visits.add_stage(yacht.logbook, yacht.all(Visit)[0].id, stage="washed", at="2026-04-14 10:00")
    yacht.back()
    assert dust.isVisible()


def test_without_a_meter_one_quiet_line_leads_to_adding_it(qtbot, tmp_path):
    boat = Led(qtbot, tmp_path, metered=False, keel="fin")
    try:
        boat.begin()
        visit = boat.all(Visit)[0].id
        for n, stage in enumerate(("lifted", "washed", "opened_up")):
            visits.add_stage(boat.logbook, visit, stage=stage, at=f"2026-04-14 1{n}:00")
        boat.back()
        assert "moisture" not in boat.steps.lists["opened_up"].doors
        told = [one for one in boat.steps.lacking.values() if one.isVisible()]
        assert [one.objectName() for one in told] == ["lacking.opened_up"]
        assert "moisture meter" in told[0].text()
        boat.tab_to(lambda focus: focus is told[0])
        boat.sheet("\n")
        assert boat.page.code == "boat"
        assert boat.focus is boat.page.folds["instruments"].head
    finally:
        boat.close()


@pytest.mark.parametrize("reached", range(7))
def test_the_caution_of_a_step_that_stands_open_is_a_line(yacht, reached):
    yacht.begin()
    visit = yacht.all(Visit)[0].id
    order = list(yacht.steps.times)
    for stage in order[1 : reached + 1]:
        visits.add_stage(yacht.logbook, visit, stage=stage, at="2026-04-14")
    yacht.wait(20)
    yacht.back()
    standing = [stage for stage, tasks in yacht.steps.lists.items() if tasks.doors]
    assert yacht.steps.current in standing
    for stage in standing:
        assert yacht.steps.cautions[stage].isVisible(), stage
        assert not yacht.steps.marks[stage].isVisible()


def test_where_slings_and_pads_bore_is_entered_at_their_rows_of_the_sheet(yacht):
    yacht.begin()
    yacht.lead("slings")
    yacht.sheet("2.4 6,1\n")
    assert yacht.states()["slings"] == "done"
    visits.add_stage(yacht.logbook, yacht.all(Visit)[0].id, stage="washed", at="2026-04-14 10:00")
    yacht.back()
    yacht.lead("supports")
    yacht.sheet("3 5\n")
    assert yacht.states()["supports"] == "done"
    bore = [(one.sort, one.place.how["metres"]) for one in yacht.all(PadPosition)]
    assert bore == [("sling", "2.4"), ("sling", "6.1"), ("pad", "3"), ("pad", "5")]


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


def rate(boat, kind):
    """Open the sheet of a kind on Hull, for the first zone of the drawing."""
    boat.chord("Ctrl+3")
    boat.page.go_to(f"kind:{kind}")
    boat.chord("Down")
    boat.sheet("\nr")


def test_enter_after_the_last_figure_on_hull_stores_what_is_whole(yacht):
    yacht.begin()
    rate(yacht, "laminate-blisters")
    yacht.type("3\n2\n4\n\n\n")
    assert yacht.focus.text() == "Keep this look"
    yacht.sheet("\n")
    assert {one.kind for one in yacht.all(MeasurementSet)} == {"laminate-blisters"}


def test_enter_after_the_last_figure_on_hull_asks_first_how_it_was_measured(yacht):
    yacht.begin()
    rate(yacht, "moisture")
    yacht.type("17\n15\n")
    assert yacht.focus.accessibleName() == "Meter"
    yacht.type("pin meter\ndeep\n")
    assert yacht.focus.accessibleName().startswith("Surface")


def test_enter_after_the_last_figure_on_gear_goes_on_and_stores(yacht):
    yacht.begin()
    yacht.chord("Ctrl+6")
    yacht.sheet("l")
    yacht.type("n\tf")
    assert yacht.focus.text() == "Keep this look"
    yacht.sheet("\n\n")  # a hasty second Enter keeps it once
    assert len(yacht.all(GearCheck)) == 1
    yacht.sheet("l")
    yacht.type("n\t0.4\n")
    assert yacht.focus.accessibleName().startswith("Method: ")
    yacht.keep()
    assert len(yacht.all(GearCheck)) == 2


# The whole of it


def out_and_washed(boat):
    """Begin, and do what cannot be had later: the sides, the growth, the scum line, the wash."""
    pictures("abcdefghi")
    boat.begin()
    boat.lead("sides")
    boat.photos("ab")
    boat.at_stage("lifted", "=")  # the time of the first photograph
    boat.lead("fouling")
    boat.sheet("\n")
    boat.type("2" * len(boat.section("walk").stops))
    boat.sheet("s")
    boat.lead("scum_line")
    boat.sheet("40\n")
    boat.back()
    boat.at_stage("washed", "10:30")


def walked(boat, task, found=""):
    """Walk all round for a task that leads to a walk; in the first zone something is found."""
    boat.lead(task)
    boat.sheet("\n")
    section = boat.section("walk")
    if found:
        boat.sheet(found)
    boat.type("n" * sum(stop.entered is None for stop in section.stops))
    boat.sheet("s")


def to_the_scale(boat):
    boat.at_stage("opened_up", "16:00")
    boat.lead("anodes")
    boat.sheet("0.83\ntnn\n")
    boat.back()


def looked_at(boat, task, *keys):
    """Look at the fittings in a row, the keys of each sheet in their order."""
    boat.lead(task)
    for typed in keys:
        boat.sheet("l")
        boat.type(typed)
        boat.keep()
    boat.back()


def measured(boat, task, *keys):
    """Rate the first zone of the drawing that a task leads to."""
    boat.lead(task)
    boat.chord("Down")
    boat.sheet("\nr")
    boat.type(*keys)
    boat.keep()
    boat.back()


def painted_and_afloat(boat, day):
    """Primer and paint, new anode, photographs as left, back in the water, and closed."""
    boat.wait(1)
    boat.at_stage("prepared", f"{day} Apr 2026 12:00")
    boat.lead("coats")
    boat.sheet("1")
    boat.sheet("2.5\n2\n\n\n16\n14\n60\n")
    boat.sheet("\n")
    boat.back()
    boat.at_stage("coated", "16:00")
    boat.lead("anodes_new", "Shift+Tab")
    boat.sheet("\ntnyz1.15\n\n")
    boat.back()
    boat.lead("as_left")
    boat.photos("defg", "l")
    boat.at_stage("ready", "17:00")
    boat.tab_to(lambda focus: focus is boat.steps.facts.ends.entry)
    boat.sheet(f"{day}\n")
    boat.back()
    boat.at_stage("relaunched", "18:00")
    states = boat.states()
    boat.tab_to(lambda focus: focus is boat.steps.facts.close_it)
    boat.sheet("\n")
    (visit,) = boat.all(Visit)
    if visit.closed_at is None:  # what is open still was told first
        boat.sheet("\n")
    return states


def looked_at_by(boat, method):
    return [one for one in boat.all(Inspection) if method in one.methods]


REMINDERS = {
    "slings", "supports", "anodes_in_place", "pads_moved", "shut", "leaks", "afloat",
}  # fmt: skip
"""What no record of this haul-out shows, so that its row only reminds."""


def all_is_done(boat, states, day, reminders=REMINDERS):
    """Look that no task waits, and that each content stands in the records."""
    assert {code for code, state in states.items() if state != "done"} == set(reminders)
    assert {states[code] for code in reminders} == {"reminder"}
    (visit,) = boat.all(Visit)
    assert (visit.yard, visit.way, visit.scum_line.text) == ("Inlet Boatyard", "hoist", "40")
    assert visit.closed_at is not None
    assert {one.stage: one.at.text for one in boat.all(StageTime)} == {
        "lifted": "2026-04-14 09:20", "washed": "14 Apr 2026 10:30",
        "opened_up": "14 Apr 2026 16:00", "prepared": f"{day} Apr 2026 12:00",
        "coated": f"{day} Apr 2026 16:00", "ready": f"{day} Apr 2026 17:00",
        "relaunched": f"{day} Apr 2026 18:00",
    }  # fmt: skip
    assert Counter(photo.state for photo in boat.all(Photo)) == {"found": 2, "during": 1, "left": 4}
    (check,) = boat.all(AnodeCheck)
    assert (check.mass.text, check.contact) == ("0.83", "tight")
    new = [one.mass_new.text for one in boat.all(AnodePiece) if one.fitted_visit_id == visit.id]
    assert new == ["1.15"]
    assert len({look.gear_id for look in boat.all(GearCheck)}) == len(GEAR)
    assert [coat.litres.text for coat in boat.all(Coat)] == ["1.25", "1.25"]
    tapped = looked_at_by(boat, "tapped")
    assert {tuple(look.looked_for) for look in tapped} == {("dull-sound",)}
    assert {look.result for look in tapped} == {"nothing_found", "something_found"}
    (moist,) = [one for one in boat.all(MeasurementSet) if one.kind == "moisture"]
    how = {code: moist.conditions[code] for code in ("meter", "mode", "days_ashore")}
    assert how == {"meter": "pin meter", "mode": "deep", "days_ashore": 6}
    assert "surface" in moist.conditions


def rated(boat):
    return {one.kind for one in boat.all(MeasurementSet)}


def test_the_whole_set_of_a_grp_yacht_with_an_iron_keel(yacht):
    out_and_washed(yacht)
    walked(yacht, "wet_blisters", "s112\n4\n8\ngnn")
    to_the_scale(yacht)
    walked(yacht, "sounded", "s300\n120\nw")
    looked_at(yacht, "stern_gear", "n\tf", "n\t0.4", "n\t2", "n", "n")
    yacht.wait(6)
    yacht.back()
    measured(yacht, "moisture", "17\n15\tpin meter\tdeep\tg")
    yacht.chord("F6")
    yacht.photos("c", "d")
    yacht.wait(9)
    yacht.back()
    walked(yacht, "second_sweep", "s3\n2\n\n\n\nx")
    states = painted_and_afloat(yacht, 29)
    all_is_done(yacht, states, 29)
    assert rated(yacht) == {
        "laminate-blisters", "dull-sound", "level-of-fouling", "moisture", "play", "valve-action",
    }  # fmt: skip
    swept = [look for look in yacht.all(Inspection) if look.state == "during"]
    assert {tuple(look.looked_for) for look in swept} == {("laminate-blisters",)}
    wet, again = (one.conditions for one in yacht.all(MeasurementSet)
                  if one.kind == "laminate-blisters")  # fmt: skip
    assert (wet["wetness"], wet["days_ashore"]) == ("wet", 0)
    assert (again["wetness"], again["days_ashore"]) == ("dry", 15)
    # Four walks of up to seventeen zones, with three findings, are among these.
    assert yacht.presses <= 390  # 382


def test_the_whole_set_of_a_wooden_boat(qtbot, tmp_path):
    boat = Led(qtbot, tmp_path, keel="long", material="wood")
    try:
        out_and_washed(boat)
        # Soft wood that is seen comes with the washed walk, what sounds dull with the tapping.
        walked(boat, "washed_hull", "s15\n\nn")
        to_the_scale(boat)
        walked(boat, "soft_wood", "s300\n\nw")
        looked_at(boat, "stern_gear", "n\tf", "n\t0.4", "n\t2", "n", "n")
        measured(boat, "seams", "2.5")
        boat.wait(6)
        boat.back()
        measured(boat, "moisture", "17\n15\tpin meter\tdeep\tw")
        boat.chord("F6")
        boat.photos("c", "d")
        states = painted_and_afloat(boat, 20)
        all_is_done(boat, states, 20, REMINDERS | {"take_up"})
        assert rated(boat) == {
            "soft-wood", "dull-sound", "seam-gap", "level-of-fouling", "moisture", "play",
            "valve-action",
        }  # fmt: skip
        assert boat.presses <= 372  # 364
    finally:
        boat.close()


@pytest.mark.parametrize("material", ["steel", "aluminium"])
def test_the_whole_set_of_a_boat_of_metal(qtbot, tmp_path, material):
    boat = Led(qtbot, tmp_path, keel="long", material=material)
    try:
        out_and_washed(boat)
        walked(boat, "rust", "s1" + "40\n\n\nn")
        to_the_scale(boat)
        looked_at(boat, "stern_gear", "n\tf", "n\t0.4", "n\t2", "n", "n")
        measured(boat, "plates", "5.7\tb")
        boat.chord("F6")
        boat.photos("c", "d")
        boat.wait(6)
        states = painted_and_afloat(boat, 20)
        assert {code for code, state in states.items() if state != "done"} == REMINDERS
        assert {states[code] for code in REMINDERS} == {"reminder"}
        assert {"plate-thickness", "level-of-fouling"} < rated(boat)
        assert boat.presses <= 316  # 308
    finally:
        boat.close()
