"""The page *Findings* by what a person does with it."""

from __future__ import annotations

import sys
from dataclasses import replace
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QPushButton, QScrollArea, QWidget

sys.path.insert(0, str(Path(__file__).parent))
from ketchbook import (  # noqa: F401
    built,
    nameless,
    on_ketch,
    plain,
    settle,
    sheet_of,
    texts,
)

from hulllog.desktop.findings.listed import read_board, shown_of
from hulllog.insight.occasions import Edge, visits
from hulllog.records.logbook import Logbook
from hulllog.records.model import Document, Finding, FindingObservation, Work, WorkLink
from hulllog.records.operations import matters, queries
from hulllog.records.operations.vessel import create_vessel
from hulllog.records.values import PartialDate

LEFT = Qt.MouseButton.LeftButton
RUST, BLISTERS, GOUGE = (
    "Rust at the foot of the port keel",
    "Blisters aft, port",
    "Gouge below the waterline",
)


@pytest.fixture
def window(on_ketch):  # noqa: F811
    """Open the page while she is out of the water."""
    return on_ketch("findings", still_out=True)


def titles(window):
    return [row.listed.matter.title for row in window.page.rows]


def row(window, title):
    return next(r for r in window.page.rows if r.listed.matter.title == title)


def opened(window, qtbot, title):
    head = row(window, title).head
    head.setFocus()
    qtbot.keyClick(head, Qt.Key.Key_Return)
    settle(window)
    return row(window, title)


def key(window, qtbot, one):
    qtbot.keyClick(window.page.rows[0].head, one)
    settle(window)


def keep(sheet, window, qtbot):
    qtbot.keyClick(sheet, Qt.Key.Key_Return, Qt.KeyboardModifier.ControlModifier)
    settle(window)


def kept(window, model):
    return window.state.read(lambda book: list(queries.kept(book, model)))


def finding(window, title):
    return next(f for f in kept(window, Finding) if f.title == title)


# What stands there


def test_open_ones_come_first_the_most_pressing_first(window):
    assert titles(window) == [RUST, BLISTERS, GOUGE]
    assert window.page._subtitle.text() == "14 Apr 2025, as found: 2 open, 1 closed"
    assert {"2 open findings", "1 closed by work"} <= set(texts(window.page))


def test_a_row_reads_aloud_all_that_it_shows(window):
    said = row(window, BLISTERS).head.accessibleName()
    for part in (
        "Finding 1", BLISTERS, "at the next lift", "moderate", "Bottom aft, port",
        "Spot 1, blister field", "Raised 14 Apr 2019", "Last seen 14 Apr 2025",
    ):  # fmt: skip
        assert part in said
    assert "closed by work" in row(window, GOUGE).head.accessibleName()


def test_what_the_keyboard_reaches_has_a_name(window, qtbot):
    assert nameless(window) == []
    opened(window, qtbot, BLISTERS)
    assert nameless(window) == []


def test_an_opened_finding_of_many_zones_fits_the_window(on_ketch, qtbot):  # noqa: F811
    window = on_ketch("findings", still_out=True)
    window.resize(1366, 768)
    zones = [zone.id for zone, _ in window.state.read(queries.zones_at)]
    window.state.run(
        lambda book: matters.raise_finding(book, title="Chalky", sort="other", zones=zones)
    )
    settle(window)
    shown = opened(window, qtbot, "Chalky")
    settle(window)
    (area,) = [one for one in window.page.findChildren(QScrollArea) if one.isAncestorOf(shown)]
    assert shown.width() <= area.viewport().width()
    right = shown.mapToGlobal(shown.rect().topRight()).x()
    for door in shown.findChildren(QPushButton):
        assert door.mapToGlobal(door.rect().topRight()).x() <= right, door.text()


