"""*Does it fit?* through the window: typed, worked out, drawn, said, refused, kept."""

from __future__ import annotations

import sys
import threading
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QApplication, QPushButton

sys.path.insert(0, str(Path(__file__).parent))
from seasonwindow import (  # noqa: F401
    built,
    enter,
    open_window,
    seasons,
    settle,
    texts,
    unnamed,
)

from hulllog.desktop.choice import Choices
from hulllog.desktop.labels import Prose
from hulllog.desktop.layout import Caution
from hulllog.desktop.plan.fitsection import FitSection
from hulllog.desktop.plan.fittyped import read_given, read_works, retyped
from hulllog.desktop.sheets import Sheet
from hulllog.insight import fitting
from hulllog.records.errors import Refused
from hulllog.records.model import NoteForNextTime
from hulllog.records.operations import coatings, queries
from hulllog.records.operations.around import set_setting

TIMES = {"touch_dry": "1 h", "overcoat_self": "4 h", "launch": "8 h"}
TYPED = {
    "first": "4 May 2026", "days": "4", "first_light": "6", "last_light": "20", "lift": "8",
    "back": "17", "washing": "1", "drying": "2", "day0_opens": "8", "day0_closes": "18",
    "day0_highest": "18", "day0_lowest": "14", "day0_humidity": "50",
}  # fmt: skip


@pytest.fixture
def sheeted(seasons):  # noqa: F811
    """Seasons with the times of one data sheet on record."""
    for step, shortest in TIMES.items():
        enter(
            seasons.folder, coatings.add_window, seasons.paints["red"],
            step=step, temperature="5", shortest=shortest,
        )  # fmt: skip
    return seasons


@pytest.fixture
def shown(open_window, sheeted):  # noqa: F811
    return section_in(open_window(sheeted.folder, "papers"))


def section_in(window):
    """Put the section onto a page, as the page that holds it does."""
    made = FitSection(window.page)
    window.page.body.insertWidget(0, made)
    settle(window)
    return made


def fill(section, **other):
    cells = section.form.cells
    for name, text in (TYPED | other).items():
        cells[name].setText(text)
    if section.form.finish.buttons:
        section.form.finish.choose(red_of(section))


def red_of(section):
    return next(
        button.option.code
        for button in section.form.finish.buttons
        if button.option.said == "Tidewall 40"
    )


def work_out(section):
    section.do.click()
    settle(section.window())


def verdict(section):
    return section.findChild(Prose, "fit/verdict").text()


def test_it_is_given_worked_out_and_said(shown):
    fill(shown)
    work_out(shown)
    assert not shown.problem
    assert verdict(shown).startswith("Not all of it fits.")  # the underside does not
    assert "Waterline, leading edges: 3 of 3 coats" in texts(shown)
    assert "Keel undersides: 0 of 1 coat" in texts(shown)
    words = " ".join(texts(shown))
    for task in shown.tasks:
        assert f"{task.begins:%H:%M}" in words
    assert (shown.tasks[0].code, shown.tasks[-1].code) == ("wash", "launch")


def test_every_figure_has_its_working(shown):
    fill(shown)
    work_out(shown)
    doors = [one for one in shown.answer.findChildren(QPushButton) if one.text() == "working"]
    assert len(doors) == len(shown.told.plan.brackets) + 1  # the strip along leading edges
    doors[1].click()
    (sheet,) = [one for one in shown.window().findChildren(Sheet) if one.isVisible()]
    assert any("ln τ" in text for text in texts(sheet))
    sheet.reject()


def test_the_picture_is_reached_by_keyboard_and_told(shown):
    fill(shown)
    work_out(shown)
    view = shown.answer.view
    view.go_to("task:0")
    seen = []
    for _ in view.regions:
        seen.append(shown.answer.said.text())
        QApplication.sendEvent(
            view,
            QKeyEvent(QKeyEvent.Type.KeyPress, Qt.Key.Key_Right, Qt.KeyboardModifier.NoModifier),
        )
    assert seen == [said for _, said in view.regions]


def test_all_that_the_keyboard_reaches_is_named(shown):
    fill(shown)
    work_out(shown)
    assert not unnamed(shown)
    shown.form.sort.choose("grid")
    settle(shown.window())
    assert not unnamed(shown)


def test_a_caution_stands_beside_the_plan(shown):
    fill(shown)
    work_out(shown)
    assert len(shown.answer.findChildren(Caution)) == 1
    # An hour to paint and 8 h until launch: she hangs from 8 to 17, and goes back by 18.
    fill(shown, hanging="9", days="5", back="18")
    work_out(shown)
    assert any(task.code == "hanging" for task in shown.tasks)
    assert any("Nobody is below her" in text for text in texts(shown.answer))


