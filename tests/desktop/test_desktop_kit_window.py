from __future__ import annotations

import sys
import threading
from pathlib import Path

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QAccessible
from PySide6.QtWidgets import QApplication, QLabel, QPushButton, QToolButton, QWidget

sys.path.insert(0, str(Path(__file__).parent))
import kitpages

from hulllog.desktop import app, pages
from hulllog.desktop.edges import edge_key, edge_of
from hulllog.desktop.preferences import Look, Preferences
from hulllog.desktop.state import action_said
from hulllog.desktop.theme import theme
from hulllog.desktop.topline import Banner
from hulllog.insight.occasions import Edge, visits
from hulllog.records.logbook import FILE_NAME, Logbook
from hulllog.records.operations import queries
from hulllog.records.operations import visits as haul_outs
from hulllog.records.operations.vessel import set_about
from hulllog.words.preference import Preference, prefer

TWO = (("2024-04-02", "2024-05-01"), ("2025-04-03", "2025-05-02"))


@pytest.fixture
def open_window(qtbot, tmp_path, monkeypatch):
    """Give a function that opens the window on a logbook."""
    monkeypatch.setattr(pages, "PAGES", kitpages.ENTRIES)
    made = []

    def show(logbook=None):
        folder = None
        if logbook is not None:
            folder = logbook.folder
            logbook.close()
        kept = Preferences(tmp_path / "hulllog.ini")
        kept.look = Look.LIGHT
        kept.shelf = tmp_path / "shelf"
        window = app.make_window(folder, kept)
        made.append(window)
        window.show()
        window.activateWindow()
        with qtbot.waitActive(window):
            pass
        return window

    yield show
    for window in made:
        window.close()
        window.deleteLater()


@pytest.fixture
def window(open_window, new_logbook):
    return open_window(new_logbook(*TWO))


def listed(window):
    return [made.accessibleName().split(",")[0] for made in window._buttons.values()]


def settle(window):
    assert window.state.tasks.settle()
    QApplication.processEvents()


def names(logbook):
    with logbook.read() as book:
        return queries.vessel(book).name


def type_name(window, qtbot, text):
    window.show_page("boat")
    entry = window.page.name.entry
    entry.selectAll()
    qtbot.keyClicks(entry, text)
    return entry


# Pages


def test_pages_that_are_there_are_listed_and_one_is_shown(window):
    assert listed(window) == ["Hull", "Boat", "Haul-out"]
    assert window.page.code == "hull"


def test_this_haul_out_leads_while_one_is_open(open_window, new_logbook):
    window = open_window(new_logbook(*TWO, ("2026-04-01", None)))
    assert listed(window) == ["This haul-out", "Hull", "Boat"]
    assert window.page.code == "haul_out"


def test_a_page_is_built_when_first_shown_and_refreshed_when_out_of_date(window):
    assert "boat" not in window._pages
    window.show_page("boat")
    page = window.page
    assert page.refreshed == 1
    window.show_page("hull")
    window.show_page("boat")
    assert page.refreshed == 1
    window.show_page("hull")
    window.state.run(lambda logbook: set_about(logbook, "name", "Other"))
    settle(window)
    assert page.refreshed == 1
    window.show_page("boat")
    assert (page.refreshed, page.name.text()) == (2, "Other")


def test_what_is_asked_together_is_answered_from_one_reading(window):
    state = window.state
    with state.together():
        books = [state.read(lambda book: book) for _ in range(3)]
        with state.together():
            books.append(state.read(lambda book: book))
    assert len({id(book) for book in books}) == 1
    assert state.read(lambda book: book) is not books[0]


def test_showing_a_logbook_reads_it_few_times(open_window, new_logbook, monkeypatch):
    begun = []
    read = Logbook.read
    monkeypatch.setattr(Logbook, "read", lambda logbook: [begun.append(1), read(logbook)][1])
    open_window(new_logbook())
    assert 0 < len(begun) <= 6