def test_a_row_shows_the_first_and_the_last_photo_or_the_zone(on_ketch):  # noqa: F811
    window = on_ketch("findings", pictures=True, still_out=True)

    def drawn(title, sort):
        return [w for w in row(window, title).findChildren(QWidget) if type(w).__name__ == sort]

    pair = sorted(drawn(BLISTERS, "PhotoTile"), key=QWidget.x)
    assert [tile.accessibleName()[9:20] for tile in pair] == ["14 Apr 2019", "14 Apr 2025"]
    assert not drawn(RUST, "PhotoTile")
    (place,) = drawn(RUST, "ZonePicture")
    assert place.accessibleName() == "Where it is: Port keel, outboard"


def test_the_first_picture_of_a_row_is_none_from_years_before_the_finding(on_ketch):  # noqa: F811
    window = on_ketch("findings", pictures=True, still_out=True)
    board = window.state.read(lambda book: read_board(book, None))
    listed = next(one for one in board.rows if one.matter.title == BLISTERS)
    years = [photo.when.earliest.year for photo in listed.photos]
    assert years == sorted(years)
    assert years[0] < 2022 < years[-1]

    def shown(raised):
        matter = replace(listed.matter, raised=PartialDate.parse(raised), raised_visit_id=None)
        found = shown_of(replace(listed, matter=matter))
        return [photo.when.earliest.year for photo in found]

    assert shown("2022-01") == [next(year for year in years if year >= 2022), years[-1]]
    assert shown("2018") == [years[0], years[-1]]
    assert shown("2030-01") == [years[-1]]


def test_a_row_opens_to_its_history_and_shuts_again(window, qtbot):
    made = opened(window, qtbot, BLISTERS)
    told = texts(made)
    assert told.count("seen again") == 4
    assert "14 counted in the same tenth of a square metre." in told
    assert made.head.accessibleDescription() == "History shown"
    other = opened(window, qtbot, GOUGE)
    assert not row(window, BLISTERS).opened, "one at a time"
    told = texts(other)
    assert "closed by work, by I. Fletcher, Invoice 118, Inlet Yard" in told
    assert "Ground out, filled with epoxy and faired." in told
    opened(window, qtbot, GOUGE)
    assert not other.opened


def test_arrows_go_from_row_to_row(window, qtbot):
    heads = [one.head for one in window.page.rows]
    assert heads[0].hasFocus()
    qtbot.keyClick(heads[0], Qt.Key.Key_Down)
    assert heads[1].hasFocus()
    qtbot.keyClick(heads[1], Qt.Key.Key_Down)
    qtbot.keyClick(heads[2], Qt.Key.Key_Down)
    assert heads[2].hasFocus()
    qtbot.keyClick(heads[2], Qt.Key.Key_Up)
    assert heads[1].hasFocus()


def badge(window):
    return window._buttons["findings"].accessibleName()


def open_here(window):
    return sum(row.listed.status == "open" for row in window.page.rows)


def test_everything_is_read_from_the_edge_that_is_picked(window):
    first = window.state.read(visits)[0]
    window.state.run(
        lambda logbook: matters.raise_finding(
            logbook, title="Late one", sort="other", visit_id=window.state.edge.visit_id
        )
    )
    settle(window)
    assert "Late one" in titles(window)
    now = open_here(window)
    assert badge(window) == f"Findings, {now} open findings"
    window.state.pick(Edge(first.id, "found"))
    settle(window)
    assert "Late one" not in titles(window)
    assert open_here(window) < now
    assert badge(window) == f"Findings, {open_here(window)} open findings"
    assert "Not looked at since." in plain(row(window, RUST).head.accessibleName())


# Filter


def test_the_filter_shows_what_must_happen_and_where(window, qtbot):
    page = window.page
    page.must.choose("before_relaunch")
    settle(window)
    assert titles(window) == [RUST]
    page.must.choose("closed")
    settle(window)
    assert titles(window) == [GOUGE]
    page.must.choose("")
    page.zone.choose(row(window, BLISTERS).listed.zones[0].zone_id)
    settle(window)
    assert titles(window) == [BLISTERS]
    page.must.choose("watch")
    settle(window)
    assert titles(window) == []
    assert "No finding fits what is asked for." in texts(page)
    everything = next(b for b in page.findChildren(QPushButton) if b.text() == "Show all")
    qtbot.mouseClick(everything, LEFT)
    settle(window)
    assert titles(window) == [RUST, BLISTERS, GOUGE]