def test_what_is_typed_anew_takes_the_old_answer_away(shown):
    fill(shown)
    work_out(shown)
    assert shown.answer is not None
    shown.form.cells["drying"].setText("5")
    settle(shown.window())
    assert shown.told is None
    assert shown.tasks == ()
    assert not any(text.startswith("Not all") for text in texts(shown))


@pytest.mark.parametrize(
    ("cell", "typed", "sentence"),
    [
        ("first", "", "A date is wanted"),
        ("first", "May 2026", "leaves the day open"),
        ("first", "04/05/2026", "two ways"),
        ("lift", "8:30", "not a whole hour"),
        ("back", "25", "not a whole hour"),
        ("day0_highest", "warm", "not read as a number"),
        ("day0_lowest", "19", "night’s minimum"),
        ("day0_closes", "7", "shuts before it opens"),
        ("day1_closes", "7", "shuts before it opens"),
        ("bottom_coats", "9", "above"),
        ("drying", "1.5", "not a whole number"),
    ],
)
def test_what_cannot_be_read_is_told_and_gone_to(shown, cell, typed, sentence):
    fill(shown, **{cell: typed})
    work_out(shown)
    assert sentence in shown.problem
    assert shown.form.cells[cell].property("refused")
    assert shown.window().focusWidget() is shown.form.cells[cell]
    assert shown.answer is None


def test_no_paint_chosen_is_told(shown):
    fill(shown)
    shown.form.finish.show_value(None)
    work_out(shown)
    assert "Choose the antifouling" in shown.problem


def test_without_a_sheet_the_answer_is_to_ask_it(open_window, seasons):  # noqa: F811
    shown = section_in(open_window(seasons.folder, "papers"))
    fill(shown)
    work_out(shown)
    assert verdict(shown).startswith("Unknown: ask the sheet.")
    assert any("must say when it is touch-dry" in text for text in texts(shown))
    assert not any(task.code == "coat" for task in shown.tasks)


GRID = {
    "days": "2", "needs": "4.2", "margin": "0.3", "dries_after": "2.5", "floods_before": "2.5",
    "drying": "0", "first": "4 May 2026", "first_light": "5", "last_light": "21",
    "day0_highest": "20", "day0_lowest": "15", "day0_humidity": "50",
}  # fmt: skip


def on_grid(shown, waters):
    shown.form.sort.choose("grid")
    for name, text in GRID.items():
        shown.form.cells[name].setText(text)
    shown.form.waters.setText(waters)
    shown.form.finish.choose(red_of(shown))
    work_out(shown)


def test_a_grid_without_a_later_tide_is_refused(shown):
    on_grid(shown, "4 May 2026 06:12 5.1\n4 May 2026 18:36 4.4 m")
    assert "would stay on the grid" in shown.problem
    assert shown.answer is None


def test_a_grid_shows_its_tides_and_what_they_spare(shown):
    on_grid(shown, "4 May 2026 06:12 5.1\n2026-05-04, 18.36, 5.0 m\n\n")
    assert not shown.problem
    assert [key for key, _ in shown.answer.view.regions if key.startswith("tide:")] == [
        "tide:0", "tide:1",
    ]  # fmt: skip
    assert any("to spare" in text for text in texts(shown.answer))
    assert any("Be off the grid" in text for text in texts(shown.answer))


@pytest.mark.parametrize(
    ("waters", "sentence"),
    [
        ("tomorrow at six", "not read as a high water"),
        ("4 May 2026 25:12 5.1", "not read as a high water"),
        ("3 May 2026 06:12 5.1", "before the first day"),
        ("4 May 2026 06:12 high", "not read as a number"),
        ("", "No tide on the list is high enough"),
    ],
)
def test_a_tide_that_cannot_be_read_is_told(shown, waters, sentence):
    on_grid(shown, waters)
    assert sentence in shown.problem


def test_what_was_typed_is_there_again(open_window, sheeted):  # noqa: F811
    shown = section_in(open_window(sheeted.folder, "papers"))
    fill(shown, day1_highest="15")
    shown.form.toggles["bottom_bares"].setChecked(True)
    shown.form.keep_draft()
    again = section_in(shown.window())
    assert again.form.cells["day1_highest"].text() == "15"
    assert again.form.cells["first"].text() == "4 May 2026"
    assert again.form.toggles["bottom_bares"].isChecked()
    assert again.form.finish.value == red_of(again)


def test_rows_follow_the_number_of_days_and_keep_what_was_typed(shown):
    fill(shown, day3_highest="11")
    shown.form.cells["days"].setText("2")
    assert "day3_highest" not in shown.form.cells
    shown.form.cells["days"].setText("5")
    assert shown.form.cells["day3_highest"].text() == "11"
    assert "day4_highest" in shown.form.cells