def test_a_page_hears_only_of_what_it_shows(window):
    plain = window.page
    before = plain.refreshed
    window.state.run(lambda logbook: set_about(logbook, "name", "Other"))
    settle(window)
    assert plain.refreshed == before
    window.state.pick(None)
    assert plain.refreshed == before + 1


def test_a_page_that_asked_quietly_is_spared_the_refresh(window):
    window.show_page("boat")
    page = window.page
    page.edit(set_about, "name", "One", quietly=True)
    settle(window)
    assert page.refreshed == 1
    page.edit(set_about, "name", "Two")
    settle(window)
    assert page.refreshed == 2


def test_keys_that_no_widget_takes_come_to_the_page(window, qtbot):
    window.show_page("boat")
    window.page.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
    window.page.setFocus()
    qtbot.keyClick(window.page, "x")
    qtbot.keyClick(window.page, "x", Qt.KeyboardModifier.ControlModifier)
    assert window.page.pressed == ["x"]


def test_what_a_page_can_do_stands_in_its_menu_while_it_is_shown(window, qtbot):
    menu = window.menus.menus["page"]
    assert not menu.menuAction().isVisible()
    window.show_page("boat")
    assert [action.text() for action in menu.actions()] == ["Press && hold", "Store"]
    qtbot.keyClick(window.page, Qt.Key.Key_H, Qt.KeyboardModifier.ControlModifier)
    assert window.page.pressed == ["held"]
    assert ("Ctrl+H", "Press & hold") in window.menus.key_list()
    window.show_page("hull")
    assert menu.actions() == []


def test_focus_and_field_are_kept_over_a_refresh(window, qtbot):
    entry = type_name(window, qtbot, "Half a na")
    window.state.run(lambda logbook: set_about(logbook, "rig", "sloop"))
    settle(window)
    assert entry.hasFocus()
    assert entry.text() == "Half a na"


# Changing, undo


def test_a_name_typed_is_stored_when_the_page_is_left(window, qtbot):
    type_name(window, qtbot, "Merrow & <b>Son</b>")
    window.show_page("hull")
    settle(window)
    assert names(window.state.logbook) == "Merrow & <b>Son</b>"
    assert "Merrow & <b>Son</b>" in window.windowTitle()