# Looking again


def test_what_is_seen_this_time_is_entered(window, qtbot):
    opened(window, qtbot, RUST)
    key(window, qtbot, "p")
    sheet = sheet_of(window, "observe")
    assert "14 Apr 2025, as found" in texts(sheet)
    assert sheet.seen.value == "present"
    sheet.severity.choose("moderate")
    sheet.text.entry.setText("As large as a hand")
    keep(sheet, window, qtbot)
    seen = kept(window, FindingObservation)[-1]
    assert (seen.seen, seen.text, seen.state) == ("present", "As large as a hand", "found")
    assert finding(window, RUST).severity == "moderate"
    assert "As large as a hand" in texts(row(window, RUST)), "the row stays open"
    assert "Last seen 14 Apr 2025" in row(window, RUST).head.accessibleName()
    assert RUST in window.state.undo_text


@pytest.mark.parametrize(
    ("letter", "seen", "said"),
    [("n", "not_found", "Looked for 14 Apr 2025, not found."),
     ("s", "not_seen", "Could not be seen 14 Apr 2025.")],
)  # fmt: skip
def test_not_found_is_not_the_same_as_not_seen(window, qtbot, letter, seen, said):
    opened(window, qtbot, RUST)
    key(window, qtbot, letter)
    sheet = sheet_of(window, "observe")
    assert not sheet.severity.isVisible()
    keep(sheet, window, qtbot)
    assert kept(window, FindingObservation)[-1].seen == seen
    assert said in row(window, RUST).head.accessibleName()
    assert finding(window, RUST).status == "open", "a look never closes a finding"


# Closing


def test_a_finding_is_closed_by_work_with_its_proof(on_ketch, qtbot, tmp_path):  # noqa: F811
    window = on_ketch("findings", pictures=True, still_out=True)
    opened(window, qtbot, BLISTERS)
    key(window, qtbot, "c")
    sheet = sheet_of(window, "close")
    sheet.text.entry.setText("Opened, dried, filled & faired")
    sheet.who.entry.setText("I. Fletcher")
    sheet.done_on.entry.setText("2025-04-18")
    paper = tmp_path / "bill.pdf"
    paper.write_bytes(b"%PDF-1.4 a bill")
    sheet.take_paper(paper)
    settle(window)
    assert len(sheet.papers.value) == 1
    sheet.tiles[-1].setChecked(True)
    sheet.do.click()
    settle(window)
    closed = finding(window, BLISTERS)
    work = next(w for w in kept(window, Work) if w.id == closed.closed_by_work_id)
    assert (closed.status, work.text) == ("closed", "Opened, dried, filled & faired")
    links = [link for link in kept(window, WorkLink) if link.work_id == work.id]
    assert [d.title for d in kept(window, Document)][-1] == "bill"
    assert sum(link.document_id is not None for link in links) == 1
    assert sum(link.photo_id is not None for link in links) == 1
    assert titles(window) == [RUST, BLISTERS, GOUGE]
    assert row(window, BLISTERS).listed.status == "closed"
    told = texts(row(window, BLISTERS))
    assert "closed by work, by I. Fletcher, bill, 1 photo" in told
    assert window.state.undo_text == f"close the finding {BLISTERS}"
    window.state.undo()
    settle(window)
    assert finding(window, BLISTERS).status == "open"
    assert "Opened, dried, filled & faired" not in [w.text for w in kept(window, Work)]


def test_closing_wants_to_know_what_was_done_and_a_day_that_can_be(window, qtbot):
    opened(window, qtbot, RUST)
    key(window, qtbot, "c")
    sheet = sheet_of(window, "close")
    sheet.do.click()
    settle(window)
    assert sheet.text.refused
    sheet.text.entry.setText("Chipped and primed")
    sheet.done_on.entry.setText("03/04/2020")
    sheet.do.click()
    settle(window)
    assert sheet.isVisible()
    assert sheet.done_on.refused
    assert sheet.done_on.text() == "03/04/2020"
    offers = [b for b in sheet.findChildren(QPushButton) if "2020" in b.text()]
    assert len(offers) == 2
    assert finding(window, RUST).status == "open"
    qtbot.mouseClick(offers[0], LEFT)
    sheet.do.click()
    settle(window)
    assert finding(window, RUST).status == "closed"


