"""Each computed figure on a page opens its working, by keyboard as well."""

from __future__ import annotations

import shutil
import sys
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication, QPushButton

sys.path.insert(0, str(Path(__file__).parent))
from seasonwindow import open_window, settle, texts  # noqa: F401

from hulllog import assets
from hulllog.desktop.paint.airline import air_of
from hulllog.desktop.sheets import Sheet
from hulllog.insight.anodes import positions
from hulllog.insight.boat import boat_form, skin, zone_skin
from hulllog.insight.judging import judged_component
from hulllog.words.working import plain, said

DOOR = "Working of"


@pytest.fixture(scope="module")
def sample(tmp_path_factory):
    return assets.sample().build(tmp_path_factory.mktemp("shelf"))


@pytest.fixture
def on_page(open_window, sample, tmp_path):  # noqa: F811
    def show(page):
        return open_window(shutil.copytree(sample, tmp_path / "book"), page, read_only=True)

    return show


def doors(within):
    return [
        made
        for made in within.findChildren(QPushButton)
        if made.isVisible() and made.accessibleName().startswith(DOOR)
    ]


def told_by_keyboard(window, within, qtbot):
    """Open every working under a widget by Tab's focus and a key, and return all that they say."""
    found = []
    for door in doors(within):
        assert door.focusPolicy() & Qt.FocusPolicy.TabFocus
        before = set(window.findChildren(Sheet))
        door.setFocus()
        qtbot.keyClick(door, Qt.Key.Key_Return)
        settle(window)
        opened = [one for one in window.findChildren(Sheet) if one not in before]
        assert len(opened) == 1, door.accessibleName()
        found += texts(opened[0])
        qtbot.keyClick(opened[0], Qt.Key.Key_Escape)
        settle(window)
        QApplication.processEvents()
    return found


def assert_told(found, workings):
    for working in workings:
        if working is not None:
            shown = said(working)
            lines = (shown.title, shown.formula, *shown.inputs, shown.source, *shown.cautions)
            wanted = map(plain, lines)
            missing = [line for line in wanted if line not in found]
            assert not missing, (working.name, missing)


def test_the_figures_of_an_anode(on_page, qtbot):
    window = on_page("anodes")
    story = window.state.read(lambda book: positions(book, window.state.as_at))[0]
    page = window.page
    page.pick(story.position_id)
    settle(window)
    found = told_by_keyboard(window, page.cards[story.position_id], qtbot)
    last = story.judged[-1]
    looks = [look.used for piece in story.pieces for look in piece.checks][-3:]
    workings = [
        last.stretch.rate, last.stretch.immersed.working, last.ratio, last.z, story.current,
        story.half_loss, story.half_day, *looks,
    ]  # fmt: skip
    assert None not in workings
    assert_told(found, workings)


def test_the_figures_of_a_season_and_of_the_films_of_a_zone(on_page, qtbot):
    window = on_page("paint")
    page = window.page
    layers = page.shown.sections[page.picked].layers
    films = [part for layer in layers for part in (layer.film, layer.area)]
    assert any(films)
    page.side.films.setFocus()
    qtbot.keyClick(page.side.films, Qt.Key.Key_Return)
    settle(window)
    sheet = next(one for one in window.findChildren(Sheet) if one.isVisible())
    assert_told(told_by_keyboard(window, sheet, qtbot), films)
    sheet.reject()
    settle(window)
    whole = [one for one in page.shown.seasons if one.coats and one.immersed and one.film]
    season = next(one for one in whole if air_of(one.coats[-1]) is not None)
    sheet = page.show_season(season)
    settle(window)
    found = told_by_keyboard(window, sheet, qtbot)
    air = [air_of(coat) for coat in season.coats]
    assert any(one is not None and one.margin is not None for one in air)
    weather = [part for one in air if one is not None for part in (one.dew_point, one.margin)]
    workings = [season.needed, season.film, season.area, season.immersed.working]
    assert None not in workings
    assert_told(found, [*workings, season.thread.used, *weather])
    sheet.reject()


def test_the_areas_of_her_skin_and_of_each_zone(on_page, qtbot):
    window = on_page("boat")
    form = window.state.read(boat_form)
    window.page.folds["zones"].set_open()
    settle(window)
    found = told_by_keyboard(window, window.page, qtbot)
    assert_told(found, [*skin(form), *(zone_skin(form, zone) for zone in form.zones)])


@pytest.mark.parametrize("kind", ["level-of-fouling"])
def test_the_change_and_the_trend_of_a_zone(on_page, qtbot, kind):
    window = on_page("hull")
    page = window.page
    page.choose_kind(kind)
    settle(window)
    edge = page.shown.edge
    items = window.state.read(lambda book: judged_component(book, kind, "level", edge))
    item = next(one for one in items if one.judged.trend and one.judged.changed)
    zone = next(one for one in page.shown.zones if one.zone_id == item.subject_id)
    page.pick(f"zone:{zone.code}")
    settle(window)
    found = told_by_keyboard(window, page.side, qtbot)
    judged = item.judged
    assert judged.adjusted is not None
    assert_told(found, [judged.changed.working, *judged.trend.workings, judged.adjusted])


def test_the_figures_that_today_tells(on_page, qtbot):
    window = on_page("today")
    page = window.page
    told = [one.workings for one in (*page.told.lines, *page.told.short)]
    assert sum(map(bool, told)) >= 2
    found = told_by_keyboard(window, page, qtbot)
    assert_told(found, [working for some in told for working in some])