def test_a_zone_belongs_to_one_part_of_the_work(shown, sheeted):
    rudder = sheeted.zones["rudder"]
    assert rudder in shown.form.zones["bottom"]
    shown.form.findChild(QPushButton, "fit/pads_zones").click()
    (sheet,) = [one for one in shown.window().findChildren(Sheet) if one.isVisible()]
    sheet.findChild(Choices).choose(rudder)
    sheet.do.click()
    settle(shown.window())
    assert shown.form.zones["pads"] == (rudder,)
    assert rudder not in shown.form.zones["bottom"]
    assert shown.form.findChild(QPushButton, "fit/pads_zones").text() == "1 zone"


def test_an_uncoated_underside_is_kept_for_next_time(shown):
    fill(shown)
    work_out(shown)
    made = shown.findChild(QPushButton, "fit/note_under")
    made.click()
    settle(shown.window())
    notes = shown.page.state.read(
        lambda book: [n.text for n in queries.kept(book, NoteForNextTime)]
    )
    assert any(text.startswith("Keel undersides: not coated") for text in notes)
    assert not made.isEnabled()
    assert shown.answer is not None


def test_nothing_is_kept_where_the_logbook_is_only_read(open_window, sheeted):  # noqa: F811
    shown = section_in(open_window(sheeted.folder, "papers", read_only=True))
    fill(shown)
    work_out(shown)
    assert not shown.findChild(QPushButton, "fit/note_under").isEnabled()


def test_it_is_worked_out_off_the_windows_thread_and_can_be_stopped(shown, monkeypatch):
    begun, threads = threading.Event(), []

    def slow(_asked, progress):
        threads.append(threading.current_thread())
        begun.set()
        while True:
            progress(1, 2)

    monkeypatch.setattr(fitting, "fit", slow)
    fill(shown)
    shown.do.click()
    assert begun.wait(5)
    assert not shown.do.isEnabled()
    assert threading.main_thread() not in threads
    QApplication.processEvents()
    cancel = next(
        one for one in shown.page.findChildren(QPushButton)
        if one.isVisible() and one.text() == "Cancel"
    )  # fmt: skip
    cancel.click()
    settle(shown.window())
    assert shown.do.isEnabled()
    assert shown.answer is None
    assert not shown.problem


def test_the_sheets_are_read_off_the_windows_thread(shown, monkeypatch):
    threads, real = [], fitting.ask

    def noted(*about):
        threads.append(threading.current_thread())
        return real(*about)

    monkeypatch.setattr(fitting, "ask", noted)
    fill(shown)
    work_out(shown)
    assert len(threads) == 1
    assert threads[0] is not threading.main_thread()
    assert shown.answer is not None


def test_an_answer_to_what_was_typed_before_is_not_shown(shown, monkeypatch):
    go, real = threading.Event(), fitting.fit

    def late(asked, progress):
        go.wait(5)
        return real(asked, progress)

    monkeypatch.setattr(fitting, "fit", late)
    fill(shown)
    shown.do.click()
    shown.form.cells["drying"].setText("6")
    go.set()
    settle(shown.window())
    assert shown.answer is None
    assert shown.do.isEnabled()


# Read without a window


def test_an_empty_cell_is_as_on_the_day_above_and_a_dash_is_a_closed_day():
    form = TYPED | {"day1_opens": "-", "day2_opens": "9", "day3_humidity": "70"}
    given = read_given(form, "yard")
    assert [(day.opens, day.closes) for day in given.days] == [
        (8, 18), (None, None), (9, 18), (9, 18),
    ]  # fmt: skip
    assert [day.humidity for day in given.days] == [50, 50, 50, 70]
    assert (given.lift, given.back) == (8, 3 * 24 + 17)


def test_work_without_zones_or_coats_is_no_work():
    with pytest.raises(Refused, match="fit_no_work"):
        read_works({"bottom_coats": "2"}, {"bottom": ()}, "", "red")
    with pytest.raises(Refused, match="fit_first_paint"):
        read_works({"bottom_first_coats": "1"}, {"bottom": ("zone",)}, "", "red")
    (work,) = read_works(
        {"bottom_first_coats": "1", "bottom_coats": "2"}, {"bottom": ("zone",)}, "grey", "red"
    )
    assert work.paints == ("grey", "red", "red")


# Temperatures as the owner reads them


