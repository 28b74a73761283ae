from __future__ import annotations

import sys
from pathlib import Path

import pytest
from PySide6.QtWidgets import QFileDialog

sys.path.insert(0, str(Path(__file__).parent))
from yardwindow import Yard

from hulllog.insight.yard import walked
from hulllog.insight.yardsheet import yard_sheet
from hulllog.records.model import (
    AnodeCheck,
    AnodePiece,
    Coat,
    GearCheck,
    Inspection,
    MeasurementSet,
    NoteForNextTime,
    PadPosition,
    StageTime,
    Visit,
    ZoneVersion,
)
from hulllog.records.operations import anodes, around, visits

GEAR = ("seacock", "bearing", "rudder", "propeller", "keel_bolt")


@pytest.fixture
def yard(look, qtbot, tmp_path):
    made = Yard(qtbot, tmp_path, keel="fin")
    position = anodes.add_position(made.logbook, name="Shaft")
    anodes.fit_piece(made.logbook, position, metal="zinc", mass_new="0.68 kg", fitted="2025-04")
    visits.start_haul_out(made.logbook, begins="2026-04-17", yard="Inlet Boatyard")
    made.settle()
    made.open("sheet")
    yield made
    made.close()


def rows(yard):
    with yard.logbook.read() as book:
        return yard_sheet(book).rows


def number(yard, sort, stage, subject=""):
    return next(
        row.number
        for row in rows(yard)
        if (row.sort, row.stage) == (sort, stage) and (not subject or row.subject == subject)
    )


def field(yard, *about):
    return yard.section("sheet").fields[number(yard, *about)]


def go(yard, *about):
    field(yard, *about).entry.setFocus()


def looks(yard, zone):
    """Return the looks at a zone that hold, in the order of entry."""
    with yard.logbook.read() as book:
        return [
            look
            for look in yard.all(Inspection)
            if book.get(ZoneVersion, look.zone_version_id).zone_id == yard.zones()[zone]
        ]


def figures(yard, look):
    from hulllog.insight.condition import figures_of

    with yard.logbook.read() as book:
        sets = book.get(Inspection, look.id).sets
        return {one.kind: figures_of(one) for one in sets if not one.withdrawn}


def test_a_filled_sheet_goes_in_without_the_pointer(yard):
    """The content of a led haul-out as far as the sheet has boxes for it.

    It has none for the second sweep, readings of instruments, figures of fittings,
    photographs and the weather of a coat.
    """
    for sort in GEAR:
        around.add_gear(yard.logbook, sort=sort, name=sort.replace("_", " "))
    yard.settle()
    yard.page.show_section("steps")
    yard.page.show_section("sheet")
    yard.settle()
    written = {
        "stage": "10:30", "visit": "", "finding": "p", "gear": "free, nothing found", "note": "",
        "paint": "", "bore": "", "anode": "0.53 - t y 0.68",
    }  # fmt: skip
    asked = rows(yard)
    assert yard.focus is yard.section("sheet").fields[1].entry
    for row in asked:
        assert yard.focus is yard.section("sheet").fields[row.number].entry, row
        text = written.get(row.sort, "")
        if row.sort == "zone":
            text = {"lifted": "2", "washed": "n", "opened_up": "0", "ready": "0"}[row.stage]
            if row.subject == "Transom" and row.stage == "opened_up":
                text = "300"
            if row.subject == "Bottom aft, port" and row.stage == "washed":
                text = "12 8 - 0"
            if row.subject.startswith("Keel") and row.stage == "ready":
                text = "s"
        if (row.sort, row.subject_id) == ("bore", "sling"):
            text = "2,4 6.1"
        if (row.sort, row.subject_id) == ("paint", "1"):
            text = "Redweed; 2.5; 2; 18 apr"
        if (row.sort, row.subject_id) == ("visit", "scum_line"):
            text = "40"
        if (row.sort, row.subject_id) == ("note", "1"):
            text = "Look at the skeg"
        if (row.sort, row.stage) == ("stage", "relaunched"):
            text = ""
        yard.type(text + "\n")
        yard.settle()
    (visit,) = yard.all(Visit)
    zones = sum(row.sort == "zone" for row in asked)
    looked = [look for zone in yard.zones() for look in looks(yard, zone)]
    assert len(looked) == zones
    (found,) = (one for one in looks(yard, "bottom-aft-port") if "crack" not in one.looked_for
                and "laminate-blisters" in one.looked_for and one.state == "found")  # fmt: skip
    assert figures(yard, found)["laminate-blisters"] == {"count": 12, "largest_mm": 8}
    (dull,) = (one for one in looks(yard, "transom") if one.methods == ["tapped"])
    assert figures(yard, dull) == {"dull-sound": {"length_mm": 300}}
    with yard.logbook.read() as book:
        assert {plan for plan, (done, of) in walked(book, visit.id).items() if done == of} == {
            "before_wash", "sounded", "as_left",
        }, "one box of the washed hull was left empty"  # fmt: skip
    (check,) = yard.all(AnodeCheck)
    assert (check.mass.text, check.contact) == ("0.53", "tight")
    assert [piece.mass_new.text for piece in yard.all(AnodePiece)] == ["0.68", "0.68"]
    assert len(yard.all(Coat)) == 2
    assert [note.text for note in yard.all(NoteForNextTime)] == ["Look at the skeg"]
    assert len(yard.all(StageTime)) == 6
    assert visit.scum_line.text == "40"
    assert {look.text for look in yard.all(GearCheck)} == {"free, nothing found"}
    assert len(yard.all(GearCheck)) == len(GEAR)
    slings = yard.all(PadPosition)
    assert [(one.sort, one.place.how["metres"]) for one in slings] == [
        ("sling", "2.4"), ("sling", "6.1"),
    ]  # fmt: skip
    # About three keys a row, but for the sentence of a fitting: measured, not to grow unseen.
    told = len(GEAR) * len("free, nothing found")
    assert yard.presses - told <= 3.2 * len(asked), f"{yard.presses} keys for {len(asked)} rows"