def test_undo_says_what_it_takes_back_and_does(window, qtbot):
    type_name(window, qtbot, "Merrow")
    window.show_page("hull")
    settle(window)
    undo = window._top.undo
    assert undo.isEnabled()
    said = undo.accessibleName()
    assert window.menus.actions["undo"].text().startswith("Undo: ")
    qtbot.keyClick(window.page, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    settle(window)
    assert names(window.state.logbook) == "Ruddy Shore"
    assert said.removeprefix("Undo: ") in window.status
    window._top.redo.click()
    settle(window)
    assert names(window.state.logbook) == "Merrow"


def test_a_greyed_undo_says_why_there_is_nothing_to_undo(window, qtbot):
    from hulllog.records.operations.issuing import record_issue

    assert "opening of the logbook" in window._top.undo.toolTip()
    type_name(window, qtbot, "Merrow")
    window.show_page("hull")
    settle(window)
    assert "Undo: " in window._top.undo.toolTip()
    window.state.run(
        lambda book: record_issue(
            book, reader="buyer", head=book.head, file_sha256="0" * 64, file_name="history.pdf",
            options={}, issued_at=book.around.now(),
        )
    )  # fmt: skip
    settle(window)
    assert not window._top.undo.isEnabled()
    assert "a history was issued" in window._top.undo.toolTip()


def test_a_field_that_went_before_its_answer_came_is_told_nothing(window, qtbot):
    import shiboken6

    from hulllog.desktop.fields import TextField
    from hulllog.records.operations.around import note_for_next_time

    gone = TextField("Note")
    gone.type_text("Bring the ladder")
    done = []
    window.page.edit(note_for_next_time, "Bring the ladder", field=gone, done=done.append)
    shiboken6.delete(gone)
    settle(window)
    assert len(done) == 1


def test_what_the_records_refuse_stands_beside_the_field(window, qtbot):
    entry = type_name(window, qtbot, " ")
    qtbot.keyClick(entry, Qt.Key.Key_Return)
    settle(window)
    assert window.page.name.refused
    assert names(window.state.logbook) == "Ruddy Shore"


def test_a_correction_of_a_closed_visit_asks_for_a_reason(window, qtbot):
    from hulllog.records.operations.visits import set_visit

    visit_id = window.state.read(visits)[0].id
    window.show_page("boat")
    window.page.edit(set_visit, visit_id, "yard", "Creek Yard")
    settle(window)
    sheet = window.findChild(QWidget, "reason")
    assert sheet.isVisible()
    sheet.do.click()
    assert sheet.isVisible(), "an empty reason is none"
    sheet.reason.entry.setPlainText("Misread the bill")
    sheet.do.click()
    settle(window)
    assert window.state.read(visits)[0].yard == "Creek Yard"


def test_closing_the_logbook_keeps_what_was_being_typed(window, qtbot):
    folder = window.state.logbook.folder
    type_name(window, qtbot, "Last words")
    window.menus.actions["close_logbook"].trigger()
    assert not window.state.is_open
    with Logbook.open(folder) as again:
        assert names(again) == "Last words"


def test_what_was_refused_is_there_again_after_a_kill(open_window, new_logbook, qtbot):
    logbook = new_logbook(*TWO)
    killed = open_window(logbook)
    entry = type_name(killed, qtbot, "W" * 130)
    qtbot.keyClick(entry, Qt.Key.Key_Return)
    killed.state.logbook._lock.release()
    again = open_window(logbook)
    again.show_page("boat")
    assert again.page.name.text() == "W" * 130
    assert again.page.name.refused
    assert again.page.name.sentence == killed.page.name.sentence


def test_opening_the_logbook_that_is_open_changes_nothing(window):
    page = window.page
    assert window.open_logbook(window.state.logbook.folder)
    assert window.page is page
    assert window.state.read_only is None


def test_closing_the_window_keeps_what_was_being_typed(open_window, new_logbook, qtbot):
    logbook = new_logbook(*TWO)
    window = open_window(logbook)
    type_name(window, qtbot, "Last words")
    window.close()
    with Logbook.open(logbook.folder) as again:
        assert names(again) == "Last words"


def test_other_units_are_worn_by_all_pages_at_once(window):
    from hulllog.records.operations.around import set_setting
    from hulllog.words.preference import preferred

    page = window.page
    window.state.run(lambda logbook: set_setting(logbook, "units", {"system": "us"}))
    settle(window)
    assert preferred().units == "us"
    assert window.page is not page
    assert window.page.code == "hull"


# The strip


def edges(window):
    first, last = window.state.read(visits)
    return first.id, last.id


def test_a_press_on_the_strip_picks_and_shift_compares(window, qtbot):
    first, last = edges(window)
    assert window.state.edge == Edge(last, "left")
    press_edge(window, qtbot, Edge(first, "found"))
    assert window.state.edge == Edge(first, "found")
    press_edge(window, qtbot, Edge(last, "left"), Qt.KeyboardModifier.ShiftModifier)
    assert window.state.compared == Edge(last, "left")
    shown = [label.text() for label in window.strip.findChildren(QLabel)]
    assert any("2 Apr 2024" in text for text in shown)
    assert any("against 2 May 2025" in text for text in shown)


def press_edge(window, qtbot, edge, modifier=Qt.KeyboardModifier.NoModifier):
    strip = window.strip.tide
    window.grab()
    place = strip.area_of(edge_key(edge)).center().toPoint()
    qtbot.mouseClick(strip, Qt.MouseButton.LeftButton, modifier, place)


def test_comparing_begins_from_the_menu(window):
    first, last = edges(window)
    assert window.state.compared is None
    window.menus.actions["compare"].trigger()
    assert window.state.compared == Edge(last, "found")
    window.menus.actions["compare"].trigger()
    assert window.state.compared == Edge(first, "left")
    assert window.state.edge == Edge(last, "left")


def test_arrows_step_from_edge_to_edge(window, qtbot):
    first, last = edges(window)
    strip = window.strip.tide
    strip.setFocus()
    steps = []
    for _ in range(4):
        qtbot.keyClick(strip, Qt.Key.Key_Left)
        steps.append(window.state.edge)
    assert steps == [
        Edge(last, "found"), Edge(first, "left"), Edge(first, "found"), Edge(first, "found"),
    ]  # fmt: skip
    assert strip.current == edge_key(Edge(first, "found"))
    qtbot.keyClick(strip, Qt.Key.Key_Right, Qt.KeyboardModifier.ShiftModifier)
    assert window.state.compared == Edge(first, "left")
    qtbot.keyClick(strip, Qt.Key.Key_Escape)
    assert window.state.compared is None


def test_the_far_end_moves_with_what_is_added(window):
    from hulllog.records.operations.visits import start_haul_out

    window.state.pick(Edge(edges(window)[1], "left"))
    assert window.state.as_at is None
    window.state.run(lambda logbook: start_haul_out(logbook, begins="2026-04-01"))
    settle(window)
    newest = window.state.read(visits)[-1]
    assert window.state.edge == Edge(newest.id, "found")
    assert "This haul-out" in listed(window)


def test_keys_of_other_things_on_the_strip_are_no_edges():
    assert edge_of("event:7") is None
    assert edge_of("visit:a:found") == Edge("a", "found")
    assert edge_of("visit:a:during") is None


# Opening


def test_without_a_logbook_there_is_a_way_in(open_window, tmp_path, qtbot):
    window = open_window()
    assert window.page is None
    texts = {made.text() for made in window.findChildren(QPushButton) if made.isVisible()}
    assert {"New vessel…", "Open a logbook…", "Open the sample"} <= texts


def test_the_shelf_lists_logbooks_and_opens_one(open_window, new_logbook, qtbot):
    logbook = new_logbook(*TWO)
    window = open_window(logbook)
    window.state.close()
    QApplication.processEvents()
    assert window.page is None
    doors = [
        d
        for d in window.findChildren(QWidget)
        if d.accessibleName() and "book of" in d.accessibleName() and d.isVisible()
    ]
    qtbot.mouseClick(doors[0], Qt.MouseButton.LeftButton)
    assert window.state.is_open


def test_what_cannot_be_opened_is_said_and_nothing_is_lost(window, tmp_path):
    before = window.state.logbook.folder
    assert not window.open_logbook(tmp_path / "nowhere")
    assert "nowhere" in window.status
    assert window.state.logbook.folder == before
    assert window.page is not None


def test_a_second_window_reads_only_and_says_why(open_window, new_logbook):
    logbook = new_logbook(*TWO)
    first = open_window(logbook)
    second = open_window(logbook)
    assert first.state.read_only is None
    assert second.state.read_only == "in_use"
    banners = [w for w in second.findChildren(QWidget) if w.property("banner")]
    assert "another program" in banners[0].sentence
    first.close()
    retry = banners[0].findChild(QPushButton)
    retry.click()
    assert second.state.read_only is None


def test_an_older_copy_says_what_to_do_and_can_be_gone_on_with(open_window, new_logbook):
    logbook = new_logbook(TWO[0])
    logbook.close()
    older = (logbook.folder / FILE_NAME).read_bytes()
    with Logbook.open(logbook.folder) as newer:
        haul_outs.start_haul_out(newer, begins="2024-04-14")
    (logbook.folder / FILE_NAME).write_bytes(older)
    window = open_window(logbook)

    def banners():
        return [w for w in window.findChildren(Banner) if w.isVisible()]

    assert window.state.read_only == "head_missing"
    assert "put a backup back" in banners()[0].sentence
    retry, go_on = banners()[0].findChildren(QPushButton)
    retry.click()
    settle(window)
    assert window.state.read_only == "head_missing"
    _, go_on = banners()[0].findChildren(QPushButton)
    go_on.click()
    settle(window)
    assert window.state.read_only is None
    assert banners() == []
    window.state.run(lambda book: haul_outs.start_haul_out(book, begins="2023-04-14"))
    settle(window)
    assert len(window.state.read(queries.visits)) == 2


def test_a_vessel_of_six_answers(open_window, qtbot):
    window = open_window()
    sheet = window.ask_new_vessel()
    questions = sheet.questions
    qtbot.keyClicks(questions.name.entry, "Merrow")
    questions.keel.choose("twin")
    for name, text in (("length", "8.7"), ("beam", "28"), ("draught", "1.0")):
        qtbot.keyClicks(questions.measures[name].entry, text)
    sheet.do.click()
    settle(window)
    assert questions.measures["beam"].refused
    assert not window.state.is_open
    assert list(window.state.preferences.shelf.iterdir()) == []
    questions.measures["beam"].entry.setText("2.8")
    assert questions.view.regions
    sheet.do.click()
    settle(window)
    assert names(window.state.logbook) == "Merrow"
    assert window.state.logbook.folder.name == "merrow"
    assert not window.state.undo_text


def test_enter_goes_through_the_six_questions_to_the_button(open_window, qtbot):
    sheet = open_window().ask_new_vessel()
    questions = sheet.questions
    rows = (questions.kind, questions.material, questions.keel)
    qtbot.keyClicks(questions.name.entry, "Merrow")
    qtbot.keyClick(questions.name.entry, Qt.Key.Key_Return)
    for row in rows:
        assert row.isAncestorOf(sheet.focusWidget())
        qtbot.keyClick(sheet.focusWidget(), Qt.Key.Key_Return)
    for text in ("8.7", "2.8", "1.0"):
        qtbot.keyClicks(sheet.focusWidget(), text)
        qtbot.keyClick(sheet.focusWidget(), Qt.Key.Key_Return)
    assert [field.text() for field in questions.measures.values()] == ["8.7", "2.8", "1.0"]
    assert sheet.focusWidget() is sheet.do


def test_the_keel_follows_the_type_until_one_is_chosen(open_window, qtbot):
    sheet = open_window().ask_new_vessel()
    questions = sheet.questions
    assert questions.keel.value == "fin"
    questions.kind.choose("small")
    assert questions.keel.value == "none"
    questions.keel.choose("lifting")
    questions.kind.choose("yacht")
    assert questions.keel.value == "lifting"


def test_enter_on_a_choice_of_the_six_questions_chooses_it_and_makes_nothing(open_window, qtbot):
    window = open_window()
    questions = window.ask_new_vessel().questions
    steel = questions.material.buttons[1]
    steel.setFocus()
    qtbot.keyClick(steel, Qt.Key.Key_Return)
    settle(window)
    assert questions.material.value == steel.option.code
    assert not any(field.refused for field in questions.fields.values())


# What holds everywhere


def test_every_widget_that_takes_the_keyboard_has_a_name(window):
    window.show_page("boat")
    window.show_keys()
    window.ask_new_vessel()
    for dialog in QApplication.topLevelWidgets():
        nameless = [
            widget
            for widget in dialog.findChildren(QWidget)
            if widget.focusPolicy() != Qt.FocusPolicy.NoFocus and not name_of(widget)
        ]
        assert not nameless


def name_of(widget):
    found = QAccessible.queryAccessibleInterface(widget)
    return found.text(QAccessible.Text.Name) if found else ""


def test_no_text_is_ever_read_as_markup(window, qtbot):
    type_name(window, qtbot, "<b>Merrow</b>")
    window.show_page("hull")
    settle(window)
    window.show_keys()
    window.show_about()
    labels = [one for top in QApplication.topLevelWidgets() for one in top.findChildren(QLabel)]
    assert labels
    assert {one.textFormat() for one in labels} == {Qt.TextFormat.PlainText}
    tips = [w.toolTip() for w in window.findChildren(QWidget) if w.toolTip()]
    assert not [tip for tip in tips if "<b>" in tip]


def test_no_two_commands_share_a_key(window):
    keys = [key for key, _what in window.menus.key_list()]
    assert len(keys) == len(set(keys))
    assert {"Ctrl+Z", "Ctrl+1", "F1"} <= set(keys)


def test_every_icon_button_says_what_it_does(window):
    silent = [b for b in window.findChildren(QToolButton) if not b.accessibleName()]
    assert not silent


def test_a_look_is_kept(window):
    window.menus.actions["look_dark"].trigger()
    assert theme().look is Look.DARK
    assert window.state.preferences.look is Look.DARK
    window.wear(Look.LIGHT)


def test_the_longest_names_fit_the_window(window, qtbot):
    type_name(window, qtbot, "W" * 120)
    window.show_page("hull")
    settle(window)
    assert window.minimumSizeHint().width() <= 1366
    window.resize(1366, 768)
    assert window.strip.mapTo(window, QPoint(0, 0)).x() == 0
    assert window.strip.width() == window.width()


# Start and end


def test_offscreen_the_window_is_drawn_once_and_ends(new_logbook, monkeypatch):
    monkeypatch.setattr(pages, "PAGES", kitpages.ENTRIES)
    logbook = new_logbook(*TWO)
    logbook.close()
    assert app.open_window(logbook.folder) == 0
    with Logbook.open(logbook.folder) as again:
        assert again.read_only is None, "the lock was given back"


def test_offscreen_a_logbook_that_is_not_there_ends_well_too(tmp_path):
    assert app.open_window(tmp_path / "nowhere") == 0


def test_an_error_that_nobody_took_is_one_sentence_and_a_line_in_the_log(window, home, monkeypatch):
    kept = app.keep_log()
    catcher = app.Catcher(window)
    catcher.install()
    try:
        sys.excepthook(ZeroDivisionError, ZeroDivisionError("secret"), None)
        thread = threading.Thread(target=lambda: 1 / 0)
        thread.start()
        thread.join()
        QApplication.processEvents()
    finally:
        catcher.remove()
        app.end_log(kept)
    assert window.status
    assert "secret" not in window.status
    assert "ZeroDivisionError" in app.log_file().read_text("utf-8")


def test_where_it_is_only_read_nothing_can_be_typed(open_window, new_logbook):
    logbook = new_logbook(*TWO)
    first, second = open_window(logbook), open_window(logbook)
    for window, read_only in ((first, False), (second, True)):
        window.show_page("boat")
        assert window.page.name.entry.isReadOnly() is read_only
        assert window.page.store.isEnabled() is not read_only


def test_longer_work_shows_how_far_it_is_and_can_be_stopped(window, qtbot):
    go_on = threading.Event()
    seen = []

    def work(progress):
        progress(3, 12)
        go_on.wait(5)
        progress(4, 12)

    window.page.background("Reading photos", work, seen.append, seen.append)
    qtbot.waitUntil(lambda: "3 of 12" in shown_texts(window))
    cancel = next(
        made
        for made in window.page.findChildren(QPushButton)
        if made.accessibleName() == "Cancel: Reading photos"
    )
    cancel.click()
    go_on.set()
    settle(window)
    assert [type(one).__name__ for one in seen] == ["Cancelled"]
    assert "Reading photos" not in shown_texts(window)


def shown_texts(window):
    return " ".join(one.text() for one in window.findChildren(QLabel) if one.isVisible())


def test_what_can_be_taken_back_says_its_dates_as_the_owner_writes_them():
    action = ("visit.relaunch", {"ends": "2024-04-20", "begins": "2024-04-14"})
    try:
        prefer(Preference("us", "en_US", "en_US"))
        assert "Apr 20, 2024" in action_said(*action)
        prefer(Preference())
        assert "20 Apr 2024" in action_said(*action)
        # A name that looks like a date is a name, and what is no date stays as it was typed.
        assert "2024-04-20" in action_said("instrument.add", {"name": "2024-04-20"})
        assert "03/04/2024" in action_said("visit.relaunch", {"ends": "03/04/2024"})
    finally:
        prefer(Preference())