def test_temperatures_are_typed_in_the_owners_unit(shown):
    fill(shown)
    work_out(shown)
    metric = shown.tasks
    assert any(text == "Highest, °C" for text in texts(shown))
    window = shown.window()
    shown.page.edit(set_setting, "units", {"system": "us"})
    settle(window)
    shown = section_in(window)  # the pages are made anew
    # What was typed is shown in the other unit, and means what it meant.
    assert any(text == "Highest, °F" for text in texts(shown))
    assert "°F" in shown.form.cells["day0_lowest"].accessibleName()
    assert shown.form.cells["day0_highest"].text() == "64.4"
    assert shown.form.cells["day0_lowest"].text() == "57.2"
    assert shown.form.cells["day0_humidity"].text() == "50"
    work_out(shown)
    assert shown.tasks == metric
    shown.form.cells["day0_lowest"].setText("38")  # 3.3 °C, colder than the sheet's coldest row
    work_out(shown)
    assert shown.tasks != metric


def test_a_form_knows_the_unit_that_it_was_typed_in():
    form = TYPED | {"temperature": "degF", "day0_highest": "64.4", "day0_lowest": "57,2"}
    given = read_given(form, "yard")
    assert (given.days[0].highest, given.days[0].lowest) == pytest.approx((18, 14))
    assert given.days[0].humidity == 50
    assert read_given(TYPED, "yard").days[0][:3] == (18, 14, 50)
    back = retyped(form | {"day1_highest": "warm"}, "degC")
    assert (back["day0_highest"], back["day0_lowest"], back["day1_highest"]) == ("18", "14", "warm")
    assert retyped(back, "degC") == back


def test_a_night_over_its_day_is_refused_in_the_unit_it_was_typed_in():
    form = TYPED | {"temperature": "degF", "day0_highest": "60", "day0_lowest": "61"}
    with pytest.raises(Refused, match="fit_night_over_day"):
        read_given(form, "yard")


TIDES = {
    "waters": "4 May 2026 06:12 16.7\n4 May 2026 18:40 5.1 m\n5 May 2026 07:02 17", "needs": "15",
    "margin": "1", "dries_after": "3", "floods_before": "3",
}  # fmt: skip


def test_heights_on_a_grid_are_read_in_the_unit_they_were_typed_in():
    grid = read_given(TYPED | TIDES | {"height": "ft"}, "grid").grid
    assert [one.metres for one in grid.waters] == pytest.approx([5.09, 5.1, 5.18], abs=0.01)
    assert (grid.needs, grid.margin) == pytest.approx((4.572, 0.3048))
    metric = retyped(TYPED | TIDES | {"height": "ft"}, "degC", "m")
    assert metric["waters"].split("\n") == [
        "4 May 2026 06:12 5.09", "4 May 2026 18:40 5.1 m", "5 May 2026 07:02 5.18",
    ]  # fmt: skip
    again = read_given(metric, "grid").grid
    assert [one.metres for one in again.waters] == pytest.approx(
        [one.metres for one in grid.waters], abs=0.01
    )
    assert again.needs == pytest.approx(grid.needs, abs=0.01)
    assert retyped(metric, "degC", "m") == metric


def test_the_rules_and_the_heights_are_said_in_the_owners_units(shown):
    fill(shown)
    work_out(shown)
    assert any("3\u202f°C over the dew point" in text for text in texts(shown))
    shown.form.cells["needs"].setText("4")
    shown.form.keep_draft()
    window = shown.window()
    shown.page.edit(set_setting, "units", {"system": "us"})
    settle(window)
    shown = section_in(window)
    shown.form.sort.choose("grid")
    assert "Floats her, ft" in texts(shown)
    assert shown.form.cells["needs"].text() == "13.12"
    shown.form.sort.choose("yard")
    shown.form.finish.choose(red_of(shown))
    work_out(shown)
    assert any("5.4\u202f°F over the dew point" in text for text in texts(shown))
    assert not any("°C" in text for text in texts(shown))


def test_a_night_that_is_too_cold_is_told_with_its_hour_and_the_row_of_the_sheet(shown):
    fill(shown, day0_lowest="-5", day0_highest="10")
    work_out(shown)
    told = [one for one in shown.told.plan.short if one.cold is not None]
    assert told, [(one.area, one.why, one.got) for one in shown.told.plan.short]
    (sentence, *_) = [text for text in texts(shown) if "the coldest row of the data sheet" in text]
    assert "is for 5.0\u202f°C" in sentence
    assert f"{told[0].cold.at % 24:02}:00" in sentence


def test_the_other_work_that_takes_the_hands_is_named(shown):
    fill(shown, days="2", drying="0", line_hours="3", bottom_hours="4")
    work_out(shown)
    told = [one for one in shown.told.plan.short if one.others]
    assert told, [(one.area, one.why, one.got) for one in shown.told.plan.short]
    (sentence, *_) = [text for text in texts(shown) if "too few hours for it beside" in text]
    assert any(said in sentence.split("beside")[1] for said in ("Waterline", "Bottom"))