def test_what_is_left_empty_is_not_looked_at(yard):
    for _ in rows(yard):
        yard.type("\n")
    yard.settle()
    assert yard.all(Inspection) == []
    assert yard.all(StageTime) == []


def test_an_empty_box_is_not_looked_for(yard):
    go(yard, "zone", "washed", "Bottom aft, port")
    yard.type("0 - 40\n")
    (look,) = looks(yard, "bottom-aft-port")
    assert sorted(look.looked_for) == ["crack", "laminate-blisters"]
    assert figures(yard, look)["crack"] == {"length_mm": 40}


def test_nothing_found_is_one_key_and_is_for_all_boxes(yard):
    go(yard, "zone", "washed", "Bottom aft, port")
    yard.type("n\n")
    (look,) = looks(yard, "bottom-aft-port")
    assert (look.coverage, look.result) == ("whole", "nothing_found")
    assert sorted(look.looked_for) == ["crack", "damage", "laminate-blisters"]


def test_a_letter_says_why_a_zone_was_not_seen(yard):
    go(yard, "zone", "lifted", "Bottom aft, port")
    yard.type("h\n")
    (look,) = looks(yard, "bottom-aft-port")
    assert (look.coverage, look.hidden_by) == ("not_seen", "hanging")


def test_growth_before_the_wash_keeps_how_it_was_seen(yard):
    go(yard, "zone", "lifted", "Bottom aft, port")
    yard.type("3\n")
    (rated,) = yard.all(MeasurementSet)
    assert rated.kind == "level-of-fouling"
    assert rated.conditions == {"washed": "not_washed"}


def test_an_answer_given_again_takes_the_place_of_the_one_before(yard):
    go(yard, "zone", "washed", "Bottom aft, port")
    yard.type("5 3\n")
    yard.settle()
    shown = field(yard, "zone", "washed", "Bottom aft, port")
    shown.entry.setFocus()
    shown.entry.selectAll()
    yard.type("7 3\n")
    yard.settle()
    (look,) = looks(yard, "bottom-aft-port")
    assert figures(yard, look)["laminate-blisters"] == {"count": 7, "largest_mm": 3}


def test_what_is_on_record_stands_in_the_rows(yard):
    go(yard, "zone", "washed", "Bottom aft, port")
    yard.type("5 3 - 0\n")
    yard.settle()
    yard.page.show_section("steps")
    yard.page.show_section("sheet")
    yard.settle()
    assert field(yard, "zone", "washed", "Bottom aft, port").text() == "5 3 - 0"
    assert not field(yard, "zone", "washed", "Bottom aft, port").refused