def test_somebody_new_is_entered_with_the_work(window, qtbot):
    from hulllog.records.model import Person

    opened(window, qtbot, RUST)
    key(window, qtbot, "c")
    sheet = sheet_of(window, "close")
    sheet.text.entry.setText("Blasted")
    sheet.who.entry.setText("O. Tarrant")
    sheet.do.click()
    settle(window)
    assert "O. Tarrant" in [p.name for p in kept(window, Person)]
    window.state.undo()
    settle(window)
    assert "O. Tarrant" not in [p.name for p in kept(window, Person)], "one entry for all of it"


# Withdrawn, reopened, split, changed


def test_a_finding_is_withdrawn_with_a_reason_and_comes_back(window, qtbot):
    opened(window, qtbot, RUST)
    key(window, qtbot, "w")
    sheet = sheet_of(window, "text")
    sheet.do.click()
    settle(window)
    assert sheet.text.refused
    sheet.text.entry.setText("It was a stain")
    sheet.do.click()
    settle(window)
    assert titles(window) == [BLISTERS, GOUGE]
    window.page.must.choose("withdrawn")
    settle(window)
    assert titles(window) == [RUST]
    key(window, qtbot, "o")
    again = sheet_of(window, "text")
    again.text.entry.setText("It is rust after all")
    again.do.click()
    settle(window)
    assert finding(window, RUST).status == "open"


def test_a_closed_one_is_opened_again(window, qtbot):
    opened(window, qtbot, GOUGE)
    buttons = [b.objectName() for b in row(window, GOUGE).findChildren(QWidget)]
    assert [name for name in buttons if name.startswith("do/")] == ["do/reopen"]
    key(window, qtbot, "o")
    sheet = sheet_of(window, "text")
    sheet.text.entry.setText("It opened up again")
    sheet.do.click()
    settle(window)
    assert finding(window, GOUGE).status == "open"


def test_a_finding_is_split_with_the_places_that_go_along(window, qtbot):
    opened(window, qtbot, BLISTERS)
    key(window, qtbot, "t")
    sheet = sheet_of(window, "split")
    qtbot.keyClicks(sheet.title.entry, "One blister field of its own")
    (spot,) = [o.option.code for o in sheet.places.buttons if o.option.code.startswith("spot")]
    sheet.places.choose(spot)
    sheet.do.click()
    settle(window)
    second = row(window, "One blister field of its own").listed
    assert [s.number for s in second.spots] == [1]
    assert row(window, BLISTERS).listed.spots == ()
    assert row(window, BLISTERS).listed.zones


def test_a_finding_that_is_the_same_as_another_takes_its_places(window, qtbot):
    raised = []
    window.state.run(
        lambda book: matters.raise_finding(book, title="Rust once more", sort="rust"),
        done=raised.append,
    )
    settle(window)
    opened(window, qtbot, BLISTERS)
    key(window, qtbot, "m")
    sheet = sheet_of(window, "merge")
    sheet.other.show_value(raised[0])
    sheet.do.click()
    settle(window)
    assert "Rust once more" not in [one.listed.matter.title for one in window.page.rows]
    assert row(window, BLISTERS).listed.matter.status == "open"


def test_what_it_is_and_what_must_happen_is_changed_as_one_entry(window, qtbot):
    opened(window, qtbot, BLISTERS)
    key(window, qtbot, "e")
    sheet = sheet_of(window, "change")
    sheet.title.entry.setText("Blisters at the quarter")
    sheet.must.choose("this_season")
    sheet.do.click()
    settle(window)
    changed = finding(window, "Blisters at the quarter")
    assert (changed.must, changed.severity) == ("this_season", "moderate")
    window.state.undo()
    settle(window)
    assert finding(window, BLISTERS).must == "next_lift"


# Raising


