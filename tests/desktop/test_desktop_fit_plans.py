"""Plans that are kept, through the window: kept, listed, opened again, renamed, held against."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest
from PySide6.QtWidgets import QPushButton

sys.path.insert(0, str(Path(__file__).parent))
from seasonwindow import (  # noqa: F401
    around,
    built,
    enter,
    open_window,
    seasons,
    settle,
    texts,
    unnamed,
)
from test_desktop_fit import fill, sheeted, verdict, work_out  # noqa: F401

from hulllog.desktop.plan.fitplans import NameForm, PlanSheet
from hulllog.insight.plans import kept_plans
from hulllog.records.logbook import Logbook
from hulllog.records.model import NoteForNextTime
from hulllog.records.operations import coatings, plans, queries, vessel, visits


@pytest.fixture
def section(open_window, sheeted):  # noqa: F811
    made = open_window(sheeted.folder, "plan").page
    made.fit_fold.set_open(is_open=True)
    fill(made.fit)
    work_out(made.fit)
    return made.fit


def shown(section, kind):
    return next(one for one in section.window().findChildren(kind) if one.isVisible())


def keep(section, name, button="fit/keep"):
    section.findChild(QPushButton, button).click()
    if button == "fit/keep":
        form = shown(section, NameForm)
        form.name.type_text(name)
        form.do.click()
    settle(section.window())


def on_record(section):
    return section.page.state.read(kept_plans)


def notes(section):
    return section.page.state.read(
        lambda book: [one.text for one in queries.kept(book, NoteForNextTime)]
    )


def opened(section, index=0):
    section.kept.open(section.kept.found[index])
    settle(section.window())
    return shown(section, PlanSheet)


def test_a_plan_is_kept_with_what_was_typed_and_its_answer_stays(section):
    keep(section, "May in the yard")
    (plan,) = on_record(section)
    assert plan.name == "May in the yard"
    assert plan.cells["first"] == "4 May 2026"
    assert [one.begins for one in plan.tasks] == [one.begins for one in section.tasks]
    assert plan.uncoated == ("pads", "under") or plan.uncoated == ("under",)
    assert section.answer is not None
    assert "May in the yard" in [one.name for one in section.kept.found]
    assert section.kept.isVisible()
    # What stays uncoated is offered as a note, and kept with the plan.
    assert any(text.startswith("Keel undersides: not coated") for text in notes(section))
    section.page.state.undo()
    settle(section.window())
    assert on_record(section) == []
    assert notes(section) == []
    assert not section.kept.isVisible()


def test_the_note_is_only_offered(section):
    section.findChild(QPushButton, "fit/keep").click()
    form = shown(section, NameForm)
    form.name.type_text("May")
    form.carried.show_value(())
    form.do.click()
    settle(section.window())
    assert len(on_record(section)) == 1
    assert notes(section) == []


def test_a_plan_without_a_name_is_not_kept_and_says_so(section):
    section.findChild(QPushButton, "fit/keep").click()
    form = shown(section, NameForm)
    form.do.click()
    settle(section.window())
    assert form.isVisible()
    assert form.name.sentence
    assert on_record(section) == []
    form.reject()


def test_a_plan_is_opened_again_and_kept_in_its_place(section):
    keep(section, "Four days")
    fill(section, days="6", drying="5")
    work_out(section)
    keep(section, "Six days")
    assert [one.name for one in on_record(section)] == ["Six days", "Four days"]
    before = on_record(section)[1]
    sheet = opened(section, 1)
    sheet.reopen.click()
    settle(section.window())
    assert section.form.cells["days"].text() == "4"
    assert section.form.cells["drying"].text() == "2"
    assert [one.begins for one in section.tasks] == [one.begins for one in before.tasks]
    # Changed and worked out anew, it is kept under its name.
    section.form.cells["washing"].setText("3")
    work_out(section)
    keep(section, "", "fit/keep_in")
    after = next(one for one in on_record(section) if one.name == "Four days")
    assert after.cells["washing"] == "3"
    wash = [(one.id, one.ends - one.begins) for one in after.tasks if one.code == "wash"]
    was = [(one.id, one.ends - one.begins) for one in before.tasks if one.code == "wash"]
    assert wash[0][0] == was[0][0]
    assert wash[0][1] == 3 * was[0][1]
    assert len(on_record(section)) == 2


def test_a_plan_that_is_opened_brings_its_paint_and_what_bares_metal(section):
    keep(section, "Four days")
    paint = section.form.finish.value
    section.form.finish.show_value(None)
    section.form.toggles["bottom_bares"].setChecked(True)
    section.form.keep_draft()
    sheet = opened(section)
    sheet.reopen.click()
    settle(section.window())
    assert not section.problem
    assert section.form.finish.value == paint
    assert not section.form.toggles["bottom_bares"].isChecked()
    assert section.answer is not None


def test_a_plan_is_renamed_and_withdrawn(section):
    keep(section, "May")
    opened(section).rename.click()
    form = shown(section, NameForm)
    form.name.type_text("Spring")
    form.do.click()
    settle(section.window())
    assert [one.name for one in section.kept.found] == ["Spring"]
    opened(section).withdraw.click()
    settle(section.window())
    assert section.kept.found == ()
    assert on_record(section) == []


def test_a_plan_is_laid_to_its_haul_out_and_held_against_what_was_done(section, sheeted):  # noqa: F811
    keep(section, "May")
    sheet = opened(section)
    assert not any("Out of the water: planned" in text for text in texts(sheet))
    # The newest haul-out that is on record: two coats all over, on 14 April 2023.
    sheet.visits.menu().actions()[0].trigger()
    settle(section.window())
    told = " ".join(texts(sheet))
    assert "Out of the water: planned 4 May 2026; done: 14 Apr 2023." in told
    assert "Waterline, leading edges: planned 3 coats, done 2 coats." in told
    assert "Bottom: 2 coats, as planned." in told
    assert on_record(section)[0].visit_id == sheeted.visits[2023]
    assert not unnamed(sheet)
    sheet.visits.menu().actions()[-1].trigger()
    settle(section.window())
    assert on_record(section)[0].visit_id is None
    sheet.reject()


def test_nothing_of_a_plan_is_written_where_the_logbook_is_only_read(open_window, sheeted):  # noqa: F811
    key = enter(
        sheeted.folder, plans.keep_plan, name="May", asked={}, verdict="fits",
        steps=[plans.Step("wash", "", 0, *moments())],
    )  # fmt: skip
    fit = open_window(sheeted.folder, "plan", read_only=True).page.fit
    assert [one.plan_id for one in fit.kept.found] == [key]
    fill(fit)
    work_out(fit)
    assert verdict(fit)
    assert not fit.findChild(QPushButton, "fit/keep").isEnabled()
    sheet = fit.kept.open(fit.kept.found[0])
    settle(fit.window())
    assert sheet.reopen.isEnabled()
    assert not any(one.isEnabled() for one in (sheet.visits, sheet.rename, sheet.withdraw))
    sheet.reject()


def moments():
    from datetime import UTC, datetime

    return datetime(2026, 5, 4, 8, tzinfo=UTC), datetime(2026, 5, 4, 9, tzinfo=UTC)


def test_what_a_plan_left_uncoated_is_offered_when_its_haul_out_is_closed(
    open_window,  # noqa: F811
    sheeted,  # noqa: F811
):
    visit = enter(sheeted.folder, visits.start_haul_out, begins="2024-04-14")
    soles = [sheeted.zones[f"keel-{side}-under"] for side in ("port", "starboard")]
    asked = {"cells": {"under_coats": "1"}, "zones": {"under": soles}}
    key = enter(
        sheeted.folder, plans.keep_plan, name="May", asked=asked, verdict="part",
        steps=[plans.Step("wash", "", 0, *moments())],
    )  # fmt: skip
    enter(sheeted.folder, plans.link_plan, key, visit)
    enter(sheeted.folder, coatings.add_coat, visit, sheeted.paints["red"])
    enter(sheeted.folder, visits.relaunch, visit, "2024-05-02")
    page = open_window(sheeted.folder, "haul_out").page
    page.edit(visits.close, visit)
    settle(page.window())
    keep_them = page.findChild(QPushButton, "haul_out/carry_over")
    assert keep_them is not None
    assert keep_them.isVisible()
    assert any(text.startswith("Keel undersides: not coated") for text in texts(page))
    keep_them.click()
    settle(page.window())
    found = page.state.read(lambda book: queries.kept(book, NoteForNextTime))
    assert [one.raised_visit_id for one in found] == [visit]
    gone = page.findChild(QPushButton, "haul_out/carry_over")
    assert gone is None or not gone.isVisible()


def test_a_plan_alone_makes_a_calendar(open_window, tmp_path):  # noqa: F811
    with Logbook.create(tmp_path / "new", around(tmp_path)) as logbook:
        vessel.create_vessel(
            logbook, name="Ruddy Shore", kind="yacht", material="grp", keel="fin",
            length="8.7 m", beam="2.9 m", draught="1.4 m",
        )  # fmt: skip
        key = plans.keep_plan(
            logbook, name="May", asked={}, verdict="fits",
            steps=[plans.Step("wash", "", 0, *moments())],
        )  # fmt: skip
    page = open_window(tmp_path / "new", "plan").page
    assert page.calendar.isEnabled()
    page.edit(plans.withdraw_plan, key)
    settle(page.window())
    assert not page.calendar.isEnabled()