@pytest.mark.parametrize(
    ("typed", "told"), [("z", "no answer"), ("1 2 3 4 5 6", "boxes"), ("1.5 -", "whole")]
)
def test_what_cannot_be_kept_is_said_beside_its_row_and_stays(yard, typed, told):
    go(yard, "zone", "washed", "Bottom aft, port")
    if typed == "z":
        go(yard, "zone", "lifted", "Bottom aft, port")
    yard.type(typed + "\n")
    yard.settle()
    stage = "lifted" if typed == "z" else "washed"
    here = field(yard, "zone", stage, "Bottom aft, port")
    assert here.refused
    assert told in here.sentence
    assert here.text() == typed
    assert looks(yard, "bottom-aft-port") == []


def test_slings_beside_her_are_refused_and_those_on_record_cannot_be_typed_twice(yard):
    def slings():
        made = next(row.number for row in rows(yard) if row.subject_id == "sling")
        return yard.section("sheet").fields[made]

    slings().entry.setFocus()
    yard.type("2.4 12\n")
    yard.settle()
    assert slings().refused
    assert yard.all(PadPosition) == []
    slings().entry.setText("2.4 6.1")
    yard.type("\n")
    yard.settle()
    assert len(yard.all(PadPosition)) == 2
    yard.page.show_section("steps")
    yard.page.show_section("sheet")
    slings().entry.setFocus()
    yard.type("1\n")
    yard.settle()
    assert slings().text() == "2.4 6.1"
    yard.undo()
    assert yard.all(PadPosition) == []


def test_a_row_typed_the_day_after_is_from_notes_and_one_of_its_own_day_is_not(yard):
    go(yard, "zone", "washed", "Bottom aft, port")
    yard.type("n\n")
    go(yard, "paint", "coated")
    yard.type("Redweed; 2.5; 1; 18 apr\n")
    yard.settle()
    (look,) = looks(yard, "bottom-aft-port")
    assert look.basis == "later_from_notes"
    assert [coat.basis for coat in yard.all(Coat)] == ["at_the_time"]


def test_a_paint_row_that_was_kept_is_not_kept_twice(yard):
    go(yard, "paint", "coated")
    yard.type("Redweed; 2.5; 1\n")
    yard.settle()
    yard.page.show_section("steps")
    yard.page.show_section("sheet")
    go(yard, "paint", "coated")
    yard.type("x\n")
    yard.settle()
    assert len(yard.all(Coat)) == 1


def test_each_row_is_taken_back_by_itself(yard):
    go(yard, "zone", "washed", "Bottom aft, port")
    yard.type("n\n")
    yard.settle()
    yard.undo()
    assert looks(yard, "bottom-aft-port") == []
    assert len(yard.all(Visit)) == 1


def test_the_rows_of_the_next_haul_out_are_its_own(yard):
    (first,) = yard.all(Visit)
    field(yard, "zone", "washed", "Bottom aft, port").entry.setText("half typed")
    field(yard, "zone", "washed", "Bottom aft, port").keep_draft()
    visits.relaunch(yard.logbook, first.id, "2026-04-17")
    visits.close(yard.logbook, first.id)
    second = visits.start_haul_out(yard.logbook, begins="2026-04-18")
    yard.settle()
    yard.open("sheet")
    here = field(yard, "zone", "washed", "Bottom aft, port")
    assert here.text() == ""
    assert here.objectName().startswith(f"sheet:{second}/")


@pytest.mark.parametrize("page", ["haul_out", "papers"])
def test_the_sheet_is_printed_from_the_page(yard, monkeypatch, tmp_path, page):
    target = tmp_path / "sheet.pdf"
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: (str(target), ""))
    yard.window.show_page(page)
    yard.settle()
    if page == "papers":
        yard.page.write_sheet.click()
    else:
        yard.section("sheet").print_it.emit()
    yard.settle()
    assert target.read_bytes().startswith(b"%PDF")


def test_an_answer_of_the_walk_is_no_row_that_nobody_looked_at(yard):
    def left():
        return int(yard.section("sheet")._left.text().split()[0])

    before = left()
    assert before == sum(row.sort in ("zone", "anode", "gear", "bore") for row in rows(yard))
    yard.open("walk")
    yard.type("2\n")
    yard.settle()
    yard.type("fsoft here\n")
    yard.section("walk").found._must.must.choose("no_finding")
    yard.settle()
    (look,) = yard.all(Inspection)
    assert (look.result, look.note) == ("something_found", "soft here")
    yard.open("sheet")
    assert left() == before - 1