def test_a_finding_is_raised_and_shown(window, qtbot):
    key(window, qtbot, "f")
    sheet = sheet_of(window, "raise")
    sheet.do.click()
    settle(window)
    assert sheet.title.refused
    qtbot.keyClicks(sheet.title.entry, "Rudder <b>heavy</b> & stiff")
    sheet.must.choose("before_relaunch")
    sheet.zone.choose(next(z.zone_id for z in window.page.board.zones if z.code == "rudder"))
    sheet.do.click()
    settle(window)
    made = row(window, "Rudder <b>heavy</b> & stiff")
    assert made.opened
    assert made.listed.where == "Rudder"
    assert window.focusWidget() is made.head
    assert "Rudder <b>heavy</b> & stiff" in window.state.undo_text


def test_the_way_to_the_hull_shows_the_zone(window, qtbot):
    made = opened(window, qtbot, RUST)
    door = next(
        b for b in made.findChildren(QPushButton) if b.text().startswith("Show on the hull")
    )
    qtbot.mouseClick(door, LEFT)
    settle(window)
    assert window.page.code == "hull"
    assert window.page.picked == "zone:keel-port-outboard"
    assert "Port keel, outboard" in texts(window.page.side)


# Nothing there, too much there, nothing to be written


def test_a_new_vessel_has_one_thing_to_do(on_ketch, tmp_path, qtbot):  # noqa: F811
    folder = tmp_path / "new"
    with Logbook.create(folder) as logbook:
        create_vessel(
            logbook, name="Ruddy Shore", kind="yacht", material="grp", keel="twin",
            length="8.7 m", beam="2.9 m", draught="0.95 m",
        )  # fmt: skip
    window = on_ketch("findings", folder=folder)
    assert "Nothing has been raised that wants watching or action." in texts(window.page)
    qtbot.mouseClick(window.page.raise_button, LEFT)
    sheet = sheet_of(window, "raise")
    qtbot.keyClicks(sheet.title.entry, "Bow roller loose")
    sheet.do.click()
    settle(window)
    assert titles(window) == ["Bow roller loose"]


def test_many_stand_behind_a_door(window, qtbot):
    for n in range(14):
        window.state.run(
            lambda logbook, n=n: matters.raise_finding(logbook, title=f"One {n}", sort="other")
        )
    settle(window)
    opened_ones = [t for t in titles(window) if t != GOUGE]
    assert len(opened_ones) == 12
    more = next(w for w in window.page.findChildren(QWidget) if "4 more" in w.accessibleName())
    qtbot.mouseClick(more, LEFT)
    settle(window)
    assert len(titles(window)) == 17


def test_the_longest_title_is_cut_and_can_be_read_whole(window, qtbot):
    title = "Crack " + "x" * 114
    window.state.run(lambda logbook: matters.raise_finding(logbook, title=title, sort="crack"))
    settle(window)
    assert window.width() == 1366
    head = row(window, title).head
    assert title in head.accessibleName()
    assert "xxxx" in head.toolTip()
    made = opened(window, qtbot, title)
    assert title in texts(made)


def test_a_logbook_open_for_reading_says_why_nothing_can_be_done(on_ketch, qtbot):  # noqa: F811
    window = on_ketch("findings", read_only=True)
    assert not window.page.raise_button.isEnabled()
    assert "reading only" in window.page.raise_button.toolTip()
    made = opened(window, qtbot, RUST)
    assert not made.findChild(QWidget, "do/close").isEnabled()
    assert any("reading only" in text for text in texts(made))
    key(window, qtbot, "c")
    key(window, qtbot, "f")
    from PySide6.QtWidgets import QDialog

    assert not [s for s in window.findChildren(QDialog) if s.isVisible()]


def test_a_finding_that_outlived_its_season_is_called_overdue(window):
    key = finding(window, RUST).id
    matters.set_finding(window.state.logbook, key, "must", "this_season")
    matters.set_finding(window.state.logbook, key, "raised_visit_id", first_visit(window))
    settle(window)
    assert "overdue (this season)" in row(window, RUST).head.accessibleName()


def first_visit(window):
    """Return the haul-out of the first year, since which she was lifted again."""
    return window.state.read(lambda book: visits(book)[0].id)
