"""The sample's kept plan through the window: opened, it is drawn, said and written at once."""

from __future__ import annotations

import shutil
import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))
from seasonwindow import open_window, settle, texts  # noqa: F401

from hulllog import assets
from hulllog.desktop.labels import Prose
from hulllog.desktop.plan.fitplans import PlanSheet


@pytest.fixture(scope="module")
def sample(tmp_path_factory):
    return assets.sample().build(tmp_path_factory.mktemp("shelf"))


@pytest.fixture
def page(open_window, sample, tmp_path):  # noqa: F811
    made = open_window(shutil.copytree(sample, tmp_path / "book"), "plan").page
    made.fit_fold.set_open(is_open=True)
    (plan,) = made.fit.kept.found
    sheet = made.fit.kept.open(plan)
    assert isinstance(sheet, PlanSheet)
    sheet.reopen.click()
    settle(made.window())
    return made


def test_the_plan_of_the_sample_is_opened_and_worked_out_as_it_was_kept(page):
    (plan,) = page.fit.kept.found
    assert not page.fit.problem
    now = [(one.code, one.area, one.number, one.begins, one.ends) for one in page.fit.tasks]
    then = [(one.code, one.area, one.number, one.begins, one.ends) for one in plan.tasks]
    assert now == then
    assert page.fit.told.verdict == plan.verdict
    assert page.findChild(Prose, "fit/verdict").text().startswith("Not all of it fits.")
    bars = [key for key, _ in page.fit.answer.view.regions if key.startswith("task:")]
    assert len(bars) == len(plan.tasks)
    assert page.calendar.isEnabled()


def test_no_sheet_of_the_sample_is_to_be_asked_first(page):
    assert not any("must say" in text for text in texts(page.fit))
